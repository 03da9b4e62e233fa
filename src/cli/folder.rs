//! Knowledge from folders: reads the YAML files below a folder, and lays others over it.
//!
//! An added folder's entries take the place of entries with the same id in the same file, and are
//! new entries otherwise; files it does not have stay as they are.

use std::io;
use std::path::{Path, PathBuf};

use crate::knowledge::{
    KnowledgeBase, LARGEST_FILE, Problem, SourceFile, builtin_files, laid_over, load,
};

/// Why there is no knowledge.
pub(super) enum NoBase {
    /// It has problems.
    Problems(Vec<Problem>),
    /// A folder or file could not be read.
    Unreadable(PathBuf, io::Error),
}

/// The files below a folder, sorted by path.
pub(super) fn files(folder: &Path) -> Result<Vec<SourceFile>, NoBase> {
    let mut out = Vec::new();
    let mut waiting = vec![folder.to_path_buf()];
    while let Some(at) = waiting.pop() {
        let listed = std::fs::read_dir(&at).map_err(|e| NoBase::Unreadable(at.clone(), e))?;
        for entry in listed {
            let path = entry.map_err(|e| NoBase::Unreadable(at.clone(), e))?.path();
            let hidden = path
                .file_name()
                .is_some_and(|n| n.to_string_lossy().starts_with('.'));
            if hidden {
                continue;
            }
            if path.is_dir() {
                if path
                    .strip_prefix(folder)
                    .is_ok_and(|p| p.components().count() <= 3)
                {
                    waiting.push(path);
                }
            } else if path.extension().is_some_and(|e| e == "yaml" || e == "yml") {
                out.push(file(folder, &path)?);
            }
        }
    }
    out.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(out)
}

fn file(folder: &Path, path: &Path) -> Result<SourceFile, NoBase> {
    use std::io::Read as _;
    let unreadable = |e| NoBase::Unreadable(path.to_path_buf(), e);
    let mut bytes = Vec::new();
    // One byte more than the limit, so that the loader sees that it is too large.
    std::fs::File::open(path)
        .and_then(|f| f.take(LARGEST_FILE as u64 + 1).read_to_end(&mut bytes))
        .map_err(unreadable)?;
    let relative = path.strip_prefix(folder).unwrap_or(path);
    let parts: Vec<String> = relative
        .components()
        .map(|c| c.as_os_str().to_string_lossy().into_owned())
        .collect();
    Ok(SourceFile {
        path: parts.join("/"),
        text: String::from_utf8_lossy(&bytes).into_owned(),
    })
}

/// The files in use: built-in or from a folder, with others laid over.
pub(super) fn sources(
    knowledge: Option<&Path>,
    add: &[PathBuf],
) -> Result<Vec<SourceFile>, NoBase> {
    let mut all = match knowledge {
        Some(folder) => files(folder)?,
        None => builtin_files(),
    };
    for folder in add {
        all = laid_over(all, files(folder)?);
    }
    Ok(all)
}

/// The knowledge in use.
pub(super) fn base(knowledge: Option<&Path>, add: &[PathBuf]) -> Result<KnowledgeBase, NoBase> {
    load(&sources(knowledge, add)?).map_err(NoBase::Problems)
}
