//! How well and how fast are messages read? Prints the quality over the annotated messages with
//! Wilson intervals, microseconds a message, and a line of 100 kB.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    missing_docs,
    dead_code,
    reason = "a bench prints, and stops at once if something is wrong"
)]

#[path = "../it/reading/cases.rs"]
mod cases;

use std::hint::black_box;
use std::time::Instant;

use swingwhy::reading::{self, Context, Phrases};

fn main() {
    let lexicon = std::sync::Arc::new(cases::lexicon());
    let start = Instant::now();
    let phrases = Phrases::compile(&lexicon);
    let compile = start.elapsed();
    let mut all = cases::Score::default();
    for (file, score) in cases::scores(&phrases) {
        println!("{}", cases::table(&file, &score));
        all.add(&score);
    }
    println!("{}", cases::table("all", &all));

    let said: Vec<String> = cases::files()
        .into_iter()
        .flat_map(|(_, cases)| cases)
        .map(|c| c.said)
        .collect();
    let context = Context::default();
    let mut times: Vec<f64> = Vec::new();
    for _ in 0..20 {
        for line in &said {
            let start = Instant::now();
            black_box(reading::read(&phrases, &context, black_box(line)));
            times.push(start.elapsed().as_secs_f64() * 1e6);
        }
    }
    times.sort_by(f64::total_cmp);
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
    println!(
        "compile the phrases          {:>9.1} ms",
        compile.as_secs_f64() * 1e3
    );
    println!("a message, median            {:>9.1} us", at(0.5));
    println!("a message, 99th percentile   {:>9.1} us", at(0.99));
    let forty = "my 7 iron is fat about three in ten and the divot starts 2 inches behind the ball but \
                 with the driver it starts left and curves right every time, no pain, carry 150 yards";
    long("40 words", forty, &phrases);
    long(
        "100 kB of talk",
        &format!("{forty}. ").repeat(560),
        &phrases,
    );
    long("100 kB of one word", &"fat ".repeat(25_000), &phrases);
    long("100 kB of digits", &"7 ".repeat(50_000), &phrases);
    long(
        "100 kB of unknown words",
        &"qwertzu asdfgh ".repeat(6_700),
        &phrases,
    );
    long("100 kB of commas", &",".repeat(100_000), &phrases);
    long("100 kB without a space", &"x".repeat(100_000), &phrases);
}

fn long(name: &str, line: &str, phrases: &Phrases) {
    let context = Context::default();
    let mut best = f64::MAX;
    for _ in 0..5 {
        let start = Instant::now();
        black_box(reading::read(phrases, &context, black_box(line)));
        best = best.min(start.elapsed().as_secs_f64());
    }
    println!("{name:<28} {:>9.1} us  ({} bytes)", best * 1e6, line.len());
}
