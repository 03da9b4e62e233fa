//! How sure two blocks of balls make us: intervals, exact tests and the number of balls a test needs.
//!
//! Takes counts or plain numbers that the verdict has already brought to one unit and one sense
//! (more is better), and gives intervals, one-sided error probabilities and block sizes.
//!
//! Invariant: every probability given is between 0 and 1, and an interval contains its middle. What
//! is standard comes from `statrs`, which is named here only; what is not in it (score intervals,
//! the exact unconditional test) is written out with its source.
//! It knows neither golf nor words: the meaning is the verdict's.

use statrs::distribution::{ContinuousCDF, Normal, StudentsT};
use statrs::function::factorial::ln_binomial;
use statrs::stats_tests::Alternative;
use statrs::stats_tests::fisher::fishers_exact;
use statrs::stats_tests::mannwhitneyu::{MannWhitneyUMethod, mannwhitneyu};

/// Low end, middle and high end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Span {
    pub(super) low: f64,
    pub(super) middle: f64,
    pub(super) high: f64,
}

/// Hits of balls; hits never exceed balls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Share {
    pub(super) hits: u64,
    pub(super) balls: u64,
}

impl Share {
    fn rate(self) -> f64 {
        self.hits as f64 / self.balls as f64
    }
}

/// The point of the standard normal below which this share lies.
pub(super) fn normal_quantile(share: f64) -> f64 {
    Normal::standard().inverse_cdf(share)
}

/// The point of Student's distribution below which this share lies; the normal one if the degrees
/// of freedom are not usable.
pub(super) fn student_quantile(share: f64, freedom: f64) -> f64 {
    StudentsT::new(0.0, 1.0, freedom)
        .map_or_else(|_| normal_quantile(share), |t| t.inverse_cdf(share))
}

/// Score interval of one share (Wilson 1927), `z` normal deviations wide on each side.
pub(super) fn wilson(share: Share, z: f64) -> Span {
    let n = share.balls as f64;
    let p = share.rate();
    let z2 = z * z;
    let centre = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let half = z / (1.0 + z2 / n) * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt();
    Span {
        low: if share.hits == 0 {
            0.0
        } else {
            (centre - half).max(0.0)
        },
        middle: p,
        high: if share.hits == share.balls {
            1.0
        } else {
            (centre + half).min(1.0)
        },
    }
}

/// Interval of `after - before` built from the two score intervals (Newcombe 1998, Statistics in
/// Medicine 17:873-890, method 10).
pub(super) fn share_difference(before: Share, after: Share, z: f64) -> Span {
    let (b, a) = (wilson(before, z), wilson(after, z));
    let middle = a.middle - b.middle;
    Span {
        low: middle - (a.middle - a.low).hypot(b.high - b.middle),
        middle,
        high: middle + (a.high - a.middle).hypot(b.middle - b.low),
    }
}

/// One-sided exact test with both margins fixed (Fisher 1935): how often a table at least this much
/// in favour of `after` comes up when nothing changed.
pub(super) fn fisher_greater(before: Share, after: Share) -> f64 {
    let table = [
        after.hits,
        after.balls - after.hits,
        before.hits,
        before.balls - before.hits,
    ];
    fishers_exact(&table, Alternative::Greater).map_or(1.0, |p| p.clamp(0.0, 1.0))
}

/// Points at which the common rate is tried, equally spaced in the angle whose squared sine is the
/// rate.
const RATES_TRIED: u32 = 1_000;
/// The maximum between the points tried is above that at the points by less than this factor.
const BETWEEN_RATES: f64 = 1.001;

/// One-sided exact test with only the block sizes fixed (Boschloo 1970, Statistica Neerlandica 24:
/// 1-9): tables are ordered by the fixed-margins test, and the chance of one as extreme is taken at
/// the common rate that makes it largest. Never above the fixed-margins value, so it tells with
/// fewer balls, and the false-alarm rate still cannot pass the level.
pub(super) fn unconditional_greater(before: Share, after: Share) -> f64 {
    let limit = fisher_greater(before, after);
    let thresholds = extreme_from(before.balls, after.balls, limit);
    let largest = rates_tried().fold(0.0, |most: f64, rate| {
        most.max(chance_of(&thresholds, before.balls, after.balls, rate))
    });
    (largest * BETWEEN_RATES).min(limit)
}

fn rates_tried() -> impl Iterator<Item = f64> {
    (1..RATES_TRIED).map(|i| {
        let angle = std::f64::consts::FRAC_PI_2 * f64::from(i) / f64::from(RATES_TRIED);
        angle.sin().powi(2)
    })
}

/// For each number of hits before, the least number of hits after that is as extreme as `limit`;
/// one more than the block if none is.
fn extreme_from(before: u64, after: u64, limit: f64) -> Vec<u64> {
    let limit = limit * (1.0 + 1e-9);
    let mut least = 0;
    (0..=before)
        .map(|hits| {
            let share = Share {
                hits,
                balls: before,
            };
            while least <= after
                && fisher_greater(
                    share,
                    Share {
                        hits: least,
                        balls: after,
                    },
                ) > limit
            {
                least += 1;
            }
            least
        })
        .collect()
}

/// The chance of landing at or above the thresholds when both blocks have this rate.
fn chance_of(thresholds: &[u64], before: u64, after: u64, rate: f64) -> f64 {
    let mut at_least = vec![0.0; after as usize + 2];
    for hits in (0..=after).rev() {
        let above = at_least.get(hits as usize + 1).copied().unwrap_or(0.0);
        if let Some(place) = at_least.get_mut(hits as usize) {
            *place = above + binomial(after, hits, rate);
        }
    }
    thresholds
        .iter()
        .zip(0..)
        .map(|(&from, hits)| {
            binomial(before, hits, rate) * at_least.get(from as usize).copied().unwrap_or(0.0)
        })
        .sum()
}

fn binomial(balls: u64, hits: u64, rate: f64) -> f64 {
    let (n, k) = (balls as f64, hits as f64);
    (ln_binomial(balls, hits) + k * rate.ln() + (n - k) * (1.0 - rate).ln()).exp()
}

/// Mean, and standard deviation with one less than the number of values below the line.
pub(super) fn mean_and_sd(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
    (mean, (squares / (n - 1.0)).sqrt())
}

/// Interval of `mean(after) - mean(before)`; `tail` is the share left out on each side. Blocks of one
/// size with like spreads have Student's degrees of freedom (1908), all others Welch's (1947,
/// Biometrika 34:28-35), which do not need equal spreads; the two are close where they meet. None if a
/// block has fewer than two values or neither has any spread.
pub(super) fn mean_difference(before: &[f64], after: &[f64], tail: f64) -> Option<Span> {
    if before.len() < 2 || after.len() < 2 {
        return None;
    }
    let ((m0, s0), (m1, s1)) = (mean_and_sd(before), mean_and_sd(after));
    let (v0, v1) = (s0 * s0 / before.len() as f64, s1 * s1 / after.len() as f64);
    let variance = v0 + v1;
    if variance <= 0.0 || !variance.is_finite() {
        return None;
    }
    let (n0, n1) = (before.len() as f64, after.len() as f64);
    let like = before.len() == after.len() && v0.max(v1) < LIKE_VARIANCES * v0.min(v1);
    let freedom = if like {
        n0 + n1 - 2.0
    } else {
        variance * variance / (v0 * v0 / (n0 - 1.0) + v1 * v1 / (n1 - 1.0))
    };
    let half = student_quantile(1.0 - tail, freedom) * variance.sqrt();
    let middle = m1 - m0;
    Some(Span {
        low: middle - half,
        middle,
        high: middle + half,
    })
}

/// Variances within this factor count as like. Student's freedom of equal blocks is then at most a
/// ninth above Welch's.
const LIKE_VARIANCES: f64 = 2.0;

/// One-sided rank test (Mann & Whitney 1947): how often the values after rank this much above those
/// before when nothing changed. Counted exactly for small blocks without equal values, normal with
/// both corrections otherwise; 1 if a block is empty.
pub(super) fn ranks_greater(before: &[f64], after: &[f64]) -> f64 {
    let method = MannWhitneyUMethod::AsymptoticInclContinuityCorrection;
    let Ok((u, normal)) = mannwhitneyu(after, before, method, Alternative::Greater) else {
        return 1.0;
    };
    let mut all = [before, after].concat();
    all.sort_by(f64::total_cmp);
    let equal_values = all.windows(2).any(|pair| pair.first() >= pair.last());
    let p = if equal_values || before.len() * after.len() > MOST_PAIRS_COUNTED {
        normal
    } else {
        let ways = ways_by_wins(before.len(), after.len());
        let at_least: f64 = ways.iter().skip(u.round() as usize).sum();
        at_least / ways.iter().sum::<f64>()
    };
    if p.is_finite() {
        p.clamp(0.0, 1.0)
    } else {
        1.0
    }
}

/// Up to here the rank test is counted (the library's own count tries every selection, and its
/// one-sided value belongs to the other side, so it is not used).
const MOST_PAIRS_COUNTED: usize = 900;

/// In how many orders of the two blocks the second wins this many pairs, by place.
fn ways_by_wins(before: usize, after: usize) -> Vec<f64> {
    // Row `i` of the table holds the counts for `i` values before and the present number after. The
    // largest value is either one before, which wins nothing, or one after, which wins `i` pairs.
    let most = before * after;
    let none_after = || {
        (0..=most)
            .map(|wins| f64::from(u8::from(wins == 0)))
            .collect::<Vec<_>>()
    };
    let mut rows: Vec<Vec<f64>> = (0..=before).map(|_| none_after()).collect();
    for _ in 0..after {
        let mut shorter: Option<Vec<f64>> = None;
        for (i, row) in rows.iter_mut().enumerate() {
            let counts: Vec<f64> = (0..=most)
                .map(|wins| {
                    let last_before = shorter.as_ref().and_then(|s| s.get(wins)).copied();
                    let last_after = wins.checked_sub(i).and_then(|w| row.get(w)).copied();
                    last_before.unwrap_or(0.0) + last_after.unwrap_or(0.0)
                })
                .collect();
            row.clone_from(&counts);
            shorter = Some(counts);
        }
    }
    rows.pop().unwrap_or_default()
}

/// The power a test should have: the usual four in five (common practice).
pub(super) const POWER: f64 = 0.8;

/// No block is ever asked to be larger than this.
const MOST_BALLS: f64 = 100_000.0;

/// The least change of the mean, in one-shot standard deviations, that an interval with `tail` left
/// out on each side sets apart from none when each block has this many balls. None under two balls.
pub(super) fn detectable(balls: u64, tail: f64) -> Option<f64> {
    let n = balls as f64;
    (balls >= 2).then(|| student_quantile(1.0 - tail, 2.0 * n - 2.0) * (2.0 / n).sqrt())
}

/// Balls per block for a change of the mean of this many one-shot standard deviations to be seen four
/// times in five. None if the change is no change or would need more than any block.
pub(super) fn balls_for_mean(change_in_sd: f64, tail: f64) -> Option<u64> {
    let normal = normal_quantile(1.0 - tail) + normal_quantile(POWER);
    let start = 2.0 * (normal / change_in_sd).powi(2);
    if !start.is_finite() || start > MOST_BALLS {
        return None;
    }
    let enough = |balls: u64| {
        let n = balls as f64;
        let freedom = 2.0 * n - 2.0;
        let t = student_quantile(1.0 - tail, freedom) + student_quantile(POWER, freedom);
        2.0 * (t / change_in_sd).powi(2) <= n
    };
    ((start.ceil() as u64).max(2)..)
        .take(64)
        .find(|&balls| enough(balls))
}

/// Balls per block for a rise of the hit rate to be seen four times in five (normal approximation).
/// None if the rates are equal or it would need more than any block.
pub(super) fn balls_for_share(before: f64, after: f64, tail: f64) -> Option<u64> {
    let both = f64::midpoint(before, after);
    let spread = normal_quantile(1.0 - tail) * (2.0 * both * (1.0 - both)).sqrt()
        + normal_quantile(POWER) * (before * (1.0 - before) + after * (1.0 - after)).sqrt();
    let balls = (spread / (after - before)).powi(2).ceil().max(2.0);
    (balls.is_finite() && balls <= MOST_BALLS).then_some(balls as u64)
}

#[cfg(test)]
mod tests {
    //! Published and measured values, each with its source; the error rates counted exactly.
    use super::*;

    fn share(hits: u64, balls: u64) -> Share {
        Share { hits, balls }
    }

    #[track_caller]
    fn close(got: f64, wanted: f64, within: f64) {
        assert!((got - wanted).abs() <= within, "{got} instead of {wanted}");
    }

    const Z95: f64 = 1.959_963_984_540_054;

    #[test]
    fn fisher_equals_the_tea_tasting_table_and_computed_tables() {
        // Fisher 1935, The Design of Experiments: 17 of 70 (memory).
        close(fisher_greater(share(1, 4), share(3, 4)), 17.0 / 70.0, 1e-12);
        // Two-sided, computed with scipy 1.17.1.
        for (table, wanted) in [
            ([3, 1, 1, 3], 0.485_714_285_714_286),
            ([8, 2, 1, 5], 0.034_965_034_965_035),
            ([12, 8, 5, 15], 0.053_550_992_594_374_1),
            ([0, 10, 4, 6], 0.086_687_306_501_548),
            ([30, 20, 18, 32], 0.027_184_075_121_116_3),
            ([1, 9, 11, 3], 0.002_759_456_185_220_08),
        ] {
            close(
                fishers_exact(&table, Alternative::TwoSided).unwrap(),
                wanted,
                1e-11,
            );
        }
    }

    #[test]
    fn wilson_equals_published_intervals() {
        for (hits, balls, low, high, within) in [
            // Computed with scipy 1.17.1.
            (0, 10, 0.0, 0.277_532_799_862_889, 1e-12),
            (1, 10, 0.017_876_213_095_072_9, 0.404_150_026_795_238, 1e-12),
            (5, 10, 0.236_593_090_512_564, 0.763_406_909_487_436, 1e-12),
            (10, 10, 0.722_467_200_137_111, 1.0, 1e-12),
            (15, 20, 0.531_299_122_381_256, 0.888_138_298_592_334, 1e-12),
            // Newcombe 1998, Statistics in Medicine 17:857-872, four places (his table from memory).
            (81, 263, 0.2553, 0.3662, 5e-5),
            (15, 148, 0.0624, 0.1605, 5e-5),
            (0, 20, 0.0, 0.1611, 5e-5),
            (1, 29, 0.0061, 0.1718, 5e-5),
        ] {
            let span = wilson(share(hits, balls), Z95);
            close(span.low, low, within);
            close(span.high, high, within);
        }
    }

    #[test]
    fn difference_of_shares_equals_published_intervals() {
        // Newcombe 1998, Statistics in Medicine 17:873-890, method 10 (his table from memory).
        for (a, n, b, m, low, high) in [
            (56, 70, 48, 80, 0.0524, 0.3339),
            (9, 10, 3, 10, 0.1705, 0.8090),
            (6, 7, 2, 7, 0.0582, 0.8062),
            (5, 56, 0, 29, -0.0381, 0.1926),
        ] {
            let span = share_difference(share(b, m), share(a, n), Z95);
            close(span.low, low, 5e-5);
            close(span.high, high, 5e-5);
        }
    }

    #[test]
    fn rank_test_equals_computed_values() {
        // Computed with scipy 1.17.1, two-sided.
        let p = |x: &[f64], y: &[f64], method| {
            mannwhitneyu(x, y, method, Alternative::TwoSided).unwrap()
        };
        let (x, y) = ([19.0, 22.0, 16.0, 29.0, 24.0], [20.0, 11.0, 17.0, 12.0]);
        close(2.0 * ranks_greater(&y, &x), 1.0 / 9.0, 1e-12);
        close(
            p(
                &x,
                &y,
                MannWhitneyUMethod::AsymptoticInclContinuityCorrection,
            )
            .1,
            0.111_346_886_533_14,
            1e-9,
        );
        close(
            p(
                &[3.0, 5.0, 5.0, 8.0, 9.0, 12.0],
                &[1.0, 2.0, 5.0, 6.0, 7.0],
                MannWhitneyUMethod::AsymptoticInclContinuityCorrection,
            )
            .1,
            0.231_045_488_271_513,
            1e-9,
        );
        // Every order equally likely: one of C(6, 3) = 20 is the best.
        close(
            ranks_greater(&[1.0, 2.0, 3.0], &[4.0, 5.0, 6.0]),
            0.05,
            1e-12,
        );
        close(
            ranks_greater(&[4.0, 5.0, 6.0], &[1.0, 2.0, 3.0]),
            1.0,
            1e-12,
        );
        let ways = ways_by_wins(7, 4);
        close(ways.iter().sum(), 330.0, 1e-9);
        assert!(
            ways.iter().eq(ways.iter().rev()),
            "the two sides mirror each other"
        );
    }

    #[test]
    fn student_quantiles_equal_the_printed_table() {
        // Student's table as printed in any textbook, three places (common practice).
        for (freedom, wanted) in [(4.0, 2.776), (12.0, 2.179), (18.0, 2.101), (30.0, 2.042)] {
            close(student_quantile(0.975, freedom), wanted, 5e-4);
        }
    }

    #[test]
    fn detectable_change_and_block_sizes_equal_the_house_table() {
        for (balls, wanted, within) in [
            (3, 2.3, 0.05),
            (5, 1.5, 0.05),
            (7, 1.2, 0.05),
            (10, 0.94, 0.005),
            (15, 0.75, 0.005),
            (20, 0.64, 0.01),
            (30, 0.52, 0.005),
        ] {
            close(detectable(balls, 0.025).unwrap(), wanted, within);
        }
        // The table is the normal approximation; Student's allowance costs up to two more balls.
        for (change, wanted) in [(2.0, 4), (1.5, 7), (1.0, 16), (0.8, 25), (0.5, 63)] {
            let balls = balls_for_mean(change, 0.025).unwrap();
            assert!(
                (wanted..=wanted + 2).contains(&balls),
                "{change} SD: {balls}"
            );
        }
        for (before, after, wanted) in [(0.3, 0.6, 42), (0.5, 0.8, 39), (0.2, 0.6, 23)] {
            assert_eq!(balls_for_share(before, after, 0.025), Some(wanted));
        }
        assert_eq!(balls_for_share(0.4, 0.4, 0.025), None);
        assert_eq!(balls_for_mean(0.0, 0.025), None);
    }

    #[test]
    fn unconditional_test_equals_computed_values() {
        // The worked example in scipy's documentation of this test (memory).
        close(fisher_greater(share(31, 63), share(74, 117)), 0.0483, 5e-5);
        close(
            unconditional_greater(share(31, 63), share(74, 117)),
            0.0355,
            1e-4,
        );
    }

    /// Counted, not simulated: for every pair of small blocks the tables called better have, whatever
    /// the common rate, no more than the level.
    #[test]
    fn unconditional_test_never_passes_its_level() {
        let mut most = (0.0, 0, 0);
        for (before, after) in [
            (3, 3),
            (5, 10),
            (7, 7),
            (10, 10),
            (10, 20),
            (16, 16),
            (12, 30),
        ] {
            let called: Vec<u64> = (0..=before)
                .map(|b| {
                    (0..=after)
                        .find(|&a| {
                            unconditional_greater(share(b, before), share(a, after)) <= 0.025
                        })
                        .unwrap_or(after + 1)
                })
                .collect();
            for i in 1..4_000_u32 {
                let chance = chance_of(&called, before, after, f64::from(i) / 4_000.0);
                assert!(
                    chance <= 0.025,
                    "{before}+{after} balls at {i}/4000: {chance}"
                );
                if chance > most.0 {
                    most = (chance, before, after);
                }
            }
        }
        assert!(most.0 > 0.02, "the level is used, not wasted: {most:?}");
    }

    /// The block sizes come from an approximation; the exact test then has close to the power meant.
    #[test]
    fn block_sizes_for_shares_give_the_power_meant() {
        for (rate_before, rate_after) in [(0.3, 0.6), (0.5, 0.8), (0.2, 0.6), (0.3, 0.7)] {
            let n = balls_for_share(rate_before, rate_after, 0.025).unwrap();
            let power: f64 = (0..=n)
                .map(|b| {
                    let from = (0..=n)
                        .find(|&a| unconditional_greater(share(b, n), share(a, n)) <= 0.025)
                        .unwrap_or(n + 1);
                    let above: f64 = (from..=n).map(|a| binomial(n, a, rate_after)).sum();
                    binomial(n, b, rate_before) * above
                })
                .sum();
            assert!(
                power > 0.77,
                "{rate_before} to {rate_after} with {n}: {power}"
            );
        }
    }
}
