//! What was worked out for somebody who asks how things are, in words.
//!
//! Takes the data; gives lines. Shares are of simulated golfers, so they are called estimates; numbers
//! of the golfer's own are shown with their range.

use super::number::{Manner, amount, capital, chance, listed, range};
use super::page::{Page, shortened};
use super::practice;
use super::shift::shifts_of;
use super::{book, limits};
use crate::causes::RankedCause;
use crate::conversation::{Given, KnownNumber, Shares, WorkedOut};
use crate::knowledge::KnowledgeBase;
use crate::vocabulary::{CauseId, GroupId};

/// A difference of shares under which a cause hardly gives a thing, and over which it often does
/// (elicited).
const HARDLY: f64 = 0.05;
const OFTEN: f64 = 0.25;

/// Degrees of face off the path under which a ball flies about straight (common practice).
const STRAIGHT: f64 = 0.5;

/// An answer that was worked out.
#[allow(
    clippy::too_many_lines,
    reason = "one sentence for each kind of answer"
)]
pub(super) fn worked_out(
    base: &KnowledgeBase,
    answer: &WorkedOut,
    manner: Manner,
    page: &mut Page,
) {
    match answer {
        WorkedOut::Gives {
            cause,
            shares,
            asked,
        } => gives(base, *cause, shares, *asked, page),
        WorkedOut::LeadsTo { from, to, chance } => {
            let (from, to) = (&base.cause(*from).name, &base.cause(*to).name);
            page.labelled(
                "Answer",
                match chance {
                    Some(chance) => format!(
                        "Yes: {from} brings {to} about in some {:.0} of 100 golfers (an estimate).",
                        chance * 100.0
                    ),
                    None => format!("Not that I know of: {from} and {to} are two things, and one may be there without the other."),
                },
            );
        }
        WorkedOut::Size { cause, groups } => size(base, *cause, groups, page),
        WorkedOut::Cure {
            cause,
            overdone,
            here,
            shares,
            check,
        } => {
            cure(base, (*cause, *overdone), here.as_ref(), shares, page);
            if let Some(check) = check {
                let check = base.check(*check);
                let look = format!("{} {}", check.question, check.how);
                page.labelled("Look first", look);
            }
        }
        WorkedOut::Behind {
            symptom,
            group,
            ranked,
        } => {
            let names: Vec<String> = ranked
                .iter()
                .map(|r| {
                    format!(
                        "{} ({:.0} in 100)",
                        base.cause(r.cause).name,
                        r.probability * 100.0
                    )
                })
                .collect();
            page.labelled(
                "Answer",
                format!(
                    "Behind {} with a {}, golfers who tell no more have most often: {}. Estimates; tell me more of the shot and they move.",
                    quoted(&base.symptom(*symptom).name),
                    base.group(*group).name,
                    listed(&names)
                ),
            );
        }
        WorkedOut::BehindCause { cause, parents } => {
            let names: Vec<String> = parents
                .iter()
                .map(|(parent, _)| base.cause(*parent).name.clone())
                .collect();
            page.labelled(
                "Comes from",
                if names.is_empty() {
                    format!(
                        "{}: nothing that I know of leads to it; it is a habit by itself.",
                        base.cause(*cause).name
                    )
                } else {
                    format!(
                        "{}, the strongest first; or it is a habit by itself.",
                        listed(&names)
                    )
                },
            );
        }
        WorkedOut::Look { cause, check } => {
            let check = base.check(*check);
            page.labelled(
                "Look for",
                format!("{}: {}", base.cause(*cause).name, check.question),
            );
            page.labelled("How to look", check.how.clone());
        }
        WorkedOut::Apart { one, other } => {
            for (label, id) in [("One", *one), ("Other", *other)] {
                let cause = base.cause(id);
                page.labelled(
                    label,
                    format!("{}: {}. {}", cause.name, cause.is, cause.because),
                );
                if let Some(check) = cause.check {
                    page.labelled("Look for", base.check(check).question.clone());
                }
                if let Some(text) = &cause.told_apart {
                    page.labelled("Told apart", text.clone());
                }
            }
        }
        WorkedOut::Good {
            quantity,
            group,
            from,
            to,
        } => page.labelled(
            "Answer",
            format!(
                "A good {} with a {}: {}.",
                base.quantity(*quantity).name,
                base.group(*group).name,
                range(base, *quantity, *from, *to, manner)
            ),
        ),
        WorkedOut::Judged {
            quantity,
            value,
            pattern,
            loft,
            limits,
            wanted,
            remark,
        } => {
            let of = limits::Of {
                quantity: *quantity,
                value: *value,
                pattern,
                loft: *loft,
            };
            limits::judged(base, &of, limits, *wanted, manner, page);
            if *remark && !limits.is_empty() {
                limits::remark(page);
            }
        }
        WorkedOut::Flight {
            start,
            face_to_path,
        } => flight(base, start.as_ref(), face_to_path.as_ref(), manner, page),
        WorkedOut::OnRecord { complaint, agreed } => {
            // Numbers are told by the symptoms that they amount to.
            let symptoms = complaint.iter().any(|id| base.find_symptom(id).is_some());
            let names: Vec<String> = complaint
                .iter()
                .filter(|id| *id != "all_well")
                .filter(|id| !symptoms || base.find_symptom(id).is_some())
                .take(4)
                .map(|id| book::name_of(base, id))
                .collect();
            if !names.is_empty() {
                page.labelled("It was", format!("{}.", listed(&names)));
            }
            match agreed {
                Some(agreed) => page.labelled("Agreed", practice::agreed(base, agreed)),
                None => page.labelled(
                    "Agreed",
                    "nothing yet. \"practise\" gives one thing to work on.",
                ),
            }
            page.quiet(
                "",
                "\"my book\" shows every line, \"progress\" what was counted.",
            );
        }
        WorkedOut::Number(known) => {
            let said = if known.said {
                "as you said"
            } else {
                "worked out, 80 %"
            };
            page.labelled(
                "Answer",
                format!(
                    "{} {} ({said}{}).",
                    capital(&base.quantity(known.quantity).name),
                    amount(base, known.quantity, known.value.0, manner),
                    if known.said {
                        String::new()
                    } else {
                        format!(
                            ": {}",
                            range(base, known.quantity, known.value.1, known.value.2, manner)
                        )
                    }
                ),
            );
        }
        WorkedOut::Against {
            cause,
            prior,
            told,
            rival,
            settles,
        } => {
            let name = &base.cause(*cause).name;
            page.key("Against", format!("{name}: {}.", base.cause(*cause).is));
            if told.is_empty() {
                page.labelled("So far", "nothing you told speaks against it.");
            }
            for (words, weight) in told {
                page.labelled(
                    &format!("  {weight:+.1} dB"),
                    format!("\"{}\"", shortened(words, 50)),
                );
            }
            page.labelled(
                &format!("  {prior:+.1} dB"),
                "before anything was told: most golfers do not have it.",
            );
            if let Some(rival) = rival {
                page.labelled("Rival", ranked(base, rival));
            }
            if let Some(check) = settles {
                let check = base.check(*check);
                page.key("Settles it", check.question.clone());
                page.labelled("How to look", check.how.clone());
            }
        }
    }
}

fn quoted(name: &str) -> String {
    format!("\"{name}\"")
}

fn ranked(base: &KnowledgeBase, r: &RankedCause) -> String {
    format!(
        "{} - {}",
        base.cause(r.cause).name,
        chance(r.probability, r.error)
    )
}

fn name_of(base: &KnowledgeBase, what: Given) -> &str {
    match what {
        Given::Symptom(symptom) => &base.symptom(symptom).name,
        Given::Effect(effect) => &base.effect(effect).name,
    }
}

/// `56 in 100 with a driver, 14 without it`, one for each group.
fn counts(base: &KnowledgeBase, shares: &[Shares]) -> String {
    let mut texts: Vec<String> = Vec::new();
    let mut last: Option<Given> = None;
    for share in shares {
        let name = if last == Some(share.what) {
            String::new()
        } else {
            format!("{}: ", quoted(name_of(base, share.what)))
        };
        last = Some(share.what);
        let several = shares.iter().any(|s| s.group != share.group);
        let club = if several || texts.is_empty() {
            format!(" with a {}", base.group(share.group).name)
        } else {
            String::new()
        };
        texts.push(format!(
            "{name}{:.0} in 100{club}, {:.0} without it",
            share.with * 100.0,
            share.without * 100.0
        ));
    }
    texts.join("; ")
}

fn gives(base: &KnowledgeBase, cause: CauseId, shares: &[Shares], asked: bool, page: &mut Page) {
    let entry = base.cause(cause);
    let most = shares
        .iter()
        .map(|s| s.with - s.without)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()));
    let verdict = match most {
        None => "It hardly shows in anything I know.",
        Some(most) if !asked || most.abs() < HARDLY => "Hardly",
        Some(most) if most < 0.0 => "Rather less",
        Some(most) if most < OFTEN => "Sometimes",
        Some(_) => "Yes, often",
    };
    if shares.is_empty() {
        page.labelled("Answer", format!("{}: {verdict}", capital(&entry.name)));
        return;
    }
    let mut sorted: Vec<Shares> = shares.to_vec();
    sorted.sort_by_key(|s| s.what);
    let shown = counts(base, &sorted);
    page.labelled(
        "Answer",
        if asked {
            format!(
                "{verdict}. Of golfers with {} and nothing else, {shown} (estimates).",
                quoted(&entry.name)
            )
        } else {
            format!("{}: {shown} (estimates).", capital(&entry.name))
        },
    );
    page.labelled("Because", entry.because.clone());
}

fn size(base: &KnowledgeBase, cause: CauseId, groups: &[GroupId], page: &mut Page) {
    let entry = base.cause(cause);
    page.labelled("Cause", format!("{}: {}.", entry.name, entry.is));
    let mut last = String::new();
    for group in groups {
        let text = shifts_of(base, cause, *group);
        if text.is_empty() || text == last {
            continue;
        }
        let label = if last.is_empty() { "Moves" } else { " " };
        page.labelled(
            label,
            format!("With a {}: {text} - an estimate.", base.group(*group).name),
        );
        last = text;
    }
    page.labelled(
        "Share",
        format!(
            "clearly present in {:.0} of 100 golfers who complain (estimate).",
            entry.prior * 100.0
        ),
    );
}

fn cure(
    base: &KnowledgeBase,
    (cause, overdone): (CauseId, Option<CauseId>),
    here: Option<&RankedCause>,
    shares: &[Shares],
    page: &mut Page,
) {
    let entry = base.cause(cause);
    let other = overdone.map_or(String::new(), |other| {
        format!(
            " Done by anybody else it makes the other fault, {}.",
            quoted(&base.cause(other).name)
        )
    });
    page.labelled(
        "A cure for",
        format!(
            "{}: {}. It helps those who have that.{other}",
            entry.name, entry.is
        ),
    );
    if shares.is_empty() {
        page.labelled("Because", entry.because.clone());
    } else {
        let most = shares
            .iter()
            .map(|s| s.with - s.without)
            .fold(0.0, f64::max);
        let so = if most < HARDLY {
            "So the cure takes next to nothing of that away."
        } else {
            "The difference is what a cure can take away."
        };
        page.labelled(
            "It gives",
            format!(
                "Of golfers with {}, {} (estimates). {so}",
                quoted(&entry.name),
                counts(base, shares)
            ),
        );
    }
    if let Some(here) = here {
        page.labelled("Here", format!("{}.", ranked(base, here)));
    }
}

fn flight(
    base: &KnowledgeBase,
    start: Option<&KnownNumber>,
    face_to_path: Option<&KnownNumber>,
    manner: Manner,
    page: &mut Page,
) {
    if let Some(start) = start {
        let (middle, low, high) = start.value;
        page.labelled(
            "Starts",
            if start.said {
                format!("{}.", amount(base, start.quantity, middle, manner))
            } else {
                format!(
                    "about {} ({}), worked out from path, face and loft.",
                    amount(base, start.quantity, middle, manner),
                    range(base, start.quantity, low, high, manner)
                )
            },
        );
    }
    if let Some(off) = face_to_path {
        let (middle, low, high) = off.value;
        let degrees =
            |a: crate::quantity::Amount| a.value_in(crate::quantity::Unit::Degree).unwrap_or(0.0);
        let off_by = degrees(middle);
        let shape = match off_by {
            d if d.abs() < STRAIGHT => "so it flies about straight",
            d if d > 3.0 => "so it bends a good way to the push side: a slice, or a big fade",
            d if d > 0.0 => "so it bends to the push side: a fade",
            d if d < -3.0 => "so it bends a good way to the pull side: a hook, or a big draw",
            _ => "so it bends to the pull side: a draw",
        };
        let sure = if degrees(low) < -0.3 && degrees(high) > 0.3 {
            ", though the range leaves the other way open"
        } else {
            ""
        };
        page.labelled(
            "Bends",
            format!(
                "The face is about {} of the path ({}), {shape}{sure}. A strike off the middle can change that.",
                amount(base, off.quantity, middle, manner),
                range(base, off.quantity, low, high, manner)
            ),
        );
    }
}
