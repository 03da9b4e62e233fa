//! How fast is the real knowledge: read and checked, its rules compiled, a turn of rule work; and
//! what a rule and a fact weigh. `cargo bench --bench knowledge`.
#![allow(
    missing_docs,
    clippy::print_stdout,
    clippy::expect_used,
    unsafe_code,
    reason = "a command that prints a table, and counts bytes by an allocator of its own"
)]

use std::alloc::{GlobalAlloc, Layout, System};
use std::hint::black_box;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

use swingwhy::conversation::Session;
use swingwhy::diagnosis::{Case, reasoned};
use swingwhy::knowledge::{
    builtin, builtin_cases, builtin_files, load, read_cases, rule_functions, rule_schema,
};
use swingwhy::rules::Program;

struct Counting;

static LIVE: AtomicUsize = AtomicUsize::new(0);

// Counts what is asked for and not given back; the system does the work.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        LIVE.fetch_add(layout.size(), Ordering::Relaxed);
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, at: *mut u8, layout: Layout) {
        LIVE.fetch_sub(layout.size(), Ordering::Relaxed);
        unsafe { System.dealloc(at, layout) }
    }
}

#[global_allocator]
static COUNTING: Counting = Counting;

fn live() -> usize {
    LIVE.load(Ordering::Relaxed)
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
    let files = builtin_files();
    line(
        "knowledge read, checked, rules compiled",
        times(41, || load(&files).expect("the built-in knowledge")),
        15_000.0,
    );
    let base = Arc::new(builtin().expect("the built-in knowledge"));
    let specs = base.program.rules().to_vec();
    line(
        "rules compiled by the engine",
        times(41, || {
            Program::compile(&rule_schema(&base), rule_functions(), specs.clone()).expect("rules")
        }),
        5_000.0,
    );
    let before = live();
    let program =
        Program::compile(&rule_schema(&base), rule_functions(), specs.clone()).expect("rules");
    let bytes = live() - before;
    println!(
        "{} rules; ready to run {} bytes a rule (all that compiling keeps {})",
        specs.len(),
        program.heap_bytes() / specs.len(),
        bytes / specs.len(),
    );

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
    let (mut facts, mut weight) = (0, 0);
    for case in &told {
        let before = live();
        let state = reasoned(&base, case);
        weight += live() - before;
        facts += state.len();
    }
    println!(
        "{} talks: {:.1} facts and {} bytes each; {} bytes a fact, justifications included",
        told.len(),
        facts as f64 / told.len() as f64,
        weight / told.len(),
        weight / facts.max(1),
    );
}
