//! What is told after the answer, and what entries of the knowledge are, whoever has them.
//!
//! Takes what is already computed of a finished case: why it was so, why not something else, what
//! would have settled it, where the points went.

use super::super::capital;
use super::super::number::{Manner, rounded};
use super::super::page::Page;
use super::answer_word;
use super::comparison::{chain, here, odds, piece, share, signed};
use crate::knowledge::KnowledgeBase;
use crate::learning::{Answer, Commitment, Comparison, Link, LinkEnd, Piece, Pupil};
use crate::vocabulary::{CauseId, CheckId};

/// Entries of the knowledge.
pub(super) fn entries(base: &KnowledgeBase, list: &[LinkEnd], page: &mut Page) {
    for end in list {
        match end {
            LinkEnd::Cause(cause) => {
                let cause = base.cause(*cause);
                let label = capital(&cause.name);
                page.text(format!("{label}: {} {}", full(&cause.is), cause.because));
                if let Some(check) = cause.check {
                    page.labelled("To look", &base.check(check).how);
                }
            }
            LinkEnd::Fault(fault) => {
                let fault = base.effect(*fault);
                let label = capital(&fault.name);
                page.text(format!("{label}: {}", fault.because));
                page.labelled("Wanted", full(fault.wants.as_deref().unwrap_or("")));
            }
            LinkEnd::Seen(symptom) => {
                let entry = base.symptom(*symptom);
                page.text(format!("{}: {}", capital(&entry.name), full(&entry.is)));
            }
        }
    }
    page.quiet("", "That is so of any golfer, and cost no minute.");
}

/// A sentence with its full stop.
pub(super) fn full(text: &str) -> String {
    let text = text.trim();
    if text.is_empty() || text.ends_with(['.', '!', '?']) {
        text.to_owned()
    } else {
        format!("{}.", capital(text))
    }
}

/// Why the finished case was what it was.
pub(super) fn why(
    base: &KnowledgeBase,
    pupil: &Pupil,
    links: &[Link],
    comparison: &Comparison,
    manner: Manner,
    page: &mut Page,
) {
    let Some(main) = pupil.worths.first() else {
        return;
    };
    let cause = base.cause(main.cause);
    page.labelled(
        "Cause",
        format!("{}. {}", capital(&cause.name), cause.because),
    );
    let fault = base.effect(pupil.fault);
    page.labelled(
        "Fault",
        format!("{}. {}", capital(&fault.name), fault.because),
    );
    for link in links {
        page.labelled(
            "Link",
            format!("{} ({}).", chain(base, link), share(base, link)),
        );
    }
    if let Some(text) = here(base, pupil, comparison, manner) {
        page.labelled("Here", text);
    }
    page.key(
        "",
        "Ask on: \"why not\" and a cause, \"what would settle it\", \"what did I do wrong\".",
    );
}

/// What spoke for or against a cause.
pub(super) fn why_not(
    base: &KnowledgeBase,
    (pupil, cause): (&Pupil, CauseId),
    pieces: &[(Piece, f64)],
    look: Option<(CheckId, Answer)>,
    page: &mut Page,
) {
    let name = capital(&base.cause(cause).name);
    if let Some(worth) = pupil.worths.iter().find(|w| w.cause == cause) {
        let main = pupil.worths.first().is_some_and(|w| w.cause == cause);
        let text = if main {
            "It is there, and costs this golfer most".to_owned()
        } else if worth.at_work() {
            "It is there and at work, but costs less than the first".to_owned()
        } else {
            "It is there, but costs this golfer little".to_owned()
        };
        page.text(format!(
            "{name}. {text}: {} shots in a hundred.",
            rounded(worth.gain.most().max(0.0), 0)
        ));
    } else {
        page.text(format!("{name}: not there."));
        let main = pupil
            .worths
            .first()
            .map(|w| base.cause(w.cause).name.as_str());
        if pieces.is_empty() {
            page.text("Nothing you saw spoke against it more than against what is there.");
        }
        for (what, decibans) in pieces {
            page.text(format!(
                "  {}: {} to 1 against it and for {}",
                capital(&piece(base, *what)),
                odds(*decibans),
                main.unwrap_or("what is there")
            ));
        }
    }
    if let Some((check, answer)) = look {
        page.labelled(
            "A look",
            format!(
                "would have said {}: \"{}\"",
                answer_word(answer),
                base.check(check).question
            ),
        );
    }
}

/// The looks that would have told.
pub(super) fn settles(base: &KnowledgeBase, list: &[(CauseId, CheckId, Answer)], page: &mut Page) {
    if list.is_empty() {
        page.text("No single look tells these causes.");
    }
    for (cause, check, answer) in list {
        let check = base.check(*check);
        page.text(format!("{}:", capital(&base.cause(*cause).name)));
        page.labelled("  Ask", &check.question);
        page.labelled("  Look", &check.how);
        page.labelled("  Here", capital(&format!("{}.", answer_word(*answer))));
    }
}

/// Where the points went.
pub(super) fn lost(
    base: &KnowledgeBase,
    causes: &[(CauseId, f64, f64)],
    pupil: &Pupil,
    (commitment, comparison): (&Commitment, &Comparison),
    page: &mut Page,
) {
    if commitment.given_up {
        page.text("You gave up, so nothing was scored.");
        return;
    }
    for (cause, stated, points) in causes {
        let there = if pupil.has(*cause) {
            "there"
        } else {
            "not there"
        };
        page.labelled(
            "Cause",
            format!(
                "{} at {:.0} %, {there}: {} points.",
                base.cause(*cause).name,
                100.0 * stated,
                signed(*points)
            ),
        );
    }
    for worth in pupil.at_work() {
        if causes.iter().all(|c| c.0 != worth.cause) {
            page.labelled(
                "Missed",
                format!(
                    "{}, which costs {} shots in a hundred: you gave it no chance.",
                    base.cause(worth.cause).name,
                    rounded(worth.gain.most(), 0)
                ),
            );
        }
    }
    let fault = &base.effect(pupil.fault).name;
    page.labelled(
        "Fault",
        match (commitment.fault, comparison.fault) {
            (_, Some(_)) => "named, as it should be.".to_owned(),
            (Some(named), None) => {
                format!(
                    "\"{}\" does not hold; it is {fault}.",
                    base.effect(named).name
                )
            }
            (None, None) => format!("none named; it is {fault}."),
        },
    );
    let s = comparison.score;
    page.labelled(
        "Practice",
        format!(
            "gains {} of the {} shots in a hundred there are to gain; {} minutes were used.",
            rounded(s.gained, 0),
            rounded(s.could_gain.max(0.0), 0),
            rounded(s.minutes, 0)
        ),
    );
    let sure = causes
        .iter()
        .filter(|(cause, stated, _)| *stated >= 0.5 && !pupil.has(*cause))
        .count();
    if sure > 0 {
        page.key(
            "",
            "Most is lost by being sure of what is not there: a chance of 50 on it costs a quarter of \
             what a chance of 100 costs.",
        );
    }
}
