//! Cases: what a golfer types, and what a teacher accepts as an answer.
//!
//! Read from folders of YAML like the rest of the knowledge, but apart from it: nothing is worked
//! out from a case, it is only held against what is. [`read_cases`] takes texts and gives cases
//! valid by construction, or every problem with place and nearest name. Does not know how a case
//! is played.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::problem::{Problem, ProblemKind, nearest};
use super::yaml::{EntryText, SourceFile, read_file};
use super::{CautionLevel, KnowledgeBase};
use crate::rules::RuleIndex;
use crate::vocabulary::{CauseId, CheckId, EffectId, Hand, SymptomId};

/// A case as it stands in a file.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CaseShape {
    /// Unique name among the cases, such as `my_case_wet_slice`.
    pub id: String,
    /// Who wrote it: `blind` if without sight of the knowledge.
    pub by: String,
    /// The golfer's hand: `right`, `left`, or `none` if it is not known.
    #[schemars(extend("enum" = ["right", "left", "none"]))]
    pub hand: String,
    /// The lines the golfer types.
    pub say: Vec<String>,
    /// Checks answered with yes (true) or no (false) when they are asked.
    #[serde(default)]
    pub answers: BTreeMap<String, bool>,
    /// Symptoms that must have been read as present.
    #[serde(default)]
    pub findings: Vec<String>,
    /// Effects of which at least one must come out as likely.
    #[serde(default)]
    pub effects: Vec<String>,
    /// Ids of causes any of which may lead; none if the case is about reading or rules alone.
    #[serde(default)]
    pub first: Vec<String>,
    /// Causes that must not lead.
    #[serde(default)]
    pub never: Vec<String>,
    /// The caution that has to come first: `none`, `first` or `emergency`.
    #[schemars(extend("enum" = ["none", "first", "emergency"]))]
    pub caution: String,
    /// Checks any of which would be the right question.
    #[serde(default)]
    pub asks: Vec<String>,
    /// Rules that must fire.
    #[serde(default)]
    pub fires: Vec<String>,
    /// Rules that must not fire.
    #[serde(default)]
    pub silent: Vec<String>,
    /// The reason, in a sentence.
    pub why: String,
}

/// A case.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "as in the file; see the shape of a case")]
pub struct WrittenCase {
    pub id: String,
    /// The name of its file, without folder and ending.
    pub theme: String,
    pub by: String,
    pub hand: Option<Hand>,
    pub say: Vec<String>,
    pub answers: Vec<(CheckId, bool)>,
    pub findings: Vec<SymptomId>,
    pub effects: Vec<EffectId>,
    pub first: Vec<CauseId>,
    pub never: Vec<CauseId>,
    /// The caution that must come; any of its level or a stronger one will do.
    pub caution: Option<CautionLevel>,
    pub asks: Vec<CheckId>,
    pub fires: Vec<RuleIndex>,
    pub silent: Vec<RuleIndex>,
    pub why: String,
}

/// Ids looked up one after another, with the problems of those that are not there.
struct Finder<'a> {
    base: &'a KnowledgeBase,
    entry: &'a EntryText<'a>,
    id: &'a str,
    problems: &'a mut Vec<Problem>,
}

impl Finder<'_> {
    fn problem(&mut self, kind: ProblemKind, needle: &str, nearest: Option<String>) {
        self.problems.push(Problem {
            kind,
            place: self.entry.place_of(needle),
            entry: Some(self.id.to_owned()),
            nearest,
        });
    }

    fn all<'n, T>(
        &mut self,
        sort: &'static str,
        names: impl IntoIterator<Item = &'n String>,
        find: impl Fn(&KnowledgeBase, &str) -> Option<T>,
        known: impl Fn(&KnowledgeBase) -> Vec<&str>,
    ) -> Vec<T> {
        let mut out = Vec::new();
        for name in names {
            if let Some(id) = find(self.base, name) {
                out.push(id);
            } else {
                let near = nearest(name, known(self.base).into_iter());
                let id = name.clone();
                self.problem(ProblemKind::UnknownId { sort, id }, name, near);
            }
        }
        out
    }

    fn causes(&mut self, names: &[String]) -> Vec<CauseId> {
        self.all("cause", names, KnowledgeBase::find_cause, |b| {
            b.causes.ids().collect()
        })
    }

    fn checks<'n>(&mut self, names: impl IntoIterator<Item = &'n String>) -> Vec<CheckId> {
        self.all("check", names, KnowledgeBase::find_check, |b| {
            b.checks.ids().collect()
        })
    }

    fn rules(&mut self, names: &[String]) -> Vec<RuleIndex> {
        let find = |b: &KnowledgeBase, id: &str| b.program.rule_named(id);
        self.all("rule", names, find, |b| {
            b.program.rules().iter().map(|r| r.id.as_str()).collect()
        })
    }

    /// One of the words, or a problem.
    fn word<T: Copy>(&mut self, sort: &'static str, word: &str, words: &[(&str, T)]) -> Option<T> {
        let found = words.iter().find(|(w, _)| *w == word).map(|(_, t)| *t);
        if found.is_none() {
            let near = nearest(word, words.iter().map(|(w, _)| *w));
            let id = word.to_owned();
            self.problem(ProblemKind::UnknownId { sort, id }, word, near);
        }
        found
    }
}

/// Reads files of cases.
///
/// # Errors
/// Every problem found, in the order of the files.
pub fn read_cases(
    files: &[SourceFile],
    base: &KnowledgeBase,
) -> Result<Vec<WrittenCase>, Vec<Problem>> {
    let mut problems = Vec::new();
    let mut cases = Vec::new();
    for file in files {
        let name = file.path.rsplit('/').next().unwrap_or(&file.path);
        let theme = name.split('.').next().unwrap_or(name).to_owned();
        for (entry, shape) in read_file::<CaseShape>(file, None) {
            match shape {
                Ok(shape) => cases.push(case(&shape, &entry, &theme, base, &mut problems)),
                Err(problem) => problems.push(*problem),
            }
        }
    }
    if problems.is_empty() {
        Ok(cases)
    } else {
        Err(problems)
    }
}

fn case(
    shape: &CaseShape,
    entry: &EntryText<'_>,
    theme: &str,
    base: &KnowledgeBase,
    problems: &mut Vec<Problem>,
) -> WrittenCase {
    let mut find = Finder {
        base,
        entry,
        id: &shape.id,
        problems,
    };
    let hands = [
        ("right", Some(Hand::Right)),
        ("left", Some(Hand::Left)),
        ("none", None),
    ];
    let cautions = [
        ("none", None),
        ("first", Some(CautionLevel::First)),
        ("emergency", Some(CautionLevel::Emergency)),
    ];
    let asked = find.checks(shape.answers.keys());
    WrittenCase {
        id: shape.id.clone(),
        theme: theme.to_owned(),
        by: shape.by.clone(),
        hand: find.word("hand", &shape.hand, &hands).flatten(),
        say: shape.say.clone(),
        answers: asked
            .into_iter()
            .zip(shape.answers.values().copied())
            .collect(),
        findings: find.all(
            "symptom",
            &shape.findings,
            KnowledgeBase::find_symptom,
            |b| b.symptoms.ids().collect(),
        ),
        effects: find.all("effect", &shape.effects, KnowledgeBase::find_effect, |b| {
            b.effects.ids().collect()
        }),
        first: find.causes(&shape.first),
        never: find.causes(&shape.never),
        caution: find
            .word("caution level", &shape.caution, &cautions)
            .flatten(),
        asks: find.checks(&shape.asks),
        fires: find.rules(&shape.fires),
        silent: find.rules(&shape.silent),
        why: shape.why.clone(),
    }
}
