//! Does a "no" to the question about pain clear it? Only a plain one does.
//!
//! "No but it swells up", "only the next morning", "not my back so much as my knee" hold back more than
//! they clear, and "it didn't help" is no answer at all. Takes the line; gives what its "no" is worth.
//! Knows nothing of what hurts.

use super::names::spoken;

/// What a "no" says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum No {
    /// None of it.
    Plain,
    /// No, and yet.
    Qualified,
    /// No to something else.
    Elsewhere,
}

/// Words that take something back from a "no".
const QUALIFIES: [&str; 34] = [
    "but",
    "except",
    "only",
    "though",
    "although",
    "unless",
    "until",
    "till",
    "when",
    "whenever",
    "after",
    "afterwards",
    "sometimes",
    "occasionally",
    "rather",
    "however",
    "other",
    "swells",
    "swelling",
    "swollen",
    "swell",
    "puffy",
    "morning",
    "mornings",
    "night",
    "nights",
    "later",
    "worse",
    "yet",
    "instead",
    "apart",
    "if",
    "depends",
    "always",
];

/// Words of results and of work: what is denied then is no pain.
const ELSEWHERE: [&str; 12] = [
    "help",
    "helped",
    "helping",
    "work",
    "worked",
    "working",
    "difference",
    "nowt",
    "change",
    "changed",
    "improve",
    "improved",
];

/// What the "no" of a line is worth.
pub(super) fn no_of(line: &str) -> No {
    let said = spoken(line);
    let any = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
    let text = said.join(" ");
    if any(&ELSEWHERE) {
        No::Elsewhere
    } else if any(&QUALIFIES) && !fine_besides(&text) || text.contains("so much") {
        No::Qualified
    } else {
        No::Plain
    }
}

/// What follows the "but" tells of the swing and not of the body: "no but I still top it".
fn fine_besides(text: &str) -> bool {
    const STILL: [&str; 8] = [
        "but i still",
        "but im still",
        "but the ball",
        "but the shots",
        "but thanks",
        "but my shots",
        "but the chunks",
        "if anything no",
    ];
    STILL.iter().any(|still| text.contains(still))
}

#[cfg(test)]
mod tests {
    use super::{No, no_of};

    #[test]
    fn only_a_plain_no_clears() {
        for line in [
            "no",
            "nope, nothing like that",
            "no, none of those, I'm just stiff",
            "not at all",
            "no but i still top it",
        ] {
            assert_eq!(no_of(line), No::Plain, "{line}");
        }
        for line in [
            "no but it swells up after",
            "not really, only the next morning",
            "not my back so much as my knee",
            "no, except when I bend",
            "no, it's worse at night",
        ] {
            assert_eq!(no_of(line), No::Qualified, "{line}");
        }
        for line in ["it didnt help", "it didn't do nowt", "no difference"] {
            assert_eq!(no_of(line), No::Elsewhere, "{line}");
        }
    }
}
