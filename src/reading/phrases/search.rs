//! Where do phrases stand in a line? The walk down the tree of phrases from every word.
//!
//! A phrase may stretch over fillers, over names of clubs and over one denial; a phrase with more
//! words wins, then the longer stretch, then the one written as in the lexicon.

use super::tree::Tree;
use super::{LONGEST, Match, NUMBER, PULL, PUSH, Phrases, STRETCH, Symbol, Word};
use crate::knowledge::lexicon::Meaning;
use crate::reading::clauses::is_club;
use crate::reading::letters::Mark;
use crate::vocabulary::Hand;

impl Phrases {
    /// What a word means by itself.
    pub(in crate::reading) fn alone(&self, symbol: Symbol) -> Option<&Meaning> {
        let entry = self.tree.end(self.tree.step(Tree::ROOT, symbol)?)?;
        self.entry(entry).map(|e| &e.meaning)
    }

    /// Every phrase of the line, for a hand. Names of clubs are marked first, so that phrases may
    /// stretch over them: "can't get my 3 wood in the air".
    pub(in crate::reading) fn matches(&self, words: &mut [Word], hand: Hand) -> Vec<Match> {
        for word in words.iter_mut() {
            word.club = false;
        }
        let first = self.matches_once(words, hand);
        let mut any = false;
        for found in &first {
            if !self.meaning(found).is_some_and(is_club) {
                continue;
            }
            let mut from = found.from;
            while let Some(before) = from.checked_sub(1)
                && words
                    .get(before)
                    .is_some_and(|w| w.number.is_some() && w.sign == 0)
            {
                from = before;
            }
            any |= found.from > 0 && found.to < words.len();
            for word in words.get_mut(from..found.to).unwrap_or(&mut []) {
                word.club = true;
            }
        }
        if !any {
            let clubs = self.clubs_inside(words, &first, hand);
            return with_clubs(first, clubs);
        }
        let all = self.matches_once(words, hand);
        let inner: Vec<Match> = first
            .into_iter()
            .filter(|club| words.get(club.from).is_some_and(|w| w.club))
            .filter(|club| {
                all.iter()
                    .any(|m| m.from < club.from && club.to < m.to && m.entry != club.entry)
            })
            .collect();
        let mut clubs = self.clubs_inside(words, &all, hand);
        clubs.retain(|club| !inner.iter().any(|m| (m.from, m.to) == (club.from, club.to)));
        clubs.extend(inner);
        with_clubs(all, clubs)
    }

    /// Clubs named by the words of a symptom: "driver bounces off the turf" tells of the driver.
    fn clubs_inside(&self, words: &[Word], matches: &[Match], hand: Hand) -> Vec<Match> {
        let long = matches
            .iter()
            .filter(|m| m.words >= 3 && matches!(self.meaning(m), Some(Meaning::Symptoms(_))));
        let mut out: Vec<Match> = Vec::new();
        for found in long {
            let mut at = found.from;
            while at < found.to {
                let mut search = Search {
                    phrases: self,
                    words,
                    hand,
                    from: at,
                    best: None,
                    clubs_only: true,
                };
                search.walk(0, at, Step::START);
                match search.best.filter(|club| club.to <= found.to) {
                    Some(club) => {
                        at = club.to.max(at + 1);
                        out.push(club);
                    }
                    None => at += 1,
                }
            }
        }
        out
    }

    fn matches_once(&self, words: &[Word], hand: Hand) -> Vec<Match> {
        let mut all: Vec<Option<Match>> = Vec::with_capacity(words.len());
        for from in 0..words.len() {
            all.push(self.longest(words, from, hand));
        }
        let mut out = Vec::new();
        let mut from = 0;
        while from < words.len() {
            let Some(found) = all.get(from).copied().flatten() else {
                from += 1;
                continue;
            };
            let beaten = (from + 1..found.to).find(|later| {
                all.get(*later).copied().flatten().is_some_and(|other| {
                    // "Face 1 left, left-handed": a hand keeps its words.
                    let hand = matches!(self.meaning(&other), Some(Meaning::Hand(_)));
                    let longer = other.words > found.words || hand && other.words > 1;
                    longer && other.to > found.to
                })
            });
            // A shorter one may leave the longer one its words: "wedge" before "digs in and stays".
            let kept = match beaten {
                Some(later) => self.longest(words.get(..later).unwrap_or(&[]), from, hand),
                None => Some(found),
            };
            match kept {
                Some(found) => {
                    from = found.to;
                    out.push(found);
                }
                None => from += 1,
            }
        }
        out
    }

    /// The longest phrase that starts at a word.
    fn longest(&self, words: &[Word], from: usize, hand: Hand) -> Option<Match> {
        let word = words.get(from)?;
        let letters = self.after_a_number(words, from);
        // The i of "7i swing direction" begins no "I swing".
        let of_a_number = from.checked_sub(1).and_then(|i| words.get(i));
        let of_a_number = of_a_number.is_some_and(|w| w.number.is_some());
        let club_letter = word.glued
            && of_a_number
            && word.symbol.is_some()
            && word.symbol == self.vocabulary.get("i");
        let words = if club_letter {
            words.get(..=from)?
        } else {
            words
        };
        if word.mark == Some(Mark::Hyphen) {
            return None;
        }
        let mut search = Search {
            phrases: self,
            words,
            hand,
            from,
            best: None,
            clubs_only: false,
        };
        search.walk(0, from, Step::START);
        // "Three in a row": a phrase of several words beats the letters for inches.
        match (letters, search.best) {
            (Some(letters), Some(best)) if best.words < 2 => Some(letters),
            (letters, best) => best.or(letters),
        }
    }

    /// Letters that count only after a number.
    fn after_a_number(&self, words: &[Word], at: usize) -> Option<Match> {
        let before = words.get(at.checked_sub(1)?)?;
        let word = words.get(at)?;
        let symbol = word.symbol?;
        before.number?;
        // "A fat one in weeks" is no inch.
        if before.spelt && !word.glued {
            return None;
        }
        let counts_on = words.get(at + 1).is_some_and(|next| next.number.is_some());
        let glued = word.glued.then(|| self.glued.get(&symbol)).flatten();
        let after = self
            .after_number
            .get(&symbol)
            .filter(|_| word.glued || !counts_on);
        let entry = *glued.or(after)?;
        Some(Match {
            entry,
            from: at,
            to: at + 1,
            words: 1,
            exact: true,
            sided: false,
            denied: false,
        })
    }
}

/// Adds names of clubs in their places.
fn with_clubs(mut all: Vec<Match>, clubs: Vec<Match>) -> Vec<Match> {
    if !clubs.is_empty() {
        all.extend(clubs);
        all.sort_by_key(|m| (m.from, std::cmp::Reverse(m.to)));
    }
    all
}

/// How a walk down the tree came to where it is.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each says one thing about the way, in any mixture"
)]
#[derive(Debug, Clone, Copy)]
struct Step {
    depth: usize,
    skipped: usize,
    exact: bool,
    sided: bool,
    denied: bool,
    /// Where it stretched over a denial.
    denied_at: usize,
    /// The phrase stretched over words of a club's name.
    over_club: bool,
    /// The phrase has words of a club's name among its own.
    ate_club: bool,
}

impl Step {
    const START: Self = Self {
        depth: 0,
        skipped: 0,
        exact: true,
        sided: false,
        denied: false,
        denied_at: 0,
        over_club: false,
        ate_club: false,
    };

    const fn onward(self, exact: bool) -> Self {
        Self {
            depth: self.depth + 1,
            skipped: 0,
            exact: self.exact && exact,
            sided: self.sided,
            denied: self.denied,
            denied_at: self.denied_at,
            over_club: self.over_club,
            ate_club: self.ate_club,
        }
    }

    const fn to_side(self) -> Self {
        Self {
            sided: true,
            ..self.onward(true)
        }
    }

    const fn skipping(self) -> Self {
        Self {
            skipped: self.skipped + 1,
            ..self
        }
    }
}

/// A walk down the tree from one word.
struct Search<'a> {
    phrases: &'a Phrases,
    words: &'a [Word],
    hand: Hand,
    from: usize,
    best: Option<Match>,
    /// Only names of clubs count.
    clubs_only: bool,
}

impl Search<'_> {
    /// True if a phrase goes on after a comma: "one off the heel, next off the toe". The first two
    /// words must stand before it, unless the next one is "then" or "and". A run of sides goes on as
    /// well: "right, right, left", "6 of 10 right, 4 left".
    fn goes_on(&self, node: u32, depth: usize, at: usize) -> bool {
        let side = |i: usize| self.words.get(i).is_some_and(|w| w.side.is_some());
        let number = self.words.get(at).is_some_and(|w| w.number.is_some());
        if at.checked_sub(2).is_some_and(side) && (side(at) || number) {
            return true;
        }
        let next = self.words.get(at).and_then(|w| w.symbol);
        next.is_some_and(|symbol| {
            (depth >= 2 || self.phrases.is_joint(symbol))
                && self.phrases.tree.step(node, symbol).is_some()
        })
    }

    /// True if there is a telling on either side of a denial: "I don't chunk it and I don't blade it" is
    /// no "chunk and blade".
    fn two_tellings(&self, denial: usize, to: usize) -> bool {
        let tells = |from: usize, to: usize| {
            let words = self.words.get(..to).unwrap_or(&[]);
            let mut found = (from..to).filter(|at| words.get(*at).is_some_and(|w| !w.filler));
            let first = found
                .next()
                .and_then(|at| self.phrases.longest(words, at, self.hand));
            let entry = first.and_then(|m| self.phrases.entry(m.entry));
            entry.is_some_and(|e| matches!(e.meaning, Meaning::Symptoms(_)))
        };
        tells(self.from, denial) && tells(denial + 1, to)
    }

    fn walk(&mut self, node: u32, at: usize, step: Step) {
        let Step {
            depth,
            skipped,
            exact,
            sided,
            denied,
            denied_at,
            over_club,
            ate_club,
        } = step;
        if skipped == 0
            && let Some(entry) = self.phrases.tree.end(node)
            && self.phrases.entry(entry).is_some_and(|e| {
                let stretched = over_club || denied;
                (!self.clubs_only || is_club(&e.meaning))
                    && (exact || !e.only_exact())
                    && (!stretched || e.tells())
                    && !(over_club && ate_club)
                    && !(denied && e.tells() && self.two_tellings(denied_at, at))
            })
        {
            let better = self
                .best
                .is_none_or(|best| (depth, at, exact) > (best.words, best.to, best.exact));
            if better {
                self.best = Some(Match {
                    entry,
                    from: self.from,
                    to: at,
                    words: depth,
                    exact,
                    sided,
                    denied,
                });
            }
        }
        if depth == LONGEST {
            return;
        }
        let Some(word) = self.words.get(at) else {
            return;
        };
        let before = step;
        let step = Step {
            ate_club: ate_club || word.club,
            ..step
        };
        // "Thin my chips and chunk my pitches" are two things: nothing joins on after a club.
        let joins = word.symbol.is_some_and(|s| self.phrases.is_joint(s));
        let on_club = at.checked_sub(1).and_then(|i| self.words.get(i));
        if joins && skipped > 0 && on_club.is_some_and(|w| w.club) {
            return;
        }
        if let Some(next) = word.symbol.and_then(|s| self.phrases.tree.step(node, s)) {
            self.walk(next, at + 1, step.onward(true));
        }
        for symbol in &word.stems {
            if let Some(next) = self.phrases.tree.step(node, *symbol) {
                self.walk(next, at + 1, step.onward(false));
            }
        }
        if let Some(right) = word.side {
            let push = right == (self.hand == Hand::Right);
            let symbol = if push { PUSH } else { PULL };
            if let Some(next) = self.phrases.tree.step(node, symbol) {
                self.walk(next, at + 1, step.to_side());
            }
        }
        if word.number.is_some()
            && let Some(next) = self.phrases.tree.step(node, NUMBER)
        {
            self.walk(next, at + 1, step.onward(true));
        }
        if depth == 0 {
            return;
        }
        // Nor over a club after a joint: "fat and 3 wood topped".
        let joined = || {
            let mut before = (self.from..at).rev().filter_map(|i| self.words.get(i));
            let last =
                before.find(|w| !w.filler || w.symbol.is_some_and(|s| self.phrases.is_joint(s)));
            last.and_then(|w| w.symbol)
                .is_some_and(|s| self.phrases.is_joint(s))
        };
        if (word.filler || word.club) && skipped < STRETCH && !(word.club && joined()) {
            let step = Step {
                over_club: over_club || word.club,
                ..before.skipping()
            };
            self.walk(node, at + 1, step);
        }
        if word.mark == Some(Mark::Comma) && self.goes_on(node, depth, at + 1) {
            self.walk(node, at + 1, before.skipping());
        }
        // "Feels like nothing, like a wet sponge": the nothing is what it feels like.
        let before_it = at.checked_sub(1).and_then(|i| self.words.get(i)?.symbol);
        let named = |symbol: Option<Symbol>, name: &str| {
            symbol.is_some_and(|s| self.phrases.vocabulary.name(s) == name)
        };
        let felt = named(word.symbol, "nothing") && named(before_it, "like");
        if word.denies && !denied && !felt && skipped < STRETCH {
            let step = Step {
                denied: true,
                denied_at: at,
                ..before.skipping()
            };
            self.walk(node, at + 1, step);
        }
    }
}
