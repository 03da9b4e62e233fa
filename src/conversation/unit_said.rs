//! A unit by itself: "m/s", "in metres per second", and "no, m/s" after another one was taken.
//!
//! Takes a line; gives the unit that it says and nothing else. A unit that puts another right goes for
//! every number of the talk that was taken in the unit of the last one. A unit said once goes for all
//! numbers of the same line that were left open in the same units.

use super::completing::with_unit;
use super::reply::{Block, Question, Reply};
use super::turn::Depth;
use super::{Session, command};
use crate::quantity::Unit;
use crate::reading::{Number, Unclear, What};
use crate::vocabulary::QuantityId;

/// Words before a unit that change nothing, and those that put right what was taken.
const BEFORE: [&str; 14] = [
    "it is",
    "it's",
    "its",
    "that is",
    "that's",
    "thats",
    "they are",
    "they're",
    "all in",
    "both in",
    "all",
    "both",
    "in",
    "everything in",
];
const PUTS_RIGHT: [&str; 14] = [
    "no",
    "nope",
    "sorry",
    "i mean",
    "i meant",
    "actually",
    "make that",
    "make it",
    "should be",
    "it should be",
    "they should be",
    "correction",
    "not mph",
    "wait",
];

const UNITS: [(&str, Unit); 30] = [
    ("m/s", Unit::MetrePerSecond),
    ("ms", Unit::MetrePerSecond),
    ("mps", Unit::MetrePerSecond),
    ("metres per second", Unit::MetrePerSecond),
    ("meters per second", Unit::MetrePerSecond),
    ("metres a second", Unit::MetrePerSecond),
    ("meters a second", Unit::MetrePerSecond),
    ("metre per second", Unit::MetrePerSecond),
    ("mph", Unit::MilePerHour),
    ("miles per hour", Unit::MilePerHour),
    ("miles an hour", Unit::MilePerHour),
    ("km/h", Unit::KilometrePerHour),
    ("kmh", Unit::KilometrePerHour),
    ("kph", Unit::KilometrePerHour),
    ("kilometres per hour", Unit::KilometrePerHour),
    ("kilometres an hour", Unit::KilometrePerHour),
    ("inches", Unit::Inch),
    ("inch", Unit::Inch),
    ("cm", Unit::Centimetre),
    ("centimetres", Unit::Centimetre),
    ("centimeters", Unit::Centimetre),
    ("mm", Unit::Millimetre),
    ("millimetres", Unit::Millimetre),
    ("millimeters", Unit::Millimetre),
    ("metres", Unit::Metre),
    ("meters", Unit::Metre),
    ("yards", Unit::Yard),
    ("yds", Unit::Yard),
    ("feet", Unit::Foot),
    ("ft", Unit::Foot),
];

/// The unit that a line says, and whether it puts another right.
pub(super) fn unit_said(line: &str) -> Option<(Unit, bool)> {
    let text = command::plain(line);
    let mut rest = text.as_str();
    let mut right = false;
    loop {
        if let Some((_, unit)) = UNITS.iter().find(|(way, _)| *way == rest) {
            return Some((*unit, right));
        }
        let after = |list: &[&str]| {
            list.iter().find_map(|lead| {
                let after = rest.strip_prefix(lead)?;
                after
                    .starts_with([' ', ','])
                    .then(|| after.trim_start_matches([' ', ',']))
            })
        };
        if let Some(after) = after(&PUTS_RIGHT) {
            (rest, right) = (after, true);
        } else {
            rest = after(&BEFORE)?;
        }
    }
}

/// The words of a number in another unit than the one said with it, if one was.
fn in_unit(name: &str, words: &str, unit: Unit) -> String {
    let end = words.rfind(|c: char| c.is_ascii_digit());
    let (number, rest) = words
        .split_at_checked(end.map_or(words.len(), |at| at + 1))
        .unwrap_or((words, ""));
    let mut rest: Vec<&str> = rest.split_whitespace().collect();
    let said = |w: &&str| {
        let w = w.trim_matches(['.', ',']).to_lowercase();
        UNITS.iter().any(|(way, _)| *way == w) || ["in", "m", "yd", "yard"].contains(&w.as_str())
    };
    if rest.first().is_some_and(said) {
        rest.remove(0);
    }
    let bare = format!("{number} {}", rest.join(" "));
    with_unit(name, bare.trim_end(), unit)
}

impl Session {
    /// "No, m/s": the numbers taken in the unit of the last one of its kind, in this one.
    pub(super) fn unit_put_right(&mut self, line: &str) -> Option<Reply> {
        if matches!(self.talk.pending, Some(Question::Unit { .. })) {
            return None;
        }
        let (unit, right) = unit_said(line)?;
        let told: Vec<(Number, String)> = (self.talk.statements.iter())
            .filter(|s| !s.dropped)
            .filter_map(|s| match s.finding.what {
                What::Number(n) if n.unit.dimension() == unit.dimension() => {
                    Some((n, s.words.clone()))
                }
                _ => None,
            })
            .collect();
        let was = told.last()?.0.unit;
        if !right || was == unit {
            return None;
        }
        let before = self.talk.clone();
        let mut blocks = Vec::new();
        let mut done: Vec<QuantityId> = Vec::new();
        for (number, words) in told.iter().filter(|(n, _)| n.unit == was) {
            let name = self.base().quantity(number.quantity).name.clone();
            if self.read_again(&in_unit(&name, words, unit), &mut blocks) {
                self.talk
                    .drop_quantity(number.quantity, self.talk.said.len());
                done.push(number.quantity);
            }
        }
        if done.is_empty() {
            self.talk = before;
            return None;
        }
        blocks.extend(self.turn(Depth::Told));
        Some(Reply {
            blocks,
            leave: false,
        })
    }

    /// The unit just said goes for the other numbers of the line that were left open in the same units.
    pub(super) fn same_unit_for_the_rest(
        &mut self,
        units: &[Unit],
        asked: &str,
        unit: Unit,
        blocks: &mut Vec<Block>,
    ) {
        // The line that left it open, not the words read again.
        let open_in = |line: &String| {
            let of = |u: &Unclear| match u {
                Unclear::Unit { said, .. } => said.of(line).trim() == asked,
                _ => false,
            };
            line.contains(asked) && self.read(line).unclear.iter().any(of)
        };
        let Some(line) = self.talk.said.iter().rev().find(|l| open_in(l)).cloned() else {
            return;
        };
        for unclear in &self.read(&line).unclear {
            let Unclear::Unit {
                quantity,
                units: open,
                said,
            } = unclear
            else {
                continue;
            };
            let words = said.of(&line).trim();
            if open != units || words == asked {
                continue;
            }
            let again = with_unit(&self.base().quantity(*quantity).name, words, unit);
            self.read_again(&again, blocks);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_alone_and_one_that_puts_right() {
        let ms = Unit::MetrePerSecond;
        assert_eq!(unit_said("in m/s"), Some((ms, false)));
        assert_eq!(unit_said("metres per second."), Some((ms, false)));
        assert_eq!(unit_said("no, m/s"), Some((ms, true)));
        assert_eq!(
            unit_said("sorry, I meant in cm"),
            Some((Unit::Centimetre, true))
        );
        assert_eq!(unit_said("no, it is 3 cm"), None);
    }
}
