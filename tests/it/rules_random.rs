//! Laws of the rule engine over random programs and random telling and taking back: equal to the
//! slow engine, independent of order, every explanation audited.

use proptest::prelude::*;
use swingwhy::quantity::{Amount, Dimension, Estimate, Unit};
use swingwhy::rules::*;

/// Random choices read off a list of bytes, so that proptest can shrink them.
struct Choices<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Choices<'_> {
    fn below(&mut self, n: usize) -> usize {
        let byte = self.bytes.get(self.at).copied().unwrap_or(0);
        self.at += 1;
        byte as usize % n
    }

    fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == n - 1
    }
}

const LEVELS: usize = 3;
const SYMBOLS: [&str; 3] = ["a", "b", "c"];

fn schema() -> Schema {
    let mut schema = Schema::new();
    for level in 0..LEVELS {
        schema = schema
            .observed(&format!("flag{level}"), SlotType::Flag)
            .observed(&format!("mark{level}"), SlotType::Flag)
            .observed(&format!("sort{level}"), SlotType::one_of(SYMBOLS))
            .observed(&format!("name{level}"), SlotType::open())
            .observed(&format!("size{level}"), SlotType::Number(Dimension::Length));
    }
    schema
}

fn functions() -> Vec<Function> {
    use std::sync::Arc;
    let make = |name: &str, inputs: usize, f: fn(&[Estimate]) -> (f64, f64)| Function {
        name: name.to_owned(),
        inputs: vec![Dimension::Length; inputs],
        output: Dimension::Length,
        apply: Arc::new(move |given| {
            let (mean, sd) = f(given);
            Estimate::from_base(mean, sd, Dimension::Length).ok()
        }),
    };
    vec![
        make("half", 1, |x| (x[0].mean() / 2.0, x[0].sd() / 2.0)),
        make("sum", 2, |x| {
            (x[0].mean() + x[1].mean(), x[0].sd().hypot(x[1].sd()))
        }),
        make("root", 1, |x| (x[0].mean().sqrt(), x[0].sd())),
    ]
}

fn metres(value: usize) -> Estimate {
    Estimate::new(value as f64 - 3.0, 0.1 * (value % 3) as f64, Unit::Metre).unwrap()
}

fn range(c: &mut Choices<'_>, unit: Unit) -> RangeSpec {
    let bound = |at: f64, inclusive| {
        Some(Bound {
            at: Amount::new(at, unit).unwrap(),
            inclusive,
        })
    };
    let at = c.below(5) as f64 - 1.0;
    match c.below(4) {
        0 => RangeSpec {
            low: bound(at, false),
            high: None,
        },
        1 => RangeSpec {
            low: None,
            high: bound(at, true),
        },
        2 => RangeSpec {
            low: bound(at, true),
            high: bound(at + 2.0, true),
        },
        _ => RangeSpec {
            low: bound(at, true),
            high: None,
        },
    }
}

/// A group of patterns, or all of them.
fn among(c: &mut Choices<'_>, lower: Option<usize>) -> Option<AmongSpec> {
    let slot = format!("sort{}", lower?);
    let on = ["p", "q"][c.below(2)].to_owned();
    c.one_in(2).then_some(AmongSpec { on, slot })
}

struct Bound2 {
    symbols: Vec<String>,
    numbers: Vec<String>,
    patterns: Vec<String>,
}

/// A condition on a slot of at most this level; below it if it needs a settled slot.
fn condition(c: &mut Choices<'_>, level: usize, bound: &mut Bound2) -> Option<ConditionSpec> {
    let on = ["p", "q"][usize::from(c.one_in(4))].to_owned();
    let kind = c.below(15);
    let any_level = c.below(level + 1);
    let lower = if level == 0 {
        None
    } else {
        Some(c.below(level))
    };
    let mut slot = |slot: String, test, bind| {
        if !bound.patterns.contains(&on) {
            bound.patterns.push(on.clone());
        }
        Some(ConditionSpec::Slot {
            on: on.clone(),
            slot,
            test,
            bind,
        })
    };
    match kind {
        0 | 1 => slot(format!("flag{any_level}"), TestSpec::Flag(true), None),
        2 => slot(
            format!("mark{any_level}"),
            TestSpec::Flag(c.one_in(2)),
            None,
        ),
        3 | 4 => {
            let names = (0..=c.below(2)).map(|_| SYMBOLS[c.below(3)].to_owned());
            let names = names.collect();
            slot(format!("sort{any_level}"), TestSpec::Is(names), None)
        }
        5 => {
            let name = ["v", "w"][c.below(2)].to_owned();
            bound.symbols.push(name.clone());
            let slot_name = ["name", "sort"][c.below(2)];
            slot(
                format!("{slot_name}{any_level}"),
                TestSpec::Known,
                Some(name),
            )
        }
        6 => {
            let slot_name = format!("size{}", lower?);
            let name = format!("x{}", bound.numbers.len());
            bound.numbers.push(name.clone());
            slot(slot_name, TestSpec::Known, Some(name))
        }
        7 => {
            let test = TestSpec::Range(range(c, Unit::Metre));
            slot(format!("size{}", lower?), test, None)
        }
        8 => {
            let name = ["flag", "sort", "size", "mark"][c.below(4)];
            slot(format!("{name}{}", lower?), TestSpec::Unknown, None)
        }
        9 => {
            let names = vec![SYMBOLS[c.below(3)].to_owned()];
            slot(format!("sort{}", lower?), TestSpec::Lacks(names), None)
        }
        10 => {
            let names = vec![SYMBOLS[c.below(3)].to_owned()];
            slot(format!("sort{}", lower?), TestSpec::Not(names), None)
        }
        11 => Some(ConditionSpec::Count {
            slot: format!("flag{}", lower?),
            test: TestSpec::Flag(true),
            range: range(c, Unit::One),
            among: among(c, lower),
        }),
        12 => Some(ConditionSpec::Mean {
            slot: format!("size{}", lower?),
            range: range(c, Unit::Metre),
            among: among(c, lower),
        }),
        13 => {
            let first = bound.numbers.first()?.clone();
            let last = bound.numbers.last()?.clone();
            let range = range(c, Unit::Metre);
            Some(ConditionSpec::Difference {
                of: [last, first],
                range,
            })
        }
        _ => {
            for name in ["p", "q"] {
                if !bound.patterns.contains(&name.to_owned()) {
                    bound.patterns.push(name.to_owned());
                }
            }
            if c.one_in(2) {
                return Some(ConditionSpec::Different {
                    on: "q".to_owned(),
                    from: "p".to_owned(),
                });
            }
            Some(ConditionSpec::Same {
                on: "q".to_owned(),
                with: "p".to_owned(),
                slot: format!("sort{any_level}"),
            })
        }
    }
}

fn rule(c: &mut Choices<'_>, number: usize) -> RuleSpec {
    let level = c.below(LEVELS);
    let mut bound = Bound2 {
        symbols: Vec::new(),
        numbers: Vec::new(),
        patterns: Vec::new(),
    };
    let mut when: Vec<ConditionSpec> = (0..=c.below(3))
        .filter_map(|_| condition(c, level, &mut bound))
        .collect();
    if when.is_empty() || c.one_in(8) {
        let flag = |name: &str| {
            vec![ConditionSpec::Slot {
                on: "p".to_owned(),
                slot: name.to_owned(),
                test: TestSpec::Flag(true),
                bind: None,
            }]
        };
        when.push(ConditionSpec::Any(vec![flag("flag0"), flag("mark0")]));
    }
    let on = if bound.patterns.contains(&"q".to_owned()) && c.one_in(3) {
        "q"
    } else {
        "p"
    };
    let set = |slot: String, to| ConclusionSpec::Set {
        on: on.to_owned(),
        slot,
        to,
    };
    let then = (0..=c.below(2))
        .map(|_| match c.below(7) {
            0 | 1 => set(format!("flag{level}"), OutcomeSpec::Flag(true)),
            2 => set(format!("mark{level}"), OutcomeSpec::Flag(c.one_in(2))),
            3 => set(
                format!("sort{level}"),
                OutcomeSpec::Symbol(SYMBOLS[c.below(3)].to_owned()),
            ),
            4 => match bound.symbols.last() {
                Some(v) => set(format!("name{level}"), OutcomeSpec::Variable(v.clone())),
                None => set(
                    format!("name{level}"),
                    OutcomeSpec::Symbol("zed".to_owned()),
                ),
            },
            5 => {
                let input = |name: &String| InputSpec::Variable(name.clone());
                let to = match bound.numbers.as_slice() {
                    [] => OutcomeSpec::Number(metres(c.below(7))),
                    [one] => OutcomeSpec::Computed {
                        by: ["half", "root"][c.below(2)].to_owned(),
                        of: vec![input(one)],
                    },
                    [one, two, ..] => OutcomeSpec::Computed {
                        by: "sum".to_owned(),
                        of: vec![input(one), input(two)],
                    },
                };
                set(format!("size{level}"), to)
            }
            _ => ConclusionSpec::Contradiction {
                on: on.to_owned(),
                between: ["flag0".to_owned(), format!("mark{level}")],
            },
        })
        .collect();
    RuleSpec {
        id: format!("r{number}"),
        purpose: "random".to_owned(),
        when,
        then,
        because: "drawn at random".to_owned(),
        kind: "elicited".to_owned(),
        source: None,
    }
}

fn rules(bytes: &[u8]) -> Vec<RuleSpec> {
    let mut c = Choices { bytes, at: 0 };
    let count = 1 + c.below(9);
    (0..count).map(|i| rule(&mut c, i)).collect()
}

fn program(bytes: &[u8]) -> Program {
    let rules = rules(bytes);
    Program::compile(&schema(), functions(), rules.clone())
        .unwrap_or_else(|problems| panic!("{problems:#?}\n{rules:#?}"))
}

fn fact(program: &Program, c: &mut Choices<'_>) -> Fact {
    let level = if c.one_in(3) { c.below(LEVELS) } else { 0 };
    let (name, value) = match c.below(6) {
        0 | 1 => ("flag", Value::Flag(!c.one_in(6))),
        2 => ("mark", Value::Flag(c.one_in(2))),
        3 => (
            "sort",
            Value::Symbol(program.symbol(SYMBOLS[c.below(3)]).unwrap()),
        ),
        4 => (
            "name",
            Value::Symbol(program.symbol(SYMBOLS[c.below(3)]).unwrap()),
        ),
        _ => ("size", Value::Number(metres(c.below(7)))),
    };
    Fact {
        pattern: PatternId::from_index(c.below(3)),
        slot: program.slot(&format!("{name}{level}")).unwrap(),
        value,
    }
}

#[track_caller]
fn same_as_naive(program: &Program, state: &State, told: &[Fact]) {
    let slow = naive::fixpoint(program, told);
    let mut expected = slow.facts();
    expected.sort_by(|a, b| state.order(a, b));
    let found = state.facts();
    let facts: Vec<Fact> = found.iter().map(|f| f.1).collect();
    assert_eq!(facts, expected, "{:#?}", program.rules());
    for (id, fact) in found {
        assert_eq!(
            state.derivations(id),
            slow.derivations(&fact),
            "derivations of {fact:?} in {:#?}",
            program.rules()
        );
        let why = state.why(id).unwrap();
        let audited = audit::check(state, &why);
        assert_eq!(audited, Ok(()), "{why:#?} in {:#?}", program.rules());
    }
}

/// Every near miss fails somewhere, and what it says holds does hold.
#[track_caller]
fn near_misses_are_honest(program: &Program, state: &State) {
    for rule in program.rules() {
        for conclusion in &rule.then {
            let ConclusionSpec::Set { slot, to, .. } = conclusion else {
                continue;
            };
            let slot = program.slot(slot).unwrap();
            let wanted = match to {
                OutcomeSpec::Flag(truth) => Some(Value::Flag(*truth)),
                OutcomeSpec::Symbol(name) => program.symbol(name).map(Value::Symbol),
                OutcomeSpec::Number(_)
                | OutcomeSpec::Variable(_)
                | OutcomeSpec::Computed { .. } => None,
            };
            for pattern in (0..3).map(PatternId::from_index) {
                let misses = state.why_not(pattern, slot, wanted);
                let holds = match wanted {
                    Some(value) => state.holds(pattern, slot, value),
                    None => state.value(pattern, slot).is_some(),
                };
                assert!(!holds || misses.is_empty());
                for miss in misses {
                    assert!(!miss.fails.is_empty());
                    let facts = miss.fails.iter().flat_map(|f| &f.facts);
                    assert!(facts.copied().all(|id| state.fact_of(id).is_some()));
                    for (_, ground) in &miss.holds {
                        match ground {
                            Ground::Fact(id) => assert!(state.fact_of(*id).is_some()),
                            Ground::Absent {
                                pattern,
                                slot,
                                symbol,
                            } => match symbol {
                                Some(s) => {
                                    let value = Value::Symbol(*s);
                                    assert!(!state.holds(*pattern, *slot, value));
                                }
                                None => assert!(state.value(*pattern, *slot).is_none()),
                            },
                            Ground::Over { facts, .. } => {
                                assert!(facts.iter().all(|id| state.fact_of(*id).is_some()));
                            }
                            Ground::Present(_) => {}
                        }
                    }
                    let observable = |o: &Observation| program.is_observable(o.slot);
                    assert!(miss.would_decide.iter().all(observable));
                }
            }
        }
    }
}

/// A rule with a fixed program and so many edits that the state is rebuilt on the way.
#[test]
fn a_long_session_stays_exact() {
    let mut bytes: Vec<u8> = Vec::new();
    let mut seed = 11_u32;
    for _ in 0..80_000 {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        bytes.push((seed >> 24) as u8);
    }
    for from in [0, 160, 320, 480] {
        let program = program(&bytes[from..from + 160]);
        let mut state = State::new(&program);
        let mut c = Choices {
            bytes: &bytes,
            at: 600,
        };
        let mut told: Vec<(Told, Fact)> = Vec::new();
        let mut largest = 0;
        while c.at < bytes.len() {
            if told.len() < 8 || c.below(2) == 0 && told.len() < 16 {
                let fact = fact(&program, &mut c);
                let handle = state.assert(fact, Reason::from_index(0)).unwrap();
                told.push((handle, fact));
            } else {
                let (handle, _) = told.swap_remove(c.below(told.len()));
                state.retract(handle);
            }
            assert_eq!(state.settle(), StopReason::Settled);
            let last = state.facts().iter().map(|f| f.0.index()).max();
            largest = largest.max(last.unwrap_or(0));
            if c.below(50) == 0 {
                let standing: Vec<Fact> = told.iter().map(|t| t.1).collect();
                same_as_naive(&program, &state, &standing);
            }
        }
        assert!(
            largest < 5_000,
            "entries that have gone are cleared away: {largest}"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn telling_and_taking_back_equals_a_fresh_slow_run(
        rules in prop::collection::vec(any::<u8>(), 0..160),
        edits in prop::collection::vec(any::<u8>(), 0..200),
    ) {
        let program = program(&rules);
        let mut state = State::new(&program);
        let mut c = Choices { bytes: &edits, at: 0 };
        let mut told: Vec<(Told, Fact)> = Vec::new();
        while c.at < edits.len() {
            match c.below(5) {
                0..=2 => {
                    let fact = fact(&program, &mut c);
                    told.push((state.assert(fact, Reason::from_index(told.len())).unwrap(), fact));
                }
                3 if !told.is_empty() => {
                    let (handle, _) = told.swap_remove(c.below(told.len()));
                    state.retract(handle);
                }
                _ => {
                    prop_assert_eq!(state.settle(), StopReason::Settled);
                    let standing: Vec<Fact> = told.iter().map(|t| t.1).collect();
                    same_as_naive(&program, &state, &standing);
                    near_misses_are_honest(&program, &state);
                }
            }
        }
        prop_assert_eq!(state.settle(), StopReason::Settled);
        let standing: Vec<Fact> = told.iter().map(|t| t.1).collect();
        same_as_naive(&program, &state, &standing);
        state.clear();
        prop_assert_eq!(state.settle(), StopReason::Settled);
        prop_assert!(state.facts().is_empty());
        for fact in &standing {
            state.assert(*fact, Reason::from_index(0)).unwrap();
        }
        prop_assert_eq!(state.settle(), StopReason::Settled);
        same_as_naive(&program, &state, &standing);
    }
}
