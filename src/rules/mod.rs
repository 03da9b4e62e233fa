//! A forward-chaining rule engine: what follows from what is told, kept exact as things are told
//! and taken back, and why.
//!
//! Facts are (pattern, slot, value). A [`RuleSpec`] says what follows when slots of one or more
//! patterns are as described; [`Program::compile`] checks names, types and units and orders the
//! slots in strata; a [`State`] is told facts and derives the rest. Nothing here knows what the
//! patterns and slots are about, or makes sentences.
//!
//! The conclusions are the least fixpoint of the rules in each stratum; a rule may look at an
//! absence, a count, a mean or a number only where lower strata have settled it, and a program in
//! which that is impossible is refused with the cycle shown. No order matters: of facts, of rules,
//! of telling and taking back. Every fact keeps all its justifications, [`State::why`] shows the
//! shortest, [`State::why_not`] the rules that nearly fired, and [`audit`] derives an explanation
//! again from the rules as written.
//!
//! ```
//! use swingwhy::quantity::{Amount, Dimension, Unit};
//! use swingwhy::rules::*;
//!
//! // A shot with its mark well behind the ball is heavy; a heavy shot off dry ground bounces.
//! let schema = Schema::new()
//!     .observed("mark_behind", SlotType::Number(Dimension::Length))
//!     .observed("ground", SlotType::one_of(["dry", "soft"]))
//!     .derived("heavy", SlotType::Flag)
//!     .derived("bounces", SlotType::Flag);
//! let when = |slot: &str, test| ConditionSpec::Slot {
//!     on: "p".into(),
//!     slot: slot.into(),
//!     test,
//!     bind: None,
//! };
//! let rule = |id: &str, when: Vec<ConditionSpec>, then: &str| RuleSpec {
//!     id: id.into(),
//!     purpose: "example".into(),
//!     when,
//!     then: vec![ConclusionSpec::Set {
//!         on: "p".into(),
//!         slot: then.into(),
//!         to: OutcomeSpec::Flag(true),
//!     }],
//!     because: "the club meets the turf first".into(),
//!     kind: "elicited".into(),
//!     source: None,
//! };
//! let an_inch = Bound { at: Amount::new(1.0, Unit::Inch)?, inclusive: false };
//! let behind = TestSpec::Range(RangeSpec { low: Some(an_inch), high: None });
//! let program = Program::compile(&schema, vec![], vec![
//!     rule("mark_means_heavy", vec![when("mark_behind", behind)], "heavy"),
//!     rule(
//!         "heavy_bounces",
//!         vec![when("heavy", TestSpec::Flag(true)), when("ground", TestSpec::Is(vec!["dry".into()]))],
//!         "bounces",
//!     ),
//! ])
//! .map_err(|problems| format!("{problems:?}"))?;
//!
//! let shot = PatternId::from_index(0);
//! let slot = |name: &str| program.slot(name).ok_or("no such slot");
//! let dry = program.symbol("dry").ok_or("no such symbol")?;
//! let two_inches = swingwhy::quantity::Estimate::new(2.0, 0.5, Unit::Inch)?;
//!
//! let mut state = State::new(&program);
//! let mark = Fact { pattern: shot, slot: slot("mark_behind")?, value: Value::Number(two_inches) };
//! let ground = Fact { pattern: shot, slot: slot("ground")?, value: Value::Symbol(dry) };
//! let told = state.assert(mark, Reason::from_index(0))?;
//! state.assert(ground, Reason::from_index(1))?;
//! assert_eq!(state.settle(), StopReason::Settled);
//!
//! let bounces = state.find(shot, slot("bounces")?, Value::Flag(true)).ok_or("it does")?;
//! let why = state.why(bounces).ok_or("it holds")?;
//! assert_eq!(why.steps.len(), 4); // bounces, heavy, the mark, the ground
//! assert_eq!(audit::check(&state, &why), Ok(()));
//!
//! state.retract(told);
//! state.settle();
//! assert!(!state.holds(shot, slot("bounces")?, Value::Flag(true)));
//! let misses = state.why_not(shot, slot("bounces")?, Some(Value::Flag(true)));
//! assert_eq!(program.rules()[misses[0].rule.index()].id, "heavy_bounces");
//! assert_eq!(misses[0].would_decide[0].slot, slot("mark_behind")?);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod audit;
mod chain;
mod clause;
mod compile;
mod conclusions;
mod conditions;
mod contradiction;
mod fact;
mod index;
mod matching;
pub mod naive;
mod problem;
mod program;
mod rule;
mod schema;
mod scope;
mod store;
mod strata;
mod support;
mod view;
mod why;
mod why_not;

pub use chain::{Limits, State, StopReason, TellError};
pub use contradiction::{Contradiction, disagree};
pub use fact::{Fact, FactId, PatternId, Reason, RuleIndex, SlotId, SymbolId, Told, Value};
pub use problem::{CycleStep, Place, RuleProblem, RuleProblemKind};
pub use program::{Apply, Function, Program};
pub use rule::{
    AmongSpec, Bound, ConclusionSpec, ConditionSpec, DEFAULT_PATTERN, InputSpec, OutcomeSpec,
    RangeSpec, RuleSpec, TestSpec,
};
pub use schema::{Schema, SlotSpec, SlotType};
pub use why::{Explanation, Ground, Step, Way};
pub use why_not::{Failing, NearMiss, Observation};
