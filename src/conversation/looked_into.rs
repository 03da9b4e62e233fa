//! What can be looked at in a talk from outside: the case it stands for, accounts and benefits of
//! causes, drills and counts. Changes nothing that was told.

use std::sync::Arc;

use super::reply::{Heard, Question};
use super::{Session, counting, talk, turn};
use crate::diagnosis::{Case, Pattern, usual_pattern};
use crate::explanation::accounts;
use crate::reading::Finding;
use crate::vocabulary::{CauseId, CountId, DrillId};

impl Session {
    /// What has been told, as a case for the rules and the golfers.
    pub fn case(&self) -> Case {
        self.talk.case(self.base()).0
    }

    /// Everything known, numbered.
    pub fn known(&self) -> Vec<Heard> {
        turn::heard(&self.talk, None)
    }

    /// What is being asked.
    pub const fn asking(&self) -> Option<&Question> {
        self.talk.pending.as_ref()
    }

    /// The pattern that a finding belongs to, as the diagnosis sees it.
    pub fn pattern_of(&self, finding: &Finding) -> Pattern {
        talk::pattern(self.mind.base(), &finding.pattern)
    }

    /// The drill that may be given for a cause.
    pub fn drill_for(&self, cause: CauseId) -> Option<DrillId> {
        let base = self.mind.base();
        let group = self.diagnosis().map(|d| d.judgement.focus);
        let group = group.unwrap_or_else(|| usual_pattern(base).group);
        turn::drill_for(base, &self.talk, group, cause)
    }

    /// What is counted with this drill in place of its own count.
    pub fn count_for(&self, cause: CauseId, drill: DrillId) -> Option<CountId> {
        let focus = self.diagnosis()?.focus()?;
        counting::count_for(self.mind.base(), &self.talk, focus, (cause, drill))
    }

    /// For each cause, the words of each piece of evidence with its weight in decibans.
    pub fn accounts(&mut self, causes: &[CauseId]) -> Vec<(CauseId, Vec<(String, f64)>)> {
        let Some((diagnosis, places)) = self.last.clone() else {
            return Vec::new();
        };
        let base = Arc::clone(self.mind.base());
        let words = turn::words(&base, &self.talk, &places, &diagnosis);
        accounts(&mut self.mind, &diagnosis, causes)
            .into_iter()
            .map(|account| {
                let lines = account
                    .entries
                    .iter()
                    .map(|e| {
                        (
                            words.get(e.evidence).cloned().unwrap_or_default(),
                            e.decibans,
                        )
                    })
                    .collect();
                (account.cause, lines)
            })
            .collect()
    }

    /// For each cause, playable shots gained in a hundred if it were gone.
    pub fn benefits(&mut self, causes: &[CauseId]) -> Vec<(CauseId, f64)> {
        let Some((diagnosis, _)) = self.last.clone() else {
            return Vec::new();
        };
        self.mind
            .simulation()
            .benefits(&diagnosis.judgement, causes)
            .into_iter()
            .map(|b| (b.cause, b.playable))
            .collect()
    }
}
