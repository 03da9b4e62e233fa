//! Questions about a finished case: why, why not another cause, what would have settled it, where the
//! points went.
//!
//! The truth is out by then, so it is told of this golfer; before, these lines are refused. Computes
//! by the learning room, words nothing.

use std::sync::Arc;

use super::committing::Stage;
use super::finding;
use super::said::{Block, Heard, Note, Taught};
use super::{Sitting, Trainee};
use crate::conversation::names::nearest_cause;
use crate::learning::{Comparison, against, look_at, points, recognise, settling};

/// Pieces of evidence named.
const PIECES: usize = 3;

impl Trainee {
    /// The finished case, with its comparison.
    fn finished(&self) -> Result<(&Sitting, &Comparison), Taught> {
        match &self.sitting {
            Some(s) if s.stage == Stage::Over => s
                .comparison
                .as_deref()
                .map(|c| (s, c))
                .ok_or_else(|| Taught::note(Note::NothingOpen)),
            Some(_) if self.committing() => Err(Taught::note(Note::AtStep(self.step()))),
            Some(_) => Err(Taught::note(Note::NotYet)),
            None => Err(Taught::note(Note::NothingOpen)),
        }
    }

    /// A line after the reveal that is no order.
    pub(super) fn afterwards(&self, line: &str) -> Taught {
        self.explained(line)
            .unwrap_or_else(|| Taught::note(Note::NothingOpen))
    }

    /// `why`, `why not hanging back`, or a question about the game that begins so.
    pub(super) fn why(&mut self, rest: &str) -> Taught {
        if !rest.is_empty()
            && let Some(taught) = self.explained(&format!("why {rest}"))
        {
            return taught;
        }
        let (sitting, comparison) = match self.finished() {
            Ok((sitting, comparison)) => (sitting, comparison),
            Err(taught) => return taught,
        };
        let pupil = sitting.pupil.clone();
        if rest.is_empty() {
            let comparison = Box::new(comparison.clone());
            let links = recognise(&mut self.mind, &pupil, &[]).missing;
            return Taught::of(Block::Why {
                pupil: Box::new(pupil),
                links,
                comparison,
            });
        }
        let desk = sitting.desk.clone();
        let named = rest.strip_prefix("not ").unwrap_or(rest);
        let base = Arc::clone(self.mind.base());
        match finding::causes(&base, &self.phrases, pupil.hand, named).as_slice() {
            [] => Taught::note(Note::NoCause(named.to_owned(), nearest_cause(&base, named))),
            [cause] => {
                let mut pieces = against(&mut self.mind, &pupil, &desk, *cause);
                pieces.retain(|p| p.1 > 0.5);
                pieces.truncate(PIECES);
                let look = look_at(&mut self.mind, &pupil, *cause);
                Taught::of(Block::WhyNot {
                    pupil: Box::new(pupil),
                    cause: *cause,
                    pieces,
                    look,
                })
            }
            several => {
                let few = several.iter().copied().take(finding::OFFERED).collect();
                Taught::of(Block::WhichCause(Heard::Reason, few))
            }
        }
    }

    /// What would have settled it.
    pub(super) fn settle(&mut self) -> Taught {
        let pupil = match self.finished() {
            Ok((sitting, _)) => sitting.pupil.clone(),
            Err(taught) => return taught,
        };
        Taught::of(Block::Settles(settling(&mut self.mind, &pupil)))
    }

    /// Where the points went.
    pub(super) fn lost(&mut self) -> Taught {
        let (sitting, comparison) = match self.finished() {
            Ok(found) => found,
            Err(taught) => return taught,
        };
        let pupil = &sitting.pupil;
        let causes = sitting
            .commitment
            .causes
            .iter()
            .map(|&(cause, stated)| {
                let usual = |_| comparison.usual(cause);
                let one = points(&[(cause, stated)], |c| pupil.has(c), usual);
                (cause, stated, one)
            })
            .collect();
        Taught::of(Block::Lost {
            causes,
            pupil: Box::new(pupil.clone()),
            commitment: Box::new(sitting.commitment.clone()),
            comparison: Box::new(comparison.clone()),
        })
    }
}
