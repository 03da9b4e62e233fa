//! A line that is talk: what it tells is taken in and judged, and where it tells nothing that is said.
//!
//! Takes a line that is no command, no question of a known form and no answer; gives the reply. Invariant: a
//! line that tells nothing changes nothing that was told.

use super::note::Note;
use super::reply::{Block, Reply};
use super::turn::Depth;
use super::{Session, command, nearest_command, sand, sure_of};
use crate::reading::{Reading, Tone, read};

impl Session {
    /// What a line says, with what earlier lines left behind.
    pub(super) fn read(&self, line: &str) -> Reading {
        let mut reading = read(&self.phrases, &self.talk.context(), line);
        for hint in &mut reading.hints {
            sure_of::settle(line, hint);
        }
        reading
    }

    /// "Draw low": a picture that there is not, told as such and not as a shot.
    pub(super) fn no_such_drawing(&self, line: &str) -> Option<Reply> {
        let text = command::plain(line);
        let draws = text.starts_with("draw ") && text.split(' ').count() <= 3;
        let said = || {
            text.split(' ')
                .any(|w| ["it", "the", "my", "a"].contains(&w))
        };
        (draws && self.last.is_some() && !said())
            .then(|| Reply::note(Note::NoSuchCommand(text.clone(), "draw".to_owned())))
    }

    /// Takes in a line and turns to what stands now.
    pub(super) fn talk_line(&mut self, line: &str) -> Reply {
        self.talk.answered = None;
        let mut taken_up = self.carry_on(line);
        let reading = self.read(line);
        let left = sand::still_left(&self.talk, &reading, line);
        let left = left.or_else(|| sand::left_to_others(&self.talk, &reading, line));
        self.talk.left_to_others = None;
        if let Some(left) = left {
            if let Note::OutOfScope(topic) = &left {
                self.talk.left_to_others = Some(topic.clone());
            }
            return Reply::note(left);
        }
        let told_before = self.talk.statements.len() + self.talk.hints.len();
        let sounded = self.talk.sounds_like();
        let mut blocks = self.take_in(&reading, line);
        if let Some(note) = taken_up.take() {
            blocks.insert(0, note);
        }
        let placed = self.placed(&reading, line);
        self.ask_what_is_heard();
        let told = matches!(placed, Some(Block::Understood(_)))
            || self.talk.statements.len() + self.talk.hints.len() > told_before
            || self.talk.sounds_like() != sounded
            // A guess said again is heard again.
            || blocks.iter().any(|b| matches!(b, Block::Hinted { .. }))
            || !reading.corrections.is_empty()
            || (reading.plus.is_some() && !self.talk.is_empty())
            || (reading.hand.is_some() && !self.talk.is_empty());
        blocks.extend(placed);
        if !told {
            return self.nothing_told(&reading, line, blocks);
        }
        self.rude_or_odd = 0;
        blocks.extend(self.turn(Depth::Told));
        Reply {
            blocks,
            leave: false,
        }
    }

    /// The last words.
    pub(super) const fn goodbye(&self) -> Block {
        Block::Goodbye {
            held: self.talk.held.is_some(),
        }
    }

    /// The reply to a line that told nothing.
    fn nothing_told(&mut self, reading: &Reading, line: &str, mut blocks: Vec<Block>) -> Reply {
        let answered = blocks.iter().any(|b| {
            matches!(
                b,
                Block::Answer { .. }
                    | Block::Impossible { .. }
                    | Block::Note(
                        Note::HandNoted(_)
                            | Note::PlusTaken { .. }
                            | Note::PlaceAlone(_)
                            | Note::AdviceHeard(_)
                    )
            )
        });
        let tone = match &reading.tone {
            Tone::Greeting => Some(Note::Greeting),
            Tone::Thanks => Some(Note::Thanks(self.practises())),
            Tone::Goodbye => {
                return Reply {
                    blocks: vec![self.goodbye()],
                    leave: true,
                };
            }
            Tone::OutOfScope(what) => {
                self.talk.left_to_others = self.talk.tells_nothing().then(|| what.clone());
                Some(Note::OutOfScope(what.clone()))
            }
            // What calls for a caution is not off the topic.
            Tone::OffTopic if !self.beside.is_empty() => None,
            Tone::OffTopic => Some(Note::OffTopic),
            Tone::Abuse => Some(Note::Abuse),
            Tone::OtherLanguage(language) => Some(Note::OtherLanguage(language.clone())),
            Tone::Nothing | Tone::Talk => None,
        };
        if let Some(note) = tone {
            blocks.push(Block::Note(note));
        } else if let Some(question) = self.open_question() {
            blocks.push(Block::Ask {
                question,
                value: None,
            });
        } else if !answered
            // A caution is an answer.
            && self.beside.is_empty()
            && !blocks.iter().any(|b| matches!(b, Block::Aside(_)))
        {
            self.rude_or_odd += 1;
            match nearest_command(line) {
                Some("what if") if line.trim() == "what if" => {
                    blocks.push(Block::Note(Note::WhatIfNotUnderstood));
                }
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
}
