//! The bell curve: its density and the chance of a value below a limit.
//!
//! Takes and gives plain numbers in standard deviations; the inner loop of [`super::rates`] lives
//! on it. Invariants: never decreasing beyond rounding, 0 to 1, and `below(x) + below(-x)` is 1.
//! Absolute error under 1e-14 (checked against its power series).

/// Density of the standard normal.
pub fn density(x: f64) -> f64 {
    (-0.5 * x * x).exp() * 0.398_942_280_401_432_7
}

/// Chance that a standard normal value lies below `x`; 0 and 1 at the infinities, and 0.5 for
/// what is not a number.
///
/// Rational approximation of Hart 1968, *Computer Approximations*, no. 5666, as restated by
/// West 2005, *Better approximations to cumulative normal functions* (published, coefficients from
/// memory and checked against the series).
pub fn below(x: f64) -> f64 {
    const TOP: [f64; 7] = [
        3.526_249_659_989_11e-2,
        0.700_383_064_443_688,
        6.373_962_203_531_65,
        33.912_866_078_383,
        112.079_291_497_871,
        221.213_596_169_931,
        220.206_867_912_376,
    ];
    const BOTTOM: [f64; 8] = [
        8.838_834_764_831_84e-2,
        1.755_667_163_182_64,
        16.064_177_579_207,
        86.780_732_202_946_1,
        296.564_248_779_674,
        637.333_633_378_831,
        793.826_512_519_948,
        440.413_735_824_752,
    ];
    if x.is_nan() {
        return 0.5;
    }
    let size = x.abs();
    if size > 38.0 {
        return if x > 0.0 { 1.0 } else { 0.0 };
    }
    let bell = (-0.5 * size * size).exp();
    let beyond = if size < 7.071_067_811_865_47 {
        let horner = |c: &[f64]| c.iter().fold(0.0, |sum, k| sum * size + k);
        bell * horner(&TOP) / horner(&BOTTOM)
    } else {
        let fraction = size + 1.0 / (size + 2.0 / (size + 3.0 / (size + 4.0 / (size + 0.65))));
        bell / fraction * 0.398_942_280_401_432_7
    };
    if x > 0.0 { 1.0 - beyond } else { beyond }
}
