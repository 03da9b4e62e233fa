//! Where are the words, numbers and marks of a line? Letters in, tokens with byte spans out.
//!
//! Lower-cases, drops apostrophes inside words, reads decimal points and commas, thousands, signs
//! and the common glyphs (curly quotes, long dashes, vulgar fractions). A sign belongs to a number
//! only if nothing is written onto its left, so "7-iron" and "2-3" keep their hyphen. Linear in
//! the length of the line; any text is cut, none is refused. Meaning is not known here.

use super::Span;

/// A mark that can matter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mark {
    Comma,
    Semicolon,
    Colon,
    /// Full stop, exclamation mark.
    Stop,
    Question,
    Newline,
    /// Tab or vertical bar: a cell of a table.
    Cell,
    /// A dash with a space on both sides, or a long dash.
    Dash,
    /// A hyphen between two things.
    Hyphen,
    Slash,
    And,
    Plus,
    Equals,
    Percent,
    Degree,
    /// The double quote, which after a number means inches.
    Quote,
    /// The single quote, which after a number means feet.
    Prime,
    Open,
    Close,
    /// A tilde or a sign for "about".
    About,
    /// Anything else.
    Other,
}

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Kind {
    /// Letters; the lower-case text lies at this range of [`Letters::text`].
    Word(usize, usize),
    /// A number without its sign.
    Number(f64),
    Mark(Mark),
}

/// One token.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Token {
    pub(super) span: Span,
    pub(super) kind: Kind,
    /// Nothing but this token's own first letter separates it from the one before.
    pub(super) glued: bool,
    /// Sign written before a number: -1, +1, or 0 for none.
    pub(super) sign: i8,
    /// The number was written with a decimal comma.
    pub(super) comma: bool,
}

/// A line cut up.
#[derive(Debug, Clone, Default)]
pub(super) struct Letters {
    pub(super) tokens: Vec<Token>,
    /// Lower-case words, end to end.
    pub(super) text: String,
}

impl Letters {
    /// The lower-case text of a word token, empty for others.
    pub(super) fn word(&self, token: &Token) -> &str {
        match token.kind {
            Kind::Word(start, end) => self.text.get(start..end).unwrap_or(""),
            Kind::Number(_) | Kind::Mark(_) => "",
        }
    }
}

/// Cuts a line.
pub(super) fn cut(line: &str) -> Letters {
    let mut out = Letters::default();
    let mut cutter = Cutter { line, at: 0 };
    while let Some(c) = cutter.peek() {
        let start = cutter.at;
        let glued = start > 0
            && !line[..start]
                .chars()
                .next_back()
                .is_some_and(char::is_whitespace);
        let mut token = Token {
            span: Span { start, end: start },
            kind: Kind::Mark(Mark::Other),
            glued,
            sign: 0,
            comma: false,
        };
        if c.is_alphabetic() {
            token.kind = cutter.word(&mut out.text);
        } else if c.is_ascii_digit() || fraction(c).is_some() || cutter.point_digit() {
            (token.kind, token.comma) = cutter.number();
        } else if let Some(sign) = cutter.sign(&out) {
            cutter.bump();
            token.sign = sign;
            (token.kind, token.comma) = cutter.number();
        } else {
            cutter.bump();
            match mark(c, &cutter, start) {
                Some(mark) => token.kind = Kind::Mark(mark),
                None => continue,
            }
        }
        token.span.end = cutter.at;
        out.tokens.push(token);
    }
    out
}

/// The value of a vulgar fraction glyph.
fn fraction(c: char) -> Option<f64> {
    match c {
        '\u{bd}' => Some(0.5),
        '\u{bc}' => Some(0.25),
        '\u{be}' => Some(0.75),
        '\u{2153}' => Some(1.0 / 3.0),
        '\u{2154}' => Some(2.0 / 3.0),
        '\u{215b}' => Some(0.125),
        _ => None,
    }
}

fn is_hyphen(c: char) -> bool {
    matches!(
        c,
        '-' | '\u{2010}' | '\u{2011}' | '\u{2012}' | '\u{2013}' | '\u{2212}'
    )
}

fn is_apostrophe(c: char) -> bool {
    matches!(c, '\'' | '\u{2019}' | '\u{2018}' | '`' | '\u{b4}')
}

/// The mark a letter stands for; nothing for spaces and controls.
fn mark(c: char, cutter: &Cutter<'_>, start: usize) -> Option<Mark> {
    let spaced = || {
        let before = cutter.line[..start].chars().next_back();
        let after = cutter.peek();
        before.is_none_or(char::is_whitespace) || after.is_none_or(char::is_whitespace)
    };
    Some(match c {
        '\n' | '\r' => Mark::Newline,
        '\t' | '|' => Mark::Cell,
        ',' | '\u{ff0c}' => Mark::Comma,
        ';' => Mark::Semicolon,
        ':' => Mark::Colon,
        '.' | '!' | '\u{2026}' => Mark::Stop,
        '?' => Mark::Question,
        '\u{2014}' => Mark::Dash,
        c if is_hyphen(c) => {
            if spaced() {
                Mark::Dash
            } else {
                Mark::Hyphen
            }
        }
        '/' => Mark::Slash,
        '&' => Mark::And,
        '+' => Mark::Plus,
        '=' => Mark::Equals,
        '%' => Mark::Percent,
        '\u{b0}' | '\u{ba}' => Mark::Degree,
        '"' | '\u{201c}' | '\u{201d}' | '\u{2033}' => Mark::Quote,
        '\u{2032}' => Mark::Prime,
        c if is_apostrophe(c) => Mark::Prime,
        '(' | '[' => Mark::Open,
        ')' | ']' => Mark::Close,
        '~' | '\u{2248}' => Mark::About,
        c if c.is_whitespace() || c.is_control() => return None,
        _ => Mark::Other,
    })
}

struct Cutter<'a> {
    line: &'a str,
    at: usize,
}

impl Cutter<'_> {
    fn peek(&self) -> Option<char> {
        self.line
            .get(self.at..)
            .and_then(|rest| rest.chars().next())
    }

    fn peek_second(&self) -> Option<char> {
        self.line
            .get(self.at..)
            .and_then(|rest| rest.chars().nth(1))
    }

    fn bump(&mut self) {
        if let Some(c) = self.peek() {
            self.at += c.len_utf8();
        }
    }

    fn point_digit(&self) -> bool {
        self.peek() == Some('.') && self.peek_second().is_some_and(|c| c.is_ascii_digit())
    }

    /// The sign at this place, if it belongs to a number that follows at once.
    fn sign(&self, out: &Letters) -> Option<i8> {
        let c = self.peek()?;
        let sign = match c {
            '+' => 1,
            c if is_hyphen(c) => -1,
            _ => return None,
        };
        let next = self.peek_second()?;
        let third = self
            .line
            .get(self.at..)
            .and_then(|rest| rest.chars().nth(2));
        let digit = next.is_ascii_digit()
            || fraction(next).is_some()
            || (next == '.' && third.is_some_and(|c| c.is_ascii_digit()));
        let joined = out.tokens.last().is_some_and(|last| {
            last.span.end == self.at && matches!(last.kind, Kind::Word(..) | Kind::Number(_))
        });
        (digit && !joined).then_some(sign)
    }

    fn word(&mut self, text: &mut String) -> Kind {
        let start = text.len();
        while let Some(c) = self.peek() {
            let next_is_letter = || self.peek_second().is_some_and(char::is_alphabetic);
            if c.is_alphabetic() {
                text.extend(c.to_lowercase());
            } else if matches!(c, '@' | '*') && next_is_letter() {
                text.push(c);
            } else if !(is_apostrophe(c) && next_is_letter()) {
                break;
            }
            self.bump();
        }
        Kind::Word(start, text.len())
    }

    /// Digits from here on, as a number and the power of ten above it; 0 and 1 for none.
    fn digits(&mut self) -> (f64, f64) {
        let (mut value, mut scale) = (0.0, 1.0);
        while let Some(digit) = self.peek().and_then(|c| c.to_digit(10)) {
            // Past 15 digits a number is no measurement; stopping keeps it finite.
            if scale < 1e15 {
                value = value * 10.0 + f64::from(digit);
                scale *= 10.0;
            }
            self.bump();
        }
        (value, scale)
    }

    fn digits_after(&self, offset: usize) -> usize {
        self.line.get(self.at + offset..).map_or(0, |rest| {
            rest.chars()
                .take(7)
                .take_while(char::is_ascii_digit)
                .count()
        })
    }

    fn number(&mut self) -> (Kind, bool) {
        let head = self.digits_after(0);
        let (mut value, _) = self.digits();
        let mut comma = false;
        match self.peek() {
            Some('.') if self.digits_after(1) > 0 => {
                self.bump();
                let (tail, scale) = self.digits();
                value += tail / scale;
            }
            Some(',') if head > 0 => {
                let tail = self.digits_after(1);
                let after = self.line.get(self.at + 1 + tail..).unwrap_or("").as_bytes();
                let list =
                    after.first() == Some(&b',') && after.get(1).is_some_and(u8::is_ascii_digit);
                if !list && tail == 3 && head <= 2 {
                    self.bump();
                    value = value * 1000.0 + self.digits().0;
                } else if !list && (1..=2).contains(&tail) {
                    self.bump();
                    let (digits, scale) = self.digits();
                    value += digits / scale;
                    comma = true;
                }
            }
            _ => {}
        }
        if let Some(part) = self.peek().and_then(fraction) {
            self.bump();
            value += part;
        }
        // 6.5k
        if matches!(self.peek(), Some('k' | 'K'))
            && !self.peek_second().is_some_and(char::is_alphanumeric)
            && value < 1e6
        {
            self.bump();
            value *= 1000.0;
        }
        (Kind::Number(value), comma)
    }
}
