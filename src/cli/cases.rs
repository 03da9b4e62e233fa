//! `knowledge cases`, `knowledge diff` and `knowledge effects`: what the knowledge makes of written
//! cases, what a change of it changes, and what each cause implies.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use super::folder::{Sources, files, sources};
use super::{PROBLEMS, Shared, no_base, written};
use crate::diagnosis::Mind;
use crate::knowledge::{
    KnowledgeBase, SourceFile, WrittenCase, builtin_cases, nearest, read_cases,
};
use crate::trial::{Compared, Outcome, Run, compared, differences, figures, play_all};
use crate::vocabulary::CauseId;
use crate::wording::{
    Trial, changes_lines, compared_lines, differences_lines, effects_lines, figures_lines, problems,
};

/// The files of cases: those of a folder or the built-in ones.
fn case_files(folder: Option<&Path>) -> Result<Vec<SourceFile>, ExitCode> {
    folder.map_or_else(
        || Ok(builtin_cases()),
        |folder| files(folder).map_err(no_base),
    )
}

/// The cases, read with the ids of a knowledge.
fn cases_for(base: &KnowledgeBase, files: &[SourceFile]) -> Result<Vec<WrittenCase>, ExitCode> {
    read_cases(files, base).map_err(|list| {
        eprint!("{}", problems(&list));
        ExitCode::from(PROBLEMS)
    })
}

fn played(
    base: &Arc<KnowledgeBase>,
    files: &[SourceFile],
) -> Result<(Vec<WrittenCase>, Vec<Outcome>), ExitCode> {
    let cases = cases_for(base, files)?;
    let outcomes = play_all(base, &cases).map_err(|error| {
        eprintln!("this knowledge describes no golfers: {error}");
        ExitCode::from(PROBLEMS)
    })?;
    Ok((cases, outcomes))
}

/// Plays cases and prints how often the knowledge was right.
pub(super) fn cases(
    shared: &Shared,
    folder: Option<&Path>,
    brief: bool,
) -> Result<ExitCode, ExitCode> {
    let base = shared.base()?;
    let (cases, outcomes) = played(&base, &case_files(folder)?)?;
    let figures = figures(&base, &cases, &outcomes);
    let trial = Trial {
        base: &base,
        cases: &cases,
        outcomes: &outcomes,
        figures: &figures,
    };
    Ok(written(&figures_lines(&trial, brief)))
}

/// For each rule: in how many cases it fired, and in how many it came near and stayed silent.
pub(super) fn tries(
    base: &Arc<KnowledgeBase>,
    folder: Option<&Path>,
) -> Result<Vec<(usize, usize)>, ExitCode> {
    let (cases, outcomes) = played(base, &case_files(folder)?)?;
    Ok(figures(base, &cases, &outcomes).rules)
}

/// Plays cases under two knowledges and prints what changed.
pub(super) fn diff(
    shared: &Shared,
    folder: Option<&Path>,
    case_folder: Option<&Path>,
) -> Result<ExitCode, ExitCode> {
    if folder.is_none() && shared.over().is_empty() {
        eprintln!("compare with what? Name a folder of knowledge, or lay one over with --add");
        return Err(ExitCode::from(2));
    }
    let before = sources(shared.knowledge.as_deref(), &[]).map_err(no_base)?;
    let over: Vec<PathBuf> = if folder.is_some() {
        shared.add.clone()
    } else {
        shared.over()
    };
    let after = sources(folder.or(shared.knowledge.as_deref()), &over).map_err(no_base)?;
    let files = case_files(case_folder)?;
    let loaded = |sources: &Sources| sources.base().map(Arc::new).map_err(no_base);
    let (base, base_now) = (loaded(&before)?, loaded(&after)?);
    let (cases, outcomes) = played(&base, &files)?;
    let (cases_now, outcomes_now) = played(&base_now, &files)?;
    let found = differences(
        &Run {
            base: &base,
            cases: &cases,
            outcomes: &outcomes,
        },
        &Run {
            base: &base_now,
            cases: &cases_now,
            outcomes: &outcomes_now,
        },
    );
    let mut text = changes_lines(&after.changes);
    text.push_str(&differences_lines(&cases, &found));
    Ok(written(&text))
}

/// Prints what a cause implies, or every strength that is far from what teachers expect.
pub(super) fn effects(shared: &Shared, cause: &str) -> Result<ExitCode, ExitCode> {
    let base = shared.base()?;
    let mut mind = Mind::new(Arc::clone(&base)).map_err(|error| {
        eprintln!("this knowledge describes no golfers: {error}");
        ExitCode::from(PROBLEMS)
    })?;
    if cause.is_empty() {
        let all: Vec<Compared> = (0..base.causes.len())
            .map(CauseId::from_index)
            .flat_map(|cause| compared(&mut mind, cause))
            .collect();
        return Ok(written(&compared_lines(&base, &all)));
    }
    let Some(id) = base.named_cause(cause) else {
        let near = nearest(cause, base.causes.ids());
        let near = near.map_or(String::new(), |n| format!("; did you mean \"{n}\"?"));
        eprintln!("no cause is called \"{cause}\"{near}");
        return Err(ExitCode::from(2));
    };
    let implied: Vec<_> = (0..base.groups.len())
        .map(crate::vocabulary::GroupId::from_index)
        .map(|group| (group, mind.simulation().implied(id, group)))
        .collect();
    let compared = compared(&mut mind, id);
    Ok(written(&effects_lines(&base, id, &implied, &compared)))
}
