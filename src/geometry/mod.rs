//! Where the club was and what the ball did: arc, strike, impact and flight as pure functions.
//!
//! Answers "what follows from these numbers": the low point from a divot or an attack angle, the
//! strike from low point and height, start and curve from face and path, carry from launch.
//! Takes and gives the typed numbers of [`crate::quantity`]; a number with an error goes in and
//! comes out as an [`Estimate`](crate::quantity::Estimate) through [`propagation`].
//!
//! Invariant: every function is a function of its arguments only, and answers every float there
//! is, arbitrary ones with a [`GeometryError`] that carries what was given. Nothing here knows a
//! club, a symptom or a cause by name: knowledge passes the parameters in.
//!
//! Does not know: how turf and ball deflect the club, the head's size, how a golfer makes the arc.
//! Start reading at [`arc`]; [`named`] lists what rules may call.

pub mod air;
pub mod arc;
pub mod ball_data;
pub mod consistency;
pub mod fit;
pub mod flight;
pub mod follow;
pub mod impact;
pub mod measured;
pub mod named;
pub mod normal;
pub mod outcome;
pub mod propagation;
pub mod rates;
pub mod shots;
pub mod slope;
pub mod step;
pub mod strike;
pub mod teed;
pub mod usual_height;

use crate::quantity::{Angle, Length, QuantityError, Time};

/// Radius of the ball, 21.335 mm: half the least diameter that is allowed (Equipment Rules,
/// published).
pub const BALL_RADIUS: Length = Length::millimetres(21.335);

/// Standard gravity, 9.80665 m/s2 (standard atmosphere, from memory).
pub const GRAVITY: f64 = 9.806_65;

/// Which input a [`GeometryError`] speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Input {
    /// Low point of the arc ahead of the ball.
    LowPoint,
    /// Height of the arc's lowest point above the turf.
    Height,
    /// Radius of the arc in its plane.
    Radius,
    /// Inclination of the arc's plane to the ground.
    Plane,
    /// Vertical radius of curvature, radius over the sine of the plane.
    VerticalRadius,
    /// Attack angle.
    Attack,
    /// Where a cut, divot or brush starts.
    Start,
    /// How long a cut is.
    CutLength,
    /// How deep a cut is.
    Depth,
    /// How deep grass may be brushed without cost.
    Grass,
    /// Club path.
    Path,
    /// Direction of the base line of the plane.
    SwingDirection,
    /// Face angle.
    Face,
    /// Dynamic loft.
    Loft,
    /// Spin loft.
    SpinLoft,
    /// Share of the face in the start.
    Share,
    /// Lie error.
    Lie,
    /// Start direction.
    StartDirection,
    /// Launch angle.
    Launch,
    /// Tilt of the spin axis.
    AxisTilt,
    /// Club speed.
    ClubSpeed,
    /// Ball speed.
    BallSpeed,
    /// Spin.
    Spin,
    /// Place of the strike on the face, heel to toe.
    StrikePlace,
    /// Slope of the ground.
    Slope,
    /// How much of the slope the swing follows.
    Follow,
    /// Spread from shot to shot.
    Spread,
    /// Share of poor swings.
    TailShare,
    /// Height of the tee.
    Tee,
    /// A parameter of a strike window.
    Window,
    /// Wind speed.
    Wind,
    /// Air temperature.
    Temperature,
    /// Altitude above sea level.
    Altitude,
    /// Relative humidity.
    Humidity,
    /// Spin parameter: surface speed of the spin over speed through the air.
    SpinParameter,
    /// Any other number.
    Value,
}

/// Why geometry has no answer; the numbers are in inside units (metres, radians, seconds).
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum GeometryError {
    /// The input is infinite or not a number.
    #[error("{input:?} is not a finite number: {value}")]
    NotFinite {
        /// Which input.
        input: Input,
        /// What was given.
        value: f64,
    },
    /// The input lies outside the range in which the model means anything.
    #[error("{input:?} {value} is outside {low} to {high}")]
    OutOfRange {
        /// Which input.
        input: Input,
        /// What was given.
        value: f64,
        /// Least value accepted.
        low: f64,
        /// Greatest value accepted.
        high: f64,
    },
    /// The place lies so far from the low point that the arc does not reach it.
    #[error("{:.4} m from the low point is beyond an arc of radius {:.4} m", distance.base(), radius.base())]
    BeyondArc {
        /// Distance from the low point.
        distance: Length,
        /// Radius of the arc.
        radius: Length,
    },
    /// No arc in this plane can come down or up that steeply.
    #[error("attack {:.2} deg is steeper than a plane of {:.2} deg allows", attack.as_degrees(), plane.as_degrees())]
    SteeperThanPlane {
        /// The attack angle.
        attack: Angle,
        /// The plane.
        plane: Angle,
    },
    /// Low point and attack contradict each other: ahead goes with down, behind with up.
    #[error("low point {:.4} m with attack {:.2} deg", low_point.base(), attack.as_degrees())]
    OppositeSigns {
        /// The low point.
        low_point: Length,
        /// The attack angle.
        attack: Angle,
    },
    /// Too few measurements for what was asked.
    #[error("{got} given, {wanted} needed")]
    TooFew {
        /// How many were given.
        got: usize,
        /// How many are needed.
        wanted: usize,
    },
    /// Face and path agree so closely, or club and face normal, that a direction is undefined.
    #[error("spin loft {:.4} deg leaves no direction", spin_loft.as_degrees())]
    NoDirection {
        /// The spin loft.
        spin_loft: Angle,
    },
    /// The ball was still in the air when the computation gave up.
    #[error("no landing within {:.0} s", after.as_seconds())]
    NoLanding {
        /// How long was computed.
        after: Time,
    },
    /// A number of the wrong kind.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
}

/// The value, if it is finite and within the range.
pub(crate) fn within(input: Input, value: f64, low: f64, high: f64) -> Result<f64, GeometryError> {
    if !value.is_finite() {
        Err(GeometryError::NotFinite { input, value })
    } else if value < low || value > high {
        Err(GeometryError::OutOfRange {
            input,
            value,
            low,
            high,
        })
    } else {
        Ok(value)
    }
}

/// The length, if it is finite and within the range given in metres.
pub(crate) fn length_within(
    input: Input,
    value: Length,
    low: f64,
    high: f64,
) -> Result<Length, GeometryError> {
    within(input, value.base(), low, high).map(|_| value)
}

/// The angle, if it is finite and within the range given in degrees.
pub(crate) fn angle_within(
    input: Input,
    value: Angle,
    low_deg: f64,
    high_deg: f64,
) -> Result<Angle, GeometryError> {
    let (low, high) = (Angle::degrees(low_deg), Angle::degrees(high_deg));
    within(input, value.base(), low.base(), high.base()).map(|_| value)
}
