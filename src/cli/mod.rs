//! The command line: what `swingwhy`, `tell`, `batch`, `replay`, `arc`, `flight`, `shots`
//! `lesson` and `knowledge` do.
//!
//! Reads arguments, files and standard input; writes standard output and error; gives an exit
//! code: 0 done, 1 the knowledge has problems or a replay differs, 2 usage, 65 bad input data,
//! 74 could not write. A closed pipe is no error. Decides nothing about golf.
#![allow(
    clippy::print_stderr,
    reason = "messages that are not the answer go to standard error; only here"
)]

mod arc;
mod batch;
mod cases;
mod flight;
mod folder;
mod knowledge;
mod learn;
mod lesson;
mod measure;
mod shots;
mod tell;

use std::io::IsTerminal as _;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::conversation::Session;
use crate::knowledge::KnowledgeBase;
use crate::lesson::data_folder;
use crate::terminal::{Colour, Ended, Manners, emit, emit_bytes, talk};
use crate::vocabulary::Hand;
use crate::wording::{changes_line, problems};

/// Exit code: the knowledge has problems, or a replay differs.
const PROBLEMS: u8 = 1;
/// Exit code: bad input data.
const BAD_DATA: u8 = 65;
/// Exit code: could not write.
const NOT_WRITTEN: u8 = 74;

#[derive(Debug, Parser)]
#[command(
    name = "swingwhy",
    version,
    about = "Tell it what happened; it works out what the club did at the bottom of its arc, and why.",
    after_help = "Without a command it talks. Examples:\n  swingwhy tell \"7 iron, chunked three, divot starts behind the ball\"\n  swingwhy arc --low-point 3.5\n  swingwhy knowledge check"
)]
struct Options {
    #[command(flatten)]
    shared: Shared,
    #[command(subcommand)]
    command: Option<What>,
}

#[derive(Debug, Clone, Args)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a flag of the command line"
)]
struct Shared {
    /// Use this folder of knowledge instead of the built-in one.
    #[arg(long, value_name = "DIR", global = true)]
    knowledge: Option<PathBuf>,
    /// Lay this folder of knowledge over the one in use.
    #[arg(long, value_name = "DIR", global = true)]
    add: Vec<PathBuf>,
    /// Leave out your own folder of knowledge (`swingwhy/knowledge` among your configurations).
    #[arg(long, global = true)]
    no_own: bool,
    /// The golfer's hand, if it is known beforehand.
    #[arg(long, value_enum, global = true)]
    handed: Option<Handed>,
    /// When to use colour.
    #[arg(long, value_enum, default_value_t = ColourFlag::Auto, global = true)]
    color: ColourFlag,
    /// Keep no history of typed lines.
    #[arg(long, global = true)]
    no_history: bool,
    /// Whose lesson book to use; without it the book without a name.
    #[arg(long, value_name = "NAME", global = true)]
    golfer: Option<String>,
    /// Keep lesson books in this folder.
    #[arg(long, value_name = "DIR", global = true)]
    lessons: Option<PathBuf>,
    /// Keep no lesson book.
    #[arg(long, global = true, conflicts_with_all = ["golfer", "lessons"])]
    no_book: bool,
    /// Plain text: 7-bit, no colour, no pictures (their sentences stay). `SWINGWHY_PLAIN=1` does the
    /// same.
    #[arg(long, global = true)]
    plain: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Handed {
    Right,
    Left,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ColourFlag {
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Answer one message and stop.
    Tell {
        /// Print one JSON object (format version 1) instead of text.
        #[arg(long)]
        json: bool,
        /// The message; several are taken as lines one after another.
        #[arg(required = true)]
        message: Vec<String>,
    },
    /// Map JSON Lines on standard input to JSON Lines on standard output.
    Batch,
    /// Re-run transcripts and report the first difference of each.
    Replay {
        /// Write what comes out now over the files.
        #[arg(long)]
        update: bool,
        /// Transcript files.
        #[arg(required = true)]
        files: Vec<PathBuf>,
    },
    /// Compute the arc from the numbers that are known.
    Arc(Box<arc::Known>),
    /// Compute where the ball goes.
    Flight(Box<flight::Flown>),
    /// Sum up a table of measured shots and say what they tell.
    Shots(shots::Table),
    /// Learn to find the cause: simulated golfers, a course, paper tests.
    Learn(learn::Learn),
    /// Lesson books: list, show, progress, sheet, verify, repair, export, import, forget.
    #[command(subcommand)]
    Lesson(lesson::Do),
    /// Look at the knowledge.
    #[command(subcommand)]
    Knowledge(knowledge::Look),
}

impl Shared {
    fn hand(&self) -> Option<Hand> {
        self.handed.map(|h| match h {
            Handed::Right => Hand::Right,
            Handed::Left => Hand::Left,
        })
    }

    /// The folders laid over the knowledge: your own, if the knowledge is the built-in one, and those
    /// that were asked for.
    fn over(&self) -> Vec<PathBuf> {
        let own = if self.no_own || self.knowledge.is_some() {
            None
        } else {
            folder::own()
        };
        own.into_iter().chain(self.add.iter().cloned()).collect()
    }

    /// The knowledge files in use.
    fn sources(&self) -> Result<folder::Sources, ExitCode> {
        folder::sources(self.knowledge.as_deref(), &self.over()).map_err(no_base)
    }

    /// The knowledge in use.
    fn base(&self) -> Result<Arc<KnowledgeBase>, ExitCode> {
        self.sources()?.base().map(Arc::new).map_err(no_base)
    }

    fn session(&self) -> Result<Session, ExitCode> {
        let base = self.base()?;
        Session::new(base, self.hand()).map_err(|error| {
            eprintln!("this knowledge describes no golfers: {error}");
            ExitCode::from(PROBLEMS)
        })
    }

    /// Where lesson books are kept: the folder named, else the user's data folder.
    fn lessons_folder(&self) -> Option<PathBuf> {
        self.lessons.clone().or_else(|| {
            data_folder(
                std::env::var_os("XDG_DATA_HOME").as_deref(),
                std::env::var_os("HOME").as_deref(),
            )
        })
    }

    /// The folder for the book of a talk: at a prompt always, from a pipe only if asked for.
    fn shelf(&self) -> Option<PathBuf> {
        let asked = self.golfer.is_some() || self.lessons.is_some();
        if self.no_book || !(asked || std::io::stdin().is_terminal()) {
            return None;
        }
        self.lessons_folder()
    }

    fn is_plain(&self) -> bool {
        self.plain || std::env::var("SWINGWHY_PLAIN").is_ok_and(|v| !v.is_empty() && v != "0")
    }

    fn manners(&self) -> Manners {
        Manners {
            shelf: self.shelf(),
            golfer: self.golfer.clone().unwrap_or_default(),
            plain: self.is_plain(),
            colour: match self.color {
                _ if self.is_plain() => Colour::Never,
                ColourFlag::Auto => Colour::Auto,
                ColourFlag::Always => Colour::Always,
                ColourFlag::Never => Colour::Never,
            },
            history: if self.no_history {
                None
            } else {
                history_file()
            },
        }
    }
}

/// Says why there is no knowledge.
fn no_base(error: folder::NoBase) -> ExitCode {
    match error {
        folder::NoBase::Problems(list) => eprint!("{}", problems(&list)),
        folder::NoBase::Unreadable(path, error) => {
            eprintln!("cannot read {}: {error}", path.display());
        }
    }
    ExitCode::from(PROBLEMS)
}

/// Where typed lines are kept: `$XDG_STATE_HOME/swingwhy/history`, or under `~/.local/state`.
fn history_file() -> Option<PathBuf> {
    let absolute = |name: &str| {
        std::env::var_os(name)
            .map(PathBuf::from)
            .filter(|p| p.is_absolute())
    };
    absolute("XDG_STATE_HOME")
        .or_else(|| absolute("HOME").map(|home| home.join(".local").join("state")))
        .map(|state| state.join("swingwhy").join("history"))
}

/// Before a talk: that own knowledge is in use, and how much it changes.
fn say_what_is_own(shared: &Shared) {
    let over = shared.over();
    if let Some(folder) = over.first()
        && let Ok(sources) = folder::sources(shared.knowledge.as_deref(), &over)
    {
        let line = changes_line(&sources.changes);
        eprintln!("with knowledge from {}: {line}", folder.display());
    }
}

/// Writes text to standard output; the exit code says whether that worked.
fn written(text: &str) -> ExitCode {
    match emit(text) {
        Ok(_) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("could not write: {error}");
            ExitCode::from(NOT_WRITTEN)
        }
    }
}

/// Writes bytes to standard output as they are.
fn written_bytes(bytes: &[u8]) -> ExitCode {
    match emit_bytes(bytes) {
        Ok(_) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("could not write: {error}");
            ExitCode::from(NOT_WRITTEN)
        }
    }
}

/// Runs the program with the arguments of the process.
pub fn run() -> ExitCode {
    let options = match Options::try_parse() {
        Ok(options) => options,
        Err(error) => {
            let text = error.to_string();
            return if error.use_stderr() {
                eprint!("{text}");
                ExitCode::from(2)
            } else {
                written(&text)
            };
        }
    };
    let shared = &options.shared;
    let done = match options.command {
        None => {
            let own = shared.clone();
            say_what_is_own(shared);
            match talk(move || own.session(), &shared.manners()) {
                Ok(()) => Ok(ExitCode::SUCCESS),
                Err(Ended::NoSession(code)) => Err(code),
                Err(Ended::Io(error)) => {
                    eprintln!("could not go on: {error}");
                    Ok(ExitCode::from(NOT_WRITTEN))
                }
            }
        }
        Some(What::Tell { json, message }) => shared
            .session()
            .map(|session| tell::tell(&mut session.without_hints(), &message, json)),
        Some(What::Batch) => shared
            .session()
            .map(|mut session| batch::batch(&mut session)),
        Some(What::Replay { update, files }) => shared
            .session()
            .map(|session| tell::replay(&session, &files, update)),
        Some(What::Arc(known)) => shared
            .base()
            .map(|base| arc::arc(&base, &known, shared.hand())),
        Some(What::Flight(flown)) => shared
            .base()
            .map(|base| flight::flight(&base, &flown, shared.hand())),
        Some(What::Shots(table)) if table.is_block() => Ok(shots::block(shared, &table)),
        Some(What::Shots(table)) => shared.session().and_then(|mut session| {
            let hand = shared.hand().unwrap_or(Hand::Right);
            let report = shots::read(session.base(), &table, hand)?;
            Ok(shots::shots(&mut session, &table, &report))
        }),
        Some(What::Learn(options)) => learn::learn(shared, &options),
        Some(What::Lesson(what)) => Ok(lesson::lesson(shared, &what)),
        Some(What::Knowledge(look)) => knowledge::look(shared, &look),
    };
    match done {
        Ok(code) | Err(code) => code,
    }
}
