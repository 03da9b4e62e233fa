//! What do plain words stand for: a coach's for a fault of the club, a question's for what a golfer can
//! tell, a line's for committing?
//!
//! Takes words and gives the words by which the knowledge names the same. The bottom of the arc is early,
//! back or before the ball: all that is a low point behind it. Knows lists of words only the learner's
//! talk needs, and no entry by name; whether anything of it is so is not decided here.

use super::finding::joined;
use crate::conversation::names::{spoken, words};

// ------------------------------------------------------------------ faults

/// Words in small letters, with what coaches say in the words that faults are named by.
pub(super) fn in_names(text: &str) -> String {
    let mut lower = format!(" {} ", joined(text).replace(['.', '!', '?'], " . "));
    for at in [",", ";", ":"] {
        lower = lower.replace(at, &format!(" {at} "));
    }
    lower = lower
        .split_whitespace()
        .fold(" ".to_owned(), |all, word| all + word + " ");
    for (said, meant) in SAME {
        lower = lower.replace(said, meant);
    }
    lower = placed(&lower);
    for ground in GROUND {
        for met in MEETS {
            for first in [" first ", " before the ball ", " before ball "] {
                lower = lower.replace(&format!(" {met} {ground}{first}"), " , ground first , ");
            }
        }
        for comes in COMES {
            let said = format!(" {ground} {comes} first ");
            lower = lower.replace(&said, " , ground first , ");
        }
    }
    lower
}

/// The words with every place of the arc's bottom as "behind" or "ahead": "the low point is too far
/// back" is a low point behind, and so is one that is "not far enough forward".
fn placed(text: &str) -> String {
    let said: Vec<&str> = text.split_whitespace().collect();
    let mut out: Vec<&str> = vec![""];
    let mut at = 0;
    while let Some(word) = said.get(at) {
        let rest = said.get(at..).unwrap_or(&[]);
        let head = BOTTOMS.iter().find(|(head, _)| rest.starts_with(head));
        let found = head.and_then(|(head, by_itself)| {
            let (place, length) = place_in(rest.get(head.len()..).unwrap_or(&[]), *by_itself)?;
            Some((place, head.len() + length))
        });
        if let Some((place, length)) = found {
            out.extend(["low", "point", place]);
            at += length;
        } else if let Some((head, true)) = head {
            out.extend(["low", "point"]);
            at += head.len();
        } else {
            out.push(word);
            at += 1;
        }
    }
    out.push("");
    out.join(" ")
}

/// Where the words after the bottom of the arc put it, and how many of them say so.
fn place_in(after: &[&str], by_itself: bool) -> Option<(&'static str, usize)> {
    const REACH: usize = 6;
    let ends = after.iter().position(|w| STOPS.contains(w));
    let near = after.get(..ends.unwrap_or(after.len()).min(REACH))?;
    let at = near
        .iter()
        .position(|w| BACK.contains(w) || FORWARD.contains(w))?;
    let (word, before) = (near.get(at)?, near.get(..at)?);
    let next = after.get(at + 1).copied().unwrap_or("");
    let has = |list: &[&str]| before.iter().any(|w| list.contains(w));
    // "Back and forth" is no place, and what needs to go somewhere is not there.
    let both = after.get(at + 2).is_some_and(|w| w.starts_with("for"));
    if has(&WANTED) || (next == "and" && both) {
        return None;
    }
    let short = has(&["not", "isnt", "never", "cannot"])
        && (has(&["enough"]) || next == "enough")
        && FORWARD.contains(word);
    if short {
        return Some(("behind", at + 1 + usize::from(next == "enough")));
    }
    let behind = match *word {
        "behind" => by_itself || has(&["is", "lies", "sits", "too"]),
        "before" => next == "the" || next == "ball" || next == "it",
        "back" => !["ahead", "in", "to", "under", "where"].contains(&next),
        back => BACK.contains(&back),
    };
    if behind {
        return Some(("behind", at + 1));
    }
    (FORWARD.contains(word) && has(&["too"])).then_some(("ahead", at + 1))
}

/// What coaches call the bottom of the arc; whether it is one even where no place is told.
const BOTTOMS: [(&[&str], bool); 16] = [
    (&["low", "point"], true),
    (&["bottoms", "out"], true),
    (&["bottoming", "out"], true),
    (&["the", "bottom"], false),
    (&["bottoms"], false),
    (&["bottoming"], false),
    (&["centre", "of", "the", "arc"], false),
    (&["center", "of", "the", "arc"], false),
    (&["centre", "of", "his", "arc"], false),
    (&["center", "of", "his", "arc"], false),
    (&["centre", "of", "her", "arc"], false),
    (&["center", "of", "her", "arc"], false),
    (&["arc", "centre"], false),
    (&["arc", "center"], false),
    (&["whole", "arc"], false),
    (&["the", "arc"], false),
];
/// Words of a place behind the ball, in the order of the swing or of the ground.
const BACK: [&str; 10] = [
    "behind",
    "back",
    "backward",
    "backwards",
    "rearward",
    "early",
    "earlier",
    "soon",
    "sooner",
    "before",
];
/// Words of a place ahead of it.
const FORWARD: [&str; 4] = ["ahead", "forward", "forwards", "late"];
/// Where what is said of the bottom ends.
const STOPS: [&str; 16] = [
    ",",
    ";",
    ":",
    ".",
    "so",
    "and",
    "because",
    "which",
    "then",
    "puts",
    "makes",
    "causes",
    "gives",
    "means",
    "but",
    "therefore",
];
/// Words of what ought to be.
const WANTED: [&str; 8] = [
    "need", "needs", "should", "must", "want", "wants", "would", "get",
];
/// What a club does to the ground.
const MEETS: [&str; 9] = [
    "hits", "hit", "meets", "strikes", "touches", "catches", "reaches", "takes", "finds",
];
const GROUND: [&str; 6] = [
    "the ground",
    "the turf",
    "the earth",
    "ground",
    "turf",
    "earth",
];
/// What the ground does before the ball.
const COMES: [&str; 6] = [
    "comes",
    "is met",
    "is hit",
    "is struck",
    "gets hit",
    "is reached",
];

/// What coaches say for the words that faults are named by, the longer before the shorter.
const SAME: [(&str, &str); 22] = [
    (" comes down too steeply ", " is hitting down "),
    (" comes down too steep ", " is hitting down "),
    (" comes down steeply ", " is hitting down "),
    (" comes down steep ", " is hitting down "),
    (" comes in too steep ", " is hitting down "),
    (" comes in steep ", " is hitting down "),
    (" steep angle of attack ", " hitting down "),
    (" steep attack ", " hitting down "),
    (" bottom of the arc ", " low point "),
    (" bottom of the swing ", " low point "),
    (" bottom of his arc ", " low point "),
    (" bottom of his swing ", " low point "),
    (" bottom of her swing ", " low point "),
    (" point's ", " point is "),
    (" lowest point ", " low point "),
    (" arc bottoms out ", " low point "),
    (" arc bottoms ", " low point "),
    (" swing bottoms out ", " low point "),
    (" swing bottoms ", " low point "),
    (" club bottoms out ", " low point "),
    (" club bottoms ", " low point "),
    (" arc is lowest ", " low point "),
];

// ------------------------------------------------------------------ causes

/// Whether words tell how somebody stands before the swing: "he starts with his chest over the back
/// foot".
pub(super) fn stands_so(said: &[String]) -> bool {
    const POSED: [&str; 5] = ["address", "setup", "aim", "aimed", "aiming"];
    const MOVING: [&str; 4] = ["downswing", "backswing", "takeaway", "down"];
    const STANDS: [&[&str]; 12] = [
        &["starts", "with", "his"],
        &["starts", "with", "her"],
        &["he", "starts", "with"],
        &["she", "starts", "with"],
        &["he", "starts", "on"],
        &["she", "starts", "on"],
        &["he", "starts", "over"],
        &["she", "starts", "over"],
        &["stands", "with"],
        &["stands", "too"],
        &["sets", "up"],
        &["before", "he", "swings"],
    ];
    let has = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
    let stands = |run: &&[&str]| {
        said.windows(run.len())
            .any(|w| w.iter().zip(*run).all(|(a, b)| a == b))
    };
    has(&POSED) || (STANDS.iter().any(stands) && !has(&MOVING))
}

// ------------------------------------------------------------------ questions

/// A question with what the golfer is asked in the words golfers tell it in, without "right?" at its
/// end. "Where is your weight at the finish?" asks whether it ends on the back foot.
pub(super) fn asked(text: &str) -> String {
    let mut lower = text.trim().trim_end_matches(['?', '.', '!']).to_lowercase();
    for tag in TAGS {
        if let Some((rest, end)) = lower.rsplit_once(',')
            && end.trim() == tag
        {
            lower = rest.to_owned();
        }
    }
    let said = words(&lower);
    let all = |list: &[&str]| list.iter().all(|w| said.iter().any(|s| s == w));
    let few = said.len() <= OPEN;
    if let Some((_, told)) = ASKS.iter().find(|(list, _)| few && all(list)) {
        return (*told).to_owned();
    }
    let mut plain = format!(" {lower} ");
    for (said, told) in TOLD {
        plain = plain.replace(said, told);
    }
    plain.trim().to_owned()
}

/// What turns a statement into a question.
const TAGS: [&str; 8] = [
    "right",
    "correct",
    "yes",
    "no",
    "eh",
    "don't you",
    "is that right",
    "isn't it",
];
/// A question of so many words at most asks for one thing.
const OPEN: usize = 9;
/// Words of open questions, and what the golfer is asked by them.
const ASKS: [(&[&str], &str); 4] = [
    (&["where", "weight", "finish"], "finish on my back foot"),
    (&["which", "foot", "finish"], "finish on my back foot"),
    (&["what", "foot", "finish"], "finish on my back foot"),
    (&["where", "weight", "end"], "finish on my back foot"),
];
/// What coaches say for the words in which golfers tell it.
const TOLD: [(&str, &str); 4] = [
    (" rise out of ", " come out of "),
    (" rising out of ", " coming out of "),
    (" get up out of ", " come out of "),
    (" rise up out of ", " come out of "),
];

/// Words of the turf.
const TURF: [&str; 7] = [
    "divot", "divots", "turf", "mark", "marks", "grass", "ground",
];
/// Words around them that ask only whether there is any.
const ANY: [&str; 27] = [
    "do", "does", "did", "you", "your", "he", "she", "take", "takes", "make", "makes", "leave",
    "leaves", "get", "a", "any", "is", "are", "there", "ever", "usually", "normally", "with",
    "this", "the", "club", "some",
];

/// Whether a question asks for nothing but whether turf is taken.
pub(super) fn asks_turf(text: &str) -> bool {
    let said = words(text);
    let verb = ["take", "takes", "make", "makes", "leave", "leaves", "any"];
    said.iter().any(|w| TURF.contains(&w.as_str()))
        && said.iter().any(|w| verb.contains(&w.as_str()))
        && said
            .iter()
            .all(|w| TURF.contains(&w.as_str()) || ANY.contains(&w.as_str()))
}

/// Whether a question asks for nothing but what usually goes wrong.
pub(super) fn asks_miss(text: &str) -> bool {
    const MISS: [&str; 7] = [
        "miss", "misses", "mishit", "mishits", "shot", "shots", "ones",
    ];
    const BAD: [&str; 8] = [
        "miss", "misses", "mishit", "mishits", "bad", "usual", "typical", "worst",
    ];
    const AROUND: [&str; 24] = [
        "tell", "me", "about", "describe", "what", "whats", "s", "is", "are", "your", "you", "the",
        "like", "look", "do", "does", "main", "common", "most", "how", "his", "her", "hit", "of",
    ];
    let said = words(text);
    let has = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
    let known = |w: &String| {
        let w = w.as_str();
        MISS.contains(&w) || BAD.contains(&w) || AROUND.contains(&w)
    };
    has(&MISS) && has(&BAD) && has(&["your", "his", "her", "the"]) && said.iter().all(known)
}

// ------------------------------------------------------------------ committing

/// The words before "commit" at the end of a line that does so.
pub(super) fn committed(line: &str) -> Option<&str> {
    const ENDS: [&str; 4] = ["commit", "commit to it", "commit to that", "commit to this"];
    const AGAINST: [&str; 16] = [
        "not", "dont", "cant", "cannot", "never", "before", "until", "when", "how", "should",
        "can", "wont", "what", "why", "does", "must",
    ];
    let plain = line.trim().trim_end_matches(['.', '!', ' ']);
    if plain.ends_with('?') || spoken(plain).iter().any(|w| AGAINST.contains(&w.as_str())) {
        return None;
    }
    let head = ENDS.iter().find_map(|end| {
        let cut = plain.len().checked_sub(end.len())?;
        let (head, tail) = (plain.get(..cut)?, plain.get(cut..)?);
        (tail.eq_ignore_ascii_case(end) && head.ends_with([' ', ','])).then_some(head)
    })?;
    let mut head = head.trim_end_matches([' ', ',', ';', '.', ':']);
    while let Some(rest) = BEFORE_IT.iter().find_map(|w| cut_word(head, w)) {
        head = rest.trim_end_matches([' ', ',', ';', '.', ':']);
    }
    Some(head)
}

/// Words between what is committed to and the word for it.
const BEFORE_IT: [&str; 10] = [
    "i", "and", "so", "to", "will", "now", "ill", "i'll", "let me", "ready",
];

/// The text without this word at its end.
fn cut_word<'a>(text: &'a str, word: &str) -> Option<&'a str> {
    let cut = text.len().checked_sub(word.len())?;
    let (head, tail) = (text.get(..cut)?, text.get(cut..)?);
    let whole = head.is_empty() || head.ends_with([' ', ',']);
    (tail.eq_ignore_ascii_case(word) && whole).then_some(head)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bottom_of_the_arc_is_behind_or_ahead() {
        for (said, meant) in [
            ("the low point is back", "the low point behind"),
            (
                "so the low point is too far back",
                "so the low point behind",
            ),
            ("low point behind the ball", "low point behind the ball"),
            ("low point at the ball", "low point at the ball"),
            ("low point too far ahead", "low point ahead"),
            ("it bottoms out too early", "it low point behind"),
            (
                "the low point is not far enough forward",
                "the low point behind",
            ),
            ("the low point is not ahead enough", "the low point behind"),
            ("the low point is back ahead", "the low point is back ahead"),
            (
                "the low point goes back and forth",
                "the low point goes back and forth",
            ),
            (
                "the low point needs to go back",
                "the low point needs to go back",
            ),
            ("the centre of the arc is back", "the low point behind"),
            (
                "the arc bottoms behind the ball",
                "the low point behind the ball",
            ),
            (
                "the low point is on the ball so back",
                "the low point is on the ball so back",
            ),
        ] {
            assert_eq!(in_names(said).trim(), meant, "{said}");
        }
        assert_eq!(in_names("the turf comes first").trim(), ", ground first ,");
    }

    #[test]
    fn a_line_may_end_in_committing() {
        assert_eq!(
            committed("so the low point is back, commit"),
            Some("so the low point is back")
        );
        assert_eq!(committed("face open and I commit."), Some("face open"));
        assert_eq!(committed("I will commit"), Some(""));
        for no in [
            "commit",
            "I do not commit",
            "when should I commit",
            "do I commit?",
        ] {
            assert_eq!(committed(no), None, "{no}");
        }
    }
}
