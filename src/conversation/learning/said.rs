//! What the learner's talk gives back: blocks of data that `wording` turns into text, and entries
//! for the record.

use crate::learning::{Attempt, Commitment, Comparison, Desk, Next, Pupil, Reasoned, Step};
use crate::lesson::Entry;
use crate::vocabulary::{AnswerId, CauseId, CautionId, EffectId};

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
    /// A cause to commit to.
    Cause,
    /// What to practise.
    Practice,
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
    /// The line said nothing the golfer can answer; the nearest cause.
    NotUnderstood(String, Option<String>),
    /// There is only one club.
    OneClub,
    /// Already measured.
    Measured,
    /// Already asked, with the same answer.
    Known(CauseId, bool),
    /// The lesson is over: the minutes are used up.
    OutOfTime,
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
    /// What was recognised in a reason.
    Reasoned(Reasoned),
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
    /// A contested claim.
    Claim(AnswerId),
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
