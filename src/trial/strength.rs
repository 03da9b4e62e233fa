//! Do the shifts imply what teachers expect? Strengths set down by a teacher beside those that
//! follow from inches and degrees.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::causes::Implied;
use crate::diagnosis::Mind;
use crate::vocabulary::{CauseId, EffectId, GroupId};

/// A strength that teachers expect, beside the one that the shifts imply.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// The cause.
    pub cause: CauseId,
    /// The effect.
    pub effect: EffectId,
    /// The club group in which they are compared.
    pub group: GroupId,
    /// Share of golfers with the cause in whom teachers expect the effect.
    pub expected: f64,
    /// The share that the shifts imply.
    pub implied: f64,
    /// Why the two may differ, if the knowledge says so.
    pub argued: Option<String>,
}

impl Compared {
    /// The difference is too large to pass unseen.
    pub fn is_far(&self) -> bool {
        (self.expected - self.implied).abs() > 0.2
    }
}

/// A cause does something to an effect if it changes its share by this much.
const DOES_SOMETHING: f64 = 0.02;

/// Every strength that teachers expect of a cause, beside the implied one: in the usual club group,
/// or, where the cause moves nothing there itself or does nothing to the effect, in the group where
/// it does most.
pub fn compared(mind: &mut Mind, cause: CauseId) -> Vec<Compared> {
    let base = Arc::clone(mind.base());
    let usual = base
        .find_group(&base.usual_group)
        .unwrap_or(GroupId::from_index(0));
    let shifts = base.model.causes.get(cause.index()).map(|c| &c.shifts);
    let at_home = shifts.is_some_and(|s| s.get(usual.index()).is_some_and(|s| !s.is_empty()));
    let mut implied: BTreeMap<GroupId, Implied> = BTreeMap::new();
    let mut out = Vec::new();
    for strength in base.strengths.iter().filter(|s| s.cause == cause) {
        let mut share = |group: GroupId| {
            let shares = implied
                .entry(group)
                .or_insert_with(|| mind.simulation().implied(cause, group));
            let effect = shares.effects.get(strength.effect.index());
            effect.map_or((0.0, 0.0), |e| (e.with, (e.with - e.without).abs()))
        };
        let (mut group, (mut with, mut change)) = (usual, share(usual));
        if !at_home || change < DOES_SOMETHING {
            for other in (0..base.groups.len()).map(GroupId::from_index) {
                let (with_here, change_here) = share(other);
                if change_here > change {
                    (group, with, change) = (other, with_here, change_here);
                }
            }
        }
        out.push(Compared {
            cause,
            effect: strength.effect,
            group,
            expected: strength.share,
            implied: with,
            argued: strength.argued.clone(),
        });
    }
    out
}
