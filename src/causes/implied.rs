//! What a cause by itself implies.
//!
//! A cause is put into golfers who have nothing else (what it leads to follows by the links) and
//! the share that shows each effect and mentions each symptom is set beside that of golfers with
//! nothing at work. So the strengths a coach may argue with are read off the physical sizes, never
//! stated. Knows nothing of evidence.

use super::population::Population;
use super::posterior::Simulation;
use super::scores::Normal;
use super::world::{CALM_BITS, World};
use crate::vocabulary::{CauseId, EffectId, GroupId, SymptomId};

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

/// The seed of the golfers looked at; apart from the population's.
const ALONE: u64 = 0x0043_4153_4554;

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
        let population = Population::draw(&self.sources.only(causes), &normal, ALONE, &[]);
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
}
