//! Why, why not, rather than what, and what would settle it: accounts that balance.
//!
//! Takes a [`Diagnosis`] and gives data: the weight of each finding for a cause in decibans in the
//! order told, what a cause predicts against what was seen, the check that tells two causes apart,
//! and the smallest change that would make another cause lead. Sums are exact to a tenth of a
//! deciban. Makes no sentence and changes no state.

use crate::causes::model::{Evidence, Shift};
use crate::causes::{Flip, Ledger};
use crate::diagnosis::{Diagnosis, Mind, Token};
use crate::vocabulary::{CauseId, CheckId, EffectId, GroupId, SymptomId};

/// One line of an account.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Entry {
    /// What it is about.
    pub token: Token,
    /// Place in [`Diagnosis::evidence`].
    pub evidence: usize,
    /// Its weight for the cause, decibans; + speaks for it.
    pub decibans: f64,
}

/// The account of one cause.
#[derive(Debug, Clone, PartialEq)]
pub struct Account {
    /// The cause.
    pub cause: CauseId,
    /// Odds before anything was said, decibans.
    pub prior: f64,
    /// Each piece of evidence, in the order told.
    pub entries: Vec<Entry>,
    /// What was not mentioned.
    pub unsaid: f64,
    /// The sum: odds now, decibans.
    pub total: f64,
}

/// Why one cause.
#[derive(Debug, Clone, PartialEq)]
pub struct Why {
    /// The account.
    pub account: Account,
    /// How it moves the club with the group in focus.
    pub shifts: Vec<Shift>,
    /// What usually brings it about, strongest chain from its root.
    pub path: Vec<CauseId>,
}

/// One thing a cause predicts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prediction<T> {
    /// What.
    pub what: T,
    /// Chance with the cause.
    pub with: f64,
    /// Chance without it.
    pub without: f64,
    /// Whether it was reported (true), denied (false) or not spoken of.
    pub seen: Option<bool>,
}

/// One cause against another.
#[derive(Debug, Clone, PartialEq)]
pub struct Contrast {
    /// The two.
    pub causes: (CauseId, CauseId),
    /// Their accounts.
    pub accounts: (Account, Account),
    /// Evidence that tells them apart, strongest first; + speaks for the first.
    pub between: Vec<Entry>,
    /// The check that would settle it.
    pub settles: Option<CheckId>,
}

/// A hypothesis against what was seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Hypothesis {
    /// The cause supposed.
    pub cause: CauseId,
    /// Its account.
    pub account: Account,
    /// How it moves the club.
    pub shifts: Vec<Shift>,
    /// What the club would do, most telling first.
    pub effects: Vec<Prediction<EffectId>>,
    /// What would be seen, most telling first.
    pub symptoms: Vec<Prediction<SymptomId>>,
    /// The likeliest rival.
    pub rival: Option<CauseId>,
    /// The check that would settle it against the rival.
    pub settles: Option<CheckId>,
}

fn account(diagnosis: &Diagnosis, ledger: &Ledger, column: usize) -> Option<Account> {
    let column = ledger.columns.get(column)?;
    let entries = column
        .items
        .iter()
        .zip(&diagnosis.evidence)
        .enumerate()
        .map(|(evidence, (decibans, (token, _)))| Entry {
            token: *token,
            evidence,
            decibans: *decibans,
        })
        .collect();
    Some(Account {
        cause: column.cause,
        prior: column.prior,
        entries,
        unsaid: column.unsaid,
        total: column.total,
    })
}

fn ledger(mind: &mut Mind, diagnosis: &Diagnosis, causes: &[CauseId]) -> Ledger {
    let pieces: Vec<Evidence> = diagnosis.evidence.iter().map(|(_, e)| e.clone()).collect();
    mind.simulation()
        .ledger(&pieces, diagnosis.judgement.focus, causes)
}

fn shifts(mind: &Mind, cause: CauseId, group: GroupId) -> Vec<Shift> {
    let model = &mind.base().model;
    model
        .causes
        .get(cause.index())
        .and_then(|c| c.shifts.get(group.index()))
        .cloned()
        .unwrap_or_default()
}

/// The accounts of several causes, in their order.
pub fn accounts(mind: &mut Mind, diagnosis: &Diagnosis, causes: &[CauseId]) -> Vec<Account> {
    let ledger = ledger(mind, diagnosis, causes);
    (0..causes.len())
        .filter_map(|column| account(diagnosis, &ledger, column))
        .collect()
}

/// Why this cause.
pub fn why(mind: &mut Mind, diagnosis: &Diagnosis, cause: CauseId) -> Option<Why> {
    let ledger = ledger(mind, diagnosis, &[cause]);
    let account = account(diagnosis, &ledger, 0)?;
    let root = diagnosis.judgement.of(cause).and_then(|ranked| ranked.root);
    let path = root
        .and_then(|(root, _)| mind.simulation().graph().path(root, cause))
        .unwrap_or_else(|| vec![cause]);
    let shifts = shifts(mind, cause, diagnosis.judgement.focus);
    Some(Why {
        account,
        shifts,
        path,
    })
}

/// The first cause against the second.
pub fn contrast(
    mind: &mut Mind,
    diagnosis: &Diagnosis,
    first: CauseId,
    second: CauseId,
) -> Option<Contrast> {
    let ledger = ledger(mind, diagnosis, &[first, second]);
    let (a, b) = (
        account(diagnosis, &ledger, 0)?,
        account(diagnosis, &ledger, 1)?,
    );
    let mut between: Vec<Entry> = a
        .entries
        .iter()
        .zip(&b.entries)
        .map(|(x, y)| Entry {
            decibans: x.decibans - y.decibans,
            ..*x
        })
        .collect();
    between.sort_by(|x, y| {
        y.decibans
            .abs()
            .total_cmp(&x.decibans.abs())
            .then(x.evidence.cmp(&y.evidence))
    });
    let settles = settling_check(mind, diagnosis, first, Some(second));
    Some(Contrast {
        causes: (first, second),
        accounts: (a, b),
        between,
        settles,
    })
}

/// The open check whose answers differ most between the two causes, cheapest among equals.
fn settling_check(
    mind: &Mind,
    diagnosis: &Diagnosis,
    first: CauseId,
    second: Option<CauseId>,
) -> Option<CheckId> {
    let answered: Vec<CheckId> = diagnosis
        .evidence
        .iter()
        .filter_map(|(_, e)| match e {
            Evidence::Answer { check, .. } => Some(*check),
            Evidence::Symptom { .. }
            | Evidence::Unsure { .. }
            | Evidence::Measured { .. }
            | Evidence::Known { .. }
            | Evidence::Hint { .. }
            | Evidence::Practised { .. } => None,
        })
        .collect();
    let model = &mind.base().model;
    let mut best: Option<(f64, CheckId)> = None;
    for (index, check) in model.checks.iter().enumerate() {
        let id = CheckId::from_index(index);
        let group = diagnosis.judgement.focus;
        let of_the_club = check.groups.is_empty() || check.groups.contains(&group);
        if answered.contains(&id) || !of_the_club {
            continue;
        }
        // A lie that was told is not asked about.
        let told = |cause: &CauseId| {
            let known =
                |e: &Evidence| matches!(e, Evidence::Known { cause: known, .. } if known == cause);
            diagnosis.evidence.iter().any(|(_, e)| known(e))
        };
        if check.tells.iter().any(|(cause, ..)| told(cause)) {
            continue;
        }
        let lift = |cause: CauseId| {
            check
                .tells
                .iter()
                .find(|(c, _, _)| *c == cause)
                .map_or(0.0, |(_, with, without)| with - without)
        };
        let apart = (lift(first) - second.map_or(0.0, lift)).abs() / check.cost.powf(0.25);
        if apart > 0.2 && best.is_none_or(|(b, _)| apart > b) {
            best = Some((apart, id));
        }
    }
    best.map(|(_, id)| id)
}

/// The cause supposed, against what was seen.
pub fn hypothesis(mind: &mut Mind, diagnosis: &Diagnosis, cause: CauseId) -> Option<Hypothesis> {
    let ledger = ledger(mind, diagnosis, &[cause]);
    let account = account(diagnosis, &ledger, 0)?;
    let group = diagnosis.judgement.focus;
    let implied = mind.simulation().implied(cause, group);
    let said: Vec<(SymptomId, bool)> = diagnosis
        .evidence
        .iter()
        .filter_map(|(_, e)| match e {
            Evidence::Symptom {
                symptom,
                group: g,
                present,
                ..
            } if *g == group => Some((*symptom, *present)),
            Evidence::Symptom { .. }
            | Evidence::Unsure { .. }
            | Evidence::Measured { .. }
            | Evidence::Answer { .. }
            | Evidence::Known { .. }
            | Evidence::Hint { .. }
            | Evidence::Practised { .. } => None,
        })
        .collect();
    let telling = |with: f64, without: f64| (with + 0.02).ln() - (without + 0.02).ln();
    let mut effects: Vec<Prediction<EffectId>> = implied
        .effects
        .iter()
        .map(|e| Prediction {
            what: e.effect,
            with: e.with,
            without: e.without,
            seen: None,
        })
        .filter(|p| p.with - p.without > 0.08)
        .collect();
    effects.sort_by(|a, b| {
        (b.with - b.without)
            .total_cmp(&(a.with - a.without))
            .then(a.what.cmp(&b.what))
    });
    let mut symptoms: Vec<Prediction<SymptomId>> = implied
        .symptoms
        .iter()
        .map(|s| Prediction {
            what: s.symptom,
            with: s.with,
            without: s.without,
            seen: said
                .iter()
                .find(|(id, _)| *id == s.symptom)
                .map(|(_, present)| *present),
        })
        .filter(|p| p.seen.is_some() || telling(p.with, p.without) > 0.25)
        .collect();
    symptoms.sort_by(|a, b| {
        telling(b.with, b.without)
            .total_cmp(&telling(a.with, a.without))
            .then(a.what.cmp(&b.what))
    });
    let rival = diagnosis
        .judgement
        .causes
        .iter()
        .map(|c| c.cause)
        .find(|c| *c != cause);
    let settles = settling_check(mind, diagnosis, cause, rival);
    let shifts = shifts(mind, cause, group);
    Some(Hypothesis {
        cause,
        account,
        shifts,
        effects,
        symptoms,
        rival,
        settles,
    })
}

/// The smallest change of one finding that would make another cause lead.
pub fn flip(mind: &mut Mind, diagnosis: &Diagnosis) -> Option<Flip> {
    let pieces: Vec<Evidence> = diagnosis.evidence.iter().map(|(_, e)| e.clone()).collect();
    mind.simulation().flip(&pieces, diagnosis.judgement.focus)
}
