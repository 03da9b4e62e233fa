//! How the entries of the knowledge files are written: one plain struct per kind of entry.
//!
//! Texts stay texts here; the loader resolves names and numbers. Unknown keys are refused, so that
//! a misspelt key is a problem and not a silence. Nothing here knows an individual entry.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

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

/// A usual value and its spreads.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Spread {
    /// The usual golfer.
    pub usual: f64,
    /// Between golfers.
    pub golfers: f64,
    /// Between shots.
    pub shots: f64,
}

/// Where on the face a usual strike sits.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct StrikeUp {
    /// Usual height, mm.
    pub usual: f64,
    /// Half band of the middle, mm.
    pub band: f64,
    /// Between shots, mm.
    pub shots: f64,
}

/// The tail of poor swings.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PoorSwings {
    /// Their share.
    pub share: f64,
    /// How much wider they scatter in height.
    pub factor: f64,
}

/// What counts as playable.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Playable {
    /// Share of carry off the line.
    pub offline: f64,
    /// Distance from the centre of the face.
    pub strike: String,
}

/// `groups.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(
    missing_docs,
    reason = "the keys are described where the model uses them"
)]
pub(super) struct GroupShape {
    pub id: String,
    pub name: String,
    pub family: String,
    pub radius: String,
    pub plane: String,
    pub static_loft: String,
    pub good_low_point: (String, String),
    pub loft_off: Spread,
    pub low_point: Spread,
    pub arc_height: Spread,
    pub poor_swings: PoorSwings,
    pub swing_direction: Spread,
    pub face_angle: Spread,
    pub strike_across: Spread,
    pub strike_up: StrikeUp,
    pub club_speed: Spread,
    pub clean_from: String,
    pub kick: String,
    pub tee: String,
    pub low_point_scale: f64,
    pub playable: Playable,
    #[serde(default)]
    pub kind: Kind,
}

/// `clubs.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say it")]
pub(super) struct ClubShape {
    pub id: String,
    pub name: String,
    pub group: String,
    pub loft: String,
    pub length: String,
    pub plane: String,
    pub radius: String,
    #[serde(default)]
    pub kind: Kind,
}

/// `lies.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say it")]
pub(super) struct LieShape {
    pub id: String,
    pub name: String,
    pub condition: Option<String>,
}

/// `population.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(
    missing_docs,
    reason = "the keys are described in the file and in causes::model::Settings"
)]
pub(super) struct PopulationShape {
    pub id: String,
    pub prior_scale: f64,
    #[serde(default)]
    pub prior_factors: BTreeMap<String, f64>,
    pub link_scale: f64,
    pub usual_scale: f64,
    pub reaim: f64,
    pub face_follows: f64,
    pub regulation: (f64, f64),
    pub radius_to_height: f64,
    pub hub_to_height: f64,
    pub rescue: (f64, f64, f64),
    pub fat_from: String,
    pub heavy_from: String,
    pub silence: f64,
    pub denial: f64,
    pub often: (f64, f64),
    pub floor: f64,
    pub p_norm: BTreeMap<String, f64>,
    pub cost: BTreeMap<String, f64>,
    pub effort: BTreeMap<String, f64>,
    pub habits: Vec<String>,
    pub hint_trust: BTreeMap<String, f64>,
    pub seen_trust: BTreeMap<String, f64>,
    #[serde(default)]
    pub pupil_words: Vec<String>,
    pub usual_group: String,
    #[serde(default)]
    pub all_well_denies: Vec<String>,
    #[serde(default)]
    pub kind: Kind,
}

/// `quantities.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say it")]
pub(super) struct QuantityShape {
    pub id: String,
    pub name: String,
    #[serde(default)]
    pub dimension: Option<String>,
    pub unit: String,
    #[serde(default)]
    pub decimals: usize,
    pub positive: Option<String>,
    pub negative: Option<String>,
    pub plausible: (f64, f64),
    pub usual_error: f64,
    #[serde(default)]
    pub sided: bool,
    pub is: String,
    #[serde(default)]
    pub kind: Kind,
    pub source: Option<String>,
}

/// How often a symptom shows.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema, Default)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "each is described at causes::model::Seen")]
pub(super) struct SeenShape {
    pub events: Option<BTreeMap<String, f64>>,
    pub both: Option<(BTreeMap<String, f64>, BTreeMap<String, f64>)>,
    pub one_sided: Option<(String, String)>,
    pub more: Option<(BTreeMap<String, f64>, BTreeMap<String, f64>)>,
    pub beyond: Option<BTreeMap<String, Scalar>>,
    pub scaled: Option<BTreeMap<String, (f64, f64)>>,
    pub power: Option<BTreeMap<String, f64>>,
    pub blend: Option<Vec<(f64, SeenShape)>>,
}

/// `symptoms/*.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say it")]
pub(super) struct SymptomShape {
    pub id: String,
    pub name: String,
    pub kind: String,
    pub is: String,
    pub usual: f64,
    pub trust: String,
    #[serde(default)]
    pub disaster: bool,
    #[serde(default)]
    pub not_a_habit: bool,
    pub mixed_up_with: Option<String>,
    pub from: Option<SeenShape>,
    #[serde(default)]
    pub tells: BTreeMap<String, f64>,
    #[serde(default)]
    pub clubs: Vec<String>,
    pub opposite: Option<String>,
    #[serde(default)]
    pub kind_of: Kind,
    pub source: Option<String>,
}

/// `effects.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say it")]
pub(super) struct EffectShape {
    pub id: String,
    pub name: String,
    pub family: String,
    pub when: BTreeMap<String, String>,
    pub because: String,
    pub wants: Option<String>,
    #[serde(default)]
    pub kind: Kind,
    pub source: Option<String>,
}

/// What is counted to see whether practice worked.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Success {
    /// What is counted.
    pub count: String,
    /// How many are enough.
    pub need: u32,
    /// Of how many.
    pub of: u32,
}

/// Advice often heard, and why it backfires.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Folk {
    /// The advice.
    pub says: String,
    /// The reason against it.
    pub but: String,
}

/// `causes/*.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say it")]
pub(super) struct CauseShape {
    pub id: String,
    pub name: String,
    pub family: String,
    pub is: String,
    pub because: String,
    pub prior: f64,
    pub confidence: Confidence,
    #[serde(default)]
    pub condition: bool,
    #[serde(default)]
    pub shifts: Vec<BTreeMap<String, Scalar>>,
    #[serde(default)]
    pub leads_to: BTreeMap<String, f64>,
    pub check: Option<String>,
    #[serde(default)]
    pub looks_like: Vec<String>,
    pub told_apart: Option<String>,
    #[serde(default)]
    pub drills: Vec<String>,
    pub cue: String,
    pub success: Success,
    #[serde(default)]
    pub aim: BTreeMap<String, (String, String)>,
    pub mistake: String,
    pub folk: Folk,
    pub caution: Option<String>,
    #[serde(default)]
    pub kind: Kind,
    pub source: Option<String>,
}

/// What would have to change before an answer is asked for again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "the words say it")]
pub(super) enum LastingShape {
    Kit,
    Body,
}

/// `checks/*.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say it")]
pub(super) struct CheckShape {
    pub id: String,
    pub question: String,
    pub how: String,
    pub cost: String,
    #[serde(default)]
    pub tells: BTreeMap<String, (f64, f64)>,
    pub finds: Option<String>,
    /// Symptoms that say what the question asks: told or denied, it is not asked.
    #[serde(default)]
    pub same_as: Vec<String>,
    /// The answer stays true from one lesson to the next, until the clubs or the body change.
    pub lasting: Option<LastingShape>,
    #[serde(default)]
    pub clubs: Vec<String>,
    #[serde(default)]
    pub kind: Kind,
    pub source: Option<String>,
}

/// `drills.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say it")]
pub(super) struct DrillShape {
    pub id: String,
    pub name: String,
    pub how: String,
    pub cue: String,
    pub success: Success,
    pub balls: u32,
    pub mistake: String,
    pub caution: Option<String>,
    #[serde(default)]
    pub without: Vec<String>,
    #[serde(default)]
    pub kind: Kind,
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
#[allow(missing_docs, reason = "the keys say it")]
pub(super) struct CautionShape {
    pub id: String,
    pub when: CautionLevel,
    #[serde(default)]
    pub says: Vec<String>,
    #[serde(default)]
    pub parts: Vec<String>,
    #[serde(default)]
    pub hurts: Vec<String>,
    #[serde(default)]
    pub not_when: Vec<String>,
    #[serde(default)]
    pub grave: Vec<String>,
    pub ask: Option<String>,
    pub ask_grave: Option<String>,
    pub text: String,
    #[serde(default)]
    pub kind: Kind,
    pub source: Option<String>,
}

/// `answers.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say it")]
pub(super) struct AnswerShape {
    pub id: String,
    pub asks: Vec<String>,
    pub claim: Option<String>,
    pub verdict: Option<String>,
    pub text: String,
    #[serde(default)]
    pub kind: Kind,
    pub source: Option<String>,
}

/// `changes.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys are described in the file")]
pub(super) struct ChangeShape {
    pub id: String,
    pub name: String,
    pub says: Vec<String>,
    pub moves: BTreeMap<String, f64>,
    pub unit: String,
    pub by: f64,
    #[serde(default)]
    pub kind: Kind,
}

/// `sources.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys say it")]
pub(super) struct SourceShape {
    pub id: String,
    pub cite: String,
    pub seen: String,
    pub supports: String,
    /// Entries whose mechanism it speaks for without giving them a number.
    #[serde(default)]
    pub backs: Vec<String>,
}

/// `told/*.yaml`: how golfers tell of a cause.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct TellingShape {
    /// A name of its own.
    pub id: String,
    /// The cause.
    pub cause: String,
    /// What golfers say of whose shots this cause is behind, one telling a line; invented, in their
    /// words.
    pub told: String,
}

/// `strengths.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct StrengthShape {
    /// The cause.
    pub id: String,
    /// For each effect: the share of golfers with the cause in whom it is expected.
    pub expected: BTreeMap<String, f64>,
    /// For an effect whose share differs much from the implied one: why that is right.
    #[serde(default)]
    pub argued: BTreeMap<String, String>,
    /// Where the numbers come from.
    #[serde(default)]
    pub kind: Kind,
}
