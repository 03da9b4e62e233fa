//! How the entries of the knowledge files are written: one plain struct per kind of entry.
//!
//! Texts stay texts here; the loader resolves names and numbers. Unknown keys are refused, so that
//! a misspelt key is a problem and not a silence. Nothing here knows an individual entry.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::de::{Error, IntoDeserializer, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer};

use super::fixed_words::{About, Ache, ClaimVerdict, Family, SeenOf, TrustWord};

/// A number, a text, or a list of texts, as YAML has them.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(super) enum Scalar {
    /// A bare number.
    Number(f64),
    /// A text.
    Text(String),
    /// A list of numbers.
    Numbers(Vec<f64>),
    /// A list of texts.
    List(Vec<String>),
}

/// One text or a list of them, for the schema.
#[derive(JsonSchema)]
#[serde(untagged)]
#[allow(dead_code, reason = "describes what `one_or_more` reads")]
enum OneOrMore {
    /// One id.
    One(String),
    /// A list of ids.
    List(Vec<String>),
}

/// A text, or a list of texts.
fn one_or_more<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<String>, D::Error> {
    struct Texts;
    impl<'de> Visitor<'de> for Texts {
        type Value = Vec<String>;

        fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
            f.write_str("a name or a list of names")
        }

        fn visit_str<E: Error>(self, text: &str) -> Result<Vec<String>, E> {
            Ok(vec![text.to_owned()])
        }

        fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Vec<String>, A::Error> {
            let mut out = Vec::new();
            while let Some(text) = list.next_element()? {
                out.push(text);
            }
            Ok(out)
        }
    }
    from.deserialize_any(Texts)
}

/// A verdict. YAML takes the word `true` for a truth, so that is one too.
fn verdict<'de, D: Deserializer<'de>>(from: D) -> Result<Option<ClaimVerdict>, D::Error> {
    struct Word;
    impl Visitor<'_> for Word {
        type Value = ClaimVerdict;

        fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
            f.write_str("a string")
        }

        fn visit_bool<E: Error>(self, truth: bool) -> Result<ClaimVerdict, E> {
            Ok(if truth {
                ClaimVerdict::True
            } else {
                ClaimVerdict::Wrong
            })
        }

        fn visit_str<E: Error>(self, text: &str) -> Result<ClaimVerdict, E> {
            ClaimVerdict::deserialize(text.into_deserializer())
        }
    }
    from.deserialize_any(Word).map(Some)
}

/// How sure a number is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema, Default)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Read in a source that is named.
    Published,
    /// A rule of the trade, without a source.
    Common,
    /// Recalled, not checked.
    Memory,
    /// An estimate.
    #[default]
    Elicited,
}

impl Kind {
    /// As it is written.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Common => "common",
            Self::Memory => "memory",
            Self::Elicited => "elicited",
        }
    }
}

/// How sure the trade is of a cause's shifts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Confidence {
    /// Within 0.15.
    High,
    /// Within 0.2.
    Med,
    /// Within 0.3.
    Low,
}

/// `quantities.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct QuantityShape {
    /// Unique name among the quantities, such as `low_point`. With the id of a built-in entry it
    /// takes that one's place.
    pub id: String,
    /// Plain name as it is shown, at most 42 characters, such as `low point`.
    pub name: String,
    /// The unit of all numbers of this entry, such as `in`, `mm`, `yd`, `deg`, `mph`, `%`, or `""`
    /// for a plain number.
    pub unit: String,
    /// Decimals shown, from 0 to 3. Left out: 0.
    #[serde(default)]
    pub decimals: usize,
    /// What a number above 0 is called, such as `ahead`. Left out: nothing is added.
    pub positive: Option<String>,
    /// What a number below 0 is called, such as `behind`. Left out: nothing is added.
    pub negative: Option<String>,
    /// Lowest and highest number that golfers can have, in the unit, as `[-12, 12]`. One outside is
    /// left out and asked about.
    pub plausible: (f64, f64),
    /// How far a number that a golfer types is usually off, in the unit: two in three lie within
    /// this of the truth.
    pub usual_error: f64,
    /// `true` if the sign goes with the golfer's hand: `push side` and `pull side` are then shown
    /// as right and left. Left out: `false`.
    #[serde(default)]
    pub sided: bool,
    /// What it is, in a clause of at most 420 characters:
    /// `where the bottom of the club's arc lies along the swing`.
    pub is: String,
    /// Where the entry comes from: `published` (then `source` too), `common`, `memory` or
    /// `elicited`. Left out: `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that it rests on; needed where `kind` is `published`.
    pub source: Option<String>,
}

/// How often a symptom shows. Write one of these keys; the result is kept between 0 and 1.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct SeenShape {
    /// Shares of shots with these events, each times its weight, added up:
    /// `{fat: 1, slightly_heavy: 0.3}`.
    pub events: Option<BTreeMap<String, f64>>,
    /// Both in one session: twice the smaller of two such sums, as `[{heel: 1}, {toe: 1}]`.
    pub both: Option<(BTreeMap<String, f64>, BTreeMap<String, f64>)>,
    /// All on one side: the share of the more frequent of two events less three times that of the
    /// other, as `[miss_push, miss_pull]`.
    pub one_sided: Option<(String, String)>,
    /// By how much the first of two such sums is larger than the second, as
    /// `[{clean_off_tee: 1}, {clean: 1}]`.
    pub more: Option<(BTreeMap<String, f64>, BTreeMap<String, f64>)>,
    /// The golfer's mean lies beyond a limit, which is soft by `blur`:
    /// `{lie_at_impact: above 2.2 deg, blur: 1 deg}`, or `below`. With `against: usual` the limit
    /// counts from the usual value of the clubs.
    pub beyond: Option<BTreeMap<String, Scalar>>,
    /// The number of one event times a factor, plus an offset: `{launch_spread: [0.125, 0]}`.
    pub scaled: Option<BTreeMap<String, (f64, f64)>>,
    /// The share of one event raised to a power, for what builds up with repetition: `{heel: 1.3}`.
    pub power: Option<BTreeMap<String, f64>>,
    /// Several readings, each with its weight, added up:
    /// `[[0.6, {events: {thin: 1}}], [0.4, {events: {fat: 1}}]]`.
    pub blend: Option<Vec<(f64, SeenShape)>>,
}

/// `symptoms/*.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SymptomShape {
    /// Unique name among the symptoms, such as `contact_heel`. With the id of a built-in entry it
    /// takes that one's place.
    pub id: String,
    /// Plain name as it is shown, at most 42 characters, such as `struck toward the heel`.
    pub name: String,
    /// What it is about: `contact`, `turf`, `start`, `curve`, `shape`, `height`, `distance`,
    /// `spin`, `feel` or `pattern`.
    pub kind: About,
    /// What is seen, heard or felt, in a clause of at most 420 characters.
    pub is: String,
    /// Share of golfers with nothing at work who report it all the same, between 0 and 1; 0.03 is 3
    /// in 100.
    pub usual: f64,
    /// `high`, `medium` or `low`: of 100 golfers who have it on every shot, 92, 85 or 70 mention
    /// it.
    pub trust: TrustWord,
    /// `true` if it is rare and memorable, such as a shank: golfers report it even if few shots
    /// show it. Left out: `false`.
    #[serde(default)]
    pub disaster: bool,
    /// `true` if it speaks against any habit of motion that `tells` does not name, as a sudden
    /// onset does. Left out: `false`.
    #[serde(default)]
    pub not_a_habit: bool,
    /// `true` if it is what a good strike shows, so that its denial is the complaint, as "never out of the
    /// middle" is. Left out: `false`.
    #[serde(default)]
    pub well: bool,
    /// What it is taken for and how to tell, in a sentence or two. Left out: nothing is said.
    pub mixed_up_with: Option<String>,
    /// How often simulated golfers show it. Left out where the flight of club and ball does not
    /// decide: then only `usual` and `tells` count.
    pub from: Option<SeenShape>,
    /// For each cause that bears on it: how many times likelier a report is with the cause, as
    /// `{s_grip_loose: 3}`. More than 0; below 1 speaks against the cause.
    #[serde(default)]
    pub tells: BTreeMap<String, f64>,
    /// The clubs it makes sense with: ids of club groups, or `irons`, `woods`, `driver`, `all`.
    /// Left out: every club.
    #[serde(default)]
    pub clubs: Vec<String>,
    /// The symptom, or a list of those, that cannot be true of the same shots, such as `contact_toe`;
    /// each of them has to name this one too. Left out: none.
    #[serde(default, deserialize_with = "one_or_more")]
    #[schemars(with = "OneOrMore")]
    pub opposite: Vec<String>,
    /// Where the entry comes from: `published` (then `source` too), `common`, `memory` or
    /// `elicited`. Left out: `elicited`, an estimate.
    #[serde(default)]
    pub kind_of: Kind,
    /// The id of the entry of `sources.yaml` that it rests on; needed where `kind` is `published`.
    pub source: Option<String>,
}

/// `effects.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct EffectShape {
    /// Unique name among the effects, such as `e_lp_behind`. With the id of a built-in entry it
    /// takes that one's place.
    pub id: String,
    /// Plain name as it is shown, at most 42 characters, such as `low point behind the ball`.
    pub name: String,
    /// What sort of fault it is, such as `low point`, `height`, `path` or `face`. The course takes
    /// its cases by family.
    pub family: String,
    /// The test for each sort of club: `irons: low_point < 0 in`. Clubs are `all`, `irons`,
    /// `woods`, `driver` or a club group (the narrower counts; those not named never show it);
    /// tests are `<`, `>` or `in 0..1.2 in`, joined by `or`, and `of usual` at the end counts from
    /// the usual golfer.
    pub when: BTreeMap<String, String>,
    /// The geometry behind it, in a sentence or two of at most 420 characters.
    pub because: String,
    /// What good looks like, in a clause. Left out: nothing is said.
    pub wants: Option<String>,
    /// Where the entry comes from: `published` (then `source` too), `common`, `memory` or
    /// `elicited`. Left out: `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that it rests on; needed where `kind` is `published`.
    pub source: Option<String>,
}

/// What is counted to see whether practice worked.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Success {
    /// What is counted, such as `balls through the gate`; at most 420 characters.
    pub count: String,
    /// How many are enough, from 1 to `of`.
    pub need: u32,
    /// Out of how many, such as 10.
    pub of: u32,
}

/// Advice often heard, and why it backfires.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Folk {
    /// The advice as it is heard: `just hold on tighter`.
    pub says: String,
    /// Why it does not help, in a sentence or two of at most 420 characters.
    pub but: String,
}

/// `causes/*.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CauseShape {
    /// Unique name among the causes, such as `my_wet_handle`. With the id of a built-in entry it
    /// takes that one's place.
    pub id: String,
    /// Plain name as it is shown, at most 42 characters, such as `wet or worn handle`.
    pub name: String,
    /// `setup`, `pivot`, `arms`, `intent`, `kit`, `ground` or `body`; it decides the effort to
    /// change it and how far a golfer's own word is taken.
    pub family: Family,
    /// What the golfer, kit or lie does, in a clause of at most 420 characters.
    pub is: String,
    /// How that leads to the shots, in a sentence or two of at most 420 characters.
    pub because: String,
    /// Share of golfers with a complaint in whom it is clearly present, between 0 and 1; 0.06 is 6
    /// in 100.
    pub prior: f64,
    /// How sure the trade is of the shifts: `high`, `med` or `low`. `knowledge show` tells it; nothing
    /// is worked out from it.
    pub confidence: Confidence,
    /// `true` for a lie or the ground: taken as given when told, never a thing to practise away.
    /// Left out: `false`.
    #[serde(default)]
    pub condition: bool,
    /// What it moves: the mean and, after `+/-`, how far golfers differ, as
    /// `low_point: -2.4 +/- 1.2 in`. An item with `for: [driver]` holds for these clubs only and
    /// takes the place of the general number. Left out: it moves nothing itself.
    #[serde(default)]
    pub shifts: Vec<BTreeMap<String, Scalar>>,
    /// Causes that it brings about, each with the chance that it does, between 0 and 1:
    /// `{a_flip: 0.45}`. No way round may lead back to itself. Left out: none.
    #[serde(default)]
    pub leads_to: BTreeMap<String, f64>,
    /// The id of the check to look for it with; every cause needs one.
    pub check: Option<String>,
    /// Causes that it is mixed up with. If there are any, fill in `told_apart` too. Left out: none.
    #[serde(default)]
    pub looks_like: Vec<String>,
    /// The look or the trial that tells it from those in `looks_like`, in at most 420 characters.
    pub told_apart: Option<String>,
    /// Ids of its drills, at least one. The first that the golfer's aches and pains allow is given.
    #[serde(default)]
    pub drills: Vec<String>,
    /// The few words to think of while swinging, at most 8: `dry handle, quiet club`.
    pub cue: String,
    /// What is counted to see whether practice worked; it also decides how many balls are hit.
    pub success: Success,
    /// Measured numbers that show it worked, from and to: `{low_point: [2 in, 4.7 in]}`. Left out:
    /// none.
    #[serde(default)]
    pub aim: BTreeMap<String, (String, String)>,
    /// What golfers usually get wrong when they try to change it, in at most 420 characters.
    pub mistake: String,
    /// Advice often heard for it, and why it does not help.
    pub folk: Folk,
    /// The id of a caution to say with it, such as `sf_wrist`. Left out: none.
    pub caution: Option<String>,
    /// Where the entry comes from: `published` (then `source` too), `common`, `memory` or
    /// `elicited`. Left out: `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that it rests on; needed where `kind` is `published`.
    pub source: Option<String>,
}

/// What a check costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Cost {
    /// Think or look down.
    Free,
    /// A partner, a mirror, marks on ground or face.
    Look,
    /// A phone's camera.
    Video,
    /// A measuring device.
    Device,
}

/// What would have to change before an answer is asked for again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(super) enum LastingShape {
    /// Until the golfer's clubs change.
    Kit,
    /// Until something about the golfer's body changes.
    Body,
}

/// `checks/*.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CheckShape {
    /// Unique name among the checks, such as `my_ask_handle`. With the id of a built-in entry it
    /// takes that one's place.
    pub id: String,
    /// The question as it is asked, at most 180 characters. A yes has to speak for what it looks
    /// for.
    pub question: String,
    /// How to look, in at least four words and at most 420 characters.
    pub how: String,
    /// What it takes: `free` (think or look down), `look` (a partner, a mirror, marks), `video` (a
    /// phone's camera) or `device` (a measuring device).
    pub cost: Cost,
    /// For each cause it bears on: the chance of a yes with the cause and without it, both between
    /// 0 and 1, as `{my_wet_handle: [0.85, 0.1]}`. Left out: put a symptom in `finds`.
    #[serde(default)]
    pub tells: BTreeMap<String, (f64, f64)>,
    /// The symptom that a yes reports and a no denies, in place of `tells`. Left out: fill in `tells`.
    pub finds: Option<String>,
    /// Symptoms that say what the question asks: told or denied, it is not asked. Left out: none.
    #[serde(default)]
    pub same_as: Vec<String>,
    /// The answer stays true from one lesson to the next until the clubs (`kit`) or the `body` change.
    /// Left out: it is asked again on another day.
    pub lasting: Option<LastingShape>,
    /// `true` for a look that is meant for ground without turf marks, such as a mat, and for no other.
    /// Left out: `false`.
    #[serde(default)]
    pub no_turf: bool,
    /// The clubs it makes sense with: ids of club groups, or `irons`, `woods`, `driver`, `all`.
    /// Left out: every club.
    #[serde(default)]
    pub clubs: Vec<String>,
    /// Where the entry comes from: `published` (then `source` too), `common`, `memory` or
    /// `elicited`. Left out: `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that it rests on. Left out: none.
    pub source: Option<String>,
}

/// `drills.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct DrillShape {
    /// Unique name among the drills, such as `my_d_dry_ten`. With the id of a built-in entry it
    /// takes that one's place.
    pub id: String,
    /// Plain name as it is shown, at most 42 characters, such as `ten with a dry handle`.
    pub name: String,
    /// How to set it up and do it, in at most 420 characters.
    pub how: String,
    /// The few words to think of while swinging, at most 8: `dry handle, quiet club`.
    pub cue: String,
    /// What is counted, and how many of how many are enough.
    pub success: Success,
    /// Balls or swings in one set, such as 10; at least 1. `knowledge show` tells it; how many are hit
    /// against a cause goes by `success`.
    pub balls: u32,
    /// What golfers usually get wrong in it, in at most 420 characters.
    pub mistake: String,
    /// The id of a caution to say with it, such as `sf_course`. Left out: none.
    pub caution: Option<String>,
    /// It is not given to golfers with one of these: `pain_back`, `pain_elbow`, `pain_knee`,
    /// `pain_shoulder`, `pain_wrist`, `pain` (any pain), `dizzy` or `child`. Left out: it is for
    /// everybody.
    #[serde(default)]
    pub without: Vec<Ache>,
    /// `true` if it is for children, who get it for any cause whose own drills are not. Left out:
    /// `false`.
    #[serde(default)]
    pub children: bool,
    /// Where the entry comes from: `published` (then `source` too), `common`, `memory` or
    /// `elicited`. Left out: `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that it rests on; needed where `kind` is `published`.
    pub source: Option<String>,
}

/// When a caution is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum CautionLevel {
    /// Alone, before anything.
    Emergency,
    /// Before anything; no drill until it is cleared.
    First,
    /// With the drill or cause that names it.
    Beside,
}

/// `cautions.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CautionShape {
    /// Unique name among the cautions, such as `my_sf_slip`. With the id of a built-in entry it
    /// takes that one's place.
    pub id: String,
    /// How soon it has to be said. `first` and `emergency` need `says`, or `parts` with `hurts`.
    pub when: CautionLevel,
    /// Phrases that call for it, in lower case: `[wrist hurts, sore wrist]`. Left out: none.
    #[serde(default)]
    pub says: Vec<String>,
    /// Words for parts of the body, such as `wrist`; one of them within four words of one of
    /// `hurts` calls for it. Left out: none.
    #[serde(default)]
    pub parts: Vec<String>,
    /// Words of hurting, such as `sore`, that count beside one of `parts`. Left out: none.
    #[serde(default)]
    pub hurts: Vec<String>,
    /// Two lists of phrases, such as `[arm aches]` and `[feel sick]`; one of each in the same line
    /// calls for it, though either alone would not. Left out: none.
    #[serde(default)]
    pub both: Vec<Vec<String>>,
    /// Phrases that sound like a call for it and are none, such as `back swing` or
    /// `on the other hand`. Left out: none.
    #[serde(default)]
    pub not_when: Vec<String>,
    /// Words such as `sharp` or `swollen` near the call, after which `ask_grave` is asked in place
    /// of `ask`. Left out: none.
    #[serde(default)]
    pub grave: Vec<String>,
    /// The yes-or-no question that a `first` caution goes on with; a no clears it, anything else
    /// keeps it. Left out: nothing is asked.
    pub ask: Option<String>,
    /// The question after words of `grave`; only a yes, such as a doctor's leave, clears it. Left
    /// out: `ask` is asked.
    pub ask_grave: Option<String>,
    /// `true` if a doctor's word that golf is fine, told along with it, settles it unless something
    /// hurts now. Left out: `false`.
    #[serde(default)]
    pub leave: bool,
    /// What is said, in at most 420 characters.
    pub text: String,
    /// Where the entry comes from: `published` (then `source` too), `common`, `memory` or
    /// `elicited`. Left out: `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that it rests on. Left out: none.
    pub source: Option<String>,
}

/// `answers.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct AnswerShape {
    /// Unique name among the answers, such as `my_about_rain_gloves`. With the id of a built-in
    /// entry it takes that one's place.
    pub id: String,
    /// Ways to ask for it, in lower case, as typed: `[do rain gloves help]`.
    pub asks: Vec<String>,
    /// The advice or opinion that it judges, such as `rain gloves are a gimmick`. Left out for a
    /// plain question.
    pub claim: Option<String>,
    /// What to think of the claim: `true`, `half true`, `wrong` or `depends`. Needed where there is a
    /// claim, left out where there is none.
    #[serde(default, deserialize_with = "verdict")]
    #[schemars(with = "Option<ClaimVerdict>")]
    pub verdict: Option<ClaimVerdict>,
    /// The answer, in at most 900 characters.
    pub text: String,
    /// Where the entry comes from: `published` (then `source` too), `common`, `memory` or
    /// `elicited`. Left out: `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that it rests on; needed where `kind` is `published`.
    pub source: Option<String>,
}

/// `changes.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ChangeShape {
    /// Unique name among the changes, such as `ball_back`. With the id of a built-in entry it takes
    /// that one's place.
    pub id: String,
    /// Plain name of the change as it is shown, such as `the ball further back`.
    pub name: String,
    /// Phrases after "what if" that mean it, in lower case: `[ball back, ball further back]`. Other
    /// words may stand in between.
    pub says: Vec<String>,
    /// How far each quantity moves for one `unit` of the change, with its sign: `{low_point: 1}`.
    pub moves: BTreeMap<String, f64>,
    /// The unit of the size, such as `in`, `mm` or `deg`; of the same sort as the quantities that
    /// move.
    pub unit: String,
    /// The size taken where none was said, in the unit.
    pub by: f64,
    /// Phrases that name a place rather than a move, where a size is said without a word of moving
    /// ("further", "moved"): `[low point behind]`. The first quantity that moves is then put that far
    /// to the side to which the change moves it.
    #[serde(default)]
    pub places: Vec<String>,
    /// Other units in which the size may be said, and how many of `unit` one of each counts as:
    /// `{in: 1.6}`.
    #[serde(default)]
    pub counts: BTreeMap<String, f64>,
    /// Why another unit counts as that much, as a clause: `the handle stands 35 in above the head`.
    #[serde(default)]
    pub because: Option<String>,
    /// Where the numbers come from: `published` (then `source` too), `common`, `memory` or `elicited`. Left out:
    /// `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that the numbers rest on; needed where `kind` is
    /// `published`. Left out: none.
    #[serde(default)]
    pub source: Option<String>,
}

/// `sources.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SourceShape {
    /// Unique name among the sources, such as `MY_NOTES`. With the id of a built-in entry it takes
    /// that one's place.
    pub id: String,
    /// Authors, year, title and where it appeared.
    pub cite: String,
    /// What of it was read: `text`, `abstract`, or `memory` if nothing was looked up.
    pub seen: SeenOf,
    /// What it says that is used here, in a clause.
    pub supports: String,
    /// Ids of entries whose mechanism it speaks for without giving them a number. Left out: none.
    #[serde(default)]
    pub backs: Vec<String>,
}

/// `told/*.yaml`: how golfers tell of a cause.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct TellingShape {
    /// Unique name among the tellings, such as `my_told_wet_handle`. With the id of a built-in entry
    /// it takes that one's place.
    pub id: String,
    /// The id of the cause that is told of, such as `my_wet_handle`; left out for what golfers say
    /// who tell nothing of any cause, only what the ball and the turf did: words that stand there too
    /// say little of a cause.
    #[serde(default)]
    pub cause: Option<String>,
    /// What golfers say of whose shots this cause is behind, after `|`, one telling a line of at most
    /// 320 characters; invented, in their words.
    pub told: String,
}

/// `strengths.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct StrengthShape {
    /// The id of the cause, such as `my_wet_handle`; it stands for the entry too.
    pub id: String,
    /// For each effect: the share of golfers with the cause in whom it is expected, between 0 and 1:
    /// `{e_lp_behind: 0.55}`.
    pub expected: BTreeMap<String, f64>,
    /// For an effect whose share differs from the implied one by more than 0.2: why that is right, in
    /// at most 420 characters. Left out: nothing is argued.
    #[serde(default)]
    pub argued: BTreeMap<String, String>,
    /// Where the numbers come from: `published` (then `source` too), `common`, `memory` or `elicited`. Left out:
    /// `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that the numbers rest on; needed where `kind` is
    /// `published`. Left out: none.
    #[serde(default)]
    pub source: Option<String>,
}
