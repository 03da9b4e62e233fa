//! Is a number of yards where a ball starts, how far it bends, or where it ends?
//!
//! A number in, the part of the flight it sizes out: the nearest word for one before it in its clause
//! decides ("starts left 8 yards and curves right 20" has one start and one curve and no finish). A
//! start or a bend is no distance from the target, so none is taken from it where the line tells both;
//! what the ball does with the number beside "ends" is. What the numbers are worth is not known here.

use super::clauses::Line;
use super::numbers::Group;
use crate::quantity::{Dimension, Unit};

/// A part of a flight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    Start,
    Bend,
    End,
}

const STARTS: [&str; 9] = [
    "starts", "start", "started", "starting", "begins", "launches", "launched", "leaves", "sets",
];
const BENDS: [&str; 12] = [
    "curves", "curve", "curved", "curving", "bends", "bend", "bending", "turns", "turning",
    "swerves", "peels", "moves",
];
/// Bends too, but a bare number after them counts shots.
const SHAPES: [&str; 12] = [
    "hooks", "hook", "hooking", "slices", "slice", "slicing", "draws", "draw", "fades", "fade",
    "cuts", "drifts",
];
const ENDS: [&str; 14] = [
    "ends",
    "end",
    "ended",
    "ending",
    "finishes",
    "finish",
    "finished",
    "finishing",
    "lands",
    "landed",
    "landing",
    "winds",
    "misses",
    "missed",
];

/// Words between the verb and its number at most.
const REACH: usize = 6;

fn part(line: &Line<'_>, at: usize) -> Option<(Part, bool)> {
    let symbol = line.words.get(at)?.symbol?;
    let name = line.phrases.vocabulary.name(symbol);
    if STARTS.contains(&name) {
        Some((Part::Start, true))
    } else if BENDS.contains(&name) {
        Some((Part::Bend, true))
    } else if SHAPES.contains(&name) {
        Some((Part::Bend, false))
    } else {
        ENDS.contains(&name).then_some((Part::End, true))
    }
}

/// The part of the flight that a number sizes, and whether a bare number sizes it too.
fn sized(line: &Line<'_>, group: &Group) -> Option<(Part, bool)> {
    (group.from.saturating_sub(REACH)..group.from)
        .rev()
        .take_while(|i| line.same_clause(*i, group.from))
        .take_while(|i| line.words.get(*i).is_some_and(|w| w.number.is_none()))
        .find_map(|i| part(line, i))
}

/// True if a number says where a ball ends: "ends up 20 left".
pub(super) fn ends(line: &Line<'_>, group: &Group) -> bool {
    matches!(sized(line, group), Some((Part::End, _)))
}

/// Words on either side of a number looked through for another part of its flight.
const NEAR: usize = 12;

/// True if a number is the size of a start or of a bend and so measures no miss.
pub(super) fn is_part(line: &Line<'_>, group: &Group) -> bool {
    let Some((what, bare)) = sized(line, group) else {
        return false;
    };
    let far = |u: Unit| u.dimension() == Dimension::Length && u.scale() >= Unit::Foot.scale();
    let fits = group.unit.is_none_or(far) && !group.signed && group.counted.is_none();
    let near = group.from.saturating_sub(NEAR)..(group.to + NEAR).min(line.words.len());
    let same = |i: &usize| line.sentence.get(*i) == line.sentence.get(group.from);
    let side = (group.from.saturating_sub(REACH)..(group.to + 3).min(line.words.len()))
        .filter(same)
        .any(|i| line.words.get(i).is_some_and(|w| w.side.is_some()));
    let other = |part_is: Part| {
        near.clone()
            .filter(same)
            .any(|i| part(line, i).is_some_and(|(p, _)| p == part_is))
    };
    match what {
        Part::Start => fits && side && group.unit.is_some(),
        Part::Bend => {
            // "Curve 25 m left": the noun itself sizes the bend.
            // "Draws 20 yards": so does a shape that is meant to come back.
            let of_itself = ["curve", "draws", "draw", "fades", "fade"];
            let before = group.from.checked_sub(1);
            let noun = before.is_some_and(|i| of_itself.iter().any(|w| line.is_word(i, w)));
            fits && if group.unit.is_some() {
                noun || other(Part::Start) || other(Part::End)
            } else {
                bare && side && group.digits
            }
        }
        Part::End => false,
    }
}
