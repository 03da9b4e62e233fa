//! A file of measured shots: `swingwhy shots FILE.csv`.
//!
//! Takes a plain table, one shot a line, first line the names of the columns; gives one
//! [`ShotStatistics`] for each club, which columns were used, and every bad row by its line.
//!
//! Headings are the trade's plain words with or without a unit (`columns`), cells are numbers with or
//! without one (`cells`). Directions are + to the right, as instruments give them, and are turned to
//! the push side by the hand. Separators may be comma, semicolon (then 3,5 is a number) or tab. Empty
//! cells are fine.
//!
//! Invariants: a row is used or reported, and so is every number of it; memory does not grow with
//! the number of rows; the same file gives the same report. Does not know: instruments, or which
//! clubs a golfer owns.

mod cells;
mod columns;

use cells::CellReader;
pub use columns::{COLUMNS, Column, ColumnMap, MapProblem, OTHER_NAMES, club_name};

use crate::geometry::consistency::{Disagreement, Measured, MeasuredName, disagreements};
use crate::geometry::shots::ShotStatistics;
use crate::quantity::{Amount, Unit};
use crate::vocabulary::Hand;
use std::collections::BTreeMap;
use std::io::{self, BufRead, Read};

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
/// How many shots of a club with numbers that do not go together are kept with their line.
const CONFLICTS_KEPT: usize = 5;

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

/// Between which values a number of a shot can lie at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// Which number.
    pub name: MeasuredName,
    /// Least value.
    pub low: Amount,
    /// Greatest value.
    pub high: Amount,
}

impl Limit {
    fn holds(&self, amount: Amount) -> bool {
        (self.low.base()..=self.high.base()).contains(&amount.base())
    }
}

/// How to read a file.
#[derive(Debug, Clone, PartialEq)]
pub struct ShotOptions {
    /// Other names of columns.
    pub map: ColumnMap,
    /// The golfer's hand: turns right and left into push side and pull side.
    pub hand: Hand,
    /// What a number can be; one beyond is left out by its line. None for a name: anything on earth.
    pub limits: Vec<Limit>,
}

impl ShotOptions {
    /// The usual names of columns and no limits.
    pub fn of_hand(hand: Hand) -> Self {
        Self {
            map: ColumnMap::default(),
            hand,
            limits: Vec::new(),
        }
    }
}

/// What became of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnUse {
    /// Its name in the file.
    pub header: String,
    /// What it was read as; `None` if its name or unit is not known, or another column already
    /// holds the same.
    pub column: Option<Column>,
    /// The heading gives no unit: the usual one is taken.
    pub unit_taken: bool,
    /// A cell without a unit of its own was read.
    pub unit_needed: bool,
}

impl ColumnUse {
    /// The unit that was taken for want of one in heading and cells.
    pub fn taken_unit(&self) -> Option<Unit> {
        match self.column {
            Some(Column::Number(_, unit) | Column::TurfEntry(unit)) => {
                (self.unit_taken && self.unit_needed).then_some(unit)
            }
            Some(Column::Club | Column::Ignored) | None => None,
        }
    }
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
    /// A number that this quantity cannot be.
    #[error("{column} cannot be {text}")]
    Impossible {
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
    /// Numbers left out of rows that were used otherwise: line in the file, and why.
    pub left_out: Vec<(u64, BadRow)>,
    /// How many such numbers there were in all.
    pub left_out_count: u64,
    /// The shots of each club by its name ([`club_name`]); empty for no name.
    pub clubs: BTreeMap<String, ShotStatistics>,
    /// Of each club the first shots whose numbers do not go together: line, and the first two that
    /// do not.
    pub conflicts: BTreeMap<String, Vec<(u64, Disagreement)>>,
}

/// Reads a file of shots to its end, one row at a time.
///
/// # Errors
/// [`ShotsError`]: the file cannot be read, is empty, or has no column that is known.
///
/// ```
/// use swingwhy::shots::{ShotOptions, read_shots};
/// use swingwhy::vocabulary::Hand;
/// let text = "club,attack_deg,low_point_in\n7i,-4.1,3.5\n7i,-3.9,\n7i,down,3\n";
/// let report = read_shots(text.as_bytes(), &ShotOptions::of_hand(Hand::Right))?;
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
        left_out: Vec::new(),
        left_out_count: 0,
        clubs: BTreeMap::new(),
        conflicts: BTreeMap::new(),
    };
    let cells = CellReader {
        decimal_comma: delimiter == b';',
        hand: options.hand,
        limits: &options.limits,
    };
    while next(&mut reader, &mut record)? {
        report.rows += 1;
        let line = record.position().map_or(0, csv::Position::line);
        match cells.row(&record, &mut report.columns) {
            Ok(row) => {
                report.used += 1;
                each(row.club, &row.shot);
                for reason in row.impossible {
                    report.left_out_count += 1;
                    if report.left_out.len() < BAD_ROWS_KEPT {
                        report.left_out.push((line, reason));
                    }
                }
                let name = kept_name(&report.clubs, row.club);
                if let Some(first) = disagreements(&row.shot).into_iter().next() {
                    let lines = report.conflicts.entry(name.clone()).or_default();
                    if lines.len() < CONFLICTS_KEPT {
                        lines.push((line, first));
                    }
                }
                report.clubs.entry(name).or_default().add(&row.shot);
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

/// The name under which a club's shots are kept.
fn kept_name(clubs: &BTreeMap<String, ShotStatistics>, club: &str) -> String {
    let short: String = club.trim().chars().take(CLUB_NAME).collect();
    let name = club_name(&short);
    if !clubs.contains_key(&name) && clubs.len() >= CLUBS_KEPT {
        return OTHER_CLUBS.to_owned();
    }
    name
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
            let found = map.column(header);
            let unit_taken = found.is_some_and(|(_, taken)| taken);
            let again = |c: Column| match c {
                Column::Ignored => false,
                Column::Club | Column::TurfEntry(_) => seen.contains(&c),
                Column::Number(name, _) => seen
                    .iter()
                    .any(|other| matches!(other, Column::Number(n, _) if *n == name)),
            };
            let column = found.map(|(c, _)| c).filter(|c| !again(*c));
            seen.extend(column);
            ColumnUse {
                header: header.chars().take(80).collect(),
                column,
                unit_taken,
                unit_needed: false,
            }
        })
        .collect()
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
