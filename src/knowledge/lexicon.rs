//! Which words mean what? The phrases of the knowledge, with their ids resolved.
//!
//! Takes entries as they stand in `knowledge/phrases/*.yaml` ([`RawEntry`], any file format that
//! serde reads) and lookups from text id to id; gives a [`Lexicon`] and every problem found, each
//! with the id of its entry and the offending text, so that the caller can place it.
//!
//! A phrase is written as a golfer types it. `{push}` and `{pull}` stand for right and left of a
//! right-handed golfer and the other way round for a left-handed one; `{lead}` and `{trail}` for
//! the two hands, arms and feet; `{n}` for any number. `(good|fine) off a (tee|peg|)` stands for
//! each of its choices; an empty choice may be left out.
//!
//! Invariant: every entry of a lexicon has exactly one meaning and every id in it exists. What is
//! not known here: how a line is cut into words, and where phrases may stretch.

mod choices;
mod fingerprint;
mod meanings;
mod raw;
mod resolve;

pub(crate) use choices::Choices;
pub use choices::choices;
pub(crate) use fingerprint::{START, hashed};
pub use meanings::{MOODS, TONES};
pub use raw::{RawClass, RawEntry, RawUneven};
pub use resolve::{LexiconProblem, LexiconProblemKind, Lookups, MOST_LISTS};

use crate::quantity::Unit;
use crate::vocabulary::{AnswerId, CauseId, ClubId, GroupId, Hand, LieId, QuantityId, SymptomId};

/// What a function word does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Makes what follows absent.
    Not,
    /// The same, but undoes a negation that stands before it ("never without").
    Without,
    /// Makes what stands before absent ("is gone").
    NotBefore,
    /// "Isn't the problem": what stands before it in its clause is denied.
    NotSo,
    /// Looks like a negation and is none ("no doubt", "can't stop").
    NoNegation,
    /// Makes what follows sometimes so ("not always").
    NotAlways,
    /// Ends the reach of what stands before it ("but").
    Break,
    /// Carries a negation on ("nor", "or").
    Carry,
    /// The golfer is not sure.
    Unsure,
    /// The golfer half knows ("I think").
    Hedge,
    /// Used to be so.
    Past,
    /// Has stopped.
    Stopped,
    /// Now, in contrast to before.
    Now,
    /// A wish.
    Wish,
    /// A wish to know: what follows may be a fact.
    Ask,
    /// A fear.
    Fear,
    /// A condition.
    If,
    /// Somebody else.
    Other,
    /// Somebody says.
    Quote,
    /// The golfer in person, ending what others do.
    Me,
    /// Takes back what was said ("no, I mean").
    Correct,
    /// All but what follows.
    Except,
    /// Only what follows.
    Only,
    /// The number is rough.
    About,
    /// Past only if the same sentence says what is so now ("had a slice, now I hook").
    Was,
    /// An answer: yes.
    Yes,
    /// An answer: no.
    No,
    /// An answer: does not know.
    DontKnow,
    /// "In a row": all of them.
    InARow,
    /// "Out of": count, then total.
    OutOf,
    /// "Times": a count.
    Times,
    /// "Per", "a": before a stretch of play.
    Per,
    /// Joins clubs or shots ("and").
    And,
    /// From a number to a number.
    To,
    /// Minus sign in words.
    Minus,
    /// Plus sign in words.
    Plus,
    /// "My", "the", "with my": a bare number after it may be a club.
    ClubFollows,
    /// "Same story", "ditto": what was told before is so here too.
    Alike,
    /// "With", "than": a bare number after it is a club if nothing after it makes it measure or count.
    ClubMayFollow,
    /// Words after a number that show it is no club and no measurement ("shots", "holes").
    Counted,
    /// Compared with the usual.
    Change,
    /// Words that may stand inside any phrase and carry nothing (articles, "really").
    Filler,
    /// Words that may stand inside any phrase, though phrases keep their own ("just", "hit").
    Loose,
    /// Carries nothing: on the stop list.
    Stop,
    /// An ordinary English word: never mended into another, and listed as unused.
    Plain,
}

impl Role {
    const NAMES: [(&'static str, Self); 45] = [
        ("not", Self::Not),
        ("without", Self::Without),
        ("not_before", Self::NotBefore),
        ("not_so", Self::NotSo),
        ("no_negation", Self::NoNegation),
        ("not_always", Self::NotAlways),
        ("break", Self::Break),
        ("carry", Self::Carry),
        ("unsure", Self::Unsure),
        ("hedge", Self::Hedge),
        ("past", Self::Past),
        ("stopped", Self::Stopped),
        ("now", Self::Now),
        ("was", Self::Was),
        ("wish", Self::Wish),
        ("ask", Self::Ask),
        ("fear", Self::Fear),
        ("if", Self::If),
        ("other", Self::Other),
        ("quote", Self::Quote),
        ("me", Self::Me),
        ("correct", Self::Correct),
        ("except", Self::Except),
        ("only", Self::Only),
        ("about", Self::About),
        ("in_a_row", Self::InARow),
        ("out_of", Self::OutOf),
        ("times", Self::Times),
        ("per", Self::Per),
        ("and", Self::And),
        ("to", Self::To),
        ("minus", Self::Minus),
        ("plus", Self::Plus),
        ("club_follows", Self::ClubFollows),
        ("alike", Self::Alike),
        ("club_may_follow", Self::ClubMayFollow),
        ("counted", Self::Counted),
        ("change", Self::Change),
        ("filler", Self::Filler),
        ("loose", Self::Loose),
        ("stop", Self::Stop),
        ("plain", Self::Plain),
        ("yes", Self::Yes),
        ("no", Self::No),
        ("dont_know", Self::DontKnow),
    ];

    /// The names of the roles in the files.
    pub fn names() -> impl Iterator<Item = &'static str> {
        Self::NAMES.into_iter().map(|(name, _)| name)
    }

    /// The role of this name in the files.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::NAMES
            .into_iter()
            .find_map(|(n, role)| (n == name).then_some(role))
    }
}

/// The sort of line a phrase gives away.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ToneWord {
    /// Hello.
    Greeting,
    /// Thank you.
    Thanks,
    /// Bye.
    Goodbye,
    /// Golf, but not for this program.
    OutOfScope,
    /// Not golf.
    OffTopic,
    /// Rude.
    Abuse,
    /// Another language.
    Language,
}

/// A direction word of the lexicon (behind, ahead, up, toe ...), as a small number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DirectionId(pub u8);

/// How a quantity is said.
#[derive(Debug, Clone, PartialEq)]
pub struct QuantityWords {
    /// Which quantity.
    pub quantity: QuantityId,
    /// Units that make sense, with least and most in house signs.
    pub units: Vec<(Unit, f64, f64)>,
    /// Units left unsaid.
    pub bare: Vec<Unit>,
    /// Sign of each direction.
    pub signs: Vec<(DirectionId, f64)>,
    /// A number without sign or direction must be asked about.
    pub ask_sign: bool,
    /// Its sides are right and left, so that a sign alone means two things for a left-hander.
    pub sided: bool,
    /// It belongs to the golfer, whatever the club.
    pub of_golfer: bool,
    /// Directions that name this quantity by themselves.
    pub implied_by: Vec<DirectionId>,
    /// Directions that name it if a unit was said.
    pub implied_with_unit: Vec<DirectionId>,
    /// Named stretches.
    pub classes: Vec<Class>,
    /// Bare numbers listed after a club are this between these two, in the first unit left unsaid.
    pub listed: Option<[f64; 2]>,
    /// A number right beside a club, with a unit that other quantities have too, is this between
    /// these two, in the first unit.
    pub beside_club: Option<[f64; 2]>,
    /// Shots whose standard deviation is this share of their mean or more, and so much, mean this symptom.
    pub uneven: Option<(SymptomId, f64, f64)>,
    /// Clubs told of apart whose values lie closer than this mean this symptom.
    pub close: Option<Close>,
    /// Less of it now than was told of before means this symptom.
    pub fallen: Option<SymptomId>,
}

/// How close the values of different clubs have to lie for a symptom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Close {
    /// The symptom.
    pub symptom: SymptomId,
    /// What is just enough per degree of loft, in the inside unit.
    pub per_degree: f64,
}

/// A named stretch of values.
#[derive(Debug, Clone, PartialEq)]
pub struct Class {
    /// The symptom.
    pub symptom: SymptomId,
    /// From this on (inclusive), inside unit.
    pub from: f64,
    /// Up to this (exclusive), inside unit.
    pub to: f64,
    /// Only with these groups; all if empty.
    pub groups: Vec<GroupId>,
}

/// Which groups a club phrase means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reach {
    /// Those it names.
    Named,
    /// All shots, rather than all clubs, unless some clubs are excepted.
    AnyShot,
    /// All groups but those named elsewhere in the line.
    Others,
    /// The same if they are well ("the rest are fine"), else the other shots.
    Rest,
}

/// How a circumstance of shots is spoken of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mood {
    /// Shots are good.
    Good,
    /// Shots are bad.
    Bad,
    /// It is so here and not elsewhere: "only", "worse".
    Apart,
    /// It makes no difference.
    Same,
    /// A circumstance begins: "when".
    When,
}

/// What an entry means.
#[derive(Debug, Clone, PartialEq)]
pub enum Meaning {
    /// Clubs and groups; `all` of them if set.
    Clubs {
        /// Single clubs.
        clubs: Vec<ClubId>,
        /// Groups, including those of the clubs.
        groups: Vec<GroupId>,
        /// Which of the groups are meant.
        reach: Reach,
        /// Chips and pitches with them.
        part_shot: bool,
    },
    /// A noun that takes a number.
    Numbered {
        /// Number and club with its group.
        clubs: Vec<(u16, ClubId, Option<GroupId>)>,
        /// The groups meant without a number, or with another one.
        groups: Vec<GroupId>,
    },
    /// A noun that takes a loft.
    Lofts(Vec<(f64, f64, ClubId, Option<GroupId>)>),
    /// A lie.
    Lie(LieId),
    /// Chips and pitches.
    PartShot,
    /// Symptoms.
    Symptoms(SymptomWords),
    /// One of several symptoms (or a cause): ask.
    OneOf {
        /// The symptoms.
        symptoms: Vec<SymptomId>,
        /// Or these causes.
        causes: Vec<CauseId>,
        /// The direction it gives to a number beside it, which then answers the question.
        direction: Option<DirectionId>,
        /// What it means besides where it is so of all shots.
        always: Option<SymptomId>,
    },
    /// Symptoms that together mean more.
    Together {
        /// All of these.
        all: Vec<SymptomId>,
        /// Mean these as well.
        mean: Vec<SymptomId>,
    },
    /// Nothing wrong.
    AllWell,
    /// A circumstance of shots.
    Circumstance {
        /// What it means that they are good in it.
        good: Option<SymptomId>,
        /// What it means that they are bad in it.
        bad: Option<SymptomId>,
    },
    /// How a circumstance is spoken of.
    Mood(Mood),
    /// The name of a quantity.
    Quantity(QuantityWords),
    /// A direction.
    Direction(DirectionId),
    /// Left or right, as the golfer sees it.
    Side {
        /// True for right.
        right: bool,
    },
    /// A unit.
    Unit(Unit),
    /// A number.
    Number(f64),
    /// Self-diagnosis.
    Hint(Vec<CauseId>),
    /// Advice or a question.
    Topic(AnswerId),
    /// Share of shots.
    Often(f64),
    /// How bad.
    Severity(f64),
    /// Full shots in a stretch of play.
    ShotsIn(f64),
    /// The playing side.
    Hand(Hand),
    /// A function word.
    Word(Role),
    /// Read as one word.
    SameAs(String),
    /// The sort of line.
    Tone(ToneWord, String),
}

/// What a symptom phrase carries besides its symptoms.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SymptomWords {
    /// The symptoms.
    pub symptoms: Vec<SymptomId>,
    /// Share of shots said by the phrase itself.
    pub often: Option<f64>,
    /// How bad, said by the phrase itself.
    pub severity: Option<f64>,
    /// Groups said by the phrase itself.
    pub groups: Vec<GroupId>,
    /// Lie said by the phrase itself.
    pub lie: Option<LieId>,
    /// A chip or a pitch.
    pub part_shot: bool,
    /// With these groups alone it says that all is well.
    pub well_with: Vec<GroupId>,
    /// What else the sentence says without a club is of these groups too ("with driver only").
    pub spreads: bool,
    /// What a slight one is instead; the same if empty.
    pub slight: Vec<SymptomId>,
    /// The quantity to ask for.
    pub measure: Option<QuantityId>,
    /// The direction it gives to a number beside it.
    pub direction: Option<DirectionId>,
    /// True if the symptoms do not count when a number takes the direction.
    pub alone: bool,
}

/// An entry with its ids resolved.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a field of the files, set by itself"
)]
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Text id.
    pub id: String,
    /// Phrasings as written, each with its choices ([`choices`]).
    pub says: Vec<String>,
    /// Letters that count written onto a number only.
    pub glued: Vec<String>,
    /// Letters that count straight after a number only.
    pub after_number: Vec<String>,
    /// What it means.
    pub meaning: Meaning,
    /// No other endings of the words.
    pub exact: bool,
    /// Said to no purpose.
    pub chatter: bool,
    /// How far to trust it.
    pub weight: f64,
    /// One word of each list, close together in one clause and in any order, says it too.
    pub near: Vec<Vec<String>>,
    /// Words that must not stand among those of `near`.
    pub lacks: Vec<String>,
    /// Clauses do not part the words of `near`, only sentences.
    pub across: bool,
    /// The words of the first two lists of `near` belong together, and those of the second two.
    pub paired: bool,
    /// Something looked at rather than felt.
    pub seen: bool,
    /// The words say that it is not so.
    pub denies: bool,
    /// The way a guess at a cause sends a number beside it ("path 4 over the top").
    pub direction: Option<DirectionId>,
}

impl Entry {
    /// Every phrase that the phrasings stand for.
    pub fn phrases(&self) -> impl Iterator<Item = String> + '_ {
        self.says.iter().flat_map(|says| choices(says))
    }

    /// True if other endings of its words do not count; always so for stop words.
    pub fn only_exact(&self) -> bool {
        self.exact || matches!(self.meaning, Meaning::Word(Role::Stop))
    }

    /// True if it tells something of shots, golfer or numbers, rather than how words hang together.
    pub fn tells(&self) -> bool {
        matches!(
            self.meaning,
            Meaning::Symptoms(_)
                | Meaning::OneOf { .. }
                | Meaning::Hint(_)
                | Meaning::Topic(_)
                | Meaning::Quantity(_)
        )
    }

    /// Stop words, fillers and ordinary words may repeat a phrase of another entry, which then
    /// keeps its meaning.
    pub fn gives_way(&self) -> bool {
        matches!(
            self.meaning,
            Meaning::Word(
                Role::Plain | Role::Stop | Role::Filler | Role::Loose | Role::ClubMayFollow
            )
        )
    }
}

/// All phrases.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Lexicon {
    /// In the order of the files.
    pub entries: Vec<Entry>,
    /// Names of the directions; [`DirectionId`] is the place here.
    pub directions: Vec<String>,
    /// Every club group, for "everything but the driver".
    pub all_groups: Vec<GroupId>,
    /// What a good strike shows: "centred, not the issue" does not deny it.
    pub well: Vec<SymptomId>,
}
