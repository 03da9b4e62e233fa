//! What did a change of the knowledge change? Two runs over the same cases, side by side.

use super::Outcome;
use crate::knowledge::{KnowledgeBase, WrittenCase};
use crate::vocabulary::CauseId;

/// What changed about a case between two knowledges; causes by text id, because the two do not
/// share their numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// The place of the case.
    pub case: usize,
    /// The first three before and after.
    pub three: (Vec<String>, Vec<String>),
    /// The cause to practise against, before and after.
    pub practice: (Option<String>, Option<String>),
    /// Accepted in first place, before and after.
    pub accepted: (bool, bool),
}

impl Difference {
    /// Another cause leads.
    pub fn first_changed(&self) -> bool {
        self.three.0.first() != self.three.1.first()
    }

    /// The practice is another.
    pub fn practice_changed(&self) -> bool {
        self.practice.0 != self.practice.1
    }
}

/// A knowledge, the cases read with its ids, and what came out.
pub struct Run<'a> {
    /// The knowledge.
    pub base: &'a KnowledgeBase,
    /// The cases.
    pub cases: &'a [WrittenCase],
    /// What came out of each.
    pub outcomes: &'a [Outcome],
}

impl Run<'_> {
    fn of(&self, case: usize) -> Option<(Vec<String>, Option<String>, bool)> {
        let outcome = self.outcomes.get(case)?;
        let name = |c: CauseId| self.base.cause(c).id.clone();
        let accepted = outcome.first_accepted(self.cases.get(case)?);
        let three = outcome.causes(3).map(name).collect();
        Some((three, outcome.practice.map(name), accepted))
    }
}

/// Cases whose first cause, first three or practice changed, in order. Both runs are over the same
/// cases.
pub fn differences(before: &Run<'_>, after: &Run<'_>) -> Vec<Difference> {
    (0..before.outcomes.len())
        .filter_map(|case| {
            let (three, practice, accepted) = before.of(case)?;
            let (three_now, practice_now, accepted_now) = after.of(case)?;
            (three != three_now || practice != practice_now).then_some(Difference {
                case,
                three: (three, three_now),
                practice: (practice, practice_now),
                accepted: (accepted, accepted_now),
            })
        })
        .collect()
}
