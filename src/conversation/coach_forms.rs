//! How coaches put a question that the program answers under another name: "which test separates casting
//! and hanging back", "what would I see if he was casting", "casting vs hanging back".
//!
//! Takes a line; gives it in the form that is known, or none. Two causes of the ranking that are called
//! "these two" are the first two. Says nothing of what the golfer does: a question is no evidence.

use super::Session;
use super::note::Note;
use super::reply::Reply;

/// What is asked, in the form that is known.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Asked {
    /// These two side by side.
    Compare(String),
    /// The first two side by side.
    FirstTwo,
    /// Of one thing only: "is it my head or not".
    One(String),
    /// What it would be like if it were this.
    Suppose(String),
}

/// Beginnings of a question for what tells two apart.
const SEPARATES: [&str; 22] = [
    "which test separates ",
    "which test would separate ",
    "which test tells apart ",
    "which test distinguishes ",
    "which check separates ",
    "which look separates ",
    "what test separates ",
    "what separates ",
    "what distinguishes ",
    "what tells apart ",
    "what would separate ",
    "how do i separate ",
    "how would i separate ",
    "how can i separate ",
    "how do i distinguish ",
    "how do you separate ",
    "how do i tell apart ",
    "how do i tell ",
    "how would i tell ",
    "how can i tell ",
    "how do you tell ",
    "difference between ",
];

/// What stands between the two.
const BETWEEN: [&str; 6] = [" from ", " versus ", " vs ", " v ", " and ", " or "];

/// Ways of calling the first two.
const BOTH: [&str; 12] = [
    "these two",
    "those two",
    "the two",
    "the first two",
    "the top two",
    "them",
    "the two causes",
    "these two causes",
    "these",
    "the first two causes",
    "the top two causes",
    "those",
];

/// Beginnings of a question for what a cause would show.
const WOULD_SEE: [&str; 20] = [
    "what if ",
    "if ",
    "what else would i expect to see with ",
    "what would i expect to see with ",
    "what would i see with ",
    "what else would i see with ",
    "what else would i see if ",
    "say ",
    "what would i see if ",
    "what would we see if ",
    "what would you see if ",
    "what would you expect if ",
    "what would i expect if ",
    "what would it look like if ",
    "what would the ball do if ",
    "what would happen with ",
    "what should i see if ",
    "what do i see if ",
    "what would you expect to see if ",
    "what would i expect to see if ",
];

/// Beginnings of a question for what speaks against a cause.
const AGAINST: [&str; 8] = [
    "what rules out ",
    "what would rule out ",
    "what speaks against ",
    "what argues against ",
    "what is against ",
    "whats against ",
    "what would speak against ",
    "how do i rule out ",
];

/// Who has it.
const WHO: [&str; 22] = [
    "he was ",
    "she was ",
    "they were ",
    "it was ",
    "he is ",
    "she is ",
    "it is ",
    "hes ",
    "shes ",
    "its ",
    "i was ",
    "i were ",
    "he were ",
    "it were ",
    "the golfer was ",
    "the pupil was ",
    "the player was ",
    "he had ",
    "she had ",
    "i had ",
    "the cause was ",
    "the cause is ",
];

fn asked(line: &str) -> Option<Asked> {
    let plain = line.trim().to_lowercase().replace(['\'', '\u{2019}'], "");
    let text = plain.trim_end_matches(['?', '.', '!', ' ']);
    let text = ["so ", "ok ", "and ", "then ", "now "]
        .iter()
        .find_map(|w| text.strip_prefix(w))
        .unwrap_or(text);
    if let Some(one) = AGAINST.iter().find_map(|way| text.strip_prefix(way)) {
        return Some(Asked::One(format!("why not {one}")));
    }
    if let Some((way, rest)) = WOULD_SEE
        .iter()
        .find_map(|way| Some((*way, text.strip_prefix(way)?)))
    {
        let who = WHO.iter().find_map(|w| rest.strip_prefix(w));
        // "If it was a flip" supposes; "if I was fitter I would hit it" does not.
        let bare = ["what if ", "if ", "say "].contains(&way);
        let named = |rest: &str| {
            let rest = rest.strip_prefix("a ").or(rest.strip_prefix("an "));
            rest.is_some_and(|r| r.split(' ').count() <= 4)
        };
        if !bare || who.is_some_and(named) && rest.starts_with("it ") {
            return Some(Asked::Suppose(who.unwrap_or(rest).to_owned()));
        }
        return None;
    }
    if let Some(rest) = SEPARATES.iter().find_map(|way| text.strip_prefix(way)) {
        let rest = rest.trim_end_matches(" apart");
        let rest = rest.strip_prefix("between ").unwrap_or(rest);
        if BOTH.contains(&rest) {
            return Some(Asked::FirstTwo);
        }
        let (a, b) = BETWEEN.iter().find_map(|w| rest.split_once(w))?;
        return Some(Asked::Compare(format!("{a} or {b}")));
    }
    if let Some(one) = text.strip_suffix(" or not")
        && [
            "is ", "does ", "do ", "are ", "should ", "can ", "will ", "was ",
        ]
        .iter()
        .any(|w| one.starts_with(w))
    {
        return Some(Asked::One(format!("{one}?")));
    }
    // "Casting vs hanging back", and nothing else.
    let (a, b) = [" vs ", " versus ", " v ", " rather than "]
        .iter()
        .find_map(|w| text.split_once(w))?;
    let asks = [
        "why ", "what ", "how ", "is ", "are ", "which ", "was ", "i ",
    ];
    if asks.iter().any(|w| a.starts_with(w)) {
        return None;
    }
    // Names of causes have five words at most (elicited).
    let short =
        |s: &str| s.split_whitespace().count() <= 5 && !s.contains(|c: char| c.is_ascii_digit());
    (short(a) && short(b)).then(|| Asked::Compare(format!("{a} or {b}")))
}

impl Session {
    /// The reply to a question put in one of these forms.
    pub(super) fn coach_forms(&mut self, line: &str) -> Option<Reply> {
        match asked(line)? {
            Asked::Compare(two) => {
                let (a, b) = two.split_once(" or ")?;
                (self.named(a).is_ok() && self.named(b).is_ok())
                    .then(|| self.compare(&two))
                    .flatten()
            }
            Asked::One(one) => Some(self.respond_whole(&one)),
            Asked::FirstTwo => {
                let Some((diagnosis, _)) = &self.last else {
                    return Some(Reply::note(Note::NothingKnown));
                };
                let ranked = &diagnosis.judgement.causes;
                let (first, second) = (ranked.first()?.cause, ranked.get(1)?.cause);
                Some(self.contrast_reply(first, second))
            }
            Asked::Suppose(cause) => self.named(&cause).is_ok().then(|| self.suppose(&cause)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Asked, asked};

    #[test]
    fn questions_of_coaches_are_put_in_the_known_form() {
        let compare = |text: &str| Some(Asked::Compare(text.to_owned()));
        for (line, meant) in [
            (
                "which test separates casting and hanging back",
                compare("casting or hanging back"),
            ),
            (
                "how do I tell casting from hanging back?",
                compare("casting or hanging back"),
            ),
            (
                "casting vs hanging back",
                compare("casting or hanging back"),
            ),
            ("which test separates these two", Some(Asked::FirstTwo)),
            (
                "what would I see if he was casting",
                Some(Asked::Suppose("casting".to_owned())),
            ),
            (
                "and if it was a flip",
                Some(Asked::Suppose("a flip".to_owned())),
            ),
            (
                "what else would I expect to see with sway?",
                Some(Asked::Suppose("sway".to_owned())),
            ),
            (
                "what rules out sway?",
                Some(Asked::One("why not sway".to_owned())),
            ),
            ("what if I move the ball back 2 inches", None),
            ("how do I tell if it is casting", None),
            ("7 iron vs 120 yards, fat", None),
            ("i hit it fat", None),
        ] {
            assert_eq!(asked(line), meant, "{line}");
        }
    }
}
