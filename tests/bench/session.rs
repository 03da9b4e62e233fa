//! How fast a talk is: start to first prompt, first answer cold, further turns, peak memory,
//! messages a second of `batch`. `cargo bench --bench session`. Medians of several runs; memory is
//! read from the system where it tells (Linux).
#![allow(
    missing_docs,
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a command that prints a table"
)]

use std::io::Write;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::{Duration, Instant};

use swingwhy::conversation::Session;

const MESSAGES: [&str; 6] = [
    "7 iron, chunked three in a row, divot starts about 2 inches behind the ball, then I thinned one over the green",
    "leftie here. driver starts left and slices further left, irons are fine",
    "PW: low point 1 in behind, attack +0.5, no pain, want to know why I blade chips",
    "attack angle -4, low point 3.5 in ahead, 7i, carry 165, still thin ones",
    "5 wood off the fairway thin, never fat, no divot",
    "shanks with my wedges since Tuesday, jammed, no room",
];

fn median(mut times: Vec<Duration>) -> f64 {
    times.sort();
    times
        .get(times.len() / 2)
        .map_or(0.0, Duration::as_secs_f64)
        * 1e3
}

fn program(args: &[&str], input: &str) -> Duration {
    let start = Instant::now();
    let mut child = Command::new(env!("CARGO_BIN_EXE_swingwhy"))
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()
        .expect("the program starts");
    let mut stdin = child.stdin.take().expect("a pipe");
    stdin.write_all(input.as_bytes()).expect("it reads");
    drop(stdin);
    child.wait().expect("it ends");
    start.elapsed()
}

fn peak_kib() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

fn main() {
    let starts = (0..15).map(|_| program(&[], "bye\n")).collect();
    println!(
        "start, one trivial line, end     {:8.1} ms (aim 20)",
        median(starts)
    );

    let loads = (0..9)
        .map(|_| {
            let start = Instant::now();
            let base = swingwhy::knowledge::builtin().expect("the built-in knowledge");
            std::hint::black_box(&base);
            start.elapsed()
        })
        .collect();
    println!("knowledge read and checked       {:8.1} ms", median(loads));

    let base = Arc::new(swingwhy::knowledge::builtin().expect("the built-in knowledge"));
    for message in MESSAGES {
        let cold = (0..5)
            .map(|_| {
                let mut session = Session::new(Arc::clone(&base), None).expect("a session");
                let start = Instant::now();
                std::hint::black_box(session.respond(message));
                start.elapsed()
            })
            .collect();
        let turns = (0..5)
            .map(|_| {
                let mut session = Session::new(Arc::clone(&base), None).expect("a session");
                session.respond(message);
                let start = Instant::now();
                std::hint::black_box(session.respond("yes"));
                start.elapsed()
            })
            .collect();
        println!(
            "first answer {:8.1} ms (aim 150), further turn {:6.1} ms (aim 10): {:.40}",
            median(cold),
            median(turns),
            message
        );
    }
    if let Some(kib) = peak_kib() {
        println!(
            "peak memory so far               {:8.1} MB (aim 60)",
            kib as f64 / 1024.0
        );
    }
    let mut session = Session::new(base, None).expect("a session");
    let start = Instant::now();
    let n = 120;
    for i in 0..n {
        session.start_over(None);
        std::hint::black_box(
            session.respond(MESSAGES.get(i % MESSAGES.len()).copied().unwrap_or("")),
        );
    }
    println!(
        "messages a second, one process   {:8.1}",
        n as f64 / start.elapsed().as_secs_f64()
    );
}
