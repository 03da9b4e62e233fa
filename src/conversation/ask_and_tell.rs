//! "Is it my grip? I see one knuckle", "no, it's straight, now tell me what to practise", "thanks. Same with
//! my 4 iron?": lines that do two things.
//!
//! Takes a line of a talk that runs; cuts it into what asks or orders and what tells, and gives each to where
//! it belongs. Invariant: what a first sentence asks is not told by it, and nothing of the rest is lost. The
//! other order, telling and then asking, is [`super::asked_on`]. Makes no sentence.

use super::note::Note;
use super::questions::{self, Asks};
use super::reply::{Block, Question, Reply};
use super::{Session, command, openings};

/// Said in thanks or approval before something else.
const THANKS: [&str; 14] = [
    "thanks",
    "thank you",
    "many thanks",
    "cheers",
    "ta",
    "great",
    "good",
    "nice",
    "that makes sense",
    "makes sense",
    "that helps",
    "got it",
    "understood",
    "i see",
];

/// What a golfer says who has tried much and wants one thing to do.
const DESPAIRS: [&str; 14] = [
    "nothing works",
    "nothing helps",
    "nothing i try works",
    "nothing i try helps",
    "i give up",
    "im giving up",
    "i'm giving up",
    "this is hopeless",
    "its hopeless",
    "it's hopeless",
    "i am hopeless",
    "im hopeless",
    "i'm hopeless",
    "i cant do this",
];

/// Whole lines that say a question was put before.
const ASKED_BEFORE: [&str; 10] = [
    "you asked me that already",
    "you already asked me that",
    "you asked that already",
    "you already asked that",
    "you asked me that before",
    "you asked that before",
    "you asked me that",
    "i answered that already",
    "i already answered that",
    "i told you that already",
];

/// Whole lines that say that what was tried did not help.
const NO_HELP: [&str; 14] = [
    "it did not help",
    "it didn't help",
    "it didnt help",
    "that did not help",
    "that didn't help",
    "that didnt help",
    "did not help",
    "didn't help",
    "didnt help",
    "it did not work",
    "it didn't work",
    "it didnt work",
    "that didn't work",
    "that didnt work",
];

/// Orders at the end of a line for something to practise.
const TO_PRACTISE: [&str; 24] = [
    "what to practise",
    "what to practice",
    "what to do",
    "what to work on",
    "give me something to practise",
    "give me something to practice",
    "give me a drill",
    "give me one thing to practise",
    "give me one thing to practice",
    "give me one thing",
    "what should i practise",
    "what should i practice",
    "what do i practise",
    "what do i practice",
    "what should i do on the range",
    "what do i do on the range",
    "what should i work on",
    "what do i work on",
    "what should i do now",
    "what do i do now",
    "what would you have me do",
    "what shall i practise",
    "what shall i practice",
    "what can i practise",
];

/// Words of time after such an order.
const WHEN: [&str; 10] = [
    "then",
    "now",
    "tonight",
    "today",
    "tomorrow",
    "this evening",
    "on the range",
    "at the range",
    "before the round",
    "please",
];

/// Ends of a sentence that asks what it was measured against.
const THAN_WHOM: [&str; 6] = [
    "than whose",
    "than who",
    "than what",
    "than which",
    "compared to what",
    "compared to who",
];

/// True for an order for something to practise, whatever time it is for.
pub(super) fn wants_practice(text: &str) -> bool {
    let text = command::plain(text);
    let bare = questions::bare(&text);
    let mut text = questions::bare(bare.strip_prefix("just ").unwrap_or(bare));
    loop {
        if TO_PRACTISE.contains(&text) {
            return true;
        }
        let rest = WHEN.iter().find_map(|when| {
            let rest = text.strip_suffix(when)?;
            rest.ends_with(' ').then(|| rest.trim_end())
        });
        match rest {
            Some(rest) => text = rest,
            None => return false,
        }
    }
}

/// What is told and the order for something to practise after it.
fn told_and_ordered(line: &str) -> Option<&str> {
    let line = line.trim_end_matches(['.', '!', '?', ' ']);
    let mut cuts: Vec<usize> = line
        .match_indices([',', '.', ';', '!'])
        .map(|(at, _)| at)
        .collect();
    cuts.reverse();
    cuts.into_iter().find_map(|at| {
        let (head, tail) = (line.get(..at)?.trim(), line.get(at + 1..)?.trim());
        (wants_practice(tail) && !head.is_empty()).then_some(head)
    })
}

/// A first sentence that asks, and what is told after it.
fn asked_and_told(line: &str) -> Option<(&str, &str)> {
    let at = line.find('?')?;
    let (head, rest) = (line.get(..=at)?.trim(), line.get(at + 1..)?);
    let rest = rest.trim_start_matches(['?', '!', ' ']).trim();
    let text = command::plain(head);
    let whom = THAN_WHOM.iter().any(|end| text.ends_with(end));
    let alone = !head.trim_end_matches('?').contains(['.', ';', '!', '?']);
    let asks = alone && matches!(questions::asks(head), Some(Asks::Thing(_) | Asks::WhyThat));
    let tells = rest.split_whitespace().count() > 1
        && !questions::is_question(rest)
        && !rest.ends_with('?');
    ((asks || whom) && tells).then_some((head, rest))
}

/// A line that opens with thanks, without them; none where nothing is asked after them.
fn after_thanks(line: &str) -> Option<&str> {
    let line = line.trim();
    if !line.ends_with('?') {
        return None;
    }
    let lower = line.to_ascii_lowercase();
    let rest = openings::without(&lower, &THANKS, &[' ', ',', '.', '!', ';']);
    let from = lower.len() - rest.len();
    (from > 0).then(|| line.get(from..)).flatten()
}

impl Session {
    /// The reply to a line of a talk that runs which does two things, or says that nothing helps.
    pub(super) fn ask_and_tell(&mut self, line: &str) -> Option<Reply> {
        self.last.as_ref()?;
        let held = self.talk.held.is_some();
        let check = matches!(self.talk.pending, Some(Question::Check(_)) | None);
        if held || !check {
            return None;
        }
        if let Some(rest) = after_thanks(line) {
            return Some(self.respond_whole(rest));
        }
        let text = command::plain(line);
        if wants_practice(&text) {
            return Some(self.respond_whole("practise"));
        }
        if let Some(head) = told_and_ordered(line) {
            return Some(self.told_then_ordered(head));
        }
        let clauses = || {
            text.split([',', '.', ';', '!'])
                .map(str::trim)
                .filter(|c| !c.is_empty())
        };
        if clauses().all(|c| DESPAIRS.contains(&questions::bare(c))) && !text.is_empty() {
            let mut reply = self.respond_whole("practise");
            reply.blocks.insert(0, Block::Note(Note::OneThing));
            return Some(reply);
        }
        if ASKED_BEFORE.contains(&questions::bare(&text)) && self.talk.pending.is_some() {
            return Some(self.respond_whole("skip"));
        }
        if NO_HELP.contains(&questions::bare(&text)) && self.talk.prescribed.is_none() {
            return Some(self.asking_again(vec![Block::Note(Note::WhatWasTried)]));
        }
        let (head, rest) = asked_and_told(line)?;
        self.asked_then_told(head, rest)
    }

    /// "No, it's straight, now tell me what to practise": the answer, then what to practise.
    fn told_then_ordered(&mut self, head: &str) -> Reply {
        let mut blocks = match self.talk.pending.clone() {
            Some(question) => self.answer(&question, head).blocks,
            None => self.talk_line(head).blocks,
        };
        let lost = |b: &Block| {
            matches!(
                b,
                Block::Note(Note::AnswerNotUnderstood | Note::NotUnderstood)
            )
        };
        if blocks.iter().any(lost) {
            blocks = vec![Block::Unused(vec![head.to_owned()])];
        }
        // What is practised stands on what was just told; the rest would be said twice.
        blocks.retain(|b| {
            matches!(
                b,
                Block::Note(_) | Block::Unused(_) | Block::Understood(_) | Block::Caution { .. }
            )
        });
        if self.talk.held.is_some() {
            return self.asking_again(blocks);
        }
        let reply = self.respond_whole("practise");
        blocks.extend(reply.blocks);
        Reply {
            blocks,
            leave: reply.leave,
        }
    }

    /// What is asked first is answered, if there is an answer, and what is told after it is told.
    fn asked_then_told(&mut self, head: &str, rest: &str) -> Option<Reply> {
        // "Why do I slice? I aim left": the slice is told with the question.
        if let Some(Asks::Thing(whole)) = questions::asks(head) {
            let reading = self.read(&whole);
            if self.tells(&whole, &reading) {
                return None;
            }
        }
        Some(self.told_then_asked(rest, head))
    }
}

#[cfg(test)]
mod tests {
    use super::{after_thanks, asked_and_told, told_and_ordered, wants_practice};

    #[test]
    fn what_asks_and_what_tells_are_cut_apart() {
        assert_eq!(
            asked_and_told("so is it my grip then? I can see one knuckle"),
            Some(("so is it my grip then?", "I can see one knuckle"))
        );
        assert_eq!(
            asked_and_told("higher and shorter than whose? my mates hit it past me"),
            Some(("higher and shorter than whose?", "my mates hit it past me"))
        );
        for line in [
            "divots? it starts left",
            "toes? no idea",
            "is it my grip?",
            "7 iron fat. why? dunno",
        ] {
            assert_eq!(asked_and_told(line), None, "{line}");
        }
    }

    #[test]
    fn what_is_told_before_an_order_is_kept() {
        assert_eq!(
            told_and_ordered("no its straight, now tell me what to practise"),
            Some("no its straight")
        );
        assert_eq!(
            told_and_ordered("hands are ahead. so what do I do on the range tonight?"),
            Some("hands are ahead")
        );
        assert_eq!(told_and_ordered("no, it is straight"), None);
        assert!(wants_practice("what should I practise tonight?"));
        assert!(!wants_practice("what should I see"));
    }

    #[test]
    fn thanks_do_not_swallow_a_question() {
        assert_eq!(
            after_thanks("thanks, that makes sense. same with my 4 iron?"),
            Some("same with my 4 iron?")
        );
        assert_eq!(after_thanks("thanks a lot"), None);
        assert_eq!(after_thanks("is it my grip?"), None);
    }
}
