//! One golfer's book: records are only ever added, and one that was acknowledged is never lost.
//!
//! Takes entries from a talk, and gives records, and says where and why it cannot.
//!
//! The order of steps is the promise. Adding: the whole line is made in memory, handed over in one
//! write, synced, and only then acknowledged. Opening: every record is verified; trouble at the very
//! end is a record that was being written, so it is copied to a side file, cut off and reported;
//! trouble anywhere else makes the book read-only. After a failed write or sync nothing more is
//! written through this handle: the record is reported as not saved, its bytes are taken back if the
//! system lets us, and the book has to be opened and verified again.
//!
//! A failed sync may leave bytes that can be read and yet were never kept. So the first record that a
//! handle adds after reading is written together with the one before it, again.
//!
//! Several talks may have one book open: each locks it only while it adds, and reads first what the
//! others added. Nothing here knows what records mean.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::line::{self, Damage, MOST_TEXT, Place, Scan};
use super::moment::Moment;
use super::record::{Entry, Record};
use super::storage::{Access, Disk, Found, Hold, Storage, StoredFile};

/// What was being done to the file or folder when the system refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Act {
    Inspect,
    MakeFolder,
    ListFolder,
    Open,
    Lock,
    Read,
    Write,
    Truncate,
    Sync,
    SyncFolder,
    Rename,
    Remove,
}

/// Why the lesson book did not do what was asked.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BookError {
    /// The system refused a step that only reads or prepares.
    #[error("{act:?} {path:?}: {kind:?}")]
    Io {
        /// The step.
        act: Act,
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        kind: ErrorKind,
    },
    /// The record is NOT saved; the handle takes no more until [`Book::reopen`].
    #[error("record {record} not saved: {act:?} {path:?}: {kind:?}")]
    NotSaved {
        /// The number it would have had.
        record: u64,
        /// The step that failed.
        act: Act,
        /// The book's file.
        path: PathBuf,
        /// What the system said.
        kind: ErrorKind,
    },
    /// An earlier write failed; nothing was tried.
    #[error("not reopened after a failed write: {path:?}")]
    Poisoned {
        /// The book's file.
        path: PathBuf,
    },
    /// The book can be read, not written.
    #[error("read-only: {path:?}: {why:?}")]
    ReadOnly {
        /// The book's file.
        path: PathBuf,
        /// Why.
        why: ReadOnly,
    },
    /// Another talk did not let go of the book in time.
    #[error("in use: {path:?}")]
    Busy {
        /// The book's file.
        path: PathBuf,
    },
    /// Something other than a plain file is where the book should be, or no folder where it should
    /// be.
    #[error("in the way: {path:?}: {found:?}")]
    InTheWay {
        /// The path.
        path: PathBuf,
        /// What is there.
        found: Found,
    },
    /// There is no such book (any more).
    #[error("no book: {path:?}")]
    Missing {
        /// The path it would have.
        path: PathBuf,
    },
    /// There is such a book already, so nothing was brought in.
    #[error("there already: {path:?}")]
    Exists {
        /// Its path.
        path: PathBuf,
    },
    /// The record is longer than a record may be.
    #[error("record of {bytes} bytes")]
    TooLong {
        /// Bytes of its text.
        bytes: usize,
    },
    /// The entry cannot be put into text.
    #[error("entry without a text form")]
    NoText,
    /// No record has this number, or it is the first one, which cannot be wiped alone.
    #[error("no record {record} to wipe")]
    NoSuchRecord {
        /// The number.
        record: u64,
    },
    /// What was brought in is not whole.
    #[error("damaged: {damage:?}")]
    DamagedImport {
        /// Where and how.
        damage: Damage,
    },
    /// What was brought in does not begin with a book's first record.
    #[error("not a lesson book")]
    NotABook,
}

impl BookError {
    /// What the system said, if the system is the reason.
    pub const fn kind(&self) -> Option<ErrorKind> {
        if let Self::Io { kind, .. } | Self::NotSaved { kind, .. } = self {
            Some(*kind)
        } else {
            None
        }
    }

    pub(super) fn io(act: Act, path: &Path) -> impl FnOnce(io::Error) -> Self {
        move |e| Self::Io {
            act,
            path: path.to_path_buf(),
            kind: e.kind(),
        }
    }
}

/// Why a book can be read only.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReadOnly {
    /// Harmed in the middle; `repair` makes a new one and keeps this.
    Damaged(Damage),
    /// The system does not permit writing.
    NotPermitted(ErrorKind),
    /// The end is torn, and could not be moved out of the way.
    TornEnd {
        /// Where and how.
        damage: Damage,
        /// What the system said.
        kind: ErrorKind,
    },
}

/// In what state a book was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Condition {
    /// Nothing wrong.
    Whole,
    /// The end was torn. It is now in a side file, and the book goes on before it.
    TailMoved {
        /// The side file.
        side: PathBuf,
        /// Where and how.
        damage: Damage,
        /// Bytes moved.
        bytes: u64,
    },
    /// Readable only.
    ReadOnly(ReadOnly),
}

/// One golfer's book, open.
#[derive(Debug)]
pub struct Book<S: Storage = Disk> {
    pub(super) place: BookPlace<S>,
    /// None when the book is only readable, or poisoned.
    file: Option<S::File>,
    records: Vec<Record>,
    /// Where the last record's line ends.
    end: u64,
    /// Whether this handle itself wrote and synced the last record.
    own_last: bool,
    condition: Condition,
    /// The line of a record that failed, until the book is reopened.
    in_doubt: Option<Vec<u8>>,
}

/// Where a book is and how long to wait for it.
#[derive(Debug, Clone)]
pub(super) struct BookPlace<S> {
    pub(super) storage: S,
    pub(super) folder: PathBuf,
    pub(super) path: PathBuf,
    pub(super) patience: Duration,
}

/// How often to look again when the file is replaced while we wait for it.
const REPLACED_TRIES: usize = 8;

impl<S: Storage> BookPlace<S> {
    /// Opens and locks the file that is under the book's path at that time; None if there is none.
    pub(super) fn lock(&self, access: Access, hold: Hold) -> Result<Option<S::File>, BookError> {
        for _ in 0..REPLACED_TRIES {
            let found = self
                .storage
                .found(&self.path)
                .map_err(BookError::io(Act::Inspect, &self.path))?;
            match found {
                Found::Nothing => return Ok(None),
                Found::File => {}
                Found::Folder | Found::Other => {
                    return Err(BookError::InTheWay {
                        path: self.path.clone(),
                        found,
                    });
                }
            }
            let mut file = match self.storage.open(&self.path, access) {
                Ok(file) => file,
                Err(e) if e.kind() == ErrorKind::NotFound => continue,
                Err(e) => return Err(BookError::io(Act::Open, &self.path)(e)),
            };
            if self.lock_file(&mut file, hold)? {
                return Ok(Some(file));
            }
        }
        Err(BookError::Busy {
            path: self.path.clone(),
        })
    }

    /// Locks an open file; false if it is no longer the one under the book's path.
    pub(super) fn lock_file(&self, file: &mut S::File, hold: Hold) -> Result<bool, BookError> {
        if !file
            .lock(hold, self.patience)
            .map_err(BookError::io(Act::Lock, &self.path))?
        {
            return Err(BookError::Busy {
                path: self.path.clone(),
            });
        }
        match file.is_at(&self.path) {
            Ok(true) => Ok(true),
            other => {
                // The lock goes with the handle in any case.
                drop(file.unlock());
                other.map_err(BookError::io(Act::Inspect, &self.path))
            }
        }
    }

    /// Lets others at the book again. A lock also ends with its handle, so a failure to end it early
    /// costs the others their patience and nothing else.
    pub(super) fn unlock(file: &mut S::File) {
        drop(file.unlock());
    }

    pub(super) fn read(&self, file: &mut S::File) -> Result<Vec<u8>, BookError> {
        file.read_all()
            .map_err(BookError::io(Act::Read, &self.path))
    }

    /// Writes a new file beside the book and syncs it and its name.
    pub(super) fn write_aside(&self, path: &Path, bytes: &[u8]) -> Result<(), BookError> {
        let mut file = self
            .storage
            .open(path, Access::New)
            .map_err(BookError::io(Act::Open, path))?;
        file.write_at(0, bytes)
            .map_err(BookError::io(Act::Write, path))?;
        file.sync().map_err(BookError::io(Act::Sync, path))?;
        self.sync_folder()
    }

    pub(super) fn sync_folder(&self) -> Result<(), BookError> {
        self.storage
            .sync_folder(&self.folder)
            .map_err(BookError::io(Act::SyncFolder, &self.folder))
    }

    /// The book's path with something added to the name.
    pub(super) fn beside(&self, addition: &str) -> PathBuf {
        let mut name = self.path.clone().into_os_string();
        name.push(addition);
        name.into()
    }

    /// Copies bytes to a side file under the first free name, and syncs it.
    pub(super) fn keep_aside(&self, label: &str, bytes: &[u8]) -> Result<PathBuf, BookError> {
        let mut number = 1_u32;
        loop {
            let path = self.beside(&format!(".{label}-{number}"));
            let found = self
                .storage
                .found(&path)
                .map_err(BookError::io(Act::Inspect, &path))?;
            if found == Found::Nothing {
                self.write_aside(&path, bytes)?;
                return Ok(path);
            }
            number = number.saturating_add(1);
        }
    }

    /// Puts new content in the place of the book, in one step that a crash cannot halve. The caller
    /// holds the lock of the present file, so that nobody adds to it meanwhile.
    pub(super) fn replace(&self, bytes: &[u8]) -> Result<(), BookError> {
        let new = self.beside(".new");
        match self.storage.remove(&new) {
            Ok(()) => {}
            Err(e) if e.kind() == ErrorKind::NotFound => {}
            Err(e) => return Err(BookError::io(Act::Remove, &new)(e)),
        }
        self.write_aside(&new, bytes)?;
        self.storage
            .rename(&new, &self.path)
            .map_err(BookError::io(Act::Rename, &new))?;
        self.sync_folder()
    }
}

impl<S: Storage> Book<S> {
    /// Opens and verifies the book at this place. None if there is none, or one whose first record
    /// was never completed.
    pub(super) fn open(place: BookPlace<S>) -> Result<Option<Self>, BookError> {
        let mut refused = None;
        let locked = match place.lock(Access::Write, Hold::Alone) {
            Err(BookError::Io {
                act: Act::Open,
                kind,
                ..
            }) if matches!(
                kind,
                ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem
            ) =>
            {
                refused = Some(kind);
                place.lock(Access::Read, Hold::Shared)?
            }
            other => other?,
        };
        let Some(mut file) = locked else {
            return Ok(None);
        };
        let mut book = Self::unread(place);
        let loaded = book.load(&mut file, refused);
        BookPlace::<S>::unlock(&mut file);
        loaded?;
        book.file = Some(file);
        Ok((!book.records.is_empty() || book.is_damaged()).then_some(book))
    }

    /// Makes the file if it is not there, and begins the book with its first record unless another
    /// talk just did.
    pub(super) fn begin(place: BookPlace<S>, at: Moment, first: &Entry) -> Result<Self, BookError> {
        match place.storage.open(&place.path, Access::New) {
            Ok(_) => {}
            Err(e) if e.kind() == ErrorKind::AlreadyExists => {}
            Err(e) => return Err(BookError::io(Act::Open, &place.path)(e)),
        }
        let missing = BookError::Missing {
            path: place.path.clone(),
        };
        let mut file = place.lock(Access::Write, Hold::Alone)?.ok_or(missing)?;
        let mut book = Self::unread(place);
        let begun = book.load(&mut file, None).and_then(|()| {
            if book.records.is_empty() {
                book.add(&mut file, at, first).map(drop)
            } else {
                Ok(())
            }
        });
        BookPlace::<S>::unlock(&mut file);
        begun?;
        book.file = Some(file);
        Ok(book)
    }

    const fn unread(place: BookPlace<S>) -> Self {
        Self {
            place,
            file: None,
            records: Vec::new(),
            end: 0,
            own_last: false,
            condition: Condition::Whole,
            in_doubt: None,
        }
    }

    /// Records in order; the place of a record is its number.
    pub fn records(&self) -> &[Record] {
        &self.records
    }

    /// In what state the book was found.
    pub const fn condition(&self) -> &Condition {
        &self.condition
    }

    /// The book's file.
    pub fn path(&self) -> &Path {
        &self.place.path
    }

    /// Whether a failed write stands in the way until [`Book::reopen`].
    pub const fn is_poisoned(&self) -> bool {
        self.in_doubt.is_some()
    }

    const fn is_damaged(&self) -> bool {
        matches!(self.condition, Condition::ReadOnly(_))
    }

    /// Adds a record. When this returns a number, the record is kept under it, whatever happens next
    /// to program or power.
    ///
    /// # Errors
    /// [`BookError::NotSaved`] if a write or sync failed; [`BookError::Poisoned`] after that;
    /// [`BookError::Busy`] if another talk holds the book; and what opening can bring.
    pub fn append(&mut self, at: Moment, entry: &Entry) -> Result<u64, BookError> {
        if self.is_poisoned() {
            return Err(BookError::Poisoned {
                path: self.place.path.clone(),
            });
        }
        self.refuse_if_read_only()?;
        let missing = || BookError::Missing {
            path: self.place.path.clone(),
        };
        let mut file = self.file.take().ok_or_else(missing)?;
        let locked = self.place.lock_file(&mut file, Hold::Alone);
        match locked {
            Ok(true) => {}
            Ok(false) => {
                // Repaired or partly forgotten by somebody else: go on in the new file.
                self.own_last = false;
                match self.place.lock(Access::Write, Hold::Alone) {
                    Ok(Some(new)) => file = new,
                    other => {
                        self.file = Some(file);
                        other?;
                        return Err(BookError::Missing {
                            path: self.place.path.clone(),
                        });
                    }
                }
            }
            Err(e) => {
                self.file = Some(file);
                return Err(e);
            }
        }
        let added = self
            .catch_up(&mut file)
            .and_then(|()| self.add(&mut file, at, entry));
        BookPlace::<S>::unlock(&mut file);
        self.file = Some(file);
        added
    }

    /// Reads what others added since this handle last looked.
    fn catch_up(&mut self, file: &mut S::File) -> Result<(), BookError> {
        let length = file
            .length()
            .map_err(BookError::io(Act::Read, &self.place.path))?;
        if !self.own_last || length != self.end {
            self.load(file, None)?;
        }
        self.refuse_if_read_only()
    }

    fn refuse_if_read_only(&self) -> Result<(), BookError> {
        match &self.condition {
            Condition::ReadOnly(why) => Err(BookError::ReadOnly {
                path: self.place.path.clone(),
                why: why.clone(),
            }),
            Condition::Whole | Condition::TailMoved { .. } => Ok(()),
        }
    }

    /// Reads and verifies everything, under the lock, and moves a torn end out of the way.
    fn load(&mut self, file: &mut S::File, refused: Option<ErrorKind>) -> Result<(), BookError> {
        let bytes = self.place.read(file)?;
        let Scan {
            records,
            end,
            damage,
        } = line::scan(&bytes);
        self.end = end as u64;
        self.own_last = false;
        self.records = records.into_iter().map(|placed| placed.record).collect();
        let found = match (damage, refused) {
            (
                Some(
                    damage @ Damage {
                        place: Place::Inside { .. },
                        ..
                    },
                ),
                _,
            ) => Some(Condition::ReadOnly(ReadOnly::Damaged(damage))),
            (_, Some(kind)) => Some(Condition::ReadOnly(ReadOnly::NotPermitted(kind))),
            (Some(damage), None) => {
                let tail = bytes.get(end..).unwrap_or_default();
                Some(match self.move_tail(file, tail) {
                    Ok(side) => Condition::TailMoved {
                        side,
                        damage,
                        bytes: tail.len() as u64,
                    },
                    Err(kind) => Condition::ReadOnly(ReadOnly::TornEnd { damage, kind }),
                })
            }
            (None, None) => None,
        };
        // A torn end that was moved earlier stays worth telling.
        if let Some(found) = found {
            self.condition = found;
        }
        Ok(())
    }

    fn move_tail(&self, file: &mut S::File, tail: &[u8]) -> Result<PathBuf, ErrorKind> {
        let label = format!("torn-{}", self.end);
        let side = self
            .place
            .keep_aside(&label, tail)
            .map_err(|e| e.kind().unwrap_or(ErrorKind::Other))?;
        file.truncate(self.end)
            .and_then(|()| file.sync())
            .map_err(|e| e.kind())?;
        Ok(side)
    }

    /// Writes one record, under the lock, with everything before it read and whole.
    fn add(&mut self, file: &mut S::File, at: Moment, entry: &Entry) -> Result<u64, BookError> {
        let seq = self.records.len() as u64;
        let record = Record::new(seq, at, entry).map_err(|_| BookError::NoText)?;
        let bytes = record.text().len();
        if bytes > MOST_TEXT {
            return Err(BookError::TooLong { bytes });
        }
        let line = line::encode(seq, record.text());
        let again = match self.records.last() {
            Some(last) if !self.own_last => line::encode(last.seq, last.text()),
            _ => Vec::new(),
        };
        let start = self.end - again.len() as u64;
        let both = [again, line.clone()].concat();
        let mut steps = || {
            file.write_at(start, &both).map_err(|e| (Act::Write, e))?;
            file.sync().map_err(|e| (Act::Sync, e))?;
            if !self.own_last {
                let folder = &self.place.folder;
                self.place
                    .storage
                    .sync_folder(folder)
                    .map_err(|e| (Act::SyncFolder, e))?;
            }
            Ok::<(), (Act, io::Error)>(())
        };
        if let Err((act, e)) = steps() {
            // Taking it back may fail as well; then reopening has to see what is there.
            drop(file.truncate(self.end).and_then(|()| file.sync()));
            self.in_doubt = Some(line);
            let (path, kind) = (self.place.path.clone(), e.kind());
            return Err(BookError::NotSaved {
                record: seq,
                act,
                path,
                kind,
            });
        }
        self.end += line.len() as u64;
        self.own_last = true;
        self.records.push(record);
        Ok(seq)
    }

    /// Opens and verifies the book again after a failed write. A record reported as not saved that is
    /// still at the end of the file is taken off first.
    ///
    /// # Errors
    /// As opening; the book then stays poisoned.
    pub fn reopen(&mut self) -> Result<(), BookError> {
        let missing = || BookError::Missing {
            path: self.place.path.clone(),
        };
        let mut file = self
            .place
            .lock(Access::Write, Hold::Alone)?
            .ok_or_else(missing)?;
        let result = self.take_back(&mut file).and_then(|()| {
            self.condition = Condition::Whole;
            self.load(&mut file, None)
        });
        BookPlace::<S>::unlock(&mut file);
        result?;
        self.in_doubt = None;
        self.file = Some(file);
        Ok(())
    }

    fn take_back(&self, file: &mut S::File) -> Result<(), BookError> {
        let Some(line) = &self.in_doubt else {
            return Ok(());
        };
        let bytes = self.place.read(file)?;
        let tail = bytes.get(self.end as usize..).unwrap_or_default();
        if !tail.is_empty() && line.starts_with(tail) {
            let path = &self.place.path;
            file.truncate(self.end)
                .map_err(BookError::io(Act::Truncate, path))?;
            file.sync().map_err(BookError::io(Act::Sync, path))?;
        }
        Ok(())
    }
}
