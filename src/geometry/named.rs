//! The functions that rules may call by name, each on estimates.
//!
//! Names, inputs and outputs are part of the knowledge file format. A rule gives facts with their
//! errors; the answer carries the error that follows from them ([`super::propagation`]), and where
//! the formula itself is uncertain (share of the face, depth of a brush) that too.
//!
//! Takes the lists of [`NamedFunction::inputs`] in order; `minus`, `plus` and `mean` exist once for
//! each dimension. Invariant: a name and a list of dimensions name at most one function.
//! Does not know: which fact a rule puts in; an angle is an angle.

use super::arc;
use super::ball_data;
use super::impact::{self, FaceShare};
use super::propagation::{agreed, propagate};
use super::{GeometryError, Input};
use crate::quantity::{Angle, Dimension, Estimate, Length, QuantityError, Ratio, Speed, Spin};

/// A function a rule can call.
#[derive(Debug, Clone, Copy)]
pub struct NamedFunction {
    /// Its name in knowledge files.
    pub name: &'static str,
    /// What it takes, in order.
    pub inputs: &'static [Dimension],
    /// What it gives.
    pub output: Dimension,
    /// The computation.
    pub apply: fn(&[Estimate]) -> Result<Estimate, GeometryError>,
}

/// Every function there is, in a fixed order.
pub fn named_functions() -> &'static [NamedFunction] {
    TABLE
}

/// The function with this name for inputs of these dimensions.
pub fn named_function(name: &str, inputs: &[Dimension]) -> Option<&'static NamedFunction> {
    TABLE.iter().find(|f| f.name == name && f.inputs == inputs)
}

macro_rules! named {
    ($(
        $(#[$doc:meta])*
        $name:ident ( $($input:ident : $kind:ident),+ $(; $hidden:ident : $hidden_kind:ident = $hidden_value:expr)? )
            -> $output:ident = $compute:expr;
    )+) => {
        $(
            $(#[$doc])*
            ///
            /// # Errors
            /// A dimension error, or that of the computation.
            pub fn $name($($input: Estimate),+) -> Result<Estimate, GeometryError> {
                $( let $input = of_kind($input, Dimension::$kind)?; )+
                propagate(
                    [$($input,)+ $($hidden_value)?],
                    Dimension::$output,
                    |[$($input,)+ $($hidden)?]| {
                        $( let $input = $kind::from_base($input); )+
                        $( let $hidden = $hidden_kind::from_base($hidden); )?
                        let value: Result<$output, GeometryError> = $compute;
                        value.map($output::base)
                    },
                )
            }
        )+

        const COMPUTED: &[NamedFunction] = &[$(
            NamedFunction {
                name: stringify!($name),
                inputs: &[$(Dimension::$kind),+],
                output: Dimension::$output,
                apply: |arguments| match *arguments {
                    [$($input),+] => $name($($input),+),
                    _ => Err(GeometryError::TooFew {
                        got: arguments.len(),
                        wanted: [$(Dimension::$kind),+].len(),
                    }),
                },
            },
        )+];
    };
}

named! {
    /// `attack_from_low_point(low_point, radius, plane)`: attack angle, up +.
    attack_from_low_point(low_point: Length, radius: Length, plane: Angle) -> Angle =
        arc::Shape::new(radius, plane)?.attack(low_point);

    /// `low_point_from_attack(attack, radius, plane)`: low point ahead of the ball.
    low_point_from_attack(attack: Angle, radius: Length, plane: Angle) -> Length =
        arc::low_point_from_attack(attack, radius, plane);

    /// `path_shift_from_low_point(low_point, radius, plane)`: club path less swing direction.
    path_shift_from_low_point(low_point: Length, radius: Length, plane: Angle) -> Angle =
        arc::Shape::new(radius, plane)?.path_shift(low_point);

    /// `path_shift_from_attack(attack, plane)`: club path less swing direction.
    path_shift_from_attack(attack: Angle, plane: Angle) -> Angle =
        arc::path_shift_from_attack(attack, plane);

    /// `club_path(swing_direction, path_shift)`: their sum.
    club_path(swing_direction: Angle, path_shift: Angle) -> Angle =
        Ok(swing_direction + path_shift);

    /// `swing_direction(path, path_shift)`: where the base line of the plane points.
    swing_direction(path: Angle, path_shift: Angle) -> Angle = Ok(path - path_shift);

    /// `low_point_from_divot_start(start_ahead, depth, radius, plane)`: low point ahead of the
    /// ball from where the divot starts (ahead +) and how deep it is.
    low_point_from_divot_start(
        start_ahead: Length, depth: Length, radius: Length, plane: Angle
    ) -> Length = arc::low_point_from_start_and_depth(
        start_ahead, not_above_turf(depth), radius, plane);

    /// `low_point_from_turf_entry(entry_behind, depth, radius, plane)`: the same from the house's
    /// turf entry, a distance behind the ball.
    low_point_from_turf_entry(
        entry_behind: Length, depth: Length, radius: Length, plane: Angle
    ) -> Length = arc::low_point_from_start_and_depth(
        -entry_behind, not_above_turf(depth), radius, plane);

    /// `low_point_from_start_and_length(start_ahead, length)`: middle of the divot.
    low_point_from_start_and_length(start_ahead: Length, length: Length) -> Length =
        arc::low_point_from_start_and_length(start_ahead, not_above_turf(length));

    /// `depth_from_start_and_length(start_ahead, length, radius, plane)`: depth of the cut; where
    /// it starts does not matter.
    depth_from_start_and_length(
        start_ahead: Length, length: Length, radius: Length, plane: Angle
    ) -> Length = {
        super::length_within(Input::Start, start_ahead, -3.0, 3.0)?;
        arc::depth_from_length(not_above_turf(length), radius, plane)
    };

    /// `turf_entry(low_point, depth, radius, plane)`: distance behind the ball at which the cut
    /// starts, negative if ahead.
    turf_entry(low_point: Length, depth: Length, radius: Length, plane: Angle) -> Length =
        arc::turf_entry(low_point, not_above_turf(depth), radius, plane);

    /// `low_point_from_brush(start_ahead, radius, plane)`: low point ahead of the ball of a
    /// practice swing that brushes the ground lightly (0.25 to 1 mm) from `start_ahead` on.
    low_point_from_brush(
        start_ahead: Length, radius: Length, plane: Angle; depth: Length = arc::light_brush()
    ) -> Length = arc::low_point_from_start_and_depth(
        start_ahead, not_above_turf(depth), radius, plane);

    /// `edge_height_at_ball(low_point, height, radius, plane)`: height of the edge above the turf
    /// where the ball is; `height` is that of the arc's bottom.
    edge_height_at_ball(
        low_point: Length, height: Length, radius: Length, plane: Angle
    ) -> Length = Ok(
        arc::Arc::new(low_point, height, radius, plane)?.edge_height(Length::ZERO));

    /// `spin_loft(dynamic_loft, attack)`: their difference, exact with face and path alike.
    spin_loft(dynamic_loft: Angle, attack: Angle) -> Angle =
        impact::plain_spin_loft(dynamic_loft, attack);

    /// `face_to_path(face, path)`: face less path; + is open to the path.
    face_to_path(face: Angle, path: Angle) -> Angle = Ok(face - path);

    /// `start_direction(face, path, spin_loft)`: with the fitted share of the face, +/- 0.10.
    start_direction(
        face: Angle, path: Angle, spin_loft: Angle; share_error: Ratio = share_error()
    ) -> Angle = impact::start_direction(
        face, path, spin_loft, FaceShare::Fitted, share_error);

    /// `face_from_start_and_path(start, path, spin_loft)`: the face behind a start direction.
    face_from_start_and_path(
        start: Angle, path: Angle, spin_loft: Angle; share_error: Ratio = share_error()
    ) -> Angle = impact::face_from_start_and_path(
        start, path, spin_loft, FaceShare::Fitted, share_error);

    /// `path_from_start_and_gap(start, face_to_path, spin_loft)`: the path behind a start direction
    /// and a gap between face and path.
    path_from_start_and_gap(
        start: Angle, face_to_path: Angle, spin_loft: Angle; share_error: Ratio = share_error()
    ) -> Angle = impact::path_from_start_and_gap(
        start, face_to_path, spin_loft, FaceShare::Fitted, share_error);

    /// `launch_angle(dynamic_loft, attack)`: with the fitted share of the loft, +/- 0.10.
    launch_angle(
        dynamic_loft: Angle, attack: Angle; share_error: Ratio = share_error()
    ) -> Angle = impact::launch_angle(
        dynamic_loft, attack, FaceShare::Fitted, share_error);

    /// `spin_loft_of_delivery(face, path, dynamic_loft, attack)`: the angle between club and face in
    /// space, a little more than `spin_loft` where face and path differ.
    spin_loft_of_delivery(
        face: Angle, path: Angle, dynamic_loft: Angle, attack: Angle
    ) -> Angle = impact::Delivery { face, path, dynamic_loft, attack }.spin_loft();

    /// `start_of_delivery(face, path, dynamic_loft, attack)`: start in space, with the fitted share
    /// of the face, +/- 0.10.
    start_of_delivery(
        face: Angle, path: Angle, dynamic_loft: Angle, attack: Angle;
        share_error: Ratio = share_error()
    ) -> Angle = {
        let delivery = impact::Delivery { face, path, dynamic_loft, attack };
        let share = FaceShare::Fitted.at(delivery.spin_loft()?)?.base() + share_error.base();
        delivery
            .departure(FaceShare::Constant(Ratio::of_one(share.clamp(0.0, 1.0))))
            .map(|departure| departure.start)
    };

    /// `axis_tilt(face, path, dynamic_loft, attack)`: tilt of the spin axis, push side +.
    axis_tilt(face: Angle, path: Angle, dynamic_loft: Angle, attack: Angle) -> Angle =
        impact::Delivery { face, path, dynamic_loft, attack }
            .departure(FaceShare::Fitted)
            .map(|departure| departure.axis_tilt);

    /// `lie_push(dynamic_loft, toe_down)`: how far a lie error turns the face, push side +.
    lie_push(dynamic_loft: Angle, toe_down: Angle) -> Angle =
        impact::lie_push(dynamic_loft, toe_down);

    /// `handle_lean_from_loft(static_loft, dynamic_loft)`: lean of the handle to the target.
    handle_lean_from_loft(static_loft: Angle, dynamic_loft: Angle) -> Angle =
        impact::handle_lean(static_loft, dynamic_loft);

    /// `loft_from_handle_lean(static_loft, lean)`: dynamic loft.
    loft_from_handle_lean(static_loft: Angle, lean: Angle) -> Angle =
        impact::dynamic_loft(static_loft, lean);

    /// `ball_speed_ratio(spin_loft)`: ball speed over club speed, +/- 7 %.
    ball_speed_ratio(spin_loft: Angle; factor: Ratio = speed_ratio_error()) -> Ratio =
        impact::ball_speed_ratio(spin_loft).map(|ratio| ratio * factor.base());

    /// `ball_speed(club_speed, spin_loft)`: club speed times the ratio, +/- 7 %.
    ball_speed(club_speed: Speed, spin_loft: Angle; factor: Ratio = speed_ratio_error()) -> Speed =
        impact::ball_speed_ratio(spin_loft)
            .map(|ratio| club_speed * (ratio.base() * factor.base()));

    /// `ball_speed_from_ratio(club_speed, ratio)`: club speed times a measured ratio.
    ball_speed_from_ratio(club_speed: Speed, ratio: Ratio) -> Speed =
        Ok::<_, GeometryError>(club_speed * ratio.base());

    /// `rolling_spin(club_speed, spin_loft)`: spin of a ball that rolls off the face, +/- 35 %.
    rolling_spin(club_speed: Speed, spin_loft: Angle; factor: Ratio = spin_error()) -> Spin =
        impact::rolling_spin(club_speed, spin_loft).map(|spin| spin * factor.base());

    /// `speed_ratio(ball_speed, club_speed)`: ball speed over club speed.
    speed_ratio(ball_speed: Speed, club_speed: Speed) -> Ratio =
        ball_data::speed_ratio(ball_speed, club_speed);

    /// `spin_loft_from_spin(spin, ball_speed, share)`: the spin loft behind a spin, with the share of
    /// a rolling ball's spin that the head gives (0.7 driver, 1.05 wood, 1.2 iron).
    spin_loft_from_spin(spin: Spin, ball_speed: Speed, share: Ratio) -> Angle =
        ball_data::spin_loft_from_spin(spin, ball_speed, share);

    /// `attack_from_launch(launch, spin_loft)`: with the fitted share of the loft, +/- 0.10.
    attack_from_launch(launch: Angle, spin_loft: Angle; share_error: Ratio = share_error()) -> Angle =
        ball_data::attack_from_launch(launch, spin_loft, share_error);

    /// `loft_from_launch(launch, spin_loft)`: the dynamic loft that goes with it.
    loft_from_launch(launch: Angle, spin_loft: Angle; share_error: Ratio = share_error()) -> Angle =
        ball_data::attack_from_launch(launch, spin_loft, share_error).map(|a| a + spin_loft);

    /// `loft_from_launch_and_attack(launch, attack)`: the dynamic loft behind both, with the fitted share of
    /// the loft, +/- 0.10.
    loft_from_launch_and_attack(
        launch: Angle, attack: Angle; share_error: Ratio = share_error()
    ) -> Angle = ball_data::loft_from_launch_and_attack(launch, attack, share_error);

    /// `driver_gear_tilt(strike_across)`: tilt of the spin axis by where a driver is struck, +/- half.
    driver_gear_tilt(strike_across: Length; factor: Ratio = gear_error()) -> Angle =
        ball_data::gear_tilt(strike_across, impact::HeadGear::DRIVER, factor);

    /// `wood_gear_tilt(strike_across)`: the same of a wood from the turf, +/- half.
    wood_gear_tilt(strike_across: Length; factor: Ratio = gear_error()) -> Angle =
        ball_data::gear_tilt(strike_across, impact::HeadGear::FAIRWAY, factor);

    /// `vertical_radius(low_point, attack)`: K of the golfer's arc from one pair.
    vertical_radius(low_point: Length, attack: Angle) -> Length =
        arc::vertical_radius_from_pair(low_point, attack);
}

/// `minus(a, b)`: difference of two numbers of one dimension.
///
/// # Errors
/// A dimension error.
pub fn minus(a: Estimate, b: Estimate) -> Result<Estimate, GeometryError> {
    let b = of_kind(b, a.dimension())?;
    propagate([a, b], a.dimension(), |[a, b]| Ok(a - b))
}

/// `plus(a, b)`: sum of two numbers of one dimension.
///
/// # Errors
/// A dimension error.
pub fn plus(a: Estimate, b: Estimate) -> Result<Estimate, GeometryError> {
    let b = of_kind(b, a.dimension())?;
    propagate([a, b], a.dimension(), |[a, b]| Ok(a + b))
}

/// `mean(a, b)`: two estimates of the same number made one, the surer one counting more; wider
/// when they disagree.
///
/// # Errors
/// A dimension error.
pub fn mean(a: Estimate, b: Estimate) -> Result<Estimate, GeometryError> {
    agreed(&[a, b])
}

macro_rules! for_each_dimension {
    ($( $name:literal $function:ident [ $($kind:ident)+ ] )+) => {
        &[$($(
            NamedFunction {
                name: $name,
                inputs: &[Dimension::$kind, Dimension::$kind],
                output: Dimension::$kind,
                apply: |arguments| match *arguments {
                    [a, b] => $function(of_kind(a, Dimension::$kind)?, b),
                    _ => Err(GeometryError::TooFew { got: arguments.len(), wanted: 2 }),
                },
            },
        )+)+]
    };
}

const PLAIN: &[NamedFunction] = for_each_dimension! {
    "minus" minus [Length Angle Speed Spin Time Ratio Temperature]
    "plus" plus [Length Angle Speed Spin Time Ratio Temperature]
    "mean" mean [Length Angle Speed Spin Time Ratio Temperature]
};

const TABLE: &[NamedFunction] = &joined();

const fn joined() -> [NamedFunction; COMPUTED.len() + PLAIN.len()] {
    let mut all = [PLAIN[0]; COMPUTED.len() + PLAIN.len()];
    let mut i = 0;
    while i < all.len() {
        all[i] = if i < COMPUTED.len() {
            COMPUTED[i]
        } else {
            PLAIN[i - COMPUTED.len()]
        };
        i += 1;
    }
    all
}

fn of_kind(estimate: Estimate, wanted: Dimension) -> Result<Estimate, GeometryError> {
    let got = estimate.dimension();
    if got == wanted {
        Ok(estimate)
    } else {
        Err(QuantityError::Dimension { got, wanted }.into())
    }
}

/// A depth or length one error step below nothing is nothing.
fn not_above_turf(depth: Length) -> Length {
    if depth < Length::ZERO {
        Length::ZERO
    } else {
        depth
    }
}

fn hidden(mean: f64, sd: Ratio) -> Estimate {
    let none = crate::quantity::Amount::from(Ratio::of_one(mean));
    Estimate::from_base(mean, sd.base(), Dimension::Ratio).unwrap_or(Estimate::exact(none))
}

fn share_error() -> Estimate {
    hidden(0.0, impact::SHARE_ERROR)
}

fn speed_ratio_error() -> Estimate {
    hidden(1.0, impact::SPEED_RATIO_ERROR)
}

fn spin_error() -> Estimate {
    hidden(1.0, Ratio::of_one(0.35))
}

fn gear_error() -> Estimate {
    hidden(1.0, Ratio::of_one(0.5))
}
