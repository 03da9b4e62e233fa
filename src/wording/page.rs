//! How a reply is laid out: paragraphs with a label, wrapped to a width, plain or coloured.
//!
//! Takes texts already made; gives lines. The one place that writes escape sequences, and the one
//! place that cleans untrusted text ([`clean`]). Invariant: rendered text holds no control byte
//! but the line feed, and escape sequences only if colour was asked for; no line is longer than
//! the width unless a single word is.

use std::fmt::Write as _;

/// How a paragraph wants to be seen. Meaning never rests on colour alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Ordinary text.
    Normal,
    /// The line that matters most.
    Key,
    /// Safety.
    Caution,
    /// Less important.
    Quiet,
}

/// How to render.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// Columns.
    pub width: usize,
    /// Escape sequences for colour and weight.
    pub colour: bool,
    /// 7-bit text, no pictures.
    pub plain: bool,
}

impl Default for Style {
    fn default() -> Self {
        Self {
            width: 78,
            colour: false,
            plain: false,
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum Block {
    Text {
        label: String,
        text: String,
        role: Role,
    },
    Art(Vec<String>),
    Picture(Vec<String>),
    Blank,
}

/// Paragraphs in order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Page {
    blocks: Vec<Block>,
}

/// Columns that labels are set in.
const LABEL: usize = 13;

impl Page {
    /// An empty page.
    pub fn new() -> Self {
        Self::default()
    }

    /// True if nothing was said.
    pub fn is_empty(&self) -> bool {
        self.blocks.is_empty()
    }

    /// A paragraph under a label.
    pub fn labelled(&mut self, label: &str, text: impl Into<String>) {
        self.add(label, &text.into(), Role::Normal);
    }

    /// A paragraph without a label.
    pub fn text(&mut self, text: impl Into<String>) {
        self.add("", &text.into(), Role::Normal);
    }

    /// The line that matters most.
    pub fn key(&mut self, label: &str, text: impl Into<String>) {
        self.add(label, &text.into(), Role::Key);
    }

    /// Safety text.
    pub fn caution(&mut self, label: &str, text: impl Into<String>) {
        self.add(label, &text.into(), Role::Caution);
    }

    /// Less important text.
    pub fn quiet(&mut self, label: &str, text: impl Into<String>) {
        self.add(label, &text.into(), Role::Quiet);
    }

    /// Lines that are wrapped only where the page is too narrow for them.
    pub fn art(&mut self, lines: impl IntoIterator<Item = String>) {
        self.blocks
            .push(Block::Art(lines.into_iter().map(|l| clean(&l)).collect()));
    }

    /// A picture, which the sentence after it says again: left out where there is no room for it, or
    /// where plain text is wanted.
    pub fn picture(&mut self, lines: impl IntoIterator<Item = String>) {
        self.blocks.push(Block::Picture(
            lines.into_iter().map(|l| clean(&l)).collect(),
        ));
    }

    /// An empty line, unless there is one already.
    pub fn blank(&mut self) {
        if self.blocks.last().is_some_and(|b| *b != Block::Blank) {
            self.blocks.push(Block::Blank);
        }
    }

    /// The same page with each text turned by `f`; pictures stay as they are.
    #[must_use]
    pub fn told_with(mut self, f: impl Fn(&str) -> String) -> Self {
        for block in &mut self.blocks {
            if let Block::Text { text, .. } = block {
                *text = f(text);
            }
        }
        self
    }

    /// All of another page.
    pub fn append(&mut self, other: Self) {
        self.blocks.extend(other.blocks);
    }

    fn add(&mut self, label: &str, text: &str, role: Role) {
        self.blocks.push(Block::Text {
            label: clean(label),
            text: clean(text),
            role,
        });
    }

    /// The text, each line ended by a line feed.
    pub fn render(&self, style: Style) -> String {
        let mut out = String::new();
        let width = style.width.clamp(30, 200);
        for block in &self.blocks {
            match block {
                Block::Blank => out.push('\n'),
                Block::Picture(lines)
                    if style.plain || lines.iter().any(|l| l.chars().count() > width) => {}
                Block::Art(lines) | Block::Picture(lines) => {
                    for line in lines {
                        if line.trim_end().chars().count() <= width {
                            let _ = writeln!(out, "{}", line.trim_end());
                        } else {
                            row(&mut out, line, width);
                        }
                    }
                }
                Block::Text { label, text, role } if style.plain => {
                    let text = seven_bit(text);
                    paragraph(&mut out, label, &text, *role, width, style.colour);
                }
                Block::Text { label, text, role } => {
                    paragraph(&mut out, label, text, *role, width, style.colour);
                }
            }
        }
        if style.plain { seven_bit(&out) } else { out }
    }
}

/// A row of a table on a page too narrow for it: what stood in columns follows one after the other.
fn row(out: &mut String, line: &str, width: usize) {
    let indent = line.chars().take_while(|c| *c == ' ').count();
    let text = line.split_whitespace().collect::<Vec<_>>().join(" ");
    let label = format!("{}-", " ".repeat(indent));
    paragraph(out, &label, &text, Role::Normal, width, false);
}

/// The text in 7-bit letters; what has no such letters becomes a question mark.
fn seven_bit(text: &str) -> String {
    if text.is_ascii() {
        return text.to_owned();
    }
    // Letter by letter: over a whole text spaces and line feeds after a mended letter are lost.
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        if letter.is_ascii() {
            out.push(letter);
        } else {
            out.push_str(deunicode::deunicode_char(letter).unwrap_or("?"));
        }
    }
    out
}

const fn codes(role: Role) -> (&'static str, &'static str) {
    match role {
        Role::Normal => ("", ""),
        Role::Key => ("\u{1b}[1m", "\u{1b}[0m"),
        Role::Caution => ("\u{1b}[1;33m", "\u{1b}[0m"),
        Role::Quiet => ("\u{1b}[2m", "\u{1b}[0m"),
    }
}

fn paragraph(out: &mut String, label: &str, text: &str, role: Role, width: usize, colour: bool) {
    let (hang, first) = if label.is_empty() {
        (
            text.chars().take_while(|c| *c == ' ').count(),
            String::new(),
        )
    } else {
        let indent = label.chars().take_while(|c| *c == ' ').count();
        let used = label.chars().count();
        let hang = if width < 60 {
            indent + 2
        } else {
            LABEL.max(used + 1)
        };
        let pad = if used < hang {
            " ".repeat(hang - used)
        } else {
            " ".to_owned()
        };
        (hang, format!("{label}{pad}"))
    };
    let (on, off) = if colour { codes(role) } else { ("", "") };
    let mut line = first;
    if label.is_empty() {
        line.push_str(&" ".repeat(hang));
    }
    let mut columns = line.chars().count();
    let mut empty = true;
    let flush = |out: &mut String, line: &str| {
        let line = line.trim_end();
        let _ = writeln!(out, "{on}{line}{off}");
    };
    let mut words = text.split_whitespace().peekable();
    while let Some(word) = words.next() {
        // The sign of a share stays with its number: "23 %)".
        let sign = words.next_if(|next| next.starts_with('%'));
        let length = word.chars().count() + sign.map_or(0, |s| 1 + s.chars().count());
        if !empty && columns + 1 + length > width {
            flush(out, &line);
            line = " ".repeat(hang);
            columns = hang;
            empty = true;
        }
        if !empty {
            line.push(' ');
            columns += 1;
        }
        line.push_str(word);
        if let Some(sign) = sign {
            line.push(' ');
            line.push_str(sign);
        }
        columns += length;
        empty = false;
    }
    flush(out, &line);
}

/// The text in lines of at most `width` columns, each ended by a line feed, later ones after `hang`
/// spaces.
pub(super) fn folded(text: &str, width: usize, hang: usize) -> String {
    let mut out = String::new();
    let mut column = 0;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if column > 0 && column + 1 + length > width {
            out.push('\n');
            out.push_str(&" ".repeat(hang));
            column = hang;
        } else if column > 0 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += length;
    }
    out.push('\n');
    out
}

/// Untrusted text made safe to print: control characters, including those that turn the writing
/// direction, become spaces.
///
/// ```
/// assert_eq!(swingwhy::wording::clean("a\u{1b}[31mb\r\u{202e}c"), "a [31mb  c");
/// ```
pub fn clean(text: &str) -> String {
    text.chars()
        .map(|c| {
            let turns = matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}' | '\u{feff}');
            if c.is_control() || turns { ' ' } else { c }
        })
        .collect()
}

/// At most so many characters of a text, with dots where it was cut.
pub fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let mut cut: String = text.chars().take(most.saturating_sub(3)).collect();
    cut.push_str("...");
    cut
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_to_the_width_and_hang_under_their_label() {
        let mut page = Page::new();
        page.labelled(
            "Because",
            "the arc keeps its place and the ball has left it, so the club is rising",
        );
        let text = page.render(Style {
            width: 40,
            ..Style::default()
        });
        assert!(text.lines().all(|l| l.chars().count() <= 40), "{text}");
        assert_eq!(
            text.lines().next().map(|l| l.starts_with("Because")),
            Some(true)
        );
    }

    #[test]
    fn colour_wraps_each_line_and_plain_has_no_escape() {
        let mut page = Page::new();
        page.caution("Stop", "pain\u{7} first");
        assert!(!page.render(Style { ..Style::default() }).contains('\u{1b}'));
        assert_eq!(
            page.render(Style {
                colour: true,
                ..Style::default()
            })
            .matches('\u{1b}')
            .count(),
            2
        );
    }
}
