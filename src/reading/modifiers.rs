//! How often, how bad, how many times: which symptom does each such word or number belong to?
//!
//! Takes the findings of a line in order and the numbers that measured nothing; writes shares,
//! severities and counts into the symptom they stand by. A number that belongs to nothing is asked
//! about. Does not know whether a finding holds: that was decided before.

use std::collections::{BTreeMap, BTreeSet};

use super::carried;
use super::clauses::Line;
use super::findings::Draft;
use super::letters::Mark;
use super::numbers::{Counted, Group};
use super::scope::Scope;
use super::{Count, Finding, Pattern, Polarity, Reading, Unclear, What, Why};
use crate::knowledge::lexicon::{Meaning, Role};
use crate::quantity::Unit;
use crate::vocabulary::QuantityId;

/// Findings looked through on either side for the one that a modifier belongs to.
const LOOK: usize = 12;

/// Hands how often, how bad and counts to the symptoms they belong to; gives the sentences that count
/// parts of a number of shots.
pub(super) fn hand_out(
    line: &mut Line<'_>,
    scope: &Scope,
    drafts: &mut [Draft],
    rest: &[Group],
) -> BTreeSet<usize> {
    let matches = line.matches.clone();
    let wholes = wholes(line, rest);
    for found in &matches {
        match line.phrases.meaning(found) {
            Some(Meaning::Often(_)) if each_time(line, found.from, found.to) => {
                line.use_words(found.from, found.to);
            }
            Some(Meaning::Often(_)) if of_other_clubs(line, scope, drafts, rest, found.from) => {
                line.use_words(found.from, found.to);
            }
            Some(Meaning::Often(share)) => {
                let share = *share;
                give(line, drafts, found.from, found.to, |f| {
                    f.often = f.often.or(Some(share));
                });
            }
            Some(Meaning::Severity(level)) => {
                let level = *level;
                give(line, drafts, found.from, found.to, |f| {
                    f.severity = f.severity.or(Some(level));
                });
            }
            _ => {}
        }
    }
    let totals = totals(line, drafts, rest);
    let all_of = |n: u16| {
        let mut others = rest.iter();
        others.any(|g| matches!(g.counted, Some(Counted::Of(_, of)) if of == n))
    };
    for group in rest {
        // "10 balls: 4 of 10 fat": the ten are those that the four are of.
        if matches!(group.counted, Some(Counted::Times(n)) if all_of(n)) {
            line.use_words(group.from, group.to);
            continue;
        }
        if of_counted(line, drafts, group) {
            continue;
        }
        if totals.iter().any(|t| t.at == group.from) {
            line.use_words(group.from, group.to);
            continue;
        }
        let share = matches!(group.counted, Some(Counted::Of(..)));
        // "6 of 14 fairways" says how well it went, and of what is told beside it nothing.
        if share && ON_THE_CARD.iter().any(|w| line.is_word(group.to, w)) {
            continue;
        }
        if share && of_other_clubs(line, scope, drafts, rest, group.from) {
            line.use_words(group.from, group.to);
            continue;
        }
        let sentence = line.sentence.get(group.from);
        let whole = sentence.and_then(|s| wholes.get(s));
        if whole.is_some_and(|(at, _)| *at == group.from) {
            line.use_words(group.from, group.to);
            continue;
        }
        let before = totals
            .iter()
            .find(|t| Some(&t.sentence) == sentence && t.at < group.from)
            .map(|t| t.of);
        let total = before.or(whole.map(|(_, of)| *of));
        let count = match group.counted {
            Some(Counted::Of(hits, of)) => (hits, Some(of), Some(f64::from(hits) / f64::from(of))),
            Some(Counted::Row(hits)) => (hits, Some(hits), None),
            Some(Counted::Times(hits) | Counted::Part(hits)) => (hits, None, None),
            None if group.unit == Some(Unit::Percent) => {
                let share = (group.mean() / 100.0).clamp(0.0, 1.0);
                give(line, drafts, group.from, group.to, |f| {
                    f.often = Some(share);
                });
                continue;
            }
            // "A third of my irons", "half my wedges".
            None if is_part_of_shots(group) && !PARTS.iter().any(|w| line.is_word(group.to, w)) => {
                let share = group.mean();
                give(line, drafts, group.from, group.to, |f| {
                    f.often = f.often.or(Some(share));
                });
                continue;
            }
            Some(Counted::Per(hits, shots)) => (hits, None, Some(f64::from(hits) / shots)),
            // "3 good drives": nothing went wrong in these.
            None if group.unit.is_none() && counts_good_ones(drafts, group) => {
                line.use_words(group.from, group.to);
                let first = drafts.partition_point(|d| d.at < group.to);
                if let (Some(good), hits @ 0.0..=1000.0) = (drafts.get_mut(first), group.low) {
                    good.finding.count = Some(Count {
                        hits: hits as u16,
                        of: None,
                    });
                }
                continue;
            }
            None if group.unit.is_none()
                && !group.signed
                && group.low.fract() == 0.0
                && (0.0..=50.0).contains(&group.low)
                && touches(line, drafts, group) =>
            {
                (group.low as u16, None, None)
            }
            None => continue,
        };
        let (hits, mut of, mut often) = count;
        if let (Some(all), None, None) = (total, of, often)
            && hits <= all
        {
            of = Some(all);
            often = Some(f64::from(hits) / f64::from(all));
        }
        give_to(line, drafts, (group.from, group.to), true, |f| {
            // "Shanks: 0", "0 of 10": there was none.
            if hits == 0 {
                f.polarity = Polarity::Absent;
                return;
            }
            // "No shanks in 40 balls" counts no shanks.
            if f.polarity == Polarity::Absent && of.is_none() {
                return;
            }
            f.count = f.count.or(Some(Count { hits, of }));
            f.often = f.often.or(often.map(|o| o.min(1.0)));
        });
    }
    (totals.iter())
        .map(|t| t.sentence)
        .chain(wholes.keys().copied())
        .collect()
}

/// After "half" these are a part of something else than the shots: "half a step", "half way out".
const PARTS: [&str; 22] = [
    "step", "steps", "way", "turn", "turns", "swing", "swings", "speed", "pace", "power", "club",
    "set", "decent", "asleep", "hour", "open", "shut", "closed", "shot", "inch", "ball", "size",
];

/// True for a share in words: "a third", "half".
fn is_part_of_shots(group: &Group) -> bool {
    group.unit.is_none() && !group.digits && group.low > 0.0 && group.low < 1.0
}

/// A number of shots that the counts of a sentence are parts of.
struct Total {
    /// Where the number stands.
    at: usize,
    of: u16,
    /// The sentence of the counts.
    sentence: usize,
}

/// "10 balls: 4 fat, 6 good", "20 balls with the 7 iron. 6 of them fat": the numbers of shots that the
/// counts after them, in their sentence or in the next if theirs tells nothing, are parts of.
fn totals(line: &Line<'_>, drafts: &[Draft], rest: &[Group]) -> Vec<Total> {
    let bare = |g: &&Group| {
        matches!(g.counted, None | Some(Counted::Part(_)))
            && g.unit.is_none()
            && !g.signed
            && g.low.fract() == 0.0
    };
    let total = |(place, group): (usize, &Group)| {
        let comma = line.words.get(group.to).and_then(|w| w.mark) == Some(Mark::Comma);
        let hit = group.from > 0
            && line.is_word(group.from - 1, "hit")
            && (comma || line.is_word(group.to, "with"));
        let of = match group.counted {
            Some(Counted::Times(of)) => of,
            None if hit && bare(&group) && (3.0..=1000.0).contains(&group.low) => group.low as u16,
            _ => return None,
        };
        let own = *line.sentence.get(group.from)?;
        let silent = !drafts.iter().any(|d| line.sentence.get(d.at) == Some(&own));
        let sentence = own + usize::from(silent);
        let parts: Vec<&Group> = rest
            .iter()
            .skip(place + 1)
            .filter(|g| line.sentence.get(g.from) == Some(&sentence))
            .filter(bare)
            .filter(|g| {
                touches(line, drafts, g) || counts_good_ones(drafts, g) || part_of(line, drafts, g)
            })
            .collect();
        let sum: f64 = parts.iter().map(|g| g.low).sum();
        let faults = |g: &&Group| touches(line, drafts, g) || part_of(line, drafts, g);
        let faults = parts.iter().any(faults);
        let at = group.from;
        (faults && sum <= f64::from(of) && of >= 3).then_some(Total { at, of, sentence })
    };
    rest.iter().enumerate().filter_map(total).collect()
}

/// "10 balls, 3 of them just rolled": some of those counted, in a clause that tells what they did.
fn part_of(line: &Line<'_>, drafts: &[Draft], group: &Group) -> bool {
    let next = drafts.partition_point(|d| d.at < group.to);
    let told = drafts
        .get(next)
        .filter(|d| line.same_clause(d.at, group.from));
    matches!(group.counted, Some(Counted::Part(_)))
        && told.is_some_and(|d| matches!(d.finding.what, What::Symptom(_)))
}

/// A fault said with less weight than this makes no clubs ill that are said to be well (elicited).
const FIRM: f64 = 0.75;

/// "3 good drives then a snap": some good ones among others do not make all well.
pub(super) fn drop_some_good_ones(line: &Line<'_>, scope: &Scope, drafts: &mut Vec<Draft>) {
    let present = |d: &&Draft| {
        matches!(d.finding.what, What::Symptom(_)) && d.finding.polarity == Polarity::Present
    };
    let ill: BTreeSet<Option<usize>> = drafts
        .iter()
        .filter(present)
        .map(|d| line.sentence.get(d.at).copied())
        .collect();
    // "Pop up, pop up, then a decent drive": what went wrong with these very clubs is told as well.
    let faults: BTreeSet<Pattern> = drafts
        .iter()
        .filter(present)
        .filter(|d| d.why.is_none() && d.finding.weight >= FIRM)
        .filter(|d| scope.named_in_clause(line, d.at))
        .map(|d| d.finding.pattern.clone())
        .collect();
    drafts.retain(|d| {
        let well = d.finding.what == What::AllWell;
        let counted = well && d.finding.count.is_some();
        let both = well && d.why.is_none() && faults.contains(&d.finding.pattern);
        !(both || counted && ill.contains(&line.sentence.get(d.at).copied()))
    });
}

/// What is counted on the card, and is no shot that went wrong.
const ON_THE_CARD: [&str; 4] = ["fairways", "greens", "gir", "girs"];

/// Shots as things that are counted, where no phrase says so.
const SHOTS: [&str; 14] = [
    "shots", "balls", "swings", "goes", "attempts", "tries", "hits", "strikes", "drives",
    "pitches", "chips", "irons", "wedges", "putts",
];

/// "Three chunks in five pitches", "2 shanks out of my 20 balls": the number is the whole of those
/// counted right before. True if it was.
fn of_counted(line: &mut Line<'_>, drafts: &mut [Draft], group: &Group) -> bool {
    let whole = group.unit.is_none()
        && !group.signed
        && (2.0..=1000.0).contains(&group.low)
        && group.low.fract() == 0.0
        && matches!(group.counted, None | Some(Counted::Times(_)));
    let before = (0..group.from)
        .rev()
        .find(|i| line.words.get(*i).is_none_or(|w| !w.filler));
    let joint = before.filter(|i| line.role_at(*i) == Some(Role::OutOf));
    let (true, Some(joint)) = (whole, joint) else {
        return false;
    };
    let shots = (group.to.saturating_sub(1)..group.to + 2)
        .any(|i| SHOTS.iter().any(|w| line.is_word(i, w)));
    let start = line.match_at(joint).map_or(joint, |m| m.from);
    let last = drafts.partition_point(|d| d.at < group.from);
    let Some(told) = last.checked_sub(1).and_then(|i| drafts.get_mut(i)) else {
        return false;
    };
    let of = group.low as u16;
    match told.finding.count {
        Some(Count { hits, of: None }) if shots && told.to == start && hits <= of => {
            told.finding.count = Some(Count { hits, of: Some(of) });
            let share = f64::from(hits) / f64::from(of);
            told.finding.often = told.finding.often.or(Some(share));
            line.use_words(start, group.to);
            true
        }
        _ => false,
    }
}

/// The whole of which each sentence counts parts ("of 20 drives 12 sliced"): where it stands, and it.
fn wholes(line: &Line<'_>, rest: &[Group]) -> BTreeMap<usize, (usize, u16)> {
    let whole = |g: &&Group| {
        let counted = matches!(g.counted, None | Some(Counted::Times(_)));
        counted
            && g.unit.is_none()
            && (2.0..=1000.0).contains(&g.low)
            && g.low.fract() == 0.0
            && (g.high - g.low).abs() < 1e-9
            && g.from > 0
            && line.is_word(g.from - 1, "of")
    };
    rest.iter()
        .filter(whole)
        .filter_map(|g| Some((*line.sentence.get(g.from)?, (g.from, g.low as u16))))
        .collect()
}

/// "Fat with the wedges, sometimes with the irons": how often it is so of these clubs, not of those
/// before.
fn of_other_clubs(
    line: &Line<'_>,
    scope: &Scope,
    drafts: &[Draft],
    rest: &[Group],
    at: usize,
) -> bool {
    let (from, to) = line.clause_range(at);
    let first = drafts.partition_point(|d| d.at < from);
    if drafts.get(first).is_some_and(|d| d.at < to) {
        return false;
    }
    let mention = scope.clubs.partition_point(|m| m.from < from);
    let Some(mention) = scope.clubs.get(mention).filter(|m| m.from < to) else {
        return false;
    };
    let before = first.checked_sub(1).and_then(|i| drafts.get(i));
    let other = before.is_some_and(|d| {
        line.sentence.get(d.at) == line.sentence.get(at)
            && scope.named_in_clause(line, d.at)
            && d.finding.pattern != scope.pattern_at(line, mention.from)
    });
    other && carried::said_of(line, (mention.from, mention.to), rest).is_some()
}

/// Words looked through after "every time" for what happens then.
const THEN: usize = 16;

/// "Every time I chunk it I thin the next": one thing whenever another one happens is no share of
/// all shots.
fn each_time(line: &Line<'_>, from: usize, to: usize) -> bool {
    let is = |at: usize, words: &[&str]| words.iter().any(|w| line.is_word(at, w));
    if !is(from, &["every", "each", "any", "whenever"]) {
        return false;
    }
    let (mut told, mut fresh) = (0, false);
    for at in to..(to + THEN).min(line.words.len()) {
        if line.sentence.get(at) != line.sentence.get(from) {
            break;
        }
        if is(at, &["i", "it", "they", "we", "the"]) {
            fresh = true;
        } else if fresh && matches!(line.meaning_at(at), Some(Meaning::Symptoms(_))) {
            told += 1;
            fresh = false;
        }
    }
    told >= 2
}

/// True if a bare number stands right before shots that are said to be well.
fn counts_good_ones(drafts: &[Draft], group: &Group) -> bool {
    let next = drafts.partition_point(|d| d.at < group.to);
    let here = drafts.get(next..).unwrap_or(&[]).iter();
    let mut here = here.take_while(|d| d.at == group.to).peekable();
    here.peek().is_some() && here.all(|d| !d.is_number && d.finding.what == What::AllWell)
}

/// True if a bare number stands right beside a symptom ("chunked three", "3 shanks", "fats: two").
fn touches(line: &Line<'_>, drafts: &[Draft], group: &Group) -> bool {
    let marked = |at: usize| {
        let mark = line.words.get(at).and_then(|w| w.mark);
        matches!(mark, Some(Mark::Colon | Mark::Equals))
    };
    let after = drafts.partition_point(|d| d.at < group.to);
    let next = drafts.get(after..).unwrap_or(&[]).iter();
    let before = drafts.get(..after).unwrap_or(&[]).iter().rev().take(4);
    // "Pushed maybe three drives", "snap hooked it off four tees": shots by their name.
    let named = THINGS.iter().any(|w| line.is_word(group.to, w));
    let led = |from: usize| {
        named
            && (from..group.from).all(|i| {
                let word = line.words.get(i);
                word.is_some_and(|w| w.filler)
                    || line.role_at(i) == Some(Role::Unsure)
                    || ["off", "on", "with"].iter().any(|w| line.is_word(i, w))
            })
    };
    // "Caught two approaches a tad heavy".
    let filler = |i: usize| line.words.get(i).is_some_and(|w| w.filler);
    // "13 on the heel, 2 off the toe": shots by where they were struck.
    let on = ["on", "off"].iter().any(|w| line.is_word(group.to, w)) && group.digits;
    let things = |d: &Draft| (named || on) && (group.to + 1..d.at).all(filler);
    next.take_while(|d| d.at == group.to || things(d))
        .any(|d| !d.is_number)
        || before.into_iter().any(|d| {
            let beside = d.to == group.from || d.to + 1 == group.from && marked(d.to);
            !d.is_number && (beside || d.to <= group.from && led(d.to))
        })
}

/// Shots and places of shots that are counted after what went wrong with them.
const THINGS: [&str; 9] = [
    "drives",
    "approaches",
    "tees",
    "chips",
    "pitches",
    "putts",
    "shots",
    "balls",
    "irons",
];

/// Gives a modifier to the nearest symptom of its clause, else to the last one before it in its
/// sentence, else to the first one after it.
fn give(
    line: &mut Line<'_>,
    drafts: &mut [Draft],
    from: usize,
    to: usize,
    set: impl Fn(&mut Finding),
) {
    give_to(line, drafts, (from, to), false, set);
}

/// The same; what `counts` goes to what happened.
fn give_to(
    line: &mut Line<'_>,
    drafts: &mut [Draft],
    (from, to): (usize, usize),
    counts: bool,
    set: impl Fn(&mut Finding),
) {
    // "Nine began right, not one began left": counted is what happened, if anything did.
    let told = |d: &Draft| !d.is_number && d.finding.what != What::AllWell;
    let sentence_of = |d: &Draft| line.sentence.get(d.at) == line.sentence.get(from);
    let happened = |d: &Draft| told(d) && d.finding.polarity != Polarity::Absent;
    let any = counts && drafts.iter().any(|d| happened(d) && sentence_of(d));
    let usable = |d: &&Draft| if any { happened(d) } else { told(d) };
    let middle = drafts.partition_point(|d| d.at < from);
    let (earlier, later) = drafts.split_at(middle);
    let before = earlier.iter().rev().take(LOOK).find(usable);
    let after = later.iter().take(LOOK).find(usable);
    let clause = |d: &&Draft| line.same_clause(d.at, from);
    let sentence = |d: &&Draft| line.sentence.get(d.at) == line.sentence.get(from);
    let place = match (before.filter(clause), after.filter(clause)) {
        // One before the words is as good as one a word further on after them.
        (Some(b), Some(a)) if from.saturating_sub(b.to) < a.at.saturating_sub(to) => Some(b),
        (_, Some(a)) => Some(a),
        (Some(b), None) => Some(b),
        (None, None) => before
            .filter(sentence)
            .or(after.filter(sentence))
            .or(before.filter(|_| stands_by_itself(line, from, to))),
    }
    .map(|d| (d.at, d.to));
    let Some(place) = place else {
        return;
    };
    line.use_words(from, to);
    let first = drafts.partition_point(|d| d.at < place.0);
    for draft in drafts.iter_mut().skip(first) {
        if (draft.at, draft.to) != place {
            break;
        }
        set(&mut draft.finding);
    }
}

/// "Whiffed it. Twice on the first hole.": a sentence that opens with how often and tells of no shot.
fn stands_by_itself(line: &Line<'_>, from: usize, to: usize) -> bool {
    let sentence = line.sentence_range(from);
    let empty = |i: usize| {
        let word = line.words.get(i);
        word.is_some_and(|w| w.filler || w.mark.is_some())
            || line.role_at(i) == Some(Role::Unsure)
            || line.role_at(i) == Some(Role::About)
    };
    let silent = |i: usize| {
        let number = line.words.get(i).is_some_and(|w| w.number.is_some());
        let place = SPOKEN_OF.iter().any(|w| line.is_word(i, w));
        let more = !place && !empty(i) && line.meaning_at(i).is_some_and(|m| !is_place(m));
        !number && !more
    };
    (sentence.start..from).all(empty) && (to..sentence.end).all(silent)
}

/// Words after a count that point back or say when.
const SPOKEN_OF: [&str; 12] = [
    "of",
    "those",
    "them",
    "these",
    "on",
    "in",
    "today",
    "yesterday",
    "hole",
    "first",
    "last",
    "the",
];

/// True for a meaning that says where or when, and of no shot what it did.
const fn is_place(meaning: &Meaning) -> bool {
    matches!(
        meaning,
        Meaning::Word(Role::Plain | Role::Stop | Role::Filler | Role::Now | Role::OutOf)
            | Meaning::ShotsIn(_)
    )
}

/// Of this share of what it was, or more, nothing was lost (elicited).
const AS_BEFORE: f64 = 0.97;

/// "Went 140, now 120": a number told of before and a smaller one now are a loss.
pub(super) fn fallen(line: &Line<'_>, drafts: &mut Vec<Draft>) {
    let number = |d: &Draft| match d.finding.what {
        What::Number(n) => Some((n.quantity, n.value.mean())),
        _ => None,
    };
    let was: Vec<_> = drafts
        .iter()
        .filter(|d| matches!(d.why, Some(Why::Past | Why::Stopped)))
        .filter_map(|d| Some((number(d)?, d.finding.pattern.clone())))
        .take(LOOK)
        .collect();
    if was.is_empty() {
        return;
    }
    let mut new: Vec<Draft> = Vec::new();
    for draft in drafts.iter().filter(|d| d.why.is_none()) {
        let (Some((quantity, now)), Some(symptom)) = (number(draft), draft.fallen) else {
            continue;
        };
        let more = |((of, then), pattern): &((QuantityId, f64), Pattern)| {
            let same = [pattern, &draft.finding.pattern].contains(&&Pattern::default())
                || *pattern == draft.finding.pattern;
            *of == quantity && same && now < AS_BEFORE * *then
        };
        if new.is_empty() && was.iter().any(more) {
            let finding = Finding {
                what: What::Symptom(symptom),
                ..draft.finding.clone()
            };
            let mut said = draft.again(line, (draft.at, draft.to), finding);
            said.is_number = false;
            new.push(said);
        }
    }
    drafts.extend(new);
}

/// Digits that measure nothing and count nothing are asked about.
pub(super) fn leftovers(
    line: &mut Line<'_>,
    rest: &[Group],
    counted: &BTreeSet<usize>,
    reading: &mut Reading,
) {
    for group in rest {
        if (group.from..group.to).all(|i| line.is_used(i)) {
            continue;
        }
        // "3 good ones" asks for nothing.
        if matches!(line.meaning_at(group.to), Some(Meaning::AllWell)) {
            line.use_words(group.from, group.to);
            continue;
        }
        if group.digits && group.counted.is_none() {
            line.use_words(group.from, group.to);
            // "Of 20 drives 12 sliced, 5 straight": the others of those counted.
            let sentence = line.sentence.get(group.from);
            if sentence.is_some_and(|s| counted.contains(s)) {
                continue;
            }
            reading.unclear.push(Unclear::Quantity {
                quantities: Vec::new(),
                said: line.span(group.from, group.to),
            });
        }
    }
}

/// "The driver was fine but I hit a low one and a fat one with my 6 iron": what goes wrong after the
/// "but" is of the club named after it, and not of the one that is fine.
pub(super) fn pass_on_from_the_fine(line: &Line<'_>, scope: &Scope, drafts: &mut [Draft]) {
    let fine: Vec<(usize, Pattern)> = drafts
        .iter()
        .filter(|d| d.finding.what == What::AllWell && d.finding.polarity == Polarity::Present)
        .map(|d| (d.at, d.finding.pattern.clone()))
        .collect();
    for (at, pattern) in fine {
        let sentence = line.sentence.get(at);
        let but = (at..line.words.len())
            .take_while(|i| line.sentence.get(*i) == sentence)
            .find(|i| line.is_word(*i, "but"));
        let Some(but) = but else {
            continue;
        };
        let later = scope.clubs.iter().find(|m| {
            m.from > but
                && line.sentence.get(m.from) == sentence
                && (&m.pattern.clubs, &m.pattern.groups) != (&pattern.clubs, &pattern.groups)
        });
        let Some(later) = later else {
            continue;
        };
        let between = drafts
            .iter_mut()
            .filter(|d| but < d.at && d.at < later.from);
        for draft in between.filter(|d| d.finding.what != What::AllWell) {
            let own = &mut draft.finding.pattern;
            if (&own.clubs, &own.groups) == (&pattern.clubs, &pattern.groups) {
                own.clubs.clone_from(&later.pattern.clubs);
                own.groups.clone_from(&later.pattern.groups);
            }
        }
    }
}
