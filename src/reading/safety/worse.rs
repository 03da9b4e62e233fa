//! Is a part of the body said to have got worse?
//!
//! Takes the words of the line and the place of a part; gives where the telling ends. "My back got
//! worse", "the elbow is a lot worse today", "it made my back worse"; not "my hip turn got worse",
//! where something else stands between, nor "the slice is back worse than ever". What a part is, and
//! whose, is not known here.

use super::scope::{clause, word};
use super::words::Token;

/// Words that may stand between a part and "worse".
#[rustfmt::skip]
const BETWEEN: &[&str] = &[
    "is", "are", "was", "were", "got", "get", "gets", "getting", "gotten", "has", "have", "had",
    "been", "be", "became", "becomes", "becoming", "feel", "feels", "felt", "feeling", "went",
    "gone", "going", "keeps", "seems", "seem", "much", "a", "lot", "bit", "little", "even", "now",
    "really", "just", "only", "definitely", "today", "again", "still", "far", "way", "any", "right",
    "s", "so", "loads", "all", "the", "thing", "actually", "slowly", "steadily", "side", "which",
    "that", "it", "its", "and", "quite", "does", "did",
];

/// Most words between a part and "worse".
const MOST: usize = 7;

/// Where "worse" of the part at `from..to` ends; none if the part is not said to be worse.
pub(super) fn got_worse(tokens: &[Token], from: usize, to: usize) -> Option<usize> {
    let owned = (from.checked_sub(1)).is_some_and(|at| {
        let w = word(tokens, at);
        let side = matches!(
            w,
            "left" | "right" | "lead" | "trail" | "lower" | "upper" | "bad"
        );
        matches!(w, "my" | "the" | "your" | "this" | "that" | "poor" | "sore") || side
    });
    let opens = from == 0 || clause(tokens, from) != clause(tokens, from.saturating_sub(1));
    let here = clause(tokens, from);
    for at in to..(to + MOST).min(tokens.len()) {
        if clause(tokens, at) != here {
            return None;
        }
        match word(tokens, at) {
            "worse" | "worsened" | "worsening" | "worsens" => {
                return (owned || opens).then_some(at + 1);
            }
            between if BETWEEN.contains(&between) => {}
            _ => return None,
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::words::{cut, tokens};
    use super::*;

    #[test]
    fn worse_is_heard_of_a_part_alone() {
        let heard = |line: &str, part: &str| {
            let mut tokens = tokens(line);
            cut(&mut tokens);
            let at = tokens.iter().position(|t| t.text == part).unwrap_or(0);
            got_worse(&tokens, at, at + 1).is_some()
        };
        for (line, part, told) in [
            ("my back got worse", "back", true),
            ("the elbow is worse today", "elbow", true),
            ("my shoulder got worse after the drill", "shoulder", true),
            ("back worse today", "back", true),
            ("my knee has been getting a lot worse", "knee", true),
            ("it made my back worse", "back", true),
            ("wrist worsened", "wrist", true),
            ("the slice is back worse than ever", "back", false),
            ("my hip turn got worse", "hip", false),
            ("my back is fine, the slice got worse", "back", false),
        ] {
            assert_eq!(heard(line, part), told, "{line}");
        }
    }
}
