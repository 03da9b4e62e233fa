//! How much each finding weighed: an account of a cause's log odds that balances, and the smallest
//! change of a finding that would put another cause first.
//!
//! The account starts at the prior odds and takes the findings in the order they were told; each
//! is booked with the change it makes given those before it, so that the column adds up to the
//! printed odds by construction. Stated lies and known causes are premises and are booked first;
//! silence about common symptoms is booked last. Units are decibans, ten times the decimal log of
//! the odds. Knows nothing of wording.

use std::collections::BTreeMap;

use super::model::Evidence;
use super::posterior::{Plan, Simulation, reading, unit_of};
use crate::quantity::Estimate;
use crate::vocabulary::{CauseId, GroupId};

/// The account of one cause.
#[derive(Debug, Clone, PartialEq)]
pub struct LedgerColumn {
    /// Which cause.
    pub cause: CauseId,
    /// Log odds before any evidence, decibans.
    pub prior: f64,
    /// What each finding added, in the order told.
    pub items: Vec<f64>,
    /// What was not mentioned added.
    pub unsaid: f64,
    /// Log odds after all evidence: prior, items and unsaid together.
    pub total: f64,
}

/// Accounts of several causes over the same findings.
#[derive(Debug, Clone, PartialEq)]
pub struct Ledger {
    /// One for each cause asked for, in that order.
    pub columns: Vec<LedgerColumn>,
}

impl Ledger {
    /// What each finding adds to the first cause against the second; empty without two columns.
    pub fn contrast(&self) -> Vec<f64> {
        match self.columns.as_slice() {
            [a, b, ..] => a.items.iter().zip(&b.items).map(|(x, y)| x - y).collect(),
            _ => Vec::new(),
        }
    }
}

/// How a finding would have to differ.
#[derive(Debug, Clone, PartialEq)]
pub enum FlipKind {
    /// Not told at all.
    Removed,
    /// Told the other way round: denied for present, no for yes.
    Opposite,
    /// Another number.
    MovedTo(Estimate),
}

/// A change of one finding that puts another cause first.
#[derive(Debug, Clone, PartialEq)]
pub struct Flip {
    /// The place of the finding in the evidence.
    pub finding: usize,
    /// What would be different.
    pub kind: FlipKind,
    /// Who would lead.
    pub leader: CauseId,
    /// Who leads now.
    pub from: CauseId,
}

/// Numbers are moved by these many errors when looking for the smallest move that flips.
const MOVES: [f64; 6] = [0.5, 1.0, 1.5, 2.0, 3.0, 4.0];

impl Simulation {
    /// The accounts of these causes, findings in the order given.
    pub fn ledger(&mut self, evidence: &[Evidence], focus: GroupId, causes: &[CauseId]) -> Ledger {
        // Premises first, then the rest as told.
        let premise = |item: &Evidence| matches!(item, Evidence::Known { .. });
        let mut order: Vec<usize> = (0..evidence.len()).collect();
        order.sort_by_key(|&i| !evidence.get(i).is_some_and(premise));
        let prior: Vec<f64> = causes
            .iter()
            .map(|c| decibans(self.prior.get(c.index()).copied().unwrap_or(0.0)))
            .collect();
        let mut columns: Vec<LedgerColumn> = causes
            .iter()
            .zip(&prior)
            .map(|(&cause, &prior)| LedgerColumn {
                cause,
                prior,
                items: vec![0.0; evidence.len()],
                unsaid: 0.0,
                total: prior,
            })
            .collect();
        let whole = Plan::new(&self.ground.model, evidence, focus);
        // Draw the second round, if one is due, for the whole evidence.
        let known = whole.known();
        let mut weights = self.first_round(&whole, &known);
        self.refine(&whole, &known, &mut weights);
        let mut told: Vec<Evidence> = Vec::new();
        for at in order {
            let Some(item) = evidence.get(at) else {
                continue;
            };
            told.push(item.clone());
            let mut plan = Plan::new(&self.ground.model, &told, focus);
            plan.said = BTreeMap::new();
            let now = self.log_odds(&plan, &whole, causes);
            for (column, odds) in columns.iter_mut().zip(now) {
                if let Some(slot) = column.items.get_mut(at) {
                    *slot = odds - column.total;
                }
                column.total = odds;
            }
        }
        let now = self.log_odds(&whole, &whole, causes);
        for (column, odds) in columns.iter_mut().zip(now) {
            column.unsaid = odds - column.total;
            column.total = odds;
        }
        Ledger { columns }
    }

    /// Log odds under part of the evidence, from whichever round has more golfers that fit: the
    /// first, or the second if it was drawn for the whole evidence.
    fn log_odds(&mut self, plan: &Plan, whole: &Plan, causes: &[CauseId]) -> Vec<f64> {
        let (population, weights) = self.fitting(plan, whole);
        let Some(population) = population else {
            return vec![0.0; causes.len()];
        };
        causes
            .iter()
            .map(|cause| {
                let p = population.present.get(cause.index()).map_or(0.0, |column| {
                    column
                        .members()
                        .filter_map(|i| weights.share.get(i))
                        .sum::<f64>()
                });
                decibans(p)
            })
            .collect()
    }

    /// The smallest change of one finding that makes another cause lead: first told the other way
    /// or not at all, then numbers moved by as few errors as will do. Each is tried and true.
    pub fn flip(&mut self, evidence: &[Evidence], focus: GroupId) -> Option<Flip> {
        let from = self.leader(evidence, focus)?;
        let mut best: Option<(f64, Flip)> = None;
        let mut consider = |size: f64, flip: Flip| {
            if best.as_ref().is_none_or(|(old, _)| size < *old) {
                best = Some((size, flip));
            }
        };
        for at in 0..evidence.len() {
            let Some(item) = evidence.get(at) else {
                continue;
            };
            let mut tried = evidence.to_vec();
            if let Evidence::Measured { value, .. } = item {
                let Some((axis, _, _, error)) = reading(&self.ground.model, item) else {
                    continue;
                };
                let error = f64::from(error) * unit_of(axis).scale();
                'moves: for size in MOVES {
                    for side in [-1.0, 1.0] {
                        let Ok(moved) = Estimate::from_base(
                            value.mean() + side * size * error,
                            value.sd(),
                            value.dimension(),
                        ) else {
                            continue;
                        };
                        if let Some(Evidence::Measured { value, .. }) = tried.get_mut(at) {
                            *value = moved;
                        }
                        if let Some(leader) = self.leader(&tried, focus)
                            && leader != from
                        {
                            consider(
                                size,
                                Flip {
                                    finding: at,
                                    kind: FlipKind::MovedTo(moved),
                                    leader,
                                    from,
                                },
                            );
                            break 'moves;
                        }
                    }
                }
            }
            let mut without = evidence.to_vec();
            without.remove(at);
            if let Some(leader) = self.leader(&without, focus)
                && leader != from
            {
                consider(
                    2.0,
                    Flip {
                        finding: at,
                        kind: FlipKind::Removed,
                        leader,
                        from,
                    },
                );
            }
            let mut tried = evidence.to_vec();
            if let Some(slot) = tried.get_mut(at)
                && turned_round(slot)
                && let Some(leader) = self.leader(&tried, focus)
                && leader != from
            {
                consider(
                    3.0,
                    Flip {
                        finding: at,
                        kind: FlipKind::Opposite,
                        leader,
                        from,
                    },
                );
            }
        }
        best.map(|(_, flip)| flip)
    }

    fn leader(&mut self, evidence: &[Evidence], focus: GroupId) -> Option<CauseId> {
        self.ranking(evidence, focus).first().map(|c| c.cause)
    }
}

/// Turns a finding round; false if it has no other way.
fn turned_round(item: &mut Evidence) -> bool {
    match item {
        Evidence::Symptom { present, often, .. } => {
            *present = !*present;
            *often = None;
        }
        Evidence::Answer { yes, .. } => *yes = !*yes,
        Evidence::Practised { helped, .. } => *helped = !*helped,
        Evidence::Known { .. }
        | Evidence::Unsure { .. }
        | Evidence::Measured { .. }
        | Evidence::Hint { .. } => return false,
    }
    true
}

/// Ten times the decimal log of the odds; certain and impossible stop at 120.
fn decibans(p: f64) -> f64 {
    let odds = p / (1.0 - p).max(0.0);
    (10.0 * odds.log10()).clamp(-120.0, 120.0)
}
