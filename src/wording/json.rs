//! A judged message as one JSON object: format version 1.
//!
//! Numbers are in trade units with their unit beside them and in the house's signs (low point +
//! target side, attack + up, directions + push side, turf entry behind the ball). Names are the ids
//! of the knowledge; the texts are for people. A change of meaning raises the version.

use serde_json::{Map, Value, json};

use super::clashes::clash_text;
use super::number::Manner;
use super::page::clean;
use crate::causes::model::Axis;
use crate::conversation::{Block, Note, Question, Reply, Session, axis_unit};
use crate::diagnosis::{Diagnosis, Origin, Pattern};
use crate::knowledge::KnowledgeBase;
use crate::quantity::Amount;
use crate::reading::{Polarity, What};
use crate::vocabulary::{CauseId, QuantityId};

/// The version of the format.
pub const FORMAT: u32 = 1;

/// How many causes are given.
const CAUSES: usize = 10;

fn pattern(base: &KnowledgeBase, pattern: &Pattern) -> Value {
    json!({
        "club": pattern.club.map(|c| base.club(c).id.clone()),
        "group": if pattern.said { Some(base.group(pattern.group).id.clone()) } else { None },
        "lie": pattern.lie.map(|l| base.lie(l).id.clone()),
    })
}

fn number(value: f64, decimals: usize) -> Value {
    let scale = 10f64.powi(i32::try_from(decimals).unwrap_or(2));
    let rounded = (value * scale).round() / scale;
    json!(if rounded == 0.0 { 0.0 } else { rounded })
}

fn in_unit(base: &KnowledgeBase, quantity: QuantityId, amount: Amount) -> Value {
    let q = base.quantity(quantity);
    amount
        .value_in(q.unit)
        .map_or(Value::Null, |v| number(v, q.decimals + 1))
}

fn understood(session: &Session) -> Vec<Value> {
    let base = session.base();
    session
        .known()
        .iter()
        .map(|heard| {
            let finding = &heard.finding;
            let mut entry = Map::new();
            let (id, value, unit) = match finding.what {
                What::Symptom(symptom) => {
                    (base.symptom(symptom).id.clone(), Value::Null, Value::Null)
                }
                What::AllWell => ("all_well".to_owned(), Value::Null, Value::Null),
                What::Number(n) => (
                    base.quantity(n.quantity).id.clone(),
                    in_unit(base, n.quantity, n.value.middle()),
                    json!(base.quantity(n.quantity).unit.symbol()),
                ),
            };
            entry.insert("finding".into(), json!(id));
            entry.insert(
                "present".into(),
                match finding.polarity {
                    Polarity::Present => json!(true),
                    Polarity::Absent => json!(false),
                    Polarity::Unsure => Value::Null,
                },
            );
            let often = finding.often.or_else(|| {
                let count = finding.count?;
                Some(f64::from(count.hits) / f64::from(count.of?))
            });
            entry.insert("often".into(), often.map_or(Value::Null, |o| number(o, 2)));
            entry.insert(
                "pattern".into(),
                pattern(base, &session.pattern_of(finding)),
            );
            entry.insert("value".into(), value);
            entry.insert("unit".into(), unit);
            entry.insert("said".into(), json!(clean(&heard.words)));
            Value::Object(entry)
        })
        .collect()
}

fn quantities(base: &KnowledgeBase, d: &Diagnosis) -> Vec<Value> {
    let mut out: Vec<Value> = d
        .rows
        .iter()
        .filter_map(|row| {
            let p = d.patterns.get(row.pattern)?;
            let from: Vec<String> = match &row.origin {
                Origin::Said(finding) => vec![format!("finding {}", finding + 1)],
                Origin::Derived(why) => why
                    .rule
                    .and_then(|r| base.program.rule(r))
                    .map(|r| r.id.clone())
                    .into_iter()
                    .chain(
                        why.findings()
                            .into_iter()
                            .map(|f| format!("finding {}", f + 1)),
                    )
                    .collect(),
            };
            Some(json!({
                "quantity": base.quantity(row.quantity).id,
                "pattern": pattern(base, p),
                "value": in_unit(base, row.quantity, row.value.middle()),
                "low": in_unit(base, row.quantity, row.value.low()),
                "high": in_unit(base, row.quantity, row.value.high()),
                "unit": base.quantity(row.quantity).unit.symbol(),
                "from": from,
            }))
        })
        .collect();
    // What golfers like this one have, where nothing was said or worked out.
    if let Some(p) = d.focus() {
        for axis in [
            Axis::LowPoint,
            Axis::AttackAngle,
            Axis::ClubPath,
            Axis::FaceAngle,
        ] {
            let named = Axis::ALL
                .iter()
                .find(|(a, _, _, _)| *a == axis)
                .and_then(|(_, name, _, _)| base.find_quantity(name));
            let (Some(quantity), Some(range)) = (named, d.judgement.range(axis)) else {
                continue;
            };
            if d.row(quantity).is_some() {
                continue;
            }
            let unit = axis_unit(axis);
            out.push(json!({
                "quantity": base.quantity(quantity).id,
                "pattern": pattern(base, p),
                "value": range.mean.value_in(unit).map_or(Value::Null, |v| number(v, 2)),
                "low": range.low.value_in(unit).map_or(Value::Null, |v| number(v, 2)),
                "high": range.high.value_in(unit).map_or(Value::Null, |v| number(v, 2)),
                "unit": unit.symbol(),
                "from": ["golfers like this one"],
            }));
        }
    }
    out
}

fn causes(session: &mut Session) -> Vec<Value> {
    let Some(d) = session.diagnosis().cloned() else {
        return Vec::new();
    };
    let ranked: Vec<_> = d.judgement.causes.iter().take(CAUSES).copied().collect();
    let ids: Vec<CauseId> = ranked.iter().map(|r| r.cause).collect();
    let accounts = session.accounts(&ids);
    let benefits = session.benefits(&ids);
    let base = session.base();
    ranked
        .iter()
        .map(|r| {
            let account = accounts.iter().find(|a| a.0 == r.cause);
            let pick = |want: bool| -> Vec<String> {
                account.map_or_else(Vec::new, |(_, lines)| {
                    lines
                        .iter()
                        .filter(|(_, db)| if want { *db >= 0.5 } else { *db <= -0.5 })
                        .map(|(words, db)| format!("{} ({db:+.1} dB)", clean(words)))
                        .collect()
                })
            };
            let benefit = benefits
                .iter()
                .find(|(c, _)| *c == r.cause)
                .map_or(Value::Null, |(_, b)| number(*b, 1));
            json!({
                "cause": base.cause(r.cause).id,
                "name": base.cause(r.cause).name,
                "probability": number(r.probability, 3),
                "error": number(r.error, 3),
                "at_work": number(r.at_work, 3),
                "benefit": benefit,
                "for": pick(true),
                "against": pick(false),
            })
        })
        .collect()
}

/// The object for a session and the replies to the lines of one message.
pub fn judged(session: &mut Session, replies: &[Reply], id: &Value) -> Value {
    let blocks = || replies.iter().flat_map(|r| &r.blocks);
    let not_used: Vec<String> = blocks()
        .filter_map(|b| match b {
            Block::Unused(words) => Some(words.iter().map(|w| clean(w)).collect::<Vec<_>>()),
            _ => None,
        })
        .flatten()
        .collect();
    let emergency = blocks().any(|b| matches!(b, Block::Caution { alone: true, .. }));
    let mut cautions: Vec<Value> = Vec::new();
    for block in blocks() {
        if let Block::Caution { caution, .. } = block {
            let c = session.base().caution(*caution);
            cautions.push(json!({ "caution": c.id, "text": c.text }));
        }
    }
    let out_of_scope = blocks().any(|b| {
        matches!(
            b,
            Block::Note(Note::OutOfScope(_) | Note::OffTopic | Note::OtherLanguage(_))
        )
    });
    let impossible: Vec<String> = blocks()
        .filter_map(|b| match b {
            Block::Impossible { words, .. } => Some(clean(words)),
            _ => None,
        })
        .collect();
    let causes = causes(session);
    let understood = understood(session);
    let base = session.base();
    let held = cautions_hold(replies);
    let manner = Manner {
        metric: false,
        hand: session.hand(),
    };
    let diagnosis = session.diagnosis();
    let scope = match (diagnosis.is_some() || emergency, out_of_scope) {
        (true, _) => "in",
        (false, true) => "out",
        (false, false) => "nothing_said",
    };
    let contradictions: Vec<Value> = diagnosis.map_or_else(Vec::new, |d| {
        d.clashes
            .iter()
            .map(|clash| {
                let (between, text) = clash_text(base, clash, &[], manner);
                json!({ "between": between, "text": text })
            })
            .collect()
    });
    let next_check = diagnosis
        .and_then(|d| d.next_check.as_ref())
        .map_or(Value::Null, |v| {
            json!({
                "check": base.check(v.check).id,
                "question": base.check(v.check).question,
                "separates": [base.cause(v.separates.0).id, base.cause(v.separates.1).id],
            })
        });
    let practice = diagnosis
        .filter(|_| !held)
        .and_then(|d| d.practice.as_ref())
        .and_then(|p| session.drill_for(p.cause).map(|drill| (p, drill)))
        .map_or(Value::Null, |(p, drill)| {
            let count = session.count_for(p.cause, drill);
            let task = base.task_counting(p.cause, Some(drill), count);
            json!({
                "cause": base.cause(p.cause).id,
                "drill": base.drill(drill).id,
                "cue": task.cue,
                "target": format!("{} of {}: {}", task.success.need, task.success.of, task.success.count),
            })
        });
    let asks = session.asking().map_or(Value::Null, |q| match q {
        Question::Hand => json!("hand"),
        Question::Unit { quantity, .. } => json!({ "unit_of": base.quantity(*quantity).id }),
        Question::Direction { quantity, .. } => {
            json!({ "direction_of": base.quantity(*quantity).id })
        }
        Question::Number { words, .. }
        | Question::Meaning { words, .. }
        | Question::Sure { words, .. } => {
            json!({ "meaning_of": clean(words) })
        }
        Question::Safety(caution) | Question::Leave(caution) => {
            json!({ "safety": base.caution(*caution).id })
        }
        Question::Check(_)
        | Question::Tally { .. }
        | Question::WhichSet(_)
        | Question::Fresh { .. }
        | Question::Followed(_)
        | Question::Forget => Value::Null,
    });
    json!({
        "format": FORMAT,
        "id": id,
        "knowledge": base.hash,
        "understood": if emergency { Vec::new() } else { understood },
        "not_used": not_used,
        "impossible": impossible,
        "quantities": diagnosis.map_or_else(Vec::new, |d| quantities(base, d)),
        "effects": diagnosis.map_or_else(Vec::new, |d| {
            let mut effects: Vec<_> = d.judgement.effects.clone();
            effects.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
            effects.iter().filter(|(_, p)| *p >= 0.05)
                .map(|(e, p)| json!({ "effect": base.effect(*e).id, "probability": number(*p, 3) }))
                .collect::<Vec<_>>()
        }),
        "causes": causes,
        "contradictions": contradictions,
        "cautions": cautions,
        "scope": scope,
        "asks": asks,
        "next_check": if held { Value::Null } else { next_check },
        "practice": practice,
    })
}

/// True if a caution keeps drills back at the end of these replies.
fn cautions_hold(replies: &[Reply]) -> bool {
    let mut held = false;
    for block in replies.iter().flat_map(|r| &r.blocks) {
        match block {
            Block::Caution { .. } | Block::DrillsHeld => held = true,
            Block::Cleared => held = false,
            _ => {}
        }
    }
    held
}
