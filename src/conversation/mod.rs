//! The talk as a value: a line in, a [`Reply`] out.
//!
//! A [`Session`] holds the knowledge, the simulated golfers and what has been said. Every line gets
//! a reply; nothing a person can type makes it fail, and nothing said is dropped without a word.
//! The order for each line: 1. safety; 2. commands; 3. the answer to what was asked; 4. talk. The
//! same lines give the same replies. Reads no clock and no file, makes no sentence (`wording`), and
//! knows no cause, symptom or drill by name.
//!
//! Start reading at [`Session::respond`].

mod command;
mod names;
mod reply;
mod talk;
mod turn;

use std::sync::Arc;

use crate::causes::CausesError;
use crate::causes::model::{Axis, Change, Event, Evidence};
use crate::diagnosis::{Diagnosis, Mind, diagnose};
use crate::explanation::{accounts, contrast, hypothesis, why};
use crate::knowledge::{CautionLevel, KnowledgeBase};
use crate::quantity::{Amount, Unit};
use crate::reading::quick::{Asked, Reply as Answered, read_answer};
use crate::reading::safety::Lookout;
use crate::reading::{Correction, Phrases, Polarity, Reading, Span, Tone, Unclear, What, read};
use crate::vocabulary::{CauseId, Hand};

pub use command::{COMMANDS, Command, Said, Takes, Verb, command, nearest_command};
pub use reply::{
    ArcNumbers, Block, ChainStep, Changed, Heard, Note, Question, ReasonLine, Reply, is_number,
};

use talk::{Statement, Talk};

/// The longest line that is read; the rest is cut off with a notice.
pub const LONGEST_LINE: usize = 200_000;

/// How many steps can be taken back.
const STEPS_KEPT: usize = 200;

/// Events shown by a what-if.
const WHAT_IF_EVENTS: [Event; 9] = [
    Event::Clean,
    Event::Thin,
    Event::Topped,
    Event::SlightlyHeavy,
    Event::Fat,
    Event::StartsPush,
    Event::StartsPull,
    Event::CurvePushBig,
    Event::CurvePullBig,
];

/// A talk about one golfer.
#[derive(Debug, Clone)]
pub struct Session {
    mind: Mind,
    phrases: Arc<Phrases>,
    lookout: Arc<Lookout>,
    talk: Talk,
    past: Vec<Talk>,
    last: Option<(Diagnosis, Vec<usize>)>,
    metric: bool,
    hand_given: Option<Hand>,
    rude_or_odd: usize,
}

impl Session {
    /// A new talk with this knowledge.
    ///
    /// # Errors
    /// [`CausesError`] if the knowledge describes no golfers.
    pub fn new(base: Arc<KnowledgeBase>, hand: Option<Hand>) -> Result<Self, CausesError> {
        let phrases = Arc::new(Phrases::compile(&base.lexicon));
        let lookout = Arc::new(Lookout::new(&base));
        Ok(Self {
            mind: Mind::new(base)?,
            phrases,
            lookout,
            talk: Talk::new(hand),
            past: Vec::new(),
            last: None,
            metric: false,
            hand_given: hand,
            rude_or_odd: 0,
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

    /// Everything known, numbered.
    pub fn known(&self) -> Vec<Heard> {
        turn::heard(&self.talk, None)
    }

    /// What is being asked.
    pub const fn asking(&self) -> Option<&Question> {
        self.talk.pending.as_ref()
    }

    /// The pattern that a finding belongs to, as the diagnosis sees it.
    pub fn pattern_of(&self, finding: &crate::reading::Finding) -> crate::diagnosis::Pattern {
        talk::pattern(self.mind.base(), &finding.pattern)
    }

    /// The drill that may be given for a cause.
    pub fn drill_for(&self, cause: CauseId) -> Option<crate::vocabulary::DrillId> {
        turn::drill_for(self.mind.base(), &self.talk, cause)
    }

    /// For each cause, the words of each piece of evidence with its weight in decibans.
    pub fn accounts(&mut self, causes: &[CauseId]) -> Vec<(CauseId, Vec<(String, f64)>)> {
        let Some((diagnosis, places)) = self.last.clone() else {
            return Vec::new();
        };
        let base = Arc::clone(self.mind.base());
        let words = turn::words(&base, &self.talk, &places, &diagnosis);
        accounts(&mut self.mind, &diagnosis, causes)
            .into_iter()
            .map(|account| {
                let lines = account
                    .entries
                    .iter()
                    .map(|e| {
                        (
                            words.get(e.evidence).cloned().unwrap_or_default(),
                            e.decibans,
                        )
                    })
                    .collect();
                (account.cause, lines)
            })
            .collect()
    }

    /// For each cause, playable shots gained in a hundred if it were gone.
    pub fn benefits(&mut self, causes: &[CauseId]) -> Vec<(CauseId, f64)> {
        let Some((diagnosis, _)) = self.last.clone() else {
            return Vec::new();
        };
        self.mind
            .simulation()
            .benefits(&diagnosis.judgement, causes)
            .into_iter()
            .map(|b| (b.cause, b.playable))
            .collect()
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
        self.past.clear();
        self.last = None;
        self.rude_or_odd = 0;
    }

    /// Notes answers to checks given from outside a talk.
    pub fn answer_checks(&mut self, answers: &[(crate::vocabulary::CheckId, bool)]) {
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
        let mut reply = self.respond_whole(line);
        if cut {
            reply.blocks.insert(0, Block::Note(Note::Cut(LONGEST_LINE)));
        }
        reply
    }

    fn respond_whole(&mut self, line: &str) -> Reply {
        if line.trim().is_empty() {
            return Reply::note(Note::EmptyLine);
        }
        if let Some(reply) = self.safety(line) {
            return reply;
        }
        if let Some(said) = command(line)
            && let Some(reply) = self.carry_out(&said, line)
        {
            return reply;
        }
        let before = self.talk.clone();
        let reply = match self.talk.pending.clone() {
            Some(question) => self.answer(&question, line),
            None => self.talk_line(line),
        };
        if self.talk != before {
            self.past.push(before);
            if self.past.len() > STEPS_KEPT {
                self.past.remove(0);
            }
        }
        reply
    }

    // ------------------------------------------------------------------ safety

    fn safety(&mut self, line: &str) -> Option<Reply> {
        let alarms = self.lookout.look(line);
        let emergency = alarms.iter().find(|a| a.level == CautionLevel::Emergency);
        if let Some(alarm) = emergency {
            self.talk.held = Some(alarm.caution);
            self.talk.pending = Some(Question::Safety(alarm.caution));
            return Some(Reply::of(Block::Caution {
                caution: alarm.caution,
                alone: true,
            }));
        }
        for alarm in &alarms {
            for ail in &alarm.ails {
                if !self.talk.ails.contains(ail) {
                    self.talk.ails.push(ail.clone());
                }
            }
        }
        let first = alarms.iter().find(|a| a.level == CautionLevel::First)?;
        if self.talk.held == Some(first.caution)
            && matches!(self.talk.pending, Some(Question::Safety(_)))
        {
            return None;
        }
        self.past.push(self.talk.clone());
        self.talk.held = Some(first.caution);
        let mut blocks = vec![Block::Caution {
            caution: first.caution,
            alone: false,
        }];
        // The rest of the line is still read, but nothing is practised.
        let reading = self.read(line);
        blocks.extend(self.take_in(&reading, line));
        let question = Question::Safety(first.caution);
        self.talk.pending = Some(question.clone());
        self.judge();
        if self.base().caution(first.caution).ask.is_some() {
            blocks.push(Block::Ask {
                question,
                value: None,
            });
        } else {
            self.talk.pending = None;
        }
        Some(Reply {
            blocks,
            leave: false,
        })
    }

    // ------------------------------------------------------------------ talk

    fn read(&self, line: &str) -> Reading {
        read(&self.phrases, &self.talk.context(), line)
    }

    fn talk_line(&mut self, line: &str) -> Reply {
        let reading = self.read(line);
        let told_before = self.talk.statements.len() + self.talk.hints.len();
        let mut blocks = self.take_in(&reading, line);
        let told = self.talk.statements.len() + self.talk.hints.len() > told_before
            || !reading.corrections.is_empty()
            || (reading.hand.is_some() && !self.talk.is_empty());
        if !told {
            return self.nothing_told(&reading, line, blocks);
        }
        self.rude_or_odd = 0;
        blocks.extend(self.turn(true));
        Reply {
            blocks,
            leave: false,
        }
    }

    /// Notes what a line says; gives the echo.
    fn take_in(&mut self, reading: &Reading, line: &str) -> Vec<Block> {
        self.talk.said.push(line.to_owned());
        let number = self.talk.said.len();
        let mut blocks = Vec::new();
        if let Some(hand) = reading.hand {
            let new = self.talk.hand != Some(hand);
            self.talk.hand = Some(hand);
            if new && reading.findings.is_empty() {
                blocks.push(Block::Note(Note::HandNoted(hand)));
            }
        }
        let words = |span: Span| span.of(line).trim().to_owned();
        for correction in &reading.corrections {
            match correction {
                Correction::Clubs { to, .. } => {
                    self.talk.change_clubs(to, number);
                    blocks.push(Block::Note(Note::ClubChanged));
                }
                Correction::Symptom { from, .. } => self.talk.drop_symptom(*from, number),
                Correction::Number { quantity, .. } => self.talk.drop_quantity(*quantity, number),
                Correction::Hand { to, .. } => self.mirror(*to),
            }
        }
        for finding in &reading.findings {
            self.talk.statements.push(Statement {
                finding: finding.clone(),
                words: words(finding.said),
                dropped: false,
                line: number,
            });
        }
        for hint in reading
            .hints
            .iter()
            .filter(|h| h.polarity == Polarity::Present)
        {
            let weight = hint.weight / hint.causes.len().max(1) as f64;
            for cause in &hint.causes {
                if !self.talk.hints.iter().any(|(c, _, _)| c == cause) {
                    self.talk.hints.push((*cause, weight, words(hint.said)));
                }
            }
        }
        self.talk.scope = reading.scope.clone();
        let heard: Vec<Heard> = turn::heard(&self.talk, Some(number))
            .into_iter()
            .filter(|h| h.new)
            .collect();
        if !heard.is_empty() {
            blocks.push(Block::Understood(heard));
        }
        if !reading.spelling.is_empty() {
            let fixes = reading
                .spelling
                .iter()
                .map(|s| (words(s.said), s.read_as.clone()))
                .collect();
            blocks.push(Block::Spelling(fixes));
        }
        if !reading.unused.is_empty() {
            blocks.push(Block::Unused(
                reading.unused.iter().map(|s| words(*s)).collect(),
            ));
        }
        if !reading.history.is_empty() {
            let asides = reading
                .history
                .iter()
                .map(|a| (words(a.finding.said), a.why))
                .collect();
            blocks.push(Block::Aside(asides));
        }
        if !reading.hints.is_empty() {
            let hints = reading
                .hints
                .iter()
                .flat_map(|h| h.causes.iter().map(|c| (*c, h.polarity)))
                .collect();
            blocks.push(Block::Hinted(hints));
        }
        for topic in &reading.topics {
            blocks.push(Block::Answer {
                answer: topic.answer,
                told: topic.told,
            });
        }
        for unclear in &reading.unclear {
            if let Unclear::Impossible {
                quantity,
                low,
                high,
                unit,
                said,
            } = unclear
            {
                blocks.push(Block::Impossible {
                    quantity: *quantity,
                    words: words(*said),
                    low: *low,
                    high: *high,
                    unit: *unit,
                });
            }
        }
        if self.talk.pending.is_none() {
            self.talk.pending = self.to_clear_up(reading, line);
        }
        blocks
    }

    /// The question that an unclear reading raises, if any.
    fn to_clear_up(&mut self, reading: &Reading, line: &str) -> Option<Question> {
        let words = |span: Span| span.of(line).trim().to_owned();
        for unclear in &reading.unclear {
            let question = match unclear {
                Unclear::Unit {
                    quantity,
                    units,
                    said,
                } => Question::Unit {
                    quantity: *quantity,
                    units: units.clone(),
                    words: words(*said),
                },
                Unclear::Direction { quantity, said } => Question::Direction {
                    quantity: *quantity,
                    words: words(*said),
                },
                Unclear::Quantity { quantities, said } if !quantities.is_empty() => {
                    Question::Number {
                        quantities: quantities.clone(),
                        words: words(*said),
                    }
                }
                Unclear::Hand { .. } if self.talk.hand.is_none() && !self.talk.hand_asked => {
                    self.talk.hand_asked = true;
                    Question::Hand
                }
                Unclear::Meaning {
                    symptoms,
                    causes,
                    said,
                    ..
                } => Question::Meaning {
                    symptoms: symptoms.clone(),
                    causes: causes.clone(),
                    words: words(*said),
                },
                Unclear::Sure { finding } => {
                    let said = reading.findings.get(*finding)?.said;
                    let first = self.talk.statements.len() - reading.findings.len();
                    Question::Sure {
                        number: first + finding + 1,
                        words: words(said),
                    }
                }
                Unclear::Quantity { .. }
                | Unclear::Hand { .. }
                | Unclear::Amount { .. }
                | Unclear::Impossible { .. } => {
                    continue;
                }
            };
            return Some(question);
        }
        None
    }

    /// Reads sided statements again for the hand.
    fn mirror(&mut self, hand: Hand) {
        self.talk.hand = Some(hand);
        let lines: Vec<usize> = self
            .talk
            .statements
            .iter()
            .filter(|s| s.finding.needs_hand)
            .map(|s| s.line)
            .collect();
        for number in lines {
            let Some(line) = number
                .checked_sub(1)
                .and_then(|i| self.talk.said.get(i))
                .cloned()
            else {
                continue;
            };
            let again = self.read(&line);
            // The same words say the same of the same clubs, but for the side.
            let mut fresh = again.findings.into_iter();
            for statement in self.talk.statements.iter_mut().filter(|s| s.line == number) {
                let place = fresh.by_ref().find(|f| f.said == statement.finding.said);
                if let Some(found) = place
                    && statement.finding.needs_hand
                {
                    statement.finding.what = found.what;
                    statement.finding.needs_hand = false;
                }
            }
        }
    }

    fn nothing_told(&mut self, reading: &Reading, line: &str, mut blocks: Vec<Block>) -> Reply {
        let answered = blocks.iter().any(|b| {
            matches!(
                b,
                Block::Answer { .. } | Block::Impossible { .. } | Block::Note(Note::HandNoted(_))
            )
        });
        let tone = match &reading.tone {
            Tone::Greeting => Some(Note::Greeting),
            Tone::Thanks => Some(Note::Thanks),
            Tone::Goodbye => {
                return Reply {
                    blocks: vec![Block::Goodbye],
                    leave: true,
                };
            }
            Tone::OutOfScope(what) => Some(Note::OutOfScope(what.clone())),
            Tone::OffTopic => Some(Note::OffTopic),
            Tone::Abuse => Some(Note::Abuse),
            Tone::OtherLanguage(language) => Some(Note::OtherLanguage(language.clone())),
            Tone::Nothing | Tone::Talk => None,
        };
        if let Some(note) = tone {
            blocks.push(Block::Note(note));
        } else if let Some(question) = self.talk.pending.clone() {
            blocks.push(Block::Ask {
                question,
                value: None,
            });
        } else if !answered && !blocks.iter().any(|b| matches!(b, Block::Aside(_))) {
            self.rude_or_odd += 1;
            match nearest_command(line) {
                Some(name) => {
                    blocks.push(Block::Note(Note::NoSuchCommand(
                        line.trim().to_owned(),
                        name.to_owned(),
                    )));
                }
                None => blocks.push(Block::Note(Note::NotUnderstood)),
            }
        }
        Reply {
            blocks,
            leave: false,
        }
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
    fn turn(&mut self, few: bool) -> Vec<Block> {
        self.judge();
        let Some((diagnosis, places)) = self.last.clone() else {
            return vec![Block::Note(Note::NothingKnown)];
        };
        if diagnosis.evidence.is_empty() {
            return vec![Block::Note(Note::AllWell)];
        }
        let mut blocks =
            turn::findings_blocks(&mut self.mind, &self.talk, &places, &diagnosis, few);
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
        blocks.extend(turn::closing_block(&self.mind, &mut self.talk, &diagnosis));
        blocks
    }

    // ------------------------------------------------------------------ answers

    fn answer(&mut self, question: &Question, line: &str) -> Reply {
        let base = Arc::clone(self.mind.base());
        let asked = asked(&base, question);
        let answer = read_answer(&self.phrases, &self.talk.context(), &asked, line);
        let mut blocks = Vec::new();
        if !self.apply(question, answer.reply, &mut blocks) {
            return self.no_answer(question, line);
        }
        let extras = answer.extras;
        let told_more = !(extras.findings.is_empty()
            && extras.corrections.is_empty()
            && extras.hints.is_empty()
            && extras.topics.is_empty());
        let answers_itself = matches!(
            question,
            Question::Unit { .. } | Question::Direction { .. } | Question::Number { .. }
        );
        if told_more && !answers_itself {
            blocks.extend(self.take_in(&extras, line));
        }
        let waits = self.talk.held.is_some() && self.talk.pending.is_none();
        if waits || self.talk.is_empty() {
            return Reply {
                blocks,
                leave: false,
            };
        }
        blocks.extend(self.turn(true));
        Reply {
            blocks,
            leave: false,
        }
    }

    /// A line that is no answer is talk; the question stays open if the line was nothing else.
    fn no_answer(&mut self, question: &Question, line: &str) -> Reply {
        self.talk.pending = None;
        let reply = self.talk_line(line);
        let safety = matches!(question, Question::Safety(_));
        let lost = reply.blocks.iter().any(|b| {
            matches!(
                b,
                Block::Note(Note::NotUnderstood | Note::NoSuchCommand(..))
            )
        });
        if lost {
            self.talk.pending = Some(question.clone());
            return Reply {
                blocks: vec![
                    Block::Note(Note::AnswerNotUnderstood),
                    Block::Ask {
                        question: question.clone(),
                        value: None,
                    },
                ],
                leave: false,
            };
        }
        if safety && self.talk.pending.is_none() {
            self.talk.pending = Some(question.clone());
        }
        reply
    }

    /// Notes an answer; false if it was none.
    fn apply(&mut self, question: &Question, answered: Answered, blocks: &mut Vec<Block>) -> bool {
        match (question.clone(), answered) {
            (_, Answered::Other) => return false,
            (Question::Check(check), Answered::Yes | Answered::No) => {
                let yes = answered == Answered::Yes;
                self.talk.asked.push(check);
                self.talk.answers.retain(|(c, _)| *c != check);
                self.talk.answers.push((check, yes));
                blocks.push(Block::Note(Note::Answered(yes)));
            }
            // "A bit", "sometimes": a yes from a half on, else neither.
            (Question::Check(check), Answered::Partly(share)) => {
                self.talk.asked.push(check);
                if share >= 0.5 {
                    self.talk.answers.push((check, true));
                    blocks.push(Block::Note(Note::Answered(true)));
                } else {
                    blocks.push(Block::Note(Note::DontKnow));
                }
            }
            (Question::Check(check), Answered::DontKnow) => {
                self.talk.asked.push(check);
                blocks.push(Block::Note(Note::DontKnow));
            }
            (
                Question::Safety(caution),
                Answered::Yes | Answered::DontKnow | Answered::Partly(_),
            ) => {
                blocks.push(Block::Caution {
                    caution,
                    alone: true,
                });
                self.talk.held = Some(caution);
                self.talk.pending = None;
                return true;
            }
            (Question::Safety(_), Answered::No) => {
                self.talk.held = None;
                blocks.push(Block::Cleared);
            }
            (Question::Hand, Answered::Hand(hand)) => {
                self.mirror(hand);
                blocks.push(Block::Note(Note::HandNoted(hand)));
            }
            (Question::Sure { number, .. }, Answered::Yes | Answered::No | Answered::Partly(_)) => {
                let no = answered == Answered::No;
                if let Some(statement) = self.talk.statements.get_mut(number.saturating_sub(1)) {
                    statement.finding.polarity = if no {
                        Polarity::Absent
                    } else {
                        Polarity::Present
                    };
                    if let Answered::Partly(share) = answered {
                        statement.finding.often = Some(share);
                    }
                }
                blocks.push(Block::Note(Note::Answered(!no)));
            }
            (
                Question::Unit {
                    quantity, words, ..
                },
                Answered::Option(place),
            ) => {
                if !self.settle_unit(question, quantity, &words, place, blocks) {
                    return false;
                }
            }
            (Question::Direction { quantity, words }, Answered::Option(place)) => {
                let base = Arc::clone(self.mind.base());
                let q = base.quantity(quantity);
                let ways = [&q.positive, &q.negative];
                let Some(way) = ways.into_iter().flatten().nth(place) else {
                    return false;
                };
                let again = format!("{} {words} {way}", q.name);
                if !self.read_again(&again, blocks) {
                    return false;
                }
            }
            (Question::Number { quantities, words }, Answered::Option(place)) => {
                let base = Arc::clone(self.mind.base());
                let Some(quantity) = quantities.get(place) else {
                    return false;
                };
                let again = format!("{} {words}", base.quantity(*quantity).name);
                if !self.read_again(&again, blocks) {
                    return false;
                }
            }
            (
                Question::Meaning {
                    symptoms,
                    causes,
                    words,
                },
                Answered::Option(place),
            ) => {
                if let Some(symptom) = symptoms.get(place) {
                    let name = self.base().symptom(*symptom).name.clone();
                    if !self.read_again(&name, blocks) {
                        return false;
                    }
                } else if let Some(cause) = causes.get(place - symptoms.len()) {
                    self.talk.hints.push((*cause, 0.25, words));
                }
            }
            (_, Answered::DontKnow) => blocks.push(Block::Note(Note::DontKnow)),
            (
                _,
                Answered::Yes
                | Answered::No
                | Answered::Partly(_)
                | Answered::Hand(_)
                | Answered::Number { .. }
                | Answered::UnitMissing(_)
                | Answered::Option(_),
            ) => return false,
        }
        self.talk.pending = None;
        true
    }

    fn settle_unit(
        &mut self,
        question: &Question,
        quantity: crate::vocabulary::QuantityId,
        words: &str,
        place: usize,
        blocks: &mut Vec<Block>,
    ) -> bool {
        let Question::Unit { units, .. } = question else {
            return false;
        };
        let Some(unit) = units.get(place) else {
            return false;
        };
        let again = format!("{} {words} {unit}", self.base().quantity(quantity).name);
        self.read_again(&again, blocks)
    }

    /// Reads words completed by an answer; false if they still say nothing.
    fn read_again(&mut self, line: &str, blocks: &mut Vec<Block>) -> bool {
        let reading = self.read(line);
        if reading.findings.is_empty() {
            return false;
        }
        self.talk.pending = None;
        blocks.extend(self.take_in(&reading, line));
        true
    }

    // ------------------------------------------------------------------ commands

    fn carry_out(&mut self, said: &Said, line: &str) -> Option<Reply> {
        let reply = match said.verb {
            Verb::Help => {
                let topic = (!said.rest.is_empty()).then(|| said.rest.clone());
                Reply::of(Block::Help(topic))
            }
            Verb::Bye => Reply {
                blocks: vec![Block::Goodbye],
                leave: true,
            },
            Verb::StartOver => {
                self.start_over(self.hand_given);
                Reply::note(Note::StartedOver)
            }
            Verb::Metric | Verb::Imperial => {
                self.metric = said.verb == Verb::Metric;
                Reply::note(Note::Metric(self.metric))
            }
            Verb::Known => Reply::of(if self.talk.is_empty() {
                Block::Note(Note::NothingKnown)
            } else {
                Block::Known(self.known())
            }),
            Verb::Undo => self.undo(),
            Verb::Not => self.take_back(said.number?),
            Verb::Fix => self.fix(said.number?, &said.rest),
            Verb::Skip => return self.skip(),
            Verb::Quick => self.quick(),
            Verb::AskMore => self.ask_more(),
            Verb::HowToLook | Verb::WhyAsk => return self.about_question(),
            Verb::Why if said.rest.is_empty() => self.why_leader(),
            Verb::Why => self.why_named(&said.rest)?,
            Verb::WhyNot => self.why_not(&said.rest),
            Verb::Compare => return self.compare(&said.rest),
            Verb::Suppose => self.suppose(&said.rest),
            Verb::WhatIf => self.what_if(&said.rest),
            Verb::More => self.with_diagnosis(|s| Reply {
                blocks: s.more(),
                leave: false,
            }),
            Verb::Numbers => self.with_diagnosis(|s| match &s.last {
                Some((diagnosis, _)) => Reply::of(Block::Numbers(Box::new(diagnosis.clone()))),
                None => Reply::note(Note::NothingKnown),
            }),
            Verb::Draw => self.with_diagnosis(|s| match &s.last {
                Some((diagnosis, _)) => turn::arc_numbers(s.mind.base(), diagnosis).map_or_else(
                    || Reply::note(Note::NothingKnown),
                    |arc| Reply::of(Block::Drawing(Box::new(arc))),
                ),
                None => Reply::note(Note::NothingKnown),
            }),
            Verb::Practise => self.with_diagnosis(|s| s.practise(false)),
            Verb::PractiseAnyway => self.with_diagnosis(|s| s.practise(true)),
            Verb::Helped | Verb::DidNotHelp => self.practised(said.verb == Verb::Helped)?,
        };
        let _ = line;
        Some(reply)
    }

    fn with_diagnosis(&mut self, f: impl FnOnce(&mut Self) -> Reply) -> Reply {
        if self.last.is_none() {
            Reply::note(Note::NothingKnown)
        } else {
            f(self)
        }
    }

    fn undo(&mut self) -> Reply {
        let Some(before) = self.past.pop() else {
            return Reply::note(Note::NothingToUndo);
        };
        self.talk = before;
        self.judge();
        let mut blocks = vec![Block::Note(Note::Undone)];
        let known = self.known();
        if !known.is_empty() {
            blocks.push(Block::Known(known));
        }
        Reply {
            blocks,
            leave: false,
        }
    }

    fn take_back(&mut self, number: usize) -> Reply {
        let before = self.talk.clone();
        let Some(statement) = number
            .checked_sub(1)
            .and_then(|i| self.talk.statements.get_mut(i))
            .filter(|s| !s.dropped)
        else {
            return Reply::note(Note::NoSuchFinding(number));
        };
        statement.dropped = true;
        let words = statement.words.clone();
        self.talk.pending = None;
        self.past.push(before);
        let mut blocks = vec![Block::Note(Note::TakenBack(words))];
        blocks.extend(self.turn(true));
        Reply {
            blocks,
            leave: false,
        }
    }

    fn fix(&mut self, number: usize, words: &str) -> Reply {
        let before = self.talk.clone();
        let Some(statement) = number
            .checked_sub(1)
            .and_then(|i| self.talk.statements.get_mut(i))
            .filter(|s| !s.dropped)
        else {
            return Reply::note(Note::NoSuchFinding(number));
        };
        let pattern = statement.finding.pattern.clone();
        statement.dropped = true;
        let scope = std::mem::replace(&mut self.talk.scope, pattern.clone());
        let reading = self.read(words);
        if reading.findings.is_empty() {
            // Only the clubs are new: the old statement moves to them.
            self.talk = before.clone();
            if reading.scope != pattern && !reading.scope.groups.is_empty() {
                if let Some(statement) = self.talk.statements.get_mut(number - 1) {
                    statement.finding.pattern = reading.scope.clone();
                }
                self.past.push(before);
                let mut blocks = vec![Block::Note(Note::ClubChanged)];
                blocks.extend(self.turn(true));
                return Reply {
                    blocks,
                    leave: false,
                };
            }
            return Reply::note(Note::NotUnderstood);
        }
        let _ = scope;
        self.talk.pending = None;
        self.past.push(before);
        let mut blocks = self.take_in(&reading, words);
        blocks.extend(self.turn(true));
        Reply {
            blocks,
            leave: false,
        }
    }

    fn skip(&mut self) -> Option<Reply> {
        let question = self.talk.pending.clone()?;
        if matches!(question, Question::Safety(_)) {
            return Some(Reply::of(Block::Ask {
                question,
                value: None,
            }));
        }
        self.past.push(self.talk.clone());
        if let Question::Check(check) = question {
            self.talk.asked.push(check);
        }
        self.talk.pending = None;
        let mut blocks = vec![Block::Note(Note::DontKnow)];
        blocks.extend(self.turn(true));
        Some(Reply {
            blocks,
            leave: false,
        })
    }

    fn quick(&mut self) -> Reply {
        if self.last.is_none() {
            return Reply::note(Note::NothingKnown);
        }
        self.past.push(self.talk.clone());
        self.talk.questions_allowed = 0;
        if !matches!(self.talk.pending, Some(Question::Safety(_))) {
            self.talk.pending = None;
        }
        Reply {
            blocks: self.turn(true),
            leave: false,
        }
    }

    fn ask_more(&mut self) -> Reply {
        if self.last.is_none() {
            return Reply::note(Note::NothingKnown);
        }
        self.talk.questions_allowed = self.talk.questions + 3;
        let Some((diagnosis, _)) = self.last.clone() else {
            return Reply::note(Note::NothingKnown);
        };
        match &diagnosis.next_check {
            Some(value) if self.talk.held.is_none() => {
                Reply::of(turn::ask_check(&mut self.talk, value))
            }
            _ => Reply::note(Note::NoMoreQuestions),
        }
    }

    fn about_question(&self) -> Option<Reply> {
        match &self.talk.pending {
            Some(Question::Check(check)) => {
                let value = self
                    .last
                    .as_ref()
                    .and_then(|(d, _)| d.next_check.clone())
                    .filter(|v| v.check == *check)
                    .map(Box::new);
                Some(Reply::of(Block::AboutCheck {
                    check: *check,
                    value,
                }))
            }
            _ => Some(Reply::note(Note::NothingAsked)),
        }
    }

    fn leader(&self) -> Option<CauseId> {
        self.last
            .as_ref()
            .and_then(|(d, _)| d.judgement.causes.first())
            .map(|c| c.cause)
    }

    /// The cause the words name: of several, the one likeliest here.
    fn named(&self, words: &str) -> Result<CauseId, Note> {
        let base = self.mind.base();
        let causes = names::causes_named(base, &self.phrases, &self.talk.context(), words);
        let rank = |cause: &CauseId| {
            self.last
                .as_ref()
                .and_then(|(d, _)| d.judgement.causes.iter().position(|c| c.cause == *cause))
                .unwrap_or(usize::MAX)
        };
        causes
            .into_iter()
            .min_by_key(rank)
            .ok_or_else(|| Note::NoSuchCause(words.to_owned(), names::nearest_cause(base, words)))
    }

    fn why_leader(&mut self) -> Reply {
        match self.leader() {
            Some(cause) => self.why_cause(cause, false),
            None => Reply::note(Note::NothingKnown),
        }
    }

    fn why_named(&mut self, words: &str) -> Option<Reply> {
        for split in [" rather than ", " and not ", " instead of "] {
            if let Some((a, b)) = words.split_once(split) {
                return match (self.named(a), self.named(b)) {
                    (Ok(a), Ok(b)) => Some(self.contrast_reply(a, b)),
                    (Err(note), _) | (_, Err(note)) => Some(Reply::note(note)),
                };
            }
        }
        match self.named(words) {
            Ok(cause) if self.last.is_some() => Some(self.why_cause(cause, false)),
            Ok(_) => Some(Reply::note(Note::NothingKnown)),
            // "why the face is open" may be a question about how things work.
            Err(note) => {
                let reading = self.read(&format!("why {words}"));
                (reading.topics.is_empty() && reading.findings.is_empty())
                    .then(|| Reply::note(note))
            }
        }
    }

    fn why_cause(&mut self, cause: CauseId, deep: bool) -> Reply {
        let Some((diagnosis, places)) = self.last.clone() else {
            return Reply::note(Note::NothingKnown);
        };
        let base = Arc::clone(self.mind.base());
        let words = turn::words(&base, &self.talk, &places, &diagnosis);
        let reasoning = turn::reasoning(&base, &self.talk, &places, &diagnosis, deep);
        match why(&mut self.mind, &diagnosis, cause) {
            Some(why) => Reply::of(Block::Why {
                why: Box::new(why),
                words,
                reasoning,
            }),
            None => Reply::note(Note::NothingKnown),
        }
    }

    fn why_not(&mut self, words: &str) -> Reply {
        if self.last.is_none() {
            return Reply::note(Note::NothingKnown);
        }
        let cause = match self.named(words) {
            Ok(cause) => cause,
            Err(note) => return Reply::note(note),
        };
        match self.leader() {
            Some(leader) if leader == cause => self.why_cause(cause, false),
            Some(leader) => {
                let Some((diagnosis, places)) = self.last.clone() else {
                    return Reply::note(Note::NothingKnown);
                };
                let base = Arc::clone(self.mind.base());
                let words = turn::words(&base, &self.talk, &places, &diagnosis);
                match contrast(&mut self.mind, &diagnosis, leader, cause) {
                    Some(contrast) => Reply::of(Block::WhyNot {
                        contrast: Box::new(contrast),
                        words,
                    }),
                    None => Reply::note(Note::NothingKnown),
                }
            }
            None => Reply::note(Note::NothingKnown),
        }
    }

    fn compare(&mut self, words: &str) -> Option<Reply> {
        let (a, b) = [" rather than ", " or ", " versus ", " vs ", " and "]
            .iter()
            .find_map(|w| words.split_once(w))?;
        match (self.named(a), self.named(b)) {
            (Ok(a), Ok(b)) if self.last.is_some() => Some(self.contrast_reply(a, b)),
            (Ok(_), Ok(_)) => Some(Reply::note(Note::NothingKnown)),
            // Perhaps talk after all, unless it names one cause.
            (Err(_), Err(_)) => None,
            (Err(note), _) | (_, Err(note)) => Some(Reply::note(note)),
        }
    }

    fn contrast_reply(&mut self, a: CauseId, b: CauseId) -> Reply {
        let Some((diagnosis, places)) = self.last.clone() else {
            return Reply::note(Note::NothingKnown);
        };
        let base = Arc::clone(self.mind.base());
        let words = turn::words(&base, &self.talk, &places, &diagnosis);
        let contrast = contrast(&mut self.mind, &diagnosis, a, b);
        let first = hypothesis(&mut self.mind, &diagnosis, a);
        let second = hypothesis(&mut self.mind, &diagnosis, b);
        match (contrast, first, second) {
            (Some(contrast), Some(first), Some(second)) => Reply::of(Block::Compare {
                contrast: Box::new(contrast),
                words,
                predicts: Box::new((first, second)),
                ranked: Box::new((
                    diagnosis.judgement.of(a).cloned(),
                    diagnosis.judgement.of(b).cloned(),
                )),
            }),
            _ => Reply::note(Note::NothingKnown),
        }
    }

    fn suppose(&mut self, words: &str) -> Reply {
        let words = words
            .trim_start_matches("that ")
            .trim_start_matches("it is ")
            .trim_start_matches("it's ");
        let cause = match self.named(words) {
            Ok(cause) => cause,
            Err(note) => return Reply::note(note),
        };
        if self.last.is_none() {
            // A hypothesis before anything was told: what it predicts with the usual club.
            let base = Arc::clone(self.mind.base());
            let (case, places) = self.talk.case(&base);
            self.last = Some((diagnose(&mut self.mind, &case), places));
        }
        let Some((diagnosis, places)) = self.last.clone() else {
            return Reply::note(Note::NothingKnown);
        };
        let base = Arc::clone(self.mind.base());
        let words = turn::words(&base, &self.talk, &places, &diagnosis);
        let told = !self.talk.is_empty();
        let reply = match hypothesis(&mut self.mind, &diagnosis, cause) {
            Some(hypothesis) => {
                let rival = hypothesis
                    .rival
                    .and_then(|c| diagnosis.judgement.of(c).cloned());
                Reply::of(Block::Supposed {
                    ranked: diagnosis.judgement.of(cause).cloned(),
                    rival: rival.filter(|_| told),
                    hypothesis: Box::new(hypothesis),
                    words,
                })
            }
            None => Reply::note(Note::NothingKnown),
        };
        if !told {
            self.last = None;
        }
        reply
    }

    fn what_if(&mut self, words: &str) -> Reply {
        if self.last.is_none() {
            return Reply::note(Note::NothingKnown);
        }
        let base = Arc::clone(self.mind.base());
        let (changed, changes) = match names::change_named(&base, words) {
            Some((index, size)) => {
                let Some(change) = base.changes.iter().nth(index) else {
                    return Reply::note(Note::WhatIfNotUnderstood);
                };
                let moves: Vec<Change> = change
                    .moves
                    .iter()
                    .filter_map(|(axis, factor)| {
                        let amount = Amount::new(size * factor, change.unit).ok()?;
                        Some(Change::Move(*axis, amount))
                    })
                    .collect();
                (Changed::Moved(index, size), moves)
            }
            None => {
                let gone = [
                    "without ",
                    "i did not ",
                    "i didn't ",
                    "i didnt ",
                    "i stopped ",
                    "i stop ",
                    "no ",
                    "there were no ",
                    "i never ",
                ]
                .iter()
                .find_map(|lead| words.strip_prefix(lead));
                match gone.map(|rest| self.named(rest)) {
                    Some(Ok(cause)) => (Changed::Without(cause), vec![Change::Without(cause)]),
                    Some(Err(note)) => return Reply::note(note),
                    None => return Reply::note(Note::WhatIfNotUnderstood),
                }
            }
        };
        let Some((diagnosis, _)) = &self.last else {
            return Reply::note(Note::NothingKnown);
        };
        let group = diagnosis.judgement.focus;
        let judgement = diagnosis.judgement.clone();
        let result = self.mind.simulation().what_if(&judgement, &changes, group);
        let rate = |list: &[(Event, f64)], event: Event| {
            list.iter()
                .find(|(e, _)| *e == event)
                .map_or(0.0, |(_, r)| *r)
        };
        let rates = WHAT_IF_EVENTS
            .iter()
            .map(|e| (*e, rate(&result.before, *e), rate(&result.after, *e)))
            .collect();
        let value = |list: &[(Axis, Amount)], axis: Axis| {
            list.iter().find(|(a, _)| *a == axis).map(|(_, v)| *v)
        };
        let axes = [Axis::LowPoint, Axis::AttackAngle, Axis::ClubPath]
            .iter()
            .filter_map(|axis| {
                Some((
                    *axis,
                    value(&result.axes_before, *axis)?,
                    value(&result.axes_after, *axis)?,
                ))
            })
            .collect();
        Reply {
            blocks: vec![
                Block::WhatIf {
                    change: changed,
                    rates,
                    axes,
                },
                Block::Note(Note::StateKept),
            ],
            leave: false,
        }
    }

    fn more(&mut self) -> Vec<Block> {
        let Some((diagnosis, places)) = self.last.clone() else {
            return vec![Block::Note(Note::NothingKnown)];
        };
        turn::findings_blocks(&mut self.mind, &self.talk, &places, &diagnosis, false)
    }

    fn practise(&mut self, anyway: bool) -> Reply {
        let Some((diagnosis, _)) = self.last.clone() else {
            return Reply::note(Note::NothingKnown);
        };
        if let Some(caution) = self.talk.held {
            let question = Question::Safety(caution);
            self.talk.pending = Some(question.clone());
            return Reply {
                blocks: vec![
                    Block::DrillsHeld,
                    Block::Ask {
                        question,
                        value: None,
                    },
                ],
                leave: false,
            };
        }
        self.talk.pending = None;
        let base = Arc::clone(self.mind.base());
        let Some(pattern) = diagnosis.focus().cloned() else {
            return Reply::of(Block::NothingToPractise);
        };
        if let Some((cause, _)) = self.talk.prescribed
            && !anyway
            && diagnosis.practice.as_ref().is_none_or(|p| p.cause != cause)
        {
            return Reply::of(Block::AlreadyPrescribed(cause));
        }
        match &diagnosis.practice {
            Some(practice) => match turn::prescription(&base, &self.talk, &pattern, practice) {
                Some(block) => {
                    if let Block::Prescription { drill, .. } = &block {
                        self.talk.prescribed = Some((practice.cause, *drill));
                    }
                    Reply::of(block)
                }
                None => Reply::of(Block::DrillsHeld),
            },
            None => Reply::of(Block::NothingToPractise),
        }
    }

    fn practised(&mut self, helped: bool) -> Option<Reply> {
        let (cause, _) = self.talk.prescribed?;
        self.past.push(self.talk.clone());
        self.talk.practised.push((cause, helped));
        let mut blocks = vec![Block::Note(Note::PractiseNoted(helped))];
        if !helped {
            self.talk.prescribed = None;
            self.talk.questions_allowed = self.talk.questions + 1;
            blocks.extend(self.turn(true));
        } else {
            self.judge();
        }
        Some(Reply {
            blocks,
            leave: false,
        })
    }
}

/// What the reader is to look for in the answer.
fn asked(base: &KnowledgeBase, question: &Question) -> Asked {
    match question {
        Question::Check(_) | Question::Safety(_) | Question::Sure { .. } => Asked::YesNo,
        Question::Hand => Asked::Hand,
        Question::Unit { units, .. } => {
            Asked::OneOf(units.iter().map(|u| unit_words(*u).to_owned()).collect())
        }
        Question::Direction { quantity, .. } => {
            let q = base.quantity(*quantity);
            Asked::OneOf(
                [&q.positive, &q.negative]
                    .into_iter()
                    .flatten()
                    .cloned()
                    .collect(),
            )
        }
        Question::Number { quantities, .. } => Asked::OneOf(
            quantities
                .iter()
                .map(|q| base.quantity(*q).name.clone())
                .collect(),
        ),
        Question::Meaning {
            symptoms, causes, ..
        } => Asked::OneOf(
            symptoms
                .iter()
                .map(|s| base.symptom(*s).name.clone())
                .chain(causes.iter().map(|c| base.cause(*c).name.clone()))
                .collect(),
        ),
    }
}

/// A unit as people say it.
const fn unit_words(unit: Unit) -> &'static str {
    match unit {
        Unit::Inch => "in inch inches",
        Unit::Centimetre => "cm centimetre centimetres",
        Unit::Millimetre => "mm millimetre millimetres",
        Unit::Metre => "m metre metres",
        Unit::Yard => "yd yard yards",
        Unit::Foot => "ft foot feet",
        Unit::MilePerHour => "mph miles",
        Unit::KilometrePerHour => "kmh kilometres",
        other => other.symbol(),
    }
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
