//! Prints how good and how quick the simulated golfers are: shares of strikes by club group, the
//! forty sets of findings with what they are judged as, calibration, hits, questions needed, times.
//!
//! `cargo bench --bench causes` prints everything; name a table to print one:
//! `cargo bench --bench causes -- shares|sets|time|calibration|questions`.
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

use swingwhy::causes::Simulation;
use swingwhy::causes::model::{Axis, Event, Evidence, Model};
use swingwhy::knowledge::{KnowledgeBase, builtin};
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
        if part.len() > 2 && part.as_bytes()[1] == b':' {
            if let Some(at) = letters.find(&part[..1]) {
                group = GroupId::from_index(at);
                part = part[2..].trim();
            }
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
