//! Who the simulated golfers are: which causes each has of its own accord, which links have acted,
//! and how each person differs.
//!
//! Takes the priors and links of the causes; gives a deterministic population with exact weights.
//! Own events are stratified, cause by cause, over the golfers; every second golfer has one cause
//! forced on it in turn, so that rare causes are represented, and the weight undoes that exactly
//! (a defensive mixture). A cause is present if its own event happened or if a present parent's
//! link acted: noisy-OR, with the link events kept, so that taking a cause away removes just what
//! exists because of it. Where causes move nothing and the sets can be counted, every set is
//! listed once with its exact probability.
//!
//! Invariant: weights times the chance of drawing equal the prior, golfer by golfer. Knows nothing
//! of clubs, shots or evidence.

use super::graph::CauseGraph;
use super::model::{CauseModel, Settings};
use super::scores::{Normal, mix, place, unit};
use crate::vocabulary::CauseId;

/// Personal deviations that golfers carry to every club.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Person {
    LowPoint,
    Height,
    Swing,
    Face,
    Loft,
    Across,
    Speed,
    Plane,
    Hub,
    Radius,
    Aim,
    Lie,
    Bounce,
    Regulation,
    LowPointSpread,
    HeightSpread,
    SwingSpread,
    FaceSpread,
    AcrossSpread,
    SpeedSpread,
    Friction,
    Response,
}

/// How many personal deviations there are.
pub(super) const PERSON: usize = 22;

/// Share of golfers drawn from the prior; the rest have one cause forced.
const FROM_PRIOR: f64 = 0.5;
/// How often a cause that is known to be there, but may come from another, is proposed outright.
const PROPOSE_KNOWN: f64 = 0.7;
/// Listing every set stops being quick beyond this many events.
const LISTED: usize = 18;

/// The independent events from which a golfer's causes follow.
#[derive(Debug, Clone)]
pub(super) struct Sources {
    /// Chance that each cause is at work of its own accord.
    pub own: Vec<f64>,
    /// Links in the order in which children are settled: parent, child, chance.
    pub links: Vec<(CauseId, CauseId, f64)>,
    order: Vec<CauseId>,
    /// Where the links into each cause start and end in `links`, by cause.
    into: Vec<(usize, usize)>,
    /// No cause shifts anything.
    still: bool,
}

impl Sources {
    /// The events of these causes; `graph` is the graph of the same causes.
    pub(super) fn new(causes: &[CauseModel], graph: &CauseGraph, settings: &Settings) -> Self {
        let own = causes
            .iter()
            .map(|c| (c.prior * c.prior_factor * settings.prior_scale).clamp(0.0, 1.0))
            .collect();
        let mut links = Vec::new();
        let mut into = vec![(0, 0); causes.len()];
        for &child in graph.order() {
            let start = links.len();
            for &(parent, strength) in graph.parents(child) {
                links.push((
                    parent,
                    child,
                    (strength * settings.link_scale).clamp(0.0, 1.0),
                ));
            }
            if let Some(slot) = into.get_mut(child.index()) {
                *slot = (start, links.len());
            }
        }
        Self {
            own,
            links,
            order: graph.order().to_vec(),
            into,
            still: causes.iter().all(|c| c.shifts.iter().all(Vec::is_empty)),
        }
    }

    /// The same links with no cause at work of its own accord.
    pub(super) fn without_causes(&self) -> Self {
        self.only(&[])
    }

    /// The same links with just these causes at work of their own accord, in every golfer.
    pub(super) fn only(&self, causes: &[CauseId]) -> Self {
        let mut own = vec![0.0; self.own.len()];
        for cause in causes {
            if let Some(p) = own.get_mut(cause.index()) {
                *p = 1.0;
            }
        }
        Self {
            own,
            still: false,
            ..self.clone()
        }
    }

    fn links_into(&self, cause: CauseId) -> impl Iterator<Item = (usize, CauseId)> {
        let (from, to) = self.into.get(cause.index()).copied().unwrap_or((0, 0));
        (from..to).filter_map(|l| self.links.get(l).map(|&(parent, _, _)| (l, parent)))
    }

    /// The links from these causes: their places, where they lead and how likely.
    pub(super) fn links_from<'s>(
        &'s self,
        causes: &'s [CauseId],
    ) -> impl Iterator<Item = (usize, CauseId, f64)> + 's {
        let links = self.links.iter().enumerate();
        links.filter_map(|(place, &(from, to, chance))| {
            causes.contains(&from).then_some((place, to, chance))
        })
    }

    fn open_events(&self) -> usize {
        let open = |p: &f64| *p > 0.0 && *p < 1.0;
        self.own.iter().filter(|p| open(p)).count()
            + self.links.iter().filter(|(_, _, p)| open(p)).count()
    }
}

/// One bit for every golfer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Column(Vec<u64>);

impl Column {
    fn empty(count: usize) -> Self {
        Self(vec![0; count.div_ceil(64)])
    }

    pub(super) fn set(&mut self, index: usize) {
        if let Some(word) = self.0.get_mut(index / 64) {
            *word |= 1 << (index % 64);
        }
    }

    pub(super) fn clear(&mut self, index: usize) {
        if let Some(word) = self.0.get_mut(index / 64) {
            *word &= !(1 << (index % 64));
        }
    }

    /// Whether the bit of this golfer is set.
    pub(super) fn has(&self, index: usize) -> bool {
        self.0
            .get(index / 64)
            .is_some_and(|w| w >> (index % 64) & 1 == 1)
    }

    /// The golfers whose bit is set, in order.
    pub(super) fn members(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().enumerate().flat_map(|(at, &word)| {
            let mut rest = word;
            std::iter::from_fn(move || {
                if rest == 0 {
                    return None;
                }
                let bit = rest.trailing_zeros() as usize;
                rest &= rest - 1;
                Some(at * 64 + bit)
            })
        })
    }
}

/// A set of golfers with exact weights.
#[derive(Debug, Clone)]
pub(super) struct Population {
    pub seed: u64,
    pub count: usize,
    pub own: Vec<Column>,
    pub acted: Vec<Column>,
    /// Which golfers have each cause, by cause.
    pub present: Vec<Column>,
    /// Causes of golfer `i`: `rows[starts[i]..starts[i + 1]]`, by id.
    rows: Vec<CauseId>,
    starts: Vec<u32>,
    pub person: Vec<f32>,
    /// Scores that were drawn otherwise than from seed and index, by golfer; empty if none were.
    set: Vec<Vec<(u64, f32)>>,
    /// Log of prior over proposal, by golfer.
    pub log_weight: Vec<f64>,
    /// Every set of causes is listed, so that shares are exact.
    pub exact: bool,
}

/// A golfer as the shot model sees it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Golfer<'a> {
    pub causes: &'a [CauseId],
    pub person: &'a [f32],
    pub seed: u64,
    pub index: u32,
    /// Scores that are not those of seed and index, by key.
    pub set: &'a [(u64, f32)],
}

impl Golfer<'_> {
    /// A golfer without causes, body or chance.
    pub(super) const NOBODY: Golfer<'static> = Golfer {
        causes: &[],
        person: &[],
        seed: 0,
        index: 0,
        set: &[],
    };

    /// The normal score with this key.
    #[inline]
    pub(super) fn score(&self, normal: &Normal, key: u64) -> f32 {
        match self.set.iter().find(|(k, _)| *k == key) {
            Some((_, score)) => *score,
            None => normal.score(mix(self.seed, key), self.index),
        }
    }

    /// A personal deviation as a normal score.
    #[inline]
    pub(super) fn deviation(&self, which: Person) -> f32 {
        self.person.get(which as usize).copied().unwrap_or(0.0)
    }
}

/// A golfer taken out of a population, with the events behind its causes.
#[derive(Debug, Clone)]
pub(super) struct Member {
    pub seed: u64,
    pub index: u32,
    pub person: Vec<f32>,
    pub causes: Vec<CauseId>,
    own: Vec<CauseId>,
    acted: Vec<usize>,
    set: Vec<(u64, f32)>,
}

impl Member {
    /// The golfer as it is.
    pub(super) fn golfer(&self) -> Golfer<'_> {
        Golfer {
            causes: &self.causes,
            person: &self.person,
            seed: self.seed,
            index: self.index,
            set: &self.set,
        }
    }

    /// The same golfer with other causes.
    pub(super) fn golfer_with<'a>(&'a self, causes: &'a [CauseId]) -> Golfer<'a> {
        Golfer {
            causes,
            ..self.golfer()
        }
    }

    /// The causes at work of their own accord from which this one follows; none if it is at work
    /// of its own accord.
    pub(super) fn roots_of(&self, cause: CauseId, sources: &Sources) -> Vec<CauseId> {
        let mut roots = Vec::new();
        if self.own.contains(&cause) {
            return roots;
        }
        let mut open = vec![cause];
        let mut seen = vec![cause];
        while let Some(at) = open.pop() {
            for (link, parent) in sources.links_into(at) {
                if self.acted.contains(&link)
                    && self.causes.contains(&parent)
                    && !seen.contains(&parent)
                {
                    seen.push(parent);
                    if self.own.contains(&parent) {
                        roots.push(parent);
                    } else {
                        open.push(parent);
                    }
                }
            }
        }
        roots
    }

    /// Its causes if these were taken away, with all that is there only because of them.
    pub(super) fn without(&self, sources: &Sources, gone: &[CauseId]) -> Vec<CauseId> {
        let mut left = Vec::with_capacity(self.causes.len());
        // Only causes that are present now can be present then.
        for &cause in sources.order.iter().filter(|c| self.causes.contains(c)) {
            let stays = !gone.contains(&cause)
                && (self.own.contains(&cause)
                    || sources
                        .links_into(cause)
                        .any(|(l, parent)| self.acted.contains(&l) && left.contains(&parent)));
            if stays {
                left.push(cause);
            }
        }
        left.sort_unstable();
        left
    }
}

impl Population {
    /// `2^bits` golfers, where `normal` has the bits, or every set of causes if those can be
    /// listed and move nothing. `known` causes are proposed often (always, if nothing else leads
    /// to them); the weights allow for it.
    pub(super) fn draw(sources: &Sources, normal: &Normal, seed: u64, known: &[CauseId]) -> Self {
        let open = sources.open_events();
        if sources.still && open <= LISTED {
            return Self::listed(sources, seed, open);
        }
        Self::sampled(sources, normal, seed, known, true)
    }

    /// `2^bits` golfers straight from the prior: all weights are equal.
    pub(super) fn from_prior(sources: &Sources, normal: &Normal, seed: u64) -> Self {
        Self::sampled(sources, normal, seed, &[], false)
    }

    /// One golfer of this population as a population.
    pub(super) fn single(&self, index: usize) -> Self {
        let one = |column: &Column| {
            let mut one = Column::empty(1);
            if column.has(index) {
                one.set(0);
            }
            one
        };
        let rows = self.causes_of(index).to_vec();
        Self {
            seed: self.seed,
            count: 1,
            own: self.own.iter().map(one).collect(),
            acted: self.acted.iter().map(one).collect(),
            present: self.present.iter().map(one).collect(),
            starts: vec![0, rows.len() as u32],
            rows,
            person: self.golfer(index).person.to_vec(),
            set: vec![self.golfer(index).set.to_vec()],
            log_weight: vec![0.0],
            exact: false,
        }
    }

    /// Gives the golfers of a population of one other causes (by id).
    pub(super) fn set_causes(&mut self, causes: &[CauseId]) {
        for (c, column) in self.present.iter_mut().enumerate() {
            column.clear(0);
            if causes.contains(&CauseId::from_index(c)) {
                column.set(0);
            }
        }
        self.rows = causes.to_vec();
        self.starts = vec![0, causes.len() as u32];
    }

    fn sampled(
        sources: &Sources,
        normal: &Normal,
        seed: u64,
        known: &[CauseId],
        forcing: bool,
    ) -> Self {
        let bits = normal.bits();
        let count = 1usize << bits;
        let proposed: Vec<f64> = sources
            .own
            .iter()
            .enumerate()
            .map(|(c, &p)| {
                let cause = CauseId::from_index(c);
                if !known.contains(&cause) {
                    p
                } else if sources.links_into(cause).next().is_none() {
                    1.0
                } else {
                    p + PROPOSE_KNOWN * (1.0 - p)
                }
            })
            .collect();
        let mut own: Vec<Column> = proposed
            .iter()
            .enumerate()
            .map(|(c, &p)| stratified(mix(seed, 1 << 20 | c as u64), p, bits))
            .collect();
        let acted: Vec<Column> = sources
            .links
            .iter()
            .map(|&(from, to, p)| {
                let key = mix(
                    seed,
                    (2 << 40) | (from.index() as u64) << 20 | to.index() as u64,
                );
                stratified(key, p, bits)
            })
            .collect();
        let forcible: Vec<usize> = (0..own.len())
            .filter(|&c| forcing && proposed.get(c).is_some_and(|&p| p > 0.0 && p < 1.0))
            .collect();
        if !forcible.is_empty() {
            for i in (1..count).step_by(2) {
                let turn = place(mix(seed, 3), (i / 2) as u32, bits) as usize % forcible.len();
                if let Some(column) = forcible.get(turn).and_then(|&c| own.get_mut(c)) {
                    column.set(i);
                }
            }
        }
        // Exact weights: tilt of the known causes, then the mixture.
        let mut tilt = vec![0.0; count];
        let mut odds = vec![0.0; count];
        for (c, column) in own.iter().enumerate() {
            let (p, q) = (
                sources.own.get(c).copied().unwrap_or(0.0),
                proposed.get(c).copied().unwrap_or(0.0),
            );
            let changed = q > p;
            let base = if changed && q < 1.0 {
                ((1.0 - p) / (1.0 - q)).ln()
            } else {
                0.0
            };
            if base > 0.0 {
                for t in &mut tilt {
                    *t += base;
                }
            }
            for i in column.members() {
                if let Some(o) = odds.get_mut(i)
                    && q > 0.0
                    && q < 1.0
                {
                    *o += 1.0 / q;
                }
                if let Some(t) = tilt.get_mut(i)
                    && changed
                {
                    *t += (p / q).ln() - base;
                }
            }
        }
        let forced = (1.0 - FROM_PRIOR) / forcible.len().max(1) as f64;
        let log_weight = tilt
            .iter()
            .zip(&odds)
            .map(|(t, o)| {
                if forcible.is_empty() {
                    *t
                } else {
                    t - (FROM_PRIOR + forced * o).ln()
                }
            })
            .collect();
        let mut person = Vec::with_capacity(count * PERSON);
        let keys: Vec<u64> = (0..PERSON as u64).map(|d| mix(seed, 4 << 40 | d)).collect();
        for i in 0..count as u32 {
            person.extend(keys.iter().map(|&key| normal.score(key, i)));
        }
        Self::settled(sources, seed, own, acted, person, log_weight)
    }

    /// Every set of events once, with its exact probability.
    fn listed(sources: &Sources, seed: u64, open: usize) -> Self {
        let count = 1usize << open;
        let mut log_weight = vec![0.0; count];
        let mut next = 0;
        let mut column = |p: f64| {
            let mut column = Column::empty(count);
            if p <= 0.0 {
                return column;
            }
            if p >= 1.0 {
                (0..count).for_each(|i| column.set(i));
                return column;
            }
            for (i, weight) in log_weight.iter_mut().enumerate() {
                if i >> next & 1 == 1 {
                    column.set(i);
                    *weight += p.ln();
                } else {
                    *weight += (1.0 - p).ln();
                }
            }
            next += 1;
            column
        };
        let own = sources.own.iter().map(|&p| column(p)).collect();
        let acted = sources.links.iter().map(|&(_, _, p)| column(p)).collect();
        Self {
            exact: true,
            ..Self::settled(sources, seed, own, acted, Vec::new(), log_weight)
        }
    }

    /// Settles who has what from the events.
    pub(super) fn settled(
        sources: &Sources,
        seed: u64,
        own: Vec<Column>,
        acted: Vec<Column>,
        person: Vec<f32>,
        log_weight: Vec<f64>,
    ) -> Self {
        let count = log_weight.len();
        let mut present = own.clone();
        for &child in &sources.order {
            for (l, parent) in sources.links_into(child) {
                let (Some(above), Some(link)) =
                    (present.get(parent.index()).cloned(), acted.get(l))
                else {
                    continue;
                };
                if let Some(below) = present.get_mut(child.index()) {
                    for ((b, a), e) in below.0.iter_mut().zip(&above.0).zip(&link.0) {
                        *b |= a & e;
                    }
                }
            }
        }
        let mut counts = vec![0u32; count + 1];
        for column in &present {
            for i in column.members() {
                if let Some(slot) = counts.get_mut(i + 1) {
                    *slot += 1;
                }
            }
        }
        let mut total = 0;
        for slot in &mut counts {
            total += *slot;
            *slot = total;
        }
        let mut filled = counts.clone();
        let mut rows = vec![CauseId::from_index(0); total as usize];
        for (c, column) in present.iter().enumerate() {
            for i in column.members() {
                if let Some(at) = filled.get_mut(i) {
                    if let Some(slot) = rows.get_mut(*at as usize) {
                        *slot = CauseId::from_index(c);
                    }
                    *at += 1;
                }
            }
        }
        Self {
            seed,
            count,
            own,
            acted,
            present,
            rows,
            starts: counts,
            person,
            set: Vec::new(),
            log_weight,
            exact: false,
        }
    }

    /// Gives a golfer another score with this key.
    pub(super) fn set_score(&mut self, index: usize, key: u64, score: f32) {
        if self.set.is_empty() {
            self.set = vec![Vec::new(); self.count];
        }
        if let Some(set) = self.set.get_mut(index) {
            set.push((key, score));
        }
    }

    /// The causes of a golfer, by id.
    pub(super) fn causes_of(&self, index: usize) -> &[CauseId] {
        match self.starts.get(index..index + 2) {
            Some(&[from, to]) => self.rows.get(from as usize..to as usize).unwrap_or(&[]),
            _ => &[],
        }
    }

    /// A golfer as the shot model sees it.
    pub(super) fn golfer(&self, index: usize) -> Golfer<'_> {
        Golfer {
            causes: self.causes_of(index),
            person: self
                .person
                .get(index * PERSON..(index + 1) * PERSON)
                .unwrap_or(&[]),
            seed: self.seed,
            index: index as u32,
            set: self.set.get(index).map_or(&[], Vec::as_slice),
        }
    }

    /// A golfer with the events behind its causes, to be changed and asked what if.
    pub(super) fn member(&self, index: usize) -> Member {
        let golfer = self.golfer(index);
        Member {
            seed: self.seed,
            index: index as u32,
            person: golfer.person.to_vec(),
            causes: golfer.causes.to_vec(),
            own: golfer
                .causes
                .iter()
                .copied()
                .filter(|c| self.own.get(c.index()).is_some_and(|o| o.has(index)))
                .collect(),
            acted: (0..self.acted.len())
                .filter(|&l| self.acted.get(l).is_some_and(|a| a.has(index)))
                .collect(),
            set: golfer.set.to_vec(),
        }
    }
}

/// A column in which the share `p` of the golfers is set, spread evenly by the key.
pub(super) fn stratified(key: u64, p: f64, bits: u32) -> Column {
    let count = 1usize << bits;
    let mut column = Column::empty(count);
    let wanted = ((p * count as f64 + unit(key)).floor() as usize).min(count);
    for at in 0..wanted as u32 {
        column.set(place(key, at, bits) as usize);
    }
    column
}
