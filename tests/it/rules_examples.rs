//! The rule language as it is written, over example rules of every form: what follows, what goes
//! again, why and why not. Rules in, text out.

use crate::rule_programs::{Session, load};
use insta::assert_snapshot;

/// Says some things and shows everything that follows.
fn after(told: &[&str]) -> String {
    let program = load("turf");
    let mut session = Session::new(&program);
    for line in told {
        session.tell(line);
    }
    session.settle();
    session.show()
}

#[test]
fn a_measured_turf_entry_becomes_a_low_point_and_an_attack_angle() {
    let told = [
        "0 turf_entry 2 in +/- 0.5 in",
        "0 radius 1.6 m +/- 0.1 m",
        "0 plane 60 deg +/- 3 deg",
    ];
    assert_snapshot!(after(&told));
}

#[test]
fn a_told_depth_takes_the_place_of_the_assumed_one() {
    let program = load("turf");
    let mut session = Session::new(&program);
    session.tell("0 turf_entry 2 in +/- 0.5 in");
    session.tell("0 radius 1.6 m");
    session.tell("0 plane 60 deg");
    session.settle();
    let assumed = session.show();
    session.tell("0 mark_depth 15 mm +/- 2 mm");
    session.settle();
    let told = session.show();
    session.take_back("0 mark_depth 15 mm +/- 2 mm");
    session.settle();
    assert_eq!(session.show(), assumed);
    assert_snapshot!(told);
}

#[test]
fn fat_with_one_club_and_thin_with_another_of_the_same_group() {
    let told = [
        "0 fat true",
        "0 group iron",
        "0 club seven",
        "0 divot deep",
        "1 thin true",
        "1 group iron",
        "2 thin true",
        "2 group wedge",
        "3 fat true",
        "3 club six",
    ];
    assert_snapshot!(after(&told));
}

#[test]
fn a_mark_ahead_contradicts_a_fat_shot() {
    let told = [
        "0 fat true",
        "0 mark_ahead true",
        "1 thin true",
        "1 thin false",
    ];
    assert_snapshot!(after(&told));
}

#[test]
fn two_depths_far_apart_are_both_named() {
    let told = [
        "0 turf_entry 2 in",
        "0 mark_depth 20 mm +/- 1 mm",
        "0 mark_depth 5 mm +/- 2 mm",
    ];
    assert_snapshot!(after(&told));
}

#[test]
fn why_goes_down_to_what_was_said() {
    let program = load("turf");
    let mut session = Session::new(&program);
    for line in [
        "0 turf_entry 2 in",
        "0 radius 1.6 m",
        "0 plane 60 deg",
        "0 fat true",
        "0 divot deep",
        "1 fat true",
    ] {
        session.tell(line);
    }
    session.settle();
    let mut text = session.why("0 low_point_behind true");
    text += &session.why("0 steep_player true");
    text += &session.why("0 habit true");
    assert_snapshot!(text);
}

#[test]
fn why_not_names_the_nearest_rule_and_what_would_decide_it() {
    let program = load("turf");
    let mut session = Session::new(&program);
    for line in ["0 turf_entry 2 in", "0 radius 1.6 m", "0 fat true"] {
        session.tell(line);
    }
    session.settle();
    let mut text = session.why_not("0 low_point_behind true");
    text += &session.why_not("0 attack_angle");
    text += &session.why_not("0 low_point_moves true");
    text += &session.why_not("0 habit true");
    assert_snapshot!(text);
}
