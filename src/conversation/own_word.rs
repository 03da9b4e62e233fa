//! The golfer's own word on practice: "it helped", "it did not help", done as set up or not.
//!
//! Takes the word and what the book has counted; gives evidence for the diagnosis and the reply. A
//! word without counts is taken as a sign; where counts tell, they stand, whatever it felt like, and
//! the word adds nothing to them. Words are not made here.

use super::note::Note;
use super::reply::{Block, CountsSaid, Question, Reply};
use super::turn::Depth;
use super::{Session, practice};
use crate::lesson::{
    self, Entry, FAILURES_THAT_REOPEN, Followed, Goal, Judged, Shots, Summary, Verdict, Word,
};
use crate::vocabulary::CauseId;

impl Session {
    /// "It helped", "it did not help"; none if nothing was practised, so that the words are talk.
    pub(super) fn practised(&mut self, helped: bool, line: &str) -> Option<Reply> {
        let (cause, _) = self.talk.prescribed?;
        let before = self.talk.clone();
        let counts = self.counts_on(cause, helped);
        let mut blocks: Vec<Block> = counts.clone().into_iter().map(Block::CountsStand).collect();
        // Practice that was not done as set up says nothing by its counts either way; the word does.
        let loosely = lesson::agreed(&self.notebook.records)
            .and_then(|a| a.judged)
            .is_some_and(|j| matches!(j.followed, Followed::Partly | Followed::Not));
        match counts.map(|c| c.verdict) {
            None | Some(Some(Verdict::TooFewToTell)) => {}
            Some(Some(Verdict::NoChangeSeen | Verdict::Worse)) if loosely && !helped => {}
            // The counts have told; the word is heard and weighs nothing beside them.
            Some(verdict) => {
                let failed = matches!(verdict, Some(Verdict::NoChangeSeen | Verdict::Worse));
                if failed && matches!(self.talk.pending, Some(Question::Followed(_)) | None) {
                    let question = Question::Followed(cause);
                    self.talk.pending = Some(question.clone());
                    blocks.push(Block::Ask {
                        question,
                        value: None,
                    });
                }
                return Some(Reply {
                    blocks,
                    leave: false,
                });
            }
        }
        self.step(before);
        let said = line.trim().trim_end_matches(['.', '!']);
        self.talk.tried(cause, helped, said.to_owned());
        let id = self.base().cause(cause).id.clone();
        self.note_down(Entry::Word(Word { cause: id, helped }));
        self.talk.pending = None;
        blocks.push(Block::Note(Note::PractiseNoted(helped)));
        if helped {
            self.judge();
        } else {
            self.talk.prescribed = None;
            self.talk.questions_allowed = self.talk.questions + 1;
            self.take_up_again();
            if self.talk.statements.iter().all(|s| s.dropped) {
                blocks.push(Block::Note(Note::TellAgain));
            } else {
                blocks.extend(self.turn(Depth::Told));
            }
        }
        Some(Reply {
            blocks,
            leave: false,
        })
    }

    /// What was counted for this cause, as far as it bears on the word: a verdict, or a start that was
    /// at the target already, which no practice can have helped.
    fn counts_on(&self, cause: CauseId, helped: bool) -> Option<CountsSaid> {
        let agreed = lesson::agreed(&self.notebook.records)?;
        let baseline = agreed.baseline?;
        if agreed.prescribed.cause != self.base().cause(cause).id {
            return None;
        }
        if let Some(judged) = agreed.judged {
            let (judgement, _) = practice::judged(&agreed, baseline).ok()?;
            return Some(CountsSaid {
                cause,
                helped,
                before: judgement.before,
                after: Some(judgement.after),
                verdict: Some(judged.verdict),
            });
        }
        let (Shots::Hits(start), Goal::Hits(target)) = (&baseline.shots, agreed.prescribed.goal)
        else {
            return None;
        };
        let nothing_since = agreed.practice.is_empty() && agreed.retest.is_none();
        (helped && nothing_since && practice::at_least(*start, target)).then_some(CountsSaid {
            cause,
            helped,
            before: Summary::Hits(*start),
            after: None,
            verdict: None,
        })
    }

    /// The golfer's word on whether practice was done as set up: only then it says something about
    /// the cause.
    pub(super) fn followed(&mut self, cause: CauseId, followed: Followed) -> Vec<Block> {
        self.talk.pending = None;
        let agreed = lesson::agreed(&self.notebook.records);
        let last = agreed.as_ref().and_then(|a| a.judged.cloned());
        let words = agreed
            .as_ref()
            .and_then(|a| practice::judged(a, a.baseline?).ok())
            .map(|(judgement, _)| practice::counted(&judgement));
        if let Some(judged) = last {
            self.note_down(Entry::Verdict(Judged { followed, ..judged }));
        }
        if followed != Followed::Well {
            return vec![Block::Note(Note::NotFollowed)];
        }
        let failures: usize = self
            .base()
            .causes
            .iter()
            .map(|c| lesson::failed_tests(&self.notebook.records, &c.id))
            .sum();
        let words = words.unwrap_or_else(|| "done as set up and no better".to_owned());
        self.talk.tried(cause, false, words);
        self.talk.prescribed = None;
        self.talk.questions_allowed = self.talk.questions + 1;
        let reopened = failures >= FAILURES_THAT_REOPEN;
        let mut blocks = vec![Block::Note(Note::PractiseFailed { reopened })];
        self.take_up_again();
        if self.talk.statements.iter().all(|s| s.dropped) {
            blocks.push(Block::Note(Note::TellAgain));
        } else {
            if reopened {
                blocks.push(Block::Known(self.known()));
            }
            blocks.extend(self.turn(Depth::Told));
        }
        blocks
    }
}
