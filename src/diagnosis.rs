//! From what was found to what the club did and what most likely caused it: one function, one
//! result.
//!
//! Takes a [`Case`] (findings about clubs and lies, answers to checks, hints) and gives a
//! [`Diagnosis`]: facts with their justifications (rules), the numbers of arc and impact with their
//! ranges, contradictions, ranked causes, what to ask and what to practise (simulated golfers).
//!
//! One physical fact counts once: numbers that the simulated golfers have (low point, attack, path
//! ...) are weighed as they were said; numbers derived from them by rules are shown but not weighed
//! again. A number derived from things the golfers do not have (start direction, launch, the length
//! of a mark) is weighed in its derived form. Same case, same diagnosis, bit for bit, whatever was
//! diagnosed before. Knows no entry by name and makes no sentence.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::causes::model::{Axis, Evidence};
use crate::causes::{CausesError, CheckValue, Judgement, Practice, RankedCause, Simulation};
use crate::geometry::consistency::{Disagreement, Measured, disagreements};
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Amount, Estimate, Unit};
use crate::rules::{
    Explanation, Fact, FactId, Ground, PatternId, Reason, RuleIndex, SlotId, State, Value,
};
use crate::vocabulary::{CauseId, CheckId, ClubId, GroupId, LieId, QuantityId, SymptomId};

/// The clubs and the lie that findings are about.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pattern {
    /// The club, if one was named.
    pub club: Option<ClubId>,
    /// The club group that stands for them.
    pub group: GroupId,
    /// False if no club was named and the group is only the usual one.
    pub said: bool,
    /// All groups named, where several were ("irons").
    pub groups: Vec<GroupId>,
    /// The lie, if one was named.
    pub lie: Option<LieId>,
}

/// What one finding states.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// Something seen, heard or felt; with how often, if said.
    Symptom {
        /// Which.
        symptom: SymptomId,
        /// True, denied, or not sure.
        present: Option<bool>,
        /// Share of shots.
        often: Option<f64>,
    },
    /// A number: the mean with the error of the words.
    Number {
        /// Which quantity.
        quantity: QuantityId,
        /// Value in the house's signs.
        value: Estimate,
        /// How many shots it stands for.
        shots: u16,
    },
    /// All is well with these clubs.
    AllWell,
}

/// One finding. Its place in [`Case::findings`] is its token everywhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Clubs and lie.
    pub pattern: Pattern,
    /// What it states.
    pub what: What,
    /// The finding whose words say the same thing (a number and the symptom it amounts to).
    pub same_words_as: Option<usize>,
}

/// All that is known of one golfer's complaint.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Case {
    /// Findings in the order told.
    pub findings: Vec<Finding>,
    /// Checks answered yes or no.
    pub answers: Vec<(CheckId, bool)>,
    /// Checks already put, whatever came back; never put again.
    pub asked: Vec<CheckId>,
    /// The golfer's own diagnosis, with its weight.
    pub hints: Vec<(CauseId, f64)>,
    /// Practice that helped, or did not.
    pub practised: Vec<(CauseId, bool)>,
    /// The pattern to speak of; the one with most findings if none is given.
    pub focus: Option<Pattern>,
    /// Check costs above this are not put (a golfer without a camera).
    pub dearest_check: Option<f64>,
}

/// Where a piece of evidence came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Token {
    /// A finding.
    Finding(usize),
    /// An answer.
    Answer(usize),
    /// A hint.
    Hint(usize),
    /// A practice result.
    Practised(usize),
}

/// Why a fact holds, as a tree: what it is, the rule that concluded it, what that rested on.
#[derive(Debug, Clone, PartialEq)]
pub struct Derivation {
    /// The fact.
    pub fact: Fact,
    /// The findings it was told by; empty for a fact that rules concluded, and for what everybody
    /// knows of a club.
    pub told: Vec<usize>,
    /// True if it was told rather than concluded.
    pub is_told: bool,
    /// The rule that concluded it.
    pub rule: Option<RuleIndex>,
    /// What the rule rested on.
    pub premises: Vec<Derivation>,
}

/// The token of what is known of a club without being said.
const NOBODY: u32 = u32::MAX;

impl Derivation {
    /// The findings the tree rests on, each once, in order.
    pub fn findings(&self) -> Vec<usize> {
        let mut out = self.told.clone();
        for premise in &self.premises {
            out.extend(premise.findings());
        }
        out.sort_unstable();
        out.dedup();
        out
    }

    /// True if the slot of the pattern is among what the tree rests on.
    fn rests_on(&self, other: &Self) -> bool {
        self.premises.iter().any(|p| {
            (p.fact.slot == other.fact.slot && p.fact.pattern == other.fact.pattern)
                || p.rests_on(other)
        })
    }

    /// The number, if the fact is one.
    pub const fn number(&self) -> Option<Estimate> {
        match self.fact.value {
            Value::Number(number) => Some(number),
            Value::Flag(_) | Value::Symbol(_) => None,
        }
    }

    /// The truth, if the fact is a flag.
    pub const fn flag(&self) -> Option<bool> {
        match self.fact.value {
            Value::Flag(flag) => Some(flag),
            Value::Number(_) | Value::Symbol(_) => None,
        }
    }
}

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

/// Where a number comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Origin {
    /// Said by the golfer: the finding.
    Said(usize),
    /// Worked out by rules.
    Derived(Derivation),
}

/// A number of the arc or the impact.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Index into [`Diagnosis::patterns`].
    pub pattern: usize,
    /// Which quantity.
    pub quantity: QuantityId,
    /// Its value with error.
    pub value: Estimate,
    /// Where it comes from.
    pub origin: Origin,
}

/// A flag that rules set: an effect, a reading of a combination, a chain.
#[derive(Debug, Clone, PartialEq)]
pub struct Flag {
    /// Index into [`Diagnosis::patterns`].
    pub pattern: usize,
    /// The slot's name, an id of the knowledge.
    pub slot: String,
    /// Whether it holds.
    pub holds: bool,
    /// Why.
    pub why: Derivation,
}

/// Two things that cannot both be so.
#[derive(Debug, Clone, PartialEq)]
pub enum Clash {
    /// Two findings, or two conclusions, found by a rule: the names of the slots, and the findings
    /// they rest on.
    Slots {
        /// Index into [`Diagnosis::patterns`].
        pattern: usize,
        /// The slots.
        between: (String, String),
        /// The findings.
        findings: Vec<usize>,
        /// Rule ids.
        rules: Vec<String>,
    },
    /// Two measured numbers that geometry or mechanics do not allow together.
    Numbers {
        /// Index into [`Diagnosis::patterns`].
        pattern: usize,
        /// Which.
        disagreement: Disagreement,
    },
    /// The same symptom of the same shots, said and denied.
    Said {
        /// The findings.
        findings: (usize, usize),
    },
}

/// The result.
#[derive(Debug, Clone)]
pub struct Diagnosis {
    /// The patterns spoken of, in the order told.
    pub patterns: Vec<Pattern>,
    /// The one the answer is about.
    pub focus: usize,
    /// Numbers said and worked out.
    pub rows: Vec<Row>,
    /// Flags that rules set.
    pub flags: Vec<Flag>,
    /// What disagrees.
    pub clashes: Vec<Clash>,
    /// The evidence as weighed, with where each piece came from.
    pub evidence: Vec<(Token, Evidence)>,
    /// Ranked causes, ranges, effects, rates.
    pub judgement: Judgement,
    /// The check worth putting, unless none would change the practice.
    pub next_check: Option<CheckValue>,
    /// What to practise.
    pub practice: Option<Practice>,
}

impl Diagnosis {
    /// The pattern spoken of.
    pub fn focus(&self) -> Option<&Pattern> {
        self.patterns.get(self.focus)
    }

    /// The number of this quantity for the pattern in focus.
    pub fn row(&self, quantity: QuantityId) -> Option<&Row> {
        self.rows
            .iter()
            .find(|r| r.pattern == self.focus && r.quantity == quantity)
    }
}

/// The knowledge and the simulated golfers, ready to judge cases.
#[derive(Debug, Clone)]
pub struct Mind {
    base: Arc<KnowledgeBase>,
    simulation: Simulation,
}

impl Mind {
    /// Ready to judge with this knowledge.
    ///
    /// # Errors
    /// [`CausesError`] if the knowledge describes no golfers.
    pub fn new(base: Arc<KnowledgeBase>) -> Result<Self, CausesError> {
        let simulation = Simulation::new(base.model.clone())?;
        Ok(Self { base, simulation })
    }

    /// The knowledge.
    pub const fn base(&self) -> &Arc<KnowledgeBase> {
        &self.base
    }

    /// The simulated golfers.
    pub const fn simulation(&mut self) -> &mut Simulation {
        &mut self.simulation
    }
}

/// The pattern taken where no club was named: the middle group of the table.
pub fn usual_pattern(base: &KnowledgeBase) -> Pattern {
    let group = base
        .groups
        .iter()
        .position(|g| g.id == base.usual_group)
        .map_or(GroupId::from_index(0), GroupId::from_index);
    Pattern {
        club: None,
        group,
        said: false,
        groups: vec![group],
        lie: None,
    }
}

/// Judges a case.
pub fn diagnose(mind: &mut Mind, case: &Case) -> Diagnosis {
    let base = Arc::clone(&mind.base);
    let patterns = patterns(&base, case);
    let focus = focus(&patterns, case);
    let told = tell_rules(&base, case, &patterns);
    let rows = rows(&base, case, &patterns, &told);
    let flags = flags(&base, &told, patterns.len());
    let mut clashes = rule_clashes(&base, &told);
    clashes.extend(number_clashes(&base, case, &patterns));
    clashes.extend(said_and_denied(case));
    let evidence = evidence(&base, case, &patterns, &rows);
    let pieces: Vec<Evidence> = evidence.iter().map(|(_, e)| e.clone()).collect();
    let group = patterns
        .get(focus)
        .map_or_else(|| usual_pattern(&base).group, |p| p.group);
    let mut judgement = mind.simulation.judge(&pieces, group);
    judgement
        .causes
        .sort_by_key(|ranked| !worth_naming(&base, case, &pieces, ranked, group));
    let may_ask: Vec<CheckId> = (0..base.checks.len())
        .map(CheckId::from_index)
        .filter(|id| !case.asked.contains(id) && !case.answers.iter().any(|(c, _)| c == id))
        .filter(|id| {
            let check = base.model.checks.get(id.index());
            check.is_some_and(|c| {
                case.dearest_check.is_none_or(|dearest| c.cost <= dearest)
                    && (c.groups.is_empty() || c.groups.contains(&group))
                    // What the ball lay on is the golfer's to say, not ours to guess at.
                    && !c.tells.iter().all(|(cause, _, _)| {
                        base.model.causes.get(cause.index()).is_some_and(|m| m.condition)
                    })
            })
        })
        .collect();
    let next_check = mind.simulation.next_check(&judgement, &may_ask);
    let practice = mind.simulation.practice(&judgement);
    Diagnosis {
        patterns,
        focus,
        rows,
        flags,
        clashes,
        evidence,
        judgement,
        next_check,
        practice,
    }
}

/// How far a condition of the ground must be at work before it is named unasked.
const CONDITION_AT_WORK: f64 = 0.15;

/// False for causes that move nothing with these clubs and that nobody spoke of, and for lies that
/// nobody stated and that hardly anything points at.
fn worth_naming(
    base: &KnowledgeBase,
    case: &Case,
    evidence: &[Evidence],
    ranked: &RankedCause,
    group: GroupId,
) -> bool {
    let Some(model) = base.model.causes.get(ranked.cause.index()) else {
        return false;
    };
    let spoken_of = case
        .hints
        .iter()
        .any(|(c, w)| *c == ranked.cause && *w > 0.0)
        || evidence.iter().any(|e| match e {
            Evidence::Known { cause, present } => *cause == ranked.cause && *present,
            Evidence::Answer { check, yes } => {
                let tells = base.model.checks.get(check.index());
                *yes && tells.is_some_and(|t| t.tells.iter().any(|(c, _, _)| *c == ranked.cause))
            }
            Evidence::Symptom {
                symptom, present, ..
            } => {
                let tells = base.model.symptoms.get(symptom.index());
                *present
                    && tells.is_some_and(|s| {
                        s.tells
                            .iter()
                            .any(|(c, ratio)| *c == ranked.cause && *ratio > 1.0)
                    })
            }
            Evidence::Unsure { .. }
            | Evidence::Measured { .. }
            | Evidence::Hint { .. }
            | Evidence::Practised { .. } => false,
        });
    if spoken_of {
        return true;
    }
    if model.condition {
        return ranked.at_work >= CONDITION_AT_WORK;
    }
    let moves = |cause: CauseId| {
        base.model
            .causes
            .get(cause.index())
            .and_then(|c| c.shifts.get(group.index()))
            .is_some_and(|shifts| !shifts.is_empty())
    };
    moves(ranked.cause) || model.leads_to.iter().any(|(c, _)| moves(*c))
}

fn patterns(base: &KnowledgeBase, case: &Case) -> Vec<Pattern> {
    let mut out: Vec<Pattern> = Vec::new();
    for finding in &case.findings {
        if !out.contains(&finding.pattern) {
            out.push(finding.pattern.clone());
        }
    }
    if let Some(focus) = &case.focus
        && !out.contains(focus)
    {
        out.push(focus.clone());
    }
    if out.is_empty() {
        out.push(usual_pattern(base));
    }
    out
}

/// The pattern with most to explain; the one told first among equals.
fn focus(patterns: &[Pattern], case: &Case) -> usize {
    if let Some(focus) = &case.focus
        && let Some(index) = patterns.iter().position(|p| p == focus)
    {
        return index;
    }
    let weight = |pattern: &Pattern| -> usize {
        case.findings
            .iter()
            .filter(|f| f.pattern == *pattern)
            .map(|f| match f.what {
                What::Symptom {
                    present: Some(true),
                    ..
                } => 2,
                What::Number { .. } => 1,
                What::Symptom { .. } | What::AllWell => 0,
            })
            .sum()
    };
    let mut best = (0, 0);
    for (index, pattern) in patterns.iter().enumerate() {
        let w = weight(pattern);
        if w > best.1 {
            best = (index, w);
        }
    }
    best.0
}

/// The rules after everything was told, with the slots by name.
struct ToldRules {
    state: State,
}

fn tell_rules(base: &KnowledgeBase, case: &Case, patterns: &[Pattern]) -> ToldRules {
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
fn with_usual_error(value: Estimate, usual: Amount, shots: u16) -> Estimate {
    let n = f64::from(shots.max(1)).min(20.0);
    let sd = (value.sd().powi(2) + usual.base().powi(2) / n.sqrt()).sqrt();
    Estimate::from_base(value.mean(), sd, value.dimension()).unwrap_or(value)
}

fn rows(base: &KnowledgeBase, case: &Case, patterns: &[Pattern], told: &ToldRules) -> Vec<Row> {
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

fn flags(base: &KnowledgeBase, told: &ToldRules, patterns: usize) -> Vec<Flag> {
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

fn rule_clashes(base: &KnowledgeBase, told: &ToldRules) -> Vec<Clash> {
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

fn number_clashes(base: &KnowledgeBase, case: &Case, patterns: &[Pattern]) -> Vec<Clash> {
    let mut out = Vec::new();
    for (index, pattern) in patterns.iter().enumerate() {
        let mut said: BTreeMap<&str, Amount> = BTreeMap::new();
        for finding in case.findings.iter().filter(|f| f.pattern == *pattern) {
            if let What::Number {
                quantity, value, ..
            } = finding.what
            {
                said.insert(&base.quantity(quantity).id, value.middle());
            }
        }
        let measured = Measured::from_named(said);
        out.extend(
            disagreements(&measured)
                .into_iter()
                .map(|disagreement| Clash::Numbers {
                    pattern: index,
                    disagreement,
                }),
        );
    }
    out
}

fn said_and_denied(case: &Case) -> Vec<Clash> {
    let mut out = Vec::new();
    for (i, a) in case.findings.iter().enumerate() {
        for (j, b) in case.findings.iter().enumerate().skip(i + 1) {
            if a.pattern != b.pattern {
                continue;
            }
            if let (
                What::Symptom {
                    symptom: s,
                    present: Some(p),
                    ..
                },
                What::Symptom {
                    symptom: t,
                    present: Some(q),
                    ..
                },
            ) = (a.what, b.what)
                && s == t
                && p != q
            {
                out.push(Clash::Said { findings: (i, j) });
            }
        }
    }
    out
}

/// The findings as evidence about golfers, each once.
fn evidence(
    base: &KnowledgeBase,
    case: &Case,
    patterns: &[Pattern],
    rows: &[Row],
) -> Vec<(Token, Evidence)> {
    let mut out: Vec<(Token, Evidence)> = Vec::new();
    let candidates: Vec<&Row> = rows
        .iter()
        .filter(|row| weighed_in_derived_form(base, case, row))
        .collect();
    // Of numbers derived one from the other only the first is weighed.
    let derived: Vec<&Row> = candidates
        .iter()
        .copied()
        .filter(|row| {
            !candidates
                .iter()
                .any(|other| match (&row.origin, &other.origin) {
                    (Origin::Derived(a), Origin::Derived(b)) => a.rests_on(b),
                    _ => false,
                })
        })
        .collect();
    // Findings whose words are already weighed through a derived number.
    let replaced: Vec<usize> = derived
        .iter()
        .flat_map(|row| match &row.origin {
            Origin::Derived(why) => why.findings(),
            Origin::Said(finding) => vec![*finding],
        })
        .collect();
    for (index, finding) in case.findings.iter().enumerate() {
        let group = finding.pattern.group;
        let token = Token::Finding(index);
        match finding.what {
            What::Symptom {
                symptom,
                present,
                often,
            } => {
                let same = finding
                    .same_words_as
                    .is_some_and(|other| replaced.contains(&other));
                let repeated =
                    case.findings.iter().take(index).any(|earlier| {
                        earlier.pattern.group == group && earlier.what == finding.what
                    });
                if same || repeated {
                    continue;
                }
                out.push((
                    token,
                    match present {
                        Some(present) => Evidence::Symptom {
                            symptom,
                            group,
                            present,
                            often,
                        },
                        None => Evidence::Unsure { symptom, group },
                    },
                ));
            }
            What::Number {
                quantity,
                value,
                shots,
            } => {
                if base
                    .model
                    .measured
                    .get(quantity.index())
                    .is_some_and(Option::is_some)
                {
                    let value = with_usual_error(value, base.quantity(quantity).usual_error, shots);
                    out.push((
                        token,
                        Evidence::Measured {
                            quantity,
                            group,
                            value,
                        },
                    ));
                }
            }
            What::AllWell => {
                for symptom in &base.all_well_denies {
                    let symptom = *symptom;
                    let scope = base.model.symptoms.get(symptom.index());
                    if scope.is_some_and(|s| s.groups.is_empty() || s.groups.contains(&group)) {
                        out.push((
                            token,
                            Evidence::Symptom {
                                symptom,
                                group,
                                present: false,
                                often: None,
                            },
                        ));
                    }
                }
            }
        }
    }
    for row in derived {
        if let (Origin::Derived(why), Some(pattern)) = (&row.origin, patterns.get(row.pattern)) {
            let finding = why.findings().into_iter().min().unwrap_or(0);
            out.push((
                Token::Finding(finding),
                Evidence::Measured {
                    quantity: row.quantity,
                    group: pattern.group,
                    value: row.value,
                },
            ));
        }
    }
    for pattern in patterns {
        if let Some(cause) = pattern.lie.and_then(|lie| base.lie(lie).condition)
            && let Some(finding) = case.findings.iter().position(|f| f.pattern == *pattern)
        {
            out.push((
                Token::Finding(finding),
                Evidence::Known {
                    cause,
                    present: true,
                },
            ));
        }
    }
    out.extend(case.answers.iter().enumerate().map(|(i, (check, yes))| {
        (
            Token::Answer(i),
            Evidence::Answer {
                check: *check,
                yes: *yes,
            },
        )
    }));
    out.extend(case.hints.iter().enumerate().map(|(i, (cause, weight))| {
        (
            Token::Hint(i),
            Evidence::Hint {
                cause: *cause,
                weight: *weight,
            },
        )
    }));
    out.extend(
        case.practised
            .iter()
            .enumerate()
            .map(|(i, (cause, helped))| {
                (
                    Token::Practised(i),
                    Evidence::Practised {
                        cause: *cause,
                        helped: *helped,
                    },
                )
            }),
    );
    out
}

/// True for a derived number that golfers have, resting on at least one number they do not have,
/// unless the same words are also weighed as a symptom and nothing else is used.
fn weighed_in_derived_form(base: &KnowledgeBase, case: &Case, row: &Row) -> bool {
    let Origin::Derived(why) = &row.origin else {
        return false;
    };
    let axis = base
        .model
        .measured
        .get(row.quantity.index())
        .copied()
        .flatten();
    // A path or a face derived from path and face is no news.
    if axis.is_none_or(|(axis, _)| axis == Axis::SpinLoftDelivered) {
        return false;
    }
    let leaves = why.findings();
    let numbers: Vec<(usize, QuantityId)> = leaves
        .iter()
        .filter_map(|i| match case.findings.get(*i)?.what {
            What::Number { quantity, .. } => Some((*i, quantity)),
            What::Symptom { .. } | What::AllWell => None,
        })
        .collect();
    let unseen = numbers.iter().any(|(_, q)| {
        base.model
            .measured
            .get(q.index())
            .copied()
            .flatten()
            .is_none()
    });
    let twin = |index: usize| case.findings.iter().any(|f| f.same_words_as == Some(index));
    let only_a_twin = numbers.len() == 1 && numbers.iter().all(|(i, _)| twin(*i));
    unseen && !only_a_twin && leaves.len() == numbers.len()
}
