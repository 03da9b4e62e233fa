//! Which causes do the words sound like? Tellings of golfers in, a log likelihood ratio a cause out.
//!
//! Phrases read what they know word for word; golfers tell of a cause in ways that no list holds.
//! Here a text is compared with what was told of every cause, word by word and pair by pair: how
//! much more often does this word stand in the tellings of this cause than in all? What the
//! tellings of a cause lack counts against it, the more of them there are; shares are drawn towards
//! the share in all tellings, so that a word told once proves little. A word counts once, however
//! often it is said. This is the multinomial model of text classification with Dirichlet smoothing
//! (Zhai and Lafferty 2004, A study of smoothing methods for language models applied to information
//! retrieval). Beside the causes stands what golfers tell who say nothing of any: as far as a text is
//! likelier told by them than by all, it speaks for no cause.
//!
//! The words are taken as if they were independent, which they are not: whoever uses the ratio has
//! to weaken it. Not known here: negation, whose shot it was, and what was read from the same
//! words; the caller leaves those out.

use super::Span;
use super::letters::{self, Kind};
use crate::knowledge::lexicon::{START, hashed};
use crate::vocabulary::{CauseId, Hand};

/// Words of all tellings by which the shares of one cause are drawn towards those of all
/// (elicited: tried on written cases; 1,000 to 10,000 differ little).
const DRAWN: f64 = 10_000.0;

/// Tellings that every feature is taken to have had beside those known, of no cause in particular: a
/// word told once may have been chance (elicited; tried on written cases).
const CHANCE: f64 = 2.0;

/// How much of what a word says for the likest cause it does not say for another as well (elicited;
/// tried on written cases).
const SHARED: f64 = 0.5;

/// A word or a pair of words, as a number that is the same on every machine.
type Feature = u64;

/// A cause, or none, that a feature was told of, with the weight.
type Of = (Option<CauseId>, f64);

/// How golfers tell of each cause, ready for comparison.
#[derive(Debug, Clone, Default)]
pub struct Likeness {
    /// Every feature that was told, in order, with the weight of all its tellings.
    features: Vec<(Feature, f64)>,
    /// Where the tellings of each feature begin in `by`; one more at the end.
    starts: Vec<usize>,
    /// The causes a feature was told of, with the weight; none for what is told of no cause.
    by: Vec<Of>,
    /// The weight of all features told of no cause, then of each cause.
    told: Vec<f64>,
    all: f64,
    /// Words that say nothing by themselves, in order.
    plain: Vec<Feature>,
}

/// A cause that words sound like.
#[derive(Debug, Clone, PartialEq)]
pub struct Sound {
    /// Which.
    pub cause: CauseId,
    /// Natural log of how much likelier these words are told of this cause than of any, and than of
    /// none if that is likelier.
    pub ratio: f64,
    /// The words that speak for it, the strongest first; none of them overlap, and none says nothing
    /// by itself.
    pub words: Vec<Span>,
}

impl Likeness {
    /// Learns texts, each with the causes it is about, or none, and its weight for them: 1 for what a
    /// golfer tells of one. A word that stands in a text more than once counts once. `plain` are the
    /// words that say nothing by themselves: they count, and are never shown.
    pub fn of<'p>(
        texts: impl IntoIterator<Item = (impl AsRef<str>, Vec<Option<CauseId>>, f64)>,
        plain: impl IntoIterator<Item = &'p str>,
    ) -> Self {
        let mut out = Self::default();
        out.plain
            .extend(plain.into_iter().map(|word| hashed(START, stem(word))));
        out.plain.sort_unstable();
        let mut heard: Vec<(Feature, Option<CauseId>, f64)> = Vec::new();
        let mut own: Vec<Feature> = Vec::new();
        for (text, causes, weight) in texts {
            let text = text.as_ref();
            own.clear();
            features(text, told_by(text), |feature, _, _| own.push(feature));
            own.sort_unstable();
            own.dedup();
            for cause in causes {
                if out.told.len() <= class(cause) {
                    out.told.resize(class(cause) + 1, 0.0);
                }
                if let Some(told) = out.told.get_mut(class(cause)) {
                    *told += weight * own.len() as f64;
                }
                heard.extend(own.iter().map(|feature| (*feature, cause, weight)));
            }
        }
        out.all = out.told.iter().sum();
        heard.sort_unstable_by(|a, b| (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2)));
        for (feature, cause, weight) in heard {
            match out.features.last_mut() {
                Some((last, all)) if *last == feature => *all += weight,
                _ => {
                    out.features.push((feature, weight));
                    out.starts.push(out.by.len());
                    out.by.push((cause, weight));
                    continue;
                }
            }
            match out.by.last_mut() {
                Some((last, sum)) if *last == cause => *sum += weight,
                _ => out.by.push((cause, weight)),
            }
        }
        out.starts.push(out.by.len());
        out
    }

    /// The weight of all tellings of a feature, and the causes they are of.
    fn told(&self, feature: Feature) -> Option<(f64, &[Of])> {
        let place = self.features.binary_search_by_key(&feature, |f| f.0).ok()?;
        let (_, all) = self.features.get(place)?;
        let from = self.starts.get(place)?;
        let to = self.starts.get(place + 1)?;
        Some((*all, self.by.get(*from..*to)?))
    }

    /// Compares a text with the tellings of every cause; the likest first. Causes of which nothing
    /// in the text was ever told are left out.
    pub fn compare(&self, text: &str, hand: Hand) -> Vec<Sound> {
        let mut said: Vec<(Feature, Span, bool)> = Vec::new();
        features(text, hand, |feature, span, plain| {
            let plain = plain
                .iter()
                .all(|word| self.plain.binary_search(word).is_ok());
            said.push((feature, span, plain));
        });
        said.sort_unstable();
        said.dedup_by_key(|s| s.0);
        let mut speaking: Vec<Vec<Speaking>> = vec![Vec::new(); self.told.len()];
        let mut known = 0.0;
        for (place, (feature, span, plain)) in said.into_iter().enumerate() {
            let Some((all, by)) = self.told(feature) else {
                continue;
            };
            known += 1.0;
            let usual = DRAWN * (all + CHANCE) / self.all;
            for (cause, weight) in by {
                if let Some(words) = speaking.get_mut(class(*cause)) {
                    words.push(Speaking {
                        place,
                        span,
                        plain,
                        ratio: (weight / usual).ln_1p(),
                    });
                }
            }
        }
        let lacks = |index: usize| {
            let told = self.told.get(index).copied().unwrap_or(0.0);
            known * (told / DRAWN).ln_1p()
        };
        let ratio = |class: usize, words: &[Speaking]| {
            words.iter().map(|w| w.ratio).sum::<f64>() - lacks(class)
        };
        let nothing = speaking
            .first()
            .map_or(0.0, |words| ratio(0, words).max(0.0));
        let mut sounds: Vec<Sound> = speaking
            .iter()
            .enumerate()
            .skip(1)
            .filter(|(_, words)| words.iter().any(|w| !w.plain))
            .map(|(index, words)| Sound {
                cause: CauseId::from_index(index - 1),
                ratio: ratio(index, words) - nothing,
                words: apart(words),
            })
            .collect();
        let order = |a: &Sound, b: &Sound| b.ratio.total_cmp(&a.ratio).then(a.cause.cmp(&b.cause));
        sounds.sort_by(order);
        // What a word says for the likest cause it says less for the others.
        let of = |sound: &Sound| speaking.get(class(Some(sound.cause)));
        let first = sounds.first().and_then(of);
        if let Some(first) = first {
            for sound in sounds.iter_mut().skip(1) {
                let words = of(sound).map_or(&[][..], Vec::as_slice);
                let shared = words.iter().filter_map(|w| {
                    let at = first.binary_search_by_key(&w.place, |f| f.place).ok()?;
                    Some(first.get(at)?.ratio.min(w.ratio))
                });
                sound.ratio -= SHARED * shared.sum::<f64>();
            }
            sounds.get_mut(1..).unwrap_or(&mut []).sort_by(order);
        }
        sounds
    }
}

/// Where what is told of a cause is kept.
fn class(cause: Option<CauseId>) -> usize {
    cause.map_or(0, |cause| cause.index() + 1)
}

/// A word or pair that speaks for a cause.
#[derive(Debug, Clone, Copy)]
struct Speaking {
    /// Which of those said.
    place: usize,
    span: Span,
    /// Says nothing by itself.
    plain: bool,
    ratio: f64,
}

/// At most this many words are given for a cause.
const GIVEN: usize = 40;

/// The strongest words first, those left out that overlap a stronger one.
fn apart(words: &[Speaking]) -> Vec<Span> {
    let telling = words.iter().filter(|w| !w.plain);
    let mut words: Vec<(f64, Span)> = telling.map(|w| (w.ratio, w.span)).collect();
    words.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut out: Vec<Span> = Vec::new();
    for (_, span) in words {
        if out.len() == GIVEN {
            break;
        }
        if out
            .iter()
            .all(|s| s.end <= span.start || span.end <= s.start)
        {
            out.push(span);
        }
    }
    out
}

/// Gives the words of a text and the pairs of neighbours within its clauses, each with its place and
/// the words it is made of.
/// Left and right become those of a right-hander.
fn features(text: &str, hand: Hand, mut give: impl FnMut(Feature, Span, &[Feature])) {
    let letters = letters::cut(text);
    let mut before: Option<(Feature, Span)> = None;
    for token in &letters.tokens {
        if let Kind::Word(..) = token.kind {
            let said = stem(mirrored(letters.word(token), hand));
            let word = hashed(START, said);
            give(word, token.span, &[word]);
            if let Some((first, span)) = before {
                let pair = hashed(hashed(first, " "), said);
                give(pair, span.joined(token.span), &[first, word]);
            }
            before = Some((word, token.span));
        } else {
            before = None;
        }
    }
}

fn mirrored(word: &str, hand: Hand) -> &str {
    match (hand, word) {
        (Hand::Left, "left") => "right",
        (Hand::Left, "right") => "left",
        _ => word,
    }
}

/// The hand of who tells: a left-hander says so.
fn told_by(text: &str) -> Hand {
    const WORDS: [&str; 8] = [
        "lefty",
        "leftie",
        "lefthanded",
        "lefthander",
        "southpaw",
        "lh",
        "left-handed",
        "left-hander",
    ];
    let mut left = false;
    for word in text.split(|c: char| !c.is_ascii_alphabetic() && c != '-') {
        let is = |known: &&str| word.eq_ignore_ascii_case(known);
        let begins = |known: &str| {
            let head = word.get(..known.len());
            head.is_some_and(|head| head.eq_ignore_ascii_case(known))
        };
        if WORDS.iter().any(is) || left && (begins("handed") || begins("hander")) {
            return Hand::Left;
        }
        left = is(&"left");
    }
    Hand::Right
}

/// A word without its ending, so that "shafts" and "shaft", "slicing" and "slice" are one.
fn stem(word: &str) -> &str {
    const ENDINGS: [&str; 8] = ["ings", "ing", "edly", "ed", "ies", "es", "s", "ly"];
    let cut = |ending: &&str| word.strip_suffix(*ending).filter(|rest| rest.len() >= 3);
    let mut stem = ENDINGS.iter().find_map(cut).unwrap_or(word);
    let mut last = stem.chars().rev();
    let (first, second) = (last.next(), last.next());
    if stem.len() > 3 && first == second {
        stem = first.and_then(|c| stem.strip_suffix(c)).unwrap_or(stem);
    }
    if stem.len() > 3 {
        stem = stem.strip_suffix('e').unwrap_or(stem);
    }
    stem
}
