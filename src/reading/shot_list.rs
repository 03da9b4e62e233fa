//! "Shot 1 attack -1, shot 2 attack -3": numbers of one quantity from shots that are numbered are one list.
//!
//! Takes a reading of such a line; gives each quantity of the same clubs once, as the mean of its shots
//! with their spread. Which numbers only number the shots is found in `numbers`; two numbers of one
//! quantity in a line without such numbers stay two.

use super::{Finding, Number, Polarity, Reading, What};
use crate::quantity::{Amount, Estimate};

/// The mean of several numbers of one quantity, its error, and their scatter. None of an empty list.
pub(super) fn mean_of(numbers: &[Number]) -> Option<Number> {
    let first = *numbers.first()?;
    if numbers.len() < 2 {
        return Some(first);
    }
    let n = numbers.len() as f64;
    let mean = numbers.iter().map(|s| s.value.mean()).sum::<f64>() / n;
    let off = numbers.iter().map(|s| (s.value.mean() - mean).powi(2));
    let spread = (off.sum::<f64>() / (n - 1.0)).sqrt();
    let dimension = first.value.dimension();
    Some(Number {
        value: Estimate::from_base(mean, spread / n.sqrt(), dimension).ok()?,
        shots: u16::try_from(numbers.len()).unwrap_or(u16::MAX),
        spread: Amount::from_base(spread, dimension).ok(),
        ..first
    })
}

/// Makes one of the numbers of each quantity and pattern.
pub(super) fn pool(reading: &mut Reading) {
    let number = |f: &Finding| match f.what {
        What::Number(number) if f.polarity == Polarity::Present && number.shots == 1 => {
            Some(number)
        }
        _ => None,
    };
    let mut at = 0;
    while let Some(first) = reading.findings.get(at).cloned() {
        at += 1;
        let Some(own) = number(&first) else {
            continue;
        };
        let same = |f: &Finding| {
            f.pattern == first.pattern && number(f).is_some_and(|n| n.quantity == own.quantity)
        };
        let (others, kept): (Vec<Finding>, Vec<Finding>) =
            reading.findings.split_off(at).into_iter().partition(same);
        reading.findings.extend(kept);
        let mut all = vec![own];
        all.extend(others.iter().filter_map(number));
        if let (Some(mean), Some(finding)) = (mean_of(&all), reading.findings.get_mut(at - 1)) {
            finding.what = What::Number(mean);
            finding.said_again.extend(others.iter().map(|f| f.said));
        }
    }
}
