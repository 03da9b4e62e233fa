//! From what was told to log-likelihoods, golfer by golfer.
//!
//! Takes pieces of evidence; puts them in one order, takes repetitions out, and adds to every
//! golfer's log weight how likely that golfer was to report each. Premises (known causes) leave no
//! golfer who contradicts them. Common symptoms that were not mentioned count a little, for each
//! club group of which symptoms were told. Order and repetition cannot show in the sums. Knows
//! nothing of ranking.

use std::collections::BTreeMap;

use super::judgement::unit_of;
use super::model::{Axis, Evidence, Model};
use super::posterior::{Weights, weigh};
use super::pull::{Pull, is_number};
use super::report;
use super::world::{Ground, World, common};
use crate::beside::each;
use crate::vocabulary::{CauseId, GroupId, SymptomId};

/// Axis, group, value and error of a measured number, in the axis' trade unit; `None` for other
/// evidence and for quantities that golfers of the population do not have.
pub(super) fn reading(model: &Model, item: &Evidence) -> Option<(Axis, GroupId, f32, f32)> {
    let Evidence::Measured {
        quantity,
        group,
        value,
    } = item
    else {
        return None;
    };
    let (axis, usual_error) = (*model.measured.get(quantity.index())?)?;
    let unit = unit_of(axis);
    let mean = value.middle().value_in(unit).ok()?;
    let sd = value.sd() / unit.scale();
    let error = if sd > 0.0 { sd } else { usual_error };
    Some((axis, *group, mean as f32, (error as f32).max(1e-3)))
}

/// The evidence in one order, repetitions taken out.
pub(super) struct Plan {
    pub items: Vec<Evidence>,
    /// Groups of which symptoms were told, with the symptoms that silence must leave out.
    pub said: BTreeMap<GroupId, Vec<SymptomId>>,
    /// The plan without answers to checks, if there are any.
    pub without_answers: Option<Box<Self>>,
}

impl Plan {
    /// One symptom of one group said twice is one finding (stated shares are averaged), numbers of
    /// one quantity and group are pooled, everything else counts once however often it is said.
    pub(super) fn new(model: &Model, evidence: &[Evidence], focus: GroupId) -> Self {
        let mut sorted: Vec<Evidence> = evidence
            .iter()
            .map(|item| found_by_answer(model, item, focus))
            .collect();
        sorted.sort_by_key(key);
        let mut items: Vec<(Evidence, f64)> = Vec::new();
        for item in sorted {
            match items.last_mut() {
                Some((last, count)) if key(last).0 == key(&item).0 => merge(last, count, &item),
                _ => items.push((item, 1.0)),
            }
        }
        let items: Vec<Evidence> = items.into_iter().map(|(item, _)| item).collect();
        let mut said: BTreeMap<GroupId, Vec<SymptomId>> = BTreeMap::new();
        let mut told = Vec::new();
        for item in &items {
            if let Evidence::Symptom { symptom, group, .. } = item {
                said.entry(*group).or_default().push(*symptom);
                told.push(*group);
            } else if let Evidence::Unsure { symptom, group } = item {
                said.entry(*group).or_default().push(*symptom);
            }
        }
        // A golfer who was only unsure of things has told nothing of the group.
        said.retain(|group, _| told.contains(group));
        let answer = |item: &Evidence| matches!(item, Evidence::Answer { .. });
        let without_answers = evidence.iter().any(answer).then(|| {
            let rest: Vec<Evidence> = evidence.iter().filter(|e| !answer(e)).cloned().collect();
            Box::new(Self::new(model, &rest, focus))
        });
        Self {
            items,
            said,
            without_answers,
        }
    }

    /// Causes that are known to be there, by id.
    pub(super) fn known(&self) -> Vec<CauseId> {
        let mut known: Vec<CauseId> = self
            .items
            .iter()
            .filter_map(|item| {
                if let Evidence::Known {
                    cause,
                    present: true,
                } = item
                {
                    Some(*cause)
                } else {
                    None
                }
            })
            .collect();
        known.sort_unstable();
        known.dedup();
        known
    }
}

/// A yes to a check that looks for a symptom reports the symptom.
fn found_by_answer(model: &Model, item: &Evidence, focus: GroupId) -> Evidence {
    if let Evidence::Answer { check, yes } = item
        && let Some(asked) = model.checks.get(check.index())
        && let Some(symptom) = asked.finds
        && asked.tells.is_empty()
    {
        let fits = asked.groups.is_empty() || asked.groups.contains(&focus);
        let group = asked.groups.first().copied().filter(|_| !fits);
        let group = group.unwrap_or(focus);
        return Evidence::Symptom {
            symptom,
            group,
            present: *yes,
            often: None,
        };
    }
    item.clone()
}

type Key = ((u8, usize, usize, u8), [u64; 2]);

/// What a piece of evidence is about, then its numbers: a total order.
fn key(item: &Evidence) -> Key {
    match item {
        Evidence::Known { cause, present } => ((0, cause.index(), 0, u8::from(*present)), [0; 2]),
        Evidence::Symptom {
            symptom,
            group,
            present,
            often,
        } => (
            (1, symptom.index(), group.index(), u8::from(*present)),
            [often.map_or(0, |o| o.to_bits().wrapping_add(1)), 0],
        ),
        Evidence::Unsure { symptom, group } => ((2, symptom.index(), group.index(), 0), [0; 2]),
        Evidence::Measured {
            quantity,
            group,
            value,
        } => (
            (3, quantity.index(), group.index(), 0),
            [value.mean().to_bits(), value.sd().to_bits()],
        ),
        Evidence::Answer { check, yes } => ((4, check.index(), 0, u8::from(*yes)), [0; 2]),
        Evidence::Hint { cause, weight } => ((5, cause.index(), 0, 0), [weight.to_bits(), 0]),
        Evidence::Practised { cause, helped } => ((6, cause.index(), 0, u8::from(*helped)), [0; 2]),
    }
}

/// Takes a second piece of evidence about the same thing into the first.
fn merge(first: &mut Evidence, count: &mut f64, second: &Evidence) {
    match (first, second) {
        (
            Evidence::Symptom { often, .. },
            Evidence::Symptom {
                often: Some(more), ..
            },
        ) => {
            if let Some(mean) = often {
                *mean += (more - *mean) / (*count + 1.0);
                *count += 1.0;
            } else {
                *often = Some(*more);
            }
        }
        (Evidence::Measured { value, .. }, Evidence::Measured { value: more, .. })
            if value != more =>
        {
            if let Ok(pooled) = value.pooled(*more) {
                *value = pooled;
            }
        }
        (Evidence::Hint { weight, .. }, Evidence::Hint { weight: more, .. }) => {
            *weight = weight.max(*more);
        }
        _ => {}
    }
}

/// Symptoms in a report that leaves out nothing on purpose (elicited).
const FULL_REPORT: f64 = 12.0;

impl World {
    /// The weights of all golfers given the evidence.
    pub(super) fn weights(&mut self, ground: &mut Ground, plan: &Plan) -> Weights {
        let mut log = self.population.log_weight.clone();
        for item in &plan.items {
            self.add(ground, item, &mut log, 1.0);
        }
        for (group, said) in &plan.said {
            self.add_silence(ground, *group, said, &mut log);
        }
        weigh(&log, &self.population.log_weight)
    }

    /// The weights of all golfers by how well their causes go with the measured numbers, whatever
    /// their personal deviations, and by the rest of the evidence: where to look for golfers that
    /// fit, not how well these fit.
    pub(super) fn guide(&mut self, ground: &mut Ground, plan: &Plan, pull: &Pull) -> Weights {
        let mut log = self.population.log_weight.clone();
        for item in plan.items.iter().filter(|item| !is_number(item)) {
            self.add(ground, item, &mut log, 1.0);
        }
        for (group, said) in &plan.said {
            self.add_silence(ground, *group, said, &mut log);
        }
        for item in &plan.items {
            if let Some((axis, group, ..)) = reading(&ground.model, item) {
                self.column(ground, axis, group);
            }
        }
        let fits = each(log.len(), |i| pull.log_fit(ground, self, i));
        for (l, fit) in log.iter_mut().zip(fits) {
            *l += fit;
        }
        weigh(&log, &self.population.log_weight)
    }

    /// Adds the log-likelihood of one piece of evidence, times `share`, to every golfer.
    pub(super) fn add(
        &mut self,
        ground: &mut Ground,
        item: &Evidence,
        log: &mut [f64],
        share: f64,
    ) {
        match item {
            Evidence::Symptom {
                symptom,
                group,
                present,
                often,
            } => {
                self.add_symptom(ground, *symptom, *group, *present, *often, log, share);
            }
            Evidence::Unsure { .. } => {}
            Evidence::Measured { .. } => {
                let Some((axis, group, value, error)) = reading(&ground.model, item) else {
                    return;
                };
                if let Some(column) = self.column(ground, axis, group) {
                    for (l, &mean) in log.iter_mut().zip(&*column) {
                        *l += share * f64::from(report::measured(value, error, mean));
                    }
                }
            }
            Evidence::Answer { check, yes } => {
                let Some(model) = ground.model.checks.get(check.index()) else {
                    return;
                };
                let model = model.clone();
                let mut answers = BTreeMap::new();
                for (i, l) in log.iter_mut().enumerate() {
                    let population = &self.population;
                    let has: Vec<bool> = model
                        .tells
                        .iter()
                        .map(|(c, ..)| population.present.get(c.index()).is_some_and(|p| p.has(i)))
                        .collect();
                    let said = *answers.entry(has).or_insert_with_key(|has| {
                        let yes_chance = report::says_yes(&model, |cause| {
                            model
                                .tells
                                .iter()
                                .zip(has)
                                .any(|((c, ..), there)| *c == cause && *there)
                        });
                        if *yes {
                            yes_chance.ln()
                        } else {
                            (1.0 - yes_chance).ln()
                        }
                    });
                    *l += share * said;
                }
            }
            Evidence::Known { cause, present } => {
                let Some(column) = self.population.present.get(cause.index()) else {
                    return;
                };
                for (i, l) in log.iter_mut().enumerate() {
                    if column.has(i) != *present {
                        *l = f64::NEG_INFINITY;
                    }
                }
            }
            Evidence::Hint { cause, weight } => {
                self.add_present(*cause, share * report::HINT * weight, 0.0, log);
            }
            Evidence::Practised { cause, helped } => {
                let (there, not) = report::PRACTICE_HELPS;
                let (there, not) = if *helped {
                    (there, not)
                } else {
                    (1.0 - there, 1.0 - not)
                };
                self.add_present(*cause, share * there.ln(), share * not.ln(), log);
            }
        }
    }

    fn add_present(&self, cause: CauseId, there: f64, not: f64, log: &mut [f64]) {
        if let Some(column) = self.population.present.get(cause.index()) {
            for (i, l) in log.iter_mut().enumerate() {
                *l += if column.has(i) { there } else { not };
            }
        }
    }

    #[allow(clippy::too_many_arguments, reason = "the parts of one finding")]
    fn add_symptom(
        &mut self,
        ground: &mut Ground,
        symptom: SymptomId,
        group: GroupId,
        present: bool,
        often: Option<f64>,
        log: &mut [f64],
        share: f64,
    ) {
        if !ground.visible(symptom, group) {
            return;
        }
        let denial = ground.model.settings.denial;
        let spread = ground.model.settings.often;
        if let Some(chances) = self.chances(ground, symptom, group) {
            for (l, &p) in log.iter_mut().zip(chances) {
                let said = if present {
                    p.ln()
                } else {
                    denial as f32 * (1.0 - p).ln()
                };
                *l += share * f64::from(said);
            }
        }
        if present
            && let Some(often) = often
            && let Some(rates) = self.shown(ground, symptom, group)
        {
            for (l, &rate) in log.iter_mut().zip(rates) {
                *l += share * f64::from(report::stated(often, rate, spread));
            }
        }
    }

    /// Adds what it says that common symptoms of a group were not mentioned.
    pub(super) fn add_silence(
        &mut self,
        ground: &mut Ground,
        group: GroupId,
        said: &[SymptomId],
        log: &mut [f64],
    ) {
        // Who says one thing leaves out the rest for want of talk, not for want of symptoms: silence
        // counts in full only beside a full report.
        let talk = (said.len() as f64 / FULL_REPORT).min(1.0);
        let weight = ground.model.settings.silence * talk;
        if weight <= 0.0 {
            return;
        }
        for (l, &all) in log.iter_mut().zip(self.silence(ground, group)) {
            *l += weight * f64::from(all);
        }
        let counted = common(&ground.model, group);
        for &symptom in said.iter().filter(|s| counted.contains(s)) {
            if let Some(chances) = self.chances(ground, symptom, group) {
                for (l, &p) in log.iter_mut().zip(chances) {
                    *l -= weight * f64::from((1.0 - p).ln());
                }
            }
        }
    }
}
