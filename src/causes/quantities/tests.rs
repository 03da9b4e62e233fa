//! How causes and person move a golfer: check values and laws of the rules in `quantities`.

use super::super::mid_iron::{mid_iron, settings};
use super::super::model::Shift;
use super::*;
use crate::vocabulary::CauseId;

fn cause(shifts: &[(Axis, f64)]) -> CauseModel {
    let shifts = shifts
        .iter()
        .map(|&(axis, mean)| Shift {
            axis,
            mean,
            sd: 0.0,
        })
        .collect();
    CauseModel {
        prior: 0.1,
        prior_factor: 1.0,
        shifts: vec![shifts],
        leads_to: Vec::new(),
        condition: false,
        habit: false,
        effort: 1.0,
    }
}

/// Axes of a golfer with these causes and no deviations, against the usual golfer's.
fn change(causes: &[CauseModel], axis: Axis) -> f32 {
    let normal = Normal::new(8);
    let tables = GroupTables::new(&mid_iron(), 0, causes, &settings(), &normal);
    let ids: Vec<CauseId> = (0..causes.len()).map(CauseId::from_index).collect();
    let golfer = Golfer {
        causes: &ids,
        person: &[],
        seed: 0,
        index: 0,
        set: &[],
    };
    let axes = tables.quantities(&golfer, &normal, true, &[0.0; AXES]);
    axes[axis as usize] - tables.usual[axis as usize]
}

#[test]
fn the_usual_golfer_has_the_usual_values() {
    let tables = GroupTables::new(&mid_iron(), 0, &[], &settings(), &Normal::new(8));
    let at = |axis: Axis| tables.usual[axis as usize];
    assert!((at(Axis::LowPoint) - 2.5).abs() < 1e-6);
    assert!((at(Axis::DeliveredLoft) - 27.5).abs() < 1e-5);
    assert!(at(Axis::DynamicLoft).abs() < 1e-6 && at(Axis::SpinLoftDelivered).abs() < 1e-5);
    // K = R / sin plane = 51.1 in, so 2.5 in ahead is 2.8 deg down (geometry).
    assert!(
        (at(Axis::AttackAngle) + 2.80).abs() < 0.01,
        "{}",
        at(Axis::AttackAngle)
    );
}

/// Push of the face by a toe that sits down one degree: .36 deg at 20 deg of loft, .53 at 28,
/// 1.04 at 46, 1.60 at 58 (worked from the turned face normal).
#[test]
fn a_wrong_lie_turns_the_face() {
    for (loft, push) in [
        (10.5, 0.19),
        (20.0, 0.36),
        (28.0, 0.53),
        (46.0, 1.04),
        (58.0, 1.60),
    ] {
        assert!((lie_push(loft, -1.0) - push).abs() < 0.006, "{loft}");
        assert!((lie_push(loft, 1.0) + push).abs() < 0.006, "{loft}");
    }
}

#[test]
fn shifts_in_one_direction_add_to_less_than_their_sum() {
    let back = cause(&[(Axis::LowPoint, -2.0)]);
    let single = change(std::slice::from_ref(&back), Axis::LowPoint);
    let triple = change(&[back.clone(), back.clone(), back.clone()], Axis::LowPoint);
    assert!((single + 2.0).abs() < 1e-5);
    // (3 x 2^1.6)^(1/1.6) = 3.97
    assert!((triple + 3.97).abs() < 0.01, "{triple}");
    let forward = cause(&[(Axis::LowPoint, 1.5)]);
    assert!((change(&[back, forward], Axis::LowPoint) + 0.5).abs() < 1e-5);
}

#[test]
fn golfers_re_aim_and_the_face_follows() {
    let back = [cause(&[(Axis::LowPoint, -2.0)])];
    let path = change(&back, Axis::ClubPath);
    // 2 in of low point turn the path by 2 x 25.4 / 1120 x cos 59.7 = 1.31 deg; half is aimed away.
    assert!((path + 0.5 * 1.31).abs() < 0.02, "{path}");
    let face = change(&back, Axis::FaceAngle);
    assert!((face + 0.9 * 0.5 * 1.31).abs() < 0.02, "{face}");
    assert!((change(&back, Axis::AttackAngle) - 2.24).abs() < 0.02);
}

#[test]
fn height_is_steered_and_the_rescue_costs_spread() {
    // A low point 2 in back calls for a higher arc: most of that is done.
    let back = [cause(&[(Axis::LowPoint, -2.5)])];
    let raised = change(&back, Axis::ArcHeight);
    assert!(raised > 0.5 && raised < 4.0, "{raised}");
    let spread_back = change(&back, Axis::ArcHeightSpread);
    let ahead = [cause(&[(Axis::LowPoint, 1.0)])];
    let spread_ahead = change(&ahead, Axis::ArcHeightSpread);
    assert!(
        spread_back > 0.3 && spread_back > spread_ahead,
        "{spread_back} {spread_ahead}"
    );
    assert!(change(&back, Axis::OwnHeightSpread).abs() < 1e-6);
    // 10 mm of lost radius lift the arc by half of that; instinct takes out .62 of it.
    let bent = [cause(&[(Axis::RadiusLost, 10.0)])];
    let lifted = change(&bent, Axis::ArcHeight);
    assert!((lifted - 0.38 * 5.0).abs() < 0.05, "{lifted}");
}

#[test]
fn chances_add_as_independent_chances_and_spreads_in_quadrature() {
    let wide = cause(&[(Axis::FaceAngleSpread, 2.0)]);
    let spread = change(&[wide.clone(), wide], Axis::FaceAngleSpread);
    assert!(
        (spread - ((6.25f32 + 8.0).sqrt() - 2.5)).abs() < 1e-4,
        "{spread}"
    );
    // Seven in ten golfers with the cause: one of middling luck has it.
    let off = [cause(&[(Axis::Response, 0.7)])];
    assert!((change(&off, Axis::Response) - 1.0).abs() < 1e-6);
    let rare = [cause(&[(Axis::Response, 0.3)])];
    assert!(change(&rare, Axis::Response).abs() < 1e-6);
}
