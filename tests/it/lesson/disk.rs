//! The real file system: private files, things in the way, no permission, two talks at once.

use std::fs;
use std::path::PathBuf;
use std::time::Duration;

use super::{at, note, right_handed};
use swingwhy::lesson::{
    BookError, Condition, Disk, Entry, Facts, Found, GolferKey, Hold, Lessons, Storage as _,
    StoredFile,
};

/// A folder of its own for this test, not there yet.
fn fresh(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
        .join("lesson")
        .join(name);
    drop(fs::remove_dir_all(&folder));
    folder
}

fn notes(lessons: &Lessons, key: &GolferKey) -> Vec<String> {
    let book = lessons.open(key).unwrap().unwrap();
    let texts = book.records().iter().filter_map(|r| match r.entry() {
        Some(Entry::Note(note)) => Some(note.text.clone()),
        _ => None,
    });
    texts.collect()
}

#[cfg(unix)]
#[test]
fn folders_and_files_are_private() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = fresh("private").join("data").join("swingwhy");
    let lessons = Lessons::in_folder(&folder);
    let mut book = lessons.open_or_begin("ann", at(0), right_handed()).unwrap();
    book.append(at(1), &note("one")).unwrap();
    let key = GolferKey::of_name("ann");
    fs::OpenOptions::new()
        .append(true)
        .open(book.path())
        .map(|mut f| std::io::Write::write_all(&mut f, b"torn").unwrap())
        .unwrap();
    lessons.open(&key).unwrap();
    lessons.wipe(&key, &[1], at(2)).unwrap();
    let mode = |path: &std::path::Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&folder), 0o700);
    assert_eq!(mode(folder.parent().unwrap()), 0o700);
    let files: Vec<PathBuf> = fs::read_dir(&folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    assert_eq!(files.len(), 2, "the book and its torn end: {files:?}");
    for file in files {
        assert_eq!(mode(&file), 0o600, "{file:?}");
    }
}

#[cfg(unix)]
#[test]
fn things_in_the_way_are_named() {
    let folder = fresh("in-the-way");
    fs::create_dir_all(folder.join("g-dir.book")).unwrap();
    std::os::unix::fs::symlink("/etc/passwd", folder.join("g-link.book")).unwrap();
    std::os::unix::fs::symlink("g-loop.book", folder.join("g-loop.book")).unwrap();
    let lessons = Lessons::in_folder(&folder);
    for (name, found) in [
        ("dir", Found::Folder),
        ("link", Found::Other),
        ("loop", Found::Other),
    ] {
        let error = lessons.open(&GolferKey::of_name(name)).unwrap_err();
        let path = folder.join(format!("g-{name}.book"));
        assert_eq!(error, BookError::InTheWay { path, found });
        let error = lessons
            .open_or_begin(name, at(0), Facts::default())
            .unwrap_err();
        assert!(matches!(error, BookError::InTheWay { .. }));
    }
    assert_eq!(
        lessons
            .list()
            .unwrap()
            .iter()
            .filter(|l| l.trouble.is_some())
            .count(),
        3
    );
    let file = folder.join("file");
    fs::write(&file, "").unwrap();
    let inside = Lessons::in_folder(file.join("swingwhy"));
    let error = inside
        .open_or_begin("ann", at(0), Facts::default())
        .unwrap_err();
    assert!(
        matches!(error, BookError::Io { .. } | BookError::InTheWay { .. }),
        "{error:?}"
    );
}

#[cfg(unix)]
#[test]
fn without_permission_a_book_can_be_read() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = fresh("read-only");
    let lessons = Lessons::in_folder(&folder);
    let mut book = lessons.open_or_begin("ann", at(0), right_handed()).unwrap();
    book.append(at(1), &note("one")).unwrap();
    fs::set_permissions(book.path(), fs::Permissions::from_mode(0o400)).unwrap();
    if fs::OpenOptions::new().write(true).open(book.path()).is_ok() {
        println!("skipped: this user may write whatever the file's mode says");
        return;
    }
    let mut book = lessons.open(&GolferKey::of_name("ann")).unwrap().unwrap();
    assert!(matches!(book.condition(), Condition::ReadOnly(_)));
    assert_eq!(book.records().len(), 2);
    assert!(matches!(
        book.append(at(2), &note("two")),
        Err(BookError::ReadOnly { .. })
    ));
}

#[test]
fn two_talks_at_once_lose_nothing() {
    let folder = fresh("two-talks");
    let key = GolferKey::of_name("ann");
    let writer = |letter: &'static str| {
        let folder = folder.clone();
        std::thread::spawn(move || {
            let lessons = Lessons::in_folder(folder).with_patience(Duration::from_secs(60));
            let mut book = lessons
                .open_or_begin("ann", at(0), Facts::default())
                .unwrap();
            for n in 0..40 {
                book.append(at(n), &note(&format!("{letter}{n}"))).unwrap();
            }
        })
    };
    for thread in [writer("a"), writer("b"), writer("c")] {
        thread.join().unwrap();
    }
    let all = notes(&Lessons::in_folder(&folder), &key);
    assert_eq!(all.len(), 120);
    for letter in ["a", "b", "c"] {
        let own: Vec<&String> = all.iter().filter(|text| text.starts_with(letter)).collect();
        let wanted: Vec<String> = (0..40).map(|n| format!("{letter}{n}")).collect();
        assert!(
            own.iter().copied().eq(wanted.iter()),
            "in the order said: {own:?}"
        );
    }
}

#[test]
fn a_book_held_by_another_talk_is_reported_and_nothing_is_lost() {
    let folder = fresh("busy");
    let lessons = Lessons::in_folder(&folder).with_patience(Duration::from_millis(30));
    let mut book = lessons.open_or_begin("ann", at(0), right_handed()).unwrap();
    let mut other = Disk
        .open(book.path(), swingwhy::lesson::Access::Read)
        .unwrap();
    assert!(StoredFile::lock(&mut other, Hold::Alone, Duration::ZERO).unwrap());
    assert!(matches!(
        book.append(at(1), &note("one")),
        Err(BookError::Busy { .. })
    ));
    assert!(matches!(
        lessons.open(&GolferKey::of_name("ann")),
        Err(BookError::Busy { .. })
    ));
    other.unlock().unwrap();
    assert_eq!(book.append(at(1), &note("one")).unwrap(), 1);
    assert_eq!(notes(&lessons, &GolferKey::of_name("ann")), ["one"]);
}
