//! Is a line without yes or no an answer all the same? "My elbow is straight" to "is the elbow bent?".
//!
//! Takes the question and the line; gives "no" where the line speaks of what was asked about and says the
//! opposite. Invariant: a line that has the asked word too, undenied, is no answer. Knows pairs of opposites
//! and no check by name; what is read from the line besides is left to the reader.

use super::names::{stem, words};
use super::own_telling::{shares, stems_of};
use super::reply::Question;
use crate::knowledge::KnowledgeBase;
use crate::reading::quick::Reply as Answered;

/// What a question asks for, and words that say the opposite.
const OPPOSITES: [(&[&str], &[&str]); 16] = [
    (&["bent", "bend"], &["straight"]),
    (
        &["fall", "falls", "step", "rock", "wobble"],
        &["stay", "stays", "staying", "balanced", "steady", "still"],
    ),
    (
        &["lose"],
        &[
            "keep", "keeps", "stay", "stays", "touch", "touches", "touching",
        ],
    ),
    (
        &["away", "vanish"],
        &["nothing", "same", "remains", "stays"],
    ),
    (&["better", "cleaner"], &["worse", "same", "nothing"]),
    (&["worse", "worst"], &["better", "same", "nothing"]),
    (&["deeper", "deep"], &["shallow", "thin"]),
    (&["behind"], &["ahead", "front", "past"]),
    (&["higher"], &["lower", "level", "same"]),
    (&["lower"], &["higher", "level", "same"]),
    (&["shorter"], &["longer", "same", "equal"]),
    (&["point"], &["straight", "square", "parallel"]),
    (&["open"], &["closed", "shut", "square"]),
    (&["closed"], &["open", "square"]),
    (&["rounded"], &["straight", "flat"]),
    (&["suddenly"], &["slowly", "gradually"]),
];

/// Words that deny what stands after them or beside them.
pub(super) const DENIALS: [&str; 16] = [
    "not", "never", "no", "dont", "don't", "doesnt", "doesn't", "isnt", "isn't", "arent", "aren't",
    "without", "wont", "won't", "cant", "can't",
];

/// The longest line that answers so, in words (elicited).
const LONGEST: usize = 14;

/// "No", where the line says the opposite of what a check asks.
pub(super) fn opposite_said(
    base: &KnowledgeBase,
    question: &Question,
    line: &str,
) -> Option<Answered> {
    let Question::Check(check) = question else {
        return None;
    };
    let said = words(line);
    if said.len() > LONGEST || line.trim_end().ends_with('?') {
        return None;
    }
    let text = &base.check(*check).question;
    let asked = words(text);
    // What is asked about, and not only said of it.
    let of_it = shares(&stems_of(text), line);
    let has = |list: &[&str], word: &String| list.contains(&word.as_str());
    let denied = |at: usize| {
        (at.saturating_sub(2)..at).any(|i| said.get(i).is_some_and(|w| has(&DENIALS, w)))
    };
    let opposite = OPPOSITES.iter().any(|(wanted, other)| {
        let here = asked.iter().any(|w| has(wanted, w));
        // "Below the ball" of "level or behind it" is asked too.
        let free = |w: &String| has(other, w) && !asked.contains(w);
        let told = said
            .iter()
            .enumerate()
            .any(|(at, w)| free(w) && !denied(at));
        let stems: Vec<String> = wanted.iter().map(|w| stem(w)).collect();
        let affirmed = said
            .iter()
            .enumerate()
            .any(|(at, w)| stems.contains(&stem(w)) && !denied(at));
        here && told && !affirmed
    });
    (of_it && opposite).then_some(Answered::No)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::CheckId;

    #[test]
    fn the_opposite_of_what_is_asked_is_no() {
        let Ok(base) = crate::knowledge::builtin() else {
            panic!("the built-in knowledge is read");
        };
        let ask = |id: &str| {
            let index = base.checks.iter().position(|c| c.id == id);
            Question::Check(CheckId::from_index(index.unwrap_or_default()))
        };
        for (id, line) in [
            ("ask_lead_arm_collapse", "my elbow is straight"),
            (
                "ask_hang_back",
                "when I lift the right foot I stay, not falling",
            ),
            ("ask_half_speed", "half speed changes nothing"),
        ] {
            let question = ask(id);
            let Question::Check(check) = question else {
                continue;
            };
            assert_eq!(base.check(check).id, id);
            assert_eq!(
                opposite_said(&base, &question, line),
                Some(Answered::No),
                "{line}"
            );
        }
        for line in [
            "7 iron fat",
            "the elbow bends and then it is straight",
            "my elbow is not straight",
        ] {
            assert_eq!(
                opposite_said(&base, &ask("ask_lead_arm_collapse"), line),
                None,
                "{line}"
            );
        }
    }
}
