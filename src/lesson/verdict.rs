//! Did practice help? A baseline block against the blocks after it, in four words with an interval.
//!
//! Takes a fresh baseline, later blocks and the goal, and gives [`Verdict`]: helped, no change seen,
//! worse, or too few to tell with the number of balls per block that would tell; and, with a retest,
//! whether the change was seen on the day only or is learned.
//!
//! Invariants: a change in the interval is positive when things got better, whatever the measure's
//! own sign; "helped" is said only when the whole interval is above zero; without any real change
//! "helped" comes up less than once in forty whatever was hit; a baseline from memory is refused.
//! It assumes that balls are independent and of one spread within a block. It reads no clock: times
//! are the caller's. How to say any of it is not known here.

use super::measure::{Better, Block, Figure, Goal, MeasureError, Shots, Taken, Tally};
use super::moment::Moment;
use super::statistics as st;
use crate::quantity::{QuantityError, Ratio, Unit};

/// The answer in one of four words.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Better, by more than chance explains.
    Helped,
    /// The change aimed for is ruled out, less than half of it was seen, and that may be luck.
    NoChangeSeen,
    /// Worse, by more than chance explains.
    Worse,
    /// No change is still possible, and so is the change aimed for, or a good part of it was seen.
    TooFewToTell,
}

/// How many verdicts on this baseline were planned before the first ball. Looking again after every
/// block and stopping when it looks good would call chance help; each planned look gets its share of
/// the permitted error instead, so one look tells most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Looks(u8);

impl Looks {
    /// One verdict, after the last ball.
    pub const ONE: Self = Self(1);

    /// So many verdicts; none is taken as one.
    pub const fn planned(looks: u8) -> Self {
        Self(if looks == 0 { 1 } else { looks })
    }

    /// The share left out on each side of the interval.
    fn tail(self) -> f64 {
        FALSE_HELP / f64::from(self.0)
    }
}

/// The most often that "helped" may be said when nothing changed.
const FALSE_HELP: f64 = 0.025;

/// Balls in a measured block under which its spread is not known well enough to say anything.
const FEWEST_MEASURED: usize = 3;

/// What is compared with what.
#[derive(Debug, Clone, Copy)]
pub struct Comparison<'a> {
    /// Hit fresh, before the cue was shown.
    pub baseline: &'a Block,
    /// Everything hit after it that this verdict is about; taken together.
    pub later: &'a [&'a Block],
    /// What the prescription aimed for.
    pub goal: Goal,
    /// How many verdicts were planned.
    pub looks: Looks,
}

/// One side of a comparison in a nutshell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Summary {
    /// Counted balls.
    Hits(Tally),
    /// Measured balls.
    Measured {
        /// Mean, in the unit of the baseline, with the measure's own sign.
        mean: Figure,
        /// Standard deviation from ball to ball; None for a single ball.
        sd: Option<Figure>,
        /// Balls.
        balls: usize,
    },
}

/// The change from baseline to later, positive for better.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Best single value.
    pub middle: Figure,
    /// Low and high end; None where the spread is unknown (too few or all equal measured balls).
    pub range: Option<(Figure, Figure)>,
    /// How sure the range is: 95 % for one planned look, more for several.
    pub confidence: Ratio,
}

/// A verdict with what it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judgement {
    /// The word.
    pub verdict: Verdict,
    /// The baseline.
    pub before: Summary,
    /// The later blocks together.
    pub after: Summary,
    /// The difference: hit rates as plain ratios, measured numbers in the baseline's unit.
    pub change: Change,
    /// Whether the change seen is at least the one aimed for.
    pub goal_reached: bool,
    /// Balls per block with which a fresh test of this goal would tell, four times in five; given
    /// with [`Verdict::TooFewToTell`] only, and None there if no sensible number would.
    pub balls_that_would_tell: Option<u32>,
    /// False if ranks alone, which a single freak ball cannot sway, do not support the word; true
    /// where ranks have nothing to say (counts, no change).
    pub ranks_agree: bool,
}

/// Why no verdict is possible.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum JudgeError {
    /// The baseline came from memory.
    #[error("baseline not hit fresh")]
    StaleBaseline,
    /// No later block.
    #[error("nothing to compare")]
    NothingLater,
    /// Counts against measured numbers, or against a goal of the other kind.
    #[error("counts and measured numbers mixed")]
    Mixed,
    /// The goal is not better than the baseline: nothing to aim for.
    #[error("goal no better than the baseline")]
    NoGoal,
    /// Units that do not go together, or a number out of range.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// A sum that no longer fits.
    #[error(transparent)]
    Measure(#[from] MeasureError),
}

/// Judges the later blocks against the baseline.
///
/// Counts: score interval of the difference (Newcombe 1998), stretched to zero wherever an exact
/// unconditional test (Boschloo 1970) cannot exclude chance. Measured: Welch's interval (1947), and
/// the rank test of Mann & Whitney (1947) as a second opinion.
///
/// # Errors
/// [`JudgeError`] if the blocks cannot be compared.
///
/// ```
/// use swingwhy::lesson::{Block, Comparison, Goal, Looks, Shots, Taken, Tally, Verdict, judge};
/// let block = |hits, balls| Tally::new(hits, balls)
///     .map(|tally| Block { taken: Taken::Counted, shots: Shots::Hits(tally) });
/// let found = judge(&Comparison {
///     baseline: &block(3, 10)?,
///     later: &[&block(7, 10)?],
///     goal: Goal::Hits(Tally::new(7, 10)?),
///     looks: Looks::ONE,
/// })?;
/// assert_eq!(found.verdict, Verdict::TooFewToTell);
/// assert_eq!(found.balls_that_would_tell, Some(24));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn judge(comparison: &Comparison<'_>) -> Result<Judgement, JudgeError> {
    if comparison.baseline.taken == Taken::Recalled {
        return Err(JudgeError::StaleBaseline);
    }
    if comparison.later.is_empty() {
        return Err(JudgeError::NothingLater);
    }
    match (&comparison.baseline.shots, comparison.goal) {
        (Shots::Hits(before), Goal::Hits(wanted)) => judge_hits(comparison, *before, wanted),
        (Shots::Measured(series), Goal::Measured { better, change }) => {
            let unit = series.unit();
            let before = values(&[comparison.baseline], unit)?;
            judge_measured(comparison, &before, better, change, unit)
        }
        (Shots::Hits(_), Goal::Measured { .. }) | (Shots::Measured(_), Goal::Hits(_)) => {
            Err(JudgeError::Mixed)
        }
    }
}

fn judge_hits(
    comparison: &Comparison<'_>,
    before: Tally,
    wanted: Tally,
) -> Result<Judgement, JudgeError> {
    let after = together(comparison.later)?;
    let tail = comparison.looks.tail();
    let (b, a, aim) = (share(before), share(after), rate(wanted));
    let aimed_change = aim - rate(before);
    if aimed_change <= 0.0 {
        return Err(JudgeError::NoGoal);
    }
    let mut span = st::share_difference(b, a, st::normal_quantile(1.0 - tail));
    if span.low > 0.0 && st::unconditional_greater(b, a) > tail {
        span.low = 0.0;
    }
    if span.high < 0.0 && st::unconditional_greater(a, b) > tail {
        span.high = 0.0;
    }
    let verdict = word(span, aimed_change);
    let balls = (verdict == Verdict::TooFewToTell)
        .then(|| st::balls_for_share(rate(before), aim, tail))
        .flatten()
        .map(|by_power| at_least_by_width(by_power, b.balls.min(a.balls), span, aimed_change));
    Ok(Judgement {
        verdict,
        before: Summary::Hits(before),
        after: Summary::Hits(after),
        change: change(span, Some(span), Unit::One, tail)?,
        goal_reached: rate(after) >= aim,
        balls_that_would_tell: balls.and_then(|n| u32::try_from(n).ok()),
        ranks_agree: true,
    })
}

fn judge_measured(
    comparison: &Comparison<'_>,
    before: &[f64],
    better: Better,
    goal: Figure,
    unit: Unit,
) -> Result<Judgement, JudgeError> {
    let after = values(comparison.later, unit)?;
    let tail = comparison.looks.tail();
    let aimed_change = goal.value_in(unit)?;
    if aimed_change <= 0.0 {
        return Err(JudgeError::NoGoal);
    }
    let (b, a) = (
        goodness(before, better, unit)?,
        goodness(&after, better, unit)?,
    );
    let enough = b.len().min(a.len()) >= FEWEST_MEASURED;
    let span = if enough {
        st::mean_difference(&b, &a, tail)
    } else {
        None
    };
    let middle = st::mean_and_sd(&a).0 - st::mean_and_sd(&b).0;
    let verdict = span.map_or(Verdict::TooFewToTell, |s| word(s, aimed_change));
    let balls = match (verdict, span) {
        (Verdict::TooFewToTell, Some(span)) => {
            let sd = st::mean_and_sd(&b).1.hypot(st::mean_and_sd(&a).1) / std::f64::consts::SQRT_2;
            st::balls_for_mean(aimed_change / sd, tail).map(|by_power| {
                at_least_by_width(by_power, b.len().min(a.len()) as u64, span, aimed_change)
            })
        }
        // The spread is unknown, so only a first block to learn it from can be asked for.
        (Verdict::TooFewToTell, None) => Some(FIRST_MEASURED),
        (Verdict::Helped | Verdict::NoChangeSeen | Verdict::Worse, _) => None,
    };
    let ranks_agree = match verdict {
        Verdict::Helped => st::ranks_greater(&b, &a) <= RANKS_AGREE,
        Verdict::Worse => st::ranks_greater(&a, &b) <= RANKS_AGREE,
        Verdict::NoChangeSeen | Verdict::TooFewToTell => true,
    };
    let none = st::Span {
        low: middle,
        middle,
        high: middle,
    };
    Ok(Judgement {
        verdict,
        before: nutshell(before, unit)?,
        after: nutshell(&after, unit)?,
        change: change(span.unwrap_or(none), span, unit, tail)?,
        goal_reached: middle >= aimed_change,
        balls_that_would_tell: balls.and_then(|n| u32::try_from(n).ok()),
        ranks_agree,
    })
}

/// A block from which a spread can be learned: five points a phase, the number single-case standards
/// ask for full marks.
const FIRST_MEASURED: u64 = 5;
/// From this share of the change aimed for on, what was seen is a change (elicited).
const HALF_WAY: f64 = 0.5;
/// The one-sided error at which ranks still count as support; looser than the verdict's own, since
/// they are only asked whether a few balls carry it all.
const RANKS_AGREE: f64 = 0.05;

/// No change is seen where the change aimed for is ruled out and less than half of it came: a good
/// part of the way is no "no change", only too few balls to be sure of it.
fn word(span: st::Span, aimed_change: f64) -> Verdict {
    if span.low > 0.0 {
        Verdict::Helped
    } else if span.high < 0.0 {
        Verdict::Worse
    } else if span.high < aimed_change && span.middle < HALF_WAY * aimed_change {
        Verdict::NoChangeSeen
    } else {
        Verdict::TooFewToTell
    }
}

/// The planned size, unless that many were hit already and were not lucky: then as many as make the
/// range narrower than the change aimed for, so that it cannot hold both.
fn at_least_by_width(by_power: u64, hit: u64, span: st::Span, aimed_change: f64) -> u64 {
    if by_power > hit {
        return by_power;
    }
    let factor = ((span.high - span.low) / aimed_change).powi(2).max(1.0);
    (hit as f64 * factor).ceil() as u64 + 1
}

fn change(
    span: st::Span,
    range: Option<st::Span>,
    unit: Unit,
    tail: f64,
) -> Result<Change, JudgeError> {
    let ends =
        |s: st::Span| Ok::<_, JudgeError>((Figure::new(s.low, unit)?, Figure::new(s.high, unit)?));
    Ok(Change {
        middle: Figure::new(span.middle, unit)?,
        range: range.map(ends).transpose()?,
        confidence: Ratio::of_one(1.0 - 2.0 * tail),
    })
}

fn nutshell(values: &[f64], unit: Unit) -> Result<Summary, JudgeError> {
    let (mean, sd) = st::mean_and_sd(values);
    Ok(Summary::Measured {
        mean: Figure::new(mean, unit)?,
        sd: Figure::new(sd, unit).ok(),
        balls: values.len(),
    })
}

fn share(tally: Tally) -> st::Share {
    st::Share {
        hits: tally.hits().into(),
        balls: tally.balls().into(),
    }
}

fn rate(tally: Tally) -> f64 {
    f64::from(tally.hits()) / f64::from(tally.balls())
}

/// Blocks of one kind in a nutshell.
///
/// # Errors
/// [`JudgeError::NothingLater`] without blocks, [`JudgeError::Mixed`] if counts and measured numbers
/// are mixed, [`JudgeError::Quantity`] if units do not go together.
pub fn summary(blocks: &[&Block]) -> Result<Summary, JudgeError> {
    let first = blocks.first().ok_or(JudgeError::NothingLater)?;
    match &first.shots {
        Shots::Hits(_) => Ok(Summary::Hits(together(blocks)?)),
        Shots::Measured(series) => {
            let unit = series.unit();
            nutshell(&values(blocks, unit)?, unit)
        }
    }
}

fn together(blocks: &[&Block]) -> Result<Tally, JudgeError> {
    let (mut hits, mut balls) = (0_u32, 0_u32);
    for block in blocks {
        let Shots::Hits(tally) = &block.shots else {
            return Err(JudgeError::Mixed);
        };
        hits = hits.saturating_add(tally.hits());
        balls = balls.saturating_add(tally.balls());
    }
    Ok(Tally::new(hits, balls)?)
}

fn values(blocks: &[&Block], unit: Unit) -> Result<Vec<f64>, JudgeError> {
    let mut all = Vec::new();
    for block in blocks {
        let Shots::Measured(series) = &block.shots else {
            return Err(JudgeError::Mixed);
        };
        for figure in series.figures() {
            all.push(figure.value_in(unit)?);
        }
    }
    Ok(all)
}

/// The same balls as numbers of which more is better.
fn goodness(values: &[f64], better: Better, unit: Unit) -> Result<Vec<f64>, JudgeError> {
    Ok(match better {
        Better::Higher => values.to_vec(),
        Better::Lower => values.iter().map(|v| -v).collect(),
        Better::CloserTo(figure) => {
            let aim = figure.value_in(unit)?;
            values.iter().map(|v| -(v - aim).abs()).collect()
        }
    })
}

/// Balls per block that would show a rise of the hit rate from `now` to `wanted` four times in five.
/// None if `wanted` is not higher or no sensible number would.
pub fn balls_to_show_hits(now: Tally, wanted: Tally, looks: Looks) -> Option<u32> {
    (rate(wanted) > rate(now))
        .then(|| st::balls_for_share(rate(now), rate(wanted), looks.tail()))
        .flatten()
        .and_then(|n| u32::try_from(n).ok())
}

/// Balls per block that would show a change of the mean four times in five, `change` and the
/// ball-to-ball `spread` being of one dimension. None if either is not above zero, they do not go
/// together, or no sensible number would.
pub fn balls_to_show_change(change: Figure, spread: Figure, looks: Looks) -> Option<u32> {
    let (change, spread) = (change.value(), spread.value_in(change.unit()).ok()?);
    (change > 0.0 && spread > 0.0)
        .then(|| st::balls_for_mean(change / spread, looks.tail()))
        .flatten()
        .and_then(|n| u32::try_from(n).ok())
}

/// The least change of a mean that two blocks of this size set apart from none, for this
/// ball-to-ball spread. None for fewer than two balls.
pub fn detectable_change(balls: u32, spread: Figure, looks: Looks) -> Option<Figure> {
    let in_sd = st::detectable(balls.into(), looks.tail())?;
    Figure::new(in_sd * spread.value().abs(), spread.unit()).ok()
}

/// Whether a retest could have been steered by feedback.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Feedback {
    /// Nobody and nothing told the golfer how the balls were going.
    Without,
    /// Numbers, a coach or a gate helped along.
    With,
}

/// A block hit later, judged against the same baseline.
#[derive(Debug, Clone, Copy)]
pub struct Retest<'a> {
    /// When it was hit.
    pub taken: Moment,
    /// Whether there was feedback.
    pub feedback: Feedback,
    /// The retest against the baseline.
    pub judgement: &'a Judgement,
}

/// What a change amounts to so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Neither practice nor a retest showed help.
    NotShown,
    /// Help was seen on the day of practice only; a retest is still to come.
    MovedToday,
    /// Help was seen in a retest without feedback at least 24 hours after the last practice ball.
    Learned,
    /// Help was seen on the day, and a valid retest shows no change or worse.
    NotKept,
    /// A valid retest had too few balls to tell.
    RetestTooSmall,
    /// The retest came less than 24 hours after practice.
    RetestTooSoon,
    /// The retest was hit with feedback.
    RetestHelpedAlong,
    /// The retest is dated before the practice.
    ClockWentBack,
}

/// The least gap between practice and a retest that may be called learned, in seconds.
pub const LEAST_RETEST_GAP: i64 = 24 * 3600;

/// Tells moved today from learned. `practised` is when the last practice ball was hit.
pub fn standing(today: &Judgement, practised: Moment, retest: Option<&Retest<'_>>) -> Standing {
    let helped_today = today.verdict == Verdict::Helped;
    let Some(retest) = retest else {
        return if helped_today {
            Standing::MovedToday
        } else {
            Standing::NotShown
        };
    };
    let gap = retest.taken.seconds_since(practised);
    if gap < 0 {
        Standing::ClockWentBack
    } else if gap < LEAST_RETEST_GAP {
        Standing::RetestTooSoon
    } else if retest.feedback == Feedback::With {
        Standing::RetestHelpedAlong
    } else {
        match (retest.judgement.verdict, helped_today) {
            (Verdict::Helped, _) => Standing::Learned,
            (Verdict::TooFewToTell, _) => Standing::RetestTooSmall,
            (Verdict::NoChangeSeen | Verdict::Worse, true) => Standing::NotKept,
            (Verdict::NoChangeSeen | Verdict::Worse, false) => Standing::NotShown,
        }
    }
}
