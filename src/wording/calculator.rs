//! The lines of the arc's calculator: what follows from known numbers; and why a number is refused.
//!
//! Takes what geometry worked out and gives text of at most 76 columns, one number a line with its
//! 95 % range and what it came from, or the same as JSON (format version 1, trade units, the house's
//! signs). Says in words why geometry refused a number. Rounds as the rest of the program does.
//! Does not know: causes.

use serde_json::{Value, json};

use super::drawing::{BallOn, Drawing, beyond_turf};
use super::explain::disagreement;
use super::json::FORMAT;
use super::number::{Manner, capital, listed, rounded, shown_unit};
use super::page::{clean, folded};
use crate::geometry::arc::Arc;
use crate::geometry::consistency::{Disagreement, MeasuredName};
use crate::geometry::follow::{
    Followed, How, Part, Step, at_clean_height, at_clean_height_off_tee,
};
use crate::geometry::strike::{StrikeClass, StrikeWindow, strike, strike_margins};
use crate::geometry::teed::{TeedWindow, teed_strike};
use crate::geometry::{GeometryError, Input};
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Angle, Estimate, Length, Unit};
use crate::vocabulary::{GroupId, Hand};

const WIDTH: usize = 76;

/// Name, id, unit, decimals, and the words of both directions.
pub(super) struct Words {
    pub(super) name: &'static str,
    pub(super) id: &'static str,
    pub(super) unit: Unit,
    pub(super) decimals: usize,
    pub(super) plus: &'static str,
    pub(super) minus: &'static str,
}

pub(super) const fn words(
    name: &'static str,
    id: &'static str,
    unit: Unit,
    plus: &'static str,
    minus: &'static str,
) -> Words {
    Words {
        name,
        id,
        unit,
        decimals: 1,
        plus,
        minus,
    }
}

pub(super) const PUSH: &str = "to the push side";
pub(super) const PULL: &str = "to the pull side";
pub(super) const AHEAD: &str = "ahead of the ball";
pub(super) const BEHIND: &str = "behind the ball";

pub(super) const fn of(part: Part) -> Words {
    let (inch, deg) = (Unit::Inch, Unit::Degree);
    match part {
        Part::Radius => words("radius of the arc", "radius", inch, "", ""),
        Part::Plane => words("plane", "plane", deg, "", ""),
        Part::VerticalRadius => words("own vertical radius", "vertical_radius", inch, "", ""),
        Part::LowPoint => words("low point", "low_point", inch, AHEAD, BEHIND),
        Part::Attack => words("attack", "attack_angle", deg, "up", "down"),
        Part::TurfEntry => words("turf entry", "turf_entry", inch, BEHIND, AHEAD),
        Part::MarkLength => words("mark length", "mark_length", inch, "", ""),
        Part::MarkDepth => words("mark depth", "mark_depth", Unit::Millimetre, "", ""),
        Part::Brush => words("practice brush", "brush", inch, AHEAD, BEHIND),
        Part::Height => words(
            "bottom of the arc",
            "arc_height",
            Unit::Millimetre,
            "above the turf",
            "below the turf",
        ),
        Part::EntryAngle => words("angle into the turf", "entry_angle", deg, "up", "down"),
        Part::Path => words("path", "club_path", deg, PUSH, PULL),
        Part::SwingDirection => words("swing direction", "swing_direction", deg, PUSH, PULL),
        Part::PathShift => words("turn of the path on the arc", "path_shift", deg, PUSH, PULL),
        Part::Face => words("face", "face_angle", deg, PUSH, PULL),
        Part::FaceToPath => words(
            "face to path",
            "face_to_path",
            deg,
            "open to the path",
            "closed to the path",
        ),
        Part::StaticLoft => words("loft on the club", "static_loft", deg, "", ""),
        Part::DynamicLoft => words("dynamic loft", "dynamic_loft", deg, "", ""),
        Part::HandleLean => words(
            "handle lean",
            "handle_lean",
            deg,
            "towards the target",
            "away from the target",
        ),
        Part::SpinLoft => words("spin loft", "spin_loft", deg, "", ""),
        Part::Launch => words("launch", "launch_angle", deg, "", ""),
        Part::Start => words("start direction", "start_direction", deg, PUSH, PULL),
        Part::AxisTilt => words("axis tilt", "axis_tilt", deg, PUSH, PULL),
    }
}

/// Push side and pull side as the golfer's right and left, where the hand is known.
fn turned(word: &str, hand: Option<Hand>) -> String {
    match hand {
        Some(hand) if word == PUSH || word == PULL => {
            let right = (word == PUSH) == (hand == Hand::Right);
            if right { "right" } else { "left" }.to_owned()
        }
        _ => word.to_owned(),
    }
}

impl Words {
    fn number(&self, base: f64, drawing: Drawing) -> (f64, Unit) {
        let unit = shown_unit(self.unit, drawing.metric);
        (base / unit.scale(), unit)
    }

    pub(super) fn value(&self, base: f64, drawing: Drawing) -> String {
        let (number, unit) = self.number(base, drawing);
        let size = rounded(number.abs(), self.decimals);
        let word = if number > 0.0 { self.plus } else { self.minus };
        if word.is_empty() {
            format!("{} {unit}", rounded(number, self.decimals))
        } else if size == "0" {
            format!("0 {unit}")
        } else {
            format!("{size} {unit} {}", turned(word, drawing.hand))
        }
    }

    /// ` (3.7 to 4.2)`, ` (0.4 in behind the ball to 1 in ahead of the ball)`, or nothing.
    pub(super) fn range(&self, value: Estimate, drawing: Drawing) -> String {
        let (low, high) = (value.low().base(), value.high().base());
        let ((a, _), (b, _)) = (self.number(low, drawing), self.number(high, drawing));
        let (small, large) = (rounded(a, self.decimals), rounded(b, self.decimals));
        if small == large {
            String::new()
        } else if self.plus.is_empty() {
            format!(" ({small} to {large})")
        } else if small.starts_with('-') != large.starts_with('-') {
            format!(
                " ({} to {})",
                self.value(low, drawing),
                self.value(high, drawing)
            )
        } else {
            let (near, far) = if a.abs() < b.abs() { (a, b) } else { (b, a) };
            let text = |x: f64| rounded(x.abs(), self.decimals);
            format!(" ({} to {})", text(near), text(far))
        }
    }
}

fn origin(how: How, club: &str) -> String {
    match how {
        How::Given => "given".to_owned(),
        How::OfClub => format!("of the {club}"),
        How::Usual => format!("usual with the {club}, not known"),
        How::Together => "all of these together".to_owned(),
        How::From(parts) => {
            let names: Vec<String> = parts.iter().map(|p| of(*p).name.to_owned()).collect();
            format!("from {}", listed(&names))
        }
    }
}

/// `sloped`: the ground is not level, so that the frame of a number must be said.
fn step_line(step: &Step, club: &str, sloped: bool, drawing: Drawing) -> String {
    let words = of(step.part);
    let against_ground = matches!(
        step.part,
        Part::Plane
            | Part::LowPoint
            | Part::Attack
            | Part::TurfEntry
            | Part::MarkLength
            | Part::MarkDepth
            | Part::Height
            | Part::EntryAngle
            | Part::PathShift
            | Part::Launch
    );
    let frame = if sloped && against_ground {
        ", against level ground"
    } else {
        ""
    };
    format!(
        "{} {}{}{frame}: {}.",
        capital(words.name),
        words.value(step.value.mean(), drawing),
        words.range(step.value, drawing),
        origin(step.how, club)
    )
}

/// The text with lines of at most 76 columns, later ones indented.
pub(super) fn lines(out: &mut String, text: &str) {
    out.push_str(&folded(&clean(text), WIDTH, 2));
}

/// The arc to draw, and what was assumed of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drawn {
    /// The arc.
    pub arc: Arc,
    /// What the ball sits on.
    pub ball: BallOn,
    /// Some height of the arc strikes clean from this low point; `None` if the height is known.
    pub clean_from_here: Option<bool>,
}

/// Every number that follows, with what it came from, then the strike with its margins.
///
/// # Errors
/// A window out of range.
pub fn arc_lines(
    club: &str,
    followed: &Followed,
    drawn: Option<&Drawn>,
    drawing: Drawing,
) -> Result<String, GeometryError> {
    let mut out = String::new();
    let sloped = followed.slope_shifts.is_some();
    lines(&mut out, &format!("{}:", capital(club)));
    for step in &followed.steps {
        lines(&mut out, &step_line(step, club, sloped, drawing));
    }
    if let (true, Some(arc)) = (sloped, followed.arc) {
        let text = format!(
            "Against the slope the same swing has its low point {}, and attack {}: from the slope. \
             What follows is against the slope.",
            of(Part::LowPoint).value(arc.low_point().base(), drawing),
            of(Part::Attack).value(arc.attack().base(), drawing)
        );
        lines(&mut out, &text);
    }
    if let Some((line, start)) = followed.slope_shifts {
        let text = |angle: f64| of(Part::Start).value(angle, drawing);
        let said = format!(
            "On this slope the arc's line turns {} and the loft sends the ball {}: from the slope.",
            text(line.base()),
            text(start.base())
        );
        lines(&mut out, &said);
    }
    for apart in &followed.apart {
        let words = of(apart.one.part);
        let say = |step: &Step| {
            format!(
                "{}{} ({})",
                words.value(step.value.mean(), drawing),
                words.range(step.value, drawing),
                origin(step.how, club)
            )
        };
        let text = format!(
            "Disagree: {} {} against {}. Which one is off?",
            words.name,
            say(&apart.one),
            say(&apart.other)
        );
        lines(&mut out, &text);
    }
    if let Some(drawn) = drawn {
        out.push('\n');
        strike_lines(&mut out, drawn, drawing)?;
    }
    Ok(out)
}

/// What the ball sits on with this group's clubs, and what counts as which strike at this loft.
pub fn ball_on(base: &KnowledgeBase, group: GroupId, loft: Angle) -> BallOn {
    let loft = Angle::degrees(loft.as_degrees().clamp(0.0, 75.0));
    match base.model.groups.get(group.index()) {
        Some(model) if model.teed => BallOn::Tee(TeedWindow {
            tee: Length::millimetres(model.tee_mm),
            ..TeedWindow::DRIVER.with_loft(loft)
        }),
        Some(model) => BallOn::Turf(StrikeWindow {
            clean_contact: Length::millimetres(model.clean_from_mm),
            ..StrikeWindow::MID_IRON.with_loft(loft)
        }),
        None => BallOn::Turf(StrikeWindow::MID_IRON.with_loft(loft)),
    }
}

impl Drawn {
    /// The arc as it is, or at the middle of the heights that strike clean if its height is not
    /// known.
    ///
    /// # Errors
    /// A window out of range.
    pub fn new(arc: Arc, ball: BallOn, height_known: bool) -> Result<Self, GeometryError> {
        if height_known {
            return Ok(Self {
                arc,
                ball,
                clean_from_here: None,
            });
        }
        let (arc, clean) = match ball {
            BallOn::Turf(window) => at_clean_height(arc, window)?,
            BallOn::Tee(window) => at_clean_height_off_tee(arc, window)?,
        };
        Ok(Self {
            arc,
            ball,
            clean_from_here: Some(clean),
        })
    }
}

/// Measured numbers that do not go together, a line each.
pub fn disagreement_lines(base: &KnowledgeBase, list: &[Disagreement], manner: Manner) -> String {
    let mut out = String::new();
    for found in list {
        let text = format!("Disagree: {}", disagreement(base, found, manner));
        lines(&mut out, &text);
    }
    out
}

pub(super) const fn class_name(class: StrikeClass) -> &'static str {
    match class {
        StrikeClass::Whiff => "a miss",
        StrikeClass::Topped => "topped",
        StrikeClass::Thin => "thin",
        StrikeClass::Clean => "clean",
        StrikeClass::SlightlyHeavy => "slightly heavy",
        StrikeClass::Fat => "fat",
    }
}

const fn turning(class: StrikeClass) -> &'static str {
    match class {
        StrikeClass::Whiff => "it misses",
        StrikeClass::Topped => "it tops",
        StrikeClass::Thin => "it thins",
        StrikeClass::Clean => "it is clean",
        StrikeClass::SlightlyHeavy => "it turns heavy",
        StrikeClass::Fat => "it turns fat",
    }
}

fn strike_lines(out: &mut String, drawn: &Drawn, drawing: Drawing) -> Result<(), GeometryError> {
    let height = |h: Length| of(Part::Height).value(h.base(), drawing);
    match drawn.clean_from_here {
        Some(true) => lines(
            out,
            &format!(
                "The height of the arc is not known; taken is the middle of what strikes clean \
                 from there, {}.",
                height(drawn.arc.height())
            ),
        ),
        Some(false) => lines(
            out,
            &format!(
                "No height of the arc strikes clean with the low point there; taken is {}, between \
                 heavy and thin.",
                height(drawn.arc.height())
            ),
        ),
        None => {}
    }
    let BallOn::Turf(window) = drawn.ball else {
        return Ok(());
    };
    let class = strike(drawn.arc, window)?.class;
    let margins = strike_margins(drawn.arc, window)?;
    let length = Words {
        decimals: 1,
        ..words("", "", Unit::Inch, "", "")
    };
    let side = |margin: Option<(Length, StrikeClass)>, way: &str| match margin {
        Some((distance, class)) => format!(
            "{} {way} before {}",
            length.value(distance.base(), drawing),
            turning(class)
        ),
        None => format!("no limit within reach {way}"),
    };
    let endless = drawn.arc.cut(window.grass).filter(|cut| beyond_turf(*cut));
    if let (StrikeClass::Clean, Some(cut)) = (class, endless) {
        lines(
            out,
            &format!(
                "Strike: ball first, but then the club would cut {} of turf, {} deep, more than a \
                 club goes through. Such a swing does not come off: it must follow the ground \
                 (--follow 1), or the ball stand further back.",
                length.value(cut.length.base(), drawing),
                of(Part::MarkDepth).value(-drawn.arc.height().base(), drawing)
            ),
        );
    } else if class == StrikeClass::Clean {
        let known = if drawn.clean_from_here == Some(true) {
            "Strike: not known without the height; clean if it is as taken."
        } else {
            "Strike: clean."
        };
        lines(
            out,
            &format!(
                "{known} The low point may move {}, {}.",
                side(margins.back, "back"),
                side(margins.forward, "forward")
            ),
        );
    } else {
        lines(out, &format!("Strike: {}.", class_name(class)));
    }
    if let Some((low, high)) = margins.clean_heights {
        lines(
            out,
            &format!(
                "With the low point there, bottoms from {} to {} strike clean.",
                height(low),
                height(high)
            ),
        );
    }
    Ok(())
}

fn figure(value: f64) -> Value {
    let value = (value * 1000.0).round() / 1000.0;
    json!(if value == 0.0 { 0.0 } else { value })
}

pub(super) fn in_words(words: &Words, value: Estimate) -> (Value, Value, Value) {
    let scale = words.unit.scale();
    (
        figure(value.mean() / scale),
        figure(value.low().base() / scale),
        figure(value.high().base() / scale),
    )
}

fn step_json(step: &Step) -> Value {
    let words = of(step.part);
    let (value, low, high) = in_words(&words, step.value);
    let (how, from): (&str, Vec<&str>) = match step.how {
        How::Given => ("given", Vec::new()),
        How::OfClub => ("club", Vec::new()),
        How::Usual => ("usual", Vec::new()),
        How::Together => ("together", Vec::new()),
        How::From(parts) => ("worked_out", parts.iter().map(|p| of(*p).id).collect()),
    };
    json!({
        "quantity": words.id, "value": value, "low": low, "high": high,
        "unit": words.unit.symbol(), "how": how, "from": from,
    })
}

/// [`arc_lines`] as one object.
///
/// # Errors
/// A window out of range.
pub fn arc_json(
    club: &str,
    followed: &Followed,
    drawn: Option<&Drawn>,
) -> Result<Value, GeometryError> {
    let strike = match drawn {
        Some(drawn) => match drawn.ball {
            BallOn::Turf(window) => {
                let struck = strike(drawn.arc, window)?;
                let margins = strike_margins(drawn.arc, window)?;
                let margin = |m: Option<(Length, StrikeClass)>| {
                    m.map(|(d, class)| {
                        json!({ "distance": figure(d.as_inches()), "unit": "in", "then": class_name(class) })
                    })
                };
                json!({
                    "class": class_name(struck.class), "bladed": struck.bladed,
                    "height_known": drawn.clean_from_here.is_none(),
                    "height": figure(drawn.arc.height().as_millimetres()), "height_unit": "mm",
                    "back": margin(margins.back), "forward": margin(margins.forward),
                })
            }
            BallOn::Tee(window) => {
                let struck = teed_strike(drawn.arc, window)?;
                json!({
                    "class": format!("{:?}", struck.class).to_lowercase(),
                    "height_known": drawn.clean_from_here.is_none(),
                    "height": figure(drawn.arc.height().as_millimetres()), "height_unit": "mm",
                    "above_centre": figure(struck.above_centre.as_millimetres()),
                })
            }
        },
        None => Value::Null,
    };
    let apart: Vec<Value> = followed
        .apart
        .iter()
        .map(|a| json!([step_json(&a.one), step_json(&a.other)]))
        .chain(followed.disagreements.iter().map(|d| {
            let one = |name: MeasuredName| json!({ "quantity": name.id() });
            json!([one(d.between.0), one(d.between.1)])
        }))
        .collect();
    Ok(json!({
        "format": FORMAT,
        "club": club,
        "numbers": followed.steps.iter().map(step_json).collect::<Vec<_>>(),
        "strike": strike,
        "disagreements": apart,
    }))
}

// ---------------------------------------------------------------------- refusals

const fn input_words(input: Input) -> (&'static str, Option<Unit>) {
    let (inch, deg) = (Some(Unit::Inch), Some(Unit::Degree));
    match input {
        Input::LowPoint => ("low point", inch),
        Input::Height => ("height of the arc", inch),
        Input::Radius => ("radius of the arc", inch),
        Input::Plane => ("plane", deg),
        Input::VerticalRadius => ("vertical radius", inch),
        Input::Attack => ("attack angle", deg),
        Input::Start => ("start of the mark", inch),
        Input::CutLength => ("length of the mark", inch),
        Input::Depth => ("depth of the mark", inch),
        Input::Grass => ("depth of the grass", inch),
        Input::Path => ("path", deg),
        Input::SwingDirection => ("swing direction", deg),
        Input::Face => ("face", deg),
        Input::Loft => ("loft", deg),
        Input::SpinLoft => ("spin loft", deg),
        Input::Share => ("share of the face", None),
        Input::Lie => ("lie", deg),
        Input::StartDirection => ("start direction", deg),
        Input::Launch => ("launch", deg),
        Input::AxisTilt => ("axis tilt", deg),
        Input::ClubSpeed => ("club speed", Some(Unit::MilePerHour)),
        Input::BallSpeed => ("ball speed", Some(Unit::MilePerHour)),
        Input::Spin => ("spin", Some(Unit::Rpm)),
        Input::StrikePlace => ("place of the strike", Some(Unit::Millimetre)),
        Input::Slope => ("slope", deg),
        Input::Follow => ("share of the slope that is followed", None),
        Input::Spread => ("spread", None),
        Input::TailShare => ("share of poor swings", None),
        Input::Tee => ("tee", Some(Unit::Millimetre)),
        Input::Window => ("strike window", Some(Unit::Millimetre)),
        Input::Wind => ("wind", Some(Unit::MilePerHour)),
        Input::Temperature => ("temperature", Some(Unit::Celsius)),
        Input::Altitude => ("altitude", Some(Unit::Metre)),
        Input::Humidity => ("humidity", Some(Unit::Percent)),
        Input::SpinParameter => (
            "spin parameter (speed of the ball's surface over its speed)",
            None,
        ),
        Input::Value => ("a number", None),
    }
}

/// Why there is no answer, with the numbers in it.
pub fn refusal(error: &GeometryError) -> String {
    let inches = |length: Length| format!("{} in", rounded(length.abs().as_inches(), 1));
    match *error {
        GeometryError::NotFinite { input, .. } => {
            format!("{} is no finite number", input_words(input).0)
        }
        GeometryError::OutOfRange {
            input,
            value,
            low,
            high,
        } => {
            let (name, unit) = input_words(input);
            let scale = unit.map_or(1.0, Unit::scale);
            let decimals = if unit.is_some() { 1 } else { 2 };
            let text = |x: f64| rounded(x / scale, decimals);
            let symbol = unit.map_or(String::new(), |u| format!(" {u}"));
            format!(
                "{name} {}{symbol} is outside {} to {}{symbol}, where the model holds",
                text(value),
                text(low),
                text(high)
            )
        }
        GeometryError::BeyondArc { distance, radius } => format!(
            "{} from the low point is beyond what an arc of radius {} reaches",
            inches(distance),
            inches(radius)
        ),
        GeometryError::SteeperThanPlane { attack, plane } => format!(
            "an attack of {} deg is steeper than a plane of {} deg allows",
            rounded(attack.as_degrees(), 1),
            rounded(plane.as_degrees(), 1)
        ),
        GeometryError::OppositeSigns { low_point, attack } => format!(
            "low point {} in with attack {} deg: ahead goes with down, behind with up",
            rounded(low_point.as_inches(), 1),
            rounded(attack.as_degrees(), 1)
        ),
        GeometryError::TooFew { got, wanted } => {
            format!("{wanted} numbers are needed, {got} given")
        }
        GeometryError::NoDirection { .. } => {
            "face and club point exactly the same way, so the ball gets no axis to spin about"
                .to_owned()
        }
        GeometryError::NoLanding { after } => {
            format!(
                "the ball does not land within {} s",
                rounded(after.as_seconds(), 0)
            )
        }
        GeometryError::Quantity(error) => error.to_string(),
    }
}
