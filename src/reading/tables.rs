//! Was a table pasted? A header of quantity names over rows of numbers becomes one finding a
//! quantity and club, each the mean of its shots.
//!
//! A table has a header with at least two quantities and rows with as many cells, cut by tabs,
//! bars, semicolons, commas or two blanks. Headings are quantities or the short names that tables
//! give them (`attack`, `Club_Path`, `spin (rpm)`). A column headed "club" (or a cell that names one) says the club.
//! Every cell is read as its header and itself, so signs, units and plausible ranges are those of
//! any other message. The rest of the message is read without the table.

use std::collections::BTreeMap;

use super::clauses::Line;
use super::scope::Scope;
use super::shot_list::mean_of;
use super::{
    Finding, Number, Pattern, Phrases, Polarity, Reading, Span, Unclear, What, measures, numbers,
};
use crate::knowledge::lexicon::Meaning;
use crate::vocabulary::{Hand, QuantityId};

/// Rows read at most; a longer table is cut and its first rows stand for it.
const MOST_ROWS: usize = 400;

/// A table found in a message.
#[derive(Debug)]
pub(super) struct Table {
    /// The whole of it.
    pub(super) span: Span,
    columns: Vec<Column>,
    rows: Vec<Vec<Span>>,
}

#[derive(Debug)]
struct Column {
    span: Span,
    /// The heading in words that name the quantity; none for another column.
    quantity: Option<String>,
    /// The unit that the heading ends with.
    unit: Option<String>,
}

/// Lines of a message with their place.
fn lines(text: &str) -> impl Iterator<Item = Span> + '_ {
    let mut at = 0;
    text.split_inclusive('\n').map(move |line| {
        let start = at;
        at += line.len();
        let kept = line.trim_end_matches(['\n', '\r']);
        Span {
            start,
            end: start + kept.len(),
        }
    })
}

/// Cells between runs of two blanks or more.
fn spaced_cells(text: &str, line: Span) -> Vec<Span> {
    let mut at = line.start;
    let mut out = Vec::new();
    for cell in line.of(text).split("  ") {
        let start = at + (cell.len() - cell.trim_start().len());
        let end = start + cell.trim().len();
        if start < end {
            out.push(Span { start, end });
        }
        at += cell.len() + 2;
    }
    out
}

fn cells(text: &str, line: Span, cut: char) -> Vec<Span> {
    if cut == ' ' {
        return spaced_cells(text, line);
    }
    let mut at = line.start;
    let mut out: Vec<Span> = Vec::new();
    for cell in line.of(text).split(cut) {
        let start = at + (cell.len() - cell.trim_start().len());
        let end = start + cell.trim().len();
        out.push(Span { start, end });
        at += cell.len() + cut.len_utf8();
    }
    let empty = |s: Option<&Span>| s.is_some_and(|s| s.start >= s.end);
    // "| a | b |" has empty cells at both ends.
    if cut == '|' {
        if empty(out.last()) {
            out.pop();
        }
        if empty(out.first()) {
            out.remove(0);
        }
    }
    out
}

/// The heading in words that name one quantity: as it stands, or with the word that tables leave out.
fn heading(phrases: &Phrases, text: &str) -> Option<String> {
    let plain: String = text
        .chars()
        .map(|c| match c {
            '_' | '-' | '(' | ')' | '[' | ']' => ' ',
            c => c,
        })
        .collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    let name = words.join(" ");
    let short = words.first().filter(|_| words.len() <= 2).copied();
    let unit = words.get(1).copied().unwrap_or_default();
    let longer = short.into_iter().flat_map(|word| {
        [
            format!("{word} angle {unit}"),
            format!("club {word} {unit}"),
            format!("{word} rate {unit}"),
            format!("{word} direction {unit}"),
        ]
    });
    std::iter::once(name)
        .chain(longer)
        .map(|name| name.trim().to_owned())
        .find(|name| quantity_in(phrases, name))
}

/// A heading without the unit that it ends with, and the unit.
fn with_unit(phrases: &Phrases, text: &str) -> (String, Option<String>) {
    let plain: String = text
        .chars()
        .map(|c| if "_-()[]".contains(c) { ' ' } else { c })
        .collect();
    let (name, last) = match plain.trim().rsplit_once(' ') {
        Some((name, last)) => (name.trim().to_owned(), last.to_owned()),
        None => return (text.to_owned(), None),
    };
    let (mut words, _) = phrases.words(&last);
    let unit = phrases
        .matches(&mut words, Hand::Right)
        .iter()
        .any(|m| matches!(phrases.meaning(m), Some(Meaning::Unit(_))));
    (name, unit.then_some(last))
}

fn quantity_in(phrases: &Phrases, text: &str) -> bool {
    let (mut words, _) = phrases.words(text);
    if words.iter().any(|w| w.number.is_some()) {
        return false;
    }
    phrases
        .matches(&mut words, Hand::Right)
        .iter()
        .any(|m| matches!(phrases.meaning(m), Some(Meaning::Quantity(_))))
}

/// The first table of a message.
pub(super) fn find(phrases: &Phrases, text: &str) -> Option<Table> {
    if !text.contains('\n') {
        return None;
    }
    let lines: Vec<Span> = lines(text).collect();
    for (place, header) in lines.iter().enumerate() {
        let line = header.of(text);
        let cut = ['\t', '|', ';', ',']
            .into_iter()
            .find(|c| line.matches(*c).count() >= 1)
            .or_else(|| line.trim().contains("  ").then_some(' '))
            .filter(|_| line.len() < 1000 && !line.contains(|c: char| c.is_ascii_digit()));
        let Some(cut) = cut else {
            continue;
        };
        let columns: Vec<Column> = cells(text, *header, cut)
            .into_iter()
            .map(|span| {
                let (name, unit) = with_unit(phrases, span.of(text));
                let named = unit.as_ref().and_then(|_| heading(phrases, &name));
                Column {
                    unit: unit.filter(|_| named.is_some()),
                    quantity: named.or_else(|| heading(phrases, span.of(text))),
                    span,
                }
            })
            .collect();
        if columns.iter().filter(|c| c.quantity.is_some()).count() < 2 {
            continue;
        }
        let mut rows = Vec::new();
        let mut end = header.end;
        for line in lines.iter().skip(place + 1) {
            let row = cells(text, *line, cut);
            let rule = line
                .of(text)
                .chars()
                .all(|c| matches!(c, '-' | '|' | ':' | '+' | '=' | ' ' | '\t'));
            let numbers = row
                .iter()
                .filter(|c| c.of(text).contains(|c: char| c.is_ascii_digit()))
                .count();
            if rule && !line.of(text).is_empty() {
                end = line.end;
                continue;
            }
            if row.len() != columns.len() || numbers == 0 {
                break;
            }
            end = line.end;
            rows.push(row);
        }
        if !rows.is_empty() {
            return Some(Table {
                span: Span {
                    start: header.start,
                    end,
                },
                columns,
                rows,
            });
        }
    }
    None
}

/// Values of one quantity with one club.
#[derive(Debug, Default)]
struct Shots {
    numbers: Vec<Number>,
    said: Option<Span>,
    weight: f64,
}

/// Reads the cells; `pattern` is what the rest of the message spoke of.
pub(super) fn read(
    phrases: &Phrases,
    text: &str,
    table: &Table,
    pattern: &Pattern,
    hand: Hand,
    reading: &mut Reading,
) {
    let mut all: BTreeMap<(Pattern, QuantityId), Shots> = BTreeMap::new();
    let mut asked: Vec<Unclear> = Vec::new();
    let mut scope = pattern.clone();
    for row in table.rows.iter().take(MOST_ROWS) {
        for (cell, column) in row.iter().zip(&table.columns) {
            if column.quantity.is_none()
                && let Some(club) = club_in(phrases, cell.of(text))
            {
                scope = club;
            }
        }
        for (cell, column) in row.iter().zip(&table.columns) {
            let Some(name) = &column.quantity else {
                continue;
            };
            let cell = cell.of(text);
            // "low point cm" says the unit of every bare number below it.
            let bare = cell.ends_with(|c: char| c.is_ascii_digit());
            let unit = column.unit.as_deref().filter(|_| bare).unwrap_or_default();
            let words = format!("{name} {cell} {unit}");
            let found = measure(phrases, &words, hand);
            for measured in found.measured {
                let key = (scope.clone(), measured.number.quantity);
                let shots = all.entry(key).or_default();
                shots.numbers.push(measured.number);
                shots.said = Some(column.span);
                shots.weight = measured.weight;
            }
            for unclear in found.unclear {
                let again = asked
                    .iter()
                    .any(|a| std::mem::discriminant(a) == std::mem::discriminant(&unclear));
                if !again && asked.len() < 4 {
                    asked.push(placed(unclear, column.span));
                }
            }
        }
    }
    reading.unclear.extend(asked);
    for ((pattern, quantity), shots) in all {
        if let Some((number, said)) = pooled(quantity, &shots) {
            reading.findings.push(Finding {
                pattern,
                what: What::Number(number),
                polarity: Polarity::Present,
                often: None,
                count: None,
                severity: None,
                weight: shots.weight,
                needs_hand: false,
                change: false,
                said,
                said_again: Vec::new(),
                clause: table.span,
            });
        }
    }
}

/// The same question, asked of a column.
fn placed(unclear: Unclear, column: Span) -> Unclear {
    match unclear {
        Unclear::Unit {
            quantity, units, ..
        } => Unclear::Unit {
            quantity,
            units,
            said: column,
        },
        Unclear::Impossible {
            quantity,
            low,
            high,
            unit,
            ..
        } => Unclear::Impossible {
            quantity,
            low,
            high,
            unit,
            said: column,
        },
        Unclear::Direction { quantity, .. } => Unclear::Direction {
            quantity,
            said: column,
        },
        _ => Unclear::Quantity {
            quantities: Vec::new(),
            said: column,
        },
    }
}

fn line_of<'a>(phrases: &'a Phrases, text: &str, hand: Hand) -> Line<'a> {
    let (mut words, _) = phrases.words(text);
    let matches = phrases.matches(&mut words, hand);
    Line::new(phrases, words, matches)
}

fn club_in(phrases: &Phrases, text: &str) -> Option<Pattern> {
    let mut line = line_of(phrases, text, Hand::Right);
    let scope = Scope::find(&mut line, &Pattern::default());
    scope.clubs.first().map(|m| m.pattern.clone())
}

fn measure(phrases: &Phrases, text: &str, hand: Hand) -> measures::Measures {
    let mut line = line_of(phrases, text, hand);
    let mut groups = numbers::groups(&line);
    // In a table a number without a sign is a plus.
    for group in &mut groups {
        group.signed = true;
    }
    let mut measures = measures::bind(&mut line, groups, &[]);
    super::signs::turn(&mut measures, hand, None);
    measures
}

fn pooled(quantity: QuantityId, shots: &Shots) -> Option<(Number, Span)> {
    let said = shots.said?;
    let number = mean_of(&shots.numbers)?;
    Some((Number { quantity, ..number }, said))
}
