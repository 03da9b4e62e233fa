//! From files to a [`KnowledgeBase`], or to every problem in them.
//!
//! Three passes: 1. each entry of each file is read into its shape; 2. every id is given its place
//! in its table (double ids are problems); 3. names are resolved, numbers read, texts measured, and
//! the model of the simulated golfers built. Problems are collected through all passes and sorted
//! by place. Input is text only; the caller reads folders. What is compiled in and looked over by the
//! tests is not looked over again ([`load`]); [`load_and_lint`] takes nothing as known.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::Arc;

use sha2::{Digest, Sha256};

use super::builtin::ready;
use super::counts;
use super::course;
use super::cycles::cycles;
use super::entry::{
    answer, cause, caution, check, club, drill, effect, group, lie, origin, quantity, strengths,
    symptom, telling,
};
use super::files::{Read, Shapes};
use super::fixed_words::Family;
use super::ids::Ids;
use super::limits;
use super::lint::{lint, untried};
use super::model;
use super::problem::{Problem, ProblemKind};
use super::program;
use super::report::{Place0, Report};
use super::words::lexicon;
use super::yaml::SourceFile;
use super::{KnowledgeBase, Source, Table};
use crate::beside::beside;
use crate::causes::model::Model;
use crate::rules::{Program, Schema};
use crate::vocabulary::SymptomId;

/// Reads knowledge files.
///
/// # Errors
/// Every problem found, sorted by place.
pub fn load(files: &[SourceFile]) -> Result<KnowledgeBase, Vec<Problem>> {
    let mut report = Report::default();
    let mut shapes = Shapes::read(files, ready, &mut report);
    let base = build(&mut shapes, hash(files), &mut report);
    base.filter(|_| sound(&report))
        .ok_or_else(|| sorted(report.problems))
}

/// Reads knowledge files and looks them over: beside the knowledge, what is worth a second look.
///
/// # Errors
/// Every problem that keeps the knowledge from being used, sorted by place.
pub fn load_and_lint(files: &[SourceFile]) -> Result<(KnowledgeBase, Vec<Problem>), Vec<Problem>> {
    looked_over(files, lint)
}

/// The rules of knowledge files that cases leave untried: `tries` gives for each rule of the
/// program in how many cases it fired, and in how many it came near and stayed silent.
///
/// # Errors
/// Every problem that keeps the knowledge from being used, sorted by place.
pub fn untried_rules(
    files: &[SourceFile],
    tries: &[(usize, usize)],
) -> Result<Vec<Problem>, Vec<Problem>> {
    looked_over(files, |shapes, base, report| {
        untried(shapes, base, tries, report);
    })
    .map(|(_, mut problems)| {
        problems.retain(|p| matches!(p.kind, ProblemKind::RuleWithoutCase { .. }));
        problems
    })
}

fn looked_over(
    files: &[SourceFile],
    look: impl FnOnce(&Shapes<'_>, &KnowledgeBase, &mut Report),
) -> Result<(KnowledgeBase, Vec<Problem>), Vec<Problem>> {
    let mut report = Report::default();
    let mut shapes = Shapes::read(files, |_| None, &mut report);
    match build(&mut shapes, hash(files), &mut report) {
        Some(base) if sound(&report) => {
            look(&shapes, &base, &mut report);
            Ok((base, sorted(report.problems)))
        }
        Some(_) | None => Err(sorted(report.problems)),
    }
}

/// True if nothing found keeps the knowledge from being used.
fn sound(report: &Report) -> bool {
    report.problems.iter().all(|p| p.kind.is_remark())
}

fn sorted(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.sort_by(|a, b| (&a.place, a.kind.name()).cmp(&(&b.place, b.kind.name())));
    problems.dedup();
    problems
}

/// The knowledge the entries describe. The phrases are taken out of the shapes; everything else
/// stays. What is wrong is in the report, and the knowledge is not to be used if anything is.
#[allow(
    clippy::too_many_lines,
    reason = "three passes over the tables, in one order"
)]
fn build(shapes: &mut Shapes<'_>, hash: String, report: &mut Report) -> Option<KnowledgeBase> {
    let ids = Ids::of(shapes, report);
    let no_rules = Program::compile(&Schema::new(), Vec::new(), Vec::new()).ok()?;
    let mut base = KnowledgeBase {
        groups: table(&shapes.groups, |shape, at| group(shape, &ids, at, report)),
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
        counts: Table::default(),
        limits: Table::default(),
        sources: Table::default(),
        levels: Table::default(),
        lessons: Table::default(),
        signs: Table::default(),
        strengths: Vec::new(),
        tellings: Vec::new(),
        program: no_rules,
        lexicon: Arc::default(),
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
        hash,
    };
    base.clubs = table(&shapes.clubs, |shape, at| club(shape, &ids, at, report));
    base.lies = table(&shapes.lies, |shape, at| lie(shape, &ids, at, report));
    base.quantities = table(&shapes.quantities, |shape, at| {
        quantity(shape, &ids, at, report)
    });
    base.symptoms = table(&shapes.symptoms, |shape, at| {
        symptom(shape, &ids, at, report)
    });
    base.effects = table(&shapes.effects, |shape, at| effect(shape, &ids, at, report));
    base.causes = table(&shapes.causes, |shape, at| {
        cause(shape, &ids, &shapes.quantities, at, report)
    });
    base.checks = table(&shapes.checks, |shape, at| check(shape, &ids, at, report));
    base.drills = table(&shapes.drills, |shape, at| drill(shape, &ids, at, report));
    base.cautions = table(&shapes.cautions, |shape, at| {
        caution(shape, &ids, at, report)
    });
    base.answers = table(&shapes.answers, |shape, at| answer(shape, &ids, at, report));
    base.changes = table(&shapes.changes, |shape, at| {
        model::change(shape, &ids, at, report)
    });
    base.counts = table(&shapes.counts, |shape, at| {
        counts::count(shape, &ids, at, report)
    });
    base.limits = table(&shapes.limits, |shape, at| {
        limits::limit(shape, &ids, &base.quantities, at, report)
    });
    base.sources = table(&shapes.sources, |shape, _| Source {
        id: shape.id.clone(),
        cite: shape.cite.clone(),
        seen: shape.seen.word().to_owned(),
        supports: shape.supports.clone(),
        backs: shape.backs.clone(),
    });
    for (shape, at) in &shapes.sources.entries {
        for id in shape.backs.iter().filter(|id| !base.knows(id)) {
            let names = base.quantities.ids().chain(base.causes.ids());
            let names = names.chain(base.effects.ids()).chain(base.symptoms.ids());
            report.unknown("entry", id, names, at);
        }
    }

    for (shape, at) in &shapes.effects.entries {
        let all = shapes
            .effects
            .entries
            .iter()
            .map(|(s, _)| s.family.as_str());
        report.odd_one("family", &shape.family, all, at);
    }
    for (shape, at) in &shapes.rules.entries {
        let all = shapes.rules.entries.iter().map(|(s, _)| s.purpose.as_str());
        report.odd_one("for", &shape.purpose, all, at);
        origin(shape.kind, shape.source.as_ref(), &ids, at, report);
    }
    for (shape, at) in &shapes.strengths.entries {
        let found = strengths(shape, &base, &ids, at, report);
        base.strengths.extend(found);
    }
    for (shape, at) in &shapes.told.entries {
        base.tellings.extend(telling(shape, &ids, at, report));
    }
    drop(shapes.levels.ids(report));
    drop(shapes.lessons.ids(report));
    base.levels = table(&shapes.levels, |shape, at| {
        course::level(shape, &base, at, report)
    });
    base.lessons = table(&shapes.lessons, |shape, at| {
        course::lesson(shape, &base, at, report)
    });
    let (specs, places) = program::specs(&shapes.rules.entries, report);
    for sign in program::signs(&specs) {
        base.signs.push(&sign.id.clone(), sign);
    }
    // The phrases are the longest part, and nothing else here needs them.
    let phrases = shapes.phrases.take();
    let words_known = shapes.words_known;
    let ((program, golfers, more), (mut words, phrasings)) = beside(
        || {
            let mut report = Report::default();
            let rules = &shapes.rules.entries;
            let program = program::program(&base, specs.clone(), &places, rules, &mut report);
            let golfers = golfers(shapes, &ids, &mut report);
            (program, golfers, report.problems)
        },
        || lexicon(phrases, &shapes.answers, &base, words_known, report),
    );
    report.problems.extend(more);
    base.phrasings = phrasings;
    words.well = (base.symptoms.iter().enumerate())
        .filter(|(_, symptom)| symptom.well)
        .map(|(place, _)| SymptomId::from_index(place))
        .collect();
    base.lexicon = Arc::new(words);
    if let Some(program) = program {
        base.program = program;
    }
    if let (Some(golfers), Some((settings, at))) = (golfers, shapes.population.entries.first()) {
        base.model = golfers;
        cycles(&base, &shapes.causes, report);
        base.usual_group.clone_from(&settings.usual_group);
        base.hint_trust = by_word(&settings.hint_trust);
        base.seen_trust = by_word(&settings.seen_trust);
        base.pupil_words.clone_from(&settings.pupil_words);
        ids.group(&settings.usual_group, at, report);
        base.all_well_denies = settings
            .all_well_denies
            .iter()
            .filter_map(|id| ids.symptom(id, at, report))
            .collect();
    }
    Some(base)
}

/// The model of the simulated golfers, if there are settings for it.
fn golfers(shapes: &Shapes<'_>, ids: &Ids, report: &mut Report) -> Option<Model> {
    let (settings, at) = shapes.population.entries.first()?;
    for (other, at) in shapes.population.entries.iter().skip(1) {
        report.one_only(&[&settings.id, &other.id], at);
    }
    Some(Model {
        groups: each(&shapes.groups, |s, at| model::group(s, at, report)),
        causes: each(&shapes.causes, |s, at| {
            model::cause(s, ids, settings, at, report)
        }),
        symptoms: each(&shapes.symptoms, |s, at| model::symptom(s, ids, at, report)),
        effects: each(&shapes.effects, |s, at| model::effect(s, ids, at, report)),
        checks: each(&shapes.checks, |s, at| {
            model::check(s, ids, settings, at, report)
        }),
        measured: each(&shapes.quantities, |s, _| model::measured(s)),
        settings: model::settings(settings, ids, at, report),
    })
}

/// A table by family, by the words of the families.
fn by_word(table: &BTreeMap<Family, f64>) -> BTreeMap<String, f64> {
    let entries = table.iter();
    entries.map(|(f, v)| (f.word().to_owned(), *v)).collect()
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
