//! What ails the golfer, who has to be spared what, and what a doctor's leave settles.
//!
//! Takes a line; gives the alarms it sets off, those left out that a doctor's word settles, and notes
//! what practice has to have regard for. Invariant: something that hurts now is never settled by
//! leave that was given before. Asks nothing and makes no sentence.

use super::Session;
use super::reply::{Question, Reply};
use super::{child, without};
use crate::knowledge::CautionLevel;
use crate::reading::Span;
use crate::reading::safety::{Alarm, leave};
use crate::vocabulary::CautionId;

/// The plain word for a child, to which the cautions for children answer.
const PLAIN: &str = "my child";

impl Session {
    /// The alarms of a line, without those that a doctor's leave told in it settles.
    pub(super) fn alarms(&mut self, line: &str) -> Vec<Alarm> {
        let Some(said) = leave(line) else {
            return self.without_old_emergencies(self.lookout.look(line));
        };
        let alarms = self.lookout.look(&without(line, std::iter::once(said)));
        let mut alarms = self.without_old_emergencies(alarms);
        let base = self.base();
        let settles = |c: CautionId| base.caution(c).leave;
        let hurts = alarms
            .iter()
            .any(|a| a.level <= CautionLevel::First && a.about_pain && !a.unsure);
        if hurts {
            return alarms;
        }
        alarms.retain(|a| a.level != CautionLevel::First || !settles(a.caution));
        self.talk.cleared = true;
        self.talk.no_pain = true;
        self.leave = Some(said);
        alarms
    }

    /// The alarms without an emergency of long ago that another caution asks about: "I had a heart
    /// attack two years ago" calls for a doctor's word and for no ambulance.
    fn without_old_emergencies(&self, mut alarms: Vec<Alarm>) -> Vec<Alarm> {
        let base = self.base();
        let asks: Vec<Span> = alarms
            .iter()
            .filter(|a| a.level == CautionLevel::First)
            .filter(|a| base.caution(a.caution).leave && !a.about_pain)
            .map(|a| a.said)
            .collect();
        alarms.retain(|a| {
            let old = a.level == CautionLevel::Emergency && a.unsure;
            !(old
                && asks
                    .iter()
                    .any(|s| s.start <= a.said.start && a.said.end <= s.end))
        });
        alarms
    }

    /// The golfer's answer clears the caution: nothing grave is about it.
    pub(super) fn clear(&mut self, caution: CautionId) {
        // No pain but an operation or the like, and nobody left to ask.
        self.talk.cleared |= self.base().caution(caution).hurts.is_empty();
        self.talk.held = None;
        self.talk.grave = false;
        self.talk.no_pain = true;
    }

    /// The reply to a doctor's leave told where just that was asked.
    pub(super) fn cleared_by_leave(&mut self, line: &str) -> Option<Reply> {
        /// More words than these beside the leave are told for themselves.
        const FEW: usize = 3;
        let said = self.leave?;
        let question = self.talk.pending.clone()?;
        let base = self.base();
        let yes = match question {
            Question::Leave(caution) if base.caution(caution).leave => true,
            Question::Safety(caution)
                if base.caution(caution).leave && base.caution(caution).hurts.is_empty() =>
            {
                false
            }
            _ => return None,
        };
        let rest = without(line, std::iter::once(said));
        if rest.split_whitespace().count() > FEW {
            self.talk.held = None;
            self.talk.grave = false;
            self.talk.pending = None;
            return None;
        }
        Some(self.answer(&question, if yes { "yes" } else { "no" }))
    }

    /// Notes what the alarms say that drills have to spare.
    pub(super) fn note_ails(&mut self, alarms: &[Alarm]) {
        let told = alarms.iter().filter(|a| !a.ails.is_empty());
        for alarm in told {
            self.talk.stiff = alarm.stiff && (self.talk.stiff || self.talk.ails.is_empty());
            if alarm.about_pain && !alarm.stiff {
                self.talk.cleared = false;
                self.talk.no_pain = false;
                self.talk.seen = false;
                self.talk.hurts |= !alarm.unsure;
            }
            for ail in &alarm.ails {
                if !self.talk.ails.contains(ail) {
                    self.talk.ails.push(ail.clone());
                }
            }
        }
    }

    /// The cautions beside the answer that a line calls for; for a son of 25 none that are for
    /// children.
    pub(super) fn heed_beside(&mut self, alarms: &[Alarm], line: &str) {
        let grown = child::tells_of_child(line) == Some(false);
        let childs: Vec<CautionId> = if grown {
            let called = self.lookout.look(PLAIN);
            called.iter().map(|a| a.caution).collect()
        } else {
            Vec::new()
        };
        self.beside = alarms
            .iter()
            .filter(|a| !a.unsure && !self.talk.cautioned.contains(&a.caution))
            .filter(|a| !childs.contains(&a.caution))
            .map(|a| (a.caution, a.said))
            .collect();
    }

    /// A child in pain hits no balls until a health professional has seen it, even if the pain was told
    /// before the age.
    fn hold_a_child(&mut self) {
        if self.talk.held.is_some() || !self.talk.hurts || self.talk.stiff || self.talk.seen {
            return;
        }
        let asks = self.base().cautions.iter();
        let place = asks.clone().position(|c| c.ask_grave.is_some());
        if let Some(place) = place.filter(|_| !self.talk.nothing_hurts()) {
            self.talk.held = Some(CautionId::from_index(place));
            self.talk.grave = true;
        }
    }

    /// Notes whether the golfer is a child, and has said what the plain word for one calls for.
    pub(super) fn note_child(&mut self, line: &str) {
        let Some(child) = child::tells_of_child(line) else {
            return;
        };
        let new = child && !self.talk.child;
        self.talk.child = child;
        if !new {
            return;
        }
        self.hold_a_child();
        let nowhere = Span { start: 0, end: 0 };
        for alarm in self.lookout.look(PLAIN) {
            let said = self.beside.iter().any(|(c, _)| *c == alarm.caution)
                || self.talk.cautioned.contains(&alarm.caution);
            if !said && alarm.level == CautionLevel::Beside {
                self.beside.push((alarm.caution, nowhere));
            }
        }
    }
}
