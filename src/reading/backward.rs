//! What colours the words before it: "nope", "not any more", "is gone", "no idea if".
//!
//! Takes a line with the frames that run forward; colours what was told before in the clause, the sentence
//! or the question. What runs forward from a word is settled in `frames`.

use super::Why;
use super::clauses::Line;
use super::frames::{Frames, before_a_number};
use super::letters::Mark;
use crate::knowledge::lexicon::{Meaning, Role};

/// True if a denial has nothing after it and stands right behind what it denies: "shanks: none",
/// "thinned none", "ball before turf? nope".
fn answers(line: &Line<'_>, at: usize) -> bool {
    let to = match line.match_at(at) {
        Some(found) if found.from == at => found.to,
        _ => return false,
    };
    let (from, end) = line.clause_range(at);
    let empty = |i: usize| (line.words.get(i)).is_some_and(|w| w.filler || w.mark.is_some());
    let told = |i: usize| {
        matches!(
            line.meaning_at(i),
            Some(Meaning::Symptoms(_) | Meaning::OneOf { .. })
        )
    };
    let before = (0..at).rev().find(|i| !empty(*i));
    let asked = |i: usize| {
        line.words.get(i + 1..at).is_some_and(|between| {
            let mut marks = between.iter().filter_map(|w| w.mark);
            marks.any(|m| m == Mark::Question)
        })
    };
    (to..end).all(empty) && before.is_some_and(|i| told(i) && (i >= from || asked(i)))
}

pub(super) fn is_told(line: &Line<'_>, at: usize) -> bool {
    matches!(
        line.meaning_at(at),
        Some(Meaning::Symptoms(_) | Meaning::OneOf { .. })
    )
}

/// "Used to shank it, sorted since the winter": what was told before is over, where nothing is told after
/// these words that could be.
fn is_over(line: &Line<'_>, at: usize, out: &Frames) -> bool {
    let (_, to) = line.clause_range(at);
    let denied = out.at.get(at).is_some_and(|f| f.not);
    let over = ["sorted", "cured", "fixed", "solved"]
        .iter()
        .any(|w| line.is_word(at, w));
    let (from, _) = line.clause_range(at);
    // "Used to slice it, not any more."
    is_alone(line, at, from..to) || over && !denied && !(at..to).any(|i| is_told(line, i))
}

/// True if the clause or sentence of a phrase holds nothing else: "Not any more."
pub(super) fn is_alone(line: &Line<'_>, at: usize, mut range: std::ops::Range<usize>) -> bool {
    range.all(|i| {
        let word = line.words.get(i);
        word.is_some_and(|w| w.filler || w.mark.is_some())
            || line
                .match_at(at)
                .is_some_and(|m| (m.from..m.to).contains(&i))
    })
}

/// "Shanks gone, thank god": what was told right before has stopped.
fn is_gone(line: &Line<'_>, at: usize) -> bool {
    const AFTER: [&str; 10] = [
        "thank",
        "thanks",
        "now",
        "since",
        "after",
        "for",
        "completely",
        "finally",
        "too",
        "at",
    ];
    let have = ["have", "has", "had", "are", "is", "all", "theyve", "its"];
    let colon = |i: usize| line.words.get(i).and_then(|w| w.mark) == Some(Mark::Colon);
    let mut of = at;
    while of > 0 && (colon(of - 1) || have.iter().any(|w| line.is_word(of - 1, w))) {
        of -= 1;
    }
    let told = of
        .checked_sub(1)
        .is_some_and(|before| is_told(line, before));
    let (_, to) = line.clause_range(at);
    let ends = at + 1 >= to || line.words.get(at + 1).is_some_and(|w| w.mark.is_some());
    line.is_word(at, "gone") && told && (ends || AFTER.iter().any(|w| line.is_word(at + 1, w)))
}

/// "My 5 iron won't get up any more": what was told right before denies something good, and is so now.
fn cannot_any_more(line: &Line<'_>, at: usize) -> bool {
    const DENIES: [&str; 9] = [
        "wont", "cant", "dont", "doesnt", "not", "isnt", "never", "no", "couldnt",
    ];
    let any_more = line.is_word(at, "anymore") || line.is_word(at, "any");
    let (from, _) = line.clause_range(at);
    let told = (from..at).rev().find(|i| is_told(line, *i));
    let told = told.and_then(|i| line.match_at(i));
    let denies = |i: usize| DENIES.iter().any(|w| line.is_word(i, w));
    any_more && told.is_some_and(|m| (m.from..m.to).any(denies))
}

/// "I'm convinced the shank is coming": what was told right before is feared.
fn is_coming(line: &Line<'_>, at: usize) -> bool {
    let is = |at: usize, words: &[&str]| words.iter().any(|w| line.is_word(at, w));
    let (_, to) = line.clause_range(at);
    let ends = at + 1 >= to
        || line.words.get(at + 1).is_some_and(|w| w.mark.is_some())
        || is(at + 1, &["next", "again", "any"]);
    let be = at
        .checked_sub(1)
        .filter(|i| is(*i, &["is", "are", "was", "be"]));
    is(at, &["coming", "lurking", "inevitable"])
        && ends
        && be.is_some_and(|be| (1..=2).any(|n| be >= n && is_told(line, be - n)))
}

/// Doubt, comparison and "is gone" colour the words before them as well.
pub(super) fn over_whole_clauses(line: &Line<'_>, out: &mut Frames) {
    for at in 0..out.at.len() {
        let role = match line.role_at(at) {
            Some(Role::Not | Role::No) if answers(line, at) => Some(Role::NotSo),
            Some(Role::Unsure) if before_a_number(line, at + 1) => None,
            Some(Role::Stopped) if is_over(line, at, out) => Some(Role::NotBefore),
            Some(Role::NotBefore) if cannot_any_more(line, at) => None,
            _ if is_gone(line, at) => Some(Role::NotBefore),
            _ if is_coming(line, at) => Some(Role::Fear),
            role => role,
        };
        let backward = match role {
            Some(Role::Fear) => is_coming(line, at),
            Some(Role::Unsure | Role::Change | Role::NotBefore | Role::NotSo) => true,
            _ => false,
        };
        let Some(role) = role.filter(|_| backward) else {
            continue;
        };
        let (mut from, _) = line.clause_range(at);
        if role == Role::NotSo && (from..at).all(|i| line.words.get(i).is_some_and(|w| w.filler)) {
            // "Ball before turf? Nope": the question before.
            from = line.clause_range(from.saturating_sub(1)).0;
        }
        let told = |i: usize| {
            matches!(
                line.meaning_at(i),
                Some(Meaning::Symptoms(_) | Meaning::OneOf { .. } | Meaning::Hint(_))
            )
        };
        // "I was shanking it, that's gone": the clause before.
        if role == Role::NotBefore && !(from..at).any(told) {
            let (before, _) = line.clause_range(from.saturating_sub(1));
            // "I used to top it. Not any more."
            if is_alone(line, at, line.sentence_range(at))
                || line.sentence.get(before) == line.sentence.get(at)
            {
                from = before;
            }
        }
        // "Strike centred, not the issue": what is good is no issue, and so.
        let issue = line.match_at(at).is_some_and(|m| {
            let names = ["problem", "issue", "trouble", "worry", "concern"];
            (m.from..m.to).any(|i| names.iter().any(|w| line.is_word(i, w)))
        });
        let well = |i: usize| match line.meaning_at(i) {
            Some(Meaning::Symptoms(words)) => {
                let mut symptoms = words.symptoms.iter();
                symptoms.all(|s| line.phrases.lexicon.well.contains(s))
            }
            _ => false,
        };
        let good = issue && (from..at).any(well);
        for frame in out.at.get_mut(from..at).unwrap_or(&mut []).iter_mut().rev() {
            // What another such word has coloured before is coloured to the front.
            let done = match role {
                Role::Unsure => frame.unsure,
                Role::Change => frame.change,
                Role::NotSo => frame.not,
                _ => frame.why.is_some_and(|why| why != Why::Past),
            };
            if done {
                break;
            }
            match role {
                Role::Unsure => frame.unsure = true,
                Role::Change => frame.change = true,
                Role::NotSo if good => break,
                Role::NotSo => frame.not = true,
                Role::Fear => frame.why = frame.why.or(Some(Why::Feared)),
                _ => frame.why = Some(Why::Stopped),
            }
        }
    }
}
