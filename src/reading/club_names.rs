//! Which clubs does a phrase name, with the numbers beside it? "7 and 8 irons", "7-9 irons", "the 56".
//!
//! Takes a club phrase found in the line; gives the clubs, and the words that name them. Which of the
//! words around speak of these clubs is decided in `scope`.

use super::Pattern;
use super::bare_clubs::{counts_shots, stands_alone};
use super::clauses::Line;
use super::letters::Mark;
use super::numbers;
use super::scope::{Mention, add_club, is_joint, tidy};
use crate::knowledge::lexicon::{Meaning, Role};

pub(super) fn is_number(club: u16, number: f64) -> bool {
    (f64::from(club) - number).abs() < 0.5
}

/// A club phrase, with the numbers that belong to it.
pub(super) fn club_mention(
    line: &Line<'_>,
    from: usize,
    to: usize,
    meaning: &Meaning,
) -> Option<Mention> {
    let mut mention = Mention::named(from, to, Pattern::default());
    match meaning {
        Meaning::Clubs {
            clubs,
            groups,
            reach,
            part_shot,
        } => {
            mention.pattern.part_shot = *part_shot;
            mention.pattern.clubs.extend(clubs);
            mention.pattern.groups.extend(groups);
            mention.reach = *reach;
            tidy(&mut mention.pattern);
        }
        Meaning::Numbered { clubs, groups } => {
            let (numbers, start, end) = numbers_beside(line, from, to);
            mention.from = start;
            mention.to = end;
            for number in numbers {
                let named = clubs.iter().find(|(n, _, _)| is_number(*n, number));
                match named {
                    Some((_, club, group)) => add_club(&mut mention.pattern, *club, *group),
                    None => mention.pattern.groups.extend(groups),
                }
            }
            let glued_only = line.match_at(from).is_some_and(|m| {
                line.phrases
                    .entry(m.entry)
                    .is_some_and(|e| e.says.is_empty())
            });
            if mention.pattern.groups.is_empty() {
                if glued_only {
                    return None;
                }
                mention.pattern.groups.extend(groups);
            }
            tidy(&mut mention.pattern);
        }
        Meaning::Lofts(clubs) => {
            let before = from.checked_sub(1)?;
            let before = if line.words.get(before)?.mark == Some(Mark::Hyphen) {
                before.checked_sub(1)?
            } else {
                before
            };
            let loft = line.words.get(before)?.number?;
            let (_, _, club, group) = clubs
                .iter()
                .find(|(low, high, _, _)| (*low..=*high).contains(&loft))?;
            mention.from = before;
            add_club(&mut mention.pattern, *club, *group);
        }
        _ => return None,
    }
    Some(mention)
}

/// Whole numbers written before a club noun ("7 and 8 irons", "7-9 irons"), or glued after it.
fn numbers_beside(line: &Line<'_>, from: usize, to: usize) -> (Vec<f64>, usize, usize) {
    if counts_shots(line, from) {
        return (Vec::new(), from, to);
    }
    let whole = |i: usize| {
        line.words.get(i).and_then(|w| {
            let n = w.number?;
            let fits = w.sign == 0 && (1.0..=9.5).contains(&n) && (n.fract() == 0.0 || w.comma);
            (fits && !line.is_used(i) && !numbers::is_times(line, i)).then_some(n)
        })
    };
    let mut numbers = Vec::new();
    let mut start = from;
    let mut at = from;
    while let Some(before) = at.checked_sub(1) {
        if let Some(n) = whole(before) {
            if n.fract() > 0.0 {
                numbers.push((n.fract() * 10.0).round());
            }
            numbers.push(n.trunc());
            start = before;
            at = before;
            continue;
        }
        let joint = is_joint(line, before)
            || line
                .words
                .get(before)
                .is_some_and(|w| w.mark == Some(Mark::Hyphen))
            || line.role_at(before) == Some(Role::To);
        let filler = line
            .words
            .get(before)
            .is_some_and(|w| w.filler && w.mark.is_none());
        // "Hcp 3, 5 iron", "my hcp is 5, 7 iron": the number has a name of its own.
        let named = |i: usize| {
            let name = (0..i)
                .rev()
                .find(|n| line.words.get(*n).is_none_or(|w| !w.filler));
            matches!(
                name.and_then(|n| line.meaning_at(n)),
                Some(Meaning::Quantity(_))
            )
        };
        let number_before = before
            .checked_sub(1)
            .is_some_and(|i| whole(i).is_some() && !named(i));
        if joint && !filler && number_before {
            at = before;
            continue;
        }
        // "7, and 8 irons"
        break;
    }
    let through = numbers.len() == 2
        && (start..from).any(|i| {
            line.role_at(i) == Some(Role::To)
                || (i + 1 < from
                    && line
                        .words
                        .get(i)
                        .is_some_and(|w| w.mark == Some(Mark::Hyphen)))
        });
    if through
        && let [high, low] = numbers[..]
        && high > low
    {
        numbers = (low as i32..=high as i32).map(f64::from).collect();
    }
    if numbers.is_empty()
        && let Some(n) = whole(to)
        && (line.words.get(to).is_some_and(|w| w.glued) || stands_alone(line, from, to))
    {
        return (vec![n], start, to + 1);
    }
    (numbers, start, to)
}

/// True if nothing but a joint stands between two clubs, or a joint and how many of the second: "3 drives
/// and two fairway woods".
pub(super) fn joins(line: &Line<'_>, from: usize, to: usize) -> bool {
    let some = |i: usize| {
        let amount = ["some", "few", "couple", "of"]
            .iter()
            .any(|w| line.is_word(i, w));
        amount
            || line
                .words
                .get(i)
                .is_some_and(|w| w.number.is_some() || w.filler && w.mark.is_none())
    };
    let amounts = (from..to).find(|i| !is_joint(line, *i)).unwrap_or(to);
    (amounts == to || amounts > from) && (amounts..to).all(some)
}
