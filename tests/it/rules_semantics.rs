//! What the rule engine promises, one example each: mistakes found before anything runs, circles of
//! support, strata, several derivations of a number, limits, and no dependence on order.

use crate::rule_programs::{Session, parts};
use proptest::prelude::*;
use std::fmt::Write as _;
use swingwhy::knowledge::rule_shapes::{RuleShape, ShapeProblemKind, parse_quantity};
use swingwhy::quantity::Unit;
use swingwhy::rules::*;

const SLOTS: &str = "
slots:
  a: {flag: true, observed: true}
  b: {flag: true}
  c: {flag: true}
  d: {flag: true}
  depth: {number: length, observed: true}
  tilt: {number: angle, observed: true}
  half_depth: {number: length}
  divot: {one_of: [none, shallow, deep], observed: true}
  word: {open: true, observed: true}
functions:
  half: {inputs: [length], output: length}
rules:
";

/// Rules in short: `when` and `then` as flow YAML.
fn program(rules: &[(&str, &str)]) -> Result<Program, Vec<RuleProblem>> {
    let mut text = SLOTS.to_owned();
    for (i, (when, then)) in rules.iter().enumerate() {
        writeln!(
            text,
            "  - {{id: r{i}, for: test, when: [{when}], then: [{then}], because: so, kind: common}}"
        )
        .unwrap();
    }
    let (schema, functions, rules) = parts(&text);
    Program::compile(&schema, functions, rules)
}

#[track_caller]
fn refused(when: &str, then: &str, expected: &str) {
    let problems = program(&[(when, then)]).expect_err("a problem");
    let found: Vec<String> = problems
        .iter()
        .map(|p| format!("{:?}: {:?} {:?}", p.place, p.kind, p.nearest))
        .collect();
    assert_eq!(found.join("\n"), expected);
}

#[test]
fn every_mistake_has_its_place_and_the_nearest_name() {
    refused(
        "a: true, dept: known",
        "b: true",
        r#"When(1): UnknownSlot("dept") Some("depth")"#,
    );
    refused(
        "{any: [{a: true}, [{a: true}, {divot: deap}]]}",
        "b: true",
        r#"Any { when: 0, alternative: 1, item: 1 }: UnknownSymbol { slot: "divot", symbol: "deap" } Some("deep")"#,
    );
    refused(
        "{depth: known, as: d}",
        "half_depth: {by: haff, of: [d]}",
        r#"Then(0): UnknownFunction("haff") Some("half")"#,
    );
    refused(
        "{tilt: known, as: t}",
        "half_depth: {by: half, of: [t]}",
        "Then(0): WrongDimension { wanted: Length, got: Angle } None",
    );
    refused(
        "{tilt: {above: 3 in}}",
        "b: true",
        "When(0): WrongDimension { wanted: Angle, got: Length } None",
    );
    refused(
        "{depth: known, as: d}",
        "half_depth: {by: half, of: [d, 1 in]}",
        r#"Then(0): WrongInputs { function: "half", wanted: 1, got: 2 } None"#,
    );
    refused(
        "{depth: known, as: deep}",
        "half_depth: {value_of: deeq}",
        r#"Then(0): UnboundVariable("deeq") Some("deep")"#,
    );
    refused(
        "{any: [{depth: known, as: d}, {a: true}]}",
        "half_depth: {by: half, of: [d]}",
        r#"Then(0): UnboundVariable("d") None"#,
    );
}

#[test]
fn more_mistakes() {
    refused(
        "{any: [{a: true}, {depth: known}]}, {depth: known, as: d}, {depth: known, as: d}",
        "b: true",
        r#"When(2): BoundTwice("d") None"#,
    );
    refused(
        "depth: true",
        "b: true",
        r#"When(0): WrongTest { slot: "depth" } None"#,
    );
    refused(
        "a: true",
        "divot: true",
        r#"Then(0): WrongValue { slot: "divot" } None"#,
    );
    refused(
        "{word: known, as: w}",
        "divot: {value_of: w}",
        r#"Then(0): WrongValue { slot: "divot" } None"#,
    );
    refused(
        "{depth: {above: 3 in, below: 2 in}}",
        "b: true",
        "When(0): EmptyRange None",
    );
    refused("", "b: true", "Whole: NoConditions None");
    refused("a: true", "", "Whole: NoConclusions None");
    refused(
        "{a: true, different: p}",
        "b: true",
        r#"Any { when: 0, alternative: 0, item: 1 }: NotDifferent("p") None"#,
    );
    refused(
        "{a: true}",
        "{b: true, on: q}",
        r#"Then(0): UnboundVariable("q") None"#,
    );
    let any = "{any: [{a: true}, {b: true}, {c: true}, {d: true}]}";
    refused(
        &[any; 4].join(", "),
        "b: true",
        "Whole: TooLarge { got: 65, limit: 64 } None",
    );
}

#[test]
fn a_cycle_through_an_absence_is_refused_and_shown() {
    let problems = program(&[
        ("a: true, {c: unknown}", "b: true"),
        ("b: true", "d: true"),
        ("d: true", "c: true"),
    ])
    .expect_err("a cycle");
    let [problem] = problems.as_slice() else {
        panic!("{problems:?}");
    };
    let RuleProblemKind::Cycle(steps) = &problem.kind else {
        panic!("{problem:?}");
    };
    let steps: Vec<String> = steps
        .iter()
        .map(|s| {
            let how = if s.needs_settled { "waits for" } else { "uses" };
            format!("{}: {} {how} {}", s.rule, s.to, s.from)
        })
        .collect();
    assert_eq!(steps, ["r0: b waits for c", "r1: d uses b", "r2: c uses d"]);
}

#[test]
fn a_number_that_feeds_itself_is_refused() {
    let rule = (
        "{half_depth: known, as: h}",
        "half_depth: {by: half, of: [h]}",
    );
    let problems = program(&[rule]).expect_err("a cycle");
    assert!(matches!(problems[0].kind, RuleProblemKind::Cycle(_)));
}

fn session(rules: &[(&str, &str)], told: &[&str]) -> Session {
    let mut session = Session::new(&program(rules).unwrap());
    for line in told {
        session.tell(line);
    }
    session.settle();
    session
}

#[test]
fn facts_that_hold_each_other_up_go_together() {
    let rules = [
        ("a: true", "b: true"),
        ("b: true", "c: true"),
        ("c: true", "b: true"),
        ("c: true", "d: true"),
    ];
    let mut session = session(&rules, &["0 a true"]);
    assert_eq!(session.derived(), ["b", "c", "d"]);
    session.take_back("0 a true");
    session.settle();
    assert_eq!(session.show(), "");
}

#[test]
fn a_fact_told_and_derived_needs_both_taken_away() {
    let mut session = session(&[("a: true", "b: true")], &["0 a true", "0 b true"]);
    session.take_back("0 a true");
    session.settle();
    assert_eq!(session.symbols(0, "b"), ["true"]);
    session.take_back("0 b true");
    session.settle();
    assert!(session.symbols(0, "b").is_empty());
}

#[test]
fn taking_back_what_was_just_told_leaves_nothing() {
    let mut session = session(&[("a: true", "b: true")], &[]);
    session.tell("0 a true");
    session.take_back("0 a true");
    session.tell("0 a true");
    session.settle();
    assert_eq!(session.derived(), ["b"]);
}

#[test]
fn the_number_with_the_smaller_error_is_in_use_and_the_other_is_kept() {
    let mut session = session(
        &[("{depth: {above: 1 in}}", "b: true")],
        &["0 depth 2 in +/- 1 in", "0 depth 0.5 in +/- 0.9 in"],
    );
    assert!(session.state.contradictions().is_empty(), "they agree");
    assert_eq!(session.derived(), [""; 0]);
    assert_eq!(session.symbols(0, "depth").len(), 2);
    session.take_back("0 depth 0.5 in +/- 0.9 in");
    session.settle();
    assert_eq!(session.derived(), ["b"]);
}

#[test]
fn numbers_more_than_two_deviations_apart_contradict_each_other() {
    // Combined deviation of 0.3 and 0.4 in: 0.5 in.
    for (second, contradictions) in [("1.9 in", 0), ("2.1 in", 1)] {
        let second = format!("0 depth {second} +/- 0.4 in");
        let session = session(&[], &["0 depth 1 in +/- 0.3 in", &second]);
        assert_eq!(session.state.contradictions().len(), contradictions);
    }
}

#[test]
fn limits_stop_a_state_and_it_can_go_on() {
    let rules = [(
        "{word: known, as: w}, {on: q, word: known, as: v, different: p}",
        "{word: {value_of: v}}",
    )];
    let program = program(&rules).unwrap();
    let word = program.slot("word").unwrap();
    let fill = |limits: Limits| {
        let mut state = State::with_limits(&program, limits);
        for i in 0..30 {
            let value = Value::Symbol(state.symbol(&format!("w{i}")));
            let fact = Fact {
                pattern: PatternId::from_index(i),
                slot: word,
                value,
            };
            state.assert(fact, Reason::from_index(i)).unwrap();
        }
        state
    };
    let limits = Limits {
        steps: 1000,
        ..Limits::default()
    };
    let mut state = fill(limits);
    assert_eq!(state.settle(), StopReason::StepLimit);
    assert_eq!(state.settle(), StopReason::StepLimit, "no half result");
    let limits = Limits {
        facts: 100,
        ..Limits::default()
    };
    let mut state = fill(limits);
    assert_eq!(state.settle(), StopReason::FactLimit);
    state.clear();
    assert_eq!(state.settle(), StopReason::Settled);
    let mut state = fill(Limits::default());
    assert_eq!(state.settle(), StopReason::Settled);
    assert_eq!(state.len(), 900);
}

#[test]
fn values_that_do_not_suit_are_not_taken() {
    let program = program(&[]).unwrap();
    let mut state = State::new(&program);
    let pattern = PatternId::from_index(0);
    let inches = parse_quantity("2 in").unwrap();
    for (slot, value) in [
        ("a", Value::Number(inches)),
        ("tilt", Value::Number(inches)),
        ("divot", Value::Flag(true)),
        ("divot", Value::Symbol(state.symbol("bottomless"))),
        ("word", Value::Symbol(SymbolId::from_index(1 << 20))),
    ] {
        let slot = program.slot(slot).unwrap();
        let fact = Fact {
            pattern,
            slot,
            value,
        };
        let refused = state.assert(fact, Reason::from_index(0));
        assert_eq!(refused, Err(TellError::Value { slot, value }));
    }
}

#[test]
fn quantities_are_read_with_unit_and_error() {
    let read = |text| parse_quantity(text).map(|e| (e.mean(), e.sd()));
    assert_eq!(read("0.5 in"), Ok((0.5 * Unit::Inch.scale(), 0.0)));
    let (mean, sd) = read("-3 mm +/- 1.5 mm").unwrap();
    assert!((mean + 0.003).abs() < 1e-12 && (sd - 0.0015).abs() < 1e-12);
    assert_eq!(read("3 +/- 1.5 mm"), read("3 mm +/- 1.5"));
    assert_eq!(read("40 %"), Ok((0.4, 0.0)));
    assert_eq!(read("7"), Ok((7.0, 0.0)));
    let unit = "inch".to_owned();
    assert_eq!(read("3 inch"), Err(ShapeProblemKind::UnknownUnit { unit }));
    assert!(read("three mm").is_err() && read("3 mm +/- 2 deg").is_err());
}

#[test]
fn a_rule_that_cannot_be_read_says_where() {
    let read = |when: &str, then: &str| {
        let text =
            format!("{{id: r, for: t, when: [{when}], then: [{then}], because: so, kind: common}}");
        let shape: RuleShape = serde_yaml::from_str(&text).unwrap();
        let problems = shape.to_spec().unwrap_err();
        format!("{:?}: {:?}", problems[0].place, problems[0].kind)
    };
    assert_eq!(
        read("a: true, {depth: {abov: 3 in}}", "b: true"),
        r#"When(1): UnexpectedKey { key: "abov" }"#
    );
    assert_eq!(
        read("{depth: {above: 3 inn}}", "b: true"),
        r#"When(0): UnknownUnit { unit: "inn" }"#
    );
    assert_eq!(
        read("{a: true, b: true, as: x}", "b: true"),
        "When(0): AmbiguousName"
    );
    assert_eq!(
        read("a: true", "{b: true, c: true}"),
        "Then(0): NotOneThing"
    );
    assert_eq!(read("a", "b: true"), "When(0): NotKeysAndValues");
    assert_eq!(
        read("a: true", "contradiction: [a]"),
        r#"Then(0): WrongForm { key: "contradiction" }"#
    );
}

proptest! {
    #[test]
    fn no_order_of_rules_or_of_telling_matters(shuffle in prop::collection::vec(any::<u16>(), 64)) {
        let (schema, functions, rules) = parts(&crate::rule_programs::text("turf"));
        let told = [
            "0 turf_entry 2 in +/- 0.5 in", "0 radius 1.6 m", "0 plane 60 deg", "0 fat true",
            "0 divot deep", "0 group iron", "1 thin true", "1 group iron", "1 mark_depth 9 mm",
            "2 fat true", "2 club six", "2 mark_ahead true", "0 mark_depth 12 mm +/- 3 mm",
            "0 mark_depth 14 mm +/- 3 mm", "1 divot shallow", "1 off_a_tee true", "1 clean true",
        ];
        let run = |keys: &[u16]| {
            let sorted = |n: usize, from: usize| {
                let mut order: Vec<usize> = (0..n).collect();
                order.sort_by_key(|&i| (keys.get((i + from) % keys.len().max(1)).copied(), i));
                order
            };
            let order = sorted(rules.len(), 0);
            let rules = order.iter().map(|&i| rules[i].clone()).collect();
            let program = Program::compile(&schema, functions.clone(), rules).unwrap();
            let mut session = Session::new(&program);
            for i in sorted(told.len(), 20) {
                session.tell(told[i]);
                if keys.get(i).is_some_and(|k| k % 3 == 0) {
                    session.settle();
                }
            }
            session.settle();
            let mut text = session.show();
            for (_, fact) in session.state.facts() {
                let line = session.fact(&fact);
                text += &session.why(&line);
            }
            text + &session.why_not("2 low_point_behind true")
        };
        prop_assert_eq!(run(&shuffle), run(&[]));
    }
}

#[track_caller]
fn holds(session: &mut Session, line: &str) -> bool {
    session.settle();
    session.show().lines().any(|l| l.trim() == line)
}

#[test]
fn numbers_of_two_patterns_are_compared() {
    let program = program(&[(
        "{depth: known, as: x}, {on: q, depth: known, as: y}, {on: q, different: p}, \
         {difference: [x, y], at_least: 0.9 in}",
        "b: true",
    )])
    .unwrap();
    let mut session = Session::new(&program);
    session.tell("0 depth 3 in");
    assert!(!holds(&mut session, "0 b true"));
    session.tell("1 depth 2.5 in");
    assert!(!holds(&mut session, "0 b true"));
    session.tell("2 depth 2 in");
    assert!(holds(&mut session, "0 b true"));
    assert!(!holds(&mut session, "1 b true"));
    session.take_back("2 depth 2 in");
    assert!(!holds(&mut session, "0 b true"));
    assert!(session.why_not("0 b true").contains("r0"));
}

#[test]
fn a_difference_may_stand_before_its_numbers_and_must_fit_in_dimension() {
    let before =
        "{difference: [x, y], below: 0 in}, {depth: known, as: x}, {on: q, depth: known, as: y}";
    assert!(program(&[(before, "b: true")]).is_ok());
    refused(
        "{depth: known, as: x}, {tilt: known, as: y}, {difference: [x, y], above: 1 in}",
        "b: true",
        "When(2): WrongDimension { wanted: Length, got: Angle } None",
    );
    refused(
        "{depth: known, as: x}, {difference: [x, z], above: 1 in}",
        "b: true",
        r#"When(1): UnboundVariable("z") None"#,
    );
}

#[test]
fn counts_and_means_are_taken_among_patterns_of_one_sort() {
    let program = program(&[
        (
            "{count: {slot: a, is: true}, among: word, at_least: 2}, a: true",
            "b: true",
        ),
        (
            "{mean: depth, among: word, above: 1 in}, word: known",
            "c: true",
        ),
    ])
    .unwrap();
    let mut session = Session::new(&program);
    for line in [
        "0 word six",
        "1 word six",
        "2 word seven",
        "3 word seven",
        "0 a true",
        "2 a true",
        "0 depth 3 in",
        "1 depth 1 in",
        "2 depth 0.5 in",
    ] {
        session.tell(line);
    }
    assert!(!holds(&mut session, "0 b true"), "one of each");
    assert!(holds(&mut session, "0 c true") && holds(&mut session, "1 c true"));
    assert!(!holds(&mut session, "2 c true"));
    session.tell("3 a true");
    assert!(holds(&mut session, "2 b true") && holds(&mut session, "3 b true"));
    assert!(!holds(&mut session, "0 b true"));
    // Who belongs to the group counts as much as what is counted.
    session.take_back("3 word seven");
    assert!(!holds(&mut session, "2 b true"));
    session.tell("3 word six");
    assert!(holds(&mut session, "0 b true") && !holds(&mut session, "2 b true"));
    session.take_back("0 depth 3 in");
    assert!(!holds(&mut session, "0 c true"));
    refused(
        "{count: {slot: a, is: true}, among: depth, at_least: 2}, a: true",
        "b: true",
        r#"When(0): WrongTest { slot: "depth" } None"#,
    );
}
