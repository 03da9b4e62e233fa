//! What is stated of whom? Phrases, numbers and frames in, findings, asides, hints and topics out.
//!
//! Every symptom phrase becomes one finding a symptom, with the clubs of its clause and the light
//! it stands in; what is past, wished, feared, conditional or somebody else's goes aside. How
//! often, how bad and counts go to the nearest symptom of the clause, else to the one before.

use super::clauses::{Line, is_club};
use super::frames::{Frame, Frames};
use super::letters::Mark;
use super::measures::{LISTED, Measured, Measures};
use super::modifiers;
use super::phrases::{Match, WordGroup};
use super::scope::Scope;
use super::{
    Aside, Correction, Count, Finding, Hint, Number, Pattern, Polarity, Reading, Topic, Unclear,
    What, Why,
};
use crate::knowledge::lexicon::{Meaning, Role, SymptomWords};
use crate::quantity::Amount;
use crate::vocabulary::{Hand, SymptomId};

/// A doubted finding weighs this much of a plain one (elicited).
const HEDGED: f64 = 0.7;

/// How often something is that is "not always" so (elicited).
const NOT_ALWAYS: f64 = 0.3;

/// Up to this severity a thing is slight (the lexicon gives "a bit" 0.3).
const SLIGHT: f64 = 0.35;

/// One finding on its way, with the word it stands at.
#[derive(Debug)]
pub(super) struct Draft {
    pub(super) at: usize,
    pub(super) to: usize,
    pub(super) finding: Finding,
    why: Option<Why>,
    correct: bool,
    pub(super) is_number: bool,
    /// "Not always": so now and then, unless more is said.
    not_always: bool,
    /// What a slight one is instead.
    slight: Option<SymptomId>,
}

impl Draft {
    /// The same said again by other words, as this finding.
    fn again(&self, line: &Line<'_>, found: &Match, finding: Finding) -> Self {
        Self {
            at: found.from,
            to: found.to,
            finding: Finding {
                clause: line.clause_span(found.from),
                ..finding
            },
            why: None,
            correct: false,
            is_number: self.is_number,
            not_always: false,
            slight: self.slight,
        }
    }
}

/// What the earlier passes found.
pub(super) struct Parts<'a> {
    pub(super) scope: &'a Scope,
    pub(super) frames: &'a Frames,
    pub(super) hand_known: bool,
    /// The hand assumed.
    pub(super) hand: Hand,
}

/// Writes findings, asides, hints and topics into the reading.
pub(super) fn write(
    line: &mut Line<'_>,
    parts: &Parts<'_>,
    measures: Measures,
    reading: &mut Reading,
) {
    let mut drafts = Vec::new();
    let matches = line.matches.clone();
    for (place, found) in matches.iter().enumerate() {
        if measures.eaten.binary_search(&place).is_ok() {
            continue;
        }
        phrase(line, parts, found, &mut drafts, reading);
    }
    for measured in &measures.measured {
        number(line, parts, measured, &mut drafts);
    }
    for group in line.phrases.groups_of_words(line, parts.hand) {
        loose(line, parts, &group, &mut drafts, reading);
    }
    drafts.sort_by_key(|d| (d.at, d.to));
    modifiers::hand_out(line, &mut drafts, &measures.rest);
    echoes(line, parts, &mut drafts);
    spread(line, &mut drafts);
    for draft in &mut drafts {
        if draft.not_always && draft.finding.often.is_none() {
            draft.finding.often = Some(NOT_ALWAYS);
        }
        // "Curves right a bit" is the mild one.
        if let Some(slight) = draft.slight
            && draft.finding.severity.is_some_and(|s| s <= SLIGHT)
        {
            draft.finding.what = What::Symptom(slight);
        }
    }
    modifiers::leftovers(line, &measures.rest, reading);
    reading.unclear.extend(measures.unclear);
    together(line, &mut drafts);
    taken_back(line, &mut drafts);
    put_right(&mut drafts);
    let drafts = without_repeats(line, drafts);
    for draft in drafts {
        hand_over(draft, reading);
    }
    // "A slice, goes miles right": which of the two it is was said.
    let findings = &reading.findings;
    let said = |s: &SymptomId| {
        let present = |f: &Finding| f.polarity == Polarity::Present;
        findings
            .iter()
            .any(|f| present(f) && f.what == What::Symptom(*s))
    };
    reading
        .unclear
        .retain(|u| !matches!(u, Unclear::Meaning { symptoms, .. } if symptoms.iter().any(said)));
}

/// "Duck hooks, with driver only": the hooks are the driver's.
fn spread(line: &Line<'_>, drafts: &mut [Draft]) {
    for found in &line.matches {
        let Some(Meaning::Symptoms(words)) = line.phrases.meaning(found) else {
            continue;
        };
        let Some(sentence) = line.sentence.get(found.from).filter(|_| words.spreads) else {
            continue;
        };
        for draft in drafts.iter_mut() {
            let pattern = &mut draft.finding.pattern;
            if draft.finding.polarity == Polarity::Present
                && pattern.clubs.is_empty()
                && pattern.groups.is_empty()
                && line.sentence.get(draft.at) == Some(sentence)
            {
                pattern.groups.clone_from(&words.groups);
            }
        }
    }
}

/// "Not with the wedges, only with the long irons": what was denied is so for the clubs after
/// "only".
fn echoes(line: &Line<'_>, parts: &Parts<'_>, drafts: &mut Vec<Draft>) {
    let mut new: Vec<Draft> = Vec::new();
    for found in &line.matches {
        let at = found.from;
        // "Only with the long irons" may be a phrase of its own that names the groups.
        let groups = match line.phrases.meaning(found) {
            Some(Meaning::Symptoms(words)) if !words.groups.is_empty() => words.groups.clone(),
            Some(Meaning::Word(Role::Only)) if parts.scope.named_in_clause(line, at) => Vec::new(),
            _ => continue,
        };
        let (from, to) = line.clause_range(at);
        let first = drafts.partition_point(|d| d.at < from);
        let in_clause = drafts.get(first..).unwrap_or(&[]).iter();
        if in_clause.take_while(|d| d.at < to).any(|d| d.at != at) {
            continue;
        }
        let before = first
            .checked_sub(1)
            .and_then(|i| drafts.get(i))
            .filter(|d| {
                line.sentence.get(d.at) == line.sentence.get(at)
                    && d.finding.polarity == Polarity::Absent
                    && d.why.is_none()
            });
        if let Some(denied) = before {
            let mut finding = denied.finding.clone();
            finding.polarity = Polarity::Present;
            finding.pattern = parts.scope.pattern_at(line, at);
            if !groups.is_empty() {
                finding.pattern.clubs.clear();
                finding.pattern.groups = groups;
            }
            new.push(denied.again(line, found, finding));
        }
    }
    drafts.extend(new);
    alike(line, parts, drafts);
}

/// "Wedges land short, 9 iron same story": what was told just before is so for these clubs too.
fn alike(line: &Line<'_>, parts: &Parts<'_>, drafts: &mut Vec<Draft>) {
    let mut new: Vec<Draft> = Vec::new();
    let same = |f: &&Match| line.role_at(f.from) == Some(Role::Alike);
    for found in line.matches.iter().filter(same) {
        let at = found.from;
        let (from, to) = line.clause_range(at);
        let first = drafts.partition_point(|d| d.at < from);
        let says_more = drafts.get(first).is_some_and(|d| d.at < to);
        if says_more || !parts.scope.named_in_clause(line, at) {
            continue;
        }
        let pattern = parts.scope.pattern_at(line, at);
        let before = drafts.get(..first).unwrap_or(&[]);
        let Some(last) = before.last().filter(|d| d.finding.pattern != pattern) else {
            continue;
        };
        let told = before.iter().filter(|d| {
            line.sentence.get(d.at) == line.sentence.get(last.at)
                && d.finding.pattern == last.finding.pattern
                && d.why.is_none()
                && !d.is_number
        });
        for draft in told {
            let mut finding = draft.finding.clone();
            finding.pattern = pattern.clone();
            finding.said = line.span(at, found.to);
            finding.count = None;
            finding.said_again.clear();
            new.push(draft.again(line, found, finding));
        }
    }
    drafts.extend(new);
}

/// "Fat. Not fat actually, thin": what a sentence denies and corrects was not so before it either.
fn taken_back(line: &Line<'_>, drafts: &mut Vec<Draft>) {
    let corrects: Vec<usize> = line
        .matches
        .iter()
        .filter(|m| line.role_at(m.from) == Some(Role::Correct))
        .filter_map(|m| line.sentence.get(m.from).copied())
        .collect();
    if corrects.is_empty() {
        return;
    }
    let denials: Vec<(usize, What, Pattern)> = drafts
        .iter()
        .filter(|d| {
            let sentence = line.sentence.get(d.at);
            d.finding.polarity == Polarity::Absent
                && d.why.is_none()
                && sentence.is_some_and(|s| corrects.contains(s))
        })
        .map(|d| (d.at, d.finding.what, d.finding.pattern.clone()))
        .collect();
    drafts.retain(|d| {
        let same = |(at, what, pattern): &(usize, What, Pattern)| {
            let general = [pattern, &d.finding.pattern].contains(&&Pattern::default());
            d.at < *at && d.finding.what == *what && (general || *pattern == d.finding.pattern)
        };
        d.finding.polarity != Polarity::Present || d.why.is_some() || !denials.iter().any(same)
    });
}

/// "Attack -4, no wait, attack +4": a number that is put right takes the place of the one before.
fn put_right(drafts: &mut Vec<Draft>) {
    let number = |d: &Draft| match d.finding.what {
        What::Number(n) => Some((n.quantity, d.finding.pattern.clone())),
        _ => None,
    };
    let right: Vec<_> = (drafts.iter().enumerate())
        .filter(|(_, d)| d.correct && d.is_number)
        .filter_map(|(i, d)| Some((i, number(d)?)))
        .collect();
    if right.is_empty() {
        return;
    }
    let mut place = 0;
    drafts.retain(|d| {
        let own = number(d);
        let replaced = |(i, of): &(usize, _)| place < *i && own.as_ref() == Some(of);
        let kept = !right.iter().any(replaced);
        place += 1;
        kept
    });
}

/// The same thing said twice of the same clubs is one finding.
fn without_repeats(line: &Line<'_>, drafts: Vec<Draft>) -> Vec<Draft> {
    let mut out: Vec<Draft> = Vec::with_capacity(drafts.len());
    for draft in drafts {
        let (at, to) = (draft.at, draft.to);
        if draft.is_number {
            out.push(draft);
            continue;
        }
        // "Blocks. Just big blocks with the driver": the second says of which club.
        let last = out.len().checked_sub(1);
        if let Some(general) = last.and_then(|i| out.get_mut(i))
            && !general.is_number
            && general.why == draft.why
            && general.finding.what == draft.finding.what
            && general.finding.polarity == draft.finding.polarity
            && general.finding.pattern == Pattern::default()
        {
            general.finding.pattern = draft.finding.pattern.clone();
        }
        let same = out.iter_mut().find(|d| {
            !d.is_number
                && d.why == draft.why
                && d.finding.what == draft.finding.what
                && d.finding.polarity == draft.finding.polarity
                && d.finding.pattern == draft.finding.pattern
        });
        let Some(first) = same else {
            out.push(draft);
            continue;
        };
        // "Fat, fat, thin": a list of shots counts them.
        // "Push right" beside "dead straight" is one shot; "fat fat" are two.
        let symbol = |at: usize| line.words.get(at).and_then(|w| w.symbol);
        let listed =
            listed_between(line, first.to, at) && (first.to < at || symbol(first.at) == symbol(at));
        first.to = to;
        let (kept, more) = (&mut first.finding, draft.finding);
        if listed && more.count.is_none() && more.polarity == Polarity::Present {
            let hits = match kept.count {
                Some(Count { hits, of: None }) if !kept.said_again.is_empty() => Some(hits + 1),
                None => Some(2),
                Some(_) => None,
            };
            if let Some(hits) = hits {
                kept.count = Some(Count { hits, of: None });
            }
        }
        kept.often = kept.often.or(more.often);
        kept.count = kept.count.or(more.count);
        kept.severity = kept.severity.or(more.severity);
        kept.weight = kept.weight.max(more.weight);
        kept.needs_hand |= more.needs_hand;
        kept.change &= more.change;
        kept.said_again.push(more.said);
    }
    out
}

/// True if nothing but marks, shots and clubs stands between two places.
fn listed_between(line: &Line<'_>, from: usize, to: usize) -> bool {
    from <= to
        && (from..to).all(|at| {
            let mark = line
                .words
                .get(at)
                .and_then(|w| w.mark)
                .is_some_and(|m| !matches!(m, Mark::Stop | Mark::Question));
            let number = line.words.get(at).is_some_and(|w| w.number.is_some());
            let told = match line.meaning_at(at) {
                Some(Meaning::Symptoms(_) | Meaning::AllWell) => true,
                Some(meaning) => is_club(meaning),
                None => false,
            };
            mark || told || number && line.is_used(at)
        })
}

fn hand_over(draft: Draft, reading: &mut Reading) {
    let Draft {
        finding,
        why,
        correct,
        ..
    } = draft;
    if let Some(why) = why {
        reading.history.push(Aside { finding, why });
        return;
    }
    if correct && let What::Number(Number { quantity, .. }) = finding.what {
        reading.corrections.push(Correction::Number {
            quantity,
            said: finding.said,
        });
    }
    if finding.polarity == Polarity::Unsure {
        reading.unclear.push(Unclear::Sure {
            finding: reading.findings.len(),
        });
    }
    reading.findings.push(finding);
}

fn frame_at(parts: &Parts<'_>, at: usize) -> Frame {
    parts.frames.at.get(at).copied().unwrap_or_default()
}

fn polarity(frame: Frame, denied: bool) -> Polarity {
    if frame.unsure {
        Polarity::Unsure
    } else if frame.not != denied {
        Polarity::Absent
    } else {
        Polarity::Present
    }
}

fn draft(line: &Line<'_>, parts: &Parts<'_>, found: &Match, what: What, weight: f64) -> Draft {
    let frame = frame_at(parts, found.from);
    Draft {
        at: found.from,
        to: found.to,
        why: frame.why,
        correct: frame.correct,
        is_number: false,
        not_always: frame.not_always,
        slight: None,
        finding: Finding {
            pattern: parts.scope.pattern_of(line, found.from, found.to),
            what,
            polarity: polarity(frame, found.denied),
            often: None,
            count: None,
            severity: None,
            weight: if frame.hedge { weight * HEDGED } else { weight },
            needs_hand: found.sided && !parts.hand_known,
            change: frame.change,
            said: line.span(found.from, found.to),
            said_again: Vec::new(),
            clause: line.clause_span(found.from),
        },
    }
}

fn phrase(
    line: &mut Line<'_>,
    parts: &Parts<'_>,
    found: &Match,
    drafts: &mut Vec<Draft>,
    reading: &mut Reading,
) {
    let Some(entry) = line.phrases.entry(found.entry) else {
        return;
    };
    let frame = frame_at(parts, found.from);
    let said = line.span(found.from, found.to);
    match &entry.meaning {
        Meaning::Symptoms(words) => {
            let groups = parts.scope.pattern_at(line, found.from).groups;
            let well = !groups.is_empty() && groups.iter().all(|g| words.well_with.contains(g));
            if well && !frame.not {
                drafts.push(draft(line, parts, found, What::AllWell, entry.weight));
                line.use_words(found.from, found.to);
                return;
            }
            let found = &Match {
                denied: found.denied != entry.denies,
                ..*found
            };
            for (place, symptom) in words.symptoms.iter().enumerate() {
                let mut new = draft(line, parts, found, What::Symptom(*symptom), entry.weight);
                enrich(&mut new.finding, words);
                new.slight = words.slight.get(place).copied();
                drafts.push(new);
            }
            if let Some(quantity) = words.measure
                && !frame.not
                && frame.why.is_none()
            {
                reading.unclear.push(Unclear::Amount { quantity, said });
            }
        }
        Meaning::AllWell => {
            // "Fine" of nothing in particular says nothing.
            if frame.not || found.denied || !parts.scope.named_in_clause(line, found.from) {
                return;
            }
            drafts.push(draft(line, parts, found, What::AllWell, entry.weight));
        }
        Meaning::OneOf {
            symptoms, causes, ..
        } => {
            if frame.why.is_none() && !frame.not {
                if found.sided && !parts.hand_known {
                    reading.unclear.push(Unclear::Hand { said });
                }
                reading.unclear.push(Unclear::Meaning {
                    pattern: parts.scope.pattern_at(line, found.from),
                    symptoms: symptoms.clone(),
                    causes: causes.clone(),
                    entry: entry.id.clone(),
                    said,
                });
            }
        }
        Meaning::Hint(causes) => reading.hints.push(Hint {
            causes: causes.clone(),
            polarity: polarity(frame, found.denied != entry.denies),
            weight: entry.weight,
            seen: entry.seen && !frame.hedge,
            quoted: matches!(frame.why, Some(Why::Quoted | Why::Other)),
            pattern: parts.scope.pattern_at(line, found.from),
            said,
        }),
        Meaning::Topic(answer) => reading.topics.push(Topic {
            answer: *answer,
            told: frame.why == Some(Why::Quoted),
            said,
        }),
        _ => return,
    }
    line.use_words(found.from, found.to);
}

/// A group of words that lie near each other, unless a phrase of the line says the same.
fn loose(
    line: &mut Line<'_>,
    parts: &Parts<'_>,
    group: &WordGroup,
    drafts: &mut Vec<Draft>,
    reading: &mut Reading,
) {
    let (Some(entry), Some(first), Some(last)) = (
        line.phrases.entry(group.entry),
        group.places.first().copied(),
        group.places.last().copied(),
    ) else {
        return;
    };
    let frames = || group.places.iter().map(|at| frame_at(parts, *at));
    let known = match &entry.meaning {
        Meaning::Symptoms(words) => words.symptoms.iter().all(|s| {
            drafts.iter().any(|d| {
                d.finding.what == What::Symptom(*s)
                    && line.sentence.get(d.at) == line.sentence.get(first)
            })
        }),
        Meaning::Hint(causes) => causes.iter().all(|c| {
            let told = |h: &Hint| h.causes == [*c] && (h.seen || !entry.seen);
            reading.hints.iter().any(told)
        }),
        _ => false,
    };
    let doubted = frames().any(|f| f.unsure) || frames().any(|f| f.not && f.not_always);
    // What phrases have said already is one fact, not two.
    let symptoms = matches!(entry.meaning, Meaning::Symptoms(_));
    let told = |at: &usize| {
        let lie_or_well = matches!(
            line.meaning_at(*at),
            Some(Meaning::Lie(_) | Meaning::AllWell)
        );
        line.is_used(*at) && !(symptoms && lie_or_well)
    };
    let fresh = group.places.iter().filter(|at| !told(at)).count();
    // What is tried, past, wished or feared says nothing of what the golfer does.
    // A fear is a fact where the group holds the word for it.
    let fears = |at: &usize| matches!(line.role_at(*at), Some(Role::Fear));
    let fears = group.places.iter().any(fears);
    let elsewhere = frames().any(|f| match f.why {
        Some(Why::Past | Why::Stopped | Why::Wished | Why::If) => true,
        Some(Why::Feared) => !fears,
        _ => false,
    });
    if known || doubted || elsewhere || 2 * fresh < group.places.len() {
        return;
    }
    // "Tour players take deep divots, mine are shallow": of the golfer, from "mine" on.
    let from = group
        .places
        .iter()
        .copied()
        .find(|at| symptoms && frame_at(parts, *at).why.is_none())
        .unwrap_or(first);
    // A word that denies may be one of the group's own ("fine on the range, can't on the course"): it
    // is part of what is said and denies nothing.
    let own = |at: &usize| {
        matches!(line.role_at(*at), Some(Role::Not))
            || symptoms && line.words.get(*at).is_some_and(|w| w.denies)
    };
    let denied =
        frames().any(|f| f.not) && !frame_at(parts, from).not && !group.places.iter().any(own);
    let found = Match {
        entry: group.entry,
        from,
        to: last + 1,
        words: group.places.len(),
        exact: true,
        sided: false,
        denied,
    };
    let used = line.used.clone();
    let told = drafts.len();
    phrase(line, parts, &found, drafts, reading);
    if line.used != used {
        line.used = used;
        if symptoms {
            // The group says what its words would say one by one.
            let mut place = 0;
            drafts.retain(|d| {
                let new = place >= told;
                place += 1;
                new || d.finding.weight >= entry.weight
                    || !(d.at..d.to).any(|at| group.places.contains(&at))
            });
        }
        for at in &group.places {
            line.use_words(*at, at + 1);
        }
    }
}

fn enrich(finding: &mut Finding, words: &SymptomWords) {
    finding.often = words.often;
    finding.severity = words.severity;
    // "Just my irons. Woods are fine" names its clubs itself.
    let groups = &finding.pattern.groups;
    let named =
        groups.is_empty() || words.spreads && !groups.iter().any(|g| words.groups.contains(g));
    if !words.groups.is_empty() && named {
        finding.pattern.clubs.clear();
        finding.pattern.groups.clone_from(&words.groups);
    }
    finding.pattern.lie = finding.pattern.lie.or(words.lie);
    finding.pattern.part_shot |= words.part_shot;
}

fn number(line: &Line<'_>, parts: &Parts<'_>, measured: &Measured, drafts: &mut Vec<Draft>) {
    let found = Match {
        entry: 0,
        from: measured.at,
        to: measured.at + 1,
        words: 1,
        exact: true,
        sided: measured.sided,
        denied: false,
    };
    let what = What::Number(measured.number);
    let mut new = draft(line, parts, &found, what, measured.weight);
    new.is_number = true;
    if measured.words.of_golfer {
        new.finding.pattern = Pattern::default();
    }
    new.finding.said = measured.span;
    // A wish or a denial of a number is no level of it.
    let value = measured.number.value.mean();
    let groups = new.finding.pattern.groups.clone();
    let spread = measured.number.spread.map_or(0.0, Amount::base);
    if let Some((symptom, share)) = measured.words.uneven
        && measured.number.shots >= LISTED
        && spread >= share * value.abs()
    {
        let mut named = draft(line, parts, &found, What::Symptom(symptom), measured.weight);
        named.finding.said = measured.span;
        drafts.push(named);
    }
    for class in &measured.words.classes {
        let fits = class.groups.is_empty()
            || groups.is_empty()
            || groups.iter().any(|g| class.groups.contains(g));
        if fits && (class.from..class.to).contains(&value) {
            let what = What::Symptom(class.symptom);
            let mut named = draft(line, parts, &found, what, measured.weight);
            named.finding.said = measured.span;
            drafts.push(named);
        }
    }
    drafts.push(new);
}

/// Symptoms that together mean more: a start to one side and a curve to it.
fn together(line: &Line<'_>, drafts: &mut Vec<Draft>) {
    for meaning in line.phrases.together() {
        let Meaning::Together { all, mean } = meaning else {
            continue;
        };
        let present = |symptom: SymptomId, pattern: Option<&Pattern>| {
            drafts.iter().find(|d| {
                d.finding.what == What::Symptom(symptom)
                    && d.finding.polarity == Polarity::Present
                    && d.why.is_none()
                    && pattern.is_none_or(|p| *p == d.finding.pattern)
            })
        };
        let Some(first) = all.first().and_then(|s| present(*s, None)) else {
            continue;
        };
        let rest: Option<Vec<&Draft>> = all
            .iter()
            .skip(1)
            .map(|s| present(*s, Some(&first.finding.pattern)))
            .collect();
        let Some(rest) = rest else {
            continue;
        };
        let mut said = first.finding.said;
        let mut weight = first.finding.weight;
        let mut needs_hand = first.finding.needs_hand;
        let mut at = first.at;
        for other in rest {
            said = said.joined(other.finding.said);
            weight = weight.min(other.finding.weight);
            needs_hand |= other.finding.needs_hand;
            at = at.max(other.at);
        }
        let new: Vec<Draft> = mean
            .iter()
            .filter(|s| present(**s, Some(&first.finding.pattern)).is_none())
            .map(|symptom| Draft {
                at,
                to: at + 1,
                why: None,
                correct: false,
                is_number: false,
                not_always: false,
                slight: None,
                finding: Finding {
                    what: What::Symptom(*symptom),
                    said,
                    weight,
                    needs_hand,
                    count: None,
                    often: None,
                    severity: None,
                    said_again: Vec::new(),
                    ..first.finding.clone()
                },
            })
            .collect();
        drafts.extend(new);
    }
}
