//! What cannot be as it is: two values that exclude each other, or what a rule says of two slots.
//!
//! Contradictions are read off the facts; nothing is withdrawn because of one. Of two numbers that
//! disagree the one with the smaller error stays in use, and both are named.

use super::chain::State;
use super::fact::{FactId, PatternId, SlotId, Value};
use super::program::{CLASH, Program};
use crate::quantity::Estimate;

/// Two things that cannot both be as they are.
#[derive(Debug, Clone, PartialEq)]
pub struct Contradiction {
    /// The pattern.
    pub pattern: PatternId,
    /// The two slots; the same one twice if one slot holds two values that exclude each other.
    pub slots: [SlotId; 2],
    /// The facts to explain: the two that disagree, or the one that a rule concluded.
    pub facts: Vec<FactId>,
}

impl State {
    /// What cannot be as it is, in the order of patterns and slots: contradictions that rules
    /// conclude, flags both true and false, exclusive slots with two symbols, and numbers further
    /// apart than two combined standard deviations.
    pub fn contradictions(&self) -> Vec<Contradiction> {
        let mut all = Vec::new();
        for cell in 0..self.store.cells.len() as u32 {
            self.contradictions_of(cell, &mut all);
        }
        all.sort_by(|a, b| {
            let place = (a.pattern, a.slots).cmp(&(b.pattern, b.slots));
            place.then_with(|| self.order_of_ids(&a.facts, &b.facts))
        });
        all
    }

    fn contradictions_of(&self, cell: u32, all: &mut Vec<Contradiction>) {
        let entry = &self.store.cells[cell as usize];
        let info = &self.program.0.slots[entry.slot as usize];
        let pattern = PatternId(entry.pattern);
        if entry.slot == CLASH {
            for fact in self.store.in_cell(cell) {
                if let Some(symbol) = self.store.symbol(fact)
                    && let Some(slots) = self.program.clash(symbol)
                {
                    let facts = vec![FactId(fact)];
                    all.push(Contradiction {
                        pattern,
                        slots,
                        facts,
                    });
                }
            }
            return;
        }
        if entry.count < 2 || !info.exclusive {
            return;
        }
        let values = self.values(pattern, SlotId(entry.slot));
        let slots = [SlotId(entry.slot); 2];
        for (i, (a, x)) in values.iter().enumerate() {
            for (b, y) in values.iter().skip(i + 1) {
                let in_use = a.0 == entry.best || b.0 == entry.best;
                let clash = match (x, y) {
                    (Value::Number(x), Value::Number(y)) => in_use && disagree(*x, *y),
                    _ => true,
                };
                if clash {
                    let facts = vec![*a, *b];
                    all.push(Contradiction {
                        pattern,
                        slots,
                        facts,
                    });
                }
            }
        }
    }
}

impl Program {
    /// The two slots of a contradiction that a rule concludes.
    pub(crate) fn clash(&self, symbol: u32) -> Option<[SlotId; 2]> {
        let at = self.0.clashes.binary_search_by_key(&symbol, |c| c.0).ok()?;
        Some(self.0.clashes[at].1.map(SlotId))
    }
}

/// True if two numbers are further apart than two combined standard deviations, and further than
/// rounding can explain.
pub fn disagree(a: Estimate, b: Estimate) -> bool {
    let apart = (a.mean() - b.mean()).abs();
    let rounding = 1e-9 * a.mean().abs().max(b.mean().abs());
    apart > 2.0 * a.sd().hypot(b.sd()) + rounding
}
