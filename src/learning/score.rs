//! How good a commitment was: a score that pays for saying what one believes.
//!
//! Points for a cause: the square of (base rate - truth) less the square of (stated - truth), times a
//! hundred, added over the causes named. Whatever one believes, the expected points of each cause are
//! highest if exactly that is stated; naming nothing gives 0, as does repeating the base rate; being
//! sure and wrong costs nearly a hundred. The other parts (the fault named, strikes gained by what
//! would be practised, minutes) do not depend on the stated numbers, so the sum is as honest. The
//! weights are elicited. Knows the truth only as a test of each cause.

use crate::vocabulary::{CauseId, EffectId};

/// What the learner commits to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Commitment {
    /// What the club did.
    pub fault: Option<EffectId>,
    /// Causes with the chance, 0 to 1, that the golfer has them.
    pub causes: Vec<(CauseId, f64)>,
    /// What would be practised: against which cause.
    pub practise: Option<CauseId>,
    /// The learner gave up before committing.
    pub given_up: bool,
}

/// The parts of a score.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Score {
    /// For the stated chances.
    pub points: f64,
    /// The fault named holds.
    pub fault: bool,
    /// Shots in a hundred that the practice would gain this golfer.
    pub gained: f64,
    /// Shots in a hundred that the best practice would gain.
    pub could_gain: f64,
    /// Minutes used.
    pub minutes: f64,
}

/// For a fault that holds.
const FAULT: f64 = 15.0;
/// For a shot in a hundred gained.
const SHOT: f64 = 1.5;
/// For a minute.
const MINUTE: f64 = 0.5;

impl Score {
    /// Everything in one number.
    pub fn total(&self) -> f64 {
        let fault = if self.fault { FAULT } else { 0.0 };
        self.points + fault + SHOT * self.gained - MINUTE * self.minutes
    }
}

/// Points for stated chances. `has` says whether the golfer has a cause, `usual` how many golfers do.
pub fn points(
    stated: &[(CauseId, f64)],
    has: impl Fn(CauseId) -> bool,
    usual: impl Fn(CauseId) -> f64,
) -> f64 {
    stated
        .iter()
        .map(|&(cause, p)| {
            let truth = if has(cause) { 1.0 } else { 0.0 };
            100.0 * ((usual(cause) - truth).powi(2) - (p - truth).powi(2))
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever is believed, stating it is worth more than stating anything else.
    #[test]
    fn honesty_pays_best() {
        let cause = CauseId::from_index(0);
        for believed in [0.0, 0.05, 0.3, 0.5, 0.8, 1.0] {
            let expected = |stated: f64| {
                let at = |truth| points(&[(cause, stated)], |_| truth, |_| 0.12);
                believed * at(true) + (1.0 - believed) * at(false)
            };
            let honest = expected(believed);
            for step in 0..=20 {
                let stated = f64::from(step) / 20.0;
                assert!(honest >= expected(stated) - 1e-9, "{believed} {stated}");
            }
        }
    }

    #[test]
    fn base_rates_and_silence_are_worth_nothing() {
        let cause = CauseId::from_index(3);
        assert!(points(&[(cause, 0.12)], |_| true, |_| 0.12).abs() < 1e-9);
        assert!(points(&[], |_| true, |_| 0.12).abs() < 1e-9);
    }
}
