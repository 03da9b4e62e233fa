//! A golfer's own arc: the vertical radius K from pairs of low point and attack angle.
//!
//! Takes pairs with or without errors, gives K with its standard error and the size of what the
//! fit leaves over. The line goes through the origin: no low point, no attack.
//! Invariant: the same pairs in any order give the same K to rounding; pairs that disagree by more
//! than their errors widen the standard error.
//! Does not know: radius and plane apart. They cannot be told from attack and low point; an
//! assumed plane gives R = K sin theta.

use super::{GeometryError, Input, length_within, within};
use crate::quantity::{Angle, Dimension, Estimate, Length, QuantityError};

/// Low point and attack angle of one swing, or of one golfer's usual swing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Low point ahead of the ball.
    pub low_point: Estimate,
    /// Attack angle.
    pub attack: Estimate,
}

impl Pair {
    /// A pair without stated errors.
    ///
    /// # Errors
    /// [`GeometryError::Quantity`] for numbers that are not finite.
    pub fn exact(low_point: Length, attack: Angle) -> Result<Self, GeometryError> {
        Ok(Self {
            low_point: Estimate::from_base(low_point.base(), 0.0, Dimension::Length)?,
            attack: Estimate::from_base(attack.base(), 0.0, Dimension::Angle)?,
        })
    }
}

/// The result of [`vertical_radius`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// K with its standard error.
    pub vertical_radius: Estimate,
    /// Greatest distance of a measured low point from K sin(-a), without sign.
    pub largest_residual: Length,
    /// Root mean square of those distances.
    pub rms_residual: Length,
    /// Sum of squared residuals over their squared errors; `None` if the pairs state no errors.
    pub chi_square: Option<f64>,
    /// How many pairs were used.
    pub pairs: usize,
}

/// Least squares of s = K sin(-a) through the origin.
///
/// With stated errors each pair weighs `1 / (sd_s^2 + K^2 cos^2 a sd_a^2)`, iterated five times, and
/// the standard error grows by the root of chi squared per degree of freedom when that is above
/// one. Without, all weigh the same and the scatter gives the standard error, for which two pairs
/// at least are needed.
///
/// Worked example, six pairs for mid irons (common practice): (2.5 in, 2.6 deg), (2.6, 3.0),
/// (2.8, 3.4), (3.5, 4.0), (4.7, 5.1), (5.2, 6.0), all down, give K = 50.64 in with a standard
/// error of 0.92 in.
///
/// # Errors
/// [`GeometryError::TooFew`], [`GeometryError::OppositeSigns`] if the pairs as a whole have low
/// point and attack on the wrong sides of each other, or a dimension or range error.
pub fn vertical_radius(pairs: &[Pair]) -> Result<Fit, GeometryError> {
    let mut rows = Vec::with_capacity(pairs.len());
    for pair in pairs {
        let s = Length::try_from(pair.low_point.middle())?;
        let a = Angle::try_from(pair.attack.middle())?;
        length_within(Input::LowPoint, s, -10.0, 10.0)?;
        super::angle_within(Input::Attack, a, -89.0, 89.0)?;
        within(Input::Spread, pair.low_point.sd(), 0.0, 10.0)?;
        within(Input::Spread, pair.attack.sd(), 0.0, 1.6)?;
        rows.push(Row {
            s: s.base(),
            q: -a.sin(),
            variance_s: pair.low_point.sd().powi(2),
            variance_q: (a.cos() * pair.attack.sd()).powi(2),
        });
    }
    let stated = rows.iter().all(|r| r.variance_s + r.variance_q > 0.0);
    let wanted = if stated { 1 } else { 2 };
    if rows.len() < wanted {
        return Err(GeometryError::TooFew {
            got: rows.len(),
            wanted,
        });
    }
    let weighted = |k: Option<f64>| {
        let weight = |r: &Row| k.map_or(1.0, |k| (r.variance_s + k * k * r.variance_q).recip());
        let (top, bottom) = rows.iter().fold((0.0, 0.0), |(t, b), r| {
            (t + weight(r) * r.s * r.q, b + weight(r) * r.q * r.q)
        });
        (top / bottom, bottom)
    };
    let (mut k, mut information) = weighted(None);
    if stated {
        for _ in 0..5 {
            (k, information) = weighted(Some(k));
        }
    }
    if !(k.is_finite() && k > 0.0) {
        return Err(match pairs.first() {
            Some(first) => GeometryError::OppositeSigns {
                low_point: Length::try_from(first.low_point.middle())?,
                attack: Angle::try_from(first.attack.middle())?,
            },
            None => GeometryError::TooFew { got: 0, wanted },
        });
    }
    let n = rows.len() as f64;
    let square: f64 = rows.iter().map(|r| r.residual(k).powi(2)).sum();
    let chi_square = stated.then(|| {
        rows.iter()
            .map(|r| r.residual(k).powi(2) / (r.variance_s + k * k * r.variance_q))
            .sum::<f64>()
    });
    let variance = match chi_square {
        Some(chi_square) => (chi_square / (n - 1.0).max(1.0)).max(1.0) / information,
        None => square / (n - 1.0) / information,
    };
    Ok(Fit {
        vertical_radius: Estimate::from_base(k, variance.sqrt(), Dimension::Length)?,
        largest_residual: Length::from_base(
            rows.iter().map(|r| r.residual(k).abs()).fold(0.0, f64::max),
        ),
        rms_residual: Length::from_base((square / n).sqrt()),
        chi_square,
        pairs: rows.len(),
    })
}

/// Radius in the plane from a fitted K and an assumed plane: R = K sin theta.
///
/// # Errors
/// A dimension error, or a plane outside 5 to 90 degrees.
pub fn radius(vertical_radius: Estimate, plane: Estimate) -> Result<Estimate, GeometryError> {
    for (got, wanted) in [
        (vertical_radius.dimension(), Dimension::Length),
        (plane.dimension(), Dimension::Angle),
    ] {
        if got != wanted {
            return Err(QuantityError::Dimension { got, wanted }.into());
        }
    }
    super::propagation::propagate([vertical_radius, plane], Dimension::Length, |[k, theta]| {
        super::angle_within(Input::Plane, Angle::radians(theta), 5.0, 90.0)?;
        Ok(k * theta.sin())
    })
}

/// Low point and attack of a set of shots contradict each other: sizes typical of the set.
pub(crate) fn wrong_sides(s_s: f64, s_q: f64) -> GeometryError {
    let s = s_s.max(0.0).sqrt();
    let attack = if s > 0.0 {
        (-s_q / s).clamp(-1.0, 1.0).asin()
    } else {
        0.0
    };
    GeometryError::OppositeSigns {
        low_point: Length::from_base(s),
        attack: Angle::radians(attack),
    }
}

struct Row {
    s: f64,
    q: f64,
    variance_s: f64,
    variance_q: f64,
}

impl Row {
    fn residual(&self, k: f64) -> f64 {
        self.s - k * self.q
    }
}
