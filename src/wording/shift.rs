//! How a cause moves the club, in words: `low point 2.8 in back (give or take 1.4)`.
//!
//! Takes shifts as the model has them and says them with the direction words of each axis. Knows
//! no cause.

use super::number::{listed, rounded};
use crate::causes::model::{Axis, Shift};
use crate::knowledge::KnowledgeBase;
use crate::vocabulary::CauseId;

#[allow(
    clippy::match_same_arms,
    reason = "one line for each axis; some share their words"
)]
fn axis_text(axis: Axis, value: f64, metric: bool) -> String {
    let name = Axis::ALL
        .iter()
        .find(|(a, _, _, _)| *a == axis)
        .map_or("", |(_, name, _, _)| *name);
    let (scale, unit) = axis_unit(axis, metric);
    let size = rounded(value.abs() * scale, 1);
    let unit = if unit.is_empty() {
        String::new()
    } else {
        format!(" {unit}")
    };
    let way = match axis {
        Axis::LowPoint => {
            return format!(
                "low point {size}{unit} {}",
                if value > 0.0 { "ahead" } else { "back" }
            );
        }
        Axis::FrictionLost | Axis::Response => {
            let share = rounded(value.abs() * 100.0, 0);
            return match axis {
                Axis::FrictionLost => format!("grip of the face on the ball {share} % less"),
                _ => format!("response of ball or face {share} % off the usual"),
            };
        }
        Axis::ArcHeight | Axis::HubHeight | Axis::EdgeAtBall | Axis::Rescued => {
            if value > 0.0 {
                "up"
            } else {
                "down"
            }
        }
        Axis::DynamicLoft | Axis::DeliveredLoft => {
            return format!(
                "loft {size}{unit} {}",
                if value > 0.0 { "more" } else { "less" }
            );
        }
        Axis::SwingDirection | Axis::ClubPath | Axis::Aim => {
            if value > 0.0 {
                "to the push side"
            } else {
                "to the pull side"
            }
        }
        Axis::FaceAngle | Axis::FaceToPath => {
            if value > 0.0 {
                "open"
            } else {
                "closed"
            }
        }
        Axis::StrikeAcross => {
            if value > 0.0 {
                "toward the toe"
            } else {
                "toward the heel"
            }
        }
        Axis::StrikeUp | Axis::StrikeUpDelivered => {
            if value > 0.0 {
                "up the face"
            } else {
                "down the face"
            }
        }
        Axis::Plane => {
            if value > 0.0 {
                "steeper"
            } else {
                "flatter"
            }
        }
        Axis::LieAtImpact => {
            if value > 0.0 {
                "toe up"
            } else {
                "toe down"
            }
        }
        Axis::RadiusLost => {
            if value > 0.0 {
                "shorter"
            } else {
                "longer"
            }
        }
        Axis::AttackAngle => {
            if value > 0.0 {
                "up"
            } else {
                "down"
            }
        }
        Axis::ClubSpeed
        | Axis::Bounce
        | Axis::GrassTolerance
        | Axis::SpinLoft
        | Axis::SpinLoftDelivered
        | Axis::LowPointSpread
        | Axis::ArcHeightSpread
        | Axis::SwingDirectionSpread
        | Axis::FaceAngleSpread
        | Axis::StrikeAcrossSpread
        | Axis::ClubSpeedSpread
        | Axis::TurfBefore
        | Axis::OnTheNeck
        | Axis::OwnHeightSpread => {
            if value > 0.0 {
                "more"
            } else {
                "less"
            }
        }
    };
    let name = match axis {
        Axis::RadiusLost => "reach of arms and club".to_owned(),
        Axis::HubHeight => "centre of the swing".to_owned(),
        Axis::GrassTolerance => "room that the grass leaves".to_owned(),
        Axis::StrikeUp | Axis::StrikeUpDelivered => "strike".to_owned(),
        Axis::StrikeAcross => "strike across the face".to_owned(),
        _ => name.replace('_', " "),
    };
    format!("{name} {size}{unit} {way}")
}

/// The unit an axis is shown in, and how many of it its own unit is.
fn axis_unit(axis: Axis, metric: bool) -> (f64, &'static str) {
    let own = Axis::ALL
        .iter()
        .find(|(a, _, _, _)| *a == axis)
        .map_or("", |(_, _, unit, _)| *unit);
    match own {
        "in" if metric => (2.54, "cm"),
        "mph" if metric => (1.609_344, "km/h"),
        own => (1.0, own),
    }
}

pub(super) fn shifts_text(shifts: &[Shift], metric: bool) -> String {
    let mut sorted: Vec<&Shift> = shifts.iter().filter(|s| s.mean.abs() > 0.0).collect();
    sorted.sort_by_key(|a| a.axis);
    let texts: Vec<String> = sorted
        .iter()
        .take(5)
        .map(|s| {
            let give = if s.sd > 0.0 {
                format!(
                    " (give or take {})",
                    rounded(s.sd * axis_unit(s.axis, metric).0, 1)
                )
            } else {
                String::new()
            };
            format!("{}{give}", axis_text(s.axis, s.mean, metric))
        })
        .collect();
    listed(&texts)
}

/// How a cause moves the club with a group, in words.
pub(super) fn shifts_of(
    base: &KnowledgeBase,
    cause: CauseId,
    group: crate::vocabulary::GroupId,
) -> String {
    base.model
        .causes
        .get(cause.index())
        .and_then(|c| c.shifts.get(group.index()))
        .map_or_else(String::new, |shifts| shifts_text(shifts, false))
}
