//! Drawings of the arc and of the impact, each with a sentence that says the same.
//!
//! Takes geometry values, gives text of at most 76 columns or a scalable drawing (SVG, true to
//! scale). The side view shows turf, ball, arc, low point and cut; the view from above shows where
//! path and face point and where the ball starts. Invariants: plain drawings are 7-bit ASCII;
//! nothing is drawn that the sentence does not say.
//! Does not know: causes, or what to do about them.

use super::number::rounded;
use super::page::folded;
use crate::geometry::GeometryError;
use crate::geometry::arc::{Arc, TurfCut};
use crate::geometry::impact::{Delivery, Departure, FaceShare};
use crate::geometry::strike::{Strike, StrikeClass, StrikeWindow, strike};
use crate::geometry::teed::{TeedClass, TeedStrike, TeedWindow, teed_strike};
use crate::quantity::{Angle, Length};
use crate::vocabulary::Hand;
use std::fmt::Write as _;

/// Radius of the ball in millimetres.
const BALL: f64 = crate::geometry::BALL_RADIUS.base() * 1000.0;
/// Columns of a text drawing.
const COLUMNS: usize = 73;
/// Greatest width of a sentence.
const WIDTH: usize = 76;
/// Millimetres of height a row.
const ROW: f64 = 5.0;

/// What the ball sits on, with what counts as which strike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BallOn {
    /// Turf.
    Turf(StrikeWindow),
    /// A tee.
    Tee(TeedWindow),
}

impl BallOn {
    fn tee(self) -> f64 {
        match self {
            Self::Turf(_) => 0.0,
            Self::Tee(window) => window.tee.as_millimetres(),
        }
    }

    const fn grass(self) -> Length {
        match self {
            Self::Turf(window) => window.grass,
            Self::Tee(window) => window.grass,
        }
    }
}

/// How to draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Drawing {
    /// 7-bit ASCII only.
    pub plain: bool,
    /// Centimetres instead of inches.
    pub metric: bool,
    /// The golfer's hand; without it directions are push side and pull side.
    pub hand: Option<Hand>,
}

impl Drawing {
    fn along(self, length: Length) -> String {
        let size = length.abs();
        if self.metric {
            format!("{} cm", rounded(size.as_centimetres(), 1))
        } else {
            format!("{} in", rounded(size.as_inches(), 1))
        }
    }

    fn ahead(self, length: Length) -> String {
        let text = self.along(length);
        if text.starts_with("0 ") {
            "at the ball".to_owned()
        } else if length > Length::ZERO {
            format!("{text} ahead of the ball")
        } else {
            format!("{text} behind the ball")
        }
    }

    fn side(self, angle: Angle) -> &'static str {
        match (self.hand, angle > Angle::ZERO) {
            (Some(Hand::Right), true) | (Some(Hand::Left), false) => "right",
            (Some(_), _) => "left",
            (None, true) => "to the push side",
            (None, false) => "to the pull side",
        }
    }

    fn pointing(self, angle: Angle) -> String {
        let size = rounded(angle.abs().as_degrees(), 1);
        if size == "0" {
            return "at the target".to_owned();
        }
        let side = self.side(angle);
        let of = if self.hand.is_some() {
            " of the target"
        } else {
            ""
        };
        format!("{size} deg {side}{of}")
    }
}

fn millimetres(height: Length) -> String {
    rounded(height.abs().as_millimetres(), 1)
}

// ---------------------------------------------------------------------- the side view

/// Longest cut that is still a divot (elicited: long ones are a hand and a half).
const LONGEST_CUT: Length = Length::inches(12.0);

/// A cut longer than any that a club gets through.
pub(super) fn beyond_turf(cut: TurfCut) -> bool {
    cut.length > LONGEST_CUT
}

/// The arc from the side in text, target to the right, and what it shows in a sentence.
///
/// Heights are drawn larger than lengths. Marks: `*` the way of the club's edge, `V` its lowest
/// point, `x` where it enters the turf, `o` the ball.
///
/// # Errors
/// A window out of range.
pub fn side_view(arc: Arc, ball: BallOn, drawing: Drawing) -> Result<String, GeometryError> {
    let mut text = side_picture(arc, ball, drawing).join("\n");
    text.push_str("\n\n");
    text.push_str(&wrapped(&side_sentence(arc, ball, drawing)?));
    Ok(text)
}

/// What the side view shows, in words.
///
/// # Errors
/// A window out of range.
pub fn side_sentence(arc: Arc, ball: BallOn, drawing: Drawing) -> Result<String, GeometryError> {
    let height = millimetres(arc.height());
    let level = match (height.as_str(), arc.height() < Length::ZERO) {
        ("0", _) => "at turf level".to_owned(),
        (height, true) => match millimetres(-arc.height() - ball.grass()) {
            soil if arc.height() < -ball.grass() && soil != "0" => {
                format!("{height} mm below the top of the grass, {soil} mm of it in the soil")
            }
            _ => format!("{height} mm below the top of the grass"),
        },
        (height, false) => format!("{height} mm above the turf"),
    };
    let attack = rounded(arc.attack().abs().as_degrees(), 1);
    let moves = match (attack.as_str(), arc.attack() < Angle::ZERO) {
        ("0", _) => "level".to_owned(),
        (attack, true) => format!("{attack} deg down"),
        (attack, false) => format!("{attack} deg up"),
    };
    let ahead = drawing.ahead(arc.low_point());
    let mut text =
        format!("The arc is lowest {ahead}, {level}; at the ball the club moves {moves}.");
    match arc.cut(ball.grass()) {
        Some(cut) => {
            let _ = write!(
                text,
                " It enters the turf {} and would cut {} of it.",
                drawing.ahead(cut.start),
                drawing.along(cut.length)
            );
        }
        None if arc.height() < Length::ZERO => text.push_str(&brushed(arc, drawing)),
        None => text.push_str(" It does not reach the turf."),
    }
    text.push(' ');
    text.push_str(&match ball {
        BallOn::Turf(window) => strike_sentence(arc, strike(arc, window)?, ball.grass(), drawing),
        BallOn::Tee(window) => teed_sentence(teed_strike(arc, window)?),
    });
    Ok(text)
}

/// Where an arc too high to cut turf goes through the grass.
fn brushed(arc: Arc, drawing: Drawing) -> String {
    arc.cut(Length::ZERO).map_or_else(String::new, |grass| {
        format!(
            " It only brushes the grass, from {} to {}.",
            drawing.ahead(grass.start),
            drawing.ahead(grass.end)
        )
    })
}

fn strike_sentence(arc: Arc, strike: Strike, grass: Length, drawing: Drawing) -> String {
    let cut = arc.cut(grass);
    let first = |met: Option<TurfCut>| met.is_some_and(|m| m.start < strike.edge_ahead);
    let up = millimetres(strike.contact_up_face);
    let turf = drawing.along(strike.turf_before);
    match strike.class {
        StrikeClass::Whiff => "The club passes over the ball: a miss.".to_owned(),
        StrikeClass::Topped => "The edge meets the ball above its middle: topped.".to_owned(),
        StrikeClass::Thin if strike.bladed => {
            "The edge itself meets the ball: thin, bladed.".to_owned()
        }
        StrikeClass::Thin => format!("The ball is met only {up} mm up the face: thin."),
        StrikeClass::Clean if cut.is_some_and(beyond_turf) => format!(
            "The ball comes first and is met {up} mm up the face, but no club gets through so much turf."
        ),
        StrikeClass::Clean if first(cut) => format!(
            "{turf} of turf come before the ball, too little to cost anything: it is met {up} mm up \
             the face, clean."
        ),
        StrikeClass::Clean if cut.is_none() && first(arc.cut(Length::ZERO)) => format!(
            "The grass comes first, too lightly to cost anything: the ball is met {up} mm up the \
             face, clean."
        ),
        StrikeClass::Clean if cut.is_some_and(|cut| cut.start < Length::ZERO) => format!(
            "The ball still comes first (its back meets the face while the edge is {} behind its \
             middle) and is met {up} mm up the face: clean.",
            drawing.along(strike.edge_ahead)
        ),
        StrikeClass::Clean => {
            format!("The ball comes first and is met {up} mm up the face: clean.")
        }
        StrikeClass::SlightlyHeavy => {
            format!("{turf} of turf come before the ball: slightly heavy.")
        }
        StrikeClass::Fat => format!("{turf} of turf come before the ball: fat."),
    }
}

fn teed_sentence(strike: TeedStrike) -> String {
    let off = millimetres(strike.above_centre);
    match strike.class {
        TeedClass::Whiff => "The club passes over the ball: a miss.".to_owned(),
        TeedClass::Topped => "The edge meets the ball near its top: topped.".to_owned(),
        TeedClass::LowFace => format!("The ball is met {off} mm below the middle of the face."),
        TeedClass::Clean if off == "0" => "The ball is met in the middle of the face.".to_owned(),
        TeedClass::Clean if strike.above_centre > Length::ZERO => {
            format!("The ball is met near the middle of the face, {off} mm above it.")
        }
        TeedClass::Clean => {
            format!("The ball is met near the middle of the face, {off} mm below it.")
        }
        TeedClass::Sky => format!("The ball is met {off} mm above the middle of the face: a sky."),
        TeedClass::DropKick => "The ground comes first, brushed: a drop-kick.".to_owned(),
        TeedClass::Fat => "The club digs in behind the ball: fat.".to_owned(),
    }
}

/// Where the picture begins and ends along the base line, in millimetres ahead of the ball.
fn reach(arc: Arc, cut: Option<TurfCut>) -> (f64, f64) {
    let mut left: f64 = -200.0;
    let mut right: f64 = 250.0;
    let places = [
        Some(arc.low_point()),
        cut.map(|c| c.start),
        cut.map(|c| c.end),
    ];
    for place in places.into_iter().flatten().map(Length::as_millimetres) {
        left = left.min(place - 40.0).max(-600.0);
        right = right.max(place + 40.0).min(600.0);
    }
    (left, right)
}

pub(super) fn side_picture(arc: Arc, ball: BallOn, drawing: Drawing) -> Vec<String> {
    let cut = arc.cut(ball.grass());
    let (left, right) = reach(arc, cut);
    let per_column = (right - left) / (COLUMNS as f64 - 1.0);
    let top = ((ball.tee() + 2.0 * BALL) / ROW).ceil() as i32;
    let deepest = (-arc.height().as_millimetres()).clamp(0.0, 60.0);
    let bottom = -((deepest / ROW).ceil() as i32).max(1);
    let ink = Ink::of(drawing.plain);
    let mut rows: Vec<Vec<char>> = (bottom..=top).map(|_| vec![' '; COLUMNS]).collect();
    // Row 0 is the turf line; a height belongs to the nearest row.
    let mut put = |x: f64, row: f64, mark: char| {
        let column = ((x - left) / per_column).round();
        let from_top = f64::from(top) - row;
        if (0.0..COLUMNS as f64).contains(&column) && from_top >= 0.0 {
            let cell = rows
                .get_mut(from_top as usize)
                .and_then(|r| r.get_mut(column as usize));
            if let Some(cell) = cell {
                *cell = mark;
            }
        }
    };
    let row_of = |height: f64| {
        let row = (height / ROW).round();
        // What is below the turf shows below its line.
        if height < -0.05 && row >= 0.0 {
            -1.0
        } else {
            row
        }
    };
    for column in 0..COLUMNS {
        let x = left + per_column * column as f64;
        let inside =
            cut.is_some_and(|c| (c.start.as_millimetres()..=c.end.as_millimetres()).contains(&x));
        put(x, 0.0, if inside { ' ' } else { ink.turf });
    }
    for step in 0..72 {
        let turn = f64::from(step) * std::f64::consts::TAU / 72.0;
        let height = ball.tee() + BALL + BALL * turn.sin();
        put(BALL * turn.cos(), (height / ROW).round().max(1.0), ink.ball);
    }
    if ball.tee() > ROW {
        let mut height = ROW;
        while height < ball.tee() {
            put(0.0, (height / ROW).round(), ink.tee);
            height += ROW;
        }
    }
    for column in 0..COLUMNS {
        let x = left + per_column * column as f64;
        let height = arc.edge_height(Length::millimetres(x)).as_millimetres();
        if height < f64::from(top) * ROW + 0.5 * ROW {
            put(x, row_of(height), ink.arc);
        }
    }
    if let Some(cut) = cut {
        put(cut.start.as_millimetres(), 0.0, ink.entry);
    }
    put(
        arc.low_point().as_millimetres(),
        row_of(arc.height().as_millimetres()),
        ink.low,
    );
    let mut lines: Vec<String> = rows
        .into_iter()
        .map(|row| row.into_iter().collect::<String>())
        .collect();
    lines.extend(ruler(left, right, drawing));
    lines
        .into_iter()
        .map(|line| line.trim_end().to_owned())
        .collect()
}

/// Distances under the picture, behind the ball to the left.
fn ruler(left: f64, right: f64, drawing: Drawing) -> [String; 2] {
    let per_column = (right - left) / (COLUMNS as f64 - 1.0);
    let (unit, step, name) = if drawing.metric {
        (10.0, 5, "cm")
    } else {
        (25.4, 2, "in")
    };
    let mut line = vec![' '; COLUMNS];
    let first = (left / unit).ceil() as i32;
    let last = (right / unit).floor() as i32;
    let step = if last - first > 12 * step {
        2 * step
    } else {
        step
    };
    for mark in (first..=last).filter(|mark| mark % step == 0) {
        let label = mark.abs().to_string();
        let at = ((f64::from(mark) * unit - left) / per_column).round() as usize;
        let at = (at + 1).saturating_sub(label.len());
        for (i, c) in label.chars().enumerate() {
            if let Some(cell) = line.get_mut(at + i) {
                *cell = c;
            }
        }
    }
    let words = format!("behind the ball <- {name} -> ahead, towards the target");
    let start = ((-left / per_column).round() as usize).saturating_sub(20);
    [
        line.into_iter().collect(),
        format!("{}{words}", " ".repeat(start.min(WIDTH - words.len()))),
    ]
}

struct Ink {
    turf: char,
    ball: char,
    tee: char,
    arc: char,
    entry: char,
    low: char,
}

impl Ink {
    const fn of(plain: bool) -> Self {
        if plain {
            Self {
                turf: '-',
                ball: 'o',
                tee: '|',
                arc: '*',
                entry: 'x',
                low: 'V',
            }
        } else {
            Self {
                turf: '─',
                ball: '○',
                tee: '│',
                arc: '•',
                entry: '×',
                low: '▼',
            }
        }
    }
}

/// The side view as a scalable drawing, true to scale, with the sentence as its description.
///
/// # Errors
/// A window out of range.
pub fn svg_side_view(arc: Arc, ball: BallOn, drawing: Drawing) -> Result<String, GeometryError> {
    let cut = arc.cut(ball.grass());
    let (left, right) = reach(arc, cut);
    let (width, above) = (right - left, ball.tee() + 2.0 * BALL + 18.0);
    let below = (-arc.height().as_millimetres()).clamp(0.0, 60.0) + 34.0;
    let sentence = side_sentence(arc, ball, drawing)?;
    let mut svg = svg_head(
        [left, -above, width, above + below],
        "The arc from the side",
        &sentence,
    );
    let _ = writeln!(
        svg,
        "  <rect x=\"{left:.1}\" y=\"0\" width=\"{width:.1}\" height=\"{below:.1}\" fill=\"#cfe3bd\"/>"
    );
    let height = |x: f64| arc.edge_height(Length::millimetres(x)).as_millimetres();
    let line = |from: f64, to: f64| {
        let mut points = String::new();
        for i in 0..=120 {
            let x = from + (to - from) * f64::from(i) / 120.0;
            let z = height(x);
            if z < above {
                let _ = write!(points, "{x:.2},{:.2} ", -z);
            }
        }
        points.trim_end().to_owned()
    };
    if let Some(cut) = cut {
        let (start, end) = (cut.start.as_millimetres(), cut.end.as_millimetres());
        let points = line(start, end);
        let _ = writeln!(svg, "  <polygon points=\"{points}\" fill=\"#8a6a48\"/>");
    }
    let _ = writeln!(
        svg,
        "  <line x1=\"{left:.1}\" y1=\"0\" x2=\"{right:.1}\" y2=\"0\" stroke=\"#3f6b2a\" stroke-width=\"0.8\"/>"
    );
    if ball.tee() > 0.0 {
        let _ = writeln!(
            svg,
            "  <line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"{:.2}\" stroke=\"#a06a2c\" stroke-width=\"3\"/>",
            -ball.tee()
        );
    }
    let _ = writeln!(
        svg,
        "  <circle cx=\"0\" cy=\"{:.2}\" r=\"{BALL:.2}\" fill=\"#ffffff\" stroke=\"#333333\" stroke-width=\"0.8\"/>",
        -(ball.tee() + BALL)
    );
    let _ = writeln!(
        svg,
        "  <polyline points=\"{}\" fill=\"none\" stroke=\"#b3261e\" stroke-width=\"1.2\"/>",
        line(left, right)
    );
    let low = arc.low_point().as_millimetres();
    let z = arc.height().as_millimetres();
    let _ = writeln!(
        svg,
        "  <circle cx=\"{low:.2}\" cy=\"{:.2}\" r=\"2\" fill=\"#b3261e\"/>",
        -z
    );
    let label = below - 6.0;
    svg_text(&mut svg, [low, label - 9.0], "middle", "lowest point");
    let distance = drawing.ahead(arc.low_point());
    svg_text(&mut svg, [low, label], "middle", &distance);
    let _ = writeln!(
        svg,
        "  <line x1=\"{low:.2}\" y1=\"{:.2}\" x2=\"{low:.2}\" y2=\"{:.2}\" stroke=\"#b3261e\" stroke-width=\"0.4\"/>",
        -z + 2.5,
        label - 16.0
    );
    svg_text(
        &mut svg,
        [right - 4.0, -above + 9.0],
        "end",
        "to the target",
    );
    svg.push_str("</svg>\n");
    Ok(svg)
}

// ---------------------------------------------------------------------- from above

/// Path, face and start from above in text, target up, angles drawn four times as large as they
/// are, and what it shows in a sentence.
///
/// Marks: `|` the target line, `p` the club's path, `f` where the face points, `s` where the ball
/// starts, `O` the ball.
///
/// # Errors
/// A delivery out of range, or one without a direction.
pub fn view_from_above(delivery: Delivery, drawing: Drawing) -> Result<String, GeometryError> {
    const HEIGHT: i32 = 9;
    const HALF: i32 = 30;
    let departure = delivery.departure(FaceShare::Fitted)?;
    let mut rows: Vec<Vec<char>> = (0..=HEIGHT)
        .map(|_| vec![' '; 2 * HALF as usize + 1])
        .collect();
    let mirror = if drawing.hand == Some(Hand::Left) {
        -1.0
    } else {
        1.0
    };
    let mut put = |row: i32, column: f64, mark: char| {
        let column = f64::from(HALF) + column.round();
        if (0.0..=2.0 * f64::from(HALF)).contains(&column) {
            let cell = usize::try_from(HEIGHT - row)
                .ok()
                .and_then(|r| rows.get_mut(r))
                .and_then(|r| r.get_mut(column as usize));
            if let Some(cell) = cell {
                *cell = mark;
            }
        }
    };
    let (line, ball) = if drawing.plain {
        ('|', 'O')
    } else {
        ('│', '○')
    };
    for row in 1..=HEIGHT {
        put(row, 0.0, line);
    }
    for (angle, mark) in [
        (delivery.path, 'p'),
        (delivery.face, 'f'),
        (departure.start, 's'),
    ] {
        // A row is twice as high as a column is wide.
        let slant = (angle.as_radians() * 4.0).clamp(-1.3, 1.3).tan() * 2.0 * mirror;
        for row in 1..=HEIGHT {
            put(row, slant * f64::from(row), mark);
        }
    }
    put(0, 0.0, ball);
    let mut text: String = rows
        .into_iter()
        .map(|row| row.into_iter().collect::<String>().trim_end().to_owned() + "\n")
        .collect();
    text.push_str("p path, f face, s start of the ball; up is to the target, angles drawn x4\n\n");
    text.push_str(&wrapped(&above_sentence(delivery, departure, drawing)));
    Ok(text)
}

fn above_sentence(delivery: Delivery, departure: Departure, drawing: Drawing) -> String {
    let open = delivery.face - delivery.path;
    let size = rounded(open.abs().as_degrees(), 1);
    let to_path = if size == "0" {
        "square to the path".to_owned()
    } else if open > Angle::ZERO {
        format!("{size} deg open to the path")
    } else {
        format!("{size} deg closed to the path")
    };
    let tilt = departure.axis_tilt;
    let bend = rounded(tilt.abs().as_degrees(), 0);
    let curve = if bend == "0" {
        "flies without curve".to_owned()
    } else {
        format!(
            "curves {} (spin axis tilted {bend} deg)",
            drawing.side(tilt)
        )
    };
    format!(
        "The club moves {}, the face points {}: {to_path}. Struck in the middle, the ball starts {} \
         and {curve}.",
        drawing.pointing(delivery.path),
        drawing.pointing(delivery.face),
        drawing.pointing(departure.start),
    )
}

/// The view from above as a scalable drawing, target up, angles true, with the sentence as its
/// description.
///
/// # Errors
/// As [`view_from_above`].
pub fn svg_view_from_above(delivery: Delivery, drawing: Drawing) -> Result<String, GeometryError> {
    let departure = delivery.departure(FaceShare::Fitted)?;
    let sentence = above_sentence(delivery, departure, drawing);
    let mut svg = svg_head(
        [-110.0, -190.0, 220.0, 230.0],
        "Path and face from above",
        &sentence,
    );
    svg.push_str(
        "  <line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"-170\" stroke=\"#777777\" stroke-width=\"0.6\" stroke-dasharray=\"4 3\"/>\n",
    );
    svg_text(&mut svg, [0.0, -176.0], "middle", "target");
    let mirror = if drawing.hand == Some(Hand::Left) {
        -1.0
    } else {
        1.0
    };
    let arrow = |angle: Angle, length: f64| {
        let turn = angle.as_radians() * mirror;
        (length * turn.sin(), -length * turn.cos())
    };
    for (angle, length, colour, name) in [
        (delivery.path, 140.0, "#1f5fa8", "path"),
        (delivery.face, 110.0, "#b3261e", "face"),
        (departure.start, 160.0, "#2b2b2b", "start"),
    ] {
        let (x, y) = arrow(angle, length);
        let _ = writeln!(
            svg,
            "  <line x1=\"0\" y1=\"0\" x2=\"{x:.2}\" y2=\"{y:.2}\" stroke=\"{colour}\" stroke-width=\"1.6\"/>"
        );
        let side = if x >= 0.0 {
            (x + 3.0, "start")
        } else {
            (x - 3.0, "end")
        };
        svg_text(&mut svg, [side.0, y], side.1, name);
    }
    // The face itself, at right angles to where it points.
    let (x, y) = arrow(delivery.face + Angle::degrees(90.0), 32.0);
    let _ = writeln!(
        svg,
        "  <line x1=\"{:.2}\" y1=\"{:.2}\" x2=\"{x:.2}\" y2=\"{:.2}\" stroke=\"#b3261e\" stroke-width=\"3\"/>",
        -x,
        -y + BALL,
        y + BALL
    );
    let _ = writeln!(
        svg,
        "  <circle cx=\"0\" cy=\"0\" r=\"{:.2}\" fill=\"#ffffff\" stroke=\"#333333\" stroke-width=\"0.8\"/>",
        BALL * 0.8
    );
    svg.push_str("</svg>\n");
    Ok(svg)
}

fn svg_head(view: [f64; 4], title: &str, description: &str) -> String {
    let [x, y, width, height] = view;
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" viewBox=\"{x:.1} {y:.1} {width:.1} {height:.1}\" \
         font-family=\"sans-serif\" font-size=\"8\">\n  <title>{title}</title>\n  <desc>{description}</desc>\n  \
         <rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{width:.1}\" height=\"{height:.1}\" fill=\"#ffffff\"/>\n"
    )
}

fn svg_text(svg: &mut String, at: [f64; 2], anchor: &str, text: &str) {
    let [x, y] = at;
    let _ = writeln!(
        svg,
        "  <text x=\"{x:.2}\" y=\"{y:.2}\" text-anchor=\"{anchor}\" fill=\"#222222\">{text}</text>"
    );
}

fn wrapped(text: &str) -> String {
    folded(text, WIDTH, 0)
}
