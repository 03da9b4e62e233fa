//! How much each finding weighed: an account of a cause's log odds that balances, and the smallest
//! change of a finding that would put another cause first.
//!
//! The account starts at the prior odds and takes the findings in the order they were told; each
//! is booked with the change it makes given those before it, so that the column adds up to the
//! printed odds by construction. Stated lies and known causes are premises and are booked first;
//! silence about common symptoms is booked last. Units are decibans, ten times the decimal log of
//! the odds. Knows nothing of wording.

use std::collections::BTreeMap;

use super::evidence::{Plan, reading};
use super::judgement::unit_of;
use super::model::Evidence;
use super::posterior::Simulation;
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
        // The second round, if one is due, is drawn for the whole evidence.
        let end = self.log_odds(&whole, &whole, causes);
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
        for (column, odds) in columns.iter_mut().zip(end) {
            column.unsaid = odds - column.total;
            column.total = odds;
        }
        Ledger { columns }
    }

    /// Log odds under part of the evidence.
    fn log_odds(&mut self, part: &Plan, whole: &Plan, causes: &[CauseId]) -> Vec<f64> {
        let fit = self.fit(part, whole);
        causes
            .iter()
            .map(|&cause| decibans(self.probability(&fit, cause).0))
            .collect()
    }

    /// The smallest change of one finding that makes another cause lead: numbers moved by as few
    /// errors as will do, a finding left out (counts as two errors) or told the other way (three).
    /// Found by search over the first round; the one returned was tried in full and is true.
    pub fn flip(&mut self, evidence: &[Evidence], focus: GroupId) -> Option<Flip> {
        let from = self.ranking(evidence, focus).first()?.cause;
        let mut changed: Vec<(f64, usize, FlipKind, Vec<Evidence>)> = Vec::new();
        for (at, item) in evidence.iter().enumerate() {
            for (size, kind, other) in self.changes_of(item) {
                let mut tried = evidence.to_vec();
                match (other, tried.get_mut(at)) {
                    (Some(other), Some(slot)) => *slot = other,
                    _ => {
                        tried.remove(at);
                    }
                }
                changed.push((size, at, kind, tried));
            }
        }
        changed.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (_, finding, kind, tried) in changed {
            let rough = self.rough_ranking(&tried, focus).first().map(|c| c.cause);
            if rough == Some(from) {
                continue;
            }
            let leader = self.ranking(&tried, focus).first().map(|c| c.cause)?;
            if leader != from {
                return Some(Flip {
                    finding,
                    kind,
                    leader,
                    from,
                });
            }
        }
        None
    }

    /// The ways in which one finding could have been otherwise, with their sizes in errors.
    fn changes_of(&self, item: &Evidence) -> Vec<(f64, FlipKind, Option<Evidence>)> {
        let mut ways = vec![(2.0, FlipKind::Removed, None)];
        let mut turned = item.clone();
        if turned_round(&mut turned) {
            ways.push((3.0, FlipKind::Opposite, Some(turned)));
        }
        if let (Evidence::Measured { value, .. }, Some((axis, _, _, error))) =
            (item, reading(&self.ground.model, item))
        {
            let error = f64::from(error) * unit_of(axis).scale();
            for size in MOVES {
                for side in [-1.0, 1.0] {
                    let mean = value.mean() + side * size * error;
                    let Ok(to) = Estimate::from_base(mean, value.sd(), value.dimension()) else {
                        continue;
                    };
                    let mut moved = item.clone();
                    if let Evidence::Measured { value, .. } = &mut moved {
                        *value = to;
                    }
                    ways.push((size, FlipKind::MovedTo(to), Some(moved)));
                }
            }
        }
        ways
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
