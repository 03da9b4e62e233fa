//! Sessions as text: what was typed, after `> `, and what came back.
//!
//! Takes a transcript's text and a session; gives the transcript as it comes out now. A transcript
//! is both a demonstration and a test: replaying it must give it back. Stage directions begin with
//! `@ `: `@ time 2026-04-05 17:30` says what time it is, `@ book` or `@ book Ann` that a golfer sits
//! down with that lesson book (again), `@ plain` that the rest is 7-bit text without pictures, and
//! `@ columns 40` how wide the page is. Books live in memory; reads and writes no file.

use crate::conversation::{Reply, Session};
use crate::lesson::{Lessons, Memory, Moment};
use crate::sitting::Sitting;
use crate::wording::{Manner, Style, page};

/// Marks a typed line.
pub const PROMPT: &str = "> ";

/// Marks a stage direction.
pub const STAGE: &str = "@ ";

/// A line of a transcript that is put in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Line<'a> {
    Typed(&'a str),
    Direction(&'a str),
}

fn put_in(text: &str) -> impl Iterator<Item = Line<'_>> {
    text.lines().filter_map(|line| {
        if line == ">" {
            return Some(Line::Typed(""));
        }
        line.strip_prefix(PROMPT)
            .map(Line::Typed)
            .or_else(|| line.strip_prefix(STAGE).map(Line::Direction))
    })
}

/// The typed lines of a transcript.
pub fn typed(text: &str) -> Vec<&str> {
    put_in(text)
        .filter_map(|line| match line {
            Line::Typed(typed) => Some(typed),
            Line::Direction(_) => None,
        })
        .collect()
}

/// A reply as plain text of 78 columns.
pub fn plain(session: &Session, reply: &Reply) -> String {
    let manner = Manner {
        metric: session.metric(),
        hand: session.hand(),
    };
    page(session.base(), reply, manner).render(Style::default())
}

/// A time as a transcript writes it, in UTC.
fn time(text: &str) -> Option<Moment> {
    let (day, hour) = text.trim().split_once(' ')?;
    format!("{day}T{hour}:00Z").parse().ok()
}

/// The transcript of these lines, typed into a copy of the session one after another. Lines before
/// the first one that is put in (a title, what it shows) are kept.
pub fn replay(session: &Session, text: &str) -> String {
    let mut out = String::new();
    for line in text
        .lines()
        .take_while(|l| !l.starts_with('>') && !l.starts_with(STAGE))
    {
        out.push_str(line);
        out.push('\n');
    }
    let with_book = put_in(text).any(|l| matches!(l, Line::Direction(d) if d.starts_with("book")));
    let shelf = with_book.then(|| Lessons::with_storage("lessons", Memory::default()));
    let mut sitting = Sitting::new(session.clone(), shelf);
    let mut now = Moment::from_unix_seconds(0);
    let mut style = Style::default();
    for line in put_in(text) {
        match line {
            Line::Direction(direction) => {
                out.push_str(format!("{STAGE}{direction}").trim_end());
                out.push('\n');
                let told = match direction.split_once(' ').unwrap_or((direction, "")) {
                    ("time", at) => match time(at) {
                        Some(moment) => {
                            now = moment;
                            None
                        }
                        None => Some("(no such time)\n".to_owned()),
                    },
                    ("book", golfer) => {
                        let opening = sitting.open(golfer.trim(), now);
                        let mut page = opening.trouble;
                        page.append(opening.greeting);
                        (!page.is_empty()).then(|| page.render(style))
                    }
                    ("plain", "") => {
                        style.plain = true;
                        None
                    }
                    ("columns", wanted) => match wanted.trim().parse() {
                        Ok(columns) => {
                            style.width = columns;
                            None
                        }
                        Err(_) => Some("(no such width)\n".to_owned()),
                    },
                    _ => Some("(no such direction)\n".to_owned()),
                };
                if let Some(told) = told {
                    out.push_str(&told);
                    out.push('\n');
                }
            }
            Line::Typed(line) => {
                out.push_str(format!("{PROMPT}{line}").trim_end());
                out.push('\n');
                let turned = sitting.line(line, now);
                out.push_str(&turned.page.render(style));
                out.push('\n');
                if turned.leave && !with_book {
                    break;
                }
            }
        }
    }
    while out.ends_with("\n\n") {
        out.pop();
    }
    out
}

/// The first place where two transcripts differ: line number, what was expected, what came.
pub fn first_difference(expected: &str, got: &str) -> Option<(usize, String, String)> {
    let mut a = expected.lines();
    let mut b = got.lines();
    let mut number = 0;
    loop {
        number += 1;
        match (a.next(), b.next()) {
            (None, None) => return None,
            (x, y) if x == y => {}
            (x, y) => {
                return Some((
                    number,
                    x.unwrap_or("").to_owned(),
                    y.unwrap_or("").to_owned(),
                ));
            }
        }
    }
}
