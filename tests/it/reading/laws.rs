//! Laws of reading, over made-up messages: what must not change the facts, and what no text may do.

use proptest::prelude::*;
use swingwhy::knowledge::lexicon::{Meaning, Role};
use swingwhy::reading::{self, Context, Finding, Reading, Span, Unclear, What};
use swingwhy::vocabulary::Hand;

use super::{cases, phrases};

fn read_as(hand: Option<Hand>, line: &str) -> Reading {
    let context = Context {
        hand,
        ..Context::default()
    };
    reading::read(phrases(), &context, line)
}

/// A finding without its place in the line.
fn fact(f: &Finding) -> String {
    let what = match f.what {
        What::Symptom(id) => format!("{id:?}"),
        What::AllWell => "well".to_owned(),
        What::Number(n) => format!("{:?} {:.9} {}", n.quantity, n.value.mean(), n.shots),
    };
    format!(
        "{what} {:?} {:?} {:?} {:?} {:?} {} {}",
        f.pattern, f.polarity, f.often, f.count, f.severity, f.weight, f.change
    )
}

fn facts(reading: &Reading) -> Vec<String> {
    reading
        .findings
        .iter()
        .map(fact)
        .chain(
            reading
                .history
                .iter()
                .map(|a| format!("{:?} {}", a.why, fact(&a.finding))),
        )
        .chain(
            reading
                .hints
                .iter()
                .map(|h| format!("{:?} {:?} {:?}", h.causes, h.polarity, h.pattern)),
        )
        .collect()
}

/// One clause with a club of its own.
fn clause() -> impl Strategy<Value = String> {
    let club = prop::sample::select(vec![
        "7 iron",
        "driver",
        "PW",
        "3 wood",
        "4 hybrid",
        "my wedges",
        "long irons",
        "9i",
        "56 degree wedge",
        "6 iron and up",
        "anything longer than a 5 iron",
        "8 iron through pitching wedge",
    ]);
    let said = prop::sample::select(vec![
        "is fat",
        "is thin about 3 in 10",
        "starts left",
        "slices",
        "hooks right",
        "is off the heel",
        "attack angle -4",
        "path 3 out to in",
        "divot starts 2 inches behind the ball",
        "is never topped",
        "isn't a shank",
        "used to shank but now it hooks",
        "carry 150 yards",
        "low point 1.5 in ahead",
        "divots point left",
        "goes dead right",
        "is fine",
        "is thinner than usual",
        "maybe a bit toey",
        "curves to the left a bit",
        "12 mm toe",
        "starts left 8 yards and curves right 20",
        "starts 5 yards right, ends 20 yards left",
        "moves left to right too much",
        "goes left, left, right",
    ]);
    (club, said).prop_map(|(club, said)| format!("{club} {said}"))
}

fn message() -> impl Strategy<Value = String> {
    prop::collection::vec(clause(), 1..4).prop_map(|c| c.join(". "))
}

/// Left for right and right for left.
fn mirrored(line: &str) -> String {
    line.replace("left", "LEFT")
        .replace("right", "left")
        .replace("LEFT", "right")
}

/// Words of any sort, wild ones among them.
fn any_text() -> impl Strategy<Value = String> {
    let word = prop_oneof![
        4 => prop::sample::select(vec![
            "fat", "thin", "not", "no", "7", "iron", "driver", "2", "in", "behind", "the", "ball", "and", "left",
            "right", "never", "but", "slice", "path", "-3", "3.5", "%", "deg", "my", "wife", "used", "to", "if",
            "divot", "starts", "cm", ",", ".", "\n", "\t", "|", "carry", "150", "yards", "out", "of", "10", "one",
            "half", "an", "inch", "over", "top", "sorry", "i", "mean", "want", "drizzly", "purple", "banana", "5,5",
            "1/2", "'", "\"", "can't", "stop", "heel", "toe", "low", "high", "club", "attack", "6.5k", "12th",
        ]).prop_map(str::to_owned),
        1 => "[a-z]{1,12}",
        1 => "\\PC{0,6}",
        1 => "[0-9]{1,20}([.,][0-9]{1,9})?",
    ];
    prop::collection::vec(word, 0..40).prop_map(|w| w.join(" "))
}

fn spans(reading: &Reading) -> Vec<Span> {
    let mut out: Vec<Span> = Vec::new();
    for f in reading
        .findings
        .iter()
        .chain(reading.history.iter().map(|a| &a.finding))
    {
        out.push(f.said);
        out.extend(&f.said_again);
    }
    out.extend(reading.hints.iter().map(|h| h.said));
    out.extend(reading.topics.iter().map(|t| t.said));
    out.extend(reading.spelling.iter().map(|s| s.said));
    out.extend(reading.goals.iter().map(|g| g.said));
    out.extend(reading.unused.iter().copied());
    out.extend(reading.unclear.iter().filter_map(|u| match u {
        Unclear::Unit { said, .. }
        | Unclear::Quantity { said, .. }
        | Unclear::Impossible { said, .. }
        | Unclear::Amount { said, .. }
        | Unclear::Direction { said, .. }
        | Unclear::Hand { said }
        | Unclear::Meaning { said, .. } => Some(*said),
        Unclear::Sure { .. } => None,
    }));
    out
}

/// Words of phrases that name clubs or lies, count, date or carry nothing: used or silent by right.
fn accounted_for() -> std::collections::BTreeSet<String> {
    let mut out = std::collections::BTreeSet::new();
    // What a person weighs says nothing of a shot, as the years do not.
    let weights = "kg kgs kilo kilos kilograms lb lbs pounds stone";
    out.extend(weights.split(' ').map(str::to_owned));
    for entry in &cases::lexicon().entries {
        let silent = match &entry.meaning {
            Meaning::Word(role) => *role != Role::Plain,
            Meaning::Symptoms(_)
            | Meaning::OneOf { .. }
            | Meaning::Hint(_)
            | Meaning::Topic(_)
            | Meaning::Quantity(_)
            | Meaning::Direction(_) => false,
            _ => true,
        };
        if silent {
            let says: Vec<String> = entry.phrases().collect();
            for phrase in says.iter().chain(&entry.glued).chain(&entry.after_number) {
                out.extend(words_of(phrase));
            }
        }
    }
    out
}

fn words_of(text: &str) -> Vec<String> {
    text.to_lowercase()
        .replace('\'', "")
        .split(|c: char| !c.is_alphabetic())
        .filter(|w| !w.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Words of the lexicon and of golfers' numbers, and marks, in any order.
fn vocabulary() -> Vec<String> {
    let mut out: Vec<String> = cases::lexicon()
        .entries
        .iter()
        .flat_map(|e| {
            let says: Vec<String> = e.phrases().collect();
            let said = says.iter().chain(&e.glued).chain(&e.after_number);
            said.chain(e.near.iter().flatten())
                .map(|w| w.replace("{n}", "3").replace(['{', '}'], ""))
                .collect::<Vec<_>>()
        })
        .collect();
    let marks =
        ", . ; : - / ( ) \n \t ? ! ' % \u{b0} \u{1b} \u{2212} \u{1f3cc} -3 +2.5 7 1/2 3,4 56 1e9";
    out.extend(marks.split(' ').map(str::to_owned));
    out.sort();
    out.dedup();
    out
}

/// One slip of the finger at a place, or none.
fn slipped(word: &str, slip: (u8, usize)) -> String {
    let mut letters: Vec<char> = word.chars().collect();
    let at = slip.1 % letters.len().max(1);
    match slip.0 {
        0 if letters.len() > 1 => {
            letters.remove(at);
        }
        1 if at + 1 < letters.len() => letters.swap(at, at + 1),
        2 => letters.insert(at, 'x'),
        3 => letters.insert(at, ' '),
        _ => {}
    }
    letters.into_iter().collect()
}

/// A soup of phrases, some mistyped, some run together.
fn soup() -> impl Strategy<Value = String> {
    static WORDS: std::sync::OnceLock<Vec<String>> = std::sync::OnceLock::new();
    let count = WORDS.get_or_init(vocabulary).len();
    let token = (0..count, (0u8..12, 0usize..12), 0u8..8);
    prop::collection::vec(token, 1..40).prop_map(|tokens| {
        let words = WORDS.get_or_init(vocabulary);
        let mut out = String::new();
        for (place, slip, joint) in tokens {
            out += &slipped(&words[place], slip);
            out += match joint {
                0 => "",
                1 => ", ",
                2 => "\n",
                _ => " ",
            };
        }
        out
    })
}

/// Soups in a run: 2000, or as many as the variable SOUPS says (`SOUPS=3000000 cargo test --test it
/// soup` takes about ten minutes).
fn soups() -> u32 {
    let said = std::env::var("SOUPS").ok().and_then(|n| n.parse().ok());
    said.unwrap_or(2000)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: soups(), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_soup_of_phrases_panics_or_reads_past_the_line(line in soup()) {
        let reading = read_as(None, &line);
        for span in spans(&reading) {
            prop_assert!(line.get(span.start..span.end).is_some(), "{:?} of {:?}", span, line);
        }
        prop_assert_eq!(&reading, &read_as(None, &line));
        let causes: Vec<_> = reading.hints.iter().map(|h| (&h.causes, h.polarity, h.said)).collect();
        for (i, hint) in causes.iter().enumerate() {
            prop_assert!(!causes[..i].contains(hint), "said twice: {:?} in {:?}", hint, line);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn capitals_change_nothing(line in message()) {
        prop_assert_eq!(facts(&read_as(None, &line)), facts(&read_as(None, &line.to_uppercase())));
    }

    #[test]
    fn spaces_change_nothing(line in message()) {
        let wide = line.replace(' ', "   ");
        prop_assert_eq!(facts(&read_as(None, &line)), facts(&read_as(None, &wide)));
    }

    #[test]
    fn polite_words_change_nothing(line in message()) {
        let polite = format!("hello there. {line}. thank you so much");
        prop_assert_eq!(facts(&read_as(None, &line)), facts(&read_as(None, &polite)));
    }

    #[test]
    fn order_of_sentences_changes_nothing(a in clause(), b in clause()) {
        let mut one = facts(&read_as(None, &format!("{a}. {b}.")));
        let mut two = facts(&read_as(None, &format!("{b}. {a}.")));
        one.sort();
        two.sort();
        prop_assert_eq!(one, two);
    }

    #[test]
    fn the_hand_flips_sides_only(line in message()) {
        let right = facts(&read_as(Some(Hand::Right), &line));
        let left = facts(&read_as(Some(Hand::Left), &mirrored(&line)));
        prop_assert_eq!(right, left);
    }

    #[test]
    fn the_unit_changes_nothing(inches in 1u32..60) {
        let inches = f64::from(inches) / 10.0;
        let value = |line: String| {
            read_as(None, &line).findings.iter().find_map(|f| match f.what {
                What::Number(n) => Some(n.value.mean()),
                _ => None,
            })
        };
        let a = value(format!("low point {inches} in ahead")).unwrap();
        let b = value(format!("low point {:.4} cm ahead", inches * 2.54)).unwrap();
        let c = value(format!("low point {:.3} mm ahead of the ball", inches * 25.4)).unwrap();
        prop_assert!((a - b).abs() < 1e-5 && (a - c).abs() < 1e-5, "{} {} {}", a, b, c);
        let speed = 60.0 + inches;
        let a = value(format!("club speed {speed} mph")).unwrap();
        let b = value(format!("club speed {:.5} km/h", speed * 1.609_344)).unwrap();
        let c = value(format!("club speed {:.6} m/s", speed * 0.447_04)).unwrap();
        prop_assert!((a - b).abs() < 1e-4 && (a - c).abs() < 1e-4);
    }

    #[test]
    fn no_text_panics_and_spans_fit(line in any_text()) {
        for hand in [None, Some(Hand::Left)] {
            let reading = read_as(hand, &line);
            for span in spans(&reading) {
                prop_assert!(line.get(span.start..span.end).is_some(), "{:?}", span);
            }
            prop_assert_eq!(&reading, &read_as(hand, &line));
        }
    }

    #[test]
    fn no_word_is_dropped(line in any_text()) {
        static BY_RIGHT: std::sync::OnceLock<std::collections::BTreeSet<String>> = std::sync::OnceLock::new();
        let by_right = BY_RIGHT.get_or_init(accounted_for);
        let reading = read_as(None, &line);
        let spans = spans(&reading);
        let mut at = 0;
        for piece in line.split(|c: char| !(c.is_alphabetic() || c == '\'')) {
            let start = at;
            at = start + piece.len();
            let mut rest = line[at..].chars();
            at += rest.next().map_or(0, char::len_utf8);
            let quotes = piece.len() - piece.trim_start_matches('\'').len();
            let (start, piece) = (start + quotes, piece.trim_matches('\''));
            if piece.is_empty() || !piece.is_ascii() {
                continue;
            }
            let covered = spans.iter().any(|s| s.start <= start && start + piece.len() <= s.end);
            let silent = words_of(piece).iter().all(|w| {
                by_right.contains(w)
                    || by_right.iter().any(|known| known.starts_with(w.as_str()) && known.len() <= w.len() + 2)
                    || by_right.iter().any(|known| w.starts_with(known.as_str()) && w.len() <= known.len() + 4)
            });
            prop_assert!(covered || silent, "`{}` of `{}` was dropped", piece, line);
        }
    }
}
