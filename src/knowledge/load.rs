//! From files to a [`KnowledgeBase`], or to every problem in them.
//!
//! Three passes: 1. each entry of each file is read into its shape; 2. every id is given its place
//! in its table (double ids are problems); 3. names are resolved, numbers read, texts measured, and
//! the model of the simulated golfers built. Problems are collected through all passes and sorted
//! by place. Input is text only; the caller reads folders.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};

use super::entry::{
    answer, cause, caution, check, club, drill, effect, group, lie, quantity, symptom,
};
use super::lexicon::{Lexicon, LexiconProblem, LexiconProblemKind, Lookups, RawEntry};
use super::model;
use super::number_text::written;
use super::problem::{Place, Problem, ProblemKind, nearest};
use super::program;
use super::rule_shapes::RuleShape;
use super::shapes::{
    AnswerShape, CauseShape, CautionShape, ChangeShape, CheckShape, ClubShape, DrillShape,
    EffectShape, GroupShape, LieShape, PopulationShape, QuantityShape, SourceShape, SymptomShape,
};
use super::yaml::{EntryText, LARGEST_FILE, SourceFile, entries, read};
use super::{KnowledgeBase, Source, Table};
use crate::causes::model::Model;
use crate::quantity::Unit;
use crate::rules::{Program, Schema};
use crate::vocabulary::{
    CauseId, CautionId, CheckId, DrillId, GroupId, QuantityId, SourceId, SymptomId,
};

/// Where an entry came from.
pub(super) struct Place0<'a> {
    entry: EntryText<'a>,
    id: String,
}

/// The problems found so far.
#[derive(Default)]
pub(super) struct Report {
    problems: Vec<Problem>,
}

impl Report {
    pub(super) fn push(
        &mut self,
        kind: ProblemKind,
        needle: &str,
        nearest: Option<String>,
        at: &Place0<'_>,
    ) {
        let place = at.entry.place_of(needle);
        self.problems.push(Problem {
            kind,
            place,
            entry: Some(at.id.clone()),
            nearest,
        });
    }

    pub(super) fn unknown<'a>(
        &mut self,
        sort: &'static str,
        id: &str,
        names: impl Iterator<Item = &'a str>,
        at: &Place0<'_>,
    ) {
        let near = nearest(id, names);
        self.push(
            ProblemKind::UnknownId {
                sort,
                id: id.to_owned(),
            },
            id,
            near,
            at,
        );
    }

    pub(super) fn range(
        &mut self,
        what: &str,
        value: f64,
        (low, high): (f64, f64),
        at: &Place0<'_>,
    ) {
        let kind = ProblemKind::OutOfRange {
            what: what.to_owned(),
            value,
            low,
            high,
        };
        self.push(kind, what, None, at);
    }

    /// Value and error in the unit, or a problem.
    pub(super) fn amount(&mut self, text: &str, unit: Unit, at: &Place0<'_>) -> Option<(f64, f64)> {
        let Some(written) = written(text) else {
            self.push(
                ProblemKind::NotAnAmount {
                    text: text.to_owned(),
                },
                text,
                None,
                at,
            );
            return None;
        };
        let read = written.in_unit(unit);
        if read.is_none() {
            let kind = ProblemKind::UnitMismatch {
                text: text.to_owned(),
                wanted: unit.dimension(),
            };
            self.push(kind, text, None, at);
        }
        read
    }

    /// Value in the unit, or a problem and 0.
    pub(super) fn number(&mut self, text: &str, unit: Unit, at: &Place0<'_>) -> f64 {
        self.amount(text, unit, at).map_or(0.0, |(value, _)| value)
    }

    pub(super) fn text(&mut self, key: &str, text: &str, limit: usize, at: &Place0<'_>) {
        let length = text.chars().count();
        if length > limit {
            let kind = ProblemKind::TooLong {
                key: key.to_owned(),
                length,
                limit,
            };
            self.push(kind, key, None, at);
        }
        if let Some(found) = text.chars().find(|c| !(' '..='~').contains(c)) {
            self.push(
                ProblemKind::NotPlainText {
                    key: key.to_owned(),
                    found,
                },
                key,
                None,
                at,
            );
        }
    }
}

/// Text ids and their places, for all kinds of entry.
#[derive(Default)]
pub(super) struct Ids {
    pub(super) groups: BTreeMap<String, usize>,
    pub(super) group_families: Vec<String>,
    quantities: BTreeMap<String, usize>,
    symptoms: BTreeMap<String, usize>,
    causes: BTreeMap<String, usize>,
    checks: BTreeMap<String, usize>,
    drills: BTreeMap<String, usize>,
    cautions: BTreeMap<String, usize>,
    sources: BTreeMap<String, usize>,
}

macro_rules! resolve {
    ($($name:ident, $table:ident, $sort:literal, $id:ident);+ $(;)?) => {
        impl Ids {$(
            pub(super) fn $name(&self, id: &str, at: &Place0<'_>, report: &mut Report) -> Option<$id> {
                let found = self.$table.get(id).map(|index| $id::from_index(*index));
                if found.is_none() {
                    report.unknown($sort, id, self.$table.keys().map(String::as_str), at);
                }
                found
            }
        )+}
    };
}

resolve! {
    quantity, quantities, "quantity", QuantityId;
    symptom, symptoms, "symptom", SymptomId;
    cause, causes, "cause", CauseId;
    check, checks, "check", CheckId;
    drill, drills, "drill", DrillId;
    caution, cautions, "caution", CautionId;
    source, sources, "source", SourceId;
    group, groups, "club group", GroupId;
}

/// The entries of one kind with where they came from.
pub(super) struct Read<'a, T> {
    pub(super) entries: Vec<(T, Place0<'a>)>,
}

fn read_all<'a, T: DeserializeOwned>(
    files: &'a [SourceFile],
    belongs: impl Fn(&str) -> bool,
    id_of: impl Fn(&T) -> &str,
    report: &mut Report,
) -> Read<'a, T> {
    let mut out = Vec::new();
    for file in files
        .iter()
        .filter(|f| belongs(&f.path) && f.text.len() <= LARGEST_FILE)
    {
        for entry in entries(file) {
            match read::<T>(&entry) {
                Ok(shape) => {
                    let id = id_of(&shape).to_owned();
                    out.push((shape, Place0 { entry, id }));
                }
                Err(problem) => report.problems.push(problem),
            }
        }
    }
    Read { entries: out }
}

impl<T> Read<'_, T> {
    /// Gives every entry its place; a double id is a problem and keeps the first.
    fn ids(&self, report: &mut Report) -> BTreeMap<String, usize> {
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

const SINGLE_FILES: [&str; 11] = [
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
];
const FOLDERS: [&str; 5] = ["symptoms/", "causes/", "checks/", "rules/", "phrases/"];

fn file_problems(files: &[SourceFile], report: &mut Report) {
    for file in files {
        let known = SINGLE_FILES.contains(&file.path.as_str())
            || FOLDERS.iter().any(|folder| file.path.starts_with(folder));
        let mut add = |kind| {
            let place = Place {
                file: file.path.clone(),
                line: 1,
                column: 1,
                width: 1,
                text: String::new(),
            };
            report.problems.push(Problem {
                kind,
                place,
                entry: None,
                nearest: None,
            });
        };
        if !known {
            add(ProblemKind::UnknownFile);
        }
        if file.text.len() > LARGEST_FILE {
            add(ProblemKind::TooLarge {
                bytes: file.text.len(),
                limit: LARGEST_FILE,
            });
        }
    }
    for name in [
        "groups.yaml",
        "clubs.yaml",
        "population.yaml",
        "quantities.yaml",
        "effects.yaml",
    ] {
        if !files.iter().any(|f| f.path == name) {
            let place = Place {
                file: name.to_owned(),
                line: 1,
                column: 1,
                width: 1,
                text: String::new(),
            };
            let kind = ProblemKind::MissingFile {
                file: name.to_owned(),
            };
            report.problems.push(Problem {
                kind,
                place,
                entry: None,
                nearest: None,
            });
        }
    }
}

/// Reads knowledge files.
///
/// # Errors
/// Every problem found, sorted by place.
#[allow(
    clippy::too_many_lines,
    reason = "three passes over the tables, in one order"
)]
pub fn load(files: &[SourceFile]) -> Result<KnowledgeBase, Vec<Problem>> {
    let mut report = Report::default();
    file_problems(files, &mut report);
    let single = |name: &'static str| move |path: &str| path == name;
    let folder = |name: &'static str| move |path: &str| path.starts_with(name);

    let groups = read_all(
        files,
        single("groups.yaml"),
        |s: &GroupShape| &s.id,
        &mut report,
    );
    let clubs = read_all(
        files,
        single("clubs.yaml"),
        |s: &ClubShape| &s.id,
        &mut report,
    );
    let lies = read_all(
        files,
        single("lies.yaml"),
        |s: &LieShape| &s.id,
        &mut report,
    );
    let population = read_all(
        files,
        single("population.yaml"),
        |s: &PopulationShape| &s.id,
        &mut report,
    );
    let quantities = read_all(
        files,
        single("quantities.yaml"),
        |s: &QuantityShape| &s.id,
        &mut report,
    );
    let symptoms = read_all(
        files,
        folder("symptoms/"),
        |s: &SymptomShape| &s.id,
        &mut report,
    );
    let effects = read_all(
        files,
        single("effects.yaml"),
        |s: &EffectShape| &s.id,
        &mut report,
    );
    let causes = read_all(
        files,
        folder("causes/"),
        |s: &CauseShape| &s.id,
        &mut report,
    );
    let checks = read_all(
        files,
        folder("checks/"),
        |s: &CheckShape| &s.id,
        &mut report,
    );
    let drills = read_all(
        files,
        single("drills.yaml"),
        |s: &DrillShape| &s.id,
        &mut report,
    );
    let cautions = read_all(
        files,
        single("cautions.yaml"),
        |s: &CautionShape| &s.id,
        &mut report,
    );
    let answers = read_all(
        files,
        single("answers.yaml"),
        |s: &AnswerShape| &s.id,
        &mut report,
    );
    let sources = read_all(
        files,
        single("sources.yaml"),
        |s: &SourceShape| &s.id,
        &mut report,
    );

    let changes = read_all(
        files,
        single("changes.yaml"),
        |s: &ChangeShape| &s.id,
        &mut report,
    );

    let rules = read_all(files, folder("rules/"), |s: &RuleShape| &s.id, &mut report);

    let ids = Ids {
        groups: groups.ids(&mut report),
        group_families: groups
            .entries
            .iter()
            .map(|(s, _)| s.family.clone())
            .collect(),
        quantities: quantities.ids(&mut report),
        symptoms: symptoms.ids(&mut report),
        causes: causes.ids(&mut report),
        checks: checks.ids(&mut report),
        drills: drills.ids(&mut report),
        cautions: cautions.ids(&mut report),
        sources: sources.ids(&mut report),
    };
    for double in [
        clubs.ids(&mut report),
        lies.ids(&mut report),
        effects.ids(&mut report),
    ] {
        drop(double);
    }
    drop(answers.ids(&mut report));

    let Ok(no_rules) = Program::compile(&Schema::new(), Vec::new(), Vec::new()) else {
        return Err(report.problems);
    };
    let mut base = KnowledgeBase {
        groups: table(&groups, |shape, at| group(shape, at, &mut report)),
        clubs: Table::default(),
        lies: Table::default(),
        quantities: Table::default(),
        symptoms: Table::default(),
        effects: Table::default(),
        causes: Table::default(),
        checks: Table::default(),
        drills: Table::default(),
        cautions: Table::default(),
        answers: Table::default(),
        changes: Table::default(),
        sources: Table::default(),
        signs: Table::default(),
        program: no_rules,
        lexicon: Lexicon::default(),
        phrasings: 0,
        usual_group: String::new(),
        hint_trust: BTreeMap::new(),
        seen_trust: BTreeMap::new(),
        pupil_words: Vec::new(),
        all_well_denies: Vec::new(),
        model: Model {
            groups: Vec::new(),
            causes: Vec::new(),
            symptoms: Vec::new(),
            effects: Vec::new(),
            checks: Vec::new(),
            measured: Vec::new(),
            settings: no_settings(),
        },
        hash: hash(files),
    };
    base.clubs = table(&clubs, |shape, at| club(shape, &ids, at, &mut report));
    base.lies = table(&lies, |shape, at| lie(shape, &ids, at, &mut report));
    base.quantities = table(&quantities, |shape, at| {
        quantity(shape, &ids, at, &mut report)
    });
    base.symptoms = table(&symptoms, |shape, at| symptom(shape, &ids, at, &mut report));
    base.effects = table(&effects, |shape, at| effect(shape, &ids, at, &mut report));
    base.causes = table(&causes, |shape, at| {
        cause(shape, &ids, &quantities, at, &mut report)
    });
    base.checks = table(&checks, |shape, at| check(shape, at, &mut report));
    base.drills = table(&drills, |shape, at| drill(shape, &ids, at, &mut report));
    base.cautions = table(&cautions, |shape, at| caution(shape, at, &mut report));
    base.answers = table(&answers, |shape, at| answer(shape, &ids, at, &mut report));
    base.changes = table(&changes, |shape, at| model::change(shape, at, &mut report));
    base.sources = table(&sources, |shape, _| Source {
        id: shape.id.clone(),
        cite: shape.cite.clone(),
        seen: shape.seen.clone(),
        supports: shape.supports.clone(),
    });

    if let Some((settings, at)) = population.entries.first() {
        base.model = Model {
            groups: each(&groups, |s, at| model::group(s, at, &mut report)),
            causes: each(&causes, |s, at| {
                model::cause(s, &ids, settings, at, &mut report)
            }),
            symptoms: each(&symptoms, |s, at| model::symptom(s, &ids, at, &mut report)),
            effects: each(&effects, |s, at| model::effect(s, &ids, at, &mut report)),
            checks: each(&checks, |s, at| {
                model::check(s, &ids, settings, at, &mut report)
            }),
            measured: each(&quantities, |s, _| model::measured(s)),
            settings: model::settings(settings, at, &mut report),
        };
        cycles(&base, &causes, &mut report);
        base.usual_group.clone_from(&settings.usual_group);
        base.hint_trust.clone_from(&settings.hint_trust);
        base.seen_trust.clone_from(&settings.seen_trust);
        base.pupil_words.clone_from(&settings.pupil_words);
        ids.group(&settings.usual_group, at, &mut report);
        base.all_well_denies = settings
            .all_well_denies
            .iter()
            .filter_map(|id| ids.symptom(id, at, &mut report))
            .collect();
    }
    (base.lexicon, base.phrasings) = lexicon(files, &base, &mut report);
    let (specs, places) = program::specs(&rules.entries, &mut report);
    for sign in program::signs(&specs) {
        base.signs.push(&sign.id.clone(), sign);
    }
    if let Some(program) = program::program(&base, specs, &places, &rules.entries, &mut report) {
        base.program = program;
    }

    let mut problems = report.problems;
    if problems.is_empty() {
        Ok(base)
    } else {
        problems.sort_by(|a, b| (&a.place, a.kind.name()).cmp(&(&b.place, b.kind.name())));
        problems.dedup();
        Err(problems)
    }
}

fn each<T, U>(read: &Read<'_, T>, mut f: impl FnMut(&T, &Place0<'_>) -> U) -> Vec<U> {
    read.entries
        .iter()
        .map(|(shape, at)| f(shape, at))
        .collect()
}

fn table<T, U>(read: &Read<'_, T>, mut f: impl FnMut(&T, &Place0<'_>) -> U) -> Table<U> {
    let mut table = Table::default();
    for (shape, at) in &read.entries {
        let entry = f(shape, at);
        table.push(&at.id, entry);
    }
    table
}

fn hash(files: &[SourceFile]) -> String {
    let mut sorted: Vec<&SourceFile> = files.iter().collect();
    sorted.sort_by(|a, b| a.path.cmp(&b.path));
    let mut digest = Sha256::new();
    for file in sorted {
        digest.update(file.path.as_bytes());
        digest.update([0]);
        digest.update(file.text.as_bytes());
        digest.update([0]);
    }
    digest
        .finalize()
        .iter()
        .take(6)
        .fold(String::new(), |mut text, byte| {
            let _ = write!(text, "{byte:02x}");
            text
        })
}

fn no_settings() -> crate::causes::model::Settings {
    crate::causes::model::Settings {
        prior_scale: 1.0,
        link_scale: 1.0,
        usual_scale: 1.0,
        reaim: 0.0,
        face_follows: 0.0,
        regulation: (0.0, 0.0),
        radius_to_height: 0.0,
        hub_to_height: 0.0,
        rescue: (0.0, 0.0, 0.0),
        fat_from_mm: 25.4,
        heavy_from_mm: 6.0,
        silence: 0.0,
        denial: 1.0,
        often: (1.0, 0.0),
        p_norm: Vec::new(),
        floor: 0.0,
    }
}

/// The words golfers use, with every name in them resolved.
fn lexicon(files: &[SourceFile], base: &KnowledgeBase, report: &mut Report) -> (Lexicon, usize) {
    let raw = read_all(
        files,
        |path| path.starts_with("phrases/"),
        |s: &RawEntry| &s.id,
        report,
    );
    drop(raw.ids(report));
    let all_groups: Vec<GroupId> = (0..base.groups.len()).map(GroupId::from_index).collect();
    let lookups = Lookups {
        club: &|id| base.find_club(id),
        group_of: &|club| Some(base.club(club).group),
        group: &|id| base.find_group(id),
        all_groups: &all_groups,
        lie: &|id| base.find_lie(id),
        symptom: &|id| base.find_symptom(id),
        quantity: &|id| base.find_quantity(id),
        cause: &|id| base.find_cause(id),
        answer: &|id| base.find_answer(id),
    };
    let asks: Vec<(String, Vec<String>)> = base
        .answers
        .iter()
        .map(|a| (a.id.clone(), a.asks.clone()))
        .collect();
    let phrasings = raw.entries.iter().map(|(entry, _)| entry.says.len()).sum();
    let entries = raw.entries.iter().map(|(entry, _)| entry.clone()).collect();
    let (lexicon, problems) = Lexicon::resolve(entries, &asks, &lookups);
    for problem in problems {
        if let Some((_, at)) = raw.entries.iter().find(|(_, at)| at.id == problem.entry) {
            let (kind, names): (ProblemKind, Vec<&str>) = lexicon_problem(&problem, base);
            let near = nearest(&problem.text, names.into_iter());
            report.push(kind, &problem.text, near, at);
        }
    }
    (lexicon, phrasings)
}

fn lexicon_problem<'a>(
    problem: &LexiconProblem,
    base: &'a KnowledgeBase,
) -> (ProblemKind, Vec<&'a str>) {
    let text = problem.text.clone();
    match &problem.kind {
        LexiconProblemKind::Unknown(sort) => {
            let names: Vec<&str> = match *sort {
                "symptom" => base.symptoms.ids().collect(),
                "quantity" => base.quantities.ids().collect(),
                "cause" => base.causes.ids().collect(),
                "answer" => base.answers.ids().collect(),
                "club" => base.clubs.ids().collect(),
                "group" => base.groups.ids().collect(),
                "lie" => base.lies.ids().collect(),
                _ => Vec::new(),
            };
            (ProblemKind::UnknownId { sort, id: text }, names)
        }
        LexiconProblemKind::Twice(other) => (
            ProblemKind::TwoMeanings {
                phrase: text,
                other: other.clone(),
            },
            Vec::new(),
        ),
        LexiconProblemKind::Empty => (ProblemKind::Lacks { what: "phrasing" }, Vec::new()),
        LexiconProblemKind::Meanings(_)
        | LexiconProblemKind::Range
        | LexiconProblemKind::TooMany => (
            ProblemKind::Shape {
                detail: problem.kind.to_string(),
            },
            Vec::new(),
        ),
    }
}

/// Causes that lead back to themselves.
fn cycles(base: &KnowledgeBase, causes: &Read<'_, CauseShape>, report: &mut Report) {
    let n = base.model.causes.len();
    // 0 not seen, 1 on the path, 2 done.
    let mut state = vec![0_u8; n];
    let mut path: Vec<usize> = Vec::new();
    for start in 0..n {
        walk(start, base, &mut state, &mut path, causes, report);
    }
}

fn walk(
    at: usize,
    base: &KnowledgeBase,
    state: &mut [u8],
    path: &mut Vec<usize>,
    causes: &Read<'_, CauseShape>,
    report: &mut Report,
) {
    match state.get(at) {
        Some(0) => {}
        Some(1) => {
            let from = path.iter().position(|i| *i == at).unwrap_or(0);
            let name = |i: &usize| {
                base.causes
                    .iter()
                    .nth(*i)
                    .map_or(String::new(), |c| c.id.clone())
            };
            let names: Vec<String> = path.iter().skip(from).chain([&at]).map(name).collect();
            if let Some((_, place)) = causes.entries.get(at) {
                report.push(ProblemKind::Cycle { path: names }, "leads_to", None, place);
            }
            return;
        }
        _ => return,
    }
    if let Some(s) = state.get_mut(at) {
        *s = 1;
    }
    path.push(at);
    let next: Vec<usize> = base
        .model
        .causes
        .get(at)
        .map(|c| c.leads_to.iter().map(|(id, _)| id.index()).collect())
        .unwrap_or_default();
    for child in next {
        walk(child, base, state, path, causes, report);
    }
    path.pop();
    if let Some(s) = state.get_mut(at) {
        *s = 2;
    }
}
