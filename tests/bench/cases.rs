//! How often the built-in knowledge is right about the built-in cases: the same table as
//! `swingwhy knowledge cases`, and how long it takes. `cargo bench --bench cases`.
#![allow(
    missing_docs,
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a command that prints a table"
)]

use std::sync::Arc;
use std::time::Instant;

use swingwhy::knowledge::{builtin, builtin_cases, read_cases};
use swingwhy::trial::{figures, play_all};
use swingwhy::wording::{Trial, figures_lines};

fn main() {
    let base = Arc::new(builtin().expect("the built-in knowledge"));
    let cases = read_cases(&builtin_cases(), &base).expect("the built-in cases");
    let start = Instant::now();
    let outcomes = play_all(&base, &cases).expect("golfers");
    let took = start.elapsed().as_secs_f64();
    let trial = Trial {
        base: &base,
        cases: &cases,
        outcomes: &outcomes,
        figures: &figures(&base, &cases, &outcomes),
    };
    println!("{}", figures_lines(&trial, false));
    println!("{} cases played in {took:.1} s", cases.len());
}
