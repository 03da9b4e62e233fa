//! Conclusions as written -> heads of a clause: values and functions checked against the slots.

use super::clause::{Head, HeadValue, Input};
use super::compile::Compiler;
use super::fact::{FALSE, TRUE};
use super::problem::{Place, RuleProblemKind as Kinds, nearest};
use super::program::{CLASH, Kind};
use super::rule::{ConclusionSpec, DEFAULT_PATTERN, InputSpec, OutcomeSpec};
use super::scope::Scope;
use crate::quantity::Dimension;

impl Compiler {
    pub(super) fn head<'a>(
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
}
