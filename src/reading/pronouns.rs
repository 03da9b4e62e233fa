//! What does "it" stand for? "There is a divot, it starts in front of the ball."
//!
//! Takes the words of a line and the phrases found in it. "It" at the head of a clause is read as the
//! mark in the turf where a mark was the thing last spoken of and only the mark can be said to do what
//! follows. Invariant: a phrase that the words say by themselves stays ("it starts left" is the ball).
//! Knows no other noun: clubs are taken up by [`super::heads`].

use super::letters::Mark;
use super::phrases::{Match, Phrases, Word};
use crate::knowledge::lexicon::{Meaning, Role};
use crate::vocabulary::Hand;

/// Words that name the mark in the turf.
const MARKS: [&str; 4] = ["divot", "divots", "mark", "marks"];

/// Words that stand for a thing named before.
const STAND_IN: [&str; 6] = ["it", "its", "they", "theyre", "that", "which"];

/// Other things that "it" stands for once a clause begins with them.
const OTHERS: [&str; 8] = [
    "ball", "balls", "club", "face", "path", "shot", "shots", "contact",
];

/// Words of a line after which "it" is no longer what was named (elicited).
const REACH: usize = 14;

/// True if a line names a mark in the turf.
pub fn names_a_mark(line: &str) -> bool {
    line.split(|c: char| !c.is_alphabetic())
        .any(|w| MARKS.iter().any(|m| m.eq_ignore_ascii_case(w)))
}

fn name<'p>(phrases: &'p Phrases, word: &Word) -> Option<&'p str> {
    word.symbol.map(|s| phrases.vocabulary.name(s))
}

/// True if a word begins a clause: the first, one after a mark, or one after a joining word.
fn heads_a_clause(phrases: &Phrases, words: &[Word], at: usize) -> bool {
    let Some(before) = at.checked_sub(1).and_then(|b| words.get(b)) else {
        return true;
    };
    let joins = |w: &Word| {
        let alone = w.symbol.and_then(|s| phrases.alone(s));
        matches!(
            alone,
            Some(Meaning::Word(
                Role::And | Role::Break | Role::Not | Role::No | Role::Correct
            ))
        ) || matches!(
            name(phrases, w),
            Some("and" | "but" | "because" | "actually" | "so" | "no" | "though")
        )
    };
    before.mark.is_some_and(|m| m != Mark::Hyphen) || joins(before)
}

/// The places where a word stands for a mark named before.
fn stand_ins(phrases: &Phrases, words: &[Word], before: bool) -> Vec<usize> {
    let mut out = Vec::new();
    // How many words ago the mark was named, if nothing else was since.
    let mut since = before.then_some(0usize);
    for (at, word) in words.iter().enumerate() {
        let Some(name) = name(phrases, word) else {
            since = since.map(|n| n + 1);
            continue;
        };
        let head = heads_a_clause(phrases, words, at)
            || at > 0
                && words.get(at - 1).is_some_and(|w| w.filler)
                && heads_a_clause(phrases, words, at - 1);
        if MARKS.contains(&name) {
            since = Some(0);
        } else if head && OTHERS.contains(&name) {
            since = None;
        } else {
            if head && STAND_IN.contains(&name) && since.is_some_and(|n| n <= REACH) {
                out.push(at);
            }
            since = since.map(|n| n + 1);
        }
    }
    out
}

/// The phrases of the line once words that stand for a mark are read as the mark. `before` is true if
/// the line before spoke of one.
pub(super) fn of_marks(
    phrases: &Phrases,
    words: &[Word],
    mut matches: Vec<Match>,
    hand: Hand,
    before: bool,
) -> Vec<Match> {
    let nouns = [
        phrases.vocabulary.get("divot"),
        phrases.vocabulary.get("divots"),
    ];
    let [Some(one), Some(several)] = nouns else {
        return matches;
    };
    let says = |m: &Match| {
        matches!(
            phrases.meaning(m),
            Some(Meaning::Symptoms(_) | Meaning::OneOf { .. } | Meaning::Quantity(_))
        )
    };
    let mut read = words.to_vec();
    for at in stand_ins(phrases, words, before) {
        let mut other = read.clone();
        let Some(word) = other.get_mut(at) else {
            continue;
        };
        let plural = name(phrases, word).is_some_and(|n| n.starts_with("they"));
        word.symbol = Some(if plural { several } else { one });
        word.stems.clear();
        word.filler = false;
        let found = phrases.matches(&mut other, hand);
        let Some(of_mark) = found
            .iter()
            .find(|m| m.from == at && m.words > 1 && m.exact && says(m))
        else {
            continue;
        };
        let said_already = matches.iter().any(|m| {
            says(m) && m.words >= of_mark.words - 1 && m.from < of_mark.to && of_mark.from < m.to
        });
        if !said_already {
            matches = found;
            read = other;
        }
    }
    matches
}
