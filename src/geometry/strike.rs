//! The strike from turf: whether an arc misses, tops, thins, strikes cleanly or hits the ground
//! first, and by how much it could move before that changes.
//!
//! One edge on the arc is sole and leading edge at once; the face is a straight line rising from
//! it at the dynamic loft; the ball rests on the turf. Takes an [`Arc`] and a [`StrikeWindow`]
//! (thresholds that knowledge passes in), gives the class and the numbers behind it.
//!
//! Invariants: for a given low point each class is an interval of heights, whose ends
//! [`height_thresholds`] gives in closed form (to rounding); [`strike`] and the thresholds agree.
//! Does not know: a club that bounces off or is slowed by the ground; a ball on a tee is in
//! [`super::teed`]. Whiff and topped take the edge's way as level across the ball, which is off by
//! less than 0.25 mm for attacks within 8 degrees.

use super::arc::{Arc, Shape};
use super::normal;
use super::{BALL_RADIUS, GeometryError, Input, angle_within, length_within};
use crate::quantity::{Angle, Dimension, Estimate, Length};

const R: f64 = BALL_RADIUS.base();

/// What counts as clean, thin, heavy and fat. All are choices, not measurements.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrikeWindow {
    /// Dynamic loft at contact, 0 to 75 degrees.
    pub loft: Angle,
    /// How far the leading edge sits above the lowest point of the sole, 0 to 15 mm. Lowers every
    /// height limit.
    pub leading_edge: Length,
    /// Contact at least this far up the face counts as clean, 0 to 25 mm.
    pub clean_contact: Length,
    /// Grass brushed less deep than this costs nothing, 0 to 50 mm.
    pub grass: Length,
    /// A turf cut before contact up to this long is clean, 0 to 200 mm.
    pub heavy_cut: Length,
    /// A cut longer than this is fat, `heavy_cut` to 300 mm.
    pub fat_cut: Length,
}

impl StrikeWindow {
    /// The mid iron of the reference: 28 degrees, edge on the sole, contact 8 mm up the face,
    /// 1.5 mm of grass, a quarter of an inch and an inch of turf (common practice).
    pub const MID_IRON: Self = Self {
        loft: Angle::degrees(28.0),
        leading_edge: Length::ZERO,
        clean_contact: Length::millimetres(8.0),
        grass: Length::millimetres(1.5),
        heavy_cut: Length::millimetres(6.0),
        fat_cut: Length::millimetres(25.4),
    };

    /// The window, if every number is in its range.
    ///
    /// # Errors
    /// [`GeometryError::NotFinite`] or [`GeometryError::OutOfRange`].
    pub fn checked(self) -> Result<Self, GeometryError> {
        angle_within(Input::Loft, self.loft, 0.0, 75.0)?;
        length_within(Input::Window, self.leading_edge, 0.0, 0.015)?;
        length_within(Input::Window, self.clean_contact, 0.0, 0.025)?;
        length_within(Input::Grass, self.grass, 0.0, 0.05)?;
        length_within(Input::Window, self.heavy_cut, 0.0, 0.2)?;
        length_within(Input::Window, self.fat_cut, self.heavy_cut.base(), 0.3)?;
        Ok(self)
    }

    /// The same window at another dynamic loft.
    #[must_use]
    pub const fn with_loft(self, loft: Angle) -> Self {
        Self { loft, ..self }
    }

    /// Where the edge is when the face meets the ball, if the edge is at turf level: behind the
    /// ball, so negative. -12.82 mm at 28 degrees.
    pub fn contact_at_turf_level(self) -> Length {
        Length::from_base(self.lofted().contact)
    }

    /// Edge height above which the edge itself meets the ball: r (1 - sin L), 11.32 mm at 28.
    pub fn bladed_limit(self) -> Length {
        Length::from_base(self.lofted().bladed)
    }

    /// Edge height above which contact is too low on the face to be clean; 4.26 mm at 28 degrees
    /// with 8 mm of contact.
    pub fn clean_limit(self) -> Length {
        Length::from_base(self.lofted().clean)
    }

    pub(crate) fn lofted(self) -> Lofted {
        let (sin, cos) = self.loft.base().sin_cos();
        let bladed = R * (1.0 - sin);
        Lofted {
            tan: sin / cos,
            // tan(45 deg - L/2) = cos L / (1 + sin L)
            contact: -R * cos / (1.0 + sin),
            bladed,
            clean: bladed - self.clean_contact.base() * cos,
            cos,
        }
    }
}

/// What the dynamic loft fixes, in metres.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lofted {
    tan: f64,
    cos: f64,
    contact: f64,
    bladed: f64,
    clean: f64,
}

/// What happened between club, ball and turf.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StrikeClass {
    /// The club passes over the ball.
    Whiff,
    /// The edge meets the ball above its middle.
    Topped,
    /// Contact too low on the face.
    Thin,
    /// Ball first, or within the grass, high enough on the face.
    Clean,
    /// A little turf before the ball.
    SlightlyHeavy,
    /// Much turf before the ball.
    Fat,
}

impl StrikeClass {
    /// Every class, from the highest arc to the lowest.
    pub const ALL: [Self; 6] = [
        Self::Whiff,
        Self::Topped,
        Self::Thin,
        Self::Clean,
        Self::SlightlyHeavy,
        Self::Fat,
    ];
}

/// A strike with the numbers behind its class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strike {
    /// The class.
    pub class: StrikeClass,
    /// Thin, and so high that the edge itself meets the ball.
    pub bladed: bool,
    /// The low point comes before contact: the edge is on its way up.
    pub rising: bool,
    /// Ground first, then up into the ball.
    pub turf_then_rising: bool,
    /// How far up the face the ball is met; negative when the edge meets it.
    pub contact_up_face: Length,
    /// Height of the edge above the turf at contact.
    pub edge_height: Length,
    /// Where the edge is at contact, ahead of the ball +.
    pub edge_ahead: Length,
    /// Turf cut before contact, along the base line.
    pub turf_before: Length,
}

/// The strike of this arc.
///
/// # Errors
/// A window out of range.
pub fn strike(arc: Arc, window: StrikeWindow) -> Result<Strike, GeometryError> {
    let window = window.checked()?;
    let lofted = window.lofted();
    let (s, h, shape) = (arc.low_point().base(), arc.height().base(), arc.shape());
    let edge = h + window.leading_edge.base();
    let rise = |x: f64| shape.rise_base(x - s);
    let mut x = lofted.contact;
    for _ in 0..40 {
        let next = lofted.contact - (edge + rise(x)) * lofted.tan;
        let settled = (next - x).abs() < 1e-12;
        x = next;
        if settled {
            break;
        }
    }
    let at_contact = edge + rise(x);
    let half = shape.half_cut_base(-h - window.grass.base());
    let turf = if half > 0.0 {
        (x.min(s + half) - (s - half)).max(0.0)
    } else {
        0.0
    };
    let class = if edge + rise(0.0) > 2.0 * R {
        StrikeClass::Whiff
    } else if edge + rise(-R) > R {
        StrikeClass::Topped
    } else if turf > window.fat_cut.base() {
        StrikeClass::Fat
    } else if turf > window.heavy_cut.base() {
        StrikeClass::SlightlyHeavy
    } else if at_contact > lofted.clean {
        StrikeClass::Thin
    } else {
        StrikeClass::Clean
    };
    Ok(Strike {
        class,
        bladed: class == StrikeClass::Thin && at_contact > lofted.bladed,
        rising: s < x,
        turf_then_rising: turf > 0.0 && at_contact > 0.0,
        contact_up_face: Length::from_base((lofted.bladed - at_contact) / lofted.cos),
        edge_height: Length::from_base(at_contact),
        edge_ahead: Length::from_base(x),
        turf_before: Length::from_base(turf),
    })
}

/// For one low point, the heights of the arc's bottom at which one class gives way to the next.
///
/// Read in this order: above `whiff_above` whiff, above `topped_above` topped, below `fat_below`
/// fat, below `heavy_below` slightly heavy, above `thin_above` thin (above `bladed_above` bladed),
/// else clean. With the low point behind the ball `heavy_below` can lie above `thin_above`: then
/// no height is clean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightThresholds {
    /// Above this the ball is missed.
    pub whiff_above: Length,
    /// Above this it is topped.
    pub topped_above: Length,
    /// Above this a thin strike is bladed.
    pub bladed_above: Length,
    /// Above this the strike is thin.
    pub thin_above: Length,
    /// Below this the strike is slightly heavy.
    pub heavy_below: Length,
    /// Below this it is fat.
    pub fat_below: Length,
}

impl HeightThresholds {
    /// The class at this height of the arc's bottom.
    pub fn class(self, height: Length) -> StrikeClass {
        if height > self.whiff_above {
            StrikeClass::Whiff
        } else if height > self.topped_above {
            StrikeClass::Topped
        } else if height < self.fat_below {
            StrikeClass::Fat
        } else if height < self.heavy_below {
            StrikeClass::SlightlyHeavy
        } else if height > self.thin_above {
            StrikeClass::Thin
        } else {
            StrikeClass::Clean
        }
    }

    /// The heights that are clean, low to high; `None` if none is.
    pub fn clean(self) -> Option<(Length, Length)> {
        let low = if self.heavy_below > self.fat_below {
            self.heavy_below
        } else {
            self.fat_below
        };
        let mut high = self.thin_above;
        for limit in [self.topped_above, self.whiff_above] {
            if limit < high {
                high = limit;
            }
        }
        (low <= high).then_some((low, high))
    }
}

/// The heights between classes for a low point `low_point` ahead of the ball.
///
/// Cheap enough for the inner loop of a simulation: some square roots, no search. The turf cut
/// before contact only grows as the arc sinks, so "cut longer than b" is "height below a limit":
/// where the cut ends before contact its length 2l decides, else `x_k - (s - l)` does, which is
/// solved for the entry point as a parabola and then corrected on the circle.
///
/// # Errors
/// A window out of range, or [`GeometryError::NotFinite`].
pub fn height_thresholds(
    low_point: Length,
    shape: Shape,
    window: StrikeWindow,
) -> Result<HeightThresholds, GeometryError> {
    length_within(Input::LowPoint, low_point, -10.0, 10.0)?;
    let window = window.checked()?;
    Ok(thresholds(
        low_point.base(),
        shape,
        &window,
        &window.lofted(),
    ))
}

/// [`height_thresholds`] for a window already checked and its loft already worked out.
pub(crate) fn thresholds(
    s: f64,
    shape: Shape,
    window: &StrikeWindow,
    lofted: &Lofted,
) -> HeightThresholds {
    let e = window.leading_edge.base();
    let at = |edge: f64| edge - e - shape.rise_base(lofted.contact - edge * lofted.tan - s);
    HeightThresholds {
        whiff_above: Length::from_base(2.0 * R - e - shape.rise_base(s)),
        topped_above: Length::from_base(R - e - shape.rise_base(-R - s)),
        bladed_above: Length::from_base(at(lofted.bladed)),
        thin_above: Length::from_base(at(lofted.clean)),
        heavy_below: cut_longer_than(window.heavy_cut.base(), s, shape, window, lofted),
        fat_below: cut_longer_than(window.fat_cut.base(), s, shape, window, lofted),
    }
}

/// The height below which more than `cut` metres of turf are cut before contact.
fn cut_longer_than(
    cut: f64,
    s: f64,
    shape: Shape,
    window: &StrikeWindow,
    lofted: &Lofted,
) -> Length {
    let (e, g) = (window.leading_edge.base(), window.grass.base());
    let whole = shape.rise_base(0.5 * cut);
    // Entry at s + u with u <= 0, contact at s + u + cut.
    let start = lofted.contact - cut - s;
    let bend = cut * shape.curvature_base();
    let pull = (1.0 + lofted.tan * bend).recip();
    let mut u = (start - lofted.tan * (e - g + 0.5 * cut * bend)) * pull;
    let climb = shape.rise_base(u + cut) - shape.rise_base(u);
    u += (start - lofted.tan * (e - g + climb) - u) * pull;
    let entry = shape.rise_base(u.min(0.0));
    Length::from_base(-g - whole.max(entry))
}

/// How far from its limits a strike is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margins {
    /// Heights of the arc's bottom that are clean with this low point, low to high.
    pub clean_heights: Option<(Length, Length)>,
    /// How far the low point may move back (away from the target) before the strike is not clean,
    /// and what it turns into. `None` for a strike that is not clean, or no limit within the reach.
    pub back: Option<(Length, StrikeClass)>,
    /// How far it may move forward.
    pub forward: Option<(Length, StrikeClass)>,
}

/// How far the search for a margin goes.
const FARTHEST: f64 = 0.4;

/// The margins of this arc's strike, to a hundredth of a millimetre, searched 400 mm either way.
///
/// # Errors
/// A window out of range.
pub fn strike_margins(arc: Arc, window: StrikeWindow) -> Result<Margins, GeometryError> {
    let window = window.checked()?;
    let lofted = window.lofted();
    let limits = |s: f64| thresholds(s, arc.shape(), &window, &lofted);
    let class = |s: f64| limits(s).class(arc.height());
    let here = arc.low_point().base();
    let search = |direction: f64| {
        if class(here) != StrikeClass::Clean {
            return None;
        }
        let step = 0.001;
        let mut inside = 0.0;
        while inside < FARTHEST {
            let outside = inside + step;
            if class(here + direction * outside) == StrikeClass::Clean {
                inside = outside;
                continue;
            }
            let (mut a, mut b) = (inside, outside);
            while b - a > 1e-6 {
                let middle = 0.5 * (a + b);
                if class(here + direction * middle) == StrikeClass::Clean {
                    a = middle;
                } else {
                    b = middle;
                }
            }
            return Some((Length::from_base(a), class(here + direction * b)));
        }
        None
    };
    Ok(Margins {
        clean_heights: limits(here).clean(),
        back: search(-1.0),
        forward: search(1.0),
    })
}

/// The low points, back to forward, that give this class at this height of the arc's bottom,
/// within 250 mm of the ball; `None` if there are none. Where there are several stretches, from
/// the first to the last.
///
/// # Errors
/// A window or height out of range.
pub fn low_points_of_class(
    class: StrikeClass,
    height: Length,
    shape: Shape,
    window: StrikeWindow,
) -> Result<Option<(Length, Length)>, GeometryError> {
    length_within(Input::Height, height, -1.0, 2.0)?;
    let window = window.checked()?;
    let lofted = window.lofted();
    let hits = (-250..=250)
        .map(|mm| f64::from(mm) / 1000.0)
        .filter(|s| thresholds(*s, shape, &window, &lofted).class(height) == class);
    let (mut first, mut last) = (None, None);
    for s in hits {
        first = first.or(Some(s));
        last = Some(s);
    }
    Ok(first
        .zip(last)
        .map(|(a, b)| (Length::from_base(a), Length::from_base(b))))
}

/// Low point from where the cut starts, how deep it is, and what the strike was.
///
/// The divot's curve is cut off at the low points that give such a strike at that depth. The
/// share of the curve that was cut away says how badly the two disagree: the result moves back
/// towards the divot by half that share and widens by that share of the distance between them.
/// So agreement gives a narrower result than the divot alone, and disagreement a wider one.
///
/// # Errors
/// A dimension or range error. A class that this depth cannot give leaves the divot's estimate
/// with its error doubled.
pub fn low_point_from_strike_and_turf(
    class: StrikeClass,
    start_ahead: Estimate,
    depth: Estimate,
    shape: Shape,
    window: StrikeWindow,
) -> Result<Estimate, GeometryError> {
    let exactly = |value: f64, dimension| Estimate::from_base(value, 0.0, dimension);
    let turf = super::named::low_point_from_divot_start(
        start_ahead,
        depth,
        exactly(shape.radius().base(), Dimension::Length)?,
        exactly(shape.plane().base(), Dimension::Angle)?,
    )?;
    let height = Length::from_base(-depth.mean());
    let (mean, sd) = (turf.mean(), turf.sd().max(1e-6));
    let Some((low, high)) = low_points_of_class(class, height, shape, window)? else {
        return Ok(Estimate::from_base(mean, 2.0 * sd, Dimension::Length)?);
    };
    let (a, b) = ((low.base() - mean) / sd, (high.base() - mean) / sd);
    let mass = (normal::below(b) - normal::below(a)).clamp(0.0, 1.0);
    let (shift, narrowed) = if mass < 1e-9 {
        (if a > 0.0 { a } else { b }, 0.0)
    } else {
        let (at_a, at_b) = (normal::density(a), normal::density(b));
        let shift = (at_a - at_b) / mass;
        (
            shift,
            (1.0 + (a * at_a - b * at_b) / mass - shift * shift).max(0.0),
        )
    };
    let cut_away = 1.0 - mass;
    Ok(Estimate::from_base(
        mean + sd * shift * (1.0 - 0.5 * cut_away),
        sd * (narrowed + (cut_away * shift).powi(2)).sqrt(),
        Dimension::Length,
    )?)
}
