//! Is a line a count of balls, or a list of measured ones? "7 of 10, was 3 of 10".
//!
//! Takes a line; gives the counts or numbers in it with the block they are said to belong to, if the
//! whole line is about nothing else. "7 of 10 were fat" is talk: one word that is no part of a count
//! makes it so. Knows no prescription; which block an untagged count belongs to is decided elsewhere,
//! and so is whether "without" means the start or a later test.

use std::sync::LazyLock;

use regex::Regex;

use super::result_forms::plainer;
use super::result_words::{
    AFTER_ITS_COUNT, ALL_BALLS, CAME_OFF, DAYS, DIVIDES, FELL_SHORT, NUMBER_WORDS, PUT_RIGHT,
    SECOND_THOUGHTS, silent,
};
use crate::lesson::{Stage, Tally};

/// Which balls a count is said to be of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Set {
    /// As the golfer was: "before", "started at".
    Start,
    /// With the thought: "tried it", "after".
    Thought,
    /// Without it, which before practice is the start and after it a test.
    Without,
    /// Said to be a test.
    Retest,
}

impl Set {
    /// The block, where practice has begun.
    const fn stage(self) -> Stage {
        match self {
            Self::Start => Stage::Baseline,
            Self::Thought => Stage::Practice,
            Self::Without | Self::Retest => Stage::Retest,
        }
    }
}

/// A count or a list, and the balls it was said to be of.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Told<T> {
    pub(super) set: Option<Set>,
    /// A day was named with it.
    pub(super) dated: bool,
    pub(super) what: T,
}

/// What a line of results holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Results {
    /// Counts, in the order said.
    Counts(Vec<Told<Tally>>),
    /// A count that cannot be: hits and balls.
    Impossible(u32, u32),
    /// A bare number of hits, and of which balls; of how many was not said.
    Hits(u32, Option<Set>),
    /// So many per cent, and of which balls.
    Share(u32, Option<Set>),
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

/// Words of a line of counts that say which balls are meant, the weightier kind first: "it was 7 of 10
/// with the thought" is said of the thought, "started at 3 of 10 without" of the start.
const PLAIN_WORDS: [(&str, Set); 20] = [
    ("retest", Set::Retest),
    ("retested", Set::Retest),
    ("later", Set::Retest),
    ("baseline", Set::Start),
    ("before", Set::Start),
    ("beforehand", Set::Start),
    ("previously", Set::Start),
    ("start", Set::Start),
    ("started", Set::Start),
    ("starting", Set::Start),
    ("old", Set::Start),
    ("normal", Set::Start),
    ("without", Set::Without),
    ("with", Set::Thought),
    ("after", Set::Thought),
    ("afterwards", Set::Thought),
    ("tried", Set::Thought),
    ("trying", Set::Thought),
    ("practised", Set::Thought),
    ("practiced", Set::Thought),
];

/// Words that say so only where none of the others does; the first of them counts.
const FAINT_WORDS: [(&str, Set); 10] = [
    ("first", Set::Start),
    ("second", Set::Thought),
    ("was", Set::Start),
    ("were", Set::Start),
    ("from", Set::Start),
    ("practice", Set::Thought),
    ("practise", Set::Thought),
    ("now", Set::Thought),
    ("to", Set::Thought),
    ("then", Set::Thought),
];

/// Two words together that say it like a plain word.
const PAIRS: [(&str, &str, Set); 4] = [
    ("did", "it", Set::Thought),
    ("done", "it", Set::Thought),
    ("did", "that", Set::Thought),
    ("did", "them", Set::Thought),
];

/// True if a count is said to be of the shots that came off.
pub(super) fn says_good(line: &str) -> bool {
    let text = line.to_lowercase();
    words(&text).any(|w| CAME_OFF.contains(&w))
}

/// True if a line of results begins with words that take the count before back.
pub(super) fn puts_right(line: &str) -> bool {
    let text = line.trim().to_lowercase();
    PUT_RIGHT.iter().any(|w| text.starts_with(w))
}

static COUNT: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let words = NUMBER_WORDS.join("|");
    let n = format!(r"(?:\d{{1,4}}|{words}|zero|nil|all)");
    let good = format!("(?:{})", CAME_OFF.join("|"));
    Regex::new(&format!(
        r"\b({n})\s*(?:(?:were\s+)?{good}\s+(?:ones\s+)?)?(?:/|(?:out\s+)?of|from|in)?\s*(?:the\s+|my\s+)?\b({n})\b"
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

/// Which balls these words say, if they say it.
fn said_of<'a>(words: impl Iterator<Item = &'a str>) -> Option<Set> {
    let words: Vec<&str> = words.collect();
    let pair = |set: Set| {
        let mut pairs = words.iter().zip(words.iter().skip(1));
        pairs.any(|(a, b)| PAIRS.contains(&(*a, *b, set)))
    };
    let plain = PLAIN_WORDS.iter().find(|(w, _)| words.contains(w));
    let faint = |w: &&str| FAINT_WORDS.iter().find(|(f, _)| f == w);
    plain
        .map(|(_, set)| *set)
        .or_else(|| pair(Set::Thought).then_some(Set::Thought))
        .or_else(|| words.iter().find_map(faint).map(|(_, set)| *set))
}

/// Which balls a line without a count speaks of: "with the thought", "as before".
pub(super) fn set_of(line: &str) -> Option<Set> {
    let text = line.trim().to_lowercase().replace('\u{2019}', "'");
    if text.len() > 400 {
        return None;
    }
    said_of(words(&text))
}

/// True for a word that says which balls are meant.
fn tells(word: &str) -> bool {
    let mut all = PLAIN_WORDS.iter().chain(&FAINT_WORDS);
    all.any(|(w, _)| *w == word)
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
    let text = plainer(&text);
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
        return percent(text)
            .or_else(|| good_of_all(text))
            .or_else(|| bare(text));
    }
    if let [(from, to, _, balls)] = *spans.as_slice()
        && let Some((at, end, hits)) = second_hits(text, from..to, balls)
    {
        spans.push((at, end, hits, balls));
        spans.sort_unstable();
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
    let known = |w: &str| tells(w) || silent(w);
    if !tags.iter().flatten().all(|w| known(w)) {
        return None;
    }
    let mut out = Vec::new();
    for ((_, _, hits, balls), tag) in spans.iter().zip(&tags) {
        let Ok(what) = Tally::new(*hits, *balls) else {
            return Some(Results::Impossible(*hits, *balls));
        };
        let set = said_of(tag.iter().copied());
        let dated = tag.iter().any(|w| DAYS.contains(w));
        out.push(Told { set, dated, what });
    }
    Some(Results::Counts(out))
}

/// "9 of 20 with the thought and 4 before": the second number is of as many balls.
fn second_hits(
    text: &str,
    first: std::ops::Range<usize>,
    balls: u32,
) -> Option<(usize, usize, u32)> {
    let mut found = None;
    for word in words(text) {
        let at = word.as_ptr() as usize - text.as_ptr() as usize;
        let Some(hits) = number(word).filter(|_| !first.contains(&at)) else {
            continue;
        };
        let end = at + word.len();
        let mut next = words(text.get(end..).unwrap_or(""));
        let tagged = next
            .next()
            .is_some_and(|w| AFTER_ITS_COUNT.contains(&w) || CAME_OFF.contains(&w) || w == "with");
        if found.is_some() || !tagged || hits > balls {
            return None;
        }
        found = Some((at, end, hits));
    }
    found
}

/// "60%", "about 60 percent with the thought", "half of them".
fn percent(text: &str) -> Option<Results> {
    const PARTS: [(&str, u32); 9] = [
        ("half", 50),
        ("about half", 50),
        ("half of them", 50),
        ("about half of them", 50),
        ("half were good", 50),
        ("all of them", 100),
        ("all good", 100),
        ("every one", 100),
        ("all were good", 100),
    ];
    let whole = text.trim_end_matches(['.', '!']);
    if let Some((_, share)) = PARTS.iter().find(|(said, _)| *said == whole) {
        return Some(Results::Share(*share, None));
    }
    let spaced = text
        .replace('%', " percent ")
        .replace("per cent", "percent");
    let mut share = None;
    let mut said = false;
    for word in words(&spaced) {
        match (number(word), share) {
            (Some(n), None) if n <= 100 => share = Some(n),
            (None, _) if word == "percent" => said = true,
            (None, _) if word == "about" || silent(word) || tells(word) => {}
            _ => return None,
        }
    }
    let plain = !text.contains(['.', '-', '+']) || text.ends_with('.');
    share
        .filter(|_| said && plain)
        .map(|share| Results::Share(share, said_of(words(&spaced))))
}

/// "I hit 20, 8 were good", "made 20 balls, 13 good": all the balls, then those that came off; "8 good
/// 12 bad": those that came off and those that did not.
fn good_of_all(text: &str) -> Option<Results> {
    let all: Vec<&str> = words(text).collect();
    let known = |w: &&str| number(w).is_some() || silent(w) || tells(w) || FELL_SHORT.contains(w);
    if !all.iter().all(known) || text.contains(['.', '-', '+', '%']) && !text.ends_with('.') {
        return None;
    }
    let numbers: Vec<(usize, u32)> = all
        .iter()
        .enumerate()
        .filter_map(|(at, w)| Some((at, number(w)?)))
        .collect();
    let [(first, a), (second, b)] = numbers.as_slice() else {
        return None;
    };
    let near = |at: usize, list: &[&str]| {
        let after = all
            .iter()
            .skip(at + 1)
            .take(3)
            .take_while(|w| number(w).is_none());
        after.into_iter().any(|w| list.contains(w))
    };
    let before = |at: usize| {
        at.checked_sub(1)
            .and_then(|i| all.get(i))
            .is_some_and(|w| ALL_BALLS.contains(w))
    };
    let of_all = |at: usize| before(at) || near(at, &["ball", "balls", "shots", "swings"]);
    let (hits, balls) = if near(*second, &CAME_OFF) && of_all(*first) && !near(*first, &CAME_OFF) {
        (*b, *a)
    } else if near(*first, &CAME_OFF) && of_all(*second) {
        (*a, *b)
    } else if near(*first, &CAME_OFF) && near(*second, &FELL_SHORT) {
        (*a, a.saturating_add(*b))
    } else if near(*first, &FELL_SHORT) && near(*second, &CAME_OFF) {
        (*b, a.saturating_add(*b))
    } else {
        return None;
    };
    // "8 were good" is not said of the start.
    let tags = all
        .iter()
        .copied()
        .filter(|w| !["was", "were", "from"].contains(w));
    let set = said_of(tags);
    let dated = all.iter().any(|w| DAYS.contains(w));
    match Tally::new(hits, balls) {
        Ok(what) => Some(Results::Counts(vec![Told { set, dated, what }])),
        Err(_) => Some(Results::Impossible(hits, balls)),
    }
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
    let divided = all.iter().position(|w| DIVIDES.contains(w));
    let after = || all.iter().rposition(|w| AFTER_ITS_COUNT.contains(w));
    let cut = divided.or_else(|| after().map(|at| at + 1)).unwrap_or(0);
    let (trail, lead) = all.split_at(cut);
    (trail.to_vec(), lead.to_vec())
}

/// A single number of hits: "7", "seven clean ones", "tried it, 7".
fn bare(text: &str) -> Option<Results> {
    let mut hits = None;
    for word in words(text) {
        match (number(word), hits) {
            // "Actually no, it was the 8": a club as much as a count.
            (None, _) if SECOND_THOUGHTS.contains(&word) => return None,
            (Some(n), None) => hits = Some(n),
            (None, _) if silent(word) || tells(word) => {}
            (Some(_), Some(_)) | (None, _) => return None,
        }
    }
    // "3.5" and "-3" are no counts.
    let plain = !text.contains(['.', '-', '+']) || text.ends_with('.');
    hits.filter(|_| plain)
        .map(|hits| Results::Hits(hits, said_of(words(text))))
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
        if stage.is_none() && tells(word) {
            stage = said_of(std::iter::once(word)).map(Set::stage);
        } else {
            name.push(word);
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
                    let set = t.set.map_or("?".to_owned(), |s| format!("{s:?}"));
                    format!("{set} {}/{}", t.what.hits(), t.what.balls())
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
            ("8 good 12 bad", "? 8/20"),
            ("12 bad, 8 good", "? 8/20"),
            ("8 good and 12 bad with the thought", "Thought 8/20"),
            ("2 were missed, 8 clean", "? 8/10"),
            ("8 bad 12 worse", "talk"),
            ("7 of 10, was 3 of 10", "? 7/10 Start 3/10"),
            ("3 of 10 before, 7 of 10 after", "Start 3/10 Thought 7/10"),
            ("3 of 10 before 7 of 10 now", "Start 3/10 Thought 7/10"),
            ("went from 3 of 10 to 7 of 10", "Start 3/10 Thought 7/10"),
            ("baseline 4 of 20", "Start 4/20"),
            ("retest: 8 of 10", "Retest 8/10"),
            ("8 of 10 without the thought", "Without 8/10"),
            ("with the thought 12/20", "Thought 12/20"),
            ("12 of 10", "Impossible(12, 10)"),
            ("did it, hit 7 of 10", "Thought 7/10"),
            ("tried it, 9 of 10", "Thought 9/10"),
            ("it was 7 of 10 with the thought", "Thought 7/10"),
            ("started at 3 of 10 without", "Start 3/10"),
            ("it was 3 of 10 before", "Start 3/10"),
            ("3 of 10 without", "Without 3/10"),
            ("I did 7 of 10", "? 7/10"),
            (
                "tried it in the garden 12 out of 20 before and 15 out of 20 with the thought",
                "Start 12/20 Thought 15/20",
            ),
            (
                "she did 9 of 20 before, then 14 of 20 with the thought",
                "Start 9/20 Thought 14/20",
            ),
            ("she made 9 of 20, then 14 of 20", "? 9/20 Thought 14/20"),
            (
                "14 of 20 with the thought and 9 before",
                "Thought 14/20 Start 9/20",
            ),
            ("i mean 3 out of 20 with 9 after", "? 3/20 Thought 9/20"),
            ("9 good of 20, then 14 good of 20", "? 9/20 Thought 14/20"),
            ("I did 20 with 9 good, then 14 good", "? 9/20 Thought 14/20"),
            ("hit 20 balls with 9 solid", "? 9/20"),
            (
                "8 of 20 before, then 13 with the thought",
                "Start 8/20 Thought 13/20",
            ),
            (
                "8 of 20 were good, 13 of 20 now",
                "Start 8/20 Thought 13/20",
            ),
            ("I hit 20, 8 were good", "? 8/20"),
            ("I made 20 ball, 13 good", "? 13/20"),
            ("13 good from 20 balls", "? 13/20"),
            ("20 balls, 6 were fat", "talk"),
            ("she got 7 of 10 in the air", "? 7/10"),
            ("next day 15/20 without thinking", "Without 15/20"),
            (
                "did it again 18 of 20 without thinking about it",
                "Without 18/20",
            ),
            (
                "I practised twice this week, 9 out of 20 monday and 13 out of 20 friday",
                "Thought 9/20 ? 13/20",
            ),
            ("60%", "Share(60, None)"),
            (
                "about 60 per cent with the thought",
                "Share(60, Some(Thought))",
            ),
            ("60% left", "talk"),
            ("about half", "Share(50, None)"),
            ("8 out of 20 i think", "? 8/20"),
            (
                "14 of 20 with the thought and 9 of 20 before",
                "Thought 14/20 Start 9/20",
            ),
            (
                "3 of 10 then with the thought 7 of 10",
                "? 3/10 Thought 7/10",
            ),
            ("7", "Hits(7, None)"),
            ("seven", "Hits(7, None)"),
            ("tried it, 7", "Hits(7, Some(Thought))"),
            ("7 of 10 with my driver", "talk"),
            ("tried it, still 3 of 10 fat", "talk"),
            ("7 of 10 were fat", "talk"),
            ("3 out of 10 go left", "talk"),
            ("7 iron", "talk"),
            ("actually no it was the 8", "talk"),
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
