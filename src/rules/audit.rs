//! An auditor of explanations that shares no code with the engine.
//!
//! It reads the rules as they were written, not as they were compiled, and derives every step of
//! an explanation again: the grounds given must meet the conditions under one choice of variables,
//! the conclusion must come out as stated to the last bit, what is said to be absent must be
//! absent among all facts, counts and means are taken again, and no fact may rest on itself.

use super::chain::State;
use super::fact::{Fact, FactId, PatternId, SlotId, Value};
use super::problem::Place;
use super::program::Program;
use super::rule::{
    AmongSpec, ConclusionSpec, ConditionSpec, InputSpec, OutcomeSpec, RangeSpec, RuleSpec, TestSpec,
};
use super::why::{Explanation, Ground, Step, Way};
use crate::quantity::Estimate;
use std::collections::{BTreeMap, BTreeSet};

/// What is wrong with an explanation.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AuditError {
    /// A fact is used that the explanation does not explain.
    #[error("{0:?} is used and not explained")]
    Unexplained(FactId),
    /// A fact is explained that does not hold.
    #[error("{0:?} does not hold")]
    NotAFact(FactId),
    /// A fact that was neither told nor concluded.
    #[error("{0:?} is neither told nor concluded")]
    Groundless(FactId),
    /// A rule that does not give this fact from these grounds.
    #[error("the rule given for {0:?} does not give it")]
    DoesNotFollow(FactId),
    /// A fact that rests on itself.
    #[error("{0:?} rests on itself")]
    Circular(FactId),
    /// Nothing is explained.
    #[error("the explanation is empty")]
    Empty,
}

/// The variables chosen so far.
#[derive(Clone, Default)]
struct Chosen {
    patterns: BTreeMap<String, PatternId>,
    values: BTreeMap<String, Value>,
}

struct Audit<'a> {
    program: &'a Program,
    facts: &'a [Fact],
    /// Gives the names of symbols.
    names: &'a State,
    explanation: &'a Explanation,
}

/// Derives an explanation again from the rules as written, given the facts of the state.
///
/// # Errors
/// The first step that does not follow.
pub fn check(state: &State, explanation: &Explanation) -> Result<(), AuditError> {
    let facts: Vec<Fact> = state.facts().into_iter().map(|(_, fact)| fact).collect();
    let audit = Audit {
        program: state.program(),
        facts: &facts,
        names: state,
        explanation,
    };
    let root = explanation.steps.first().ok_or(AuditError::Empty)?;
    for step in &explanation.steps {
        audit.step(step)?;
    }
    audit.no_circle(root.id, &mut BTreeSet::new(), &mut BTreeSet::new())
}

impl Audit<'_> {
    fn step(&self, step: &Step) -> Result<(), AuditError> {
        let own = step.fact.slot.index() > 1;
        if own && !self.facts.contains(&step.fact) {
            return Err(AuditError::NotAFact(step.id));
        }
        let Some(way) = &step.way else {
            let told = !step.told.is_empty();
            return told.then_some(()).ok_or(AuditError::Groundless(step.id));
        };
        for id in grounds(way) {
            if self.explanation.step(id).is_none() {
                return Err(AuditError::Unexplained(id));
            }
        }
        let rule = self.program.rule(way.rule);
        let follows = rule.is_some_and(|rule| self.follows(rule, way, &step.fact));
        follows
            .then_some(())
            .ok_or(AuditError::DoesNotFollow(step.id))
    }

    fn no_circle(
        &self,
        id: FactId,
        above: &mut BTreeSet<FactId>,
        done: &mut BTreeSet<FactId>,
    ) -> Result<(), AuditError> {
        if done.contains(&id) {
            return Ok(());
        }
        if !above.insert(id) {
            return Err(AuditError::Circular(id));
        }
        let step = self.explanation.step(id);
        let way = step.and_then(|s| s.way.as_ref());
        for below in way.into_iter().flat_map(grounds) {
            self.no_circle(below, above, done)?;
        }
        above.remove(&id);
        done.insert(id);
        Ok(())
    }

    fn follows(&self, rule: &RuleSpec, way: &Way, fact: &Fact) -> bool {
        let Some(conclusion) = rule.then.get(way.then) else {
            return false;
        };
        let on = match conclusion {
            ConclusionSpec::Set { on, .. } | ConclusionSpec::Contradiction { on, .. } => on,
        };
        let mut chosen = Chosen::default();
        chosen.patterns.insert(on.clone(), fact.pattern);
        let conditions: Vec<(Place, &ConditionSpec)> = rule
            .when
            .iter()
            .enumerate()
            .map(|(i, c)| (Place::When(i), c))
            .collect();
        self.met(&conditions, way, chosen, &|chosen| {
            self.concludes(conclusion, chosen, fact)
        })
    }

    /// True if some choice of variables meets the conditions with the grounds given and passes
    /// the last test.
    fn met(
        &self,
        conditions: &[(Place, &ConditionSpec)],
        way: &Way,
        chosen: Chosen,
        last: &dyn Fn(&Chosen) -> bool,
    ) -> bool {
        let Some(((place, condition), rest)) = conditions.split_first() else {
            return last(&chosen);
        };
        let go_on = |chosen: Chosen| self.met(rest, way, chosen, last);
        match condition {
            ConditionSpec::Any(alternatives) => {
                alternatives.iter().enumerate().any(|(alternative, inner)| {
                    let when = match place {
                        Place::When(when) | Place::Any { when, .. } => *when,
                        Place::Whole | Place::Then(_) => return false,
                    };
                    let mut longer: Vec<(Place, &ConditionSpec)> = inner
                        .iter()
                        .enumerate()
                        .map(|(item, c)| match place {
                            Place::When(_) => {
                                let place = Place::Any {
                                    when,
                                    alternative,
                                    item,
                                };
                                (place, c)
                            }
                            Place::Whole | Place::Any { .. } | Place::Then(_) => (*place, c),
                        })
                        .collect();
                    longer.extend_from_slice(rest);
                    self.met(&longer, way, chosen.clone(), last)
                })
            }
            ConditionSpec::Slot {
                on,
                slot,
                test,
                bind,
            } => {
                let Some(slot) = self.program.slot(slot) else {
                    return false;
                };
                match test {
                    TestSpec::Unknown => self.absent(*place, way, on, slot, &[], &chosen, &go_on),
                    TestSpec::Lacks(names) => {
                        self.absent(*place, way, on, slot, names, &chosen, &go_on)
                    }
                    TestSpec::Known
                    | TestSpec::Flag(_)
                    | TestSpec::Is(_)
                    | TestSpec::Not(_)
                    | TestSpec::Range(_) => facts_at(way, *place, self.explanation)
                        .filter(|f| f.slot == slot && self.passes(test, f))
                        .any(|f| {
                            let mut chosen = chosen.clone();
                            let bound = bind
                                .as_ref()
                                .is_none_or(|name| put(&mut chosen.values, name, f.value));
                            bound && put(&mut chosen.patterns, on, f.pattern) && go_on(chosen)
                        }),
                }
            }
            // Looked at once every variable is chosen.
            ConditionSpec::Count {
                slot,
                test,
                range,
                among,
            } => self.met(rest, way, chosen, &|chosen| {
                let Some(slot) = self.program.slot(slot) else {
                    return false;
                };
                let passing = self.facts.iter();
                let passing = passing.filter(|f| f.slot == slot && self.passes(test, f));
                let patterns: BTreeSet<PatternId> = passing.map(|f| f.pattern).collect();
                let holds = |chosen: &Chosen| {
                    let here = patterns.iter();
                    let here = here.filter(|p| self.belongs(**p, among.as_ref(), chosen));
                    within(range, here.count() as f64) && last(chosen)
                };
                with_group(way, among.as_ref(), chosen).iter().any(holds)
            }),
            ConditionSpec::Mean { slot, range, among } => self.met(rest, way, chosen, &|chosen| {
                let Some(slot) = self.program.slot(slot) else {
                    return false;
                };
                let holds = |chosen: &Chosen| {
                    let mean = self.mean(slot, &|p| self.belongs(p, among.as_ref(), chosen));
                    mean.is_some_and(|m| within(range, m)) && last(chosen)
                };
                with_group(way, among.as_ref(), chosen).iter().any(holds)
            }),
            ConditionSpec::Difference { of, range } => self.met(rest, way, chosen, &|chosen| {
                let number = |name: &String| match chosen.values.get(name) {
                    Some(Value::Number(n)) => Some(n.mean()),
                    Some(Value::Flag(_) | Value::Symbol(_)) | None => None,
                };
                let [a, b] = of.each_ref().map(number);
                a.zip(b).is_some_and(|(a, b)| within(range, a - b)) && last(chosen)
            }),
            ConditionSpec::Same { on, with, slot } => {
                let Some(slot) = self.program.slot(slot) else {
                    return false;
                };
                let of_slot = |f: &&Fact| f.slot == slot;
                facts_at(way, *place, self.explanation)
                    .filter(of_slot)
                    .any(|a| {
                        facts_at(way, *place, self.explanation)
                            .filter(|b| of_slot(b) && b.value == a.value)
                            .any(|b| {
                                let mut chosen = chosen.clone();
                                put(&mut chosen.patterns, on, a.pattern)
                                    && put(&mut chosen.patterns, with, b.pattern)
                                    && go_on(chosen)
                            })
                    })
            }
            // Looked at once every variable is chosen.
            ConditionSpec::Different { on, from } => self.met(rest, way, chosen, &|chosen| {
                let (a, b) = (chosen.patterns.get(on), chosen.patterns.get(from));
                (a.is_none() || b.is_none() || a != b) && last(chosen)
            }),
        }
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "the parts of one condition and the rest of the search"
    )]
    fn absent(
        &self,
        place: Place,
        way: &Way,
        on: &str,
        slot: SlotId,
        names: &[String],
        chosen: &Chosen,
        go_on: &dyn Fn(Chosen) -> bool,
    ) -> bool {
        let patterns = way.grounds.iter().filter_map(|(at, ground)| match ground {
            Ground::Absent {
                pattern, slot: s, ..
            } if *at == place && *s == slot => Some(*pattern),
            Ground::Fact(_) | Ground::Present(_) | Ground::Absent { .. } | Ground::Over { .. } => {
                None
            }
        });
        let patterns: BTreeSet<PatternId> = patterns.collect();
        patterns.into_iter().any(|pattern| {
            let mut chosen = chosen.clone();
            let mut here = self
                .facts
                .iter()
                .filter(|f| f.pattern == pattern && f.slot == slot);
            let absent = if names.is_empty() {
                here.next().is_none()
            } else {
                here.all(|f| !self.is_one_of(f.value, names))
            };
            absent && put(&mut chosen.patterns, on, pattern) && go_on(chosen)
        })
    }

    fn is_one_of(&self, value: Value, names: &[String]) -> bool {
        match value {
            Value::Symbol(s) => names.iter().any(|n| n == self.names.symbol_name(s)),
            Value::Flag(truth) => names.contains(&truth.to_string()),
            Value::Number(_) => false,
        }
    }

    /// True if a fact passes a test; numbers must be the ones in use.
    fn passes(&self, test: &TestSpec, fact: &Fact) -> bool {
        let in_use = match fact.value {
            Value::Number(n) => self.in_use(fact.pattern, fact.slot) == Some(n),
            Value::Flag(_) | Value::Symbol(_) => true,
        };
        in_use
            && match (test, fact.value) {
                (TestSpec::Known, _) => true,
                (TestSpec::Flag(wanted), Value::Flag(truth)) => *wanted == truth,
                (TestSpec::Is(names), value) => self.is_one_of(value, names),
                (TestSpec::Not(names), Value::Symbol(_)) => {
                    let here = |f: &&Fact| f.pattern == fact.pattern && f.slot == fact.slot;
                    let mut here = self.facts.iter().filter(here);
                    here.all(|f| !self.is_one_of(f.value, names))
                }
                (TestSpec::Range(range), Value::Number(n)) => within(range, n.mean()),
                _ => false,
            }
    }

    /// The number with the least error, the least number of those.
    fn in_use(&self, pattern: PatternId, slot: SlotId) -> Option<Estimate> {
        let mut best: Option<Estimate> = None;
        for fact in self.facts {
            if let Value::Number(n) = fact.value
                && fact.pattern == pattern
                && fact.slot == slot
            {
                let key = |e: Estimate| (e.sd(), e.mean());
                best = Some(best.map_or(n, |b| if key(n) < key(b) { n } else { b }));
            }
        }
        best
    }

    /// True if the pattern is one of those that a count or a mean is about.
    fn belongs(&self, pattern: PatternId, among: Option<&AmongSpec>, chosen: &Chosen) -> bool {
        let Some(among) = among else {
            return true;
        };
        let Some(slot) = self.program.slot(&among.slot) else {
            return false;
        };
        let of = |p: PatternId| {
            let here = self.facts.iter();
            here.filter(move |f| f.pattern == p && f.slot == slot)
        };
        let Some(other) = chosen.patterns.get(&among.on) else {
            return false;
        };
        of(pattern).any(|f| of(*other).any(|g| f.value == g.value))
    }

    fn mean(&self, slot: SlotId, belongs: &dyn Fn(PatternId) -> bool) -> Option<f64> {
        let patterns = self.facts.iter().filter(|f| f.slot == slot);
        let patterns: BTreeSet<PatternId> = patterns.map(|f| f.pattern).collect();
        let numbers: Vec<f64> = patterns
            .into_iter()
            .filter(|p| belongs(*p))
            .filter_map(|p| self.in_use(p, slot).map(Estimate::mean))
            .collect();
        (!numbers.is_empty()).then(|| numbers.iter().sum::<f64>() / numbers.len() as f64)
    }

    fn concludes(&self, conclusion: &ConclusionSpec, chosen: &Chosen, fact: &Fact) -> bool {
        match conclusion {
            ConclusionSpec::Contradiction { on, between } => {
                let stated = match fact.value {
                    Value::Symbol(s) => self.names.symbol_name(s),
                    Value::Flag(_) | Value::Number(_) => return false,
                };
                let mut pair: Vec<&str> = between.iter().map(String::as_str).collect();
                pair.sort_unstable();
                chosen.patterns.get(on) == Some(&fact.pattern) && stated == pair.join(" / ")
            }
            ConclusionSpec::Set { on, slot, to } => {
                chosen.patterns.get(on) == Some(&fact.pattern)
                    && self.program.slot(slot) == Some(fact.slot)
                    && self.gives(to, chosen, fact.value)
            }
        }
    }

    fn gives(&self, outcome: &OutcomeSpec, chosen: &Chosen, value: Value) -> bool {
        match (outcome, value) {
            (OutcomeSpec::Flag(wanted), Value::Flag(truth)) => *wanted == truth,
            (OutcomeSpec::Symbol(name), Value::Symbol(s)) => name == self.names.symbol_name(s),
            (OutcomeSpec::Number(n), Value::Number(found)) => *n == found,
            (OutcomeSpec::Variable(name), value) => chosen.values.get(name) == Some(&value),
            (OutcomeSpec::Computed { by, of }, Value::Number(found)) => {
                let inputs: Option<Vec<Estimate>> = of
                    .iter()
                    .map(|input| match input {
                        InputSpec::Number(n) => Some(*n),
                        InputSpec::Variable(name) => match chosen.values.get(name) {
                            Some(Value::Number(n)) => Some(*n),
                            _ => None,
                        },
                    })
                    .collect();
                let functions = &self.program.0.functions;
                let function = functions.iter().find(|f| f.name == *by);
                let result = function
                    .zip(inputs)
                    .and_then(|(f, inputs)| (f.apply)(&inputs));
                result == Some(found)
            }
            _ => false,
        }
    }
}

/// Every choice of the pattern whose group is meant, if no other condition speaks of it: one of those
/// that are only there.
fn with_group(way: &Way, among: Option<&AmongSpec>, chosen: &Chosen) -> Vec<Chosen> {
    let Some(among) = among.filter(|a| !chosen.patterns.contains_key(&a.on)) else {
        return vec![chosen.clone()];
    };
    let present = way.grounds.iter().filter_map(|(_, ground)| match ground {
        Ground::Present(pattern) => Some(*pattern),
        Ground::Fact(_) | Ground::Absent { .. } | Ground::Over { .. } => None,
    });
    present
        .map(|pattern| {
            let mut chosen = chosen.clone();
            chosen.patterns.insert(among.on.clone(), pattern);
            chosen
        })
        .collect()
}

/// Chooses a value for a variable; false if another was chosen before.
fn put<T: PartialEq>(chosen: &mut BTreeMap<String, T>, name: &str, value: T) -> bool {
    if let Some(known) = chosen.get(name) {
        *known == value
    } else {
        chosen.insert(name.to_owned(), value);
        true
    }
}

fn within(range: &RangeSpec, x: f64) -> bool {
    let low = range.low.is_none_or(|b| {
        if b.inclusive {
            x >= b.at.base()
        } else {
            x > b.at.base()
        }
    });
    let high = range.high.is_none_or(|b| {
        if b.inclusive {
            x <= b.at.base()
        } else {
            x < b.at.base()
        }
    });
    low && high
}

/// The facts that a way rests on.
fn grounds(way: &Way) -> impl Iterator<Item = FactId> {
    way.grounds.iter().flat_map(|(_, ground)| match ground {
        Ground::Fact(id) => vec![*id],
        Ground::Over { facts, .. } => facts.clone(),
        Ground::Present(_) | Ground::Absent { .. } => Vec::new(),
    })
}

/// The facts given as grounds of one condition.
fn facts_at<'a>(
    way: &'a Way,
    place: Place,
    explanation: &'a Explanation,
) -> impl Iterator<Item = &'a Fact> {
    let here = way.grounds.iter().filter(move |(at, _)| *at == place);
    here.filter_map(|(_, ground)| match ground {
        Ground::Fact(id) => explanation.step(*id).map(|s| &s.fact),
        Ground::Present(_) | Ground::Absent { .. } | Ground::Over { .. } => None,
    })
}
