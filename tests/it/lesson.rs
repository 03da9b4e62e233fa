//! The lesson book: what is kept through every failure, what is said of damage, what a verdict rests
//! on. Published values of the statistics are beside the statistics, in `src/lesson/statistics.rs`.

mod book;
mod crash;
mod damage;
mod disk;
mod faults;
mod progress;
mod sitting;
mod verdict;

use std::path::PathBuf;
use std::time::Duration;

use faults::Faulty;
use swingwhy::lesson::{Entry, Facts, GolferKey, Lessons, Moment, Note};
use swingwhy::vocabulary::Hand;

/// 5 April 2026, 16:30 UTC, and so many seconds later.
fn at(seconds: i64) -> Moment {
    Moment::from_unix_seconds(1_775_406_600 + seconds)
}

fn note(text: &str) -> Entry {
    Entry::Note(Note {
        text: text.to_owned(),
    })
}

fn right_handed() -> Facts {
    Facts {
        hand: Some(Hand::Right),
        clubs: vec!["7-iron".to_owned()],
        answers: Vec::new(),
    }
}

fn lessons(storage: Faulty) -> Lessons<Faulty> {
    Lessons::with_storage("/shelf/books/swingwhy", storage).with_patience(Duration::ZERO)
}

fn ann() -> GolferKey {
    GolferKey::of_name("ann")
}

fn ann_path() -> PathBuf {
    PathBuf::from("/shelf/books/swingwhy/g-ann.book")
}

/// A book with its first record and these notes.
fn with_notes(texts: &[&str]) -> Faulty {
    let disk = Faulty::default();
    let mut book = lessons(disk.clone())
        .open_or_begin("ann", at(0), right_handed())
        .unwrap();
    for (text, seconds) in texts.iter().zip(1..) {
        book.append(at(seconds), &note(text)).unwrap();
    }
    disk
}

/// The texts of the notes in a book on this disk; None without a book.
fn notes_on(disk: &Faulty) -> Option<Vec<String>> {
    let book = lessons(disk.clone()).open(&ann()).unwrap()?;
    let texts = book
        .records()
        .iter()
        .filter_map(|record| match record.entry() {
            Some(Entry::Note(note)) => Some(note.text.clone()),
            _ => None,
        });
    Some(texts.collect())
}
