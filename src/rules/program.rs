//! A rule program that is valid by construction: every name resolved, every unit checked, every
//! slot in its stratum. Made by [`Program::compile`], shared cheaply, never changed.

use super::clause::Clause;
use super::compile;
use super::fact::{RuleIndex, SlotId, SymbolId, Value};
use super::index::Index;
use super::problem::RuleProblem;
use super::rule::RuleSpec;
use super::schema::Schema;
use crate::quantity::{Dimension, Estimate};
use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

/// What a registered function computes: estimates of the declared dimensions in, an estimate out,
/// none where the inputs have no answer. It must give the same output for the same input.
pub type Apply = Arc<dyn Fn(&[Estimate]) -> Option<Estimate> + Send + Sync>;

/// A function that rules may use by name.
#[derive(Clone)]
pub struct Function {
    /// The name.
    pub name: String,
    /// The dimensions of its inputs.
    pub inputs: Vec<Dimension>,
    /// The dimension of its output.
    pub output: Dimension,
    /// The computation, error propagation included.
    pub apply: Apply,
}

impl fmt::Debug for Function {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}({:?}) -> {:?}", self.name, self.inputs, self.output)
    }
}

/// A checked rule program. Cloning shares it.
#[derive(Debug, Clone)]
pub struct Program(pub(crate) Arc<Compiled>);

/// What a slot holds, once checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Flag,
    Symbol,
    Number(Dimension),
}

/// A slot of the program.
#[derive(Debug, Clone)]
pub(crate) struct Slot {
    pub(crate) name: String,
    pub(crate) kind: Kind,
    /// The symbols it may hold; none for an open slot.
    pub(crate) choices: Option<Vec<u32>>,
    pub(crate) exclusive: bool,
    pub(crate) observable: bool,
    pub(crate) stratum: u32,
}

impl Slot {
    fn heap_bytes(&self) -> usize {
        let choices = self.choices.as_ref().map_or(0, Vec::capacity);
        size_of::<Self>() + self.name.capacity() + choices * size_of::<u32>()
    }
}

/// Names and their numbers.
#[derive(Debug, Clone, Default)]
pub(crate) struct Names {
    names: Vec<String>,
    numbers: BTreeMap<String, u32>,
}

impl Names {
    pub(crate) fn intern(&mut self, name: &str) -> u32 {
        if let Some(&n) = self.numbers.get(name) {
            return n;
        }
        let n = self.names.len() as u32;
        self.names.push(name.to_owned());
        self.numbers.insert(name.to_owned(), n);
        n
    }

    pub(crate) fn number(&self, name: &str) -> Option<u32> {
        self.numbers.get(name).copied()
    }

    pub(crate) fn name(&self, number: u32) -> &str {
        self.names.get(number as usize).map_or("", String::as_str)
    }

    pub(crate) const fn len(&self) -> usize {
        self.names.len()
    }
}

/// The slot that says that a pattern is there at all.
pub(crate) const PRESENT: u32 = 0;
/// The slot of contradictions that rules conclude.
pub(crate) const CLASH: u32 = 1;

#[derive(Debug)]
pub(crate) struct Compiled {
    pub(crate) slots: Vec<Slot>,
    pub(crate) slot_names: BTreeMap<String, u32>,
    pub(crate) symbols: Names,
    /// The two slots behind each symbol of [`CLASH`], sorted by symbol.
    pub(crate) clashes: Vec<(u32, [u32; 2])>,
    pub(crate) functions: Vec<Function>,
    pub(crate) rules: Vec<RuleSpec>,
    pub(crate) clauses: Vec<Clause>,
    pub(crate) index: Index,
    pub(crate) strata: u32,
    pub(crate) uses_presence: bool,
}

impl Program {
    /// Checks a program and makes it ready to run.
    ///
    /// # Errors
    /// Every mistake found, in the order of the rules. Nothing is run with a mistake in it.
    pub fn compile(
        schema: &Schema,
        functions: Vec<Function>,
        rules: Vec<RuleSpec>,
    ) -> Result<Self, Vec<RuleProblem>> {
        compile::compile(schema, functions, rules).map(|c| Self(Arc::new(c)))
    }

    /// The slot with this name.
    pub fn slot(&self, name: &str) -> Option<SlotId> {
        self.0.slot_names.get(name).map(|&n| SlotId(n))
    }

    /// The name of a slot.
    pub fn slot_name(&self, slot: SlotId) -> &str {
        self.0.slots.get(slot.index()).map_or("", |s| &s.name)
    }

    /// The dimension of a slot that holds numbers.
    pub fn dimension(&self, slot: SlotId) -> Option<Dimension> {
        match self.0.slots.get(slot.index())?.kind {
            Kind::Number(d) => Some(d),
            Kind::Flag | Kind::Symbol => None,
        }
    }

    /// True if the slot was declared as one that a person can observe or measure.
    pub fn is_observable(&self, slot: SlotId) -> bool {
        self.0.slots.get(slot.index()).is_some_and(|s| s.observable)
    }

    /// The symbol with this name, if the schema or a rule mentions it.
    pub fn symbol(&self, name: &str) -> Option<SymbolId> {
        self.0.symbols.number(name).map(SymbolId)
    }

    /// The rules, in the order given.
    pub fn rules(&self) -> &[RuleSpec] {
        &self.0.rules
    }

    /// The rule with this number.
    pub fn rule(&self, rule: RuleIndex) -> Option<&RuleSpec> {
        self.0.rules.get(rule.index())
    }

    /// The rule with this name.
    pub fn rule_named(&self, id: &str) -> Option<RuleIndex> {
        let found = self.0.rules.iter().position(|r| r.id == id);
        found.map(RuleIndex::from_index)
    }

    /// How many strata the slots fall into.
    pub fn strata(&self) -> usize {
        self.0.strata as usize
    }

    /// The stratum of a slot: slots of lower strata are settled before it.
    pub fn stratum(&self, slot: SlotId) -> usize {
        let slot = self.0.slots.get(slot.index());
        slot.map_or(0, |s| s.stratum as usize)
    }

    /// Bytes of the clauses and the indexes, without the rules as written.
    pub fn heap_bytes(&self) -> usize {
        let clauses = self.0.clauses.iter().map(Clause::heap_bytes).sum::<usize>();
        let slots = self.0.slots.iter().map(Slot::heap_bytes).sum::<usize>();
        clauses + slots + self.0.index.heap_bytes()
    }

    /// True if the value suits the slot.
    pub(crate) fn suits(&self, slot: SlotId, value: Value) -> bool {
        match (self.0.index.kind(slot.0), value) {
            (Some(Kind::Flag), Value::Flag(_)) => true,
            (Some(Kind::Symbol), Value::Symbol(s)) => {
                let choices = self.0.slots[slot.index()].choices.as_ref();
                choices.is_none_or(|c| c.contains(&s.0))
            }
            (Some(Kind::Number(d)), Value::Number(n)) => n.dimension() == d,
            (Some(Kind::Flag | Kind::Symbol | Kind::Number(_)) | None, _) => false,
        }
    }
}
