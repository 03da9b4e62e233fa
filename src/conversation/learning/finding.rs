//! Which cause, fault, symptom or practice do a learner's words mean?
//!
//! Takes words and the knowledge; gives ids, several where several are meant. A number is the place
//! in the list that was shown. Words of a cause are found as in the ordinary talk; faults by the
//! stems of their names; symptoms by the golfers' phrases. Knows no entry by name.

use crate::conversation::names::{causes_named, stem, words};
use crate::knowledge::KnowledgeBase;
use crate::learning::LinkEnd;
use crate::reading::{Context, Phrases, What, read};
use crate::vocabulary::{CauseId, DrillId, EffectId, Hand, SymptomId};

/// Words with which questions begin and that say nothing of what is asked.
const ASKING: &[&str] = &[
    "do", "does", "did", "is", "are", "was", "were", "can", "could", "would", "have", "has", "you",
    "your", "yours", "ever", "any", "there", "often", "when", "what", "where", "which", "how",
    "who", "why", "tell", "me", "about", "show", "the", "a", "an", "it", "i", "at", "in", "on",
    "of", "to", "with", "and", "or", "that", "this", "they", "them", "club", "shot", "shots",
    "usually", "mostly", "see", "let", "please", "as", "so", "very", "much", "too", "for", "from",
];

/// At most so many are offered where words mean several.
pub(super) const OFFERED: usize = 6;
/// Symptoms answered for one open question.
const ANSWERED: usize = 4;

fn context(hand: Hand) -> Context {
    Context {
        hand: Some(hand),
        ..Context::default()
    }
}

fn content(text: &str) -> Vec<String> {
    // The order is the meaning here.
    let text = text
        .to_lowercase()
        .replace('-', " ")
        .replace("out to in", "outtoin")
        .replace("in to out", "intoout");
    words(&text)
        .iter()
        .filter(|w| !ASKING.contains(&w.as_str()))
        .map(|w| stem(w))
        .collect()
}

/// The number alone, as a place from 1.
fn place(text: &str, count: usize) -> Option<usize> {
    let number: usize = text.trim().trim_start_matches('#').parse().ok()?;
    (1..=count).contains(&number).then(|| number - 1)
}

/// The causes that the words mean, best first.
pub(super) fn causes(
    base: &KnowledgeBase,
    phrases: &Phrases,
    hand: Hand,
    text: &str,
) -> Vec<CauseId> {
    if let Some(index) = place(text, base.causes.len()) {
        return vec![CauseId::from_index(index)];
    }
    let named = causes_named(base, phrases, &context(hand), text);
    if !named.is_empty() {
        return named;
    }
    by_question(base, text)
}

/// Causes whose check asks in these words: all of two or more words are in the question, or in what
/// the cause is.
fn by_question(base: &KnowledgeBase, text: &str) -> Vec<CauseId> {
    let wanted = content(text);
    let mut scored: Vec<(usize, usize, CauseId)> = Vec::new();
    for (index, cause) in base.causes.iter().enumerate() {
        let mut known = content(&cause.name);
        known.extend(content(&cause.is));
        if let Some(check) = cause.check {
            known.extend(content(&base.check(check).question));
        }
        let hits = wanted.iter().filter(|w| known.contains(w)).count();
        if hits > 0 && 3 * hits >= 2 * wanted.len() {
            scored.push((hits, index, CauseId::from_index(index)));
        }
    }
    let best = scored.iter().map(|s| s.0).max().unwrap_or(0);
    scored.retain(|s| s.0 == best);
    scored.sort_unstable_by_key(|s| s.1);
    scored.into_iter().map(|s| s.2).collect()
}

/// The faults that the words mean, best first.
pub(super) fn faults(base: &KnowledgeBase, text: &str) -> Vec<EffectId> {
    if let Some(index) = place(text, base.effects.len()) {
        return vec![EffectId::from_index(index)];
    }
    let lower = text.trim().to_lowercase();
    if let Some(exact) = base.effects.iter().position(|e| e.name == lower) {
        return vec![EffectId::from_index(exact)];
    }
    let mut holding = base
        .effects
        .iter()
        .enumerate()
        .filter(|(_, e)| lower.contains(' ') && e.name.contains(&lower));
    if let (Some((one, _)), None) = (holding.next(), holding.next()) {
        return vec![EffectId::from_index(one)];
    }
    let wanted: Vec<String> = content(text);
    if wanted.is_empty() {
        return Vec::new();
    }
    let mut scored: Vec<(usize, usize, EffectId)> = Vec::new();
    for (index, effect) in base.effects.iter().enumerate() {
        let mut known = content(&effect.name);
        let length = known.len();
        known.extend(effect.id.split('_').map(stem));
        let hits = wanted.iter().filter(|w| known.contains(w)).count();
        if hits > 0 {
            scored.push((hits, length, EffectId::from_index(index)));
        }
    }
    let most = scored.iter().map(|s| s.0).max().unwrap_or(0);
    scored.retain(|s| s.0 == most && 2 * s.0 >= wanted.len());
    // Of names that hold the same words, those with fewest others.
    scored.sort_by(|a, b| a.1.cmp(&b.1).then(a.2.cmp(&b.2)));
    let shortest = scored.first().map_or(0, |s| s.1);
    if most == wanted.len() && scored.iter().filter(|s| s.1 == shortest).count() == 1 && most >= 2 {
        scored.truncate(1);
    }
    scored.into_iter().map(|s| s.2).collect()
}

/// The symptoms that a question is about: those it names in golfers' words, else those whose kind or
/// name it speaks of, the likeliest of this golfer first.
pub(super) fn symptoms(
    base: &KnowledgeBase,
    phrases: &Phrases,
    hand: Hand,
    text: &str,
    likely: &[(SymptomId, f64)],
) -> Vec<SymptomId> {
    let plain: Vec<String> = words(text)
        .into_iter()
        .skip_while(|w| ASKING.contains(&w.as_str()))
        .collect();
    let reading = read(phrases, &context(hand), &plain.join(" "));
    let mut found: Vec<SymptomId> = Vec::new();
    let told = reading
        .findings
        .iter()
        .chain(reading.history.iter().map(|a| &a.finding));
    for finding in told {
        if let What::Symptom(symptom) = finding.what
            && !found.contains(&symptom)
        {
            found.push(symptom);
        }
    }
    if !found.is_empty() {
        found.truncate(ANSWERED);
        return found;
    }
    let wanted = content(text);
    if wanted.is_empty() || !reading.hints.is_empty() {
        return Vec::new();
    }
    let mut open: Vec<(usize, f64, SymptomId)> = likely
        .iter()
        .filter_map(|(symptom, p)| {
            let entry = base.symptom(*symptom);
            let mut known = content(&entry.name);
            known.extend(content(&entry.is));
            known.push(stem(&entry.kind));
            known.extend(entry.id.split('_').map(stem));
            let hits = wanted.iter().filter(|w| known.contains(w)).count();
            (2 * hits >= wanted.len() && hits > 0).then_some((hits, *p, *symptom))
        })
        .collect();
    let most = open.iter().map(|o| o.0).max().unwrap_or(0);
    open.retain(|o| o.0 == most);
    open.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.2.cmp(&b.2)));
    open.truncate(ANSWERED);
    open.into_iter().map(|o| o.2).collect()
}

/// What would be practised: a cause, or a drill, which stands for the cause named before that it is
/// given for.
pub(super) fn practice(
    base: &KnowledgeBase,
    phrases: &Phrases,
    hand: Hand,
    text: &str,
    named: &[CauseId],
) -> Vec<CauseId> {
    let wanted = content(text);
    let drill = base.drills.iter().position(|d| {
        let known = content(&d.name);
        !wanted.is_empty() && wanted.iter().all(|w| known.contains(w))
    });
    let of_causes = causes(base, phrases, hand, text);
    match drill.map(DrillId::from_index) {
        Some(drill) if of_causes.is_empty() || of_causes.len() > 1 => {
            let given_for = |c: &CauseId| base.cause(*c).drills.contains(&drill);
            let mut list: Vec<CauseId> = named.iter().copied().filter(given_for).collect();
            if list.is_empty() {
                list = (0..base.causes.len())
                    .map(CauseId::from_index)
                    .filter(given_for)
                    .collect();
            }
            list
        }
        _ => {
            // Of several, one that was named before is meant.
            match of_causes.iter().find(|c| named.contains(c)) {
                Some(cause) => vec![*cause],
                None => of_causes,
            }
        }
    }
}

/// The causes, faults and symptoms that a reason names, in the order named. The words are cut at
/// joints ("because", "so", commas), and each piece gives at most one of each kind.
pub(super) fn reasons(
    base: &KnowledgeBase,
    phrases: &Phrases,
    hand: Hand,
    text: &str,
) -> Vec<LinkEnd> {
    let mut out: Vec<LinkEnd> = Vec::new();
    let lower = format!(" {} ", text.to_lowercase());
    for piece in pieces(&lower) {
        let mut found: Vec<LinkEnd> = Vec::new();
        let reading = read(phrases, &context(hand), piece);
        let exact = faults(base, piece);
        if let [one] = exact.as_slice() {
            found.push(LinkEnd::Fault(*one));
        }
        if found.is_empty()
            && let Some(cause) = causes(base, phrases, hand, piece).first()
        {
            found.push(LinkEnd::Cause(*cause));
        }
        if found.is_empty() {
            found.extend(reading.findings.iter().find_map(|f| match f.what {
                What::Symptom(symptom) => Some(LinkEnd::Seen(symptom)),
                What::Number(_) | What::AllWell => None,
            }));
        }
        out.extend(
            found
                .into_iter()
                .filter(|f| !out.contains(f))
                .collect::<Vec<_>>(),
        );
    }
    out
}

/// Joints of a reason.
const JOINTS: [&str; 14] = [
    " because ",
    " since ",
    " so that ",
    " so ",
    " which ",
    " and then ",
    " and ",
    " then ",
    " leads to ",
    " puts ",
    " makes ",
    " causes ",
    " gives ",
    " means ",
];

fn pieces(text: &str) -> Vec<&str> {
    let mut out = vec![text];
    for joint in JOINTS {
        out = out.iter().flat_map(|p| p.split(joint)).collect();
    }
    out.iter()
        .flat_map(|p| p.split([',', ';', '.', ':', '>']))
        .map(str::trim)
        .filter(|p| !p.is_empty())
        .collect()
}
