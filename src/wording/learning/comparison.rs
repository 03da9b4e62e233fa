//! The comparison after a commitment, in words: what was true, what the program made of the same,
//! where the two parted, what the questions were worth, what the practice would have done, the
//! geometry in two sentences and a drawing, the score.
//!
//! Takes a comparison that is already computed; rounds and words it. The score comes last.

use super::super::calculator::ball_on;
use super::super::drawing::{BallOn, Drawing, side_picture, side_sentence};
use std::fmt::Write as _;

use super::super::number::{Manner, amount, listed, rounded};
use super::super::page::Page;
use super::symptom_name;
use crate::causes::Shot;
use crate::causes::model::{Axis, Event};
use crate::geometry::arc::Arc;
use crate::knowledge::KnowledgeBase;
use crate::learning::{
    Attempt, Commitment, Comparison, Desk, Done, Link, LinkEnd, Piece, Pupil, Reasoned,
};
use crate::quantity::{Angle, Length, Unit};
use crate::vocabulary::{CauseId, CheckId, QuantityId};

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
    truth(base, c, manner, page);
    yours(base, c, page);
    program(base, c, manner, page);
    questions(base, c, page);
    practice(base, c, page);
    geometry(base, c, manner, page);
    score(c, page);
}

fn name(base: &KnowledgeBase, cause: CauseId) -> String {
    base.cause(cause).name.clone()
}

fn shots(n: f64) -> String {
    format!("{:.0}", n.max(0.0))
}

fn truth(base: &KnowledgeBase, c: &Compared<'_>, manner: Manner, page: &mut Page) {
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
    if !c.pupil.own.is_empty() {
        let own: Vec<String> = c
            .pupil
            .own
            .iter()
            .map(|e| base.effect(*e).name.clone())
            .collect();
        page.labelled(
            "Own way",
            format!(
                "With every cause gone this golfer would still show {}: a habit that no cause here \
                 accounts for.",
                listed(&own)
            ),
        );
    }
    if c.pupil.bad_day {
        page.labelled("The day", "A bad one: twice the usual poor swings.");
    }
    if let Some((wrong, by)) = c.pupil.mistaken {
        wrong_number(base, c, (wrong, by), manner, page);
    }
    let chance: Vec<String> = c
        .comparison
        .chance
        .iter()
        .map(|(q, measured, average)| {
            format!(
                "{} {}, on average {}",
                base.quantity(*q).name,
                amount(base, *q, *measured, manner),
                amount(base, *q, *average, manner)
            )
        })
        .collect();
    if !chance.is_empty() {
        page.labelled(
            "Chance",
            format!(
                "The ten shots that were measured lay farther from this golfer's average than their \
                 range: {}. That is so of 5 numbers in a hundred; the device was right about them.",
                chance.join("; ")
            ),
        );
    }
    for (step, check, yes) in &c.comparison.misled {
        let said = if *yes { "yes" } else { "no" };
        page.labelled(
            "Misled",
            format!(
                "Asked \"{}\" at step {step}, the golfer said {said}, and was wrong; a look would have \
                 told.",
                question(base, *check)
            ),
        );
    }
}

/// Which number of the device was wrong, by how much, and what spoke against it.
fn wrong_number(
    base: &KnowledgeBase,
    c: &Compared<'_>,
    (wrong, by): (QuantityId, f64),
    manner: Manner,
    page: &mut Page,
) {
    let name = &base.quantity(wrong).name;
    let Some(told) = c.comparison.wrong else {
        page.labelled(
            "Wrong",
            format!("The device's {name} is wrong today; you did not measure it."),
        );
        return;
    };
    let mut text = format!(
        "The device's {name} was wrong today: it gave {}, the shots it measured came to {}.",
        amount(base, wrong, told.given, manner),
        amount(base, wrong, told.hit, manner)
    );
    if let Some((other, given, fitting)) = told.beside {
        let _ = write!(
            text,
            " Its {} of {} goes with about {}.",
            base.quantity(other).name,
            amount(base, other, given, manner),
            amount(base, wrong, fitting, manner)
        );
    }
    // A low point read too far ahead is one that marks behind the ball speak against; an attack read
    // too far up is a low point read too far behind.
    let place = base.model.measured.get(wrong.index()).copied().flatten();
    let ahead = match place {
        Some((Axis::LowPoint, _)) => by > 0.0,
        Some((Axis::AttackAngle, _)) => by < 0.0,
        _ => return page.labelled("Wrong", text),
    };
    let marks: (&[Event], &str) = if ahead {
        (&[Event::MarkFarBehind, Event::MarkBehind], "behind")
    } else {
        (&[Event::MarkAhead, Event::MarkFarAhead], "ahead of")
    };
    let (mut count, mut of) = (0, 0);
    for step in c.desk.steps() {
        if let Done::Shots { stand: 0, ten } = &step.done {
            of += ten.shots.len();
            let against = |s: &&Shot| marks.0.iter().any(|e| s.shows(*e));
            count += ten.shots.iter().filter(against).count();
        }
    }
    if count > 0 {
        let _ = write!(
            text,
            " And the marks of {count} of the {of} shots you saw began {} the ball.",
            marks.1
        );
    }
    text.push_str(" It was right about the other numbers.");
    page.labelled("Wrong", text);
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
             in saying \"not sure\"; points lost on it do not count.",
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
pub(super) fn odds(decibans: f64) -> String {
    rounded(10f64.powf(decibans / 10.0), usize::from(decibans < 10.0))
}

pub(super) fn piece(base: &KnowledgeBase, piece: Piece) -> String {
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
        .filter(|a| a.overturned || a.best.is_some_and(|(_, best)| a.worth >= AS_GOOD * best))
        .count();
    let needless = asked
        .iter()
        .filter(|a| a.best.is_none() && !a.overturned)
        .count();
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
            let poor = a.worth < AS_GOOD * best && !a.overturned;
            poor.then_some((a, check, a.worth / best.max(1e-9)))
        })
        .collect();
    // The poorest, but in the order they were put.
    poor.sort_by(|a, b| a.2.total_cmp(&b.2));
    poor.truncate(QUESTIONS);
    poor.sort_by_key(|p| p.0.step);
    for a in asked.iter().filter(|a| a.overturned) {
        page.labelled(
            &format!(" step {}", a.step),
            format!(
                "A good look: it put the golfer's answer to \"{}\" right.",
                question(base, a.check)
            ),
        );
    }
    for (a, best, share) in poor {
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

fn geometry(base: &KnowledgeBase, c: &Compared<'_>, manner: Manner, page: &mut Page) {
    let pupil = c.pupil;
    page.blank();
    let Some((arc, ball)) = arc_of(base, pupil) else {
        return;
    };
    let drawing = Drawing {
        plain: true,
        metric: manner.metric,
        hand: manner.hand,
    };
    if let Ok(told) = side_sentence(arc, ball, drawing) {
        let picture = side_picture(arc, ball, drawing);
        page.quiet("", "On an average swing:");
        page.picture(picture.into_iter().chain([String::new()]));
        page.text(told);
        if let Some(stops) = stopped(pupil) {
            page.text(stops);
        }
    }
    let main = pupil.worths.first().map(|w| w.cause);
    let first = main.map_or(String::new(), |c| {
        format!("{} ", first_sentence(&base.cause(c).because))
    });
    page.labelled(
        "In general",
        format!(
            "{first}{}",
            first_sentence(&base.effect(pupil.fault).because)
        ),
    );
    if let Some(text) = here(base, pupil, c.comparison, manner) {
        page.labelled("Here", text);
    }
}

/// The average swing of this golfer with the first club, and what the ball lies on.
pub(super) fn arc_of(base: &KnowledgeBase, pupil: &Pupil) -> Option<(Arc, BallOn)> {
    let metres = |wanted: Axis| {
        let mut axes = pupil.first.case.axes.iter();
        let (_, amount) = axes.find(|(axis, _)| *axis == wanted)?;
        amount.value_in(Unit::Metre).ok().map(Length::metres)
    };
    let club = base.club(pupil.first.club);
    let group = pupil.first.group;
    let model = base.model.groups.get(group.index());
    let off = model.map_or(0.0, |m| m.loft_off_deg);
    let ball = ball_on(base, group, club.loft + Angle::degrees(off));
    let (low, height) = (metres(Axis::LowPoint)?, metres(Axis::ArcHeight)?);
    let arc = Arc::new(low, height, club.radius, club.plane).ok()?;
    Some((arc, ball))
}

/// Share of shots from which a short mark is worth a word beside the length that the arc would cut.
const STOPPED: f64 = 0.15;

/// How often the turf stops the club, so that the mark is shorter than the arc.
fn stopped(pupil: &Pupil) -> Option<String> {
    let rates = &pupil.first.case.rates;
    let (_, rate) = rates.iter().find(|(event, _)| *event == Event::Stabbed)?;
    (*rate >= STOPPED).then(|| {
        format!(
            "That is the arc alone: on {:.0} of a hundred shots the turf stops the club, and the mark is \
             deep and under 4 in long.",
            100.0 * rate
        )
    })
}

/// What the costliest cause does to this golfer's numbers.
pub(super) fn here(
    base: &KnowledgeBase,
    pupil: &Pupil,
    comparison: &Comparison,
    manner: Manner,
) -> Option<String> {
    let main = pupil.worths.first()?;
    let said: Vec<String> = comparison
        .moved
        .iter()
        .map(|m| {
            format!(
                "{} {} instead of {}",
                base.quantity(m.quantity).name,
                amount(base, m.quantity, m.with, manner),
                amount(base, m.quantity, m.without, manner)
            )
        })
        .collect();
    (!said.is_empty()).then(|| {
        format!(
            "With \"{}\" this golfer's average swing has {}.",
            name(base, main.cause),
            listed(&said)
        )
    })
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
    let more = format!(
        "\"why\" for how it came about, \"next\" for another, or \"case {}\" to try it again.",
        c.attempt.case
    );
    if c.commitment.given_up {
        page.key("Score", format!("None, since you gave up. {more}"));
        return;
    }
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
    let together = if c.comparison.doubt && s.total() < 0.0 {
        "0, as points lost on a case in doubt do not count".to_owned()
    } else {
        signed(c.attempt.total)
    };
    page.key("Together", format!("{together}. {more}"));
}

pub(super) fn signed(x: f64) -> String {
    let x = x.round();
    if x > 0.0 {
        format!("+{x:.0}")
    } else {
        format!("{:.0}", x + 0.0)
    }
}

/// What golfers say of a link; with whether it is so of this golfer, where that may be told.
pub(super) const fn verdict(link: &Link, here: Option<bool>) -> &'static str {
    match (link.holds, here) {
        (true, Some(true)) => "holds, and is so here",
        (true, Some(false)) => "holds in general, but not of this golfer",
        (true, None) => "holds",
        (false, _) if link.open => {
            "can be; others come to it in other ways, so it sets nobody apart"
        }
        (false, _) => "the simulated golfers do not bear out",
    }
}

/// The links recognised in a reason.
pub(super) fn reasoned(
    base: &KnowledgeBase,
    reasoned: &Reasoned,
    unread: &[String],
    page: &mut Page,
) {
    if reasoned.links.is_empty() {
        page.labelled(
            "Your reason",
            "I recognise no link from a cause to a fault or to what is seen in it.",
        );
    }
    for link in &reasoned.links {
        let said = verdict(link, Some(link.here));
        page.labelled(
            "Your reason",
            format!("{}: {said} ({}).", chain(base, link), share(base, link)),
        );
    }
    if !unread.is_empty() {
        let said: Vec<String> = unread.iter().map(|words| format!("\"{words}\"")).collect();
        page.labelled(
            "Not read",
            format!("{}; it counts neither way.", listed(&said)),
        );
    }
    for link in &reasoned.missing {
        page.labelled(
            "Missing",
            format!("{} ({}).", chain(base, link), share(base, link)),
        );
    }
}

/// How often the second shows with the first, and in whom else: a cause is set beside golfers with
/// nothing at work, so that other causes of the same fault do not count as "without".
pub(super) fn share(base: &KnowledgeBase, link: &Link) -> String {
    let (with, without) = (100.0 * link.shares.0, 100.0 * link.shares.1);
    match (link.from, link.to) {
        (LinkEnd::Cause(_), LinkEnd::Fault(_) | LinkEnd::Seen(_)) => format!(
            "{with:.0} in a hundred golfers with this cause alone, {without:.0} of those without any"
        ),
        (LinkEnd::Cause(from), LinkEnd::Cause(_)) => format!(
            "{with:.0} in a hundred golfers who have \"{}\", {without:.0} of all",
            name(base, from)
        ),
        (from, _) => format!(
            "{with:.0} in a hundred golfers with \"{}\", {without:.0} of all the others",
            end(base, from)
        ),
    }
}

pub(super) fn chain(base: &KnowledgeBase, link: &Link) -> String {
    format!("{} -> {}", end(base, link.from), end(base, link.to))
}

fn end(base: &KnowledgeBase, end: LinkEnd) -> String {
    match end {
        LinkEnd::Cause(cause) => name(base, cause),
        LinkEnd::Fault(fault) => base.effect(fault).name.clone(),
        LinkEnd::Seen(symptom) => symptom_name(base, symptom),
    }
}
