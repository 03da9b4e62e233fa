//! From text id to typed id: where each entry stands in its table.
//!
//! A name that nothing defines is a problem with the nearest name.

use std::collections::BTreeMap;

use super::files::Shapes;
use super::report::{Place0, Report};
use crate::vocabulary::{
    CauseId, CautionId, CheckId, DrillId, GroupId, QuantityId, SourceId, SymptomId,
};

/// Text ids and their places, for all kinds of entry.
#[derive(Default)]
pub(super) struct Ids {
    pub(super) groups: BTreeMap<String, usize>,
    pub(super) group_families: Vec<String>,
    pub(super) quantities: BTreeMap<String, usize>,
    pub(super) symptoms: BTreeMap<String, usize>,
    pub(super) causes: BTreeMap<String, usize>,
    pub(super) checks: BTreeMap<String, usize>,
    pub(super) drills: BTreeMap<String, usize>,
    pub(super) cautions: BTreeMap<String, usize>,
    pub(super) sources: BTreeMap<String, usize>,
}

impl Ids {
    /// The place of every id; double ids are problems.
    pub(super) fn of(shapes: &Shapes<'_>, report: &mut Report) -> Self {
        let families = shapes.groups.entries.iter();
        let ids = Self {
            groups: shapes.groups.ids(report),
            group_families: families.map(|(s, _)| s.family.word().to_owned()).collect(),
            quantities: shapes.quantities.ids(report),
            symptoms: shapes.symptoms.ids(report),
            causes: shapes.causes.ids(report),
            checks: shapes.checks.ids(report),
            drills: shapes.drills.ids(report),
            cautions: shapes.cautions.ids(report),
            sources: shapes.sources.ids(report),
        };
        // Nothing names these by place; that they are there once matters all the same.
        for names in [
            shapes.clubs.ids(report),
            shapes.lies.ids(report),
            shapes.effects.ids(report),
            shapes.answers.ids(report),
            shapes.changes.ids(report),
            shapes.counts.ids(report),
            shapes.limits.ids(report),
            shapes.strengths.ids(report),
            shapes.rules.ids(report),
            shapes.phrases.ids(report),
            shapes.told.ids(report),
        ] {
            drop(names);
        }
        ids
    }
}

macro_rules! resolve {
    ($($name:ident, $table:ident, $sort:literal, $id:ident);+ $(;)?) => {
        impl Ids {$(
            pub(super) fn $name(&self, id: &str, at: &Place0<'_>, report: &mut Report) -> Option<$id> {
                let found = self.$table.get(id).map(|index| $id::from_index(*index));
                if found.is_none() {
                    report.unknown($sort, id, self.$table.keys().map(String::as_str), at);
                }
                found
            }
        )+}
    };
}

resolve! {
    quantity, quantities, "quantity", QuantityId;
    symptom, symptoms, "symptom", SymptomId;
    cause, causes, "cause", CauseId;
    check, checks, "check", CheckId;
    drill, drills, "drill", DrillId;
    caution, cautions, "caution", CautionId;
    source, sources, "source", SourceId;
    group, groups, "club group", GroupId;
}
