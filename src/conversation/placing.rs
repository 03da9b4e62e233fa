//! Which clubs, and from what ground, said by itself: "with my irons", "it's all off mats".
//!
//! Takes a line; where it says clubs or a lie and nothing of the shots, what was told without them is
//! taken to be of them. Ground that is said to be always so holds for what is told later too, but for
//! balls on a peg. Invariant: clubs or a lie that were said are never replaced here. Judges nothing.

use super::Session;
use super::note::Note;
use super::reply::Block;
use super::turn;
use crate::reading::{Pattern, Reading};
use crate::vocabulary::LieId;

/// Words that say of ground that it is always this.
const ALWAYS: [&str; 12] = [
    "only",
    "always",
    "all",
    "every",
    "everything",
    "never",
    "just",
    "mostly",
    "exclusively",
    "whole",
    "nothing",
    "mainly",
];

/// Words beside clubs or ground that say nothing of the shots.
const QUIET: [&str; 26] = [
    "mostly",
    "mainly",
    "usually",
    "play",
    "off",
    "play off",
    "practise",
    "practice",
    "ground",
    "here",
    "really",
    "club",
    "clubs",
    "it's",
    "its",
    "that's",
    "only",
    "sorry",
    "wet",
    "anyway",
    "think",
    "range",
    "way",
    "either",
    "the range",
    "everything",
];

/// More words than this tell a story.
const LONG: usize = 10;

impl Session {
    /// The clubs and the lie that these words say by themselves.
    fn own_scope(&self, text: &str) -> Option<Pattern> {
        let alone = self.read_apart(text);
        let nothing_else = alone.findings.is_empty()
            && alone.hints.is_empty()
            && alone.history.is_empty()
            && alone.unclear.is_empty();
        let said = !alone.scope.groups.is_empty() || alone.scope.lie.is_some();
        (nothing_else && said).then_some(alone.scope)
    }

    /// Notes ground that a sentence of the line says is always so: "I only play off mats".
    pub(super) fn note_ground(&mut self, line: &str, unused: &mut Vec<String>) {
        let ground = line.split(['.', ';', '!', ',']).find_map(|sentence| {
            let lower = sentence.to_lowercase();
            let mut said = lower.split(|c: char| !c.is_alphanumeric());
            let always = said.any(|w| ALWAYS.contains(&w));
            always
                .then(|| self.own_scope(sentence)?.lie)
                .flatten()
                .filter(|_| !sentence.contains('?'))
        });
        if ground.is_some() {
            self.talk.ground = ground;
            unused.retain(|w| !quiet(w));
        }
    }

    /// The lie of a finding: the one said with it, else the ground that is always so.
    pub(super) fn lie_of(&self, said: &Pattern) -> Option<LieId> {
        said.lie
            .or_else(|| self.talk.ground.filter(|_| !self.on_a_peg(said)))
    }

    /// True if the ball stands on a peg with these clubs, unless otherwise said.
    fn on_a_peg(&self, said: &Pattern) -> bool {
        let groups = &self.base().model.groups;
        let teed = |g: &crate::vocabulary::GroupId| groups.get(g.index()).is_some_and(|m| m.teed);
        !said.groups.is_empty() && said.groups.iter().all(teed)
    }

    /// What was told without clubs or lie, now with those of this line; nothing if the line says more.
    pub(super) fn placed(&mut self, reading: &Reading, line: &str) -> Option<Block> {
        let nothing_else = reading.findings.is_empty()
            && reading.hints.is_empty()
            && reading.history.is_empty()
            && reading.corrections.is_empty()
            && reading.topics.is_empty()
            && reading.unused.iter().all(|s| quiet(s.of(line)));
        if !nothing_else || line.contains('?') || line.split_whitespace().count() > LONG {
            return None;
        }
        let own = self.own_scope(line)?;
        let lie = own.lie.or(self.talk.ground);
        let mut changed = false;
        let pegs: Vec<bool> = (self.talk.statements.iter())
            .map(|s| self.on_a_peg(&s.finding.pattern))
            .collect();
        for (statement, peg) in self.talk.statements.iter_mut().zip(pegs) {
            let pattern = &mut statement.finding.pattern;
            if statement.dropped {
                continue;
            }
            if pattern.groups.is_empty() && pattern.clubs.is_empty() && !own.groups.is_empty() {
                pattern.clubs.clone_from(&own.clubs);
                pattern.groups.clone_from(&own.groups);
                changed = true;
            }
            if pattern.lie.is_none() && lie.is_some() && !peg {
                pattern.lie = lie;
                changed = true;
            }
        }
        if changed {
            return Some(Block::Understood(turn::heard(&self.talk, None)));
        }
        let known = self.talk.statements.iter().any(|s| !s.dropped);
        let new = !known
            || !own.groups.is_empty()
                && (self.talk.statements.iter())
                    .filter(|s| !s.dropped)
                    .all(|s| s.finding.pattern.groups != own.groups);
        new.then_some(Block::Note(Note::PlaceAlone(own)))
    }
}

/// True if a word beside clubs or ground says nothing more.
fn quiet(words: &str) -> bool {
    words
        .to_lowercase()
        .split_whitespace()
        .all(|w| QUIET.contains(&w.trim_matches(|c: char| !c.is_alphanumeric() && c != '\'')))
}
