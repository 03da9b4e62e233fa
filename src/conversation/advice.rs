//! Is a line about advice that somebody gave? "My friend says keep your head down", "told me to close my
//! stance".
//!
//! Takes a line and the words that name a cause; says whether they stand in advice. Who is told to do a
//! thing has not said that it is done, so the words count for nothing until the golfer says so. "My coach
//! says I sway" tells what was seen, and is no advice.

use crate::reading::Span;

/// What advisers do.
const SAYS: [&str; 19] = [
    "says",
    "said",
    "say",
    "told",
    "tells",
    "tell",
    "advised",
    "advises",
    "suggested",
    "suggests",
    "recommends",
    "recommended",
    "reckons",
    "thinks",
    "wants",
    "telling",
    "saying",
    "insists",
    "keeps",
];

/// Words that begin what is to be done.
const TO_DO: [&str; 34] = [
    "to",
    "should",
    "need",
    "must",
    "ought",
    "keep",
    "hit",
    "close",
    "open",
    "weaken",
    "strengthen",
    "stay",
    "move",
    "try",
    "put",
    "aim",
    "hold",
    "swing",
    "slow",
    "widen",
    "narrow",
    "tuck",
    "drop",
    "turn",
    "release",
    "lean",
    "just",
    "stand",
    "tee",
    "play",
    "grip",
    "stop",
    "get",
    "bend",
];

/// What somebody says is to be done, in its own words: "keep your head down".
pub(super) fn given(line: &str) -> Option<String> {
    let sentence = line.split(['.', ';', '!', '?']).next()?.to_lowercase();
    let words: Vec<&str> = sentence
        .split(|c: char| !c.is_alphanumeric() && c != '\'')
        .filter(|w| !w.is_empty())
        .collect();
    let at = words.iter().position(|w| SAYS.contains(w))?;
    let whom = [
        "me", "i", "that", "him", "her", "us", "you", "to", "should", "need", "must", "ought",
    ];
    let mut rest = words
        .get(at + 1..)?
        .iter()
        .skip_while(|w| whom.contains(w))
        .peekable();
    let to_do = rest.peek().is_some_and(|w| TO_DO.contains(w));
    let rest: Vec<&str> = rest.map(|w| if *w == "your" { "my" } else { w }).collect();
    to_do.then(|| rest.join(" "))
}

/// True if the words stand in advice that was given to the golfer.
pub(super) fn advised(line: &str, said: Span) -> bool {
    let ends = |c: char| ".;!?".contains(c);
    let before = line.get(..said.end).unwrap_or("");
    let sentence = before.rsplit(ends).next().unwrap_or("").to_lowercase();
    let words: Vec<&str> = sentence
        .split(|c: char| !c.is_alphanumeric() && c != '\'')
        .filter(|w| !w.is_empty())
        .collect();
    let Some(at) = words.iter().position(|w| SAYS.contains(w)) else {
        return false;
    };
    // "I say", "I tell myself": not somebody else.
    let by_me = words
        .iter()
        .take(at)
        .any(|w| ["i", "i'd", "i'll", "they'd"].contains(w));
    let whom = [
        "me", "i", "that", "him", "her", "us", "you", "it's", "we", "telling", "saying",
    ];
    let next = words.iter().skip(at + 1).find(|w| !whom.contains(w));
    !by_me && next.is_some_and(|w| TO_DO.contains(w))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_to_be_done_is_found() {
        assert_eq!(
            given("my husband says keep your head down. Is he right?").as_deref(),
            Some("keep my head down")
        );
        assert_eq!(
            given("a mate told me to close my stance").as_deref(),
            Some("close my stance")
        );
        assert_eq!(given("my coach says I sway"), None);
    }

    #[test]
    fn advice_is_told_apart_from_what_was_seen() {
        let all = |line: &str| {
            let (start, end) = (0, line.len());
            advised(line, Span { start, end })
        };
        for line in [
            "my friend says keep my head down",
            "somebody told me to close my stance",
            "a guy at the range said I should hit down more",
            "my pro wants me to weaken my grip",
            "they keep telling me to keep my head down",
            "the video says to hold the lag",
        ] {
            assert!(all(line), "{line}");
        }
        for line in [
            "my coach says I sway",
            "my pro said my grip is too strong",
            "I tell myself to keep my head down",
            "my friend thinks I hang back",
            "fat. my grip is strong",
        ] {
            assert!(!all(line), "{line}");
        }
    }
}
