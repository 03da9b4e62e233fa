//! Books in memory: for replaying a written talk, and for anything else that must leave no file.
//!
//! Holds files by path; a clone is the same memory. Nothing fails and everything is kept at once, so
//! it says nothing about what survives a power cut. Locks are granted: one process, one talk at a time.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Duration;

use super::storage::{Access, Found, Hold, Storage, StoredFile};

type Bytes = Rc<RefCell<Vec<u8>>>;

#[derive(Debug, Default)]
struct Disk {
    files: BTreeMap<PathBuf, Bytes>,
    folders: BTreeSet<PathBuf>,
}

/// Files in memory.
#[derive(Debug, Clone, Default)]
pub struct Memory(Rc<RefCell<Disk>>);

/// An open file in memory.
#[derive(Debug)]
pub struct MemoryFile {
    bytes: Bytes,
    of: Memory,
}

fn missing() -> io::Error {
    io::Error::from(ErrorKind::NotFound)
}

impl Storage for Memory {
    type File = MemoryFile;

    fn found(&self, path: &Path) -> io::Result<Found> {
        let disk = self.0.borrow();
        Ok(if disk.files.contains_key(path) {
            Found::File
        } else if disk.folders.contains(path) {
            Found::Folder
        } else {
            Found::Nothing
        })
    }

    fn make_folder(&self, path: &Path) -> io::Result<()> {
        self.0.borrow_mut().folders.insert(path.to_path_buf());
        Ok(())
    }

    fn names(&self, folder: &Path) -> io::Result<Vec<String>> {
        let disk = self.0.borrow();
        Ok(disk
            .files
            .keys()
            .filter(|path| path.parent() == Some(folder))
            .filter_map(|path| Some(path.file_name()?.to_string_lossy().into_owned()))
            .collect())
    }

    fn open(&self, path: &Path, access: Access) -> io::Result<MemoryFile> {
        let mut disk = self.0.borrow_mut();
        let bytes = match (disk.files.get(path), access) {
            (Some(_), Access::New) => return Err(io::Error::from(ErrorKind::AlreadyExists)),
            (Some(bytes), Access::Read | Access::Write) => Rc::clone(bytes),
            (None, Access::New) => {
                let bytes = Bytes::default();
                disk.files.insert(path.to_path_buf(), Rc::clone(&bytes));
                bytes
            }
            (None, Access::Read | Access::Write) => return Err(missing()),
        };
        Ok(MemoryFile {
            bytes,
            of: self.clone(),
        })
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        let mut disk = self.0.borrow_mut();
        let bytes = disk.files.remove(from).ok_or_else(missing)?;
        disk.files.insert(to.to_path_buf(), bytes);
        Ok(())
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        let removed = self.0.borrow_mut().files.remove(path);
        removed.map(|_| ()).ok_or_else(missing)
    }

    fn sync_folder(&self, _: &Path) -> io::Result<()> {
        Ok(())
    }
}

impl StoredFile for MemoryFile {
    fn read_all(&mut self) -> io::Result<Vec<u8>> {
        Ok(self.bytes.borrow().clone())
    }

    fn length(&mut self) -> io::Result<u64> {
        Ok(self.bytes.borrow().len() as u64)
    }

    fn write_at(&mut self, offset: u64, bytes: &[u8]) -> io::Result<()> {
        let from = usize::try_from(offset).map_err(io::Error::other)?;
        let mut content = self.bytes.borrow_mut();
        let to = from.saturating_add(bytes.len());
        if content.len() < to {
            content.resize(to, 0);
        }
        if let Some(place) = content.get_mut(from..to) {
            place.copy_from_slice(bytes);
        }
        Ok(())
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        let length = usize::try_from(length).map_err(io::Error::other)?;
        self.bytes.borrow_mut().truncate(length);
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        Ok(())
    }

    fn lock(&mut self, _: Hold, _: Duration) -> io::Result<bool> {
        Ok(true)
    }

    fn unlock(&mut self) -> io::Result<()> {
        Ok(())
    }

    fn is_at(&mut self, path: &Path) -> io::Result<bool> {
        let disk = self.of.0.borrow();
        Ok(disk
            .files
            .get(path)
            .is_some_and(|bytes| Rc::ptr_eq(bytes, &self.bytes)))
    }
}
