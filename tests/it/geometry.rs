//! Check values of arc, turf and impact.
//!
//! Each table row says where its number comes from. "derived" values were worked out twice, by the
//! closed form and by stepping along the circle or by a vector computation; "common practice" are
//! rules of thumb of the trade; "published" have author and year.

use swingwhy::geometry::GeometryError;
use swingwhy::geometry::arc::{self, Arc, Shape};
use swingwhy::geometry::fit::{self, Pair};
use swingwhy::geometry::impact::{self, Delivery, FaceShare, HeadGear};
use swingwhy::geometry::named;
use swingwhy::quantity::{Angle, Estimate, Length, Ratio, Speed, Unit};

pub(crate) fn inches(v: f64) -> Length {
    Length::inches(v)
}
pub(crate) fn mm(v: f64) -> Length {
    Length::millimetres(v)
}
pub(crate) fn deg(v: f64) -> Angle {
    Angle::degrees(v)
}
pub(crate) fn shape(radius_m: f64, plane_deg: f64) -> Shape {
    Shape::new(Length::metres(radius_m), deg(plane_deg)).unwrap()
}
pub(crate) fn mid_iron() -> Shape {
    shape(1.114, 60.0)
}
pub(crate) fn arc_of(s_in: f64, h_mm: f64, shape: Shape) -> Arc {
    Arc::of_shape(inches(s_in), mm(h_mm), shape).unwrap()
}

#[track_caller]
pub(crate) fn close(what: &str, got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: got {got}, expected {expected}"
    );
}

/// Rows 1 to 24: arc, fit and turf.
#[test]
#[allow(clippy::too_many_lines, reason = "one row for each check value")]
fn arc_check_values() {
    let shift = |s, r, t| shape(r, t).path_shift(inches(s)).unwrap().as_degrees();
    let attack = |s| mid_iron().attack(inches(s)).unwrap().as_degrees();
    let from_attack = |a, t| {
        arc::path_shift_from_attack(deg(a), deg(t))
            .unwrap()
            .as_degrees()
    };
    let r = Length::metres(1.114);
    let cut = arc_of(3.0, -2.25, mid_iron()).cut(Length::ZERO).unwrap();
    // (quantity, got, expected, tolerance, source)
    let rows = [
        (
            "1 attack s 4",
            attack(4.0),
            -4.5302,
            0.005,
            "derived: closed form, stepped circle",
        ),
        (
            "2 attack s 2",
            attack(2.0),
            -2.2633,
            0.005,
            "derived: closed form, stepped circle",
        ),
        (
            "3 attack s 0",
            attack(0.0),
            0.0,
            0.005,
            "derived: closed form, stepped circle",
        ),
        (
            "4 attack s -2",
            attack(-2.0),
            2.2633,
            0.005,
            "derived: closed form, stepped circle",
        ),
        (
            "5 shift",
            shift(4.0, 1.114, 60.0),
            2.6219,
            0.005,
            "derived: closed form, circle",
        ),
        (
            "6 shift",
            shift(4.0, 1.114, 45.0),
            3.7053,
            0.005,
            "derived: closed form, circle",
        ),
        (
            "7 shift",
            shift(-3.0, 1.33, 47.0),
            -2.2413,
            0.005,
            "derived: closed form, circle",
        ),
        (
            "8 club path, swing direction -2",
            arc_of(4.0, 0.0, mid_iron())
                .club_path(deg(-2.0))
                .as_degrees(),
            0.62187,
            0.005,
            "derived: closed form, circle",
        ),
        (
            "9",
            from_attack(-5.0, 45.0),
            5.0191,
            0.005,
            "derived; common practice says 5.0",
        ),
        (
            "10",
            from_attack(-5.0, 60.0),
            2.8953,
            0.005,
            "derived; common practice says 2.5",
        ),
        (
            "11",
            from_attack(2.0, 45.0),
            -2.0012,
            0.005,
            "derived; common practice says -2.0",
        ),
        (
            "12 low point from attack",
            arc::low_point_from_attack(deg(-4.0), r, deg(60.0))
                .unwrap()
                .as_inches(),
            3.5327,
            0.001,
            "derived: closed form, root of numeric attack",
        ),
        (
            "16 R from K 50.64",
            Shape::from_vertical_radius(inches(50.64), deg(60.0))
                .unwrap()
                .radius()
                .as_metres(),
            1.1139,
            0.001,
            "derived",
        ),
        (
            "17 divot start",
            cut.start.as_inches(),
            0.006_381_5,
            0.001,
            "derived: root finding",
        ),
        (
            "18 divot length",
            cut.length.as_inches(),
            5.9872,
            0.001,
            "derived: root finding",
        ),
        (
            "19 entry angle",
            cut.entry.as_degrees(),
            -3.3888,
            0.001,
            "derived: stepped circle",
        ),
        (
            "20 low point, start 0.5 length 5",
            arc::low_point_from_start_and_length(inches(0.5), inches(5.0))
                .unwrap()
                .as_inches(),
            3.0,
            0.001,
            "derived",
        ),
        (
            "21 depth of 5 in",
            arc::depth_from_length(inches(5.0), r, deg(60.0))
                .unwrap()
                .as_millimetres(),
            1.5686,
            0.0005,
            "derived: root finding",
        ),
        (
            "22 low point, start 0.5 depth 3 mm",
            arc::low_point_from_start_and_depth(inches(0.5), mm(3.0), r, deg(60.0))
                .unwrap()
                .as_inches(),
            3.9561,
            0.001,
            "derived: root finding",
        ),
        (
            "23 depth of a brush from 2 in, low point 3 in",
            mid_iron().rise(inches(1.0)).as_millimetres(),
            0.25081,
            0.0005,
            "rule: common practice; depth derived",
        ),
        (
            "24 edge height at the ball",
            arc_of(4.0, 5.0, mid_iron())
                .edge_height(Length::ZERO)
                .as_millimetres(),
            9.0208,
            0.0005,
            "derived: closed form, circle",
        ),
    ];
    for (what, got, expected, tolerance, source) in rows {
        close(&format!("{what} ({source})"), got, expected, tolerance);
    }
}

/// Six pairs of low point ahead and degrees down, mid irons (common practice).
const PAIRS: [(f64, f64); 6] = [
    (4.7, 5.1),
    (3.5, 4.0),
    (2.8, 3.4),
    (2.6, 3.0),
    (5.2, 6.0),
    (2.5, 2.6),
];

/// Rows 13 to 15, and the weighted forms of the reference.
#[test]
fn a_golfers_pairs_refit_the_arc() {
    let pairs: Vec<Pair> = PAIRS
        .iter()
        .map(|(s, a)| Pair::exact(inches(*s), deg(-a)).unwrap())
        .collect();
    let fit = fit::vertical_radius(&pairs).unwrap();
    let k = fit.vertical_radius;
    close("13 K", k.mean() / 0.0254, 50.644, 0.001);
    close("14 standard error", k.sd() / 0.0254, 0.9154, 0.0005);
    close(
        "15 largest residual",
        fit.largest_residual.as_inches(),
        0.20351,
        0.0005,
    );

    let weigh = |s: f64, a: f64, sd_s: f64, sd_a: f64| Pair {
        low_point: Estimate::new(s, sd_s, Unit::Inch).unwrap(),
        attack: Estimate::new(-a, sd_a, Unit::Degree).unwrap(),
    };
    let stated: Vec<Pair> = PAIRS.iter().map(|(s, a)| weigh(*s, *a, 0.1, 0.1)).collect();
    let fit = fit::vertical_radius(&stated).unwrap();
    close(
        "chi squared with 0.1 in and 0.1 deg (derived)",
        fit.chi_square.unwrap(),
        7.5,
        0.1,
    );
    let one = fit::vertical_radius(&[weigh(4.0, 4.0, 0.25, 0.5)])
        .unwrap()
        .vertical_radius;
    close(
        "one pair gives K to 14 % (derived)",
        one.sd() / one.mean(),
        0.14,
        0.005,
    );
    let plane = Estimate::new(60.0, 2.0, Unit::Degree).unwrap();
    let r = fit::radius(k, plane).unwrap();
    close("R at 60 deg", r.mean(), 1.114, 0.001);
    close(
        "its error with 2 deg of plane (derived)",
        r.sd(),
        0.030,
        0.001,
    );
    let wrong = fit::vertical_radius(&[weigh(4.0, -4.0, 0.25, 0.5)]);
    assert!(matches!(wrong, Err(GeometryError::OppositeSigns { .. })));
    assert!(matches!(
        fit::vertical_radius(&[]),
        Err(GeometryError::TooFew { .. })
    ));
}

/// Common practice for a mid iron: 4.7 in ahead with 5.1 degrees down and so on, each within 0.4
/// degrees of the default geometry, and any of the pairs alone or together refits it.
#[test]
fn low_point_and_attack_agree_with_common_practice() {
    for (ahead, down) in [(4.7, 5.1), (3.5, 4.0), (2.8, 3.4), (2.6, 3.0)] {
        let attack = mid_iron().attack(inches(ahead)).unwrap();
        close("attack", attack.as_degrees(), -down, 0.4);
    }
    // The way back: one golfer whose pairs come from another K.
    let own = Shape::from_vertical_radius(inches(58.0), deg(57.0)).unwrap();
    let pairs: Vec<Pair> = [1.5, 2.5, 4.0]
        .iter()
        .map(|s| Pair::exact(inches(*s), own.attack(inches(*s)).unwrap()).unwrap())
        .collect();
    let k = fit::vertical_radius(&pairs).unwrap().vertical_radius;
    close("K refit", k.mean() / 0.0254, 58.0, 1e-9);
}

/// Common practice: a practice swing that brushes 2 in ahead means a low point 3 to 4 in ahead.
#[test]
fn a_brush_two_inches_ahead_means_a_low_point_three_to_four_ahead() {
    let exact = |v, unit| Estimate::new(v, 0.0, unit).unwrap();
    let low = named::low_point_from_brush(
        exact(2.0, Unit::Inch),
        exact(1.114, Unit::Metre),
        exact(60.0, Unit::Degree),
    )
    .unwrap();
    let (mean, sd) = (low.mean() / 0.0254, low.sd() / 0.0254);
    assert!((3.0..=4.0).contains(&mean), "{mean}");
    assert!(
        mean - 2.0 * sd > 2.9 && mean + 2.0 * sd < 4.3,
        "{mean} {sd}"
    );
}

/// Rows 39 to 49: spin loft, tilt, start and launch (derived; shares as named in the row).
#[test]
fn impact_check_values() {
    let delivery = |face, path, loft, attack| Delivery {
        face: deg(face),
        path: deg(path),
        dynamic_loft: deg(loft),
        attack: deg(attack),
    };
    for (f, p, l, a, expected) in [
        (0.0, 0.0, 25.0, -4.0, 29.0),
        (2.0, 0.0, 14.0, 0.0, 14.139),
        (5.0, 3.0, 13.8, -0.9, 14.833),
        (-2.0, 2.0, 20.0, -4.0, 24.32),
    ] {
        let s = delivery(f, p, l, a).spin_loft().unwrap();
        close("39-42 spin loft", s.as_degrees(), expected, 0.001);
    }
    for (f, p, l, a, expected) in [
        (2.0, 0.0, 14.0, 0.0, 7.9712),
        (2.0, 0.0, 22.5, -4.0, 4.1244),
        (5.0, 3.0, 13.8, -0.9, 7.6092),
        (-2.0, 2.0, 20.0, -4.0, -9.1447),
    ] {
        let d = delivery(f, p, l, a).departure(FaceShare::Fitted).unwrap();
        close("43-46 tilt", d.axis_tilt.as_degrees(), expected, 0.01);
    }
    for (l, a, share, expected) in [(14.0, 0.0, 0.85, 2.0712), (26.0, -4.0, 0.75, 1.3523)] {
        let share = FaceShare::Constant(Ratio::of_one(share));
        let d = delivery(3.0, -3.0, l, a).departure(share).unwrap();
        close("47-48 start", d.start.as_degrees(), expected, 0.01);
    }
    let wood_2018 = FaceShare::Constant(Ratio::of_one(0.81));
    let d = delivery(0.0, 0.0, 20.0, -4.0).departure(wood_2018).unwrap();
    close("49 launch", d.launch.as_degrees(), 15.44, 0.001);

    // Worked values of the reference, fitted share: spin loft, launch, start, tilt (derived).
    for (f, p, l, a, spin_loft, launch, start, tilt) in [
        (2.0, 0.0, 14.0, 0.0, 14.14, 12.0, 1.7, 8.0),
        (2.0, 0.0, 22.5, -4.0, 26.57, 16.4, 1.5, 4.1),
        (2.0, 0.0, 36.0, -5.0, 41.04, 22.4, 1.2, 2.5),
        (3.0, -3.0, 14.0, 0.0, 15.21, 11.9, 2.1, 22.8),
        (3.0, -3.0, 22.0, -4.0, 26.65, 16.1, 1.5, 12.5),
        (-4.0, -4.0, 14.0, 0.0, 14.0, 12.1, -4.0, 0.0),
        (0.0, 4.0, 14.0, -1.0, 15.51, 11.8, 0.6, -14.7),
        (-2.0, 2.0, 20.0, -4.0, 24.32, 14.9, -1.1, -9.1),
    ] {
        let d = delivery(f, p, l, a).departure(FaceShare::Fitted).unwrap();
        close("spin loft", d.spin_loft.as_degrees(), spin_loft, 0.006);
        close("launch", d.launch.as_degrees(), launch, 0.06);
        close("start", d.start.as_degrees(), start, 0.06);
        close("tilt", d.axis_tilt.as_degrees(), tilt, 0.1);
    }
}

/// Rows 50 to 55 and the lie values of the reference.
#[test]
fn share_lie_and_speed_check_values() {
    let rolling = FaceShare::Rolling(Ratio::of_one(1.49))
        .at(deg(14.7))
        .unwrap();
    close(
        "50 rolling (derived; Jorgensen: just over 0.80)",
        rolling.as_of_one(),
        0.80409,
        0.0001,
    );
    let fitted = |s| FaceShare::Fitted.at(deg(s)).unwrap().as_of_one();
    close("51 (published fit)", fitted(15.0), 0.8535, 0.0001);
    close("51 (published fit)", fitted(30.0), 0.747, 0.0001);
    for (loft, toe_down, push, tolerance) in [
        (28.0, 2.0, 1.0631, 0.0005),
        (34.0, 3.0, 2.0218, 0.0005),
        (46.0, 2.0, 2.0697, 0.0005),
        (10.5, 2.0, 0.3706, 0.0005),
        (20.0, 1.0, 0.36, 0.005),
        (58.0, 1.0, 1.60, 0.005),
    ] {
        let got = impact::lie_push(deg(loft), deg(toe_down))
            .unwrap()
            .as_degrees();
        close(
            "52-55 push (derived: rotation matrix)",
            got,
            push,
            tolerance,
        );
    }
    for (off, mass, inertia, loss, tolerance) in [
        (10.0, 0.20, 5e-4, 0.7, 0.05),
        (20.0, 0.20, 5e-4, 2.9, 0.05),
        (10.0, 0.25, 2.5e-4, 1.5, 0.1),
        (20.0, 0.25, 2.5e-4, 5.9, 0.1),
    ] {
        let left =
            impact::off_centre_speed(mm(off), Ratio::of_one(mass), Ratio::of_one(inertia)).unwrap();
        // Cross and Nathan 2009 (published formula); sizes derived.
        close("speed lost, %", 100.0 - left.as_percent(), loss, tolerance);
    }
    let spin = impact::rolling_spin(Speed::mph(80.0), deg(28.0)).unwrap();
    close("rolling spin (derived)", spin.as_rpm(), 5368.0, 5.0);
    let (toe, _) = impact::gear_effect(mm(20.0), HeadGear::DRIVER).unwrap();
    let (heel, _) = impact::gear_effect(mm(-20.0), HeadGear::DRIVER).unwrap();
    assert!(
        toe.mean() < 0.0 && heel.mean() > 0.0,
        "toe curves to the pull side, heel back"
    );
    assert!(toe.sd() >= 0.5 * toe.mean().abs());
    let lean = impact::handle_lean(deg(34.0), deg(26.0)).unwrap();
    close("lean", lean.as_degrees(), 8.0, 1e-9);
    close(
        "back",
        impact::dynamic_loft(deg(34.0), lean).unwrap().as_degrees(),
        26.0,
        1e-9,
    );
    close(
        "hands",
        impact::handle_ahead(inches(37.0), lean)
            .unwrap()
            .as_inches(),
        5.15,
        0.01,
    );
}
