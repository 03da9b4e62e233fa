//! Knowledge from folders: reads the YAML files below a folder, and lays others over it.
//!
//! An added folder's entries take the place of entries with the same id in the same file, and are
//! new entries otherwise; files it does not have stay as they are. A golfer's or coach's own folder
//! lies over the built-in knowledge without being asked for: `swingwhy/knowledge` in the folder of
//! configurations.

use std::io;
use std::path::{Path, PathBuf};

use crate::knowledge::{
    Change, KnowledgeBase, LARGEST_FILE, Problem, SourceFile, as_written, builtin_files, laid_over,
    load,
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
        // Some editors put a mark before the first letter.
        text: String::from_utf8_lossy(&bytes)
            .trim_start_matches('\u{feff}')
            .to_owned(),
    })
}

/// The files in use, and what folders laid over them change.
pub(super) struct Sources {
    /// What is to be read.
    pub(super) files: Vec<SourceFile>,
    /// What the folders laid over change.
    pub(super) changes: Vec<Change>,
    /// The files of those folders, as they are.
    upper: Vec<SourceFile>,
}

impl Sources {
    /// Lays a folder over them.
    pub(super) fn lay_over(&mut self, folder: &Path) -> Result<(), NoBase> {
        let upper = files(folder)?;
        let all = laid_over(std::mem::take(&mut self.files), &upper);
        self.upper.extend(upper);
        self.files = all.files;
        self.changes.extend(all.changes);
        Ok(())
    }

    /// The knowledge they hold.
    pub(super) fn base(&self) -> Result<KnowledgeBase, NoBase> {
        load(&self.files).map_err(|list| NoBase::Problems(self.placed(list)))
    }

    /// Problems at the lines where their authors find them.
    pub(super) fn placed(&self, list: Vec<Problem>) -> Vec<Problem> {
        as_written(list, &self.upper)
    }
}

/// The files in use: built-in or from a folder, with others laid over.
pub(super) fn sources(knowledge: Option<&Path>, add: &[PathBuf]) -> Result<Sources, NoBase> {
    let mut sources = Sources {
        files: match knowledge {
            Some(folder) => files(folder)?,
            None => builtin_files(),
        },
        changes: Vec::new(),
        upper: Vec::new(),
    };
    for folder in add {
        sources.lay_over(folder)?;
    }
    Ok(sources)
}

/// The folder of own knowledge, if there is one: `$XDG_CONFIG_HOME/swingwhy/knowledge`, or under
/// `~/.config`.
pub(super) fn own() -> Option<PathBuf> {
    let absolute = |name: &str| {
        std::env::var_os(name)
            .map(PathBuf::from)
            .filter(|p| p.is_absolute())
    };
    absolute("XDG_CONFIG_HOME")
        .or_else(|| absolute("HOME").map(|home| home.join(".config")))
        .map(|config| config.join("swingwhy").join("knowledge"))
        .filter(|folder| folder.is_dir())
}
