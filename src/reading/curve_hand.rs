//! Which hand must it be, if a hook is said to curve left?
//!
//! A right-hander's hook bends left and a left-hander's right; a slice the other way. Takes a line that
//! tells of one of the two and of the side it bends to; gives the hand, or none where the line denies
//! anything, tells of both, or does not say which way the ball bends. A side on which the ball starts
//! says nothing; one that the bend takes it to ("slicing into the trees on the right") does.

use crate::vocabulary::Hand;

pub(super) const HOOKS: [&str; 11] = [
    "hook",
    "hooks",
    "hooking",
    "hooked",
    "draw",
    "draws",
    "drawing",
    "duckhook",
    "snaphook",
    "duckhooks",
    "snaphooks",
];
pub(super) const SLICES: [&str; 8] = [
    "slice", "slices", "slicing", "sliced", "fade", "fades", "fading", "faded",
];
pub(super) const BENDS: [&str; 14] = [
    "curve", "curves", "curving", "curved", "bend", "bends", "bending", "bent", "turn", "turns",
    "turning", "swerves", "veers", "curls",
];
/// Words that may stand between the bend and its side.
const BETWEEN: [&str; 38] = [
    "to",
    "the",
    "hard",
    "way",
    "off",
    "back",
    "sharply",
    "badly",
    "over",
    "away",
    "it",
    "them",
    "everything",
    "mine",
    "ball",
    "balls",
    "out",
    "into",
    "in",
    "onto",
    "on",
    "my",
    "miles",
    "well",
    "trees",
    "woods",
    "rough",
    "water",
    "pond",
    "lake",
    "bushes",
    "bunker",
    "hazard",
    "fairway",
    "next",
    "all",
    "day",
    "just",
];
/// Words after left or right that make a limb, a foot or a hand of it.
pub(super) const OF_A_BODY: [&str; 22] = [
    "hand", "hands", "handed", "hander", "arm", "foot", "leg", "knee", "hip", "shoulder", "elbow",
    "wrist", "thumb", "side", "heel", "eye", "ear", "toe", "thigh", "forearm", "ankle", "palm",
];
const DENIES: [&str; 9] = [
    "not", "no", "never", "dont", "doesnt", "isnt", "instead", "used", "lefty",
];

/// The hand that the words of a line leave no choice about.
pub(super) fn hand_of_curve(line: &str) -> Option<Hand> {
    let plain = line.to_lowercase().replace(['\'', '\u{2019}'], "");
    let clauses: Vec<Vec<&str>> = plain
        .split(|c: char| !c.is_alphanumeric() && !c.is_whitespace() && c != '-')
        .map(|clause| {
            let words = clause.split(|c: char| !c.is_alphanumeric());
            words.filter(|w| !w.is_empty()).collect()
        })
        .collect();
    let says = |list: &[&str]| clauses.iter().flatten().any(|w| list.contains(w));
    let hook = says(&HOOKS);
    if hook == says(&SLICES) || says(&DENIES) {
        return None;
    }
    let mut left = None;
    for side in clauses.iter().flat_map(|clause| sides_bent_to(clause)) {
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

/// The sides to which a clause says that the ball bends: true for left.
fn sides_bent_to(clause: &[&str]) -> Vec<bool> {
    let bends =
        |word: &str| BENDS.contains(&word) || HOOKS.contains(&word) || SLICES.contains(&word);
    let mut out = Vec::new();
    for (at, word) in clause.iter().enumerate() {
        if !bends(word) {
            continue;
        }
        let rest = clause.iter().skip(at + 1);
        let mut rest = rest.skip_while(|w| BETWEEN.contains(w));
        let left = match rest.next() {
            Some(&"left") => true,
            Some(&"right") => false,
            _ => continue,
        };
        if !rest.next().is_some_and(|w| OF_A_BODY.contains(w)) {
            out.push(left);
        }
    }
    out
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
            ("driver, slicing it to the right", Some(Hand::Right)),
            (
                "slicing it into the trees on the right all day",
                Some(Hand::Right),
            ),
            ("big hook right with my irons", Some(Hand::Left)),
            ("my slice starts left", None),
            ("i slice, right hand grip weak", None),
            ("slice right hand too strong", None),
            ("hooked it, left foot slips", None),
            ("driver hook, starts right", None),
            ("a slice, not one that curves right", None),
            ("hook or slice, curves left", None),
            ("it curves left", None),
        ] {
            assert_eq!(hand_of_curve(line), hand, "{line}");
        }
    }
}
