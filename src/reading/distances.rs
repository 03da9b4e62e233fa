//! Which distances are a list of shots, and which are no flight at all? Number groups in; out come
//! those that go on to be bound, and lists of carries whose numbers stand apart ("92 yards, 61 yards,
//! 104 over the green").
//!
//! Left out are distances that a shot was played from ("PW 100 yds fat") and those that compare
//! ("15 yards past"): they are told back as not used. What a name or a direction gives is decided in
//! `measures`.

use super::amounts::{Signs, settle};
use super::clauses::{Line, is_club};
use super::letters::Mark;
use super::measures::{Bound, Measures};
use super::numbers::Group;
use crate::knowledge::lexicon::{Meaning, QuantityWords, Role};
use crate::quantity::Unit;

/// Bare numbers this many or more in a row are a list of shots.
pub(super) const LISTED: u16 = 3;

/// A distance that compares is less than this, in yards (elicited).
const COMPARES: f64 = 40.0;

/// Takes lists of carries and distances that are no carry out of the groups.
pub(super) fn take(line: &Line<'_>, groups: Vec<Group>) -> (Vec<Group>, Vec<Vec<Group>>) {
    let mut rest: Vec<Group> = groups
        .into_iter()
        .filter(|g| !played_from(line, g) && !compares(line, g))
        .collect();
    let mut lists: Vec<Vec<Group>> = Vec::new();
    let Some((words, _)) = carried(line) else {
        return (rest, lists);
    };
    let Some([low, high]) = words.listed else {
        return (rest, lists);
    };
    let fits = |g: &Group| {
        let unit = g.unit.is_none_or(|u| matches!(u, Unit::Yard | Unit::Metre));
        unit && g.counted.is_none()
            && g.digits
            && !g.signed
            && (low..=high).contains(&g.low)
            && g.high <= high
    };
    let mut at = 0;
    while let Some(first) = rest.get(at) {
        let run = rest
            .iter()
            .skip(at)
            .take_while(|g| {
                fits(g)
                    && heads_clause(line, g)
                    && line.sentence.get(g.from) == line.sentence.get(first.from)
            })
            .count();
        // Without a club there are no shots.
        let club = (0..line.words.len()).any(|i| line.meaning_at(i).is_some_and(is_club));
        // "7i: 150, 131, 148": the list begins before.
        let begun = at
            .checked_sub(1)
            .and_then(|i| rest.get(i))
            .is_some_and(|before| {
                let joint = |i: usize| {
                    let mark = line.words.get(i).and_then(|w| w.mark);
                    matches!(
                        mark,
                        Some(Mark::Comma | Mark::Slash | Mark::And | Mark::Cell)
                    ) || far_apart(line, before, first, i)
                };
                fits(before) && (before.to + 1 == first.from || (before.to..first.from).all(joint))
            });
        if run >= usize::from(LISTED) && club && !begun {
            lists.push(rest.drain(at..at + run).collect());
        } else {
            at += run.max(1);
        }
    }
    (rest, lists)
}

/// Writes the lists down as carries.
pub(super) fn settle_lists(line: &mut Line<'_>, lists: Vec<Vec<Group>>, out: &mut Measures) {
    let signs = Signs {
        any_sign: false,
        known: &[],
    };
    for list in lists {
        let Some((words, weight)) = carried(line) else {
            return;
        };
        if let Some((first, more)) = list.split_first() {
            for group in more {
                line.use_words(group.from, group.to);
            }
            let bound = Bound::nameless(first, words, weight, None);
            settle(line, bound, more, signs, out);
        }
    }
}

/// The only quantity whose bare numbers come in lists.
fn carried<'a>(line: &Line<'a>) -> Option<(&'a QuantityWords, f64)> {
    line.phrases.quantities().find(|(w, _)| w.listed.is_some())
}

/// True if a number is the first word of its clause and no name of a quantity stands in it.
fn heads_clause(line: &Line<'_>, group: &Group) -> bool {
    let (from, to) = line.clause_range(group.from);
    let named = (from..to).any(|i| matches!(line.meaning_at(i), Some(Meaning::Quantity(_))));
    let ratio = matches!(
        line.role_at(group.to),
        Some(Role::OutOf | Role::Times | Role::Counted | Role::InARow | Role::Per)
    );
    line.past_fillers(from) == group.from && !named && !ratio
}

/// True if a name of a quantity stands before a number in its clause.
fn is_named(line: &Line<'_>, group: &Group) -> bool {
    let (from, _) = line.clause_range(group.from);
    (from..group.from).any(|i| matches!(line.meaning_at(i), Some(Meaning::Quantity(_))))
}

fn is_distance(group: &Group) -> bool {
    matches!(group.unit, Some(Unit::Yard | Unit::Metre)) && !group.signed
}

/// "PW 100 yds fat": a distance between a club and what went wrong is where it was played from.
fn played_from(line: &Line<'_>, group: &Group) -> bool {
    let before = (0..group.from)
        .rev()
        .find(|i| line.words.get(*i).is_none_or(|w| !w.filler));
    let club = before.is_some_and(|i| line.meaning_at(i).is_some_and(is_club) && line.is_used(i));
    let next = line.past_fillers(group.to);
    let told = line.same_clause(group.from, next)
        && matches!(
            line.meaning_at(next),
            Some(Meaning::Symptoms(_) | Meaning::OneOf { .. } | Meaning::AllWell)
        );
    let within = [Some(group.from), group.from.checked_sub(1)]
        .into_iter()
        .flatten()
        .filter_map(|i| line.words.get(i)?.symbol)
        .map(|s| line.phrases.vocabulary.name(s))
        .any(|word| matches!(word, "under" | "inside" | "within" | "outside" | "from"));
    // "50 yards: low point 2.5 in behind": the distance of the shots that follow.
    let heads = line.words.get(group.to).and_then(|w| w.mark) == Some(Mark::Colon);
    is_distance(group) && (club && told || within || heads && club) && !is_named(line, group)
}

/// "Fliers that go 15 yards past": how much further, not how far.
fn compares(line: &Line<'_>, group: &Group) -> bool {
    let next = line.words.get(group.to).and_then(|w| w.symbol);
    let word = next.map_or("", |s| line.phrases.vocabulary.name(s));
    is_distance(group)
        && group.high < COMPARES
        && matches!(
            word,
            "past" | "further" | "farther" | "longer" | "beyond" | "more" | "less" | "extra"
        )
}

/// Where lists of bare numbers begin right after a club ("7i: 150, 131, 148"), with the least and
/// the most of each.
pub(super) fn lists(line: &Line<'_>, groups: &[Group]) -> Vec<(usize, (f64, f64))> {
    let bare = |g: &Group| g.unit.is_none() && g.counted.is_none() && g.digits && !g.signed;
    let between = |i: usize| {
        let word = line.words.get(i);
        word.is_some_and(|w| {
            w.filler || matches!(w.mark, Some(Mark::Comma | Mark::Slash | Mark::And))
        }) || line.role_at(i) == Some(Role::And)
    };
    let mut out = Vec::new();
    let mut pairs = Vec::new();
    let mut at = 0;
    while let Some(first) = groups.get(at) {
        let rest = groups.get(at..).unwrap_or(&[]);
        let joined = |pair: &&[Group]| match pair {
            [a, b] => {
                let between = |i: usize| between(i) || far_apart(line, a, b, i);
                bare(b) && a.to <= b.from && (a.to..b.from).all(between)
            }
            _ => false,
        };
        let more = rest.windows(2).take_while(joined).count();
        let club = (0..first.from)
            .rev()
            .find(|i| {
                let word = line.words.get(*i);
                line.is_used(*i)
                    || !word.is_some_and(|w| {
                        w.filler || matches!(w.mark, Some(Mark::Colon | Mark::Dash | Mark::Equals))
                    })
            })
            .is_some_and(|i| {
                let letter = line.words.get(i).and_then(|w| w.symbol);
                line.is_used(i)
                    && (line.meaning_at(i).is_some_and(is_club)
                        || line.phrases.is_club_letter(letter))
            });
        if bare(first) && club && more + 1 >= usize::from(LISTED) {
            let all = rest.iter().take(more + 1);
            let least = all.clone().map(|g| g.low).fold(f64::INFINITY, f64::min);
            let most = all.map(|g| g.high).fold(f64::NEG_INFINITY, f64::max);
            out.push((first.from, (least, most)));
        } else if bare(first) && club && more == 0 && says_no_more(line, first) {
            pairs.push((first.from, (first.low, first.high)));
        }
        at += more + 1;
    }
    // "4i 178, 5h 176, 7w 181": each club with its number.
    if pairs.len() >= 2 {
        out.extend(pairs);
    }
    out
}

/// "6i: 155 fat, 168, 152 left": what became of a shot, said beside how far it went.
pub(super) fn far_apart(line: &Line<'_>, a: &Group, b: &Group, at: usize) -> bool {
    let far = |g: &Group| g.unit.is_none() && g.digits && g.low >= LEAST_FAR;
    let told = matches!(
        line.meaning_at(at),
        Some(
            Meaning::Symptoms(_) | Meaning::OneOf { .. } | Meaning::AllWell | Meaning::Direction(_)
        )
    );
    told && far(a) && far(b)
}

/// Less than this no club flies that golfers list, in yards (elicited).
pub(super) const LEAST_FAR: f64 = 60.0;

/// True if nothing after a number in its clause says what it counts or measures.
fn says_no_more(line: &Line<'_>, group: &Group) -> bool {
    let next = line.past_fillers(group.to);
    line.words.get(next).is_none_or(|w| w.mark.is_some())
        || !line.same_clause(group.from, next)
        || line.meaning_at(next).is_some_and(is_club)
        || line.role_at(next) == Some(Role::And)
}

/// True if a club, or "swing", stands right before or right after a number.
pub(super) fn beside_club(line: &Line<'_>, group: &Group) -> bool {
    let is = |i: usize| {
        let name = line.words.get(i).and_then(|w| w.symbol);
        line.meaning_at(i).is_some_and(is_club)
            || name.is_some_and(|s| matches!(line.phrases.vocabulary.name(s), "swing" | "club"))
    };
    let between = |i: usize| {
        let word = line.words.get(i);
        word.is_some_and(|w| {
            w.filler
                || matches!(
                    w.mark,
                    Some(Mark::Comma | Mark::Colon | Mark::Equals | Mark::Dash)
                )
        }) || line.role_at(i) == Some(Role::About)
    };
    let before = (0..group.from).rev().find(|i| !between(*i));
    before.is_some_and(is) || is(line.past_fillers(group.to))
}

/// What a list of bare numbers measures, if it could be one thing only.
pub(super) fn listed<'a>(
    line: &Line<'a>,
    (least, most): (f64, f64),
) -> Option<(&'a QuantityWords, f64)> {
    let fits = |[low, high]: [f64; 2]| low <= least && most <= high;
    let mut fitting = line
        .phrases
        .quantities()
        .filter(|(words, _)| words.listed.is_some_and(fits));
    let only = fitting.next()?;
    fitting.next().is_none().then_some(only)
}
