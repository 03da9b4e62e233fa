//! How well does a knowledge judge cases that a teacher has written?
//!
//! Takes the knowledge and [`WrittenCase`]s; plays each to a session from nothing, as a golfer
//! would type it, and gives what came out ([`Outcome`]) and how that compares with what the
//! teacher accepts. [`figures`] counts, [`differences`]
//! compares the outcomes under two knowledges, [`compared`] sets strengths beside implied ones. Cases are played
//! side by side on threads; what comes out does not depend on how many. Makes no sentence and
//! reads no file.

mod difference;
mod figures;
mod strength;

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::causes::CausesError;
use crate::conversation::{Block, Question, Reply, Session};
use crate::diagnosis::{What, reasoned};
use crate::knowledge::{CautionLevel, KnowledgeBase, WrittenCase, slots_of};
use crate::rules::{Fact, RuleIndex};
use crate::vocabulary::{CauseId, CheckId, EffectId, GroupId, SymptomId};

pub use difference::{Difference, Run, differences};
pub use figures::{Figures, Hits, Sure, Tally, figures};
pub use strength::{Compared, compared};

/// How many causes of the ranking are kept.
const KEPT: usize = 10;
/// An effect with at least this probability counts as found.
const LIKELY: f64 = 0.4;
/// Questions answered from a case at most.
const MOST_ANSWERS: usize = 8;

/// What the program made of a case.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// True if something was judged.
    pub answered: bool,
    /// Causes in order with their probability, the first ten.
    pub ranked: Vec<(CauseId, f64)>,
    /// Effects that are likely.
    pub effects: Vec<EffectId>,
    /// Symptoms read as present.
    pub findings: Vec<SymptomId>,
    /// It was asked whether anything hurts: a caution where one is wanted, and none where not.
    pub asked_of_hurt: bool,
    /// The strongest caution given.
    pub caution: Option<CautionLevel>,
    /// The program itself said that there was little to go on.
    pub little: bool,
    /// The club group of the pattern in focus, if a club was named.
    pub group: Option<GroupId>,
    /// Questions put, of every kind.
    pub questions: usize,
    /// Checks put, in order.
    pub checks: Vec<CheckId>,
    /// The cause to practise against.
    pub practice: Option<CauseId>,
    /// Rules that fired, each once, in the order of the program.
    pub fired: Vec<RuleIndex>,
    /// Rules that stayed silent though something they look at was known.
    pub silent: Vec<RuleIndex>,
}

impl Outcome {
    fn causes(&self, first: usize) -> impl Iterator<Item = CauseId> {
        self.ranked.iter().take(first).map(|(cause, _)| *cause)
    }

    /// An accepted cause leads.
    pub fn first_accepted(&self, case: &WrittenCase) -> bool {
        self.causes(1).any(|c| case.first.contains(&c))
    }

    /// An accepted cause is among the first three.
    pub fn three_accepted(&self, case: &WrittenCase) -> bool {
        self.causes(3).any(|c| case.first.contains(&c))
    }

    /// A cause leads that must not.
    pub fn forbidden_leads(&self, case: &WrittenCase) -> bool {
        self.causes(1).any(|c| case.never.contains(&c))
    }

    /// One of the effects asked for is likely, or none was asked for.
    pub fn effect_found(&self, case: &WrittenCase) -> bool {
        case.effects.is_empty() || self.effects.iter().any(|e| case.effects.contains(e))
    }

    /// All symptoms asked for were read.
    pub fn findings_read(&self, case: &WrittenCase) -> bool {
        case.findings.iter().all(|s| self.findings.contains(s))
    }

    /// The caution is the one wanted: none that comes first, any, or an emergency.
    pub fn caution_right(&self, case: &WrittenCase) -> bool {
        match case.caution {
            None => self
                .caution
                .is_none_or(|level| level == CautionLevel::Beside),
            Some(CautionLevel::Emergency) => self.caution == Some(CautionLevel::Emergency),
            Some(CautionLevel::First | CautionLevel::Beside) => {
                self.caution.is_some() || self.asked_of_hurt
            }
        }
    }

    /// One of the checks asked for was put, or none was asked for.
    pub fn check_right(&self, case: &WrittenCase) -> bool {
        case.asks.is_empty() || self.checks.iter().any(|c| case.asks.contains(c))
    }

    /// Rules that should have fired and did not, and rules that should not have and did.
    pub fn rules_wrong(&self, case: &WrittenCase) -> Vec<RuleIndex> {
        let missing = case.fires.iter().filter(|r| !self.fired.contains(r));
        let uncalled = case.silent.iter().filter(|r| self.fired.contains(r));
        missing.chain(uncalled).copied().collect()
    }
}

/// Plays one case to a session, from nothing.
pub fn play(session: &mut Session, case: &WrittenCase) -> Outcome {
    session.start_over(case.hand);
    let mut outcome = Outcome::default();
    let mut asked = None;
    for line in &case.say {
        let reply = session.respond(line);
        asked = note(session, &reply, &mut outcome);
    }
    for _ in 0..MOST_ANSWERS {
        let answer = asked.and_then(|check| case.answers.iter().find(|(c, _)| *c == check));
        let Some((_, yes)) = answer else {
            break;
        };
        let reply = session.respond(if *yes { "yes" } else { "no" });
        asked = note(session, &reply, &mut outcome);
    }
    read_off(session, &mut outcome);
    outcome
}

/// Takes cautions and questions from a reply; gives the check that was put.
fn note(session: &Session, reply: &Reply, outcome: &mut Outcome) -> Option<CheckId> {
    let mut put = None;
    for block in &reply.blocks {
        if let Block::Caution { caution, .. } = block {
            let level = session.base().caution(*caution).level;
            outcome.caution = Some(outcome.caution.map_or(level, |l| l.min(level)));
        }
        if let Block::Ask { question, .. } = block {
            outcome.questions += 1;
            outcome.asked_of_hurt |= matches!(question, Question::Safety(_));
            if let Question::Check(check) = question {
                outcome.checks.push(*check);
                put = Some(*check);
            }
        }
    }
    put
}

fn read_off(session: &Session, outcome: &mut Outcome) {
    let base = session.base();
    let case = session.case();
    for finding in &case.findings {
        if let What::Symptom {
            symptom,
            present: Some(true),
            ..
        } = finding.what
        {
            outcome.findings.push(symptom);
        }
    }
    let state = reasoned(base, &case);
    let facts = state.facts().into_iter().map(|(id, _)| id);
    let clashes = state.contradictions().into_iter().flat_map(|c| c.facts);
    let mut fired: Vec<RuleIndex> = facts
        .chain(clashes)
        .flat_map(|id| state.ways(id))
        .map(|way| way.rule)
        .collect();
    fired.sort_unstable();
    fired.dedup();
    let slot_of = |fact: &Fact| base.program.slot_name(fact.slot);
    let known: BTreeSet<&str> = state.facts().iter().map(|(_, f)| slot_of(f)).collect();
    for (place, rule) in base.program.rules().iter().enumerate() {
        let index = RuleIndex::from_index(place);
        let about = slots_of(&rule.when);
        if !fired.contains(&index) && about.iter().any(|slot| known.contains(slot)) {
            outcome.silent.push(index);
        }
    }
    outcome.fired = fired;
    let Some(diagnosis) = session.diagnosis() else {
        return;
    };
    let judgement = &diagnosis.judgement;
    outcome.answered = true;
    outcome.little = judgement.little_to_go_on;
    outcome.group = diagnosis.focus().filter(|p| p.said).map(|p| p.group);
    outcome.ranked = judgement
        .causes
        .iter()
        .take(KEPT)
        .map(|c| (c.cause, c.probability))
        .collect();
    outcome.effects = judgement
        .effects
        .iter()
        .filter(|(_, p)| *p >= LIKELY)
        .map(|(e, _)| *e)
        .collect();
    outcome.practice = diagnosis.practice.as_ref().map(|p| p.cause);
}

/// Plays every case, in order.
///
/// # Errors
/// [`CausesError`] if the knowledge describes no golfers.
pub fn play_all(
    base: &Arc<KnowledgeBase>,
    cases: &[WrittenCase],
) -> Result<Vec<Outcome>, CausesError> {
    let session = Session::new(Arc::clone(base), None)?;
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let share = cases.len().div_ceil(threads).max(1);
    let played = |session: &Session, cases: &[WrittenCase]| -> Vec<Outcome> {
        let mut session = session.clone();
        cases.iter().map(|c| play(&mut session, c)).collect()
    };
    let chunks: Vec<&[WrittenCase]> = cases.chunks(share).collect();
    let outcomes = std::thread::scope(|scope| {
        let threads: Vec<_> = chunks
            .iter()
            .map(|chunk| {
                let work = || played(&session, chunk);
                std::thread::Builder::new().spawn_scoped(scope, work)
            })
            .collect();
        let mut all = Vec::with_capacity(cases.len());
        for (thread, chunk) in threads.into_iter().zip(&chunks) {
            let done = thread.ok().and_then(|t| t.join().ok());
            all.extend(done.unwrap_or_else(|| played(&session, chunk)));
        }
        all
    });
    Ok(outcomes)
}
