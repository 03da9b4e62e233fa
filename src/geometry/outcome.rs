//! The flight with its errors, from how the ball leaves or from how the club meets it.
//!
//! Takes estimates of ball speed, launch, start, spin and tilt (or of club speed, attack, loft,
//! face and path, from which those follow with the errors of their formulae); gives carry, side,
//! apex, landing angle and time, each with what the inputs and the model may be off by.
//! Invariants: exact inputs leave the model's own error, never none; what [`super::flight`] refuses
//! is refused here.
//! Does not know: off-centre strikes, roll, or a wind that changes with height.

use super::GeometryError;
use super::air::Air;
use super::flight::{APEX_ERROR, Ball, Flight, Launch, Wind, carry_error, fly};
use super::impact::{
    Delivery, FaceShare, Head, SHARE_ERROR, SPEED_RATIO_ERROR, SPIN_ERROR, rolling_spin,
    usual_speed_ratio, usual_spin_share,
};
use super::propagation::propagate;
use crate::quantity::{Angle, Dimension, Estimate, Ratio, Speed, Spin};

/// One standard deviation of drag and lift coefficients between balls and fits (published spread).
const COEFFICIENT_ERROR: Ratio = Ratio::of_one(0.02);

/// How the ball leaves, with errors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leaving {
    /// Ball speed.
    pub ball_speed: Estimate,
    /// Angle above the ground.
    pub launch: Estimate,
    /// Direction, push side +.
    pub start: Estimate,
    /// Spin.
    pub spin: Estimate,
    /// Tilt of the axis, curves to the push side +.
    pub axis_tilt: Estimate,
}

/// A flight with errors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// The flight of the middle values.
    pub flight: Flight,
    /// Distance over the ground.
    pub carry: Estimate,
    /// Beside the target line, push side +.
    pub side: Estimate,
    /// Greatest height.
    pub apex: Estimate,
    /// Angle of the fall, down +.
    pub landing: Estimate,
    /// Time in the air.
    pub time: Estimate,
}

impl Leaving {
    /// How the ball leaves this delivery at this club speed, struck in the middle of the face.
    ///
    /// `loft_error` is one standard deviation of the delivery's dynamic loft. The other errors: share
    /// of the face +/- 0.10, ball speed +/- 7 % (published spreads), spin +/- 25 % (elicited).
    ///
    /// # Errors
    /// As [`Delivery::departure`], or a club speed out of range.
    pub fn of_delivery(
        club_speed: Speed,
        delivery: Delivery,
        loft_error: Angle,
        head: Option<Head>,
    ) -> Result<Self, GeometryError> {
        let fitted = delivery.departure(FaceShare::Fitted)?;
        let loft = delivery.dynamic_loft.base();
        let loft = Estimate::from_base(loft, loft_error.base(), Dimension::Angle)?;
        let off = Estimate::from_base(0.0, SHARE_ERROR.base(), Dimension::Ratio)?;
        // The share of the face at this loft, and how far off it may be.
        let leaving = |[loft, off]: [f64; 2]| {
            let delivery = Delivery {
                dynamic_loft: Angle::from_base(loft),
                ..delivery
            };
            let share = delivery.departure(FaceShare::Fitted)?.share.base() + off;
            delivery.departure(FaceShare::Constant(Ratio::of_one(share.clamp(0.0, 1.0))))
        };
        let spin_loft = propagate([loft], Dimension::Angle, |[loft]| {
            Ok(leaving([loft, 0.0])?.spin_loft.base())
        })?;
        let factor = Estimate::from_base(1.0, SPIN_ERROR.base(), Dimension::Ratio)?;
        let ratio = Estimate::from_base(1.0, SPEED_RATIO_ERROR.base(), Dimension::Ratio)?;
        let usual = usual_spin_share(fitted.spin_loft, head)?.base();
        Ok(Self {
            ball_speed: propagate(
                [spin_loft, ratio],
                Dimension::Speed,
                |[spin_loft, ratio]| {
                    let usual = usual_speed_ratio(Angle::from_base(spin_loft))?;
                    Ok(club_speed.base() * usual.base() * ratio)
                },
            )?,
            launch: propagate([loft, off], Dimension::Angle, |x| {
                Ok(leaving(x)?.launch.base())
            })?,
            start: propagate([loft, off], Dimension::Angle, |x| {
                Ok(leaving(x)?.start.base())
            })?,
            spin: propagate(
                [spin_loft, factor],
                Dimension::Spin,
                |[spin_loft, factor]| {
                    let rolling = rolling_spin(club_speed, Angle::from_base(spin_loft))?;
                    Ok(rolling.base() * usual * factor)
                },
            )?,
            axis_tilt: propagate([loft], Dimension::Angle, |[loft]| {
                Ok(leaving([loft, 0.0])?.axis_tilt.base())
            })?,
        })
    }

    fn inputs(&self) -> [Estimate; 5] {
        [
            self.ball_speed,
            self.launch,
            self.start,
            self.spin,
            self.axis_tilt,
        ]
    }
}

/// The flight with its errors.
///
/// # Errors
/// As [`fly`].
pub fn outcome(leaving: &Leaving, air: Air, wind: Wind) -> Result<Outcome, GeometryError> {
    let flown = |x: [f64; 5], ball: Ball| {
        let [speed, launch, start, spin, tilt] = x;
        let launch = Launch {
            ball_speed: Speed::from_base(speed),
            launch: Angle::from_base(launch),
            start: Angle::from_base(start),
            spin: Spin::from_base(spin),
            axis_tilt: Angle::from_base(tilt),
        };
        fly(launch, ball, air, wind)
    };
    let inputs = leaving.inputs();
    let flight = flown(inputs.map(Estimate::mean), Ball::USUAL)?;
    let of_inputs = |dimension, read: fn(&Flight) -> f64| {
        propagate(inputs, dimension, |x| {
            flown(x, Ball::USUAL).map(|f| read(&f))
        })
    };
    let wider = |estimate: Estimate, model: f64| {
        Estimate::from_base(
            estimate.mean(),
            estimate.sd().hypot(model),
            estimate.dimension(),
        )
    };
    let [a, b, c, d, e] = inputs;
    let of_ball = Estimate::from_base(0.0, COEFFICIENT_ERROR.base(), Dimension::Ratio)?;
    let of_all = |dimension, read: fn(&Flight) -> f64| {
        propagate([a, b, c, d, e, of_ball, of_ball], dimension, |x| {
            let [a, b, c, d, e, drag, lift] = x;
            let ball = Ball {
                more_drag: Ratio::of_one(drag),
                more_lift: Ratio::of_one(lift),
                ..Ball::USUAL
            };
            flown([a, b, c, d, e], ball).map(|f| read(&f))
        })
    };
    let carry = of_inputs(Dimension::Length, |f| f.carry.base())?;
    let apex = of_inputs(Dimension::Length, |f| f.apex.base())?;
    Ok(Outcome {
        flight,
        carry: wider(
            carry,
            carry.mean() * carry_error(flight.spin_parameter).base(),
        )?,
        side: of_all(Dimension::Length, |f| f.side.base())?,
        apex: wider(apex, APEX_ERROR.base())?,
        landing: of_all(Dimension::Angle, |f| f.landing.base())?,
        time: of_all(Dimension::Time, |f| f.time.base())?,
    })
}
