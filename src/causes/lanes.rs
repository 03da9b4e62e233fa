//! Four shots at once: arithmetic on four numbers side by side, and the normal distribution of four
//! limits.
//!
//! The shot model takes a golfer's shots at sixteen nodes, four by four; every processor of today
//! does four such sums in the time of one. The only file that names the crate behind it. No lane looks
//! at another until [`sum`], which adds them in order, so results do not depend on the processor's
//! own way of adding. Knows nothing of golf.

use wide::f32x4;

/// Four numbers side by side.
pub(super) type Four = f32x4;

/// The same number four times.
#[inline]
pub(super) fn four(x: f32) -> Four {
    Four::splat(x)
}

/// The four numbers added up, first to last.
#[inline]
pub(super) fn sum(x: Four) -> f32 {
    let [a, b, c, d] = x.to_array();
    a + b + c + d
}

/// Lane by lane: `yes` where `x < limit`, else `no`.
#[inline]
pub(super) fn where_less(x: Four, limit: Four, yes: Four, no: Four) -> Four {
    x.simd_lt(limit).bitselect(yes, no)
}

/// Lane by lane: `yes` where `x > limit`, else `no`.
#[inline]
pub(super) fn where_more(x: Four, limit: Four, yes: Four, no: Four) -> Four {
    x.simd_gt(limit).bitselect(yes, no)
}

/// Lane by lane, at least this.
#[inline]
pub(super) fn at_least(x: Four, least: Four) -> Four {
    x.fast_max(least)
}

/// Lane by lane, at most this.
#[inline]
pub(super) fn at_most(x: Four, most: Four) -> Four {
    x.fast_min(most)
}

/// Beyond this many standard deviations no share is left.
const REACH: f32 = 6.0;
/// Coefficients of the sixth-degree polynomial whose sixteenth power stands under the error function's
/// complement, for the argument over the root of two (Abramowitz and Stegun 1964, Handbook of
/// Mathematical Functions, 7.1.28, after Hastings 1955; to single precision).
const TAIL: [f32; 6] = [
    0.070_523_08 / std::f32::consts::SQRT_2,
    0.042_282_01 / 2.0,
    0.009_270_527 / (2.0 * std::f32::consts::SQRT_2),
    0.000_152_014_3 / 4.0,
    0.000_276_567_2 / (4.0 * std::f32::consts::SQRT_2),
    0.000_043_063_8 / 8.0,
];

/// The share of a standard normal below each of four limits; error under 2e-6.
#[inline]
pub(super) fn below(x: Four) -> Four {
    let z = at_most(x.abs(), four(REACH));
    let [a, b, c, d, e, f] = TAIL.map(four);
    let p = four(1.0) + z * (a + z * (b + z * (c + z * (d + z * (e + z * f)))));
    let (p2, half) = (p * p, four(0.5));
    let p4 = p2 * p2;
    let p8 = p4 * p4;
    let tail = half / (p8 * p8);
    where_less(x, four(0.0), tail, four(1.0) - tail)
}

#[cfg(test)]
mod tests {
    use super::super::scores::share_below;
    use super::*;

    /// Against the series and continued fraction in double precision, which were written apart.
    #[test]
    fn the_distribution_is_the_normal_one() {
        for i in -7000..=7000i32 {
            let x = f64::from(i) / 1000.0;
            let found = below(four(x as f32)).to_array();
            for share in found {
                let off = f64::from(share) - share_below(x.clamp(-6.0, 6.0));
                assert!(off.abs() < 2e-6, "{x}: {share}");
            }
        }
        assert_eq!(below(four(f32::NEG_INFINITY)), below(four(-6.0)));
    }

    #[test]
    fn lanes_do_not_look_at_each_other() {
        let x = Four::new([-1.5, 0.0, 0.25, 3.0]);
        let all = below(x).to_array();
        for (one, alone) in x.to_array().iter().zip(all) {
            let again = below(four(*one)).to_array();
            assert_eq!(again.map(f32::to_bits), [alone.to_bits(); 4]);
        }
        let low = where_less(x, four(0.1), four(1.0), x).to_array();
        assert_eq!(
            low.map(f32::to_bits),
            [1.0f32, 1.0, 0.25, 3.0].map(f32::to_bits)
        );
        assert_eq!(sum(x).to_bits(), 1.75f32.to_bits());
    }
}
