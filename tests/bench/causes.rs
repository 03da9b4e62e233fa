//! Prints how good and how quick the simulated golfers are: shares of strikes by club group, the
//! forty sets of findings with what they are judged as, calibration, hits, questions needed, times.
//!
//! `cargo bench --bench causes` prints everything; name a table to print one:
//! `cargo bench --bench causes -- shares|sets|time|size|calibration|questions [GOLFERS]`.
//! `limits` is printed only if named: six questions asked in other ways, to see what holds hits down.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::indexing_slicing,
    missing_docs,
    reason = "a command that prints measurements"
)]

use std::time::Instant;

use swingwhy::causes::model::{Axis, Event, Evidence, Model};
use swingwhy::causes::{Judgement, Simulation};
use swingwhy::knowledge::{KnowledgeBase, builtin};
use swingwhy::quantity::{Estimate, Unit};
use swingwhy::vocabulary::{CauseId, CheckId, GroupId, QuantityId, SymptomId};

const GROUPS: [&str; 7] = [
    "wedge",
    "short_iron",
    "mid_iron",
    "long_iron",
    "hybrid",
    "fairway",
    "driver",
];

fn main() {
    let args: Vec<String> = std::env::args()
        .skip(1)
        .filter(|a| !a.starts_with("--"))
        .collect();
    let named = |name: &str| args.iter().any(|a| a == name);
    let all = args.iter().all(|a| a.parse::<usize>().is_ok());
    let golfers = args.iter().find_map(|a| a.parse().ok()).unwrap_or(5000);
    let base = match builtin() {
        Ok(base) => base,
        Err(problems) => panic!("the knowledge has {} problems", problems.len()),
    };
    let model = with_axes(&base);
    for (name, table) in [
        ("shares", shares as fn(&KnowledgeBase, &Model)),
        ("sets", sets),
        ("time", time),
        ("size", size),
    ] {
        if all || named(name) {
            table(&base, &model);
        }
    }
    if all || named("calibration") {
        calibration(&base, &model, golfers);
    }
    if named("limits") {
        limits(&base, &model, golfers.min(400));
    }
    if all || named("questions") {
        questions(&base, &model, golfers.min(400));
    }
}

/// The model with every axis measurable under its own number.
fn with_axes(base: &KnowledgeBase) -> Model {
    let mut model = base.model.clone();
    model.measured = Axis::ALL
        .iter()
        .map(|&(axis, ..)| Some((axis, usual_error(axis))))
        .collect();
    model
}

fn usual_error(axis: Axis) -> f64 {
    match axis {
        Axis::ClubPath => 1.6,
        Axis::FaceAngle | Axis::FaceToPath => 1.8,
        Axis::LowPoint => 0.9,
        Axis::ClubSpeed | Axis::StrikeAcross => 5.0,
        Axis::AttackAngle | Axis::LieAtImpact => 1.2,
        _ => 2.5,
    }
}

fn shares(base: &KnowledgeBase, model: &Model) {
    println!("Usual shares, golfers with nothing at work (per cent)");
    let mut model = model.clone();
    model.settings.prior_scale = 0.0;
    let mut simulation = Simulation::with_golfers(model, 12).unwrap();
    for (g, group) in base.groups.iter().enumerate() {
        let judged = simulation.judge(&[], GroupId::from_index(g));
        print!("{:12}", group.id);
        for event in [
            Event::Clean,
            Event::SlightlyHeavy,
            Event::Fat,
            Event::Thin,
            Event::Bladed,
            Event::Topped,
            Event::Whiff,
            Event::Sky,
            Event::DropKick,
            Event::Playable,
        ] {
            print!(" {event:?} {:.1}", 100.0 * judged.rate(event));
        }
        println!();
    }
    let group = GroupId::from_index(2);
    let judged = simulation.judge(&[], group);
    for (event, name) in Event::ALL {
        print!("{name} {:.3}  ", judged.rate(event));
    }
    println!();
}

/// Findings in a short notation: `M: fat, no thin, curve_push_big mostly, attack=-5.5; check c yes`.
fn parse(base: &KnowledgeBase, text: &str) -> (Vec<Evidence>, GroupId) {
    let letters = "WSMLHFD";
    let mut group = GroupId::from_index(2);
    let mut focus = None;
    let mut evidence = Vec::new();
    for part in text.replace(';', ",").split(',') {
        let mut part = part.trim();
        if part.len() > 2
            && part.as_bytes()[1] == b':'
            && let Some(at) = letters.find(&part[..1])
        {
            group = GroupId::from_index(at);
            part = part[2..].trim();
        }
        focus.get_or_insert(group);
        if let Some(rest) = part.strip_prefix("check ") {
            let (cause, answer) = rest.split_once(' ').unwrap();
            let id = format!("ask_{}", cause.split_once('_').unwrap().1);
            let check = base.checks.place(&id).unwrap_or_else(|| panic!("{id}"));
            evidence.push(Evidence::Answer {
                check: CheckId::from_index(check),
                yes: answer == "yes",
            });
        } else if let Some((name, value)) = part.split_once('=') {
            let (axis, name) = match name {
                "attack" => (Axis::AttackAngle, "deg"),
                "s" => (Axis::LowPoint, "in"),
                "path" => (Axis::ClubPath, "deg"),
                "face" => (Axis::FaceAngle, "deg"),
                "ftp" => (Axis::FaceToPath, "deg"),
                "sp" => (Axis::ClubSpeed, "%"),
                "loft" => (Axis::DeliveredLoft, "deg"),
                _ => panic!("{name}"),
            };
            let value: f64 = value.parse().unwrap();
            evidence.push(Evidence::Measured {
                quantity: QuantityId::from_index(axis as usize),
                group,
                value: Estimate::new(value, 0.0, Unit::from_symbol(name).unwrap()).unwrap(),
            });
        } else {
            let (present, part) = match part.strip_prefix("no ") {
                Some(rest) => (false, rest),
                None => (true, part),
            };
            let mut words = part.split_whitespace();
            let id = words.next().unwrap();
            let Some(symptom) = base.symptoms.place(id) else {
                println!("    (no symptom {id})");
                continue;
            };
            let often = words.next().map(|w| match w {
                "always" => 0.85,
                "mostly" => 0.75,
                "half" | "often" => 0.5,
                "sometimes" => 0.3,
                _ => panic!("{w}"),
            });
            evidence.push(Evidence::Symptom {
                symptom: SymptomId::from_index(symptom),
                group,
                present,
                often,
            });
        }
    }
    (evidence, focus.unwrap())
}

fn sets(base: &KnowledgeBase, model: &Model) {
    let Ok(text) = std::fs::read_to_string("tests/reference/sets.txt") else {
        println!("tests/reference/sets.txt is not here");
        return;
    };
    let mut simulation = Simulation::new(model.clone()).unwrap();
    let name = |c: CauseId| {
        base.causes
            .iter()
            .nth(c.index())
            .map_or("", |c| c.id.as_str())
    };
    let all: Vec<CheckId> = (0..base.checks.len()).map(CheckId::from_index).collect();
    let mut passed = 0;
    let mut n = 0;
    for line in text
        .lines()
        .filter(|l| !l.starts_with('#') && !l.is_empty())
    {
        let fields: Vec<&str> = line.split('|').collect();
        let (evidence, focus) = parse(base, fields[1]);
        let accepted: Vec<&str> = fields[2].split_whitespace().collect();
        let start = Instant::now();
        let judged = simulation.judge(&evidence, focus);
        let took = start.elapsed();
        let first: Vec<&str> = judged
            .causes
            .iter()
            .take(3)
            .map(|c| name(c.cause))
            .collect();
        let ok = accepted.contains(&first[0])
            && first.iter().filter(|c| accepted.contains(*c)).count() >= 2;
        passed += usize::from(ok);
        n += 1;
        println!(
            "{} {} {}  ess {:.0} {:.1} ms",
            if ok { "ok " } else { "NOT" },
            fields[0],
            fields[1],
            judged.effective_golfers,
            took.as_secs_f64() * 1e3
        );
        print!("     ");
        for c in judged.causes.iter().take(6) {
            let root = c
                .root
                .map_or(String::new(), |(r, p)| format!(" <{} {p:.2}", name(r)));
            print!(
                " {} {:.2}/{:.2}{root}",
                name(c.cause),
                c.at_work,
                c.probability
            );
        }
        println!();
        let practice = simulation.practice(&judged);
        print!("      practise: ");
        if let Some(p) = practice {
            print!(
                "{} +{:.1} (effort {})",
                name(p.cause),
                p.benefit.playable,
                p.benefit.effort
            );
        }
        if let Some(check) = simulation.next_check(&judged, &all) {
            let id = &base.checks.iter().nth(check.check.index()).unwrap().id;
            print!(
                "   ask: {id} value {:.2} naming {:.2}",
                check.value, check.naming
            );
        }
        println!();
    }
    println!("{passed} of {n}");
}

fn time(base: &KnowledgeBase, model: &Model) {
    let all: Vec<CheckId> = (0..base.checks.len()).map(CheckId::from_index).collect();
    let ms = |start: Instant| start.elapsed().as_secs_f64() * 1e3;
    let start = Instant::now();
    let mut simulation = Simulation::new(model.clone()).unwrap();
    println!("make the simulation: {:.1} ms", ms(start));
    for set in [
        "M: fat, thin",
        "M: fat, thin, starts_push_side",
        "M: fat, thin, starts_push_side, height_too_high",
        "D: curve_push_big",
        "D: curve_push_big, starts_pull_side",
    ] {
        let (evidence, focus) = parse(base, set);
        let start = Instant::now();
        let judged = simulation.judge(&evidence, focus);
        let judge = ms(start);
        let start = Instant::now();
        let _ = simulation.practice(&judged);
        let practice = ms(start);
        let start = Instant::now();
        let _ = simulation.next_check(&judged, &all);
        let check = ms(start);
        let start = Instant::now();
        let two: Vec<CauseId> = judged.causes.iter().take(2).map(|c| c.cause).collect();
        let _ = simulation.ledger(&evidence, focus, &two);
        println!(
            "{set}: judge {judge:.1} ms, practice {practice:.1}, checks {check:.1}, ledger {:.1}",
            ms(start)
        );
    }
}

/// A golfer of the independent implementation, with a report: salient symptoms first.
struct Golfer {
    group: GroupId,
    causes: Vec<CauseId>,
    said: Vec<SymptomId>,
    yes: Vec<CheckId>,
}

fn golfers(base: &KnowledgeBase, limit: usize) -> Vec<Golfer> {
    let text = std::fs::read_to_string("tests/reference/golfers.tsv").expect("golfers.tsv");
    let mut golfers: Vec<Golfer> = text
        .lines()
        .filter(|l| !l.starts_with('#'))
        .map(|line| {
            let mut fields = line.split('\t');
            let group = fields.next().unwrap();
            let mut ids = |field: &mut dyn FnMut(&str) -> usize| -> Vec<usize> {
                fields
                    .next()
                    .unwrap_or("")
                    .split_whitespace()
                    .map(&mut *field)
                    .collect()
            };
            let causes = ids(&mut |id| base.causes.place(id).unwrap());
            let said = ids(&mut |id| base.symptoms.place(id).unwrap());
            let yes = ids(&mut |place| place.parse().unwrap());
            Golfer {
                group: GroupId::from_index(GROUPS.iter().position(|g| *g == group).unwrap()),
                causes: causes.into_iter().map(CauseId::from_index).collect(),
                said: said.into_iter().map(SymptomId::from_index).collect(),
                yes: yes.into_iter().map(CheckId::from_index).collect(),
            }
        })
        .filter(|g| !g.said.is_empty())
        .collect();
    // The file is sorted by group: take golfers evenly from all of it.
    let step = (golfers.len() / limit.max(1)).max(1);
    let mut at = 0;
    golfers.retain(|_| {
        at += 1;
        (at - 1) % step == 0
    });
    golfers.truncate(limit);
    golfers
}

impl Golfer {
    fn told(&self, count: usize) -> Vec<Evidence> {
        self.said
            .iter()
            .take(count)
            .map(|&symptom| Evidence::Symptom {
                symptom,
                group: self.group,
                present: true,
                often: None,
            })
            .collect()
    }

    fn answer(&self, check: CheckId) -> Evidence {
        Evidence::Answer {
            check,
            yes: self.yes.contains(&check),
        }
    }
}

/// Said and true shares in five bins of probability: up to 5, 10, 20, 40 per cent, and above.
#[derive(Default, Clone)]
struct Bins([(f64, f64, f64); 5]);

impl Bins {
    fn add(&mut self, said: f64, there: bool) {
        let at = [0.05, 0.1, 0.2, 0.4].iter().filter(|b| said > **b).count();
        let bin = &mut self.0[at];
        bin.0 += 1.0;
        bin.1 += said;
        bin.2 += f64::from(u8::from(there));
    }

    fn print(&self) {
        print!("   ");
        for (n, said, there) in self.0.iter().filter(|b| b.0 > 0.0) {
            let (p, q) = (said / n, there / n);
            let half = 1.96 * (q * (1.0 - q) / n).sqrt();
            print!(
                " said {:.1} is {:.1}+-{:.1} ({n:.0});",
                100.0 * p,
                100.0 * q,
                100.0 * half
            );
        }
        println!();
    }
}

#[derive(Default, Clone)]
struct Hits {
    n: f64,
    first: f64,
    three: f64,
    bins: Bins,
    effective: Vec<f64>,
}

impl Hits {
    fn add(&mut self, judged: &Judgement, truth: &[CauseId]) {
        for c in &judged.causes {
            self.bins.add(c.probability, truth.contains(&c.cause));
        }
        if truth.is_empty() {
            return;
        }
        self.n += 1.0;
        let hit = |count: usize| {
            judged
                .causes
                .iter()
                .take(count)
                .any(|c| truth.contains(&c.cause))
        };
        self.first += f64::from(u8::from(hit(1)));
        self.three += f64::from(u8::from(hit(3)));
        self.effective.push(judged.effective_golfers);
    }

    fn print(&mut self, name: &str) {
        if self.effective.is_empty() {
            return;
        }
        self.effective.sort_by(f64::total_cmp);
        println!(
            "{name}: a true cause first {:.1} %, in the first three {:.1} % (of {} who have one); \
             effective golfers: median {:.0}, one in twenty under {:.0}",
            100.0 * self.first / self.n,
            100.0 * self.three / self.n,
            self.n,
            self.effective[self.effective.len() / 2],
            self.effective[self.effective.len() / 20]
        );
        self.bins.print();
    }
}

fn calibration(base: &KnowledgeBase, model: &Model, limit: usize) {
    println!("Calibration and hits, golfers and reports of the independent implementation");
    let mut simulation = Simulation::new(model.clone()).unwrap();
    let open = askable(base);
    let mut tables = vec![Hits::default(); 5];
    for golfer in golfers(base, limit) {
        for (table, count) in [(0, 3), (3, 6), (4, 10)] {
            if golfer.said.len() >= count || count == 3 {
                let judged = simulation.judge(&golfer.told(count), golfer.group);
                tables[table].add(&judged, &golfer.causes);
            }
        }
        let mut evidence = golfer.told(3);
        let mut judged = simulation.judge(&evidence, golfer.group);
        for q in 0..6 {
            // As a user who goes on answering: the best check even where the program would stop.
            let Some(check) = simulation.checks(&judged, &open).first().copied() else {
                break;
            };
            evidence.push(golfer.answer(check.check));
            judged = simulation.judge(&evidence, golfer.group);
            if q == 2 {
                tables[1].add(&judged, &golfer.causes);
            }
        }
        tables[2].add(&judged, &golfer.causes);
    }
    for (table, name) in tables.iter_mut().zip([
        "three findings",
        "three findings, three questions",
        "three findings, six questions",
        "six findings",
        "ten findings",
    ]) {
        table.print(name);
    }
}

/// Checks that ask for causes, not for the lie.
fn askable(base: &KnowledgeBase) -> Vec<CheckId> {
    (0..base.checks.len())
        .filter(|&c| {
            base.model.checks[c]
                .tells
                .iter()
                .any(|(c, ..)| !base.model.causes[c.index()].condition)
        })
        .map(CheckId::from_index)
        .collect()
}

/// Checks after which golfers are given up on.
const MOST: usize = 20;
/// A practice within this many playable shots in a hundred of the best counts as arrived.
const NEAR: f64 = 0.5;

/// How many checks it takes to arrive at a practice as good as the one that all answers together
/// would choose, as those answers see it, and to stay there.
fn questions(base: &KnowledgeBase, model: &Model, limit: usize) {
    println!(
        "Checks until the practice is within {NEAR} shots in 100 of what all checks would choose"
    );
    let mut simulation = Simulation::new(model.clone()).unwrap();
    let open = askable(base);
    // Best fixed order: by mean worth over the first questions of every golfer.
    let mut worth = vec![0.0; base.checks.len()];
    let golfers = golfers(base, limit);
    for golfer in &golfers {
        let judged = simulation.judge(&golfer.told(3), golfer.group);
        for v in simulation.checks(&judged, &open) {
            worth[v.check.index()] += v.value + v.naming;
        }
    }
    let mut fixed = open.clone();
    fixed.sort_by(|a, b| worth[b.index()].total_cmp(&worth[a.index()]));
    for order in ["chosen", "fixed", "random"] {
        let mut needed = Vec::new();
        let mut asked_by_rule = Vec::new();
        for (at, golfer) in golfers.iter().enumerate() {
            let mut everything = golfer.told(3);
            everything.extend(open.iter().map(|&c| golfer.answer(c)));
            let full = simulation.judge(&everything, golfer.group);
            let worth = |simulation: &Simulation, practice: Option<CauseId>| {
                practice.map_or(0.0, |c| simulation.benefits(&full, &[c])[0].playable)
            };
            let goal = simulation.practice(&full).map(|p| p.cause);
            let best = worth(&simulation, goal);
            let mut evidence = golfer.told(3);
            let mut arrived = None;
            let mut stopped = false;
            for q in 0..=MOST {
                let judged = simulation.judge(&evidence, golfer.group);
                let now = simulation.practice(&judged).map(|p| p.cause);
                if worth(&simulation, now) >= best - NEAR {
                    arrived.get_or_insert(q);
                } else {
                    arrived = None;
                }
                let next = match order {
                    "chosen" => {
                        if !stopped && simulation.next_check(&judged, &open).is_none() {
                            stopped = true;
                            asked_by_rule.push(q);
                        }
                        simulation.checks(&judged, &open).first().map(|v| v.check)
                    }
                    "fixed" => fixed.get(q).copied(),
                    _ => open.get((at * 7919 + q * 37) % open.len()).copied(),
                };
                let Some(check) = next else { break };
                evidence.push(golfer.answer(check));
            }
            needed.push(arrived.unwrap_or(MOST + 1));
        }
        needed.sort_unstable();
        let n = needed.len();
        let mean = needed.iter().sum::<usize>() as f64 / n as f64;
        println!(
            "  {order}: mean {mean:.1}, median {}, 95 of 100 within {} ({n} golfers; {} stands for never within {MOST})",
            needed[n / 2],
            needed[n * 95 / 100],
            MOST + 1
        );
        if !asked_by_rule.is_empty() {
            asked_by_rule.sort_unstable();
            println!(
                "    the stop rule was met by {} of {n}, median after {}",
                asked_by_rule.len(),
                asked_by_rule[asked_by_rule.len() / 2]
            );
        }
    }
}

/// Cost at ten times the knowledge: every cause and check copied nine times, priors a tenth.
fn size(base: &KnowledgeBase, model: &Model) {
    let n = model.causes.len();
    let mut wide = model.clone();
    for copy in 1..10 {
        for cause in &model.causes {
            let mut cause = cause.clone();
            for (to, _) in &mut cause.leads_to {
                *to = CauseId::from_index(to.index() + copy * n);
            }
            wide.causes.push(cause);
        }
    }
    for cause in &mut wide.causes {
        cause.prior /= 10.0;
    }
    for (name, model) in [("as it is", model.clone()), ("ten times the causes", wide)] {
        let start = Instant::now();
        let mut simulation = Simulation::new(model).unwrap();
        let made = start.elapsed().as_secs_f64() * 1e3;
        let (evidence, focus) = parse(base, "M: fat, thin");
        let start = Instant::now();
        let _ = simulation.judge(&evidence, focus);
        let first = start.elapsed().as_secs_f64() * 1e3;
        let start = Instant::now();
        let _ = simulation.judge(&evidence[..1], focus);
        let again = start.elapsed().as_secs_f64() * 1e3;
        println!(
            "{name}: made in {made:.1} ms, first judged in {first:.1} ms, again in {again:.1} ms"
        );
    }
    // All club groups in use: the memory of the process (Linux only).
    let mut simulation = Simulation::new(model.clone()).unwrap();
    for g in 0..7 {
        let (evidence, _) = parse(base, "M: fat");
        let _ = simulation.judge(&evidence, GroupId::from_index(g));
    }
    if let Ok(status) = std::fs::read_to_string("/proc/self/status") {
        for line in status
            .lines()
            .filter(|l| l.starts_with("VmRSS") || l.starts_with("VmHWM"))
        {
            println!("all groups in use: {line}");
        }
    }
}

/// How six questions are chosen and answered.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    /// None is asked.
    None,
    /// The program's first.
    Program,
    /// What gains most for practice, whatever the cost.
    Practice,
    /// What names the causes best, whatever the cost.
    Naming,
    /// Any.
    Random,
    /// The program's first, with the questions that look for symptoms open too.
    Symptoms,
    /// The program's first, every third answered "don't know".
    DontKnow,
    /// The program's first, answers wrong half as often and a third as often.
    Sharper(f64),
    /// By one who knows the causes: what tells most of any of them.
    Knowing,
    /// All of them.
    All,
}

/// What keeps a true cause from being named after three findings and six questions.
fn limits(base: &KnowledgeBase, model: &Model, limit: usize) {
    println!("Three findings and six questions, asked and answered in other ways");
    let open = askable(base);
    let with_symptoms: Vec<CheckId> = (0..base.checks.len())
        .filter(|&c| base.model.checks[c].tells.is_empty())
        .map(CheckId::from_index)
        .chain(open.iter().copied())
        .collect();
    let golfers = golfers(base, limit);
    let mut goals = Vec::new();
    let mut simulation = Simulation::new(model.clone()).unwrap();
    for golfer in &golfers {
        let mut everything = golfer.told(3);
        everything.extend(open.iter().map(|&c| golfer.answer(c)));
        let full = simulation.judge(&everything, golfer.group);
        let goal = simulation.practice(&full).map(|p| p.cause);
        let best = goal.map_or(0.0, |c| simulation.benefits(&full, &[c])[0].playable);
        goals.push((full, best));
    }
    for (name, way) in [
        ("none asked", Way::None),
        ("any six", Way::Random),
        ("as the program asks", Way::Program),
        ("for practice alone", Way::Practice),
        ("for naming alone", Way::Naming),
        ("symptoms looked for too", Way::Symptoms),
        ("every third not known", Way::DontKnow),
        ("answers wrong half as often", Way::Sharper(2.0)),
        ("wrong a third as often", Way::Sharper(3.0)),
        ("asked by one who knows", Way::Knowing),
        ("all answered", Way::All),
    ] {
        let sharper = if let Way::Sharper(times) = way {
            sharpened(model, times)
        } else {
            model.clone()
        };
        let mut simulation = Simulation::new(sharper).unwrap();
        let may_ask = if way == Way::Symptoms {
            &with_symptoms
        } else {
            &open
        };
        let (mut n, mut first, mut three, mut said, mut short, mut cost) =
            (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        for (at, golfer) in golfers.iter().enumerate() {
            let mut evidence = golfer.told(3);
            let mut left = may_ask.clone();
            let asked = match way {
                Way::None => 0,
                Way::All => left.len(),
                _ => 6,
            };
            for q in 0..asked {
                let next = pick(
                    way,
                    &mut simulation,
                    golfer,
                    &evidence,
                    &left,
                    at * 7919 + q,
                );
                let Some(check) = next else { break };
                left.retain(|c| *c != check);
                cost += model.checks[check.index()].cost;
                if way == Way::DontKnow && q % 3 == 2 {
                    continue;
                }
                evidence.push(if matches!(way, Way::Sharper(_)) {
                    drawn_answer(simulation.model(), golfer, check, at)
                } else {
                    golfer.answer(check)
                });
            }
            let judged = simulation.judge(&evidence, golfer.group);
            if golfer.causes.is_empty() {
                continue;
            }
            let hit = |count: usize| {
                let mut leading = judged.causes.iter().take(count);
                f64::from(u8::from(leading.any(|c| golfer.causes.contains(&c.cause))))
            };
            n += 1.0;
            first += hit(1);
            three += hit(3);
            said += judged.causes[0].probability;
            let (full, best) = &goals[at];
            let now = simulation.practice(&judged).map(|p| p.cause);
            short += best - now.map_or(0.0, |c| simulation.benefits(full, &[c])[0].playable);
        }
        println!(
            "  {name:28} first {:.1} % (said {:.1}), in the first three {:.1} %; practice gains \
             {:.2} in 100 less than with all answered; cost {:.1} ({n} golfers)",
            100.0 * first / n,
            100.0 * said / n,
            100.0 * three / n,
            short / n,
            cost / golfers.len() as f64
        );
    }
}

fn pick(
    way: Way,
    simulation: &mut Simulation,
    golfer: &Golfer,
    evidence: &[Evidence],
    left: &[CheckId],
    seed: usize,
) -> Option<CheckId> {
    if way == Way::All {
        return left.first().copied();
    }
    if way == Way::Random {
        return left.get(seed * 37 % left.len().max(1)).copied();
    }
    if way == Way::Knowing {
        // Expected weight of evidence for the cause of theirs that it tells most of.
        let told = |check: &CheckId| {
            let tells = simulation.model().checks[check.index()].tells.iter();
            tells
                .filter(|(cause, ..)| golfer.causes.contains(cause))
                .map(|&(_, a, b)| a * (a / b).ln() + (1.0 - a) * ((1.0 - a) / (1.0 - b)).ln())
                .fold(0.0, f64::max)
        };
        return left
            .iter()
            .copied()
            .max_by(|a, b| told(a).total_cmp(&told(b)));
    }
    let judged = simulation.judge(evidence, golfer.group);
    let values = simulation.checks(&judged, left);
    let best = match way {
        Way::Practice => values.iter().max_by(|a, b| a.value.total_cmp(&b.value)),
        Way::Naming => values.iter().max_by(|a, b| a.naming.total_cmp(&b.naming)),
        _ => values.first(),
    };
    best.map(|v| v.check)
}

/// The model with checks whose answers are wrong this many times less often.
fn sharpened(model: &Model, times: f64) -> Model {
    let mut model = model.clone();
    for (_, with, without) in model.checks.iter_mut().flat_map(|c| &mut c.tells) {
        if with >= without {
            *with = 1.0 - (1.0 - *with) / times;
            *without /= times;
        } else {
            *with /= times * times;
            *without /= times;
        }
    }
    model
}

/// An answer drawn anew, for models whose checks are not those of the golfers on file.
fn drawn_answer(model: &Model, golfer: &Golfer, check: CheckId, seed: usize) -> Evidence {
    let tells = &model.checks[check.index()].tells;
    let mut no = 1.0 - tells.iter().map(|t| t.2).sum::<f64>() / tells.len() as f64;
    let mut rarer = 1.0;
    for &(cause, with, without) in tells {
        if golfer.causes.contains(&cause) {
            if with >= without {
                no *= (1.0 - with) / (1.0 - without);
            } else {
                rarer *= with / without;
            }
        }
    }
    // A number between 0 and 1 from golfer and check (splitmix).
    let mut h = (seed as u64 * 1009 + check.index() as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    for turn in [30, 27, 31] {
        h = (h ^ (h >> turn)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    }
    Evidence::Answer {
        check,
        yes: ((h >> 11) as f64 / (1u64 << 53) as f64) < (1.0 - no) * rarer,
    }
}
