//! A number that lacked its unit, its name or its side, completed by an answer.
//!
//! Takes the words of the number and what was answered; gives words that can be read again, and reads
//! them. What is still missing is asked for next. Which question is put first is not decided here.

use super::Session;
use super::answer_kinds::unit_words;
use super::reply::{Block, Question};
use super::unit_said::unit_said;
use crate::quantity::Unit;
use crate::reading::Unclear;
use crate::reading::quick::Reply as Answered;
use crate::vocabulary::QuantityId;

impl Session {
    /// Takes the unit of that place in the question; false if the number still says nothing.
    pub(super) fn settle_unit(
        &mut self,
        question: &Question,
        quantity: QuantityId,
        words: &str,
        place: usize,
        blocks: &mut Vec<Block>,
    ) -> bool {
        let Question::Unit { units, .. } = question else {
            return false;
        };
        let Some(unit) = units.get(place) else {
            return false;
        };
        let again = with_unit(&self.base().quantity(quantity).name, words, *unit);
        if self.read_again(&again, blocks) {
            self.same_unit_for_the_rest(units, words, *unit, blocks);
            return true;
        }
        // "Low point 2.5" and then "inches": ahead or behind is still to be asked.
        let reading = self.read(&again);
        let side = |u: &Unclear| matches!(u, Unclear::Direction { .. });
        if !reading.unclear.iter().any(side) {
            return false;
        }
        self.talk.pending = self.questions_raised(&reading, &again).into_iter().next();
        true
    }
}

/// The words with the name of what they measure, unless they name it.
pub(super) fn with_name(name: &str, words: &str) -> String {
    if words.to_lowercase().contains(&name.to_lowercase()) {
        words.to_owned()
    } else {
        format!("{name} {words}")
    }
}

/// The words of a number with its unit beside it, whatever follows that.
pub(super) fn with_unit(name: &str, words: &str, unit: Unit) -> String {
    let end = words
        .rfind(|c: char| c.is_ascii_digit())
        .map_or(words.len(), |at| at + 1);
    let (number, rest) = words.split_at_checked(end).unwrap_or((words, ""));
    let again = with_name(name, &format!("{number} {unit} {rest}"));
    again.trim_end().to_owned()
}

/// A unit and nothing else: "in", which is a word without meaning anywhere else.
pub(super) fn bare_unit(question: &Question, line: &str) -> Option<Answered> {
    let Question::Unit { units, .. } = question else {
        return None;
    };
    let said = line.trim().trim_end_matches(['.', '!']).to_lowercase();
    let named = unit_said(line);
    if let Some(place) = named.and_then(|(unit, _)| units.iter().position(|u| *u == unit)) {
        return Some(Answered::Option(place));
    }
    units
        .iter()
        .position(|u| unit_words(*u).split(' ').any(|w| w == said))
        .map(Answered::Option)
}
