//! Which ids do the words of an entry name? Entries as written and lookups in, the lexicon out,
//! with every problem as data: the entry, the offending text and what is wrong with it.
//!
//! Invariant: an entry with a problem in its meaning is left out, so an id in the lexicon exists.

use std::collections::{BTreeMap, BTreeSet};

use super::choices::{Choices, MOST_CHOICES, choices};
use super::fingerprint::{START, hashed, joined};
use super::meanings::{direction, meaning_of, meanings_set};
use super::{DirectionId, Entry, Lexicon, Meaning, RawEntry};
use crate::beside::beside;
use crate::vocabulary::{AnswerId, CauseId, ClubId, GroupId, LieId, QuantityId, SymptomId};

/// Lists in `near` of one entry at most; a reader looks at no more.
pub const MOST_LISTS: usize = 6;

/// What is wrong with an entry.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LexiconProblemKind {
    /// An id that names nothing.
    #[error("no such {0}")]
    Unknown(&'static str),
    /// Two meanings, or none.
    #[error("an entry needs exactly one meaning, this has {0}")]
    Meanings(usize),
    /// No phrasings.
    #[error("no phrasings")]
    Empty,
    /// Two entries claim one phrase.
    #[error("also said by {0}")]
    Twice(String),
    /// A number out of place.
    #[error("out of range")]
    Range,
    /// Something in a list of words that is not one word.
    #[error("no single word")]
    NotOneWord(&'static str),
    /// A key that means nothing without another one.
    #[error("means nothing without {0}")]
    MeansNothing(&'static str),
    /// More lists of words than are looked at.
    #[error("more than {MOST_LISTS} lists in `near`")]
    TooManyLists,
    /// A list without words: the entry could never be said.
    #[error("a list without words")]
    NoWords,
    /// A list of words that no entry names.
    #[error("nothing uses it")]
    Unused,
    /// A phrase with more choices than are kept.
    #[error("stands for more than 400 phrases")]
    TooMany,
}

/// One problem.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{entry}: `{text}`: {kind}")]
pub struct LexiconProblem {
    /// Text id of the entry.
    pub entry: String,
    /// The offending text.
    pub text: String,
    /// What is wrong.
    pub kind: LexiconProblemKind,
}

/// From text id to id, as the knowledge base knows them.
pub struct Lookups<'a> {
    /// Clubs.
    pub club: &'a dyn Fn(&str) -> Option<ClubId>,
    /// The group of a club.
    pub group_of: &'a dyn Fn(ClubId) -> Option<GroupId>,
    /// Groups.
    pub group: &'a dyn Fn(&str) -> Option<GroupId>,
    /// Every group.
    pub all_groups: &'a [GroupId],
    /// Lies.
    pub lie: &'a dyn Fn(&str) -> Option<LieId>,
    /// Symptoms.
    pub symptom: &'a dyn Fn(&str) -> Option<SymptomId>,
    /// Quantities.
    pub quantity: &'a dyn Fn(&str) -> Option<QuantityId>,
    /// Causes.
    pub cause: &'a dyn Fn(&str) -> Option<CauseId>,
    /// Answers.
    pub answer: &'a dyn Fn(&str) -> Option<AnswerId>,
}

impl std::fmt::Debug for Lookups<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Lookups")
    }
}

/// The problems of one entry, gathered while its ids are looked up.
pub(super) struct Gather<'a> {
    entry: &'a str,
    problems: &'a mut Vec<LexiconProblem>,
}

impl Gather<'_> {
    pub(super) fn note(&mut self, text: &str, kind: LexiconProblemKind) {
        self.problems.push(LexiconProblem {
            entry: self.entry.to_owned(),
            text: text.to_owned(),
            kind,
        });
    }

    pub(super) fn one<T>(
        &mut self,
        text: &str,
        what: &'static str,
        look: &dyn Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let found = look(text);
        if found.is_none() {
            self.note(text, LexiconProblemKind::Unknown(what));
        }
        found
    }

    pub(super) fn many<T>(
        &mut self,
        texts: &[String],
        what: &'static str,
        look: &dyn Fn(&str) -> Option<T>,
    ) -> Vec<T> {
        texts
            .iter()
            .filter_map(|text| self.one(text, what, look))
            .collect()
    }

    pub(super) fn groups(&mut self, texts: &[String], ids: &Lookups<'_>) -> Vec<GroupId> {
        if texts.iter().any(|t| t == "all") {
            return ids.all_groups.to_vec();
        }
        self.many(texts, "group", ids.group)
    }
}

impl Lexicon {
    /// Resolves entries. `asks` are the phrasings of the answers, each with its text id; they
    /// become topics. The lexicon holds every entry that has no problem. Whether two entries claim
    /// one phrase is asked with [`Self::said_twice`].
    pub fn resolve(
        raw: Vec<RawEntry>,
        asks: &[(String, Vec<String>)],
        ids: &Lookups<'_>,
    ) -> (Self, Vec<LexiconProblem>) {
        let mut problems = Vec::new();
        let mut lexicon = Self {
            all_groups: ids.all_groups.to_vec(),
            ..Self::default()
        };
        for entry in &raw {
            if let Some(name) = &entry.direction
                && !lexicon.directions.contains(name)
            {
                lexicon.directions.push(name.clone());
            }
        }
        let lists: BTreeMap<String, String> = raw
            .iter()
            .filter(|entry| !entry.list.is_empty())
            .map(|entry| (entry.id.clone(), entry.list.clone()))
            .collect();
        let mut choices: Choices<()> = Choices::default();
        let mut called: BTreeSet<&str> = BTreeSet::new();
        let signed: BTreeSet<&str> = raw
            .iter()
            .flat_map(|e| {
                let implied = e.implied_by.iter().chain(&e.implied_with_unit);
                e.signs.keys().chain(implied).map(String::as_str)
            })
            .collect();
        for entry in &raw {
            let mut gather = Gather {
                entry: &entry.id,
                problems: &mut problems,
            };
            words_alone(entry, &mut gather);
            without_what_they_need(entry, &mut gather);
            if let Some(name) = &entry.direction
                && !signed.contains(name.as_str())
            {
                gather.note(name, LexiconProblemKind::Unknown("direction"));
            }
            let lists = entry.near.iter().chain([&entry.lacks]);
            let words = lists.flat_map(|list| list.split_whitespace());
            called.extend(words.filter_map(|word| word.strip_prefix('@')));
        }
        for entry in raw.iter().filter(|entry| !entry.list.is_empty()) {
            let mut gather = Gather {
                entry: &entry.id,
                problems: &mut problems,
            };
            if !called.contains(entry.id.as_str()) {
                gather.note(&entry.id, LexiconProblemKind::Unused);
            }
            if meanings_set(entry) > 0 || !entry.says.is_empty() || !entry.near.is_empty() {
                gather.note(
                    "list",
                    LexiconProblemKind::Meanings(meanings_set(entry) + 1),
                );
            }
        }
        for entry in raw {
            if !entry.list.is_empty() {
                continue;
            }
            problems.extend(too_many(&entry.id, &entry.says, &mut choices));
            let mut gather = Gather {
                entry: &entry.id,
                problems: &mut problems,
            };
            let near: Vec<Vec<String>> = entry
                .near
                .iter()
                .map(|words| unfold(words, &lists, &mut gather))
                .collect();
            let lacks = unfold(&entry.lacks, &lists, &mut gather);
            if let Some(meaning) = meaning_of(&entry, &lexicon.directions, ids, &mut gather) {
                lexicon.entries.push(Entry {
                    near,
                    lacks,
                    across: entry.across,
                    paired: entry.paired,
                    seen: entry.seen,
                    denies: entry.denies,
                    direction: entry
                        .direction
                        .as_ref()
                        .and_then(|name| direction(name, &lexicon.directions)),
                    weight: entry.weight.unwrap_or(0.9),
                    id: entry.id,
                    exact: entry.exact,
                    chatter: entry.chatter,
                    says: entry.says,
                    glued: entry.glued,
                    after_number: entry.after_number,
                    meaning,
                });
            }
        }
        for (id, says) in asks {
            problems.extend(too_many(id, says, &mut choices));
            let mut gather = Gather {
                entry: id,
                problems: &mut problems,
            };
            if let Some(answer) = gather.one(id, "answer", ids.answer) {
                lexicon.entries.push(Entry {
                    near: Vec::new(),
                    lacks: Vec::new(),
                    across: false,
                    paired: false,
                    seen: false,
                    denies: false,
                    direction: None,
                    id: id.clone(),
                    says: says.clone(),
                    exact: false,
                    chatter: false,
                    glued: Vec::new(),
                    after_number: Vec::new(),
                    meaning: Meaning::Topic(answer),
                    weight: 0.9,
                });
            }
        }
        (lexicon, problems)
    }

    /// The phrases that two entries claim: one of them would be silent.
    pub fn said_twice(&self) -> Vec<LexiconProblem> {
        let mut problems = Vec::new();
        report_twice(self, &mut problems);
        problems
    }

    /// The name of a direction.
    pub fn direction_name(&self, id: DirectionId) -> &str {
        self.directions
            .get(usize::from(id.0))
            .map_or("", String::as_str)
    }
}

/// The phrasings that stand for more phrases than are kept.
fn too_many(entry: &str, says: &[String], choices: &mut Choices<()>) -> Vec<LexiconProblem> {
    let long = says.iter().filter(|says| {
        says.contains('(') && {
            choices.read(says, |_, _| ());
            choices.count() >= MOST_CHOICES
        }
    });
    long.map(|phrase| LexiconProblem {
        entry: entry.to_owned(),
        text: phrase.clone(),
        kind: LexiconProblemKind::TooMany,
    })
    .collect()
}

/// Notes what in the lists of an entry is no single word: the reader would take the first part and
/// leave out the rest.
fn words_alone(entry: &RawEntry, gather: &mut Gather<'_>) {
    let near = entry.near.iter().map(|list| ("near", list));
    let others = [("lacks", &entry.lacks), ("list", &entry.list)];
    for (key, list) in near.chain(others) {
        for word in list.split_whitespace() {
            let inside_list = key == "list" && word.starts_with('@');
            if inside_list || !is_one_word(word) {
                gather.note(word, LexiconProblemKind::NotOneWord(key));
            }
        }
    }
    if entry.near.len() > MOST_LISTS {
        gather.note("near", LexiconProblemKind::TooManyLists);
    }
    if entry.near.iter().any(|list| list.trim().is_empty()) {
        gather.note("near", LexiconProblemKind::NoWords);
    }
}

/// True for what a line can hold as one word: letters (with an apostrophe among them), a number, a
/// sign that stands for itself, or a word that stands for others.
fn is_one_word(word: &str) -> bool {
    let named = ["{push}", "{pull}", "{lead}", "{trail}", "{n}", "%", "?"];
    let name = word.strip_prefix('@');
    let plain = |c: char| c.is_ascii_lowercase();
    named.contains(&word)
        || name.is_some_and(|n| n.chars().all(|c| c.is_ascii_alphanumeric() || c == '_'))
        || (word.starts_with(plain) && word.chars().all(|c| plain(c) || c == '\''))
        || word
            .parse::<f64>()
            .is_ok_and(|n| n >= 0.0 && !word.starts_with(['+', '.']))
}

/// Notes keys that mean nothing without another one, which is not there.
fn without_what_they_need(entry: &RawEntry, gather: &mut Gather<'_>) {
    let symptoms = !entry.symptoms.is_empty();
    let quantity = entry.quantity.is_some();
    let near = !entry.near.is_empty();
    let alone = near && entry.says.is_empty();
    let causes = !entry.causes.is_empty();
    let groups = !entry.groups.is_empty();
    let needs = [
        ("slight", !entry.slight.is_empty(), symptoms, "symptoms"),
        (
            "well_with",
            !entry.well_with.is_empty(),
            symptoms,
            "symptoms",
        ),
        (
            "always",
            entry.always.is_some(),
            !entry.one_of.is_empty(),
            "one_of",
        ),
        ("measure", entry.measure.is_some(), symptoms, "symptoms"),
        ("together", !entry.together.is_empty(), symptoms, "symptoms"),
        (
            "spreads",
            entry.spreads,
            symptoms && groups,
            "symptoms and groups",
        ),
        (
            "alone",
            entry.alone,
            symptoms && entry.direction.is_some(),
            "symptoms and direction",
        ),
        ("any_shot", entry.any_shot, groups, "groups"),
        ("others", entry.others, groups, "groups"),
        ("units", !entry.units.is_empty(), quantity, "quantity"),
        ("bare", !entry.bare.is_empty(), quantity, "quantity"),
        ("signs", !entry.signs.is_empty(), quantity, "quantity"),
        ("unsigned", entry.unsigned.is_some(), quantity, "quantity"),
        (
            "implied_by",
            !entry.implied_by.is_empty(),
            quantity,
            "quantity",
        ),
        (
            "implied_with_unit",
            !entry.implied_with_unit.is_empty(),
            quantity,
            "quantity",
        ),
        ("listed", entry.listed.is_some(), quantity, "quantity"),
        (
            "beside_club",
            entry.beside_club.is_some(),
            quantity,
            "quantity",
        ),
        ("uneven", entry.uneven.is_some(), quantity, "quantity"),
        ("close", entry.close.is_some(), quantity, "quantity"),
        ("fallen", entry.fallen.is_some(), quantity, "quantity"),
        ("of_golfer", entry.of_golfer, quantity, "quantity"),
        ("classes", !entry.classes.is_empty(), quantity, "quantity"),
        ("lacks", !entry.lacks.is_empty(), near, "near"),
        ("across", entry.across, near, "near"),
        ("if_good", entry.if_good.is_some(), alone, "near alone"),
        ("if_bad", entry.if_bad.is_some(), alone, "near alone"),
        ("mood", entry.mood.is_some(), alone, "near alone"),
        ("seen", entry.seen, causes, "causes"),
        (
            "denies",
            entry.denies,
            causes || symptoms,
            "causes or symptoms",
        ),
        ("topic", entry.topic.is_some(), entry.tone.is_some(), "tone"),
    ];
    for (key, set, met, needed) in needs {
        if set && !met {
            gather.note(key, LexiconProblemKind::MeansNothing(needed));
        }
    }
}

/// The words of a list, with those of the lists it names in their place.
fn unfold(words: &str, lists: &BTreeMap<String, String>, gather: &mut Gather<'_>) -> Vec<String> {
    let mut out = Vec::new();
    for word in words.split_whitespace() {
        if let Some(name) = word.strip_prefix('@') {
            match lists.get(name) {
                Some(list) => out.extend(list.split_whitespace().map(str::to_owned)),
                None => gather.note(word, LexiconProblemKind::Unknown("list of words")),
            }
        } else {
            out.push(word.to_owned());
        }
    }
    out
}

fn of_word(word: &str, out: &mut Vec<u64>) {
    out.push(hashed(START, word));
}

/// The numbers of all phrases that phrasings stand for, in order.
fn of_phrases<'a>(phrasings: impl Iterator<Item = &'a String>) -> Vec<u64> {
    let mut words: Choices<u64> = Choices::default();
    let mut out = Vec::new();
    for says in phrasings {
        words.read(says, of_word);
        words.each(START, joined, |phrase| out.push(phrase));
    }
    out.sort_unstable();
    out
}

/// The same phrase in two entries would make one of them silent.
fn report_twice(lexicon: &Lexicon, problems: &mut Vec<LexiconProblem>) {
    let phrases = || {
        let telling = lexicon.entries.iter().filter(|e| !e.gives_way());
        telling.flat_map(|entry| entry.says.iter().map(move |says| (entry, says)))
    };
    let mut words: Choices<u64> = Choices::default();
    // Half of them on another thread: this is the longest piece of reading phrases.
    let half = phrases().count() / 2;
    let (seen_there, mut seen) = beside(
        || of_phrases(phrases().take(half).map(|(_, says)| says)),
        || of_phrases(phrases().skip(half).map(|(_, says)| says)),
    );
    seen.extend(seen_there);
    #[allow(
        clippy::stable_sort_primitive,
        reason = "two sorted runs, which this sort only has to merge"
    )]
    seen.sort();
    let repeated: BTreeSet<u64> = seen
        .windows(2)
        .filter(|pair| pair.first() == pair.last())
        .filter_map(|pair| pair.first().copied())
        .collect();
    if repeated.is_empty() {
        return;
    }
    let mut first: BTreeMap<String, &str> = BTreeMap::new();
    for (entry, says) in phrases() {
        let mut again = false;
        words.read(says, of_word);
        words.each(START, joined, |phrase| again |= repeated.contains(&phrase));
        if !again {
            continue;
        }
        for phrase in choices(says) {
            if let Some(other) = first.insert(phrase.clone(), &entry.id)
                && other != entry.id
            {
                problems.push(LexiconProblem {
                    entry: entry.id.clone(),
                    text: phrase,
                    kind: LexiconProblemKind::Twice(other.to_owned()),
                });
            }
        }
    }
}
