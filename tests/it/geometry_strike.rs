//! Strikes of the geometry room: the class tables, the margins and what the trade says of them.
//!
//! All values are derived unless a row says otherwise: worked out by the inequalities and by
//! stepping an edge along the arc, which agree in every cell.

use super::geometry::{arc_of, close, deg, inches, mid_iron, mm, shape};
use swingwhy::geometry::arc::{Arc, Shape};
use swingwhy::geometry::strike::{
    StrikeClass, StrikeWindow, height_thresholds, strike, strike_margins,
};
use swingwhy::quantity::{Angle, Length};

fn letter(class: StrikeClass) -> char {
    match class {
        StrikeClass::Whiff => 'W',
        StrikeClass::Topped => 'T',
        StrikeClass::Thin => 'N',
        StrikeClass::Clean => 'C',
        StrikeClass::SlightlyHeavy => 'H',
        StrikeClass::Fat => 'F',
    }
}

/// Rows 25 to 38: mid-iron strikes (derived: inequalities and stepped arc).
#[test]
fn strike_check_values() {
    let window = StrikeWindow::MID_IRON;
    for (s, h, expected) in [
        (4.0, -3.0, StrikeClass::Clean),
        (4.0, 0.0, StrikeClass::Thin),
        (4.0, 12.0, StrikeClass::Thin),
        (4.0, 20.0, StrikeClass::Topped),
        (4.0, 45.0, StrikeClass::Whiff),
        (4.0, -6.0, StrikeClass::Clean),
        (4.0, -8.0, StrikeClass::SlightlyHeavy),
        (4.0, -13.0, StrikeClass::Fat),
        (-2.0, -3.0, StrikeClass::Fat),
        (-2.0, 3.0, StrikeClass::Clean),
        (0.0, 3.0, StrikeClass::Clean),
        (0.0, -3.0, StrikeClass::Fat),
    ] {
        assert_eq!(
            strike(arc_of(s, h, mid_iron()), window).unwrap().class,
            expected,
            "{s} {h}"
        );
    }
    close(
        "37",
        window.contact_at_turf_level().as_millimetres(),
        -12.819,
        0.001,
    );
    close("38", window.clean_limit().as_millimetres(), 4.2552, 0.0001);
    close(
        "bladed limit",
        window.bladed_limit().as_millimetres(),
        11.32,
        0.005,
    );
    let at = |loft| {
        window
            .with_loft(deg(loft))
            .contact_at_turf_level()
            .as_millimetres()
    };
    close("contact at 14", at(14.0), -16.67, 0.005);
    close("contact at 38", at(38.0), -10.41, 0.005);
    let bladed = strike(arc_of(4.0, 12.0, mid_iron()), window).unwrap();
    assert!(bladed.bladed && !bladed.rising && bladed.contact_up_face < Length::ZERO);
    let rising = strike(arc_of(-2.0, -3.0, mid_iron()), window).unwrap();
    assert!(rising.rising);
    let kicked = strike(arc_of(-4.0, -2.0, mid_iron()), window).unwrap();
    assert!(kicked.turf_then_rising && kicked.class == StrikeClass::Fat);
}

const MID_IRON_GRID: &str = "\
+45 WWWWWWWWWWW
+40 WTTTTTTTWWW
+30 TTTTTTTTTTT
+22 TTTTTTTTTTT
+18 NNNNNNNTTTT
+14 NNNNNNNNNTT
+10 NNNNNNNNNNT
+7 NNNNNNNNNNN
+5 NNNNNNNNNNN
+3 NNCCCCNNNNN
+1 CCCCCCCCNNN
+0 CCCCCCCCNNN
-1 CCCCCCCCNNN
-2 FFFFHCCCCNN
-3 FFFFFHCCCNN
-4 FFFFFFHCCCN
-6 FFFFFFFHCCN
-8 FFFFFFFFHCC
-10 FFFFFFFFFHC
-13 FFFFFFFFFFH
-16 FFFFFFFFFFF
-20 FFFFFFFFFFF
";

const FAIRWAY_GRID: &str = "\
+45 WWWWWWWWWWW
+40 WTTTTTTTWWW
+30 TTTTTTTTTTT
+22 TTTTTTTTTTT
+18 NNNNNNNNTTT
+14 NNNNNNNNNNT
+10 NNNNNNNNNNN
+7 NCCCCCNNNNN
+5 CCCCCCCCNNN
+3 CCCCCCCCCNN
+1 CCCCCCCCCCN
+0 CCCCCCCCCCN
-1 CCCCCCCCCCC
-2 FFFFHCCCCCC
-3 FFFFFFCCCCC
-4 FFFFFFHCCCC
-6 FFFFFFFFCCC
-8 FFFFFFFFHCC
-10 FFFFFFFFFHC
-13 FFFFFFFFFFH
-16 FFFFFFFFFFF
-20 FFFFFFFFFFF
";

const WEDGE_GRID: &str = "\
+45 WWWWWWWWWWW
+40 WTTTTTTTWWW
+30 TTTTTTTTTTT
+22 TTTTTTTTTTT
+18 NNNNNNNTTTT
+14 NNNNNNNNNTT
+10 NNNNNNNNNNT
+7 NNNNNNNNNNN
+5 NNNNNNNNNNN
+3 NNNCCNNNNNN
+1 NCCCCCCNNNN
+0 CCCCCCCCNNN
-1 CCCCCCCCNNN
-2 FFFFFCCCNNN
-3 FFFFFFCCCNN
-4 FFFFFFHCCNN
-6 FFFFFFFHCCN
-8 FFFFFFFFHCC
-10 FFFFFFFFFHC
-13 FFFFFFFFFFC
-16 FFFFFFFFFFF
-20 FFFFFFFFFFF
";

/// The class tables of the reference (derived: inequalities and stepped arc agree), except the
/// cells it names as within 0.1 mm of height or 0.3 mm of position of a border.
#[test]
fn strike_grids() {
    type Case = (
        &'static str,
        Shape,
        StrikeWindow,
        &'static str,
        &'static [(i32, i32)],
    );
    let mid = StrikeWindow::MID_IRON;
    let wood = mid.with_loft(deg(14.0));
    let wedge = StrikeWindow {
        clean_contact: mm(6.0),
        ..mid.with_loft(deg(38.0))
    };
    let cases: [Case; 3] = [
        (
            "mid iron",
            mid_iron(),
            mid,
            MID_IRON_GRID,
            &[(0, -2), (1, -3), (3, 1), (4, -1)],
        ),
        (
            "fairway wood",
            shape(1.25, 53.0),
            wood,
            FAIRWAY_GRID,
            &[(0, -2), (1, -3), (3, -6), (4, -8), (6, -1)],
        ),
        (
            "wedge",
            shape(1.08, 64.0),
            wedge,
            WEDGE_GRID,
            &[(0, -2), (1, -3), (4, -2), (5, -10), (6, -8)],
        ),
    ];
    for (name, shape, window, grid, borders) in cases {
        let mut compared = 0;
        for line in grid.lines() {
            let (height, cells) = line.split_once(' ').unwrap();
            let h: i32 = height.parse().unwrap();
            for (s, expected) in (-4..=6).zip(cells.chars()) {
                if borders.contains(&(s, h)) {
                    continue;
                }
                let arc = arc_of(f64::from(s), f64::from(h), shape);
                let got = strike(arc, window).unwrap().class;
                assert_eq!(letter(got), expected, "{name}: s {s} in, h {h} mm");
                let limits = height_thresholds(arc.low_point(), shape, window).unwrap();
                assert_eq!(
                    limits.class(arc.height()),
                    got,
                    "{name}: s {s} in, h {h} mm"
                );
                compared += 1;
            }
        }
        assert_eq!(compared, 22 * 11 - borders.len(), "{name}");
    }
}

/// The margins table of the reference (derived), mid iron: clean heights to its 0.1 mm, then how
/// far back and forward from mid-height, to its millimetre.
#[test]
fn margins_table() {
    use StrikeClass::{SlightlyHeavy, Thin};
    let window = StrikeWindow::MID_IRON;
    for (s, low, high, back, back_class, forward) in [
        (-2.0, -1.5, 3.7, 54.0, Thin, 126.0),
        (0.0, -1.6, 4.2, 103.0, Thin, 73.0),
        (1.0, -2.2, 3.6, 136.0, Thin, 55.0),
        (2.0, -3.3, 2.6, 175.0, Thin, 43.0),
        (3.0, -4.9, 1.0, 59.0, SlightlyHeavy, 35.0),
        (4.0, -7.0, -1.1, 39.0, SlightlyHeavy, 29.0),
        (5.0, -9.7, -3.6, 30.0, SlightlyHeavy, 25.0),
        (6.0, -12.8, -6.7, 25.0, SlightlyHeavy, 22.0),
    ] {
        let limits = height_thresholds(inches(s), mid_iron(), window).unwrap();
        let (a, b) = limits.clean().unwrap();
        close("lowest clean", a.as_millimetres(), low, 0.07);
        close("highest clean", b.as_millimetres(), high, 0.07);
        let arc = Arc::of_shape(inches(s), (a + b) * 0.5, mid_iron()).unwrap();
        let margins = strike_margins(arc, window).unwrap();
        let (by, into) = margins.back.unwrap();
        close(&format!("back from {s}"), by.as_millimetres(), back, 1.0);
        assert_eq!(into, back_class);
        let (by, into) = margins.forward.unwrap();
        close(
            &format!("forward from {s}"),
            by.as_millimetres(),
            forward,
            1.0,
        );
        assert_eq!(into, Thin);
    }
}

/// A low point ahead is needed for a strike down but does not make it clean, and digging for the
/// turf with the low point behind cuts far behind the ball at any plane (derived, reference 2.3).
#[test]
fn ahead_is_needed_but_not_enough_and_hitting_down_harder_digs_behind() {
    for (h, class) in [
        (0.0, StrikeClass::Thin),
        (20.0, StrikeClass::Topped),
        (45.0, StrikeClass::Whiff),
    ] {
        let arc = arc_of(4.0, h, mid_iron());
        assert!(arc.attack() < deg(-4.0));
        assert_eq!(strike(arc, StrikeWindow::MID_IRON).unwrap().class, class);
    }
    for (plane, turf) in [(50.0, 130.0), (60.0, 123.0), (70.0, 119.0)] {
        let shape = shape(1.114, plane);
        let low = arc_of(-1.0, -6.0, shape);
        assert!(low.attack() > Angle::ZERO);
        let struck = strike(
            low,
            StrikeWindow {
                grass: Length::ZERO,
                ..StrikeWindow::MID_IRON
            },
        );
        let struck = struck.unwrap();
        assert_eq!(struck.class, StrikeClass::Fat);
        // The reference counts with its grass; 20 mm covers both.
        close("turf", struck.turf_before.as_millimetres(), turf, 20.0);
    }
    // Longer club, ball further forward: less far ahead and less down.
    let iron = arc_of(3.0, -3.0, mid_iron());
    let forward = iron.with_ball_forward(inches(1.68)).unwrap();
    close("attack", iron.attack().as_degrees(), -3.4, 0.05);
    close(
        "a ball width forward",
        forward.attack().as_degrees(),
        -1.5,
        0.05,
    );
    let driver = Shape::from_vertical_radius(inches(71.6), deg(47.0)).unwrap();
    close(
        "driver",
        driver.attack(inches(1.32)).unwrap().as_degrees(),
        -1.06,
        0.01,
    );
}
