//! The numbers that may be known of a swing, and the chain of steps that follows from them.
//!
//! Only the shapes: what was given ([`Known`]), what the club brings ([`ClubShape`]), and what comes
//! out ([`Followed`]). How one follows from another stands in [`follow`](super::follow).

use super::arc::Arc;
use super::consistency::Disagreement;
use super::impact::Delivery;
use super::slope::Slope;
use crate::quantity::{Angle, Estimate, Length, Ratio};

/// A number of the chain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// Radius of the arc in its plane.
    Radius,
    /// Inclination of the plane to the ground.
    Plane,
    /// Radius over the sine of the plane.
    VerticalRadius,
    /// Low point ahead of the ball.
    LowPoint,
    /// Attack angle, up +.
    Attack,
    /// How far behind the ball the turf is entered.
    TurfEntry,
    /// Length of the mark.
    MarkLength,
    /// Depth of the mark below the grass.
    MarkDepth,
    /// Where a practice swing starts to brush the ground, ahead +.
    Brush,
    /// Height of the arc's lowest point above the turf.
    Height,
    /// Angle of the club's way to the ground where it enters the turf.
    EntryAngle,
    /// Club path, push side +.
    Path,
    /// Where the base line of the plane points, push side +.
    SwingDirection,
    /// Club path less swing direction.
    PathShift,
    /// Face angle, push side +.
    Face,
    /// Face less path.
    FaceToPath,
    /// Loft on the club.
    StaticLoft,
    /// Loft at impact.
    DynamicLoft,
    /// Lean of the handle to the target.
    HandleLean,
    /// Angle between the club's direction and the face's normal.
    SpinLoft,
    /// Launch angle.
    Launch,
    /// Start direction, push side +.
    Start,
    /// Tilt of the spin axis, curves to the push side +.
    AxisTilt,
}

/// Where a number of the chain comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// It was given.
    Given,
    /// The club has it.
    OfClub,
    /// What is usual with this club, for want of anything better.
    Usual,
    /// It follows from these.
    From(&'static [Part]),
    /// Several ways to it agree on this.
    Together,
}

/// A number with its origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Which.
    pub part: Part,
    /// Its value with its error.
    pub value: Estimate,
    /// Where it comes from.
    pub how: How,
}

/// Two ways to one number that do not meet within their errors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// One.
    pub one: Step,
    /// The other.
    pub other: Step,
}

/// What is known; any subset.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Known {
    /// Low point ahead of the ball.
    pub low_point: Option<Length>,
    /// Attack angle, up +.
    pub attack: Option<Angle>,
    /// How far behind the ball the turf is entered.
    pub turf_entry: Option<Length>,
    /// Length of the mark.
    pub mark_length: Option<Length>,
    /// Depth of the mark.
    pub mark_depth: Option<Length>,
    /// Where a practice swing starts to brush the ground, ahead +.
    pub brush: Option<Length>,
    /// Height of the arc's lowest point above the turf.
    pub height: Option<Length>,
    /// Club path, push side +.
    pub path: Option<Angle>,
    /// Direction of the plane's base line, push side +.
    pub swing_direction: Option<Angle>,
    /// Face angle, push side +.
    pub face: Option<Angle>,
    /// Loft at impact.
    pub dynamic_loft: Option<Angle>,
    /// Loft on the club.
    pub static_loft: Option<Angle>,
    /// Inclination of the plane.
    pub plane: Option<Angle>,
    /// Radius in the plane.
    pub radius: Option<Length>,
    /// How the ground lies, and how much of it the swing follows (0 to 1).
    pub slope: Option<(Slope, Ratio)>,
}

impl Known {
    /// True if nothing at all about this swing is known (the club and the ground do not count).
    pub const fn is_empty(&self) -> bool {
        self.low_point.is_none()
            && self.attack.is_none()
            && self.turf_entry.is_none()
            && self.mark_length.is_none()
            && self.mark_depth.is_none()
            && self.brush.is_none()
            && self.height.is_none()
            && self.path.is_none()
            && self.swing_direction.is_none()
            && self.face.is_none()
            && self.dynamic_loft.is_none()
    }
}

/// What the club brings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClubShape {
    /// Radius of the usual arc.
    pub radius: Length,
    /// Its plane.
    pub plane: Angle,
    /// Loft on the club.
    pub static_loft: Angle,
    /// Usual loft at impact less loft on the club, with its spread between golfers.
    pub loft_off: Estimate,
    /// Usual low point, with its spread between golfers.
    pub low_point: Estimate,
    /// Grass brushed less deep than this costs nothing.
    pub grass: Length,
}

/// What came out.
#[derive(Debug, Clone, PartialEq)]
pub struct Followed {
    /// Every number, in the order of reasoning.
    pub steps: Vec<Step>,
    /// Two ways to one number that do not meet.
    pub apart: Vec<Apart>,
    /// Given numbers that do not go together.
    pub disagreements: Vec<Disagreement>,
    /// The arc as the turf sees it, if something is known of its place; at turf level if its
    /// height is not known.
    pub arc: Option<Arc>,
    /// True if the arc's height is known.
    pub height_known: bool,
    /// How the club meets the ball, if face and path are known.
    pub delivery: Option<Delivery>,
    /// How far sloping ground turns the base line, and the start.
    pub slope_shifts: Option<(Angle, Angle)>,
}

impl Followed {
    /// The last step of this part.
    pub fn step(&self, part: Part) -> Option<&Step> {
        self.steps.iter().rev().find(|s| s.part == part)
    }

    /// Its value.
    pub fn value(&self, part: Part) -> Option<Estimate> {
        self.step(part).map(|s| s.value)
    }
}
