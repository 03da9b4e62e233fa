//! What records amount to: stable facts, the prescription in force and what is due, failed tests,
//! series for a chart.

use super::faults::Faulty;
use super::{at, lessons, note, right_handed};
use swingwhy::lesson::*;
use swingwhy::quantity::Unit;
use swingwhy::vocabulary::Hand;

const DAY: i64 = 24 * 3600;

fn prescribed(drill: &str, measure: &str) -> Entry {
    Entry::Prescribed(Prescribed {
        cause: "weight-stays-back".into(),
        drill: drill.into(),
        cue: "brush past the ball".into(),
        measure: measure.into(),
        goal: Goal::Hits(Tally::new(7, 10).unwrap()),
        balls: 10,
        test_from: None,
    })
}

fn hit(measure: &str, hits: u32) -> BlockHit {
    let tally = Tally::new(hits, 10).unwrap();
    let block = Block {
        taken: Taken::Counted,
        shots: Shots::Hits(tally),
    };
    BlockHit {
        measure: measure.into(),
        block,
    }
}

fn verdict(drill: &str, verdict: Verdict, standing: Standing, followed: Followed) -> Entry {
    Entry::Verdict(Judged {
        cause: "weight-stays-back".into(),
        drill: drill.into(),
        verdict,
        standing,
        followed,
        low: None,
        high: None,
    })
}

fn retest(measure: &str, hits: u32) -> Entry {
    let BlockHit { measure, block } = hit(measure, hits);
    Entry::Retest(RetestHit {
        measure,
        feedback: Feedback::Without,
        block,
    })
}

/// A book with these entries a second apart.
fn book(entries: &[Entry]) -> Book<Faulty> {
    let all = lessons(Faulty::default());
    let mut book = all.open_or_begin("ann", at(0), right_handed()).unwrap();
    for (entry, second) in entries.iter().zip(1..) {
        book.append(at(second), entry).unwrap();
    }
    book
}

#[test]
fn stable_facts_are_the_last_ones_given() {
    let known = |entries: &[Entry]| facts(book(entries).records());
    assert_eq!(known(&[]), right_handed());
    let clubs = Facts {
        hand: None,
        clubs: vec!["driver".into()],
        answers: Vec::new(),
    };
    let left = Facts {
        hand: Some(Hand::Left),
        clubs: vec![],
        answers: Vec::new(),
    };
    let both = Facts {
        hand: Some(Hand::Left),
        clubs: vec!["driver".into()],
        answers: Vec::new(),
    };
    assert_eq!(
        known(&[Entry::Facts(clubs), note("x"), Entry::Facts(left)]),
        both
    );
    assert_eq!(facts(&[]), Facts::default());
}

/// The life of one prescription, step by step, and what is due after each.
#[test]
fn what_is_due_follows_the_prescription() {
    use Verdict::{Helped, NoChangeSeen, TooFewToTell};
    let line = "on the line";
    let said = |v, s| verdict("line", v, s, Followed::Well);
    let day_after = |second: i64| at(second + DAY);
    let steps = [
        (prescribed("line", line), Due::Baseline),
        (Entry::Baseline(hit("something else", 2)), Due::Baseline),
        (Entry::Baseline(hit(line, 3)), Due::Practice),
        (Entry::Practice(hit(line, 6)), Due::Verdict),
        (said(TooFewToTell, Standing::NotShown), Due::MoreBalls),
        (Entry::Practice(hit(line, 9)), Due::Verdict),
        (
            said(Helped, Standing::MovedToday),
            Due::RetestFrom(day_after(6)),
        ),
        (note("nice evening"), Due::RetestFrom(day_after(6))),
        (retest(line, 8), Due::Verdict),
        (
            said(Helped, Standing::RetestTooSoon),
            Due::RetestFrom(day_after(6)),
        ),
        (retest(line, 8), Due::Verdict),
        (said(Helped, Standing::Learned), Due::Nothing),
        (prescribed("gate", "through the gate"), Due::Baseline),
        (Entry::Baseline(hit("through the gate", 2)), Due::Practice),
        (Entry::Practice(hit("through the gate", 2)), Due::Verdict),
        (
            verdict("gate", NoChangeSeen, Standing::NotShown, Followed::Well),
            Due::Rethink,
        ),
    ];
    let mut so_far = Vec::new();
    for (entry, due) in steps {
        so_far.push(entry);
        let book = book(&so_far);
        let agreed = agreed(book.records()).unwrap();
        assert_eq!(agreed.due(at(100)), due, "after {:?}", so_far.last());
        if let Due::RetestFrom(from) = due {
            assert_eq!(agreed.due(from), Due::RetestNow);
            assert_eq!(agreed.retest_from(), Some(from));
        }
    }
    assert!(agreed(book(&[note("hello")]).records()).is_none());
}

#[test]
fn a_prescription_collects_what_belongs_to_it() {
    let line = "on the line";
    let entries = [
        Entry::Baseline(hit(line, 3)),
        prescribed("line", line),
        Entry::Practice(hit(line, 6)),
        Entry::Practice(hit("other", 1)),
        Entry::Practice(hit(line, 7)),
        Entry::Baseline(hit(line, 8)),
        retest(line, 5),
    ];
    let book = book(&entries);
    let found = agreed(book.records()).unwrap();
    assert_eq!(found.seq, 2);
    assert_eq!(
        found.baseline,
        Some(&hit(line, 3).block),
        "not the one after practice began"
    );
    assert_eq!(found.practice, [&hit(line, 6).block, &hit(line, 7).block]);
    assert_eq!(
        (found.practised, found.retest.unwrap().0),
        (Some(at(5)), Some(at(7)))
    );
    let looks = Looks::planned(2);
    let comparison = Comparison {
        baseline: found.baseline.unwrap(),
        later: &found.practice,
        goal: found.prescribed.goal,
        looks,
    };
    assert_eq!(judge(&comparison).unwrap().verdict, Verdict::TooFewToTell);
}

#[test]
fn two_failures_of_followed_practice_put_the_cause_in_question() {
    use Verdict::{Helped, NoChangeSeen, TooFewToTell, Worse};
    let said = |v, followed| verdict("line", v, Standing::NotShown, followed);
    let count = |entries: &[Entry]| failed_tests(book(entries).records(), "weight-stays-back");
    let (well, partly) = (Followed::Well, Followed::Partly);
    assert_eq!(count(&[said(NoChangeSeen, well)]), 1);
    let two = [
        said(NoChangeSeen, well),
        said(TooFewToTell, well),
        said(Worse, well),
    ];
    assert_eq!(count(&two), FAILURES_THAT_REOPEN);
    assert_eq!(
        count(&[said(NoChangeSeen, partly), said(Worse, Followed::Unknown)]),
        0
    );
    assert_eq!(
        count(&[said(Worse, well), said(Helped, well), said(Worse, well)]),
        1
    );
    assert_eq!(failed_tests(book(&two).records(), "ball-too-far-back"), 0);
}

#[test]
fn series_give_each_block_of_a_measure_in_order() {
    let values = Series::new(vec![1.0, 2.0, 3.0, 2.0], Unit::Inch).unwrap();
    let block = Block {
        taken: Taken::Counted,
        shots: Shots::Measured(values),
    };
    let inches = Entry::Practice(BlockHit {
        measure: "low point".into(),
        block,
    });
    let entries = [
        Entry::Baseline(hit("line", 3)),
        inches,
        Entry::Practice(hit("line", 6)),
        retest("line", 8),
    ];
    let book = book(&entries);
    assert_eq!(measures(book.records()), ["line", "low point"]);
    let points = series(book.records(), "line").unwrap();
    let shown: Vec<_> = points
        .iter()
        .map(|p| match p.level {
            Level::Hits(tally) => (p.seq, p.stage, tally.hits()),
            Level::Mean { .. } => panic!("{p:?}"),
        })
        .collect();
    assert_eq!(
        shown,
        [
            (1, Stage::Baseline, 3),
            (3, Stage::Practice, 6),
            (4, Stage::Retest, 8)
        ]
    );
    let [point] = series(book.records(), "low point").unwrap()[..] else {
        panic!()
    };
    let Level::Mean { mean, balls } = point.level else {
        panic!()
    };
    assert_eq!(
        (mean.middle().value_in(Unit::Inch).unwrap(), balls),
        (2.0, 4)
    );
    let error = (2.0_f64 / 3.0).sqrt() / 2.0 * 0.0254;
    assert!(
        (mean.sd() - error).abs() < 1e-12,
        "standard error of the mean"
    );
    assert!(series(book.records(), "nothing").unwrap().is_empty());
}
