//! The strike off a tee: sky, drop-kick, low on the face, topped, missed.
//!
//! A teed ball is struck where the face is, not where the turf is, so what counts is how high on
//! the face it is met and whether the ground was touched first. Takes an [`Arc`] and a
//! [`TeedWindow`]; gives the class. The limits are elicited: they come from no measurement.
//!
//! Invariant: for a given low point each class is an interval of heights, as off the turf.
//! Does not know: the shape of the crown, or what a tee does to the ball.

use super::arc::{Arc, Shape};
use super::{BALL_RADIUS, GeometryError, Input, angle_within, length_within};
use crate::quantity::{Angle, Length};

const R: f64 = BALL_RADIUS.base();

/// What counts as sky, low and ground first off a tee.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TeedWindow {
    /// Dynamic loft at contact, 0 to 75 degrees.
    pub loft: Angle,
    /// Height of the ball's lowest point above the turf, 0 to 120 mm.
    pub tee: Length,
    /// Distance up the face from the edge to its middle, 5 to 60 mm.
    pub face_centre: Length,
    /// Where the edge is at contact, ahead of the ball +, -60 to 0 mm.
    pub contact: Length,
    /// Met more than this above the face's middle is a sky.
    pub sky_above: Length,
    /// Met more than this below the middle is low.
    pub low_below: Length,
    /// Met more than this below the middle is bladed.
    pub bladed_below: Length,
    /// Grass brushed less deep than this is not felt.
    pub grass: Length,
    /// Ground touched more than this behind the ball counts as ground first.
    pub ground_behind: Length,
    /// Ground first and deeper than this below the grass is fat, else a drop-kick.
    pub fat_depth: Length,
}

impl TeedWindow {
    /// A driver off a 28 mm tee (elicited).
    pub const DRIVER: Self = Self {
        loft: Angle::degrees(13.0),
        tee: Length::millimetres(28.0),
        face_centre: Length::millimetres(29.0),
        contact: Length::millimetres(-12.0),
        sky_above: Length::millimetres(20.0),
        low_below: Length::millimetres(15.0),
        bladed_below: Length::millimetres(25.0),
        grass: Length::millimetres(1.0),
        ground_behind: Length::millimetres(20.0),
        fat_depth: Length::millimetres(6.0),
    };

    /// The window, if every number is in its range; limits without a range above: 0 to 100 mm.
    ///
    /// # Errors
    /// [`GeometryError::NotFinite`] or [`GeometryError::OutOfRange`].
    pub fn checked(self) -> Result<Self, GeometryError> {
        angle_within(Input::Loft, self.loft, 0.0, 75.0)?;
        length_within(Input::Tee, self.tee, 0.0, 0.12)?;
        length_within(Input::Window, self.face_centre, 0.005, 0.06)?;
        length_within(Input::Window, self.contact, -0.06, 0.0)?;
        for limit in [
            self.sky_above,
            self.low_below,
            self.bladed_below,
            self.ground_behind,
            self.fat_depth,
        ] {
            length_within(Input::Window, limit, 0.0, 0.1)?;
        }
        length_within(Input::Grass, self.grass, 0.0, 0.05)?;
        Ok(self)
    }

    /// The same window at another dynamic loft.
    #[must_use]
    pub const fn with_loft(self, loft: Angle) -> Self {
        Self { loft, ..self }
    }
}

/// What happened off the tee.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TeedClass {
    /// The club passes over the ball.
    Whiff,
    /// The edge meets the ball near its top.
    Topped,
    /// Met low on the face.
    LowFace,
    /// Met near the middle of the face.
    Clean,
    /// Met above the face.
    Sky,
    /// Ground brushed well behind the ball, then the ball.
    DropKick,
    /// Dug in behind the ball.
    Fat,
}

impl TeedClass {
    /// Every class, from the highest arc to the lowest.
    pub const ALL: [Self; 7] = [
        Self::Whiff,
        Self::Topped,
        Self::LowFace,
        Self::Clean,
        Self::Sky,
        Self::DropKick,
        Self::Fat,
    ];
}

/// A strike off a tee.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TeedStrike {
    /// The class.
    pub class: TeedClass,
    /// So low on the face that it is the edge that meets the ball.
    pub bladed: bool,
    /// How far above the middle of the face the ball is met.
    pub above_centre: Length,
    /// Height of the edge above the turf at contact.
    pub edge_height: Length,
    /// The edge passes over the top of the tee.
    pub tee_untouched: bool,
}

/// The strike of this arc off a tee.
///
/// # Errors
/// A window out of range.
pub fn teed_strike(arc: Arc, window: TeedWindow) -> Result<TeedStrike, GeometryError> {
    let window = window.checked()?;
    let limits = limits(arc.low_point().base(), arc.shape(), &window);
    let edge = arc.edge_height(window.contact).base();
    let class = limits.class(arc.height());
    let up_face = (window.tee.base() + R * (1.0 - window.loft.sin()) - edge) / window.loft.cos();
    Ok(TeedStrike {
        class,
        bladed: class == TeedClass::LowFace && arc.height() > limits.bladed_above,
        above_centre: Length::from_base(up_face) - window.face_centre,
        edge_height: Length::from_base(edge),
        tee_untouched: edge > window.tee.base(),
    })
}

/// For one low point, the heights of the arc's bottom between the classes off a tee.
///
/// Read in this order: whiff, topped, fat, drop-kick, sky, low on the face, else clean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TeedThresholds {
    /// Above this the ball is missed.
    pub whiff_above: Length,
    /// Above this it is topped.
    pub topped_above: Length,
    /// Above this a low strike is bladed.
    pub bladed_above: Length,
    /// Above this it is met low on the face.
    pub low_above: Length,
    /// Below this it is a sky.
    pub sky_below: Length,
    /// Below this the ground comes first.
    pub drop_kick_below: Length,
    /// Below this the club digs in.
    pub fat_below: Length,
}

impl TeedThresholds {
    /// The class at this height of the arc's bottom.
    pub fn class(self, height: Length) -> TeedClass {
        if height > self.whiff_above {
            TeedClass::Whiff
        } else if height > self.topped_above {
            TeedClass::Topped
        } else if height < self.fat_below {
            TeedClass::Fat
        } else if height < self.drop_kick_below {
            TeedClass::DropKick
        } else if height < self.sky_below {
            TeedClass::Sky
        } else if height > self.low_above {
            TeedClass::LowFace
        } else {
            TeedClass::Clean
        }
    }
}

/// The heights between classes off a tee for a low point `low_point` ahead of the ball.
///
/// # Errors
/// A window out of range, or [`GeometryError::NotFinite`].
pub fn teed_thresholds(
    low_point: Length,
    shape: Shape,
    window: TeedWindow,
) -> Result<TeedThresholds, GeometryError> {
    length_within(Input::LowPoint, low_point, -10.0, 10.0)?;
    Ok(limits(low_point.base(), shape, &window.checked()?))
}

/// [`teed_thresholds`] for a window already checked.
pub(crate) fn limits(s: f64, shape: Shape, window: &TeedWindow) -> TeedThresholds {
    let (sin, cos) = window.loft.base().sin_cos();
    let tee = window.tee.base();
    let climb = shape.rise_base(window.contact.base() - s);
    let met = |above_centre: f64| {
        tee + R * (1.0 - sin) - (window.face_centre.base() + above_centre) * cos - climb
    };
    let reach = s + window.ground_behind.base();
    let ground = -window.grass.base() - shape.rise_base(reach.max(0.0));
    Thresholds {
        whiff: tee + 2.0 * R - climb,
        topped: tee + 0.9 * R - climb,
        bladed: met(-window.bladed_below.base()),
        low: met(-window.low_below.base()),
        sky: met(window.sky_above.base()),
        ground,
        fat: ground.min(-window.grass.base() - window.fat_depth.base()),
    }
    .typed()
}

struct Thresholds {
    whiff: f64,
    topped: f64,
    bladed: f64,
    low: f64,
    sky: f64,
    ground: f64,
    fat: f64,
}

impl Thresholds {
    fn typed(self) -> TeedThresholds {
        TeedThresholds {
            whiff_above: Length::from_base(self.whiff),
            topped_above: Length::from_base(self.topped),
            bladed_above: Length::from_base(self.bladed),
            low_above: Length::from_base(self.low),
            sky_below: Length::from_base(self.sky),
            drop_kick_below: Length::from_base(self.ground),
            fat_below: Length::from_base(self.fat),
        }
    }
}
