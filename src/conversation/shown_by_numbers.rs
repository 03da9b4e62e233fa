//! Which causes does a measured number show that is no part of the arc? A ball 2 in behind the middle of
//! the stance is a look at where the ball is put.
//!
//! Takes the numbers of a line; notes the cause of each limit that they have gone beyond as looked at, and
//! those of the other limits of the quantity as not so. Invariant: a quantity that is weighed by itself
//! shows nothing here. Which limits show a cause is knowledge.

use std::sync::Arc;

use super::{Session, talk};
use crate::knowledge::Reached;
use crate::reading::{Polarity, What};
use crate::vocabulary::CauseId;

/// A number just beyond a limit counts for half a look (elicited).
const A_SIGN: f64 = 0.5;

impl Session {
    /// Notes what the numbers of this line show.
    pub(super) fn note_looks(&mut self, line: usize) {
        let base = Arc::clone(self.mind.base());
        let mut seen: Vec<(CauseId, f64, String)> = Vec::new();
        for statement in self
            .talk
            .statements
            .iter()
            .filter(|s| s.line == line && !s.dropped)
        {
            let What::Number(number) = statement.finding.what else {
                continue;
            };
            if statement.finding.polarity != Polarity::Present {
                continue;
            }
            let pattern = talk::pattern(&base, &statement.finding.pattern);
            let loft = base.group(pattern.group).static_loft;
            for limit in base.limits_of(number.quantity, pattern.group) {
                let limit = base.limit(limit);
                let Some(cause) = limit.shows else {
                    continue;
                };
                let family = &base.cause(cause).family;
                let trust = base.seen_trust.get(family).copied().unwrap_or(1.0);
                let weight = match limit.reached(number.value.middle(), pattern.group, loft) {
                    Reached::Plainly => trust,
                    Reached::Sign => A_SIGN * trust,
                    Reached::Not => -trust,
                };
                seen.push((cause, weight, statement.words.clone()));
            }
        }
        for (cause, weight, words) in seen {
            self.talk.hints.retain(|(c, ..)| *c != cause);
            self.talk.looked_at.push(cause);
            self.talk.hints.push((cause, weight, words));
        }
    }
}
