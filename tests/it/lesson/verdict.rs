//! Verdicts: a table of blocks and words, refusals, moved today against learned, and simulated golfers
//! with and without a real change.

use std::fmt::Write as _;

use proptest::prelude::*;

use super::at;
use swingwhy::lesson::*;
use swingwhy::quantity::Unit;

fn figure(value: f64, unit: Unit) -> Figure {
    Figure::new(value, unit).unwrap()
}

fn inch(value: f64) -> Figure {
    figure(value, Unit::Inch)
}

fn counted(hits: u32, balls: u32) -> Block {
    Block {
        taken: Taken::Counted,
        shots: Shots::Hits(Tally::new(hits, balls).unwrap()),
    }
}

fn measured(values: &[f64], unit: Unit) -> Block {
    let series = Series::new(values.to_vec(), unit).unwrap();
    Block {
        taken: Taken::Counted,
        shots: Shots::Measured(series),
    }
}

fn hits_goal(hits: u32, balls: u32) -> Goal {
    Goal::Hits(Tally::new(hits, balls).unwrap())
}

fn compare(baseline: &Block, later: &[&Block], goal: Goal) -> Result<Judgement, JudgeError> {
    judge(&Comparison {
        baseline,
        later,
        goal,
        looks: Looks::ONE,
    })
}

fn shown(found: &Judgement) -> String {
    let mut text = format!("{:?}", found.verdict);
    if let Some((low, high)) = found.change.range {
        write!(
            text,
            " {:+.2} [{:+.2}, {:+.2}]",
            found.change.middle.value(),
            low.value(),
            high.value()
        )
        .unwrap();
    }
    if let Some(balls) = found.balls_that_would_tell {
        write!(text, ", {balls} a block would tell").unwrap();
    }
    text
}

/// Baseline, later, goal; then what is said. The intervals are Newcombe's (1998), by hand with his
/// method 10 where the table of the statistics does not have them already.
#[test]
fn counted_blocks_get_their_words() {
    let table = [
        (
            (3, 10),
            (7, 10),
            (7, 10),
            "TooFewToTell +0.40 [-0.03, +0.67], 24 a block would tell",
        ),
        ((3, 10), (9, 10), (7, 10), "Helped +0.60 [+0.17, +0.81]"),
        (
            (3, 10),
            (3, 10),
            (7, 10),
            "NoChangeSeen +0.00 [-0.36, +0.36]",
        ),
        ((9, 10), (3, 10), (10, 10), "Worse -0.60 [-0.81, -0.17]"),
        // The score interval alone would start at +0.02; the exact test cannot exclude chance.
        (
            (3, 10),
            (20, 30),
            (7, 10),
            "TooFewToTell +0.37 [+0.00, +0.61], 24 a block would tell",
        ),
        ((3, 10), (22, 30), (7, 10), "Helped +0.43 [+0.08, +0.66]"),
        (
            (1, 3),
            (3, 3),
            (3, 3),
            "TooFewToTell +0.67 [-0.06, +0.94], 7 a block would tell",
        ),
        ((0, 10), (10, 10), (5, 10), "Helped +1.00 [+0.61, +1.00]"),
        // Enough balls by plan and yet undecided: as many as make the range narrower than the goal.
        (
            (15, 42),
            (22, 42),
            (28, 42),
            "TooFewToTell +0.17 [-0.04, +0.36], 72 a block would tell",
        ),
    ];
    for ((h0, n0), (h1, n1), (hg, ng), said) in table {
        let found = compare(&counted(h0, n0), &[&counted(h1, n1)], hits_goal(hg, ng)).unwrap();
        assert_eq!(shown(&found), said, "{h0} of {n0}, then {h1} of {n1}");
        assert_eq!(found.goal_reached, h1 * ng >= hg * n1);
    }
}

#[test]
fn blocks_are_taken_together() {
    let one = compare(&counted(3, 10), &[&counted(20, 30)], hits_goal(7, 10)).unwrap();
    let blocks = [counted(6, 10), counted(8, 10), counted(6, 10)];
    let three: Vec<&Block> = blocks.iter().collect();
    assert_eq!(
        compare(&counted(3, 10), &three, hits_goal(7, 10)).unwrap(),
        one
    );
    assert_eq!(one.after, Summary::Hits(Tally::new(20, 30).unwrap()));
}

/// Low point in inches past the ball, better when higher; the same in millimetres; lower; closer.
#[test]
fn measured_blocks_get_their_words_whatever_unit_and_sense() {
    let before = [-1.5, -0.5, -2.0, 0.5, -1.0, -1.5, 0.0];
    let after = [1.0, 2.0, 0.5, 2.5, 1.5, 0.0, 2.0];
    let change = inch(1.0);
    let up = Goal::Measured {
        better: Better::Higher,
        change,
    };
    let found = compare(
        &measured(&before, Unit::Inch),
        &[&measured(&after, Unit::Inch)],
        up,
    )
    .unwrap();
    assert_eq!(shown(&found), "Helped +2.21 [+1.17, +3.26]");
    assert!(found.ranks_agree && found.goal_reached);
    let in_mm: Vec<f64> = after.iter().map(|v| v * 25.4).collect();
    let other = measured(&in_mm, Unit::Millimetre);
    let mixed = compare(&measured(&before, Unit::Inch), &[&other], up).unwrap();
    assert_eq!(shown(&mixed), shown(&found));
    let turned = |values: &[f64]| values.iter().map(|v| -v).collect::<Vec<f64>>();
    let down = Goal::Measured {
        better: Better::Lower,
        change,
    };
    let (b, a) = (
        measured(&turned(&before), Unit::Inch),
        measured(&turned(&after), Unit::Inch),
    );
    assert_eq!(
        shown(&compare(&b, &[&a], down).unwrap()),
        shown(&found),
        "more is always better"
    );
    assert!(matches!(
        compare(&b, &[&a], up).unwrap().verdict,
        Verdict::Worse
    ));
    // Both sides of the mark count the same: misses of 2 and -2 become misses of half an inch.
    let near = Goal::Measured {
        better: Better::CloserTo(inch(0.0)),
        change,
    };
    let b = measured(&[2.0, -2.0, 2.5, -1.5, 2.0, -2.5], Unit::Inch);
    let a = measured(&[0.5, -0.5, 0.0, 1.0, -0.5, 0.5], Unit::Inch);
    assert_eq!(
        shown(&compare(&b, &[&a], near).unwrap()),
        "Helped +1.58 [+1.14, +2.03]"
    );
}

#[test]
fn measured_blocks_without_a_spread_or_with_few_balls_are_too_few() {
    let up = Goal::Measured {
        better: Better::Higher,
        change: inch(1.0),
    };
    for (before, after) in [
        (&[1.0][..], &[3.0, 3.5, 3.2, 3.1][..]),
        (&[1.0, 1.2], &[3.0, 3.5]),
        (&[1.0, 1.0, 1.0, 1.0], &[2.0, 2.0, 2.0, 2.0]),
    ] {
        let blocks = [before, after].map(|values| measured(values, Unit::Inch));
        let found = compare(&blocks[0], &[&blocks[1]], up).unwrap();
        assert_eq!(shown(&found), "TooFewToTell, 5 a block would tell");
    }
}

/// One topped ball in the baseline: the means differ, the ranks show that one ball carries it.
#[test]
fn ranks_give_away_a_change_that_a_few_balls_carry() {
    let before = [
        1.0, 1.1, 0.9, 1.0, 1.2, 0.8, 1.05, 0.95, -9.0, -9.2, -8.8, 1.15,
    ];
    let after = [
        0.94, 1.06, 1.01, 0.99, 0.91, 1.12, 0.97, 1.03, 0.89, 1.08, 1.02, 0.98,
    ];
    let up = Goal::Measured {
        better: Better::Higher,
        change: inch(1.0),
    };
    let found = compare(
        &measured(&before, Unit::Inch),
        &[&measured(&after, Unit::Inch)],
        up,
    )
    .unwrap();
    assert!(
        found.verdict != Verdict::Helped || !found.ranks_agree,
        "{found:?}"
    );
}

#[test]
fn what_cannot_be_compared_is_refused() {
    let recalled = Block {
        taken: Taken::Recalled,
        ..counted(1, 10)
    };
    let goal = hits_goal(7, 10);
    let up = Goal::Measured {
        better: Better::Higher,
        change: inch(1.0),
    };
    let (later, inches) = (counted(7, 10), measured(&[1.0, 2.0, 1.5], Unit::Inch));
    let degrees = measured(&[1.0, 2.0, 1.5], Unit::Degree);
    let refused =
        |baseline: &Block, later: &[&Block], goal| compare(baseline, later, goal).unwrap_err();
    assert_eq!(
        refused(&recalled, &[&later], goal),
        JudgeError::StaleBaseline
    );
    assert_eq!(
        refused(&counted(3, 10), &[], goal),
        JudgeError::NothingLater
    );
    assert_eq!(
        refused(&counted(3, 10), &[&inches], goal),
        JudgeError::Mixed
    );
    assert_eq!(refused(&inches, &[&later], up), JudgeError::Mixed);
    assert_eq!(refused(&counted(3, 10), &[&later], up), JudgeError::Mixed);
    assert_eq!(
        refused(&counted(7, 10), &[&later], goal),
        JudgeError::NoGoal
    );
    let none = Goal::Measured {
        better: Better::Higher,
        change: inch(0.0),
    };
    assert_eq!(refused(&inches, &[&inches], none), JudgeError::NoGoal);
    assert!(matches!(
        refused(&inches, &[&degrees], up),
        JudgeError::Quantity(_)
    ));
    assert_eq!(
        Tally::new(11, 10),
        Err(MeasureError::Tally {
            hits: 11,
            balls: 10
        })
    );
    assert_eq!(Series::new(vec![], Unit::Inch), Err(MeasureError::Empty));
    Series::new(vec![f64::NAN], Unit::Inch).unwrap_err();
}

#[test]
fn plans_say_how_many_balls_and_what_could_be_seen() {
    let tally = |hits| Tally::new(hits, 10).unwrap();
    // Hits: 3 to 6 in ten takes 42 a block, 5 to 8 takes 39, 2 to 6 takes 23 (own arithmetic).
    for (now, wanted, balls) in [(3, 6, 42), (5, 8, 39), (2, 6, 23)] {
        assert_eq!(
            balls_to_show_hits(tally(now), tally(wanted), Looks::ONE),
            Some(balls)
        );
    }
    assert_eq!(balls_to_show_hits(tally(6), tally(6), Looks::ONE), None);
    let seen = detectable_change(7, inch(2.0), Looks::ONE).unwrap();
    assert!((seen.value() - 2.0 * 1.2).abs() < 0.1, "{seen:?}");
    assert_eq!(
        balls_to_show_change(inch(1.0), inch(1.0), Looks::ONE),
        Some(17)
    );
    assert_eq!(
        balls_to_show_change(inch(1.0), figure(25.4, Unit::Millimetre), Looks::ONE),
        Some(17)
    );
    assert!(balls_to_show_change(inch(1.0), inch(1.0), Looks::planned(3)) > Some(17));
    assert_eq!(
        balls_to_show_change(inch(1.0), figure(1.0, Unit::Degree), Looks::ONE),
        None
    );
}

#[test]
fn more_planned_looks_ask_more_of_each() {
    let at_looks = |looks| {
        let (baseline, later) = (counted(3, 10), counted(8, 10));
        let goal = hits_goal(7, 10);
        judge(&Comparison {
            baseline: &baseline,
            later: &[&later],
            goal,
            looks,
        })
        .unwrap()
    };
    let (one, three) = (at_looks(Looks::ONE), at_looks(Looks::planned(3)));
    assert_eq!(
        (one.verdict, three.verdict),
        (Verdict::Helped, Verdict::TooFewToTell)
    );
    assert!(one.change.confidence < three.change.confidence);
    assert_eq!(Looks::planned(0), Looks::ONE);
}

#[test]
fn learned_is_said_only_after_a_day_and_without_feedback() {
    use Feedback::{With, Without};
    let word = |verdict| Judgement {
        verdict,
        ..compare(&counted(3, 10), &[&counted(9, 10)], hits_goal(7, 10)).unwrap()
    };
    let (helped, none, few) = (
        word(Verdict::Helped),
        word(Verdict::NoChangeSeen),
        word(Verdict::TooFewToTell),
    );
    let day = 24 * 3600;
    let said = |today: &Judgement, retest: Option<(i64, Feedback, &Judgement)>| {
        let retest = retest.map(|(after, feedback, judgement)| Retest {
            taken: at(after),
            feedback,
            judgement,
        });
        standing(today, at(0), retest.as_ref())
    };
    assert_eq!(said(&helped, None), Standing::MovedToday);
    assert_eq!(said(&none, None), Standing::NotShown);
    assert_eq!(said(&few, None), Standing::NotShown);
    assert_eq!(
        said(&helped, Some((day, Without, &helped))),
        Standing::Learned
    );
    assert_eq!(said(&few, Some((day, Without, &helped))), Standing::Learned);
    assert_eq!(
        said(&helped, Some((day - 1, Without, &helped))),
        Standing::RetestTooSoon
    );
    assert_eq!(
        said(&helped, Some((day, With, &helped))),
        Standing::RetestHelpedAlong
    );
    assert_eq!(
        said(&helped, Some((-1, Without, &helped))),
        Standing::ClockWentBack
    );
    assert_eq!(
        said(&helped, Some((day, Without, &none))),
        Standing::NotKept
    );
    assert_eq!(said(&none, Some((day, Without, &none))), Standing::NotShown);
    assert_eq!(
        said(&helped, Some((day, Without, &few))),
        Standing::RetestTooSmall
    );
}

/// Random numbers with a seed: the 64-bit mix of Steele, Lea & Flood 2014.
struct Dice(u64);

impl Dice {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (((z ^ (z >> 31)) >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (-2.0 * self.share().ln()).sqrt() * (std::f64::consts::TAU * self.share()).cos()
    }

    fn block(&mut self, balls: usize, mean: f64, spread: f64) -> Block {
        let values: Vec<f64> = (0..balls).map(|_| mean + spread * self.normal()).collect();
        measured(&values, Unit::Inch)
    }
}

/// Share of "helped" in simulated tests of measured numbers, and the standard error of that share.
fn share_helped(before: (usize, f64), after: (usize, f64, f64)) -> (f64, f64) {
    const TESTS: u32 = 12_000;
    let mut dice = Dice(7);
    let up = Goal::Measured {
        better: Better::Higher,
        change: inch(1.0),
    };
    let helped = (0..TESTS).filter(|_| {
        let (b, a) = (
            dice.block(before.0, 0.0, before.1),
            dice.block(after.0, after.1, after.2),
        );
        compare(&b, &[&a], up).unwrap().verdict == Verdict::Helped
    });
    let share = helped.count() as f64 / f64::from(TESTS);
    (share, (share * (1.0 - share) / f64::from(TESTS)).sqrt())
}

/// Counted blocks are counted exactly, beside the statistics. For measured ones the promise is 2.5 %
/// of false help, and four in five where the plan says so; 16 balls, a ball under the plan, give 78 %.
#[test]
fn simulated_golfers_get_false_help_rarely_and_true_help_often() {
    for (before, after) in [
        ((16, 1.0), (16, 0.0, 1.0)),
        ((7, 1.0), (7, 0.0, 1.0)),
        ((10, 1.0), (30, 0.0, 0.5)),
    ] {
        let (share, error) = share_helped(before, after);
        assert!(
            share <= 0.025 + 3.0 * error,
            "{before:?} {after:?}: {share}"
        );
        assert!(share >= 0.018, "the level is used, not wasted: {share}");
    }
    let (share, error) = share_helped((16, 1.0), (16, 1.0, 1.0));
    assert!(
        share >= 0.78 - 2.0 * error,
        "a true change of one spread, 16+16 balls: {share}"
    );
    let (share, error) = share_helped((17, 1.0), (17, 1.0, 1.0));
    assert!(share >= 0.80 - 2.0 * error, "the planned number: {share}");
}

proptest! {
    /// Swapping the blocks turns better into worse and the interval around.
    #[test]
    fn better_and_worse_mirror_each_other(h0 in 0_u32..=12, h1 in 0_u32..=12) {
        let goal = Goal::Measured { better: Better::Higher, change: inch(1.0) };
        let values = |h: u32| (0..12).map(|i| f64::from((i * 7 + h * 5) % 13) + f64::from(h)).collect::<Vec<_>>();
        let (b, a) = (measured(&values(h0), Unit::Inch), measured(&values(h1), Unit::Inch));
        let (there, back) = (compare(&b, &[&a], goal).unwrap(), compare(&a, &[&b], goal).unwrap());
        let ((l, h), (bl, bh)) = (there.change.range.unwrap(), back.change.range.unwrap());
        prop_assert!((l.value() + bh.value()).abs() < 1e-9 && (h.value() + bl.value()).abs() < 1e-9);
        prop_assert_eq!(there.verdict == Verdict::Helped, back.verdict == Verdict::Worse);
    }

    /// The word and the interval never contradict each other, and hits are never out of range.
    #[test]
    fn word_and_interval_agree(h0 in 0_u32..10, n0 in 10_u32..25, h1 in 0_u32..=10, n1 in 10_u32..25) {
        let found = compare(&counted(h0, n0), &[&counted(h1, n1)], hits_goal(10, 10)).unwrap();
        let (low, high) = found.change.range.unwrap();
        let (low, high, middle) = (low.value(), high.value(), found.change.middle.value());
        prop_assert!(-1.0 <= low && low <= middle && middle <= high && high <= 1.0);
        prop_assert_eq!(found.verdict == Verdict::Helped, low > 0.0);
        prop_assert_eq!(found.verdict == Verdict::Worse, high < 0.0);
        prop_assert_eq!(found.verdict != Verdict::TooFewToTell, found.balls_that_would_tell.is_none());
    }
}
