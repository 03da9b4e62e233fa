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
use crate::vocabulary::{CauseId, CountId, DrillId, GroupId, SymptomId};

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
        success: success(&shape.success, at, report),
        unless: shape.unless.clone(),
        childs_drill: shape.childs_drill,
        kind: shape.kind,
    }
}

impl Count {
    /// True if this count is of one of the complaints, with this club on or off a peg.
    fn fits(&self, complaints: &[SymptomId], group: GroupId, teed: bool) -> bool {
        (self.groups.is_empty() || self.groups.contains(&group))
            && self.teed.is_none_or(|t| t == teed)
            && self.complaints.iter().any(|c| complaints.contains(c))
    }

    /// True if the count of this task measures the complaint already.
    fn measured_by(&self, task: Task<'_>) -> bool {
        let words = task.success.count.to_lowercase();
        self.unless.iter().any(|w| words.contains(w.as_str()))
    }
}

impl KnowledgeBase {
    /// The count that these complaints ask for in place of the one of the cause and the drill; none
    /// where that one measures the complaint, or nothing measures it better.
    pub fn count_for(
        &self,
        complaints: &[SymptomId],
        (group, teed): (GroupId, bool),
        (cause, drill): (CauseId, Option<DrillId>),
    ) -> Option<CountId> {
        let place = self
            .counts
            .iter()
            .position(|c| c.fits(complaints, group, teed))?;
        let id = CountId::from_index(place);
        (!self.count(id).measured_by(self.task(cause, drill))).then_some(id)
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
