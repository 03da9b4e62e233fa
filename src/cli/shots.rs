//! `shots`: a table of measured shots in, a summary of each club and a diagnosis out.
//!
//! Reads the file (or standard input for `-`) one row at a time. Bad rows go to standard error with
//! their line and into the count; the means of the club with most shots are told to a talk. Exit
//! code 65 if nothing in the file can be used.

use std::fs::File;
use std::io::{self, BufReader};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;

use super::{BAD_DATA, written};
use crate::conversation::Session;
use crate::shots::{ColumnMap, ShotOptions, ShotReport, ShotsError, read_shots};
use crate::transcript::plain;
use crate::vocabulary::Hand;
use crate::wording::{
    Manner, bad_row_line, clean, club_lines, means_line, rows_line, telling_line,
};

/// Which file.
#[derive(Debug, Clone, Args)]
pub(super) struct Table {
    /// The table: one shot a line, the first line names the columns with their units; `-` is
    /// standard input.
    file: PathBuf,
    /// Other column names, a line each: `theirs = ours unit`.
    #[arg(long, value_name = "FILE")]
    map: Option<PathBuf>,
    /// Centimetres and metres in what is printed.
    #[arg(long)]
    metric: bool,
}

/// Summarises the file.
pub(super) fn read(table: &Table, hand: Hand) -> Result<ShotReport, ExitCode> {
    let refused = |path: &Path, error: &dyn std::fmt::Display| {
        eprintln!(
            "cannot use {}: {}",
            path.display(),
            clean(&error.to_string())
        );
        ExitCode::from(BAD_DATA)
    };
    let map = match &table.map {
        None => ColumnMap::default(),
        Some(path) => {
            let text = std::fs::read_to_string(path).map_err(|e| refused(path, &e))?;
            ColumnMap::parse(&text).map_err(|e| refused(path, &e))?
        }
    };
    let options = ShotOptions { map, hand };
    let path = &table.file;
    let report: Result<ShotReport, ShotsError> = if path.as_os_str() == "-" {
        read_shots(io::stdin().lock(), &options)
    } else {
        let file = File::open(path).map_err(|e| refused(path, &e))?;
        read_shots(BufReader::new(file), &options)
    };
    let report = report.map_err(|e| refused(path, &e))?;
    for (line, why) in &report.bad {
        eprintln!("{}", bad_row_line(*line, &why.to_string()));
    }
    let kept = u64::try_from(report.bad.len()).unwrap_or(u64::MAX);
    if report.bad_count > kept {
        eprintln!("and {} more", report.bad_count - kept);
    }
    Ok(report)
}

/// Prints the summary and what the means say of the swing.
pub(super) fn shots(session: &mut Session, table: &Table, report: &ShotReport) -> ExitCode {
    let manner = Manner {
        metric: table.metric,
        hand: session.hand(),
    };
    let unused: Vec<String> = report
        .columns
        .iter()
        .filter(|c| c.column.is_none())
        .map(|c| clean(&c.header))
        .collect();
    let mut text = rows_line(report.used, report.bad_count, &unused);
    for (club, shots) in &report.clubs {
        text.push('\n');
        text.push_str(&club_lines(session.base(), club, shots, manner));
    }
    // The club with most shots; of several the first by name.
    let most = report
        .clubs
        .iter()
        .rev()
        .max_by_key(|(_, shots)| shots.shots());
    if let Some((club, shots)) = most {
        let told = means_line(club, &shots.means());
        if !told.is_empty() {
            let reply = session.respond(&told);
            text.push('\n');
            text.push_str(&telling_line(&told));
            text.push('\n');
            text.push_str(&plain(session, &reply));
        }
    }
    let said = written(&text);
    if said == ExitCode::SUCCESS && report.used == 0 {
        return ExitCode::from(BAD_DATA);
    }
    said
}
