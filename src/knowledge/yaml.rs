//! Turns the text of one knowledge entry into its shape.
//!
//! A file is a list; every entry starts with `- id:` in the first column. The file is cut there
//! and each entry is read alone, so that one bad entry hides no other and every problem has its
//! line. A file that was read when the program was built comes with its data as JSON, and that is
//! read instead. Bounds: 2 MB a file. Does not know what the entries mean.

use serde::de::DeserializeOwned;

use super::problem::{Place, Problem, ProblemKind};
use super::yaml_text::from_yaml;

/// The largest file read, in bytes.
pub const LARGEST_FILE: usize = 2 << 20;

/// A knowledge file: its path relative to the knowledge folder, and its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceFile {
    /// For example `causes/setup.yaml`.
    pub path: String,
    /// The whole text.
    pub text: String,
}

/// One entry of a file, still text.
#[derive(Debug, Clone, Copy)]
pub(super) struct EntryText<'a> {
    /// The file.
    pub file: &'a SourceFile,
    /// The line it starts on, from 1.
    pub line: usize,
    /// The text from `- id:` to the next entry.
    pub text: &'a str,
}

impl EntryText<'_> {
    /// The place of the first occurrence of `needle` as a whole word in the entry, or of the
    /// entry's first line.
    pub(super) fn place_of(&self, needle: &str) -> Place {
        let is_word = |c: char| c.is_alphanumeric() || c == '_';
        for (offset, line) in self.text.lines().enumerate() {
            let mut from = 0;
            while let Some(found) = line.get(from..).and_then(|rest| rest.find(needle)) {
                let at = from + found;
                let end = at + needle.len();
                let before = line.get(..at).and_then(|s| s.chars().next_back());
                let after = line.get(end..).and_then(|s| s.chars().next());
                let runs_on = needle.starts_with(is_word) && before.is_some_and(is_word)
                    || needle.ends_with(is_word) && after.is_some_and(is_word);
                if !needle.is_empty() && !runs_on {
                    return Place {
                        file: self.file.path.clone(),
                        line: self.line + offset,
                        column: line.get(..at).map_or(0, |s| s.chars().count()) + 1,
                        width: needle.chars().count(),
                        text: line.to_owned(),
                    };
                }
                from = end.max(at + 1);
                while from < line.len() && !line.is_char_boundary(from) {
                    from += 1;
                }
            }
        }
        self.place_at(1, 1)
    }

    fn place_at(&self, line: usize, column: usize) -> Place {
        let text = self
            .text
            .lines()
            .nth(line.saturating_sub(1))
            .unwrap_or("")
            .to_owned();
        Place {
            file: self.file.path.clone(),
            line: self.line + line.saturating_sub(1),
            column,
            width: text.chars().count().saturating_sub(column - 1).max(1),
            text,
        }
    }
}

/// Cuts a file into its entries.
pub(super) fn entries(file: &SourceFile) -> Vec<EntryText<'_>> {
    let mut starts: Vec<(usize, usize)> = Vec::new();
    let mut at = 0;
    for (index, line) in file.text.split_inclusive('\n').enumerate() {
        if line.starts_with("- ") || (at == 0 && !line.starts_with(['#', '\n', '\r'])) {
            starts.push((at, index + 1));
        }
        at += line.len();
    }
    let ends: Vec<usize> = starts
        .iter()
        .skip(1)
        .map(|s| s.0)
        .chain([file.text.len()])
        .collect();
    starts
        .iter()
        .zip(ends)
        .filter_map(|(&(from, line), to)| {
            file.text
                .get(from..to)
                .map(|text| EntryText { file, line, text })
        })
        .collect()
}

/// Entries are read together until they hold this many bytes: few starts of the reader, and little
/// to read again where an entry cannot be read.
const TOGETHER: usize = 8 << 10;

/// The entries of a file, each read or with the problem that kept it from being read.
///
/// Entries without problems are read several at a time; others one by one, so that no bad entry
/// hides another problem. `ready` is what the file says as JSON, if that is known.
pub(super) fn read_file<'a, T: DeserializeOwned>(
    file: &'a SourceFile,
    ready: Option<&str>,
) -> Vec<(EntryText<'a>, Result<T, Box<Problem>>)> {
    let entries = entries(file);
    if let Some(list) = ready.and_then(|json| serde_json::from_str::<Vec<T>>(json).ok())
        && list.len() == entries.len()
    {
        return entries.into_iter().zip(list.into_iter().map(Ok)).collect();
    }
    let mut out = Vec::with_capacity(entries.len());
    let mut rest = entries.as_slice();
    while !rest.is_empty() {
        let mut bytes = 0;
        let more = rest.iter().position(|entry| {
            bytes += entry.text.len();
            bytes >= TOGETHER
        });
        let (batch, later) = rest.split_at(more.map_or(rest.len(), |last| last + 1));
        rest = later;
        match read_together(file, batch) {
            Some(list) => out.extend(batch.iter().copied().zip(list.into_iter().map(Ok))),
            None => out.extend(
                batch
                    .iter()
                    .map(|entry| (*entry, read(entry).map_err(Box::new))),
            ),
        }
    }
    out
}

/// Entries that stand one after the other, or nothing if any of them has a problem.
fn read_together<T: DeserializeOwned>(
    file: &SourceFile,
    entries: &[EntryText<'_>],
) -> Option<Vec<T>> {
    let start = entries.first()?.text.as_ptr() as usize - file.text.as_ptr() as usize;
    let length: usize = entries.iter().map(|entry| entry.text.len()).sum();
    let text = file.text.get(start..start + length)?;
    let list: Vec<T> = from_yaml(text).ok()?;
    (list.len() == entries.len()).then_some(list)
}

#[allow(
    clippy::result_large_err,
    reason = "read once for an entry; the problem is kept whole"
)]
fn read<T: DeserializeOwned>(entry: &EntryText<'_>) -> Result<T, Problem> {
    match from_yaml::<Vec<T>>(entry.text) {
        Ok(mut list) if list.len() == 1 => match list.pop() {
            Some(value) => Ok(value),
            None => Err(problem(
                entry,
                ProblemKind::Shape {
                    detail: "an empty entry".into(),
                },
                1,
                1,
            )),
        },
        Ok(list) => {
            let detail = format!("{} entries where one was expected", list.len());
            Err(problem(entry, ProblemKind::Shape { detail }, 1, 1))
        }
        Err(fault) => Err(described(entry, &fault.message, fault.line, fault.column)),
    }
}

fn problem(entry: &EntryText<'_>, kind: ProblemKind, line: usize, column: usize) -> Problem {
    Problem {
        kind,
        place: entry.place_at(line, column),
        entry: None,
        nearest: None,
    }
}

/// Finds kind and nearest name in the reader's message.
fn described(entry: &EntryText<'_>, message: &str, line: usize, column: usize) -> Problem {
    let quoted = |text: &str| -> Option<String> { text.split('`').nth(1).map(str::to_owned) };
    if let Some(at) = message.find("unknown field ") {
        let rest = message.get(at..).unwrap_or("");
        if let Some(key) = quoted(rest) {
            let known: Vec<&str> = rest.split('`').skip(3).step_by(2).collect();
            let nearest = super::problem::nearest(&key, known.into_iter());
            let place = entry.place_of(&key);
            return Problem {
                kind: ProblemKind::UnknownKey { key },
                place,
                entry: None,
                nearest,
            };
        }
    }
    if let Some(at) = message.find("missing field ")
        && let Some(key) = quoted(message.get(at..).unwrap_or(""))
    {
        return problem(entry, ProblemKind::MissingKey { key }, 1, 1);
    }
    let detail = message.split(" at line ").next().unwrap_or(message);
    let detail = detail
        .strip_prefix("[0].")
        .or_else(|| detail.strip_prefix("[0]: "))
        .unwrap_or(detail);
    problem(
        entry,
        ProblemKind::Shape {
            detail: detail.to_owned(),
        },
        line,
        column,
    )
}
