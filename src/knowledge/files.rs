//! Which file holds which kind of entry, and every entry of every file in its shape.
//!
//! Takes the texts of the files; gives [`Shapes`], one list for each kind of entry, and the
//! problems of the texts. The longest texts are read on threads of their own, and those compiled in
//! need not be read as YAML again ([`Ready`]); what comes out does not depend on either. Knows the
//! shapes of entries and nothing of what they mean.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;

use super::counts::CountShape;
use super::course::{LessonShape, LevelShape};
use super::golfer_shapes::{ClubShape, GroupShape, LieShape, PopulationShape};
use super::lexicon::RawEntry;
use super::limits::LimitShape;
use super::overlay::ADDED;
use super::problem::{Place, Problem, ProblemKind, nearest};
use super::report::{Place0, Report};
use super::rule_shapes::RuleShape;
use super::shapes::{
    AnswerShape, CauseShape, CautionShape, ChangeShape, CheckShape, DrillShape, EffectShape,
    QuantityShape, SourceShape, StrengthShape, SymptomShape, TellingShape,
};
use super::yaml::{LARGEST_FILE, SourceFile, read_file};
use crate::beside::beside;

const SINGLE_FILES: [&str; 16] = [
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
    "counts.yaml",
    "limits.yaml",
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

/// What a file says as JSON, if that is known.
pub(super) type Ready = fn(&SourceFile) -> Option<&'static str>;

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
            if !at.id.chars().all(|c| c.is_ascii_alphanumeric() || c == '_') || at.id.is_empty() {
                let id = at.id.clone();
                report.push(ProblemKind::NotAnId { id }, &at.id, None, at);
            }
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
    CountShape,
    DrillShape,
    EffectShape,
    GroupShape,
    LessonShape,
    LevelShape,
    LimitShape,
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
    pub(super) counts: Read<'a, CountShape>,
    pub(super) limits: Read<'a, LimitShape>,
    pub(super) strengths: Read<'a, StrengthShape>,
    pub(super) levels: Read<'a, LevelShape>,
    pub(super) lessons: Read<'a, LessonShape>,
    pub(super) rules: Read<'a, RuleShape>,
    pub(super) phrases: Read<'a, RawEntry>,
    pub(super) told: Read<'a, TellingShape>,
    /// True if all that golfers say is as it was compiled in, where no two entries say the same.
    pub(super) words_known: bool,
}

/// The files of one reading, and where to find what they say as JSON.
#[derive(Clone, Copy)]
struct Files<'a> {
    files: &'a [SourceFile],
    ready: Ready,
}

fn belongs(path: &str, name: &str) -> bool {
    path == name
        || path.strip_suffix(ADDED) == Some(name)
        || (name.ends_with('/') && path.starts_with(name))
}

impl<'a> Files<'a> {
    /// The entries of the file of this name, or of the files of this folder if the name ends in `/`.
    fn all<T: DeserializeOwned + Named>(
        self,
        name: &str,
        problems: &mut Vec<Problem>,
    ) -> Read<'a, T> {
        let mut entries = Vec::new();
        for file in self
            .files
            .iter()
            .filter(|f| belongs(&f.path, name) && f.text.len() <= LARGEST_FILE)
        {
            for (entry, shape) in read_file::<T>(file, (self.ready)(file)) {
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

    /// True if all files that hold what golfers say are ready.
    fn words_known(self) -> bool {
        let said = |path: &str| belongs(path, "phrases/") || belongs(path, "answers.yaml");
        let mut words = self.files.iter().filter(|file| said(&file.path));
        words.all(|file| (self.ready)(file).is_some())
    }

    fn all_but_phrases_and_rules(self, problems: &mut Vec<Problem>) -> Shapes<'a> {
        Shapes {
            groups: self.all("groups.yaml", problems),
            clubs: self.all("clubs.yaml", problems),
            lies: self.all("lies.yaml", problems),
            population: self.all("population.yaml", problems),
            quantities: self.all("quantities.yaml", problems),
            symptoms: self.all("symptoms/", problems),
            effects: self.all("effects.yaml", problems),
            causes: self.all("causes/", problems),
            checks: self.all("checks/", problems),
            drills: self.all("drills.yaml", problems),
            cautions: self.all("cautions.yaml", problems),
            answers: self.all("answers.yaml", problems),
            sources: self.all("sources.yaml", problems),
            changes: self.all("changes.yaml", problems),
            counts: self.all("counts.yaml", problems),
            limits: self.all("limits.yaml", problems),
            strengths: self.all("strengths.yaml", problems),
            levels: self.all("course/levels.yaml", problems),
            lessons: self.all("course/lessons.yaml", problems),
            told: self.all("told/", problems),
            rules: Read {
                entries: Vec::new(),
            },
            phrases: Read {
                entries: Vec::new(),
            },
            words_known: self.words_known(),
        }
    }
}

impl<'a> Shapes<'a> {
    /// Reads the files.
    pub(super) fn read(files: &'a [SourceFile], ready: Ready, report: &mut Report) -> Self {
        file_problems(files, report);
        let from = Files { files, ready };
        let ((phrases, rules, more), mut shapes) = beside(
            || {
                let mut problems = Vec::new();
                let phrases = from.all::<RawEntry>("phrases/", &mut problems);
                let rules = from.all::<RuleShape>("rules/", &mut problems);
                (phrases, rules, problems)
            },
            || from.all_but_phrases_and_rules(&mut report.problems),
        );
        report.problems.extend(more);
        shapes.phrases = phrases;
        shapes.rules = rules;
        shapes
    }
}

/// The name a file should have gone by: nearly the same, or the folder or file of the same word.
fn meant(path: &str) -> Option<String> {
    let (folder, name) = path.split_once('/').unwrap_or(("", path));
    let stem = name.trim_end_matches(".yaml").trim_end_matches(".yml");
    let folders = || FOLDERS.iter().map(|f| f.trim_end_matches('/'));
    let singles = || SINGLE_FILES.iter().map(|f| f.trim_end_matches(".yaml"));
    if folder.is_empty() {
        if folders().any(|f| f == stem) {
            return Some(format!("{stem}/{name}"));
        }
        let lesson = SINGLE_FILES
            .iter()
            .find(|f| f.ends_with(&format!("/{name}")));
        return lesson
            .map(|f| (*f).to_owned())
            .or_else(|| nearest(stem, singles()).map(|f| format!("{f}.yaml")))
            .or_else(|| nearest(stem, folders()).map(|f| format!("{f}/{name}")));
    }
    let single = format!("{folder}.yaml");
    if SINGLE_FILES.contains(&single.as_str()) {
        return Some(single);
    }
    nearest(&format!("{folder}/{stem}"), singles())
        .map(|f| format!("{f}.yaml"))
        .or_else(|| nearest(folder, folders()).map(|f| format!("{f}/{name}")))
}

fn file_problems(files: &[SourceFile], report: &mut Report) {
    let mut add = |file: &str, kind, near| {
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
            nearest: near,
        });
    };
    for file in files {
        let known = SINGLE_FILES.contains(&file.path.trim_end_matches(ADDED))
            || FOLDERS.iter().any(|folder| file.path.starts_with(folder));
        if !known {
            add(&file.path, ProblemKind::UnknownFile, meant(&file.path));
        }
        if file.text.len() > LARGEST_FILE {
            let (bytes, limit) = (file.text.len(), LARGEST_FILE);
            add(&file.path, ProblemKind::TooLarge { bytes, limit }, None);
        }
    }
    for name in NEEDED {
        if !files.iter().any(|f| f.path == name) {
            let file = name.to_owned();
            add(name, ProblemKind::MissingFile { file }, None);
        }
    }
}
