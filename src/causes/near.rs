//! A second round of golfers, drawn near those that fit.
//!
//! Takes a population with the shares of its golfers and some golfers drawn by share (the
//! ancestors); gives new golfers with exact weights. Each takes after one ancestor: the events
//! behind its causes are kept most of the time, all others come up about as often as among the
//! golfers that fit, and personal deviations are drawn about their weighted means; those that measured
//! numbers pull are drawn as each golfer's causes and the numbers ask. Some come straight from the prior, so that no weight exceeds the inverse of their share. Invariant: the
//! weight is the prior over the mixture of all ancestors and the prior. Knows nothing
//! of other evidence.

use super::population::{Column, PERSON, Population, Sources, stratified};
use super::pull::Pull;
use super::scores::{Normal, mix, unit};
use super::world::Ground;
use crate::beside::each;

/// Share of golfers straight from the prior.
const FROM_PRIOR: f64 = 0.15;
/// How often an event behind an ancestor's causes is kept.
const KEEPS: f64 = 0.75;

/// From what the new golfers are drawn.
struct Proposal {
    /// Chance of each own event before any evidence; 1 where everybody has it.
    prior: Vec<f64>,
    /// Chance proposed, never lower.
    fitted: Vec<f64>,
    /// Chance of each link.
    links: Vec<f64>,
    /// Own events and links behind the causes of each ancestor.
    kept: Vec<(Vec<usize>, Vec<usize>)>,
    /// Mean and spread of the personal deviations.
    middle: Vec<f32>,
    width: Vec<f32>,
}

fn at(values: &[f64], i: usize) -> f64 {
    values.get(i).copied().unwrap_or(0.0)
}

impl Population {
    /// `2^bits` golfers near those of this population that count by `share`.
    pub(super) fn near(
        &self,
        sources: &Sources,
        normal: &Normal,
        share: &[f64],
        ancestors: &[usize],
        (bits, seed): (u32, u64),
        numbers: Option<(&Pull, &Ground)>,
    ) -> Self {
        let pull = numbers.map(|(pull, _)| pull);
        let proposal = Proposal::new(self, sources, share, ancestors, pull);
        let count = 1usize << bits;
        let from_prior = (count as f64 * FROM_PRIOR) as usize;
        let (own, acted) = proposal.events(count, from_prior, bits, seed);
        let (person, mut log_person) = proposal.persons(count, from_prior, bits, normal, seed);
        let mut golfers = Self::settled(sources, seed, own, acted, person, vec![0.0; count]);
        if let Some((pull, ground)) = numbers {
            let pulled = pull.draw(ground, &mut golfers, from_prior);
            for (log, more) in log_person.iter_mut().zip(pulled) {
                *log += more;
            }
        }
        golfers.log_weight = proposal.log_weights(&golfers.own, &golfers.acted, &log_person);
        golfers
    }
}

impl Proposal {
    fn new(
        from: &Population,
        sources: &Sources,
        share: &[f64],
        ancestors: &[usize],
        pull: Option<&Pull>,
    ) -> Self {
        let prior: Vec<f64> = sources
            .own
            .iter()
            .zip(&from.own)
            .map(|(&p, column)| {
                if column.members().count() == from.count {
                    1.0
                } else {
                    p
                }
            })
            .collect();
        let fitted = from
            .own
            .iter()
            .zip(&prior)
            .map(|(column, &p)| {
                let mean: f64 = column.members().map(|i| at(share, i)).sum();
                (0.5 * p + 0.5 * mean).min(0.5).max(p)
            })
            .collect();
        let kept = ancestors
            .iter()
            .map(|&a| {
                let owned = from
                    .own
                    .iter()
                    .enumerate()
                    .filter(|(c, column)| column.has(a) && at(&prior, *c) < 1.0)
                    .map(|(c, _)| c)
                    .collect();
                let active = sources
                    .links
                    .iter()
                    .zip(&from.acted)
                    .enumerate()
                    .filter(|(_, ((parent, _, p), column))| {
                        let present = from.present.get(parent.index());
                        *p < 1.0 && column.has(a) && present.is_some_and(|c| c.has(a))
                    })
                    .map(|(l, _)| l)
                    .collect();
                (owned, active)
            })
            .collect();
        let (mut middle, mut width) = moments(from, share);
        // What the numbers pull is drawn by them, from normal scores.
        let free = middle.iter_mut().zip(&mut width).enumerate();
        for (_, (middle, width)) in free.filter(|(d, _)| pull.is_some_and(|p| p.moves(*d))) {
            (*middle, *width) = (0.0, 1.0);
        }
        Self {
            prior,
            fitted,
            links: sources.links.iter().map(|&(_, _, p)| p).collect(),
            kept,
            middle,
            width,
        }
    }

    /// Own events and links of the new golfers.
    fn events(
        &self,
        count: usize,
        from_prior: usize,
        bits: u32,
        seed: u64,
    ) -> (Vec<Column>, Vec<Column>) {
        let columns = |chances: &[f64], kind: u64| -> Vec<Column> {
            chances
                .iter()
                .enumerate()
                .map(|(c, &p)| stratified(mix(seed, kind << 40 | c as u64), p, bits))
                .collect()
        };
        let (mut own, mut acted) = (columns(&self.fitted, 11), columns(&self.links, 12));
        let chance = |kind: u64, c: usize, i: usize| {
            unit(mix(seed, kind << 40 | (c as u64) << 20 | i as u64))
        };
        // The share from the prior: thin out what was proposed more often.
        for (c, column) in own.iter_mut().enumerate() {
            let keep = at(&self.prior, c) / at(&self.fitted, c).max(1e-12);
            for i in 0..from_prior {
                if column.has(i) && chance(13, c, i) >= keep {
                    column.clear(i);
                }
            }
        }
        for i in from_prior..count {
            let Some((owned, active)) = self.kept.get(i % self.kept.len().max(1)) else {
                continue;
            };
            for (list, columns, kind) in [(owned, &mut own, 14), (active, &mut acted, 15)] {
                for &c in list {
                    let Some(column) = columns.get_mut(c) else {
                        continue;
                    };
                    if chance(kind, c, i) < KEEPS {
                        column.set(i);
                    } else {
                        column.clear(i);
                    }
                }
            }
        }
        (own, acted)
    }

    /// Personal deviations, with the log of proposal over prior of each golfer's.
    fn persons(
        &self,
        count: usize,
        from_prior: usize,
        bits: u32,
        normal: &Normal,
        seed: u64,
    ) -> (Vec<f32>, Vec<f64>) {
        let keys: Vec<u64> = (0..PERSON as u64)
            .map(|d| mix(seed, 16 << 40 | d))
            .collect();
        let finer = normal.bits().saturating_sub(bits);
        let mut person = Vec::with_capacity(count * PERSON);
        let mut log = vec![0.0f64; count];
        for (i, log) in log.iter_mut().enumerate() {
            for ((&key, &middle), &width) in keys.iter().zip(&self.middle).zip(&self.width) {
                let score = normal.score(key, (i << finer) as u32);
                let x = if i < from_prior {
                    score
                } else {
                    middle + width * score
                };
                let off = f64::from((x - middle) / width);
                *log += 0.5 * (f64::from(x).powi(2) - off * off) - f64::from(width).ln();
                person.push(x);
            }
        }
        (person, log)
    }

    /// Log of prior over proposal.
    fn log_weights(&self, own: &[Column], acted: &[Column], log_person: &[f64]) -> Vec<f64> {
        // Events proposed more often than the prior has them ...
        let mut log_events = vec![0.0f64; log_person.len()];
        let mut none = 0.0;
        for ((column, &p), &q) in own.iter().zip(&self.prior).zip(&self.fitted) {
            if q <= p || q >= 1.0 {
                continue;
            }
            let (with, without) = ((q / p).ln(), ((1.0 - q) / (1.0 - p)).ln());
            none += without;
            for i in column.members() {
                if let Some(log) = log_events.get_mut(i) {
                    *log += with - without;
                }
            }
        }
        // ... and what each ancestor insists on, against those chances.
        let insists = |p: f64| ((KEEPS / p).ln(), ((1.0 - KEEPS) / (1.0 - p)).ln());
        let ancestors: Vec<Vec<(&Column, (f64, f64))>> = self
            .kept
            .iter()
            .map(|(owned, active)| {
                let owned = owned.iter().filter_map(|&c| {
                    own.get(c)
                        .map(|column| (column, insists(at(&self.fitted, c))))
                });
                let active = active.iter().filter_map(|&l| {
                    acted
                        .get(l)
                        .map(|column| (column, insists(at(&self.links, l))))
                });
                owned.chain(active).collect()
            })
            .collect();
        let n = ancestors.len().max(1) as f64;
        each(log_events.len(), |i| {
            let mean: f64 = ancestors
                .iter()
                .map(|list| {
                    let log: f64 = list
                        .iter()
                        .map(|(column, (kept, not))| if column.has(i) { *kept } else { *not })
                        .sum();
                    log.exp()
                })
                .sum::<f64>()
                / n;
            let ratio = (none + at(&log_events, i) + at(log_person, i)).exp() * mean;
            -(FROM_PRIOR + (1.0 - FROM_PRIOR) * ratio).ln()
        })
    }
}

/// Weighted means and spreads of the personal deviations, held near the prior's.
fn moments(from: &Population, share: &[f64]) -> (Vec<f32>, Vec<f32>) {
    let mut sums = [(0.0f64, 0.0f64); PERSON];
    for (row, &w) in from
        .person
        .chunks_exact(PERSON)
        .zip(share)
        .filter(|(_, w)| **w > 1e-9)
    {
        for ((one, two), &x) in sums.iter_mut().zip(row) {
            *one += w * f64::from(x);
            *two += w * f64::from(x) * f64::from(x);
        }
    }
    sums.iter()
        .map(|&(mean, square)| {
            let middle = if mean.abs() < 0.1 { 0.0 } else { 0.8 * mean };
            let sd = (square - mean * mean).max(0.0).sqrt();
            let width = if sd > 0.95 {
                1.0
            } else {
                (0.5 + 0.5 * sd).max(0.75)
            };
            (middle as f32, width as f32)
        })
        .unzip()
}
