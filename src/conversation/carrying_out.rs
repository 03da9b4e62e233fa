//! What commands do: one arm for each row of the table.
//!
//! Gives a reply, or nothing where the line turns out to be talk after all. What-ifs and
//! explanations change nothing that was told; every step that does can be taken back.

use std::sync::Arc;

use super::arc;
use super::command::Said;
use super::commands::Verb;
use super::note::Note;
use super::reply::{Block, Question, Reply};
use super::turn::{self, Depth};
use super::worked_out::WorkedOut;
use super::{Session, names};
use crate::diagnosis::diagnose;
use crate::explanation::{contrast, hypothesis, why};
use crate::reading::{Polarity, What};
use crate::vocabulary::{CauseId, CheckId, EffectId};

/// A cause brings an effect about if it is there this much more often with it than without.
const BRINGS_ABOUT: f64 = 0.2;
/// This many leading causes are looked at for one of an effect.
const OF_AN_EFFECT: usize = 40;

impl Session {
    pub(super) fn carry_out(&mut self, said: &Said, line: &str) -> Option<Reply> {
        let reply = match said.verb {
            Verb::Help => {
                let topic = (!said.rest.is_empty()).then(|| said.rest.clone());
                Reply::of(Block::Help(topic))
            }
            Verb::Bye => Reply {
                blocks: vec![self.goodbye()],
                leave: true,
            },
            Verb::Learn => self.begin_learning(),
            Verb::StartOver => {
                self.start_over(self.hand_given);
                Reply::note(Note::StartedOver)
            }
            Verb::Metric | Verb::Imperial => {
                self.metric = said.verb == Verb::Metric;
                self.units_chosen = true;
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
            Verb::HowToLook | Verb::WhyAsk => self.about_question(),
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
                Some((diagnosis, _)) => Reply::of(Block::Numbers(Box::new(
                    turn::with_the_named_first(s.mind.base(), diagnosis),
                ))),
                None => Reply::note(Note::NothingKnown),
            }),
            Verb::Draw => self.with_diagnosis(|s| match &s.last {
                Some((diagnosis, _)) => arc::arc_numbers(s.mind.base(), &s.talk, diagnosis)
                    .map_or_else(
                        || Reply::note(Note::NothingKnown),
                        |arc| Reply::of(Block::Drawing(Box::new(arc))),
                    ),
                None => Reply::note(Note::NothingKnown),
            }),
            Verb::DrawAbove => self.with_diagnosis(|s| match &s.last {
                Some((diagnosis, _)) => arc::arc_numbers(s.mind.base(), &s.talk, diagnosis)
                    .map_or_else(
                        || Reply::note(Note::NothingKnown),
                        |arc| Reply::of(Block::FromAbove(Box::new(arc))),
                    ),
                None => Reply::note(Note::NothingKnown),
            }),
            Verb::DrawFace => self.with_diagnosis(|s| match &s.last {
                Some((diagnosis, _)) => arc::face_mark(s.mind.base(), diagnosis)
                    .map_or_else(|| Reply::note(Note::NothingKnown), Reply::of),
                None => Reply::note(Note::NothingKnown),
            }),
            Verb::Practise => self.practise(false),
            Verb::PractiseAnyway => self.practise(true),
            Verb::OtherDrill => self.with_diagnosis(Self::other_drill),
            Verb::Progress => self.progress_reply(),
            Verb::Sheet => self.sheet(),
            Verb::Book => self.book_reply(),
            Verb::TakeUp => self.take_up()?,
            Verb::LessonFor => self.lesson_for(line),
            Verb::ForgetMe => self.forget_me(),
            Verb::NewClubs => self.new_clubs(),
            Verb::Helped | Verb::DidNotHelp => self.practised(said.verb == Verb::Helped, line)?,
        };
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
        let Some((before, written)) = self.past.pop() else {
            return Reply::note(Note::NothingToUndo);
        };
        self.talk = before;
        let knowledge = self.base().hash.clone();
        self.notebook.take_back(written, &knowledge);
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

    pub(super) fn take_back(&mut self, number: usize) -> Reply {
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
        self.step(before);
        let mut blocks = vec![Block::Note(Note::TakenBack(words))];
        blocks.extend(self.turn(Depth::Told));
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
        let measured = match statement.finding.what {
            What::Number(number) => Some(number.quantity),
            _ => None,
        };
        let scope = std::mem::replace(&mut self.talk.scope, pattern.clone());
        let mut reading = self.read(words);
        // "fix 2 -3": the number of what was measured.
        let named = measured
            .filter(|_| reading.findings.is_empty() && words.contains(|c: char| c.is_ascii_digit()))
            .map(|quantity| format!("{} {words}", self.base().quantity(quantity).name));
        let words = named.as_deref().unwrap_or(words);
        if named.is_some() {
            reading = self.read(words);
        }
        if reading.findings.is_empty() {
            // Only the clubs are new: the old statement moves to them.
            self.talk = before.clone();
            if reading.scope != pattern && !reading.scope.groups.is_empty() {
                if let Some(statement) = self.talk.statements.get_mut(number - 1) {
                    statement.finding.pattern = reading.scope.clone();
                }
                self.step(before);
                let mut blocks = vec![Block::Note(Note::ClubChanged)];
                blocks.extend(self.turn(Depth::Told));
                return Reply {
                    blocks,
                    leave: false,
                };
            }
            return Reply::note(Note::NotUnderstood);
        }
        let _ = scope;
        self.talk.pending = None;
        self.step(before);
        let mut blocks = self.take_in(&reading, words);
        blocks.extend(self.turn(Depth::Told));
        Reply {
            blocks,
            leave: false,
        }
    }

    fn skip(&mut self) -> Option<Reply> {
        let question = self.talk.pending.clone()?;
        if matches!(
            question,
            Question::Tally { .. } | Question::WhichSet(_) | Question::Followed(_)
        ) {
            self.talk.pending = None;
            return Some(Reply::note(Note::NotYet));
        }
        if matches!(question, Question::Safety(_) | Question::Leave(_)) {
            return Some(Reply::of(Block::Ask {
                question,
                value: None,
            }));
        }
        self.step(self.talk.clone());
        if let Question::Check(check) = question {
            self.talk.asked.push(check);
        }
        self.talk.pending = None;
        let mut blocks = vec![Block::Note(Note::DontKnow)];
        blocks.extend(self.turn(Depth::AfterAnswer));
        Some(Reply {
            blocks,
            leave: false,
        })
    }

    fn quick(&mut self) -> Reply {
        if self.last.is_none() {
            // Something was told, and what it means is open.
            return match self.talk.pending.clone() {
                Some(question) => Reply::of(Block::Ask {
                    question,
                    value: None,
                }),
                None => self.practise(false),
            };
        }
        self.step(self.talk.clone());
        self.talk.questions_allowed = 0;
        if !matches!(
            self.talk.pending,
            Some(Question::Safety(_) | Question::Leave(_))
        ) {
            self.talk.pending = None;
        }
        Reply {
            blocks: self.turn(Depth::AfterAnswer),
            leave: false,
        }
    }

    pub(super) fn ask_more(&mut self) -> Reply {
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

    pub(super) fn about_question(&self) -> Reply {
        match &self.talk.pending {
            Some(Question::Check(check)) => {
                let value = self
                    .last
                    .as_ref()
                    .and_then(|(d, _)| d.next_check)
                    .filter(|v| v.check == *check)
                    .map(Box::new);
                Reply::of(Block::AboutCheck {
                    check: *check,
                    value,
                })
            }
            _ => Reply::note(Note::NothingAsked),
        }
    }

    pub(super) fn leader(&self) -> Option<CauseId> {
        let (diagnosis, _) = self.last.as_ref()?;
        turn::worth_naming(self.mind.base(), &diagnosis.judgement)
            .first()
            .map(|c| c.cause)
    }

    /// The cause the words name: of several, the one likeliest here.
    pub(super) fn named(&self, words: &str) -> Result<CauseId, Note> {
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

    pub(super) fn why_leader(&mut self) -> Reply {
        match self.leader() {
            Some(cause) => self.why_cause(cause, false),
            // "y" to a question that wants more than a yes.
            None if self.talk.pending.is_some() => {
                self.asking_again(vec![Block::Note(Note::AnswerNotUnderstood)])
            }
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

    pub(super) fn why_not(&mut self, words: &str) -> Reply {
        if self.last.is_none() {
            return Reply::note(Note::NothingKnown);
        }
        let cause = match self.named_or_leader(words) {
            Ok(cause) => cause,
            Err(note) => return Reply::note(note),
        };
        match self.leader() {
            Some(leader) if leader == cause => self.against(cause),
            Some(leader) => {
                let Some((diagnosis, places)) = self.last.clone() else {
                    return Reply::note(Note::NothingKnown);
                };
                let base = Arc::clone(self.mind.base());
                let words = turn::words(&base, &self.talk, &places, &diagnosis);
                match contrast(&mut self.mind, &diagnosis, leader, cause) {
                    Some(mut contrast) => {
                        contrast.between.retain(|e| !self.guessed(e));
                        self.ask_what_settles(contrast.settles);
                        Reply::of(Block::WhyNot {
                            contrast: Box::new(contrast),
                            words,
                        })
                    }
                    None => Reply::note(Note::NothingKnown),
                }
            }
            None => Reply::note(Note::NothingKnown),
        }
    }

    pub(super) fn compare(&mut self, words: &str) -> Option<Reply> {
        // "Is it better to ... or ...?" asks for no cause.
        if ["better ", "best ", "worse ", "good ", "easier "]
            .iter()
            .any(|w| words.starts_with(w))
        {
            return None;
        }
        let (a, b) = [" rather than ", " or ", " versus ", " vs ", " and "]
            .iter()
            .find_map(|w| words.split_once(w))?;
        let first = self.cause_of_effect(a, self.named(b).ok());
        let other = first.map(|(_, cause)| cause).or_else(|| self.named(a).ok());
        let taken = [first, self.cause_of_effect(b, other)];
        let meant = |s: &Self, words: &str, taken: Option<(EffectId, CauseId)>| match taken {
            Some((_, cause)) => Ok(cause),
            None => s.named(words),
        };
        let [first, second] = taken;
        match (meant(self, a, first), meant(self, b, second)) {
            (Ok(a), Ok(b)) if self.last.is_some() => {
                let mut reply = self.contrast_reply(a, b);
                let notes = taken.into_iter().flatten();
                let notes = notes.map(|(e, c)| Block::Note(Note::TakenForEffect(e, c)));
                reply.blocks.splice(0..0, notes);
                Some(reply)
            }
            (Ok(one), Ok(other)) if one != other => {
                Some(Reply::of(Block::WorkedOut(WorkedOut::Apart { one, other })))
            }
            (Ok(_), Ok(_)) => Some(Reply::note(Note::NothingKnown)),
            // Perhaps talk after all, unless it names one cause.
            (Err(_), Err(_)) => None,
            (Err(note), _) | (_, Err(note)) => Some(Reply::note(note)),
        }
    }

    /// Where words name an effect: it, and the cause of it that is likeliest in this talk, other than
    /// what it is compared with.
    fn cause_of_effect(
        &mut self,
        words: &str,
        except: Option<CauseId>,
    ) -> Option<(EffectId, CauseId)> {
        let effects = names::effects_named(self.mind.base(), words);
        let (diagnosis, _) = self.last.as_ref()?;
        let group = diagnosis.judgement.focus;
        let likelier = |e: &EffectId| diagnosis.judgement.effect(*e);
        let effect = effects
            .into_iter()
            .max_by(|a, b| likelier(a).total_cmp(&likelier(b)))?;
        let ranked = diagnosis.judgement.causes.iter().map(|c| c.cause);
        let ranked: Vec<CauseId> = ranked.filter(|c| Some(*c) != except).collect();
        let simulation = self.mind.simulation();
        let cause = ranked.into_iter().take(OF_AN_EFFECT).find(|cause| {
            let implied = simulation.implied(*cause, group);
            let of = implied.effects.get(effect.index());
            of.is_some_and(|e| e.with - e.without >= BRINGS_ABOUT)
        })?;
        Some((effect, cause))
    }

    /// "Casting or early extension?": two causes named and nothing else.
    pub(super) fn either(&mut self, line: &str) -> Option<Reply> {
        let text = line.trim().strip_suffix('?')?;
        let text = text.trim_start_matches("so ").trim_start_matches("is it ");
        self.last.as_ref()?;
        let (a, b) = [" or ", " vs ", " versus "]
            .iter()
            .find_map(|w| text.split_once(w))?;
        let named = self.named(a).is_ok() && self.named(b).is_ok();
        let reading = self.read(text);
        let shots = reading
            .findings
            .iter()
            .any(|f| f.polarity != Polarity::Unsure);
        (named && !shots && text.split_whitespace().count() <= 12)
            .then(|| self.compare(text))
            .flatten()
    }

    pub(super) fn contrast_reply(&mut self, a: CauseId, b: CauseId) -> Reply {
        let Some((diagnosis, places)) = self.last.clone() else {
            return Reply::note(Note::NothingKnown);
        };
        let base = Arc::clone(self.mind.base());
        let words = turn::words(&base, &self.talk, &places, &diagnosis);
        let contrast = contrast(&mut self.mind, &diagnosis, a, b);
        let first = hypothesis(&mut self.mind, &diagnosis, a);
        let second = hypothesis(&mut self.mind, &diagnosis, b);
        match (contrast, first, second) {
            (Some(contrast), Some(first), Some(second)) => {
                self.ask_what_settles(contrast.settles);
                Reply::of(Block::Compare {
                    contrast: Box::new(contrast),
                    words,
                    predicts: Box::new((first, second)),
                    ranked: Box::new((
                        diagnosis.judgement.of(a).copied(),
                        diagnosis.judgement.of(b).copied(),
                    )),
                })
            }
            _ => Reply::note(Note::NothingKnown),
        }
    }

    /// What was shown last is what a "yes" answers: the check that settles it is asked now.
    pub(super) fn ask_what_settles(&mut self, settles: Option<CheckId>) {
        let open = matches!(self.talk.pending, None | Some(Question::Check(_)));
        if let Some(check) = settles.filter(|_| open && self.talk.held.is_none()) {
            self.talk.pending = Some(Question::Check(check));
        }
    }

    pub(super) fn suppose(&mut self, words: &str) -> Reply {
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
            Some(mut hypothesis) => {
                hypothesis.account.entries.retain(|e| !self.guessed(e));
                if told {
                    self.ask_what_settles(hypothesis.settles);
                }
                let rival = hypothesis
                    .rival
                    .and_then(|c| diagnosis.judgement.of(c).copied());
                Reply::of(Block::Supposed {
                    ranked: diagnosis.judgement.of(cause).copied(),
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

    pub(super) fn more(&mut self) -> Vec<Block> {
        let Some((diagnosis, places)) = self.last.clone() else {
            return vec![Block::Note(Note::NothingKnown)];
        };
        turn::findings_blocks(&mut self.mind, &self.talk, &places, &diagnosis, Depth::More)
    }

    pub(super) fn practise(&mut self, anyway: bool) -> Reply {
        if let Some(caution) = self.talk.held {
            let question = self.talk.safety_question(caution);
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
        let Some((diagnosis, _)) = self.last.clone() else {
            return Reply::note(Note::NothingKnown);
        };
        // Nothing new is given while it is open how the last one went.
        let open = self.talk.pending.clone().filter(|q| {
            matches!(
                q,
                Question::Followed(_) | Question::Fresh { .. } | Question::WhichSet(_)
            )
        });
        if let Some(question) = open.filter(|_| !anyway) {
            return Reply::of(Block::Ask {
                question,
                value: None,
            });
        }
        let asked = self.talk.pending.take();
        let base = Arc::clone(self.mind.base());
        if diagnosis.focus().is_none() {
            return Reply::of(Block::NothingToPractise);
        }
        if let Some((cause, _)) = self.talk.prescribed
            && !anyway
            && diagnosis.practice.as_ref().is_none_or(|p| p.cause != cause)
        {
            return Reply::of(Block::AlreadyPrescribed(cause));
        }
        match &diagnosis.practice {
            Some(practice) => match turn::prescription(&base, &self.talk, &diagnosis, practice) {
                Some(block) => {
                    if let Block::Prescription { drill, count, .. } = &block {
                        // Said again, it waits for the same count.
                        let same = self.talk.prescribed == Some((practice.cause, *drill));
                        if let Some(question @ Question::Tally { .. }) = asked.filter(|_| same) {
                            self.talk.pending = Some(question);
                        }
                        self.talk.prescribed = Some((practice.cause, *drill));
                        self.talk.counted = *count;
                    }
                    Reply {
                        blocks: turn::the_lie(&base, &diagnosis)
                            .into_iter()
                            .chain([block])
                            .collect(),
                        leave: false,
                    }
                }
                None => Reply::of(Block::EasyOnly(practice.cause)),
            },
            None => Reply::of(Block::NothingToPractise),
        }
    }
}
