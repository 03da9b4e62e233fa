//! What the trade knows, as data: clubs, quantities, symptoms, effects, causes, checks, drills,
//! cautions, answers and sources, read from YAML and valid by construction.
//!
//! [`load`] takes files as text and gives a [`KnowledgeBase`] or every problem found, with place
//! and nearest name. After that no id can be unknown and no number out of range. [`builtin`] is the
//! knowledge compiled into the program. The base also carries the model of the simulated golfers
//! ([`crate::causes::model::Model`]) that the entries describe.
//!
//! This room reads no folder, makes no sentence and decides nothing about a golfer. Start reading
//! at [`KnowledgeBase`], then `load.rs`.

mod builtin;
mod counts;
mod course;
mod cycles;
mod entry;
mod files;
mod fixed_words;
mod golfer_shapes;
mod ids;
pub mod lexicon;
mod limits;
mod lint;
mod load;
mod model;
mod number_text;
mod overlay;
mod problem;
mod program;
mod report;
pub mod rule_shapes;
mod schema;
mod shapes;
mod words;
mod written_case;
mod yaml;
mod yaml_fault;
mod yaml_keys;
mod yaml_text;

use std::collections::BTreeMap;
use std::sync::Arc;

use lexicon::Lexicon;

use crate::causes::model::{Axis, Model};
use crate::quantity::{Amount, Angle, Length, Unit};
use crate::rules::Program;
use crate::vocabulary::{
    AnswerId, CauseId, CautionId, CheckId, ClubId, CountId, DrillId, EffectId, GroupId, LieId,
    LimitId, QuantityId, SourceId, SymptomId,
};

pub use builtin::{builtin, builtin_cases, builtin_files};
pub use counts::{Count, Ground};
pub use course::{Lesson, Level, Wish};
pub use limits::{Limit, Reached};
pub use lint::slots_of;
pub use load::{load, load_and_lint, untried_rules};
pub use number_text::{Written, written};
pub use overlay::{Change, How, LaidOver, as_written, laid_over};
pub use problem::{Place, Problem, ProblemKind, nearest};
pub use program::{rule_functions, rule_schema};
pub use schema::{schema, schema_kinds};
pub use shapes::{CautionLevel, Confidence, Cost, Folk, Kind, Success};
pub use written_case::{WrittenCase, read_cases};
pub use yaml::{LARGEST_FILE, SourceFile};

/// Entries in the order of their files, found by id or by name.
#[derive(Debug, Clone)]
pub struct Table<T> {
    entries: Vec<T>,
    names: BTreeMap<String, usize>,
}

impl<T> Default for Table<T> {
    fn default() -> Self {
        Self {
            entries: Vec::new(),
            names: BTreeMap::new(),
        }
    }
}

impl<'a, T> IntoIterator for &'a Table<T> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<T> Table<T> {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// True if there are none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// The entries in order.
    pub fn iter(&self) -> std::slice::Iter<'_, T> {
        self.entries.iter()
    }

    /// The place of the entry with this text id.
    pub fn place(&self, id: &str) -> Option<usize> {
        self.names.get(id).copied()
    }

    /// The text ids, sorted.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.names.keys().map(String::as_str)
    }

    fn push(&mut self, id: &str, entry: T) {
        self.names.insert(id.to_owned(), self.entries.len());
        self.entries.push(entry);
    }
}

/// Where a number comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Origin {
    /// What kind of number.
    pub kind: Kind,
    /// Its source, if published.
    pub source: Option<SourceId>,
}

/// A club group.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Text id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// irons, woods or driver.
    pub family: String,
    /// Radius of the arc near impact.
    pub radius: Length,
    /// Tilt of its plane.
    pub plane: Angle,
    /// Loft of the club.
    pub static_loft: Angle,
    /// Where the low point of a good strike lies.
    pub good_low_point: (Length, Length),
    /// Kind and source.
    pub origin: Origin,
}

/// A single club.
#[derive(Debug, Clone, PartialEq)]
pub struct Club {
    /// Text id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// Its group.
    pub group: GroupId,
    /// Loft.
    pub loft: Angle,
    /// From the end of the handle to the ground.
    pub length: Length,
    /// Radius of the arc near impact.
    pub radius: Length,
    /// Tilt of its plane.
    pub plane: Angle,
    /// Kind and source.
    pub origin: Origin,
}

/// A lie.
#[derive(Debug, Clone, PartialEq)]
pub struct Lie {
    /// Text id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// The condition it forces.
    pub condition: Option<CauseId>,
    /// Causes that cannot be with it.
    pub rules_out: Vec<CauseId>,
    /// It shows no turf mark.
    pub no_turf: bool,
}

/// A quantity.
#[derive(Debug, Clone, PartialEq)]
pub struct Quantity {
    /// Text id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// The unit it is shown in.
    pub unit: Unit,
    /// Decimals shown.
    pub decimals: usize,
    /// What a positive value is called: "ahead of the ball".
    pub positive: Option<String>,
    /// What a negative value is called.
    pub negative: Option<String>,
    /// Outside this it is impossible.
    pub plausible: (Amount, Amount),
    /// Standard deviation of a number that a golfer types.
    pub usual_error: Amount,
    /// Swaps with the hand.
    pub sided: bool,
    /// What it is, a clause.
    pub is: String,
    /// Kind and source.
    pub origin: Origin,
}

/// Something seen, heard or felt.
#[derive(Debug, Clone, PartialEq)]
pub struct Symptom {
    /// Text id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// contact, turf, flight, feel, pattern ...
    pub kind: String,
    /// What it is, a clause.
    pub is: String,
    /// True if it is what a good strike shows: its denial is the complaint.
    pub well: bool,
    /// What it is taken for.
    pub mixed_up_with: Option<String>,
    /// What cannot be true of the same shots.
    pub opposite: Vec<SymptomId>,
    /// Kind and source.
    pub origin: Origin,
}

/// A named condition on the arc or the impact.
#[derive(Debug, Clone, PartialEq)]
pub struct Effect {
    /// Text id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// low point, height, path ...
    pub family: String,
    /// The geometry behind it.
    pub because: String,
    /// What good looks like.
    pub wants: Option<String>,
    /// Kind and source.
    pub origin: Origin,
}

/// What golfer, kit or lie does that moves quantities.
#[derive(Debug, Clone, PartialEq)]
pub struct Cause {
    /// Text id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// setup, pivot, arms, intent, kit, ground, body.
    pub family: String,
    /// What it is, a clause.
    pub is: String,
    /// The mechanism.
    pub because: String,
    /// Share of complaining golfers who have it.
    pub prior: f64,
    /// How sure the trade is.
    pub confidence: Confidence,
    /// A lie or the ground.
    pub condition: bool,
    /// How to look for it.
    pub check: Option<CheckId>,
    /// What looks like it.
    pub looks_like: Vec<CauseId>,
    /// The look that separates them.
    pub told_apart: Option<String>,
    /// What to practise.
    pub drills: Vec<DrillId>,
    /// The few words to think.
    pub cue: String,
    /// What to count.
    pub success: Success,
    /// The measured numbers that show it worked: quantity, from, to.
    pub aim: Vec<(QuantityId, Amount, Amount)>,
    /// What usually goes wrong.
    pub mistake: String,
    /// Advice that backfires.
    pub folk: Folk,
    /// Safety text that goes with it.
    pub caution: Option<CautionId>,
    /// Kind and source.
    pub origin: Origin,
}

/// Something a person can look at or answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Text id.
    pub id: String,
    /// The question; yes speaks for the cause.
    pub question: String,
    /// How to look.
    pub how: String,
    /// What it costs.
    pub cost: Cost,
    /// What would have to change before the answer is asked for again; none if a day may do it.
    pub lasting: Option<Lasting>,
    /// Only where the ground shows no turf mark.
    pub no_turf: bool,
    /// Kind and source.
    pub origin: Origin,
}

/// What an answer that outlives a lesson rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lasting {
    /// The golfer's clubs.
    Kit,
    /// The golfer's build.
    Body,
}

/// Something to practise.
#[derive(Debug, Clone, PartialEq)]
pub struct Drill {
    /// Text id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// How to set it up.
    pub how: String,
    /// The few words to think.
    pub cue: String,
    /// What to count.
    pub success: Success,
    /// Balls or swings in a set.
    pub balls: u32,
    /// What usually goes wrong.
    pub mistake: String,
    /// Safety text that goes with it.
    pub caution: Option<CautionId>,
    /// Not to be given with these: words such as `pain_back`.
    pub without: Vec<String>,
    /// Fit for a child.
    pub children: bool,
    /// Kind and source.
    pub origin: Origin,
}

/// Safety text.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// Text id.
    pub id: String,
    /// When it is due.
    pub level: CautionLevel,
    /// Phrases that trigger it.
    pub says: Vec<String>,
    /// Body parts: one of these near one of `hurts` triggers it.
    pub parts: Vec<String>,
    /// Words of hurting.
    pub hurts: Vec<String>,
    /// Lists of phrases; one of each list in the same line triggers it.
    pub both: Vec<Vec<String>>,
    /// Phrases that look like a trigger and are none.
    pub not_when: Vec<String>,
    /// Words near an alarm after which a golfer's own "no" does not clear it.
    pub grave: Vec<String>,
    /// The question that clears or keeps it.
    pub ask: Option<String>,
    /// The question after grave words; only a yes, a professional's leave, clears it then.
    pub ask_grave: Option<String>,
    /// A doctor's word that golf is fine settles it, unless something hurts now.
    pub leave: bool,
    /// What to say.
    pub text: String,
    /// Kind and source.
    pub origin: Origin,
}

/// A reasoned answer to a question about golf.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Text id.
    pub id: String,
    /// How it is asked.
    pub asks: Vec<String>,
    /// The claim, if it is a contested one.
    pub claim: Option<String>,
    /// wrong, half true, true, depends.
    pub verdict: Option<String>,
    /// The answer.
    pub text: String,
    /// Kind and source.
    pub origin: Origin,
}

/// A change that "what if" can ask about.
#[derive(Debug, Clone, PartialEq)]
pub struct WhatIfChange {
    /// Text id.
    pub id: String,
    /// Plain name: "the ball further back".
    pub name: String,
    /// How it is asked.
    pub says: Vec<String>,
    /// What moves, and how far for one unit.
    pub moves: Vec<(Axis, f64)>,
    /// The unit of a size.
    pub unit: Unit,
    /// The size where none was said, in the unit.
    pub by: f64,
    /// How a place rather than a move is asked for.
    pub places: Vec<String>,
    /// Other units of a size, with how many of `unit` one of each counts as.
    pub counts: Vec<(Unit, f64)>,
    /// Why they count as that much.
    pub because: Option<String>,
    /// Kind and source.
    pub origin: Origin,
}

/// A flag that rules set on a combination: how to read it, or a chain of causes.
#[derive(Debug, Clone, PartialEq)]
pub struct Sign {
    /// Text id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// What it says.
    pub text: String,
    /// A chain of causes rather than a reading.
    pub chain: bool,
}

/// In how many golfers with a cause an effect is expected. Compared with what the shifts imply, and
/// never computed with.
#[derive(Debug, Clone, PartialEq)]
pub struct Strength {
    /// The cause.
    pub cause: CauseId,
    /// The effect.
    pub effect: EffectId,
    /// The share, between 0 and 1.
    pub share: f64,
    /// Why it differs from the implied one.
    pub argued: Option<String>,
}

/// How golfers tell of one cause, in their own words; invented.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Telling {
    /// The cause; none for what is told of no cause.
    pub cause: Option<CauseId>,
    /// What they say, one telling a line.
    pub told: String,
}

/// A source of numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Text id.
    pub id: String,
    /// Author, year, title.
    pub cite: String,
    /// text, abstract or memory.
    pub seen: String,
    /// What it supports.
    pub supports: String,
    /// Text ids of entries whose mechanism it speaks for without giving them a number.
    pub backs: Vec<String>,
}

/// Everything the program knows about golf.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "each table is described at its entry")]
pub struct KnowledgeBase {
    pub groups: Table<Group>,
    pub clubs: Table<Club>,
    pub lies: Table<Lie>,
    pub quantities: Table<Quantity>,
    pub symptoms: Table<Symptom>,
    pub effects: Table<Effect>,
    pub causes: Table<Cause>,
    pub checks: Table<Check>,
    pub drills: Table<Drill>,
    pub cautions: Table<Caution>,
    pub answers: Table<Answer>,
    pub changes: Table<WhatIfChange>,
    pub counts: Table<Count>,
    pub limits: Table<Limit>,
    pub sources: Table<Source>,
    pub levels: Table<Level>,
    pub lessons: Table<Lesson>,
    pub signs: Table<Sign>,
    /// What teachers expect, for comparison.
    pub strengths: Vec<Strength>,
    /// How golfers tell of each cause.
    pub tellings: Vec<Telling>,
    /// The rules, ready to run.
    pub program: Program,
    /// The words golfers use.
    pub lexicon: Arc<Lexicon>,
    /// How many phrasings are known.
    pub phrasings: usize,
    /// The group taken where no club was named.
    pub usual_group: String,
    /// How far a golfer's own word on a cause of a family is taken, 0 to 1.
    pub hint_trust: BTreeMap<String, f64>,
    /// How far something the golfer looked at is taken, by family of causes, as a multiple of an
    /// ordinary check.
    pub seen_trust: BTreeMap<String, f64>,
    /// Words by which a coach speaks of the golfer.
    pub pupil_words: Vec<String>,
    /// What "all is well" denies.
    pub all_well_denies: Vec<SymptomId>,
    /// The simulated golfers these entries describe.
    pub model: Model,
    /// A short name of exactly this knowledge: the same files give the same name.
    pub hash: String,
}

macro_rules! lookups {
    ($($table:ident, $entry:ty, $id:ident, $get:ident, $find:ident);+ $(;)?) => {
        impl KnowledgeBase {$(
            /// The entry with this id. Ids come from this base, so there always is one.
            ///
            /// # Panics
            /// If the id was made by another base.
            #[allow(clippy::indexing_slicing, reason = "ids are made by the loader of this base")]
            pub fn $get(&self, id: $id) -> &$entry {
                &self.$table.entries[id.index()]
            }

            /// The id of the entry with this text id.
            pub fn $find(&self, id: &str) -> Option<$id> {
                self.$table.place(id).map($id::from_index)
            }
        )+}
    };
}

/// What is thought and counted while a drill is done against a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Task<'a> {
    /// The few words to think.
    pub cue: &'a str,
    /// What to count.
    pub success: &'a Success,
    /// Text id of the entry whose count it is.
    pub measure: &'a str,
}

impl Task<'_> {
    /// True if what is counted leaves its sign in turf, as no ball on a peg does: read from the words
    /// of the count.
    pub fn takes_turf(&self) -> bool {
        takes_turf(&self.success.count)
    }
}

/// True if these words are about turf.
fn takes_turf(words: &str) -> bool {
    const TURF: [&str; 11] = [
        "divot", "divots", "turf", "grass", "soil", "brush", "skim", "dig", "digging", "swept",
        "brushes",
    ];
    words
        .split(|c: char| !c.is_alphabetic())
        .any(|w| TURF.contains(&w.to_lowercase().as_str()))
}

impl KnowledgeBase {
    /// True if the drill, done against this cause, needs turf under the ball: for its count or in
    /// the way it is set up.
    pub fn needs_turf(&self, cause: CauseId, drill: DrillId) -> bool {
        self.task(cause, Some(drill)).takes_turf() || takes_turf(&self.drill(drill).how)
    }

    /// True if the drill is set up in turf and says nothing of a mat.
    pub fn not_on_a_mat(&self, drill: DrillId) -> bool {
        let how = &self.drill(drill).how;
        takes_turf(how) && !how.contains("mat")
    }

    /// What to think and to count with this drill: the words of the cause are written for its first
    /// drill; a drill that stands in for it brings its own.
    pub fn task(&self, cause: CauseId, drill: Option<DrillId>) -> Task<'_> {
        let entry = self.cause(cause);
        match drill.filter(|d| entry.drills.first() != Some(d)) {
            Some(other) => {
                let drill = self.drill(other);
                Task {
                    cue: &drill.cue,
                    success: &drill.success,
                    measure: &drill.id,
                }
            }
            None => Task {
                cue: &entry.cue,
                success: &entry.success,
                measure: &entry.id,
            },
        }
    }

    /// The cause with this text id or this name.
    pub fn named_cause(&self, name: &str) -> Option<CauseId> {
        self.find_cause(name).or_else(|| {
            let found = self.causes.iter().position(|c| c.name == name);
            found.map(CauseId::from_index)
        })
    }

    /// True if something is called so: a quantity, symptom, effect, cause, check, drill or answer.
    pub fn knows(&self, id: &str) -> bool {
        self.quantities.place(id).is_some()
            || self.symptoms.place(id).is_some()
            || self.effects.place(id).is_some()
            || self.causes.place(id).is_some()
            || self.checks.place(id).is_some()
            || self.drills.place(id).is_some()
            || self.answers.place(id).is_some()
    }

    /// The sign with this text id.
    pub fn find_sign(&self, id: &str) -> Option<&Sign> {
        self.signs
            .place(id)
            .and_then(|index| self.signs.iter().nth(index))
    }
}

lookups! {
    groups, Group, GroupId, group, find_group;
    clubs, Club, ClubId, club, find_club;
    lies, Lie, LieId, lie, find_lie;
    quantities, Quantity, QuantityId, quantity, find_quantity;
    symptoms, Symptom, SymptomId, symptom, find_symptom;
    effects, Effect, EffectId, effect, find_effect;
    causes, Cause, CauseId, cause, find_cause;
    checks, Check, CheckId, check, find_check;
    drills, Drill, DrillId, drill, find_drill;
    cautions, Caution, CautionId, caution, find_caution;
    answers, Answer, AnswerId, answer, find_answer;
    sources, Source, SourceId, source, find_source;
    counts, Count, CountId, count, find_count;
    limits, Limit, LimitId, limit, find_limit;
}
