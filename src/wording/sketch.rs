//! The arc at the ball in text: turf, ball, bottom of the arc, where the turf was met.
//!
//! Takes inches ahead of the ball; gives lines of at most 76 columns. One column is a third of an
//! inch; heights are drawn much larger than they are, and the caption that goes with it says the
//! numbers.

const COLUMNS: usize = 73;
const BALL: usize = 36;
const PER_INCH: f64 = 3.0;

fn column(inches: f64) -> Option<usize> {
    let at = (BALL as f64 + inches * PER_INCH).round();
    (at >= 0.0 && at < COLUMNS as f64).then_some(at as usize)
}

fn put(line: &mut [char], inches: f64, c: char) {
    if let Some(place) = column(inches).and_then(|at| line.get_mut(at)) {
        *place = c;
    }
}

/// The side view: low point and, if known, where the turf was met behind the ball and where the low
/// point should be.
pub(super) fn side_view(
    low_point: f64,
    entry: Option<f64>,
    wanted: Option<(f64, f64)>,
) -> Vec<String> {
    let blank = || vec![' '; COLUMNS];
    let mut rows: Vec<Vec<char>> = (0..5).map(|_| blank()).collect();
    // The arc: a shallow curve, one row up for each step away from its bottom.
    for step in 0..COLUMNS {
        let inches = (step as f64 - BALL as f64) / PER_INCH;
        let away = (inches - low_point).abs();
        let row = match away {
            a if a < 2.5 => 4,
            a if a < 4.5 => 3,
            a if a < 6.5 => 2,
            a if a < 8.5 => 1,
            a if a < 10.0 => 0,
            _ => continue,
        };
        if let Some(line) = rows.get_mut(row) {
            put(line, inches, '.');
        }
    }
    if let Some(line) = rows.get_mut(3) {
        put(line, 0.0, 'O');
    }
    if let Some(line) = rows.get_mut(4) {
        put(line, low_point, 'V');
    }
    let mut turf: Vec<char> = vec!['-'; COLUMNS];
    if let Some(entry) = entry {
        put(&mut turf, -entry, 'x');
    }
    if let Some((from, to)) = wanted {
        let mut at = from;
        while at <= to {
            put(&mut turf, at, '=');
            at += 1.0 / PER_INCH;
        }
    }
    rows.push(turf);
    let mut marks = blank();
    for (inches, label) in [
        (-8.0, "-8"),
        (-4.0, "-4"),
        (0.0, "0"),
        (4.0, "+4"),
        (8.0, "+8"),
    ] {
        if let Some(at) = column(inches) {
            for (offset, c) in label.chars().enumerate() {
                if let Some(place) = marks.get_mut(at + offset) {
                    *place = c;
                }
            }
        }
    }
    rows.push(marks);
    let mut out: Vec<String> = rows
        .into_iter()
        .map(|row| row.into_iter().collect::<String>().trim_end().to_owned())
        .collect();
    out.push("inches from the ball; target side is +. O ball, V bottom of the arc,".to_owned());
    out.push("= where a good strike bottoms, x where the turf was met.".to_owned());
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bottom_is_drawn_where_it_is() {
        let lines = side_view(4.0, Some(2.0), Some((2.0, 4.7)));
        assert!(lines.iter().all(|l| l.chars().count() <= 76));
        let bottom = lines
            .iter()
            .find(|l| l.contains('V') && !l.contains("ball"))
            .unwrap();
        assert_eq!(bottom.chars().position(|c| c == 'V'), Some(48));
    }
}
