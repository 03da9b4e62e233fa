//! The simulated golfers of the built-in knowledge: against a brute-force run of an independent
//! implementation (tests/reference/population.py), and what a coach would insist on.

use std::sync::OnceLock;

use swingwhy::causes::model::{Axis, Change, Event, Evidence};
use swingwhy::causes::{FlipKind, Judgement, Simulation};
use swingwhy::knowledge::{KnowledgeBase, builtin};
use swingwhy::quantity::{Amount, Estimate, Unit};
use swingwhy::vocabulary::{CauseId, CheckId, EffectId, GroupId, QuantityId, SymptomId};

fn base() -> &'static KnowledgeBase {
    static BASE: OnceLock<KnowledgeBase> = OnceLock::new();
    BASE.get_or_init(|| builtin().expect("the built-in knowledge is valid"))
}

/// Made once; every test judges with a copy of its own.
fn simulation() -> Simulation {
    static MADE: OnceLock<Simulation> = OnceLock::new();
    let made = MADE.get_or_init(|| {
        let mut model = base().model.clone();
        // Speed as a share of the usual, which golfers do not type.
        model.measured.push(Some((Axis::ClubSpeed, 5.0)));
        Simulation::new(model).unwrap()
    });
    made.clone()
}

fn cause(id: &str) -> CauseId {
    CauseId::from_index(base().causes.place(id).unwrap_or_else(|| panic!("{id}")))
}

fn effect(id: &str) -> EffectId {
    EffectId::from_index(base().effects.place(id).unwrap_or_else(|| panic!("{id}")))
}

fn name(cause: CauseId) -> &'static str {
    base()
        .causes
        .iter()
        .nth(cause.index())
        .map_or("", |c| c.id.as_str())
}

const GROUPS: &str = "WSMLHFD";

fn group(letter: &str) -> GroupId {
    GroupId::from_index(GROUPS.find(letter).unwrap())
}

fn number(quantity: &str, group: GroupId, value: f64, error: f64, unit: Unit) -> Evidence {
    Evidence::Measured {
        quantity: QuantityId::from_index(base().quantities.place(quantity).unwrap()),
        group,
        value: Estimate::new(value, error, unit).unwrap(),
    }
}

/// Findings in a short notation: `M: fat, no thin, curve_push_big mostly, attack=-5.5; check c yes`.
fn parse(text: &str) -> (Vec<Evidence>, GroupId) {
    let mut at = group("M");
    let mut focus = None;
    let mut evidence = Vec::new();
    for part in text.replace(';', ",").split(',') {
        let mut part = part.trim();
        if let Some((letter, rest)) = part.split_once(':') {
            at = group(letter);
            part = rest.trim();
        }
        focus.get_or_insert(at);
        if let Some(rest) = part.strip_prefix("check ") {
            let (cause, answer) = rest.split_once(' ').unwrap();
            let id = format!("ask_{}", cause.split_once('_').unwrap().1);
            let check = CheckId::from_index(base().checks.place(&id).unwrap());
            evidence.push(Evidence::Answer {
                check,
                yes: answer == "yes",
            });
        } else if let Some((what, value)) = part.split_once('=') {
            let value: f64 = value.parse().unwrap();
            evidence.push(match what {
                "attack" => number("attack_angle", at, value, 1.2, Unit::Degree),
                "s" => number("low_point", at, value, 0.9, Unit::Inch),
                "path" => number("club_path", at, value, 1.6, Unit::Degree),
                "face" => number("face_angle", at, value, 1.8, Unit::Degree),
                "ftp" => number("face_to_path", at, value, 1.8, Unit::Degree),
                "loft" => number("dynamic_loft", at, value, 2.5, Unit::Degree),
                "sp" => Evidence::Measured {
                    quantity: QuantityId::from_index(base().model.measured.len()),
                    group: at,
                    value: Estimate::new(value, 5.0, Unit::Percent).unwrap(),
                },
                _ => panic!("{what}"),
            });
        } else {
            let (present, part) = part
                .strip_prefix("no ")
                .map_or((true, part), |p| (false, p));
            let mut words = part.split_whitespace();
            let id = words.next().unwrap();
            let often = words.next().map(|w| match w {
                "mostly" => 0.75,
                "often" => 0.5,
                _ => panic!("{w}"),
            });
            let place = base().symptoms.place(id).unwrap_or_else(|| panic!("{id}"));
            let symptom = SymptomId::from_index(place);
            evidence.push(Evidence::Symptom {
                symptom,
                group: at,
                present,
                often,
            });
        }
    }
    (evidence, focus.unwrap())
}

fn judge(text: &str) -> (Simulation, Vec<Evidence>, Judgement) {
    let (evidence, focus) = parse(text);
    let mut simulation = simulation();
    let judged = simulation.judge(&evidence, focus);
    (simulation, evidence, judged)
}

/// Forty sets of findings over all club groups against plain sampling by the independent
/// implementation. Allowed: three and a half times the reported error and that of the sample
/// together; nineteen in twenty within twice. If numbers in the knowledge change, run
/// `python3 tests/reference/population.py judge 256000` again. (The sets with measured numbers, 11 to
/// 14, 20, 31, 35 and 36, were run by themselves: `judge 256000 1 11,12,13,14,20,31,35,36`.)
#[test]
fn probabilities_agree_with_brute_force() {
    let sets = include_str!("../reference/sets.txt");
    let reference = include_str!("../reference/posteriors.tsv");
    let mut simulation = simulation();
    let (mut compared, mut near, mut orders) = (0, 0, 0);
    let mut worst: f64 = 0.0;
    let mut far = Vec::new();
    for line in sets
        .lines()
        .filter(|l| !l.starts_with('#') && !l.is_empty())
    {
        let mut fields = line.split('|');
        let nr = fields.next().unwrap();
        let text = fields.next().unwrap();
        let known = reference
            .lines()
            .find(|l| l.split('\t').next() == Some(nr))
            .unwrap();
        let (evidence, focus) = parse(text);
        let judged = simulation.judge(&evidence, focus);
        let mut first: Vec<(f64, f64, &str)> = Vec::new();
        for cell in known.split('\t').skip(3) {
            let mut parts = cell.split(':');
            let id = parts.next().unwrap();
            let p: f64 = parts.next().unwrap().parse().unwrap();
            let se: f64 = parts.next().unwrap().parse().unwrap();
            let found = judged.of(cause(id)).unwrap();
            let error = found.error.hypot(se);
            let off = (found.probability - p).abs();
            compared += 1;
            near += usize::from(off < 2.0 * error);
            worst = worst.max(if first.len() < 3 { off } else { 0.0 });
            if off > 3.5 * error {
                far.push(format!(
                    "{nr} {id}: {:.3} for {p:.3}, error {error:.3}",
                    found.probability
                ));
            }
            first.push((p, error, id));
        }
        // The first three by probability are the same, or within error of each other.
        let mut ours: Vec<_> = judged.causes.iter().collect();
        ours.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        for (mine, theirs) in ours.iter().zip(&first).take(3) {
            let other = first
                .iter()
                .find(|f| f.2 == name(mine.cause))
                .map_or(0.0, |f| f.0);
            orders += 1;
            assert!(
                theirs.0 - other < 3.5 * theirs.1,
                "{nr}: {} for {}",
                name(mine.cause),
                theirs.2
            );
        }
    }
    assert!(far.is_empty(), "{} of {compared}: {far:#?}", far.len());
    assert!(compared > 500 && orders == 120, "{compared} {orders}");
    println!("{near} of {compared} within two errors; worst of the first three {worst:.3}");
    assert!(
        near * 20 >= compared * 19,
        "{near} of {compared} within two errors"
    );
    // A coach reads the first three: six points at worst over all forty sets.
    assert!(worst < 0.06, "{worst}");
}

#[test]
fn coaches_would_accept_most_of_the_leaders() {
    let sets = include_str!("../reference/sets.txt");
    let mut simulation = simulation();
    let (mut passed, mut missed) = (0, Vec::new());
    for line in sets
        .lines()
        .filter(|l| !l.starts_with('#') && !l.is_empty())
    {
        let fields: Vec<&str> = line.split('|').collect();
        let (evidence, focus) = parse(fields[1]);
        let judged = simulation.judge(&evidence, focus);
        let first: Vec<&str> = judged
            .causes
            .iter()
            .take(3)
            .map(|c| name(c.cause))
            .collect();
        let accepted: Vec<&str> = fields[2].split_whitespace().collect();
        let two = first.iter().filter(|c| accepted.contains(*c)).count() >= 2;
        if accepted.contains(&first[0]) && two {
            passed += 1;
        } else {
            missed.push(format!("{} {}: {first:?}", fields[0], fields[1]));
        }
    }
    assert!(passed >= 35, "{passed}: {missed:#?}");
}

/// Three faces of one fact (the low point is behind the ball) move the leader hardly more than the
/// sharpest of them.
#[test]
fn one_physical_fact_counts_once() {
    let m = group("M");
    let facts = [
        number("low_point", m, -1.0, 0.5, Unit::Inch),
        number("attack_angle", m, 1.13, 0.6, Unit::Degree),
    ];
    let mut simulation = simulation();
    let mut odds = |evidence: &[Evidence]| {
        let p = simulation
            .judge(evidence, m)
            .of(cause("p_hang_back"))
            .unwrap()
            .probability;
        10.0 * (p / (1.0 - p)).log10()
    };
    let none = odds(&[]);
    let single = facts
        .iter()
        .map(|f| odds(std::slice::from_ref(f)) - none)
        .fold(0.0, f64::max);
    let both = odds(&facts) - none;
    assert!(single > 2.0, "{single}");
    assert!(
        both < single + 1.5,
        "{both} decibans together, {single} alone"
    );
}

#[test]
fn a_number_that_nobody_has_is_said_to_be_impossible() {
    let m = group("M");
    let odd = number("attack_angle", m, 25.0, 0.5, Unit::Degree);
    let fair = number("attack_angle", m, -3.0, 0.5, Unit::Degree);
    let mut simulation = simulation();
    assert_eq!(simulation.judge(&[fair.clone(), odd], m).impossible, [1]);
    assert!(simulation.judge(&[fair], m).impossible.is_empty());
    let there = Evidence::Known {
        cause: cause("g_uphill"),
        present: true,
    };
    let gone = Evidence::Known {
        cause: cause("g_uphill"),
        present: false,
    };
    let judged = simulation.judge(&[there, gone], m);
    assert_eq!(judged.impossible, [0, 1]);
    assert!(judged.causes.iter().all(|c| c.probability.is_finite()));
}

#[test]
fn a_stated_lie_is_there_and_never_a_benefit() {
    let (evidence, focus) = parse("M: fat, thin");
    let mut with_lie = evidence;
    with_lie.push(Evidence::Known {
        cause: cause("g_downhill"),
        present: true,
    });
    let mut simulation = simulation();
    let judged = simulation.judge(&with_lie, focus);
    assert!((judged.of(cause("g_downhill")).unwrap().probability - 1.0).abs() < 1e-9);
    assert!(
        judged.effective_golfers > 500.0,
        "{}",
        judged.effective_golfers
    );
    let benefit = simulation.benefits(&judged, &[cause("g_downhill")])[0];
    assert_eq!(
        (benefit.playable.to_bits(), benefit.clean.to_bits()),
        (0, 0)
    );
    let practice = simulation.practice(&judged).unwrap();
    assert!(!base().model.causes[practice.cause.index()].condition);
}

#[test]
fn what_if_moves_what_it_should_and_leaves_the_judgement() {
    let (simulation, _, judged) = judge("M: fat, thin, divot_starts_behind_far");
    let before = format!("{judged:?}");
    let inch = Amount::new(1.0, Unit::Inch).unwrap();
    let moved = simulation.what_if(&judged, &[Change::Move(Axis::LowPoint, inch)], judged.focus);
    let rate = |rates: &[(Event, f64)], event: Event| rates[event as usize].1;
    assert!(rate(&moved.after, Event::Clean) > rate(&moved.before, Event::Clean) + 0.02);
    let attack = |axes: &[(Axis, Amount)]| {
        axes[Axis::AttackAngle as usize]
            .1
            .value_in(Unit::Degree)
            .unwrap()
    };
    // An inch of low point is 1.1 deg of attack with a middle iron (geometry, K about 51 in).
    let change = attack(&moved.axes_after) - attack(&moved.axes_before);
    assert!((change + 1.13).abs() < 0.05, "{change}");
    let same = simulation.what_if(&judged, &[], judged.focus);
    assert_eq!(same.before, same.after);
    assert_eq!(before, format!("{judged:?}"));
}

#[test]
fn taking_a_cause_away_takes_what_it_brought_about() {
    let (simulation, _, judged) = judge("M: fat, divot_deep, no thin");
    let gone = [Change::Without(cause("p_dip"))];
    let what_if = simulation.what_if(&judged, &gone, judged.focus);
    let fat = Event::Fat as usize;
    assert!(what_if.after[fat].1 < what_if.before[fat].1 - 0.02);
    let benefit = simulation.benefits(&judged, &[cause("p_dip")])[0];
    let gained =
        100.0 * (what_if.after[Event::Clean as usize].1 - what_if.before[Event::Clean as usize].1);
    // Of those who have it; the benefit is of all.
    assert!(
        what_if.share > 0.0 && what_if.share < 1.0,
        "{}",
        what_if.share
    );
    assert!(
        (benefit.clean - gained * what_if.share).abs() < 0.01,
        "{} {gained} {}",
        benefit.clean,
        what_if.share
    );
}

#[test]
fn a_flip_is_true_and_the_account_balances() {
    let (mut simulation, evidence, judged) =
        judge("M: height_too_high, attack=0.3, s=-0.5, fat, no thin");
    let two: Vec<CauseId> = judged.causes.iter().take(2).map(|c| c.cause).collect();
    let ledger = simulation.ledger(&evidence, judged.focus, &two);
    for column in &ledger.columns {
        let p = judged.of(column.cause).unwrap().probability;
        let printed = 10.0 * (p / (1.0 - p)).log10();
        let booked = column.prior + column.items.iter().sum::<f64>() + column.unsaid;
        assert!((booked - printed).abs() < 0.1, "{booked} {printed}");
    }
    assert_eq!(ledger.contrast().len(), evidence.len());
    if let Some(flip) = simulation.flip(&evidence, judged.focus) {
        let mut changed = evidence.clone();
        match flip.kind {
            FlipKind::Removed => {
                changed.remove(flip.finding);
            }
            FlipKind::Opposite => {
                if let Evidence::Symptom { present, often, .. } = &mut changed[flip.finding] {
                    *present = !*present;
                    *often = None;
                }
            }
            FlipKind::MovedTo(to) => {
                if let Evidence::Measured { value, .. } = &mut changed[flip.finding] {
                    *value = to;
                }
            }
        }
        let leader = simulation.judge(&changed, judged.focus).causes[0].cause;
        assert_eq!(leader, flip.leader);
        assert_ne!(leader, judged.causes[0].cause);
    }
}

#[test]
fn what_causes_imply_follows_the_arc() {
    let mut simulation = simulation();
    let m = group("M");
    for id in ["p_hang_back", "s_ball_forward", "p_sway", "a_early_release"] {
        let implied = simulation.implied(cause(id), m);
        let share = |e: &str| implied.effects[effect(e).index()].with;
        // A low point behind the ball means a rising or level club: never rarer.
        assert!(share("e_attack_too_level") >= share("e_lp_behind"), "{id}");
        assert!(
            share("e_lp_behind") > implied.effects[effect("e_lp_behind").index()].without + 0.1
        );
    }
    let open = simulation.implied(cause("s_grip_weak"), group("D"));
    let slice = base().symptoms.place("curve_push_big").unwrap();
    let at = open
        .symptoms
        .iter()
        .find(|s| s.symptom.index() == slice)
        .unwrap();
    assert!(at.with > at.without + 0.1, "{at:?}");
}

#[test]
fn the_next_check_is_open_and_not_asked_again() {
    let (mut simulation, mut evidence, judged) = judge("M: fat, thin");
    let all: Vec<CheckId> = (0..base().checks.len()).map(CheckId::from_index).collect();
    let first = simulation.next_check(&judged, &all).unwrap();
    assert!(first.bits > 0.0 && (first.if_yes.chance + first.if_no.chance - 1.0).abs() < 1e-9);
    assert_ne!(first.separates.0, first.separates.1);
    evidence.push(Evidence::Answer {
        check: first.check,
        yes: false,
    });
    let judged = simulation.judge(&evidence, judged.focus);
    let second = simulation.next_check(&judged, &all).unwrap();
    assert_ne!(first.check, second.check);
    assert!(
        simulation.next_check(&judged, &[first.check]).is_none(),
        "nothing else may be asked"
    );
}

/// Golfers without causes, by club group: shares of clean, heavy, thin and topped strikes that a
/// coach would recognise (elicited ranges; fat at an inch comes out above the wish of 9).
#[test]
fn usual_golfers_strike_as_usual_golfers_do() {
    let mut model = base().model.clone();
    model.settings.prior_scale = 0.0;
    let mut simulation = Simulation::with_golfers(model, 10).unwrap();
    for (letter, clean, thin) in [
        ("W", 0.50..0.62, 0.16..0.27),
        ("M", 0.54..0.66, 0.15..0.26),
        ("F", 0.48..0.62, 0.18..0.28),
        ("D", 0.74..0.88, 0.05..0.13),
    ] {
        let judged = simulation.judge(&[], group(letter));
        let (c, t) = (judged.rate(Event::Clean), judged.rate(Event::Thin));
        assert!(
            clean.contains(&c) && thin.contains(&t),
            "{letter}: clean {c}, thin {t}"
        );
        let shares = [Event::Whiff, Event::Topped, Event::Thin, Event::Clean];
        let ground = [Event::SlightlyHeavy, Event::Fat];
        let teed = [Event::Sky, Event::DropKick];
        let rest = if letter == "D" { teed } else { ground };
        let sum: f64 = shares.iter().chain(&rest).map(|&e| judged.rate(e)).sum();
        assert!((sum - 1.0).abs() < 0.005, "{letter}: {sum}");
    }
}

/// Numbers bind: the further a measured path is to the push side, the surer it is that the path is
/// outward, and the golfers that fit have about that path. Beside each path (with face 0 and attack
/// -4): both effects and the mean path among 2 000 000 golfers of the independent implementation,
/// weighed by the numbers alone.
#[test]
fn a_larger_measured_number_is_not_believed_less() {
    let m = group("M");
    let mut simulation = simulation();
    for (path, outward, closed, mean) in [
        (5.0, 0.754, 0.595, 3.85),
        (8.0, 0.985, 0.959, 6.89),
        (12.0, 0.999, 0.998, 10.83),
    ] {
        let numbers = [
            number("club_path", m, path, 1.1, Unit::Degree),
            number("face_angle", m, 0.0, 1.3, Unit::Degree),
            number("attack_angle", m, -4.0, 0.8, Unit::Degree),
        ];
        let judged = simulation.judge(&numbers, m);
        let range = judged.range(Axis::ClubPath).unwrap().mean;
        for (what, found, known, within) in [
            (
                "outward",
                judged.effect(effect("e_path_in_out")),
                outward,
                0.03,
            ),
            (
                "closed",
                judged.effect(effect("e_face_closed_path")),
                closed,
                0.05,
            ),
            ("path", range.value_in(Unit::Degree).unwrap(), mean, 0.2),
        ] {
            let off: f64 = found - known;
            assert!(off.abs() < within, "{path}: {what} {found:.3} for {known}");
        }
        assert!(
            judged.effective_golfers > 300.0,
            "{path}: {}",
            judged.effective_golfers
        );
    }
}
