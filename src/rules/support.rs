//! What goes when something is taken back.
//!
//! A fact stays if it is told, or if some living justification stands on facts that were all there
//! before it. Otherwise it is taken back for the time being, and so is, in turn, what rests on it.
//! Then every fact taken back that still has a justification whose premises stand comes back, as
//! if born now. The rest goes, and with it every justification that stood on it. Facts that hold
//! each other up in a circle therefore go together once nothing outside the circle holds them.

use super::chain::State;
use super::program::Compiled;
use super::store::Premise;

impl State {
    /// Removes the facts of a stratum that no longer have a well-founded support.
    pub(crate) fn withdraw(&mut self, program: &Compiled, stratum: u32) {
        if self.suspects[stratum as usize].is_empty() {
            return;
        }
        let mut taken = std::mem::take(&mut self.taken);
        let mut work = std::mem::take(&mut self.work);
        std::mem::swap(&mut work, &mut self.suspects[stratum as usize]);
        while let Some(fact) = work.pop() {
            let entry = &self.store.facts[fact as usize];
            if !entry.alive || entry.taken || self.is_supported(program, fact, Some(entry.birth)) {
                continue;
            }
            let first = entry.first_use;
            self.store.facts[fact as usize].taken = true;
            taken.push(fact);
            self.resting_on(program, first, stratum, &mut work);
        }
        work.extend(&taken);
        while let Some(fact) = work.pop() {
            let entry = &self.store.facts[fact as usize];
            if !entry.taken || !self.is_supported(program, fact, None) {
                continue;
            }
            let first = entry.first_use;
            self.clock += 1;
            let entry = &mut self.store.facts[fact as usize];
            entry.taken = false;
            entry.birth = self.clock;
            self.resting_on(program, first, stratum, &mut work);
        }
        for fact in taken.drain(..) {
            if self.store.facts[fact as usize].taken {
                self.store.facts[fact as usize].taken = false;
                let cell = self.store.facts[fact as usize].cell;
                let first = self.store.facts[fact as usize].first_use;
                self.store.remove(fact);
                self.touch(cell);
                self.undo(program, first);
            }
        }
        self.taken = taken;
        self.work = work;
        self.suspects[stratum as usize].clear();
    }

    /// The facts of this stratum with a justification on a list of links.
    fn resting_on(&self, program: &Compiled, first: u32, stratum: u32, into: &mut Vec<u32>) {
        for justification in self.store.users(first) {
            let fact = self.store.justifications[justification as usize].fact;
            let slot = self.store.facts[fact as usize].slot;
            if program.index.slot(slot).stratum == stratum {
                into.push(fact);
            }
        }
    }

    /// True if the fact is told or has a justification whose premises all stand; with a birth, only
    /// premises of lower strata or born earlier count.
    fn is_supported(&self, program: &Compiled, fact: u32, before: Option<u32>) -> bool {
        let entry = &self.store.facts[fact as usize];
        if entry.told > 0 {
            return true;
        }
        let stratum = program.index.slot(entry.slot).stratum;
        self.store.support(fact).any(|justification| {
            let premises = self.store.premises(program, justification);
            premises.iter().all(|link| match link.premise() {
                Premise::Fact(f) => {
                    let premise = &self.store.facts[f as usize];
                    let lower = program.index.slot(premise.slot).stratum < stratum;
                    let earlier = before.is_none_or(|birth| premise.birth < birth);
                    premise.alive && !premise.taken && (lower || earlier)
                }
                Premise::Absence(_) | Premise::Column(_) | Premise::Fixed => true,
            })
        })
    }

    /// Ends every justification on a list of links; facts that lose one are looked at when their
    /// stratum is next at work.
    pub(crate) fn undo(&mut self, program: &Compiled, first: u32) {
        let mut link = first;
        while let Some(entry) = self.store.links.get(link as usize) {
            link = entry.next;
            let justification = &mut self.store.justifications[entry.justification as usize];
            if !justification.alive {
                continue;
            }
            justification.alive = false;
            self.store.garbage += 1;
            let fact = justification.fact;
            let entry = &self.store.facts[fact as usize];
            if entry.alive {
                let stratum = program.index.slot(entry.slot).stratum;
                self.suspects[stratum as usize].push(fact);
            }
        }
    }
}
