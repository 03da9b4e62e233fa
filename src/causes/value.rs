//! Which check is worth asking: what its answers would gain for the choice of practice, and what
//! they would tell.
//!
//! Takes the golfers that fit and their gains. A check is worth what the best practice gains more
//! if chosen after the answer than if chosen now, and what it is worth that the causes named after
//! it are likelier to be there ([`Prospects`]), over the trouble of asking. The leading checks are
//! looked at in pairs, the second chosen after the first is answered. Where no answer and no pair
//! of answers would change what is practised or named, nothing is asked. Never proposes what is
//! answered, known, or as good as certain.

use super::judgement::Judgement;
use super::model::Evidence;
use super::posterior::Simulation;
use super::prospects::{Prospects, Worth};
use super::report;
use crate::vocabulary::{CauseId, CheckId};

/// A check whose answers gain less than this many shots in a hundred by a better choice of practice
/// decides nothing.
const DECIDES: f64 = 0.03;
/// A check that makes what is named better by less than this, in shots in a hundred, tells nothing.
const TELLS: f64 = 0.1;
/// Shots in a hundred that a bit is worth where it changes nothing that is practised or named yet:
/// later answers build on it (elicited).
const WORTH_OF_A_BIT: f64 = 0.2;
/// Leading causes that a bit is to tell of.
const LEADING: usize = 10;
/// An answer this likely is as good as known.
const AS_GOOD_AS_KNOWN: f64 = 0.97;
/// How far the chances of a symptom, golfer by golfer, are believed when its question is priced: they
/// differ in every golfer drawn, which looks like knowledge of causes that so few golfers do not
/// give, and a symptom denied counts less than one told (set by trial: taken as they are, these
/// questions were put before better ones).
const FOUND: f64 = 0.7;
/// How many checks are tried in pairs.
const PAIRED: usize = 20;
/// How cost counts: to this power.
const TROUBLE: f64 = 0.5;

/// What an answer would leave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Answered {
    /// How likely the answer is.
    pub chance: f64,
    /// The cause that would lead.
    pub leader: CauseId,
    /// Its at-work share then.
    pub leader_at_work: f64,
    /// What would be practised then.
    pub practice: Option<CauseId>,
}

/// What a check is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CheckValue {
    /// Which.
    pub check: CheckId,
    /// Shots in a hundred that the choice of practice gains by the answer.
    pub value: f64,
    /// Shots in a hundred that it is worth to name better what is there.
    pub naming: f64,
    /// Information about the leading causes, each by itself, summed, bits.
    pub bits: f64,
    /// All three for the trouble of asking; with the best second check counted in, if that is more.
    pub per_cost: f64,
    /// The causes that yes and no speak for.
    pub separates: (CauseId, CauseId),
    /// After a yes.
    pub if_yes: Answered,
    /// After a no.
    pub if_no: Answered,
    /// The second check of a pair, if only the pair is worth asking.
    pub with: Option<CheckId>,
}

impl Simulation {
    /// The checks of `may_ask` that can still tell something, best worth for its cost first.
    pub fn checks(&self, judgement: &Judgement, may_ask: &[CheckId]) -> Vec<CheckValue> {
        let gains = self.gains(judgement);
        let prospects = Prospects::new(judgement, gains, &self.ground.model, &self.prior);
        let open = self.open_checks(judgement, may_ask);
        let mut values: Vec<CheckValue> = open
            .iter()
            .map(|(check, yes)| self.worth(judgement, &prospects, *check, yes))
            .collect();
        values.sort_by(best_first);
        // Two questions may be worth more than each: what they are worth together counts for the
        // first of them.
        let leading: Vec<CheckId> = values.iter().take(PAIRED).map(|v| v.check).collect();
        let chances: Vec<&[f64]> = leading
            .iter()
            .filter_map(|check| open.iter().find(|(c, _)| c == check))
            .map(|(_, yes)| yes.as_slice())
            .collect();
        let bits: Vec<f64> = values.iter().map(|v| v.bits).collect();
        for (at, value) in values.iter_mut().take(PAIRED).enumerate() {
            let (worth, second) = prospects.followed(at, &chances);
            let Some((second, more)) = second.and_then(|s| leading.get(s).zip(bits.get(s))) else {
                continue;
            };
            let cost = self.cost(value.check) + self.cost(*second);
            let told = value.bits + more;
            let together = rate(worth.all() + WORTH_OF_A_BIT * told, cost);
            value.per_cost = value.per_cost.max(together);
            if !tells(value.value, value.naming) && tells(worth.practice, worth.naming) {
                value.value = worth.practice;
                value.naming = worth.naming;
                value.with = Some(*second);
            }
        }
        values.sort_by(best_first);
        values
    }

    /// The check to ask now; `None` if no answer, and no two answers, would change enough of what
    /// is practised or named.
    pub fn next_check(&self, judgement: &Judgement, may_ask: &[CheckId]) -> Option<CheckValue> {
        self.checks(judgement, may_ask)
            .into_iter()
            .find(|v| tells(v.value, v.naming))
    }

    fn cost(&self, check: CheckId) -> f64 {
        self.ground
            .model
            .checks
            .get(check.index())
            .map_or(1.0, |c| c.cost.max(0.1))
    }

    /// The checks that are open, with the chance of a yes golfer by golfer.
    fn open_checks(&self, judgement: &Judgement, may_ask: &[CheckId]) -> Vec<(CheckId, Vec<f64>)> {
        let model = &self.ground.model;
        let known: Vec<CauseId> = judgement
            .evidence
            .iter()
            .filter_map(|e| {
                if let Evidence::Known { cause, .. } = e {
                    Some(*cause)
                } else {
                    None
                }
            })
            .collect();
        let mut asked = may_ask.to_vec();
        asked.sort_unstable();
        asked.dedup();
        asked
            .into_iter()
            .filter(|check| {
                !judgement
                    .evidence
                    .iter()
                    .any(|e| matches!(e, Evidence::Answer { check: c, .. } if c == check))
            })
            .filter_map(|check| {
                let asked = model.checks.get(check.index())?;
                let fits = asked.groups.is_empty() || asked.groups.contains(&judgement.focus);
                // Of several that would answer it, one told does; one denied leaves the others.
                let only = asked.same_as.len() == 1;
                let told_already = judgement.evidence.iter().any(|e| match e {
                    Evidence::Symptom {
                        symptom, present, ..
                    } => (*present || only) && asked.same_as.contains(symptom),
                    Evidence::Unsure { symptom, .. } => only && asked.same_as.contains(symptom),
                    // Asked and answered in other words.
                    Evidence::Answer { check, .. } => {
                        let other = model.checks.get(check.index());
                        other.is_some_and(|other| asked.asks_the_same(other))
                    }
                    _ => false,
                });
                if !fits || told_already {
                    return None;
                }
                if let Some(symptom) = asked.finds.filter(|_| asked.tells.is_empty()) {
                    // What was told or denied is not asked.
                    let told = judgement.evidence.iter().any(|e| {
                        matches!(e, Evidence::Symptom { symptom: s, group, .. }
                            | Evidence::Unsure { symptom: s, group }
                            if *s == symptom && *group == judgement.focus)
                    });
                    let found = judgement.found.get(&symptom).filter(|_| !told)?;
                    let n = found.len().max(1) as f64;
                    let mean = found.iter().map(|p| f64::from(*p)).sum::<f64>() / n;
                    let yes = found
                        .iter()
                        .map(|p| mean + FOUND * (f64::from(*p) - mean))
                        .collect();
                    return Some((check, yes));
                }
                if !asked.tells.iter().any(|(c, ..)| !known.contains(c)) {
                    return None;
                }
                let yes: Vec<f64> = judgement
                    .members
                    .iter()
                    .map(|m| report::says_yes(asked, |c| m.causes.binary_search(&c).is_ok()))
                    .collect();
                Some((check, yes))
            })
            .collect()
    }

    fn worth(
        &self,
        judgement: &Judgement,
        prospects: &Prospects<'_>,
        check: CheckId,
        yes: &[f64],
    ) -> CheckValue {
        let n = judgement.members.len().max(1) as f64;
        let p_yes = yes.iter().sum::<f64>() / n;
        let no: Vec<f64> = yes.iter().map(|p| 1.0 - p).collect();
        let known = p_yes.max(1.0 - p_yes) > AS_GOOD_AS_KNOWN;
        let worth = if known {
            Worth::default()
        } else {
            prospects.alone(yes)
        };
        let bits = if known {
            0.0
        } else {
            bits(judgement, yes, p_yes)
        };
        let after = |weight: &[f64], chance: f64| {
            let (speaks_for, leader, leader_at_work) = self.standing(judgement, |i| {
                weight.get(i).copied().unwrap_or(0.0) / chance / n
            });
            let answered = Answered {
                chance,
                leader,
                leader_at_work,
                practice: prospects.practice(weight),
            };
            (speaks_for, answered)
        };
        let (yes_for, if_yes) = after(yes, p_yes);
        let (no_for, if_no) = after(&no, 1.0 - p_yes);
        CheckValue {
            check,
            value: worth.practice,
            naming: worth.naming,
            bits,
            per_cost: rate(worth.all() + WORTH_OF_A_BIT * bits, self.cost(check)),
            separates: (yes_for, no_for),
            if_yes,
            if_no,
            with: None,
        }
    }

    /// Under these weights: the cause that gains most in probability, and the leader by at-work
    /// share with that share.
    fn standing(
        &self,
        judgement: &Judgement,
        weight: impl Fn(usize) -> f64,
    ) -> (CauseId, CauseId, f64) {
        let mut share = vec![0.0; self.prior.len()];
        let mut before = vec![0.0; self.prior.len()];
        let n = judgement.members.len().max(1) as f64;
        for (i, member) in judgement.members.iter().enumerate() {
            let w = weight(i);
            for cause in &member.causes {
                if let (Some(s), Some(b)) =
                    (share.get_mut(cause.index()), before.get_mut(cause.index()))
                {
                    *s += w;
                    *b += 1.0 / n;
                }
            }
        }
        let (mut rise, mut lead) = ((f64::NEG_INFINITY, 0), (f64::NEG_INFINITY, 0));
        for (c, (&s, (&b, &prior))) in share.iter().zip(before.iter().zip(&self.prior)).enumerate()
        {
            if s - b > rise.0 {
                rise = (s - b, c);
            }
            let at_work = at_work(s, prior);
            if at_work > lead.0 {
                lead = (at_work, c);
            }
        }
        (
            CauseId::from_index(rise.1),
            CauseId::from_index(lead.1),
            lead.0,
        )
    }
}

/// The share of a cause that the evidence accounts for, from probability and prior: the
/// probability times one less one over the ratio of their odds; nothing if it was not raised.
pub(super) fn at_work(probability: f64, prior: f64) -> f64 {
    (probability - (1.0 - probability) * prior / (1.0 - prior).max(1e-12)).max(0.0)
}

/// What an answer says of each leading cause, summed: a question about the shots may tell golfers
/// apart and causes not at all.
fn bits(judgement: &Judgement, yes: &[f64], p_yes: f64) -> f64 {
    let n = judgement.members.len().max(1) as f64;
    let entropy = |p: f64| {
        if p <= 0.0 || p >= 1.0 {
            0.0
        } else {
            -(p * p.log2() + (1.0 - p) * (1.0 - p).log2())
        }
    };
    let part = |share: f64, yes: f64, of: f64| {
        if of > 0.0 {
            share * entropy(yes / of)
        } else {
            0.0
        }
    };
    let leading = judgement.causes.iter().take(LEADING).map(|c| c.cause);
    leading
        .map(|cause| {
            let (mut there, mut yes_there) = (0.0, 0.0);
            for (member, said) in judgement.members.iter().zip(yes) {
                if member.causes.binary_search(&cause).is_ok() {
                    there += 1.0;
                    yes_there += said;
                }
            }
            let (p, yes_not) = (there / n, n * p_yes - yes_there);
            let left = part(p, yes_there, there) + part(1.0 - p, yes_not, n - there);
            (entropy(p_yes) - left).max(0.0)
        })
        .sum()
}

/// An answer may change what is practised or what is named enough to ask for it.
fn tells(practice: f64, naming: f64) -> bool {
    practice >= DECIDES || naming >= TELLS
}

/// Worth for its cost. Costs are orders of trouble, not sums of money: a question of four times
/// the trouble is asked if it is worth twice as much (elicited).
fn rate(worth: f64, cost: f64) -> f64 {
    worth / cost.powf(TROUBLE)
}

fn best_first(a: &CheckValue, b: &CheckValue) -> std::cmp::Ordering {
    b.per_cost
        .total_cmp(&a.per_cost)
        .then(a.check.cmp(&b.check))
}
