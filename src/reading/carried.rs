//! What is said of these clubs because it was said of others? "Same story", "only with the long
//! irons", "not with the wedges".
//!
//! Takes the findings of a line in order; adds those that a clause with clubs and no finding of its
//! own says again, or denies, of what stood before it. A finding said again of other clubs keeps no
//! count of the first ones; it has one if the clause says how many of how many.

use std::collections::BTreeSet;

use super::clauses::Line;
use super::findings::{Draft, Parts};
use super::letters::Mark;
use super::numbers::{Counted, Group};
use super::phrases::Match;
use super::scope::Scope;
use super::{Count, Pattern, Polarity, What};
use crate::knowledge::lexicon::{Meaning, Role};

/// "Duck hooks, with driver only": the hooks are the driver's.
pub(super) fn spread(line: &Line<'_>, drafts: &mut [Draft]) {
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
pub(super) fn echoes(line: &Line<'_>, parts: &Parts<'_>, rest: &[Group], drafts: &mut Vec<Draft>) {
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
            new.push(denied.again(line, (found.from, found.to), finding));
        }
    }
    drafts.extend(new);
    alike(line, parts, drafts);
    elsewhere(line, parts, rest, drafts);
    drafts.sort_by_key(|d| (d.at, d.to));
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
            new.push(draft.again(line, (found.from, found.to), finding));
        }
    }
    drafts.extend(new);
}

/// "I thin the irons but not the wedges", "hook with the driver, never with the 3 wood", "shanks?
/// Yes with wedges, no with irons": clubs in a clause that says only whether it is so of them.
fn elsewhere(line: &Line<'_>, parts: &Parts<'_>, rest: &[Group], drafts: &mut Vec<Draft>) {
    drafts.sort_by_key(|d| (d.at, d.to));
    let mut new: Vec<Draft> = Vec::new();
    let mut asked: BTreeSet<usize> = BTreeSet::new();
    let mut general: Vec<usize> = Vec::new();
    let mut places: Vec<(usize, usize)> =
        (parts.scope.clubs.iter().map(|m| (m.from, m.to))).collect();
    places.extend(lies_alone(line, parts.scope));
    places.sort_unstable();
    for mention in places {
        let said = said_of(line, mention, rest);
        let counted = said.and_then(|(.., count)| count);
        let said = said.map(|(polarity, often, _)| (polarity, often));
        let instead = said.is_none() && takes_over(line, mention);
        let Some((polarity, often)) = said.or(instead.then_some((Polarity::Present, None))) else {
            continue;
        };
        let (from, to) = line.clause_range(mention.0);
        let first = drafts.partition_point(|d| d.at < from);
        if drafts.get(first).is_some_and(|d| d.at < to) {
            continue;
        }
        let sentence = line.sentence.get(mention.0).copied();
        // "Toe strikes with the driver. The irons too": a sentence of its own that says no more.
        let alone = (from == 0 || line.sentence.get(from - 1).copied() != sentence)
            && line.sentence.get(to).copied() != sentence;
        let here = |d: &&Draft| {
            line.sentence.get(d.at).copied() == sentence
                || alone && next_sentence(line, d.at) == sentence
        };
        let question = |d: &&Draft| is_asked(line, d.at) && next_sentence(line, d.at) == sentence;
        let before = first.checked_sub(1).and_then(|i| drafts.get(i));
        let after = drafts
            .get(first)
            .filter(|d| line.sentence.get(d.at).copied() == sentence);
        let Some(source) = before.filter(|d| here(d) || question(d)).or(after) else {
            continue;
        };
        if instead && (source.at > from || source.finding.polarity != Polarity::Absent) {
            continue;
        }
        // What stands in the clause of the source was told of the same clubs.
        let (start, end) = line.clause_range(source.at);
        let told = drafts.partition_point(|d| d.at < start)..drafts.partition_point(|d| d.at < end);
        for place in told.take(CARRIED) {
            let Some(draft) = drafts.get(place) else {
                continue;
            };
            let symptom = matches!(draft.finding.what, What::Symptom(_)) && draft.why.is_none();
            let news = [polarity, draft.finding.polarity].contains(&Polarity::Present);
            let mut finding = draft.finding.clone();
            finding.polarity = polarity;
            let told_of = parts.scope.pattern_at(line, mention.0);
            let lie = parts
                .scope
                .lies
                .binary_search_by_key(&mention.0, |(i, _)| *i);
            if lie.is_ok() {
                // "On flat lies too" says nothing of one lie.
                if polarity == Polarity::Present {
                    continue;
                }
                finding.pattern.lie = told_of.lie;
            } else {
                finding.pattern = told_of;
            }
            // "I never take a divot. Not with any iron": the denial is in the words of what was told.
            let denies = |at: usize| line.words.get(at).is_some_and(|w| w.denies);
            let told_by_denial = (draft.at..draft.to).any(denies);
            if !symptom || !news || told_by_denial && polarity == Polarity::Absent {
                continue;
            }
            if is_asked(line, draft.at) && !parts.scope.named_in_clause(line, draft.at) {
                asked.insert(place);
            } else if finding.pattern == draft.finding.pattern {
                // "Thin, but not with wedges": the others were told without a club.
                let apart = polarity != draft.finding.polarity
                    && often.is_none()
                    && lie.is_err()
                    && draft.at < mention.0
                    && !parts.scope.named_in_clause(line, draft.at);
                if !apart {
                    continue;
                }
                general.push(place);
            }
            // "No divot with the 7, but plenty with the 9": the denial was in the words themselves.
            if often.is_some() && told_by_denial {
                finding.polarity = Polarity::Absent;
                (finding.often, finding.severity) = (None, None);
            } else if let Some(often) = often {
                if !parts.scope.named_in_clause(line, draft.at) {
                    continue;
                }
                finding.often = Some(often);
            }
            if polarity == Polarity::Absent {
                (finding.often, finding.severity) = (None, None);
            }
            finding.count = counted;
            finding.said_again.clear();
            finding.said = line.span(mention.0, mention.1);
            new.push(draft.again(line, mention, finding));
        }
    }
    for place in general {
        if let Some(draft) = drafts.get_mut(place) {
            draft.finding.pattern = Pattern::default();
        }
    }
    // "Shanks? Yes with wedges": what was asked is said by the answers.
    let mut place = 0;
    drafts.retain(|_| {
        place += 1;
        !asked.contains(&(place - 1))
    });
    drafts.extend(new);
}

/// Lies whose clause names no clubs, as words from and to.
fn lies_alone(line: &Line<'_>, scope: &Scope) -> Vec<(usize, usize)> {
    let alone = |at: usize| {
        let (from, to) = line.clause_range(at);
        let next = scope.clubs.partition_point(|m| m.to <= from);
        scope.clubs.get(next).is_none_or(|m| m.from >= to)
    };
    let lies = scope.lies.iter().filter(|(at, _)| alone(*at));
    lies.map(|(at, _)| (*at, line.match_at(*at).map_or(at + 1, |m| m.to)))
        .collect()
}

/// Findings of one clause that are carried to other clubs at most (elicited).
const CARRIED: usize = 6;

/// Longest clause that may say no more than whether it is so (elicited).
const SHORT: usize = 12;

/// "The driver isn't slicing, it's the 3 wood", "my 7 iron isn't fat, my 9 iron is": clubs in a clause that
/// says nothing but that it is they.
fn takes_over(line: &Line<'_>, (start, end): (usize, usize)) -> bool {
    let (from, to) = line.clause_range(start);
    let empty = |at: usize| {
        let word = line.words.get(at);
        word.is_some_and(|w| w.filler || w.mark.is_some())
            || matches!(
                line.role_at(at),
                Some(Role::Break | Role::And | Role::Me | Role::Only | Role::Loose)
            )
    };
    let is = |at: usize, words: &[&str]| words.iter().any(|w| line.is_word(at, w));
    let they = (from.max(start.saturating_sub(SHORT))..start).any(|i| is(i, &["its", "thats"]))
        || (end..to.min(end + SHORT)).any(|i| is(i, &["is", "are", "does", "do", "has", "have"]));
    to - from <= SHORT && they && (from..start).chain(end..to).all(empty)
}

/// A share so small that it denies more than it says (the lexicon gives "hardly ever" 0.04).
const HARDLY: f64 = 0.05;

/// Words that say the same of these clubs, where nothing else stands in their clause.
const AS_WELL: [&str; 3] = ["too", "also", "aswell"];

/// What a clause says of its clubs: whether it is so, how often, and of how many shots.
type SaidOf = (Polarity, Option<f64>, Option<Count>);

/// Whether a clause says that it is so of its clubs or its lie, or not so, and nothing else; `rest` are
/// the numbers of the line that measure nothing.
pub(super) fn said_of(
    line: &Line<'_>,
    (start, end): (usize, usize),
    rest: &[Group],
) -> Option<SaidOf> {
    let (from, to) = line.clause_range(start);
    if to - from > SHORT {
        return None;
    }
    let (mut polarity, mut often, mut count) = (None, None, None);
    // "8 iron maybe 1 in 10".
    let share = rest.iter().find_map(|g| match g.counted {
        Some(Counted::Of(hits, of)) if from <= g.from && g.to <= to => Some((g, hits, of)),
        _ => None,
    });
    if let Some((_, hits, of)) = share {
        often = Some(f64::from(hits) / f64::from(of));
        count = Some(Count { hits, of: Some(of) });
        polarity = Some(if hits == 0 {
            Polarity::Absent
        } else {
            Polarity::Present
        });
    }
    let in_share = |at: usize| share.is_some_and(|(g, ..)| (g.from..g.to).contains(&at));
    for at in (from..start).chain(end..to).filter(|at| !in_share(*at)) {
        let word = line.words.get(at)?;
        let found = match line.role_at(at) {
            Some(Role::Not | Role::No | Role::Without) => Some(Polarity::Absent),
            Some(Role::Except) if word.denies => Some(Polarity::Absent),
            Some(Role::Yes) => Some(Polarity::Present),
            _ if AS_WELL.iter().any(|w| line.is_word(at, w)) => Some(Polarity::Present),
            Some(
                Role::Break
                | Role::Except
                | Role::And
                | Role::Carry
                | Role::ClubFollows
                | Role::ClubMayFollow
                | Role::Stop
                | Role::Filler
                | Role::Loose,
            ) => None,
            _ if matches!(line.meaning_at(at), Some(Meaning::Often(_))) => {
                match line.meaning_at(at) {
                    Some(Meaning::Often(share)) if *share <= HARDLY => Some(Polarity::Absent),
                    Some(Meaning::Often(share)) => {
                        often = Some(*share);
                        Some(Polarity::Present)
                    }
                    _ => None,
                }
            }
            // "8 iron maybe 1 in 10" says about how often.
            Some(Role::Unsure | Role::About) if share.is_some() => None,
            _ if word.filler || word.mark.is_some() => None,
            _ => return None,
        };
        polarity = polarity.or(found);
    }
    polarity.map(|p| (p, often, count))
}

/// True if the sentence of a word ends with a question mark.
fn is_asked(line: &Line<'_>, at: usize) -> bool {
    let end = line
        .sentence
        .partition_point(|s| Some(s) <= line.sentence.get(at));
    let last = end.checked_sub(1).and_then(|i| line.words.get(i));
    last.is_some_and(|w| w.mark == Some(Mark::Question))
}

/// The sentence after that of a word.
fn next_sentence(line: &Line<'_>, at: usize) -> Option<usize> {
    line.sentence.get(at).map(|s| s + 1)
}
