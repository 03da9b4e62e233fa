//! All books of one folder: begin, open, list, verify, repair, carry out and in, forget.
//!
//! Takes golfer keys and gives books and reports. Invariant: nothing outside the folder is read or
//! written, a book is replaced only by a whole new one in one step, and what repair sets aside stays
//! until the golfer is forgotten. Reports are data; how to say them is not known here.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::journal::{Act, Book, BookError, BookPlace, Condition, ReadOnly};
use super::key::GolferKey;
use super::line::{self, Damage, Place};
use super::moment::Moment;
use super::record::{Content, Entry, Facts, Lost, Opened, Record, Wiped};
use super::storage::{Access, Disk, Found, Hold, Storage};

/// The folder of all lesson books.
#[derive(Debug, Clone)]
pub struct Lessons<S: Storage = Disk> {
    storage: S,
    folder: PathBuf,
    patience: Duration,
}

/// How long to wait for another talk to finish adding a record.
const PATIENCE: Duration = Duration::from_secs(2);

/// What a book's file name ends with.
const SUFFIX: &str = ".book";

/// A book in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// Its key.
    pub key: GolferKey,
    /// The name it was opened with, untrusted text; None if the first record is not there.
    pub golfer: Option<String>,
    /// Whole records before any damage.
    pub records: u64,
    /// When the last of them was written.
    pub last: Option<Moment>,
    /// The first damage.
    pub damage: Option<Damage>,
    /// Why it could not be read at all.
    pub trouble: Option<BookError>,
}

/// What verifying found. Nothing was changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verified {
    /// The book's file.
    pub path: PathBuf,
    /// Its bytes.
    pub bytes: u64,
    /// Whole records before any damage, by kind, sorted.
    pub kinds: Vec<(String, u64)>,
    /// Numbers of records that a newer version wrote.
    pub newer: Vec<u64>,
    /// Numbers of records dated before the one they follow.
    pub clock_back: Vec<u64>,
    /// When the last whole record before any damage was written.
    pub last_good: Option<Moment>,
    /// The first damage.
    pub damage: Option<Damage>,
    /// Whole records after it, which repair would bring back.
    pub after_damage: u64,
    /// Side files: torn ends and damaged originals.
    pub side_files: Vec<PathBuf>,
}

impl Verified {
    /// Whole records before any damage.
    pub fn records(&self) -> u64 {
        self.kinds.iter().map(|(_, n)| n).sum()
    }
}

/// What repair did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Repaired {
    /// The damaged original; None if there was nothing to repair and nothing was done.
    pub kept: Option<PathBuf>,
    /// Records brought over.
    pub records: u64,
    /// Numbers for which there is no record any more; a `lost` record stands in their place.
    pub lost: Vec<u64>,
}

/// What forgetting left in the folder. Copies that were exported, and backups, are beyond it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Forgot {
    /// Files removed.
    pub removed: Vec<PathBuf>,
    /// Files of this golfer that are still there: side files, unless all was to go.
    pub remaining: Vec<PathBuf>,
}

impl Lessons<Disk> {
    /// The books in this folder of the machine's file system. The folder is made when first needed.
    pub fn in_folder(folder: impl Into<PathBuf>) -> Self {
        Self::with_storage(folder, Disk)
    }
}

impl<S: Storage> Lessons<S> {
    /// The books in a folder of any storage.
    pub fn with_storage(folder: impl Into<PathBuf>, storage: S) -> Self {
        Self {
            storage,
            folder: folder.into(),
            patience: PATIENCE,
        }
    }

    /// The same with another patience for books in use.
    pub fn with_patience(self, patience: Duration) -> Self {
        Self { patience, ..self }
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    fn place(&self, key: &GolferKey) -> BookPlace<S> {
        BookPlace {
            storage: self.storage.clone(),
            folder: self.folder.clone(),
            path: self.folder.join(format!("{key}{SUFFIX}")),
            patience: self.patience,
        }
    }

    /// Opens a book and verifies every record; None if there is none.
    ///
    /// # Errors
    /// [`BookError::Io`], [`BookError::InTheWay`] or [`BookError::Busy`]. Damage is no error: see
    /// [`Book::condition`].
    pub fn open(&self, key: &GolferKey) -> Result<Option<Book<S>>, BookError> {
        Book::open(self.place(key))
    }

    /// Opens the book of a golfer, or begins one with what is known of them.
    ///
    /// # Errors
    /// As [`Lessons::open`], and [`BookError::NotSaved`] if the beginning could not be kept.
    pub fn open_or_begin(
        &self,
        name: &str,
        at: Moment,
        facts: Facts,
    ) -> Result<Book<S>, BookError> {
        let place = self.place(&GolferKey::of_name(name));
        if let Some(book) = Book::open(place.clone())? {
            return Ok(book);
        }
        self.make_folder()?;
        let first = Entry::Opened(Opened {
            golfer: name.to_owned(),
            facts,
        });
        Book::begin(place, at, &first)
    }

    /// Makes the folder and those above it, each kept before the next is made.
    fn make_folder(&self) -> Result<(), BookError> {
        let mut missing = Vec::new();
        for folder in self.folder.ancestors() {
            let inspect = BookError::io(Act::Inspect, folder);
            // The empty path is the folder we are in.
            let found = if folder.as_os_str().is_empty() {
                Found::Folder
            } else {
                self.storage.found(folder).map_err(inspect)?
            };
            match found {
                Found::Folder => break,
                Found::Nothing => missing.push(folder),
                // A link to a folder is the owner's arrangement; what it leads to decides.
                Found::Other if self.storage.names(folder).is_ok() => break,
                Found::File | Found::Other => {
                    return Err(BookError::InTheWay {
                        path: folder.to_path_buf(),
                        found,
                    });
                }
            }
        }
        for folder in missing.into_iter().rev() {
            match self.storage.make_folder(folder) {
                Ok(()) => {}
                Err(e) if e.kind() == ErrorKind::AlreadyExists => {}
                Err(e) => return Err(BookError::io(Act::MakeFolder, folder)(e)),
            }
            let above = folder.parent().filter(|p| !p.as_os_str().is_empty());
            let above = above.unwrap_or(Path::new("."));
            self.storage
                .sync_folder(above)
                .map_err(BookError::io(Act::SyncFolder, above))?;
        }
        Ok(())
    }

    fn names(&self) -> Result<Vec<String>, BookError> {
        match self.storage.names(&self.folder) {
            Ok(names) => Ok(names),
            Err(e) if e.kind() == ErrorKind::NotFound => Ok(Vec::new()),
            Err(e) => Err(BookError::io(Act::ListFolder, &self.folder)(e)),
        }
    }

    /// Files in the folder that belong to this book beside the book itself.
    fn side_files(&self, key: &GolferKey) -> Result<Vec<PathBuf>, BookError> {
        let start = format!("{key}{SUFFIX}.");
        let names = self
            .names()?
            .into_iter()
            .filter(|name| name.starts_with(&start));
        Ok(names.map(|name| self.folder.join(name)).collect())
    }

    /// Every book in the folder, by key.
    ///
    /// # Errors
    /// [`BookError::Io`] if the folder cannot be read; a book that cannot be read says so itself.
    pub fn list(&self) -> Result<Vec<Listed>, BookError> {
        let names = self.names()?;
        let stems = names.iter().filter_map(|name| name.strip_suffix(SUFFIX));
        Ok(stems
            .filter_map(GolferKey::of_stem)
            .filter_map(|key| self.listed(key))
            .collect())
    }

    fn listed(&self, key: GolferKey) -> Option<Listed> {
        match self.read(&key) {
            Ok(bytes) if bytes.is_empty() => None,
            Ok(bytes) => {
                let scan = line::scan(&bytes);
                let golfer = scan
                    .records
                    .first()
                    .and_then(|placed| golfer(&placed.record));
                Some(Listed {
                    key,
                    golfer: golfer.map(str::to_owned),
                    records: scan.records.len() as u64,
                    last: scan
                        .records
                        .iter()
                        .rev()
                        .find_map(|placed| placed.record.at),
                    damage: scan.damage,
                    trouble: None,
                })
            }
            Err(BookError::Missing { .. }) => None,
            Err(e) => Some(Listed {
                key,
                golfer: None,
                records: 0,
                last: None,
                damage: None,
                trouble: Some(e),
            }),
        }
    }

    /// The bytes of a book, read while nobody adds to it.
    fn read(&self, key: &GolferKey) -> Result<Vec<u8>, BookError> {
        let place = self.place(key);
        let missing = || BookError::Missing {
            path: place.path.clone(),
        };
        let mut file = place
            .lock(Access::Read, Hold::Shared)?
            .ok_or_else(missing)?;
        let bytes = place.read(&mut file);
        BookPlace::<S>::unlock(&mut file);
        bytes
    }

    /// Reads everything and reports; changes nothing.
    ///
    /// # Errors
    /// [`BookError::Missing`] without a book, and what reading can bring.
    pub fn verify(&self, key: &GolferKey) -> Result<Verified, BookError> {
        let bytes = self.read(key)?;
        let scan = line::scan(&bytes);
        let whole = line::salvage(&bytes).records.len();
        let records: Vec<&Record> = scan.records.iter().map(|placed| &placed.record).collect();
        let mut kinds: Vec<(String, u64)> = Vec::new();
        let mut clock_back = Vec::new();
        let mut before: Option<Moment> = None;
        for record in &records {
            match kinds.iter_mut().find(|(kind, _)| kind == record.kind()) {
                Some((_, n)) => *n += 1,
                None => kinds.push((record.kind().to_owned(), 1)),
            }
            if record.at.is_some_and(|at| before.is_some_and(|b| at < b)) {
                clock_back.push(record.seq);
            }
            before = record.at.or(before);
        }
        kinds.sort();
        let newer = records
            .iter()
            .filter(|r| matches!(r.content, Content::Newer { .. }));
        Ok(Verified {
            path: self.place(key).path,
            bytes: bytes.len() as u64,
            kinds,
            newer: newer.map(|r| r.seq).collect(),
            clock_back,
            last_good: records.iter().rev().find_map(|r| r.at),
            damage: scan.damage,
            after_damage: (whole - records.len()) as u64,
            side_files: self.side_files(key)?,
        })
    }

    /// Makes a whole book out of a damaged one: every whole record keeps its number, a `lost` record
    /// stands where one is gone, and the damaged original stays as a side file.
    ///
    /// # Errors
    /// [`BookError::Missing`] without a book, and what reading and writing can bring; the book is
    /// then as it was or repaired, never in between.
    pub fn repair(&self, key: &GolferKey, at: Moment) -> Result<Repaired, BookError> {
        self.rewrite(key, |place, bytes| {
            let found = line::salvage(bytes);
            let Some(first) = found.damage.first() else {
                let records = found.records.len() as u64;
                return Ok((
                    None,
                    Repaired {
                        kept: None,
                        records,
                        lost: Vec::new(),
                    },
                ));
            };
            let mut whole = Vec::new();
            let mut lost: Vec<u64> = Vec::new();
            let mut due = 0;
            let mut records = 0;
            for placed in &found.records {
                // A number far ahead of all others is no gap but a stray line.
                if placed.record.seq < due || placed.record.seq - due > MOST_LOST {
                    continue;
                }
                let trouble = found
                    .damage
                    .iter()
                    .rev()
                    .find(|d| d.offset < placed.offset as u64);
                let offset = trouble.unwrap_or(first).offset;
                for seq in due..placed.record.seq {
                    let stand_in = Record::new(seq, at, &Entry::Lost(Lost { offset }))
                        .map_err(|_| BookError::NoText)?;
                    whole.extend(line::encode(seq, stand_in.text()));
                    lost.push(seq);
                }
                whole.extend(line::encode(placed.record.seq, placed.record.text()));
                due = placed.record.seq + 1;
                records += 1;
            }
            let kept = place.keep_aside("damaged", bytes)?;
            Ok((
                Some(whole),
                Repaired {
                    kept: Some(kept),
                    records,
                    lost,
                },
            ))
        })
    }

    /// Reads a book under its lock and puts what `make` gives in its place.
    fn rewrite<R>(
        &self,
        key: &GolferKey,
        make: impl FnOnce(&BookPlace<S>, &[u8]) -> Result<(Option<Vec<u8>>, R), BookError>,
    ) -> Result<R, BookError> {
        let place = self.place(key);
        let missing = || BookError::Missing {
            path: place.path.clone(),
        };
        let mut file = place
            .lock(Access::Write, Hold::Alone)?
            .ok_or_else(missing)?;
        let done = place.read(&mut file).and_then(|bytes| {
            let (new, result) = make(&place, &bytes)?;
            if let Some(new) = new {
                place.replace(&new)?;
            }
            Ok(result)
        });
        BookPlace::<S>::unlock(&mut file);
        done
    }

    /// The book as text to carry elsewhere: its whole records, frames and all.
    ///
    /// # Errors
    /// [`BookError::ReadOnly`] if it is damaged in the middle: repair it first.
    pub fn export(&self, key: &GolferKey) -> Result<Vec<u8>, BookError> {
        let mut bytes = self.read(key)?;
        let scan = line::scan(&bytes);
        if let Some(
            damage @ Damage {
                place: Place::Inside { .. },
                ..
            },
        ) = scan.damage
        {
            let why = ReadOnly::Damaged(damage);
            return Err(BookError::ReadOnly {
                path: self.place(key).path,
                why,
            });
        }
        bytes.truncate(scan.end);
        Ok(bytes)
    }

    /// Brings in an exported book under the name it was opened with.
    ///
    /// # Errors
    /// [`BookError::DamagedImport`] and [`BookError::NotABook`] for what is no whole book,
    /// [`BookError::Exists`] if there is one already; then nothing changed.
    pub fn import(&self, bytes: &[u8]) -> Result<GolferKey, BookError> {
        let scan = line::scan(bytes);
        if let Some(damage) = scan.damage {
            return Err(BookError::DamagedImport { damage });
        }
        let first = scan
            .records
            .first()
            .and_then(|placed| golfer(&placed.record));
        let key = GolferKey::of_name(first.ok_or(BookError::NotABook)?);
        self.make_folder()?;
        let place = self.place(&key);
        // An empty file holds the name, so that nobody begins a book meanwhile.
        match self.storage.open(&place.path, Access::New) {
            Ok(_) => {}
            Err(e) if e.kind() == ErrorKind::AlreadyExists => {}
            Err(e) => return Err(BookError::io(Act::Open, &place.path)(e)),
        }
        self.rewrite(&key, |place, there| {
            if there.is_empty() {
                Ok((Some(bytes.to_vec()), ()))
            } else {
                Err(BookError::Exists {
                    path: place.path.clone(),
                })
            }
        })?;
        Ok(key)
    }

    /// Removes a golfer's book and its side files.
    ///
    /// # Errors
    /// What removing can bring; the book itself goes last, so that forgetting can be tried again.
    pub fn forget(&self, key: &GolferKey) -> Result<Forgot, BookError> {
        let place = self.place(key);
        let file = place.lock(Access::Read, Hold::Alone)?;
        let mut removed = self.side_files(key)?;
        removed.extend(file.is_some().then(|| place.path.clone()));
        let done = removed.iter().try_for_each(|path| {
            self.storage
                .remove(path)
                .map_err(BookError::io(Act::Remove, path))
        });
        if let Some(mut file) = file {
            BookPlace::<S>::unlock(&mut file);
        }
        done?;
        if !removed.is_empty() {
            place.sync_folder()?;
        }
        Ok(Forgot {
            removed,
            remaining: self.side_files(key)?,
        })
    }

    /// Wipes the content of some records for good; that there was a record, and of what kind, stays.
    ///
    /// # Errors
    /// [`BookError::NoSuchRecord`] for a number without a record and for the first record,
    /// [`BookError::ReadOnly`] if the book is damaged; then nothing changed.
    pub fn wipe(&self, key: &GolferKey, seqs: &[u64], at: Moment) -> Result<Forgot, BookError> {
        self.rewrite(key, |place, bytes| {
            let scan = line::scan(bytes);
            if let Some(damage) = scan.damage {
                let why = ReadOnly::Damaged(damage);
                return Err(BookError::ReadOnly {
                    path: place.path.clone(),
                    why,
                });
            }
            let count = scan.records.len() as u64;
            if let Some(&record) = seqs.iter().find(|&&seq| seq == 0 || seq >= count) {
                return Err(BookError::NoSuchRecord { record });
            }
            let mut whole = Vec::new();
            for Record {
                seq,
                at: then,
                text,
                content,
            } in scan.records.iter().map(|p| &p.record)
            {
                if seqs.contains(seq) {
                    let was = match content {
                        Content::Known(entry) => entry.kind().to_owned(),
                        Content::Newer { kind } => kind.clone(),
                    };
                    let wiped = Entry::Forgotten(Wiped { was });
                    let stand_in = Record::new(*seq, then.unwrap_or(at), &wiped)
                        .map_err(|_| BookError::NoText)?;
                    whole.extend(line::encode(*seq, stand_in.text()));
                } else {
                    whole.extend(line::encode(*seq, text));
                }
            }
            Ok((Some(whole), ()))
        })?;
        Ok(Forgot {
            removed: Vec::new(),
            remaining: self.side_files(key)?,
        })
    }
}

/// More missing records than this in one place is no gap.
const MOST_LOST: u64 = 10_000;

fn golfer(record: &Record) -> Option<&str> {
    match record.entry() {
        Some(Entry::Opened(opened)) => Some(&opened.golfer),
        _ => None,
    }
}

impl<S: Storage> Book<S> {
    /// The name the book was opened with, untrusted text; None if the first record is lost.
    pub fn golfer(&self) -> Option<&str> {
        self.records().first().and_then(golfer)
    }

    /// Whether records can be added.
    pub const fn is_writable(&self) -> bool {
        !matches!(self.condition(), Condition::ReadOnly(_)) && !self.is_poisoned()
    }
}
