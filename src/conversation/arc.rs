//! What did the club do at the ball, in numbers?
//!
//! Takes a diagnosis and the talk; gives what was said, worked out and usual of the arc, the strike
//! that was told, the mark on the face, and the ranges to aim for. Decides nothing about causes and
//! makes no sentence.

use super::reply::{ArcNumbers, Block, ChainStep, MarkHeight};
use super::talk::Talk;
use crate::causes::model::{Axis, Event, Seen};
use crate::diagnosis::{Diagnosis, Origin, Pattern};
use crate::geometry::named::attack_from_low_point;
use crate::geometry::strike::StrikeClass;
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Amount, Estimate, Length, Unit};
use crate::reading::{Polarity, What};
use crate::vocabulary::{CauseId, QuantityId, SymptomId};
/// Quantities of the arc and the impact in the order of reasoning.
pub(super) const CHAIN: [&str; 14] = [
    "turf_entry",
    "brush_start",
    "mark_length",
    "low_point",
    "attack_angle",
    "swing_direction",
    "club_path",
    "face_angle",
    "face_to_path",
    "dynamic_loft",
    "handle_lean",
    "start_direction",
    "strike_across",
    "lie_at_impact",
];

/// Families of effects in the order of cause and effect at the ball.
const FAMILIES: [&str; 12] = [
    "low point",
    "height",
    "attack",
    "path",
    "face",
    "loft",
    "strike",
    "radius",
    "plane",
    "aim",
    "sole",
    "speed",
];

/// The numbers of the arc for the pattern in focus.
pub(super) fn arc_numbers(
    base: &KnowledgeBase,
    talk: &Talk,
    diagnosis: &Diagnosis,
) -> Option<ArcNumbers> {
    let pattern = diagnosis.focus()?.clone();
    let mut chain = Vec::new();
    for name in CHAIN {
        let Some(quantity) = base.find_quantity(name) else {
            continue;
        };
        let Some(row) = diagnosis.row(quantity) else {
            continue;
        };
        let (said, rule) = match &row.origin {
            Origin::Said(_) => (true, None),
            Origin::Derived(why) => (false, why.rule),
        };
        chain.push(ChainStep {
            quantity,
            middle: row.value.middle(),
            low: end(row.value, -1.0),
            high: end(row.value, 1.0),
            said,
            rule,
        });
    }
    let has = |name: &str| chain.iter().any(|s| base.quantity(s.quantity).id == name);
    let mut modelled = Vec::new();
    for (axis, name) in [
        (Axis::LowPoint, "low_point"),
        (Axis::AttackAngle, "attack_angle"),
    ] {
        if !has(name)
            && let (Some(quantity), Some(range)) =
                (base.find_quantity(name), diagnosis.judgement.range(axis))
        {
            modelled.push((quantity, range.mean, range.low, range.high));
        }
    }
    let mut effects: Vec<_> = diagnosis
        .judgement
        .effects
        .iter()
        .copied()
        .filter(|(_, p)| *p >= 0.5)
        .collect();
    // What the arc did before what followed from it; one fact of low point and attack.
    let rank = |family: &str| {
        FAMILIES
            .iter()
            .position(|f| *f == family)
            .unwrap_or(FAMILIES.len())
    };
    effects.sort_by(|a, b| {
        rank(&base.effect(a.0).family)
            .cmp(&rank(&base.effect(b.0).family))
            .then(b.1.total_cmp(&a.1))
            .then(a.0.cmp(&b.0))
    });
    let low_point = effects
        .iter()
        .any(|(e, _)| base.effect(*e).family == FAMILIES[0]);
    effects.retain(|(e, _)| !(low_point && base.effect(*e).family == "attack"));
    let mut families: Vec<&str> = Vec::new();
    effects.retain(|(e, _)| {
        let family = base.effect(*e).family.as_str();
        let first = !families.contains(&family);
        families.push(family);
        first
    });
    let wanted = wanted(base, &pattern);
    Some(ArcNumbers {
        pattern,
        chain,
        modelled,
        wanted,
        effects,
        struck: told_strike(base, talk, diagnosis),
    })
}

/// The one class of strike that was told; none where several were, or of several clubs.
fn told_strike(base: &KnowledgeBase, talk: &Talk, diagnosis: &Diagnosis) -> Option<StrikeClass> {
    if diagnosis.patterns.len() != 1 {
        return None;
    }
    let mut told = talk
        .statements
        .iter()
        .filter(|s| !s.dropped && s.finding.polarity == Polarity::Present)
        .filter_map(|s| match s.finding.what {
            What::Symptom(symptom) => class_told(base, symptom),
            What::Number(_) | What::AllWell => None,
        });
    let first = told.next()?;
    told.all(|class| class == first).then_some(first)
}

/// The class of strike that a symptom of contact stands for, by the event it is mostly seen in.
fn class_told(base: &KnowledgeBase, symptom: SymptomId) -> Option<StrikeClass> {
    let seen = base.model.symptoms.get(symptom.index())?.seen.as_ref()?;
    let Seen::Events(events) = seen else {
        return None;
    };
    if base.symptom(symptom).kind != "contact" {
        return None;
    }
    let (event, _) = events.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    match event {
        Event::Whiff => Some(StrikeClass::Whiff),
        Event::Topped => Some(StrikeClass::Topped),
        Event::Thin | Event::Bladed => Some(StrikeClass::Thin),
        Event::SlightlyHeavy => Some(StrikeClass::SlightlyHeavy),
        Event::Fat => Some(StrikeClass::Fat),
        _ => None,
    }
}

/// Where on the face the ball is struck: as said or worked out, else among golfers like this one.
pub(super) fn face_mark(base: &KnowledgeBase, diagnosis: &Diagnosis) -> Option<Block> {
    let quantity = base.find_quantity("strike_across")?;
    let height = mark_height(base, diagnosis);
    if let Some(row) = diagnosis.row(quantity) {
        return Some(Block::FaceMark {
            across: (
                row.value.middle(),
                end(row.value, -1.0),
                end(row.value, 1.0),
            ),
            said: true,
            height,
        });
    }
    let range = diagnosis.judgement.range(Axis::StrikeAcross)?;
    Some(Block::FaceMark {
        across: (range.mean, range.low, range.high),
        said: false,
        height,
    })
}

/// Where the mark sits between top and bottom, if a number says.
fn mark_height(base: &KnowledgeBase, diagnosis: &Diagnosis) -> MarkHeight {
    let quantity = base.find_quantity("strike_up");
    quantity
        .and_then(|q| diagnosis.row(q))
        .map_or(MarkHeight::Unknown, |row| {
            MarkHeight::Measured(row.value.middle())
        })
}

/// The end of an 80 % range, which is what a turn shows.
fn end(value: Estimate, side: f64) -> Amount {
    const EIGHTY: f64 = 1.2816;
    let base = value.mean() + side * EIGHTY * value.sd();
    Amount::from_base(base, value.dimension()).unwrap_or(value.middle())
}

/// Radius and plane of the arc for a pattern: the club's, or the group's.
pub(super) fn arc_of(base: &KnowledgeBase, pattern: &Pattern) -> (Estimate, Estimate) {
    let group = base.group(pattern.group);
    let (radius, plane) = pattern.club.map_or((group.radius, group.plane), |club| {
        let club = base.club(club);
        (club.radius, club.plane)
    });
    (
        Estimate::exact(radius.into()),
        Estimate::exact(plane.into()),
    )
}

/// What a good strike wants: low point of the group, and the attack that goes with it.
pub(super) fn wanted(base: &KnowledgeBase, pattern: &Pattern) -> Vec<(QuantityId, Amount, Amount)> {
    let (from, to) = base.group(pattern.group).good_low_point;
    let (radius, plane) = arc_of(base, pattern);
    let mut out = Vec::new();
    if let Some(quantity) = base.find_quantity("low_point") {
        out.push((quantity, from.into(), to.into()));
    }
    let attack = |low_point: Length| {
        attack_from_low_point(Estimate::exact(low_point.into()), radius, plane).ok()
    };
    if let (Some(quantity), Some(a), Some(b)) =
        (base.find_quantity("attack_angle"), attack(from), attack(to))
    {
        out.push((quantity, b.middle(), a.middle()));
    }
    out
}

/// The measured ranges that show a cause is gone, for the club in focus: low point and attack from
/// the arc of that club, the rest as the knowledge has them.
pub(super) fn aim(
    base: &KnowledgeBase,
    pattern: &Pattern,
    cause: CauseId,
) -> Vec<(QuantityId, Amount, Amount)> {
    let wanted = wanted(base, pattern);
    base.cause(cause)
        .aim
        .iter()
        .map(|(quantity, from, to)| {
            wanted
                .iter()
                .find(|(q, _, _)| q == quantity)
                .copied()
                .unwrap_or_else(|| of_club(base, pattern, (*quantity, *from, *to)))
        })
        .collect()
}

/// A range written for a mid iron, for the club in focus: a wood is delivered with the handle leaning
/// less, by as much as its usual loft off differs.
fn of_club(
    base: &KnowledgeBase,
    pattern: &Pattern,
    (quantity, from, to): (QuantityId, Amount, Amount),
) -> (QuantityId, Amount, Amount) {
    let usual = crate::diagnosis::usual_pattern(base).group;
    let group = |id: crate::vocabulary::GroupId| base.model.groups.get(id.index());
    let less = match (group(pattern.group), group(usual)) {
        (Some(own), Some(mid)) if base.quantity(quantity).id == "handle_lean" => {
            own.loft_off_deg - mid.loft_off_deg
        }
        _ => 0.0,
    };
    if less <= 0.0 {
        return (quantity, from, to);
    }
    let shift = |amount: Amount| {
        let degrees = amount.value_in(Unit::Degree).ok()?;
        Amount::new((degrees - less).round(), Unit::Degree).ok()
    };
    match (shift(from), shift(to)) {
        (Some(low), Some(high)) => (quantity, low, high),
        _ => (quantity, from, to),
    }
}
