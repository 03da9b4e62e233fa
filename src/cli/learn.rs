//! `learn`: a new coach meets golfers, at the prompt or from a pipe; writes and grades paper tests.
//!
//! Reads lines, the learner's record and, for the first case's number, the clock; writes replies and
//! the record. A record that cannot be written is said aloud and the lesson goes on. Decides nothing
//! about golf.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;

use super::{BAD_DATA, NOT_WRITTEN, PROBLEMS, Shared, written};
use crate::conversation::learning::{
    BadLine, BadPaper, HIGHEST_CASE, MOST_CASES, PaperName, Start, Taught, Trainee,
};
use crate::learning::{Commitment, Comparison, PaperCase, attempts, compare};
use crate::lesson::{Book, BookError, Entry, Facts, Lessons};
use crate::terminal::{Lines, converse, now};
use crate::wording::learning::{
    Graded, bad_paper, graded_json, graded_page, key_json, key_page, paper_json, paper_page,
    taught_page,
};
use crate::wording::{Style, clean};

/// Arguments of `learn`.
#[derive(Debug, Clone, Args)]
pub(super) struct Learn {
    /// The first case, 0 to 999999; the same number gives the same golfer.
    #[arg(long, value_name = "N")]
    seed: Option<u64>,
    /// The level to begin at, from 1.
    #[arg(long, value_name = "N", default_value_t = 1)]
    level: usize,
    /// Begin with this lesson, from 1.
    #[arg(long, value_name = "N")]
    lesson: Option<usize>,
    /// Only clubs of this group; may be given several times.
    #[arg(long, value_name = "GROUP")]
    group: Vec<String>,
    /// Keep a record under this name, and go on from it.
    #[arg(long, value_name = "NAME")]
    record: Option<String>,
    /// Print a paper test of so many cases of the level instead.
    #[arg(long, value_name = "N", conflicts_with = "lesson")]
    cases: Option<usize>,
    /// With --cases: print the key to that test.
    #[arg(long, requires = "cases")]
    key: bool,
    /// Grade a filled paper test: the text, or its JSON Lines.
    #[arg(long, value_name = "ANSWERS", conflicts_with = "cases")]
    grade: Option<PathBuf>,
    /// With --cases or --grade: one JSON object a line.
    #[arg(long)]
    json: bool,
}

/// The learner's book, if one is kept.
struct Record {
    book: Option<Book>,
}

impl Record {
    fn open(folder: Option<PathBuf>, name: Option<&str>) -> Result<(Self, Vec<Entry>), String> {
        let Some(name) = name else {
            return Ok((Self { book: None }, Vec::new()));
        };
        let folder = folder.ok_or("there is no home folder to keep a record in")?;
        let book = Lessons::in_folder(folder)
            .open_or_begin(name, now(), Facts::default())
            .map_err(|error| said(&error))?;
        let entries = book
            .records()
            .iter()
            .filter_map(|r| r.entry().cloned())
            .collect();
        Ok((Self { book: Some(book) }, entries))
    }

    /// Keeps entries; what went wrong, if anything did.
    fn keep(&mut self, entries: &[Entry]) -> Option<String> {
        let book = self.book.as_mut()?;
        for entry in entries {
            if let Err(error) = book.append(now(), entry) {
                return Some(said(&error));
            }
        }
        None
    }
}

fn said(error: &BookError) -> String {
    format!("your record could not be kept: {error}")
}

/// Prints a paper test, or its key.
fn paper(trainee: &mut Trainee, options: &Learn, cases: usize) -> Result<ExitCode, ExitCode> {
    if cases == 0 || cases > MOST_CASES {
        eprintln!("a paper has 1 to {MOST_CASES} cases");
        return Err(ExitCode::from(2));
    }
    let name = PaperName {
        seed: options.seed.unwrap_or(0),
        cases,
        level: options.level,
    };
    let Some(list) = trainee.paper(name) else {
        eprintln!("no golfer fits that level and those clubs");
        return Err(ExitCode::from(BAD_DATA));
    };
    let text = if options.key {
        let keyed: Vec<(PaperCase, Comparison)> = list
            .into_iter()
            .map(|case| {
                let none = Commitment::default();
                let comparison = compare(trainee.mind(), &case.pupil, &case.desk, &none);
                (case, comparison)
            })
            .collect();
        if options.json {
            lines(&key_json(trainee.base(), name, &keyed))
        } else {
            key_page(trainee.base(), name, &keyed).render(Style::default())
        }
    } else if options.json {
        lines(&paper_json(trainee.base(), name, &list))
    } else {
        paper_page(trainee.base(), name, &list).render(Style::default())
    };
    Ok(written(&text))
}

fn lines(values: &[serde_json::Value]) -> String {
    values.iter().fold(String::new(), |mut text, value| {
        text.push_str(&value.to_string());
        text.push('\n');
        text
    })
}

/// Grades a filled paper test: what can be read of it, then a line for each line that cannot.
fn grade(
    shared: &Shared,
    trainee: &mut Trainee,
    options: &Learn,
    file: &Path,
) -> Result<ExitCode, ExitCode> {
    let text = std::fs::read_to_string(file).map_err(|error| {
        eprintln!("cannot read {}: {error}", file.display());
        ExitCode::from(BAD_DATA)
    })?;
    let knowledge = shared.base()?;
    let bad = |why: &BadPaper| {
        eprintln!("{}: {}", file.display(), clean(&bad_paper(&knowledge, why)));
        ExitCode::from(BAD_DATA)
    };
    let filled = trainee.filled(&text).map_err(|why| bad(&why))?;
    let Some(list) = trainee.paper(filled.name) else {
        return Err(bad(&BadPaper {
            line: 0,
            why: BadLine::NoName,
        }));
    };
    let graded: Vec<Graded> = list
        .into_iter()
        .zip(filled.answers)
        .map(|(case, answer)| {
            let answer = answer.map(|stated| {
                let comparison = compare(trainee.mind(), &case.pupil, &case.desk, &stated);
                (stated, comparison)
            });
            Graded { case, answer }
        })
        .collect();
    let text = if options.json {
        lines(&graded_json(&knowledge, filled.name, &graded))
    } else {
        graded_page(&knowledge, filled.name, &graded).render(Style::default())
    };
    let done = written(&text);
    let codes: Vec<ExitCode> = filled.bad.iter().map(bad).collect();
    Ok(codes.into_iter().next().unwrap_or(done))
}

/// Runs `learn`.
pub(super) fn learn(shared: &Shared, options: &Learn) -> Result<ExitCode, ExitCode> {
    let base = shared.base()?;
    let usage = |text: String| {
        eprintln!("{text}");
        ExitCode::from(2)
    };
    let mut groups = Vec::new();
    for word in &options.group {
        let id = word.to_lowercase().replace([' ', '-'], "_");
        let Some(group) = base.find_group(&id) else {
            let names: Vec<&str> = base.groups.ids().collect();
            return Err(usage(format!(
                "no club group \"{word}\"; there are {}",
                names.join(", ")
            )));
        };
        groups.push(group);
    }
    if options.seed.is_some_and(|s| s > HIGHEST_CASE) {
        return Err(usage(format!(
            "a case has a number from 0 to {HIGHEST_CASE}"
        )));
    }
    if options.level == 0 || options.level > base.levels.len().max(1) {
        return Err(usage(format!("levels run from 1 to {}", base.levels.len())));
    }
    let (mut record, entries) =
        match Record::open(shared.lessons_folder(), options.record.as_deref()) {
            Ok(opened) => opened,
            Err(text) => {
                eprintln!("{text}");
                return Err(ExitCode::from(NOT_WRITTEN));
            }
        };
    let start = Start {
        case: options
            .seed
            .unwrap_or_else(|| now().unix_seconds().unsigned_abs() % 10_000),
        level: options.level - 1,
        groups,
        attempts: attempts(entries.iter()),
    };
    let mut trainee = Trainee::new(base, start).map_err(|error| {
        eprintln!("this knowledge describes no golfers: {error}");
        ExitCode::from(PROBLEMS)
    })?;
    if options.lesson.is_none()
        && options.grade.is_none()
        && let Some(has) = trainee.other_clubs(options.level)
    {
        let base = trainee.base();
        let names: Vec<&str> = has.iter().map(|g| base.group(*g).id.as_str()).collect();
        return Err(usage(format!(
            "level {} has none of those clubs; it is about {}",
            options.level,
            names.join(", ")
        )));
    }
    if let Some(cases) = options.cases {
        return paper(&mut trainee, options, cases);
    }
    if let Some(file) = &options.grade {
        return grade(shared, &mut trainee, options, file);
    }
    let first = match (options.lesson, options.seed) {
        (Some(lesson), _) => trainee.respond(&format!("lesson {lesson}")),
        (None, Some(case)) => trainee.greeting_with(case),
        (None, None) => trainee.greeting(),
    };
    let names = trainee.completions();
    let mut waiting = Some(first);
    let done = converse(&shared.manners(), names, |line, style| {
        let taught: Taught = match (line, waiting.take()) {
            (None, Some(first)) => first,
            (Some(line), _) => trainee.respond(line),
            (None, None) => Taught::default(),
        };
        let mut page = taught_page(trainee.base(), &taught, trainee.hand());
        if let Some(trouble) = record.keep(&taught.entries) {
            page.caution("Record", trouble);
        }
        Lines {
            text: page.render(style),
            leave: taught.leave,
        }
    });
    match done {
        Ok(()) => Ok(ExitCode::SUCCESS),
        Err(error) => {
            eprintln!("could not go on: {error}");
            Ok(ExitCode::from(NOT_WRITTEN))
        }
    }
}
