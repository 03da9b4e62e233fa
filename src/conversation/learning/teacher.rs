//! What is asked of the teacher rather than of the golfer: what the ten shots tell, whether they show a
//! fault, which causes that points to, what to ask first, and after the answer what would cure it.
//!
//! It costs nothing, for it is read off what the learner has seen already; before the answer nothing else
//! is told of this golfer, and causes only as golfers in general have them.

use super::afterwards::STRUCK;
use super::finding;
use super::plainly::in_names;
use super::said::{Block, Note, Taught, Told};
use super::{Sitting, Trainee};
use crate::conversation::names::{change_named, spoken};
use crate::diagnosis::diagnose;
use crate::learning::{Done, Step, bringing, together};
use crate::reading::{What, read};
use crate::vocabulary::EffectId;

/// What the teacher is asked.
#[derive(Debug, Clone, PartialEq)]
enum Asked {
    /// What the last look tells.
    Together,
    /// Whether one of these faults is there.
    Faults(Vec<EffectId>),
    /// Which causes that points to.
    Causes,
    /// What to ask or look at first.
    First,
    /// Whether a change, by its place, would cure it.
    Change(usize),
    /// What would cure it.
    Cure,
}

/// Words that lead in and say nothing.
const LEADS: [&str; 8] = ["so", "and", "but", "then", "well", "ok", "now", "ask"];
/// What was just seen.
const THAT: [&str; 20] = [
    "that", "this", "it", "they", "them", "those", "these", "the", "ten", "shots", "shot", "marks",
    "mark", "divots", "numbers", "table", "all", "of", "from", "result",
];
/// Words around it.
const AROUND: [&str; 22] = [
    "what", "how", "do", "does", "did", "can", "could", "should", "would", "i", "we", "me", "us",
    "to", "now", "then", "here", "about", "him", "her", "golfer", "is",
];
/// What a look does that is read.
const TELLS: [&str; 16] = [
    "tell",
    "tells",
    "mean",
    "means",
    "say",
    "says",
    "show",
    "shows",
    "suggest",
    "suggests",
    "make",
    "read",
    "learn",
    "conclude",
    "indicate",
    "indicates",
];
/// Words of a choice among questions.
const CHOOSES: [&str; 9] = [
    "first", "next", "best", "most", "worth", "begin", "start", "useful", "useless",
];
const PUTS: [&str; 11] = [
    "ask",
    "look",
    "looks",
    "looking",
    "question",
    "questions",
    "check",
    "checks",
    "film",
    "begin",
    "start",
];
const CHOICE: [&str; 27] = [
    "what", "which", "where", "should", "shall", "would", "do", "i", "we", "is", "are", "the", "a",
    "at", "to", "for", "now", "here", "with", "him", "her", "this", "golfer", "be", "of", "on",
    "it",
];
/// Words of what brings something about.
const POINTS: [&str; 14] = [
    "point",
    "points",
    "pointing",
    "toward",
    "towards",
    "fit",
    "fits",
    "bring",
    "brings",
    "explain",
    "explains",
    "likely",
    "likeliest",
    "behind",
];
/// Words of a cure.
const CURES: [&str; 11] = [
    "cure", "cures", "fix", "fixes", "mend", "mends", "solve", "solves", "help", "helps", "improve",
];
/// Words around a cure of nothing named.
const OF_CURES: [&str; 25] = [
    "how", "what", "do", "does", "can", "could", "should", "would", "will", "i", "we", "he", "she",
    "you", "it", "that", "this", "him", "her", "is", "the", "to", "one", "now", "best",
];

/// What a line asks of the teacher.
fn asked(trainee: &Trainee, line: &str) -> Option<Asked> {
    let said = spoken(line);
    let said: Vec<&str> = said
        .iter()
        .map(String::as_str)
        .skip_while(|w| LEADS.contains(w))
        .collect();
    let first = *said.first()?;
    let any = |list: &[&str]| said.iter().any(|w| list.contains(w));
    let only = |lists: &[&[&str]]| said.iter().all(|w| lists.iter().any(|l| l.contains(w)));
    let wonders = ["what", "which", "where", "how"].contains(&first);
    let causes = ["cause", "causes"];
    let points = any(&["point", "points", "pointing"]);
    if wonders
        && any(&THAT)
        && (any(&causes) || points)
        && only(&[&THAT, &AROUND, &TELLS, &POINTS, &causes, &["which", "most"]])
    {
        return Some(Asked::Causes);
    }
    if wonders && any(&TELLS) && any(&THAT) && only(&[&THAT, &AROUND, &TELLS]) {
        return Some(Asked::Together);
    }
    if wonders && any(&PUTS) && any(&CHOOSES) && only(&[&PUTS, &CHOOSES, &CHOICE]) {
        return Some(Asked::First);
    }
    if any(&CURES) {
        if wonders && only(&[&CURES, &OF_CURES]) {
            return Some(Asked::Cure);
        }
        let supposes = ["would", "will", "could", "can", "does"].contains(&first);
        if supposes
            && !any(&TO_GOLFER)
            && let Ok(named) = change_named(trainee.base(), &said.join(" "))
        {
            return Some(Asked::Change(named.index));
        }
    }
    let faults = faults_asked(trainee, line, &said);
    (!faults.is_empty()).then_some(Asked::Faults(faults))
}

/// Words before a fault that is asked about, and after it.
const IS_IT: [&str; 18] = [
    "is", "are", "was", "does", "do", "that", "this", "it", "the", "mean", "means", "his", "her",
    "a", "an", "they", "marks", "shots",
];
const THEN: [&str; 8] = [
    "then", "here", "now", "right", "correct", "really", "yes", "too",
];

/// A fault of at least this chance is what is spoken of from then on.
const MAY_BE: f64 = 0.3;
/// Words of a question put to the golfer.
const TO_GOLFER: [&str; 3] = ["you", "your", "yours"];

/// The faults that a question names and speaks of nothing else: one, or two whose names the words leave
/// open. Where the ball meets the face, golfers tell themselves, and whatever says "you" is for them.
fn faults_asked(trainee: &Trainee, line: &str, said: &[&str]) -> Vec<EffectId> {
    let asks = line.trim_end().ends_with('?');
    if !asks || said.iter().any(|w| TO_GOLFER.contains(w)) {
        return Vec::new();
    }
    let mut core: Vec<&str> = said
        .iter()
        .copied()
        .skip_while(|w| IS_IT.contains(w))
        .collect();
    while core.last().is_some_and(|w| THEN.contains(w)) {
        core.pop();
    }
    let base = trainee.base();
    let text = in_names(&core.join(" "));
    let wanted = finding::content(&text);
    if wanted.len() < 2 {
        return Vec::new();
    }
    let context = finding::context(trainee.hand());
    let reading = read(&trainee.phrases, &context, &text);
    let struck = |what: &What| match what {
        What::Symptom(symptom) => base.symptom(*symptom).kind == STRUCK,
        What::Number(_) | What::AllWell => false,
    };
    if reading.findings.iter().any(|f| struck(&f.what)) {
        return Vec::new();
    }
    let named = |fault: &EffectId| {
        let name = finding::content(&base.effect(*fault).name);
        wanted.iter().all(|w| name.contains(w))
    };
    let group = trainee.pupil().map(|p| p.first.group.index());
    let makes_sense = |fault: &EffectId| {
        let effect = base.model.effects.get(fault.index());
        let tests = effect.and_then(|e| e.any_of.get(group?));
        tests.is_some_and(|t| !t.is_empty())
    };
    let mut faults = finding::faults(base, text.trim());
    faults.retain(named);
    faults.retain(makes_sense);
    if faults.len() > 2 {
        faults.clear();
    }
    faults
}

impl Trainee {
    /// The reply to a line for the teacher while the learner looks, if it is one.
    pub(super) fn teacher(&mut self, line: &str) -> Option<Taught> {
        let asked = asked(self, line)?;
        let sitting = self.sitting.as_ref()?;
        let pupil = Box::new(sitting.pupil.clone());
        let step = last_seen(sitting, &asked);
        let told = match asked {
            Asked::Cure => return Some(Taught::note(Note::NotYet)),
            Asked::Change(at) => return Some(Taught::note(Note::CanBeTried(at))),
            Asked::First => Told::First,
            _ if step.is_none() => return Some(Taught::note(Note::NothingSeen)),
            Asked::Together => Told::Together,
            Asked::Faults(faults) => {
                let case = sitting.desk.case(&pupil, usize::MAX);
                let judged = diagnose(&mut self.mind, &case).judgement;
                let mut told: Vec<(EffectId, f64)> =
                    faults.iter().map(|f| (*f, judged.effect(*f))).collect();
                told.sort_by(|a, b| b.1.total_cmp(&a.1));
                if let Some(sitting) = &mut self.sitting {
                    let there = told.first().filter(|t| t.1 >= MAY_BE);
                    sitting.subject = there.map_or(sitting.subject, |t| Some(t.0));
                }
                Told::Faults(told)
            }
            Asked::Causes => {
                let fault = match sitting.subject {
                    Some(fault) => fault,
                    None => self.likeliest()?,
                };
                Told::Causes(fault, bringing(&mut self.mind, &pupil, fault))
            }
        };
        let step = step.map(Box::new);
        Some(Taught::of(Block::Teacher { pupil, step, told }))
    }

    /// The fault that is likeliest from what was seen.
    fn likeliest(&mut self) -> Option<EffectId> {
        let sitting = self.sitting.as_ref()?;
        let case = sitting.desk.case(&sitting.pupil, usize::MAX);
        let judged = diagnose(&mut self.mind, &case).judgement;
        let effects = (0..self.base().effects.len()).map(EffectId::from_index);
        effects.reduce(|a, b| {
            if judged.effect(b) > judged.effect(a) {
                b
            } else {
                a
            }
        })
    }

    /// The reply to a line about the cure of the finished case, if it is one.
    pub(super) fn cure(&mut self, line: &str) -> Option<Taught> {
        let pupil = Box::new(self.sitting.as_ref()?.pupil.clone());
        match asked(self, line)? {
            Asked::Cure => Some(Taught::of(Block::Cures(pupil, None))),
            Asked::Change(_) => {
                let mut taught = self.what_if(line);
                let gained = taught.blocks.iter().find_map(|block| match block {
                    Block::WhatIf { before, after, .. } => {
                        // As they are told, without fractions of a shot.
                        let more = |from: f64, to: f64| to.round() - from.round();
                        Some(more(before.0, after.0).max(more(before.1, after.1)))
                    }
                    _ => None,
                });
                taught.blocks.push(Block::Cures(pupil, gained));
                Some(taught)
            }
            _ => None,
        }
    }

    /// Why some strikes of the finished case were clean all the same.
    pub(super) fn why_clean(&self) -> Option<Taught> {
        let sitting = self.sitting.as_ref()?;
        let ten = sitting
            .desk
            .steps()
            .iter()
            .rev()
            .find_map(|s| match &s.done {
                Done::Shots { stand: 0, ten } => Some(together(ten)),
                _ => None,
            });
        Some(Taught::of(Block::Clean(
            Box::new(sitting.pupil.clone()),
            ten,
        )))
    }
}

/// The shots or numbers seen last; of the first club, unless it is asked what the last look tells.
fn last_seen(sitting: &Sitting, asked: &Asked) -> Option<Step> {
    let mut steps = sitting.desk.steps().iter().rev();
    let any = *asked == Asked::Together;
    let seen = |s: &&Step| match &s.done {
        Done::Shots { stand, .. } | Done::Measured { stand, .. } => any || *stand == 0,
        Done::Tried { .. } => any,
        Done::Told | Done::Check { .. } | Done::Symptoms(_) | Done::Turf(_) => false,
    };
    steps.find(seen).cloned()
}
