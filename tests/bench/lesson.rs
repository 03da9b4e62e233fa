//! How well the verdict words hold up, and whether a killed program ever loses a record.
//!
//! `cargo bench --bench lesson` prints both with a short kill loop; `-- verdicts [TRIALS]` and
//! `-- kill [ROUNDS] [SEED]` after it run one of them. 3,000 rounds without a loss bound the chance of
//! one at 0.1 % with 95 % confidence. The seed is printed. A row that breaks its promise makes the run
//! fail. Killing a program does not cut the power: that is the work of the tests in `tests/it/lesson`.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    missing_docs,
    reason = "a bench that fails should say so at once, and prints its findings"
)]

use std::io::{BufRead as _, BufReader, Write as _};
use std::path::Path;
use std::process::{Command, ExitCode, Stdio};
use std::time::Duration;

use swingwhy::lesson::{
    Better, Block, Comparison, Entry, Facts, Figure, Goal, GolferKey, Lessons, Looks, Moment, Note,
    Series, Shots, Taken, Tally, Verdict, judge,
};
use swingwhy::quantity::Unit;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args()
        .skip(1)
        .filter(|a| !a.starts_with("--"))
        .collect();
    let number = |i: usize, otherwise: u64| {
        words
            .get(i)
            .map_or(otherwise, |w| w.parse().expect("a whole number"))
    };
    let kept = match words.first().map(String::as_str) {
        Some("child") => return child(Path::new(&words[1]), number(2, 0)),
        Some("verdicts") => verdicts(number(1, 20_000)),
        Some("kill") => kill(number(1, 3_000), number(2, 1)),
        _ => verdicts(4_000) & kill(60, 1),
    };
    if kept {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

/// Random numbers with a seed: the 64-bit mix of Steele, Lea & Flood 2014.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Between 0 and 1, neither included.
    fn share(&mut self) -> f64 {
        ((self.next() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (-2.0 * self.share().ln()).sqrt() * (std::f64::consts::TAU * self.share()).cos()
    }
}

/// How balls of a block come about: mean and spread, how much one leans on the one before, the share
/// of poor swings (three spreads low), and how much the day itself shifts a block.
#[derive(Clone, Copy)]
struct Golfer {
    mean: f64,
    spread: f64,
    lean: f64,
    poor: f64,
    day: f64,
}

const STEADY: Golfer = Golfer {
    mean: 0.0,
    spread: 1.0,
    lean: 0.0,
    poor: 0.0,
    day: 0.0,
};

impl Golfer {
    fn block(self, balls: usize, dice: &mut Dice) -> Block {
        let shift = self.mean + self.day * dice.normal();
        let mut last = dice.normal();
        let values = (0..balls).map(|_| {
            last = self.lean * last + (1.0 - self.lean * self.lean).sqrt() * dice.normal();
            let poor = if dice.share() < self.poor { -3.0 } else { 0.0 };
            shift + self.spread * (last + poor)
        });
        let series = Series::new(values.collect(), Unit::Inch).unwrap();
        Block {
            taken: Taken::Counted,
            shots: Shots::Measured(series),
        }
    }
}

fn hits(balls: u32, rate: f64, dice: &mut Dice) -> Block {
    let hit = (0..balls).filter(|_| dice.share() < rate).count() as u32;
    Block {
        taken: Taken::Counted,
        shots: Shots::Hits(Tally::new(hit, balls).unwrap()),
    }
}

/// What a row promises of its share of "helped".
enum Promise {
    /// At most this, beyond what chance adds to the simulation.
    AtMost(f64),
    /// At least this.
    AtLeast(f64),
    /// Shown to be honest about what is outside the assumptions.
    None,
}

/// Simulates and prints rows, and remembers whether each kept its promise.
struct Table {
    trials: u64,
    kept: bool,
}

impl Table {
    fn row(&mut self, name: &str, promise: &Promise, test: impl Fn(&mut Dice) -> Verdict) {
        let mut dice = Dice(2026);
        let mut counts = [0_u64; 4];
        for _ in 0..self.trials {
            counts[test(&mut dice) as usize] += 1;
        }
        let share = counts.map(|n| n as f64 / self.trials as f64);
        // Three standard errors of the simulation itself.
        let slack = |p: f64| 3.0 * (p * (1.0 - p) / self.trials as f64).sqrt();
        let good = match promise {
            Promise::AtMost(p) => share[0] <= p + slack(*p),
            Promise::AtLeast(p) => share[0] >= p - slack(*p),
            Promise::None => true,
        };
        self.kept &= good;
        let p = share.map(|s| format!("{:7.2}", 100.0 * s)).join(" ");
        println!(
            "{name:<58} {p}{}",
            if good { "" } else { "  PROMISE BROKEN" }
        );
    }
}

const NO_FALSE_HELP: Promise = Promise::AtMost(0.025);

fn inch(value: f64) -> Figure {
    Figure::new(value, Unit::Inch).unwrap()
}

fn up() -> Goal {
    Goal::Measured {
        better: Better::Higher,
        change: inch(1.0),
    }
}

fn word(baseline: &Block, later: &[&Block], goal: Goal, looks: Looks) -> Verdict {
    judge(&Comparison {
        baseline,
        later,
        goal,
        looks,
    })
    .unwrap()
    .verdict
}

/// So many balls of one golfer, then so many of another.
fn measured(
    before: (usize, Golfer),
    after: (usize, Golfer),
    goal: Goal,
) -> impl Fn(&mut Dice) -> Verdict {
    move |dice| {
        let (baseline, later) = (before.1.block(before.0, dice), after.1.block(after.0, dice));
        word(&baseline, &[&later], goal, Looks::ONE)
    }
}

fn verdicts(trials: u64) -> bool {
    println!("share of verdicts in {trials} simulated tests, in percent");
    println!(
        "{:<58} {:>7} {:>7} {:>7} {:>7}",
        "", "helped", "no", "worse", "few"
    );
    let mut table = Table { trials, kept: true };
    measured_rows(&mut table);
    counted_rows(&mut table);
    looking_rows(&mut table);
    hard_rows(&mut table);
    table.kept
}

fn measured_rows(table: &mut Table) {
    let near = Goal::Measured {
        better: Better::CloserTo(inch(0.5)),
        change: inch(0.5),
    };
    let (one, tight) = (
        STEADY,
        Golfer {
            spread: 0.5,
            ..STEADY
        },
    );
    let poor = Golfer {
        poor: 0.1,
        ..STEADY
    };
    let better = |by: f64| Golfer { mean: by, ..STEADY };
    let none = &NO_FALSE_HELP;
    table.row(
        "no change, 16+16 measured",
        none,
        measured((16, one), (16, one), up()),
    );
    table.row(
        "no change, 7+7 measured",
        none,
        measured((7, one), (7, one), up()),
    );
    table.row(
        "no change, 10+30 measured",
        none,
        measured((10, one), (30, one), up()),
    );
    table.row(
        "no change, 10+30, spread halved",
        none,
        measured((10, one), (30, tight), up()),
    );
    table.row(
        "no change, 16+16, spread halved",
        none,
        measured((16, one), (16, tight), up()),
    );
    table.row(
        "no change, 16+16, one poor swing in ten",
        none,
        measured((16, poor), (16, poor), up()),
    );
    table.row(
        "no change, 16+16, closer to a mark",
        none,
        measured((16, one), (16, one), near),
    );
    let power = &Promise::AtLeast(0.78);
    table.row(
        "true 1 SD, 16+16 measured",
        power,
        measured((16, one), (16, better(1.0)), up()),
    );
    table.row(
        "true 0.5 SD, 63+63 measured",
        power,
        measured((63, one), (63, better(0.5)), up()),
    );
    let shown = &Promise::None;
    table.row(
        "true 1 SD, 10+10 measured",
        shown,
        measured((10, one), (10, better(1.0)), up()),
    );
}

fn counted_rows(table: &mut Table) {
    let counted = |n, before, after, wanted| {
        move |dice: &mut Dice| {
            let (baseline, later) = (hits(n, before, dice), hits(n, after, dice));
            let goal = Goal::Hits(Tally::new(wanted, 100).unwrap());
            let looks = Looks::ONE;
            // A baseline that happens to reach the goal sets up no test.
            judge(&Comparison {
                baseline: &baseline,
                later: &[&later],
                goal,
                looks,
            })
            .map_or(Verdict::TooFewToTell, |found| found.verdict)
        }
    };
    table.row(
        "no change, 3 in 10, 10+10 counted",
        &NO_FALSE_HELP,
        counted(10, 0.3, 0.3, 70),
    );
    table.row(
        "no change, 5 in 10, 16+16 counted",
        &NO_FALSE_HELP,
        counted(16, 0.5, 0.5, 99),
    );
    let power = &Promise::AtLeast(0.77);
    table.row(
        "true 3 to 6 in 10, 42+42 counted",
        power,
        counted(42, 0.3, 0.6, 99),
    );
    table.row(
        "true 2 to 6 in 10, 23+23 counted",
        power,
        counted(23, 0.2, 0.6, 99),
    );
}

/// A look after each of five blocks, stopping as soon as it says "helped".
fn looking_rows(table: &mut Table) {
    let looking = |planned: u8| {
        move |dice: &mut Dice| {
            let baseline = STEADY.block(16, dice);
            let blocks: Vec<Block> = (0..5).map(|_| STEADY.block(8, dice)).collect();
            let later: Vec<&Block> = blocks.iter().collect();
            let seen =
                |until: usize| word(&baseline, &later[..until], up(), Looks::planned(planned));
            let words: Vec<Verdict> = (1..=blocks.len()).map(seen).collect();
            if words.contains(&Verdict::Helped) {
                Verdict::Helped
            } else {
                words[4]
            }
        }
    };
    table.row(
        "no change, five looks, five planned",
        &NO_FALSE_HELP,
        looking(5),
    );
    // As the talk does it: counted blocks of 20, a verdict after each of three, then a retest that is
    // looked at alone.
    let as_in_the_talk = |dice: &mut Dice| {
        let baseline = hits(20, 0.4, dice);
        let practice: Vec<Block> = (0..3).map(|_| hits(20, 0.4, dice)).collect();
        let later: Vec<&Block> = practice.iter().collect();
        let retest = hits(20, 0.4, dice);
        let of = |later: &[&Block]| {
            judge(&Comparison {
                baseline: &baseline,
                later,
                goal: Goal::Hits(Tally::new(80, 100).unwrap()),
                looks: Looks::planned(4),
            })
            .map_or(Verdict::TooFewToTell, |found| found.verdict)
        };
        let mut words: Vec<Verdict> = (1..=later.len()).map(|n| of(&later[..n])).collect();
        words.push(of(&[&retest]));
        if words.contains(&Verdict::Helped) {
            Verdict::Helped
        } else {
            words[3]
        }
    };
    table.row(
        "no change, 4 in 10, three blocks and a retest counted",
        &NO_FALSE_HELP,
        as_in_the_talk,
    );
    table.row(
        "no change, five looks, one planned (not to be done)",
        &Promise::None,
        looking(1),
    );
}

/// What the assumptions leave out.
fn hard_rows(table: &mut Table) {
    // A golfer comes on a day that is more than one spread below their usual one.
    let after_a_bad_day = |fresh: bool| {
        move |dice: &mut Dice| {
            let day = loop {
                let day = dice.normal();
                if day < -1.0 {
                    break day;
                }
            };
            let bad = Golfer {
                mean: day,
                ..STEADY
            };
            let baseline = if fresh { STEADY } else { bad }.block(16, dice);
            let later = STEADY.block(16, dice);
            word(&baseline, &[&later], up(), Looks::ONE)
        }
    };
    let shown = &Promise::None;
    table.row(
        "no change, bad day as baseline (refused by judge)",
        shown,
        after_a_bad_day(false),
    );
    table.row(
        "no change, fresh baseline after it",
        &NO_FALSE_HELP,
        after_a_bad_day(true),
    );
    let leaning = Golfer {
        lean: 0.3,
        ..STEADY
    };
    table.row(
        "no change, 16+16, balls lean on each other (0.3)",
        shown,
        measured((16, leaning), (16, leaning), up()),
    );
    let days = Golfer { day: 0.3, ..STEADY };
    table.row(
        "no change, 16+16, days differ by 0.3 SD",
        shown,
        measured((16, days), (16, days), up()),
    );
}

/// Adds notes to a book until killed, saying each number only after it was acknowledged.
fn child(folder: &Path, first: u64) -> ExitCode {
    let lessons = Lessons::in_folder(folder);
    let at = Moment::from_unix_seconds(1_775_000_000);
    let mut book = lessons.open_or_begin("kill", at, Facts::default()).unwrap();
    let mut out = std::io::stdout().lock();
    for n in first.. {
        let text = format!("{n} {}", "x".repeat((n % 97) as usize * 7));
        book.append(at, &Entry::Note(Note { text })).unwrap();
        writeln!(out, "{n}").unwrap();
        out.flush().unwrap();
    }
    ExitCode::SUCCESS
}

fn kill(rounds: u64, seed: u64) -> bool {
    let folder = std::env::temp_dir().join(format!("lesson-kill-{}", std::process::id()));
    let lessons = Lessons::in_folder(&folder);
    let key = GolferKey::of_name("kill");
    let mut dice = Dice(seed);
    let (mut acknowledged, mut next, mut said_in_all) = (Vec::new(), 0_u64, 0);
    let (mut lost, mut invented, mut torn) = (0, 0, 0);
    for round in 0..rounds {
        let mut program = Command::new(std::env::current_exe().unwrap());
        let program = program.arg("child").arg(&folder).arg(next.to_string());
        let mut program = program
            .stdout(Stdio::piped())
            .stderr(Stdio::inherit())
            .spawn()
            .unwrap();
        let mut said = BufReader::new(program.stdout.take().unwrap());
        // Every fourth is killed while it starts, the others some way into adding records.
        let mut first = String::new();
        if round % 4 != 0 {
            said.read_line(&mut first).unwrap();
        }
        std::thread::sleep(Duration::from_micros(dice.next() % 12_000));
        program.kill().unwrap();
        program.wait().unwrap();
        // A line cut short by the kill was not said.
        let lines = said.lines().map_while(Result::ok);
        let lines = std::iter::once(first.trim_end().to_owned()).chain(lines);
        let mut numbers: Vec<u64> = lines.filter_map(|line| line.parse().ok()).collect();
        if numbers.windows(2).any(|pair| pair[1] != pair[0] + 1) {
            numbers.pop();
        }
        said_in_all += numbers.len();
        acknowledged.extend(numbers);
        let Some(book) = lessons.open(&key).unwrap() else {
            lost += acknowledged.len();
            continue;
        };
        torn += u64::from(!matches!(
            book.condition(),
            swingwhy::lesson::Condition::Whole
        ));
        let notes: Vec<u64> = book
            .records()
            .iter()
            .filter_map(|record| match record.entry() {
                Some(Entry::Note(note)) => note.text.split(' ').next()?.parse().ok(),
                _ => None,
            })
            .collect();
        lost += acknowledged
            .iter()
            .filter(|n| notes.binary_search(n).is_err())
            .count();
        // One more than was said may be there: kept, and killed before saying so.
        invented += notes.windows(2).filter(|pair| pair[0] >= pair[1]).count();
        next = notes.last().map_or(0, |n| n + 1);
        if round % 200 == 199 {
            // A fresh book now and then keeps the rounds short.
            lessons.forget(&key).unwrap();
            acknowledged.clear();
            next = 0;
        }
    }
    std::fs::remove_dir_all(&folder).unwrap();
    println!(
        "kill -9: {rounds} rounds, seed {seed}: {said_in_all} records acknowledged, {torn} torn ends, \
         {lost} lost, {invented} out of order"
    );
    lost == 0 && invented == 0
}
