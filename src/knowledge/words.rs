//! From phrase entries to the lexicon, with the problems of phrases placed in their files.

use super::KnowledgeBase;
use super::files::Read;
use super::lexicon::{Lexicon, LexiconProblem, LexiconProblemKind, Lookups, RawEntry, Role, TONES};
use super::problem::{ProblemKind, nearest};
use super::report::{Place0, Report};
use super::shapes::AnswerShape;
use crate::quantity::Unit;
use crate::vocabulary::GroupId;

/// The words golfers use, with every name in them resolved, and how many phrasings there are. That
/// no two entries say the same need not be looked for if it is `known`.
pub(super) fn lexicon(
    raw: Read<'_, RawEntry>,
    answers: &Read<'_, AnswerShape>,
    base: &KnowledgeBase,
    known: bool,
    report: &mut Report,
) -> (Lexicon, usize) {
    let all_groups: Vec<GroupId> = (0..base.groups.len()).map(GroupId::from_index).collect();
    let lookups = Lookups {
        club: &|id| base.find_club(id),
        group_of: &|club| Some(base.club(club).group),
        group: &|id| base.find_group(id),
        all_groups: &all_groups,
        lie: &|id| base.find_lie(id),
        symptom: &|id| base.find_symptom(id),
        quantity: &|id| base.find_quantity(id),
        cause: &|id| base.find_cause(id),
        answer: &|id| base.find_answer(id),
    };
    let asks: Vec<(String, Vec<String>)> = base
        .answers
        .iter()
        .map(|a| (a.id.clone(), a.asks.clone()))
        .collect();
    let phrasings = raw.entries.iter().map(|(entry, _)| entry.says.len()).sum();
    let (entries, places): (Vec<RawEntry>, Vec<Place0<'_>>) = raw.entries.into_iter().unzip();
    let (lexicon, mut problems) = Lexicon::resolve(entries, &asks, &lookups);
    if !known {
        problems.extend(lexicon.said_twice());
    }
    for problem in problems {
        let mut at = places
            .iter()
            .chain(answers.entries.iter().map(|(_, at)| at));
        if let Some(at) = at.find(|at| at.id == problem.entry) {
            let (kind, names): (ProblemKind, Vec<&str>) = lexicon_problem(&problem, base, &lexicon);
            let near = nearest(&problem.text, names.into_iter());
            report.push(kind, &problem.text, near, at);
        }
    }
    (lexicon, phrasings)
}

/// What a number without a sign may count as.
const UNSIGNED: [&str; 2] = ["plus", "ask"];

/// The sides there are.
const SIDES: [&str; 2] = ["left", "right"];

/// How to mend what has no kind of its own.
const fn advice(kind: &LexiconProblemKind) -> &'static str {
    match kind {
        LexiconProblemKind::Meanings(0) => {
            "say what it means, such as `symptoms: [fat]` or `causes: [p_sway]`"
        }
        LexiconProblemKind::Meanings(_) => "make an entry of its own for each meaning",
        LexiconProblemKind::Range => "write a share, from 0 to 1",
        LexiconProblemKind::TooManyLists => "put lists together that say the same",
        LexiconProblemKind::NoWords => "write words into it, or take it out",
        _ => "make several phrasings of it",
    }
}

fn words_only<'a>(key: &str, word: String, known: impl Iterator<Item = &'a str>) -> ProblemKind {
    ProblemKind::UnknownWord {
        key: key.to_owned(),
        word,
        known: known.map(str::to_owned).collect(),
    }
}

fn lexicon_problem<'a>(
    problem: &LexiconProblem,
    base: &'a KnowledgeBase,
    lexicon: &'a Lexicon,
) -> (ProblemKind, Vec<&'a str>) {
    let text = problem.text.clone();
    match &problem.kind {
        LexiconProblemKind::Unknown(sort) => {
            let names: Vec<&str> = match *sort {
                "symptom" => base.symptoms.ids().collect(),
                "quantity" => base.quantities.ids().collect(),
                "cause" => base.causes.ids().collect(),
                "answer" => base.answers.ids().collect(),
                "club" => base.clubs.ids().collect(),
                "group" => base.groups.ids().collect(),
                "lie" => base.lies.ids().collect(),
                "unit" => Unit::ALL.iter().map(|u| u.symbol()).collect(),
                "direction" => {
                    let others = lexicon.directions.iter().map(String::as_str);
                    others.filter(|name| *name != text).collect()
                }
                "word" => {
                    return (
                        words_only("word", text, Role::names()),
                        Role::names().collect(),
                    );
                }
                "tone" => return (words_only("tone", text, TONES.into_iter()), TONES.to_vec()),
                "unsigned" => {
                    return (
                        words_only(sort, text, UNSIGNED.into_iter()),
                        UNSIGNED.to_vec(),
                    );
                }
                "side" | "hand" => {
                    return (words_only(sort, text, SIDES.into_iter()), SIDES.to_vec());
                }
                _ => Vec::new(),
            };
            (ProblemKind::UnknownId { sort, id: text }, names)
        }
        LexiconProblemKind::Twice(other) => (
            ProblemKind::TwoMeanings {
                phrase: text,
                other: other.clone(),
            },
            Vec::new(),
        ),
        LexiconProblemKind::NotOneWord(key) => (
            ProblemKind::NotOneWord {
                key: (*key).to_owned(),
                text,
            },
            Vec::new(),
        ),
        LexiconProblemKind::MeansNothing(needs) => {
            (ProblemKind::MeansNothing { key: text, needs }, Vec::new())
        }
        LexiconProblemKind::Unused => (
            ProblemKind::Unused {
                sort: "list of words",
                id: text,
            },
            Vec::new(),
        ),
        LexiconProblemKind::Empty => (ProblemKind::Lacks { what: "phrasing" }, Vec::new()),
        LexiconProblemKind::Meanings(_)
        | LexiconProblemKind::Range
        | LexiconProblemKind::TooManyLists
        | LexiconProblemKind::NoWords
        | LexiconProblemKind::TooMany => (
            ProblemKind::Shape {
                detail: problem.kind.to_string(),
                advice: Some(advice(&problem.kind).to_owned()),
            },
            Vec::new(),
        ),
    }
}
