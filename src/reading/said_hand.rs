//! Which hand does the golfer say to play from?
//!
//! Takes the phrases found in a message; gives the hand and the words that tell it. A mate's hand is
//! no golfer's of this talk, and one's own told as one's own comes before that of a son or a pupil.
//! What the words left and right then mean is decided in the phrases.

use super::Phrases;
use super::phrases::{Match, Word};
use crate::knowledge::lexicon::Meaning;
use crate::vocabulary::Hand;

/// Somebody beside whom the golfer plays.
const MATES: [&str; 16] = [
    "brother",
    "brothers",
    "mate",
    "mates",
    "buddy",
    "friend",
    "friends",
    "dad",
    "father",
    "uncle",
    "coach",
    "pro",
    "boss",
    "neighbour",
    "neighbor",
    "bloke",
];

/// The hand said, with the first of its words and one past the last. `known` is the hand known before.
pub(super) fn find(
    phrases: &Phrases,
    (words, matches): (&[Word], &[Match]),
    line: &str,
    known: Option<Hand>,
) -> Option<(Hand, usize, usize)> {
    let hands = || {
        matches.iter().filter_map(|m| match phrases.meaning(m) {
            Some(Meaning::Hand(hand)) => Some((*hand, m.from, m.to)),
            _ => None,
        })
    };
    let before = |from: usize| {
        let start = words.get(from).map_or(0, |w| w.span.start);
        line.get(..start).unwrap_or("")
    };
    let after = |to: usize| {
        let end = to.checked_sub(1).and_then(|last| words.get(last));
        end.and_then(|w| line.get(w.span.end..)).unwrap_or("")
    };
    let own = hands().find(|(_, from, to)| is_mine(before(*from)) && speaks_of_oneself(after(*to)));
    let (hand, from, to) = own.or_else(|| hands().next())?;
    let (before, after) = (before(from), after(to));
    if has_his_say(before, after)
        || is_a_mates(before) && (known.is_some() || beside(before, after))
    {
        return None;
    }
    let hand = if is_denied(before) {
        hand.mirrored()
    } else {
        hand
    };
    Some((hand, from, to))
}

/// Words of a text in lower case, without apostrophes.
fn plain(text: &str) -> Vec<String> {
    let text = text.to_lowercase().replace(['\'', '\u{2019}'], "");
    let words = text.split(|c: char| !c.is_alphanumeric());
    words.filter(|w| !w.is_empty()).map(str::to_owned).collect()
}

/// "Me, right-handed, I don't slice": what follows goes on about the speaker, and not about a pupil.
fn speaks_of_oneself(after: &str) -> bool {
    const ONESELF: [&str; 6] = ["i", "im", "ive", "my", "me", "mine"];
    const OF_OTHERS: [&str; 8] = ["he", "she", "his", "her", "him", "they", "hes", "shes"];
    let words = plain(after);
    let mut told = words.iter().filter_map(|w| {
        let own = ONESELF.contains(&w.as_str());
        (own || OF_OTHERS.contains(&w.as_str())).then_some(own)
    });
    told.next().unwrap_or(false)
}

/// "Not a lefty", "I'm not left handed".
fn is_denied(before: &str) -> bool {
    let words = plain(
        before
            .rsplit(['.', ',', ';', '!', '?', '\n'])
            .next()
            .unwrap_or(""),
    );
    let last = words
        .iter()
        .rev()
        .find(|w| !["a", "the"].contains(&w.as_str()));
    last.is_some_and(|w| ["not", "isnt", "aint", "arent"].contains(&w.as_str()))
}

/// "My mate is a lefty, I slice my driver", "driver slices, my brother is left handed": a mate beside the
/// golfer whose shots are told.
fn beside(before: &str, after: &str) -> bool {
    const FOR_HIM: [&str; 7] = [
        "for", "helping", "teaching", "coaching", "about", "of", "asking",
    ];
    let clause = before
        .rsplit(['.', ';', '!', '?', '\n'])
        .next()
        .unwrap_or("");
    let words = plain(clause);
    let mate = words.iter().rposition(|w| MATES.contains(&w.as_str()));
    let told_before = mate.is_some_and(|at| {
        let led = words.get(..at).unwrap_or(&[]);
        let lead: Vec<&str> = led
            .iter()
            .map(String::as_str)
            .filter(|w| *w != "my")
            .collect();
        lead.len() >= 2 && lead.last().is_some_and(|w| !FOR_HIM.contains(w))
    });
    told_before || speaks_of_oneself(after)
}

/// "My lefty mate says", "my brother is left handed and reckons": somebody whose word is told, and whose
/// hand is no golfer's of this talk. `before` and `after` are the text on both sides of the hand.
fn has_his_say(before: &str, after: &str) -> bool {
    const SAYS: [&str; 12] = [
        "says",
        "said",
        "say",
        "told",
        "tells",
        "reckons",
        "reckoned",
        "thinks",
        "thought",
        "suggests",
        "suggested",
        "swears",
    ];
    /// Words looked forward over (elicited).
    const ON: usize = 6;
    let clause = after.split(['.', ';', '!', '?', '\n']).next().unwrap_or("");
    let clause = clause.to_lowercase();
    let words = || {
        clause
            .split(|c: char| !c.is_alphanumeric())
            .filter(|w| !w.is_empty())
    };
    let near = words().take(2).collect::<Vec<_>>().join(" ");
    (is_a_mates(before) || is_a_mates(&near)) && words().take(ON).any(|w| SAYS.contains(&w))
}

/// "Me, right-handed", "I'm a lefty": the hand said there is the speaker's own. `before` is the text up
/// to the words of the hand.
fn is_mine(before: &str) -> bool {
    const MINE: [&str; 4] = ["me", "im", "am", "myself"];
    let text = before.to_lowercase().replace(['\'', '\u{2019}'], "");
    let mut words = text
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty() && !["a", "the"].contains(w));
    words.next_back().is_some_and(|w| MINE.contains(&w))
}

/// "My brother, who is right-handed": the hand said there is no golfer's of this talk. `before` is the
/// text up to the words of the hand.
fn is_a_mates(before: &str) -> bool {
    /// Words looked back over (elicited).
    const BACK: usize = 4;
    let clause = before.rsplit(['.', ';', '!', '?', '\n']).next();
    let clause = clause.unwrap_or("").to_lowercase();
    let mut words = clause
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .rev();
    words.by_ref().take(BACK).any(|w| MATES.contains(&w))
}
