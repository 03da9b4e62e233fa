//! What did the club do at the ball, in numbers?
//!
//! Takes a diagnosis and the talk; gives what was said, worked out and usual of the arc, the strike
//! that was told, the mark on the face, and the ranges to aim for. Decides nothing about causes and
//! makes no sentence.

use super::reply::{ArcNumbers, Block, ChainStep, MarkHeight};
use super::talk::Talk;
use crate::causes::model::{Axis, Between, Event, Evidence, Seen};
use crate::diagnosis::{Diagnosis, Origin, Pattern};
use crate::geometry::named::attack_from_low_point;
use crate::geometry::normal;
use crate::geometry::strike::StrikeClass;
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Amount, Estimate, Length, Unit};
use crate::reading::{Polarity, What};
use crate::vocabulary::{CauseId, EffectId, GroupId, QuantityId, SymptomId};
/// Quantities of the arc and the impact in the order of reasoning.
pub(super) const CHAIN: [&str; 17] = [
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
    "spin_loft",
    "smash",
    "start_direction",
    "strike_across",
    "gear_tilt",
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
        // Loft and attack say it already; worth a step where it comes from the ball.
        let of_ball = ["spin_loft", "smash"].contains(&name);
        if of_ball && measured_row(base, diagnosis, Axis::DeliveredLoft).is_some() {
            continue;
        }
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
    let scarce = scarce(&diagnosis.judgement);
    let mut modelled = Vec::new();
    // Of a handful of golfers no range is told.
    let usual: &[(Axis, &str)] = if scarce {
        &[]
    } else {
        &[
            (Axis::LowPoint, "low_point"),
            (Axis::AttackAngle, "attack_angle"),
        ]
    };
    for &(axis, name) in usual {
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
        .map(|&(effect, p)| {
            let measured = by_number(base, diagnosis, effect).filter(|m| *m >= OUTSIDE);
            (effect, measured.map_or(p, |m| p.max(m)))
        })
        .filter(|(_, p)| *p >= 0.5)
        .filter(|(effect, _)| !scarce || follows(base, diagnosis, *effect))
        .filter(|(effect, _)| !denied_by(base, &chain, diagnosis, *effect))
        .collect();
    // What the arc did before what followed from it.
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
    let surest = |family: &str| {
        let of = effects
            .iter()
            .filter(|(e, _)| base.effect(*e).family == family);
        of.map(|(_, p)| *p).fold(0.0, f64::max)
    };
    // One fact of low point and attack, unless both were measured and the attack says more.
    let (low_point, attack) = (surest(FAMILIES[0]), surest("attack"));
    let told = |name: &str| {
        let row = base.find_quantity(name).and_then(|q| diagnosis.row(q));
        row.is_some_and(|row| matches!(row.origin, Origin::Said(_)))
    };
    let both = told("low_point") && told("attack_angle") && attack > low_point;
    effects.retain(|(e, _)| both || low_point <= 0.0 || base.effect(*e).family != "attack");
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

/// Too few simulated golfers fit what was told for their numbers to be told.
pub(super) fn scarce(judgement: &crate::causes::Judgement) -> bool {
    const ENOUGH: f64 = 200.0;
    judgement.effective_golfers < ENOUGH
}

/// True if an effect follows from what was told: by a rule, or by a number of its own.
fn follows(base: &KnowledgeBase, diagnosis: &Diagnosis, effect: EffectId) -> bool {
    let id = base.effect(effect).id.as_str();
    let by_rule = diagnosis
        .flags
        .iter()
        .any(|f| f.holds && f.pattern == diagnosis.focus && f.slot == id);
    by_rule || by_number(base, diagnosis, effect).is_some_and(|p| p >= 0.5)
}

/// True if all that is complained of is where across the face the ball is struck.
pub(super) fn across_alone(base: &KnowledgeBase, talk: &Talk) -> bool {
    let mut told = talk
        .statements
        .iter()
        .filter(|s| !s.dropped && s.finding.polarity == Polarity::Present)
        .map(|s| match s.finding.what {
            What::Symptom(symptom) => struck_across(base, symptom),
            What::Number(number) => base.quantity(number.quantity).id == "strike_across",
            What::AllWell => true,
        })
        .peekable();
    told.peek().is_some() && told.all(|across| across)
}

/// True for a symptom that is seen where the ball meets heel, toe or neck.
fn struck_across(base: &KnowledgeBase, symptom: SymptomId) -> bool {
    let symptom = base.model.symptoms.get(symptom.index());
    matches!(symptom.and_then(|s| s.seen.as_ref()), Some(Seen::Events(events))
        if events.iter().all(|(e, _)| matches!(e, Event::Heel | Event::Toe | Event::Shank)))
}

/// A number is outside its band by more than its error: 0.84 of it leaves so much chance beyond.
const OUTSIDE: f64 = 0.8;

/// The chance that an effect holds by the golfer's own number, or by one worked out from such a number
/// and from nothing else that was said; none where no number speaks of it.
fn by_number(base: &KnowledgeBase, diagnosis: &Diagnosis, effect: EffectId) -> Option<f64> {
    let group = diagnosis.focus()?.group;
    let tests = base
        .model
        .effects
        .get(effect.index())?
        .any_of
        .get(group.index())?;
    tests
        .iter()
        .filter_map(|test| {
            let (row, usual) = if test.relative {
                let usual = diagnosis.judgement.range(test.axis)?.usual;
                (weighed(base, diagnosis, test.axis, group)?, usual.base())
            } else {
                (measured_row(base, diagnosis, test.axis)?, 0.0)
            };
            let unit = unit_of(test.axis);
            let at =
                |limit: f64| normal::below((usual + limit * unit.scale() - row.mean()) / row.sd());
            (row.sd() > 0.0 && row.dimension() == unit.dimension())
                .then(|| at(test.to) - at(test.from))
        })
        .max_by(f64::total_cmp)
}

/// True if a number that is shown leaves no room for an effect: nobody is told of an attack 5 deg down and
/// of one too level in the same breath.
fn denied_by(
    base: &KnowledgeBase,
    chain: &[ChainStep],
    diagnosis: &Diagnosis,
    effect: EffectId,
) -> bool {
    let tests = || {
        let group = diagnosis.focus()?.group;
        base.model
            .effects
            .get(effect.index())?
            .any_of
            .get(group.index())
    };
    let outside = |test: &Between| {
        let mut measured = base.model.measured.iter();
        let place = measured.position(|m| m.is_some_and(|(axis, _)| axis == test.axis));
        let step = chain.iter().find(|s| Some(s.quantity.index()) == place);
        let unit = unit_of(test.axis);
        !test.relative
            && step.is_some_and(|s| {
                let in_unit = |a: Amount| a.value_in(unit).ok();
                matches!((in_unit(s.low), in_unit(s.high)), (Some(low), Some(high)) if high < test.from || low > test.to)
            })
    };
    tests().is_some_and(|tests| !tests.is_empty() && tests.iter().all(outside))
}

/// The number on an axis as it was weighed against the golfers of a group.
fn weighed(
    base: &KnowledgeBase,
    diagnosis: &Diagnosis,
    axis: Axis,
    of: GroupId,
) -> Option<Estimate> {
    diagnosis.evidence.iter().find_map(|(_, e)| match e {
        Evidence::Measured {
            quantity,
            group,
            value,
        } if *group == of => {
            let measured = base.model.measured.get(quantity.index())?.as_ref()?;
            (measured.0 == axis).then_some(*value)
        }
        _ => None,
    })
}

/// The number on an axis that was said, or that follows from numbers that were said.
pub(super) fn measured_row(
    base: &KnowledgeBase,
    diagnosis: &Diagnosis,
    axis: Axis,
) -> Option<Estimate> {
    let place = base
        .model
        .measured
        .iter()
        .position(|m| m.is_some_and(|(a, _)| a == axis))?;
    let row = diagnosis.row(QuantityId::from_index(place))?;
    let measured = match &row.origin {
        Origin::Said(_) => true,
        Origin::Derived(why) => {
            let told = why.findings();
            let number = |f: &usize| diagnosis.numbers.contains(f);
            !told.is_empty() && told.iter().all(number)
        }
    };
    measured.then_some(row.value)
}

/// An effect that golfers with these numbers show with this chance speaks against good numbers (elicited).
const DOUBTFUL: f64 = 0.4;

/// True where numbers alone were told and all of them are as they should be: inside what a good strike
/// with the club wants, and nowhere where an effect begins.
pub(super) fn all_good(base: &KnowledgeBase, diagnosis: &Diagnosis) -> bool {
    let Some(pattern) = diagnosis.focus() else {
        return false;
    };
    let group = pattern.group;
    let wanted = wanted(base, pattern);
    let good = diagnosis
        .rows
        .iter()
        .filter(|row| row.pattern == diagnosis.focus)
        .all(|row| {
            let name = base.quantity(row.quantity).id.as_str();
            if let Some((_, from, to)) = wanted.iter().find(|(q, ..)| *q == row.quantity) {
                return (from.base()..=to.base()).contains(&row.value.mean());
            }
            let Some((axis, ..)) = Axis::ALL.iter().find(|(_, n, ..)| *n == name) else {
                return true;
            };
            let unit = unit_of(*axis);
            let tests = base
                .model
                .effects
                .iter()
                .filter_map(|e| e.any_of.get(group.index()));
            tests
                .flatten()
                .filter(|t| t.axis == *axis && !t.relative)
                .filter(|_| unit.dimension() == row.value.dimension())
                .all(|t| {
                    let held = t.from * unit.scale()..=t.to * unit.scale();
                    !held.contains(&row.value.mean())
                })
        });
    let effect = |index: usize| by_number(base, diagnosis, EffectId::from_index(index));
    let none = (0..base.model.effects.len()).all(|e| effect(e).is_none_or(|p| p < DOUBTFUL));
    let judged = diagnosis
        .evidence
        .iter()
        .any(|(_, e)| matches!(e, Evidence::Measured { .. }));
    good && none && judged
}

/// The unit that an axis is written in.
fn unit_of(axis: Axis) -> Unit {
    Axis::ALL
        .iter()
        .find(|(a, ..)| *a == axis)
        .and_then(|(_, _, symbol, _)| Unit::from_symbol(symbol))
        .unwrap_or(Unit::One)
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
    let group = |id: GroupId| base.model.groups.get(id.index());
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
