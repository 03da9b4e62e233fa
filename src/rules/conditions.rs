//! Conditions as written -> conditions of a clause: types and units checked, variables bound.

use super::clause::{Among, Condition, CountTest, Counted, PackedPlace, Range, Test};
use super::compile::{Compiler, Draft};
use super::fact::{FALSE, TRUE};
use super::problem::{Place, RuleProblemKind as Kinds};
use super::program::Kind;
use super::rule::{AmongSpec, Bound, ConditionSpec, RangeSpec, TestSpec};
use super::scope::Scope;
use crate::quantity::Dimension;

impl Compiler {
    pub(super) fn condition<'a>(
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
            ConditionSpec::Count {
                slot,
                test,
                range,
                among,
            } => {
                if let Some(slot) = self.slot(slot, place)
                    && let Some(test) = self.count_test(slot, test, place)
                    && let Some(range) = self.range(range, Dimension::Ratio, place)
                {
                    let among = self.among(among.as_ref(), place, scope, draft);
                    let counted = Box::new(Counted { test, among });
                    let condition = Condition::Count {
                        slot,
                        counted,
                        range,
                    };
                    draft.conditions.push(condition);
                }
            }
            ConditionSpec::Mean { slot, range, among } => {
                if let Some(slot) = self.slot(slot, place)
                    && let Some(dimension) = self.dimension(slot, place)
                    && let Some(range) = self.range(range, dimension, place)
                {
                    let among = self.among(among.as_ref(), place, scope, draft);
                    let among = among.map(Box::new);
                    draft
                        .conditions
                        .push(Condition::Mean { slot, range, among });
                }
            }
            ConditionSpec::Difference { of, range } => {
                let [a, b] = of.each_ref().map(|name| {
                    let found = scope.number(name);
                    if found.is_none() {
                        self.report(place, Kinds::UnboundVariable(name.clone()), None);
                    }
                    found
                });
                if let (Some((a, wanted)), Some((b, got))) = (a, b) {
                    if wanted != got {
                        self.report(place, Kinds::WrongDimension { wanted, got }, None);
                    } else if let Some(range) = self.range(range, wanted, place) {
                        draft.conditions.push(Condition::Gap { a, b, range });
                    }
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
        draft
            .places
            .extend(std::iter::repeat_n(PackedPlace::new(place), added));
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
        let kind = self.slots[slot as usize].kind;
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
            ) => {
                let slot = self.slots[slot as usize].name.clone();
                self.report(place, Kinds::WrongTest { slot }, None);
            }
        }
        for name in lacking {
            if let Some(symbol) = self.symbol(slot, name, place) {
                let condition = Condition::Lacks { on, slot, symbol };
                draft.conditions.push(condition);
            }
        }
    }

    /// The group of patterns a count or a mean is about. Who belongs to it is looked at as a whole, so
    /// the slot that tells goes in as a condition of its own, which always holds.
    fn among<'a>(
        &mut self,
        spec: Option<&'a AmongSpec>,
        place: Place,
        scope: &mut Scope<'a>,
        draft: &mut Draft,
    ) -> Option<Among> {
        let spec = spec?;
        let on = scope.pattern(&spec.on);
        let slot = self.slot(&spec.slot, place)?;
        if matches!(self.slots[slot as usize].kind, Kind::Number(_)) {
            let slot = self.slots[slot as usize].name.clone();
            self.report(place, Kinds::WrongTest { slot }, None);
            return None;
        }
        let test = CountTest::Symbol(Test::Any);
        let counted = Box::new(Counted { test, among: None });
        let range = Range::ALL;
        draft.conditions.push(Condition::Count {
            slot,
            counted,
            range,
        });
        Some(Among { on, slot })
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
}
