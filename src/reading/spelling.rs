//! Which word was meant? The vocabulary of the lexicon: exact words, words of one stem, and words
//! one or two slips away.
//!
//! A word is mended only if it is neither in the lexicon nor an ordinary English word, has five
//! letters or more, and keeps its first letter (or has its first two swapped): one slip up to
//! seven letters, two from eight. Ties go to the earlier word of the vocabulary. Slips are a
//! letter left out, put in, changed, or two swapped (published: Damerau 1964, over 80 % of
//! misspelt words hold one slip).

use std::collections::BTreeMap;

use hashbrown::HashTable;

use crate::knowledge::lexicon::{START, hashed};

/// Words mended are at most this long.
const LONGEST_MENDED: usize = 24;

/// What a word was found to be.
#[derive(Debug, Clone, Default)]
pub(super) struct Found {
    pub(super) symbol: Option<u32>,
    pub(super) stems: Vec<u32>,
    pub(super) mended: bool,
}

/// All words of the lexicon.
#[derive(Debug, Clone, Default)]
pub(super) struct Vocabulary {
    /// Places of the words in `names`, by the number of the word. Never gone through.
    words: HashTable<u32>,
    names: Vec<String>,
    /// Known, but no part of any phrase.
    ordinary: Vec<bool>,
    stems: BTreeMap<String, Vec<u32>>,
    /// (first letter, length) -> words with the set of their letters.
    by_shape: BTreeMap<(char, usize), Vec<(u32, u32)>>,
}

impl Vocabulary {
    /// The symbol of a word, new if need be.
    pub(super) fn intern(&mut self, word: &str) -> u32 {
        if let Some(symbol) = self.get(word) {
            return symbol;
        }
        let symbol = self.names.len() as u32;
        self.names.push(word.to_owned());
        let names = &self.names;
        let again = |place: &u32| hashed(START, names.get(*place as usize).map_or("", |n| n));
        self.words.insert_unique(hashed(START, word), symbol, again);
        self.ordinary.push(true);
        symbol
    }

    /// These words are part of a phrase.
    pub(super) fn mark_in_phrase(&mut self, symbols: &[u32]) {
        for symbol in symbols {
            if let Some(slot) = self.ordinary.get_mut(*symbol as usize) {
                *slot = false;
            }
        }
    }

    /// True for an English word that is part of no phrase.
    pub(super) fn is_ordinary(&self, symbol: u32) -> bool {
        self.ordinary.get(symbol as usize).copied().unwrap_or(false)
    }

    /// Builds the tables for stems and slips.
    pub(super) fn finish(&mut self) {
        for (place, name) in self.names.iter().enumerate() {
            let symbol = place as u32;
            if !name.chars().all(char::is_alphabetic) {
                continue;
            }
            self.stems.entry(stem(name)).or_default().push(symbol);
            if let Some(first) = name.chars().next() {
                self.by_shape
                    .entry((first, name.chars().count()))
                    .or_default()
                    .push((symbol, letters_of(name)));
            }
        }
    }

    /// The symbol of a word as written.
    pub(super) fn get(&self, word: &str) -> Option<u32> {
        let is = |place: &u32| self.names.get(*place as usize).is_some_and(|n| n == word);
        self.words.find(hashed(START, word), is).copied()
    }

    /// The word of a symbol.
    pub(super) fn name(&self, symbol: u32) -> &str {
        self.names.get(symbol as usize).map_or("", String::as_str)
    }

    /// The word itself, its relatives, or the word it was meant to be.
    pub(super) fn look_up(&self, word: &str) -> Found {
        let symbol = self.get(word);
        let relatives: Vec<u32> = self
            .stems
            .get(&stem(word))
            .map(|group| {
                group
                    .iter()
                    .copied()
                    .filter(|s| Some(*s) != symbol)
                    .collect()
            })
            .unwrap_or_default();
        if symbol.is_some() || !relatives.is_empty() {
            return Found {
                symbol,
                stems: relatives,
                mended: false,
            };
        }
        match self.mend(word) {
            Some(symbol) => Found {
                symbol: Some(symbol),
                stems: Vec::new(),
                mended: true,
            },
            None => Found::default(),
        }
    }

    fn mend(&self, word: &str) -> Option<u32> {
        let length = word.chars().count();
        if !(5..=LONGEST_MENDED).contains(&length) || !word.chars().all(char::is_alphabetic) {
            return None;
        }
        let slips = if length >= 8 { 2 } else { 1 };
        let mut letters = word.chars();
        let (first, second) = (letters.next()?, letters.next()?);
        let set = letters_of(word);
        let mut best: Option<(usize, u32)> = None;
        for (start, swapped) in [(first, false), (second, true)] {
            if swapped && second == first {
                continue;
            }
            for size in length.saturating_sub(slips)..=length + slips {
                for (symbol, other) in self.by_shape.get(&(start, size)).into_iter().flatten() {
                    if (set ^ other).count_ones() as usize > 2 * slips {
                        continue;
                    }
                    let name = self.name(*symbol);
                    if swapped && name.chars().nth(1) != Some(first) {
                        continue;
                    }
                    let distance = strsim::osa_distance(word, name);
                    // A short word of the lexicon is not reached by two slips.
                    let allowed = if size >= 8 { slips } else { slips.min(1) };
                    if distance <= allowed && best.is_none_or(|b| (distance, *symbol) < b) {
                        best = Some((distance, *symbol));
                    }
                }
            }
        }
        best.map(|(_, symbol)| symbol)
    }
}

fn letters_of(word: &str) -> u32 {
    word.bytes()
        .filter(u8::is_ascii_lowercase)
        .fold(0, |set, b| set | 1 << (b - b'a'))
}

/// The word without its ending: slices, sliced, slicing and slice all give slic.
pub(super) fn stem(word: &str) -> String {
    let cut =
        |ending: &str, least: usize| word.strip_suffix(ending).filter(|rest| rest.len() >= least);
    let base = cut("ing", 3)
        .or_else(|| cut("ed", 3))
        .map(single_end)
        .or_else(|| cut("es", 3).filter(|rest| !rest.ends_with('e')))
        .or_else(|| cut("s", 3).filter(|rest| !rest.ends_with('s')))
        .unwrap_or(word);
    let base = base
        .strip_suffix('e')
        .filter(|b| b.len() >= 3)
        .unwrap_or(base);
    match base.strip_suffix('i') {
        Some(rest) if rest.len() >= 2 && base.len() < word.len() => format!("{rest}y"),
        _ => base.to_owned(),
    }
}

/// Topp -> top, but pull stays and miss stays.
fn single_end(base: &str) -> &str {
    let bytes = base.as_bytes();
    match bytes {
        [.., a, b] if a == b && base.len() >= 4 && !matches!(b, b'l' | b's' | b'f' | b'z') => {
            base.get(..base.len() - 1).unwrap_or(base)
        }
        _ => base,
    }
}
