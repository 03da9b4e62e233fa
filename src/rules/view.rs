//! What can be asked of a state: its facts in a fixed order, the values of a slot, who told them.
//!
//! Nothing here changes the state. Facts come sorted by pattern, slot and value, symbols by name,
//! so the order of telling never shows.

use super::chain::State;
use super::fact::{Fact, FactId, PatternId, SlotId, Stored, SymbolId, TRUE, Value};
use super::program::{CLASH, Kind};
use super::store::{FactEntry, Justification, Link};
use crate::quantity::Estimate;
use std::cmp::Ordering;

impl State {
    /// The content of a fact.
    pub fn fact_of(&self, id: FactId) -> Option<Fact> {
        let entry = self.store.facts.get(id.index()).filter(|f| f.alive)?;
        let value = match self.store.value(id.0) {
            Stored::Number(n) => Value::Number(n),
            Stored::Symbol(s) => match self.program.0.slots[entry.slot as usize].kind {
                Kind::Flag => Value::Flag(s == TRUE),
                Kind::Symbol | Kind::Number(_) => Value::Symbol(SymbolId(s)),
            },
        };
        Some(Fact {
            pattern: PatternId(entry.pattern),
            slot: SlotId(entry.slot),
            value,
        })
    }

    /// How many facts hold, without those the engine keeps for itself.
    pub fn len(&self) -> usize {
        self.store.living - self.store.own
    }

    /// True if nothing holds.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Bytes of a fact in a state, without its justifications.
    pub const FACT_BYTES: usize = size_of::<FactEntry>();

    /// Bytes of a justification with so many premises.
    pub const fn justification_bytes(premises: usize) -> usize {
        size_of::<Justification>() + premises * size_of::<Link>()
    }

    /// Every fact told or derived, sorted by pattern, slot and value (symbols by name), without
    /// those the engine keeps for itself.
    pub fn facts(&self) -> Vec<(FactId, Fact)> {
        let mut all: Vec<(FactId, Fact)> = (0..self.store.facts.len())
            .map(FactId::from_index)
            .filter_map(|id| Some((id, self.fact_of(id)?)))
            .filter(|(_, fact)| fact.slot.0 > CLASH)
            .collect();
        all.sort_by(|a, b| self.order(&a.1, &b.1));
        all
    }

    /// The order of [`State::facts`].
    pub fn order(&self, a: &Fact, b: &Fact) -> Ordering {
        let values = || match (a.value, b.value) {
            (Value::Flag(x), Value::Flag(y)) => x.cmp(&y),
            (Value::Symbol(x), Value::Symbol(y)) => self.symbol_name(x).cmp(self.symbol_name(y)),
            (Value::Number(x), Value::Number(y)) => {
                let by_mean = x.mean().total_cmp(&y.mean());
                by_mean.then(x.sd().total_cmp(&y.sd()))
            }
            (Value::Flag(_), _) | (Value::Symbol(_), Value::Number(_)) => Ordering::Less,
            (Value::Number(_), _) | (Value::Symbol(_), Value::Flag(_)) => Ordering::Greater,
        };
        (a.pattern, a.slot)
            .cmp(&(b.pattern, b.slot))
            .then_with(values)
    }

    /// The facts of one slot of one pattern, in the order of [`State::facts`].
    pub fn values(&self, pattern: PatternId, slot: SlotId) -> Vec<(FactId, Value)> {
        let Some(cell) = self.store.cell(pattern.0, slot.0) else {
            return Vec::new();
        };
        let mut all: Vec<(FactId, Fact)> = self
            .store
            .in_cell(cell)
            .filter_map(|f| Some((FactId(f), self.fact_of(FactId(f))?)))
            .collect();
        all.sort_by(|a, b| self.order(&a.1, &b.1));
        all.into_iter().map(|(id, f)| (id, f.value)).collect()
    }

    /// The value of a slot: the number in use, or the first of its symbols.
    pub fn value(&self, pattern: PatternId, slot: SlotId) -> Option<(FactId, Value)> {
        let cell = self.store.cell(pattern.0, slot.0)?;
        let best = FactId(self.store.cells[cell as usize].best);
        match self.fact_of(best) {
            Some(fact) => Some((best, fact.value)),
            None => self.values(pattern, slot).into_iter().next(),
        }
    }

    /// The number in use for a slot.
    pub fn number(&self, pattern: PatternId, slot: SlotId) -> Option<Estimate> {
        match self.value(pattern, slot)?.1 {
            Value::Number(n) => Some(n),
            Value::Flag(_) | Value::Symbol(_) => None,
        }
    }

    /// True if the slot has this flag or symbol.
    pub fn holds(&self, pattern: PatternId, slot: SlotId, value: Value) -> bool {
        self.find(pattern, slot, value).is_some()
    }

    /// The fact with this content.
    pub fn find(&self, pattern: PatternId, slot: SlotId, value: Value) -> Option<FactId> {
        let cell = self.store.cell(pattern.0, slot.0)?;
        self.store.find(cell, Stored::from_value(value)).map(FactId)
    }

    /// How many instances of rules conclude a fact.
    pub fn derivations(&self, id: FactId) -> usize {
        match self.store.facts.get(id.index()) {
            Some(_) => self.store.support(id.0).count(),
            None => 0,
        }
    }

    pub(crate) fn order_of_ids(&self, a: &[FactId], b: &[FactId]) -> Ordering {
        let facts = |ids: &[FactId]| -> Vec<Fact> {
            ids.iter().filter_map(|&id| self.fact_of(id)).collect()
        };
        let (a, b) = (facts(a), facts(b));
        let differing = a.iter().zip(&b).map(|(x, y)| self.order(x, y));
        let found = differing.into_iter().find(|o| o.is_ne());
        found.unwrap_or_else(|| a.len().cmp(&b.len()))
    }
}
