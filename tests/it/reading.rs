//! Reading: annotated messages as cases, laws over many, and bad input. Kind of values: invented
//! messages, readings agreed by hand.

pub(crate) mod cases;
mod laws;

use cases::{names, tell, told};
use swingwhy::reading::{self, Context, Phrases, Reading};
use swingwhy::vocabulary::Hand;

fn phrases() -> &'static Phrases {
    static PHRASES: std::sync::OnceLock<Phrases> = std::sync::OnceLock::new();
    PHRASES.get_or_init(|| Phrases::compile(&cases::lexicon()))
}

fn read(line: &str) -> Reading {
    reading::read(phrases(), &Context::default(), line)
}

fn first(line: &str) -> Vec<String> {
    let reading = read(line);
    assert!(
        reading.unused.is_empty(),
        "{}",
        tell(&reading, &names(), line)
    );
    reading
        .findings
        .iter()
        .map(|f| told(f, &names(), line))
        .collect()
}

#[test]
fn four_messages_read_in_full() {
    assert_eq!(
        first(
            "7 iron, chunked three in a row, divot starts about 2 inches behind the ball, then I \
             thinned one over the green"
        ),
        [
            "fat with iron_7 x3/3 \"chunked\"",
            "divot_starts_behind_far with iron_7 \"divot starts about 2 inches behind the ball\"",
            "turf_entry = 2 in with iron_7 \"divot starts about 2 inches behind the ball\"",
            "thin with iron_7 \"thinned one\"",
        ]
    );
    let line = "leftie here. driver starts left and slices further left, irons are fine";
    assert_eq!(read(line).hand, Some(Hand::Left));
    assert_eq!(
        first(line),
        [
            "starts_push_side with driver \"starts left and slices further left\"",
            "curve_push_big with driver \"starts left and slices further left\"",
            "flight_push_slice with driver \"starts left and slices further left\"",
            "all_well with short_iron+mid_iron+long_iron \"are fine\"",
        ]
    );
    let line = "PW: low point 1 in behind, attack +0.5, no pain, want to know why I blade chips";
    assert_eq!(
        first(line),
        [
            "low_point = -1 in with wedge_pitching \"low point 1 in behind\"",
            "attack_angle = 0.5 deg assumed with wedge_pitching \"attack +0.5\"",
            "bladed with wedge_pitching part shot \"blade\"",
        ]
    );
    assert!(read(line).goals.iter().any(|g| g.to_know));
    assert_eq!(
        first("attack angle -4, low point 3.5 in ahead, 7i, carry 165, still thin ones"),
        [
            "attack_angle = -4 deg assumed with iron_7 \"attack angle -4\"",
            "low_point = 3.5 in with iron_7 \"low point 3.5 in ahead\"",
            "carry = 165 yd assumed with iron_7 \"carry 165\"",
            "thin with iron_7 \"thin ones\"",
        ]
    );
}

#[test]
#[ignore = "prints the reading of every line of the file named in SWINGWHY_LINES"]
fn print_readings() {
    let file = std::env::var("SWINGWHY_LINES").unwrap();
    for line in std::fs::read_to_string(file).unwrap().lines() {
        print!("{}", tell(&read(line), &names(), line));
    }
}

#[test]
fn annotated_messages() {
    let mut out = String::new();
    for (file, score) in cases::scores(phrases()) {
        out += &cases::table(&file, &score);
        for wrong in &score.wrong {
            out += wrong;
            out += "\n";
        }
    }
    println!("{out}");
}
