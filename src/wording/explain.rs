//! Explanations in words: why, why not, which of two, what if, all numbers, what disagrees.
//!
//! Accounts are printed as they were computed: each finding's weight in decibans with its sign, and
//! the sum. Ten decibans are a factor of ten in the odds; one is about the least worth noticing
//! (Good 1950, Probability and the Weighing of Evidence; from memory).

use super::heard::pattern_name;
use super::number::{
    Manner, amount, capital, chance, chance_count, chance_word, listed, range, rounded,
};
use super::page::{Page, shortened};
use super::shift::shifts_text;
use crate::causes::RankedCause;
use crate::causes::model::{Axis, Event};
use crate::conversation::{Changed, ReasonLine, axis_unit};
use crate::diagnosis::{Diagnosis, Origin};
use crate::explanation::{Account, Contrast, Hypothesis, Why};
use crate::geometry::consistency::{Disagreement, Level};
use crate::knowledge::KnowledgeBase;
use crate::quantity::Amount;
use crate::vocabulary::{CauseId, QuantityId};

/// A weight of evidence with its sign, one decimal.
fn decibans(value: f64) -> String {
    let text = format!("{value:+.1}");
    if text == "-0.0" {
        "+0.0".to_owned()
    } else {
        text
    }
}

fn strength(value: f64) -> &'static str {
    match value.abs() {
        v if v < 1.0 => "only slightly",
        v if v < 2.5 => "a little",
        v if v < 5.0 => "clearly",
        _ => "strongly",
    }
}

/// Why a cause: how it moves the club, what speaks for and against it, and the rules' reasoning.
pub(super) fn why(
    base: &KnowledgeBase,
    why: &Why,
    words: &[String],
    reasoning: &[ReasonLine],
    manner: Manner,
    page: &mut Page,
) {
    let cause = base.cause(why.account.cause);
    page.key("Cause", format!("{}: {}.", cause.name, cause.is));
    page.labelled("Because", cause.because.clone());
    let shifts = shifts_text(&why.shifts, manner.metric);
    if !shifts.is_empty() {
        page.labelled("Moves", format!("{} - an estimate.", capital(&shifts)));
    }
    if why.path.len() > 1 {
        let names: Vec<String> = why
            .path
            .iter()
            .map(|c| base.cause(*c).name.clone())
            .collect();
        page.labelled("Chain", names.join(" -> "));
    }
    account(base, &why.account, words, page);
    if !reasoning.is_empty() {
        page.text("From your words to the arc:");
        for line in reasoning.iter().take(16) {
            reason(base, line, manner, page);
        }
    }
}

fn reason(base: &KnowledgeBase, line: &ReasonLine, manner: Manner, page: &mut Page) {
    let indent = " ".repeat(2 + 2 * line.depth.min(6));
    let name = base
        .find_symptom(&line.slot)
        .map(|s| base.symptom(s).name.clone())
        .or_else(|| {
            base.find_effect(&line.slot)
                .map(|e| base.effect(e).name.clone())
        })
        .or_else(|| {
            base.find_quantity(&line.slot)
                .map(|q| base.quantity(q).name.clone())
        })
        .or_else(|| base.find_sign(&line.slot).map(|s| s.name.clone()))
        .unwrap_or_else(|| line.slot.replace('_', " "));
    let value = match (line.number, line.holds) {
        (Some((quantity, middle)), _) => format!(" {}", amount(base, quantity, middle, manner)),
        (None, Some(false)) => " (not so)".to_owned(),
        (None, _) => String::new(),
    };
    let from = match (&line.words, &line.rule) {
        (Some(words), _) => format!(" - you said \"{}\"", shortened(words, 40)),
        (None, Some((id, because))) => format!(" - {because} [{id}]"),
        (None, None) => String::new(),
    };
    page.text(format!("{indent}{name}{value}{from}"));
}

fn account(base: &KnowledgeBase, account: &Account, words: &[String], page: &mut Page) {
    page.text("The account, in decibans (10 is a factor of ten in the odds):");
    let mut sum = account.prior;
    let line = |label: &str, value: f64, sum: f64| {
        format!(
            "  {:<46} {:>6}  = {:>6}",
            shortened(label, 46),
            decibans(value),
            decibans(sum)
        )
    };
    let mut lines = vec![line("before anything was said", account.prior, sum)];
    // Words that say several things ("irons are fine") are one entry.
    let mut entries: Vec<(String, f64)> = Vec::new();
    for entry in &account.entries {
        let said = words.get(entry.evidence).cloned().unwrap_or_default();
        match entries.last_mut().filter(|(last, _)| *last == said) {
            Some((_, weight)) => *weight += entry.decibans,
            None => entries.push((said, entry.decibans)),
        }
    }
    for (said, weight) in entries {
        sum += weight;
        lines.push(line(&format!("\"{said}\""), weight, sum));
    }
    if account.unsaid.abs() > 0.04 {
        sum += account.unsaid;
        lines.push(line("what you did not mention", account.unsaid, sum));
    }
    page.art(lines);
    let odds = 10f64.powf(account.total / 10.0);
    let p = odds / (1.0 + odds);
    page.labelled(
        "Comes to",
        format!(
            "{}: {}, {}.",
            base.cause(account.cause).name,
            chance_word(p),
            chance_count(p)
        ),
    );
}

/// Why not a cause: what separates the leader from it.
pub(super) fn why_not(
    base: &KnowledgeBase,
    contrast: &Contrast,
    words: &[String],
    page: &mut Page,
) {
    let (first, second) = contrast.causes;
    let (a, b) = (base.cause(first), base.cause(second));
    page.key("Why not", format!("{}: {}.", b.name, b.is));
    separation(base, contrast, words, page);
    if b.looks_like.contains(&first) || a.looks_like.contains(&second) {
        page.labelled("Look-alikes", "these two are often taken for each other.");
    }
    if let Some(text) = b.told_apart.as_ref().or(a.told_apart.as_ref()) {
        page.labelled("Told apart", text.clone());
    }
    settles(base, contrast, page);
}

/// Decibans from which something is no evidence but a fact that was told, such as the lie
/// (elicited: no observation comes near it).
const TOLD: f64 = 60.0;

fn separation(base: &KnowledgeBase, contrast: &Contrast, words: &[String], page: &mut Page) {
    let (first, second) = contrast.causes;
    // One observation may be several pieces of evidence: it speaks once, with all its weight.
    let mut between: Vec<(String, f64)> = Vec::new();
    for entry in &contrast.between {
        let said = words.get(entry.evidence).cloned().unwrap_or_default();
        match between.iter_mut().find(|(other, _)| *other == said) {
            Some((_, weight)) => *weight += entry.decibans,
            None => between.push((said, entry.decibans)),
        }
    }
    between.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    let strongest: Vec<_> = between
        .iter()
        .filter(|(_, weight)| weight.abs() >= 0.3)
        .take(4)
        .collect();
    if strongest.is_empty() {
        page.labelled("So far", "nothing you said tells the two apart.");
    }
    for (said, weight) in strongest {
        let whom = if *weight > 0.0 { first } else { second };
        // What was told as a fact is weighed against nothing.
        if weight.abs() >= TOLD {
            page.labelled(
                "  told",
                format!(
                    "\"{}\": {} is so, as you said.",
                    shortened(said, 50),
                    base.cause(whom).name
                ),
            );
            continue;
        }
        page.labelled(
            &format!("  {} dB", decibans(*weight)),
            format!(
                "\"{}\" speaks {} for {}.",
                shortened(said, 50),
                strength(*weight),
                base.cause(whom).name
            ),
        );
    }
    let common = contrast.accounts.0.prior - contrast.accounts.1.prior;
    if common.abs() >= 1.0 {
        let whom = if common > 0.0 { first } else { second };
        page.labelled(
            &format!("  {} dB", decibans(common)),
            format!(
                "{} is simply the commoner of the two.",
                base.cause(whom).name
            ),
        );
    }
}

fn settles(base: &KnowledgeBase, contrast: &Contrast, page: &mut Page) {
    match contrast.settles {
        Some(check) => {
            let check = base.check(check);
            page.key("Settles it", check.question.clone());
            page.labelled("How to look", check.how.clone());
        }
        None => page.key(
            "Settles it",
            "no single look I know of; change one and count ten balls.",
        ),
    }
}

fn ranked_text(base: &KnowledgeBase, ranked: Option<&RankedCause>) -> String {
    ranked.map_or_else(
        || "not among the candidates here".to_owned(),
        |r| {
            format!(
                "{} - {}",
                base.cause(r.cause).name,
                chance(r.probability, r.error)
            )
        },
    )
}

fn percent(p: f64) -> String {
    format!("{:.0} %", p * 100.0)
}

fn predictions(base: &KnowledgeBase, h: &Hypothesis, page: &mut Page) {
    let effects: Vec<String> = h
        .effects
        .iter()
        .take(3)
        .map(|p| {
            format!(
                "{} {} (with no fault {})",
                base.effect(p.what).name,
                percent(p.with),
                percent(p.without)
            )
        })
        .collect();
    if !effects.is_empty() {
        page.labelled("Predicts", capital(&effects.join("; ")));
    }
    let symptoms: Vec<String> = h
        .symptoms
        .iter()
        .filter(|p| p.with > p.without)
        .take(4)
        .map(|p| {
            format!(
                "{} {} (with no fault {})",
                base.symptom(p.what).name,
                percent(p.with),
                percent(p.without)
            )
        })
        .collect();
    if !symptoms.is_empty() {
        page.labelled("They'd say", symptoms.join("; "));
    }
}

/// Two causes side by side.
pub(super) fn compare(
    base: &KnowledgeBase,
    contrast: &Contrast,
    words: &[String],
    predicts: &(Hypothesis, Hypothesis),
    ranked: &(Option<RankedCause>, Option<RankedCause>),
    manner: Manner,
    page: &mut Page,
) {
    for (h, r) in [(&predicts.0, &ranked.0), (&predicts.1, &ranked.1)] {
        page.labelled(
            if h.cause == contrast.causes.0 {
                "Either"
            } else {
                "Or"
            },
            ranked_text(base, r.as_ref()),
        );
        page.labelled("  moves", shifts_text(&h.shifts, manner.metric));
        predictions(base, h, page);
        page.blank();
    }
    separation(base, contrast, words, page);
    settles(base, contrast, page);
}

/// A hypothesis against what was seen.
pub(super) fn supposed(
    base: &KnowledgeBase,
    h: &Hypothesis,
    words: &[String],
    ranked: Option<&RankedCause>,
    rival: Option<&RankedCause>,
    manner: Manner,
    page: &mut Page,
) {
    let cause = base.cause(h.cause);
    page.labelled("Suppose", format!("{}: {}.", cause.name, cause.is));
    page.labelled("Moves", capital(&shifts_text(&h.shifts, manner.metric)));
    predictions(base, h, page);
    let pick = |want: bool| -> Vec<String> {
        let mut entries: Vec<_> = h
            .account
            .entries
            .iter()
            .filter(|e| {
                if want {
                    e.decibans >= 0.5
                } else {
                    e.decibans <= -0.5
                }
            })
            .collect();
        entries.sort_by(|a, b| {
            b.decibans
                .abs()
                .total_cmp(&a.decibans.abs())
                .then(a.evidence.cmp(&b.evidence))
        });
        entries
            .iter()
            .take(3)
            .map(|e| {
                let said = words.get(e.evidence).cloned().unwrap_or_default();
                format!("\"{}\" ({} dB)", shortened(&said, 40), decibans(e.decibans))
            })
            .collect()
    };
    if !h.account.entries.is_empty() {
        let (fits, against) = (pick(true), pick(false));
        page.labelled(
            "Fits",
            if fits.is_empty() {
                "nothing said so far".to_owned()
            } else {
                listed(&fits)
            },
        );
        page.labelled(
            "Against",
            if against.is_empty() {
                "nothing said so far".to_owned()
            } else {
                listed(&against)
            },
        );
        page.labelled("Stands at", ranked_text(base, ranked));
    }
    if let Some(rival) = rival {
        page.labelled("Rival", ranked_text(base, Some(rival)));
    }
    match h.settles {
        Some(check) => {
            let check = base.check(check);
            page.key("Settles it", check.question.clone());
            page.labelled("How to look", check.how.clone());
        }
        None => page.key("Settles it", cause.told_apart.clone().unwrap_or_default()),
    }
}

const fn event_name(event: Event) -> &'static str {
    match event {
        Event::Clean => "clean",
        Event::Thin => "thin",
        Event::Topped => "topped",
        Event::SlightlyHeavy => "slightly heavy",
        Event::Fat => "fat",
        Event::StartsPush => "starts to the push side",
        Event::StartsPull => "starts to the pull side",
        Event::CurvePushBig => "curves far to the push side",
        Event::CurvePullBig => "curves far to the pull side",
        Event::Heel => "toward the heel",
        Event::Toe => "toward the toe",
        Event::Shank => "off the hosel",
        _ => "other",
    }
}

/// Shots in a hundred before and after a change.
pub(super) fn what_if(
    base: &KnowledgeBase,
    (change, share): (&Changed, f64),
    rates: &[(Event, f64, f64)],
    axes: &[(Axis, Amount, Amount)],
    manner: Manner,
    page: &mut Page,
) {
    let name = match change {
        Changed::Moved(index, size, said) => {
            base.changes.iter().nth(*index).map_or(String::new(), |c| {
                let by = format!("{} by {} {}", c.name, rounded(*size, 1), c.unit);
                match (said, &c.because) {
                    (Some((size, unit)), Some(why)) => {
                        format!("{by} ({} {unit}: {why})", rounded(*size, 1))
                    }
                    _ => by,
                }
            })
        }
        Changed::Put(values) => {
            let named = values.iter().filter_map(|(axis, value)| {
                let quantity = axis_named(base, *axis)?;
                let name = &base.quantity(quantity).name;
                Some(format!("{name} {}", amount(base, quantity, *value, manner)))
            });
            named.collect::<Vec<_>>().join(" and ")
        }
        Changed::With(cause) => format!("with {} come on", base.cause(*cause).name),
        Changed::Elsewhere { club, group, lie } => {
            let named = club.map(|c| base.club(c).name.clone());
            let named = named.or_else(|| group.map(|g| base.group(g).name.clone()));
            let with = named.map(|name| format!("with {} {name}", super::limits::article(&name)));
            let on = lie.map(|lie| base.lie(lie).name.clone());
            let parts = std::iter::once("the same swing".to_owned());
            parts.chain(with).chain(on).collect::<Vec<_>>().join(", ")
        }
        Changed::Without(cause) => format!(
            "without {}, for the {} in 100 like you who have it",
            base.cause(*cause).name,
            (share * 100.0).round().max(1.0)
        ),
    };
    page.labelled("What if", format!("{name}, everything else as it is:"));
    let moved: Vec<String> = axes
        .iter()
        .filter_map(|(axis, before, after)| {
            let quantity = axis_named(base, *axis)?;
            let unit = axis_unit(*axis);
            let (b, a) = (before.value_in(unit).ok()?, after.value_in(unit).ok()?);
            ((a - b).abs() >= 0.1).then(|| {
                format!(
                    "{} {} -> {}",
                    base.quantity(quantity).name,
                    amount(base, quantity, *before, manner),
                    amount(base, quantity, *after, manner)
                )
            })
        })
        .collect();
    if !moved.is_empty() {
        page.labelled("The arc", capital(&listed(&moved)));
    }
    page.art(
        std::iter::once("  shots in a hundred                now   then".to_owned()).chain(
            rates
                .iter()
                .filter(|(event, before, after)| match event {
                    // Where on the face matters where it changes.
                    Event::Heel | Event::Toe => (before - after).abs() >= 0.02,
                    Event::Shank => before.max(*after) >= 0.03,
                    _ => before.max(*after) >= 0.005,
                })
                .map(|(event, before, after)| {
                    format!(
                        "  {:<31} {:>5.0}  {:>5.0}",
                        event_name(*event),
                        before * 100.0,
                        after * 100.0
                    )
                }),
        ),
    );
    let clean = rates.iter().find(|(e, _, _)| *e == Event::Clean);
    if let Some((_, before, after)) = clean {
        // The difference of the figures shown.
        let gain = (after * 100.0).round() - (before * 100.0).round();
        let text = if gain.abs() < 0.5 {
            "About as many clean strikes as now.".to_owned()
        } else if gain.abs() < 1.5 {
            let more = if gain > 0.0 { "more" } else { "fewer" };
            format!("About one {more} clean strike in a hundred.")
        } else if gain > 0.0 {
            format!("About {gain:.0} more clean strikes in a hundred.")
        } else {
            format!("About {:.0} fewer clean strikes in a hundred.", -gain)
        };
        page.key("So", format!("{text}{}", flights_moved(rates)));
    }
    if let Changed::Elsewhere { group: Some(_), .. } = change {
        page.quiet(
            "",
            "The causes go along from club to club. What was bad luck or a habit with the first club alone does not, so its complaint fades a little in any other.",
        );
    }
}

/// A change of so many shots in a hundred is worth a word where balls start or curve (elicited).
const FLIGHTS_WORTH: f64 = 4.5;

/// The two largest changes of where balls start and curve, and what gets worse the most, as a sentence
/// with a space before it; nothing if none is large.
fn flights_moved(rates: &[(Event, f64, f64)]) -> String {
    let name = |event: Event| match event {
        Event::StartsPush => Some("start to the push side"),
        Event::StartsPull => Some("start to the pull side"),
        Event::CurvePushBig => Some("curve far to the push side"),
        Event::CurvePullBig => Some("curve far to the pull side"),
        _ => None,
    };
    let moved = rates.iter().filter_map(|(event, before, after)| {
        let by = (after * 100.0).round() - (before * 100.0).round();
        (by.abs() >= FLIGHTS_WORTH).then_some((name(*event)?, by))
    });
    let mut moved: Vec<(&str, f64)> = moved.collect();
    moved.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    let worse = moved.iter().skip(2).find(|(_, by)| *by > 0.0).copied();
    let shown = moved.iter().take(2).any(|(_, by)| *by > 0.0);
    moved.truncate(2);
    moved.extend(worse.filter(|_| !shown));
    if moved.is_empty() {
        return String::new();
    }
    let each = |(name, by): &(&str, f64)| {
        let more = if *by > 0.0 { "more" } else { "fewer" };
        format!("{:.0} {more} {name}", by.abs())
    };
    let all: Vec<String> = moved.iter().map(each).collect();
    format!(" {}.", capital(&listed(&all)))
}

/// The quantity that an axis is, if it is one that can be told.
fn axis_named(base: &KnowledgeBase, axis: Axis) -> Option<QuantityId> {
    let (_, name, _, _) = Axis::ALL.iter().find(|(a, _, _, _)| *a == axis)?;
    base.find_quantity(name)
}

/// Every number of a diagnosis.
pub(super) fn numbers(base: &KnowledgeBase, d: &Diagnosis, manner: Manner, page: &mut Page) {
    if let Some(pattern) = d.focus() {
        page.text(format!(
            "Numbers for the {} (95 % ranges):",
            pattern_name(base, pattern)
        ));
    }
    for row in d.rows.iter().filter(|r| r.pattern == d.focus) {
        let from = match &row.origin {
            Origin::Said(_) => "you said",
            Origin::Derived(_) => "worked out",
        };
        page.labelled(
            &format!("  {from}"),
            format!(
                "{} {} ({})",
                base.quantity(row.quantity).name,
                amount(base, row.quantity, row.value.middle(), manner),
                range(
                    base,
                    row.quantity,
                    row.value.low(),
                    row.value.high(),
                    manner
                )
            ),
        );
    }
    let modelled: Vec<String> = d
        .judgement
        .ranges
        .iter()
        .filter_map(|r| {
            let (_, name, _, _) = Axis::ALL.iter().find(|(a, _, _, _)| *a == r.axis)?;
            let quantity = base.find_quantity(name)?;
            matches!(
                r.axis,
                Axis::LowPoint
                    | Axis::AttackAngle
                    | Axis::ClubPath
                    | Axis::FaceAngle
                    | Axis::StrikeAcross
            )
            .then(|| {
                format!(
                    "{} {} ({})",
                    base.quantity(quantity).name,
                    amount(base, quantity, r.mean, manner),
                    range(base, quantity, r.low, r.high, manner)
                )
            })
        })
        .collect();
    page.text("Golfers like you, in the simulation (5 to 95 %):");
    for text in modelled {
        page.labelled("  about", text);
    }
    page.text("What the club did, among those golfers (\"So\" in a reply goes by your number and its error alone):");
    let mut effects: Vec<_> = d
        .judgement
        .effects
        .iter()
        .filter(|(_, p)| *p >= 0.15)
        .collect();
    effects.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    page.art(
        effects
            .iter()
            .take(8)
            .map(|(e, p)| format!("  {:<44} {:>4}", base.effect(*e).name, percent(*p))),
    );
    page.text("Causes: chance, its numerical error, share of all golfers simulated (before anything was said), at work here:");
    page.art(d.judgement.causes.iter().take(10).map(|c| {
        format!(
            "  {:<40} {:>5} +/- {:<4} {:>5} {:>5}",
            shortened(&base.cause(c.cause).name, 40),
            percent(c.probability),
            format!("{:.0} %", (c.error * 100.0).max(1.0)),
            percent(c.prior),
            percent(c.at_work)
        )
    }));
    page.quiet(
        "",
        format!(
            "None of these: {}. Golfers that fit (effective): {:.0}{}. Shifts and priors are estimates; geometry does the rest.",
            percent(d.judgement.none),
            d.judgement.effective_golfers,
            if d.judgement.refined { ", drawn near this case" } else { "" }
        ),
    );
}

/// Which two numbers disagree, and why; never which one is wrong.
pub(super) fn disagreement(base: &KnowledgeBase, d: &Disagreement, manner: Manner) -> String {
    let name = |n: crate::geometry::consistency::MeasuredName| -> (String, String) {
        let id = n.id();
        match (base.find_quantity(id), d.value(n)) {
            (Some(q), Some(v)) => (base.quantity(q).name.clone(), amount(base, q, v, manner)),
            _ => (id.replace('_', " "), String::new()),
        }
    };
    let (a, b) = (name(d.between.0), name(d.between.1));
    let how = match d.level {
        Level::Impossible => "cannot both be right, whatever the swing",
        Level::Check => "hardly go together",
    };
    format!(
        "{} {} and {} {} {how}. Which one is off?",
        a.0, a.1, b.0, b.1
    )
}

/// The name of a cause, for callers that have only its id.
pub fn cause_name(base: &KnowledgeBase, cause: CauseId) -> &str {
    &base.cause(cause).name
}
