//! The short lines of a reply, as data: what was done, what could not be, and what is missing.
//!
//! The words are found in `wording/note.rs`. Nothing is decided here.

use crate::quantity::Unit;
use crate::reading::Pattern;
use crate::vocabulary::{CauseId, EffectId, Hand};

/// Short lines.
#[derive(Debug, Clone, PartialEq)]
pub enum Note {
    /// Nothing to read.
    EmptyLine,
    /// Nothing in the line was understood.
    NotUnderstood,
    /// A question about how things are that the knowledge has no answer to.
    QuestionNotAnswered,
    /// Asked whether what was said is so, while a check is put, or not: nothing was noted.
    AskedIfSo(bool),
    /// Whose lesson this is, if a book is kept: the name, which may be empty.
    Whose(Option<String>),
    /// Which pupils there are; whether books are kept.
    Pupils(bool),
    /// Nothing was agreed to practise.
    NothingAgreed,
    /// Several golfers were told of, and one is taken at a time: their names, and whether each has a
    /// book.
    WhichGolfer {
        /// What they are called.
        labels: Vec<String>,
        /// Books are kept.
        books: bool,
    },
    /// Another golfer than the one whose book is open: what they are called.
    OneGolferABook(String),
    /// Goes on with this golfer.
    NowOf(String),
    /// A number taken in the one unit that goes with the attack angle: the words, the unit.
    UnitThatFits(String, Unit),
    /// Advice that somebody gave, by the causes that its words name.
    AdviceHeard(Vec<CauseId>),
    /// Not the hand, but an answer to what is asked after it: the words.
    KeptForTheHand(String),
    /// Clubs or ground alone: what the ball did is still to be told.
    PlaceAlone(Pattern),
    /// No cause goes by this name; the nearest.
    NoSuchCause(String, Option<String>),
    /// No command; the nearest.
    NoSuchCommand(String, String),
    /// No finding has this number.
    NoSuchFinding(usize),
    /// Nothing has been said yet.
    NothingKnown,
    /// Nothing is being asked.
    NothingAsked,
    /// Started over.
    StartedOver,
    /// One step was taken back.
    Undone,
    /// There is nothing to take back.
    NothingToUndo,
    /// A finding was taken back: its words.
    TakenBack(String),
    /// The club was changed.
    ClubChanged,
    /// What did not work is a remedy of somebody's own.
    OtherRemedy,
    /// Numbers told before are of the club named now.
    ClubAdopted,
    /// The answer was noted.
    Answered(bool),
    /// Another answer than the one given before, or none.
    AnsweredInstead(Option<bool>),
    /// Words that were asked about once and stay unclear: left out.
    LeftOut(String),
    /// A count was expected: how to say it.
    CountForm(u32),
    /// A share of so many per cent, as hits of balls.
    ShareTaken(u32, u32, u32),
    /// The shots that went wrong were counted: hits and balls are the others.
    FaultsCounted {
        /// Shots that went wrong.
        faults: u32,
        /// Shots that came off.
        good: u32,
        /// All of them.
        balls: u32,
    },
    /// A count in place of the one before.
    CountedInstead,
    /// Something is missing that the drill does not need: its name.
    NotNeeded(String),
    /// Something is missing, and there is no other drill: its name.
    DoWithout(String),
    /// There is no other drill for this cause.
    NoOtherDrill(CauseId),
    /// "Don't know" changes nothing.
    DontKnow,
    /// One thing to do, for a golfer whom nothing seems to help.
    OneThing,
    /// Something did not help, and nothing was set to practise: what was tried is asked.
    WhatWasTried,
    /// The answer was not understood.
    AnswerNotUnderstood,
    /// A safety question waits for a yes or a no.
    YesOrNoFirst,
    /// A what-if that could not be read.
    WhatIfNotUnderstood,
    /// Words for an effect stand for the likeliest cause of it.
    TakenForEffect(EffectId, CauseId),
    /// The size was said in a unit that the change at this place of the table is not counted in.
    WhatIfUnit(usize),
    /// Greeting.
    Greeting,
    /// Thanks, and whether something to practise stands.
    Thanks(bool),
    /// Rude.
    Abuse,
    /// Not about golf.
    OffTopic,
    /// Golf, but not for this program: which.
    OutOfScope(String),
    /// Another language.
    OtherLanguage(String),
    /// A long line was cut to this many characters.
    Cut(usize),
    /// Units are metric, or not.
    Metric(bool),
    /// The hand was noted.
    HandNoted(Hand),
    /// How a left-hander's plus signs are taken.
    PlusTaken {
        /// To the right; else in to out.
        right: bool,
        /// Whether what else was told decided it; none if the golfer said it.
        fits: Option<bool>,
    },
    /// Numbers whose sign their own words contradict: the words.
    SignAgainstWord(Vec<String>),
    /// What was practised against this helped, and it came back.
    Faded(CauseId),
    /// The golfer has tried before what is to be practised against this.
    TriedAlready(CauseId),
    /// What follows if the practice against this does not help.
    IfItFails(CauseId),
    /// Practice was noted: it helped, or not.
    PractiseNoted(bool),
    /// The practice against this cause was too hard: an easier rung, with so many balls to a count; 0 if
    /// nothing is counted.
    Easier {
        /// Which cause.
        cause: CauseId,
        /// Balls.
        balls: u32,
    },
    /// What this cause is was changed, and the fault is there still.
    ChangeMade(CauseId),
    /// A change that takes this cause away was made and helped.
    ChangeHelped(CauseId),
    /// All is well was noted and nothing is wrong.
    AllWell,
    /// Numbers alone were told and all of them are as they should be.
    GoodNumbers,
    /// Numbers alone were told, and none of them says anything of the arc; whether they were odd.
    NumbersAlone(bool),
    /// It did not help although done as set up; twice now, so that the cause is in question.
    PractiseFailed {
        /// The second time.
        reopened: bool,
    },
    /// Not done as set up: says nothing about the cause.
    NotFollowed,
    /// The earlier findings are not at hand: tell them again.
    TellAgain,
    /// A count, and nothing was agreed to count.
    CountOfWhat,
    /// More hits than balls, or no balls.
    ImpossibleCount(u32, u32),
    /// Several counts in one line.
    OneBlockAtATime,
    /// A count from memory is no start to judge against.
    StartFromMemory,
    /// The start was at the target already, so that nothing after it can be judged.
    StartAtTarget,
    /// All looks at this start are spent: how many there were.
    LooksSpent(u8),
    /// A retest before any practice.
    RetestBeforePractice,
    /// Counts against measured numbers.
    CannotCompare,
    /// The count can come later.
    NotYet,
    /// What was told last time is taken up again.
    TakenUp(usize),
    /// There is nothing to take up.
    NothingEarlier,
    /// Nothing was counted yet.
    NothingCounted,
    /// What was told of somebody else is taken for the case.
    TakenOfThem,
    /// A doctor cleared the golfer to play.
    WithLeave,
    /// The clubs are new: so many answers about the old ones no longer hold.
    NewClubs(usize),
    /// The book is empty.
    EmptyBook,
    /// The book is going to be forgotten, or not.
    ForgetAnswered(bool),
    /// No book is kept in this talk.
    NoBook,
    /// Every question worth asking was asked.
    NoMoreQuestions,
    /// The what-if touched nothing that was told.
    StateKept,
}
