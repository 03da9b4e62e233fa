//! What does each number measure? Number groups and quantity names in, values out in house signs.
//!
//! A number takes the name before it in its clause, else the name straight after it, else the
//! quantity its direction word gives away ("2 in behind", "12 mm toe"), else the only quantity
//! measured in its unit. A direction word decides the sign and beats a written sign. A unit left
//! unsaid is taken only if one of those people leave unsaid makes sense of the value; otherwise
//! it is asked for. Several numbers after one name are shots of one list.

use std::collections::BTreeSet;

use super::amounts::{Signs, settle};
use super::clauses::{Line, is_club};
pub(super) use super::distances::LISTED;
use super::distances::{LEAST_FAR, beside_club, far_apart, listed, lists};
use super::flight_sizes;
use super::given_by_side;
use super::letters::Mark;
use super::numbers::{self, Beside, Group};
use super::put_right;
use super::signs;
use super::{Number, Span, Unclear};
use crate::knowledge::lexicon::{Meaning, QuantityWords, Role};
use crate::quantity::{Dimension, Unit};
use crate::vocabulary::QuantityId;

/// A number that found its quantity.
#[derive(Debug, Clone)]
pub(super) struct Measured {
    /// First word, for clause and club.
    pub(super) at: usize,
    pub(super) span: Span,
    pub(super) number: Number,
    pub(super) sided: bool,
    pub(super) words: QuantityWords,
    pub(super) weight: f64,
    /// The sign written, if a word gave the side.
    pub(super) written: Option<f64>,
}

/// A quantity name in the line.
#[derive(Debug, Clone)]
struct Name<'a> {
    from: usize,
    to: usize,
    words: &'a QuantityWords,
    weight: f64,
    taken: bool,
}

/// One number on its way.
pub(super) struct Bound<'a> {
    pub(super) group: Group,
    pub(super) words: &'a QuantityWords,
    pub(super) weight: f64,
    /// Where its name stands.
    pub(super) name: Option<(usize, usize)>,
    pub(super) beside: Option<Beside>,
}

impl<'a> Bound<'a> {
    /// A number whose quantity was found without a name of its own.
    pub(super) fn nameless(
        group: &Group,
        words: &'a QuantityWords,
        weight: f64,
        beside: Option<Beside>,
    ) -> Self {
        Self {
            group: group.clone(),
            words,
            weight,
            name: None,
            beside,
        }
    }
}

/// Words looked at between a number and the one whose name it may carry on.
const WINDOW: usize = 24;

/// Everything the numbers gave.
#[derive(Debug, Default)]
pub(super) struct Measures {
    pub(super) measured: Vec<Measured>,
    pub(super) unclear: Vec<Unclear>,
    /// Groups that measure nothing: counts and leftovers, for the context pass.
    pub(super) rest: Vec<Group>,
    /// Phrases whose symptom is eaten because a number took their direction.
    pub(super) eaten: Vec<usize>,
}

/// Binds every group of the line.
pub(super) fn bind(line: &mut Line<'_>, groups: Vec<Group>, measured: &[Number]) -> Measures {
    let phrases = line.phrases;
    let mut names: Vec<Name<'_>> = line
        .matches
        .iter()
        .filter_map(|m| match phrases.meaning(m)? {
            Meaning::Quantity(words) => Some(Name {
                from: m.from,
                to: m.to,
                words,
                weight: phrases.entry(m.entry)?.weight,
                taken: false,
            }),
            _ => None,
        })
        .collect();
    let any_sign = groups.iter().any(|g| g.signed);
    let mut known = measured.to_vec();
    let corrected = Corrected::in_line(line);
    let mut out = Measures::default();
    let mut last: Option<Bound<'_>> = None;
    let mut list: Vec<Group> = Vec::new();
    let mut before: Option<Before<'_>> = None;
    let lists = lists(line, &groups);
    for group in groups {
        if group.counted.is_some() {
            out.rest.push(group);
            continue;
        }
        if let Some(bound) = &mut last
            && goes_on(
                line,
                &names,
                bound,
                list.last().unwrap_or(&bound.group),
                &group,
            )
        {
            // "Low point 3.5, 3, 4 in ahead": the direction of all stands after the last.
            if bound.beside.is_none() {
                bound.beside = beside(line, &group, bound.words, bound.name);
            }
            list.push(group);
            continue;
        }
        if let Some(bound) = last.take() {
            let before = corrected.told(line, &bound.group, &known, &[]);
            let signs = Signs {
                any_sign,
                known: before,
            };
            settle(line, bound, &std::mem::take(&mut list), signs, &mut out);
            known.extend(
                out.measured
                    .get(known.len().saturating_sub(measured.len())..)
                    .unwrap_or(&[])
                    .iter()
                    .map(|m| m.number),
            );
            // "3 inches, not 2": the 2 is what was said before.
            if group.unit.is_none() && is_denied_again(line, &group) {
                line.use_words(group.from, group.to);
                continue;
            }
        }
        if flight_sizes::is_part(line, &group) {
            line.use_words(group.from, group.to);
            continue;
        }
        let told = corrected.told(line, &group, &known, measured);
        if let Some((words, weight)) = lists
            .iter()
            .find(|(at, _)| *at == group.from)
            .and_then(|(_, between)| listed(line, *between))
        {
            last = Some(Bound::nameless(&group, words, weight, None));
            continue;
        }
        let found = match bind_one(line, &mut names, &group, told) {
            Found::Bound(bound) if bound.name.is_none() => {
                like_before(line, before.as_ref(), &group).map_or(Found::Bound(bound), Found::Bound)
            }
            Found::Nothing => {
                like_before(line, before.as_ref(), &group).map_or(Found::Nothing, Found::Bound)
            }
            found => found,
        };
        match found {
            Found::Bound(bound) => {
                before = Some((bound.words, bound.weight, bound.group.unit, group.from));
                last = Some(bound);
            }
            Found::Unclear(unclear) => {
                line.use_words(group.from, group.to);
                out.unclear.push(unclear);
            }
            Found::Nothing => out.rest.push(group),
        }
    }
    if let Some(bound) = last.take() {
        let known = corrected.told(line, &bound.group, &known, &[]);
        let signs = Signs { any_sign, known };
        settle(line, bound, &list, signs, &mut out);
    }
    out.eaten.sort_unstable();
    out
}

/// The sentences that take something back ("sorry, it was").
struct Corrected(BTreeSet<usize>);

impl Corrected {
    fn in_line(line: &Line<'_>) -> Self {
        let places = line.matches.iter().map(|m| m.from);
        Self(
            places
                .filter(|at| line.role_at(*at) == Some(Role::Correct))
                .filter_map(|at| line.sentence.get(at).copied())
                .collect(),
        )
    }

    /// The numbers that one of this sentence may go back to: all told so far where something is
    /// taken back, else those of `otherwise`.
    fn told<'k>(
        &self,
        line: &Line<'_>,
        group: &Group,
        known: &'k [Number],
        otherwise: &'k [Number],
    ) -> &'k [Number] {
        match line.sentence.get(group.from) {
            Some(sentence) if self.0.contains(sentence) => known,
            _ => otherwise,
        }
    }
}

/// True if "not" stands before a number and nothing but fillers between.
fn is_denied_again(line: &Line<'_>, group: &Group) -> bool {
    (0..group.from)
        .rev()
        .find(|i| line.words.get(*i).is_none_or(|w| !w.filler))
        .is_some_and(|i| line.role_at(i) == Some(Role::Not))
}

/// True if a number goes on with the list of the one before: "path -3, -4, -2.5".
fn goes_on(
    line: &Line<'_>,
    names: &[Name<'_>],
    bound: &Bound<'_>,
    before: &Group,
    group: &Group,
) -> bool {
    // "Path 4 left, 6 left, 3 right": each with its own side.
    let sides = (
        numbers::own_side(line, bound.words, before),
        numbers::own_side(line, bound.words, group),
    );
    let start = match (sides, bound.name) {
        ((Some(side), Some(_)), Some(_)) => side.to,
        _ => before.to,
    };
    let between_ok = start <= group.from
        && (start..group.from).all(|i| {
            let word = line.words.get(i);
            let often = matches!(line.meaning_at(i), Some(Meaning::Often(_)));
            !often
                && word.is_some_and(|w| {
                    w.filler
                        || matches!(
                            w.mark,
                            Some(
                                Mark::Comma
                                    | Mark::Slash
                                    | Mark::And
                                    | Mark::Cell
                                    | Mark::Semicolon
                            )
                        )
                })
                || matches!(line.role_at(i), Some(Role::And))
                || bound.name.is_none() && far_apart(line, before, group, i)
        });
    let next = names.partition_point(|n| n.from < group.to);
    let named_after = names.get(next).is_some_and(|n| {
        line.words.get(n.to).is_none_or(|w| w.number.is_none())
            && n.from <= group.to + 1
            && line.same_clause(n.from, group.from)
    });
    let same_unit = group.unit.is_none() || group.unit == bound.group.unit;
    let list_unit = bound.group.unit.is_none() || group.unit == bound.group.unit;
    // "Club speed 41, 52, 38, 55, 44 mph": the unit stands on the last.
    let last_unit = bound.group.unit.is_none()
        && bound.name.is_some()
        && before.from > bound.group.from
        && before.unit.is_none()
        && fits_unit(bound.words, group)
        && numbers::directions_after(line, group.to)
            .all(|b| bound.words.signs.iter().any(|(d, _)| *d == b.direction));
    if last_unit {
        return between_ok && !named_after;
    }
    between_ok && !named_after && same_unit && (list_unit || group.unit.is_none())
}

/// The quantity bound before: its words, weight and unit, and where.
type Before<'a> = (&'a QuantityWords, f64, Option<Unit>, usize);

/// "Low point 2 in ahead with the 9i, 1 in ahead with the 6i": the name carries on.
fn like_before<'a>(
    line: &Line<'_>,
    before: Option<&Before<'a>>,
    group: &Group,
) -> Option<Bound<'a>> {
    let (words, weight, unit, at) = before?;
    let same_sentence =
        line.sentence.get(*at) == line.sentence.get(group.from) && group.from - *at <= WINDOW;
    let turf = (*at..group.from).rev().take(WINDOW).any(|i| {
        matches!(
            line.meaning_at(i),
            Some(Meaning::Symptoms(_) | Meaning::Word(Role::Break))
        )
    });
    // "Carry used to be 160, now 145".
    let now = (0..group.from)
        .rev()
        .find(|i| line.words.get(*i).is_none_or(|w| !w.filler))
        .is_some_and(|i| line.role_at(i) == Some(Role::Now));
    if now && same_sentence && group.unit.is_none() {
        return Some(Bound::nameless(group, words, *weight, None));
    }
    // "7 iron carries 150, 6 iron 160": a club and its number.
    let club = group
        .from
        .checked_sub(1)
        .is_some_and(|i| line.meaning_at(i).is_some_and(is_club) && line.is_used(i));
    let counts = matches!(
        line.meaning_at(group.to),
        Some(Meaning::Symptoms(_) | Meaning::OneOf { .. } | Meaning::AllWell)
    );
    if club && same_sentence && !turf && !counts && group.unit.is_none() && group.digits {
        return Some(Bound::nameless(group, words, *weight, None));
    }
    let known = |b: &Beside| words.signs.iter().any(|(d, _)| *d == b.direction);
    let beside = numbers::directions_after(line, group.to).find(known)?;
    (same_sentence && !turf && group.unit.is_some() && group.unit == *unit)
        .then(|| Bound::nameless(group, words, *weight, Some(beside)))
}

enum Found<'a> {
    Bound(Bound<'a>),
    Unclear(Unclear),
    Nothing,
}

fn fits_unit(words: &QuantityWords, group: &Group) -> bool {
    group.unit.is_none_or(|unit| {
        words
            .units
            .iter()
            .any(|(u, _, _)| u.dimension() == unit.dimension())
    })
}

fn bind_one<'a>(
    line: &Line<'a>,
    names: &mut [Name<'a>],
    group: &Group,
    measured: &[Number],
) -> Found<'a> {
    // "Half my drives" is a share.
    if !group.digits && group.unit.is_none() && group.low > 0.0 && group.high < 1.0 {
        return Found::Nothing;
    }
    if numbers::is_a_hole(line, group) {
        return Found::Nothing;
    }
    // A name inside the number's own words ("off 18") or before it in the clause.
    let next = names.partition_point(|n| n.from <= group.from);
    let (earlier, later) = names.split_at_mut(next);
    let before = earlier
        .iter_mut()
        .rev()
        .take_while(|n| line.same_clause(n.from, group.from))
        .find(|n| fits_unit(n.words, group))
        .filter(|n| !n.taken);
    // "Strike 6 mm low and 9 mm heel": a direction that is not this name's decides.
    let other = before.as_ref().is_some_and(|n| {
        numbers::directions_after(line, group.to)
            .next()
            .is_some_and(|b| {
                let foreign = !n.words.signs.iter().any(|(d, _)| *d == b.direction);
                // "Goes 20 right" is no carry, though it is not known what it is.
                let asked = group.unit.is_none()
                    && is_pure(line, &b)
                    && quantities(line).any(|(w, _)| w.implied_with_unit.contains(&b.direction));
                foreign && (asked || by_direction(line, group).is_some())
            })
    });
    // "Strike low 15 mm": so does one between the name and the number.
    let between = before
        .as_ref()
        .and_then(|name| given_by_side::between(line, (name.to, name.words), group));
    if let Some(mut bound) = between {
        if let Some(name) = before {
            name.taken = true;
            bound.name = Some((name.from, name.to));
        }
        return Found::Bound(bound);
    }
    if other {
        if let (Some(name), Some(mut bound)) = (before, by_direction(line, group)) {
            name.taken = true;
            bound.name = Some((name.from, name.to));
            return Found::Bound(bound);
        }
        return nameless(line, group, measured);
    }
    if let Some(name) = before {
        name.taken = true;
        return Found::Bound(make(line, group, name));
    }
    let after = later
        .iter_mut()
        .take_while(|n| n.from <= group.to + 3 && line.same_clause(n.from, group.from))
        .filter(|n| n.from >= group.to && !n.taken)
        .find(|n| fits_unit(n.words, group));
    if let Some(name) = after {
        name.taken = true;
        return Found::Bound(make(line, group, name));
    }
    nameless(line, group, measured)
}

fn make<'a>(line: &Line<'_>, group: &Group, name: &Name<'a>) -> Bound<'a> {
    Bound {
        beside: beside(line, group, name.words, Some((name.from, name.to))),
        group: group.clone(),
        words: name.words,
        weight: name.weight,
        name: Some((name.from, name.to)),
    }
}

/// The direction word that goes with a number: after it, else between its name and it.
fn beside(
    line: &Line<'_>,
    group: &Group,
    words: &QuantityWords,
    name: Option<(usize, usize)>,
) -> Option<Beside> {
    // A symptom gives a direction only to a number with a unit, and only right beside it.
    let near = |b: &Beside| {
        is_pure(line, b)
            || signs::is_guess(line, b.from)
            || group.unit.is_some()
                && (b.from <= line.past_fillers(group.to) + 1 && b.from + 4 >= group.from)
    };
    let known = |b: &Beside| near(b) && words.signs.iter().any(|(d, _)| *d == b.direction);
    if let Some(found) = numbers::directions_after(line, group.to).find(known) {
        return Some(found);
    }
    let (from, to) = name.unwrap_or((group.from.saturating_sub(3), group.from));
    // "Face open 3": inside the name.
    let inside = name.filter(|n| n.0 <= group.from && group.to <= n.1 + 1);
    let own = |b: &Beside| words.signs.iter().any(|(d, _)| *d == b.direction);
    if let Some(found) = inside.and_then(|(a, b)| {
        (a..b)
            .filter_map(|i| numbers::direction_in(line, i))
            .find(own)
    }) {
        return Some(found);
    }
    let between = if to <= group.from {
        to.max(group.from.saturating_sub(4))..group.from
    } else {
        group.to..from
    };
    between
        .rev()
        .filter(|i| line.same_clause(*i, group.from))
        .filter_map(|i| numbers::direction_at(line, i))
        .find(known)
        .or_else(|| {
            // "Out to in path of 5": before the name.
            let (from, _) = name?;
            (from.saturating_sub(2)..from)
                .rev()
                .filter(|i| line.same_clause(*i, group.from))
                .filter_map(|i| numbers::direction_at(line, i))
                .find(known)
        })
        .or_else(|| {
            // "2 in behind low point" keeps its direction after the name as well.
            let (_, to) = name?;
            numbers::directions_after(line, to.max(group.to)).find(known)
        })
}

/// A number whose quantity was not named.
fn nameless<'a>(line: &Line<'a>, group: &Group, measured: &[Number]) -> Found<'a> {
    if let Some(bound) = amended(line, group, measured) {
        return Found::Bound(bound);
    }
    if let Some(bound) = by_direction(line, group) {
        return Found::Bound(bound);
    }
    let side = numbers::directions_after(line, group.to).next();
    // "3 slices" is a count.
    if let Some(side) = side.filter(|b| group.unit.is_none() && is_pure(line, b)) {
        // "5 left": degrees or yards?
        let quantities: Vec<_> = quantities(line)
            .filter(|(w, _)| w.implied_with_unit.contains(&side.direction))
            .map(|(w, _)| w.quantity)
            .collect();
        // "Ends 20 left": in yards.
        if flight_sizes::ends(line, group)
            && let Some((words, weight)) = self::quantities(line).find(|(w, _)| {
                let length = |u: &Unit| u.dimension() == Dimension::Length;
                w.implied_with_unit.contains(&side.direction) && w.bare.iter().any(length)
            })
        {
            return Found::Bound(Bound::nameless(group, words, weight, Some(side)));
        }
        // "6 down with my 7 iron", "6 down and path 3 left": one quantity, in its company.
        if let [quantity] = quantities[..]
            && (line.role_at(side.to) == Some(Role::ClubFollows)
                || (side.to..side.to + 3).any(|i| line.meaning_at(i).is_some_and(is_club))
                || line.role_at(side.to) == Some(Role::And)
                    && matches!(line.meaning_at(side.to + 1), Some(Meaning::Quantity(_))))
            && let Some((words, weight)) = quantities_named(line, quantity)
        {
            return Found::Bound(Bound::nameless(group, words, weight, Some(side)));
        }
        if !quantities.is_empty() {
            return Found::Unclear(Unclear::Quantity {
                quantities,
                said: line.span(group.from, side.to),
            });
        }
    }
    if let Some((words, weight)) = then_or_now(line, group) {
        return Found::Bound(Bound::nameless(group, words, weight, None));
    }
    by_unit(line, group, measured)
}

/// "Used to hit the 8 iron 150, now it's 135", "driver was 240 and now only 215": a bare number that was
/// so or is so now, after a club.
fn then_or_now<'a>(line: &Line<'a>, group: &Group) -> Option<(&'a QuantityWords, f64)> {
    let bare = group.unit.is_none() && group.digits && !group.signed && group.low >= LEAST_FAR;
    let next = line.past_fillers(group.to);
    let ends = line.words.get(next).is_none_or(|w| w.mark.is_some())
        || !line.same_clause(group.from, next)
        || matches!(line.role_at(next), Some(Role::And | Role::Now));
    if !(bare && ends) {
        return None;
    }
    let sentence = line.sentence.get(group.from);
    let near = || {
        let back = (group.from.saturating_sub(WINDOW)..group.from).rev();
        back.take_while(|i| line.sentence.get(*i) == sentence)
    };
    let club = near().any(|i| line.meaning_at(i).is_some_and(is_club));
    let now = |i: usize| line.role_at(i) == Some(Role::Now);
    let all = || {
        let around = group.from.saturating_sub(WINDOW)..(group.to + WINDOW).min(line.words.len());
        around.filter(|i| line.sentence.get(*i) == sentence)
    };
    let was = all().any(|i| matches!(line.role_at(i), Some(Role::Was | Role::Past)));
    if !(club && was && all().any(now)) {
        return None;
    }
    listed(line, (group.low, group.high))
}

/// "5 cm behind, I mean": the number told last that can lie there.
fn amended<'a>(line: &Line<'a>, group: &Group, measured: &[Number]) -> Option<Bound<'a>> {
    let side = numbers::directions_after(line, group.to).next()?;
    if !put_right::takes_back(line, group.from, side.to) {
        return None;
    }
    let (words, weight) = measured.iter().rev().find_map(|number| {
        let (words, weight) = quantities_named(line, number.quantity)?;
        let placed = words.signs.iter().any(|(d, _)| *d == side.direction);
        (placed && group.unit.is_some() && fits_unit(words, group)).then_some((words, weight))
    })?;
    Some(Bound::nameless(group, words, weight, Some(side)))
}

/// Every way to say a quantity, with its weight.
fn quantities<'a>(line: &Line<'a>) -> impl Iterator<Item = (&'a QuantityWords, f64)> + use<'a> {
    line.phrases.quantities()
}

fn quantities_named<'a>(line: &Line<'a>, quantity: QuantityId) -> Option<(&'a QuantityWords, f64)> {
    quantities(line).find(|(words, _)| words.quantity == quantity)
}

/// Words after "behind" or "short" that make a comparison of it.
const COMPARED: [&str; 13] = [
    "what",
    "where",
    "everyone",
    "everybody",
    "others",
    "normal",
    "usual",
    "last",
    "mates",
    "him",
    "them",
    "mate",
    "used",
];

/// The quantity that the direction word of a number gives away.
fn by_direction<'a>(line: &Line<'a>, group: &Group) -> Option<Bound<'a>> {
    // Before the number it may stand a little off ("down on it about 6 degrees", "curves right,
    // about 15 yards").
    let before = (group.from.saturating_sub(4)..group.from)
        .rev()
        .take_while(|i| line.sentence.get(*i) == line.sentence.get(group.from))
        .filter(|i| group.unit.is_some() || i + 1 == group.from)
        .find_map(|i| numbers::direction_at(line, i));
    let after: Vec<Beside> = numbers::directions_after(line, group.to).collect();
    let sides = after.iter().chain(&before);
    // "20 behind what I hit last year" compares.
    let compares = |b: &Beside| {
        let next = line
            .words
            .get(line.past_fillers(b.to))
            .and_then(|w| w.symbol);
        group.unit.is_none()
            && b.to > group.to
            && next.is_some_and(|s| COMPARED.contains(&line.phrases.vocabulary.name(s)))
    };
    let sides = sides.filter(|b| !compares(b));
    // What stands after the number comes first, for every quantity.
    let mut sides = sides.filter(|b| group.unit.is_some() || is_pure(line, b));
    sides.find_map(|side| {
        let (words, weight) = given_by_side::given_by(line, group, *side)?;
        Some(Bound::nameless(group, words, weight, Some(*side)))
    })
}

/// The only quantity that is measured in the unit of a number, or the only one of those with a value.
fn by_unit<'a>(line: &Line<'a>, group: &Group, measured: &[Number]) -> Found<'a> {
    let Some(unit) = group.unit.filter(|u| *u != Unit::Percent) else {
        return Found::Nothing;
    };
    let mut fitting: Vec<(&QuantityWords, f64)> = quantities(line)
        .filter(|(words, _)| {
            words
                .units
                .iter()
                .any(|(u, low, high)| *u == unit && within(group, unit, *u, *low, *high))
        })
        .collect();
    fitting.dedup_by_key(|(words, _)| words.quantity);
    // "Sorry, it was 3 in": of what was measured before, if only one of it fits.
    let known = |w: &QuantityWords| measured.iter().any(|n| n.quantity == w.quantity);
    if fitting.iter().filter(|(w, _)| known(w)).count() == 1 {
        fitting.retain(|(w, _)| known(w));
    }
    // "78 mph driver": how fast the club is, unless no club is.
    let of_club = |words: &QuantityWords| {
        let first = words.bare.first().copied();
        let range = words.beside_club.zip(first);
        range.is_some_and(|([low, high], in_unit)| {
            let factor = unit.scale() / in_unit.scale();
            (low..=high).contains(&(group.low * factor)) && group.high * factor <= high
        })
    };
    if fitting.len() > 1
        && beside_club(line, group)
        && let Some(only) = fitting.iter().find(|(words, _)| of_club(words)).copied()
    {
        fitting = vec![only];
    }
    match fitting.as_slice() {
        [(words, weight)] => Found::Bound(Bound::nameless(group, words, *weight, None)),
        several => {
            let mut quantities: Vec<_> = several.iter().map(|(w, _)| w.quantity).collect();
            if quantities.len() > 4 {
                quantities.clear();
            }
            Found::Unclear(Unclear::Quantity {
                quantities,
                said: line.span(group.from, group.to),
            })
        }
    }
}

/// True if the words give a direction and nothing else: "fat three" is no distance.
fn is_pure(line: &Line<'_>, beside: &Beside) -> bool {
    matches!(line.meaning_at(beside.from), Some(Meaning::Direction(_)))
}

pub(super) fn within(group: &Group, unit: Unit, in_unit: Unit, low: f64, high: f64) -> bool {
    let factor = unit.scale() / in_unit.scale();
    let size = |v: f64| (v * factor).abs();
    size(group.low) <= low.abs().max(high.abs()) && size(group.high) <= low.abs().max(high.abs())
}
