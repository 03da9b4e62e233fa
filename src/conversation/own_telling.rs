//! Does a line that begins with yes or no answer the question, or tell something of its own?
//!
//! "Yes, I tee it up high" to a question about the feet tells something: it is taken in, and the
//! question put again. "Yes, I fall forward" answers. Compares the telling words of the line with those
//! of the question, and what is read from it with what the question is about. Judges nothing.

use std::sync::Arc;

use super::names::{stem, words};
use super::reply::{Block, Question, Reply};
use super::{Session, command};
use crate::knowledge::KnowledgeBase;
use crate::reading::quick::{Answer, Reply as Answered};
use crate::reading::{Context, Polarity, Reading, What, read};
use crate::vocabulary::{CauseId, CheckId};

/// Words after "yes" or "no" that go on about the question.
const GOES_ON: [&str; 44] = [
    "and",
    "but",
    "also",
    "plus",
    "because",
    "cos",
    "coz",
    "when",
    "if",
    "with",
    "mostly",
    "usually",
    "sometimes",
    "always",
    "often",
    "only",
    "especially",
    "think",
    "most",
    "more",
    "so",
    "as",
    "too",
    "every",
    "very",
    "definitely",
    "absolutely",
    "a",
    "bit",
    "lot",
    "for",
    "on",
    "in",
    "at",
    "all",
    "not",
    "never",
    "sort",
    "kind",
    "that",
    "thats",
    "they",
    "he",
    "she",
];

/// What is seen on film or measured: a "no" before it is said to what was shown last.
const OBSERVED: [&str; 10] = [
    "camera",
    "video",
    "film",
    "footage",
    "pelvis",
    "radar",
    "monitor",
    "measured",
    "photo",
    "screenshot",
];

/// Words that tie no two sentences together: nearly every line has some of them.
const COMMON: [&str; 62] = [
    "a", "an", "the", "i", "my", "me", "you", "your", "it", "is", "are", "was", "be", "do", "does",
    "did", "of", "to", "at", "in", "on", "with", "and", "or", "than", "that", "this", "ball",
    "balls", "club", "shot", "shots", "swing", "hit", "hits", "hitting", "golf", "when", "if",
    "more", "less", "most", "mostly", "even", "far", "for", "from", "after", "before", "up", "as",
    "no", "not", "yes", "so", "too", "have", "has", "get", "much", "iron", "irons",
];

/// The same thing by two words: what a question calls it, and what golfers do.
const ALIKE: [(&str, &str); 16] = [
    ("back", "trail"),
    ("rear", "trail"),
    ("front", "lead"),
    ("right", "trail"),
    ("left", "lead"),
    ("divot", "mark"),
    ("divot", "turf"),
    ("head", "cap"),
    ("hip", "buckle"),
    ("belt", "buckle"),
    ("bum", "seat"),
    ("butt", "seat"),
    ("chest", "breastbone"),
    ("toward", "forward"),
    ("target", "forward"),
    ("hole", "mark"),
];

impl Session {
    /// "Yes, I tee it up high" to a question about the feet: told, and the question put again.
    pub(super) fn told_instead(
        &mut self,
        question: &Question,
        line: &str,
        answer: &Answer,
    ) -> Option<Reply> {
        let (Question::Check(check), Some(said)) = (question, answer.said) else {
            return None;
        };
        let yes = match answer.reply {
            Answered::Yes => true,
            Answered::No => false,
            _ => return None,
        };
        let rest = line.get(said.end..)?;
        if rest.starts_with(['.', ';', '!', '?']) {
            return None;
        }
        let rest = rest.trim_start_matches([',', ' ', '-', ':']);
        let base = Arc::clone(self.mind.base());
        let mut reading = self.read(rest);
        if !self.of_its_own(&base, *check, yes, rest, &reading) {
            return None;
        }
        beside_the_question(&base, *check, &mut reading, rest);
        self.talk.questions = self.talk.questions.saturating_sub(1);
        self.talk.again = Some(*check);
        let mut reply = self.no_answer(question, rest);
        let asked = |b: &Block| matches!(b, Block::Ask { question: q, .. } if q == question);
        self.talk.again = None;
        if !reply.blocks.iter().any(asked) && self.talk.held.is_none() {
            reply.blocks.retain(|b| !matches!(b, Block::Ask { .. }));
            self.talk.pending = Some(question.clone());
            reply.blocks.push(Block::Ask {
                question: question.clone(),
                value: None,
            });
        }
        Some(reply)
    }

    /// True if what follows a yes or a no speaks of something else than the question.
    fn of_its_own(
        &self,
        base: &KnowledgeBase,
        check: CheckId,
        yes: bool,
        rest: &str,
        reading: &Reading,
    ) -> bool {
        let said = words(rest);
        let Some(first) = said.first().map(String::as_str) else {
            return false;
        };
        // "No, it is early extension" insists on a cause.
        let insists = ["it is ", "its ", "it's ", "it was ", "that is ", "that's "];
        let plain = rest.to_lowercase();
        if !yes
            && insists.iter().any(|i| plain.starts_with(i))
            && reading
                .hints
                .iter()
                .any(|h| h.polarity == Polarity::Present)
        {
            return true;
        }
        if said.len() < 2 || GOES_ON.contains(&first) {
            return false;
        }
        // "No, it starts ahead", "no, I hit it thin": how it is in place of what was asked.
        let subject = ["the", "my", "mine", "our", "her", "his"].contains(&first)
            || OBSERVED.contains(&first)
            || first.starts_with(|c: char| c.is_ascii_digit());
        if !yes && !subject {
            return false;
        }
        if shares(&stems_of(&base.check(check).question), rest) {
            return false;
        }
        // "No, the camera shows", "no, pelvis moved 2 in": what was seen or measured.
        if !yes && said.iter().take(2).any(|w| OBSERVED.contains(&w.as_str())) {
            return true;
        }
        let asked = base.model.checks.get(check.index());
        let tells =
            |cause: &CauseId| asked.is_some_and(|c| c.tells.iter().any(|(told, ..)| told == cause));
        let finds = asked.and_then(|c| c.finds);
        let same_as = asked.map_or(&[][..], |c| &c.same_as);
        let on_the_question = reading.hints.iter().any(|h| h.causes.iter().any(tells))
            || reading.findings.iter().any(
                |f| matches!(f.what, What::Symptom(s) if Some(s) == finds || same_as.contains(&s)),
            );
        if on_the_question {
            return false;
        }
        let present = |p: Polarity| yes || p == Polarity::Present;
        let told = reading.findings.iter().any(|f| present(f.polarity));
        let lie = reading.scope.lie.is_some() && reading.unused.len() < said.len();
        told || !reading.hints.is_empty() || (yes && lie && self.names_a_lie(rest))
    }

    /// True if the words name a lie by themselves.
    fn names_a_lie(&self, rest: &str) -> bool {
        let read = read(&self.phrases, &Context::default(), rest);
        read.scope.lie.is_some()
    }
}

/// "I don't care why": a denial of something that the question does not ask.
pub(super) fn denies_something_else(
    base: &KnowledgeBase,
    question: &Question,
    answer: &Answer,
    line: &str,
) -> bool {
    const OF_ANYTHING: [&str; 8] = [
        "i dont",
        "i don't",
        "i do not",
        "it doesnt",
        "it doesn't",
        "it does not",
        "they dont",
        "they don't",
    ];
    let (Question::Check(check), Some(said)) = (question, answer.said) else {
        return false;
    };
    let denial = command::plain(said.of(line));
    let rest = line.get(said.end..).unwrap_or("");
    answer.reply == Answered::No
        && OF_ANYTHING.contains(&denial.as_str())
        && !rest.starts_with([',', '.', ';'])
        && words(rest).iter().any(|w| !says_nothing(w))
        && !shares(&stems_of(&base.check(*check).question), rest)
        || answer.reply == Answered::Yes
            && AFFIRMED.contains(&denial.as_str())
            && !rest.starts_with([',', '.', ';'])
            && words(rest)
                .iter()
                .any(|w| !says_nothing(w) && !MEASURED.contains(&w.as_str()))
            && !shares(&stems_of(&base.check(*check).question), rest)
}

/// Beginnings of a yes that may as well begin to tell: "it does curve".
const AFFIRMED: [&str; 5] = ["it does", "it did", "they do", "it is", "they are"];

/// Words after them that only say how much.
const MEASURED: [&str; 16] = [
    "a",
    "bit",
    "little",
    "lot",
    "sometimes",
    "often",
    "always",
    "mostly",
    "much",
    "indeed",
    "somewhat",
    "slightly",
    "yes",
    "clearly",
    "definitely",
    "when",
];

/// True for a word that may follow a denial and adds nothing.
fn says_nothing(word: &str) -> bool {
    const MORE: [&str; 8] = [
        "really", "usually", "ever", "know", "at", "all", "mate", "actually",
    ];
    COMMON.contains(&word) || GOES_ON.contains(&word) || MORE.contains(&word)
}

/// Takes from a reading what only says the question again.
pub(super) fn beside_the_question(
    base: &KnowledgeBase,
    check: CheckId,
    reading: &mut Reading,
    line: &str,
) {
    let question = stems_of(&base.check(check).question);
    reading
        .findings
        .retain(|f| f.polarity == Polarity::Present && !shares(&question, f.said.of(line)));
}

/// Takes from the words not used those that the question has as well.
pub(super) fn without_its_words(
    base: &KnowledgeBase,
    check: CheckId,
    reading: &mut Reading,
    line: &str,
) {
    let question = stems_of(&base.check(check).question);
    reading.unused.retain(|span| {
        let said = words(span.of(line));
        !said.iter().all(|w| question.contains(&stem(w)))
    });
}

/// The telling words of a text in one form.
pub(super) fn stems_of(text: &str) -> Vec<String> {
    let telling = words(text);
    let telling = telling.iter().filter(|w| !COMMON.contains(&w.as_str()));
    let mut out: Vec<String> = telling.map(|w| stem(w)).collect();
    let also: Vec<String> = ALIKE
        .iter()
        .filter(|(_, in_question)| out.iter().any(|w| *w == stem(in_question)))
        .map(|(said, _)| stem(said))
        .collect();
    out.extend(also);
    out
}

/// True if a text has a telling word of the question.
pub(super) fn shares(question: &[String], text: &str) -> bool {
    let telling = words(text);
    let mut telling = telling.iter().filter(|w| !COMMON.contains(&w.as_str()));
    telling.any(|w| question.contains(&stem(w)))
}
