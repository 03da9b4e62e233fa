//! What is a line to the question that stands, or to the one answered last?
//!
//! "y" answers a question that wants yes or no; "I don't understand" asks to have it explained and
//! answers nothing; "sorry, I meant no" is about the answer before. Takes a line and the talk; gives the
//! reply, or nothing where the line is none of these. Invariant: a line of which it is not clear that
//! it answers counts as no answer. Judges nothing.

use std::sync::Arc;

use super::names::words;
use super::note::Note;
use super::openings;
use super::own_telling::{beside_the_question, shares, stems_of};
use super::reply::{Block, Question, Reply};
use super::turn::Depth;
use super::{Session, command};
use crate::reading::quick::{Asked, Reply as Answered, read_answer};
use crate::vocabulary::CheckId;

/// One letter or sound that is a yes or a no while a question stands.
const YES: [&str; 16] = [
    "y",
    "ye",
    "yes",
    "yep",
    "yup",
    "yh",
    "ya",
    "yeah",
    "aye",
    "uh huh",
    "mhm",
    "mm hm",
    "yessir",
    "yess",
    "yesss",
    "affirmative",
];
const NO: [&str; 11] = [
    "n", "no", "nope", "nah", "naw", "na", "nay", "noo", "nooo", "uh uh", "negative",
];

/// Said before a line that is the same without.
const BEFORE: [&str; 22] = [
    "sorry", "um", "er", "erm", "hmm", "hm", "oh", "ah", "well", "ok", "okay", "wait", "oops",
    "whoops", "hang on", "hold on", "no", "but", "and", "actually", "yes", "eh",
];

/// Whole lines that ask for the question to be explained.
const BEWILDERED: [&str; 52] = [
    "what",
    "huh",
    "eh",
    "sorry",
    "pardon",
    "come again",
    "say again",
    "say that again",
    "what do you mean",
    "what do you mean by that",
    "what does that mean",
    "what does it mean",
    "what does this mean",
    "what is that",
    "whats that",
    "meaning",
    "what is the question",
    "what are you asking",
    "what are you asking me",
    "i dont get it",
    "dont get it",
    "i dont get that",
    "i dont understand",
    "dont understand",
    "i do not understand",
    "i didnt understand",
    "not understand",
    "i dont follow",
    "i cant follow",
    "not following",
    "you lost me",
    "youve lost me",
    "im confused",
    "confused",
    "confusing",
    "not clear",
    "unclear",
    "rephrase",
    "rephrase that",
    "can you rephrase",
    "can you rephrase that",
    "can you explain that",
    "can you explain",
    "explain the question",
    "explain your question",
    "explain that question",
    "in plain words",
    "in plain english",
    "in english",
    "simpler",
    "too technical",
    "no idea what you mean",
];

/// Beginnings of lines that say what is not understood, the longest first.
const NOT_UNDERSTOOD: [&str; 20] = [
    "i have no idea what ",
    "ive no idea what ",
    "no idea what ",
    "no clue what ",
    "im not sure what ",
    "not sure what ",
    "i do not know what ",
    "i dont know what ",
    "dont know what ",
    "never heard of ",
    "i do not understand ",
    "i didnt understand ",
    "i dont understand ",
    "dont understand ",
    "i dont get ",
    "dont get ",
    "cant follow ",
    "you lost me at ",
    "what do you mean by ",
    "i dont follow ",
];

/// Words before and after the name of a thing that is not understood.
const NAME_FROM: [&str; 10] = [
    "a ",
    "an ",
    "the ",
    "my ",
    "that ",
    "this ",
    "you mean by ",
    "is ",
    "means ",
    "word ",
];
const NAME_TO: [&str; 11] = [
    " is",
    " are",
    " means",
    " mean",
    " is supposed to mean",
    " supposed to be",
    " bit",
    " part",
    " thing",
    " even is",
    " stands for",
];

/// Words of the question itself, which name nothing in golf.
const OF_THE_QUESTION: [&str; 13] = [
    "question",
    "it",
    "that",
    "this",
    "you",
    "you mean",
    "youre asking",
    "you are asking",
    "your question",
    "youre saying",
    "you are saying",
    "you want",
    "any of that",
];

/// Words that say that what follows is meant in place of the answer before.
const MEANT: [&str; 20] = [
    "i mean",
    "i meant to say",
    "i meant to type",
    "i meant",
    "i ment",
    "meant to say",
    "meant",
    "make that",
    "make it",
    "correction",
    "should be",
    "it should be",
    "should have been",
    "i should have said",
    "change that to",
    "change it to",
    "change my answer to",
    "change to",
    "typo",
    "i wanted to say",
];

/// Words that take the answer before back and leave the other.
const WRONG: [&str; 11] = [
    "that was wrong",
    "thats wrong",
    "that is wrong",
    "i was wrong",
    "wrong answer",
    "i got that wrong",
    "i answered wrong",
    "that was a mistake",
    "my mistake",
    "thats not right",
    "i take that back",
];

impl Session {
    /// A reply that ends with the question that stands, if one does.
    pub(super) fn asking_again(&self, mut blocks: Vec<Block>) -> Reply {
        if let Some(question) = self.talk.pending.clone() {
            blocks.push(Block::Ask {
                question,
                value: None,
            });
        }
        Reply {
            blocks,
            leave: false,
        }
    }

    /// The reply to a line that only means something to the question before it.
    pub(super) fn threaded(&mut self, line: &str) -> Option<Reply> {
        if let Some(question) = self.talk.pending.clone()
            && wants_yes_or_no(&question)
            && let Some(yes) = one_sound(line)
        {
            return Some(self.answer(&question, if yes { "yes" } else { "no" }));
        }
        // "y" to "start, curve or pull?" picks none of them.
        if matches!(self.talk.pending, Some(Question::Meaning { .. }))
            && YES.contains(&command::plain(line).as_str())
        {
            return Some(self.asking_again(vec![Block::Note(Note::AnswerNotUnderstood)]));
        }
        self.put_right(line).or_else(|| self.explained_again(line))
    }

    // ------------------------------------------------------------------ not understood

    /// "I don't understand": the question in other words, or what the thing is; nothing counts.
    fn explained_again(&mut self, line: &str) -> Option<Reply> {
        let whole = unquoted(line);
        let ends = [" please", " pls", " plz", " mate", " again", " sorry"];
        let end = ends.iter().find_map(|w| whole.strip_suffix(w));
        let whole = end.unwrap_or(&whole).to_owned();
        let lead = without_lead(&whole);
        let pending = self.talk.pending.clone();
        if BEWILDERED.contains(&whole.as_str()) || BEWILDERED.contains(&lead.as_str()) {
            let question = pending?;
            return Some(self.put_again(&question, Vec::new()));
        }
        let after = |text: &'static str| whole.strip_prefix(text).or(lead.strip_prefix(text));
        let rest = NOT_UNDERSTOOD.iter().find_map(|w| after(w))?;
        let name = bare_name(rest);
        if OF_THE_QUESTION.contains(&name) {
            let question = pending?;
            return Some(self.put_again(&question, Vec::new()));
        }
        // "I don't understand why I slice" is no question about a word.
        let own = [
            "why",
            "how",
            "what",
            "where",
            "when",
            "i",
            "im",
            "happens",
            "happening",
            "going",
        ];
        let told = words(name).iter().any(|w| own.contains(&w.as_str()));
        if told || name.split_whitespace().count() > 6 {
            return None;
        }
        let blocks = self.meaning_of(name);
        match pending {
            Some(question) => Some(self.put_again(&question, blocks.unwrap_or_default())),
            None => blocks.map(|blocks| Reply {
                blocks,
                leave: false,
            }),
        }
    }

    /// The question that stands in plainer words: how to look for it.
    fn put_again(&mut self, question: &Question, mut blocks: Vec<Block>) -> Reply {
        if let Question::Check(check) = question {
            let (check, value) = (*check, None);
            blocks.push(Block::AboutCheck { check, value });
        } else {
            blocks.push(Block::Ask {
                question: question.clone(),
                value: None,
            });
        }
        self.talk.pending = Some(question.clone());
        Reply {
            blocks,
            leave: false,
        }
    }

    // ------------------------------------------------------------------ put right

    /// "Sorry, I meant no": the answer before is another one, and all that rests on it.
    fn put_right(&mut self, line: &str) -> Option<Reply> {
        let check = self.talk.answered?;
        let was = self.talk.answers.iter().find(|(c, _)| *c == check);
        let was = was.map(|(_, yes)| *yes);
        let context = self.talk.context();
        let answer = |text: &str| read_answer(&self.phrases, &context, &Asked::YesNo, text).reply;
        let meant = meant(line, was, answer)?;
        let base = Arc::clone(self.mind.base());
        let question = Question::Check(check);
        let mut reading = self.read(line);
        beside_the_question(&base, check, &mut reading, line);
        // "No, that was wrong, it slices" is about something else.
        if meant.opposite && !reading.findings.is_empty() {
            return None;
        }
        let counting = matches!(self.talk.pending, Some(Question::Tally { .. }))
            .then(|| (self.talk.pending.clone(), self.talk.prescribed));
        self.back_to_before(check);
        let mut unsaid = Vec::new();
        if !self.apply(&question, meant.reply, &mut unsaid) {
            return None;
        }
        let now = self.talk.answers.iter().find(|(c, _)| *c == check);
        let mut blocks = vec![Block::Note(Note::AnsweredInstead(now.map(|(_, yes)| *yes)))];
        blocks.extend(self.turn(Depth::AfterAnswer));
        if let Some((pending, prescribed)) = counting
            && self.talk.pending.is_none()
            && self.talk.prescribed == prescribed
        {
            self.talk.pending = pending;
        }
        Some(Reply {
            blocks,
            leave: false,
        })
    }

    /// Takes back an answer and what was led to by it; what else was told since stays.
    fn back_to_before(&mut self, check: CheckId) {
        if matches!(self.talk.pending, Some(Question::Check(_))) {
            self.talk.questions = self.talk.questions.saturating_sub(1);
        }
        self.talk.pending = None;
        let answers = |t: &super::talk::Talk| t.answers.iter().any(|(c, _)| *c == check);
        let step = self.past.iter().rposition(|(before, _)| {
            before.pending == Some(Question::Check(check)) && !answers(before)
        });
        let Some((before, written)) = step.and_then(|at| self.past.get(at)).cloned() else {
            return;
        };
        if step == self.past.len().checked_sub(1) && before.prescribed != self.talk.prescribed {
            self.talk.prescribed = before.prescribed;
            let knowledge = self.base().hash.clone();
            self.notebook.take_back(written, &knowledge);
        }
        // What the answer told in its own words goes with it.
        let base = Arc::clone(self.mind.base());
        let question = stems_of(&base.check(check).question);
        let first = before.said.len() + 1;
        for statement in &mut self.talk.statements {
            if statement.line == first && shares(&question, &statement.words) {
                statement.dropped = true;
            }
        }
    }
}

/// What a line means in place of the answer before.
struct Meant {
    reply: Answered,
    /// Only said to be wrong: so it is the other.
    opposite: bool,
}

fn meant(line: &str, was: Option<bool>, answer: impl Fn(&str) -> Answered) -> Option<Meant> {
    let text = unquoted(line);
    let lead = without_lead(&text);
    // "Wait, no", "oops, yes": another answer than the one given.
    let startled = [
        "wait",
        "oops",
        "whoops",
        "hang on",
        "hold on",
        "sorry no wait",
    ];
    let sound = one_sound(&lead).or_else(|| one_sound(text.rsplit([' ', ',']).next()?));
    if let (Some(yes), Some(was)) = (sound, was)
        && startled.iter().any(|s| text.contains(s))
        && text.split_whitespace().count() <= 4
        && yes != was
    {
        let reply = if yes { Answered::Yes } else { Answered::No };
        return Some(Meant {
            reply,
            opposite: false,
        });
    }
    let after = |words: &&str| {
        let rest = lead.strip_prefix(*words)?;
        rest.starts_with([' ', ',', ':', '-', '"']).then_some(rest)
    };
    if let Some(rest) = MEANT.iter().find_map(after) {
        let rest = rest.trim_start_matches([' ', ',', ':', '-', '"', '\'']);
        let first = rest.split([' ', ',']).next().unwrap_or("");
        let open = ["dont", "i", "dunno", "sometimes", "partly", "idk", "maybe"];
        let half = ["not sure", "not really", "not always"];
        let opens = one_sound(first).is_some()
            || open.contains(&first)
            || half.iter().any(|h| rest.starts_with(h));
        let reply = match one_sound(rest) {
            Some(true) => Answered::Yes,
            Some(false) => Answered::No,
            None if opens => answer(rest),
            None => return None,
        };
        return match reply {
            Answered::Yes | Answered::No | Answered::DontKnow | Answered::Partly(_) => {
                Some(Meant {
                    reply,
                    opposite: false,
                })
            }
            _ => None,
        };
    }
    let wrong = WRONG.iter().any(|w| lead.starts_with(w)) && lead.split_whitespace().count() <= 12;
    let reply = if was? { Answered::No } else { Answered::Yes };
    wrong.then_some(Meant {
        reply,
        opposite: true,
    })
}

/// True for a line that says nothing to a question for yes or no: a question of its own, a result, or
/// a word on the practice.
pub(super) fn leaves_open(line: &str) -> bool {
    if one_sound(line).is_some() {
        return false;
    }
    let text = command::plain(line);
    let word = [
        "didn't",
        "didnt",
        "did not",
        "worse",
        "no better",
        "no difference",
    ];
    let about = ["next day", "today", "tomorrow", "yesterday", "later"];
    let has = |list: &[&str]| list.iter().any(|w| text.contains(w));
    let counted = text.contains(|c: char| c.is_ascii_digit());
    has(&word) && !counted && text.starts_with(['i', 't']) || counted && has(&about)
}

/// True if the question is answered with yes or no.
pub(super) const fn wants_yes_or_no(question: &Question) -> bool {
    matches!(
        question,
        Question::Check(_)
            | Question::Safety(_)
            | Question::Leave(_)
            | Question::Fresh { .. }
            | Question::Followed(_)
            | Question::Forget
            | Question::Sure { .. }
    )
}

/// The line in plain letters, without apostrophes.
fn unquoted(line: &str) -> String {
    command::plain(line).replace('\'', "")
}

/// Yes or no, if the line is nothing else.
fn one_sound(line: &str) -> Option<bool> {
    let text = command::plain(line);
    let text = text.trim_end_matches([',', '.', ' ']);
    if YES.contains(&text) {
        return Some(true);
    }
    NO.contains(&text).then_some(false)
}

/// The text without the words that only open it.
fn without_lead(text: &str) -> String {
    openings::without(text, &BEFORE, &[' ', ',', '.']).to_owned()
}

/// The thing that is not understood, without the words around it.
fn bare_name(rest: &str) -> &str {
    let mut name = rest.trim().trim_matches(['"', '\'']);
    loop {
        let before = NAME_FROM.iter().find_map(|w| name.strip_prefix(w));
        let cut = before.or_else(|| NAME_TO.iter().find_map(|w| name.strip_suffix(w)));
        match cut.map(str::trim).filter(|n| !n.is_empty()) {
            Some(rest) => name = rest.trim_matches(['"', '\'']),
            None => return name,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_answer_is_meant_in_many_ways() {
        let answer = |text: &str| match text {
            "i dont know" => Answered::DontKnow,
            _ if text.starts_with("no,") || text.starts_with("no ") => Answered::No,
            _ => Answered::Other,
        };
        let said = |line: &str, was: bool| {
            meant(line, Some(was), answer).map(|m| match m.reply {
                Answered::Yes => "yes",
                Answered::No => "no",
                _ => "open",
            })
        };
        for (line, was, now) in [
            ("i mean yes", false, Some("yes")),
            ("no, sorry i meant yes", true, Some("yes")),
            ("Sorry, I meant no", true, Some("no")),
            ("oops i meant y", false, Some("yes")),
            ("wait, no", true, Some("no")),
            ("no wait yes", false, Some("yes")),
            ("make that a no", true, None),
            ("make that no", true, Some("no")),
            ("i meant i dont know", true, Some("open")),
            (
                "no sorry that was wrong, i dont fall back",
                true,
                Some("no"),
            ),
            ("that was wrong", false, Some("yes")),
            ("i mean 3 in", true, None),
            ("i mean the 6 iron", true, None),
            ("wait, no", false, None),
            ("no", true, None),
        ] {
            assert_eq!(said(line, was), now, "{line}");
        }
    }

    #[test]
    fn a_thing_not_understood_is_named() {
        for (rest, name) in [
            ("a divot is", "divot"),
            ("the trail foot means", "trail foot"),
            ("pull side", "pull side"),
            ("you mean by push side", "push side"),
            ("the question", "question"),
        ] {
            assert_eq!(bare_name(rest), name);
        }
    }
}
