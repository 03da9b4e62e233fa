//! Why a fact holds: its justifications, shortest first, down to what was told.
//!
//! A fact told needs no rule and has depth 0; a justification is one deeper than its deepest
//! premise; a fact is as deep as its shallowest justification. Of justifications of one depth the
//! one whose rule comes first in the alphabet is shown, then the one whose premises come first in
//! the order of facts. So an explanation never depends on the order of telling or of files, and it
//! cannot run in a circle.

use super::chain::State;
use super::clause::{Condition, witness};
use super::fact::{Fact, FactId, PatternId, Reason, RuleIndex, SlotId, SymbolId};
use super::matching::members;
use super::problem::Place;
use super::program::PRESENT;
use super::store::{Link, NONE, Premise};
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

/// What one condition stood on.
#[derive(Debug, Clone, PartialEq)]
pub enum Ground {
    /// A fact.
    Fact(FactId),
    /// The pattern is there; for rules that ask nothing else of it.
    Present(PatternId),
    /// The slot has no value, or not this symbol.
    Absent {
        /// The pattern.
        pattern: PatternId,
        /// The slot.
        slot: SlotId,
        /// The symbol that is not there; none if nothing is.
        symbol: Option<SymbolId>,
    },
    /// A count or a mean over these facts, one for each pattern.
    Over {
        /// The slot.
        slot: SlotId,
        /// The facts.
        facts: Vec<FactId>,
    },
}

/// One instance of a rule that concludes a fact.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// The rule.
    pub rule: RuleIndex,
    /// Which of its conclusions.
    pub then: usize,
    /// What its conditions stood on, in the order in which they are written.
    pub grounds: Vec<(Place, Ground)>,
    /// How many rules lie on the longest path down to what was told, this one included.
    pub depth: usize,
}

/// One fact of an explanation.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The fact's number in the state.
    pub id: FactId,
    /// The fact.
    pub fact: Fact,
    /// The tokens it was told with; none if it was not told.
    pub told: Vec<Reason>,
    /// The shortest way to it, for facts that were not told.
    pub way: Option<Way>,
    /// How many instances of rules conclude it.
    pub ways: usize,
}

/// Why a fact holds. Each fact appears once, however often it is used.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// The facts; the first is the one asked about.
    pub steps: Vec<Step>,
}

impl Explanation {
    /// The step of a fact.
    pub fn step(&self, id: FactId) -> Option<&Step> {
        self.steps.iter().find(|s| s.id == id)
    }
}

impl State {
    /// Why a fact holds; none if it does not.
    pub fn why(&self, id: FactId) -> Option<Explanation> {
        self.fact_of(id)?;
        let depths = self.depths(id);
        let mut order = Vec::new();
        let mut seen = BTreeSet::from([id]);
        let mut steps = Vec::new();
        order.push(id);
        let mut next = 0;
        while let Some(&at) = order.get(next) {
            next += 1;
            let fact = self.fact_of(at)?;
            let told = self.reasons(at);
            let way = if told.is_empty() {
                self.ways_with(at, &depths).into_iter().next()
            } else {
                None
            };
            for (_, ground) in way.iter().flat_map(|w| &w.grounds) {
                let below: &[FactId] = match ground {
                    Ground::Fact(f) => std::slice::from_ref(f),
                    Ground::Over { facts, .. } => facts,
                    Ground::Present(_) | Ground::Absent { .. } => &[],
                };
                order.extend(below.iter().filter(|f| seen.insert(**f)));
            }
            steps.push(Step {
                id: at,
                fact,
                told,
                way,
                ways: self.derivations(at),
            });
        }
        Some(Explanation { steps })
    }

    /// Every instance of a rule that concludes a fact, shortest first.
    pub fn ways(&self, id: FactId) -> Vec<Way> {
        match self.fact_of(id) {
            Some(_) => self.ways_with(id, &self.depths(id)),
            None => Vec::new(),
        }
    }

    fn ways_with(&self, id: FactId, depths: &BTreeMap<u32, usize>) -> Vec<Way> {
        let mut ways: Vec<(u32, Way)> = self
            .store
            .support(id.0)
            .map(|j| {
                (
                    self.store.justifications[j as usize].clause,
                    self.way(j, depths),
                )
            })
            .filter(|(_, way)| way.depth < usize::MAX)
            .collect();
        ways.sort_by(|(clause_a, a), (clause_b, b)| {
            a.depth
                .cmp(&b.depth)
                .then_with(|| self.rule_id(a.rule).cmp(self.rule_id(b.rule)))
                .then(clause_a.cmp(clause_b))
                .then(a.then.cmp(&b.then))
                .then_with(|| self.order_of_grounds(a, b))
        });
        ways.into_iter().map(|(_, way)| way).collect()
    }

    fn rule_id(&self, rule: RuleIndex) -> &str {
        self.program.rule(rule).map_or("", |r| &r.id)
    }

    fn order_of_grounds(&self, a: &Way, b: &Way) -> Ordering {
        let pairs = a.grounds.iter().zip(&b.grounds);
        let orders = pairs.map(|((_, x), (_, y))| match (x, y) {
            (Ground::Fact(x), Ground::Fact(y)) => match (self.fact_of(*x), self.fact_of(*y)) {
                (Some(x), Some(y)) => self.order(&x, &y),
                _ => Ordering::Equal,
            },
            (Ground::Absent { pattern: x, .. }, Ground::Absent { pattern: y, .. })
            | (Ground::Present(x), Ground::Present(y)) => x.cmp(y),
            _ => Ordering::Equal,
        });
        let mut differing = orders.filter(|o| o.is_ne());
        differing.next().unwrap_or(Ordering::Equal)
    }

    fn way(&self, justification: u32, depths: &BTreeMap<u32, usize>) -> Way {
        let program = &*self.program.0;
        let entry = &self.store.justifications[justification as usize];
        let clause = &program.clauses[entry.clause as usize];
        let links = self.store.premises(program, justification);
        let mut depth = 0;
        let mut grounds = Vec::with_capacity(links.len());
        for (i, (condition, link)) in clause.conditions.iter().zip(links).enumerate() {
            let of = self.group_of(&clause.conditions, condition, links);
            let below = self.below(condition, of, link.premise());
            for f in &below {
                depth = depth.max(depths.get(f).copied().unwrap_or(usize::MAX));
            }
            if let Some(ground) = self.ground(condition, link.premise(), below) {
                grounds.push((clause.place(i), ground));
            }
        }
        grounds.sort_by_key(|(place, _)| (*place == Place::Whole, *place));
        Way {
            rule: RuleIndex(clause.rule),
            then: clause
                .heads
                .get(entry.head as usize)
                .map_or(0, |h| usize::from(h.then)),
            grounds,
            depth: depth.saturating_add(1),
        }
    }

    /// The pattern whose group a count or a mean is about.
    fn group_of(
        &self,
        conditions: &[Condition],
        condition: &Condition,
        links: &[Link],
    ) -> Option<u32> {
        let at = witness(conditions, condition.among()?.on)?;
        match links.get(at)?.premise() {
            Premise::Fact(f) => Some(self.store.facts.get(f as usize)?.pattern),
            Premise::Absence(_) | Premise::Column(_) | Premise::Fixed => None,
        }
    }

    /// The facts a premise rests on.
    fn below(&self, condition: &Condition, of: Option<u32>, premise: Premise) -> Vec<u32> {
        match premise {
            Premise::Fact(f) => vec![f],
            Premise::Column(_) => members(&self.store, condition, of),
            Premise::Absence(_) | Premise::Fixed => Vec::new(),
        }
    }

    fn ground(&self, condition: &Condition, premise: Premise, below: Vec<u32>) -> Option<Ground> {
        match premise {
            Premise::Fact(f) => {
                let entry = self.store.facts.get(f as usize)?;
                Some(if entry.slot == PRESENT {
                    Ground::Present(PatternId(entry.pattern))
                } else {
                    Ground::Fact(FactId(f))
                })
            }
            Premise::Absence(cell) => {
                let cell = self.store.cells.get(cell as usize)?;
                let symbol = match condition {
                    Condition::Lacks { symbol, .. } => Some(SymbolId(*symbol)),
                    Condition::Fact { .. }
                    | Condition::Number { .. }
                    | Condition::Unknown { .. }
                    | Condition::Count { .. }
                    | Condition::Mean { .. }
                    | Condition::Gap { .. }
                    | Condition::Differ { .. } => None,
                };
                Some(Ground::Absent {
                    pattern: PatternId(cell.pattern),
                    slot: SlotId(cell.slot),
                    symbol,
                })
            }
            Premise::Column(slot) => Some(Ground::Over {
                slot: SlotId(slot),
                facts: below.into_iter().map(FactId).collect(),
            }),
            Premise::Fixed => None,
        }
    }

    /// The depth of a fact and of everything it may rest on.
    fn depths(&self, id: FactId) -> BTreeMap<u32, usize> {
        let program = &*self.program.0;
        let mut facts = vec![id.0];
        let mut seen = BTreeSet::from([id.0]);
        let mut rests: Vec<(u32, Vec<u32>)> = Vec::new();
        let mut depths = BTreeMap::new();
        let mut next = 0;
        while let Some(&fact) = facts.get(next) {
            next += 1;
            if self.store.facts[fact as usize].told > 0 {
                depths.insert(fact, 0);
            }
            for j in self.store.support(fact) {
                let clause = self.store.justifications[j as usize].clause;
                let conditions = &program.clauses[clause as usize].conditions;
                let links = self.store.premises(program, j);
                let below: Vec<u32> = conditions
                    .iter()
                    .zip(links)
                    .flat_map(|(c, link)| {
                        let of = self.group_of(conditions, c, links);
                        self.below(c, of, link.premise())
                    })
                    .filter(|&f| f != NONE)
                    .collect();
                facts.extend(below.iter().filter(|f| seen.insert(**f)));
                rests.push((fact, below));
            }
        }
        loop {
            let mut changed = false;
            for (fact, below) in &rests {
                let mut deepest = below.iter().map(|f| depths.get(f).copied());
                let deepest = deepest.try_fold(0, |a, b| Some(a.max(b?)));
                if let Some(deepest) = deepest
                    && depths.get(fact).is_none_or(|&d| d > deepest + 1)
                {
                    depths.insert(*fact, deepest + 1);
                    changed = true;
                }
            }
            if !changed {
                return depths;
            }
        }
    }
}
