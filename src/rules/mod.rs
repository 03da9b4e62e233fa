//! A forward-chaining rule engine.

pub mod audit;
mod chain;
mod clause;
mod compile;
mod fact;
mod matching;
pub mod naive;
mod problem;
mod program;
mod rule;
mod schema;
mod store;
mod strata;
mod support;
mod why;
mod why_not;

pub use chain::{Contradiction, Limits, State, StopReason, TellError, disagree};
pub use fact::{Fact, FactId, PatternId, Reason, RuleIndex, SlotId, SymbolId, Told, Value};
pub use problem::{CycleStep, Place, RuleProblem, RuleProblemKind};
pub use program::{Apply, Function, Program};
pub use rule::{
    Bound, ConclusionSpec, ConditionSpec, DEFAULT_PATTERN, InputSpec, OutcomeSpec, RangeSpec,
    RuleSpec, TestSpec,
};
pub use schema::{Schema, SlotSpec, SlotType};
pub use why::{Explanation, Ground, Step, Way};
pub use why_not::{Failing, NearMiss, Observation};
