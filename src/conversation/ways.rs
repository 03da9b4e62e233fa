//! Which of two ways is meant, where one of them is denied: "behind, not ahead".
//!
//! Takes the question for a direction and a line; gives the way that is said and not denied, or
//! nothing where both or none is. A line that says only one way is left to the reader.

use super::command;
use super::reply::Question;
use crate::knowledge::KnowledgeBase;
use crate::reading::quick::Reply as Answered;

/// The longest line that answers so, in words (elicited).
const SHORT: usize = 12;

/// The way that a line says and does not deny.
pub(super) fn way_said(base: &KnowledgeBase, question: &Question, line: &str) -> Option<Answered> {
    let Question::Direction { quantity, .. } = question else {
        return None;
    };
    let q = base.quantity(*quantity);
    let ways: Vec<&String> = [&q.positive, &q.negative].into_iter().flatten().collect();
    let text = command::plain(line);
    let words: Vec<&str> = text
        .split(|c: char| !c.is_alphanumeric() && c != '.')
        .filter(|w| !w.is_empty())
        .collect();
    if words.len() > SHORT {
        return None;
    }
    let said = |way: &String| {
        let name = way.to_lowercase();
        let first = name.split(' ').next().unwrap_or("").to_owned();
        let places = words.iter().enumerate().filter(|(_, w)| **w == first);
        let mut sure = false;
        let mut denied = false;
        for (at, _) in places {
            let before = at.checked_sub(1).and_then(|i| words.get(i));
            if before.is_some_and(|w| *w == "not") {
                denied = true;
            } else {
                sure = true;
            }
        }
        (sure, denied)
    };
    let all: Vec<(bool, bool)> = ways.iter().map(|way| said(way)).collect();
    let meant = all.iter().position(|(sure, denied)| *sure && !denied)?;
    let other = all.iter().any(|(sure, denied)| *denied && !sure);
    let one = all.iter().filter(|(sure, _)| *sure).count() == 1;
    (other && one).then_some(Answered::Option(meant))
}
