//! `lesson`: the lesson books from outside a talk: list, show, progress, sheet, verify, repair,
//! export, import, forget.
//!
//! Which golfer is `--golfer NAME`; without it the book without a name. Nothing here changes a book
//! except `repair`, `import` and `forget`, and `forget` wants `--yes`.

use std::io::Read as _;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Subcommand;

use super::{BAD_DATA, NOT_WRITTEN, PROBLEMS, Shared, written, written_bytes};
use crate::conversation::{Reply, Session};
use crate::lesson::{BookError, GolferKey, Lessons, Moment};
use crate::terminal::now;
use crate::wording::{
    Manner, Page, Style, book_trouble, forgotten_page, list_page, page, repaired_page, sheet_html,
    sheet_page, verified_page,
};

#[derive(Debug, Subcommand)]
pub(super) enum Do {
    /// Every book in the folder.
    List,
    /// What a book holds.
    Show,
    /// What was counted over time.
    Progress,
    /// The page to take home, from the last lesson.
    Sheet {
        /// One self-contained HTML page with the arc drawn, instead of text.
        #[arg(long)]
        html: bool,
    },
    /// Read every record and report damage; changes nothing.
    Verify,
    /// Make a whole book out of a damaged one; the damaged file is kept beside it.
    Repair,
    /// Write a book to standard output.
    Export,
    /// Read an exported book from a file, or from standard input.
    Import {
        /// The file.
        file: Option<PathBuf>,
    },
    /// Remove a book and everything beside it.
    Forget {
        /// Really.
        #[arg(long)]
        yes: bool,
    },
}

pub(super) fn lesson(shared: &Shared, what: &Do) -> ExitCode {
    let Some(folder) = shared.lessons_folder() else {
        eprintln!("there is no home folder for lesson books; name one with --lessons DIR");
        return ExitCode::from(2);
    };
    let shelf = Lessons::in_folder(folder);
    let name = shared.golfer.clone().unwrap_or_default();
    let key = GolferKey::of_name(&name);
    let done = match what {
        Do::List => shelf
            .list()
            .map(|books| said(&list_page(&books, &shelf.folder().display().to_string()))),
        Do::Show => {
            return of_session(shared, &shelf, &name, |session, _| {
                let reply = session.book_reply();
                replied(session, &reply)
            });
        }
        Do::Progress => {
            return of_session(shared, &shelf, &name, |session, _| {
                let reply = session.progress_reply();
                replied(session, &reply)
            });
        }
        Do::Sheet { html } => {
            return of_session(shared, &shelf, &name, |session, last| {
                session.tell_time(last.unwrap_or_else(now));
                session.retell();
                let manner = Manner {
                    metric: session.metric(),
                    hand: session.hand(),
                };
                match session.lesson_sheet() {
                    None => {
                        eprintln!("nothing in this book makes a lesson sheet yet");
                        ExitCode::from(BAD_DATA)
                    }
                    Some(sheet) if *html => written(&sheet_html(session.base(), &sheet, manner)),
                    Some(sheet) => said(&sheet_page(session.base(), &sheet, manner)),
                }
            });
        }
        Do::Verify => shelf.verify(&key).map(|found| {
            let damaged = found.damage.is_some();
            let code = said(&verified_page(&found));
            if damaged {
                ExitCode::from(PROBLEMS)
            } else {
                code
            }
        }),
        Do::Repair => shelf
            .repair(&key, now())
            .map(|done| said(&repaired_page(&done))),
        Do::Export => shelf.export(&key).map(|bytes| written_bytes(&bytes)),
        Do::Import { file } => {
            let bytes = match read(file.as_ref()) {
                Ok(bytes) => bytes,
                Err(error) => {
                    eprintln!("cannot read: {error}");
                    return ExitCode::from(BAD_DATA);
                }
            };
            shelf.import(&bytes).map(|_| written("Brought in.\n"))
        }
        Do::Forget { yes: false } => {
            eprintln!("this removes the book for good; say --yes to do it");
            return ExitCode::from(2);
        }
        Do::Forget { yes: true } => shelf
            .forget(&key)
            .map(|forgot| said(&forgotten_page(&forgot))),
    };
    done.unwrap_or_else(|error| refused(&error))
}

fn read(file: Option<&PathBuf>) -> std::io::Result<Vec<u8>> {
    if let Some(path) = file {
        return std::fs::read(path);
    }
    let mut bytes = Vec::new();
    std::io::stdin().read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn said(page: &Page) -> ExitCode {
    written(&page.render(Style::default()))
}

fn replied(session: &Session, reply: &Reply) -> ExitCode {
    let manner = Manner {
        metric: session.metric(),
        hand: session.hand(),
    };
    said(&page(session.base(), reply, manner))
}

fn refused(error: &BookError) -> ExitCode {
    eprint!("{}", book_trouble(error).render(Style::default()));
    match error {
        BookError::DamagedImport { .. }
        | BookError::NotABook
        | BookError::Exists { .. }
        | BookError::Missing { .. } => ExitCode::from(BAD_DATA),
        _ => ExitCode::from(NOT_WRITTEN),
    }
}

/// Something about a book that needs the knowledge; the moment is that of its last record.
fn of_session(
    shared: &Shared,
    shelf: &Lessons,
    name: &str,
    f: impl FnOnce(&mut Session, Option<Moment>) -> ExitCode,
) -> ExitCode {
    let mut session = match shared.session() {
        Ok(session) => session,
        Err(code) => return code,
    };
    match shelf.open(&GolferKey::of_name(name)) {
        Ok(Some(book)) => {
            let last = book.records().iter().rev().find_map(|r| r.at);
            session.tell_time(now());
            session.remember(name, book.records());
            f(&mut session, last)
        }
        Ok(None) => {
            eprintln!(
                "there is no lesson book for that golfer; \"swingwhy lesson list\" shows all"
            );
            ExitCode::from(BAD_DATA)
        }
        Err(error) => refused(&error),
    }
}
