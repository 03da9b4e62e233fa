//! What the lesson book asks of a file system, and the real one.
//!
//! The two traits hold exactly the steps whose failure, half-completion or reordering the book has to
//! survive, so that a test can fail each of them in turn; [`Disk`] does them on the machine's files.
//! Nothing here knows what is stored.
//!
//! Invariants of an implementation: [`StoredFile::write_at`] hands over all bytes in one go or
//! reports an error; nothing written counts as kept before a sync of the file returned, nor a new or
//! renamed name before a sync of its folder; new files are private to the user.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Read as _, Seek as _, SeekFrom, Write as _};
use std::path::Path;
use std::thread;
use std::time::Duration;

/// What stands under a path, without following a link.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Found {
    /// Nothing.
    Nothing,
    /// A plain file.
    File,
    /// A folder.
    Folder,
    /// A link, a device or anything else.
    Other,
}

/// What a file is opened for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Access {
    /// Reading only.
    Read,
    /// Reading and writing a file that is there.
    Write,
    /// Reading and writing a file that must not be there yet; private to the user.
    New,
}

/// Files and folders.
pub trait Storage: Clone {
    /// An open file.
    type File: StoredFile;

    /// What stands under this path.
    ///
    /// # Errors
    /// As the system reports them.
    fn found(&self, path: &Path) -> io::Result<Found>;

    /// Makes one folder, private to the user; its parent must be there.
    ///
    /// # Errors
    /// As the system reports them.
    fn make_folder(&self, path: &Path) -> io::Result<()>;

    /// The names in a folder, sorted.
    ///
    /// # Errors
    /// As the system reports them.
    fn names(&self, folder: &Path) -> io::Result<Vec<String>>;

    /// Opens a file.
    ///
    /// # Errors
    /// As the system reports them.
    fn open(&self, path: &Path, access: Access) -> io::Result<Self::File>;

    /// Puts a file under another name, replacing what was there in one step.
    ///
    /// # Errors
    /// As the system reports them.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Removes a file.
    ///
    /// # Errors
    /// As the system reports them.
    fn remove(&self, path: &Path) -> io::Result<()>;

    /// Returns once the names in this folder are kept.
    ///
    /// # Errors
    /// As the system reports them.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;
}

/// An open file.
pub trait StoredFile {
    /// Everything in it.
    ///
    /// # Errors
    /// As the system reports them.
    fn read_all(&mut self) -> io::Result<Vec<u8>>;

    /// Its length in bytes.
    ///
    /// # Errors
    /// As the system reports them.
    fn length(&mut self) -> io::Result<u64>;

    /// Writes these bytes from this offset.
    ///
    /// # Errors
    /// As the system reports them; then any part of the bytes may have been written.
    fn write_at(&mut self, offset: u64, bytes: &[u8]) -> io::Result<()>;

    /// Cuts the file off after this many bytes.
    ///
    /// # Errors
    /// As the system reports them.
    fn truncate(&mut self, length: u64) -> io::Result<()>;

    /// Returns once content and length are kept.
    ///
    /// # Errors
    /// As the system reports them; then nothing may be assumed of what was written since the last
    /// sync that returned, not even after a later sync that returns.
    fn sync(&mut self) -> io::Result<()>;

    /// Keeps other handles of this file out, waiting for them for at most this long. False if they
    /// did not let go.
    ///
    /// # Errors
    /// As the system reports them.
    fn lock(&mut self, hold: Hold, patience: Duration) -> io::Result<bool>;

    /// Lets others in again.
    ///
    /// # Errors
    /// As the system reports them.
    fn unlock(&mut self) -> io::Result<()>;

    /// Whether this path still leads to this very file.
    ///
    /// # Errors
    /// As the system reports them.
    fn is_at(&mut self, path: &Path) -> io::Result<bool>;
}

/// Whom a lock keeps out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// Other writers.
    Shared,
    /// Everybody.
    Alone,
}

/// The machine's file system.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Disk;

/// How long to sleep between two tries for a lock.
const BETWEEN_TRIES: Duration = Duration::from_millis(10);

impl Storage for Disk {
    type File = File;

    fn found(&self, path: &Path) -> io::Result<Found> {
        match fs::symlink_metadata(path) {
            Ok(there) if there.is_file() => Ok(Found::File),
            Ok(found) if found.is_dir() => Ok(Found::Folder),
            Ok(_) => Ok(Found::Other),
            Err(e) if e.kind() == ErrorKind::NotFound => Ok(Found::Nothing),
            Err(e) => Err(e),
        }
    }

    fn make_folder(&self, path: &Path) -> io::Result<()> {
        #[cfg_attr(not(unix), expect(unused_mut, reason = "only this system has modes"))]
        let mut builder = fs::DirBuilder::new();
        #[cfg(unix)]
        std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
        builder.create(path)
    }

    fn names(&self, folder: &Path) -> io::Result<Vec<String>> {
        let mut names = Vec::new();
        for entry in fs::read_dir(folder)? {
            // A name that is not text is none of ours.
            if let Ok(name) = entry?.file_name().into_string() {
                names.push(name);
            }
        }
        names.sort();
        Ok(names)
    }

    fn open(&self, path: &Path, access: Access) -> io::Result<File> {
        let mut options = OpenOptions::new();
        options
            .read(true)
            .write(access != Access::Read)
            .create_new(access == Access::New);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        options.open(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        if cfg!(unix) {
            File::open(folder)?.sync_all()
        } else {
            Ok(())
        }
    }
}

impl StoredFile for File {
    fn read_all(&mut self) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        self.seek(SeekFrom::Start(0))?;
        self.read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    fn length(&mut self) -> io::Result<u64> {
        Ok(self.metadata()?.len())
    }

    fn write_at(&mut self, offset: u64, bytes: &[u8]) -> io::Result<()> {
        self.seek(SeekFrom::Start(offset))?;
        self.write_all(bytes)
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        self.set_len(length)
    }

    fn sync(&mut self) -> io::Result<()> {
        // Content and whatever is needed to read it back, which the length is.
        self.sync_data()
    }

    fn lock(&mut self, hold: Hold, patience: Duration) -> io::Result<bool> {
        let mut waited = Duration::ZERO;
        loop {
            let tried = match hold {
                Hold::Shared => self.try_lock_shared(),
                Hold::Alone => self.try_lock(),
            };
            match tried {
                Ok(()) => return Ok(true),
                Err(TryLockError::WouldBlock) if waited >= patience => return Ok(false),
                Err(TryLockError::WouldBlock) => {
                    thread::sleep(BETWEEN_TRIES);
                    waited += BETWEEN_TRIES;
                }
                Err(TryLockError::Error(e)) => return Err(e),
            }
        }
    }

    fn unlock(&mut self) -> io::Result<()> {
        Self::unlock(self)
    }

    fn is_at(&mut self, path: &Path) -> io::Result<bool> {
        let there = match fs::symlink_metadata(path) {
            Ok(found) => found,
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(false),
            Err(e) => return Err(e),
        };
        Ok(same_file(&self.metadata()?, &there))
    }
}

#[cfg(unix)]
fn same_file(one: &fs::Metadata, other: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    (one.dev(), one.ino()) == (other.dev(), other.ino())
}

/// Where files have no number, an open file cannot be replaced either.
#[cfg(not(unix))]
fn same_file(_: &fs::Metadata, other: &fs::Metadata) -> bool {
    other.is_file()
}
