//! The talk as a value: a line in, a [`Reply`] out.
//!
//! A [`Session`] holds the knowledge, the simulated golfers and what has been said. Every line gets
//! a reply; nothing a person can type makes it fail, and nothing said is dropped without a word.
//! The order for each line: 1. safety; 2. commands; 3. the answer to what was asked; 4. talk. The
//! same lines give the same replies. Reads no clock and no file, makes no sentence (`wording`), and
//! knows no cause, symptom or drill by name.
//!
//! Start reading at [`Session::respond`].

mod advice;
mod aiming;
mod answer_kinds;
mod answering;
mod arc;
mod ask_and_tell;
mod asked_on;
mod carrying_out;
mod child;
mod coach_asks;
mod coach_forms;
mod command;
mod commands;
mod completing;
mod concepts;
mod counting;
mod cures;
mod denying;
mod fading;
mod fitting_units;
mod for_today;
mod gaps;
mod hand_first;
mod held_back;
mod how_known;
mod is_that_a_lot;
pub mod learning;
mod leave;
mod listening;
mod looked_into;
mod looking_up;
mod mechanisms;
mod names;
mod note;
mod notebook;
mod openings;
mod own_telling;
mod own_word;
mod placing;
mod plain_answers;
mod plain_no;
mod practice;
mod put_otherwise;
mod questions;
mod reactions;
mod reply;
mod result_forms;
mod result_words;
mod results;
mod returning;
mod said_for_an_answer;
mod sand;
mod settling;
mod shown_by_numbers;
mod signs;
mod size_asked;
mod sure_of;
mod taking_in;
mod talk;
mod talking;
mod tallies;
mod target_read;
mod thread;
mod trying;
mod turn;
mod two_golfers;
mod unit_said;
mod waiting;
mod ways;
mod what_if;
mod worked_out;

use std::sync::Arc;

use crate::beside::beside;
use crate::causes::CausesError;
use crate::causes::model::{Axis, Evidence};
use crate::diagnosis::{Diagnosis, Mind, diagnose};
use crate::knowledge::KnowledgeBase;
use crate::lesson::Moment;
use crate::quantity::Unit;
use crate::reading::safety::Lookout;
use crate::reading::{Likeness, Phrases, Span, What};
use crate::vocabulary::{CautionId, CheckId, Hand};

pub use command::{Said, command, nearest_command};
pub use commands::{COMMANDS, Command, Takes, Verb};
pub use note::Note;
pub use notebook::Wish;
pub use reply::{
    AgreedSaid, ArcNumbers, Block, BookEntry, BookLine, Care, ChainStep, Changed, CountsSaid,
    Course, Heard, MarkHeight, Meant, Put, Question, ReasonLine, Reply, Returning, Sheet,
    VerdictSaid, is_number,
};

pub use target_read::TargetRead;
pub use worked_out::{Given, KnownNumber, Shares, WorkedOut};

use notebook::Notebook;
use talk::Talk;
use turn::Depth;

/// The longest line that is read; the rest is cut off with a notice.
pub const LONGEST_LINE: usize = 200_000;

/// The weight of a self-diagnosis in the lexicon that is nothing special (common practice).
const USUAL_HINT: f64 = 0.25;

/// How many steps can be taken back.
const STEPS_KEPT: usize = 200;

/// A talk about one golfer.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a fact of the talk by itself"
)]
#[derive(Debug, Clone)]
pub struct Session {
    mind: Mind,
    phrases: Arc<Phrases>,
    likeness: Arc<Likeness>,
    lookout: Arc<Lookout>,
    talk: Talk,
    past: Vec<(Talk, usize)>,
    notebook: Notebook,
    /// The golfers told of in this talk, each kept apart.
    golfers: two_golfers::Golfers,
    /// How many entries were written down before this line.
    written: usize,
    last: Option<(Diagnosis, Vec<usize>)>,
    metric: bool,
    /// The golfer said which units.
    units_chosen: bool,
    hand_given: Option<Hand>,
    rude_or_odd: usize,
    /// The learner's talk, while one is going on.
    trainee: Option<Box<learning::Trainee>>,
    hinted: bool,
    /// The line before was a count that was entered.
    counted: bool,
    /// Cautions that this line calls for beside the answer, and the words that did.
    beside: Vec<(CautionId, Span)>,
    /// The check that stood when this line was said.
    put: Option<CheckId>,
    /// Where this line tells that a doctor cleared the golfer to play.
    leave: Option<Span>,
}

impl Session {
    /// A new talk with this knowledge.
    ///
    /// # Errors
    /// [`CausesError`] if the knowledge describes no golfers.
    pub fn new(base: Arc<KnowledgeBase>, hand: Option<Hand>) -> Result<Self, CausesError> {
        let (likeness, phrases) = beside(
            || Arc::new(listening::likeness(&base)),
            || Arc::new(Phrases::compile(&base.lexicon)),
        );
        let lookout = Arc::new(Lookout::new(&base));
        Ok(Self {
            mind: Mind::new(base)?,
            phrases,
            likeness,
            lookout,
            talk: Talk::new(hand),
            past: Vec::new(),
            notebook: Notebook::new(Moment::from_unix_seconds(0)),
            golfers: two_golfers::Golfers::default(),
            written: 0,
            last: None,
            metric: false,
            units_chosen: false,
            hand_given: hand,
            rude_or_odd: 0,
            trainee: None,
            hinted: false,
            counted: false,
            beside: Vec::new(),
            put: None,
            leave: None,
        })
    }

    /// The knowledge.
    pub fn base(&self) -> &KnowledgeBase {
        self.mind.base()
    }

    /// Metric units wanted.
    pub const fn metric(&self) -> bool {
        self.metric
    }

    /// The golfer's hand, if known.
    pub const fn hand(&self) -> Option<Hand> {
        self.talk.hand
    }

    /// What has been told, as a diagnosis; none if nothing was.
    pub const fn diagnosis(&self) -> Option<&Diagnosis> {
        match &self.last {
            Some((diagnosis, _)) => Some(diagnosis),
            None => None,
        }
    }

    /// Names for completion: commands, then ids and names of causes.
    pub fn completions(&self) -> Vec<String> {
        let mut out: Vec<String> = COMMANDS.iter().map(|c| c.name.to_owned()).collect();
        for cause in &self.base().causes {
            out.push(cause.name.clone());
            out.push(cause.id.clone());
        }
        out.sort();
        out.dedup();
        out
    }

    /// The first words.
    pub fn greeting(&self) -> Reply {
        Reply::of(Block::Welcome)
    }

    /// The same golfer from nothing: what was said is forgotten, what was learned of the knowledge
    /// is kept.
    pub fn start_over(&mut self, hand: Option<Hand>) {
        self.talk = Talk::new(hand);
        self.golfers = two_golfers::Golfers::default();
        self.past.clear();
        self.last = None;
        self.rude_or_odd = 0;
        self.hinted = false;
        if self.notebook.backed {
            self.notebook.begin_again();
        } else {
            self.notebook = Notebook::new(self.notebook.now);
        }
        self.recall_lasting();
    }

    /// Notes answers to checks given from outside a talk.
    pub fn answer_checks(&mut self, answers: &[(CheckId, bool)]) {
        for (check, yes) in answers {
            self.talk.answers.retain(|(c, _)| c != check);
            self.talk.answers.push((*check, *yes));
        }
        self.judge();
    }

    /// The reply to one line.
    pub fn respond(&mut self, line: &str) -> Reply {
        let cut = line.len() > LONGEST_LINE;
        let mut end = line.len().min(LONGEST_LINE);
        while !line.is_char_boundary(end) {
            end -= 1;
        }
        let line = line.get(..end).unwrap_or("");
        let before = self.talk.clone();
        self.written = self.notebook.length();
        self.notebook.took_up = false;
        self.beside.clear();
        self.put = match self.talk.pending {
            Some(Question::Check(check)) => Some(check),
            _ => None,
        };
        let mut reply = self.respond_whole(line);
        for (caution, _) in std::mem::take(&mut self.beside) {
            self.talk.cautioned.push(caution);
            let alone = false;
            reply.blocks.insert(0, Block::Caution { caution, alone });
        }
        if self.leave.take().is_some() {
            reply.blocks.insert(0, Block::Note(Note::WithLeave));
        }
        self.agree(before.prescribed);
        self.write_down(line, &before);
        self.hint_once(&mut reply);
        if cut {
            reply.blocks.insert(0, Block::Note(Note::Cut(LONGEST_LINE)));
        }
        reply
    }

    /// What can be said to a question is said with the first one.
    fn hint_once(&mut self, reply: &mut Reply) {
        for block in &mut reply.blocks {
            if let Block::Ask { value, .. } = block
                && value.is_some()
            {
                if self.hinted {
                    *value = None;
                }
                self.hinted = true;
            }
        }
    }

    /// The same without hints on what to type next, for answers that nobody can reply to.
    #[must_use]
    pub const fn without_hints(mut self) -> Self {
        self.hinted = true;
        self
    }

    /// Keeps the talk as it was, to be taken back to.
    fn step(&mut self, before: Talk) {
        self.past.push((before, self.written));
        if self.past.len() > STEPS_KEPT {
            self.past.remove(0);
        }
    }

    fn respond_whole(&mut self, line: &str) -> Reply {
        if let Some(reply) = self.learner(line) {
            return reply;
        }
        if line.trim().is_empty() {
            return Reply::note(Note::EmptyLine);
        }
        if let Some(reply) = self.safety(line) {
            return reply;
        }
        if let Some(reply) = self.one_golfer(line) {
            return reply;
        }
        let before = self.talk.clone();
        if let Some(reply) = self.past_the_start(line) {
            return reply;
        }
        if let Some(reply) = self.results(line) {
            self.counted = self.notebook.length() > self.written;
            if self.counted {
                self.step(before);
            }
            return reply;
        }
        self.counted = false;
        if let Some(reply) = self.otherwise(line).or_else(|| self.ask_and_tell(line)) {
            if self.talk != before {
                self.step(before);
            }
            return reply;
        }
        if let Some(reply) = self.threaded(line) {
            if self.talk != before {
                self.step(before);
            }
            return reply;
        }
        if let Some(number) = self.set_aside(line) {
            return self.take_back(number);
        }
        let early = self.faded(line).or_else(|| self.for_today(line));
        if let Some(reply) = self.is_that_a_lot(line) {
            if self.talk != before {
                self.step(before);
            }
            return reply;
        }
        if let Some(reply) = early.or_else(|| self.coach_forms(line)) {
            return reply;
        }
        if let Some(said) = command(line)
            && let Some(reply) = self.carry_out(&said, line)
        {
            return reply;
        }
        let between = self.of_trying(line);
        let between = between.or_else(|| self.word_and_more(line));
        let between = between.or_else(|| self.either(line));
        let between = between.or_else(|| self.coach_asks(line));
        let between = between.or_else(|| self.how_known(line));
        let between = between.or_else(|| self.unit_put_right(line));
        let between = between.or_else(|| self.target_read(line));
        let between = between.or_else(|| self.reaction(line));
        let between = between.or_else(|| self.asked_after_telling(line));
        if let Some(reply) = between.or_else(|| self.no_such_drawing(line)) {
            if self.talk != before {
                self.step(before);
            }
            return reply;
        }
        if let Some(reply) = self.question(line).or_else(|| self.concept(line)) {
            if self.talk != before {
                self.step(before);
            }
            return reply;
        }
        let asked = self.only_asked(line).or_else(|| self.denied(line));
        if let Some(reply) = asked {
            if self.talk != before {
                self.step(before);
            }
            return reply;
        }
        let reply = match self.talk.pending.clone() {
            Some(question) => self.answer(&question, line),
            None => self.talk_line(line),
        };
        if self.talk != before {
            self.step(before);
        }
        reply
    }

    // ------------------------------------------------------------------ judging

    fn judge(&mut self) {
        if self.talk.is_empty() {
            self.last = None;
            return;
        }
        let base = Arc::clone(self.mind.base());
        let (case, places) = self.talk.case(&base);
        self.last = Some((diagnose(&mut self.mind, &case), places));
    }

    /// What happened, why, and what next.
    fn turn(&mut self, depth: Depth) -> Vec<Block> {
        self.judge();
        let Some((diagnosis, places)) = self.last.clone() else {
            return vec![Block::Note(Note::NothingKnown)];
        };
        if let Some(question) = self.only_a_side() {
            return vec![Block::Ask {
                question,
                value: None,
            }];
        }
        if diagnosis.evidence.is_empty() && diagnosis.numbers.is_empty() {
            return vec![Block::Note(Note::AllWell)];
        }
        // "I don't slice and I don't hook": nothing is told of what does go wrong.
        let none = |e: &Evidence| match e {
            Evidence::Symptom {
                symptom,
                present: false,
                ..
            } => !self.base().symptom(*symptom).well,
            _ => false,
        };
        if diagnosis.numbers.is_empty()
            && self.talk.hints.is_empty()
            && self.talk.pending.is_none()
            && diagnosis.evidence.iter().all(|(_, e)| none(e))
        {
            return vec![Block::Note(Note::AllWell)];
        }
        let mut blocks =
            turn::findings_blocks(&mut self.mind, &self.talk, &places, &diagnosis, depth);
        let nothing_else = diagnosis.evidence.iter().all(|(_, e)| {
            matches!(
                e,
                Evidence::Measured { .. } | Evidence::Symptom { present: false, .. }
            )
        });
        let consistent = diagnosis.clashes.is_empty();
        let odd = |b: &Block| {
            matches!(b, Block::Signs(_))
                || matches!(b, Block::Arc { arc, .. } if !arc.effects.is_empty())
        };
        if diagnosis.evidence.is_empty()
            || (nothing_else
                && consistent
                && !blocks.iter().any(odd)
                && arc::all_good(self.mind.base(), &diagnosis))
        {
            blocks.retain(|b| matches!(b, Block::Clash(..) | Block::Arc { .. } | Block::Signs(_)));
            if diagnosis.evidence.is_empty() {
                // No number of these is of the club's arc: what golfers in general do says nothing.
                blocks.retain(|b| !matches!(b, Block::Arc { arc, .. } if arc.chain.is_empty()));
                if consistent {
                    let said = blocks.iter().any(odd);
                    blocks.push(Block::Note(Note::NumbersAlone(said)));
                }
            } else {
                blocks.push(Block::Note(Note::GoodNumbers));
            }
            if let Some(question) = self.talk.pending.clone()
                && !matches!(question, Question::Check(_))
            {
                blocks.push(Block::Ask {
                    question,
                    value: None,
                });
            }
            return blocks;
        }
        // The reason for the same leader is said once.
        let leader = turn::worth_naming(self.mind.base(), &diagnosis.judgement)
            .first()
            .map(|c| c.cause);
        if depth == Depth::AfterAnswer && self.talk.because == leader {
            blocks.retain(|b| !matches!(b, Block::Because { .. }));
        }
        self.talk.because = leader;
        if let Some(question) = self.talk.pending.clone()
            && self.talk.held.is_none()
            && !matches!(question, Question::Check(_))
        {
            blocks.push(Block::Ask {
                question,
                value: None,
            });
            return blocks;
        }
        if diagnosis.judgement.causes.is_empty() {
            return blocks;
        }
        // What is being counted is not changed by the way.
        if let Some(cause) = self.counted_against()
            && self.talk.held.is_none()
            && self.talk.again.is_none()
            && self.talk.prescribed.is_some_and(|(c, _)| c == cause)
        {
            let other = diagnosis.practice.as_ref().map(|p| p.cause);
            let other = other.filter(|c| *c != cause);
            blocks.push(Block::StaysWith { cause, other });
            return blocks;
        }
        blocks.extend(turn::closing_block(&self.mind, &mut self.talk, &diagnosis));
        blocks
    }
}

/// The line with these spans blanked, every other byte in its place.
fn without(line: &str, spans: impl Iterator<Item = Span>) -> String {
    let spans: Vec<Span> = spans.collect();
    let blank = |at: usize| spans.iter().any(|s| s.start <= at && at < s.end);
    let mut out = String::with_capacity(line.len());
    for (at, c) in line.char_indices() {
        if blank(at) {
            out.extend(std::iter::repeat_n(' ', c.len_utf8()));
        } else {
            out.push(c);
        }
    }
    out
}

/// The evidence of a diagnosis that is a symptom, for callers outside the talk.
pub fn symptoms_of(diagnosis: &Diagnosis) -> Vec<&Evidence> {
    diagnosis
        .evidence
        .iter()
        .map(|(_, e)| e)
        .filter(|e| matches!(e, Evidence::Symptom { .. }))
        .collect()
}

/// The unit in which an axis is written in the knowledge.
pub fn axis_unit(axis: Axis) -> Unit {
    Axis::ALL
        .iter()
        .find(|(a, _, _, _)| *a == axis)
        .and_then(|(_, _, unit, _)| Unit::from_symbol(unit))
        .unwrap_or(Unit::One)
}

/// True if the heard thing is a number.
pub const fn heard_number(heard: &Heard) -> bool {
    matches!(heard.finding.what, What::Number(_))
}
