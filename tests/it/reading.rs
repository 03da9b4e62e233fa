//! Reading: annotated messages as cases, laws over many, and bad input. Kind of values: invented
//! messages, readings agreed by hand.

use swingwhy::knowledge::lexicon::{Lexicon, Lookups, RawEntry};
use swingwhy::reading::{self, Context, Finding, Phrases, Polarity, Reading, What};
use swingwhy::vocabulary::{
    AnswerId, CauseId, ClubId, GroupId, Hand, LieId, QuantityId, SymptomId,
};

/// Text ids of everything the phrases may name, in a fixed order.
pub(crate) struct Names {
    pub clubs: Vec<(&'static str, &'static str)>,
    pub groups: Vec<&'static str>,
    pub lies: Vec<&'static str>,
    pub symptoms: Vec<&'static str>,
    pub quantities: Vec<&'static str>,
    pub causes: Vec<&'static str>,
}

fn words(text: &'static str) -> Vec<&'static str> {
    text.split_whitespace().collect()
}

pub(crate) fn names() -> Names {
    Names {
        clubs: vec![
            ("driver", "driver"),
            ("wood_3", "fairway"),
            ("wood_5", "fairway"),
            ("wood_7", "fairway"),
            ("hybrid_3", "hybrid"),
            ("hybrid_4", "hybrid"),
            ("hybrid_5", "hybrid"),
            ("iron_2", "long_iron"),
            ("iron_3", "long_iron"),
            ("iron_4", "long_iron"),
            ("iron_5", "mid_iron"),
            ("iron_6", "mid_iron"),
            ("iron_7", "mid_iron"),
            ("iron_8", "short_iron"),
            ("iron_9", "short_iron"),
            ("wedge_pitching", "wedge"),
            ("wedge_gap", "wedge"),
            ("wedge_sand", "wedge"),
            ("wedge_lob", "wedge"),
        ],
        groups: words("wedge short_iron mid_iron long_iron hybrid fairway driver"),
        lies: words(
            "fairway tee mat rough uphill downhill above_feet below_feet tight wet bunker old_divot",
        ),
        symptoms: words(include_str!("../cases/reading/names/symptoms.txt")),
        quantities: words(
            "low_point turf_entry mark_length mark_depth mark_end brush_start attack_angle \
             club_path swing_direction face_angle face_to_path dynamic_loft spin_loft launch_angle \
             start_direction axis_tilt spin_rate club_speed ball_speed smash carry total apex side \
             landing_angle strike_across strike_up handle_lean lie_at_impact arc_height \
             ball_position tee_height hang_time handicap",
        ),
        causes: words(include_str!("../cases/reading/names/causes.txt")),
    }
}

fn place(list: &[&str], id: &str) -> Option<usize> {
    list.iter().position(|n| *n == id)
}

/// The lexicon of the knowledge folder, with the ids of [`names`].
pub(crate) fn lexicon() -> Lexicon {
    let mut raw: Vec<RawEntry> = Vec::new();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/knowledge/phrases");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|f| f.unwrap().path())
        .collect();
    files.sort();
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let entries: Vec<RawEntry> =
            serde_yaml::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
        raw.extend(entries);
    }
    let names = names();
    let all: Vec<GroupId> = (0..names.groups.len()).map(GroupId::from_index).collect();
    let clubs: Vec<&str> = names.clubs.iter().map(|(c, _)| *c).collect();
    let lookups = Lookups {
        club: &|id| place(&clubs, id).map(ClubId::from_index),
        group_of: &|club| {
            let (_, group) = names.clubs.get(club.index())?;
            place(&names.groups, group).map(GroupId::from_index)
        },
        group: &|id| place(&names.groups, id).map(GroupId::from_index),
        all_groups: &all,
        lie: &|id| place(&names.lies, id).map(LieId::from_index),
        symptom: &|id| place(&names.symptoms, id).map(SymptomId::from_index),
        quantity: &|id| place(&names.quantities, id).map(QuantityId::from_index),
        cause: &|id| place(&names.causes, id).map(CauseId::from_index),
        answer: &|_| None::<AnswerId>,
    };
    let (lexicon, problems) = Lexicon::resolve(raw, &[], &lookups);
    assert!(
        problems.is_empty(),
        "{}",
        problems
            .iter()
            .map(|p| format!("{p}\n"))
            .collect::<String>()
    );
    lexicon
}

/// One finding as the case files write it.
pub(crate) fn told(finding: &Finding, names: &Names, line: &str) -> String {
    let mut out = match finding.polarity {
        Polarity::Present => String::new(),
        Polarity::Absent => "not ".to_owned(),
        Polarity::Unsure => "maybe ".to_owned(),
    };
    match finding.what {
        What::Symptom(id) => out += names.symptoms[id.index()],
        What::AllWell => out += "all_well",
        What::Number(n) => {
            let value = n.value.middle().value_in(n.unit).unwrap();
            let rounded = (value * 100.0).round() / 100.0;
            out += &format!(
                "{} = {rounded} {}",
                names.quantities[n.quantity.index()],
                n.unit
            );
            if !n.unit_said {
                out += " assumed";
            }
            if n.shots > 1 {
                out += &format!(" over {}", n.shots);
            }
        }
    }
    let p = &finding.pattern;
    let mut with: Vec<&str> = p.clubs.iter().map(|c| names.clubs[c.index()].0).collect();
    if with.is_empty() {
        with = p.groups.iter().map(|g| names.groups[g.index()]).collect();
    }
    if !with.is_empty() {
        out += &format!(" with {}", with.join("+"));
    }
    if let Some(lie) = p.lie {
        out += &format!(" from {}", names.lies[lie.index()]);
    }
    if p.part_shot {
        out += " part shot";
    }
    if let Some(count) = finding.count {
        out += &format!(" x{}", count.hits);
        if let Some(of) = count.of {
            out += &format!("/{of}");
        }
    }
    if let Some(often) = finding.often {
        out += &format!(" often {}", (often * 100.0).round() / 100.0);
    }
    if let Some(severity) = finding.severity {
        out += &format!(" severity {severity}");
    }
    if finding.needs_hand {
        out += " ?hand";
    }
    out += &format!(" \"{}\"", finding.said.of(line));
    out
}

/// The whole reading as text.
pub(crate) fn tell(reading: &Reading, names: &Names, line: &str) -> String {
    let mut out = format!("> {line}\n");
    for f in &reading.findings {
        out += &format!("  {}\n", told(f, names, line));
    }
    for a in &reading.history {
        out += &format!("  aside {:?}: {}\n", a.why, told(&a.finding, names, line));
    }
    for h in &reading.hints {
        let causes: Vec<&str> = h.causes.iter().map(|c| names.causes[c.index()]).collect();
        out += &format!(
            "  hint {:?} {}{} \"{}\"\n",
            h.polarity,
            causes.join("+"),
            if h.quoted { " quoted" } else { "" },
            h.said.of(line)
        );
    }
    for c in &reading.corrections {
        out += &format!("  correction {c:?}\n");
    }
    for s in &reading.spelling {
        out += &format!("  spelling \"{}\" as {}\n", s.said.of(line), s.read_as);
    }
    for u in &reading.unclear {
        out += &format!("  unclear {u:?}\n");
    }
    for g in &reading.goals {
        let to = if g.to_know { "to know" } else { "wish" };
        out += &format!("  goal {to} \"{}\"\n", g.said.of(line));
    }
    if let Some(hand) = reading.hand {
        out += &format!("  hand {hand:?}\n");
    }
    let unused: Vec<&str> = reading.unused.iter().map(|s| s.of(line)).collect();
    if !unused.is_empty() {
        out += &format!("  unused: {}\n", unused.join(" | "));
    }
    if reading.tone != reading::Tone::Talk {
        out += &format!("  tone {:?}\n", reading.tone);
    }
    out
}

fn phrases() -> &'static Phrases {
    static PHRASES: std::sync::OnceLock<Phrases> = std::sync::OnceLock::new();
    PHRASES.get_or_init(|| Phrases::compile(&lexicon()))
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
