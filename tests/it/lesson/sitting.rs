//! A talk whose disk fails in the middle: what is said, what is tried again, what is in the book.

use swingwhy::lesson::{Content, Entry, Lessons};
use swingwhy::sitting::Sitting;
use swingwhy::wording::Style;

use super::faults::{Fault, Faulty};
use super::{ann, at, lessons};
use crate::support::session;

fn said(sitting: &mut Sitting<Faulty>, line: &str, second: i64) -> String {
    sitting.line(line, at(second)).page.render(Style::default())
}

fn lines_kept(shelf: &Lessons<Faulty>) -> Vec<String> {
    let book = shelf.open(&ann()).unwrap().unwrap();
    book.records()
        .iter()
        .filter_map(|r| match &r.content {
            Content::Known(Entry::Turn(turn)) => Some(turn.said.clone()),
            _ => None,
        })
        .collect()
}

/// Whatever step of whatever line fails once, the talk goes on, the trouble is said once, every line
/// is in the book in order in the end, and none twice.
#[test]
fn a_disk_that_fails_once_costs_no_line() {
    let lines = [
        "8 iron thin, right handed",
        "it goes low too",
        "divot starts 1 in ahead",
    ];
    let whole = {
        let disk = Faulty::default();
        let mut sitting = Sitting::new(session(), Some(lessons(disk.clone())));
        sitting.open("ann", at(0));
        for (line, second) in lines.iter().zip(1..) {
            said(&mut sitting, line, second);
        }
        disk.steps()
    };
    let kinds = [
        Fault::Refuse(std::io::ErrorKind::StorageFull),
        Fault::Refuse(std::io::ErrorKind::PermissionDenied),
        Fault::Part(7),
        Fault::DoneButRefused,
    ];
    let mut told = 0;
    for step in 0..whole {
        for kind in kinds {
            let disk = Faulty::with_faults(&[(step, kind)]);
            let shelf = lessons(disk.clone());
            let mut sitting = Sitting::new(session(), Some(shelf.clone()));
            let opening = sitting.open("ann", at(0));
            let mut pages = vec![opening.trouble.render(Style::default())];
            for (line, second) in lines.iter().zip(1..) {
                pages.push(said(&mut sitting, line, second));
            }
            // One more line, so that a fault in the last one has been made good.
            pages.push(said(&mut sitting, "driver slices", 9));
            let all = pages.concat();
            let troubles = all.matches("Not kept").count();
            assert!(
                troubles <= 1,
                "step {step}, {kind:?}: said {troubles} times\n{all}"
            );
            told += troubles;
            let kept = lines_kept(&shelf);
            assert_eq!(&kept[..3], &lines, "step {step}, {kind:?}: {kept:?}");
            assert_eq!(kept.len(), 4, "step {step}, {kind:?}: {kept:?}");
        }
    }
    assert!(told > whole, "{told} troubles said in {whole} steps");
}

/// A disk that stays full: said once, and the talk is as good as without a book.
#[test]
fn a_disk_that_stays_full_does_not_stop_the_talk() {
    let faults: Vec<(usize, Fault)> = (0..4000)
        .map(|step| (step, Fault::Refuse(std::io::ErrorKind::StorageFull)))
        .collect();
    let mut sitting = Sitting::new(session(), Some(lessons(Faulty::with_faults(&faults))));
    sitting.open("ann", at(0));
    let mut alone = Sitting::<Faulty>::new(session(), None);
    let mut troubles = 0;
    for (line, second) in ["7 iron fat", "quick", "4 of 20", "15 of 20", "progress"]
        .iter()
        .zip(1..)
    {
        let text = said(&mut sitting, line, second);
        let without = said(&mut alone, line, second);
        troubles += text.matches("Not kept").count();
        assert!(
            text.starts_with(without.trim_end()),
            "{text}\n---\n{without}"
        );
    }
    assert!(troubles <= 1, "{troubles}");
}
