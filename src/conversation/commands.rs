//! The commands: one table with names, other ways to say them, and help.
//!
//! Help, completion and the recognition of commands (`command.rs`) come from this table. Nothing is
//! recognised or carried out here.

/// What a command does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verb {
    /// Help.
    Help,
    /// Why the leader, or a named cause.
    Why,
    /// Why not a named cause.
    WhyNot,
    /// Two causes compared.
    Compare,
    /// What if.
    WhatIf,
    /// A coach's hypothesis.
    Suppose,
    /// Longer answer.
    More,
    /// Account in numbers.
    Numbers,
    /// Side view.
    Draw,
    /// Path and face from above.
    DrawAbove,
    /// The mark on the face.
    DrawFace,
    /// How to look for what is asked.
    HowToLook,
    /// Why it is asked.
    WhyAsk,
    /// Skip the question.
    Skip,
    /// The answer now.
    Quick,
    /// Another question, please.
    AskMore,
    /// What to practise.
    Practise,
    /// Another prescription although one stands.
    PractiseAnyway,
    /// What is known.
    Known,
    /// Take back one step.
    Undo,
    /// Take back a finding.
    Not,
    /// Replace a finding.
    Fix,
    /// Another drill for what is practised.
    OtherDrill,
    /// Practice helped.
    Helped,
    /// Practice did not help.
    DidNotHelp,
    /// What was counted over time.
    Progress,
    /// The page to take home.
    Sheet,
    /// What the book holds.
    Book,
    /// Take up what was told last time.
    TakeUp,
    /// Go on with another golfer's book.
    LessonFor,
    /// Remove this golfer's book.
    ForgetMe,
    /// The clubs are new.
    NewClubs,
    /// Metric units.
    Metric,
    /// Inches and yards.
    Imperial,
    /// Start over.
    StartOver,
    /// The learner's talk.
    Learn,
    /// Leave.
    Bye,
}

/// What a command takes after its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Takes {
    /// Nothing.
    Nothing,
    /// Words, or nothing.
    Perhaps,
    /// Words.
    Words,
    /// A number.
    Number,
    /// A number and words.
    NumberAndWords,
}

/// A row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Command {
    /// What it does.
    pub verb: Verb,
    /// Its name, as shown.
    pub name: &'static str,
    /// Other ways to say it.
    pub also: &'static [&'static str],
    /// What follows.
    pub takes: Takes,
    /// One line of help.
    pub help: &'static str,
}

/// The table, in the order of help.
pub const COMMANDS: &[Command] = &[
    Command {
        verb: Verb::Why,
        name: "why",
        also: &[
            "how come",
            "are you sure",
            "how do you know",
            "explain",
            "why is that",
            "why that",
            "why do you think that",
            "why do you say that",
            "explain that",
            "what speaks for it",
            "what speaks for that",
            "explain the first cause",
            "explain the reasoning",
        ],
        takes: Takes::Perhaps,
        help: "the reasoning behind the first cause, or behind the one you name",
    },
    Command {
        verb: Verb::WhyNot,
        name: "why not",
        also: &[
            "what about",
            "how about",
            "could it be",
            "could it just be",
            "could he be",
            "could she be",
            "could he have",
            "could she have",
            "could they be",
            "could they have",
            "might it be",
            "might he be",
            "might she be",
            "might he have",
            "might she have",
            "what speaks against",
            "what is against",
            "what's against",
            "why isn't it",
            "why isnt it",
            "why is it not",
        ],
        takes: Takes::Words,
        help: "what speaks against a cause: why not ball too far forward",
    },
    Command {
        verb: Verb::Compare,
        name: "compare",
        also: &["is it"],
        takes: Takes::Words,
        help: "two causes side by side: is it hanging back or the ball position?",
    },
    Command {
        verb: Verb::WhatIf,
        name: "what if",
        also: &["what happens if"],
        takes: Takes::Words,
        help: "the same golfer with one thing changed: what if the ball were an inch back",
    },
    Command {
        verb: Verb::Suppose,
        name: "suppose",
        also: &[
            "assume",
            "hypothesis",
            "my hypothesis is",
            "my guess is",
            "say it is",
        ],
        takes: Takes::Words,
        help: "for the coach: what a cause predicts, what fits, what would settle it",
    },
    Command {
        verb: Verb::Practise,
        name: "practise",
        also: &[
            "practice",
            "what should i practise",
            "what should i practice",
            "what should i work on",
            "what do i work on",
            "what do i do",
            "what would help most",
            "what should i do",
            "how do i fix it",
            "how do i stop it",
            "drill",
            "drills",
            "give me a drill",
            "what drill",
            "which drill",
            "what drills",
            "what should i practise first",
            "what do i practise",
            "what do i practice",
            "what can i do",
            "what can i practise",
            "what can i work on",
            "what do i do to fix it",
            "what do i need to work on",
            "what do i need to practise",
            "how do i fix this",
            "how do i fix that",
            "how do i stop this",
            "how do i stop that",
            "how can i fix it",
            "tell me what to work on",
            "tell me what to practise",
            "tell me what to do",
            "just tell me what to do",
            "what i must do",
            "what must i do",
            "what do i have to do",
            "what have i to do",
            "what i should do",
            "what to do",
            "what now",
            "now what",
            "what next",
            "what's next",
            "whats next",
            "what do i do next",
            "what do i do first",
            "what should i do first",
            "what should i fix first",
            "which one first",
            "which first",
            "which one do i do first",
            "which one should i work on",
            "where do i start",
            "just fix it",
            "fix it",
            "how to fix it",
            "how to fix",
            "how to fix this",
            "how do i cure it",
            "give me something to practise",
            "give me something to do",
        ],
        takes: Takes::Nothing,
        help: "the one thing to practise, with a number that shows whether it worked",
    },
    Command {
        verb: Verb::PractiseAnyway,
        name: "practise anyway",
        also: &["practice anyway", "another drill anyway"],
        takes: Takes::Nothing,
        help: "a second prescription although one stands",
    },
    Command {
        verb: Verb::OtherDrill,
        name: "another drill",
        also: &[
            "a different drill",
            "different drill",
            "other drill",
            "other drills",
            "another exercise",
            "give me another drill",
            "give me a different drill",
            "got another drill",
            "any other drill",
            "any other drills",
            "something else",
            "give me something else",
            "something different",
            "give me another one",
            "another way",
            "anything else to practise",
            "i don't like that drill",
            "i dont like that drill",
            "i can't do that drill",
            "i cant do that drill",
        ],
        takes: Takes::Nothing,
        help: "another way to practise the same thing",
    },
    Command {
        verb: Verb::Helped,
        name: "it helped",
        also: &[
            "that helped",
            "it did help",
            "helped",
            "it worked",
            "that worked",
            "it's gone",
            "its gone",
            "it is gone",
            "it's better",
            "it's better now",
            "its better now",
            "much better",
            "much better now",
            "all good now",
            "it's fixed",
            "its fixed",
        ],
        takes: Takes::Nothing,
        help: "the practice worked: taken as evidence",
    },
    Command {
        verb: Verb::DidNotHelp,
        name: "it did not help",
        also: &[
            "it didn't help",
            "it didnt help",
            "did not help",
            "didn't help",
            "didnt help",
            "no change",
            "it did not work",
            "it didn't work",
            "it didnt work",
            "that didn't work",
            "that didnt work",
            "that did not work",
            "that didn't help",
            "that didnt help",
            "that did not help",
            "the drill didn't help",
            "the drill didn't work",
            "the drill didnt work",
            "it got worse",
            "it gets worse",
            "it's worse",
            "it's got worse",
            "its worse",
            "that made it worse",
            "it made it worse",
            "got worse",
            "worse",
            "no better",
            "it's no better",
            "no difference",
            "no improvement",
        ],
        takes: Takes::Nothing,
        help: "the practice changed nothing: taken as evidence, the diagnosis reopens",
    },
    Command {
        verb: Verb::Progress,
        name: "progress",
        also: &[
            "how am i doing",
            "show progress",
            "chart",
            "am i getting better",
        ],
        takes: Takes::Nothing,
        help: "what you counted, over time, and what it amounts to",
    },
    Command {
        verb: Verb::Sheet,
        name: "sheet",
        also: &["lesson sheet", "something to take home", "one page"],
        takes: Takes::Nothing,
        help: "one page to take home: what, why, what to do, what to count",
    },
    Command {
        verb: Verb::TakeUp,
        name: "same as last time",
        also: &["where were we", "carry on", "same again", "still the same"],
        takes: Takes::Nothing,
        help: "take up what you told me last time",
    },
    Command {
        verb: Verb::Book,
        name: "my book",
        also: &["lesson book", "show my book", "the book"],
        takes: Takes::Nothing,
        help: "what is written in your lesson book",
    },
    Command {
        verb: Verb::LessonFor,
        name: "lesson for",
        also: &["book of", "switch to the book of"],
        takes: Takes::Words,
        help: "for the coach: go on with a pupil's own book: lesson for Ann",
    },
    Command {
        verb: Verb::NewClubs,
        name: "new clubs",
        also: &["i have new clubs", "my clubs are new", "new set"],
        takes: Takes::Nothing,
        help: "your clubs changed: ask me again about length, lie and loft",
    },
    Command {
        verb: Verb::ForgetMe,
        name: "forget me",
        also: &["forget everything", "delete my book"],
        takes: Takes::Nothing,
        help: "remove your lesson book",
    },
    Command {
        verb: Verb::HowToLook,
        name: "how to look",
        also: &[
            "how do i look",
            "how do i check",
            "how do i check that",
            "how do i see that",
            "what would settle it",
            "what settles it",
            "what would tell them apart",
            "what tells them apart",
            "how can i tell",
            "how do i tell",
            "how would i know",
            "how do i know",
            "how should i know",
            "how can i check",
            "how do i test that",
            "how",
        ],
        takes: Takes::Nothing,
        help: "how to look for what is being asked",
    },
    Command {
        verb: Verb::WhyAsk,
        name: "why ask",
        also: &["why do you ask", "why are you asking"],
        takes: Takes::Nothing,
        help: "what the question tells apart",
    },
    Command {
        verb: Verb::Skip,
        name: "skip",
        also: &["pass", "next question", "can't check", "cant check"],
        takes: Takes::Nothing,
        help: "leave the question; it counts neither way",
    },
    Command {
        verb: Verb::Quick,
        name: "quick",
        also: &[
            "enough",
            "no more questions",
            "just tell me",
            "stop asking",
            "answer now",
        ],
        takes: Takes::Nothing,
        help: "no more questions: the answer now",
    },
    Command {
        verb: Verb::AskMore,
        name: "ask more",
        also: &[
            "ask me more",
            "more questions",
            "ask me something",
            "keep asking",
        ],
        takes: Takes::Nothing,
        help: "more questions than three",
    },
    Command {
        verb: Verb::More,
        name: "more",
        also: &["tell me more", "details", "more detail", "go on"],
        takes: Takes::Nothing,
        help: "more causes, what the club did, advice that backfires",
    },
    Command {
        verb: Verb::Numbers,
        name: "numbers",
        also: &[
            "how sure",
            "how sure are you",
            "show the numbers",
            "the numbers",
        ],
        takes: Takes::Nothing,
        help: "every number: arc, impact, chances and their errors",
    },
    Command {
        verb: Verb::Draw,
        name: "draw",
        also: &["picture", "draw it", "show me", "draw the arc"],
        takes: Takes::Nothing,
        help: "a side view of the arc at the ball",
    },
    Command {
        verb: Verb::DrawAbove,
        name: "draw above",
        also: &[
            "draw from above",
            "from above",
            "draw the path",
            "draw path and face",
        ],
        takes: Takes::Nothing,
        help: "path and face from above, and where the ball starts",
    },
    Command {
        verb: Verb::DrawFace,
        name: "draw face",
        also: &["draw the face", "draw the mark", "face mark"],
        takes: Takes::Nothing,
        help: "where on the face the ball is struck",
    },
    Command {
        verb: Verb::Known,
        name: "what do you know",
        also: &["known", "list", "findings", "what have i said", "summary"],
        takes: Takes::Nothing,
        help: "what was understood so far, numbered",
    },
    Command {
        verb: Verb::Fix,
        name: "fix",
        also: &["change"],
        takes: Takes::NumberAndWords,
        help: "say a finding again: fix 2 it was a 6 iron",
    },
    Command {
        verb: Verb::Not,
        name: "not",
        also: &["drop", "forget", "delete", "remove"],
        takes: Takes::Number,
        help: "take a finding back: not 3",
    },
    Command {
        verb: Verb::Undo,
        name: "undo",
        also: &[
            "back",
            "take that back",
            "go back",
            "undo that",
            "scrap that",
            "scratch that",
            "forget that",
            "ignore that",
        ],
        takes: Takes::Nothing,
        help: "take back the last thing said",
    },
    Command {
        verb: Verb::Metric,
        name: "metric",
        also: &["use metric", "use centimetres", "use cm"],
        takes: Takes::Nothing,
        help: "centimetres and metres",
    },
    Command {
        verb: Verb::Imperial,
        name: "imperial",
        also: &["use imperial", "use inches", "use yards"],
        takes: Takes::Nothing,
        help: "inches and yards",
    },
    Command {
        verb: Verb::Learn,
        name: "learn",
        also: &["training", "learning mode", "training mode"],
        takes: Takes::Nothing,
        help: "for new coaches: simulated golfers to question and diagnose",
    },
    Command {
        verb: Verb::StartOver,
        name: "start over",
        also: &["new golfer", "reset", "restart", "start again", "clear"],
        takes: Takes::Nothing,
        help: "forget this golfer and begin again",
    },
    Command {
        verb: Verb::Help,
        name: "help",
        also: &["?", "commands", "what can i say", "what can i type"],
        takes: Takes::Perhaps,
        help: "this list",
    },
    Command {
        verb: Verb::Bye,
        name: "bye",
        also: &["quit", "exit", "goodbye", "leave", "q"],
        takes: Takes::Nothing,
        help: "leave",
    },
];
