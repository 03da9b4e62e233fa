//! The learner's record: how each case went, how the learner stands, and which case comes next.
//!
//! Takes and gives entries of the lesson book (`score` records, whose fields are ours); an entry that
//! does not read as an attempt is skipped, since a newer version may have written it. A course goes
//! family by family at first, so that each is seen more than once, then mixes them; a family that
//! went wrong comes back after a gap of other cases. Blocking first, mixing then and spacing are
//! what studies on learning to diagnose from cases suggest; the numbers are elicited. Pure: when is
//! the caller's business.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::chance::Chance;
use super::compare::Comparison;
use super::draw::Pupil;
use super::score::Commitment;
use crate::knowledge::KnowledgeBase;
use crate::lesson::{Entry, Open};
use crate::vocabulary::EffectId;

/// One finished case, by text ids so that it outlives any numbering.
#[allow(
    clippy::struct_excessive_bools,
    reason = "independent facts of a record"
)]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Attempt {
    /// The seed of the case.
    pub case: u64,
    /// The level or lesson it was met in; empty if in none.
    #[serde(default)]
    pub level: String,
    /// Family of the fault.
    pub family: String,
    /// Club group.
    pub group: String,
    /// Points for the stated chances.
    pub points: f64,
    /// Points of the program with the same information.
    pub program: f64,
    /// Shots in a hundred gained, and what could have been.
    pub gained: f64,
    /// See `gained`.
    pub could_gain: f64,
    /// Minutes used.
    pub minutes: f64,
    /// Everything in one number.
    pub total: f64,
    /// The fault named holds.
    pub fault: bool,
    /// The cause named first is there.
    pub first: bool,
    /// The learner gave up.
    #[serde(default)]
    pub given_up: bool,
    /// A case that the program cannot solve either.
    #[serde(default)]
    pub doubt: bool,
    /// Causes with the chances stated.
    #[serde(default)]
    pub stated: BTreeMap<String, f64>,
}

/// How a learner stands with a family of faults or a club group.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The text id.
    pub of: String,
    /// Cases.
    pub cases: usize,
    /// Cases whose first cause was there.
    pub first: usize,
    /// Mean points.
    pub points: f64,
    /// Mean points of the program.
    pub program: f64,
    /// Mean minutes.
    pub minutes: f64,
    /// Share of the gain that could have been had.
    pub gained: f64,
}

/// Why the next case is the one it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Next {
    /// One family at a time: which of how many of it.
    Blocked(usize, usize),
    /// A family that went wrong comes back.
    Returning,
    /// Families mixed.
    Mixed,
}

/// Other cases before a family that went wrong comes back.
const GAP: usize = 3;

/// An attempt as it is kept.
pub fn entry_of(
    base: &KnowledgeBase,
    pupil: &Pupil,
    level: &str,
    commitment: &Commitment,
    comparison: &Comparison,
) -> Attempt {
    let score = comparison.score;
    let top = commitment
        .causes
        .iter()
        .copied()
        .reduce(|a, b| if b.1 > a.1 { b } else { a });
    Attempt {
        case: pupil.seed,
        level: level.to_owned(),
        family: base.effect(pupil.fault).family.clone(),
        group: base.group(pupil.first.group).id.clone(),
        points: tenth(if comparison.doubt {
            score.points.max(0.0)
        } else {
            score.points
        }),
        program: tenth(comparison.program_points),
        gained: tenth(score.gained),
        could_gain: tenth(score.could_gain),
        minutes: score.minutes,
        total: tenth(match () {
            // Giving up brings nothing and costs nothing; nor does a case that nobody could settle.
            () if commitment.given_up => 0.0,
            () if comparison.doubt => score.total().max(0.0),
            () => score.total(),
        }),
        fault: score.fault,
        first: top.is_some_and(|(c, _)| pupil.has(c)),
        given_up: commitment.given_up,
        doubt: comparison.doubt,
        stated: commitment
            .causes
            .iter()
            .map(|(c, p)| (base.cause(*c).id.clone(), *p))
            .collect(),
    }
}

fn tenth(x: f64) -> f64 {
    (10.0 * x).round() / 10.0
}

impl Attempt {
    /// The entry of the lesson book.
    pub fn entry(&self) -> Entry {
        let fields = match serde_json::to_value(self) {
            Ok(Value::Object(fields)) => fields,
            _ => Map::new(),
        };
        Entry::Score(Open { fields })
    }

    /// Whether it counts as gone wrong: given up, or another cause put first. Cases in doubt do not.
    pub const fn went_wrong(&self) -> bool {
        !self.doubt && (self.given_up || !self.first)
    }
}

/// The attempts among the entries of a book, in order.
pub fn attempts<'a>(entries: impl Iterator<Item = &'a Entry>) -> Vec<Attempt> {
    entries
        .filter_map(|entry| match entry {
            Entry::Score(open) => serde_json::from_value(Value::Object(open.fields.clone())).ok(),
            _ => None,
        })
        .collect()
}

/// How a learner stands, by whatever `by` takes of an attempt, in order of its text.
pub fn standings(attempts: &[Attempt], by: impl Fn(&Attempt) -> &str) -> Vec<Standing> {
    let mut groups: BTreeMap<&str, Vec<&Attempt>> = BTreeMap::new();
    for attempt in attempts {
        groups.entry(by(attempt)).or_default().push(attempt);
    }
    groups
        .into_iter()
        .map(|(of, list)| {
            let n = list.len().max(1) as f64;
            let mean = |f: &dyn Fn(&Attempt) -> f64| list.iter().map(|a| f(a)).sum::<f64>() / n;
            let could = list.iter().map(|a| a.could_gain).sum::<f64>();
            Standing {
                of: of.to_owned(),
                cases: list.len(),
                first: list.iter().filter(|a| a.first).count(),
                points: mean(&|a| a.points),
                program: mean(&|a| a.program),
                minutes: mean(&|a| a.minutes),
                gained: if could > 0.0 {
                    list.iter().map(|a| a.gained).sum::<f64>() / could
                } else {
                    0.0
                },
            }
        })
        .collect()
}

/// What comes next at a level: why, and the faults of the family it is taken from (empty for any).
/// `faults` are the level's, in order; `blocked` is how many of one family come in a row.
pub fn schedule(
    base: &KnowledgeBase,
    attempts: &[Attempt],
    (level, faults, blocked): (&str, &[EffectId], usize),
    seed: u64,
) -> (Next, Vec<EffectId>) {
    let here: Vec<&Attempt> = attempts.iter().filter(|a| a.level == level).collect();
    let mut families: Vec<&str> = Vec::new();
    for fault in faults {
        let family = base.effect(*fault).family.as_str();
        if !families.contains(&family) {
            families.push(family);
        }
    }
    let of = |family: &str| -> Vec<EffectId> {
        faults
            .iter()
            .copied()
            .filter(|f| base.effect(*f).family == family)
            .collect()
    };
    for family in &families {
        let seen = here.iter().filter(|a| a.family == *family).count();
        if seen < blocked {
            return (Next::Blocked(seen + 1, blocked), of(family));
        }
    }
    // The family whose last attempt went wrong longest ago, if that is long enough.
    let due = families
        .iter()
        .filter_map(|family| {
            let last = here.iter().rposition(|a| a.family == *family)?;
            let since = here.len() - 1 - last;
            (here.get(last)?.went_wrong() && since >= GAP).then_some((since, *family))
        })
        .max_by_key(|(since, _)| *since);
    if let Some((_, family)) = due {
        return (Next::Returning, of(family));
    }
    let mut chance = Chance::new(seed, 5);
    let mixed = chance.pick(&families).map_or(Vec::new(), |f| of(f));
    (Next::Mixed, mixed)
}
