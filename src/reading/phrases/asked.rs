//! Which entry asks what a ball does that goes to a side? The one to ask with where no phrase says more.

use super::Phrases;
use crate::knowledge::lexicon::{DirectionId, Meaning};
use crate::vocabulary::{CauseId, SymptomId};

impl Phrases {
    /// The first entry that asks about a side: its id, the symptoms and the causes.
    pub(in crate::reading) fn asks_of(
        &self,
        side: DirectionId,
    ) -> Option<(&str, &[SymptomId], &[CauseId])> {
        self.lexicon.entries.iter().find_map(|e| match &e.meaning {
            Meaning::OneOf {
                symptoms,
                causes,
                direction: Some(direction),
                ..
            } if *direction == side => Some((e.id.as_str(), &symptoms[..], &causes[..])),
            _ => None,
        })
    }
}
