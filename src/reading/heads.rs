//! Which of the clubs named before is meant? "The iron", "the first", "the other", "the latter", and
//! "it" after one of two clubs was said to be well.
//!
//! Takes the clubs of a line, joined ones with their parts in the order said; gives a name without a
//! number the club it takes up, and adds the clubs that such words stand for. Looks no further than
//! the line, and for "the first" and its like no further than the sentence after the two clubs.

use super::Pattern;
use super::clauses::Line;
use super::scope::Mention;
use crate::knowledge::lexicon::{Meaning, Role};

/// Nouns that may take up a club with a number.
const NOUNS: [&str; 6] = ["iron", "wedge", "wood", "hybrid", "rescue", "utility"];

/// After these a noun is no club, and "the first" no shot.
const NO_CLUB: [&str; 24] = [
    "play", "game", "shots", "shot", "work", "hole", "holes", "tee", "time", "day", "ball",
    "balls", "thing", "half", "nine", "cut", "swing", "week", "round", "bounce", "two", "three",
    "way", "side",
];

/// Clubs kept in mind for a name without a number.
const KEPT: usize = 6;

fn name<'a>(line: &Line<'a>, at: usize) -> &'a str {
    let symbol = line.words.get(at).and_then(|w| w.symbol);
    symbol.map_or("", |s| line.phrases.vocabulary.name(s))
}

/// The clubs of a mention one by one, in the order said.
fn units(mention: &Mention) -> impl Iterator<Item = &Pattern> {
    let alone = mention.parts.is_empty().then_some(&mention.pattern);
    mention.parts.iter().chain(alone)
}

/// True for "the iron", "the wedge": a noun that may take up a club named with its number.
fn is_noun(line: &Line<'_>, mention: &Mention) -> bool {
    mention.to == mention.from + 1
        && mention.pattern.clubs.is_empty()
        && !mention.pattern.part_shot
        && NOUNS.contains(&name(line, mention.from))
        && mention.from > 0
        && name(line, mention.from - 1) == "the"
        && !NO_CLUB.contains(&name(line, mention.to))
}

/// True if a noun names one of the clubs before it again: "7 iron and driver, the iron is fine".
pub(super) fn names_again(line: &Line<'_>, before: &Mention, mention: &Mention) -> bool {
    let groups = &mention.pattern.groups;
    let same = |p: &Pattern| p.clubs.len() == 1 && p.groups.iter().all(|g| groups.contains(g));
    is_noun(line, mention) && units(before).any(same)
}

/// "7 iron fat. The iron ..." takes up the 7 iron, if no other iron was named.
pub(super) fn take_up(line: &Line<'_>, clubs: &mut [Mention]) {
    let mut known: Vec<Pattern> = Vec::new();
    for mention in clubs {
        if is_noun(line, mention) {
            let groups = &mention.pattern.groups;
            let mut fitting = known
                .iter()
                .filter(|k| k.groups.iter().all(|g| groups.contains(g)));
            if let (Some(only), None) = (fitting.next(), fitting.next()) {
                mention.pattern = only.clone();
            }
            continue;
        }
        for unit in units(mention) {
            if unit.clubs.len() == 1 && !unit.part_shot && !known.contains(unit) {
                known.push(unit.clone());
            }
        }
        let surplus = known.len().saturating_sub(KEPT);
        known.drain(..surplus);
    }
}

/// Which of two: the first or the second, and where the words end.
fn which(line: &Line<'_>, at: usize) -> Option<(bool, usize)> {
    let article = at > 0 && name(line, at - 1) == "the";
    let first = match name(line, at) {
        "former" => return Some((true, at + 1)),
        "latter" => return Some((false, at + 1)),
        "first" => true,
        "second" | "other" => false,
        _ => return None,
    };
    let next = name(line, at + 1);
    if next == "one" {
        return Some((first, at + 2));
    }
    let follows = line.words.get(at + 1);
    let bare = follows.is_none_or(|w| w.mark.is_some() || w.denies)
        || !line.same_clause(at, at + 1)
        || matches!(line.role_at(at + 1), Some(Role::Me | Role::And))
        || matches!(
            line.meaning_at(at + 1),
            Some(Meaning::Symptoms(_) | Meaning::AllWell)
        )
        || matches!(next, "is" | "goes" | "always" | "just" | "never");
    (article && bare && !NO_CLUB.contains(&next)).then_some((first, at + 1))
}

/// Adds clubs for "the first", "the other", and for "it" after one of two is well.
pub(super) fn point_back(line: &mut Line<'_>, clubs: &mut Vec<Mention>) {
    let mut new: Vec<Mention> = Vec::new();
    let mut mentions = clubs.iter().peekable();
    let mut pair: Option<(usize, [Pattern; 2])> = None;
    // The clubs last spoken of, after the pair.
    let mut last: Option<(usize, Pattern)> = None;
    for at in 0..line.words.len() {
        while let Some(mention) = mentions.next_if(|m| m.to <= at) {
            if let [a, b] = mention.parts.as_slice() {
                pair = Some((mention.to, [a.clone(), b.clone()]));
                last = None;
            } else {
                last = Some((mention.from, mention.pattern.clone()));
            }
        }
        let Some((end, both)) = &pair else {
            continue;
        };
        let gone = line
            .sentence
            .get(at)
            .zip(line.sentence.get(end - 1))
            .is_none_or(|(now, then)| *now > then + 1);
        if gone {
            pair = None;
            continue;
        }
        if line.is_used(at) {
            continue;
        }
        if let Some((first, to)) = which(line, at) {
            let [a, b] = both;
            let meant = if first { a } else { b };
            new.push(Mention::named(at, to, meant.clone()));
            continue;
        }
        // "The iron is fine, it slices": the other one does.
        let heads = matches!(name(line, at), "it" | "its") && {
            let (start, _) = line.clause_range(at);
            start == at || start + 1 == at && line.words.get(start).is_some_and(|w| w.filler)
        };
        if let Some((from, one)) = last.as_ref().filter(|_| heads)
            && let Some(other) = match both {
                [a, b] if a == one => Some(b),
                [a, b] if b == one => Some(a),
                _ => None,
            }
            && line.sentence.get(*from) == line.sentence.get(at)
            && !line.same_clause(*from, at)
            && is_well(line, *from)
        {
            new.push(Mention::named(at, at + 1, other.clone()));
        }
    }
    if new.is_empty() {
        return;
    }
    for mention in &new {
        line.use_words(mention.from, mention.to);
    }
    clubs.extend(new);
    clubs.sort_by_key(|m| m.from);
}

/// Words of a clause looked through for "fine".
const WELL: usize = 8;

/// True if the clause of a club says that it is well.
fn is_well(line: &Line<'_>, at: usize) -> bool {
    let (_, to) = line.clause_range(at);
    (at..to.min(at + WELL)).any(|i| matches!(line.meaning_at(i), Some(Meaning::AllWell)))
}
