//! Is the golfer said to be a child?
//!
//! Takes a line of the talk; says whether it tells of a child, tells of somebody grown up, or neither.
//! An age decides; else words such as "my son" or "junior" do. It is asked for the sake of caution
//! alone: a child gets fewer balls, half swings and a grown-up beside. Knows no other use of age.

/// Ages under this are children here (common practice).
const GROWN: u32 = 14;

/// Words for a child of the speaker; each with "s" or "'s" too.
const OFFSPRING: [&str; 10] = [
    "son",
    "daughter",
    "grandson",
    "granddaughter",
    "kid",
    "child",
    "grandchild",
    "boy",
    "girl",
    "lad",
];

/// Words that say whose child it is.
const WHOSE: [&str; 5] = ["my", "our", "her", "his", "their"];

/// Words after which a number is an age if nothing is counted by it.
const IS: [&str; 8] = [
    "hes", "he's", "shes", "she's", "aged", "age", "is", "turned",
];

/// Whether the line tells of a child; none if it does not say.
pub(super) fn tells_of_child(line: &str) -> Option<bool> {
    let text = line.to_lowercase().replace('\u{2019}', "'");
    // A stop ends what a number may belong to.
    let spaced = text
        .replace(['-', '/'], " ")
        .replace([',', '.', ';', '!', '?'], " | ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let at = |i: usize| words.get(i).copied().unwrap_or("|");
    let mut found = None;
    for (i, word) in words.iter().enumerate() {
        let Some(age) = number(word).filter(|n| (3..=99).contains(n)) else {
            continue;
        };
        let years = match at(i + 1) {
            "yo" | "yrs" | "years" | "yr" | "year" => {
                at(i + 1) == "yo" || at(i + 2).starts_with("old")
            }
            "y" => at(i + 2) == "o",
            _ => false,
        };
        let before = at(i.wrapping_sub(1));
        // "I'm 5" is no age of somebody who types.
        let me = matches!(before, "im" | "i'm") || before == "am" && at(i.wrapping_sub(2)) == "i";
        let own = offspring(before) || before == "|" && offspring(at(i.wrapping_sub(2)));
        let is = (IS.contains(&before) || me && age >= 7 || own)
            && matches!(at(i + 1), "|" | "and" | "now" | "but" | "so");
        let his = at(i.wrapping_sub(1)) != "is"
            || matches!(at(i.wrapping_sub(2)), "he" | "she")
            || offspring(at(i.wrapping_sub(2)));
        if years || (is && his) {
            found = Some(age < GROWN);
        }
    }
    let child = words.iter().enumerate().any(|(i, word)| {
        matches!(*word, "junior" | "juniors")
            || (offspring(word) && i.checked_sub(1).is_some_and(|b| WHOSE.contains(&at(b))))
    });
    found.or(child.then_some(true))
}

fn number(word: &str) -> Option<u32> {
    const WORDS: [&str; 11] = [
        "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
        "thirteen",
    ];
    word.parse().ok().or_else(|| {
        let place = WORDS.iter().position(|w| *w == word)?;
        u32::try_from(place).ok().map(|n| n + 3)
    })
}

fn offspring(word: &str) -> bool {
    let bare = word.trim_end_matches("'s").trim_end_matches('s');
    OFFSPRING.contains(&bare)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ages_and_words_for_children() {
        for (line, told) in [
            ("Its my sons swing. hes 8, he chunks his 7 iron", Some(true)),
            ("my 11-year-old daughter tops her driver", Some(true)),
            ("she is 12 and hits it thin", Some(true)),
            ("junior golfer, slices", Some(true)),
            ("my son, he's 25, slices", Some(false)),
            ("son 9, 7 iron tops", Some(true)),
            ("my boy, 13, shanks", Some(true)),
            ("I'm 12 and a lefty", Some(true)),
            ("i am 5 down with my 7 iron", None),
            ("i am a 70 year old, fat 7 iron", Some(false)),
            ("the low point is 5 in behind", None),
            ("path is 6, fat", None),
            ("he's 8 over par", None),
            ("7 iron fat", None),
            ("nice swing boys", None),
        ] {
            assert_eq!(tells_of_child(line), told, "{line}");
        }
    }
}
