//! `arc`: the numbers that are known in, everything that follows out.
//!
//! Takes any of low point, attack, where a mark starts, how long and deep it is, brush, height,
//! path, swing direction, face, lofts, plane and radius, with a club and a slope; prints each number
//! that follows with its range and origin, the strike with its margins, what disagrees, and the
//! drawings. Exit code 65 for numbers from which no arc can come.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;

use super::{BAD_DATA, NOT_WRITTEN, measure, written};
use crate::geometry::GeometryError;
use crate::geometry::follow::{Followed, Known as Numbers, Part, follow};
use crate::geometry::slope::Slope;
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Angle, Length, Ratio};
use crate::terminal::on_terminal;
use crate::vocabulary::Hand;
use crate::wording::{
    Drawing, Drawn, Manner, arc_json, arc_lines, ball_on, disagreement_lines, refusal, side_view,
    svg_side_view, svg_view_from_above, view_from_above,
};

/// What is known. Numbers may carry a unit (9cm); without one they are inches and degrees.
#[derive(Debug, Clone, Args)]
pub(super) struct Known {
    /// The club, as an id of the knowledge or in words.
    #[arg(long, default_value = "7 iron")]
    club: String,
    /// Low point, + on the target side of the ball.
    #[arg(long, allow_negative_numbers = true, value_name = "IN", value_parser = measure::length)]
    low_point: Option<Length>,
    /// Attack angle, + up.
    #[arg(long, allow_negative_numbers = true, value_name = "DEG", value_parser = measure::angle)]
    attack: Option<Angle>,
    /// Where the mark starts, behind the ball +.
    #[arg(long, visible_alias = "mark-start", allow_negative_numbers = true, value_name = "IN", value_parser = measure::length)]
    turf_entry: Option<Length>,
    /// Length of the mark.
    #[arg(long, value_name = "IN", value_parser = measure::length)]
    mark_length: Option<Length>,
    /// Depth of the mark.
    #[arg(long, value_name = "IN", value_parser = measure::length)]
    mark_depth: Option<Length>,
    /// Where a practice swing starts to brush the ground, on the target side of the line +.
    #[arg(long, allow_negative_numbers = true, value_name = "IN", value_parser = measure::length)]
    brush: Option<Length>,
    /// Height of the arc's lowest point above the turf, - below.
    #[arg(long, allow_negative_numbers = true, value_name = "IN", value_parser = measure::length)]
    height: Option<Length>,
    /// Club path, + to the push side.
    #[arg(long, allow_negative_numbers = true, value_name = "DEG", value_parser = measure::angle)]
    path: Option<Angle>,
    /// Where the whole arc points, + to the push side.
    #[arg(long, allow_negative_numbers = true, value_name = "DEG", value_parser = measure::angle)]
    swing_direction: Option<Angle>,
    /// Face angle, + to the push side.
    #[arg(long, allow_negative_numbers = true, value_name = "DEG", value_parser = measure::angle)]
    face: Option<Angle>,
    /// Dynamic loft.
    #[arg(long, visible_alias = "dynamic-loft", value_name = "DEG", value_parser = measure::angle)]
    loft: Option<Angle>,
    /// Loft on the club.
    #[arg(long, value_name = "DEG", value_parser = measure::angle)]
    static_loft: Option<Angle>,
    /// Inclination of the plane to the ground.
    #[arg(long, value_name = "DEG", value_parser = measure::angle)]
    plane: Option<Angle>,
    /// Radius of the arc in its plane.
    #[arg(long, value_name = "IN", value_parser = measure::length)]
    radius: Option<Length>,
    /// Slope along the target line, uphill +.
    #[arg(long, allow_negative_numbers = true, value_name = "DEG", value_parser = measure::angle)]
    uphill: Option<Angle>,
    /// Slope across it, ball above the feet +.
    #[arg(long, allow_negative_numbers = true, value_name = "DEG", value_parser = measure::angle)]
    ball_above: Option<Angle>,
    /// How much of the slope the swing follows: 0 as on the flat, 1 entirely.
    #[arg(long, default_value_t = 0.0, value_name = "SHARE")]
    follow: f64,
    /// Write the drawing to this file (SVG).
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Centimetres instead of inches in what is printed.
    #[arg(long)]
    metric: bool,
    /// Draw with 7-bit ASCII only (always so in a pipe).
    #[arg(long)]
    plain: bool,
    /// Print one JSON object (format version 1) instead of text.
    #[arg(long)]
    json: bool,
}

impl Known {
    fn numbers(&self) -> Numbers {
        let sloped = self.uphill.is_some() || self.ball_above.is_some();
        let slope = Slope {
            along: self.uphill.unwrap_or(Angle::ZERO),
            across: self.ball_above.unwrap_or(Angle::ZERO),
        };
        Numbers {
            low_point: self.low_point,
            attack: self.attack,
            turf_entry: self.turf_entry,
            mark_length: self.mark_length,
            mark_depth: self.mark_depth,
            brush: self.brush,
            height: self.height,
            path: self.path,
            swing_direction: self.swing_direction,
            face: self.face,
            dynamic_loft: self.loft,
            static_loft: self.static_loft,
            plane: self.plane,
            radius: self.radius,
            slope: sloped.then_some((slope, Ratio::of_one(self.follow))),
        }
    }
}

/// What is printed, and the drawing for a file.
struct Shown {
    text: String,
    svg: Option<String>,
}

/// Works out and shows every number that follows.
pub(super) fn arc(base: &KnowledgeBase, known: &Known, hand: Option<Hand>) -> ExitCode {
    let numbers = known.numbers();
    if numbers.is_empty() {
        eprintln!("give at least one number, such as --low-point 3.5 or --attack -4");
        return ExitCode::from(2);
    }
    let club = match measure::club(base, &known.club) {
        Ok(club) => club,
        Err(message) => {
            eprintln!("{message}");
            return ExitCode::from(2);
        }
    };
    let shown = follow(&numbers, &club.shape)
        .and_then(|followed| shown(base, known, &club, &followed, hand));
    let shown = match shown {
        Ok(shown) => shown,
        Err(error) => {
            eprintln!("no arc comes from these numbers: {}", refusal(&error));
            return ExitCode::from(BAD_DATA);
        }
    };
    if let Some(path) = &known.svg {
        let Some(svg) = shown.svg else {
            eprintln!("there is nothing to draw: give the low point or what it follows from");
            return ExitCode::from(2);
        };
        if let Err(error) = std::fs::write(path, svg) {
            eprintln!("could not write {}: {error}", path.display());
            return ExitCode::from(NOT_WRITTEN);
        }
    }
    written(&shown.text)
}

fn shown(
    base: &KnowledgeBase,
    known: &Known,
    club: &measure::Chosen,
    followed: &Followed,
    hand: Option<Hand>,
) -> Result<Shown, GeometryError> {
    let drawing = Drawing {
        plain: known.plain || !on_terminal(),
        metric: known.metric,
        hand,
    };
    let loft = followed
        .value(Part::DynamicLoft)
        .map_or(club.shape.static_loft, |l| Angle::from_base(l.mean()));
    let drawn = match followed.arc {
        Some(arc) => {
            let ball = ball_on(base, club.group, loft);
            Some(Drawn::new(arc, ball, followed.height_known)?)
        }
        None => None,
    };
    let svg = match (&known.svg, &drawn, followed.delivery) {
        (None, _, _) | (_, None, None) => None,
        (Some(_), Some(d), _) => Some(svg_side_view(d.arc, d.ball, drawing)?),
        (Some(_), None, Some(delivery)) => Some(svg_view_from_above(delivery, drawing)?),
    };
    if known.json {
        let object = arc_json(&club.id, followed, drawn.as_ref())?;
        let text = format!("{object}\n");
        return Ok(Shown { text, svg });
    }
    let mut text = arc_lines(&club.name, followed, drawn.as_ref(), drawing)?;
    let manner = Manner {
        metric: known.metric,
        hand,
    };
    text.push_str(&disagreement_lines(base, &followed.disagreements, manner));
    if let Some(drawn) = drawn {
        text.push('\n');
        text.push_str(&side_view(drawn.arc, drawn.ball, drawing)?);
    }
    if let Some(delivery) = followed.delivery {
        text.push('\n');
        text.push_str(&view_from_above(delivery, drawing)?);
    }
    Ok(Shown { text, svg })
}
