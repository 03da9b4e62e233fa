//! Which lines are orders of the learner: one table, from which help and completion come too.

/// What the learner wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs, reason = "the table says it")]
pub enum Order {
    Help,
    Shots,
    Numbers,
    Ask,
    Look,
    Try,
    Causes,
    Faults,
    Notes,
    Commit,
    GiveUp,
    Why,
    Settle,
    Lost,
    Next,
    Case,
    Level,
    Course,
    Lesson,
    Claim,
    Progress,
    Leave,
}

/// A row of the table.
#[derive(Debug, Clone, Copy)]
pub struct OrderWords {
    /// What it does.
    pub order: Order,
    /// Its name, as shown.
    pub name: &'static str,
    /// Other ways to say it.
    pub also: &'static [&'static str],
    /// True if words may follow.
    pub takes: bool,
    /// One line of help.
    pub help: &'static str,
}

const fn row(
    order: Order,
    name: &'static str,
    also: &'static [&'static str],
    takes: bool,
    help: &'static str,
) -> OrderWords {
    OrderWords {
        order,
        name,
        also,
        takes,
        help,
    }
}

/// The table, in the order of help.
pub const ORDERS: &[OrderWords] = &[
    row(
        Order::Ask,
        "ask",
        &[],
        true,
        "a question, in your words or by number: ask is the ball too far forward (1 min)",
    ),
    row(
        Order::Look,
        "look",
        &["check", "film", "look at"],
        true,
        "see for yourself instead of asking: look hanging back (2 to 6 min)",
    ),
    row(
        Order::Shots,
        "shots",
        &["ten shots", "hit ten", "hit some balls"],
        true,
        "ten shots: strike, turf mark, start, curve (5 min); shots second for the other club",
    ),
    row(
        Order::Numbers,
        "numbers",
        &["measure", "the numbers"],
        true,
        "ten shots measured: low point, attack, path, face ... (6 min); numbers second",
    ),
    row(
        Order::Try,
        "try",
        &[],
        true,
        "ten shots with one thing changed: try ball two inches back (5 min)",
    ),
    row(
        Order::Causes,
        "causes",
        &["list", "checks"],
        true,
        "all causes by family, with their numbers: causes pivot",
    ),
    row(
        Order::Faults,
        "faults",
        &["effects"],
        false,
        "what a club can do wrong at the ball, with numbers",
    ),
    row(
        Order::Notes,
        "notes",
        &["known", "what do i know", "time", "minutes"],
        false,
        "what you know so far, and the minutes used",
    ),
    row(
        Order::Commit,
        "commit",
        &["answer", "i am ready", "ready"],
        true,
        "say what the club did, why, and what to practise; then compare",
    ),
    row(
        Order::GiveUp,
        "give up",
        &["i give up", "giveup", "show me"],
        false,
        "see the answer without committing",
    ),
    row(
        Order::Why,
        "why",
        &[],
        true,
        "after the answer: how it came about; why not hanging back: what spoke against that",
    ),
    row(
        Order::Settle,
        "what would settle it",
        &[
            "what settles it",
            "what would have settled it",
            "how could i have known",
            "how should i have known",
        ],
        false,
        "after the answer: the looks that would have told",
    ),
    row(
        Order::Lost,
        "what did i do wrong",
        &[
            "what did i get wrong",
            "what did i miss",
            "what cost me points",
            "where did i lose points",
            "where did i go wrong",
            "what went wrong",
        ],
        false,
        "after the answer: where the points went",
    ),
    row(
        Order::Next,
        "next",
        &["again", "another", "next case"],
        false,
        "the next case",
    ),
    row(
        Order::Case,
        "case",
        &[],
        true,
        "a case by its number, to meet it again: case 4821",
    ),
    row(
        Order::Course,
        "course",
        &["levels", "lessons"],
        false,
        "levels and lessons",
    ),
    row(
        Order::Level,
        "level",
        &[],
        true,
        "cases of a level: level 2",
    ),
    row(
        Order::Lesson,
        "lesson",
        &[],
        true,
        "a short lesson with two cases: lesson 1",
    ),
    row(
        Order::Claim,
        "claim",
        &[],
        true,
        "what is behind a claim of the lesson: claim 1",
    ),
    row(
        Order::Progress,
        "progress",
        &["record", "my record", "score"],
        false,
        "your record by fault and by club",
    ),
    row(
        Order::Help,
        "help",
        &[
            "?",
            "what can i do",
            "what can i ask",
            "what do i do",
            "what do i do now",
            "what now",
            "what should i do",
            "what should i ask",
            "what should i practise",
            "what should i practice",
            "how does this work",
            "help me",
            "help please",
            "please help",
            "i am stuck",
            "im stuck",
            "i'm stuck",
            "stuck",
            "hint",
            "give me a hint",
            "commands",
        ],
        false,
        "this list",
    ),
    row(
        Order::Leave,
        "leave",
        &["back", "bye", "quit", "exit", "goodbye"],
        false,
        "end; what you finished is kept",
    ),
];

/// The order a line gives, with the words after it.
pub(super) fn order(line: &str) -> Option<(Order, &str)> {
    let trimmed = line.trim();
    let plain = trimmed.trim_end_matches(['.', '!']);
    let plain = if plain == "?" {
        plain
    } else {
        plain.trim_end_matches(['?', ' '])
    };
    for row in ORDERS {
        for name in std::iter::once(&row.name).chain(row.also) {
            let Some(head) = plain.get(..name.len()) else {
                continue;
            };
            if !head.eq_ignore_ascii_case(name) {
                continue;
            }
            let rest = plain.get(name.len()..).unwrap_or("");
            if rest.is_empty() || (row.takes && rest.starts_with(' ')) {
                return Some((row.order, rest.trim()));
            }
        }
    }
    None
}
