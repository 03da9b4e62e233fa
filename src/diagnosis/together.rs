//! Numbers that must add up: the gap between face and path is face less path.
//!
//! Words give each of the three a size of its own ("starts left" a face, "slices" a gap), and printed in
//! one line the three would contradict each other. Takes the rows of a pattern; where path, face and
//! gap are all there and at least one was worked out, those that were worked out share what is left
//! over by their variances, which is the likeliest set of three that adds up. Numbers that were said
//! stay as they were said. Knows nothing of clubs.

use super::{Origin, Row};
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Angle, Estimate};

/// What counts as adding up.
const EXACT: Angle = Angle::degrees(0.05);
/// Printed to a tenth of a degree: the gap is that of the numbers printed.
const TENTH: Angle = Angle::degrees(0.1);

/// Makes face less path equal the gap in the rows of one pattern.
pub(super) fn made_to_add_up(base: &KnowledgeBase, rows: &mut [Row], pattern: usize) {
    let place = |name: &str| {
        let quantity = base.find_quantity(name)?;
        rows.iter()
            .position(|r| r.pattern == pattern && r.quantity == quantity)
    };
    let (Some(path), Some(face), Some(gap)) = (
        place("club_path"),
        place("face_angle"),
        place("face_to_path"),
    ) else {
        return;
    };
    // Each with its sign in: face - path - gap = 0.
    let parts = [(face, 1.0), (path, -1.0), (gap, -1.0)];
    let sum = |rows: &[Row], of: &dyn Fn(&Row, f64) -> f64| -> f64 {
        parts
            .iter()
            .filter_map(|(at, sign)| rows.get(*at).map(|row| of(row, *sign)))
            .sum()
    };
    let over = sum(rows, &|row, sign| sign * row.value.mean());
    if over.abs() < EXACT.base() {
        return;
    }
    let free = |row: &Row| matches!(row.origin, Origin::Derived(_));
    let all = sum(rows, &|row, _| {
        if free(row) {
            row.value.sd().powi(2)
        } else {
            0.0
        }
    });
    if all <= 0.0 {
        return;
    }
    for (at, sign) in parts {
        let Some(row) = rows.get_mut(at).filter(|row| free(row)) else {
            continue;
        };
        let variance = row.value.sd().powi(2);
        let mean = row.value.mean() - sign * over * variance / all;
        let mean = (mean / TENTH.base()).round() * TENTH.base();
        let sd = (variance * (1.0 - variance / all)).sqrt();
        if let Ok(value) = Estimate::from_base(mean, sd, row.value.dimension()) {
            row.value = value;
        }
    }
    // What rounding left over goes to the gap, or to what else was worked out.
    let left = sum(rows, &|row, sign| sign * row.value.mean());
    if let Some((at, sign)) = parts
        .iter()
        .rev()
        .find(|(at, _)| rows.get(*at).is_some_and(free))
        && let Some(row) = rows.get_mut(*at)
        && let Ok(value) = Estimate::from_base(
            row.value.mean() - sign * left,
            row.value.sd(),
            row.value.dimension(),
        )
    {
        row.value = value;
    }
}
