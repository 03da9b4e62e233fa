//! What would a learner practise, and against which cause?
//!
//! Takes words and the causes named before; gives causes, several where several are meant. A cause may be
//! named itself, by one of its drills, by a change that takes it away ("weaker"), or by what is told to
//! those who have it: the thought, the drill and the test that tells it apart. What is told for a cause
//! named before is meant before anything else. Knows no entry by name, and not whether it would help.

use super::finding::{causes, content};
use crate::conversation::cures;
use crate::conversation::names::stem;
use crate::knowledge::KnowledgeBase;
use crate::reading::Phrases;
use crate::vocabulary::{CauseId, DrillId, Hand};

/// Words of advice that say nothing of which.
const ADVICE: [&str; 24] = [
    "get", "gett", "keep", "put", "let", "mak", "make", "try", "more", "need", "drill", "exercis",
    "practis", "practic", "work", "his", "her", "him", "my", "their", "mov", "move", "hav", "into",
];
/// Words that say the same of the body as the second does.
const ALIKE: [(&str, &str); 5] = [
    ("forward", "lead"),
    ("front", "lead"),
    ("forward", "target"),
    ("foot", "shoe"),
    ("club", "handl"),
];

/// Words told for more causes than this name none.
const FEW: usize = 2;

/// What is meant by the words.
pub(super) fn practice(
    base: &KnowledgeBase,
    phrases: &Phrases,
    hand: Hand,
    text: &str,
    named: &[CauseId],
) -> Vec<CauseId> {
    let mut wanted = content(text);
    if wanted.len() > 1 {
        wanted.retain(|w| !ADVICE.contains(&w.as_str()));
    }
    let of_causes = causes(base, phrases, hand, text);
    let outright = |c: &CauseId| base.cause(*c).name.eq_ignore_ascii_case(text.trim());
    if !of_causes.iter().any(outright) {
        if let Some(cause) = changed(base, text, named) {
            return vec![cause];
        }
        if !matches!(of_causes.as_slice(), [one] if named.contains(one))
            && let Some(cause) = told(base, &wanted, named)
        {
            return vec![cause];
        }
    }
    let found = by_name(base, of_causes, &wanted, named);
    if found.is_empty() {
        let every: Vec<CauseId> = (0..base.causes.len()).map(CauseId::from_index).collect();
        return told_in_full(base, &wanted, &every);
    }
    found
}

/// The cause that a change takes away: one named before, or the only one.
fn changed(base: &KnowledgeBase, text: &str, named: &[CauseId]) -> Option<CauseId> {
    let gone = cures::taken_away(base, text);
    let before = named.iter().find(|c| gone.iter().any(|(g, _)| g == *c));
    before.copied().or(match gone.as_slice() {
        [(one, _)] => Some(*one),
        [(one, most), (_, next), ..] if most > next => Some(*one),
        _ => None,
    })
}

/// The words told to those who have a cause.
fn remedy(base: &KnowledgeBase, cause: CauseId) -> Vec<String> {
    let entry = base.cause(cause);
    let mut known = content(entry.told_apart.as_deref().unwrap_or(""));
    known.extend(content(&entry.cue));
    for drill in &entry.drills {
        let drill = base.drill(*drill);
        known.extend(content(&drill.name));
        known.extend(content(&drill.how));
        known.extend(content(&drill.cue));
    }
    known
}

/// How many of the words are among those told.
fn hits(wanted: &[String], known: &[String]) -> usize {
    let like = |w: &String| {
        let mut others = ALIKE.iter().filter(|(said, _)| said == w);
        known.contains(w) || others.any(|(_, told)| known.iter().any(|k| k == told))
    };
    wanted.iter().filter(|w| like(w)).count()
}

/// The cause named before for which most of the words are told: at least two, and two of three.
fn told(base: &KnowledgeBase, wanted: &[String], named: &[CauseId]) -> Option<CauseId> {
    let scored = named
        .iter()
        .map(|c| (hits(wanted, &remedy(base, *c)), *c))
        .filter(|(n, _)| *n >= 2 && 3 * n >= 2 * wanted.len());
    let best = scored.reduce(|a, b| if b.0 > a.0 { b } else { a });
    best.map(|(_, cause)| cause)
}

/// The causes for which all of the words are told: at least three of them, and told of few.
fn told_in_full(base: &KnowledgeBase, wanted: &[String], of: &[CauseId]) -> Vec<CauseId> {
    if wanted.len() < 3 {
        return Vec::new();
    }
    let all = |c: &&CauseId| hits(wanted, &remedy(base, **c)) == wanted.len();
    let found: Vec<CauseId> = of.iter().filter(all).copied().collect();
    if found.len() > FEW {
        return Vec::new();
    }
    found
}

/// A cause by its name, or a drill, which stands for the cause named before that it is given for.
fn by_name(
    base: &KnowledgeBase,
    of_causes: Vec<CauseId>,
    wanted: &[String],
    named: &[CauseId],
) -> Vec<CauseId> {
    let drill = base.drills.iter().position(|d| {
        let known = content(&d.name);
        !wanted.is_empty() && wanted.iter().all(|w| known.contains(w))
    });
    match drill.map(DrillId::from_index) {
        Some(drill) if of_causes.is_empty() || of_causes.len() > 1 => {
            let given_for = |c: &CauseId| base.cause(*c).drills.contains(&drill);
            let mut list: Vec<CauseId> = named.iter().copied().filter(given_for).collect();
            if list.is_empty() {
                list = (0..base.causes.len())
                    .map(CauseId::from_index)
                    .filter(given_for)
                    .collect();
            }
            list
        }
        _ => {
            // Of several, one that was named before is meant, if the words leave nothing over that
            // neither its name nor what it is knows: "back up to the middle" is no "hanging back".
            let meant = |c: &CauseId| {
                let mut known = content(&base.cause(*c).name);
                known.extend(content(&base.cause(*c).is));
                known.extend(base.cause(*c).id.split('_').map(stem));
                named.contains(c) && wanted.iter().all(|w| known.contains(w))
            };
            match of_causes.iter().copied().find(meant) {
                Some(cause) => vec![cause],
                None if of_causes.len() > 1 => Vec::new(),
                None => of_causes,
            }
        }
    }
}
