//! `knowledge`: check the files, show an entry as a page, write schemas and the cause graph, try the
//! knowledge on cases.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use clap::Subcommand;

use super::{PROBLEMS, Shared, cases, no_base, written};
use crate::causes::Simulation;
use crate::knowledge::{load_and_lint, nearest, schema, schema_kinds, untried_rules};
use crate::vocabulary::CauseId;
use crate::wording::{Called, Style, called, changes_lines, entry_page, kinds, list_of, problems};

/// Stands for the built-in cases where no folder is named.
const BUILT_IN: &str = "built-in";

/// What to look at.
#[derive(Debug, Clone, Subcommand)]
pub(super) enum Look {
    /// List every problem of the knowledge; exit code 1 if there is one.
    Check {
        /// Check this folder alone.
        folder: Option<PathBuf>,
        /// Play cases too, the built-in ones or those of a folder, and list untried rules.
        #[arg(long, value_name = "DIR", num_args = 0..=1, default_missing_value = BUILT_IN)]
        cases: Option<PathBuf>,
        /// Exit with 1 if anything is worth a second look.
        #[arg(long)]
        strict: bool,
    },
    /// Show an entry as a page, or list the entries of a kind: show drills.
    Show {
        /// Its id or its name, or a kind: causes, symptoms, effects, drills, checks, quantities, answers,
        /// clubs.
        id: Vec<String>,
    },
    /// What a cause implies for each club: effects and symptoms, with and without it.
    Effects {
        /// Its id or name; without one, every strength that is far from what teachers expect.
        cause: Vec<String>,
    },
    /// Play cases written by teachers: how often was it right, and what does no case reach?
    Cases {
        /// A folder of cases instead of the built-in ones.
        folder: Option<PathBuf>,
        /// Leave out the list of cases that went wrong.
        #[arg(long)]
        brief: bool,
    },
    /// Play the cases under two knowledges; list those that come out otherwise.
    Diff {
        /// The other knowledge; without it, what lies over this one (`--add`, your own folder).
        folder: Option<PathBuf>,
        /// A folder of cases instead of the built-in ones.
        #[arg(long, value_name = "DIR")]
        cases: Option<PathBuf>,
    },
    /// Write the JSON Schema of a kind of file, for completion in an editor.
    Schema {
        /// Such as causes, checks, drills, rules, phrases; without one, list them.
        kind: Option<String>,
    },
    /// Write the cause graph for graph drawing tools (DOT).
    Graph {
        /// Only around this cause.
        around: Option<String>,
    },
}

/// Looks.
pub(super) fn look(shared: &Shared, look: &Look) -> Result<ExitCode, ExitCode> {
    match look {
        Look::Check {
            folder,
            cases,
            strict,
        } => check(shared, folder.as_deref(), cases.as_deref(), *strict),
        Look::Effects { cause } => cases::effects(shared, &cause.join(" ")),
        Look::Cases { folder, brief } => cases::cases(shared, folder.as_deref(), *brief),
        Look::Diff { folder, cases } => cases::diff(shared, folder.as_deref(), cases.as_deref()),
        Look::Schema { kind } => write_schema(kind.as_deref()),
        Look::Show { id } => {
            let base = shared.base()?;
            let id = id.join(" ");
            if let Some(page) = entry_page(&base, &id) {
                return Ok(written(&page.render(Style::default())));
            }
            if let Some(lines) = list_of(&base, &id) {
                return Ok(written(&format!("{}\n", lines.join("\n"))));
            }
            let near = match called(&base, &id) {
                Called::One(found) => {
                    if let Some(page) = entry_page(&base, &found) {
                        return Ok(written(&page.render(Style::default())));
                    }
                    vec![found]
                }
                Called::Near(near) => near,
            };
            let near: Vec<String> = near.iter().map(|n| format!("\"{n}\"")).collect();
            let near = if near.is_empty() {
                let kinds = kinds(&base);
                format!("; \"knowledge show\" lists {}", kinds.join(", "))
            } else {
                format!("; did you mean {}?", near.join(" or "))
            };
            eprintln!("no entry is called \"{id}\"{near}");
            Err(ExitCode::from(2))
        }
        Look::Graph { around } => {
            let base = shared.base()?;
            let simulation = Simulation::new(base.model.clone()).map_err(|error| {
                eprintln!("this knowledge describes no golfers: {error}");
                ExitCode::from(PROBLEMS)
            })?;
            let graph = simulation.graph();
            let of: Vec<CauseId> = match around {
                None => (0..base.causes.len()).map(CauseId::from_index).collect(),
                Some(id) => {
                    let Some(cause) = base.find_cause(id) else {
                        let near = nearest(id, base.causes.ids())
                            .map_or(String::new(), |n| format!("; did you mean \"{n}\"?"));
                        eprintln!("no cause is called \"{id}\"{near}");
                        return Err(ExitCode::from(2));
                    };
                    graph.around(cause, 1)
                }
            };
            let name = |c: CauseId| base.cause(c).name.clone();
            let note = |c: CauseId| base.cause(c).family.clone();
            Ok(written(&graph.dot(&of, &name, &note)))
        }
    }
}

/// Writes the schema of a kind of file, or the kinds there are.
fn write_schema(kind: Option<&str>) -> Result<ExitCode, ExitCode> {
    let Some(kind) = kind else {
        let mut kinds = String::new();
        for (kind, files) in schema_kinds() {
            let _ = writeln!(kinds, "{kind:<12} {files}");
        }
        return Ok(written(&kinds));
    };
    let Some(text) = schema(kind) else {
        let near = nearest(kind, schema_kinds().map(|(kind, _)| kind));
        let near = near.map_or(String::new(), |n| format!("; did you mean \"{n}\"?"));
        eprintln!("no kind of file is called \"{kind}\"{near}");
        return Err(ExitCode::from(2));
    };
    Ok(written(&text))
}

/// Checks the knowledge, and with `cases` that they try every rule.
fn check(
    shared: &Shared,
    folder: Option<&Path>,
    case_folder: Option<&Path>,
    strict: bool,
) -> Result<ExitCode, ExitCode> {
    let sources = match folder {
        Some(folder) => super::folder::sources(Some(folder), &shared.add).map_err(no_base)?,
        None => shared.sources()?,
    };
    let refused = |list| {
        let _ = written(&problems(&sources.placed(list)));
        ExitCode::from(PROBLEMS)
    };
    let (base, mut remarks) = load_and_lint(&sources.files).map_err(refused)?;
    let base = Arc::new(base);
    if let Some(folder) = case_folder {
        let tries = cases::tries(&base, Some(folder).filter(|f| *f != Path::new(BUILT_IN)))?;
        remarks.extend(untried_rules(&sources.files, &tries).map_err(refused)?);
    }
    let mut text = changes_lines(&sources.changes);
    let quiet = remarks.is_empty();
    if !quiet {
        text.push_str(&problems(&sources.placed(remarks)));
    }
    let _ = writeln!(
        text,
        "{}. knowledge {}: {} files, {} causes, {} symptoms, {} effects, {} checks, {} drills, {} cautions, {} rules, {} phrasings, {} answers, {} quantities, {} sources",
        if quiet {
            "no problems"
        } else {
            "no problem that keeps it from being used"
        },
        base.hash,
        sources.files.len(),
        base.causes.len(),
        base.symptoms.len(),
        base.effects.len(),
        base.checks.len(),
        base.drills.len(),
        base.cautions.len(),
        base.program.rules().len(),
        base.phrasings,
        base.answers.len(),
        base.quantities.len(),
        base.sources.len(),
    );
    let code = written(&text);
    if strict && !quiet && code == ExitCode::SUCCESS {
        return Err(ExitCode::from(PROBLEMS));
    }
    Ok(code)
}
