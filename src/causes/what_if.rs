//! What these golfers would see if something were different.
//!
//! Takes the golfers that fit and a list of changes (a cause gone, an axis moved) and reads rates
//! and axes again, with and without. Of a cause that goes only the golfers who have it are asked: in the
//! others nothing changes. Leaves the judgement as it is. An axis that other axes follow
//! from is moved where it begins: moving the low point moves attack, path and height window with
//! it, because the whole golfer is worked out again.

use super::judgement::{Judgement, on_axis, unit_of};
use super::model::{Axis, Change, Event};
use super::population::Member;
use super::posterior::Simulation;
use super::quantities::{AXES, Axes};
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

struct Averages {
    rates: [f64; EVENTS],
    axes: [f64; AXES],
}

impl Simulation {
    /// What golfers like these would see with a club group after the changes, beside what they see
    /// now. Moves in a unit of another dimension are left out.
    pub fn what_if(&self, judgement: &Judgement, changes: &[Change], group: GroupId) -> WhatIf {
        let mut gone: Vec<CauseId> = Vec::new();
        let mut moved: Axes = [0.0; AXES];
        for change in changes {
            match change {
                Change::Without(cause) => gone.push(*cause),
                Change::Move(axis, amount) => {
                    if let (Ok(value), Some(slot)) = (
                        amount.value_in(unit_of(*axis)),
                        moved.get_mut(*axis as usize),
                    ) {
                        *slot += value as f32;
                    }
                }
            }
        }
        let has = |member: &&Member| gone.iter().any(|cause| member.causes.contains(cause));
        let with: Vec<&Member> = judgement.members.iter().filter(has).collect();
        let all: Vec<&Member> = judgement.members.iter().collect();
        let members = if with.is_empty() { &all } else { &with };
        let share = members.len() as f64 / all.len().max(1) as f64;
        let before = self.means(members, group, &[], &[0.0; AXES]);
        let after = self.means(members, group, &gone, &moved);
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

    fn means(
        &self,
        members: &[&Member],
        group: GroupId,
        gone: &[CauseId],
        moved: &Axes,
    ) -> Averages {
        let mut means = Averages {
            rates: [0.0; EVENTS],
            axes: [0.0; AXES],
        };
        let Some(tables) = self.ground.table(group) else {
            return means;
        };
        let share = 1.0 / members.len().max(1) as f64;
        for member in members {
            let left;
            let causes = if gone.is_empty() {
                member.causes.as_slice()
            } else {
                left = member.without(&self.sources, gone);
                left.as_slice()
            };
            let axes = tables.moved(&member.golfer_with(causes), &self.ground.normal, moved);
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
