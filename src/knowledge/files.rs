//! Which file holds which kind of entry, and every entry of every file in its shape.
//!
//! Takes the texts of the files; gives [`Shapes`], one list for each kind of entry, and the
//! problems of the texts. The longest texts are read on threads of their own; what comes out does
//! not depend on that. Knows the shapes of entries and nothing of what they mean.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;

use super::course::{LessonShape, LevelShape};
use super::golfer_shapes::{ClubShape, GroupShape, LieShape, PopulationShape};
use super::lexicon::RawEntry;
use super::overlay::ADDED;
use super::problem::{Place, Problem, ProblemKind};
use super::report::{Place0, Report};
use super::rule_shapes::RuleShape;
use super::shapes::{
    AnswerShape, CauseShape, CautionShape, ChangeShape, CheckShape, DrillShape, EffectShape,
    QuantityShape, SourceShape, StrengthShape, SymptomShape, TellingShape,
};
use super::yaml::{LARGEST_FILE, SourceFile, read_file};
use crate::beside::beside;

const SINGLE_FILES: [&str; 14] = [
    "groups.yaml",
    "clubs.yaml",
    "lies.yaml",
    "population.yaml",
    "quantities.yaml",
    "effects.yaml",
    "drills.yaml",
    "cautions.yaml",
    "answers.yaml",
    "sources.yaml",
    "changes.yaml",
    "strengths.yaml",
    "course/levels.yaml",
    "course/lessons.yaml",
];
const FOLDERS: [&str; 6] = [
    "symptoms/",
    "causes/",
    "checks/",
    "rules/",
    "phrases/",
    "told/",
];
const NEEDED: [&str; 5] = [
    "groups.yaml",
    "clubs.yaml",
    "population.yaml",
    "quantities.yaml",
    "effects.yaml",
];

/// The entries of one kind with where they came from.
pub(super) struct Read<'a, T> {
    pub(super) entries: Vec<(T, Place0<'a>)>,
}

impl<'a, T> Read<'a, T> {
    /// Leaves nothing behind.
    pub(super) fn take(&mut self) -> Read<'a, T> {
        let entries = std::mem::take(&mut self.entries);
        Read { entries }
    }

    /// Gives every entry its place; a double id is a problem and keeps the first.
    pub(super) fn ids(&self, report: &mut Report) -> BTreeMap<String, usize> {
        let mut places: BTreeMap<String, usize> = BTreeMap::new();
        for (index, (_, at)) in self.entries.iter().enumerate() {
            let first = places.get(&at.id).and_then(|i| self.entries.get(*i));
            if let Some((_, first)) = first {
                let kind = ProblemKind::DuplicateId {
                    id: at.id.clone(),
                    first: first.entry.place_of(&first.id),
                };
                report.push(kind, &at.id, None, at);
            } else {
                places.insert(at.id.clone(), index);
            }
        }
        places
    }
}

/// An entry that has an id.
pub(super) trait Named {
    /// Its id.
    fn id(&self) -> &str;
}

macro_rules! named {
    ($($shape:ty),+ $(,)?) => {$(
        impl Named for $shape {
            fn id(&self) -> &str {
                &self.id
            }
        }
    )+};
}

named!(
    AnswerShape,
    CauseShape,
    CautionShape,
    ChangeShape,
    CheckShape,
    ClubShape,
    DrillShape,
    EffectShape,
    GroupShape,
    LessonShape,
    LevelShape,
    LieShape,
    PopulationShape,
    QuantityShape,
    RawEntry,
    RuleShape,
    SourceShape,
    StrengthShape,
    SymptomShape,
    TellingShape,
);

/// Every entry of every file.
pub(super) struct Shapes<'a> {
    pub(super) groups: Read<'a, GroupShape>,
    pub(super) clubs: Read<'a, ClubShape>,
    pub(super) lies: Read<'a, LieShape>,
    pub(super) population: Read<'a, PopulationShape>,
    pub(super) quantities: Read<'a, QuantityShape>,
    pub(super) symptoms: Read<'a, SymptomShape>,
    pub(super) effects: Read<'a, EffectShape>,
    pub(super) causes: Read<'a, CauseShape>,
    pub(super) checks: Read<'a, CheckShape>,
    pub(super) drills: Read<'a, DrillShape>,
    pub(super) cautions: Read<'a, CautionShape>,
    pub(super) answers: Read<'a, AnswerShape>,
    pub(super) sources: Read<'a, SourceShape>,
    pub(super) changes: Read<'a, ChangeShape>,
    pub(super) strengths: Read<'a, StrengthShape>,
    pub(super) levels: Read<'a, LevelShape>,
    pub(super) lessons: Read<'a, LessonShape>,
    pub(super) rules: Read<'a, RuleShape>,
    pub(super) phrases: Read<'a, RawEntry>,
    pub(super) told: Read<'a, TellingShape>,
}

/// The entries of the file of this name, or of the files of this folder if the name ends in `/`.
fn all<'a, T: DeserializeOwned + Named>(
    files: &'a [SourceFile],
    name: &str,
    problems: &mut Vec<Problem>,
) -> Read<'a, T> {
    let belongs = |path: &str| {
        path == name
            || path.strip_suffix(ADDED) == Some(name)
            || (name.ends_with('/') && path.starts_with(name))
    };
    let mut entries = Vec::new();
    for file in files
        .iter()
        .filter(|f| belongs(&f.path) && f.text.len() <= LARGEST_FILE)
    {
        for (entry, shape) in read_file::<T>(file) {
            match shape {
                Ok(shape) => {
                    let id = shape.id().to_owned();
                    entries.push((shape, Place0 { entry, id }));
                }
                Err(problem) => problems.push(*problem),
            }
        }
    }
    Read { entries }
}

impl<'a> Shapes<'a> {
    /// Reads the files.
    pub(super) fn read(files: &'a [SourceFile], report: &mut Report) -> Self {
        file_problems(files, report);
        let ((phrases, rules, more), mut shapes) = beside(
            || {
                let mut problems = Vec::new();
                let phrases = all::<RawEntry>(files, "phrases/", &mut problems);
                let rules = all::<RuleShape>(files, "rules/", &mut problems);
                (phrases, rules, problems)
            },
            || Self::read_but_phrases_and_rules(files, &mut report.problems),
        );
        report.problems.extend(more);
        shapes.phrases = phrases;
        shapes.rules = rules;
        shapes
    }

    fn read_but_phrases_and_rules(files: &'a [SourceFile], problems: &mut Vec<Problem>) -> Self {
        Self {
            groups: all(files, "groups.yaml", problems),
            clubs: all(files, "clubs.yaml", problems),
            lies: all(files, "lies.yaml", problems),
            population: all(files, "population.yaml", problems),
            quantities: all(files, "quantities.yaml", problems),
            symptoms: all(files, "symptoms/", problems),
            effects: all(files, "effects.yaml", problems),
            causes: all(files, "causes/", problems),
            checks: all(files, "checks/", problems),
            drills: all(files, "drills.yaml", problems),
            cautions: all(files, "cautions.yaml", problems),
            answers: all(files, "answers.yaml", problems),
            sources: all(files, "sources.yaml", problems),
            changes: all(files, "changes.yaml", problems),
            strengths: all(files, "strengths.yaml", problems),
            levels: all(files, "course/levels.yaml", problems),
            lessons: all(files, "course/lessons.yaml", problems),
            told: all(files, "told/", problems),
            rules: Read {
                entries: Vec::new(),
            },
            phrases: Read {
                entries: Vec::new(),
            },
        }
    }
}

fn file_problems(files: &[SourceFile], report: &mut Report) {
    let mut add = |file: &str, kind| {
        report.problems.push(Problem {
            kind,
            place: Place {
                file: file.to_owned(),
                line: 1,
                column: 1,
                width: 1,
                text: String::new(),
            },
            entry: None,
            nearest: None,
        });
    };
    for file in files {
        let known = SINGLE_FILES.contains(&file.path.trim_end_matches(ADDED))
            || FOLDERS.iter().any(|folder| file.path.starts_with(folder));
        if !known {
            add(&file.path, ProblemKind::UnknownFile);
        }
        if file.text.len() > LARGEST_FILE {
            let (bytes, limit) = (file.text.len(), LARGEST_FILE);
            add(&file.path, ProblemKind::TooLarge { bytes, limit });
        }
    }
    for name in NEEDED {
        if !files.iter().any(|f| f.path == name) {
            let file = name.to_owned();
            add(name, ProblemKind::MissingFile { file });
        }
    }
}
