//! The learner's commitment beside the truth and beside the program.
//!
//! Takes a pupil, what the learner saw and what they committed to. Gives: what was true and what each
//! cause costs this golfer; the program's ranking from exactly what the learner saw; the step after
//! which the program left the learner's first cause for good, and the finding that weighed most
//! there; what each question was worth against the best one at that moment; what the prescription
//! would have done to this very golfer. Every number is computed, none is looked up. Makes no
//! sentence.

use std::sync::Arc;

use super::desk::{Answer, Desk, Done, EYES, Way, answer};
use super::draw::{AT_WORK, Pupil};
use super::pieces::{Piece, weighed};
use super::score::{Commitment, Score, points};
use super::watch::quantities;
use crate::causes::model::{Axis, Change};
use crate::causes::{CheckValue, Lineup, Simulation};
use crate::diagnosis::{Diagnosis, Mind, can_be_looked_at, diagnose};
use crate::knowledge::KnowledgeBase;
use crate::quantity::Amount;
use crate::vocabulary::{CauseId, CheckId, EffectId, GroupId, QuantityId};

/// Shots in a hundred gained if something were gone.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Gain {
    /// Clean strikes.
    pub clean: f64,
    /// Playable shots: clean, and not far off line.
    pub playable: f64,
}

impl Gain {
    /// The larger of the two: what the golfer notices.
    pub fn most(self) -> f64 {
        self.clean.max(self.playable)
    }
}

/// A cause of this golfer and what it costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worth {
    /// Which.
    pub cause: CauseId,
    /// What its going would gain this golfer, with what follows from it alone.
    pub gain: Gain,
}

impl Worth {
    /// Whether it costs enough to be called at work.
    pub fn at_work(&self) -> bool {
        self.gain.most() >= AT_WORK
    }
}

/// What each cause of a golfer costs with a club, the costliest first; lies are left out.
pub(super) fn worths(
    simulation: &Simulation,
    lineup: &Lineup,
    number: u64,
    group: GroupId,
) -> Vec<Worth> {
    let now = simulation.play_of(lineup, number, group, &[]);
    let mut out: Vec<Worth> = lineup
        .causes(number)
        .iter()
        .filter(|c| !simulation.is_condition(**c))
        .map(|&cause| {
            let then = simulation.play_of(lineup, number, group, &[Change::Without(cause)]);
            Worth {
                cause,
                gain: Gain {
                    clean: then.0 - now.0,
                    playable: then.1 - now.1,
                },
            }
        })
        .collect();
    out.sort_by(|a, b| {
        b.gain
            .most()
            .total_cmp(&a.gain.most())
            .then(a.cause.cmp(&b.cause))
    });
    out
}

/// Where the learner and the program parted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turned {
    /// The step from which on the program's leader stayed ahead; 0 is the complaint.
    pub step: usize,
    /// The learner's first cause.
    pub from: CauseId,
    /// The program's first cause.
    pub to: CauseId,
    /// The piece of evidence that speaks most for the one against the other.
    pub by: Piece,
    /// By how much, in decibans.
    pub decibans: f64,
}

/// A question and the best one at that moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// The step.
    pub step: usize,
    /// The check put.
    pub check: CheckId,
    /// Its worth for a minute: shots in a hundred, knowledge counted in. Of a look at what the
    /// golfer had answered, what it is worth to find that answer wrong, at the chance of that.
    pub worth: f64,
    /// The best check then, with its worth; none if no answer would have changed enough.
    pub best: Option<(CheckId, f64)>,
    /// A look that found the golfer's answer wrong.
    pub overturned: bool,
}

/// The measured number that was wrong, beside the shots it was taken of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WrongNumber {
    /// As the device gave it.
    pub given: Amount,
    /// The mean of the same shots.
    pub hit: Amount,
    /// Another number the device gave of them, and what the wrong one would have to be beside it.
    pub beside: Option<(QuantityId, Amount, Amount)>,
}

/// A number of this golfer that the costliest cause moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// Which.
    pub quantity: QuantityId,
    /// With the cause.
    pub with: Amount,
    /// Without it.
    pub without: Amount,
}

/// Everything to be shown after a commitment.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// The score.
    pub score: Score,
    /// The points of the program for its own first three, from the same information.
    pub program_points: f64,
    /// The program's first causes with their probabilities.
    pub ranking: Vec<(CauseId, f64)>,
    /// Where the two parted; none if the learner's first cause is true or the program's is not.
    pub turned: Option<Turned>,
    /// The questions.
    pub asked: Vec<Asked>,
    /// The check worth most at the end, if any still was.
    pub left: Option<CheckId>,
    /// Rates now, and with the practised cause gone: clean, playable.
    pub before: (f64, f64),
    /// With the practised cause gone.
    pub after: (f64, f64),
    /// The program's first cause, from what the learner saw, is not true.
    pub program_wrong: bool,
    /// Even with a look at everything the program's first three hold no true cause: a lesson in
    /// doubt, which says nothing of the learner.
    pub doubt: bool,
    /// For causes that follow from others in this golfer: consequence and root.
    pub roots: Vec<(CauseId, CauseId)>,
    /// The fault the learner named does not hold, or none was named; else the one named.
    pub fault: Option<EffectId>,
    /// What the golfer answered that was not so: the step, the check, the golfer's answer.
    pub misled: Vec<(usize, CheckId, bool)>,
    /// The numbers that the costliest cause moves most.
    pub moved: Vec<Moved>,
    /// The wrong number of the device, if it was measured.
    pub wrong: Option<WrongNumber>,
    /// Numbers measured that lie far from this golfer's average, though the device was right: by
    /// chance of ten shots. Which, as measured, on average.
    pub chance: Vec<(QuantityId, Amount, Amount)>,
    /// The causes named, with the share of golfers who have each.
    pub usual: Vec<(CauseId, f64)>,
}

impl Comparison {
    /// How many golfers have a cause that was named; 0 for any other.
    pub fn usual(&self, cause: CauseId) -> f64 {
        let found = self.usual.iter().find(|(c, _)| *c == cause);
        found.map_or(0.0, |(_, share)| *share)
    }
}

/// How many causes the program names.
const NAMED: usize = 3;

/// The comparison.
pub fn compare(mind: &mut Mind, pupil: &Pupil, desk: &Desk, commitment: &Commitment) -> Comparison {
    let count = desk.steps().len();
    let last = diagnose(mind, &desk.case(pupil, count));
    let usual = |cause: CauseId| last.judgement.of(cause).map_or(0.0, |c| c.prior);
    // How the ball lies is told, and nothing to be found out.
    let base = Arc::clone(mind.base());
    let found_out = |c: CauseId| {
        !base
            .model
            .causes
            .get(c.index())
            .is_some_and(|m| m.condition)
    };
    let ranking: Vec<(CauseId, f64)> = last
        .judgement
        .causes
        .iter()
        .filter(|c| found_out(c.cause))
        .take(NAMED)
        .map(|c| (c.cause, c.probability))
        .collect();
    let stated: Vec<(CauseId, f64)> = commitment
        .causes
        .iter()
        .copied()
        .filter(|(c, _)| found_out(*c))
        .collect();
    let has = |cause: CauseId| pupil.has(cause);
    let leader = ranking.first().map(|(c, _)| *c);
    let learner = stated
        .iter()
        .copied()
        .reduce(|a, b| if b.1 > a.1 { b } else { a })
        .map(|(c, _)| c);
    let turned = match (learner, leader) {
        (Some(from), Some(to)) if has(to) && !has(from) => {
            turned(mind, pupil, desk, &last, from, to)
        }
        _ => None,
    };
    let asked = asked(mind, pupil, desk);
    let group = pupil.first.group;
    let play = |changes: &[Change], mind: &mut Mind| {
        mind.simulation()
            .play_of(&pupil.lineup, pupil.number, group, changes)
    };
    let before = play(&[], mind);
    let after = match commitment.practise {
        Some(cause) if found_out(cause) => play(&[Change::Without(cause)], mind),
        Some(_) | None => before,
    };
    let gained = Gain {
        clean: after.0 - before.0,
        playable: after.1 - before.1,
    };
    let roots = pupil
        .worths
        .iter()
        .filter_map(|w| {
            let roots = mind
                .simulation()
                .roots_in(&pupil.lineup, pupil.number, w.cause);
            let root = roots.iter().find(|root| has(**root));
            root.map(|root| (w.cause, *root))
        })
        .collect();
    let fault = commitment
        .fault
        .filter(|f| pupil.first.case.effects.contains(f));
    Comparison {
        score: Score {
            points: points(&stated, has, usual),
            fault: fault.is_some(),
            gained: gained.most().max(0.0),
            could_gain: pupil.worths.first().map_or(0.0, |w| w.gain.most()),
            minutes: desk.minutes(),
        },
        program_points: points(&ranking, has, usual),
        turned,
        asked,
        left: last.next_check.map(|c| c.check),
        before,
        after,
        program_wrong: leader.is_none_or(|c| !has(c)),
        doubt: solved(mind, pupil).is_none_or(|place| place >= NAMED),
        ranking,
        roots,
        fault,
        misled: misled(mind, pupil, desk),
        moved: moved(mind, pupil),
        wrong: wrong_number(mind, pupil, desk),
        chance: by_chance(mind.base(), pupil, desk),
        usual: commitment
            .causes
            .iter()
            .map(|(c, _)| (*c, usual(*c)))
            .collect(),
    }
}

/// Answers of the golfer that a look would not have borne out.
fn misled(mind: &mut Mind, pupil: &Pupil, desk: &Desk) -> Vec<(usize, CheckId, bool)> {
    let mut out = Vec::new();
    for (step, put) in desk.steps().iter().enumerate() {
        let Done::Check {
            check,
            way: Way::Asked,
            answer: said,
        } = put.done
        else {
            continue;
        };
        let seen = answer(mind, pupil, check, Way::Looked);
        if said != Answer::NoIdea && seen != Answer::NoIdea && said != seen {
            out.push((step, check, said == Answer::Yes));
        }
    }
    out
}

/// A number moved by less than this share of a typed number's error is not worth a word.
const WORTH_A_WORD: f64 = 1.25;
/// Numbers told of.
const NUMBERS: usize = 2;

fn moved(mind: &mut Mind, pupil: &Pupil) -> Vec<Moved> {
    let base = Arc::clone(mind.base());
    let Some(main) = pupil.worths.first() else {
        return Vec::new();
    };
    let without = mind.simulation().case_of(
        &pupil.lineup,
        pupil.number,
        pupil.first.group,
        &[Change::Without(main.cause)],
    );
    let of = |axes: &[(Axis, Amount)], axis: Axis| {
        axes.iter().find(|(a, _)| *a == axis).map(|(_, x)| *x)
    };
    let mut found: Vec<(f64, Moved)> = quantities(&base)
        .into_iter()
        .filter_map(|quantity| {
            let (axis, _) = (*base.model.measured.get(quantity.index())?)?;
            let (with, without) = (of(&pupil.first.case.axes, axis)?, of(&without.axes, axis)?);
            let usual = base.quantity(quantity).usual_error.base();
            let by = (with.base() - without.base()).abs() / usual;
            // The attack says again what the low point says.
            (axis != Axis::AttackAngle && by >= WORTH_A_WORD).then_some((
                by,
                Moved {
                    quantity,
                    with,
                    without,
                },
            ))
        })
        .collect();
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.into_iter().map(|(_, m)| m).take(NUMBERS).collect()
}

fn by_chance(
    base: &KnowledgeBase,
    pupil: &Pupil,
    desk: &Desk,
) -> Vec<(QuantityId, Amount, Amount)> {
    let reads = desk.steps().iter().find_map(|s| match &s.done {
        Done::Measured { stand: 0, reads } => Some(reads.as_slice()),
        _ => None,
    });
    let wrong = pupil.mistaken.map(|m| m.0);
    reads
        .unwrap_or(&[])
        .iter()
        .filter(|r| Some(r.quantity) != wrong)
        .filter_map(|r| {
            let (axis, _) = (*base.model.measured.get(r.quantity.index())?)?;
            let axes = &pupil.first.case.axes;
            let average = axes.iter().find(|(a, _)| *a == axis)?.1;
            let off = (r.value.base() - average.base()).abs();
            (off > r.range.base()).then_some((r.quantity, r.value, average))
        })
        .collect()
}

/// A mean this near zero, in base units, says nothing of the slope between two numbers.
const NO_SLOPE: f64 = 1e-3;

/// The measured number that was wrong, if there was one and it was measured.
pub fn wrong_number(mind: &Mind, pupil: &Pupil, desk: &Desk) -> Option<WrongNumber> {
    let (wrong, _) = pupil.mistaken?;
    let reads = desk.steps().iter().find_map(|s| match &s.done {
        Done::Measured { stand: 0, reads } => Some(reads),
        _ => None,
    })?;
    let of = |quantity: QuantityId| reads.iter().find(|r| r.quantity == quantity);
    let read = of(wrong)?;
    // Low point and attack go together along the arc: one is so many times the other.
    let beside = quantities(mind.base())
        .into_iter()
        .take(2)
        .find(|q| *q != wrong)
        .and_then(of)
        .filter(|other| other.hit.base().abs() > NO_SLOPE)
        .and_then(|other| {
            let slope = read.hit.base() / other.hit.base();
            let fitting = Amount::from_base(other.value.base() * slope, read.value.dimension());
            Some((other.quantity, other.value, fitting.ok()?))
        });
    Some(WrongNumber {
        given: read.value,
        hit: read.hit,
        beside,
    })
}

/// What a look shows of each cause at work: the check that settles it, and what it brings.
pub fn settling(mind: &mut Mind, pupil: &Pupil) -> Vec<(CauseId, CheckId, Answer)> {
    let base = Arc::clone(mind.base());
    pupil
        .at_work()
        .filter_map(|w| {
            let check = base.cause(w.cause).check?;
            let seen = answer(mind, pupil, check, Way::Looked);
            Some((w.cause, check, seen))
        })
        .collect()
}

/// What a look at a cause shows of this golfer; nothing if the cause has no check.
pub fn look_at(mind: &mut Mind, pupil: &Pupil, cause: CauseId) -> Option<(CheckId, Answer)> {
    let check = mind.base().cause(cause).check?;
    Some((check, answer(mind, pupil, check, Way::Looked)))
}

/// What a look by a check shows of this golfer.
pub fn looked_at(mind: &Mind, pupil: &Pupil, check: CheckId) -> Answer {
    answer(mind, pupil, check, Way::Looked)
}

/// The place at which the program puts the first true cause if it has seen ten shots with each club
/// and looked at everything; 0 is first.
pub fn solved(mind: &mut Mind, pupil: &Pupil) -> Option<usize> {
    let mut desk = Desk::new(mind.base(), pupil);
    for stand in 0..pupil.stands().count() {
        desk.shots(mind, pupil, stand);
    }
    // A check that only finds a symptom would count again what ten shots have shown.
    let shown: Vec<bool> = mind
        .base()
        .model
        .checks
        .iter()
        .map(|c| c.finds.is_some() && c.tells.is_empty())
        .collect();
    for check in (0..mind.base().checks.len()).filter(|c| shown.get(*c) != Some(&true)) {
        desk.check(mind, pupil, CheckId::from_index(check), Way::Looked);
    }
    diagnose(mind, &desk.case(pupil, usize::MAX))
        .judgement
        .causes
        .iter()
        .filter(|c| {
            let model = mind.base().model.causes.get(c.cause.index());
            !model.is_some_and(|m| m.condition)
        })
        .position(|c| pupil.has(c.cause))
}

/// The first step from which the program's leader stayed ahead of the learner's, and the weightiest
/// piece of evidence between the two.
fn turned(
    mind: &mut Mind,
    pupil: &Pupil,
    desk: &Desk,
    last: &Diagnosis,
    from: CauseId,
    to: CauseId,
) -> Option<Turned> {
    let count = desk.steps().len();
    let mut step = count.checked_sub(1)?;
    for upto in (1..count).rev() {
        let then = diagnose(mind, &desk.case(pupil, upto)).judgement;
        let standing = |c: CauseId| then.of(c).map_or(0.0, |r| r.at_work);
        if standing(to) <= standing(from) {
            break;
        }
        step = upto - 1;
    }
    let (by, decibans) = weighed(mind, pupil, desk, last, (from, to))
        .into_iter()
        .next()?;
    Some(Turned {
        step,
        from,
        to,
        by,
        decibans,
    })
}

fn value_of(values: &[CheckValue], check: CheckId) -> Option<&CheckValue> {
    values.iter().find(|v| v.check == check)
}

fn asked(mind: &mut Mind, pupil: &Pupil, desk: &Desk) -> Vec<Asked> {
    let base = Arc::clone(mind.base());
    let mut out = Vec::new();
    for (step, put) in desk.steps().iter().enumerate() {
        let Done::Check { check, answer, .. } = put.done else {
            continue;
        };
        let mut case = desk.case(pupil, step);
        let before = diagnose(mind, &case);
        let open: Vec<CheckId> = (0..base.checks.len())
            .map(CheckId::from_index)
            .filter(|c| can_be_looked_at(&base, &case, *c))
            .collect();
        let said = case.answers.iter().find(|(c, _)| *c == check).map(|a| a.1);
        let worth = match said {
            None => {
                let values = mind.simulation().checks(&before.judgement, &open);
                value_of(&values, check).map_or(0.0, |v| v.per_cost)
            }
            // Worth what the other answer is worth, as often as the golfer's is wrong.
            Some(yes) => {
                case.answers.retain(|(c, _)| *c != check);
                case.asked.retain(|c| *c != check);
                let fresh = diagnose(mind, &case);
                let values = mind.simulation().checks(&fresh.judgement, &open);
                let there = base
                    .causes
                    .iter()
                    .enumerate()
                    .filter(|(_, c)| c.check == Some(check))
                    .filter_map(|(i, _)| before.judgement.of(CauseId::from_index(i)))
                    .map(|c| c.probability)
                    .fold(0.0, f64::max);
                let wrong = (1.0 - EYES) * if yes { 1.0 - there } else { there };
                value_of(&values, check).map_or(0.0, |v| {
                    let other = if yes { v.if_no.chance } else { v.if_yes.chance };
                    v.per_cost * (wrong / other.max(1e-6)).min(1.0)
                })
            }
        };
        out.push(Asked {
            step,
            check,
            worth,
            best: before.next_check.map(|v| (v.check, v.per_cost)),
            overturned: said
                .is_some_and(|yes| answer != Answer::NoIdea && Answer::of(yes) != answer),
        });
    }
    out
}
