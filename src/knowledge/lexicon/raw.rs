//! How does an entry of a phrase file look? The serde shapes, and nothing about their meaning.
//!
//! Every field that is left out is empty; unknown fields are refused. Exactly one of the fields
//! that give a meaning is set, which is checked when the ids are resolved.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::de::{Error, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer};

/// One entry as written. Exactly one of the fields that give a meaning is set.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a field of the files, set by itself"
)]
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct RawEntry {
    /// Unique name over all phrase files, such as `my_v_club_turns`. With the id of a built-in entry it
    /// takes that one's place.
    pub id: String,
    /// Phrasings, lower case, as typed: a list, or after `|` one a line. `(a|b)` stands for either, an
    /// empty choice may be left out; `{n}` is any number, `{push}` and `{pull}` right and left of a
    /// right-handed golfer, `{lead}` and `{trail}` the two hands. At most 400 choices each.
    #[serde(deserialize_with = "one_a_line")]
    #[schemars(with = "Says")]
    pub says: Vec<String>,
    /// Letters that count only when written onto a number without a space ("7i").
    pub glued: Vec<String>,
    /// Letters that count only straight after a number ("3 m", "10 R").
    pub after_number: Vec<String>,

    /// Said by golfers to no purpose; the golfers of the learner's cases say it too.
    pub chatter: bool,

    /// Meaning: a single club, by its id, such as `wood_3`.
    pub club: Option<String>,
    /// Meaning: club groups, by id, such as `[wedge]`; `all` for every group. With `numbered`: the group
    /// of other numbers. Beside `symptoms`: the clubs that the words name.
    pub groups: Vec<String>,
    /// With `groups`: all shots as much as all clubs ("everything"); clubs only if some are
    /// excepted.
    pub any_shot: bool,
    /// With `groups`: those that the line does not name ("everything else"). With `any_shot` too
    /// ("the rest"): only if they are said to be well.
    pub others: bool,
    /// Meaning: a club noun that takes a number, and the club of each: `{7: iron_7}` for "7 iron".
    pub numbered: BTreeMap<u16, String>,
    /// Meaning: a noun that takes a loft: for each club the least and most, in deg, as
    /// `{sand_wedge: [54, 57]}`.
    pub lofts: BTreeMap<String, [f64; 2]>,
    /// Meaning: a lie, by its id, such as `uphill`. May stand beside `symptoms`.
    pub lie: Option<String>,
    /// Meaning (alone or beside another): not a full swing.
    pub part_shot: bool,

    /// Meaning: symptoms, by id, all of them present, as `[fat]`.
    pub symptoms: Vec<String>,
    /// Meaning: one of these symptoms, and the golfer must say which.
    pub one_of: Vec<String>,
    /// Beside `one_of`: the symptom that it means besides where it is so of all shots ("everything goes
    /// left").
    pub always: Option<String>,
    /// Beside `symptoms`: with these groups it says that all is well ("fine off the tee" of the
    /// driver).
    pub well_with: Vec<String>,
    /// Beside `symptoms` and `groups`: what else the sentence says without naming a club is of these
    /// groups too ("duck hooks, with driver only").
    pub spreads: bool,
    /// Beside `symptoms`: what a slight one of them is instead.
    pub slight: Vec<String>,
    /// Beside `symptoms`: the quantity to ask for ("how far behind?").
    pub measure: Option<String>,
    /// Meaning: these symptoms together on one pattern also mean `symptoms`.
    pub together: Vec<String>,
    /// Meaning: nothing wrong.
    pub all_well: bool,
    /// Meaning (with `near`, alone or with `if_bad`): a circumstance, and the symptom if the shots are
    /// good in it.
    pub if_good: Option<String>,
    /// Meaning (with `near`, alone or with `if_good`): a circumstance, and the symptom if the shots are
    /// bad in it.
    pub if_bad: Option<String>,
    /// Meaning (with `near`): how a circumstance is spoken of: shots are `good` or `bad` in it, it is set
    /// `apart` from others ("only", "worse"), it makes no difference (`same`), or it begins (`when`).
    #[schemars(extend("enum" = super::MOODS))]
    pub mood: Option<String>,

    /// Meaning: the name of a quantity.
    pub quantity: Option<String>,
    /// With `quantity`: units that make sense (`one` for a plain number), each with the least and most
    /// that can be meant in it, as `{in: [-12, 12]}`; + is the target side, up or push side.
    pub units: BTreeMap<String, [f64; 2]>,
    /// With `quantity`: units that golfers leave unsaid, the likeliest first, as `[in]`.
    pub bare: Vec<String>,
    /// With `quantity`: what each direction word does to the sign, 1 or -1, as `{behind: -1}`.
    pub signs: BTreeMap<String, i8>,
    /// With `quantity`: a number without sign or direction counts as above 0 (`plus`) or is asked about
    /// (`ask`). Left out: `plus`.
    #[schemars(extend("enum" = ["plus", "ask"]))]
    pub unsigned: Option<String>,
    /// With `quantity`: read a number with one of these directions as this quantity though its
    /// name was not said.
    pub implied_by: Vec<String>,
    /// The same, but only if a unit was said.
    pub implied_with_unit: Vec<String>,
    /// With `quantity`: three bare numbers or more listed right after a club are this, if all lie
    /// between these two, least and most, in the first unit of `bare`.
    pub listed: Option<[f64; 2]>,
    /// With `quantity`: a number with a unit right beside a club ("78 mph driver") is this, between
    /// these two in the first of `bare`, where its unit would fit other quantities too.
    pub beside_club: Option<[f64; 2]>,
    /// With `quantity`: measured shots that spread by this share of their mean, or by so much, mean this
    /// symptom, as `{symptom: distance_random, share: 0.08}` or `{symptom: path_wanders, by: 2.5}`.
    pub uneven: Option<RawUneven>,
    /// With `quantity`: single clubs told of apart whose values lie closer than this, per degree of their
    /// lofts, mean this symptom, as `{symptom: gaps_compressed, per_degree: 1.2}` in the first unit of
    /// `bare`.
    pub close: Option<RawClose>,
    /// With `quantity`: less of it now than was told of before means this symptom.
    pub fallen: Option<String>,
    /// With `quantity`: of the golfer, not of a club (handicap).
    pub of_golfer: bool,
    /// With `quantity`: stretches of values that mean a symptom.
    pub classes: Vec<RawClass>,

    /// Meaning (or beside `symptoms` or `causes`): a direction word, by name.
    pub direction: Option<String>,
    /// With `symptoms` and `direction`: the symptoms count only when no number takes the direction.
    pub alone: bool,
    /// Meaning: one side: `left` or `right`.
    #[schemars(extend("enum" = ["left", "right"]))]
    pub side: Option<String>,
    /// Meaning: a unit, by its symbol, such as `in`, `mm`, `yd`, `deg`, `mph` or `%`.
    pub unit: Option<String>,
    /// Meaning: a number said in words, such as 12 for "a dozen".
    pub number: Option<f64>,

    /// Meaning: self-diagnosis, pointing at these causes.
    pub causes: Vec<String>,
    /// Meaning: quoted advice or a question, spoken to by this answer.
    pub answer: Option<String>,

    /// Meaning (or beside `symptoms`): share of shots, from 0 to 1; 0.5 is every second one.
    pub often: Option<f64>,
    /// Meaning (or beside `symptoms`): how bad, from 0 (hardly) to 1 (as bad as can be).
    pub severity: Option<f64>,
    /// Meaning: a stretch of play, and how many full shots it holds; about 40 for a round.
    pub shots_in: Option<f64>,

    /// Meaning: the playing side: `left` or `right`.
    #[schemars(extend("enum" = ["left", "right"]))]
    pub hand: Option<String>,
    /// Meaning: a word that changes others, such as `not`, `but` (`break`) or "I think" (`hedge`);
    /// `stop` carries nothing, `plain` is an ordinary word.
    #[schemars(extend("enum" = [
        "not",
        "without",
        "not_before",
        "not_so",
        "no_negation",
        "not_always",
        "break",
        "carry",
        "unsure",
        "hedge",
        "past",
        "stopped",
        "now",
        "was",
        "wish",
        "ask",
        "fear",
        "if",
        "other",
        "quote",
        "me",
        "correct",
        "except",
        "only",
        "about",
        "in_a_row",
        "out_of",
        "times",
        "per",
        "and",
        "to",
        "minus",
        "plus",
        "club_follows",
        "alike",
        "club_may_follow",
        "counted",
        "change",
        "filler",
        "loose",
        "stop",
        "plain",
        "yes",
        "no",
        "dont_know",
    ]))]
    pub word: Option<String>,
    /// Meaning: these words are read as this one word.
    pub same_as: Option<String>,
    /// Meaning: the sort of line: `greeting`, `thanks`, `goodbye`, `out_of_scope`,
    /// `off_topic`, `abuse`, `language`.
    #[schemars(extend("enum" = super::TONES))]
    pub tone: Option<String>,
    /// With `tone`: which one (the language, the topic).
    pub topic: Option<String>,

    /// Instead of (or beside) `says`: one word of each of these lists, at most 6, in any order, close
    /// together in one clause. A list is single words with spaces between, as
    /// `[club handle, turns twists slips, wet rain]`; `@id` stands for the words of another entry.
    pub near: Vec<String>,
    /// With `near`: none of these single words, with spaces between, may stand among them.
    pub lacks: String,
    /// With `near`: the lists may lie on both sides of a comma or an "and".
    pub across: bool,
    /// With `near` of four lists or more: words of the first two belong together, and those of the second
    /// two ("great on the range, awful on the course", not the other way round).
    pub paired: bool,
    /// No meaning: single words, with spaces between, that `near` of other entries names as `@` and
    /// this entry's id.
    pub list: String,
    /// With `causes`: something looked at, not a feeling: it counts as a check that was answered.
    pub seen: bool,
    /// With `causes` or `symptoms`: the words say that it is not so ("head stays still").
    pub denies: bool,

    /// Only these very words, no other endings of them.
    pub exact: bool,
    /// How far such words are to be trusted, from 0 to 1. Left out: 0.9.
    pub weight: Option<f64>,
}

/// How uneven shots have to be for a symptom.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct RawUneven {
    /// The id of the symptom.
    pub symptom: String,
    /// Standard deviation over mean, from 0 to 1; 0.08 is 8 in 100.
    pub share: f64,
    /// Standard deviation in the first unit of `bare`, such as deg or in; 0 for none.
    pub by: f64,
}

/// How close the values of different clubs have to lie for a symptom.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct RawClose {
    /// The id of the symptom.
    pub symptom: String,
    /// How much per degree of loft is just enough, in the first unit of `bare`.
    pub per_degree: f64,
}

/// A stretch of values that has a name.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct RawClass {
    /// The id of the symptom.
    pub symptom: String,
    /// From this on, in `unit`, this one too. Left out: however little.
    pub from: Option<f64>,
    /// Up to this, in `unit`, but not this one. Left out: however much.
    pub to: Option<f64>,
    /// Unit of both, by its symbol, such as `deg`.
    pub unit: String,
    /// Only with these groups, if any are named.
    pub groups: Vec<String>,
}

/// How phrasings are written, for the schema.
#[derive(JsonSchema)]
#[serde(untagged)]
#[allow(dead_code, reason = "describes what `one_a_line` reads")]
enum Says {
    /// One phrasing a line.
    Lines(String),
    /// A list of phrasings.
    List(Vec<String>),
}

/// A list of texts, or a text with one of them a line.
fn one_a_line<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<String>, D::Error> {
    struct Lines;
    impl<'de> Visitor<'de> for Lines {
        type Value = Vec<String>;

        fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
            f.write_str("a list of phrasings, or a text with one a line")
        }

        fn visit_str<E: Error>(self, text: &str) -> Result<Vec<String>, E> {
            let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
            Ok(lines.map(str::to_owned).collect())
        }

        fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Vec<String>, A::Error> {
            let mut out = Vec::new();
            while let Some(text) = list.next_element()? {
                out.push(text);
            }
            Ok(out)
        }
    }
    from.deserialize_any(Lines)
}
