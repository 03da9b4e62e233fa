//! What follows from the numbers that happen to be known: the arc, the strike, how the ball leaves.
//!
//! Takes any subset of [`Known`] numbers and what the club brings ([`ClubShape`]); gives a chain of
//! [`Step`]s, each naming the numbers it came from, and the arc and delivery that come out. A
//! number that was given is never worked out again; where others say something else about it, the
//! two stand beside each other in [`Followed::apart`], and nobody is told to be wrong.
//!
//! Invariants: every step names only numbers that have a step before it, except the shape of the
//! arc; what is given is taken as right, except marks in the turf, which are read to
//! [`MARK_ERROR`]; the same numbers give the same chain.
//! Does not know: why the club moved so, or what the knowledge says of it.

use super::arc::{self, Arc, Shape};
use super::consistency::{Measured, disagreements};
use super::impact::{Delivery, FaceShare, SHARE_ERROR};
use super::propagation::{agreed, propagate};
use super::slope::side_slope_push;
pub use super::step::{Apart, ClubShape, Followed, How, Known, Part, Step};
pub use super::usual_height::{
    at_clean_height, at_clean_height_off_tee, at_height_of, at_height_of_off_tee,
};
use super::{GeometryError, Input, named, within};
use crate::quantity::{Amount, Angle, Dimension, Estimate, Length, Ratio};

/// One standard deviation of where a mark or a brush starts, as read from the turf (elicited).
pub const MARK_ERROR: Length = Length::inches(0.25);
/// One standard deviation of the length of a mark (elicited): ball and turf bend its far half.
pub const LENGTH_ERROR: Length = Length::inches(1.0);
/// One standard deviation of a mark's depth as a share of it (elicited).
pub const DEPTH_ERROR: Ratio = Ratio::of_one(0.25);
/// One standard deviation of the radius between golfers with one club (fitted to common-practice
/// pairs of low point and attack).
pub const RADIUS_ERROR: Length = Length::metres(0.030);
/// One standard deviation of the plane between golfers with one club (elicited).
pub const PLANE_ERROR: Angle = Angle::degrees(2.0);
/// Depth of the arc under the turf at a heavy strike, with its spread (elicited).
pub const USUAL_CUT: (Length, Length) = (Length::millimetres(1.5), Length::millimetres(1.0));
/// A mark that starts less than this behind the ball is no heavy strike's.
const LEAST_ENTRY: Length = Length::inches(0.25);
/// Least attack from which the golfer's own arc is worked out.
const LEAST_ATTACK: Angle = Angle::degrees(1.0);

struct Chain {
    steps: Vec<Step>,
    apart: Vec<Apart>,
}

impl Chain {
    fn add(&mut self, part: Part, how: How, value: Estimate) -> Estimate {
        self.steps.push(Step { part, value, how });
        value
    }

    fn given(
        &mut self,
        part: Part,
        value: impl Into<Amount>,
        sd: f64,
    ) -> Result<Estimate, GeometryError> {
        let amount: Amount = value.into();
        let value = Estimate::from_base(amount.base(), sd, amount.dimension())?;
        Ok(self.add(part, How::Given, value))
    }

    fn hold_against(&mut self, one: Step, other: Step) {
        let distance = (one.value.mean() - other.value.mean()).abs();
        if distance > 1.96 * one.value.sd().hypot(other.value.sd()).max(1e-6) {
            self.apart.push(Apart { one, other });
        }
    }
}

fn exact(value: impl Into<Amount>) -> Estimate {
    Estimate::exact(value.into())
}

fn finite<T: Into<Amount> + Copy>(value: Option<T>, input: Input) -> Result<(), GeometryError> {
    value.map_or(Ok(()), |v| {
        let base = v.into().base();
        within(input, base, f64::MIN, f64::MAX).map(|_| ())
    })
}

/// Everything that follows.
///
/// # Errors
/// [`GeometryError`] for a number that is not finite or out of range, or numbers from which no arc
/// can come (a steeper attack than the plane allows, a place the arc does not reach).
///
/// ```
/// use swingwhy::geometry::follow::{ClubShape, Known, Part, follow};
/// use swingwhy::quantity::{Angle, Estimate, Length, Unit};
/// let iron = ClubShape {
///     radius: Length::metres(1.114),
///     plane: Angle::degrees(60.0),
///     static_loft: Angle::degrees(32.0),
///     loft_off: Estimate::new(-4.5, 2.0, Unit::Degree)?,
///     low_point: Estimate::new(2.5, 0.9, Unit::Inch)?,
///     grass: Length::millimetres(1.5),
/// };
/// let known = Known { low_point: Some(Length::inches(4.0)), ..Known::default() };
/// let attack = follow(&known, &iron)?.value(Part::Attack).map(|a| a.mean().to_degrees());
/// assert!((attack.unwrap_or(0.0) - -4.5302).abs() < 0.0005);
/// # Ok::<(), swingwhy::geometry::GeometryError>(())
/// ```
pub fn follow(known: &Known, club: &ClubShape) -> Result<Followed, GeometryError> {
    checked(known)?;
    let mut chain = Chain {
        steps: Vec::new(),
        apart: Vec::new(),
    };
    let (radius, plane) = shape(&mut chain, known, club)?;
    let low = low_point(&mut chain, known, radius, plane)?;
    let sided = known.face.is_some() || known.path.is_some() || known.swing_direction.is_some();
    let usual_arc = low.is_none() && (sided || known.dynamic_loft.is_some());
    let low_or_usual = match low {
        None if usual_arc => Some(chain.add(Part::LowPoint, How::Usual, club.low_point)),
        low => low,
    };
    let attack = match (known.attack, low_or_usual) {
        (Some(attack), _) if chain.steps.iter().any(|s| s.part == Part::Attack) => {
            Some(exact(attack))
        }
        (Some(attack), _) => Some(chain.given(Part::Attack, attack, 0.0)?),
        (None, Some(low)) => Some(chain.add(
            Part::Attack,
            How::From(&[Part::LowPoint, Part::Radius, Part::Plane]),
            named::attack_from_low_point(low, radius, plane)?,
        )),
        (None, None) => None,
    };
    let height = turf(&mut chain, known, club, low, radius, plane)?;
    directions(&mut chain, known, low_or_usual, radius, plane)?;
    let delivery = impact(&mut chain, known, club, attack)?;
    let (mut seen, mut slope_shifts) = (None, None);
    if let Some(low) = low {
        let shape = Shape::new(
            Length::try_from(radius.middle())?,
            Angle::try_from(plane.middle())?,
        )?;
        let level = Arc::of_shape(
            Length::try_from(low.middle())?,
            height.unwrap_or(Length::ZERO),
            shape,
        )?;
        seen = Some(level);
        if let Some((slope, share)) = known.slope {
            let on = level.on_slope(slope, share)?;
            seen = Some(on.arc);
            let loft = chain
                .steps
                .iter()
                .rev()
                .find(|s| s.part == Part::DynamicLoft)
                .map_or(club.static_loft, |s| Angle::radians(s.value.mean()));
            slope_shifts = Some((on.swing_direction_shift, side_slope_push(slope, loft)?));
        }
    }
    let mut given = Measured {
        attack: known.attack,
        dynamic_loft: known.dynamic_loft,
        face: known.face,
        path: known.path,
        swing_direction: known.swing_direction,
        low_point: known.low_point,
        divot_start: known.turf_entry.map(|e| -e),
        ..Measured::default()
    };
    given.plane = Some(Angle::try_from(plane.middle())?);
    Ok(Followed {
        steps: chain.steps,
        apart: chain.apart,
        disagreements: disagreements(&given),
        arc: seen,
        height_known: height.is_some(),
        delivery,
        slope_shifts,
    })
}

fn checked(known: &Known) -> Result<(), GeometryError> {
    let length = |value: Option<Length>, input, low, high| match value {
        Some(v) => super::length_within(input, v, low, high).map(|_| ()),
        None => Ok(()),
    };
    let angle = |value: Option<Angle>, input, low, high| match value {
        Some(v) => super::angle_within(input, v, low, high).map(|_| ()),
        None => Ok(()),
    };
    length(known.low_point, Input::LowPoint, -1.0, 1.0)?;
    length(known.turf_entry, Input::Start, -1.0, 1.0)?;
    length(known.brush, Input::Start, -1.0, 1.0)?;
    length(known.mark_length, Input::CutLength, 0.0, 1.0)?;
    length(known.mark_depth, Input::Depth, 0.0, 0.1)?;
    length(known.height, Input::Height, -0.1, 0.5)?;
    length(known.radius, Input::Radius, 0.3, 3.0)?;
    angle(known.attack, Input::Attack, -30.0, 30.0)?;
    angle(known.path, Input::Path, -45.0, 45.0)?;
    angle(known.swing_direction, Input::SwingDirection, -45.0, 45.0)?;
    angle(known.face, Input::Face, -45.0, 45.0)?;
    angle(known.dynamic_loft, Input::Loft, 0.0, 75.0)?;
    angle(known.static_loft, Input::Loft, 0.0, 75.0)?;
    angle(known.plane, Input::Plane, 30.0, 85.0)?;
    finite(known.slope.map(|(s, _)| s.along), Input::Slope)?;
    finite(known.slope.map(|(s, _)| s.across), Input::Slope)
}

/// Radius and plane: given, the golfer's own from low point and attack, or the club's.
fn shape(
    chain: &mut Chain,
    known: &Known,
    club: &ClubShape,
) -> Result<(Estimate, Estimate), GeometryError> {
    let plane = match known.plane {
        Some(plane) => chain.given(Part::Plane, plane, 0.0)?,
        None => chain.add(
            Part::Plane,
            How::OfClub,
            Estimate::from_base(club.plane.base(), PLANE_ERROR.base(), Dimension::Angle)?,
        ),
    };
    if let Some(radius) = known.radius {
        return Ok((chain.given(Part::Radius, radius, 0.0)?, plane));
    }
    if let (Some(low), Some(attack)) = (known.low_point, known.attack)
        && attack.abs() >= LEAST_ATTACK
        && let Ok(vertical) = arc::vertical_radius_from_pair(low, attack)
        && let Ok(own) = Shape::from_vertical_radius(vertical, Angle::try_from(plane.middle())?)
        && (0.3..=3.0).contains(&own.radius().base())
    {
        chain.given(Part::LowPoint, low, 0.0)?;
        chain.given(Part::Attack, attack, 0.0)?;
        let from = How::From(&[Part::LowPoint, Part::Attack]);
        chain.add(Part::VerticalRadius, from, exact(vertical));
        let radius = propagate([plane], Dimension::Length, |[plane]| {
            Ok(vertical.base() * plane.sin())
        })?;
        chain.add(
            Part::Radius,
            How::From(&[Part::VerticalRadius, Part::Plane]),
            radius,
        );
        // Radius and plane move together here; what hangs on both hangs on the pair alone.
        return Ok((exact(own.radius()), exact(own.plane())));
    }
    let radius = Estimate::from_base(club.radius.base(), RADIUS_ERROR.base(), Dimension::Length)?;
    Ok((chain.add(Part::Radius, How::OfClub, radius), plane))
}

/// The low point: given, or from attack, mark and brush, whichever there are, together.
fn low_point(
    chain: &mut Chain,
    known: &Known,
    radius: Estimate,
    plane: Estimate,
) -> Result<Option<Estimate>, GeometryError> {
    let mark =
        |value: Length, sd: Length| Estimate::from_base(value.base(), sd.base(), Dimension::Length);
    let mut ways: Vec<Step> = Vec::new();
    let mut way = |how, value| {
        ways.push(Step {
            part: Part::LowPoint,
            value,
            how,
        });
    };
    let stated = match known.low_point {
        Some(_) if chain.steps.iter().any(|s| s.part == Part::LowPoint) => chain
            .steps
            .iter()
            .find(|s| s.part == Part::LowPoint)
            .copied(),
        Some(low) => {
            chain.given(Part::LowPoint, low, 0.0)?;
            chain.steps.last().copied()
        }
        None => None,
    };
    if let (Some(attack), None) = (known.attack, stated) {
        let attack = chain.given(Part::Attack, attack, 0.0)?;
        way(
            How::From(&[Part::Attack, Part::Radius, Part::Plane]),
            named::low_point_from_attack(attack, radius, plane)?,
        );
    }
    if let Some(entry) = known.turf_entry {
        let entry = chain.given(Part::TurfEntry, entry, MARK_ERROR.base())?;
        if let Some(depth) = known.mark_depth {
            let depth = chain.given(Part::MarkDepth, depth, depth.base() * DEPTH_ERROR.base())?;
            way(
                How::From(&[Part::TurfEntry, Part::MarkDepth, Part::Radius, Part::Plane]),
                named::low_point_from_turf_entry(entry, depth, radius, plane)?,
            );
        } else if let Some(length) = known.mark_length {
            let length = chain.given(Part::MarkLength, length, LENGTH_ERROR.base())?;
            let start = Estimate::from_base(-entry.mean(), entry.sd(), Dimension::Length)?;
            way(
                How::From(&[Part::TurfEntry, Part::MarkLength]),
                named::low_point_from_start_and_length(start, length)?,
            );
        } else if stated.is_none()
            && known.attack.is_none()
            && known.brush.is_none()
            && entry.mean() > LEAST_ENTRY.base()
        {
            // A heavy strike of which nothing else is told has cut a thin strip of soil.
            let (depth, sd) = USUAL_CUT;
            let depth = Estimate::from_base(depth.base(), sd.base(), Dimension::Length)?;
            chain.add(Part::MarkDepth, How::Usual, depth);
            way(
                How::From(&[Part::TurfEntry, Part::MarkDepth, Part::Radius, Part::Plane]),
                named::low_point_from_turf_entry(entry, depth, radius, plane)?,
            );
        }
    }
    if let Some(brush) = known.brush {
        let start = mark(brush, MARK_ERROR)?;
        chain.add(Part::Brush, How::Given, start);
        way(
            How::From(&[Part::Brush, Part::Radius, Part::Plane]),
            named::low_point_from_brush(start, radius, plane)?,
        );
    }
    for (i, one) in ways.iter().enumerate() {
        if let Some(stated) = stated {
            chain.hold_against(stated, *one);
        } else {
            chain.steps.push(*one);
            for other in ways.iter().skip(i + 1) {
                chain.hold_against(*one, *other);
            }
        }
    }
    if let Some(stated) = stated {
        return Ok(Some(stated.value));
    }
    let values: Vec<Estimate> = ways.iter().map(|w| w.value).collect();
    Ok(match values.as_slice() {
        [] => None,
        [one] => Some(*one),
        several => Some(chain.add(Part::LowPoint, How::Together, agreed(several)?)),
    })
}

/// Depth, height, and what the arc leaves in the turf.
fn turf(
    chain: &mut Chain,
    known: &Known,
    club: &ClubShape,
    low: Option<Estimate>,
    radius: Estimate,
    plane: Estimate,
) -> Result<Option<Length>, GeometryError> {
    let grass = club.grass.base();
    let has = |chain: &Chain, part| chain.steps.iter().any(|s: &Step| s.part == part);
    let mark = |value: Length, sd: f64| Estimate::from_base(value.base(), sd, Dimension::Length);
    if let Some(depth) = known.mark_depth
        && !has(chain, Part::MarkDepth)
    {
        chain.add(
            Part::MarkDepth,
            How::Given,
            mark(depth, depth.base() * DEPTH_ERROR.base())?,
        );
    }
    if let Some(length) = known.mark_length
        && !has(chain, Part::MarkLength)
    {
        chain.add(
            Part::MarkLength,
            How::Given,
            mark(length, LENGTH_ERROR.base())?,
        );
    }
    let value = |chain: &Chain, part| {
        chain
            .steps
            .iter()
            .rev()
            .find(|s: &&Step| s.part == part)
            .map(|s| s.value)
    };
    let mut ways: Vec<Step> = Vec::new();
    let step = |how, value| Step {
        part: Part::MarkDepth,
        value,
        how,
    };
    if let Some(length) = value(chain, Part::MarkLength) {
        let depth = propagate(
            [length, radius, plane],
            Dimension::Length,
            |[length, r, p]| {
                arc::depth_from_length(
                    Length::from_base(length.max(0.0)),
                    Length::from_base(r),
                    Angle::from_base(p),
                )
                .map(Length::base)
            },
        )?;
        ways.push(step(
            How::From(&[Part::MarkLength, Part::Radius, Part::Plane]),
            depth,
        ));
    }
    if let (Some(entry), Some(low)) = (value(chain, Part::TurfEntry), low)
        && entry.mean() + low.mean() > 0.0
        && known.mark_length.is_none()
        && known.mark_depth.is_none()
    {
        let depth = propagate(
            [entry, low, radius, plane],
            Dimension::Length,
            |[entry, low, r, p]| {
                let shape = Shape::new(Length::from_base(r), Angle::from_base(p))?;
                Ok(shape.rise_base((entry + low).max(0.0)))
            },
        )?;
        let from = How::From(&[Part::TurfEntry, Part::LowPoint, Part::Radius, Part::Plane]);
        ways.push(step(from, depth));
    }
    let height = if let Some(height) = known.height {
        chain.given(Part::Height, height, 0.0)?;
        let depth = -height.base() - grass;
        let own = step(
            How::From(&[Part::Height]),
            mark(Length::from_base(depth.max(0.0)), 0.0)?,
        );
        if let Some(stated) = chain
            .steps
            .iter()
            .rev()
            .find(|s| s.part == Part::MarkDepth)
            .copied()
        {
            chain.hold_against(stated, own);
        } else if depth > 0.0 {
            chain.steps.push(own);
        }
        for way in &ways {
            chain.hold_against(own, *way);
        }
        Some(height.base())
    } else if let Some(stated) = chain
        .steps
        .iter()
        .rev()
        .find(|s| s.part == Part::MarkDepth)
        .copied()
    {
        for way in &ways {
            chain.hold_against(stated, *way);
        }
        Some(-stated.value.mean() - grass)
    } else if let Some(way) = ways.first() {
        chain.steps.push(*way);
        Some(-way.value.mean() - grass)
    } else {
        None
    };
    let Some(height) = height else {
        return Ok(None);
    };
    if known.height.is_none()
        && let Some(depth) = value(chain, Part::MarkDepth)
    {
        let bottom = Estimate::from_base(height, depth.sd(), Dimension::Length)?;
        chain.add(Part::Height, How::From(&[Part::MarkDepth]), bottom);
    }
    if let (Some(depth), Some(low)) = (value(chain, Part::MarkDepth), low)
        && depth.mean() > 0.0
    {
        if !has(chain, Part::TurfEntry) {
            let entry = named::turf_entry(low, depth, radius, plane)?;
            let from = How::From(&[Part::LowPoint, Part::MarkDepth, Part::Radius, Part::Plane]);
            chain.add(Part::TurfEntry, from, entry);
        }
        let half = |[depth, r, p]: [f64; 3]| {
            let shape = Shape::new(Length::from_base(r), Angle::from_base(p))?;
            Ok((shape, shape.half_cut_base(depth.max(0.0))))
        };
        let from = How::From(&[Part::MarkDepth, Part::Radius, Part::Plane]);
        if !has(chain, Part::MarkLength) {
            let length = propagate([depth, radius, plane], Dimension::Length, |x| {
                half(x).map(|(_, half)| 2.0 * half)
            })?;
            chain.add(Part::MarkLength, from, length);
        }
        let entry = propagate([depth, radius, plane], Dimension::Angle, |x| {
            half(x).map(|(shape, half)| shape.slope_base(-half).atan())
        })?;
        chain.add(Part::EntryAngle, from, entry);
    }
    Ok(Some(Length::from_base(height)))
}

/// Path and swing direction from each other.
fn directions(
    chain: &mut Chain,
    known: &Known,
    low: Option<Estimate>,
    radius: Estimate,
    plane: Estimate,
) -> Result<(), GeometryError> {
    let shift = match low {
        Some(low) => Some(chain.add(
            Part::PathShift,
            How::From(&[Part::LowPoint, Part::Radius, Part::Plane]),
            named::path_shift_from_low_point(low, radius, plane)?,
        )),
        None => None,
    };
    match (known.path, known.swing_direction, shift) {
        (Some(path), Some(direction), _) => {
            chain.given(Part::Path, path, 0.0)?;
            chain.given(Part::SwingDirection, direction, 0.0)?;
        }
        (Some(path), None, shift) => {
            let path = chain.given(Part::Path, path, 0.0)?;
            if let Some(shift) = shift {
                chain.add(
                    Part::SwingDirection,
                    How::From(&[Part::Path, Part::PathShift]),
                    named::swing_direction(path, shift)?,
                );
            }
        }
        (None, Some(direction), shift) => {
            let direction = chain.given(Part::SwingDirection, direction, 0.0)?;
            if let Some(shift) = shift {
                chain.add(
                    Part::Path,
                    How::From(&[Part::SwingDirection, Part::PathShift]),
                    named::club_path(direction, shift)?,
                );
            }
        }
        (None, None, _) => {}
    }
    Ok(())
}

/// Loft, launch, and with face and path the start and the axis.
fn impact(
    chain: &mut Chain,
    known: &Known,
    club: &ClubShape,
    attack: Option<Estimate>,
) -> Result<Option<Delivery>, GeometryError> {
    let fixed = match known.static_loft {
        Some(loft) => chain.given(Part::StaticLoft, loft, 0.0)?,
        None => chain.add(Part::StaticLoft, How::OfClub, exact(club.static_loft)),
    };
    let loft = if let Some(loft) = known.dynamic_loft {
        let loft = chain.given(Part::DynamicLoft, loft, 0.0)?;
        chain.add(
            Part::HandleLean,
            How::From(&[Part::StaticLoft, Part::DynamicLoft]),
            named::handle_lean_from_loft(fixed, loft)?,
        );
        loft
    } else {
        let usual = named::plus(fixed, club.loft_off)?;
        chain.add(Part::DynamicLoft, How::Usual, usual)
    };
    let face = match known.face {
        Some(face) => Some(chain.given(Part::Face, face, 0.0)?),
        None => None,
    };
    let path = chain
        .steps
        .iter()
        .rev()
        .find(|s| s.part == Part::Path)
        .map(|s| s.value);
    let both = face.zip(path);
    if let Some((face, path)) = both {
        let from = How::From(&[Part::Face, Part::Path]);
        chain.add(Part::FaceToPath, from, named::face_to_path(face, path)?);
    }
    let Some(attack) = attack else {
        return Ok(None);
    };
    let Some((face, path)) = both else {
        let from = How::From(&[Part::DynamicLoft, Part::Attack]);
        chain.add(Part::SpinLoft, from, named::spin_loft(loft, attack)?);
        chain.add(Part::Launch, from, named::launch_angle(loft, attack)?);
        return Ok(None);
    };
    let all = How::From(&[Part::Face, Part::Path, Part::DynamicLoft, Part::Attack]);
    let delivery = |[face, path, loft, attack]: [f64; 4]| Delivery {
        face: Angle::from_base(face),
        path: Angle::from_base(path),
        dynamic_loft: Angle::from_base(loft),
        attack: Angle::from_base(attack),
    };
    let leaving = |x: [f64; 5]| {
        let [face, path, loft, attack, off] = x;
        let delivery = delivery([face, path, loft, attack]);
        let fitted = FaceShare::Fitted.at(delivery.spin_loft()?)?.base();
        delivery.departure(FaceShare::Constant(Ratio::of_one(
            (fitted + off).clamp(0.0, 1.0),
        )))
    };
    let share = Estimate::from_base(0.0, SHARE_ERROR.base(), Dimension::Ratio)?;
    let inputs = [face, path, loft, attack, share];
    let spin_loft = propagate([face, path, loft, attack], Dimension::Angle, |x| {
        delivery(x).spin_loft().map(Angle::base)
    })?;
    chain.add(Part::SpinLoft, all, spin_loft);
    chain.add(
        Part::Launch,
        all,
        propagate(inputs, Dimension::Angle, |x| Ok(leaving(x)?.launch.base()))?,
    );
    chain.add(
        Part::Start,
        all,
        propagate(inputs, Dimension::Angle, |x| Ok(leaving(x)?.start.base()))?,
    );
    chain.add(
        Part::AxisTilt,
        all,
        propagate(inputs, Dimension::Angle, |x| {
            Ok(leaving(x)?.axis_tilt.base())
        })?,
    );
    Ok(Some(delivery([
        face.mean(),
        path.mean(),
        loft.mean(),
        attack.mean(),
    ])))
}
