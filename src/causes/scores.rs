//! Numbers that look random and are not: evenly spread positions, normal scores and the normal
//! distribution, all from seeds and tables.
//!
//! [`place`] shuffles `0..2^bits` by a key, so that a thousand golfers fall evenly over a thousand
//! strata of every dimension; [`Normal`] turns a position into a normal score and a limit into the
//! share below it. Same key, same number, on any thread and in any order. Knows nothing of golf.

/// Mixes keys into one seed; every argument changes every bit.
pub(super) fn mix(a: u64, b: u64) -> u64 {
    let mut x = a ^ b.wrapping_mul(0x9E37_79B9_7F4A_7C15).rotate_left(23);
    x = x.wrapping_add(0x9E37_79B9_7F4A_7C15);
    x = (x ^ (x >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    x ^ (x >> 31)
}

/// A number in 0..1 from a seed.
pub(super) fn unit(seed: u64) -> f64 {
    (mix(seed, 0x5151) >> 11) as f64 * (0.5f64).powi(53)
}

/// Where golfer `index` of `2^bits` stands in the shuffle with this key: a bijection.
#[inline]
pub(super) fn place(key: u64, index: u32, bits: u32) -> u32 {
    let mask = (1u32 << bits) - 1;
    let half = (bits / 2).max(1);
    let (a, b) = ((key as u32) | 1, ((key >> 32) as u32) | 1);
    let mut x = index.wrapping_add((key >> 17) as u32) & mask;
    x = x.wrapping_mul(a) & mask;
    x ^= x >> half;
    x = x.wrapping_mul(b) & mask;
    x ^= x >> half;
    x = x.wrapping_mul(a ^ (b << 1)) & mask;
    x ^ (x >> half)
}

/// Steps of the table for each standard deviation; the table reaches six either way.
const STEP: f32 = 32.0;
const REACH: f32 = 6.0;
/// Adding this to a number under four million rounds it to a whole in the low bits of its pattern.
const ROUNDER: f32 = 8_388_608.0;

/// The normal distribution as tables: the share below a limit, and the scores of evenly spread
/// positions.
#[derive(Debug, Clone)]
pub(super) struct Normal {
    /// Share below and its rise per step, at every step.
    below: Vec<(f32, f32)>,
    scores: Vec<f32>,
    bits: u32,
}

impl Normal {
    /// Tables for `2^bits` positions.
    pub(super) fn new(bits: u32) -> Self {
        let steps = (2.0 * REACH * STEP) as u32;
        let below = (0..=steps)
            .map(|i| {
                let x = f64::from(i) / f64::from(STEP) - f64::from(REACH);
                let rise = density(x) / f64::from(STEP);
                (share_below(x) as f32, rise as f32)
            })
            .collect();
        let count = 1usize << bits;
        let scores = (0..count)
            .map(|i| score_at((i as f64 + 0.5) / count as f64) as f32)
            .collect();
        Self {
            below,
            scores,
            bits,
        }
    }

    /// How many bits a position has.
    pub(super) fn bits(&self) -> u32 {
        self.bits
    }

    /// The share of a standard normal below `x`; error under 1e-6.
    #[inline]
    pub(super) fn below(&self, x: f32) -> f32 {
        let at = (x.clamp(-REACH, REACH) + REACH) * STEP;
        let rounded = at + ROUNDER;
        let step = (rounded.to_bits() & 0x007F_FFFF) as usize;
        self.below.get(step).map_or(1.0, |&(share, rise)| {
            let (node, on) = (rounded - ROUNDER, at - (rounded - ROUNDER));
            // The slope falls off by the score itself: the bell curve's own derivative.
            share + on * rise * (1.0 - on * (node - REACH * STEP) * (0.5 / (STEP * STEP)))
        })
    }

    /// The normal score of golfer `index` in the dimension with this key.
    #[inline]
    pub(super) fn score(&self, key: u64, index: u32) -> f32 {
        let at = place(key, index, self.bits) as usize;
        self.scores.get(at).copied().unwrap_or(0.0)
    }
}

/// The bell curve.
fn density(x: f64) -> f64 {
    (-0.5 * x * x).exp() * 0.398_942_280_401_432_7
}

/// The share of a standard normal below `x`, by the complementary error function's continued
/// fraction and series; absolute error under 1e-12.
pub(super) fn share_below(x: f64) -> f64 {
    let z = x.abs();
    let density = density(z);
    let tail = if z < 3.0 {
        // Series of the area from 0 to z.
        let (mut term, mut sum, mut n) = (z, z, 1.0);
        while term > 1e-17 * sum && n < 200.0 {
            term *= z * z / (2.0 * n + 1.0);
            sum += term;
            n += 1.0;
        }
        0.5 - density * sum
    } else {
        let mut fraction = 0.0;
        for n in (1..=60).rev() {
            fraction = f64::from(n) / (z + fraction);
        }
        density / (z + fraction)
    };
    if x < 0.0 { tail } else { 1.0 - tail }
}

/// The standard normal score below which the share `p` lies, by bisection on [`share_below`] after
/// a first guess; for tables only.
pub(super) fn score_at(p: f64) -> f64 {
    let p = p.clamp(1e-12, 1.0 - 1e-12);
    // First guess through the logistic curve, then Newton steps.
    let mut x = (p / (1.0 - p)).ln() / 1.702;
    for _ in 0..8 {
        let density = density(x);
        if density < 1e-300 {
            break;
        }
        let step = (share_below(x) - p) / density;
        // Halley's correction keeps the tails from overshooting.
        x -= step / (1.0 + 0.5 * x * step).max(0.2);
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shuffle_is_a_bijection_for_every_size() {
        for bits in 1..=12 {
            for key in [0, 1, 0x1234_5678_9ABC_DEF0, u64::MAX, 77] {
                let mut seen = vec![false; 1 << bits];
                for i in 0..1u32 << bits {
                    let at = place(mix(key, 3), i, bits) as usize;
                    assert!(!seen[at], "bits {bits} key {key}");
                    seen[at] = true;
                }
            }
        }
    }

    #[test]
    fn the_normal_tables_agree_with_known_values() {
        // Standard normal table (common practice): Phi(1) .841344746, Phi(1.96) .975002105,
        // Phi(-3) .001349898.
        let normal = Normal::new(12);
        for (x, p) in [
            (0.0, 0.5),
            (1.0, 0.841_344_746),
            (1.96, 0.975_002_105),
            (-3.0, 0.001_349_898),
        ] {
            assert!((share_below(x) - p).abs() < 1e-9);
            assert!((f64::from(normal.below(x as f32)) - p).abs() < 2e-6);
            assert!((score_at(p) - x).abs() < 1e-6);
        }
        let scores: Vec<f64> = (0..4096).map(|i| f64::from(normal.score(9, i))).collect();
        let mean = scores.iter().sum::<f64>() / 4096.0;
        let square = scores.iter().map(|x| x * x).sum::<f64>() / 4096.0;
        assert!(
            mean.abs() < 1e-6 && (square - 1.0).abs() < 2e-3,
            "{mean} {square}"
        );
    }
}
