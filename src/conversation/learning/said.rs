//! What the learner's talk gives back: blocks of data that `wording` turns into text, and entries
//! for the record.

use crate::causes::model::Event;
use crate::learning::{
    Answer, Attempt, Commitment, Comparison, Desk, Link, LinkEnd, Next, Piece, Pupil, Reasoned,
    Step, Together,
};
use crate::lesson::Entry;
use crate::quantity::Amount;
use crate::vocabulary::{AnswerId, CauseId, CautionId, CheckId, EffectId, GroupId, QuantityId};

/// Where a case comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum From {
    /// A level of the course.
    Level {
        /// Its place.
        level: usize,
        /// Why this family; nothing if the number was asked for.
        next: Option<Next>,
    },
    /// A case at the end of a lesson.
    Lesson {
        /// Its place.
        lesson: usize,
        /// 0 or 1.
        case: usize,
    },
    /// Knowledge without a course.
    Anywhere,
}

/// Where a choice of causes came from, so that the reply can say what to type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Heard {
    /// A question.
    Question,
    /// Something to look at.
    Look,
    /// A cause to commit to.
    Cause,
    /// What to practise.
    Practice,
    /// A cause that the finished case might have had.
    Reason,
}

/// What is supposed to be otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Supposed {
    /// A number put in place of the average: which, the average, the new one.
    Put(QuantityId, Amount, Amount),
    /// A change of the table, by its place, and its size in the change's unit.
    Moved(usize, f64),
    /// A cause gone.
    Without(CauseId),
}

/// What the teacher tells of what was seen.
#[derive(Debug, Clone, PartialEq)]
pub enum Told {
    /// The shots or numbers seen last, read together.
    Together,
    /// Whether these faults are there, with the chance of each from all that was seen.
    Faults(Vec<(EffectId, f64)>),
    /// Which causes bring a fault about in golfers in general.
    Causes(EffectId, Vec<Link>),
    /// How to choose the next question.
    First,
}

/// Short replies.
#[derive(Debug, Clone, PartialEq)]
pub enum Note {
    /// Nothing typed.
    Empty,
    /// The line was cut at so many bytes.
    Cut(usize),
    /// No case is open.
    NothingOpen,
    /// The case is still open.
    StillOpen(u64),
    /// No golfer fits what was wanted.
    NobodyFits,
    /// The level or lesson has none of the club groups asked for, but these.
    OtherClubs(Vec<GroupId>),
    /// How the ball lies was told; it is no cause to be named.
    Told(CauseId),
    /// The lesson's cases are done.
    LessonDone(usize),
    /// No case number.
    NoCaseNumber(String),
    /// There are so many levels.
    NoSuchLevel(usize),
    /// There are so many lessons.
    NoSuchLesson(usize),
    /// The open lesson has so many claims.
    NoSuchClaim(usize),
    /// A fault was named while looking.
    FaultSaid(EffectId),
    /// A cause was named while looking.
    CauseSaid(CauseId),
    /// A cause was named where the fault is asked for.
    CauseTooEarly(CauseId),
    /// A fault was named where the causes are asked for.
    FaultTooLate(EffectId),
    /// What the open step of the commitment wants, from 1; 4 is the reason.
    AtStep(u8),
    /// The knowledge says nothing of what was asked.
    NoWords,
    /// Nothing can be explained before the case is finished.
    NotYet,
    /// The line said nothing the golfer can answer; the nearest cause.
    NotUnderstood(String, Option<String>),
    /// There is only one club; the order that was meant for another.
    OneClub(&'static str),
    /// Already measured; true if another club is not.
    Measured {
        /// There is a second club.
        other: bool,
    },
    /// Already asked, with the same answer.
    Known(CauseId, bool),
    /// The lesson is over: the minutes are used up.
    OutOfTime,
    /// A change was asked about while looking: it can be tried; its place in the table.
    CanBeTried(usize),
    /// Nothing was seen yet that the teacher could read.
    NothingSeen,
    /// What was supposed of the finished case names nothing that can be moved.
    NothingSupposed,
    /// No change was recognised.
    NoChange(String),
    /// No fault was recognised.
    NoFault(String),
    /// A cause that names none; the nearest.
    NoCause(String, Option<String>),
    /// A chance that is none.
    NoChance(String),
    /// A cause without a chance.
    ChanceMissing(CauseId),
    /// A cause named twice.
    Twice(CauseId),
    /// More than so many causes.
    TooMany(usize),
    /// The learner gave up.
    GaveUp,
    /// Leaves; with the case left open.
    Left {
        /// The case and where it is from.
        open: Option<(u64, From)>,
        /// The only club groups met, if not all.
        groups: Vec<GroupId>,
    },
}

/// A block of a reply.
#[derive(Debug, Clone)]
pub enum Block {
    /// The first words.
    Welcome,
    /// What can be typed.
    Help,
    /// Safety.
    Caution(CautionId),
    /// A case begins.
    Opens {
        /// Who stands there.
        pupil: Box<Pupil>,
        /// Where it is from.
        from: From,
    },
    /// Something was looked at; minutes used so far.
    Looked {
        /// What.
        step: Box<Step>,
        /// Who.
        pupil: Box<Pupil>,
        /// Minutes used.
        used: f64,
    },
    /// Causes of a family, numbered.
    Causes {
        /// The family; none lists the families.
        family: Option<String>,
        /// Those already answered.
        known: Vec<(CauseId, bool)>,
    },
    /// All faults, numbered.
    Faults,
    /// Several causes were meant.
    WhichCause(Heard, Vec<CauseId>),
    /// Several faults were meant.
    WhichFault(Vec<EffectId>),
    /// What was seen so far.
    Notes {
        /// Who.
        pupil: Box<Pupil>,
        /// What.
        desk: Box<Desk>,
    },
    /// Step one of committing.
    AskFault,
    /// Step two; the fault named, if one was.
    AskCauses(Option<EffectId>),
    /// Step three; the causes named.
    AskPractice(Vec<(CauseId, f64)>),
    /// The reason, if the learner wants to give it.
    AskReason(Option<CauseId>),
    /// What was recognised in a reason, and the words in which nothing was.
    Reasoned(Reasoned, Vec<String>),
    /// The comparison.
    Compared {
        /// It.
        comparison: Box<Comparison>,
        /// What was committed to.
        commitment: Box<Commitment>,
        /// Who.
        pupil: Box<Pupil>,
        /// What was seen.
        desk: Box<Desk>,
        /// How often this family was met before, and the cases in a record so far.
        attempt: Box<Attempt>,
    },
    /// The record.
    Progress(Vec<Attempt>),
    /// Levels and lessons.
    Course {
        /// The level now.
        level: usize,
    },
    /// A lesson.
    Lesson(usize),
    /// A contested claim, or another answer of the knowledge.
    Claim(AnswerId),
    /// What causes, faults and symptoms are, whoever has them.
    Entries(Vec<LinkEnd>),
    /// Which clubs the golfer speaks of.
    Clubs {
        /// Who.
        pupil: Box<Pupil>,
        /// The question was about another club.
        other: bool,
    },
    /// Why the finished case was what it was.
    Why {
        /// Who.
        pupil: Box<Pupil>,
        /// The links from the costliest cause to the complaint.
        links: Vec<Link>,
        /// The comparison.
        comparison: Box<Comparison>,
    },
    /// What spoke for or against a cause in the finished case.
    WhyNot {
        /// Who.
        pupil: Box<Pupil>,
        /// Which cause.
        cause: CauseId,
        /// What spoke for the costliest cause against it, in decibans.
        pieces: Vec<(Piece, f64)>,
        /// What a look at it would have shown.
        look: Option<(CheckId, Answer)>,
    },
    /// How this golfer strikes it, and why.
    Strikes(Box<Pupil>),
    /// Where this golfer's balls start and bend, and why.
    Flight(Box<Pupil>),
    /// The shots of this golfer if something were otherwise.
    WhatIf {
        /// What.
        what: Vec<Supposed>,
        /// Clean strikes and playable shots in a hundred as it is.
        before: (f64, f64),
        /// And then.
        after: (f64, f64),
        /// Shots in a hundred of each kind, as it is and then.
        rates: Vec<(Event, f64, f64)>,
    },
    /// What the teacher tells of what was seen.
    Teacher {
        /// Who.
        pupil: Box<Pupil>,
        /// The shots or numbers seen last.
        step: Option<Box<Step>>,
        /// What.
        told: Told,
    },
    /// Why some of this golfer's strikes are clean all the same, and those seen last.
    Clean(Box<Pupil>, Option<Together>),
    /// What would cure this golfer; what a change that was asked about gains, shots in a hundred.
    Cures(Box<Pupil>, Option<f64>),
    /// How sure the program was of what it now tells.
    Sure(Box<Comparison>),
    /// The look worth most after the golfer's first words, and what it shows; none if no look was.
    FirstLook(Option<(CheckId, Answer)>),
    /// Links of a general question, with what golfers in general show.
    General(Vec<Link>),
    /// What would have settled the finished case: cause, check, what a look shows.
    Settles(Vec<(CauseId, CheckId, Answer)>),
    /// What cost points in the finished case.
    Lost {
        /// What was committed to, each cause with its points.
        causes: Vec<(CauseId, f64, f64)>,
        /// Who.
        pupil: Box<Pupil>,
        /// What was committed to.
        commitment: Box<Commitment>,
        /// The comparison.
        comparison: Box<Comparison>,
    },
    /// A short reply.
    Note(Note),
}

/// A reply.
#[derive(Debug, Clone, Default)]
pub struct Taught {
    /// What to say.
    pub blocks: Vec<Block>,
    /// The talk is over.
    pub leave: bool,
    /// What to keep in the learner's record.
    pub entries: Vec<Entry>,
}

impl Taught {
    pub(super) fn of(block: Block) -> Self {
        Self {
            blocks: vec![block],
            ..Self::default()
        }
    }

    pub(super) fn note(note: Note) -> Self {
        Self::of(Block::Note(note))
    }

    pub(super) fn then(&mut self, other: Self) {
        self.blocks.extend(other.blocks);
        self.entries.extend(other.entries);
        self.leave |= other.leave;
    }
}
