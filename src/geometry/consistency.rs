//! Do measured numbers of one shot go together?
//!
//! Takes what was measured (any subset) and gives the disagreements: which rule, which two numbers,
//! how badly. It never says which of the two is wrong; a slip of unit, sign or digit shows as a
//! disagreement of two numbers, and only the person who measured can tell.
//!
//! Invariants: a number that was not measured takes part in nothing; each rule reports once; the
//! same numbers give the same list in the order of [`rules`].
//! Does not know: wind (carry against ball speed is for still air), or which instrument measured
//! what: many give path and attack at the middle of the head, which for a driver differs from the
//! face by some 3 degrees of path and 1 of attack (common practice).

use super::GRAVITY;
use super::arc;
use super::impact::{Delivery, FaceShare, ball_speed_ratio, rolling_spin};
pub use super::measured::{Measured, MeasuredName};
use super::strike::StrikeClass;
use crate::quantity::{Amount, Angle, Length, Ratio, Speed};

/// How badly two numbers disagree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Outside the usual band: worth a look.
    Check,
    /// Against geometry or mechanics, whatever the swing.
    Impossible,
}

/// A rule about numbers that belong together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ConsistencyRule {
    /// Ball speed over club speed: impossible above 1.56, a check above 1.52, or below 0.85 when
    /// the loft is not known.
    SpeedRatio,
    /// That ratio against 1.5 cos of the spin loft: a check outside 0.85 to 1.10 of it.
    RatioSpinLoft,
    /// Launch lies between attack and dynamic loft: impossible below 0 or above 1.08 of the way.
    LaunchBetween,
    /// How far between: a check outside 0.55 to 0.95 of the way.
    LaunchShare,
    /// Start lies between path and face: a check outside 0.3 to 1.3 of the way, when they are 2
    /// degrees or more apart.
    DirectionBetween,
    /// Face against path as stated is face less path: impossible beyond 2.5 degrees.
    GapIsDifference,
    /// Spin loft as stated against face, path, loft and attack: a check beyond 1.5 degrees.
    SpinLoft,
    /// Low point ahead goes with an attack down: impossible with both on the wrong side by more
    /// than 0.5 inch and degree.
    LowPointSign,
    /// K = low point over sine of attack: a check outside 38 to 85 in, for attacks of a degree or
    /// more, unless half an inch and half a degree would put it right; also where the two are on the
    /// wrong sides, but not far enough for the rule before.
    LowPointSize,
    /// Path less swing direction against attack and plane: a check beyond 2.5 degrees.
    PathShift,
    /// Spin against a ball that rolls off the face: a check outside 0.3 to 1.7 of it.
    SpinSize,
    /// Axis tilt against face and path: a check beyond 10 degrees.
    Axis,
    /// Carry beyond v^2/g is impossible in still air.
    CarryVacuum,
    /// Carry in yards above 1.95 of the ball speed in mph: a check.
    CarrySize,
    /// Carry in yards above 3 times the club speed in mph: a check.
    CarryClubSpeed,
    /// Time below 1.8 of the root of 2 apex/g: a check.
    TimeApex,
    /// Landing flatter than the launch: a check.
    Descent,
    /// Total more than 3 yd below the carry: a check.
    Total,
    /// Dynamic loft not above the attack: a check.
    LoftAboveAttack,
    /// A divot that ends before it starts: impossible.
    DivotEnds,
}

/// Two measured numbers that do not go together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disagreement {
    /// By which rule.
    pub rule: ConsistencyRule,
    /// How badly.
    pub level: Level,
    /// Which two numbers.
    pub between: (MeasuredName, MeasuredName),
    /// What they were.
    pub values: (Amount, Amount),
}

impl Disagreement {
    /// The number of this name, if it is one of the two.
    pub fn value(&self, name: MeasuredName) -> Option<Amount> {
        if name == self.between.0 {
            Some(self.values.0)
        } else if name == self.between.1 {
            Some(self.values.1)
        } else {
            None
        }
    }
}

/// One rule as data: the two numbers it is about and the test.
#[derive(Debug, Clone, Copy)]
pub struct Rule {
    /// Its name.
    pub rule: ConsistencyRule,
    /// The two numbers that it holds against each other.
    pub between: (MeasuredName, MeasuredName),
    test: fn(&Measured) -> Option<Level>,
}

/// Every rule, in a fixed order. All are common practice except where mechanics decides.
pub fn rules() -> &'static [Rule] {
    use ConsistencyRule as C;
    use MeasuredName as N;
    const RULES: &[Rule] = &[
        Rule {
            rule: C::SpeedRatio,
            between: (N::ClubSpeed, N::BallSpeed),
            test: speed_ratio,
        },
        Rule {
            rule: C::RatioSpinLoft,
            between: (N::ClubSpeed, N::BallSpeed),
            test: ratio_spin_loft,
        },
        Rule {
            rule: C::LaunchBetween,
            between: (N::Launch, N::DynamicLoft),
            test: launch_between,
        },
        Rule {
            rule: C::LaunchShare,
            between: (N::Launch, N::DynamicLoft),
            test: launch_share,
        },
        Rule {
            rule: C::DirectionBetween,
            between: (N::Start, N::Face),
            test: direction_between,
        },
        Rule {
            rule: C::GapIsDifference,
            between: (N::FaceToPath, N::Face),
            test: gap_is_difference,
        },
        Rule {
            rule: C::SpinLoft,
            between: (N::SpinLoft, N::DynamicLoft),
            test: spin_loft,
        },
        Rule {
            rule: C::LowPointSign,
            between: (N::LowPoint, N::Attack),
            test: low_point_sign,
        },
        Rule {
            rule: C::LowPointSize,
            between: (N::LowPoint, N::Attack),
            test: low_point_size,
        },
        Rule {
            rule: C::PathShift,
            between: (N::Path, N::SwingDirection),
            test: path_shift,
        },
        Rule {
            rule: C::SpinSize,
            between: (N::Spin, N::ClubSpeed),
            test: spin_size,
        },
        Rule {
            rule: C::Axis,
            between: (N::AxisTilt, N::Face),
            test: axis,
        },
        Rule {
            rule: C::CarryVacuum,
            between: (N::BallSpeed, N::Carry),
            test: carry_vacuum,
        },
        Rule {
            rule: C::CarrySize,
            between: (N::BallSpeed, N::Carry),
            test: carry_size,
        },
        Rule {
            rule: C::CarryClubSpeed,
            between: (N::ClubSpeed, N::Carry),
            test: carry_club_speed,
        },
        Rule {
            rule: C::TimeApex,
            between: (N::Time, N::Apex),
            test: time_apex,
        },
        Rule {
            rule: C::Descent,
            between: (N::Launch, N::Landing),
            test: descent,
        },
        Rule {
            rule: C::Total,
            between: (N::Carry, N::Total),
            test: total,
        },
        Rule {
            rule: C::LoftAboveAttack,
            between: (N::DynamicLoft, N::Attack),
            test: loft_above_attack,
        },
        Rule {
            rule: C::DivotEnds,
            between: (N::DivotStart, N::DivotEnd),
            test: divot_ends,
        },
    ];
    RULES
}

/// Every disagreement among what was measured.
pub fn disagreements(measured: &Measured) -> Vec<Disagreement> {
    rules()
        .iter()
        .filter_map(|rule| {
            let values = (measured.get(rule.between.0)?, measured.get(rule.between.1)?);
            let level = (rule.test)(measured)?;
            Some(Disagreement {
                rule: rule.rule,
                level,
                between: rule.between,
                values,
            })
        })
        .collect()
}

/// A divot that starts behind the ball beside a strike that did not touch ground first; how far
/// behind. The strike is a word, not a number, so it is no [`Disagreement`] of two numbers.
pub fn divot_against_strike(measured: &Measured) -> Option<(StrikeClass, Length)> {
    let start = measured.divot_start.filter(|s| s.is_finite())?;
    let strike = measured.strike?;
    let before_ball = matches!(strike, StrikeClass::SlightlyHeavy | StrikeClass::Fat);
    (!before_ball && start < Length::inches(-0.5)).then_some((strike, -start))
}

/// A single number outside its usual range (common practice).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unusual {
    /// Which number.
    pub name: MeasuredName,
    /// What it was.
    pub value: Amount,
    /// Least usual value.
    pub low: Amount,
    /// Greatest usual value.
    pub high: Amount,
}

/// Numbers that alone are worth a look: attack -10 to +8, path and face within 15 degrees, club
/// speed 40 to 140 mph, spin within the club's usual range if it was given.
pub fn unusual(measured: &Measured) -> Vec<Unusual> {
    let degrees = |low, high| (Angle::degrees(low).into(), Angle::degrees(high).into());
    let mut ranges: Vec<(MeasuredName, (Amount, Amount))> = vec![
        (MeasuredName::Attack, degrees(-10.0, 8.0)),
        (MeasuredName::Path, degrees(-15.0, 15.0)),
        (MeasuredName::Face, degrees(-15.0, 15.0)),
        (
            MeasuredName::ClubSpeed,
            (Speed::mph(40.0).into(), Speed::mph(140.0).into()),
        ),
    ];
    if let Some((low, high)) = measured.usual_spin {
        ranges.push((MeasuredName::Spin, (low.into(), high.into())));
    }
    ranges
        .into_iter()
        .filter_map(|(name, (low, high))| {
            let value = measured.get(name)?;
            let outside = value.base() < low.base() || value.base() > high.base();
            outside.then_some(Unusual {
                name,
                value,
                low,
                high,
            })
        })
        .collect()
}

impl Measured {
    fn ratio(&self) -> Option<f64> {
        let club = self.club_speed.filter(|s| s.base() > 0.0)?;
        Some(self.ball_speed? / club)
    }

    /// Spin loft from face, path, loft and attack, square where face or path is missing.
    fn worked_spin_loft(&self) -> Option<Angle> {
        let both = self.face.zip(self.path);
        let (face, path) = both.unwrap_or((Angle::ZERO, Angle::ZERO));
        Delivery {
            face,
            path,
            dynamic_loft: self.dynamic_loft?,
            attack: self.attack?,
        }
        .spin_loft()
        .ok()
    }

    fn best_spin_loft(&self) -> Option<Angle> {
        self.worked_spin_loft().or(self.spin_loft)
    }

    fn launch_way(&self) -> Option<f64> {
        let (loft, attack) = (self.dynamic_loft?, self.attack?);
        let whole = loft - attack;
        let way = (self.launch? - attack) / whole;
        (whole > Angle::degrees(1.0)).then_some(way)
    }
}

fn when(level: Level, holds: bool) -> Option<Level> {
    holds.then_some(level)
}

fn speed_ratio(m: &Measured) -> Option<Level> {
    let ratio = m.ratio()?;
    let lofted = m.best_spin_loft().is_some() || m.dynamic_loft.is_some();
    if ratio > 1.56 {
        Some(Level::Impossible)
    } else {
        when(Level::Check, ratio > 1.52 || (ratio < 0.85 && !lofted))
    }
}

fn ratio_spin_loft(m: &Measured) -> Option<Level> {
    let usual: Ratio = ball_speed_ratio(m.best_spin_loft()?).ok()?;
    let of_usual = m.ratio()? / usual.base();
    when(Level::Check, !(0.85..=1.10).contains(&of_usual))
}

fn launch_between(m: &Measured) -> Option<Level> {
    when(Level::Impossible, !(0.0..=1.08).contains(&m.launch_way()?))
}

fn launch_share(m: &Measured) -> Option<Level> {
    let way = m.launch_way()?;
    when(
        Level::Check,
        (0.0..=1.08).contains(&way) && !(0.55..=0.95).contains(&way),
    )
}

fn direction_between(m: &Measured) -> Option<Level> {
    let (face, path) = (m.face?, m.path?);
    let apart = face - path;
    let way = (m.start? - path) / apart;
    when(
        Level::Check,
        apart.abs() >= Angle::degrees(2.0) && !(0.3..=1.3).contains(&way),
    )
}

fn gap_is_difference(m: &Measured) -> Option<Level> {
    let off = (m.face_to_path? - (m.face? - m.path?)).abs();
    when(Level::Impossible, off > Angle::degrees(2.5))
}

fn spin_loft(m: &Measured) -> Option<Level> {
    let off = (m.spin_loft? - m.worked_spin_loft()?).abs();
    when(Level::Check, off > Angle::degrees(1.5))
}

fn low_point_sign(m: &Measured) -> Option<Level> {
    let (s, a) = (m.low_point?.as_inches(), m.attack?.as_degrees());
    when(
        Level::Impossible,
        s * a > 0.0 && s.abs() > 0.5 && a.abs() > 0.5,
    )
}

fn low_point_size(m: &Measured) -> Option<Level> {
    /// How far off each of the two may be, inches and degrees: less than either is usually known to.
    const SLACK: f64 = 0.5;
    let (s, a) = (m.low_point?.as_inches(), m.attack?.as_degrees());
    let down = |low_point: f64, k: f64| (low_point / k).clamp(-1.0, 1.0).asin().to_degrees();
    // The least and the most that the club may be going down there.
    let over = |low_point: f64| {
        let (near, far) = (down(low_point, 85.0), down(low_point, 38.0));
        (near.min(far), near.max(far))
    };
    let (least, most) = (over(s - SLACK).0 - SLACK, over(s + SLACK).1 + SLACK);
    when(
        Level::Check,
        a.abs() >= 1.0 && !(least..=most).contains(&-a) && low_point_sign(m).is_none(),
    )
}

fn path_shift(m: &Measured) -> Option<Level> {
    let worked = arc::path_shift_from_attack(m.attack?, m.plane?).ok()?;
    let off = (m.path? - m.swing_direction? - worked).abs();
    when(Level::Check, off > Angle::degrees(2.5))
}

fn spin_size(m: &Measured) -> Option<Level> {
    let rolling = rolling_spin(m.club_speed?, m.best_spin_loft()?).ok()?;
    let of_rolling = m.spin? / rolling;
    when(
        Level::Check,
        of_rolling.is_finite() && !(0.3..=1.7).contains(&of_rolling),
    )
}

fn axis(m: &Measured) -> Option<Level> {
    let delivery = Delivery {
        face: m.face?,
        path: m.path?,
        dynamic_loft: m.dynamic_loft?,
        attack: m.attack?,
    };
    let worked = delivery.departure(FaceShare::Fitted).ok()?.axis_tilt;
    when(
        Level::Check,
        (m.axis_tilt? - worked).abs() > Angle::degrees(10.0),
    )
}

fn carry_vacuum(m: &Measured) -> Option<Level> {
    let v = m.ball_speed?.base();
    when(Level::Impossible, m.carry?.base() > v * v / GRAVITY)
}

fn carry_size(m: &Measured) -> Option<Level> {
    when(
        Level::Check,
        m.carry?.as_yards() > 1.95 * m.ball_speed?.as_mph(),
    )
}

/// 1.56 times the club speed and 1.95 yd for each mph of that.
fn carry_club_speed(m: &Measured) -> Option<Level> {
    when(
        Level::Check,
        m.carry?.as_yards() > 3.0 * m.club_speed?.as_mph(),
    )
}

fn time_apex(m: &Measured) -> Option<Level> {
    let apex = m.apex?.base().max(0.0);
    when(
        Level::Check,
        m.time?.base() < 1.8 * (2.0 * apex / GRAVITY).sqrt(),
    )
}

fn descent(m: &Measured) -> Option<Level> {
    when(Level::Check, m.landing? < m.launch?)
}

fn total(m: &Measured) -> Option<Level> {
    when(Level::Check, m.total? < m.carry? - Length::yards(3.0))
}

fn loft_above_attack(m: &Measured) -> Option<Level> {
    when(Level::Check, m.dynamic_loft? <= m.attack?)
}

fn divot_ends(m: &Measured) -> Option<Level> {
    when(Level::Impossible, m.divot_end? < m.divot_start?)
}
