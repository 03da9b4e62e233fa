//! What is stated of whom? Phrases, numbers and frames in, findings, asides, hints and topics out.
//!
//! Every symptom phrase becomes one finding a symptom, with the clubs of its clause and the light
//! it stands in; what is past, wished, feared, conditional or somebody else's goes aside. How
//! often, how bad and counts go to the nearest symptom of the clause, else to the one before.

use super::carried;
use super::circumstances;
use super::clauses::Line;
use super::flight_course::{self, Course};
use super::frames::{Frame, Frames};
use super::measures::{LISTED, Measured, Measures};
use super::modifiers;
use super::phrases::{Match, WordGroup};
use super::repeats;
use super::scope::Scope;
use super::together;
use super::{
    Aside, Correction, Finding, Hint, Number, Pattern, Polarity, Reading, Span, Topic, Unclear,
    What, Why,
};
use crate::knowledge::lexicon::{Meaning, Role, SymptomWords};
use crate::quantity::Amount;
use crate::vocabulary::{Hand, SymptomId};

/// A doubted finding weighs this much of a plain one (elicited).
const HEDGED: f64 = 0.7;

/// How often something is that is "not always" so (elicited).
const NOT_ALWAYS: f64 = 0.3;

/// Up to this severity a thing is slight (the lexicon gives "a bit" 0.3).
const SLIGHT: f64 = 0.35;

/// One finding on its way, with the word it stands at.
#[derive(Debug)]
pub(super) struct Draft {
    pub(super) at: usize,
    pub(super) to: usize,
    pub(super) finding: Finding,
    pub(super) why: Option<Why>,
    correct: bool,
    pub(super) is_number: bool,
    /// "Not always": so now and then, unless more is said.
    pub(super) not_always: bool,
    /// What a slight one is instead.
    slight: Option<SymptomId>,
    /// For a number: what a smaller one than before means.
    pub(super) fallen: Option<SymptomId>,
}

impl Draft {
    /// The same said again by other words, as this finding.
    pub(super) fn again(
        &self,
        line: &Line<'_>,
        (at, to): (usize, usize),
        finding: Finding,
    ) -> Self {
        Self {
            at,
            to,
            finding: Finding {
                clause: line.clause_span(at),
                ..finding
            },
            why: None,
            correct: false,
            is_number: self.is_number,
            not_always: false,
            slight: self.slight,
            fallen: None,
        }
    }
}

/// What the earlier passes found.
pub(super) struct Parts<'a> {
    pub(super) scope: &'a Scope,
    pub(super) frames: &'a Frames,
    pub(super) hand_known: bool,
    /// The hand assumed.
    pub(super) hand: Hand,
    /// Something wrong was told before.
    pub(super) faults_told: bool,
    /// Flights told in two parts.
    pub(super) courses: Vec<Course>,
}

/// Writes findings, asides, hints and topics into the reading.
pub(super) fn write(
    line: &mut Line<'_>,
    parts: &Parts<'_>,
    measures: Measures,
    reading: &mut Reading,
) {
    let mut drafts = Vec::new();
    let matches = line.matches.clone();
    for (place, found) in matches.iter().enumerate() {
        let eaten = measures.eaten.binary_search(&place).is_ok();
        if eaten || parts.scope.in_stretch(found.from, found.to) {
            continue;
        }
        phrase(line, parts, found, &mut drafts, reading);
    }
    for measured in &measures.measured {
        number(line, parts, measured, &mut drafts);
    }
    for group in line.phrases.groups_of_words(line, parts.hand) {
        loose(line, parts, &group, &mut drafts, reading);
    }
    for course in &parts.courses {
        flight(line, parts, course, &mut drafts);
        // "Leans back right", "tips over" are the ball's.
        let told = line.span(course.from, course.to);
        let inside = |said: Span| told.start <= said.start && said.end <= told.end;
        reading.hints.retain(|h| !inside(h.said));
        // "Starts at the flag and curves right": that it starts to no side is told with the course.
        drafts.retain(|d| {
            let side_denied = d.finding.polarity == Polarity::Absent && !d.is_number;
            !(side_denied && inside(d.finding.said) && d.finding.said != told)
        });
    }
    drafts.sort_by_key(|d| (d.at, d.to));
    modifiers::pass_on_from_the_fine(line, parts.scope, &mut drafts);
    let counted = modifiers::hand_out(line, parts.scope, &mut drafts, &measures.rest);
    modifiers::drop_some_good_ones(line, parts.scope, &mut drafts);
    carried::echoes(line, parts, &measures.rest, &mut drafts);
    carried::spread(line, &mut drafts);
    for draft in &mut drafts {
        if draft.not_always && draft.finding.often.is_none() {
            draft.finding.often = Some(NOT_ALWAYS);
        }
        // "Curves right a bit" is the mild one.
        if let Some(slight) = draft.slight
            && draft.finding.severity.is_some_and(|s| s <= SLIGHT)
        {
            draft.finding.what = What::Symptom(slight);
        }
    }
    for told in circumstances::find(line, parts, &drafts) {
        circumstances::write(line, parts, &told, &mut drafts);
    }
    modifiers::leftovers(line, &measures.rest, &counted, reading);
    reading.unclear.extend(measures.unclear);
    modifiers::fallen(line, &mut drafts);
    together::find(line, &mut drafts);
    repeats::taken_back(line, &mut drafts);
    repeats::otherwise(line, &mut drafts);
    put_right(&mut drafts);
    let drafts = repeats::without_repeats(line, drafts);
    for draft in drafts {
        hand_over(draft, reading);
    }
    // "A slice, goes miles right": which of the two it is was said.
    let findings = &reading.findings;
    let said = |s: &SymptomId| {
        let present = |f: &Finding| f.polarity == Polarity::Present;
        findings
            .iter()
            .any(|f| present(f) && f.what == What::Symptom(*s))
    };
    reading
        .unclear
        .retain(|u| !matches!(u, Unclear::Meaning { symptoms, .. } if symptoms.iter().any(said)));
}

/// "Attack -4, no wait, attack +4": a number that is put right takes the place of the one before.
fn put_right(drafts: &mut Vec<Draft>) {
    let number = |d: &Draft| match d.finding.what {
        What::Number(n) => Some((n.quantity, d.finding.pattern.clone())),
        _ => None,
    };
    let right: Vec<_> = (drafts.iter().enumerate())
        .filter(|(_, d)| d.correct && d.is_number)
        .filter_map(|(i, d)| Some((i, number(d)?)))
        .collect();
    if right.is_empty() {
        return;
    }
    let mut place = 0;
    drafts.retain(|d| {
        let own = number(d);
        let replaced = |(i, of): &(usize, _)| place < *i && own.as_ref() == Some(of);
        let kept = !right.iter().any(replaced);
        place += 1;
        kept
    });
}

fn hand_over(draft: Draft, reading: &mut Reading) {
    let Draft {
        finding,
        why,
        correct,
        ..
    } = draft;
    if let Some(why) = why {
        reading.history.push(Aside {
            finding: finding.clone(),
            why,
        });
        // What has stopped is not so now.
        let symptom = matches!(finding.what, What::Symptom(_));
        if why == Why::Stopped && symptom && finding.polarity != Polarity::Unsure {
            reading.findings.push(Finding {
                polarity: Polarity::Absent,
                often: None,
                count: None,
                severity: None,
                ..finding
            });
        }
        return;
    }
    if correct && let What::Number(Number { quantity, .. }) = finding.what {
        reading.corrections.push(Correction::Number {
            quantity,
            said: finding.said,
        });
    }
    if finding.polarity == Polarity::Unsure {
        reading.unclear.push(Unclear::Sure {
            finding: reading.findings.len(),
        });
    }
    reading.findings.push(finding);
}

fn frame_at(parts: &Parts<'_>, at: usize) -> Frame {
    parts.frames.at.get(at).copied().unwrap_or_default()
}

fn polarity(frame: Frame, denied: bool) -> Polarity {
    if frame.unsure {
        Polarity::Unsure
    } else if frame.not != denied {
        Polarity::Absent
    } else {
        Polarity::Present
    }
}

/// A finding on its way, in the light and with the clubs of its words.
pub(super) fn draft(
    line: &Line<'_>,
    parts: &Parts<'_>,
    found: &Match,
    what: What,
    weight: f64,
) -> Draft {
    let frame = frame_at(parts, found.from);
    Draft {
        at: found.from,
        to: found.to,
        why: frame.why,
        correct: frame.correct,
        is_number: false,
        not_always: frame.not_always,
        slight: None,
        fallen: None,
        finding: Finding {
            pattern: parts.scope.pattern_of(line, found.from, found.to),
            what,
            polarity: polarity(frame, found.denied),
            often: None,
            count: None,
            severity: None,
            weight: if frame.hedge { weight * HEDGED } else { weight },
            needs_hand: found.sided && !parts.hand_known,
            change: frame.change,
            said: line.span(found.from, found.to),
            said_again: Vec::new(),
            clause: line.clause_span(found.from),
        },
    }
}

fn phrase(
    line: &mut Line<'_>,
    parts: &Parts<'_>,
    found: &Match,
    drafts: &mut Vec<Draft>,
    reading: &mut Reading,
) {
    let Some(entry) = line.phrases.entry(found.entry) else {
        return;
    };
    let frame = frame_at(parts, found.from);
    let said = line.span(found.from, found.to);
    match &entry.meaning {
        Meaning::Symptoms(words) => {
            let groups = parts.scope.pattern_at(line, found.from).groups;
            let well = !groups.is_empty() && groups.iter().all(|g| words.well_with.contains(g));
            if well && !frame.not {
                drafts.push(draft(line, parts, found, What::AllWell, entry.weight));
                line.use_words(found.from, found.to);
                return;
            }
            let found = &Match {
                denied: found.denied != entry.denies,
                ..*found
            };
            for (place, symptom) in words.symptoms.iter().enumerate() {
                let mut new = draft(line, parts, found, What::Symptom(*symptom), entry.weight);
                enrich(&mut new.finding, words);
                new.slight = words.slight.get(place).copied();
                drafts.push(new);
            }
            if let Some(quantity) = words.measure
                && !frame.not
                && frame.why.is_none()
            {
                reading.unclear.push(Unclear::Amount { quantity, said });
            }
        }
        Meaning::AllWell => {
            // "Fine" of nothing in particular says nothing; "all left with the wedges, all right with
            // the driver" tells of sides.
            if frame.not
                || found.denied
                || is_a_side(line, found)
                || !parts.scope.named_in_clause(line, found.from)
            {
                return;
            }
            drafts.push(draft(line, parts, found, What::AllWell, entry.weight));
        }
        Meaning::OneOf {
            symptoms,
            causes,
            always,
            ..
        } => {
            if let Some(always) = always.filter(|_| is_of_all(line, found)) {
                let new = draft(line, parts, found, What::Symptom(always), entry.weight);
                drafts.push(new);
            }
            if frame.why.is_none() && !frame.not {
                if found.sided && !parts.hand_known {
                    reading.unclear.push(Unclear::Hand { said });
                }
                reading.unclear.push(Unclear::Meaning {
                    pattern: parts.scope.pattern_at(line, found.from),
                    symptoms: symptoms.clone(),
                    causes: causes.clone(),
                    entry: entry.id.clone(),
                    said,
                });
            }
        }
        Meaning::Hint(causes) => {
            let polarity = polarity(frame, found.denied != entry.denies);
            // "My head didn't come up" takes away what it says, not all that folk lore makes of it.
            let folk = polarity == Polarity::Absent && !entry.seen && !entry.denies;
            let told = if folk { 1 } else { causes.len() };
            reading.hints.push(Hint {
                causes: causes.iter().take(told).copied().collect(),
                polarity,
                weight: entry.weight,
                seen: entry.seen && !frame.hedge,
                quoted: matches!(frame.why, Some(Why::Quoted | Why::Other)),
                pattern: parts.scope.pattern_at(line, found.from),
                said,
            });
        }
        Meaning::Topic(answer) => reading.topics.push(Topic {
            answer: *answer,
            told: frame.why == Some(Why::Quoted),
            said,
        }),
        _ => return,
    }
    line.use_words(found.from, found.to);
}

/// A flight told in two parts is what its plain sentence says, and none of the other flights that the
/// words may have sounded like.
fn flight(line: &mut Line<'_>, parts: &Parts<'_>, course: &Course, drafts: &mut Vec<Draft>) {
    let denied = |at: usize| frame_at(parts, at).not;
    if denied(course.from) || denied(course.bend_at) {
        return;
    }
    // The start first, the flight as a whole last; how big the bend is other words say.
    let all: Vec<(&str, Vec<SymptomId>, f64)> = flight_course::PLAIN
        .iter()
        .filter_map(|plain| {
            let (mut words, _) = line.phrases.words(plain);
            let matches = line.phrases.matches(&mut words, parts.hand);
            let entries = matches.iter().filter_map(|m| line.phrases.entry(m.entry));
            let symptoms = |m: &Meaning| match m {
                Meaning::Symptoms(words) => Some(words.symptoms.clone()),
                _ => None,
            };
            let mut read = entries.filter_map(|e| Some((symptoms(&e.meaning)?, e.weight)));
            read.next()
                .map(|(symptoms, weight)| (*plain, symptoms, weight))
        })
        .collect();
    let Some((_, own, weight)) = all.iter().find(|(plain, ..)| *plain == course.plain) else {
        return;
    };
    // What phrases have read as this flight is one fact, told whole.
    let sentence = |at: usize| line.sentence.get(at);
    let whole = own.last().is_some_and(|flight| {
        let same = |d: &&Draft| d.finding.what == What::Symptom(*flight);
        (drafts.iter().filter(same)).any(|d| sentence(d.at) == sentence(course.from))
    });
    if whole {
        return;
    }
    let bends_alike = |plain: &str| plain.rsplit(' ').next() == course.plain.rsplit(' ').next();
    let of = |alike: bool| all.iter().filter(move |(p, ..)| bends_alike(p) == alike);
    let against = |s: SymptomId| {
        let flight = all.iter().any(|(_, all, _)| all.last() == Some(&s));
        let alike = of(true).any(|(_, all, _)| all.contains(&s));
        !own.contains(&s) && (flight || !alike && of(false).any(|(_, all, _)| all.contains(&s)))
    };
    let inside = |d: &Draft| d.at < course.to && d.to > course.from;
    drafts.retain(|d| !matches!(d.finding.what, What::Symptom(s) if inside(d) && against(s)));
    let found = Match {
        entry: 0,
        from: course.from,
        to: course.to,
        words: 2,
        exact: true,
        sided: true,
        denied: false,
    };
    let ends = own.first().into_iter().chain(own.last());
    for symptom in ends.collect::<std::collections::BTreeSet<_>>() {
        let what = What::Symptom(*symptom);
        let near = |d: &Draft| d.finding.what == what && sentence(d.at) == sentence(found.from);
        if !drafts.iter().any(near) {
            drafts.push(draft(line, parts, &found, what, *weight));
        }
    }
    line.use_words(course.from, course.to);
}

/// Words for all shots, where no phrase of how often says so.
const OF_ALL: [&str; 9] = [
    "all",
    "everything",
    "everythings",
    "always",
    "every",
    "each",
    "only",
    "consistently",
    "constantly",
];

/// True if the clause says that it is so of all shots: "everything goes left", "left of it every time".
fn is_of_all(line: &Line<'_>, found: &Match) -> bool {
    let (from, to) = line.clause_range(found.from);
    let is = |at: usize, words: &[&str]| words.iter().any(|w| line.is_word(at, w));
    (from..to).any(|at| {
        let led = (from..at).rev().take(2);
        let denied = led.into_iter().any(|i| line.role_at(i) == Some(Role::Not));
        !denied && is(at, &OF_ALL) && !is(at + 1, &["over", "right", "other", "second", "third"])
    })
}

/// True for "all right" where the same sentence says "all left".
fn is_a_side(line: &Line<'_>, found: &Match) -> bool {
    let all = |at: usize, side: &str| line.is_word(at, "all") && line.is_word(at + 1, side);
    let sentence = line.sentence.get(found.from);
    let start = line.sentence.partition_point(|s| Some(s) < sentence);
    let end = line.sentence.partition_point(|s| Some(s) <= sentence);
    all(found.from, "right") && (start..end).any(|i| all(i, "left"))
}

/// A group of words that lie near each other, unless a phrase of the line says the same.
fn loose(
    line: &mut Line<'_>,
    parts: &Parts<'_>,
    group: &WordGroup,
    drafts: &mut Vec<Draft>,
    reading: &mut Reading,
) {
    let (Some(entry), Some(first), Some(last)) = (
        line.phrases.entry(group.entry),
        group.places.first().copied(),
        group.places.last().copied(),
    ) else {
        return;
    };
    let frames = || group.places.iter().map(|at| frame_at(parts, *at));
    let known = match &entry.meaning {
        Meaning::Symptoms(words) => words.symptoms.iter().all(|s| {
            drafts.iter().any(|d| {
                d.finding.what == What::Symptom(*s)
                    && line.sentence.get(d.at) == line.sentence.get(first)
            })
        }),
        Meaning::Hint(causes) => causes.iter().all(|c| {
            let told = |h: &Hint| h.causes == [*c] && (h.seen || !entry.seen);
            reading.hints.iter().any(told)
        }),
        _ => false,
    };
    let doubted = frames().any(|f| f.unsure) || frames().any(|f| f.not && f.not_always);
    // What phrases have said already is one fact, not two.
    let symptoms = matches!(entry.meaning, Meaning::Symptoms(_));
    let told = |at: &usize| {
        let lie_or_well = matches!(
            line.meaning_at(*at),
            Some(Meaning::Lie(_) | Meaning::AllWell)
        );
        line.is_used(*at) && !(symptoms && lie_or_well)
    };
    let fresh = group.places.iter().filter(|at| !told(at)).count();
    // "My head hasn't come up, the legs still bent": a denial of a part of the words is one of something
    // else.
    let hint = matches!(entry.meaning, Meaning::Hint(_));
    let own_denial = |at: &usize| matches!(line.role_at(*at), Some(Role::Not));
    let half_denied = hint
        && frames().any(|f| f.not)
        && !frames().all(|f| f.not)
        && !group.places.iter().any(own_denial);
    // What is tried, past, wished or feared says nothing of what the golfer does.
    // A fear is a fact where the group holds the word for it.
    let fears = |at: &usize| matches!(line.role_at(*at), Some(Role::Fear));
    let fears = group.places.iter().any(fears);
    let elsewhere = frames().any(|f| match f.why {
        Some(Why::Past | Why::Stopped | Why::Wished | Why::If) => true,
        Some(Why::Feared) => !fears,
        _ => false,
    });
    // "Anything longer than a 6 iron" names clubs and tells of no cause.
    let ranged = hint && (group.places.iter()).any(|at| parts.scope.in_stretch(*at, at + 1));
    if known || doubted || elsewhere || ranged || half_denied || 2 * fresh < group.places.len() {
        return;
    }
    // "Tour players take deep divots, mine are shallow": of the golfer, from "mine" on.
    let from = group
        .places
        .iter()
        .copied()
        .find(|at| symptoms && frame_at(parts, *at).why.is_none())
        .unwrap_or(first);
    // A word that denies may be one of the group's own ("fine on the range, can't on the course"): it
    // is part of what is said and denies nothing.
    let own = |at: &usize| {
        matches!(line.role_at(*at), Some(Role::Not))
            || symptoms && line.words.get(*at).is_some_and(|w| w.denies)
    };
    let denied = if group.places.iter().any(own) {
        frame_at(parts, from).not
    } else {
        frames().any(|f| f.not) && !frame_at(parts, from).not
    };
    let found = Match {
        entry: group.entry,
        from,
        to: last + 1,
        words: group.places.len(),
        exact: true,
        sided: false,
        denied,
    };
    let used = line.used.clone();
    let told = drafts.len();
    phrase(line, parts, &found, drafts, reading);
    if line.used != used {
        line.used = used;
        if symptoms {
            // The group says what its words would say one by one.
            let mut place = 0;
            drafts.retain(|d| {
                let new = place >= told;
                place += 1;
                new || d.finding.weight >= entry.weight
                    || !(d.at..d.to).any(|at| group.places.contains(&at))
            });
        }
        for at in &group.places {
            line.use_words(*at, at + 1);
        }
    }
}

fn enrich(finding: &mut Finding, words: &SymptomWords) {
    finding.often = words.often;
    finding.severity = words.severity;
    // "Just my irons. Woods are fine" names its clubs itself.
    let groups = &finding.pattern.groups;
    let named =
        groups.is_empty() || words.spreads && !groups.iter().any(|g| words.groups.contains(g));
    if !words.groups.is_empty() && named {
        finding.pattern.clubs.clear();
        finding.pattern.groups.clone_from(&words.groups);
    }
    finding.pattern.lie = finding.pattern.lie.or(words.lie);
    finding.pattern.part_shot |= words.part_shot;
}

fn number(line: &Line<'_>, parts: &Parts<'_>, measured: &Measured, drafts: &mut Vec<Draft>) {
    let found = Match {
        entry: 0,
        from: measured.at,
        to: measured.at + 1,
        words: 1,
        exact: true,
        sided: measured.sided,
        denied: false,
    };
    let what = What::Number(measured.number);
    let mut new = draft(line, parts, &found, what, measured.weight);
    new.is_number = true;
    new.fallen = measured.words.fallen;
    if measured.words.of_golfer {
        new.finding.pattern = Pattern::default();
    }
    new.finding.said = measured.span;
    // A wish or a denial of a number is no level of it.
    let value = measured.number.value.mean();
    let groups = new.finding.pattern.groups.clone();
    let spread = measured.number.spread.map_or(0.0, Amount::base);
    // Shots of a list, or the two ends of a range.
    let several = measured.number.shots >= LISTED || measured.number.shots == 1 && spread > 0.0;
    if let Some((symptom, share, by)) = measured.words.uneven
        && several
        && spread >= (share * value.abs()).max(by)
    {
        let mut named = draft(line, parts, &found, What::Symptom(symptom), measured.weight);
        named.finding.said = measured.span;
        drafts.push(named);
    }
    for class in &measured.words.classes {
        let fits = class.groups.is_empty()
            || groups.is_empty()
            || groups.iter().any(|g| class.groups.contains(g));
        if fits && (class.from..class.to).contains(&value) {
            let what = What::Symptom(class.symptom);
            let mut named = draft(line, parts, &found, what, measured.weight);
            named.finding.said = measured.span;
            drafts.push(named);
        }
    }
    drafts.push(new);
}
