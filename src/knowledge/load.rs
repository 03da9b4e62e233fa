//! From files to a [`KnowledgeBase`], or to every problem in them.
//!
//! Three passes: 1. each entry of each file is read into its shape; 2. every id is given its place
//! in its table (double ids are problems); 3. names are resolved, numbers read, texts measured, and
//! the model of the simulated golfers built. Problems are collected through all passes and sorted
//! by place. Input is text only; the caller reads folders.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use sha2::{Digest, Sha256};

use super::cycles::cycles;
use super::entry::{
    answer, cause, caution, check, club, drill, effect, group, lie, quantity, symptom,
};
use super::files::{Read, Shapes};
use super::ids::Ids;
use super::lexicon::Lexicon;
use super::model;
use super::problem::Problem;
use super::program;
use super::report::{Place0, Report};
use super::words::lexicon;
use super::yaml::SourceFile;
use super::{KnowledgeBase, Source, Table};
use crate::causes::model::Model;
use crate::rules::{Program, Schema};

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
    let shapes = Shapes::read(files, &mut report);
    let ids = Ids::of(&shapes, &mut report);
    let Ok(no_rules) = Program::compile(&Schema::new(), Vec::new(), Vec::new()) else {
        return Err(report.problems);
    };
    let mut base = KnowledgeBase {
        groups: table(&shapes.groups, |shape, at| group(shape, at, &mut report)),
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
    base.clubs = table(&shapes.clubs, |shape, at| {
        club(shape, &ids, at, &mut report)
    });
    base.lies = table(&shapes.lies, |shape, at| lie(shape, &ids, at, &mut report));
    base.quantities = table(&shapes.quantities, |shape, at| {
        quantity(shape, &ids, at, &mut report)
    });
    base.symptoms = table(&shapes.symptoms, |shape, at| {
        symptom(shape, &ids, at, &mut report)
    });
    base.effects = table(&shapes.effects, |shape, at| {
        effect(shape, &ids, at, &mut report)
    });
    base.causes = table(&shapes.causes, |shape, at| {
        cause(shape, &ids, &shapes.quantities, at, &mut report)
    });
    base.checks = table(&shapes.checks, |shape, at| check(shape, at, &mut report));
    base.drills = table(&shapes.drills, |shape, at| {
        drill(shape, &ids, at, &mut report)
    });
    base.cautions = table(&shapes.cautions, |shape, at| {
        caution(shape, at, &mut report)
    });
    base.answers = table(&shapes.answers, |shape, at| {
        answer(shape, &ids, at, &mut report)
    });
    base.changes = table(&shapes.changes, |shape, at| {
        model::change(shape, at, &mut report)
    });
    base.sources = table(&shapes.sources, |shape, _| Source {
        id: shape.id.clone(),
        cite: shape.cite.clone(),
        seen: shape.seen.clone(),
        supports: shape.supports.clone(),
    });

    if let Some((settings, at)) = shapes.population.entries.first() {
        base.model = Model {
            groups: each(&shapes.groups, |s, at| model::group(s, at, &mut report)),
            causes: each(&shapes.causes, |s, at| {
                model::cause(s, &ids, settings, at, &mut report)
            }),
            symptoms: each(&shapes.symptoms, |s, at| {
                model::symptom(s, &ids, at, &mut report)
            }),
            effects: each(&shapes.effects, |s, at| {
                model::effect(s, &ids, at, &mut report)
            }),
            checks: each(&shapes.checks, |s, at| {
                model::check(s, &ids, settings, at, &mut report)
            }),
            measured: each(&shapes.quantities, |s, _| model::measured(s)),
            settings: model::settings(settings, at, &mut report),
        };
        cycles(&base, &shapes.causes, &mut report);
        base.usual_group.clone_from(&settings.usual_group);
        base.hint_trust.clone_from(&settings.hint_trust);
        base.pupil_words.clone_from(&settings.pupil_words);
        ids.group(&settings.usual_group, at, &mut report);
        base.all_well_denies = settings
            .all_well_denies
            .iter()
            .filter_map(|id| ids.symptom(id, at, &mut report))
            .collect();
    }
    (base.lexicon, base.phrasings) = lexicon(shapes.phrases, &base, &mut report);
    let (specs, places) = program::specs(&shapes.rules.entries, &mut report);
    for sign in program::signs(&specs) {
        base.signs.push(&sign.id.clone(), sign);
    }
    if let Some(program) =
        program::program(&base, specs, &places, &shapes.rules.entries, &mut report)
    {
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
