//! "No, it is 1 inch ahead", "it's 8.5 cm behind, not ahead": which lines put a number right?
//!
//! Takes a line with its numbers and the numbers told before; says whether a number without a name
//! goes back to one of them, and marks as corrected what is told with the other side denied. A line
//! that names what it speaks of ("no, the divot starts 1 inch ahead") is left as it is.

use super::clauses::Line;
use super::numbers;
use super::{Context, Correction, Reading, What};
use crate::knowledge::lexicon::Role;

/// Words of the ground: a line that has one speaks of a mark.
const GROUND: [&str; 12] = [
    "divot", "divots", "mark", "turf", "ground", "starts", "start", "begins", "enters", "hits",
    "brush", "scuff",
];

/// Words after which a line speaks of what was told.
const OF_IT: [&str; 8] = [
    "it", "its", "thats", "that", "was", "is", "more", "actually",
];

/// Words looked at after a number for the side that is denied (elicited).
const REACH: usize = 5;

/// True if the words around a number, up to the end of its side, take back what was told before.
pub(super) fn takes_back(line: &Line<'_>, from: usize, side_ends: usize) -> bool {
    let sentence = line.sentence.get(from);
    let here = |i: &usize| line.sentence.get(*i) == sentence;
    let mut all = (0..line.words.len()).filter(here);
    if all.clone().any(|i| line.role_at(i) == Some(Role::Correct)) {
        return true;
    }
    let is = |i: usize, list: &[&str]| list.iter().any(|w| line.is_word(i, w));
    if all.clone().any(|i| is(i, &GROUND)) {
        return false;
    }
    let Some(first) = all.next() else {
        return false;
    };
    let denies = matches!(line.role_at(first), Some(Role::Not | Role::No));
    let opens = denies && all.take(4).any(|i| is(i, &OF_IT) || i == from);
    opens || denied_side(line, side_ends).is_some()
}

/// "Not ahead" after a number: the words from and to.
fn denied_side(line: &Line<'_>, after: usize) -> Option<(usize, usize)> {
    let mut near = after..(after + REACH).min(line.words.len());
    let not = near.find(|i| matches!(line.role_at(*i), Some(Role::Not | Role::No)))?;
    let side = line.past_fillers(line.match_at(not).map_or(not + 1, |m| m.to));
    let beside = numbers::direction_at(line, side).filter(|b| b.from == side)?;
    Some((not, beside.to))
}

/// "More like" before a number that ends here: the words from and to.
fn more_like(line: &Line<'_>, after: usize) -> Option<(usize, usize)> {
    let from = after.saturating_sub(REACH);
    let at = (from..after).find(|i| {
        line.is_word(*i, "more") && line.is_word(*i + 1, "like") && line.same_clause(*i, after - 1)
    })?;
    Some((at, at + 2))
}

/// Uses the words of a side that is denied after a number, which is a correction where the same was
/// measured before.
pub(super) fn sides(line: &mut Line<'_>, context: &Context, reading: &mut Reading) {
    for finding in &reading.findings {
        let What::Number(number) = finding.what else {
            continue;
        };
        let end = finding.said.end;
        let after = line.words.iter().position(|w| w.span.start >= end);
        let after = after.unwrap_or(line.words.len());
        let Some((from, to)) = denied_side(line, after).or_else(|| more_like(line, after)) else {
            continue;
        };
        line.use_words(from, to);
        let before = context
            .measured
            .iter()
            .any(|m| m.quantity == number.quantity);
        let taken_back = |c: &Correction| matches!(c, Correction::Number { quantity, .. } if *quantity == number.quantity);
        if before && !reading.corrections.iter().any(taken_back) {
            reading.corrections.push(Correction::Number {
                quantity: number.quantity,
                said: finding.said,
            });
        }
    }
}
