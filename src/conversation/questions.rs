//! Which lines are questions, and of what sort?
//!
//! Takes a line; says whether it only asks. Invariant: what a line asks is not told by it, so a line
//! that only asks is never taken for an answer or for a fact. A bare "yes?" is an answer given with
//! doubt and no question. Whether a question speaks of the golfer's own shots all the same ("why do I
//! slice?") is decided where it is known what was told ([`super::mechanisms`]).

use super::command;
use super::names::words;
use super::openings;

/// What a line that only asks wants to know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Asks {
    /// Whether what was said last is so: "is that right?".
    IsItSo,
    /// Whether what was counted is good: "is that good?".
    IsItGood,
    /// What the question just put has to do with it.
    WhyThat,
    /// What stands in the book, or was told so far.
    Told(Recorded),
    /// Anything else: the question in plain letters, without the words around it.
    Thing(String),
}

/// What is remembered of a golfer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Recorded {
    /// What was told so far.
    Said,
    /// What was agreed to practise.
    Agreed,
    /// Whose lesson this is.
    Whose,
    /// Which pupils there are.
    Pupils,
}

/// Said before a question that is the same without; the longest first.
const BEFORE: [&str; 45] = [
    "i was wondering if",
    "just wondering if",
    "i was wondering",
    "just wondering",
    "can you tell me",
    "could you tell me",
    "do you know",
    "quick question",
    "one question",
    "another question",
    "i see but",
    "fine but",
    "yes but",
    "yeah but",
    "yep but",
    "no but",
    "ok but",
    "okay but",
    "sure but",
    "yes and",
    "yeah and",
    "i wonder",
    "tell me",
    "actually",
    "anyway",
    "sorry",
    "right",
    "coach",
    "okay",
    "well",
    "then",
    "now",
    "hey",
    "hmm",
    "but",
    "and",
    "so",
    "ok",
    "um",
    "er",
    "ah",
    "oh",
    "hi",
    "wait",
    "also",
];

/// Whole lines that ask whether what was said is so.
const IS_IT_SO: [&str; 47] = [
    "is that true",
    "is that right",
    "is that so",
    "is that correct",
    "is that certain",
    "is that really so",
    "is that really true",
    "is that possible",
    "is that likely",
    "is that all",
    "is this true",
    "is this right",
    "is this correct",
    "is it true",
    "is it so",
    "is it correct",
    "is it certain",
    "can that be",
    "can that be right",
    "can that be true",
    "how can that be",
    "does that make sense",
    "you sure",
    "for real",
    "is that what it is",
    "i don't believe that",
    "i dont believe that",
    "i don't believe it",
    "i dont believe it",
    "i don't believe you",
    "i dont believe you",
    "i doubt that",
    "i'm not convinced",
    "im not convinced",
    "not convinced",
    "that can't be right",
    "that cant be right",
    "that can't be it",
    "that cant be it",
    "that can't be true",
    "that cant be true",
    "that doesn't sound right",
    "that doesnt sound right",
    "that makes no sense",
    "that doesn't make sense",
    "that doesnt make sense",
    "i find that hard to believe",
];

/// Whole lines that ask whether what was counted is good.
const IS_IT_GOOD: [&str; 20] = [
    "is that good",
    "is that bad",
    "is that ok",
    "is that okay",
    "is that normal",
    "is that enough",
    "is that good enough",
    "is that any good",
    "is that better",
    "is that progress",
    "is that an improvement",
    "is it good",
    "is it bad",
    "is this good",
    "is this bad",
    "is this ok",
    "is this normal",
    "was that good",
    "is it luck",
    "is that luck",
];

/// The same in a word or two, if a question mark follows.
const IS_IT_SO_MARKED: [&str; 12] = [
    "true",
    "right",
    "correct",
    "sure",
    "really",
    "seriously",
    "honestly",
    "certain",
    "oh really",
    "is it",
    "is it really",
    "are they",
];

/// What has this to do with it?
const WHY_THAT: [&str; 14] = [
    "why does that matter",
    "why does it matter",
    "why would that matter",
    "why should that matter",
    "why is that important",
    "why is it important",
    "how does that matter",
    "what does that matter",
    "what does it matter",
    "what difference does that make",
    "what difference does it make",
    "what does that tell you",
    "what would that tell you",
    "what does that have to do",
];

/// What was told, agreed, whose lesson it is.
const RECORDED: [(&str, Recorded); 38] = [
    ("what did you tell me to", Recorded::Agreed),
    ("what did you say last", Recorded::Agreed),
    ("what was i supposed to", Recorded::Agreed),
    ("what was i meant to", Recorded::Agreed),
    ("what have we told you", Recorded::Said),
    ("what have i told you", Recorded::Said),
    ("what did i tell you", Recorded::Said),
    ("what did we tell you", Recorded::Said),
    ("what have you got so far", Recorded::Said),
    ("what do we know", Recorded::Said),
    ("what do you know about", Recorded::Said),
    ("what have you noted", Recorded::Said),
    ("what did you note", Recorded::Said),
    ("what did i say", Recorded::Said),
    ("what did he say", Recorded::Said),
    ("what did she say", Recorded::Said),
    ("what have you understood", Recorded::Said),
    ("what did we agree", Recorded::Agreed),
    ("what have we agreed", Recorded::Agreed),
    ("what was agreed", Recorded::Agreed),
    ("what did you give", Recorded::Agreed),
    ("what did we do last", Recorded::Agreed),
    ("what did i do last", Recorded::Agreed),
    ("what did we work on", Recorded::Agreed),
    ("what did i work on", Recorded::Agreed),
    ("what did he work on", Recorded::Agreed),
    ("what did she work on", Recorded::Agreed),
    ("what was i working on", Recorded::Agreed),
    ("what was he working on", Recorded::Agreed),
    ("what was she working on", Recorded::Agreed),
    ("what is she working on", Recorded::Agreed),
    ("what is he working on", Recorded::Agreed),
    ("what am i working on", Recorded::Agreed),
    ("who am i", Recorded::Whose),
    ("whose book is", Recorded::Whose),
    ("who is this book", Recorded::Whose),
    ("who are my pupils", Recorded::Pupils),
    ("which pupils do", Recorded::Pupils),
];

/// The same as whole lines, without being questions.
const RECORDED_WHOLE: [(&str, Recorded); 6] = [
    ("my pupils", Recorded::Pupils),
    ("list my pupils", Recorded::Pupils),
    ("show my pupils", Recorded::Pupils),
    ("my students", Recorded::Pupils),
    ("whose book", Recorded::Whose),
    ("what we agreed", Recorded::Agreed),
];

/// Before something whose causes are asked for.
pub(super) const BEHIND: [&str; 19] = [
    "what causes ",
    "what cause ",
    "what leads to ",
    "what gives ",
    "what brings about ",
    "what produces ",
    "what creates ",
    "what can cause ",
    "what would cause ",
    "what could cause ",
    "what usually causes ",
    "what normally causes ",
    "what might cause ",
    "what makes ",
    "what can make ",
    "what would make ",
    "what is behind ",
    "what lies behind ",
    "where does ",
];

/// Words that begin a question that can be answered with yes or no.
const HELPING: [&str; 34] = [
    "is",
    "are",
    "am",
    "was",
    "were",
    "do",
    "does",
    "did",
    "can",
    "could",
    "will",
    "would",
    "shall",
    "should",
    "has",
    "have",
    "had",
    "may",
    "might",
    "isn't",
    "isnt",
    "aren't",
    "doesn't",
    "doesnt",
    "don't",
    "dont",
    "won't",
    "wont",
    "wouldn't",
    "can't",
    "cant",
    "couldn't",
    "shouldn't",
    "must",
];

/// Words of whom or what such a question asks, right after its first.
const SUBJECTS: [&str; 25] = [
    "i", "my", "he", "his", "she", "her", "they", "their", "it", "its", "that", "this", "these",
    "those", "the", "a", "an", "there", "you", "your", "we", "our", "one", "everyone", "pros",
];

/// Words that begin other questions.
const ASKING: [&str; 20] = [
    "what", "what's", "whats", "which", "who", "who's", "whose", "where", "where's", "wheres",
    "when", "why", "how", "how's", "hows", "what're", "whatever", "wot", "wat", "whys",
];

/// What follows them in a question without its mark.
const GOES_ON: [&str; 15] = [
    "much",
    "many",
    "far",
    "high",
    "deep",
    "long",
    "often",
    "big",
    "steep",
    "close",
    "wide",
    "important",
    "bad",
    "come",
    "about",
];

/// Verbs after "what" in a question without its mark: "what causes a slice".
const WHAT_DOES: [&str; 12] = [
    "causes", "cause", "leads", "makes", "gives", "happens", "decides", "brings", "produces",
    "creates", "kind", "sort",
];

/// What follows the name of a number in a question without its mark: "what low point is good".
const IS_GOOD: [&str; 7] = [
    " is good",
    " is normal",
    " is usual",
    " is best",
    " is ideal",
    " is right",
    " is typical",
];

/// What a line asks; none if it tells, or does more than ask.
pub(super) fn asks(line: &str) -> Option<Asks> {
    let text = command::plain(line);
    let marked = line.trim_end().ends_with('?');
    let whole = RECORDED_WHOLE.iter().find(|(way, _)| *way == text);
    if let Some((_, what)) = whole {
        return Some(Asks::Told(*what));
    }
    let text: String = text
        .chars()
        .filter(|c| !matches!(c, '"' | '\u{201c}' | '\u{201d}' | '*' | '`'))
        .collect();
    if doubts(&text) {
        return Some(Asks::IsItSo);
    }
    if let Some(turned) = turned_round(&text).filter(|_| marked) {
        return Some(Asks::Thing(turned));
    }
    // More than one sentence tells something, or asks two things.
    if text.contains(['?', '!', ';', '\n']) || text.contains(". ") {
        return None;
    }
    let bare = bare(&text);
    let is_it_so = IS_IT_SO.contains(&bare)
        || (marked
            && (IS_IT_SO_MARKED.contains(&bare) || IS_IT_SO_MARKED.contains(&text.as_str())));
    if is_it_so {
        return Some(Asks::IsItSo);
    }
    if IS_IT_GOOD.contains(&bare) {
        return Some(Asks::IsItGood);
    }
    let to_do_with = bare.contains(" to do with") && !bare.contains(" nothing to do with");
    if WHY_THAT.iter().any(|way| bare.starts_with(way)) && words(bare).len() < 9
        || to_do_with && begins(bare, marked)
    {
        return Some(Asks::WhyThat);
    }
    let recorded = RECORDED.iter().find(|(way, _)| bare.starts_with(way));
    if let Some((_, what)) = recorded.filter(|_| words(bare).len() < 11) {
        return Some(Asks::Told(*what));
    }
    begins(bare, marked).then(|| Asks::Thing(openings::whole_words(bare)))
}

/// True if the line asks and does not answer: even one that tells as well ("why does it start left?").
pub(super) fn is_question(line: &str) -> bool {
    asks(line).is_some()
}

/// "Is that right? I thought it goes the other way": a doubt, whatever it goes on with.
fn doubts(text: &str) -> bool {
    const GROUNDS: [&str; 16] = [
        "i thought",
        "i always thought",
        "i read",
        "i heard",
        "i was told",
        "i would have said",
        "i'd have said",
        "i had it",
        "i expected",
        "my coach",
        "isn't",
        "isnt",
        "doesn't",
        "doesnt",
        "shouldn't",
        "surely",
    ];
    let Some(end) = text.find(['?', '.', ',', ';']) else {
        return false;
    };
    let (first, rest) = text.split_at(end);
    let asked = bare(first);
    let whether =
        IS_IT_SO.contains(&asked) || text.contains('?') && IS_IT_SO_MARKED.contains(&asked);
    let rest = rest.trim_start_matches(['?', '.', ',', ';', ' ']);
    let rest = rest.strip_prefix("because ").unwrap_or(rest);
    whether && GROUNDS.iter().any(|way| rest.starts_with(way))
}

/// "So his path is out to in?": what is concluded is asked, with its verb first.
fn turned_round(text: &str) -> Option<String> {
    const OF: [&str; 12] = [
        "his", "her", "my", "the", "their", "its", "he", "she", "it", "they", "that", "this",
    ];
    if text.contains([',', '.', ';', '?']) {
        return None;
    }
    let rest = text.strip_prefix("so ")?;
    let first = rest.split(' ').next()?;
    let (subject, verb, of) = [" is ", " are ", " was "]
        .iter()
        .find_map(|verb| rest.split_once(verb).map(|(s, o)| (s, verb.trim(), o)))?;
    let short = subject.split(' ').count() <= 4;
    (OF.contains(&first) && short).then(|| format!("{verb} {subject} {of}"))
}

/// The line without the words that may stand before any question.
pub(super) fn bare(text: &str) -> &str {
    openings::without(text, &BEFORE, &[' ', ',', ':', '-'])
}

/// True if the text begins as a question does.
fn begins(text: &str, marked: bool) -> bool {
    let mut said = text.split([' ', ',']).filter(|w| !w.is_empty());
    let Some(first) = said.next() else {
        return false;
    };
    let second = said.next().unwrap_or("");
    if HELPING.contains(&first) {
        // "Have a slice" and "do the drill" tell; "do you know" asks.
        let of_whom = ["i", "you", "we", "they", "he", "she"];
        let tells = ["have", "had", "has", "do", "did", "must", "dont", "cant"].contains(&first);
        let asks = SUBJECTS.contains(&second) && (!tells || of_whom.contains(&second));
        return !second.is_empty() && (marked || asks && !first.contains('\''));
    }
    if !ASKING.contains(&first) || second.is_empty() {
        return false;
    }
    if marked {
        return first != "when" || HELPING.contains(&second);
    }
    let short = first.contains('\'') || first.starts_with("whats") || first.starts_with("wheres");
    // "Which is good" may go on with what was told; "which is worse, fat or thin" asks.
    let tells = ["which", "who", "when"].contains(&first);
    short
        || first == "what" && second == "else"
        || first == "what" && IS_GOOD.iter().any(|way| text.contains(way))
        || HELPING.contains(&second) && !tells
        || first == "how" && GOES_ON.contains(&second)
        || first == "what" && WHAT_DOES.contains(&second)
        || first == "which" && text.contains(" or ")
        || first == "why"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whether_it_is_so_is_no_yes() {
        for line in [
            "is that true?",
            "Is that right",
            "true?",
            "right?",
            "really?",
            "sure?",
            "ok but is that really so?",
        ] {
            assert_eq!(asks(line), Some(Asks::IsItSo), "{line}");
        }
    }

    #[test]
    fn answers_and_talk_are_no_questions() {
        for line in [
            "yes",
            "yes?",
            "right",
            "true",
            "left?",
            "no, is does not",
            "7 iron fat",
            "i don't know",
            "can't tell",
            "did 8 of 10",
            "when i hit it fat it goes left",
            "which is good",
            "where it starts is left",
            "have a slice",
            "do 10 swings",
            "divots? it starts left",
            "tee too high maybe?",
            "7 iron fat. is that bad",
        ] {
            assert_eq!(asks(line), None, "{line}");
        }
    }

    #[test]
    fn what_has_it_to_do_with_it() {
        for line in [
            "yes but what is the belt buckle to do with it?",
            "what has my belt got to do with it",
            "why does that matter?",
        ] {
            assert_eq!(asks(line), Some(Asks::WhyThat), "{line}");
        }
    }

    #[test]
    fn a_thing_is_asked_with_and_without_its_mark() {
        for line in [
            "does he aim left?",
            "should he weaken his grip",
            "so is the path left?",
            "will a stronger grip fix it",
            "how much will it start left?",
            "which way will it curve?",
            "what's the difference between path and face",
            "which is worse, fat or thin?",
            "why does it start left?",
        ] {
            assert!(matches!(asks(line), Some(Asks::Thing(_))), "{line}");
        }
    }
}
