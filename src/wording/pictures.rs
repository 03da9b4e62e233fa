//! The other two pictures of a talk: path and face from above, and the mark on the face.
//!
//! Each picture is followed by a sentence that says the same, so that nothing is lost where there is
//! no room for pictures. Draws what was said or worked out; what was not is not drawn.

use super::drawing::{Drawing, view_from_above};
use super::number::{Manner, amount, range};
use super::page::Page;
use crate::conversation::{ArcNumbers, MarkHeight};
use crate::geometry::impact::Delivery;
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Amount, Angle, Unit};

/// Millimetres of a row of the drawn face.
const ROW: f64 = 6.0;
/// Rows above and below the middle one.
const ROWS: i32 = 2;
/// Half the width of the drawn face in columns, and the millimetres of one column.
const HALF: i32 = 14;
const MILLIMETRES_A_COLUMN: f64 = 3.0;

fn degrees(base: &KnowledgeBase, arc: &ArcNumbers, name: &str) -> Option<Angle> {
    let quantity = base.find_quantity(name)?;
    let said = arc.chain.iter().find(|s| s.quantity == quantity);
    said.map(|s| s.middle)
        .or_else(|| arc.modelled.iter().find(|m| m.0 == quantity).map(|m| m.1))
        .and_then(|a| a.value_in(Unit::Degree).ok())
        .map(Angle::degrees)
}

/// Path and face from above, if both are known.
pub(super) fn above(base: &KnowledgeBase, arc: &ArcNumbers, manner: Manner, page: &mut Page) {
    let loft = arc
        .pattern
        .club
        .map_or(base.group(arc.pattern.group).static_loft, |c| {
            base.club(c).loft
        });
    let model = base.model.groups.get(arc.pattern.group.index());
    let usual = loft + Angle::degrees(model.map_or(0.0, |m| m.loft_off_deg));
    let (path, face, between) = (
        degrees(base, arc, "club_path"),
        degrees(base, arc, "face_angle"),
        degrees(base, arc, "face_to_path"),
    );
    // Two of the three give the third.
    let path = path.or_else(|| Some(face? - between?));
    let face = face.or_else(|| Some(path? + between?));
    let drawn = path.zip(face).and_then(|(path, face)| {
        let delivery = Delivery {
            face,
            path,
            dynamic_loft: degrees(base, arc, "dynamic_loft").unwrap_or(usual),
            attack: degrees(base, arc, "attack_angle").unwrap_or(Angle::ZERO),
        };
        let drawing = Drawing {
            plain: true,
            metric: manner.metric,
            hand: manner.hand,
        };
        view_from_above(delivery, drawing).ok()
    });
    let Some(text) = drawn else {
        page.text(
            "I know too little of path and face to draw them. Where does the ball start, and which way does it curve?",
        );
        return;
    };
    let (picture, sentence) = text.split_once("\n\n").unwrap_or(("", &text));
    page.picture(picture.lines().map(str::to_owned));
    page.text(sentence.split_whitespace().collect::<Vec<_>>().join(" "));
    off_the_middle(base, arc, manner, page);
}

/// What a strike off the middle adds to the curve, where the club's head turns the ball by it.
fn off_the_middle(base: &KnowledgeBase, arc: &ArcNumbers, manner: Manner, page: &mut Page) {
    let step = |name: &str| {
        let quantity = base.find_quantity(name)?;
        arc.chain.iter().find(|s| s.quantity == quantity)
    };
    if let (Some(tilt), Some(mark)) = (step("gear_tilt"), step("strike_across")) {
        page.text(format!(
            "Struck {}, the head twists and the ball takes the spin of a gear: its axis tips {} ({}) further, with face and path as they are.",
            amount(base, mark.quantity, mark.middle, manner),
            amount(base, tilt.quantity, tilt.middle, manner),
            range(base, tilt.quantity, tilt.low, tilt.high, manner),
        ));
    }
}

/// The mark on the face, seen by somebody who looks at it: where golfers like this one strike.
pub(super) fn face_mark(
    base: &KnowledgeBase,
    (across, said): ((Amount, Amount, Amount), bool),
    height: MarkHeight,
    manner: Manner,
    page: &mut Page,
) {
    let Some(quantity) = base.find_quantity("strike_across") else {
        return;
    };
    let millimetres = across.0.value_in(Unit::Millimetre).unwrap_or(0.0);
    // The golfer looks down at the face: the heel is the side of the hands.
    // The drawn face grows where the mark lies beyond its edge.
    let column = (millimetres / MILLIMETRES_A_COLUMN).round() as i32;
    let half = HALF.max(column.abs());
    let column = column + half;
    let width = usize::try_from(2 * half + 1).unwrap_or(0);
    let up = match height {
        MarkHeight::Measured(up) => up.value_in(Unit::Millimetre).unwrap_or(0.0),
        MarkHeight::Unknown => 0.0,
    };
    // Rows from the top; the middle one is the usual place.
    let rows_up = (up / ROW).round() as i32;
    let middle_row = ROWS.max(rows_up.abs());
    let marked = middle_row - rows_up;
    let row = |at: i32| {
        let mut cells = vec![' '; width];
        if at == middle_row
            && let Some(cell) = cells.get_mut(usize::try_from(half).unwrap_or(0))
        {
            *cell = '+';
        }
        if at == marked
            && let Some(cell) = usize::try_from(column).ok().and_then(|c| cells.get_mut(c))
        {
            *cell = 'X';
        }
        format!("         |{}|", cells.into_iter().collect::<String>())
    };
    let edge = "-".repeat(width);
    let mut picture = vec![format!("   heel  .{edge}.  toe")];
    picture.extend((0..=2 * middle_row).map(row));
    picture.push(format!("         '{edge}'"));
    picture.push("   X the mark, + the middle; a column is 3 mm, a row 6 mm".to_owned());
    page.picture(picture);
    let middle = amount(base, quantity, across.0, manner);
    let how_high = match height {
        MarkHeight::Measured(up) => base.find_quantity("strike_up").map_or(String::new(), |q| {
            format!(", and {}", amount(base, q, up, manner))
        }),
        MarkHeight::Unknown => "; no number says how high, so half height is taken".to_owned(),
    };
    let text = if said {
        format!("The mark is {middle}{how_high}.")
    } else {
        let up = match height {
            MarkHeight::Measured(up) => {
                base.find_quantity("strike_up").map_or(String::new(), |q| {
                    format!("The mark is {}. ", amount(base, q, up, manner))
                })
            }
            MarkHeight::Unknown => String::new(),
        };
        format!(
            "{up}No mark toward heel or toe was said; golfers like you strike {middle} on average, {} from golfer to golfer. Powder or a dry-wipe pen on the face shows yours.",
            range(base, quantity, across.1, across.2, manner)
        )
    };
    page.text(text);
}
