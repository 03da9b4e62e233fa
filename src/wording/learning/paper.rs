//! Paper tests in words and as JSON Lines: the sheet, its key, and a graded one.
//!
//! The sheet says nothing that the key must keep. The first line names the paper, so that a filled
//! one can be graded without its key; the JSON Lines carry the same facts, one case a line.

use serde_json::{Value, json};

use super::super::number::{Manner, amount, listed, rounded};
use super::super::page::Page;
use super::ten::{curve, face, mark, start, strike, table};
use super::{ONE_WRONG, lie, read_line, speech};
use crate::conversation::learning::{BadLine, BadPaper, PaperName};
use crate::knowledge::KnowledgeBase;
use crate::learning::{Answer, Commitment, Comparison, Done, PaperCase, Pupil, WrongNumber};
use crate::quantity::Amount;
use crate::vocabulary::CauseId;

/// How a golfer's numbers are written.
const fn manner(pupil: &Pupil) -> Manner {
    Manner {
        metric: false,
        hand: Some(pupil.hand),
    }
}

fn title(name: PaperName) -> String {
    format!(
        "Paper {}, {} cases, level {}",
        name.seed, name.cases, name.level
    )
}

/// The sheet to be filled in.
pub fn paper_page(base: &KnowledgeBase, name: PaperName, cases: &[PaperCase]) -> Page {
    let mut page = Page::new();
    page.text(title(name));
    page.text(
        "For each golfer name one fault of the club at the ball, up to three causes with your chance \
         of each from 0 to 100, and what you would practise. Write after the colons, for example: \
         Causes: hanging back 60, ball too far forward 20",
    );
    page.text(
        "Measured numbers are means of the ten shots shown; +/- holds the golfer's average in 95 of a hundred such \
         measurements.",
    );
    if cases.iter().any(|c| c.pupil.lie.is_some()) {
        page.text(
            "How the ball lies is told where it is not plain; it is no cause to be named, and a chance on \
             it counts nothing.",
        );
    }
    if cases.iter().any(|c| c.pupil.mistaken.is_some()) {
        page.text(format!(
            "{ONE_WRONG} Name it after \"Wrong number\"; it earns no points, the key tells."
        ));
    }
    for (at, case) in cases.iter().enumerate() {
        page.blank();
        page.text(format!("Case {}", at + 1));
        let hand = if case.pupil.hand == crate::vocabulary::Hand::Right {
            "right-handed"
        } else {
            "left-handed"
        };
        page.labelled(
            "Golfer",
            format!("{hand}: \"{}\"", speech(base, &case.pupil)),
        );
        if let Some(lie) = lie(base, &case.pupil) {
            page.labelled("Lie", lie);
        }
        for step in case.desk.steps() {
            match &step.done {
                Done::Shots { ten, .. } => page.art(table(ten, case.pupil.hand)),
                Done::Measured { reads, .. } => {
                    let said: Vec<String> = reads
                        .iter()
                        .map(|r| read_line(base, r, manner(&case.pupil)))
                        .collect();
                    page.labelled("Measured", said.join("; "));
                }
                Done::Check { check, answer, .. } => {
                    let seen = if *answer == Answer::Yes { "yes" } else { "no" };
                    page.labelled("Seen", format!("{} {seen}", base.check(*check).question));
                }
                Done::Told | Done::Symptoms(_) | Done::Turf(_) | Done::Tried { .. } => {}
            }
        }
        page.text("Fault:");
        page.text("Causes:");
        page.text("Practise:");
        if case.pupil.mistaken.is_some() {
            page.text("Wrong number:");
        }
    }
    page
}

/// A line of the sheet for each case.
pub fn paper_json(base: &KnowledgeBase, name: PaperName, cases: &[PaperCase]) -> Vec<Value> {
    cases
        .iter()
        .enumerate()
        .map(|(at, case)| {
            let pupil = &case.pupil;
            let mut shots = Vec::new();
            let mut numbers = Vec::new();
            let mut checks = Vec::new();
            for step in case.desk.steps() {
                match &step.done {
                    Done::Shots { ten, .. } => shots.extend(ten.shots.iter().map(|s| {
                        json!({
                            "strike": strike(s),
                            "mark": mark(s),
                            "face": face(s),
                            "starts": start(s, pupil.hand),
                            "curves": curve(s, pupil.hand),
                        })
                    })),
                    Done::Measured { reads, .. } => numbers.extend(reads.iter().filter_map(|r| {
                        let q = base.quantity(r.quantity);
                        let value = r.value.value_in(q.unit).ok()?;
                        let error = r.error.value_in(q.unit).ok()?;
                        let range = r.range.value_in(q.unit).ok()?;
                        Some(json!({
                            "quantity": q.id,
                            "value": round(value),
                            "error": round(error),
                            "range_95": round(range),
                            "unit": q.unit.symbol(),
                            "words": amount(base, r.quantity, r.value, manner(pupil)),
                        }))
                    })),
                    Done::Check { check, answer, .. } => checks.push(json!({
                        "check": base.check(*check).id,
                        "question": base.check(*check).question,
                        "answer": *answer == Answer::Yes,
                    })),
                    Done::Told | Done::Symptoms(_) | Done::Turf(_) | Done::Tried { .. } => {}
                }
            }
            json!({
                "format": 1,
                "paper": name.seed,
                "cases": name.cases,
                "level": name.level,
                "case": at + 1,
                "knowledge": base.hash,
                "handed": if pupil.hand == crate::vocabulary::Hand::Right { "right" } else { "left" },
                "club": base.club(pupil.first.club).id,
                "golfer": speech(base, pupil),
                "lie": pupil.lie.map(|l| base.lie(l).id.as_str()),
                "one_number_wrong": pupil.mistaken.is_some(),
                "shots": shots,
                "numbers": numbers,
                "checks": checks,
                "answer": {"fault": null, "causes": {}, "practise": null},
            })
        })
        .collect()
}

fn round(x: f64) -> f64 {
    (100.0 * x).round() / 100.0
}

/// The key.
pub fn key_page(base: &KnowledgeBase, name: PaperName, cases: &[(PaperCase, Comparison)]) -> Page {
    let mut page = Page::new();
    page.text(format!("Key to {}", title(name).replacen('P', "p", 1)));
    for (at, (case, comparison)) in cases.iter().enumerate() {
        let cause = |c: CauseId| base.cause(c).name.clone();
        page.blank();
        page.text(format!("Case {} (golfer {})", at + 1, case.pupil.seed));
        let costs: Vec<String> = case
            .pupil
            .at_work()
            .map(|w| {
                format!(
                    "{} (costs {:.0} in a hundred)",
                    cause(w.cause),
                    w.gain.most()
                )
            })
            .collect();
        page.labelled("At work", costs.join("; "));
        let also: Vec<String> = case
            .pupil
            .worths
            .iter()
            .filter(|w| !w.at_work())
            .map(|w| cause(w.cause))
            .collect();
        if !also.is_empty() {
            page.labelled("Also there", listed(&also));
        }
        if let Some(lie) = lie(base, &case.pupil) {
            page.labelled("Lie", format!("{lie}, as told; no cause to be named"));
        }
        if let Some((quantity, _)) = case.pupil.mistaken {
            let told = comparison.wrong.map_or(String::new(), |w| {
                format!(
                    ": given as {}, the shots came to {}",
                    amount(base, quantity, w.given, manner(&case.pupil)),
                    amount(base, quantity, w.hit, manner(&case.pupil))
                )
            });
            page.labelled(
                "Wrong number",
                format!("{}{told}", base.quantity(quantity).name),
            );
        }
        let others: Vec<String> = case
            .pupil
            .first
            .case
            .effects
            .iter()
            .filter(|e| **e != case.pupil.fault)
            .map(|e| base.effect(*e).name.clone())
            .collect();
        let also = if others.is_empty() {
            String::new()
        } else {
            format!(" (also counted: {})", others.join("; "))
        };
        let fault = &base.effect(case.pupil.fault).name;
        page.labelled("Fault", format!("{fault}{also}"));
        let ranking: Vec<String> = comparison
            .ranking
            .iter()
            .map(|(c, p)| format!("{} {:.0} %", cause(*c), 100.0 * p))
            .collect();
        page.labelled(
            "Program",
            format!(
                "{}: {} points",
                ranking.join(", "),
                rounded(comparison.program_points, 0)
            ),
        );
        if comparison.doubt {
            page.labelled("In doubt", "the program does not solve this one");
        }
    }
    page
}

/// The key, a line for each case.
pub fn key_json(
    base: &KnowledgeBase,
    name: PaperName,
    cases: &[(PaperCase, Comparison)],
) -> Vec<Value> {
    cases
        .iter()
        .enumerate()
        .map(|(at, (case, comparison))| {
            let worths: Vec<Value> = case
                .pupil
                .worths
                .iter()
                .map(|w| {
                    json!({
                        "cause": base.cause(w.cause).id,
                        "at_work": w.at_work(),
                        "clean": round(w.gain.clean),
                        "playable": round(w.gain.playable),
                    })
                })
                .collect();
            let faults: Vec<&str> = case
                .pupil
                .first
                .case
                .effects
                .iter()
                .map(|e| base.effect(*e).id.as_str())
                .collect();
            let ranking: Vec<Value> = comparison
                .ranking
                .iter()
                .map(|(c, p)| json!({"cause": base.cause(*c).id, "probability": round(*p)}))
                .collect();
            let wrong = case.pupil.mistaken.map(|(quantity, _)| {
                let q = base.quantity(quantity);
                let told = |f: &dyn Fn(&WrongNumber) -> Amount| {
                    let value = f(comparison.wrong.as_ref()?).value_in(q.unit).ok()?;
                    Some(round(value))
                };
                json!({
                    "quantity": q.id,
                    "given": told(&|w| w.given),
                    "shots": told(&|w| w.hit),
                    "unit": q.unit.symbol(),
                })
            });
            json!({
                "format": 1,
                "paper": name.seed,
                "cases": name.cases,
                "level": name.level,
                "case": at + 1,
                "golfer": case.pupil.seed,
                "lie": case.pupil.lie.map(|l| base.lie(l).id.as_str()),
                "wrong_number": wrong,
                "causes": worths,
                "faults": faults,
                "fault": base.effect(case.pupil.fault).id,
                "program": ranking,
                "program_points": round(comparison.program_points),
                "doubt": comparison.doubt,
            })
        })
        .collect()
}

/// A case of a graded paper: what was true, and what was answered with how it compares.
pub struct Graded {
    /// The case.
    pub case: PaperCase,
    /// The answer; `None` was not filled in.
    pub answer: Option<(Commitment, Comparison)>,
}

impl Graded {
    fn comparison(&self) -> Option<&Comparison> {
        self.answer.as_ref().map(|(_, comparison)| comparison)
    }

    /// The causes named that are there, those that are not, and those at work that were not named. How
    /// the ball lies was told, and counts neither way.
    fn sorted(&self, base: &KnowledgeBase, stated: &Commitment) -> [Vec<CauseId>; 3] {
        let pupil = &self.case.pupil;
        let mut named = stated.causes.clone();
        named.retain(|(c, _)| !base.cause(*c).condition);
        let at_work = pupil.at_work().map(|w| w.cause);
        let missed = at_work.filter(|cause| named.iter().all(|(c, _)| c != cause));
        let missed = missed.collect();
        let (there, not_there) = named.iter().map(|(c, _)| *c).partition(|c| pupil.has(*c));
        [there, not_there, missed]
    }
}

/// What was right and wrong in an answer.
fn right_and_wrong(
    base: &KnowledgeBase,
    graded: &Graded,
    (stated, comparison): &(Commitment, Comparison),
) -> String {
    let [there, not_there, missed] = graded.sorted(base, stated);
    let mut parts = Vec::new();
    for (word, list) in [
        ("there", there),
        ("not there", not_there),
        ("missed", missed),
    ] {
        if !list.is_empty() {
            let names: Vec<String> = list.iter().map(|c| base.cause(*c).name.clone()).collect();
            parts.push(format!("{word}: {}", names.join(", ")));
        }
    }
    let key = &base.effect(graded.case.pupil.fault).name;
    parts.push(match (stated.fault, comparison.fault) {
        (_, Some(holds)) if holds == graded.case.pupil.fault => format!("fault right: {key}"),
        (_, Some(holds)) => format!(
            "fault holds too: {}; first is {key}",
            base.effect(holds).name
        ),
        (Some(named), None) => format!(
            "fault \"{}\" does not hold of the average swing; it is {key}",
            base.effect(named).name
        ),
        (None, None) => format!("fault not named; it is {key}"),
    });
    parts.join("; ")
}

/// A graded paper: a line for each case and what was right in it, then the means.
pub fn graded_page(base: &KnowledgeBase, name: PaperName, list: &[Graded]) -> Page {
    let graded: Vec<Option<&Comparison>> = list.iter().map(Graded::comparison).collect();
    let mut page = Page::new();
    page.text(title(name));
    page.art([format!(
        "  {:>4} {:>8} {:>8} {:>7} {:>8} {:>8} {:>7}",
        "case", "points", "program", "fault", "gained", "could", "total"
    )]);
    page.art(graded.iter().enumerate().map(|(at, g)| match g {
        Some(c) => format!(
            "  {:>4} {:>8} {:>8} {:>7} {:>8} {:>8} {:>7}",
            at + 1,
            rounded(c.score.points, 0),
            rounded(c.program_points, 0),
            if c.score.fault { "yes" } else { "no" },
            rounded(c.score.gained, 0),
            rounded(c.score.could_gain, 0),
            rounded(total(c), 0)
        ),
        None => format!("  {:>4} not filled in", at + 1),
    }));
    for (at, case) in list.iter().enumerate() {
        if let Some(answer) = &case.answer {
            let label = format!("Case {}", at + 1);
            page.labelled(&label, format!("{}.", right_and_wrong(base, case, answer)));
        }
    }
    let done: Vec<&Comparison> = graded.iter().flatten().copied().collect();
    let n = done.len().max(1) as f64;
    let mean = |f: &dyn Fn(&Comparison) -> f64| done.iter().map(|c| f(c)).sum::<f64>() / n;
    page.key(
        "",
        format!(
            "{} of {} cases filled in: {} points a case, the program {}; faults named {} of {}.",
            done.len(),
            graded.len(),
            rounded(mean(&|c| c.score.points), 1),
            rounded(mean(&|c| c.program_points), 1),
            done.iter().filter(|c| c.score.fault).count(),
            done.len()
        ),
    );
    page
}

/// The total without minutes: on paper nobody chose them.
fn total(c: &Comparison) -> f64 {
    crate::learning::Score {
        minutes: 0.0,
        ..c.score
    }
    .total()
}

/// A graded paper, a line for each case.
pub fn graded_json(base: &KnowledgeBase, name: PaperName, list: &[Graded]) -> Vec<Value> {
    list.iter()
        .enumerate()
        .map(|(at, graded)| match &graded.answer {
            Some((stated, c)) => {
                let ids = |list: Vec<CauseId>| -> Vec<&str> {
                    list.into_iter()
                        .map(|c| base.cause(c).id.as_str())
                        .collect()
                };
                let [there, not_there, missed] = graded.sorted(base, stated).map(ids);
                json!({
                    "format": 1,
                    "paper": name.seed,
                    "case": at + 1,
                    "points": round(c.score.points),
                    "program_points": round(c.program_points),
                    "fault": c.score.fault,
                    "there": there,
                    "not_there": not_there,
                    "missed": missed,
                    "gained": round(c.score.gained),
                    "could_gain": round(c.score.could_gain),
                    "total": round(total(c)),
                    "doubt": c.doubt,
                })
            }
            None => json!({"format": 1, "paper": name.seed, "case": at + 1, "points": null}),
        })
        .collect()
}

/// Why a filled paper cannot be graded, in one line.
pub fn bad_paper(base: &KnowledgeBase, bad: &BadPaper) -> String {
    let why = match &bad.why {
        BadLine::NoName => {
            "no line names the paper, such as: Paper 7, 20 cases, level 1".to_owned()
        }
        BadLine::Shape(detail) => format!("not a line of a paper: {detail}"),
        BadLine::NoSuchCase(case) => format!("the paper has no case {case}"),
        BadLine::NoCase => "an answer before any case".to_owned(),
        BadLine::Fault(words, may) => {
            let names: Vec<String> = may
                .iter()
                .map(|e| format!("\"{}\"", base.effect(*e).name))
                .collect();
            let may = if names.is_empty() {
                String::new()
            } else {
                format!("; it may mean {}", names.join(" or "))
            };
            format!("no single fault in \"{words}\"{may}")
        }
        BadLine::Causes(words) => {
            format!("no causes with chances from 0 to 100 in \"{words}\"")
        }
        BadLine::Practice(words) => format!("nothing to practise in \"{words}\""),
        BadLine::OtherKnowledge(other) => format!("made with other knowledge ({other})"),
    };
    if bad.line == 0 {
        why
    } else {
        format!("line {}: {why}", bad.line)
    }
}
