//! Which golfers fit what was said, and what that says of causes, effects, quantities and rates.
//!
//! [`Simulation::judge`] weighs every golfer of the population by how likely that golfer was to
//! report what was reported, and reads the shares off the weights. It states its own numerical
//! error and the effective number of golfers. Evidence is put in one order before anything is
//! added up, exact repetitions count once, and stated lies are premises: the population is drawn
//! with them. Causes are ranked by "present and at work here": the posterior share that the
//! evidence, not the prior, accounts for. Knows nothing of benefit or of what to ask.

use std::collections::BTreeMap;

use super::CausesError;
use super::evidence::{Plan, reading};
use super::graph::CauseGraph;
use super::judgement::{Judgement, Means, RankedCause};
use super::model::{Evidence, Model};
use super::population::{Member, Population, Sources};
use super::pull::Pull;
use super::quantities::GroupTables;
use super::scores::Normal;
use super::world::{CALM_BITS, Ground, World};
use crate::vocabulary::{CauseId, GroupId, SymptomId};

/// Golfers in the population: two to this power.
const BITS: u32 = 14;
/// The seed of the population; any number would do.
const SEED: u64 = 0x0053_7769_6E67;
/// Golfers drawn by their weights for benefit, checks and ranges.
pub(super) const SAMPLE: usize = 400;
/// With fewer effective golfers than this a second round is drawn.
const ENOUGH: f64 = 700.0;
/// Golfers of a second round: two to this power, and to this if numbers were measured; and how many
/// golfers they take after.
const NEAR_BITS: u32 = 12;
const MEASURED_BITS: u32 = 13;
const ANCESTORS: usize = 64;
/// Populations kept for stated lies.
const KEPT: usize = 2;
/// Second rounds kept: with and without the stated lies, or for what was told and with the answers.
const ROUNDS: usize = 2;
/// With fewer effective golfers than this what was told is worth a second round as soon as answers
/// leave too few.
const SOON: f64 = 2.0 * ENOUGH;
/// A second round that was drawn for what was told serves with the answers too, as long as this many
/// golfers are effective.
const SERVES: f64 = 500.0;
/// A measured number further than this many errors from a golfer does not fit that golfer.
const FAR: f32 = 3.0;
/// A number that fits fewer golfers than this share is called impossible.
const SCARCE: f64 = 2e-4;
/// Below this at-work share nothing stands out.
pub(super) const STANDS_OUT: f64 = 0.10;
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
    /// Second rounds, the one used last first.
    near: Vec<Near>,
}

/// A second round of golfers.
#[derive(Debug, Clone)]
struct Near {
    /// The evidence it was drawn for.
    drawn_for: Vec<Evidence>,
    /// The evidence it was used for last.
    serves: Vec<Evidence>,
    world: World,
}

/// The weights of a population given evidence.
pub(super) struct Weights {
    /// By golfer; they add up to 1.
    pub share: Vec<f64>,
    /// One over the sum of squares.
    pub effective: f64,
}

/// How well golfers fit: the shares of the first round and, if one was drawn, of the second;
/// together they add up to 1.
pub(super) struct Fit {
    pub known: Vec<CauseId>,
    pub first: Vec<f64>,
    pub second: Vec<f64>,
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
            near: Vec::new(),
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
        let mut judgement = Judgement::nothing(focus, evidence);
        judgement.impossible = self.impossible(evidence, &plan);
        let fit = self.fit(&plan, &plan);
        judgement.effective_golfers = fit.effective;
        judgement.refined = !fit.second.is_empty();
        judgement.causes = self.rank(&fit);
        let leader = judgement.causes.first().map_or(0.0, |c| c.at_work);
        judgement.little_to_go_on = leader < STANDS_OUT;
        let looked_for = self.looked_for(focus);
        let near_part: f64 = fit.second.iter().sum();
        let n_second = (near_part * SAMPLE as f64).round() as usize;
        let mut means = Means::new(&self.ground.model);
        let Self {
            ground,
            worlds,
            near,
            ..
        } = self;
        let first = worlds
            .get_mut(&fit.known)
            .map(|w| (w, &fit.first, SAMPLE - n_second));
        let second = near
            .first_mut()
            .map(|n| (&mut n.world, &fit.second, n_second));
        for (world, share, count) in first.into_iter().chain(second) {
            if share.is_empty() {
                continue;
            }
            judgement.none += (0..world.population.count)
                .filter(|&i| world.population.causes_of(i).is_empty())
                .filter_map(|i| share.get(i))
                .sum::<f64>();
            let drawn = resample(share, count);
            judgement
                .members
                .extend(drawn.iter().map(|&i| world.population.member(i)));
            for &symptom in &looked_for {
                let chances = world.chances_of(ground, symptom, focus, &drawn);
                let found = judgement.found.entry(symptom).or_default();
                found.extend(chances.unwrap_or_else(|| vec![0.0; drawn.len()]));
            }
            if let Some(rows) = world.rows(ground, focus) {
                means.add(rows, share, &drawn);
            }
        }
        for (cause, root) in roots(&judgement.members, &self.sources) {
            if let Some(ranked) = judgement.causes.iter_mut().find(|c| c.cause == cause) {
                ranked.root = Some(root);
            }
        }
        if let Some(tables) = self.ground.table(focus) {
            means.describe(&tables.usual, &mut judgement);
        }
        for round in &mut self.near {
            round.world.keep_rows(focus);
        }
        judgement
    }

    /// The symptoms that checks of a group look for, each once.
    fn looked_for(&self, focus: GroupId) -> Vec<SymptomId> {
        let checks = self.ground.model.checks.iter();
        let mut out: Vec<SymptomId> = checks
            .filter(|c| c.tells.is_empty() && (c.groups.is_empty() || c.groups.contains(&focus)))
            .filter_map(|c| c.finds)
            .filter(|s| self.ground.visible(*s, focus))
            .collect();
        out.sort_unstable();
        out.dedup();
        out
    }

    /// The ranking alone, without what a [`Judgement`] adds.
    pub(super) fn ranking(&mut self, evidence: &[Evidence], focus: GroupId) -> Vec<RankedCause> {
        let plan = Plan::new(&self.ground.model, evidence, focus);
        let fit = self.fit(&plan, &plan);
        self.rank(&fit)
    }

    /// The ranking by the first round only: quick, for searches whose result is then tried.
    pub(super) fn rough_ranking(
        &mut self,
        evidence: &[Evidence],
        focus: GroupId,
    ) -> Vec<RankedCause> {
        let plan = Plan::new(&self.ground.model, evidence, focus);
        let known = plan.known();
        let weights = self.first_round(&plan, &known);
        let fit = Fit {
            known,
            effective: weights.effective,
            first: weights.share,
            second: Vec::new(),
        };
        self.rank(&fit)
    }

    fn first_round(&mut self, plan: &Plan, known: &[CauseId]) -> Weights {
        match self.world(known) {
            Some((world, ground)) => world.weights(ground, plan),
            None => weigh(&[], &[]),
        }
    }

    /// How well the golfers fit part of the evidence. If too few of the first round fit, those of
    /// a second round, drawn for the whole evidence, are added; the two rounds count by their
    /// effective numbers.
    pub(super) fn fit(&mut self, part: &Plan, whole: &Plan) -> Fit {
        let known = part.known();
        let first = self.first_round(part, &known);
        let alone = |first: Weights, known: Vec<CauseId>| Fit {
            known,
            effective: first.effective,
            first: first.share,
            second: Vec::new(),
        };
        if first.effective >= ENOUGH || first.effective < 1.0 {
            return alone(first, known);
        }
        if part.items == whole.items {
            self.second_round(whole, &known, &first);
        }
        let Self { ground, near, .. } = self;
        let Some(second) = near.first_mut().filter(|n| n.serves == whole.items) else {
            return alone(first, known);
        };
        let again = second.world.weights(ground, part);
        let effective = first.effective + again.effective;
        let counted = |weights: Weights| {
            let part = weights.effective / effective;
            weights.share.into_iter().map(|w| w * part).collect()
        };
        Fit {
            known,
            effective,
            first: counted(first),
            second: counted(again),
        }
    }

    /// Puts the second round for this evidence first: the one for what was told, while enough of its
    /// golfers fit the answers too, else one of its own. Which it is follows from the evidence alone.
    fn second_round(&mut self, plan: &Plan, known: &[CauseId], first: &Weights) {
        let listed = |world: &World| world.population.exact;
        if self.worlds.get(known).is_none_or(listed) {
            return;
        }
        if let Some(told) = &plan.without_answers {
            let all = self.first_round(told, known);
            if (1.0..SOON).contains(&all.effective) {
                self.draw_near(told, known, &all);
                let Self { ground, near, .. } = self;
                if let Some(round) = near.first_mut() {
                    let again = round.world.weights(ground, plan);
                    if first.effective + again.effective >= SERVES {
                        round.serves.clone_from(&plan.items);
                        return;
                    }
                }
            }
        }
        self.draw_near(plan, known, first);
    }

    /// Puts the second round drawn for this evidence first, drawing it unless it is there.
    fn draw_near(&mut self, plan: &Plan, known: &[CauseId], first: &Weights) {
        let Self {
            ground,
            worlds,
            near,
            sources,
            ..
        } = self;
        if let Some(at) = near.iter().position(|n| n.drawn_for == plan.items) {
            if let Some(there) = near.get_mut(..=at) {
                there.rotate_right(1);
            }
        } else if let Some(world) = worlds.get_mut(known) {
            near.truncate(ROUNDS - 1);
            let pull = Pull::new(ground, plan);
            let guide = pull.as_ref().map(|pull| world.guide(ground, plan, pull));
            let share = guide.as_ref().map_or(&first.share, |guide| &guide.share);
            let ancestors = resample(share, ANCESTORS);
            let bits = if pull.is_some() {
                MEASURED_BITS
            } else {
                NEAR_BITS
            };
            let population = world.population.near(
                sources,
                &ground.normal,
                share,
                &ancestors,
                (bits, SEED + 2),
                pull.as_ref().map(|pull| (pull, &*ground)),
            );
            let round = Near {
                drawn_for: plan.items.clone(),
                serves: Vec::new(),
                world: World::new(population),
            };
            near.insert(0, round);
        }
        if let Some(round) = near.first_mut() {
            round.serves.clone_from(&plan.items);
        }
    }

    /// The rounds of a fit: population and shares.
    fn rounds<'a>(&'a self, fit: &'a Fit) -> impl Iterator<Item = (&'a Population, &'a [f64])> {
        let first = self
            .worlds
            .get(&fit.known)
            .map(|w| (&*w.population, fit.first.as_slice()));
        let second = self
            .near
            .first()
            .map(|n| (&*n.world.population, fit.second.as_slice()));
        first
            .into_iter()
            .chain(second)
            .filter(|(_, share)| !share.is_empty())
    }

    /// The probability of a cause and the sum of squared shares of those who have it.
    pub(super) fn probability(&self, fit: &Fit, cause: CauseId) -> (f64, f64) {
        let (mut p, mut squares) = (0.0, 0.0);
        for (population, share) in self.rounds(fit) {
            if let Some(column) = population.present.get(cause.index()) {
                for w in column.members().filter_map(|i| share.get(i)) {
                    p += w;
                    squares += w * w;
                }
            }
        }
        (p.clamp(0.0, 1.0), squares)
    }

    /// All causes with probability, error and at-work share, ranked.
    fn rank(&self, fit: &Fit) -> Vec<RankedCause> {
        let all = 1.0 / fit.effective.max(1.0);
        let floor = 0.5 * all.sqrt();
        let exact = self.rounds(fit).all(|(population, _)| population.exact);
        let odds = |p: f64| p / (1.0 - p).max(1e-12);
        let mut causes: Vec<RankedCause> = self
            .prior
            .iter()
            .enumerate()
            .map(|(c, &prior)| {
                let cause = CauseId::from_index(c);
                let (p, squares) = self.probability(fit, cause);
                let se = ((1.0 - p).powi(2) * squares + p * p * (all - squares).max(0.0)).sqrt();
                let raised = odds(p) / odds(prior).max(1e-12);
                let at_work = if raised > 1.0 {
                    p * (1.0 - 1.0 / raised)
                } else {
                    0.0
                };
                RankedCause {
                    cause,
                    probability: p,
                    error: if exact { 0.0 } else { se.max(floor) },
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
    fn impossible(&mut self, evidence: &[Evidence], plan: &Plan) -> Vec<usize> {
        let known = plan.known();
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
                Evidence::Measured { .. } => self.far_from_all(item, &known),
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
        let Some(column) = world.column(ground, axis, group) else {
            return false;
        };
        let near: f64 = column
            .iter()
            .zip(&weights.share)
            .filter(|(x, _)| ((**x - value) / error).abs() < FAR)
            .map(|(_, w)| w)
            .sum();
        near < SCARCE
    }
}

/// `count` golfers drawn by weight at even steps: each comes up within one of its share.
pub(super) fn resample(share: &[f64], count: usize) -> Vec<usize> {
    let mut drawn = Vec::with_capacity(count);
    // One round's part of a fit of two does not add up to one.
    let all: f64 = share.iter().sum();
    let (mut sum, mut next) = (0.0, 0.5);
    for (i, w) in share.iter().enumerate() {
        sum += w / all * count as f64;
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

#[cfg(test)]
mod tests {
    use super::resample;

    /// One round of two adds up to its part only; the golfers drawn are still those of its weights.
    #[test]
    fn a_part_is_drawn_as_the_whole_is() {
        let whole = [0.5, 0.25, 0.125, 0.125, 0.0];
        let part = whole.map(|w| 0.3 * w);
        assert_eq!(resample(&part, 40), resample(&whole, 40));
        let last = resample(&part, 40).iter().filter(|i| **i == 3).count();
        assert_eq!(last, 5);
    }
}
