//! What a learner sees who watches ten shots, or has them measured.
//!
//! Takes a pupil and gives shots drawn from the pupil's own numbers, and what a careful coach would
//! note of them as findings: each symptom that is a count of events, with its share of the ten. The
//! measured numbers are means of ten shots, off by half the error of a typed number; their stated
//! error holds the golfer's own scatter as well. On some days one of them is plainly wrong. A shot
//! agrees with itself: what is met thin is not met high, and took no turf before the ball. Knows
//! nothing of causes.

use super::OF_SHOTS;
use super::chance::Chance;
use super::draw::{Pupil, Stand};
use crate::causes::model::{Axis, Change, Event, Seen};
use crate::causes::{NOT_OF_ONE_SHOT, Shot};
use crate::diagnosis::{Finding, Mind, What};
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Amount, Estimate};
use crate::vocabulary::{QuantityId, SymptomId};

/// How many shots are hit at a time.
pub(super) const TEN: usize = 10;
/// Share of shots from which something seen is noted.
const NOTED: f64 = 0.2;
/// What this share of golfers without a fault report is noted as missing if nothing of it was seen.
const MISSED: f64 = 0.15;
/// Poor swings of a bad day against an ordinary one (elicited).
const BAD_DAY: f64 = 2.0;
/// Standard deviations that hold 95 in a hundred: of a known error, and of one estimated from ten
/// shots (Student's t with nine degrees of freedom).
const HOLDS: (f64, f64) = (1.96, 2.262);
/// Share of a typed number's error that a mean of ten measured shots has.
const INSTRUMENT: f64 = 0.5;
/// Axes that are measured, in the order shown; the first two are those that may be wrong, because
/// each can be checked against the other.
const MEASURED: [Axis; 6] = [
    Axis::LowPoint,
    Axis::AttackAngle,
    Axis::ClubPath,
    Axis::FaceAngle,
    Axis::DeliveredLoft,
    Axis::StrikeAcross,
];

/// Ten shots.
#[derive(Debug, Clone, PartialEq)]
pub struct Ten {
    /// The shots.
    pub shots: Vec<Shot>,
    /// What a careful coach notes of them.
    pub findings: Vec<Finding>,
}

/// A measured number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Read {
    /// Which.
    pub quantity: QuantityId,
    /// The mean of ten shots, as the device gives it.
    pub value: Amount,
    /// Its error, one standard deviation: the device's, and what a mean of ten shots that scatter
    /// may be off.
    pub error: Amount,
    /// Half of the range about the value that holds this golfer's average in 95 of a hundred such
    /// measurements.
    pub range: Amount,
    /// The mean of the same ten shots without any error of the device. Not for the learner's eyes
    /// before a commitment.
    pub hit: Amount,
}

/// The events a symptom counts, if it is a plain count of events.
pub(super) fn events_of(base: &KnowledgeBase, symptom: SymptomId) -> Option<Vec<Event>> {
    match &base.model.symptoms.get(symptom.index())?.seen {
        Some(Seen::Events(terms)) => terms
            .iter()
            .map(|(e, w)| ((w - 1.0).abs() < 0.01 && *e < Event::LaunchSpread).then_some(*e))
            .collect(),
        _ => None,
    }
}

/// The quantities that are measured, in the order shown.
pub(super) fn quantities(base: &KnowledgeBase) -> Vec<QuantityId> {
    MEASURED
        .iter()
        .filter_map(|axis| {
            base.model
                .measured
                .iter()
                .position(|m| m.is_some_and(|(a, _)| a == *axis))
                .map(QuantityId::from_index)
        })
        .collect()
}

/// Ten shots with a club after some changes; `turn` tells one ten from the next.
pub(super) fn ten(
    mind: &mut Mind,
    pupil: &Pupil,
    stand: &Stand,
    changes: &[Change],
    turn: u64,
) -> Ten {
    let mut chance = Chance::new(pupil.seed, 100 + turn);
    let poor = if pupil.bad_day { BAD_DAY } else { 1.0 };
    let mut shots = mind.simulation().shots_of(
        (&pupil.lineup, pupil.number),
        stand.group,
        changes,
        (TEN, poor),
        || chance.unit(),
    );
    shots.iter_mut().for_each(agree);
    let base = mind.base();
    let mut findings = Vec::new();
    for index in 0..base.symptoms.len() {
        let symptom = SymptomId::from_index(index);
        let seen = OF_SHOTS.contains(&base.symptom(symptom).kind.as_str());
        let Some(model) = base.model.symptoms.get(index) else {
            continue;
        };
        let visible = model.groups.is_empty() || model.groups.contains(&stand.group);
        let Some(events) = events_of(base, symptom).filter(|_| seen && visible) else {
            continue;
        };
        if events.iter().any(|e| NOT_OF_ONE_SHOT.contains(e)) {
            continue;
        }
        let count = shots
            .iter()
            .filter(|s| events.iter().any(|e| s.shows(*e)))
            .count();
        let share = count as f64 / shots.len().max(1) as f64;
        let present = if share >= NOTED {
            true
        } else if count == 0 && model.usual >= MISSED {
            false
        } else {
            continue;
        };
        findings.push(Finding {
            pattern: pupil.pattern(stand),
            what: What::Symptom {
                symptom,
                present: Some(present),
                often: present.then_some(share),
            },
            same_words_as: None,
        });
    }
    Ten { shots, findings }
}

/// Marks that begin before the ball.
const BEFORE: [Event; 2] = [Event::MarkFarBehind, Event::MarkBehind];
/// Strikes by a club that passed over the turf or skidded on it.
const OVER: [Event; 3] = [Event::Whiff, Event::Topped, Event::Thin];

/// A ball off the neck flies away to the push side, whatever the face would have done to it.
const OF_THE_FACE: [Event; 4] = [
    Event::CurvePullBig,
    Event::CurvePullMild,
    Event::HighFace,
    Event::LowFace,
];

/// Takes out of a shot what its strike rules out: the events of one shot are drawn each for itself.
/// A club that meets the ball thin, tops or misses it cut no turf before it, whatever the undisturbed
/// arc would have done, and met the ball low on the face or nowhere. A club that has cut deep turf before
/// the ball is fat before it is anything else.
fn agree(shot: &mut Shot) {
    if shot.shows(Event::Shank) {
        if shot.shows(Event::Fat) {
            shot.events.retain(|e| *e != Event::Shank);
        } else {
            shot.events.retain(|e| !OF_THE_FACE.contains(e));
        }
    }
    if !shot.shows(Event::Thin) {
        shot.events.retain(|e| *e != Event::Bladed);
    }
    if !OVER.iter().any(|e| shot.shows(*e)) {
        return;
    }
    if BEFORE.iter().any(|e| shot.shows(*e)) {
        shot.events.push(Event::NoMark);
    }
    let ruled_out = |e: &Event| BEFORE.contains(e) || *e == Event::HighFace;
    shot.events.retain(|e| !ruled_out(e));
    shot.turf_entry = None;
}

/// The measured numbers of a club: means of ten shots with the device's error; of ten for themselves,
/// or of those that were watched at a turn.
pub(super) fn measured(mind: &mut Mind, pupil: &Pupil, stand: &Stand, turn: u64) -> Vec<Read> {
    let ten = ten(mind, pupil, stand, &[], turn);
    let base = mind.base();
    let mut chance = Chance::new(pupil.seed, 4);
    quantities(base)
        .into_iter()
        .filter_map(|quantity| {
            let (axis, _) = (*base.model.measured.get(quantity.index())?)?;
            let values: Vec<f64> = ten
                .shots
                .iter()
                .filter_map(|s| s.axes.iter().find(|(a, _)| *a == axis))
                .map(|(_, amount)| amount.base())
                .collect();
            let usual = base.quantity(quantity).usual_error;
            let error = INSTRUMENT * usual.base();
            // Twelve units less six: near enough to a normal score.
            let score = (0..12).map(|_| chance.unit()).sum::<f64>() - 6.0;
            let n = values.len().max(2) as f64;
            let hit = values.iter().sum::<f64>() / values.len().max(1) as f64;
            let scatter = values.iter().map(|v| (v - hit).powi(2)).sum::<f64>() / (n - 1.0);
            let mut mean = hit + error * score;
            if let Some((wrong, by)) = pupil.mistaken
                && wrong == quantity
            {
                mean += by * usual.base();
            }
            let of_ten = (scatter / n).sqrt();
            let range = (HOLDS.0 * error).hypot(HOLDS.1 * of_ten);
            Some(Read {
                quantity,
                range: Amount::from_base(range, usual.dimension()).ok()?,
                value: Amount::from_base(mean, usual.dimension()).ok()?,
                error: Amount::from_base(error.hypot(of_ten), usual.dimension()).ok()?,
                hit: Amount::from_base(hit, usual.dimension()).ok()?,
            })
        })
        .collect()
}

/// The numbers as findings.
pub(super) fn as_findings(pupil: &Pupil, stand: &Stand, reads: &[Read]) -> Vec<Finding> {
    reads
        .iter()
        .filter_map(|read| {
            let value = read.value;
            Some(Finding {
                pattern: pupil.pattern(stand),
                what: What::Number {
                    quantity: read.quantity,
                    value: Estimate::from_base(value.base(), read.error.base(), value.dimension())
                        .ok()?,
                    shots: TEN as u16,
                },
                same_words_as: None,
            })
        })
        .collect()
}
