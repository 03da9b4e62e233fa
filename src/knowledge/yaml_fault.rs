//! What went wrong in an entry that could not be read, in words of somebody who writes entries.
//!
//! Takes the reader's words and place; gives the problem with its kind, the line that is meant, the
//! nearest name and how to mend it. The reader stops at the place where it gave up, which after a
//! quote left open or a line set in too little is not the place that is wrong; those are looked for.
//! Does not know what entries mean.

use super::problem::{Place, Problem, ProblemKind, nearest};
use super::yaml::EntryText;
use super::yaml_keys::TWICE;
use super::yaml_text::Fault;

/// The name an entry gives itself in its first line.
fn named(entry: &EntryText<'_>) -> Option<String> {
    let rest = entry.text.trim_start().strip_prefix("- id:")?;
    let line = rest.lines().next()?.split('#').next()?;
    let id = line.trim().trim_matches(['"', '\'']);
    (!id.is_empty()).then(|| id.to_owned())
}

fn problem(entry: &EntryText<'_>, kind: ProblemKind, place: Place) -> Problem {
    Problem {
        kind,
        place,
        entry: named(entry),
        nearest: None,
    }
}

fn shape(detail: impl Into<String>, advice: &str) -> ProblemKind {
    ProblemKind::Shape {
        detail: detail.into(),
        advice: (!advice.is_empty()).then(|| advice.to_owned()),
    }
}

/// A text that holds another number of entries than one.
pub(super) fn misplaced(entry: &EntryText<'_>, found: usize) -> Problem {
    let detail = format!("{found} entries where one was expected");
    let kind = shape(detail, "start each entry with `- id:` in the first column");
    problem(entry, kind, entry.place_at(1, 1))
}

/// What the reader's words mean.
pub(super) fn described(entry: &EntryText<'_>, fault: &Fault) -> Problem {
    let message = fault.message.as_str();
    if let Some(key) = after(message, "unknown field ") {
        let known: Vec<&str> = message.split('`').skip(3).step_by(2).collect();
        let near = nearest(&key, known.into_iter());
        let place = entry.place_of_key(&key);
        return Problem {
            nearest: near,
            ..problem(entry, ProblemKind::UnknownKey { key }, place)
        };
    }
    if let Some(found) = set_in(entry) {
        return found;
    }
    if let Some(key) = after(message, "missing field ") {
        let leads = |p: &Place| p.text.trim_start().starts_with(key.as_str());
        if let Some(place) = entry.places_of_key(&key).find(leads) {
            let detail =
                format!("`{key}` does not stand in one column with the keys it belongs to");
            let kind = shape(detail, "set it in by as many spaces as those");
            return problem(entry, kind, place);
        }
        let line = if message.starts_with('[') || !message.contains(": ") {
            1
        } else {
            fault.line
        };
        return problem(
            entry,
            ProblemKind::MissingKey { key },
            entry.place_at(line, 1),
        );
    }
    if let Some(key) = after(message, TWICE) {
        let mut places: Vec<Place> = entry.places_of_key(&key).collect();
        let place = match places.len() {
            0 | 1 => entry.place_at(fault.line, fault.column),
            2 => places.swap_remove(1),
            // In which of several places it stands twice, the reader tells.
            _ => places
                .iter()
                .filter(|p| p.line >= entry.line + fault.line.saturating_sub(1))
                .nth(1)
                .cloned()
                .unwrap_or_else(|| entry.place_at(fault.line, fault.column)),
        };
        return problem(entry, ProblemKind::DuplicateKey { key }, place);
    }
    let (path, words) = path_and_words(message);
    let key = path.rsplit('.').next().unwrap_or("");
    let key = key.split('[').next().unwrap_or("");
    if let Some(word) = after(words, "unknown variant ") {
        let known: Vec<String> = words
            .split('`')
            .skip(3)
            .step_by(2)
            .map(str::to_owned)
            .collect();
        let near = nearest(&word, known.iter().map(String::as_str));
        let place = entry.place_of(&word);
        let key = key.to_owned();
        return Problem {
            nearest: near,
            ..problem(entry, ProblemKind::UnknownWord { key, word, known }, place)
        };
    }
    let place = entry.place_at(fault.line, fault.column);
    let kind = not_so(key, words)
        .or_else(|| not_a_list(path, words))
        .unwrap_or_else(|| of_format(words, &place));
    if words.contains("unexpected end of stream")
        && let Some(open) = left_open(entry)
    {
        return problem(entry, kind, open);
    }
    problem(entry, kind, place)
}

/// The name in backquotes after these words.
fn after(message: &str, words: &str) -> Option<String> {
    let rest = message.split_once(words)?.1;
    rest.split('`').nth(1).map(str::to_owned)
}

/// Where in the entry the reader was, and what it says.
fn path_and_words(message: &str) -> (&str, &str) {
    let message = message.split(" at line ").next().unwrap_or(message);
    let bare = message.trim_start_matches('.');
    let Some(rest) = bare.strip_prefix("[0]") else {
        return ("", message);
    };
    let (path, words) = rest.split_once(": ").unwrap_or(("", rest));
    (path.trim_start_matches('.'), words)
}

/// A line that is set in by less than the keys of the entry, or with a tab.
fn set_in(entry: &EntryText<'_>) -> Option<Problem> {
    let first = entry.text.lines().next()?;
    let keys = first
        .strip_prefix('-')
        .map(|rest| 1 + rest.len() - rest.trim_start().len())?;
    for (line, text) in entry.text.lines().enumerate().skip(1) {
        let bare = text.trim_start();
        if bare.is_empty() || bare.starts_with('#') {
            continue;
        }
        let blank = text.get(..text.len() - bare.len()).unwrap_or("");
        if blank.contains('\t') {
            let kind = shape(
                "the line is set in with a tab",
                "use spaces, two for a key of the entry",
            );
            return Some(problem(entry, kind, entry.place_at(line + 1, 1)));
        }
        if !blank.is_empty() && blank.len() < keys {
            let kind = shape(
                format!(
                    "the line is set in by {}, the keys of the entry by {keys}",
                    blank.len()
                ),
                "put it in one column with the key above",
            );
            return Some(problem(entry, kind, entry.place_at(line + 1, 1)));
        }
    }
    None
}

/// The line in which a quote is opened and not closed.
fn left_open(entry: &EntryText<'_>) -> Option<Place> {
    let opens = |line: &str| {
        let value = line.split_once(": ").map_or(line, |(_, value)| value);
        let value = value.trim_start_matches([' ', '-', '[', '{']);
        let quote = value.chars().next().filter(|c| matches!(c, '"' | '\''))?;
        (value.matches(quote).count() % 2 == 1).then_some(quote)
    };
    let mut lines = entry.text.lines().enumerate();
    let (line, text) = lines.find(|(_, text)| opens(text).is_some())?;
    let column = opens(text).and_then(|quote| text.find(quote))?;
    Some(entry.place_at(
        line + 1,
        text.get(..column).map_or(0, |s| s.chars().count()) + 1,
    ))
}

/// A value of another sort than the key takes.
fn not_so(key: &str, words: &str) -> Option<ProblemKind> {
    let rest = words
        .strip_prefix("invalid type: ")
        .or_else(|| words.strip_prefix("invalid value: "))
        .or_else(|| words.strip_prefix("invalid length "));
    if words.starts_with("data did not match any variant") {
        let detail = format!("`{key}` holds neither a number, nor a text, nor a list of them");
        return Some(shape(detail, "write a number with its unit, or a list"));
    }
    let (got, wanted) = rest?.split_once(", expected ")?;
    if key.is_empty() {
        return None;
    }
    let text = got.strip_prefix("string ").map(|t| t.trim_matches('"'));
    let length = words.starts_with("invalid length");
    let got = match (text, got) {
        (None, count) if length => format!("{count} of them"),
        (Some(text), _) => format!("the text `{text}`"),
        (None, "sequence") => "a list".to_owned(),
        (None, "map") => "keys and values".to_owned(),
        (None, "unit value" | "Option value") => "nothing".to_owned(),
        (None, other) => match other.split_once(' ') {
            Some(("integer" | "boolean", value)) => value.to_owned(),
            Some(("floating", value)) => value.trim_start_matches("point ").to_owned(),
            _ => other.to_owned(),
        },
    };
    let (wanted, advice) = match wanted {
        "f64" | "f32" => (
            "a number",
            match text {
                Some(t) if t.contains(',') => "write the decimals after a point, such as `0.06`",
                Some(t) if t.contains('%') => "write it as a share: 6 in 100 is `0.06`",
                _ => "write the number alone; its unit is in the description of the key",
            },
        ),
        "u8" | "u16" | "u32" | "u64" | "usize" | "i8" | "i64" => {
            ("a whole number", "write it in digits, such as `7`")
        }
        "a boolean" => (
            "`true` or `false`",
            "write `true` or `false` without quotes",
        ),
        "a sequence" => (
            "a list",
            "put it in brackets, such as `[one, another]`, or a line each after `- `",
        ),
        "a string" if got == "a list" => ("one text", "take the brackets away and keep one"),
        "a string" if got == "nothing" => {
            ("a text", "write it after the colon, or take the key out")
        }
        "a string" => ("a text", "put it in quotes"),
        w if w.contains("tuple of size 2") || w.contains("array of length 2") => {
            ("two values", "write both in brackets, such as `[1, 2]`")
        }
        w if w.contains("tuple of size 3") => {
            ("three values", "write all in brackets, such as `[1, 2, 3]`")
        }
        w if w == "a map" || w.starts_with("struct") => (
            "keys with values",
            "write them in braces, such as `{key: value}`, or below it and further in",
        ),
        w if w.contains("enum") || w.contains("identifier") => ("a word", ""),
        w => (w, ""),
    };
    Some(shape(
        format!("`{key}` holds {got}, where {wanted} should be"),
        advice,
    ))
}

/// An entry that is no item of a list.
fn not_a_list(path: &str, words: &str) -> Option<ProblemKind> {
    if !path.is_empty() {
        return None;
    }
    let advice = "start each entry with `- id:` in the first column, with a space after the dash";
    if words.ends_with("expected a sequence") {
        return Some(shape("no entry starts here", advice));
    }
    let odd = words.starts_with("invalid type") && words.contains("expected struct");
    odd.then(|| shape("the entry has no keys", advice))
}

/// What is wrong with the form of the text.
fn of_format(words: &str, place: &Place) -> ProblemKind {
    let has = |part: &str| words.contains(part);
    if has("mapping values are not allowed") {
        let before: String = place
            .text
            .chars()
            .take(place.column.saturating_sub(1))
            .collect();
        if before
            .trim()
            .chars()
            .all(|c| c.is_alphanumeric() || c == '_')
        {
            return shape(
                "the line is set in too far for a key",
                "put it in one column with the keys of the entry",
            );
        }
        return shape(
            "a text holds a colon with a space after it",
            "put the whole text in quotes",
        );
    }
    if has("unexpected end of stream") {
        return shape(
            "a quote is opened and not closed",
            "close it, or take it out",
        );
    }
    if has("tab character") {
        return shape("a tab stands where spaces should be", "use spaces");
    }
    if has("expected ',' or") || has("while parsing a flow") {
        return shape(
            "a bracket or brace is not closed, or a comma is missing in it",
            "close it, put a comma after each item, and texts with commas in quotes",
        );
    }
    if has("cannot start any token") {
        return shape(
            "a text starts with a sign that has another meaning",
            "put the text in quotes",
        );
    }
    if has("did not find expected") || has("could not find expected") {
        return shape(
            "the line does not go on as it should",
            "give every key a colon and a space, keep keys in one column, and put a text that starts with a quote in quotes as a whole",
        );
    }
    if has("control characters") {
        return shape("the file is no plain text", "save it as UTF-8");
    }
    shape(words, "")
}
