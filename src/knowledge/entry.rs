//! From shapes to entries: names resolved, texts measured, numbers typed.
//!
//! One function for each kind of entry; what does not fit goes into the report with its place.

use super::files::Read;
use super::golfer_shapes::{ClubShape, GroupShape, LieShape};
use super::ids::Ids;
use super::problem::ProblemKind;
use super::report::{Place0, Report};
use super::shapes::{
    AnswerShape, CauseShape, CautionShape, CheckShape, DrillShape, EffectShape, Kind, LastingShape,
    QuantityShape, StrengthShape, Success, SymptomShape, TellingShape,
};
use super::{
    Answer, Cause, Caution, Check, Club, Drill, Effect, Group, KnowledgeBase, Lasting, Lie, Origin,
    Quantity, Strength, Symptom, Telling,
};
use crate::quantity::{Amount, Angle, Length, Unit};
use crate::vocabulary::GroupId;

/// The longest name shown in a list.
const NAME_LIMIT: usize = 42;
/// The longest sentence.
const TEXT_LIMIT: usize = 420;
/// The longest telling.
const TELLING_LIMIT: usize = 320;

pub(super) fn group(shape: &GroupShape, ids: &Ids, at: &Place0<'_>, report: &mut Report) -> Group {
    report.text("name", &shape.name, NAME_LIMIT, at);
    let (from, to) = &shape.good_low_point;
    Group {
        id: shape.id.clone(),
        name: shape.name.clone(),
        family: shape.family.word().to_owned(),
        radius: Length::metres(report.number(&shape.radius, Unit::Metre, at)),
        plane: Angle::degrees(report.number(&shape.plane, Unit::Degree, at)),
        static_loft: Angle::degrees(report.number(&shape.static_loft, Unit::Degree, at)),
        good_low_point: (
            Length::inches(report.number(from, Unit::Inch, at)),
            Length::inches(report.number(to, Unit::Inch, at)),
        ),
        origin: origin(shape.kind, shape.source.as_ref(), ids, at, report),
    }
}

pub(super) fn club(shape: &ClubShape, ids: &Ids, at: &Place0<'_>, report: &mut Report) -> Club {
    report.text("name", &shape.name, NAME_LIMIT, at);
    Club {
        id: shape.id.clone(),
        name: shape.name.clone(),
        group: ids
            .group(&shape.group, at, report)
            .unwrap_or(GroupId::from_index(0)),
        loft: Angle::degrees(report.number(&shape.loft, Unit::Degree, at)),
        length: Length::inches(report.number(&shape.length, Unit::Inch, at)),
        radius: Length::metres(report.number(&shape.radius, Unit::Metre, at)),
        plane: Angle::degrees(report.number(&shape.plane, Unit::Degree, at)),
        origin: origin(shape.kind, shape.source.as_ref(), ids, at, report),
    }
}

pub(super) fn lie(shape: &LieShape, ids: &Ids, at: &Place0<'_>, report: &mut Report) -> Lie {
    report.text("name", &shape.name, NAME_LIMIT, at);
    Lie {
        id: shape.id.clone(),
        name: shape.name.clone(),
        condition: shape
            .condition
            .as_ref()
            .and_then(|id| ids.cause(id, at, report)),
        rules_out: shape
            .rules_out
            .iter()
            .filter_map(|id| ids.cause(id, at, report))
            .collect(),
        no_turf: shape.no_turf,
    }
}

pub(super) fn origin(
    kind: Kind,
    source: Option<&String>,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> Origin {
    if kind == Kind::Published && source.is_none() {
        report.missing("source", "published", at);
    }
    Origin {
        kind,
        source: source.and_then(|id| ids.source(id, at, report)),
    }
}

pub(super) fn quantity(
    shape: &QuantityShape,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> Quantity {
    report.text("name", &shape.name, NAME_LIMIT, at);
    report.text("is", &shape.is, TEXT_LIMIT, at);
    let unit = report.unit(&shape.unit, at);
    let (low, high) = shape.plausible;
    if low.partial_cmp(&high) != Some(std::cmp::Ordering::Less) {
        report.range("plausible", low, (f64::NEG_INFINITY, high), at);
    }
    let zero = Amount::from(crate::quantity::Ratio::ZERO);
    let amount = |value: f64| Amount::new(value, unit).unwrap_or(zero);
    Quantity {
        id: shape.id.clone(),
        name: shape.name.clone(),
        unit,
        decimals: shape.decimals,
        positive: shape.positive.clone(),
        negative: shape.negative.clone(),
        plausible: (amount(low), amount(high)),
        usual_error: amount(shape.usual_error),
        sided: shape.sided,
        is: shape.is.clone(),
        origin: origin(shape.kind, shape.source.as_ref(), ids, at, report),
    }
}

pub(super) fn symptom(
    shape: &SymptomShape,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> Symptom {
    report.text("name", &shape.name, NAME_LIMIT, at);
    report.text("is", &shape.is, TEXT_LIMIT, at);
    if let Some(text) = &shape.mixed_up_with {
        report.text("mixed_up_with", text, TEXT_LIMIT, at);
    }
    Symptom {
        id: shape.id.clone(),
        name: shape.name.clone(),
        kind: shape.kind.word().to_owned(),
        is: shape.is.clone(),
        mixed_up_with: shape.mixed_up_with.clone(),
        well: shape.well,
        opposite: shape
            .opposite
            .iter()
            .filter_map(|id| ids.symptom(id, at, report))
            .collect(),
        origin: origin(shape.kind_of, shape.source.as_ref(), ids, at, report),
    }
}

pub(super) fn effect(
    shape: &EffectShape,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> Effect {
    report.text("name", &shape.name, NAME_LIMIT, at);
    report.text("because", &shape.because, TEXT_LIMIT, at);
    Effect {
        id: shape.id.clone(),
        name: shape.name.clone(),
        family: shape.family.clone(),
        because: shape.because.clone(),
        wants: shape.wants.clone(),
        origin: origin(shape.kind, shape.source.as_ref(), ids, at, report),
    }
}

pub(super) fn success(success: &Success, at: &Place0<'_>, report: &mut Report) -> Success {
    report.text("count", &success.count, TEXT_LIMIT, at);
    if success.need == 0 || success.need > success.of {
        report.range(
            "need",
            f64::from(success.need),
            (1.0, f64::from(success.of)),
            at,
        );
    }
    success.clone()
}

pub(super) fn cause(
    shape: &CauseShape,
    ids: &Ids,
    quantities: &Read<'_, QuantityShape>,
    at: &Place0<'_>,
    report: &mut Report,
) -> Cause {
    report.text("name", &shape.name, NAME_LIMIT, at);
    for (key, text) in [
        ("is", &shape.is),
        ("because", &shape.because),
        ("cue", &shape.cue),
        ("mistake", &shape.mistake),
        ("says", &shape.folk.says),
        ("but", &shape.folk.but),
    ] {
        report.text(key, text, TEXT_LIMIT, at);
    }
    if let Some(text) = &shape.told_apart {
        report.text("told_apart", text, TEXT_LIMIT, at);
    }
    if shape.check.is_none() {
        report.push(ProblemKind::Lacks { what: "check" }, &shape.id, None, at);
    }
    if shape.drills.is_empty() {
        report.push(ProblemKind::Lacks { what: "drill" }, &shape.id, None, at);
    }
    let mut aim = Vec::new();
    for (name, (from, to)) in &shape.aim {
        let Some(id) = ids.quantity(name, at, report) else {
            continue;
        };
        let unit = quantities
            .entries
            .get(id.index())
            .and_then(|(q, _)| Unit::from_symbol(&q.unit))
            .unwrap_or(Unit::One);
        if let (Some((from, _)), Some((to, _))) =
            (report.amount(from, unit, at), report.amount(to, unit, at))
            && let (Ok(least), Ok(most)) = (Amount::new(from, unit), Amount::new(to, unit))
        {
            if from > to {
                report.range(name, from, (f64::NEG_INFINITY, to), at);
            }
            aim.push((id, least, most));
        }
    }
    Cause {
        id: shape.id.clone(),
        name: shape.name.clone(),
        family: shape.family.word().to_owned(),
        is: shape.is.clone(),
        because: shape.because.clone(),
        prior: shape.prior,
        confidence: shape.confidence,
        condition: shape.condition,
        check: shape
            .check
            .as_ref()
            .and_then(|id| ids.check(id, at, report)),
        looks_like: shape
            .looks_like
            .iter()
            .filter_map(|id| ids.cause(id, at, report))
            .collect(),
        told_apart: shape.told_apart.clone(),
        drills: shape
            .drills
            .iter()
            .filter_map(|id| ids.drill(id, at, report))
            .collect(),
        cue: shape.cue.clone(),
        success: success(&shape.success, at, report),
        aim,
        mistake: shape.mistake.clone(),
        folk: shape.folk.clone(),
        caution: shape
            .caution
            .as_ref()
            .and_then(|id| ids.caution(id, at, report)),
        origin: origin(shape.kind, shape.source.as_ref(), ids, at, report),
    }
}

pub(super) fn check(shape: &CheckShape, ids: &Ids, at: &Place0<'_>, report: &mut Report) -> Check {
    report.text("question", &shape.question, 180, at);
    report.text("how", &shape.how, TEXT_LIMIT, at);
    Check {
        id: shape.id.clone(),
        question: shape.question.clone(),
        how: shape.how.clone(),
        cost: shape.cost,
        lasting: shape.lasting.map(|lasting| match lasting {
            LastingShape::Kit => Lasting::Kit,
            LastingShape::Body => Lasting::Body,
        }),
        no_turf: shape.no_turf,
        origin: origin(shape.kind, shape.source.as_ref(), ids, at, report),
    }
}

pub(super) fn drill(shape: &DrillShape, ids: &Ids, at: &Place0<'_>, report: &mut Report) -> Drill {
    report.text("name", &shape.name, NAME_LIMIT, at);
    if shape.balls == 0 {
        report.range("balls", 0.0, (1.0, f64::INFINITY), at);
    }
    for (key, text) in [
        ("how", &shape.how),
        ("cue", &shape.cue),
        ("mistake", &shape.mistake),
    ] {
        report.text(key, text, TEXT_LIMIT, at);
    }
    Drill {
        id: shape.id.clone(),
        name: shape.name.clone(),
        how: shape.how.clone(),
        cue: shape.cue.clone(),
        success: success(&shape.success, at, report),
        balls: shape.balls,
        mistake: shape.mistake.clone(),
        caution: shape
            .caution
            .as_ref()
            .and_then(|id| ids.caution(id, at, report)),
        without: shape.without.iter().map(|a| a.word().to_owned()).collect(),
        children: shape.children,
        origin: origin(shape.kind, shape.source.as_ref(), ids, at, report),
    }
}

pub(super) fn caution(
    shape: &CautionShape,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> Caution {
    caution_words(shape, at, report);
    report.text("text", &shape.text, TEXT_LIMIT, at);
    Caution {
        id: shape.id.clone(),
        level: shape.when,
        says: shape.says.clone(),
        parts: shape.parts.clone(),
        hurts: shape.hurts.clone(),
        both: shape.both.clone(),
        not_when: shape.not_when.clone(),
        grave: shape.grave.clone(),
        ask: shape.ask.clone(),
        ask_grave: shape.ask_grave.clone(),
        leave: shape.leave,
        text: shape.text.clone(),
        origin: origin(shape.kind, shape.source.as_ref(), ids, at, report),
    }
}

/// What a caution says that would count for nothing as it stands.
fn caution_words(shape: &CautionShape, at: &Place0<'_>, report: &mut Report) {
    let pairs = [
        ("parts", &shape.parts, "hurts", &shape.hurts),
        ("hurts", &shape.hurts, "parts", &shape.parts),
    ];
    for (key, words, needs, beside) in pairs {
        if !words.is_empty() && beside.is_empty() {
            let kind = ProblemKind::MeansNothing {
                key: key.to_owned(),
                needs,
            };
            report.push(kind, key, None, at);
        }
    }
    if shape.ask_grave.is_some() && shape.grave.is_empty() {
        let kind = ProblemKind::MeansNothing {
            key: "ask_grave".to_owned(),
            needs: "grave",
        };
        report.push(kind, "ask_grave", None, at);
    }
}

pub(super) fn answer(
    shape: &AnswerShape,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> Answer {
    report.text("text", &shape.text, 900, at);
    match (&shape.claim, &shape.verdict) {
        (Some(_), None) => report.missing("verdict", "claim", at),
        (None, Some(_)) => report.missing("claim", "verdict", at),
        _ => {}
    }
    Answer {
        id: shape.id.clone(),
        asks: shape.asks.clone(),
        claim: shape.claim.clone(),
        verdict: shape.verdict.map(|v| v.word().to_owned()),
        text: shape.text.clone(),
        origin: origin(shape.kind, shape.source.as_ref(), ids, at, report),
    }
}

/// What teachers expect of one cause.
pub(super) fn strengths(
    shape: &StrengthShape,
    base: &KnowledgeBase,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> Vec<Strength> {
    origin(shape.kind, shape.source.as_ref(), ids, at, report);
    let Some(cause) = ids.cause(&shape.id, at, report) else {
        return Vec::new();
    };
    for id in shape.argued.keys() {
        if !shape.expected.contains_key(id) {
            report.unknown(
                "expected effect",
                id,
                shape.expected.keys().map(String::as_str),
                at,
            );
        }
    }
    let mut out = Vec::new();
    for (id, share) in &shape.expected {
        if !(*share > 0.0 && *share < 1.0) {
            report.range(id, *share, (0.0, 1.0), at);
        }
        let Some(effect) = base.find_effect(id) else {
            report.unknown("effect", id, base.effects.ids(), at);
            continue;
        };
        if let Some(text) = shape.argued.get(id) {
            report.text("argued", text, TEXT_LIMIT, at);
        }
        out.push(Strength {
            cause,
            effect,
            share: *share,
            argued: shape.argued.get(id).cloned(),
        });
    }
    out
}

/// How golfers tell of one cause.
pub(super) fn telling(
    shape: &TellingShape,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> Option<Telling> {
    for text in shape.told.lines().filter(|line| !line.trim().is_empty()) {
        report.text("told", text, TELLING_LIMIT, at);
    }
    let cause = match &shape.cause {
        Some(cause) => Some(ids.cause(cause, at, report)?),
        None => None,
    };
    Some(Telling {
        cause,
        told: shape.told.clone(),
    })
}
