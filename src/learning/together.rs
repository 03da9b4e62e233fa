//! What do ten shots say, read together rather than one by one?
//!
//! Takes ten shots and counts what a coach would count: starts, curves, marks before and after the ball,
//! heavy and thin strikes, heel and toe. Draws no conclusion and knows no cause; which causes of golfers in
//! general bring a fault about is [`bringing`]'s business, by those whose moves are moves of it.

use std::sync::Arc;

use super::chain::{Link, LinkEnd, MORE, TIMES};
use super::draw::Pupil;
use super::watch::Ten;
use crate::causes::Shot;
use crate::causes::model::{Axis, Event};
use crate::diagnosis::Mind;
use crate::quantity::Amount;
use crate::vocabulary::{CauseId, EffectId};

/// Ten shots, counted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Together {
    /// Balls that flew.
    pub flew: usize,
    /// Of those, how many start to the push side and to the pull side.
    pub starts: (usize, usize),
    /// How many curve to the push side and to the pull side.
    pub curves: (usize, usize),
    /// Marks that begin before the ball.
    pub behind: usize,
    /// The least and the most that they begin before it.
    pub reach: Option<(Amount, Amount)>,
    /// Marks that begin at the ball.
    pub level: usize,
    /// Marks that begin on the target side.
    pub ahead: usize,
    /// Shots that left no mark.
    pub none: usize,
    /// Clean strikes.
    pub clean: usize,
    /// Clean strikes that left no mark.
    pub nipped: usize,
    /// Fat and slightly heavy ones.
    pub heavy: usize,
    /// Thin, topped and missed ones.
    pub thin: usize,
    /// Strikes toward the toe and toward the heel.
    pub across: (usize, usize),
}

/// Ten shots, counted.
pub fn together(ten: &Ten) -> Together {
    let count = |events: &[Event]| {
        let shows = |s: &&Shot| events.iter().any(|e| s.shows(*e));
        ten.shots.iter().filter(shows).count()
    };
    let flew = |s: &&Shot| !s.shows(Event::Whiff) && !s.shows(Event::Topped);
    let flying = |events: &[Event]| {
        let shows = |s: &&Shot| flew(s) && events.iter().any(|e| s.shows(*e));
        ten.shots.iter().filter(shows).count()
    };
    let behind = [Event::MarkFarBehind, Event::MarkBehind];
    let entries = ten
        .shots
        .iter()
        .filter(|s| behind.iter().any(|e| s.shows(*e)))
        .filter_map(|s| s.turf_entry);
    let reach = entries.fold(None, |reach: Option<(Amount, Amount)>, at| {
        let (least, most) = reach.unwrap_or((at, at));
        let nearer = if at.base() < least.base() { at } else { least };
        let farther = if at.base() > most.base() { at } else { most };
        Some((nearer, farther))
    });
    let bare = |s: &&Shot| s.shows(Event::Clean) && s.shows(Event::NoMark);
    Together {
        flew: ten.shots.iter().filter(flew).count(),
        starts: (flying(&[Event::StartsPush]), flying(&[Event::StartsPull])),
        curves: (
            flying(&[Event::CurvePushBig, Event::CurvePushMild]),
            flying(&[Event::CurvePullBig, Event::CurvePullMild]),
        ),
        behind: count(&behind),
        reach,
        level: count(&[Event::MarkLevel]),
        ahead: count(&[Event::MarkAhead, Event::MarkFarAhead]),
        none: count(&[Event::NoMark]),
        clean: count(&[Event::Clean]),
        nipped: ten.shots.iter().filter(bare).count(),
        heavy: count(&[Event::Fat, Event::SlightlyHeavy, Event::DropKick]),
        thin: count(&[Event::Thin, Event::Topped, Event::Whiff]),
        across: (count(&[Event::Toe]), count(&[Event::Heel])),
    }
}

/// Causes weighed for a fault, and told of.
const WEIGHED: usize = 18;
const TOLD: usize = 6;

/// What an axis that follows from others is made of.
const fn made_of(axis: Axis) -> &'static [Axis] {
    match axis {
        Axis::AttackAngle | Axis::SpinLoftDelivered => &[Axis::LowPoint, Axis::DynamicLoft],
        Axis::ClubPath => &[Axis::SwingDirection, Axis::LowPoint],
        Axis::FaceToPath => &[Axis::FaceAngle, Axis::SwingDirection],
        Axis::EdgeAtBall | Axis::TurfBefore => &[
            Axis::LowPoint,
            Axis::ArcHeight,
            Axis::HubHeight,
            Axis::RadiusLost,
        ],
        Axis::OnTheNeck => &[Axis::StrikeAcross],
        Axis::DeliveredLoft => &[Axis::DynamicLoft],
        Axis::StrikeUpDelivered => &[Axis::StrikeUp, Axis::ArcHeight],
        _ => &[],
    }
}

/// The causes that bring a fault about in golfers in general, with clubs like this golfer's: the commonest
/// and surest first. Says nothing of this golfer.
pub fn bringing(mind: &mut Mind, pupil: &Pupil, fault: EffectId) -> Vec<Link> {
    let base = Arc::clone(mind.base());
    let group = pupil.first.group;
    let effect = base.model.effects.get(fault.index());
    let tests = effect.and_then(|e| e.any_of.get(group.index()));
    let axes: Vec<Axis> = tests
        .into_iter()
        .flatten()
        .flat_map(|t| made_of(t.axis).iter().copied().chain([t.axis]))
        .collect();
    let mut moving: Vec<(f64, CauseId)> = base
        .model
        .causes
        .iter()
        .enumerate()
        .filter(|(_, c)| !c.condition)
        .filter(|(_, c)| {
            let shifts = c.shifts.get(group.index());
            shifts.is_some_and(|list| list.iter().any(|s| axes.contains(&s.axis)))
        })
        .map(|(at, c)| (c.prior * c.prior_factor, CauseId::from_index(at)))
        .collect();
    moving.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    moving.truncate(WEIGHED);
    let mut found: Vec<(f64, Link)> = Vec::new();
    for (prior, cause) in moving {
        let implied = mind.simulation().implied(cause, group);
        let Some(share) = implied.effects.get(fault.index()) else {
            continue;
        };
        if share.with < TIMES * share.without || share.with < share.without + MORE {
            continue;
        }
        let link = Link {
            from: LinkEnd::Cause(cause),
            to: LinkEnd::Fault(fault),
            shares: (share.with, share.without),
            holds: true,
            open: false,
            here: false,
        };
        found.push((prior * (share.with - share.without), link));
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.truncate(TOLD);
    found.into_iter().map(|f| f.1).collect()
}
