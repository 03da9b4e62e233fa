//! Golfers to be believed: unhurt, within what bodies do, kept to the subject of their level, without
//! contradictions in what they say; and numbers whose range holds what it says.

use std::collections::BTreeSet;

use super::{mind, phrases, pupil};
use crate::support::base;
use swingwhy::causes::model::Axis;
use swingwhy::learning::{Answer, Desk, Done, Piece, Pupil, Way, contradict, draw};
use swingwhy::quantity::Unit;
use swingwhy::vocabulary::{CauseId, Hand};
use swingwhy::wording::learning::speech;

/// What nobody says of one club in one breath, written out by hand: of each line no two entries that
/// stand on different sides of a bar.
const APART: [&str; 11] = [
    "divot_starts_behind_far divot_starts_behind_slight fat fat_slight | divot_starts_at_ball | divot_starts_ahead divot_starts_far_ahead | divot_none_iron",
    "divot_none_iron | divot_deep divot_shallow divot_long divot_short_stabby divot_toe_deep divot_heel_deep divot_points_pull_side divot_points_push_side",
    "divot_deep | divot_shallow",
    "divot_toe_deep | divot_heel_deep",
    "divot_points_pull_side | divot_points_push_side",
    "starts_push_side flight_push_straight flight_push_slice flight_push_hook | starts_pull_side flight_pull_straight flight_pull_fade flight_pull_hook | flight_online_slice flight_online_hook",
    "curve_push_mild curve_push_big flight_push_slice flight_pull_fade flight_online_slice | curve_pull_mild curve_pull_big flight_pull_hook flight_push_hook flight_online_hook | flight_push_straight flight_pull_straight",
    "height_too_low worm_burner dives | height_too_high balloons sky",
    "contact_heel shank face_wear_heel | contact_toe face_wear_toe | contact_centre",
    "contact_high_face | contact_low_face",
    "dispersion_one_sided | dispersion_two_way",
];

fn against(one: &str, other: &str) -> bool {
    APART.iter().any(|line| {
        let side = |id: &str| {
            line.split(" | ")
                .position(|s| s.split(' ').any(|w| w == id))
        };
        matches!((side(one), side(other)), (Some(a), Some(b)) if a != b)
    })
}

#[test]
fn the_table_by_hand_and_the_events_agree() {
    let base = base();
    for line in APART {
        for id in line.split([' ', '|']).filter(|w| !w.is_empty()) {
            assert!(base.find_symptom(id).is_some(), "{id}");
        }
    }
    let ids: Vec<&str> = base.symptoms.ids().collect();
    for one in &ids {
        for other in &ids {
            let of = |id: &str| (base.find_symptom(id).unwrap(), "");
            let found = contradict(&base, Hand::Right, of(one), of(other));
            assert_eq!(found, contradict(&base, Hand::Right, of(other), of(one)));
            assert!(found || !against(one, other), "{one} with {other}");
            assert!(one != other || !found, "{one} with itself");
        }
    }
    // Fat and thin, low and toward the toe, deep marks that start behind: golfers have both.
    for (one, other) in [
        ("fat", "thin"),
        ("contact_toe", "contact_low_face"),
        ("divot_deep", "divot_starts_behind_far"),
        ("flight_pull_fade", "starts_pull_side"),
        ("curve_push_big", "starts_push_side"),
        ("thin", "divot_none_iron"),
    ] {
        let of = |id: &str| (base.find_symptom(id).unwrap(), "");
        assert!(
            !contradict(&base, Hand::Right, of(one), of(other)),
            "{one} with {other}"
        );
    }
    let one_sided = base.find_symptom("dispersion_one_sided").unwrap();
    let push = base.find_symptom("curve_push_big").unwrap();
    for (hand, words, wrong) in [
        (Hand::Right, "miss is always left never right", true),
        (Hand::Right, "miss is always right never left", false),
        (Hand::Left, "miss is always left never right", false),
    ] {
        assert_eq!(
            contradict(&base, hand, (one_sided, words), (push, "bends")),
            wrong,
            "{words}"
        );
    }
}

/// Words that no golfer here should be made to say.
const UNKIND: [&str; 10] = [
    "girl", "lady", "ladies", "woman", "wife", "idiot", "stupid", "shit", "murder", "drunk",
];

#[test]
fn openings_hold_no_contradiction_no_pain_and_nothing_rude() {
    let mind = &mut mind();
    let base = base();
    for seed in 0..300 {
        let pupil = pupil(mind, 20_000 + seed);
        let said = speech(&base, &pupil);
        let mentions = &pupil.account.mentions;
        for (at, one) in mentions.iter().enumerate() {
            for other in mentions
                .iter()
                .skip(at + 1)
                .filter(|m| m.stand == one.stand)
            {
                let id = |m: &swingwhy::learning::Mention| base.symptom(m.symptom).id.clone();
                assert!(!against(&id(one), &id(other)), "{seed}: {said}");
                let side = |m: &swingwhy::learning::Mention| {
                    let always = m.words.contains("never") || m.words.contains("always");
                    always.then(|| m.words.find("left") < m.words.find("right"))
                };
                assert!(
                    side(one).is_none() || side(other).is_none() || side(one) == side(other),
                    "{seed}: {said}"
                );
            }
        }
        let plain = said.to_lowercase();
        let words: BTreeSet<&str> = plain.split(|c: char| !c.is_alphabetic()).collect();
        for word in UNKIND {
            assert!(!words.contains(word), "{seed}: {said}");
        }
        let first = base.model.groups[pupil.first.group.index()].teed;
        let second = pupil.second.as_ref();
        let teed = first || second.is_some_and(|s| base.model.groups[s.group.index()].teed);
        for word in ["tee", "teed", "teeing", "tees"] {
            assert!(
                teed || pupil.account.chatter.iter().any(|c| c.contains(word))
                    || !words.contains(word),
                "{seed}: {said}"
            );
        }
        let hurt = base.find_cause("k_pain_guard").unwrap();
        assert!(!pupil.has(hurt), "{seed}");
        let pain = base.find_symptom("feel_pain").unwrap();
        assert!(mentions.iter().all(|m| m.symptom != pain), "{seed}: {said}");
    }
}

fn of(pupil: &Pupil, axis: Axis, unit: Unit) -> f64 {
    let axes = &pupil.first.case.axes;
    let found = axes.iter().find(|(a, _)| *a == axis).unwrap();
    found.1.value_in(unit).unwrap()
}

#[test]
fn golfers_swing_as_bodies_do_and_stay_with_their_level() {
    let mind = &mut mind();
    let base = base();
    for seed in 0..120 {
        let pupil = pupil(mind, 30_000 + seed);
        let attack = of(&pupil, Axis::AttackAngle, Unit::Degree);
        assert!((-10.0..=8.0).contains(&attack), "{seed}: attack {attack}");
        let low = of(&pupil, Axis::LowPoint, Unit::Inch);
        assert!((-10.0..=10.0).contains(&low), "{seed}: low point {low}");
        let height = of(&pupil, Axis::ArcHeight, Unit::Millimetre);
        assert!((-11.0..=32.0).contains(&height), "{seed}: {height}");
    }
    let levels: Vec<_> = base.levels.iter().cloned().collect();
    for seed in 0..25 {
        let fat = draw(mind, phrases(), 400 + seed, &levels[0].wish).unwrap();
        for effect in &fat.first.case.effects {
            let family = &base.effect(*effect).family;
            assert!(
                !["path", "face"].contains(&family.as_str())
                    || base.effect(*effect).id.ends_with("unstable"),
                "{seed}: {}",
                base.effect(*effect).name
            );
        }
        let strike = draw(mind, phrases(), 400 + seed, &levels[2].wish).unwrap();
        let family = &base.effect(strike.fault).family;
        assert!(!["attack", "low point", "path", "face"].contains(&family.as_str()));
        for pupil in [&fat, &strike] {
            for mention in &pupil.account.mentions {
                let kind = base.symptom(mention.symptom).kind.as_str();
                assert!(
                    !["start", "curve", "shape"].contains(&kind),
                    "{seed}: {kind}"
                );
            }
        }
    }
}

#[test]
fn a_range_holds_the_average_in_about_95_of_a_hundred() {
    let mind = &mut mind();
    let base = base();
    let (mut held, mut of_all) = (0, 0);
    for seed in 0..220 {
        let pupil = pupil(mind, 40_000 + seed);
        let mut desk = Desk::new(&base, &pupil);
        let step = desk.measured(mind, &pupil, 0).unwrap().done.clone();
        let Done::Measured { reads, .. } = step else {
            panic!("not measured");
        };
        for read in reads {
            if pupil.mistaken.is_some_and(|(q, _)| q == read.quantity) {
                continue;
            }
            let (axis, _) = base.model.measured[read.quantity.index()].unwrap();
            let axes = &pupil.first.case.axes;
            let average = axes.iter().find(|(a, _)| *a == axis).unwrap().1.base();
            of_all += 1;
            held += usize::from((read.value.base() - average).abs() <= read.range.base());
        }
    }
    let share = f64::from(held as u32) / f64::from(of_all as u32);
    assert!(
        (0.92..=0.98).contains(&share),
        "{held} of {of_all}: {share}"
    );
}

#[test]
fn who_thinks_it_is_so_says_yes_when_asked() {
    let mind = &mut mind();
    let base = base();
    let mut met = 0;
    for seed in 0..80 {
        let pupil = pupil(mind, 50_000 + seed);
        let Some(hunch) = pupil.account.hunch.clone() else {
            continue;
        };
        let [cause] = hunch.causes.as_slice() else {
            continue;
        };
        let Some(check) = base.cause(*cause).check else {
            continue;
        };
        met += 1;
        let mut desk = Desk::new(&base, &pupil);
        let step = desk.check(mind, &pupil, check, Way::Asked);
        assert!(
            matches!(
                step.done,
                Done::Check {
                    answer: Answer::Yes,
                    ..
                }
            ),
            "{seed}: {}",
            hunch.words
        );
    }
    assert!(met > 10, "{met}");
}

#[test]
fn nobody_who_is_asked_is_hurt() {
    let mind = &mut mind();
    let base = base();
    let check = base
        .cause(base.find_cause("k_pain_guard").unwrap())
        .check
        .unwrap();
    for seed in 0..40 {
        let pupil = pupil(mind, 60_000 + seed);
        let mut desk = Desk::new(&base, &pupil);
        for way in [Way::Asked, Way::Looked] {
            let step = desk.check(mind, &pupil, check, way);
            assert!(
                !matches!(
                    step.done,
                    Done::Check {
                        answer: Answer::Yes,
                        ..
                    }
                ),
                "{seed}"
            );
        }
        let pain = base.find_symptom("feel_pain").unwrap();
        let step = desk.symptoms(&base, &pupil, &[pain]);
        assert_eq!(step.done, Done::Symptoms(vec![(pain, Answer::No)]));
    }
}

/// How high a ball is teed is no cause of a strike off the turf, and a sole that does not reach the soil
/// cannot dig in it.
#[test]
fn what_moves_nothing_with_the_clubs_in_hand_is_no_cause_and_no_fault() {
    let mind = &mut mind();
    let base = base();
    let (mut causes, mut idle, mut high) = (0, 0, 0);
    for seed in 0..200 {
        let pupil = pupil(mind, 70_000 + seed);
        let groups: Vec<usize> = pupil.stands().map(|s| s.group.index()).collect();
        let acts = |cause: CauseId| {
            let shifts = &base.model.causes[cause.index()].shifts;
            groups.iter().any(|g| !shifts[*g].is_empty())
        };
        let drawn = pupil.lineup.causes(pupil.number);
        idle += drawn.iter().filter(|c| !acts(**c)).count();
        for worth in &pupil.worths {
            causes += 1;
            assert!(acts(worth.cause), "{seed}: {}", base.cause(worth.cause).id);
            assert!(pupil.has(worth.cause), "{seed}");
        }
        for index in 0..base.causes.len() {
            let cause = CauseId::from_index(index);
            let condition = base.model.causes[index].condition;
            let keyed = pupil.worths.iter().any(|w| w.cause == cause);
            assert_eq!(pupil.has(cause) && !condition, keyed, "{seed}");
        }
        let height = of(&pupil, Axis::ArcHeight, Unit::Millimetre);
        let grass = of(&pupil, Axis::GrassTolerance, Unit::Millimetre);
        if height >= -grass {
            high += 1;
            for fault in &pupil.first.case.effects {
                let tests = &base.model.effects[fault.index()].any_of[groups[0]];
                let of_sole = tests.iter().all(|t| t.axis == Axis::Bounce);
                assert!(!of_sole, "{seed}: {} at {height}", base.effect(*fault).id);
            }
        }
    }
    // Such golfers are drawn, and so are arcs that pass over the soil.
    assert!(
        causes > 300 && idle > 5 && high > 20,
        "{causes} {idle} {high}"
    );
}

/// Two checks that ask for one thing in other words get one answer, asked or looked at, and so does the
/// question about the thing itself.
#[test]
fn one_question_has_one_answer_in_whatever_words() {
    let mind = &mut mind();
    let base = base();
    let mut pairs = Vec::new();
    for (one, model) in base.model.checks.iter().enumerate() {
        for (other, its) in base.model.checks.iter().enumerate().skip(one + 1) {
            if model.asks_the_same(its) {
                pairs.push((one, other, model.asks_for().unwrap()));
            }
        }
    }
    assert!(pairs.len() >= 4, "{pairs:?}");
    let mut yes = 0;
    for seed in 0..60 {
        let pupil = pupil(mind, 80_000 + seed);
        for (one, other, symptom) in &pairs {
            let mut desk = Desk::new(&base, &pupil);
            for way in [Way::Asked, Way::Looked] {
                let [a, b] = [one, other].map(|check| {
                    let check = swingwhy::vocabulary::CheckId::from_index(*check);
                    let step = desk.check(mind, &pupil, check, way);
                    match step.done {
                        Done::Check { answer, .. } => answer,
                        _ => panic!("no check"),
                    }
                });
                assert_eq!(a, b, "{seed}: {one} and {other}");
                yes += usize::from(a == Answer::Yes);
                if way == Way::Asked && a != Answer::NoIdea {
                    let step = desk.symptoms(&base, &pupil, &[*symptom]);
                    assert_eq!(step.done, Done::Symptoms(vec![(*symptom, a)]), "{seed}");
                }
            }
        }
    }
    assert!(yes > 20, "{yes}");
}

/// What the eyes saw is a look, and the golfer's own idea only what the golfer said.
#[test]
fn a_look_counts_once_and_under_its_own_name() {
    let mind = &mut mind();
    let base = base();
    let mut looks = 0;
    for seed in 0..30 {
        let pupil = pupil(mind, 90_000 + seed);
        if pupil.account.hunch.is_some() {
            continue;
        }
        let main = pupil.worths[0].cause;
        let Some(check) = base.cause(main).check else {
            continue;
        };
        let mut desk = Desk::new(&base, &pupil);
        let step = desk.check(mind, &pupil, check, Way::Looked).done.clone();
        if !matches!(
            step,
            Done::Check {
                answer: Answer::Yes,
                ..
            }
        ) {
            continue;
        }
        let other = CauseId::from_index(usize::from(main.index() == 0));
        let told = swingwhy::learning::against(mind, &pupil, &desk, other);
        let of_look = told
            .iter()
            .filter(|(piece, _)| *piece == Piece::Answer(check, true))
            .count();
        assert_eq!(of_look, 1, "{seed}: {told:?}");
        let own = told
            .iter()
            .any(|(piece, _)| matches!(piece, Piece::Hint(_)));
        assert!(!own, "{seed}: {told:?}");
        looks += 1;
    }
    assert!(looks > 5, "{looks}");
}

/// How many golfers keep a fault with every cause gone; printed, for whoever changes the limits.
#[test]
#[ignore = "a count to read, not a law"]
fn own_ways() {
    let mind = &mut mind();
    let base = base();
    let (mut n, mut own) = (0, 0);
    for seed in 0..300 {
        let pupil = pupil(mind, 20_000 + seed);
        n += 1;
        own += usize::from(!pupil.own.is_empty());
        let names: Vec<&str> = pupil
            .own
            .iter()
            .map(|e| base.effect(*e).id.as_str())
            .collect();
        println!(
            "{seed} {} {:?} {names:?} {}",
            base.effect(pupil.fault).id,
            pupil
                .at_work()
                .map(|w| base.cause(CauseId::from_index(w.cause.index())).id.clone())
                .collect::<Vec<_>>(),
            speech(&base, &pupil)
        );
    }
    println!("{own} of {n} keep a fault of their own");
}
