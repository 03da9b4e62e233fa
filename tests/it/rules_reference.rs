//! Random rule programs against what a general-purpose rule engine (CLIPS) concludes from them:
//! `tests/reference/rules_clips.jsonl`, made by the script beside it. Joins, equality of values,
//! alternatives, absence, counts and means; then the same with one fact taken back.

use serde_json::Value as Json;
use swingwhy::knowledge::rule_shapes::RuleShape;
use swingwhy::quantity::{Amount, Dimension, Estimate, Unit};
use swingwhy::rules::*;

fn schema() -> Schema {
    let mut schema = Schema::new().observed("num", SlotType::Number(Dimension::Ratio));
    for level in 0..3 {
        schema = schema
            .observed(&format!("flag{level}"), SlotType::Flag)
            .observed(&format!("sort{level}"), SlotType::one_of(["a", "b", "c"]))
            .observed(&format!("name{level}"), SlotType::open());
    }
    schema
}

fn rule(number: usize, rule: &Json) -> RuleSpec {
    let shape = serde_json::json!({
        "id": format!("r{number}"), "for": "test", "when": rule[0], "then": rule[1],
        "because": "drawn at random", "kind": "elicited",
    });
    let shape: RuleShape = serde_json::from_value(shape).unwrap();
    shape.to_spec().unwrap()
}

fn fact(state: &mut State, fact: &Json) -> Fact {
    let slot = state.program().slot(fact[1].as_str().unwrap()).unwrap();
    let value = match &fact[2] {
        Json::Bool(truth) => Value::Flag(*truth),
        Json::Number(n) => {
            let amount = Amount::new(n.as_f64().unwrap(), Unit::One).unwrap();
            Value::Number(Estimate::exact(amount))
        }
        other @ (Json::Null | Json::String(_) | Json::Array(_) | Json::Object(_)) => {
            Value::Symbol(state.symbol(other.as_str().unwrap()))
        }
    };
    Fact {
        pattern: PatternId::from_index(fact[0].as_u64().unwrap() as usize),
        slot,
        value,
    }
}

/// What is derived and not told, as the script writes it.
fn derived(state: &State) -> Vec<(u64, String, String)> {
    let mut all: Vec<(u64, String, String)> = state
        .facts()
        .iter()
        .filter(|(id, _)| state.reasons(*id).is_empty())
        .map(|(_, fact)| {
            let value = match fact.value {
                Value::Flag(truth) => truth.to_string(),
                Value::Symbol(s) => state.symbol_name(s).to_owned(),
                Value::Number(n) => n.mean().to_string(),
            };
            let slot = state.program().slot_name(fact.slot).to_owned();
            (fact.pattern.index() as u64, slot, value)
        })
        .collect();
    all.sort();
    all
}

fn expected(rows: &Json) -> Vec<(u64, String, String)> {
    serde_json::from_value(rows.clone()).unwrap()
}

#[test]
fn conclusions_agree_with_a_general_purpose_engine() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/reference/rules_clips.jsonl"
    );
    let text = std::fs::read_to_string(path).unwrap();
    let (mut programs, mut facts, mut changed) = (0, 0, 0);
    for (number, line) in text.lines().enumerate() {
        let case: Json = serde_json::from_str(line).unwrap();
        let rules = case["rules"].as_array().unwrap();
        let rules = rules.iter().enumerate().map(|(i, r)| rule(i, r)).collect();
        let program = Program::compile(&schema(), Vec::new(), rules)
            .unwrap_or_else(|problems| panic!("line {number}: {problems:#?}"));
        let mut state = State::new(&program);
        let told: Vec<Told> = case["facts"]
            .as_array()
            .unwrap()
            .iter()
            .map(|row| {
                let fact = fact(&mut state, row);
                state.assert(fact, Reason::from_index(0)).unwrap()
            })
            .collect();
        assert_eq!(state.settle(), StopReason::Settled);
        assert_eq!(
            derived(&state),
            expected(&case["derived"]),
            "line {number}: {line}"
        );
        state.retract(told[case["without"].as_u64().unwrap() as usize]);
        assert_eq!(state.settle(), StopReason::Settled);
        assert_eq!(
            derived(&state),
            expected(&case["after"]),
            "line {number}, one less: {line}"
        );
        for (id, _) in state.facts() {
            assert_eq!(audit::check(&state, &state.why(id).unwrap()), Ok(()));
        }
        programs += 1;
        facts += expected(&case["derived"]).len();
        changed += usize::from(case["derived"] != case["after"]);
    }
    assert!(
        programs >= 300 && facts > 1000 && changed > 100,
        "{programs} {facts} {changed}"
    );
}
