//! What can be wrong with a rule program, as data: which rule, where in it, what, and the name
//! that was probably meant. Nothing here makes sentences.

use crate::quantity::Dimension;

/// One mistake in a rule program.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleProblem {
    /// The rule, as its place in the list; none for a mistake in the schema or the functions.
    pub rule: Option<usize>,
    /// Its name, or the name of the slot or function.
    pub id: String,
    /// Where in the rule.
    pub place: Place,
    /// What is wrong.
    pub kind: RuleProblemKind,
    /// The known name nearest to the one that was written.
    pub nearest: Option<String>,
}

/// A place in a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// The rule as a whole.
    Whole,
    /// A condition, counted from 0.
    When(usize),
    /// A condition inside an alternative of the condition `when`.
    Any {
        /// The condition with the alternatives.
        when: usize,
        /// Which alternative.
        alternative: usize,
        /// Which condition in it.
        item: usize,
    },
    /// A conclusion, counted from 0.
    Then(usize),
}

/// What is wrong.
#[derive(Debug, Clone, PartialEq)]
pub enum RuleProblemKind {
    /// No slot has this name.
    UnknownSlot(String),
    /// The slot does not have this symbol.
    UnknownSymbol {
        /// The slot.
        slot: String,
        /// What was written.
        symbol: String,
    },
    /// No function has this name.
    UnknownFunction(String),
    /// No condition binds this variable, in at least one of the alternatives.
    UnboundVariable(String),
    /// The variable is bound twice to numbers, or to a number here and a symbol there.
    BoundTwice(String),
    /// The test does not suit what the slot holds.
    WrongTest {
        /// The slot.
        slot: String,
    },
    /// The value does not suit what the slot holds.
    WrongValue {
        /// The slot.
        slot: String,
    },
    /// A number of another dimension is needed.
    WrongDimension {
        /// What the place needs.
        wanted: Dimension,
        /// What was given.
        got: Dimension,
    },
    /// The function takes another number of inputs.
    WrongInputs {
        /// The function.
        function: String,
        /// How many it takes.
        wanted: usize,
        /// How many were given.
        got: usize,
    },
    /// The range holds no number.
    EmptyRange,
    /// Both names stand for the same pattern.
    NotDifferent(String),
    /// A rule without conditions.
    NoConditions,
    /// A rule without conclusions.
    NoConclusions,
    /// More than the limit of pattern variables, value variables, conditions or alternatives.
    TooLarge {
        /// How many there are.
        got: usize,
        /// The limit.
        limit: usize,
    },
    /// Two rules, slots or functions with one name.
    Duplicate,
    /// A conclusion feeds back into a condition that may only look at settled slots: an absence, a
    /// count, a mean or a number.
    Cycle(Vec<CycleStep>),
}

/// One step of a cycle: the rule leads from one slot to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CycleStep {
    /// The slot in the condition.
    pub from: String,
    /// The rule.
    pub rule: String,
    /// The slot in the conclusion.
    pub to: String,
    /// True if the condition may only look at a settled slot.
    pub needs_settled: bool,
}

/// The name nearest to `name`, within a third of its length and at most three edits; ties go to
/// the name that comes first in the alphabet.
pub(crate) fn nearest<'a>(name: &str, known: impl Iterator<Item = &'a str>) -> Option<String> {
    let limit = (name.chars().count() / 3).min(3);
    known
        .map(|k| (strsim::damerau_levenshtein(name, k), k))
        .filter(|&(distance, _)| 0 < distance && distance <= limit)
        .min()
        .map(|(_, k)| k.to_owned())
}
