//! Accuracy on the case files: first cause, first three, forbidden first, effects, cautions, with n
//! and 95 % intervals (Wilson 1927), per theme; failures in full. `cargo bench --bench cases`.
#![allow(
    missing_docs,
    clippy::print_stdout,
    clippy::expect_used,
    dead_code,
    reason = "a command that prints a table"
)]

#[path = "../it/casefile.rs"]
mod casefile;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use casefile::{Case, Outcome, cases, judge};
use swingwhy::conversation::Session;

fn wilson(hits: usize, n: usize) -> String {
    if n == 0 {
        return "-".to_owned();
    }
    let (n, p, z) = (n as f64, hits as f64 / n as f64, 1.96);
    let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    format!(
        "{:5.1} % ({:.0}-{:.0}), n {n}",
        p * 100.0,
        (middle - half) * 100.0,
        (middle + half) * 100.0
    )
}

fn main() {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    for folder in ["fresh", "blind"] {
        println!("\n== tests/cases/{folder}");
        table(&root.join("tests/cases").join(folder), folder == "blind");
    }
}

/// The table of a folder; failures in full unless the folder is held out.
fn table(folder: &Path, in_full: bool) {
    let all = cases(folder).expect("the case files");
    let base = Arc::new(swingwhy::knowledge::builtin().expect("the built-in knowledge"));
    let mut session = Session::new(Arc::clone(&base), None).expect("a session");
    let outcomes: Vec<(Case, Outcome)> = all
        .into_iter()
        .map(|case| {
            let outcome = judge(&mut session, &case);
            (case, outcome)
        })
        .collect();
    let count =
        |f: &dyn Fn(&Case, &Outcome) -> bool| outcomes.iter().filter(|(c, o)| f(c, o)).count();
    let n = outcomes.len();
    println!("knowledge {}", base.hash);
    println!(
        "answered                {}",
        wilson(count(&|_, o| o.answered), n)
    );
    println!(
        "accepted cause first    {}",
        wilson(count(&|c, o| o.first_accepted(c)), n)
    );
    println!(
        "in the first three      {}",
        wilson(count(&|c, o| o.three_accepted(c)), n)
    );
    println!(
        "forbidden cause first   {}",
        wilson(count(&|c, o| o.forbidden_leads(c)), n)
    );
    println!(
        "an accepted effect      {}",
        wilson(count(&|c, o| o.effect_found(c)), n)
    );
    println!(
        "caution right           {}",
        wilson(count(&|c, o| o.caution_right(c)), n)
    );
    let mut themes: BTreeMap<&str, (usize, usize, usize)> = BTreeMap::new();
    for (case, outcome) in &outcomes {
        let entry = themes.entry(&case.theme).or_default();
        entry.0 += 1;
        entry.1 += usize::from(outcome.first_accepted(case));
        entry.2 += usize::from(outcome.three_accepted(case));
    }
    println!("\ntheme                n  first  three");
    for (theme, (n, first, three)) in themes {
        println!("{theme:<18} {n:>3}  {first:>5}  {three:>5}");
    }
    if !in_full {
        return;
    }
    println!("\nnot first (wanted | got):");
    for (case, outcome) in outcomes.iter().filter(|(c, o)| !o.first_accepted(c)) {
        let mark = if outcome.forbidden_leads(case) {
            "!!"
        } else if outcome.three_accepted(case) {
            " ."
        } else {
            "  "
        };
        println!(
            "{mark} {:<40} {} | {}",
            case.id,
            case.first.join(" "),
            outcome
                .ranked
                .iter()
                .take(4)
                .cloned()
                .collect::<Vec<_>>()
                .join(" ")
        );
        println!("      {}", case.say.join(" / "));
    }
}
