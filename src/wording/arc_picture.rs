//! The arc at the ball as a picture, and the sentence that says the same.
//!
//! Takes the numbers of the arc; draws them as characters or as SVG. A height that nobody told is
//! taken from the strike that was told, or halfway, and the text says so.

use super::calculator::{Drawn, ball_on, class_name};
use super::drawing::{BallOn, Drawing, side_view, svg_side_view};
use std::fmt::Write as _;

use super::heard::pattern_name;
use super::number::{Manner, amount, range};
use super::page::Page;
use crate::conversation::ArcNumbers;
use crate::geometry::GeometryError;
use crate::geometry::arc::{Arc, Shape};
use crate::geometry::follow::{at_height_of, at_height_of_off_tee};
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Amount, Angle, Length, Unit};

/// A number of the arc in inches: said or worked out, else the middle among golfers like this one.
fn inches(base: &KnowledgeBase, arc: &ArcNumbers, name: &str) -> Option<f64> {
    let quantity = base.find_quantity(name)?;
    arc.chain
        .iter()
        .find(|s| s.quantity == quantity)
        .map(|s| s.middle)
        .or_else(|| arc.modelled.iter().find(|m| m.0 == quantity).map(|m| m.1))
        .and_then(|a| a.value_in(Unit::Inch).ok())
}

/// The arc to draw; its height from where it met the turf if that is known, else what the told strike
/// usually comes from, else the middle of what strikes clean. The flag: the told strike gave it.
fn drawn(base: &KnowledgeBase, arc: &ArcNumbers) -> Result<(Drawn, bool), GeometryError> {
    let low = inches(base, arc, "low_point").unwrap_or(0.0);
    let entry = inches(base, arc, "turf_entry");
    let group = base.group(arc.pattern.group);
    let (radius, plane, loft) = match arc.pattern.club.map(|c| base.club(c)) {
        Some(club) => (club.radius, club.plane, club.loft),
        None => (group.radius, group.plane, group.static_loft),
    };
    let model = base.model.groups.get(arc.pattern.group.index());
    let usual = loft + Angle::degrees(model.map_or(0.0, |m| m.loft_off_deg));
    let ball = ball_on(base, arc.pattern.group, usual);
    let shape = Shape::new(radius, plane)?;
    let grass = Length::millimetres(1.5);
    let met = entry.map(|e| e + low).filter(|half| *half > 0.0);
    let height = met.map_or(Length::ZERO, |half| {
        -(shape.rise(Length::inches(half)) + grass)
    });
    let at = Arc::of_shape(Length::inches(low), height, shape)?;
    if let (None, Some(class)) = (met, arc.struck) {
        let struck = match ball {
            BallOn::Turf(window) => at_height_of(at, window, class)?,
            BallOn::Tee(window) => at_height_of_off_tee(at, window, class)?,
        };
        if let Some(struck) = struck {
            return Ok((Drawn::new(struck, ball, true)?, true));
        }
    }
    Ok((Drawn::new(at, ball, met.is_some())?, false))
}

const fn plainly(manner: Manner) -> Drawing {
    Drawing {
        plain: true,
        metric: manner.metric,
        hand: manner.hand,
    }
}

/// The arc as a scalable drawing; none if it cannot be drawn.
pub(super) fn arc_svg(base: &KnowledgeBase, arc: &ArcNumbers, manner: Manner) -> Option<String> {
    let (drawn, _) = drawn(base, arc).ok()?;
    svg_side_view(drawn.arc, drawn.ball, plainly(manner)).ok()
}

/// The arc drawn, with a sentence that says the same.
pub(super) fn drawing(base: &KnowledgeBase, arc: &ArcNumbers, manner: Manner, page: &mut Page) {
    if let Ok((drawn, _)) = drawn(base, arc)
        && let Ok(picture) = side_view(drawn.arc, drawn.ball, plainly(manner))
    {
        page.picture(picture.lines().map(str::to_owned));
    }
    page.text(arc_sentence(base, arc, manner));
}

/// Whether where the arc bottoms was said, or follows from what was said.
pub(super) fn told_of_low_point(base: &KnowledgeBase, arc: &ArcNumbers) -> bool {
    ["low_point", "turf_entry"].iter().any(|id| {
        let quantity = base.find_quantity(id);
        arc.chain.iter().any(|s| Some(s.quantity) == quantity)
    })
}

/// What golfers like this one have, where nothing was said of where the arc bottoms.
fn guessed(base: &KnowledgeBase, arc: &ArcNumbers, name: &str, manner: Manner) -> String {
    let mut text = format!("Nothing was said or measured of where the {name} bottoms.");
    let Some(q) = base.find_quantity("low_point") else {
        return text;
    };
    if let Some((_, middle, low, high)) = arc.modelled.iter().find(|(m, ..)| *m == q) {
        let _ = write!(
            text,
            " Golfers with that complaint have about {} ({})",
            amount(base, q, *middle, manner),
            range(base, q, *low, *high, manner)
        );
        if let Some((_, from, to)) = arc.wanted.first() {
            let _ = write!(text, "; a good one {}", range(base, q, *from, *to, manner));
        }
        text.push('.');
    }
    text
}

/// What the picture of the arc shows, in words.
pub(super) fn arc_sentence(base: &KnowledgeBase, arc: &ArcNumbers, manner: Manner) -> String {
    let low = inches(base, arc, "low_point").unwrap_or(0.0);
    let entry = inches(base, arc, "turf_entry");
    let name = pattern_name(base, &arc.pattern);
    if !told_of_low_point(base, arc) {
        return guessed(base, arc, &name, manner);
    }
    let mut text = format!(
        "The {name} bottoms {}",
        base.find_quantity("low_point")
            .and_then(|q| Amount::new(low, Unit::Inch)
                .ok()
                .map(|a| amount(base, q, a, manner)))
            .unwrap_or_default()
    );
    if let Some((_, from, to)) = arc.wanted.first()
        && let Some(q) = base.find_quantity("low_point")
    {
        let _ = write!(text, "; a good one {}", range(base, q, *from, *to, manner));
    }
    if let (Some(entry), Some(q)) = (entry, base.find_quantity("turf_entry"))
        && let Ok(a) = Amount::new(entry, Unit::Inch)
    {
        let _ = write!(text, "; it met the turf {}", amount(base, q, a, manner));
    }
    text.push('.');
    if !entry.is_some_and(|e| e + low > 0.0) {
        let told = arc
            .struck
            .filter(|_| drawn(base, arc).is_ok_and(|(_, told)| told));
        text.push_str(" How low it bottoms is not known; ");
        match told {
            Some(class) => {
                let _ = write!(
                    text,
                    "taken is a usual height for the strike you told, {}.",
                    class_name(class)
                );
            }
            None => text.push_str(
                "taken is halfway between what turns heavy and what thins, so that strike is not a \
                 finding.",
            ),
        }
    }
    text
}
