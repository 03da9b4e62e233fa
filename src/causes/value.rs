//! Which check is worth asking: what its answers would gain for the choice of practice, and what
//! they would tell.
//!
//! Takes the golfers that fit and their gains. A check is worth what the best practice gains more
//! if chosen after the answer than if chosen now; where no single answer changes the choice, pairs
//! of checks are looked at; where no pair does, the program stops asking unless the answer still
//! tells much of what is there. Never proposes what is answered, known, or as good as certain.

use super::benefit::for_effort;
use super::model::Evidence;
use super::posterior::{Judgement, Simulation};
use super::report;
use crate::vocabulary::{CauseId, CheckId};

/// A check whose best gain is below this many shots in a hundred decides nothing.
const DECIDES: f64 = 0.03;
/// Information that is worth asking for even if the practice would stay: bits.
const TELLS: f64 = 0.03;
/// Shots in a hundred that a bit of knowledge is worth by itself (it makes the reasons clear and
/// the next visit better; elicited).
const WORTH_OF_A_BIT: f64 = 5.0;
/// An answer this likely is as good as known.
const AS_GOOD_AS_KNOWN: f64 = 0.97;
/// How many checks are tried in pairs.
const PAIRED: usize = 16;

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

/// Leading causes that a question is to tell of.
const LEADING: usize = 10;

/// What a check is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CheckValue {
    /// Which.
    pub check: CheckId,
    /// Shots in a hundred that the choice of practice gains.
    pub value: f64,
    /// Information about the leading causes, each by itself, summed, bits.
    pub bits: f64,
    /// Value and worth of the information, over the cost.
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

/// The golfers as the choice of practice sees them.
struct Choice {
    /// For each golfer: cause and gain for its effort.
    rows: Vec<Vec<(usize, f64)>>,
    causes: usize,
}

impl Choice {
    /// The best gain and its cause when golfers count by these weights (not normalised).
    fn best(&self, weight: impl Fn(usize) -> f64, sums: &mut Vec<f64>) -> (f64, Option<usize>) {
        sums.clear();
        sums.resize(self.causes, 0.0);
        for (i, row) in self.rows.iter().enumerate() {
            let w = weight(i);
            for &(cause, gain) in row {
                if let Some(sum) = sums.get_mut(cause) {
                    *sum += w * gain;
                }
            }
        }
        let mut best = (0.0, None);
        for (cause, &sum) in sums.iter().enumerate() {
            if sum > best.0 {
                best = (sum, Some(cause));
            }
        }
        best
    }
}

impl Simulation {
    /// The checks of `may_ask` that can still tell something, best value for its cost first.
    pub fn checks(&self, judgement: &Judgement, may_ask: &[CheckId]) -> Vec<CheckValue> {
        let choice = self.choice(judgement);
        let n = judgement.members.len().max(1) as f64;
        let mut sums = Vec::new();
        let now = choice.best(|_| 1.0 / n, &mut sums);
        let mut values: Vec<CheckValue> = self
            .open_checks(judgement, may_ask)
            .into_iter()
            .map(|(check, yes)| self.worth(judgement, &choice, now, check, &yes, &mut sums))
            .collect();
        values.sort_by(|a, b| {
            b.per_cost
                .total_cmp(&a.per_cost)
                .then(a.check.cmp(&b.check))
        });
        values
    }

    /// The check to ask now; `None` if no answer would change enough.
    pub fn next_check(&self, judgement: &Judgement, may_ask: &[CheckId]) -> Option<CheckValue> {
        let values = self.checks(judgement, may_ask);
        let first = values
            .iter()
            .find(|v| v.value >= DECIDES || v.bits >= TELLS)
            .copied();
        first.or_else(|| self.best_pair(judgement, &values))
    }

    /// The most valuable pair among the leading checks, if it decides anything.
    fn best_pair(&self, judgement: &Judgement, values: &[CheckValue]) -> Option<CheckValue> {
        let leading: Vec<CheckId> = values.iter().take(PAIRED).map(|v| v.check).collect();
        let choice = self.choice(judgement);
        let open = self.open_checks(judgement, &leading);
        let n = judgement.members.len().max(1) as f64;
        let mut sums = Vec::new();
        let (now, _) = choice.best(|_| 1.0 / n, &mut sums);
        let mut best: Option<(f64, CheckId, CheckId)> = None;
        for (at, (first, a)) in open.iter().enumerate() {
            for (second, b) in open.iter().skip(at + 1) {
                let mut then = 0.0;
                for (yes_a, yes_b) in [(true, true), (true, false), (false, true), (false, false)] {
                    let said = |p: &[f64], yes: bool, i: usize| {
                        let p = p.get(i).copied().unwrap_or(0.5);
                        if yes { p } else { 1.0 - p }
                    };
                    then += choice
                        .best(|i| said(a, yes_a, i) * said(b, yes_b, i) / n, &mut sums)
                        .0;
                }
                let cost = self.cost(*first) + self.cost(*second);
                let rate = (then - now) / cost;
                if then - now >= DECIDES && best.is_none_or(|(old, ..)| rate > old) {
                    best = Some((rate, *first, *second));
                }
            }
        }
        let (rate, first, second) = best?;
        values
            .iter()
            .find(|v| v.check == first)
            .map(|v| CheckValue {
                with: Some(second),
                per_cost: rate,
                value: rate * (self.cost(first) + self.cost(second)),
                ..*v
            })
    }

    fn cost(&self, check: CheckId) -> f64 {
        self.ground
            .model
            .checks
            .get(check.index())
            .map_or(1.0, |c| c.cost.max(0.1))
    }

    fn choice(&self, judgement: &Judgement) -> Choice {
        let model = &self.ground.model;
        let effort = |c: CauseId| model.causes.get(c.index()).map_or(1.0, |m| m.effort);
        let rows = self
            .gains(judgement)
            .rows
            .iter()
            .map(|row| {
                row.iter()
                    .map(|&(c, gain, _)| (c.index(), for_effort(gain, effort(c))))
                    .collect()
            })
            .collect();
        Choice {
            rows,
            causes: model.causes.len(),
        }
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
                let told_already = judgement.evidence.iter().any(|e| {
                    matches!(e, Evidence::Symptom { symptom, .. } | Evidence::Unsure { symptom, .. }
                        if asked.same_as.contains(symptom))
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
                    return Some((check, found.iter().map(|p| f64::from(*p)).collect()));
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
        choice: &Choice,
        now: (f64, Option<usize>),
        check: CheckId,
        yes: &[f64],
        sums: &mut Vec<f64>,
    ) -> CheckValue {
        let n = judgement.members.len().max(1) as f64;
        let p_yes = yes.iter().sum::<f64>() / n;
        let entropy = |p: f64| {
            if p <= 0.0 || p >= 1.0 {
                0.0
            } else {
                -(p * p.log2() + (1.0 - p) * (1.0 - p).log2())
            }
        };
        let at = |i: usize| yes.get(i).copied().unwrap_or(0.5);
        // What the answer says of each leading cause, summed: a question about the shots may tell
        // golfers apart and causes not at all.
        let leading = judgement.causes.iter().take(LEADING).map(|c| c.cause);
        let bits: f64 = leading
            .map(|cause| {
                let (mut there, mut yes_there) = (0.0, 0.0);
                for (i, member) in judgement.members.iter().enumerate() {
                    if member.causes.binary_search(&cause).is_ok() {
                        there += 1.0;
                        yes_there += at(i);
                    }
                }
                let (p, yes_not) = (there / n, n * p_yes - yes_there);
                let part = |share: f64, yes: f64, of: f64| {
                    if of > 0.0 {
                        share * entropy(yes / of)
                    } else {
                        0.0
                    }
                };
                let left = part(p, yes_there, there) + part(1.0 - p, yes_not, n - there);
                (entropy(p_yes) - left).max(0.0)
            })
            .sum();
        let after_yes = choice.best(|i| at(i) / n, sums);
        let after_no = choice.best(|i| (1.0 - at(i)) / n, sums);
        let value = (after_yes.0 + after_no.0 - now.0).max(0.0);
        let known = p_yes.max(1.0 - p_yes) > AS_GOOD_AS_KNOWN;
        let (speaks_yes, leader_yes, share_yes) = self.standing(judgement, |i| at(i) / p_yes / n);
        let (speaks_no, leader_no, share_no) =
            self.standing(judgement, |i| (1.0 - at(i)) / (1.0 - p_yes) / n);
        let cause = |place: Option<usize>| place.map(CauseId::from_index);
        let (value, bits) = if known { (0.0, 0.0) } else { (value, bits) };
        CheckValue {
            check,
            value,
            bits,
            per_cost: (value + WORTH_OF_A_BIT * bits) / self.cost(check),
            separates: (speaks_yes, speaks_no),
            if_yes: Answered {
                chance: p_yes,
                leader: leader_yes,
                leader_at_work: share_yes,
                practice: cause(after_yes.1),
            },
            if_no: Answered {
                chance: 1.0 - p_yes,
                leader: leader_no,
                leader_at_work: share_no,
                practice: cause(after_no.1),
            },
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
        let odds = |p: f64| p / (1.0 - p).max(1e-9);
        let (mut rise, mut lead) = ((f64::NEG_INFINITY, 0), (f64::NEG_INFINITY, 0));
        for (c, (&s, (&b, &prior))) in share.iter().zip(before.iter().zip(&self.prior)).enumerate()
        {
            if s - b > rise.0 {
                rise = (s - b, c);
            }
            let raised = odds(s) / odds(prior).max(1e-12);
            let at_work = if raised > 1.0 {
                s * (1.0 - 1.0 / raised)
            } else {
                0.0
            };
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
