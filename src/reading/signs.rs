//! Which way is plus? Numbers of directions in, the same with their signs turned as they were meant.
//!
//! For a right-hander "+ to the right" and "+ in to out" are one. For a left-hander they are not:
//! launch monitors print + to the right for everybody, teachers say + for in to out. A number with a
//! word ("5 in to out", "3 left") needs neither; one with a sign alone is taken as the line says
//! ("plus is in to out", or a number with sign and word both), else as + to the right, and marked, so
//! that the talk may turn it round. A sign that its own word contradicts gives way to the word and is
//! named. Invariant: a golfer's mirror image, whose monitor shows every sign turned, gives the same.

use super::clauses::Line;
use super::letters::Mark;
use super::measures::{Measured, Measures};
use super::{Number, Reading};
use crate::knowledge::lexicon::{Meaning, Role};
use crate::quantity::{Dimension, Estimate};
use crate::vocabulary::Hand;

/// What a plus sign before a direction means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Plus {
    /// To the right, as measuring devices print it.
    Right,
    /// To the push side: in to out, or an open face.
    Push,
}

impl Number {
    /// The number with its bare sign read this way; the same number if a word gave its side.
    #[must_use]
    pub fn with_plus(self, hand: Hand, plus: Plus) -> Self {
        match self.plus {
            Some(now) if now != plus && hand == Hand::Left => Self {
                value: turned(self.value),
                plus: Some(plus),
                ..self
            },
            _ => self,
        }
    }
}

fn turned(value: Estimate) -> Estimate {
    Estimate::from_base(-value.mean(), value.sd(), value.dimension()).unwrap_or(value)
}

/// Turns the signs of a line, and notes which way plus was said to be.
pub(super) fn settle(
    line: &mut Line<'_>,
    measures: &mut Measures,
    hand: Hand,
    reading: &mut Reading,
) {
    reading.plus = said(line, hand).or_else(|| shown(measures, hand));
    turn(measures, hand, reading.plus);
    for measured in &measures.measured {
        let own_way = measured.words.sided && hand == Hand::Left;
        let angle = measured.number.value.dimension() == Dimension::Angle;
        if against(measured) && !own_way && (angle || measured.words.sided) {
            reading.against.push(measured.span);
        }
    }
}

/// Turns bare signs of a left-hander: as said, else + to the right.
pub(super) fn turn(measures: &mut Measures, hand: Hand, plus: Option<Plus>) {
    for measured in &mut measures.measured {
        measured.number = measured.number.with_plus(hand, plus.unwrap_or(Plus::Right));
    }
}

/// True if the sign written is not the one that the word beside it gives.
fn against(measured: &Measured) -> bool {
    measured
        .written
        .is_some_and(|sign| sign * measured.number.value.mean() < 0.0)
}

/// "Path +4 in to out": a number with sign and word both shows which way plus is.
fn shown(measures: &Measures, hand: Hand) -> Option<Plus> {
    let first = measures
        .measured
        .iter()
        .find(|m| m.words.sided && m.written.is_some() && hand == Hand::Left)?;
    Some(if against(first) {
        Plus::Right
    } else {
        Plus::Push
    })
}

/// "Plus is in to out", "+ = right", "minus means left".
fn said(line: &mut Line<'_>, hand: Hand) -> Option<Plus> {
    let name = |i: usize| {
        let word = line.words.get(i)?;
        Some(line.phrases.vocabulary.name(word.symbol?))
    };
    let mark = |i: usize| line.words.get(i).and_then(|w| w.mark);
    let start = (0..line.words.len()).find_map(|i| {
        let sign = match (line.role_at(i), mark(i)) {
            (Some(Role::Plus), _) | (_, Some(Mark::Plus)) => 1.0,
            (Some(Role::Minus), _) => -1.0,
            _ => return None,
        };
        let says = matches!(
            name(i + 1),
            Some("is" | "means" | "are" | "meant" | "was" | "being")
        ) || mark(i + 1) == Some(Mark::Equals);
        says.then_some((i, sign))
    });
    let (at, sign) = start?;
    let beside = super::numbers::directions_after(line, at + 2).next()?;
    let side = line.phrases.quantities().find_map(|(words, _)| {
        let known = words.signs.iter().find(|(d, _)| *d == beside.direction);
        words.sided.then_some(known?.1)
    })?;
    line.use_words(at, beside.to);
    // For a right-hander both are one.
    Some(if sign * side > 0.0 || hand == Hand::Right {
        Plus::Push
    } else {
        Plus::Right
    })
}

/// True if a phrase says where the club comes from, though it is a guess at a cause as well: "path 4
/// over the top".
pub(super) fn is_guess(line: &Line<'_>, at: usize) -> bool {
    matches!(line.meaning_at(at), Some(Meaning::Hint(_)))
}
