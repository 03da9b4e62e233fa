//! What a coach asks of the reasoning itself: "what would you check first", "what is most likely and
//! why", "what would make you change your mind".
//!
//! Takes a line; gives what the program has already: the question that stands or the next one, the
//! account of the cause that leads, what would turn the order round. Notes nothing as told. What the
//! blocks say is decided elsewhere.

use std::sync::Arc;

use super::names::words;
use super::note::Note;
use super::questions;
use super::reply::{Block, Question, Reply};
use super::{Session, command, turn};
use crate::explanation::flip;

/// Beginnings of a question for the next look or the next question to put.
const NEXT: [&str; 29] = [
    "what should i measure",
    "what would you measure",
    "what do i measure",
    "what would you check",
    "what would you look at",
    "what would you look for",
    "what would you ask",
    "what would you want to know",
    "what would you want to see",
    "what should i check",
    "what should i look at",
    "what should i look for",
    "what should i ask",
    "what do i check",
    "what do i look at",
    "what do i look for",
    "what do i ask",
    "what can i ask",
    "what could i ask",
    "what else should i ask",
    "what else should i check",
    "what should we check",
    "what should we ask",
    "what to ask",
    "what to check",
    "which question should i ask",
    "which check comes first",
    "where would you start",
    "where should i start",
];

/// Words that such a question may end with.
const ENDS: [&str; 18] = [
    "first", "next", "now", "him", "her", "them", "here", "then", "in", "this", "case", "for",
    "with", "golfer", "pupil", "player", "about", "it",
];

/// Words of a question for what is likeliest.
const LIKELY: [&str; 27] = [
    "what",
    "whats",
    "what's",
    "which",
    "is",
    "are",
    "the",
    "most",
    "likely",
    "likeliest",
    "cause",
    "causes",
    "one",
    "reason",
    "and",
    "why",
    "here",
    "now",
    "for",
    "him",
    "her",
    "this",
    "then",
    "fault",
    "of",
    "these",
    "them",
];

/// Words of a question for what would turn the order round.
const FLIPS: [&str; 13] = [
    "change your mind",
    "change your view",
    "change your answer",
    "change your opinion",
    "change your diagnosis",
    "change the answer",
    "change the order",
    "change the ranking",
    "change that answer",
    "prove you wrong",
    "prove that wrong",
    "convince you otherwise",
    "make you doubt",
];

/// True if the text asks for the next look.
fn asks_next(text: &str) -> bool {
    let Some(rest) = NEXT.iter().find_map(|way| text.strip_prefix(way)) else {
        return false;
    };
    let mut rest = words(rest).into_iter();
    rest.all(|w| ENDS.contains(&w.as_str()))
}

/// True if the text asks what is likeliest.
fn asks_likeliest(text: &str) -> bool {
    let likely = text.contains("most likely") || text.contains("likeliest");
    let opens = text.starts_with("what") || text.starts_with("which");
    likely && opens && words(text).iter().all(|w| LIKELY.contains(&w.as_str()))
}

/// True if the text asks what would turn the order round.
fn asks_what_turns(text: &str) -> bool {
    let opens = ["what ", "what'd ", "which ", "how ", "is there "];
    opens.iter().any(|o| text.starts_with(o)) && FLIPS.iter().any(|way| text.contains(way))
}

impl Session {
    /// The reply to a question about the reasoning itself.
    pub(super) fn coach_asks(&mut self, line: &str) -> Option<Reply> {
        let plain = command::plain(line);
        let text = questions::bare(&plain).to_owned();
        let (next, likely) = (asks_next(&text), asks_likeliest(&text));
        let turns = asks_what_turns(&text);
        if !(next || likely || turns) {
            return None;
        }
        if self.last.is_none() {
            return Some(Reply::note(Note::NothingKnown));
        }
        if likely {
            let blocks = self.why_leader().blocks;
            return Some(self.and_the_question(blocks));
        }
        let before = if turns { self.what_turns() } else { Vec::new() };
        let mut reply = if matches!(self.talk.pending, Some(Question::Check(_))) {
            self.about_question()
        } else if self.talk.pending.is_some() {
            self.and_the_question(Vec::new())
        } else {
            self.ask_more()
        };
        reply.blocks.splice(0..0, before);
        Some(reply)
    }

    /// The blocks, and the question that stands.
    pub(super) fn and_the_question(&self, mut blocks: Vec<Block>) -> Reply {
        blocks.extend(self.talk.pending.clone().map(|question| Block::Ask {
            question,
            value: None,
        }));
        Reply {
            blocks,
            leave: false,
        }
    }

    /// What told otherwise would put another cause first.
    fn what_turns(&mut self) -> Vec<Block> {
        let Some((diagnosis, places)) = self.last.clone() else {
            return Vec::new();
        };
        let Some(flip) = flip(&mut self.mind, &diagnosis) else {
            return Vec::new();
        };
        if self.leader() != Some(flip.from) || flip.leader == flip.from {
            return Vec::new();
        }
        let base = Arc::clone(self.mind.base());
        let all = turn::words(&base, &self.talk, &places, &diagnosis);
        vec![Block::WouldFlip {
            words: all.get(flip.finding).cloned().unwrap_or_default(),
            kind: flip.kind,
            leader: flip.leader,
        }]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_to_look_at_is_asked_and_what_to_practise_is_not() {
        for text in [
            "what would you check first",
            "what should i ask him",
            "what would you look at next",
            "where would you start",
        ] {
            assert!(asks_next(text), "{text}");
        }
        for text in ["what should i check my grip with", "what should i work on"] {
            assert!(!asks_next(text), "{text}");
        }
        assert!(asks_likeliest("what is most likely and why"));
        assert!(!asks_likeliest("what is the most likely cause of a slice"));
    }
}
