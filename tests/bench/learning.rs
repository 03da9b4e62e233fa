//! Learners against learners: whether the score tells good from bad, whether cases can be solved,
//! whether golfers' words read back. `cargo bench --bench learning [-- CASES [solve]]`.
#![allow(
    missing_docs,
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a command that prints tables"
)]

use std::collections::BTreeMap;
use std::sync::Arc;

use swingwhy::causes::model::Change;
use swingwhy::diagnosis::{Mind, diagnose};
use swingwhy::knowledge::{KnowledgeBase, Wish};
use swingwhy::learning::{
    Chance, Commitment, Desk, Pupil, Score, Way, draw, points, reads_back, solved,
};
use swingwhy::reading::Phrases;
use swingwhy::vocabulary::{CauseId, CheckId, EffectId};
use swingwhy::wording::learning::speech;

/// The family whose causes the fourth learner does not know.
const REMOVED: &str = "arms";
/// Questions the program may put.
const QUESTIONS: usize = 8;

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

/// What a case came to for one learner.
#[derive(Clone, Copy)]
struct Outcome {
    score: Score,
    first: bool,
}

struct Arena {
    base: Arc<KnowledgeBase>,
    mind: Mind,
    /// The program without one family.
    half_blind: Mind,
}

impl Arena {
    fn outcome(&mut self, pupil: &Pupil, desk: &Desk, stated: &Commitment) -> Outcome {
        let prior = diagnose(&mut self.mind, &desk.case(pupil, 0));
        let usual = |c: CauseId| prior.judgement.of(c).map_or(0.0, |r| r.prior);
        let play = |changes: &[Change], mind: &mut Mind| {
            mind.simulation()
                .play_of(&pupil.lineup, pupil.number, pupil.first.group, changes)
        };
        let before = play(&[], &mut self.mind);
        let after = match stated.practise {
            Some(c) => play(&[Change::Without(c)], &mut self.mind),
            None => before,
        };
        let top = stated
            .causes
            .iter()
            .copied()
            .reduce(|a, b| if b.1 > a.1 { b } else { a });
        Outcome {
            score: Score {
                points: points(&stated.causes, |c| pupil.has(c), usual),
                fault: stated
                    .fault
                    .is_some_and(|f| pupil.first.case.effects.contains(&f)),
                gained: (after.0 - before.0).max(after.1 - before.1).max(0.0),
                could_gain: pupil.worths.first().map_or(0.0, |w| w.gain.most()),
                minutes: desk.minutes(),
            },
            first: top.is_some_and(|(c, _)| pupil.has(c)),
        }
    }

    /// Asks five questions at random and guesses.
    fn random(&mut self, pupil: &Pupil, seed: u64) -> Outcome {
        let mut chance = Chance::new(seed, 50);
        let mut desk = Desk::new(&self.base, pupil);
        for _ in 0..5 {
            let check = CheckId::from_index(chance.below(self.base.checks.len()));
            desk.check(&mut self.mind, pupil, check, Way::Asked);
        }
        let mut causes: Vec<(CauseId, f64)> = Vec::new();
        while causes.len() < 3 {
            let cause = CauseId::from_index(chance.below(self.base.causes.len()));
            if causes.iter().all(|(c, _)| *c != cause) {
                causes.push((cause, chance.unit()));
            }
        }
        let stated = Commitment {
            fault: Some(EffectId::from_index(chance.below(self.base.effects.len()))),
            practise: causes.first().map(|(c, _)| *c),
            causes,
            given_up: false,
        };
        self.outcome(pupil, &desk, &stated)
    }

    /// What a mind makes of what is on the desk.
    fn stated(mind: &mut Mind, pupil: &Pupil, case: &swingwhy::diagnosis::Case) -> Commitment {
        let found = diagnose(mind, case);
        let base = Arc::clone(mind.base());
        let fault = found
            .judgement
            .effects
            .iter()
            .filter(|(e, _)| {
                let tests = base
                    .model
                    .effects
                    .get(e.index())
                    .and_then(|m| m.any_of.get(pupil.first.group.index()));
                tests.is_some_and(|t| !t.is_empty())
            })
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(e, _)| *e);
        Commitment {
            fault,
            causes: found
                .judgement
                .causes
                .iter()
                .take(3)
                .map(|c| (c.cause, c.probability))
                .collect(),
            practise: found.practice.map(|p| p.cause),
            given_up: false,
        }
    }

    /// Takes the first symptom for the whole story and asks nothing.
    fn greedy(&mut self, pupil: &Pupil) -> Outcome {
        let desk = Desk::new(&self.base, pupil);
        let mut case = desk.case(pupil, 1);
        case.findings.truncate(1);
        case.hints.clear();
        let stated = Self::stated(&mut self.mind, pupil, &case);
        self.outcome(pupil, &desk, &stated)
    }

    /// Watches ten shots, then puts the question worth most until none is or the minutes are up.
    fn program(&mut self, pupil: &Pupil, blind: bool) -> Outcome {
        let mut desk = Desk::new(&self.base, pupil);
        desk.shots(&mut self.mind, pupil, 0);
        let mind = if blind {
            &mut self.half_blind
        } else {
            &mut self.mind
        };
        // Answers come from the golfer as they are, whoever asks.
        let mut asked: Vec<CheckId> = Vec::new();
        for _ in 0..QUESTIONS {
            let mut case = desk.case(pupil, usize::MAX);
            case.asked.extend(&asked);
            let Some(next) = diagnose(mind, &case).next_check else {
                break;
            };
            asked.push(next.check);
            desk.check(mind, pupil, next.check, Way::Asked);
            if desk.answered(next.check).is_none() {
                desk.check(mind, pupil, next.check, Way::Looked);
            }
        }
        let case = desk.case(pupil, usize::MAX);
        let stated = Self::stated(mind, pupil, &case);
        self.outcome(pupil, &desk, &stated)
    }
}

/// The knowledge without the causes of a family: too rare to be named, and moving nothing.
fn without(base: &KnowledgeBase, family: &str) -> KnowledgeBase {
    let mut base = base.clone();
    let gone: Vec<CauseId> = base
        .causes
        .iter()
        .enumerate()
        .filter(|(_, c)| c.family == family)
        .map(|(i, _)| CauseId::from_index(i))
        .collect();
    for (i, cause) in base.model.causes.iter_mut().enumerate() {
        cause.leads_to.retain(|(c, _)| !gone.contains(c));
        if gone.contains(&CauseId::from_index(i)) {
            cause.prior = 1e-6;
            cause.leads_to.clear();
            for shifts in &mut cause.shifts {
                shifts.clear();
            }
        }
    }
    for check in &mut base.model.checks {
        check.tells.retain(|(c, ..)| !gone.contains(c));
    }
    for symptom in &mut base.model.symptoms {
        symptom.tells.retain(|(c, _)| !gone.contains(c));
    }
    base
}

fn mean(list: &[Outcome], f: impl Fn(&Outcome) -> f64) -> (f64, f64) {
    let n = list.len().max(1) as f64;
    let mean = list.iter().map(&f).sum::<f64>() / n;
    let var = list.iter().map(|o| (f(o) - mean).powi(2)).sum::<f64>() / (n - 1.0).max(1.0);
    (mean, (var / n).sqrt())
}

fn main() {
    let cases: u64 = std::env::args().find_map(|a| a.parse().ok()).unwrap_or(500);
    let base = Arc::new(swingwhy::knowledge::builtin().expect("the built-in knowledge"));
    let phrases = Phrases::compile(&base.lexicon);
    let mut arena = Arena {
        mind: Mind::new(Arc::clone(&base)).expect("golfers"),
        half_blind: Mind::new(Arc::new(without(&base, REMOVED))).expect("golfers"),
        base: Arc::clone(&base),
    };
    println!(
        "knowledge {}, {cases} cases over {} levels\n",
        base.hash,
        base.levels.len()
    );

    let started = std::time::Instant::now();
    let mut pupils: Vec<(usize, Pupil)> = Vec::new();
    let mut nobody = 0;
    for seed in 0..cases {
        let level = seed as usize % base.levels.len().max(1);
        let wanted = base
            .levels
            .iter()
            .nth(level)
            .map_or(Wish::anything(), |l| l.wish.clone());
        match draw(&mut arena.mind, &phrases, seed, &wanted) {
            Ok(pupil) => pupils.push((level, pupil)),
            Err(_) => nobody += 1,
        }
    }
    println!(
        "drawn in {:.1} s, {nobody} without a golfer",
        started.elapsed().as_secs_f64()
    );

    let only_solving = std::env::args().any(|a| a == "solve");
    // Words read back.
    let mut back = 0;
    let mut said = 0;
    for seed in 0..if only_solving { 0 } else { 4 * cases } {
        let level = seed as usize % base.levels.len().max(1);
        let wanted = base
            .levels
            .iter()
            .nth(level)
            .map_or(Wish::anything(), |l| l.wish.clone());
        if let Ok(pupil) = draw(&mut arena.mind, &phrases, 1_000_000 - seed, &wanted) {
            said += 1;
            let words = speech(&base, &pupil);
            if reads_back(&phrases, &pupil, &words) {
                back += 1;
            } else if said - back <= 8 {
                println!("  not read back: {words}");
            }
        }
    }
    println!("words read back            {}", wilson(back, said));

    // Solvable.
    let solved: Vec<(usize, Option<usize>)> = pupils
        .iter()
        .map(|(level, p)| (*level, solved(&mut arena.mind, p)))
        .collect();
    let hits = |n: usize| {
        solved
            .iter()
            .filter(|(_, s)| s.is_some_and(|s| s < n))
            .count()
    };
    println!(
        "all checks answered, true cause first    {}",
        wilson(hits(1), solved.len())
    );
    println!(
        "all checks answered, in the first three  {}",
        wilson(hits(3), solved.len())
    );
    for (at, level) in base.levels.iter().enumerate() {
        let own: Vec<&Option<usize>> = solved
            .iter()
            .filter(|(l, _)| *l == at)
            .map(|(_, s)| s)
            .collect();
        let first = own.iter().filter(|s| ***s == Some(0)).count();
        let three = own.iter().filter(|s| s.is_some_and(|s| s < 3)).count();
        println!(
            "  {:<20} first {:>3} three {:>3} of {:>3}",
            level.id,
            first,
            three,
            own.len()
        );
    }

    if only_solving {
        return;
    }
    // Learners.
    let mut table: BTreeMap<&str, Vec<Outcome>> = BTreeMap::new();
    let mut by_family: BTreeMap<String, Vec<(f64, f64)>> = BTreeMap::new();
    for (_, pupil) in &pupils {
        let random = arena.random(pupil, pupil.seed);
        let greedy = arena.greedy(pupil);
        let program = arena.program(pupil, false);
        let blind = arena.program(pupil, true);
        table.entry("1 random").or_default().push(random);
        table
            .entry("2 greedy on the first symptom")
            .or_default()
            .push(greedy);
        table
            .entry("3 program without a family")
            .or_default()
            .push(blind);
        table.entry("4 program").or_default().push(program);
        let family = pupil
            .worths
            .first()
            .map_or(String::new(), |w| base.cause(w.cause).family.clone());
        by_family
            .entry(family)
            .or_default()
            .push((program.score.total(), blind.score.total()));
    }
    println!("\nlearner                            total  +/-   points  first   gained  minutes");
    for (name, list) in &table {
        let (total, error) = mean(list, |o| o.score.total());
        let (points, _) = mean(list, |o| o.score.points);
        let (first, _) = mean(list, |o| if o.first { 100.0 } else { 0.0 });
        let (gained, _) = mean(list, |o| o.score.gained);
        let (minutes, _) = mean(list, |o| o.score.minutes);
        println!(
            "{name:<34} {total:>6.1} {error:>4.1} {points:>8.1} {first:>5.0} % {gained:>8.1} {minutes:>8.1}"
        );
    }
    println!("\nmargins, the same golfers for both");
    let lists: Vec<(&&str, &Vec<Outcome>)> = table.iter().collect();
    for pair in lists.windows(2) {
        if let [(worse, a), (better, b)] = pair {
            let lead: Vec<f64> = a
                .iter()
                .zip(b.iter())
                .map(|(a, b)| b.score.total() - a.score.total())
                .collect();
            let n = lead.len() as f64;
            let mean = lead.iter().sum::<f64>() / n;
            let var = lead.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / (n - 1.0).max(1.0);
            let error = (var / n).sqrt();
            println!("{better:<30} over {worse:<30} {mean:>6.1} +/- {error:.1}");
        }
    }
    println!("\nfamily of the costliest cause    n   program   without {REMOVED}   lost");
    for (family, list) in &by_family {
        let n = list.len() as f64;
        let a = list.iter().map(|x| x.0).sum::<f64>() / n;
        let b = list.iter().map(|x| x.1).sum::<f64>() / n;
        println!(
            "{family:<28} {:>5} {a:>9.1} {b:>15.1} {:>6.1}",
            list.len(),
            a - b
        );
    }
    println!("\n{:.0} s", started.elapsed().as_secs_f64());
}
