//! Speed and memory of the rule engine beside two anchors measured in the same run: CLIPS through
//! its C interface (needs a C compiler and the CLIPS headers) and a compile-time Datalog (built
//! with cargo from `anchors/datalog`). An anchor that is not there is skipped with a message.
//!
//! `cargo bench --bench rules` measures everything in some minutes; `-- quick` leaves out the
//! 30,000-rule sets, `-- alone` the anchors, and
//! names such as `'300 sparse'` or `'grid 20x20'` all others. Left out of every figure: reading YAML, and text of any kind; facts are told
//! by ids, to CLIPS by symbols made beforehand. Our justifications are on; CLIPS keeps its
//! `logical` dependencies. Every session's result is checked against an evaluator of its own.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    missing_docs,
    reason = "a benchmark prints, and stops when something is amiss"
)]

#[path = "rule_workloads.rs"]
mod rule_workloads;

use rule_workloads::{Condition, Diagnosis, Graph, Shape, VALUE_NAMES};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;
use swingwhy::quantity::{Amount, Dimension, Estimate, Unit};
use swingwhy::rules::{
    Bound, ConclusionSpec, ConditionSpec, Fact, OutcomeSpec, PatternId, Program, RangeSpec, Reason,
    RuleSpec, Schema, SlotId, SlotSpec, SlotType, State, StopReason, SymbolId, TestSpec, Told,
    Value,
};

fn main() {
    let quick = std::env::args().any(|a| a == "quick");
    let anchors = if std::env::args().any(|a| a == "alone") {
        Anchors::none()
    } else {
        Anchors::build()
    };
    let mut sizes = vec![
        (300, Shape::Sparse),
        (300, Shape::Cyclic),
        (3_000, Shape::Sparse),
        (3_000, Shape::Dense),
        (3_000, Shape::Cyclic),
    ];
    if !quick {
        sizes.extend([(30_000, Shape::Sparse), (30_000, Shape::Dense)]);
    }
    println!("diagnosis: microseconds a session, median / p99; ratio = ours / anchor (medians)");
    let wanted = |name: &str| {
        let words = ["quick", "alone", "--bench"];
        let mut names = std::env::args()
            .skip(1)
            .filter(|a| !words.contains(&a.as_str()));
        let some = names.next();
        some.is_none_or(|first| first == name || names.any(|n| n == name))
    };
    for (rules, shape) in sizes {
        if wanted(&format!("{rules} {shape:?}").to_lowercase()) {
            diagnosis(&Diagnosis::new(rules, shape, 300), &anchors);
        }
    }
    println!("\nclosure: microseconds, median");
    for graph in Graph::all().iter().filter(|g| wanted(&g.name)) {
        closure(graph, &anchors);
    }
}

fn microseconds(start: Instant) -> f64 {
    start.elapsed().as_nanos() as f64 / 1e3
}

/// Median and 99th percentile.
fn summary(times: &mut [f64]) -> (f64, f64) {
    times.sort_by(f64::total_cmp);
    (
        times[times.len() / 2],
        times[(times.len() as f64 * 0.99) as usize],
    )
}

fn resident_kilobytes() -> usize {
    let text = std::fs::read_to_string("/proc/self/statm").unwrap_or_default();
    let pages = text.split(' ').nth(1).and_then(|w| w.parse::<usize>().ok());
    pages.unwrap_or(0) * 4
}

fn specs(work: &Diagnosis) -> (Schema, Vec<RuleSpec>) {
    let mut schema = Schema::new();
    for i in 0..work.base_slots {
        schema = schema.observed(&format!("b{i}"), SlotType::Number(Dimension::Ratio));
    }
    for i in 0..work.derived_slots {
        schema.add(SlotSpec {
            name: format!("d{i}"),
            holds: SlotType::Symbol {
                choices: Some(VALUE_NAMES.map(String::from).to_vec()),
                exclusive: false,
            },
            observable: false,
        });
    }
    let bound = |at: f64| {
        at.is_finite().then(|| Bound {
            at: Amount::new(at, Unit::One).unwrap(),
            inclusive: true,
        })
    };
    let rules = work.rules.iter().enumerate().map(|(i, rule)| RuleSpec {
        id: format!("r{i}"),
        purpose: "bench".to_owned(),
        when: rule
            .conditions
            .iter()
            .map(|c| {
                let (slot, test) = match c {
                    Condition::Number { slot, low, high } => {
                        let range = RangeSpec {
                            low: bound(*low),
                            high: bound(*high),
                        };
                        (format!("b{slot}"), TestSpec::Range(range))
                    }
                    Condition::Derived { slot, value } => {
                        let names = vec![VALUE_NAMES[*value].to_owned()];
                        (format!("d{slot}"), TestSpec::Is(names))
                    }
                };
                ConditionSpec::Slot {
                    on: "p".to_owned(),
                    slot,
                    test,
                    bind: None,
                }
            })
            .collect(),
        then: vec![ConclusionSpec::Set {
            on: "p".to_owned(),
            slot: format!("d{}", rule.slot),
            to: OutcomeSpec::Symbol(VALUE_NAMES[rule.value].to_owned()),
        }],
        because: "because".to_owned(),
        kind: "elicited".to_owned(),
        source: None,
    });
    (schema, rules.collect())
}

fn diagnosis(work: &Diagnosis, anchors: &Anchors) {
    let (schema, rules) = specs(work);
    let (count, own_specs) = (rules.len(), rules.clone());
    let before = resident_kilobytes();
    let start = Instant::now();
    let program = Program::compile(&schema, Vec::new(), rules).unwrap();
    let compile = microseconds(start);
    let grown = resident_kilobytes().saturating_sub(before);
    drop(own_specs);
    let mut state = State::new(&program);
    let slots: Vec<SlotId> = (0..work.base_slots)
        .map(|i| program.slot(&format!("b{i}")).unwrap())
        .collect();
    let (mut whole, mut back, mut reset, mut wrong) = (vec![], vec![], vec![], 0);
    let pattern = PatternId::from_index(0);
    let rounds = if count > 3_000 { 5 } else { 20 };
    for session in work
        .sessions
        .iter()
        .cycle()
        .take(rounds * work.sessions.len())
    {
        let facts: Vec<Fact> = session
            .told
            .iter()
            .map(|&(slot, x)| Fact {
                pattern,
                slot: slots[slot],
                value: Value::Number(Estimate::new(x, 0.0, Unit::One).unwrap()),
            })
            .collect();
        let start = Instant::now();
        state.clear();
        reset.push(microseconds(start));
        let start = Instant::now();
        let mut taken_back = Told::from_index(0);
        for (i, fact) in facts.iter().enumerate() {
            let told = state.assert(*fact, Reason::from_index(i)).unwrap();
            if i == session.taken_back {
                taken_back = told;
            }
        }
        state.settle();
        let first = microseconds(start);
        let found = state.len() - facts.len();
        let start = Instant::now();
        state.retract(taken_back);
        state.settle();
        let second = microseconds(start);
        let left = state.len() - facts.len() + 1;
        wrong += usize::from([found, left] != session.derived);
        back.push(second);
        whole.push(first + second);
    }
    let (session, session99) = summary(&mut whole);
    let (retract, retract99) = summary(&mut back);
    let (reset, _) = summary(&mut reset);
    println!(
        "\n{} rules, {:.0} conditions touched a session",
        work.name,
        work.touched()
    );
    println!(
        "  ours      session {session:8.2} / {session99:8.2}  retract {retract:6.2} / {retract99:6.2}  reset {reset:6.2}  wrong {wrong}"
    );
    println!(
        "            compile {:.1} ms, {grown} kB more resident with the rules as written ({} bytes of clauses and indexes a rule)",
        compile / 1e3,
        program.heap_bytes() / count
    );
    println!(
        "            {} bytes a fact, {} a justification with 3 premises",
        State::FACT_BYTES,
        State::justification_bytes(3)
    );
    let names: Vec<String> = (0..20).map(|i| format!("b{i}")).collect();
    let mut by_name: Vec<f64> = (0..1000)
        .map(|_| {
            let start = Instant::now();
            let found = names.iter().filter_map(|n| program.slot(n)).count();
            assert_eq!(found, 20);
            microseconds(start)
        })
        .collect();
    let (by_name, _) = summary(&mut by_name);
    println!("            left out of the session: 20 slots by name, {by_name:.2}");
    beside(work, anchors, [session, retract, compile]);
}

/// The anchors on the same sessions.
fn beside(work: &Diagnosis, anchors: &Anchors, [session, retract, compile]: [f64; 3]) {
    let folder = anchors.folder.clone();
    let clp = folder.join("rules.clp");
    let plain = folder.join("rules.txt");
    let sessions = folder.join("sessions.txt");
    std::fs::write(&clp, work.clips()).unwrap();
    std::fs::write(&plain, work.plain()).unwrap();
    std::fs::write(&sessions, work.session_lines()).unwrap();
    let few = if work.rules.len() > 3_000 { "1" } else { "5" };
    if let Some(clips) = &anchors.clips {
        let out = run(clips, &["diagnosis", path(&clp), path(&sessions), few]);
        show("CLIPS", &out, session, "session_us");
        let (took, load) = (value(&out, "retract_us"), value(&out, "load_us"));
        println!(
            "            retract {:.2} ({:.3}), reset {:.2}, load {:.1} ms ({:.4}), {:.0} kB, wrong {}",
            took.0,
            retract / took.0,
            value(&out, "reset_us").0,
            load.0 / 1e3,
            compile / load.0,
            value(&out, "memory_kb").0,
            value(&out, "wrong").0
        );
    }
    if let Some(datalog) = &anchors.datalog {
        let out = run(datalog, &["diagnosis", path(&plain), path(&sessions), few]);
        show("Datalog", &out, session, "session_us");
    }
}

fn closure(graph: &Graph, anchors: &Anchors) {
    let schema = Schema::new()
        .observed("name", SlotType::open())
        .observed("edge", SlotType::open())
        .derived("path", SlotType::open());
    let on = |on: &str, slot: &str, bind: &str| ConditionSpec::Slot {
        on: on.to_owned(),
        slot: slot.to_owned(),
        test: TestSpec::Known,
        bind: Some(bind.to_owned()),
    };
    let rule = |id: &str, when: Vec<ConditionSpec>, to: &str| RuleSpec {
        id: id.to_owned(),
        purpose: "bench".to_owned(),
        when,
        then: vec![ConclusionSpec::Set {
            on: "p".to_owned(),
            slot: "path".to_owned(),
            to: OutcomeSpec::Variable(to.to_owned()),
        }],
        because: "because".to_owned(),
        kind: "elicited".to_owned(),
        source: None,
    };
    let rules = vec![
        rule("base", vec![on("p", "edge", "y")], "y"),
        rule(
            "step",
            vec![
                on("p", "path", "y"),
                on("q", "name", "y"),
                on("q", "edge", "z"),
            ],
            "z",
        ),
    ];
    let program = Program::compile(&schema, Vec::new(), rules).unwrap();
    let [name, edge] = ["name", "edge"].map(|s| program.slot(s).unwrap());
    let mut state = State::new(&program);
    let symbols: Vec<SymbolId> = (0..graph.nodes)
        .map(|n| state.symbol(&format!("n{n}")))
        .collect();
    let mut times = Vec::new();
    for _ in 0..9 {
        state.clear();
        let start = Instant::now();
        for (node, &symbol) in symbols.iter().enumerate() {
            let fact = Fact {
                pattern: PatternId::from_index(node),
                slot: name,
                value: Value::Symbol(symbol),
            };
            state.assert(fact, Reason::from_index(0)).unwrap();
        }
        for &(a, b) in &graph.edges {
            let fact = Fact {
                pattern: PatternId::from_index(a),
                slot: edge,
                value: Value::Symbol(symbols[b]),
            };
            state.assert(fact, Reason::from_index(0)).unwrap();
        }
        assert_eq!(state.settle(), StopReason::Settled);
        times.push(microseconds(start));
        assert_eq!(state.len(), graph.nodes + graph.edges.len() + graph.closure);
    }
    let (ours, _) = summary(&mut times);
    println!(
        "\n{}: closure {}\n  ours      {ours:10.0}",
        graph.name, graph.closure
    );
    let file = anchors.folder.join("graph.txt");
    std::fs::write(&file, graph.lines()).unwrap();
    for (name, anchor) in [("CLIPS", &anchors.clips), ("Datalog", &anchors.datalog)] {
        if let Some(anchor) = anchor {
            show(
                name,
                &run(anchor, &["closure", path(&file), "5"]),
                ours,
                "closure_us",
            );
        }
    }
}

/// The programs to measure against, where they could be built.
struct Anchors {
    folder: PathBuf,
    clips: Option<PathBuf>,
    datalog: Option<PathBuf>,
}

impl Anchors {
    fn none() -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("anchors");
        std::fs::create_dir_all(&folder).unwrap();
        Self {
            folder,
            clips: None,
            datalog: None,
        }
    }

    fn build() -> Self {
        let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bench/anchors");
        let folder = Self::none().folder;
        let clips = folder.join("clips_anchor");
        let built = Command::new("cc")
            .args([
                "-O2",
                path(&source.join("clips_anchor.c")),
                "-o",
                path(&clips),
            ])
            .args(["-lclips", "-lm"])
            .output();
        let clips = found("CLIPS (a C compiler and the CLIPS headers)", built).then_some(clips);
        let built = Command::new("cargo")
            .args(["build", "--release", "--quiet", "--manifest-path"])
            .arg(source.join("datalog/Cargo.toml"))
            .arg("--target-dir")
            .arg(&folder)
            .output();
        let datalog = folder.join("release/datalog-anchor");
        let datalog = found("the compile-time Datalog", built).then_some(datalog);
        Self {
            folder,
            clips,
            datalog,
        }
    }
}

fn found(what: &str, built: std::io::Result<std::process::Output>) -> bool {
    let there = built.is_ok_and(|output| output.status.success());
    if !there {
        println!("skipped: {what} could not be built here");
    }
    there
}

fn path(path: &Path) -> &str {
    path.to_str().unwrap()
}

fn run(program: &Path, arguments: &[&str]) -> String {
    let output = Command::new(program).args(arguments).output().unwrap();
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// Median and 99th percentile of one line of an anchor.
fn value(out: &str, what: &str) -> (f64, f64) {
    let line = out.lines().find_map(|l| l.strip_prefix(what)).unwrap_or("");
    let mut numbers = line.split_whitespace().filter_map(|w| w.parse().ok());
    let mut next = || numbers.next().unwrap_or(f64::NAN);
    (next(), next())
}

fn show(name: &str, out: &str, ours: f64, what: &str) {
    let (median, p99) = value(out, what);
    println!(
        "  {name:9} {median:10.2} / {p99:10.2}  ratio {:.4} (1/{:.1})  wrong {}",
        ours / median,
        median / ours,
        value(out, "wrong").0
    );
}
