//! What do the golfer's words sound like, beyond what was read from them?
//!
//! Takes a reading and the line; keeps the words that no fact was made of, compares all that was
//! told so far with the tellings of every cause, and notes the causes it sounds like. Invariant: a
//! word that was read as a fact is not listened to again, nor is what is wished or somebody else's;
//! a cause that the golfer denies is not heard. Judges nothing.

use std::borrow::Cow;
use std::collections::BTreeSet;

use super::plain_answers::DENIALS;
use super::reply::Block;
use super::{Session, questions};
use crate::causes::HINT;
use crate::knowledge::lexicon::Meaning;
use crate::knowledge::{CautionLevel, KnowledgeBase};
use crate::reading::{Likeness, Reading, Sound, Span, Why};
use crate::vocabulary::{CauseId, CheckId, Hand};

/// How far the words are trusted: they are no independent witnesses of each other (elicited; tried
/// on written cases).
const TRUST: f64 = 0.5;
/// The likest causes that are noted.
const NOTED: usize = 4;
/// One word is hardly a telling: where fewer than this many speak for a cause, their ratio must be
/// as high as this (elicited).
const FEWEST: (usize, f64) = (2, 6.0);
/// A cause is named beside the loudest if it weighs at least this share of it.
const NEARLY: f64 = 0.7;
/// How many of them are named at once.
const NAMED: usize = 2;
/// The log likelihood ratio from which words sound like a cause (elicited; tried on written cases).
/// Under it they count for nothing.
const HEARD: f64 = 2.5;
/// The same where nothing else was told: talk of other things stays under it (elicited; tried on
/// small talk).
const HEARD_ALONE: f64 = 4.5;
/// The most that words weigh, as a multiple of an ordinary check (elicited).
const MOST: f64 = 4.0;
/// Words of a line that may be half an answer to the question it is said to (elicited; tried on written
/// cases).
const ANSWERED: usize = 14;
/// The likest words shown.
const SHOWN: usize = 3;

/// What stands in the knowledge about a cause weighs this much of a telling, shared out among the
/// causes that it speaks of (elicited; tried on written cases).
const WRITTEN: f64 = 0.7;
const PHRASED: f64 = 0.5;

/// Words of practice, of place and of order, which tell of no cause either.
const PASSING: [&str; 43] = [
    "good",
    "hander",
    "handed",
    "done",
    "drill",
    "drills",
    "they",
    "them",
    "theyre",
    "already",
    "made",
    "hole",
    "holes",
    "first",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
    "ninth",
    "tenth",
    "today",
    "yesterday",
    "saturday",
    "sunday",
    "hockey",
    "cricket",
    "tennis",
    "football",
    "wife",
    "stood",
    "lies",
    "maybe",
    "haha",
    "lol",
    "seriously",
    "please",
    "idea",
    "play",
    "lesson",
    "pupil",
];

const ARTICLES: [&str; 4] = ["a", "an", "the", "my"];

/// Words for people and for saying things: no cause sounds like them.
const PEOPLE: [&str; 34] = [
    "buddy", "mate", "mates", "friend", "friends", "brother", "sister", "dad", "father", "mum",
    "mother", "wife", "husband", "partner", "uncle", "son", "daughter", "lady", "ladies", "men",
    "mens", "senior", "seniors", "junior", "player", "players", "female", "male", "says", "said",
    "reckons", "thinks", "hes", "shes",
];

/// A cause that the words sound like.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Heard {
    pub(super) cause: CauseId,
    /// As a multiple of an ordinary check.
    pub(super) weight: f64,
    /// The words that speak for it, in the order said.
    pub(super) words: Vec<String>,
}

/// Everything in the knowledge that a golfer who tells of a cause may sound like: tellings, what is
/// written about the cause and its check, and the phrasings that hint at it.
pub(super) fn likeness(base: &KnowledgeBase) -> Likeness {
    let mut texts: Vec<(Cow<'_, str>, Vec<Option<CauseId>>, f64)> = Vec::new();
    for telling in &base.tellings {
        let told = telling.told.lines();
        texts.extend(told.map(|text| (text.into(), vec![telling.cause], 1.0)));
    }
    for index in 0..base.causes.len() {
        let id = CauseId::from_index(index);
        let cause = base.cause(id);
        texts.push(((&cause.name).into(), vec![Some(id)], WRITTEN));
        texts.push(((&cause.is).into(), vec![Some(id)], WRITTEN));
    }
    for (index, check) in base.model.checks.iter().enumerate() {
        let entry = base.check(CheckId::from_index(index));
        let share = 1.0 / check.tells.len().max(1) as f64;
        let told: Vec<_> = check.tells.iter().map(|(cause, ..)| Some(*cause)).collect();
        texts.push(((&entry.question).into(), told.clone(), share));
        texts.push(((&entry.how).into(), told, share));
    }
    let mut plain: Vec<String> = Vec::new();
    for entry in &base.lexicon.entries {
        match &entry.meaning {
            Meaning::Hint(causes) => {
                let near = entry.near.iter().flatten();
                let words: Vec<&str> = entry.says.iter().chain(near).map(String::as_str).collect();
                let text = words.join(". ");
                let weight = PHRASED / (causes.len() as f64).sqrt();
                let told = causes.iter().copied().map(Some).collect();
                texts.push((text.into(), told, weight));
            }
            Meaning::Word(_)
            | Meaning::Often(_)
            | Meaning::Severity(_)
            | Meaning::Clubs { .. }
            | Meaning::Numbered { .. } => plain.extend(entry.phrases()),
            _ => {}
        }
    }
    let plain = plain.iter().map(String::as_str);
    Likeness::of(texts, plain.chain(PEOPLE).chain(PASSING))
}

impl Session {
    /// Listens to a line; says what all of it sounds like if that is new. Words that were heard are
    /// taken from those not used.
    pub(super) fn listen(
        &mut self,
        reading: &Reading,
        line: &str,
        unused: &mut Vec<String>,
    ) -> Option<Block> {
        let running = self.last.is_some();
        let text = listened_to(reading, line, (self.talk.of_a_pupil, running));
        // Half a sentence said to a question is no telling of a cause, least of all of the one asked about.
        let short = line.split_whitespace().count() <= ANSWERED;
        let text = if short && self.put.is_some() && !self.tells_by_itself(&text, line) {
            String::new()
        } else {
            text
        };
        self.talk.telling.push(text);
        let text = self.talk.telling.join(". ");
        let sounds = self.sounds(&text);
        let words = sounds.iter().flat_map(|s| &s.words);
        let used: BTreeSet<String> = words
            .flat_map(|span| span.of(&text).split_whitespace())
            .map(str::to_lowercase)
            .collect();
        unused.retain(|words| {
            let mut words = words.split_whitespace();
            !words.all(|w| used.contains(&w.to_lowercase()))
        });
        let heard: Vec<Heard> = sounds.iter().map(|s| heard(s, &text)).collect();
        // What a hint of the line says, and what is far less like, is not named again.
        let hinted = |cause: CauseId| reading.hints.iter().any(|h| h.causes.contains(&cause));
        let loudest = heard.first().map_or(0.0, |h| h.weight);
        let named: Vec<&Heard> = heard
            .iter()
            .filter(|h| h.weight >= NEARLY * loudest && !hinted(h.cause))
            .take(NAMED)
            .collect();
        let new = |h: &&Heard| self.talk.sounds.iter().all(|b| b.cause != h.cause);
        let block = named.iter().any(new).then(|| {
            let named = named.iter().map(|h| (h.cause, h.words.clone()));
            Block::SoundsLike(named.collect())
        });
        self.talk.sounds = heard;
        block
    }

    /// Words that sound like a cause whose caution comes before anything are asked about, once in a
    /// talk; nothing is practised until that is answered.
    pub(super) fn ask_what_is_heard(&mut self) {
        let base = self.base();
        let cautions = self
            .talk
            .sounds
            .iter()
            .filter_map(|s| base.cause(s.cause).caution);
        let due = cautions
            .filter(|c| base.caution(*c).level == CautionLevel::First)
            .find(|c| !self.talk.cautioned.contains(c));
        if let Some(caution) = due.filter(|_| self.talk.held.is_none()) {
            self.talk.cautioned.push(caution);
            self.talk.held = Some(caution);
        }
    }

    /// True if a line said to a question sounds like a cause, and not like one that the question asks about:
    /// "when I lift the right foot I stay" has the foot from the question.
    fn tells_by_itself(&self, text: &str, line: &str) -> bool {
        let hand = self.talk.hand.unwrap_or(Hand::Right);
        let sounds = self.likeness.compare(text, hand);
        let Some(first) = sounds.first() else {
            return false;
        };
        let asked = self.put.is_some_and(|check| {
            let check = self.base().model.checks.get(check.index());
            check.is_some_and(|c| c.tells.iter().any(|(cause, ..)| *cause == first.cause))
        });
        // "I stay, not falling": a word of what is denied is no telling.
        let denies = super::names::words(line)
            .iter()
            .any(|w| DENIALS.contains(&w.as_str()));
        !asked && (first.words.len() >= FEWEST.0 || !denies)
    }

    /// The causes that a text sounds like, as far as they may count.
    fn sounds(&self, text: &str) -> Vec<Sound> {
        let from = if self.talk.tells_nothing() {
            HEARD_ALONE
        } else {
            HEARD
        };
        let denied =
            |cause: CauseId| (self.talk.hints.iter()).any(|(c, w, _)| *c == cause && *w < 0.0);
        // A lie that was told is known; the words for it say no more.
        let lie_told =
            (self.talk.statements.iter()).any(|s| !s.dropped && s.finding.pattern.lie.is_some());
        let stated = |cause: CauseId| lie_told && self.base().cause(cause).condition;
        let hand = self.talk.hand.unwrap_or(Hand::Right);
        // "Four knuckles" shows a strong hold; the same words tell of no other.
        let shown_of_another = |sound: &Sound| {
            let seen = |cause: &CauseId| self.talk.looked_at.contains(cause);
            let hints = || {
                self.talk
                    .hints
                    .iter()
                    .filter(move |(cause, ..)| seen(cause))
            };
            // "A dent" of "dent in my glove": articles are not what tells.
            let inside = |span: &Span| {
                let words = span.of(text).to_lowercase();
                let words = || words.split_whitespace().filter(|w| !ARTICLES.contains(w));
                hints().any(|(_, _, said)| {
                    let said = said.to_lowercase();
                    words().all(|w| said.split_whitespace().any(|s| s == w))
                })
            };
            let mut told = sound.words.iter().take(SHOWN);
            hints().all(|(cause, ..)| *cause != sound.cause) && told.all(inside)
        };
        let sounds = self.likeness.compare(text, hand).into_iter();
        sounds
            .take_while(|s| s.ratio >= from)
            .filter(|s| s.words.len() >= FEWEST.0 || s.ratio >= FEWEST.1)
            .filter(|s| !denied(s.cause) && !stated(s.cause) && !shown_of_another(s))
            .take(NOTED)
            .collect()
    }
}

fn heard(sound: &Sound, text: &str) -> Heard {
    let mut shown: Vec<Span> = sound.words.iter().take(SHOWN).copied().collect();
    shown.sort_unstable();
    Heard {
        cause: sound.cause,
        weight: (TRUST * sound.ratio / HINT).min(MOST),
        words: shown.iter().map(|s| s.of(text).to_owned()).collect(),
    }
}

/// The line without the words that were read as facts, and without what is not so.
fn listened_to(reading: &Reading, line: &str, (of_a_pupil, running): (bool, bool)) -> String {
    let asks =
        !reading.topics.is_empty() && reading.findings.is_empty() && reading.hints.is_empty();
    // "Why does my glove wear at the heel?" tells; any other question only asks.
    let tells = line.trim_start().to_lowercase().starts_with("why ");
    if asks || !tells && questions::is_question(line) && reading.findings.is_empty() {
        return String::new();
    }
    let asides = reading.history.iter().filter(|aside| match aside.why {
        Why::Other | Why::Quoted => !of_a_pupil,
        Why::Wished => true,
        Why::Past | Why::Stopped | Why::Feared | Why::If => false,
    });
    let mut apart: Vec<Span> = asides.map(|aside| aside.finding.clause).collect();
    apart.sort_unstable();
    // "tee too close?" is an idea and no telling, where something else was told.
    let wonders = |span: &Span| {
        let after = line.get(span.end..).unwrap_or("");
        // In a talk that runs a whole sentence that asks tells nothing.
        let marks = if running { ".;!?" } else { ",.;!?" };
        let mark = after.find(|c: char| marks.contains(c));
        (running && !tells || !reading.findings.is_empty())
            && mark
                .and_then(|at| after.get(at..))
                .is_some_and(|rest| rest.starts_with('?'))
    };
    let free = reading
        .free
        .iter()
        .filter(|span| !wonders(span))
        .filter(|span| {
            let before = apart.partition_point(|clause| clause.start <= span.start);
            let clause = before.checked_sub(1).and_then(|i| apart.get(i));
            clause.is_none_or(|clause| clause.end < span.end)
        });
    let runs: Vec<&str> = free.map(|span| span.of(line)).collect();
    runs.join(". ")
}
