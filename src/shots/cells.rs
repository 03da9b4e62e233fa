//! What a row says: each cell a number, with the unit and direction it may carry.
//!
//! Takes the cells of one row and what the columns hold; gives the club and the numbers of the
//! shot, those no shot can have set apart. A unit in the cell wins over the column's (`3.1 cm`), and
//! so does a direction (`2.1 L`, `4 down`, `3 open`, `8 heel`). Right and left are turned to the push
//! side by the hand.
//! Invariant: a cell is used whole or the row is reported; nothing is guessed from its size.

use super::columns::{fitting, unit_of};
use super::{BadRow, Column, ColumnUse, Limit};
use crate::geometry::consistency::{Measured, MeasuredName};
use crate::quantity::{Amount, Dimension, Unit};
use crate::vocabulary::Hand;

/// How cells are read.
#[derive(Debug, Clone, Copy)]
pub(super) struct CellReader<'a> {
    /// 3,5 is a number.
    pub(super) decimal_comma: bool,
    pub(super) hand: Hand,
    pub(super) limits: &'a [Limit],
}

/// One row, read.
#[derive(Debug)]
pub(super) struct Row<'r> {
    pub(super) club: &'r str,
    pub(super) shot: Measured,
    /// Numbers no shot can have, left out.
    pub(super) impossible: Vec<BadRow>,
}

/// A number with the unit and the direction that stand beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Said {
    value: f64,
    unit: Option<Unit>,
    way: Option<Way>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    /// To the right + or left -, whoever swings.
    Right(bool),
    /// The house's + or -.
    Plus(bool),
}

impl CellReader<'_> {
    /// Reads one row, and notes the columns whose unit was needed for want of one in the cell.
    pub(super) fn row<'r>(
        self,
        record: &'r csv::StringRecord,
        columns: &mut [ColumnUse],
    ) -> Result<Row<'r>, BadRow> {
        if record.len() != columns.len() {
            return Err(BadRow::Cells {
                got: record.len(),
                wanted: columns.len(),
            });
        }
        let mut row = Row {
            club: "",
            shot: Measured::default(),
            impossible: Vec::new(),
        };
        let mut any = false;
        for (cell, column) in record.iter().zip(columns) {
            let cell = cell.trim();
            let (name, unit, turned) = match column.column {
                None | Some(Column::Ignored) => continue,
                Some(Column::Club) => {
                    row.club = cell;
                    continue;
                }
                Some(Column::Number(name, unit)) => (name, unit, false),
                Some(Column::TurfEntry(unit)) => (MeasuredName::DivotStart, unit, true),
            };
            if is_missing(cell) {
                continue;
            }
            let header = column.header.clone();
            let text = || cell.chars().take(40).collect::<String>();
            let Some(said) = self.said(cell, name) else {
                let text = text();
                return Err(BadRow::NotANumber {
                    column: header,
                    text,
                });
            };
            let signed = match said.way {
                None if name.sided() => said.value * self.hand.push_is_right(),
                None if turned => -said.value,
                None => said.value,
                Some(Way::Right(right)) => {
                    let side = if right { 1.0 } else { -1.0 };
                    said.value * side * self.hand.push_is_right()
                }
                Some(Way::Plus(plus)) => said.value.abs() * if plus { 1.0 } else { -1.0 },
            };
            column.unit_needed |= said.unit.is_none();
            let amount = Amount::new(signed, said.unit.unwrap_or(unit))
                .ok()
                .filter(|a| on_earth(*a));
            let Some(amount) = amount else {
                let text = text();
                return Err(BadRow::Absurd {
                    column: header,
                    text,
                });
            };
            let limit = self.limits.iter().find(|limit| limit.name == name);
            if limit.is_some_and(|limit| !limit.holds(amount)) {
                let text = text();
                row.impossible.push(BadRow::Impossible {
                    column: header,
                    text,
                });
                continue;
            }
            any |= row.shot.set(name, amount).is_ok();
        }
        match (any, row.impossible.first()) {
            (true, _) => Ok(row),
            (false, Some(first)) => Err(first.clone()),
            (false, None) => Err(BadRow::NoNumbers),
        }
    }

    fn said(self, cell: &str, name: MeasuredName) -> Option<Said> {
        let cell = cell.replace(['\u{2212}', '\u{2013}'], "-");
        // Some instruments put the side in front: L2.1.
        let (front, rest) = match cell.chars().next() {
            Some(c @ ('L' | 'l' | 'R' | 'r')) if name.sided() => {
                (Some(Way::Right(matches!(c, 'R' | 'r'))), cell.get(1..)?)
            }
            _ => (None, cell.as_str()),
        };
        let rest = rest.trim();
        let end = digits_end(rest);
        let (digits, words) = rest.split_at(end);
        let mut said = Said {
            value: self.number(digits.trim())?,
            unit: None,
            way: front,
        };
        let words = words.replace('\u{b0}', " deg ");
        for word in words.split_whitespace() {
            let unit = unit_of(word)
                .map(|u| fitting(u, name.dimension()))
                .filter(|u| u.dimension() == name.dimension());
            if let (Some(unit), None) = (unit, said.unit) {
                said.unit = Some(unit);
            } else if let (Some(way), None) = (way(word, name), said.way) {
                said.way = Some(way);
            } else {
                return None;
            }
        }
        Some(said)
    }

    fn number(self, digits: &str) -> Option<f64> {
        if self.decimal_comma {
            return digits.replace(',', ".").parse().ok();
        }
        if !digits.contains(',') {
            return digits.parse().ok();
        }
        // 6,400 in quotation marks: thousands.
        let mut parts = digits.split(',');
        let first = parts.next()?.trim_start_matches(['-', '+']);
        let grouped = (1..=3).contains(&first.len()) && parts.all(|p| p.len() == 3);
        grouped
            .then(|| digits.replace(',', "").parse().ok())
            .flatten()
    }
}

/// Where the digits of a cell end and words begin.
fn digits_end(text: &str) -> usize {
    text.char_indices()
        .find(|(i, c)| {
            let exponent = matches!(c, 'e' | 'E')
                && text.get(i + 1..).is_some_and(|rest| {
                    rest.starts_with(|d: char| d.is_ascii_digit() || d == '-' || d == '+')
                });
            !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+') || exponent)
        })
        .map_or(text.len(), |(i, _)| i)
}

/// The direction that a word gives to this number.
fn way(word: &str, name: MeasuredName) -> Option<Way> {
    use MeasuredName as N;
    let word = word.to_lowercase();
    let word = word.as_str();
    if name.sided() {
        match word {
            "r" | "right" => return Some(Way::Right(true)),
            "l" | "left" => return Some(Way::Right(false)),
            _ => {}
        }
    }
    let (plus, minus): (&[&str], &[&str]) = match name {
        N::Attack => (&["up"], &["down"]),
        N::Face | N::FaceToPath => (&["open"], &["closed", "shut"]),
        N::Path => (&["in-to-out", "in-out"], &["out-to-in", "out-in"]),
        N::LowPoint | N::DivotStart | N::DivotEnd => (&["ahead", "past"], &["behind", "before"]),
        N::StrikeAcross => (&["toe"], &["heel"]),
        N::StrikeUp => (&["high", "up"], &["low", "down"]),
        _ => return None,
    };
    if plus.contains(&word) {
        Some(Way::Plus(true))
    } else {
        minus.contains(&word).then_some(Way::Plus(false))
    }
}

fn is_missing(cell: &str) -> bool {
    const MISSING: [&str; 8] = ["-", "--", "na", "n/a", "nan", "null", "none", "?"];
    cell.is_empty()
        || MISSING
            .iter()
            .any(|missing| cell.eq_ignore_ascii_case(missing))
}

/// Within what any number at all could give; slips of unit stay in and are compared.
fn on_earth(amount: Amount) -> bool {
    let (low, high) = match amount.dimension() {
        Dimension::Angle => (-3.15, 3.15),
        Dimension::Speed => (0.0, 200.0),
        Dimension::Spin => (-20_000.0, 20_000.0),
        Dimension::Time => (0.0, 60.0),
        Dimension::Length | Dimension::Ratio | Dimension::Temperature => (-1000.0, 1000.0),
    };
    (low..=high).contains(&amount.base())
}
