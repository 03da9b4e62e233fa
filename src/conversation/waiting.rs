//! What can be asked, and what is needed to take its answer.
//!
//! One question waits at a time. What is asked in words is decided in `wording`; which question is worth
//! asking, in `turn`. Nothing is read here.

use crate::lesson::{Stage, Tally};
use crate::quantity::Unit;
use crate::reading::Pattern;
use crate::vocabulary::{CauseId, CautionId, CheckId, CountId, DrillId, QuantityId, SymptomId};

/// A question waiting for an answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Question {
    /// A check.
    Check(CheckId),
    /// Right- or left-handed.
    Hand,
    /// Safety: yes keeps the caution.
    Safety(CautionId),
    /// Safety after grave words: only a health professional's leave, a yes, lifts the caution.
    Leave(CautionId),
    /// The unit of a number.
    Unit {
        /// Which quantity.
        quantity: QuantityId,
        /// What would make sense.
        units: Vec<Unit>,
        /// The number's words.
        words: String,
    },
    /// Which way a number points.
    Direction {
        /// Which quantity.
        quantity: QuantityId,
        /// The number's words.
        words: String,
    },
    /// What a number measures.
    Number {
        /// What would make sense.
        quantities: Vec<QuantityId>,
        /// The number's words.
        words: String,
    },
    /// Which of two meanings.
    Meaning {
        /// Of which shots.
        pattern: Pattern,
        /// The symptoms it may mean.
        symptoms: Vec<SymptomId>,
        /// The causes it may mean.
        causes: Vec<CauseId>,
        /// The words.
        words: String,
    },
    /// How many of a block of balls did what was asked.
    Tally {
        /// Which block.
        stage: Stage,
        /// What is practised.
        cause: CauseId,
        /// How; none if this knowledge no longer has the drill.
        drill: Option<DrillId>,
        /// What is counted in place of what cause and drill count.
        count: Option<CountId>,
        /// Balls asked for.
        balls: u32,
    },
    /// Which block a count was of: with the thought, or as before.
    WhichSet(Tally),
    /// Whether the first count was made for the purpose.
    Fresh {
        /// The first count.
        was: Tally,
        /// The one with the thought.
        now: Tally,
    },
    /// Whether practice was done as set up.
    Followed(CauseId),
    /// Whether the golfer's book is really to go.
    Forget,
    /// Whether something uncertain is so.
    Sure {
        /// The number of the finding.
        number: usize,
        /// The words.
        words: String,
    },
}
