//! What a line asks or argues in a talk that runs, beyond the questions that have a form of their own:
//! slopes, circumstances, face or path, "that's not it", a question after something told.
//!
//! Takes a line; gives the reply by the form of [`super::put_otherwise`] that has an answer. Invariant:
//! nothing asked is noted, and the question that stands stays open. Makes no sentence.

use super::note::Note;
use super::put_otherwise::{SHORT, put_otherwise, tagged, told_and_asked};
use super::questions::{self, Asks};
use super::reply::{Block, Question, Reply};
use super::worked_out::WorkedOut;
use super::{Session, command, openings};
use crate::reading::{Reading, Tone, What};
use crate::vocabulary::CauseId;

/// Whether advice is good.
const IS_IT_RIGHT: [&str; 10] = [
    "is he right",
    "is she right",
    "are they right",
    "is that right",
    "is it right",
    "is that true",
    "is it true",
    "is that good advice",
    "is that good",
    "should i",
];

/// Words that answer a question for yes or no before anything else is said.
const YES_OR_NO: [&str; 7] = ["yes", "no", "yeah", "yep", "nope", "nah", "aye"];

/// Whether what was just told is much.
const IS_IT_MUCH: [&str; 10] = [
    "is that too many",
    "is that too much",
    "is that a lot",
    "is that many",
    "is that much",
    "is that too far",
    "is that bad",
    "is it too much",
    "is it too many",
    "is it a lot",
];

/// Whole lines that ask why a circumstance makes it better or worse.
const WHY_THEN: [&str; 14] = [
    "why does it help",
    "why does that help",
    "why would that help",
    "why does this help",
    "why is that better",
    "why is it better",
    "why is it better then",
    "why is it worse",
    "why is it worse then",
    "why is that worse",
    "why does that make it better",
    "why does that make it worse",
    "why does that make a difference",
    "why does it make a difference",
];

/// The kind of symptom that is so over many shots, or in some of them.
const CIRCUMSTANCE: &str = "pattern";

/// Beginnings that do not agree with what was said.
const NOT_IT: [&str; 14] = [
    "that's not it",
    "thats not it",
    "that isn't it",
    "that isnt it",
    "that is not it",
    "i don't think that's it",
    "i dont think thats it",
    "you are wrong",
    "you're wrong",
    "youre wrong",
    "i disagree",
    "i don't agree",
    "i dont agree",
    "that's not true",
];

impl Session {
    /// The reply to a line that says in other words what is known in one form.
    pub(super) fn otherwise(&mut self, line: &str) -> Option<Reply> {
        if let Some(reply) = self.drill_asked_while_held(line) {
            return Some(reply);
        }
        self.last.as_ref()?;
        if let Some(reply) = self.answered_whole(line) {
            return Some(reply);
        }
        if let Some(lie) = self.lie_asked(line) {
            return Some(self.respond_whole(&lie));
        }
        if let Some(club) = self.club_asked(line) {
            return Some(self.respond_whole(&club));
        }
        if let Some(other) = self.circumstance_asked(line) {
            return Some(self.respond_whole(&other));
        }
        if let Some(other) = put_otherwise(line) {
            return Some(self.respond_whole(&other));
        }
        if let Some(reply) = self.face_or_path(line) {
            return Some(reply);
        }
        self.not_it(line)
    }

    /// The reply to a line that tells first and then asks, while a question stands that it does not
    /// answer.
    pub(super) fn asked_after_telling(&mut self, line: &str) -> Option<Reply> {
        let check = matches!(self.talk.pending, Some(Question::Check(_)));
        let (head, tail) = told_and_asked(line).filter(|_| check)?;
        // "And my driver, why do I slice that?" tells of one more club.
        if let Some(Asks::Thing(whole)) = questions::asks(tail) {
            let reading = self.read(&whole);
            if self.tells(&whole, &reading) {
                return None;
            }
        }
        Some(self.told_then_asked(head, tail))
    }

    /// What is told first, then the answer to what is asked.
    pub(super) fn told_then_asked(&mut self, head: &str, tail: &str) -> Reply {
        let before = self.talk.hints.len();
        let reading = self.read(head);
        let silent = reading.findings.is_empty()
            && reading.hints.is_empty()
            && reading.unclear.is_empty()
            && reading.corrections.is_empty()
            && reading.hand.is_none();
        let first = head.split([' ', ',']).next().unwrap_or("").to_lowercase();
        let silent = silent && !YES_OR_NO.contains(&first.as_str());
        let mut blocks = if silent {
            vec![Block::Unused(vec![head.to_owned()])]
        } else {
            let question = self.talk.pending.clone();
            match question {
                Some(question) => self.answer(&question, head).blocks,
                None => self.talk_line(head).blocks,
            }
        };
        // "My husband says keep your head down. Is he right?": the advice has been answered.
        let answered = blocks.iter().any(|b| matches!(b, Block::Answer { .. }));
        if answered && IS_IT_RIGHT.contains(&command::plain(tail).as_str()) {
            return Reply {
                blocks,
                leave: false,
            };
        }
        // "My husband says I lift my head. Is he right?": how likely that is with this golfer.
        if IS_IT_RIGHT.contains(&command::plain(tail).as_str())
            && let Some(cause) = self.hinted_last(before)
        {
            let name = self.base().cause(cause).name.clone();
            blocks.retain(|b| !matches!(b, Block::Ask { .. }));
            if let Some(reply) = self.question(&format!("is it {name}?")) {
                blocks.extend(reply.blocks);
            }
            return Reply {
                blocks,
                leave: false,
            };
        }
        // "Four knuckles, is that too many?": what is told has been judged.
        if !silent && IS_IT_MUCH.contains(&command::plain(tail).as_str()) {
            return Reply {
                blocks,
                leave: false,
            };
        }
        let answer = self.question(tail).or_else(|| self.concept(tail));
        if let Some(reply) = answer {
            blocks.retain(|b| !matches!(b, Block::Ask { .. }));
            blocks.extend(reply.blocks);
        } else {
            blocks.push(Block::Note(Note::QuestionNotAnswered));
            if silent {
                return self.asking_again(blocks);
            }
        }
        Reply {
            blocks,
            leave: false,
        }
    }

    /// "Why topped and not fat?": a question that the knowledge answers as a whole, though it begins like one
    /// about a cause.
    fn answered_whole(&self, line: &str) -> Option<Reply> {
        let text = command::plain(line);
        let bare = questions::bare(&text);
        if !["why ", "how can ", "how could "]
            .iter()
            .any(|w| bare.starts_with(w))
        {
            return None;
        }
        let reading = self.read(bare);
        let [topic] = reading.topics.as_slice() else {
            return None;
        };
        let from = bare.get(..topic.said.start)?.split_whitespace().count();
        let after = bare.get(topic.said.end..)?.split_whitespace().count();
        let put = super::reply::Put::Open;
        let answer = Block::Answer {
            answer: topic.answer,
            put,
        };
        (!topic.told && from + after == 0).then(|| self.asking_again(vec![answer]))
    }

    /// The first cause hinted at since there were so many hints.
    fn hinted_last(&self, before: usize) -> Option<CauseId> {
        self.talk.hints.get(before).map(|(cause, ..)| *cause)
    }

    /// "Can I still do a drill?" while a danger is asked about: not before that is answered.
    fn drill_asked_while_held(&self, line: &str) -> Option<Reply> {
        const SWINGS: [&str; 9] = [
            "drill", "drills", "practise", "practice", "play", "swing", "hit", "train", "carry",
        ];
        self.talk.held?;
        let text = command::plain(line);
        // "It has been two weeks, can I do a drill?"
        let tail = text.rsplit([',', '.', ';']).next().unwrap_or(&text);
        let bare = questions::bare(tail.trim());
        let may = ["can i ", "could i ", "may i ", "should i ", "shall i "];
        let asks = may.iter().any(|way| bare.starts_with(way));
        let swings = bare.split(' ').any(|w| SWINGS.contains(&w));
        (asks && swings).then(|| self.asking_again(vec![Block::DrillsHeld]))
    }

    /// "So is my face open or my path?": both numbers of this golfer, and what the ball does by them.
    fn face_or_path(&mut self, line: &str) -> Option<Reply> {
        let text = command::plain(line);
        let said: Vec<&str> = text.split(' ').collect();
        let has = |w: &str| said.contains(&w);
        let asks = line.trim_end().ends_with('?') && has("or") && said.len() <= SHORT + 2;
        let general = ["difference", "what", "why", "which", "does", "do", "how"];
        let general = general.iter().any(|w| has(w));
        let gear = has("gear") && (asks && !general || text.starts_with("how much of the curve"));
        let both = asks && has("face") && has("path") && !general;
        // "So is my face open?": the face of this golfer, and no cause of an open one.
        let stands = ["open", "closed", "shut", "square"].iter().any(|w| has(w));
        let begins = questions::bare(&text).starts_with("is ");
        let face =
            begins && has("face") && stands && !has("path") && said.len() <= SHORT && !has("or");
        let face = face && line.trim_end().ends_with('?');
        let wanted: &[&str] = if gear {
            &["gear_tilt", "axis_tilt"]
        } else if both {
            &["face_angle", "club_path"]
        } else {
            &["face_angle"]
        };
        if !gear && !both && !face {
            return None;
        }
        let mut blocks: Vec<Block> = wanted
            .iter()
            .filter_map(|id| self.known_number(id))
            .map(|known| Block::WorkedOut(WorkedOut::Number(known)))
            .collect();
        let start = self.known_number("start_direction");
        let face_to_path = self.known_number("face_to_path");
        if face_to_path.is_some() {
            blocks.push(Block::WorkedOut(WorkedOut::Flight {
                start,
                face_to_path,
            }));
        }
        (!blocks.is_empty()).then(|| self.asking_again(blocks))
    }

    /// "No, that's not it. My divots point straight": no answer, and what is told after it is told.
    fn not_it(&mut self, line: &str) -> Option<Reply> {
        let text = command::plain(line);
        let rest = ["no ", "no, ", "nope, ", "nah, ", "but "]
            .iter()
            .find_map(|w| text.strip_prefix(w))
            .unwrap_or(&text);
        let after = NOT_IT.iter().find_map(|w| rest.strip_prefix(w))?;
        if after.is_empty() {
            let blocks = self.is_it_so();
            return Some(self.asking_again(blocks));
        }
        if !after.starts_with(['.', ',', ';', ':', ' ']) {
            return None;
        }
        let after = after.trim_start_matches(['.', ',', ';', ':', ' ']);
        let after = ["because ", "as ", "cause ", "cos "]
            .iter()
            .find_map(|w| after.strip_prefix(w))
            .unwrap_or(after);
        // In the letters that were typed, where those have not moved.
        let typed = line.trim().trim_end_matches(['?', '!', '.', ' ']);
        let from = text.len() - after.len();
        let after = if typed.len() == text.len() {
            typed.get(from..).unwrap_or(after)
        } else {
            after
        };
        let after = after.to_owned();
        let question = self.talk.pending.take();
        let mut reply = self.talk_line(&after);
        let lost = |b: &Block| matches!(b, Block::Note(Note::NotUnderstood));
        if reply.blocks.iter().any(lost) || reply.blocks.is_empty() {
            self.talk.pending = question;
            let mut blocks = self.is_it_so();
            blocks.push(Block::Unused(vec![after]));
            reply = self.asking_again(blocks);
        } else if self.talk.pending.is_none() {
            self.talk.pending = question;
        }
        Some(reply)
    }

    /// "Why does that help?" after "better when I swing easy": what lies behind the circumstance.
    fn circumstance_asked(&self, line: &str) -> Option<String> {
        let text = command::plain(line);
        let bare = questions::bare(&text);
        if !WHY_THEN.contains(&bare) {
            return None;
        }
        let base = self.base();
        let mut told = self.talk.statements.iter().rev().filter(|s| !s.dropped);
        told.find_map(|s| match s.finding.what {
            What::Symptom(symptom) if base.symptom(symptom).kind == CIRCUMSTANCE => {
                Some(format!("what causes {}?", base.symptom(symptom).name))
            }
            _ => None,
        })
    }

    /// "And on a downhill slope?", "is it my swing or the slope?": what the lie does.
    fn lie_asked(&self, line: &str) -> Option<String> {
        if !line.trim_end().ends_with('?') {
            return None;
        }
        let text = command::plain(line);
        let does = |lie| format!("what does a {} do?", self.base().lie(lie).name);
        let said: Vec<&str> = text.split(' ').collect();
        let has = |list: &[&str]| said.iter().any(|w| list.contains(w));
        let told = || {
            let mut told = self.talk.statements.iter().rev().filter(|s| !s.dropped);
            told.find_map(|s| s.finding.pattern.lie)
        };
        let of_ground = has(&["slope", "slopes", "lie", "ground", "hill"]);
        if of_ground && has(&["or"]) && has(&["me", "swing"]) {
            return told().map(does);
        }
        if of_ground && text.starts_with("why ") && said.len() <= SHORT {
            return told().map(does);
        }
        let goes_on = ["and ", "what about ", "how about ", "but "];
        let rest = goes_on.iter().find_map(|w| text.strip_prefix(w))?;
        // "And off a downhill lie, would he hook it more?"
        let rest = rest.split(',').next().unwrap_or(rest);
        if rest.split(' ').count() > SHORT {
            return None;
        }
        let place = ["on ", "off ", "from ", "with ", "in "];
        let place = place.iter().any(|w| rest.starts_with(w));
        let reading = self.read(rest);
        let silent = reading.findings.is_empty() && reading.hints.is_empty();
        let lie = reading.scope.lie.filter(|_| silent)?;
        let only = place || rest.split(' ').count() <= 3;
        only.then(|| does(lie))
    }

    /// "Same with my 4 iron?", "and my driver?" of a club that nothing was told of: the same swing with it.
    fn club_asked(&self, line: &str) -> Option<String> {
        const ASKS: [&str; 14] = [
            "is it the same with ",
            "is that the same with ",
            "would it be the same with ",
            "would that be the same with ",
            "same with ",
            "same for ",
            "the same with ",
            "does that hold for ",
            "does that go for ",
            "what about ",
            "how about ",
            "and with ",
            "and ",
            "how does that change with ",
        ];
        if !line.trim_end().ends_with('?') {
            return None;
        }
        let text = command::plain(line);
        let bare = openings::without(&text, &["so", "ok", "but", "then"], &[' ', ',']);
        let rest = ASKS.iter().find_map(|w| bare.strip_prefix(w))?;
        if rest.split(' ').count() > SHORT {
            return None;
        }
        let reading = self.read_apart(rest);
        let silent =
            reading.findings.is_empty() && reading.hints.is_empty() && reading.unused.is_empty();
        let clubs = reading.scope.groups.len() == 1 && reading.scope.lie.is_none();
        let told = self.talk.statements.iter().filter(|s| !s.dropped);
        let mut told = told.flat_map(|s| s.finding.pattern.groups.iter());
        let known = told.any(|g| reading.scope.groups.contains(g));
        (silent && clubs && !known).then(|| format!("what if with {rest}"))
    }

    /// A question that nothing here answers: nothing of it counts, unless it takes the golfer's own
    /// shots for granted.
    pub(super) fn only_asked(&mut self, line: &str) -> Option<Reply> {
        self.last.as_ref()?;
        let text = command::plain(line);
        let bare = questions::bare(&text);
        let supposed = line.trim_end().ends_with('?') && bare.starts_with("if ");
        let doubted = ["what made you ", "what makes you "];
        let doubted = doubted.iter().any(|way| bare.starts_with(way));
        if tagged(line) || supposed || doubted {
            let reading = self.read(line);
            let says = !reading.findings.is_empty() || !reading.hints.is_empty();
            return says.then(|| self.asking_again(vec![Block::Note(Note::QuestionNotAnswered)]));
        }
        let Some(Asks::Thing(whole)) = questions::asks(line) else {
            return None;
        };
        let reading: Reading = self.read(&whole);
        let says = !reading.findings.is_empty() || !reading.hints.is_empty();
        if !says || reading.tone != Tone::Talk || self.tells(&whole, &reading) {
            return None;
        }
        Some(self.asking_again(vec![Block::Note(Note::QuestionNotAnswered)]))
    }
}
