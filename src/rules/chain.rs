//! The engine: a state of facts kept equal to the least fixpoint of the rules.
//!
//! Takes statements told and taken back; [`State::settle`] brings the conclusions up to date,
//! stratum by stratum. In each stratum first everything that lost its support goes (`support.rs`),
//! then what is new is completed to instances of clauses (`matching.rs`), then the numbers in use
//! are chosen and the changes are handed to the strata above.
//!
//! Invariant: after a settle that ends with [`StopReason::Settled`], facts and justifications are
//! those of a fresh state told the same statements, whatever the order of telling and taking back.
//!
//! Two told or derived numbers for one slot are both kept; the one with the smaller error is in
//! use, and if they differ by more than two standard deviations both are named in
//! [`State::contradictions`].

use super::clause::{Clause, HeadValue, Input, witness};
use super::fact::{Fact, FactId, PatternId, Reason, SlotId, Stored, SymbolId, TRUE, Told, Value};
use super::matching::{Change, Found, complete};
use super::program::{CLASH, Compiled, PRESENT, Program};
use super::store::{NONE, PREMISE_LIMIT, Premise, Store};
use crate::quantity::Estimate;

/// Why [`State::settle`] stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopReason {
    /// Nothing more follows.
    Settled,
    /// One settle took so many steps of matching that something is wrong.
    StepLimit,
    /// There are so many facts that something is wrong.
    FactLimit,
}

/// How far a state may go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Steps of matching in one settle: conditions looked at with others already met.
    pub steps: usize,
    /// Facts at one time, told ones included.
    pub facts: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            steps: 20_000_000,
            facts: 1_000_000,
        }
    }
}

/// Why a statement was not taken.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum TellError {
    /// The pattern number is above [`PatternId::LIMIT`].
    #[error("pattern {0:?} is out of range")]
    Pattern(PatternId),
    /// The value does not suit the slot, or there is no such slot or symbol.
    #[error("{value:?} does not suit {slot:?}")]
    Value {
        /// The slot.
        slot: SlotId,
        /// The value.
        value: Value,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Standing {
    Waiting,
    In(u32),
    Gone,
}

#[derive(Debug, Clone)]
struct Statement {
    pattern: u32,
    slot: u32,
    value: Stored,
    reason: Reason,
    standing: Standing,
}

/// Facts told and everything that follows from them.
#[derive(Debug, Clone)]
pub struct State {
    pub(crate) program: Program,
    pub(crate) store: Store,
    limits: Limits,
    statements: Vec<Statement>,
    /// How many standing statements each pattern has, and the statement that it is present.
    presence: Vec<(u32, u32)>,
    /// Symbols met in this session.
    session_symbols: Vec<String>,
    /// Statements to take in, by stratum.
    waiting: Vec<Vec<u32>>,
    /// Facts that lost a support, by stratum.
    pub(crate) suspects: Vec<Vec<u32>>,
    /// Facts that appeared in this settle.
    fresh: Vec<u32>,
    /// Cells of closed strata whose number in use changed, and cells whose absences changed.
    number_changes: Vec<u32>,
    absence_changes: Vec<u32>,
    column_changes: Vec<u32>,
    /// Cells of the stratum at work with a fact more or less.
    pub(crate) changed_cells: Vec<u32>,
    queue: Vec<Change>,
    found: Found,
    pub(crate) clock: u32,
    pub(crate) taken: Vec<u32>,
    pub(crate) work: Vec<u32>,
    stopped: Option<StopReason>,
}

impl State {
    /// Nothing told.
    pub fn new(program: &Program) -> Self {
        Self::with_limits(program, Limits::default())
    }

    /// Nothing told, with other limits.
    pub fn with_limits(program: &Program, limits: Limits) -> Self {
        let strata = program.strata();
        Self {
            store: Store::new(program.0.slots.len()),
            program: program.clone(),
            limits: Limits {
                facts: limits.facts.min(PREMISE_LIMIT / 2),
                ..limits
            },
            statements: Vec::new(),
            presence: Vec::new(),
            session_symbols: Vec::new(),
            waiting: vec![Vec::new(); strata],
            suspects: vec![Vec::new(); strata],
            fresh: Vec::new(),
            number_changes: Vec::new(),
            absence_changes: Vec::new(),
            column_changes: Vec::new(),
            changed_cells: Vec::new(),
            queue: Vec::new(),
            found: Found::default(),
            clock: 0,
            taken: Vec::new(),
            work: Vec::new(),
            stopped: None,
        }
    }

    /// The program of the state.
    pub const fn program(&self) -> &Program {
        &self.program
    }

    /// The symbol with this name; a new one for a name the program does not mention.
    pub fn symbol(&mut self, name: &str) -> SymbolId {
        if let Some(known) = self.program.symbol(name) {
            return known;
        }
        let first = self.program.0.symbols.len();
        let found = self.session_symbols.iter().position(|s| s == name);
        let at = found.unwrap_or_else(|| {
            self.session_symbols.push(name.to_owned());
            self.session_symbols.len() - 1
        });
        SymbolId::from_index(first + at)
    }

    /// The name of a symbol of the program or of this state.
    pub fn symbol_name(&self, symbol: SymbolId) -> &str {
        let known = self.program.0.symbols.len();
        symbol.index().checked_sub(known).map_or_else(
            || self.program.0.symbols.name(symbol.0),
            |at| self.session_symbols.get(at).map_or("", String::as_str),
        )
    }

    /// Tells the state something. It counts from the next [`State::settle`] on.
    ///
    /// # Errors
    /// [`TellError`] if the slot cannot hold the value.
    pub fn assert(&mut self, fact: Fact, reason: Reason) -> Result<Told, TellError> {
        if fact.pattern.index() >= PatternId::LIMIT {
            return Err(TellError::Pattern(fact.pattern));
        }
        let known = self.program.0.symbols.len() + self.session_symbols.len();
        let is_named = match fact.value {
            Value::Symbol(symbol) => symbol.index() < known,
            Value::Flag(_) | Value::Number(_) => true,
        };
        if fact.slot.0 <= CLASH || !is_named || !self.program.suits(fact.slot, fact.value) {
            let Fact { slot, value, .. } = fact;
            return Err(TellError::Value { slot, value });
        }
        if self.program.0.uses_presence {
            self.count_presence(fact.pattern.0);
        }
        let value = Stored::from_value(fact.value);
        Ok(self.state_it(fact.pattern.0, fact.slot.0, value, reason))
    }

    fn state_it(&mut self, pattern: u32, slot: u32, value: Stored, reason: Reason) -> Told {
        let number = self.statements.len() as u32;
        self.statements.push(Statement {
            pattern,
            slot,
            value,
            reason,
            standing: Standing::Waiting,
        });
        let stratum = self.stratum_of(slot);
        if let Some(waiting) = self.waiting.get_mut(stratum) {
            waiting.push(number);
        }
        Told(number)
    }

    fn count_presence(&mut self, pattern: u32) {
        if self.presence.len() <= pattern as usize {
            self.presence.resize(pattern as usize + 1, (0, NONE));
        }
        self.presence[pattern as usize].0 += 1;
        if self.presence[pattern as usize].0 == 1 {
            let told = self.state_it(pattern, PRESENT, Stored::Symbol(TRUE), Reason(NONE));
            self.presence[pattern as usize].1 = told.0;
        }
    }

    /// Takes a statement back. What rested on it alone goes with the next [`State::settle`].
    /// Taking back twice does nothing.
    pub fn retract(&mut self, told: Told) {
        let Some(statement) = self.statements.get_mut(told.index()) else {
            return;
        };
        let pattern = statement.pattern;
        match std::mem::replace(&mut statement.standing, Standing::Gone) {
            Standing::Gone => return,
            Standing::Waiting => {}
            Standing::In(fact) => {
                let entry = &mut self.store.facts[fact as usize];
                entry.told -= 1;
                if entry.told == 0 {
                    let stratum = self.program.0.index.slot(entry.slot).stratum;
                    self.suspects[stratum as usize].push(fact);
                }
            }
        }
        if let Some(entry) = self.presence.get_mut(pattern as usize)
            && entry.1 != told.0
        {
            entry.0 -= 1;
            if entry.0 == 0 {
                let present = Told(entry.1);
                self.retract(present);
            }
        }
    }

    /// The tokens with which a fact was told, in the order of telling; none for a derived fact.
    pub fn reasons(&self, id: FactId) -> Vec<Reason> {
        let told = self.store.facts.get(id.index()).map_or(0, |f| f.told);
        if told == 0 {
            return Vec::new();
        }
        let of_fact = |s: &&Statement| s.standing == Standing::In(id.0) && s.slot > CLASH;
        let standing = self.statements.iter().filter(of_fact);
        standing.map(|s| s.reason).collect()
    }

    /// Forgets everything told; symbols met in the session stay known.
    pub fn clear(&mut self) {
        self.statements.clear();
        self.presence.clear();
        self.forget_conclusions();
        for waiting in &mut self.waiting {
            waiting.clear();
        }
    }

    fn forget_conclusions(&mut self) {
        self.store.clear();
        for suspects in &mut self.suspects {
            suspects.clear();
        }
        self.fresh.clear();
        self.number_changes.clear();
        self.absence_changes.clear();
        self.column_changes.clear();
        self.changed_cells.clear();
        self.queue.clear();
        self.clock = 0;
        self.stopped = None;
    }

    /// Starts again from the statements that stand.
    fn rebuild(&mut self) {
        self.forget_conclusions();
        for waiting in &mut self.waiting {
            waiting.clear();
        }
        for number in 0..self.statements.len() {
            let statement = &mut self.statements[number];
            if statement.standing != Standing::Gone {
                statement.standing = Standing::Waiting;
                let slot = statement.slot;
                let stratum = self.stratum_of(slot);
                self.waiting[stratum].push(number as u32);
            }
        }
    }

    fn stratum_of(&self, slot: u32) -> usize {
        self.program.0.index.slot(slot).stratum as usize
    }

    /// Brings the conclusions up to date. Fact ids from before are no longer valid.
    ///
    /// After a limit was hit the state holds part of the conclusions; the next call starts again
    /// from what is told.
    pub fn settle(&mut self) -> StopReason {
        let entries = self.store.facts.len() + self.store.justifications.len();
        if self.stopped.is_some() || self.store.garbage > 4096.max(entries / 2) {
            self.rebuild();
        }
        let program = Program::clone(&self.program);
        let program = &*program.0;
        self.found.steps_left = self.limits.steps;
        for stratum in 0..program.strata {
            self.withdraw(program, stratum);
            self.take_in(program, stratum);
            if let Some(stop) = self.extend(program, stratum) {
                self.stopped = Some(stop);
                return stop;
            }
            self.close(program);
        }
        self.fresh.clear();
        self.number_changes.clear();
        self.absence_changes.clear();
        for slot in self.column_changes.drain(..) {
            self.store.columns[slot as usize].changed = false;
        }
        StopReason::Settled
    }

    /// Makes facts of the statements of a stratum.
    fn take_in(&mut self, program: &Compiled, stratum: u32) {
        let mut waiting = std::mem::take(&mut self.waiting[stratum as usize]);
        for number in waiting.drain(..) {
            let statement = &self.statements[number as usize];
            if statement.standing != Standing::Waiting {
                continue;
            }
            let (pattern, slot, value) = (statement.pattern, statement.slot, statement.value);
            let fact = self.fact(program, pattern, slot, value);
            self.store.facts[fact as usize].told += 1;
            self.statements[number as usize].standing = Standing::In(fact);
        }
        self.waiting[stratum as usize] = waiting;
    }

    /// The fact with this content, made and announced if it is new.
    fn fact(&mut self, program: &Compiled, pattern: u32, slot: u32, value: Stored) -> u32 {
        let info = program.index.slot(slot);
        let cell = self.store.cell_mut(pattern, slot, info.uses);
        if self.store.cells[cell as usize].count > 0
            && let Some(known) = self.store.find(cell, value)
        {
            return known;
        }
        self.clock += 1;
        let fact = self.store.add(cell, value, self.clock, info.uses.searched);
        self.touch(cell);
        if !info.is_number() && !info.is_idle() {
            self.fresh.push(fact);
            if program.index.group(slot, info.stratum).is_some() {
                self.store.facts[fact as usize].pending = true;
                self.queue.push(Change::Fact(fact));
            }
        }
        fact
    }

    pub(crate) fn touch(&mut self, cell: u32) {
        let entry = &mut self.store.cells[cell as usize];
        if !entry.changed {
            entry.changed = true;
            self.changed_cells.push(cell);
        }
    }

    /// Carries out everything that the changes of lower strata and of this one complete.
    fn extend(&mut self, program: &Compiled, stratum: u32) -> Option<StopReason> {
        self.announce(program, stratum);
        let mut next = 0;
        while let Some(&change) = self.queue.get(next) {
            next += 1;
            self.look(program, stratum, change);
            self.carry_out(program);
            if self.found.steps_left == 0 {
                return Some(StopReason::StepLimit);
            }
            if self.store.living > self.limits.facts {
                return Some(StopReason::FactLimit);
            }
        }
        self.queue.clear();
        (self.store.living > self.limits.facts).then_some(StopReason::FactLimit)
    }

    /// Queues what changed in lower strata and matters here. Facts of this stratum that were just
    /// told are in the queue already.
    fn announce(&mut self, program: &Compiled, stratum: u32) {
        let index = &program.index;
        let here = |slot: u32| index.group(slot, stratum);
        for &fact in &self.fresh {
            let entry = &mut self.store.facts[fact as usize];
            if entry.alive && !entry.pending && here(entry.slot).is_some() {
                entry.pending = true;
                self.queue.push(Change::Fact(fact));
            }
        }
        for &cell in &self.number_changes {
            let entry = &mut self.store.cells[cell as usize];
            if here(entry.slot).is_some_and(|g| index.numbers(g).len() > 0) {
                entry.number_pending = true;
                self.queue.push(Change::Number(cell));
            }
        }
        for &cell in &self.absence_changes {
            let entry = &mut self.store.cells[cell as usize];
            if here(entry.slot).is_some_and(|g| !index.absences(g).is_empty()) {
                entry.absence_pending = true;
                self.queue.push(Change::Absence(cell));
            }
        }
        for &slot in &self.column_changes {
            if here(slot).is_some_and(|g| !index.columns(g).is_empty()) {
                self.store.columns[slot as usize].pending = true;
                self.queue.push(Change::Column(slot));
            }
        }
    }

    /// Makes one change visible and finds what it completes.
    fn look(&mut self, program: &Compiled, stratum: u32, change: Change) {
        let slot = match change {
            Change::Fact(fact) => {
                let entry = &mut self.store.facts[fact as usize];
                entry.pending = false;
                entry.slot
            }
            Change::Number(cell) => {
                let entry = &mut self.store.cells[cell as usize];
                entry.number_pending = false;
                entry.slot
            }
            Change::Absence(cell) => {
                let entry = &mut self.store.cells[cell as usize];
                entry.absence_pending = false;
                entry.slot
            }
            Change::Column(slot) => {
                self.store.columns[slot as usize].pending = false;
                slot
            }
        };
        let index = &program.index;
        let Some(group) = index.group(slot, stratum) else {
            return;
        };
        let store = &self.store;
        let found = &mut self.found;
        match change {
            Change::Fact(fact) => {
                let filled = store.filled(store.facts[fact as usize].pattern);
                if let Some(symbol) = store.symbol(fact) {
                    for (_, guards, target) in index.symbol(group, symbol) {
                        if guards.are_filled(filled) {
                            complete(program, store, *target, change, found);
                        }
                    }
                }
                for (guards, target) in index.any(group) {
                    if guards.are_filled(filled) {
                        complete(program, store, *target, change, found);
                    }
                }
            }
            Change::Number(cell) => {
                let best = store.cells[cell as usize].best;
                if let Some(number) = store.number(best) {
                    let x = number.mean();
                    let filled = store.filled(store.cells[cell as usize].pattern);
                    for (guards, (range, target)) in index.numbers(group) {
                        if guards.are_filled(filled) && range.holds(x) {
                            complete(program, store, *target, change, found);
                        }
                    }
                }
            }
            Change::Absence(_) => {
                for (_, target) in index.absences(group) {
                    complete(program, store, *target, change, found);
                }
            }
            Change::Column(_) => {
                for (_, target) in index.columns(group) {
                    complete(program, store, *target, change, found);
                }
            }
        }
    }

    /// Adds the conclusions of the instances found.
    fn carry_out(&mut self, program: &Compiled) {
        if self.found.clauses.is_empty() {
            return;
        }
        let mut clauses = std::mem::take(&mut self.found.clauses);
        let mut all_premises = std::mem::take(&mut self.found.premises);
        let mut premises = all_premises.as_mut_slice();
        for &number in &clauses {
            let clause = &program.clauses[number as usize];
            let (own, rest) = premises.split_at_mut(clause.conditions.len());
            premises = rest;
            self.make_cells(program, clause, own);
            for (i, head) in clause.heads.iter().enumerate() {
                let Some(value) = self.conclusion(program, &head.value, own) else {
                    continue;
                };
                let Some(Premise::Fact(from)) = own.get(head.from as usize) else {
                    continue;
                };
                let pattern = self.store.facts[*from as usize].pattern;
                let fact = self.fact(program, pattern, head.slot, value);
                self.store.justify(fact, number, i as u8, own);
            }
        }
        clauses.clear();
        all_premises.clear();
        self.found.clauses = clauses;
        self.found.premises = all_premises;
    }

    /// Makes the cells of absences that stand on a slot nothing was ever said of.
    fn make_cells(&mut self, program: &Compiled, clause: &Clause, premises: &mut [Premise]) {
        for i in 0..premises.len() {
            if premises[i] == Premise::Absence(NONE)
                && let Some(condition) = clause.conditions.get(i)
                && let (Some(on), Some(slot)) = (condition.on(), condition.slot())
                && let Some(with) = witness(&clause.conditions, on)
                && let Premise::Fact(fact) = premises[with]
            {
                let pattern = self.store.facts[fact as usize].pattern;
                let uses = program.index.slot(slot).uses;
                premises[i] = Premise::Absence(self.store.cell_mut(pattern, slot, uses));
            }
        }
    }

    fn conclusion(
        &self,
        program: &Compiled,
        value: &HeadValue,
        premises: &[Premise],
    ) -> Option<Stored> {
        let number = |condition: u8| match premises.get(condition as usize) {
            Some(Premise::Fact(f)) => self.store.number(*f),
            _ => None,
        };
        match value {
            HeadValue::Symbol(symbol) => Some(Stored::Symbol(*symbol)),
            HeadValue::SymbolVariable { from, .. } => match premises.get(*from as usize) {
                Some(Premise::Fact(f)) => self.store.symbol(*f).map(Stored::Symbol),
                _ => None,
            },
            HeadValue::Number(n) => Some(Stored::from_value(Value::Number(**n))),
            HeadValue::NumberOf(condition) => number(*condition).map(Stored::Number),
            HeadValue::Computed { function, inputs } => {
                let function = &program.functions[*function as usize];
                let inputs: Option<Vec<Estimate>> = inputs
                    .iter()
                    .map(|input| match input {
                        Input::NumberOf(condition) => number(*condition),
                        Input::Number(n) => Some(*n),
                    })
                    .collect();
                let result = (function.apply)(&inputs?)?;
                let fits = result.dimension() == function.output;
                fits.then(|| Stored::from_value(Value::Number(result)))
            }
        }
    }

    /// Ends a stratum: chooses the numbers in use and tells the strata above what changed.
    fn close(&mut self, program: &Compiled) {
        let mut cells = std::mem::take(&mut self.changed_cells);
        for cell in cells.drain(..) {
            self.store.cells[cell as usize].changed = false;
            let slot = self.store.cells[cell as usize].slot;
            let info = program.index.slot(slot);
            if info.is_number() {
                let before = self.store.cells[cell as usize].best;
                let now = self.best(cell);
                if before != now {
                    self.store.cells[cell as usize].best = now;
                    if let Some(entry) = self.store.facts.get(before as usize) {
                        let first = entry.first_use;
                        self.undo(program, first);
                    }
                    self.number_changes.push(cell);
                }
            }
            if info.uses.absence {
                let first = self.store.cells[cell as usize].first_absence;
                self.undo(program, first);
                self.absence_changes.push(cell);
            }
            if info.uses.aggregated && !self.store.columns[slot as usize].changed {
                self.store.columns[slot as usize].changed = true;
                let first = self.store.columns[slot as usize].first_use;
                self.undo(program, first);
                self.column_changes.push(slot);
            }
        }
        self.changed_cells = cells;
    }

    /// The number of a cell with the smallest error, or [`NONE`]; of equal errors the smallest.
    fn best(&self, cell: u32) -> u32 {
        let number = |f: u32| {
            let number = self.store.number(f);
            number.map_or((f64::INFINITY, f64::INFINITY), |n| (n.sd(), n.mean()))
        };
        let facts = self.store.in_cell(cell);
        facts
            .min_by(|&a, &b| {
                let ((sd_a, mean_a), (sd_b, mean_b)) = (number(a), number(b));
                sd_a.total_cmp(&sd_b).then(mean_a.total_cmp(&mean_b))
            })
            .unwrap_or(NONE)
    }
}
