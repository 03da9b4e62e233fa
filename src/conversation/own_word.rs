//! The golfer's own word on practice: "it helped", "it did not help", done as set up or not.
//!
//! Takes the word and what the book has counted; gives evidence for the diagnosis and the reply. A
//! word without counts is taken as a sign; where counts tell, they stand, whatever it felt like, and
//! the word adds nothing to them. Words are not made here.

use std::sync::Arc;

use super::note::Note;
use super::reply::{Block, CountsSaid, Question, Reply};
use super::turn::{self, Depth};
use super::{Session, command, practice};
use crate::lesson::{
    self, Entry, FAILURES_THAT_REOPEN, Followed, Goal, Judged, Shots, Summary, Verdict, Word,
};
use crate::reading::{Polarity, What};
use crate::vocabulary::CauseId;

impl Session {
    /// "It helped", "it did not help"; none if nothing was practised, so that the words are talk.
    pub(super) fn practised(&mut self, helped: bool, line: &str) -> Option<Reply> {
        let (cause, drill) = self.talk.prescribed?;
        // Two counts were told, and one thing about them is open: they tell more than a word.
        if matches!(self.talk.pending, Some(Question::Fresh { .. })) {
            return Some(self.and_the_question(Vec::new()));
        }
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
            self.talk.failed.push(drill);
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

    /// "That didn't work, I shanked 9 of 10": the word on practice, and what was told with it.
    pub(super) fn word_and_more(&mut self, line: &str) -> Option<Reply> {
        self.talk.prescribed?;
        let text = command::plain(line);
        let (helped, rest) = word_of(&text)?;
        let offset = text.len() - rest.len();
        // The line as typed has the same words in the same places if no character was folded away.
        let rest = if text.len() == line.trim_end_matches(['?', '!', '.', ' ']).len() {
            line.get(offset..).unwrap_or(rest)
        } else {
            rest
        };
        let rest = rest.trim_start_matches([' ', ',', '.', ';', '-', ':']);
        let rest = ["and ", "but ", "because ", "as "]
            .iter()
            .find_map(|w| rest.strip_prefix(w))
            .unwrap_or(rest);
        if !helped && let Some(reply) = self.other_remedy(rest) {
            return Some(reply);
        }
        let reading = self.read(rest);
        let told = !reading.findings.is_empty() || !reading.unclear.is_empty();
        let bad = reading
            .findings
            .iter()
            .any(|f| f.polarity == Polarity::Present && matches!(f.what, What::Symptom(_)));
        // "It's better now but I still chunk some" is no success yet.
        if helped && bad {
            return None;
        }
        let mut blocks = if told {
            self.take_in(&reading, rest)
        } else {
            Vec::new()
        };
        blocks.extend(self.practised(helped, line)?.blocks);
        Some(Reply {
            blocks,
            leave: false,
        })
    }

    /// "That didn't work, told him to keep his head down and now he's fat": what failed is a remedy of
    /// somebody's own and says nothing of the practice; what is so now is told.
    fn other_remedy(&mut self, rest: &str) -> Option<Reply> {
        const OWN: [&str; 9] = [
            "told him",
            "told her",
            "i told",
            "had him",
            "had her",
            "we tried",
            "i tried to",
            "my mate told me",
            "i was told",
        ];
        let lower = rest.to_lowercase();
        if !OWN.iter().any(|w| lower.starts_with(w)) {
            return None;
        }
        let at = [" and now ", " but now ", " now "]
            .iter()
            .filter_map(|w| Some((lower.find(w)?, w.len())))
            .min()?;
        let (remedy, now) = (rest.get(..at.0)?, rest.get(at.0 + at.1..)?);
        let mut blocks = vec![Block::Note(Note::OtherRemedy)];
        let advice = super::advice::given(&format!("he says {}", to_do(remedy)));
        let topics = advice.map(|a| self.read(&format!("should i {a}")).topics);
        let answer = topics.into_iter().flatten().next();
        blocks.extend(answer.map(|topic| Block::Answer {
            answer: topic.answer,
            put: super::reply::Put::Should,
        }));
        self.talk.pending = None;
        blocks.extend(self.talk_line(now).blocks);
        Some(Reply {
            blocks,
            leave: false,
        })
    }

    /// Another drill against the same cause, if there is one that may be given.
    pub(super) fn other_drill(&mut self) -> Reply {
        let Some((diagnosis, _)) = self.last.clone() else {
            return Reply::note(Note::NothingKnown);
        };
        let base = Arc::clone(self.mind.base());
        let practice = diagnosis.practice.as_ref();
        let (Some((cause, drill)), None) = (self.talk.prescribed, self.talk.held) else {
            return self.practise(false);
        };
        let Some(practice) = practice.filter(|p| p.cause == cause) else {
            return Reply::of(Block::AlreadyPrescribed(cause));
        };
        let Some(group) = diagnosis.focus().map(|p| p.group) else {
            return Reply::of(Block::NothingToPractise);
        };
        let drills = turn::drills_for(&base, &self.talk, group, cause);
        let at = drills.iter().position(|d| *d == drill);
        let next = at.map_or(0, |at| at + 1) % drills.len().max(1);
        let Some(next) = drills.get(next).filter(|d| **d != drill) else {
            return Reply::note(Note::NoOtherDrill(cause));
        };
        self.talk.pending = None;
        self.talk.prescribed = Some((cause, *next));
        turn::prescription_of(&base, &self.talk, &diagnosis, practice, *next)
            .map_or_else(|| Reply::note(Note::NoOtherDrill(cause)), Reply::of)
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

/// What was to be done: "keep his head down" of "told him to keep his head down".
fn to_do(remedy: &str) -> String {
    let rest = remedy.split_once(" to ").map_or(remedy, |(_, rest)| rest);
    rest.replace(" his ", " your ").replace(" her ", " your ")
}

/// A word on practice at the start of a line, and what follows it.
pub(super) fn word_of(text: &str) -> Option<(bool, &str)> {
    const NO: [&str; 12] = [
        "didn't work",
        "didnt work",
        "did not work",
        "didn't help",
        "didnt help",
        "did not help",
        "doesn't work",
        "doesnt work",
        "doesn't help",
        "doesnt help",
        "made it worse",
        "got worse",
    ];
    const YES: [&str; 12] = [
        "'s gone",
        "s gone",
        " is gone",
        "'s much better",
        "'s better now",
        "s better now",
        " helped",
        " worked",
        " got better",
        " is better",
        "'s better",
        " is much better",
    ];
    const WHAT: [&str; 9] = [
        "it",
        "that",
        "this",
        "the drill",
        "that drill",
        "this drill",
        "the exercise",
        "the thought",
        "no it",
    ];
    let rest = WHAT.iter().find_map(|w| text.strip_prefix(w))?;
    let after = |list: &[&str]| {
        let rest = rest.trim_start_matches(' ');
        list.iter().find_map(|w| rest.strip_prefix(w.trim_start()))
    };
    let ends = |rest: &&str| rest.is_empty() || rest.starts_with([' ', ',', '.', ';', '!']);
    after(&NO)
        .filter(ends)
        .map(|rest| (false, rest))
        .or_else(|| after(&YES).filter(ends).map(|rest| (true, rest)))
}
