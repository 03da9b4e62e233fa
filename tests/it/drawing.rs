//! Drawings of arc and impact: whole pictures as text, and what holds for all of them.

use proptest::prelude::*;
use swingwhy::geometry::arc::{Arc, Shape};
use swingwhy::geometry::impact::Delivery;
use swingwhy::geometry::strike::StrikeWindow;
use swingwhy::geometry::teed::TeedWindow;
use swingwhy::quantity::{Angle, Length};
use swingwhy::vocabulary::Hand;
use swingwhy::wording::{
    BallOn, Drawing, side_sentence, side_view, svg_side_view, svg_view_from_above, view_from_above,
};

const PLAIN: Drawing = Drawing {
    plain: true,
    metric: false,
    hand: Some(Hand::Right),
};

fn arc(s_in: f64, h_mm: f64) -> Arc {
    let shape = Shape::new(Length::metres(1.114), Angle::degrees(60.0)).unwrap();
    Arc::of_shape(Length::inches(s_in), Length::millimetres(h_mm), shape).unwrap()
}

fn delivery(face: f64, path: f64) -> Delivery {
    Delivery {
        face: Angle::degrees(face),
        path: Angle::degrees(path),
        dynamic_loft: Angle::degrees(22.0),
        attack: Angle::degrees(-4.0),
    }
}

#[test]
fn side_views() {
    let turf = BallOn::Turf(StrikeWindow::MID_IRON);
    insta::assert_snapshot!(
        "side_clean",
        side_view(arc(4.0, -5.0), turf, PLAIN).unwrap()
    );
    insta::assert_snapshot!("side_fat", side_view(arc(-2.0, -6.0), turf, PLAIN).unwrap());
    let metric = Drawing {
        plain: false,
        metric: true,
        hand: None,
    };
    insta::assert_snapshot!(
        "side_thin_metric",
        side_view(arc(4.0, 3.0), turf, metric).unwrap()
    );
    let shape = Shape::new(Length::metres(1.33), Angle::degrees(47.0)).unwrap();
    let drive = Arc::of_shape(Length::inches(-3.7), Length::millimetres(11.0), shape).unwrap();
    let tee = BallOn::Tee(TeedWindow::DRIVER);
    insta::assert_snapshot!("side_driver", side_view(drive, tee, PLAIN).unwrap());
}

/// Grass or turf that an arc meets before the ball comes first, however little it costs; one that meets
/// it under the ball or past it meets the ball first.
#[test]
fn what_is_met_first_is_said_first() {
    let turf = BallOn::Turf(StrikeWindow::MID_IRON);
    for (low, height, said) in [
        (
            -3.8,
            -0.7,
            "It only brushes the grass, from 5.5 in behind the ball to 2.1 in behind the ball. The grass comes first,",
        ),
        (
            3.0,
            -0.2,
            "It only brushes the grass, from 2.1 in ahead of the ball to 3.9 in ahead of the ball. The ball comes first",
        ),
        (
            -1.5,
            -1.501,
            "of turf come before the ball, too little to cost anything",
        ),
        (4.0, -5.0, "The ball comes first"),
        (-2.0, -6.0, "of turf come before the ball: fat."),
    ] {
        let told = side_sentence(arc(low, height), turf, PLAIN).unwrap();
        assert!(told.contains(said), "{low} {height}: {told}");
        let first = told.contains("The ball comes first") || told.contains("still comes first");
        assert_eq!(first, low > 0.0, "{told}");
    }
}

#[test]
fn views_from_above() {
    insta::assert_snapshot!(
        "above_slice",
        view_from_above(delivery(2.0, -4.0), PLAIN).unwrap()
    );
    let left = Drawing {
        hand: Some(Hand::Left),
        ..PLAIN
    };
    insta::assert_snapshot!(
        "above_left",
        view_from_above(delivery(2.0, -4.0), left).unwrap()
    );
}

/// The same numbers are in the drawing's description as in the sentence.
#[test]
fn scalable_drawings_carry_the_sentence() {
    let turf = BallOn::Turf(StrikeWindow::MID_IRON);
    let svg = svg_side_view(arc(4.0, -5.0), turf, PLAIN).unwrap();
    assert!(svg.contains(&side_sentence(arc(4.0, -5.0), turf, PLAIN).unwrap()));
    insta::assert_snapshot!(
        "svg_above",
        svg_view_from_above(delivery(2.0, -4.0), PLAIN).unwrap()
    );
}

/// Every tag that opens closes, and no number is missing.
fn well_formed(svg: &str) -> bool {
    let opened = svg.matches("<svg").count()
        + svg.matches("<text").count()
        + svg.matches("<title").count()
        + svg.matches("<desc").count();
    let closed = svg.matches("</").count();
    let alone = svg.matches("<rect").count()
        + svg.matches("<line").count()
        + svg.matches("<circle").count()
        + svg.matches("<polygon").count()
        + svg.matches("<polyline").count();
    opened == closed
        && alone == svg.matches("/>").count()
        && !svg.contains("NaN")
        && !svg.contains("inf")
}

proptest! {
    /// Any arc: at most 76 columns, ASCII when plain, one low point, a ball, well-formed SVG.
    #[test]
    fn every_drawing_fits(
        s in -15.0..20.0f64, h in -60.0..80.0f64, tee in 0.0..60.0f64, metric: bool,
        face in -40.0..40.0f64, path in -40.0..40.0f64,
    ) {
        let arc = arc(s, h);
        let drawing = Drawing { metric, ..PLAIN };
        let tee = TeedWindow { tee: Length::millimetres(tee), ..TeedWindow::DRIVER };
        for ball in [BallOn::Turf(StrikeWindow::MID_IRON), BallOn::Tee(tee)] {
            let text = side_view(arc, ball, drawing).unwrap();
            prop_assert!(text.is_ascii());
            prop_assert!(text.lines().all(|line| line.len() <= 76), "{}", text);
            prop_assert!(text.contains('o'));
            prop_assert!(well_formed(&svg_side_view(arc, ball, drawing).unwrap()));
        }
        let text = view_from_above(delivery(face, path), drawing).unwrap();
        prop_assert!(text.is_ascii() && text.lines().all(|line| line.len() <= 76), "{}", text);
        prop_assert!(well_formed(&svg_view_from_above(delivery(face, path), drawing).unwrap()));
    }
}
