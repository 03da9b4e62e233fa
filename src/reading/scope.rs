//! With which clubs, from which lie? Phrases and numbers in, a list of mentions out, and for any
//! word the pattern it speaks of.
//!
//! A mention covers "7 and 8 irons" or "driver, 3 wood"; its digits are used up and never measure
//! anything. A word takes the club of its own clause, else the one named before, else the first
//! one of the line, else what the talk was about. A chip or pitch narrows to a part shot and keeps
//! the wedge named before.

use std::collections::BTreeSet;

use super::Pattern;
use super::bare_clubs::{bare_club, bare_list};
use super::clauses::{Line, is_club};
use super::club_names::{club_mention, joins};
use super::club_ranges;
use super::heads;
use super::letters::Mark;
use crate::knowledge::lexicon::{Meaning, Reach, Role};
use crate::vocabulary::{ClubId, GroupId, LieId};

/// Clubs named at a place.
#[derive(Debug, Clone)]
pub(super) struct Mention {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) pattern: Pattern,
    pub(super) reach: Reach,
    /// The clubs joined here, in the order said; none if it was one.
    pub(super) parts: Vec<Pattern>,
}

impl Mention {
    /// Clubs named as such.
    pub(super) const fn named(from: usize, to: usize, pattern: Pattern) -> Self {
        Self {
            from,
            to,
            pattern,
            reach: Reach::Named,
            parts: Vec::new(),
        }
    }
}

/// All clubs and lies of a line.
#[derive(Debug, Default)]
pub(super) struct Scope {
    pub(super) clubs: Vec<Mention>,
    /// Stretches of the bag ("anything longer than a 6 iron"), as words from and to: what their words
    /// would say by themselves is not meant.
    stretches: Vec<(usize, usize)>,
    pub(super) lies: Vec<(usize, LieId)>,
    before: Pattern,
    /// Words before this one do not speak of the first clubs: their sentence tells of its own.
    first_told_from: usize,
    /// The first clubs and the only lie stand in clauses that say no more.
    first_bare: bool,
    lie_bare: bool,
}

pub(super) fn add_club(pattern: &mut Pattern, club: ClubId, group: Option<GroupId>) {
    pattern.clubs.push(club);
    pattern.groups.extend(group);
    tidy(pattern);
}

pub(super) fn tidy(pattern: &mut Pattern) {
    pattern.clubs.sort_unstable();
    pattern.clubs.dedup();
    pattern.groups.sort_unstable();
    pattern.groups.dedup();
}

impl Scope {
    /// Finds clubs and lies and uses up their words.
    pub(super) fn find(line: &mut Line<'_>, before: &Pattern) -> Self {
        let mut scope = Self {
            before: before.clone(),
            ..Self::default()
        };
        let matches = line.matches.clone();
        let mut at = 0;
        while at < line.words.len() {
            let bare = bare_list(line, at)
                .or_else(|| bare_club(line, at))
                .or_else(|| club_ranges::bare(line, at));
            if let Some(mention) = bare {
                at = mention.to;
                line.use_words(mention.from, mention.to);
                scope.clubs.push(mention);
                continue;
            }
            // "Fat with a full swing", after a part shot: the club again.
            if let Some(mut again) = scope.full_swing(line, at) {
                again.from = at;
                again.to = at + 2;
                line.use_words(at, at + 2);
                scope.clubs.push(again);
                at += 2;
                continue;
            }
            let Some(found) = line
                .phrase_at
                .get(at)
                .copied()
                .flatten()
                .and_then(|m| matches.get(m))
            else {
                at += 1;
                continue;
            };
            if found.from != at {
                at += 1;
                continue;
            }
            match line.phrases.meaning(found) {
                Some(Meaning::Lie(_)) if is_no_lie(line, found.from) => {}
                Some(Meaning::Lie(_)) if makes_no_difference(line, found.from, found.to) => {}
                Some(Meaning::Lie(lie)) => {
                    scope.lies.push((found.from, *lie));
                    // "Off four tees": the number counts them.
                    for i in found.from..found.to {
                        if line.words.get(i).is_some_and(|w| w.number.is_none()) {
                            line.use_words(i, i + 1);
                        }
                    }
                }
                Some(Meaning::PartShot) => {
                    let pattern = Pattern {
                        part_shot: true,
                        ..Pattern::default()
                    };
                    line.use_words(found.from, found.to);
                    scope
                        .clubs
                        .push(Mention::named(found.from, found.to, pattern));
                }
                Some(meaning) if is_club(meaning) => {
                    if let Some(mention) = club_mention(line, found.from, found.to, meaning) {
                        line.use_words(mention.from, mention.to);
                        at = mention.to.max(at + 1) - 1;
                        scope.clubs.push(mention);
                    }
                }
                _ => {}
            }
            at += 1;
        }
        scope.stretches = club_ranges::widen(line, &mut scope.clubs);
        scope.join_neighbours(line);
        heads::take_up(line, &mut scope.clubs);
        heads::point_back(line, &mut scope.clubs);
        scope.take_exceptions(line);
        scope.take_others(line);
        scope.first_told_from = scope.clubs.first().map_or(0, |m| told_from(line, m));
        scope.first_bare = scope.clubs.first().is_some_and(|m| is_bare(line, m));
        scope.lie_bare = scope
            .lies
            .first()
            .is_some_and(|(at, _)| !says_something(line, *at));
        scope
    }

    /// The club before a part shot, where a full swing is named again.
    fn full_swing(&self, line: &Line<'_>, at: usize) -> Option<Mention> {
        let name = |i: usize| {
            let word = line.words.get(i).and_then(|w| w.symbol);
            word.map_or("", |s| line.phrases.vocabulary.name(s))
        };
        let full =
            name(at) == "full" && matches!(name(at + 1), "swing" | "swings" | "shot" | "shots");
        let part = self.clubs.iter().any(|m| m.pattern.part_shot);
        let free = matches!(line.meaning_at(at), None | Some(Meaning::Word(_)));
        if !(full && part && free) {
            return None;
        }
        self.clubs.iter().rfind(|m| !m.pattern.part_shot).cloned()
    }

    /// "Driver and 3 wood": two mentions with nothing but a joint between are one.
    fn join_neighbours(&mut self, line: &mut Line<'_>) {
        let mut joined: Vec<Mention> = Vec::new();
        for mut mention in self.clubs.drain(..) {
            // "Chips with the lob wedge": one of its clubs.
            if let Some(last) = joined.last().filter(|last| narrows(line, last, &mention)) {
                mention.pattern.part_shot = true;
                line.use_words(last.to, mention.from);
                mention.from = last.from;
                joined.pop();
                joined.push(mention);
                continue;
            }
            let near = joined.last().is_some_and(|last: &Mention| {
                last.to <= mention.from
                    && mention.from - last.to <= 3
                    && joins(line, last.to, mention.from)
                    && !speaks_anew(line, last, &mention)
                    && !denied(line, last.from)
                    && !opens_anew(line, last, &mention)
                    && !heads::names_again(line, last, &mention)
                    && !is_denied_after(line, &mention)
                    && last.pattern.part_shot == mention.pattern.part_shot
                    && (last.reach == Reach::Named) == (mention.reach == Reach::Named)
            });
            match joined.last_mut() {
                Some(last) if near => {
                    line.use_words(last.to, mention.from);
                    if last.parts.is_empty() {
                        last.parts.push(last.pattern.clone());
                    }
                    last.parts.push(mention.pattern.clone());
                    last.pattern.clubs.extend(mention.pattern.clubs);
                    last.pattern.groups.extend(mention.pattern.groups);
                    last.to = mention.to;
                    tidy(&mut last.pattern);
                }
                _ => joined.push(mention),
            }
        }
        self.clubs = joined;
    }

    /// "Everything but the driver": what follows is taken away from what stands before.
    fn take_exceptions(&mut self, line: &Line<'_>) {
        for later in 1..self.clubs.len() {
            let (head, tail) = self.clubs.split_at_mut(later);
            let (Some(first), Some(second)) = (head.last_mut(), tail.first()) else {
                continue;
            };
            let excepted = (first.to..second.from).any(|i| {
                line.role_at(i) == Some(Role::Except)
                    || (first.reach == Reach::AnyShot && line.role_at(i) == Some(Role::Break))
            });
            if excepted && line.sentence.get(first.from) == line.sentence.get(second.from) {
                first.reach = Reach::Named;
                first
                    .pattern
                    .groups
                    .retain(|group| !second.pattern.groups.contains(group));
                let touching = (first.to..second.from).all(|i| {
                    line.words.get(i).is_some_and(|w| w.filler)
                        || matches!(line.role_at(i), Some(Role::Except | Role::Break))
                });
                if touching && !says_something(line, first.from) {
                    // What follows is said of the rest: "everything but the driver is fine".
                    let rest = first.pattern.clone();
                    if let Some(second) = self.clubs.get_mut(later) {
                        second.pattern = rest;
                    }
                }
            }
        }
    }

    /// "The rest" is what the line does not name; "everything" without an exception names no club.
    fn take_others(&mut self, line: &Line<'_>) {
        let named: BTreeSet<GroupId> = self
            .clubs
            .iter()
            .filter(|m| m.reach == Reach::Named)
            .flat_map(|m| m.pattern.groups.iter().copied())
            .collect();
        let well: BTreeSet<Option<&usize>> = (0..line.words.len())
            .filter(|i| matches!(line.meaning_at(*i), Some(Meaning::AllWell)))
            .map(|i| line.clause.get(i))
            .collect();
        for mention in &mut self.clubs {
            if matches!(mention.reach, Reach::Others | Reach::Rest) {
                mention.pattern.groups.retain(|g| !named.contains(g));
            }
        }
        self.clubs.retain(|m| match m.reach {
            Reach::Named => true,
            Reach::Others => !named.is_empty(),
            Reach::Rest => {
                !named.is_empty()
                    && well.contains(&line.clause.get(m.from))
                    && !shares(line, m.from)
            }
            Reach::AnyShot => false,
        });
    }

    /// True if words lie inside a stretch of the bag: "longer than a 6 iron" is no complaint.
    pub(super) fn in_stretch(&self, from: usize, to: usize) -> bool {
        let next = self.stretches.partition_point(|(_, end)| *end <= from);
        let stretch = self.stretches.get(next);
        stretch.is_some_and(|(start, end)| *start <= from && to <= *end)
    }

    /// True if the clause of a word names clubs or a lie itself.
    pub(super) fn named_in_clause(&self, line: &Line<'_>, at: usize) -> bool {
        let clause = line.clause.get(at);
        let club = |end: &dyn Fn(&Mention) -> usize| {
            let first = self
                .clubs
                .partition_point(|m| line.clause.get(end(m)) < clause);
            self.clubs
                .get(first)
                .is_some_and(|m| line.clause.get(end(m)) == clause)
        };
        let lie = self
            .lies
            .partition_point(|(i, _)| line.clause.get(*i) < clause);
        // "Driver - good": a mark and nothing else between.
        let before = self.clubs.partition_point(|m| m.to <= at);
        let beside = before
            .checked_sub(1)
            .and_then(|i| self.clubs.get(i))
            .is_some_and(|m| {
                at - m.to <= 3
                    && line.sentence.get(m.from) == line.sentence.get(at)
                    && (m.to..at).all(|i| {
                        line.words
                            .get(i)
                            .is_some_and(|w| w.filler || w.mark.is_some())
                    })
            });
        beside
            || club(&|m| m.from)
            || club(&|m| m.to - 1)
            || self
                .lies
                .get(lie)
                .is_some_and(|(i, _)| line.clause.get(*i) == clause)
    }

    /// The pattern a word speaks of.
    pub(super) fn pattern_at(&self, line: &Line<'_>, at: usize) -> Pattern {
        self.pattern_of(line, at, at)
    }

    /// The pattern that words up to `to` speak of as a whole.
    pub(super) fn pattern_of(&self, line: &Line<'_>, at: usize, to: usize) -> Pattern {
        let mut pattern = self.clubs_at(line, at, to);
        pattern.lie = self.lie_at(line, at).or(pattern.lie);
        pattern
    }

    fn clubs_at(&self, line: &Line<'_>, at: usize, to: usize) -> Pattern {
        let after = self.clubs.partition_point(|m| m.from <= at);
        // "The rest of the bag is fine" as a whole says something of the club named before.
        let of_it = |m: &&Mention| {
            let rest = matches!(m.reach, Reach::Others | Reach::Rest);
            !(rest && at < m.to && m.from < to)
        };
        let (earlier, later) = self.clubs.split_at(after);
        let before = earlier.iter().rev().take(2).find(of_it);
        let next = later.iter().take(2).find(of_it);
        let here = |m: &&Mention| line.same_clause(m.from, at);
        // "Thin now, mostly 5 and 6 iron": clubs in a clause that says no more, unless those
        // before stand in such a clause as well ("driver: toe, 4 iron: low").
        let in_sentence = |m: &Mention| line.sentence.get(m.from) == line.sentence.get(at);
        let follows = |m: &&Mention| {
            let (_, end) = line.clause_range(at);
            in_sentence(m)
                && line.same_clause(m.from, end)
                && is_bare(line, m)
                && !before.is_some_and(|b| in_sentence(b) && is_bare(line, b))
        };
        // "Driver ok but chunking chips": past the "but" the club that follows.
        let parted = |m: &&Mention| {
            next.as_ref().is_some_and(here)
                && (m.to..at).any(|i| line.role_at(i) == Some(Role::Break))
        };
        let near = before.filter(here).filter(|m| !parted(m));
        let named = near.or(next.filter(here));
        if let Some(mention) = named.or(next.filter(follows)).or(before) {
            let mut pattern = self.with_carried(Some(line), mention);
            pattern.part_shot |= self.only_part_shots(line, mention);
            return pattern;
        }
        match self.clubs.first() {
            Some(first)
                if self.first_bare
                    || self.before == Pattern::default() && self.reaches_back(at) =>
            {
                first.pattern.clone()
            }
            _ => self.before.clone(),
        }
    }

    /// "Half swings only, fat with the wedge": part shots that a clause of their own names, for the clubs
    /// after them in the sentence.
    fn only_part_shots(&self, line: &Line<'_>, mention: &Mention) -> bool {
        let Some(first) = self.clubs.first() else {
            return false;
        };
        first.from < mention.from
            && first.pattern.part_shot
            && first.pattern.clubs.is_empty()
            && self.first_bare
            && self.clubs.iter().filter(|m| m.pattern.part_shot).count() == 1
            && line.sentence.get(first.from) == line.sentence.get(mention.from)
            && self.clubs.get(1).is_some_and(|m| m.from == mention.from)
    }

    /// True if the first clubs of a line may be those of a word before them: not if they stand in
    /// a later sentence that tells something of its own ("I slice. My 7 iron is fat").
    fn reaches_back(&self, at: usize) -> bool {
        at >= self.first_told_from
    }

    /// A chip keeps the wedge that was named before it, and nothing from before a "but".
    fn with_carried(&self, line: Option<&Line<'_>>, mention: &Mention) -> Pattern {
        let mut pattern = mention.pattern.clone();
        if pattern.part_shot && pattern.clubs.is_empty() {
            let full = |m: &&Mention| !m.pattern.part_shot;
            let but = |m: &Mention| {
                line.is_some_and(|l| {
                    (m.to..mention.from).any(|i| l.role_at(i) == Some(Role::Break))
                        && l.sentence.get(m.from) == l.sentence.get(mention.from)
                })
            };
            let earlier = (self.clubs.iter()).rfind(|m| m.from < mention.from && full(m));
            if earlier.is_some_and(but) && !pattern.groups.is_empty() {
                return pattern;
            }
            // "Half swings: fat with the wedge": the club stands after them.
            let later = || {
                let next = self.clubs.iter().find(|m| m.from > mention.from);
                let with = |m: &&Mention| {
                    line.is_some_and(|l| l.same_clause(m.from, mention.from) || is_bare(l, mention))
                };
                next.filter(|m| full(m) && pattern.groups.is_empty())
                    .filter(with)
            };
            let carried = earlier.or_else(later).map_or(&self.before, |m| &m.pattern);
            let fits = pattern.groups.is_empty()
                || (!carried.groups.is_empty()
                    && carried.groups.iter().all(|g| pattern.groups.contains(g)));
            if fits {
                pattern.clubs.clone_from(&carried.clubs);
                pattern.groups.clone_from(&carried.groups);
            }
        }
        pattern
    }

    fn lie_at(&self, line: &Line<'_>, at: usize) -> Option<LieId> {
        let after = self.lies.partition_point(|(i, _)| *i <= at);
        let before = after.checked_sub(1).and_then(|i| self.lies.get(i));
        let next = self.lies.get(after);
        let here = |(i, _): &&(usize, LieId)| line.same_clause(*i, at);
        // A lie goes on through its sentence, until another club is named.
        let carried = |(i, _): &&(usize, LieId)| {
            let clubs = self.clubs.partition_point(|m| m.from <= *i);
            line.sentence.get(*i) == line.sentence.get(at)
                && self.clubs.get(clubs).is_none_or(|m| m.from > at)
        };
        // "I hook it when the ball is above my feet, flat lies I don't".
        let led = |(i, _): &&(usize, LieId)| {
            let when = |w: usize| {
                ["when", "if", "whenever"]
                    .iter()
                    .any(|s| line.is_word(w, s))
            };
            line.sentence.get(*i) == line.sentence.get(at)
                && *i - at <= LED
                && (at..*i).any(when)
                && (at..*i).all(|w| line.words.get(w).is_some_and(|w| w.mark.is_none()))
        };
        before
            .filter(here)
            .or(next.filter(here))
            .or(next.filter(led))
            .or(before.filter(carried))
            .map(|(_, lie)| *lie)
            .or({
                // A lone lie goes with what stands before it, if its clause says no more.
                match self.lies.as_slice() {
                    [(_, lie)] if self.clubs.len() <= 1 && self.lie_bare => Some(*lie),
                    _ => None,
                }
            })
    }

    /// What the talk is about after this line.
    pub(super) fn after(&self) -> Pattern {
        let mut pattern = self
            .clubs
            .last()
            .map_or_else(|| self.before.clone(), |m| self.with_carried(None, m));
        if let Some((_, lie)) = self.lies.last() {
            pattern.lie = Some(*lie);
        } else if !self.clubs.is_empty() {
            pattern.lie = None;
        }
        pattern
    }
}

/// "Ends up in the gorse", "six left in the jungle": where the ball came to rest is no lie it was played
/// from; "measured it with a tee peg": nor is a tool.
fn is_no_lie(line: &Line<'_>, at: usize) -> bool {
    const ENDS: [&str; 8] = [
        "end",
        "ends",
        "ended",
        "ending",
        "finish",
        "finishes",
        "finished",
        "finishing",
    ];
    let is = |i: usize, words: &[&str]| words.iter().any(|w| line.is_word(i, w));
    let before = |i: usize| {
        let found = (0..i)
            .rev()
            .find(|b| line.words.get(*b).is_none_or(|w| !w.filler));
        found.filter(|b| line.same_clause(*b, at))
    };
    let Some(last) = before(at) else {
        return false;
    };
    let tool = is(at, &["tee"]) || is(at + 1, &["tee"]);
    let up = is(last, &["up"]) && before(last).is_some_and(|b| is(b, &ENDS));
    let side = line.words.get(last).is_some_and(|w| w.side.is_some())
        && before(last)
            .and_then(|b| line.words.get(b))
            .is_some_and(|w| w.number.is_some());
    // "Finished in the rough, then I chunked it": what is told after it was played from there.
    let sentence = line.sentence_range(at);
    let ended =
        (sentence.start..at).any(|i| tells(line, i)) && !(at..sentence.end).any(|i| tells(line, i));
    ended && (up || side || is(last, &ENDS)) || tool && is(last, &["with", "using"])
}

/// Words between a shot and the lie that a "when" leads to, or between two lies that are alike, at most
/// (elicited).
const LED: usize = 12;

/// "Wet ground isn't the problem, does it on dry too", "same on wet or hard": from there as from anywhere,
/// so no lie that the shot owes anything to.
fn makes_no_difference(line: &Line<'_>, from: usize, to: usize) -> bool {
    let is = |i: usize, words: &[&str]| words.iter().any(|w| line.is_word(i, w));
    let sentence = line.sentence_range(from);
    let after = to..(to + 5).min(sentence.end);
    let before = from.saturating_sub(4).max(sentence.start)..from;
    let denied = after
        .clone()
        .any(|i| is(i, &["isnt", "not", "arent", "wasnt"]))
        && (after.start..after.end)
            .any(|i| is(i, &["problem", "issue", "reason", "cause", "fault"]));
    let same = (before.start..before.end).any(|i| is(i, &["same", "whether", "regardless"]));
    // What is so here "too" is so elsewhere: all lies about it are.
    let too =
        |i: usize| is(i, &["too", "either"]) && !is(i + 1, &["much", "far", "long", "high", "low"]);
    let ends = |i: usize| line.words.get(i + 1).is_none_or(|w| w.mark.is_some());
    let near = from.saturating_sub(LED).max(sentence.start)..(to + LED).min(sentence.end);
    let also = (near.start..near.end).any(|i| {
        too(i)
            && ends(i)
            && (i.saturating_sub(3)..i).any(|b| {
                matches!(line.meaning_at(b), Some(Meaning::Lie(_))) || is(b, &["dry", "flat"])
            })
    });
    denied || same || also
}

/// True if a part shot is followed by the club it is hit with: "chips w the lob wedge".
fn narrows(line: &Line<'_>, shot: &Mention, club: &Mention) -> bool {
    let with = |i: usize| {
        let word = line.words.get(i);
        word.is_some_and(|w| {
            w.filler || w.mark == Some(Mark::Slash) || line.phrases.may_lead_to_club(w.symbol)
        })
    };
    let led = |i: usize| {
        let word = line.words.get(i);
        word.is_some_and(|w| line.phrases.may_lead_to_club(w.symbol))
    };
    shot.pattern.part_shot
        && shot.pattern.clubs.is_empty()
        && club.reach == Reach::Named
        && !club.pattern.clubs.is_empty()
        && shot.to <= club.from
        && club.from - shot.to <= 4
        && (shot.to..club.from).all(with)
        && (shot.to..club.from).any(led)
}

/// True if nothing else is said in the mention's clause.
fn is_bare(line: &Line<'_>, mention: &Mention) -> bool {
    let (from, to) = line.clause_range(mention.from);
    (from..to).all(|i| {
        (mention.from..mention.to).contains(&i)
            || line
                .words
                .get(i)
                .is_some_and(|w| w.filler || w.mark.is_some())
            || matches!(
                line.role_at(i),
                Some(Role::ClubFollows | Role::Stop | Role::Only)
            )
    })
}

/// True if the clause of a word holds a symptom or a number's name.
fn says_something(line: &Line<'_>, at: usize) -> bool {
    let (from, to) = line.clause_range(at);
    (from..to).any(|i| tells(line, i))
}

/// The place after the last stop before clubs whose sentence tells something, else 0.
fn told_from(line: &Line<'_>, mention: &Mention) -> usize {
    let sentence = line.sentence.get(mention.from);
    let from = line.sentence.partition_point(|s| Some(s) < sentence);
    let to = line.sentence.partition_point(|s| Some(s) <= sentence);
    if !(from..to).any(|i| tells(line, i)) {
        return 0;
    }
    let stop = |i: &usize| {
        let mark = line.words.get(*i).and_then(|w| w.mark);
        matches!(mark, Some(Mark::Stop | Mark::Question))
    };
    (0..mention.from).rev().find(stop).map_or(0, |i| i + 1)
}

/// True for a word of a symptom or of a number's name.
fn tells(line: &Line<'_>, at: usize) -> bool {
    matches!(
        line.meaning_at(at),
        Some(Meaning::Symptoms(_) | Meaning::AllWell | Meaning::Quantity(_))
    )
}

/// True if both clubs stand in clauses that tell something: "heel with the driver, irons are fine".
fn speaks_anew(line: &Line<'_>, last: &Mention, next: &Mention) -> bool {
    !line.same_clause(last.from, next.from)
        && says_something(line, last.from)
        && says_something(line, next.from)
}

/// "No problem with the irons, driver's the killer": clubs that are well, and others that a new clause
/// begins with.
fn opens_anew(line: &Line<'_>, last: &Mention, next: &Mention) -> bool {
    let (from, to) = line.clause_range(last.from);
    let well = (from..to).any(|i| matches!(line.meaning_at(i), Some(Meaning::AllWell)));
    well && !line.same_clause(last.from, next.from) && !is_bare(line, next)
}

/// True if a share of the shots was said before: "half my drives slice, the rest are fine".
fn shares(line: &Line<'_>, at: usize) -> bool {
    (0..at)
        .rev()
        .take_while(|i| line.sentence.get(*i) == line.sentence.get(at))
        .any(|i| {
            let part = line
                .words
                .get(i)
                .is_some_and(|w| w.spelt && w.number.is_some_and(|n| n < 1.0));
            part || matches!(line.meaning_at(i), Some(Meaning::Often(_)))
                || line.role_at(i) == Some(Role::OutOf)
        })
}

/// True if a denial stands before the clubs ("not the driver, the 3 wood").
fn denied(line: &Line<'_>, from: usize) -> bool {
    (0..from)
        .rev()
        .take_while(|i| line.same_clause(*i, from))
        .take(3)
        .any(|i| line.role_at(i) == Some(Role::Not))
}

/// True if nothing but a denial follows clubs: "thin with the 5 iron, driver neither".
fn is_denied_after(line: &Line<'_>, mention: &Mention) -> bool {
    let next = line.past_fillers(mention.to);
    let ends = |at: usize| {
        !line.same_clause(mention.from, at) || line.words.get(at).is_none_or(|w| w.mark.is_some())
    };
    line.same_clause(mention.from, next)
        && matches!(line.role_at(next), Some(Role::Not | Role::No))
        && line.match_at(next).is_some_and(|m| ends(m.to))
}

pub(super) fn is_joint(line: &Line<'_>, at: usize) -> bool {
    let word = line.words.get(at);
    if matches!(line.role_at(at), Some(Role::Me | Role::Only)) {
        return false;
    }
    word.is_some_and(|w| w.filler || matches!(w.mark, Some(Mark::Comma | Mark::Slash | Mark::And)))
        || matches!(
            line.role_at(at),
            Some(Role::And | Role::Carry | Role::ClubFollows)
        )
}
