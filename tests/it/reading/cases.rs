//! Annotated messages: the case files, the lexicon of the knowledge folder with plain ids, and the
//! comparison of what was read with what was meant. Used by the tests and by the quality table.

use std::fmt::Write as _;

use serde::Deserialize;
use swingwhy::knowledge::lexicon::{Lexicon, Lookups, RawEntry};
use swingwhy::quantity::{Estimate, Unit};
use swingwhy::reading::{
    self, Aside, Context, Correction, Finding, Phrases, Polarity, Reading, Tone, Unclear, What, Why,
};
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
        symptoms: words(include_str!("../../cases/reading/names/symptoms.txt"))
            .into_iter()
            .chain(words(CIRCUMSTANCES))
            .collect(),
        quantities: words(
            "low_point turf_entry mark_length mark_depth mark_end brush_start attack_angle \
             club_path swing_direction face_angle face_to_path dynamic_loft spin_loft launch_angle \
             start_direction axis_tilt spin_rate club_speed ball_speed smash carry total apex side \
             landing_angle strike_across strike_up handle_lean lie_at_impact arc_height \
             ball_position tee_height hang_time handicap static_loft",
        ),
        causes: words(include_str!("../../cases/reading/names/causes.txt")),
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
        // No message here is judged by the answer it gets.
        answer: &|_| Some(AnswerId::from_index(0)),
    };
    let (mut lexicon, mut problems) = Lexicon::resolve(raw, &[], &lookups);
    // What the symptoms' own entries say of themselves (`well: true`).
    lexicon.well = ["contact_centre", "divot_starts_ahead"]
        .iter()
        .map(|id| SymptomId::from_index(place(&names.symptoms, id).unwrap()))
        .collect();
    problems.extend(lexicon.said_twice());
    assert!(
        problems.is_empty(),
        "{}",
        problems
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join("\n")
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
            write!(
                out,
                "{} = {rounded} {}",
                names.quantities[n.quantity.index()],
                n.unit
            )
            .unwrap();
            if !n.unit_said {
                out += " assumed";
            }
            if n.shots > 1 {
                write!(out, " over {}", n.shots).unwrap();
            }
        }
    }
    let p = &finding.pattern;
    let mut with: Vec<&str> = p.clubs.iter().map(|c| names.clubs[c.index()].0).collect();
    if with.is_empty() {
        with = p.groups.iter().map(|g| names.groups[g.index()]).collect();
    }
    if !with.is_empty() {
        write!(out, " with {}", with.join("+")).unwrap();
    }
    if let Some(lie) = p.lie {
        write!(out, " from {}", names.lies[lie.index()]).unwrap();
    }
    if p.part_shot {
        out += " part shot";
    }
    if let Some(count) = finding.count {
        write!(out, " x{}", count.hits).unwrap();
        if let Some(of) = count.of {
            write!(out, "/{of}").unwrap();
        }
    }
    if let Some(often) = finding.often {
        write!(out, " often {}", (often * 100.0).round() / 100.0).unwrap();
    }
    if let Some(severity) = finding.severity {
        write!(out, " severity {severity}").unwrap();
    }
    if finding.needs_hand {
        out += " ?hand";
    }
    write!(out, " \"{}\"", finding.said.of(line)).unwrap();
    out
}

/// The whole reading as text.
pub(crate) fn tell(reading: &Reading, names: &Names, line: &str) -> String {
    let mut out = format!("> {line}\n");
    for f in &reading.findings {
        writeln!(out, "  {}", told(f, names, line)).unwrap();
    }
    for a in &reading.history {
        writeln!(
            out,
            "  aside {:?}: {}",
            a.why,
            told(&a.finding, names, line)
        )
        .unwrap();
    }
    for h in &reading.hints {
        let causes: Vec<&str> = h.causes.iter().map(|c| names.causes[c.index()]).collect();
        writeln!(
            out,
            "  hint {:?} {}{} \"{}\"",
            h.polarity,
            causes.join("+"),
            if h.quoted { " quoted" } else { "" },
            h.said.of(line)
        )
        .unwrap();
    }
    for c in &reading.corrections {
        writeln!(out, "  correction {c:?}").unwrap();
    }
    for s in &reading.spelling {
        writeln!(out, "  spelling \"{}\" as {}", s.said.of(line), s.read_as).unwrap();
    }
    for u in &reading.unclear {
        writeln!(out, "  unclear {u:?}").unwrap();
    }
    for g in &reading.goals {
        let to = if g.to_know { "to know" } else { "wish" };
        writeln!(out, "  goal {to} \"{}\"", g.said.of(line)).unwrap();
    }
    if let Some(hand) = reading.hand {
        writeln!(out, "  hand {hand:?}").unwrap();
    }
    let unused: Vec<&str> = reading.unused.iter().map(|s| s.of(line)).collect();
    if !unused.is_empty() {
        writeln!(out, "  unused: {}", unused.join(" | ")).unwrap();
    }
    if reading.tone != Tone::Talk {
        writeln!(out, "  tone {:?}", reading.tone).unwrap();
    }
    out
}

/// What makes it better or worse: symptoms that most annotators had no name for.
const CIRCUMSTANCES: &str = include_str!("../../cases/reading/names/circumstances.txt");

/// Messages of a file whose facts name a circumstance, from which on its annotators had the names. In the
/// other files a circumstance that is read and not annotated is neither right nor wrong.
const NAMED: usize = 5;

fn has_circumstances(cases: &[Case]) -> bool {
    let named = |fact: &String| {
        fact.split(' ')
            .any(|w| CIRCUMSTANCES.lines().any(|c| c == w))
    };
    let naming = cases.iter().filter(|c| c.reads.iter().any(named));
    naming.count() >= NAMED
}

/// One annotated message.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct Case {
    pub(crate) said: String,
    /// The hand known before.
    pub(crate) hand: Option<String>,
    /// The hand the line says.
    pub(crate) hand_said: Option<String>,
    pub(crate) after: After,
    /// Present facts.
    pub(crate) reads: Vec<String>,
    /// Neither needed nor wrong.
    pub(crate) also: Vec<String>,
    pub(crate) aside: Vec<String>,
    /// One of the causes of each hint; `not` and `quoted` may stand before it.
    pub(crate) hints: Vec<String>,
    pub(crate) unclear: Vec<String>,
    pub(crate) correction: Option<String>,
    pub(crate) tone: Option<String>,
    /// Answers of topics.
    pub(crate) topics: Vec<String>,
    /// Why the case does not count.
    pub(crate) skip: Option<String>,
    /// Its annotator had names for circumstances.
    #[serde(skip)]
    pub(crate) has_circumstances: bool,
}

/// What was said before.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct After {
    pub(crate) club: Option<String>,
    pub(crate) present: Vec<String>,
    pub(crate) measured: Vec<String>,
}

/// All case files of the folder, by file name.
pub(crate) fn files() -> Vec<(String, Vec<Case>)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/reading");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|f| f.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "yaml"))
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let text = std::fs::read_to_string(&path).unwrap();
            let mut cases: Vec<Case> =
                serde_yaml::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
            let named = has_circumstances(&cases);
            for case in &mut cases {
                case.has_circumstances = named;
            }
            (
                path.file_name().unwrap().to_string_lossy().into_owned(),
                cases,
            )
        })
        .collect()
}

fn hand(text: &str) -> Hand {
    if text == "left" {
        Hand::Left
    } else {
        Hand::Right
    }
}

/// The context a case starts from.
pub(crate) fn context(case: &Case, names: &Names) -> Context {
    let clubs: Vec<&str> = names.clubs.iter().map(|(c, _)| *c).collect();
    let mut out = Context {
        hand: case.hand.as_deref().map(hand),
        ..Context::default()
    };
    if let Some(club) = &case.after.club {
        let at = place(&clubs, club).unwrap_or_else(|| panic!("no club {club}"));
        out.scope.clubs.push(ClubId::from_index(at));
        let group = place(&names.groups, names.clubs[at].1).unwrap();
        out.scope.groups.push(GroupId::from_index(group));
    }
    for symptom in &case.after.present {
        let at = place(&names.symptoms, symptom).unwrap_or_else(|| panic!("no symptom {symptom}"));
        out.present.push(SymptomId::from_index(at));
    }
    for number in &case.after.measured {
        // "turf_entry 2 in", or the name alone where the value does not matter.
        let mut words = number.split(' ');
        let what = words.next().unwrap();
        let value: f64 = words.next().map_or(1.0, |v| v.parse().unwrap());
        let unit = words.next().unwrap_or("in");
        let at = place(&names.quantities, what).unwrap();
        let unit = Unit::from_symbol(unit).unwrap_or_else(|| panic!("no unit {unit}"));
        out.measured.push(reading::Number {
            quantity: QuantityId::from_index(at),
            value: Estimate::new(value, 0.0, unit).unwrap(),
            unit,
            unit_said: true,
            shots: 1,
            spread: None,
            plus: None,
        });
    }
    out
}

/// A finding as annotated.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Meant {
    pub(crate) text: String,
    what: String,
    polarity: Polarity,
    value: Option<(f64, String)>,
    with: Vec<String>,
    lie: Option<String>,
    part: bool,
    often: Option<f64>,
    count: Option<(u16, Option<u16>)>,
}

fn expand(with: &str, names: &Names) -> Vec<String> {
    let groups = |keep: &dyn Fn(&str) -> bool| -> Vec<String> {
        names
            .groups
            .iter()
            .filter(|g| keep(g))
            .map(|g| (*g).to_owned())
            .collect()
    };
    match with {
        "irons" => groups(&|g| g.ends_with("iron")),
        "woods" => groups(&|g| g == "fairway" || g == "driver"),
        "all" => groups(&|_| true),
        "all-driver" => groups(&|g| g != "driver"),
        "all-wedge" => groups(&|g| g != "wedge"),
        _ => with.split('+').map(str::to_owned).collect(),
    }
}

/// Reads an annotation: `not thin with iron_7 from rough part often 0.3 x3/10 severity 1`.
pub(crate) fn meant(text: &str, names: &Names) -> Meant {
    let mut words = text.split_whitespace().peekable();
    let mut out = Meant {
        text: text.to_owned(),
        what: String::new(),
        polarity: Polarity::Present,
        value: None,
        with: Vec::new(),
        lie: None,
        part: false,
        often: None,
        count: None,
    };
    while let Some(word) = words.next() {
        match word {
            "not" => out.polarity = Polarity::Absent,
            "maybe" => out.polarity = Polarity::Unsure,
            "with" => out.with = expand(words.next().unwrap(), names),
            "from" => out.lie = words.next().map(str::to_owned),
            "part" => out.part = true,
            "often" => out.often = Some(words.next().unwrap().parse().unwrap()),
            "severity" => {
                words.next();
            }
            _ if word.starts_with('x') && word[1..].starts_with(|c: char| c.is_ascii_digit()) => {
                let mut parts = word[1..].split('/');
                let hits = parts.next().unwrap().parse().unwrap();
                out.count = Some((hits, parts.next().map(|n| n.parse().unwrap())));
            }
            _ if out.what.is_empty() => {
                word.clone_into(&mut out.what);
                let known = place(&names.symptoms, word).is_some() || word == "all_well";
                if place(&names.quantities, word).is_some() {
                    let value = words.next().unwrap().parse().unwrap();
                    let unitless = words
                        .peek()
                        .is_none_or(|w| ["with", "from", "part"].contains(w));
                    let unit = if unitless { "" } else { words.next().unwrap() };
                    out.value = Some((value, unit.to_owned()));
                } else {
                    assert!(known, "unknown finding in `{text}`");
                }
            }
            _ => panic!("cannot read the annotation `{text}`"),
        }
    }
    out
}

fn name_of(finding: &Finding, names: &Names) -> String {
    match finding.what {
        What::Symptom(id) => names.symptoms[id.index()].to_owned(),
        What::Number(n) => names.quantities[n.quantity.index()].to_owned(),
        What::AllWell => "all_well".to_owned(),
    }
}

fn with_of(finding: &Finding, names: &Names) -> Vec<String> {
    let p = &finding.pattern;
    if p.clubs.is_empty() {
        p.groups
            .iter()
            .map(|g| names.groups[g.index()].to_owned())
            .collect()
    } else {
        p.clubs
            .iter()
            .map(|c| names.clubs[c.index()].0.to_owned())
            .collect()
    }
}

/// Right ones out of all.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Share {
    pub(crate) right: usize,
    pub(crate) all: usize,
}

impl Share {
    fn add(&mut self, right: bool) {
        self.all += 1;
        self.right += usize::from(right);
    }

    /// The share, and its Wilson interval at 95 %.
    pub(crate) fn wilson(self) -> (f64, f64, f64) {
        if self.all == 0 {
            return (f64::NAN, 0.0, 1.0);
        }
        let (n, z) = (self.all as f64, 1.96f64);
        let p = self.right as f64 / n;
        let middle = p + z * z / (2.0 * n);
        let half = z * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
        let scale = 1.0 + z * z / n;
        (
            p,
            ((middle - half) / scale).max(0.0),
            ((middle + half) / scale).min(1.0),
        )
    }
}

/// How well a set of messages was read.
#[derive(Debug, Clone, Default)]
pub(crate) struct Score {
    pub(crate) messages: usize,
    pub(crate) perfect: usize,
    /// Findings read that were meant.
    pub(crate) precision: Share,
    /// Findings meant that were read.
    pub(crate) recall: Share,
    pub(crate) polarity: Share,
    /// Meant absent and read so.
    pub(crate) negation_sensitivity: Share,
    /// Meant present and not read absent.
    pub(crate) negation_specificity: Share,
    pub(crate) club: Share,
    pub(crate) lie: Share,
    pub(crate) value: Share,
    pub(crate) often: Share,
    /// Past, wished, feared, other people's: read as such.
    pub(crate) aside: Share,
    pub(crate) hints: Share,
    pub(crate) unclear: Share,
    pub(crate) tone: Share,
    /// What went wrong, message by message.
    pub(crate) wrong: Vec<String>,
}

impl Score {
    /// Adds another score's counts.
    #[allow(dead_code, reason = "the bench sums all files")]
    pub(crate) fn add(&mut self, other: &Self) {
        let sum = |a: &mut Share, b: Share| {
            a.right += b.right;
            a.all += b.all;
        };
        self.messages += other.messages;
        self.perfect += other.perfect;
        sum(&mut self.precision, other.precision);
        sum(&mut self.recall, other.recall);
        sum(&mut self.polarity, other.polarity);
        sum(&mut self.negation_sensitivity, other.negation_sensitivity);
        sum(&mut self.negation_specificity, other.negation_specificity);
        sum(&mut self.club, other.club);
        sum(&mut self.lie, other.lie);
        sum(&mut self.value, other.value);
        sum(&mut self.often, other.often);
        sum(&mut self.aside, other.aside);
        sum(&mut self.hints, other.hints);
        sum(&mut self.unclear, other.unclear);
        sum(&mut self.tone, other.tone);
    }

    /// Every line of the table, with its name.
    pub(crate) fn rows(&self) -> [(&'static str, Share); 13] {
        [
            ("findings: precision", self.precision),
            ("findings: recall", self.recall),
            ("polarity", self.polarity),
            ("negation: sensitivity", self.negation_sensitivity),
            ("negation: specificity", self.negation_specificity),
            ("clubs", self.club),
            ("lie, part shot", self.lie),
            ("value and unit", self.value),
            ("how often, count", self.often),
            ("asides (time, wish, others)", self.aside),
            ("hints", self.hints),
            ("to be asked", self.unclear),
            ("tone, hand, correction", self.tone),
        ]
    }
}

/// Reads a case and adds it to the score.
pub(crate) fn judge(case: &Case, phrases: &Phrases, names: &Names, score: &mut Score) {
    let reading = reading::read(phrases, &context(case, names), &case.said);
    let mut wrong: Vec<String> = Vec::new();
    let expected: Vec<Meant> = case.reads.iter().map(|t| meant(t, names)).collect();
    let allowed: Vec<Meant> = case.also.iter().map(|t| meant(t, names)).collect();
    let mut free: Vec<&Finding> = reading.findings.iter().collect();
    let mut spans = Vec::new();
    let mut flights = Vec::new();
    for want in &expected {
        let fit = |f: &&Finding| name_of(f, names) == want.what;
        let close = |f: &&Finding| {
            fit(f)
                && (want.with.is_empty() || with_of(f, names) == want.with)
                && value_fits(f, want)
        };
        let at = free
            .iter()
            .position(close)
            .or_else(|| free.iter().position(fit));
        score.recall.add(at.is_some());
        if want.polarity == Polarity::Absent {
            let right = at.is_some_and(|i| free[i].polarity == Polarity::Absent);
            score.negation_sensitivity.add(right);
        }
        if want.value.is_some() {
            score
                .value
                .add(at.is_some_and(|i| value_fits(free[i], want)));
        }
        let Some(at) = at else {
            wrong.push(format!("missing {}", want.text));
            continue;
        };
        let got = free.remove(at);
        spans.push(got.said);
        if want.what.starts_with("flight_") {
            flights.push(got.said);
        }
        score.precision.add(true);
        detail(&case.said, got, want, names, score, &mut wrong);
    }
    for extra in free {
        let name = name_of(extra, names);
        // The same words may name one fact twice, and a number its class.
        // and the start and the curve of a flight that was meant are said by its words.
        let part = |f: &Finding| {
            let name = name_of(f, names);
            name.starts_with("starts_") || name.starts_with("curve_")
        };
        let whole = |s: &reading::Span| s.start <= extra.said.start && extra.said.end <= s.end;
        let same_words = spans.contains(&extra.said)
            || (part(extra) && flights.iter().any(whole))
            || reading
                .findings
                .iter()
                .any(|f| f.said == extra.said && matches!(f.what, What::Number(_)) && f != extra);
        // What has stopped is not so now: the two say the same.
        let stopped = extra.polarity == Polarity::Absent
            && case.aside.iter().any(|text| {
                let (why, what) = text.split_once(' ').unwrap();
                why == "stopped" && meant(what, names).what == name
            });
        let unnamed = !case.has_circumstances && CIRCUMSTANCES.lines().any(|c| c == name);
        if same_words || stopped || unnamed || allowed.iter().any(|a| a.what == name) {
            continue;
        }
        score.precision.add(false);
        wrong.push(format!("not meant: {}", told(extra, names, &case.said)));
    }
    asides(case, &reading.history, names, score, &mut wrong);
    rest(case, &reading, names, score, &mut wrong);
    score.messages += 1;
    if wrong.is_empty() {
        score.perfect += 1;
    } else {
        let list = wrong.join("\n    ");
        score
            .wrong
            .push(format!("> {}\n    {list}", case.said.replace('\n', "\\n")));
    }
}

fn value_fits(finding: &Finding, want: &Meant) -> bool {
    match (&finding.what, &want.value) {
        (What::Number(n), Some((value, unit))) => {
            n.unit.symbol() == unit
                && n.value
                    .middle()
                    .value_in(n.unit)
                    .is_ok_and(|v| (v - value).abs() < 0.006 * value.abs().max(1.0))
        }
        _ => true,
    }
}

fn detail(
    said_line: &str,
    got: &Finding,
    want: &Meant,
    names: &Names,
    score: &mut Score,
    wrong: &mut Vec<String>,
) {
    let mut check = |share: &mut Share, right: bool, what: &str| {
        share.add(right);
        if !right {
            wrong.push(format!(
                "{what} of {}: {}",
                want.text,
                told(got, names, said_line)
            ));
        }
    };
    check(
        &mut score.polarity,
        got.polarity == want.polarity,
        "polarity",
    );
    if want.polarity == Polarity::Present {
        score
            .negation_specificity
            .add(got.polarity != Polarity::Absent);
    }
    check(&mut score.club, with_of(got, names) == want.with, "club");
    let lie = got.pattern.lie.map(|l| names.lies[l.index()].to_owned());
    if want.lie.is_some() || lie.is_some() || want.part || got.pattern.part_shot {
        let right = lie == want.lie && got.pattern.part_shot == want.part;
        check(&mut score.lie, right, "lie");
    }
    if want.value.is_some() {
        let mut said = Share::default();
        check(&mut said, value_fits(got, want), "value");
    }
    if want.often.is_some() || want.count.is_some() {
        let often = want
            .often
            .is_none_or(|o| got.often.is_some_and(|g| (g - o).abs() < 0.051));
        let count = want
            .count
            .is_none_or(|c| got.count.is_some_and(|g| (g.hits, g.of) == c));
        check(&mut score.often, often && count, "how often");
    }
}

fn asides(
    case: &Case,
    history: &[Aside],
    names: &Names,
    score: &mut Score,
    wrong: &mut Vec<String>,
) {
    let mut free: Vec<&Aside> = history.iter().collect();
    for text in &case.aside {
        let (why, what) = text.split_once(' ').unwrap();
        let want = meant(what, names);
        let at = free.iter().position(|a| {
            name_of(&a.finding, names) == want.what
                && (why_name(a.why) == why
                    || (["past", "stopped"].contains(&why)
                        && matches!(a.why, Why::Past | Why::Stopped)))
        });
        score.aside.add(at.is_some());
        match at {
            Some(at) => {
                free.remove(at);
            }
            None => wrong.push(format!("missing aside {text}")),
        }
    }
}

fn why_name(why: Why) -> &'static str {
    match why {
        Why::Past => "past",
        Why::Stopped => "stopped",
        Why::Wished => "wished",
        Why::Feared => "feared",
        Why::If => "if",
        Why::Other => "other",
        Why::Quoted => "quoted",
    }
}

fn unclear_name(unclear: &Unclear) -> &'static str {
    match unclear {
        Unclear::Unit { .. } => "unit",
        Unclear::Quantity { .. } => "quantity",
        Unclear::Impossible { .. } => "impossible",
        Unclear::Amount { .. } => "amount",
        Unclear::Direction { .. } => "direction",
        Unclear::Hand { .. } => "hand",
        Unclear::Meaning { .. } => "meaning",
        Unclear::Sure { .. } => "sure",
    }
}

fn rest(case: &Case, reading: &Reading, names: &Names, score: &mut Score, wrong: &mut Vec<String>) {
    for text in &case.hints {
        let cause = text.split(' ').next_back().unwrap();
        let id = place(&names.causes, cause).unwrap_or_else(|| panic!("no cause {cause}"));
        let right = reading.hints.iter().any(|h| {
            h.causes.contains(&CauseId::from_index(id))
                && (!text.contains("quoted ") || h.quoted)
                && (text.contains("not ") == (h.polarity == Polarity::Absent))
        });
        score.hints.add(right);
        if !right {
            wrong.push(format!("missing hint {text}"));
        }
    }
    for hint in &reading.hints {
        let meant = case.hints.iter().any(|t| {
            let cause = t.split(' ').next_back().unwrap();
            hint.causes.iter().any(|c| names.causes[c.index()] == cause)
        });
        if !meant {
            score.hints.add(false);
            wrong.push(format!("hint not meant: {}", hint.said.of(&case.said)));
        }
    }
    for kind in &case.unclear {
        let right = reading.unclear.iter().any(|u| unclear_name(u) == kind);
        score.unclear.add(right);
        if !right {
            wrong.push(format!("not asked: {kind}"));
        }
    }
    for unclear in &reading.unclear {
        let kind = unclear_name(unclear);
        let by_itself = matches!(
            unclear,
            Unclear::Amount { .. } | Unclear::Sure { .. } | Unclear::Hand { .. }
        );
        if !by_itself && !case.unclear.iter().any(|k| k == kind) {
            score.unclear.add(false);
            wrong.push(format!("asked without need: {unclear:?}"));
        }
    }
    let tone = match &reading.tone {
        Tone::Talk => "talk",
        Tone::Greeting => "greeting",
        Tone::Thanks => "thanks",
        Tone::Goodbye => "goodbye",
        Tone::OutOfScope(_) => "out_of_scope",
        Tone::OffTopic => "off_topic",
        Tone::Abuse => "abuse",
        Tone::OtherLanguage(_) => "other_language",
        Tone::Nothing => "nothing",
    };
    let want = case.tone.as_deref().unwrap_or("talk");
    score.tone.add(tone == want);
    if tone != want {
        wrong.push(format!("tone {tone}, not {want}"));
    }
    if let Some(want) = case.hand_said.as_deref() {
        let right = reading.hand == Some(hand(want));
        score.tone.add(right);
        if !right {
            wrong.push(format!("hand {:?}", reading.hand));
        }
    }
    if let Some(want) = case.correction.as_deref() {
        let right = reading.corrections.iter().any(|c| {
            matches!(
                (c, want),
                (Correction::Clubs { .. }, "clubs")
                    | (Correction::Symptom { .. }, "symptom")
                    | (Correction::Number { .. }, "number")
                    | (Correction::Hand { .. }, "hand")
            )
        });
        score.tone.add(right);
        if !right {
            wrong.push(format!("no correction of {want}"));
        }
    }
}

/// Judges all cases of all files; the score of each file.
pub(crate) fn scores(phrases: &Phrases) -> Vec<(String, Score)> {
    let names = names();
    files()
        .into_iter()
        .map(|(file, cases)| {
            let mut score = Score::default();
            for case in cases.iter().filter(|c| c.skip.is_none()) {
                judge(case, phrases, &names, &mut score);
            }
            (file, score)
        })
        .collect()
}

/// The table of a score.
pub(crate) fn table(name: &str, score: &Score) -> String {
    let mut out = format!(
        "{name}: {} messages, {} read without a fault\n",
        score.messages, score.perfect
    );
    for (row, share) in score.rows() {
        let (p, low, high) = share.wilson();
        writeln!(
            out,
            "  {row:<28} {:>5.1} %  ({:>5.1} to {:>5.1})  {}/{}",
            100.0 * p,
            100.0 * low,
            100.0 * high,
            share.right,
            share.all
        )
        .unwrap();
    }
    out
}
