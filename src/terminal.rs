//! The prompt: line editing, history, completion, colour. The only file that names rustyline.
//!
//! Reads lines from a terminal, or from a pipe without prompts; writes replies. Ctrl-C gives a
//! fresh line and keeps the session, Ctrl-D on an empty line leaves. A closed pipe ends the talk
//! without an error. Decides nothing about golf.

use std::io::{self, BufRead, BufReader, IsTerminal, Write};
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::{Arc, OnceLock};
use std::thread;
use std::time::{SystemTime, UNIX_EPOCH};

use rustyline::completion::{Completer, Pair};
use rustyline::error::ReadlineError;
use rustyline::history::DefaultHistory;
use rustyline::{Config, Context, Editor, Helper, Highlighter, Hinter, Validator};

use crate::conversation::Session;
use crate::lesson::{GolferKey, Lessons, Moment};
use crate::pasted::together;
use crate::sitting::Sitting;
use crate::wording::{Page, Style, welcome_page};

/// How much of a pipe is looked at together for a pasted table, in bytes.
const PASTED: usize = 64 * 1024;

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Colour {
    /// If the output is a terminal and nothing forbids it.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// How to talk.
#[derive(Debug, Clone, Default)]
pub struct Manners {
    /// Colour.
    pub colour: Colour,
    /// Where typed lines are kept for the next time; none keeps nothing.
    pub history: Option<PathBuf>,
    /// The folder of lesson books; none keeps none.
    pub shelf: Option<PathBuf>,
    /// Whose book; empty for the one without a name.
    pub golfer: String,
    /// 7-bit text without pictures.
    pub plain: bool,
}

/// Colour by flag, then `NO_COLOR`, then `CLICOLOR_FORCE`, then whether the output is a terminal.
pub fn colour(flag: Colour, is_terminal: bool, variable: impl Fn(&str) -> Option<String>) -> bool {
    let set = |name: &str| variable(name).is_some_and(|v| !v.is_empty());
    match flag {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto if set("NO_COLOR") => false,
        Colour::Auto if variable("CLICOLOR_FORCE").is_some_and(|v| !v.is_empty() && v != "0") => {
            true
        }
        Colour::Auto => is_terminal && variable("TERM").is_none_or(|t| t != "dumb"),
    }
}

#[derive(Helper, Hinter, Highlighter, Validator)]
struct Names {
    /// Filled once the knowledge is read.
    names: Arc<OnceLock<Vec<String>>>,
}

impl Completer for Names {
    type Candidate = Pair;

    fn complete(
        &self,
        line: &str,
        at: usize,
        _: &Context<'_>,
    ) -> rustyline::Result<(usize, Vec<Pair>)> {
        let typed = line.get(..at).unwrap_or("").to_lowercase();
        // The longest tail of the line that begins a name, from the start of a word.
        let starts = std::iter::once(0).chain(typed.match_indices(' ').map(|(i, _)| i + 1));
        for start in starts {
            let tail = typed.get(start..).unwrap_or("");
            if tail.is_empty() {
                continue;
            }
            let found: Vec<Pair> = self
                .names
                .get()
                .into_iter()
                .flatten()
                .filter(|n| n.to_lowercase().starts_with(tail))
                .map(|n| Pair {
                    display: n.clone(),
                    replacement: n.clone(),
                })
                .collect();
            if !found.is_empty() {
                return Ok((start, found));
            }
        }
        Ok((at, Vec::new()))
    }
}

/// How many typed lines are kept.
const HISTORY: usize = 500;

/// True if standard output is a terminal.
pub fn on_terminal() -> bool {
    io::stdout().is_terminal()
}

/// Writes text; a closed pipe is no error but the end.
///
/// # Errors
/// What writing gives, except a closed pipe.
pub fn emit(text: &str) -> io::Result<bool> {
    emit_bytes(text.as_bytes())
}

/// Writes bytes as they are; a closed pipe is no error but the end.
///
/// # Errors
/// What writing gives, except a closed pipe.
pub fn emit_bytes(bytes: &[u8]) -> io::Result<bool> {
    let mut out = io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Ok(()) => Ok(true),
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(false),
        Err(e) => Err(e),
    }
}

fn width() -> usize {
    terminal_size::terminal_size().map_or(78, |(w, _)| usize::from(w.0).clamp(40, 78))
}

/// The present moment by this machine's clock.
pub fn now() -> Moment {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    let seconds = since.map_or(0, |d| i64::try_from(d.as_secs()).unwrap_or(i64::MAX));
    Moment::from_unix_seconds(seconds)
}

/// How pages look on this screen.
#[derive(Debug, Clone, Copy)]
struct Screen {
    colour: bool,
    plain: bool,
}

impl Screen {
    fn show(self, page: &Page, width: usize) -> String {
        page.render(Style {
            width,
            colour: self.colour,
            plain: self.plain,
        })
    }
}

/// Why a talk ended early.
#[derive(Debug)]
pub enum Ended {
    /// Reading or writing failed; a closed pipe is no failure.
    Io(io::Error),
    /// There is no session; the reason was printed.
    NoSession(ExitCode),
}

impl From<io::Error> for Ended {
    fn from(error: io::Error) -> Self {
        Self::Io(error)
    }
}

/// Talks until the golfer leaves. The session is made while the prompt already stands, so that
/// nobody waits for the knowledge to be read before the first word.
///
/// # Errors
/// [`Ended`].
pub fn talk(
    make: impl FnOnce() -> Result<Session, ExitCode> + Send + 'static,
    manners: &Manners,
) -> Result<(), Ended> {
    let on_terminal = io::stdin().is_terminal();
    let colour = colour(manners.colour, io::stdout().is_terminal(), |name| {
        std::env::var(name).ok()
    });
    let screen = Screen {
        colour,
        plain: manners.plain,
    };
    let shelf = manners.shelf.clone().map(Lessons::in_folder);
    let make = move || make().map(|session| Sitting::new(session, shelf));
    if on_terminal {
        return at_prompt(make, manners, screen);
    }
    let mut sitting = make().map_err(Ended::NoSession)?;
    Ok(from_pipe(&mut sitting, manners, screen)?)
}

fn from_pipe(sitting: &mut Sitting, manners: &Manners, screen: Screen) -> io::Result<()> {
    let opening = sitting.open(&manners.golfer, now());
    let mut greeting = opening.trouble;
    greeting.append(opening.greeting);
    if !greeting.is_empty() && !emit(&format!("{}\n", screen.show(&greeting, 78)))? {
        return Ok(());
    }
    // Lines that have come already may belong together; nobody is kept waiting for more.
    let mut input = BufReader::with_capacity(PASTED, io::stdin().lock());
    let mut bytes = Vec::new();
    loop {
        bytes.clear();
        if input.read_until(b'\n', &mut bytes)? == 0 {
            return Ok(());
        }
        let first = String::from_utf8_lossy(&bytes).into_owned();
        let come = String::from_utf8_lossy(input.buffer()).into_owned();
        let lines = std::iter::once(first.as_str()).chain(come.lines());
        for _ in 1..together(lines) {
            input.read_until(b'\n', &mut bytes)?;
        }
        let line = String::from_utf8_lossy(&bytes);
        let turned = sitting.line(line.trim_end_matches(['\n', '\r']), now());
        let text = screen.show(&turned.page, 78);
        if !emit(&format!("{text}\n"))? || turned.leave {
            return Ok(());
        }
    }
}

fn at_prompt(
    make: impl FnOnce() -> Result<Sitting, ExitCode> + Send + 'static,
    manners: &Manners,
    screen: Screen,
) -> Result<(), Ended> {
    let names = Arc::new(OnceLock::new());
    let filled = Arc::clone(&names);
    let maker = thread::spawn(move || {
        let sitting = make();
        if let Ok(sitting) = &sitting {
            // Nobody else fills it.
            let _ = filled.set(sitting.completions());
        }
        sitting
    });
    let opened = |maker: thread::JoinHandle<Result<Sitting, ExitCode>>| {
        let sitting = maker.join().unwrap_or(Err(ExitCode::FAILURE));
        let mut sitting = sitting.map_err(Ended::NoSession)?;
        let opening = sitting.open(&manners.golfer, now());
        Ok::<_, Ended>((sitting, opening))
    };
    let mut editor = editor(names, manners)?;
    let mut maker = Some(maker);
    let mut sitting: Option<Sitting> = None;
    // Who was here before is greeted by what was agreed; that needs the knowledge.
    let mut first = welcome_page();
    if has_book(manners)
        && let Some(maker) = maker.take()
    {
        let (made, opening) = opened(maker)?;
        let greeted = if opening.greeting.is_empty() {
            first
        } else {
            opening.greeting
        };
        first = opening.trouble;
        first.append(greeted);
        sitting = Some(made);
    }
    if !emit(&format!("{}\n", screen.show(&first, width())))? {
        return Ok(());
    }
    let mut interrupted = false;
    loop {
        match editor.readline("> ") {
            Ok(line) => {
                interrupted = false;
                if let Some(maker) = maker.take() {
                    sitting = Some(opened(maker)?.0);
                }
                let Some(sitting) = &mut sitting else {
                    return Ok(());
                };
                if !line.trim().is_empty() {
                    let _ = editor.add_history_entry(&line);
                    keep_history(&mut editor, manners);
                }
                let turned = sitting.line(&line, now());
                let text = screen.show(&turned.page, width());
                if !emit(&format!("{text}\n"))? || turned.leave {
                    return Ok(());
                }
            }
            Err(ReadlineError::Interrupted) => {
                if interrupted && !emit("(\"bye\" or Ctrl-D leaves; nothing is lost.)\n")? {
                    return Ok(());
                }
                interrupted = true;
            }
            Err(ReadlineError::Eof) => return Ok(()),
            Err(ReadlineError::Io(e)) => return Err(Ended::Io(e)),
            Err(e) => return Err(Ended::Io(io::Error::other(e))),
        }
    }
}

/// What is said back to a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lines {
    /// The text, rendered.
    pub text: String,
    /// The talk is over.
    pub leave: bool,
}

/// Talks with whatever `respond` stands for until it leaves: at a prompt with editing and completion
/// by `names`, or from a pipe. It is first called without a line, for the first words.
///
/// # Errors
/// What reading and writing give, except a closed pipe.
pub fn converse(
    manners: &Manners,
    names: Vec<String>,
    mut respond: impl FnMut(Option<&str>, Style) -> Lines,
) -> io::Result<()> {
    let on_terminal = io::stdin().is_terminal();
    let colour = colour(manners.colour, io::stdout().is_terminal(), |name| {
        std::env::var(name).ok()
    });
    let style = || Style {
        width: if on_terminal { width() } else { 78 },
        colour,
        plain: manners.plain,
    };
    let first = respond(None, style());
    if !emit(&format!("{}\n", first.text))? || first.leave {
        return Ok(());
    }
    if !on_terminal {
        let mut input = io::stdin().lock();
        let mut bytes = Vec::new();
        loop {
            bytes.clear();
            if input.read_until(b'\n', &mut bytes)? == 0 {
                return Ok(());
            }
            let line = String::from_utf8_lossy(&bytes);
            let said = respond(Some(line.trim_end_matches(['\n', '\r'])), style());
            if !emit(&format!("{}\n", said.text))? || said.leave {
                return Ok(());
            }
        }
    }
    let mut editor = editor(Arc::new(OnceLock::from(names)), manners)?;
    loop {
        match editor.readline("> ") {
            Ok(line) => {
                if !line.trim().is_empty() {
                    let _ = editor.add_history_entry(&line);
                    keep_history(&mut editor, manners);
                }
                let said = respond(Some(&line), style());
                if !emit(&format!("{}\n", said.text))? || said.leave {
                    return Ok(());
                }
            }
            Err(ReadlineError::Interrupted) => {}
            Err(ReadlineError::Eof) => return Ok(()),
            Err(ReadlineError::Io(e)) => return Err(e),
            Err(e) => return Err(io::Error::other(e)),
        }
    }
}

/// True unless there plainly is no book yet, so that only those who have one wait for it.
fn has_book(manners: &Manners) -> bool {
    let key = GolferKey::of_name(&manners.golfer);
    let shelf = manners.shelf.clone().map(Lessons::in_folder);
    shelf.is_some_and(|shelf| !matches!(shelf.open(&key), Ok(None)))
}

fn editor(
    names: Arc<OnceLock<Vec<String>>>,
    manners: &Manners,
) -> io::Result<Editor<Names, DefaultHistory>> {
    let config = Config::builder()
        .max_history_size(HISTORY)
        .map_err(io::Error::other)?;
    let config = config.auto_add_history(false).build();
    let mut editor: Editor<Names, DefaultHistory> =
        Editor::with_config(config).map_err(io::Error::other)?;
    editor.set_helper(Some(Names { names }));
    if let Some(path) = &manners.history {
        // A first session has no history yet.
        let _ = editor.load_history(path);
    }
    Ok(editor)
}

/// Keeps the typed lines; a folder that cannot be written is no reason to stop talking.
fn keep_history(editor: &mut Editor<Names, DefaultHistory>, manners: &Manners) {
    let Some(path) = &manners.history else { return };
    if let Some(folder) = path.parent() {
        let _ = std::fs::create_dir_all(folder);
    }
    let _ = editor.save_history(path);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colour_follows_flag_then_environment_then_terminal() {
        let none = |_: &str| None;
        let no_color = |n: &str| (n == "NO_COLOR").then(|| "1".to_owned());
        let force = |n: &str| (n == "CLICOLOR_FORCE").then(|| "1".to_owned());
        let both = |n: &str| (n == "NO_COLOR" || n == "CLICOLOR_FORCE").then(|| "1".to_owned());
        let dumb = |n: &str| (n == "TERM").then(|| "dumb".to_owned());
        assert!(colour(Colour::Always, false, no_color));
        assert!(!colour(Colour::Never, true, force));
        assert!(!colour(Colour::Auto, true, no_color));
        assert!(colour(Colour::Auto, false, force));
        assert!(!colour(Colour::Auto, true, both));
        assert!(colour(Colour::Auto, true, none));
        assert!(!colour(Colour::Auto, false, none));
        assert!(!colour(Colour::Auto, true, dumb));
    }
}
