//! From rules as written to clauses: names resolved, types and units checked, alternatives
//! multiplied out, strata found. Every mistake is collected; the first one does not hide the rest.

use super::clause::{
    Clause, Condition, CountTest, Head, HeadValue, Input, MAX_ALTERNATIVES, MAX_CONDITIONS,
    MAX_ITEMS, MAX_VARIABLES, Range, Test, witness,
};
use super::fact::{FALSE, TRUE};
use super::index::Index;
use super::problem::{CycleStep, Place, RuleProblem, RuleProblemKind as Kinds, nearest};
use super::program::{CLASH, Compiled, Function, Kind, Names, PRESENT, Slot};
use super::rule::{
    Bound, ConclusionSpec, ConditionSpec, DEFAULT_PATTERN, InputSpec, OutcomeSpec, RangeSpec,
    RuleSpec, TestSpec,
};
use super::schema::{Schema, SlotType};
use super::strata::{Edge, strata};
use crate::quantity::Dimension;
use std::collections::BTreeMap;

/// A clause before its stratum is known.
struct Draft {
    rule: u32,
    patterns: u8,
    values: u8,
    conditions: Vec<Condition>,
    places: Vec<Place>,
    heads: Vec<Head>,
}

struct Compiler {
    slots: Vec<Slot>,
    slot_names: BTreeMap<String, u32>,
    symbols: Names,
    clashes: BTreeMap<u32, [u32; 2]>,
    functions: Vec<Function>,
    function_names: BTreeMap<String, u32>,
    problems: Vec<RuleProblem>,
    rule: usize,
    id: String,
}

/// The variables of one way through a rule.
#[derive(Default)]
struct Scope<'a> {
    patterns: Vec<&'a str>,
    /// Symbol variables with the slot that binds them first; the name is empty for hidden ones.
    symbols: Vec<(&'a str, u32)>,
    /// Number variables with the condition that binds them and their dimension.
    numbers: Vec<(&'a str, u8, Dimension)>,
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
    let levels = match strata(compiler.slots.len(), &edges) {
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

    fn report(&mut self, place: Place, kind: Kinds, nearest: Option<String>) {
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

    fn slot(&mut self, name: &str, place: Place) -> Option<u32> {
        let found = self.slot_names.get(name).copied();
        if found.is_none() {
            let near = nearest(name, self.slot_names.keys().map(String::as_str));
            self.report(place, Kinds::UnknownSlot(name.to_owned()), near);
        }
        found
    }

    fn symbol(&mut self, slot: u32, name: &str, place: Place) -> Option<u32> {
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
            conditions: Vec::new(),
            places: Vec::new(),
            heads: Vec::new(),
        };
        for (place, condition) in branch {
            self.condition(condition, *place, &mut scope, &mut draft);
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
                draft.places.push(Place::Whole);
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

    fn condition<'a>(
        &mut self,
        spec: &'a ConditionSpec,
        place: Place,
        scope: &mut Scope<'a>,
        draft: &mut Draft,
    ) {
        let before = draft.conditions.len();
        match spec {
            ConditionSpec::Slot {
                on,
                slot,
                test,
                bind,
            } => {
                let on = scope.pattern(on);
                if let Some(slot) = self.slot(slot, place) {
                    let bind = bind.as_deref();
                    self.slot_test(on, slot, test, bind, place, scope, draft);
                }
            }
            ConditionSpec::Count { slot, test, range } => {
                if let Some(slot) = self.slot(slot, place)
                    && let Some(test) = self.count_test(slot, test, place)
                    && let Some(range) = self.range(range, Dimension::Ratio, place)
                {
                    let test = Box::new(test);
                    let condition = Condition::Count { slot, test, range };
                    draft.conditions.push(condition);
                }
            }
            ConditionSpec::Mean { slot, range } => {
                if let Some(slot) = self.slot(slot, place)
                    && let Some(dimension) = self.dimension(slot, place)
                    && let Some(range) = self.range(range, dimension, place)
                {
                    draft.conditions.push(Condition::Mean { slot, range });
                }
            }
            ConditionSpec::Same { on, with, slot } => {
                let (a, b) = (scope.pattern(on), scope.pattern(with));
                if a == b {
                    self.report(place, Kinds::NotDifferent(on.clone()), None);
                }
                if let Some(slot) = self.slot(slot, place) {
                    if matches!(self.slots[slot as usize].kind, Kind::Number(_)) {
                        let slot = self.slots[slot as usize].name.clone();
                        self.report(place, Kinds::WrongTest { slot }, None);
                        return;
                    }
                    let shared = scope.symbols.len() as u8;
                    scope.symbols.push(("", slot));
                    for on in [a, b] {
                        draft.conditions.push(Condition::Fact {
                            on,
                            slot,
                            test: Test::Any,
                            bind: Some(shared),
                        });
                    }
                }
            }
            ConditionSpec::Different { on, from } => {
                let (a, b) = (scope.pattern(on), scope.pattern(from));
                if a == b {
                    self.report(place, Kinds::NotDifferent(on.clone()), None);
                }
                draft.conditions.push(Condition::Differ { a, b });
            }
            ConditionSpec::Any(_) => {}
        }
        let added = draft.conditions.len() - before;
        draft.places.extend(std::iter::repeat_n(place, added));
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "one condition in all its parts, called from one place"
    )]
    fn slot_test<'a>(
        &mut self,
        on: u8,
        slot: u32,
        test: &TestSpec,
        bind: Option<&'a str>,
        place: Place,
        scope: &mut Scope<'a>,
        draft: &mut Draft,
    ) {
        let entry = &self.slots[slot as usize];
        let (name, kind) = (entry.name.clone(), entry.kind);
        let wrong = Kinds::WrongTest { slot: name };
        let fact = |test: Test, bind: Option<u8>| Condition::Fact {
            on,
            slot,
            test,
            bind,
        };
        let mut lacking: &[String] = &[];
        match (test, kind) {
            (TestSpec::Known, Kind::Number(dimension)) => {
                self.bind_number(bind, draft.conditions.len(), dimension, place, scope);
                let range = Range::ALL;
                draft.conditions.push(Condition::Number { on, slot, range });
            }
            (TestSpec::Range(range), Kind::Number(dimension)) => {
                self.bind_number(bind, draft.conditions.len(), dimension, place, scope);
                if let Some(range) = self.range(range, dimension, place) {
                    draft.conditions.push(Condition::Number { on, slot, range });
                }
            }
            (TestSpec::Known, Kind::Flag | Kind::Symbol) => {
                let bind = self.bind_symbol(bind, slot, place, scope);
                draft.conditions.push(fact(Test::Any, bind));
            }
            (TestSpec::Flag(truth), Kind::Flag) => {
                let bind = self.bind_symbol(bind, slot, place, scope);
                let symbol = if *truth { TRUE } else { FALSE };
                draft.conditions.push(fact(Test::Is(symbol), bind));
            }
            (TestSpec::Is(names), Kind::Symbol) => {
                let bind = self.bind_symbol(bind, slot, place, scope);
                if let Some(test) = self.symbols_test(slot, names, place) {
                    draft.conditions.push(fact(test, bind));
                }
            }
            (TestSpec::Not(names), Kind::Symbol) => {
                let bind = self.bind_symbol(bind, slot, place, scope);
                draft.conditions.push(fact(Test::Any, bind));
                lacking = names;
            }
            (TestSpec::Lacks(names), Kind::Symbol | Kind::Flag) => lacking = names,
            (TestSpec::Unknown, _) if bind.is_none() => {
                draft.conditions.push(Condition::Unknown { on, slot });
            }
            (
                TestSpec::Unknown
                | TestSpec::Flag(_)
                | TestSpec::Is(_)
                | TestSpec::Not(_)
                | TestSpec::Lacks(_)
                | TestSpec::Range(_),
                _,
            ) => self.report(place, wrong, None),
        }
        for name in lacking {
            if let Some(symbol) = self.symbol(slot, name, place) {
                let condition = Condition::Lacks { on, slot, symbol };
                draft.conditions.push(condition);
            }
        }
    }

    fn symbols_test(&mut self, slot: u32, names: &[String], place: Place) -> Option<Test> {
        let found: Option<Vec<u32>> = names
            .iter()
            .map(|name| self.symbol(slot, name, place))
            .collect();
        let mut found = found?;
        found.sort_unstable();
        found.dedup();
        match found.as_slice() {
            [] => None,
            [one] => Some(Test::Is(*one)),
            _ => Some(Test::OneOf(found.into_boxed_slice())),
        }
    }

    fn count_test(&mut self, slot: u32, test: &TestSpec, place: Place) -> Option<CountTest> {
        let kind = self.slots[slot as usize].kind;
        match (test, kind) {
            (TestSpec::Known, Kind::Flag | Kind::Symbol) => Some(CountTest::Symbol(Test::Any)),
            (TestSpec::Known, Kind::Number(_)) => Some(CountTest::Number(Range::ALL)),
            (TestSpec::Flag(truth), Kind::Flag) => {
                let symbol = if *truth { TRUE } else { FALSE };
                Some(CountTest::Symbol(Test::Is(symbol)))
            }
            (TestSpec::Is(names), Kind::Symbol) => {
                let test = self.symbols_test(slot, names, place)?;
                Some(CountTest::Symbol(test))
            }
            (TestSpec::Range(range), Kind::Number(dimension)) => {
                let range = self.range(range, dimension, place)?;
                Some(CountTest::Number(range))
            }
            (
                TestSpec::Unknown
                | TestSpec::Flag(_)
                | TestSpec::Is(_)
                | TestSpec::Not(_)
                | TestSpec::Lacks(_)
                | TestSpec::Range(_),
                _,
            ) => {
                let slot = self.slots[slot as usize].name.clone();
                self.report(place, Kinds::WrongTest { slot }, None);
                None
            }
        }
    }

    fn dimension(&mut self, slot: u32, place: Place) -> Option<Dimension> {
        if let Kind::Number(dimension) = self.slots[slot as usize].kind {
            return Some(dimension);
        }
        let slot = self.slots[slot as usize].name.clone();
        self.report(place, Kinds::WrongTest { slot }, None);
        None
    }

    fn range(&mut self, spec: &RangeSpec, wanted: Dimension, place: Place) -> Option<Range> {
        for bound in [spec.low, spec.high].into_iter().flatten() {
            let got = bound.at.dimension();
            if got != wanted {
                self.report(place, Kinds::WrongDimension { wanted, got }, None);
                return None;
            }
        }
        let low = |b: Bound| {
            let at = b.at.base();
            if b.inclusive { at } else { at.next_up() }
        };
        let high = |b: Bound| {
            let at = b.at.base();
            if b.inclusive { at } else { at.next_down() }
        };
        let range = Range {
            lo: spec.low.map_or(f64::NEG_INFINITY, low),
            hi: spec.high.map_or(f64::INFINITY, high),
        };
        if range.lo > range.hi {
            self.report(place, Kinds::EmptyRange, None);
            return None;
        }
        Some(range)
    }

    fn bind_number<'a>(
        &mut self,
        name: Option<&'a str>,
        condition: usize,
        dimension: Dimension,
        place: Place,
        scope: &mut Scope<'a>,
    ) {
        let Some(name) = name else { return };
        if scope.number(name).is_some() || scope.symbol(name).is_some() {
            self.report(place, Kinds::BoundTwice(name.to_owned()), None);
        }
        scope.numbers.push((name, condition as u8, dimension));
    }

    fn bind_symbol<'a>(
        &mut self,
        name: Option<&'a str>,
        slot: u32,
        place: Place,
        scope: &mut Scope<'a>,
    ) -> Option<u8> {
        let name = name?;
        if scope.number(name).is_some() {
            self.report(place, Kinds::BoundTwice(name.to_owned()), None);
        }
        if let Some(known) = scope.symbol(name) {
            return Some(known);
        }
        scope.symbols.push((name, slot));
        Some((scope.symbols.len() - 1) as u8)
    }

    fn head<'a>(
        &mut self,
        spec: &'a ConclusionSpec,
        then: usize,
        scope: &mut Scope<'a>,
    ) -> Option<Head> {
        let place = Place::Then(then);
        let (on, slot, value) = match spec {
            ConclusionSpec::Contradiction { on, between } => {
                let mut pair = [
                    self.slot(&between[0], place)?,
                    self.slot(&between[1], place)?,
                ];
                if self.slots[pair[0] as usize].name > self.slots[pair[1] as usize].name {
                    pair.reverse();
                }
                let text = pair
                    .map(|s| self.slots[s as usize].name.as_str())
                    .join(" / ");
                let symbol = self.symbols.intern(&text);
                self.clashes.insert(symbol, pair);
                (on, CLASH, HeadValue::Symbol(symbol))
            }
            ConclusionSpec::Set { on, slot, to } => {
                let slot = self.slot(slot, place)?;
                (on, slot, self.outcome(slot, to, place, scope)?)
            }
        };
        if !scope.patterns.contains(&on.as_str()) && on != DEFAULT_PATTERN {
            let near = nearest(on, scope.patterns.iter().copied());
            self.report(place, Kinds::UnboundVariable(on.clone()), near);
            return None;
        }
        let on = scope.pattern(on);
        Some(Head {
            on,
            from: 0,
            slot,
            value,
            then: then as u16,
        })
    }

    fn outcome(
        &mut self,
        slot: u32,
        spec: &OutcomeSpec,
        place: Place,
        scope: &Scope<'_>,
    ) -> Option<HeadValue> {
        let kind = self.slots[slot as usize].kind;
        match (spec, kind) {
            (OutcomeSpec::Flag(truth), Kind::Flag) => {
                Some(HeadValue::Symbol(if *truth { TRUE } else { FALSE }))
            }
            (OutcomeSpec::Symbol(name), Kind::Symbol) => {
                self.symbol(slot, name, place).map(HeadValue::Symbol)
            }
            (OutcomeSpec::Number(number), Kind::Number(wanted)) => {
                self.same_dimension(number.dimension(), wanted, place)?;
                Some(HeadValue::Number(Box::new(*number)))
            }
            (OutcomeSpec::Variable(name), Kind::Number(wanted)) => {
                let (condition, got) = self.number_variable(name, place, scope)?;
                self.same_dimension(got, wanted, place)?;
                Some(HeadValue::NumberOf(condition))
            }
            (OutcomeSpec::Variable(name), Kind::Flag | Kind::Symbol) => {
                let Some(variable) = scope.symbol(name) else {
                    self.unbound(name, place, scope);
                    return None;
                };
                let from = scope.symbols[variable as usize].1;
                if self.fits(from, slot) {
                    return Some(HeadValue::SymbolVariable { variable, from: 0 });
                }
                let slot = self.slots[slot as usize].name.clone();
                self.report(place, Kinds::WrongValue { slot }, None);
                None
            }
            (OutcomeSpec::Computed { by, of }, Kind::Number(wanted)) => {
                self.computed(by, of, wanted, place, scope)
            }
            (
                OutcomeSpec::Flag(_)
                | OutcomeSpec::Symbol(_)
                | OutcomeSpec::Number(_)
                | OutcomeSpec::Computed { .. },
                _,
            ) => {
                let slot = self.slots[slot as usize].name.clone();
                self.report(place, Kinds::WrongValue { slot }, None);
                None
            }
        }
    }

    /// True if every symbol of one slot may stand in the other.
    fn fits(&self, from: u32, to: u32) -> bool {
        let (from, to) = (&self.slots[from as usize], &self.slots[to as usize]);
        from.kind == to.kind
            && match (&from.choices, &to.choices) {
                (_, None) => true,
                (None, Some(_)) => false,
                (Some(a), Some(b)) => a.iter().all(|s| b.contains(s)),
            }
    }

    fn computed(
        &mut self,
        by: &str,
        of: &[InputSpec],
        wanted: Dimension,
        place: Place,
        scope: &Scope<'_>,
    ) -> Option<HeadValue> {
        let Some(&function) = self.function_names.get(by) else {
            let near = nearest(by, self.function_names.keys().map(String::as_str));
            self.report(place, Kinds::UnknownFunction(by.to_owned()), near);
            return None;
        };
        let declared = self.functions[function as usize].inputs.clone();
        let output = self.functions[function as usize].output;
        self.same_dimension(output, wanted, place)?;
        if declared.len() != of.len() {
            let kind = Kinds::WrongInputs {
                function: by.to_owned(),
                wanted: declared.len(),
                got: of.len(),
            };
            self.report(place, kind, None);
            return None;
        }
        let mut inputs = Vec::with_capacity(of.len());
        for (input, wanted) in of.iter().zip(declared) {
            let (input, got) = match input {
                InputSpec::Number(n) => (Input::Number(*n), n.dimension()),
                InputSpec::Variable(name) => {
                    let (condition, got) = self.number_variable(name, place, scope)?;
                    (Input::NumberOf(condition), got)
                }
            };
            self.same_dimension(got, wanted, place)?;
            inputs.push(input);
        }
        Some(HeadValue::Computed {
            function,
            inputs: inputs.into_boxed_slice(),
        })
    }

    fn number_variable(
        &mut self,
        name: &str,
        place: Place,
        scope: &Scope<'_>,
    ) -> Option<(u8, Dimension)> {
        let found = scope.number(name);
        if found.is_none() {
            self.unbound(name, place, scope);
        }
        found
    }

    fn unbound(&mut self, name: &str, place: Place, scope: &Scope<'_>) {
        let known = scope.numbers.iter().map(|n| n.0);
        let near = nearest(name, known.chain(scope.symbols.iter().map(|s| s.0)));
        self.report(place, Kinds::UnboundVariable(name.to_owned()), near);
    }

    fn same_dimension(&mut self, got: Dimension, wanted: Dimension, place: Place) -> Option<()> {
        if got == wanted {
            return Some(());
        }
        self.report(place, Kinds::WrongDimension { wanted, got }, None);
        None
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
                let heads: Vec<Head> = draft.heads.iter().filter(of_stratum).cloned().collect();
                clauses.push(Clause::new(
                    (draft.rule, stratum),
                    (draft.patterns, draft.values),
                    &draft.conditions,
                    &draft.places,
                    heads,
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

impl<'a> Scope<'a> {
    fn pattern(&mut self, name: &'a str) -> u8 {
        let found = self.patterns.iter().position(|&p| p == name);
        found.unwrap_or_else(|| {
            self.patterns.push(name);
            self.patterns.len() - 1
        }) as u8
    }

    fn symbol(&self, name: &str) -> Option<u8> {
        let found = self.symbols.iter().position(|s| s.0 == name)?;
        Some(found as u8)
    }

    fn number(&self, name: &str) -> Option<(u8, Dimension)> {
        let found = self.numbers.iter().find(|n| n.0 == name)?;
        Some((found.1, found.2))
    }
}

/// The length of the longest list of conditions or alternatives.
fn longest(items: &[ConditionSpec]) -> usize {
    let inner = items.iter().map(|item| match item {
        ConditionSpec::Any(alternatives) => {
            let lists = alternatives.iter().map(|a| longest(a));
            lists.max().unwrap_or(0).max(alternatives.len())
        }
        ConditionSpec::Slot { .. }
        | ConditionSpec::Count { .. }
        | ConditionSpec::Mean { .. }
        | ConditionSpec::Same { .. }
        | ConditionSpec::Different { .. } => 0,
    });
    inner.max().unwrap_or(0).max(items.len())
}

/// Every way through the alternatives, each a plain list of conditions.
fn branches<'a>(items: &[(Place, &'a ConditionSpec)]) -> Vec<Vec<(Place, &'a ConditionSpec)>> {
    let mut all: Vec<Vec<(Place, &ConditionSpec)>> = vec![Vec::new()];
    for &(place, condition) in items {
        let choices: Vec<Vec<(Place, &ConditionSpec)>> = match condition {
            ConditionSpec::Any(alternatives) => alternatives
                .iter()
                .enumerate()
                .flat_map(|(alternative, inner)| {
                    let inner: Vec<_> = inner
                        .iter()
                        .enumerate()
                        .map(|(item, c)| (place.inside(alternative, item), c))
                        .collect();
                    branches(&inner)
                })
                .collect(),
            ConditionSpec::Slot { .. }
            | ConditionSpec::Count { .. }
            | ConditionSpec::Mean { .. }
            | ConditionSpec::Same { .. }
            | ConditionSpec::Different { .. } => vec![vec![(place, condition)]],
        };
        all = all
            .iter()
            .flat_map(|before| {
                choices.iter().map(|choice| {
                    let mut longer = before.clone();
                    longer.extend(choice.iter().copied());
                    longer
                })
            })
            .take(MAX_ALTERNATIVES + 1)
            .collect();
    }
    all
}

impl Place {
    const fn inside(self, alternative: usize, item: usize) -> Self {
        match self {
            Self::When(when) => Self::Any {
                when,
                alternative,
                item,
            },
            Self::Whole | Self::Any { .. } | Self::Then(_) => self,
        }
    }
}
