//! Lines that were pasted together: a table's header with its rows is one message.
//!
//! Takes lines and gives how many of them, from the first, belong together. Nothing is read here but
//! where cells begin and which of them are numbers. Invariant: a line that heads no table stands alone.

/// Most lines taken as one table.
const MOST: usize = 400;

fn cells(line: &str, cut: char) -> Vec<&str> {
    line.trim().split(cut).map(str::trim).collect()
}

/// A number, with its sign, its unit and its side.
fn is_number(cell: &str) -> bool {
    let digits = cell.trim_start_matches(['-', '+', 'L', 'R', ' ']);
    let tail = digits.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','));
    digits.len() > tail.len()
        && (tail.len() <= 1
            || matches!(
                tail.trim(),
                "deg"
                    | "mph"
                    | "km/h"
                    | "m/s"
                    | "rpm"
                    | "yd"
                    | "yds"
                    | "ft"
                    | "in"
                    | "cm"
                    | "mm"
                    | "\u{b0}"
            ))
}

/// How many lines from the first make one message: a header without digits and the rows under it that
/// have as many cells, two of them numbers or more; else one.
///
/// ```
/// use swingwhy::pasted::together;
/// let table = ["club,attack,path", "7i,-4,2", "7i,-3.5,1", "what now?"];
/// assert_eq!(together(table.into_iter()), 3);
/// assert_eq!(together(["fat, thin", "7 iron, 150"].into_iter()), 1);
/// ```
pub fn together<'a>(mut lines: impl Iterator<Item = &'a str>) -> usize {
    let Some(header) = lines.next() else {
        return 0;
    };
    let cut = ['\t', '|', ';', ',']
        .into_iter()
        .find(|c| header.contains(*c))
        .filter(|_| header.len() < 1000 && !header.contains(|c: char| c.is_ascii_digit()));
    let Some(cut) = cut else {
        return 1;
    };
    let wanted = cells(header, cut).len();
    let rows = lines
        .take(MOST)
        .take_while(|line| {
            let row = cells(line, cut);
            row.len() == wanted && row.iter().filter(|c| is_number(c)).count() > 1
        })
        .count();
    1 + rows
}
