//! Was a thing looked at, or is it a guess? "Past parallel on film" against "too far away maybe".
//!
//! Takes a line and the place of the words in it; looks at their sentence alone. Knows nothing of what the
//! words say.

use crate::reading::{Hint, Span};

/// Settles whether what a hint says was looked at.
pub(super) fn settle(line: &str, hint: &mut Hint) {
    hint.seen |= looked_at(line, hint.said);
    hint.seen &= !doubted(line, hint.said);
    hint.seen &= !hearsay(line, hint.said) || looked_at(line, hint.said) || by_a_teacher(line);
}

/// Whether somebody is said to say so, before it in its sentence.
fn hearsay(line: &str, said: Span) -> bool {
    const SAYS: [&str; 8] = [
        "says", "said", "reckons", "thinks", "told", "tells", "claims", "swears",
    ];
    // Whoever stood there and watched has seen it.
    const WATCHED: [&str; 7] = [
        "watched", "watching", "watches", "stood", "saw", "sees", "noticed",
    ];
    let before = line.get(..said.start).unwrap_or("");
    let sentence = before
        .rsplit([',', '.', ';', '!', '?'])
        .next()
        .unwrap_or("");
    let says = |list: &[&str]| {
        let mut words = sentence.split(|c: char| !c.is_alphanumeric());
        words.any(|w| list.iter().any(|l| l.eq_ignore_ascii_case(w)))
    };
    says(&SAYS) && !says(&WATCHED)
}

/// Whether somebody is quoted who looks at swings for a living.
fn by_a_teacher(line: &str) -> bool {
    const TEACHERS: [&str; 8] = [
        "coach",
        "pro",
        "teacher",
        "instructor",
        "trainer",
        "fitter",
        "physio",
        "lesson",
    ];
    let mut words = line.split(|c: char| !c.is_alphanumeric());
    words.any(|w| TEACHERS.iter().any(|t| t.eq_ignore_ascii_case(w)))
}

/// Whether the sentence says that it was looked at: "past parallel on film" is no guess.
fn looked_at(line: &str, said: Span) -> bool {
    const MEANS: [&str; 12] = [
        "film", "filmed", "video", "videos", "camera", "photo", "photos", "picture", "pictures",
        "mirror", "footage", "slowmo",
    ];
    let ends = |c: char| ".;!?".contains(c);
    let before = line.get(..said.start).unwrap_or("");
    let after = line.get(said.start..).unwrap_or("");
    let sentence = [
        before.rsplit(ends).next().unwrap_or(""),
        after.split(ends).next().unwrap_or(""),
    ];
    let thought = [
        "think", "reckon", "guess", "maybe", "probably", "feel", "feels",
    ];
    let word = |list: &[&str]| {
        let words = sentence
            .iter()
            .flat_map(|s| s.split(|c: char| !c.is_alphanumeric()));
        words
            .into_iter()
            .any(|w| list.iter().any(|l| l.eq_ignore_ascii_case(w)))
    };
    word(&MEANS) && !word(&thought)
}

/// Whether the sentence asks or guesses: "clubs too heavy?" and "too far away maybe" are ideas, and
/// nothing that was looked at.
fn doubted(line: &str, said: Span) -> bool {
    const GUESSES: [&str; 12] = [
        "reckon",
        "maybe",
        "perhaps",
        "possibly",
        "probably",
        "wonder",
        "wondering",
        "unsure",
        "suspect",
        "guess",
        "guessing",
        "prob",
    ];
    const ASKS: [&str; 12] = [
        "is", "are", "am", "could", "can", "might", "should", "do", "does", "would", "whether",
        "if",
    ];
    let ends = |c: char| ".;!?".contains(c);
    let before = line.get(..said.start).unwrap_or("");
    let from = before.rfind(ends).map_or(0, |at| at + 1);
    let after = line.get(said.end..).unwrap_or("");
    let to = after.find(ends).map_or(line.len(), |at| said.end + at);
    let sentence = line.get(from..to).unwrap_or("").to_lowercase();
    let asked = line.get(to..).is_some_and(|rest| rest.starts_with('?'));
    let mut words = sentence
        .split(|c: char| !c.is_alphanumeric() && c != '\'')
        .filter(|w| !w.is_empty());
    let opens = words.clone().next().is_some_and(|w| ASKS.contains(&w));
    // "is my grip too strong" asks without a mark; "if i stand close" supposes.
    asked
        || words.any(|w| GUESSES.contains(&w))
        || (opens && sentence.split_whitespace().count() <= 9)
}
