//! Reading: annotated messages as cases, laws over many, and bad input. Kind of values: invented
//! messages, readings agreed by hand.

#![allow(
    clippy::print_stdout,
    clippy::wildcard_enum_match_arm,
    reason = "quality tables are read by a person; most meanings do not matter to most tests"
)]

pub(crate) mod cases;
mod laws;

use cases::{Share, names, tell, told};
use swingwhy::quantity::Unit;
use swingwhy::reading::quick::{Asked, Reply, read_answer};
use swingwhy::reading::{self, Context, Phrases, Reading, Tone};
use swingwhy::vocabulary::{Hand, QuantityId};

fn phrases() -> &'static Phrases {
    static PHRASES: std::sync::OnceLock<Phrases> = std::sync::OnceLock::new();
    PHRASES.get_or_init(|| Phrases::compile(&std::sync::Arc::new(cases::lexicon())))
}

fn read(line: &str) -> Reading {
    reading::read(phrases(), &Context::default(), line)
}

fn facts(line: &str) -> Vec<String> {
    read(line)
        .findings
        .iter()
        .map(|f| told(f, &names(), line))
        .collect()
}

/// The facts of a line of which every word must be used.
fn all_of(line: &str) -> Vec<String> {
    let reading = read(line);
    assert!(
        reading.unused.is_empty(),
        "{}",
        tell(&reading, &names(), line)
    );
    facts(line)
}

#[test]
fn four_messages_read_in_full() {
    assert_eq!(
        all_of(
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
        all_of(line),
        [
            "starts_push_side with driver \"starts left and slices further left\"",
            "curve_push_big with driver \"starts left and slices further left\"",
            "flight_push_slice with driver \"starts left and slices further left\"",
            "all_well with short_iron+mid_iron+long_iron \"are fine\"",
        ]
    );
    let line = "PW: low point 1 in behind, attack +0.5, no pain, want to know why I blade chips";
    assert_eq!(
        all_of(line),
        [
            "low_point = -1 in with wedge_pitching \"low point 1 in behind\"",
            "attack_angle = 0.5 deg assumed with wedge_pitching \"attack +0.5\"",
            "not feel_pain with wedge_pitching \"no pain\"",
            "bladed with wedge_pitching part shot \"blade\"",
        ]
    );
    assert!(read(line).goals.iter().any(|g| g.to_know));
    assert_eq!(
        all_of("attack angle -4, low point 3.5 in ahead, 7i, carry 165, still thin ones"),
        [
            "attack_angle = -4 deg assumed with iron_7 \"attack angle -4\"",
            "low_point = 3.5 in with iron_7 \"low point 3.5 in ahead\"",
            "carry = 165 yd assumed with iron_7 \"carry 165\"",
            "thin with iron_7 \"thin ones\"",
        ]
    );
}

/// At least this share must be right. The aims for messages never seen before are findings 97 and
/// 92 %, negation 95 and 98 %, values 98 %; these files were seen, so the floors are higher.
fn at_least(what: &str, share: Share, floor: f64) {
    let (p, low, high) = share.wilson();
    assert!(
        p >= floor,
        "{what}: {:.1} % ({:.1} to {:.1}), {}/{}, floor {:.1} %",
        100.0 * p,
        100.0 * low,
        100.0 * high,
        share.right,
        share.all,
        100.0 * floor
    );
}

#[test]
fn annotated_messages() {
    let mut all = cases::Score::default();
    let scores = cases::scores(phrases());
    for (file, score) in &scores {
        println!("{}", cases::table(file, score));
        for wrong in &score.wrong {
            println!("{wrong}");
        }
    }
    for (file, score) in scores {
        // Held out: what nothing is tuned on is printed and has no floor.
        if file.starts_with("fresh") {
            continue;
        }
        // The last look is mended in part only, and says nothing of what is to be asked.
        let floors = match file.as_str() {
            "fifth_look.yaml" => Some((0.95, 0.84)),
            "sixth_look.yaml" => Some((0.87, 0.78)),
            "seventh_look.yaml" => Some((0.88, 0.77)),
            "eighth_look.yaml" | "ninth_look.yaml" => Some((0.93, 0.78)),
            "neighbours_of_kinds.yaml" => Some((0.95, 0.9)),
            "neighbours_of_denials.yaml" => Some((0.97, 0.95)),
            "tenth_look.yaml" => Some((0.94, 0.81)),
            "eleventh_look.yaml" | "twelfth_look.yaml" => Some((0.86, 0.85)),
            "thirteenth_look.yaml" => Some((0.9, 0.85)),
            "fourteenth_look.yaml" => Some((0.83, 0.8)),
            "fifteenth_look.yaml" => Some((0.82, 0.84)),
            "sixteenth_look.yaml" => Some((0.85, 0.72)),
            "eighth_look_order.yaml" => {
                at_least("order: clubs", score.club, 0.95);
                at_least("order: denials", score.negation_sensitivity, 0.9);
                at_least("order: counts", score.often, 0.9);
                Some((0.95, 0.95))
            }
            _ => None,
        };
        if let Some((precision, recall)) = floors {
            at_least("last looks: precision", score.precision, precision);
            at_least("last looks: recall", score.recall, recall);
            continue;
        }
        all.add(&score);
    }
    println!("{}", cases::table("all", &all));
    assert!(all.messages >= 400, "only {} messages", all.messages);
    at_least("findings: precision", all.precision, 0.975);
    at_least("findings: recall", all.recall, 0.965);
    at_least("polarity", all.polarity, 0.99);
    at_least("negation: sensitivity", all.negation_sensitivity, 0.95);
    at_least("negation: specificity", all.negation_specificity, 0.99);
    at_least("clubs", all.club, 0.985);
    at_least("values", all.value, 0.97);
    at_least("asides", all.aside, 0.93);
    at_least("hints", all.hints, 0.85);
    at_least("to be asked", all.unclear, 0.84);
    at_least("tone, hand, correction", all.tone, 0.99);
}

#[test]
fn no_phrase_is_shadowed_by_another_entry() {
    let shadowed: Vec<String> = phrases()
        .shadowed()
        .map(|(id, says)| format!("{id}: {says}"))
        .collect();
    assert!(shadowed.is_empty(), "{shadowed:#?}");
}

#[test]
fn every_mended_word_is_shown() {
    let line = "I keep toping my driver and hiting it verry fatt, divto behind";
    let reading = read(line);
    let shown: Vec<(&str, &str)> = reading
        .spelling
        .iter()
        .map(|s| (s.said.of(line), s.read_as.as_str()))
        .collect();
    assert!(shown.contains(&("divto", "divot")), "{shown:?}");
    // Never an ordinary word: "lice", "tow", "toad".
    for line in [
        "I saw lice",
        "a tow truck",
        "a toad on the fairway",
        "the blinds",
        "stopped",
    ] {
        assert!(read(line).spelling.is_empty(), "{line}");
    }
}

#[test]
fn words_without_use_are_listed() {
    let line = "fat with my 7 iron in a drizzly purple mood";
    let reading = read(line);
    let unused: Vec<&str> = reading.unused.iter().map(|s| s.of(line)).collect();
    assert_eq!(unused.join(" "), "drizzly purple mood");
}

#[test]
fn bad_input_is_no_worse_than_strange() {
    for line in [
        "",
        "   ",
        "...",
        "\u{202e}",
        "\u{1f3cc}\u{fe0f}",
        "?!",
        "\n\n\t",
    ] {
        let reading = read(line);
        assert!(reading.findings.is_empty(), "{line:?}");
        assert_eq!(reading.tone, Tone::Nothing, "{line:?}");
    }
    for line in ["\u{1b}[31m", "\0\u{7f}fat\u{7}", "fat\r\n7\u{2028}iron"] {
        let _ = read(line);
    }
    assert!(facts("9999999999999999999999999999 iron").is_empty());
    assert!(facts("attack angle 1e400").is_empty());
}

#[test]
fn what_earlier_lines_said_carries_on() {
    let mut context = Context::default();
    let first = reading::read(phrases(), &context, "7 iron is fat");
    context.scope = first.scope;
    let line = "and it's low too";
    let next = reading::read(phrases(), &context, line);
    let said: Vec<String> = next
        .findings
        .iter()
        .map(|f| told(f, &names(), line))
        .collect();
    assert_eq!(said, ["height_too_low with iron_7 \"low\""]);
}

#[test]
fn left_and_right_need_the_hand() {
    let reading = read("starts left");
    assert!(reading.findings.iter().all(|f| f.needs_hand));
    let asked = |r: &Reading| {
        r.unclear
            .iter()
            .filter(|u| matches!(u, reading::Unclear::Hand { .. }))
            .count()
    };
    assert_eq!(asked(&reading), 1);
    assert_eq!(
        asked(&read("starts left, curves right, divots point left")),
        1
    );
    let context = Context {
        hand: Some(Hand::Right),
        ..Context::default()
    };
    let known = reading::read(phrases(), &context, "starts left");
    assert_eq!(asked(&known), 0);
    assert!(known.findings.iter().all(|f| !f.needs_hand));
}

fn answer(asked: &Asked, line: &str) -> Reply {
    read_answer(phrases(), &Context::default(), asked, line).reply
}

#[test]
fn short_answers() {
    let yes_no = Asked::YesNo;
    for line in ["yes", "Yep", "yeah it does", "of course", "sure"] {
        assert_eq!(answer(&yes_no, line), Reply::Yes, "{line}");
    }
    for line in ["no", "nope", "No, it doesn't", "not really", "nah"] {
        assert_eq!(answer(&yes_no, line), Reply::No, "{line}");
    }
    for line in [
        "dunno",
        "don't know",
        "no idea",
        "not sure",
        "I haven't looked",
    ] {
        assert_eq!(answer(&yes_no, line), Reply::DontKnow, "{line}");
    }
    assert_eq!(answer(&yes_no, "sometimes"), Reply::Partly(0.3));
    // A new report is no answer, and "no divot" is no "no".
    assert_eq!(answer(&yes_no, "I shank it"), Reply::Other);
    assert_eq!(answer(&yes_no, "no divot with my irons"), Reply::Other);
    let more = read_answer(
        phrases(),
        &Context::default(),
        &yes_no,
        "yes, and I shank wedges",
    );
    assert_eq!(more.reply, Reply::Yes);
    assert_eq!(more.extras.findings.len(), 1);
}

#[test]
fn numbers_as_answers() {
    let turf = names()
        .quantities
        .iter()
        .position(|q| *q == "turf_entry")
        .map(QuantityId::from_index)
        .unwrap();
    let asked = Asked::Number {
        quantity: turf,
        units: vec![Unit::Inch, Unit::Centimetre],
    };
    let value = |line: &str| match answer(&asked, line) {
        Reply::Number { value, unit, .. } => Some((value.value_in(unit).unwrap(), unit)),
        _ => None,
    };
    assert_eq!(value("2 in"), Some((2.0, Unit::Inch)));
    assert_eq!(value("about two inches behind"), Some((2.0, Unit::Inch)));
    assert_eq!(value("5cm"), Some((5.0, Unit::Centimetre)));
    assert_eq!(value("an inch past the ball"), Some((-1.0, Unit::Inch)));
    assert_eq!(answer(&asked, "2"), Reply::UnitMissing(2.0));
    assert_eq!(answer(&asked, "no idea"), Reply::DontKnow);
    assert_eq!(answer(&asked, "hello"), Reply::Other);
}

#[test]
fn options_and_hands_as_answers() {
    let options = Asked::OneOf(vec![
        "behind the ball".to_owned(),
        "level with it".to_owned(),
        "on the target side".to_owned(),
    ]);
    assert_eq!(answer(&options, "behind"), Reply::Option(0));
    assert_eq!(answer(&options, "2"), Reply::Option(1));
    assert_eq!(answer(&options, "target side I think"), Reply::Option(2));
    assert_eq!(answer(&options, "dunno"), Reply::DontKnow);
    assert_eq!(answer(&Asked::Hand, "left"), Reply::Hand(Hand::Left));
    assert_eq!(
        answer(&Asked::Hand, "I'm a righty"),
        Reply::Hand(Hand::Right)
    );
    assert_eq!(answer(&Asked::Hand, "both"), Reply::Other);
}
