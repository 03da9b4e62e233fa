//! Face and path at impact: where the ball starts, how high, how its axis tilts, how fast it goes.
//!
//! Jorgensen's plane of delivery: the ball leaves between the club's direction and the face's
//! normal, in the plane of both, and spins about the line at right angles to that plane. Takes
//! face, path, dynamic loft and attack; gives launch, start, tilt and spin loft exactly in three
//! dimensions. How much of the way goes to the face is a [`FaceShare`], known to +/- 0.10.
//!
//! Invariants: mirrored face and path give mirrored start and tilt; square face and path give none.
//! Does not know: off-centre hits, except as the wide, signed estimate of [`gear_effect`]; grass
//! between face and ball; which model of ball.

use super::{BALL_RADIUS, GeometryError, Input, angle_within, length_within, within};
use crate::quantity::{Angle, Dimension, Estimate, Length, Ratio, Speed, Spin};

/// One standard deviation of the share of the face in the start, for any club: the spread of
/// published values (0.61 to 0.87) about the fit.
pub const SHARE_ERROR: Ratio = Ratio::of_one(0.10);

/// One standard deviation of ball speed over club speed, as a share of it.
pub const SPEED_RATIO_ERROR: Ratio = Ratio::of_one(0.07);

/// How far from the club's direction to the face's normal the ball starts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FaceShare {
    /// 0.96 - 0.0071 per degree of spin loft, held within 0.5 to 0.96: a fit in a public article
    /// (published); 0.853 at 15 degrees, 0.747 at 30.
    Fitted,
    /// A ball that rolls on a rigid face when it leaves (derived): 0.804 at 14.7 degrees. The
    /// number is c = (1 + e) M / (M + m), 1.49 for common heads.
    Rolling(Ratio),
    /// The same for every strike, 0 to 1. Published, horizontal: 0.76 driver, 0.69 mid iron, 0.61
    /// wedge; vertical: 0.83, 0.81, 0.72 (Wood, Henrikson and Broadie 2018).
    Constant(Ratio),
}

impl FaceShare {
    /// The share at this spin loft.
    ///
    /// # Errors
    /// A constant outside 0 to 1, c outside 0.5 to 2, or spin loft outside 0 to 180 degrees.
    pub fn at(self, spin_loft: Angle) -> Result<Ratio, GeometryError> {
        angle_within(Input::SpinLoft, spin_loft, 0.0, 180.0)?;
        match self {
            Self::Fitted => Ok(Ratio::of_one(
                (0.96 - 0.0071 * spin_loft.as_degrees()).clamp(0.5, 0.96),
            )),
            Self::Rolling(c) => {
                let c = within(Input::Share, c.base(), 0.5, 2.0)?;
                let s = spin_loft.base().clamp(1e-6, 1.57);
                Ok(Ratio::of_one(1.0 - (2.0 * s.tan() / (7.0 * c)).atan() / s))
            }
            Self::Constant(share) => {
                within(Input::Share, share.base(), 0.0, 1.0).map(Ratio::of_one)
            }
        }
    }
}

/// How the club meets the ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Delivery {
    /// Where the face points, push side +.
    pub face: Angle,
    /// Where the clubhead goes, push side +.
    pub path: Angle,
    /// Loft of the face to the vertical at impact.
    pub dynamic_loft: Angle,
    /// Up +.
    pub attack: Angle,
}

/// How the ball leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Departure {
    /// Angle above the ground.
    pub launch: Angle,
    /// Direction over the ground, push side +.
    pub start: Angle,
    /// Tilt of the spin axis about the start direction; + curves to the push side.
    pub axis_tilt: Angle,
    /// Angle between the club's direction and the face's normal.
    pub spin_loft: Angle,
    /// The share of the face that was used.
    pub share: Ratio,
}

impl Delivery {
    /// The delivery, if face and path are within 60 degrees, loft and attack within 80.
    ///
    /// # Errors
    /// [`GeometryError::NotFinite`] or [`GeometryError::OutOfRange`].
    pub fn checked(self) -> Result<Self, GeometryError> {
        angle_within(Input::Face, self.face, -60.0, 60.0)?;
        angle_within(Input::Path, self.path, -60.0, 60.0)?;
        angle_within(Input::Loft, self.dynamic_loft, -20.0, 80.0)?;
        angle_within(Input::Attack, self.attack, -60.0, 60.0)?;
        Ok(self)
    }

    /// Angle between the club's direction and the face's normal, 0 or more. With face and path
    /// alike it is dynamic loft less attack.
    ///
    /// # Errors
    /// As [`Delivery::checked`].
    pub fn spin_loft(self) -> Result<Angle, GeometryError> {
        let (v, n) = self.checked()?.directions();
        Ok(Angle::radians(between(v, n)))
    }

    /// How the ball leaves a strike through the middle of the head.
    ///
    /// # Errors
    /// As [`Delivery::checked`], or [`GeometryError::NoDirection`] when club and face normal agree
    /// to a millionth of a radian, so that no axis of spin exists.
    pub fn departure(self, share: FaceShare) -> Result<Departure, GeometryError> {
        let (v, n) = self.checked()?.directions();
        let s = between(v, n);
        let spin_loft = Angle::radians(s);
        let share = share.at(spin_loft)?;
        let k = share.base();
        let axis = cross(v, n);
        if !(1e-6..=std::f64::consts::PI - 1e-6).contains(&s) {
            return Err(GeometryError::NoDirection { spin_loft });
        }
        let (of_v, of_n) = (((1.0 - k) * s).sin() / s.sin(), (k * s).sin() / s.sin());
        let u = [
            of_v * v[0] + of_n * n[0],
            of_v * v[1] + of_n * n[1],
            of_v * v[2] + of_n * n[2],
        ];
        let start = u[1].atan2(u[0]);
        // The axis of pure backspin points to the pull side, at right angles to the start.
        let backspin = axis[0] * start.sin() - axis[1] * start.cos();
        Ok(Departure {
            launch: Angle::radians(u[2].atan2(u[0].hypot(u[1]))),
            start: Angle::radians(start),
            axis_tilt: Angle::radians(axis[2].atan2(backspin)),
            spin_loft,
            share,
        })
    }

    fn directions(self) -> ([f64; 3], [f64; 3]) {
        let direction = |azimuth: Angle, up: Angle| {
            [up.cos() * azimuth.cos(), up.cos() * azimuth.sin(), up.sin()]
        };
        (
            direction(self.path, self.attack),
            direction(self.face, self.dynamic_loft),
        )
    }
}

/// Start direction as a plain blend of path and face: p + k (f - p). Within 0.2 degrees of the
/// exact one for face and path up to 6 degrees apart.
///
/// # Errors
/// A share or spin loft out of range, or an angle that is not finite.
pub fn start_direction(
    face: Angle,
    path: Angle,
    spin_loft: Angle,
    share: FaceShare,
    share_error: Ratio,
) -> Result<Angle, GeometryError> {
    angle_within(Input::Face, face, -60.0, 60.0)?;
    angle_within(Input::Path, path, -60.0, 60.0)?;
    let k = share.at(spin_loft)?.base() + within(Input::Share, share_error.base(), -0.5, 0.5)?;
    Ok(path + (face - path) * k)
}

/// The face that sends a ball off in this direction from this path.
///
/// Below 1.5 degrees between face and path the start says nothing sure about either; the error
/// that comes out then is small only because the difference is.
///
/// # Errors
/// A share below 0.3, or a number out of range.
pub fn face_from_start_and_path(
    start: Angle,
    path: Angle,
    spin_loft: Angle,
    share: FaceShare,
    share_error: Ratio,
) -> Result<Angle, GeometryError> {
    angle_within(Input::StartDirection, start, -60.0, 60.0)?;
    angle_within(Input::Path, path, -60.0, 60.0)?;
    let k = share.at(spin_loft)?.base() + share_error.base();
    within(Input::Share, k, 0.3, 1.5)?;
    Ok(path + (start - path) / k)
}

/// The path that, with this gap between face and path, sends a ball off in this direction.
///
/// # Errors
/// A number out of range.
pub fn path_from_start_and_gap(
    start: Angle,
    face_to_path: Angle,
    spin_loft: Angle,
    share: FaceShare,
    share_error: Ratio,
) -> Result<Angle, GeometryError> {
    angle_within(Input::StartDirection, start, -60.0, 60.0)?;
    angle_within(Input::Face, face_to_path, -60.0, 60.0)?;
    let k = share.at(spin_loft)?.base() + within(Input::Share, share_error.base(), -0.5, 0.5)?;
    Ok(start - face_to_path * k)
}

/// Launch angle of a strike with face and path alike: attack + k (loft - attack).
///
/// # Errors
/// A number out of range, or loft below attack.
pub fn launch_angle(
    dynamic_loft: Angle,
    attack: Angle,
    share: FaceShare,
    share_error: Ratio,
) -> Result<Angle, GeometryError> {
    let spin_loft = plain_spin_loft(dynamic_loft, attack)?;
    let k = share.at(spin_loft)?.base() + within(Input::Share, share_error.base(), -0.5, 0.5)?;
    Ok(attack + spin_loft * k)
}

/// Spin loft with face and path alike: dynamic loft less attack.
///
/// # Errors
/// Loft outside -20 to 80 degrees, attack beyond 60.
pub fn plain_spin_loft(dynamic_loft: Angle, attack: Angle) -> Result<Angle, GeometryError> {
    angle_within(Input::Loft, dynamic_loft, -20.0, 80.0)?;
    angle_within(Input::Attack, attack, -60.0, 60.0)?;
    Ok(dynamic_loft - attack)
}

/// How far a toe-down lie error turns the face to the push side: tan push = tan L sin eps.
/// Toe up turns it to the pull side.
///
/// # Errors
/// Loft outside 0 to 80 degrees, lie error beyond 45.
pub fn lie_push(dynamic_loft: Angle, toe_down: Angle) -> Result<Angle, GeometryError> {
    angle_within(Input::Loft, dynamic_loft, 0.0, 80.0)?;
    angle_within(Input::Lie, toe_down, -45.0, 45.0)?;
    Ok(Angle::radians((dynamic_loft.tan() * toe_down.sin()).atan()))
}

/// Ball speed over club speed: 1.5 cos S (published values run from 1.43 to 1.56 of cos S; the
/// error is [`SPEED_RATIO_ERROR`]).
///
/// # Errors
/// Spin loft outside 0 to 90 degrees.
pub fn ball_speed_ratio(spin_loft: Angle) -> Result<Ratio, GeometryError> {
    angle_within(Input::SpinLoft, spin_loft, 0.0, 90.0)?;
    Ok(Ratio::of_one(1.5 * spin_loft.cos()))
}

/// [`ball_speed_ratio`] and up to 8 % more of it from a spin loft of 30 to 45 degrees: a wedge's head
/// is heavier, meets the ball more softly and drags it along (derived; tour players' averages,
/// published, from memory: 1.33 with a 7 iron, 1.23 with a pitching wedge).
///
/// # Errors
/// As [`ball_speed_ratio`].
pub fn usual_speed_ratio(spin_loft: Angle) -> Result<Ratio, GeometryError> {
    let lofted = ((spin_loft.as_degrees() - 30.0) / 15.0).clamp(0.0, 1.0);
    Ok(ball_speed_ratio(spin_loft)? * (1.0 + 0.08 * lofted))
}

/// Spin of a ball that has stopped slipping on the face: (5/7) V sin S / r. Drivers fall below it
/// and irons rise above it: an order of magnitude, good to half its size.
///
/// # Errors
/// Club speed outside 0 to 100 m/s, spin loft outside 0 to 90 degrees.
pub fn rolling_spin(club_speed: Speed, spin_loft: Angle) -> Result<Spin, GeometryError> {
    within(Input::ClubSpeed, club_speed.base(), 0.0, 100.0)?;
    angle_within(Input::SpinLoft, spin_loft, 0.0, 90.0)?;
    Ok(Spin::from_base(
        5.0 / 7.0 * club_speed.base() * spin_loft.sin() / BALL_RADIUS.base(),
    ))
}

/// Which sort of head meets the ball; sorts differ in how far their spin is from that of a ball that
/// rolls off a rigid face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Head {
    /// A driver: struck high on a face that gives.
    Driver,
    /// A wood or a hybrid from the turf.
    Wood,
    /// An iron or a wedge.
    Iron,
}

/// One standard deviation of the usual spin as a share of it (elicited).
pub const SPIN_ERROR: Ratio = Ratio::of_one(0.25);

/// The usual spin over [`rolling_spin`]: 0.7 for a driver, 1.05 for a wood, 1.2 for an iron. Fitted to
/// the averages of tour players (published; from memory: driver 2690 rpm at 113 mph, 7 iron 7100 at
/// 90, pitching wedge 9300 at 83). Without the head 0.7 up to a spin loft of 14.5 degrees, which
/// hardly any other club has, and 1.2 from 20 on.
///
/// # Errors
/// Spin loft outside 0 to 90 degrees.
pub fn usual_spin_share(spin_loft: Angle, head: Option<Head>) -> Result<Ratio, GeometryError> {
    angle_within(Input::SpinLoft, spin_loft, 0.0, 90.0)?;
    Ok(Ratio::of_one(match head {
        Some(Head::Driver) => 0.7,
        Some(Head::Wood) => 1.05,
        Some(Head::Iron) => 1.2,
        None => 0.7 + 0.5 * ((spin_loft.as_degrees() - 14.5) / 5.5).clamp(0.0, 1.0),
    }))
}

/// What an off-centre strike does to the axis: signed and wide. Sizes depend on the head
/// (elicited); the direction is published (Penner 2001; Cross and Nathan 2007).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeadGear {
    /// Tilt of the axis per millimetre towards the toe; negative for heads that curve toe strikes
    /// to the pull side.
    pub tilt_per_mm: Angle,
    /// Change of start per millimetre towards the toe.
    pub start_per_mm: Angle,
    /// One standard deviation of both as a share of them, and never less than half.
    pub error: Ratio,
}

impl HeadGear {
    /// A driver: 0.45 degrees of tilt and 0.09 of start a millimetre (elicited).
    pub const DRIVER: Self = Self {
        tilt_per_mm: Angle::degrees(-0.45),
        start_per_mm: Angle::degrees(0.09),
        error: Ratio::of_one(0.5),
    };
    /// A fairway wood (elicited).
    pub const FAIRWAY: Self = Self {
        tilt_per_mm: Angle::degrees(-0.28),
        start_per_mm: Angle::degrees(0.04),
        error: Ratio::of_one(0.5),
    };
    /// An iron: little, and mostly a slower ball (elicited).
    pub const IRON: Self = Self {
        tilt_per_mm: Angle::degrees(-0.08),
        start_per_mm: Angle::ZERO,
        error: Ratio::of_one(1.0),
    };
}

/// Change of axis tilt and of start by a strike `toward_toe` of the middle (heel -).
///
/// # Errors
/// A strike more than 80 mm off, or a head whose numbers are not finite.
pub fn gear_effect(
    toward_toe: Length,
    head: HeadGear,
) -> Result<(Estimate, Estimate), GeometryError> {
    length_within(Input::StrikePlace, toward_toe, -0.08, 0.08)?;
    let error = within(Input::Value, head.error.base(), 0.0, 10.0)?.max(0.5);
    let mm = toward_toe.as_millimetres();
    let estimate = |per_mm: Angle| {
        let size = per_mm.base() * mm;
        Estimate::from_base(size, size.abs() * error, Dimension::Angle)
    };
    Ok((estimate(head.tilt_per_mm)?, estimate(head.start_per_mm)?))
}

/// Share of the ball speed that is left when the head is struck `off_centre` of the line through
/// its centre of mass: effective mass 1/Me = 1/M + b^2/I (Cross and Nathan 2009, published). Real
/// faces lose more.
///
/// Head mass in kilograms (0.1 to 0.5), moment of inertia in kg m2 (5e-5 to 1e-3).
///
/// # Errors
/// A number out of range.
pub fn off_centre_speed(
    off_centre: Length,
    head_mass: Ratio,
    inertia: Ratio,
) -> Result<Ratio, GeometryError> {
    const BALL_MASS: f64 = 0.045_93;
    length_within(Input::StrikePlace, off_centre, -0.08, 0.08)?;
    let mass = within(Input::Value, head_mass.base(), 0.1, 0.5)?;
    let inertia = within(Input::Value, inertia.base(), 5e-5, 1e-3)?;
    let effective = (mass.recip() + off_centre.base().powi(2) / inertia).recip();
    Ok(Ratio::of_one(
        effective / (effective + BALL_MASS) / (mass / (mass + BALL_MASS)),
    ))
}

/// How far the handle leans to the target, from the loft on the club and the loft at impact.
/// Negative: the clubhead passes the hands.
///
/// # Errors
/// Lofts outside -20 to 80 degrees.
pub fn handle_lean(static_loft: Angle, dynamic_loft: Angle) -> Result<Angle, GeometryError> {
    angle_within(Input::Loft, static_loft, -20.0, 80.0)?;
    angle_within(Input::Loft, dynamic_loft, -20.0, 80.0)?;
    Ok(static_loft - dynamic_loft)
}

/// Dynamic loft of a club whose handle leans this far to the target.
///
/// # Errors
/// Loft outside -20 to 80 degrees, lean beyond 60.
pub fn dynamic_loft(static_loft: Angle, lean: Angle) -> Result<Angle, GeometryError> {
    angle_within(Input::Loft, static_loft, -20.0, 80.0)?;
    angle_within(Input::Loft, lean, -60.0, 60.0)?;
    Ok(static_loft - lean)
}

/// How far the top of the handle is ahead of the edge for a lean: length times its sine.
///
/// # Errors
/// Club length outside 0.3 to 1.5 m, lean beyond 60 degrees.
pub fn handle_ahead(club_length: Length, lean: Angle) -> Result<Length, GeometryError> {
    length_within(Input::Value, club_length, 0.3, 1.5)?;
    angle_within(Input::Loft, lean, -60.0, 60.0)?;
    Ok(club_length * lean.sin())
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

/// Angle between unit vectors, accurate near nothing as well.
fn between(a: [f64; 3], b: [f64; 3]) -> f64 {
    let c = cross(a, b);
    let size = (c[0] * c[0] + c[1] * c[1] + c[2] * c[2]).sqrt();
    size.atan2(a[0] * b[0] + a[1] * b[1] + a[2] * b[2])
}
