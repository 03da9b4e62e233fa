//! Inches, feet, yards and miles an hour in written sentences, said in metric units.
//!
//! Takes a finished sentence of the knowledge or the program and gives the same with centimetres,
//! metres and kilometres an hour: "half an inch" is 1.3 cm, "two or three inches" 5.1 or 7.6 cm,
//! "100-yard" 91 m. Below ten one decimal is kept, above none; under a centimetre it is millimetres.
//!
//! Invariants: text without such a length comes back as it is; what stands in quotation marks is
//! somebody's own words and stays; "3 in 10" is a chance and no length. Does not know: "a foot" and
//! "two feet", which are mostly parts of a golfer, and lengths without a number ("a few inches").

use super::number::rounded;

const MARKS: [char; 9] = ['.', ',', ';', ':', '!', '?', ')', '(', '\''];

/// A word of the text: where it stands, and its letters without marks around them, made small.
struct Word<'a> {
    start: usize,
    end: usize,
    opens: &'a str,
    closes: &'a str,
    letters: String,
}

fn words(text: &str) -> Vec<Word<'_>> {
    let mut out = Vec::new();
    let mut at = 0;
    for piece in text.split_inclusive(char::is_whitespace) {
        let word = piece.trim_end();
        if !word.is_empty() {
            let body = word.trim_start_matches(MARKS);
            let letters = body.trim_end_matches(MARKS);
            out.push(Word {
                start: at,
                end: at + word.len(),
                opens: word.get(..word.len() - body.len()).unwrap_or_default(),
                closes: body.get(letters.len()..).unwrap_or_default(),
                letters: letters.to_lowercase(),
            });
        }
        at += piece.len();
    }
    out
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Imperial {
    Inch,
    Foot,
    Yard,
    MileAnHour,
}

impl Imperial {
    fn of(word: &str) -> Option<Self> {
        match word {
            "in" | "inch" | "inches" => Some(Self::Inch),
            "ft" | "foot" | "feet" => Some(Self::Foot),
            "yd" | "yds" | "yard" | "yards" => Some(Self::Yard),
            "mph" => Some(Self::MileAnHour),
            _ => None,
        }
    }

    /// Centimetres, metres or kilometres an hour of one.
    const fn one(self) -> f64 {
        match self {
            Self::Inch => 2.54,
            Self::Foot => 0.3048,
            Self::Yard => 0.9144,
            Self::MileAnHour => 1.609_344,
        }
    }

    fn shown(self, numbers: &[f64], joined: &str) -> String {
        let largest = numbers.iter().fold(0.0f64, |a, b| a.max(b.abs())) * self.one();
        let (scale, unit) = match self {
            Self::Inch if largest < 1.0 => (10.0, "mm"),
            Self::Inch => (1.0, "cm"),
            Self::Foot | Self::Yard => (1.0, "m"),
            Self::MileAnHour => (1.0, "km/h"),
        };
        let each: Vec<String> = numbers
            .iter()
            .map(|number| {
                let value = number * self.one() * scale;
                let decimals = usize::from(unit != "mm" && value.abs() < 9.95);
                rounded(value, decimals)
            })
            .collect();
        format!("{} {unit}", each.join(joined))
    }
}

/// A number in digits, or in a word.
fn number(word: &str) -> Option<f64> {
    const SMALL: [&str; 13] = [
        "", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    if word.starts_with(|c: char| c.is_ascii_digit()) {
        return word.parse().ok();
    }
    match word {
        "" => None,
        "fifteen" => Some(15.0),
        "twenty" => Some(20.0),
        "thirty" => Some(30.0),
        "forty" => Some(40.0),
        "fifty" => Some(50.0),
        word => SMALL
            .iter()
            .position(|w| *w == word)
            .and_then(|n| u8::try_from(n).ok())
            .map(f64::from),
    }
}

fn fraction(words: &[&str]) -> Option<(f64, usize)> {
    match words {
        ["three", "quarters", "of", "an" | "a", ..] => Some((0.75, 4)),
        ["a", "quarter", "of", "an" | "a", ..] => Some((0.25, 4)),
        ["quarter", "of", "an" | "a", ..] => Some((0.25, 3)),
        ["a", "quarter", ..] => Some((0.25, 2)),
        ["half", "an" | "a", ..] | ["a", "half", ..] => Some((0.5, 2)),
        ["half", ..] => Some((0.5, 1)),
        ["quarter", ..] => Some((0.25, 1)),
        ["an" | "a", ..] => Some((1.0, 1)),
        _ => None,
    }
}

/// A length found at the start of the words: its text in metric units, and how many words it took.
fn length(words: &[&str]) -> Option<(String, usize)> {
    let (numbers, joined, used) = amount(words)?;
    let unit_word = *words.get(used)?;
    let unit = Imperial::of(unit_word)?;
    let digits = words
        .first()
        .is_some_and(|w| w.starts_with(|c: char| c.is_ascii_digit()));
    let next = words.get(used + 1).copied().unwrap_or_default();
    let counted = match (unit, unit_word) {
        // "3 in 10", "4 in a row", "2 in the bunker" are no lengths; "one in three" is none either.
        (_, "in") => digits && !counts(next),
        // "a foot", "two feet": mostly the golfer's.
        (Imperial::Foot, _) => digits || numbers.iter().all(|n| *n > 2.0),
        _ => true,
    };
    if !counted {
        return None;
    }
    let rest = words.get(used + 1..).unwrap_or_default();
    let single = numbers.as_slice() == [1.0];
    match rest {
        ["or", more, ..] if single && number(more).is_some() => {
            let more = number(more)?;
            Some((unit.shown(&[1.0, more], " or "), used + 3))
        }
        ["and", "a", "half", ..] if single => Some((unit.shown(&[1.5], ""), used + 4)),
        ["and", "a", "quarter", ..] if single => Some((unit.shown(&[1.25], ""), used + 4)),
        _ => Some((unit.shown(&numbers, joined), used + 1)),
    }
}

/// Words after "in" that make it no unit.
fn counts(next: &str) -> bool {
    number(next).is_some()
        || next.starts_with(|c: char| c.is_ascii_digit())
        || matches!(
            next,
            "a" | "an"
                | "the"
                | "my"
                | "your"
                | "his"
                | "her"
                | "their"
                | "all"
                | "each"
                | "every"
                | "total"
                | "this"
                | "that"
                | "these"
                | "those"
                | "which"
                | "front"
                | "hundred"
        )
}

fn amount(words: &[&str]) -> Option<(Vec<f64>, &'static str, usize)> {
    let first = *words.first()?;
    if let Some((low, high)) = first.split_once('-')
        && let (Ok(low), Ok(high)) = (low.parse(), high.parse())
    {
        return Some((vec![low, high], " to ", 1));
    }
    if let Some(one) = number(first) {
        let joined = match words.get(1).copied() {
            Some("to") => " to ",
            Some("or") => " or ",
            _ => return Some((vec![one], "", 1)),
        };
        return match words.get(2).and_then(|w| number(w)) {
            Some(two) => Some((vec![one, two], joined, 3)),
            None => Some((vec![one], "", 1)),
        };
    }
    let (part, used) = fraction(words)?;
    Some((vec![part], "", used))
}

/// `12-inch`, `half-inch`, `100-yard`.
fn hyphened(word: &str) -> Option<String> {
    let (count, unit) = word.rsplit_once('-')?;
    let unit = Imperial::of(unit).filter(|_| unit != "in")?;
    let parts: Vec<&str> = count.split('-').collect();
    let (numbers, joined, used) = match parts.as_slice() {
        [low, high] => (vec![number(low)?, number(high)?], " to ", 2),
        parts => amount(parts)?,
    };
    (used == parts.len()).then(|| unit.shown(&numbers, joined))
}

/// The text with its imperial lengths and speeds in metric units.
pub(super) fn in_metric(text: &str) -> String {
    let words = words(text);
    let mut out = String::with_capacity(text.len());
    let mut copied = 0;
    let mut quoted = false;
    let mut place = 0;
    while let Some(word) = words.get(place) {
        let whole = text.get(word.start..word.end).unwrap_or_default();
        let marks = whole.matches('"').count();
        if quoted || marks > 0 {
            quoted ^= marks % 2 == 1;
            place += 1;
            continue;
        }
        // A length ends where a mark stands; it may begin after one.
        let run = words
            .iter()
            .enumerate()
            .skip(place)
            .take(9)
            .scan(false, |ended, (i, w)| {
                let broken = *ended || (i > place && !w.opens.is_empty());
                *ended = !w.closes.is_empty();
                (!broken).then_some(w.letters.as_str())
            })
            .collect::<Vec<_>>();
        let found = length(&run).or_else(|| hyphened(&word.letters).map(|text| (text, 1)));
        let Some((said, used)) = found else {
            place += 1;
            continue;
        };
        let Some(last) = words.get(place + used - 1) else {
            break;
        };
        out.push_str(text.get(copied..word.start).unwrap_or_default());
        out.push_str(word.opens);
        out.push_str(&said);
        out.push_str(last.closes);
        copied = last.end;
        place += used;
    }
    out.push_str(text.get(copied..).unwrap_or_default());
    out
}

#[cfg(test)]
mod tests {
    use super::in_metric;

    #[test]
    fn lengths_turn_metric_and_chances_stay() {
        for (text, wanted) in [
            ("Half an inch decides.", "1.3 cm decides."),
            ("within a half inch of it", "within 1.3 cm of it"),
            (
                "so a half-inch mark, 3-inch gap",
                "so a 1.3 cm mark, 7.6 cm gap",
            ),
            ("a quarter of an inch", "6 mm"),
            (
                "brush runs an inch or two before",
                "brush runs 2.5 or 5.1 cm before",
            ),
            ("an inch and a quarter behind", "3.2 cm behind"),
            ("low point 2.8 in back (give", "low point 7.1 cm back (give"),
            (
                "a good one 2 to 4.7 in ahead.",
                "a good one 5.1 to 12 cm ahead.",
            ),
            (
                "within 2-3 inches, two or three inches",
                "within 5.1 to 7.6 cm, 5.1 or 7.6 cm",
            ),
            ("a 3 in gap (6 in).", "a 7.6 cm gap (15 cm)."),
            (
                "3 yards clear, ten yards, 100-yard",
                "2.7 m clear, 9.1 m, 91 m",
            ),
            ("75 mph and 6 ft and 3 feet", "121 km/h and 1.8 m and 0.9 m"),
            (
                "four inches ahead; One inch costs",
                "10 cm ahead; 2.5 cm costs",
            ),
            (
                "about 3 in 10, 8 in 100, 1 in 20",
                "about 3 in 10, 8 in 100, 1 in 20",
            ),
            (
                "4 in a row, one in three, 2 in the rough",
                "4 in a row, one in three, 2 in the rough",
            ),
            (
                "a foot behind, two feet together",
                "a foot behind, two feet together",
            ),
            (
                "you said \"divot starts 3 inches behind\" then 3 in",
                "you said \"divot starts 3 inches behind\" then 7.6 cm",
            ),
            ("2, in truth", "2, in truth"),
            (
                "inch for inch, an instant in the swing",
                "inch for inch, an instant in the swing",
            ),
            ("", ""),
        ] {
            assert_eq!(in_metric(text), wanted);
        }
    }
}
