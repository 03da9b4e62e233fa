//! What is counted in practice, so that the count is of this golfer's complaint?
//!
//! Takes what was told of the clubs in question; gives the count of the knowledge that takes the
//! place of the one that cause and drill bring, or none. Decides nothing about causes.

use super::talk::{Talk, pattern};
use crate::diagnosis::Pattern;
use crate::knowledge::{Ground, KnowledgeBase};
use crate::reading::{Polarity, What};
use crate::vocabulary::{CauseId, CountId, DrillId, GroupId, SymptomId};

/// True if the ball stands on a peg: said, or usual with this club and no other lie said.
pub(super) fn teed(base: &KnowledgeBase, pattern: &Pattern) -> bool {
    const PEG: &str = "tee";
    let model = base.model.groups.get(pattern.group.index());
    match pattern.lie {
        Some(lie) => base.lie(lie).id == PEG,
        None => model.is_some_and(|g| g.teed),
    }
}

/// True if the ball lies on ground that shows no turf mark.
pub(super) fn no_turf(base: &KnowledgeBase, pattern: &Pattern) -> bool {
    pattern.lie.is_some_and(|lie| base.lie(lie).no_turf)
}

/// The complaints told of the clubs in question.
fn complaints(base: &KnowledgeBase, talk: &Talk, focus: GroupId) -> Vec<SymptomId> {
    let told = |statement: &super::talk::Statement| match statement.finding.what {
        What::Symptom(symptom) => Some(symptom),
        What::Number(_) | What::AllWell => None,
    };
    let statements = talk.statements.iter();
    statements
        .filter(|s| !s.dropped && s.finding.polarity == Polarity::Present)
        .filter(|s| {
            let of = pattern(base, &s.finding.pattern);
            of.group == focus || s.finding.pattern.groups.contains(&focus)
        })
        .filter_map(told)
        .collect()
}

/// True if a child who complains of this gets the drill for children.
pub(super) fn childs_drill(base: &KnowledgeBase, talk: &Talk, focus: GroupId) -> bool {
    let told = complaints(base, talk, focus);
    // The first that fits is meant, here too.
    let mut counts = base.counts.iter();
    counts
        .find(|c| c.complaints.iter().any(|s| told.contains(s)))
        .is_some_and(|c| c.childs_drill)
}

/// The count of the complaint, where cause and drill count something else.
pub(super) fn count_for(
    base: &KnowledgeBase,
    talk: &Talk,
    focus: &Pattern,
    (cause, drill): (CauseId, DrillId),
) -> Option<CountId> {
    // A child's drill brings the one count that a child needs.
    if base.drill(drill).children {
        return None;
    }
    base.count_for(
        &complaints(base, talk, focus.group),
        Ground {
            group: focus.group,
            teed: teed(base, focus),
            no_turf: no_turf(base, focus),
        },
        (cause, Some(drill)),
    )
}
