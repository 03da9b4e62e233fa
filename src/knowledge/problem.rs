//! What can be wrong with a folder of knowledge, and where.
//!
//! A [`Problem`] is data: a kind with its particulars, a place (file, line, column, the line's
//! text) and, where one exists, the nearest name. Sentences are made in `wording`. The loader
//! returns every problem it finds, sorted by place. Does not know how to mend anything.

use crate::quantity::Dimension;

/// A place in a knowledge file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The file, relative to the knowledge folder.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1.
    pub column: usize,
    /// How many characters are meant.
    pub width: usize,
    /// The text of the line.
    pub text: String,
}

/// What is wrong.
#[derive(Debug, Clone, PartialEq)]
pub enum ProblemKind {
    /// The text is no YAML, or nests too deep, or an entry has the wrong shape.
    Shape {
        /// What does not fit.
        detail: String,
        /// How to mend it, where that is known.
        advice: Option<String>,
    },
    /// A key that stands twice where one of both would be silent.
    DuplicateKey {
        /// The key.
        key: String,
    },
    /// A word where only some others mean anything.
    UnknownWord {
        /// The key it stands at.
        key: String,
        /// The word.
        word: String,
        /// The words that mean something.
        known: Vec<String>,
    },
    /// Several things said where one counts.
    OneOnly {
        /// What is said.
        keys: Vec<String>,
    },
    /// Something among words that is no single word.
    NotOneWord {
        /// Which key.
        key: String,
        /// What is written.
        text: String,
    },
    /// A key that means nothing without another one.
    MeansNothing {
        /// The key.
        key: String,
        /// What it needs beside it.
        needs: &'static str,
    },
    /// A name that cannot be an id.
    NotAnId {
        /// The name.
        id: String,
    },
    /// A symptom that names another as its opposite and is not named by it.
    NotMutual {
        /// The other symptom.
        other: String,
    },
    /// A key that entries of this file do not have.
    UnknownKey {
        /// The key.
        key: String,
    },
    /// A key that entries of this file must have.
    MissingKey {
        /// The key.
        key: String,
    },
    /// A file whose name the loader does not know.
    UnknownFile,
    /// A file that must be there and is not.
    MissingFile {
        /// The file.
        file: String,
    },
    /// A file that is too large.
    TooLarge {
        /// Bytes.
        bytes: usize,
        /// The most that is read.
        limit: usize,
    },
    /// A name that nothing defines.
    UnknownId {
        /// What kind of thing was looked for: "cause", "drill" ...
        sort: &'static str,
        /// The name.
        id: String,
    },
    /// A name defined twice.
    DuplicateId {
        /// The name.
        id: String,
        /// Where it was defined first.
        first: Place,
    },
    /// A text that should hold a number with a unit.
    NotAnAmount {
        /// The text.
        text: String,
    },
    /// A unit that measures something else.
    UnitMismatch {
        /// The text.
        text: String,
        /// What is wanted.
        wanted: Dimension,
    },
    /// A number outside what it can be.
    OutOfRange {
        /// What it is.
        what: String,
        /// The number.
        value: f64,
        /// From.
        low: f64,
        /// To.
        high: f64,
    },
    /// A cause that leads back to itself.
    Cycle {
        /// The causes in order, the first again at the end.
        path: Vec<String>,
    },
    /// A text longer than its place on the screen.
    TooLong {
        /// Which key.
        key: String,
        /// Characters.
        length: usize,
        /// The most.
        limit: usize,
    },
    /// A character outside printable ASCII.
    NotPlainText {
        /// Which key.
        key: String,
        /// The character.
        found: char,
    },
    /// A condition that is not written as one.
    NotACondition {
        /// The text.
        text: String,
    },
    /// A cause, check or drill without something it must have.
    Lacks {
        /// What is lacking: "check", "drill" ...
        what: &'static str,
    },
    /// An entry without something that would make it worth more.
    Thin {
        /// What is lacking: "way to look" ...
        what: &'static str,
    },
    /// An id that nothing uses.
    Unused {
        /// What kind of thing.
        sort: &'static str,
        /// The name.
        id: String,
    },
    /// Something that no words, no check and no rule can bring about.
    Unreachable {
        /// What kind of thing.
        sort: &'static str,
        /// The name.
        id: String,
    },
    /// A cue of more words than can be thought of in a swing.
    TooManyWords {
        /// Which key.
        key: String,
        /// How many words.
        words: usize,
        /// The most.
        limit: usize,
    },
    /// A word so wide that its line cannot be broken.
    TooWide {
        /// Which key.
        key: String,
        /// Columns.
        width: usize,
        /// The most.
        limit: usize,
    },
    /// A rule that says the opposite of another whenever it fires.
    ContradictoryRules {
        /// The other rule.
        other: String,
    },
    /// A rule that another one repeats.
    SameRule {
        /// The other rule.
        other: String,
    },
    /// A rule that no case fires, or that no case brings close to firing without firing it.
    RuleWithoutCase {
        /// True if no case fires it.
        fires: bool,
    },
    /// A phrase that means two things.
    TwoMeanings {
        /// The phrase.
        phrase: String,
        /// The other meaning.
        other: String,
    },
    /// A rule that does not compile.
    Rule {
        /// What the rule engine says, as a stable name.
        kind: String,
        /// The words it is about.
        detail: String,
    },
}

impl ProblemKind {
    /// True if the knowledge can be used all the same.
    pub const fn is_remark(&self) -> bool {
        matches!(
            self,
            Self::Unused { .. }
                | Self::Unreachable { .. }
                | Self::TooManyWords { .. }
                | Self::TooWide { .. }
                | Self::ContradictoryRules { .. }
                | Self::SameRule { .. }
                | Self::RuleWithoutCase { .. }
                | Self::Thin { .. }
                | Self::NotMutual { .. }
        )
    }

    /// The stable name of the kind, shown in messages.
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Shape { .. } => "shape",
            Self::DuplicateKey { .. } => "duplicate-key",
            Self::UnknownWord { .. } => "unknown-word",
            Self::OneOnly { .. } => "one-only",
            Self::NotOneWord { .. } => "not-one-word",
            Self::MeansNothing { .. } => "means-nothing",
            Self::NotAnId { .. } => "not-an-id",
            Self::NotMutual { .. } => "not-mutual",
            Self::UnknownKey { .. } => "unknown-key",
            Self::MissingKey { .. } => "missing-key",
            Self::UnknownFile => "unknown-file",
            Self::MissingFile { .. } => "missing-file",
            Self::TooLarge { .. } => "too-large",
            Self::UnknownId { .. } => "unknown-id",
            Self::DuplicateId { .. } => "duplicate-id",
            Self::NotAnAmount { .. } => "not-an-amount",
            Self::UnitMismatch { .. } => "unit-mismatch",
            Self::OutOfRange { .. } => "out-of-range",
            Self::Cycle { .. } => "cycle",
            Self::TooLong { .. } => "too-long",
            Self::NotPlainText { .. } => "not-plain-text",
            Self::NotACondition { .. } => "not-a-condition",
            Self::Lacks { .. } => "lacks",
            Self::Thin { .. } => "thin",
            Self::Unused { .. } => "unused",
            Self::Unreachable { .. } => "unreachable",
            Self::TooManyWords { .. } => "too-many-words",
            Self::TooWide { .. } => "too-wide",
            Self::ContradictoryRules { .. } => "contradictory-rules",
            Self::SameRule { .. } => "same-rule",
            Self::RuleWithoutCase { .. } => "rule-without-case",
            Self::TwoMeanings { .. } => "two-meanings",
            Self::Rule { .. } => "rule",
        }
    }
}

/// Something wrong, where, and the nearest name that would be right.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// What.
    pub kind: ProblemKind,
    /// Where.
    pub place: Place,
    /// The entry it is in, if any.
    pub entry: Option<String>,
    /// The nearest name.
    pub nearest: Option<String>,
}

/// The name nearest to `wanted`: at most a third of its letters differ, ties by name.
///
/// ```
/// use swingwhy::knowledge::nearest;
/// assert_eq!(nearest("p_swya", ["p_sway", "p_slide"].into_iter()), Some("p_sway".to_owned()));
/// assert_eq!(nearest("zebra", ["p_sway"].into_iter()), None);
/// ```
pub fn nearest<'a>(wanted: &str, names: impl Iterator<Item = &'a str>) -> Option<String> {
    let limit = (wanted.chars().count() / 3).clamp(1, 4);
    names
        .map(|name| (strsim::osa_distance(wanted, name), name))
        .filter(|(distance, _)| *distance <= limit)
        .min()
        .map(|(_, name)| name.to_owned())
}
