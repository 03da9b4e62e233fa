//! What a file of measured shots says: means with spread and interval, what disagrees, and what was
//! not used.
//!
//! Takes statistics of one club's shots; gives lines for the command line. Draws no conclusion about
//! causes.

use std::fmt::Write as _;

use super::calculator::{AHEAD, BEHIND, disagreement_lines, lines, of};
use super::drawing::Drawing;
use super::explain::disagreement;
use super::number::{Manner, amount, listed, range, rounded, shown_unit};
use super::page::clean;
use crate::geometry::consistency::{Disagreement, Measured, MeasuredName, disagreements};
use crate::geometry::follow::Part;
use crate::geometry::shots::ShotStatistics;
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Amount, Angle, Dimension, Length, Speed, Spin, Unit};
use crate::shots::ShotReport;

const fn usual_unit(dimension: Dimension, name: MeasuredName) -> Unit {
    match dimension {
        Dimension::Length => match name {
            MeasuredName::Carry | MeasuredName::Total | MeasuredName::Apex => Unit::Yard,
            MeasuredName::StrikeAcross | MeasuredName::StrikeUp => Unit::Millimetre,
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
    conflicts: &[(u64, Disagreement)],
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
        for (line, found) in conflicts {
            let text = format!("  line {line}: {}", disagreement(base, found, manner));
            lines(&mut out, &text);
        }
        let kept = u64::try_from(conflicts.len()).unwrap_or(u64::MAX);
        if shots.shots_in_conflict() > kept {
            lines(&mut out, "  and others");
        }
    }
    out.push_str(&disagreement_lines(
        base,
        &disagreements(&shots.means()),
        manner,
    ));
    out
}

/// A mean strike nearer the middle than so many millimetres is in the middle: told as a side it would
/// be heard as a complaint (common practice).
const OFF_THE_MIDDLE: f64 = 8.0;

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
    if let Some(x) = means.face_to_path.map(Angle::as_degrees)
        && (means.face.is_none() || means.path.is_none())
    {
        let way = side(x, "open", "closed");
        parts.push(format!("face to path {} deg {way}", round(x)));
    }
    if let Some(x) = means.strike_across.map(Length::as_millimetres)
        && x.abs() >= OFF_THE_MIDDLE
    {
        let way = side(x, "toe", "heel");
        parts.push(format!("strike {} mm toward the {way}", round(x)));
    }
    if let Some(x) = means.strike_up.map(Length::as_millimetres) {
        parts.push(format!("strike {} mm {}", round(x), side(x, "high", "low")));
    }
    if let Some(x) = means.dynamic_loft.map(Angle::as_degrees) {
        parts.push(format!("dynamic loft {} deg", round(x)));
    }
    // What the ball did, as it is measured; a golfer would tell it so too.
    if let Some(x) = means.club_speed.map(Speed::as_mph) {
        parts.push(format!("club speed {} mph", round(x)));
    }
    if let Some(x) = means.ball_speed.map(Speed::as_mph) {
        parts.push(format!("ball speed {} mph", round(x)));
    }
    if let Some(x) = means.launch.map(Angle::as_degrees) {
        parts.push(format!("launch {} deg", round(x)));
    }
    if let Some(x) = means.spin.map(Spin::as_rpm) {
        parts.push(format!("spin {} rpm", rounded(x, 0)));
    }
    if let Some(x) = means.carry.map(Length::as_yards) {
        parts.push(format!("carry {} yd", round(x)));
    }
    parts.join(", ")
}

/// The numbers of the table that are not told, because nothing is judged by them here.
pub fn left_out_line(base: &KnowledgeBase, means: &Measured) -> String {
    const TOLD: [MeasuredName; 14] = [
        MeasuredName::LowPoint,
        MeasuredName::Attack,
        MeasuredName::DivotStart,
        MeasuredName::Path,
        MeasuredName::Face,
        MeasuredName::FaceToPath,
        MeasuredName::StrikeAcross,
        MeasuredName::StrikeUp,
        MeasuredName::DynamicLoft,
        MeasuredName::ClubSpeed,
        MeasuredName::BallSpeed,
        MeasuredName::Launch,
        MeasuredName::Spin,
        MeasuredName::Carry,
    ];
    let names: Vec<String> = MeasuredName::ALL
        .into_iter()
        .filter(|name| means.get(*name).is_some())
        .filter(|name| {
            let middle = |x: Length| x.as_millimetres().abs() < OFF_THE_MIDDLE;
            let centred =
                *name == MeasuredName::StrikeAcross && means.strike_across.is_some_and(middle);
            centred || !TOLD.contains(name)
        })
        .map(|name| {
            base.find_quantity(name.id()).map_or_else(
                || name.id().replace('_', " "),
                |q| base.quantity(q).name.clone(),
            )
        })
        .collect();
    let mut out = String::new();
    if !names.is_empty() {
        lines(
            &mut out,
            &format!("Not told, only shown above: {}.", listed(&names)),
        );
    }
    out
}

/// The clubs that are shown and not judged.
pub fn not_judged_line(clubs: &[String]) -> String {
    let mut out = String::new();
    let text = format!(
        "Shown, not judged, with the fewest shots: {}. One club by itself: --club.",
        listed(clubs)
    );
    lines(&mut out, &text);
    out
}

/// Why a row was left out, with its line in the file.
pub fn bad_row_line(line: u64, why: &str) -> String {
    format!("line {line}: {}", clean(why))
}

fn unit_word(unit: Unit) -> &'static str {
    match unit {
        Unit::Inch => "inches",
        Unit::Millimetre => "millimetres",
        Unit::Yard => "yards",
        Unit::Degree => "degrees",
        Unit::Second => "seconds",
        other => other.symbol(),
    }
}

/// How many numbers left out are named, the rest counted.
const NAMED: usize = 5;

/// How many rows were used, what was left out of them, which units were taken and which columns
/// were not used.
pub fn rows_lines(report: &ShotReport) -> String {
    let mut out = String::new();
    let bad = match report.bad_count {
        0 => "none was left out".to_owned(),
        1 => "1 bad row was left out".to_owned(),
        n => format!("{n} bad rows were left out"),
    };
    let many = if report.used == 1 { "row" } else { "rows" };
    lines(&mut out, &format!("{} {many} used; {bad}.", report.used));
    if report.left_out_count > 0 {
        let mut named: Vec<String> = report
            .left_out
            .iter()
            .take(NAMED)
            .map(|(line, why)| format!("line {line}, {}", clean(&why.to_string())))
            .collect();
        let rest = report.left_out_count - u64::try_from(named.len()).unwrap_or(0);
        if rest > 0 {
            named.push(format!("{rest} more"));
        }
        lines(
            &mut out,
            &format!("Numbers left out: {}.", named.join("; ")),
        );
    }
    let mut taken: Vec<(Unit, Vec<String>)> = Vec::new();
    for column in &report.columns {
        let Some(unit) = column.taken_unit() else {
            continue;
        };
        let header = clean(&column.header);
        match taken.iter_mut().find(|(u, _)| *u == unit) {
            Some((_, headers)) => headers.push(header),
            None => taken.push((unit, vec![header])),
        }
    }
    if !taken.is_empty() {
        let each: Vec<String> = taken
            .iter()
            .map(|(unit, headers)| format!("{} for {}", unit_word(*unit), listed(headers)))
            .collect();
        lines(
            &mut out,
            &format!("No unit in the table, so taken: {}.", each.join("; ")),
        );
    }
    let unused: Vec<String> = report
        .columns
        .iter()
        .filter(|c| c.column.is_none())
        .map(|c| clean(&c.header))
        .collect();
    if !unused.is_empty() {
        lines(&mut out, &format!("Columns not used: {}.", listed(&unused)));
    }
    out
}

/// Says that the means of one club are now told as a golfer would tell them.
pub fn telling_line(told: &str) -> String {
    let mut out = String::new();
    lines(&mut out, &format!("Told as means: {told}"));
    out
}
