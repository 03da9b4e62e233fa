//! What was said twice, and what was taken back? Findings of a line in, each fact once out.
//!
//! The same thing said again of the same clubs is one finding; in a run of shots ("fat, fat, thin,
//! fat") it is counted, and so are the others of the run. What a sentence denies and corrects was
//! not so before it either.

use super::clauses::{Line, is_club};
use super::findings::Draft;
use super::letters::Mark;
use super::{Count, Pattern, Polarity, What};
use crate::knowledge::lexicon::{Meaning, Role};

/// "Fat. Not fat actually, thin": what a sentence denies and corrects was not so before it either.
pub(super) fn taken_back(line: &Line<'_>, drafts: &mut Vec<Draft>) {
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

/// "Topped it. Otherwise no tops today": what was told happened once, and is not denied.
pub(super) fn otherwise(line: &Line<'_>, drafts: &mut Vec<Draft>) {
    const BUT_FOR_IT: [&str; 5] = ["otherwise", "apart", "other", "besides", "aside"];
    let begins = |d: &Draft| {
        let (from, _) = line.clause_range(d.at);
        let here = |at: &usize| line.sentence.get(*at) == line.sentence.get(d.at);
        let mut led = (from.saturating_sub(4)..d.at).filter(here);
        led.any(|at| BUT_FOR_IT.iter().any(|w| line.is_word(at, w)))
    };
    let mut once: Vec<usize> = Vec::new();
    let mut gone: Vec<usize> = Vec::new();
    for (place, draft) in drafts.iter().enumerate() {
        if draft.finding.polarity != Polarity::Absent || draft.why.is_some() || !begins(draft) {
            continue;
        }
        let told = |d: &Draft| {
            d.finding.what == draft.finding.what
                && d.finding.polarity == Polarity::Present
                && d.why.is_none()
        };
        let earlier = drafts.get(..place).unwrap_or(&[]);
        if let Some(first) = earlier.iter().rposition(told) {
            once.push(first);
            gone.push(place);
        }
    }
    for place in once {
        if let Some(draft) = drafts.get_mut(place) {
            let one = Count { hits: 1, of: None };
            draft.finding.count = draft.finding.count.or(Some(one));
        }
    }
    let mut place = 0;
    drafts.retain(|_| {
        place += 1;
        !gone.contains(&(place - 1))
    });
}

/// The same thing said twice of the same clubs is one finding.
pub(super) fn without_repeats(line: &Line<'_>, mut drafts: Vec<Draft>) -> Vec<Draft> {
    count_runs(line, &mut drafts);
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
        let listed = listed || listed_again(line, first, (at, to));
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

/// "Wedge, heavy. Wedge, heavy.": sentences that tell of a club and a shot by the same word, and of
/// nothing else.
fn listed_again(line: &Line<'_>, first: &Draft, (at, to): (usize, usize)) -> bool {
    let symbol = |at: usize| line.words.get(at).and_then(|w| w.symbol);
    let start = (line.sentence).partition_point(|s| Some(s) < line.sentence.get(first.at));
    let end = (line.sentence).partition_point(|s| Some(s) <= line.sentence.get(at));
    let club = |at: usize| line.meaning_at(at).is_some_and(is_club);
    line.sentence.get(first.at) != line.sentence.get(at)
        && symbol(first.at) == symbol(at)
        && first.to < at
        && (first.to..at).any(club)
        && end >= to
        && (start..end).all(|i| {
            let filler = line.words.get(i).is_some_and(|w| w.filler);
            filler || listed_between(line, i, i + 1) || mark_is_stop(line, i)
        })
}

fn mark_is_stop(line: &Line<'_>, at: usize) -> bool {
    line.words.get(at).and_then(|w| w.mark) == Some(Mark::Stop)
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

/// "Fat, fat, thin, fat": where one kind of shot is counted by its repeats, the others of the run are
/// one each.
fn count_runs(line: &Line<'_>, drafts: &mut [Draft]) {
    let in_run = |d: &Draft| {
        !d.is_number
            && d.why.is_none()
            && d.finding.polarity == Polarity::Present
            && matches!(d.finding.what, What::Symptom(_))
            && d.to - d.at <= BRIEF
    };
    let mut start = 0;
    while start < drafts.len() {
        let mut end = start + 1;
        while let (Some(last), Some(next)) = (drafts.get(end - 1), drafts.get(end))
            && in_run(last)
            && in_run(next)
            && last.at < next.at
            && line.sentence.get(last.at) == line.sentence.get(next.at)
            && listed_between(line, last.to, next.at)
        {
            end += 1;
        }
        let run = drafts.get_mut(start..end).unwrap_or(&mut []);
        let times = |what: What, run: &[Draft]| {
            let same = run.iter().filter(|d| d.finding.what == what);
            same.take(2).count()
        };
        if run.len() >= RUN {
            let once: Vec<bool> = run
                .iter()
                .map(|d| times(d.finding.what, run) == 1)
                .collect();
            if once.contains(&false) {
                for (draft, once) in run.iter_mut().zip(once) {
                    let finding = &mut draft.finding;
                    if once && finding.often.is_none() {
                        finding.count = finding.count.or(Some(Count { hits: 1, of: None }));
                    }
                }
            }
        }
        start = end;
    }
}

/// Words of one shot in a run at most ("off the heel"; elicited).
const BRIEF: usize = 3;

/// Shots told one after the other that make a run (elicited).
const RUN: usize = 3;
