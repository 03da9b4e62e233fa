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
use crate::diagnosis::{clashes, reasoned};
use crate::knowledge::KnowledgeBase;
use crate::reading::{Number, Plus, Reading, What};
use crate::rules::Value;
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

/// Where both ways are possible, one is taken for the better if it is nearer to what else was told by
/// this much, in squares of combined standard deviations (elicited).
const CLEAR: f64 = 1.0;

/// How far the numbers with bare signs lie from what follows of all else that was told: the sum of the
/// squares in standard deviations, over the numbers of which anything follows.
fn apart(base: &KnowledgeBase, talk: &Talk) -> f64 {
    let mut others = talk.clone();
    let mut signed = Vec::new();
    for statement in &mut others.statements {
        if let (Some(_), What::Number(number)) = (bare(statement), statement.finding.what) {
            signed.push(number);
            statement.dropped = true;
        }
    }
    let facts = reasoned(base, &others.case(base).0).facts();
    let square = |number: &Number| {
        let slot = base.program.slot(&base.quantity(number.quantity).id);
        let told = facts.iter().filter(|(_, fact)| Some(fact.slot) == slot);
        let squares = told.filter_map(|(_, fact)| match fact.value {
            Value::Number(n) => Some(((number.value.mean() - n.mean()) / n.sd().max(1e-9)).powi(2)),
            _ => None,
        });
        squares.min_by(f64::total_cmp).unwrap_or(0.0)
    };
    signed.iter().map(square).sum()
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
            (
                clashes(&base, &talk.case(&base).0).len(),
                apart(&base, &talk),
            )
        };
        let (plus, fits) = if let Some(told) = self.talk.plus {
            (told, None)
        } else {
            let (right, push) = (disagree(Plus::Right), disagree(Plus::Push));
            // "Path -4, face -1, pulls": neither is ruled out, but only one has the face on the pull side.
            let closer = push.0 == right.0 && (push.1 - right.1).abs() >= CLEAR;
            let fits_push = push.0 < right.0 || closer && push.1 < right.1;
            let plus = if fits_push { Plus::Push } else { Plus::Right };
            (plus, Some(push.0 != right.0 || closer))
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
