//! Which way a left-hander's plus signs are meant: taken for the whole talk, and said.
//!
//! Launch monitors print + to the right for everybody; teachers say + for in to out. A line that says
//! it decides. Else the way that disagrees less with what else was told is taken; where nothing
//! decides it is + to the right, as the devices print it. The numbers of all lines are read one way.

use std::sync::Arc;

use super::Session;
use super::note::Note;
use super::reply::Block;
use super::talk::{Statement, Talk};
use crate::diagnosis::clashes;
use crate::reading::{Plus, Reading, What};
use crate::vocabulary::Hand;

/// The way the bare sign of a statement is read, if it has one.
fn bare(statement: &Statement) -> Option<Plus> {
    match statement.finding.what {
        What::Number(number) if !statement.dropped => number.plus,
        _ => None,
    }
}

/// Reads every bare sign of the talk one way.
fn take(talk: &mut Talk, plus: Plus) {
    for statement in &mut talk.statements {
        if let What::Number(number) = &mut statement.finding.what {
            *number = number.with_plus(Hand::Left, plus);
        }
    }
}

impl Session {
    /// Settles which way plus is after a line; says so where it is new, or where the hand is.
    pub(super) fn settle_signs(&mut self, line: usize, hand_is_new: bool) -> Option<Block> {
        if self.talk.hand != Some(Hand::Left) {
            return None;
        }
        let earlier = self
            .talk
            .statements
            .iter()
            .filter(|s| s.line < line)
            .find_map(bare);
        self.talk.statements.iter().find_map(bare)?;
        let base = Arc::clone(self.mind.base());
        let disagree = |plus: Plus| {
            let mut talk = self.talk.clone();
            take(&mut talk, plus);
            clashes(&base, &talk.case(&base).0).len()
        };
        let (plus, fits) = if let Some(told) = self.talk.plus {
            (told, None)
        } else {
            let (right, push) = (disagree(Plus::Right), disagree(Plus::Push));
            let plus = if push < right {
                Plus::Push
            } else {
                Plus::Right
            };
            (plus, Some(push != right))
        };
        take(&mut self.talk, plus);
        let fresh = hand_is_new || earlier != Some(plus);
        fresh.then_some(Block::Note(Note::PlusTaken {
            right: plus == Plus::Right,
            fits,
        }))
    }

    /// Signs that their own words contradict.
    pub(super) fn signs_against(reading: &Reading, line: &str) -> Option<Block> {
        let words: Vec<String> = reading
            .against
            .iter()
            .map(|s| s.of(line).trim().to_owned())
            .collect();
        (!words.is_empty()).then_some(Block::Note(Note::SignAgainstWord(words)))
    }
}
