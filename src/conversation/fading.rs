//! "It helped for a bit, then they came back", "I already tried that": words on practice that are neither
//! a yes nor a no.
//!
//! Takes a line while something is agreed to practise; says what it means and leaves what is being
//! counted as it is. Weighs nothing: what fades speaks neither for nor against a cause.

use super::names::spoken;
use super::note::Note;
use super::reply::{Block, Question, Reply};
use super::{Session, command};

/// Words of help.
const HELPED: [&str; 8] = [
    "helped", "worked", "better", "gone", "fixed", "cured", "good", "fine",
];

/// Ways of saying that it came back.
const BACK: [&str; 26] = [
    "came back",
    "come back",
    "comes back",
    "coming back",
    "crept back",
    "creeping back",
    "back again",
    "its back",
    "it is back",
    "theyre back",
    "they are back",
    "are back",
    "is back",
    "back to normal",
    "back to square one",
    "back with a vengeance",
    "wore off",
    "worn off",
    "didnt last",
    "doesnt last",
    "never lasts",
    "lost it again",
    "returned",
    "same again",
    "for a bit then",
    "started again",
];

/// Beginnings of "I have tried that".
const TRIED: [&str; 18] = [
    "i already tried that",
    "ive already tried that",
    "i have already tried that",
    "already tried that",
    "i tried that",
    "tried that",
    "ive tried that",
    "i have tried that",
    "already tried it",
    "i already tried it",
    "ive tried it",
    "been there done that",
    "i already do that",
    "i do that already",
    "i already did that",
    "ive done that",
    "done that",
    "tried this",
];

/// Words that may follow and say nothing of how it went.
const WHEN: [&str; 22] = [
    "already",
    "before",
    "last",
    "year",
    "years",
    "ago",
    "week",
    "month",
    "a",
    "few",
    "times",
    "once",
    "loads",
    "of",
    "lots",
    "many",
    "many times",
    "in",
    "the",
    "past",
    "and",
    "it",
];

/// Asks what follows if practice does not help.
const FAILS: [&str; 12] = [
    "it doesnt help",
    "it doesnt work",
    "it does not help",
    "it does not work",
    "that doesnt help",
    "that doesnt work",
    "this doesnt help",
    "this doesnt work",
    "it fails",
    "it makes no difference",
    "it wont help",
    "nothing changes",
];

/// True for "what if it doesn't help".
fn asks_if_it_fails(text: &str) -> bool {
    let plain = spoken(text).join(" ");
    let rest = plain
        .strip_prefix("what if ")
        .or_else(|| plain.strip_prefix("and if "))
        .or_else(|| plain.strip_prefix("but what if "))
        .or_else(|| plain.strip_prefix("and what if "));
    rest.is_some_and(|rest| FAILS.contains(&rest))
}

/// Says by itself that what had come is lost.
const LOST: [&str; 9] = [
    "gone again",
    "went again",
    "lost it again",
    "its come back again",
    "as bad as ever",
    "back to square one",
    "back with a vengeance",
    "back where i started",
    "back to where i was",
];

/// True if the line says that it helped and then faded.
fn fades(text: &str) -> bool {
    let plain = spoken(text).join(" ");
    if LOST.iter().any(|lost| plain.contains(lost)) {
        return true;
    }
    let told = plain.split(' ').any(|w| HELPED.contains(&w));
    told && BACK.iter().any(|back| plain.contains(back))
}

/// "I already tried that": whether it is said to have failed; none if the line is something else.
fn tried(text: &str) -> Option<bool> {
    let plain = spoken(text).join(" ");
    let rest = TRIED.iter().find_map(|way| plain.strip_prefix(way))?;
    let failed = [
        "didnt work",
        "didnt help",
        "no good",
        "no use",
        "no joy",
        "no difference",
        "never worked",
    ]
    .iter()
    .any(|no| rest.contains(no));
    let empty = rest.split_whitespace().all(|w| WHEN.contains(&w));
    (failed || empty).then_some(failed)
}

impl Session {
    /// The reply to such a word; none if nothing is agreed or the line is something else.
    pub(super) fn faded(&mut self, line: &str) -> Option<Reply> {
        let (cause, _) = self.talk.prescribed?;
        if asks_if_it_fails(line) {
            return Some(self.and_the_question(vec![Block::Note(Note::IfItFails(cause))]));
        }
        if self.talk.held.is_some() || line.contains('?') {
            return None;
        }
        if fades(line) {
            let faded = Block::Note(Note::Faded(cause));
            // "Yes. But next morning it was gone again": the yes is to the question that stands.
            let first = line
                .split(['.', ',', ';', '!'])
                .next()
                .unwrap_or("")
                .to_owned();
            let yes_or_no = matches!(
                command::plain(&first).as_str(),
                "yes" | "yep" | "yeah" | "no" | "nope"
            );
            if let Some(question @ Question::Fresh { .. }) =
                self.talk.pending.clone().filter(|_| yes_or_no)
            {
                let mut reply = self.answer(&question, &first);
                reply.blocks.push(faded);
                return Some(reply);
            }
            return Some(self.and_the_question(vec![faded]));
        }
        if tried(line)? {
            return self.practised(false, line);
        }
        Some(self.and_the_question(vec![Block::Note(Note::TriedAlready(cause))]))
    }
}

#[cfg(test)]
mod tests {
    use super::{fades, tried};

    #[test]
    fn what_came_back_is_no_help() {
        for text in [
            "it helped for a bit then they came back",
            "it worked monday but today its back",
            "better at first, then the shanks crept back",
        ] {
            assert!(fades(text), "{text}");
        }
        for text in ["it helped", "i came back to the course", "weight is back"] {
            assert!(!fades(text), "{text}");
        }
        assert_eq!(tried("i already tried that"), Some(false));
        assert_eq!(tried("tried that last year didnt work"), Some(true));
        assert_eq!(tried("tried that drill with the towel, 7 of 20"), None);
        assert_eq!(tried("i tried a new grip"), None);
    }
}
