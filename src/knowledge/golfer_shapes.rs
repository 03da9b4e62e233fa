//! How clubs, lies and the simulated golfers are written: `groups.yaml`, `clubs.yaml`, `lies.yaml` and
//! `population.yaml`.
//!
//! Texts stay texts here, as in [`super::shapes`]. Nothing here knows an individual entry.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::fixed_words::{ClubFamily, Family};
use super::shapes::{Cost, Kind};

/// A usual value and its spreads.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Spread {
    /// The value of the usual golfer, in the unit of the key (in, mm, deg or mph).
    pub usual: f64,
    /// How far golfers differ from each other, in the unit of the key: two in three lie within this of
    /// the usual value.
    pub golfers: f64,
    /// How far the shots of one golfer differ, in the unit of the key: two in three lie within this of
    /// the golfer's own mean.
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
    pub family: ClubFamily,
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
    /// Where the numbers come from: `published` (then `source` too), `common`, `memory` or `elicited`. Left out:
    /// `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that the numbers rest on; needed where `kind` is
    /// `published`. Left out: none.
    #[serde(default)]
    pub source: Option<String>,
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
    /// Length of the club, such as `43 in`. `knowledge show` tells it; the arc is taken from `radius`
    /// and `plane`.
    pub length: String,
    /// Tilt of the arc from the ground with this club, such as `53 deg`.
    pub plane: String,
    /// Radius of the club head's arc near the ball, such as `1.266 m`.
    pub radius: String,
    /// Where the numbers come from: `published` (then `source` too), `common`, `memory` or `elicited`. Left out:
    /// `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that the numbers rest on; needed where `kind` is
    /// `published`. Left out: none.
    #[serde(default)]
    pub source: Option<String>,
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
    /// Causes that cannot be with this lie, such as a tee height where there is no tee. Left out:
    /// none.
    #[serde(default)]
    pub rules_out: Vec<String>,
    /// `true` for ground that shows no turf mark, such as a mat: nobody is asked there to read one.
    /// Left out: `false`.
    #[serde(default)]
    pub no_turf: bool,
}

/// `population.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PopulationShape {
    /// The name of these settings: `population`. There is one entry only.
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
    #[schemars(extend("propertyNames" = {"enum": ["free", "look", "video", "device"]}))]
    pub cost: BTreeMap<Cost, f64>,
    /// Effort to change a cause, by its family; 1 for a set-up change, 3 for a motion. Every family
    /// of causes has to be listed.
    #[schemars(extend("propertyNames" = {"enum": ["setup", "pivot", "arms", "intent", "kit", "ground", "body"]}))]
    pub effort: BTreeMap<Family, f64>,
    /// Families of causes that are habits of motion, as `[pivot, arms]`; a symptom with
    /// `not_a_habit: true` speaks against them.
    pub habits: Vec<Family>,
    /// How far a golfer's own word on a cause is taken, by family, from 0 (not at all) to 1. 0.25
    /// for families that are not listed.
    #[schemars(extend("propertyNames" = {"enum": ["setup", "pivot", "arms", "intent", "kit", "ground", "body"]}))]
    pub hint_trust: BTreeMap<Family, f64>,
    /// How far something the golfer looked at is taken, by family, as a multiple of an ordinary
    /// check. 1 for families that are not listed.
    #[schemars(extend("propertyNames" = {"enum": ["setup", "pivot", "arms", "intent", "kit", "ground", "body"]}))]
    pub seen_trust: BTreeMap<Family, f64>,
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
    /// Where the numbers come from: `published` (then `source` too), `common`, `memory` or `elicited`. Left out:
    /// `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that the numbers rest on; needed where `kind` is
    /// `published`. Left out: none.
    #[serde(default)]
    pub source: Option<String>,
}
