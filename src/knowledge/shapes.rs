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
    /// The value of the usual golfer.
    pub usual: f64,
    /// How far golfers differ from each other: two in three lie within this of the usual value.
    pub golfers: f64,
    /// How far the shots of one golfer differ: two in three lie within this of the golfer's own
    /// mean.
    pub shots: f64,
}

/// Where on the face a usual strike sits.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct StrikeUp {
    /// Usual height of the strike, mm up the face from its lower edge; for a club whose ball stands
    /// on a tee, from the middle of the face.
    pub usual: f64,
    /// Half the width of the band that counts as the middle, mm. Above or below it the strike is
    /// high or low on the face.
    pub band: f64,
    /// How far the shots of one golfer differ, mm: two in three lie within this of the mean.
    pub shots: f64,
}

/// The tail of poor swings.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PoorSwings {
    /// Share of all swings that are poor, from 0 to 1; 0.07 is 7 in 100.
    pub share: f64,
    /// How many times as wide the height of the arc scatters in a poor swing; 5 is five times.
    pub factor: f64,
}

/// What counts as playable.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Playable {
    /// How far from the line the ball may finish, as a share of its carry; 0.115 is 11.5 yd in 100.
    pub offline: f64,
    /// How far from the middle of the face, toward heel or toe, the ball may be struck, such as
    /// `18 mm`.
    pub strike: String,
}

/// `groups.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct GroupShape {
    /// Unique name among the club groups, such as `mid_iron`. With the id of a built-in entry it
    /// takes that one's place.
    pub id: String,
    /// Plain name as it is shown, at most 42 characters, such as `mid iron`.
    pub name: String,
    /// `irons`, `woods` or `driver`; lists of clubs may name a whole family.
    pub family: String,
    /// Radius of the club head's arc near the ball, such as `1.12 m`.
    pub radius: String,
    /// Tilt of the arc from the ground, such as `59.7 deg`; 90 deg would be upright.
    pub plane: String,
    /// Loft of a middle club of the group, such as `32 deg`.
    pub static_loft: String,
    /// Between which two places the low point of a good strike lies, as `[2 in, 4.7 in]`; + on the
    /// target side of the ball.
    pub good_low_point: (String, String),
    /// Loft at impact less the loft of the club, deg; - where the golfer takes loft off.
    pub loft_off: Spread,
    /// Where the bottom of the arc lies, in; + on the target side of the ball.
    pub low_point: Spread,
    /// Height of the bottom of the arc against the height that suits the shot best, mm; + is
    /// higher.
    pub arc_height: Spread,
    /// The few swings that go much worse than the rest.
    pub poor_swings: PoorSwings,
    /// Direction of the arc as seen from above, against the target line, deg; + to the push side.
    pub swing_direction: Spread,
    /// Direction of the face at impact against the target line, deg; + to the push side.
    pub face_angle: Spread,
    /// Where the ball is struck across the face, mm from the middle; + toward the toe.
    pub strike_across: Spread,
    /// Where the ball is struck up the face, mm.
    pub strike_up: StrikeUp,
    /// Speed of the club head: `usual` in mph, `golfers` and `shots` in per cent of it.
    pub club_speed: Spread,
    /// The lowest strike that still counts as clean, up the face from its lower edge, such as
    /// `8 mm`.
    pub clean_from: String,
    /// How far a solid strike kicks the head downward, such as `4 deg`; turf marks after the ball
    /// run deeper by it.
    pub kick: String,
    /// How high the bottom of the ball stands above the turf, such as `28 mm`. `0 mm` is a ball on
    /// the turf; more than that makes the group one for teed balls.
    pub tee: String,
    /// Factor on what causes do to the low point with these clubs; 1 leaves it as written in the
    /// cause.
    pub low_point_scale: f64,
    /// What counts as a playable shot; practice is chosen by how many more shots it makes playable.
    pub playable: Playable,
    /// Where the numbers come from: `published`, `common`, `memory` or `elicited`. Left out:
    /// `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
}

/// `clubs.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ClubShape {
    /// Unique name among the clubs, such as `wood_3`. With the id of a built-in entry it takes that
    /// one's place.
    pub id: String,
    /// Plain name as it is shown, at most 42 characters, such as `3 wood`.
    pub name: String,
    /// The id of its club group in `groups.yaml`, such as `fairway`.
    pub group: String,
    /// Loft of the club, such as `15 deg`.
    pub loft: String,
    /// Length of the club, such as `43 in`. For the reader only: the arc is taken from `radius` and
    /// `plane`.
    pub length: String,
    /// Tilt of the arc from the ground with this club, such as `53 deg`.
    pub plane: String,
    /// Radius of the club head's arc near the ball, such as `1.266 m`.
    pub radius: String,
    /// Where the numbers come from: `published`, `common`, `memory` or `elicited`. Left out:
    /// `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
}

/// `lies.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LieShape {
    /// Unique name among the lies, such as `uphill`. With the id of a built-in entry it takes that
    /// one's place.
    pub id: String,
    /// Plain name as it is shown, at most 42 characters, such as `uphill lie`.
    pub name: String,
    /// The cause that this lie brings with it, such as `g_uphill`; taken as there when the golfer
    /// tells of trouble from it. Left out: the lie moves nothing.
    pub condition: Option<String>,
}

/// `population.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PopulationShape {
    /// The name of these settings: `population`. Only the first entry is used.
    pub id: String,
    /// Factor on `prior` of every cause; it turns "clearly present" into "at work in the
    /// complaint". With 0.12 a cause with `prior: 0.4` starts at 0.048.
    pub prior_scale: f64,
    /// A further factor on `prior` for single causes, as `{a_decel: 0.7}`. 1 for causes that are
    /// not listed.
    #[serde(default)]
    pub prior_factors: BTreeMap<String, f64>,
    /// Factor on every chance in the causes' `leads_to`; 1 leaves them as written.
    pub link_scale: f64,
    /// Factor on the `usual` share of a symptom where nothing in the golfer's shots or causes
    /// speaks for it.
    pub usual_scale: f64,
    /// The low point turns the club path; this is the share of that turn that golfers take out by
    /// aiming the swing elsewhere, from 0 to 1.
    pub reaim: f64,
    /// Share of what is left of that turn that the face turns with, from 0 to 1.
    pub face_follows: f64,
    /// Share of an error in height that instinct takes out before the ball, from 0 to 1: the mean,
    /// and how far golfers differ, as `[0.62, 0.15]`.
    pub regulation: (f64, f64),
    /// How many mm the arc rises for each mm by which its radius (arms and club) gets shorter.
    pub radius_to_height: f64,
    /// How many mm the arc rises for each mm by which the centre of the swing (the chest) rises.
    pub hub_to_height: f64,
    /// How much the height scatters more, mm for each mm of rescue: of an error that instinct takes
    /// out, of height held up with the low point back, of height changed with it forward.
    pub rescue: (f64, f64, f64),
    /// A shot that cuts more turf than this before the ball is fat, such as `25.4 mm`.
    pub fat_from: String,
    /// A shot that cuts more turf than this before the ball is slightly heavy, such as `6 mm`.
    pub heavy_from: String,
    /// How much it says that a common symptom was not mentioned: 0 nothing, 1 as much as a full no.
    /// It counts in full only when a dozen symptoms were told.
    pub silence: f64,
    /// How much it says that a symptom was denied: 0 nothing, 1 a full no.
    pub denial: f64,
    /// How exact "three in ten" is: the scatter of shares that golfers state, then by how much they
    /// overstate, both as logarithms of the odds (`[0.9, 0.3]`).
    pub often: (f64, f64),
    /// How readily a symptom is mentioned by golfers whose shots never show it, as a share (0 to 1)
    /// of `usual` times `usual_scale`.
    pub floor: f64,
    /// How several causes that move a quantity the same way add up: 1 in full, 2 like the sides of
    /// a right angle. Not listed: 1.3, and 2 for quantities that end in `_spread`.
    pub p_norm: BTreeMap<String, f64>,
    /// What each word for the cost of a check stands for, in minutes of the golfer's patience, as
    /// `{free: 1, look: 2, video: 4, device: 6}`.
    pub cost: BTreeMap<String, f64>,
    /// Effort to change a cause, by its family; 1 for a set-up change, 3 for a motion. Every family
    /// of causes has to be listed.
    pub effort: BTreeMap<String, f64>,
    /// Families of causes that are habits of motion, as `[pivot, arms]`; a symptom with
    /// `not_a_habit: true` speaks against them.
    pub habits: Vec<String>,
    /// How far a golfer's own word on a cause is taken, by family, from 0 (not at all) to 1. 0.25
    /// for families that are not listed.
    pub hint_trust: BTreeMap<String, f64>,
    /// How far something the golfer looked at is taken, by family, as a multiple of an ordinary
    /// check. 1 for families that are not listed.
    pub seen_trust: BTreeMap<String, f64>,
    /// Single words by which a coach speaks of somebody else, such as `pupil` or `client`. Left
    /// out: none.
    #[serde(default)]
    pub pupil_words: Vec<String>,
    /// The id of the club group taken where no club is named, such as `mid_iron`.
    pub usual_group: String,
    /// Symptoms that are taken as denied when a golfer says that all is well with a club ("irons
    /// are fine"). Left out: none.
    #[serde(default)]
    pub all_well_denies: Vec<String>,
    /// Where the numbers come from: `published`, `common`, `memory` or `elicited`. Left out:
    /// `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
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
    /// A note such as `length` or `angle`. May be left out: `unit` decides.
    #[serde(default)]
    pub dimension: Option<String>,
    /// The unit of all numbers of this entry, such as `in`, `mm`, `yd`, `deg`, `mph`, `%`, or `""`
    /// for a plain number.
    pub unit: String,
    /// Decimals shown. Left out: 0.
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
    pub kind: String,
    /// What is seen, heard or felt, in a clause of at most 420 characters.
    pub is: String,
    /// Share of golfers with nothing at work who report it all the same, between 0 and 1; 0.03 is 3
    /// in 100.
    pub usual: f64,
    /// `high`, `medium` or `low`: of 100 golfers who have it on every shot, 92, 85 or 70 mention
    /// it.
    pub trust: String,
    /// `true` if it is rare and memorable, such as a shank: golfers report it even if few shots
    /// show it. Left out: `false`.
    #[serde(default)]
    pub disaster: bool,
    /// `true` if it speaks against any habit of motion that `tells` does not name, as a sudden
    /// onset does. Left out: `false`.
    #[serde(default)]
    pub not_a_habit: bool,
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
    /// The symptom that cannot be true of the same shots, such as `contact_toe`.
    pub opposite: Option<String>,
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
    pub family: String,
    /// What the golfer, kit or lie does, in a clause of at most 420 characters.
    pub is: String,
    /// How that leads to the shots, in a sentence or two of at most 420 characters.
    pub because: String,
    /// Share of golfers with a complaint in whom it is clearly present, between 0 and 1; 0.06 is 6
    /// in 100.
    pub prior: f64,
    /// How sure the trade is of the shifts: `high`, `med` or `low`. For the reader only: nothing is
    /// worked out from it.
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
    pub cost: String,
    /// For each cause it bears on: the chance of a yes with the cause and without it, both between
    /// 0 and 1, as `{my_wet_handle: [0.85, 0.1]}`. Left out: put a symptom in `finds`.
    #[serde(default)]
    pub tells: BTreeMap<String, (f64, f64)>,
    /// The symptom that a yes reports and a no denies; it counts where `tells` is left out.
    pub finds: Option<String>,
    /// Symptoms that say what the question asks: told or denied, it is not asked.
    #[serde(default)]
    pub same_as: Vec<String>,
    /// The answer stays true from one lesson to the next, until the clubs or the body change.
    pub lasting: Option<LastingShape>,
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
    /// Balls or swings in one set, such as 10. For the reader only: how many are hit goes by
    /// `success` of the cause.
    pub balls: u32,
    /// What golfers usually get wrong in it, in at most 420 characters.
    pub mistake: String,
    /// The id of a caution to say with it, such as `sf_course`. Left out: none.
    pub caution: Option<String>,
    /// It is not given to golfers with one of these: `pain_back`, `pain_elbow`, `pain_knee`,
    /// `pain_shoulder`, `pain_wrist`, `pain` (any pain) or `dizzy`. Left out: it is for everybody.
    #[serde(default)]
    pub without: Vec<String>,
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
    /// What to think of the claim: `true`, `half true`, `wrong` or `depends`. Left out where there
    /// is no claim.
    pub verdict: Option<String>,
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
    /// Where the numbers come from: `published`, `common`, `memory` or `elicited`. Left out:
    /// `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
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
    pub seen: String,
    /// What it says that is used here, in a clause.
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
