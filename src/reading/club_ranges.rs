//! Which clubs does a stretch of the bag hold? "6 iron and up", "up to the 7", "anything longer than
//! a 6 iron", "8 iron through pitching wedge", "past that".
//!
//! Takes the clubs named so far; widens a club to the stretch that the words around it name, and adds
//! the stretch that "past that" and "anything longer" point at. Up, above and past are the longer
//! clubs, down and below the shorter ones. A stretch keeps to the family of its club, irons or wedges,
//! unless it runs from one to the other or is "anything shorter". Woods are never part of one.
//!
//! Not known here: what is said of the clubs. "Goes up", "set up to a 7 iron" and "switched from 7
//! iron to 6 iron" name no stretch.

use super::Pattern;
use super::bare_clubs::{bare_digit, is_measured};
use super::clauses::{Line, is_club};
use super::club_names::is_number;
use super::letters::Mark;
use super::scope::{Mention, add_club};
use crate::knowledge::lexicon::{Meaning, Reach, Role};
use crate::vocabulary::{ClubId, GroupId};

/// Words between the two ends of a stretch at most ("down all the way to the").
const BETWEEN: usize = 6;

/// Words before a club that may still be the first of its clause.
const HEAD: usize = 8;

/// Words that open a stretch of any clubs.
const LEADS: [&str; 10] = [
    "anything",
    "everything",
    "all",
    "irons",
    "clubs",
    "club",
    "iron",
    "ones",
    "any",
    "wedges",
];

/// Words for the longer clubs and for the shorter ones.
const LONGER: [&str; 6] = ["up", "upwards", "upward", "above", "longer", "onwards"];
const SHORTER: [&str; 6] = ["down", "downwards", "downward", "below", "shorter", "under"];

/// After these, "up" and "down" go somewhere.
const GOES_ON: [&str; 14] = [
    "the", "a", "my", "to", "in", "into", "on", "onto", "over", "toward", "towards", "at", "hill",
    "from",
];

/// Who does this changes clubs: "switched from 7 iron to 6 iron".
const CHANGES: [&str; 16] = [
    "went", "go", "going", "gone", "switch", "switched", "changed", "change", "moved", "move",
    "swapped", "swap", "dropped", "clubbed", "between", "gap",
];

/// The clubs with numbers and lofts, the longest first.
type Ladder = Vec<(ClubId, Option<GroupId>)>;

fn ladder(line: &Line<'_>) -> (Ladder, usize) {
    let mut out: Ladder = Vec::new();
    let [irons, lofts] = line.phrases.bare_clubs();
    if let Some(Meaning::Numbered { clubs, .. }) = irons {
        out.extend(clubs.iter().map(|(_, club, group)| (*club, *group)));
    }
    let irons = out.len();
    if let Some(Meaning::Lofts(clubs)) = lofts {
        let mut clubs: Vec<_> = clubs.iter().collect();
        clubs.sort_by(|a, b| a.0.total_cmp(&b.0));
        out.extend(clubs.iter().map(|(_, _, club, group)| (*club, *group)));
    }
    (out, irons)
}

fn name<'a>(line: &Line<'a>, at: usize) -> &'a str {
    let symbol = line.words.get(at).and_then(|w| w.symbol);
    symbol.map_or("", |s| line.phrases.vocabulary.name(s))
}

/// True for the longer clubs, false for the shorter ones.
fn way(word: &str) -> Option<bool> {
    if LONGER.contains(&word) {
        Some(true)
    } else {
        SHORTER.contains(&word).then_some(false)
    }
}

/// The last word before a place that is no article, and where.
fn before(line: &Line<'_>, at: usize) -> Option<usize> {
    (at.saturating_sub(3)..at)
        .rev()
        .find(|i| !matches!(name(line, *i), "the" | "my" | "a" | "an"))
}

/// "And up", "or shorter", and "up" alone before what is said of it: the way, and where it ends.
fn upward(line: &Line<'_>, from: usize, to: usize) -> Option<(bool, usize)> {
    let joined = matches!(line.role_at(to), Some(Role::And | Role::Carry))
        || line.words.get(to).and_then(|w| w.mark) == Some(Mark::And);
    let at = to + usize::from(joined);
    let longer = way(name(line, at))?;
    let next = at + 1;
    let goes_on = GOES_ON.contains(&name(line, next))
        || line.words.get(next).is_some_and(|w| w.number.is_some());
    let led = before(line, from).is_some_and(|i| name(line, i) == "from");
    let told = matches!(line.role_at(next), Some(Role::Me)) || name(line, next) == "all";
    (!goes_on && (joined || led || told && !is_verb_before(line, from))).then_some((longer, next))
}

/// True if the club is not the first thing its clause says.
fn is_verb_before(line: &Line<'_>, from: usize) -> bool {
    let (start, _) = line.clause_range(from);
    (start.max(from.saturating_sub(HEAD))..from).any(|i| {
        let word = line.words.get(i);
        !word.is_some_and(|w| w.filler || w.mark.is_some())
            && !matches!(line.role_at(i), Some(Role::ClubFollows | Role::Stop))
    })
}

/// Where "up to" or "down to" begins that ends right before a place; `true` for "up".
fn up_to(line: &Line<'_>, at: usize) -> Option<(bool, usize)> {
    let to = before(line, at)?;
    let start = to.checked_sub(1)?;
    let up = match (name(line, start), name(line, to)) {
        ("up", "to") => true,
        ("down", "to") => false,
        _ => return None,
    };
    Some((up, start))
}

/// True if a stretch may begin at a place: nothing stands before it, or clubs, or what is said of them.
fn may_begin(line: &Line<'_>, at: usize) -> bool {
    let Some(before) = at.checked_sub(1) else {
        return true;
    };
    let word = line.words.get(before);
    word.is_some_and(|w| w.mark.is_some())
        || !line.same_clause(before, at)
        || LEADS.contains(&name(line, before))
        || line.meaning_at(before).is_some_and(is_club)
        || matches!(
            line.meaning_at(before),
            Some(Meaning::AllWell | Meaning::Symptoms(_))
        )
}

/// "6 and up I chunk", "from 5 down", "up to 7", "short irons down to the 8": a number that a stretch
/// makes a club.
pub(super) fn bare(line: &Line<'_>, at: usize) -> Option<Mention> {
    let number = bare_digit(line, at)?;
    if is_measured(line, at) {
        return None;
    }
    let (start, _) = line.clause_range(at);
    let head = at - start <= HEAD
        && (start..at).all(|i| {
            line.words
                .get(i)
                .is_some_and(|w| w.filler || w.mark.is_some())
                || matches!(line.role_at(i), Some(Role::ClubFollows | Role::Break))
                || name(line, i) == "from"
        });
    let ranged = head && upward(line, at, at + 1).is_some()
        || up_to(line, at).is_some_and(|(_, start)| may_begin(line, start));
    let measured = (at.saturating_sub(12)..at).any(|i| {
        matches!(
            line.meaning_at(i),
            Some(Meaning::Quantity(_) | Meaning::Unit(_))
        )
    });
    if !ranged || measured {
        return None;
    }
    let [Some(Meaning::Numbered { clubs, .. }), _] = line.phrases.bare_clubs() else {
        return None;
    };
    let (_, club, group) = clubs.iter().find(|(n, _, _)| is_number(*n, number))?;
    let mut pattern = Pattern::default();
    add_club(&mut pattern, *club, *group);
    Some(Mention::named(at, at + 1, pattern))
}

/// Widens the clubs of a line to the stretches they stand in; gives the stretches as words from and to.
pub(super) fn widen(line: &mut Line<'_>, clubs: &mut Vec<Mention>) -> Vec<(usize, usize)> {
    let mut taken = Vec::new();
    if clubs.is_empty() {
        return taken;
    }
    let (ladder, irons) = ladder(line);
    let places = |m: &Mention| -> Vec<usize> {
        let named = |(club, group): &(ClubId, Option<GroupId>)| {
            if m.pattern.clubs.is_empty() {
                group.is_some_and(|g| m.pattern.groups.contains(&g))
            } else {
                m.pattern.clubs.contains(club)
            }
        };
        (0..ladder.len())
            .filter(|i| ladder.get(*i).is_some_and(named))
            .collect()
    };
    let mut out: Vec<Mention> = Vec::with_capacity(clubs.len());
    // The longest and the shortest of the last stretch, for "past that".
    let mut last: Option<(usize, usize)> = None;
    let mut waiting = pointers(line).into_iter().peekable();
    for mention in clubs.drain(..) {
        while let Some(pointer) = waiting.peek().filter(|p| p.from < mention.from) {
            if let Some(pointed) = pointed(pointer, last, (&ladder, irons)) {
                taken.push((pointed.from, pointed.to));
                out.push(pointed);
            }
            waiting.next();
        }
        let own = places(&mention);
        let stretch = (mention.reach == Reach::Named && !mention.pattern.part_shot)
            .then(|| stretch(line, &out, &mention, &own, &places, (ladder.len(), irons)))
            .flatten();
        let Some(found) = stretch else {
            if mention.reach == Reach::Named
                && let (Some(low), Some(high)) = (own.first(), own.last())
            {
                last = Some((*low, *high));
            }
            out.push(mention);
            continue;
        };
        last = Some(found.edge);
        let Some(clubs) = ladder.get(found.low..found.high).filter(|c| !c.is_empty()) else {
            out.push(mention);
            continue;
        };
        while out.last().is_some_and(|m| m.to > found.from) {
            out.pop();
        }
        taken.push((found.from, found.to));
        out.push(Mention::named(found.from, found.to, pattern(clubs)));
    }
    for pointer in waiting {
        if let Some(pointed) = pointed(&pointer, last, (&ladder, irons)) {
            taken.push((pointed.from, pointed.to));
            out.push(pointed);
        }
    }
    for (from, to) in &taken {
        line.use_words(*from, *to);
    }
    *clubs = out;
    taken
}

fn pattern(clubs: &[(ClubId, Option<GroupId>)]) -> Pattern {
    let mut pattern = Pattern::default();
    for (club, group) in clubs {
        add_club(&mut pattern, *club, *group);
    }
    pattern
}

/// A stretch found: its words, its places on the ladder, and the edge that "past that" starts from.
struct Stretch {
    from: usize,
    to: usize,
    low: usize,
    high: usize,
    edge: (usize, usize),
}

fn stretch(
    line: &Line<'_>,
    earlier: &[Mention],
    mention: &Mention,
    own: &[usize],
    places: &dyn Fn(&Mention) -> Vec<usize>,
    (all, irons): (usize, usize),
) -> Option<Stretch> {
    let one = match own {
        [one] if mention.pattern.groups.len() == 1 => *one,
        _ => return None,
    };
    let family = if one < irons { 0..irons } else { irons..all };
    let made = |from: usize, to: usize, low: usize, high: usize| Stretch {
        from,
        to,
        low,
        high,
        edge: (low, high.saturating_sub(1)),
    };
    // "8 iron through pitching wedge", "short irons down to the 8".
    let joined = earlier.last().filter(|a| runs_to(line, a, mention));
    if let Some((first, begins)) = joined.and_then(|a| Some((a, ends(&places(a))?))) {
        let (low, high) = begins;
        let (from, to) = (first.from, mention.to);
        let single = first.pattern.clubs.len() == 1;
        return Some(if one < low {
            made(from, to, one, high + 1)
        } else if one > high {
            made(from, to, low, one + 1)
        } else if single || high - one >= one - low {
            made(from, to, one, high + 1)
        } else {
            made(from, to, low, one + 1)
        });
    }
    if let Some((up, start)) = up_to(line, mention.from).filter(|(_, at)| may_begin(line, *at)) {
        return Some(if up {
            made(start, mention.to, one, family.end)
        } else {
            made(start, mention.to, family.start, one + 1)
        });
    }
    if let Some((longer, start)) = compared(line, mention.from) {
        let mut found = if longer {
            made(start, mention.to, 0, one)
        } else {
            made(start, mention.to, one + 1, all)
        };
        found.edge = (one, one);
        return Some(found);
    }
    let (longer, to) = upward(line, mention.from, mention.to)?;
    Some(if longer {
        made(mention.from, to, family.start, one + 1)
    } else {
        made(mention.from, to, one, family.end)
    })
}

fn ends(places: &[usize]) -> Option<(usize, usize)> {
    Some((*places.first()?, *places.last()?))
}

/// "Anything longer than a 6 iron", "everything below the 8": the way, and where it starts.
fn compared(line: &Line<'_>, at: usize) -> Option<(bool, usize)> {
    let than = before(line, at)?;
    let (longer, word) = match name(line, than) {
        "than" => {
            let word = than.checked_sub(1)?;
            (way(name(line, word))?, word)
        }
        "past" | "beyond" | "above" | "over" => (true, than),
        "below" | "under" => (false, than),
        _ => return None,
    };
    let lead = (word.saturating_sub(3)..word)
        .rev()
        .find(|i| !matches!(name(line, *i), "thats" | "that" | "is" | "are" | "much"))?;
    // "6 iron longer than my 5 iron" compares two clubs.
    let numbered = lead > 0 && line.words.get(lead - 1).is_some_and(|w| w.number.is_some());
    (LEADS.contains(&name(line, lead)) && !numbered).then_some((longer, lead))
}

/// True if words from one club to the next make a stretch of them.
fn runs_to(line: &Line<'_>, first: &Mention, second: &Mention) -> bool {
    if first.reach != Reach::Named
        || first.to > second.from
        || second.from - first.to > BETWEEN
        || line.sentence.get(first.from) != line.sentence.get(second.from)
    {
        return false;
    }
    let mut through = false;
    for at in first.to..second.from {
        let word = name(line, at);
        let mark = line.words.get(at).and_then(|w| w.mark);
        if matches!(word, "through" | "thru" | "to" | "until" | "till")
            || mark == Some(Mark::Hyphen)
        {
            through = true;
        } else if !matches!(
            word,
            "down" | "up" | "all" | "the" | "way" | "my" | "a" | "right"
        ) {
            return false;
        }
    }
    let changes =
        (first.from.saturating_sub(4)..first.from).any(|i| CHANGES.contains(&name(line, i)));
    through && !changes
}

/// "Past that", "anything longer" before what is said of it.
struct Pointer {
    from: usize,
    to: usize,
    longer: bool,
}

fn pointers(line: &Line<'_>) -> Vec<Pointer> {
    let mut out = Vec::new();
    for from in 0..line.words.len() {
        let (word, next) = (name(line, from), name(line, from + 1));
        let (longer, mut to) = match (word, next) {
            ("past" | "beyond" | "above", "that") | ("anything" | "everything", "longer") => {
                (true, from + 2)
            }
            ("below" | "under", "that") | ("anything" | "everything", "shorter") => {
                (false, from + 2)
            }
            _ => continue,
        };
        if name(line, to) == "than" {
            if name(line, to + 1) != "that" {
                continue;
            }
            to += 2;
        }
        if is_verb_before(line, from) {
            continue;
        }
        out.push(Pointer { from, to, longer });
    }
    out
}

fn pointed(
    pointer: &Pointer,
    last: Option<(usize, usize)>,
    (ladder, irons): (&Ladder, usize),
) -> Option<Mention> {
    let (low, high) = last?;
    let clubs = if pointer.longer {
        let start = if low > irons { irons } else { 0 };
        ladder.get(start..low)?
    } else {
        ladder.get(high + 1..)?
    };
    (!clubs.is_empty()).then(|| Mention::named(pointer.from, pointer.to, pattern(clubs)))
}
