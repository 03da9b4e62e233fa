//! Is the golfer said to be a child?
//!
//! Takes a line of the talk; says whether it tells of a child, tells of somebody grown up, or neither.
//! An age decides; else words such as "my son" or "junior" do. It is asked for the sake of caution
//! alone: a child gets fewer balls, half swings and a grown-up beside. Knows no other use of age.

/// Ages under this are children here (common practice).
const GROWN: u32 = 16;

/// Words for a child of the speaker; each with "s" or "'s" too.
const OFFSPRING: [&str; 16] = [
    "son",
    "daughter",
    "grandson",
    "granddaughter",
    "kid",
    "child",
    "grandchild",
    "grandkid",
    "boy",
    "girl",
    "lad",
    "nephew",
    "niece",
    "stepson",
    "stepdaughter",
    "twin",
];

/// Words that mean somebody's child without saying whose; the rest may be any boy or girl.
const ALWAYS: [&str; 9] = [
    "son",
    "daughter",
    "grandson",
    "granddaughter",
    "grandchild",
    "grandkid",
    "stepson",
    "stepdaughter",
    "toddler",
];

/// Words before "the kids" or "my son" by which they are company and do not play.
const COMPANY: [&str; 8] = [
    "when", "with", "since", "had", "have", "against", "and", "beat",
];

/// Words that tell of a child, and of more than that it was there.
const HE: [&str; 14] = [
    "he", "she", "hes", "he's", "shes", "she's", "his", "her", "him", "who", "whos", "who's",
    "they", "their",
];

/// Words that say whose child it is.
const WHOSE: [&str; 6] = ["my", "our", "her", "his", "their", "the"];

/// Words after which a number is an age if nothing is counted by it.
const IS: [&str; 14] = [
    "hes", "he's", "shes", "she's", "aged", "age", "is", "are", "turned", "i'm", "im", "am",
    "whos", "who's",
];

/// Words after a number that leave it an age.
const STOPS: [&str; 22] = [
    "|", "and", "now", "but", "so", "here", "who", "with", "he", "she", "his", "her", "i",
    "tomorrow", "playing", "woman", "man", "lady", "gent", "female", "male", "lefty",
];

/// How far before a word for a child the word may stand that says whose.
const NEAR: usize = 5;

/// The words of a line; a stop, which ends what a number may belong to, is a word of its own.
fn words(line: &str) -> Vec<String> {
    let text = line.to_lowercase().replace('\u{2019}', "'");
    let spaced = text
        .replace(['-', '/'], " ")
        .replace([',', '.', ';', '!', '?', '(', ')', ':'], " | ");
    let mut out: Vec<String> = Vec::new();
    for word in spaced.split_whitespace() {
        // "9yo", "11yrs" and "12y".
        let digits = word.chars().take_while(char::is_ascii_digit).count();
        let (number, rest) = word.split_at(digits);
        if digits > 0 && YEARS.contains(&rest) {
            out.extend([number.to_owned(), rest.to_owned()]);
        } else {
            out.push(word.to_owned());
        }
    }
    out
}

/// Words for years of age beside a number.
const YEARS: [&str; 6] = ["yo", "yrs", "years", "yr", "year", "y"];

/// The age that a line tells, if it tells one.
pub(super) fn age(line: &str) -> Option<u32> {
    let words = words(line);
    let at = |i: usize| words.get(i).map_or("|", String::as_str);
    // Words before a place, the nearest first, up to a stop.
    let before = |i: usize| {
        let known = (0..i).rev().map(at);
        known.take_while(|w| *w != "|").take(NEAR)
    };
    let mut found = None;
    for (i, word) in words.iter().enumerate() {
        let Some(age) = number(word).filter(|n| (3..=99).contains(n)) else {
            continue;
        };
        let stops = STOPS.contains(&at(i + 1));
        let years = match at(i + 1) {
            "yo" => true,
            // "for 8 years", "since 2 years" are no ages; "8 years old" and "my 9 year boy" are.
            "yrs" | "years" | "yr" | "year" => at(i + 2).starts_with("old") || offspring(at(i + 2)),
            "y" => at(i + 2) == "o" || at(i + 2) == "old",
            // "my 9 old son" and "a boy of 9".
            "old" => offspring(at(i + 2)),
            _ => false,
        };
        let last = i.checked_sub(1).map_or("|", at);
        let of_whom = i.checked_sub(2).map_or("|", at);
        let is = IS.contains(&last) && stops;
        let his = match last {
            "are" => before(i).any(offspring),
            "is" => {
                matches!(
                    of_whom,
                    "he" | "she" | "who" | "pupil" | "student" | "player"
                ) || before(i).any(offspring)
            }
            "am" => of_whom == "i",
            _ => true,
        };
        // "son 9", "my boy (9)", "daughter of 11", and a child before a comma: "my son, 9, tops".
        let beside = stops
            && (offspring(last)
                || (matches!(last, "of" | "|") && offspring(of_whom))
                || (last == "|" && of_whom == "|" && i > 2 && offspring(at(i - 3))));
        // "14 here" and "13, lefty" at the head of a message say no club and no count.
        let here = at(i + 1) == "here" && last == "|";
        if years || (is && his) || beside || here {
            found = Some(age);
        }
    }
    found
}

/// Whether the line tells of a child; none if it does not say.
pub(super) fn tells_of_child(line: &str) -> Option<bool> {
    let words = words(line);
    let at = |i: usize| words.get(i).map_or("|", String::as_str);
    let child = words.iter().enumerate().any(|(i, word)| {
        let whose = |many: usize| {
            let known = (0..i).rev().map(at).take_while(|w| *w != "|");
            known.take(many).any(|w| WHOSE.contains(&w))
        };
        // Said of years gone by: "as a kid".
        let past = i > 1 && at(i - 1) == "a" && matches!(at(i - 2), "as" | "was" | "like");
        let one = !word.trim_end_matches("'s").ends_with('s');
        // "When the kids came", "playing with my son": company, unless he is told of as well.
        let told_of = words.iter().any(|w| HE.contains(&w.as_str()));
        let company = i > 1 && COMPANY.contains(&at(i - 2)) && !told_of;
        let past = past || company;
        matches!(
            word.as_str(),
            "junior" | "juniors" | "grandkids" | "schoolboy" | "schoolgirl"
        ) || (offspring(word)
            && !past
            && (whose(1) || (one && whose(NEAR) && !joined(&words, i)) || always(word)))
    });
    age(line).map(|age| age < GROWN).or(child.then_some(true))
}

/// "my wife and kid": whoever is spoken of, it is more than the child.
fn joined(words: &[String], i: usize) -> bool {
    let near = words.iter().take(i).rev().take(NEAR);
    near.take_while(|w| *w != "|").any(|w| w == "and")
}

/// True if words that nothing was made of tell no more than the age and whose child it is.
pub(super) fn only_age(said: &str, age: Option<u32>) -> bool {
    let words = words(said);
    !words.is_empty()
        && words.iter().all(|w| {
            offspring(w)
                || YEARS.contains(&w.as_str())
                || matches!(
                    w.as_str(),
                    "old"
                        | "aged"
                        | "age"
                        | "|"
                        | "junior"
                        | "here"
                        | "hes"
                        | "he's"
                        | "shes"
                        | "she's"
                        | "woman"
                        | "man"
                        | "lady"
                )
                || (age.is_some() && number(w) == age)
        })
}

fn number(word: &str) -> Option<u32> {
    const WORDS: [&str; 13] = [
        "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
        "thirteen", "fourteen", "fifteen",
    ];
    word.parse().ok().or_else(|| {
        let place = WORDS.iter().position(|w| *w == word)?;
        u32::try_from(place).ok().map(|n| n + 3)
    })
}

fn stem(word: &str) -> &str {
    word.trim_end_matches("'s").trim_end_matches('s')
}

fn offspring(word: &str) -> bool {
    OFFSPRING.contains(&stem(word))
}

fn always(word: &str) -> bool {
    ALWAYS.contains(&stem(word))
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
            ("son 9, 7 iron tops. 130cm", Some(true)),
            (
                "my 10 yr old daughter, 7 iron, left of target every time",
                Some(true),
            ),
            ("my 9 yr old lefty boy hits all ground balls", Some(true)),
            ("my boy is 13 and slices", Some(true)),
            ("my boy (13) slices", Some(true)),
            ("my son, 15, tops it", Some(true)),
            ("my son, 16, tops it", Some(false)),
            ("daughter 8yo whiffs the 7 iron", Some(true)),
            ("grandson of 7 tops everything", Some(true)),
            ("I'm 14 and a lefty, slice driver", Some(true)),
            ("im 12, driver slice", Some(true)),
            ("i am 15 and hook it", Some(true)),
            ("14 here, slice", Some(true)),
            ("im 68, slice", Some(false)),
            ("my lefty girl misses the ball", Some(true)),
            ("granddaughter keeps missing it", Some(true)),
            ("the kid slices his driver", Some(true)),
            ("I am 5 down with my 7 iron", None),
            ("i'm 9 over after 9", None),
            ("im 12 handicap, slice", None),
            ("i have sliced for 8 years", None),
            ("topping my 3 wood since 8 years", None),
            ("i played a lot as a kid, 7 iron fat", None),
            ("coach here, pupil is 11, tops 7 iron", Some(true)),
            ("my wife and kids say i slice", None),
            ("boy do i slice", None),
            ("my 9 iron is fat", None),
            ("the 7 iron is 8 yards short", None),
            ("divot is 4 and the ball flies low", None),
            ("my twins, 8 and 10, slice", Some(true)),
            ("my twins are 8, they slice", Some(true)),
            ("my grips are 8, slice", None),
        ] {
            assert_eq!(tells_of_child(line), told, "{line}");
        }
    }

    #[test]
    fn an_age_is_not_listed_as_unused() {
        assert!(only_age("yr old daughter", Some(9)));
        assert!(only_age("9", Some(9)));
        assert!(!only_age("9", None));
        assert!(!only_age("old clubs", Some(9)));
    }
}
