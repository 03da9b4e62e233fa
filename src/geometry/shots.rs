//! Many measured shots made into a few numbers: mean, spread and how sure the mean is.
//!
//! Takes shots one at a time and keeps a fixed amount of memory however many come; gives, for each
//! measured number, count, mean, standard deviation, range and a 95 % interval of the mean, the
//! golfer's own arc from low point and attack, and how often numbers disagreed.
//!
//! Invariants: the same shots in the same order give the same numbers bit for bit; a number missing
//! from a shot counts nowhere; no number is divided by a count of nothing.
//! Does not know: files (see [`crate::shots`]), clubs, or whether shots belong together.

use super::consistency::{ConsistencyRule, Measured, MeasuredName, disagreements};
use super::{GeometryError, fit};
use crate::quantity::{Amount, Dimension, Estimate};

/// Running mean and spread of one number, in inside units.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tally {
    count: u64,
    mean: f64,
    squares: f64,
    low: f64,
    high: f64,
}

impl Tally {
    /// One more value; what is not finite is left out.
    pub fn add(&mut self, value: f64) {
        if !value.is_finite() {
            return;
        }
        if self.count == 0 {
            (self.low, self.high) = (value, value);
        }
        self.count += 1;
        let off = value - self.mean;
        self.mean += off / self.count as f64;
        self.squares += off * (value - self.mean);
        self.low = self.low.min(value);
        self.high = self.high.max(value);
    }

    /// How many values.
    pub const fn count(&self) -> u64 {
        self.count
    }

    /// What is known of values of this dimension; `None` without any.
    pub fn summary(&self, dimension: Dimension) -> Option<Summary> {
        if self.count == 0 {
            return None;
        }
        let amount = |base| Amount::from_base(base, dimension).ok();
        let (mean, low, high) = (amount(self.mean)?, amount(self.low)?, amount(self.high)?);
        let n = self.count as f64;
        let spread = (self.count > 1).then(|| (self.squares.max(0.0) / (n - 1.0)).sqrt());
        let spread = spread.filter(|sd| sd.is_finite());
        let half = spread.map(|sd| student_975(self.count - 1) * sd / n.sqrt());
        let interval =
            half.and_then(|half| Some((amount(self.mean - half)?, amount(self.mean + half)?)));
        Some(Summary {
            count: self.count,
            mean,
            sd: spread.and_then(amount),
            interval,
            low,
            high,
        })
    }
}

/// What many values of one number come to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// How many values.
    pub count: u64,
    /// Their mean.
    pub mean: Amount,
    /// Their standard deviation, from two values on.
    pub sd: Option<Amount>,
    /// The 95 % interval of the mean (Student's t), from two values on.
    pub interval: Option<(Amount, Amount)>,
    /// Least value.
    pub low: Amount,
    /// Greatest value.
    pub high: Amount,
}

impl Summary {
    /// The mean as a number with an error: the shots' spread over the root of their count together
    /// with what the instrument itself may be off by. `None` for an error that is no error.
    pub fn mean_estimate(&self, instrument: Amount) -> Option<Estimate> {
        let n = self.count as f64;
        let own = self.sd.map_or(0.0, |sd| sd.base() / n.sqrt());
        if instrument.dimension() != self.mean.dimension() {
            return None;
        }
        Estimate::from_base(
            self.mean.base(),
            own.hypot(instrument.base()),
            self.mean.dimension(),
        )
        .ok()
    }

    /// One shot like these: the mean with the spread from shot to shot.
    pub fn shot_estimate(&self) -> Option<Estimate> {
        let sd = self.sd.map_or(0.0, Amount::base);
        Estimate::from_base(self.mean.base(), sd, self.mean.dimension()).ok()
    }
}

/// Sums over shots that have both low point and attack, for the golfer's own K.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct PairSums {
    count: u64,
    s_q: f64,
    q_q: f64,
    s_s: f64,
}

/// Everything kept of any number of shots.
#[derive(Debug, Clone, PartialEq)]
pub struct ShotStatistics {
    shots: u64,
    tallies: [Tally; MeasuredName::ALL.len()],
    pairs: PairSums,
    conflicts: Vec<(ConsistencyRule, u64)>,
    shots_in_conflict: u64,
}

impl Default for ShotStatistics {
    fn default() -> Self {
        Self {
            shots: 0,
            tallies: [Tally::default(); MeasuredName::ALL.len()],
            pairs: PairSums::default(),
            conflicts: Vec::new(),
            shots_in_conflict: 0,
        }
    }
}

impl ShotStatistics {
    /// One more shot.
    pub fn add(&mut self, shot: &Measured) {
        self.shots += 1;
        for (name, tally) in MeasuredName::ALL.iter().zip(&mut self.tallies) {
            if let Some(amount) = shot.get(*name) {
                tally.add(amount.base());
            }
        }
        if let (Some(s), Some(a)) = (shot.low_point, shot.attack) {
            let (s, q) = (s.base(), -a.sin());
            if s.is_finite() && q.is_finite() {
                self.pairs.count += 1;
                self.pairs.s_q += s * q;
                self.pairs.q_q += q * q;
                self.pairs.s_s += s * s;
            }
        }
        let found = disagreements(shot);
        if !found.is_empty() {
            self.shots_in_conflict += 1;
        }
        for conflict in found {
            match self
                .conflicts
                .iter_mut()
                .find(|(rule, _)| *rule == conflict.rule)
            {
                Some((_, count)) => *count += 1,
                None => self.conflicts.push((conflict.rule, 1)),
            }
        }
    }

    /// How many shots.
    pub const fn shots(&self) -> u64 {
        self.shots
    }

    /// Each number that was measured at all, in a fixed order.
    pub fn summaries(&self) -> impl Iterator<Item = (MeasuredName, Summary)> + '_ {
        MeasuredName::ALL
            .iter()
            .zip(&self.tallies)
            .filter_map(|(name, tally)| Some((*name, tally.summary(name.dimension())?)))
    }

    /// What one number comes to.
    pub fn summary(&self, name: MeasuredName) -> Option<Summary> {
        self.summaries()
            .find(|(n, _)| *n == name)
            .map(|(_, summary)| summary)
    }

    /// The mean of each number that was measured, as if it were one shot.
    pub fn means(&self) -> Measured {
        let mut means = Measured::default();
        for (name, summary) in self.summaries() {
            // The tally of a name holds its own dimension.
            let _ = means.set(name, summary.mean);
        }
        means
    }

    /// How many shots had numbers that do not go together.
    pub const fn shots_in_conflict(&self) -> u64 {
        self.shots_in_conflict
    }

    /// How often each rule found numbers that do not go together, most often first.
    pub fn conflicts(&self) -> Vec<(ConsistencyRule, u64)> {
        let mut sorted = self.conflicts.clone();
        sorted.sort_by_key(|(rule, count)| (std::cmp::Reverse(*count), *rule));
        sorted
    }

    /// The golfer's own vertical radius K with its standard error, from the shots that have both
    /// low point and attack, as [`fit::vertical_radius`] without stated errors.
    ///
    /// # Errors
    /// [`GeometryError::TooFew`] for fewer than two such shots, or an error of the numbers where
    /// low point and attack are on the wrong sides of each other.
    pub fn vertical_radius(&self) -> Result<Estimate, GeometryError> {
        let PairSums {
            count,
            s_q,
            q_q,
            s_s,
        } = self.pairs;
        if count < 2 {
            return Err(GeometryError::TooFew {
                got: count as usize,
                wanted: 2,
            });
        }
        let k = s_q / q_q;
        if !(k.is_finite() && k > 0.0) {
            return Err(fit::wrong_sides(s_s, s_q));
        }
        let left_over = (s_s - k * s_q).max(0.0);
        let error = (left_over / (count as f64 - 1.0) / q_q).sqrt();
        Ok(Estimate::from_base(k, error, Dimension::Length)?)
    }
}

/// The 97.5 % point of Student's t: tabled to 20 degrees of freedom, beyond by the expansion in
/// 1/n of Cornish and Fisher (published; right to 0.001).
fn student_975(degrees: u64) -> f64 {
    const TABLE: [f64; 20] = [
        12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160,
        2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086,
    ];
    let place = usize::try_from(degrees.saturating_sub(1)).unwrap_or(usize::MAX);
    if let Some(t) = TABLE.get(place) {
        return *t;
    }
    let (z, n) = (1.959_964, degrees as f64);
    let z2 = z * z;
    z + z * (z2 + 1.0) / (4.0 * n) + z * ((5.0 * z2 + 16.0) * z2 + 3.0) / (96.0 * n * n)
}
