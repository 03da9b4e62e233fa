//! A compile-time Datalog (`ascent`) on the workloads of the rule benchmark: closure as a compiled
//! program; diagnosis with the rules as data, since compiling 300 rules in takes a minute. It has
//! no way to take anything back, so a session evaluates twice.
//!
//! usage: `datalog-anchor closure GRAPH ROUNDS` or `datalog-anchor diagnosis RULES SESSIONS ROUNDS`

use ascent::ascent;
use std::cell::RefCell;
use std::time::Instant;

ascent! {
    struct Closure;
    relation edge(u32, u32);
    relation path(u32, u32);
    path(x, y) <-- edge(x, y);
    path(x, z) <-- path(x, y), edge(y, z);
}

/// The rules by slot, outside the program: base slots first, derived slots after them.
#[derive(Default)]
struct Rules {
    numbers: Vec<Vec<(i32, i32, u32, u8)>>,
    derived: Vec<[Vec<(u32, u8)>; 3]>,
    conclusions: Vec<(u32, i32)>,
}

thread_local! {
    static RULES: RefCell<Rules> = RefCell::new(Rules::default());
}

const DERIVED: u32 = 1 << 20;

fn matches(slot: u32, value: i32) -> Vec<(u32, u8)> {
    RULES.with(|rules| {
        let rules = rules.borrow();
        if slot < DERIVED {
            let all = rules.numbers.get(slot as usize).into_iter().flatten();
            return all
                .filter(|c| c.0 <= value && value <= c.1)
                .map(|c| (c.2, c.3))
                .collect();
        }
        let here = rules.derived.get((slot - DERIVED) as usize);
        here.map_or(Vec::new(), |d| d[value as usize].clone())
    })
}

fn conclusion(rule: u32) -> (u32, i32) {
    RULES.with(|rules| rules.borrow().conclusions[rule as usize])
}

ascent! {
    struct Diagnosis;
    relation fact(u32, i32);
    relation met(u32, u8);
    relation fires(u32);
    met(r, i) <-- fact(a, v), for (r, i) in matches(*a, *v);
    fires(r) <-- met(r, 0), met(r, 1), met(r, 2);
    fact(c.0, c.1) <-- fires(r), let c = conclusion(*r);
}

fn report(what: &str, times: &mut [f64]) {
    times.sort_by(f64::total_cmp);
    let p99 = times[(times.len() as f64 * 0.99) as usize];
    println!("{what} {:.3} {p99:.3}", times[times.len() / 2]);
}

fn main() {
    let args: Vec<String> = std::env::args().collect();
    let read = |i: usize| std::fs::read_to_string(&args[i]).expect("a file");
    match args.get(1).map(String::as_str) {
        Some("closure") => closure(&read(2), args[3].parse().expect("rounds")),
        Some("diagnosis") => diagnosis(&read(2), &read(3), args[4].parse().expect("rounds")),
        _ => std::process::exit(2),
    }
}

fn closure(graph: &str, rounds: usize) {
    let numbers: Vec<usize> = graph.split_whitespace().map(|w| w.parse().expect("number")).collect();
    let edges: Vec<(u32, u32)> = numbers[3..].chunks(2).map(|c| (c[0] as u32, c[1] as u32)).collect();
    let (mut times, mut wrong) = (Vec::new(), 0);
    for _ in 0..rounds {
        let start = Instant::now();
        let mut program = Closure { edge: edges.clone(), ..Closure::default() };
        program.run();
        times.push(start.elapsed().as_nanos() as f64 / 1e3);
        wrong += usize::from(program.path.len() != numbers[2]);
    }
    report("closure_us", &mut times);
    println!("wrong {wrong} 0");
}

fn diagnosis(rules: &str, sessions: &str, rounds: usize) {
    RULES.with(|all| {
        let mut all = all.borrow_mut();
        for (rule, line) in rules.lines().enumerate() {
            let mut words = line.split(' ').map(|w| w.parse::<i64>().expect("number"));
            let mut next = || words.next().expect("a number");
            let (slot, value) = (next() as u32, next() as i32);
            all.conclusions.push((DERIVED + slot, value));
            for i in 0..3 {
                let (kind, slot) = (next(), next() as usize);
                if kind == 0 {
                    let (low, high) = (next() as i32, next() as i32);
                    if all.numbers.len() <= slot {
                        all.numbers.resize(slot + 1, Vec::new());
                    }
                    all.numbers[slot].push((low, high, rule as u32, i));
                } else {
                    if all.derived.len() <= slot {
                        all.derived.resize(slot + 1, <[Vec<(u32, u8)>; 3]>::default());
                    }
                    all.derived[slot][next() as usize].push((rule as u32, i));
                }
            }
        }
    });
    let mut words = sessions.split_whitespace();
    let mut next = || words.next().expect("a word");
    let count: usize = next().parse().expect("sessions");
    let mut all = Vec::new();
    for _ in 0..count {
        let [n, back, first, second] = [0; 4].map(|_: usize| next().parse::<usize>().expect("number"));
        let told: Vec<(u32, i32)> = (0..n)
            .map(|_| {
                let slot = next()[1..].parse().expect("slot");
                (slot, (next().parse::<f64>().expect("number") * 10.0).round() as i32)
            })
            .collect();
        all.push((told, back, first, second));
    }
    let (mut times, mut wrong) = (Vec::new(), 0);
    for (told, back, first, second) in all.iter().cycle().take(count * rounds) {
        let run = |skip: Option<usize>| {
            let start = Instant::now();
            let mut program = Diagnosis::default();
            program.fact = told
                .iter()
                .enumerate()
                .filter(|(i, _)| Some(*i) != skip)
                .map(|(_, t)| *t)
                .collect();
            let before = program.fact.len();
            program.run();
            (start.elapsed().as_nanos() as f64 / 1e3, program.fact.len() - before)
        };
        let (a, m1) = run(None);
        let (b, m2) = run(Some(*back));
        times.push(a + b);
        wrong += usize::from(m1 != *first || m2 != *second);
    }
    report("session_us", &mut times);
    println!("wrong {wrong} 0");
}
