//! The arc of the club near the ball: what low point, height, radius and plane say about attack,
//! path and turf, and back again.
//!
//! Near impact the lowest edge of the clubhead moves on a circle of radius R in a plane inclined
//! at theta to the ground. Seen from the side that is an ellipse whose curvature at the bottom is
//! 1/K with K = R / sin theta. Takes and gives lengths along the base line of the plane, measured
//! from the ball, target side +; heights above the turf +.
//!
//! Invariants: all formulae are exact; attack and low point have opposite signs; an arc and its
//! mirror before and behind the ball give opposite attack and path shift.
//! Does not know: that turf slows the club and tears, or that the real arc's radius changes.
//! Trust the start of a divot most, the low point from start and depth next, its length least.
//!
//! ```
//! use swingwhy::geometry::arc::Arc;
//! use swingwhy::quantity::{Angle, Length};
//! let arc = Arc::new(
//!     Length::inches(4.0), Length::millimetres(-3.0), Length::metres(1.114), Angle::degrees(60.0),
//! )?;
//! assert!((arc.attack().as_degrees() - -4.5302).abs() < 0.0005);
//! assert!((arc.path_shift().as_degrees() - 2.6219).abs() < 0.0005);
//! # Ok::<(), swingwhy::geometry::GeometryError>(())
//! ```

use super::{GeometryError, Input, angle_within, length_within};
use crate::quantity::{Amount, Angle, Dimension, Estimate, Length};

/// How far from the low point an arc is used, in radii. Beyond it the club is nowhere near turf.
const REACH: f64 = 0.9;

/// Radius and plane of an arc: its shape without its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    radius: Length,
    plane: Angle,
    sin: f64,
    cos: f64,
    /// sin theta / R, one over K.
    curvature: f64,
}

impl Shape {
    /// A circle of `radius` (0.1 to 10 m) in a plane inclined at `plane` (5 to 90 degrees) to the
    /// ground.
    ///
    /// # Errors
    /// [`GeometryError::NotFinite`] or [`GeometryError::OutOfRange`].
    pub fn new(radius: Length, plane: Angle) -> Result<Self, GeometryError> {
        length_within(Input::Radius, radius, 0.1, 10.0)?;
        angle_within(Input::Plane, plane, 5.0, 90.0)?;
        Ok(Self {
            radius,
            plane,
            sin: plane.sin(),
            cos: plane.cos(),
            curvature: plane.sin() / radius.base(),
        })
    }

    /// The shape with this vertical radius K in this plane: R = K sin theta.
    ///
    /// # Errors
    /// [`GeometryError::NotFinite`] or [`GeometryError::OutOfRange`].
    pub fn from_vertical_radius(vertical: Length, plane: Angle) -> Result<Self, GeometryError> {
        length_within(Input::VerticalRadius, vertical, 0.1, 100.0)?;
        angle_within(Input::Plane, plane, 5.0, 90.0)?;
        Self::new(vertical * plane.sin(), plane)
    }

    /// Radius R in the plane.
    pub const fn radius(self) -> Length {
        self.radius
    }

    /// Inclination of the plane to the ground.
    pub const fn plane(self) -> Angle {
        self.plane
    }

    /// K = R / sin theta: attack and divots depend on radius and plane through this alone.
    pub fn vertical_radius(self) -> Length {
        self.radius / self.sin
    }

    /// How far the edge has risen at this distance along the base line from the low point, either
    /// side. Distances beyond the arc count as its end.
    pub fn rise(self, along: Length) -> Length {
        Length::from_base(self.rise_base(along.base()))
    }

    /// [`Shape::rise`] in metres: R sin theta times one minus the root of 1 - (u/R)^2, written so
    /// that small distances lose no digits.
    pub(crate) fn rise_base(self, along: f64) -> f64 {
        let r = self.radius.base();
        let whole = r * r;
        let square = (along * along).min(whole);
        self.sin * square / (r + (whole - square).sqrt())
    }

    /// 1 / K in metres.
    pub(crate) fn curvature_base(self) -> f64 {
        self.curvature
    }

    /// Slope of the edge's path against the ground at this distance from the low point, rise over
    /// run; steep without limit at the end of the arc.
    pub(crate) fn slope_base(self, along: f64) -> f64 {
        let r = self.radius.base();
        self.sin * along / (r * r - along * along).max(f64::MIN_POSITIVE).sqrt()
    }

    /// Half length of the cut that an arc leaves whose lowest point is `depth` below the turf:
    /// l^2 = 2 R d / sin theta - (d / sin theta)^2. Nothing for depths of nothing or less.
    pub fn half_cut(self, depth: Length) -> Length {
        Length::from_base(self.half_cut_base(depth.base()))
    }

    pub(crate) fn half_cut_base(self, depth: f64) -> f64 {
        let in_plane = (depth / self.sin).clamp(0.0, self.radius.base());
        (in_plane * (2.0 * self.radius.base() - in_plane)).sqrt()
    }

    /// Attack angle of an arc whose low point is this far ahead of the ball.
    ///
    /// # Errors
    /// [`GeometryError::BeyondArc`] or [`GeometryError::NotFinite`].
    pub fn attack(self, low_point: Length) -> Result<Angle, GeometryError> {
        self.reached(low_point)?;
        Ok(Angle::radians((-low_point / self.radius * self.sin).asin()))
    }

    /// Club path less swing direction for a low point this far ahead: tan delta = tan phi cos
    /// theta with phi = asin(s / R). Low point ahead sends the path to the push side.
    ///
    /// # Errors
    /// [`GeometryError::BeyondArc`] or [`GeometryError::NotFinite`].
    pub fn path_shift(self, low_point: Length) -> Result<Angle, GeometryError> {
        self.reached(low_point)?;
        Ok(self.shift_at((low_point / self.radius).asin()))
    }

    fn shift_at(self, phi: f64) -> Angle {
        Angle::radians((phi.tan() * self.cos).atan())
    }

    fn reached(self, distance: Length) -> Result<(), GeometryError> {
        if !distance.is_finite() {
            return Err(GeometryError::NotFinite {
                input: Input::LowPoint,
                value: distance.base(),
            });
        }
        if distance.abs() > self.radius * REACH {
            return Err(GeometryError::BeyondArc {
                distance,
                radius: self.radius,
            });
        }
        Ok(())
    }
}

/// Where the club moves near the ball.
///
/// Built checked, so that every question to it has a finite answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arc {
    low_point: Length,
    height: Length,
    shape: Shape,
}

/// What an arc that reaches below the turf leaves there, undisturbed by the ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurfCut {
    /// Where the edge goes in, ahead of the ball +.
    pub start: Length,
    /// Where it comes out.
    pub end: Length,
    /// From start to end along the base line.
    pub length: Length,
    /// Greatest depth below the level at which the cut counts, at the low point.
    pub depth: Length,
    /// Angle of the edge's way to the ground at the start, down -; the mirror image at the end.
    pub entry: Angle,
}

impl TurfCut {
    /// How far behind the ball the cut starts: the house's turf entry, negative if it is ahead.
    pub fn entry_behind(self) -> Length {
        -self.start
    }
}

impl Arc {
    /// An arc with its low point `low_point` ahead of the ball and its lowest height `height`
    /// above the turf (-1 to +2 m), on a circle of `radius` in `plane`.
    ///
    /// # Errors
    /// [`GeometryError::NotFinite`], [`GeometryError::OutOfRange`], or
    /// [`GeometryError::BeyondArc`] if the low point is more than nine tenths of the radius away.
    pub fn new(
        low_point: Length,
        height: Length,
        radius: Length,
        plane: Angle,
    ) -> Result<Self, GeometryError> {
        Self::of_shape(low_point, height, Shape::new(radius, plane)?)
    }

    /// An arc of a known shape.
    ///
    /// # Errors
    /// As [`Arc::new`].
    pub fn of_shape(
        low_point: Length,
        height: Length,
        shape: Shape,
    ) -> Result<Self, GeometryError> {
        length_within(Input::Height, height, -1.0, 2.0)?;
        shape.reached(low_point)?;
        Ok(Self {
            low_point,
            height,
            shape,
        })
    }

    /// Low point ahead of the ball.
    pub const fn low_point(self) -> Length {
        self.low_point
    }

    /// Height of the lowest point above the turf; below it -.
    pub const fn height(self) -> Length {
        self.height
    }

    /// Radius in the plane.
    pub const fn radius(self) -> Length {
        self.shape.radius
    }

    /// Inclination of the plane to the ground.
    pub const fn plane(self) -> Angle {
        self.shape.plane
    }

    /// Radius and plane.
    pub const fn shape(self) -> Shape {
        self.shape
    }

    /// K = R / sin theta.
    pub fn vertical_radius(self) -> Length {
        self.shape.vertical_radius()
    }

    /// Angle of the club's way to the ground at the ball, up +: sin a = -(s / R) sin theta.
    pub fn attack(self) -> Angle {
        Angle::radians((-self.low_point / self.shape.radius * self.shape.sin).asin())
    }

    /// Club path less swing direction at the ball, push side +.
    pub fn path_shift(self) -> Angle {
        self.shape
            .shift_at((self.low_point / self.shape.radius).asin())
    }

    /// Club path when the plane's base line points in `swing_direction`.
    pub fn club_path(self, swing_direction: Angle) -> Angle {
        swing_direction + self.path_shift()
    }

    /// Height of the edge above the turf at `ahead` along the base line from the ball.
    pub fn edge_height(self, ahead: Length) -> Length {
        self.height + self.shape.rise(ahead - self.low_point)
    }

    /// Place of the edge at an angle of the arc from its low point, towards the target +: along
    /// the base line, to the push side, up.
    pub fn position(self, turned: Angle) -> [Length; 3] {
        let Shape {
            radius, sin, cos, ..
        } = self.shape;
        let up_plane = radius * (1.0 - turned.cos());
        [
            self.low_point + radius * turned.sin(),
            -(up_plane * cos),
            self.height + up_plane * sin,
        ]
    }

    /// What the undisturbed arc cuts below `grass` (0 or more) under the turf line; `None` if it
    /// does not get that deep.
    pub fn cut(self, grass: Length) -> Option<TurfCut> {
        let depth = -self.height - grass;
        if depth <= Length::ZERO {
            return None;
        }
        let half = self.shape.half_cut(depth);
        Some(TurfCut {
            start: self.low_point - half,
            end: self.low_point + half,
            length: half * 2.0,
            depth,
            entry: Angle::radians((-half / self.shape.radius * self.shape.sin).asin()),
        })
    }

    /// The same swing with the ball moved `forward` in the stance.
    ///
    /// # Errors
    /// As [`Arc::new`].
    pub fn with_ball_forward(self, forward: Length) -> Result<Self, GeometryError> {
        Self::of_shape(self.low_point - forward, self.height, self.shape)
    }

    /// The same arc with its bottom at another height.
    ///
    /// # Errors
    /// As [`Arc::new`].
    pub fn with_height(self, height: Length) -> Result<Self, GeometryError> {
        Self::of_shape(self.low_point, height, self.shape)
    }
}

/// Low point ahead of the ball from the attack angle: s = -R sin a / sin theta.
///
/// # Errors
/// [`GeometryError::SteeperThanPlane`] if no arc in this plane is that steep, or a range error.
pub fn low_point_from_attack(
    attack: Angle,
    radius: Length,
    plane: Angle,
) -> Result<Length, GeometryError> {
    let shape = Shape::new(radius, plane)?;
    angle_within(Input::Attack, attack, -90.0, 90.0)?;
    if attack.sin().abs() > REACH * shape.sin {
        return Err(GeometryError::SteeperThanPlane { attack, plane });
    }
    Ok(-(radius * (attack.sin() / shape.sin)))
}

/// Club path less swing direction from the attack angle; needs the plane alone.
///
/// # Errors
/// As [`low_point_from_attack`].
pub fn path_shift_from_attack(attack: Angle, plane: Angle) -> Result<Angle, GeometryError> {
    let radius = Length::metres(1.0);
    Shape::new(radius, plane)?.path_shift(low_point_from_attack(attack, radius, plane)?)
}

/// K = s / sin(-a) from one low point and the attack angle of the same swing.
///
/// # Errors
/// [`GeometryError::OppositeSigns`] if low point and attack do not go together.
pub fn vertical_radius_from_pair(
    low_point: Length,
    attack: Angle,
) -> Result<Length, GeometryError> {
    length_within(Input::LowPoint, low_point, -10.0, 10.0)?;
    angle_within(Input::Attack, attack, -90.0, 90.0)?;
    let vertical = low_point / (-attack.sin());
    if vertical.is_finite() && vertical > Length::ZERO {
        Ok(vertical)
    } else {
        Err(GeometryError::OppositeSigns { low_point, attack })
    }
}

/// Low point ahead of the ball from where a cut starts and how deep it is at its deepest.
///
/// # Errors
/// A range error: start within 3 m of the ball, depth 0 to 0.3 m.
pub fn low_point_from_start_and_depth(
    start_ahead: Length,
    depth: Length,
    radius: Length,
    plane: Angle,
) -> Result<Length, GeometryError> {
    length_within(Input::Start, start_ahead, -3.0, 3.0)?;
    length_within(Input::Depth, depth, 0.0, 0.3)?;
    Ok(start_ahead + Shape::new(radius, plane)?.half_cut(depth))
}

/// Low point ahead of the ball from where a cut starts and how long it is: its middle. The least
/// trusted of the inverses, for ball and turf bend the far half of a real divot.
///
/// # Errors
/// A range error: start within 3 m of the ball, length 0 to 2 m.
pub fn low_point_from_start_and_length(
    start_ahead: Length,
    length: Length,
) -> Result<Length, GeometryError> {
    length_within(Input::Start, start_ahead, -3.0, 3.0)?;
    length_within(Input::CutLength, length, 0.0, 2.0)?;
    Ok(start_ahead + length * 0.5)
}

/// Depth of a cut from its length.
///
/// # Errors
/// [`GeometryError::BeyondArc`] if the cut is longer than the arc, or a range error.
pub fn depth_from_length(
    length: Length,
    radius: Length,
    plane: Angle,
) -> Result<Length, GeometryError> {
    length_within(Input::CutLength, length, 0.0, 2.0)?;
    let shape = Shape::new(radius, plane)?;
    if length * 0.5 > radius {
        return Err(GeometryError::BeyondArc {
            distance: length * 0.5,
            radius,
        });
    }
    Ok(shape.rise(length * 0.5))
}

/// How far behind the ball the cut starts, from low point and depth; negative if it starts ahead.
///
/// # Errors
/// A range error: depth 0 to 0.3 m.
pub fn turf_entry(
    low_point: Length,
    depth: Length,
    radius: Length,
    plane: Angle,
) -> Result<Length, GeometryError> {
    let shape = Shape::new(radius, plane)?;
    shape.reached(low_point)?;
    length_within(Input::Depth, depth, 0.0, 0.3)?;
    Ok(shape.half_cut(depth) - low_point)
}

/// How deep a light brush of the ground is taken to reach: anywhere from 0.25 to 1 mm (derived
/// from the common-practice rule that a brush 2 in ahead means a low point 3 to 4 in ahead).
pub fn light_brush() -> Estimate {
    let depth = Dimension::Length;
    Estimate::from_base(0.000_625, 0.000_75 / 12f64.sqrt(), depth)
        .unwrap_or(Estimate::exact(Amount::from(Length::millimetres(0.625))))
}
