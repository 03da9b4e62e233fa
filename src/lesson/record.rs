//! What the lesson book remembers: one kind of record for each thing that happens in a lesson.
//!
//! Takes entries from a talk and gives the JSON text that the journal stores, and back. Things of the
//! knowledge base are named by their text ids, so a book outlives any numbering.
//!
//! Invariants: the stored text of a record is kept as it was read, so what a newer version wrote
//! survives export, import and repair; an entry of a kind or shape this version does not know is
//! kept and reported as [`Content::Newer`], never dropped. Where and how lines are stored is not
//! known here.

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::measure::{Block, Figure, Goal};
use super::moment::Moment;
use super::verdict::{Feedback, Standing, Verdict};
use crate::vocabulary::Hand;

/// Something to remember. The `kind` in the stored text is the name in snake case.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Entry {
    /// The first record of every book: whose it is.
    Opened(Opened),
    /// Stable facts, learned or corrected; only what is given replaces what was known.
    Facts(Facts),
    /// A talk began; what follows until the next one belongs to it.
    Began(Began),
    /// One line of the talk.
    Turn(Turn),
    /// The one thing to practise.
    Prescribed(Prescribed),
    /// A block hit before the cue was shown.
    Baseline(BlockHit),
    /// A block hit with the cue.
    Practice(BlockHit),
    /// What practice amounted to.
    Verdict(Judged),
    /// A block hit later to see whether it is learned.
    Retest(RetestHit),
    /// The golfer's own word on whether practice helped.
    Word(Word),
    /// A remark of golfer or coach.
    Note(Note),
    /// A later word on an earlier record.
    Correction(Correction),
    /// Earlier records were taken back: they stay in the book and count no more.
    TakenBack(TakenBack),
    /// Stands in the place of a record whose content was wiped at the golfer's wish.
    Forgotten(Wiped),
    /// Stands in the place of a record that damage took and repair could not bring back.
    Lost(Lost),
    /// Training: the case set before a learner. Open to whatever the trainer stores.
    Case(Open),
    /// Training: how the learner did. Open to whatever the trainer stores.
    Score(Open),
}

/// Whose book it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Opened {
    /// The name the golfer or coach typed, as typed: untrusted text. Empty if none was given.
    pub golfer: String,
    /// What was known from the start.
    #[serde(flatten)]
    pub facts: Facts,
}

/// What does not change from one lesson to the next.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Facts {
    /// Which side the golfer plays from.
    #[serde(default, with = "hand", skip_serializing_if = "Option::is_none")]
    pub hand: Option<Hand>,
    /// Text ids of the clubs usually talked about.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub clubs: Vec<String>,
    /// Answers that outlive a lesson: the text id of a check, a colon, and `yes`, `no`, or `open` where
    /// an earlier answer no longer holds.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub answers: Vec<String>,
}

/// A talk began.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Began {
    /// The knowledge in use, by its digest; empty if nobody noted it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub knowledge: String,
}

/// A line of the talk and what it was taken to mean.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Turn {
    /// The line as typed: untrusted text.
    pub said: String,
    /// Text ids of the findings understood.
    #[serde(default)]
    pub understood: Vec<String>,
    /// Words that were not used.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_used: Vec<String>,
    /// With this line the talk before was taken up: what was told there holds here too.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub took_up: bool,
}

/// One thing to practise, with the number that shows whether it worked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Prescribed {
    /// Text id of the cause it is aimed at.
    pub cause: String,
    /// Text id of the drill.
    pub drill: String,
    /// The words to think.
    pub cue: String,
    /// Text id of what is counted or measured.
    pub measure: String,
    /// What would be worth having.
    pub goal: Goal,
    /// Balls per block.
    pub balls: u32,
    /// When it should be tested again; at least a day later.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub test_from: Option<Moment>,
}

/// A block and what it belongs to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BlockHit {
    /// Text id of what was counted or measured.
    pub measure: String,
    /// The result.
    #[serde(flatten)]
    pub block: Block,
}

/// A verdict that was said.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Judged {
    /// Text id of the cause practised on.
    pub cause: String,
    /// Text id of the drill.
    pub drill: String,
    /// The word.
    pub verdict: Verdict,
    /// What it amounts to so far.
    pub standing: Standing,
    /// Whether the golfer did what was prescribed.
    pub followed: Followed,
    /// Low end of the change, positive for better; absent if there was none.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub low: Option<Figure>,
    /// High end.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub high: Option<Figure>,
}

/// Whether practice was done as prescribed, by the golfer's own account.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Followed {
    /// As prescribed.
    Well,
    /// In part.
    Partly,
    /// Not, or something else was practised.
    Not,
    /// Nobody said.
    Unknown,
}

/// A retest block.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RetestHit {
    /// Text id of what was counted or measured.
    pub measure: String,
    /// Whether there was feedback.
    pub feedback: Feedback,
    /// The result.
    #[serde(flatten)]
    pub block: Block,
}

/// What the golfer says of practice, apart from any count.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Word {
    /// Text id of the cause practised on.
    pub cause: String,
    /// "It helped", or "it did not".
    pub helped: bool,
}

/// A remark.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Note {
    /// As typed: untrusted text.
    pub text: String,
}

/// A later word on an earlier record; the earlier one stays.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Correction {
    /// Number of the record it is about.
    pub of: u64,
    /// As typed: untrusted text.
    pub text: String,
}

/// Records that count no more.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TakenBack {
    /// Their numbers.
    pub of: Vec<u64>,
}

/// What is left of a wiped record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Wiped {
    /// The kind it had.
    pub was: String,
}

/// What is left of a record that damage took.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lost {
    /// Where in the damaged file the trouble began.
    pub offset: u64,
}

/// A payload that is open to whatever its writer stores.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Open {
    /// Everything but `kind` and `at`.
    #[serde(flatten)]
    pub fields: Map<String, Value>,
}

impl Entry {
    /// The kind as stored.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Opened(_) => "opened",
            Self::Facts(_) => "facts",
            Self::Began(_) => "began",
            Self::Turn(_) => "turn",
            Self::Prescribed(_) => "prescribed",
            Self::Baseline(_) => "baseline",
            Self::Practice(_) => "practice",
            Self::Verdict(_) => "verdict",
            Self::Retest(_) => "retest",
            Self::Word(_) => "word",
            Self::Note(_) => "note",
            Self::Correction(_) => "correction",
            Self::TakenBack(_) => "taken_back",
            Self::Forgotten(_) => "forgotten",
            Self::Lost(_) => "lost",
            Self::Case(_) => "case",
            Self::Score(_) => "score",
        }
    }
}

/// One record as the book holds it.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// Its number; the first is 0.
    pub seq: u64,
    /// When it was written, by the writer's clock; None if a newer version wrote something else.
    pub at: Option<Moment>,
    /// What it says.
    pub content: Content,
    pub(super) text: String,
}

/// What a record says.
#[derive(Debug, Clone, PartialEq)]
pub enum Content {
    /// Known to this version.
    Known(Entry),
    /// Of a kind or shape this version does not know: kept, and to be skipped aloud.
    Newer {
        /// The kind as stored; empty if there is none.
        kind: String,
    },
}

#[derive(Serialize)]
struct Stamped<'a> {
    at: Moment,
    #[serde(flatten)]
    entry: &'a Entry,
}

impl Record {
    /// The JSON text as stored, without the frame of the journal's line.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The kind as stored.
    pub fn kind(&self) -> &str {
        match &self.content {
            Content::Known(entry) => entry.kind(),
            Content::Newer { kind } => kind,
        }
    }

    /// The entry, if this version knows it.
    pub const fn entry(&self) -> Option<&Entry> {
        match &self.content {
            Content::Known(entry) => Some(entry),
            Content::Newer { .. } => None,
        }
    }

    /// Reads the stored text of a record; None unless it is one JSON object.
    pub(super) fn read(seq: u64, text: &str) -> Option<Self> {
        let mut fields: Map<String, Value> = serde_json::from_str(text).ok()?;
        let stamp = fields.remove("at");
        let at = stamp.and_then(|v| serde_json::from_value(v).ok());
        let kind = fields
            .get("kind")
            .and_then(Value::as_str)
            .unwrap_or_default()
            .to_owned();
        let content = serde_json::from_value(Value::Object(fields))
            .map_or(Content::Newer { kind }, Content::Known);
        Some(Self {
            seq,
            at,
            content,
            text: text.to_owned(),
        })
    }

    /// A record that says `entry`, as the book would hold it under this number.
    ///
    /// # Errors
    /// [`serde_json::Error`] if the entry has no text form, which no entry of this version lacks.
    pub fn new(seq: u64, at: Moment, entry: &Entry) -> Result<Self, serde_json::Error> {
        let text = serde_json::to_string(&Stamped { at, entry })?;
        let content = Content::Known(entry.clone());
        Ok(Self {
            seq,
            at: Some(at),
            content,
            text,
        })
    }
}

mod hand {
    //! The hand as a golfer would write it.
    use serde::{Deserialize as _, Deserializer, Serializer};

    use crate::vocabulary::Hand;

    #[expect(
        clippy::ref_option,
        clippy::trivially_copy_pass_by_ref,
        reason = "the shape serde calls"
    )]
    pub(super) fn serialize<S: Serializer>(hand: &Option<Hand>, to: S) -> Result<S::Ok, S::Error> {
        match hand {
            Some(Hand::Right) => to.serialize_str("right"),
            Some(Hand::Left) => to.serialize_str("left"),
            None => to.serialize_none(),
        }
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(
        from: D,
    ) -> Result<Option<Hand>, D::Error> {
        match Option::<String>::deserialize(from)?.as_deref() {
            None => Ok(None),
            Some("right") => Ok(Some(Hand::Right)),
            Some("left") => Ok(Some(Hand::Left)),
            Some(_) => Err(serde::de::Error::custom("neither right nor left")),
        }
    }
}
