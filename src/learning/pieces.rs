//! How much does each thing the learner saw speak for one cause against another?
//!
//! Takes a pupil, what the learner saw and two causes; gives each thing seen by a name, with its weight
//! in decibans, the weightiest first. A look is one thing: that it counts more than the golfer's answer
//! to the same question is part of its weight, and only what the golfer said of the cause unasked is
//! the golfer's own idea. Knows nothing of what is true.

use super::desk::Desk;
use super::draw::Pupil;
use crate::causes::model::Evidence;
use crate::diagnosis::{Diagnosis, Mind, Token, diagnose};
use crate::vocabulary::{CauseId, CheckId, QuantityId, SymptomId};

/// A piece of evidence, as it can be named.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// Something seen or felt.
    Symptom(SymptomId, bool),
    /// A number.
    Number(QuantityId),
    /// An answer.
    Answer(CheckId, bool),
    /// The golfer's own idea.
    Hint(CauseId),
    /// Anything else.
    Other,
}

/// What speaks for the costliest cause against another that the golfer does not have, weightiest
/// first, in decibans, from what the learner saw.
pub fn against(mind: &mut Mind, pupil: &Pupil, desk: &Desk, cause: CauseId) -> Vec<(Piece, f64)> {
    let Some(main) = pupil.worths.first() else {
        return Vec::new();
    };
    let last = diagnose(mind, &desk.case(pupil, usize::MAX));
    weighed(mind, pupil, desk, &last, (cause, main.cause))
}

/// What speaks for the second cause against the first, weightiest first, in decibans.
pub(super) fn weighed(
    mind: &mut Mind,
    pupil: &Pupil,
    desk: &Desk,
    last: &Diagnosis,
    (away, toward): (CauseId, CauseId),
) -> Vec<(Piece, f64)> {
    let pieces: Vec<Evidence> = last.evidence.iter().map(|(_, e)| e.clone()).collect();
    let ledger = mind
        .simulation()
        .ledger(&pieces, pupil.first.group, &[away, toward]);
    let [away, toward] = ledger.columns.as_slice() else {
        return Vec::new();
    };
    let looks = desk.hinted_by();
    let mut out: Vec<(Piece, f64)> = Vec::new();
    let weights = toward.items.iter().zip(&away.items).map(|(t, a)| t - a);
    for ((token, evidence), decibans) in last.evidence.iter().zip(weights) {
        let look = match token {
            Token::Hint(at) => looks.get(*at).copied().flatten(),
            _ => None,
        };
        let piece = look.map_or_else(|| piece(evidence), |check| Piece::Answer(check, true));
        match out.iter_mut().find(|(p, _)| *p == piece) {
            Some((_, sum)) if look.is_some() => *sum += decibans,
            _ => out.push((piece, decibans)),
        }
    }
    out.sort_by(|a, b| b.1.total_cmp(&a.1));
    out
}

fn piece(evidence: &Evidence) -> Piece {
    match evidence {
        Evidence::Symptom {
            symptom, present, ..
        } => Piece::Symptom(*symptom, *present),
        Evidence::Measured { quantity, .. } => Piece::Number(*quantity),
        Evidence::Answer { check, yes } => Piece::Answer(*check, *yes),
        Evidence::Hint { cause, .. } => Piece::Hint(*cause),
        Evidence::Unsure { .. } | Evidence::Known { .. } | Evidence::Practised { .. } => {
            Piece::Other
        }
    }
}
