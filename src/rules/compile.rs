//! From rules as written to clauses: names resolved, types and units checked, alternatives
//! multiplied out, strata found. Every mistake is collected; the first one does not hide the rest.

use super::clause::{
    Clause, Condition, Head, MAX_ALTERNATIVES, MAX_CONDITIONS, MAX_ITEMS, MAX_VARIABLES,
    PackedPlace, Test, witness,
};
use super::fact::{FALSE, TRUE};
use super::index::Index;
use super::problem::{CycleStep, Place, RuleProblem, RuleProblemKind as Kinds, nearest};
use super::program::{Compiled, Function, Kind, Names, PRESENT, Slot};
use super::rule::{ConditionSpec, RuleSpec};
use super::schema::{Schema, SlotType};
use super::scope::{Scope, branches, longest};
use super::strata::{Edge, strata};
use std::collections::BTreeMap;

/// A clause before its stratum is known.
pub(super) struct Draft {
    pub(super) rule: u32,
    pub(super) patterns: u8,
    pub(super) values: u8,
    pub(super) conditions: Vec<Condition>,
    pub(super) places: Vec<PackedPlace>,
    pub(super) heads: Vec<Head>,
}

pub(super) struct Compiler {
    pub(super) slots: Vec<Slot>,
    pub(super) slot_names: BTreeMap<String, u32>,
    pub(super) symbols: Names,
    pub(super) clashes: BTreeMap<u32, [u32; 2]>,
    pub(super) functions: Vec<Function>,
    pub(super) function_names: BTreeMap<String, u32>,
    pub(super) problems: Vec<RuleProblem>,
    pub(super) rule: usize,
    pub(super) id: String,
}

pub(crate) fn compile(
    schema: &Schema,
    functions: Vec<Function>,
    rules: Vec<RuleSpec>,
) -> Result<Compiled, Vec<RuleProblem>> {
    let mut compiler = Compiler::new(schema, functions);
    let mut drafts = Vec::new();
    let mut seen = BTreeMap::new();
    for (index, rule) in rules.iter().enumerate() {
        compiler.rule = index;
        compiler.id.clone_from(&rule.id);
        if seen.insert(&rule.id, index).is_some() {
            compiler.report(Place::Whole, Kinds::Duplicate, None);
        }
        compiler.rule_to_drafts(rule, &mut drafts);
    }
    let edges = edges(&drafts);
    let levels = match strata(compiler.slots.len(), edges) {
        Ok(levels) => levels,
        Err(cycle) => {
            compiler.report_cycle(&cycle, &rules);
            Vec::new()
        }
    };
    if !compiler.problems.is_empty() {
        compiler
            .problems
            .sort_by_key(|p| (p.rule.map_or(0, |r| r + 1), p.place));
        compiler.problems.dedup();
        return Err(compiler.problems);
    }
    Ok(compiler.finish(rules, drafts, &levels))
}

/// True for conditions on what other conditions bind.
const fn needs_others(condition: &ConditionSpec) -> bool {
    match condition {
        ConditionSpec::Difference { .. } => true,
        ConditionSpec::Count { among, .. } | ConditionSpec::Mean { among, .. } => among.is_some(),
        ConditionSpec::Slot { .. }
        | ConditionSpec::Any(_)
        | ConditionSpec::Same { .. }
        | ConditionSpec::Different { .. } => false,
    }
}

/// Which slot leads to which.
fn edges(drafts: &[Draft]) -> Vec<Edge> {
    let mut edges = Vec::new();
    for draft in drafts {
        for condition in &draft.conditions {
            let Some(from) = condition.slot() else {
                continue;
            };
            edges.extend(draft.heads.iter().map(|head| Edge {
                from,
                to: head.slot,
                rule: draft.rule,
                strict: condition.needs_settled(),
            }));
        }
    }
    edges
}

impl Compiler {
    fn new(schema: &Schema, functions: Vec<Function>) -> Self {
        let mut symbols = Names::default();
        symbols.intern("false");
        symbols.intern("true");
        let mut this = Self {
            slots: Vec::new(),
            slot_names: BTreeMap::new(),
            symbols,
            clashes: BTreeMap::new(),
            functions,
            function_names: BTreeMap::new(),
            problems: Vec::new(),
            rule: 0,
            id: String::new(),
        };
        this.add_slot("(present)", Kind::Flag, None, false, false);
        this.add_slot("(contradiction)", Kind::Symbol, None, false, false);
        for slot in schema.slots() {
            let (kind, choices, exclusive) = match &slot.holds {
                SlotType::Flag => (Kind::Flag, None, true),
                SlotType::Number(d) => (Kind::Number(*d), None, true),
                SlotType::Symbol { choices, exclusive } => {
                    let ids = choices.as_ref().map(|c| {
                        let ids = c.iter().map(|s| this.symbols.intern(s));
                        ids.collect::<Vec<_>>()
                    });
                    (Kind::Symbol, ids, *exclusive)
                }
            };
            let number = this.slots.len() as u32;
            this.add_slot(&slot.name, kind, choices, exclusive, slot.observable);
            if this.slot_names.insert(slot.name.clone(), number).is_some() {
                this.report_elsewhere(&slot.name);
            }
        }
        for i in 0..this.functions.len() {
            let name = this.functions[i].name.clone();
            if this.function_names.insert(name.clone(), i as u32).is_some() {
                this.report_elsewhere(&name);
            }
        }
        this
    }

    fn add_slot(
        &mut self,
        name: &str,
        kind: Kind,
        choices: Option<Vec<u32>>,
        exclusive: bool,
        observable: bool,
    ) {
        self.slots.push(Slot {
            name: name.to_owned(),
            kind,
            choices,
            exclusive,
            observable,
            stratum: 0,
        });
    }

    pub(super) fn report(&mut self, place: Place, kind: Kinds, nearest: Option<String>) {
        self.problems.push(RuleProblem {
            rule: Some(self.rule),
            id: self.id.clone(),
            place,
            kind,
            nearest,
        });
    }

    fn report_elsewhere(&mut self, id: &str) {
        self.problems.push(RuleProblem {
            rule: None,
            id: id.to_owned(),
            place: Place::Whole,
            kind: Kinds::Duplicate,
            nearest: None,
        });
    }

    fn report_cycle(&mut self, cycle: &[Edge], rules: &[RuleSpec]) {
        let name = |slot: u32| self.slots[slot as usize].name.clone();
        let id = |rule: u32| rules.get(rule as usize).map_or("", |r| &r.id).to_owned();
        let steps = cycle
            .iter()
            .map(|e| CycleStep {
                from: name(e.from),
                rule: id(e.rule),
                to: name(e.to),
                needs_settled: e.strict,
            })
            .collect();
        if let Some(first) = cycle.first() {
            self.rule = first.rule as usize;
            self.id = id(first.rule);
        }
        self.report(Place::Whole, Kinds::Cycle(steps), None);
    }

    pub(super) fn slot(&mut self, name: &str, place: Place) -> Option<u32> {
        let found = self.slot_names.get(name).copied();
        if found.is_none() {
            let near = nearest(name, self.slot_names.keys().map(String::as_str));
            self.report(place, Kinds::UnknownSlot(name.to_owned()), near);
        }
        found
    }

    pub(super) fn symbol(&mut self, slot: u32, name: &str, place: Place) -> Option<u32> {
        let entry = &self.slots[slot as usize];
        if entry.kind == Kind::Flag && (name == "true" || name == "false") {
            return Some(if name == "true" { TRUE } else { FALSE });
        }
        if entry.kind != Kind::Symbol {
            let slot = entry.name.clone();
            self.report(place, Kinds::WrongTest { slot }, None);
            return None;
        }
        let Some(choices) = &entry.choices else {
            return Some(self.symbols.intern(name));
        };
        let found = self.symbols.number(name).filter(|n| choices.contains(n));
        if found.is_none() {
            let near = nearest(name, choices.iter().map(|&c| self.symbols.name(c)));
            let kind = Kinds::UnknownSymbol {
                slot: entry.name.clone(),
                symbol: name.to_owned(),
            };
            self.report(place, kind, near);
        }
        found
    }

    fn rule_to_drafts(&mut self, rule: &RuleSpec, drafts: &mut Vec<Draft>) {
        if rule.when.is_empty() {
            self.report(Place::Whole, Kinds::NoConditions, None);
        }
        if rule.then.is_empty() {
            self.report(Place::Whole, Kinds::NoConclusions, None);
        }
        let got = longest(&rule.when).max(rule.then.len());
        if got > MAX_ITEMS {
            let limit = MAX_ITEMS;
            self.report(Place::Whole, Kinds::TooLarge { got, limit }, None);
            return;
        }
        let items: Vec<(Place, &ConditionSpec)> = rule
            .when
            .iter()
            .enumerate()
            .map(|(i, c)| (Place::When(i), c))
            .collect();
        let branches = branches(&items);
        if branches.len() > MAX_ALTERNATIVES {
            let got = branches.len();
            let limit = MAX_ALTERNATIVES;
            self.report(Place::Whole, Kinds::TooLarge { got, limit }, None);
            return;
        }
        if branches.is_empty() {
            self.report(Place::Whole, Kinds::NoConditions, None);
        }
        for branch in branches {
            if let Some(draft) = self.draft(rule, &branch) {
                drafts.push(draft);
            }
        }
    }

    fn draft<'a>(
        &mut self,
        rule: &'a RuleSpec,
        branch: &[(Place, &'a ConditionSpec)],
    ) -> Option<Draft> {
        let before = self.problems.len();
        let mut scope = Scope::default();
        let mut draft = Draft {
            rule: self.rule as u32,
            patterns: 0,
            values: 0,
            conditions: Vec::with_capacity(branch.len()),
            places: Vec::with_capacity(branch.len()),
            heads: Vec::with_capacity(rule.then.len()),
        };
        // What needs the variables of others comes after them.
        let (late, early): (Vec<_>, Vec<_>) = branch.iter().partition(|(_, c)| needs_others(c));
        for (place, condition) in early.into_iter().chain(late) {
            self.condition(condition, place, &mut scope, &mut draft);
        }
        for (i, conclusion) in rule.then.iter().enumerate() {
            if let Some(head) = self.head(conclusion, i, &mut scope) {
                draft.heads.push(head);
            }
        }
        for variable in 0..scope.patterns.len().min(MAX_VARIABLES) as u8 {
            if witness(&draft.conditions, variable).is_none() {
                draft.conditions.push(Condition::Fact {
                    on: variable,
                    slot: PRESENT,
                    test: Test::Is(TRUE),
                    bind: None,
                });
                draft.places.push(PackedPlace::new(Place::Whole));
            }
        }
        for (got, limit) in [
            (scope.patterns.len(), MAX_VARIABLES),
            (scope.symbols.len(), MAX_VARIABLES),
            (draft.conditions.len(), MAX_CONDITIONS),
        ] {
            if got > limit {
                self.report(Place::Whole, Kinds::TooLarge { got, limit }, None);
            }
        }
        draft.patterns = scope.patterns.len() as u8;
        draft.values = scope.symbols.len() as u8;
        (self.problems.len() == before).then_some(draft)
    }

    fn finish(mut self, rules: Vec<RuleSpec>, drafts: Vec<Draft>, levels: &[u32]) -> Compiled {
        for (slot, level) in self.slots.iter_mut().zip(levels) {
            slot.stratum = *level;
        }
        let mut clauses = Vec::with_capacity(drafts.len());
        for draft in drafts {
            let mut strata: Vec<u32> = draft
                .heads
                .iter()
                .map(|h| self.slots[h.slot as usize].stratum)
                .collect();
            strata.sort_unstable();
            strata.dedup();
            for stratum in strata {
                let of_stratum = |h: &&Head| self.slots[h.slot as usize].stratum == stratum;
                let heads = draft.heads.iter().filter(of_stratum).cloned();
                clauses.push(Clause::new(
                    (draft.rule, stratum),
                    (draft.patterns, draft.values),
                    draft.conditions.as_slice().into(),
                    draft.places.as_slice().into(),
                    heads.collect(),
                ));
            }
        }
        let uses_presence = clauses
            .iter()
            .flat_map(|c| c.conditions.iter())
            .any(|c| c.slot() == Some(PRESENT));
        let index = Index::new(&self.slots, &clauses);
        Compiled {
            strata: levels.iter().max().map_or(0, |m| m + 1),
            slots: self.slots,
            slot_names: self.slot_names,
            symbols: self.symbols,
            clashes: self.clashes.into_iter().collect(),
            functions: self.functions,
            rules,
            clauses,
            index,
            uses_presence,
        }
    }
}
