//! What is said to the question of the hand besides the hand: "it curves", "right-handed, it starts there".
//!
//! "Driver goes right" leaves two things open, the hand and what the ball did. The hand is asked first;
//! an answer to the other one is kept until the hand is known. Takes lines; gives the answer to what the
//! words mean. Invariant: nothing said to the question of the hand is lost. Judges nothing.

use std::sync::Arc;

use super::Session;
use super::answer_kinds::asked;
use super::note::Note;
use super::reply::{Block, Question, Reply};
use super::talk::{Statement, Talk};
use super::turn::Depth;
use crate::knowledge::lexicon::Meaning;
use crate::reading::quick::{Reply as Answered, read_answer};
use crate::reading::{What, read};
use crate::vocabulary::{Hand, SymptomId};

/// Words that say the hand, and those around them.
const OF_THE_HAND: [&str; 24] = [
    "right-handed",
    "left-handed",
    "right-hander",
    "left-hander",
    "righthanded",
    "lefthanded",
    "handed",
    "hander",
    "righty",
    "lefty",
    "leftie",
    "rightie",
    "rh",
    "lh",
    "i'm",
    "im",
    "i",
    "am",
    "play",
    "a",
    "yes",
    "and",
    "but",
    "golfer",
];

/// The line without the words that say the hand.
fn without_the_hand(line: &str) -> String {
    let all: Vec<String> = line
        .split(|c: char| c.is_whitespace() || ",;.!".contains(c))
        .filter(|w| !w.is_empty())
        .map(str::to_lowercase)
        .collect();
    let of_hand = |w: &str| OF_THE_HAND.contains(&w);
    let side = |w: &str| w == "right" || w == "left";
    let mut out: Vec<&str> = Vec::new();
    for (at, word) in all.iter().enumerate() {
        let next = all.get(at + 1).map_or("", String::as_str);
        let named = side(word) && (at == 0 || next.starts_with("hand"));
        if !(of_hand(word) || named) {
            out.push(word);
        }
    }
    out.join(" ")
}

/// True if a line says the hand and nothing else.
pub(super) fn says_the_hand_only(line: &str) -> bool {
    without_the_hand(line).is_empty()
}

impl Session {
    /// What a line leaves open besides the hand, if the hand is this one.
    fn open_with(&mut self, line: &str, hand: Hand) -> Option<Question> {
        let mut context = self.talk.context();
        context.hand = Some(hand);
        let reading = read(&self.phrases, &context, line);
        let asked_before = std::mem::replace(&mut self.talk.hand_asked, true);
        let open = self.questions_raised(&reading, line);
        self.talk.hand_asked = asked_before;
        open.into_iter()
            .find(|q| matches!(q, Question::Meaning { .. }))
    }

    /// The open question, if all that was told is that every ball goes to a side: nothing is judged before
    /// it is known to which, and whether it starts or bends there.
    pub(super) fn only_a_side(&self) -> Option<Question> {
        let always = |symptom: SymptomId| {
            let mut entries = self.base().lexicon.entries.iter();
            entries.any(
                |e| matches!(&e.meaning, Meaning::OneOf { always: Some(s), .. } if *s == symptom),
            )
        };
        let a_side = |s: &Statement| matches!(s.finding.what, What::Symptom(of) if always(of));
        let mut told = self
            .talk
            .statements
            .iter()
            .filter(|s| !s.dropped)
            .peekable();
        let only = told.peek().is_some() && self.talk.hints.is_empty() && told.all(a_side);
        let open = |q: &Question| matches!(q, Question::Meaning { .. } | Question::Hand);
        self.talk.pending.clone().filter(|q| only && open(q))
    }

    /// The answer that words give to what else is open.
    fn meant_by(&self, open: &Question, words: &str) -> Option<Answered> {
        let mut context = self.talk.context();
        context.hand = context.hand.or(Some(Hand::Right));
        let kind = asked(&Arc::clone(self.mind.base()), open);
        let reply = read_answer(&self.phrases, &context, &kind, words).reply;
        matches!(reply, Answered::Option(_)).then_some(reply)
    }

    /// The hand is known now: what was said of the rest answers it. True if it did.
    pub(super) fn answer_the_rest(&mut self, line: &str, blocks: &mut Vec<Block>) -> bool {
        let Some(open @ Question::Meaning { .. }) = self.talk.pending.clone() else {
            return false;
        };
        let kept = self.talk.kept_answer.take();
        let said = kept.into_iter().chain([without_the_hand(line)]);
        let answered = said.into_iter().find_map(|w| self.meant_by(&open, &w));
        answered.is_some_and(|answered| self.apply(&open, answered, blocks))
    }

    /// A line that does not say the hand: kept where it answers what else is open, and the hand is asked
    /// once more; else the rest is asked, with the hand most golfers have.
    pub(super) fn no_hand(&mut self, before: &Talk) -> Option<Reply> {
        let line = self.talk.said.last().cloned()?;
        let first = before.said.last()?.clone();
        let open = self.open_with(&first, Hand::Right)?;
        let answered = self.meant_by(&open, &line);
        let mut blocks = Vec::new();
        if answered.is_some() && before.kept_answer.is_none() {
            self.talk = before.clone();
            self.talk.kept_answer = Some(line.clone());
            self.talk.pending = Some(Question::Hand);
            blocks.push(Block::Note(Note::KeptForTheHand(line)));
        } else {
            blocks.push(Block::HandAssumed(Hand::Right));
            self.talk.said.pop();
            self.talk.pending = Some(open);
            if self.answer_the_rest(&line, &mut blocks) {
                blocks.extend(self.turn(Depth::Told));
                return Some(Reply {
                    blocks,
                    leave: false,
                });
            }
        }
        Some(self.asking_again(blocks))
    }
}

#[cfg(test)]
mod tests {
    use super::without_the_hand;

    #[test]
    fn the_hand_is_cut_out() {
        for (line, rest) in [
            ("right-handed, it curves", "it curves"),
            ("righty and it starts there", "it starts there"),
            ("left, it curves right", "it curves right"),
            ("I'm a lefty", ""),
            ("right handed. starts right", "starts right"),
        ] {
            assert_eq!(without_the_hand(line), rest, "{line}");
        }
    }
}
