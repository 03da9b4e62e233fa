//! Torn ends are moved aside, harm elsewhere is located and left alone, repair brings back the rest.

use super::faults::Faulty;
use super::{ann, ann_path, at, lessons, note, notes_on, right_handed, with_notes};
use swingwhy::lesson::{
    BookError, Condition, Damage, Entry, Fault, Lost, Place, ReadOnly, Repaired,
};

fn journal() -> Vec<u8> {
    with_notes(&["first", "second", "third"])
        .content(&ann_path())
        .unwrap()
}

/// Where each line starts, and the end.
fn line_starts(bytes: &[u8]) -> Vec<usize> {
    let after = bytes
        .iter()
        .enumerate()
        .filter(|(_, b)| **b == b'\n')
        .map(|(i, _)| i + 1);
    std::iter::once(0).chain(after).collect()
}

fn opened(bytes: &[u8]) -> (Faulty, Condition, usize) {
    let disk = Faulty::holding(&ann_path(), bytes);
    let book = lessons(disk.clone()).open(&ann()).unwrap().unwrap();
    let (condition, records) = (book.condition().clone(), book.records().len());
    (disk, condition, records)
}

#[track_caller]
fn tail_moved(bytes: &[u8], end: usize, records: usize) {
    let (disk, condition, found) = opened(bytes);
    assert_eq!(found, records);
    let Condition::TailMoved {
        side,
        damage,
        bytes: moved,
    } = condition
    else {
        panic!("{condition:?}");
    };
    assert_eq!(
        (damage.offset, damage.record, damage.place),
        (end as u64, records as u64, Place::Tail)
    );
    assert_eq!(moved, (bytes.len() - end) as u64);
    assert_eq!(disk.content(&side).unwrap(), &bytes[end..]);
    assert_eq!(disk.content(&ann_path()).unwrap(), &bytes[..end]);
    let mut book = lessons(disk).open(&ann()).unwrap().unwrap();
    assert_eq!(book.condition(), &Condition::Whole);
    assert_eq!(book.append(at(99), &note("after")).unwrap(), records as u64);
}

#[test]
fn an_end_cut_at_any_byte_is_moved_aside() {
    let whole = journal();
    let last = line_starts(&whole)[3];
    for end in last + 1..whole.len() {
        tail_moved(&whole[..end], last, 3);
    }
}

#[test]
fn zeros_garbage_and_left_over_records_at_the_end_are_moved_aside() {
    let whole = journal();
    let starts = line_starts(&whole);
    let left_over = whole[starts[1]..starts[2]].to_vec();
    let garbage: Vec<u8> = (0..=255)
        .cycle()
        .take(1_000)
        .map(|b: u8| b.wrapping_mul(37))
        .collect();
    for tail in [
        vec![0; 1],
        vec![0; 4_096],
        vec![b'\n'],
        garbage,
        b"v1 ".repeat(2_000),
        left_over,
    ] {
        tail_moved(&[&whole[..], &tail].concat(), whole.len(), 4);
        // The last record half overwritten as well.
        let half = usize::midpoint(starts[3], whole.len());
        tail_moved(&[&whole[..half], &tail].concat(), starts[3], 3);
    }
}

#[test]
fn every_single_flipped_bit_is_found_and_located() {
    let whole = journal();
    let starts = line_starts(&whole);
    for byte in 0..whole.len() {
        for bit in 0..8 {
            let mut harmed = whole.clone();
            harmed[byte] ^= 1 << bit;
            let disk = Faulty::holding(&ann_path(), &harmed);
            let found = lessons(disk.clone()).verify(&ann()).unwrap();
            let damage = found
                .damage
                .unwrap_or_else(|| panic!("byte {byte} bit {bit} not found"));
            let record = starts.iter().rposition(|&start| start <= byte).unwrap();
            assert_eq!(
                (damage.offset, damage.record),
                (starts[record] as u64, record as u64)
            );
            assert_eq!(found.records(), record as u64);
            let inside = record < 3;
            assert_eq!(
                inside,
                damage.place != Place::Tail,
                "byte {byte} bit {bit}: {damage:?}"
            );
            if inside {
                let (disk, condition, records) = opened(&harmed);
                assert_eq!(condition, Condition::ReadOnly(ReadOnly::Damaged(damage)));
                assert_eq!(records, record);
                let mut book = lessons(disk.clone()).open(&ann()).unwrap().unwrap();
                let refused = book.append(at(9), &note("no"));
                assert!(matches!(refused, Err(BookError::ReadOnly { .. })));
                assert_eq!(
                    disk.content(&ann_path()).unwrap(),
                    harmed,
                    "never overwritten"
                );
            }
        }
    }
}

#[test]
fn lines_taken_out_swapped_or_edited_are_found() {
    let whole = journal();
    let text = String::from_utf8(whole).unwrap();
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let check = |bytes: String, record: u64, fault: Fault| {
        let disk = Faulty::holding(&ann_path(), bytes.as_bytes());
        let damage = lessons(disk).verify(&ann()).unwrap().damage.unwrap();
        assert_eq!((damage.record, damage.fault), (record, fault));
        assert_ne!(damage.place, Place::Tail);
    };
    check(
        [lines[0], lines[2], lines[3]].concat(),
        1,
        Fault::Number { found: 2 },
    );
    check(
        [lines[0], lines[2], lines[1], lines[3]].concat(),
        1,
        Fault::Number { found: 2 },
    );
    check(text.replace("first", "worst"), 1, Fault::CheckSum);
    check(text.replace("\"first\"", "\"the first\""), 1, Fault::Length);
    check(text.replacen("v1 1", "v2 1", 1), 1, Fault::Frame);
    check(text.replacen("v1 1 ", "v1 01 ", 1), 1, Fault::CheckSum);
}

#[test]
fn repair_brings_back_all_whole_records_and_keeps_the_original() {
    let whole = journal();
    let starts = line_starts(&whole);
    let mut harmed = whole.clone();
    harmed[starts[1] + 10] ^= 1;
    harmed.truncate(whole.len() - 3);
    let disk = Faulty::holding(&ann_path(), &harmed);
    let all = lessons(disk.clone());
    assert_eq!(all.verify(&ann()).unwrap().after_damage, 1);
    assert!(matches!(
        all.export(&ann()),
        Err(BookError::ReadOnly { .. })
    ));
    assert!(matches!(
        all.wipe(&ann(), &[2], at(9)),
        Err(BookError::ReadOnly { .. })
    ));
    let Repaired {
        kept,
        records,
        lost,
    } = all.repair(&ann(), at(500)).unwrap();
    assert_eq!((records, lost), (2, vec![1]));
    assert_eq!(disk.content(&kept.unwrap()).unwrap(), harmed);
    let mut book = all.open(&ann()).unwrap().unwrap();
    assert_eq!(book.condition(), &Condition::Whole);
    let offset = starts[1] as u64;
    assert_eq!(
        book.records()[1].entry(),
        Some(&Entry::Lost(Lost { offset }))
    );
    assert_eq!(notes_on(&disk).unwrap(), ["second"]);
    assert_eq!(book.append(at(9), &note("fourth")).unwrap(), 3);
    let nothing = Repaired {
        kept: None,
        records: 4,
        lost: Vec::new(),
    };
    assert_eq!(all.repair(&ann(), at(501)).unwrap(), nothing);
}

/// A golfer who types something like a record, even with the right check sum, cannot make one.
#[test]
fn text_that_looks_like_a_record_stays_text() {
    let whole = journal();
    let start = line_starts(&whole)[2];
    let stolen = String::from_utf8(whole[start..].to_vec()).unwrap();
    let disk = with_notes(&["x\n\"}", &stolen, "v1 5 2 00000000 {}\n"]);
    assert_eq!(
        notes_on(&disk).unwrap(),
        ["x\n\"}", stolen.as_str(), "v1 5 2 00000000 {}\n"]
    );
    let bytes = disk.content(&ann_path()).unwrap();
    assert_eq!(line_starts(&bytes).len(), 5, "four lines");
    // Torn within the copied text, the copy is not taken for a record either.
    let last = line_starts(&bytes)[2];
    tail_moved(&bytes[..last + 150], last, 2);
}

#[test]
fn an_unfinished_beginning_is_no_book_yet() {
    let whole = journal();
    let first = line_starts(&whole)[1];
    for end in [0, 1, first - 1] {
        let disk = Faulty::holding(&ann_path(), &whole[..end]);
        assert!(lessons(disk.clone()).open(&ann()).unwrap().is_none());
        assert!(lessons(disk.clone()).list().unwrap().is_empty());
        let book = lessons(disk.clone())
            .open_or_begin("ann", at(0), right_handed())
            .unwrap();
        assert_eq!(book.records().len(), 1);
        assert_eq!(disk.content(&ann_path()).unwrap(), &whole[..first]);
    }
}

#[test]
fn damage_to_the_first_record_still_opens_for_reading() {
    let mut harmed = journal();
    harmed[5] ^= 1;
    let (disk, condition, records) = opened(&harmed);
    let damaged = |c| {
        matches!(
            c,
            Condition::ReadOnly(ReadOnly::Damaged(Damage { offset: 0, .. }))
        )
    };
    assert!(damaged(condition));
    assert_eq!(records, 0);
    lessons(disk.clone()).repair(&ann(), at(7)).unwrap();
    assert_eq!(notes_on(&disk).unwrap(), ["first", "second", "third"]);
}
