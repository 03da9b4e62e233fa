//! Why something does not hold: the rules that would conclude it, nearest first, with the
//! conditions that hold, the first that fails, and what observation would decide it.
//!
//! For each rule the assignment of its variables with the fewest failing conditions is looked for;
//! the search is bounded, so for rules over many patterns it may be a little further than the
//! nearest. A rule that would conclude the thing through a slot that is itself missing points on
//! to what could be observed to fill that slot.

use super::chain::State;
use super::clause::{Clause, Condition, HeadValue, Range, Test};
use super::fact::{FactId, PatternId, RuleIndex, SlotId, Stored, SymbolId, Value};
use super::matching::{column_holds, members};
use super::problem::Place;
use super::program::CLASH;
use super::why::Ground;
use crate::quantity::Estimate;
use std::collections::BTreeSet;

/// A condition that does not hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Failing {
    /// Its place in the rule.
    pub place: Place,
    /// The pattern, if it is known which.
    pub pattern: Option<PatternId>,
    /// The slot; none for "is another pattern".
    pub slot: Option<SlotId>,
    /// The facts that are there and fail the test, or that are there and should not be.
    pub facts: Vec<FactId>,
}

/// Something that could be observed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Observation {
    /// Of which pattern; none if of any other pattern.
    pub pattern: Option<PatternId>,
    /// The slot.
    pub slot: SlotId,
}

/// A rule that would conclude what is asked about.
#[derive(Debug, Clone, PartialEq)]
pub struct NearMiss {
    /// The rule.
    pub rule: RuleIndex,
    /// Which of its conclusions.
    pub then: usize,
    /// The conditions that hold, and what they stand on.
    pub holds: Vec<(Place, Ground)>,
    /// The conditions that fail, in the order in which they are written.
    pub fails: Vec<Failing>,
    /// What could be observed to decide the first failing condition.
    pub would_decide: Vec<Observation>,
}

impl NearMiss {
    /// The first condition that fails.
    pub fn first_failing(&self) -> Option<&Failing> {
        self.fails.first()
    }
}

/// How many assignments are looked at for one rule.
const SEARCH_LIMIT: usize = 20_000;
/// How far the search for an observation follows rules.
const DEPTH_LIMIT: usize = 8;

/// An assignment with its failing conditions.
#[derive(Clone)]
struct Attempt {
    patterns: Vec<Option<u32>>,
    values: Vec<Option<u32>>,
    holds: Vec<(usize, Ground)>,
    fails: Vec<usize>,
}

/// One way in which a condition holds.
#[derive(Default)]
struct Match {
    ground: Option<Ground>,
    pattern: Option<u32>,
    symbol: Option<u32>,
}

struct Search<'a> {
    state: &'a State,
    clause: &'a Clause,
    best: Option<Attempt>,
    left: usize,
}

impl State {
    /// The rules that would fill this slot of the pattern (with this flag or symbol, if one is
    /// given) and do not, fewest failing conditions first, ties by rule name. Empty if it holds,
    /// or if no rule concludes it.
    pub fn why_not(
        &self,
        pattern: PatternId,
        slot: SlotId,
        wanted: Option<Value>,
    ) -> Vec<NearMiss> {
        let holds = match wanted {
            Some(value) => self.holds(pattern, slot, value),
            None => self.value(pattern, slot).is_some(),
        };
        if holds {
            return Vec::new();
        }
        let mut path = BTreeSet::new();
        self.near_misses(pattern, slot, wanted, &mut path)
    }

    fn near_misses(
        &self,
        pattern: PatternId,
        slot: SlotId,
        wanted: Option<Value>,
        path: &mut BTreeSet<(u32, u32)>,
    ) -> Vec<NearMiss> {
        let wanted = wanted.map(Stored::from_value);
        let mut misses: Vec<NearMiss> = Vec::new();
        path.insert((pattern.0, slot.0));
        for clause in &self.program.0.clauses {
            for head in clause.heads.iter().filter(|h| h.slot == slot.0) {
                let mut values = vec![None; clause.values as usize];
                match (&head.value, wanted) {
                    (HeadValue::Symbol(s), Some(Stored::Symbol(w))) if *s != w => continue,
                    (HeadValue::SymbolVariable { variable, .. }, Some(Stored::Symbol(w))) => {
                        values[*variable as usize] = Some(w);
                    }
                    _ => {}
                }
                let mut patterns = vec![None; clause.patterns as usize];
                patterns[head.on as usize] = Some(pattern.0);
                let start = Attempt {
                    patterns,
                    values,
                    holds: Vec::new(),
                    fails: Vec::new(),
                };
                let mut search = Search {
                    state: self,
                    clause,
                    best: None,
                    left: SEARCH_LIMIT,
                };
                search.go(0, start);
                if let Some(best) = search.best.filter(|b| !b.fails.is_empty()) {
                    misses.push(self.near_miss(clause, usize::from(head.then), best, path));
                }
            }
        }
        path.remove(&(pattern.0, slot.0));
        let id = |m: &NearMiss| self.program.rule(m.rule).map_or("", |r| &r.id);
        misses.sort_by(|a, b| {
            let by_count = a.fails.len().cmp(&b.fails.len());
            by_count.then_with(|| id(a).cmp(id(b)))
        });
        misses.dedup();
        misses
    }

    fn near_miss(
        &self,
        clause: &Clause,
        then: usize,
        best: Attempt,
        path: &mut BTreeSet<(u32, u32)>,
    ) -> NearMiss {
        let place = |i: usize| clause.place(i);
        let fails: Vec<Failing> = best
            .fails
            .iter()
            .map(|&i| self.failing(&clause.conditions[i], place(i), &best))
            .collect();
        let first = best.fails.first().map(|&i| &clause.conditions[i]);
        let would_decide = match (first, fails.first()) {
            (Some(condition), Some(failing)) => self.observations(condition, failing, path),
            _ => Vec::new(),
        };
        let holds = best.holds.into_iter();
        NearMiss {
            rule: RuleIndex(clause.rule),
            then,
            holds: holds.map(|(i, ground)| (place(i), ground)).collect(),
            fails,
            would_decide,
        }
    }

    fn failing(&self, condition: &Condition, place: Place, attempt: &Attempt) -> Failing {
        let pattern = condition.on().and_then(|on| attempt.patterns[on as usize]);
        let mut facts = Vec::new();
        if let (Some(pattern), Some(slot)) = (pattern, condition.slot())
            && let Some(cell) = self.store.cell(pattern, slot)
        {
            facts.extend(self.store.in_cell(cell).map(FactId));
        } else if condition.on().is_none() {
            let group = condition.among();
            let group = group.and_then(|among| attempt.patterns[among.on as usize]);
            facts.extend(
                members(&self.store, condition, group)
                    .into_iter()
                    .map(FactId),
            );
        }
        facts.sort_by(|a, b| self.order_of_ids(&[*a], &[*b]));
        Failing {
            place,
            pattern: pattern.map(PatternId),
            slot: condition.slot().filter(|&s| s > CLASH).map(SlotId),
            facts,
        }
    }

    /// What could be observed to make a condition hold.
    fn observations(
        &self,
        condition: &Condition,
        failing: &Failing,
        path: &mut BTreeSet<(u32, u32)>,
    ) -> Vec<Observation> {
        let Some(slot) = failing.slot else {
            return Vec::new();
        };
        if matches!(
            condition,
            Condition::Unknown { .. } | Condition::Lacks { .. }
        ) {
            return Vec::new();
        }
        if self.program.is_observable(slot) {
            let pattern = failing.pattern;
            return vec![Observation { pattern, slot }];
        }
        let Some(pattern) = failing.pattern else {
            return Vec::new();
        };
        if path.len() > DEPTH_LIMIT || path.contains(&(pattern.0, slot.0)) {
            return Vec::new();
        }
        let wanted = match condition {
            Condition::Fact {
                test: Test::Is(symbol),
                ..
            } => Some(Value::Symbol(SymbolId(*symbol))),
            Condition::Fact { .. }
            | Condition::Number { .. }
            | Condition::Unknown { .. }
            | Condition::Lacks { .. }
            | Condition::Count { .. }
            | Condition::Mean { .. }
            | Condition::Gap { .. }
            | Condition::Differ { .. } => None,
        };
        let misses = self.near_misses(pattern, slot, wanted, path);
        let fewest = misses.first().map_or(0, |m| m.fails.len());
        let mut all: Vec<Observation> = misses
            .iter()
            .filter(|m| m.fails.len() == fewest)
            .flat_map(|m| m.would_decide.iter().copied())
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

impl Search<'_> {
    fn go(&mut self, at: usize, attempt: Attempt) {
        let Some(condition) = self.clause.conditions.get(at) else {
            let fewer = |b: &Attempt| attempt.fails.len() < b.fails.len();
            if self.best.as_ref().is_none_or(fewer) {
                self.best = Some(attempt);
            }
            return;
        };
        let hopeless = |b: &Attempt| attempt.fails.len() >= b.fails.len();
        if self.left == 0 || self.best.as_ref().is_some_and(hopeless) {
            return;
        }
        self.left -= 1;
        for found in self.matches(condition, &attempt) {
            let mut next = attempt.clone();
            if let (Some(on), Some(pattern)) = (condition.on(), found.pattern) {
                next.patterns[on as usize] = Some(pattern);
            }
            if let (Condition::Fact { bind: Some(v), .. }, Some(symbol)) = (condition, found.symbol)
            {
                next.values[*v as usize] = Some(symbol);
            }
            if let Some(ground) = found.ground {
                next.holds.push((at, ground));
            }
            self.go(at + 1, next);
        }
        let mut next = attempt;
        next.fails.push(at);
        self.go(at + 1, next);
    }

    /// Every way in which a condition holds.
    fn matches(&self, condition: &Condition, attempt: &Attempt) -> Vec<Match> {
        let of = |on: &u8| attempt.patterns[*on as usize];
        match condition {
            Condition::Fact {
                on,
                slot,
                test,
                bind,
            } => {
                let wanted = bind.and_then(|v| attempt.values[v as usize]);
                self.facts(of(on), *slot, test, wanted)
            }
            Condition::Number { on, slot, range } => self.numbers(of(on), *slot, *range),
            Condition::Unknown { on, slot } => self.absence(of(on), *slot, None),
            Condition::Lacks { on, slot, symbol } => self.absence(of(on), *slot, Some(*symbol)),
            Condition::Count { slot, .. } | Condition::Mean { slot, .. } => {
                let group = condition.among().and_then(|among| of(&among.on));
                let store = &self.state.store;
                let found = column_holds(store, condition, group)
                    .then(|| over(*slot, members(store, condition, group)));
                found.into_iter().collect()
            }
            Condition::Gap { a, b, range } => {
                let number = |met: u8| {
                    let held = attempt.holds.iter().find(|(at, _)| *at == usize::from(met));
                    match held {
                        Some((_, Ground::Fact(id))) => {
                            self.state.store.number(id.0).map(Estimate::mean)
                        }
                        _ => None,
                    }
                };
                // With a number missing it is that condition which fails.
                let gap = number(*a).zip(number(*b)).map(|(a, b)| a - b);
                let holds = gap.is_none_or(|gap| range.holds(gap));
                holds.then(Match::default).into_iter().collect()
            }
            Condition::Differ { a, b } => {
                let (a, b) = (of(a), of(b));
                let differ = a.is_none() || b.is_none() || a != b;
                differ.then(Match::default).into_iter().collect()
            }
        }
    }

    /// The cells of a slot: one if the pattern is known.
    fn cells(&self, pattern: Option<u32>, slot: u32) -> Vec<u32> {
        let store = &self.state.store;
        match pattern {
            Some(pattern) => store.cell(pattern, slot).into_iter().collect(),
            None => store.columns[slot as usize].cells.clone(),
        }
    }

    fn facts(
        &self,
        pattern: Option<u32>,
        slot: u32,
        test: &Test,
        wanted: Option<u32>,
    ) -> Vec<Match> {
        let state = self.state;
        let mut all: Vec<(FactId, u32)> = Vec::new();
        for cell in self.cells(pattern, slot) {
            for f in state.store.in_cell(cell) {
                if let Some(s) = state.store.symbol(f)
                    && test.passes(s)
                    && wanted.is_none_or(|w| w == s)
                {
                    all.push((FactId(f), s));
                }
            }
        }
        all.sort_by(|a, b| state.order_of_ids(&[a.0], &[b.0]));
        all.into_iter()
            .map(|(id, symbol)| {
                let pattern = state.store.facts[id.index()].pattern;
                let ground = if slot > CLASH {
                    Ground::Fact(id)
                } else {
                    Ground::Present(PatternId(pattern))
                };
                Match {
                    ground: Some(ground),
                    pattern: Some(pattern),
                    symbol: Some(symbol),
                }
            })
            .collect()
    }

    fn numbers(&self, pattern: Option<u32>, slot: u32, range: Range) -> Vec<Match> {
        let store = &self.state.store;
        let mut all = Vec::new();
        for cell in self.cells(pattern, slot) {
            let entry = &store.cells[cell as usize];
            if let Some(n) = store.number(entry.best)
                && range.holds(n.mean())
            {
                all.push(Match {
                    ground: Some(Ground::Fact(FactId(entry.best))),
                    pattern: Some(entry.pattern),
                    symbol: None,
                });
            }
        }
        all.sort_by_key(|m| m.pattern);
        all
    }

    fn absence(&self, pattern: Option<u32>, slot: u32, symbol: Option<u32>) -> Vec<Match> {
        let store = &self.state.store;
        let Some(pattern) = pattern else {
            return Vec::new();
        };
        let absent = store.cell(pattern, slot).is_none_or(|cell| match symbol {
            Some(symbol) => store.symbol_in(cell, symbol).is_none(),
            None => store.cells[cell as usize].count == 0,
        });
        let ground = Ground::Absent {
            pattern: PatternId(pattern),
            slot: SlotId(slot),
            symbol: symbol.map(SymbolId),
        };
        let found = absent.then_some(Match {
            ground: Some(ground),
            pattern: Some(pattern),
            symbol: None,
        });
        found.into_iter().collect()
    }
}

fn over(slot: u32, facts: Vec<u32>) -> Match {
    Match {
        ground: Some(Ground::Over {
            slot: SlotId(slot),
            facts: facts.into_iter().map(FactId).collect(),
        }),
        ..Match::default()
    }
}
