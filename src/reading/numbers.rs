//! Which numbers were said? Words in, groups out: a value or a range, its unit, a direction beside
//! it, and whether it counts shots ("3 out of 10", "three in a row", "twice").
//!
//! "Two and a half", "1 1/2", "half an inch", "an inch", "2-3" and "about 2" are all one group.
//! Clubs have used up their digits before. What a number measures is decided in `measures`.

use super::clauses::Line;
use super::letters::Mark;
use crate::knowledge::lexicon::{DirectionId, Meaning, QuantityWords, Role};
use crate::quantity::Unit;

/// A number with what stands beside it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Group {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) low: f64,
    pub(super) high: f64,
    /// The other end, on the other side: 3 for "between 3 left and 6 right".
    pub(super) opposite: Option<f64>,
    /// A plus or minus was written.
    pub(super) signed: bool,
    pub(super) about: bool,
    pub(super) unit: Option<Unit>,
    pub(super) counted: Option<Counted>,
    /// Digits, not a word like "one".
    pub(super) digits: bool,
}

/// A count of shots.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Counted {
    /// So many of so many.
    Of(u16, u16),
    /// So many in a row.
    Row(u16),
    /// So many times, or so many shots.
    Times(u16),
    /// So many per stretch of play, with its full shots.
    Per(u16, f64),
    /// So many of those named before ("four of them").
    Part(u16),
}

impl Group {
    pub(super) fn mean(&self) -> f64 {
        self.low.midpoint(self.high)
    }
}

/// Uses up the numbers of a list written line by line ("1 pull", "2 pull", "3 good") and those
/// that a phrase of the stop list holds ("on hole 12"). True if the shots of a list are numbered.
pub(super) fn use_list_numbers(line: &mut Line<'_>) -> bool {
    for found in line.matches.clone() {
        if found.words >= 2
            && matches!(
                line.phrases.meaning(&found),
                Some(Meaning::Word(Role::Stop))
            )
        {
            for at in found.from..found.to {
                if line.words.get(at).is_some_and(|w| w.number.is_some()) {
                    line.use_words(at, at + 1);
                }
            }
        }
    }
    let starts: Vec<(usize, f64)> = (0..line.words.len())
        .filter(|at| {
            at.checked_sub(1)
                .is_none_or(|i| mark_at(line, i) == Some(Mark::Newline))
        })
        .filter_map(|at| {
            let word = line.words.get(at)?;
            let number = word.number.filter(|_| !word.spelt && word.sign == 0)?;
            Some((at, number))
        })
        .collect();
    let mut run: Vec<usize> = Vec::new();
    for (at, number) in starts {
        let next = run.len() as f64 + 1.0;
        if (number - next).abs() < 1e-9 {
            run.push(at);
        } else {
            break;
        }
    }
    if run.len() >= 3 {
        for at in run {
            line.use_words(at, at + 1);
        }
    }
    for (from, to) in samples(line) {
        line.use_words(from, to);
    }
    let numbered = numbered_shots(line);
    for (from, to) in &numbered {
        line.use_words(*from, *to);
    }
    !numbered.is_empty()
}

/// "Avg of 12: path -5", "mean of 8, attack -4": how many shots a mean is of, as from and to.
fn samples(line: &Line<'_>) -> Vec<(usize, usize)> {
    const MEANS: [&str; 6] = ["avg", "average", "averages", "averaged", "mean", "means"];
    let mean = |at: usize| MEANS.iter().any(|w| line.is_word(at, w));
    let sample = |at: usize| {
        let word = line.words.get(at)?;
        let whole = word.number.is_some_and(|n| n.fract() == 0.0 && n >= 2.0);
        let plain = whole && word.sign == 0 && !line.is_used(at);
        let from = at.checked_sub(2).filter(|from| {
            let of = line.is_word(at - 1, "of") || line.is_word(at - 1, "over");
            of && mean(*from)
        })?;
        // "An average of 4 down" is the mean itself.
        let next = line.words.get(at + 1);
        let ends = next.is_none_or(|w| w.mark.is_some());
        let name = matches!(line.meaning_at(at + 1), Some(Meaning::Quantity(_)));
        (plain && (ends || name)).then_some((from, at + 1))
    };
    (0..line.words.len()).filter_map(sample).collect()
}

/// "Shot 1 attack -1, shot 2 attack -3", "1) fat 2) thin", "1: -1.0 2: +0.5": the words that number the
/// shots of a list, counted on from 1, as from and to. None if fewer than two follow each other.
fn numbered_shots(line: &Line<'_>) -> Vec<(usize, usize)> {
    const SHOTS: [&str; 4] = ["shot", "swing", "ball", "strike"];
    let mut out: Vec<(usize, usize)> = Vec::new();
    for at in 0..line.words.len() {
        let Some(word) = line.words.get(at) else {
            break;
        };
        let counts = word.number.is_some_and(|n| {
            let next = out.len() as f64 + 1.0;
            (n - next).abs() < 1e-9 && word.sign == 0 && !word.spelt
        });
        let of_a_shot = at
            .checked_sub(1)
            .filter(|before| SHOTS.iter().any(|w| line.is_word(*before, w)));
        let marked = matches!(mark_at(line, at + 1), Some(Mark::Close | Mark::Colon));
        let opened = at.checked_sub(1).and_then(|i| mark_at(line, i)) == Some(Mark::Open);
        if !counts || line.is_used(at) || !(of_a_shot.is_some() || marked && !opened) {
            continue;
        }
        out.push((of_a_shot.unwrap_or(at), at + 1 + usize::from(marked)));
    }
    if out.len() < 2 { Vec::new() } else { out }
}

/// All groups of the line, in order; their words are not yet used up.
pub(super) fn groups(line: &Line<'_>) -> Vec<Group> {
    let mut out: Vec<Group> = Vec::new();
    let mut at = 0;
    while at < line.words.len() {
        let group = if line.is_used(at) {
            None
        } else {
            group_at(line, at).or_else(|| implied_one(line, at))
        };
        match group {
            Some(group) => {
                at = group.to.max(at + 1);
                let one = out
                    .last()
                    .and_then(|before| two_ended(line, before, &group));
                if let Some(one) = one {
                    out.pop();
                    out.push(one);
                } else {
                    out.push(group);
                }
            }
            None => at += 1,
        }
    }
    out
}

/// "Between 3 left and 6 right", "2 in behind to 4 ahead": two ends on two sides are one range.
fn two_ended(line: &Line<'_>, one: &Group, other: &Group) -> Option<Group> {
    const LEADS: [&str; 8] = [
        "between", "from", "ranges", "ranging", "anywhere", "varies", "swings", "anything",
    ];
    let plain = |g: &Group| g.counted.is_none() && !g.signed && g.opposite.is_none();
    let units = one.unit.is_none() || other.unit.is_none() || one.unit == other.unit;
    if !(plain(one) && plain(other) && units) {
        return None;
    }
    let of_phrase = direction_at(line, one.to).filter(|b| b.from == one.to);
    let first = of_phrase.or_else(|| direction_in(line, one.to))?;
    let second = direction_at(line, other.to).filter(|b| b.from == other.to)?;
    let leads = |at: usize| LEADS.iter().any(|w| line.is_word(at, w));
    let led = one.about || (one.from.saturating_sub(3)..one.from).any(leads);
    let joins = |at: usize| match line.role_at(at) {
        Some(Role::To | Role::Carry) => true,
        Some(Role::And) => led,
        _ => line.words.get(at).is_some_and(|w| w.filler) || line.is_word(at, "to"),
    };
    let joined = first.to < other.from && (first.to..other.from).all(joins);
    let across = first.direction != second.direction;
    joined.then(|| Group {
        from: one.from,
        low: if across {
            other.low
        } else {
            one.low.min(other.low)
        },
        high: if across {
            other.high
        } else {
            one.high.max(other.high)
        },
        opposite: across.then(|| one.mean()),
        unit: other.unit.or(one.unit),
        ..other.clone()
    })
}

fn mark_at(line: &Line<'_>, at: usize) -> Option<Mark> {
    line.words.get(at).and_then(|w| w.mark)
}

/// The number at a word, unless a phrase has taken it.
fn number_at(line: &Line<'_>, at: usize) -> Option<f64> {
    let word = line.words.get(at)?;
    let number = word.number?;
    let free = match line.meaning_at(at) {
        None | Some(Meaning::Number(_) | Meaning::Quantity(_) | Meaning::Lie(_)) => true,
        Some(Meaning::Word(role)) => matches!(role, Role::Plain | Role::Filler | Role::Stop),
        Some(_) => false,
    };
    (free && !line.is_used(at)).then_some(number)
}

/// True for a number written onto an "x".
pub(super) fn is_times(line: &Line<'_>, at: usize) -> bool {
    let glued = line.words.get(at).is_some_and(|w| w.glued);
    glued
        && at
            .checked_sub(1)
            .is_some_and(|i| line.role_at(i) == Some(Role::Times))
}

fn group_at(line: &Line<'_>, start: usize) -> Option<Group> {
    let first = number_at(line, start)?;
    let word = line.words.get(start)?;
    // "The 13th" is no amount.
    if line.words.get(start + 1).is_some_and(|w| w.glued)
        && line.role_at(start + 1) == Some(Role::Counted)
        && !word.spelt
    {
        return None;
    }
    let mut group = Group {
        from: start,
        to: start + 1,
        low: first,
        high: first,
        opposite: None,
        signed: word.sign != 0,
        about: false,
        unit: None,
        counted: None,
        digits: !word.spelt,
    };
    fractions(line, &mut group);
    count_of(line, &mut group);
    if group.counted.is_none() {
        range(line, &mut group);
    }
    before(line, &mut group);
    // "Thin x3".
    if is_times(line, start) && first.fract() == 0.0 && (1.0..=1000.0).contains(&first) {
        group.counted = Some(Counted::Times(first as u16));
        group.from = start.saturating_sub(1);
    }
    unit(line, &mut group);
    if group.counted.is_none() && group.unit.is_none() {
        counted_after(line, &mut group);
    }
    let one_alone = word.spelt
        && (first - 1.0).abs() < 1e-9
        && group.unit.is_none()
        && group.counted.is_none()
        && group.to == start + 1;
    (!one_alone).then_some(group)
}

/// "1/2", "1 1/2", "two and a half", "three quarters", "half an", "half a dozen".
fn fractions(line: &Line<'_>, group: &mut Group) {
    let dozen = group.to + usize::from(line.is_word(group.to, "a"));
    if line.is_word(dozen, "dozen") && group.low < 1.0 {
        (group.low, group.to) = (12.0 * group.low, dozen + 1);
        group.high = group.low;
        return;
    }
    let slash = |at: usize| {
        let (top, bottom) = (number_at(line, at)?, number_at(line, at + 2)?);
        let proper = mark_at(line, at + 1) == Some(Mark::Slash)
            && top < bottom
            && [2.0, 3.0, 4.0, 8.0, 16.0].contains(&bottom);
        let measured = matches!(
            line.meaning_at(line.past_fillers(at + 3)),
            Some(Meaning::Unit(_))
        );
        (proper && (measured || bottom <= 4.0)).then_some(top / bottom)
    };
    if let Some(value) = slash(group.from) {
        (group.low, group.high, group.to) = (value, value, group.from + 3);
        return;
    }
    if let Some(part) = slash(group.to).filter(|_| group.low >= 1.0) {
        group.low += part;
        group.to += 3;
    } else if line.role_at(group.to) == Some(Role::And) {
        let next = line.past_fillers(group.to + 1);
        if let Some(part) = number_at(line, next).filter(|p| *p < 1.0 && *p > 0.0) {
            group.low += part;
            group.to = next + 1;
        }
    } else if let Some(part) = number_at(line, group.to).filter(|p| *p < 1.0 && *p > 0.0)
        && line.words.get(group.to).is_some_and(|w| w.spelt)
        && group.low >= 1.0
    {
        // "Three quarters", "one half".
        group.low *= part;
        group.to += 1;
    }
    group.high = group.low;
}

/// "3 out of 10", "3 in 10", "3/10", "50/50".
fn count_of(line: &Line<'_>, group: &mut Group) {
    let whole = |v: f64| (0.0..=1000.0).contains(&v) && v.fract() == 0.0;
    let joint = if mark_at(line, group.to) == Some(Mark::Slash) {
        Some(group.to + 1)
    } else if line.role_at(group.to) == Some(Role::OutOf) {
        line.match_at(group.to).map(|m| line.past_fillers(m.to))
    } else if matches!(line.role_at(group.to), Some(Role::Counted | Role::Times))
        && line.role_at(group.to + 1) == Some(Role::OutOf)
        && !lasts(line, group.to + 3)
    {
        line.match_at(group.to + 1).map(|m| line.past_fillers(m.to))
    } else {
        None
    };
    let Some(next) = joint else {
        return;
    };
    let Some(of) = number_at(line, next) else {
        return;
    };
    if whole(group.low) && whole(of) && group.low <= of && of >= 2.0 {
        group.counted = Some(Counted::Of(group.low as u16, of as u16));
        group.to = next + 1;
        if line.role_at(group.to) == Some(Role::Counted) {
            group.to += 1;
        }
    }
}

/// "6 times in 14" counts shots, "3 times in 2 weeks" does not.
fn lasts(line: &Line<'_>, at: usize) -> bool {
    const TIMES: [&str; 14] = [
        "day", "days", "week", "weeks", "month", "months", "year", "years", "minute", "minutes",
        "hour", "hours", "rounds", "games",
    ];
    TIMES.iter().any(|w| line.is_word(at, w))
}

/// Before "from", these say that a number is no more what it was.
const MOVED: [&str; 17] = [
    "up", "down", "gone", "went", "dropped", "fell", "fallen", "risen", "moved", "changed",
    "improved", "came", "come", "shifted", "rose", "better", "worse",
];

/// "2-3", "2 to 3", "between 2 and 3".
fn range(line: &Line<'_>, group: &mut Group) {
    let next = match mark_at(line, group.to) {
        Some(Mark::Hyphen | Mark::Dash) => group.to + 1,
        _ if matches!(line.role_at(group.to), Some(Role::To | Role::Carry)) => {
            line.past_fillers(group.to + 1)
        }
        _ if line.role_at(group.to) == Some(Role::And)
            && group
                .from
                .checked_sub(1)
                .is_some_and(|i| line.role_at(i) == Some(Role::About)) =>
        {
            group.to + 1
        }
        _ => return,
    };
    let Some(high) = number_at(line, next) else {
        return;
    };
    // "From 2 up to 5 down" has two sides.
    if line.is_word(group.to, "up") && direction_at(line, next + 1).is_some() {
        return;
    }
    // "2 to 3" rises; "-3 to -5" falls; "-5 to +5" has a sign on either side.
    let (a, b) = (group.low, high);
    let sign_of_next = line.words.get(next).map_or(0, |w| w.sign);
    let across = group.signed && sign_of_next > 0 && a < b;
    // "-1 to -9" has its sign on both ends.
    let across = across || group.signed && sign_of_next < 0 && a < 0.0;
    // "From 101 to 88", "down from 150 to 120": what it was, and what it is now.
    let is = |at: usize, words: &[&str]| words.iter().any(|w| line.is_word(at, w));
    let from = (group.from.saturating_sub(2)..group.from).find(|i| is(*i, &["from"]));
    let moved = from
        .and_then(|i| i.checked_sub(1))
        .is_some_and(|i| is(i, &MOVED));
    let now = moved || a > b;
    if from.is_some() && (moved || now && !group.signed) && line.role_at(group.to) == Some(Role::To)
    {
        (group.low, group.high) = (b, b);
        group.to = next + 1;
        return;
    }
    if across || (b - a).abs() <= 0.75 * a.abs().max(b.abs()).max(2.0) {
        let b = if !across && group.signed && a < 0.0 && b > 0.0 {
            -b
        } else {
            b
        };
        (group.low, group.high) = (a.min(b), a.max(b));
        group.to = next + 1;
    }
}

/// "About", "minus" and the like before the number.
fn before(line: &Line<'_>, group: &mut Group) {
    while let Some(at) = group.from.checked_sub(1) {
        let tilde = mark_at(line, at) == Some(Mark::About);
        match line.role_at(at) {
            Some(Role::About) => group.about = true,
            _ if tilde => group.about = true,
            Some(Role::Minus) if !group.signed => {
                (group.low, group.high) = (-group.high, -group.low);
                group.signed = true;
            }
            Some(Role::Plus) if !group.signed => group.signed = true,
            _ => return,
        }
        group.from = line.match_at(at).map_or(at, |m| m.from);
    }
}

fn unit(line: &Line<'_>, group: &mut Group) {
    if group.counted.is_some() {
        return;
    }
    let mut at = group.to;
    if mark_at(line, at) == Some(Mark::Hyphen) {
        at += 1;
    }
    let after = line.past_fillers(at);
    let after = if line.role_at(after) == Some(Role::OutOf) && group.low < 1.0 {
        line.past_fillers(after + 1)
    } else {
        after
    };
    if let Some(Meaning::Unit(unit)) = line.meaning_at(after)
        && (after == at || group.low <= 2.0)
    {
        group.unit = Some(*unit);
        group.to = line.match_at(after).map_or(after + 1, |m| m.to);
        // "An inch and a half".
        if line.role_at(group.to) == Some(Role::And) {
            let next = line.past_fillers(group.to + 1);
            if let Some(part) = number_at(line, next).filter(|p| *p < 1.0 && *p > 0.0)
                && !matches!(
                    line.meaning_at(line.past_fillers(next + 1)),
                    Some(Meaning::Unit(_))
                )
            {
                group.low += part;
                group.high += part;
                group.to = next + 1;
            }
        }
    }
}

/// "3 in a row", "3 times a round", "3 shots".
fn counted_after(line: &Line<'_>, group: &mut Group) {
    let whole = (0.0..=1000.0).contains(&group.low) && group.mean().fract() == 0.0;
    if !whole || group.signed {
        return;
    }
    let hits = group.mean() as u16;
    let mut at = group.to;
    // "Three straight ones in a row": one word may stand between.
    if line.role_at(at) == Some(Role::Counted) && line.role_at(at + 1) == Some(Role::InARow) {
        at += 1;
    }
    match line.role_at(at) {
        Some(Role::InARow) => {
            group.counted = Some(Counted::Row(hits));
            group.to = line.match_at(at).map_or(at + 1, |m| m.to);
        }
        Some(Role::Times | Role::Counted) => {
            let part = line.is_word(at, "of");
            group.counted = Some(if part {
                Counted::Part(hits)
            } else {
                Counted::Times(hits)
            });
            group.to = line.match_at(at).map_or(at + 1, |m| m.to);
        }
        Some(Role::OutOf)
            if ["them", "em", "these", "those"]
                .iter()
                .any(|w| line.is_word(at + 1, w)) =>
        {
            group.counted = Some(Counted::Part(hits));
            group.to = at + 2;
        }
        _ if group.to == group.from + 1 && line.is_word(group.from, "twice") => {
            group.counted = Some(Counted::Times(hits));
        }
        _ => {}
    }
    per(line, group, hits);
}

/// "A round", "per bucket" after a count.
pub(super) fn per(line: &Line<'_>, group: &mut Group, hits: u16) {
    let at = if line.role_at(group.to) == Some(Role::Per) {
        group.to + 1
    } else {
        line.past_fillers(group.to)
    };
    if let Some(Meaning::ShotsIn(shots)) = line.meaning_at(at)
        && at > group.to
    {
        group.counted = Some(Counted::Per(hits, *shots));
        group.to = line.match_at(at).map_or(at + 1, |m| m.to);
    }
}

/// "An inch behind", "a ball ahead": a unit without a number, before a direction.
fn implied_one(line: &Line<'_>, at: usize) -> Option<Group> {
    let Some(Meaning::Unit(unit)) = line.meaning_at(at) else {
        return None;
    };
    let found = line.match_at(at)?;
    if found.from != at {
        return None;
    }
    let article = at
        .checked_sub(1)
        .and_then(|i| line.words.get(i))
        .is_some_and(|w| w.filler && w.mark.is_none());
    // "An inch and a half behind".
    let (mut value, mut to) = (1.0, found.to);
    if line.role_at(to) == Some(Role::And) {
        let next = line.past_fillers(to + 1);
        if let Some(part) = number_at(line, next).filter(|p| *p < 1.0 && *p > 0.0) {
            (value, to) = (1.0 + part, next + 1);
        }
    }
    let direction = directions_after(line, to)
        .next()
        .is_some_and(|b| article || matches!(line.meaning_at(b.from), Some(Meaning::Direction(_))));
    let sure = *unit == Unit::Inch || article;
    (direction && sure).then_some(Group {
        from: at,
        to,
        low: value,
        high: value,
        opposite: None,
        signed: false,
        about: false,
        unit: Some(*unit),
        counted: None,
        digits: false,
    })
}

/// A direction beside a number: the id and the phrase that says it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beside {
    pub(super) direction: DirectionId,
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) sided: bool,
}

/// The direction a phrase gives.
pub(super) fn direction_at(line: &Line<'_>, at: usize) -> Option<Beside> {
    let found = line.match_at(at)?;
    let direction = match line.phrases.meaning(found)? {
        Meaning::Direction(direction) => *direction,
        Meaning::Symptoms(words) => words.direction?,
        Meaning::OneOf { direction, .. } => (*direction)?,
        Meaning::Hint(_) => line.phrases.entry(found.entry)?.direction?,
        _ => return None,
    };
    Some(Beside {
        direction,
        from: found.from,
        to: found.to,
        sided: found.sided,
    })
}

/// The direction a word would give if it stood alone: "face open 3" has it in the name.
pub(super) fn direction_in(line: &Line<'_>, at: usize) -> Option<Beside> {
    let symbol = line.words.get(at)?.symbol?;
    match line.phrases.alone(symbol)? {
        Meaning::Direction(direction) => Some(Beside {
            direction: *direction,
            from: at,
            to: at + 1,
            sided: false,
        }),
        _ => None,
    }
}

/// Directions straight after a place, over at most two words that carry none.
pub(super) fn directions_after<'a>(
    line: &'a Line<'_>,
    from: usize,
) -> impl Iterator<Item = Beside> + 'a {
    (from..from + 3)
        .take_while(move |i| {
            // "6 and up" is no direction.
            *i < line.words.len()
                && line.same_clause(*i, from)
                && line.role_at(*i) != Some(Role::And)
                && line
                    .words
                    .get(*i)
                    .is_some_and(|w| w.mark.is_none() || w.mark == Some(Mark::Hyphen))
        })
        .filter_map(|i| direction_at(line, i))
}

/// The direction straight after a number, if the quantity knows it.
pub(super) fn own_side(line: &Line<'_>, words: &QuantityWords, group: &Group) -> Option<Beside> {
    let known = |b: &Beside| words.signs.iter().any(|(d, _)| *d == b.direction);
    direction_at(line, group.to).filter(|b| b.from == group.to && known(b))
}

/// "My second from the jungle on 4, ball flopped out": a bare number from 1 to 18 that ends its clause
/// after "on" is where it happened.
pub(super) fn is_a_hole(line: &Line<'_>, group: &Group) -> bool {
    let bare = group.unit.is_none() && group.digits && !group.signed && group.low.fract() == 0.0;
    let on = group
        .from
        .checked_sub(1)
        .is_some_and(|i| line.is_word(i, "on"));
    let ends = line.words.get(group.to).is_none_or(|w| w.mark.is_some());
    bare && group.low.to_bits() == group.high.to_bits()
        && (1.0..=18.0).contains(&group.low)
        && on
        && ends
}
