//! Under which file a golfer's book is kept: a name that nobody can bend.
//!
//! Takes whatever was typed as a golfer's name and gives a file stem of lower-case letters, digits,
//! hyphens and escapes, and takes the environment's values and gives the folder for all books.
//!
//! Invariants: two names never share a key, also on disks that do not tell capitals apart or that
//! rewrite accents; a key holds no separator, dot or control and cannot leave its folder; a key is
//! never one of the names some systems reserve. It reads neither the environment nor the disk.

use std::ffi::OsStr;
use std::fmt::{self, Write as _};
use std::path::{Path, PathBuf};

use sha2::{Digest as _, Sha256};

/// The part of a file name that stands for a golfer.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct GolferKey(String);

/// Written before every key, so that no key is a reserved name or an empty one.
const START: &str = "g-";
/// The longest key that is spelled out; longer names are shortened and told apart by their digest.
const LONGEST: usize = 100;
/// How much of a longer one stays readable.
const KEPT: usize = 30;

impl GolferKey {
    /// The key of a name, which may be any text; the empty name has one too.
    ///
    /// ```
    /// use swingwhy::lesson::GolferKey;
    /// assert_eq!(GolferKey::of_name("ann-2").as_str(), "g-ann-2");
    /// assert_eq!(GolferKey::of_name("Ann").as_str(), "g-_41nn");
    /// assert_eq!(GolferKey::of_name("../x").as_str(), "g-_2e_2e_2fx");
    /// ```
    pub fn of_name(name: &str) -> Self {
        let mut key = START.to_owned();
        for byte in name.bytes() {
            if is_plain(byte) {
                key.push(char::from(byte));
            } else {
                // Writing to a string cannot fail.
                let _ = write!(key, "_{byte:02x}");
            }
        }
        if key.len() > LONGEST {
            key.truncate(KEPT);
            // No escape looks like this mark, so no spelled-out key ends like a shortened one.
            key.push_str("__");
            for byte in Sha256::digest(name.as_bytes()) {
                let _ = write!(key, "{byte:02x}");
            }
        }
        Self(key)
    }

    /// The key a file stem stands for; None for anything that no name leads to.
    pub(super) fn of_stem(stem: &str) -> Option<Self> {
        let body = stem.strip_prefix(START)?;
        let plain = body.bytes().all(|b| is_plain(b) || b == b'_');
        (plain && stem.len() <= LONGEST).then(|| Self(stem.to_owned()))
    }

    /// The key as text, safe as a file stem.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

const fn is_plain(byte: u8) -> bool {
    byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-'
}

impl fmt::Display for GolferKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// The folder for lesson books by the desktop convention: `swingwhy` in `$XDG_DATA_HOME` if that is
/// an absolute path, else in `.local/share` of the home folder. None if neither is usable.
pub fn data_folder(xdg_data_home: Option<&OsStr>, home: Option<&OsStr>) -> Option<PathBuf> {
    let absolute = |value: Option<&OsStr>| {
        value
            .map(Path::new)
            .filter(|p| p.is_absolute())
            .map(Path::to_path_buf)
    };
    absolute(xdg_data_home)
        .or_else(|| absolute(home).map(|home| home.join(".local").join("share")))
        .map(|data| data.join("swingwhy"))
}
