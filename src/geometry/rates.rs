//! How often each class of strike comes, for a golfer whose low point and height scatter.
//!
//! Takes the arc's shape, the window and the [`Scatter`] from shot to shot (bell curves in low
//! point and height, independent, with an optional share of poor swings that scatter wider and
//! lift); gives the share of each class. For each low point the classes are intervals of height,
//! so the integral over height is a difference of normal chances, exactly; over the low point it
//! is a weighted sum over nodes.
//!
//! Invariants: shares are 0 to 1 and add up to one to rounding; two golfers with the same numbers
//! get the same shares bit for bit. Against a fine sum over both directions the error is at most
//! 0.003 and mostly under 0.0003 (tested); narrow height spreads take more nodes.
//! Does not know: scatter in loft or plane, or a link between low point and height.

use super::arc::Shape;
use super::strike::{self, StrikeClass, StrikeWindow};
use super::teed::{self, TeedClass, TeedWindow};
use super::{GeometryError, Input, length_within, normal, within};
use crate::quantity::{Length, Ratio};

/// A bell curve of lengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Middle.
    pub mean: Length,
    /// One standard deviation, 0 or more.
    pub sd: Length,
}

/// The share of poor swings and how they differ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tail {
    /// How many of the swings are poor, 0 to 1.
    pub share: Ratio,
    /// Their spread of low point over the usual one.
    pub low_point_factor: Ratio,
    /// Their spread of height over the usual one.
    pub height_factor: Ratio,
    /// How much higher their bottom is on average.
    pub lift: Length,
}

/// How low point and height vary from shot to shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scatter {
    /// Low point ahead of the ball.
    pub low_point: Spread,
    /// Height of the arc's bottom above the turf.
    pub height: Spread,
    /// Poor swings, if any.
    pub tail: Option<Tail>,
}

impl Scatter {
    fn checked(self) -> Result<Self, GeometryError> {
        length_within(Input::LowPoint, self.low_point.mean, -10.0, 10.0)?;
        length_within(Input::Height, self.height.mean, -1.0, 2.0)?;
        for spread in [self.low_point.sd, self.height.sd] {
            length_within(Input::Spread, spread, 0.0, 1.0)?;
        }
        if let Some(tail) = self.tail {
            within(Input::TailShare, tail.share.base(), 0.0, 1.0)?;
            within(Input::Spread, tail.low_point_factor.base(), 0.0, 20.0)?;
            within(Input::Spread, tail.height_factor.base(), 0.0, 20.0)?;
            length_within(Input::Height, tail.lift, -1.0, 1.0)?;
        }
        Ok(self)
    }

    /// The bell curves this is a mixture of, with their shares.
    fn parts(self) -> impl Iterator<Item = (f64, Bell)> {
        let usual = Bell {
            s: self.low_point.mean.base(),
            sd_s: self.low_point.sd.base(),
            h: self.height.mean.base(),
            sd_h: self.height.sd.base(),
        };
        let share = self.tail.map_or(0.0, |tail| tail.share.base());
        let poor = self.tail.map(|tail| {
            let bell = Bell {
                s: usual.s,
                sd_s: usual.sd_s * tail.low_point_factor.base(),
                h: usual.h + tail.lift.base(),
                sd_h: usual.sd_h * tail.height_factor.base(),
            };
            (share, bell)
        });
        [Some((1.0 - share, usual)), poor]
            .into_iter()
            .flatten()
            .filter(|(w, _)| *w > 0.0)
    }
}

#[derive(Debug, Clone, Copy)]
struct Bell {
    s: f64,
    sd_s: f64,
    h: f64,
    sd_h: f64,
}

/// Share of each class off the turf.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ClassRates {
    /// Missed.
    pub whiff: Ratio,
    /// Topped.
    pub topped: Ratio,
    /// Thin, bladed ones included.
    pub thin: Ratio,
    /// Bladed: part of `thin`.
    pub bladed: Ratio,
    /// Clean.
    pub clean: Ratio,
    /// Slightly heavy.
    pub slightly_heavy: Ratio,
    /// Fat.
    pub fat: Ratio,
}

impl ClassRates {
    /// The share of one class.
    pub const fn of(self, class: StrikeClass) -> Ratio {
        match class {
            StrikeClass::Whiff => self.whiff,
            StrikeClass::Topped => self.topped,
            StrikeClass::Thin => self.thin,
            StrikeClass::Clean => self.clean,
            StrikeClass::SlightlyHeavy => self.slightly_heavy,
            StrikeClass::Fat => self.fat,
        }
    }
}

/// Share of each class off a tee.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TeedRates {
    /// Missed.
    pub whiff: Ratio,
    /// Topped.
    pub topped: Ratio,
    /// Low on the face, bladed ones included.
    pub low_face: Ratio,
    /// Bladed: part of `low_face`.
    pub bladed: Ratio,
    /// Near the middle.
    pub clean: Ratio,
    /// Sky.
    pub sky: Ratio,
    /// Ground brushed first.
    pub drop_kick: Ratio,
    /// Dug in first.
    pub fat: Ratio,
}

impl TeedRates {
    /// The share of one class.
    pub const fn of(self, class: TeedClass) -> Ratio {
        match class {
            TeedClass::Whiff => self.whiff,
            TeedClass::Topped => self.topped,
            TeedClass::LowFace => self.low_face,
            TeedClass::Clean => self.clean,
            TeedClass::Sky => self.sky,
            TeedClass::DropKick => self.drop_kick,
            TeedClass::Fat => self.fat,
        }
    }
}

/// The share of each class off the turf.
///
/// # Errors
/// A window or scatter out of range.
pub fn class_rates(
    shape: Shape,
    window: StrikeWindow,
    scatter: Scatter,
) -> Result<ClassRates, GeometryError> {
    let (window, scatter) = (window.checked()?, scatter.checked()?);
    let lofted = window.lofted();
    // Chances, in order: whiff, topped, thin, bladed, slightly heavy, fat.
    let shares = over_shots(shape, scatter, 0.65, |s, below| {
        let t = strike::thresholds(s, shape, &window, &lofted);
        let (whiff, top, fat) = outermost(below, t.whiff_above, t.topped_above, t.fat_below);
        let heavy = below(t.heavy_below).min(top).max(fat);
        let thin = below(t.thin_above).clamp(heavy, top);
        let bladed = below(t.bladed_above).clamp(thin, top);
        [
            1.0 - whiff,
            whiff - top,
            top - thin,
            top - bladed,
            heavy - fat,
            fat,
        ]
    });
    let [whiff, topped, thin, bladed, heavy, fat] = shares;
    let clean = (1.0 - whiff - topped - thin - heavy - fat).max(0.0);
    Ok(ClassRates {
        whiff: Ratio::of_one(whiff),
        topped: Ratio::of_one(topped),
        thin: Ratio::of_one(thin),
        bladed: Ratio::of_one(bladed),
        clean: Ratio::of_one(clean),
        slightly_heavy: Ratio::of_one(heavy),
        fat: Ratio::of_one(fat),
    })
}

/// The share of each class off a tee.
///
/// # Errors
/// A window or scatter out of range.
pub fn teed_rates(
    shape: Shape,
    window: TeedWindow,
    scatter: Scatter,
) -> Result<TeedRates, GeometryError> {
    let (window, scatter) = (window.checked()?, scatter.checked()?);
    // Chances, in order: whiff, topped, low, bladed, sky, drop-kick, fat.
    let shares = over_shots(shape, scatter, f64::INFINITY, |s, below| {
        let t = teed::limits(s, shape, &window);
        let (whiff, top, fat) = outermost(below, t.whiff_above, t.topped_above, t.fat_below);
        let ground = below(t.drop_kick_below).min(top).max(fat);
        let sky = below(t.sky_below).clamp(ground, top);
        let low = below(t.low_above).clamp(sky, top);
        let bladed = below(t.bladed_above).clamp(low, top);
        [
            1.0 - whiff,
            whiff - top,
            top - low,
            top - bladed,
            sky - ground,
            ground - fat,
            fat,
        ]
    });
    let [whiff, topped, low, bladed, sky, kick, fat] = shares;
    let clean = (1.0 - whiff - topped - low - sky - kick - fat).max(0.0);
    Ok(TeedRates {
        whiff: Ratio::of_one(whiff),
        topped: Ratio::of_one(topped),
        low_face: Ratio::of_one(low),
        bladed: Ratio::of_one(bladed),
        clean: Ratio::of_one(clean),
        sky: Ratio::of_one(sky),
        drop_kick: Ratio::of_one(kick),
        fat: Ratio::of_one(fat),
    })
}

/// The mean of some chances over all shots, each between 0 and 1. `chances` gets a low point and the
/// chance that the arc lies below a height there.
fn over_shots<const N: usize>(
    shape: Shape,
    scatter: Scatter,
    smooth: f64,
    chances: impl Fn(f64, &dyn Fn(Length) -> f64) -> [f64; N],
) -> [f64; N] {
    let mut sums = [0.0; N];
    for (share, bell) in scatter.parts() {
        over_low_points(shape, bell, share, smooth, |s, weight| {
            let below = |limit: Length| chance(limit.base() - bell.h, bell.sd_h);
            for (sum, chance) in sums.iter_mut().zip(chances(s, &below)) {
                *sum += weight * chance;
            }
        });
    }
    sums.map(|v: f64| v.clamp(0.0, 1.0))
}

/// Chances of being below the whiff, below the top and below the fat limit, each within the one
/// before.
fn outermost(
    below: &dyn Fn(Length) -> f64,
    whiff_above: Length,
    topped_above: Length,
    fat_below: Length,
) -> (f64, f64, f64) {
    let whiff = below(whiff_above);
    let top = below(topped_above).min(whiff);
    (whiff, top, below(fat_below).min(top))
}

/// Chance of less than `distance` above the mean; a step for no spread at all.
fn chance(distance: f64, sd: f64) -> f64 {
    let z = distance / sd;
    if z > 8.5 || (sd <= 0.0 && distance >= 0.0) {
        1.0
    } else if z < -8.5 || sd <= 0.0 {
        0.0
    } else {
        normal::below(z)
    }
}

/// Nodes and weights of Gauss and Hermite for a standard normal, the positive half of six.
const SIX: [(f64, f64); 3] = [
    (0.616_706_590_192_594, 0.408_828_469_556_029),
    (1.889_175_877_753_71, 0.088_615_746_041_914_5),
    (3.324_257_433_552_12, 0.002_555_784_402_056_25),
];

/// The positive half of twelve.
const TWELVE: [(f64, f64); 6] = [
    (0.444_403_001_944_139, 0.321_664_361_512_83),
    (1.340_375_197_151_617, 0.146_967_048_045_33),
    (2.259_464_451_000_8, 0.029_116_687_912_364_17),
    (3.223_709_828_770_097, 0.002_203_380_687_533_2),
    (4.271_825_847_932_281, 4.837_184_922_590_644e-5),
    (5.500_901_704_467_748, 1.499_927_167_637_162e-7),
];

/// The positive half of sixteen.
const SIXTEEN: [(f64, f64); 8] = [
    (0.386_760_604_500_557, 0.286_568_521_238_012),
    (1.163_829_100_554_96, 0.158_338_372_750_95),
    (1.951_980_345_716_33, 0.047_284_752_354_014_1),
    (2.760_245_047_630_7, 0.007_266_937_601_184_75),
    (3.600_873_624_171_55, 0.000_525_984_926_573_909),
    (4.492_955_302_520_01, 1.530_003_216_248_73e-5),
    (5.472_225_705_949_34, 1.309_473_216_286_82e-7),
    (6.630_878_198_393_13, 1.497_814_723_161_84e-10),
];

/// Calls `visit` with each low point of a rule for the bell curve's integral, and its weight.
///
/// The limits move with the low point at most as the arc's slope there. Where that is little
/// against the spread of height (from `smooth` times the move on) the integrand is smooth and
/// twelve nodes do; sixteen below that; six for a share under an eighth. Else a sum at evenly
/// spaced places, fine enough for the step. The largest error seen against four thousand places
/// is 0.003, where the limit for turf has a kink; the usual one is 0.0001.
fn over_low_points(
    shape: Shape,
    bell: Bell,
    share: f64,
    smooth: f64,
    mut visit: impl FnMut(f64, f64),
) {
    if bell.sd_s <= 0.0 {
        return visit(bell.s, share);
    }
    let farthest = (bell.s.abs() + 2.0 * bell.sd_s).min(0.9 * shape.radius().base());
    let moved = shape.slope_base(farthest) * bell.sd_s;
    if bell.sd_h > 0.35 * moved {
        let nodes: &[(f64, f64)] = if share < 0.125 {
            &SIX
        } else if bell.sd_h > smooth * moved {
            &TWELVE
        } else {
            &SIXTEEN
        };
        for (z, weight) in nodes {
            visit(bell.s - z * bell.sd_s, share * weight);
            visit(bell.s + z * bell.sd_s, share * weight);
        }
        return;
    }
    let n: i32 = if bell.sd_h > 0.1 * moved { 48 } else { 400 };
    let step = 12.0 / f64::from(n);
    let place = |i: i32| -6.0 + step * (f64::from(i) + 0.5);
    let total: f64 = (0..n).map(|i| normal::density(place(i))).sum();
    for i in 0..n {
        let z = place(i);
        visit(bell.s + z * bell.sd_s, share * normal::density(z) / total);
    }
}
