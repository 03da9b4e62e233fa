//! Which causal links does a typed reason name, and does the model bear them out?
//!
//! Takes causes, faults and symptoms in the order they were named (finding them in words is the
//! talk's business) and gives each link between neighbours with a verdict, and the link that is
//! missing between the pupil's costliest cause and what the golfer complains of. A link holds if
//! golfers with the first show the second clearly more often: read off simulated golfers, never from
//! a table. Understands nothing beyond that, and says so by giving nothing else.

use std::sync::Arc;

use super::draw::Pupil;
use crate::causes::model::{Event, Seen};
use crate::diagnosis::Mind;
use crate::knowledge::KnowledgeBase;
use crate::vocabulary::{CauseId, EffectId, GroupId, SymptomId};

/// One end of a link.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LinkEnd {
    /// A cause.
    Cause(CauseId),
    /// A fault of the arc or the impact.
    Fault(EffectId),
    /// Something seen.
    Seen(SymptomId),
}

/// What is to be said of a link.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Link {
    /// What brings about ...
    pub from: LinkEnd,
    /// ... what.
    pub to: LinkEnd,
    /// Share of golfers who show the second with the first, and without it.
    pub shares: (f64, f64),
    /// The second is clearly likelier with the first.
    pub holds: bool,
    /// Golfers with the first show the second, but the others, who have reasons of their own for it,
    /// show it nearly as often: the golfers neither bear it out nor speak against it.
    pub open: bool,
    /// Both ends are so of this golfer.
    pub here: bool,
}

/// What was recognised.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reasoned {
    /// The links, in the order named.
    pub links: Vec<Link>,
    /// The links from the costliest cause to its fault and on to the complaint that were not named.
    pub missing: Vec<Link>,
}

/// A share with against one without that makes a link: so many times, and so much more.
pub(super) const TIMES: f64 = 1.25;
pub(super) const MORE: f64 = 0.05;
/// Golfers with a fault of whom fewer show something hardly show it; more than so much seldomer than the
/// others is no way to it.
const SOME: f64 = 0.1;
/// A golfer this likely to mention something shows it.
const SHOWS: f64 = 0.4;
/// And so does one on this share of whose shots it happens.
const HAPPENS: f64 = 0.15;

/// The links among things named.
pub fn recognise(mind: &mut Mind, pupil: &Pupil, named: &[LinkEnd]) -> Reasoned {
    let group = pupil.first.group;
    let mut out = Reasoned::default();
    let mut order: Vec<LinkEnd> = named.to_vec();
    // "The ball is fat because the weight stays back" runs from effect to cause; a link does not.
    if order.first().map(|e| rank(*e)) > order.last().map(|e| rank(*e)) {
        order.reverse();
    }
    order.dedup();
    for (at, &to) in order.iter().enumerate().skip(1) {
        let earlier = order.get(..at).unwrap_or(&[]);
        // What was named just before, or the last thing before it that can bring it about.
        let Some(from) = earlier.iter().rev().copied().find(|e| rank(*e) <= rank(to)) else {
            continue;
        };
        let mut found = link(mind, pupil, group, from, to);
        // "It opens the face and adds loft": both are of the cause, if that brings the second about
        // more than the first does.
        let more = |l: &Link| l.shares.0 - l.shares.1;
        if rank(from) == rank(to) || found.is_none_or(|l| !l.holds) {
            let roots = earlier.iter().rev().copied();
            let roots = roots.filter(|e| rank(*e) < rank(to) && *e != from);
            let of_root = roots
                .filter_map(|root| link(mind, pupil, group, root, to))
                .find(|l| l.holds);
            if let Some(of_root) = of_root
                && found.is_none_or(|l| !l.holds || more(&of_root) > more(&l))
            {
                found = Some(of_root);
            }
        }
        if let Some(link) = found
            && !out.links.contains(&link)
        {
            out.links.push(link);
        }
    }
    let Some(main) = pupil.worths.first() else {
        return out;
    };
    let complaint = pupil.account.mentions.first().map(|m| m.symptom);
    let chain = [
        Some((LinkEnd::Cause(main.cause), LinkEnd::Fault(pupil.fault))),
        complaint.map(|s| (LinkEnd::Fault(pupil.fault), LinkEnd::Seen(s))),
    ];
    for (from, to) in chain.into_iter().flatten() {
        let said = out.links.iter().any(|l| l.from == from && l.to == to);
        if !said
            && let Some(link) = link(mind, pupil, group, from, to)
            && link.holds
        {
            out.missing.push(link);
        }
    }
    out
}

const fn rank(end: LinkEnd) -> u8 {
    match end {
        LinkEnd::Cause(_) => 0,
        LinkEnd::Fault(_) => 1,
        LinkEnd::Seen(_) => 2,
    }
}

fn link(
    mind: &mut Mind,
    pupil: &Pupil,
    group: GroupId,
    from: LinkEnd,
    to: LinkEnd,
) -> Option<Link> {
    let base = Arc::clone(mind.base());
    let simulation = mind.simulation();
    let shares = match (from, to) {
        (LinkEnd::Cause(cause), LinkEnd::Fault(fault)) => {
            let implied = simulation.implied(cause, group);
            let found = implied.effects.iter().find(|e| e.effect == fault)?;
            (found.with, found.without)
        }
        (LinkEnd::Cause(cause), LinkEnd::Seen(symptom)) => {
            let implied = simulation.implied(cause, group);
            let found = implied.symptoms.iter().find(|s| s.symptom == symptom)?;
            (found.with, found.without)
        }
        (LinkEnd::Cause(one), LinkEnd::Cause(other)) => simulation.follows(other, one),
        (LinkEnd::Fault(fault), LinkEnd::Seen(symptom)) => {
            simulation.seen_with(&pupil.lineup, group, fault, symptom)?
        }
        (LinkEnd::Fault(one), LinkEnd::Fault(other)) => {
            simulation.fault_with(&pupil.lineup, group, one, other)?
        }
        _ => return None,
    };
    let so = |end: LinkEnd| match end {
        LinkEnd::Cause(cause) => pupil.has(cause),
        LinkEnd::Fault(fault) => pupil.first.case.effects.contains(&fault),
        LinkEnd::Seen(symptom) => {
            let told = pupil.account.mentions.iter().any(|m| {
                m.symptom == symptom || (m.stand == 0 && holds_both(&base, m.symptom, symptom))
            });
            let mut likely = pupil.first.case.symptoms.iter();
            let rate = super::voice::rate(&base, pupil, 0, symptom);
            told || likely.any(|(s, p)| *s == symptom && *p >= SHOWS)
                || rate.is_some_and(|r| r >= HAPPENS)
        }
    };
    let holds = shares.0 >= TIMES * shares.1 && shares.0 >= shares.1 + MORE;
    // A cause is set beside golfers with nothing at work, a fault beside golfers with other faults.
    let beside_others = matches!(from, LinkEnd::Fault(_));
    Some(Link {
        from,
        to,
        shares,
        holds,
        open: !holds && beside_others && shares.0 >= (shares.1 / TIMES).max(SOME),
        here: so(from) && so(to),
    })
}

/// Whether who tells of the one tells of the other: fat and thin by turns is thin as well.
fn holds_both(base: &KnowledgeBase, told: SymptomId, other: SymptomId) -> bool {
    let seen = |symptom: SymptomId| base.model.symptoms.get(symptom.index())?.seen.as_ref();
    let (Some(Seen::Both(one, two)), Some(Seen::Events(of_other))) = (seen(told), seen(other))
    else {
        return false;
    };
    let held = |side: &[(Event, f64)]| {
        let mut terms = of_other.iter();
        terms.all(|(event, _)| side.iter().any(|(e, _)| e == event))
    };
    !of_other.is_empty() && (held(one) || held(two))
}
