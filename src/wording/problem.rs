//! Problems of the knowledge files as a person reads them: what, where, the line, the help.
//!
//! One message a problem; lower case, no full stop in the message; the help proposes. The layout:
//! kind and entry, place, the line with the words underlined, help.

use std::fmt::Write as _;

use super::page::clean;
use crate::knowledge::{Problem, ProblemKind};
use crate::quantity::{Dimension, Unit};

fn message(problem: &Problem) -> String {
    let entry = problem.entry.as_deref().unwrap_or("");
    let of = if entry.is_empty() {
        String::new()
    } else {
        format!(" in `{entry}`")
    };
    match &problem.kind {
        ProblemKind::Shape { detail, .. } => format!("{detail}{of}"),
        ProblemKind::DuplicateKey { key } => format!("the key `{key}` stands twice{of}"),
        ProblemKind::UnknownWord { key, word, .. } => {
            format!("`{key}` does not know the word `{word}`{of}")
        }
        ProblemKind::OneOnly { keys } => {
            let keys: Vec<String> = keys.iter().map(|k| format!("`{k}`")).collect();
            format!("{} where only one counts{of}", keys.join(" and "))
        }
        ProblemKind::NotOneWord { key, text } => {
            format!(
                "`{text}` among the words of `{key}` is no single word: only its start would count{of}"
            )
        }
        ProblemKind::MeansNothing { key, needs } => {
            format!("`{key}` means nothing without `{needs}`{of}")
        }
        ProblemKind::NotAnId { id } => format!("`{id}` cannot be an id"),
        ProblemKind::NotMutual { other } => {
            format!("names `{other}` as its opposite, which does not name it{of}")
        }
        ProblemKind::UnknownKey { key } => format!("unknown key `{key}`{of}"),
        ProblemKind::MissingKey { key } => format!("the key `{key}` is missing{of}"),
        ProblemKind::UnknownFile => "no knowledge goes by this file name".to_owned(),
        ProblemKind::MissingFile { file } => format!("the file `{file}` is missing"),
        ProblemKind::TooLarge { bytes, limit } => {
            format!("the file has {bytes} bytes, more than the {limit} that are read")
        }
        ProblemKind::UnknownId { sort, id } => format!("no {sort} is called `{id}`{of}"),
        ProblemKind::DuplicateId { id, first } => {
            format!(
                "`{id}` is defined twice, first at {}:{}",
                first.file, first.line
            )
        }
        ProblemKind::NotAnAmount { text } => format!("`{text}` is no number with a unit{of}"),
        ProblemKind::UnitMismatch { text, wanted } => {
            format!(
                "`{text}` is no {}{of}",
                format!("{wanted:?}").to_lowercase()
            )
        }
        ProblemKind::OutOfRange {
            what,
            value,
            low,
            high,
        } => {
            let limits = match (low.is_finite(), high.is_finite()) {
                (true, true) => format!("not between {low} and {high}"),
                (true, false) => format!("not above {low}"),
                (false, _) => format!("not below {high}"),
            };
            format!("`{what}` is {value}, {limits}{of}")
        }
        ProblemKind::Cycle { path } => {
            format!("a cause leads back to itself: {}", path.join(" -> "))
        }
        ProblemKind::TooLong { key, length, limit } => {
            format!("`{key}` has {length} characters, more than {limit}{of}")
        }
        ProblemKind::NotPlainText { key, found } => {
            format!(
                "`{key}` holds the character U+{:04X}, which is no plain text{of}",
                *found as u32
            )
        }
        ProblemKind::NotACondition { text } => {
            format!("`{text}` is no condition on a quantity{of}")
        }
        ProblemKind::Lacks { what } | ProblemKind::Thin { what } => format!("no {what}{of}"),
        ProblemKind::Unused { sort, id } => format!("nothing uses the {sort} `{id}`"),
        ProblemKind::Unreachable { sort, id } => {
            format!("no words and no rule lead to the {sort} `{id}`")
        }
        ProblemKind::TooManyWords { key, words, limit } => {
            format!("`{key}` has {words} words, more than {limit}{of}")
        }
        ProblemKind::TooWide { key, width, limit } => {
            format!("`{key}` has a word of {width} columns, more than {limit}{of}")
        }
        ProblemKind::ContradictoryRules { other } => {
            format!("says the opposite of `{other}`, which fires whenever it does{of}")
        }
        ProblemKind::SameRule { other } => format!("says the same as `{other}`{of}"),
        ProblemKind::RuleWithoutCase { fires: true } => format!("no case fires the rule `{entry}`"),
        ProblemKind::RuleWithoutCase { fires: false } => {
            format!("no case comes near the rule `{entry}` without firing it")
        }
        ProblemKind::TwoMeanings { phrase, other } => {
            format!("\"{phrase}\" already means `{other}`{of}")
        }
        ProblemKind::Rule { kind, detail } => format!("{kind}: {detail}{of}"),
    }
}

/// The words, the last after an "or".
fn among(words: &[String]) -> String {
    let quoted: Vec<String> = words.iter().map(|w| format!("`{w}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}

/// Some units of a dimension.
fn units(dimension: Dimension) -> String {
    let all = Unit::ALL.iter().filter(|u| u.dimension() == dimension);
    let symbols: Vec<String> = all
        .map(|u| u.symbol().to_owned())
        .filter(|s| !s.is_empty())
        .take(4)
        .collect();
    if symbols.is_empty() {
        "a plain number".to_owned()
    } else {
        among(&symbols)
    }
}

/// How a number is written that somebody wrote otherwise.
fn not_an_amount(text: &str) -> &'static str {
    if text.contains('\u{b0}') || text.contains("degree") {
        "write the unit as `deg`, such as `0.5 +/- 1.5 deg`"
    } else if text.contains('\u{b1}') {
        "write `+/-`, such as `0.5 +/- 1.5 deg`"
    } else if text.contains(',') {
        "write the decimals after a point, such as `0.5 +/- 1.5 deg`"
    } else {
        "write a number and a unit, such as `-2.5 +/- 1.0 in`"
    }
}

/// How to mend what is wrong with a rule.
fn of_rule(kind: &str) -> &'static str {
    match kind {
        "wrong dimension" => "give each number a unit of that sort, such as `0.5 in`",
        "test does not suit the slot" => {
            "write `true` or `false` for a symptom, a limit with its unit for a number, a word for a club or lie"
        }
        _ => "`swingwhy knowledge schema rules` shows how conditions and conclusions are written",
    }
}

fn help(problem: &Problem) -> Option<String> {
    if let Some(name) = &problem.nearest {
        return Some(format!("did you mean `{name}`?"));
    }
    let text = match &problem.kind {
        ProblemKind::NotAnAmount { text } => not_an_amount(text),
        ProblemKind::NotACondition { .. } => {
            "write one like `low_point < 0 in` or `x in 1 in..2 in`"
        }
        ProblemKind::UnknownFile => {
            "the files are listed by `swingwhy knowledge schema`, with an example of each in the recipes"
        }
        ProblemKind::UnknownKey { key } if key == "keep" => {
            "`keep: rest` needs an entry of this very id to keep the rest of"
        }
        ProblemKind::UnknownKey { .. } => {
            "the keys are described by `swingwhy knowledge schema` and the kind of file"
        }
        ProblemKind::MissingKey { key } if key == "source" || key == "sources" => {
            "name the entry of `sources.yaml` that it rests on, or another `kind`"
        }
        ProblemKind::MissingKey { .. } => {
            "write it with something after its colon, in one column with the keys it belongs to"
        }
        ProblemKind::DuplicateKey { .. } => "keep one of them; the other would be silent",
        ProblemKind::UnknownWord { known, .. } => {
            return Some(format!("it is one of {}", among(known)));
        }
        ProblemKind::OneOnly { .. } => "keep one of them",
        ProblemKind::NotOneWord { .. } => {
            "write single words with spaces between; for words that belong together use `says`, or two lists"
        }
        ProblemKind::MeansNothing { .. } => "add what it needs, or take it out",
        ProblemKind::NotAnId { .. } => {
            "write one word of letters, digits and `_`, such as `my_wet_handle`"
        }
        ProblemKind::NotMutual { .. } => "name each of them in `opposite` of the other",
        ProblemKind::UnitMismatch { wanted, .. } => {
            return Some(format!("write a unit of it, such as {}", units(*wanted)));
        }
        ProblemKind::OutOfRange { low, high, .. }
            if *low == 0.0 && (*high - 1.0).abs() < f64::EPSILON =>
        {
            "write a share, more than 0 and less than 1: 6 in 100 is 0.06"
        }
        ProblemKind::Rule { kind, .. } => of_rule(kind),
        ProblemKind::OutOfRange { .. } => "write a number within the limits",
        ProblemKind::UnknownId { .. } => "write the id of an entry there is, or add that entry",
        ProblemKind::DuplicateId { .. } => "give one of them another id",
        ProblemKind::Shape {
            advice: Some(advice),
            ..
        } => advice,
        ProblemKind::Lacks { .. } => {
            "every cause needs a check and a drill, so that it can be tested"
        }
        ProblemKind::TooLong { .. } => "say it shorter; golfers read it on one screen",
        ProblemKind::TwoMeanings { .. } => {
            "keep it in one place, or add a question that tells them apart"
        }
        ProblemKind::Cycle { .. } => "take out the weakest link",
        ProblemKind::NotPlainText {
            found: '\u{b0}', ..
        } => "write `deg`",
        ProblemKind::NotPlainText { .. } => {
            "use the plain letters and signs of an English keyboard"
        }
        ProblemKind::Thin { .. } => "a golfer or a coach will miss it; write it down",
        ProblemKind::Unused { .. } => "name it where it belongs, or take it out",
        ProblemKind::Unreachable { .. } => {
            "add words to `phrases/`, or a rule that concludes what it needs"
        }
        ProblemKind::TooManyWords { .. } => "keep the words that can be felt, drop the rest",
        ProblemKind::TooWide { .. } => "break it with a space or a hyphen",
        ProblemKind::ContradictoryRules { .. } => "add a condition that keeps them apart",
        ProblemKind::SameRule { .. } => "take one of them out",
        ProblemKind::RuleWithoutCase { .. } => "write a case that names it in `fires` or `silent`",
        ProblemKind::Shape { .. }
        | ProblemKind::MissingFile { .. }
        | ProblemKind::TooLarge { .. } => return None,
    };
    Some(text.to_owned())
}

/// All problems, each as a block of lines, and a count at the end.
pub fn problems(list: &[Problem]) -> String {
    let mut out = String::new();
    for problem in list {
        let place = &problem.place;
        let _ = writeln!(
            out,
            "{}[{}]: {}",
            if problem.kind.is_remark() {
                "remark"
            } else {
                "problem"
            },
            problem.kind.name(),
            clean(&message(problem))
        );
        let _ = writeln!(
            out,
            "  --> {}:{}:{}",
            clean(&place.file),
            place.line,
            place.column
        );
        if !place.text.is_empty() {
            let number = place.line.to_string();
            let margin = " ".repeat(number.len());
            // Of a long line, what stands around the place.
            let left_out = (place.column + place.width).saturating_sub(100);
            let left_out = left_out.min(place.column.saturating_sub(1));
            let shown: String = place.text.chars().skip(left_out).take(100).collect();
            let _ = writeln!(out, "{number} | {}", clean(&shown));
            let from = place.column.saturating_sub(1 + left_out).min(99);
            let width = place.width.clamp(1, 100 - from);
            let _ = writeln!(out, "{margin} | {}{}", " ".repeat(from), "^".repeat(width));
        }
        if let Some(help) = help(problem) {
            let _ = writeln!(out, "  = help: {}", clean(&help));
        }
        out.push('\n');
    }
    let remarks = list.iter().filter(|p| p.kind.is_remark()).count();
    let counts = [(list.len() - remarks, "problem"), (remarks, "remark")];
    let counts: Vec<String> = counts
        .iter()
        .filter(|(n, word)| *n > 0 || (list.is_empty() && *word == "problem"))
        .map(|(n, word)| format!("{n} {word}{}", if *n == 1 { "" } else { "s" }))
        .collect();
    let _ = writeln!(out, "{}", counts.join(", "));
    out
}
