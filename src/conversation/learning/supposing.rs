//! What would this golfer's shots be if something were otherwise?
//!
//! Takes words after the answer: numbers put in place of the golfer's average, a change of the table, or
//! a cause gone; gives the shots of this very golfer before and after. Only the moved numbers change: what
//! a golfer would do about a change is not known here.

use std::sync::Arc;

use super::Trainee;
use super::afterwards::SUPPOSES;
use super::finding;
use super::said::{Block, Note, Supposed, Taught};
use crate::causes::model::{Axis, Change, Event};
use crate::conversation::names::{self, Extent};
use crate::geometry::arc::low_point_from_attack;
use crate::learning::Pupil;
use crate::quantity::{Amount, Dimension};
use crate::reading::{Context, What, read};

/// Words of being, between the name of a number and the number.
const BEING: [&str; 12] = [
    "was", "were", "is", "be", "became", "would", "if", "to", "at", "both", "and", "the",
];
/// Words around a cause that is gone.
const GONE: [&str; 7] = [
    "without ",
    "stopped ",
    "was not ",
    "were not ",
    "had no ",
    "did not have ",
    "got rid of ",
];
/// What is told of the shots.
const TOLD: [Event; 8] = [
    Event::Fat,
    Event::SlightlyHeavy,
    Event::Thin,
    Event::Topped,
    Event::StartsPull,
    Event::StartsPush,
    Event::CurvePullBig,
    Event::CurvePushBig,
];

impl Trainee {
    /// The shots of the finished case's golfer if something were otherwise.
    pub(super) fn what_if(&mut self, line: &str) -> Taught {
        let Some(pupil) = self.pupil().cloned() else {
            return Taught::note(Note::NothingOpen);
        };
        let lower = line.trim().trim_end_matches(['?', '.', '!']).to_lowercase();
        let words = SUPPOSES
            .iter()
            .find_map(|s| lower.strip_prefix(s))
            .unwrap_or(&lower);
        let put = self.numbers_put(&pupil, words);
        let Some((what, changes)) = put.or_else(|| self.changed(&pupil, words)) else {
            return Taught::note(Note::NothingSupposed);
        };
        let group = pupil.first.group;
        let simulation = self.mind.simulation();
        let play =
            |changes: &[Change]| simulation.play_of(&pupil.lineup, pupil.number, group, changes);
        let (before, after) = (play(&[]), play(&changes));
        let case = simulation.case_of(&pupil.lineup, pupil.number, group, &changes);
        let of = |rates: &[(Event, f64)], event: Event| {
            let found = rates.iter().find(|(e, _)| *e == event);
            found.map_or(0.0, |(_, rate)| 100.0 * rate)
        };
        let rates = TOLD
            .iter()
            .map(|e| (*e, of(&pupil.first.case.rates, *e), of(&case.rates, *e)))
            .collect();
        Taught::of(Block::WhatIf {
            what,
            before,
            after,
            rates,
        })
    }

    /// Numbers put in place of the golfer's average, each moved where it begins.
    fn numbers_put(&self, pupil: &Pupil, words: &str) -> Option<(Vec<Supposed>, Vec<Change>)> {
        let base = self.base();
        let said = words.replace("zero", "0").replace("square", "0");
        let digits = |w: &str| w.contains(|c: char| c.is_ascii_digit());
        let parts: Vec<Vec<&str>> = said
            .split(" and ")
            .map(|part| {
                part.split_whitespace()
                    .filter(|w| !BEING.contains(w))
                    .collect()
            })
            .collect();
        let mut all = parts.iter().flatten();
        if !all.clone().any(|w| digits(w)) || all.any(|w| names::moving(w)) {
            return None;
        }
        // "If path and face were 0": the number told last is that of both.
        let last: Vec<&str> = (parts.last()?.iter().copied())
            .skip_while(|w| !digits(w))
            .collect();
        let context = Context {
            hand: Some(pupil.hand),
            ..Context::default()
        };
        let findings = parts.iter().flat_map(|part| {
            let mut part = part.clone();
            if !part.iter().any(|w| digits(w)) {
                part.extend(&last);
            }
            read(&self.phrases, &context, &part.join(" ")).findings
        });
        let (mut what, mut changes) = (Vec::new(), Vec::new());
        for finding in findings {
            let What::Number(number) = finding.what else {
                continue;
            };
            let (axis, _) = (*base.model.measured.get(number.quantity.index())?)?;
            let to = number.value.middle();
            let axes = &pupil.first.case.axes;
            let now = axes.iter().find(|(a, _)| *a == axis)?.1;
            let by = Amount::from_base(to.base() - now.base(), to.dimension()).ok()?;
            changes.push(match axis {
                Axis::ClubPath => Change::Move(Axis::SwingDirection, by),
                Axis::FaceToPath => Change::Move(Axis::FaceAngle, by),
                Axis::DeliveredLoft => Change::Move(Axis::DynamicLoft, by),
                Axis::AttackAngle => Change::Move(Axis::LowPoint, low_point(self, pupil, now, to)?),
                axis if axis.moves_by_itself() => Change::Move(axis, by),
                _ => return None,
            });
            what.push(Supposed::Put(number.quantity, now, to));
        }
        (!what.is_empty()).then_some((what, changes))
    }

    /// A change of the table, or a cause of this golfer gone.
    fn changed(&self, pupil: &Pupil, words: &str) -> Option<(Vec<Supposed>, Vec<Change>)> {
        let base = Arc::clone(self.mind.base());
        if let Some((_, named)) = GONE.iter().find_map(|g| words.split_once(g)) {
            let causes = finding::causes(&base, &self.phrases, pupil.hand, named);
            let cause = causes.into_iter().find(|c| pupil.has(*c))?;
            return Some((vec![Supposed::Without(cause)], vec![Change::Without(cause)]));
        }
        let named = names::change_named(&base, words).ok()?;
        let change = base.changes.iter().nth(named.index)?;
        let size = match named.extent {
            Extent::By(size) => size,
            Extent::To(value) => value.abs(),
        };
        let moves = change.moves.iter().filter_map(|(axis, factor)| {
            let amount = Amount::new(factor * size, change.unit).ok()?;
            Some(Change::Move(*axis, amount))
        });
        Some((vec![Supposed::Moved(named.index, size)], moves.collect()))
    }
}

/// How far the low point moves for an attack to change so.
fn low_point(trainee: &Trainee, pupil: &Pupil, from: Amount, to: Amount) -> Option<Amount> {
    let club = trainee.base().club(pupil.first.club);
    let at = |attack: Amount| {
        let attack = crate::quantity::Angle::radians(attack.base());
        low_point_from_attack(attack, club.radius, club.plane).ok()
    };
    let by = at(to)?.base() - at(from)?.base();
    Amount::from_base(by, Dimension::Length).ok()
}
