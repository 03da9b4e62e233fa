//! Knowledge laid over knowledge: a coach's own entries take the place of those with the same id.
//!
//! Works on texts, before anything is read. An entry of the upper files replaces the lower entry
//! with the same id wherever that one stands in the same folder or file; others are new. An entry
//! that says `keep: rest` replaces only the keys it has, so that one number can be overridden.
//! [`laid_over`] gives the files and every [`Change`]; [`as_written`] puts problems back at the
//! lines of the upper files. Does not know what entries mean.

use super::problem::Problem;
use super::yaml::{EntryText, SourceFile, entries};

/// What an upper entry does to the lower ones.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The folder or the file, such as `causes` or `drills`.
    pub sort: String,
    /// The entry.
    pub id: String,
    /// What becomes of it.
    pub how: How,
}

/// New, or instead of another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum How {
    /// No lower entry has this id.
    New,
    /// It takes the place of a lower entry; these keys are different.
    Instead(Vec<String>),
}

/// Files with others over them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LaidOver {
    /// What is to be read.
    pub files: Vec<SourceFile>,
    /// What the upper files change, in their order.
    pub changes: Vec<Change>,
}

/// The id of an entry as it is written in its first line.
fn id(text: &str) -> Option<&str> {
    let rest = text.strip_prefix("- id:")?;
    let line = rest.lines().next()?;
    let id = line.split('#').next()?.trim().trim_matches(['"', '\'']);
    (!id.is_empty()).then_some(id)
}

/// What an entry's ids must be unique in: the folder, or the file at the top.
fn kind(path: &str) -> &str {
    path.split('/').next().unwrap_or(path)
}

/// The keys of an entry with their text, comments and blank lines left out.
fn keys(text: &str) -> Vec<(&str, String)> {
    let mut out: Vec<(&str, String)> = Vec::new();
    for line in text.lines() {
        let bare = line.trim_start();
        if bare.is_empty() || bare.starts_with('#') {
            continue;
        }
        let inside = line
            .strip_prefix("- ")
            .or_else(|| line.strip_prefix("  "))
            .filter(|rest| !rest.starts_with([' ', '-', '}', ']']));
        match inside.and_then(|rest| rest.split_once(':')) {
            Some((key, _)) => out.push((key, format!("{line}\n"))),
            None => {
                if let Some((_, block)) = out.last_mut() {
                    block.push_str(line);
                    block.push('\n');
                }
            }
        }
    }
    out
}

/// True if the entry replaces only the keys it has.
fn keeps_rest(own: &[(&str, String)]) -> bool {
    own.iter()
        .any(|(key, block)| *key == "keep" && block.trim() == "keep: rest")
}

/// The upper entry's keys over those of the lower one.
fn merged(own: &[(&str, String)], lower: &[(&str, String)]) -> String {
    let has = |key: &str| own.iter().any(|(k, _)| *k == key);
    let kept = lower.iter().filter(|(key, _)| !has(key));
    let own = own.iter().filter(|(key, _)| *key != "keep");
    own.chain(kept).map(|(_, block)| block.as_str()).collect()
}

/// The keys that are not the same in both.
fn different(own: &[(&str, String)], lower: &[(&str, String)]) -> Vec<String> {
    let block = |of: &[(&str, String)], key: &str| {
        let found = of.iter().find(|(k, _)| *k == key);
        found.map(|(_, block)| block.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    let mut out: Vec<String> = Vec::new();
    for (key, _) in own.iter().chain(lower) {
        let dropped = keeps_rest(own) && block(own, key).is_none();
        if *key != "keep"
            && !dropped
            && block(own, key) != block(lower, key)
            && !out.iter().any(|k| k == key)
        {
            out.push((*key).to_owned());
        }
    }
    out
}

/// The text of a file without some of its entries. Lines are kept if `blank` is.
fn without(file: &SourceFile, blank: bool, gone: impl Fn(&EntryText<'_>) -> bool) -> String {
    let mut text = String::new();
    let mut from = 0;
    for entry in entries(file) {
        let start = entry.text.as_ptr() as usize - file.text.as_ptr() as usize;
        if gone(&entry) {
            text.push_str(file.text.get(from..start).unwrap_or(""));
            from = start + entry.text.len();
            if blank {
                text.extend(entry.text.matches('\n'));
            }
        }
    }
    text.push_str(file.text.get(from..).unwrap_or(""));
    text
}

/// The lower files with the upper ones over them.
///
/// ```
/// use swingwhy::knowledge::{How, SourceFile, laid_over};
/// let file = |path: &str, text: &str| SourceFile { path: path.into(), text: text.into() };
/// let lower = || vec![file("drills.yaml", "- id: d_a\n  name: old\n  balls: 5\n- id: d_b\n  name: kept\n")];
/// let all = laid_over(lower(), &[file("drills.yaml", "- id: d_a\n  name: new\n")]);
/// assert_eq!(all.files[0].text, "- id: d_b\n  name: kept\n");
/// assert_eq!(all.files[1].text, "- id: d_a\n  name: new\n");
/// assert_eq!(all.changes[0].how, How::Instead(vec!["name".into(), "balls".into()]));
/// let one_number = file("drills.yaml", "- id: d_a\n  keep: rest\n  balls: 9\n");
/// let all = laid_over(lower(), &[one_number]);
/// assert!(all.files[1].text.ends_with("- id: d_a\n  balls: 9\n  name: old\n"));
/// assert_eq!(all.changes[0].how, How::Instead(vec!["balls".into()]));
/// ```
pub fn laid_over(lower: Vec<SourceFile>, upper: &[SourceFile]) -> LaidOver {
    let mut changes: Vec<Change> = Vec::new();
    let mut files_over: Vec<SourceFile> = Vec::new();
    let mut replaced: Vec<(String, String)> = Vec::new();
    for file in upper {
        let mut added = String::new();
        let mut moved: Vec<&str> = Vec::new();
        for entry in entries(file) {
            let Some(name) = id(entry.text) else {
                continue;
            };
            let own = keys(entry.text);
            let below = lower
                .iter()
                .filter(|f| kind(&f.path) == kind(&file.path))
                .flat_map(entries)
                .find(|e| id(e.text) == Some(name));
            let how = match below.map(|e| keys(e.text)) {
                None => How::New,
                Some(below) => {
                    if keeps_rest(&own) {
                        added.push_str(&merged(&own, &below));
                        moved.push(name);
                    }
                    How::Instead(different(&own, &below))
                }
            };
            let sort = kind(&file.path).trim_end_matches(".yaml").to_owned();
            let id = name.to_owned();
            changes.push(Change { sort, id, how });
            replaced.push((kind(&file.path).to_owned(), name.to_owned()));
        }
        let mut text = without(file, true, |e| {
            id(e.text).is_some_and(|i| moved.contains(&i))
        });
        if !added.is_empty() && !text.is_empty() && !text.ends_with('\n') {
            text.push('\n');
        }
        text.push_str(&added);
        let path = file.path.clone();
        files_over.push(SourceFile { path, text });
    }
    let mut files: Vec<SourceFile> = lower
        .into_iter()
        .map(|file| {
            let gone = |e: &EntryText<'_>| {
                id(e.text).is_some_and(|id| {
                    replaced
                        .iter()
                        .any(|(k, i)| k == kind(&file.path) && i == id)
                })
            };
            let text = without(&file, false, gone);
            SourceFile {
                path: file.path,
                text,
            }
        })
        .collect();
    for file in files_over {
        let path = if files.iter().any(|f| f.path == file.path) && kind(&file.path) != file.path {
            // Keep both files apart, so that places stay true.
            format!("{}{ADDED}", file.path)
        } else {
            file.path
        };
        files.push(SourceFile {
            path,
            text: file.text,
        });
    }
    LaidOver { files, changes }
}

/// What follows the path of an upper file if a lower one has the same.
pub(super) const ADDED: &str = "+added";

/// Problems of laid-over files at the places where the upper files have those lines: an entry that
/// keeps the rest of a lower one was read elsewhere.
pub fn as_written(mut problems: Vec<Problem>, upper: &[SourceFile]) -> Vec<Problem> {
    for problem in &mut problems {
        let place = &mut problem.place;
        let path = place.file.trim_end_matches(ADDED).to_owned();
        let Some(file) = upper.iter().find(|f| f.path == path) else {
            continue;
        };
        let same = |line: &str| line.trim_end() == place.text.trim_end();
        let there = file.text.lines().nth(place.line.saturating_sub(1));
        if !there.is_some_and(same)
            && let Some(at) = file.text.lines().position(same)
        {
            place.line = at + 1;
            place.file = path;
        }
    }
    problems
}
