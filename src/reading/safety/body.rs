//! Which part of the body is meant, and which words of the drills' `without` lists go with it.
//!
//! Takes the words of the line and the place of a trigger; gives the list words, and tells a sting
//! that passes from numbness. The map is coarse on purpose: the neck and the ribs go with the back
//! (both turn), hip, leg and foot with the knee (all carry), the hand with the wrist. What is wrong
//! with the part is not known here.

use std::collections::BTreeSet;

use super::scope::{BEFORE, clause, stands, word};
use super::words::Token;

/// "hands numb for a second", "tingling after a thin one": the sting of a bad strike.
pub(super) fn passing_sting(tokens: &[Token], from: usize, to: usize) -> bool {
    let sting = (from..to).any(|k| {
        let w = word(tokens, k);
        w.starts_with("numb") || w.starts_with("tingl")
    });
    let around = || from.saturating_sub(BEFORE)..to + BEFORE;
    let hands = around().any(|k| matches!(word(tokens, k), "hand" | "hands" | "fingers"));
    let brief = around().any(|k| {
        [
            "for a second",
            "for a moment",
            "for a sec",
            "briefly",
            "a thin",
            "thin one",
            "thin ones",
            "thinned",
            "thin shot",
            "off the toe",
            "mishit",
            "mishits",
            "bladed",
            "the cold",
            "cold day",
            "from the cold",
            "cold morning",
        ]
        .iter()
        .any(|p| stands(tokens, k, p))
    });
    let lasting = around().any(|k| {
        matches!(
            word(tokens, k),
            "still"
                | "since"
                | "all"
                | "later"
                | "stay"
                | "stays"
                | "stayed"
                | "always"
                | "days"
                | "day"
                | "hour"
                | "hours"
                | "night"
                | "yesterday"
                | "week"
                | "weeks"
                | "pins"
                | "keep"
                | "keeps"
                | "constantly"
                | "afterwards"
                | "wont"
                | "grip"
                | "even"
                | "minutes"
        ) && !stands(tokens, k.saturating_sub(1), "cold day")
    });
    sting && hands && brief && !lasting
}

const ALL_PAIN: [&str; 6] = [
    "pain",
    "pain_back",
    "pain_elbow",
    "pain_knee",
    "pain_shoulder",
    "pain_wrist",
];

/// Which word of the `without` lists a word of the body stands for.
pub(super) fn part_ail(word: &str) -> Option<&'static str> {
    named_ail(word).or_else(|| named_ail(word.strip_suffix('s')?))
}

fn named_ail(word: &str) -> Option<&'static str> {
    Some(match word {
        "back" | "backs" | "bak" | "backache" | "spine" | "spinal" | "lumbar" | "lumbago"
        | "tailbone" | "disc" | "disk" | "sciatica" | "siatica" | "syatica" | "sciatic"
        | "neck" | "rib" | "ribs" | "side" | "oblique" | "obliques" | "stomach" | "tummy"
        | "hernia" | "whiplash" => "pain_back",
        "wrist" | "wrists" | "rist" | "hand" | "hands" | "thumb" | "thumbs" | "finger"
        | "fingers" | "knuckle" | "knuckles" | "carpal" => "pain_wrist",
        "elbow" | "elbows" | "elbo" | "forearm" | "forearms" | "bicep" | "tricep" => "pain_elbow",
        "shoulder" | "shoulders" | "sholder" | "shoudler" | "cuff" | "collarbone" | "pec"
        | "lat" | "arm" | "arms" => "pain_shoulder",
        "knee" | "knees" | "nee" | "meniscus" | "acl" | "hip" | "hips" | "leg" | "legs"
        | "ankle" | "ankles" | "ankel" | "foot" | "feet" | "heel" | "calf" | "calves" | "shin"
        | "shins" | "thigh" | "quad" | "quads" | "hamstring" | "hamstrings" | "groin" | "glute"
        | "glutes" | "achilles" => "pain_knee",
        _ => return None,
    })
}

fn ail_at(tokens: &[Token], at: usize) -> Option<&'static str> {
    let position = word(tokens, at) == "back"
        && matches!(
            word(tokens, at + 1),
            "foot" | "nine" | "9" | "swing" | "leg" | "knee" | "hip" | "tee" | "tees"
        );
    if position {
        None
    } else {
        part_ail(word(tokens, at))
    }
}

/// Adds the `without` words of a trigger: the parts it names, else those of its clause, else those
/// of the words around; pain with no place at all counts everywhere.
pub(super) fn ails(
    tokens: &[Token],
    from: usize,
    to: usize,
    about_pain: bool,
    out: &mut BTreeSet<&'static str>,
) {
    let dizzy = (from..to).any(|k| {
        let w = word(tokens, k);
        w.starts_with("dizz")
            || w.starts_with("vertig")
            || w.starts_with("faint")
            || w.starts_with("lighthead")
            || matches!(
                w,
                "dizy"
                    | "giddy"
                    | "woozy"
                    | "light"
                    | "spinning"
                    | "spins"
                    | "unsteady"
                    | "heat"
                    | "balance"
            )
    });
    let mut named: BTreeSet<&'static str> = (from..to).filter_map(|k| ail_at(tokens, k)).collect();
    if dizzy {
        out.insert("dizzy");
    }
    if !about_pain {
        // "Neck" without pain is as often the neck of a club.
        out.extend(
            (from..to)
                .filter(|&k| word(tokens, k) != "neck")
                .filter_map(|k| ail_at(tokens, k)),
        );
        return;
    }
    if dizzy && named.is_empty() {
        return;
    }
    let near = from.saturating_sub(BEFORE)..to + BEFORE;
    let here = clause(tokens, from);
    if named.is_empty() {
        named.extend(
            near.clone()
                .filter(|&k| clause(tokens, k) == here)
                .filter_map(|k| ail_at(tokens, k)),
        );
    }
    if named.is_empty() {
        named.extend(near.filter_map(|k| ail_at(tokens, k)));
    }
    if named.is_empty() {
        out.extend(ALL_PAIN);
    } else {
        out.insert("pain");
        out.extend(named);
    }
}
