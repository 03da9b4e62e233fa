//! What a file of measured shots says: means with spread and interval, what disagrees, and what was
//! not used.
//!
//! Takes statistics of one club's shots; gives lines for the command line. Draws no conclusion about
//! causes.

use std::fmt::Write as _;

use super::calculator::{AHEAD, BEHIND, disagreement_lines, lines, of};
use super::drawing::Drawing;
use super::number::{Manner, amount, listed, range, rounded, shown_unit};
use super::page::clean;
use crate::geometry::consistency::{Measured, MeasuredName, disagreements};
use crate::geometry::follow::Part;
use crate::geometry::shots::ShotStatistics;
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Amount, Angle, Dimension, Length, Unit};

const fn usual_unit(dimension: Dimension, name: MeasuredName) -> Unit {
    match dimension {
        Dimension::Length => match name {
            MeasuredName::Carry | MeasuredName::Total | MeasuredName::Apex => Unit::Yard,
            _ => Unit::Inch,
        },
        Dimension::Angle => Unit::Degree,
        Dimension::Speed => Unit::MilePerHour,
        Dimension::Spin => Unit::Rpm,
        Dimension::Time => Unit::Second,
        Dimension::Ratio => Unit::One,
        Dimension::Temperature => Unit::Celsius,
    }
}

fn size(value: Amount, name: MeasuredName, manner: Manner) -> String {
    let unit = shown_unit(usual_unit(value.dimension(), name), manner.metric);
    let number = value.value_in(unit).unwrap_or(0.0);
    format!("{} {unit}", rounded(number, 1))
}

/// One club's shots: each number's mean, count, spread and interval, then what disagrees.
pub fn club_lines(
    base: &KnowledgeBase,
    club: &str,
    shots: &ShotStatistics,
    manner: Manner,
) -> String {
    let mut out = String::new();
    let name = if club.is_empty() {
        "no club named"
    } else {
        club
    };
    let many = if shots.shots() == 1 { "shot" } else { "shots" };
    lines(
        &mut out,
        &format!("{}: {} {many}", clean(name), shots.shots()),
    );
    for (name, summary) in shots.summaries() {
        let quantity = base.find_quantity(name.id());
        let (label, mean) = match quantity {
            Some(q) => (
                base.quantity(q).name.clone(),
                amount(base, q, summary.mean, manner),
            ),
            None => (
                name.id().replace('_', " "),
                size(summary.mean, name, manner),
            ),
        };
        let mut text = format!("{label} {mean} (n {}", summary.count);
        if let Some(sd) = summary.sd {
            let _ = write!(text, ", spread {}", size(sd, name, manner));
        }
        if let Some((low, high)) = summary.interval {
            let between = match quantity {
                Some(q) => range(base, q, low, high, manner),
                None => format!(
                    "{} to {}",
                    size(low, name, manner),
                    size(high, name, manner)
                ),
            };
            let _ = write!(text, ", mean within {between}");
        }
        text.push(')');
        lines(&mut out, &format!("- {text}"));
    }
    if let Ok(vertical) = shots.vertical_radius() {
        let words = of(Part::VerticalRadius);
        let drawing = Drawing {
            plain: true,
            metric: manner.metric,
            hand: manner.hand,
        };
        let text = format!(
            "- {} {}{}: from low point and attack",
            words.name,
            words.value(vertical.mean(), drawing),
            words.range(vertical, drawing)
        );
        lines(&mut out, &text);
    }
    if shots.shots_in_conflict() > 0 {
        let text = format!(
            "- in {} of {} the numbers of a single shot do not go together",
            shots.shots_in_conflict(),
            shots.shots()
        );
        lines(&mut out, &text);
    }
    out.push_str(&disagreement_lines(
        base,
        &disagreements(&shots.means()),
        manner,
    ));
    out
}

/// The means as a line a golfer could type.
pub fn means_line(club: &str, means: &Measured) -> String {
    let mut parts: Vec<String> = Vec::new();
    if !club.is_empty() {
        parts.push(clean(club).replace(',', " "));
    }
    let round = |x: f64| rounded(x.abs(), 1);
    let side = |x: f64, plus: &'static str, minus: &'static str| if x < 0.0 { minus } else { plus };
    if let Some(x) = means.low_point.map(Length::as_inches) {
        parts.push(format!(
            "low point {} in {}",
            round(x),
            side(x, "ahead", "behind")
        ));
    }
    if let Some(x) = means.attack.map(Angle::as_degrees) {
        parts.push(format!(
            "attack angle {} deg {}",
            round(x),
            side(x, "up", "down")
        ));
    }
    if let Some(x) = means.divot_start.map(Length::as_inches) {
        let place = side(x, AHEAD, BEHIND);
        parts.push(format!("divot starts {} in {place}", round(x)));
    }
    for (label, angle) in [("path", means.path), ("face", means.face)] {
        if let Some(x) = angle.map(Angle::as_degrees) {
            let sign = if x < 0.0 { '-' } else { '+' };
            parts.push(format!("{label} {sign}{} deg", round(x)));
        }
    }
    if let Some(x) = means.dynamic_loft.map(Angle::as_degrees) {
        parts.push(format!("dynamic loft {} deg", round(x)));
    }
    parts.join(", ")
}

/// Why a row was left out, with its line in the file.
pub fn bad_row_line(line: u64, why: &str) -> String {
    format!("line {line}: {}", clean(why))
}

/// How many rows were used, and which columns were not.
pub fn rows_line(used: u64, bad: u64, unused: &[String]) -> String {
    let mut out = String::new();
    let bad = match bad {
        0 => "none was left out".to_owned(),
        1 => "1 bad row was left out".to_owned(),
        n => format!("{n} bad rows were left out"),
    };
    let many = if used == 1 { "row" } else { "rows" };
    lines(&mut out, &format!("{used} {many} used; {bad}."));
    if !unused.is_empty() {
        lines(&mut out, &format!("Columns not used: {}.", listed(unused)));
    }
    out
}

/// Says that the means of one club are now told as a golfer would tell them.
pub fn telling_line(told: &str) -> String {
    let mut out = String::new();
    lines(&mut out, &format!("Told as means: {told}"));
    out
}
