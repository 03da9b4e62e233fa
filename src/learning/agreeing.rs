//! Can one golfer say both of one club in one breath?
//!
//! Takes two symptoms of one club and says whether they contradict each other: both are read as the
//! sides they put things on (where the ball starts, which way it bends, where it misses, where the
//! turf mark begins and how deep it is, how high the ball flies, where it met the face), worked out
//! from the events they are made of. Two that put the same thing on different sides contradict each
//! other, as do those that the knowledge calls opposite. Fat and thin, and heel marks with low ones,
//! go together: golfers have both. Reads no word, except that "all on one side" needs its side told.

use crate::causes::model::{Axis, Event, Seen};
use crate::knowledge::KnowledgeBase;
use crate::vocabulary::{Hand, SymptomId};

/// What may be put on a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Thing {
    Start,
    Curve,
    Miss,
    Mark,
    Depth,
    Height,
    Across,
    Up,
    Carry,
}

/// A side: any two different ones of one thing contradict each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    /// Push side, behind the ball, high, toward the toe, deep, short.
    One,
    /// Pull side, ahead of the ball, low, toward the heel, shallow, long.
    Other,
    /// On line, straight, at the ball, in the middle; short by mishits alone.
    Between,
    /// None at all: no mark.
    Nothing,
    /// Now here, now there.
    Varies,
    /// There, wherever: agrees with every side but none.
    Somewhere,
}

fn sides(event: Event) -> &'static [(Thing, Side)] {
    use Side::{Between, Nothing, One, Other, Somewhere};
    use Thing::{Across, Carry, Curve, Depth, Height, Mark, Miss, Start, Up};
    match event {
        Event::StartsPush => &[(Start, One)],
        Event::StartsPull => &[(Start, Other)],
        Event::CurvePushBig | Event::CurvePushMild => &[(Curve, One)],
        Event::CurvePullBig | Event::CurvePullMild => &[(Curve, Other)],
        Event::PushStraight => &[(Start, One), (Curve, Between), (Miss, One)],
        Event::PullStraight => &[(Start, Other), (Curve, Between), (Miss, Other)],
        Event::PushSlice => &[(Start, One), (Curve, One), (Miss, One)],
        Event::PullHook => &[(Start, Other), (Curve, Other), (Miss, Other)],
        Event::PullFade => &[(Start, Other), (Curve, One)],
        Event::PushHook => &[(Start, One), (Curve, Other)],
        Event::OnlineSlice => &[(Start, Between), (Curve, One), (Miss, One)],
        Event::OnlineHook => &[(Start, Between), (Curve, Other), (Miss, Other)],
        Event::MissPush => &[(Miss, One)],
        Event::MissPull => &[(Miss, Other)],
        Event::MarkFarBehind | Event::MarkBehind | Event::Fat | Event::SlightlyHeavy => {
            &[(Mark, One)]
        }
        Event::MarkLevel => &[(Mark, Between)],
        Event::MarkAhead | Event::MarkFarAhead => &[(Mark, Other)],
        Event::NoMark => &[(Mark, Nothing)],
        Event::DeepMark => &[(Mark, Somewhere), (Depth, One)],
        Event::ShallowMark => &[(Mark, Somewhere), (Depth, Other)],
        Event::Stabbed | Event::Stuck => &[(Mark, Somewhere)],
        Event::TooHigh | Event::Balloons | Event::Sky => &[(Height, One)],
        Event::TooLow | Event::Worm | Event::Dives => &[(Height, Other)],
        Event::Toe => &[(Across, One)],
        Event::Heel | Event::Shank => &[(Across, Other)],
        Event::Centre => &[(Across, Between)],
        Event::HighFace => &[(Up, One)],
        Event::LowFace => &[(Up, Other)],
        Event::ShortByMishit => &[(Carry, Between)],
        Event::Flyer => &[(Carry, Other)],
        _ => &[],
    }
}

/// The sides a symptom puts things on, said by a golfer of this hand in these words.
fn of(base: &KnowledgeBase, symptom: SymptomId, words: &str, hand: Hand) -> Vec<(Thing, Side)> {
    let Some(seen) = base
        .model
        .symptoms
        .get(symptom.index())
        .and_then(|s| s.seen.as_ref())
    else {
        return Vec::new();
    };
    let of_events = |terms: &[(Event, f64)]| -> Vec<(Thing, Side)> {
        let mut out: Vec<(Thing, Side)> = Vec::new();
        for (event, _) in terms {
            for side in sides(*event) {
                if !out.contains(side) {
                    out.push(*side);
                }
            }
        }
        out
    };
    let turf = base.symptom(symptom).kind == "turf";
    match seen {
        Seen::Events(terms) => of_events(terms),
        Seen::Power(event, _) => of_events(&[(*event, 1.0)]),
        Seen::Both(one, other) => {
            let mut out = Vec::new();
            let other = of_events(other);
            for (thing, side) in of_events(one) {
                if other.iter().any(|(t, s)| *t == thing && *s != side) {
                    out.push((thing, Side::Varies));
                }
            }
            out
        }
        Seen::OneSided(..) => {
            let (push, pull) = match hand {
                Hand::Right => ("right", "left"),
                Hand::Left => ("left", "right"),
            };
            // "Always left, never right": the side named first.
            let (push, pull) = (words.find(push), words.find(pull));
            match (push, pull) {
                (Some(a), Some(b)) if a < b => vec![(Thing::Miss, Side::One)],
                (Some(_), None) => vec![(Thing::Miss, Side::One)],
                (_, Some(_)) => vec![(Thing::Miss, Side::Other)],
                (None, None) => Vec::new(),
            }
        }
        // What can be read off a mark needs one.
        Seen::Beyond { axis, .. }
            if turf
                && [Axis::SwingDirection, Axis::LieAtImpact, Axis::ArcHeight].contains(axis) =>
        {
            vec![(Thing::Mark, Side::Somewhere)]
        }
        Seen::Scaled(Event::MarkStartSpread, ..) => vec![(Thing::Mark, Side::Varies)],
        Seen::Scaled(Event::LaunchSpread, ..) => vec![(Thing::Height, Side::Varies)],
        Seen::Scaled(Event::SolidCarry, ..) => vec![(Thing::Carry, Side::One)],
        _ => Vec::new(),
    }
}

/// Adds where the ball ends where it follows: a ball that starts or bends to one side, and of which
/// nothing else is told, misses there.
fn with_miss(mut of: Vec<(Thing, Side)>) -> Vec<(Thing, Side)> {
    let told: Vec<Side> = of
        .iter()
        .filter(|(t, _)| [Thing::Start, Thing::Curve].contains(t))
        .map(|(_, s)| *s)
        .collect();
    let missed = of.iter().any(|(t, _)| *t == Thing::Miss);
    if !missed && let [one] = told.as_slice() {
        of.push((Thing::Miss, *one));
    }
    of
}

/// Whether two symptoms of one club, in these words, contradict each other.
pub fn contradict(
    base: &KnowledgeBase,
    hand: Hand,
    (one, its): (SymptomId, &str),
    (other, theirs): (SymptomId, &str),
) -> bool {
    let opposed = |a, b| base.symptom(a).opposite.contains(&b);
    if opposed(one, other) || opposed(other, one) {
        return true;
    }
    let (mut a, mut b) = (of(base, one, its, hand), of(base, other, theirs, hand));
    let misses = |of: &[(Thing, Side)]| of.iter().any(|(t, _)| *t == Thing::Miss);
    // Where it ends counts beside a word on where it ends, not beside the first half of its flight.
    if misses(&a) || misses(&b) {
        (a, b) = (with_miss(a), with_miss(b));
    }
    let against = |(thing, side): &(Thing, Side)| {
        let sides: Vec<Side> = b.iter().filter(|(t, _)| t == thing).map(|b| b.1).collect();
        let agrees = |s: &Side| match (side, s) {
            (Side::Somewhere, Side::Nothing) | (Side::Nothing, Side::Somewhere) => false,
            (Side::Somewhere, _) | (_, Side::Somewhere) => true,
            (x, y) => x == y,
        };
        !sides.is_empty() && !sides.iter().any(agrees)
    };
    let things: Vec<Thing> = a.iter().map(|x| x.0).collect();
    things.iter().any(|thing| {
        let mut of_thing = a.iter().filter(|(t, _)| t == thing);
        of_thing.all(&against)
    })
}
