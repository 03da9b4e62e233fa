//! The learner's talk inside the ordinary one: `learn` hands every line over until `leave`.

use super::{Start, Taught, Trainee};
use crate::conversation::{Block, Reply, Session};
use crate::learning::attempts;

/// Cases lie this far apart from one visit to the next, so that none comes twice.
const APART: u64 = 101;

impl Session {
    /// Begins, or goes on from the record in the book.
    pub(in crate::conversation) fn begin_learning(&mut self) -> Reply {
        let done = attempts(self.notebook.records.iter().filter_map(|r| r.entry()));
        let case = 1 + APART * done.len() as u64;
        let start = Start {
            case: case % super::HIGHEST_CASE,
            attempts: done,
            ..Start::default()
        };
        let mut trainee = Trainee::with_mind(self.mind.clone(), start);
        let taught = trainee.greeting();
        let reply = self.taught(&trainee, taught);
        self.trainee = Some(Box::new(trainee));
        reply
    }

    /// The reply of the learner's talk, if one is going on.
    pub(in crate::conversation) fn learner(&mut self, line: &str) -> Option<Reply> {
        let mut trainee = self.trainee.take()?;
        let taught = trainee.respond(line);
        let over = taught.leave;
        let reply = self.taught(&trainee, taught);
        if !over {
            self.trainee = Some(trainee);
        }
        Some(reply)
    }

    fn taught(&mut self, trainee: &Trainee, mut taught: Taught) -> Reply {
        let knowledge = self.base().hash.clone();
        for entry in std::mem::take(&mut taught.entries) {
            self.notebook.keep(&knowledge, entry);
        }
        let hand = trainee.hand();
        Reply::of(Block::Learning(Box::new(taught), hand))
    }
}
