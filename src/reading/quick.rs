//! What is the answer to the question just asked? A short line and what was asked in, an answer
//! out, with whatever else the line says.
//!
//! "Yes", "nope", "dunno", "2 in", "the second", "left" are answers; "yes, and I shank it too" is
//! an answer with more. A line that is no answer is [`Reply::Other`] and read like any other.
//! "Don't know" is never a no. The words for yes, no and don't know are phrases of the lexicon
//! (roles `yes`, `no`, `dont_know`), looked for at the start of the line only.

use super::{Context, Phrases, Reading, Span, What, numbers, read};
use crate::knowledge::lexicon::{Meaning, Role};
use crate::quantity::{Amount, Unit};
use crate::vocabulary::{Hand, QuantityId};

/// What was asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Asked {
    /// Something to be answered with yes or no.
    YesNo,
    /// A number of a quantity; the units that would make sense, the likeliest first.
    Number {
        /// Which quantity.
        quantity: QuantityId,
        /// Units, the likeliest first.
        units: Vec<Unit>,
    },
    /// One of several, by its words or its number from 1 on.
    OneOf(Vec<String>),
    /// Left- or right-handed.
    Hand,
}

/// The answer itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reply {
    /// Yes.
    Yes,
    /// No.
    No,
    /// Yes or no with doubt, "a bit", "sometimes": in between, 0 to 1.
    Partly(f64),
    /// Does not know or did not look.
    DontKnow,
    /// A number; without a unit the likeliest asked for was taken.
    Number {
        /// The number.
        value: Amount,
        /// The unit said or taken.
        unit: Unit,
        /// True if the unit was said.
        unit_said: bool,
    },
    /// A number that could be in any of the units asked for: ask for the unit.
    UnitMissing(f64),
    /// The option at this place, from 0 on.
    Option(usize),
    /// The playing side.
    Hand(Hand),
    /// No answer to the question.
    Other,
}

/// An answer with all else that was said.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The answer.
    pub reply: Reply,
    /// The words of the answer.
    pub said: Option<Span>,
    /// Everything the line says, the answer's own words aside.
    pub extras: Reading,
}

/// Reads a line as an answer.
pub fn read_answer(phrases: &Phrases, context: &Context, asked: &Asked, line: &str) -> Answer {
    let extras = read(phrases, context, line);
    let (mut words, _) = phrases.words(line);
    let hand = context.hand.unwrap_or(Hand::Right);
    let matches = phrases.matches(&mut words, hand);
    let cut = super::clauses::Line::new(phrases, words, matches);
    let unknown = does_not_know(line);
    let found = match asked {
        _ if unknown.is_some() => unknown.map(|said| (Reply::DontKnow, said)),
        Asked::YesNo => yes_no(&cut),
        Asked::Number { quantity, units } => number(&cut, *quantity, units, &extras)
            .or_else(|| yes_no(&cut).filter(|(reply, _)| *reply == Reply::DontKnow)),
        Asked::OneOf(options) => option(line, &cut, options).or_else(|| yes_no(&cut)),
        Asked::Hand => playing_side(&cut, &extras)
            .or_else(|| yes_no(&cut).filter(|(reply, _)| *reply == Reply::DontKnow)),
    };
    match found {
        Some((reply, said)) => Answer {
            reply,
            said: Some(said),
            extras,
        },
        None => Answer {
            reply: Reply::Other,
            said: None,
            extras,
        },
    }
}

type Found = Option<(Reply, Span)>;

/// "I don't know", "I really do not know", "honestly don't know, maybe" at the start of a line. "I don't"
/// alone is a no; with "know" it never is.
fn does_not_know(line: &str) -> Option<Span> {
    const MOST: usize = 8;
    let apart = |c: char| !(c.is_alphanumeric() || matches!(c, '\'' | '\u{2019}' | '`'));
    let mut denied = false;
    let mut last = String::new();
    let mut at = 0;
    let words = line.split_inclusive(apart).map(|w| {
        let start = at;
        at += w.len();
        (start, w.trim_end_matches(apart))
    });
    for (start, raw) in words.filter(|w| !w.1.is_empty()).take(MOST) {
        let mut word = raw.to_lowercase();
        word.retain(char::is_alphanumeric);
        match word.as_str() {
            "dont" | "didnt" => denied = true,
            "not" if last == "do" => denied = true,
            "t" if last == "don" => denied = true,
            "know" if denied => {
                let end = start + raw.len();
                let start = line.len() - line.trim_start().len();
                return Some(Span { start, end });
            }
            "i" | "we" | "do" | "don" | "really" | "just" | "honestly" | "actually" | "truly"
            | "simply" | "well" | "um" | "uh" | "er" | "erm" | "hmm" | "sorry" | "oh" | "no"
            | "to" | "be" | "honest" | "tbh" | "quite" | "even" | "myself" => {}
            _ => return None,
        }
        last = word;
    }
    None
}

/// Yes, no or don't know at the start of the line, fillers aside.
fn yes_no(line: &super::clauses::Line<'_>) -> Found {
    let mut at = 0;
    while at < line.words.len() {
        let found = line.match_at(at).copied();
        let span = found.map_or_else(|| line.span(at, at + 1), |m| line.span(m.from, m.to));
        match line.role_at(at) {
            Some(Role::Yes) => return Some((Reply::Yes, span)),
            Some(Role::DontKnow | Role::Unsure) => return Some((Reply::DontKnow, span)),
            Some(Role::No) => return Some((Reply::No, span)),
            Some(Role::NotAlways) => return Some((Reply::Partly(0.3), span)),
            Some(Role::Not) => {
                let rest = line.words.iter().skip(found.map_or(at + 1, |m| m.to));
                // "No" alone or before a comma answers; "no divot" tells something.
                let alone = rest.clone().next().is_none_or(|w| w.mark.is_some());
                let more = rest.clone().take(3).any(|w| !w.filler && w.mark.is_none());
                // "No, it starts ahead", "no nothing like that" answer and go on.
                let goes_on = rest
                    .clone()
                    .next()
                    .and_then(|w| w.symbol)
                    .is_some_and(|symbol| {
                        let name = line.phrases.vocabulary.name(symbol);
                        AFTER_NO.contains(&name)
                    });
                return (alone || !more || goes_on).then_some((Reply::No, span));
            }
            _ => {}
        }
        match line.meaning_at(at) {
            // "Mostly off mats" tells where it was.
            Some(Meaning::Often(_)) if tells_where(line) || mostly_a_club(line) => return None,
            Some(Meaning::Often(share)) => {
                return Some((Reply::Partly(*share), span));
            }
            Some(Meaning::Severity(level)) => {
                return Some((Reply::Partly(*level), span));
            }
            _ => {}
        }
        let silent = line
            .words
            .get(at)
            .is_some_and(|w| w.filler || w.mark.is_some())
            || matches!(line.role_at(at), Some(Role::Stop | Role::Hedge | Role::Me));
        if !silent {
            return None;
        }
        at = found.map_or(at + 1, |m| m.to.max(at + 1));
    }
    None
}

/// True if the line names a place that balls were hit from, and says neither yes nor no.
fn tells_where(line: &super::clauses::Line<'_>) -> bool {
    const PLACES: [&str; 12] = [
        "mat",
        "mats",
        "range",
        "course",
        "grass",
        "turf",
        "rough",
        "fairway",
        "net",
        "simulator",
        "tee",
        "bunker",
    ];
    (0..line.words.len()).any(|at| PLACES.iter().any(|place| line.is_word(at, place)))
}

/// "Mostly driver": which club it was, and neither yes nor no.
fn mostly_a_club(line: &super::clauses::Line<'_>) -> bool {
    const MOSTLY: [&str; 4] = ["mostly", "mainly", "usually", "chiefly"];
    /// Longer lines say more than that.
    const MOST: usize = 4;
    let words = line.words.iter().filter(|w| w.mark.is_none()).count();
    let club = |at| matches!(line.meaning_at(at), Some(Meaning::Clubs { .. }));
    words <= MOST
        && (0..line.words.len()).any(club)
        && (0..line.words.len()).any(|at| MOSTLY.iter().any(|w| line.is_word(at, w)))
}

/// Words after which "no" before them has answered.
const AFTER_NO: [&str; 34] = [
    "i", "im", "ive", "id", "it", "its", "nothing", "none", "not", "never", "just", "only", "that",
    "thats", "they", "theyre", "he", "hes", "she", "shes", "my", "the", "all", "always", "sorry",
    "mate", "thanks", "but", "because", "cos", "so", "we", "there", "if",
];

/// A number of the quantity asked for: bound by the reading, or bare.
fn number(
    line: &super::clauses::Line<'_>,
    quantity: QuantityId,
    units: &[Unit],
    extras: &Reading,
) -> Found {
    let bound = extras.findings.iter().find_map(|f| match f.what {
        What::Number(n) if n.quantity == quantity => Some((n, f.said)),
        _ => None,
    });
    if let Some((n, said)) = bound {
        let reply = Reply::Number {
            value: n.value.middle(),
            unit: n.unit,
            unit_said: n.unit_said,
        };
        return Some((reply, said));
    }
    let groups = numbers::groups(line);
    let group = groups.iter().find(|g| g.counted.is_none())?;
    let words = line.phrases.quantity_words(quantity)?;
    let beside = numbers::directions_after(line, group.to).next();
    let sign = beside.and_then(|b| {
        words
            .signs
            .iter()
            .find_map(|(d, sign)| (*d == b.direction).then_some(*sign))
    });
    let value = sign.map_or(group.mean(), |s| group.mean().abs() * s);
    let to = beside.map_or(group.to, |b| b.to.max(group.to));
    let said = line.span(group.from, to);
    let (unit, unit_said) = match (group.unit, units) {
        (Some(unit), _) => (unit, true),
        (None, [unit]) => (*unit, false),
        (None, _) => return Some((Reply::UnitMissing(value), said)),
    };
    let fits = units.iter().any(|u| u.dimension() == unit.dimension());
    let value = Amount::new(value, unit).ok().filter(|_| fits)?;
    Some((
        Reply::Number {
            value,
            unit,
            unit_said,
        },
        said,
    ))
}

/// The option named by its number, or the only one that shares a word with the line.
fn option(text: &str, line: &super::clauses::Line<'_>, options: &[String]) -> Found {
    let all = line.span(0, line.words.len());
    let content: Vec<&super::phrases::Word> = line
        .words
        .iter()
        .filter(|w| !w.filler && w.mark.is_none())
        .collect();
    if let [word] = content.as_slice()
        && let Some(number) = word.number
        && number >= 1.0
        && (number as usize) <= options.len()
    {
        return Some((Reply::Option(number as usize - 1), word.span));
    }
    let said: Vec<String> = words_of(text);
    let score = |option: &String| {
        words_of(option)
            .iter()
            .filter(|w| said.contains(w) && w.len() > 2 && !TELLS_NOTHING.contains(&w.as_str()))
            .count()
    };
    let scores: Vec<usize> = options.iter().map(score).collect();
    // A choice is mostly made of the words of one option; a sentence about something else is not.
    let best = scores
        .iter()
        .copied()
        .max()
        .filter(|s| *s > 0 && content.len() <= 2 * s + 1)?;
    let mut places = (0..scores.len()).filter(|i| scores.get(*i) == Some(&best));
    let place = places.next()?;
    places
        .next()
        .is_none()
        .then_some((Reply::Option(place), all))
}

/// Words of an option that choose nothing.
const TELLS_NOTHING: [&str; 9] = [
    "the", "and", "not", "too", "for", "with", "before", "ball", "shot",
];

fn words_of(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(|w| super::spelling::stem(&w.to_lowercase()))
        .collect()
}

fn playing_side(line: &super::clauses::Line<'_>, extras: &Reading) -> Found {
    let all = line.span(0, line.words.len());
    if let Some(hand) = extras.hand {
        return Some((Reply::Hand(hand), all));
    }
    // A bare side answers; "the path is left" tells of something else.
    let content = line.words.iter().filter(|w| !w.filler && w.mark.is_none());
    let alone = extras.findings.is_empty() && extras.unclear.is_empty() && content.count() <= 3;
    let sides: Vec<bool> = line.words.iter().filter_map(|w| w.side).collect();
    match sides.as_slice() {
        _ if !alone => None,
        [right] => {
            let hand = if *right { Hand::Right } else { Hand::Left };
            Some((Reply::Hand(hand), all))
        }
        _ => None,
    }
}
