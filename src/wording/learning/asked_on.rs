//! What is told when a learner asks on in free words: the strikes and the flight of this golfer, what if
//! something were otherwise, how sure the program was, what to have looked at first, and links in general.
//!
//! Takes what is already computed of a finished case, and rounds and words it. Knows no more of the
//! golfer than the pupil holds.

use super::super::capital;
use super::super::drawing::{Drawing, side_sentence};
use super::super::number::{Manner, amount, listed, rounded};
use super::super::page::Page;
use super::answer_word;
use super::comparison::{arc_of, chain, share, verdict};
use crate::causes::model::{Axis, Event};
use crate::conversation::learning::Supposed;
use crate::knowledge::KnowledgeBase;
use crate::learning::{Answer, Comparison, Link, Pupil};
use crate::vocabulary::{CheckId, Hand};

/// Shots in a hundred of this golfer that show an event.
fn of_hundred(pupil: &Pupil, events: &[Event]) -> f64 {
    let rates = &pupil.first.case.rates;
    let of = |event: &Event| rates.iter().find(|(e, _)| e == event).map_or(0.0, |r| r.1);
    100.0 * events.iter().map(of).sum::<f64>()
}

/// "41 clean, 30 thin": those that happen at all, the most first.
fn counted(pupil: &Pupil, of: &[(&[Event], &str)]) -> String {
    let mut list: Vec<(f64, &str)> = of
        .iter()
        .map(|(events, word)| (of_hundred(pupil, events), *word))
        .filter(|(n, _)| *n >= 0.5)
        .collect();
    list.sort_by(|a, b| b.0.total_cmp(&a.0));
    let said: Vec<String> = list
        .iter()
        .map(|(n, word)| format!("{n:.0} {word}"))
        .collect();
    listed(&said)
}

/// How this golfer strikes it, and what the average arc says of it.
pub(super) fn strikes(base: &KnowledgeBase, pupil: &Pupil, manner: Manner, page: &mut Page) {
    let of: [(&[Event], &str); 6] = [
        (&[Event::Clean], "clean"),
        (&[Event::Thin], "thin"),
        (&[Event::Topped, Event::Whiff], "topped or missed"),
        (&[Event::Fat], "fat"),
        (&[Event::SlightlyHeavy], "slightly heavy"),
        (&[Event::Sky, Event::DropKick], "a sky or the ground first"),
    ];
    page.labelled(
        "Strikes",
        format!(
            "Of a hundred shots of this golfer: {}.",
            counted(pupil, &of)
        ),
    );
    let drawing = Drawing {
        plain: true,
        metric: manner.metric,
        hand: manner.hand,
    };
    if let Some((arc, ball)) = arc_of(base, pupil)
        && let Ok(told) = side_sentence(arc, ball, drawing)
    {
        page.labelled("On average", told);
    }
    page.labelled(
        "Why",
        "An arc too high at the ball is thin or topped, one that meets the ground before the ball heavy; \
         what the average leaves open, the scatter from shot to shot decides.",
    );
}

/// The side of a direction as this golfer says it.
pub(super) fn sides(hand: Option<Hand>) -> (&'static str, &'static str) {
    match hand {
        Some(Hand::Left) => ("left", "right"),
        _ => ("right", "left"),
    }
}

/// Where this golfer's balls start and bend.
pub(super) fn flight(base: &KnowledgeBase, pupil: &Pupil, manner: Manner, page: &mut Page) {
    let said: Vec<String> = [Axis::FaceAngle, Axis::ClubPath, Axis::FaceToPath]
        .iter()
        .filter_map(|wanted| {
            let mut axes = pupil.first.case.axes.iter();
            let (axis, value) = axes.find(|(axis, _)| axis == wanted)?;
            let mut measured = base.model.measured.iter();
            let at = measured.position(|m| m.is_some_and(|(a, _)| a == *axis))?;
            let quantity = crate::vocabulary::QuantityId::from_index(at);
            let name = &base.quantity(quantity).name;
            Some(format!("{name} {}", amount(base, quantity, *value, manner)))
        })
        .collect();
    page.labelled(
        "On average",
        format!("This golfer's swing has {}.", listed(&said)),
    );
    let (push, pull) = sides(manner.hand);
    let (to_push, to_pull) = (
        of_hundred(pupil, &[Event::StartsPush]),
        of_hundred(pupil, &[Event::StartsPull]),
    );
    let bends = |big: Event, mild: Event| of_hundred(pupil, &[big, mild]).min(100.0);
    page.labelled(
        "Shots",
        format!(
            "Of a hundred balls {to_push:.0} start {push}, {to_pull:.0} {pull}, and the rest within 3 deg \
             of the line, which reads as on line; {:.0} curve {push} and {:.0} {pull}.",
            bends(Event::CurvePushBig, Event::CurvePushMild),
            bends(Event::CurvePullBig, Event::CurvePullMild)
        ),
    );
    page.labelled(
        "Why",
        format!(
            "The start lies between path and face, nearer to the face, so a path to the other side brings \
             it back toward the line. The curve follows the gap between the two: a face that looks \
             farther {pull} than the path goes is closed to it, one farther {push} open, wherever the \
             target is."
        ),
    );
}

/// The shots of this golfer if something were otherwise.
pub(super) fn what_if(
    base: &KnowledgeBase,
    what: &[Supposed],
    (before, after): ((f64, f64), (f64, f64)),
    rates: &[(Event, f64, f64)],
    manner: Manner,
    page: &mut Page,
) {
    let said: Vec<String> = what
        .iter()
        .map(|one| match one {
            Supposed::Put(quantity, now, to) => format!(
                "{} {} instead of {}",
                base.quantity(*quantity).name,
                amount(base, *quantity, *to, manner),
                amount(base, *quantity, *now, manner)
            ),
            Supposed::Moved(at, size) => {
                let change = base.changes.iter().nth(*at);
                change.map_or(String::new(), |c| {
                    format!("{} by {} {}", c.name, rounded(*size, 1), c.unit)
                })
            }
            Supposed::Without(cause) => format!("\"{}\" gone", base.cause(*cause).name),
        })
        .collect();
    page.labelled(
        "What if",
        format!(
            "With {} this golfer goes from {:.0} to {:.0} clean strikes in a hundred, and from {:.0} to \
             {:.0} playable shots.",
            listed(&said),
            before.0,
            after.0,
            before.1,
            after.1
        ),
    );
    let (push, pull) = sides(manner.hand);
    let moved: Vec<String> = rates
        .iter()
        .filter(|(_, was, is)| (is - was).abs() >= 1.0)
        .map(|(event, was, is)| {
            let word = match event {
                Event::Fat => "fat".to_owned(),
                Event::SlightlyHeavy => "slightly heavy".to_owned(),
                Event::Thin => "thin".to_owned(),
                Event::Topped => "topped".to_owned(),
                Event::StartsPull => format!("starting {pull}"),
                Event::StartsPush => format!("starting {push}"),
                Event::CurvePullBig => format!("curving {pull} a lot"),
                _ => format!("curving {push} a lot"),
            };
            format!("{word} {was:.0} -> {is:.0}")
        })
        .collect();
    if moved.is_empty() {
        page.text("Nothing else changes by a shot in a hundred.");
    } else {
        page.labelled("Shots", format!("In a hundred: {}.", moved.join(", ")));
    }
    page.quiet(
        "",
        "Only what was named is moved; what a golfer would do about it is another matter.",
    );
}

/// How sure the program was of what it now tells.
pub(super) fn sure(base: &KnowledgeBase, comparison: &Comparison, page: &mut Page) {
    let said: Vec<String> = comparison
        .ranking
        .iter()
        .map(|(cause, p)| format!("{} {:.0} %", base.cause(*cause).name, 100.0 * p))
        .collect();
    page.labelled(
        "How sure",
        "Of what was there, quite: the golfer is simulated, and the causes are those the golfer was made \
         with.",
    );
    page.labelled(
        "Program",
        format!(
            "from what you saw: {}. Of a live golfer nobody would know more.",
            said.join(", ")
        ),
    );
}

/// What to have looked at first.
pub(super) fn first_look(base: &KnowledgeBase, look: Option<(CheckId, Answer)>, page: &mut Page) {
    let Some((check, answer)) = look else {
        page.text(
            "After the golfer's first words no single look told enough for its minutes. Ten shots would \
             have been the way to begin.",
        );
        return;
    };
    let entry = base.check(check);
    page.labelled(
        "First",
        format!(
            "After the golfer's words alone this told most for its minutes: \"{}\"",
            entry.question
        ),
    );
    page.labelled("To look", &entry.how);
    page.labelled("Here", capital(&format!("{}.", answer_word(answer))));
}

/// Links of a general question.
pub(super) fn general(base: &KnowledgeBase, links: &[Link], page: &mut Page) {
    for link in links {
        page.labelled(
            "In general",
            format!(
                "{}: {} ({}).",
                chain(base, link),
                verdict(link, None),
                share(base, link)
            ),
        );
    }
    page.quiet("", "That is so of any golfer, and cost no minute.");
}
