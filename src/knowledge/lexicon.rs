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

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::quantity::Unit;
use crate::vocabulary::{AnswerId, CauseId, ClubId, GroupId, Hand, LieId, QuantityId, SymptomId};

/// One entry as written. Exactly one of the fields that give a meaning is set.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "keys of a file, each said or not"
)]
pub struct RawEntry {
    /// Snake-case text id, unique over all phrase files.
    pub id: String,
    /// Phrasings, lower case.
    pub says: Vec<String>,
    /// Letters that count only when written onto a number without a space ("7i").
    pub glued: Vec<String>,
    /// Letters that count only straight after a number ("3 m", "10 R").
    pub after_number: Vec<String>,

    /// Meaning: a single club.
    pub club: Option<String>,
    /// Meaning: club groups; `all` for every group. With `numbered`: the group of other numbers.
    pub groups: Vec<String>,
    /// With `groups`: all shots as much as all clubs ("everything"); clubs only if some are
    /// excepted.
    pub any_shot: bool,
    /// With `groups`: those that the line does not name ("everything else"). With `any_shot` too
    /// ("the rest"): only if they are said to be well.
    pub others: bool,
    /// Meaning: a club noun that takes a number: 7 iron.
    pub numbered: BTreeMap<u16, String>,
    /// Meaning: a noun that takes a loft: club, then from and to in degrees.
    pub lofts: BTreeMap<String, [f64; 2]>,
    /// Meaning: a lie. May stand beside `symptoms`.
    pub lie: Option<String>,
    /// Meaning (alone or beside another): not a full swing.
    pub part_shot: bool,

    /// Meaning: symptoms, all of them present.
    pub symptoms: Vec<String>,
    /// Meaning: one of these symptoms, and the golfer must say which.
    pub one_of: Vec<String>,
    /// Beside `symptoms`: with these groups it says that all is well ("fine off the tee" of the
    /// driver).
    pub well_with: Vec<String>,
    /// Beside `symptoms`: what a slight one of them is instead.
    pub slight: Vec<String>,
    /// Beside `symptoms`: the quantity to ask for ("how far behind?").
    pub measure: Option<String>,
    /// Meaning: these symptoms together on one pattern also mean `symptoms`.
    pub together: Vec<String>,
    /// Meaning: nothing wrong.
    pub all_well: bool,

    /// Meaning: the name of a quantity.
    pub quantity: Option<String>,
    /// With `quantity`: units that make sense, each with least and most (in house signs).
    pub units: BTreeMap<String, [f64; 2]>,
    /// With `quantity`: units people leave unsaid.
    pub bare: Vec<String>,
    /// With `quantity`: what each direction word does to the sign.
    pub signs: BTreeMap<String, i8>,
    /// With `quantity`: a number without sign or direction is `plus` (default) or `ask`.
    pub unsigned: Option<String>,
    /// With `quantity`: read a number with one of these directions as this quantity though its
    /// name was not said.
    pub implied_by: Vec<String>,
    /// The same, but only if a unit was said.
    pub implied_with_unit: Vec<String>,
    /// With `quantity`: of the golfer, not of a club (handicap).
    pub of_golfer: bool,
    /// With `quantity`: values from..to in the first unit of `units_of_classes` mean a symptom.
    pub classes: Vec<RawClass>,

    /// Meaning (or beside `symptoms`): a direction word, by name.
    pub direction: Option<String>,
    /// With `symptoms` and `direction`: the symptoms count only when no number takes the direction.
    pub alone: bool,
    /// Meaning: one side: `left` or `right`.
    pub side: Option<String>,
    /// Meaning: a unit, by its symbol.
    pub unit: Option<String>,
    /// Meaning: a number said in words.
    pub number: Option<f64>,

    /// Meaning: self-diagnosis, pointing at these causes.
    pub causes: Vec<String>,
    /// Meaning: quoted advice or a question, spoken to by this answer.
    pub answer: Option<String>,

    /// Meaning (or beside `symptoms`): share of shots.
    pub often: Option<f64>,
    /// Meaning (or beside `symptoms`): how bad.
    pub severity: Option<f64>,
    /// Meaning: a stretch of play, and how many full shots it holds.
    pub shots_in: Option<f64>,

    /// Meaning: the playing side: `left` or `right`.
    pub hand: Option<String>,
    /// Meaning: a function word: see [`Role`].
    pub word: Option<String>,
    /// Meaning: these words are read as this one word.
    pub same_as: Option<String>,
    /// Meaning: the sort of line: `greeting`, `thanks`, `goodbye`, `out_of_scope`,
    /// `off_topic`, `abuse`, `language`.
    pub tone: Option<String>,
    /// With `tone`: which one (the language, the topic).
    pub topic: Option<String>,

    /// Only these very words, no other endings of them.
    pub exact: bool,
    /// How far such words are to be trusted; 0.9 unless said.
    pub weight: Option<f64>,
    /// What the number and the choice rest on; for the reader of the file.
    pub kind: Option<String>,
}

/// A stretch of values that has a name.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct RawClass {
    /// The symptom.
    pub symptom: String,
    /// From this on (inclusive).
    pub from: Option<f64>,
    /// Up to this (exclusive).
    pub to: Option<f64>,
    /// Unit of both.
    pub unit: String,
    /// Only with these groups, if any are named.
    pub groups: Vec<String>,
}

/// What a function word does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Makes what follows absent.
    Not,
    /// The same, but undoes a negation that stands before it ("never without").
    Without,
    /// Makes what stands before absent ("is gone").
    NotBefore,
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
    const NAMES: [(&'static str, Self); 41] = [
        ("not", Self::Not),
        ("without", Self::Without),
        ("not_before", Self::NotBefore),
        ("no_negation", Self::NoNegation),
        ("not_always", Self::NotAlways),
        ("break", Self::Break),
        ("carry", Self::Carry),
        ("unsure", Self::Unsure),
        ("hedge", Self::Hedge),
        ("past", Self::Past),
        ("stopped", Self::Stopped),
        ("now", Self::Now),
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
    /// It belongs to the golfer, whatever the club.
    pub of_golfer: bool,
    /// Directions that name this quantity by themselves.
    pub implied_by: Vec<DirectionId>,
    /// Directions that name it if a unit was said.
    pub implied_with_unit: Vec<DirectionId>,
    /// Named stretches.
    pub classes: Vec<Class>,
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
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Text id.
    pub id: String,
    /// Phrasings.
    pub says: Vec<String>,
    /// Letters that count written onto a number only.
    pub glued: Vec<String>,
    /// Letters that count straight after a number only.
    pub after_number: Vec<String>,
    /// What it means.
    pub meaning: Meaning,
    /// No other endings of the words.
    pub exact: bool,
    /// How far to trust it.
    pub weight: f64,
}

impl Entry {
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
            Meaning::Word(Role::Plain | Role::Stop | Role::Filler | Role::Loose)
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
}

/// What is wrong with an entry.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LexiconProblemKind {
    /// An id that names nothing.
    #[error("no such {0}")]
    Unknown(&'static str),
    /// Two meanings, or none.
    #[error("an entry needs exactly one meaning, this has {0}")]
    Meanings(usize),
    /// No phrasings.
    #[error("no phrasings")]
    Empty,
    /// Two entries claim one phrase.
    #[error("also said by {0}")]
    Twice(String),
    /// A number out of place.
    #[error("out of range")]
    Range,
    /// A phrase with more choices than are kept.
    #[error("stands for more than 400 phrases")]
    TooMany,
}

/// One problem.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{entry}: `{text}`: {kind}")]
pub struct LexiconProblem {
    /// Text id of the entry.
    pub entry: String,
    /// The offending text.
    pub text: String,
    /// What is wrong.
    pub kind: LexiconProblemKind,
}

/// From text id to id, as the knowledge base knows them.
pub struct Lookups<'a> {
    /// Clubs.
    pub club: &'a dyn Fn(&str) -> Option<ClubId>,
    /// The group of a club.
    pub group_of: &'a dyn Fn(ClubId) -> Option<GroupId>,
    /// Groups.
    pub group: &'a dyn Fn(&str) -> Option<GroupId>,
    /// Every group.
    pub all_groups: &'a [GroupId],
    /// Lies.
    pub lie: &'a dyn Fn(&str) -> Option<LieId>,
    /// Symptoms.
    pub symptom: &'a dyn Fn(&str) -> Option<SymptomId>,
    /// Quantities.
    pub quantity: &'a dyn Fn(&str) -> Option<QuantityId>,
    /// Causes.
    pub cause: &'a dyn Fn(&str) -> Option<CauseId>,
    /// Answers.
    pub answer: &'a dyn Fn(&str) -> Option<AnswerId>,
}

impl std::fmt::Debug for Lookups<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Lookups")
    }
}

/// The problems of one entry, gathered while its ids are looked up.
struct Gather<'a> {
    entry: &'a str,
    problems: &'a mut Vec<LexiconProblem>,
}

impl Gather<'_> {
    fn note(&mut self, text: &str, kind: LexiconProblemKind) {
        self.problems.push(LexiconProblem {
            entry: self.entry.to_owned(),
            text: text.to_owned(),
            kind,
        });
    }

    fn one<T>(
        &mut self,
        text: &str,
        what: &'static str,
        look: &dyn Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let found = look(text);
        if found.is_none() {
            self.note(text, LexiconProblemKind::Unknown(what));
        }
        found
    }

    fn many<T>(
        &mut self,
        texts: &[String],
        what: &'static str,
        look: &dyn Fn(&str) -> Option<T>,
    ) -> Vec<T> {
        texts
            .iter()
            .filter_map(|text| self.one(text, what, look))
            .collect()
    }

    fn groups(&mut self, texts: &[String], ids: &Lookups<'_>) -> Vec<GroupId> {
        if texts.iter().any(|t| t == "all") {
            return ids.all_groups.to_vec();
        }
        self.many(texts, "group", ids.group)
    }
}

impl Lexicon {
    /// Resolves entries. `asks` are the phrasings of the answers, each with its text id; they
    /// become topics. The lexicon holds every entry that has no problem.
    pub fn resolve(
        raw: Vec<RawEntry>,
        asks: &[(String, Vec<String>)],
        ids: &Lookups<'_>,
    ) -> (Self, Vec<LexiconProblem>) {
        let mut problems = Vec::new();
        let mut lexicon = Self {
            all_groups: ids.all_groups.to_vec(),
            ..Self::default()
        };
        for entry in &raw {
            if let Some(name) = &entry.direction
                && !lexicon.directions.contains(name)
            {
                lexicon.directions.push(name.clone());
            }
        }
        for mut entry in raw {
            let mut says = Vec::with_capacity(entry.says.len());
            for phrase in &entry.says {
                let all = choices(phrase);
                if all.len() >= MOST_CHOICES {
                    problems.push(LexiconProblem {
                        entry: entry.id.clone(),
                        text: phrase.clone(),
                        kind: LexiconProblemKind::TooMany,
                    });
                }
                says.extend(all);
            }
            entry.says = says;
            let mut gather = Gather {
                entry: &entry.id,
                problems: &mut problems,
            };
            if let Some(meaning) = meaning_of(&entry, &lexicon.directions, ids, &mut gather) {
                lexicon.entries.push(Entry {
                    weight: entry.weight.unwrap_or(0.9),
                    id: entry.id,
                    exact: entry.exact,
                    says: entry.says,
                    glued: entry.glued,
                    after_number: entry.after_number,
                    meaning,
                });
            }
        }
        for (id, says) in asks {
            let mut gather = Gather {
                entry: id,
                problems: &mut problems,
            };
            if let Some(answer) = gather.one(id, "answer", ids.answer) {
                lexicon.entries.push(Entry {
                    id: id.clone(),
                    says: says.clone(),
                    exact: false,
                    glued: Vec::new(),
                    after_number: Vec::new(),
                    meaning: Meaning::Topic(answer),
                    weight: 0.9,
                });
            }
        }
        report_twice(&lexicon, &mut problems);
        (lexicon, problems)
    }

    /// The name of a direction.
    pub fn direction_name(&self, id: DirectionId) -> &str {
        self.directions
            .get(usize::from(id.0))
            .map_or("", String::as_str)
    }
}

/// Phrasings of one phrase at most; more are cut off.
const MOST_CHOICES: usize = 400;

/// Every phrase that `(a|b) c` stands for.
pub fn choices(says: &str) -> Vec<String> {
    if !says.contains('(') {
        return vec![says.to_owned()];
    }
    let mut out = vec![String::new()];
    let mut rest = says;
    while let Some((before, inside)) = rest.split_once('(') {
        let (inside, after) = inside.split_once(')').unwrap_or((inside, ""));
        out = out
            .iter()
            .flat_map(|head| inside.split('|').map(move |c| format!("{head}{before}{c}")))
            .take(MOST_CHOICES)
            .collect();
        rest = after;
    }
    for phrase in &mut out {
        phrase.push_str(rest);
        *phrase = phrase.split_whitespace().collect::<Vec<_>>().join(" ");
    }
    out
}

/// The same phrase in two entries would make one of them silent.
fn report_twice(lexicon: &Lexicon, problems: &mut Vec<LexiconProblem>) {
    let mut seen: BTreeMap<&str, &str> = BTreeMap::new();
    for entry in &lexicon.entries {
        if entry.gives_way() {
            continue;
        }
        for phrase in &entry.says {
            if let Some(other) = seen.insert(phrase, &entry.id)
                && other != entry.id
            {
                problems.push(LexiconProblem {
                    entry: entry.id.clone(),
                    text: phrase.clone(),
                    kind: LexiconProblemKind::Twice(other.to_owned()),
                });
            }
        }
    }
}

fn direction(name: &str, directions: &[String]) -> Option<DirectionId> {
    directions
        .iter()
        .position(|d| d == name)
        .and_then(|place| u8::try_from(place).ok())
        .map(DirectionId)
}

/// The meanings an entry sets, one name each.
fn meanings_set(entry: &RawEntry) -> usize {
    let symptoms = !entry.symptoms.is_empty() || !entry.together.is_empty();
    let beside = symptoms || !entry.one_of.is_empty();
    [
        entry.club.is_some() || (!entry.groups.is_empty() && !beside && entry.numbered.is_empty()),
        !entry.numbered.is_empty(),
        !entry.lofts.is_empty(),
        entry.lie.is_some() && !beside,
        entry.part_shot && !beside && entry.groups.is_empty(),
        beside,
        entry.all_well,
        entry.quantity.is_some(),
        entry.direction.is_some() && !beside,
        entry.side.is_some(),
        entry.unit.is_some(),
        entry.number.is_some(),
        !entry.causes.is_empty() && entry.one_of.is_empty(),
        entry.answer.is_some(),
        entry.often.is_some() && !beside,
        entry.severity.is_some() && !beside,
        entry.shots_in.is_some(),
        entry.hand.is_some(),
        entry.word.is_some(),
        entry.same_as.is_some(),
        entry.tone.is_some(),
    ]
    .into_iter()
    .filter(|set| *set)
    .count()
}

fn meaning_of(
    entry: &RawEntry,
    directions: &[String],
    ids: &Lookups<'_>,
    gather: &mut Gather<'_>,
) -> Option<Meaning> {
    let set = meanings_set(entry);
    if set != 1 {
        gather.note(&entry.id, LexiconProblemKind::Meanings(set));
        return None;
    }
    let forms = [
        &entry.says,
        &entry.glued,
        &entry.after_number,
        &entry.together,
    ];
    if forms.into_iter().all(Vec::is_empty) && entry.quantity.is_none() {
        gather.note(&entry.id, LexiconProblemKind::Empty);
        return None;
    }
    if let Some(share) = [entry.often, entry.severity, entry.weight]
        .into_iter()
        .flatten()
        .find(|share| !(0.0..=1.0).contains(share))
    {
        gather.note(&share.to_string(), LexiconProblemKind::Range);
        return None;
    }
    if !entry.symptoms.is_empty() || !entry.one_of.is_empty() {
        return symptom_meaning(entry, directions, ids, gather);
    }
    club_meaning(entry, ids, gather)
        .or_else(|| number_meaning(entry, directions, ids, gather))
        .or_else(|| word_meaning(entry, ids, gather))
}

fn symptom_meaning(
    entry: &RawEntry,
    directions: &[String],
    ids: &Lookups<'_>,
    gather: &mut Gather<'_>,
) -> Option<Meaning> {
    if !entry.one_of.is_empty() {
        return Some(Meaning::OneOf {
            symptoms: gather.many(&entry.one_of, "symptom", ids.symptom),
            causes: gather.many(&entry.causes, "cause", ids.cause),
        });
    }
    let symptoms = gather.many(&entry.symptoms, "symptom", ids.symptom);
    if symptoms.is_empty() {
        return None;
    }
    if !entry.together.is_empty() {
        let all = gather.many(&entry.together, "symptom", ids.symptom);
        return (all.len() == entry.together.len()).then_some(Meaning::Together {
            all,
            mean: symptoms,
        });
    }
    let lie = entry
        .lie
        .as_ref()
        .and_then(|lie| gather.one(lie, "lie", ids.lie));
    let measure = entry
        .measure
        .as_ref()
        .and_then(|q| gather.one(q, "quantity", ids.quantity));
    Some(Meaning::Symptoms(SymptomWords {
        symptoms,
        often: entry.often,
        severity: entry.severity,
        groups: gather.groups(&entry.groups, ids),
        lie,
        part_shot: entry.part_shot,
        well_with: gather.groups(&entry.well_with, ids),
        slight: gather.many(&entry.slight, "symptom", ids.symptom),
        measure,
        direction: entry
            .direction
            .as_ref()
            .and_then(|name| direction(name, directions)),
        alone: entry.alone,
    }))
}

fn club_meaning(entry: &RawEntry, ids: &Lookups<'_>, gather: &mut Gather<'_>) -> Option<Meaning> {
    if let Some(name) = &entry.club {
        let club = gather.one(name, "club", ids.club)?;
        return Some(Meaning::Clubs {
            clubs: vec![club],
            groups: (ids.group_of)(club).into_iter().collect(),
            reach: Reach::Named,
            part_shot: entry.part_shot,
        });
    }
    if !entry.numbered.is_empty() {
        let clubs = entry
            .numbered
            .iter()
            .filter_map(|(number, name)| {
                let club = gather.one(name, "club", ids.club)?;
                Some((*number, club, (ids.group_of)(club)))
            })
            .collect();
        return Some(Meaning::Numbered {
            clubs,
            groups: gather.groups(&entry.groups, ids),
        });
    }
    if !entry.lofts.is_empty() {
        let clubs = entry
            .lofts
            .iter()
            .filter_map(|(name, [from, to])| {
                let club = gather.one(name, "club", ids.club)?;
                Some((*from, *to, club, (ids.group_of)(club)))
            })
            .collect();
        return Some(Meaning::Lofts(clubs));
    }
    if !entry.groups.is_empty() {
        return Some(Meaning::Clubs {
            clubs: Vec::new(),
            groups: gather.groups(&entry.groups, ids),
            reach: match (entry.any_shot, entry.others) {
                (true, true) => Reach::Rest,
                (true, false) => Reach::AnyShot,
                (false, true) => Reach::Others,
                (false, false) => Reach::Named,
            },
            part_shot: entry.part_shot,
        });
    }
    if let Some(name) = &entry.lie {
        return gather.one(name, "lie", ids.lie).map(Meaning::Lie);
    }
    entry.part_shot.then_some(Meaning::PartShot)
}

fn number_meaning(
    entry: &RawEntry,
    directions: &[String],
    ids: &Lookups<'_>,
    gather: &mut Gather<'_>,
) -> Option<Meaning> {
    if let Some(name) = &entry.quantity {
        let quantity = gather.one(name, "quantity", ids.quantity)?;
        return quantity_words(entry, quantity, directions, ids, gather).map(Meaning::Quantity);
    }
    if let Some(name) = &entry.direction {
        return gather
            .one(name, "direction", &|n| direction(n, directions))
            .map(Meaning::Direction);
    }
    if let Some(symbol) = &entry.unit {
        return gather
            .one(symbol, "unit", &Unit::from_symbol)
            .map(Meaning::Unit);
    }
    entry
        .number
        .map(Meaning::Number)
        .or(entry.often.map(Meaning::Often))
        .or(entry.severity.map(Meaning::Severity))
        .or(entry.shots_in.map(Meaning::ShotsIn))
}

fn quantity_words(
    entry: &RawEntry,
    quantity: QuantityId,
    directions: &[String],
    ids: &Lookups<'_>,
    gather: &mut Gather<'_>,
) -> Option<QuantityWords> {
    let look = |n: &str| direction(n, directions);
    let mut units: Vec<(Unit, f64, f64)> = Vec::new();
    for (symbol, [low, high]) in &entry.units {
        let symbol = if symbol == "one" { "" } else { symbol };
        units.push((gather.one(symbol, "unit", &Unit::from_symbol)?, *low, *high));
    }
    let mut bare = Vec::new();
    for symbol in &entry.bare {
        let symbol = if symbol == "one" { "" } else { symbol };
        bare.push(gather.one(symbol, "unit", &Unit::from_symbol)?);
    }
    let mut signs = Vec::new();
    for (name, sign) in &entry.signs {
        if let Some(id) = gather.one(name, "direction", &look) {
            signs.push((id, f64::from(*sign)));
        }
    }
    let mut classes = Vec::new();
    for class in &entry.classes {
        let symptom = gather.one(&class.symptom, "symptom", ids.symptom)?;
        let unit = gather.one(&class.unit, "unit", &Unit::from_symbol)?;
        classes.push(Class {
            symptom,
            from: class.from.map_or(f64::NEG_INFINITY, |v| v * unit.scale()),
            to: class.to.map_or(f64::INFINITY, |v| v * unit.scale()),
            groups: gather.groups(&class.groups, ids),
        });
    }
    Some(QuantityWords {
        quantity,
        units,
        bare,
        signs,
        of_golfer: entry.of_golfer,
        ask_sign: entry.unsigned.as_deref() == Some("ask"),
        implied_by: gather.many(&entry.implied_by, "direction", &look),
        implied_with_unit: gather.many(&entry.implied_with_unit, "direction", &look),
        classes,
    })
}

fn word_meaning(entry: &RawEntry, ids: &Lookups<'_>, gather: &mut Gather<'_>) -> Option<Meaning> {
    if let Some(name) = &entry.word {
        return gather
            .one(name, "word", &Role::from_name)
            .map(Meaning::Word);
    }
    if let Some(name) = &entry.side {
        return gather.one(name, "side", &hand).map(|hand| Meaning::Side {
            right: hand == Hand::Right,
        });
    }
    if let Some(name) = &entry.hand {
        return gather.one(name, "hand", &hand).map(Meaning::Hand);
    }
    if let Some(word) = &entry.same_as {
        return Some(Meaning::SameAs(word.clone()));
    }
    if let Some(name) = &entry.tone {
        let topic = entry.topic.clone().unwrap_or_default();
        return gather
            .one(name, "tone", &tone)
            .map(|word| Meaning::Tone(word, topic));
    }
    if let Some(name) = &entry.answer {
        return gather.one(name, "answer", ids.answer).map(Meaning::Topic);
    }
    if entry.all_well {
        return Some(Meaning::AllWell);
    }
    let causes = gather.many(&entry.causes, "cause", ids.cause);
    (!causes.is_empty()).then_some(Meaning::Hint(causes))
}

fn hand(name: &str) -> Option<Hand> {
    match name {
        "left" => Some(Hand::Left),
        "right" => Some(Hand::Right),
        _ => None,
    }
}

fn tone(name: &str) -> Option<ToneWord> {
    match name {
        "greeting" => Some(ToneWord::Greeting),
        "thanks" => Some(ToneWord::Thanks),
        "goodbye" => Some(ToneWord::Goodbye),
        "out_of_scope" => Some(ToneWord::OutOfScope),
        "off_topic" => Some(ToneWord::OffTopic),
        "abuse" => Some(ToneWord::Abuse),
        "language" => Some(ToneWord::Language),
        _ => None,
    }
}
