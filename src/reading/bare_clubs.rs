//! Which numbers without a noun are clubs? "With the 9", "8 and 9 both go right", "PW 46 deg".
//!
//! A word and its neighbours in; the clubs the number names out, or nothing where it could measure
//! or count. Not known here: what is said of the clubs.

use super::Pattern;
use super::clauses::Line;
use super::club_names::is_number;
use super::letters::Mark;
use super::phrases::Word;
use super::scope::{Mention, add_club};
use crate::knowledge::lexicon::{Meaning, Role};
use crate::quantity::Unit;

/// Words within which a quantity's name is looked for around a bare loft.
const NEAR: usize = 12;

/// "Hybrid 4: hook", "iron 7 fat": one club's noun and after it a number that measures and counts
/// nothing.
pub(super) fn stands_alone(line: &Line<'_>, noun: usize, at: usize) -> bool {
    let digits = line.words.get(at).is_some_and(|w| !w.spelt && !w.glued);
    let one = line
        .words
        .get(noun)
        .and_then(|w| w.symbol)
        .is_some_and(|s| !line.phrases.vocabulary.name(s).ends_with('s'));
    digits && one && noun + 1 == at && !is_measured(line, at)
}

/// "Pulled 3 irons left", "hit 2 irons fat and 3 irons thin": so many shots, as nobody owns three 3 irons.
pub(super) fn counts_shots(line: &Line<'_>, noun: usize) -> bool {
    const MOST: f64 = 4.0;
    const STRUCK: [&str; 7] = ["hit", "hits", "hitting", "struck", "had", "missed", "and"];
    let name = |at: usize| {
        let symbol = line.words.get(at).and_then(|w| w.symbol);
        symbol.map_or("", |s| line.phrases.vocabulary.name(s))
    };
    let Some(number) = noun.checked_sub(1) else {
        return false;
    };
    let few = line
        .words
        .get(number)
        .is_some_and(|w| w.number.is_some_and(|n| (2.0..=MOST).contains(&n)));
    let Some(before) = number.checked_sub(1) else {
        return false;
    };
    let struck = STRUCK.contains(&name(before))
        || matches!(line.meaning_at(before), Some(Meaning::Symptoms(_)))
        || line.words.get(before).and_then(|w| w.mark) == Some(Mark::Comma);
    // "7 and 3 irons", "4, 3 irons": clubs beside clubs.
    let beside = before
        .checked_sub(1)
        .and_then(|i| line.words.get(i))
        .is_some_and(|w| w.number.is_some());
    few && name(noun).ends_with('s') && struck && !beside
}

/// True if what follows a number makes it measure or count.
pub(super) fn is_measured(line: &Line<'_>, at: usize) -> bool {
    let after = line.words.get(at + 1);
    // "2 of my 8 drives" counts them.
    let drives = line.is_word(at + 1, "drives");
    drives
        || after.is_some_and(|w| {
            w.mark == Some(Mark::Hyphen)
                || w.mark == Some(Mark::Slash)
                || w.mark == Some(Mark::Percent)
                || w.number.is_some()
                || w.glued && w.mark.is_none()
        })
        || matches!(
            line.meaning_at(at + 1),
            Some(
                Meaning::Unit(_)
                    | Meaning::Numbered { .. }
                    | Meaning::Lofts(_)
                    | Meaning::ShotsIn(_)
                    | Meaning::Word(
                        Role::Counted | Role::Times | Role::InARow | Role::OutOf | Role::To
                    )
            )
        )
}

/// "PW 46 deg", "52 I thin": a loft where nothing is measured.
fn bare_loft(line: &Line<'_>, at: usize, number: f64) -> Option<Mention> {
    if number < 44.0 {
        return None;
    }
    let (from, to) = line.clause_range(at);
    let degrees = matches!(line.meaning_at(at + 1), Some(Meaning::Unit(Unit::Degree)));
    let first = at - from <= 3 && line.past_fillers(from) == at || from == at;
    let subject = first
        && matches!(
            line.meaning_at(at + 1),
            Some(Meaning::Symptoms(_) | Meaning::AllWell | Meaning::Word(Role::Me))
        );
    // A name this near means that the number measures something.
    let measured = || {
        (from.max(at.saturating_sub(NEAR))..to.min(at + NEAR))
            .any(|i| matches!(line.meaning_at(i), Some(Meaning::Quantity(_))))
    };
    if !(degrees || subject) || measured() {
        return None;
    }
    let [_, Some(Meaning::Lofts(lofts))] = line.phrases.bare_clubs() else {
        return None;
    };
    let (_, _, club, group) = lofts
        .iter()
        .find(|(low, high, _, _)| (*low..=*high).contains(&number))?;
    let mut pattern = Pattern::default();
    add_club(&mut pattern, *club, *group);
    Some(Mention::named(at, at + 1 + usize::from(degrees), pattern))
}

/// "My 7", "with the 56": a number after such words that counts and measures nothing.
pub(super) fn bare_club(line: &Line<'_>, at: usize) -> Option<Mention> {
    let word = line.words.get(at)?;
    let number = word.number?;
    // "My 9 yr old" is no 9 iron.
    let taken = word.sign != 0 || line.is_used(at);
    if taken || number.fract() != 0.0 || word.spelt && number < 2.0 {
        return None;
    }
    if let Some(mention) = bare_loft(line, at, number) {
        return Some(mention);
    }
    if bare_digit(line, at).is_some() && goes_so_far(line, at) {
        let mut pattern = Pattern::default();
        add_bare(line, number, &mut pattern);
        return (!pattern.groups.is_empty()).then_some(Mention::named(at, at + 1, pattern));
    }
    let before = at.checked_sub(1)?;
    // "Hit a couple", "with a few" count shots.
    let article = line.words.get(before).and_then(|w| w.symbol);
    if word.spelt && article.is_some_and(|s| line.phrases.vocabulary.name(s) == "a") {
        return None;
    }
    let prefixed = word.glued && line.phrases.is_club_letter(line.words.get(before)?.symbol);
    let pair = joined_number(line, at);
    let led = line.role_at(before) == Some(Role::ClubFollows)
        || prefixed
        || may_follow(line, at)
            && (pair.is_some() || says_no_more(line, at) || has_a_number(line, at))
        || named_again(line, at) && says_no_more(line, at);
    if !led || is_measured(line, at) {
        return None;
    }
    let mut pattern = Pattern::default();
    add_bare(line, number, &mut pattern);
    let mut to = at + 1;
    if let Some((next, other)) = pair.filter(|_| !pattern.groups.is_empty()) {
        add_bare(line, other, &mut pattern);
        to = next + 1;
    }
    (!pattern.groups.is_empty()).then_some(Mention::named(
        if prefixed { before } else { at },
        to,
        pattern,
    ))
}

/// "8 and 9 both go right", "with 9, 8 or 7": numbers at the head of a clause or after a word that leads
/// to clubs, which measure nothing.
pub(super) fn bare_list(line: &Line<'_>, at: usize) -> Option<Mention> {
    let (from, _) = line.clause_range(at);
    let mut numbers = vec![bare_digit(line, at)?];
    let head = line.past_fillers(from) == at;
    let led = at > 0 && (may_follow(line, at) || line.role_at(at - 1) == Some(Role::ClubFollows));
    if !head && !led {
        return None;
    }
    let mut last = at;
    while line.words.get(last + 1).and_then(|w| w.mark) == Some(Mark::Comma)
        && let Some(number) = bare_digit(line, last + 2)
        && !numbers.contains(&number)
    {
        numbers.push(number);
        last += 2;
    }
    let (next, other) = joined_number(line, last)?;
    numbers.push(other);
    let (_, to) = line.clause_range(next);
    let told = line.words.get(next + 1).is_some_and(|w| w.mark.is_none()) && next + 1 < to;
    // A pair in the middle of a clause is looked at by itself.
    let named = if head { told } else { numbers.len() > 2 };
    if !named {
        return None;
    }
    let mut pattern = Pattern::default();
    for number in numbers {
        add_bare(line, number, &mut pattern);
    }
    (!pattern.groups.is_empty()).then_some(Mention::named(at, next + 1, pattern))
}

/// The club that a bare number is the name of.
fn add_bare(line: &Line<'_>, number: f64, pattern: &mut Pattern) {
    for meaning in line.phrases.bare_clubs().into_iter().flatten() {
        let found = match meaning {
            Meaning::Numbered { clubs, .. } if (2.0..=9.0).contains(&number) => clubs
                .iter()
                .find(|(n, _, _)| is_number(*n, number))
                .map(|(_, club, group)| (*club, *group)),
            Meaning::Lofts(clubs) if number >= 44.0 => clubs
                .iter()
                .find(|(low, high, _, _)| (*low..=*high).contains(&number))
                .map(|(_, _, club, group)| (*club, *group)),
            _ => None,
        };
        if let Some((club, group)) = found {
            add_club(pattern, club, group);
        }
    }
}

/// A digit that may be the name of an iron.
pub(super) fn bare_digit(line: &Line<'_>, at: usize) -> Option<f64> {
    let word = line.words.get(at)?;
    let number = word.number?;
    let fits = word.sign == 0
        && number.fract() == 0.0
        && (2.0..=9.0).contains(&number)
        && !word.spelt
        && !word.glued
        && !line.is_used(at);
    fits.then_some(number)
}

/// The number joined to this one by an "and": "8 and 9", if it measures and counts nothing.
fn joined_number(line: &Line<'_>, at: usize) -> Option<(usize, f64)> {
    let joint = matches!(line.role_at(at + 1), Some(Role::And | Role::Carry))
        || line.words.get(at + 1)?.mark == Some(Mark::And);
    let number = bare_digit(line, at + 2)?;
    (joint && !is_measured(line, at + 2)).then_some((at + 2, number))
}

/// True if a word like "with" or "than" stands before a number: "with the 9", "w/ 6".
fn may_follow(line: &Line<'_>, at: usize) -> bool {
    let before = (0..at).rev().take(3).filter_map(|i| line.words.get(i));
    let leads = |w: &&Word| line.phrases.may_lead_to_club(w.symbol);
    let passed = |w: &&Word| w.filler || w.mark == Some(Mark::Slash);
    bare_digit(line, at).is_some()
        && before
            .clone()
            .position(|w| leads(&w))
            .is_some_and(|n| before.take(n).all(|w| passed(&w)))
}

/// "7 goes 120": what follows says how far a club of that number goes.
fn goes_so_far(line: &Line<'_>, at: usize) -> bool {
    let next = line.past_fillers(at + 1);
    let verb = line.words.get(next).and_then(|w| w.symbol);
    let goes = verb.is_some_and(|s| {
        let name = line.phrases.vocabulary.name(s);
        [
            "goes", "flies", "carries", "went", "flew", "carried", "travels",
        ]
        .contains(&name)
    });
    let far = line.words.get(line.past_fillers(next + 1));
    goes && far.and_then(|w| w.number).is_some_and(|n| n >= FAR)
}

/// "Club speed w 7 is 62 mph": what follows says what a club of that number has.
fn has_a_number(line: &Line<'_>, at: usize) -> bool {
    let has = ["is", "was", "averages", "averaged"];
    let next = at + 1 + usize::from(line.role_at(at + 1) == Some(Role::About));
    has.iter().any(|w| line.is_word(next, w))
        && (line.words.get(line.past_fillers(next + 1))).is_some_and(|w| w.number.is_some())
}

/// No club number, and no iron goes less (elicited).
const FAR: f64 = 60.0;

/// "It was the 8", "not the 7", "sorry, the 8": an article, and before it a word that says which it
/// was.
fn named_again(line: &Line<'_>, at: usize) -> bool {
    let name = |back: usize| {
        let word = line.words.get(at.checked_sub(back)?)?;
        Some(line.phrases.vocabulary.name(word.symbol?))
    };
    let article = matches!(name(1), Some("the" | "my" | "a"));
    let says = matches!(
        name(2),
        Some("was" | "wasnt" | "not" | "its" | "actually" | "meant")
    ) || at
        .checked_sub(2)
        .is_some_and(|i| line.role_at(i) == Some(Role::Correct))
        || name(2).is_none();
    bare_digit(line, at).is_some() && article && says
}

/// True if nothing after a number in its clause says what it counts: its end, a mark, a joint, "I".
fn says_no_more(line: &Line<'_>, at: usize) -> bool {
    let (_, to) = line.clause_range(at);
    at + 1 >= to
        || line.words.get(at + 1).is_some_and(|w| w.mark.is_some())
        || matches!(
            line.role_at(at + 1),
            Some(Role::And | Role::Carry | Role::Me | Role::Stop | Role::Break | Role::Not)
        )
}
