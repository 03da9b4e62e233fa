//! What the rules make of the findings: facts told, then numbers, flags and contradictions read off.
//!
//! Every finding is told with its place as token; the usual arc of the club is told by nobody. Each
//! number and flag keeps its [`Derivation`]. Nothing is weighed here.

use super::{Case, Clash, Derivation, Flag, NOBODY, Origin, Pattern, Row, What};
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Amount, Estimate, Unit};
use crate::rules::{Explanation, Fact, FactId, Ground, PatternId, Reason, SlotId, State, Value};
use crate::vocabulary::QuantityId;

fn derivation(explanation: &Explanation, id: FactId) -> Option<Derivation> {
    let step = explanation.step(id)?;
    let mut premises = Vec::new();
    if let Some(way) = &step.way {
        for (_, ground) in &way.grounds {
            match ground {
                Ground::Fact(fact) => premises.extend(derivation(explanation, *fact)),
                Ground::Over { facts, .. } => {
                    premises.extend(facts.iter().filter_map(|f| derivation(explanation, *f)));
                }
                Ground::Present(_) | Ground::Absent { .. } => {}
            }
        }
    }
    Some(Derivation {
        fact: step.fact,
        told: step
            .told
            .iter()
            .map(|r| r.index())
            .filter(|i| *i != NOBODY as usize)
            .collect(),
        is_told: !step.told.is_empty(),
        rule: step.way.as_ref().map(|w| w.rule),
        premises,
    })
}

/// Why a fact of the state holds.
fn derived(state: &State, id: FactId) -> Option<Derivation> {
    derivation(&state.why(id)?, id)
}

/// The rules after everything was told, with the slots by name.
pub(super) struct ToldRules {
    pub(super) state: State,
}

pub(super) fn tell_rules(base: &KnowledgeBase, case: &Case, patterns: &[Pattern]) -> ToldRules {
    let mut state = State::new(&base.program);
    let program = &base.program;
    let nobody = Reason::from_index(NOBODY as usize);
    let symbol = |state: &mut State, pattern: PatternId, slot: &str, name: &str| {
        if let Some(slot) = program.slot(slot) {
            let value = Value::Symbol(state.symbol(name));
            tell(
                state,
                Fact {
                    pattern,
                    slot,
                    value,
                },
                nobody,
            );
        }
    };
    for (index, pattern) in patterns.iter().enumerate() {
        let id = PatternId::from_index(index);
        let group = base.group(pattern.group);
        symbol(&mut state, id, "group", &group.id);
        symbol(&mut state, id, "family", &group.family);
        let (mut radius, mut plane, mut loft) = (group.radius, group.plane, group.static_loft);
        if let Some(club) = pattern.club {
            let club = base.club(club);
            symbol(&mut state, id, "club", &club.id);
            (radius, plane, loft) = (club.radius, club.plane, club.loft);
        }
        if let Some(lie) = pattern.lie {
            symbol(&mut state, id, "lie", &base.lie(lie).id);
        }
        // The usual arc of the club; golfers differ by a few hundredths and a couple of degrees.
        for (slot, value) in [
            (
                "radius",
                Estimate::from_base(radius.base(), 0.03, crate::quantity::Dimension::Length),
            ),
            (
                "plane",
                Estimate::new(plane.as_degrees(), 2.0, Unit::Degree),
            ),
            (
                "static_loft",
                Estimate::new(loft.as_degrees(), 1.0, Unit::Degree),
            ),
        ] {
            let stated = case.findings.iter().any(|f| {
                f.pattern == *pattern
                    && matches!(f.what, What::Number { quantity, .. } if base.quantity(quantity).id == slot)
            });
            if let (Some(slot), Ok(value), false) = (program.slot(slot), value, stated) {
                let value = Value::Number(value);
                tell(
                    &mut state,
                    Fact {
                        pattern: id,
                        slot,
                        value,
                    },
                    nobody,
                );
            }
        }
    }
    for (index, finding) in case.findings.iter().enumerate() {
        let Some(place) = patterns.iter().position(|p| *p == finding.pattern) else {
            continue;
        };
        let pattern = PatternId::from_index(place);
        let reason = Reason::from_index(index);
        match finding.what {
            What::Symptom {
                symptom,
                present: Some(present),
                ..
            } => {
                if let Some(slot) = program.slot(&base.symptom(symptom).id) {
                    tell(
                        &mut state,
                        Fact {
                            pattern,
                            slot,
                            value: Value::Flag(present),
                        },
                        reason,
                    );
                }
            }
            What::Symptom { present: None, .. } => {}
            What::Number {
                quantity,
                value,
                shots,
            } => {
                let entry = base.quantity(quantity);
                let value = with_usual_error(value, entry.usual_error, shots);
                for slot in [entry.id.clone(), format!("said_{}", entry.id)] {
                    if let Some(slot) = program.slot(&slot) {
                        tell(
                            &mut state,
                            Fact {
                                pattern,
                                slot,
                                value: Value::Number(value),
                            },
                            reason,
                        );
                    }
                }
            }
            What::AllWell => {
                if let Some(slot) = program.slot("all_well") {
                    tell(
                        &mut state,
                        Fact {
                            pattern,
                            slot,
                            value: Value::Flag(true),
                        },
                        reason,
                    );
                }
            }
        }
    }
    state.settle();
    ToldRules { state }
}

/// Tells a fact. The schema is made from the knowledge that made the fact, so none is refused.
fn tell(state: &mut State, fact: Fact, reason: Reason) {
    let told = state.assert(fact, reason);
    debug_assert!(told.is_ok(), "{told:?}");
}

/// The error of the words and the usual error of a typed number together; a mean over many shots
/// has less of the latter.
pub(super) fn with_usual_error(value: Estimate, usual: Amount, shots: u16) -> Estimate {
    let n = f64::from(shots.max(1)).min(20.0);
    let sd = (value.sd().powi(2) + usual.base().powi(2) / n.sqrt()).sqrt();
    Estimate::from_base(value.mean(), sd, value.dimension()).unwrap_or(value)
}

pub(super) fn rows(
    base: &KnowledgeBase,
    case: &Case,
    patterns: &[Pattern],
    told: &ToldRules,
) -> Vec<Row> {
    let mut out = Vec::new();
    for (index, pattern) in patterns.iter().enumerate() {
        let id = PatternId::from_index(index);
        for place in 0..base.quantities.len() {
            let quantity = QuantityId::from_index(place);
            let said =
                case.findings
                    .iter()
                    .enumerate()
                    .rev()
                    .find_map(|(f, finding)| match finding.what {
                        What::Number {
                            quantity: q,
                            value,
                            shots,
                        } if q == quantity && finding.pattern == *pattern => Some((
                            f,
                            with_usual_error(value, base.quantity(q).usual_error, shots),
                        )),
                        What::Number { .. } | What::Symptom { .. } | What::AllWell => None,
                    });
            if let Some((finding, value)) = said {
                out.push(Row {
                    pattern: index,
                    quantity,
                    value,
                    origin: Origin::Said(finding),
                });
                continue;
            }
            let name = &base.quantity(quantity).id;
            if ["radius", "plane", "static_loft"].contains(&name.as_str()) {
                continue;
            }
            let Some(slot) = base.program.slot(name) else {
                continue;
            };
            let Some(value) = told.state.number(id, slot) else {
                continue;
            };
            if let Some(why) = number_explanation(&told.state, id, slot) {
                out.push(Row {
                    pattern: index,
                    quantity,
                    value,
                    origin: Origin::Derived(why),
                });
            }
        }
    }
    out
}

fn number_explanation(state: &State, pattern: PatternId, slot: SlotId) -> Option<Derivation> {
    state
        .value(pattern, slot)
        .and_then(|(id, _)| derived(state, id))
}

pub(super) fn flags(base: &KnowledgeBase, told: &ToldRules, patterns: usize) -> Vec<Flag> {
    let mut out = Vec::new();
    for index in 0..patterns {
        let pattern = PatternId::from_index(index);
        for (id, fact) in told.state.facts() {
            if fact.pattern != pattern {
                continue;
            }
            let Value::Flag(holds) = fact.value else {
                continue;
            };
            let Some(why) = derived(&told.state, id) else {
                continue;
            };
            if why.is_told {
                continue;
            }
            let slot = base.program.slot_name(fact.slot).to_owned();
            out.push(Flag {
                pattern: index,
                slot,
                holds,
                why,
            });
        }
    }
    out
}

pub(super) fn rule_clashes(base: &KnowledgeBase, told: &ToldRules) -> Vec<Clash> {
    told.state
        .contradictions()
        .into_iter()
        .map(|c| {
            let trees: Vec<Derivation> = c
                .facts
                .iter()
                .filter_map(|id| derived(&told.state, *id))
                .collect();
            let mut findings: Vec<usize> = trees.iter().flat_map(Derivation::findings).collect();
            findings.sort_unstable();
            findings.dedup();
            let rules = trees
                .iter()
                .filter_map(|t| t.rule)
                .filter_map(|r| base.program.rule(r))
                .map(|r| r.id.clone())
                .collect();
            let name = |slot: SlotId| base.program.slot_name(slot).to_owned();
            Clash::Slots {
                pattern: c.pattern.index(),
                between: (name(c.slots[0]), name(c.slots[1])),
                findings,
                rules,
            }
        })
        .collect()
}
