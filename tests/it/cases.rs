//! Cases written by a teacher who had not seen the knowledge: `tests/cases/blind`. Each gives lines
//! as a golfer types them and the causes a coach would accept in first place.
//!
//! The full table (with intervals, per writer, family of causes, club group and theme, failures
//! listed) is a command: `swingwhy knowledge cases`. Here only what must never slip: safety, the
//! shares reached so far, and the rules that a case says must fire or stay silent.

use crate::support::{base, root};
use swingwhy::knowledge::{WrittenCase, builtin_cases, read_cases};
use swingwhy::trial::{Outcome, figures, play_all};
use swingwhy::wording::problems;

/// Every case with its outcome, played once for all tests.
fn played() -> &'static (Vec<WrittenCase>, Vec<Outcome>) {
    static PLAYED: std::sync::OnceLock<(Vec<WrittenCase>, Vec<Outcome>)> =
        std::sync::OnceLock::new();
    PLAYED.get_or_init(|| {
        let cases = read_cases(&builtin_cases(), &base());
        let cases = cases.unwrap_or_else(|list| panic!("{}", problems(&list)));
        let outcomes = play_all(&base(), &cases).unwrap();
        (cases, outcomes)
    })
}

#[test]
fn the_embedded_cases_are_those_of_the_folder() {
    let mut there = Vec::new();
    for folder in ["blind", "fresh", "knowing", "rules"] {
        for entry in std::fs::read_dir(root().join("tests/cases").join(folder)).unwrap() {
            let name = entry.unwrap().file_name().to_string_lossy().into_owned();
            there.push(format!("{folder}/{name}"));
        }
    }
    there.sort();
    let here: Vec<String> = builtin_cases().into_iter().map(|f| f.path).collect();
    assert_eq!(here, there);
}

#[test]
fn cautions_come_where_a_teacher_wants_them() {
    let (cases, outcomes) = played();
    let wrong: Vec<_> = cases
        .iter()
        .zip(outcomes)
        .filter(|(case, outcome)| !outcome.caution_right(case))
        // A false alarm in a case that nothing is tuned on is counted, not tuned away.
        .filter(|(case, _)| case.by != "fresh" || case.caution.is_some())
        .map(|(case, outcome)| format!("{}: {:?}", case.id, outcome.caution))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn rules_fire_and_stay_silent_where_a_case_says_so() {
    let (cases, outcomes) = played();
    let base = base();
    let wrong: Vec<_> = cases
        .iter()
        .zip(outcomes)
        .flat_map(|(case, outcome)| {
            let rules = outcome.rules_wrong(case).into_iter();
            rules.map(|r| format!("{}: {}", case.id, base.program.rule(r).unwrap().id))
        })
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn accepted_causes_lead_as_often_as_they_did() {
    let (cases, outcomes) = played();
    let figures = figures(&base(), cases, outcomes);
    for (writer, first, three, never) in REACHED {
        let own = figures.writers.get(writer).cloned().unwrap_or_default();
        let reached = (own.first.share(), own.three.share());
        let forbidden = own.forbidden.share();
        println!(
            "{writer}: first {:.3}, three {:.3}, never {forbidden:.3}",
            reached.0, reached.1
        );
        assert!(
            reached.0 >= first && reached.1 >= three && forbidden <= never,
            "{writer}: {reached:?} {forbidden:.3}"
        );
    }
}

#[test]
fn every_cause_comes_first_and_second_and_every_rule_is_tried() {
    let (cases, outcomes) = played();
    let base = base();
    let figures = figures(&base, cases, outcomes);
    let thin: Vec<_> = base
        .causes
        .iter()
        .map(|cause| cause.id.as_str())
        .zip(&figures.causes)
        .filter(|(_, (accepted, first, second))| *(accepted.min(first).min(second)) < 2)
        .collect();
    assert!(thin.is_empty(), "{thin:#?}");
    let untried: Vec<_> = base
        .program
        .rules()
        .iter()
        .zip(&figures.rules)
        .filter(|(_, (fired, silent))| *fired == 0 || *silent == 0)
        .map(|(rule, counts)| (&rule.id, counts))
        .collect();
    assert!(untried.is_empty(), "{untried:#?}");
}

/// For each writer the shares of accepted causes first and among the first three, and of forbidden
/// ones first, when last measured, less two points (those held out, five): a change that costs more
/// must be argued. `blind` was tuned on since; what is held out (`fresh`) says how well it holds.
const REACHED: [(&str, f64, f64, f64); 3] = [
    ("blind", 0.86, 0.92, 0.02),
    ("fresh", 0.75, 0.84, 0.05),
    ("knowing", 0.96, 0.98, 0.02),
];
