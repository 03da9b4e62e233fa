//! Numbers as people say them: sizes with direction words, ranges, chances with their word.
//!
//! Takes typed quantities and the knowledge's direction words; the player's hand turns push side
//! and pull side into right and left. Rounds here and nowhere else. A chance is always a word and
//! a number.

use crate::knowledge::{KnowledgeBase, Quantity};
use crate::quantity::{Amount, Dimension, Unit};
use crate::vocabulary::{Hand, QuantityId};

/// How numbers are to be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Manner {
    /// Centimetres, metres and kilometres an hour instead of inches, yards and miles an hour.
    pub metric: bool,
    /// The golfer's hand, if known.
    pub hand: Option<Hand>,
}

/// The unit a number of this unit is shown in.
pub(super) fn shown_unit(unit: Unit, metric: bool) -> Unit {
    match (metric, unit) {
        (true, Unit::Inch) => Unit::Centimetre,
        (true, Unit::Yard | Unit::Foot) => Unit::Metre,
        (true, Unit::MilePerHour) => Unit::KilometrePerHour,
        (_, unit) => unit,
    }
}

/// A number rounded to decimals, without a minus before zero.
pub fn rounded(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if decimals > 0 {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    };
    if text == "-0" { "0".to_owned() } else { text }
}

fn magnitude(amount: Amount, quantity: &Quantity, manner: Manner) -> (f64, Unit) {
    let unit = shown_unit(quantity.unit, manner.metric);
    (amount.value_in(unit).unwrap_or(0.0), unit)
}

/// The word for a direction: the knowledge's own, with push side and pull side turned into right
/// and left where the hand is known.
fn direction(quantity: &Quantity, positive: bool, manner: Manner) -> Option<String> {
    let word = if positive {
        &quantity.positive
    } else {
        &quantity.negative
    }
    .as_ref()?;
    let Some(hand) = manner.hand.filter(|_| quantity.sided) else {
        return Some(word.clone());
    };
    let (push, pull) = match hand {
        Hand::Right => ("right", "left"),
        Hand::Left => ("left", "right"),
    };
    let turned = word
        .replace("to the push side", push)
        .replace("to the pull side", pull)
        .replace("push side", push)
        .replace("pull side", pull);
    Some(turned)
}

fn unit_text(unit: Unit, value: &str) -> String {
    match unit {
        Unit::One => value.to_owned(),
        Unit::Percent => format!("{value} %"),
        Unit::Inch
        | Unit::Centimetre
        | Unit::Millimetre
        | Unit::Metre
        | Unit::Yard
        | Unit::Foot
        | Unit::Finger
        | Unit::BallWidth
        | Unit::Hand
        | Unit::Degree
        | Unit::Radian
        | Unit::MilePerHour
        | Unit::KilometrePerHour
        | Unit::MetrePerSecond
        | Unit::Rpm
        | Unit::Second
        | Unit::Millisecond
        | Unit::Celsius => format!("{value} {unit}"),
    }
}

/// Push side and pull side as the golfer's right and left.
pub(super) fn sided(text: &str, hand: Hand) -> String {
    if !text.contains(" side") {
        return text.to_owned();
    }
    let (push, pull) = match hand {
        Hand::Right => ("right", "left"),
        Hand::Left => ("left", "right"),
    };
    let mut out = text.to_owned();
    for (side, word) in [("push side", push), ("pull side", pull)] {
        for (from, to) in [
            (format!("{side} of "), format!("{word} of ")),
            (format!("the {side}"), format!("the {word}")),
            (format!("to {side}"), format!("to the {word}")),
            (side.to_owned(), word.to_owned()),
        ] {
            out = out.replace(&from, &to);
        }
        out = out.replace(&format!("the {word} of "), &format!("{word} of "));
        out = out.replace(&format!(" to {word} of "), &format!(" to the {word} of "));
    }
    out
}

/// `2 in behind the ball`, `4 deg down`, `1.33`.
pub fn amount(base: &KnowledgeBase, id: QuantityId, value: Amount, manner: Manner) -> String {
    let quantity = base.quantity(id);
    let (number, unit) = magnitude(value, quantity, manner);
    let decimals = quantity.decimals;
    let size = rounded(number.abs(), decimals);
    if size == "0" {
        return match quantity.unit.dimension() {
            Dimension::Ratio => "0".to_owned(),
            Dimension::Length
            | Dimension::Angle
            | Dimension::Speed
            | Dimension::Spin
            | Dimension::Time
            | Dimension::Temperature => unit_text(unit, "0"),
        };
    }
    match direction(quantity, number > 0.0, manner) {
        Some(word) => format!("{} {word}", unit_text(unit, &size)),
        None => unit_text(unit, &rounded(number, decimals)),
    }
}

/// `0.6 in behind to 2 in ahead`, or `2 to 4.7 in ahead` where both ends point one way.
pub fn range(
    base: &KnowledgeBase,
    id: QuantityId,
    low: Amount,
    high: Amount,
    manner: Manner,
) -> String {
    let quantity = base.quantity(id);
    let (a, unit) = magnitude(low, quantity, manner);
    let (b, _) = magnitude(high, quantity, manner);
    let decimals = quantity.decimals;
    let same_side =
        rounded(a, decimals) != "0" && rounded(b, decimals) != "0" && (a > 0.0) == (b > 0.0);
    if same_side {
        let (small, large) = if a.abs() < b.abs() { (a, b) } else { (b, a) };
        let numbers = format!(
            "{} to {}",
            rounded(small.abs(), decimals),
            rounded(large.abs(), decimals)
        );
        if let Some(word) = direction(quantity, a > 0.0, manner) {
            return format!("{} {word}", unit_text(unit, &numbers));
        }
        let numbers = format!("{} to {}", rounded(a, decimals), rounded(b, decimals));
        return unit_text(unit, &numbers);
    }
    format!(
        "{} to {}",
        amount(base, id, low, manner),
        amount(base, id, high, manner)
    )
}

/// The word for a chance. One table for the whole program; chances of one count have one word.
pub fn chance_word(p: f64) -> &'static str {
    match p {
        p if p < 0.025 => "hardly",
        p if p < 0.15 => "a small chance",
        p if p < 0.45 => "possible",
        p if p < 0.55 => "about even",
        p if p < 0.85 => "likely",
        p if p < 0.945 => "very likely",
        _ => "almost certain",
    }
}

/// `about 4 in 10`, `1 in 20`: a chance as a count.
pub fn chance_count(p: f64) -> String {
    let percent = (p * 100.0).round();
    if percent < 1.0 {
        "under 1 in 100".to_owned()
    } else if percent < 10.0 {
        format!("{percent:.0} in 100")
    } else if percent > 99.0 {
        "over 99 in 100".to_owned()
    } else if percent > 94.0 {
        format!("{percent:.0} in 100")
    } else if (22.0..28.0).contains(&percent) {
        "about 1 in 4".to_owned()
    } else {
        format!("about {:.0} in 10", (p * 10.0).round().max(1.0))
    }
}

/// `possible, about 3 in 10 (24 to 36 %)`.
pub fn chance(p: f64, error: f64) -> String {
    let (low, high) = ((p - 2.0 * error).max(0.0), (p + 2.0 * error).min(1.0));
    format!(
        "{}, {} ({:.0}-{:.0} %)",
        chance_word(p),
        chance_count(p),
        (low * 100.0).round(),
        (high * 100.0).round()
    )
}

/// A list in words: `a, b and c`.
pub fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [start @ .., last] => format!("{} and {last}", start.join(", ")),
    }
}

/// First letter large, for the start of a sentence.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zero_has_no_sign_and_trailing_zeros_go() {
        assert_eq!(rounded(-0.04, 1), "0");
        assert_eq!(rounded(2.0, 1), "2");
        assert_eq!(rounded(-1.25, 1), "-1.2");
    }

    #[test]
    fn a_chance_is_a_word_and_a_number() {
        assert_eq!(chance(0.31, 0.02), "possible, about 3 in 10 (27-35 %)");
        assert_eq!(chance_count(0.04), "4 in 100");
        let mut words: std::collections::BTreeMap<String, &str> = std::collections::BTreeMap::new();
        for step in 0..10_000 {
            let p = (f64::from(step) + 0.5) / 10_000.0;
            let word = words
                .entry(chance_count(p))
                .or_insert_with(|| chance_word(p));
            assert_eq!(*word, chance_word(p), "{}", chance_count(p));
        }
    }
}
