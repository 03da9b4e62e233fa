//! How uncertain a computed number is, given how uncertain its inputs are.
//!
//! [`propagate`] carries errors through any function by stepping each input one standard deviation
//! up and down; [`agreed`] makes one number out of several estimates of the same thing.
//! Inputs are taken as independent. Invariants: exact inputs give an exact output; estimates that
//! disagree give a wider result than estimates that agree.
//! Does not know: correlated inputs, or shapes other than the bell curve.

use super::{GeometryError, Input};
use crate::quantity::{Amount, Dimension, Estimate};

/// The value of `f` at the means with its standard deviation, to second order: for each input the
/// central difference over one standard deviation and half the squared bend.
///
/// Where `f` refuses one side of a step, the other side alone gives the size of the contribution.
///
/// # Errors
/// Those of `f` at the means, or at both ends of a step.
pub fn propagate<const N: usize>(
    inputs: [Estimate; N],
    output: Dimension,
    f: impl Fn([f64; N]) -> Result<f64, GeometryError>,
) -> Result<Estimate, GeometryError> {
    let means = inputs.map(Estimate::mean);
    let middle = f(means)?;
    let mut variance = 0.0;
    for (i, input) in inputs.iter().enumerate() {
        let step = input.sd();
        if step <= 0.0 {
            continue;
        }
        let at = |sign: f64| {
            let mut moved = means;
            if let Some(value) = moved.get_mut(i) {
                *value += sign * step;
            }
            f(moved)
        };
        variance += match (at(1.0), at(-1.0)) {
            (Ok(up), Ok(down)) => {
                (0.5 * (up - down)).powi(2) + 0.5 * (up + down - 2.0 * middle).powi(2)
            }
            (Ok(one), Err(_)) | (Err(_), Ok(one)) => (one - middle).powi(2),
            (Err(error), Err(_)) => return Err(error),
        };
    }
    Ok(Estimate::from_base(middle, variance.sqrt(), output)?)
}

/// One number from several independent estimates of it: weighted by precision, and widened by the
/// root of chi squared per degree of freedom when they disagree by more than their errors
/// (Birge's ratio, common practice in fitting constants).
///
/// Exact values count with the others as if good to a millionth of the widest error; exact values
/// that differ give their mean with their spread.
///
/// # Errors
/// [`GeometryError::TooFew`] for none at all, or a dimension error.
pub fn agreed(estimates: &[Estimate]) -> Result<Estimate, GeometryError> {
    let Some(first) = estimates.first() else {
        return Err(GeometryError::TooFew { got: 0, wanted: 1 });
    };
    let dimension = first.dimension();
    let mut widest: f64 = 0.0;
    for e in estimates {
        if e.dimension() != dimension {
            return Err(crate::quantity::QuantityError::Dimension {
                got: e.dimension(),
                wanted: dimension,
            }
            .into());
        }
        widest = widest.max(e.sd());
    }
    let n = estimates.len() as f64;
    if n < 2.0 {
        return Ok(*first);
    }
    if widest <= 0.0 {
        let mean = estimates.iter().map(|e| e.mean() / n).sum::<f64>();
        let square = estimates
            .iter()
            .map(|e| (e.mean() - mean).powi(2))
            .sum::<f64>();
        return Ok(Estimate::from_base(
            mean,
            (square / (n - 1.0)).sqrt(),
            dimension,
        )?);
    }
    let weight = |e: &Estimate| e.sd().max(widest * 1e-6).powi(-2);
    let total: f64 = estimates.iter().map(weight).sum();
    let mean = estimates
        .iter()
        .map(|e| weight(e) / total * e.mean())
        .sum::<f64>();
    let chi_square: f64 = estimates
        .iter()
        .map(|e| weight(e) * (e.mean() - mean).powi(2))
        .sum();
    let stretch = (chi_square / (n - 1.0)).max(1.0).sqrt();
    Ok(Estimate::from_base(
        mean,
        stretch / total.sqrt(),
        dimension,
    )?)
}

/// A value known only to lie in a range, each place in it as likely: its middle, and the width
/// over the root of twelve.
///
/// # Errors
/// A dimension error, or [`GeometryError::OutOfRange`] if `high` is below `low`.
pub fn anywhere_between(low: Amount, high: Amount) -> Result<Estimate, GeometryError> {
    if low.dimension() != high.dimension() {
        return Err(crate::quantity::QuantityError::Dimension {
            got: high.dimension(),
            wanted: low.dimension(),
        }
        .into());
    }
    let (a, b) = (low.base(), high.base());
    if b < a {
        return Err(GeometryError::OutOfRange {
            input: Input::Value,
            value: b,
            low: a,
            high: a,
        });
    }
    Ok(Estimate::from_base(
        0.5 * a + 0.5 * b,
        (b - a) / 12f64.sqrt(),
        low.dimension(),
    )?)
}
