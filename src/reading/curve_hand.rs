//! Which hand must it be, if a hook is said to curve left?
//!
//! A right-hander's hook bends left and a left-hander's right; a slice the other way. Takes a line that
//! tells of one of the two and of the side it bends to; gives the hand, or none where the line denies
//! anything, tells of both, or does not say which way the ball bends. A side on which the ball starts
//! or ends says nothing.

use crate::vocabulary::Hand;

const HOOKS: [&str; 8] = [
    "hook", "hooks", "hooking", "hooked", "draw", "draws", "duckhook", "snaphook",
];
const SLICES: [&str; 7] = [
    "slice", "slices", "slicing", "sliced", "fade", "fades", "fading",
];
const BENDS: [&str; 16] = [
    "curve", "curves", "curving", "curved", "bend", "bends", "bending", "bent", "turn", "turns",
    "turning", "swerves", "veers", "hooks", "slices", "curls",
];
/// Words that may stand between the bend and its side.
const BETWEEN: [&str; 10] = [
    "to", "the", "hard", "way", "off", "back", "sharply", "badly", "over", "away",
];
const DENIES: [&str; 9] = [
    "not", "no", "never", "dont", "doesnt", "isnt", "instead", "used", "lefty",
];

/// The hand that the words of a line leave no choice about.
pub(super) fn hand_of_curve(line: &str) -> Option<Hand> {
    let words: Vec<String> = line
        .to_lowercase()
        .replace(['\'', '\u{2019}'], "")
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(str::to_owned)
        .collect();
    let says = |list: &[&str]| words.iter().any(|w| list.contains(&w.as_str()));
    let hook = says(&HOOKS);
    if hook == says(&SLICES) || says(&DENIES) {
        return None;
    }
    let mut left = None;
    for (at, word) in words.iter().enumerate() {
        if !BENDS.contains(&word.as_str()) {
            continue;
        }
        let rest = words.iter().skip(at + 1);
        let mut rest = rest.skip_while(|w| BETWEEN.contains(&w.as_str()));
        let side = match rest.next().map(String::as_str) {
            Some("left") => true,
            Some("right") => false,
            _ => continue,
        };
        if left.is_some_and(|told| told != side) {
            return None;
        }
        left = Some(side);
    }
    left.map(|left| {
        if left == hook {
            Hand::Right
        } else {
            Hand::Left
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hook_that_bends_left_is_a_right_handers() {
        for (line, hand) in [
            (
                "driver hook, starts right and curves left",
                Some(Hand::Right),
            ),
            (
                "driver hook, starts left and curves right",
                Some(Hand::Left),
            ),
            ("slice that curves hard to the right", Some(Hand::Right)),
            ("my slice bends left", Some(Hand::Left)),
            ("hooks left every time", Some(Hand::Right)),
            ("driver hook, starts right", None),
            ("a slice, not one that curves right", None),
            ("hook or slice, curves left", None),
            ("it curves left", None),
        ] {
            assert_eq!(hand_of_curve(line), hand, "{line}");
        }
    }
}
