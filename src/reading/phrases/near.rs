//! Which loose groups of words stand in a line? "My head goes a good four inches off the ball" and
//! "going back the head moves away" say one thing in words that no list of phrases holds.
//!
//! An entry may give lists of words; where one word of each list stands close together in one
//! clause, in any order, the entry is said. Of two entries whose words lie in the same place the one with
//! more lists is kept. Linear in the words of the line: each word knows the lists it is in.
//!
//! Not known here: whether it is denied, and of whom it is said.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{NUMBER, PULL, PUSH, Phrases, Symbol, Word};
use crate::knowledge::lexicon::Meaning;
use crate::reading::clauses::Line;
use crate::reading::letters::Mark;
use crate::vocabulary::Hand;

/// Words between the first and the last of a group at most, fillers not counted (elicited).
const STRETCH: usize = 9;

/// Lists of one entry at most.
pub(super) const MOST_LISTS: usize = crate::knowledge::lexicon::MOST_LISTS;

/// Place of a word that an entry must not hold.
const LACKS: u8 = u8::MAX;

/// What the entries of a set of bags tell of.
#[derive(Debug, Clone, Copy)]
enum Of {
    Shots,
    Circumstances,
}

/// The entries with lists, by word.
#[derive(Debug, Clone, Default)]
pub(super) struct Bags {
    bags: Vec<Bag>,
    by_word: BTreeMap<Symbol, Vec<(u16, u8)>>,
}

#[derive(Debug, Clone)]
struct Bag {
    entry: u16,
    lists: usize,
    across: bool,
    exact: bool,
    paired: bool,
}

/// A group of words found: the entry and the places of its words, in order of the line.
#[derive(Debug, Clone)]
pub(in crate::reading) struct WordGroup {
    pub(in crate::reading) entry: u16,
    pub(in crate::reading) places: Vec<usize>,
}

/// The words of one entry met so far.
#[derive(Debug, Clone, Copy)]
struct Met {
    at: [usize; MOST_LISTS],
    lacks: usize,
}

const NOWHERE: usize = usize::MAX;

impl Phrases {
    /// Enters the lists of all entries.
    pub(super) fn gather_near(&mut self) {
        let lexicon = Arc::clone(&self.lexicon);
        for (entry, place) in lexicon.entries.iter().zip(0u16..) {
            if entry.near.is_empty() || entry.near.len() > MOST_LISTS {
                continue;
            }
            let bags = match entry.meaning {
                Meaning::Circumstance { .. } | Meaning::Mood(_) => Of::Circumstances,
                _ => Of::Shots,
            };
            let bag = self.bags(bags).bags.len() as u16;
            let lists = entry.near.iter().zip(0u8..);
            for (words, list) in lists.chain([(&entry.lacks, LACKS)]) {
                for word in words {
                    let Some(symbol) = self.phrase_symbols(word).first().copied() else {
                        continue;
                    };
                    let known = self.bags_mut(bags).by_word.entry(symbol).or_default();
                    if !known.contains(&(bag, list)) {
                        known.push((bag, list));
                    }
                }
            }
            self.bags_mut(bags).bags.push(Bag {
                entry: place,
                lists: entry.near.len(),
                across: entry.across,
                exact: entry.exact,
                paired: entry.paired,
            });
        }
    }

    fn bags(&self, of: Of) -> &Bags {
        match of {
            Of::Shots => &self.near,
            Of::Circumstances => &self.circumstances,
        }
    }

    fn bags_mut(&mut self, of: Of) -> &mut Bags {
        match of {
            Of::Shots => &mut self.near,
            Of::Circumstances => &mut self.circumstances,
        }
    }

    /// The groups of words of a line, those with most lists first among equals in place.
    pub(in crate::reading) fn groups_of_words(
        &self,
        line: &Line<'_>,
        hand: Hand,
    ) -> Vec<WordGroup> {
        only_the_fullest(self.near.met(line, hand))
    }

    /// The circumstances of a line and how they are spoken of, in order of their last words.
    pub(in crate::reading) fn circumstances(&self, line: &Line<'_>, hand: Hand) -> Vec<WordGroup> {
        self.circumstances.met(line, hand)
    }
}

impl Bags {
    /// The lists of an entry that a word is in.
    fn lists_of(&self, symbol: Symbol, bag: u16) -> impl Iterator<Item = u8> + '_ {
        let all = self.by_word.get(&symbol).into_iter().flatten();
        all.filter(move |(b, list)| *b == bag && *list != LACKS)
            .map(|(_, list)| *list)
    }

    /// The groups of words of a line, whole or part of others.
    fn met(&self, line: &Line<'_>, hand: Hand) -> Vec<WordGroup> {
        let empty = Met {
            at: [NOWHERE; MOST_LISTS],
            lacks: NOWHERE,
        };
        let mut met: BTreeMap<u16, Met> = BTreeMap::new();
        let mut out: Vec<WordGroup> = Vec::new();
        let stretch = stretches(line);
        // Words that are no fillers, counted up to each place.
        let mut weighty = Vec::with_capacity(line.words.len());
        let mut count = 0;
        let mut parts = Vec::with_capacity(line.words.len());
        let mut part = 0;
        for word in &line.words {
            weighty.push(count);
            count += usize::from(!word.filler && word.mark.is_none());
            part += usize::from(word.mark.is_some_and(|m| m != Mark::Hyphen));
            parts.push(part);
        }
        for (at, word) in line.words.iter().enumerate() {
            for (symbol, exact) in symbols(word, hand) {
                for &(bag, list) in self.by_word.get(&symbol).into_iter().flatten() {
                    let Some(of) = self.bags.get(usize::from(bag)) else {
                        continue;
                    };
                    if of.exact && !exact {
                        continue;
                    }
                    let found = met.entry(bag).or_insert(empty);
                    let close = |place: usize| {
                        place != NOWHERE
                            && stretch.get(place) == stretch.get(at)
                            && (of.across || parts.get(place) == parts.get(at))
                            && weighty
                                .get(at)
                                .zip(weighty.get(place))
                                .is_some_and(|(now, then)| now - then <= STRETCH)
                    };
                    if list == LACKS {
                        found.lacks = at;
                        continue;
                    }
                    let slots = found.at.get_mut(..of.lists).unwrap_or(&mut []);
                    for slot in slots.iter_mut() {
                        if !close(*slot) {
                            *slot = NOWHERE;
                        }
                    }
                    // One word stands for one list only, and for an empty one if it can.
                    if slots.contains(&at) {
                        continue;
                    }
                    let empty_elsewhere = self.lists_of(symbol, bag).any(|other| {
                        other != list && slots.get(usize::from(other)) == Some(&NOWHERE)
                    });
                    match slots.get_mut(usize::from(list)) {
                        Some(slot) if *slot == NOWHERE || !empty_elsewhere => *slot = at,
                        _ => continue,
                    }
                    if slots.contains(&NOWHERE) {
                        continue;
                    }
                    let mut places = slots.to_vec();
                    places.sort_unstable();
                    let from = places.first().copied().unwrap_or(at);
                    if found.lacks != NOWHERE && found.lacks >= from.saturating_sub(3) {
                        continue;
                    }
                    if of.paired && !each_with_its_own(slots) {
                        continue;
                    }
                    let entry = of.entry;
                    *found = empty;
                    out.push(WordGroup { entry, places });
                }
            }
        }
        out
    }
}

/// Words at the head of a sentence that a colon or an equals sign may follow.
const HEAD: usize = 5;

/// The sentence of each word, where sentences that each have a head go together: "Range: butter.
/// Course: garbage."
fn stretches(line: &Line<'_>) -> Vec<usize> {
    let mut out = Vec::with_capacity(line.words.len());
    let (mut stretch, mut headed) = (0, false);
    let mut at = 0;
    while at < line.words.len() {
        let sentence = line.sentence.get(at);
        let end = line.sentence.partition_point(|s| Some(s) <= sentence);
        let mark = (at..end.min(at + HEAD)).find_map(|i| line.words.get(i).and_then(|w| w.mark));
        let head = matches!(mark, Some(Mark::Colon | Mark::Equals | Mark::Dash));
        if at > 0 && !(head && headed) {
            stretch += 1;
        }
        headed = head;
        out.extend(std::iter::repeat_n(stretch, end - at));
        at = end;
    }
    out
}

/// True if the words of the first two lists stand nearer each other, and those of the second two,
/// than they would crossed: "great on the range, awful on the course" is not "great on the course,
/// awful on the range".
fn each_with_its_own(slots: &[usize]) -> bool {
    let [place, said, other_place, other_said, ..] = *slots else {
        return true;
    };
    let own = said.abs_diff(place) + other_said.abs_diff(other_place);
    own <= other_said.abs_diff(place) + said.abs_diff(other_place)
}

/// The symbols a word stands for, and whether it was written so.
fn symbols(word: &Word, hand: Hand) -> impl Iterator<Item = (Symbol, bool)> + '_ {
    let side = word.side.map(|right| {
        let push = right == (hand == Hand::Right);
        (if push { PUSH } else { PULL }, true)
    });
    word.symbol
        .map(|s| (s, true))
        .into_iter()
        .chain(word.stems.iter().map(|s| (*s, false)))
        .chain(side)
        .chain(word.number.map(|_| (NUMBER, true)))
}

/// A group whose words all belong to another one with more words says nothing of its own.
fn only_the_fullest(groups: Vec<WordGroup>) -> Vec<WordGroup> {
    let mut kept: Vec<WordGroup> = Vec::with_capacity(groups.len());
    for group in groups {
        let near = kept.len().saturating_sub(8);
        let within = |a: &WordGroup, b: &WordGroup| {
            a.places.len() < b.places.len() && a.places.iter().all(|p| b.places.contains(p))
        };
        let recent = kept.get(near..).unwrap_or(&[]);
        if recent.iter().any(|k| within(&group, k)) {
            continue;
        }
        let mut place = 0;
        kept.retain(|k| {
            place += 1;
            place <= near || !within(k, &group)
        });
        kept.push(group);
    }
    kept
}
