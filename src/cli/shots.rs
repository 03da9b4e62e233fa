//! `shots`: a table of measured shots in, a summary of each club and a diagnosis out.
//!
//! Reads the file (or standard input for `-`) one row at a time. Bad rows go to standard error with
//! their line and into the count; the means of the club with most shots are told to a talk. Exit
//! code 65 if nothing in the file can be used.

use std::fs::File;
use std::io::{self, BufReader};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, ValueEnum};

use super::{BAD_DATA, Shared, written};
use crate::conversation::Session;
use crate::geometry::measured::{Measured, MeasuredName};
use crate::knowledge::{KnowledgeBase, Quantity};
use crate::lesson::Lessons;
use crate::quantity::Amount;
use crate::shots::{
    ColumnMap, Limit, ShotOptions, ShotReport, ShotsError, club_name, read_each_shot,
};
use crate::sitting::Sitting;
use crate::terminal::now;
use crate::transcript::plain;
use crate::vocabulary::Hand;
use crate::wording::{
    Manner, Style, bad_row_line, clean, club_lines, left_out_line, means_line, not_judged_line,
    rows_lines, telling_line,
};

/// Clubs of one table that are judged, those with most shots (common practice).
const JUDGED: usize = 6;

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
    /// Count these shots as a block of the practice agreed in the lesson book (see --golfer).
    #[arg(long, value_enum, value_name = "BLOCK")]
    block: Option<Block>,
    /// Only shots of this club.
    #[arg(long, value_name = "CLUB")]
    club: Option<String>,
}

/// Which block of practice the shots belong to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Block {
    /// Before the thought.
    Start,
    /// With the thought.
    Practice,
    /// Later, without it.
    Retest,
}

impl Table {
    /// True if the shots go into the lesson book.
    pub(super) const fn is_block(&self) -> bool {
        self.block.is_some()
    }
}

/// Summarises the file: all of it, or the shots of the club that was asked for.
pub(super) fn read(
    base: &KnowledgeBase,
    table: &Table,
    hand: Hand,
) -> Result<ShotReport, ExitCode> {
    let mut report = read_each(base, table, hand, |_, _| {})?;
    if let Some(club) = &table.club {
        let wanted = club_name(club);
        if !report.clubs.contains_key(&wanted) {
            let names: Vec<String> = report.clubs.keys().map(|name| clean(name)).collect();
            eprintln!(
                "no shots of \"{}\" in this table; there are: {}",
                clean(club),
                names.join(", ")
            );
            return Err(ExitCode::from(BAD_DATA));
        }
        report.clubs.retain(|name, _| *name == wanted);
    }
    Ok(report)
}

/// Between which values the knowledge says a number can lie.
fn limits(base: &KnowledgeBase) -> Vec<Limit> {
    let of = |name: MeasuredName| {
        let (id, sign) = match name {
            MeasuredName::DivotStart => ("turf_entry", -1.0),
            name => (name.id(), 1.0),
        };
        let quantity = base.quantity(base.find_quantity(id)?);
        let (low, high) = quantity.plausible;
        let (low, high) = (sign * low.base(), sign * high.base());
        let amount = |base: f64| Amount::from_base(base, name.dimension()).ok();
        Some(Limit {
            name,
            low: amount(low.min(high))?,
            high: amount(low.max(high))?,
        })
    };
    MeasuredName::ALL.into_iter().filter_map(of).collect()
}

/// Summarises the file and hands over each shot.
fn read_each(
    base: &KnowledgeBase,
    table: &Table,
    hand: Hand,
    each: impl FnMut(&str, &Measured),
) -> Result<ShotReport, ExitCode> {
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
    let options = ShotOptions {
        map,
        hand,
        limits: limits(base),
    };
    let path = &table.file;
    let report: Result<ShotReport, ShotsError> = if path.as_os_str() == "-" {
        read_each_shot(io::stdin().lock(), &options, each)
    } else {
        let file = File::open(path).map_err(|e| refused(path, &e))?;
        read_each_shot(BufReader::new(file), &options, each)
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

/// The measured balls as a block of the practice agreed in the golfer's lesson book: what the talk
/// would say to the same numbers typed.
pub(super) fn block(shared: &Shared, table: &Table) -> ExitCode {
    let Some(folder) = shared.lessons_folder() else {
        eprintln!("there is no home folder for lesson books; name one with --lessons DIR");
        return ExitCode::from(2);
    };
    let session = match shared.session() {
        Ok(session) => session,
        Err(code) => return code,
    };
    let golfer = shared.golfer.clone().unwrap_or_default();
    let mut sitting = Sitting::new(session, Some(Lessons::in_folder(folder)));
    let opening = sitting.open(&golfer, now());
    if !opening.trouble.is_empty() {
        eprint!("{}", opening.trouble.render(Style::default()));
    }
    let measures = sitting.session().practice_measures();
    if measures.is_empty() {
        eprintln!("nothing to practise is agreed in this lesson book; the talk agrees on it");
        return ExitCode::from(BAD_DATA);
    }
    let base = sitting.session().base();
    let wanted: Vec<(MeasuredName, &Quantity)> = measures
        .iter()
        .filter_map(|q| {
            let quantity = base.quantity(*q);
            let name = MeasuredName::ALL
                .into_iter()
                .find(|n| n.id() == quantity.id)?;
            Some((name, quantity))
        })
        .collect();
    let mut values: Vec<Vec<f64>> = vec![Vec::new(); wanted.len()];
    let clubs = sitting.session().practice_clubs();
    let practised: Vec<String> = clubs.iter().map(|c| base.club(*c).name.clone()).collect();
    let mut seen: Vec<String> = Vec::new();
    let hand = shared.hand().or(sitting.session().hand());
    let report = read_each(base, table, hand.unwrap_or(Hand::Right), |club, shot| {
        let name = club_name(club);
        if !seen.contains(&name) {
            seen.push(name.clone());
        }
        let wrong = match &table.club {
            Some(asked) => name != club_name(asked),
            // A table without clubs is taken to be of the one that is practised with.
            None => !name.is_empty() && !practised.is_empty() && !practised.contains(&name),
        };
        if wrong {
            return;
        }
        for ((name, quantity), values) in wanted.iter().zip(&mut values) {
            let value = shot.get(*name).and_then(|a| a.value_in(quantity.unit).ok());
            values.extend(value);
        }
    });
    if let Err(code) = report {
        return code;
    }
    let named: Vec<String> = seen
        .iter()
        .filter(|n| !n.is_empty())
        .map(|n| clean(n))
        .collect();
    let is = if named.len() == 1 { "is" } else { "are" };
    if table.club.is_none() && practised.is_empty() && named.len() > 1 {
        eprintln!(
            "there {is} shots of {} here, and a block is of one club; name it with --club",
            named.join(", ")
        );
        return ExitCode::from(BAD_DATA);
    }
    let other =
        !practised.is_empty() && !seen.iter().any(|n| n.is_empty() || practised.contains(n));
    if table.club.is_none() && other && !named.is_empty() {
        eprintln!(
            "the practice agreed is with the {}, and these are shots of {}; if another club was practised with, name it with --club",
            practised.join(" or "),
            named.join(", ")
        );
        return ExitCode::from(BAD_DATA);
    }
    let found = wanted.iter().zip(&values).find(|(_, v)| v.len() > 1);
    let Some(((_, quantity), values)) = found else {
        let names: Vec<&str> = wanted.iter().map(|(_, q)| q.name.as_str()).collect();
        eprintln!(
            "no two shots with what is practised here: {}",
            names.join(" or ")
        );
        return ExitCode::from(BAD_DATA);
    };
    let stage = match table.block {
        Some(Block::Start) => "baseline",
        Some(Block::Retest) => "retest",
        Some(Block::Practice) | None => "practice",
    };
    let list: Vec<String> = values.iter().map(|v| format!("{v:.3}")).collect();
    let line = format!(
        "{stage} {} {} {}",
        quantity.name,
        list.join(", "),
        quantity.unit
    );
    let turned = sitting.line(&line, now());
    written(&turned.page.render(Style::default()))
}

/// Prints the summary and what the means say of the swing.
pub(super) fn shots(session: &mut Session, table: &Table, report: &ShotReport) -> ExitCode {
    let manner = Manner {
        metric: table.metric,
        hand: session.hand(),
    };
    let mut text = rows_lines(report);
    for (club, shots) in &report.clubs {
        text.push('\n');
        let conflicts = report.conflicts.get(club).map_or(&[][..], Vec::as_slice);
        text.push_str(&club_lines(session.base(), club, shots, conflicts, manner));
    }
    // Each club by itself, the one with most shots last.
    let mut clubs: Vec<_> = report.clubs.iter().collect();
    clubs.sort_by_key(|(_, shots)| shots.shots());
    let beyond = clubs.len().saturating_sub(JUDGED);
    if beyond > 0 {
        let names: Vec<String> = clubs
            .iter()
            .take(beyond)
            .map(|(name, _)| clean(name))
            .collect();
        text.push('\n');
        text.push_str(&not_judged_line(&names));
    }
    for (club, shots) in clubs.into_iter().skip(beyond) {
        let means = shots.means();
        let told = means_line(club, &means);
        if told.is_empty() {
            continue;
        }
        let fresh = session.clone();
        let reply = session.respond(&told);
        text.push('\n');
        text.push_str(&telling_line(&told));
        text.push_str(&left_out_line(session.base(), &means));
        text.push('\n');
        text.push_str(&plain(session, &reply));
        *session = fresh;
    }
    let said = written(&text);
    if said == ExitCode::SUCCESS && report.used == 0 {
        return ExitCode::from(BAD_DATA);
    }
    said
}
