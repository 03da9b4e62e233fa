//! A file of measured shots: `swingwhy shots FILE.csv`.
//!
//! Takes a plain table, one shot a line, first line the names of the columns; gives one
//! [`ShotStatistics`] for each club, which columns were used, and every bad row by its line.
//!
//! Column names carry their unit: `attack_deg`, `low_point_in`, `ball_speed_mph`, `carry_yd`. The
//! names are those of [`COLUMNS`] and `club`; the units `in cm mm m yd ft deg rad mph kmh mps rpm s
//! ms`. Spaces and capitals do not matter (`Low Point (in)`). Other names go through a map file
//! with lines like `Attack Ang. = attack deg` ([`ColumnMap`]). Directions are + to the right, as
//! instruments give them (`2.1 L` is read too), and are turned to the push side by the hand.
//! Separators may be comma, semicolon (then 3,5 is a number) or tab. Empty cells are fine.
//!
//! Invariants: a row is used whole or reported; memory does not grow with the number of rows;
//! the same file gives the same report. Does not know: instruments, or what a club is called.

use crate::geometry::consistency::{Measured, MeasuredName};
use crate::geometry::shots::ShotStatistics;
use crate::quantity::{Amount, Dimension, Unit};
use crate::vocabulary::Hand;
use std::collections::BTreeMap;
use std::io::{self, BufRead, Read};

/// A column's documented name and what it holds.
pub const COLUMNS: [(&str, MeasuredName); 21] = [
    ("club_speed", MeasuredName::ClubSpeed),
    ("ball_speed", MeasuredName::BallSpeed),
    ("attack", MeasuredName::Attack),
    ("dynamic_loft", MeasuredName::DynamicLoft),
    ("spin_loft", MeasuredName::SpinLoft),
    ("launch", MeasuredName::Launch),
    ("start", MeasuredName::Start),
    ("face", MeasuredName::Face),
    ("path", MeasuredName::Path),
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
];

/// Longest line that is read, in bytes.
const LONGEST_LINE: usize = 64 * 1024;
/// How many bad rows are kept with their reason; the rest are counted.
const BAD_ROWS_KEPT: usize = 1000;
/// How many clubs are kept apart; shots with further names go together under [`OTHER_CLUBS`].
const CLUBS_KEPT: usize = 100;
/// The name under which shots beyond the hundredth club are kept.
pub const OTHER_CLUBS: &str = "(further clubs)";
/// Longest club name kept.
const CLUB_NAME: usize = 40;

/// Why a file of shots could not be used at all.
#[derive(Debug, thiserror::Error)]
pub enum ShotsError {
    /// The file could not be read.
    #[error("the file could not be read: {0}")]
    Read(#[from] io::Error),
    /// The file is empty.
    #[error("the file is empty")]
    Empty,
    /// No column is known.
    #[error("no column is known: {}", headers.join(", "))]
    NoColumns {
        /// What the first line says.
        headers: Vec<String>,
    },
    /// A line of the map file makes no sense.
    #[error("line {line} of the map: {problem}: {text}")]
    Map {
        /// The line, from 1.
        line: usize,
        /// What it says.
        text: String,
        /// What is wrong.
        problem: MapProblem,
    },
}

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
                    let kind = named(name).ok_or_else(|| wrong(MapProblem::Name))?;
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
}

/// How to read a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShotOptions {
    /// Other names of columns.
    pub map: ColumnMap,
    /// The golfer's hand: turns right and left into push side and pull side.
    pub hand: Hand,
}

/// What became of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnUse {
    /// Its name in the file.
    pub header: String,
    /// What it was read as; `None` if its name or unit is not known, or another column already
    /// holds the same.
    pub column: Option<Column>,
}

/// Why a row was left out.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BadRow {
    /// A cell that should hold a number does not.
    #[error("{column}: not a number: {text}")]
    NotANumber {
        /// The column's name in the file.
        column: String,
        /// What the cell says, shortened.
        text: String,
    },
    /// A number no shot can have.
    #[error("{column}: out of all range: {text}")]
    Absurd {
        /// The column's name in the file.
        column: String,
        /// What the cell says, shortened.
        text: String,
    },
    /// Fewer or more cells than columns.
    #[error("{got} cells where the first line has {wanted}")]
    Cells {
        /// How many there are.
        got: usize,
        /// How many columns there are.
        wanted: usize,
    },
    /// No number at all in the row.
    #[error("no number in the row")]
    NoNumbers,
    /// The line is longer than any row.
    #[error("longer than {LONGEST_LINE} bytes")]
    TooLong,
    /// The line is not text.
    #[error("not UTF-8 text")]
    NotText,
    /// A quotation mark without its partner on the line.
    #[error("a quotation mark is not closed")]
    OpenQuote,
}

/// What a file of shots comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct ShotReport {
    /// Rows that hold anything, the first line not counted.
    pub rows: u64,
    /// Rows used.
    pub used: u64,
    /// The first bad rows: line in the file, from 1, and why.
    pub bad: Vec<(u64, BadRow)>,
    /// How many bad rows there were in all.
    pub bad_count: u64,
    /// What became of each column.
    pub columns: Vec<ColumnUse>,
    /// The shots of each club by its name in the file, in small letters; empty for no name.
    pub clubs: BTreeMap<String, ShotStatistics>,
}

/// Reads a file of shots to its end, one row at a time.
///
/// # Errors
/// [`ShotsError`]: the file cannot be read, is empty, or has no column that is known.
///
/// ```
/// use swingwhy::shots::{ShotOptions, ColumnMap, read_shots};
/// use swingwhy::vocabulary::Hand;
/// let text = "club,attack_deg,low_point_in\n7i,-4.1,3.5\n7i,-3.9,\n7i,down,3\n";
/// let options = ShotOptions { map: ColumnMap::default(), hand: Hand::Right };
/// let report = read_shots(text.as_bytes(), &options)?;
/// assert_eq!((report.used, report.bad_count), (2, 1));
/// assert_eq!(report.bad[0].0, 4);
/// # Ok::<(), swingwhy::shots::ShotsError>(())
/// ```
pub fn read_shots(input: impl BufRead, options: &ShotOptions) -> Result<ShotReport, ShotsError> {
    read_each_shot(input, options, |_, _| {})
}

/// The same, with each good shot handed over as it is read: the club as written, and the numbers.
///
/// # Errors
/// As [`read_shots`].
pub fn read_each_shot(
    input: impl BufRead,
    options: &ShotOptions,
    mut each: impl FnMut(&str, &Measured),
) -> Result<ShotReport, ShotsError> {
    let mut screened = Screened::new(input);
    let first = screened.first_line()?.ok_or(ShotsError::Empty)?;
    let delimiter = delimiter_of(&first);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(screened);
    let mut record = csv::StringRecord::new();
    if !next(&mut reader, &mut record)? {
        return Err(ShotsError::Empty);
    }
    let columns = columns_of(&record, &options.map);
    if !columns
        .iter()
        .any(|c| matches!(c.column, Some(Column::Number(..) | Column::TurfEntry(_))))
    {
        let headers = columns.into_iter().map(|c| c.header).collect();
        return Err(ShotsError::NoColumns { headers });
    }
    let mut report = ShotReport {
        rows: 0,
        used: 0,
        bad: Vec::new(),
        bad_count: 0,
        columns,
        clubs: BTreeMap::new(),
    };
    let cells = CellReader {
        decimal_comma: delimiter == b';',
        hand: options.hand,
    };
    while next(&mut reader, &mut record)? {
        report.rows += 1;
        let line = record.position().map_or(0, csv::Position::line);
        match cells.shot(&record, &report.columns) {
            Ok((club, shot)) => {
                report.used += 1;
                each(club, &shot);
                club_entry(&mut report.clubs, club).add(&shot);
            }
            Err(reason) => {
                report.bad_count += 1;
                if report.bad.len() < BAD_ROWS_KEPT {
                    report.bad.push((line, reason));
                }
            }
        }
    }
    let screened = reader.into_inner();
    report.rows += screened.bad_count;
    report.bad_count += screened.bad_count;
    report.bad.extend(screened.bad);
    report.bad.sort_by_key(|(line, _)| *line);
    report.bad.truncate(BAD_ROWS_KEPT);
    Ok(report)
}

fn next<R: Read>(
    reader: &mut csv::Reader<R>,
    record: &mut csv::StringRecord,
) -> Result<bool, ShotsError> {
    reader
        .read_record(record)
        .map_err(|error| ShotsError::Read(error.into()))
}

fn club_entry<'a>(
    clubs: &'a mut BTreeMap<String, ShotStatistics>,
    club: &str,
) -> &'a mut ShotStatistics {
    let mut name = String::new();
    for c in club.trim().chars().take(CLUB_NAME) {
        if !c.is_control() {
            name.extend(c.to_lowercase());
        }
    }
    if !clubs.contains_key(&name) && clubs.len() >= CLUBS_KEPT {
        OTHER_CLUBS.clone_into(&mut name);
    }
    clubs.entry(name).or_default()
}

/// The separator that the first line has most of.
fn delimiter_of(first: &[u8]) -> u8 {
    let count = |wanted: u8| first.iter().fold(0, |n, b| n + usize::from(*b == wanted));
    let mut best = b',';
    for candidate in [b';', b'\t'] {
        if count(candidate) > count(best) {
            best = candidate;
        }
    }
    best
}

fn columns_of(headers: &csv::StringRecord, map: &ColumnMap) -> Vec<ColumnUse> {
    let mut seen: Vec<Column> = Vec::new();
    headers
        .iter()
        .map(|header| {
            let header = header.trim_start_matches('\u{feff}').trim();
            let name = folded(header);
            let column = map
                .entries
                .get(&name)
                .copied()
                .or_else(|| column_named(&name));
            let again = |c: Column| match c {
                Column::Ignored => false,
                Column::Club | Column::TurfEntry(_) => seen.contains(&c),
                Column::Number(name, _) => seen
                    .iter()
                    .any(|other| matches!(other, Column::Number(n, _) if *n == name)),
            };
            let column = column.filter(|c| !again(*c));
            seen.extend(column);
            ColumnUse {
                header: header.chars().take(80).collect(),
                column,
            }
        })
        .collect()
}

/// Small letters and digits with single underscores between.
fn folded(name: &str) -> String {
    let mut out = String::new();
    for c in name.trim_start_matches('\u{feff}').chars() {
        if c.is_alphanumeric() {
            out.extend(c.to_lowercase());
        } else if c == '/' {
            // m/s and km/h stay one word.
        } else if !out.is_empty() && !out.ends_with('_') {
            out.push('_');
        }
    }
    out.trim_end_matches('_').to_owned()
}

fn column_named(name: &str) -> Option<Column> {
    if name == "club" {
        return Some(Column::Club);
    }
    let (stem, unit) = name.rsplit_once('_')?;
    named(stem)?.in_unit(unit_of(unit)?)
}

#[derive(Debug, Clone, Copy)]
enum Kind {
    Number(MeasuredName),
    TurfEntry,
}

fn named(name: &str) -> Option<Kind> {
    if name == "turf_entry" {
        return Some(Kind::TurfEntry);
    }
    COLUMNS
        .iter()
        .find(|(column, _)| *column == name)
        .map(|(_, kind)| Kind::Number(*kind))
}

impl Kind {
    /// The column, if the unit fits; `ms` after a speed is metres per second.
    fn in_unit(self, unit: Unit) -> Option<Column> {
        let speed = matches!(self, Self::Number(n) if n.dimension() == Dimension::Speed);
        let unit = if speed && unit == Unit::Millisecond {
            Unit::MetrePerSecond
        } else {
            unit
        };
        let (wanted, column) = match self {
            Self::Number(name) => (name.dimension(), Column::Number(name, unit)),
            Self::TurfEntry => (Dimension::Length, Column::TurfEntry(unit)),
        };
        (unit.dimension() == wanted).then_some(column)
    }
}

fn unit_of(text: &str) -> Option<Unit> {
    match folded(text).as_str() {
        "in" | "inch" | "inches" => Some(Unit::Inch),
        "cm" => Some(Unit::Centimetre),
        "mm" => Some(Unit::Millimetre),
        "m" => Some(Unit::Metre),
        "yd" | "yds" | "yards" => Some(Unit::Yard),
        "ft" | "feet" => Some(Unit::Foot),
        "deg" | "degrees" => Some(Unit::Degree),
        "rad" => Some(Unit::Radian),
        "mph" => Some(Unit::MilePerHour),
        "kmh" | "kph" => Some(Unit::KilometrePerHour),
        "mps" => Some(Unit::MetrePerSecond),
        "rpm" => Some(Unit::Rpm),
        "s" | "sec" => Some(Unit::Second),
        "ms" => Some(Unit::Millisecond),
        _ => None,
    }
}

#[derive(Debug, Clone, Copy)]
struct CellReader {
    decimal_comma: bool,
    hand: Hand,
}

impl CellReader {
    fn shot<'r>(
        self,
        record: &'r csv::StringRecord,
        columns: &[ColumnUse],
    ) -> Result<(&'r str, Measured), BadRow> {
        if record.len() != columns.len() {
            return Err(BadRow::Cells {
                got: record.len(),
                wanted: columns.len(),
            });
        }
        let mut shot = Measured::default();
        let (mut club, mut any) = ("", false);
        for (cell, ColumnUse { header, column }) in record.iter().zip(columns) {
            let cell = cell.trim();
            let (name, unit, turned) = match column {
                None | Some(Column::Ignored) => continue,
                Some(Column::Club) => {
                    club = cell;
                    continue;
                }
                Some(Column::Number(name, unit)) => (*name, *unit, false),
                Some(Column::TurfEntry(unit)) => (MeasuredName::DivotStart, *unit, true),
            };
            if is_missing(cell) {
                continue;
            }
            let said = || (header.clone(), cell.chars().take(40).collect::<String>());
            let mut value = self.number(cell, name.sided()).ok_or_else(|| {
                let (column, text) = said();
                BadRow::NotANumber { column, text }
            })?;
            if name.sided() {
                value *= self.hand.push_is_right();
            }
            if turned {
                value = -value;
            }
            let amount = Amount::new(value, unit).ok().filter(|a| possible(*a));
            let set = amount.and_then(|amount| shot.set(name, amount).ok());
            if set.is_none() {
                let (column, text) = said();
                return Err(BadRow::Absurd { column, text });
            }
            any = true;
        }
        if any {
            Ok((club, shot))
        } else {
            Err(BadRow::NoNumbers)
        }
    }

    fn number(self, cell: &str, sided: bool) -> Option<f64> {
        let (digits, side) = match cell.as_bytes().last() {
            Some(b'R' | b'r') if sided => (cell.get(..cell.len() - 1)?, 1.0),
            Some(b'L' | b'l') if sided => (cell.get(..cell.len() - 1)?, -1.0),
            _ => (cell, 1.0),
        };
        let digits = digits.trim();
        let value: f64 = if self.decimal_comma && digits.contains(',') {
            digits.replace(',', ".").parse().ok()?
        } else {
            digits.parse().ok()?
        };
        Some(value * side)
    }
}

fn is_missing(cell: &str) -> bool {
    const MISSING: [&str; 8] = ["-", "--", "na", "n/a", "nan", "null", "none", "?"];
    cell.is_empty()
        || MISSING
            .iter()
            .any(|missing| cell.eq_ignore_ascii_case(missing))
}

/// Within what any shot on earth could give; slips of unit stay in and are compared.
fn possible(amount: Amount) -> bool {
    let (low, high) = match amount.dimension() {
        Dimension::Angle => (-3.15, 3.15),
        Dimension::Speed => (0.0, 200.0),
        Dimension::Spin => (-20_000.0, 20_000.0),
        Dimension::Time => (0.0, 60.0),
        Dimension::Length | Dimension::Ratio | Dimension::Temperature => (-1000.0, 1000.0),
    };
    (low..=high).contains(&amount.base())
}

/// Hands on whole lines that are text, of some length, with quotation marks in pairs; a line that
/// is not becomes an empty one and is noted, so that one bad line cannot swallow the rest.
struct Screened<R> {
    input: R,
    line: Vec<u8>,
    given: usize,
    number: u64,
    ended: bool,
    bad: Vec<(u64, BadRow)>,
    bad_count: u64,
}

impl<R: BufRead> Screened<R> {
    fn new(input: R) -> Self {
        Self {
            input,
            line: Vec::new(),
            given: 0,
            number: 0,
            ended: false,
            bad: Vec::new(),
            bad_count: 0,
        }
    }

    /// The first line that holds anything, kept to be handed on.
    fn first_line(&mut self) -> io::Result<Option<Vec<u8>>> {
        while !self.ended {
            self.fetch()?;
            if self.line.iter().any(|b| !b.is_ascii_whitespace()) {
                return Ok(Some(self.line.clone()));
            }
        }
        Ok(None)
    }

    fn fetch(&mut self) -> io::Result<()> {
        self.line.clear();
        self.given = 0;
        let most = LONGEST_LINE as u64;
        let read = self
            .input
            .by_ref()
            .take(most)
            .read_until(b'\n', &mut self.line)?;
        if read == 0 {
            self.ended = true;
            return Ok(());
        }
        self.number += 1;
        let whole = self.line.ends_with(b"\n") || read < LONGEST_LINE;
        let reason = if !whole {
            self.skip_line()?;
            Some(BadRow::TooLong)
        } else if std::str::from_utf8(&self.line).is_err() {
            Some(BadRow::NotText)
        } else if self.line.iter().fold(false, |open, b| open != (*b == b'"')) {
            Some(BadRow::OpenQuote)
        } else {
            None
        };
        if let Some(reason) = reason {
            self.bad_count += 1;
            if self.bad.len() < BAD_ROWS_KEPT {
                self.bad.push((self.number, reason));
            }
            self.line.clear();
            self.line.push(b'\n');
        }
        Ok(())
    }

    fn skip_line(&mut self) -> io::Result<()> {
        loop {
            let buffer = self.input.fill_buf()?;
            if buffer.is_empty() {
                return Ok(());
            }
            let end = buffer.iter().position(|b| *b == b'\n');
            let used = end.map_or(buffer.len(), |i| i + 1);
            self.input.consume(used);
            if end.is_some() {
                return Ok(());
            }
        }
    }
}

impl<R: BufRead> Read for Screened<R> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let mut written = 0;
        while written < out.len() && !self.ended {
            let left = self.line.get(self.given..).unwrap_or_default();
            if left.is_empty() {
                self.fetch()?;
                continue;
            }
            let n = left.len().min(out.len() - written);
            if let (Some(to), Some(from)) = (out.get_mut(written..written + n), left.get(..n)) {
                to.copy_from_slice(from);
            }
            written += n;
            self.given += n;
        }
        Ok(written)
    }
}
