//! Does the golfer say that a doctor has cleared them to play?
//!
//! Takes the words of a line; gives the span from the professional named to the word that clears,
//! as in "my surgeon says golf is fine". A denial, a limit or a wait between them is no leave.

use super::scope::word;
use super::words::{self, Token};
use crate::reading::Span;

/// Who may clear a golfer.
const WHO: [&str; 20] = [
    "doc",
    "docs",
    "doctor",
    "doctors",
    "dr",
    "gp",
    "surgeon",
    "consultant",
    "specialist",
    "cardiologist",
    "physio",
    "physiotherapist",
    "chiropractor",
    "chiro",
    "osteopath",
    "midwife",
    "oncologist",
    "orthopedist",
    "therapist",
    "hospital",
];

/// Words that clear.
const CLEARS: [&str; 13] = [
    "ok",
    "okay",
    "fine",
    "cleared",
    "clears",
    "alright",
    "allowed",
    "allows",
    "safe",
    "approved",
    "happy",
    "permission",
    "blessing",
];

/// Words that clear in two.
const CLEARS_IN_TWO: [(&str, &str); 9] = [
    ("all", "clear"),
    ("green", "light"),
    ("go", "ahead"),
    ("signed", "off"),
    ("signed", "me"),
    ("can", "play"),
    ("can", "golf"),
    ("can", "swing"),
    ("no", "restrictions"),
];

/// Words between that make it no leave.
const LIMITS: [&str; 22] = [
    "not", "dont", "isnt", "wont", "cant", "never", "until", "till", "unless", "stop", "rest",
    "wait", "only", "if", "when", "soon", "careful", "no", "hasnt", "havent", "ask", "asked",
];

/// Most words from the professional to the word that clears.
const WITHIN: usize = 9;

/// Where a professional's leave to play is told.
pub fn leave(line: &str) -> Option<Span> {
    let tokens = words::tokens(line);
    (0..tokens.len()).find_map(|at| {
        let who = WHO.contains(&word(&tokens, at));
        let by = matches!(word(&tokens, at), "cleared" | "approved")
            && (at..at + 4).any(|k| WHO.contains(&word(&tokens, k)))
            && !before(&tokens, at);
        let end = if !by && (!who || before(&tokens, at)) {
            None
        } else if by {
            (at..at + 4).find(|k| WHO.contains(&word(&tokens, *k)))
        } else {
            cleared(&tokens, at)
        };
        let end = end?;
        Some(Span {
            start: tokens.get(at)?.span.start,
            end: tokens.get(end)?.span.end,
        })
    })
}

/// The last word of the clearing that follows the professional at `at`.
fn cleared(tokens: &[Token], at: usize) -> Option<usize> {
    let mut stopped = false;
    for k in at + 1..(at + WITHIN).min(tokens.len()) {
        let (this, next) = (word(tokens, k), word(tokens, k + 1));
        if CLEARS_IN_TWO.contains(&(this, next)) {
            return unlimited(tokens, k + 2).then_some(k + 1);
        }
        if LIMITS.contains(&this) {
            return None;
        }
        // After a stop the golfer speaks: "..., 7 iron is fine".
        stopped |= tokens.get(k).is_some_and(|t| t.breaks);
        if CLEARS.contains(&this) && !stopped {
            return unlimited(tokens, k + 1).then_some(k);
        }
    }
    None
}

/// True if nothing right after the clearing takes it back.
fn unlimited(tokens: &[Token], from: usize) -> bool {
    let next = word(tokens, from);
    !matches!(
        next,
        "if" | "when" | "once" | "unless" | "until" | "as" | "after" | "in"
    )
}

/// True if a denial or a visit still to come stands just before.
fn before(tokens: &[Token], at: usize) -> bool {
    const AHEAD: [&str; 10] = [
        "waiting", "need", "must", "should", "seeing", "see", "before", "without", "hope", "hoping",
    ];
    let near = at.saturating_sub(4)..at;
    near.map(|k| word(tokens, k))
        .any(|w| LIMITS.contains(&w) || AHEAD.contains(&w))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_doctors_leave_is_heard_and_its_limits_too() {
        for line in [
            "hip replacement last year, doc says golf is ok. thin 7 irons",
            "had a knee op, surgeon said I can play",
            "my physio is fine with me swinging",
            "new knee, cleared by my doctor",
            "got the go from the doc, all clear, 7 iron fat",
            "cardiologist gave me the green light",
        ] {
            assert!(leave(line).is_some(), "{line}");
        }
        for line in [
            "doctor says I must not swing",
            "doc says golf is fine if it does not hurt",
            "my doctor hasn't cleared me yet",
            "not cleared by my doctor yet",
            "doctor says rest until it is fine",
            "have not asked the doctor, 7 iron is fine",
            "waiting for the doctor to say golf is fine",
            "need to see my doctor, hip is ok, 7 iron fat",
            "my doctor is on holiday, golf is fine",
            "doc says only putting is ok",
            "my back hurts, 7 iron fine",
        ] {
            assert!(leave(line).is_none(), "{line}");
        }
    }
}
