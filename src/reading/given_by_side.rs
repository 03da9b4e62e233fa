//! Which quantity does a direction word beside a number give away?
//!
//! "12 mm toe" is a place across the face, "strike low 15 mm" a height on it: a direction that a name
//! does not know says that the number is not of that name. Takes the line, a number and a direction;
//! gives the words of the quantity. What the value is is settled elsewhere.

use super::clauses::Line;
use super::measures::{Bound, within};
use super::numbers::{self, Beside, Group};
use crate::knowledge::lexicon::QuantityWords;

/// The quantity that a direction gives away beside this number, with its weight.
pub(super) fn given_by<'a>(
    line: &Line<'a>,
    group: &Group,
    side: Beside,
) -> Option<(&'a QuantityWords, f64)> {
    line.phrases.quantities().find(|(words, _)| {
        let given = words.implied_by.contains(&side.direction)
            || (group.unit.is_some() && words.implied_with_unit.contains(&side.direction));
        let has_unit = match group.unit {
            Some(unit) => words.units.iter().any(|(u, low, high)| {
                u.dimension() == unit.dimension() && within(group, unit, *u, *low, *high)
            }),
            None => !words.bare.is_empty(),
        };
        given && has_unit
    })
}

/// "Strike low 15 mm", "strike: high 10": a direction between a name and its number that is not of
/// this name, and what it measures, if that is measured in the same units.
pub(super) fn between<'a>(
    line: &Line<'a>,
    (name_ends, name): (usize, &QuantityWords),
    group: &Group,
) -> Option<Bound<'a>> {
    let of_name = |b: &Beside| name.signs.iter().any(|(d, _)| *d == b.direction);
    let mut between = (name_ends..group.from).filter(|i| line.same_clause(*i, group.from));
    let side = between.find_map(|i| numbers::direction_at(line, i))?;
    if of_name(&side) || numbers::directions_after(line, group.to).any(|b| of_name(&b)) {
        return None;
    }
    let (words, weight) = given_by(line, group, side)?;
    let alike = words.bare.iter().any(|u| name.bare.contains(u));
    alike.then(|| Bound::nameless(group, words, weight, Some(side)))
}
