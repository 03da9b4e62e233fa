//! The problems found so far, each put at its place.
//!
//! One method for each way an entry can be wrong; the words of the entry that are meant give line
//! and column. Knows no entry and decides nothing: what is collected here is sorted and returned by
//! `load.rs`.

use super::number_text::written;
use super::problem::{Problem, ProblemKind, nearest};
use super::yaml::EntryText;
use crate::quantity::Unit;

/// Where an entry came from.
pub(super) struct Place0<'a> {
    pub(super) entry: EntryText<'a>,
    pub(super) id: String,
}

/// The problems found so far.
#[derive(Default)]
pub(super) struct Report {
    pub(super) problems: Vec<Problem>,
}

impl Report {
    pub(super) fn push(
        &mut self,
        kind: ProblemKind,
        needle: &str,
        nearest: Option<String>,
        at: &Place0<'_>,
    ) {
        let place = match &kind {
            ProblemKind::OutOfRange { .. }
            | ProblemKind::TooLong { .. }
            | ProblemKind::NotPlainText { .. }
            | ProblemKind::MissingKey { .. }
            | ProblemKind::MeansNothing { .. }
            | ProblemKind::TooManyWords { .. }
            | ProblemKind::Thin { .. }
            | ProblemKind::NotMutual { .. }
            | ProblemKind::OneOnly { .. } => at.entry.place_of_key(needle),
            _ => at.entry.place_of(needle),
        };
        self.problems.push(Problem {
            kind,
            place,
            entry: Some(at.id.clone()),
            nearest,
        });
    }

    pub(super) fn unknown<'a>(
        &mut self,
        sort: &'static str,
        id: &str,
        names: impl Iterator<Item = &'a str>,
        at: &Place0<'_>,
    ) {
        let near = nearest(id, names);
        self.push(
            ProblemKind::UnknownId {
                sort,
                id: id.to_owned(),
            },
            id,
            near,
            at,
        );
    }

    pub(super) fn range(
        &mut self,
        what: &str,
        value: f64,
        (low, high): (f64, f64),
        at: &Place0<'_>,
    ) {
        let kind = ProblemKind::OutOfRange {
            what: what.to_owned(),
            value,
            low,
            high,
        };
        self.push(kind, what, None, at);
    }

    /// A key that is missing beside what is written.
    pub(super) fn missing(&mut self, key: &str, needle: &str, at: &Place0<'_>) {
        let key = key.to_owned();
        self.push(ProblemKind::MissingKey { key }, needle, None, at);
    }

    /// A word where only these mean something.
    pub(super) fn word(&mut self, key: &str, word: &str, known: &[&str], at: &Place0<'_>) {
        let kind = ProblemKind::UnknownWord {
            key: key.to_owned(),
            word: word.to_owned(),
            known: known.iter().map(|w| (*w).to_owned()).collect(),
        };
        let near = nearest(word, known.iter().copied());
        self.push(kind, word, near, at);
    }

    /// Several keys of which one would be silent.
    pub(super) fn one_only(&mut self, keys: &[&str], at: &Place0<'_>) {
        let needle = keys.last().copied().unwrap_or("");
        let keys = keys.iter().map(|k| (*k).to_owned()).collect();
        self.push(ProblemKind::OneOnly { keys }, needle, None, at);
    }

    /// A word that is nearly one of those used elsewhere, and used nowhere else: a slip.
    pub(super) fn odd_one<'a>(
        &mut self,
        key: &str,
        word: &str,
        all: impl Iterator<Item = &'a str>,
        at: &Place0<'_>,
    ) {
        let mut others: Vec<&str> = all.collect();
        if others.iter().filter(|w| **w == word).count() == 1 {
            others.retain(|w| *w != word);
            others.sort_unstable();
            others.dedup();
            if nearest(word, others.iter().copied()).is_some() {
                self.word(key, word, &others, at);
            }
        }
    }

    /// Value and error in the unit, or a problem.
    pub(super) fn amount(&mut self, text: &str, unit: Unit, at: &Place0<'_>) -> Option<(f64, f64)> {
        let Some(written) = written(text) else {
            self.push(
                ProblemKind::NotAnAmount {
                    text: text.to_owned(),
                },
                text,
                None,
                at,
            );
            return None;
        };
        let read = written.in_unit(unit);
        if read.is_none() {
            let kind = ProblemKind::UnitMismatch {
                text: text.to_owned(),
                wanted: unit.dimension(),
            };
            self.push(kind, text, None, at);
        }
        read
    }

    /// Value in the unit, or a problem and 0.
    pub(super) fn number(&mut self, text: &str, unit: Unit, at: &Place0<'_>) -> f64 {
        self.amount(text, unit, at).map_or(0.0, |(value, _)| value)
    }

    /// The unit with this symbol, or a problem and none at all.
    pub(super) fn unit(&mut self, symbol: &str, at: &Place0<'_>) -> Unit {
        Unit::from_symbol(symbol).unwrap_or_else(|| {
            self.unknown("unit", symbol, Unit::ALL.iter().map(|u| u.symbol()), at);
            Unit::One
        })
    }

    pub(super) fn text(&mut self, key: &str, text: &str, limit: usize, at: &Place0<'_>) {
        if text.trim().is_empty() {
            self.missing(key, key, at);
        }
        let length = text.chars().count();
        if length > limit {
            let kind = ProblemKind::TooLong {
                key: key.to_owned(),
                length,
                limit,
            };
            self.push(kind, key, None, at);
        }
        if let Some(found) = text.chars().find(|c| !(' '..='~').contains(c)) {
            self.push(
                ProblemKind::NotPlainText {
                    key: key.to_owned(),
                    found,
                },
                key,
                None,
                at,
            );
        }
    }
}
