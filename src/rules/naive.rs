//! The slow engine that the fast one is tested against: for each stratum, every clause under every
//! assignment of patterns and values, over and over until nothing new appears.
//!
//! It shares the checked clauses with the engine and nothing else: no indexes, no increments, no
//! justification store. It keeps each instance that fired, so that justifications can be compared.

use super::clause::{Among, Clause, Condition, CountTest, HeadValue, Input, Test};
use super::fact::{Fact, PatternId, SlotId, Stored, SymbolId, TRUE, Value};
use super::program::{CLASH, Compiled, Kind, PRESENT, Program};
use crate::quantity::Estimate;
use std::collections::{BTreeMap, BTreeSet};

/// A value that can be compared: symbols by number, numbers by their bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Exact {
    Symbol(u32),
    Number(u64, u64),
}

/// A fact that can be compared.
type Key = (u32, u32, Exact);

/// An instance of a clause that fired.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Firing {
    clause: usize,
    head: usize,
    patterns: Vec<u32>,
    /// The symbol that met each condition.
    met: Vec<Option<u32>>,
    conclusion: Key,
}

/// Everything that follows from what is told.
#[derive(Debug, Clone, Default)]
pub struct Fixpoint {
    facts: BTreeMap<Key, Stored>,
    firings: BTreeSet<Firing>,
    kinds: Vec<Kind>,
}

impl Fixpoint {
    /// The facts, sorted by pattern and slot, without those the engine keeps for itself.
    pub fn facts(&self) -> Vec<Fact> {
        let told = self.facts.iter().filter(|(k, _)| k.1 > CLASH);
        told.map(|(&(pattern, slot, _), &value)| Fact {
            pattern: PatternId(pattern),
            slot: SlotId(slot),
            value: self.value(slot, value),
        })
        .collect()
    }

    fn value(&self, slot: u32, value: Stored) -> Value {
        match (value, self.kinds.get(slot as usize)) {
            (Stored::Number(n), _) => Value::Number(n),
            (Stored::Symbol(s), Some(Kind::Flag)) => Value::Flag(s == TRUE),
            (Stored::Symbol(s), _) => Value::Symbol(SymbolId(s)),
        }
    }

    /// How many different instances of rules concluded this fact.
    pub fn derivations(&self, fact: &Fact) -> usize {
        let key = key(fact.pattern.0, fact.slot.0, Stored::from_value(fact.value));
        self.firings.iter().filter(|f| f.conclusion == key).count()
    }
}

fn exact(value: Stored) -> Exact {
    match value {
        Stored::Symbol(s) => Exact::Symbol(s),
        Stored::Number(n) => Exact::Number(n.mean().to_bits(), n.sd().to_bits()),
    }
}

fn key(pattern: u32, slot: u32, value: Stored) -> Key {
    (pattern, slot, exact(value))
}

/// The least fixpoint of the rules over the facts told.
pub fn fixpoint(program: &Program, told: &[Fact]) -> Fixpoint {
    let program = &*program.0;
    let mut result = Fixpoint {
        kinds: program.slots.iter().map(|s| s.kind).collect(),
        ..Fixpoint::default()
    };
    for fact in told {
        let value = Stored::from_value(fact.value);
        let (pattern, slot) = (fact.pattern.0, fact.slot.0);
        result.facts.insert(key(pattern, slot, value), value);
        let there = Stored::Symbol(TRUE);
        result.facts.insert(key(pattern, PRESENT, there), there);
    }
    for stratum in 0..program.strata {
        loop {
            let firings = round(program, stratum, &result.facts);
            let before = result.facts.len();
            for (firing, value) in firings {
                result.facts.insert(firing.conclusion, value);
                result.firings.insert(firing);
            }
            if result.facts.len() == before {
                break;
            }
        }
    }
    result
}

/// Every instance of the stratum's clauses that holds now.
fn round(program: &Compiled, stratum: u32, facts: &BTreeMap<Key, Stored>) -> Vec<(Firing, Stored)> {
    let patterns: BTreeSet<u32> = facts.keys().map(|k| k.0).collect();
    let mut out = Vec::new();
    for (number, clause) in program.clauses.iter().enumerate() {
        if clause.stratum != stratum {
            continue;
        }
        let mut assignments: Vec<Vec<u32>> = vec![Vec::new()];
        for _ in 0..clause.patterns {
            assignments = assignments
                .iter()
                .flat_map(|a| {
                    patterns.iter().map(|&p| {
                        let mut longer = a.clone();
                        longer.push(p);
                        longer
                    })
                })
                .collect();
        }
        for patterns in assignments {
            let values = vec![None; clause.values as usize];
            let mut met = vec![None; clause.conditions.len()];
            let mut emit = |values: &[Option<u32>], met: &[Option<Stored>]| {
                for (i, head) in clause.heads.iter().enumerate() {
                    if let Some(value) = conclude(program, &head.value, values, met) {
                        let pattern = patterns[head.on as usize];
                        let firing = Firing {
                            clause: number,
                            head: i,
                            patterns: patterns.clone(),
                            met: met.iter().map(|m| symbol(*m)).collect(),
                            conclusion: key(pattern, head.slot, value),
                        };
                        out.push((firing, value));
                    }
                }
            };
            meet(clause, 0, &patterns, facts, values, &mut met, &mut emit);
        }
    }
    out
}

/// Meets the conditions from `at` on under one assignment of patterns.
fn meet(
    clause: &Clause,
    at: usize,
    patterns: &[u32],
    facts: &BTreeMap<Key, Stored>,
    values: Vec<Option<u32>>,
    met: &mut Vec<Option<Stored>>,
    emit: &mut impl FnMut(&[Option<u32>], &[Option<Stored>]),
) {
    let Some(condition) = clause.conditions.get(at) else {
        emit(&values, met);
        return;
    };
    let of = |on: u8, slot: u32| -> Vec<Stored> {
        let pattern = patterns[on as usize];
        let here = facts.iter().filter(|(k, _)| (k.0, k.1) == (pattern, slot));
        here.map(|(_, &v)| v).collect()
    };
    let passes = match condition {
        Condition::Fact {
            on,
            slot,
            test,
            bind,
        } => {
            for value in of(*on, *slot) {
                let Stored::Symbol(symbol) = value else {
                    continue;
                };
                if !is(test, symbol) {
                    continue;
                }
                let mut values = values.clone();
                if let Some(v) = bind {
                    match values[*v as usize] {
                        Some(other) if other != symbol => continue,
                        _ => values[*v as usize] = Some(symbol),
                    }
                }
                met[at] = Some(value);
                meet(clause, at + 1, patterns, facts, values, met, emit);
            }
            met[at] = None;
            return;
        }
        Condition::Number { on, slot, range } => {
            let best = best(&of(*on, *slot));
            met[at] = best.map(Stored::Number);
            best.is_some_and(|n| range.holds(n.mean()))
        }
        Condition::Unknown { on, slot } => of(*on, *slot).is_empty(),
        Condition::Lacks { on, slot, symbol } => {
            let wanted = Exact::Symbol(*symbol);
            !of(*on, *slot).iter().any(|v| exact(*v) == wanted)
        }
        Condition::Count {
            slot,
            counted,
            range,
        } => {
            let all = group(facts, counted.among, patterns);
            let passing = all.iter().filter(|&&p| {
                let here = facts.iter().filter(|(k, _)| (k.0, k.1) == (p, *slot));
                let here: Vec<Stored> = here.map(|(_, &v)| v).collect();
                match &counted.test {
                    CountTest::Symbol(test) => here.iter().any(|v| match v {
                        Stored::Symbol(s) => is(test, *s),
                        Stored::Number(_) => false,
                    }),
                    CountTest::Number(range) => best(&here).is_some_and(|n| range.holds(n.mean())),
                }
            });
            range.holds(passing.count() as f64)
        }
        Condition::Mean { slot, range, among } => {
            let all = group(facts, among.as_deref().copied(), patterns);
            let numbers: Vec<f64> = all
                .iter()
                .filter_map(|&p| {
                    let here = facts.iter().filter(|(k, _)| (k.0, k.1) == (p, *slot));
                    let here: Vec<Stored> = here.map(|(_, &v)| v).collect();
                    best(&here).map(Estimate::mean)
                })
                .collect();
            let mean = numbers.iter().sum::<f64>() / numbers.len() as f64;
            !numbers.is_empty() && range.holds(mean)
        }
        Condition::Gap { a, b, range } => {
            let numbers = number_of(met[*a as usize]).zip(number_of(met[*b as usize]));
            numbers.is_some_and(|(a, b)| range.holds(a.mean() - b.mean()))
        }
        Condition::Differ { a, b } => patterns[*a as usize] != patterns[*b as usize],
    };
    if passes {
        meet(clause, at + 1, patterns, facts, values, met, emit);
    }
}

/// The patterns that a count or a mean is about.
fn group(facts: &BTreeMap<Key, Stored>, among: Option<Among>, patterns: &[u32]) -> BTreeSet<u32> {
    let all: BTreeSet<u32> = facts.keys().map(|k| k.0).collect();
    let Some(Among { on, slot }) = among else {
        return all;
    };
    let of = patterns[on as usize];
    let has = |p: u32, value: Exact| facts.contains_key(&(p, slot, value));
    let values = facts.keys().filter(|k| (k.0, k.1) == (of, slot));
    let values: Vec<Exact> = values.map(|k| k.2).collect();
    all.into_iter()
        .filter(|&p| values.iter().any(|&v| has(p, v)))
        .collect()
}

fn is(test: &Test, symbol: u32) -> bool {
    match test {
        Test::Any => true,
        Test::Is(s) => *s == symbol,
        Test::OneOf(many) => many.contains(&symbol),
    }
}

/// The number with the smallest error, the smaller one of equal errors.
fn best(values: &[Stored]) -> Option<Estimate> {
    let numbers = values.iter().filter_map(|v| match v {
        Stored::Number(n) => Some(*n),
        Stored::Symbol(_) => None,
    });
    numbers.reduce(|a, b| {
        let better = b.sd() < a.sd() || (b.sd() <= a.sd() && b.mean() < a.mean());
        if better { b } else { a }
    })
}

fn conclude(
    program: &Compiled,
    value: &HeadValue,
    values: &[Option<u32>],
    met: &[Option<Stored>],
) -> Option<Stored> {
    let number = |n: Estimate| Stored::from_value(Value::Number(n));
    match value {
        HeadValue::Symbol(s) => Some(Stored::Symbol(*s)),
        HeadValue::SymbolVariable { variable, .. } => {
            values[*variable as usize].map(Stored::Symbol)
        }
        HeadValue::Number(n) => Some(number(**n)),
        HeadValue::NumberOf(c) => number_of(met[*c as usize]).map(number),
        HeadValue::Computed { function, inputs } => {
            let function = &program.functions[*function as usize];
            let mut given = Vec::new();
            for input in inputs {
                given.push(match input {
                    Input::NumberOf(c) => number_of(met[*c as usize])?,
                    Input::Number(n) => *n,
                });
            }
            let result = (function.apply)(&given)?;
            (result.dimension() == function.output).then(|| number(result))
        }
    }
}

const fn symbol(value: Option<Stored>) -> Option<u32> {
    match value {
        Some(Stored::Symbol(s)) => Some(s),
        Some(Stored::Number(_)) | None => None,
    }
}

const fn number_of(value: Option<Stored>) -> Option<Estimate> {
    match value {
        Some(Stored::Number(n)) => Some(n),
        Some(Stored::Symbol(_)) | None => None,
    }
}
