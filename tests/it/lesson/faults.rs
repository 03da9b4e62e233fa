//! A file system in memory whose every step can fail, stop half-way, lie or be the last before the
//! power goes, with a log of the steps and all the disks that a power cut could leave.
//!
//! Model: what programs see and what is kept are two things. A write, a cut or a new name is pending
//! until a sync of the file or folder returns. A power cut leaves what was kept plus any subset of
//! what is pending, a write also in part. A failed sync leaves its writes visible and never kept
//! (they are no longer pending): the behaviour measured by Rebello et al. 2020 on three systems.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Duration;

use swingwhy::lesson::{Access, Found, Hold, Storage, StoredFile};

/// What goes wrong at the chosen step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fault {
    /// Nothing is done and an error reported.
    Refuse(ErrorKind),
    /// A write does this many of its bytes and reports an error; other steps are refused.
    Part(usize),
    /// The step is done and an error reported all the same.
    DoneButRefused,
    /// The power goes before the step, and everything after it is refused.
    PowerCut,
}

#[derive(Debug, Clone)]
enum Change {
    Write { offset: usize, bytes: Vec<u8> },
    Truncate(usize),
}

impl Change {
    fn apply(&self, content: &mut Vec<u8>) {
        match self {
            Self::Write { offset, bytes } => {
                let end = offset + bytes.len();
                if content.len() < end {
                    content.resize(end, 0);
                }
                content[*offset..end].copy_from_slice(bytes);
            }
            Self::Truncate(length) => content.resize(*length, 0),
        }
    }
}

#[derive(Debug, Clone, Default)]
struct Node {
    seen: Vec<u8>,
    kept: Vec<u8>,
    pending: Vec<Change>,
    locked_by: Option<u64>,
}

#[derive(Debug, Clone)]
enum Naming {
    Name(PathBuf, Option<usize>),
    Move(PathBuf, PathBuf),
}

impl Naming {
    fn folder(&self) -> &Path {
        match self {
            Self::Name(path, _) | Self::Move(path, _) => path.parent().unwrap(),
        }
    }

    fn apply(&self, names: &mut BTreeMap<PathBuf, usize>) {
        match self {
            Self::Name(path, Some(node)) => {
                names.insert(path.clone(), *node);
            }
            Self::Name(path, None) => {
                names.remove(path);
            }
            Self::Move(from, to) => {
                if let Some(node) = names.remove(from) {
                    names.insert(to.clone(), node);
                }
            }
        }
    }
}

#[derive(Debug, Clone, Default)]
struct World {
    nodes: Vec<Node>,
    seen: BTreeMap<PathBuf, usize>,
    kept: BTreeMap<PathBuf, usize>,
    pending: Vec<Naming>,
    folders: Vec<PathBuf>,
    steps: usize,
    faults: Vec<(usize, Fault)>,
    dark: bool,
    log: Vec<String>,
    handles: u64,
}

/// The file system.
#[derive(Debug, Clone, Default)]
pub(crate) struct Faulty(Rc<RefCell<World>>);

/// An open file of it.
#[derive(Debug)]
pub(crate) struct Handle {
    world: Rc<RefCell<World>>,
    node: usize,
    id: u64,
    writable: bool,
}

enum Step {
    Do,
    Part(usize),
    DoAndRefuse,
}

impl World {
    /// Counts a step that changes something and says how it goes.
    fn step(&mut self, what: String) -> io::Result<Step> {
        if self.dark {
            return Err(io::Error::other("dark"));
        }
        let number = self.steps;
        self.steps += 1;
        self.log.push(what);
        match self.faults.iter().find(|(at, _)| *at == number).copied() {
            None => Ok(Step::Do),
            Some((_, Fault::Refuse(kind))) => Err(kind.into()),
            Some((_, Fault::Part(bytes))) => Ok(Step::Part(bytes)),
            Some((_, Fault::DoneButRefused)) => Ok(Step::DoAndRefuse),
            Some((_, Fault::PowerCut)) => {
                self.dark = true;
                Err(io::Error::other("dark"))
            }
        }
    }

    fn name(path: &Path) -> String {
        path.file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned()
    }

    /// Does a step that is done whole or not at all.
    fn whole(&mut self, what: String, act: impl FnOnce(&mut Self)) -> io::Result<()> {
        match self.step(what)? {
            Step::Do => {
                act(self);
                Ok(())
            }
            Step::Part(_) => Err(ErrorKind::StorageFull.into()),
            Step::DoAndRefuse => {
                act(self);
                Err(ErrorKind::Other.into())
            }
        }
    }
}

impl Faulty {
    /// Empty, with faults at some steps, counted from 0 over everything that changes the disk.
    pub(crate) fn with_faults(faults: &[(usize, Fault)]) -> Self {
        Self::default().then_faults(faults)
    }

    /// A copy with faults at some steps from here on.
    pub(crate) fn then_faults(&self, faults: &[(usize, Fault)]) -> Self {
        let mut world = self.0.borrow().clone();
        world.steps = 0;
        world.dark = false;
        world.faults = faults.to_vec();
        world
            .nodes
            .iter_mut()
            .for_each(|node| node.locked_by = None);
        Self(Rc::new(RefCell::new(world)))
    }

    /// Whether the power went.
    pub(crate) fn is_dark(&self) -> bool {
        self.0.borrow().dark
    }

    /// Steps so far.
    pub(crate) fn steps(&self) -> usize {
        self.0.borrow().steps
    }

    /// The steps so far in words, emptied.
    pub(crate) fn take_log(&self) -> Vec<String> {
        std::mem::take(&mut self.0.borrow_mut().log)
    }

    /// The content of a file as programs see it.
    pub(crate) fn content(&self, path: &Path) -> Option<Vec<u8>> {
        let world = self.0.borrow();
        world
            .seen
            .get(path)
            .map(|&node| world.nodes[node].seen.clone())
    }

    /// A disk that holds just this file.
    pub(crate) fn holding(path: &Path, content: &[u8]) -> Self {
        let node = Node {
            seen: content.to_vec(),
            kept: content.to_vec(),
            ..Node::default()
        };
        let names = BTreeMap::from([(path.to_path_buf(), 0)]);
        let world = World {
            nodes: vec![node],
            seen: names.clone(),
            kept: names,
            folders: path.ancestors().skip(1).map(Path::to_path_buf).collect(),
            ..World::default()
        };
        Self(Rc::new(RefCell::new(world)))
    }

    /// Every disk that a power cut at this moment could leave.
    pub(crate) fn after_power_cut(&self) -> Vec<Self> {
        let world = self.0.borrow();
        let mut names_left = Vec::new();
        for choice in subsets(world.pending.len()) {
            let mut names = world.kept.clone();
            chosen(&world.pending, choice).for_each(|naming| naming.apply(&mut names));
            names_left.push(names);
        }
        let mut nodes_left: Vec<Vec<Vec<u8>>> = vec![Vec::new()];
        for node in &world.nodes {
            let mut contents = Vec::new();
            for choice in subsets(node.pending.len()) {
                let mut content = node.kept.clone();
                chosen(&node.pending, choice).for_each(|change| change.apply(&mut content));
                contents.push(content);
            }
            // The last write in part, and the length of the rest kept while its bytes are not: what is
            // new in a file may read as zeros, what was there before is old or new.
            if let Some(Change::Write { offset, bytes }) = node.pending.last() {
                for part in [1, bytes.len() / 2, bytes.len() - 1] {
                    let mut content = node.kept.clone();
                    let (head, tail) = bytes.split_at(part);
                    Change::Write {
                        offset: *offset,
                        bytes: head.to_vec(),
                    }
                    .apply(&mut content);
                    contents.push(content.clone());
                    let end = offset + part + tail.len();
                    content.resize(end.max(content.len()), 0);
                    contents.push(content);
                }
            }
            contents.dedup();
            nodes_left = nodes_left
                .into_iter()
                .flat_map(|left| {
                    contents
                        .iter()
                        .map(move |c| [left.clone(), vec![c.clone()]].concat())
                })
                .collect();
        }
        let mut disks = Vec::new();
        for names in &names_left {
            for contents in &nodes_left {
                let nodes = contents
                    .iter()
                    .map(|c| Node {
                        seen: c.clone(),
                        kept: c.clone(),
                        ..Node::default()
                    })
                    .collect();
                let world = World {
                    nodes,
                    seen: names.clone(),
                    kept: names.clone(),
                    folders: world.folders.clone(),
                    ..World::default()
                };
                disks.push(Self(Rc::new(RefCell::new(world))));
            }
        }
        disks
    }
}

fn subsets(n: usize) -> std::ops::Range<u32> {
    assert!(n < 10, "{n} steps pending: too many to try all subsets");
    0..1 << n
}

fn chosen<T>(all: &[T], choice: u32) -> impl Iterator<Item = &T> {
    all.iter()
        .enumerate()
        .filter(move |(i, _)| choice >> i & 1 == 1)
        .map(|(_, x)| x)
}

impl Storage for Faulty {
    type File = Handle;

    fn found(&self, path: &Path) -> io::Result<Found> {
        let world = self.0.borrow();
        Ok(if world.seen.contains_key(path) {
            Found::File
        } else if world.folders.iter().any(|f| f == path) || path == Path::new("/") {
            Found::Folder
        } else {
            Found::Nothing
        })
    }

    fn make_folder(&self, path: &Path) -> io::Result<()> {
        let what = format!("make folder {}", World::name(path));
        self.0
            .borrow_mut()
            .whole(what, |world| world.folders.push(path.to_path_buf()))
    }

    fn names(&self, folder: &Path) -> io::Result<Vec<String>> {
        let world = self.0.borrow();
        let here = world
            .seen
            .keys()
            .filter(|path| path.parent() == Some(folder));
        Ok(here.map(|path| World::name(path)).collect())
    }

    fn open(&self, path: &Path, access: Access) -> io::Result<Handle> {
        let mut world = self.0.borrow_mut();
        if access == Access::New {
            if world.seen.contains_key(path) {
                return Err(ErrorKind::AlreadyExists.into());
            }
            world.whole(format!("make {}", World::name(path)), |world| {
                let node = world.nodes.len();
                world.nodes.push(Node::default());
                world.seen.insert(path.to_path_buf(), node);
                world
                    .pending
                    .push(Naming::Name(path.to_path_buf(), Some(node)));
            })?;
        }
        let node = *world.seen.get(path).ok_or(ErrorKind::NotFound)?;
        world.handles += 1;
        let id = world.handles;
        Ok(Handle {
            world: Rc::clone(&self.0),
            node,
            id,
            writable: access != Access::Read,
        })
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        let what = format!("rename {} to {}", World::name(from), World::name(to));
        self.0.borrow_mut().whole(what, |world| {
            let naming = Naming::Move(from.to_path_buf(), to.to_path_buf());
            naming.apply(&mut world.seen);
            world.pending.push(naming);
        })
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        let mut world = self.0.borrow_mut();
        if !world.seen.contains_key(path) {
            return Err(ErrorKind::NotFound.into());
        }
        world.whole(format!("remove {}", World::name(path)), |world| {
            let naming = Naming::Name(path.to_path_buf(), None);
            naming.apply(&mut world.seen);
            world.pending.push(naming);
        })
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        let what = format!("sync folder {}", World::name(folder));
        self.0.borrow_mut().whole(what, |world| {
            let all = std::mem::take(&mut world.pending);
            for naming in all {
                if naming.folder() == folder {
                    naming.apply(&mut world.kept);
                } else {
                    world.pending.push(naming);
                }
            }
        })
    }
}

impl Handle {
    fn change(&mut self, what: String, change: &Change) -> io::Result<()> {
        assert!(self.writable, "written through a handle for reading");
        let mut world = self.world.borrow_mut();
        let step = world.step(what)?;
        let done = match (step, change) {
            (Step::Do, _) => (Some(change.clone()), Ok(())),
            (Step::DoAndRefuse, _) => (Some(change.clone()), Err(ErrorKind::Other.into())),
            (Step::Part(n), Change::Write { offset, bytes }) => {
                let bytes = bytes[..n.min(bytes.len())].to_vec();
                let part = (!bytes.is_empty()).then_some(Change::Write {
                    offset: *offset,
                    bytes,
                });
                (part, Err(ErrorKind::StorageFull.into()))
            }
            (Step::Part(_), Change::Truncate(_)) => (None, Err(ErrorKind::StorageFull.into())),
        };
        if let Some(change) = done.0 {
            let node = &mut world.nodes[self.node];
            change.apply(&mut node.seen);
            node.pending.push(change);
        }
        done.1
    }
}

impl Drop for Handle {
    fn drop(&mut self) {
        let node = &mut self.world.borrow_mut().nodes[self.node];
        if node.locked_by == Some(self.id) {
            node.locked_by = None;
        }
    }
}

impl StoredFile for Handle {
    fn read_all(&mut self) -> io::Result<Vec<u8>> {
        Ok(self.world.borrow().nodes[self.node].seen.clone())
    }

    fn length(&mut self) -> io::Result<u64> {
        Ok(self.world.borrow().nodes[self.node].seen.len() as u64)
    }

    fn write_at(&mut self, offset: u64, bytes: &[u8]) -> io::Result<()> {
        let change = Change::Write {
            offset: offset as usize,
            bytes: bytes.to_vec(),
        };
        self.change("write".to_owned(), &change)
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        self.change("truncate".to_owned(), &Change::Truncate(length as usize))
    }

    fn sync(&mut self) -> io::Result<()> {
        let mut world = self.world.borrow_mut();
        let number = self.node;
        let step = world.step("sync".to_owned());
        if world.dark {
            return Err(io::Error::other("dark"));
        }
        let node = &mut world.nodes[number];
        let pending = std::mem::take(&mut node.pending);
        if matches!(step, Ok(Step::Do | Step::DoAndRefuse)) {
            for change in &pending {
                change.apply(&mut node.kept);
            }
        }
        match step? {
            Step::Do => Ok(()),
            Step::Part(_) | Step::DoAndRefuse => Err(ErrorKind::Other.into()),
        }
    }

    fn lock(&mut self, hold: Hold, _: Duration) -> io::Result<bool> {
        let node = &mut self.world.borrow_mut().nodes[self.node];
        let free = node.locked_by.is_none_or(|by| by == self.id);
        if free && hold == Hold::Alone {
            node.locked_by = Some(self.id);
        }
        Ok(free)
    }

    fn unlock(&mut self) -> io::Result<()> {
        self.world.borrow_mut().nodes[self.node].locked_by = None;
        Ok(())
    }

    fn is_at(&mut self, path: &Path) -> io::Result<bool> {
        Ok(self.world.borrow().seen.get(path) == Some(&self.node))
    }
}
