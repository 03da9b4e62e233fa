//! Which cause, fault, symptom or question do a learner's words mean?
//!
//! Takes words and the knowledge; gives ids, several where several are meant. A number is the place
//! in the list that was shown. Words of a cause are found as in the ordinary talk; faults by the
//! stems of their names; symptoms by the golfers' phrases. Knows no entry by name.

use super::plainly::in_names;
use super::reasons::Reader;
use crate::conversation::names::{causes_named, stem, words};
use crate::knowledge::KnowledgeBase;
use crate::learning::LinkEnd;
use crate::reading::{Context, Phrases, What, read};
use crate::vocabulary::{AnswerId, CauseId, EffectId, GroupId, Hand, SymptomId};

/// Words with which questions begin and that say nothing of what is asked.
const ASKING: &[&str] = &[
    "do", "does", "did", "is", "are", "was", "were", "can", "could", "would", "have", "has", "you",
    "your", "yours", "ever", "any", "there", "often", "when", "what", "where", "which", "how",
    "who", "why", "tell", "me", "about", "show", "the", "a", "an", "it", "i", "at", "in", "on",
    "of", "to", "with", "and", "or", "that", "this", "they", "them", "club", "shot", "shots",
    "usually", "mostly", "see", "let", "please", "as", "so", "very", "much", "too", "for", "from",
    "look", "looks", "like", "had", "been", "be",
];
/// Words in questions about any shot, which do not say which beside others.
const OF_ANY: &[&str] = &["go", "goe", "fly", "fli", "start", "get", "hit"];
/// Words that say nothing of what is asked even alone.
const VAGUE: &[&str] = &[
    "ball", "swing", "game", "golf", "problem", "worst", "best", "today",
];

/// At most so many are offered where words mean several.
pub(super) const OFFERED: usize = 6;
/// Symptoms answered for one open question.
const ANSWERED: usize = 4;

pub(super) fn context(hand: Hand) -> Context {
    Context {
        hand: Some(hand),
        ..Context::default()
    }
}

/// Lower case, with what is one thing in one word: there the order is the meaning.
pub(super) fn joined(text: &str) -> String {
    text.to_lowercase()
        .replace('-', " ")
        .replace("out to in", "outtoin")
        .replace("in to out", "intoout")
}

pub(super) fn content(text: &str) -> Vec<String> {
    words(&joined(text))
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

/// Of several causes, those that move anything with clubs of a group; all of them if none does.
pub(super) fn acting(base: &KnowledgeBase, list: Vec<CauseId>, group: GroupId) -> Vec<CauseId> {
    let acts = |c: &CauseId| {
        let shifts = base.model.causes.get(c.index());
        let shifts = shifts.and_then(|m| m.shifts.get(group.index()));
        shifts.is_some_and(|s| !s.is_empty())
    };
    if list.len() > 1 && list.iter().any(acts) {
        list.into_iter().filter(acts).collect()
    } else {
        list
    }
}

/// Causes whose check asks in these words: at least two of them, and two of three, are in the
/// question, or in what the cause is; a single word must be in the name.
pub(super) fn by_question(base: &KnowledgeBase, text: &str) -> Vec<CauseId> {
    let wanted = content(text);
    if wanted.iter().all(|w| VAGUE.contains(&w.as_str())) {
        return Vec::new();
    }
    let mut scored: Vec<(usize, usize, CauseId)> = Vec::new();
    for (index, cause) in base.causes.iter().enumerate() {
        let mut known = content(&cause.name);
        known.extend(content(&cause.is));
        if let Some(check) = cause.check {
            known.extend(content(&base.check(check).question));
        }
        if wanted.len() < 2 {
            known = content(&cause.name);
        }
        let hits = wanted.iter().filter(|w| known.contains(w)).count();
        if hits >= wanted.len().min(2) && 3 * hits >= 2 * wanted.len() && hits > 0 {
            scored.push((hits, index, CauseId::from_index(index)));
        }
    }
    let best = scored.iter().map(|s| s.0).max().unwrap_or(0);
    scored.retain(|s| s.0 == best);
    scored.sort_unstable_by_key(|s| s.1);
    scored.into_iter().map(|s| s.2).collect()
}

/// The faults that the words mean, best first; plain words are taken for those of the names.
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
    let wanted: Vec<String> = content(&in_names(text));
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
    let mut wanted = content(&text.to_lowercase().replace("how long", ""));
    wanted.retain(|w| !VAGUE.contains(&w.as_str()));
    if wanted.iter().any(|w| !OF_ANY.contains(&w.as_str())) {
        wanted.retain(|w| !OF_ANY.contains(&w.as_str()));
    }
    if wanted.is_empty() || !reading.hints.is_empty() {
        return Vec::new();
    }
    let mut open: Vec<(usize, f64, SymptomId)> = likely
        .iter()
        .filter_map(|(symptom, p)| {
            let entry = base.symptom(*symptom);
            let mut known = content(&entry.name);
            known.push(stem(&entry.kind));
            known.extend(entry.id.split('_').map(stem));
            let named = wanted.iter().filter(|w| known.contains(w)).count();
            known.extend(content(&entry.is));
            let hits = wanted.iter().filter(|w| known.contains(w)).count();
            // All of what is asked, or of more than two words nearly all; and by its name.
            let all = hits == wanted.len() || (wanted.len() > 2 && 3 * hits >= 2 * wanted.len());
            // Asked where balls start, those are meant of whose kind that is, not marks.
            let of_kind = usize::from(wanted.contains(&stem(&entry.kind)));
            (all && named > 0 && 2 * named >= wanted.len()).then_some((
                hits + of_kind,
                *p,
                *symptom,
            ))
        })
        .collect();
    let most = open.iter().map(|o| o.0).max().unwrap_or(0);
    open.retain(|o| o.0 == most);
    open.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.2.cmp(&b.2)));
    open.truncate(ANSWERED);
    open.into_iter().map(|o| o.2).collect()
}

/// Whether the words are a cause's name, with or without a number after it.
pub(super) fn is_cause(base: &KnowledgeBase, text: &str) -> bool {
    let said = without_chance(text).to_lowercase();
    base.causes.iter().any(|c| c.name.to_lowercase() == said)
}

/// The words before a chance, if one is stated.
pub(super) fn without_chance(text: &str) -> &str {
    let numeric = |c: char| c.is_ascii_digit() || c == '%' || c == '.' || c.is_whitespace();
    text.trim().trim_end_matches(numeric)
}

/// The cause with a word in its name that a word of the text is a slip of.
pub(super) fn near(base: &KnowledgeBase, text: &str) -> Option<String> {
    const LONG: usize = 5;
    let said: Vec<String> = words(text)
        .into_iter()
        .filter(|w| w.chars().count() >= LONG)
        .filter(|w| !ASKING.contains(&w.as_str()) && !VAGUE.contains(&w.as_str()))
        .collect();
    let slip = |name: &str| {
        words(name).iter().any(|known| {
            known.chars().count() >= LONG
                && said.iter().any(|w| strsim::osa_distance(w, known) <= 1)
        })
    };
    let found = base.causes.iter().find(|c| slip(&c.name));
    found.map(|c| c.name.clone())
}

/// How a line begins that asks the golfer something.
const BEGINS: &[&str] = &[
    "do", "does", "did", "is", "are", "was", "were", "can", "could", "would", "have", "has",
    "where", "which", "how", "when", "what", "who", "why", "any", "ever", "show", "tell",
    "describe",
];

/// Whether a line is a question to the golfer, by its first word or its last letter.
pub(super) fn is_question(line: &str) -> bool {
    let first = words(line).into_iter().next().unwrap_or_default();
    line.trim_end().ends_with('?') || BEGINS.contains(&first.as_str())
}

/// How a line begins that asks what a thing is, or why it is so, with nothing of this golfer in it.
const CONCEPTS: &[&str] = &[
    "what is ",
    "what s ",
    "whats ",
    "what are ",
    "what does ",
    "what do ",
    "why does ",
    "why do ",
    "why is ",
    "why are ",
    "how does ",
    "how do ",
    "explain ",
    "difference between ",
    "the difference between ",
    "define ",
    "what causes ",
    "what makes ",
    "meaning of ",
    "does ",
    "do ",
    "is ",
];
/// Words that make a question one to this golfer.
const TO_GOLFER: &[&str] = &[
    "you", "your", "yours", "he", "his", "she", "her", "they", "their",
];

/// Words before a question that say nothing.
const BEFORE: [&str; 6] = ["so ", "and ", "but ", "ok ", "then ", "well "];

/// A question of theory, in small letters without what leads in: one that supposes something, or asks
/// what a thing tells; none that is put to the golfer.
pub(super) fn theory(line: &str) -> Option<String> {
    let said = words(line);
    if said.iter().any(|w| TO_GOLFER.contains(&w.as_str())) {
        return None;
    }
    let lower = line.trim().to_lowercase();
    let mut text = lower.as_str();
    while let Some(rest) = BEFORE.iter().find_map(|b| text.strip_prefix(b)) {
        text = rest.trim_start_matches([',', ' ']);
    }
    let supposes = text.starts_with("if ") && text.contains([',', '?']);
    let tells = ["tell me", "tell us", "tell of", "tell about"];
    let asks = [
        "does ",
        "do ",
        "can ",
        "what does ",
        "what do ",
        "what can ",
    ];
    let told = asks.iter().any(|a| text.starts_with(a)) && tells.iter().any(|t| text.contains(t));
    (supposes || told).then(|| text.to_owned())
}

/// The text without a size and its unit and place: "the divot 6 inches behind" is the divot.
pub(super) fn without_size(text: &str) -> Option<String> {
    const OF_SIZE: [&str; 8] = [
        "inch", "inches", "in", "cm", "mm", "behind", "ahead", "degrees",
    ];
    let mut out: Vec<&str> = Vec::new();
    let mut sized = false;
    let mut any = false;
    for word in text.split_whitespace() {
        if word.starts_with(|c: char| c.is_ascii_digit()) {
            (sized, any) = (true, true);
        } else if !(sized && OF_SIZE.contains(&word)) {
            sized = false;
            out.push(word);
        }
    }
    any.then(|| out.join(" "))
}

/// What a question about the game asks after.
pub(super) enum Concept {
    /// An answer of the knowledge.
    Answer(AnswerId),
    /// What entries are.
    Entries(Vec<LinkEnd>),
    /// Nothing in the knowledge speaks to it.
    Unknown,
}

/// Of the beginnings of such questions, those that may as well be put to the golfer.
const OF_EITHER: &[&str] = &[
    "does ",
    "do ",
    "is ",
    "what is ",
    "what are ",
    "how do ",
    "how does ",
];

/// A question about the game rather than about this golfer.
pub(super) fn concept(
    base: &KnowledgeBase,
    phrases: &Phrases,
    hand: Hand,
    text: &str,
) -> Option<Concept> {
    let said = words(text);
    if said.iter().any(|w| TO_GOLFER.contains(&w.as_str())) {
        return None;
    }
    let line = said.join(" ");
    let begin = CONCEPTS.iter().find(|b| line.starts_with(**b))?;
    let reading = read(phrases, &context(hand), text);
    if let Some(topic) = reading.topics.first() {
        return Some(Concept::Answer(topic.answer));
    }
    // "Does it fly low?" is for the golfer.
    if ["does ", "do ", "is "].contains(begin) {
        return None;
    }
    let rest = line.get(begin.len()..).unwrap_or("");
    let thing = ["a ", "an "].iter().any(|a| rest.starts_with(a));
    let unknown = || (thing || !OF_EITHER.contains(begin)).then_some(Concept::Unknown);
    let rest = rest.trim_end_matches(" mean").trim_end_matches(" do");
    let rest = ["a ", "an ", "the "]
        .iter()
        .find_map(|article| rest.strip_prefix(article))
        .unwrap_or(rest);
    if rest.is_empty() {
        return unknown();
    }
    // One word is a cause only as golfers use it: "divot" is no "ball in a divot hole".
    let hinted = !read(phrases, &context(hand), rest).hints.is_empty();
    let few = content(rest).len() < 2 && !hinted;
    let symptom = base.symptoms.iter().position(|s| s.name == rest);
    let of_faults = faults(base, rest);
    let of_causes = causes(base, phrases, hand, rest);
    let ends: Vec<LinkEnd> = if let Some(index) = symptom {
        vec![LinkEnd::Seen(SymptomId::from_index(index))]
    } else if let [one] = of_faults.as_slice() {
        vec![LinkEnd::Fault(*one)]
    } else if !few && !of_causes.is_empty() && of_causes.len() <= EXPLAINED {
        of_causes.into_iter().map(LinkEnd::Cause).collect()
    } else {
        let reader = Reader {
            base,
            phrases,
            hand,
        };
        let mut ends = reader.reasons(rest, &[], &[]).ends;
        ends.retain(|e| !few || !matches!(e, LinkEnd::Cause(_)));
        ends
    };
    if ends.is_empty() {
        return unknown();
    }
    Some(Concept::Entries(ends.into_iter().take(EXPLAINED).collect()))
}

/// Entries explained at once.
const EXPLAINED: usize = 3;

/// The club groups that a question is about, if it is about clubs and nothing else; none of them if
/// it asks which club.
pub(super) fn clubs_asked(
    base: &KnowledgeBase,
    phrases: &Phrases,
    hand: Hand,
    text: &str,
) -> Option<Vec<GroupId>> {
    let said = words(text);
    let mut names: Vec<String> = base.clubs.iter().flat_map(|c| content(&c.name)).collect();
    names.extend(base.groups.iter().flat_map(|g| content(&g.name)));
    let more = content(text).into_iter().any(|w| {
        !names.contains(&w) && !VAGUE.contains(&w.as_str()) && !OF_ANY.contains(&w.as_str())
    });
    if more {
        return None;
    }
    let reading = read(phrases, &context(hand), text);
    if !reading.findings.is_empty() {
        return None;
    }
    let which = ["what", "which"]
        .iter()
        .any(|w| said.iter().any(|s| s == w))
        && said.iter().any(|w| w == "club" || w == "clubs");
    let about = said
        .iter()
        .any(|w| ["how", "what", "about"].contains(&w.as_str()));
    if !reading.scope.groups.is_empty() && about {
        return Some(reading.scope.groups);
    }
    which.then(Vec::new)
}
