//! Which phrases of the lexicon stand where? A compiled lexicon and the search for its phrases.
//!
//! Phrases are kept in a tree of words. A word of the line stands for itself, for words of the
//! lexicon with the same stem ("sliced" for "slices"), for its number, and, if it is left or
//! right, for the push or the pull side of the hand assumed. Filler words ("the", "really") may
//! stand inside any phrase and are left out of phrases that have two other words.
//!
//! Invariant: matches are in the order of the line and do not overlap, but for names of clubs that
//! a phrase stretches over; where phrases overlap the one with more words is taken, then the
//! earlier. Linear in the number of words, because phrases are short.

mod asked;
mod near;
mod search;
mod spoken;
mod tree;

pub(super) use near::WordGroup;

use std::collections::BTreeMap;
use std::sync::Arc;

use tree::{Growing, Tree};

use super::Span;
use super::letters::{self, Kind, Mark};
use super::spelling::Vocabulary;
use crate::knowledge::lexicon::{Choices, Entry, Lexicon, Meaning, QuantityWords, Role, choices};
use crate::vocabulary::QuantityId;

/// A word of the vocabulary as a small number.
pub(super) type Symbol = u32;

/// Stands for the push side in phrases.
const PUSH: Symbol = 0;
/// Stands for the pull side in phrases.
const PULL: Symbol = 1;
/// Stands for any number in phrases.
const NUMBER: Symbol = 2;
/// Words of one phrase at most; longer ones are cut by the search.
const LONGEST: usize = 12;
/// Fillers in a row that a phrase may be stretched by.
const STRETCH: usize = 3;

/// A compiled lexicon: made once, then read from.
#[derive(Debug, Clone)]
pub struct Phrases {
    pub(super) lexicon: Arc<Lexicon>,
    pub(super) vocabulary: Vocabulary,
    tree: Tree,
    glued: BTreeMap<Symbol, u16>,
    after_number: BTreeMap<Symbol, u16>,
    /// Symbols of words that may stand inside any phrase.
    filler: Vec<bool>,
    /// Symbols of fillers that phrases can spare.
    spare: Vec<bool>,
    /// Symbols of single words that deny.
    denials: Vec<bool>,
    /// Symbols of single words that join ("then", "and").
    joints: Vec<bool>,
    /// Symbols of single words that a club's number may follow ("with", "than").
    before_clubs: Vec<bool>,
    /// Phrases that another entry says already, once fillers are left out.
    taken: Vec<(u16, String)>,
    /// Numbers said by one word, by symbol.
    numbers: BTreeMap<Symbol, f64>,
    /// Entries that name quantities.
    quantities: Vec<u16>,
    /// The entry whose numbers a bare number means (the first: irons).
    numbered: Option<u16>,
    lofts: Option<u16>,
    /// Entries of symptoms that together mean more.
    together: Vec<u16>,
    /// Words read as one other word: pairs first, then single words.
    same: Vec<(Vec<Symbol>, Symbol)>,
    /// First words of those.
    merging: Vec<bool>,
    /// Their places by first word, in order.
    same_from: BTreeMap<Symbol, Vec<usize>>,
    /// Left (false) or right (true).
    sides: BTreeMap<Symbol, bool>,
    /// The same for letters that count only after a number ("10 R").
    sides_after_number: BTreeMap<Symbol, bool>,
    /// Words that lie near each other.
    near: near::Bags,
    /// Circumstances and how they are spoken of.
    circumstances: near::Bags,
}

/// One word or mark of the line, after words are made plain.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each says one thing about how the word was written"
)]
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Word {
    pub(super) span: Span,
    pub(super) glued: bool,
    /// The word in the vocabulary, if it is there or was mended into it.
    pub(super) symbol: Option<Symbol>,
    /// Words of the vocabulary with the same stem.
    pub(super) stems: Vec<Symbol>,
    /// A number, from digits or from a number word, with its sign.
    pub(super) number: Option<f64>,
    /// Sign written: -1, 0, +1.
    pub(super) sign: i8,
    /// Number said in letters.
    pub(super) spelt: bool,
    pub(super) comma: bool,
    pub(super) mark: Option<Mark>,
    /// True for right, false for left.
    pub(super) side: Option<bool>,
    pub(super) filler: bool,
    /// Part of a club's name; phrases may stretch over it.
    pub(super) club: bool,
    pub(super) denies: bool,
}

/// A phrase found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Match {
    pub(super) entry: u16,
    /// First word.
    pub(super) from: usize,
    /// One past the last word.
    pub(super) to: usize,
    /// Words of the phrase (fillers inside not counted).
    pub(super) words: usize,
    /// Every word was written as in the lexicon.
    pub(super) exact: bool,
    /// A left or right was turned into a side.
    pub(super) sided: bool,
    /// A negation stands inside the phrase ("divot isn't behind the ball").
    pub(super) denied: bool,
}

impl Phrases {
    /// Compiles a lexicon; takes milliseconds, so do it once.
    pub fn compile(lexicon: &Arc<Lexicon>) -> Self {
        let mut out = Self {
            lexicon: Arc::clone(lexicon),
            vocabulary: Vocabulary::default(),
            tree: Tree::default(),
            glued: BTreeMap::new(),
            after_number: BTreeMap::new(),
            filler: Vec::new(),
            spare: Vec::new(),
            denials: Vec::new(),
            joints: Vec::new(),
            before_clubs: Vec::new(),
            merging: Vec::new(),
            taken: Vec::new(),
            numbers: BTreeMap::new(),
            quantities: Vec::new(),
            numbered: None,
            lofts: None,
            together: Vec::new(),
            same: Vec::new(),
            same_from: BTreeMap::new(),
            sides: BTreeMap::new(),
            sides_after_number: BTreeMap::new(),
            near: near::Bags::default(),
            circumstances: near::Bags::default(),
        };
        for reserved in ["{push}", "{pull}", "{n}"] {
            out.vocabulary.intern(reserved);
        }
        out.learn_single_words();
        let mut tree = Growing::default();
        let meaning_first = |way: bool| {
            lexicon
                .entries
                .iter()
                .zip(0u16..)
                .filter(move |(entry, _)| entry.gives_way() == way)
        };
        for (entry, place) in meaning_first(false).chain(meaning_first(true)) {
            out.add_entry(entry, place, &mut tree);
        }
        out.tree = tree.laid_out();
        out.gather_near();
        for (entry, place) in lexicon.entries.iter().zip(0u16..) {
            match entry.meaning {
                Meaning::Quantity(_) => out.quantities.push(place),
                Meaning::Numbered { .. } => out.numbered = out.numbered.or(Some(place)),
                Meaning::Lofts(_) => out.lofts = out.lofts.or(Some(place)),
                Meaning::Together { .. } => out.together.push(place),
                _ => {}
            }
        }
        out.vocabulary.finish();
        out
    }

    /// The words of a phrase: which phrasing of the entry, and which of its choices.
    fn written(entry: &Entry, (phrasing, choice): (usize, usize)) -> String {
        let says = entry.says.get(phrasing);
        let all = says.map_or_else(Vec::new, |says| choices(says));
        all.into_iter().nth(choice).unwrap_or_default()
    }

    /// Fillers, number words, merged words and sides must be known before phrases are cut.
    fn learn_single_words(&mut self) {
        let lexicon = Arc::clone(&self.lexicon);
        for entry in &lexicon.entries {
            let single = matches!(
                entry.meaning,
                Meaning::Word(_) | Meaning::Number(_) | Meaning::Side { .. } | Meaning::SameAs(_)
            );
            if !single {
                continue;
            }
            for says in &entry.phrases().collect::<Vec<_>>() {
                match &entry.meaning {
                    Meaning::Word(
                        role @ (Role::Filler | Role::Loose | Role::ClubFollows | Role::Only),
                    ) if !says.contains(' ') => {
                        let symbol = self.vocabulary.intern(&plain(says));
                        set(&mut self.filler, symbol);
                        if *role == Role::Filler {
                            set(&mut self.spare, symbol);
                        }
                    }
                    Meaning::Word(Role::Not) if !says.contains(' ') => {
                        let symbol = self.vocabulary.intern(&plain(says));
                        set(&mut self.denials, symbol);
                    }
                    Meaning::Word(Role::ClubMayFollow) => {
                        let symbol = self.vocabulary.intern(&plain(says));
                        set(&mut self.before_clubs, symbol);
                    }
                    Meaning::Word(Role::And) if !says.contains(' ') => {
                        let symbol = self.vocabulary.intern(&plain(says));
                        set(&mut self.joints, symbol);
                    }
                    Meaning::Number(value) if !says.contains(' ') => {
                        let symbol = self.vocabulary.intern(&plain(says));
                        self.numbers.insert(symbol, *value);
                    }
                    Meaning::Side { right } if !says.contains(' ') => {
                        let symbol = self.vocabulary.intern(&plain(says));
                        self.sides.insert(symbol, *right);
                    }
                    Meaning::SameAs(word) => {
                        let to = self.vocabulary.intern(&plain(word));
                        let from = says
                            .split(' ')
                            .map(|w| self.vocabulary.intern(&plain(w)))
                            .collect();
                        self.same.push((from, to));
                    }
                    _ => {}
                }
            }
        }
        self.same
            .sort_by_key(|(from, _)| std::cmp::Reverse(from.len()));
        for (place, (from, _)) in self.same.iter().enumerate() {
            if let Some(first) = from.first() {
                set(&mut self.merging, *first);
                self.same_from.entry(*first).or_default().push(place);
            }
        }
    }

    fn is_filler(&self, symbol: Symbol) -> bool {
        is_set(&self.filler, symbol)
    }

    fn is_joint(&self, symbol: Symbol) -> bool {
        is_set(&self.joints, symbol)
    }

    fn is_spare(&self, symbol: Symbol) -> bool {
        is_set(&self.spare, symbol)
    }

    /// Phrases that can never be found because another entry says the same once the words that
    /// can be spared are left out: text id of the entry, and the phrase.
    pub fn shadowed(&self) -> impl Iterator<Item = (&str, &str)> {
        self.taken
            .iter()
            .filter_map(|(place, says)| Some((self.entry(*place)?.id.as_str(), says.as_str())))
    }

    fn add_entry(&mut self, entry: &Entry, place: u16, tree: &mut Growing) {
        for says in &entry.glued {
            let symbol = self.vocabulary.intern(&plain(says));
            self.glued.insert(symbol, place);
        }
        for says in &entry.after_number {
            let symbol = self.vocabulary.intern(&plain(says));
            match entry.meaning {
                Meaning::Side { right } => {
                    self.sides_after_number.insert(symbol, right);
                }
                _ => {
                    self.after_number.insert(symbol, place);
                }
            }
        }
        let elsewhere = matches!(
            entry.meaning,
            Meaning::SameAs(_) | Meaning::Side { .. } | Meaning::Word(Role::ClubMayFollow)
        );
        if elsewhere {
            return;
        }
        let ordinary = matches!(entry.meaning, Meaning::Word(Role::Plain));
        let mut symbols: Vec<Symbol> = Vec::new();
        let mut choices: Choices<Symbol> = Choices::default();
        for (at, says) in entry.says.iter().enumerate() {
            choices.read(says, |word, out| self.symbols_of(word, out));
            if ordinary {
                continue;
            }
            choices.each_list(|number, units| {
                symbols.clear();
                symbols.extend_from_slice(units);
                self.settle(&mut symbols);
                self.vocabulary.mark_in_phrase(&symbols);
                let single = symbols.len() == 1
                    && matches!(entry.meaning, Meaning::Often(_) | Meaning::Severity(_));
                if single && let Some(symbol) = symbols.first() {
                    set(&mut self.filler, *symbol);
                }
                // Of two entries with one phrase the first in rank keeps it.
                if tree.add(&symbols, place).is_some() && !entry.gives_way() {
                    let says = Self::written(entry, (at, number));
                    self.taken.push((place, says));
                }
            });
        }
    }

    /// The symbols of a phrase without choices, without the fillers it can spare.
    fn phrase_symbols(&mut self, says: &str) -> Vec<Symbol> {
        let mut symbols = Vec::new();
        for word in says.split(' ') {
            self.symbols_of(word, &mut symbols);
        }
        self.settle(&mut symbols);
        symbols
    }

    /// The symbols of a word as written.
    fn symbols_of(&mut self, word: &str, symbols: &mut Vec<Symbol>) {
        match word {
            "{push}" | "{trail}" => symbols.push(PUSH),
            "{pull}" | "{lead}" => symbols.push(PULL),
            "{n}" => symbols.push(NUMBER),
            _ if word.bytes().all(|b| b.is_ascii_lowercase()) => {
                symbols.push(self.vocabulary.intern(word));
            }
            _ => {
                let cut = letters::cut(word);
                for token in &cut.tokens {
                    let text = match token.kind {
                        Kind::Word(..) => cut.word(token).to_owned(),
                        Kind::Number(value) => format!("{value}"),
                        Kind::Mark(Mark::Hyphen) => continue,
                        Kind::Mark(_) => token.span.of(word).to_owned(),
                    };
                    symbols.push(self.vocabulary.intern(&text));
                }
            }
        }
    }

    /// Merges words that are read as one, and leaves out the fillers a phrase can spare.
    fn settle(&self, symbols: &mut Vec<Symbol>) {
        self.merge_symbols(symbols);
        // A spare word at the end stays: "coming over it" is not "coming over".
        let weighty = symbols.iter().filter(|s| !self.is_filler(**s)).count();
        if weighty >= 2
            && let Some(last) = symbols.pop()
        {
            symbols.retain(|s| !self.is_spare(*s));
            symbols.push(last);
        }
    }

    /// Each pair or word that is read as another, in their order.
    fn merge_symbols(&self, symbols: &mut Vec<Symbol>) {
        let mut done = 0;
        loop {
            let firsts = symbols.iter().filter(|s| is_set(&self.merging, **s));
            let places = firsts.filter_map(|s| self.same_from.get(s)).flatten();
            let Some(place) = places.copied().filter(|place| *place >= done).min() else {
                return;
            };
            done = place + 1;
            let Some((from, to)) = self.same.get(place) else {
                return;
            };
            let mut at = 0;
            while at + from.len() <= symbols.len() {
                if symbols.get(at..at + from.len()) == Some(from) {
                    symbols.splice(at..at + from.len(), [*to]);
                }
                at += 1;
            }
        }
    }

    /// The entry at a place.
    pub(super) fn entry(&self, place: u16) -> Option<&Entry> {
        self.lexicon.entries.get(usize::from(place))
    }

    /// How a quantity is said.
    pub(super) fn quantity_words(&self, quantity: QuantityId) -> Option<&QuantityWords> {
        self.quantities()
            .find_map(|(words, _)| (words.quantity == quantity).then_some(words))
    }

    /// Every way to say a quantity, with its weight.
    pub(super) fn quantities(&self) -> impl Iterator<Item = (&QuantityWords, f64)> {
        self.quantities.iter().filter_map(|place| {
            let entry = self.entry(*place)?;
            match &entry.meaning {
                Meaning::Quantity(words) => Some((words, entry.weight)),
                _ => None,
            }
        })
    }

    /// The clubs that bare numbers mean, irons first, then wedges by loft.
    pub(super) fn bare_clubs(&self) -> [Option<&Meaning>; 2] {
        [self.numbered, self.lofts]
            .map(|place| place.and_then(|p| self.entry(p)).map(|e| &e.meaning))
    }

    /// Symptoms that together mean more.
    pub(super) fn together(&self) -> impl Iterator<Item = &Meaning> {
        self.together
            .iter()
            .filter_map(|place| self.entry(*place).map(|e| &e.meaning))
    }

    /// True for a word that a club's number may follow.
    pub(super) fn may_lead_to_club(&self, symbol: Option<Symbol>) -> bool {
        symbol.is_some_and(|symbol| is_set(&self.before_clubs, symbol))
    }

    /// True for a word that means something by itself, such as the name of a club.
    pub fn knows(&self, word: &str) -> bool {
        let symbol = self.vocabulary.get(word);
        symbol.is_some_and(|s| self.alone(s).is_some())
    }

    /// True for a letter that makes a club of a number written onto it ("i7").
    pub(super) fn is_club_letter(&self, symbol: Option<Symbol>) -> bool {
        symbol
            .and_then(|s| self.glued.get(&s))
            .and_then(|place| self.entry(*place))
            .is_some_and(|e| matches!(e.meaning, Meaning::Numbered { .. }))
    }

    /// What a match means.
    pub(super) fn meaning(&self, found: &Match) -> Option<&Meaning> {
        self.entry(found.entry).map(|entry| &entry.meaning)
    }

    /// Makes words of a cut line: contractions and number words made plain, spelling mended.
    pub(super) fn words(&self, line: &str) -> (Vec<Word>, Vec<(Span, Symbol)>) {
        let cut = letters::cut(line);
        let mut words = Vec::with_capacity(cut.tokens.len());
        let mut mended = Vec::new();
        for token in &cut.tokens {
            let mut word = Word {
                span: token.span,
                glued: token.glued,
                symbol: None,
                stems: Vec::new(),
                number: None,
                sign: token.sign,
                spelt: false,
                comma: token.comma,
                mark: None,
                side: None,
                filler: false,
                club: false,
                denies: false,
            };
            match token.kind {
                Kind::Number(value) => {
                    word.number = Some(if token.sign < 0 { -value } else { value });
                    if token.sign == 0 && value < 1e6 {
                        word.symbol = self.vocabulary.get(&format!("{value}"));
                    }
                }
                Kind::Mark(mark) => {
                    word.mark = Some(mark);
                    word.symbol = self.vocabulary.get(token.span.of(line));
                    word.filler = mark == Mark::Hyphen;
                }
                Kind::Word(..) => {
                    let text = cut.word(token);
                    let look = self.vocabulary.look_up(text);
                    word.symbol = look.symbol;
                    word.stems = look.stems;
                    if look.mended
                        && let Some(symbol) = word.symbol.or(word.stems.first().copied())
                    {
                        mended.push((token.span, symbol));
                    }
                }
            }
            words.push(word);
        }
        self.merge_words(&mut words);
        let mut after_number = false;
        for word in &mut words {
            if let Some(symbol) = word.symbol {
                word.filler = word.filler || self.is_filler(symbol);
                word.denies = is_set(&self.denials, symbol);
                word.side = self.sides.get(&symbol).copied();
                if after_number && word.side.is_none() {
                    word.side = self.sides_after_number.get(&symbol).copied();
                }
                if word.number.is_none()
                    && let Some(value) = self.numbers.get(&symbol)
                {
                    word.number = Some(*value);
                    word.spelt = true;
                    if let Some(digits) = self.vocabulary.get(&format!("{value}")) {
                        word.stems.push(digits);
                    }
                }
            }
            after_number = word.number.is_some();
        }
        (self.spoken_numbers(words), mended)
    }

    fn merge_words(&self, words: &mut Vec<Word>) {
        let mut at = 0;
        let mut out: Vec<Word> = Vec::with_capacity(words.len());
        while let Some(word) = words.get(at) {
            let stands = |(from, _): &&(Vec<Symbol>, Symbol)| {
                from.iter()
                    .enumerate()
                    .all(|(i, symbol)| words.get(at + i).and_then(|w| w.symbol) == Some(*symbol))
            };
            let found = word
                .symbol
                .and_then(|s| self.same_from.get(&s))
                .and_then(|places| {
                    let mut same = places.iter().filter_map(|place| self.same.get(*place));
                    same.find(stands)
                });
            let mut word = word.clone();
            let mut used = 1;
            if let Some((from, to)) = found {
                used = from.len();
                if let Some(last) = words.get(at + used - 1) {
                    word.span = word.span.joined(last.span);
                }
                word.symbol = Some(*to);
                word.stems.clear();
            }
            out.push(word);
            at += used;
        }
        *words = out;
    }
}

fn is_set(flags: &[bool], symbol: Symbol) -> bool {
    flags.get(symbol as usize).copied().unwrap_or(false)
}

fn set(flags: &mut Vec<bool>, symbol: Symbol) {
    let place = symbol as usize;
    if flags.len() <= place {
        flags.resize(place + 1, false);
    }
    if let Some(slot) = flags.get_mut(place) {
        *slot = true;
    }
}

/// A phrase word as the letters pass would give it.
fn plain(text: &str) -> String {
    let cut = letters::cut(text);
    match cut.tokens.as_slice() {
        [token] => match token.kind {
            Kind::Word(..) => cut.word(token).to_owned(),
            Kind::Number(value) => format!("{value}"),
            Kind::Mark(_) => text.to_owned(),
        },
        _ => text.to_owned(),
    }
}
