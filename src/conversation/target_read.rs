//! "Path is 2 right now": a number of what is practised, held against the range aimed at.
//!
//! Takes a line that gives nothing but such numbers while something is practised; tells for each
//! whether it is in the range, and what it was before. Invariant: it is a result and no new finding, so
//! that the numbers told before the practice stay what the cause was judged by. One number is no
//! proof: the counts judge, and nothing here does.

use super::Session;
use super::reply::{Block, Question, Reply};
use crate::quantity::Amount;
use crate::reading::{Finding, Polarity, What};
use crate::vocabulary::{CauseId, QuantityId};

/// One number read while practising, and the range it was to come into.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TargetRead {
    /// What was measured.
    pub quantity: QuantityId,
    /// The number told.
    pub value: Amount,
    /// The range aimed at.
    pub range: (Amount, Amount),
    /// The number told before the practice, if one was.
    pub before: Option<Amount>,
}

impl TargetRead {
    /// True if the number lies in the range.
    pub fn reached(&self) -> bool {
        (self.range.0.base()..=self.range.1.base()).contains(&self.value.base())
    }

    /// True if the number lies nearer to the range than the one before.
    pub fn nearer(&self) -> bool {
        let off = |a: Amount| (self.range.0.base() - a.base()).max(a.base() - self.range.1.base());
        self.before.is_some_and(|b| off(self.value) < off(b))
    }
}

/// Words that say of a number that it is of now.
const NOW: [&str; 10] = [
    "now",
    "today",
    "currently",
    "after",
    "since",
    "latest",
    "down",
    "up",
    "improved",
    "became",
];

impl Session {
    /// The reply to a number of what is practised; none if the line says anything else.
    pub(super) fn target_read(&mut self, line: &str) -> Option<Reply> {
        let between = match &self.talk.pending {
            None | Some(Question::Check(_) | Question::Tally { .. }) => true,
            Some(_) => false,
        };
        if !between || !self.practises() {
            return None;
        }
        let cause: CauseId = self
            .current()
            .map(|c| c.cause)
            .or(self.talk.prescribed.map(|(c, _)| c))?;
        let reading = self.read(line);
        if reading.findings.is_empty() || !reading.hints.is_empty() || !reading.topics.is_empty() {
            return None;
        }
        let aims = self.aims(cause);
        let words: Vec<String> = (line.split(|c: char| !c.is_alphanumeric()))
            .map(str::to_lowercase)
            .collect();
        let of_now = words.iter().any(|w| NOW.contains(&w.as_str()));
        let mut reads = Vec::new();
        for Finding { what, polarity, .. } in &reading.findings {
            let (What::Number(number), Polarity::Present) = (what, polarity) else {
                return None;
            };
            let (quantity, low, high) = *aims.iter().find(|(q, ..)| *q == number.quantity)?;
            let earlier = self.talk.statements.iter().rev().filter(|s| !s.dropped);
            let before = earlier.filter_map(|s| match s.finding.what {
                What::Number(n) if n.quantity == quantity => Some(n.value.middle()),
                _ => None,
            });
            let before = before.into_iter().next();
            if !of_now && before.is_none() {
                return None;
            }
            reads.push(TargetRead {
                quantity,
                value: number.value.middle(),
                range: (low, high),
                before,
            });
        }
        Some(Reply::of(Block::TargetRead(reads)))
    }
}
