//! What a book holds and gives back: kinds of records, names, lists, carrying out and in, forgetting,
//! two talks at once.

use proptest::prelude::*;

use super::faults::Faulty;
use super::{ann, ann_path, at, lessons, note, notes_on, right_handed, with_notes};
use std::ffi::OsStr;
use swingwhy::lesson::*;
use swingwhy::quantity::Unit;
use swingwhy::vocabulary::Hand;

fn inch(value: f64) -> Figure {
    Figure::new(value, Unit::Inch).unwrap()
}

/// One of every kind.
fn all_kinds() -> Vec<Entry> {
    let counted = Block {
        taken: Taken::Counted,
        shots: Shots::Hits(Tally::new(3, 10).unwrap()),
    };
    let series = Series::new(vec![-1.5, 0.25, 2.0], Unit::Inch).unwrap();
    let measured = Block {
        taken: Taken::Recalled,
        shots: Shots::Measured(series),
    };
    let goal = Goal::Measured {
        better: Better::CloserTo(inch(3.0)),
        change: inch(1.0),
    };
    let hit = |block: &Block| BlockHit {
        measure: "divot-past-line".into(),
        block: block.clone(),
    };
    let payload = serde_json::json!({"case": 7, "hidden": ["ball-back"], "kept": {"x": 1.5}});
    let open = Open {
        fields: payload.as_object().unwrap().clone(),
    };
    vec![
        Entry::Opened(Opened {
            golfer: "ann".into(),
            facts: right_handed(),
        }),
        Entry::Facts(Facts {
            hand: Some(Hand::Left),
            clubs: Vec::new(),
            answers: Vec::new(),
        }),
        Entry::Turn(Turn {
            said: "fat again\tand \"thin\"".into(),
            understood: vec!["fat".into(), "thin".into()],
            not_used: vec!["again".into()],
            took_up: true,
        }),
        Entry::Prescribed(Prescribed {
            cause: "weight-stays-back".into(),
            drill: "line-in-the-turf".into(),
            cue: "brush the grass past the ball".into(),
            measure: "divot-past-line".into(),
            goal,
            balls: 10,
            test_from: Some(at(90_000)),
        }),
        Entry::Baseline(hit(&counted)),
        Entry::Practice(hit(&measured)),
        Entry::Verdict(Judged {
            cause: "weight-stays-back".into(),
            drill: "line-in-the-turf".into(),
            verdict: Verdict::TooFewToTell,
            standing: Standing::NotShown,
            followed: Followed::Well,
            low: Some(inch(-0.5)),
            high: None,
        }),
        Entry::Retest(RetestHit {
            measure: "divot-past-line".into(),
            feedback: Feedback::Without,
            block: counted,
        }),
        note("näher am Ball \u{1b}[31m\u{202e}\nzweite Zeile"),
        Entry::Correction(Correction {
            of: 3,
            text: "it was the 8 iron".into(),
        }),
        Entry::Forgotten(Wiped { was: "turn".into() }),
        Entry::Lost(Lost { offset: 120 }),
        Entry::Case(open.clone()),
        Entry::Score(open),
    ]
}

#[test]
fn every_kind_reads_back_as_written() {
    let disk = Faulty::default();
    let entries = all_kinds();
    let mut book = lessons(disk.clone())
        .open_or_begin("ann", at(0), right_handed())
        .unwrap();
    for (entry, n) in entries.iter().zip(1..) {
        assert_eq!(book.append(at(n), entry).unwrap(), n as u64);
    }
    let book = lessons(disk.clone()).open(&ann()).unwrap().unwrap();
    for (record, entry) in book.records().iter().skip(1).zip(&entries) {
        assert_eq!(record.entry(), Some(entry));
        assert_eq!(record.kind(), entry.kind());
        assert_eq!(record.at, Some(at(record.seq.cast_signed())));
        assert!(
            record
                .text()
                .contains(&format!("\"kind\":\"{}\"", entry.kind()))
        );
    }
    let text = String::from_utf8(disk.content(&ann_path()).unwrap()).unwrap();
    assert!(
        text.chars().all(|c| c == '\n' || !c.is_control()),
        "no control reaches the file"
    );
}

/// The format of version 1, for good: a book written by the first release opens in every later one.
const FIRST_RELEASE: &str = r#"v1 0 94 b7dbae0e {"at":"2026-04-05T16:30:00Z","kind":"opened","golfer":"ann","hand":"right","clubs":["7-iron"]}
v1 1 68 92107e9a {"at":"2026-04-05T16:30:01Z","kind":"note","text":"windy, wet turf"}
"#;

#[test]
fn the_file_is_legible_and_its_format_stays() {
    let disk = with_notes(&["windy, wet turf"]);
    assert_eq!(
        String::from_utf8(disk.content(&ann_path()).unwrap()).unwrap(),
        FIRST_RELEASE
    );
    let disk = Faulty::holding(&ann_path(), FIRST_RELEASE.as_bytes());
    assert_eq!(notes_on(&disk).unwrap(), ["windy, wet turf"]);
}

#[test]
fn the_check_sum_is_the_one_storage_commonly_uses() {
    // Castagnoli polynomial; the check value of the digits, RFC 3720 family (memory).
    assert_eq!(crc32c::crc32c(b"123456789"), 0xe306_9283);
}

/// What a newer version wrote is kept through opening, adding, wiping and carrying, and reported.
#[test]
fn newer_kinds_are_kept_and_reported() {
    let line = |seq: u64, text: &str| {
        let sum = crc32c::crc32c(format!("{seq} {} {text}", text.len()).as_bytes());
        format!("v1 {seq} {} {sum:08x} {text}\n", text.len())
    };
    let newer = r#"{"at":"2031-01-01T00:00:00Z","kind":"video","frames":[1,2,3]}"#;
    let reshaped = r#"{"at":{"tai":5},"kind":"note","words":["x"]}"#;
    let first = FIRST_RELEASE.split_inclusive('\n').next().unwrap();
    let bytes = [first, &line(1, newer), &line(2, reshaped)].concat();
    let disk = Faulty::holding(&ann_path(), bytes.as_bytes());
    let all = lessons(disk);
    let found = all.verify(&ann()).unwrap();
    assert_eq!((found.newer, found.damage), (vec![1, 2], None));
    let kinds = [("note", 1), ("opened", 1), ("video", 1)].map(|(k, n)| (k.to_owned(), n));
    assert_eq!(found.kinds, kinds);
    let mut book = all.open(&ann()).unwrap().unwrap();
    assert_eq!(
        book.records()[1].content,
        Content::Newer {
            kind: "video".into()
        }
    );
    assert_eq!(book.records()[1].text(), newer);
    assert_eq!(book.append(at(5), &note("still going")).unwrap(), 3);
    all.wipe(&ann(), &[3], at(6)).unwrap();
    let carried = all.export(&ann()).unwrap();
    assert!(carried.starts_with(bytes.as_bytes()));
}

#[test]
fn export_and_import_round_trip() {
    let disk = with_notes(&["one", "two"]);
    let carried = lessons(disk.clone()).export(&ann()).unwrap();
    assert_eq!(Some(&carried), disk.content(&ann_path()).as_ref());
    let elsewhere = Faulty::default();
    let all = lessons(elsewhere.clone());
    assert_eq!(all.import(&carried).unwrap(), ann());
    assert_eq!(all.export(&ann()).unwrap(), carried);
    assert_eq!(notes_on(&elsewhere).unwrap(), ["one", "two"]);
    assert_eq!(
        all.import(&carried),
        Err(BookError::Exists { path: ann_path() })
    );
    let mut harmed = carried.clone();
    harmed[40] ^= 1;
    assert!(
        matches!(all.import(&harmed), Err(BookError::DamagedImport { damage }) if damage.offset == 0)
    );
    assert!(matches!(
        all.import(&carried[..60]),
        Err(BookError::DamagedImport { .. })
    ));
    assert_eq!(all.import(b""), Err(BookError::NotABook));
    assert_eq!(all.export(&ann()).unwrap(), carried, "what is there stays");
}

/// An imported book cannot choose its file: the name inside is text like any other.
#[test]
fn an_imported_name_cannot_leave_the_folder() {
    let disk = Faulty::default();
    let all = lessons(disk);
    all.open_or_begin("../../etc/passwd", at(0), Facts::default())
        .unwrap();
    let carried = all.export(&GolferKey::of_name("../../etc/passwd")).unwrap();
    let elsewhere = Faulty::default();
    let key = lessons(elsewhere.clone()).import(&carried).unwrap();
    assert_eq!(key.as_str(), "g-_2e_2e_2f_2e_2e_2fetc_2fpasswd");
    assert_eq!(lessons(elsewhere).list().unwrap().len(), 1);
}

#[test]
fn a_folder_is_listed_by_golfer() {
    let disk = with_notes(&["one"]);
    let all = lessons(disk);
    all.open_or_begin("Ann", at(10), Facts::default()).unwrap();
    all.open_or_begin("", at(20), Facts::default()).unwrap();
    let listed = all.list().unwrap();
    let golfers: Vec<_> = listed
        .iter()
        .map(|l| (l.golfer.as_deref(), l.records))
        .collect();
    assert_eq!(golfers, [(Some(""), 1), (Some("Ann"), 1), (Some("ann"), 2)]);
    assert_eq!(listed[2].last, Some(at(1)));
    assert!(
        lessons(Faulty::default()).list().unwrap().is_empty(),
        "no folder, no books"
    );
}

#[test]
fn forgetting_removes_book_and_side_files() {
    let disk = with_notes(&["one", "two"]);
    let whole = disk.content(&ann_path()).unwrap();
    let torn = Faulty::holding(&ann_path(), &whole[..whole.len() - 4]);
    let all = lessons(torn);
    all.open_or_begin("annie", at(0), Facts::default()).unwrap();
    all.open(&ann()).unwrap();
    assert_eq!(all.verify(&ann()).unwrap().side_files.len(), 1);
    let wiped = all.wipe(&ann(), &[1], at(9)).unwrap();
    assert_eq!(
        wiped.remaining.len(),
        1,
        "the torn end may still hold what was wiped: said"
    );
    let forgot = all.forget(&ann()).unwrap();
    assert_eq!((forgot.removed.len(), forgot.remaining.len()), (2, 0));
    assert!(all.open(&ann()).unwrap().is_none());
    assert_eq!(all.list().unwrap().len(), 1, "annie stays");
    assert_eq!(
        all.forget(&ann()).unwrap(),
        Forgot {
            removed: vec![],
            remaining: vec![]
        }
    );
    assert!(matches!(all.verify(&ann()), Err(BookError::Missing { .. })));
}

#[test]
fn wiping_leaves_nothing_of_the_text() {
    let disk = with_notes(&["my knee hurts", "sunny"]);
    let all = lessons(disk.clone());
    let mut earlier = all.open(&ann()).unwrap().unwrap();
    all.wipe(&ann(), &[1], at(9)).unwrap();
    let text = String::from_utf8(disk.content(&ann_path()).unwrap()).unwrap();
    assert!(!text.contains("knee") && text.contains("sunny") && text.contains("\"was\":\"note\""));
    for seq in [0, 3] {
        assert_eq!(
            all.wipe(&ann(), &[seq], at(9)),
            Err(BookError::NoSuchRecord { record: seq })
        );
    }
    // A talk that had the book open goes on in the new file and does not bring the text back.
    assert_eq!(earlier.append(at(10), &note("later")).unwrap(), 3);
    let text = String::from_utf8(disk.content(&ann_path()).unwrap()).unwrap();
    assert!(!text.contains("knee") && text.contains("later"));
    all.forget(&ann()).unwrap();
    let gone = earlier.append(at(11), &note("too late"));
    assert_eq!(gone, Err(BookError::Missing { path: ann_path() }));
}

#[test]
fn two_talks_on_one_book_see_and_keep_each_others_records() {
    let disk = with_notes(&[]);
    let open = || lessons(disk.clone()).open(&ann()).unwrap().unwrap();
    let (mut one, mut other) = (open(), open());
    let turns = [&mut one, &mut other];
    let expected: Vec<String> = (0..12).map(|n| format!("note {n}")).collect();
    let [one, other] = turns;
    for (n, text) in expected.iter().enumerate() {
        let book = if n % 3 == 0 { &mut *one } else { &mut *other };
        assert_eq!(book.append(at(0), &note(text)).unwrap(), n as u64 + 1);
    }
    assert_eq!(other.records().len(), 13, "the last to add has seen all");
    assert_eq!(notes_on(&disk).unwrap(), expected);
}

#[test]
fn a_record_too_long_is_refused_and_the_book_goes_on() {
    let disk = with_notes(&[]);
    let mut book = lessons(disk).open(&ann()).unwrap().unwrap();
    let long = book.append(at(1), &note(&"x".repeat(MOST_TEXT)));
    assert!(matches!(long, Err(BookError::TooLong { .. })), "{long:?}");
    assert_eq!(book.append(at(2), &note("short")).unwrap(), 1);
}

#[test]
fn a_clock_that_goes_back_is_reported() {
    let disk = with_notes(&["one"]);
    let mut book = lessons(disk.clone()).open(&ann()).unwrap().unwrap();
    book.append(at(-5_000), &note("earlier?")).unwrap();
    book.append(at(5), &note("again")).unwrap();
    let found = lessons(disk).verify(&ann()).unwrap();
    assert_eq!((found.clock_back, found.last_good), (vec![2], Some(at(5))));
}

#[test]
fn keys_are_safe_file_names() {
    for (name, key) in [
        ("", "g-"),
        ("ann", "g-ann"),
        ("Ann", "g-_41nn"),
        ("ann lee", "g-ann_20lee"),
        ("con", "g-con"),
        ("..", "g-_2e_2e"),
        ("a/b\\c", "g-a_2fb_5cc"),
        ("a\0b\n", "g-a_00b_0a"),
        ("_41nn", "g-_5f41nn"),
        ("Zoë", "g-_5ao_c3_ab"),
    ] {
        assert_eq!(GolferKey::of_name(name).as_str(), key);
    }
    let long = GolferKey::of_name(&"a".repeat(500));
    assert!(long.as_str().len() < 100 && long != GolferKey::of_name(&"a".repeat(501)));
}

#[test]
fn the_data_folder_follows_the_desktop_convention() {
    let folder = |xdg: Option<&str>, home: Option<&str>| {
        let found = data_folder(xdg.map(OsStr::new), home.map(OsStr::new));
        found.map(|path| path.to_str().unwrap().to_owned())
    };
    let home = Some("/ann");
    assert_eq!(
        folder(Some("/data"), home).as_deref(),
        Some("/data/swingwhy")
    );
    for unusable in [None, Some(""), Some("data"), Some("../data")] {
        let wanted = Some("/ann/.local/share/swingwhy");
        assert_eq!(folder(unusable, home).as_deref(), wanted);
    }
    assert_eq!(folder(None, Some("ann")), None);
    assert_eq!(folder(None, None), None);
}

#[test]
fn moments_are_written_as_dates() {
    for (seconds, text) in [
        (0, "1970-01-01T00:00:00Z"),
        (951_782_399, "2000-02-28T23:59:59Z"),
        (951_782_400, "2000-02-29T00:00:00Z"),
        (4_107_542_400, "2100-03-01T00:00:00Z"),
        (-1, "1969-12-31T23:59:59Z"),
        (-62_135_596_800, "0001-01-01T00:00:00Z"),
        (253_402_300_799, "9999-12-31T23:59:59Z"),
    ] {
        assert_eq!(Moment::from_unix_seconds(seconds).to_string(), text);
        assert_eq!(text.parse::<Moment>().unwrap().unix_seconds(), seconds);
    }
    for text in [
        "",
        "2026-02-29T00:00:00Z",
        "2026-1-01T00:00:00Z",
        "2026-01-01T24:00:00Z",
        "2026-01-01 00:00:00Z",
        "2026-01-01T00:00:00Zx",
    ] {
        assert_eq!(text.parse::<Moment>(), Err(NotAMoment(text.to_owned())));
    }
}

proptest! {
    #[test]
    fn different_names_have_different_safe_keys(one in any::<String>(), other in any::<String>()) {
        let (k1, k2) = (GolferKey::of_name(&one), GolferKey::of_name(&other));
        prop_assert_eq!(one == other, k1 == k2);
        prop_assert!(k1.as_str().len() <= 100 && k1.as_str().starts_with("g-"));
        let safe = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-' || c == '_';
        prop_assert!(k1.as_str().chars().all(safe));
    }

    #[test]
    fn moments_read_back(seconds in -62_135_596_800_i64..=253_402_300_799) {
        let moment = Moment::from_unix_seconds(seconds);
        prop_assert_eq!(moment.to_string().parse::<Moment>(), Ok(moment));
    }

    #[test]
    fn any_text_reads_back(text in any::<String>()) {
        let disk = with_notes(&[&text]);
        prop_assert_eq!(notes_on(&disk).unwrap(), [text]);
    }

    /// Any bytes at all can be opened: it ends in a book, in none, or read-only, and never in a panic.
    #[test]
    fn any_bytes_can_be_opened(bytes in proptest::collection::vec(any::<u8>(), 0..200), keep in 0..4_usize) {
        let lines: String = FIRST_RELEASE.split_inclusive('\n').take(keep).collect();
        let disk = Faulty::holding(&ann_path(), &[lines.as_bytes(), &bytes].concat());
        let all = lessons(disk);
        all.verify(&ann()).unwrap();
        all.open(&ann()).unwrap();
        all.repair(&ann(), at(3)).unwrap();
    }
}
