//! Which cause or change is meant by a few words: `hanging back`, `the ball position`, `ball an
//! inch back`.
//!
//! Takes words and the knowledge; gives ids, or the nearest name. Several causes may be meant; the
//! caller picks by what is known of the golfer.

use crate::knowledge::{KnowledgeBase, WhatIfChange, nearest};
use crate::quantity::Unit;
use crate::reading::{Context, Phrases, read};
use crate::vocabulary::{CauseId, EffectId};

/// Words that say nothing about which cause is meant.
const EMPTY_WORDS: &[&str] = &[
    "the", "a", "an", "my", "it", "is", "it's", "its", "i", "i'm", "im", "am", "be", "that", "he",
    "she", "they", "him", "his", "her", "too", "much", "of", "in", "on", "at", "to", "or", "and",
    "just", "really", "because", "not", "problem", "fault", "cause", "maybe", "perhaps", "golfer",
    "pupil", "with", "for", "them", "by", "up", "rather", "than",
];

pub(super) fn words(text: &str) -> Vec<String> {
    text.split(|c: char| !(c.is_alphanumeric() || c == '_'))
        .filter(|w| !w.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// The words of a line in small letters, with short forms as one word: "didn't" is "didnt".
pub(super) fn spoken(line: &str) -> Vec<String> {
    line.to_lowercase()
        .replace(['\'', '\u{2019}'], "")
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(str::to_owned)
        .collect()
}

/// The first letters that forms of a word share: "hanging", "hangs", "hang" -> "hang".
pub(super) fn stem(word: &str) -> String {
    const MORE: [(&str, &str); 12] = [
        ("closer", "close"),
        ("nearer", "close"),
        ("further", "far"),
        ("farther", "far"),
        ("stronger", "strong"),
        ("weaker", "weak"),
        ("higher", "high"),
        ("lower", "low"),
        ("wider", "wide"),
        ("narrower", "narrow"),
        ("flatter", "flat"),
        ("tighter", "tight"),
    ];
    // "Standing closer" is standing close.
    let more = MORE.iter().find(|(more, _)| *more == word);
    let word = more.map_or(word, |(_, plain)| plain);
    for ending in ["ing", "ed", "es", "s", "e"] {
        if let Some(short) = word.strip_suffix(ending)
            && short.chars().count() >= 3
        {
            let mut short = short.to_owned();
            let doubled = {
                let mut last = short.chars().rev();
                matches!((last.next(), last.next()), (Some(a), Some(b)) if a == b && !"lsz".contains(a))
            };
            if doubled {
                short.pop();
            }
            return short;
        }
    }
    word.to_owned()
}

/// The causes that the words may mean, best first; empty if none.
pub(super) fn causes_named(
    base: &KnowledgeBase,
    phrases: &Phrases,
    context: &Context,
    text: &str,
) -> Vec<CauseId> {
    let text = text.trim().trim_end_matches(['?', '.', '!']);
    let lower = text.to_lowercase();
    let id = lower.replace([' ', '-'], "_");
    for (index, cause) in base.causes.iter().enumerate() {
        let tail = cause.id.split_once('_').map_or("", |(_, tail)| tail);
        if cause.id == id || tail == id || cause.name.to_lowercase() == lower {
            return vec![CauseId::from_index(index)];
        }
    }
    // The first words of one name are that name: "standing up", not standing anyhow.
    let said = words(&lower);
    let starts = |name: &str| said.len() > 1 && words(name).starts_with(&said);
    let mut named = base.causes.iter().enumerate();
    if let Some((index, _)) = named.find(|(_, c)| starts(&c.name))
        && !named.any(|(_, c)| starts(&c.name))
    {
        return vec![CauseId::from_index(index)];
    }
    let wanted: Vec<String> = words(&lower)
        .iter()
        .filter(|w| !EMPTY_WORDS.contains(&w.as_str()))
        .map(|w| stem(w))
        .collect();
    // "The ball position": where the ball is put, not what is done at it.
    let says = |list: &[&str]| wanted.iter().any(|w| list.contains(&w.as_str()));
    // "So it is the ball then": the same.
    if says(&["ball"]) && (says(&["position", "placement", "plac"]) || wanted.len() == 1) {
        let causes = base.causes.iter().enumerate();
        return causes
            .filter(|(_, c)| c.family == "setup" && c.name.starts_with("ball "))
            .map(|(index, _)| CauseId::from_index(index))
            .collect();
    }
    let mut scored: Vec<(usize, usize, CauseId)> = Vec::new();
    for (index, cause) in base.causes.iter().enumerate() {
        let name: Vec<String> = words(&cause.name).iter().map(|w| stem(w)).collect();
        let id: Vec<String> = cause.id.split('_').skip(1).map(stem).collect();
        let hits = wanted
            .iter()
            .filter(|w| name.contains(w) || id.contains(w))
            .count();
        if hits > 0 && hits == wanted.len() {
            scored.push((name.len(), index, CauseId::from_index(index)));
        }
    }
    if !scored.is_empty() {
        scored.sort_unstable();
        return scored.into_iter().map(|(_, _, id)| id).collect();
    }
    let reading = read(phrases, context, text);
    let mut hinted: Vec<CauseId> = Vec::new();
    for cause in reading.hints.iter().flat_map(|h| h.causes.iter()) {
        if !hinted.contains(cause) {
            hinted.push(*cause);
        }
    }
    if !hinted.is_empty() {
        return hinted;
    }
    // The words that some id knows are enough, if one id knows them all and they are half of what was
    // said.
    let of_ids: Vec<Vec<String>> = base
        .causes
        .iter()
        .map(|c| c.id.split('_').skip(1).map(stem).collect())
        .collect();
    let known: Vec<&String> = wanted
        .iter()
        .filter(|w| of_ids.iter().any(|id| id.contains(w)))
        .collect();
    if !known.is_empty() && 2 * known.len() >= wanted.len() {
        return of_ids
            .iter()
            .enumerate()
            .filter(|(_, id)| known.iter().all(|w| id.contains(w)))
            .map(|(index, _)| CauseId::from_index(index))
            .collect();
    }
    part_named(base, &wanted)
}

/// The causes that speak of a part by itself: "the elbow", "the hips".
fn part_named(base: &KnowledgeBase, wanted: &[String]) -> Vec<CauseId> {
    let [part] = wanted else {
        return Vec::new();
    };
    if part.chars().count() < 3 {
        return Vec::new();
    }
    let speaks = |text: &str| words(text).iter().any(|w| stem(w) == *part);
    base.causes
        .iter()
        .enumerate()
        .filter(|(_, c)| speaks(&c.is) || speaks(&c.because))
        .map(|(index, _)| CauseId::from_index(index))
        .collect()
}

/// The effects that the words name in full: `an in-to-out path`, `an open face`.
pub(super) fn effects_named(base: &KnowledgeBase, text: &str) -> Vec<EffectId> {
    let articles = ["a", "an", "the", "my", "his", "her", "it", "is", "too"];
    let said: Vec<String> = words(text)
        .into_iter()
        .filter(|w| !articles.contains(&w.as_str()))
        .collect();
    // "In to out" and "out to in" are the same words.
    let way = |list: &[String]| {
        let mut three = list.windows(3);
        three.find_map(|w| (w.get(1).is_some_and(|m| m == "to")).then(|| w.to_vec()))
    };
    let named = |name: &str| {
        let name = words(name);
        said.len() > 1
            && said.iter().all(|w| name.contains(w))
            && way(&said).is_none_or(|w| way(&name) == Some(w))
    };
    base.effects
        .iter()
        .enumerate()
        .filter(|(_, e)| named(&e.name))
        .map(|(index, _)| EffectId::from_index(index))
        .collect()
}

/// The nearest name of a cause to words that name none.
pub(super) fn nearest_cause(base: &KnowledgeBase, text: &str) -> Option<String> {
    let lower = text.to_lowercase();
    nearest(&lower, base.causes.iter().map(|c| c.name.as_str())).or_else(|| {
        let first = words(&lower)
            .into_iter()
            .find(|w| !EMPTY_WORDS.contains(&w.as_str()))?;
        // Short words are near to many; a slip seldom changes the first letter.
        let long = first.chars().count() > 4;
        base.causes
            .iter()
            .flat_map(|c| {
                words(&c.name)
                    .into_iter()
                    .filter(|w| w.chars().next() == first.chars().next())
                    .map(|w| (strsim::osa_distance(&first, &w), c))
                    .collect::<Vec<_>>()
            })
            .filter(|(d, _)| *d <= if long { 2 } else { 0 })
            .min_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.name.cmp(&b.1.name)))
            .map(|(_, c)| c.name.clone())
    })
}

/// How far a change goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Extent {
    /// By so much, in the change's unit, from where it is.
    By(f64),
    /// To this value of the first quantity that moves, in the change's unit and the house's signs.
    To(f64),
}

/// A change that a what-if names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ChangeNamed {
    /// Its place in the table.
    pub index: usize,
    /// How far.
    pub extent: Extent,
    /// The size as it was said, if in a unit that only counts as so many of the change's.
    pub counted: Option<(f64, Unit)>,
}

/// Why a what-if names no change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NoChange {
    /// No words of any.
    Unknown,
    /// The change at this place, with a size in a unit that does not fit it.
    OtherUnit(usize),
}

/// Words that make "ahead" and "behind" a move instead of a place.
const MOVING: [&str; 24] = [
    "close", "closed", "open", "opened", "shut", "closing", "opening", "stronger", "further",
    "farther", "more", "less", "move", "moved", "moves", "moving", "shift", "shifted", "add",
    "added", "extra", "another", "by", "back",
];

/// True for a word that makes a size a move from where it is.
pub(super) fn moving(word: &str) -> bool {
    MOVING.contains(&word)
}

/// The length of the longest of these phrases whose words are all said, in order.
fn longest_said(phrases: &[String], said: &[String]) -> Option<usize> {
    phrases
        .iter()
        .map(|phrase| words(phrase))
        .filter(|wanted| {
            let mut at = 0;
            wanted.iter().all(|w| {
                let found = said.iter().skip(at).position(|s| s == w);
                at += found.map_or(0, |i| i + 1);
                found.is_some()
            })
        })
        .map(|wanted| wanted.len())
        .max()
}

/// The change that a what-if names: the one with the longest phrase whose words are all said.
pub(super) fn change_named(base: &KnowledgeBase, text: &str) -> Result<ChangeNamed, NoChange> {
    let said = words(text);
    let mut best: Option<(usize, usize)> = None;
    for (index, change) in base.changes.iter().enumerate() {
        if let Some(length) = longest_said(&change.says, &said)
            && best.is_none_or(|(longest, _)| length > longest)
        {
            best = Some((length, index));
        }
    }
    let (_, index) = best.ok_or(NoChange::Unknown)?;
    let change = base.changes.iter().nth(index).ok_or(NoChange::Unknown)?;
    let Some((size, unit)) = size_said(text, change) else {
        return if any_size(text) {
            Err(NoChange::OtherUnit(index))
        } else {
            let extent = Extent::By(change.by);
            Ok(ChangeNamed {
                index,
                extent,
                counted: None,
            })
        };
    };
    let counts = change
        .counts
        .iter()
        .find(|(u, _)| unit.dimension() == u.dimension());
    let (by, counted) = if unit.dimension() == change.unit.dimension() {
        (size * unit.scale() / change.unit.scale(), None)
    } else {
        let (one, factor) = counts.ok_or(NoChange::OtherUnit(index))?;
        (
            size * unit.scale() / one.scale() * factor,
            Some((size, unit)),
        )
    };
    let moving = said.iter().any(|w| MOVING.contains(&w.as_str()));
    let place = longest_said(&change.places, &said).is_some() && !moving;
    let extent = match change.moves.first() {
        Some((_, factor)) if place => Extent::To(by * factor),
        _ => Extent::By(by),
    };
    Ok(ChangeNamed {
        index,
        extent,
        counted,
    })
}

/// A size such as `an inch`, `2 in`, `half an inch`, `3 cm`, `two degrees`, in a unit in which the
/// change can be said.
fn size_said(text: &str, change: &WhatIfChange) -> Option<(f64, Unit)> {
    let fits = |unit: Unit| {
        let mut others = change.counts.iter();
        unit.dimension() == change.unit.dimension()
            || others.any(|(other, _)| other.dimension() == unit.dimension())
    };
    sizes(text).into_iter().find(|(_, unit)| fits(*unit))
}

/// Whether any size is said.
fn any_size(text: &str) -> bool {
    !sizes(text).is_empty()
}

/// The sizes said, in order.
fn sizes(text: &str) -> Vec<(f64, Unit)> {
    let mut out = Vec::new();
    let spaced: String = text
        .to_lowercase()
        .chars()
        .flat_map(|c| {
            if c == '"' {
                " inch ".chars().collect::<Vec<_>>()
            } else {
                vec![c]
            }
        })
        .collect();
    let tokens: Vec<&str> = spaced.split_whitespace().collect();
    let unit_word = |w: &str| -> Option<Unit> {
        match w.trim_matches(|c: char| !c.is_alphanumeric()) {
            "in" | "inch" | "inches" => Some(Unit::Inch),
            "cm" | "centimetre" | "centimetres" | "centimeters" => Some(Unit::Centimetre),
            "mm" | "millimetre" | "millimetres" | "millimeters" => Some(Unit::Millimetre),
            "deg" | "degree" | "degrees" => Some(Unit::Degree),
            "ball" | "balls" => Some(Unit::BallWidth),
            "finger" | "fingers" => Some(Unit::Finger),
            _ => None,
        }
    };
    let number = |w: &str| -> Option<f64> {
        match w {
            "a" | "an" | "one" => Some(1.0),
            "half" => Some(0.5),
            "two" | "couple" => Some(2.0),
            "three" => Some(3.0),
            "four" => Some(4.0),
            "five" => Some(5.0),
            "six" => Some(6.0),
            w => w.parse().ok().filter(|n: &f64| n.is_finite()),
        }
    };
    for (index, token) in tokens.iter().enumerate() {
        let split = token.find(|c: char| c.is_alphabetic()).filter(|at| *at > 0);
        let (value, found) = if let Some((digits, letters)) =
            split.and_then(|at| Some((token.get(..at)?, token.get(at..)?)))
        {
            (number(digits), unit_word(letters))
        } else {
            let next = tokens.get(index + 1).copied().unwrap_or("");
            let after = tokens.get(index + 2).copied().unwrap_or("");
            let of = if next == "an" || next == "a" || next == "of" {
                after
            } else {
                next
            };
            (number(token), unit_word(of))
        };
        if let (Some(value), Some(found)) = (value, found)
            && value > 0.0
            && value < 100.0
        {
            out.push((value, found));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_in_words_and_figures() {
        let one = |text: &str| sizes(text).first().copied();
        assert_eq!(one("the ball were an inch back"), Some((1.0, Unit::Inch)));
        assert_eq!(one("ball half an inch back"), Some((0.5, Unit::Inch)));
        assert_eq!(one("2in back"), Some((2.0, Unit::Inch)));
        assert_eq!(one("ball back"), None);
        assert_eq!(one("5 cm back"), Some((5.0, Unit::Centimetre)));
    }

    #[test]
    fn a_place_is_not_a_move_and_back_is_not_ahead() {
        let base = crate::knowledge::builtin().unwrap();
        let named = |text: &str| {
            change_named(&base, text).map(|n| {
                (
                    base.changes.iter().nth(n.index).unwrap().id.clone(),
                    n.extent,
                )
            })
        };
        let is = |text: &str, id: &str, extent: Extent| {
            let (found, how) = named(text).unwrap();
            let (place, off) = match (how, extent) {
                (Extent::To(a), Extent::To(b)) | (Extent::By(a), Extent::By(b)) => (true, a - b),
                _ => (false, 0.0),
            };
            assert!(found == id && place && off.abs() < 1e-9, "{text}: {how:?}");
        };
        is(
            "the low point were 2 inches further back",
            "low_point_back",
            Extent::By(2.0),
        );
        is(
            "the low point moved back 2 inches",
            "low_point_back",
            Extent::By(2.0),
        );
        is(
            "the low point were 2 inches further ahead",
            "low_point_ahead",
            Extent::By(2.0),
        );
        is(
            "the low point were 2 inches behind the ball",
            "low_point_back",
            Extent::To(-2.0),
        );
        is(
            "the low point 3 in ahead",
            "low_point_ahead",
            Extent::To(3.0),
        );
        is(
            "the low point were further ahead",
            "low_point_ahead",
            Extent::By(2.0),
        );
        is("the ball were 2 inches back", "ball_back", Extent::By(2.0));
        is(
            "the handle were 5 degrees forward",
            "handle_forward",
            Extent::By(5.0),
        );
        is(
            "the handle were 1 inch forward",
            "handle_forward",
            Extent::By(1.6),
        );
        assert!(matches!(
            named("the ball were 3 degrees back"),
            Err(NoChange::OtherUnit(_))
        ));
        assert_eq!(named("pigs could fly"), Err(NoChange::Unknown));
    }

    #[test]
    fn forms_of_a_word_are_one() {
        for word in ["hang", "hanging", "hangs"] {
            assert_eq!(stem(word), "hang");
        }
        assert_eq!(stem("flipping"), "flip");
    }
}
