//! What data does a YAML text hold? The only file that names `serde_yaml`.
//!
//! Read by the library, for every text that it is given, and by the build script, for the texts that
//! are compiled in. The reader itself bounds nesting and the unfolding of aliases. Knows no file and
//! no entry.

use serde::de::DeserializeOwned;

/// Why a text could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Fault {
    /// The reader's words.
    pub(crate) message: String,
    /// Line in the text, from 1.
    pub(crate) line: usize,
    /// Column in the line, from 1.
    pub(crate) column: usize,
}

/// Reads a text.
///
/// # Errors
/// The first thing in it that cannot be read.
pub(crate) fn from_yaml<T: DeserializeOwned>(text: &str) -> Result<T, Fault> {
    serde_yaml::from_str(text).map_err(|error| {
        let (line, column) = error.location().map_or((1, 1), |l| (l.line(), l.column()));
        Fault {
            message: error.to_string(),
            line,
            column,
        }
    })
}
