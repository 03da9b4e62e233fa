//! The knowledge compiled into the program, so that it runs from any place without files.
//!
//! The build script finds the files and puts beside each what it says as JSON, which [`ready`] gives
//! for a text that is still the one compiled in. Nothing here knows what is in a file.

use super::KnowledgeBase;
use super::load::load;
use super::problem::Problem;
use super::yaml::SourceFile;

// The files of knowledge with path, text and JSON, and the cases, which the built-in knowledge is
// held against, with path and text.
include!(concat!(env!("OUT_DIR"), "/compiled_in.rs"));

/// The files compiled in.
pub fn builtin_files() -> Vec<SourceFile> {
    source_files(FILES.iter().map(|(path, text, _)| (*path, *text)))
}

/// The cases compiled in.
pub fn builtin_cases() -> Vec<SourceFile> {
    source_files(CASES.iter().copied())
}

fn source_files<'a>(files: impl Iterator<Item = (&'a str, &'a str)>) -> Vec<SourceFile> {
    files
        .map(|(path, text)| SourceFile {
            path: path.to_owned(),
            text: text.to_owned(),
        })
        .collect()
}

/// The entries of a file as JSON, if it is a file compiled in and its text has not been changed.
pub(super) fn ready(file: &SourceFile) -> Option<&'static str> {
    let place = FILES.binary_search_by(|(path, _, _)| (*path).cmp(&file.path));
    let (_, text, json) = FILES.get(place.ok()?)?;
    json.filter(|_| *text == file.text)
}

/// The knowledge compiled in.
///
/// # Errors
/// Its problems; a test keeps it free of them.
pub fn builtin() -> Result<KnowledgeBase, Vec<Problem>> {
    load(&builtin_files())
}
