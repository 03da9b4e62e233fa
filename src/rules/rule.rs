//! A rule as it was written: plain data with names, before anything is checked.
//!
//! Conditions talk about *pattern variables*, `p` unless another is named; the same variable in
//! several conditions means the same pattern. A value can be bound to a *value variable* and used
//! in other conditions (symbols: must be equal) and in conclusions.

use crate::quantity::{Amount, Estimate};

/// The pattern variable meant when none is named.
pub const DEFAULT_PATTERN: &str = "p";

/// One rule.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleSpec {
    /// Unique name.
    pub id: String,
    /// The group of rules it belongs to, by purpose.
    pub purpose: String,
    /// Conditions, all of which must hold.
    pub when: Vec<ConditionSpec>,
    /// Conclusions, all of which follow.
    pub then: Vec<ConclusionSpec>,
    /// One sentence with the mechanism.
    pub because: String,
    /// Where the rule comes from: published, common, memory or elicited.
    pub kind: String,
    /// The source, for published rules.
    pub source: Option<String>,
}

/// One condition.
#[derive(Debug, Clone, PartialEq)]
pub enum ConditionSpec {
    /// A slot of a pattern passes a test.
    Slot {
        /// The pattern variable.
        on: String,
        /// The slot.
        slot: String,
        /// The test.
        test: TestSpec,
        /// The value variable that takes the value.
        bind: Option<String>,
    },
    /// At least one of the alternatives holds, each a list of conditions that all hold.
    Any(Vec<Vec<Self>>),
    /// The number of patterns whose slot passes the test lies in the range.
    Count {
        /// The slot.
        slot: String,
        /// The test, which must be a positive one.
        test: TestSpec,
        /// Limits of the count.
        range: RangeSpec,
        /// Which patterns; all if none is given.
        among: Option<AmongSpec>,
    },
    /// The mean of a number over all patterns that have it lies in the range.
    Mean {
        /// The slot.
        slot: String,
        /// Limits of the mean.
        range: RangeSpec,
        /// Which patterns; all if none is given.
        among: Option<AmongSpec>,
    },
    /// The first number less the second lies in the range. Both are bound by other conditions, of one
    /// pattern or of two.
    Difference {
        /// The value variables.
        of: [String; 2],
        /// Limits of the difference.
        range: RangeSpec,
    },
    /// Two patterns share a symbol in the slot.
    Same {
        /// One pattern variable.
        on: String,
        /// The other.
        with: String,
        /// The slot.
        slot: String,
    },
    /// Two pattern variables stand for two patterns.
    Different {
        /// One pattern variable.
        on: String,
        /// The other.
        from: String,
    },
}

/// The patterns that share a symbol with one of them, that one included: all shots with the club of
/// this one.
#[derive(Debug, Clone, PartialEq)]
pub struct AmongSpec {
    /// The pattern variable.
    pub on: String,
    /// The slot whose symbol they share.
    pub slot: String,
}

/// What is asked of a slot.
#[derive(Debug, Clone, PartialEq)]
pub enum TestSpec {
    /// It has some value.
    Known,
    /// It has no value.
    Unknown,
    /// It is true, or it is false.
    Flag(bool),
    /// It is one of these symbols.
    Is(Vec<String>),
    /// It has a value, and none of these symbols.
    Not(Vec<String>),
    /// It has none of these symbols, or not this truth value ("true", "false"), whether or not it
    /// has a value.
    Lacks(Vec<String>),
    /// Its number lies in the range.
    Range(RangeSpec),
}

/// Limits of a number. The middle of the estimate is compared; its error plays no part.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RangeSpec {
    /// The lower limit.
    pub low: Option<Bound>,
    /// The upper limit.
    pub high: Option<Bound>,
}

/// One limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// Where it lies.
    pub at: Amount,
    /// True if the limit itself passes.
    pub inclusive: bool,
}

/// One conclusion.
#[derive(Debug, Clone, PartialEq)]
pub enum ConclusionSpec {
    /// A slot of a pattern gets a value.
    Set {
        /// The pattern variable.
        on: String,
        /// The slot.
        slot: String,
        /// What it gets.
        to: OutcomeSpec,
    },
    /// Two slots of a pattern cannot both be as they are.
    Contradiction {
        /// The pattern variable.
        on: String,
        /// The two slots.
        between: [String; 2],
    },
}

/// What a conclusion puts into a slot.
#[derive(Debug, Clone, PartialEq)]
pub enum OutcomeSpec {
    /// A truth value.
    Flag(bool),
    /// A symbol.
    Symbol(String),
    /// A number.
    Number(Estimate),
    /// The value of a value variable.
    Variable(String),
    /// The result of a registered function.
    Computed {
        /// The function.
        by: String,
        /// Its inputs.
        of: Vec<InputSpec>,
    },
}

/// One input of a function.
#[derive(Debug, Clone, PartialEq)]
pub enum InputSpec {
    /// A number bound by a condition.
    Variable(String),
    /// A number written in the rule.
    Number(Estimate),
}
