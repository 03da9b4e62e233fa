//! "What if ...": one thing changed, everything else as it is.
//!
//! Takes the words of the change and the golfers that fit; gives shots in a hundred and the numbers of
//! the arc, now and then. Numbers start from the golfer's own where they were told. What was told stays
//! as it is. Knows no cause and no change by name.

use std::sync::Arc;

use super::arc;
use super::names::{ChangeNamed, Extent, NoChange};
use super::note::Note;
use super::reply::{Block, Changed, Put, Reply};
use super::{Session, names};
use crate::causes::model::{Axis, Change, Event};
use crate::diagnosis::{Diagnosis, Origin};
use crate::geometry::named::low_point_from_attack;
use crate::knowledge::{KnowledgeBase, WhatIfChange};
use crate::quantity::{Amount, Dimension, Estimate};
use crate::reading::What;
use crate::vocabulary::{CauseId, GroupId};

/// Words after which a what-if names the cause that is gone; the longest first.
const GONE: [&str; 12] = [
    " there were no ",
    " does not ",
    " did not ",
    " doesn't ",
    " doesnt ",
    " didn't ",
    " didnt ",
    " without ",
    " stopped ",
    " stop ",
    " never ",
    " no ",
];

/// Events shown by a what-if.
const WHAT_IF_EVENTS: [Event; 12] = [
    Event::Clean,
    Event::Thin,
    Event::Topped,
    Event::SlightlyHeavy,
    Event::Fat,
    Event::StartsPush,
    Event::StartsPull,
    Event::CurvePushBig,
    Event::CurvePullBig,
    Event::Heel,
    Event::Toe,
    Event::Shank,
];

/// Quantities in the order that "what if" shows them, where they move.
const WHAT_IF_AXES: [Axis; 5] = [
    Axis::LowPoint,
    Axis::AttackAngle,
    Axis::ClubPath,
    Axis::FaceAngle,
    Axis::StrikeAcross,
];

/// Words of being, between the name of a number and the number.
const BEING: [&str; 9] = [
    "was", "were", "is", "be", "became", "would", "if", "to", "at",
];

/// Words of another club or lie at most (elicited).
const PLACE_WORDS: usize = 7;

impl Session {
    pub(super) fn what_if(&mut self, words: &str) -> Reply {
        let words = &in_full(words);
        if self.last.is_none() {
            return self.what_if_of_anybody(words);
        }
        let base = Arc::clone(self.mind.base());
        let named = names::change_named(&base, words);
        let set = self.number_set(&base, words);
        let elsewhere = self.elsewhere(&base, words);
        let (changed, changes) = if let Some(told) = set.or(elsewhere) {
            told
        } else if let Ok(named) = named {
            match self.change_told(&base, named) {
                Some(told) => told,
                None => return Reply::note(Note::WhatIfNotUnderstood),
            }
        } else {
            let padded = format!(" {words}");
            let gone = GONE.iter().find_map(|marker| {
                padded
                    .find(marker)
                    .and_then(|at| padded.get(at + marker.len()..))
            });
            // "What if he hung back less": the cause gone is as far as less can be tried.
            let less = words.trim_end_matches('?').trim().strip_suffix(" less");
            match gone.or(less).map(|rest| self.named(rest)) {
                // "What if I stopped turning": what is done by stopping comes on.
                Some(Ok(cause)) if comes_on(&base, cause, &padded) => {
                    (Changed::With(cause), vec![Change::With(cause)])
                }
                Some(Ok(cause)) => (Changed::Without(cause), vec![Change::Without(cause)]),
                Some(Err(note)) => return Reply::note(note),
                None => {
                    // "What if I hit it off a tee": a question that the knowledge answers.
                    if let [topic] = self.read(&format!("what if {words}")).topics.as_slice() {
                        let (answer, put) = (topic.answer, Put::Open);
                        return self.asking_again(vec![Block::Answer { answer, put }]);
                    }
                    return Reply::note(match named {
                        Err(NoChange::OtherUnit(index)) => Note::WhatIfUnit(index),
                        _ => Note::WhatIfNotUnderstood,
                    });
                }
            }
        };
        let Some((diagnosis, _)) = &self.last else {
            return Reply::note(Note::NothingKnown);
        };
        let group = diagnosis.judgement.focus;
        let judgement = diagnosis.judgement.clone();
        let result = self.mind.simulation().what_if(&judgement, &changes, group);
        let rate = |list: &[(Event, f64)], event: Event| {
            list.iter()
                .find(|(e, _)| *e == event)
                .map_or(0.0, |(_, r)| *r)
        };
        // A strike off the neck is not clean, however it met the turf.
        let seen = |list: &[(Event, f64)], event: Event| match event {
            Event::Clean => rate(list, event) * (1.0 - rate(list, Event::Shank)),
            _ => rate(list, event),
        };
        let rates = WHAT_IF_EVENTS
            .iter()
            .map(|e| (*e, seen(&result.before, *e), seen(&result.after, *e)))
            .collect();
        let value = |list: &[(Axis, Amount)], axis: Axis| {
            list.iter().find(|(a, _)| *a == axis).map(|(_, v)| *v)
        };
        // The golfer's own number is where it starts; the simulated golfers say how far it moves.
        let axes = WHAT_IF_AXES
            .iter()
            .filter_map(|axis| {
                let before = value(&result.axes_before, *axis)?;
                let after = value(&result.axes_after, *axis)?;
                let own = own_number(&base, diagnosis, *axis).map_or(before, Estimate::middle);
                let by = after.base() - before.base();
                Some((
                    *axis,
                    own,
                    Amount::from_base(own.base() + by, own.dimension()).ok()?,
                ))
            })
            .collect();
        Reply {
            blocks: vec![
                Block::WhatIf {
                    change: changed,
                    share: result.share,
                    rates,
                    axes,
                },
                Block::Note(Note::StateKept),
            ],
            leave: false,
        }
    }

    /// "With a 4 iron", "on a downslope", "with the driver off the deck": the same swing with another club or
    /// from another lie. None where the words say anything else, or nothing that is not so already.
    fn elsewhere(&self, base: &KnowledgeBase, words: &str) -> Option<(Changed, Vec<Change>)> {
        const LEADS: [&str; 22] = [
            "it was with ",
            "it were with ",
            "it was ",
            "it were ",
            "it is ",
            "i hit it with ",
            "i hit it ",
            "he hits it with ",
            "he hits it ",
            "i took ",
            "i take ",
            "i used ",
            "i use ",
            "i hit ",
            "he took ",
            "he used ",
            "i was ",
            "he was ",
            "i played ",
            "it sat ",
            "the ball was ",
            "she used ",
        ];
        const PLACES: [&str; 6] = ["with ", "on ", "off ", "from ", "in ", "a "];
        let (diagnosis, _) = self.last.as_ref()?;
        let rest = LEADS.iter().find_map(|way| words.strip_prefix(way));
        let placed = PLACES.iter().any(|way| words.starts_with(way));
        let rest = rest.or(placed.then_some(words))?;
        if rest.split(' ').count() > PLACE_WORDS {
            return None;
        }
        let reading = self.read_apart(rest);
        let silent = reading.findings.is_empty()
            && reading.hints.is_empty()
            && reading.history.is_empty()
            && reading.unused.is_empty();
        let scope = silent.then_some(reading.scope)?;
        let focus = diagnosis.judgement.focus;
        let one = |group: &GroupId| scope.groups.len() == 1 && *group != focus;
        let group = scope.groups.first().copied().filter(one);
        let club = scope
            .clubs
            .first()
            .copied()
            .filter(|_| scope.clubs.len() == 1);
        let told = self.talk.statements.iter().filter(|s| !s.dropped);
        let told: Vec<_> = told.filter_map(|s| s.finding.pattern.lie).collect();
        let lie = scope.lie.filter(|lie| !told.contains(lie));
        let condition = lie.and_then(|lie| base.lie(lie).condition);
        let mut changes: Vec<Change> = group.map(Change::Club).into_iter().collect();
        changes.extend(condition.map(Change::With));
        let lie = lie.filter(|_| condition.is_some());
        (!changes.is_empty()).then_some((
            Changed::Elsewhere {
                club: club.filter(|_| group.is_some()),
                group,
                lie,
            },
            changes,
        ))
    }

    /// The change that a question about a remedy names: "should I close the face?".
    pub(super) fn change_asked(&self, whole: &str) -> Option<String> {
        const ASKS: [&str; 16] = [
            "should i ",
            "should he ",
            "should she ",
            "should we ",
            "would it help to ",
            "would it help if i ",
            "would it help if he ",
            "will it help to ",
            "will it help if i ",
            "does it help to ",
            "would ",
            "will ",
            "can i ",
            "could i ",
            "how about ",
            "what about ",
        ];
        self.last.as_ref()?;
        let rest = ASKS.iter().find_map(|way| whole.strip_prefix(way))?;
        names::change_named(self.base(), rest)
            .is_ok()
            .then(|| rest.to_owned())
    }

    /// Where an axis is now: the golfer's own number, or that of golfers like this one.
    fn now(&mut self, base: &KnowledgeBase, axis: Axis) -> Option<Amount> {
        let (diagnosis, _) = self.last.as_ref()?;
        if let Some(row) = own_number(base, diagnosis, axis) {
            return Some(row.middle());
        }
        let judgement = diagnosis.judgement.clone();
        let now = self
            .mind
            .simulation()
            .what_if(&judgement, &[], judgement.focus);
        let now = now.axes_before.iter().find(|(a, _)| *a == axis);
        now.map(|(_, amount)| *amount)
    }

    /// A number put in place of what it is now, as in "if the face were -3": read as any number is,
    /// and moved where it begins. An attack comes of the low point, a path of the swing's direction.
    fn number_set(&mut self, base: &KnowledgeBase, words: &str) -> Option<(Changed, Vec<Change>)> {
        let said: Vec<&str> = words
            .split_whitespace()
            .filter(|w| !BEING.contains(w))
            .collect();
        if !said
            .iter()
            .any(|w| w.contains(|c: char| c.is_ascii_digit()))
            || said.iter().any(|w| names::moving(w))
        {
            return None;
        }
        let reading = self.read(&said.join(" "));
        let mut put: Vec<(Axis, Amount)> = Vec::new();
        let mut changes: Vec<Change> = Vec::new();
        for finding in &reading.findings {
            let What::Number(number) = finding.what else {
                return None;
            };
            let (axis, _) = (*base.model.measured.get(number.quantity.index())?)?;
            let to = number.value.middle();
            let moved = self.moved_to(base, axis, to)?;
            // What one number moves is not moved by another: attack and low point are one fact.
            let twice = |c: &Change| matches!((c, &moved), (Change::Move(a, _), Change::Move(b, _)) if a == b);
            if changes.iter().any(twice) {
                return None;
            }
            put.push((axis, to));
            changes.push(moved);
        }
        (!put.is_empty()).then_some((Changed::Put(put), changes))
    }

    /// The move that puts an axis at a value.
    fn moved_to(&mut self, base: &KnowledgeBase, axis: Axis, to: Amount) -> Option<Change> {
        let now = self.now(base, axis)?;
        let by = Amount::from_base(to.base() - now.base(), to.dimension()).ok()?;
        match axis {
            Axis::ClubPath => Some(Change::Move(Axis::SwingDirection, by)),
            Axis::FaceToPath => Some(Change::Move(Axis::FaceAngle, by)),
            Axis::DeliveredLoft => Some(Change::Move(Axis::DynamicLoft, by)),
            Axis::AttackAngle => {
                let (diagnosis, _) = self.last.as_ref()?;
                let (radius, plane) = arc::arc_of(base, diagnosis.focus()?);
                let low_point = |attack: Amount| {
                    let attack = Estimate::exact(attack);
                    low_point_from_attack(attack, radius, plane).map(Estimate::mean)
                };
                let by = low_point(to).ok()? - low_point(now).ok()?;
                Amount::from_base(by, Dimension::Length)
                    .ok()
                    .map(|by| Change::Move(Axis::LowPoint, by))
            }
            axis if axis.moves_by_itself() => Some(Change::Move(axis, by)),
            _ => None,
        }
    }

    /// A change of the table as told, with what it moves.
    fn change_told(
        &mut self,
        base: &KnowledgeBase,
        named: ChangeNamed,
    ) -> Option<(Changed, Vec<Change>)> {
        let change = base.changes.iter().nth(named.index)?;
        let size = match named.extent {
            Extent::By(size) => size,
            Extent::To(value) => {
                let (axis, factor) = *change.moves.first()?;
                let now = self.now(base, axis)?;
                let to = Amount::new(value, change.unit).ok()?;
                let by = (value - now.value_in(change.unit).ok()?) / factor;
                let moves = changes(change, by);
                return Some((Changed::Put(vec![(axis, to)]), moves));
            }
        };
        let moved = Changed::Moved(named.index, size, named.counted);
        Some((moved, changes(change, size)))
    }
}

/// The golfer's own number to start from. Low point and attack angle are one fact, and start from the
/// golfer's only where one of the two was told, or the place where the turf mark starts: what is usual
/// of one does not go with the other.
fn own_number(base: &KnowledgeBase, diagnosis: &Diagnosis, axis: Axis) -> Option<Estimate> {
    let told = |name: &str| {
        let row = base.find_quantity(name).and_then(|q| diagnosis.row(q));
        row.is_some_and(|row| matches!(row.origin, Origin::Said(_)))
    };
    let bottom = matches!(axis, Axis::LowPoint | Axis::AttackAngle);
    let numbers = ["low_point", "attack_angle", "turf_entry"];
    if bottom && !numbers.into_iter().any(told) {
        return None;
    }
    arc::measured_row(base, diagnosis, axis)
}

/// True if the words bring on a cause whose own name is that something stops.
fn comes_on(base: &KnowledgeBase, cause: CauseId, words: &str) -> bool {
    const LACKS: [&str; 4] = ["stops", "little", "short", "no"];
    let stops = words.contains(" stopped ") || words.contains(" stop ");
    let name = names::words(&base.cause(cause).name);
    stops && name.iter().any(|w| LACKS.contains(&w.as_str()))
}

/// What a change of this size moves.
fn changes(change: &WhatIfChange, size: f64) -> Vec<Change> {
    let moved = change.moves.iter().filter_map(|(axis, factor)| {
        let amount = Amount::new(size * factor, change.unit).ok()?;
        Some(Change::Move(*axis, amount))
    });
    moved.collect()
}

/// Short words whole, and a face or path made square as the number it is.
fn in_full(words: &str) -> String {
    const SHORT: [(&str, &str); 8] = [
        ("fwd", "forward"),
        ("forwards", "forward"),
        ("lp", "low point"),
        ("aoa", "attack angle"),
        ("pt", "point"),
        ("square", "0 deg"),
        ("neutral", "0 deg"),
        ("zero", "0"),
    ];
    let text = words.trim_end_matches(['?', '.', ' ']);
    let text = [
        "i fix the ",
        "he fixes the ",
        "we fix the ",
        "i fix my ",
        "i get the ",
        "we get the ",
        "i made the ",
        "i make the ",
    ]
    .iter()
    .find_map(|w| text.strip_prefix(w))
    .unwrap_or(text);
    let whole = text.split(' ').map(|word| {
        let short = SHORT.iter().find(|(short, _)| *short == word);
        short.map_or(word, |(_, whole)| whole)
    });
    whole.collect::<Vec<_>>().join(" ")
}
