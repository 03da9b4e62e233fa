//! Turns the text of one knowledge entry into its shape.
//!
//! A file is a list; every entry starts with `- id:` in the first column. The file is cut there
//! and each entry is read alone, so that one bad entry hides no other and every problem has its
//! line. A file that was read when the program was built comes with its data as JSON, and that is
//! read instead. Bounds: 2 MB a file. Does not know what the entries mean.

use serde::de::DeserializeOwned;

use super::problem::{Place, Problem};
use super::yaml_fault::{described, misplaced};
use super::yaml_keys::twice;
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
    /// The place where `key` stands as a key, or else as [`Self::place_of`] finds it.
    pub(super) fn place_of_key(&self, key: &str) -> Place {
        self.places_of_key(key)
            .next()
            .unwrap_or_else(|| self.place_of(key))
    }

    /// The places where `key` stands as a key.
    pub(super) fn places_of_key<'k>(&'k self, key: &'k str) -> impl Iterator<Item = Place> + 'k {
        let lines = self.text.lines().enumerate();
        lines.flat_map(move |(offset, line)| {
            line.match_indices(key)
                .filter(|(at, _)| !key.is_empty() && is_key(line, *at, at + key.len()))
                .map(|(at, _)| self.place_in(offset, line, at, key))
                .collect::<Vec<_>>()
        })
    }

    fn place_in(&self, offset: usize, line: &str, at: usize, needle: &str) -> Place {
        Place {
            file: self.file.path.clone(),
            line: self.line + offset,
            column: line.get(..at).map_or(0, |s| s.chars().count()) + 1,
            width: needle.chars().count(),
            text: line.to_owned(),
        }
    }

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
                    return self.place_in(offset, line, at, needle);
                }
                from = end.max(at + 1);
                while from < line.len() && !line.is_char_boundary(from) {
                    from += 1;
                }
            }
        }
        self.place_at(1, 1)
    }

    pub(super) fn place_at(&self, line: usize, column: usize) -> Place {
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

/// True if what stands there in the line is a key: a colon follows, and nothing but what may stand
/// before a key comes before it.
fn is_key(line: &str, from: usize, to: usize) -> bool {
    let before = line.get(..from).unwrap_or("").trim_end();
    let after = line.get(to..).unwrap_or("").trim_start_matches(['"', '\'']);
    let after = after.strip_prefix(':');
    let begins = before.is_empty() || before.ends_with(['-', '{', ',', '[', '"', '\'']);
    begins && after.is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t', '\r']))
}

/// Cuts a file into its entries. What stands before the first one, other than comments, is one too, so
/// that nothing is left out in silence.
pub(super) fn entries(file: &SourceFile) -> Vec<EntryText<'_>> {
    let mut starts: Vec<(usize, usize)> = Vec::new();
    let mut at = 0;
    for (index, line) in file.text.split_inclusive('\n').enumerate() {
        let silent = line.trim().is_empty() || line.starts_with('#') || line.trim_end() == "---";
        if line.starts_with("- ") || (starts.is_empty() && !silent) {
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
    (list.len() == entries.len() && twice(text).is_none()).then_some(list)
}

#[allow(
    clippy::result_large_err,
    reason = "read once for an entry; the problem is kept whole"
)]
fn read<T: DeserializeOwned>(entry: &EntryText<'_>) -> Result<T, Problem> {
    match from_yaml::<Vec<T>>(entry.text) {
        Ok(mut list) if list.len() == 1 => match (twice(entry.text), list.pop()) {
            (None, Some(value)) => Ok(value),
            (Some(fault), _) => Err(described(entry, &fault)),
            (None, None) => Err(misplaced(entry, 0)),
        },
        Ok(list) => Err(misplaced(entry, list.len())),
        Err(fault) => Err(described(entry, &fault)),
    }
}
