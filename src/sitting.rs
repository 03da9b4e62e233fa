//! One sitting: a talk with the book that stands behind it. A line and the time in, a page out.
//!
//! Joins [`Session`], which reads no clock and no file, with [`Lessons`]: what a line adds is written
//! and synced before the reply is given back, and what could not be written is said and tried again
//! with the next line, in order. Works the same without a folder for books. Decides nothing about golf
//! and makes no sentence.

use crate::conversation::{Reply, Session, Wish};
use crate::lesson::{Book, BookError, Disk, Entry, GolferKey, Lessons, Moment, Storage};
use crate::wording::{
    Manner, Page, book_begun, book_condition, book_trouble, forgotten_page, fresh_book, kept_again,
    page,
};

/// A talk and its book.
pub struct Sitting<S: Storage = Disk> {
    session: Session,
    shelf: Option<Lessons<S>>,
    golfer: String,
    book: Option<Book<S>>,
    /// What could not be written yet, in order.
    waiting: Vec<Entry>,
    /// Numbers the book gave since the talk was told last.
    given: Vec<u64>,
    /// Trouble was said and has not passed.
    troubled: bool,
}

/// What came of opening a book.
#[derive(Debug, Default)]
pub struct Opening {
    /// What is wrong with the book; empty if nothing is.
    pub trouble: Page,
    /// The greeting of somebody who was here before; empty for somebody new.
    pub greeting: Page,
}

/// What came of a line.
#[derive(Debug)]
pub struct Turned {
    /// What to show.
    pub page: Page,
    /// The talk is over.
    pub leave: bool,
}

impl<S: Storage> Sitting<S> {
    /// A talk that keeps its book in this folder, or keeps none.
    pub const fn new(session: Session, shelf: Option<Lessons<S>>) -> Self {
        Self {
            session,
            shelf,
            golfer: String::new(),
            book: None,
            waiting: Vec::new(),
            given: Vec::new(),
            troubled: false,
        }
    }

    /// The talk.
    pub const fn session(&self) -> &Session {
        &self.session
    }

    /// Names for completion.
    pub fn completions(&self) -> Vec<String> {
        self.session.completions()
    }

    /// Opens the book of a golfer; the empty name has one too. Nothing is made before there is
    /// something to keep.
    pub fn open(&mut self, golfer: &str, now: Moment) -> Opening {
        self.session.tell_time(now);
        golfer.clone_into(&mut self.golfer);
        self.book = None;
        self.waiting.clear();
        self.given.clear();
        self.troubled = false;
        let Some(shelf) = &self.shelf else {
            return Opening::default();
        };
        let mut trouble = Page::new();
        let records = match shelf.open(&GolferKey::of_name(golfer)) {
            Ok(None) => Vec::new(),
            Ok(Some(book)) => {
                trouble.append(book_condition(book.condition()));
                if let crate::lesson::Condition::ReadOnly(why) = book.condition() {
                    trouble.append(book_trouble(&BookError::ReadOnly {
                        path: book.path().to_path_buf(),
                        why: why.clone(),
                    }));
                    self.troubled = true;
                }
                let records = book.records().to_vec();
                self.book = Some(book);
                records
            }
            Err(error) => {
                trouble.append(book_trouble(&error));
                self.troubled = true;
                Vec::new()
            }
        };
        let reply = self.session.remember(golfer, &records);
        Opening {
            trouble,
            greeting: self.paged(&reply),
        }
    }

    /// The name of a book as it is kept, where it was typed with other capitals and there is no book of
    /// exactly that name.
    fn as_kept(&self, golfer: String) -> String {
        let listed = self.shelf.as_ref().and_then(|s| s.list().ok());
        let names: Vec<String> = listed
            .into_iter()
            .flatten()
            .filter_map(|l| l.golfer)
            .collect();
        if names.contains(&golfer) {
            return golfer;
        }
        let lower = golfer.to_lowercase();
        let mut same = names.into_iter().filter(|n| n.to_lowercase() == lower);
        match (same.next(), same.next()) {
            (Some(one), None) => one,
            _ => golfer,
        }
    }

    /// The reply to a line at this time; whatever it adds to the book is kept when this returns, or
    /// the page says that it is not.
    pub fn line(&mut self, line: &str, now: Moment) -> Turned {
        self.session.tell_time(now);
        let reply = self.session.respond(line);
        let mut told = self.paged(&reply);
        let wishes = self.session.wishes();
        // A book that goes takes the line that asked for it along.
        if wishes.contains(&Wish::Forget) {
            told.append(self.forget());
            return Turned {
                page: told,
                leave: reply.leave,
            };
        }
        for wish in wishes {
            match wish {
                Wish::Keep(entry) => self.waiting.push(entry),
                Wish::Open(golfer) => {
                    told.append(self.keep(now));
                    let golfer = self.as_kept(golfer);
                    let opening = self.open(&golfer, now);
                    told.append(opening.trouble);
                    told.append(if opening.greeting.is_empty() {
                        fresh_book(&golfer)
                    } else {
                        opening.greeting
                    });
                }
                Wish::Forget => {}
            }
        }
        told.append(self.keep(now));
        Turned {
            page: told,
            leave: reply.leave,
        }
    }

    fn paged(&self, reply: &Reply) -> Page {
        let manner = Manner {
            metric: self.session.metric(),
            hand: self.session.hand(),
        };
        page(self.session.base(), reply, manner)
    }

    /// Writes what waits. Says so when a book was begun, and when something is not kept.
    fn keep(&mut self, now: Moment) -> Page {
        if self.waiting.is_empty() {
            return Page::new();
        }
        let Some(shelf) = &self.shelf else {
            self.waiting.clear();
            return Page::new();
        };
        let mut told = Page::new();
        let done = (|| {
            if let Some(book) = &mut self.book {
                if book.is_poisoned() {
                    book.reopen()?;
                }
            } else {
                let facts = self.session.stable_facts();
                let book = shelf.open_or_begin(&self.golfer, now, facts)?;
                told.append(book_begun(&book.path().display().to_string()));
                self.book = Some(book);
            }
            let Some(book) = &mut self.book else {
                return Ok(());
            };
            while let Some(entry) = self.waiting.first() {
                self.given.push(book.append(now, entry)?);
                self.waiting.remove(0);
            }
            Ok(())
        })();
        if let Some(book) = &self.book
            && self.waiting.is_empty()
        {
            self.session
                .kept(&std::mem::take(&mut self.given), book.records());
        }
        match done {
            Ok(()) => {
                if self.troubled {
                    self.troubled = false;
                    told.append(kept_again());
                }
            }
            Err(error) => {
                if !self.troubled {
                    told.append(book_trouble(&error));
                }
                self.troubled = true;
            }
        }
        told
    }

    fn forget(&mut self) -> Page {
        let Some(shelf) = &self.shelf else {
            return Page::new();
        };
        self.book = None;
        self.waiting.clear();
        match shelf.forget(&GolferKey::of_name(&self.golfer)) {
            Ok(forgot) => {
                self.session.forgotten();
                forgotten_page(&forgot)
            }
            Err(error) => book_trouble(&error),
        }
    }
}
