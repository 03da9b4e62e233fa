//! Which number words are one number? "Eighty five", "a hundred and twenty", "one fifty".
//!
//! Words with the numbers they stand for in, the same words out, those of one number made one. Linear in
//! the words. What the number counts or measures is not known here, but "twenty seven irons" are twenty
//! shots with a seven iron.

use super::{Phrases, Word};
use crate::reading::letters::Mark;

/// Nouns whose number before them is a club's.
const CLUBS: [&str; 6] = ["iron", "irons", "wood", "woods", "hybrid", "hybrids"];

/// Words that are worth a number and are no part of a longer one.
const LOOSE: [&str; 3] = ["couple", "few", "twice"];

impl Phrases {
    /// Joins the words of each number.
    pub(super) fn spoken_numbers(&self, words: Vec<Word>) -> Vec<Word> {
        if !words
            .windows(2)
            .any(|pair| matches!(pair, [a, _] if a.spelt))
        {
            return words;
        }
        let mut out = Vec::with_capacity(words.len());
        let mut at = 0;
        while let Some(word) = words.get(at) {
            let mut word = word.clone();
            let mut to = at + 1;
            if let Some((value, end)) = self.spoken(&words, at)
                && let Some(last) = words.get(end - 1)
            {
                word.span = word.span.joined(last.span);
                word.number = Some(value);
                word.symbol = None;
                word.stems = (self.vocabulary.get(&format!("{value}")).into_iter()).collect();
                to = end;
            }
            out.push(word);
            at = to;
        }
        out
    }

    /// The number that begins at a word and the place after it, if it has several words.
    fn spoken(&self, words: &[Word], at: usize) -> Option<(f64, usize)> {
        let mut value = self.spelt(words, at)?;
        let mut to = at + 1;
        if value < 10.0 && self.spelt(words, to).is_some_and(|n| is(n, 100.0)) {
            value *= 100.0;
            to += 1;
        } else if value <= 3.0
            && let Some(tens) = self.spelt(words, to)
            && (10.0..100.0).contains(&tens)
            && is(tens % 10.0, 0.0)
        {
            // "One fifty".
            value = value * 100.0 + tens;
            to += 1;
        }
        if is(value % 100.0, 0.0) {
            let next = to + usize::from(self.named(words, to, &["and"]));
            let rest = self.spelt(words, next);
            if let Some(rest) = rest.filter(|n| (10.0..100.0).contains(n)) {
                value += rest;
                to = next + 1;
            }
        }
        if value >= 20.0 && is(value % 10.0, 0.0) && !is(value % 100.0, 0.0) {
            let hyphen = words.get(to).is_some_and(|w| w.mark == Some(Mark::Hyphen));
            let next = to + usize::from(hyphen);
            let ones = self.spelt(words, next).filter(|n| *n < 10.0);
            if let Some(ones) = ones.filter(|_| !self.named(words, next + 1, &CLUBS)) {
                value += ones;
                to = next + 1;
            }
        }
        (to > at + 1).then_some((value, to))
    }

    /// A whole number said in a word.
    fn spelt(&self, words: &[Word], at: usize) -> Option<f64> {
        let word = words.get(at).filter(|w| w.spelt)?;
        let number = word.number.filter(|n| *n >= 1.0 && is(n.fract(), 0.0))?;
        (!self.named(words, at, &LOOSE)).then_some(number)
    }

    fn named(&self, words: &[Word], at: usize, names: &[&str]) -> bool {
        let symbol = words.get(at).and_then(|w| w.symbol);
        symbol.is_some_and(|s| names.contains(&self.vocabulary.name(s)))
    }
}

fn is(number: f64, other: f64) -> bool {
    (number - other).abs() < 1e-9
}
