//! Laws of the geometry room, and its fast forms against slow obvious ones.
//!
//! Mirror of the hand, nothing in nothing out, closed form against a stepped circle, inverse of
//! inverse, class thresholds against the strike itself, rates against a fine sum, errors that grow
//! with disagreement, and an answer without panic for every float.

use proptest::prelude::*;
use swingwhy::geometry::air::Air;
use swingwhy::geometry::arc::{self, Arc, Shape};
use swingwhy::geometry::consistency::{Measured, disagreements, unusual};
use swingwhy::geometry::fit::{self, Pair};
use swingwhy::geometry::flight::Wind;
use swingwhy::geometry::follow::{
    ClubShape, Known, at_clean_height, at_clean_height_off_tee, follow,
};
use swingwhy::geometry::impact::{self, Delivery, FaceShare, HeadGear};
use swingwhy::geometry::named::{self, named_function, named_functions};
use swingwhy::geometry::normal;
use swingwhy::geometry::outcome::{Leaving, outcome};
use swingwhy::geometry::propagation::{agreed, anywhere_between, propagate};
use swingwhy::geometry::rates::{Scatter, Spread, Tail, class_rates, teed_rates};
use swingwhy::geometry::slope::{Slope, side_slope_push};
use swingwhy::geometry::strike::{
    StrikeClass, StrikeWindow, height_thresholds, low_point_from_strike_and_turf,
    low_points_of_class, strike, strike_margins,
};
use swingwhy::geometry::teed::{TeedClass, TeedWindow, teed_strike, teed_thresholds};
use swingwhy::quantity::{
    Amount, Angle, Dimension, Estimate, Length, Ratio, Speed, Spin, Temperature, Time, Unit,
};

fn deg(v: f64) -> Angle {
    Angle::degrees(v)
}
fn mm(v: f64) -> Length {
    Length::millimetres(v)
}
fn estimate(mean: f64, sd: f64, unit: Unit) -> Estimate {
    Estimate::new(mean, sd, unit).unwrap()
}

prop_compose! {
    fn shapes()(radius in 0.9..1.5f64, plane in 42.0..75.0f64) -> Shape {
        Shape::new(Length::metres(radius), deg(plane)).unwrap()
    }
}

prop_compose! {
    fn arcs()(shape in shapes(), s in -160.0..200.0f64, h in -25.0..60.0f64) -> Arc {
        Arc::of_shape(mm(s), mm(h), shape).unwrap()
    }
}

prop_compose! {
    fn windows()(
        loft in 8.0..60.0f64, edge in 0.0..4.0f64, contact in 3.0..12.0f64,
        grass in 0.0..5.0f64, heavy in 0.0..12.0f64, fat in 0.0..30.0f64,
    ) -> StrikeWindow {
        StrikeWindow {
            loft: deg(loft),
            leading_edge: mm(edge),
            clean_contact: mm(contact),
            grass: mm(grass),
            heavy_cut: mm(heavy),
            fat_cut: mm(heavy + fat),
        }
    }
}

proptest! {
    /// Attack, path shift and heights of the closed forms against points of the circle itself.
    #[test]
    fn closed_forms_are_those_of_a_circle_in_three_dimensions(arc in arcs(), x in -150.0..150.0f64) {
        // The angle of the arc over the ball, by halving.
        let along = |turned: f64| arc.position(Angle::radians(turned))[0].base();
        let (mut a, mut b) = (-0.6, 0.6);
        for _ in 0..80 {
            let middle = 0.5 * (a + b);
            if along(middle) < x / 1000.0 { a = middle } else { b = middle }
        }
        let height = arc.position(Angle::radians(a))[2];
        prop_assert!((height - arc.edge_height(mm(x))).abs() < mm(1e-6));
        let (mut a, mut b) = (-0.6, 0.6);
        for _ in 0..80 {
            let middle = 0.5 * (a + b);
            if along(middle) < 0.0 { a = middle } else { b = middle }
        }
        let [before, after] = [-1e-5, 1e-5].map(|d| arc.position(Angle::radians(a + d)));
        let d = [0, 1, 2].map(|i| (after[i] - before[i]).base());
        let attack = d[2].atan2(d[0].hypot(d[1]));
        prop_assert!((arc.attack().as_radians() - attack).abs() < 1e-8);
        prop_assert!((arc.path_shift().as_radians() - d[1].atan2(d[0])).abs() < 1e-8);
    }

    /// Before and behind the ball are mirror images, and nothing gives nothing.
    #[test]
    fn mirror_and_zero(shape in shapes(), s in 0.0..200.0f64) {
        let (ahead, behind) = (mm(s), mm(-s));
        prop_assert_eq!(shape.attack(ahead).unwrap(), -shape.attack(behind).unwrap());
        prop_assert_eq!(shape.path_shift(ahead).unwrap(), -shape.path_shift(behind).unwrap());
        prop_assert_eq!(shape.rise(ahead), shape.rise(behind));
        prop_assert_eq!(shape.attack(Length::ZERO).unwrap().abs(), Angle::ZERO);
        prop_assert_eq!(shape.half_cut(Length::ZERO), Length::ZERO);
        prop_assert_eq!(shape.rise(Length::ZERO), Length::ZERO);
    }

    /// The golfer's other hand: face and path mirrored give start and tilt mirrored.
    #[test]
    fn mirror_of_the_hand(
        f in -15.0..15.0f64, p in -15.0..15.0f64, l in 8.0..60.0f64, a in -10.0..6.0f64,
    ) {
        let delivery = |sign: f64| Delivery {
            face: deg(sign * f), path: deg(sign * p), dynamic_loft: deg(l), attack: deg(a),
        };
        let one = delivery(1.0).departure(FaceShare::Fitted).unwrap();
        let other = delivery(-1.0).departure(FaceShare::Fitted).unwrap();
        prop_assert!((one.start + other.start).abs() < deg(1e-9));
        prop_assert!((one.axis_tilt + other.axis_tilt).abs() < deg(1e-9));
        prop_assert!((one.launch - other.launch).abs() < deg(1e-9));
        let square = Delivery { face: deg(p), path: deg(p), ..delivery(1.0) };
        let square = square.departure(FaceShare::Fitted).unwrap();
        prop_assert!(square.axis_tilt.abs() < deg(1e-9) && (square.start - deg(p)).abs() < deg(1e-9));
        // The start lies between path and face; the plain blend is near it.
        let between = (one.start - deg(p)) / (deg(f - p));
        prop_assert!((f - p).abs() < 0.1 || (0.3..1.05).contains(&between), "{}", between);
    }

    /// Inverses: low point, cut, K.
    #[test]
    fn inverse_of_inverse(shape in shapes(), s in -180.0..200.0f64, d in 0.01..25.0f64) {
        let (r, plane) = (shape.radius(), shape.plane());
        let attack = shape.attack(mm(s)).unwrap();
        let back = arc::low_point_from_attack(attack, r, plane).unwrap();
        prop_assert!((back - mm(s)).abs() < mm(1e-6));
        let shift = arc::path_shift_from_attack(attack, plane).unwrap();
        prop_assert!((shift - shape.path_shift(mm(s)).unwrap()).abs() < deg(1e-6));
        let arc = Arc::of_shape(mm(s), mm(-d), shape).unwrap();
        let cut = arc.cut(Length::ZERO).unwrap();
        let from = |got: Length| (got - mm(s)).abs() < mm(1e-6);
        prop_assert!(from(
            arc::low_point_from_start_and_depth(cut.start, cut.depth, r, plane).unwrap()));
        prop_assert!(from(arc::low_point_from_start_and_length(cut.start, cut.length).unwrap()));
        let depth = arc::depth_from_length(cut.length, r, plane).unwrap();
        prop_assert!((depth - mm(d)).abs() < mm(1e-6));
        let entry = arc::turf_entry(mm(s), mm(d), r, plane).unwrap();
        prop_assert!((entry - cut.entry_behind()).abs() < mm(1e-9));
        prop_assert!(arc.edge_height(cut.start).abs() < mm(1e-6));
        prop_assert!(arc.edge_height(cut.end).abs() < mm(1e-6));
        if s.abs() > 1.0 {
            let k = arc::vertical_radius_from_pair(mm(s), attack).unwrap();
            prop_assert!((k - shape.vertical_radius()).abs() < mm(1e-3));
        }
    }

    /// The thresholds are the strike's own borders, and lower is never less turf.
    #[test]
    fn thresholds_agree_with_the_strike(arc in arcs(), window in windows()) {
        let struck = strike(arc, window).unwrap();
        let limits = height_thresholds(arc.low_point(), arc.shape(), window).unwrap();
        let by_limits = limits.class(arc.height());
        let near = [
            limits.whiff_above, limits.topped_above, limits.thin_above,
            limits.heavy_below, limits.fat_below,
        ].iter().any(|limit| (*limit - arc.height()).abs() < mm(1e-5));
        prop_assert!(near || by_limits == struck.class, "{:?} {:?}", by_limits, struck);
        if struck.class == StrikeClass::Thin && (limits.bladed_above - arc.height()).abs() > mm(1e-5) {
            prop_assert_eq!(struck.bladed, arc.height() > limits.bladed_above);
        }
        let lower = strike(arc.with_height(arc.height() - mm(1.0)).unwrap(), window).unwrap();
        prop_assert!(lower.turf_before >= struck.turf_before - mm(1e-9));
        prop_assert!(lower.edge_height < struck.edge_height);
    }

    /// The strike against an edge stepped along the arc and a ball it meets.
    #[test]
    fn strike_agrees_with_a_stepped_edge(arc in arcs(), window in windows()) {
        let struck = strike(arc, window).unwrap();
        let by_steps = stepped_strike(arc, window);
        prop_assert!(by_steps.contains(&struck.class), "{:?} not in {:?}", struck, by_steps);
    }

    /// Margins: inside the margin the strike is clean, just beyond it is what the margin says.
    #[test]
    fn margins_are_where_the_class_changes(shape in shapes(), window in windows(), s in -60.0..150.0f64) {
        // The step beyond a margin must not pass over a whole class.
        prop_assume!(window.fat_cut.as_millimetres() - window.heavy_cut.as_millimetres() > 0.1);
        let limits = height_thresholds(mm(s), shape, window).unwrap();
        let Some((low, high)) = limits.clean() else { return Ok(()) };
        let arc = Arc::of_shape(mm(s), (low + high) * 0.5, shape).unwrap();
        let margins = strike_margins(arc, window).unwrap();
        let class = |shift: Length| {
            height_thresholds(mm(s) + shift, shape, window).unwrap().class(arc.height())
        };
        if let Some((by, into)) = margins.back {
            prop_assert_eq!(class(-(by + mm(0.002))), into);
            prop_assert_eq!(class(-(by * 0.999)), StrikeClass::Clean);
        }
        if let Some((by, into)) = margins.forward {
            prop_assert_eq!(class(by + mm(0.002)), into);
            prop_assert_eq!(class(by * 0.999), StrikeClass::Clean);
        }
    }

    /// Off a tee: thresholds against the strike.
    #[test]
    fn teed_thresholds_agree(shape in shapes(), s in -250.0..120.0f64, h in -20.0..90.0f64, tee in 0.0..60.0f64) {
        let window = TeedWindow { tee: mm(tee), ..TeedWindow::DRIVER };
        let arc = Arc::of_shape(mm(s), mm(h), shape).unwrap();
        let struck = teed_strike(arc, window).unwrap();
        let above = struck.above_centre.as_millimetres();
        match struck.class {
            TeedClass::Sky => prop_assert!(above > 20.0 - 1e-6),
            TeedClass::LowFace => prop_assert!(above < -15.0 + 1e-6),
            TeedClass::Clean => prop_assert!((-15.0 - 1e-6..20.0 + 1e-6).contains(&above)),
            TeedClass::DropKick | TeedClass::Fat => {
                let cut = arc.cut(window.grass).unwrap();
                prop_assert!(cut.start < mm(-20.0 + 1e-6));
                prop_assert_eq!(struck.class == TeedClass::Fat, cut.depth > mm(6.0));
            }
            TeedClass::Topped | TeedClass::Whiff => {
                prop_assert!(struck.edge_height > mm(tee + 0.9 * 21.335 - 1e-6));
            }
        }
        let limits = teed_thresholds(mm(s), shape, window).unwrap();
        prop_assert_eq!(limits.class(mm(h)), struck.class);
    }

    /// Sloping ground against points of the circle carried into the ground's own axes.
    #[test]
    fn slopes_are_rotations(arc in arcs(), along in -12.0..12.0f64, across in -12.0..12.0f64, follow in 0.0..1.0f64) {
        let slope = Slope { along: deg(along), across: deg(across) };
        let seen = arc.on_slope(slope, Ratio::of_one(follow)).unwrap();
        let (g, c) = (deg(along * (1.0 - follow)), deg(across * (1.0 - follow)));
        // Height over the sloping ground of each point of the level circle, stepped.
        let up = [-g.sin() * c.cos(), -c.sin(), g.cos() * c.cos()];
        let over = |turned: f64| {
            let p = arc.position(Angle::radians(turned));
            p[0].base() * up[0] + p[1].base() * up[1] + p[2].base() * up[2]
        };
        let lowest = (-8000..=8000).map(|i| over(f64::from(i) * 1e-4)).fold(f64::MAX, f64::min);
        prop_assert!((seen.arc.height().base() - lowest).abs() < 1e-7, "{}", lowest);
        prop_assert_eq!(seen.arc.radius(), arc.radius());
    }

    /// Level ground or a swing that follows it changes nothing; uphill is more down to the turf.
    #[test]
    fn slopes_that_do_nothing(arc in arcs(), along in 1.0..10.0f64) {
        let slope = |a: f64| Slope { along: deg(a), across: Angle::ZERO };
        for (slope, follow) in [(Slope::LEVEL, 0.0), (slope(along), 1.0)] {
            let seen = arc.on_slope(slope, Ratio::of_one(follow)).unwrap();
            prop_assert!((seen.arc.low_point() - arc.low_point()).abs() < mm(1e-9));
            prop_assert!((seen.arc.height() - arc.height()).abs() < mm(1e-9));
            prop_assert!(seen.swing_direction_shift.abs() < deg(1e-9));
        }
        let uphill = arc.on_slope(slope(along), Ratio::ZERO).unwrap().arc;
        let downhill = arc.on_slope(slope(-along), Ratio::ZERO).unwrap().arc;
        prop_assert!(uphill.low_point() > arc.low_point() && downhill.low_point() < arc.low_point());
        // The turf's frame looks at the arc over another point when the edge is high over the ball.
        let lean = deg(along).sin();
        let height = arc.edge_height(Length::ZERO).abs() / arc.vertical_radius();
        let turned = 1.0 - arc.path_shift().cos();
        let tolerance = 0.003 + 1.3 * lean * (height + turned);
        prop_assert!((uphill.attack() - arc.attack() + deg(along)).base().abs() < tolerance);
        let push = side_slope_push(Slope { along: Angle::ZERO, across: deg(5.0) }, deg(28.0)).unwrap();
        prop_assert!(push < Angle::ZERO);
    }

    /// Error propagation: linear functions exactly, exact inputs give exact outputs.
    #[test]
    fn propagation_of_a_line(a in -5.0..5.0f64, b in -5.0..5.0f64, x in -9.0..9.0f64, sx in 0.0..3.0f64, sy in 0.0..3.0f64) {
        let inputs = [estimate(x, sx, Unit::One), estimate(1.0, sy, Unit::One)];
        let got = propagate(inputs, Dimension::Ratio, |[x, y]| Ok(a * x + b * y)).unwrap();
        prop_assert!((got.mean() - (a * x + b)).abs() < 1e-12);
        prop_assert!((got.sd() - (a * sx).hypot(b * sy)).abs() < 1e-9);
    }

    /// Two estimates that disagree give a wider interval than two that agree.
    #[test]
    fn disagreement_widens(x in -5.0..5.0f64, sd in 0.1..2.0f64, apart in 3.0..20.0f64) {
        let pool = |d: f64| agreed(&[estimate(x, sd, Unit::Inch), estimate(x + d * sd, sd, Unit::Inch)]).unwrap();
        prop_assert!(pool(0.0).sd() < estimate(x, sd, Unit::Inch).sd());
        prop_assert!(pool(apart).sd() > pool(1.0).sd());
        prop_assert!(pool(apart + 1.0).sd() > pool(apart).sd());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Rates against a fine sum over both directions, and they add up to one.
    #[test]
    fn rates_agree_with_a_fine_sum(
        shape in shapes(), window in windows(), s in -40.0..110.0f64, sd_s in 10.0..45.0f64,
        h in -12.0..12.0f64, sd_h in 1.3..9.0f64, share in 0.0..0.12f64,
    ) {
        let tail = Tail {
            share: Ratio::of_one(share),
            low_point_factor: Ratio::of_one(2.1),
            height_factor: Ratio::of_one(4.0),
            lift: mm(3.0),
        };
        let scatter = Scatter {
            low_point: Spread { mean: mm(s), sd: mm(sd_s) },
            height: Spread { mean: mm(h), sd: mm(sd_h) },
            tail: Some(tail),
        };
        let rates = class_rates(shape, window, scatter).unwrap();
        let fine = fine_sum(shape, window, scatter);
        let mut total = 0.0;
        for (class, expected) in StrikeClass::ALL.into_iter().zip(fine) {
            let got = rates.of(class).as_of_one();
            prop_assert!((got - expected).abs() < 0.004, "{:?}: {} {}", class, got, expected);
            total += got;
        }
        prop_assert!((total - 1.0).abs() < 1e-9);
        prop_assert!(rates.bladed <= rates.thin);
        let teed = teed_rates(shape, TeedWindow::DRIVER, scatter).unwrap();
        let total: f64 = TeedClass::ALL.into_iter().map(|c| teed.of(c).as_of_one()).sum();
        prop_assert!((total - 1.0).abs() < 1e-9);
    }
}

/// The class of an edge that is stepped along its arc towards a ball, from the side. Where a test
/// comes within a fifth of a millimetre of a border, all the classes around it.
fn stepped_strike(arc: Arc, window: StrikeWindow) -> Vec<StrikeClass> {
    let r = 21.335;
    let e = window.leading_edge.as_millimetres();
    let (sin, cos) = (window.loft.sin(), window.loft.cos());
    let edge = |x: f64| arc.edge_height(mm(x)).as_millimetres() + e;
    let in_turf = |x: f64| edge(x) - e < -window.grass.as_millimetres();
    let (mut turf, mut x) = (0.0, -400.0);
    let step = 0.05;
    // The face's line touches the ball when the centre is a radius from it.
    let distance = |x: f64| -x * cos + (r - edge(x)) * sin;
    while distance(x) > r && x < 60.0 {
        if in_turf(x) {
            turf += step;
        }
        x += step;
    }
    let z = edge(x);
    let contact = (r * (1.0 - sin) - z) / cos;
    let mut possible = Vec::new();
    for slack in [-0.2, 0.0, 0.2] {
        let class = if edge(0.0) + slack > 2.0 * r {
            StrikeClass::Whiff
        } else if edge(-r) + slack > r {
            StrikeClass::Topped
        } else if turf + slack > window.fat_cut.as_millimetres() {
            StrikeClass::Fat
        } else if turf + slack > window.heavy_cut.as_millimetres() {
            StrikeClass::SlightlyHeavy
        } else if contact - slack < window.clean_contact.as_millimetres() {
            StrikeClass::Thin
        } else {
            StrikeClass::Clean
        };
        if !possible.contains(&class) {
            possible.push(class);
        }
    }
    possible
}

/// Class shares by a fine grid in both directions, each cell classed by the strike's own test.
fn fine_sum(shape: Shape, window: StrikeWindow, scatter: Scatter) -> [f64; 6] {
    let tail = scatter.tail.unwrap();
    let mut shares = [0.0; 6];
    let parts = [
        (1.0 - tail.share.base(), 1.0, 1.0, Length::ZERO),
        (
            tail.share.base(),
            tail.low_point_factor.base(),
            tail.height_factor.base(),
            tail.lift,
        ),
    ];
    let places = |half: i32, step: f64| -> Vec<(f64, f64)> {
        (-half..=half)
            .map(|i| {
                let (a, b) = ((f64::from(i) - 0.5) * step, (f64::from(i) + 0.5) * step);
                (0.5 * (a + b), normal::below(b) - normal::below(a))
            })
            .collect()
    };
    let (low_points, heights) = (places(30, 0.16), places(480, 0.01));
    for (share, wide_s, wide_h, lift) in parts {
        for (zs, ws) in &low_points {
            for (zh, wh) in &heights {
                let s = scatter.low_point.mean + scatter.low_point.sd * (wide_s * zs);
                let h = scatter.height.mean + lift + scatter.height.sd * (wide_h * zh);
                let arc = Arc::of_shape(s, h, shape).unwrap();
                let class = strike(arc, window).unwrap().class;
                let index = StrikeClass::ALL.iter().position(|c| *c == class).unwrap();
                shares[index] += share * ws * wh;
            }
        }
    }
    shares
}

/// The normal chance against its power series and its symmetry.
#[test]
fn normal_chance_against_its_series() {
    let series = |x: f64| {
        let (mut term, mut sum, mut n) = (x, x, 1.0);
        while f64::abs(term) > 1e-18 {
            term *= x * x / (2.0 * n + 1.0);
            sum += term;
            n += 1.0;
        }
        0.5 + normal::density(x) * sum
    };
    let mut largest: f64 = 0.0;
    for i in -500..=500 {
        let x = f64::from(i) / 100.0;
        largest = largest.max((normal::below(x) - series(x)).abs());
        assert!((normal::below(x) + normal::below(-x) - 1.0).abs() < 1e-15);
    }
    assert!(largest < 1e-14, "{largest}");
    // Far out: known tail values (from memory, tables): below -6 9.865876e-10, below -8 6.22096e-16.
    assert!((normal::below(-6.0) / 9.865_876_450e-10 - 1.0).abs() < 1e-9);
    assert!((normal::below(-8.0) / 6.220_960_574e-16 - 1.0).abs() < 1e-6);
    assert!((normal::below(f64::INFINITY) - 1.0).abs() < 1e-15);
    assert!((normal::below(f64::NAN) - 0.5).abs() < 1e-15);
}

/// The low point from a divot alone, and from the divot and what the strike was.
#[test]
fn strike_and_turf_together_narrow_or_widen() {
    let shape = Shape::new(Length::metres(1.114), deg(60.0)).unwrap();
    let window = StrikeWindow::MID_IRON;
    let together = |start_in: f64, class| {
        let start = estimate(start_in, 1.0, Unit::Inch);
        let depth = estimate(5.0, 2.0, Unit::Millimetre);
        let alone = named::low_point_from_divot_start(
            start,
            depth,
            estimate(1.114, 0.0, Unit::Metre),
            estimate(60.0, 0.0, Unit::Degree),
        )
        .unwrap();
        let both = low_point_from_strike_and_turf(class, start, depth, shape, window).unwrap();
        (alone, both)
    };
    let (alone, both) = together(-0.5, StrikeClass::Clean);
    assert!(
        both.sd() < alone.sd(),
        "a clean strike rules out the low points behind"
    );
    let (alone, both) = together(-4.0, StrikeClass::Clean);
    assert!(
        both.sd() > 0.8 * alone.sd(),
        "a clean strike does not go with that divot"
    );
    assert!(both.mean() > alone.mean());
    let (alone, both) = together(-4.0, StrikeClass::Fat);
    assert!((both.mean() - alone.mean()).abs() < alone.sd());
    let fat = low_points_of_class(StrikeClass::Fat, mm(-5.0), shape, window)
        .unwrap()
        .unwrap();
    assert!(fat.1 < mm(60.0));
    assert!(
        low_points_of_class(StrikeClass::Whiff, mm(-5.0), shape, window)
            .unwrap()
            .is_none()
    );
}

/// Every named function answers its own dimensions, refuses others, and has a name of its own.
#[test]
fn named_functions_are_found_and_check_their_inputs() {
    for name in [
        "attack_from_low_point",
        "low_point_from_attack",
        "path_shift_from_low_point",
        "path_shift_from_attack",
        "club_path",
        "swing_direction",
        "low_point_from_divot_start",
        "low_point_from_turf_entry",
        "low_point_from_start_and_length",
        "depth_from_start_and_length",
        "turf_entry",
        "low_point_from_brush",
        "edge_height_at_ball",
        "spin_loft",
        "face_to_path",
        "start_direction",
        "launch_angle",
        "axis_tilt",
        "face_from_start_and_path",
        "lie_push",
        "handle_lean_from_loft",
        "ball_speed_ratio",
        "minus",
        "plus",
        "mean",
    ] {
        assert!(named_functions().iter().any(|f| f.name == name), "{name}");
    }
    for f in named_functions() {
        let alike = named_functions()
            .iter()
            .filter(|g| g.name == f.name && g.inputs == f.inputs);
        assert_eq!(alike.count(), 1, "{}", f.name);
        assert!(named_function(f.name, f.inputs).is_some());
        // Angles that grow or fall along the list, a metre of radius before the plane.
        let given = |first: f64, step: f64| -> Vec<Estimate> {
            let (mut angle, lengths) =
                (first, f.inputs.iter().filter(|d| **d == Dimension::Length));
            let mut left = lengths.count();
            let with_radius = f.inputs.last() == Some(&Dimension::Angle);
            let mut value = |d: Dimension| match d {
                Dimension::Length => {
                    left -= 1;
                    if left == 0 && with_radius { 1.1 } else { 0.1 }
                }
                Dimension::Angle => {
                    angle += step;
                    angle
                }
                Dimension::Speed
                | Dimension::Spin
                | Dimension::Time
                | Dimension::Ratio
                | Dimension::Temperature => 0.5,
            };
            f.inputs
                .iter()
                .map(|d| Estimate::from_base(value(*d), 0.01, *d).unwrap())
                .collect()
        };
        let (growing, falling) = (given(0.1, 0.2), given(0.7, -0.1));
        let got = (f.apply)(&growing).or_else(|_| (f.apply)(&falling));
        if f.name != "vertical_radius" {
            let got = got.unwrap_or_else(|e| panic!("{}: {e}", f.name));
            assert_eq!(got.dimension(), f.output, "{}", f.name);
            assert!(got.sd() > 0.0, "{}", f.name);
        }
        let given = growing;
        assert!((f.apply)(&given[1..]).is_err(), "{}", f.name);
        let wrong: Vec<Estimate> = given
            .iter()
            .map(|_| Estimate::from_base(0.1, 0.0, Dimension::Temperature).unwrap())
            .collect();
        if f.output != Dimension::Temperature {
            assert!((f.apply)(&wrong).is_err(), "{}", f.name);
        }
    }
}

/// Worked chain: divot starts 2 in behind, 5 mm deep, gives entry, low point, attack; the errors
/// are those of the chain in one step.
#[test]
fn a_chain_from_the_turf_to_the_attack() {
    let r = estimate(1.114, 0.03, Unit::Metre);
    let plane = estimate(60.0, 2.0, Unit::Degree);
    let entry = estimate(2.0, 0.5, Unit::Inch);
    let depth = estimate(5.0, 2.0, Unit::Millimetre);
    let low = named::low_point_from_turf_entry(entry, depth, r, plane).unwrap();
    assert!(
        (low.mean() / 0.0254 - 2.46).abs() < 0.01,
        "{}",
        low.mean() / 0.0254
    );
    let attack = named::attack_from_low_point(low, r, plane).unwrap();
    assert!((attack.mean().to_degrees() - -2.78).abs() < 0.01);
    // dl/dd = K/l: 11.3 mm a millimetre; with half an inch of start, 1.03 in of low point.
    assert!(
        (low.sd() / 0.0254 - 1.04).abs() < 0.06,
        "{}",
        low.sd() / 0.0254
    );
}

fn any_float() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        -10.0..10.0f64,
        -1e-3..1e-3f64,
        Just(0.0),
        Just(-0.0),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(f64::MAX),
        Just(f64::MIN_POSITIVE),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    /// Whatever the floats, an answer that is finite or an error; no panic.
    #[test]
    fn no_panic_on_arbitrary_floats(v in prop::array::uniform16(any_float())) {
        let [a, b, c, d, e, f, g, h, i, j, k, l, m, n, o, p] = v;
        let length = Length::from_base;
        let angle = Angle::from_base;
        let ratio = Ratio::of_one;
        if let Ok(shape) = Shape::new(length(a), angle(b)) {
            prop_assert!(shape.rise(length(c)).is_finite() || c.is_nan());
            prop_assert!(shape.half_cut(length(c)).is_finite() || c.is_nan());
            let _ = (shape.attack(length(c)), shape.path_shift(length(d)));
        }
        let _ = Shape::from_vertical_radius(length(a), angle(b));
        let window = StrikeWindow {
            loft: angle(e), leading_edge: length(f), clean_contact: length(g),
            grass: length(h), heavy_cut: length(i), fat_cut: length(j),
        };
        let usual = Shape::new(Length::metres(1.1), deg(60.0)).unwrap();
        let slope = Slope { along: angle(k), across: angle(l) };
        for (arc, window) in [
            (Arc::new(length(c), length(d), length(a), angle(b)), window),
            (Arc::of_shape(length(c), length(d), usual), StrikeWindow::MID_IRON),
        ] {
            let _ = height_thresholds(length(c), usual, window);
            let Ok(arc) = arc else { continue };
            prop_assert!(arc.attack().is_finite() && arc.path_shift().is_finite());
            let _ = (arc.cut(length(f)), arc.position(angle(e)), arc.edge_height(length(g)));
            let _ = (arc.with_ball_forward(length(h)), arc.with_height(length(i)));
            let _ = arc.on_slope(slope, ratio(m));
            if let Ok(struck) = strike(arc, window) {
                prop_assert!(struck.turf_before.is_finite() && struck.contact_up_face.is_finite());
                let _ = strike_margins(arc, window);
            }
            let _ = teed_strike(arc, TeedWindow { tee: length(n), ..TeedWindow::DRIVER });
        }
        let _ = low_points_of_class(StrikeClass::Thin, length(c), usual, window);
        let scatter = Scatter {
            low_point: Spread { mean: length(c), sd: length(k) },
            height: Spread { mean: length(d), sd: length(l) },
            tail: Some(Tail {
                share: ratio(m), low_point_factor: ratio(n), height_factor: ratio(o), lift: length(p),
            }),
        };
        for scatter in [scatter, Scatter { tail: None, ..scatter }] {
            if let Ok(rates) = class_rates(usual, StrikeWindow::MID_IRON, scatter) {
                prop_assert!((0.0..=1.0).contains(&rates.clean.base()), "{:?}", rates);
            }
            if let Ok(rates) = teed_rates(usual, TeedWindow::DRIVER, scatter) {
                prop_assert!((0.0..=1.0).contains(&rates.clean.base()), "{:?}", rates);
            }
        }
        let delivery = Delivery {
            face: angle(a), path: angle(b), dynamic_loft: angle(c), attack: angle(d),
        };
        for share in [FaceShare::Fitted, FaceShare::Rolling(ratio(e)), FaceShare::Constant(ratio(f))] {
            if let Ok(departure) = delivery.departure(share) {
                prop_assert!(departure.start.is_finite() && departure.axis_tilt.is_finite());
            }
            let _ = impact::start_direction(angle(a), angle(b), angle(c), share, ratio(d));
            let _ = impact::face_from_start_and_path(angle(a), angle(b), angle(c), share, ratio(d));
            let _ = impact::launch_angle(angle(a), angle(b), share, ratio(d));
        }
        let _ = (impact::lie_push(angle(a), angle(b)), impact::ball_speed_ratio(angle(a)));
        let _ = (
            impact::rolling_spin(Speed::from_base(a), angle(b)),
            impact::gear_effect(length(a), HeadGear { error: ratio(b), ..HeadGear::DRIVER }),
            impact::off_centre_speed(length(a), ratio(b), ratio(c)),
            impact::handle_ahead(length(a), angle(b)),
            side_slope_push(slope, angle(a)),
        );
        let measured = Measured {
            club_speed: Some(Speed::from_base(a)), ball_speed: Some(Speed::from_base(b)),
            attack: Some(angle(c)), dynamic_loft: Some(angle(d)), spin_loft: Some(angle(e)),
            launch: Some(angle(f)), start: Some(angle(g)), face: Some(angle(h)),
            path: Some(angle(i)), swing_direction: Some(angle(j)), plane: Some(angle(k)),
            low_point: Some(length(l)), spin: Some(Spin::from_base(m)),
            axis_tilt: Some(angle(n)), carry: Some(length(o)), apex: Some(length(p)),
            time: Some(Time::seconds(a)), landing: Some(angle(b)), total: Some(length(c)),
            divot_start: Some(length(d)), divot_end: Some(length(e)), ..Measured::default()
        };
        let _ = (disagreements(&measured), unusual(&measured));
        for function in named_functions() {
            let given: Vec<Estimate> = function.inputs.iter().zip(v.windows(2))
                .filter_map(|(d, pair)| Estimate::from_base(pair[0], pair[1].abs(), *d).ok())
                .collect();
            if let Ok(result) = (function.apply)(&given) {
                prop_assert!(result.mean().is_finite() && result.sd().is_finite());
            }
        }
        if let (Ok(x), Ok(y)) = (
            Estimate::from_base(a, b.abs(), Dimension::Length),
            Estimate::from_base(c, d.abs(), Dimension::Angle),
        ) {
            let _ = fit::vertical_radius(&[Pair { low_point: x, attack: y }]);
            let _ = fit::radius(x, y);
            let _ = agreed(&[x, x]);
            let _ = low_point_from_strike_and_turf(
                StrikeClass::Clean, x, x, usual, StrikeWindow::MID_IRON);
        }
        if let (Ok(x), Ok(y)) = (
            Amount::from_base(a, Dimension::Length), Amount::from_base(b, Dimension::Length),
        ) {
            let _ = anywhere_between(x, y);
        }
    }

    /// What follows from any mixture of known and unknown numbers is finite or refused.
    #[test]
    fn no_panic_in_what_follows(
        v in prop::array::uniform16(prop::option::of(any_float())),
        follows in any_float(),
    ) {
        let length = |i: usize| v[i].map(Length::from_base);
        let angle = |i: usize| v[i].map(Angle::from_base);
        let known = Known {
            low_point: length(0), attack: angle(1), turf_entry: length(2), mark_length: length(3),
            mark_depth: length(4), brush: length(5), height: length(6), path: angle(7),
            swing_direction: angle(8), face: angle(9), dynamic_loft: angle(10),
            static_loft: angle(11), plane: angle(12), radius: length(13),
            slope: angle(14).zip(angle(15)).map(|(along, across)| {
                (Slope { along, across }, Ratio::of_one(follows))
            }),
        };
        let club = ClubShape {
            radius: Length::inches(43.9), plane: deg(60.0), static_loft: deg(32.0),
            loft_off: estimate(-4.5, 2.0, Unit::Degree),
            low_point: estimate(3.2, 1.0, Unit::Inch), grass: mm(3.0),
        };
        if let Ok(followed) = follow(&known, &club) {
            for step in &followed.steps {
                prop_assert!(step.value.mean().is_finite() && step.value.sd() >= 0.0, "{:?}", step);
            }
            if let Some(arc) = followed.arc {
                let _ = (
                    at_clean_height(arc, StrikeWindow::MID_IRON),
                    at_clean_height_off_tee(arc, TeedWindow::DRIVER),
                );
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Where any ball goes is finite or refused, however it left.
    #[test]
    fn no_panic_in_where_the_ball_goes(v in prop::array::uniform12(any_float())) {
        let estimate = |mean: f64, sd: f64, d| Estimate::from_base(mean, sd.abs(), d);
        let still = Air::new(Temperature::celsius(25.0), Length::metres(0.0), Ratio::of_one(0.0));
        let wind = Wind { tail: Speed::from_base(v[10]), cross: Speed::from_base(v[11]) };
        if let (Ok(ball_speed), Ok(launch), Ok(start), Ok(spin), Ok(axis_tilt)) = (
            estimate(v[0] * 10.0, v[1], Dimension::Speed), estimate(v[2], v[3], Dimension::Angle),
            estimate(v[4], v[5], Dimension::Angle), estimate(v[6] * 50.0, v[7], Dimension::Spin),
            estimate(v[8], v[9], Dimension::Angle),
        ) {
            let leaving = Leaving { ball_speed, launch, start, spin, axis_tilt };
            if let Ok(out) = outcome(&leaving, still.unwrap(), wind) {
                for x in [out.carry, out.side, out.apex, out.landing] {
                    prop_assert!(x.mean().is_finite() && x.sd().is_finite(), "{:?}", out);
                }
            }
        }
        let delivery = Delivery {
            face: Angle::from_base(v[0]), path: Angle::from_base(v[1]),
            dynamic_loft: Angle::from_base(v[2]), attack: Angle::from_base(v[3]),
        };
        if let Ok(leaving) = Leaving::of_delivery(Speed::from_base(v[4]), delivery, Angle::ZERO, None) {
            prop_assert!(leaving.ball_speed.mean().is_finite());
        }
    }
}
