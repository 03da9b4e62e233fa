//! What the learner has seen so far, what it cost, and what follows for the program.
//!
//! A [`Desk`] takes one look after another at a [`Pupil`] and keeps each as a [`Step`]: what was done,
//! its minutes, and what a coach would note of it. The first `n` steps make a case for the diagnosis,
//! so that the program can be asked what it made of exactly the same. Answers are the golfer's own and
//! truthful: a golfer knows what can be thought of or looked down at, says "no idea" where a camera
//! or a device is needed, and now and then otherwise; a look of the learner always answers, unless
//! the club cannot show what is looked for. The same question gives the same answer, in whatever words
//! it is put: two checks that ask for one thing are answered alike.

use super::chance::Chance;
use super::draw::{Pupil, Stand};
use super::fitting::{asks_of_pain, of_pain};
use super::watch::{self, Read, Ten};
use crate::causes::model::{Change, Event};
use crate::diagnosis::{Case, Finding, Mind, What};
use crate::knowledge::{Cost, KnowledgeBase};
use crate::vocabulary::{CauseId, CheckId, SymptomId};

/// Minutes of one lesson.
pub const MINUTES: f64 = 40.0;
/// Ten shots, and having them measured.
const SHOTS: f64 = 5.0;
const MEASURING: f64 = 6.0;
/// A question.
const QUESTION: f64 = 1.0;
/// The least that a look takes, minutes.
pub const LEAST: f64 = 2.0;
/// How often a golfer has no idea of what they could know (elicited).
const NO_IDEA: f64 = 0.08;

/// What came back from a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// Yes.
    Yes,
    /// No.
    No,
    /// The golfer does not know.
    NoIdea,
}

impl Answer {
    pub(super) const fn of(yes: bool) -> Self {
        if yes { Self::Yes } else { Self::No }
    }
}

/// How a check was put.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// The golfer was asked.
    Asked,
    /// The learner looked: eyes, camera, device.
    Looked,
}

/// How often turf is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turf {
    /// On most shots.
    Mostly,
    /// On some, on others not.
    Sometimes,
    /// On hardly any.
    Hardly,
    /// Never: the ball stands on a tee.
    Teed,
}

/// What was done.
#[derive(Debug, Clone, PartialEq)]
pub enum Done {
    /// The golfer told their complaint.
    Told,
    /// Ten shots with the first club, or the second.
    Shots {
        /// 0 or 1.
        stand: usize,
        /// The shots.
        ten: Ten,
    },
    /// The numbers of ten shots with the first club, or the second.
    Measured {
        /// 0 or 1.
        stand: usize,
        /// The numbers.
        reads: Vec<Read>,
    },
    /// A check.
    Check {
        /// Which.
        check: CheckId,
        /// How.
        way: Way,
        /// What came back.
        answer: Answer,
    },
    /// A question about things seen or felt, each with what came back.
    Symptoms(Vec<(SymptomId, Answer)>),
    /// A question whether turf is taken with the first club.
    Turf(Turf),
    /// Ten shots with something changed.
    Tried {
        /// Place in the table of changes, and its size in the change's unit.
        change: (usize, f64),
        /// The shots.
        ten: Ten,
    },
}

/// One look.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What was done.
    pub done: Done,
    /// Minutes.
    pub minutes: f64,
    findings: Vec<Finding>,
    answers: Vec<(CheckId, bool)>,
    hints: Vec<(CauseId, f64)>,
}

/// What the learner has seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Desk {
    steps: Vec<Step>,
}

impl Desk {
    /// The golfer has told their complaint.
    pub fn new(base: &KnowledgeBase, pupil: &Pupil) -> Self {
        let stands: Vec<&Stand> = pupil.stands().collect();
        let findings = pupil
            .account
            .mentions
            .iter()
            .filter_map(|m| {
                Some(Finding {
                    pattern: pupil.pattern(stands.get(m.stand)?),
                    what: What::Symptom {
                        symptom: m.symptom,
                        present: Some(true),
                        often: m.often,
                    },
                    same_words_as: None,
                })
            })
            .collect();
        let hints = pupil
            .account
            .hunch
            .iter()
            .flat_map(|h| &h.causes)
            .map(|cause| {
                let trust = base.hint_trust.get(&base.cause(*cause).family);
                // A hunch that points at several causes says less of each.
                (*cause, trust.copied().unwrap_or(0.25) * 0.5)
            })
            .collect();
        Self {
            steps: vec![Step {
                done: Done::Told,
                minutes: 0.0,
                findings,
                answers: Vec::new(),
                hints,
            }],
        }
    }

    /// The steps, in order.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// Minutes used.
    pub fn minutes(&self) -> f64 {
        self.steps.iter().map(|s| s.minutes).sum()
    }

    /// What is known of a check, yes or no.
    pub fn answered(&self, check: CheckId) -> Option<bool> {
        self.steps
            .iter()
            .rev()
            .flat_map(|s| &s.answers)
            .find(|(c, _)| *c == check)
            .map(|(_, yes)| *yes)
    }

    /// Whether a check was put in this way before.
    pub fn was_put(&self, wanted: CheckId, how: Way) -> bool {
        self.steps.iter().any(
            |s| matches!(s.done, Done::Check { check, way, .. } if check == wanted && way == how),
        )
    }

    /// What the program would know after the first `count` steps.
    pub fn case(&self, pupil: &Pupil, count: usize) -> Case {
        let mut case = Case {
            focus: Some(pupil.pattern(&pupil.first)),
            ..Case::default()
        };
        for step in self.steps.iter().take(count) {
            for finding in &step.findings {
                if !case.findings.contains(finding) && !denies(&case.findings, finding) {
                    case.findings.push(finding.clone());
                }
            }
            for (check, yes) in &step.answers {
                // A look takes the place of what the golfer said.
                case.answers.retain(|(c, _)| c != check);
                case.answers.push((*check, *yes));
            }
            case.hints.extend(&step.hints);
        }
        case.asked = case.answers.iter().map(|(c, _)| *c).collect();
        case
    }

    /// Of each hint that the steps gave, in order: the look that it came of; none for the golfer's own
    /// idea.
    pub(super) fn hinted_by(&self) -> Vec<Option<CheckId>> {
        let by = |step: &Step| match step.done {
            Done::Check { check, .. } => Some(check),
            _ => None,
        };
        let of_step = |step: &Step| vec![by(step); step.hints.len()];
        self.steps.iter().flat_map(of_step).collect()
    }

    #[allow(clippy::indexing_slicing, reason = "the last step was just added")]
    fn add(&mut self, done: Done, minutes: f64, noted: Noted) -> &Step {
        self.steps.push(Step {
            done,
            minutes,
            findings: noted.findings,
            answers: noted.answers,
            hints: noted.hints,
        });
        &self.steps[self.steps.len() - 1]
    }

    /// Ten shots with the first or the second club.
    pub fn shots(&mut self, mind: &mut Mind, pupil: &Pupil, stand: usize) -> Option<&Step> {
        let at = pupil.stands().nth(stand)?;
        let turn = self.steps.len() as u64;
        let ten = watch::ten(mind, pupil, at, &[], turn);
        let noted = Noted {
            findings: ten.findings.clone(),
            ..Noted::default()
        };
        Some(self.add(Done::Shots { stand, ten }, SHOTS, noted))
    }

    /// The measured numbers of ten shots with the first or the second club; once for each.
    pub fn measured(&mut self, mind: &mut Mind, pupil: &Pupil, stand: usize) -> Option<&Step> {
        let at = pupil.stands().nth(stand)?;
        let reads = watch::measured(mind, pupil, at, 0);
        Some(self.read(pupil, stand, at, reads))
    }

    /// The measured numbers of the ten shots that were watched last with the first club.
    pub(super) fn measured_as_shown(&mut self, mind: &mut Mind, pupil: &Pupil) -> &Step {
        let shown = |step: &Step| matches!(step.done, Done::Shots { stand: 0, .. });
        let turn = self.steps.iter().rposition(shown).unwrap_or(0) as u64;
        let reads = watch::measured(mind, pupil, &pupil.first, turn);
        self.read(pupil, 0, &pupil.first, reads)
    }

    fn read(&mut self, pupil: &Pupil, stand: usize, at: &Stand, reads: Vec<Read>) -> &Step {
        let noted = Noted {
            findings: watch::as_findings(pupil, at, &reads),
            ..Noted::default()
        };
        self.add(Done::Measured { stand, reads }, MEASURING, noted)
    }

    /// A check.
    pub fn check(&mut self, mind: &mut Mind, pupil: &Pupil, check: CheckId, way: Way) -> &Step {
        let same = in_other_words(mind.base(), check);
        let held = way == Way::Asked && believes(mind.base(), pupil, same);
        let known = if held {
            Answer::Yes
        } else {
            answer(mind, pupil, check, way)
        };
        let yes = known == Answer::Yes;
        let base = mind.base();
        let entry = base.check(check);
        let mut chance = Chance::new(pupil.seed, 7_000 + same.index() as u64);
        let knows = held || (entry.cost <= Cost::Look && !chance.happens(NO_IDEA));
        let (answer, minutes) = match way {
            Way::Asked if knows => (known, QUESTION),
            Way::Asked => (Answer::NoIdea, QUESTION),
            Way::Looked => {
                let cost = base.model.checks.get(check.index()).map_or(2.0, |c| c.cost);
                (known, cost.max(LEAST))
            }
        };
        let noted = Noted {
            answers: match answer {
                Answer::NoIdea => Vec::new(),
                Answer::Yes | Answer::No => vec![(check, yes)],
            },
            // A look counts as the answer and as a coach's word on the cause.
            hints: base
                .causes
                .iter()
                .enumerate()
                .filter(|(_, c)| yes && way == Way::Looked && c.check == Some(check))
                .map(|(i, _)| (CauseId::from_index(i), 1.0))
                .collect(),
            findings: Vec::new(),
        };
        self.add(Done::Check { check, way, answer }, minutes, noted)
    }

    /// A question about things seen or felt with the first club.
    pub fn symptoms(
        &mut self,
        base: &KnowledgeBase,
        pupil: &Pupil,
        symptoms: &[SymptomId],
    ) -> &Step {
        let answers: Vec<(SymptomId, Answer)> = symptoms
            .iter()
            .map(|s| (*s, recalled(base, pupil, *s)))
            .collect();
        let findings = answers
            .iter()
            .filter(|(_, answer)| *answer != Answer::NoIdea)
            .map(|(symptom, answer)| Finding {
                pattern: pupil.pattern(&pupil.first),
                what: What::Symptom {
                    symptom: *symptom,
                    present: Some(*answer == Answer::Yes),
                    often: None,
                },
                same_words_as: None,
            })
            .collect();
        let noted = Noted {
            findings,
            ..Noted::default()
        };
        self.add(Done::Symptoms(answers), QUESTION, noted)
    }

    /// A question whether the golfer takes turf with the first club.
    pub fn turf(&mut self, base: &KnowledgeBase, pupil: &Pupil) -> &Step {
        let turf = taken(base, pupil);
        let none = match turf {
            Turf::Mostly => Some(false),
            Turf::Hardly => Some(true),
            Turf::Sometimes | Turf::Teed => None,
        };
        let findings = none
            .and_then(|none| Some((no_mark(base, pupil)?, none)))
            .map(|(symptom, none)| Finding {
                pattern: pupil.pattern(&pupil.first),
                what: What::Symptom {
                    symptom,
                    present: Some(none),
                    often: None,
                },
                same_words_as: None,
            })
            .into_iter()
            .collect();
        let noted = Noted {
            findings,
            ..Noted::default()
        };
        self.add(Done::Turf(turf), QUESTION, noted)
    }

    /// A question what usually goes wrong with the first club: what the golfer complained of, and what
    /// else they have noticed most of.
    pub fn misses(&mut self, base: &KnowledgeBase, pupil: &Pupil) -> &Step {
        let told = misses(base, pupil);
        self.symptoms(base, pupil, &told)
    }

    /// Ten shots of the first club with something changed. They show the learner what the change
    /// does; the program learns nothing from them.
    pub fn tried(
        &mut self,
        mind: &mut Mind,
        pupil: &Pupil,
        change: (usize, f64),
        moves: &[Change],
    ) -> &Step {
        let turn = self.steps.len() as u64;
        let ten = watch::ten(mind, pupil, &pupil.first, moves, turn);
        self.add(Done::Tried { change, ten }, SHOTS, Noted::default())
    }
}

#[derive(Default)]
struct Noted {
    findings: Vec<Finding>,
    answers: Vec<(CheckId, bool)>,
    hints: Vec<(CauseId, f64)>,
}

/// A golfer who is asked has noticed what happens on this share of shots, and says no to what
/// happens on less than the other (elicited).
const NOTICED: f64 = 0.2;
const UNNOTICED: f64 = 0.05;

/// Kinds of symptom that say what goes wrong, and how many of them are told at once.
const OF_MISSES: [&str; 6] = ["contact", "start", "curve", "shape", "height", "distance"];
const MISSES: usize = 4;

/// What a golfer tells who is asked for the usual miss.
fn misses(base: &KnowledgeBase, pupil: &Pupil) -> Vec<SymptomId> {
    let of_miss = |symptom: &SymptomId| {
        let entry = base.symptom(*symptom);
        OF_MISSES.contains(&entry.kind.as_str()) && !entry.well
    };
    let told = pupil.account.mentions.iter().filter(|m| m.stand == 0);
    let mut out: Vec<SymptomId> = told.map(|m| m.symptom).filter(of_miss).collect();
    let mut likely: Vec<(SymptomId, f64)> = pupil.first.case.symptoms.clone();
    likely.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    for (symptom, _) in likely {
        let fits = of_miss(&symptom) && !out.contains(&symptom);
        if out.len() < MISSES && fits && recalled(base, pupil, symptom) == Answer::Yes {
            out.push(symptom);
        }
    }
    out.truncate(MISSES);
    out
}

/// Shares of shots that leave a mark from which a golfer says yes, and under which no (elicited).
const MOSTLY: f64 = 0.6;
const HARDLY: f64 = 0.15;

/// The symptom that no mark is left, if it can be seen with the first club.
fn no_mark(base: &KnowledgeBase, pupil: &Pupil) -> Option<SymptomId> {
    let bare = |symptom: &SymptomId| {
        watch::events_of(base, *symptom).is_some_and(|e| e == [Event::NoMark])
    };
    let mut seen = pupil.first.case.symptoms.iter().map(|(s, _)| *s);
    seen.find(bare)
}

/// How often the golfer takes turf with the first club.
fn taken(base: &KnowledgeBase, pupil: &Pupil) -> Turf {
    if no_mark(base, pupil).is_some_and(|s| mentioned(pupil, s)) {
        return Turf::Hardly;
    }
    let rates = &pupil.first.case.rates;
    let share = |events: &[Event]| -> f64 {
        let of = rates.iter().filter(|(e, _)| events.contains(e));
        of.map(|(_, rate)| rate).sum()
    };
    let marked = share(&MARKED);
    if marked + share(&[Event::NoMark]) < HARDLY {
        Turf::Teed
    } else if marked >= MOSTLY {
        Turf::Mostly
    } else if marked < HARDLY {
        Turf::Hardly
    } else {
        Turf::Sometimes
    }
}

/// Marks, wherever they begin.
const MARKED: [Event; 5] = [
    Event::MarkFarBehind,
    Event::MarkBehind,
    Event::MarkLevel,
    Event::MarkAhead,
    Event::MarkFarAhead,
];

/// Whether the golfer said at first that this is what they do: whoever thinks so says yes when asked.
fn believes(base: &KnowledgeBase, pupil: &Pupil, check: CheckId) -> bool {
    let Some(hunch) = &pupil.account.hunch else {
        return false;
    };
    matches!(hunch.causes.as_slice(), [one] if base.cause(*one).check == Some(check))
}

/// Whether the golfer has noticed something: what was complained of, what happens often, and the
/// rest at the chance of mentioning it, drawn once.
fn recalled(base: &KnowledgeBase, pupil: &Pupil, symptom: SymptomId) -> Answer {
    if of_pain(base, symptom) {
        return Answer::No;
    }
    if mentioned(pupil, symptom) {
        return Answer::Yes;
    }
    if let Some(check) = cause_asked_by(base, symptom) {
        let held = believes(base, pupil, check);
        return if held {
            Answer::Yes
        } else {
            of_causes(base, pupil, check, Way::Asked)
        };
    }
    match super::voice::rate(base, pupil, 0, symptom) {
        Some(rate) if rate >= NOTICED => return Answer::Yes,
        Some(rate) if rate < UNNOTICED => return Answer::No,
        _ => {}
    }
    let chance = pupil
        .first
        .case
        .symptoms
        .iter()
        .find(|(s, _)| *s == symptom);
    let mut dice = Chance::new(pupil.seed, 90_000 + symptom.index() as u64);
    chance.map_or(Answer::NoIdea, |(_, p)| Answer::of(dice.happens(*p)))
}

/// A look errs this many times as seldom as the golfer's own answer (elicited): trained eyes, a
/// camera, a measure.
pub(super) const EYES: f64 = 0.1;

/// What a check brings of this pupil, drawn once. A check that looks for something in the shots
/// brings what the golfer has noticed of it, or what their shots show, and nothing with clubs that
/// cannot show it. Any other answer is drawn from the causes they have: a look errs seldom, and only
/// where the golfer's own answer errs too.
pub(super) fn answer(mind: &Mind, pupil: &Pupil, check: CheckId, way: Way) -> Answer {
    let base = mind.base();
    let check = in_other_words(base, check);
    let asked = base.model.checks.get(check.index());
    if let Some(asked) = asked
        && let Some(symptom) = asked.asks_for()
        && (asked.tells.is_empty() || mentioned(pupil, symptom))
    {
        let fits = asked.groups.is_empty() || asked.groups.contains(&pupil.first.group);
        return match recalled(base, pupil, symptom) {
            _ if !fits => Answer::NoIdea,
            Answer::NoIdea if way == Way::Looked => Answer::No,
            known => known,
        };
    }
    if asks_of_pain(base, check) {
        return Answer::No;
    }
    of_causes(base, pupil, check, way)
}

/// What a check brings by the causes the golfer has.
fn of_causes(base: &KnowledgeBase, pupil: &Pupil, check: CheckId, way: Way) -> Answer {
    let causes = &pupil.first.case.causes;
    let asked = base.model.checks.get(check.index());
    let p = asked.map_or(0.5, |asked| {
        asked.says_yes(|cause| causes.binary_search(&cause).is_ok())
    });
    let p = match way {
        Way::Asked => p,
        Way::Looked if p < 0.5 => EYES * p,
        Way::Looked => 1.0 - EYES * (1.0 - p),
    };
    Answer::of(Chance::new(pupil.seed, 1_000 + check.index() as u64).happens(p))
}

/// The check of a cause that asks for just what a check of the shots asks for; else the check itself.
fn in_other_words(base: &KnowledgeBase, check: CheckId) -> CheckId {
    let model = base.model.checks.get(check.index());
    let symptom = model.filter(|m| m.tells.is_empty()).and_then(|m| m.finds);
    let same = symptom.and_then(|s| cause_asked_by(base, s));
    same.unwrap_or(check)
}

/// The check of a cause that asks for just this symptom.
fn cause_asked_by(base: &KnowledgeBase, symptom: SymptomId) -> Option<CheckId> {
    let mut checks = base.model.checks.iter();
    let found = checks.position(|m| !m.tells.is_empty() && m.asks_for() == Some(symptom));
    found.map(CheckId::from_index)
}

/// Whether the golfer spoke of it with the first club.
fn mentioned(pupil: &Pupil, symptom: SymptomId) -> bool {
    let mut mentions = pupil.account.mentions.iter();
    mentions.any(|m| m.symptom == symptom && m.stand == 0)
}

/// Whether a finding denies what was said of the same clubs before: ten shots without a slice do not
/// take back that the golfer slices.
fn denies(known: &[Finding], new: &Finding) -> bool {
    let What::Symptom {
        symptom,
        present: Some(false),
        ..
    } = new.what
    else {
        return false;
    };
    known.iter().any(|k| {
        k.pattern == new.pattern
            && matches!(k.what, What::Symptom { symptom: s, present: Some(true), .. } if s == symptom)
    })
}
