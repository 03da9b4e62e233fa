//! "How will I know it worked?", "what am I aiming for?": what shows that the practice helped.
//!
//! Takes a line; gives what is counted, how many balls, the mark to reach and the measured range of
//! what is agreed, or says that nothing is agreed. Notes nothing as told. Whether it did help is judged
//! from counts, elsewhere.

use std::sync::Arc;

use super::note::Note;
use super::reply::{Block, Reply};
use super::{Session, aiming, command, names, practice, questions};

/// Beginnings of a question for what shows it.
const KNOWING: [&str; 16] = [
    "how will i know",
    "how would i know",
    "how do i know",
    "how can i know",
    "how will i tell",
    "how would i tell",
    "how do i tell",
    "how can i tell",
    "how will we know",
    "how do we know",
    "how can we tell",
    "how will he know",
    "how will she know",
    "how will they know",
    "when will i know",
    "what tells me",
];

/// Words that such a question may end with.
const OF_IT: [&str; 46] = [
    "if",
    "whether",
    "when",
    "that",
    "it",
    "its",
    "s",
    "this",
    "the",
    "a",
    "has",
    "have",
    "i",
    "ve",
    "is",
    "was",
    "am",
    "are",
    "did",
    "does",
    "do",
    "worked",
    "working",
    "works",
    "work",
    "helped",
    "helping",
    "helps",
    "help",
    "better",
    "fixed",
    "right",
    "drill",
    "practice",
    "thought",
    "change",
    "getting",
    "got",
    "improved",
    "improving",
    "any",
    "good",
    "really",
    "just",
    "luck",
    "or",
];

/// Questions for the mark to reach.
const MARK: [&str; 22] = [
    "how many should i hit",
    "how many do i hit",
    "how many should i do",
    "how many do i do",
    "what am i aiming for",
    "what am i aiming at",
    "what should i aim for",
    "what do i aim for",
    "what is my target",
    "what is my goal",
    "what is the goal",
    "what does success look like",
    "what counts as success",
    "what would success look like",
    "what is a good score",
    "what is a good count",
    "how good is good enough",
    "when am i done",
    "when is it done",
    "when can i stop",
    "when do i stop",
    "when is it fixed",
];

fn asks(text: &str) -> bool {
    let text = super::openings::whole_words(text);
    let text = text.trim_end_matches(['?', '.', '!', ' ']);
    if MARK.contains(&text) {
        return true;
    }
    let Some(rest) = KNOWING.iter().find_map(|way| text.strip_prefix(way)) else {
        return false;
    };
    names::words(rest)
        .iter()
        .all(|word| OF_IT.contains(&word.as_str()))
}

impl Session {
    /// The reply to a question for what shows that the practice helped.
    pub(super) fn how_known(&self, line: &str) -> Option<Reply> {
        let plain = command::plain(line);
        if !asks(questions::bare(&plain)) {
            return None;
        }
        let Some((cause, drill)) = self.talk.prescribed else {
            let none = if self.talk.is_empty() {
                Note::NothingKnown
            } else {
                Note::NothingAgreed
            };
            return Some(self.and_the_question(vec![Block::Note(none)]));
        };
        let base = Arc::clone(self.mind.base());
        let care = self.talk.care();
        let count = self.talk.counted;
        let task = base.task_counting(cause, Some(drill), count);
        let pattern = self.last.as_ref().and_then(|(d, _)| Some((d, d.focus()?)));
        let aim = match pattern {
            Some((diagnosis, pattern)) if !base.drill(drill).children => {
                aiming::shown_aim(&base, diagnosis, pattern, cause)
            }
            _ => Vec::new(),
        };
        let block = Block::HowKnown {
            cause,
            drill,
            count,
            aim,
            balls: practice::balls_for(task.success, care),
            care,
        };
        Some(self.and_the_question(vec![block]))
    }
}

#[cfg(test)]
mod tests {
    use super::asks;

    #[test]
    fn what_shows_that_it_helped_is_asked_and_what_shows_a_fault_is_not() {
        for text in [
            "how will i know",
            "how will i know if it worked?",
            "how do i know whether it's working or just luck",
            "how can i tell if this helps",
            "what am i aiming for?",
            "what's my target",
            "when am i done",
        ] {
            assert!(asks(text), "{text}");
        }
        for text in [
            "how do i know if my grip is too weak",
            "how will i know where low point is",
            "how do you know",
            "what should i aim for with a 7 iron",
        ] {
            assert!(!asks(text), "{text}");
        }
    }
}
