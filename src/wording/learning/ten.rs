//! Ten shots as a table: strike, mark, face, start and curve, as a coach behind the golfer sees them.
//!
//! Takes the events of each shot; gives rows for a page and a count of strikes. Names no cause.

use super::super::rounded;
use crate::causes::Shot;
use crate::causes::model::Event;
use crate::learning::Ten;
use crate::quantity::Unit;
use crate::vocabulary::Hand;

const fn strike_word(event: Event) -> &'static str {
    match event {
        Event::Whiff => "missed",
        Event::Topped => "topped",
        Event::Sky => "sky",
        Event::DropKick => "ground first",
        Event::Fat => "fat",
        Event::SlightlyHeavy => "slightly heavy",
        Event::Thin => "thin",
        _ => "clean",
    }
}

/// The strike of a shot, as a coach would call it.
pub(super) fn strike(shot: &Shot) -> &'static str {
    if shot.shows(Event::Shank) {
        return "shank";
    }
    crate::causes::STRIKES
        .iter()
        .find(|e| shot.shows(**e))
        .map_or("clean", |e| {
            if *e == Event::Thin && shot.shows(Event::Bladed) {
                "bladed"
            } else {
                strike_word(*e)
            }
        })
}

/// A mark that begins farther behind the ball than this is told as no more, inches.
const FARTHEST: f64 = 8.0;

pub(super) fn mark(shot: &Shot) -> String {
    let behind = shot
        .turf_entry
        .and_then(|e| e.value_in(Unit::Inch).ok())
        .map(|x| {
            if x > FARTHEST {
                format!("{FARTHEST} in+")
            } else {
                format!("{} in", rounded(x, 1))
            }
        });
    for (event, word) in [
        (Event::MarkFarBehind, "behind"),
        (Event::MarkBehind, "behind"),
        (Event::MarkLevel, "at the ball"),
        (Event::MarkAhead, "ahead"),
        (Event::MarkFarAhead, "4 in+ ahead"),
        (Event::NoMark, "none"),
    ] {
        if shot.shows(event) {
            return match (word, &behind) {
                ("behind", Some(x)) => format!("{x} behind"),
                _ => word.to_owned(),
            };
        }
    }
    "on a tee".to_owned()
}

/// Where a ball that flew started; nothing if it did not fly.
pub(super) fn start(shot: &Shot, hand: Hand) -> Option<&'static str> {
    let to = side(shot, &[Event::StartsPush], &[Event::StartsPull], hand);
    flies(shot).then(|| to.unwrap_or("on line"))
}

/// Which way a ball that flew curved; nothing if it did not fly.
pub(super) fn curve(shot: &Shot, hand: Hand) -> Option<&'static str> {
    let to = side(
        shot,
        &[Event::CurvePushBig, Event::CurvePushMild],
        &[Event::CurvePullBig, Event::CurvePullMild],
        hand,
    );
    flies(shot).then(|| to.unwrap_or("straight"))
}

fn flies(shot: &Shot) -> bool {
    !shot.shows(Event::Whiff) && !shot.shows(Event::Topped)
}

fn side(shot: &Shot, push: &[Event], pull: &[Event], hand: Hand) -> Option<&'static str> {
    let right = match hand {
        Hand::Right => (push, pull),
        Hand::Left => (pull, push),
    };
    if right.0.iter().any(|e| shot.shows(*e)) {
        Some("right")
    } else if right.1.iter().any(|e| shot.shows(*e)) {
        Some("left")
    } else {
        None
    }
}

pub(super) fn face(shot: &Shot) -> &'static str {
    let across = if shot.shows(Event::Heel) {
        "heel"
    } else if shot.shows(Event::Toe) {
        "toe"
    } else {
        "middle"
    };
    match (
        across,
        shot.shows(Event::HighFace),
        shot.shows(Event::LowFace),
    ) {
        ("heel", true, _) => "heel, high",
        ("heel", _, true) => "heel, low",
        ("toe", true, _) => "toe, high",
        ("toe", _, true) => "toe, low",
        (_, true, _) if across == "middle" => "high",
        (_, _, true) if across == "middle" => "low",
        _ => across,
    }
}

/// The ten shots as lines of a table.
pub(super) fn table(ten: &Ten, hand: Hand) -> Vec<String> {
    let mut lines = vec![format!(
        "  {:>2}  {:<15} {:<13} {:<11} {:<9} {}",
        "", "strike", "mark starts", "on face", "starts", "curves"
    )];
    for (at, shot) in ten.shots.iter().enumerate() {
        let big = shot.shows(Event::CurvePushBig) || shot.shows(Event::CurvePullBig);
        let start = start(shot, hand).unwrap_or("-");
        let curve = match (curve(shot, hand), big) {
            (Some("straight"), _) => "straight".to_owned(),
            (Some(side), true) => format!("{side}, a lot"),
            (Some(side), false) => format!("{side}, a little"),
            (None, _) => "-".to_owned(),
        };
        let line = format!(
            "  {:>2}  {:<15} {:<13} {:<11} {:<9} {}",
            at + 1,
            strike(shot),
            mark(shot),
            if shot.shows(Event::Whiff) {
                "-"
            } else {
                face(shot)
            },
            start,
            curve
        );
        lines.push(line.trim_end().to_owned());
    }
    lines
}

/// How many of each strike, most first.
pub(super) fn counts(ten: &Ten) -> String {
    let mut list: Vec<(usize, &str)> = Vec::new();
    for shot in &ten.shots {
        let word = strike(shot);
        match list.iter_mut().find(|(_, w)| *w == word) {
            Some(entry) => entry.0 += 1,
            None => list.push((1, word)),
        }
    }
    list.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(b.1)));
    let said: Vec<String> = list.iter().map(|(n, word)| format!("{n} {word}")).collect();
    said.join(", ")
}
