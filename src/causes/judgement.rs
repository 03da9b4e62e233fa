//! What the golfers that fit say: causes in their order, effects, ranges and rates.
//!
//! [`Judgement`] is what [`Simulation::judge`](super::Simulation::judge) gives; benefit, checks,
//! what-if and the ledger read it. Shares are of the posterior; ranges and rates are of the club
//! group in focus. Does not know how the golfers were weighed.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::benefit::Gains;
use super::model::{Axis, EffectShare, Event, Evidence, Model};
use super::population::Member;
use super::posterior::{SAMPLE, STANDS_OUT};
use super::quantities::Axes;
use super::report::Rows;
use crate::quantity::{Amount, Length, Unit};
use crate::vocabulary::{CauseId, EffectId, GroupId, SymptomId};

/// A cause with its place in the ranking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RankedCause {
    /// Which.
    pub cause: CauseId,
    /// Probability that it is present, given the evidence.
    pub probability: f64,
    /// Numerical error of the probability, one standard error.
    pub error: f64,
    /// Probability that it is present and that the evidence speaks for it: the posterior times
    /// `1 - 1 / raised`.
    pub at_work: f64,
    /// Probability before any evidence.
    pub prior: f64,
    /// Posterior odds over prior odds.
    pub raised: f64,
    /// The cause upstream that most often brought it about, with its share, if that is over 0.3.
    pub root: Option<(CauseId, f64)>,
}

/// Where an axis lies for golfers like this one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisRange {
    /// Which.
    pub axis: Axis,
    /// The mean.
    pub mean: Amount,
    /// 5 in 100 lie below.
    pub low: Amount,
    /// 5 in 100 lie above.
    pub high: Amount,
    /// The usual value of the group.
    pub usual: Amount,
}

/// What the evidence says.
#[derive(Debug, Clone)]
pub struct Judgement {
    /// The club group that quantities, effects, rates and benefits are about.
    pub focus: GroupId,
    /// Every cause, the one most at work first; ties by probability, then by id.
    pub causes: Vec<RankedCause>,
    /// Probability that no cause is present.
    pub none: f64,
    /// Nothing stands out.
    pub little_to_go_on: bool,
    /// Effective number of golfers behind the shares.
    pub effective_golfers: f64,
    /// A second round was drawn near the golfers that fit.
    pub refined: bool,
    /// Places in the evidence that hardly any golfer could produce.
    pub impossible: Vec<usize>,
    /// Probability of every effect, by id.
    pub effects: Vec<EffectShare>,
    /// Range of every axis.
    pub ranges: Vec<AxisRange>,
    /// Mean rate of every event.
    pub rates: Vec<(Event, f64)>,
    pub(super) members: Vec<Member>,
    /// For each symptom that a check looks for: the chance that each of the members reports it.
    pub(super) found: BTreeMap<SymptomId, Vec<f32>>,
    pub(super) evidence: Vec<Evidence>,
    pub(super) gains: OnceLock<Gains>,
}

impl Judgement {
    /// The standing of one cause.
    pub fn of(&self, cause: CauseId) -> Option<&RankedCause> {
        self.causes.iter().find(|c| c.cause == cause)
    }

    /// Puts the causes in order again after a share at work was changed.
    pub fn rank_again(&mut self) {
        self.causes.sort_by(|a, b| {
            b.at_work
                .total_cmp(&a.at_work)
                .then(b.probability.total_cmp(&a.probability))
                .then(a.cause.cmp(&b.cause))
        });
        let leader = self.causes.first().map_or(0.0, |c| c.at_work);
        self.little_to_go_on = leader < STANDS_OUT;
    }

    /// Where an axis lies.
    pub fn range(&self, axis: Axis) -> Option<&AxisRange> {
        self.ranges.get(axis as usize)
    }

    /// The probability of an effect.
    pub fn effect(&self, effect: EffectId) -> f64 {
        self.effects.get(effect.index()).map_or(0.0, |&(_, p)| p)
    }

    /// The mean rate of an event.
    pub fn rate(&self, event: Event) -> f64 {
        self.rates.get(event as usize).map_or(0.0, |&(_, r)| r)
    }
}

/// An amount on an axis from its trade number.
pub(super) fn on_axis(axis: Axis, value: f64) -> Amount {
    let unit = unit_of(axis);
    let value = if value.is_finite() { value } else { 0.0 };
    Amount::new(value, unit).unwrap_or_else(|_| Length::ZERO.into())
}

/// The unit an axis is written in.
pub(super) fn unit_of(axis: Axis) -> Unit {
    Axis::ALL
        .get(axis as usize)
        .and_then(|(_, _, symbol, _)| Unit::from_symbol(symbol))
        .unwrap_or(Unit::One)
}

impl Judgement {
    pub(super) fn nothing(focus: GroupId, evidence: &[Evidence]) -> Self {
        Self {
            focus,
            causes: Vec::new(),
            none: 0.0,
            little_to_go_on: true,
            effective_golfers: 0.0,
            refined: false,
            impossible: Vec::new(),
            effects: Vec::new(),
            ranges: Vec::new(),
            rates: Vec::new(),
            members: Vec::new(),
            found: BTreeMap::new(),
            evidence: evidence.to_vec(),
            gains: OnceLock::new(),
        }
    }
}

/// Sums over the golfers that fit, with the focus group.
pub(super) struct Means {
    effects: Vec<f64>,
    rates: Vec<f64>,
    axes: Vec<f64>,
    /// Values of the golfers drawn, by axis.
    drawn: Vec<Vec<f32>>,
}

impl Means {
    pub(super) fn new(model: &Model) -> Self {
        Self {
            effects: vec![0.0; model.effects.len()],
            rates: vec![0.0; Event::ALL.len()],
            axes: vec![0.0; Axis::ALL.len()],
            drawn: vec![Vec::with_capacity(SAMPLE); Axis::ALL.len()],
        }
    }

    pub(super) fn add(&mut self, rows: &Rows, share: &[f64], drawn: &[usize]) {
        for (i, &w) in share.iter().enumerate().filter(|(_, w)| **w > 1e-9) {
            for (sum, &x) in self.rates.iter_mut().zip(rows.rates_of(i)) {
                *sum += w * f64::from(x);
            }
            for (sum, &x) in self.axes.iter_mut().zip(rows.axes_of(i)) {
                *sum += w * f64::from(x);
            }
            for effect in rows.effects_of(i) {
                if let Some(sum) = self.effects.get_mut(effect) {
                    *sum += w;
                }
            }
        }
        for &i in drawn {
            for (values, &x) in self.drawn.iter_mut().zip(rows.axes_of(i)) {
                values.push(x);
            }
        }
    }

    pub(super) fn describe(mut self, usual: &Axes, judgement: &mut Judgement) {
        judgement.effects = self
            .effects
            .into_iter()
            .enumerate()
            .map(|(e, p)| (EffectId::from_index(e), p))
            .collect();
        judgement.rates = Event::ALL.iter().map(|(e, _)| *e).zip(self.rates).collect();
        judgement.ranges = Axis::ALL
            .iter()
            .zip(self.axes)
            .zip(&mut self.drawn)
            .zip(usual)
            .map(|(((&(axis, ..), mean), values), &usual)| {
                values.sort_by(f32::total_cmp);
                let at = |share: f64| {
                    let place = (share * values.len() as f64) as usize;
                    f64::from(values.get(place).copied().unwrap_or(0.0))
                };
                AxisRange {
                    axis,
                    mean: on_axis(axis, mean),
                    low: on_axis(axis, at(0.05)),
                    high: on_axis(axis, at(0.95)),
                    usual: on_axis(axis, f64::from(usual)),
                }
            })
            .collect();
    }
}
