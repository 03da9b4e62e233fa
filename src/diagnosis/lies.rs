//! What the ball lay on, as stated: a condition of the shot, weighed by what it explains.
//!
//! Takes the evidence and the judgement; gives each stated lie the share at work that the complaint
//! speaks for. Names no lie: knows only the condition that a lie forces and what that moves.

use super::{Mind, Pattern, Token};
use crate::causes::Judgement;
use crate::causes::model::{Axis, Evidence};
use crate::knowledge::KnowledgeBase;
use crate::vocabulary::{CauseId, GroupId};

/// The share at work of a lie that was stated and that the rest does not speak for: who brings it up
/// thinks that it bears on the complaint. What the rest has against it is taken off (elicited; tried
/// on written cases).
const BROUGHT_UP: f64 = 0.7;

/// A lie that was stated is there for certain, which says nothing of what it did: its share at work is
/// what the rest of the evidence would make of it. A slope that explains the complaint leads; a mat
/// that hides it does not.
pub(super) fn lies_by_what_they_explain(
    mind: &mut Mind,
    evidence: &[(Token, Evidence)],
    group: GroupId,
    judgement: &mut Judgement,
) {
    let stated: Vec<CauseId> = evidence
        .iter()
        .filter_map(|(token, piece)| match (token, piece) {
            (Token::Lie(_), Evidence::Known { cause, .. }) => Some(*cause),
            _ => None,
        })
        .collect();
    if stated.is_empty() {
        return;
    }
    let rest: Vec<Evidence> = evidence
        .iter()
        .filter(|(token, _)| !matches!(token, Token::Lie(_)))
        .map(|(_, piece)| piece.clone())
        .collect();
    let without = mind.simulation.judge(&rest, group);
    for ranked in &mut judgement.causes {
        if stated.contains(&ranked.cause)
            && let Some(alone) = without.of(ranked.cause)
        {
            let explained = (1.0 - 1.0 / alone.raised.max(1.0)).max(0.0);
            let brought_up =
                if bears_on(mind, ranked.cause, group) && !in_passing(mind, ranked.cause) {
                    BROUGHT_UP * alone.raised.min(1.0)
                } else {
                    0.0
                };
            ranked.at_work = ranked.probability * explained.max(brought_up);
        }
    }
    judgement.rank_again();
}

/// True for ground that golfers name as the place where they practise and not as a trouble: a mat.
fn in_passing(mind: &Mind, cause: CauseId) -> bool {
    let mut lies = mind.base().lies.iter();
    lies.any(|lie| lie.condition == Some(cause) && lie.no_turf)
}

/// True if the lie moves anything with clubs of this group: a mat does nothing to a ball on a peg.
fn bears_on(mind: &Mind, cause: CauseId, group: GroupId) -> bool {
    let shaped = mind.base().model.causes.get(cause.index());
    shaped
        .and_then(|cause| cause.shifts.get(group.index()))
        .is_some_and(|shifts| !shifts.is_empty())
}

/// True if the lie of the pattern itself moves the bottom of the arc, as a slope does.
pub(super) fn moves_low_point(base: &KnowledgeBase, pattern: &Pattern) -> bool {
    let condition = pattern.lie.and_then(|lie| base.lie(lie).condition);
    condition
        .and_then(|cause| base.model.causes.get(cause.index()))
        .and_then(|cause| cause.shifts.get(pattern.group.index()))
        .is_some_and(|shifts| shifts.iter().any(|s| s.axis == Axis::LowPoint))
}
