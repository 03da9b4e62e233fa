//! "It is not the shaft": a cause that the golfer strikes out, whatever question stands.
//!
//! Takes a line; gives the reply where it says of one cause by name that it is not that, and nothing
//! else where the question that stands asks about it. What the golfer said for the cause before no longer
//! counts, and the denial counts as a hint against it: golfers are sure of what they cannot see, so the
//! shots still decide. Makes no sentence.

use std::sync::Arc;

use super::reply::{Block, Question, Reply};
use super::turn::Depth;
use super::{Session, USUAL_HINT, command, openings};
use crate::reading::Polarity;

/// Said before a denial.
const BEFORE: [&str; 12] = [
    "no", "nope", "nah", "but", "well", "yes", "yeah", "actually", "sorry", "ok", "so", "and",
];

/// What denies.
const NOT: [&str; 15] = [
    "it is not ",
    "it is definitely not ",
    "it's not ",
    "its not ",
    "it's definitely not ",
    "its definitely not ",
    "it isn't ",
    "it isnt ",
    "it was not ",
    "it wasn't ",
    "it can't be ",
    "it cant be ",
    "it cannot be ",
    "that's not ",
    "thats not ",
];

/// A name has this many words at most (elicited).
const LONG: usize = 5;

/// What is denied, and what is said after it.
fn what(text: &str) -> Option<(&str, &str)> {
    let text = openings::without(text, &BEFORE, &[' ', ',']);
    let rest = NOT.iter().find_map(|way| text.strip_prefix(way))?;
    let end = rest
        .find([',', '.', ';'])
        .or_else(|| rest.find(" because "))
        .unwrap_or(rest.len());
    let (what, after) = rest.split_at(end);
    let what = openings::without(what, &["the", "my", "his", "her", "a", "down to"], &[' ']);
    let after = after.trim_start_matches([',', '.', ';', ' ']);
    let own = [
        "it", "that", "so", "true", "right", "bad", "me", "always", "really",
    ];
    let named = what.split(' ').count() <= LONG && !what.split(' ').all(|w| own.contains(&w));
    named.then_some((what, after))
}

impl Session {
    /// The reply to a line that says of one cause that it is not that.
    pub(super) fn denied(&mut self, line: &str) -> Option<Reply> {
        self.last.as_ref()?;
        if !matches!(self.talk.pending, Some(Question::Check(_)) | None) {
            return None;
        }
        let text = command::plain(line);
        let (name, after) = what(&text)?;
        // "It's not thin" denies a shot.
        let reading = self.read(name);
        if !reading.findings.is_empty() || !reading.unclear.is_empty() {
            return None;
        }
        let cause = self.named(name).ok()?;
        let base = Arc::clone(self.mind.base());
        if let Some(Question::Check(check)) = &self.talk.pending {
            let check = base.model.checks.get(check.index())?;
            if check.tells.iter().any(|(told, ..)| *told == cause) {
                return None;
            }
        }
        let family = &base.cause(cause).family;
        let trust = base.hint_trust.get(family).copied().unwrap_or(USUAL_HINT);
        self.talk.hints.retain(|(c, ..)| *c != cause);
        self.talk.looked_at.retain(|c| *c != cause);
        self.talk.sounds.retain(|s| s.cause != cause);
        self.talk.hints.push((cause, -trust, name.to_owned()));
        self.talk.pending = None;
        let mut blocks = vec![Block::Hinted {
            causes: vec![(cause, Polarity::Absent)],
            seen: false,
        }];
        if !after.is_empty() {
            let reading = self.read(after);
            if reading.findings.is_empty() && reading.hints.is_empty() {
                blocks.push(Block::Unused(vec![after.to_owned()]));
            } else {
                blocks.extend(self.take_in(&reading, after));
            }
        }
        blocks.extend(self.turn(Depth::Told));
        Some(Reply {
            blocks,
            leave: false,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::what;

    #[test]
    fn what_is_denied_is_found() {
        assert_eq!(what("it is not the shaft"), Some(("shaft", "")));
        assert_eq!(
            what("no, its not my shafts, they were fitted last month"),
            Some(("shafts", "they were fitted last month"))
        );
        for text in ["it's not that", "it is fat", "i do not sway", "not really"] {
            assert_eq!(what(text), None, "{text}");
        }
    }
}
