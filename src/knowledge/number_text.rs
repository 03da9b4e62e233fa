//! Reads the little texts of the knowledge files: `-2.5 +/- 1.0 in`, `2 in`, `low_point < 0 in`.
//!
//! Gives typed numbers or `None`; the loader turns `None` into a problem with its place. Knows
//! units by their symbols and axes by their names, and nothing about golf.

use crate::causes::model::{Axis, Between};
use crate::quantity::{Dimension, Estimate, Unit};

/// A number with its unit, both as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Written {
    /// The number.
    pub value: f64,
    /// What follows `+/-`; 0 if nothing does.
    pub error: f64,
    /// The unit.
    pub unit: Unit,
}

impl Written {
    /// The number with its error, typed.
    pub fn estimate(self) -> Option<Estimate> {
        Estimate::new(self.value, self.error, self.unit).ok()
    }

    /// Value and error in another unit of the same dimension.
    pub fn in_unit(self, unit: Unit) -> Option<(f64, f64)> {
        let factor = self.unit.scale() / unit.scale();
        (unit.dimension() == self.unit.dimension())
            .then_some((self.value * factor, self.error * factor))
    }
}

/// Reads `-2.5 +/- 1.0 in`, `4 deg`, `0.7`.
///
/// ```
/// use swingwhy::knowledge::written;
/// let w = written("-2.5 +/- 1.0 in").ok_or("no number")?;
/// assert_eq!((w.value, w.error, w.unit.symbol()), (-2.5, 1.0, "in"));
/// # Ok::<(), &str>(())
/// ```
pub fn written(text: &str) -> Option<Written> {
    let text = text.trim();
    let split = text
        .char_indices()
        .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | '/' | ' ')))
        .map_or(text.len(), |(at, _)| at);
    let (numbers, unit) = (text.get(..split)?.trim(), text.get(split..)?.trim());
    let unit = Unit::from_symbol(unit)?;
    let (value, error) = match numbers.split_once("+/-") {
        Some((value, error)) => (value.trim().parse().ok()?, error.trim().parse().ok()?),
        None => (numbers.parse().ok()?, 0.0),
    };
    (f64::is_finite(value) && f64::is_finite(error) && error >= 0.0).then_some(Written {
        value,
        error,
        unit,
    })
}

/// An axis by its name in the files, with the unit it is kept in.
pub(super) fn axis_named(name: &str) -> Option<(Axis, Unit, bool)> {
    Axis::ALL
        .iter()
        .find(|(_, n, _, _)| *n == name)
        .and_then(|(axis, _, unit, shifts)| Some((*axis, Unit::from_symbol(unit)?, *shifts)))
}

/// Every name an axis has in the files.
pub(super) fn axis_names() -> impl Iterator<Item = &'static str> {
    Axis::ALL.iter().map(|(_, name, _, _)| *name)
}

/// Reads `low_point < 0 in`, `attack_angle > -1.5 deg`, `low_point in 0 in..1.6 in`, alternatives
/// joined by ` or `, with `of usual` after a limit that counts from the group's usual value.
///
/// # Errors
/// The part that could not be read.
pub(super) fn condition(text: &str) -> Result<Vec<Between>, String> {
    text.split(" or ")
        .map(|part| one_condition(part.trim()).ok_or_else(|| part.to_owned()))
        .collect()
}

fn one_condition(text: &str) -> Option<Between> {
    let (text, relative) = match text.strip_suffix("of usual") {
        Some(rest) => (rest.trim(), true),
        None => (text, false),
    };
    let (name, rest) = text.split_once(' ')?;
    let (axis, unit, _) = axis_named(name)?;
    let number = |t: &str| written(t).and_then(|w| w.in_unit(unit)).map(|(v, _)| v);
    let rest = rest.trim();
    let (from, to) = if let Some(limit) = rest.strip_prefix('<') {
        (f64::NEG_INFINITY, number(limit)?)
    } else if let Some(limit) = rest.strip_prefix('>') {
        (number(limit)?, f64::INFINITY)
    } else {
        let (low, high) = rest.strip_prefix("in ")?.split_once("..")?;
        let high_written = written(high)?;
        let low = written(low)
            .filter(|w| w.unit.dimension() != Dimension::Ratio)
            .map_or_else(
                || written(&format!("{} {}", low.trim(), high_written.unit)),
                Some,
            )?;
        (low.in_unit(unit)?.0, high_written.in_unit(unit)?.0)
    };
    (from <= to).then_some(Between {
        axis,
        from,
        to,
        relative,
    })
}
