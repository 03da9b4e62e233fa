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

/// All that a phrase stands for, each a list of units. Read into again and again, so that nothing is
/// set aside anew for each phrase.
#[derive(Debug)]
pub(crate) struct Choices<T> {
    /// The units of every way of every piece, end to end.
    units: Vec<T>,
    /// Where the units of each way end.
    ways: Vec<usize>,
    /// Where the ways of each piece end.
    pieces: Vec<usize>,
}

impl<T> Default for Choices<T> {
    fn default() -> Self {
        Self {
            units: Vec::new(),
            ways: Vec::new(),
            pieces: Vec::new(),
        }
    }
}

impl<T: Copy> Choices<T> {
    /// Reads a phrase; `unit` gives the units of a word.
    pub(crate) fn read(&mut self, says: &str, mut unit: impl FnMut(&str, &mut Vec<T>)) {
        self.units.clear();
        self.ways.clear();
        self.pieces.clear();
        if written_together(says) {
            for text in choices(says) {
                self.way(&text, &mut unit);
            }
            self.pieces.push(self.ways.len());
            return;
        }
        let mut rest = says;
        while let Some((before, inside)) = rest.split_once('(') {
            let (inside, after) = inside.split_once(')').unwrap_or((inside, ""));
            self.fixed(before, &mut unit);
            for text in inside.split('|') {
                self.way(text, &mut unit);
            }
            self.pieces.push(self.ways.len());
            rest = after;
        }
        self.fixed(rest, &mut unit);
        if self.pieces.is_empty() {
            self.way("", &mut unit);
            self.pieces.push(self.ways.len());
        }
    }

    /// Words that stand in every choice.
    fn fixed(&mut self, text: &str, unit: &mut impl FnMut(&str, &mut Vec<T>)) {
        if text.bytes().any(|b| b != b' ') {
            self.way(text, unit);
            self.pieces.push(self.ways.len());
        }
    }

    fn way(&mut self, text: &str, unit: &mut impl FnMut(&str, &mut Vec<T>)) {
        for word in text.split(' ').filter(|word| !word.is_empty()) {
            unit(word, &mut self.units);
        }
        self.ways.push(self.units.len());
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

    /// Gives what `join` makes of the units of each of them, in the order of [`choices`]. What is
    /// made of the units at their front is made once.
    pub(crate) fn each<S: Copy>(
        &self,
        start: S,
        join: impl Fn(S, T) -> S + Copy,
        mut give: impl FnMut(S),
    ) {
        let mut told = 0;
        self.each_from(0, start, join, &mut |made| {
            told += 1;
            give(made);
            told < MOST_CHOICES
        });
    }

    fn each_from<S: Copy>(
        &self,
        piece: usize,
        made: S,
        join: impl Fn(S, T) -> S + Copy,
        give: &mut impl FnMut(S) -> bool,
    ) -> bool {
        if piece == self.pieces.len() {
            return give(made);
        }
        self.ways_of(piece).all(|way| {
            let made = self.units_of(way).iter().copied().fold(made, join);
            self.each_from(piece + 1, made, join, give)
        })
    }

    /// Gives the units of each of them, in the order of [`choices`], with its number.
    pub(crate) fn each_list(&self, mut give: impl FnMut(usize, &[T])) {
        let mut list = Vec::new();
        let mut number = 0;
        self.each_list_from(0, &mut list, &mut |units| {
            give(number, units);
            number += 1;
            number < MOST_CHOICES
        });
    }

    fn each_list_from(
        &self,
        piece: usize,
        list: &mut Vec<T>,
        give: &mut impl FnMut(&[T]) -> bool,
    ) -> bool {
        if piece == self.pieces.len() {
            return give(list);
        }
        let before = list.len();
        self.ways_of(piece).all(|way| {
            list.truncate(before);
            list.extend_from_slice(self.units_of(way));
            self.each_list_from(piece + 1, list, give)
        })
    }
}

/// True if a choice stands against a word without a space: "re(gripped|shafted)".
fn written_together(says: &str) -> bool {
    let bytes = says.as_bytes();
    let open = |at: usize| {
        let before = at.checked_sub(1).and_then(|i| bytes.get(i));
        before.is_some_and(|b| *b != b' ')
    };
    let close = |at: usize| bytes.get(at + 1).is_some_and(|b| *b != b' ');
    says.bytes().enumerate().any(|(at, byte)| match byte {
        b'(' => open(at),
        b')' => close(at),
        _ => false,
    })
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
            let mut read: Choices<u32> = Choices::default();
            read.read(says, |word, out| {
                let known = letters.iter().position(|w| w == word);
                let place = known.unwrap_or(letters.len());
                if known.is_none() {
                    letters.push(word.to_owned());
                }
                out.push(u32::try_from(place).unwrap_or(u32::MAX));
            });
            let mut told: Vec<String> = Vec::new();
            read.each_list(|number, units| {
                assert_eq!(number, told.len());
                let words = units.iter().filter_map(|u| letters.get(*u as usize));
                told.push(words.cloned().collect::<Vec<_>>().join(" "));
            });
            assert_eq!(told, choices(says), "{says}");
            let mut sums: Vec<u32> = Vec::new();
            read.each(0, |sum, unit| 31 * sum + unit + 1, |sum| sums.push(sum));
            let mut plain: Vec<u32> = Vec::new();
            read.each_list(|_, units| plain.push(units.iter().fold(0, |s, u| 31 * s + u + 1)));
            assert_eq!(sums, plain, "{says}");
            assert_eq!(read.count(), told.len(), "{says}");
        }
    }
}
