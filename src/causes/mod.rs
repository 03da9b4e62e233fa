//! What most likely caused it: the graph of causes, the simulated golfers, and what follows from
//! comparing them with one golfer's report.
//!
//! Every cause is priced in inches and degrees ([`model`]); a deterministic population of golfers
//! carries sets of causes, geometry says what each of them would see, and Bayes' rule compares that
//! with what was told. [`Simulation::judge`] is the entry; benefit, checks, what-if and the ledger
//! of evidence start from its [`Judgement`].
//!
//! Invariant: the same model and evidence give the same bits, in whatever order the evidence came,
//! on one thread or two. The room knows ids and numbers only: no names, no sentences, no files.

pub mod graph;
pub mod model;

mod benefit;
mod evidence;
mod flights;
mod implied;
mod judgement;
mod lanes;
mod ledger;
mod lineup;
#[cfg(test)]
#[path = "../../tests/it/mid_iron.rs"]
mod mid_iron;
mod near;
mod population;
mod posterior;
mod prospects;
mod pull;
mod quantities;
mod report;
mod scores;
mod shots;
mod strikes;
mod value;
mod what_if;
mod world;

pub use benefit::{Benefit, Practice};
pub use graph::CauseGraph;
pub use implied::{Implied, ImpliedEffect, ImpliedSymptom};
pub use judgement::{AxisRange, Judgement, RankedCause};
pub use ledger::{Flip, FlipKind, Ledger, LedgerColumn};
pub use lineup::{Case, Lineup, MARKS, NOT_OF_ONE_SHOT, STRIKES, Shot};
pub use posterior::Simulation;
pub use report::HINT;
pub use value::{Answered, CheckValue};
pub use what_if::WhatIf;

use crate::vocabulary::CauseId;

/// Why a model makes no simulation.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CausesError {
    /// Causes that lead to each other in a circle, the first repeated at the end.
    #[error("causes lead to each other in a circle: {0:?}")]
    Cycle(Vec<CauseId>),
    /// A link to a cause that is not there.
    #[error("a link leads to an unknown cause: {0:?}")]
    UnknownCause(CauseId),
    /// No club groups or no causes.
    #[error("a model needs at least one club group and one cause")]
    Empty,
}
