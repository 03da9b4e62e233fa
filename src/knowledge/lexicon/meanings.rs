//! What does one entry mean? The keys of an entry in, the one meaning they set out, every id looked
//! up on the way; what cannot be found is noted beside the entry.
//!
//! Invariant: an entry that sets no meaning, or a wrong one, gives none. Knows nothing of the words
//! the entry is found by.

use super::resolve::{Gather, LexiconProblemKind, Lookups};
use super::{
    Class, Close, DirectionId, Meaning, Mood, QuantityWords, RawEntry, Reach, Role, SymptomWords,
    ToneWord,
};
use crate::quantity::Unit;
use crate::vocabulary::{Hand, QuantityId};

pub(super) fn direction(name: &str, directions: &[String]) -> Option<DirectionId> {
    directions
        .iter()
        .position(|d| d == name)
        .and_then(|place| u8::try_from(place).ok())
        .map(DirectionId)
}

/// The meanings an entry sets, one name each.
pub(super) fn meanings_set(entry: &RawEntry) -> usize {
    let symptoms = !entry.symptoms.is_empty() || !entry.together.is_empty();
    let beside = symptoms || !entry.one_of.is_empty();
    [
        entry.club.is_some() || (!entry.groups.is_empty() && !beside && entry.numbered.is_empty()),
        !entry.numbered.is_empty(),
        !entry.lofts.is_empty(),
        entry.lie.is_some() && !beside,
        entry.part_shot && !beside && entry.groups.is_empty(),
        beside,
        entry.all_well,
        entry.if_good.is_some() || entry.if_bad.is_some(),
        entry.mood.is_some(),
        entry.quantity.is_some(),
        entry.direction.is_some() && !beside && entry.causes.is_empty(),
        entry.side.is_some(),
        entry.unit.is_some(),
        entry.number.is_some(),
        !entry.causes.is_empty() && entry.one_of.is_empty(),
        entry.answer.is_some(),
        entry.often.is_some() && !beside,
        entry.severity.is_some() && !beside,
        entry.shots_in.is_some(),
        entry.hand.is_some(),
        entry.word.is_some(),
        entry.same_as.is_some(),
        entry.tone.is_some(),
    ]
    .into_iter()
    .filter(|set| *set)
    .count()
}

pub(super) fn meaning_of(
    entry: &RawEntry,
    directions: &[String],
    ids: &Lookups<'_>,
    gather: &mut Gather<'_>,
) -> Option<Meaning> {
    let set = meanings_set(entry);
    if set != 1 {
        gather.note(&entry.id, LexiconProblemKind::Meanings(set));
        return None;
    }
    let forms = [
        &entry.says,
        &entry.glued,
        &entry.after_number,
        &entry.together,
    ];
    let silent = forms.into_iter().all(Vec::is_empty) && entry.near.is_empty();
    if silent && entry.quantity.is_none() {
        gather.note(&entry.id, LexiconProblemKind::Empty);
        return None;
    }
    if let Some(share) = [entry.often, entry.severity, entry.weight]
        .into_iter()
        .flatten()
        .find(|share| !(0.0..=1.0).contains(share))
    {
        gather.note(&share.to_string(), LexiconProblemKind::Range);
        return None;
    }
    if !entry.symptoms.is_empty() || !entry.one_of.is_empty() {
        return symptom_meaning(entry, directions, ids, gather);
    }
    club_meaning(entry, ids, gather)
        .or_else(|| number_meaning(entry, directions, ids, gather))
        .or_else(|| word_meaning(entry, ids, gather))
}

fn symptom_meaning(
    entry: &RawEntry,
    directions: &[String],
    ids: &Lookups<'_>,
    gather: &mut Gather<'_>,
) -> Option<Meaning> {
    if !entry.one_of.is_empty() {
        return Some(Meaning::OneOf {
            symptoms: gather.many(&entry.one_of, "symptom", ids.symptom),
            causes: gather.many(&entry.causes, "cause", ids.cause),
            always: entry
                .always
                .as_ref()
                .and_then(|symptom| gather.one(symptom, "symptom", ids.symptom)),
            direction: entry
                .direction
                .as_ref()
                .and_then(|name| direction(name, directions)),
        });
    }
    let symptoms = gather.many(&entry.symptoms, "symptom", ids.symptom);
    if symptoms.is_empty() {
        return None;
    }
    if !entry.together.is_empty() {
        let all = gather.many(&entry.together, "symptom", ids.symptom);
        return (all.len() == entry.together.len()).then_some(Meaning::Together {
            all,
            mean: symptoms,
        });
    }
    let lie = entry
        .lie
        .as_ref()
        .and_then(|lie| gather.one(lie, "lie", ids.lie));
    let measure = entry
        .measure
        .as_ref()
        .and_then(|q| gather.one(q, "quantity", ids.quantity));
    Some(Meaning::Symptoms(SymptomWords {
        symptoms,
        often: entry.often,
        severity: entry.severity,
        groups: gather.groups(&entry.groups, ids),
        lie,
        part_shot: entry.part_shot,
        well_with: gather.groups(&entry.well_with, ids),
        spreads: entry.spreads,
        slight: gather.many(&entry.slight, "symptom", ids.symptom),
        measure,
        direction: entry
            .direction
            .as_ref()
            .and_then(|name| direction(name, directions)),
        alone: entry.alone,
    }))
}

fn club_meaning(entry: &RawEntry, ids: &Lookups<'_>, gather: &mut Gather<'_>) -> Option<Meaning> {
    if let Some(name) = &entry.club {
        let club = gather.one(name, "club", ids.club)?;
        return Some(Meaning::Clubs {
            clubs: vec![club],
            groups: (ids.group_of)(club).into_iter().collect(),
            reach: Reach::Named,
            part_shot: entry.part_shot,
        });
    }
    if !entry.numbered.is_empty() {
        let clubs = entry
            .numbered
            .iter()
            .filter_map(|(number, name)| {
                let club = gather.one(name, "club", ids.club)?;
                Some((*number, club, (ids.group_of)(club)))
            })
            .collect();
        return Some(Meaning::Numbered {
            clubs,
            groups: gather.groups(&entry.groups, ids),
        });
    }
    if !entry.lofts.is_empty() {
        let clubs = entry
            .lofts
            .iter()
            .filter_map(|(name, [from, to])| {
                let club = gather.one(name, "club", ids.club)?;
                Some((*from, *to, club, (ids.group_of)(club)))
            })
            .collect();
        return Some(Meaning::Lofts(clubs));
    }
    if !entry.groups.is_empty() {
        return Some(Meaning::Clubs {
            clubs: Vec::new(),
            groups: gather.groups(&entry.groups, ids),
            reach: match (entry.any_shot, entry.others) {
                (true, true) => Reach::Rest,
                (true, false) => Reach::AnyShot,
                (false, true) => Reach::Others,
                (false, false) => Reach::Named,
            },
            part_shot: entry.part_shot,
        });
    }
    if let Some(name) = &entry.lie {
        return gather.one(name, "lie", ids.lie).map(Meaning::Lie);
    }
    entry.part_shot.then_some(Meaning::PartShot)
}

fn number_meaning(
    entry: &RawEntry,
    directions: &[String],
    ids: &Lookups<'_>,
    gather: &mut Gather<'_>,
) -> Option<Meaning> {
    if let Some(name) = &entry.quantity {
        let quantity = gather.one(name, "quantity", ids.quantity)?;
        return quantity_words(entry, quantity, directions, ids, gather).map(Meaning::Quantity);
    }
    if let Some(name) = entry.direction.as_ref().filter(|_| entry.causes.is_empty()) {
        return gather
            .one(name, "direction", &|n| direction(n, directions))
            .map(Meaning::Direction);
    }
    if let Some(symbol) = &entry.unit {
        return gather
            .one(symbol, "unit", &Unit::from_symbol)
            .map(Meaning::Unit);
    }
    entry
        .number
        .map(Meaning::Number)
        .or(entry.often.map(Meaning::Often))
        .or(entry.severity.map(Meaning::Severity))
        .or(entry.shots_in.map(Meaning::ShotsIn))
}

fn quantity_words(
    entry: &RawEntry,
    quantity: QuantityId,
    directions: &[String],
    ids: &Lookups<'_>,
    gather: &mut Gather<'_>,
) -> Option<QuantityWords> {
    let look = |n: &str| direction(n, directions);
    let mut units: Vec<(Unit, f64, f64)> = Vec::new();
    for (symbol, [low, high]) in &entry.units {
        let symbol = if symbol == "one" { "" } else { symbol };
        units.push((gather.one(symbol, "unit", &Unit::from_symbol)?, *low, *high));
    }
    let mut bare = Vec::new();
    for symbol in &entry.bare {
        let symbol = if symbol == "one" { "" } else { symbol };
        bare.push(gather.one(symbol, "unit", &Unit::from_symbol)?);
    }
    let mut signs = Vec::new();
    for (name, sign) in &entry.signs {
        if let Some(id) = gather.one(name, "direction", &look) {
            signs.push((id, f64::from(*sign)));
        }
    }
    let mut classes = Vec::new();
    for class in &entry.classes {
        let symptom = gather.one(&class.symptom, "symptom", ids.symptom)?;
        let unit = gather.one(&class.unit, "unit", &Unit::from_symbol)?;
        classes.push(Class {
            symptom,
            from: class.from.map_or(f64::NEG_INFINITY, |v| v * unit.scale()),
            to: class.to.map_or(f64::INFINITY, |v| v * unit.scale()),
            groups: gather.groups(&class.groups, ids),
        });
    }
    let uneven = match &entry.uneven {
        Some(uneven) => Some((
            gather.one(&uneven.symptom, "symptom", ids.symptom)?,
            uneven.share,
            uneven.by * bare.first().map_or(1.0, |unit| unit.scale()),
        )),
        None => None,
    };
    let close = match &entry.close {
        Some(close) => Some(Close {
            symptom: gather.one(&close.symptom, "symptom", ids.symptom)?,
            per_degree: close.per_degree * bare.first().map_or(1.0, |unit| unit.scale()),
        }),
        None => None,
    };
    let fallen = match &entry.fallen {
        Some(symptom) => Some(gather.one(symptom, "symptom", ids.symptom)?),
        None => None,
    };
    if let Some(name) = &entry.unsigned {
        let known = |n: &str| ["plus", "ask"].contains(&n).then_some(());
        gather.one(name, "unsigned", &known)?;
    }
    Some(QuantityWords {
        listed: entry.listed,
        beside_club: entry.beside_club,
        uneven,
        close,
        fallen,
        quantity,
        units,
        bare,
        signs,
        of_golfer: entry.of_golfer,
        ask_sign: entry.unsigned.as_deref() == Some("ask"),
        sided: entry.signs.contains_key("push"),
        implied_by: gather.many(&entry.implied_by, "direction", &look),
        implied_with_unit: gather.many(&entry.implied_with_unit, "direction", &look),
        classes,
    })
}

fn word_meaning(entry: &RawEntry, ids: &Lookups<'_>, gather: &mut Gather<'_>) -> Option<Meaning> {
    if let Some(name) = &entry.word {
        return gather
            .one(name, "word", &Role::from_name)
            .map(Meaning::Word);
    }
    if let Some(name) = &entry.side {
        return gather.one(name, "side", &hand).map(|hand| Meaning::Side {
            right: hand == Hand::Right,
        });
    }
    if let Some(name) = &entry.hand {
        return gather.one(name, "hand", &hand).map(Meaning::Hand);
    }
    if let Some(word) = &entry.same_as {
        return Some(Meaning::SameAs(word.clone()));
    }
    if let Some(name) = &entry.tone {
        let topic = entry.topic.clone().unwrap_or_default();
        return gather
            .one(name, "tone", &tone)
            .map(|word| Meaning::Tone(word, topic));
    }
    if let Some(name) = &entry.answer {
        return gather.one(name, "answer", ids.answer).map(Meaning::Topic);
    }
    if entry.all_well {
        return Some(Meaning::AllWell);
    }
    if let Some(name) = &entry.mood {
        return gather.one(name, "mood", &mood).map(Meaning::Mood);
    }
    if entry.if_good.is_some() || entry.if_bad.is_some() {
        let mut symptom = |name: &Option<String>| {
            let name = name.as_ref()?;
            gather.one(name, "symptom", ids.symptom)
        };
        let (good, bad) = (symptom(&entry.if_good), symptom(&entry.if_bad));
        return Some(Meaning::Circumstance { good, bad });
    }
    let causes = gather.many(&entry.causes, "cause", ids.cause);
    (!causes.is_empty()).then_some(Meaning::Hint(causes))
}

fn hand(name: &str) -> Option<Hand> {
    match name {
        "left" => Some(Hand::Left),
        "right" => Some(Hand::Right),
        _ => None,
    }
}

/// The tones there are.
pub const TONES: [&str; 7] = [
    "greeting",
    "thanks",
    "goodbye",
    "out_of_scope",
    "off_topic",
    "abuse",
    "language",
];

fn tone(name: &str) -> Option<ToneWord> {
    match name {
        "greeting" => Some(ToneWord::Greeting),
        "thanks" => Some(ToneWord::Thanks),
        "goodbye" => Some(ToneWord::Goodbye),
        "out_of_scope" => Some(ToneWord::OutOfScope),
        "off_topic" => Some(ToneWord::OffTopic),
        "abuse" => Some(ToneWord::Abuse),
        "language" => Some(ToneWord::Language),
        _ => None,
    }
}

/// The ways there are to speak of a circumstance.
pub const MOODS: [&str; 5] = ["good", "bad", "apart", "same", "when"];

fn mood(name: &str) -> Option<Mood> {
    match name {
        "good" => Some(Mood::Good),
        "bad" => Some(Mood::Bad),
        "apart" => Some(Mood::Apart),
        "same" => Some(Mood::Same),
        "when" => Some(Mood::When),
        _ => None,
    }
}
