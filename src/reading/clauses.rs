//! How does a line fall into clauses? Words and phrases in, the clause and the sentence of each
//! word out, and the words that a phrase covers.
//!
//! A clause ends at a comma, a dash, a bracket, a word such as "but" or "then", and at "and"
//! unless it joins two clubs or two numbers. A sentence ends at a stop, a question mark, a
//! semicolon or a new line. What a clause is about is not known here.

use super::Span;
use super::letters::Mark;
use super::phrases::{Match, Phrases, Word};
use crate::knowledge::lexicon::{Meaning, Role};

/// A line with its words, phrases and clauses.
#[derive(Debug)]
pub(super) struct Line<'a> {
    pub(super) phrases: &'a Phrases,
    pub(super) words: Vec<Word>,
    pub(super) matches: Vec<Match>,
    /// The phrase that covers each word.
    pub(super) phrase_at: Vec<Option<usize>>,
    /// Clause of each word.
    pub(super) clause: Vec<usize>,
    /// Sentence of each word.
    pub(super) sentence: Vec<usize>,
    /// Words that some pass has used.
    pub(super) used: Vec<bool>,
}

impl<'a> Line<'a> {
    /// Cuts words into clauses.
    pub(super) fn new(phrases: &'a Phrases, words: Vec<Word>, matches: Vec<Match>) -> Self {
        let mut phrase_at = vec![None; words.len()];
        for (place, found) in matches.iter().enumerate() {
            for slot in phrase_at.get_mut(found.from..found.to).unwrap_or(&mut []) {
                *slot = Some(place);
            }
        }
        let used = vec![false; words.len()];
        let mut line = Self {
            phrases,
            words,
            matches,
            phrase_at,
            clause: Vec::new(),
            sentence: Vec::new(),
            used,
        };
        line.cut();
        line
    }

    fn cut(&mut self) {
        let (mut clause, mut sentence) = (0, 0);
        for at in 0..self.words.len() {
            let mark = self.words.get(at).and_then(|w| w.mark);
            let ends_sentence = matches!(
                mark,
                Some(Mark::Stop | Mark::Question | Mark::Newline | Mark::Semicolon)
            );
            let number = |i: usize| self.words.get(i).is_some_and(|w| w.number.is_some());
            // A cell with a name and one with its number belong together.
            let named_cell =
                mark == Some(Mark::Cell) && number(at + 1) && !(at > 0 && number(at - 1));
            let ends_clause = ends_sentence
                || !named_cell
                    && matches!(
                        mark,
                        Some(Mark::Comma | Mark::Dash | Mark::Open | Mark::Close | Mark::Cell)
                    );
            let starts_here = match self.role_at(at) {
                Some(Role::Break | Role::Except) => true,
                // "The low point is now 3 in ahead" goes on with its number.
                Some(Role::Now) => {
                    let named = (at.saturating_sub(3)..at)
                        .any(|i| matches!(self.meaning_at(i), Some(Meaning::Quantity(_))));
                    !(named && number(at + 1))
                }
                Some(Role::And) => !self.joins_alike(at),
                Some(Role::Plus) => self.words.get(at + 1).is_none_or(|w| w.number.is_none()),
                _ => false,
            } && self.match_at(at).is_none_or(|m| m.from == at);
            if starts_here {
                clause += 1;
            }
            self.clause.push(clause);
            self.sentence.push(sentence);
            if ends_clause {
                clause += 1;
            }
            if ends_sentence {
                sentence += 1;
            }
        }
    }

    /// True if the word joins two clubs or two numbers.
    fn joins_alike(&self, at: usize) -> bool {
        let Some(before) = at.checked_sub(1) else {
            return false;
        };
        let mut after = at + 1;
        while self.words.get(after).is_some_and(|w| w.filler) {
            after += 1;
        }
        let number = |i: usize| self.words.get(i).is_some_and(|w| w.number.is_some());
        let club = |i: usize| matches!(self.meaning_at(i), Some(m) if is_club(m));
        let both = (number(before) || club(before)) && (number(after) || club(after));
        both && !self.well_alone(after)
    }

    /// "Tops his 3 wood and his driver is fine": the club from here on is told of by itself, with "is" and
    /// that all is well.
    fn well_alone(&self, at: usize) -> bool {
        let mut end = at;
        while self.words.get(end).is_some_and(|w| w.number.is_some())
            || matches!(self.meaning_at(end), Some(m) if is_club(m))
        {
            end += 1;
        }
        // "3 wood and driver are fine" is said of both.
        let is = (end..end + 2)
            .any(|i| self.is_word(i, "is") || self.is_word(i, "was") || self.is_word(i, "goes"));
        is && (end..end + 3).any(|i| matches!(self.meaning_at(i), Some(Meaning::AllWell)))
    }

    /// The phrase that covers a word.
    pub(super) fn match_at(&self, at: usize) -> Option<&Match> {
        let place = self.phrase_at.get(at).copied().flatten()?;
        self.matches.get(place)
    }

    /// The meaning of the phrase that covers a word.
    pub(super) fn meaning_at(&self, at: usize) -> Option<&'a Meaning> {
        self.match_at(at).and_then(|m| self.phrases.meaning(m))
    }

    /// The role of the phrase that covers a word.
    pub(super) fn role_at(&self, at: usize) -> Option<Role> {
        match self.meaning_at(at) {
            Some(Meaning::Word(role)) => Some(*role),
            _ => None,
        }
    }

    /// The bytes of a range of words.
    pub(super) fn span(&self, from: usize, to: usize) -> Span {
        let first = self.words.get(from).map(|w| w.span);
        let last = to
            .checked_sub(1)
            .and_then(|last| self.words.get(last))
            .map(|w| w.span);
        match (first, last) {
            (Some(first), Some(last)) => first.joined(last),
            _ => Span { start: 0, end: 0 },
        }
    }

    /// The bytes of the clause a word stands in, without the mark that ends it.
    pub(super) fn clause_span(&self, at: usize) -> Span {
        let (from, to) = self.clause_range(at);
        let mut to = to;
        while to > from + 1 && self.words.get(to - 1).is_some_and(|w| w.mark.is_some()) {
            to -= 1;
        }
        self.span(from, to)
    }

    /// The words of the clause a word stands in.
    pub(super) fn clause_range(&self, at: usize) -> (usize, usize) {
        let Some(clause) = self.clause.get(at) else {
            return (at, at);
        };
        let from = self.clause.partition_point(|c| c < clause);
        let to = self.clause.partition_point(|c| c <= clause);
        (from, to)
    }

    /// The words of the sentence a word stands in.
    pub(super) fn sentence_range(&self, at: usize) -> std::ops::Range<usize> {
        let Some(sentence) = self.sentence.get(at) else {
            return at..at;
        };
        let from = self.sentence.partition_point(|s| s < sentence);
        let to = self.sentence.partition_point(|s| s <= sentence);
        from..to
    }

    /// True if two words stand in one clause.
    pub(super) fn same_clause(&self, a: usize, b: usize) -> bool {
        self.clause.get(a) == self.clause.get(b)
    }

    /// Marks words as used.
    pub(super) fn use_words(&mut self, from: usize, to: usize) {
        for slot in self.used.get_mut(from..to).unwrap_or(&mut []) {
            *slot = true;
        }
    }

    /// True if a word is this one.
    pub(super) fn is_word(&self, at: usize, word: &str) -> bool {
        let symbol = self.words.get(at).and_then(|w| w.symbol);
        symbol.is_some_and(|s| self.phrases.vocabulary.name(s) == word)
    }

    /// True if every word of a range is used.
    pub(super) fn is_used(&self, at: usize) -> bool {
        self.used.get(at).copied().unwrap_or(false)
    }

    /// The next word that is no filler, from a place on, in the same clause.
    pub(super) fn past_fillers(&self, from: usize) -> usize {
        let mut at = from;
        while self
            .words
            .get(at)
            .is_some_and(|w| w.filler && w.number.is_none())
        {
            at += 1;
        }
        at
    }
}

/// True for meanings that name clubs.
pub(super) const fn is_club(meaning: &Meaning) -> bool {
    matches!(
        meaning,
        Meaning::Clubs { .. } | Meaning::Numbered { .. } | Meaning::Lofts(_)
    )
}
