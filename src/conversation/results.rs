//! Is a line a count of balls, or a list of measured ones? "7 of 10, was 3 of 10".
//!
//! Takes a line; gives the counts or numbers in it with the block they are said to belong to, if the
//! whole line is about nothing else. "7 of 10 were fat" is talk: one word that is no part of a count
//! makes it so. Knows no prescription; which block an untagged count belongs to is decided elsewhere.

use std::sync::LazyLock;

use regex::Regex;

use crate::lesson::{Stage, Tally};

/// A count or a list, and the block it was said to belong to.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Told<T> {
    pub(super) stage: Option<Stage>,
    pub(super) what: T,
}

/// What a line of results holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Results {
    /// Counts, in the order said.
    Counts(Vec<Told<Tally>>),
    /// A count that cannot be: hits and balls.
    Impossible(u32, u32),
    /// A bare number of hits; of how many was not said.
    Hits(u32),
    /// Measured balls: the words before the numbers, the numbers, the unit's words.
    Measured {
        /// Which block.
        stage: Option<Stage>,
        /// Words that name the quantity; empty if none did.
        name: String,
        /// One number a ball.
        values: Vec<f64>,
        /// The unit as written; empty if none was.
        unit: String,
    },
}

const NUMBER_WORDS: [&str; 21] = [
    "none",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
];

/// Words of a line of counts that say which block is meant.
const STAGES: [(&str, Stage); 21] = [
    ("baseline", Stage::Baseline),
    ("before", Stage::Baseline),
    ("start", Stage::Baseline),
    ("started", Stage::Baseline),
    ("first", Stage::Baseline),
    ("old", Stage::Baseline),
    ("was", Stage::Baseline),
    ("were", Stage::Baseline),
    ("from", Stage::Baseline),
    ("practice", Stage::Practice),
    ("practise", Stage::Practice),
    ("practised", Stage::Practice),
    ("with", Stage::Practice),
    ("after", Stage::Practice),
    ("now", Stage::Practice),
    ("to", Stage::Practice),
    ("then", Stage::Practice),
    ("retest", Stage::Retest),
    ("retested", Stage::Retest),
    ("without", Stage::Retest),
    ("later", Stage::Retest),
];

/// Words that follow the count they tag when nothing divides two counts.
const AFTER_ITS_COUNT: [&str; 4] = ["before", "after", "now", "later"];

/// Words that may stand in a line of counts and say nothing.
const SILENT: [&str; 48] = [
    "i", "it", "its", "it's", "got", "get", "hit", "made", "did", "had", "have", "went", "good",
    "ones", "clean", "balls", "ball", "shots", "shot", "swings", "swing", "marks", "and", "so",
    "the", "a", "my", "way", "thought", "cue", "feel", "today", "that", "that's", "this", "time",
    "count", "counted", "managed", "result", "results", "set", "block", "test", "of", "but",
    "only", "just",
];

static COUNT: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let words = NUMBER_WORDS.join("|");
    let n = format!(r"(?:\d{{1,4}}|{words}|zero|nil|all)");
    Regex::new(&format!(
        r"\b({n})\s*(?:/|(?:out\s+)?of|from|in)?\s*(?:the\s+|my\s+)?\b({n})\b"
    ))
    .ok()
});

fn number(text: &str) -> Option<u32> {
    match text {
        "zero" | "nil" => Some(0),
        word => word.parse().ok().or_else(|| {
            NUMBER_WORDS
                .iter()
                .position(|w| *w == word)
                .and_then(|n| u32::try_from(n).ok())
        }),
    }
}

fn stage_of(word: &str) -> Option<Stage> {
    STAGES
        .iter()
        .find(|(w, _)| *w == word)
        .map(|(_, stage)| *stage)
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !(c.is_alphanumeric() || c == '\''))
        .filter(|w| !w.is_empty())
}

/// The results in a line that is nothing else.
pub(super) fn read(line: &str) -> Option<Results> {
    let text = line.trim().to_lowercase().replace('\u{2019}', "'");
    if text.len() > 400 {
        return None;
    }
    counts(&text).or_else(|| measured(&text))
}

fn counts(text: &str) -> Option<Results> {
    let pattern = COUNT.as_ref()?;
    let mut spans: Vec<(usize, usize, u32, u32)> = Vec::new();
    let mut at = 0;
    while let Some(found) = text.get(at..).and_then(|rest| pattern.captures(rest)) {
        let (whole, hits, balls) = (found.get(0)?, found.get(1)?, found.get(2)?);
        let linked = whole.as_str().contains('/')
            || words(whole.as_str()).any(|w| ["of", "from", "in"].contains(&w));
        let all = hits.as_str() == "all";
        if !(linked || all) {
            at += hits.end();
            continue;
        }
        let balls = number(balls.as_str())?;
        let hits = if all { balls } else { number(hits.as_str())? };
        spans.push((at + whole.start(), at + whole.end(), hits, balls));
        at += whole.end();
    }
    if spans.is_empty() {
        return bare(text);
    }
    // The words around the counts, each given to the count it belongs to.
    let mut tags: Vec<Vec<&str>> = vec![Vec::new(); spans.len()];
    let mut from = 0;
    for index in 0..=spans.len() {
        let to = spans.get(index).map_or(text.len(), |s| s.0);
        let between = text.get(from..to).unwrap_or("");
        let (trail, lead) = parted(between, index == 0, index == spans.len());
        if let Some(tag) = index.checked_sub(1).and_then(|i| tags.get_mut(i)) {
            tag.extend(trail);
        }
        if let Some(tag) = tags.get_mut(index) {
            tag.extend(lead);
        }
        from = spans.get(index).map_or(to, |s| s.1);
    }
    let known = |w: &&str| stage_of(w).is_some() || SILENT.contains(w);
    if !tags.iter().flatten().all(known) {
        return None;
    }
    let mut out = Vec::new();
    for ((_, _, hits, balls), tag) in spans.iter().zip(&tags) {
        let Ok(what) = Tally::new(*hits, *balls) else {
            return Some(Results::Impossible(*hits, *balls));
        };
        let stage = if tag.contains(&"without") || tag.contains(&"retest") {
            Some(Stage::Retest)
        } else {
            tag.iter().find_map(|w| stage_of(w))
        };
        out.push(Told { stage, what });
    }
    Some(Results::Counts(out))
}

/// The words between two counts: those of the earlier, those of the later.
fn parted(between: &str, first: bool, last: bool) -> (Vec<&str>, Vec<&str>) {
    if first {
        return (Vec::new(), words(between).collect());
    }
    if last {
        return (words(between).collect(), Vec::new());
    }
    if let Some((trail, lead)) = between.split_once([',', ';', '.']) {
        return (words(trail).collect(), words(lead).collect());
    }
    let all: Vec<&str> = words(between).collect();
    let cut = all
        .iter()
        .rposition(|w| AFTER_ITS_COUNT.contains(w))
        .map_or(0, |at| at + 1);
    let (trail, lead) = all.split_at(cut);
    (trail.to_vec(), lead.to_vec())
}

/// A single number of hits: "7", "seven clean ones".
fn bare(text: &str) -> Option<Results> {
    let mut hits = None;
    for word in words(text) {
        match (number(word), hits) {
            (Some(n), None) => hits = Some(n),
            (None, _) if SILENT.contains(&word) => {}
            (Some(_), Some(_)) | (None, _) => return None,
        }
    }
    // "3.5" and "-3" are no counts.
    let plain = !text.contains(['.', '-', '+']) || text.ends_with('.');
    hits.filter(|_| plain).map(Results::Hits)
}

/// A list of measured balls: "low point 3, 2.5, 3.1 in".
fn measured(text: &str) -> Option<Results> {
    let first = text.find(|c: char| c.is_ascii_digit())?;
    let first = text
        .get(..first)?
        .rfind(|c: char| !matches!(c, '-' | '+' | '.'))
        .map_or(0, |at| at + 1);
    let (head, tail) = text.split_at_checked(first)?;
    let end = tail
        .rfind(|c: char| c.is_ascii_digit())
        .map_or(tail.len(), |at| at + 1);
    let (list, unit) = tail.split_at_checked(end)?;
    let values: Vec<f64> = list
        .split(|c: char| c == ',' || c == ';' || c.is_whitespace())
        .filter(|w| !w.is_empty() && *w != "and")
        .map(|w| w.parse().ok())
        .collect::<Option<Vec<f64>>>()?;
    if values.len() < 2 || values.iter().any(|v| !v.is_finite()) {
        return None;
    }
    let mut stage = None;
    let mut name: Vec<&str> = Vec::new();
    for word in words(head) {
        match stage_of(word) {
            Some(found) if stage.is_none() => stage = Some(found),
            _ => name.push(word),
        }
    }
    Some(Results::Measured {
        stage,
        name: name.join(" "),
        values,
        unit: unit.trim().trim_end_matches('.').to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(line: &str) -> String {
        match read(line) {
            None => "talk".to_owned(),
            Some(Results::Counts(list)) => list
                .iter()
                .map(|t| {
                    let stage = t.stage.map_or("?".to_owned(), |s| format!("{s:?}"));
                    format!("{stage} {}/{}", t.what.hits(), t.what.balls())
                })
                .collect::<Vec<_>>()
                .join(" "),
            Some(other) => format!("{other:?}"),
        }
    }

    #[test]
    fn counts_as_golfers_put_them() {
        for (line, meant) in [
            ("7 of 10", "? 7/10"),
            ("7/10", "? 7/10"),
            ("seven out of ten", "? 7/10"),
            ("I got 7 of the 10", "? 7/10"),
            ("none of 10", "? 0/10"),
            ("all ten", "? 10/10"),
            ("7 of 10, was 3 of 10", "? 7/10 Baseline 3/10"),
            (
                "3 of 10 before, 7 of 10 after",
                "Baseline 3/10 Practice 7/10",
            ),
            ("3 of 10 before 7 of 10 now", "Baseline 3/10 Practice 7/10"),
            (
                "went from 3 of 10 to 7 of 10",
                "Baseline 3/10 Practice 7/10",
            ),
            ("baseline 4 of 20", "Baseline 4/20"),
            ("retest: 8 of 10", "Retest 8/10"),
            ("8 of 10 without the thought", "Retest 8/10"),
            ("with the thought 12/20", "Practice 12/20"),
            ("12 of 10", "Impossible(12, 10)"),
            ("7", "Hits(7)"),
            ("seven", "Hits(7)"),
            ("7 of 10 were fat", "talk"),
            ("3 out of 10 go left", "talk"),
            ("7 iron", "talk"),
            ("low point 3.5", "talk"),
            ("about 7 I think", "talk"),
        ] {
            assert_eq!(said(line), meant, "{line}");
        }
    }

    #[test]
    fn measured_balls_keep_their_order_sign_and_unit() {
        assert_eq!(
            read("baseline low point -1, 0.5 and 2 in"),
            Some(Results::Measured {
                stage: Some(Stage::Baseline),
                name: "low point".to_owned(),
                values: vec![-1.0, 0.5, 2.0],
                unit: "in".to_owned(),
            })
        );
        assert_eq!(said("7 iron fat, 8 iron thin"), "talk");
    }
}
