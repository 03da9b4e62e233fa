//! Sessions as text: what was typed, after `> `, and what came back, indented.
//!
//! Takes a transcript's text and a session; gives the transcript as it comes out now. A transcript
//! is both a demonstration and a test: replaying it must give it back. Reads no file.

use crate::conversation::{Reply, Session};
use crate::wording::{Manner, Style, page};

/// Marks a typed line.
pub const PROMPT: &str = "> ";

/// The typed lines of a transcript.
pub fn typed(text: &str) -> Vec<&str> {
    text.lines()
        .filter_map(|line| {
            line.strip_prefix(PROMPT)
                .or(if line == ">" { Some("") } else { None })
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

/// The transcript of these lines, typed into the session one after another. Lines before the first
/// typed one (a title, what it shows) are kept.
pub fn replay(session: &mut Session, text: &str) -> String {
    let mut out = String::new();
    for line in text.lines().take_while(|l| !l.starts_with('>')) {
        out.push_str(line);
        out.push('\n');
    }
    for line in typed(text) {
        out.push_str(format!("{PROMPT}{line}").trim_end());
        out.push('\n');
        let reply = session.respond(line);
        out.push_str(&plain(session, &reply));
        out.push('\n');
        if reply.leave {
            break;
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
