//! Which golfers fit what was said, and what that says of causes, effects, quantities and rates.
//!
//! [`Simulation::judge`] weighs every golfer of the population by how likely that golfer was to
//! report what was reported, and reads the shares off the weights. It states its own numerical
//! error and the effective number of golfers. Evidence is put in one order before anything is
//! added up, exact repetitions count once, and stated lies are premises: the population is drawn
//! with them. Causes are ranked by "present and at work here": the posterior share that the
//! evidence, not the prior, accounts for. Knows nothing of benefit or of what to ask.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::CausesError;
use super::benefit::Gains;
use super::graph::CauseGraph;
use super::model::{Axis, EffectShare, Event, Evidence, Model};
use super::population::{Member, Population, Sources};
use super::quantities::GroupTables;
use super::report;
use super::scores::Normal;
use super::world::{CALM_BITS, Ground, World, common};
use crate::quantity::{Amount, Length, Unit};
use crate::vocabulary::{CauseId, EffectId, GroupId, SymptomId};

/// Golfers in the population: two to this power.
const BITS: u32 = 14;
/// The seed of the population; any number would do.
const SEED: u64 = 0x0053_7769_6E67;
/// Golfers drawn by their weights for benefit, checks and ranges.
pub(super) const SAMPLE: usize = 400;
/// With fewer effective golfers than this a second round is drawn.
const ENOUGH: f64 = 700.0;
/// Golfers of a second round: two to this power; and how many golfers they take after.
const NEAR_BITS: u32 = 12;
const ANCESTORS: usize = 64;
/// Populations kept for stated lies.
const KEPT: usize = 2;
/// A measured number further than this many errors from a golfer does not fit that golfer.
const FAR: f32 = 3.0;
/// A number that fits fewer golfers than this share is called impossible.
const SCARCE: f64 = 2e-4;
/// Below this at-work share nothing stands out.
const STANDS_OUT: f64 = 0.10;
/// A root is named if it accounts for more than this share of its consequence.
const ROOT: f64 = 0.3;

/// The simulated golfers of one model.
#[derive(Debug, Clone)]
pub struct Simulation {
    pub(super) ground: Ground,
    pub(super) graph: CauseGraph,
    pub(super) sources: Sources,
    pub(super) prior: Vec<f64>,
    worlds: BTreeMap<Vec<CauseId>, World>,
    /// The second round drawn last, with the evidence it was drawn for.
    near: Option<(Vec<Evidence>, World)>,
}

/// A cause with its place in the ranking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RankedCause {
    /// Which.
    pub cause: CauseId,
    /// Probability that it is present, given the evidence.
    pub probability: f64,
    /// Numerical error of the probability, one standard error.
    pub error: f64,
    /// Probability that it is present and that the evidence speaks for it: the posterior times
    /// `1 - 1 / raised`.
    pub at_work: f64,
    /// Probability before any evidence.
    pub prior: f64,
    /// Posterior odds over prior odds.
    pub raised: f64,
    /// The cause upstream that most often brought it about, with its share, if that is over 0.3.
    pub root: Option<(CauseId, f64)>,
}

/// Where an axis lies for golfers like this one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisRange {
    /// Which.
    pub axis: Axis,
    /// The mean.
    pub mean: Amount,
    /// 5 in 100 lie below.
    pub low: Amount,
    /// 5 in 100 lie above.
    pub high: Amount,
    /// The usual value of the group.
    pub usual: Amount,
}

/// What the evidence says.
#[derive(Debug, Clone)]
pub struct Judgement {
    /// The club group that quantities, effects, rates and benefits are about.
    pub focus: GroupId,
    /// Every cause, the one most at work first; ties by probability, then by id.
    pub causes: Vec<RankedCause>,
    /// Probability that no cause is present.
    pub none: f64,
    /// Nothing stands out.
    pub little_to_go_on: bool,
    /// Effective number of golfers behind the shares.
    pub effective_golfers: f64,
    /// A second round was drawn near the golfers that fit.
    pub refined: bool,
    /// Places in the evidence that hardly any golfer could produce.
    pub impossible: Vec<usize>,
    /// Probability of every effect, by id.
    pub effects: Vec<EffectShare>,
    /// Range of every axis.
    pub ranges: Vec<AxisRange>,
    /// Mean rate of every event.
    pub rates: Vec<(Event, f64)>,
    pub(super) members: Vec<Member>,
    pub(super) evidence: Vec<Evidence>,
    pub(super) gains: OnceLock<Gains>,
}

impl Judgement {
    /// The standing of one cause.
    pub fn of(&self, cause: CauseId) -> Option<&RankedCause> {
        self.causes.iter().find(|c| c.cause == cause)
    }

    /// Where an axis lies.
    pub fn range(&self, axis: Axis) -> Option<&AxisRange> {
        self.ranges.get(axis as usize)
    }

    /// The probability of an effect.
    pub fn effect(&self, effect: EffectId) -> f64 {
        self.effects.get(effect.index()).map_or(0.0, |&(_, p)| p)
    }

    /// The mean rate of an event.
    pub fn rate(&self, event: Event) -> f64 {
        self.rates.get(event as usize).map_or(0.0, |&(_, r)| r)
    }
}

/// An amount on an axis from its trade number.
pub(super) fn on_axis(axis: Axis, value: f64) -> Amount {
    let unit = unit_of(axis);
    let value = if value.is_finite() { value } else { 0.0 };
    Amount::new(value, unit).unwrap_or_else(|_| Length::ZERO.into())
}

/// The unit an axis is written in.
pub(super) fn unit_of(axis: Axis) -> Unit {
    Axis::ALL
        .get(axis as usize)
        .and_then(|(_, _, symbol, _)| Unit::from_symbol(symbol))
        .unwrap_or(Unit::One)
}

/// The weights of a population given evidence.
pub(super) struct Weights {
    /// By golfer; they add up to 1.
    pub share: Vec<f64>,
    /// One over the sum of squares.
    pub effective: f64,
}

/// Turns log weights into shares. With nothing left the prior stands.
pub(super) fn weigh(log: &[f64], fallback: &[f64]) -> Weights {
    let top = log.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !top.is_finite() {
        if std::ptr::eq(log, fallback) {
            let even = 1.0 / log.len().max(1) as f64;
            return Weights {
                share: vec![even; log.len()],
                effective: 0.0,
            };
        }
        return Weights {
            effective: 0.0,
            ..weigh(fallback, fallback)
        };
    }
    let mut share: Vec<f64> = log.iter().map(|l| (l - top).exp()).collect();
    let total: f64 = share.iter().sum();
    let mut squares = 0.0;
    for w in &mut share {
        *w /= total;
        squares += *w * *w;
    }
    Weights {
        share,
        effective: 1.0 / squares,
    }
}

impl Simulation {
    /// The simulation of a model.
    ///
    /// # Errors
    /// [`CausesError`] for causes in a circle, links to nowhere, or a model without groups or
    /// causes.
    pub fn new(model: Model) -> Result<Self, CausesError> {
        Self::with_golfers(model, BITS)
    }

    /// The simulation with `2^bits` golfers (8 to 20 bits), for tests and measurements.
    ///
    /// # Errors
    /// As [`Simulation::new`].
    pub fn with_golfers(model: Model, bits: u32) -> Result<Self, CausesError> {
        if model.groups.is_empty() || model.causes.is_empty() {
            return Err(CausesError::Empty);
        }
        let graph = CauseGraph::new(&model.causes)?;
        let sources = Sources::new(&model.causes, &graph, &model.settings);
        let normal = Normal::new(bits.clamp(8, 20));
        let calm_normal = Normal::new(CALM_BITS);
        let calm = Population::draw(&sources.without_causes(), &calm_normal, SEED + 1, &[]);
        let tables = model
            .groups
            .iter()
            .enumerate()
            .map(|(g, group)| {
                GroupTables::new(group, g, &model.causes, &model.settings, &calm_normal)
            })
            .collect();
        let ground = Ground::new(model, tables, normal, calm, calm_normal);
        let mut simulation = Self {
            ground,
            graph,
            sources,
            prior: Vec::new(),
            worlds: BTreeMap::new(),
            near: None,
        };
        let base = World::new(simulation.draw(&[]));
        let weights = weigh(&base.population.log_weight, &base.population.log_weight);
        simulation.prior = base
            .population
            .present
            .iter()
            .map(|column| column.members().filter_map(|i| weights.share.get(i)).sum())
            .collect();
        simulation.worlds.insert(Vec::new(), base);
        Ok(simulation)
    }

    fn draw(&self, known: &[CauseId]) -> Population {
        Population::draw(&self.sources, &self.ground.normal, SEED, known)
    }

    /// The model behind the simulation.
    pub fn model(&self) -> &Model {
        &self.ground.model
    }

    /// The graph of its causes.
    pub fn graph(&self) -> &CauseGraph {
        &self.graph
    }

    /// What the evidence says. The order of the evidence and what was asked before change nothing.
    pub fn judge(&mut self, evidence: &[Evidence], focus: GroupId) -> Judgement {
        let plan = Plan::new(&self.ground.model, evidence, focus);
        let known = plan.known();
        let impossible = self.impossible(evidence, &plan, &known);
        let mut weights = self.first_round(&plan, &known);
        let refined = self.refine(&plan, &known, &mut weights);
        let Self {
            ground,
            worlds,
            near,
            prior,
            sources,
            ..
        } = self;
        let world = match near {
            Some((_, world)) if refined => world,
            _ => match worlds.get_mut(&known) {
                Some(world) => world,
                None => return Judgement::nothing(focus, evidence),
            },
        };
        let mut judgement = Judgement::nothing(focus, evidence);
        judgement.effective_golfers = weights.effective;
        judgement.refined = refined;
        judgement.impossible = impossible;
        judgement.causes = rank(&world.population, &weights, prior);
        judgement.none = (0..world.population.count)
            .filter(|&i| world.population.causes_of(i).is_empty())
            .filter_map(|i| weights.share.get(i))
            .sum();
        let leader = judgement.causes.first().map_or(0.0, |c| c.at_work);
        judgement.little_to_go_on = leader < STANDS_OUT;
        let drawn = resample(&weights.share, SAMPLE);
        judgement.members = drawn.iter().map(|&i| world.population.member(i)).collect();
        for (cause, root) in roots(&judgement.members, sources) {
            if let Some(ranked) = judgement.causes.iter_mut().find(|c| c.cause == cause) {
                ranked.root = Some(root);
            }
        }
        world.describe(ground, focus, &weights, &drawn, &mut judgement);
        judgement
    }

    /// The ranking alone, without what a [`Judgement`] adds.
    pub(super) fn ranking(&mut self, evidence: &[Evidence], focus: GroupId) -> Vec<RankedCause> {
        let plan = Plan::new(&self.ground.model, evidence, focus);
        let known = plan.known();
        let mut weights = self.first_round(&plan, &known);
        let refined = self.refine(&plan, &known, &mut weights);
        let population = match &self.near {
            Some((_, world)) if refined => &world.population,
            _ => match self.worlds.get(&known) {
                Some(world) => &world.population,
                None => return Vec::new(),
            },
        };
        rank(population, &weights, &self.prior)
    }

    /// Weights of the golfers drawn with these known causes, all evidence included.
    pub(super) fn first_round(&mut self, plan: &Plan, known: &[CauseId]) -> Weights {
        match self.world(known) {
            Some((world, ground)) => world.weights(ground, plan),
            None => weigh(&[], &[]),
        }
    }

    /// Draws a second round if too few golfers fit; true if it was worth it, with its weights in
    /// place of the first.
    pub(super) fn refine(&mut self, plan: &Plan, known: &[CauseId], weights: &mut Weights) -> bool {
        let Self {
            ground,
            worlds,
            near,
            sources,
            ..
        } = self;
        let Some(world) = worlds.get(known) else {
            return false;
        };
        if world.population.exact || weights.effective >= ENOUGH || weights.effective < 1.0 {
            return false;
        }
        if near.as_ref().is_none_or(|(items, _)| *items != plan.items) {
            let ancestors = resample(&weights.share, ANCESTORS);
            let population = world.population.near(
                sources,
                &ground.normal,
                &weights.share,
                &ancestors,
                NEAR_BITS,
                SEED + 2,
            );
            *near = Some((plan.items.clone(), World::new(population)));
        }
        let Some((_, second)) = near else {
            return false;
        };
        let again = second.weights(ground, plan);
        let better = again.effective > weights.effective;
        if better {
            *weights = again;
        }
        better
    }

    /// The round with more golfers that fit part of the evidence: the first, or the second if it
    /// was drawn for the whole evidence.
    pub(super) fn fitting(&mut self, part: &Plan, whole: &Plan) -> (Option<&Population>, Weights) {
        let known = part.known();
        let first = self.first_round(part, &known);
        let Self {
            ground,
            worlds,
            near,
            ..
        } = self;
        if let Some((items, second)) = near
            && *items == whole.items
            && first.effective < ENOUGH
        {
            let again = second.weights(ground, part);
            if again.effective > first.effective {
                return (Some(&second.population), again);
            }
        }
        (worlds.get(&known).map(|w| &w.population), first)
    }

    /// Makes sure that the population with these known causes is there.
    pub(super) fn open(&mut self, known: &[CauseId]) {
        if self.worlds.contains_key(known) {
            return;
        }
        if self.worlds.len() > KEPT
            && let Some(first) = self.worlds.keys().find(|k| !k.is_empty()).cloned()
        {
            self.worlds.remove(&first);
        }
        let world = World::new(self.draw(known));
        self.worlds.insert(known.to_vec(), world);
    }

    pub(super) fn world(&mut self, known: &[CauseId]) -> Option<(&mut World, &mut Ground)> {
        self.open(known);
        let Self { ground, worlds, .. } = self;
        worlds.get_mut(known).map(|w| (w, ground))
    }

    /// Places of the evidence that hardly any golfer could produce: numbers far from everybody,
    /// and causes said to be there and not there.
    fn impossible(&mut self, evidence: &[Evidence], plan: &Plan, known: &[CauseId]) -> Vec<usize> {
        let clash = |cause: CauseId| {
            let said = |wanted: bool| {
                plan.items.iter().any(|item| {
                    matches!(item, Evidence::Known { cause: c, present }
                        if *c == cause && *present == wanted)
                })
            };
            said(true) && said(false)
        };
        let mut found = Vec::new();
        for (at, item) in evidence.iter().enumerate() {
            let bad = match item {
                Evidence::Known { cause, .. } => clash(*cause),
                Evidence::Measured { .. } => self.far_from_all(item, known),
                Evidence::Symptom { .. }
                | Evidence::Unsure { .. }
                | Evidence::Answer { .. }
                | Evidence::Hint { .. }
                | Evidence::Practised { .. } => false,
            };
            if bad {
                found.push(at);
            }
        }
        found
    }

    fn far_from_all(&mut self, item: &Evidence, known: &[CauseId]) -> bool {
        let Some((world, ground)) = self.world(known) else {
            return false;
        };
        let Some((axis, group, value, error)) = reading(&ground.model, item) else {
            return false;
        };
        let weights = weigh(&world.population.log_weight, &world.population.log_weight);
        let Some(rows) = world.rows(ground, group) else {
            return false;
        };
        let near: f64 = rows
            .axis(axis)
            .zip(&weights.share)
            .filter(|(x, _)| ((x - value) / error).abs() < FAR)
            .map(|(_, w)| w)
            .sum();
        near < SCARCE
    }
}

impl Judgement {
    fn nothing(focus: GroupId, evidence: &[Evidence]) -> Self {
        Self {
            focus,
            causes: Vec::new(),
            none: 0.0,
            little_to_go_on: true,
            effective_golfers: 0.0,
            refined: false,
            impossible: Vec::new(),
            effects: Vec::new(),
            ranges: Vec::new(),
            rates: Vec::new(),
            members: Vec::new(),
            evidence: evidence.to_vec(),
            gains: OnceLock::new(),
        }
    }
}

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
        Self { items, said }
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
        let group = asked.groups.first().copied().unwrap_or(focus);
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
                if let Some(rows) = self.rows(ground, group) {
                    for (l, mean) in log.iter_mut().zip(rows.axis(axis)) {
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

    /// Fills in effects, rates and ranges of the focus group.
    fn describe(
        &mut self,
        ground: &Ground,
        focus: GroupId,
        weights: &Weights,
        drawn: &[usize],
        judgement: &mut Judgement,
    ) {
        let Some(tables) = ground.table(focus) else {
            return;
        };
        let Some(rows) = self.rows(ground, focus) else {
            return;
        };
        let mut effects = vec![0.0; ground.model.effects.len()];
        let mut rates = vec![0.0; Event::ALL.len()];
        let mut axes = vec![0.0; Axis::ALL.len()];
        for (i, &w) in weights.share.iter().enumerate().filter(|(_, w)| **w > 1e-9) {
            for (sum, &x) in rates.iter_mut().zip(rows.rates_of(i)) {
                *sum += w * f64::from(x);
            }
            for (sum, &x) in axes.iter_mut().zip(rows.axes_of(i)) {
                *sum += w * f64::from(x);
            }
            let words = rows
                .effects
                .get(i * rows.stride..(i + 1) * rows.stride)
                .unwrap_or(&[]);
            for (at, &word) in words.iter().enumerate() {
                let mut rest = word;
                while rest != 0 {
                    let bit = rest.trailing_zeros() as usize;
                    rest &= rest - 1;
                    if let Some(sum) = effects.get_mut(at * 64 + bit) {
                        *sum += w;
                    }
                }
            }
        }
        judgement.effects = effects
            .into_iter()
            .enumerate()
            .map(|(e, p)| (EffectId::from_index(e), p))
            .collect();
        judgement.rates = Event::ALL.iter().map(|(e, _)| *e).zip(rates).collect();
        judgement.ranges = Axis::ALL
            .iter()
            .zip(axes)
            .map(|(&(axis, ..), mean)| {
                let mut values: Vec<f32> = drawn
                    .iter()
                    .filter_map(|&i| rows.axes_of(i).get(axis as usize).copied())
                    .collect();
                values.sort_by(f32::total_cmp);
                let at = |share: f64| {
                    let place = (share * values.len() as f64) as usize;
                    f64::from(values.get(place).copied().unwrap_or(0.0))
                };
                let usual = tables.usual.get(axis as usize).copied().unwrap_or(0.0);
                AxisRange {
                    axis,
                    mean: on_axis(axis, mean),
                    low: on_axis(axis, at(0.05)),
                    high: on_axis(axis, at(0.95)),
                    usual: on_axis(axis, f64::from(usual)),
                }
            })
            .collect();
    }
}

/// All causes with probability, error and at-work share, ranked.
fn rank(population: &Population, weights: &Weights, prior: &[f64]) -> Vec<RankedCause> {
    let floor = 0.5 / weights.effective.max(1.0).sqrt();
    let odds = |p: f64| p / (1.0 - p).max(1e-12);
    let mut causes: Vec<RankedCause> = population
        .present
        .iter()
        .zip(prior)
        .enumerate()
        .map(|(c, (column, &prior))| {
            let (mut p, mut squares) = (0.0, 0.0);
            for i in column.members() {
                let w = weights.share.get(i).copied().unwrap_or(0.0);
                p += w;
                squares += w * w;
            }
            let all = 1.0 / weights.effective.max(1.0);
            let se = ((1.0 - p).powi(2) * squares + p * p * (all - squares).max(0.0)).sqrt();
            let p = p.clamp(0.0, 1.0);
            let raised = odds(p) / odds(prior).max(1e-12);
            let at_work = if raised > 1.0 {
                p * (1.0 - 1.0 / raised)
            } else {
                0.0
            };
            let error = if population.exact { 0.0 } else { se.max(floor) };
            RankedCause {
                cause: CauseId::from_index(c),
                probability: p,
                error,
                at_work,
                prior,
                raised,
                root: None,
            }
        })
        .collect();
    causes.sort_by(|a, b| {
        b.at_work
            .total_cmp(&a.at_work)
            .then(b.probability.total_cmp(&a.probability))
            .then(a.cause.cmp(&b.cause))
    });
    causes
}

/// `count` golfers drawn by weight at even steps: each comes up within one of its share.
pub(super) fn resample(share: &[f64], count: usize) -> Vec<usize> {
    let mut drawn = Vec::with_capacity(count);
    let (mut sum, mut next) = (0.0, 0.5);
    for (i, w) in share.iter().enumerate() {
        sum += w * count as f64;
        while next <= sum && drawn.len() < count {
            drawn.push(i);
            next += 1.0;
        }
    }
    while drawn.len() < count
        && let Some(last) = share.iter().rposition(|w| *w > 0.0)
    {
        drawn.push(last);
    }
    drawn
}

/// For every cause that mostly follows from another among these golfers: that root and its share.
fn roots(members: &[Member], sources: &Sources) -> Vec<(CauseId, (CauseId, f64))> {
    let mut counts: BTreeMap<CauseId, (u32, BTreeMap<CauseId, u32>)> = BTreeMap::new();
    for member in members {
        for &cause in &member.causes {
            let entry = counts.entry(cause).or_default();
            entry.0 += 1;
            for root in member.roots_of(cause, sources) {
                *entry.1.entry(root).or_default() += 1;
            }
        }
    }
    counts
        .into_iter()
        .filter_map(|(cause, (all, roots))| {
            let (root, n) = roots
                .into_iter()
                .max_by(|a, b| a.1.cmp(&b.1).then(b.0.cmp(&a.0)))?;
            let share = f64::from(n) / f64::from(all);
            (share > ROOT).then_some((cause, (root, share)))
        })
        .collect()
}
