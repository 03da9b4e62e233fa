//! What the lesson book amounts to: who is back, what was agreed, whether it is due, how a measure
//! went over time.
//!
//! Takes records in order and gives facts, the prescription in force, verdict counts and series for
//! a chart. Pure: the present moment is the caller's. Records that are forgotten, lost or of a newer
//! kind count for nothing here. Drawing and saying it is not known here.

use super::measure::{Block, Figure, Shots, Tally};
use super::moment::Moment;
use super::record::{BlockHit, Entry, Facts, Followed, Judged, Prescribed, Record, RetestHit};
use super::statistics;
use super::verdict::{LEAST_RETEST_GAP, Standing, Verdict};
use crate::quantity::{Estimate, QuantityError};

/// The kind of block a point of a series comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Before the cue.
    Baseline,
    /// With the cue.
    Practice,
    /// Later, to see whether it is learned.
    Retest,
}

/// One block in a series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Number of its record.
    pub seq: u64,
    /// When it was hit; None if that is not known.
    pub at: Option<Moment>,
    /// What kind of block.
    pub stage: Stage,
    /// What it gave.
    pub level: Level,
}

/// What a block gave, in a nutshell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Level {
    /// Hits of balls.
    Hits(Tally),
    /// The mean of the measured balls with the standard error of that mean (none for one ball), and
    /// how many there were.
    Mean {
        /// Mean and standard error.
        mean: Estimate,
        /// Balls.
        balls: usize,
    },
}

/// What the golfer is practising and what came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Agreed<'a> {
    /// Number of the prescription's record.
    pub seq: u64,
    /// When it was agreed.
    pub at: Option<Moment>,
    /// What was agreed.
    pub prescribed: &'a Prescribed,
    /// The last baseline for its measure, hit before the first practice ball and after the
    /// prescription before this one; or told after practice that had none.
    pub baseline: Option<&'a Block>,
    /// Practice blocks for its measure since, in order.
    pub practice: Vec<&'a Block>,
    /// When the last of them was written down.
    pub practised: Option<Moment>,
    /// The last retest after them, with when it was written down.
    pub retest: Option<(Option<Moment>, &'a RetestHit)>,
    /// The last verdict, if no block came after it.
    pub judged: Option<&'a Judged>,
    /// The golfer's last word on whether it helped, if no practice block came after it.
    pub word: Option<bool>,
}

/// What comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Due {
    /// A baseline, before the cue is shown.
    Baseline,
    /// Practice.
    Practice,
    /// A verdict: there are blocks that none was given on.
    Verdict,
    /// More balls: the last verdict had too few.
    MoreBalls,
    /// A retest, but not before this moment.
    RetestFrom(Moment),
    /// A retest, now.
    RetestNow,
    /// Another look at the cause: practice did not help.
    Rethink,
    /// Nothing: it is learned.
    Nothing,
}

/// The records that count, in order: known to this version and not taken back.
pub fn standing_entries(records: &[Record]) -> impl DoubleEndedIterator<Item = (&Record, &Entry)> {
    let mut gone: Vec<u64> = Vec::new();
    for record in records {
        if let Some(Entry::TakenBack(taken)) = record.entry() {
            gone.extend(&taken.of);
        }
    }
    gone.sort_unstable();
    records
        .iter()
        .filter_map(|record| Some((record, record.entry()?)))
        .filter(move |(record, _)| gone.binary_search(&record.seq).is_err())
}

/// The last talk in which anything was told, before the one that is going on: when that was told, and
/// its lines as typed. A talk that took up the one before it has the lines of that one first, and if
/// it told nothing of its own, the time of that one. None if there was none.
pub fn last_talk(records: &[Record]) -> Option<(Option<Moment>, Vec<&str>)> {
    let mut told: Option<(Option<Moment>, Vec<&str>)> = None;
    let mut now: Option<Told<'_>> = None;
    for (record, entry) in standing_entries(records) {
        match entry {
            Entry::Began(_) => {
                told = match now.take() {
                    Some(talk) => talk.over(told),
                    None => told,
                };
                now = Some(Told::begun(record.at));
            }
            Entry::Turn(turn) => {
                let talk = now.get_or_insert_with(|| Told::begun(record.at));
                talk.lines.push(&turn.said);
                talk.took_up |= turn.took_up;
                talk.own |= !turn.took_up && !turn.understood.is_empty();
            }
            _ => {}
        }
    }
    match now {
        Some(talk) => talk.over(told),
        None => told,
    }
}

/// The lines of one talk.
struct Told<'a> {
    at: Option<Moment>,
    lines: Vec<&'a str>,
    /// It took up the talk before.
    took_up: bool,
    /// It told something itself.
    own: bool,
}

impl<'a> Told<'a> {
    const fn begun(at: Option<Moment>) -> Self {
        Self {
            at,
            lines: Vec::new(),
            took_up: false,
            own: false,
        }
    }

    /// The last talk in which anything was told, if this one follows `before`.
    fn over(
        self,
        before: Option<(Option<Moment>, Vec<&'a str>)>,
    ) -> Option<(Option<Moment>, Vec<&'a str>)> {
        match (before, self.took_up, self.own) {
            (Some((at, mut lines)), true, own) => {
                lines.extend(self.lines);
                Some((if own { self.at } else { at }, lines))
            }
            (before, _, false) => before,
            (_, _, true) => Some((self.at, self.lines)),
        }
    }
}

/// Stable facts: the first record's, with what was learned or corrected since. Answers are those that
/// hold, each once, in the order they were given.
pub fn facts(records: &[Record]) -> Facts {
    let mut known = Facts::default();
    for (_, entry) in standing_entries(records) {
        let given = match entry {
            Entry::Opened(opened) => &opened.facts,
            Entry::Facts(facts) => facts,
            _ => continue,
        };
        known.hand = given.hand.or(known.hand);
        if !given.clubs.is_empty() {
            known.clubs.clone_from(&given.clubs);
        }
        for answer in &given.answers {
            let check = |a: &str| a.split(':').next().unwrap_or("").to_owned();
            known.answers.retain(|a| check(a) != check(answer));
            if !answer.ends_with(":open") {
                known.answers.push(answer.clone());
            }
        }
    }
    known
}

/// The prescription in force: the last one, with everything that belongs to it. None if nothing was
/// ever prescribed.
pub fn agreed(records: &[Record]) -> Option<Agreed<'_>> {
    let mut current: Option<Agreed<'_>> = None;
    let mut last_baseline: Option<(u64, &BlockHit)> = None;
    for (record, entry) in standing_entries(records) {
        match entry {
            Entry::Prescribed(prescribed) => {
                let before = current.map_or(0, |earlier| earlier.seq);
                let mine = last_baseline
                    .filter(|(seq, hit)| *seq >= before && hit.measure == prescribed.measure);
                current = Some(Agreed {
                    seq: record.seq,
                    at: record.at,
                    prescribed,
                    baseline: mine.map(|(_, hit)| &hit.block),
                    practice: Vec::new(),
                    practised: None,
                    retest: None,
                    judged: None,
                    word: None,
                });
            }
            Entry::Baseline(hit) => {
                last_baseline = Some((record.seq, hit));
                if let Some(now) = &mut current
                    && (now.practice.is_empty() || now.baseline.is_none())
                    && hit.measure == now.prescribed.measure
                {
                    now.baseline = Some(&hit.block);
                }
            }
            Entry::Practice(hit) => {
                if let Some(now) = &mut current
                    && hit.measure == now.prescribed.measure
                {
                    now.practice.push(&hit.block);
                    now.practised = record.at;
                    now.retest = None;
                    now.judged = None;
                    now.word = None;
                }
            }
            Entry::Retest(hit) => {
                if let Some(now) = &mut current
                    && hit.measure == now.prescribed.measure
                {
                    now.retest = Some((record.at, hit));
                    now.judged = None;
                }
            }
            Entry::Verdict(judged) => {
                if let Some(now) = &mut current
                    && judged.drill == now.prescribed.drill
                {
                    now.judged = Some(judged);
                }
            }
            Entry::Word(word) => {
                if let Some(now) = &mut current
                    && word.cause == now.prescribed.cause
                {
                    now.word = Some(word.helped);
                }
            }
            _ => {}
        }
    }
    current
}

impl Agreed<'_> {
    /// What comes next at this moment.
    pub fn due(&self, now: Moment) -> Due {
        // A "no" that counts do not speak against.
        let helped = self.judged.is_some_and(|j| j.verdict == Verdict::Helped);
        if self.word == Some(false) && !helped {
            return Due::Rethink;
        }
        if self.baseline.is_none() {
            return Due::Baseline;
        }
        if self.practice.is_empty() {
            return Due::Practice;
        }
        let Some(judged) = self.judged else {
            return Due::Verdict;
        };
        match (judged.standing, judged.verdict) {
            (Standing::Learned, _) => Due::Nothing,
            (Standing::NotKept, _) | (_, Verdict::NoChangeSeen | Verdict::Worse) => Due::Rethink,
            (Standing::NotShown, Verdict::TooFewToTell) => Due::MoreBalls,
            (
                Standing::NotShown
                | Standing::MovedToday
                | Standing::RetestTooSmall
                | Standing::RetestTooSoon
                | Standing::RetestHelpedAlong
                | Standing::ClockWentBack,
                Verdict::Helped | Verdict::TooFewToTell,
            ) => self
                .retest_from()
                .filter(|&from| now < from)
                .map_or(Due::RetestNow, Due::RetestFrom),
        }
    }

    /// The earliest moment of a retest that counts: the one agreed, and a day after the last ball.
    pub fn retest_from(&self) -> Option<Moment> {
        let day_after = self
            .practised
            .map(|at| Moment::from_unix_seconds(at.unix_seconds() + LEAST_RETEST_GAP));
        day_after.max(self.prescribed.test_from)
    }
}

/// How many verdicts since the last "helped" said that well-followed practice aimed at this cause did
/// not help.
pub fn failed_tests(records: &[Record], cause: &str) -> usize {
    let judged = standing_entries(records)
        .rev()
        .filter_map(|(_, entry)| match entry {
            Entry::Verdict(judged) if judged.cause == cause => Some(judged),
            _ => None,
        });
    judged
        .take_while(|judged| judged.verdict != Verdict::Helped)
        .filter(|judged| judged.followed == Followed::Well)
        .filter(|judged| matches!(judged.verdict, Verdict::NoChangeSeen | Verdict::Worse))
        .count()
}

/// Failed tests of well-followed practice after which the cause itself is in question.
pub const FAILURES_THAT_REOPEN: usize = 2;

/// Text ids of everything counted or measured, in order of first use.
pub fn measures(records: &[Record]) -> Vec<&str> {
    let mut all: Vec<&str> = Vec::new();
    for (_, measure, _) in standing_entries(records).filter_map(|(_, entry)| block(entry)) {
        if !all.contains(&measure) {
            all.push(measure);
        }
    }
    all
}

/// The blocks for one measure in the order written, for a chart.
///
/// # Errors
/// [`QuantityError::NotFinite`] if the measured numbers are too large to average.
pub fn series(records: &[Record], measure: &str) -> Result<Vec<Point>, QuantityError> {
    let blocks =
        standing_entries(records).filter_map(|(record, entry)| Some((record, block(entry)?)));
    blocks
        .filter(|(_, (_, of, _))| *of == measure)
        .map(|(record, (stage, _, block))| {
            Ok(Point {
                seq: record.seq,
                at: record.at,
                stage,
                level: level(block)?,
            })
        })
        .collect()
}

fn block(entry: &Entry) -> Option<(Stage, &str, &Block)> {
    match entry {
        Entry::Baseline(hit) => Some((Stage::Baseline, &hit.measure, &hit.block)),
        Entry::Practice(hit) => Some((Stage::Practice, &hit.measure, &hit.block)),
        Entry::Retest(hit) => Some((Stage::Retest, &hit.measure, &hit.block)),
        _ => None,
    }
}

fn level(block: &Block) -> Result<Level, QuantityError> {
    match &block.shots {
        Shots::Hits(tally) => Ok(Level::Hits(*tally)),
        Shots::Measured(series) => {
            let values: Vec<f64> = series.figures().map(Figure::value).collect();
            let (mean, sd) = statistics::mean_and_sd(&values);
            let error = if values.len() > 1 {
                sd / (values.len() as f64).sqrt()
            } else {
                0.0
            };
            let mean = Estimate::new(mean, error, series.unit())?;
            Ok(Level::Mean {
                mean,
                balls: values.len(),
            })
        }
    }
}
