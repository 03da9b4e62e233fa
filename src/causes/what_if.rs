//! What these golfers would see if something were different.
//!
//! Takes the golfers that fit and a list of changes (a cause gone or come, an axis moved, another club) and reads rates
//! and axes again, with and without. Of a cause that goes only the golfers who have it are asked: in the
//! others nothing changes. Leaves the judgement as it is. An axis that other axes follow
//! from is moved where it begins: moving the low point moves attack, path and height window with
//! it, because the whole golfer is worked out again.

use std::borrow::Cow;

use super::judgement::{Judgement, on_axis, unit_of};
use super::model::{Axis, Change, Event};
use super::population::{Member, Sources};
use super::posterior::Simulation;
use super::quantities::{AXES, Axes};
use super::scores::{mix, unit};
use super::shots::{self, EVENTS};
use crate::quantity::Amount;
use crate::vocabulary::{CauseId, GroupId};

/// Rates and axes as they are and as they would be: means over golfers like this one who have what goes.
#[derive(Debug, Clone, PartialEq)]
pub struct WhatIf {
    /// Share of the golfers like this one who have what goes; 1 where nothing goes, or nobody has it.
    pub share: f64,
    /// Rates now.
    pub before: Vec<(Event, f64)>,
    /// Rates then.
    pub after: Vec<(Event, f64)>,
    /// Axes now.
    pub axes_before: Vec<(Axis, Amount)>,
    /// Axes then.
    pub axes_after: Vec<(Axis, Amount)>,
}

/// Changes by what they act on.
#[derive(Debug, Clone)]
pub(super) struct Sorted {
    /// Causes that go.
    pub(super) gone: Vec<CauseId>,
    /// Causes that come.
    pub(super) come: Vec<CauseId>,
    /// How far each axis is moved, in its unit.
    pub(super) moved: Axes,
    /// The club group in place of the one asked for.
    pub(super) club: Option<GroupId>,
}

impl Sorted {
    /// Sorts changes; of two clubs the last counts, and a move in a unit of another dimension is left out.
    pub(super) fn of(changes: &[Change]) -> Self {
        let mut out = Self {
            gone: Vec::new(),
            come: Vec::new(),
            moved: [0.0; AXES],
            club: None,
        };
        for change in changes {
            match change {
                Change::Without(cause) => out.gone.push(*cause),
                Change::With(cause) => out.come.push(*cause),
                Change::Club(group) => out.club = Some(*group),
                Change::Move(axis, amount) => {
                    if let (Ok(value), Some(slot)) = (
                        amount.value_in(unit_of(*axis)),
                        out.moved.get_mut(*axis as usize),
                    ) {
                        *slot += value as f32;
                    }
                }
            }
        }
        out
    }

    /// The causes of a golfer after the changes, in order. `seed` is the golfer's own: it settles whether
    /// what comes leads to more.
    pub(super) fn causes<'m>(
        &self,
        member: &'m Member,
        sources: &Sources,
        seed: u64,
    ) -> Cow<'m, [CauseId]> {
        if self.gone.is_empty() && self.come.is_empty() {
            return Cow::Borrowed(&member.causes);
        }
        let mut causes = if self.gone.is_empty() {
            member.causes.clone()
        } else {
            member.without(sources, &self.gone)
        };
        let new: Vec<CauseId> = self
            .come
            .iter()
            .copied()
            .filter(|c| !causes.contains(c))
            .collect();
        for (link, child, chance) in sources.links_from(&new) {
            if unit(mix(seed, link as u64)) < chance {
                causes.push(child);
            }
        }
        causes.extend(new);
        causes.sort_unstable();
        causes.dedup();
        Cow::Owned(causes)
    }
}

struct Averages {
    rates: [f64; EVENTS],
    axes: [f64; AXES],
}

impl Simulation {
    /// What golfers like these would see with a club group after the changes, beside what they see
    /// now. Moves in a unit of another dimension are left out.
    pub fn what_if(&self, judgement: &Judgement, changes: &[Change], group: GroupId) -> WhatIf {
        let changed = Sorted::of(changes);
        let gone = &changed.gone;
        let has = |member: &&Member| gone.iter().any(|cause| member.causes.contains(cause));
        let with: Vec<&Member> = judgement.members.iter().filter(has).collect();
        let all: Vec<&Member> = judgement.members.iter().collect();
        let members = if with.is_empty() { &all } else { &with };
        let share = members.len() as f64 / all.len().max(1) as f64;
        let before = self.means(members, group, &Sorted::of(&[]));
        let after = self.means(members, changed.club.unwrap_or(group), &changed);
        let rates = |m: &Averages| Event::ALL.iter().map(|(e, _)| *e).zip(m.rates).collect();
        let axes = |m: &Averages| {
            Axis::ALL
                .iter()
                .zip(m.axes)
                .map(|(&(a, ..), x)| (a, on_axis(a, x)))
                .collect()
        };
        WhatIf {
            share,
            before: rates(&before),
            after: rates(&after),
            axes_before: axes(&before),
            axes_after: axes(&after),
        }
    }

    fn means(&self, members: &[&Member], group: GroupId, changed: &Sorted) -> Averages {
        let mut means = Averages {
            rates: [0.0; EVENTS],
            axes: [0.0; AXES],
        };
        let Some(tables) = self.ground.table(group) else {
            return means;
        };
        let share = 1.0 / members.len().max(1) as f64;
        for (member, seed) in members.iter().zip(0u64..) {
            let causes = changed.causes(member, &self.sources, seed);
            let axes = tables.moved(
                &member.golfer_with(&causes),
                &self.ground.normal,
                &changed.moved,
            );
            let rates = shots::rates(tables, &axes, &self.ground.normal);
            for (sum, &x) in means.rates.iter_mut().zip(&rates) {
                *sum += share * f64::from(x);
            }
            for (sum, &x) in means.axes.iter_mut().zip(&axes) {
                *sum += share * f64::from(x);
            }
        }
        means
    }
}
