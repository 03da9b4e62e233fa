//! How fast is the real knowledge: read and checked, its rules compiled, a turn of rule work; and
//! what a rule and a fact weigh. `cargo bench --bench knowledge`.
#![allow(
    missing_docs,
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a command that prints a table"
)]

use std::hint::black_box;
use std::sync::Arc;
use std::time::Instant;

use swingwhy::conversation::Session;
use swingwhy::diagnosis::{Case, reasoned};
use swingwhy::knowledge::{
    SourceFile, builtin, builtin_cases, builtin_files, load, read_cases, rule_functions,
    rule_schema,
};
use swingwhy::rules::{Program, State};

/// So many are held at once to weigh one.
const COPIES: usize = 30;

/// Memory in use, by what the system says of the process; 0 where it does not.
fn resident() -> usize {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmRSS:"));
    let kib = line.and_then(|l| l.split_whitespace().nth(1)?.parse::<usize>().ok());
    kib.unwrap_or(0) * 1024
}

/// Microseconds: least, median, 95th percentile.
fn times<T>(n: usize, mut work: impl FnMut() -> T) -> (f64, f64, f64) {
    let mut times: Vec<f64> = (0..n)
        .map(|_| {
            let start = Instant::now();
            let made = work();
            let took = start.elapsed().as_nanos() as f64 / 1e3;
            black_box(made);
            took
        })
        .collect();
    times.sort_by(f64::total_cmp);
    let at = |share: f64| times.get((times.len() as f64 * share) as usize).copied();
    (
        times.first().copied().unwrap_or(0.0),
        at(0.5).unwrap_or(0.0),
        at(0.95).unwrap_or(0.0),
    )
}

fn line(what: &str, (least, median, most): (f64, f64, f64), aim: f64) {
    println!("{what:<44} {least:9.1} {median:9.1} {most:9.1}   {aim:8.0}");
}

fn main() {
    println!(
        "{:<44} {:>9} {:>9} {:>9}   {:>8}",
        "microseconds", "least", "median", "95 %", "aim"
    );
    line(
        "knowledge read, checked, rules compiled",
        times(41, || builtin().expect("the built-in knowledge")),
        15_000.0,
    );
    // A file that is not as it was compiled in is read as YAML, and all phrases compared again.
    let own: Vec<SourceFile> = builtin_files()
        .into_iter()
        .map(|file| SourceFile {
            text: format!("{}\n", file.text),
            ..file
        })
        .collect();
    line(
        "the same from a folder, as YAML",
        times(11, || load(&own).expect("the built-in knowledge")),
        100_000.0,
    );
    let base = Arc::new(builtin().expect("the built-in knowledge"));
    let specs = base.program.rules().to_vec();
    let compile =
        || Program::compile(&rule_schema(&base), rule_functions(), specs.clone()).expect("rules");
    line("rules compiled by the engine", times(41, compile), 5_000.0);
    let before = resident();
    let many: Vec<Program> = (0..COPIES).map(|_| compile()).collect();
    let bytes = (resident() - before) / COPIES / specs.len();
    let ready = base.program.heap_bytes() / specs.len();
    println!(
        "{} rules: {ready} bytes each ready to run, {bytes} with all that is kept of the text",
        specs.len()
    );
    drop(many);

    let mut session = Session::new(Arc::clone(&base), None).expect("a session");
    let told: Vec<Case> = read_cases(&builtin_cases(), &base)
        .expect("the built-in cases")
        .iter()
        .map(|case| {
            session.start_over(case.hand);
            for text in &case.say {
                black_box(session.respond(text));
            }
            session.case()
        })
        .collect();
    let mut turns = told.iter().cycle();
    line(
        "a turn's rule work, from nothing",
        times(told.len() * 10, || {
            turns.next().map(|case| reasoned(&base, case))
        }),
        200.0,
    );
    let before = resident();
    let states: Vec<State> = told
        .iter()
        .cycle()
        .take(told.len() * COPIES)
        .map(|case| reasoned(&base, case))
        .collect();
    let weight = resident() - before;
    let facts: usize = states.iter().map(State::len).sum();
    println!(
        "{} talks: {:.1} facts and {} bytes each; {} bytes a fact, justifications included",
        states.len(),
        facts as f64 / states.len() as f64,
        weight / states.len(),
        weight / facts.max(1),
    );
}
