//! How the pupil speaks: which of their symptoms they mention, in which words, with which chatter.
//!
//! Takes a pupil with the chance of mentioning each symptom (the same chances by which the diagnosis
//! weighs golfers) and the phrase lists. Mentions are drawn at those chances, the oddest first; the
//! words are phrases that by themselves read back as exactly that symptom, so that whole accounts
//! nearly always read back as what they were made from ([`reads_back`] says whether one does). A
//! hunch about the cause is the golfer's own and often wrong. Sentences are put together in
//! `wording`; here are only the pieces.

use super::OF_SHOTS;
use super::agreeing::contradict;
use super::chance::Chance;
use super::draw::Pupil;
use super::fitting::{hurt, of_pain};
use crate::knowledge::KnowledgeBase;
use crate::knowledge::lexicon::{Entry, Meaning, choices};
use crate::reading::{Context, Phrases, Polarity, Reading, What, read};
use crate::vocabulary::{CauseId, GroupId, Hand, SymptomId};

/// Something the golfer says of their shots.
#[derive(Debug, Clone, PartialEq)]
pub struct Mention {
    /// 0 for the first club, 1 for the second.
    pub stand: usize,
    /// What.
    pub symptom: SymptomId,
    /// How often, if said.
    pub often: Option<f64>,
    /// The words for it.
    pub words: String,
    /// The words for how often.
    pub often_words: Option<String>,
}

/// The golfer's own idea of the cause.
#[derive(Debug, Clone, PartialEq)]
pub struct Hunch {
    /// What the words point at.
    pub causes: Vec<CauseId>,
    /// The words.
    pub words: String,
}

/// Everything the golfer says at first.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Account {
    /// What happens, in the order told.
    pub mentions: Vec<Mention>,
    /// Why the golfer thinks it does.
    pub hunch: Option<Hunch>,
    /// Words that tell nothing.
    pub chatter: Vec<String>,
    /// The words for the lie.
    pub lie: Option<String>,
    /// Which way of putting it together; any number.
    pub manner: u64,
}

/// Mentions of one account: least and most.
const MENTIONS: (usize, usize) = (2, 5);
/// Phrases tried for one symptom before the golfer leaves it out.
const TRIES: usize = 12;
/// How often a phrase that was written out is preferred.
const WRITTEN_OUT: f64 = 0.95;
/// Share of golfers with a hunch, and of hunches that are right by drawing (elicited).
const HUNCHES: (f64, f64) = (0.55, 0.3);

/// What this pupil says; `None` if there is too little to say.
pub(super) fn account(
    base: &KnowledgeBase,
    phrases: &Phrases,
    pupil: &Pupil,
    told: &[String],
) -> Option<Account> {
    let mut chance = Chance::new(pupil.seed, 3);
    let mut account = Account {
        manner: chance.whole(),
        ..Account::default()
    };
    let most = MENTIONS.0 + chance.below(MENTIONS.1 - MENTIONS.0 + 1);
    let to = (base, phrases, pupil, told);
    mentions(to, 0, most, &mut chance, &mut account);
    let of_shots = account
        .mentions
        .iter()
        .any(|m| OF_SHOTS.contains(&base.symptom(m.symptom).kind.as_str()));
    if account.mentions.len() < MENTIONS.0 || !of_shots {
        return None;
    }
    if pupil.second.is_some() {
        mentions(to, 1, 2, &mut chance, &mut account);
        if account.mentions.iter().all(|m| m.stand == 0) {
            return None;
        }
    }
    if chance.happens(HUNCHES.0) {
        account.hunch = hunch(base, phrases, pupil, &mut chance);
    }
    account.chatter = chatter(base, phrases, &mut chance);
    if let Some(lie) = pupil.lie {
        account.lie = phrase(
            base,
            phrases,
            pupil.hand,
            &mut chance,
            |m| matches!(m, Meaning::Lie(l) if *l == lie),
        );
        account.lie.as_ref()?;
    }
    Some(account)
}

fn mentions(
    (base, phrases, pupil, told): (&KnowledgeBase, &Phrases, &Pupil, &[String]),
    at: usize,
    most: usize,
    chance: &mut Chance,
    account: &mut Account,
) {
    let Some(stand) = pupil.stands().nth(at) else {
        return;
    };
    let mut drawn: Vec<(f64, SymptomId, f64)> = Vec::new();
    for &(symptom, p) in &stand.case.symptoms {
        let happens = chance.happens(p);
        let usual = base
            .model
            .symptoms
            .get(symptom.index())
            .map_or(1.0, |s| s.usual);
        let kind = base.symptom(symptom).kind.as_str();
        // What strikes the golfer most is what others do not have; shots before feelings.
        let odd = p - usual + if OF_SHOTS.contains(&kind) { 0.25 } else { 0.0 };
        // What hurts is no subject for a learner, and a level keeps to its kinds.
        let kept = !of_pain(base, symptom)
            && (told.is_empty() || !OF_SHOTS.contains(&kind) || told.iter().any(|k| k == kind));
        if happens && odd > 0.0 && kept {
            drawn.push((odd + 0.3 * chance.unit(), symptom, p));
        }
    }
    drawn.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let club = &base.club(stand.club).name;
    let mut said = 0;
    for (_, symptom, _) in drawn {
        if said == most {
            break;
        }
        let share = rate(base, pupil, at, symptom);
        let Some(words) = words(
            base,
            phrases,
            (pupil.hand, club, stand.group),
            (symptom, share),
            chance,
        ) else {
            continue;
        };
        let against = |m: &Mention| {
            let one = (symptom, words.as_str());
            m.stand == at && contradict(base, pupil.hand, one, (m.symptom, &m.words))
        };
        if account.mentions.iter().any(against) {
            continue;
        }
        let often = share
            .filter(|_| chance.happens(0.35) && !words.split(' ').any(|w| ABSOLUTE.contains(&w)))
            .and_then(|rate| often_words(base, phrases, (pupil.hand, club), &words, rate, chance));
        account.mentions.push(Mention {
            stand: at,
            symptom,
            often: often.as_ref().map(|(share, _)| *share),
            words,
            often_words: often.map(|(_, words)| words),
        });
        said += 1;
    }
}

/// The share of this golfer's shots that show a symptom made of events.
pub(super) fn rate(
    base: &KnowledgeBase,
    pupil: &Pupil,
    at: usize,
    symptom: SymptomId,
) -> Option<f64> {
    let stand = pupil.stands().nth(at)?;
    let events = super::watch::events_of(base, symptom)?;
    let sum = events
        .iter()
        .filter_map(|e| stand.case.rates.iter().find(|(event, _)| event == e))
        .map(|(_, rate)| rate)
        .sum::<f64>();
    Some(sum.min(1.0))
}

/// Words that by themselves read as this symptom and nothing else.
fn words(
    base: &KnowledgeBase,
    phrases: &Phrases,
    (hand, club, group): (Hand, &str, GroupId),
    (symptom, share): (SymptomId, Option<f64>),
    chance: &mut Chance,
) -> Option<String> {
    let mut open: Vec<(bool, String)> = base
        .lexicon
        .entries
        .iter()
        .filter(|e| matches!(&e.meaning, Meaning::Symptoms(w) if w.symptoms == [symptom] && w.groups.is_empty() && w.lie.is_none() && !w.part_shot))
        .flat_map(|e| e.says.iter())
        .flat_map(|says| {
            let put_together = says.contains('(');
            choices(says).into_iter().map(move |p| (put_together, p))
        })
        .map(|(made, p)| (made, for_hand(&p, hand)))
        .filter(|(_, p)| !p.contains(['{', '/']) && !names_a_club(base, p))
        .collect();
    chance.shuffle(&mut open);
    // What somebody wrote down whole sounds better than what is put together of choices.
    if chance.happens(WRITTEN_OUT) {
        open.sort_by_key(|(put_together, _)| *put_together);
    }
    let teed = base.model.groups.get(group.index()).is_some_and(|g| g.teed);
    open.retain(|(_, p)| sounds_said(p, teed));
    // Who says always means nearly always.
    if share.is_some_and(|s| s < ALWAYS) {
        open.retain(|(_, p)| !p.split(' ').any(|w| ABSOLUTE.contains(&w)));
    }
    open.into_iter().map(|(_, p)| p).take(TRIES).find(|phrase| {
        let reading = alone(phrases, hand, &format!("{club}, {phrase}"));
        exactly(&reading, &[(symptom, group)]) && reading.findings.iter().all(|f| f.often.is_none())
    })
}

/// Words after which a sentence is not over.
const HANGING: [&str; 14] = [
    "than", "to", "the", "a", "an", "my", "and", "or", "of", "with", "from", "into", "as", "odd",
];
/// What one thing does not do, and several do not.
const OF_SEVERAL: [&str; 6] = ["are", "were", "start", "go", "point", "have"];
const OF_ONE: [&str; 6] = ["is", "was", "starts", "goes", "points", "has"];
/// Things that golfers speak of, one of each.
const THINGS: [&str; 6] = ["divot", "mark", "ball", "club", "shot", "iron"];
/// After these a verb stands without its s.
const NOT: [&str; 8] = [
    "wont", "won't", "didnt", "didn't", "doesnt", "doesn't", "cant", "can't",
];
/// Words that say it is so with every ball, and the share of shots from which somebody says so.
const ABSOLUTE: [&str; 9] = [
    "always",
    "never",
    "every",
    "ever",
    "only",
    "everything",
    "everytime",
    "constantly",
    "all",
];
const ALWAYS: f64 = 0.7;
/// Words that a text should not put into anybody's mouth: about other people, or coarse. They are
/// read, but no pupil says them.
const UNKIND: [&str; 33] = [
    "girl", "woman", "women", "lady", "ladie", "wife", "mum", "mom", "granny", "grandma", "sissy",
    "gay", "drunk", "drunken", "idiot", "idiots", "stupid", "shit", "shite", "crap", "damn",
    "bloody", "hell", "arse", "ass", "bugger", "murder", "murderer", "massacre", "blind",
    "cripple", "suicide", "hate",
];
/// Slang that few golfers would know. It is read, but no pupil says it.
const RARE: [&str; 5] = ["arthur", "goat", "roof", "clubhouse", "question"];

/// Whether a golfer with such a club would say the phrase. The phrase lists are made to be read: their
/// choices are not all English, and some words belong to other clubs.
fn sounds_said(phrase: &str, teed: bool) -> bool {
    let words: Vec<&str> = phrase.split(' ').collect();
    let ends = words.last().is_none_or(|w| HANGING.contains(w));
    let verb = |w: &str| w.ends_with('s') && !w.ends_with("ss") && w.len() > 3;
    let wrong_verb = words
        .windows(2)
        .any(|pair| matches!(pair, [not, w] if NOT.contains(not) && verb(w)));
    let wrong_number = words.windows(2).any(|pair| {
        let [thing, verb] = pair else { return false };
        let one = THINGS.contains(thing);
        let several = thing.strip_suffix('s').is_some_and(|t| THINGS.contains(&t));
        (one && OF_SEVERAL.contains(verb)) || (several && OF_ONE.contains(verb))
    });
    let rare = words
        .iter()
        .any(|w| RARE.iter().any(|r| w.trim_end_matches('s') == *r));
    let unkind = words.iter().any(|w| {
        let one = w.trim_end_matches('s');
        UNKIND.contains(w) || UNKIND.contains(&one)
    });
    let of_tee = !teed
        && words
            .iter()
            .any(|w| ["tee", "tees", "teed", "teeing", "peg", "pegs"].contains(w));
    !(unkind || ends || wrong_verb || wrong_number || rare || of_tee)
}

/// Whether a phrase names a club, which may be another than the one complained of.
fn names_a_club(base: &KnowledgeBase, phrase: &str) -> bool {
    let mut clubs = base.lexicon.entries.iter().filter(|e| {
        matches!(
            e.meaning,
            Meaning::Clubs { .. } | Meaning::Numbered { .. } | Meaning::Lofts(_)
        )
    });
    clubs.any(|e| {
        e.phrases()
            .any(|says| phrase.split(' ').any(|word| word == says))
    })
}

/// The sides as this golfer says them.
fn for_hand(phrase: &str, hand: Hand) -> String {
    let (push, pull) = match hand {
        Hand::Right => ("right", "left"),
        Hand::Left => ("left", "right"),
    };
    phrase
        .replace("{push}", push)
        .replace("{trail}", push)
        .replace("{pull}", pull)
        .replace("{lead}", pull)
}

fn alone(phrases: &Phrases, hand: Hand, line: &str) -> Reading {
    let context = Context {
        hand: Some(hand),
        ..Context::default()
    };
    read(phrases, &context, line)
}

/// True if the reading holds these symptoms of these groups, present, and nothing else.
fn exactly(reading: &Reading, wanted: &[(SymptomId, GroupId)]) -> bool {
    let found: Option<Vec<(SymptomId, GroupId)>> = reading
        .findings
        .iter()
        .map(|f| match f.what {
            What::Symptom(s) if f.polarity == Polarity::Present => {
                (f.pattern.groups.len() == 1).then(|| (s, f.pattern.groups.first().copied()))
            }
            What::Symptom(_) | What::Number(_) | What::AllWell => None,
        })
        .map(|f| f.and_then(|(s, g)| Some((s, g?))))
        .collect();
    let Some(mut found) = found else { return false };
    let mut wanted = wanted.to_vec();
    found.sort_unstable();
    found.dedup();
    wanted.sort_unstable();
    wanted.dedup();
    found == wanted && reading.history.is_empty()
}

/// Words for how often, which must read as said of this phrase.
fn often_words(
    base: &KnowledgeBase,
    phrases: &Phrases,
    (hand, club): (Hand, &str),
    words: &str,
    rate: f64,
    chance: &mut Chance,
) -> Option<(f64, String)> {
    let mut near: Vec<(f64, f64, &Entry)> = base
        .lexicon
        .entries
        .iter()
        .filter_map(|e| match e.meaning {
            Meaning::Often(share) => Some(((share - rate).abs(), share, e)),
            _ => None,
        })
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (off, share, entry) = *near.first()?;
    if off > 0.2 {
        return None;
    }
    let mut says: Vec<String> = entry.phrases().collect();
    says.retain(|s| sounds_said(s, true));
    for _ in 0..TRIES {
        let said = chance.pick(&says)?;
        let reading = alone(phrases, hand, &format!("{club}, {words} {said}"));
        let heard = reading.findings.iter().all(|f| f.often == Some(share));
        if heard && !reading.findings.is_empty() && reading.unused.is_empty() {
            return Some((share, said.clone()));
        }
    }
    None
}

/// A self-diagnosis in the golfer's words; right only now and then.
fn hunch(
    base: &KnowledgeBase,
    phrases: &Phrases,
    pupil: &Pupil,
    chance: &mut Chance,
) -> Option<Hunch> {
    let right = chance.happens(HUNCHES.1);
    let teed = base
        .model
        .groups
        .get(pupil.first.group.index())
        .is_some_and(|g| g.teed);
    let entries: Vec<(&Vec<CauseId>, &Vec<String>)> = base
        .lexicon
        .entries
        .iter()
        .filter_map(|e| match &e.meaning {
            // What was looked at or ruled out is no hunch.
            Meaning::Hint(_) if e.seen || e.denies => None,
            Meaning::Hint(causes) if causes.iter().any(|c| hurt(base, *c)) => None,
            Meaning::Hint(causes) if causes.iter().any(|c| pupil.has(*c)) == right => {
                Some((causes, &e.says))
            }
            _ => None,
        })
        .collect();
    for _ in 0..TRIES {
        let (causes, says) = chance.pick(&entries)?;
        let says = choices(chance.pick(says)?);
        let words = for_hand(chance.pick(&says)?, pupil.hand);
        if !sounds_said(&words, teed) {
            continue;
        }
        let reading = alone(phrases, pupil.hand, &format!("i reckon {words}"));
        let heard: Vec<CauseId> = reading
            .hints
            .iter()
            .flat_map(|h| h.causes.clone())
            .collect();
        if heard == **causes && reading.findings.is_empty() && reading.unused.is_empty() {
            return Some(Hunch {
                causes: (*causes).clone(),
                words,
            });
        }
    }
    None
}

/// Up to two phrases that tell nothing.
fn chatter(base: &KnowledgeBase, phrases: &Phrases, chance: &mut Chance) -> Vec<String> {
    let says: Vec<String> = base
        .lexicon
        .entries
        .iter()
        .filter(|e| e.chatter)
        .flat_map(Entry::phrases)
        .filter(|says| says.contains(' ') && !says.contains(['{', '/', '"']))
        .filter(|says| sounds_said(says, true))
        .collect();
    let mut out: Vec<String> = Vec::new();
    for _ in 0..chance.below(3) {
        if let Some(says) = chance.pick(&says) {
            let reading = alone(phrases, Hand::Right, says);
            let silent = reading
                == Reading {
                    tone: reading.tone.clone(),
                    ..Reading::default()
                };
            if silent && !out.contains(says) {
                out.push(says.clone());
            }
        }
    }
    out
}

/// Words of the lexicon with a meaning, for this hand.
fn phrase(
    base: &KnowledgeBase,
    phrases: &Phrases,
    hand: Hand,
    chance: &mut Chance,
    meant: impl Fn(&Meaning) -> bool,
) -> Option<String> {
    let mut open: Vec<String> = base
        .lexicon
        .entries
        .iter()
        .filter(|e| meant(&e.meaning))
        .flat_map(Entry::phrases)
        .map(|p| for_hand(&p, hand))
        .filter(|p| !p.contains(['{', '/']))
        .collect();
    chance.shuffle(&mut open);
    open.into_iter().take(TRIES).find(|p| {
        let reading = alone(phrases, hand, p);
        reading.findings.is_empty() && reading.hints.is_empty() && reading.unused.is_empty()
    })
}

/// Whether a pupil's words, as put together, read back as exactly what they were made from.
pub fn reads_back(phrases: &Phrases, pupil: &Pupil, speech: &str) -> bool {
    let reading = alone(phrases, pupil.hand, speech);
    let stands: Vec<GroupId> = pupil.stands().map(|s| s.group).collect();
    let wanted: Vec<(SymptomId, GroupId)> = pupil
        .account
        .mentions
        .iter()
        .filter_map(|m| Some((m.symptom, *stands.get(m.stand)?)))
        .collect();
    let mut hinted: Vec<CauseId> = reading
        .hints
        .iter()
        .flat_map(|h| h.causes.clone())
        .collect();
    let mut hunch: Vec<CauseId> = pupil
        .account
        .hunch
        .iter()
        .flat_map(|h| h.causes.clone())
        .collect();
    for list in [&mut hinted, &mut hunch] {
        list.sort_unstable();
        list.dedup();
    }
    let often = pupil.account.mentions.iter().all(|m| {
        m.often.is_none()
            || reading
                .findings
                .iter()
                .any(|f| f.what == What::Symptom(m.symptom) && f.often == m.often)
    });
    exactly(&reading, &wanted) && hinted == hunch && often
}
