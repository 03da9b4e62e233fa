//! "7 iron left, 5 iron right": which clauses say a club and a side, and nothing else?
//!
//! Takes the line with its clubs; asks of each such clause what its ball does, as if it said that it
//! goes there. Which start or curve it was is not known here.

use super::clauses::Line;
use super::findings::Parts;
use super::numbers;
use super::{Reading, Unclear};
use crate::knowledge::lexicon::{Meaning, Role};

/// Asks about the clauses of a line that name a club and a side.
pub(super) fn ask(line: &mut Line<'_>, parts: &Parts<'_>, reading: &mut Reading) {
    for mention in &parts.scope.clubs {
        let Some(side) = side_alone(line, mention.from, mention.to) else {
            continue;
        };
        let denied = parts.frames.at.get(side);
        if denied.is_some_and(|f| f.not || f.why.is_some()) {
            continue;
        }
        let Some(beside) = numbers::direction_at(line, side) else {
            continue;
        };
        let Some((entry, symptoms, causes)) = line.phrases.asks_of(beside.direction) else {
            continue;
        };
        let said = line.span(mention.from, side + 1);
        reading.unclear.push(Unclear::Meaning {
            pattern: parts.scope.pattern_at(line, mention.from),
            symptoms: symptoms.to_vec(),
            causes: causes.to_vec(),
            entry: entry.to_owned(),
            said,
        });
        if !parts.hand_known {
            reading.unclear.push(Unclear::Hand { said });
        }
        line.use_words(side, side + 1);
    }
}

/// Longest clause that may say no more than a club and a side (elicited).
const SHORT: usize = 10;

/// The side a clause says of its club, if it says nothing more.
fn side_alone(line: &Line<'_>, start: usize, end: usize) -> Option<usize> {
    let (from, to) = line.clause_range(start);
    if to - from > SHORT {
        return None;
    }
    let mut side = None;
    for at in (from..start).chain(end..to) {
        let word = line.words.get(at)?;
        let empty = word.filler
            || word.mark.is_some()
            || matches!(
                line.role_at(at),
                Some(Role::And | Role::Carry | Role::Break | Role::ClubFollows)
            );
        let pure = word.side.is_some()
            && at >= end
            && matches!(line.meaning_at(at), Some(Meaning::Direction(_)));
        match (empty, pure, side) {
            (true, false, _) => {}
            (false, true, None) => side = Some(at),
            _ => return None,
        }
    }
    side
}
