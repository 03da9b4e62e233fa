//! What it would be worth to be rid of a cause, and what to practise.
//!
//! Takes the golfers that fit; takes a cause away from each that has it, with all that is there
//! only because of it, and reads the share of playable and of clean shots again. Lies are
//! conditions of the shot and are never counted. A cause that stands out, twice as likely at work as
//! any other, is practised. Else practice is the largest gain for its effort among what is about as
//! likely at work as anything, and the likelier cause where two gain about as much. Where one cause
//! upstream accounts for most of a consequence and gains most of the same, the cause upstream is
//! practised. Invariant: nothing is proposed that does not gain, unless it stands out: then it is what
//! the complaint comes from, and the shots it costs at first are those other faults made of it.
//! Knows nothing of what else could be asked.

use super::judgement::Judgement;
use super::model::{Event, Model};
use super::posterior::Simulation;
use super::shots;
use super::world::Ground;
use crate::vocabulary::{CauseId, GroupId};

/// Gains below this many playable shots in a hundred are not worth a practice.
const WORTH_WHILE: f64 = 0.2;
/// Each step of effort beyond a change of set-up makes a gain count this much less.
const EFFORT: f64 = 0.25;
/// A cause is practised if it is at least this share as likely at work as the likeliest (elicited) ...
const AS_LIKELY: f64 = 0.6;
/// ... or, where none of those gains, this share (elicited).
const STILL_LIKELY: f64 = 1.0 / 3.0;
/// A cause so many times as likely at work as any other is practised, whatever others gain (elicited).
const STANDS_OUT: f64 = 2.0;
/// Of causes that gain at least this share of the most, the likeliest is practised (elicited).
const AS_GOOD: f64 = 0.75;
/// A root takes over if it accounts for this share of the consequence ...
const ACCOUNTS: f64 = 0.5;
/// ... and gains at least this share of what its consequence would.
const GAINS_TOO: f64 = 0.6;

/// Gains that differ by no more than this, in playable shots in a hundred, are not told apart: the
/// model is no better (elicited).
const WITHIN: f64 = 1.0;

/// Shots in a hundred gained if a cause were gone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Benefit {
    /// Which cause.
    pub cause: CauseId,
    /// Playable shots gained, over all golfers like this one.
    pub playable: f64,
    /// Clean strikes gained.
    pub clean: f64,
    /// Playable shots gained, over those who have the cause.
    pub if_present: f64,
    /// Effort to change it, 1 to 4.
    pub effort: f64,
    /// Standard error of `playable` from the number of golfers drawn.
    pub error: f64,
}

/// What to practise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Practice {
    /// The cause to practise against.
    pub cause: CauseId,
    /// The consequence that gains most and that this cause accounts for, if it is another.
    pub instead_of: Option<CauseId>,
    /// What is gained.
    pub benefit: Benefit,
}

/// Gains of every cause in every golfer drawn.
#[derive(Debug, Clone, Default)]
pub(super) struct Gains {
    /// For each golfer: cause, playable shots gained, clean strikes gained, in a hundred.
    pub rows: Vec<Vec<(CauseId, f64, f64)>>,
}

/// How much a gain counts, given the effort it takes.
pub(super) fn for_effort(gain: f64, effort: f64) -> f64 {
    gain / (1.0 + EFFORT * (effort - 1.0).max(0.0))
}

impl Simulation {
    /// What it would be worth to be rid of these causes, in their order. Conditions gain nothing.
    pub fn benefits(&self, judgement: &Judgement, of: &[CauseId]) -> Vec<Benefit> {
        let gains = self.gains(judgement);
        of.iter()
            .map(|&cause| benefit(&self.ground.model, gains, cause))
            .collect()
    }

    /// What to practise; `None` if nothing is worth it.
    pub fn practice(&self, judgement: &Judgement) -> Option<Practice> {
        let model = &self.ground.model;
        let gains = self.gains(judgement);
        let at_work: Vec<(Benefit, f64)> = judgement
            .causes
            .iter()
            .filter(|c| {
                !model
                    .causes
                    .get(c.cause.index())
                    .is_none_or(|m| m.condition)
            })
            .filter(|c| c.at_work > 0.0)
            .map(|c| (benefit(model, gains, c.cause), c.at_work))
            .collect();
        let likeliest = at_work.iter().map(|(_, p)| *p).fold(0.0, f64::max);
        let worth = |least: f64| -> Vec<Benefit> {
            at_work
                .iter()
                .filter(|(b, p)| *p >= least && b.playable >= WORTH_WHILE)
                .map(|(b, _)| *b)
                .collect()
        };
        // What many golfers have would gain something for this one too, but it is not what the talk is
        // about.
        let outstanding = at_work
            .iter()
            .filter(|(_, p)| STANDS_OUT * *p > likeliest)
            .map(|(b, _)| *b);
        let mut candidates: Vec<Benefit> = outstanding.collect();
        if candidates.len() != 1 {
            candidates = [AS_LIKELY, STILL_LIKELY, 0.0]
                .iter()
                .map(|share| worth(share * likeliest))
                .find(|found| !found.is_empty())
                .unwrap_or_default();
        }
        candidates.sort_by(|a, b| {
            for_effort(b.playable, b.effort)
                .total_cmp(&for_effort(a.playable, a.effort))
                .then(a.cause.cmp(&b.cause))
        });
        let most = *candidates.first()?;
        // Among what is worth about as much, what the golfer most likely has: the small rest is within
        // what the model can tell, and a likelier cause is the better bet.
        let near = |b: &Benefit| {
            for_effort(b.playable, b.effort) >= AS_GOOD * for_effort(most.playable, most.effort)
        };
        let best = judgement
            .causes
            .iter()
            .find_map(|c| candidates.iter().find(|b| b.cause == c.cause && near(b)))
            .copied()
            .unwrap_or(most);
        let place = |cause: CauseId| judgement.causes.iter().position(|c| c.cause == cause);
        let upstream = judgement
            .of(best.cause)
            .and_then(|c| c.root)
            .and_then(|(root, share)| {
                let (root, _) = *at_work.iter().find(|(b, _)| b.cause == root)?;
                let accounts = share >= ACCOUNTS
                    && root.playable >= (GAINS_TOO * best.playable).max(WORTH_WHILE);
                // What leads and brings the other about goes first, unless the other gains clearly more.
                let leads = place(root.cause) < place(best.cause)
                    && root.playable >= WORTH_WHILE.max(best.playable - WITHIN);
                (accounts || leads).then_some(root)
            });
        Some(match upstream {
            Some(root) => Practice {
                cause: root.cause,
                instead_of: Some(best.cause),
                benefit: root,
            },
            None => Practice {
                cause: best.cause,
                instead_of: None,
                benefit: best,
            },
        })
    }

    /// The gains of a judgement, worked out once.
    pub(super) fn gains<'a>(&self, judgement: &'a Judgement) -> &'a Gains {
        judgement.gains.get_or_init(|| self.work_out(judgement))
    }

    fn work_out(&self, judgement: &Judgement) -> Gains {
        let members = &judgement.members;
        let mut rows: Vec<Vec<(CauseId, f64, f64)>> = vec![Vec::new(); members.len()];
        let fill = |start: usize, rows: &mut [Vec<(CauseId, f64, f64)>]| {
            for (i, row) in rows.iter_mut().enumerate() {
                if let Some(member) = members.get(start + i) {
                    *row = self.gains_of(member, judgement.focus);
                }
            }
        };
        let half = rows.len() / 2;
        let (first, second) = rows.split_at_mut(half);
        std::thread::scope(|scope| {
            scope.spawn(|| fill(half, second));
            fill(0, first);
        });
        Gains { rows }
    }

    fn gains_of(
        &self,
        member: &super::population::Member,
        group: GroupId,
    ) -> Vec<(CauseId, f64, f64)> {
        let shares = |causes: &[CauseId]| play(&self.ground, &member.golfer_with(causes), group);
        let now = shares(&member.causes);
        member
            .causes
            .iter()
            .filter(|c| {
                self.ground
                    .model
                    .causes
                    .get(c.index())
                    .is_some_and(|m| !m.condition)
            })
            .map(|&cause| {
                let then = shares(&member.without(&self.sources, &[cause]));
                (cause, 100.0 * (then.0 - now.0), 100.0 * (then.1 - now.1))
            })
            .collect()
    }
}

fn play(ground: &Ground, golfer: &super::population::Golfer<'_>, group: GroupId) -> (f64, f64) {
    let Some(tables) = ground.table(group) else {
        return (0.0, 0.0);
    };
    let axes = tables.axes(golfer, &ground.normal);
    let rates = shots::rates(tables, &axes, &ground.normal);
    let rate = |event: Event| f64::from(rates.get(event as usize).copied().unwrap_or(0.0));
    (rate(Event::Playable), rate(Event::Clean))
}

fn benefit(model: &Model, gains: &Gains, cause: CauseId) -> Benefit {
    let (mut playable, mut squares, mut clean, mut have) = (0.0, 0.0, 0.0, 0u32);
    for row in &gains.rows {
        if let Some(&(_, p, c)) = row.iter().find(|(which, ..)| *which == cause) {
            playable += p;
            squares += p * p;
            clean += c;
            have += 1;
        }
    }
    let n = gains.rows.len().max(1) as f64;
    let mean = playable / n;
    Benefit {
        cause,
        playable: mean,
        clean: clean / n,
        if_present: if have > 0 {
            playable / f64::from(have)
        } else {
            0.0
        },
        effort: model.causes.get(cause.index()).map_or(1.0, |c| c.effort),
        error: ((squares / n - mean * mean).max(0.0) / n).sqrt(),
    }
}
