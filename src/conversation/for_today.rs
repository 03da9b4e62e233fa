//! "How do I stop it right now, I'm on the 14th": what to do in the middle of a round.
//!
//! Takes a line; gives the thought against the cause that leads and how to play safely with the shot one
//! has. Nothing is agreed or counted: a round is no place to change a swing.

use std::sync::Arc;

use super::names::spoken;
use super::note::Note;
use super::reply::{Block, Reply};
use super::{Session, turn};

/// Ways of saying that a round is going on.
const NOW: [&str; 24] = [
    "right now",
    "mid round",
    "midround",
    "middle of a round",
    "middle of my round",
    "on the course now",
    "out on the course",
    "still on the course",
    "next hole",
    "next tee",
    "rest of the round",
    "rest of my round",
    "holes left",
    "holes to go",
    "get me round",
    "get round",
    "get me through",
    "quick fix",
    "band aid",
    "bandaid",
    "sticking plaster",
    "im on the 1",
    "im on hole",
    "today on the course",
];

/// Words with which help is asked for.
const HELP: [&str; 12] = [
    "how", "what", "any", "stop", "fix", "help", "quick", "do", "can", "tip", "need", "get",
];

/// Words of such a line at most; a longer one tells (elicited).
const LONGEST: usize = 16;

fn asks(text: &str) -> bool {
    let plain = spoken(text).join(" ");
    let now = NOW.iter().any(|n| plain.contains(n));
    now && plain.split(' ').any(|w| HELP.contains(&w)) && plain.split(' ').count() <= LONGEST
}

impl Session {
    /// The reply to a golfer in the middle of a round.
    pub(super) fn for_today(&self, line: &str) -> Option<Reply> {
        if !asks(line) || self.talk.held.is_some() {
            return None;
        }
        // A line that tells of shots as well is taken as told.
        if !self.read(line).findings.is_empty() {
            return None;
        }
        let Some((diagnosis, _)) = &self.last else {
            return Some(Reply::note(Note::NothingKnown));
        };
        let base = Arc::clone(self.mind.base());
        let agreed = self.talk.prescribed;
        let practice = diagnosis.practice.as_ref();
        let chosen = agreed.or_else(|| {
            let cause = practice?.cause;
            let drill = turn::drill_for(&base, &self.talk, diagnosis.focus()?.group, cause)?;
            Some((cause, drill))
        });
        let (cause, drill) = chosen?;
        Some(Reply::of(Block::ForToday { cause, drill }))
    }
}

#[cfg(test)]
mod tests {
    use super::asks;

    #[test]
    fn a_round_that_goes_on_is_heard() {
        for text in [
            "how do i stop it right now, im on the 14th",
            "any quick fix",
            "what can i do to get round",
            "help, 5 holes left",
        ] {
            assert!(asks(text), "{text}");
        }
        for text in [
            "how do i stop it",
            "right now i hit it fat",
            "on the 14th i topped it",
        ] {
            assert!(!asks(text), "{text}");
        }
    }
}
