//! What a cause by itself implies, and golfers to learn from.
//!
//! A cause is put into golfers who have nothing else (what it leads to follows by the links) and
//! the share that shows each effect and mentions each symptom is set beside that of golfers with
//! nothing at work. So the strengths a coach may argue with are read off the physical sizes, never
//! stated. Knows nothing of evidence.

use super::model::{Axis, Event};
use super::population::Population;
use super::posterior::{Simulation, on_axis};
use super::quantities::AXES;
use super::report;
use super::scores::{Normal, mix, place};
use super::shots;
use super::world::{CALM_BITS, World, holds};
use crate::quantity::Amount;
use crate::vocabulary::{CauseId, CheckId, EffectId, GroupId, SymptomId};

/// An effect with and without a cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ImpliedEffect {
    /// Which.
    pub effect: EffectId,
    /// Its probability in golfers with this cause and nothing else of its own accord.
    pub with: f64,
    /// Its probability in golfers with nothing at work.
    pub without: f64,
}

/// A symptom with and without a cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ImpliedSymptom {
    /// Which.
    pub symptom: SymptomId,
    /// Chance of a mention with the cause.
    pub with: f64,
    /// Chance of a mention with nothing at work.
    pub without: f64,
}

/// What a cause implies with one club group.
#[derive(Debug, Clone, PartialEq)]
pub struct Implied {
    /// Every effect, by id.
    pub effects: Vec<ImpliedEffect>,
    /// Every symptom that can be seen with the group, by id.
    pub symptoms: Vec<ImpliedSymptom>,
}

/// A golfer with hidden causes.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// What is at work, by id.
    pub causes: Vec<CauseId>,
    /// Rates of all events.
    pub rates: Vec<(Event, f64)>,
    /// All axes.
    pub axes: Vec<(Axis, Amount)>,
    /// Effects that hold.
    pub effects: Vec<EffectId>,
    /// For each symptom that can be seen with the group: the chance that this golfer mentions it.
    pub symptoms: Vec<(SymptomId, f64)>,
}

/// Seeds of golfers for learning lie apart from the population's.
const CASES: u64 = 0x0043_4153_4553;

impl Simulation {
    /// What a cause implies with a club group.
    pub fn implied(&mut self, cause: CauseId, group: GroupId) -> Implied {
        let with = self.shares(&[cause], group);
        let without = self.shares(&[], group);
        Implied {
            effects: with
                .0
                .iter()
                .zip(&without.0)
                .enumerate()
                .map(|(e, (&with, &without))| ImpliedEffect {
                    effect: EffectId::from_index(e),
                    with,
                    without,
                })
                .collect(),
            symptoms: with
                .1
                .iter()
                .zip(&without.1)
                .map(|(&(symptom, with), &(_, without))| ImpliedSymptom {
                    symptom,
                    with,
                    without,
                })
                .collect(),
        }
    }

    /// Shares of effects and mentions among golfers with just these causes of their own accord.
    fn shares(&mut self, causes: &[CauseId], group: GroupId) -> (Vec<f64>, Vec<(SymptomId, f64)>) {
        let normal = Normal::new(CALM_BITS);
        let population = Population::draw(&self.sources.only(causes), &normal, CASES + 1, &[]);
        let mut world = World::new(population);
        let ground = &mut self.ground;
        let usual_normal = std::mem::replace(&mut ground.normal, normal);
        let n = world.population.count as f64;
        let mut effects = vec![0.0; ground.model.effects.len()];
        if let Some(rows) = world.rows(ground, group) {
            for words in rows.effects.chunks_exact(rows.stride) {
                for (e, share) in effects.iter_mut().enumerate() {
                    if words.get(e / 64).is_some_and(|w| w >> (e % 64) & 1 == 1) {
                        *share += 1.0 / n;
                    }
                }
            }
        }
        let mut symptoms = Vec::new();
        for s in (0..ground.model.symptoms.len()).map(SymptomId::from_index) {
            if ground.visible(s, group)
                && let Some(chances) = world.chances(ground, s, group)
            {
                symptoms.push((s, chances.iter().map(|&p| f64::from(p)).sum::<f64>() / n));
            }
        }
        ground.normal = usual_normal;
        (effects, symptoms)
    }

    /// The chance that a golfer with these causes (by id) answers a check with yes; one half for an
    /// unknown check.
    pub fn answers_yes(&self, check: CheckId, causes: &[CauseId]) -> f64 {
        self.ground
            .model
            .checks
            .get(check.index())
            .map_or(0.5, |asked| {
                report::says_yes(asked, |cause| causes.binary_search(&cause).is_ok())
            })
    }

    /// One golfer of the population with a club group, the same for the same number; drawn from
    /// the prior, apart from the golfers that judgements use.
    pub fn case(&mut self, number: u64, group: GroupId) -> Case {
        let normal = Normal::new(CALM_BITS);
        let seed = mix(CASES, number >> CALM_BITS);
        let population = Population::from_prior(&self.sources, &normal, seed);
        let index = place(seed, (number & ((1 << CALM_BITS) - 1)) as u32, CALM_BITS) as usize;
        let single = population.single(index);
        let mut case = Case {
            causes: single.causes_of(0).to_vec(),
            rates: Vec::new(),
            axes: Vec::new(),
            effects: Vec::new(),
            symptoms: Vec::new(),
        };
        let Some(tables) = self.ground.table(group) else {
            return case;
        };
        let mut axes = [0.0; AXES];
        axes.copy_from_slice(&tables.axes(&population.golfer(index), &normal));
        let rates = shots::rates(tables, &axes, &normal);
        case.rates = Event::ALL
            .iter()
            .map(|(e, _)| *e)
            .zip(rates.map(f64::from))
            .collect();
        case.axes = Axis::ALL
            .iter()
            .zip(axes)
            .map(|(&(axis, ..), x)| (axis, on_axis(axis, f64::from(x))))
            .collect();
        case.effects = self
            .ground
            .model
            .effects
            .iter()
            .enumerate()
            .filter(|(_, effect)| {
                let tests = effect
                    .any_of
                    .get(group.index())
                    .map_or(&[][..], Vec::as_slice);
                tests.iter().any(|test| holds(test, &axes, &tables.usual))
            })
            .map(|(e, _)| EffectId::from_index(e))
            .collect();
        let mut world = World::new(single);
        world.set_rows(&self.ground, group, &axes, &rates);
        for s in (0..self.ground.model.symptoms.len()).map(SymptomId::from_index) {
            if self.ground.visible(s, group)
                && let Some(p) = world
                    .chances(&mut self.ground, s, group)
                    .and_then(|c| c.first().copied())
            {
                case.symptoms.push((s, f64::from(p)));
            }
        }
        case
    }
}
