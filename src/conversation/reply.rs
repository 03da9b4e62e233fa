//! What is to be said: a reply as data, phrased in `wording`.
//!
//! Blocks come in the order they are to be read; the important one last. No sentence is made here.

use super::note::Note;
use super::target_read::TargetRead;
pub use super::waiting::Question;
use super::worked_out::WorkedOut;
use crate::causes::model::{Axis, Event};
use crate::causes::{Benefit, CheckValue, Practice, RankedCause};
use crate::diagnosis::{Clash, Diagnosis};
use crate::explanation::{Contrast, Hypothesis, Why as Account};
use crate::lesson::{
    Due, Goal, Judgement, Moment, Point, Stage, Standing, Summary, Tally, Verdict,
};
use crate::quantity::{Amount, Unit};
use crate::reading::{Finding, Polarity, What, Why};
use crate::vocabulary::{
    AnswerId, CauseId, CautionId, CheckId, ClubId, CountId, DrillId, EffectId, GroupId, Hand,
    LieId, QuantityId, SymptomId,
};

/// A finding as it is echoed.
#[derive(Debug, Clone, PartialEq)]
pub struct Heard {
    /// Its number for `fix` and `not`.
    pub number: usize,
    /// What was understood.
    pub finding: Finding,
    /// The user's words.
    pub words: String,
    /// Told in this line.
    pub new: bool,
}

/// The numbers of the arc for the club in focus.
#[derive(Debug, Clone, PartialEq)]
pub struct ArcNumbers {
    /// Name of the club or group in focus, as a text id pair: club first.
    pub pattern: crate::diagnosis::Pattern,
    /// Numbers said or worked out, in the order of reasoning.
    pub chain: Vec<ChainStep>,
    /// Ranges among golfers like this one, where nothing was said: quantity, middle, low, high.
    pub modelled: Vec<(QuantityId, Amount, Amount, Amount)>,
    /// What a good strike wants: quantity, from, to.
    pub wanted: Vec<(QuantityId, Amount, Amount)>,
    /// Effects that are likelier than not, likeliest first.
    pub effects: Vec<(EffectId, f64)>,
    /// How the ball was struck, if one way and no other was told.
    pub struck: Option<crate::geometry::strike::StrikeClass>,
}

/// One number of the chain.
#[derive(Debug, Clone, PartialEq)]
pub struct ChainStep {
    /// Which quantity.
    pub quantity: QuantityId,
    /// Middle.
    pub middle: Amount,
    /// Low end of a 95 % range.
    pub low: Amount,
    /// High end.
    pub high: Amount,
    /// Said by the golfer.
    pub said: bool,
    /// The rule that worked it out.
    pub rule: Option<crate::rules::RuleIndex>,
}

/// One part of a reply.
#[derive(Debug, Clone)]
pub enum Block {
    /// Of the learner's talk, with the hand of the golfer there.
    Learning(Box<super::learning::Taught>, Hand),
    /// The first words of a session.
    Welcome,
    /// The last ones.
    Goodbye {
        /// A caution stands that was not cleared.
        held: bool,
    },
    /// What can be said; a topic if one was asked for.
    Help(Option<String>),
    /// What was understood.
    Understood(Vec<Heard>),
    /// Words read as others.
    Spelling(Vec<(String, String)>),
    /// Words that were not used.
    Unused(Vec<String>),
    /// Not clear yet, and asked about only when this is: the words.
    Open(Vec<String>),
    /// Kept, but no present fact: words and why.
    Aside(Vec<(String, Why)>),
    /// The golfer's own word on causes: whether it was seen, or is only a guess.
    Hinted {
        /// Which, and whether they are said or denied.
        causes: Vec<(CauseId, Polarity)>,
        /// Looked at: counts like a check answered.
        seen: bool,
    },
    /// Causes that the words sound like, each with the words that do.
    SoundsLike(Vec<(CauseId, Vec<String>)>),
    /// Left or right was read for a right-hander.
    HandAssumed(Hand),
    /// A caution that is due.
    Caution {
        /// Which.
        caution: CautionId,
        /// Nothing else may be said.
        alone: bool,
    },
    /// Drills are held back until the caution is cleared.
    DrillsHeld,
    /// The caution is cleared.
    Cleared,
    /// Two things disagree; the words of the findings concerned.
    Clash(Clash, Vec<String>),
    /// An impossible number that was left out.
    Impossible {
        /// Which quantity.
        quantity: QuantityId,
        /// The words.
        words: String,
        /// From.
        low: f64,
        /// To.
        high: f64,
        /// Unit of both.
        unit: Unit,
    },
    /// What the arc did.
    Arc {
        /// The numbers.
        arc: Box<ArcNumbers>,
        /// Only what a golfer needs.
        brief: bool,
    },
    /// Ways to read a combination that rules recognised: slot names.
    Signs(Vec<String>),
    /// The most likely causes, at most three.
    Causes {
        /// Ranked.
        ranked: Vec<RankedCause>,
        /// Nothing stands out.
        little: bool,
        /// Fewer golfers fit than would carry numbers.
        words_only: bool,
        /// Without the numerical error of each chance.
        brief: bool,
        /// How many more have a share worth naming.
        more: usize,
    },
    /// Why the first.
    Because {
        /// Of which cause.
        cause: CauseId,
        /// The complaint is where across the face the ball is struck, and nothing else.
        across: bool,
        /// Nothing stands out: it is said of the first as a supposition.
        supposed: bool,
    },
    /// Why the first and not the second.
    RatherThan {
        /// First and second.
        causes: (CauseId, CauseId),
        /// What speaks most for the first against the second: words and decibans.
        telling: Option<(String, f64)>,
        /// The check that would settle it.
        settles: Option<CheckId>,
    },
    /// What would make another cause lead: the words, and which.
    WouldFlip {
        /// The finding's words.
        words: String,
        /// What would have to change.
        kind: crate::causes::FlipKind,
        /// The new leader.
        leader: CauseId,
    },
    /// A question.
    Ask {
        /// Which.
        question: Question,
        /// For a check: what it separates and what it is worth.
        value: Option<Box<CheckValue>>,
    },
    /// How to look, or why it is asked.
    AboutCheck {
        /// Which.
        check: CheckId,
        /// What it separates.
        value: Option<Box<CheckValue>>,
    },
    /// One thing to practise.
    Prescription {
        /// The cause, what it replaces, and its benefit.
        practice: Box<Practice>,
        /// What being rid of the likeliest cause would gain, if that is another.
        passed_over: Option<Benefit>,
        /// It is none of the causes named.
        unlisted: bool,
        /// The drill.
        drill: DrillId,
        /// What is counted in place of what cause and drill count.
        count: Option<CountId>,
        /// The measured range that shows it worked: quantity, from, to.
        aim: Vec<(QuantityId, Amount, Amount)>,
        /// Balls for each block.
        balls: u32,
        /// What it is to be done with care for.
        care: Care,
    },
    /// No drill for this cause spares what ails the golfer: only the easiest swings.
    EasyOnly(CauseId),
    /// The leading cause is the stated lie, which no practice takes away.
    TheLie(CauseId),
    /// A prescription stands already.
    AlreadyPrescribed(CauseId),
    /// What to do about it in the middle of a round.
    ForToday {
        /// Against which cause.
        cause: CauseId,
        /// The drill whose thought is given.
        drill: DrillId,
    },
    /// What shows that what is agreed helped.
    HowKnown {
        /// Practised against.
        cause: CauseId,
        /// How.
        drill: DrillId,
        /// What is counted in place of what cause and drill count.
        count: Option<CountId>,
        /// The measured range: quantity, from, to.
        aim: Vec<(QuantityId, Amount, Amount)>,
        /// Balls for each block.
        balls: u32,
        /// What it is to be done with care for.
        care: Care,
    },
    /// Numbers of what is practised, held against the ranges aimed at.
    TargetRead(Vec<TargetRead>),
    /// A practice is being counted and stays, whatever was told since.
    StaysWith {
        /// Against which cause.
        cause: CauseId,
        /// What would be practised against by now, if it is another.
        other: Option<CauseId>,
    },
    /// Nothing to practise: no cause gains anything.
    NothingToPractise,
    /// No cause is likely enough to change a swing for unasked: what to look at first.
    LookFirst(Option<CheckId>),
    /// Why a cause: its account, with the words of each entry.
    Why {
        /// The account.
        why: Box<Account>,
        /// Words for each entry.
        words: Vec<String>,
        /// The reasoning down to the arc: quantity or flag, rule text id, depth.
        reasoning: Vec<ReasonLine>,
    },
    /// Why not a cause.
    WhyNot {
        /// Leader against the cause asked about.
        contrast: Box<Contrast>,
        /// Words for each entry.
        words: Vec<String>,
    },
    /// Two causes compared.
    Compare {
        /// The contrast.
        contrast: Box<Contrast>,
        /// Words for each entry.
        words: Vec<String>,
        /// What each predicts.
        predicts: Box<(Hypothesis, Hypothesis)>,
        /// Their ranks.
        ranked: Box<(Option<RankedCause>, Option<RankedCause>)>,
    },
    /// A hypothesis against what was seen.
    Supposed {
        /// The hypothesis.
        hypothesis: Box<Hypothesis>,
        /// Words for each entry.
        words: Vec<String>,
        /// Its rank.
        ranked: Option<RankedCause>,
        /// The rival's.
        rival: Option<RankedCause>,
    },
    /// What if: name of the change, sizes, rates before and after.
    WhatIf {
        /// What was changed: text id of the change with its size, or a cause.
        change: Changed,
        /// Share of golfers like this one who have the cause that goes.
        share: f64,
        /// Rates of the events that matter, before and after.
        rates: Vec<(Event, f64, f64)>,
        /// Axes that moved, before and after.
        axes: Vec<(Axis, Amount, Amount)>,
    },
    /// The account in numbers.
    Numbers(Box<Diagnosis>),
    /// What is known so far.
    Known(Vec<Heard>),
    /// A side view of the arc.
    Drawing(Box<ArcNumbers>),
    /// Path and face from above.
    FromAbove(Box<ArcNumbers>),
    /// The mark on the face.
    FaceMark {
        /// Across the face: middle, low, high.
        across: (Amount, Amount, Amount),
        /// Said or worked out; else where golfers like this one strike.
        said: bool,
        /// Where between top and bottom of the face.
        height: MarkHeight,
    },
    /// The first block was counted.
    StartCounted {
        /// What is practised.
        cause: CauseId,
        /// How.
        drill: Option<DrillId>,
        /// What it gave.
        start: Summary,
        /// It is at the target already.
        there: bool,
        /// Balls to hit with the thought.
        balls: u32,
        /// Balls per block that would tell; none if no sensible number would, or for a child.
        needed: Option<u32>,
    },
    /// A block with the thought came before any first block.
    NoStart {
        /// What is practised.
        cause: CauseId,
        /// How.
        drill: Option<DrillId>,
        /// What is counted in place of what cause and drill count.
        count: Option<CountId>,
        /// What was counted with the thought so far.
        told: Option<Tally>,
        /// Balls for the first block.
        balls: u32,
    },
    /// What practice amounts to.
    Verdict(Box<VerdictSaid>),
    /// The golfer's word on practice beside the counts.
    CountsStand(CountsSaid),
    /// A golfer who was here before.
    Returning(Box<Returning>),
    /// What was counted or measured over time, by measure.
    Progress(Vec<Course>),
    /// What the book holds: when, and what it was.
    Book {
        /// Whose; empty without a name.
        golfer: String,
        /// Lines, oldest first.
        lines: Vec<BookLine>,
        /// Earlier ones that are not shown.
        earlier: usize,
    },
    /// The page to take home.
    Sheet(Box<Sheet>),
    /// An answer from the knowledge; told as advice, or asked.
    Answer {
        /// Which.
        answer: AnswerId,
        /// Whether it was told as advice, or how it was asked.
        put: Put,
    },
    /// What a name means, to somebody who asks.
    Meaning(Meant),
    /// What was worked out for a question.
    WorkedOut(WorkedOut),
    /// A short line.
    Note(Note),
}

/// How something that has an answer was put.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Put {
    /// Somebody told the golfer so.
    Told,
    /// Said or asked as something that is so or not.
    Claimed,
    /// "Should I ...": to be answered with yes, no or it depends.
    Should,
    /// "How ...", "what ...", "is it bad to ...": no verdict answers it.
    Open,
}

/// A name whose meaning is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meant {
    /// What golfer, kit or lie does.
    Cause(CauseId),
    /// Something seen, heard or felt.
    Symptom(SymptomId),
    /// What the club did.
    Effect(EffectId),
    /// Something measured.
    Quantity(QuantityId),
}

/// What practice has to have regard for.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a fact of the golfer by itself"
)]
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Care {
    /// The golfer is a child.
    pub child: bool,
    /// Something hurts or makes dizzy, and nothing grave about it was said.
    pub ailing: bool,
    /// A health professional has seen what hurts and said that swinging is fine.
    pub seen: bool,
    /// Something is stiff or cleared by a doctor, and nothing hurts.
    pub eased: bool,
}

/// A line of the reasoning down to the golfer's words.
#[derive(Debug, Clone, PartialEq)]
pub struct ReasonLine {
    /// How deep.
    pub depth: usize,
    /// The slot concluded or told.
    pub slot: String,
    /// Its number, if it is one.
    pub number: Option<(QuantityId, Amount)>,
    /// Its truth, if it is a flag.
    pub holds: Option<bool>,
    /// The rule, and its sentence.
    pub rule: Option<(String, String)>,
    /// The user's words, at a leaf.
    pub words: Option<String>,
}

/// What a what-if changed.
#[derive(Debug, Clone, PartialEq)]
pub enum Changed {
    /// A change of the knowledge, by its place in the table, with a size in its unit, and as it was
    /// said if in another unit.
    Moved(usize, f64, Option<(f64, Unit)>),
    /// Quantities were put at values.
    Put(Vec<(Axis, Amount)>),
    /// A cause was taken away.
    Without(CauseId),
    /// A cause came on.
    With(CauseId),
    /// The same swing with another club, from another lie, or both.
    Elsewhere {
        /// The single club, or else the group.
        club: Option<ClubId>,
        /// Its group; none if the club stays.
        group: Option<GroupId>,
        /// The lie, if it changes.
        lie: Option<LieId>,
    },
}

/// A verdict and what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct VerdictSaid {
    /// What was practised.
    pub cause: CauseId,
    /// On which block it was given.
    pub stage: Stage,
    /// The verdict, its interval, and how many balls would tell.
    pub judgement: Judgement,
    /// What it amounts to so far.
    pub standing: Standing,
    /// What was aimed for.
    pub goal: Goal,
    /// Blocks that may still be judged against this start.
    pub looks_left: usize,
    /// The golfer is a child.
    pub child: bool,
    /// Balls in each block.
    pub balls: u32,
}

/// The golfer's word on practice, and what the counts say.
#[derive(Debug, Clone, PartialEq)]
pub struct CountsSaid {
    /// What was practised.
    pub cause: CauseId,
    /// The golfer says that it helped.
    pub helped: bool,
    /// The first block.
    pub before: Summary,
    /// What came after it; none if the first block alone tells, being at the target already.
    pub after: Option<Summary>,
    /// The verdict on both.
    pub verdict: Option<Verdict>,
}

/// What was agreed with a golfer, and what came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct AgreedSaid {
    /// What is practised.
    pub cause: CauseId,
    /// How.
    pub drill: Option<DrillId>,
    /// What is counted in place of what cause and drill count.
    pub count: Option<CountId>,
    /// Text id of what is counted or measured.
    pub measure: String,
    /// The words to think, as they were given.
    pub cue: String,
    /// What was aimed for.
    pub goal: Goal,
    /// The first block.
    pub start: Option<Summary>,
    /// The blocks with the thought together.
    pub practice: Option<Summary>,
    /// The retest.
    pub retest: Option<Summary>,
    /// The last verdict.
    pub judged: Option<(Verdict, Standing)>,
    /// What comes next.
    pub due: Due,
    /// Balls for the next block.
    pub balls: u32,
}

/// A golfer who was here before.
#[derive(Debug, Clone, PartialEq)]
pub struct Returning {
    /// The name, untrusted; empty for the book without one.
    pub golfer: String,
    /// When the last talk was.
    pub last: Option<Moment>,
    /// Now.
    pub now: Moment,
    /// Text ids of what was understood then.
    pub complaint: Vec<String>,
    /// What was agreed; none if nothing was.
    pub agreed: Option<AgreedSaid>,
    /// Something was agreed that this knowledge does not know: its text id.
    pub unknown: Option<String>,
    /// Answers of earlier lessons that still hold.
    pub lasting: Vec<(CheckId, bool)>,
}

/// Where a mark sits between the top and the bottom of the face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MarkHeight {
    /// So far above the usual place.
    Measured(Amount),
    /// No number says.
    Unknown,
}

/// One measure over time.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Text id of the cause whose success is counted, or of the quantity.
    pub measure: String,
    /// The blocks in order.
    pub points: Vec<Point>,
    /// What was aimed for last.
    pub goal: Option<Goal>,
    /// The last verdict on it.
    pub judged: Option<(Verdict, Standing)>,
}

/// A line of the book.
#[derive(Debug, Clone, PartialEq)]
pub struct BookLine {
    /// The record's number.
    pub seq: u64,
    /// When it was written.
    pub at: Option<Moment>,
    /// What it says.
    pub what: BookEntry,
}

/// What a line of the book says.
#[derive(Debug, Clone, PartialEq)]
pub enum BookEntry {
    /// Something the golfer typed: untrusted.
    Said(String),
    /// A prescription: the cause's text id and the cue.
    Agreed(String, String),
    /// A block.
    Block(Stage, Summary),
    /// A verdict.
    Verdict(Verdict, Standing),
    /// Answers that outlive the lesson; none where an earlier one no longer holds.
    Lasting(Vec<(CheckId, Option<bool>)>),
}

/// The page to take home.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// The name, untrusted; empty without one.
    pub golfer: String,
    /// The day.
    pub on: Moment,
    /// What was told.
    pub heard: Vec<Heard>,
    /// What the club did.
    pub arc: Option<ArcNumbers>,
    /// What most likely caused it, the first first, at most three; the chances.
    pub causes: Vec<RankedCause>,
    /// When what happened was told; none if in this talk.
    pub told: Option<Moment>,
    /// What is practised, and what came of it.
    pub agreed: Option<AgreedSaid>,
    /// What was practised last and did not help, if nothing took its place.
    pub tried: Option<AgreedSaid>,
    /// The measured range that shows it worked.
    pub aim: Vec<(QuantityId, Amount, Amount)>,
    /// Counted or measured over time.
    pub courses: Vec<Course>,
    /// A caution stands.
    pub held: Option<CautionId>,
    /// What practice has to have regard for.
    pub care: Care,
}

/// A reply.
#[derive(Debug, Clone, Default)]
pub struct Reply {
    /// What to say, in order.
    pub blocks: Vec<Block>,
    /// The session is over.
    pub leave: bool,
}

impl Reply {
    /// A reply of one block.
    pub fn of(block: Block) -> Self {
        Self {
            blocks: vec![block],
            leave: false,
        }
    }

    /// A reply of one short line.
    pub fn note(note: Note) -> Self {
        Self::of(Block::Note(note))
    }
}

/// What a finding is about, for callers that need it apart from its words.
pub const fn is_number(what: &What) -> bool {
    matches!(what, What::Number(_))
}
