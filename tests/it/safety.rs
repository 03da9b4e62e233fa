//! The safety reader against lines written before it: text in, cautions out.
//!
//! `tests/cases/safety.yaml` says how the lines came about. No line that must be heard may be
//! missed, and none that must be silent may set anything off.

use std::collections::BTreeMap;

use proptest::prelude::*;
use serde::Deserialize;
use swingwhy::knowledge::{Caution, CautionLevel, Kind, Origin, builtin_files};
use swingwhy::reading::safety::{Alarm, Lookout};

#[derive(Deserialize)]
struct Lines {
    emergency: Vec<String>,
    first: BTreeMap<String, Vec<String>>,
    loud: Vec<String>,
    asks: Vec<String>,
    silent: Vec<String>,
}

#[derive(Deserialize)]
struct Cases {
    shown: Lines,
    kept: Lines,
    later: Lines,
    last: Lines,
    overheard: Vec<String>,
}

/// `cautions.yaml` alone, so that no other file of the knowledge can silence this test.
#[derive(Deserialize)]
struct Written {
    id: String,
    when: CautionLevel,
    #[serde(default)]
    says: Vec<String>,
    #[serde(default)]
    parts: Vec<String>,
    #[serde(default)]
    hurts: Vec<String>,
    #[serde(default)]
    both: Vec<Vec<String>>,
    #[serde(default)]
    not_when: Vec<String>,
    #[serde(default)]
    grave: Vec<String>,
    ask: Option<String>,
    ask_grave: Option<String>,
    text: String,
}

fn cases() -> Cases {
    serde_yaml::from_str(include_str!("../cases/safety.yaml")).unwrap()
}

fn lookout() -> (Lookout, Vec<String>) {
    let files = builtin_files();
    let file = files
        .iter()
        .find(|f| f.path.ends_with("cautions.yaml"))
        .unwrap();
    let written: Vec<Written> = serde_yaml::from_str(&file.text).unwrap();
    let cautions: Vec<Caution> = written
        .into_iter()
        .map(|w| Caution {
            id: w.id,
            level: w.when,
            says: w.says,
            parts: w.parts,
            hurts: w.hurts,
            both: w.both,
            not_when: w.not_when,
            grave: w.grave,
            ask: w.ask,
            ask_grave: w.ask_grave,
            leave: false,
            text: w.text,
            origin: Origin {
                kind: Kind::Common,
                source: None,
            },
        })
        .collect();
    (
        Lookout::of_cautions(&cautions),
        cautions.into_iter().map(|c| c.id).collect(),
    )
}

/// The alarms that stop the talk.
fn loud(lookout: &Lookout, line: &str) -> Vec<Alarm> {
    let mut alarms = lookout.look(line);
    alarms.retain(|a| a.level != CautionLevel::Beside);
    alarms
}

fn told(alarms: &[Alarm], ids: &[String], line: &str) -> String {
    let one = |a: &Alarm| {
        format!(
            "{}{} <{}> {}",
            ids[a.caution.index()],
            if a.unsure { "?" } else { "" },
            a.said.of(line),
            a.ails.join(" ")
        )
    };
    alarms.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// Every line that is not heard as it should be, with what was heard.
fn faults(lines: &Lines) -> (usize, Vec<String>) {
    let (lookout, ids) = lookout();
    let mut faults = Vec::new();
    let mut n = 0;
    let mut judge = |kind: &str, line: &str, good: &dyn Fn(&[Alarm]) -> bool| {
        let alarms = loud(&lookout, line);
        n += 1;
        if !good(&alarms) {
            faults.push(format!("{kind}: {line}   [{}]", told(&alarms, &ids, line)));
        }
    };
    for line in &lines.emergency {
        judge("emergency", line, &|a| {
            a.first()
                .is_some_and(|a| a.level == CautionLevel::Emergency && !a.unsure)
        });
    }
    for (ail, group) in &lines.first {
        for line in group {
            judge(ail, line, &|a| {
                let named = ail == "any" || ail == "denied_but_real";
                a.first()
                    .is_some_and(|a| a.level == CautionLevel::First && !a.unsure)
                    && (named || a.iter().any(|a| a.ails.contains(ail)))
            });
        }
    }
    for line in &lines.loud {
        judge("loud", line, &|a| a.first().is_some_and(|a| !a.unsure));
    }
    for line in &lines.asks {
        judge("asks", line, &|a| {
            !a.is_empty() && a.iter().all(|a| a.unsure)
        });
    }
    for line in &lines.silent {
        judge("silent", line, &<[Alarm]>::is_empty);
    }
    (n, faults)
}

#[test]
fn every_line_written_for_this_is_heard_right() {
    let all = cases();
    let mut total = 0;
    let mut wrong = Vec::new();
    for lines in [&all.shown, &all.kept, &all.later, &all.last] {
        let (n, mut faults) = faults(lines);
        total += n;
        wrong.append(&mut faults);
    }
    assert!(total > 600, "only {total} lines");
    assert!(
        wrong.is_empty(),
        "{} of {total}:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn false_alarms_known_are_still_the_ones_listed() {
    let (lookout, _) = lookout();
    for line in cases().overheard {
        let heard = !loud(&lookout, &line).is_empty();
        assert!(heard, "no longer heard, move it to `silent`: {line}");
    }
}

#[derive(Deserialize)]
struct Blind {
    id: String,
    say: Vec<String>,
    caution: String,
}

/// The messages of the blind cases, judged by teachers who had seen no word list.
#[test]
fn blind_cases_get_the_caution_their_teacher_wanted() {
    let (lookout, ids) = lookout();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/blind");
    let mut wrong = Vec::new();
    let mut n = 0;
    for file in std::fs::read_dir(folder).unwrap() {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        let cases: Vec<Blind> = serde_yaml::from_str(&text).unwrap();
        for case in cases {
            let alarms: Vec<Alarm> = case.say.iter().flat_map(|l| loud(&lookout, l)).collect();
            let heard = match alarms.iter().map(|a| a.level).min() {
                Some(CautionLevel::Emergency) => "emergency",
                Some(_) => "first",
                None => "none",
            };
            n += 1;
            if heard != case.caution {
                let line = case.say.join(" / ");
                wrong.push(format!("{}: {}", case.id, told(&alarms, &ids, &line)));
            }
        }
    }
    assert!(n > 250, "only {n} cases");
    assert!(
        wrong.is_empty(),
        "{} of {n}:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

const PARTS: [(&str, &str); 13] = [
    ("back", "pain_back"),
    ("lower back", "pain_back"),
    ("neck", "pain_back"),
    ("wrist", "pain_wrist"),
    ("left wrist", "pain_wrist"),
    ("thumb", "pain_wrist"),
    ("elbow", "pain_elbow"),
    ("shoulder", "pain_shoulder"),
    ("trail shoulder", "pain_shoulder"),
    ("knee", "pain_knee"),
    ("hip", "pain_knee"),
    ("ankle", "pain_knee"),
    ("hamstring", "pain_knee"),
];

#[test]
fn every_part_is_heard_in_every_plain_complaint() {
    let (lookout, _) = lookout();
    let says = [
        "my {} hurts",
        "{} hurts when I swing",
        "my {} is really sore",
        "I have a sore {}",
        "pain in my {}",
        "there is some pain in the {}",
        "hitting it fat, {} aches",
        "My {}'s killing me",
        "my {} doesn\u{2019}t hurt as much as last week",
        "can't say my {} doesn't hurt",
        "no longer only hurts in my {} when I swing",
        "I can't swing without {} pain",
        "no idea why my {} hurts",
        "{} pain, thin shots, ball goes right",
    ];
    for (part, ail) in PARTS {
        for say in says {
            let line = say.replace("{}", part);
            let alarms = loud(&lookout, &line);
            let heard = alarms
                .iter()
                .any(|a| !a.unsure && a.ails.iter().any(|w| w == ail));
            assert!(heard, "{line}: {alarms:?}");
        }
    }
}

#[test]
fn no_part_is_heard_when_it_is_denied() {
    let (lookout, _) = lookout();
    let says = [
        "no {} pain",
        "my {} doesn't hurt",
        "my {} does not hurt at all",
        "I don\u{2019}t have any pain in my {}",
        "never had pain in my {}",
        "my {} isn't sore",
        "{} feels fine, no pain",
        "without any {} pain",
        "my wife's {} hurts",
        "how do I avoid hurting my {}",
    ];
    for (part, _) in PARTS {
        for say in says {
            let line = say.replace("{}", part);
            assert!(
                loud(&lookout, &line).is_empty(),
                "{line}: {:?}",
                loud(&lookout, &line)
            );
        }
    }
}

#[test]
fn past_and_mended_pain_is_asked_about() {
    let (lookout, _) = lookout();
    for (part, _) in PARTS {
        for say in [
            "had a bad {} last year, sore for months, fine now",
            "my {} used to hurt",
        ] {
            let alarms = loud(&lookout, &say.replace("{}", part));
            assert!(
                !alarms.is_empty() && alarms.iter().all(|a| a.unsure),
                "{part}: {alarms:?}"
            );
        }
    }
}

#[test]
fn one_slip_of_the_keys_is_forgiven_and_a_real_word_is_not_a_slip() {
    let (lookout, _) = lookout();
    for line in [
        "my elbw hurts",
        "shouldr is sore",
        "my wrsit aches",
        "my ankle is swolen",
        "bakc hurts",
    ] {
        assert!(!loud(&lookout, line).is_empty(), "{line}");
    }
    for line in [
        "my waist burns past",
        "shaft angle is painted red",
        "I looked up",
        "spins a lot",
    ] {
        assert!(
            loud(&lookout, line).is_empty(),
            "{line}: {:?}",
            loud(&lookout, line)
        );
    }
}

#[test]
fn emergencies_come_first_and_count_for_anybody() {
    let (lookout, _) = lookout();
    for line in [
        "my back hurts and I have chest pain",
        "my wife has chest pain",
        "what if he has chest pain",
    ] {
        let alarms = loud(&lookout, line);
        assert_eq!(
            alarms.first().map(|a| a.level),
            Some(CautionLevel::Emergency),
            "{line}"
        );
    }
}

proptest! {
    #[test]
    fn any_line_gives_spans_inside_it_in_order_of_level(line in "\\PC{0,200}") {
        let (lookout, _) = lookout();
        let alarms = lookout.look(&line);
        prop_assert!(alarms.windows(2).all(|w| w[0].level <= w[1].level));
        for alarm in &alarms {
            prop_assert!(line.get(alarm.said.start..alarm.said.end).is_some_and(|s| !s.is_empty()));
        }
        prop_assert_eq!(alarms, lookout.look(&line));
    }

    #[test]
    fn golf_talk_after_a_full_stop_silences_no_pain(place in 0usize..4, swap in any::<bool>()) {
        let (lookout, _) = lookout();
        let golf = ["I slice my driver", "no problem with the irons, never fat", "not a bad round", "it doesn't draw"];
        let pain = "my elbow hurts on every shot";
        let line = if swap { format!("{}. {pain}", golf[place]) } else { format!("{pain}. {}", golf[place]) };
        prop_assert!(loud(&lookout, &line).iter().any(|a| a.level == CautionLevel::First), "{}", line);
    }
}

/// Nothing that the program can say promises anything about pain or safety, or tells anybody to let go
/// of a club.
#[test]
fn no_text_promises_anything_about_pain() {
    let forbidden = [
        "guarantee",
        "pain-free",
        "pain free",
        "painless",
        "cures pain",
        "cures your back",
        "no risk",
        "risk-free",
        "will not hurt",
        "won't hurt",
        "heals",
        "will heal",
        "safe for your back",
        "completely safe",
        "let go of the club",
        "throw the club",
        "release the club into",
    ];
    // What golfers type is heard, not said.
    let said = |line: &str| !line.trim_start().starts_with(['#', '>']);
    let mut wrong = Vec::new();
    for file in builtin_files() {
        if file.path.starts_with("phrases/") || file.path == "cautions.yaml" {
            continue;
        }
        for line in file.text.lines().filter(|l| said(l)) {
            let lower = line.to_lowercase();
            wrong.extend(
                forbidden
                    .iter()
                    .filter(|w| lower.contains(*w))
                    .map(|w| format!("{}: {w}: {line}", file.path)),
            );
        }
    }
    for caution in &crate::support::base().cautions {
        let lower = caution.text.to_lowercase();
        wrong.extend(
            forbidden
                .iter()
                .filter(|w| lower.contains(*w))
                .map(|w| format!("{w}: {lower}")),
        );
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
