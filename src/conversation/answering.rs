//! The answer to what was asked: noted, and whatever else the line says with it.
//!
//! A line that is no answer is talk, and the question stays open. "Don't know" counts neither way.
//! Yes to a safety question keeps the caution.

use std::sync::Arc;

use super::answer_kinds::asked;
use super::completing::{bare_unit, with_name};
use super::hand_first::says_the_hand_only;
use super::note::Note;
use super::notebook::Wish;
use super::reply::{Block, Question, Reply};
use super::said_for_an_answer::{
    denies_hurt, first_clause, half_said, of_danger, of_practice, without_the_question,
};
use super::talk::Statement;
use super::turn::{self, Depth};
use super::{Session, own_telling, questions, sure_of};
use crate::lesson::Followed;
use crate::reading::quick::{Reply as Answered, read_answer};
use crate::reading::{Finding, Pattern, Polarity, Reading, Span, What};
use crate::vocabulary::{Hand, SymptomId};

impl Session {
    pub(super) fn answer(&mut self, question: &Question, line: &str) -> Reply {
        // What is asked answers nothing, and the question stays open.
        let wonders = matches!(question, Question::Followed(_)) && line.trim_end().ends_with('?');
        if questions::is_question(line) || wonders {
            return self.talk_line(line);
        }
        let base = Arc::clone(self.mind.base());
        let asked = asked(&base, question);
        let mut answer = read_answer(&self.phrases, &self.talk.context(), &asked, line);
        for hint in &mut answer.extras.hints {
            sure_of::settle(line, hint);
        }
        // "Perhaps I lift my arms?" is an idea and no answer.
        let idea = line.trim_end().ends_with('?') && !answer.extras.hints.is_empty();
        if idea && answer.reply == Answered::DontKnow {
            answer.reply = Answered::Other;
        }
        let way = super::ways::way_said(&base, question, line);
        if way.is_some() {
            answer.extras = Reading::default();
        }
        let whole = way
            .or_else(|| half_said(question, line))
            .or_else(|| denies_hurt(&base, question, &answer.extras, line))
            .or_else(|| {
                let other = answer.reply == Answered::Other;
                other
                    .then(|| of_practice(question, line).or_else(|| bare_unit(question, line)))
                    .flatten()
            });
        let silent = answer.reply == Answered::Other
            && answer.extras.findings.is_empty()
            && answer.extras.hints.is_empty();
        let opposite = silent.then(|| super::plain_answers::opposite_said(&base, question, line));
        let clause = || {
            let clause = first_clause(question, line).filter(|_| silent)?;
            let said = read_answer(&self.phrases, &self.talk.context(), &asked, clause).reply;
            matches!(said, Answered::Option(_)).then_some(said)
        };
        let whole = whole.or_else(|| opposite.flatten()).or_else(clause);
        if let Some(reply) = whole {
            answer.reply = reply;
            answer.extras.unused.clear();
        }
        answer.reply = of_danger(&base, question, answer.reply, line);
        if own_telling::denies_something_else(&base, question, &answer, line) {
            answer.reply = Answered::Other;
        }
        without_the_question(&base, question, &mut answer, line);
        let mut blocks = Vec::new();
        if let Some(reply) = self.told_instead(question, line, &answer) {
            return reply;
        }
        if let Some(reply) = self.both_meant(question, line) {
            return reply;
        }
        // "No, it was a 6 iron" puts right what was said; it answers nothing.
        if !answer.extras.corrections.is_empty() {
            return self.no_answer(question, line);
        }
        if !self.apply(question, answer.reply, &mut blocks) {
            return self.no_answer(question, line);
        }
        if let Some(way) = self.talk.pending.clone()
            && side_asked_next(question, Some(&way))
        {
            blocks.push(Block::Ask {
                question: way,
                value: None,
            });
            return Reply {
                blocks,
                leave: false,
            };
        }
        let mut extras = answer.extras;
        if matches!(question, Question::Hand) && self.answer_the_rest(line, &mut blocks) {
            extras.unused.clear();
            extras.findings.clear();
        }
        if matches!(question, Question::Hand) && says_the_hand_only(line) {
            extras.unused.clear();
        }
        // Whatever else the line says is told, asked back, or shown as not used; never dropped.
        let told_more = !(extras.findings.is_empty()
            && extras.corrections.is_empty()
            && extras.hints.is_empty()
            && extras.topics.is_empty()
            && extras.unclear.is_empty()
            && extras.history.is_empty()
            && extras.unused.is_empty());
        let answers_itself = matches!(
            question,
            Question::Unit { .. }
                | Question::Direction { .. }
                | Question::Number { .. }
                | Question::Meaning { .. }
        );
        if told_more && !answers_itself {
            blocks.extend(self.take_in(&extras, line));
        }
        let waits = self.talk.held.is_some()
            && matches!(self.talk.pending, None | Some(Question::Leave(_)));
        if waits || self.talk.is_empty() {
            if let Some(question) = self.talk.pending.clone().filter(|_| !waits) {
                blocks.push(Block::Ask {
                    question,
                    value: None,
                });
            }
            return Reply {
                blocks,
                leave: false,
            };
        }
        let of_practice = matches!(
            question,
            Question::Tally { .. }
                | Question::WhichSet(_)
                | Question::Fresh { .. }
                | Question::Followed(_)
                | Question::Forget
        );
        if of_practice {
            return Reply {
                blocks,
                leave: false,
            };
        }
        let short = matches!(question, Question::Check(_)) && !told_more;
        blocks.extend(self.turn(if short {
            Depth::AfterAnswer
        } else {
            Depth::Told
        }));
        Reply {
            blocks,
            leave: false,
        }
    }

    /// A line that is no answer is talk; the question stays open if the line told nothing.
    pub(super) fn no_answer(&mut self, question: &Question, line: &str) -> Reply {
        let before = self.talk.clone();
        self.talk.pending = None;
        let mut reply = self.talk_line(line);
        if reply.leave {
            return reply;
        }
        let safety = matches!(question, Question::Safety(_) | Question::Leave(_));
        let lost = reply.blocks.iter().any(|b| {
            matches!(
                b,
                Block::Note(Note::NotUnderstood | Note::NoSuchCommand(..))
            )
        });
        let told = self.talk.statements.len() > before.statements.len()
            || self.talk.hints != before.hints
            || self.talk.sounds_like() != before.sounds_like()
            || self.talk.hand != before.hand
            || (reply.blocks.iter()).any(|b| matches!(b, Block::Understood(_)));
        if lost
            && matches!(question, Question::Hand)
            && let Some(reply) = self.no_hand(&before)
        {
            return reply;
        }
        if asked_once(question) && (lost || told) {
            return self.left_out(question, &before, lost, reply);
        }
        if lost {
            self.talk.pending = Some(question.clone());
            let note = match question {
                Question::Tally { balls, .. } => Note::CountForm(*balls),
                _ if safety => Note::YesOrNoFirst,
                _ => Note::AnswerNotUnderstood,
            };
            return Reply {
                blocks: vec![
                    Block::Note(note),
                    Block::Ask {
                        question: question.clone(),
                        value: None,
                    },
                ],
                leave: false,
            };
        }
        let counting =
            matches!(question, Question::Tally { .. }) && self.talk.prescribed == before.prescribed;
        if self.talk.pending.is_none() && (safety || counting || !told) {
            self.talk.pending = Some(question.clone());
            let thanked = |b: &Block| matches!(b, Block::Note(Note::Thanks(_)));
            if !told && !safety && !counting && !reply.blocks.iter().any(thanked) {
                reply.blocks.push(Block::Ask {
                    question: question.clone(),
                    value: None,
                });
            }
        }
        reply
    }

    /// What was asked about once and is not said now is left out, and the talk goes on.
    fn left_out(
        &mut self,
        question: &Question,
        before: &super::talk::Talk,
        lost: bool,
        mut reply: Reply,
    ) -> Reply {
        let note = match question {
            Question::Unit { words, .. }
            | Question::Direction { words, .. }
            | Question::Number { words, .. }
            | Question::Meaning { words, .. } => Block::Note(Note::LeftOut(words.clone())),
            _ => Block::HandAssumed(Hand::Right),
        };
        if lost {
            let mut blocks = vec![note];
            blocks.extend(self.turn(Depth::AfterAnswer));
            return Reply {
                blocks,
                leave: false,
            };
        }
        // Said in other words after all.
        let fresh = self.talk.statements.iter().skip(before.statements.len());
        let mut what = fresh.map(|s| s.finding.what);
        let said = match question {
            Question::Meaning { symptoms, .. } => {
                what.any(|w| matches!(w, What::Symptom(s) if symptoms.contains(&s)))
            }
            Question::Hand => self.talk.hand.is_some(),
            _ => what.any(|w| matches!(w, What::Number(_))),
        };
        if !said {
            reply.blocks.insert(0, note);
        }
        reply
    }

    /// "Both": each of the first two things that words can mean.
    fn both_meant(&mut self, question: &Question, line: &str) -> Option<Reply> {
        const BOTH: [&str; 9] = [
            "both",
            "both of them",
            "bit of both",
            "a bit of both",
            "both really",
            "it does both",
            "they do both",
            "both i think",
            "both of those",
        ];
        let Question::Meaning {
            pattern,
            symptoms,
            words,
            ..
        } = question
        else {
            return None;
        };
        let [first, second, ..] = symptoms.as_slice() else {
            return None;
        };
        if !BOTH.contains(&super::command::plain(line).as_str()) {
            return None;
        }
        let mut blocks = Vec::new();
        self.talk.pending = None;
        blocks.push(self.symptoms_meant(pattern, &[*first, *second], words));
        blocks.extend(self.turn(Depth::Told));
        Some(Reply {
            blocks,
            leave: false,
        })
    }

    /// Notes an answer; false if it was none.
    pub(super) fn apply(
        &mut self,
        question: &Question,
        answered: Answered,
        blocks: &mut Vec<Block>,
    ) -> bool {
        self.note_the_check(question, answered);
        match (question.clone(), answered) {
            (Question::Check(check), Answered::Yes | Answered::No) => {
                let yes = answered == Answered::Yes;
                self.talk.asked.push(check);
                self.talk.answers.push((check, yes));
                blocks.push(Block::Note(Note::Answered(yes)));
            }
            // "A bit", "sometimes": a yes from a half on, "hardly ever" a no, else neither.
            (Question::Check(check), Answered::Partly(share)) => {
                self.talk.asked.push(check);
                let between = (SELDOM..MOSTLY).contains(&share);
                let yes = (!between).then_some(share >= MOSTLY);
                self.talk.answers.extend(yes.map(|yes| (check, yes)));
                blocks.push(Block::Note(yes.map_or(Note::DontKnow, Note::Answered)));
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
            (Question::Leave(caution), Answered::No | Answered::DontKnow | Answered::Partly(_)) => {
                blocks.push(Block::Caution {
                    caution,
                    alone: true,
                });
                self.talk.held = Some(caution);
                return true;
            }
            (Question::Safety(caution), Answered::No)
            | (Question::Leave(caution), Answered::Yes) => {
                self.talk.seen |= answered == Answered::Yes;
                self.clear(caution);
                blocks.push(Block::Cleared);
            }
            (Question::Hand, Answered::Hand(hand)) => {
                self.mirror(hand);
                blocks.push(Block::Note(Note::HandNoted(hand)));
                blocks.extend(self.settle_signs(self.talk.said.len(), true));
                self.talk.pending = self.open_since_the_hand();
                return true;
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
                // "LP 8.5 cm" names it in other words.
                let own = format!("{words} {way}");
                let named = (self.read(&own).findings.iter())
                    .any(|f| matches!(f.what, What::Number(n) if n.quantity == quantity));
                let again = if named {
                    own
                } else {
                    format!("{} {way}", with_name(&q.name, &words))
                };
                if !self.read_again(&again, blocks) {
                    return false;
                }
            }
            (Question::Number { quantities, words }, Answered::Option(place)) => {
                let base = Arc::clone(self.mind.base());
                let Some(quantity) = quantities.get(place) else {
                    return false;
                };
                let again = with_name(&base.quantity(*quantity).name, &words);
                if !self.read_again(&again, blocks) {
                    return false;
                }
            }
            (
                Question::Meaning {
                    pattern,
                    symptoms,
                    causes,
                    words,
                },
                Answered::Option(place),
            ) => {
                if let Some(symptom) = symptoms.get(place) {
                    blocks.push(self.symptoms_meant(&pattern, &[*symptom], &words));
                } else if let Some(cause) = causes.get(place - symptoms.len()) {
                    self.talk.hints.push((*cause, 0.25, words));
                }
            }
            (Question::Tally { .. }, Answered::No | Answered::DontKnow | Answered::Partly(_)) => {
                blocks.push(Block::Note(Note::NotYet));
            }
            (Question::WhichSet(tally), Answered::Option(place)) => {
                blocks.extend(self.of_which_set(tally, place == 0));
                return true;
            }
            (
                Question::Fresh { was, now },
                Answered::Yes | Answered::No | Answered::DontKnow | Answered::Partly(_),
            ) => {
                let fresh = answered == Answered::Yes;
                blocks.extend(self.start_was_fresh(was, now, fresh));
                return true;
            }
            (
                Question::Followed(cause),
                Answered::Yes | Answered::No | Answered::DontKnow | Answered::Partly(_),
            ) => {
                let followed = match answered {
                    Answered::Yes => Followed::Well,
                    Answered::No => Followed::Not,
                    Answered::Partly(_) => Followed::Partly,
                    _ => Followed::Unknown,
                };
                blocks.extend(self.followed(cause, followed));
                return true;
            }
            (Question::Forget, Answered::Yes | Answered::No | Answered::DontKnow) => {
                let yes = answered == Answered::Yes;
                if yes {
                    self.notebook.wish(Wish::Forget);
                }
                blocks.push(Block::Note(Note::ForgetAnswered(yes)));
            }
            (Question::Hand, Answered::DontKnow) if self.talk.is_empty() => return false,
            (_, Answered::DontKnow) => blocks.push(Block::Note(Note::DontKnow)),
            (
                _,
                Answered::Other
                | Answered::Yes
                | Answered::No
                | Answered::Partly(_)
                | Answered::Hand(_)
                | Answered::Number { .. }
                | Answered::UnitMissing(_)
                | Answered::Option(_),
            ) => return false,
        }
        if !side_asked_next(question, self.talk.pending.as_ref()) {
            self.talk.pending = None;
        }
        true
    }

    /// Notes which check was answered last; an answer takes the place of the one before.
    fn note_the_check(&mut self, question: &Question, answered: Answered) {
        let any = matches!(
            answered,
            Answered::Yes | Answered::No | Answered::Partly(_) | Answered::DontKnow
        );
        if let (Question::Check(check), true) = (question, any) {
            self.talk.answered = Some(*check);
            self.talk.answers.retain(|(c, _)| c != check);
        }
    }

    /// Notes what words are said to mean.
    fn symptoms_meant(&mut self, pattern: &Pattern, symptoms: &[SymptomId], words: &str) -> Block {
        self.talk.scope = pattern.clone();
        self.talk.said.push(words.to_owned());
        let line = self.talk.said.len();
        let whole = Span {
            start: 0,
            end: words.len(),
        };
        for symptom in symptoms {
            self.talk.statements.push(Statement {
                finding: Finding {
                    pattern: pattern.clone(),
                    what: What::Symptom(*symptom),
                    polarity: Polarity::Present,
                    often: None,
                    count: None,
                    severity: None,
                    weight: 1.0,
                    needs_hand: false,
                    change: false,
                    said: whole,
                    said_again: Vec::new(),
                    clause: whole,
                },
                words: words.to_owned(),
                dropped: false,
                line,
            });
        }
        let heard = turn::heard(&self.talk, Some(line)).into_iter();
        Block::Understood(heard.filter(|h| h.new).collect())
    }

    /// What else the line that raised the question of the hand left unclear.
    fn open_since_the_hand(&mut self) -> Option<Question> {
        let line = self.talk.said.last().cloned()?;
        let reading = self.read(&line);
        let mut open = self.questions_raised(&reading, &line).into_iter();
        open.find(|q| asked_once(q) && !matches!(q, Question::Hand))
    }

    /// Reads words completed by an answer; false if they still say nothing.
    pub(super) fn read_again(&mut self, line: &str, blocks: &mut Vec<Block>) -> bool {
        let reading = self.read(line);
        if reading.findings.is_empty() {
            return false;
        }
        self.talk.pending = None;
        blocks.extend(self.take_in(&reading, line));
        true
    }
}

/// With its unit a number may still lack its side of the ball, which is asked for next.
const fn side_asked_next(question: &Question, pending: Option<&Question>) -> bool {
    matches!(question, Question::Unit { .. }) && matches!(pending, Some(Question::Direction { .. }))
}

/// Questions about what words mean: put once, and left out if the answer is none.
const fn asked_once(question: &Question) -> bool {
    matches!(
        question,
        Question::Hand
            | Question::Unit { .. }
            | Question::Direction { .. }
            | Question::Number { .. }
            | Question::Meaning { .. }
    )
}

/// The share of shots from which "often" is a yes, and under which "seldom" is a no (elicited).
const MOSTLY: f64 = 0.5;
pub(super) const SELDOM: f64 = 0.1;
