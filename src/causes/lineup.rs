//! Golfers to learn from: drawn from the same population as every judgement, apart from its golfers.
//!
//! A [`Lineup`] is a block of golfers straight from the prior; a number names one of them for good.
//! Each can be seen with any club group, as it is or with causes gone and axes moved
//! ([`Simulation::case_of`]), and can be watched hitting shots ([`Simulation::shots_of`]): a shot uses
//! the limits behind the rates, so that many shots come to the rates (a test holds them to it).
//! Invariant: same number, same golfer. The caller brings the chances; nothing is drawn here. Knows
//! nothing of evidence or of what a learner sees.

use super::judgement::on_axis;
use super::model::{Axis, Change, Event};
use super::population::Population;
use super::posterior::Simulation;
use super::quantities::INCH;
use super::scores::{Normal, mix, place, score_at};
use super::shots::{self, Dice};
use super::what_if::Sorted;
use super::world::{CALM_BITS, Ground, World, holds};
use crate::quantity::Amount;
use crate::vocabulary::{CauseId, EffectId, GroupId, SymptomId};

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

/// A block of golfers.
#[derive(Debug, Clone)]
pub struct Lineup {
    block: u64,
    seed: u64,
    population: Population,
    normal: Normal,
}

/// One shot as it was.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// Everything that happened.
    pub events: Vec<Event>,
    /// The delivery: low point, attack angle, path, face, loft, strike across, arc height.
    pub axes: Vec<(Axis, Amount)>,
    /// Where the turf was met, if before the ball, as a distance behind it.
    pub turf_entry: Option<Amount>,
}

impl Shot {
    /// Whether it happened.
    pub fn shows(&self, event: Event) -> bool {
        self.events.contains(&event)
    }
}

/// Seeds of golfers for learning lie apart from the population's.
const CASES: u64 = 0x0043_4153_4553;
/// Golfers in a block.
const BLOCK: u64 = 1 << CALM_BITS;

/// The strikes, of which every shot has exactly one; a sky and a drop-kick only off a tee.
pub const STRIKES: [Event; 8] = [
    Event::Whiff,
    Event::Topped,
    Event::Sky,
    Event::DropKick,
    Event::Fat,
    Event::SlightlyHeavy,
    Event::Thin,
    Event::Clean,
];
/// The turf marks, of which every shot from the turf has exactly one.
pub const MARKS: [Event; 6] = [
    Event::MarkFarBehind,
    Event::MarkBehind,
    Event::MarkLevel,
    Event::MarkAhead,
    Event::MarkFarAhead,
    Event::NoMark,
];

/// Events that are worked out over many shots and that a single [`Shot`] does not show.
pub const NOT_OF_ONE_SHOT: [Event; 5] = [
    Event::Balloons,
    Event::Dives,
    Event::ShortByMishit,
    Event::Flyer,
    Event::Sting,
];

impl Lineup {
    /// Whether the golfer of this number stands in it.
    pub const fn holds(&self, number: u64) -> bool {
        number / BLOCK == self.block
    }

    fn index(&self, number: u64) -> usize {
        place(self.seed, (number % BLOCK) as u32, CALM_BITS) as usize
    }

    /// What is at work in a golfer, by id.
    pub fn causes(&self, number: u64) -> &[CauseId] {
        self.population.causes_of(self.index(number))
    }
}

impl Simulation {
    /// The block of golfers that this number stands in.
    pub fn lineup(&self, number: u64) -> Lineup {
        let block = number / BLOCK;
        let normal = Normal::new(CALM_BITS);
        let seed = mix(CASES, block);
        let population = Population::from_prior(&self.sources, &normal, seed);
        Lineup {
            block,
            seed,
            population,
            normal,
        }
    }

    /// One golfer of the population with a club group, the same for the same number; drawn from
    /// the prior, apart from the golfers that judgements use.
    pub fn case(&mut self, number: u64, group: GroupId) -> Case {
        let lineup = self.lineup(number);
        self.case_of(&lineup, number, group, &[])
    }

    /// A golfer of a lineup with a club group after some changes.
    pub fn case_of(
        &mut self,
        lineup: &Lineup,
        number: u64,
        group: GroupId,
        changes: &[Change],
    ) -> Case {
        let member = lineup.population.member(lineup.index(number));
        let changed = Sorted::of(changes);
        let causes = changed.causes(&member, &self.sources, number);
        let group = changed.club.unwrap_or(group);
        let mut case = Case {
            causes: causes.to_vec(),
            rates: Vec::new(),
            axes: Vec::new(),
            effects: Vec::new(),
            symptoms: Vec::new(),
        };
        let Some(tables) = self.ground.table(group) else {
            return case;
        };
        let axes = tables.moved(&member.golfer_with(&causes), &lineup.normal, &changed.moved);
        let rates = shots::rates(tables, &axes, &lineup.normal);
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
        let mut single = lineup.population.single(lineup.index(number));
        if !changed.gone.is_empty() || !changed.come.is_empty() {
            single.set_causes(&causes);
        }
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

    /// Clean strikes and playable shots in a hundred of a golfer after some changes.
    pub fn play_of(
        &self,
        lineup: &Lineup,
        number: u64,
        group: GroupId,
        changes: &[Change],
    ) -> (f64, f64) {
        let member = lineup.population.member(lineup.index(number));
        let changed = Sorted::of(changes);
        let causes = changed.causes(&member, &self.sources, number);
        let group = changed.club.unwrap_or(group);
        let Some(tables) = self.ground.table(group) else {
            return (0.0, 0.0);
        };
        let axes = tables.moved(&member.golfer_with(&causes), &lineup.normal, &changed.moved);
        let rates = shots::rates(tables, &axes, &lineup.normal);
        let rate = |event: Event| 100.0 * f64::from(rates[event as usize]);
        (rate(Event::Clean), rate(Event::Playable))
    }

    /// The causes at work of their own accord from which a golfer's cause follows; none if it is at
    /// work of its own accord.
    pub fn roots_in(&self, lineup: &Lineup, number: u64, cause: CauseId) -> Vec<CauseId> {
        lineup
            .population
            .member(lineup.index(number))
            .roots_of(cause, &self.sources)
    }

    /// Shots of a golfer after some changes. `chance` gives numbers between 0 and 1; `poor` is a
    /// factor on the share of poor swings (1 on an ordinary day).
    pub fn shots_of(
        &self,
        (lineup, number): (&Lineup, u64),
        group: GroupId,
        changes: &[Change],
        (count, poor): (usize, f64),
        mut chance: impl FnMut() -> f64,
    ) -> Vec<Shot> {
        let member = lineup.population.member(lineup.index(number));
        let changed = Sorted::of(changes);
        let causes = changed.causes(&member, &self.sources, number);
        let group = changed.club.unwrap_or(group);
        let Some(tables) = self.ground.table(group) else {
            return Vec::new();
        };
        let axes = tables.moved(&member.golfer_with(&causes), &lineup.normal, &changed.moved);
        let tail = (tables.model.tail_share * poor).clamp(0.0, 0.5);
        (0..count)
            .map(|_| {
                let mut score = || score_at(chance()) as f32;
                let [low, height, loft, swing, face, across] = std::array::from_fn(|_| score());
                let dice = Dice {
                    low,
                    height,
                    loft,
                    swing,
                    face,
                    across,
                    poor: chance() < tail,
                };
                let one = shots::one(tables, &axes, &dice);
                let mut events: Vec<Event> = [strike(&one.rates, &mut chance)].to_vec();
                if !tables.model.teed {
                    events.push(pick(&MARKS, &one.rates, &mut chance));
                }
                for (event, _) in Event::ALL {
                    let rate = f64::from(one.rates[event as usize]);
                    let settled = STRIKES.contains(&event) || MARKS.contains(&event);
                    let shown = event < Event::LaunchSpread && !NOT_OF_ONE_SHOT.contains(&event);
                    if shown && !settled && rate > chance() {
                        events.push(event);
                    }
                }
                let millimetres = |value: f32| f64::from(value) / f64::from(INCH);
                let values = [
                    (Axis::LowPoint, millimetres(one.low)),
                    (Axis::ArcHeight, f64::from(one.height)),
                    (Axis::AttackAngle, f64::from(one.attack)),
                    (Axis::ClubPath, f64::from(one.path)),
                    (Axis::FaceAngle, f64::from(one.face)),
                    (Axis::FaceToPath, f64::from(one.face - one.path)),
                    (Axis::DeliveredLoft, f64::from(one.loft)),
                    (Axis::StrikeAcross, f64::from(one.across)),
                ];
                Shot {
                    events,
                    axes: values.map(|(a, x)| (a, on_axis(a, x))).to_vec(),
                    turf_entry: one
                        .entry_behind
                        .filter(|_| !tables.model.teed)
                        .map(|e| on_axis(Axis::LowPoint, millimetres(e))),
                }
            })
            .collect()
    }

    /// Whether a cause is a lie or the ground.
    pub fn is_condition(&self, cause: CauseId) -> bool {
        let model = self.ground.model.causes.get(cause.index());
        model.is_some_and(|m| m.condition)
    }

    /// The chance that a cause brings about another by links, and the share of golfers who have
    /// the other anyway.
    pub fn follows(&self, cause: CauseId, from: CauseId) -> (f64, f64) {
        let usual = self.prior.get(cause.index()).copied().unwrap_or(0.0);
        // Noisy-OR along the links, deepest first; few links are more than two deep.
        let mut reached: Vec<(CauseId, f64)> = vec![(from, 1.0)];
        for &at in self.graph.order() {
            if at == from {
                continue;
            }
            let not: f64 = self
                .graph
                .parents(at)
                .iter()
                .filter_map(|(parent, strength)| {
                    let (_, p) = reached.iter().find(|(c, _)| c == parent)?;
                    Some(1.0 - p * strength * self.ground.model.settings.link_scale)
                })
                .product();
            if not < 1.0 {
                reached.push((at, 1.0 - not));
            }
        }
        let by_links = reached
            .iter()
            .find(|(c, _)| *c == cause)
            .map_or(0.0, |r| r.1);
        (1.0 - (1.0 - by_links) * (1.0 - usual), usual)
    }

    /// Chance of a mention among golfers of a lineup with a fault, and among the others.
    pub fn seen_with(
        &mut self,
        lineup: &Lineup,
        group: GroupId,
        fault: EffectId,
        symptom: SymptomId,
    ) -> Option<(f64, f64)> {
        if !self.ground.visible(symptom, group) {
            return None;
        }
        self.split_by(lineup, group, fault, |world, ground| {
            world
                .chances(ground, symptom, group)
                .map(|c| c.iter().map(|p| f64::from(*p)).collect())
        })
    }

    /// Share of golfers with another fault among those with a fault, and among the others.
    pub fn fault_with(
        &mut self,
        lineup: &Lineup,
        group: GroupId,
        fault: EffectId,
        other: EffectId,
    ) -> Option<(f64, f64)> {
        self.split_by(lineup, group, fault, |world, ground| {
            let count = world.population.count;
            let rows = world.rows(ground, group)?;
            let has = |i: usize| rows.effects_of(i).any(|e| e == other.index());
            Some((0..count).map(|i| if has(i) { 1.0 } else { 0.0 }).collect())
        })
    }

    /// The mean of a number of each golfer among those with a fault and among the others.
    fn split_by(
        &mut self,
        lineup: &Lineup,
        group: GroupId,
        fault: EffectId,
        numbers: impl FnOnce(&mut World, &mut Ground) -> Option<Vec<f64>>,
    ) -> Option<(f64, f64)> {
        let mut world = World::new(lineup.population.clone());
        let usual = std::mem::replace(&mut self.ground.normal, lineup.normal.clone());
        let values = numbers(&mut world, &mut self.ground);
        let sides = values.and_then(|values| {
            let rows = world.rows(&self.ground, group)?;
            let (mut with, mut without) = ((0.0, 0.0), (0.0, 0.0));
            for (i, value) in values.iter().enumerate() {
                let side = if rows.effects_of(i).any(|e| e == fault.index()) {
                    &mut with
                } else {
                    &mut without
                };
                side.0 += value;
                side.1 += 1.0;
            }
            let mean = |(sum, n): (f64, f64)| if n > 0.0 { sum / n } else { 0.0 };
            Some((mean(with), mean(without)))
        });
        self.ground.normal = usual;
        sides
    }
}

/// The strike of one shot. A heavy blow whose sole skids comes out thin; off a tee a blow that meets
/// the ground first is a drop-kick.
fn strike(rates: &shots::Rates, chance: &mut impl FnMut() -> f64) -> Event {
    let rate = |event: Event| rates[event as usize];
    if rate(Event::DropKick) > 0.5 {
        return Event::DropKick;
    }
    pick(&STRIKES, rates, chance)
}

/// One of several of which exactly one happened, by their shares.
fn pick(of: &[Event], rates: &shots::Rates, chance: &mut impl FnMut() -> f64) -> Event {
    let total: f32 = of.iter().map(|e| rates[*e as usize]).sum();
    let mut left = chance() as f32 * total;
    for event in of {
        left -= rates[*event as usize];
        if left < 0.0 {
            return *event;
        }
    }
    of.last().copied().unwrap_or(Event::Clean)
}
