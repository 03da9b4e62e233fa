//! Which lines say in other words what is known in one form: "wdym", "so it starts left then, yes?",
//! "I should hit less down?", "and on a downhill slope?"?
//!
//! Takes a line of a talk in which something was told; gives the same in the form that has an answer, or
//! none. A line that tells and then asks ("I'm a big guy, is it my belly?") is cut into the two. Invariant:
//! what is asked in these forms is never taken for an answer or for something that happens. Words only:
//! what is answered is decided where the known form is read ([`super::asked_on`]).

use super::questions::{self, Asks};
use super::{command, openings};

/// Whole lines that ask for the cause that leads and its reason.
const WHICH_IS_IT: [&str; 34] = [
    "is there anything wrong with him",
    "is there anything wrong with me",
    "is there anything wrong with her",
    "is anything wrong with him",
    "is anything wrong with me",
    "is anything wrong with her",
    "what is it",
    "which one is more likely and why",
    "which one is more likely",
    "which is more likely",
    "which one is it then",
    "which one is it",
    "which one then",
    "which is it then",
    "which is it",
    "which of them then",
    "which of them is it",
    "which of those then",
    "which of those is it",
    "what is it then",
    "what is wrong with me",
    "what's wrong with me",
    "whats wrong with me",
    "what is wrong with my swing",
    "what's wrong with my swing",
    "whats wrong with my swing",
    "what is the cause please",
    "what is the cause then",
    "what's the cause then",
    "what is my problem",
    "what's my problem",
    "whats my problem",
    "what is my fault",
    "what am i doing wrong then",
];

/// Whole lines that ask what to work on.
const WHAT_TO_FIX: [&str; 25] = [
    "what helps then",
    "what helps",
    "what would help",
    "what will help",
    "what can i do then",
    "can you fix me",
    "can you fix it",
    "can this be fixed",
    "how do i cure it",
    "what should i fix",
    "what should i fix first",
    "what would you fix first",
    "what would you fix",
    "what do i fix first",
    "what do i fix",
    "what to fix first",
    "what should i change",
    "what should i change first",
    "what would you change",
    "what would you change first",
    "what do i change",
    "what should he fix",
    "what should she fix",
    "what should he change",
    "what should she change",
];

/// Said after a statement to have it confirmed.
const TAGS: [&str; 18] = [
    "is it",
    "is he",
    "does it",
    "does he",
    "do i",
    "am i",
    "yes",
    "right",
    "correct",
    "no",
    "yeah",
    "eh",
    "isn't it",
    "isnt it",
    "doesn't it",
    "doesnt it",
    "is that so",
    "true",
];

/// What the golfer concludes is to be done, and the question that it is.
const TO_DO: [(&str, &str); 9] = [
    ("i should ", "should i "),
    ("he should ", "should he "),
    ("she should ", "should she "),
    ("we should ", "should we "),
    ("i need to ", "should i "),
    ("he needs to ", "should he "),
    ("she needs to ", "should she "),
    ("i have to ", "should i "),
    ("i must ", "should i "),
];

/// Worries about what would come of it, and the question that they are.
const WORRIES: [(&str, &str); 12] = [
    ("won't i ", "will i "),
    ("wont i ", "will i "),
    ("won't it ", "will it "),
    ("wont it ", "will it "),
    ("won't that ", "will that "),
    ("wont that ", "will that "),
    ("wouldn't i ", "would i "),
    ("wouldnt i ", "would i "),
    ("wouldn't it ", "would it "),
    ("wouldnt it ", "would it "),
    ("wouldn't that ", "would that "),
    ("wouldnt that ", "would that "),
];

/// Verbs of a statement about the shot, and as a question has them.
const VERBS: [(&str, &str); 12] = [
    ("starts", "start"),
    ("goes", "go"),
    ("curves", "curve"),
    ("flies", "fly"),
    ("comes", "come"),
    ("hits", "hit"),
    ("bottoms", "bottom"),
    ("moves", "move"),
    ("points", "point"),
    ("means", "mean"),
    ("makes", "make"),
    ("causes", "cause"),
];

/// A theory holds for anybody: with one of these it is the golfer's own shot that is told.
const OWN: [&str; 8] = ["i", "my", "me", "i'm", "im", "he", "she", "his"];

/// Words of a question without a verb at most: "and on a downhill slope?" (elicited).
pub(super) const SHORT: usize = 8;

/// The line in the form that has an answer; none if it is in none of these.
pub(super) fn put_otherwise(line: &str) -> Option<String> {
    let text = command::plain(line);
    let marked = line.trim_end().ends_with('?');
    if let Some(rest) = text.strip_prefix("wdym") {
        let rest = rest.trim_start_matches([' ', ',', ':']);
        let rest = rest.strip_prefix("by ").unwrap_or(rest);
        return Some(if rest.is_empty() {
            "what do you mean?".to_owned()
        } else {
            format!("what do you mean by {rest}?")
        });
    }
    let bare = questions::bare(&text);
    if WHICH_IS_IT.contains(&bare) {
        return Some("why".to_owned());
    }
    if WHAT_TO_FIX.contains(&bare) {
        return Some("practise".to_owned());
    }
    let other = |list: &[(&str, &str)]| {
        list.iter()
            .find_map(|(said, asked)| Some(format!("{asked}{}?", bare.strip_prefix(said)?)))
    };
    if let Some(asked) = other(&WORRIES) {
        return Some(asked);
    }
    if let Some(asked) = other(&TO_DO).filter(|_| marked) {
        return Some(asked);
    }
    if let Some(rest) = bare.strip_prefix("if i ").filter(|_| marked) {
        let short = rest.split(' ').count() <= SHORT && !rest.contains([',', ';', '.']);
        return short.then(|| format!("what if i {rest}?"));
    }
    let or_me = [" or me", " or is it me", " or my swing", " or just me"];
    if let Some(rest) = or_me.iter().find_map(|w| bare.strip_suffix(w)) {
        let asks = ["is it ", "was it ", "could it be "];
        // "Is it the club or me?" asks of all kit, which is no cause by name.
        let asks = asks.iter().any(|w| rest.starts_with(w)) && !rest.ends_with("the club");
        return (asks && rest.split(' ').count() <= SHORT).then(|| format!("{rest}?"));
    }
    if let Some(blamed) = blamed(bare).filter(|_| marked) {
        return Some(blamed);
    }
    if let Some(denied) = denied_and_asked(&text) {
        return Some(denied);
    }
    if let Some(turned) = confirmed(&text).filter(|_| marked) {
        return Some(turned);
    }
    if let Some(back) = taken_back(&text) {
        return Some(back);
    }
    theory(bare)
}

/// True for a statement with a tag that asks for its confirmation: "unlikely that I sway, no?".
pub(super) fn tagged(line: &str) -> bool {
    let text = command::plain(line);
    let tag = text.rsplit_once([',', ';']).map(|(_, tag)| tag.trim());
    line.trim_end().ends_with('?') && tag.is_some_and(|tag| TAGS.contains(&tag))
}

/// "Was standing closer the reason for the shanks?", "did the new grip do that?": what is blamed, as a
/// question.
fn blamed(bare: &str) -> Option<String> {
    const REASONS: [&str; 6] = [
        " the reason",
        " the cause",
        " to blame",
        " the culprit",
        " why it happened",
        " the problem",
    ];
    let rest = ["was ", "were ", "is ", "are "]
        .iter()
        .find_map(|w| bare.strip_prefix(w))?;
    let (what, after) = REASONS.iter().find_map(|w| rest.split_once(w))?;
    let goes_on = after.is_empty()
        || after.starts_with(" for ")
        || after.starts_with(" of ")
        || after == " then";
    let named = !["it", "that", "this", "what"].contains(&what) && what.split(' ').count() <= SHORT;
    (goes_on && named).then(|| format!("is it {what}?"))
}

/// "Then it isn't my ball position, is it": what is denied, as a question.
fn denied_and_asked(text: &str) -> Option<String> {
    const NOT: [&str; 5] = [
        "it isn't ",
        "it isnt ",
        "it's not ",
        "its not ",
        "it is not ",
    ];
    let said = [", is it", " is it then", ", is that right"];
    let said = said.iter().find_map(|tag| text.strip_suffix(tag))?;
    let said = questions::bare(said);
    let what = NOT.iter().find_map(|way| said.strip_prefix(way))?;
    (what.split(' ').count() <= SHORT).then(|| format!("is it {what}?"))
}

/// "Forget the thin, it is only fat": what is taken back, in the form that does it.
fn taken_back(text: &str) -> Option<String> {
    const BACK: [&str; 10] = [
        "forget about the ",
        "forget the ",
        "scrap the ",
        "scratch the ",
        "ignore the ",
        "never mind the ",
        "strike the ",
        "forget my ",
        "scrap my ",
        "ignore my ",
    ];
    let bare = questions::bare(text);
    let rest = BACK.iter().find_map(|way| bare.strip_prefix(way))?;
    let (what, more) = rest.split_once(',').unwrap_or((rest, ""));
    let short = what.split(' ').count() <= 2;
    let more = more.trim();
    let more = ["it is only ", "it's only ", "its only ", "only "]
        .iter()
        .find_map(|way| more.strip_prefix(way))
        .unwrap_or(more);
    let put_right = if more.is_empty() {
        format!("not {what}")
    } else {
        format!("not {what}, {more}")
    };
    short.then_some(put_right)
}

/// "So the ball starts left then, yes?": what is to be confirmed, as a question.
fn confirmed(text: &str) -> Option<String> {
    let (said, tag) = text.rsplit_once([',', ';'])?;
    if !TAGS.contains(&tag.trim()) {
        return None;
    }
    let said = questions::bare(said.trim());
    let said = said.strip_suffix(" then").unwrap_or(said);
    if said.contains([',', ';', '.', '?']) {
        return None;
    }
    let words: Vec<&str> = said.split(' ').collect();
    for (at, word) in words.iter().enumerate().take(5).skip(1) {
        let (before, after) = (words.get(..at)?, words.get(at + 1..)?);
        let joined = |verb: &str, then: &str| {
            let all: Vec<&str> = std::iter::once(verb)
                .chain(before.iter().copied())
                .chain((!then.is_empty()).then_some(then))
                .chain(after.iter().copied())
                .collect();
            format!("{}?", all.join(" "))
        };
        if ["is", "are", "was", "will", "would", "can", "should"].contains(word) {
            return Some(joined(word, ""));
        }
        if let Some((_, verb)) = VERBS.iter().find(|(said, _)| said == word) {
            return Some(joined("does", verb));
        }
    }
    None
}

/// "I thought in to out means it bottoms out behind": a theory, which is asked and not told.
fn theory(bare: &str) -> Option<String> {
    const THOUGHT: [&str; 6] = [
        "i thought ",
        "i always thought ",
        "i was told ",
        "i read ",
        "i heard ",
        "i'd have thought ",
    ];
    const HOLDS: [(&str, &str); 8] = [
        (" means ", "mean"),
        (" mean ", "mean"),
        (" causes ", "cause"),
        (" cause ", "cause"),
        (" makes ", "make"),
        (" make ", "make"),
        (" gives ", "give"),
        (" leads to ", "lead to"),
    ];
    let said = THOUGHT.iter().find_map(|w| bare.strip_prefix(w))?;
    let said = said.strip_prefix("that ").unwrap_or(said);
    let own = said.split(' ').any(|w| OWN.contains(&w));
    let held = HOLDS
        .iter()
        .find_map(|(way, verb)| Some((said.split_once(way)?, verb)));
    let ((one, other), verb) = held.filter(|_| !own)?;
    Some(format!("does {one} {verb} {other}?"))
}

/// The part of a line that tells and the question after it.
pub(super) fn told_and_asked(line: &str) -> Option<(&str, &str)> {
    let line = line.trim_end();
    if !line.ends_with('?') {
        return None;
    }
    let cuts = line.match_indices([',', '.', ';', '!']);
    let mut cuts: Vec<usize> = cuts
        .map(|(at, _)| at)
        .filter(|at| line.get(at + 1..).is_some_and(|r| r.starts_with(' ')))
        .collect();
    cuts.reverse();
    for at in cuts {
        let (head, tail) = (line.get(..at)?.trim(), line.get(at + 1..)?.trim());
        let opened =
            openings::without(head, &["ok", "so", "well", "yes", "no", "but"], &[' ', ',']);
        let tells = opened.split_whitespace().count() > 1 && !questions::is_question(head);
        let asks = matches!(questions::asks(tail), Some(Asks::Thing(_) | Asks::IsItGood));
        if tells && asks {
            return Some((head, tail));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::{put_otherwise, told_and_asked};

    #[test]
    fn what_is_said_in_other_words_is_put_in_the_known_form() {
        for (line, known) in [
            ("wdym", "what do you mean?"),
            (
                "wdym bag touching my seat",
                "what do you mean by bag touching my seat?",
            ),
            (
                "so the ball starts left then, yes?",
                "does the ball start left?",
            ),
            ("so his path is left, right?", "is his path left?"),
            ("I should hit less down?", "should i hit less down?"),
            ("so i should close the face?", "should i close the face?"),
            ("won't I slice then", "will i slice then?"),
            ("so if I tee it lower?", "what if i tee it lower?"),
            (
                "I thought in to out means it bottoms out behind",
                "does in to out mean it bottoms out behind?",
            ),
            (
                "then it isn't my ball position, is it",
                "is it my ball position?",
            ),
            ("forget the thin, it is only fat", "not thin, fat"),
            ("which one is it then?", "why"),
            ("so what would you fix first?", "practise"),
        ] {
            assert_eq!(put_otherwise(line).as_deref(), Some(known), "{line}");
        }
        for line in [
            "i should have hit it",
            "if I swing easy it is fine",
            "I thought I hit it fat",
            "yes, right?",
            "7 iron fat, yes",
            "no",
        ] {
            assert_eq!(put_otherwise(line), None, "{line}");
        }
    }

    #[test]
    fn what_is_told_and_then_asked_is_cut_in_two() {
        assert_eq!(
            told_and_asked("I'm a big guy, is it my belly?"),
            Some(("I'm a big guy", "is it my belly?"))
        );
        assert_eq!(
            told_and_asked("my friend says I'm looking up. is it that?"),
            Some(("my friend says I'm looking up", "is it that?"))
        );
        for line in [
            "is it my belly?",
            "ok, is it my belly?",
            "fat, thin or topped?",
            "it starts left, then right",
        ] {
            assert_eq!(told_and_asked(line), None, "{line}");
        }
    }
}
