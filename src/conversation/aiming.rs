//! Which measured numbers may show that practice against a cause worked?
//!
//! Takes the aims that the knowledge has for a cause and the evidence of a diagnosis; keeps those
//! that the complaint is about. A golfer who tops the ball is not helped by a target across the face,
//! though the cause moves the strike there too. Where nothing told is about any number, all are kept;
//! where no aim is about the complaint, none is shown. Knows quantities and events by name and no
//! symptom or cause.

use super::arc;
use crate::causes::model::{Axis, Event, Evidence, Seen};
use crate::diagnosis::{Diagnosis, Pattern};
use crate::knowledge::KnowledgeBase;
use crate::quantity::Amount;
use crate::vocabulary::{CauseId, QuantityId};

/// What a number or a miss is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Concern {
    /// Where and how deep the club meets the ground, and how high on the face the ball.
    Depth,
    /// Where the ball starts and how it curves.
    Line,
    /// Heel and toe.
    Across,
    /// How high the ball flies.
    Height,
}

/// The aims for this cause that the complaint is about.
pub(super) fn shown_aim(
    base: &KnowledgeBase,
    diagnosis: &Diagnosis,
    pattern: &Pattern,
    cause: CauseId,
) -> Vec<(QuantityId, Amount, Amount)> {
    let mut aims = arc::aim(base, pattern, cause);
    let about = complaint(base, diagnosis);
    if !about.is_empty() {
        aims.retain(|(q, _, _)| {
            let of = of_quantity(&base.quantity(*q).id);
            of.iter().any(|c| about.contains(c))
        });
    }
    aims
}

/// What was told is about.
fn complaint(base: &KnowledgeBase, diagnosis: &Diagnosis) -> Vec<Concern> {
    let mut about = Vec::new();
    for (_, evidence) in &diagnosis.evidence {
        match evidence {
            Evidence::Symptom {
                symptom,
                group,
                present: true,
                ..
            } if *group == diagnosis.judgement.focus => {
                let model = base.model.symptoms.get(symptom.index());
                if let Some(seen) = model.and_then(|m| m.seen.as_ref()) {
                    of_seen(seen, &mut about);
                }
            }
            Evidence::Measured {
                quantity, group, ..
            } if *group == diagnosis.judgement.focus => {
                about.extend_from_slice(of_quantity(&base.quantity(*quantity).id));
            }
            _ => {}
        }
    }
    about
}

fn of_seen(seen: &Seen, about: &mut Vec<Concern>) {
    let mut add = |list: &[(Event, f64)]| {
        for (event, _) in list {
            about.extend_from_slice(of_event(*event));
        }
    };
    match seen {
        Seen::Events(list) => add(list),
        Seen::Both(a, b) | Seen::More(a, b) => {
            add(a);
            add(b);
        }
        Seen::OneSided(a, b) => add(&[(*a, 1.0), (*b, 1.0)]),
        Seen::Scaled(event, ..) | Seen::Power(event, _) => add(&[(*event, 1.0)]),
        Seen::Beyond { axis, .. } => about.extend_from_slice(of_axis(*axis)),
        Seen::Blend(parts) => {
            for (_, part) in parts {
                of_seen(part, about);
            }
        }
    }
}

const fn of_event(event: Event) -> &'static [Concern] {
    match event {
        Event::Whiff
        | Event::Topped
        | Event::Bladed
        | Event::Thin
        | Event::SlightlyHeavy
        | Event::Fat
        | Event::TurfBefore
        | Event::MarkFarBehind
        | Event::MarkBehind
        | Event::MarkLevel
        | Event::MarkAhead
        | Event::MarkFarAhead
        | Event::NoMark
        | Event::DeepMark
        | Event::ShallowMark
        | Event::HiddenByMat
        | Event::Skidded
        | Event::Stuck
        | Event::Stabbed
        | Event::DropKick
        | Event::ScuffBehindTee
        | Event::TeeStanding
        | Event::Sting
        | Event::MarkStartSpread => &[Concern::Depth],
        Event::Sky
        | Event::CrownMark
        | Event::HighFace
        | Event::LowFace
        | Event::Worm
        | Event::ShortByMishit => &[Concern::Depth, Concern::Height],
        Event::Heel | Event::Toe | Event::Shank => &[Concern::Across],
        Event::StartsPush
        | Event::StartsPull
        | Event::CurvePushBig
        | Event::CurvePushMild
        | Event::CurvePullBig
        | Event::CurvePullMild
        | Event::PushStraight
        | Event::PullStraight
        | Event::PushSlice
        | Event::PullFade
        | Event::OnlineSlice
        | Event::PushHook
        | Event::OnlineHook
        | Event::PullHook
        | Event::MissPush
        | Event::MissPull => &[Concern::Line],
        Event::TooLow
        | Event::TooHigh
        | Event::Balloons
        | Event::Dives
        | Event::Flyer
        | Event::LaunchSpread => &[Concern::Height],
        Event::Clean
        | Event::CleanOffTee
        | Event::Centre
        | Event::Playable
        | Event::CarrySpread
        | Event::SolidCarry => &[],
    }
}

const fn of_axis(axis: Axis) -> &'static [Concern] {
    match axis {
        Axis::LowPoint
        | Axis::ArcHeight
        | Axis::HubHeight
        | Axis::RadiusLost
        | Axis::StrikeUp
        | Axis::LowPointSpread
        | Axis::ArcHeightSpread => &[Concern::Depth],
        Axis::SwingDirection
        | Axis::FaceAngle
        | Axis::Aim
        | Axis::SwingDirectionSpread
        | Axis::FaceAngleSpread => &[Concern::Line],
        Axis::StrikeAcross => &[Concern::Across],
        Axis::LieAtImpact => &[Concern::Across, Concern::Line],
        Axis::DynamicLoft | Axis::SpinLoft => &[Concern::Height],
        _ => &[],
    }
}

fn of_quantity(id: &str) -> &'static [Concern] {
    match id {
        "low_point" | "turf_entry" | "mark_end" | "mark_length" | "mark_depth" | "cut_depth"
        | "brush_start" | "practice_low_point" | "arc_height" | "ball_position" => {
            &[Concern::Depth]
        }
        "attack_angle" | "strike_up" | "handle_lean" | "tee_height" => {
            &[Concern::Depth, Concern::Height]
        }
        "club_path" | "path_shift" | "swing_direction" | "face_angle" | "face_to_path"
        | "start_direction" | "axis_tilt" | "side" => &[Concern::Line],
        "lie_at_impact" | "lie_turn" | "toe_down" => &[Concern::Across, Concern::Line],
        "strike_across" => &[Concern::Across],
        "dynamic_loft" | "spin_loft" | "launch_angle" | "apex" | "spin_rate" | "landing_angle" => {
            &[Concern::Height]
        }
        _ => &[],
    }
}
