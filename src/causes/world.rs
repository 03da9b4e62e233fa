//! A population with everything that has been read off it: rows of rates and axes by club group,
//! chances of mention by symptom, each worked out when first needed.
//!
//! Working out runs on two threads; every golfer's numbers depend on that golfer alone, so the
//! split cannot show. Knows nothing of weights or ranking.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::model::{Axis, Between, Model};
use super::population::Population;
use super::quantities::{AXES, Axes, GroupTables};
use super::report::{self, Mention, Rows};
use super::scores::Normal;
use super::shots::{self, EVENTS};
use crate::beside::each;
use crate::vocabulary::{CauseId, GroupId, SymptomId};

/// Golfers whose rates set the usual shares.
pub(super) const CALM_BITS: u32 = 10;

/// What does not depend on the population.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    pub model: Model,
    pub tables: Vec<GroupTables>,
    pub normal: Normal,
    pub habits: Vec<CauseId>,
    pub calm: Population,
    pub calm_normal: Normal,
    calm_rows: BTreeMap<GroupId, Rows>,
    mentions: BTreeMap<(SymptomId, GroupId), Mention>,
}

impl Ground {
    pub(super) fn new(
        model: Model,
        tables: Vec<GroupTables>,
        normal: Normal,
        calm: Population,
        calm_normal: Normal,
    ) -> Self {
        let habits = (0..model.causes.len())
            .filter(|&c| model.causes.get(c).is_some_and(|cause| cause.habit))
            .map(CauseId::from_index)
            .collect();
        Self {
            model,
            tables,
            normal,
            habits,
            calm,
            calm_normal,
            calm_rows: BTreeMap::new(),
            mentions: BTreeMap::new(),
        }
    }

    /// The tables of a group, if there is such a group.
    pub(super) fn table(&self, group: GroupId) -> Option<&GroupTables> {
        self.tables.get(group.index())
    }

    /// Whether a symptom can be seen with a group.
    pub(super) fn visible(&self, symptom: SymptomId, group: GroupId) -> bool {
        self.model
            .symptoms
            .get(symptom.index())
            .is_some_and(|s| s.groups.is_empty() || s.groups.contains(&group))
    }

    /// The mention curve of a symptom that geometry decides.
    fn mention(&mut self, symptom: SymptomId, group: GroupId) -> Option<&Mention> {
        let model = self.model.symptoms.get(symptom.index())?;
        let seen = model.seen.as_ref()?;
        let tables = self.tables.get(group.index())?;
        let rows = self
            .calm_rows
            .entry(group)
            .or_insert_with(|| rows(&self.calm, tables, &self.model, group, &self.calm_normal));
        Some(self.mentions.entry((symptom, group)).or_insert_with(|| {
            let calm: Vec<f32> = (0..self.calm.count)
                .map(|i| {
                    report::shows(
                        seen,
                        rows.rates_of(i),
                        rows.axes_of(i),
                        &tables.usual,
                        &self.calm_normal,
                    )
                })
                .collect();
            Mention::new(model, &self.model.settings, &calm)
        }))
    }
}

/// A population and what was read off it so far. A copy shares what is there.
#[derive(Debug, Clone)]
pub(super) struct World {
    pub population: Arc<Population>,
    rows: BTreeMap<GroupId, Arc<Rows>>,
    chances: BTreeMap<(SymptomId, GroupId), Arc<[f32]>>,
    shown: BTreeMap<(SymptomId, GroupId), Arc<[f32]>>,
    silence: BTreeMap<GroupId, Arc<[f32]>>,
    /// Axes that were measured.
    columns: BTreeMap<(Axis, GroupId), Arc<[f32]>>,
}

impl World {
    pub(super) fn new(population: Population) -> Self {
        Self {
            population: Arc::new(population),
            rows: BTreeMap::new(),
            chances: BTreeMap::new(),
            shown: BTreeMap::new(),
            silence: BTreeMap::new(),
            columns: BTreeMap::new(),
        }
    }

    /// Rows of a group, worked out when first asked for.
    pub(super) fn rows(&mut self, ground: &Ground, group: GroupId) -> Option<&Rows> {
        let tables = ground.table(group)?;
        let population = &self.population;
        Some(self.rows.entry(group).or_insert_with(|| {
            let rows = rows(population, tables, &ground.model, group, &ground.normal);
            Arc::new(rows)
        }))
    }

    /// Gives the room of the rows of other groups back; they are worked out again if asked for.
    pub(super) fn keep_rows(&mut self, wanted: GroupId) {
        self.rows.retain(|group, _| *group == wanted);
    }

    /// An axis of all golfers with a group, kept for further turns.
    pub(super) fn column(
        &mut self,
        ground: &Ground,
        axis: Axis,
        group: GroupId,
    ) -> Option<Arc<[f32]>> {
        if !self.columns.contains_key(&(axis, group)) {
            let column = self.rows(ground, group)?.axis(axis).collect();
            self.columns.insert((axis, group), column);
        }
        self.columns.get(&(axis, group)).cloned()
    }

    /// An axis of one golfer with a group whose column is there; 0 if it is not.
    pub(super) fn axis(&self, golfer: usize, axis: Axis, group: GroupId) -> f32 {
        let column = self.columns.get(&(axis, group));
        column.and_then(|c| c.get(golfer).copied()).unwrap_or(0.0)
    }

    /// Gives the only golfer of this world its numbers with a group.
    pub(super) fn set_rows(
        &mut self,
        ground: &Ground,
        group: GroupId,
        axes: &[f32],
        rates: &[f32],
    ) {
        let stride = ground.model.effects.len().div_ceil(64).max(1);
        let rows = Rows {
            axes: axes.to_vec(),
            rates: rates.to_vec(),
            effects: vec![0; stride],
            stride,
        };
        self.rows.insert(group, Arc::new(rows));
    }

    /// Rates at which golfers show a symptom; `None` if geometry does not decide it.
    pub(super) fn shown(
        &mut self,
        ground: &Ground,
        symptom: SymptomId,
        group: GroupId,
    ) -> Option<&[f32]> {
        let seen = ground.model.symptoms.get(symptom.index())?.seen.as_ref()?;
        let usual = ground.table(group)?.usual;
        if !self.shown.contains_key(&(symptom, group)) {
            let count = self.population.count;
            let rows = self.rows(ground, group)?;
            let shown = each(count, |i| {
                report::shows(
                    seen,
                    rows.rates_of(i),
                    rows.axes_of(i),
                    &usual,
                    &ground.normal,
                )
            });
            self.shown.insert((symptom, group), shown.into());
        }
        self.shown.get(&(symptom, group)).map(|shown| &**shown)
    }

    /// Chances that golfers mention a symptom, kept for further turns.
    pub(super) fn chances(
        &mut self,
        ground: &mut Ground,
        symptom: SymptomId,
        group: GroupId,
    ) -> Option<&[f32]> {
        if !self.chances.contains_key(&(symptom, group)) {
            let chances = self.work_out(ground, symptom, group)?;
            self.chances.insert((symptom, group), chances.into());
        }
        self.chances.get(&(symptom, group)).map(|all| &**all)
    }

    /// Chances that some golfers mention a symptom, without working out all others.
    pub(super) fn chances_of(
        &mut self,
        ground: &mut Ground,
        symptom: SymptomId,
        group: GroupId,
        golfers: &[usize],
    ) -> Option<Vec<f32>> {
        if let Some(all) = self.chances.get(&(symptom, group)) {
            return Some(
                golfers
                    .iter()
                    .filter_map(|i| all.get(*i).copied())
                    .collect(),
            );
        }
        let mention = ground.mention(symptom, group).cloned();
        let usual = ground.table(group)?.usual;
        self.rows(ground, group)?;
        let rows = self.rows.get(&group)?;
        let model = ground.model.symptoms.get(symptom.index())?;
        let chance = |&i: &usize| {
            let geometry = mention
                .as_ref()
                .zip(model.seen.as_ref())
                .map(|(curve, seen)| {
                    let (rates, axes) = (rows.rates_of(i), rows.axes_of(i));
                    curve.chance(report::shows(seen, rates, axes, &usual, &ground.normal))
                });
            report::told_by(
                model,
                &ground.model.settings,
                &ground.habits,
                self.population.causes_of(i),
                geometry,
            )
        };
        Some(golfers.iter().map(chance).collect())
    }

    fn work_out(
        &mut self,
        ground: &mut Ground,
        symptom: SymptomId,
        group: GroupId,
    ) -> Option<Vec<f32>> {
        let count = self.population.count;
        let mention = ground.mention(symptom, group).cloned();
        let model = ground.model.symptoms.get(symptom.index())?;
        let mut chances = match (mention, &model.seen) {
            (Some(mention), Some(seen)) => {
                let usual = ground.table(group)?.usual;
                let rows = self.rows(ground, group)?;
                let normal = &ground.normal;
                each(count, |i| {
                    let (rates, axes) = (rows.rates_of(i), rows.axes_of(i));
                    mention.chance(report::shows(seen, rates, axes, &usual, normal))
                })
            }
            _ => vec![0.0; count],
        };
        report::tell(
            model,
            &ground.model.settings,
            &self.population,
            &ground.habits,
            &mut chances,
        );
        Some(chances)
    }

    /// Log-likelihood of mentioning none of the common symptoms of a group, before its weight.
    pub(super) fn silence(&mut self, ground: &mut Ground, group: GroupId) -> &[f32] {
        if !self.silence.contains_key(&group) {
            let mut unsaid = vec![1.0f64; self.population.count];
            for symptom in common(&ground.model, group) {
                let kept = self.chances.get(&(symptom, group)).cloned();
                let mut new = || self.work_out(ground, symptom, group).map(Arc::from);
                if let Some(chances) = kept.or_else(&mut new) {
                    for (product, &p) in unsaid.iter_mut().zip(&*chances) {
                        *product *= f64::from(1.0 - p);
                    }
                }
            }
            let logs = unsaid
                .into_iter()
                .map(|p| p.ln() as f32)
                .collect::<Arc<[f32]>>();
            self.silence.insert(group, logs);
        }
        self.silence.get(&group).map_or(&[], |logs| &**logs)
    }
}

/// Usual share from which a symptom is common: not being mentioned then says a little.
const COMMON: f64 = 0.08;

/// The symptoms whose absence from a report counts, by id.
pub(super) fn common(model: &Model, group: GroupId) -> Vec<SymptomId> {
    model
        .symptoms
        .iter()
        .enumerate()
        .filter(|(_, s)| {
            s.seen.is_some()
                && s.usual >= COMMON
                && (s.groups.is_empty() || s.groups.contains(&group))
        })
        .map(|(i, _)| SymptomId::from_index(i))
        .collect()
}

/// Rates, axes and effects of every golfer with one group, on two threads.
fn rows(
    population: &Population,
    tables: &GroupTables,
    model: &Model,
    group: GroupId,
    normal: &Normal,
) -> Rows {
    let count = population.count;
    let stride = model.effects.len().div_ceil(64).max(1);
    let mut rows = Rows {
        axes: vec![0.0; count * AXES],
        rates: vec![0.0; count * EVENTS],
        effects: vec![0; count * stride],
        stride,
    };
    let half = count.div_ceil(2).max(1);
    let fill = |start: usize, axes: &mut [f32], rates: &mut [f32], effects: &mut [u64]| {
        let each = axes
            .chunks_exact_mut(AXES)
            .zip(rates.chunks_exact_mut(EVENTS))
            .zip(effects.chunks_exact_mut(stride));
        for (i, ((axes, rates), effects)) in each.enumerate() {
            let a = tables.axes(&population.golfer(start + i), normal);
            axes.copy_from_slice(&a);
            rates.copy_from_slice(&shots::rates(tables, &a, normal));
            for (e, effect) in model.effects.iter().enumerate() {
                let tests = effect
                    .any_of
                    .get(group.index())
                    .map_or(&[][..], Vec::as_slice);
                if tests.iter().any(|test| holds(test, &a, &tables.usual))
                    && let Some(word) = effects.get_mut(e / 64)
                {
                    *word |= 1 << (e % 64);
                }
            }
        }
    };
    let (axes_a, axes_b) = rows.axes.split_at_mut(half * AXES);
    let (rates_a, rates_b) = rows.rates.split_at_mut(half * EVENTS);
    let (effects_a, effects_b) = rows.effects.split_at_mut(half * stride);
    if count < 256 {
        fill(0, axes_a, rates_a, effects_a);
        fill(half, axes_b, rates_b, effects_b);
    } else {
        std::thread::scope(|scope| {
            scope.spawn(|| fill(half, axes_b, rates_b, effects_b));
            fill(0, axes_a, rates_a, effects_a);
        });
    }
    rows
}

/// Whether a golfer's axes pass one test of an effect.
pub(super) fn holds(test: &Between, axes: &[f32], usual: &Axes) -> bool {
    let at = test.axis as usize;
    let from = if test.relative {
        usual.get(at).copied().unwrap_or(0.0)
    } else {
        0.0
    };
    let value = f64::from(axes.get(at).copied().unwrap_or(0.0) - from);
    value >= test.from && value <= test.to
}
