//! The words of a line of results: numbers, days, and what says nothing.
//!
//! A line that has any other word is talk. Which set the balls are of is told by the words in
//! `results.rs`. Nothing is read here.

/// Numbers in words, from none on.
pub(super) const NUMBER_WORDS: [&str; 21] = [
    "none",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
];

/// Words that may stand in a line of counts and say nothing.
const SILENT: [&str; 136] = [
    "i",
    "it",
    "its",
    "it's",
    "got",
    "get",
    "hit",
    "made",
    "did",
    "done",
    "had",
    "have",
    "went",
    "good",
    "ones",
    "clean",
    "balls",
    "ball",
    "shots",
    "shot",
    "swings",
    "swing",
    "marks",
    "and",
    "so",
    "the",
    "a",
    "my",
    "way",
    "thought",
    "cue",
    "feel",
    "today",
    "that",
    "that's",
    "this",
    "time",
    "count",
    "counted",
    "managed",
    "result",
    "results",
    "set",
    "block",
    "test",
    "of",
    "but",
    "only",
    "just",
    "vs",
    "versus",
    "she",
    "he",
    "they",
    "we",
    "you",
    "she's",
    "he's",
    "i've",
    "i'm",
    "her",
    "his",
    "him",
    "them",
    "our",
    "in",
    "on",
    "at",
    "out",
    "as",
    "am",
    "is",
    "garden",
    "range",
    "net",
    "nets",
    "course",
    "home",
    "ground",
    "field",
    "park",
    "yesterday",
    "morning",
    "afternoon",
    "evening",
    "tonight",
    "weekend",
    "ok",
    "okay",
    "well",
    "yes",
    "yep",
    "yeah",
    "thinking",
    "drill",
    "exercise",
    "using",
    "again",
    "about",
    "any",
    "more",
    "next",
    "day",
    "days",
    "week",
    "twice",
    "once",
    "times",
    "air",
    "airborne",
    "flew",
    "fine",
    "solid",
    "nice",
    "mean",
    "meant",
    "actually",
    "sorry",
    "make",
    "no",
    "last",
    "night",
    "lunch",
    "session",
    "sessions",
    "bucket",
    "thats",
    "think",
    "better",
    "much",
    "bit",
    "little",
    "lot",
    "feels",
    "felt",
    "really",
];

/// True if a word may stand in a line of counts and says nothing.
pub(super) fn silent(word: &str) -> bool {
    SILENT.contains(&word) || DAYS.contains(&word)
}

/// Days on which practice is told of.
pub(super) const DAYS: [&str; 22] = [
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
    "mon",
    "tue",
    "tues",
    "wed",
    "thu",
    "thur",
    "thurs",
    "fri",
    "sat",
    "sun",
    "yesterday",
    "today",
    "tonight",
    "weekend",
    "morning",
];

/// Words beside a number that say it is of the balls that came off.
pub(super) const CAME_OFF: [&str; 10] = [
    "good", "clean", "solid", "fine", "ok", "okay", "nice", "airborne", "flew", "air",
];

/// Words of balls that did not come off.
pub(super) const FELL_SHORT: [&str; 8] = [
    "bad", "wrong", "poor", "missed", "misses", "failed", "duds", "rubbish",
];

/// Words before a number that stands for all the balls, or after it.
pub(super) const ALL_BALLS: [&str; 8] =
    ["hit", "made", "of", "did", "had", "from", "balls", "ball"];

/// Words that put the count before right.
pub(super) const PUT_RIGHT: [&str; 9] = [
    "i mean ",
    "i meant ",
    "sorry ",
    "sorry, ",
    "no i mean ",
    "no i meant ",
    "no, ",
    "correction ",
    "make that ",
];

/// Words that follow the count they tag when nothing divides two counts.
pub(super) const AFTER_ITS_COUNT: [&str; 6] =
    ["before", "after", "now", "later", "without", "beforehand"];

/// Words that begin what is said of the next count.
pub(super) const DIVIDES: [&str; 5] = ["and", "then", "but", "vs", "versus"];

/// Words of a second thought or a guess: with one number alone they make no count.
pub(super) const SECOND_THOUGHTS: [&str; 8] = [
    "mean", "meant", "actually", "sorry", "make", "no", "about", "think",
];
