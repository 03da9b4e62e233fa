//! What the simulated golfers are made of: club groups, causes priced in physical shifts, the
//! symptoms and effects read off their shots, and the checks that tell causes apart.
//!
//! Plain data, made valid by the knowledge loader: every id is in range, every table is as long as
//! its vocabulary, probabilities lie strictly between 0 and 1 and links hold no cycle. Numbers are
//! in the units named at each field, because these tables are read in the inner loop; nothing here
//! leaves the program without a unit. Signs as everywhere: low point + target side, height + up,
//! directions + push side, strike + toe or high, lie + toe up.
//!
//! Knows no text: names, questions and sentences stay in the knowledge base.

use crate::quantity::{Amount, Estimate};
use crate::vocabulary::{CauseId, CheckId, EffectId, GroupId, QuantityId, SymptomId};

/// A quantity that golfers of the population have; the columns of the simulation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Axis {
    /// Low point ahead of the ball, in.
    LowPoint,
    /// Height of the arc's lowest point above the turf, mm.
    ArcHeight,
    /// Height of the hub against address, mm.
    HubHeight,
    /// Radius lost against address, mm; + is shorter.
    RadiusLost,
    /// Direction of the arc's base line, deg.
    SwingDirection,
    /// Face to target, deg.
    FaceAngle,
    /// Dynamic loft against the usual of the group, deg.
    DynamicLoft,
    /// Strike across the face, mm; + toe.
    StrikeAcross,
    /// Strike up the face against the usual, mm.
    StrikeUp,
    /// Tilt of the plane, deg; + steeper.
    Plane,
    /// Club speed against the usual, per cent.
    ClubSpeed,
    /// Aim of the body, deg.
    Aim,
    /// Lie at impact, deg; + toe up.
    LieAtImpact,
    /// Effective bounce, deg.
    Bounce,
    /// Depth of turf or grass that costs nothing, mm.
    GrassTolerance,
    /// Spin loft lost or gained apart from the delivery, deg.
    SpinLoft,
    /// Shot-to-shot spread of the low point, in.
    LowPointSpread,
    /// Shot-to-shot spread of the arc's height, mm.
    ArcHeightSpread,
    /// Shot-to-shot spread of the swing direction, deg.
    SwingDirectionSpread,
    /// Shot-to-shot spread of the face, deg.
    FaceAngleSpread,
    /// Shot-to-shot spread of the strike across the face, mm.
    StrikeAcrossSpread,
    /// Shot-to-shot spread of the club speed, per cent.
    ClubSpeedSpread,
    /// Chance that grass or water takes the friction away.
    FrictionLost,
    /// Chance that ball or face answers abnormally.
    Response,
    // The rest follow from the above and can be tested by effects, but no cause shifts them.
    /// Attack angle, deg; + up. Follows from low point and plane.
    AttackAngle,
    /// Club path, deg. Follows from swing direction, low point and plane.
    ClubPath,
    /// Face angle less club path, deg.
    FaceToPath,
    /// Height of the edge above the turf at the ball, mm.
    EdgeAtBall,
    /// Dynamic loft less attack angle, deg, against the usual of the group.
    SpinLoftDelivered,
    /// Share of shots that cut 10 mm of turf or more before the ball.
    TurfBefore,
    /// Share of shots struck on the neck.
    OnTheNeck,
    /// Absolute dynamic loft, deg.
    DeliveredLoft,
    /// Height spread of the golfer before any rescue, mm.
    OwnHeightSpread,
    /// Strike height against the usual, mm, as delivered.
    StrikeUpDelivered,
    /// Height that instinct takes out in an ordinary swing, mm; in a poor swing it does not.
    Rescued,
}

impl Axis {
    /// True if a cause may shift it; the others follow from those.
    pub fn moves_by_itself(self) -> bool {
        let found = Self::ALL.iter().find(|(axis, ..)| *axis == self);
        found.is_some_and(|(.., moves)| *moves)
    }

    /// True for what a golfer's shots differ by, not what they are on the whole.
    pub fn is_spread(self) -> bool {
        matches!(
            self,
            Self::LowPointSpread
                | Self::ArcHeightSpread
                | Self::SwingDirectionSpread
                | Self::FaceAngleSpread
                | Self::StrikeAcrossSpread
                | Self::ClubSpeedSpread
                | Self::OwnHeightSpread
        )
    }

    /// Every axis with its name in the knowledge files, the unit symbol it is written in there,
    /// and whether a cause may shift it.
    pub const ALL: [(Self, &'static str, &'static str, bool); 35] = [
        (Self::LowPoint, "low_point", "in", true),
        (Self::ArcHeight, "arc_height", "mm", true),
        (Self::HubHeight, "hub_height", "mm", true),
        (Self::RadiusLost, "radius_lost", "mm", true),
        (Self::SwingDirection, "swing_direction", "deg", true),
        (Self::FaceAngle, "face_angle", "deg", true),
        (Self::DynamicLoft, "dynamic_loft", "deg", true),
        (Self::StrikeAcross, "strike_across", "mm", true),
        (Self::StrikeUp, "strike_up", "mm", true),
        (Self::Plane, "plane", "deg", true),
        (Self::ClubSpeed, "club_speed", "%", true),
        (Self::Aim, "aim", "deg", true),
        (Self::LieAtImpact, "lie_at_impact", "deg", true),
        (Self::Bounce, "bounce", "deg", true),
        (Self::GrassTolerance, "grass_tolerance", "mm", true),
        (Self::SpinLoft, "spin_loft", "deg", true),
        (Self::LowPointSpread, "low_point_spread", "in", true),
        (Self::ArcHeightSpread, "arc_height_spread", "mm", true),
        (
            Self::SwingDirectionSpread,
            "swing_direction_spread",
            "deg",
            true,
        ),
        (Self::FaceAngleSpread, "face_angle_spread", "deg", true),
        (Self::StrikeAcrossSpread, "strike_across_spread", "mm", true),
        (Self::ClubSpeedSpread, "club_speed_spread", "%", true),
        (Self::FrictionLost, "friction_lost", "", true),
        (Self::Response, "response", "", true),
        (Self::AttackAngle, "attack_angle", "deg", false),
        (Self::ClubPath, "club_path", "deg", false),
        (Self::FaceToPath, "face_to_path", "deg", false),
        (Self::EdgeAtBall, "edge_at_ball", "mm", false),
        (Self::SpinLoftDelivered, "spin_loft_delivered", "deg", false),
        (Self::TurfBefore, "turf_before", "", false),
        (Self::OnTheNeck, "on_the_neck", "", false),
        (Self::DeliveredLoft, "delivered_loft", "deg", false),
        (Self::OwnHeightSpread, "own_height_spread", "mm", false),
        (Self::StrikeUpDelivered, "strike_up_delivered", "mm", false),
        (Self::Rescued, "rescued", "mm", false),
    ];
}

/// Something that happens on a share of a golfer's shots; the rates of the simulation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "the names in EVENTS say it")]
pub enum Event {
    Whiff,
    Topped,
    Bladed,
    Thin,
    Clean,
    SlightlyHeavy,
    Fat,
    TurfBefore,
    MarkFarBehind,
    MarkBehind,
    MarkLevel,
    MarkAhead,
    MarkFarAhead,
    NoMark,
    DeepMark,
    ShallowMark,
    HiddenByMat,
    Skidded,
    Stuck,
    Stabbed,
    Sky,
    DropKick,
    ScuffBehindTee,
    TeeStanding,
    CrownMark,
    CleanOffTee,
    Heel,
    Toe,
    Centre,
    HighFace,
    LowFace,
    Shank,
    StartsPush,
    StartsPull,
    CurvePushBig,
    CurvePushMild,
    CurvePullBig,
    CurvePullMild,
    PushStraight,
    PullStraight,
    PushSlice,
    PullFade,
    OnlineSlice,
    PushHook,
    OnlineHook,
    PullHook,
    MissPush,
    MissPull,
    TooLow,
    TooHigh,
    Worm,
    Balloons,
    Dives,
    ShortByMishit,
    Flyer,
    Sting,
    Playable,
    /// Standard deviation of the launch angle, deg.
    LaunchSpread,
    /// Standard deviation of carry over its mean.
    CarrySpread,
    /// Standard deviation of where the turf mark starts, mm.
    MarkStartSpread,
    /// Carry of a solid strike against the usual of the group.
    SolidCarry,
}

impl Event {
    /// Every event with its name in the knowledge files.
    pub const ALL: [(Self, &'static str); 61] = [
        (Self::Whiff, "whiff"),
        (Self::Topped, "topped"),
        (Self::Bladed, "bladed"),
        (Self::Thin, "thin"),
        (Self::Clean, "clean"),
        (Self::SlightlyHeavy, "slightly_heavy"),
        (Self::Fat, "fat"),
        (Self::TurfBefore, "turf_before"),
        (Self::MarkFarBehind, "mark_far_behind"),
        (Self::MarkBehind, "mark_behind"),
        (Self::MarkLevel, "mark_level"),
        (Self::MarkAhead, "mark_ahead"),
        (Self::MarkFarAhead, "mark_far_ahead"),
        (Self::NoMark, "no_mark"),
        (Self::DeepMark, "deep_mark"),
        (Self::ShallowMark, "shallow_mark"),
        (Self::HiddenByMat, "hidden_by_mat"),
        (Self::Skidded, "skidded"),
        (Self::Stuck, "stuck"),
        (Self::Stabbed, "stabbed"),
        (Self::Sky, "sky"),
        (Self::DropKick, "drop_kick"),
        (Self::ScuffBehindTee, "scuff_behind_tee"),
        (Self::TeeStanding, "tee_standing"),
        (Self::CrownMark, "crown_mark"),
        (Self::CleanOffTee, "clean_off_tee"),
        (Self::Heel, "heel"),
        (Self::Toe, "toe"),
        (Self::Centre, "centre"),
        (Self::HighFace, "high_face"),
        (Self::LowFace, "low_face"),
        (Self::Shank, "shank"),
        (Self::StartsPush, "starts_push"),
        (Self::StartsPull, "starts_pull"),
        (Self::CurvePushBig, "curve_push_big"),
        (Self::CurvePushMild, "curve_push_mild"),
        (Self::CurvePullBig, "curve_pull_big"),
        (Self::CurvePullMild, "curve_pull_mild"),
        (Self::PushStraight, "push_straight"),
        (Self::PullStraight, "pull_straight"),
        (Self::PushSlice, "push_slice"),
        (Self::PullFade, "pull_fade"),
        (Self::OnlineSlice, "online_slice"),
        (Self::PushHook, "push_hook"),
        (Self::OnlineHook, "online_hook"),
        (Self::PullHook, "pull_hook"),
        (Self::MissPush, "miss_push"),
        (Self::MissPull, "miss_pull"),
        (Self::TooLow, "too_low"),
        (Self::TooHigh, "too_high"),
        (Self::Worm, "worm"),
        (Self::Balloons, "balloons"),
        (Self::Dives, "dives"),
        (Self::ShortByMishit, "short_by_mishit"),
        (Self::Flyer, "flyer"),
        (Self::Sting, "sting"),
        (Self::Playable, "playable"),
        (Self::LaunchSpread, "launch_spread"),
        (Self::CarrySpread, "carry_spread"),
        (Self::MarkStartSpread, "mark_start_spread"),
        (Self::SolidCarry, "solid_carry"),
    ];
}

/// How often a symptom shows, as a function of a golfer's rates and quantities; always clipped to
/// between 0 and 1.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// A weighted sum of event rates.
    Events(Vec<(Event, f64)>),
    /// Twice the smaller of two sums: both in one session.
    Both(Vec<(Event, f64)>, Vec<(Event, f64)>),
    /// The larger of two rates less three times the smaller: all on one side.
    OneSided(Event, Event),
    /// How much larger the first sum is than the second, not below 0.
    More(Vec<(Event, f64)>, Vec<(Event, f64)>),
    /// The chance that the golfer's mean lies beyond the limit, with a blur (normal, sd `blur`);
    /// `limit` and `blur` in the unit of the axis; `above` says which side.
    Beyond {
        /// Which quantity.
        axis: Axis,
        /// True for above the limit.
        above: bool,
        /// The limit, in the axis' unit; for `relative`, against the usual of the group.
        limit: f64,
        /// Standard deviation of the blur.
        blur: f64,
        /// True if the limit is counted from the usual value of the group.
        relative: bool,
    },
    /// A spread or level divided by a scale: `event * factor + offset`.
    Scaled(Event, f64, f64),
    /// A rate raised to a power: wear builds up with repetition.
    Power(Event, f64),
    /// A weighted sum of other readings.
    Blend(Vec<(f64, Seen)>),
}

/// How far a plain report is trusted before any check.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trust {
    /// Mentioned by 92 in 100 who have it always.
    High,
    /// 85 in 100.
    Medium,
    /// 70 in 100.
    Low,
}

/// Something seen, heard or felt.
#[derive(Debug, Clone, PartialEq)]
pub struct SymptomModel {
    /// Share of golfers without any cause at work who report it all the same.
    pub usual: f64,
    /// How far a report is trusted.
    pub trust: Trust,
    /// What geometry says of it; `None` if it does not decide.
    pub seen: Option<Seen>,
    /// Causes that bear on it where geometry does not decide: how many times likelier the report
    /// is with the cause than without; under 1 speaks against.
    pub tells: Vec<(CauseId, f64)>,
    /// Rare and memorable: reported at a low rate already.
    pub disaster: bool,
    /// Any habitual motion argues against it (it came suddenly, or with one club only).
    pub not_a_habit: bool,
    /// Groups it can be seen with; empty for all.
    pub groups: Vec<GroupId>,
}

/// One test of an effect: the golfer's mean on an axis lies between two limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// Which quantity.
    pub axis: Axis,
    /// Not below this, in the axis' unit.
    pub from: f64,
    /// Not above this.
    pub to: f64,
    /// Counted from the usual value of the group.
    pub relative: bool,
}

/// A named condition on the arc or the impact.
#[derive(Debug, Clone, PartialEq)]
pub struct EffectModel {
    /// For each group, in order of group: any of these tests makes the effect hold; empty where
    /// the effect makes no sense.
    pub any_of: Vec<Vec<Between>>,
}

/// One shift of one axis by a cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shift {
    /// Which quantity.
    pub axis: Axis,
    /// Mean shift, in the axis' unit (inches, mm, deg, per cent, or a chance).
    pub mean: f64,
    /// How much it differs from golfer to golfer.
    pub sd: f64,
}

/// A cause priced in physical shifts.
#[derive(Debug, Clone, PartialEq)]
pub struct CauseModel {
    /// Share of complaining golfers in whom it is clearly present (elicited).
    pub prior: f64,
    /// Factor on the prior for this cause; 1 for most (part-shot causes count less).
    pub prior_factor: f64,
    /// Shifts for each group, in order of group; a group may have none.
    pub shifts: Vec<Vec<Shift>>,
    /// What it makes more likely, with the chance that it does.
    pub leads_to: Vec<(CauseId, f64)>,
    /// A lie or the ground: forced when stated, never counted as a benefit.
    pub condition: bool,
    /// A habit of motion (pivot, arms), against which a sudden onset argues.
    pub habit: bool,
    /// Effort to change it, 1 for a set-up change to 4 for a change of motion.
    pub effort: f64,
}

/// A check: a question whose answer tells causes apart.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckModel {
    /// Cost of asking, in minutes of the golfer's patience: free 1, look 2, video 4, device 6.
    pub cost: f64,
    /// P(yes | cause present), P(yes | absent) for each cause it bears on.
    pub tells: Vec<(CauseId, f64, f64)>,
    /// The symptom whose presence a yes reports, if any.
    pub finds: Option<SymptomId>,
    /// Symptoms that say what the question asks, so that it is idle once one is told or denied.
    pub same_as: Vec<SymptomId>,
    /// Groups it makes sense with; empty for all.
    pub groups: Vec<GroupId>,
}

impl CheckModel {
    /// The one symptom that a yes says is there and a no says is not, if it asks for just one.
    pub fn asks_for(&self) -> Option<SymptomId> {
        match self.same_as.as_slice() {
            _ if self.tells.is_empty() => self.finds,
            [one] => Some(*one),
            _ => None,
        }
    }

    /// The chance that a golfer with these causes says yes.
    pub fn says_yes(&self, has: impl Fn(CauseId) -> bool) -> f64 {
        super::report::says_yes(self, has)
    }

    /// True if both ask the same in other words: whoever answered one has answered the other.
    pub fn asks_the_same(&self, other: &Self) -> bool {
        self.asks_for().is_some() && self.asks_for() == other.asks_for()
    }
}

/// A club group: usual golfer, spread between golfers (`*_psd`) and between shots (`*_ssd`).
#[derive(Debug, Clone, PartialEq)]
pub struct GroupModel {
    /// Radius of the arc near impact, m.
    pub radius_m: f64,
    /// Tilt of the plane, deg.
    pub plane_deg: f64,
    /// Loft of the club, deg.
    pub static_loft_deg: f64,
    /// Delivered loft less static loft of the usual golfer, deg; its spreads.
    pub loft_off_deg: f64,
    /// Between golfers.
    pub loft_psd: f64,
    /// Between shots.
    pub loft_ssd: f64,
    /// Low point, in; its spreads.
    pub low_point_in: f64,
    /// Between golfers.
    pub low_point_psd: f64,
    /// Between shots.
    pub low_point_ssd: f64,
    /// Height of the arc's bottom against the best height, mm; its spreads.
    pub height_bias_mm: f64,
    /// Between golfers.
    pub height_psd: f64,
    /// Between shots.
    pub height_ssd: f64,
    /// Share of poor swings.
    pub tail_share: f64,
    /// How much wider the height scatters in a poor swing.
    pub tail_factor: f64,
    /// Swing direction, deg; its spreads.
    pub swing_deg: f64,
    /// Between golfers.
    pub swing_psd: f64,
    /// Between shots.
    pub swing_ssd: f64,
    /// Face to target, deg; its spreads.
    pub face_deg: f64,
    /// Between golfers.
    pub face_psd: f64,
    /// Between shots.
    pub face_ssd: f64,
    /// Strike across the face, mm; its spreads.
    pub strike_mm: f64,
    /// Between golfers.
    pub strike_psd: f64,
    /// Between shots.
    pub strike_ssd: f64,
    /// Strike up the face between shots, mm.
    pub strike_up_ssd: f64,
    /// Usual height of the strike on the face, mm, and half the band that counts as the middle.
    pub strike_up_usual: f64,
    /// Half band of the middle, mm.
    pub strike_up_band: f64,
    /// Club speed, mph; its spreads in per cent.
    pub speed_mph: f64,
    /// Between golfers, per cent.
    pub speed_psd: f64,
    /// Between shots, per cent.
    pub speed_ssd: f64,
    /// Lowest strike on the face that counts as clean, mm.
    pub clean_from_mm: f64,
    /// How far a solid strike kicks the head down, deg.
    pub kick_deg: f64,
    /// Height of the tee, mm; 0 from the turf.
    pub tee_mm: f64,
    /// Factor on shifts of the low point.
    pub low_point_scale: f64,
    /// True for a club whose ball stands on a tee (the driver's geometry).
    pub teed: bool,
    /// Playable: finishes within this share of carry of the line ...
    pub playable_offline: f64,
    /// ... and is struck within this distance of the centre, mm.
    pub playable_strike_mm: f64,
}

/// The settings of the population, all elicited unless knowledge says otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Factor that turns "clearly present" into "at work in the complaint".
    pub prior_scale: f64,
    /// Factor on the strengths of links.
    pub link_scale: f64,
    /// Factor on the usual shares of mentions.
    pub usual_scale: f64,
    /// Share of the path's turn by the low point that golfers take out by re-aiming.
    pub reaim: f64,
    /// Share of what is left that the face follows.
    pub face_follows: f64,
    /// Height error that instinct takes out: mean and spread between golfers.
    pub regulation: (f64, f64),
    /// Height per lost radius and per raised hub, mm per mm.
    pub radius_to_height: f64,
    /// Height per raised hub.
    pub hub_to_height: f64,
    /// Height spread per mm of raw error rescued, per mm of rescue with the low point back, and
    /// with it forward.
    pub rescue: (f64, f64, f64),
    /// Shots cut more turf than this before the ball are fat, mm.
    pub fat_from_mm: f64,
    /// And than this slightly heavy, mm.
    pub heavy_from_mm: f64,
    /// Weight of a common symptom that was not mentioned.
    pub silence: f64,
    /// Weight of a symptom that was denied.
    pub denial: f64,
    /// Spread of stated frequencies in log odds, and how far people overstate.
    pub often: (f64, f64),
    /// How same-direction shifts add on each axis: the exponent of the p-norm, by axis.
    pub p_norm: Vec<(Axis, f64)>,
    /// Share of the evidence a symptom's mention keeps from causes that have nothing to do with
    /// its rate.
    pub floor: f64,
}

/// Everything the simulated golfers need.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    /// Club groups, by [`GroupId`].
    pub groups: Vec<GroupModel>,
    /// Causes, by [`CauseId`].
    pub causes: Vec<CauseModel>,
    /// Symptoms, by [`SymptomId`].
    pub symptoms: Vec<SymptomModel>,
    /// Effects, by [`EffectId`].
    pub effects: Vec<EffectModel>,
    /// Checks, by [`CheckId`].
    pub checks: Vec<CheckModel>,
    /// Which axis a quantity of the knowledge base is, if golfers have it, by [`QuantityId`]; with
    /// the usual error of a stated number and whether the number counts from the group's usual.
    pub measured: Vec<Option<(Axis, f64)>>,
    /// Settings.
    pub settings: Settings,
}

/// One piece of evidence about a golfer.
#[derive(Debug, Clone, PartialEq)]
pub enum Evidence {
    /// A symptom reported present (with how often, if said) or denied.
    Symptom {
        /// Which.
        symptom: SymptomId,
        /// With which club group; `None` if none was said.
        group: GroupId,
        /// False if denied.
        present: bool,
        /// Stated share of shots.
        often: Option<f64>,
    },
    /// The golfer was asked or spoke of a symptom and is not sure: it moves nothing, and its not
    /// being reported is no evidence either.
    Unsure {
        /// Which.
        symptom: SymptomId,
        /// With which club group.
        group: GroupId,
    },
    /// A measured number.
    Measured {
        /// Which quantity.
        quantity: QuantityId,
        /// With which club group.
        group: GroupId,
        /// The mean, with its error.
        value: Estimate,
    },
    /// A check answered yes or no.
    Answer {
        /// Which check.
        check: CheckId,
        /// The answer.
        yes: bool,
    },
    /// A cause known to be there or not (a stated lie; a coach's `suppose`).
    Known {
        /// Which.
        cause: CauseId,
        /// There or not.
        present: bool,
    },
    /// A self-diagnosis, or what the golfer's words sound like: a hint of the given weight that the
    /// cause is there; below 0 that it is not.
    Hint {
        /// Which.
        cause: CauseId,
        /// Weight, as a multiple of an ordinary check.
        weight: f64,
    },
    /// The golfer practised against a cause: it helped, or did not.
    Practised {
        /// Which.
        cause: CauseId,
        /// It helped.
        helped: bool,
    },
}

/// A change to a golfer for what-if.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// The cause is gone, with what it alone brought about.
    Without(CauseId),
    /// The cause is there, in those who do not have it as well: a slope, or a habit that comes on; and what
    /// it leads to, in as many of them as it does.
    With(CauseId),
    /// An axis is moved by an amount (ball back an inch: low point + 1 in).
    Move(Axis, Amount),
    /// The same golfers with a club of this group.
    Club(GroupId),
}

/// Effects by probability are named by this alias in results.
pub type EffectShare = (EffectId, f64);
