//! What the first line of a table says: which column holds which number, in which unit.
//!
//! Takes a heading (`Attack Angle`, `club_path (deg)`, `ball speed mph`) and gives a [`Column`].
//! Capitals, blanks, underscores, hyphens and brackets do not matter; the unit stands last. The
//! names are those of [`COLUMNS`] and the trade's other words for them ([`OTHER_NAMES`]); more go
//! through a [`ColumnMap`]. Without a unit angles are degrees, speeds mph, carry and total yards, low
//! point and divot inches, the place of the strike millimetres; a height without one is not guessed
//! (feet and yards are both usual).
//! Also what the short names of clubs stand for ([`club_name`]).
//! Does not know: which instrument wrote the table, or which clubs a golfer owns.

use super::ShotsError;
use crate::geometry::consistency::MeasuredName;
use crate::quantity::{Dimension, Unit};
use std::collections::BTreeMap;

/// A column's documented name and what it holds.
pub const COLUMNS: [(&str, MeasuredName); 24] = [
    ("club_speed", MeasuredName::ClubSpeed),
    ("ball_speed", MeasuredName::BallSpeed),
    ("attack", MeasuredName::Attack),
    ("dynamic_loft", MeasuredName::DynamicLoft),
    ("spin_loft", MeasuredName::SpinLoft),
    ("launch", MeasuredName::Launch),
    ("start", MeasuredName::Start),
    ("face", MeasuredName::Face),
    ("path", MeasuredName::Path),
    ("face_to_path", MeasuredName::FaceToPath),
    ("swing_direction", MeasuredName::SwingDirection),
    ("plane", MeasuredName::Plane),
    ("low_point", MeasuredName::LowPoint),
    ("spin", MeasuredName::Spin),
    ("axis_tilt", MeasuredName::AxisTilt),
    ("carry", MeasuredName::Carry),
    ("total", MeasuredName::Total),
    ("apex", MeasuredName::Apex),
    ("time", MeasuredName::Time),
    ("landing", MeasuredName::Landing),
    ("divot_start", MeasuredName::DivotStart),
    ("divot_end", MeasuredName::DivotEnd),
    ("strike_across", MeasuredName::StrikeAcross),
    ("strike_up", MeasuredName::StrikeUp),
];

/// Other words of the trade for the same numbers.
pub const OTHER_NAMES: [(&str, MeasuredName); 56] = [
    ("clubhead_speed", MeasuredName::ClubSpeed),
    ("club_head_speed", MeasuredName::ClubSpeed),
    ("head_speed", MeasuredName::ClubSpeed),
    ("swing_speed", MeasuredName::ClubSpeed),
    ("attack_angle", MeasuredName::Attack),
    ("angle_of_attack", MeasuredName::Attack),
    ("aoa", MeasuredName::Attack),
    ("loft_at_impact", MeasuredName::DynamicLoft),
    ("delivered_loft", MeasuredName::DynamicLoft),
    ("launch_angle", MeasuredName::Launch),
    ("vertical_launch", MeasuredName::Launch),
    ("vertical_launch_angle", MeasuredName::Launch),
    ("start_direction", MeasuredName::Start),
    ("start_line", MeasuredName::Start),
    ("launch_direction", MeasuredName::Start),
    ("horizontal_launch", MeasuredName::Start),
    ("horizontal_launch_angle", MeasuredName::Start),
    ("face_angle", MeasuredName::Face),
    ("face_to_target", MeasuredName::Face),
    ("club_face", MeasuredName::Face),
    ("club_path", MeasuredName::Path),
    ("swing_path", MeasuredName::Path),
    ("path_angle", MeasuredName::Path),
    ("face_path", MeasuredName::FaceToPath),
    ("face_to_path_angle", MeasuredName::FaceToPath),
    ("swing_plane", MeasuredName::Plane),
    ("plane_angle", MeasuredName::Plane),
    ("lowpoint", MeasuredName::LowPoint),
    ("low_point_distance", MeasuredName::LowPoint),
    ("spin_rate", MeasuredName::Spin),
    ("total_spin", MeasuredName::Spin),
    ("spin_axis", MeasuredName::AxisTilt),
    ("axis", MeasuredName::AxisTilt),
    ("tilt", MeasuredName::AxisTilt),
    ("carry_distance", MeasuredName::Carry),
    ("total_distance", MeasuredName::Total),
    ("height", MeasuredName::Apex),
    ("max_height", MeasuredName::Apex),
    ("peak_height", MeasuredName::Apex),
    ("hang_time", MeasuredName::Time),
    ("flight_time", MeasuredName::Time),
    ("landing_angle", MeasuredName::Landing),
    ("land_angle", MeasuredName::Landing),
    ("descent_angle", MeasuredName::Landing),
    ("strike_across_face", MeasuredName::StrikeAcross),
    ("strike_across_the_face", MeasuredName::StrikeAcross),
    ("strike_toe", MeasuredName::StrikeAcross),
    ("strike_up_face", MeasuredName::StrikeUp),
    ("strike_up_the_face", MeasuredName::StrikeUp),
    ("strike_height", MeasuredName::StrikeUp),
    ("impact_offset", MeasuredName::StrikeAcross),
    ("horizontal_impact", MeasuredName::StrikeAcross),
    ("lateral_impact", MeasuredName::StrikeAcross),
    ("impact_height", MeasuredName::StrikeUp),
    ("vertical_impact", MeasuredName::StrikeUp),
    ("impact_location_vertical", MeasuredName::StrikeUp),
];

/// What is wrong with a line of a map file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum MapProblem {
    /// No equals sign, or nothing on one side of it.
    #[error("expected `theirs = ours unit`")]
    Shape,
    /// The name to the right is not known.
    #[error("unknown name")]
    Name,
    /// The unit is missing or not known.
    #[error("unknown unit")]
    Unit,
    /// The unit measures something else.
    #[error("the unit does not fit the name")]
    Dimension,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// The club's name.
    Club,
    /// A measured number in a unit.
    Number(MeasuredName, Unit),
    /// How far behind the ball the turf was entered: a divot start with the sign turned.
    TurfEntry(Unit),
    /// Left out on purpose.
    Ignored,
}

/// Other names for columns, from lines `theirs = ours unit`.
///
/// `theirs` is the column name of the file, `ours` one of [`COLUMNS`], `turf_entry`, `club` or
/// `ignore`. Empty lines and lines that begin with `#` are left out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ColumnMap {
    entries: BTreeMap<String, Column>,
}

impl ColumnMap {
    /// Reads the text of a map file.
    ///
    /// # Errors
    /// [`ShotsError::Map`] for the first line that makes no sense.
    pub fn parse(text: &str) -> Result<Self, ShotsError> {
        let mut entries = BTreeMap::new();
        for (i, line) in text.lines().enumerate() {
            let line_text = line.trim();
            if line_text.is_empty() || line_text.starts_with('#') {
                continue;
            }
            let wrong = |problem| ShotsError::Map {
                line: i + 1,
                text: line_text.chars().take(200).collect(),
                problem,
            };
            // The last equals sign: their names may hold one, ours never do.
            let (theirs, ours) = line_text
                .rsplit_once('=')
                .ok_or_else(|| wrong(MapProblem::Shape))?;
            let theirs = folded(theirs);
            let mut words = ours.split_whitespace();
            let (Some(name), unit, None) = (words.next(), words.next(), words.next()) else {
                return Err(wrong(MapProblem::Shape));
            };
            if theirs.is_empty() {
                return Err(wrong(MapProblem::Shape));
            }
            let column = match (folded(name).as_str(), unit) {
                ("club", None) => Column::Club,
                ("ignore", None) => Column::Ignored,
                (name, unit) => {
                    let kind = documented(name).ok_or_else(|| wrong(MapProblem::Name))?;
                    let unit = unit
                        .and_then(unit_of)
                        .ok_or_else(|| wrong(MapProblem::Unit))?;
                    kind.in_unit(unit)
                        .ok_or_else(|| wrong(MapProblem::Dimension))?
                }
            };
            entries.insert(theirs, column);
        }
        Ok(Self { entries })
    }

    /// The column of this heading, and whether its unit was taken for want of one.
    pub(super) fn column(&self, heading: &str) -> Option<(Column, bool)> {
        let name = folded(heading);
        match self.entries.get(&name) {
            Some(column) => Some((*column, false)),
            None => column_named(&name),
        }
    }
}

/// Small letters and digits with single underscores between: `Attack Angle (deg)`, `AttackAngle_deg`
/// and `attack-angle [deg]` are one.
fn folded(name: &str) -> String {
    let mut out = String::new();
    let mut small = false;
    let new_word = |out: &mut String| {
        if !out.is_empty() && !out.ends_with('_') {
            out.push('_');
        }
    };
    for c in name.trim_start_matches('\u{feff}').chars() {
        if c.is_alphanumeric() {
            if small && c.is_uppercase() {
                new_word(&mut out);
            }
            small = c.is_lowercase();
            out.extend(c.to_lowercase());
            continue;
        }
        small = false;
        match c {
            // m/s and km/h stay one word.
            '/' => {}
            '\u{b0}' => {
                new_word(&mut out);
                out.push_str("deg");
            }
            _ => new_word(&mut out),
        }
    }
    out.trim_end_matches('_').to_owned()
}

fn column_named(name: &str) -> Option<(Column, bool)> {
    if matches!(name, "club" | "club_name" | "club_type") {
        return Some((Column::Club, false));
    }
    if let Some(kind) = named(name) {
        return Some((kind.in_unit(kind.usual_unit()?)?, true));
    }
    let (stem, unit) = name.rsplit_once('_')?;
    Some((named(stem)?.in_unit(unit_of(unit)?)?, false))
}

#[derive(Debug, Clone, Copy)]
enum Kind {
    Number(MeasuredName),
    TurfEntry,
}

/// The documented name.
fn documented(name: &str) -> Option<Kind> {
    if name == "turf_entry" {
        return Some(Kind::TurfEntry);
    }
    COLUMNS
        .iter()
        .find(|(column, _)| *column == name)
        .map(|(_, kind)| Kind::Number(*kind))
}

/// The documented name, or the trade's other words for it.
fn named(name: &str) -> Option<Kind> {
    let other = || {
        OTHER_NAMES
            .iter()
            .find(|(column, _)| *column == name)
            .map(|(_, kind)| Kind::Number(*kind))
    };
    documented(name).or_else(other)
}

impl Kind {
    /// The column, if the unit fits; `ms` after a speed is metres per second.
    fn in_unit(self, unit: Unit) -> Option<Column> {
        let (wanted, column) = match self {
            Self::Number(name) => {
                let unit = fitting(unit, name.dimension());
                (name.dimension(), Column::Number(name, unit))
            }
            Self::TurfEntry => (Dimension::Length, Column::TurfEntry(unit)),
        };
        (fitting(unit, wanted).dimension() == wanted).then_some(column)
    }

    /// The unit of a number that stands without one; none where the trade uses two.
    const fn usual_unit(self) -> Option<Unit> {
        match self {
            Self::TurfEntry => Some(Unit::Inch),
            Self::Number(name) => match name {
                MeasuredName::Carry | MeasuredName::Total => Some(Unit::Yard),
                MeasuredName::Apex => None,
                MeasuredName::StrikeAcross | MeasuredName::StrikeUp => Some(Unit::Millimetre),
                _ => match name.dimension() {
                    Dimension::Length => Some(Unit::Inch),
                    Dimension::Angle => Some(Unit::Degree),
                    Dimension::Speed => Some(Unit::MilePerHour),
                    Dimension::Spin => Some(Unit::Rpm),
                    Dimension::Time => Some(Unit::Second),
                    Dimension::Ratio | Dimension::Temperature => None,
                },
            },
        }
    }
}

/// `ms` where a speed is meant is metres per second.
pub(super) fn fitting(unit: Unit, wanted: Dimension) -> Unit {
    if wanted == Dimension::Speed && unit == Unit::Millisecond {
        Unit::MetrePerSecond
    } else {
        unit
    }
}

/// The unit that a word or sign stands for.
pub(super) fn unit_of(text: &str) -> Option<Unit> {
    if text == "\"" {
        return Some(Unit::Inch);
    }
    match folded(text).as_str() {
        "in" | "inch" | "inches" => Some(Unit::Inch),
        "cm" => Some(Unit::Centimetre),
        "mm" => Some(Unit::Millimetre),
        "m" | "metres" | "meters" => Some(Unit::Metre),
        "yd" | "yds" | "yards" => Some(Unit::Yard),
        "ft" | "feet" => Some(Unit::Foot),
        "deg" | "degs" | "degree" | "degrees" => Some(Unit::Degree),
        "rad" => Some(Unit::Radian),
        "mph" => Some(Unit::MilePerHour),
        "kmh" | "kph" => Some(Unit::KilometrePerHour),
        "mps" => Some(Unit::MetrePerSecond),
        "rpm" => Some(Unit::Rpm),
        "s" | "sec" | "seconds" => Some(Unit::Second),
        "ms" => Some(Unit::Millisecond),
        _ => None,
    }
}

/// The club that a short name stands for: `7`, `7i`, `7-iron` and `iron 7` are the 7 iron, `PW` the
/// pitching wedge, `3w` the 3 wood. Any other name comes back in small letters.
///
/// ```
/// use swingwhy::shots::club_name;
/// assert_eq!(club_name(" 7I "), "7 iron");
/// assert_eq!(club_name("Iron 7"), "7 iron");
/// assert_eq!(club_name("PW"), "pitching wedge");
/// assert_eq!(club_name("my old spoon"), "my old spoon");
/// ```
pub fn club_name(text: &str) -> String {
    let small: String = text
        .chars()
        .filter(|c| !c.is_control())
        .flat_map(char::to_lowercase)
        .collect();
    let small = small.trim();
    let squeezed: String = small.chars().filter(|c| c.is_alphanumeric()).collect();
    let number = |n: &str, sorts: &[(&str, u8, u8)]| {
        let digit = n.parse::<u8>().ok().filter(|_| n.len() == 1)?;
        sorts
            .iter()
            .find(|(_, least, most)| (*least..=*most).contains(&digit))
            .map(|(sort, _, _)| format!("{digit} {sort}"))
    };
    let kinds: [(&[&str], &str, u8, u8); 3] = [
        (&["iron", "i"], "iron", 1, 9),
        (&["wood", "w"], "wood", 2, 9),
        (&["hybrid", "hy", "h"], "hybrid", 1, 9),
    ];
    let numbered = kinds.iter().find_map(|(words, sort, least, most)| {
        words.iter().find_map(|word| {
            let n = squeezed
                .strip_suffix(word)
                .or_else(|| squeezed.strip_prefix(word))?;
            number(n, &[(*sort, *least, *most)])
        })
    });
    let named = match squeezed.as_str() {
        "d" | "dr" | "drv" | "1w" | "driver" => Some("driver"),
        "pw" | "pitchingwedge" => Some("pitching wedge"),
        "gw" | "aw" | "gapwedge" => Some("gap wedge"),
        "sw" | "sandwedge" => Some("sand wedge"),
        "lw" | "lobwedge" => Some("lob wedge"),
        _ => None,
    };
    named
        .map(str::to_owned)
        .or(numbered)
        .or_else(|| number(&squeezed, &[("iron", 1, 9)]))
        .unwrap_or_else(|| small.to_owned())
}
