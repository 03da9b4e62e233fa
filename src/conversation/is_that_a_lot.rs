//! "Is attack -6 steep for a 7 iron?": whether a number is out of the usual.
//!
//! Takes a line that asks it of a number, in the line or told before it; says by the limits of the
//! knowledge how far the number has gone, and what a good one is. What is asked is not told; what
//! stands before ", is that ..." is. Why a number is so is not asked here, and not answered.

use std::sync::Arc;

use super::looking_up::ASKS_GOOD;
use super::reply::{Block, Reply};
use super::worked_out::WorkedOut;
use super::{Session, arc, command, openings, questions, talk};
use crate::diagnosis::Pattern;
use crate::quantity::{Amount, Angle};
use crate::reading::{Polarity, Reading, What};
use crate::vocabulary::QuantityId;

/// Words by which a number is judged.
const JUDGES: [&str; 32] = [
    "steep",
    "shallow",
    "lot",
    "much",
    "little",
    "big",
    "large",
    "small",
    "bad",
    "terrible",
    "good",
    "great",
    "ok",
    "okay",
    "fine",
    "high",
    "low",
    "normal",
    "usual",
    "unusual",
    "typical",
    "average",
    "excessive",
    "extreme",
    "enough",
    "far",
    "severe",
    "reasonable",
    "acceptable",
    "decent",
    "alright",
    "level",
];

/// What a question of a number begins with.
const BEGINS: [&str; 14] = [
    "is ",
    "are ",
    "isnt ",
    "isn't ",
    "would ",
    "was ",
    "how bad is ",
    "how good is ",
    "how steep is ",
    "how big is ",
    "how much is ",
    "how far is ",
    "how high is ",
    "how low is ",
];

/// What a question begins with that follows a number in the same line.
const OF_THAT: [&str; 7] = [
    "is that ",
    "is it ",
    "is this ",
    "isnt that ",
    "isn't that ",
    "are they ",
    "are those ",
];

/// The whole of a question about numbers told before.
const ALONE: usize = 7;

impl Session {
    /// The reply to a question whether a number is out of the usual; nothing if it asks another thing.
    pub(super) fn is_that_a_lot(&mut self, line: &str) -> Option<Reply> {
        if self.talk.held.is_some() {
            return None;
        }
        let plain = command::plain(line);
        let text = openings::whole_words(questions::bare(&plain));
        let text = text.trim_end_matches(['?', '!', '.', ' ']);
        if let Some((head, asked)) = parted(text) {
            // "low point 2 behind, is that bad with a wedge": the club is of what is told.
            let club = [" with ", " for ", " off "]
                .iter()
                .find_map(|way| asked.find(way));
            let club = club.and_then(|at| asked.get(at..)).unwrap_or("");
            let head = format!("{head}{club}");
            let reading = self.read(&head);
            let blocks = self.judged_in(&reading);
            if !blocks.is_empty() && judges(asked) {
                let told = self.talk_line(&head);
                return Some(Reply {
                    blocks: blocks.into_iter().chain(told.blocks).collect(),
                    leave: told.leave,
                });
            }
        }
        if !BEGINS.iter().any(|way| text.starts_with(way)) || !judges(text) {
            return None;
        }
        let reading = self.read(text);
        let mut blocks = self.judged_in(&reading);
        let of_that = OF_THAT
            .iter()
            .any(|way| format!("{text} ").starts_with(way));
        // While something is counted, "is that good?" is of the counts.
        let of_that = of_that && self.talk.prescribed.is_none();
        if blocks.is_empty() && of_that && text.split(' ').count() <= ALONE {
            blocks = self.judged_before(self.quantity_named(text));
        }
        (!blocks.is_empty()).then(|| self.asking_again(blocks))
    }

    /// A usual number for the club that is asked about: "what's a normal dynamic loft with a 7 iron".
    pub(super) fn usual_number(&self, whole: &str, reading: &Reading) -> Option<WorkedOut> {
        let said: Vec<&str> = whole.split(' ').collect();
        if !said.iter().any(|w| ASKS_GOOD.contains(w))
            || !said.iter().any(|w| w.starts_with("what"))
        {
            return None;
        }
        let base = self.mind.base();
        let pattern = talk::pattern(base, &reading.scope);
        if !pattern.said {
            return None;
        }
        let quantity = self.quantity_named(whole)?;
        self.against_limits(quantity, None, &pattern)
    }

    fn judged_in(&self, reading: &Reading) -> Vec<Block> {
        let base = Arc::clone(self.mind.base());
        let numbers = reading.findings.iter().filter_map(|f| match f.what {
            What::Number(number) => Some((f, number)),
            What::Symptom(_) | What::AllWell => None,
        });
        let mut blocks = Vec::new();
        for (finding, number) in numbers.filter(|(f, _)| f.polarity != Polarity::Absent) {
            let mut pattern = talk::pattern(&base, &finding.pattern);
            if !pattern.said
                && let Some((diagnosis, _)) = &self.last
                && let Some(focus) = diagnosis.focus()
            {
                pattern = focus.clone();
            }
            let judged =
                self.against_limits(number.quantity, Some(number.value.middle()), &pattern);
            blocks.extend(judged);
        }
        remarked_once(blocks)
    }

    /// The numbers told before, or the one of this quantity.
    fn judged_before(&self, only: Option<QuantityId>) -> Vec<Block> {
        let base = Arc::clone(self.mind.base());
        let statements = self.talk.statements.iter().filter(|s| !s.dropped);
        let mut blocks = Vec::new();
        for statement in statements {
            if let What::Number(number) = statement.finding.what
                && only.is_none_or(|only| only == number.quantity)
            {
                let pattern = talk::pattern(&base, &statement.finding.pattern);
                let judged =
                    self.against_limits(number.quantity, Some(number.value.middle()), &pattern);
                blocks.extend(judged);
            }
        }
        remarked_once(blocks)
    }

    fn against_limits(
        &self,
        quantity: QuantityId,
        value: Option<Amount>,
        pattern: &Pattern,
    ) -> Option<WorkedOut> {
        let base = self.mind.base();
        let loft = loft_of(base, pattern);
        let wanted = arc::wanted(base, pattern)
            .into_iter()
            .find(|(q, _, _)| *q == quantity)
            .map(|(_, from, to)| (from, to));
        let limits: Vec<_> = base
            .limits_of(quantity, pattern.group)
            .into_iter()
            .map(|id| {
                (
                    id,
                    value.map(|v| base.limit(id).reached(v, pattern.group, loft)),
                )
            })
            .collect();
        (!limits.is_empty() || wanted.is_some()).then(|| WorkedOut::Judged {
            quantity,
            value,
            pattern: pattern.clone(),
            loft,
            limits,
            wanted,
            remark: true,
        })
    }
}

/// The numbers one after another, with what is to be said of all limits after the last.
fn remarked_once(mut judged: Vec<WorkedOut>) -> Vec<Block> {
    for earlier in judged.iter_mut().rev().skip(1) {
        if let WorkedOut::Judged { remark, .. } = earlier {
            *remark = false;
        }
    }
    judged.into_iter().map(Block::WorkedOut).collect()
}

/// The loft on the club, or the usual one of its group.
fn loft_of(base: &crate::knowledge::KnowledgeBase, pattern: &Pattern) -> Angle {
    pattern.club.map_or_else(
        || base.group(pattern.group).static_loft,
        |club| base.club(club).loft,
    )
}

/// What is told, and the question that follows: "attack -6" and "is that steep".
fn parted(text: &str) -> Option<(&str, &str)> {
    let at = OF_THAT
        .iter()
        .flat_map(|way| [", ", ". ", "; ", " - ", "? "].map(|joint| format!("{joint}{way}")))
        .filter_map(|joined| text.rfind(&joined))
        .max()?;
    let (head, rest) = text.split_at(at);
    let asked = rest.trim_start_matches([',', '.', ';', '-', '?', ' ']);
    (asked.split(' ').count() <= ALONE).then_some((head, asked))
}

/// True if a word of these judges a number.
fn judges(text: &str) -> bool {
    text.split(' ').any(|word| JUDGES.contains(&word))
}

#[cfg(test)]
mod tests {
    use super::parted;

    #[test]
    fn what_is_told_is_parted_from_what_is_asked_of_it() {
        assert_eq!(
            parted("7 iron attack -6, is that steep"),
            Some(("7 iron attack -6", "is that steep"))
        );
        assert_eq!(parted("is attack -6 steep"), None);
        assert_eq!(
            parted("path -4, is that why the ball that i hit with it starts left of everything"),
            None
        );
    }
}
