//! Sloping ground: the same swing seen from turf that is not level.
//!
//! Takes an arc drawn on level ground, the slope of the ground and how far the golfer's swing
//! follows it; gives the arc as the turf sees it, so that strike and divot questions need nothing
//! else. Everything is a rotation of the circle in three dimensions, without approximation.
//! Invariant: level ground, or a swing that follows the slope entirely, changes nothing.
//! Does not know: how a golfer's balance or stance changes the swing; that is for knowledge.

use super::arc::{Arc, Shape};
use super::impact::lie_push;
use super::{GeometryError, Input, angle_within, within};
use crate::quantity::{Angle, Length, Ratio};

/// How the ground lies at the ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// Rise towards the target: uphill +, downhill -.
    pub along: Angle,
    /// Rise away from the golfer: ball above the feet +, below -.
    pub across: Angle,
}

impl Slope {
    /// Level ground.
    pub const LEVEL: Self = Self {
        along: Angle::ZERO,
        across: Angle::ZERO,
    };
}

/// An arc as sloping turf sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArcOnSlope {
    /// Low point, height and shape measured from the turf.
    pub arc: Arc,
    /// How far the base line turns on the ground, push side +.
    pub swing_direction_shift: Angle,
}

impl Arc {
    /// This arc, drawn for level ground, as seen from ground of this slope.
    ///
    /// `follow` says how much of the slope the swing goes along with, 0 (swung as on the flat) to
    /// 1 (shoulders and plane set to the ground). Ball above the feet makes a plane that does not
    /// follow steeper to the turf, uphill moves the turf's low point ahead and below.
    ///
    /// # Errors
    /// [`GeometryError::OutOfRange`] for slopes beyond 30 degrees, `follow` outside 0 to 1, or an
    /// arc that no longer reaches the ball.
    pub fn on_slope(self, slope: Slope, follow: Ratio) -> Result<ArcOnSlope, GeometryError> {
        angle_within(Input::Slope, slope.along, -30.0, 30.0)?;
        angle_within(Input::Slope, slope.across, -30.0, 30.0)?;
        let left_over = 1.0 - within(Input::Follow, follow.base(), 0.0, 1.0)?;
        let tilt = slope.along * left_over;
        let across = slope.across * left_over;
        let plane = self.plane();
        let r = self.radius().base();
        // Axes of the ground in the level frame: along, to the push side, up.
        let ahead = [tilt.cos(), 0.0, tilt.sin()];
        let up_along = [-tilt.sin(), 0.0, tilt.cos()];
        let side = add(
            scale([0.0, 1.0, 0.0], across.cos()),
            scale(up_along, across.sin()),
        );
        let up = add(
            scale(up_along, across.cos()),
            scale([0.0, 1.0, 0.0], -across.sin()),
        );
        let seen = |v: [f64; 3]| [dot(v, ahead), dot(v, side), dot(v, up)];
        let normal = seen([0.0, plane.sin(), plane.cos()]);
        let centre = seen([
            self.low_point().base(),
            -r * plane.cos(),
            self.height().base() + r * plane.sin(),
        ]);
        let inclination = normal[0].hypot(normal[1]).atan2(normal[2]);
        let flat = normal[0].hypot(normal[1]);
        let base_line = [normal[1] / flat, -normal[0] / flat, 0.0];
        let steepest = [
            -normal[2] * normal[0] / flat,
            -normal[2] * normal[1] / flat,
            flat,
        ];
        let lowest = add(centre, scale(steepest, -r));
        let shape = Shape::new(self.radius(), Angle::radians(inclination))?;
        Ok(ArcOnSlope {
            arc: Arc::of_shape(
                Length::from_base(dot(lowest, base_line)),
                Length::from_base(lowest[2]),
                shape,
            )?,
            swing_direction_shift: Angle::radians(base_line[1].atan2(base_line[0])),
        })
    }
}

/// Where the face sends the ball on ground across the slope, push side +: the head tilts with the
/// ground, so a ball above the feet is a toe-up lie to the horizon and starts to the pull side.
///
/// # Errors
/// As [`lie_push`].
pub fn side_slope_push(slope: Slope, dynamic_loft: Angle) -> Result<Angle, GeometryError> {
    lie_push(dynamic_loft, -slope.across)
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn add(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

fn scale(a: [f64; 3], k: f64) -> [f64; 3] {
    [a[0] * k, a[1] * k, a[2] * k]
}
