//! What the answers to one check, or to two, would be good for.
//!
//! Takes the golfers that fit, what each would gain, and how likely each is to say yes. Two things
//! are counted: playable shots in a hundred that practice gains if it is chosen after the answer,
//! and how much likelier the causes then named are to be there, the first and the first three.
//! Both are nothing where no answer would change what is practised or named. The second check of
//! two may depend on the answer to the first. Invariant: no worth is below nothing. Knows nothing
//! of which checks may be asked, of what they cost, or of words.

use super::benefit::{Gains, for_effort};
use super::judgement::Judgement;
use super::model::Model;
use super::value::at_work;
use crate::vocabulary::CauseId;

/// Shots in a hundred that it is worth to name causes one of which is there, instead of causes
/// none of which is: the reasons make sense, and the lesson and the next visit build on them
/// (elicited). Counted once for the first cause named and once for the first three.
const NAMING: f64 = 10.0;
/// Causes that are named.
const NAMED: usize = 3;

/// What is gained by an answer, in shots in a hundred.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Worth {
    /// By the better choice of practice.
    pub practice: f64,
    /// By naming causes that are there.
    pub naming: f64,
}

impl Worth {
    pub(super) fn all(self) -> f64 {
        self.practice + self.naming
    }

    fn plus(self, other: Self) -> Self {
        Self {
            practice: self.practice + other.practice,
            naming: self.naming + other.naming,
        }
    }

    /// What is more here than there; never below nothing, whatever the rounding.
    fn over(self, other: Self) -> Self {
        Self {
            practice: (self.practice - other.practice).max(0.0),
            naming: (self.naming - other.naming).max(0.0),
        }
    }
}

/// Sums over golfers, cause by cause.
#[derive(Debug, Clone, Default)]
struct Sums {
    golfers: f64,
    has: Vec<f64>,
    gains: Vec<f64>,
}

impl Sums {
    /// Those of `all` who are not in `part`.
    fn others(&mut self, all: &Self, part: &Self) {
        let rest = |out: &mut Vec<f64>, all: &[f64], part: &[f64]| {
            out.clear();
            out.extend(all.iter().zip(part).map(|(a, p)| (a - p).max(0.0)));
        };
        self.golfers = all.golfers - part.golfers;
        rest(&mut self.has, &all.has, &part.has);
        // Gains may be losses.
        self.gains.clear();
        let gains = all.gains.iter().zip(&part.gains).map(|(a, p)| a - p);
        self.gains.extend(gains);
    }
}

/// The golfers that fit, as questions see them.
pub(super) struct Prospects<'a> {
    causes_of: Vec<&'a [CauseId]>,
    /// For each golfer: cause and gain for its effort.
    gains_of: Vec<Vec<(usize, f64)>>,
    prior: &'a [f64],
    everybody: Sums,
    now: Worth,
}

impl<'a> Prospects<'a> {
    pub(super) fn new(
        judgement: &'a Judgement,
        gains: &Gains,
        model: &Model,
        prior: &'a [f64],
    ) -> Self {
        let effort = |c: CauseId| model.causes.get(c.index()).map_or(1.0, |m| m.effort);
        let mut prospects = Self {
            causes_of: judgement.members.iter().map(|m| &*m.causes).collect(),
            gains_of: gains
                .rows
                .iter()
                .map(|row| {
                    row.iter()
                        .map(|&(c, gain, _)| (c.index(), for_effort(gain, effort(c))))
                        .collect()
                })
                .collect(),
            prior,
            everybody: Sums::default(),
            now: Worth::default(),
        };
        let mut sums = Sums::default();
        prospects.sum(&vec![1.0; judgement.members.len()], &mut sums);
        prospects.now = prospects.standing(&sums);
        prospects.everybody = sums;
        prospects
    }

    /// What would be practised if golfers counted by these weights.
    pub(super) fn practice(&self, weight: &[f64]) -> Option<CauseId> {
        let mut sums = Sums::default();
        self.sum(weight, &mut sums);
        best(&sums.gains).1.map(CauseId::from_index)
    }

    /// What the answer is worth to a check that each golfer answers yes at these chances.
    pub(super) fn alone(&self, yes: &[f64]) -> Worth {
        let (mut part, mut rest) = (Sums::default(), Sums::default());
        let then = self.answered(&self.everybody, yes, &mut part, &mut rest);
        self.share(then.over(self.now))
    }

    /// For the check `first`: what both answers are worth if after it the best of the others is
    /// put, and which that is after a yes, or else after a no.
    pub(super) fn followed(&self, first: usize, of: &[&[f64]]) -> (Worth, Option<usize>) {
        let Some(yes) = of.get(first) else {
            return (Worth::default(), None);
        };
        let (mut all, mut part, mut rest) = (Sums::default(), Sums::default(), Sums::default());
        let mut weight = Vec::new();
        let mut then = Worth::default();
        let mut second = None;
        for said_yes in [true, false] {
            let chances = yes.iter().map(|p| if said_yes { *p } else { 1.0 - p });
            weight.clear();
            weight.extend(chances);
            self.sum(&weight, &mut all);
            let mut found = (self.standing(&all), None);
            let mut both = Vec::with_capacity(weight.len());
            for (at, again) in of.iter().enumerate().filter(|(at, _)| *at != first) {
                both.clear();
                both.extend(weight.iter().zip(*again).map(|(w, p)| w * p));
                let worth = self.answered(&all, &both, &mut part, &mut rest);
                if worth.all() > found.0.all() + 1e-9 {
                    found = (worth, Some(at));
                }
            }
            then = then.plus(found.0);
            second = second.or(found.1);
        }
        (self.share(then.over(self.now)), second)
    }

    /// Where golfers of the sums `all` stand once they have answered; `yes` weighs those who say
    /// yes.
    fn answered(&self, all: &Sums, yes: &[f64], part: &mut Sums, rest: &mut Sums) -> Worth {
        self.sum(yes, part);
        rest.others(all, part);
        self.standing(part).plus(self.standing(rest))
    }

    /// A sum over golfers as a mean over all of them.
    fn share(&self, worth: Worth) -> Worth {
        let n = self.everybody.golfers.max(1.0);
        Worth {
            practice: worth.practice / n,
            naming: worth.naming / n,
        }
    }

    fn sum(&self, weight: &[f64], out: &mut Sums) {
        let Sums {
            golfers,
            has,
            gains,
        } = out;
        *golfers = weight.iter().sum();
        for sums in [&mut *has, &mut *gains] {
            sums.clear();
            sums.resize(self.prior.len(), 0.0);
        }
        let rows = self.causes_of.iter().zip(&self.gains_of);
        for ((causes, row), &w) in rows.zip(weight) {
            for cause in *causes {
                if let Some(sum) = has.get_mut(cause.index()) {
                    *sum += w;
                }
            }
            for &(cause, gain) in row {
                if let Some(sum) = gains.get_mut(cause) {
                    *sum += w * gain;
                }
            }
        }
    }

    /// What practice gains and what naming is worth among these golfers, summed over them.
    fn standing(&self, sums: &Sums) -> Worth {
        if sums.golfers <= 1e-9 {
            return Worth::default();
        }
        // At-work share and probability of the causes that would be named.
        let mut named = [(0.0, 0.0); NAMED];
        for (&has, &prior) in sums.has.iter().zip(self.prior) {
            let p = (has / sums.golfers).min(1.0);
            let mut next = (at_work(p, prior), p);
            for place in &mut named {
                if next.0 > place.0 {
                    std::mem::swap(place, &mut next);
                }
            }
        }
        let first = named.first().map_or(0.0, |n| n.1);
        let none = named.iter().fold(1.0, |none, n| none * (1.0 - n.1));
        Worth {
            practice: best(&sums.gains).0,
            naming: NAMING * (first + 1.0 - none) * sums.golfers,
        }
    }
}

/// The largest of the sums and where it is, if any is above nothing.
fn best(sums: &[f64]) -> (f64, Option<usize>) {
    let mut best = (0.0, None);
    for (cause, &sum) in sums.iter().enumerate() {
        if sum > best.0 {
            best = (sum, Some(cause));
        }
    }
    best
}
