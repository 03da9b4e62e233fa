//! Which lines speak of what was said and answer nothing?
//!
//! "No, it is a fade" puts right what was told; "I think that is right" agrees with it. Takes a line;
//! gives the reply, or nothing where the line may answer the question that stands. Invariant: a line
//! counts as a correction only where what it tells cannot be true beside what was told before, and
//! that alone gives way.

use super::note::Note;
use super::reply::{Block, Question, Reply};
use super::talk::Statement;
use super::turn::Depth;
use super::{Session, command};
use crate::diagnosis::Clash;
use crate::reading::{Polarity, Reading, What};

/// Whole lines that agree with what was said, or wonder at it.
const AGREES: [&str; 20] = [
    "i think that is right",
    "i think that's right",
    "i think thats right",
    "i think you are right",
    "i think you're right",
    "i think youre right",
    "you are right",
    "you're right",
    "youre right",
    "you may be right",
    "you might be right",
    "you could be right",
    "that may be right",
    "that might be right",
    "that could be right",
    "that sounds right",
    "sounds right",
    "that sounds about right",
    "sounds about right",
    "that looks right",
];

/// Words before what a correction says.
const LEADS: [&str; 16] = [
    "no", "nope", "nah", "yes", "yeah", "yep", "well", "actually", "sorry", "wait", "hang on",
    "hold on", "but", "oh", "sure", "i said",
];

/// Beginnings of what a correction says.
const SAYS: [&str; 19] = [
    "it is ",
    "it's ",
    "its ",
    "it was ",
    "that is ",
    "that's ",
    "thats ",
    "they are ",
    "they're ",
    "it starts ",
    "it curves ",
    "it goes ",
    "the ball ",
    "i said ",
    "i meant ",
    "i mean ",
    "he said ",
    "she said ",
    "it does ",
];

/// The text after the words before a correction, if there are any and it goes on as one.
fn put_right(text: &str) -> Option<&str> {
    let mut rest = text;
    loop {
        let next = LEADS.iter().find_map(|lead| {
            let after = rest.strip_prefix(lead)?;
            after
                .starts_with([' ', ',', ';', '.', '-'])
                .then(|| after.trim_start_matches([' ', ',', ';', '.', '-']))
        });
        match next {
            Some(after) => rest = after,
            None => break,
        }
    }
    let led = rest.len() < text.len();
    (led && SAYS.iter().any(|way| rest.starts_with(way))).then_some(rest)
}

/// The kind of symptom of which a shot has one.
const STRIKE: &str = "contact";

impl Session {
    /// The reply to a line that agrees with what was said, or puts right what was told.
    pub(super) fn reaction(&mut self, line: &str) -> Option<Reply> {
        let check = matches!(self.talk.pending, Some(Question::Check(_)));
        if !check && self.talk.pending.is_some() || self.last.is_none() {
            return None;
        }
        let text = command::plain(line);
        if AGREES.contains(&text.as_str()) {
            let question = self.talk.pending.clone()?;
            return Some(Reply {
                blocks: vec![
                    Block::Note(Note::AskedIfSo(true)),
                    Block::Ask {
                        question,
                        value: None,
                    },
                ],
                leave: false,
            });
        }
        let rest = put_right(&text)?.to_owned();
        let reading = self.read(&rest);
        let seen = |w: &What| matches!(w, What::Symptom(_));
        let mut told = reading.findings.iter();
        // Numbers put numbers right where they are read.
        if reading.findings.is_empty()
            || !told.all(|f| f.polarity == Polarity::Present && seen(&f.what))
            || !self.read(line).corrections.is_empty()
        {
            return None;
        }
        let mut given_up = self.given_up(&reading, &rest);
        if given_up.is_empty() {
            given_up.extend(self.in_its_place(&text, &rest, &reading));
        }
        if given_up.is_empty() {
            return None;
        }
        self.talk.answered = None;
        self.talk.pending = None;
        let mut blocks = Vec::new();
        for place in given_up {
            if let Some(statement) = self.talk.statements.get_mut(place) {
                statement.dropped = true;
                blocks.push(Block::Note(Note::TakenBack(statement.words.clone())));
            }
        }
        blocks.extend(self.take_in(&reading, &rest));
        blocks.extend(self.turn(Depth::Told));
        Some(Reply {
            blocks,
            leave: false,
        })
    }

    /// "No, it was fat": the only strike told of the same clubs, where another takes its place.
    fn in_its_place(&self, text: &str, rest: &str, reading: &Reading) -> Option<usize> {
        let denies = ["no", "nope", "nah", "sorry", "actually"];
        let denies = denies.iter().any(|w| text.starts_with(w)) || text.ends_with(" actually");
        let was = [
            "it was ",
            "i meant ",
            "i mean ",
            "they were ",
            "it is ",
            "it's ",
            "its ",
        ];
        // "It is more often thin" says how often, and takes nothing back.
        let beside = [
            "too",
            "also",
            "more",
            "mostly",
            "sometimes",
            "often",
            "usually",
            "both",
            "well",
            "now",
            "then",
            "mainly",
        ];
        let beside = rest.split([' ', ',']).any(|w| beside.contains(&w));
        if !denies || !was.iter().any(|w| rest.starts_with(w)) || beside {
            return None;
        }
        let base = self.mind.base();
        let strike =
            |what: &What| matches!(what, What::Symptom(s) if base.symptom(*s).kind == STRIKE);
        let [new] = reading.findings.as_slice() else {
            return None;
        };
        let told = |s: &Statement| !s.dropped && s.finding.polarity == Polarity::Present;
        let mut old = (self.talk.statements.iter().enumerate())
            .filter(|(_, s)| told(s) && strike(&s.finding.what));
        let (place, only) = old.next().filter(|_| old.next().is_none())?;
        let other = strike(&new.what) && new.what != only.finding.what;
        other.then_some(place)
    }

    /// The statements that cannot be true beside what a line tells.
    fn given_up(&self, reading: &Reading, rest: &str) -> Vec<usize> {
        let mut trial = self.clone();
        let before = trial.talk.statements.len();
        trial.talk.pending = None;
        trial.take_in(reading, rest);
        trial.judge();
        let Some((diagnosis, places)) = &trial.last else {
            return Vec::new();
        };
        let mut out = Vec::new();
        for clash in &diagnosis.clashes {
            let findings = match clash {
                Clash::Slots { findings, .. } => findings.clone(),
                Clash::Said { findings: (a, b) } => vec![*a, *b],
                Clash::Numbers { .. } => continue,
            };
            let statements = findings.iter().filter_map(|f| places.get(*f).copied());
            let (old, new): (Vec<usize>, Vec<usize>) = statements.partition(|p| *p < before);
            if !new.is_empty() {
                out.extend(old);
            }
        }
        out.sort_unstable();
        out.dedup();
        out
    }
}
