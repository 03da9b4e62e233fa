//! Which words of a line was nothing made of? Those that are told back as not used, and those that
//! are free to be listened to: words that no fact, number or hand was read from.

use super::clauses::Line;
use super::{Reading, Span};
use crate::knowledge::lexicon::{Meaning, Role};

/// Words that nothing used and that are on no stop list.
pub(super) fn unused(line: &Line<'_>) -> Vec<Span> {
    let mut out: Vec<Span> = Vec::new();
    let mut last = None;
    for (at, word) in line.words.iter().enumerate() {
        if word.mark.is_some() || line.is_used(at) {
            continue;
        }
        let silent = match line.meaning_at(at) {
            Some(Meaning::Word(Role::Plain)) | None => word.filler && word.number.is_none(),
            Some(Meaning::Word(_) | Meaning::Hand(_) | Meaning::Tone(..)) => true,
            Some(_) => false,
        };
        if silent {
            continue;
        }
        match out.last_mut() {
            Some(span) if last == at.checked_sub(1) => *span = span.joined(word.span),
            _ => out.push(word.span),
        }
        last = Some(at);
    }
    out
}

/// Runs of words that no fact, number or hand was read from.
pub(super) fn free(line: &Line<'_>, reading: &Reading) -> Vec<Span> {
    let findings = reading.findings.iter();
    let findings = findings.chain(reading.history.iter().map(|a| &a.finding));
    let mut facts: Vec<Span> = findings
        .flat_map(|f| std::iter::once(f.said).chain(f.said_again.iter().copied()))
        .collect();
    facts.sort_unstable();
    facts.dedup_by(|later, first| {
        let one = later.start <= first.end;
        if one {
            first.end = first.end.max(later.end);
        }
        one
    });
    let mut out: Vec<Span> = Vec::new();
    let mut goes_on = false;
    for (at, word) in line.words.iter().enumerate() {
        let place = facts.partition_point(|f| f.end <= word.span.start);
        let in_fact = facts.get(place).is_some_and(|f| f.start < word.span.end);
        // "In a row", "most of the time": they only count.
        let counts = matches!(
            line.meaning_at(at),
            Some(
                Meaning::Word(Role::InARow | Role::OutOf | Role::Times | Role::Counted)
                    | Meaning::Often(_)
                    | Meaning::ShotsIn(_)
            )
        );
        let taken = in_fact
            || counts
            || word.mark.is_some()
            || word.number.is_some()
            || matches!(
                line.meaning_at(at),
                Some(Meaning::Hand(_) | Meaning::Tone(..) | Meaning::Quantity(_))
            );
        if !taken {
            match out.last_mut().filter(|_| goes_on) {
                Some(run) => *run = run.joined(word.span),
                None => out.push(word.span),
            }
        }
        goes_on = !taken;
    }
    out
}
