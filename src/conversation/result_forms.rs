//! Ways of telling counts, turned into the plain one: "20 with 9 good", "went from 4 to 9 out of 20",
//! "first 20 = 4 good", "used to be 2".
//!
//! Takes a line in small letters; gives it with such forms written as "9 of 20" and "2 before". A line
//! that has none of them comes back as it is. What a count is of is decided elsewhere.

use std::sync::LazyLock;

use regex::Regex;

use super::result_words::{CAME_OFF, NUMBER_WORDS};

/// A form, and what is written in its place.
struct Form {
    told: Regex,
    plain: &'static str,
}

static FORMS: LazyLock<Vec<Form>> = LazyLock::new(|| {
    let words = NUMBER_WORDS.join("|");
    let n = format!(r"(?:\d{{1,4}}|{words})");
    let good = CAME_OFF.join("|");
    let of = r"(?:out\s+of|of|/)";
    let balls = r"(?:balls?|shots|swings)";
    let forms = [
        (r"\bout(?:t?a|\s+a)\s+".to_owned(), "out of "),
        // "From 4 to 9 out of 20".
        (
            format!(r"\bfrom\s+({n})\s+to\s+({n})\s*{of}\s*({n})\b"),
            "from $1 of $3 to $2 of $3",
        ),
        // "From 4 of 20 to 9".
        (
            format!(r"\bfrom\s+({n})\s*{of}\s*({n})\s+to\s+({n})\s*$"),
            "from $1 of $2 to $3 of $2",
        ),
        // "20 with 9 good".
        (
            format!(r"\b({n})(?:\s+{balls})?,?\s+with\s+({n})\s+(?:were\s+)?(?:{good})\b"),
            "$2 of $1",
        ),
        // "First 20 = 4 good", "ten with the thought, 7 good".
        (
            format!(
                r"\b({n})((?:\s+(?:{balls}|with|without|the|my|new|thought|as|normal|before|after|of|them))*)\s*[,=:]\s*({n})\s+(?:were\s+|was\s+)?(?:{good})\b"
            ),
            "$3 of $1$2",
        ),
        // "20 before 11 good".
        (
            format!(
                r"\b({n})\s+(before|after|with it|without it|with the thought)\s+({n})\s+(?:were\s+|was\s+)?(?:{good})\b"
            ),
            "$3 of $1 $2",
        ),
        // "7 of 10, used to be 2".
        (
            format!(
                r"\b(?:used\s+to\s+be|up\s+from|was\s+only|it\s+was)\s+({n})\s*(?:before)?[.!]?$"
            ),
            "$1 before",
        ),
    ];
    forms
        .into_iter()
        .filter_map(|(told, plain)| {
            let told = Regex::new(&told).ok()?;
            Some(Form { told, plain })
        })
        .collect()
});

/// The line with its counts in the plain form.
pub(super) fn plainer(text: &str) -> String {
    FORMS.iter().fold(text.to_owned(), |text, form| {
        form.told.replace_all(&text, form.plain).into_owned()
    })
}

static BOTH_BARE: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let words = NUMBER_WORDS.join("|");
    let n = format!(r"(?:\d{{1,4}}|{words})");
    let then = r"(?:after|afterwards|now|with it|with (?:the|that|my) thought)";
    Regex::new(&format!(
        r"^(?:(?:i|we|so|ok|okay|did it|done it|done|it was|went from|from)[\s,.:]+)*({n})(?:\s+[a-z']+){{0,2}}\s+before[\s,.;:]+(?:and\s+|then\s+|but\s+)?({n})(?:\s+[a-z']+){{0,2}}\s+{then}[.!]?$"
    ))
    .ok()
});

/// "4 before, 9 after": two counts of the balls that were asked for.
pub(super) fn both_bare(line: &str, balls: u32) -> Option<String> {
    let text = line.trim().to_lowercase();
    let found = BOTH_BARE.as_ref()?.captures(&text)?;
    let (before, after) = (found.get(1)?.as_str(), found.get(2)?.as_str());
    Some(format!(
        "{before} of {balls} before, {after} of {balls} after"
    ))
}

static TOLD_AS_ASKED: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let words = NUMBER_WORDS.join("|");
    let n = format!(r"(?:\d{{1,4}}|{words})");
    Regex::new(&format!(
        r"^(?:(?:i|we|so|ok|okay|and|right|she|he)[\s,]+)*(?:(?:hit|did|made)\s+({n})(?:\s+(?:balls?|shots|swings))?\s*[,:;.]?\s*(?:and\s+)?({n})|({n})\s+(?:out\s+of|of|/)\s*({n}))\s+(?:of\s+them\s+)?(\D+)$"
    ))
    .ok()
});

/// "Hit 20, 14 started past the ball": the count alone, if the words after it are those that were asked to
/// be counted. None if they are others.
pub(super) fn told_as_asked(line: &str, asked: &str) -> Option<String> {
    let text = line.trim().to_lowercase().replace('\u{2019}', "'");
    let found = TOLD_AS_ASKED.as_ref()?.captures(&text)?;
    let at = |group: usize| found.get(group).map(|m| m.as_str());
    let (balls, hits) = match (at(1), at(2)) {
        (Some(balls), Some(hits)) => (balls, hits),
        _ => (at(4)?, at(3)?),
    };
    let said = telling(at(5)?);
    let asked = telling(asked);
    let known = said.iter().filter(|w| asked.contains(w)).count();
    // Two words and two thirds of what tells (elicited).
    (known >= 2 && 3 * known >= 2 * said.len()).then(|| format!("{hits} of {balls}"))
}

/// The stems of the words that tell something.
fn telling(text: &str) -> Vec<String> {
    const SILENT: [&str; 22] = [
        "the", "a", "an", "of", "that", "with", "and", "to", "in", "on", "at", "it", "its", "is",
        "are", "was", "were", "them", "my", "which", "balls", "shots",
    ];
    let words = super::names::words(text);
    let telling = words.iter().filter(|w| !SILENT.contains(&w.as_str()));
    telling.map(|w| super::names::stem(w)).collect()
}

#[cfg(test)]
mod tests {
    use super::{both_bare, plainer, told_as_asked};

    #[test]
    fn counts_are_put_plainly() {
        for (told, plain) in [
            ("14 outta 20", "14 out of 20"),
            ("went from 4 to 9 out of 20", "went from 4 of 20 to 9 of 20"),
            (
                "first 20 = 4 good. second 20 = 12 good",
                "first 4 of 20. second 12 of 20",
            ),
            (
                "hit ten, 4 good. then ten with the thought, 7 good",
                "hit 4 of ten. then 7 of ten with the thought",
            ),
            (
                "7 out of 10 clean, used to be 2",
                "7 out of 10 clean, 2 before",
            ),
            ("hit 20 balls with 9 solid", "hit 9 of 20"),
            ("7 of 10", "7 of 10"),
            (
                "it was 7 of 10 with the thought",
                "it was 7 of 10 with the thought",
            ),
        ] {
            assert_eq!(plainer(told), plain, "{told}");
        }
    }

    #[test]
    fn two_bare_counts_are_of_the_balls_asked_for() {
        let both = |line| both_bare(line, 20);
        let wanted = Some("4 of 20 before, 9 of 20 after".to_owned());
        assert_eq!(both("did it. 4 before, 9 after"), wanted);
        assert_eq!(both("4 before and 9 with the thought"), wanted);
        assert_eq!(both("4 before, it hurt after"), None);
    }

    #[test]
    fn what_was_asked_to_be_counted_is_a_count() {
        let asked = "divots that start past the ball";
        for (told, count) in [
            ("hit 20, 14 started past the ball", Some("14 of 20")),
            ("14 of 20 start past the ball", Some("14 of 20")),
            ("hit 20, 6 were fat", None),
            ("14 of 20", None),
        ] {
            assert_eq!(told_as_asked(told, asked).as_deref(), count, "{told}");
        }
    }
}
