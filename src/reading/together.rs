//! Which symptoms of one shot mean more together? A start to one side and a curve to it are a push-slice.
//!
//! Takes the findings of a line and gives, club by club, what the lexicon says that several of them
//! mean as well. Not known here: what they mean.

use super::clauses::Line;
use super::findings::Draft;
use super::{Finding, Pattern, Polarity, What};
use crate::knowledge::lexicon::Meaning;
use crate::vocabulary::SymptomId;

/// Clubs whose flights of one kind are put together in one message at most.
const PATTERNS: usize = 12;

/// Symptoms that together mean more: a start to one side and a curve to it, club by club.
pub(super) fn find(line: &Line<'_>, drafts: &mut Vec<Draft>) {
    for meaning in line.phrases.together() {
        let Meaning::Together { all, mean } = meaning else {
            continue;
        };
        let so = |d: &&Draft| d.finding.polarity == Polarity::Present && d.why.is_none();
        let is = |d: &Draft, symptom: SymptomId| d.finding.what == What::Symptom(symptom);
        let Some((head, rest)) = all.split_first() else {
            continue;
        };
        let mut patterns: Vec<Pattern> = Vec::new();
        for draft in drafts.iter().filter(so).filter(|d| is(d, *head)) {
            if patterns.len() < PATTERNS && !patterns.contains(&draft.finding.pattern) {
                patterns.push(draft.finding.pattern.clone());
            }
        }
        let mut new: Vec<Draft> = Vec::new();
        for pattern in &patterns {
            let present = |symptom: SymptomId| {
                let of_it = |d: &&Draft| is(d, symptom) && d.finding.pattern == *pattern;
                drafts.iter().filter(so).find(of_it)
            };
            let others: Option<Vec<&Draft>> = rest.iter().map(|s| present(*s)).collect();
            let (Some(first), Some(others)) = (present(*head), others) else {
                continue;
            };
            let mut said = first.finding.said;
            let mut weight = first.finding.weight;
            let mut needs_hand = first.finding.needs_hand;
            let mut at = first.at;
            for other in others {
                said = said.joined(other.finding.said);
                weight = weight.min(other.finding.weight);
                needs_hand |= other.finding.needs_hand;
                at = at.max(other.at);
            }
            let missing = mean.iter().filter(|s| present(**s).is_none());
            new.extend(missing.map(|symptom| {
                let clause = first.finding.clause;
                let finding = Finding {
                    what: What::Symptom(*symptom),
                    said,
                    weight,
                    needs_hand,
                    count: None,
                    often: None,
                    severity: None,
                    said_again: Vec::new(),
                    ..first.finding.clone()
                };
                let mut whole = first.again(line, (at, at + 1), finding);
                whole.finding.clause = clause;
                whole
            }));
        }
        drafts.extend(new);
    }
}
