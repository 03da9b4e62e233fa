//! Questions about how things are: "what is low point?", "is a big divot good?".
//!
//! Takes a line; gives the answer of the knowledge, or what a name means, or says that there is none.
//! Invariant: whoever asks what a thing is has not said that it happens: nothing of such a line
//! counts as told. A question that tells of the golfer's own shots ("why do I slice?") is none of
//! these and is read as talk. Judges nothing.

use std::sync::Arc;

use super::names::{stem, words};
use super::note::Note;
use super::openings;
use super::reply::{Block, Meant, Put, Reply};
use super::{Session, command};
use crate::reading::{Reading, Tone};
use crate::vocabulary::{AnswerId, CauseId, EffectId, QuantityId, SymptomId};

/// Before a name whose meaning is asked for; the longest first.
const MEANING: [&str; 23] = [
    "what exactly do you mean by ",
    "what do you mean by ",
    "what do you mean with ",
    "what is meant by ",
    "what is the meaning of ",
    "the meaning of ",
    "meaning of ",
    "what exactly is ",
    "what exactly are ",
    "tell me about ",
    "explain to me ",
    "what does it mean ",
    "what means ",
    "what mean ",
    "what does the ",
    "what does a ",
    "what does ",
    "what is ",
    "what are ",
    "what was ",
    "describe ",
    "explain ",
    "define ",
];

/// A question after one of these asks for no meaning: it is about what happened, or for advice.
const HAPPENED: [&str; 22] = [
    "wrong",
    "causing",
    "going",
    "happening",
    "up",
    "making",
    "next",
    "it",
    "that",
    "this",
    "my",
    "the matter",
    "the problem",
    "the issue",
    "the cause",
    "the reason",
    "the deal",
    "the best",
    "the fix",
    "the cure",
    "best",
    "your",
];

/// Beginnings of other questions about how things are, however they go on.
const ALWAYS: [&str; 31] = [
    "should i ",
    "should my ",
    "should the ",
    "should you ",
    "should a ",
    "should we ",
    "do i need ",
    "do i have to ",
    "do you need ",
    "how do i tell ",
    "how do i know ",
    "how do you tell ",
    "how do you know ",
    "how would i know ",
    "how can i tell ",
    "how can you tell ",
    "how do i find ",
    "how high should ",
    "how far should ",
    "how close should ",
    "how deep should ",
    "how long should ",
    "how much should ",
    "how often should ",
    "how wide should ",
    "where should ",
    "which side ",
    "is it true ",
    "is it ok ",
    "is it good to ",
    "is it bad to ",
];

/// Beginnings of such questions, unless somebody's own shots are spoken of.
const NOBODYS: [&str; 30] = [
    "is ",
    "are ",
    "does ",
    "do ",
    "can ",
    "could ",
    "will ",
    "would ",
    "has ",
    "was ",
    "how high ",
    "how far ",
    "how much ",
    "how many ",
    "how deep ",
    "how long ",
    "how steep ",
    "how big ",
    "how wide ",
    "how important ",
    "how often ",
    "how does ",
    "how is ",
    "how are ",
    "how do the ",
    "how do you ",
    "what does ",
    "what do ",
    "what is ",
    "which ",
];

/// Words that make a question one about somebody's own shots.
pub(super) const OWN: [&str; 22] = [
    "i", "i'm", "im", "i've", "ive", "i'd", "my", "mine", "me", "he", "she", "his", "her", "they",
    "their", "we", "our", "he's", "she's", "hes", "shes", "this",
];

/// After one of these a question tells of what happened after all ("should I worry that I top it").
pub(super) const TELLS: [&str; 16] = [
    " i hit ",
    " i keep ",
    " i'm ",
    " im ",
    " i am ",
    " i top ",
    " i slice ",
    " i hook ",
    " i chunk ",
    " i shank ",
    " when i ",
    " that i ",
    " if i ",
    " because i ",
    " cos i ",
    " i've ",
];

/// Said before a question that is the same without.
const BEFORE: [&str; 17] = [
    "ok",
    "okay",
    "so",
    "and",
    "but",
    "um",
    "er",
    "hmm",
    "hey",
    "right",
    "well",
    "hi",
    "sorry",
    "please",
    "quick question",
    "can you",
    "could you",
];

/// Words that a name may stand between.
const AROUND: [&str; 14] = [
    "a",
    "an",
    "the",
    "exactly",
    "mean",
    "means",
    "in golf",
    "please",
    "then",
    "anyway",
    "again",
    "actually",
    "so called",
    "called",
];

/// A question about how things are.
#[derive(Debug, PartialEq, Eq)]
struct Asked {
    /// The whole question in plain letters.
    whole: String,
    /// The name whose meaning is asked for.
    name: Option<String>,
}

impl Session {
    /// The reply to a question about how things are; nothing if the line is none.
    pub(super) fn concept(&mut self, line: &str) -> Option<Reply> {
        let (first, rest) = match line.split_once('?') {
            Some((first, rest)) if !rest.trim_matches(['?', '!', '.', ' ']).is_empty() => {
                (first, rest)
            }
            _ => (line, ""),
        };
        let asked = asked(first).or_else(|| self.bare_name(line))?;
        let reading = self.read(&asked.whole);
        let mut blocks = self.explained(&asked, &reading)?;
        if !rest.is_empty() {
            blocks.extend(self.talk_line(rest).blocks);
            return Some(Reply {
                blocks,
                leave: false,
            });
        }
        Some(self.asking_again(blocks))
    }

    /// "Low point?": a name of the knowledge and a question mark ask what it is; a shot by itself is told.
    fn bare_name(&self, line: &str) -> Option<Asked> {
        let name = line.trim().strip_suffix('?')?.trim();
        let short = (1..=3).contains(&name.split_whitespace().count());
        let meant = short.then(|| self.meant(&bare(name))).flatten()?;
        matches!(meant, Meant::Quantity(..) | Meant::Effect(..)).then(|| Asked {
            whole: format!("what is {name}"),
            name: Some(bare(name)),
        })
    }

    fn explained(&mut self, asked: &Asked, reading: &Reading) -> Option<Vec<Block>> {
        let mut answers: Vec<AnswerId> = Vec::new();
        let again = asked
            .name
            .as_ref()
            .map(|name| self.read(&format!("what is {name}")));
        let again = again.iter().flat_map(|reading| &reading.topics);
        for topic in reading.topics.iter().chain(again) {
            if !answers.contains(&topic.answer) {
                answers.push(topic.answer);
            }
        }
        if !answers.is_empty() {
            let put = put(&asked.whole);
            let answers = answers.into_iter();
            return Some(
                answers
                    .map(|answer| Block::Answer { answer, put })
                    .collect(),
            );
        }
        if let Some(meant) = asked.name.as_ref().and_then(|name| self.meant(name)) {
            return Some(vec![Block::Meaning(meant)]);
        }
        if reading.tone != Tone::Talk {
            return None;
        }
        // A cause that is asked about is weighed, if anything was told of the golfer.
        let cause = reading.hints.iter().flat_map(|h| &h.causes).next();
        if let Some(cause) = cause.filter(|_| reading.findings.is_empty()) {
            let name = self.base().cause(*cause).name.clone();
            return Some(match self.last {
                Some(_) => self.why_not(&name).blocks,
                None => vec![Block::Meaning(Meant::Cause(*cause))],
            });
        }
        let silent = reading.findings.is_empty()
            && reading.unclear.is_empty()
            && reading.hints.is_empty()
            && reading.history.is_empty();
        (!silent || asked.name.is_some()).then(|| vec![Block::Note(Note::QuestionNotAnswered)])
    }

    /// What a thing is, by its answer or its own entry; nothing if neither is known.
    pub(super) fn meaning_of(&mut self, name: &str) -> Option<Vec<Block>> {
        let reading = self.read(&format!("what is {name}"));
        let mut answers: Vec<AnswerId> = reading.topics.iter().map(|t| t.answer).collect();
        answers.dedup();
        if !answers.is_empty() {
            let put = Put::Open;
            let blocks = answers.into_iter();
            return Some(blocks.map(|answer| Block::Answer { answer, put }).collect());
        }
        let meant = self.meant(name)?;
        Some(vec![Block::Meaning(meant)])
    }

    /// What a name means: of a cause, a symptom, an effect or a quantity.
    pub(super) fn meant(&self, name: &str) -> Option<Meant> {
        let base = Arc::clone(self.mind.base());
        let wanted = stems(name);
        let named = |other: &str| !wanted.is_empty() && stems(other) == wanted;
        if let Some(at) = base.causes.iter().position(|c| named(&c.name)) {
            return Some(Meant::Cause(CauseId::from_index(at)));
        }
        if let Some(at) = base.symptoms.iter().position(|s| named(&s.name)) {
            return Some(Meant::Symptom(SymptomId::from_index(at)));
        }
        if let Some(at) = base.effects.iter().position(|e| named(&e.name)) {
            return Some(Meant::Effect(EffectId::from_index(at)));
        }
        if let Some(at) = base.quantities.iter().position(|q| named(&q.name)) {
            return Some(Meant::Quantity(QuantityId::from_index(at)));
        }
        // In the golfer's own words for it.
        let reading = self.read(name);
        let mut symptoms = reading.findings.iter().filter_map(|f| match f.what {
            crate::reading::What::Symptom(symptom) => Some(symptom),
            _ => None,
        });
        let only = symptoms.next().filter(|_| symptoms.next().is_none());
        if let Some(symptom) = only.filter(|_| reading.unused.is_empty()) {
            return Some(Meant::Symptom(symptom));
        }
        let hinted = reading.hints.first()?;
        let alone = reading.findings.is_empty() && reading.unused.is_empty();
        hinted
            .causes
            .first()
            .filter(|_| alone)
            .map(|cause| Meant::Cause(*cause))
    }
}

/// The words of a name that tell, in one form.
fn stems(name: &str) -> Vec<String> {
    words(name)
        .iter()
        .filter(|w| !["a", "an", "the", "your", "of"].contains(&w.as_str()))
        .map(|w| stem(w))
        .collect()
}

/// The question that a line asks about how things are, if it asks one.
fn asked(line: &str) -> Option<Asked> {
    let text: String = command::plain(line)
        .chars()
        .filter(|c| !matches!(c, '"' | '\u{201c}' | '\u{201d}' | '*' | '`'))
        .collect();
    let text = openings::without(&text, &BEFORE, &[' ', ',']);
    let whole = openings::whole_words(text);
    let after = MEANING.iter().find_map(|opening| {
        let rest = whole.strip_prefix(opening)?;
        let mean = [" mean", " means", " stand for"];
        let does = opening.contains("does") && !opening.contains("it mean");
        if does {
            return mean.iter().find_map(|end| rest.strip_suffix(end));
        }
        Some(rest)
    });
    if let Some(rest) = after {
        let happened = HAPPENED.iter().any(|word| {
            rest.strip_prefix(word)
                .is_some_and(|after| after.is_empty() || after.starts_with([' ', '\'']))
        });
        let own = words(rest).iter().any(|w| OWN.contains(&w.as_str()));
        if happened || own || rest.split_whitespace().count() > 12 {
            return None;
        }
        return Some(Asked {
            name: Some(bare(rest)),
            whole,
        });
    }
    let always = ALWAYS
        .iter()
        .find_map(|opening| whole.strip_prefix(opening));
    let tells = |rest: &str| {
        TELLS
            .iter()
            .any(|words| format!(" {rest} ").contains(words))
    };
    if always.is_some_and(|rest| !tells(rest)) {
        return Some(Asked { name: None, whole });
    }
    let own = words(&whole).iter().any(|w| OWN.contains(&w.as_str()));
    let of_it = ["is it ", "is that ", "is the ball ", "are the "];
    let general = NOBODYS.iter().any(|opening| whole.starts_with(opening))
        && !of_it.iter().any(|opening| whole.starts_with(opening))
        && (!whole.starts_with("which ") || whole.contains(" side"));
    (general && !own && whole.split_whitespace().count() <= 16)
        .then_some(Asked { name: None, whole })
}

/// How a question or a saying that has an answer is put.
pub(super) fn put(text: &str) -> Put {
    const OPEN: [&str; 16] = [
        "how",
        "what",
        "whats",
        "what's",
        "where",
        "when",
        "why",
        "which",
        "who",
        "is it bad",
        "is it wrong",
        "is it ok",
        "is it okay",
        "is it good",
        "is it fine",
        "is it a problem",
    ];
    const SHOULD: [&str; 12] = [
        "should i",
        "should my",
        "should we",
        "should you",
        "do i need",
        "do i have to",
        "must i",
        "shall i",
        "am i supposed to",
        "do you need",
        "would it help",
        "shouldn't i",
    ];
    let text = openings::without(text, &BEFORE, &[' ', ',']);
    let begins = |list: &[&str]| {
        list.iter().any(|w| {
            text.strip_prefix(w)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\'']))
        })
    };
    if begins(&OPEN) {
        Put::Open
    } else if begins(&SHOULD) {
        Put::Should
    } else {
        Put::Claimed
    }
}

/// A name without the words around it.
pub(super) fn bare(name: &str) -> String {
    let mut name = name.trim();
    loop {
        let cut = AROUND.iter().find_map(|word| {
            let before = name.strip_prefix(word).filter(|r| r.starts_with(' '));
            let after = name.strip_suffix(word).filter(|r| r.ends_with(' '));
            before.or(after).map(str::trim)
        });
        match cut {
            Some(rest) => name = rest,
            None => return name.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::asked;

    fn name(line: &str) -> Option<String> {
        asked(line).map(|a| a.name.unwrap_or_default())
    }

    #[test]
    fn what_a_thing_is_is_asked_in_many_ways() {
        for line in [
            "what is low point?",
            "whats low point",
            "What's \"low point\"?",
            "ok so what is the low point then",
            "define low point",
            "explain low point please",
            "can you tell me about low point",
            "what does low point mean?",
            "what do you mean by low point",
        ] {
            assert_eq!(name(line).as_deref(), Some("low point"), "{line}");
        }
    }

    #[test]
    fn what_happened_is_no_such_question() {
        for line in [
            "what is wrong with my swing",
            "whats going on with my irons",
            "what's causing the fat shots",
            "what am i doing wrong",
            "why do i slice the driver",
            "should i worry that i top everything",
            "is it my grip",
            "does my shaft lean too much",
            "do i flip it",
            "is my slice from the grip",
            "7 iron fat. is that bad",
            "which club do i hit best",
        ] {
            assert_eq!(asked(line), None, "{line}");
        }
    }

    #[test]
    fn how_things_are_is_asked_without_a_name() {
        for line in [
            "is a big divot good?",
            "should i keep my head down",
            "does toe down mean pull or push",
            "how do i tell a fat shot from a thin shot",
            "which side is the push side for a lefty",
            "how far offline does 2 degrees open go",
            "is topping the same as thin",
        ] {
            assert_eq!(name(line).as_deref(), Some(""), "{line}");
        }
    }
}
