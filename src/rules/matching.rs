//! Which instances of a clause a change completes.
//!
//! A change is a fact, the number in use of a cell, an absence, or a count. Changes become visible
//! one at a time; when one does, every clause with a condition on it is tried with that condition
//! met by the change and all others met by what is visible. A condition written before it must not
//! be met by the same change. So each instance is found exactly once, when its last part appears.

use super::clause::{Clause, Condition, CountTest, MAX_CONDITIONS, MAX_VARIABLES, Test};
use super::index::Target;
use super::program::Compiled;
use super::store::{NONE, Premise, Store};
use crate::quantity::Estimate;

/// Something that became visible.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Change {
    Fact(u32),
    Number(u32),
    Absence(u32),
    Column(u32),
}

/// Instances found, waiting to be carried out: per instance the clause and one premise for each
/// of its conditions, in flat vectors.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    pub(crate) clauses: Vec<u32>,
    pub(crate) premises: Vec<Premise>,
    /// What met each condition of the attempt at hand.
    attempt: [Premise; MAX_CONDITIONS],
    /// How many more steps of matching may be taken; none are taken at 0.
    pub(crate) steps_left: usize,
}

impl Default for Found {
    fn default() -> Self {
        Self {
            clauses: Vec::new(),
            premises: Vec::new(),
            attempt: [Premise::Fixed; MAX_CONDITIONS],
            steps_left: 0,
        }
    }
}

/// The pattern and symbol variables bound so far; [`NONE`] for those that are not.
struct Binding {
    patterns: [u32; MAX_VARIABLES],
    values: [u32; MAX_VARIABLES],
}

/// One attempt to complete a clause.
struct Attempt<'a> {
    store: &'a Store,
    clause: &'a Clause,
    number: u32,
    /// The condition met by the change, and the change.
    first: usize,
    change: Change,
    plan: &'a [u8],
    /// The first condition is to be looked at in the end.
    waits: bool,
    binding: Binding,
    found: &'a mut Found,
}

/// Collects every instance of the target's clause in which its condition is met by the change.
pub(crate) fn complete(
    program: &Compiled,
    store: &Store,
    target: Target,
    change: Change,
    found: &mut Found,
) {
    let clause = &program.clauses[target.clause as usize];
    let first = target.condition as usize;
    if clause.is_simple {
        complete_simple(store, target, clause, change, found);
        return;
    }
    let mut attempt = Attempt {
        store,
        clause,
        number: target.clause,
        first,
        change,
        plan: plan_of(clause, first),
        waits: false,
        binding: Binding {
            patterns: [NONE; MAX_VARIABLES],
            values: [NONE; MAX_VARIABLES],
        },
        found,
    };
    match change {
        Change::Fact(fact) => attempt.with_fact(first, fact, 0),
        Change::Number(cell) => {
            let entry = &store.cells[cell as usize];
            attempt.with_number(first, entry.pattern, entry.best, 0);
        }
        Change::Absence(cell) => {
            let pattern = store.cells[cell as usize].pattern;
            if let Some(on) = clause.conditions[first].on() {
                attempt.binding.patterns[on as usize] = pattern;
            }
            if attempt.absent(&clause.conditions[first], first) {
                attempt.step(0);
            }
        }
        Change::Column(slot) => {
            if clause.conditions[first].among().is_some() {
                // Which patterns it is about shows when the others are met.
                attempt.found.attempt[first] = Premise::Column(slot);
                attempt.waits = true;
                attempt.step(0);
            } else if attempt.column_holds(first) {
                attempt.step(0);
            }
        }
    }
}

/// The same for a clause of one pattern in which each condition can be met in one way.
fn complete_simple(
    store: &Store,
    target: Target,
    clause: &Clause,
    change: Change,
    found: &mut Found,
) {
    let pattern = match change {
        Change::Fact(fact) => store.facts[fact as usize].pattern,
        Change::Number(cell) | Change::Absence(cell) => store.cells[cell as usize].pattern,
        Change::Column(_) => return,
    };
    let start = found.premises.len();
    for (i, condition) in clause.conditions.iter().enumerate() {
        let earlier = i < target.condition as usize;
        if let Some(premise) = met(store, condition, pattern, earlier.then_some(change)) {
            found.premises.push(premise);
        } else {
            found.premises.truncate(start);
            return;
        }
    }
    if found.steps_left == 0 {
        found.premises.truncate(start);
        return;
    }
    found.steps_left -= 1;
    found.clauses.push(target.clause);
}

/// What meets a condition of a simple clause, other than the change `not`.
fn met(store: &Store, condition: &Condition, pattern: u32, not: Option<Change>) -> Option<Premise> {
    let slot = condition.slot()?;
    let cell = store.cell(pattern, slot);
    match condition {
        Condition::Fact {
            test: Test::Is(symbol),
            ..
        } => {
            let fact = store.symbol_in(cell?, *symbol)?;
            let visible = !store.facts[fact as usize].pending && not != Some(Change::Fact(fact));
            visible.then_some(Premise::Fact(fact))
        }
        Condition::Number { range, .. } => {
            let cell = cell?;
            let entry = &store.cells[cell as usize];
            let number = store.number(entry.best)?;
            let visible = !entry.number_pending && not != Some(Change::Number(cell));
            (visible && range.holds(number.mean())).then_some(Premise::Fact(entry.best))
        }
        Condition::Unknown { .. } | Condition::Lacks { .. } => {
            let Some(cell) = cell else {
                return Some(Premise::Absence(NONE));
            };
            let entry = &store.cells[cell as usize];
            let absent = match condition {
                Condition::Lacks { symbol, .. } => store.symbol_in(cell, *symbol).is_none(),
                Condition::Unknown { .. }
                | Condition::Fact { .. }
                | Condition::Number { .. }
                | Condition::Count { .. }
                | Condition::Mean { .. }
                | Condition::Gap { .. }
                | Condition::Differ { .. } => entry.count == 0,
            };
            let visible = !entry.absence_pending && not != Some(Change::Absence(cell));
            (visible && absent).then_some(Premise::Absence(cell))
        }
        Condition::Fact { .. }
        | Condition::Count { .. }
        | Condition::Mean { .. }
        | Condition::Gap { .. }
        | Condition::Differ { .. } => None,
    }
}

/// The order in which to look at the conditions other than this one.
fn plan_of(clause: &Clause, condition: usize) -> &[u8] {
    let others = clause.conditions.len().saturating_sub(1);
    let from = condition * others;
    clause.plans.get(from..from + others).unwrap_or(&[])
}

impl Attempt<'_> {
    /// Meets the conditions of the plan from `at` on in every possible way.
    fn step(&mut self, at: usize) {
        if self.found.steps_left == 0 {
            return;
        }
        self.found.steps_left -= 1;
        let Some(&index) = self.plan.get(at) else {
            if self.waits && !self.column_holds(self.first) {
                return;
            }
            self.found.clauses.push(self.number);
            let count = self.clause.conditions.len();
            let found = &mut *self.found;
            found.premises.extend_from_slice(&found.attempt[..count]);
            return;
        };
        let index = index as usize;
        let clause = self.clause;
        let condition = &clause.conditions[index];
        match condition {
            Condition::Fact {
                on,
                slot,
                test,
                bind,
            } => self.step_fact(at, index, (*on, *slot), test, *bind),
            Condition::Number { on, slot, .. } => {
                if let Some(pattern) = self.pattern(*on) {
                    if let Some(cell) = self.store.cell(pattern, *slot) {
                        self.number_of_cell(at, index, cell);
                    }
                } else {
                    let store = self.store;
                    for &cell in &store.columns[*slot as usize].cells {
                        self.number_of_cell(at, index, cell);
                    }
                }
            }
            Condition::Unknown { .. } | Condition::Lacks { .. } => {
                if self.absent(condition, index) {
                    self.step(at + 1);
                }
            }
            Condition::Count { .. } | Condition::Mean { .. } => {
                if self.column_holds(index) {
                    self.step(at + 1);
                }
            }
            Condition::Gap { a, b, range } => {
                let number = |met: &u8| match self.found.attempt[*met as usize] {
                    Premise::Fact(fact) => self.store.number(fact).map(Estimate::mean),
                    Premise::Absence(_) | Premise::Column(_) | Premise::Fixed => None,
                };
                let gap = number(a).zip(number(b)).map(|(a, b)| a - b);
                self.found.attempt[index] = Premise::Fixed;
                if gap.is_some_and(|gap| range.holds(gap)) {
                    self.step(at + 1);
                }
            }
            Condition::Differ { a, b } => {
                self.found.attempt[index] = Premise::Fixed;
                if self.pattern(*a) != self.pattern(*b) {
                    self.step(at + 1);
                }
            }
        }
    }

    fn pattern(&self, variable: u8) -> Option<u32> {
        let pattern = self.binding.patterns[variable as usize];
        (pattern != NONE).then_some(pattern)
    }

    /// Meets a condition on a flag or symbol with every fact that suits it.
    fn step_fact(
        &mut self,
        at: usize,
        index: usize,
        (on, slot): (u8, u32),
        test: &Test,
        bind: Option<u8>,
    ) {
        let store = self.store;
        let wanted = match (test, bind) {
            (Test::Is(symbol), _) => *symbol,
            (Test::Any | Test::OneOf(_), Some(v)) => self.binding.values[v as usize],
            (Test::Any | Test::OneOf(_), None) => NONE,
        };
        let pattern = self.binding.patterns[on as usize];
        if pattern != NONE {
            let Some(cell) = store.cell(pattern, slot) else {
                return;
            };
            if wanted == NONE {
                for fact in store.in_cell(cell) {
                    self.try_fact(at, index, fact);
                }
            } else if let Some(fact) = store.symbol_in(cell, wanted) {
                self.try_fact(at, index, fact);
            }
            return;
        }
        let column = &store.columns[slot as usize];
        if wanted == NONE {
            for &cell in &column.cells {
                for fact in store.in_cell(cell) {
                    self.try_fact(at, index, fact);
                }
            }
        } else if let Some(facts) = column.by_symbol.get(wanted as usize) {
            for &fact in facts {
                self.try_fact(at, index, fact);
            }
        }
    }

    fn try_fact(&mut self, at: usize, index: usize, fact: u32) {
        let entry = &self.store.facts[fact as usize];
        let same_change = index < self.first && self.change == Change::Fact(fact);
        if entry.alive && !entry.pending && !same_change {
            self.with_fact(index, fact, at + 1);
        }
    }

    /// Meets a condition with a fact, goes on with the plan from `next`, and undoes the bindings.
    fn with_fact(&mut self, index: usize, fact: u32, next: usize) {
        let clause = self.clause;
        let Condition::Fact { on, test, bind, .. } = &clause.conditions[index] else {
            return;
        };
        let entry = &self.store.facts[fact as usize];
        let Some(symbol) = entry.symbol().filter(|&s| test.passes(s)) else {
            return;
        };
        self.found.attempt[index] = Premise::Fact(fact);
        let on = *on as usize;
        let pattern = std::mem::replace(&mut self.binding.patterns[on], entry.pattern);
        if let Some(v) = *bind {
            let v = v as usize;
            let value = std::mem::replace(&mut self.binding.values[v], symbol);
            if value == NONE || value == symbol {
                self.step(next);
            }
            self.binding.values[v] = value;
        } else {
            self.step(next);
        }
        self.binding.patterns[on] = pattern;
    }

    fn number_of_cell(&mut self, at: usize, index: usize, cell: u32) {
        let entry = &self.store.cells[cell as usize];
        let same_change = index < self.first && self.change == Change::Number(cell);
        if !entry.number_pending && !same_change {
            let (pattern, best) = (entry.pattern, entry.best);
            self.with_number(index, pattern, best, at + 1);
        }
    }

    fn with_number(&mut self, index: usize, pattern: u32, best: u32, next: usize) {
        let Condition::Number { on, range, .. } = &self.clause.conditions[index] else {
            return;
        };
        let Some(number) = self.store.number(best) else {
            return;
        };
        if !range.holds(number.mean()) {
            return;
        }
        let before = self.binding.patterns[*on as usize];
        self.binding.patterns[*on as usize] = pattern;
        self.found.attempt[index] = Premise::Fact(best);
        self.step(next);
        self.binding.patterns[*on as usize] = before;
    }

    /// True if what the condition wants absent is absent. The premise is the cell, or a place for
    /// one that is made when the instance is carried out.
    fn absent(&mut self, condition: &Condition, index: usize) -> bool {
        let (on, slot, symbol) = match condition {
            Condition::Unknown { on, slot } => (*on, *slot, None),
            Condition::Lacks { on, slot, symbol } => (*on, *slot, Some(*symbol)),
            Condition::Fact { .. }
            | Condition::Number { .. }
            | Condition::Count { .. }
            | Condition::Mean { .. }
            | Condition::Gap { .. }
            | Condition::Differ { .. } => return false,
        };
        let Some(pattern) = self.pattern(on) else {
            return false;
        };
        self.found.attempt[index] = Premise::Absence(NONE);
        let Some(cell) = self.store.cell(pattern, slot) else {
            return true;
        };
        self.found.attempt[index] = Premise::Absence(cell);
        let entry = &self.store.cells[cell as usize];
        let same_change = index < self.first && self.change == Change::Absence(cell);
        if entry.absence_pending || same_change {
            return false;
        }
        match symbol {
            None => entry.count == 0,
            Some(symbol) => self.store.symbol_in(cell, symbol).is_none(),
        }
    }

    fn column_holds(&mut self, index: usize) -> bool {
        let condition = &self.clause.conditions[index];
        let Some(slot) = condition.slot() else {
            return false;
        };
        let same_change = index < self.first && self.change == Change::Column(slot);
        if self.store.columns[slot as usize].pending || same_change {
            return false;
        }
        self.found.attempt[index] = Premise::Column(slot);
        let of = condition.among().and_then(|among| self.pattern(among.on));
        if condition.among().is_some() && of.is_none() {
            return false;
        }
        column_holds(self.store, condition, of)
    }
}

/// True if a count or a mean lies in its range; `of` is the pattern whose group it is about.
pub(crate) fn column_holds(store: &Store, condition: &Condition, of: Option<u32>) -> bool {
    let facts = || members(store, condition, of);
    match condition {
        Condition::Count { range, .. } => range.holds(facts().len() as f64),
        Condition::Mean { range, .. } => {
            let numbers: Vec<f64> = facts()
                .into_iter()
                .filter_map(|f| store.number(f).map(Estimate::mean))
                .collect();
            let mean = numbers.iter().sum::<f64>() / numbers.len() as f64;
            !numbers.is_empty() && range.holds(mean)
        }
        Condition::Fact { .. }
        | Condition::Number { .. }
        | Condition::Unknown { .. }
        | Condition::Lacks { .. }
        | Condition::Gap { .. }
        | Condition::Differ { .. } => false,
    }
}

/// True if both patterns have a common symbol in the slot.
fn share(store: &Store, slot: u32, a: u32, b: u32) -> bool {
    let (Some(a), Some(b)) = (store.cell(a, slot), store.cell(b, slot)) else {
        return false;
    };
    let symbols = store.in_cell(a).filter_map(|f| store.symbol(f));
    symbols
        .into_iter()
        .any(|symbol| store.symbol_in(b, symbol).is_some())
}

/// The facts that a count or a mean rests on, one for each pattern, sorted by pattern; `of` is the
/// pattern whose group it is about.
pub(crate) fn members(store: &Store, condition: &Condition, of: Option<u32>) -> Vec<u32> {
    let Some(slot) = condition.slot() else {
        return Vec::new();
    };
    let mut members: Vec<u32> = store.columns[slot as usize]
        .cells
        .iter()
        .filter(|&&cell| match (condition.among(), of) {
            (Some(among), Some(of)) => {
                share(store, among.slot, store.cells[cell as usize].pattern, of)
            }
            (Some(_), None) => false,
            (None, _) => true,
        })
        .filter_map(|&cell| {
            let best = store.cells[cell as usize].best;
            let number = store.number(best).map(Estimate::mean);
            match condition {
                Condition::Mean { .. } => number.map(|_| best),
                Condition::Count { counted, .. } => match &counted.test {
                    CountTest::Number(range) => number.filter(|n| range.holds(*n)).map(|_| best),
                    CountTest::Symbol(test) => {
                        let here = store
                            .in_cell(cell)
                            .filter_map(|f| Some((store.symbol(f)?, f)));
                        let passing = here.filter(|(s, _)| test.passes(*s));
                        passing.min().map(|(_, f)| f)
                    }
                },
                Condition::Fact { .. }
                | Condition::Number { .. }
                | Condition::Unknown { .. }
                | Condition::Lacks { .. }
                | Condition::Gap { .. }
                | Condition::Differ { .. } => None,
            }
        })
        .collect();
    members.sort_by_key(|&f| store.facts[f as usize].pattern);
    members
}
