//! "7 iron left, 5 iron right", "high and weak to the right": which words say a side, and nothing of what
//! the ball does there?
//!
//! Takes the line with its clubs; asks of each clause that has a club and a side alone, and of a side that
//! follows what was told of a ball, what the ball does, as if it said that it goes there. Which start or curve it was is not known here.

use super::clauses::Line;
use super::findings::Parts;
use super::numbers;
use super::{Finding, Reading, Unclear};
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
    for side in 0..line.words.len() {
        let Some(from) = ends_there(line, side) else {
            continue;
        };
        let denied = parts.frames.at.get(from);
        let silent = denied.is_some_and(|f| f.not || f.why.is_some());
        let told = reading.findings.iter().any(|f| sides_told(line, f));
        let asked = reading
            .unclear
            .iter()
            .any(|u| matches!(u, Unclear::Meaning { .. }));
        let Some(beside) = numbers::direction_at(line, side).filter(|_| !silent && !told && !asked)
        else {
            continue;
        };
        let Some((entry, symptoms, causes)) = line.phrases.asks_of(beside.direction) else {
            continue;
        };
        let said = line.span(from, side + 1);
        reading.unclear.push(Unclear::Meaning {
            pattern: parts.scope.pattern_at(line, side),
            symptoms: symptoms.to_vec(),
            causes: causes.to_vec(),
            entry: entry.to_owned(),
            said,
        });
        if !parts.hand_known {
            reading.unclear.push(Unclear::Hand { said });
        }
        line.use_words(from, side + 1);
    }
}

/// Last words of what is told of a ball that say no side: "a banana to the left" has one.
const WITHOUT_A_SIDE: [&str; 9] = [
    "weak", "weakly", "short", "high", "low", "nowhere", "up", "dead", "soft",
];

/// Where "to the right" begins, if a side ends its clause and follows at once what was told of a ball.
fn ends_there(line: &Line<'_>, side: usize) -> Option<usize> {
    let word = line.words.get(side)?;
    let alone = line.match_at(side).is_none_or(|m| m.to == side + 1);
    word.side.filter(|_| alone && !line.is_used(side))?;
    let next = line.words.get(side + 1);
    let ends = next.is_none_or(|w| w.mark.is_some()) || !line.same_clause(side, side + 1);
    let from = side.checked_sub(2)?;
    let to = line.is_word(from, "to") && line.is_word(from + 1, "the");
    let mut before = from.checked_sub(1)?;
    // "Short and to the right".
    if line.role_at(before) == Some(Role::And) {
        before = before.checked_sub(1)?;
    }
    let how = WITHOUT_A_SIDE.iter().any(|w| line.is_word(before, w));
    let flies = how
        && matches!(line.meaning_at(before), Some(Meaning::Symptoms(_)))
        && line.sentence.get(before) == line.sentence.get(side);
    (ends && to && flies).then_some(from)
}

/// True if a finding was told with a side of its own.
fn sides_told(line: &Line<'_>, finding: &Finding) -> bool {
    line.words.iter().any(|w| {
        w.side.is_some() && finding.said.start <= w.span.start && w.span.end <= finding.said.end
    })
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
