//! What golfers count in practice so that the count is of their own complaint.
//!
//! A cause and a drill bring a count of their own, such as a noodle left standing. Whether that
//! helps shows only in what was complained of: a golfer who tops the ball counts balls in the air.
//! Takes the entries of `counts.yaml`; says which of them, if any, takes the place of the count of a
//! task. The first entry that fits is meant, so the graver complaint stands higher in the file.

use schemars::JsonSchema;
use serde::Deserialize;

use super::entry::success;
use super::ids::Ids;
use super::model::scope;
use super::report::{Place0, Report};
use super::shapes::{Kind, Success};
use super::{KnowledgeBase, Task};
use crate::vocabulary::{CauseId, CheckId, CountId, DrillId, GroupId, SymptomId};

/// `counts.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CountShape {
    /// Unique name among the counts, such as `my_n_in_the_air`. With the id of a built-in entry it
    /// takes that one's place.
    pub id: String,
    /// The complaints it measures: ids of symptoms, such as `[topped, worm_burner]`.
    #[serde(rename = "for")]
    pub complaints: Vec<String>,
    /// The clubs it is for: ids of club groups, or `irons`, `woods`, `driver`, `all`. Left out:
    /// every club.
    #[serde(default)]
    pub clubs: Vec<String>,
    /// `true` for a ball on a peg alone, `false` for one on the ground alone. Left out: either.
    pub teed: Option<bool>,
    /// `true` for ground that shows no turf mark alone, `false` for ground that shows one. Left out:
    /// either.
    pub no_turf: Option<bool>,
    /// Words of which the count of a cause or drill must have one to give way, such as `print`. Left
    /// out: every count gives way.
    #[serde(default)]
    pub instead_of: Vec<String>,
    /// What is counted, and how many of how many are enough.
    pub success: Success,
    /// Words in the count of a cause or drill that show that it measures this already, such as
    /// `brush`. Left out: it never does.
    #[serde(default)]
    pub unless: Vec<String>,
    /// `true` if a child who complains of this gets the drill for children. Left out: `false`.
    #[serde(default)]
    pub childs_drill: bool,
    /// Where the entry comes from: `published`, `common`, `memory` or `elicited`. Left out:
    /// `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
}

/// What a golfer with certain complaints counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Count {
    /// Text id.
    pub id: String,
    /// The complaints it measures.
    pub complaints: Vec<SymptomId>,
    /// The clubs; empty for all.
    pub groups: Vec<GroupId>,
    /// With a ball on a peg, or on the ground; none for either.
    pub teed: Option<bool>,
    /// On ground that shows no turf mark, or on other ground; none for either.
    pub no_turf: Option<bool>,
    /// Words of the counts that give way to it; empty for all.
    pub instead_of: Vec<String>,
    /// What is counted.
    pub success: Success,
    /// Words of a count that measures this already.
    pub unless: Vec<String>,
    /// A child who complains of this gets the drill for children.
    pub childs_drill: bool,
    /// What kind of number.
    pub kind: Kind,
}

pub(super) fn count(shape: &CountShape, ids: &Ids, at: &Place0<'_>, report: &mut Report) -> Count {
    let complaints = shape.complaints.iter();
    let complaints = complaints
        .filter_map(|id| ids.symptom(id, at, report))
        .collect();
    let clubs = shape.clubs.iter();
    let groups = clubs.flat_map(|w| scope(w, ids, at, report)).collect();
    Count {
        id: shape.id.clone(),
        complaints,
        groups,
        teed: shape.teed,
        no_turf: shape.no_turf,
        instead_of: shape.instead_of.clone(),
        success: success(&shape.success, at, report),
        unless: shape.unless.clone(),
        childs_drill: shape.childs_drill,
        kind: shape.kind,
    }
}

/// What the ball lies on, as far as a count depends on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ground {
    /// The clubs.
    pub group: GroupId,
    /// The ball stands on a peg.
    pub teed: bool,
    /// No turf mark can be read.
    pub no_turf: bool,
}

/// Words of a count that reads marks in turf.
const TURF_MARKS: [&str; 6] = [
    "turf mark",
    "brush mark",
    "real marks",
    "divot",
    "wedge marks",
    "brush depth",
];

impl Count {
    /// True if this count is of one of the complaints, with this club on this ground.
    fn fits(&self, complaints: &[SymptomId], ground: Ground) -> bool {
        (self.groups.is_empty() || self.groups.contains(&ground.group))
            && self.teed.is_none_or(|t| t == ground.teed)
            && self.no_turf.is_none_or(|n| n == ground.no_turf)
            && self.complaints.iter().any(|c| complaints.contains(c))
    }

    /// True if the count of this task measures the complaint already, or does as well as this one.
    fn measured_by(&self, task: Task<'_>, ground: Ground) -> bool {
        let words = task.success.count.to_lowercase();
        let says = |list: &[String]| list.iter().any(|w| words.contains(w.as_str()));
        let unreadable = ground.no_turf && TURF_MARKS.iter().any(|w| words.contains(w));
        let gives_way = self.instead_of.is_empty() || says(&self.instead_of);
        !unreadable && (says(&self.unless) || !gives_way)
    }
}

impl KnowledgeBase {
    /// The count that these complaints ask for in place of the one of the cause and the drill; none
    /// where that one measures the complaint, or nothing measures it better.
    pub fn count_for(
        &self,
        complaints: &[SymptomId],
        ground: Ground,
        (cause, drill): (CauseId, Option<DrillId>),
    ) -> Option<CountId> {
        let place = self
            .counts
            .iter()
            .position(|c| c.fits(complaints, ground))?;
        let id = CountId::from_index(place);
        let task = self.task(cause, drill);
        (!self.count(id).measured_by(task, ground)).then_some(id)
    }

    /// True if the look reads marks in turf, or sets up on it.
    pub fn looks_at_turf(&self, check: CheckId) -> bool {
        const READ: [&str; 6] = ["divots", "turf", "grass", "soil", "brush", "brushes"];
        let check = self.check(check);
        let reads = |text: &str| {
            text.split(|c: char| !c.is_alphabetic())
                .any(|w| READ.contains(&w.to_lowercase().as_str()))
        };
        !check.no_turf && (reads(&check.question) || reads(&check.how))
    }

    /// What to think and to count: the task of cause and drill, with the count in place of its own.
    pub fn task_counting(
        &self,
        cause: CauseId,
        drill: Option<DrillId>,
        count: Option<CountId>,
    ) -> Task<'_> {
        let task = self.task(cause, drill);
        match count {
            None => task,
            Some(count) => {
                let count = self.count(count);
                Task {
                    success: &count.success,
                    measure: &count.id,
                    ..task
                }
            }
        }
    }
}
