//! Which of two things that disagree is right, in the golfer's words: `the low point is right`,
//! `trust the attack angle`, `the second one`, `the path is off`.
//!
//! Takes a line and the clashes of the last diagnosis; gives the number of the finding to set aside,
//! or nothing where the line says anything else besides. Sets nothing aside itself.

use super::Session;
use super::names::words;
use crate::diagnosis::{Clash, Diagnosis, Finding, What};
use crate::knowledge::KnowledgeBase;
use crate::vocabulary::SymptomId;

/// Words with which a choice is made and that name nothing.
const CHOOSING: [&str; 34] = [
    "the", "a", "is", "s", "it", "its", "was", "one", "number", "reading", "figure", "right",
    "correct", "true", "trust", "believe", "take", "go", "with", "use", "keep", "i", "d", "would",
    "say", "think", "that", "my", "his", "her", "sure", "of", "m", "am",
];
/// Words that turn it round: what they are said of is the one to set aside.
const AGAINST: [&str; 6] = ["wrong", "off", "drop", "ignore", "forget", "mistaken"];
/// Words that deny.
const DENIED: [&str; 6] = ["don", "t", "dont", "don't", "not", "isn't"];

/// One of two things that disagree.
struct Side {
    /// Its place among the statements.
    statement: usize,
    words: Vec<String>,
}

impl Session {
    /// The number of the finding that a line sets aside by saying which of two is right.
    pub(super) fn set_aside(&self, line: &str) -> Option<usize> {
        let (diagnosis, _) = self.last.as_ref()?;
        let said = words(line);
        let has = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
        // "I don't believe the low point" is against it, "the low point is not off" for it.
        let against = has(&AGAINST) != has(&DENIED);
        let named: Vec<&String> = said
            .iter()
            .filter(|w| {
                let silent: [&[&str]; 3] = [&CHOOSING, &AGAINST, &DENIED];
                !silent.iter().any(|list| list.contains(&w.as_str()))
            })
            .collect();
        if named.is_empty() {
            return None;
        }
        let chosen = |sides: &[Side; 2]| -> Option<usize> {
            let ordinal = ["first", "second"].iter().position(|o| named == [*o]);
            let fits = |side: &Side| named.iter().all(|w| side.words.contains(w));
            let [one, other] = sides;
            match ordinal {
                Some(at) => Some(at),
                None if fits(one) && !fits(other) => Some(0),
                None if fits(other) && !fits(one) => Some(1),
                None => None,
            }
        };
        diagnosis.clashes.iter().find_map(|clash| {
            let sides = self.sides(diagnosis, clash)?;
            let chosen = chosen(&sides)?;
            let [one, other] = sides;
            let dropped = if (chosen == 0) == against { one } else { other };
            Some(dropped.statement + 1)
        })
    }

    /// The two findings of a clash with the words they go by; nothing where there are more.
    fn sides(&self, d: &Diagnosis, clash: &Clash) -> Option<[Side; 2]> {
        let base = self.base();
        let (pattern, slots, among) = match clash {
            Clash::Slots {
                pattern,
                between: (a, b),
                findings,
                ..
            } => (*pattern, [a.as_str(), b.as_str()], Some(findings)),
            Clash::Numbers {
                pattern,
                disagreement,
            } => {
                let (a, b) = disagreement.between;
                (*pattern, [a.id(), b.id()], None)
            }
            Clash::Said { .. } => return None,
        };
        let pattern = d.patterns.get(pattern)?;
        let (case, places) = self.talk.case(base);
        let found = |fits: &dyn Fn(usize, &Finding) -> bool| {
            let mut findings = case.findings.iter().enumerate();
            findings
                .find(|(at, f)| {
                    f.pattern == *pattern
                        && among.is_none_or(|all| all.contains(at))
                        && fits(*at, f)
                })
                .map(|(at, _)| at)
        };
        let told = slots.map(|slot| found(&|_, f| is_of(base, f, slot)));
        // A slot that was worked out stands for the finding that it rests on.
        let (first, second) = match told {
            [Some(a), Some(b)] => (a, b),
            [Some(a), None] => (a, found(&|at, _| at != a && among.is_some())?),
            [None, Some(b)] => (found(&|at, _| at != b && among.is_some())?, b),
            [None, None] => return None,
        };
        let (first, second) = (*places.get(first)?, *places.get(second)?);
        let side = |statement: usize, slot: &str| {
            let mut all = self
                .talk
                .statements
                .get(statement)
                .map_or(Vec::new(), |s| words(&s.words));
            all.extend(words(&name_of(base, slot)));
            Side {
                statement,
                words: all,
            }
        };
        let [a, b] = slots;
        Some([side(first, a), side(second, b)])
    }
}

/// The plain name of a slot.
fn name_of(base: &KnowledgeBase, slot: &str) -> String {
    if let Some(quantity) = base.find_quantity(slot) {
        return base.quantity(quantity).name.clone();
    }
    let symptom = base.symptoms.place(slot).map(SymptomId::from_index);
    symptom.map_or_else(|| slot.replace('_', " "), |s| base.symptom(s).name.clone())
}

/// Whether a finding states this slot.
fn is_of(base: &KnowledgeBase, finding: &Finding, slot: &str) -> bool {
    match finding.what {
        What::Number { quantity, .. } => base.quantity(quantity).id == slot,
        What::Symptom { symptom, .. } => base.symptom(symptom).id == slot,
        What::AllWell => false,
    }
}
