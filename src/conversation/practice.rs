//! Practice that can fail: what was agreed is written down, counts and measured balls are taken in,
//! and a verdict goes back into the diagnosis as evidence.
//!
//! The order is fixed: a block as the golfer is now, then blocks with the thought, each looked at, then
//! a block at least a day later. The number of looks is planned beforehand, because a golfer who
//! looks after every ball and stops when it looks good would call luck help. Words are not made here.

use std::sync::Arc;

use super::Session;
use super::arc;
use super::note::Note;
use super::reply::{Block, Care, Question, Reply, VerdictSaid};
use super::results::{Set, Told};
use crate::diagnosis::usual_pattern;
use crate::knowledge::{KnowledgeBase, Success};
use crate::lesson::{
    self, Agreed, Better, BlockHit, Comparison, Due, Entry, Feedback, Figure, Followed, Goal,
    Judged, Looks, Prescribed, RetestHit, Series, Shots, Stage, Summary, Taken, Tally, Verdict,
    balls_to_show_hits, judge, standing,
};
use crate::quantity::Amount;
use crate::vocabulary::{CauseId, ClubId, DrillId, QuantityId};

/// Verdicts that may be given on blocks with the thought; one more is kept for the retest.
const LOOKS_ON_THE_DAY: u8 = 3;

/// A start from which most golfers come who are given something to practise, for the size of every
/// block (elicited).
const USUAL_START: (u32, u32) = (2, 10);

/// Fewest and most balls asked for in a block: what a golfer hits with care in one go (common
/// practice).
const BLOCK: (u32, u32) = (20, 30);

/// Balls in a block of a child, who stops before tiring (common practice).
const CHILDS_BLOCK: u32 = 10;

/// Half swings in a block of a golfer whom something troubles (elicited): fewer than tell, and enough to
/// notice whether it is felt.
const AILING_BLOCK: u32 = 12;

/// What was practised within so many seconds belongs to a start told after it: half a day (elicited).
const SAME_SITTING: i64 = 12 * 3600;

/// Looks planned for one baseline.
fn looks() -> Looks {
    Looks::planned(LOOKS_ON_THE_DAY + 1)
}

/// Balls for each block of this practice: as many as its own test needs from the usual start, to the
/// nearest five. The number stays the same from the first block to the retest.
pub(super) fn balls_for(success: &Success, care: Care) -> u32 {
    if care.child {
        return CHILDS_BLOCK;
    }
    if care.ailing {
        return AILING_BLOCK;
    }
    let start = Tally::new(USUAL_START.0, USUAL_START.1).ok();
    let needed = start
        .zip(target(success))
        .and_then(|(start, target)| balls_to_show_hits(start, target, looks()));
    needed
        .map_or(BLOCK.1, |n| (n + 2) / 5 * 5)
        .clamp(BLOCK.0, BLOCK.1)
}

fn target(success: &Success) -> Option<Tally> {
    Tally::new(success.need, success.of).ok()
}

/// What is agreed, with the ids of this knowledge.
pub(super) struct Current {
    pub(super) cause: CauseId,
    pub(super) drill: Option<DrillId>,
    pub(super) prescribed: Prescribed,
    pub(super) due: Due,
    /// The first block, if it was a count.
    pub(super) start: Option<Tally>,
    pub(super) baseline: bool,
    /// Blocks with the thought.
    pub(super) practised: usize,
    /// There are such blocks from today, and no first one: a start told now belongs to them.
    pub(super) start_missing: bool,
}

impl Current {
    /// The block that is due.
    const fn stage_due(&self) -> Stage {
        match self.due {
            Due::Baseline => Stage::Baseline,
            Due::RetestNow | Due::Nothing => Stage::Retest,
            Due::Practice | Due::Verdict | Due::MoreBalls | Due::RetestFrom(_) | Due::Rethink => {
                Stage::Practice
            }
        }
    }
}

impl Session {
    /// Writes down a prescription that this line led to, and waits for the first count.
    pub(super) fn agree(&mut self, before: Option<(CauseId, DrillId)>) {
        let Some((cause, drill)) = self.talk.prescribed else {
            return;
        };
        if before == self.talk.prescribed {
            return;
        }
        let base = Arc::clone(self.mind.base());
        let task = base.task_counting(cause, Some(drill), self.talk.counted);
        let (entry, given) = (base.cause(cause), base.drill(drill));
        let already = lesson::agreed(&self.notebook.records).is_some_and(|a| {
            a.prescribed.cause == entry.id
                && a.prescribed.drill == given.id
                && a.judged.is_none()
                && a.word != Some(false)
        });
        let balls = balls_for(task.success, self.talk.care());
        if let (Some(target), false) = (target(task.success), already) {
            self.note_down(Entry::Prescribed(Prescribed {
                cause: entry.id.clone(),
                drill: given.id.clone(),
                cue: task.cue.to_owned(),
                measure: task.measure.to_owned(),
                goal: Goal::Hits(target),
                balls,
                test_from: None,
            }));
        }
        if self.talk.pending.is_none() {
            self.talk.pending = Some(Question::Tally {
                stage: Stage::Baseline,
                cause,
                drill: Some(drill),
                count: self.talk.counted,
                balls,
            });
        }
    }

    pub(super) fn current(&self) -> Option<Current> {
        let agreed = lesson::agreed(&self.notebook.records)?;
        let cause = self.base().find_cause(&agreed.prescribed.cause)?;
        let today = agreed
            .practised
            .is_none_or(|at| self.notebook.now.seconds_since(at) < SAME_SITTING);
        Some(Current {
            cause,
            drill: self.base().find_drill(&agreed.prescribed.drill),
            due: agreed.due(self.notebook.now),
            start: agreed.baseline.and_then(|b| match b.shots {
                Shots::Hits(tally) => Some(tally),
                Shots::Measured(_) => None,
            }),
            baseline: agreed.baseline.is_some(),
            practised: agreed.practice.len(),
            start_missing: agreed.baseline.is_none() && !agreed.practice.is_empty() && today,
            prescribed: agreed.prescribed.clone(),
        })
    }

    /// The cause against which something is counted in this talk: a set of it was told, and it is not
    /// settled. Who comes back with another complaint is heard afresh.
    pub(super) fn counted_against(&self) -> Option<CauseId> {
        let current = self.current().filter(|_| self.notebook.goes_on())?;
        let counted = current.baseline || current.practised > 0;
        let stands = !matches!(current.due, Due::Rethink | Due::Nothing);
        let word = lesson::agreed(&self.notebook.records)?.word != Some(false);
        (counted && stands && word).then_some(current.cause)
    }

    /// True if something to practise stands.
    pub(super) fn practises(&self) -> bool {
        let stands = |c: Current| !matches!(c.due, Due::Rethink | Due::Nothing);
        self.talk.prescribed.is_some() || self.current().is_some_and(stands)
    }

    /// Takes in one count, for the block that it is said or asked to be of.
    pub(super) fn take_count(
        &mut self,
        current: &Current,
        asked: Option<Stage>,
        told: &Told<Tally>,
    ) -> Reply {
        let begins = !current.baseline || current.practised == 0;
        let stage = match told.set {
            Some(Set::Start) => Some(Stage::Baseline),
            Some(Set::Thought) => Some(Stage::Practice),
            Some(Set::Without) if begins => Some(Stage::Baseline),
            Some(Set::Without | Set::Retest) => Some(Stage::Retest),
            None => asked,
        };
        // Said of no block, at the target, and two blocks were asked for: it may be either.
        let reached = matches!(current.prescribed.goal, Goal::Hits(target)
            if at_least(told.what, target));
        let either = told.set.is_none()
            && !current.start_missing
            && stage.unwrap_or(current.stage_due()) == Stage::Baseline;
        if either && reached {
            let question = Question::WhichSet(told.what);
            self.talk.pending = Some(question.clone());
            return Reply::of(Block::Ask {
                question,
                value: None,
            });
        }
        self.take(current, stage, Shots::Hits(told.what))
    }

    /// The golfer's word on which block a count was of.
    pub(super) fn of_which_set(&mut self, tally: Tally, with_thought: bool) -> Vec<Block> {
        let Some(current) = self.current() else {
            return vec![Block::Note(Note::CountOfWhat)];
        };
        let stage = if with_thought {
            Stage::Practice
        } else {
            Stage::Baseline
        };
        self.take(&current, Some(stage), Shots::Hits(tally)).blocks
    }

    /// Takes in one block.
    pub(super) fn take(&mut self, current: &Current, stage: Option<Stage>, shots: Shots) -> Reply {
        let stage = stage.unwrap_or(current.stage_due());
        let mixed = lesson::agreed(&self.notebook.records)
            .and_then(|a| a.baseline)
            .is_some_and(|start| {
                matches!(start.shots, Shots::Hits(_)) != matches!(shots, Shots::Hits(_))
            });
        if mixed && stage != Stage::Baseline {
            return Reply::note(Note::CannotCompare);
        }
        self.talk.pending = None;
        self.enter(current, stage, shots, Taken::Counted);
        match stage {
            // What was practised already waits for it.
            Stage::Baseline if current.start_missing => self.verdict(Stage::Practice),
            Stage::Baseline => self.baseline_taken(),
            Stage::Practice | Stage::Retest => self.verdict(stage),
        }
    }

    pub(super) fn enter(&mut self, current: &Current, stage: Stage, shots: Shots, taken: Taken) {
        let block = lesson::Block { taken, shots };
        let again = lesson::agreed(&self.notebook.records).is_some_and(|a| !a.practice.is_empty());
        if stage == Stage::Baseline && again && !current.start_missing {
            // A fresh start is a fresh agreement; what was judged against the old one stays with it.
            self.note_down(Entry::Prescribed(current.prescribed.clone()));
        }
        let measure = current.prescribed.measure.clone();
        self.note_down(match stage {
            Stage::Baseline => Entry::Baseline(BlockHit { measure, block }),
            Stage::Practice => Entry::Practice(BlockHit { measure, block }),
            Stage::Retest => Entry::Retest(RetestHit {
                measure,
                feedback: Feedback::Without,
                block,
            }),
        });
    }

    fn baseline_taken(&mut self) -> Reply {
        let Some(agreed) = lesson::agreed(&self.notebook.records) else {
            return Reply::note(Note::CountOfWhat);
        };
        let Some(cause) = self.base().find_cause(&agreed.prescribed.cause) else {
            return Reply::note(Note::CountOfWhat);
        };
        let goal = agreed.prescribed.goal;
        let (there, needed) = match (agreed.baseline.map(|b| &b.shots), goal) {
            (Some(Shots::Hits(start)), Goal::Hits(target)) => (
                at_least(*start, target),
                balls_to_show_hits(*start, target, looks()),
            ),
            _ => (false, None),
        };
        let Some(summary) = agreed.baseline.and_then(|b| lesson::summary(&[b]).ok()) else {
            return Reply::note(Note::CountOfWhat);
        };
        let balls = agreed.prescribed.balls;
        let drill = self.base().find_drill(&agreed.prescribed.drill);
        if !there {
            self.talk.pending = Some(Question::Tally {
                stage: Stage::Practice,
                cause,
                drill,
                count: self.base().find_count(&agreed.prescribed.measure),
                balls,
            });
        }
        Reply::of(Block::StartCounted {
            cause,
            drill,
            start: summary,
            there,
            balls,
            needed: needed
                .filter(|_| !self.talk.child && balls != CHILDS_BLOCK && balls != AILING_BLOCK),
        })
    }

    /// Judges what was practised so far and says what it amounts to.
    fn verdict(&mut self, stage: Stage) -> Reply {
        let Some(agreed) = lesson::agreed(&self.notebook.records) else {
            return Reply::note(Note::CountOfWhat);
        };
        let Some(cause) = self.base().find_cause(&agreed.prescribed.cause) else {
            return Reply::note(Note::CountOfWhat);
        };
        let drill = self.base().find_drill(&agreed.prescribed.drill);
        let Some(baseline) = agreed.baseline else {
            return self.ask_for_start(stage);
        };
        if baseline.taken == Taken::Recalled {
            return Reply::note(Note::StartFromMemory);
        }
        let spent = agreed.practice.len() > usize::from(LOOKS_ON_THE_DAY);
        if stage == Stage::Practice && spent {
            return Reply::note(Note::LooksSpent(LOOKS_ON_THE_DAY));
        }
        if agreed.practice.is_empty() {
            return Reply::note(Note::RetestBeforePractice);
        }
        let (judgement, found_standing) = match judged(&agreed, baseline) {
            Ok(found) => found,
            Err(lesson::JudgeError::NoGoal) => return Reply::note(Note::StartAtTarget),
            Err(_) => return Reply::note(Note::CannotCompare),
        };
        let range = judgement.change.range;
        let entry = Judged {
            cause: agreed.prescribed.cause.clone(),
            drill: agreed.prescribed.drill.clone(),
            verdict: judgement.verdict,
            standing: found_standing,
            followed: Followed::Unknown,
            low: range.map(|r| r.0),
            high: range.map(|r| r.1),
        };
        let looks_left = usize::from(LOOKS_ON_THE_DAY).saturating_sub(agreed.practice.len());
        let block = Block::Verdict(Box::new(VerdictSaid {
            cause,
            stage,
            judgement,
            standing: found_standing,
            goal: agreed.prescribed.goal,
            looks_left,
            balls: agreed.prescribed.balls,
            child: self.talk.child || agreed.prescribed.balls == CHILDS_BLOCK,
        }));
        let balls = agreed.prescribed.balls;
        let count = self.base().find_count(&agreed.prescribed.measure);
        self.note_down(Entry::Verdict(entry));
        let mut blocks = vec![block];
        match judgement.verdict {
            Verdict::Helped => {
                self.talk.tried(cause, true, counted(&judgement));
                if !self.talk.statements.is_empty() {
                    self.judge();
                }
            }
            Verdict::NoChangeSeen | Verdict::Worse => {
                // A word given before the counts does not outlast them.
                self.talk
                    .practised
                    .retain(|t| t.cause != cause || !t.helped);
                let question = Question::Followed(cause);
                self.talk.pending = Some(question.clone());
                blocks.push(Block::Ask {
                    question,
                    value: None,
                });
            }
            Verdict::TooFewToTell if stage == Stage::Practice && looks_left > 0 => {
                self.talk.pending = Some(Question::Tally {
                    stage: Stage::Practice,
                    cause,
                    drill,
                    count,
                    balls,
                });
            }
            Verdict::TooFewToTell => {}
        }
        Reply {
            blocks,
            leave: false,
        }
    }

    /// A block with the thought came first: how was it before?
    fn ask_for_start(&mut self, stage: Stage) -> Reply {
        let Some(current) = self.current() else {
            return Reply::note(Note::CountOfWhat);
        };
        let balls = current.prescribed.balls;
        let count = self.base().find_count(&current.prescribed.measure);
        self.talk.pending = Some(Question::Tally {
            stage: Stage::Baseline,
            cause: current.cause,
            drill: current.drill,
            count,
            balls,
        });
        Reply::of(Block::NoStart {
            cause: current.cause,
            drill: current.drill,
            count,
            told: self.practised_so_far().filter(|_| stage == Stage::Practice),
            balls,
        })
    }

    /// The golfer's word on whether the first count was made for the purpose.
    /// A line that answers something else than whether the start was counted fresh: it is taken as not
    /// known, the two counts are judged, and the line is taken up.
    pub(super) fn past_the_start(&mut self, line: &str) -> Option<Reply> {
        let Some(Question::Fresh { was, now }) = self.talk.pending else {
            return None;
        };
        if !super::thread::leaves_open(line) {
            return None;
        }
        let mut blocks = vec![Block::Note(Note::DontKnow)];
        blocks.extend(self.start_was_fresh(was, now, false));
        let reply = self.respond_whole(line);
        blocks.extend(reply.blocks);
        Some(Reply {
            blocks,
            leave: reply.leave,
        })
    }

    /// What follows from two counts, the first of which was counted fresh or is remembered.
    pub(super) fn start_was_fresh(&mut self, was: Tally, now: Tally, fresh: bool) -> Vec<Block> {
        let Some(mut current) = self.current() else {
            return vec![Block::Note(Note::CountOfWhat)];
        };
        // Both counts are new: what was practised before them is not judged against this start.
        current.start_missing = false;
        let taken = if fresh {
            Taken::Counted
        } else {
            Taken::Recalled
        };
        self.talk.pending = None;
        self.enter(&current, Stage::Baseline, Shots::Hits(was), taken);
        self.enter(&current, Stage::Practice, Shots::Hits(now), Taken::Counted);
        self.verdict(Stage::Practice).blocks
    }

    /// What may be measured in place of the count, with the range aimed at: what the cause moves
    /// first, then low point and attack of a good strike.
    pub(super) fn aims(&self, cause: CauseId) -> Vec<(QuantityId, Amount, Amount)> {
        let base = self.base();
        let pattern = self
            .diagnosis()
            .and_then(|d| d.focus().cloned())
            .unwrap_or_else(|| usual_pattern(base));
        let mut aims = arc::aim(base, &pattern, cause);
        aims.extend(arc::wanted(base, &pattern));
        aims
    }

    /// What may be measured in place of the count that is agreed, the best first; empty if nothing is
    /// agreed.
    pub fn practice_measures(&self) -> Vec<QuantityId> {
        let Some(current) = self.current() else {
            return Vec::new();
        };
        let aims = self.aims(current.cause);
        aims.into_iter().map(|(quantity, _, _)| quantity).collect()
    }

    /// The clubs that the practice agreed is about, as they were told last; empty if none was named.
    pub fn practice_clubs(&self) -> Vec<ClubId> {
        let lines = self.notebook.earlier.iter().chain(&self.talk.said);
        let named = lines.filter_map(|line| {
            let reading = crate::reading::read(&self.phrases, &self.talk.context(), line);
            let findings = reading.findings.iter().map(|f| &f.pattern.clubs);
            let mut clubs: Vec<ClubId> = findings.flatten().copied().collect();
            clubs.sort_unstable();
            clubs.dedup();
            (!clubs.is_empty()).then_some(clubs)
        });
        named.last().unwrap_or_default()
    }

    /// The quantity that measured balls are of: the one named, or the first the cause aims at.
    pub(super) fn measured_quantity(
        &self,
        current: &Current,
        name: &str,
        asked: bool,
    ) -> Option<QuantityId> {
        let base = self.base();
        let mut aims = self.aims(current.cause).into_iter().map(|(q, _, _)| q);
        if name.is_empty() {
            return asked.then(|| aims.next()).flatten();
        }
        aims.find(|q| {
            let quantity = base.quantity(*q);
            quantity.name == name || quantity.id.replace('_', " ") == name
        })
    }

    /// The agreement in measured balls; made anew when the first were measured.
    pub(super) fn measuring(
        &mut self,
        current: Current,
        quantity: QuantityId,
        series: &Series,
    ) -> Option<Current> {
        let base = Arc::clone(self.mind.base());
        let entry = base.quantity(quantity);
        if current.prescribed.measure == entry.id {
            return Some(current);
        }
        let aims = self.aims(current.cause);
        let (_, low, high) = aims.iter().find(|(q, _, _)| *q == quantity)?;
        let goal = measured_goal(&base, quantity, (*low, *high), series)?;
        let prescribed = Prescribed {
            measure: entry.id.clone(),
            goal,
            ..current.prescribed
        };
        self.note_down(Entry::Prescribed(prescribed.clone()));
        Some(Current {
            prescribed,
            due: Due::Baseline,
            baseline: false,
            ..current
        })
    }
}

/// True if the share of hits is at least the other's.
pub(super) fn at_least(a: Tally, b: Tally) -> bool {
    let cross = |x: Tally, y: Tally| u64::from(x.hits()) * u64::from(y.balls());
    cross(a, b) >= cross(b, a)
}

/// The counts a verdict rests on, as the golfer might say them.
pub(super) fn counted(judgement: &lesson::Judgement) -> String {
    match (judgement.before, judgement.after) {
        (Summary::Hits(was), Summary::Hits(now)) => format!(
            "{} of {} before, {} of {} now",
            was.hits(),
            was.balls(),
            now.hits(),
            now.balls()
        ),
        _ => "measured balls before and now".to_owned(),
    }
}

/// The judgement on practice so far, or on the retest if there is one, and what it amounts to.
pub(super) fn judged(
    agreed: &Agreed<'_>,
    baseline: &lesson::Block,
) -> Result<(lesson::Judgement, lesson::Standing), lesson::JudgeError> {
    let compare = |later: &[&lesson::Block]| {
        judge(&Comparison {
            baseline,
            later,
            goal: agreed.prescribed.goal,
            looks: looks(),
        })
    };
    let today = compare(&agreed.practice)?;
    let practised = agreed
        .practised
        .or(agreed.at)
        .ok_or(lesson::JudgeError::NothingLater)?;
    match agreed.retest {
        None => Ok((today, standing(&today, practised, None))),
        Some((at, hit)) => {
            let judgement = compare(&[&hit.block])?;
            let retest = lesson::Retest {
                taken: at.unwrap_or(practised),
                feedback: hit.feedback,
                judgement: &judgement,
            };
            Ok((judgement, standing(&today, practised, Some(&retest))))
        }
    }
}

/// Nearer to the middle of the range aimed at, by at least what takes the mean of the first block to
/// its edge, or a quarter of the range's width if it is there already.
fn measured_goal(
    base: &KnowledgeBase,
    quantity: QuantityId,
    aim: (Amount, Amount),
    series: &Series,
) -> Option<Goal> {
    let unit = base.quantity(quantity).unit;
    let (low, high) = (aim.0.value_in(unit).ok()?, aim.1.value_in(unit).ok()?);
    let values: Vec<f64> = series
        .figures()
        .filter_map(|f| f.amount().ok()?.value_in(unit).ok())
        .collect();
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let outside = (low - mean).max(mean - high).max(0.0);
    let change = if outside > 0.0 {
        outside
    } else {
        (high - low) / 4.0
    };
    let middle = Figure::new(f64::midpoint(low, high), unit).ok()?;
    Some(Goal::Measured {
        better: Better::CloserTo(middle),
        change: Figure::new(change, unit).ok()?,
    })
}
