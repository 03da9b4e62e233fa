//! From entries to the model of the simulated golfers: resolves names to ids and texts to numbers.
//!
//! Takes shapes and lookups, gives the tables of [`crate::causes::model`], and reports what does
//! not fit. Knows how entries are written, not what the simulation does with them.

use std::collections::BTreeMap;

use super::WhatIfChange;
use super::entry;
use super::fixed_words::TrustWord;
use super::golfer_shapes::{GroupShape, PopulationShape};
use super::ids::Ids;
use super::number_text::{axis_named, axis_names, condition};
use super::problem::ProblemKind;
use super::report::{Place0, Report};
use super::shapes::{
    CauseShape, ChangeShape, CheckShape, Cost, EffectShape, QuantityShape, Scalar, SeenShape,
    SymptomShape,
};
use crate::causes::model::{
    Axis, CauseModel, CheckModel, EffectModel, Event, GroupModel, Seen, Settings, Shift,
    SymptomModel, Trust,
};
use crate::quantity::Unit;
use crate::vocabulary::GroupId;

pub(super) fn group(shape: &GroupShape, at: &Place0<'_>, report: &mut Report) -> GroupModel {
    let mut number = |text: &str, unit: Unit| report.number(text, unit, at);
    GroupModel {
        radius_m: number(&shape.radius, Unit::Metre),
        plane_deg: number(&shape.plane, Unit::Degree),
        static_loft_deg: number(&shape.static_loft, Unit::Degree),
        loft_off_deg: shape.loft_off.usual,
        loft_psd: shape.loft_off.golfers,
        loft_ssd: shape.loft_off.shots,
        low_point_in: shape.low_point.usual,
        low_point_psd: shape.low_point.golfers,
        low_point_ssd: shape.low_point.shots,
        height_bias_mm: shape.arc_height.usual,
        height_psd: shape.arc_height.golfers,
        height_ssd: shape.arc_height.shots,
        tail_share: shape.poor_swings.share,
        tail_factor: shape.poor_swings.factor,
        swing_deg: shape.swing_direction.usual,
        swing_psd: shape.swing_direction.golfers,
        swing_ssd: shape.swing_direction.shots,
        face_deg: shape.face_angle.usual,
        face_psd: shape.face_angle.golfers,
        face_ssd: shape.face_angle.shots,
        strike_mm: shape.strike_across.usual,
        strike_psd: shape.strike_across.golfers,
        strike_ssd: shape.strike_across.shots,
        strike_up_ssd: shape.strike_up.shots,
        strike_up_usual: shape.strike_up.usual,
        strike_up_band: shape.strike_up.band,
        speed_mph: shape.club_speed.usual,
        speed_psd: shape.club_speed.golfers,
        speed_ssd: shape.club_speed.shots,
        clean_from_mm: number(&shape.clean_from, Unit::Millimetre),
        kick_deg: number(&shape.kick, Unit::Degree),
        tee_mm: number(&shape.tee, Unit::Millimetre),
        low_point_scale: shape.low_point_scale,
        teed: number(&shape.tee, Unit::Millimetre) > 0.0,
        playable_offline: shape.playable.offline,
        playable_strike_mm: number(&shape.playable.strike, Unit::Millimetre),
    }
}

/// What of the settings lies outside what it can be, or names nothing.
fn settings_problems(shape: &PopulationShape, ids: &Ids, at: &Place0<'_>, report: &mut Report) {
    entry::origin(shape.kind, shape.source.as_ref(), ids, at, report);
    for (id, factor) in &shape.prior_factors {
        ids.cause(id, at, report);
        if *factor <= 0.0 {
            report.range(id, *factor, (0.0, f64::INFINITY), at);
        }
    }
    let shares = [
        ("prior_scale", shape.prior_scale),
        ("link_scale", shape.link_scale),
        ("usual_scale", shape.usual_scale),
        ("reaim", shape.reaim),
        ("face_follows", shape.face_follows),
        ("regulation", shape.regulation.0),
        ("silence", shape.silence),
        ("denial", shape.denial),
        ("floor", shape.floor),
    ];
    for (key, share) in shares {
        if !(0.0..=1.0).contains(&share) {
            report.range(key, share, (0.0, 1.0), at);
        }
    }
    for (family, trust) in &shape.hint_trust {
        if !(0.0..=1.0).contains(trust) {
            report.range(family.word(), *trust, (0.0, 1.0), at);
        }
    }
    let above_nothing = shape.effort.iter().chain(&shape.seen_trust);
    for (family, number) in above_nothing {
        if *number <= 0.0 {
            report.range(family.word(), *number, (0.0, f64::INFINITY), at);
        }
    }
    for (name, exponent) in &shape.p_norm {
        if *exponent < 1.0 {
            report.range(name, *exponent, (1.0, f64::INFINITY), at);
        }
    }
}

pub(super) fn settings(
    shape: &PopulationShape,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> Settings {
    settings_problems(shape, ids, at, report);
    let p_norm = shape
        .p_norm
        .iter()
        .filter_map(|(name, exponent)| Some((axis(name, at, report)?.0, *exponent)))
        .collect();
    Settings {
        prior_scale: shape.prior_scale,
        link_scale: shape.link_scale,
        usual_scale: shape.usual_scale,
        reaim: shape.reaim,
        face_follows: shape.face_follows,
        regulation: shape.regulation,
        radius_to_height: shape.radius_to_height,
        hub_to_height: shape.hub_to_height,
        rescue: shape.rescue,
        fat_from_mm: report.number(&shape.fat_from, Unit::Millimetre, at),
        heavy_from_mm: report.number(&shape.heavy_from, Unit::Millimetre, at),
        silence: shape.silence,
        denial: shape.denial,
        often: shape.often,
        p_norm,
        floor: shape.floor,
    }
}

fn axis(name: &str, at: &Place0<'_>, report: &mut Report) -> Option<(Axis, Unit, bool)> {
    let found = axis_named(name);
    if found.is_none() {
        report.unknown("quantity of the golfers", name, axis_names(), at);
    }
    found
}

/// The groups a scope word stands for: a group id, or `irons`, `woods`, `driver`, `all`.
pub(super) fn scope(word: &str, ids: &Ids, at: &Place0<'_>, report: &mut Report) -> Vec<GroupId> {
    if word == "all" {
        return (0..ids.groups.len()).map(GroupId::from_index).collect();
    }
    if let Some(index) = ids.groups.get(word) {
        return vec![GroupId::from_index(*index)];
    }
    let family: Vec<GroupId> = ids
        .group_families
        .iter()
        .enumerate()
        .filter(|(_, family)| *family == word)
        .map(|(index, _)| GroupId::from_index(index))
        .collect();
    if family.is_empty() {
        let words = ids.groups.keys().map(String::as_str);
        report.unknown(
            "club group",
            word,
            words.chain(["all", "irons", "woods", "driver"]),
            at,
        );
    }
    family
}

pub(super) fn cause(
    shape: &CauseShape,
    ids: &Ids,
    population: &PopulationShape,
    at: &Place0<'_>,
    report: &mut Report,
) -> CauseModel {
    let n_groups = ids.groups.len();
    let mut general: BTreeMap<Axis, Shift> = BTreeMap::new();
    let mut special: Vec<BTreeMap<Axis, Shift>> = vec![BTreeMap::new(); n_groups];
    let mut general_names: Vec<&str> = Vec::new();
    for entry in &shape.shifts {
        let mut shifts = BTreeMap::new();
        let mut groups: Option<Vec<GroupId>> = None;
        if !entry.contains_key("for") {
            for name in entry.keys() {
                if general_names.contains(&name.as_str()) {
                    report.one_only(&[name, name], at);
                }
                general_names.push(name);
            }
        }
        for (name, value) in entry {
            if name == "for" {
                let words = match value {
                    Scalar::Text(word) => vec![word.clone()],
                    Scalar::List(words) => words.clone(),
                    Scalar::Number(_) | Scalar::Numbers(_) => Vec::new(),
                };
                if words.is_empty() {
                    report.missing("for", "for", at);
                }
                groups = Some(
                    words
                        .iter()
                        .flat_map(|w| scope(w, ids, at, report))
                        .collect(),
                );
                continue;
            }
            let Some((axis, unit, may_shift)) = axis(name, at, report) else {
                continue;
            };
            if !may_shift {
                report.unknown("quantity a cause may shift", name, std::iter::empty(), at);
                continue;
            }
            let read = match value {
                Scalar::Number(number) => report.amount(&number.to_string(), unit, at),
                Scalar::Text(text) => report.amount(text, unit, at),
                Scalar::Numbers(_) | Scalar::List(_) => {
                    let text = name.clone();
                    report.push(ProblemKind::NotAnAmount { text }, name, None, at);
                    None
                }
            };
            if let Some((mean, sd)) = read {
                shifts.insert(axis, Shift { axis, mean, sd });
            }
        }
        match groups {
            None => general.extend(shifts),
            Some(groups) => {
                for group in groups {
                    if let Some(map) = special.get_mut(group.index()) {
                        map.extend(shifts.clone());
                    }
                }
            }
        }
    }
    let shifts = special
        .into_iter()
        .map(|own| {
            let mut all = general.clone();
            all.extend(own);
            all.into_values().collect()
        })
        .collect();
    if !(shape.prior > 0.0 && shape.prior < 1.0) {
        report.range("prior", shape.prior, (0.0, 1.0), at);
    }
    let leads_to = shape
        .leads_to
        .iter()
        .filter_map(|(id, strength)| {
            if !(*strength > 0.0 && *strength < 1.0) {
                report.range(id, *strength, (0.0, 1.0), at);
            }
            Some((ids.cause(id, at, report)?, *strength))
        })
        .collect();
    let effort = population.effort.get(&shape.family).copied();
    if effort.is_none() {
        let families: Vec<&str> = population.effort.keys().map(|f| f.word()).collect();
        report.word("family", shape.family.word(), &families, at);
    }
    CauseModel {
        prior: shape.prior,
        prior_factor: population
            .prior_factors
            .get(&shape.id)
            .copied()
            .unwrap_or(1.0),
        shifts,
        leads_to,
        condition: shape.condition,
        habit: population.habits.contains(&shape.family),
        effort: effort.unwrap_or(1.0),
    }
}

fn event(name: &str, at: &Place0<'_>, report: &mut Report) -> Option<Event> {
    let found = Event::ALL
        .iter()
        .find(|(_, n)| *n == name)
        .map(|(event, _)| *event);
    if found.is_none() {
        report.unknown("event", name, Event::ALL.iter().map(|(_, n)| *n), at);
    }
    found
}

fn events(map: &BTreeMap<String, f64>, at: &Place0<'_>, report: &mut Report) -> Vec<(Event, f64)> {
    map.iter()
        .filter_map(|(name, weight)| Some((event(name, at, report)?, *weight)))
        .collect()
}

/// The keys a reading has, of which one counts.
fn seen_keys(shape: &SeenShape) -> Vec<&'static str> {
    let all = [
        ("events", shape.events.is_some()),
        ("both", shape.both.is_some()),
        ("one_sided", shape.one_sided.is_some()),
        ("more", shape.more.is_some()),
        ("beyond", shape.beyond.is_some()),
        ("scaled", shape.scaled.is_some()),
        ("power", shape.power.is_some()),
        ("blend", shape.blend.is_some()),
    ];
    let set = all.into_iter().filter(|(_, set)| *set);
    set.map(|(key, _)| key).collect()
}

/// The only item of a table, or a problem for each further one.
fn only<'m, T>(
    map: &'m BTreeMap<String, T>,
    at: &Place0<'_>,
    report: &mut Report,
) -> Option<(&'m String, &'m T)> {
    let keys: Vec<&str> = map.keys().map(String::as_str).collect();
    if keys.len() > 1 {
        report.one_only(&keys, at);
    }
    map.iter().next()
}

fn seen(shape: &SeenShape, at: &Place0<'_>, report: &mut Report) -> Option<Seen> {
    let keys = seen_keys(shape);
    if keys.len() > 1 {
        report.one_only(&keys, at);
    }
    if let Some(map) = &shape.events {
        return Some(Seen::Events(events(map, at, report)));
    }
    if let Some((a, b)) = &shape.both {
        return Some(Seen::Both(events(a, at, report), events(b, at, report)));
    }
    if let Some((a, b)) = &shape.one_sided {
        return Some(Seen::OneSided(event(a, at, report)?, event(b, at, report)?));
    }
    if let Some((a, b)) = &shape.more {
        return Some(Seen::More(events(a, at, report), events(b, at, report)));
    }
    if let Some(map) = &shape.scaled {
        let (name, (factor, offset)) = only(map, at, report)?;
        return Some(Seen::Scaled(event(name, at, report)?, *factor, *offset));
    }
    if let Some(map) = &shape.power {
        let (name, power) = only(map, at, report)?;
        return Some(Seen::Power(event(name, at, report)?, *power));
    }
    if let Some(parts) = &shape.blend {
        let parts = parts
            .iter()
            .filter_map(|(weight, part)| Some((*weight, seen(part, at, report)?)))
            .collect();
        return Some(Seen::Blend(parts));
    }
    shape
        .beyond
        .as_ref()
        .and_then(|map| beyond(map, at, report))
}

fn beyond(map: &BTreeMap<String, Scalar>, at: &Place0<'_>, report: &mut Report) -> Option<Seen> {
    let mut blur_text = None;
    let mut relative = false;
    let mut test = None;
    for (key, value) in map {
        let text = match value {
            Scalar::Text(text) => text.clone(),
            Scalar::Number(number) => number.to_string(),
            Scalar::Numbers(_) | Scalar::List(_) => {
                let text = key.clone();
                report.push(ProblemKind::NotAnAmount { text }, key, None, at);
                continue;
            }
        };
        match key.as_str() {
            "blur" => blur_text = Some(text),
            "against" => {
                relative = text == "usual";
                if !relative {
                    report.word("against", &text, &["usual"], at);
                }
            }
            name => {
                if let Some((_, _, _, other)) = test {
                    report.one_only(&[other, name], at);
                }
                test = axis(name, at, report).map(|(axis, unit, _)| (axis, unit, text, name));
            }
        }
    }
    let (axis, unit, text, _) = test?;
    let (above, limit) = match (text.strip_prefix("above "), text.strip_prefix("below ")) {
        (Some(limit), _) => (true, limit),
        (None, Some(limit)) => (false, limit),
        (None, None) => {
            report.push(
                ProblemKind::NotACondition { text: text.clone() },
                &text,
                None,
                at,
            );
            return None;
        }
    };
    let limit = report.amount(limit, unit, at)?.0;
    let blur = if let Some(text) = blur_text {
        report
            .amount(&text, unit, at)
            .map_or(1.0, |(value, _)| value)
    } else {
        report.push(
            ProblemKind::MissingKey { key: "blur".into() },
            "beyond",
            None,
            at,
        );
        return None;
    };
    Some(Seen::Beyond {
        axis,
        above,
        limit,
        blur,
        relative,
    })
}

pub(super) fn symptom(
    shape: &SymptomShape,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> SymptomModel {
    let trust = match shape.trust {
        TrustWord::High => Trust::High,
        TrustWord::Medium => Trust::Medium,
        TrustWord::Low => Trust::Low,
    };
    if !(shape.usual > 0.0 && shape.usual < 1.0) {
        report.range("usual", shape.usual, (0.0, 1.0), at);
    }
    let from = shape.from.as_ref().and_then(|from| {
        let read = seen(from, at, report);
        if read.is_none() {
            let text = "from".to_owned();
            report.push(ProblemKind::NotACondition { text }, "from", None, at);
        }
        read
    });
    let tells = shape
        .tells
        .iter()
        .filter_map(|(id, ratio)| {
            if *ratio <= 0.0 || ratio.is_nan() {
                report.range(id, *ratio, (0.0, 100.0), at);
            }
            Some((ids.cause(id, at, report)?, *ratio))
        })
        .collect();
    SymptomModel {
        usual: shape.usual,
        trust,
        seen: from,
        tells,
        disaster: shape.disaster,
        not_a_habit: shape.not_a_habit,
        groups: shape
            .clubs
            .iter()
            .flat_map(|w| scope(w, ids, at, report))
            .collect(),
    }
}

pub(super) fn effect(
    shape: &EffectShape,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> EffectModel {
    // The widest scope first, so that a narrower one overrides it.
    let rank = |word: &str| match word {
        "all" => 0,
        _ if ids.groups.contains_key(word) && word != "driver" => 2,
        _ => 1,
    };
    let mut lines: Vec<(&String, &String)> = shape.when.iter().collect();
    lines.sort_by_key(|(word, _)| (rank(word), word.as_str().to_owned()));
    let mut any_of = vec![Vec::new(); ids.groups.len()];
    for (word, text) in lines {
        match condition(text) {
            Ok(tests) => {
                for group in scope(word, ids, at, report) {
                    if let Some(place) = any_of.get_mut(group.index()) {
                        place.clone_from(&tests);
                    }
                }
            }
            Err(part) => {
                report.push(
                    ProblemKind::NotACondition { text: part.clone() },
                    &part,
                    None,
                    at,
                );
            }
        }
    }
    EffectModel { any_of }
}

pub(super) fn check(
    shape: &CheckShape,
    ids: &Ids,
    population: &PopulationShape,
    at: &Place0<'_>,
    report: &mut Report,
) -> CheckModel {
    let tells = shape
        .tells
        .iter()
        .filter_map(|(id, (with, without))| {
            for p in [with, without] {
                if !(*p > 0.0 && *p < 1.0) {
                    report.range(id, *p, (0.0, 1.0), at);
                }
            }
            Some((ids.cause(id, at, report)?, *with, *without))
        })
        .collect();
    let cost = population.cost.get(&shape.cost).copied();
    if cost.is_none() {
        let known: Vec<&str> = population.cost.keys().map(|c| cost_word(*c)).collect();
        report.word("cost", cost_word(shape.cost), &known, at);
    }
    if !shape.tells.is_empty() && shape.finds.is_some() {
        report.one_only(&["tells", "finds"], at);
    }
    CheckModel {
        cost: cost.unwrap_or(1.0),
        tells,
        finds: shape
            .finds
            .as_ref()
            .and_then(|id| ids.symptom(id, at, report)),
        same_as: shape
            .same_as
            .iter()
            .filter_map(|id| ids.symptom(id, at, report))
            .collect(),
        groups: shape
            .clubs
            .iter()
            .flat_map(|w| scope(w, ids, at, report))
            .collect(),
    }
}

const fn cost_word(cost: Cost) -> &'static str {
    match cost {
        Cost::Free => "free",
        Cost::Look => "look",
        Cost::Video => "video",
        Cost::Device => "device",
    }
}

pub(super) fn change(
    shape: &ChangeShape,
    ids: &Ids,
    at: &Place0<'_>,
    report: &mut Report,
) -> WhatIfChange {
    let unit = report.unit(&shape.unit, at);
    let moves = shape
        .moves
        .iter()
        .filter_map(|(name, factor)| {
            let (axis, own, _) = axis(name, at, report)?;
            if own.dimension() != unit.dimension() {
                let text = shape.unit.clone();
                let kind = ProblemKind::UnitMismatch {
                    text,
                    wanted: own.dimension(),
                };
                report.push(kind, &shape.unit, None, at);
            }
            Some((axis, *factor))
        })
        .collect();
    WhatIfChange {
        id: shape.id.clone(),
        name: shape.name.clone(),
        says: shape.says.clone(),
        moves,
        unit,
        by: shape.by,
        places: shape.places.clone(),
        counts: shape
            .counts
            .iter()
            .map(|(symbol, factor)| (report.unit(symbol, at), *factor))
            .collect(),
        because: shape.because.clone(),
        origin: entry::origin(shape.kind, shape.source.as_ref(), ids, at, report),
    }
}

/// Which axis a quantity is, by name; its usual error in the axis' unit.
pub(super) fn measured(shape: &QuantityShape) -> Option<(Axis, f64)> {
    let (axis, unit, _) = axis_named(match shape.id.as_str() {
        // A stated dynamic loft is an absolute one, a stated strike a delivered one; a stated spin
        // loft is told as its difference from the usual (`diagnosis/weighing.rs`).
        "dynamic_loft" => "delivered_loft",
        "strike_up" => "strike_up_delivered",
        "spin_loft" => "spin_loft_delivered",
        other => other,
    })?;
    let own = Unit::from_symbol(&shape.unit)?;
    (own.dimension() == unit.dimension())
        .then(|| (axis, shape.usual_error * own.scale() / unit.scale()))
}
