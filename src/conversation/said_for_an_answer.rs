//! Which words stand for an answer that is not a plain yes or no? "I guess so", "not in pain any more", "the
//! second lot", "club speed, I think".
//!
//! Takes the question and the line; gives the answer that the words are, or none. Judges nothing and notes
//! nothing.

use super::answering::SELDOM;
use super::own_telling;
use super::plain_no::{No, no_of};
use super::reply::Question;
use super::results::{self, Set};
use crate::knowledge::KnowledgeBase;
use crate::reading::quick::{Answer, Reply as Answered};
use crate::reading::{Finding, Polarity, Reading};
use crate::vocabulary::{CauseId, CautionId};

/// Answers that lean one way: "I think so", "sort of", "I doubt it".
pub(super) fn half_said(question: &Question, line: &str) -> Option<Answered> {
    if !matches!(question, Question::Check(_) | Question::Sure { .. }) {
        return None;
    }
    let text = line.trim().trim_end_matches(['.', '!']).to_lowercase();
    let text = text.trim_start_matches("well ").trim_start_matches("yeah ");
    match text.replace('\'', "").as_str() {
        "i guess" | "i guess so" | "guess so" | "i suppose" | "i suppose so" | "suppose so"
        | "i think so" | "think so" | "i reckon" | "i reckon so" | "probably" | "most likely"
        | "more or less" => Some(Answered::Partly(0.7)),
        "sort of" | "kind of" | "kinda" | "ish" | "in a way" | "a bit of both" | "so so"
        | "both" | "depends" | "it depends" => Some(Answered::Partly(0.4)),
        "probably not" | "i doubt it" | "doubt it" | "i dont think so" | "dont think so"
        | "not that i can see" | "i wouldnt say so" => Some(Answered::No),
        _ => None,
    }
}

/// What an answer about danger is worth: only a plain "no" clears a sign of it, and "yes it hurts at
/// night" is no leave to swing.
pub(super) fn of_danger(
    base: &KnowledgeBase,
    question: &Question,
    reply: Answered,
    line: &str,
) -> Answered {
    match (question, reply) {
        (Question::Safety(_), Answered::No) => match no_of(line) {
            No::Plain => Answered::No,
            No::Qualified => Answered::Partly(SELDOM),
            No::Elsewhere => Answered::Other,
        },
        (Question::Leave(caution), Answered::Yes) if says_it_hurts(base, *caution, line) => {
            Answered::No
        }
        _ => reply,
    }
}

/// Whether a line names what hurts, in the words of the caution or in those that mean pain anywhere.
pub(super) fn says_it_hurts(base: &KnowledgeBase, caution: CautionId, line: &str) -> bool {
    const ANYWHERE: [&str; 7] = ["hurt", "pain", "sore", "ache", "aching", "swollen", "numb"];
    let said = line.to_lowercase();
    let hurts = &base.caution(caution).hurts;
    let named = hurts.iter().any(|hurt| said.contains(hurt.as_str()));
    let free = [
        "no pain",
        "without pain",
        "not hurt",
        "doesn't hurt",
        "doesnt hurt",
        "pain free",
    ];
    let free = free.iter().any(|w| said.contains(w));
    !free && (named || ANYWHERE.iter().any(|w| said.contains(w)))
}

/// "It's not pain" answers whether any of the signs of danger is there.
pub(super) fn denies_hurt(
    base: &KnowledgeBase,
    question: &Question,
    extras: &Reading,
    line: &str,
) -> Option<Answered> {
    let Question::Safety(caution) = question else {
        return None;
    };
    let hurts = &base.caution(*caution).hurts;
    let of_hurt = |f: &Finding| {
        let said = f.said.of(line).to_lowercase();
        hurts.iter().any(|hurt| said.contains(hurt.as_str()))
    };
    let denied = |f: &&Finding| f.polarity == Polarity::Absent && of_hurt(f);
    let stands = |f: &Finding| f.polarity != Polarity::Absent && of_hurt(f);
    let findings = &extras.findings;
    (findings.iter().any(|f| denied(&f)) && !findings.iter().any(stands)).then_some(Answered::No)
}

/// What an answer says again of what was asked: it counts as the answer, and no second time.
pub(super) fn without_the_question(
    base: &KnowledgeBase,
    question: &Question,
    answer: &mut Answer,
    line: &str,
) {
    let Question::Check(check) = question else {
        return;
    };
    if answer.reply == Answered::Other {
        return;
    }
    let tells = base.model.checks.get(check.index());
    let asked =
        |cause: &CauseId| tells.is_some_and(|c| c.tells.iter().any(|(told, ..)| told == cause));
    for hint in &mut answer.extras.hints {
        hint.causes.retain(|cause| !asked(cause));
    }
    answer.extras.hints.retain(|hint| !hint.causes.is_empty());
    if answer.reply == Answered::DontKnow {
        answer.extras.free.clear();
    }
    own_telling::without_its_words(base, *check, &mut answer.extras, line);
}

/// Answers that only mean something to a question about practice.
pub(super) fn of_practice(question: &Question, line: &str) -> Option<Answered> {
    let text = line.trim().trim_end_matches(['.', '!']).to_lowercase();
    if let Question::WhichSet(_) = question {
        return match results::set_of(line)? {
            Set::Thought => Some(Answered::Option(0)),
            Set::Start | Set::Without => Some(Answered::Option(1)),
            Set::Retest => None,
        };
    }
    match (question, text.as_str()) {
        (
            Question::Tally { .. },
            "not yet" | "later" | "haven't" | "havent" | "i haven't" | "i have not" | "haven't yet"
            | "i haven't yet" | "not done" | "tomorrow" | "no time",
        ) => Some(Answered::No),
        (
            Question::Followed(_),
            "partly" | "in part" | "half" | "half of them" | "some of them",
        ) => Some(Answered::Partly(0.5)),
        (Question::Followed(_), "mostly" | "most of them" | "i did" | "as set up") => {
            Some(Answered::Yes)
        }
        _ => None,
    }
}

/// "Club speed I think, that's what the machine said": the answer of a first clause, where the question has
/// answers of its own and the line as a whole is none of them.
pub(super) fn first_clause<'l>(question: &Question, line: &'l str) -> Option<&'l str> {
    let several = matches!(
        question,
        Question::Number { .. }
            | Question::Unit { .. }
            | Question::Direction { .. }
            | Question::Meaning { .. }
    );
    let (first, rest) = line.split_once([',', ';', '.'])?;
    (several && !first.trim().is_empty() && !rest.trim().is_empty()).then_some(first)
}
