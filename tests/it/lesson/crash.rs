//! Every step failed, halved, belied or made the last one: nothing acknowledged is lost, nothing is
//! invented, and the order of steps that this rests on.

use std::io::ErrorKind;

use super::faults::{Fault, Faulty};
use super::{ann, ann_path, at, lessons, note, notes_on, right_handed, with_notes};
use swingwhy::lesson::BookError;

/// What was tried and what was acknowledged.
#[derive(Debug, Default)]
struct Talk {
    begun: bool,
    tried: Vec<String>,
    acknowledged: Vec<String>,
}

/// How a talk goes on after a record was not saved.
#[derive(Debug, Clone, Copy, PartialEq)]
enum After {
    Reopen,
    StartAgain,
}

/// Begins a book and adds four notes, trying on after each failure.
fn talk(disk: &Faulty, after: After) -> Talk {
    let mut talk = Talk::default();
    let mut book = None;
    for n in 0..6 {
        if disk.is_dark() {
            break;
        }
        if book.is_none() {
            book = lessons(disk.clone())
                .open_or_begin("ann", at(0), right_handed())
                .ok();
            // Later tries may find a beginning that was never acknowledged.
            talk.begun |= n == 0 && book.is_some();
        }
        let Some(open) = &mut book else { continue };
        let text = format!("note {n} of some length");
        talk.tried.push(text.clone());
        match open.append(at(n), &note(&text)) {
            Ok(_) => {
                talk.acknowledged.push(text);
                talk.begun = true;
            }
            Err(BookError::NotSaved { .. }) => {
                assert!(open.is_poisoned());
                let refused = open.append(at(n), &note("while poisoned"));
                assert!(
                    matches!(refused, Err(BookError::Poisoned { .. })),
                    "{refused:?}"
                );
                let reopened = after == After::Reopen && open.reopen().is_ok();
                if !reopened {
                    book = None;
                }
            }
            Err(_) => book = None,
        }
    }
    talk
}

/// What is on the disk holds everything acknowledged, in order, and nothing that was not tried.
#[track_caller]
fn holds(disk: &Faulty, talk: &Talk, what: &str) {
    let notes = notes_on(disk);
    if talk.begun {
        assert!(notes.is_some(), "{what}: the book itself is gone");
    }
    let notes = notes.unwrap_or_default();
    let mut rest = notes.iter();
    for text in &talk.acknowledged {
        assert!(
            rest.any(|n| n == text),
            "{what}: lost {text:?} of {talk:?}; there are {notes:?}"
        );
    }
    let mut tried = talk.tried.iter();
    for text in &notes {
        assert!(
            tried.any(|n| n == text),
            "{what}: invented {text:?}; tried {talk:?}"
        );
    }
}

const KINDS: [Fault; 7] = [
    Fault::Refuse(ErrorKind::StorageFull),
    Fault::Part(0),
    Fault::Part(1),
    Fault::Part(30),
    Fault::Part(100_000),
    Fault::DoneButRefused,
    Fault::PowerCut,
];

fn undisturbed_steps() -> usize {
    let disk = Faulty::default();
    talk(&disk, After::Reopen);
    disk.steps()
}

#[test]
fn one_failure_at_any_step_loses_nothing_acknowledged() {
    let steps = undisturbed_steps();
    assert!(steps > 15, "the talk does something: {steps}");
    for step in 0..steps + 4 {
        for fault in KINDS {
            for after in [After::Reopen, After::StartAgain] {
                let disk = Faulty::with_faults(&[(step, fault)]);
                let talk = talk(&disk, after);
                let what = format!("step {step}, {fault:?}, {after:?}");
                if fault != Fault::PowerCut {
                    assert!(talk.acknowledged.len() >= 4, "{what}: {talk:?}");
                    holds(&disk.then_faults(&[]), &talk, &what);
                }
                for (i, left) in disk.after_power_cut().iter().enumerate() {
                    holds(left, &talk, &format!("{what}, disk {i} left by the cut"));
                }
            }
        }
    }
}

/// Two failures near each other: the second hits the taking back, the reopening or the next try.
#[test]
fn two_failures_lose_nothing_acknowledged() {
    let kinds = [
        Fault::Refuse(ErrorKind::Other),
        Fault::Part(30),
        Fault::DoneButRefused,
        Fault::PowerCut,
    ];
    for first in 0..undisturbed_steps() {
        for second in first + 1..first + 9 {
            for one in &kinds[..3] {
                for other in kinds {
                    for after in [After::Reopen, After::StartAgain] {
                        let disk = Faulty::with_faults(&[(first, *one), (second, other)]);
                        let talk = talk(&disk, after);
                        let what = format!("{one:?} at {first}, {other:?} at {second}, {after:?}");
                        if other != Fault::PowerCut {
                            holds(&disk.then_faults(&[]), &talk, &what);
                        }
                        for (i, left) in disk.after_power_cut().iter().enumerate() {
                            holds(left, &talk, &format!("{what}, disk {i} left by the cut"));
                        }
                    }
                }
            }
        }
    }
}

/// The recovered book takes new records, and a second power cut cannot take those.
#[test]
fn a_recovered_book_goes_on() {
    for step in 0..undisturbed_steps() {
        let disk = Faulty::with_faults(&[(step, Fault::PowerCut)]);
        let before = talk(&disk, After::Reopen);
        for left in disk.after_power_cut() {
            let mut after = talk(&left, After::Reopen);
            after.begun |= before.begun;
            after.acknowledged.splice(0..0, before.acknowledged.clone());
            after.tried.splice(0..0, before.tried.clone());
            for again in left.after_power_cut() {
                holds(&again, &after, &format!("step {step}"));
            }
        }
    }
}

#[test]
fn a_record_reported_as_not_saved_is_taken_back() {
    let disk = with_notes(&["kept"]);
    let mut book = lessons(disk.clone()).open(&ann()).unwrap().unwrap();
    book.append(at(1), &note("also kept")).unwrap();
    let before = disk.content(&ann_path()).unwrap();
    let failing = disk.then_faults(&[(1, Fault::Refuse(ErrorKind::Other))]);
    let mut book = lessons(failing.clone()).open(&ann()).unwrap().unwrap();
    let failed = book.append(at(2), &note("not kept"));
    assert!(
        matches!(failed, Err(BookError::NotSaved { record: 3, .. })),
        "{failed:?}"
    );
    assert_eq!(failing.content(&ann_path()).unwrap(), before);
}

#[test]
fn a_record_is_written_and_synced_before_it_is_acknowledged() {
    let disk = Faulty::default();
    let mut book = lessons(disk.clone())
        .open_or_begin("ann", at(0), right_handed())
        .unwrap();
    assert_eq!(
        disk.take_log(),
        [
            "make folder shelf",
            "sync folder ",
            "make folder books",
            "sync folder shelf",
            "make folder swingwhy",
            "sync folder books",
            "make g-ann.book",
            "write",
            "sync",
            "sync folder swingwhy",
        ]
    );
    book.append(at(1), &note("one")).unwrap();
    assert_eq!(disk.take_log(), ["write", "sync"]);
}

type Act = fn(&Faulty) -> Result<(), BookError>;

/// Repair and wiping put a whole new book in the place of the old: at every failure there is one or
/// the other, and trying again ends well.
#[test]
fn replacing_a_book_is_all_or_nothing() {
    let old = with_notes(&["one", "two", "three"]);
    let whole = old.content(&ann_path()).unwrap();
    let mut harmed = whole.clone();
    let place = harmed.windows(5).position(|w| w == b"\"two\"").unwrap();
    harmed[place + 1] = b'T';
    let wipe: Act = |disk| lessons(disk.clone()).wipe(&ann(), &[2], at(9)).map(drop);
    let repair: Act = |disk| lessons(disk.clone()).repair(&ann(), at(9)).map(drop);
    for (act, start) in [(wipe, &whole), (repair, &harmed)] {
        let done = Faulty::holding(&ann_path(), start);
        act(&done).unwrap();
        let result = done.content(&ann_path()).unwrap();
        assert_ne!(&result, start);
        for step in 0..done.steps() {
            for fault in KINDS {
                let disk = Faulty::holding(&ann_path(), start).then_faults(&[(step, fault)]);
                assert!(act(&disk).is_err(), "step {step}, {fault:?}");
                let mut left = disk.after_power_cut();
                left.push(disk.then_faults(&[]));
                for disk in left {
                    let there = disk.content(&ann_path()).unwrap();
                    assert!(there == *start || there == result, "step {step}, {fault:?}");
                    if there == *start {
                        act(&disk).unwrap();
                        assert_eq!(disk.content(&ann_path()).unwrap(), result);
                    }
                }
            }
        }
    }
}

#[test]
fn bringing_in_a_book_is_all_or_nothing() {
    let book = with_notes(&["one", "two"]).content(&ann_path()).unwrap();
    let done = Faulty::default();
    lessons(done.clone()).import(&book).unwrap();
    for step in 0..done.steps() {
        for fault in KINDS {
            let disk = Faulty::with_faults(&[(step, fault)]);
            lessons(disk.clone()).import(&book).unwrap_err();
            for left in disk.after_power_cut() {
                let notes = notes_on(&left);
                assert!(
                    notes.is_none() || notes.unwrap() == ["one", "two"],
                    "{step}, {fault:?}"
                );
            }
        }
    }
}
