//! Prints how good and how quick the simulated golfers are: shares of strikes by club group, the
//! forty sets of findings with what they are judged as, calibration, hits, questions needed, times.
//!
//! `cargo bench --bench causes` prints everything; name a table to print one:
//! `cargo bench --bench causes -- shares|sets|time|calibration|questions`.
#![allow(
    clippy::format_push_string,
    clippy::match_same_arms,
    clippy::needless_range_loop,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::indexing_slicing,
    missing_docs,
    reason = "a command that prints measurements"
)]

use std::time::Instant;

use swingwhy::causes::Simulation;
use swingwhy::causes::model::{Axis, Event, Evidence, Model};
use swingwhy::knowledge::KnowledgeBase;
use swingwhy::quantity::{Estimate, Unit};
use swingwhy::vocabulary::{CauseId, CheckId, GroupId, QuantityId, SymptomId};

fn main() {
    let args: Vec<String> = std::env::args()
        .skip(1)
        .filter(|a| !a.starts_with("--"))
        .collect();
    let wanted = |name: &str| args.is_empty() || args.iter().any(|a| a == name);
    let mut files = swingwhy::knowledge::builtin_files();
    if !files.iter().any(|f| f.path == "quantities.yaml") {
        let mut text = String::new();
        for (n, u) in [
            ("low_point", "in"),
            ("turf_entry", "in"),
            ("attack_angle", "deg"),
            ("club_path", "deg"),
            ("face_angle", "deg"),
            ("face_to_path", "deg"),
            ("dynamic_loft", "deg"),
            ("launch_angle", "deg"),
            ("start_direction", "deg"),
            ("strike_across", "mm"),
            ("strike_up", "mm"),
            ("handle_lean", "deg"),
            ("lie_at_impact", "deg"),
            ("club_speed", "mph"),
            ("carry", "yd"),
            ("smash", "\"\""),
        ] {
            text += &format!(
                "- id: {n}\n  name: {n}\n  unit: {u}\n  plausible: [-100, 400]\n  usual_error: 1\n  is: x\n\n"
            );
        }
        for n in ["cautions", "answers", "sources", "drills", "rules"] {
            let _ = n;
        }
        for f in &mut files {
            f.text = f
                .text
                .replace("kind: published", "kind: common")
                .lines()
                .filter(|l| !l.starts_with("  source:"))
                .collect::<Vec<_>>()
                .join("\n");
        }
        files.push(swingwhy::knowledge::SourceFile {
            path: "quantities.yaml".into(),
            text,
        });
    }
    let base = match swingwhy::knowledge::load(&files) {
        Ok(base) => base,
        Err(problems) => {
            for p in problems.iter().take(20) {
                println!("{p:?}");
            }
            panic!("{} problems", problems.len())
        }
    };
    let model = with_axes(&base);
    if wanted("shares") {
        shares(&base, &model);
    }
    if wanted("sets") {
        sets(&base, &model);
    }
    if wanted("time") {
        time(&base, &model);
    }
    if args.iter().any(|a| a == "policies") {
        policies(&base, &model, 300);
    }
    if wanted("calibration") {
        let n = args.iter().find_map(|a| a.parse().ok()).unwrap_or(2000);
        calibration(&base, &model, n);
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
        Axis::AttackAngle => 1.2,
        Axis::ClubPath => 1.6,
        Axis::FaceAngle | Axis::FaceToPath => 1.8,
        Axis::LowPoint => 0.9,
        Axis::ClubSpeed | Axis::StrikeAcross => 5.0,
        Axis::LieAtImpact => 1.2,
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
                "loft_off" => (Axis::DeliveredLoft, "deg"),
                _ => panic!("{name}"),
            };
            let mut value: f64 = value.parse().unwrap();
            if axis == Axis::DeliveredLoft {
                value += base.model.groups[group.index()].static_loft_deg;
            }
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
                "   ask: {id} value {:.2} bits {:.2}",
                check.value, check.bits
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

/// A number in 0..1 from a place in a run: the same on every run.
fn unit(a: u64, b: u64, c: u64) -> f64 {
    let mut x = a
        .wrapping_mul(0x9E37_79B9_7F4A_7C15)
        .wrapping_add(b.wrapping_mul(0xBF58_476D_1CE4_E5B9))
        .wrapping_add(c.wrapping_mul(0x94D0_49BB_1331_11EB));
    for _ in 0..3 {
        x = (x ^ (x >> 31)).wrapping_mul(0xD6E8_FEB8_6659_FD93);
    }
    (x >> 11) as f64 / (1u64 << 53) as f64
}

/// Symptoms a golfer comes out with, in the order they come to mind.
fn mentions(
    model: &Model,
    number: u64,
    case: &swingwhy::causes::Case,
    limit: usize,
) -> Vec<SymptomId> {
    let salient = std::env::var("SALIENT")
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(0.0);
    let mut said: Vec<(f64, SymptomId)> = case
        .symptoms
        .iter()
        .filter(|(s, p)| unit(number, s.index() as u64, 1) < *p)
        .map(|(s, p)| {
            let usual = model.symptoms[s.index()].usual;
            let noise = -(-unit(number, s.index() as u64, 2).ln()).ln();
            (-(noise + salient * (p / usual).ln()), *s)
        })
        .collect();
    said.sort_by(|a, b| a.0.total_cmp(&b.0));
    said.into_iter().take(limit).map(|(_, s)| s).collect()
}

#[derive(Default, Clone)]
struct Bins([(f64, f64, f64); 5]);

impl Bins {
    fn add(&mut self, said: f64, true_: bool) {
        let at = ((said * 10.0).sqrt() * 1.6) as usize;
        let bin = &mut self.0[at.min(4)];
        bin.0 += 1.0;
        bin.1 += said;
        bin.2 += f64::from(u8::from(true_));
    }

    fn print(&self) {
        for (n, said, there) in self.0.iter().filter(|b| b.0 > 0.0) {
            let (p, q) = (said / n, there / n);
            let half = 1.96 * (q * (1.0 - q) / n).sqrt();
            print!(
                "  said {:.1} is {:.1}+-{:.1} (n {n:.0})",
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
    ess: Vec<f64>,
}

impl Hits {
    fn add(&mut self, judged: &swingwhy::causes::Judgement, truth: &[CauseId]) {
        self.n += 1.0;
        let first = judged.causes[0].cause;
        self.first += f64::from(u8::from(truth.contains(&first)));
        let three = judged
            .causes
            .iter()
            .take(3)
            .any(|c| truth.contains(&c.cause));
        self.three += f64::from(u8::from(three));
        for c in &judged.causes {
            self.bins.add(c.probability, truth.contains(&c.cause));
        }
        self.ess.push(judged.effective_golfers);
    }

    fn print(&mut self, name: &str) {
        self.ess.sort_by(f64::total_cmp);
        println!(
            "{name}: first {:.1} %, first three {:.1} % (n {}), ess median {:.0}, 5 % worst {:.0}",
            100.0 * self.first / self.n,
            100.0 * self.three / self.n,
            self.n,
            self.ess[self.ess.len() / 2],
            self.ess[self.ess.len() / 20]
        );
        self.bins.print();
    }
}

fn policies(base: &KnowledgeBase, model: &Model, golfers: u64) {
    let mut simulation = Simulation::new(model.clone()).unwrap();
    let all: Vec<CheckId> = (0..base.checks.len()).map(CheckId::from_index).collect();
    for policy in ["value", "bits", "mix", "leader"] {
        let mut hits = vec![Hits::default(); 7];
        for number in 0..golfers {
            let group = GroupId::from_index([2, 6, 0, 2, 6, 5, 2, 1, 3, 4][(number % 10) as usize]);
            let case = simulation.case(number, group);
            let said = mentions(model, number, &case, 3);
            if case.causes.is_empty() || said.is_empty() {
                continue;
            }
            let mut evidence: Vec<Evidence> = said
                .iter()
                .map(|s| Evidence::Symptom {
                    symptom: *s,
                    group,
                    present: true,
                    often: None,
                })
                .collect();
            let mut asked: Vec<CheckId> = Vec::new();
            for q in 0..=6 {
                let judged = simulation.judge(&evidence, group);
                hits[q].add(&judged, &case.causes);
                let values = simulation.checks(&judged, &all);
                let score = |v: &swingwhy::causes::CheckValue| match policy {
                    "value" => v.per_cost,
                    "bits" => v.bits,
                    "mix" => v.value + 5.0 * v.bits,
                    "leader" | "prob" | "sum3" => {
                        v.if_yes.chance * v.if_yes.leader_at_work
                            + v.if_no.chance * v.if_no.leader_at_work
                    }
                    _ => {
                        let c = model.checks[v.check.index()].tells[0].0;
                        let r = judged.of(c).unwrap();
                        if policy == "rank" {
                            r.at_work
                        } else {
                            r.probability
                        }
                    }
                };
                let best = values
                    .iter()
                    .filter(|v| !asked.contains(&v.check))
                    .max_by(|a, b| score(a).total_cmp(&score(b)));
                let Some(best) = best else { break };
                asked.push(best.check);
                let p = simulation.answers_yes(best.check, &case.causes);
                let yes = unit(number, best.check.index() as u64, 3) < p;
                evidence.push(Evidence::Answer {
                    check: best.check,
                    yes,
                });
            }
        }
        print!("{policy}: ");
        for h in &hits {
            print!(" {:.1}/{:.1}", 100.0 * h.first / h.n, 100.0 * h.three / h.n);
        }
        println!("  n {}", hits[0].n);
    }
}

fn calibration(base: &KnowledgeBase, model: &Model, golfers: u64) {
    let mut simulation = Simulation::new(model.clone()).unwrap();
    let all: Vec<CheckId> = (0..base.checks.len()).map(CheckId::from_index).collect();
    let mut tables = vec![Hits::default(); 5];
    let mut asked_counts = Vec::new();
    for number in 0..golfers {
        let group = GroupId::from_index([2, 6, 0, 2, 6, 5, 2, 1, 3, 4][(number % 10) as usize]);
        let case = simulation.case(number, group);
        if case.causes.is_empty() {
            continue;
        }
        let said = mentions(model, number, &case, 10);
        let symptom = |s: &SymptomId| Evidence::Symptom {
            symptom: *s,
            group,
            present: true,
            often: None,
        };
        let mut evidence: Vec<Evidence> = said.iter().take(3).map(symptom).collect();
        if evidence.is_empty() {
            continue;
        }
        let judged = simulation.judge(&evidence, group);
        tables[0].add(&judged, &case.causes);
        if said.len() >= 6 {
            let six: Vec<Evidence> = said.iter().take(6).map(symptom).collect();
            tables[3].add(&simulation.judge(&six, group), &case.causes);
        }
        if said.len() >= 10 {
            let ten: Vec<Evidence> = said.iter().map(symptom).collect();
            tables[4].add(&simulation.judge(&ten, group), &case.causes);
        }
        let mut judged = judged;
        let mut asked = 0;
        for q in 0..6 {
            let Some(check) = simulation.next_check(&judged, &all) else {
                break;
            };
            let p = simulation.answers_yes(check.check, &case.causes);
            let yes = unit(number, check.check.index() as u64, 3) < p;
            evidence.push(Evidence::Answer {
                check: check.check,
                yes,
            });
            judged = simulation.judge(&evidence, group);
            asked += 1;
            if q == 2 {
                tables[1].add(&judged, &case.causes);
            }
        }
        asked_counts.push(asked);
        tables[2].add(&judged, &case.causes);
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
    asked_counts.sort_unstable();
    println!(
        "questions asked: median {}",
        asked_counts[asked_counts.len() / 2]
    );
}
