//! How likely a golfer is to say what was said: from rates, quantities and causes to the chance of
//! a mention, an answer, a number.
//!
//! A symptom that geometry decides is mentioned by a golfer at a chance that rises with its rate,
//! from a floor (people report things that are not there) to what reports of its kind are trusted
//! for; the half-way rate is set so that golfers with nothing at work mention it as often as the
//! knowledge says is usual. A symptom that geometry does not decide follows its table of tell-tale
//! causes as a noisy-OR. Numbers are compared with the golfer's mean by a distribution with heavy
//! tails than normal (t, 12 degrees of freedom): slips happen, and yet a number binds. Gives log-likelihoods, golfer by
//! golfer; knows nothing of weights or ranking.

use super::model::{Axis, CheckModel, Event, Seen, Settings, SymptomModel, Trust};
use super::population::Population;
use super::quantities::{AXES, Axes};
use super::scores::Normal;
use super::shots::EVENTS;
use crate::vocabulary::CauseId;

/// Steepness of the mention curve (elicited).
const STEEP: f64 = 2.4;
/// Least chance that something is mentioned whatever the rate.
const LEAST: f64 = 0.02;
/// No tell-tale cause makes a mention likelier than this.
const MOST_TOLD: f64 = 0.95;
/// Answers to checks are kept this far from certain.
const SURE: f64 = 0.995;
/// A habit of motion makes "it came suddenly" or "one club only" this much less likely.
const HABIT_SPEAKS_AGAINST: f64 = 0.6;
/// Steps of the mention curve's table.
const STEPS: usize = 1024;
/// How often practising against a cause helps if it is there and if it is not (elicited).
pub(super) const PRACTICE_HELPS: (f64, f64) = (0.6, 0.25);
/// Log of the likelihood ratio of a self-diagnosis at full weight: that of an ordinary check.
pub const HINT: f64 = 1.386_294_361_119_890_6;

/// The rate at which a symptom shows, from the rows of one golfer; between 0 and 1.
pub(super) fn shows(
    seen: &Seen,
    rates: &[f32],
    axes: &[f32],
    usual: &Axes,
    normal: &Normal,
) -> f32 {
    raw(seen, rates, axes, usual, normal).clamp(0.0, 1.0)
}

fn raw(seen: &Seen, rates: &[f32], axes: &[f32], usual: &Axes, normal: &Normal) -> f32 {
    let rate = |event: Event| rates.get(event as usize).copied().unwrap_or(0.0);
    let sum = |terms: &[(Event, f64)]| -> f32 {
        terms
            .iter()
            .map(|&(event, weight)| weight as f32 * rate(event))
            .sum()
    };
    match seen {
        Seen::Events(terms) => sum(terms),
        Seen::Both(a, b) => 2.0 * sum(a).min(sum(b)),
        Seen::OneSided(a, b) => {
            let (a, b) = (rate(*a), rate(*b));
            a.max(b) - 3.0 * a.min(b)
        }
        Seen::More(a, b) => sum(a) - sum(b),
        Seen::Beyond {
            axis,
            above,
            limit,
            blur,
            relative,
        } => {
            let at = *axis as usize;
            let from = if *relative {
                usual.get(at).copied().unwrap_or(0.0)
            } else {
                0.0
            };
            let over = axes.get(at).copied().unwrap_or(0.0) - from - *limit as f32;
            let over = if *above { over } else { -over };
            normal.below(over / (*blur as f32).max(1e-3))
        }
        Seen::Scaled(event, factor, offset) => rate(*event) * *factor as f32 + *offset as f32,
        Seen::Power(event, power) => rate(*event).max(0.0).powf(*power as f32),
        Seen::Blend(parts) => parts
            .iter()
            .map(|(weight, part)| *weight as f32 * shows(part, rates, axes, usual, normal))
            .sum(),
    }
}

/// The curve from the rate of a symptom to the chance that it is mentioned.
#[derive(Debug, Clone)]
pub(super) struct Mention {
    table: Vec<f32>,
}

impl Mention {
    /// The curve of a symptom, set on the rates of golfers with nothing at work.
    pub(super) fn new(symptom: &SymptomModel, settings: &Settings, calm: &[f32]) -> Self {
        let trust = trusted(symptom.trust);
        let floor = (settings.floor * settings.usual_scale * symptom.usual)
            .max(LEAST)
            .min(trust);
        let usual = f64::from(calm.iter().sum::<f32>()) / calm.len().max(1) as f64;
        let least = if symptom.disaster { 0.06 } else { 0.15 };
        let (mut low, mut high) = ((1.3 * usual).max(least), (2.6 * usual).max(least));
        // The mean over binned rates is enough to place the half-way rate.
        let mut bins = [0u32; 256];
        for &rate in calm {
            if let Some(bin) = bins.get_mut((rate.clamp(0.0, 1.0) * 255.0) as usize) {
                *bin += 1;
            }
        }
        let curve = |rate: f64, half: f64| {
            let x = (rate.max(0.0) / half).powf(STEEP);
            floor + (trust - floor) * x / (1.0 + x)
        };
        for _ in 0..20 {
            let half = 0.5 * (low + high);
            let mean = bins
                .iter()
                .enumerate()
                .filter(|&(_, &n)| n > 0)
                .map(|(i, &n)| f64::from(n) * curve((i as f64 + 0.5) / 256.0, half))
                .sum::<f64>()
                / calm.len().max(1) as f64;
            if mean > symptom.usual {
                low = half;
            } else {
                high = half;
            }
        }
        let half = (0.5 * (low + high)).min(0.65);
        Self {
            table: (0..=STEPS + 1)
                .map(|i| curve(i as f64 / STEPS as f64, half) as f32)
                .collect(),
        }
    }

    /// The chance that a golfer at this rate mentions it.
    #[inline]
    pub(super) fn chance(&self, rate: f32) -> f32 {
        let at = rate.clamp(0.0, 1.0) * STEPS as f32;
        let whole = at as usize;
        match self.table.get(whole..whole + 2) {
            Some(&[a, b]) => a + (b - a) * (at - whole as f32),
            _ => 0.0,
        }
    }
}

fn trusted(trust: Trust) -> f64 {
    match trust {
        Trust::High => 0.92,
        Trust::Medium => 0.85,
        Trust::Low => 0.70,
    }
}

/// Brings in the tell-tale causes: `chances` holds what geometry says (or is filled with the usual
/// share first, if geometry says nothing).
pub(super) fn tell(
    symptom: &SymptomModel,
    settings: &Settings,
    population: &Population,
    habits: &[CauseId],
    chances: &mut [f32],
) {
    let leak = settings.usual_scale * symptom.usual;
    if symptom.seen.is_none() {
        chances.fill(leak as f32);
    }
    for &(cause, times) in symptom.tells.iter().filter(|(_, times)| *times > 1.0) {
        let with = (symptom.usual * times).min(MOST_TOLD);
        let acts = ((with - leak) / (1.0 - leak)).clamp(0.0, 1.0) as f32;
        for_members(population, cause, |i| {
            if let Some(p) = chances.get_mut(i) {
                *p = 1.0 - (1.0 - *p) * (1.0 - acts);
            }
        });
    }
    for &(cause, times) in symptom.tells.iter().filter(|(_, times)| *times < 1.0) {
        for_members(population, cause, |i| {
            if let Some(p) = chances.get_mut(i) {
                *p *= times as f32;
            }
        });
    }
    if symptom.not_a_habit {
        let mut habitual = vec![false; population.count];
        for &cause in habits {
            if symptom.tells.iter().any(|&(told, _)| told == cause) {
                continue;
            }
            for_members(population, cause, |i| {
                if let Some(slot) = habitual.get_mut(i) {
                    *slot = true;
                }
            });
        }
        for (p, _) in chances.iter_mut().zip(&habitual).filter(|(_, h)| **h) {
            *p *= HABIT_SPEAKS_AGAINST as f32;
        }
    }
}

/// The same for one golfer: what geometry says of it and the causes it has in, the chance out.
pub(super) fn told_by(
    symptom: &SymptomModel,
    settings: &Settings,
    habits: &[CauseId],
    causes: &[CauseId],
    geometry: Option<f32>,
) -> f32 {
    let leak = settings.usual_scale * symptom.usual;
    let has = |cause: CauseId| causes.binary_search(&cause).is_ok();
    let mut chance = geometry.unwrap_or(leak as f32);
    for &(_, times) in symptom.tells.iter().filter(|(c, t)| *t > 1.0 && has(*c)) {
        let with = (symptom.usual * times).min(MOST_TOLD);
        let acts = ((with - leak) / (1.0 - leak)).clamp(0.0, 1.0) as f32;
        chance = 1.0 - (1.0 - chance) * (1.0 - acts);
    }
    for &(_, times) in symptom.tells.iter().filter(|(c, t)| *t < 1.0 && has(*c)) {
        chance *= times as f32;
    }
    let told = |cause: &CauseId| symptom.tells.iter().any(|(t, _)| t == cause);
    if symptom.not_a_habit && habits.iter().any(|h| has(*h) && !told(h)) {
        chance *= HABIT_SPEAKS_AGAINST as f32;
    }
    chance
}

fn for_members(population: &Population, cause: CauseId, act: impl FnMut(usize)) {
    if let Some(column) = population.present.get(cause.index()) {
        column.members().for_each(act);
    }
}

/// The chance that a check is answered yes by a golfer with these causes. With several causes the
/// yeses add up as a noisy-OR over the base share; a cause that makes a yes rarer multiplies.
pub(super) fn says_yes(check: &CheckModel, has: impl Fn(CauseId) -> bool) -> f64 {
    let raisers = check
        .tells
        .iter()
        .filter(|(_, with, without)| with >= without);
    let base = {
        let (sum, n) = check
            .tells
            .iter()
            .fold((0.0, 0.0), |(s, n), &(_, _, without)| {
                (s + without, n + 1.0)
            });
        if n > 0.0 { sum / n } else { 0.5 }
    };
    let mut no = 1.0 - base;
    for &(cause, with, without) in raisers {
        if has(cause) {
            no *= (1.0 - with) / (1.0 - without).max(1e-9);
        }
    }
    let mut yes = 1.0 - no;
    for &(cause, with, without) in check
        .tells
        .iter()
        .filter(|(_, with, without)| with < without)
    {
        if has(cause) {
            yes *= with / without;
        }
    }
    yes.clamp(1.0 - SURE, SURE)
}

/// Log-likelihood of a stated share of shots against a rate: log odds, with people overstating.
pub(super) fn stated(often: f64, rate: f32, (spread, overstated): (f64, f64)) -> f32 {
    let odds = |x: f64| {
        let x = x.clamp(0.01, 0.99);
        (x / (1.0 - x)).ln()
    };
    let off = (odds(often) - odds(f64::from(rate)) - overstated) / spread;
    (-0.5 * off * off) as f32
}

/// Degrees of freedom of the distribution of measured numbers about the golfer's mean: enough that
/// a number far from the usual is believed rather than taken for a gross error (with 4 a path of 12
/// deg was believed less than one of 8), few enough that a slip of three errors can be overruled
/// (elicited).
const BINDS: f32 = 12.0;

/// Log-likelihood of a measured number against the golfer's mean.
pub(super) fn measured(value: f32, error: f32, mean: f32) -> f32 {
    let off = (mean - value) / error;
    -0.5 * (BINDS + 1.0) * (1.0 + off * off / BINDS).ln()
}

/// The rows of a population's rates and axes with one group.
#[derive(Debug, Clone)]
pub(super) struct Rows {
    pub axes: Vec<f32>,
    pub rates: Vec<f32>,
    /// Bits of the effects that hold, `stride` words a golfer.
    pub effects: Vec<u64>,
    pub stride: usize,
}

impl Rows {
    /// The axes of a golfer.
    pub(super) fn axes_of(&self, index: usize) -> &[f32] {
        self.axes
            .get(index * AXES..(index + 1) * AXES)
            .unwrap_or(&[])
    }

    /// The rates of a golfer.
    pub(super) fn rates_of(&self, index: usize) -> &[f32] {
        self.rates
            .get(index * EVENTS..(index + 1) * EVENTS)
            .unwrap_or(&[])
    }

    /// The places of the effects that hold for a golfer.
    pub(super) fn effects_of(&self, index: usize) -> impl Iterator<Item = usize> + '_ {
        let words = self
            .effects
            .get(index * self.stride..(index + 1) * self.stride)
            .unwrap_or(&[]);
        words.iter().enumerate().flat_map(|(at, &word)| {
            let mut rest = word;
            std::iter::from_fn(move || {
                if rest == 0 {
                    return None;
                }
                let bit = rest.trailing_zeros() as usize;
                rest &= rest - 1;
                Some(at * 64 + bit)
            })
        })
    }

    /// One axis, golfer by golfer.
    pub(super) fn axis(&self, axis: Axis) -> impl Iterator<Item = f32> + '_ {
        self.axes.iter().skip(axis as usize).step_by(AXES).copied()
    }
}
