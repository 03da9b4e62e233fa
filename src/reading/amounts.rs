//! What is a number worth? A number that found its quantity in, its value in house signs out.
//!
//! A direction word decides the sign and beats a written sign; a number that corrects an earlier
//! one keeps its side. A unit left unsaid is taken only if one of those people leave unsaid makes
//! sense of the value; otherwise it is asked for. Several numbers after one name are shots of one
//! list: their mean, its error and their spread. Does not know which quantity a number measures:
//! see `measures`.

use super::clauses::Line;
use super::measures::{Bound, Measured, Measures};
use super::numbers::{Beside, Group, own_side};
use super::{Number, Plus, Span, Unclear};
use crate::knowledge::lexicon::{Meaning, QuantityWords};
use crate::quantity::{Amount, Dimension, Estimate, Unit};

/// What is known of signs: whether the line writes any, and the numbers told before.
#[derive(Clone, Copy)]
pub(super) struct Signs<'a> {
    pub(super) any_sign: bool,
    pub(super) known: &'a [Number],
}

/// Signs, unit and list of one bound number; writes it down or says what is unclear.
pub(super) fn settle(
    line: &mut Line<'_>,
    bound: Bound<'_>,
    list: &[Group],
    signs: Signs<'_>,
    out: &mut Measures,
) {
    let Bound {
        group,
        words,
        weight,
        name,
        beside,
    } = bound;
    let mut from = group.from;
    let mut to = list.last().map_or(group.to, |g| g.to);
    if let Some((a, b)) = name {
        from = from.min(a);
        to = to.max(b);
    }
    let mut sided = false;
    if let Some(beside) = beside {
        from = from.min(beside.from);
        to = to.max(beside.to);
        sided = beside.sided;
        eat(line, &beside, out);
    }
    // A list in which each number has its own side.
    let sides: Option<Vec<Beside>> = (std::iter::once(&group).chain(list))
        .map(|g| own_side(line, words, g))
        .collect();
    let sides = sides.filter(|_| !list.is_empty());
    for side in sides.iter().flatten() {
        to = to.max(side.to);
        eat(line, side, out);
    }
    let said = line.span(from, to);
    line.use_words(group.from, group.to);
    for more in list {
        line.use_words(group.from, more.to);
    }
    if let Some((a, b)) = name {
        line.use_words(a, b);
    }
    let said_sign = beside.and_then(|b| {
        words
            .signs
            .iter()
            .find_map(|(d, sign)| (*d == b.direction).then_some(*sign))
    });
    // "Sorry, it was 3 inches": on the side it was on before.
    let before = signs
        .known
        .iter()
        .rfind(|n| n.quantity == words.quantity && words.ask_sign && !group.signed)
        .map(|n| n.value.mean().signum());
    let sign = said_sign.or(before);
    let all: Vec<&Group> = std::iter::once(&group).chain(list).collect();
    let Some((unit, said_unit)) = settle_unit(words, &all, sign, said, out) else {
        return;
    };
    let zero = all.iter().all(|g| g.low.abs() + g.high.abs() < 1e-9);
    if sign.is_none() && words.ask_sign && !signs.any_sign && !zero {
        out.unclear.push(Unclear::Direction {
            quantity: words.quantity,
            said,
        });
        return;
    }
    let sign_of = |b: &Beside| {
        let mut signs = words.signs.iter();
        signs.find_map(|(d, sign)| (*d == b.direction).then_some(*sign))
    };
    let values: Vec<(f64, f64)> = all
        .iter()
        .enumerate()
        .map(|(place, g)| {
            let own = sides
                .as_ref()
                .and_then(|sides| sides.get(place))
                .and_then(sign_of);
            let signed = |v: f64| own.or(sign).map_or(v, |s| v.abs() * s);
            let (mut a, b) = (signed(g.low), signed(g.high));
            if let (Some(other), Some(sign)) = (g.opposite, sign) {
                a = -other * sign;
            }
            (a.min(b), a.max(b))
        })
        .collect();
    let written =
        (said_sign.is_some() && group.signed && !zero).then(|| (group.low + group.high).signum());
    let bare = words.sided && sign.is_none() && !zero;
    if let Some(mut number) = number_of(words, &values, unit, said_unit, &all) {
        number.plus = bare.then_some(Plus::Push);
        out.measured.push(Measured {
            at: group.from,
            span: said,
            number,
            sided,
            words: words.clone(),
            weight,
            written,
        });
    }
}

/// A direction word that a number has taken says nothing else.
fn eat(line: &mut Line<'_>, beside: &Beside, out: &mut Measures) {
    let Some(place) = line.phrase_at.get(beside.from).copied().flatten() else {
        return;
    };
    let eats = match line
        .matches
        .get(place)
        .and_then(|m| line.phrases.meaning(m))
    {
        Some(Meaning::Symptoms(words)) => words.alone,
        Some(Meaning::OneOf { .. }) => true,
        _ => false,
    };
    if eats {
        out.eaten.push(place);
    }
    if eats || matches!(line.meaning_at(beside.from), Some(Meaning::Direction(_))) {
        line.use_words(beside.from, beside.to);
    }
}

/// A number outside what anybody can have, with the bounds it was held to.
fn impossible(words: &QuantityWords, (unit, low, high): (Unit, f64, f64), said: Span) -> Unclear {
    Unclear::Impossible {
        quantity: words.quantity,
        low,
        high,
        unit,
        said,
    }
}

/// The unit of a number: the one said, the only plausible one, or none with a question.
fn settle_unit(
    words: &QuantityWords,
    all: &[&Group],
    sign: Option<f64>,
    said: Span,
    out: &mut Measures,
) -> Option<(Unit, bool)> {
    let signed = |v: f64| sign.map_or(v, |s| v.abs() * s);
    let fits = |unit: Unit, (in_unit, low, high): (Unit, f64, f64)| {
        let factor = unit.scale() / in_unit.scale();
        all.iter().all(|g| {
            [g.low, g.high].into_iter().all(|v| {
                let v = signed(v) * factor;
                let free = sign.is_none() && !g.signed;
                (low..=high).contains(&v) || (free && (low..=high).contains(&-v))
            })
        })
    };
    if let Some(unit) = all.iter().find_map(|g| g.unit) {
        let bound = words
            .units
            .iter()
            .find(|(u, _, _)| *u == unit)
            .or_else(|| {
                words
                    .units
                    .iter()
                    .find(|(u, _, _)| u.dimension() == unit.dimension())
            })?;
        if fits(unit, *bound) {
            return Some((unit, true));
        }
        out.unclear.push(impossible(words, *bound, said));
        return None;
    }
    let plausible: Vec<Unit> = words
        .bare
        .iter()
        .copied()
        .filter(|unit| {
            words
                .units
                .iter()
                .any(|bound| bound.0 == *unit && fits(*unit, *bound))
        })
        .collect();
    match plausible.as_slice() {
        [unit] => Some((*unit, unit.dimension() == Dimension::Ratio)),
        [] => {
            let bound = words
                .units
                .iter()
                .find(|(u, _, _)| Some(u) == words.bare.first())
                .or(words.units.first())?;
            out.unclear.push(impossible(words, *bound, said));
            None
        }
        units => {
            out.unclear.push(Unclear::Unit {
                quantity: words.quantity,
                units: units.to_vec(),
                said,
            });
            None
        }
    }
}

/// A share of the value that "about" leaves open, one standard deviation (elicited).
const ABOUT: f64 = 0.15;

/// The standard deviation of shots over what lies between the two ends people tell (elicited: of ten
/// shots it would be 0.32, their range being 3.08 deviations, Tippett 1925, from memory; ends are
/// remembered well).
const OF_ENDS: f64 = 0.3;

fn number_of(
    words: &QuantityWords,
    values: &[(f64, f64)],
    unit: Unit,
    unit_said: bool,
    groups: &[&Group],
) -> Option<Number> {
    let n = values.len() as f64;
    let mean = values.iter().map(|(a, b)| a.midpoint(*b)).sum::<f64>() / n;
    let (sd, spread) = if values.len() > 1 {
        let sum: f64 = values
            .iter()
            .map(|(a, b)| (a.midpoint(*b) - mean).powi(2))
            .sum();
        let spread = (sum / (n - 1.0)).sqrt();
        (spread / n.sqrt(), Amount::new(spread, unit).ok())
    } else {
        let half = values.first().map_or(0.0, |(a, b)| (b - a) / 2.0);
        let about = groups.first().is_some_and(|g| g.about);
        let rough = if about { ABOUT * mean.abs() } else { 0.0 };
        // From one side to the other: the ends of some ten shots.
        let ends = values.first().filter(|(a, b)| *a < 0.0 && *b > 0.0);
        let spread = ends.and_then(|(a, b)| Amount::new((b - a) * OF_ENDS, unit).ok());
        (half / 3f64.sqrt() + rough, spread)
    };
    Some(Number {
        quantity: words.quantity,
        value: Estimate::new(mean, sd, unit).ok()?,
        unit,
        unit_said,
        shots: u16::try_from(values.len()).unwrap_or(u16::MAX),
        spread,
        plus: None,
    })
}
