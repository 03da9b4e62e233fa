//! Does a trigger count? Denied, denied and taken back, past or mended, asked "if", somebody else's.
//!
//! Takes the words of the line and the place of a trigger; gives a [`Standing`]. Every look around is bounded, so a long line costs
//! no more per word than a short one. Rule of the house: only clear words void a trigger; anything
//! odd leaves it standing. What the trigger means is not known here.

use std::collections::BTreeSet;

use crate::knowledge::CautionLevel;

use super::body::{part_ail, passing_sting};
use super::words::{Token, is_subject};

/// Words looked at before a trigger.
pub(super) const BEFORE: usize = 10;
/// Words looked at after a trigger.
const AFTER: usize = 40;

/// What the words around a trigger make of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Standing {
    /// Counts.
    Sure,
    /// To be asked about.
    Unsure,
    /// Does not count.
    Void,
}

#[rustfmt::skip]
const NEGATORS: &[&str] = &[
    "no", "not", "without", "zero", "never", "nothing", "none", "nor", "neither", "nobody",
    "nowhere", "doesnt", "dont", "didnt", "isnt", "arent", "wasnt", "werent", "wont", "wouldnt",
    "havent", "hasnt", "hadnt", "aint", "dosent", "dosnt", "doesent",
];

/// Words a denial runs through.
#[rustfmt::skip]
const LIGHT: &[&str] = &[
    "any", "a", "an", "at", "all", "of", "it", "is", "be", "been", "have", "had", "has", "having",
    "get", "gets", "got", "getting", "feel", "feels", "felt", "feeling", "think", "thinks", "say",
    "said", "believe", "mean", "that", "thats", "which", "like", "ever", "really", "much", "more",
    "longer", "or", "and", "in", "my", "the", "me", "i", "there", "real", "sign", "signs", "bad",
    "serious", "bit", "lot", "single", "to", "even", "anything", "anywhere", "is", "am", "are",
    "was", "do", "did", "does", "with", "notice", "noticed", "suffer", "suffered", "so", "far",
    "any",
];

/// Between two denials these make them one statement: "can't say it doesn't hurt".
const SAYING: &[&str] = &[
    "say", "saying", "that", "think", "true", "like", "mean", "claim", "pretend",
];

/// What makes a denial one of degree or of occasion only.
#[rustfmt::skip]
const DEGREE: &[&str] = &[
    "only", "just", "merely", "always", "constantly", "as", "too", "overly", "entirely",
    "completely", "fully", "exactly", "simply",
];

/// People whose pains are not the golfer's.
#[rustfmt::skip]
const OTHERS: &[&str] = &[
    "wife", "husband", "girlfriend", "boyfriend", "partner", "mate", "mates", "friend", "friends",
    "buddy", "pal", "dad", "father", "mum", "mom", "mother", "brother", "sister", "uncle", "aunt",
    "grandad", "grandfather", "neighbour", "neighbor", "boss", "opponent", "caddie", "caddy", "dog",
    "coach", "missus", "cousin", "colleague",
];

/// People a golfer or a coach asks for: their pain counts as the golfer's own.
#[rustfmt::skip]
const WARDS: &[&str] = &[
    "pupil", "pupils", "student", "students", "client", "clients", "son", "sons", "daughter",
    "daughters", "kid", "kids", "child", "childs", "grandson", "granddaughter", "boy", "girl",
    "lad", "junior", "player", "players",
];

pub(super) fn word(tokens: &[Token], at: usize) -> &str {
    tokens.get(at).map_or("", |t| t.text.as_str())
}

fn raw(tokens: &[Token], at: usize) -> &str {
    tokens.get(at).map_or("", |t| t.raw.as_str())
}

pub(super) fn clause(tokens: &[Token], at: usize) -> Option<usize> {
    tokens.get(at).map(|t| t.clause)
}

/// Places before `at` in its clause, nearest first.
fn before(tokens: &[Token], at: usize) -> impl Iterator<Item = usize> + '_ {
    let here = clause(tokens, at);
    (at.saturating_sub(BEFORE)..at)
        .rev()
        .take_while(move |&k| clause(tokens, k) == here)
}

/// True if these words stand at `at`, in this order.
pub(super) fn stands(tokens: &[Token], at: usize, wanted: &str) -> bool {
    wanted
        .split(' ')
        .enumerate()
        .all(|(k, w)| word(tokens, at + k) == w || (w == "#" && is_number(word(tokens, at + k))))
}

fn is_number(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit())
        || matches!(
            word,
            "two"
                | "three"
                | "four"
                | "five"
                | "six"
                | "seven"
                | "eight"
                | "nine"
                | "ten"
                | "few"
                | "couple"
                | "many"
                | "several"
                | "some"
                | "twenty"
                | "thirty"
                | "of"
        )
}

/// True for a word that denies, where it stands.
fn denies(tokens: &[Token], at: usize) -> bool {
    let (this, next) = (word(tokens, at), word(tokens, at + 1));
    if matches!(this, "cant" | "cannot" | "couldnt") {
        return matches!(next, "say" | "complain" | "claim") || stands(tokens, at + 1, "feel any");
    }
    if !NEGATORS.contains(&this) {
        return false;
    }
    let after = word(tokens, at + 2);
    let asks = matches!(
        next,
        "sure" | "know" | "certain" | "tell" | "understand" | "idea" | "clue"
    );
    let weak = match this {
        "no" => {
            matches!(
                next,
                "idea" | "doubt" | "wonder" | "question" | "matter" | "joke" | "clue"
            ) || matches!(next, "my" | "i" | "im" | "ive" | "it" | "its" | "the")
        }
        "not" => {
            matches!(
                next,
                "good"
                    | "great"
                    | "right"
                    | "well"
                    | "happy"
                    | "fine"
                    | "ideal"
                    | "better"
                    | "helping"
                    | "brilliant"
                    | "100"
                    | "ok"
                    | "okay"
                    | "so"
                    | "only"
                    | "just"
            ) || stands(tokens, at + 1, "to mention")
        }
        "never" => next == "mind",
        "nothing" => matches!(next, "helps" | "works" | "stops" | "but"),
        _ => false,
    };
    let about = matches!(
        after,
        "why" | "how" | "what" | "where" | "which" | "if" | "whether" | "when"
    );
    !(weak || asks && about)
}

/// True if the denial at `from` runs on to `to`.
fn reaches(tokens: &[Token], from: usize, to: usize) -> bool {
    let mut content = 0;
    for at in from + 1..to {
        let here = word(tokens, at);
        if content > 0 && (is_subject(here) || here == "and") {
            return false;
        }
        // Only a denial of saying or thinking runs through a second denial.
        if NEGATORS.contains(&here) && !(from + 1..at).any(|k| SAYING.contains(&word(tokens, k))) {
            return false;
        }
        let light = LIGHT.contains(&here) || NEGATORS.contains(&here) || part_ail(here).is_some();
        content += usize::from(!light);
        if content > 1 {
            return false;
        }
    }
    true
}

/// True if the words after a denied trigger take the denial back ("as much", "until", "only").
fn taken_back(tokens: &[Token], end: usize) -> bool {
    let Some(here) = end.checked_sub(1).and_then(|k| clause(tokens, k)) else {
        return false;
    };
    (end..end + 7)
        .take_while(|&k| clause(tokens, k) == Some(here))
        .any(|k| {
            matches!(
                word(tokens, k),
                "until"
                    | "till"
                    | "unless"
                    | "except"
                    | "enough"
                    | "much"
                    | "only"
                    | "always"
                    | "every"
                    | "before"
            ) || (matches!(word(tokens, k), "as" | "that" | "so" | "too")
                && matches!(
                    word(tokens, k + 1),
                    "bad" | "badly" | "often" | "strong" | "sore" | "painful"
                ))
                || [
                    "apart from",
                    "other than",
                    "a lot",
                    "all the time",
                    "like this",
                    "like that",
                ]
                .iter()
                .any(|p| stands(tokens, k, p))
        })
}

/// True if "any more" follows a denial: it did hurt.
fn any_more(tokens: &[Token], from: usize, end: usize) -> bool {
    let here = clause(tokens, from);
    (from..end + 7)
        .take_while(|&k| clause(tokens, k) == here)
        .any(|k| {
            word(tokens, k) == "anymore"
                || ["any more", "any longer", "no longer", "no more"]
                    .iter()
                    .any(|p| stands(tokens, k, p))
        })
}

/// True if a harmless phrase denies something and its neighbours take that back.
pub(super) fn undone(tokens: &[Token], from: usize, to: usize) -> bool {
    let Some(denial) =
        (from..to).find(|&k| NEGATORS.contains(&word(tokens, k)) || word(tokens, k) == "free")
    else {
        return false;
    };
    taken_back(tokens, to)
        || any_more(tokens, from, to)
        || before(tokens, denial).any(|k| {
            (denies(tokens, k) && reaches(tokens, k, denial))
                || (word(tokens, denial) == "without" && stops(word(tokens, k)))
        })
}

/// Words after which "without pain" means pain.
fn stops(word: &str) -> bool {
    matches!(
        word,
        "cant"
            | "cannot"
            | "couldnt"
            | "never"
            | "not"
            | "dont"
            | "hardly"
            | "barely"
            | "impossible"
            | "rarely"
            | "unable"
            | "nothing"
    )
}

/// What denial makes of the trigger whose word of hurting stands at `hurt` and ends before `end`.
fn denial(tokens: &[Token], hurt: usize, end: usize) -> Standing {
    let mut count = 0;
    let mut degree = false;
    for at in before(tokens, hurt) {
        if denies(tokens, at) && reaches(tokens, at, hurt) {
            count += 1;
            degree |= (at + 1..hurt).any(|k| DEGREE.contains(&word(tokens, k)));
        }
        if word(tokens, at) == "without" && before(tokens, at).any(|k| stops(word(tokens, k))) {
            return Standing::Sure;
        }
    }
    if count % 2 == 0 || degree || taken_back(tokens, end) {
        return Standing::Sure;
    }
    if any_more(tokens, hurt.saturating_sub(BEFORE), end) || any_more(tokens, hurt, end) {
        return Standing::Unsure;
    }
    Standing::Void
}

#[rustfmt::skip]
const PAST: &[&str] = &[
    "used to", "years ago", "yrs ago", "year ago", "months ago", "years back", "decades ago",
    "ages ago", "long ago", "time ago", "in the past", "last year", "last season", "last summer",
    "last winter", "last autumn", "last spring", "last fall", "as a kid", "as a child",
    "as a teenager", "when i was", "history of", "previously", "seasons ago", "season ago",
    "year before last",
];

#[rustfmt::skip]
const MENDED: &[&str] = &[
    "fine now", "ok now", "okay now", "good now", "great now", "better now", "all good",
    "all better", "all fine", "no problem", "no problems", "no trouble", "no issue", "no issues",
    "healed", "recovered", "cleared up", "went away", "gone away", "gone now", "gone completely",
    "not anymore", "not any more", "long gone", "settled down", "back to normal", "fine since",
    "good since", "ok since", "pain gone", "pain has gone", "pain is gone", "pains gone",
    "stopped hurting", "has stopped", "fully fit", "fine again", "good again", "pain free",
    "painfree", "all clear",
];

#[rustfmt::skip]
const PRESENT: &[&str] = &[
    "still", "again", "hurts", "keeps", "since", "today", "is", "are", "aches", "worse",
    "playing up", "plays up", "ever since", "for the last", "right now", "currently", "comes back",
    "came back", "flares up",
];

/// Plain words that nothing hurts now; beside something told as past they settle the matter.
const PAINLESS: &[&str] = &[
    "no pain",
    "doesnt hurt",
    "dont hurt",
    "pain free",
    "painfree",
    "nothing hurts",
    "not painful",
    "not sore",
];

/// Unsure if the trigger is told as past or as mended, void if the line also says that nothing
/// hurts; sure if anything says that it has come back.
fn settled(tokens: &[Token], from: usize, to: usize) -> Standing {
    let here = clause(tokens, from);
    let begin = from.saturating_sub(BEFORE);
    let own = || (begin..to + BEFORE).filter(|&k| clause(tokens, k) == here);
    let any = |list: &[&str], at: usize| list.iter().any(|p| stands(tokens, at, p));
    let dated = |k: usize| {
        word(tokens, k) == "in"
            && word(tokens, k + 1).len() == 4
            && word(tokens, k + 1).starts_with(['1', '2'])
            && is_number(word(tokens, k + 1))
    };
    let old = (from.saturating_sub(2)..to)
        .any(|k| word(tokens, k) == "old" && clause(tokens, k) == here)
        && (from..=to).any(|k| {
            matches!(
                word(tokens, k),
                "injury" | "injuries" | "knock" | "break" | "trouble" | "problem" | "problems"
            )
        });
    let past = old || own().any(|k| any(PAST, k) || dated(k));
    let now = own().any(|k| any(PRESENT, k) && !(old && word(tokens, k) == "since"));
    let mended = (to..to + AFTER)
        .take_while(|&k| k < tokens.len())
        .find(|&k| {
            any(MENDED, k)
                && !k
                    .checked_sub(1)
                    .is_some_and(|b| NEGATORS.contains(&word(tokens, b)))
        });
    let settled = match mended {
        None => past && !now,
        Some(at) => clause(tokens, at) == here || !now || past,
    };
    if !settled || (to..to + AFTER).any(|k| relapse(tokens, k)) {
        return Standing::Sure;
    }
    let around = from.saturating_sub(AFTER)..to + AFTER;
    let painless = past
        && around
            .into_iter()
            .any(|k| any(PAINLESS, k) && !taken_back(tokens, k + 2));
    if painless {
        Standing::Void
    } else {
        Standing::Unsure
    }
}

fn relapse(tokens: &[Token], at: usize) -> bool {
    matches!(
        word(tokens, at),
        "still" | "hurts" | "hurting" | "aches" | "worse" | "flares"
    ) && !before(tokens, at).any(|k| NEGATORS.contains(&word(tokens, k)))
}

/// What "if", "avoid" and questions about the world make of the trigger.
fn supposed(tokens: &[Token], from: usize, hurt: usize) -> Standing {
    let harm = matches!(
        word(tokens, hurt),
        "hurt" | "hurting" | "injury" | "injuries" | "injured"
    );
    for at in before(tokens, hurt) {
        match word(tokens, at) {
            "avoid" | "avoiding" | "prevent" | "preventing" | "risk" | "risking"
                if hurt - at <= 3 =>
            {
                let mine = word(tokens, at + 1) == "the";
                match (harm, mine) {
                    (true, false) => return Standing::Void,
                    (false, false) => return Standing::Unsure,
                    _ => {}
                }
            }
            "scared" | "afraid" | "worried" | "want" | "wanna" if harm => {
                let fear = matches!(word(tokens, at + 1), "of" | "about" | "to" | "ill" | "that");
                let wish = word(tokens, at).starts_with('w') && word(tokens, at) != "worried";
                if fear && (!wish || before(tokens, at).any(|k| denies(tokens, k))) {
                    return Standing::Void;
                }
            }
            "does" | "do" | "can" | "could" | "will" | "would" | "might" | "wouldnt" | "if"
            | "case"
                if asks_the_world(tokens, at, from, hurt) =>
            {
                return Standing::Void;
            }
            "if" if first_person_if(tokens, at) => return Standing::Unsure,
            _ => {}
        }
    }
    Standing::Sure
}

/// "My wrist, it hurts more than anything", "it hurts more than anything when I turn", as against the same
/// of a slice: a comparison that is harmless only where no part of the body is named and nothing is said
/// of when.
pub(super) fn may_be_pain(tokens: &[Token], from: usize, to: usize, named: bool) -> bool {
    let compares = (from..to).any(|at| {
        stands(tokens, at, "hurts more than") || stands(tokens, at, "hurts me more than")
    });
    let when = matches!(
        word(tokens, to),
        "when" | "whenever" | "if" | "to" | "after" | "at" | "on" | "in" | "while" | "during"
    );
    compares && (named || when)
}

/// "does hitting off mats hurt your wrists", "if your back hurts": nobody's pain.
fn asks_the_world(tokens: &[Token], at: usize, from: usize, hurt: usize) -> bool {
    if matches!(word(tokens, at), "if" | "case") {
        return (at + 1..hurt + 5)
            .any(|k| matches!(raw(tokens, k), "your" | "someone" | "somebody" | "anyone"));
    }
    let reason =
        before(tokens, at).any(|k| matches!(word(tokens, k), "why" | "where" | "how" | "when"));
    let own = (at + 1..hurt).any(|k| part_ail(word(tokens, k)).is_some() || word(tokens, k) == "i");
    word(tokens, hurt) == "hurt" && from == hurt && !reason && !own
}

/// "if my back hurts", "what if i get pain"; not "if i turn fast it hurts", "not sure if it hurts".
fn first_person_if(tokens: &[Token], at: usize) -> bool {
    let known = at.checked_sub(1).is_some_and(|k| {
        matches!(
            word(tokens, k),
            "sure" | "know" | "wonder" | "wondering" | "tell" | "see" | "as" | "even"
        )
    });
    let acts = matches!(word(tokens, at + 1), "i" | "im" | "we")
        && !matches!(
            word(tokens, at + 2),
            "get" | "got" | "have" | "had" | "feel" | "felt" | "hurt"
        );
    !known && !acts
}

/// Whose it is, judged by the nearest person before the end of the trigger. People the trigger itself
/// names ("nearly hit my mate") are part of the danger.
fn owner(tokens: &[Token], from: usize, to: usize) -> Standing {
    let Some(last) = to.checked_sub(1) else {
        return Standing::Sure;
    };
    let here = clause(tokens, from);
    let begin = from.saturating_sub(BEFORE);
    for at in (begin..=last).rev().filter(|&k| clause(tokens, k) == here) {
        if at < from
            && let Some(standing) = person(raw(tokens, at))
        {
            return standing;
        }
        match raw(tokens, at) {
            "my" | "i" | "im" | "ive" | "me" | "mine" | "id"
                if person(raw(tokens, at + 1)).is_none() =>
            {
                return Standing::Sure;
            }
            "his" | "her" | "he" | "she" | "hes" | "shes" | "their" | "they" | "theyve"
            | "theyre" => {
                let earlier = (at.saturating_sub(AFTER)..at)
                    .rev()
                    .find_map(|k| person(raw(tokens, k)));
                return earlier.unwrap_or(Standing::Unsure);
            }
            _ => {}
        }
    }
    Standing::Sure
}

/// Void for people whose pain is not ours to teach around, Sure for those who are taught.
fn person(word: &str) -> Option<Standing> {
    let plain = word.strip_suffix('s').unwrap_or(word);
    if WARDS.contains(&word) || WARDS.contains(&plain) {
        return Some(Standing::Sure);
    }
    (OTHERS.contains(&word) || OTHERS.contains(&plain)).then_some(Standing::Void)
}

/// What the words around make of the trigger at `from..to` whose word of hurting is at `hurt`.
/// Emergencies count whoever they befall and however they are asked about.
pub(super) fn standing(
    tokens: &[Token],
    from: usize,
    to: usize,
    hurt: usize,
    level: CautionLevel,
) -> Standing {
    let denial = denial(tokens, hurt, to.max(hurt + 1));
    if denial == Standing::Void {
        return Standing::Void;
    }
    let mut all = vec![denial, settled(tokens, from, to)];
    if level != CautionLevel::Emergency {
        all.push(supposed(tokens, from, hurt));
        all.push(owner(tokens, from, to));
        if passing_sting(tokens, from, to) {
            all.push(Standing::Void);
        }
    }
    if all.contains(&Standing::Void) {
        Standing::Void
    } else if all.contains(&Standing::Unsure) {
        Standing::Unsure
    } else {
        Standing::Sure
    }
}

/// "It's not my wrist that hurts, it's my elbow": the part that takes over the hurt, as a range.
/// `places` are body parts (false) and words of hurting (true), in any order.
pub(super) fn handed_on(tokens: &[Token], places: &[(usize, bool)]) -> Option<(usize, usize)> {
    let hurts: BTreeSet<usize> = places
        .iter()
        .filter(|p| p.1)
        .filter_map(|p| clause(tokens, p.0))
        .collect();
    places
        .iter()
        .filter(|p| !p.1)
        .map(|p| p.0)
        .find_map(|part| {
            let here = clause(tokens, part)?;
            let ends = clause(tokens, part + 1) != Some(here);
            let start = before(tokens, part).last().unwrap_or(part);
            let opens = matches!(
                word(tokens, start),
                "its" | "it" | "just" | "only" | "but" | "rather"
            );
            let was_denied = start.checked_sub(1).is_some_and(|last| {
                before(tokens, last).any(|k| NEGATORS.contains(&word(tokens, k)))
            });
            let handed = ends && opens && was_denied && part - start <= 4 && !hurts.contains(&here);
            (handed && hurts.contains(&here.checked_sub(1)?)).then_some((part, part + 1))
        })
}
