//! Knowledge laid over knowledge: a coach's own entries take the place of those with the same id.
//!
//! Works on texts, before anything is read, so that every problem keeps its place. An entry of the
//! upper files replaces the lower entry with the same id wherever that one stands in the same
//! folder or file; others are new. Does not know what entries mean.

use super::yaml::{SourceFile, entries};

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

/// The lower files with the upper ones over them.
///
/// ```
/// use swingwhy::knowledge::{SourceFile, laid_over};
/// let file = |path: &str, text: &str| SourceFile { path: path.into(), text: text.into() };
/// let lower = vec![file("drills.yaml", "- id: d_a\n  name: old\n- id: d_b\n  name: kept\n")];
/// let all = laid_over(lower, vec![file("drills.yaml", "- id: d_a\n  name: new\n")]);
/// assert_eq!(all[0].text, "- id: d_b\n  name: kept\n");
/// assert_eq!(all[1].text, "- id: d_a\n  name: new\n");
/// ```
pub fn laid_over(lower: Vec<SourceFile>, upper: Vec<SourceFile>) -> Vec<SourceFile> {
    let mut replaced: Vec<(String, String)> = Vec::new();
    for file in &upper {
        for entry in entries(file) {
            if let Some(id) = id(entry.text) {
                replaced.push((kind(&file.path).to_owned(), id.to_owned()));
            }
        }
    }
    let mut out: Vec<SourceFile> = Vec::new();
    for file in lower {
        let mut text = String::new();
        let mut from = 0;
        for entry in entries(&file) {
            let start = entry.text.as_ptr() as usize - file.text.as_ptr() as usize;
            let gone = id(entry.text).is_some_and(|id| {
                replaced
                    .iter()
                    .any(|(k, i)| k == kind(&file.path) && i == id)
            });
            if gone {
                text.push_str(file.text.get(from..start).unwrap_or(""));
                from = start + entry.text.len();
            }
        }
        text.push_str(file.text.get(from..).unwrap_or(""));
        out.push(SourceFile {
            path: file.path,
            text,
        });
    }
    for file in upper {
        let path = if out.iter().any(|f| f.path == file.path) && kind(&file.path) != file.path {
            // Keep both files apart, so that places stay true.
            format!("{}+{}", file.path, "added")
        } else {
            file.path
        };
        out.push(SourceFile {
            path,
            text: file.text,
        });
    }
    out
}
