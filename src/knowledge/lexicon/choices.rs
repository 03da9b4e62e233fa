//! What does `(off|from) a (tee|peg|)` stand for? One phrase as written, all its choices.
//!
//! Choices are told in the order written, the last turning fastest, at most [`MOST_CHOICES`] of
//! them. [`choices`] gives them as texts. [`Choices`] gives them as lists of units, where the
//! caller says once for each word as written what units it is: so that no text is put together, and
//! no word looked at more often than it is written. Not known here: what a word or a phrase means.

/// Phrasings of one phrase at most; more are cut off.
pub(super) const MOST_CHOICES: usize = 400;

/// Fixed text and the choices that follow it, one after the other, and the text at the end.
fn parts(says: &str) -> (Vec<(&str, Vec<&str>)>, &str) {
    let mut parts = Vec::new();
    let mut rest = says;
    while let Some((before, inside)) = rest.split_once('(') {
        let (inside, after) = inside.split_once(')').unwrap_or((inside, ""));
        parts.push((before, inside.split('|').collect()));
        rest = after;
    }
    (parts, rest)
}

/// The next choice: the last turns fastest; one that is back at its first turns the one before it.
/// False when all are back at their first.
fn turn(chosen: &mut [usize], ways: impl DoubleEndedIterator<Item = usize>) -> bool {
    ways.rev()
        .zip(chosen.iter_mut().rev())
        .any(|(ways, place)| {
            *place = (*place + 1) % ways.max(1);
            *place != 0
        })
}

/// Every phrase that `(a|b) c` stands for, in the order written; at most 400.
///
/// ```
/// use swingwhy::knowledge::lexicon::choices;
/// assert_eq!(choices("(off|from) a (tee|peg|)"), [
///     "off a tee", "off a peg", "off a", "from a tee", "from a peg", "from a",
/// ]);
/// assert_eq!(choices("(my|) club (slips)"), ["my club slips", "club slips"]);
/// ```
pub fn choices(says: &str) -> Vec<String> {
    if !says.contains('(') {
        return vec![says.to_owned()];
    }
    let (parts, rest) = parts(says);
    let mut chosen = vec![0_usize; parts.len()];
    let mut out = Vec::new();
    loop {
        let mut phrase = String::with_capacity(says.len());
        for ((before, ways), place) in parts.iter().zip(&chosen) {
            phrase.push_str(before);
            phrase.push_str(ways.get(*place).copied().unwrap_or(""));
        }
        phrase.push_str(rest);
        single_spaces(&mut phrase);
        out.push(phrase);
        let turned = turn(&mut chosen, parts.iter().map(|(_, ways)| ways.len()));
        if !turned || out.len() >= MOST_CHOICES {
            return out;
        }
    }
}

/// Leaves one space between words, and none at the ends.
fn single_spaces(text: &mut String) {
    let mut before = ' ';
    text.retain(|c| {
        let doubled = c == ' ' && before == ' ';
        before = c;
        !doubled
    });
    if text.ends_with(' ') {
        text.pop();
    }
}

/// All that a phrase stands for, each a list of units.
#[derive(Debug)]
pub(crate) struct Choices<T> {
    /// The units of every way of every piece, end to end.
    units: Vec<T>,
    /// Where the units of each way end.
    ways: Vec<usize>,
    /// Where the ways of each piece end.
    pieces: Vec<usize>,
}

impl<T: Copy> Choices<T> {
    /// Reads a phrase; `unit` gives the units of a word.
    pub(crate) fn of(says: &str, mut unit: impl FnMut(&str, &mut Vec<T>)) -> Self {
        let mut out = Self {
            units: Vec::new(),
            ways: Vec::new(),
            pieces: Vec::new(),
        };
        let mut way = |out: &mut Self, text: &str| {
            let words = text.split(' ').filter(|word| !word.is_empty());
            words.for_each(|word| unit(word, &mut out.units));
            out.ways.push(out.units.len());
        };
        let (parts, rest) = parts(says);
        if written_together(&parts, rest) {
            choices(says).iter().for_each(|text| way(&mut out, text));
            out.pieces.push(out.ways.len());
            return out;
        }
        for (before, ways) in &parts {
            if before.contains(|c| c != ' ') {
                way(&mut out, before);
                out.pieces.push(out.ways.len());
            }
            ways.iter().for_each(|text| way(&mut out, text));
            out.pieces.push(out.ways.len());
        }
        if parts.is_empty() || rest.contains(|c| c != ' ') {
            way(&mut out, rest);
            out.pieces.push(out.ways.len());
        }
        out
    }

    /// How many there are; never more than are kept.
    pub(crate) fn count(&self) -> usize {
        let ways = (0..self.pieces.len()).map(|piece| self.ways_of(piece).len());
        ways.fold(1, |all, ways| (all * ways).min(MOST_CHOICES))
    }

    fn ways_of(&self, piece: usize) -> std::ops::Range<usize> {
        let end = |piece: usize| self.pieces.get(piece).copied().unwrap_or(0);
        piece.checked_sub(1).map_or(0, end)..end(piece)
    }

    fn units_of(&self, way: usize) -> &[T] {
        let end = |way: usize| self.ways.get(way).copied().unwrap_or(0);
        self.units
            .get(way.checked_sub(1).map_or(0, end)..end(way))
            .unwrap_or(&[])
    }

    /// Gives each of them, in the order of [`choices`], with its number.
    pub(crate) fn each(&self, mut give: impl FnMut(usize, &[T])) {
        let mut chosen = vec![0_usize; self.pieces.len()];
        let mut one: Vec<T> = Vec::new();
        for number in 0..MOST_CHOICES {
            one.clear();
            for (piece, place) in chosen.iter().enumerate() {
                one.extend_from_slice(self.units_of(self.ways_of(piece).start + place));
            }
            give(number, &one);
            let ways = (0..self.pieces.len()).map(|piece| self.ways_of(piece).len());
            if !turn(&mut chosen, ways) {
                return;
            }
        }
    }
}

/// True if a choice stands against a word without a space: "re(gripped|shafted)".
fn written_together(parts: &[(&str, Vec<&str>)], rest: &str) -> bool {
    let apart = |text: &str, side: fn(&str, char) -> bool| text.is_empty() || side(text, ' ');
    let ends = |text: &str, c: char| text.ends_with(c);
    let begins = |text: &str, c: char| text.starts_with(c);
    let first = parts.first().map_or("", |(before, _)| before);
    let later = parts.iter().skip(1).map(|(before, _)| *before);
    !(apart(first, ends)
        && (parts.is_empty() || apart(rest, begins))
        && later
            .clone()
            .all(|before| begins(before, ' ') && ends(before, ' ')))
}

#[cfg(test)]
mod tests {
    use super::{Choices, choices};

    #[test]
    fn units_and_texts_are_the_same_phrases() {
        for says in [
            "plain words",
            "(off|from) a (tee|peg|)",
            "(my|) club (slips)",
            "re(gripped|shafted) it",
            "(a|b)(c|d) e",
            "one (two |)three",
            "x (y",
            "",
            "(|a b) (c|)",
        ] {
            let mut letters: Vec<String> = Vec::new();
            let read: Choices<u32> = Choices::of(says, |word, out| {
                let known = letters.iter().position(|w| w == word);
                let place = known.unwrap_or(letters.len());
                if known.is_none() {
                    letters.push(word.to_owned());
                }
                out.push(u32::try_from(place).unwrap_or(u32::MAX));
            });
            let mut told: Vec<String> = Vec::new();
            read.each(|number, units| {
                assert_eq!(number, told.len());
                let words = units.iter().filter_map(|u| letters.get(*u as usize));
                told.push(words.cloned().collect::<Vec<_>>().join(" "));
            });
            assert_eq!(told, choices(says), "{says}");
            assert_eq!(read.count(), told.len(), "{says}");
        }
    }
}
