//! The geometry against an implementation in another language and by other methods.
//!
//! `tests/reference/geometry_fixtures.py` wrote the cases; this test needs no Python. Each case
//! compares every number with a stated tolerance; run with `--nocapture` for the table of cases
//! and largest differences.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use swingwhy::geometry::air::Air;
use swingwhy::geometry::arc::{Arc, Shape};
use swingwhy::geometry::flight::{Aerodynamics, Ball, Launch, Wind, fly};
use swingwhy::geometry::impact::{self, Delivery, FaceShare};
use swingwhy::geometry::rates::{Scatter, Spread, Tail, class_rates, teed_rates};
use swingwhy::geometry::strike::{StrikeClass, StrikeWindow, height_thresholds, strike};
use swingwhy::geometry::teed::TeedWindow;
use swingwhy::quantity::{Angle, Length, Ratio, Speed, Spin, Temperature};

type Case<'a> = BTreeMap<&'a str, &'a str>;

fn cases(file: &str) -> impl Iterator<Item = Case<'_>> {
    let (header, rows) = file.split_once('\n').unwrap();
    rows.lines()
        .map(move |row| header.split(',').zip(row.split(',')).collect())
}

fn number(case: &Case<'_>, name: &str) -> f64 {
    case[name].parse().unwrap()
}

/// Largest difference of each number so far.
#[derive(Default)]
struct Table {
    cases: usize,
    largest: BTreeMap<&'static str, f64>,
}

impl Table {
    #[track_caller]
    fn compare(&mut self, case: &Case<'_>, name: &'static str, got: f64, tolerance: f64) {
        let expected = number(case, name);
        let difference = (got - expected).abs();
        assert!(
            difference <= tolerance,
            "{name}: {got}, expected {expected}: {case:?}"
        );
        let largest = self.largest.entry(name).or_default();
        *largest = largest.max(difference);
    }

    #[allow(clippy::print_stdout, reason = "the table is read with --nocapture")]
    fn print(&self, what: &str) {
        let mut line = format!("{what}: {} cases; largest difference:", self.cases);
        for (name, largest) in &self.largest {
            let _ = write!(line, " {name} {largest:.1e}");
        }
        println!("{line}");
    }
}

fn mm(v: f64) -> Length {
    Length::millimetres(v)
}

fn shape_of(case: &Case<'_>) -> Shape {
    let radius = Length::metres(number(case, "radius_m"));
    Shape::new(radius, Angle::degrees(number(case, "plane_deg"))).unwrap()
}

fn window_of(case: &Case<'_>) -> StrikeWindow {
    StrikeWindow {
        loft: Angle::degrees(number(case, "loft_deg")),
        leading_edge: mm(number(case, "lead_mm")),
        clean_contact: mm(number(case, "contact_mm")),
        grass: mm(number(case, "grass_mm")),
        heavy_cut: mm(number(case, "heavy_mm")),
        fat_cut: mm(number(case, "fat_mm")),
    }
}

fn scatter_of(case: &Case<'_>) -> Scatter {
    let tail = Tail {
        share: Ratio::of_one(number(case, "tail")),
        low_point_factor: Ratio::of_one(number(case, "tail_s")),
        height_factor: Ratio::of_one(number(case, "tail_h")),
        lift: mm(number(case, "lift_mm")),
    };
    let spread = |mean, sd| Spread { mean, sd };
    Scatter {
        low_point: spread(
            Length::inches(number(case, "s_in")),
            Length::inches(number(case, "sd_s_in")),
        ),
        height: spread(mm(number(case, "h_mm")), mm(number(case, "sd_h_mm"))),
        tail: Some(tail),
    }
}

#[test]
fn arc() {
    let mut table = Table::default();
    for case in cases(include_str!("../reference/fixtures/geometry_arc.csv")) {
        table.cases += 1;
        let low_point = Length::inches(number(&case, "s_in"));
        let arc = Arc::of_shape(low_point, mm(number(&case, "h_mm")), shape_of(&case)).unwrap();
        let height = arc.edge_height(mm(number(&case, "x_mm")));
        table.compare(&case, "attack_deg", arc.attack().as_degrees(), 1e-8);
        table.compare(&case, "shift_deg", arc.path_shift().as_degrees(), 1e-8);
        table.compare(&case, "height_mm", height.as_millimetres(), 1e-7);
        let cut = arc.cut(mm(number(&case, "grass_mm")));
        assert_eq!(cut.is_none(), case["start_mm"].is_empty(), "{case:?}");
        if let Some(cut) = cut {
            table.compare(&case, "start_mm", cut.start.as_millimetres(), 1e-7);
            table.compare(&case, "end_mm", cut.end.as_millimetres(), 1e-7);
            table.compare(&case, "entry_deg", cut.entry.as_degrees(), 1e-7);
        }
    }
    assert_eq!(table.cases, 700);
    table.print("arc");
}

#[test]
fn strike_classes() {
    let mut table = Table::default();
    let mut skipped = 0;
    for case in cases(include_str!("../reference/fixtures/geometry_strike.csv")) {
        table.cases += 1;
        let (shape, window) = (shape_of(&case), window_of(&case));
        let low_point = Length::inches(number(&case, "s_in"));
        let arc = Arc::of_shape(low_point, mm(number(&case, "h_mm")), shape).unwrap();
        let struck = strike(arc, window).unwrap();
        table.compare(&case, "edge_mm", struck.edge_height.as_millimetres(), 1e-6);
        table.compare(&case, "x_mm", struck.edge_ahead.as_millimetres(), 1e-6);
        table.compare(&case, "turf_mm", struck.turf_before.as_millimetres(), 1e-6);
        table.compare(
            &case,
            "up_face_mm",
            struck.contact_up_face.as_millimetres(),
            1e-6,
        );
        if number(&case, "border_mm") < 1e-5 {
            skipped += 1;
            continue;
        }
        let expected = match case["class"] {
            "whiff" => StrikeClass::Whiff,
            "topped" => StrikeClass::Topped,
            "thin" => StrikeClass::Thin,
            "clean" => StrikeClass::Clean,
            "heavy" => StrikeClass::SlightlyHeavy,
            "fat" => StrikeClass::Fat,
            other => panic!("{other}"),
        };
        assert_eq!(struck.class, expected, "{case:?}");
        assert_eq!(
            u8::from(struck.bladed).to_string(),
            case["bladed"],
            "{case:?}"
        );
        assert_eq!(
            u8::from(struck.rising).to_string(),
            case["rising"],
            "{case:?}"
        );
        let limits = height_thresholds(low_point, shape, window).unwrap();
        assert_eq!(limits.class(arc.height()), expected, "{case:?}");
    }
    assert_eq!(table.cases, 1000);
    assert!(skipped <= 1, "cases on a border: {skipped}");
    table.print("strike");
}

/// Twelve or so places against four hundred: 0.004 at worst, and far less as a rule.
#[test]
fn rates() {
    let mut table = Table::default();
    let (mut sum, mut count) = (0.0, 0.0);
    for case in cases(include_str!("../reference/fixtures/geometry_rates.csv")) {
        table.cases += 1;
        let rates = class_rates(shape_of(&case), window_of(&case), scatter_of(&case)).unwrap();
        for (name, rate) in [
            ("whiff", rates.whiff),
            ("topped", rates.topped),
            ("thin", rates.thin),
            ("bladed", rates.bladed),
            ("clean", rates.clean),
            ("heavy", rates.slightly_heavy),
            ("fat", rates.fat),
        ] {
            table.compare(&case, name, rate.as_of_one(), 0.004);
            sum += (rate.as_of_one() - number(&case, name)).abs();
            count += 1.0;
        }
    }
    assert_eq!(table.cases, 400);
    assert!(sum / count < 1e-4, "mean difference {}", sum / count);
    table.print("rates");
    println!("rates: mean difference {:.1e}", sum / count);
}

#[test]
fn teed() {
    let mut table = Table::default();
    for case in cases(include_str!("../reference/fixtures/geometry_teed.csv")) {
        table.cases += 1;
        let window = TeedWindow {
            tee: mm(number(&case, "tee_mm")),
            ..TeedWindow::DRIVER.with_loft(Angle::degrees(number(&case, "loft_deg")))
        };
        let rates = teed_rates(shape_of(&case), window, scatter_of(&case)).unwrap();
        for (name, rate) in [
            ("whiff", rates.whiff),
            ("topped", rates.topped),
            ("low", rates.low_face),
            ("clean", rates.clean),
            ("sky", rates.sky),
            ("kick", rates.drop_kick),
            ("fat", rates.fat),
        ] {
            table.compare(&case, name, rate.as_of_one(), 0.004);
        }
    }
    assert_eq!(table.cases, 200);
    table.print("teed");
}

#[test]
fn impacts() {
    let mut table = Table::default();
    for case in cases(include_str!("../reference/fixtures/geometry_impact.csv")) {
        table.cases += 1;
        let angle = |name: &str| Angle::degrees(number(&case, name));
        let delivery = Delivery {
            face: angle("face_deg"),
            path: angle("path_deg"),
            dynamic_loft: angle("loft_deg"),
            attack: angle("attack_deg"),
        };
        let ball = delivery.departure(FaceShare::Fitted).unwrap();
        let club = Speed::mph(number(&case, "club_mph"));
        let push = impact::lie_push(angle("loft_deg"), angle("lie_deg")).unwrap();
        let spin = impact::rolling_spin(club, ball.spin_loft).unwrap();
        let ratio = impact::ball_speed_ratio(ball.spin_loft).unwrap();
        table.compare(&case, "spin_loft_deg", ball.spin_loft.as_degrees(), 1e-7);
        table.compare(&case, "launch_deg", ball.launch.as_degrees(), 1e-7);
        table.compare(&case, "start_deg", ball.start.as_degrees(), 1e-7);
        table.compare(&case, "tilt_deg", ball.axis_tilt.as_degrees(), 1e-7);
        table.compare(&case, "push_deg", push.as_degrees(), 1e-7);
        table.compare(&case, "spin_rpm", spin.as_rpm(), 1e-4);
        table.compare(&case, "ratio", ratio.as_of_one(), 1e-9);
    }
    assert_eq!(table.cases, 600);
    table.print("impact");
}

#[test]
fn flights() {
    let mut table = Table::default();
    for case in cases(include_str!("../reference/fixtures/geometry_flight.csv")) {
        table.cases += 1;
        let model = match case["model"] {
            "naruo" => Aerodynamics::Naruo2004,
            "smits" => Aerodynamics::SmitsSmith1994,
            other => panic!("{other}"),
        };
        let launch = Launch {
            ball_speed: Speed::mph(number(&case, "mph")),
            launch: Angle::degrees(number(&case, "launch_deg")),
            start: Angle::degrees(number(&case, "start_deg")),
            spin: Spin::rpm(number(&case, "rpm")),
            axis_tilt: Angle::degrees(number(&case, "tilt_deg")),
        };
        let air = Air::new(
            Temperature::celsius(number(&case, "celsius")),
            Length::metres(number(&case, "altitude_m")),
            Ratio::of_one(number(&case, "humidity")),
        )
        .unwrap();
        let wind = Wind {
            tail: Speed::mph(number(&case, "tail_mph")),
            cross: Speed::mph(number(&case, "cross_mph")),
        };
        let flight = fly(launch, Ball::with(model), air, wind).unwrap();
        table.compare(&case, "carry_yd", flight.carry.as_yards(), 1e-3);
        table.compare(&case, "side_yd", flight.side.as_yards(), 1e-3);
        table.compare(&case, "apex_yd", flight.apex.as_yards(), 1e-3);
        table.compare(&case, "landing_deg", flight.landing.as_degrees(), 1e-3);
        table.compare(&case, "time_s", flight.time.as_seconds(), 1e-4);
        table.compare(&case, "spin_left", flight.spin_left.as_of_one(), 1e-6);
    }
    assert_eq!(table.cases, 300);
    table.print("flight");
}
