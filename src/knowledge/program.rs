//! From rule entries to the rule program: the slots there are, the functions rules may call, and
//! the problems of rules placed in their files.
//!
//! Slots: every symptom and effect (flags), every quantity and, as `said_` and its id, the same
//! number where a person stated it, `all_well`, the symbols `group`, `family`, `club` and `lie`,
//! `cut_depth` and other lengths that only rules use, and the signs: flags named `x_...` (how to
//! read a combination) and `ch_...` (a chain of causes) that some rule concludes. Functions: those
//! of geometry, by name.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::problem::ProblemKind;
use super::report::{Place0, Report};
use super::rule_shapes::{RuleShape, ShapeProblemKind};
use super::{KnowledgeBase, Sign};
use crate::geometry::named::named_functions;
use crate::quantity::Dimension;
use crate::rules::{
    ConclusionSpec, Function, OutcomeSpec, Program, RuleProblemKind, RuleSpec, Schema, SlotType,
};

/// Lengths that rules derive and nobody states by that name.
const RULE_LENGTHS: [&str; 1] = ["cut_depth"];

pub(super) fn is_sign(slot: &str) -> bool {
    slot.starts_with("x_") || slot.starts_with("ch_")
}

/// Rules that could be read, with the place of each.
pub(super) fn specs(
    rules: &[(RuleShape, Place0<'_>)],
    report: &mut Report,
) -> (Vec<RuleSpec>, Vec<usize>) {
    let mut specs = Vec::new();
    let mut places = Vec::new();
    for (index, (shape, at)) in rules.iter().enumerate() {
        match shape.to_spec() {
            Ok(spec) => {
                specs.push(spec);
                places.push(index);
            }
            Err(problems) => {
                for problem in problems {
                    let (kind, detail) = shape_problem(&problem.kind);
                    let kind = ProblemKind::Rule {
                        kind: kind.to_owned(),
                        detail: detail.clone(),
                    };
                    report.push(kind, &detail, None, at);
                }
            }
        }
    }
    (specs, places)
}

fn shape_problem(kind: &ShapeProblemKind) -> (&'static str, String) {
    match kind {
        ShapeProblemKind::NotKeysAndValues => ("not keys and values", String::new()),
        ShapeProblemKind::WrongForm { key } => ("wrong form", key.clone()),
        ShapeProblemKind::NotAQuantity { text } => ("not a quantity", text.clone()),
        ShapeProblemKind::UnknownUnit { unit } => ("unknown unit", unit.clone()),
        ShapeProblemKind::BadNumber(error) => ("bad number", error.to_string()),
        ShapeProblemKind::AmbiguousName => ("`as` needs one number beside it", "as".to_owned()),
        ShapeProblemKind::NotOneThing => ("says nothing, or two things at once", String::new()),
        ShapeProblemKind::UnexpectedKey { key } => ("means nothing here", key.clone()),
    }
}

/// The signs that rules conclude, each with the sentence of its first rule.
pub(super) fn signs(specs: &[RuleSpec]) -> Vec<Sign> {
    let mut seen = BTreeSet::new();
    let mut out = Vec::new();
    for spec in specs {
        for conclusion in &spec.then {
            if let ConclusionSpec::Set {
                slot,
                to: OutcomeSpec::Flag(true),
                ..
            } = conclusion
                && is_sign(slot)
                && seen.insert(slot.clone())
            {
                let name = slot
                    .split_once('_')
                    .map_or("", |(_, tail)| tail)
                    .replace('_', " ");
                out.push(Sign {
                    id: slot.clone(),
                    name,
                    text: spec.because.clone(),
                    chain: slot.starts_with("ch_"),
                });
            }
        }
    }
    out
}

/// The slots that rules of this knowledge may speak of.
pub fn rule_schema(base: &KnowledgeBase) -> Schema {
    let mut schema = Schema::new();
    for symptom in &base.symptoms {
        schema = schema.observed(&symptom.id, SlotType::Flag);
    }
    for effect in &base.effects {
        schema = schema.derived(&effect.id, SlotType::Flag);
    }
    for quantity in &base.quantities {
        let number = SlotType::Number(quantity.unit.dimension());
        schema = schema.observed(&quantity.id, number.clone());
        schema = schema.observed(&format!("said_{}", quantity.id), number);
    }
    let has = |id: &str| base.quantities.iter().any(|q| q.id == id);
    for (id, dimension) in [
        ("radius", Dimension::Length),
        ("plane", Dimension::Angle),
        ("static_loft", Dimension::Angle),
    ] {
        if !has(id) {
            schema = schema.observed(id, SlotType::Number(dimension));
        }
    }
    for id in RULE_LENGTHS {
        if !has(id) {
            schema = schema.derived(id, SlotType::Number(Dimension::Length));
        }
    }
    schema = schema.observed("all_well", SlotType::Flag);
    let ids = |list: Vec<String>| SlotType::one_of(list);
    let mut families: Vec<String> = base.groups.iter().map(|g| g.family.clone()).collect();
    families.dedup();
    schema = schema
        .observed(
            "group",
            ids(base.groups.iter().map(|g| g.id.clone()).collect()),
        )
        .observed("family", ids(families))
        .observed(
            "club",
            ids(base.clubs.iter().map(|c| c.id.clone()).collect()),
        )
        .observed("lie", ids(base.lies.iter().map(|l| l.id.clone()).collect()));
    for sign in &base.signs {
        schema = schema.derived(&sign.id, SlotType::Flag);
    }
    schema
}

/// The name of a function for one dimension, where several share a name.
fn overloaded(name: &str, output: Dimension) -> String {
    if named_functions().iter().filter(|f| f.name == name).count() > 1 {
        format!("{name} {output:?}")
    } else {
        name.to_owned()
    }
}

/// Gives every use of a shared name the function that suits the slot it fills.
fn chosen(base: &KnowledgeBase, mut specs: Vec<RuleSpec>) -> Vec<RuleSpec> {
    for spec in &mut specs {
        for conclusion in &mut spec.then {
            if let ConclusionSpec::Set {
                slot,
                to: OutcomeSpec::Computed { by, .. },
                ..
            } = conclusion
            {
                let dimension = base
                    .find_quantity(slot)
                    .map_or(Dimension::Length, |q| base.quantity(q).unit.dimension());
                *by = overloaded(by, dimension);
            }
        }
    }
    specs
}

/// The functions that rules may call.
pub fn rule_functions() -> Vec<Function> {
    named_functions()
        .iter()
        .map(|f| {
            let apply = f.apply;
            Function {
                name: overloaded(f.name, f.output),
                inputs: f.inputs.to_vec(),
                output: f.output,
                apply: Arc::new(move |inputs| apply(inputs).ok()),
            }
        })
        .collect()
}

/// The program, or problems in the report.
pub(super) fn program(
    base: &KnowledgeBase,
    specs: Vec<RuleSpec>,
    places: &[usize],
    rules: &[(RuleShape, Place0<'_>)],
    report: &mut Report,
) -> Option<Program> {
    match Program::compile(&rule_schema(base), rule_functions(), chosen(base, specs)) {
        Ok(program) => Some(program),
        Err(problems) => {
            for problem in problems {
                let place = problem
                    .rule
                    .and_then(|i| places.get(i))
                    .and_then(|i| rules.get(*i));
                let Some((_, at)) = place.or(rules.first()) else {
                    continue;
                };
                let (kind, detail) = rule_problem(&problem.kind);
                let needle = if detail.is_empty() {
                    problem.id.clone()
                } else {
                    detail.clone()
                };
                let kind = ProblemKind::Rule {
                    kind: kind.to_owned(),
                    detail,
                };
                report.push(kind, &needle, problem.nearest.clone(), at);
            }
            None
        }
    }
}

fn rule_problem(kind: &RuleProblemKind) -> (&'static str, String) {
    match kind {
        RuleProblemKind::UnknownSlot(slot) => ("unknown slot", slot.clone()),
        RuleProblemKind::UnknownSymbol { symbol, .. } => ("unknown symbol", symbol.clone()),
        RuleProblemKind::UnknownFunction(name) => ("unknown function", name.clone()),
        RuleProblemKind::UnboundVariable(name) => ("unbound variable", name.clone()),
        RuleProblemKind::BoundTwice(name) => ("bound twice", name.clone()),
        RuleProblemKind::WrongTest { slot } => ("test does not suit the slot", slot.clone()),
        RuleProblemKind::WrongValue { slot } => ("value does not suit the slot", slot.clone()),
        RuleProblemKind::WrongDimension { wanted, got } => (
            "wrong dimension",
            format!("{got:?} where {wanted:?} is needed").to_lowercase(),
        ),
        RuleProblemKind::WrongInputs { function, .. } => ("wrong inputs", function.clone()),
        RuleProblemKind::EmptyRange => ("empty range", String::new()),
        RuleProblemKind::NotDifferent(name) => ("not different", name.clone()),
        RuleProblemKind::NoConditions => ("no conditions", String::new()),
        RuleProblemKind::NoConclusions => ("no conclusions", String::new()),
        RuleProblemKind::TooLarge { got, limit } => ("too large", format!("{got} over {limit}")),
        RuleProblemKind::Duplicate => ("defined twice", String::new()),
        RuleProblemKind::Cycle(steps) => {
            let path: Vec<String> = steps
                .iter()
                .map(|s| format!("{} -[{}]-> {}", s.from, s.rule, s.to))
                .collect();
            ("a cycle through what must be settled", path.join(", "))
        }
    }
}
