//! The lines of the flight's calculator: how the ball leaves and where it goes.
//!
//! Takes what geometry worked out and where the loft came from; gives a line a number with its 95 %
//! range, or the same as JSON (format version 1). Does not know: wind beyond what geometry was told.

use serde_json::{Value, json};

use super::calculator::{PULL, PUSH, Words, in_words, lines, of, words};
use super::drawing::Drawing;
use super::json::FORMAT;
use super::number::{capital, rounded};
use crate::geometry::follow::Part;
use crate::geometry::outcome::{Leaving, Outcome};
use crate::quantity::{Angle, Estimate, Unit};

const BALL_SPEED: Words = words("ball speed", "ball_speed", Unit::MilePerHour, "", "");
const LAUNCH: Words = words("launch", "launch_angle", Unit::Degree, "", "");
const START: Words = words(
    "start direction",
    "start_direction",
    Unit::Degree,
    PUSH,
    PULL,
);
const TILT: Words = words("axis tilt", "axis_tilt", Unit::Degree, PUSH, PULL);
const SPIN: Words = Words {
    decimals: 0,
    ..words("spin", "spin_rate", Unit::Rpm, "", "")
};
const CARRY: Words = Words {
    decimals: 0,
    ..words("carry", "carry", Unit::Yard, "", "")
};
const SIDE: Words = words("side", "side", Unit::Yard, PUSH, PULL);
const APEX: Words = words("peak height", "apex", Unit::Yard, "", "");
const LANDING: Words = words("landing angle", "landing_angle", Unit::Degree, "", "");
const TIME: Words = words("time in the air", "hang_time", Unit::Second, "", "");

fn flight_numbers(leaving: &Leaving, outcome: &Outcome) -> [(Words, Estimate); 10] {
    [
        (BALL_SPEED, leaving.ball_speed),
        (LAUNCH, leaving.launch),
        (START, leaving.start),
        (SPIN, leaving.spin),
        (TILT, leaving.axis_tilt),
        (CARRY, outcome.carry),
        (SIDE, outcome.side),
        (APEX, outcome.apex),
        (LANDING, outcome.landing),
        (TIME, outcome.time),
    ]
}

/// Where the loft at the ball comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum LoftFrom {
    /// It was given.
    Given,
    /// The loft on the club, turned by what is usual with it.
    Usual {
        /// The club whose usual turn was taken.
        club: String,
        /// The loft on it.
        on_club: Angle,
        /// That loft was given.
        given: bool,
    },
}

fn loft_line(loft: Estimate, from: &LoftFrom, drawing: Drawing) -> String {
    let words = of(Part::DynamicLoft);
    let value = words.value(loft.mean(), drawing);
    match from {
        LoftFrom::Given => format!(
            "Loft at the ball (dynamic) {value}: given. The loft on the club is another number, \
             with an iron usually 4 or 5 deg more; for that give --static-loft."
        ),
        LoftFrom::Usual {
            club,
            on_club,
            given,
        } => format!(
            "Loft at the ball (dynamic) {value}{}: usual with the {club} from {} deg on the club{}, \
             not known.",
            words.range(loft, drawing),
            rounded(on_club.as_degrees(), 1),
            if *given { " (given)" } else { "" }
        ),
    }
}

/// The flight: how the ball leaves, then where it goes, each with its 95 % range; `loft` if it
/// follows from the club.
pub fn flight_lines(
    leaving: &Leaving,
    outcome: &Outcome,
    loft: Option<(Estimate, &LoftFrom)>,
    drawing: Drawing,
) -> String {
    let mut out = String::new();
    if let Some((loft, from)) = loft {
        lines(&mut out, &loft_line(loft, from, drawing));
    }
    let from_club = loft.is_some();
    for (i, (words, value)) in flight_numbers(leaving, outcome).into_iter().enumerate() {
        let origin = match (i < 5, from_club) {
            (true, true) => ": from club speed, attack, loft, face and path",
            (true, false) => ": given",
            (false, _) => "",
        };
        let text = format!(
            "{} {}{}{origin}.",
            capital(words.name),
            words.value(value.mean(), drawing),
            words.range(value, drawing)
        );
        lines(&mut out, &text);
        if i == 4 {
            out.push('\n');
        }
    }
    out.push('\n');
    lines(
        &mut out,
        "Ranges hold 95 in 100. They count what balls and published drag and lift differ by, and \
         with the club's numbers what the strike may do; not roll, not off-centre hits.",
    );
    out
}

/// [`flight_lines`] as one object.
pub fn flight_json(leaving: &Leaving, outcome: &Outcome) -> Value {
    let numbers: Vec<Value> = flight_numbers(leaving, outcome)
        .iter()
        .map(|(words, estimate)| {
            let (value, low, high) = in_words(words, *estimate);
            json!({
                "quantity": words.id, "value": value, "low": low, "high": high,
                "unit": words.unit.symbol(),
            })
        })
        .collect();
    json!({ "format": FORMAT, "numbers": numbers })
}
