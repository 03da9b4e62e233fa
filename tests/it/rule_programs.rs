//! Reads rule programs from `tests/rule-programs` and talks to them in lines of text, for the
//! tests of the rule engine: `PATTERN SLOT VALUE`, where a pattern is a number.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::Arc;
use swingwhy::knowledge::rule_shapes::{RuleShape, parse_quantity};
use swingwhy::quantity::{Dimension, Estimate, Unit};
use swingwhy::rules::*;

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    slots: BTreeMap<String, SlotShape>,
    #[serde(default)]
    functions: BTreeMap<String, FunctionShape>,
    rules: Vec<RuleShape>,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct SlotShape {
    #[serde(default)]
    flag: bool,
    one_of: Option<Vec<String>>,
    #[serde(default)]
    open: bool,
    number: Option<String>,
    #[serde(default)]
    observed: bool,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct FunctionShape {
    inputs: Vec<String>,
    output: String,
}

fn dimension(name: &str) -> Dimension {
    match name {
        "length" => Dimension::Length,
        "angle" => Dimension::Angle,
        "ratio" => Dimension::Ratio,
        _ => panic!("no dimension {name}"),
    }
}

/// Stand-ins for geometry, simple enough to check by hand.
fn apply(name: &str) -> Apply {
    match name {
        // Half a chord of depth d in a circle of radius r / sin(plane), from the entry on.
        "low_point_from_turf_entry" => Arc::new(|x| {
            let [e, d, r, th] = x else { return None };
            let radius = r.mean() / th.mean().sin();
            let half = (2.0 * radius * d.mean()).sqrt();
            let by_depth = half / (2.0 * d.mean()) * d.sd();
            let sd = e.sd().hypot(by_depth);
            Estimate::from_base(half - e.mean(), sd, Dimension::Length).ok()
        }),
        "attack_from_low_point" => Arc::new(|x| {
            let [low, r] = x else { return None };
            let sine = -low.mean() / r.mean();
            let sd = low.sd() / r.mean();
            Estimate::from_base(sine.asin(), sd, Dimension::Angle).ok()
        }),
        "half" => Arc::new(|x| {
            let [x] = x else { return None };
            Estimate::from_base(x.mean() / 2.0, x.sd() / 2.0, x.dimension()).ok()
        }),
        _ => panic!("no function {name}"),
    }
}

/// The schema, functions and rules of `tests/rule-programs/NAME.yaml`.
pub(crate) fn parts(text: &str) -> (Schema, Vec<Function>, Vec<RuleSpec>) {
    let file: File = serde_yaml::from_str(text).unwrap();
    let mut schema = Schema::new();
    for (name, shape) in file.slots {
        let holds = match (&shape.number, shape.one_of) {
            (Some(d), _) => SlotType::Number(dimension(d)),
            (None, Some(choices)) => SlotType::one_of(choices),
            (None, None) if shape.open => SlotType::open(),
            (None, None) => {
                assert!(shape.flag, "slot {name} has no type");
                SlotType::Flag
            }
        };
        let observable = shape.observed;
        schema.add(SlotSpec {
            name,
            holds,
            observable,
        });
    }
    let functions = file
        .functions
        .into_iter()
        .map(|(name, f)| Function {
            apply: apply(&name),
            name,
            inputs: f.inputs.iter().map(|d| dimension(d)).collect(),
            output: dimension(&f.output),
        })
        .collect();
    let rules = file.rules.iter().map(|r| r.to_spec().unwrap()).collect();
    (schema, functions, rules)
}

pub(crate) fn text(name: &str) -> String {
    let path = format!(
        "{}/tests/rule-programs/{name}.yaml",
        env!("CARGO_MANIFEST_DIR")
    );
    std::fs::read_to_string(path).unwrap()
}

pub(crate) fn load(name: &str) -> Program {
    let (schema, functions, rules) = parts(&text(name));
    Program::compile(&schema, functions, rules).unwrap()
}

/// A state with everything told so far.
pub(crate) struct Session {
    pub(crate) state: State,
    told: Vec<(String, Told)>,
}

impl Session {
    pub(crate) fn new(program: &Program) -> Self {
        Self {
            state: State::new(program),
            told: Vec::new(),
        }
    }

    fn parse(&mut self, line: &str) -> (PatternId, SlotId, Option<Value>) {
        let mut words = line.splitn(3, ' ');
        let pattern = PatternId::from_index(words.next().unwrap().parse().unwrap());
        let name = words.next().unwrap();
        let slot = self
            .state
            .program()
            .slot(name)
            .unwrap_or_else(|| panic!("no slot {name}"));
        let value = words.next().map(|value| match value {
            "true" => Value::Flag(true),
            "false" => Value::Flag(false),
            _ if self.state.program().dimension(slot).is_some() => {
                Value::Number(parse_quantity(value).unwrap())
            }
            _ => Value::Symbol(self.state.symbol(value)),
        });
        (pattern, slot, value)
    }

    pub(crate) fn tell(&mut self, line: &str) {
        let (pattern, slot, value) = self.parse(line);
        let value = value.unwrap();
        let fact = Fact {
            pattern,
            slot,
            value,
        };
        let reason = Reason::from_index(self.told.len());
        let told = self.state.assert(fact, reason).unwrap();
        self.told.push((line.to_owned(), told));
    }

    pub(crate) fn take_back(&mut self, line: &str) {
        let at = self.told.iter().position(|(l, _)| l == line).unwrap();
        self.state.retract(self.told[at].1);
        self.told[at].0.clear();
    }

    /// Settles, and audits every explanation.
    #[track_caller]
    pub(crate) fn settle(&mut self) {
        assert_eq!(self.state.settle(), StopReason::Settled);
        for (id, fact) in self.state.facts() {
            let why = self.state.why(id).unwrap();
            assert_eq!(audit::check(&self.state, &why), Ok(()), "{fact:?} {why:#?}");
        }
        for contradiction in self.state.contradictions() {
            for id in contradiction.facts {
                let why = self.state.why(id).unwrap();
                assert_eq!(audit::check(&self.state, &why), Ok(()), "{why:#?}");
            }
        }
    }

    fn value(&self, value: Value) -> String {
        match value {
            Value::Flag(truth) => truth.to_string(),
            Value::Symbol(s) => self.state.symbol_name(s).to_owned(),
            Value::Number(n) => {
                let unit = match n.dimension() {
                    Dimension::Length => Unit::Inch,
                    Dimension::Angle => Unit::Degree,
                    Dimension::Speed
                    | Dimension::Spin
                    | Dimension::Time
                    | Dimension::Ratio
                    | Dimension::Temperature => Unit::One,
                };
                let scale = unit.scale();
                format!("{:.2} +/- {:.2} {unit}", n.mean() / scale, n.sd() / scale)
            }
        }
    }

    pub(crate) fn fact(&self, fact: &Fact) -> String {
        let slot = self.state.program().slot_name(fact.slot);
        format!("{} {slot} {}", fact.pattern.index(), self.value(fact.value))
    }

    /// Facts that were derived, and contradictions, one a line.
    pub(crate) fn show(&self) -> String {
        let mut text = String::new();
        for (id, fact) in self.state.facts() {
            if self.state.reasons(id).is_empty() {
                writeln!(text, "{}", self.fact(&fact)).unwrap();
            }
        }
        for c in self.state.contradictions() {
            let names = c
                .slots
                .map(|s| self.state.program().slot_name(s).to_owned());
            let facts: Vec<String> = c
                .facts
                .iter()
                .map(|&id| self.value(self.state.fact_of(id).unwrap().value))
                .collect();
            let pattern = c.pattern.index();
            writeln!(
                text,
                "{pattern} contradiction {names:?}: {}",
                facts.join(" | ")
            )
            .unwrap();
        }
        text
    }

    /// The slots derived for pattern 0, by name.
    pub(crate) fn derived(&self) -> Vec<String> {
        let facts = self.state.facts();
        let derived = facts
            .iter()
            .filter(|(id, f)| f.pattern.index() == 0 && self.state.reasons(*id).is_empty());
        let program = self.state.program();
        let mut names: Vec<String> = derived
            .map(|(_, f)| program.slot_name(f.slot).to_owned())
            .collect();
        names.sort();
        names
    }

    /// The rules that conclude something, by name.
    pub(crate) fn rules_fired(&self) -> Vec<String> {
        let program = self.state.program();
        let mut names: Vec<String> = Vec::new();
        for (id, _) in self.state.facts() {
            let ways = self.state.ways(id).into_iter();
            names.extend(ways.map(|w| program.rule(w.rule).unwrap().id.clone()));
        }
        names.sort();
        names.dedup();
        names
    }

    /// The flags or symbols of a slot.
    pub(crate) fn symbols(&self, pattern: usize, slot: &str) -> Vec<String> {
        let slot = self.state.program().slot(slot).unwrap();
        let values = self.state.values(PatternId::from_index(pattern), slot);
        values.into_iter().map(|(_, v)| self.value(v)).collect()
    }

    fn ground(&self, ground: &Ground) -> String {
        let slot = |s: &SlotId| self.state.program().slot_name(*s).to_owned();
        match ground {
            Ground::Fact(id) => self.fact(&self.state.fact_of(*id).unwrap()),
            Ground::Present(p) => format!("{} is there", p.index()),
            Ground::Absent {
                pattern,
                slot: s,
                symbol,
            } => {
                let symbol = symbol.map_or("", |s| self.state.symbol_name(s));
                format!("{} {} absent {symbol}", pattern.index(), slot(s))
            }
            Ground::Over { slot: s, facts } => format!("{} over {}", slot(s), facts.len()),
        }
    }

    pub(crate) fn why(&self, line: &str) -> String {
        let facts = self.state.facts();
        let found = facts.iter().find(|(_, f)| self.fact(f) == line);
        let (id, _) = *found.unwrap_or_else(|| panic!("{line} does not hold"));
        let why = self.state.why(id).unwrap();
        assert_eq!(audit::check(&self.state, &why), Ok(()));
        let mut text = String::new();
        self.branch(&why, id, 0, &mut text);
        text
    }

    fn branch(&self, why: &Explanation, id: FactId, depth: usize, text: &mut String) {
        let step = why.step(id).unwrap();
        let indent = "  ".repeat(depth);
        write!(text, "{indent}{}", self.fact(&step.fact)).unwrap();
        let Some(way) = &step.way else {
            let told = step.told.iter();
            let told: Vec<&str> = told.map(|r| self.told[r.index()].0.as_str()).collect();
            writeln!(text, " (told: {})", told.join(", ")).unwrap();
            return;
        };
        let rule = self.state.program().rule(way.rule).unwrap();
        writeln!(text, " by {} (of {})", rule.id, step.ways).unwrap();
        for (_, ground) in &way.grounds {
            match ground {
                Ground::Fact(below) => self.branch(why, *below, depth + 1, text),
                Ground::Over { facts, .. } => {
                    for below in facts {
                        self.branch(why, *below, depth + 1, text);
                    }
                }
                Ground::Present(_) | Ground::Absent { .. } => {
                    writeln!(text, "{indent}  {}", self.ground(ground)).unwrap();
                }
            }
        }
    }

    pub(crate) fn why_not(&mut self, line: &str) -> String {
        let (pattern, slot, value) = self.parse(line);
        let name = |s: SlotId| self.state.program().slot_name(s).to_owned();
        let who = |p: Option<PatternId>| p.map_or("?".to_owned(), |p| p.index().to_string());
        let mut text = format!("why not {line}\n");
        for miss in self.state.why_not(pattern, slot, value) {
            let rule = self.state.program().rule(miss.rule).unwrap();
            writeln!(text, "  {}", rule.id).unwrap();
            for (_, ground) in &miss.holds {
                writeln!(text, "    holds {}", self.ground(ground)).unwrap();
            }
            for failing in &miss.fails {
                let slot = failing.slot.map_or("-".to_owned(), name);
                let facts: Vec<String> = failing
                    .facts
                    .iter()
                    .map(|&id| self.fact(&self.state.fact_of(id).unwrap()))
                    .collect();
                let who = who(failing.pattern);
                writeln!(text, "    fails {:?} {who} {slot} {facts:?}", failing.place).unwrap();
            }
            for o in &miss.would_decide {
                writeln!(text, "    observe {} {}", who(o.pattern), name(o.slot)).unwrap();
            }
        }
        text
    }
}
