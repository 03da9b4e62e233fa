//! Which golfers of the population may stand before a new coach.
//!
//! The population is drawn to weigh evidence, tails and all; a case is to be believed. Takes a golfer
//! as drawn and says whether a body could swing so ([`possible`]), whether they are hurt ([`hurt`],
//! who belong before a health professional and not before a learner), what of their faults no cause
//! explains ([`own_way`]), whether they do more than the level is about ([`kept_to`]), and which of
//! their causes and faults can show with the clubs in hand ([`acts`], [`shown`]). The limits
//! are elicited: what careful measurement of golfers of all kinds has hardly met. Knows nothing of
//! the learner.

use crate::causes::model::{Axis, Change};
use crate::causes::{Case, Lineup};
use crate::diagnosis::Mind;
use crate::knowledge::{CautionLevel, KnowledgeBase, Wish};
use crate::vocabulary::{CauseId, CheckId, EffectId, GroupId, SymptomId};

/// Limits of an average swing, in the units the axes are shown in: deg, mm, in.
const LIMITS: [(Axis, crate::quantity::Unit, f64, f64); 6] = [
    (Axis::AttackAngle, crate::quantity::Unit::Degree, -10.0, 8.0),
    (
        Axis::ArcHeight,
        crate::quantity::Unit::Millimetre,
        -11.0,
        32.0,
    ),
    (Axis::ClubPath, crate::quantity::Unit::Degree, -13.0, 13.0),
    (Axis::FaceAngle, crate::quantity::Unit::Degree, -12.0, 12.0),
    (
        Axis::DeliveredLoft,
        crate::quantity::Unit::Degree,
        3.0,
        70.0,
    ),
    (
        Axis::StrikeAcross,
        crate::quantity::Unit::Millimetre,
        -26.0,
        26.0,
    ),
];

/// Whether a golfer's average swing is one that people make.
pub(super) fn possible(case: &Case) -> bool {
    LIMITS.iter().all(|(axis, unit, least, most)| {
        let value = case.axes.iter().find(|(a, _)| a == axis);
        let value = value.and_then(|(_, amount)| amount.value_in(*unit).ok());
        value.is_none_or(|x| (*least..=*most).contains(&x))
    })
}

/// Whether a cause is one that comes before everything else: what hurts.
pub(super) fn hurt(base: &KnowledgeBase, cause: CauseId) -> bool {
    let caution = base.cause(cause).caution;
    caution.is_some_and(|c| base.caution(c).level == CautionLevel::First)
}

/// Whether a symptom tells of nothing but what hurts.
pub(super) fn of_pain(base: &KnowledgeBase, symptom: SymptomId) -> bool {
    let tells = base.model.symptoms.get(symptom.index()).map(|s| &s.tells);
    tells.is_some_and(|t| !t.is_empty() && t.iter().all(|(c, _)| hurt(base, *c)))
}

/// Whether a check asks for nothing but what hurts.
pub(super) fn asks_of_pain(base: &KnowledgeBase, check: CheckId) -> bool {
    let mut asked = base
        .causes
        .iter()
        .enumerate()
        .filter(|(_, c)| c.check == Some(check))
        .map(|(i, _)| hurt(base, CauseId::from_index(i)))
        .peekable();
    asked.peek().is_some() && asked.all(|h| h)
}

/// Whether a cause moves anything with clubs of a group: how high a ball is teed does nothing to one
/// that lies on the turf.
pub(super) fn acts(base: &KnowledgeBase, cause: CauseId, group: GroupId) -> bool {
    let model = base.model.causes.get(cause.index());
    let shifts = model.and_then(|m| m.shifts.get(group.index()));
    shifts.is_some_and(|s| !s.is_empty())
}

/// Takes out the faults that an average swing of this golfer cannot show: how the sole meets the soil
/// is no fault of an arc that does not reach it.
pub(super) fn shown(base: &KnowledgeBase, mut case: Case, group: GroupId) -> Case {
    let of = |wanted: Axis| {
        let found = case.axes.iter().find(|(axis, _)| *axis == wanted);
        found.map(|(_, amount)| amount.base())
    };
    let reaches = match (of(Axis::ArcHeight), of(Axis::GrassTolerance)) {
        (Some(height), Some(grass)) => height < -grass,
        _ => true,
    };
    if !reaches {
        case.effects.retain(|effect| {
            let model = base.model.effects.get(effect.index());
            let tests = model.and_then(|m| m.any_of.get(group.index()));
            tests.is_none_or(|t| t.iter().any(|one| one.axis != Axis::Bounce))
        });
    }
    case
}

/// The faults that stay with every cause gone: the golfer's own way of swinging.
pub(super) fn own_way(
    mind: &mut Mind,
    lineup: &Lineup,
    number: u64,
    group: GroupId,
) -> Vec<EffectId> {
    let gone: Vec<Change> = lineup
        .causes(number)
        .iter()
        .map(|c| Change::Without(*c))
        .collect();
    let case = mind.simulation().case_of(lineup, number, group, &gone);
    shown(mind.base(), case, group).effects
}

/// Whether the golfer has no fault that the wish leaves to other levels.
pub(super) fn kept_to(wanted: &Wish, case: &Case) -> bool {
    !case.effects.iter().any(|e| wanted.without.contains(e))
}
