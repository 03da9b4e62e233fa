//! Which lines are commands?
//!
//! A line is talk unless it is plainly a command: the whole line matches a way to say it, or it
//! begins with one that takes words after it. Words around it ("ok", "please") do no harm. The
//! table of commands is in `commands.rs`. Nothing is carried out here.

use super::commands::{COMMANDS, Command, Takes, Verb};

/// A command with what followed it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// Which.
    pub verb: Verb,
    /// The words after it.
    pub rest: String,
    /// The number after it, for those that take one.
    pub number: Option<usize>,
}

/// The line without case, curly quotes, closing marks and double spaces.
pub(super) fn plain(line: &str) -> String {
    let folded: String = line
        .trim()
        .chars()
        .map(|c| match c {
            '\u{2018}' | '\u{2019}' => '\'',
            c => c.to_ascii_lowercase(),
        })
        .collect();
    let words: Vec<&str> = folded.split_whitespace().collect();
    words
        .join(" ")
        .trim_end_matches(['?', '!', '.', ' '])
        .to_owned()
}

/// Said before a command, which is the same without.
const BEFORE: [&str; 20] = [
    "ok",
    "okay",
    "so",
    "and",
    "but",
    "then",
    "right",
    "well",
    "please",
    "just",
    "now",
    "no",
    "yes",
    "i don't care why",
    "i dont care why",
    "i don't care",
    "i dont care",
    "never mind why",
    "never mind that",
    "whatever",
];

/// Said after a command.
const AFTER: [&str; 10] = [
    "please",
    "then",
    "now",
    "mate",
    "thanks",
    "about it",
    "about that",
    "for me",
    "exactly",
    "though",
];

/// The text as commands are written: without the words around it, of the golfer, short forms whole.
fn asked_plainly(text: &str) -> String {
    let mut text = text;
    // "Ok, what now" is a command before its last word is taken for a mere ending.
    while said_as(text).is_none() {
        let before = BEFORE.iter().find_map(|word| {
            let rest = text.strip_prefix(word)?;
            rest.starts_with([' ', ','])
                .then(|| rest.trim_start_matches([' ', ',']))
        });
        let after = AFTER.iter().find_map(|word| {
            let rest = text.strip_suffix(word)?;
            rest.ends_with([' ', ','])
                .then(|| rest.trim_end_matches([' ', ',', '?']))
        });
        match before.or(after) {
            Some(rest) => text = rest,
            None => break,
        }
    }
    let words: Vec<&str> = text
        .split(' ')
        .map(|word| match word {
            "shud" | "shld" => "should",
            "wot" | "wat" => "what",
            "whats" => "what's",
            "u" => "you",
            "y" => "why",
            word => word,
        })
        .collect();
    let mut text = words.join(" ");
    for think in ["why do you think ", "why do you say "] {
        for it in ["it is ", "it's ", "its ", "that it is ", "it was "] {
            if let Some(rest) = text.strip_prefix(think).and_then(|r| r.strip_prefix(it)) {
                text = format!("why {rest}");
            }
        }
    }
    for of in [" he ", " she ", " they ", " we "] {
        for ask in [
            "what should",
            "what could",
            "what can",
            "what do",
            "what does",
        ] {
            let asked = format!("{ask}{of}");
            if let Some(rest) = text.strip_prefix(&asked) {
                let ask = if ask == "what does" { "what do" } else { ask };
                text = format!("{ask} i {rest}");
            }
        }
    }
    text
}

/// The command that the line is, if it plainly is one.
///
/// ```
/// use swingwhy::conversation::{Verb, command};
/// assert_eq!(command("How come?").map(|c| c.verb), Some(Verb::Why));
/// assert_eq!(command("what if the ball were an inch back").map(|c| c.verb), Some(Verb::WhatIf));
/// assert!(command("why do I slice the driver?").is_none());
/// assert!(command("I hit it fat").is_none());
/// ```
pub fn command(line: &str) -> Option<Said> {
    let text = plain(line);
    if line.trim() == "?" {
        return Some(Said {
            verb: Verb::Help,
            rest: String::new(),
            number: None,
        });
    }
    said_as(&text).or_else(|| {
        let bare = asked_plainly(&text);
        (bare != text && !bare.is_empty())
            .then(|| said_as(&bare))
            .flatten()
    })
}

fn said_as(text: &str) -> Option<Said> {
    let mut best: Option<(usize, Said)> = None;
    for row in COMMANDS {
        for way in std::iter::once(&row.name).chain(row.also) {
            let Some(rest) = text.strip_prefix(way) else {
                continue;
            };
            if !(rest.is_empty() || rest.starts_with([' ', ','])) {
                continue;
            }
            let rest = rest.trim_start_matches([' ', ',']).to_owned();
            let Some(said) = taken(row, way, &rest) else {
                continue;
            };
            if best.as_ref().is_none_or(|(length, _)| way.len() > *length) {
                best = Some((way.len(), said));
            }
        }
    }
    best.map(|(_, said)| said)
}

fn taken(row: &Command, way: &str, rest: &str) -> Option<Said> {
    let said = |rest: &str, number| {
        Some(Said {
            verb: row.verb,
            rest: rest.to_owned(),
            number,
        })
    };
    match row.takes {
        Takes::Nothing => rest.is_empty().then(|| said("", None)).flatten(),
        // Only the name takes words; "how come my driver slices" is talk.
        Takes::Perhaps => {
            let asks = [
                "do ",
                "does ",
                "did ",
                "am ",
                "are ",
                "is ",
                "can ",
                "would ",
                "should ",
                "i ",
                "my ",
                "the ball ",
            ];
            let talk = way != row.name || asks.iter().any(|a| rest.starts_with(a));
            (rest.is_empty() || !talk)
                .then(|| said(rest, None))
                .flatten()
        }
        Takes::Words => {
            // "is it" is a comparison only with an "or" in it.
            let compares = row.verb != Verb::Compare
                || [" or ", " and ", " vs ", " versus "]
                    .iter()
                    .any(|w| rest.contains(w));
            (!rest.is_empty() && compares)
                .then(|| said(rest, None))
                .flatten()
        }
        Takes::Number => {
            let number = rest.parse().ok()?;
            said("", Some(number))
        }
        Takes::NumberAndWords => {
            let (number, words) = rest.split_once(' ')?;
            let number = number.trim_end_matches([':', ',']).parse().ok()?;
            said(words.trim(), Some(number))
        }
    }
}

/// The nearest command to a short line that was not understood.
pub fn nearest_command(line: &str) -> Option<&'static str> {
    let text = plain(line);
    if text.split(' ').count() > 3 || text.chars().count() < 3 {
        return None;
    }
    COMMANDS
        .iter()
        .flat_map(|row| {
            std::iter::once(row.name)
                .chain(row.also.iter().copied())
                .map(|w| (w, row.name))
        })
        .map(|(way, name)| (strsim::osa_distance(&text, way), name))
        .filter(|(distance, name)| *distance <= (name.len() / 3).clamp(1, 2))
        .min()
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_way_to_say_a_command_is_said_once_and_found() {
        let mut ways: Vec<&str> = COMMANDS
            .iter()
            .flat_map(|c| std::iter::once(c.name).chain(c.also.iter().copied()))
            .collect();
        let n = ways.len();
        ways.sort_unstable();
        ways.dedup();
        assert_eq!(ways.len(), n);
        for row in COMMANDS {
            let line = match row.takes {
                Takes::Nothing | Takes::Perhaps => row.name.to_owned(),
                Takes::Words => format!("{} hanging back or sway", row.name),
                Takes::Number => format!("{} 2", row.name),
                Takes::NumberAndWords => format!("{} 2 it was a 6 iron", row.name),
            };
            assert_eq!(command(&line).map(|c| c.verb), Some(row.verb), "{line}");
        }
    }

    #[test]
    fn talk_stays_talk() {
        for line in [
            "not fat, thin",
            "is it my grip",
            "change of club helped",
            "back hurts",
            "more fat than thin",
            "clear day",
        ] {
            assert_eq!(command(line), None, "{line}");
        }
    }

    #[test]
    fn a_misspelt_command_is_offered_its_neighbour() {
        assert_eq!(nearest_command("numbrs"), Some("numbers"));
        assert_eq!(nearest_command("I hit it well today"), None);
    }
}
