//! The comparison after a commitment, in words: what was true, what the program made of the same,
//! where the two parted, what the questions were worth, what the practice would have done, the
//! geometry in two sentences and a drawing, the score.
//!
//! Takes a comparison that is already computed; rounds and words it. The score comes last.

use super::super::calculator::ball_on;
use super::super::drawing::{Drawing, side_view};
use super::super::number::{Manner, listed, rounded};
use super::super::page::Page;
use super::symptom_name;
use crate::causes::model::Axis;
use crate::geometry::arc::Arc;
use crate::knowledge::KnowledgeBase;
use crate::learning::{
    Attempt, Commitment, Comparison, Desk, Done, Link, LinkEnd, Piece, Pupil, Reasoned,
};
use crate::quantity::{Angle, Length, Unit};
use crate::vocabulary::{CauseId, CheckId};

/// What the page is about.
pub(super) struct Compared<'a> {
    pub(super) comparison: &'a Comparison,
    pub(super) commitment: &'a Commitment,
    pub(super) pupil: &'a Pupil,
    pub(super) desk: &'a Desk,
    pub(super) attempt: &'a Attempt,
}

/// Questions listed.
const QUESTIONS: usize = 3;
/// A question worth this share of the best is as good.
const AS_GOOD: f64 = 0.9;

pub(super) fn compared(base: &KnowledgeBase, c: &Compared<'_>, manner: Manner, page: &mut Page) {
    truth(base, c, page);
    yours(base, c, page);
    program(base, c, manner, page);
    questions(base, c, page);
    practice(base, c, page);
    geometry(base, c.pupil, manner, page);
    score(c, page);
}

fn name(base: &KnowledgeBase, cause: CauseId) -> String {
    base.cause(cause).name.clone()
}

fn shots(n: f64) -> String {
    format!("{:.0}", n.max(0.0))
}

fn truth(base: &KnowledgeBase, c: &Compared<'_>, page: &mut Page) {
    let at_work: Vec<String> = c
        .pupil
        .at_work()
        .map(|w| {
            let root = c
                .comparison
                .roots
                .iter()
                .find(|(cause, _)| *cause == w.cause)
                .map_or(String::new(), |(_, root)| {
                    format!(", which comes of {}", name(base, *root))
                });
            format!(
                "{} (costs {} in a hundred{root})",
                name(base, w.cause),
                shots(w.gain.most())
            )
        })
        .collect();
    page.labelled("At work", format!("{}.", at_work.join("; ")));
    let idle: Vec<String> = c
        .pupil
        .worths
        .iter()
        .filter(|w| !w.at_work())
        .map(|w| {
            // Without it the golfer would play worse: it covers for something.
            if w.gain.clean < -3.0 && w.gain.playable < 0.0 {
                format!(
                    "{} (a rescue: without it the strike gets worse)",
                    name(base, w.cause)
                )
            } else {
                name(base, w.cause)
            }
        })
        .collect();
    if !idle.is_empty() {
        page.labelled(
            "Also there",
            format!("{}, costing little by itself.", listed(&idle)),
        );
    }
    if c.pupil.bad_day {
        page.labelled("The day", "A bad one: twice the usual poor swings.");
    }
    if let Some((wrong, by)) = c.pupil.mistaken {
        let side = if by > 0.0 { "high" } else { "low" };
        page.labelled(
            "Wrong",
            format!(
                "The device's {} was far too {side} today.",
                base.quantity(wrong).name
            ),
        );
    }
}

fn yours(base: &KnowledgeBase, c: &Compared<'_>, page: &mut Page) {
    let holding: Vec<String> = c
        .pupil
        .first
        .case
        .effects
        .iter()
        .filter(|e| **e != c.pupil.fault)
        .take(3)
        .map(|e| base.effect(*e).name.clone())
        .collect();
    let also = if holding.is_empty() {
        String::new()
    } else {
        format!(" (also {})", holding.join(", "))
    };
    let main = &base.effect(c.pupil.fault).name;
    let verdict = match (c.commitment.fault, c.comparison.fault) {
        (Some(_), Some(named)) if named == c.pupil.fault => "You named it.".to_owned(),
        (Some(_), Some(named)) => format!("Yours, {}, holds too.", base.effect(named).name),
        (Some(named), None) => format!("Yours, {}, does not hold.", base.effect(named).name),
        (None, _) => String::new(),
    };
    page.labelled("The club", format!("{main}{also}. {verdict}"));
    if !c.commitment.causes.is_empty() {
        page.labelled(
            "You",
            format!("{}.", chances(base, c, &c.commitment.causes)),
        );
    }
}

/// Causes with their stated chances, and whether each is there.
fn chances(base: &KnowledgeBase, c: &Compared<'_>, list: &[(CauseId, f64)]) -> String {
    let said: Vec<String> = list
        .iter()
        .map(|(cause, p)| {
            let there = there(c, *cause);
            format!("{} {:.0} % ({there})", name(base, *cause), 100.0 * p)
        })
        .collect();
    said.join(", ")
}

fn there(c: &Compared<'_>, cause: CauseId) -> &'static str {
    if c.pupil.has(cause) {
        "there"
    } else {
        "not there"
    }
}

fn program(base: &KnowledgeBase, c: &Compared<'_>, manner: Manner, page: &mut Page) {
    let said = chances(base, c, &c.comparison.ranking);
    page.labelled("Program", format!("from what you saw: {said}."));
    let mut steps = c.desk.steps().iter();
    if steps.any(|s| matches!(s.done, Done::Tried { .. })) {
        page.text("It takes no account of what you tried; that was for your eyes.");
    }
    if c.comparison.doubt {
        page.labelled(
            "In doubt",
            "Even with a look at everything the program does not find this one. Take it as a lesson \
             in saying \"not sure\"; it does not count against you.",
        );
    } else if c.comparison.program_wrong {
        page.labelled(
            "In doubt",
            "The program's first guess is wrong too: what you saw does not settle it, more looks would.",
        );
    }
    if let Some(turned) = c.comparison.turned {
        let when = c
            .desk
            .steps()
            .get(turned.step)
            .and_then(|s| super::noted(base, s, c.pupil, manner))
            .map_or("From the golfer's first words on".to_owned(), |line| {
                format!(
                    "From step {} on ({})",
                    turned.step,
                    super::super::shortened(&line, 60)
                )
            });
        page.labelled(
            "You parted",
            format!(
                "{when} the program held {} likelier than {}. What should have turned it: {}, {} \
                 to 1.",
                name(base, turned.to),
                name(base, turned.from),
                piece(base, turned.by),
                odds(turned.decibans)
            ),
        );
    }
}

/// Decibans as odds.
fn odds(decibans: f64) -> String {
    rounded(10f64.powf(decibans / 10.0), usize::from(decibans < 10.0))
}

fn piece(base: &KnowledgeBase, piece: Piece) -> String {
    match piece {
        Piece::Symptom(symptom, true) => symptom_name(base, symptom),
        Piece::Symptom(symptom, false) => format!("no \"{}\"", symptom_name(base, symptom)),
        Piece::Number(quantity) => format!("the {}", base.quantity(quantity).name),
        Piece::Answer(check, yes) => {
            let answer = if yes { "yes" } else { "no" };
            format!("the {answer} to \"{}\"", question(base, check))
        }
        Piece::Hint(cause) => format!("the golfer's own idea, {}", name(base, cause)),
        Piece::Other => "the lie".to_owned(),
    }
}

fn question(base: &KnowledgeBase, check: CheckId) -> &str {
    &base.check(check).question
}

fn questions(base: &KnowledgeBase, c: &Compared<'_>, page: &mut Page) {
    let asked = &c.comparison.asked;
    if asked.is_empty() {
        if let Some(check) = c.comparison.left
            && !c.commitment.given_up
        {
            page.labelled(
                "Questions",
                format!(
                    "You put none to a cause. Worth most: \"{}\"",
                    question(base, check)
                ),
            );
        }
        return;
    }
    let good = asked
        .iter()
        .filter(|a| a.best.is_some_and(|(_, best)| a.worth >= AS_GOOD * best))
        .count();
    let needless = asked.iter().filter(|a| a.best.is_none()).count();
    let late = match needless {
        0 => String::new(),
        n => format!(" {n} came when no answer would have changed much."),
    };
    page.labelled(
        "Questions",
        format!(
            "{good} of {} were as good as the best there was.{late}",
            asked.len()
        ),
    );
    let mut poor: Vec<_> = asked
        .iter()
        .filter_map(|a| {
            let (check, best) = a.best?;
            (a.worth < AS_GOOD * best).then_some((a, check, a.worth / best.max(1e-9)))
        })
        .collect();
    poor.sort_by(|a, b| a.2.total_cmp(&b.2));
    for (a, best, share) in poor.into_iter().take(QUESTIONS) {
        page.labelled(
            &format!(" step {}", a.step),
            format!(
                "Yours told {:.0} % as much for its minute as \"{}\"",
                100.0 * share,
                question(base, best)
            ),
        );
    }
}

fn practice(base: &KnowledgeBase, c: &Compared<'_>, page: &mut Page) {
    let (before, after) = (c.comparison.before, c.comparison.after);
    let best = c.pupil.worths.first();
    let could = best.map_or(String::new(), |w| {
        format!(
            " Best for this golfer: {}, {} more in a hundred.",
            name(base, w.cause),
            shots(w.gain.most())
        )
    });
    match c.commitment.practise {
        Some(cause) => {
            let same = best.is_some_and(|w| w.cause == cause);
            page.labelled(
                "Practice",
                format!(
                    "Rid of \"{}\", this golfer goes from {:.0} to {:.0} clean strikes in a hundred, \
                     and from {:.0} to {:.0} playable shots.{}",
                    name(base, cause),
                    before.0,
                    after.0,
                    before.1,
                    after.1,
                    if same { " Nothing would help more.".to_owned() } else { could }
                ),
            );
        }
        None => page.labelled(
            "Practice",
            format!(
                "As it is: {:.0} clean strikes and {:.0} playable shots in a hundred.{could}",
                before.0, before.1
            ),
        ),
    }
}

fn geometry(base: &KnowledgeBase, pupil: &Pupil, manner: Manner, page: &mut Page) {
    let axis = |wanted: Axis| {
        pupil
            .first
            .case
            .axes
            .iter()
            .find(|(a, _)| *a == wanted)
            .map(|(_, amount)| *amount)
    };
    page.blank();
    let (Some(low), Some(height)) = (axis(Axis::LowPoint), axis(Axis::ArcHeight)) else {
        return;
    };
    let club = base.club(pupil.first.club);
    let group = pupil.first.group;
    let off = base
        .model
        .groups
        .get(group.index())
        .map_or(0.0, |m| m.loft_off_deg);
    let ball = ball_on(base, group, club.loft + Angle::degrees(off));
    let metres = |a: crate::quantity::Amount| a.value_in(Unit::Metre).unwrap_or(0.0);
    let arc = Arc::new(
        Length::metres(metres(low)),
        Length::metres(metres(height)),
        club.radius,
        club.plane,
    );
    let drawing = Drawing {
        plain: true,
        metric: manner.metric,
        hand: manner.hand,
    };
    if let Ok(picture) = arc.and_then(|arc| side_view(arc, ball, drawing)) {
        page.quiet("", "On an average swing:");
        page.art(picture.lines().map(str::to_owned));
    }
    let main = pupil.worths.first().map(|w| w.cause);
    let first = main.map_or(String::new(), |c| {
        format!("{} ", first_sentence(&base.cause(c).because))
    });
    page.text(format!(
        "{first}{}",
        first_sentence(&base.effect(pupil.fault).because)
    ));
}

/// The first sentence of a text.
fn first_sentence(text: &str) -> &str {
    match text.find(". ") {
        Some(end) => text.get(..=end).unwrap_or(text),
        None => text,
    }
}

fn score(c: &Compared<'_>, page: &mut Page) {
    let s = c.comparison.score;
    page.blank();
    let fault = if s.fault { "fault named, " } else { "" };
    page.labelled(
        "Score",
        format!(
            "{} for your chances (the program: {}), {fault}{} of {} shots gained, {:.0} minutes.",
            signed(s.points),
            signed(c.comparison.program_points),
            shots(s.gained),
            shots(s.could_gain),
            s.minutes
        ),
    );
    page.key(
        "Together",
        format!(
            "{}. \"next\" for another, \"progress\", \"course\", or \"case {}\" to try it again.",
            signed(s.total()),
            c.attempt.case
        ),
    );
}

fn signed(x: f64) -> String {
    let x = x.round();
    if x > 0.0 {
        format!("+{x:.0}")
    } else {
        format!("{:.0}", x + 0.0)
    }
}

/// The links recognised in a reason.
pub(super) fn reasoned(base: &KnowledgeBase, reasoned: &Reasoned, page: &mut Page) {
    if reasoned.links.is_empty() {
        page.labelled(
            "Your reason",
            "I recognise no link from a cause to a fault or to what is seen in it.",
        );
    }
    for link in &reasoned.links {
        let verdict = match (link.holds, link.here) {
            (true, true) => "holds, and is so here",
            (true, false) => "holds in general, but not of this golfer",
            (false, _) => "the simulated golfers do not bear out",
        };
        page.labelled(
            "Your reason",
            format!("{}: {verdict} ({}).", chain(base, link), share(link)),
        );
    }
    for link in &reasoned.missing {
        page.labelled(
            "Missing",
            format!("{} ({}).", chain(base, link), share(link)),
        );
    }
}

fn share(link: &Link) -> String {
    format!(
        "{:.0} in a hundred golfers with it, {:.0} without",
        100.0 * link.shares.0,
        100.0 * link.shares.1
    )
}

fn chain(base: &KnowledgeBase, link: &Link) -> String {
    format!("{} -> {}", end(base, link.from), end(base, link.to))
}

fn end(base: &KnowledgeBase, end: LinkEnd) -> String {
    match end {
        LinkEnd::Cause(cause) => name(base, cause),
        LinkEnd::Fault(fault) => base.effect(fault).name.clone(),
        LinkEnd::Seen(symptom) => symptom_name(base, symptom),
    }
}
