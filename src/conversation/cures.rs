//! Which cause is a change a cure for? "Should he strengthen the grip?" is about a weak one.
//!
//! Takes a question and the names of causes; gives the cause that the change takes away, and the one
//! that too much of it makes. A change is a word of comparison ("stronger", "closer", "widen"); what it
//! takes away is called by its opposite ("too weak", "too far", "too narrow"). Invariant: a cure that is
//! asked about says nothing of what the golfer does. Knows no cause by name.

use super::names::{stem, words};
use crate::knowledge::KnowledgeBase;
use crate::vocabulary::CauseId;

type Change = (
    &'static [&'static str],
    &'static [&'static str],
    &'static [&'static str],
);

/// A change, what it takes away, and what too much of it is; by the first letters of words.
const CHANGES: [Change; 22] = [
    (&["stronger", "strengthen"], &["weak"], &["strong"]),
    (&["weaker", "weaken"], &["strong"], &["weak"]),
    (&["closer", "nearer"], &["far"], &["close"]),
    (
        &[
            "further away",
            "farther away",
            "further off",
            "farther off",
            "further from",
            "farther from",
        ],
        &["close"],
        &["far"],
    ),
    (&["wider", "widen", "broader"], &["narrow"], &["wide"]),
    (&["narrower", "narrow "], &["wide"], &["narrow"]),
    (
        &[
            "looser",
            "loosen",
            "lighter grip",
            "softer grip",
            "grip it lighter",
            "hold it lighter",
        ],
        &["tight"],
        &["loose"],
    ),
    (&["tighter", "tighten", "firmer"], &["loose"], &["tight"]),
    (
        &[
            "higher tee",
            "tee it higher",
            "tee higher",
            "tee the ball higher",
            "tee it up higher",
        ],
        &["teed too low"],
        &["teed too high"],
    ),
    (
        &[
            "lower tee",
            "tee it lower",
            "tee lower",
            "tee the ball lower",
            "tee it down",
        ],
        &["teed too high"],
        &["teed too low"],
    ),
    (
        &[
            "ball back",
            "ball further back",
            "ball farther back",
            "ball more back",
            "ball position back",
        ],
        &["ball too far forward"],
        &["ball too far back"],
    ),
    (
        &[
            "ball forward",
            "ball further forward",
            "ball up in",
            "ball more forward",
            "ball position forward",
        ],
        &["ball too far back"],
        &["ball too far forward"],
    ),
    (
        &[
            "hands forward",
            "hands further forward",
            "hands more forward",
            "hands ahead",
            "press forward",
        ],
        &["hands behind"],
        &["hands too far ahead"],
    ),
    (
        &["hands back", "hands less forward", "hands further back"],
        &["hands too far ahead"],
        &["hands behind"],
    ),
    (
        &[
            "more upright lie",
            "more upright club",
            "upright clubs",
            "bend them upright",
            "lie more upright",
        ],
        &["lie angle too flat"],
        &["lie angle too upright"],
    ),
    (
        &[
            "flatter lie",
            "flatter club",
            "lie flatter",
            "bend them flat",
        ],
        &["lie angle too upright"],
        &["lie angle too flat"],
    ),
    (
        &["longer club", "longer shaft", "longer driver"],
        &["club too short"],
        &["club too long"],
    ),
    (
        &["shorter club", "shorter shaft", "shorter driver"],
        &["club too long"],
        &["club too short"],
    ),
    (
        &[
            "shorter backswing",
            "shorten the backswing",
            "shorten his backswing",
            "shorten my backswing",
            "shorten her backswing",
        ],
        &["backswing longer"],
        &["little turn going back"],
    ),
    (
        &["more turn", "turn more", "bigger turn", "fuller turn"],
        &["little turn"],
        &[],
    ),
    (
        &["more bounce"],
        &["too little bounce"],
        &["too much bounce"],
    ),
    (
        &["less bounce"],
        &["too much bounce"],
        &["too little bounce"],
    ),
];

/// Beginnings of questions that ask about a change.
const ASKS: [&str; 20] = [
    "should ",
    "would ",
    "will ",
    "can ",
    "could ",
    "does ",
    "do ",
    "how would ",
    "how will ",
    "how does ",
    "how could ",
    "why would ",
    "why does ",
    "why should ",
    "is it better ",
    "is it worth ",
    "is a ",
    "what does ",
    "what would ",
    "what will ",
];

/// The causes that a change takes away by its words, each with how many words of its name were said,
/// the most first; none if no change is named.
pub(super) fn taken_away(base: &KnowledgeBase, text: &str) -> Vec<(CauseId, usize)> {
    let whole = text.to_lowercase();
    let Some((_, gone, _)) = change_in(&whole) else {
        return Vec::new();
    };
    let said: Vec<String> = words(&whole).iter().map(|w| stem(w)).collect();
    let mut out: Vec<(CauseId, usize)> = base
        .causes
        .iter()
        .enumerate()
        .filter_map(|(at, cause)| {
            let score = score(&cause.name, gone, &said)?;
            Some((CauseId::from_index(at), score))
        })
        .collect();
    out.sort_by_key(|(_, score)| std::cmp::Reverse(*score));
    out
}

/// The change that words name.
fn change_in(whole: &str) -> Option<&'static Change> {
    let padded = format!(" {whole} ").replace(" stood ", " stand ");
    let without_owners: String = padded
        .replace(" the ", " ")
        .replace(" my ", " ")
        .replace(" his ", " ")
        .replace(" her ", " ")
        .replace(" a ", " ");
    CHANGES.iter().find(|(ways, ..)| {
        ways.iter().any(|way| {
            let way = format!(" {way}");
            padded.contains(&way) || without_owners.contains(&way)
        })
    })
}

/// The cause that a change asked about takes away, and the one that too much of it makes.
pub(super) fn asked(base: &KnowledgeBase, whole: &str) -> Option<(CauseId, Option<CauseId>)> {
    if !ASKS.iter().any(|way| whole.starts_with(way)) {
        return None;
    }
    of_change(base, whole)
}

/// The cause that a change takes away which was made: "I moved the ball back".
pub(super) fn made(base: &KnowledgeBase, done: &str) -> Option<CauseId> {
    of_change(base, done).map(|(cause, _)| cause)
}

fn of_change(base: &KnowledgeBase, whole: &str) -> Option<(CauseId, Option<CauseId>)> {
    let (_, gone, overdone) = change_in(whole)?;
    let whole = format!(" {whole} ").replace(" stood ", " stand ");
    let said: Vec<String> = words(&whole).iter().map(|w| stem(w)).collect();
    let cause = best(base, gone, &said)?;
    let other = best(base, overdone, &said).filter(|other| *other != cause);
    Some((cause, other))
}

/// How many words of a name were said; 10 if it has one of the marks in full, none if it has no mark.
fn score(name: &str, marks: &[&str], said: &[String]) -> Option<usize> {
    let in_full = marks
        .iter()
        .any(|mark| mark.contains(' ') && name.contains(mark));
    let name_words = words(name);
    let mark = in_full
        || marks
            .iter()
            .any(|mark| !mark.contains(' ') && name_words.iter().any(|w| w == mark));
    if in_full {
        return Some(10);
    }
    mark.then(|| {
        name_words
            .iter()
            .filter(|w| w.len() > 2 && !EMPTY.contains(&w.as_str()) && !marks.contains(&w.as_str()))
            .filter(|w| said.contains(&stem(w)))
            .count()
    })
}

/// The cause whose name has one of these words and most of what was said.
fn best(base: &KnowledgeBase, marks: &[&str], said: &[String]) -> Option<CauseId> {
    let scored = base
        .causes
        .iter()
        .enumerate()
        .map(|(index, cause)| (score(&cause.name, marks, said).unwrap_or(0), index));
    // Of equals the shortest name, which says nothing else.
    let (most, index) = scored.filter(|(score, _)| *score > 0).max_by(|a, b| {
        let length = |i: usize| base.causes.iter().nth(i).map_or(0, |c| c.name.len());
        a.0.cmp(&b.0).then(length(b.1).cmp(&length(a.1)))
    })?;
    (most > 0).then(|| CauseId::from_index(index))
}

/// Words of names that tell nothing here.
const EMPTY: [&str; 8] = ["too", "the", "from", "for", "with", "and", "your", "you"];

#[cfg(test)]
mod tests {
    use super::asked;

    #[test]
    fn a_cure_is_for_the_opposite() {
        let base = crate::knowledge::builtin().unwrap();
        let name = |line: &str| asked(&base, line).map(|(c, _)| base.cause(c).name.clone());
        for (line, cure) in [
            ("should he weaken his grip", "grip too strong"),
            ("should he strengthen the grip", "grip too weak"),
            ("how would stronger grip help", "grip too weak"),
            ("will a stronger grip fix it", "grip too weak"),
            (
                "should she stand closer to the ball",
                "standing too far from the ball",
            ),
            (
                "should i stand further away from it",
                "standing too close to the ball",
            ),
            ("would a wider stance help", "stance too narrow"),
            ("should i move the ball back", "ball too far forward"),
            ("should he tee it lower", "ball teed too high"),
            ("would a looser grip help", "grip too tight"),
            ("does a shorter club help", "club too long"),
        ] {
            assert_eq!(name(line).as_deref(), Some(cure), "{line}");
        }
        assert_eq!(name("does a strong grip cause a hook"), None);
        assert_eq!(name("7 iron, stronger grip"), None);
    }
}
