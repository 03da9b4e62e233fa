//! Where a measured number stops being usual for a golfer who plays for fun.
//!
//! Takes the entries of `limits.yaml`; says which of them a number has reached, and how plainly.
//! A limit is a word for a number, for a coach who asks "is that a lot?". It knows nothing of why,
//! and nothing is computed with it: causes are weighed by the number itself.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::entry::origin;
use super::ids::Ids;
use super::model::scope;
use super::report::{Place0, Report};
use super::shapes::Kind;
use super::{KnowledgeBase, Origin, Quantity, Table};
use crate::quantity::{Amount, Angle};
use crate::vocabulary::{CauseId, GroupId, LimitId, QuantityId};

/// The longest name, and the longest text of what it says (common practice: a line, and three).
const NAME: usize = 32;
const TEXT: usize = 240;

/// `limits.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LimitShape {
    /// Unique name among the limits, such as `attack_steep`. With the id of a built-in entry it
    /// takes that one's place.
    pub id: String,
    /// The quantity, such as `attack_angle`.
    pub of: String,
    /// What a number beyond it is called, at most 32 characters, so that "is NAME" reads well:
    /// `steep`.
    pub name: String,
    /// Where it is a sign and where a plain one, in the unit of the quantity with its sign, by clubs
    /// (`all`, `irons`, `woods`, `driver` or a club group; the narrower counts, clubs not named have
    /// no such limit): `{irons: [-6.5, -8.5], wedge: [-8, -10]}`. The second lies further out.
    pub from: BTreeMap<String, (f64, f64)>,
    /// `true` if the numbers count from the loft that is on the club. Left out: `false`.
    #[serde(default)]
    pub from_loft: bool,
    /// What it says of the strike or the flight, in one or two sentences of at most 240 characters.
    pub says: String,
    /// The cause that a number beyond it shows as a look at it does, such as `s_ball_back`: for
    /// quantities that are no part of the arc. Left out: none, the number is weighed by itself.
    pub shows: Option<String>,
    /// Where the numbers come from: `published` (then `source` too), `common`, `memory` or
    /// `elicited`. Left out: `elicited`, an estimate.
    #[serde(default)]
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that the numbers rest on; needed where `kind` is
    /// `published`.
    pub source: Option<String>,
}

/// Where a number stops being usual.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Text id.
    pub id: String,
    /// What it is a limit of.
    pub of: QuantityId,
    /// What a number beyond it is called.
    pub name: String,
    /// By club group: where it is a sign, and where a plain one.
    pub from: BTreeMap<GroupId, (Amount, Amount)>,
    /// The numbers count from the loft on the club.
    pub from_loft: bool,
    /// What it says.
    pub says: String,
    /// The cause that a number beyond it shows.
    pub shows: Option<CauseId>,
    /// Kind and source.
    pub origin: Origin,
}

/// How far a number has gone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reached {
    /// Usual, as far as this limit goes.
    Not,
    /// A sign.
    Sign,
    /// A plain sign.
    Plainly,
}

impl Limit {
    /// The two numbers for a club with this loft, if clubs of the group have such a limit.
    pub fn numbers(&self, group: GroupId, loft: Angle) -> Option<(Amount, Amount)> {
        let (sign, plain) = *self.from.get(&group)?;
        if !self.from_loft {
            return Some((sign, plain));
        }
        let raised = |a: Amount| Amount::from_base(a.base() + loft.base(), a.dimension()).ok();
        Some((raised(sign)?, raised(plain)?))
    }

    /// True if numbers above the limit are beyond it, false if numbers below are.
    pub fn upward(&self, group: GroupId) -> bool {
        let Some((sign, plain)) = self.from.get(&group) else {
            return false;
        };
        plain.base() > sign.base()
    }

    /// How far this number has gone with these clubs.
    pub fn reached(&self, value: Amount, group: GroupId, loft: Angle) -> Reached {
        let Some((sign, plain)) = self.numbers(group, loft) else {
            return Reached::Not;
        };
        let way = if self.upward(group) { 1.0 } else { -1.0 };
        let beyond = |limit: Amount| (value.base() - limit.base()) * way >= 0.0;
        if beyond(plain) {
            Reached::Plainly
        } else if beyond(sign) {
            Reached::Sign
        } else {
            Reached::Not
        }
    }
}

impl KnowledgeBase {
    /// The limits of a quantity that clubs of this group have.
    pub fn limits_of(&self, quantity: QuantityId, group: GroupId) -> Vec<LimitId> {
        let of = |limit: &Limit| limit.of == quantity && limit.from.contains_key(&group);
        let found = self.limits.iter().enumerate().filter(|(_, l)| of(l));
        found.map(|(i, _)| LimitId::from_index(i)).collect()
    }
}

pub(super) fn limit(
    shape: &LimitShape,
    ids: &Ids,
    quantities: &Table<Quantity>,
    at: &Place0<'_>,
    report: &mut Report,
) -> Limit {
    report.text("name", &shape.name, NAME, at);
    report.text("says", &shape.says, TEXT, at);
    let of = ids
        .quantity(&shape.of, at, report)
        .unwrap_or(QuantityId::from_index(0));
    let unit = quantities.iter().nth(of.index()).map(|q| q.unit);
    // The wider scope first, so that a narrower one takes its place.
    let mut scopes: Vec<(Vec<GroupId>, (f64, f64))> = shape
        .from
        .iter()
        .map(|(word, numbers)| (scope(word, ids, at, report), *numbers))
        .collect();
    scopes.sort_by_key(|(groups, _)| std::cmp::Reverse(groups.len()));
    let mut from = BTreeMap::new();
    for (groups, (sign, plain)) in scopes {
        if sign.total_cmp(&plain).is_eq() {
            report.range("from", plain, (sign, f64::INFINITY), at);
        }
        let amounts = unit.and_then(|unit| {
            Some((
                Amount::new(sign, unit).ok()?,
                Amount::new(plain, unit).ok()?,
            ))
        });
        if let Some(amounts) = amounts {
            from.extend(groups.into_iter().map(|group| (group, amounts)));
        }
    }
    Limit {
        id: shape.id.clone(),
        of,
        name: shape.name.clone(),
        from,
        from_loft: shape.from_loft,
        says: shape.says.clone(),
        shows: (shape.shows.as_ref()).and_then(|cause| ids.cause(cause, at, report)),
        origin: origin(shape.kind, shape.source.as_ref(), ids, at, report),
    }
}
