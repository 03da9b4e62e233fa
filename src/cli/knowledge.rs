//! `knowledge`: check the files, show an entry as a page, write the cause graph.

use std::process::ExitCode;

use clap::Subcommand;

use super::folder::{NoBase, sources};
use super::{PROBLEMS, Shared, written};
use crate::causes::Simulation;
use crate::knowledge::{load, nearest};
use crate::vocabulary::CauseId;
use crate::wording::{Style, entry_page, problems};

/// What to look at.
#[derive(Debug, Clone, Subcommand)]
pub(super) enum Look {
    /// List every problem of the knowledge; exit code 1 if there is one.
    Check {
        /// Check this folder alone.
        folder: Option<std::path::PathBuf>,
    },
    /// Show an entry as a page.
    Show {
        /// Its id, or the name of a cause.
        id: Vec<String>,
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
        Look::Check { folder } => {
            let folder = folder.as_deref().or(shared.knowledge.as_deref());
            let files = match sources(folder, &shared.add) {
                Ok(files) => files,
                Err(NoBase::Unreadable(path, error)) => {
                    eprintln!("cannot read {}: {error}", path.display());
                    return Err(ExitCode::from(PROBLEMS));
                }
                Err(NoBase::Problems(list)) => {
                    let _ = written(&problems(&list));
                    return Err(ExitCode::from(PROBLEMS));
                }
            };
            match load(&files) {
                Ok(base) => Ok(written(&format!(
                    "no problems. knowledge {}: {} files, {} causes, {} symptoms, {} effects, {} checks, {} drills, {} cautions, {} rules, {} phrasings, {} answers, {} quantities, {} sources\n",
                    base.hash,
                    files.len(),
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
                ))),
                Err(list) => {
                    let _ = written(&problems(&list));
                    Err(ExitCode::from(PROBLEMS))
                }
            }
        }
        Look::Show { id } => {
            let base = shared.base()?;
            let id = id.join(" ");
            if let Some(page) = entry_page(&base, &id) {
                Ok(written(&page.render(Style::default())))
            } else {
                let names = base
                    .causes
                    .ids()
                    .chain(base.symptoms.ids())
                    .chain(base.effects.ids())
                    .chain(base.drills.ids())
                    .chain(base.checks.ids());
                let near = nearest(&id, names)
                    .map_or(String::new(), |n| format!("; did you mean \"{n}\"?"));
                eprintln!("no entry is called \"{id}\"{near}");
                Err(ExitCode::from(2))
            }
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
