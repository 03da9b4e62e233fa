//! The learner's record: entries that read back, a schedule that blocks, mixes and returns, and a
//! file that outlives the program.

use crate::learning::mind;
use crate::support::{base, swingwhy};
use swingwhy::conversation::learning::{Start, Trainee};
use swingwhy::learning::{Attempt, Next, attempts, schedule, standings};
use swingwhy::lesson::{Entry, Open};

fn attempt(level: &str, family: &str, first: bool) -> Attempt {
    Attempt {
        case: 1,
        level: level.into(),
        family: family.into(),
        group: "mid_iron".into(),
        points: if first { 60.0 } else { -20.0 },
        program: 50.0,
        gained: 10.0,
        could_gain: 20.0,
        minutes: 12.0,
        total: 70.0,
        fault: true,
        first,
        given_up: false,
        doubt: false,
        stated: std::iter::once(("p_sway".to_owned(), 0.6)).collect(),
    }
}

#[test]
fn attempts_read_back_and_foreign_scores_are_skipped() {
    let one = attempt("fat_and_thin", "height", true);
    let mut foreign = Open::default();
    foreign.fields.insert("stars".into(), 5.into());
    let entries = [one.entry(), Entry::Score(foreign), one.entry()];
    assert_eq!(attempts(entries.iter()), vec![one.clone(), one]);
}

#[test]
fn families_come_in_blocks_then_mixed_and_wrong_ones_return_after_a_gap() {
    let base = base();
    let level = base.levels.iter().next().unwrap();
    let faults = &level.wish.faults;
    let mut families: Vec<&str> = Vec::new();
    for fault in faults {
        let family = base.effect(*fault).family.as_str();
        if !families.contains(&family) {
            families.push(family);
        }
    }
    assert!(families.len() >= 3);
    let next = |done: &[Attempt]| schedule(&base, done, (&level.id, faults, 2), 5);
    let mut done: Vec<Attempt> = Vec::new();
    for family in &families {
        for turn in 1..=2 {
            let (why, due) = next(&done);
            assert_eq!(why, Next::Blocked(turn, 2));
            assert!(due.iter().all(|f| base.effect(*f).family == *family));
            done.push(attempt(&level.id, family, true));
        }
    }
    assert_eq!(next(&done).0, Next::Mixed);
    done.push(attempt(&level.id, families[0], false));
    assert_eq!(next(&done).0, Next::Mixed);
    for _ in 0..3 {
        done.push(attempt(&level.id, families[1], true));
    }
    let (why, due) = next(&done);
    assert_eq!(why, Next::Returning);
    assert!(due.iter().all(|f| base.effect(*f).family == families[0]));
    done.push(attempt(&level.id, families[0], true));
    assert_eq!(next(&done).0, Next::Mixed);
    // Another level's attempts do not count.
    let elsewhere: Vec<Attempt> = families.iter().map(|f| attempt("doubt", f, true)).collect();
    assert_eq!(next(&elsewhere).0, Next::Blocked(1, 2));
}

#[test]
fn the_course_offers_the_family_that_is_due() {
    let base = base();
    let level = base.levels.iter().next().unwrap();
    let mut trainee = Trainee::with_mind(mind(), Start::default());
    let _ = trainee.greeting();
    let mut seen: Vec<String> = Vec::new();
    for _ in 0..6 {
        let fault = trainee.pupil().unwrap().fault;
        seen.push(base.effect(fault).family.clone());
        let _ = trainee.respond("give up");
        let _ = trainee.respond("next");
    }
    let mut blocks = seen.clone();
    blocks.dedup();
    assert!(blocks.len() <= 3, "{seen:?}");
    assert_eq!(seen[0], seen[1]);
    assert_eq!(base.effect(level.wish.faults[0]).family, seen[0]);
}

#[test]
fn standings_are_means_by_family() {
    let list = [
        attempt("a", "height", true),
        attempt("a", "height", false),
        attempt("a", "path", true),
    ];
    let found = standings(&list, |a| &a.family);
    assert_eq!(found.len(), 2);
    assert_eq!(
        (found[0].of.as_str(), found[0].cases, found[0].first),
        ("height", 2, 1)
    );
    assert!((found[0].points - 20.0).abs() < 1e-9 && (found[0].gained - 0.5).abs() < 1e-9);
}

#[test]
fn a_record_outlives_the_program_and_trouble_is_said() {
    let folder = std::env::temp_dir().join(format!("swingwhy-learn-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    let path = folder.to_string_lossy().into_owned();
    let run = |input: &str| {
        let args = [
            "learn",
            "--seed",
            "7",
            "--record",
            "Ann",
            "--lessons",
            &path,
        ];
        let out = swingwhy(&args, input);
        assert!(
            out.status.success(),
            "{}",
            String::from_utf8_lossy(&out.stderr)
        );
        String::from_utf8_lossy(&out.stdout).into_owned()
    };
    assert!(run("give up\nprogress\n").contains("low point"));
    // Left in the middle: the case is kept as begun, and what was finished stays.
    let again = run("shots\nprogress\nleave\n");
    assert!(
        again.contains("by fault") && again.contains("is unfinished"),
        "{again}"
    );
    let verify = swingwhy(
        &["lesson", "verify", "--golfer", "Ann", "--lessons", &path],
        "",
    );
    assert!(
        verify.status.success(),
        "{}",
        String::from_utf8_lossy(&verify.stdout)
    );
    // A folder that cannot be one.
    let file = folder.join("plain");
    std::fs::write(&file, "x").unwrap();
    let bad = file.to_string_lossy().into_owned();
    let out = swingwhy(&["learn", "--record", "Ann", "--lessons", &bad], "leave\n");
    assert_eq!(out.status.code(), Some(74));
    assert!(String::from_utf8_lossy(&out.stderr).contains("record could not be kept"));
    std::fs::remove_dir_all(&folder).unwrap();
}
