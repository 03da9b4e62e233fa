//! A filled paper, read back: which case got which answers.
//!
//! Takes the text of a filled paper, either as it was printed with the blanks filled in or as JSON
//! Lines; gives the name of the paper and a commitment for each case, or the line that cannot be
//! read and why. Names are understood as in the talk. Grades nothing.

use std::sync::Arc;

use serde::Deserialize;
use serde_json::Value;

use super::Trainee;
use super::committing::stated;
use super::finding;
use super::practising;
use crate::knowledge::KnowledgeBase;
use crate::learning::{Commitment, PaperCase, paper};
use crate::reading::Phrases;
use crate::vocabulary::{EffectId, Hand};

/// Which paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PaperName {
    /// The seed.
    pub seed: u64,
    /// How many cases.
    pub cases: usize,
    /// The level, from 1.
    pub level: usize,
}

/// A filled paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    /// Which.
    pub name: PaperName,
    /// A commitment for each case; nothing where none was filled in.
    pub answers: Vec<Option<Commitment>>,
    /// The lines that could not be read. Of a case with one, the lines that could are graded.
    pub bad: Vec<BadPaper>,
}

/// Why a filled paper cannot be graded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadPaper {
    /// The line, from 1; 0 for the whole.
    pub line: usize,
    /// Why.
    pub why: BadLine,
}

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BadLine {
    /// No line names the paper.
    NoName,
    /// No JSON object, or one of another shape: the reader's words.
    Shape(String),
    /// A case that the paper does not have.
    NoSuchCase(u64),
    /// An answer before any case.
    NoCase,
    /// Words that name no single fault; those they may mean.
    Fault(String, Vec<EffectId>),
    /// Words that name no causes with chances.
    Causes(String),
    /// Words that name nothing to practise.
    Practice(String),
    /// The paper was made with other knowledge, of this name.
    OtherKnowledge(String),
}

/// More cases than this make no paper.
pub const MOST_CASES: usize = 200;

#[derive(Deserialize)]
struct JsonLine {
    paper: u64,
    cases: usize,
    level: usize,
    case: u64,
    knowledge: Option<String>,
    answer: Option<JsonAnswer>,
}

#[derive(Deserialize, Default)]
struct JsonAnswer {
    fault: Option<String>,
    #[serde(default)]
    causes: serde_json::Map<String, Value>,
    practise: Option<String>,
}

impl Trainee {
    /// The cases of a paper; none if nobody fits the level.
    pub fn paper(&mut self, name: PaperName) -> Option<Vec<PaperCase>> {
        let wanted = self
            .base()
            .levels
            .iter()
            .nth(name.level.checked_sub(1)?)
            .map(|l| l.wish.clone())?;
        let wanted = self.narrowed(wanted).ok()?;
        let phrases = Arc::clone(&self.phrases);
        paper(&mut self.mind, &phrases, &wanted, name.seed, name.cases).ok()
    }

    /// The golfers and the knowledge, for comparing.
    pub const fn mind(&mut self) -> &mut crate::diagnosis::Mind {
        &mut self.mind
    }

    /// Reads a filled paper.
    ///
    /// # Errors
    /// [`BadPaper`]: there is nothing to grade, or the paper was made with other knowledge. Single
    /// lines that cannot be read come along in [`Filled::bad`].
    pub fn filled(&self, text: &str) -> Result<Filled, BadPaper> {
        let reader = Reader {
            base: self.base(),
            phrases: &self.phrases,
        };
        if text.trim_start().starts_with('{') {
            reader.json(text)
        } else {
            reader.text(text)
        }
    }
}

struct Reader<'a> {
    base: &'a KnowledgeBase,
    phrases: &'a Phrases,
}

impl Reader<'_> {
    fn json(&self, text: &str) -> Result<Filled, BadPaper> {
        let mut filled: Option<Filled> = None;
        let mut wrong: Vec<BadPaper> = Vec::new();
        for (at, line) in text.lines().enumerate() {
            if line.trim().is_empty() {
                continue;
            }
            let bad = |why| BadPaper { line: at + 1, why };
            let read: JsonLine = match serde_json::from_str(line) {
                Ok(read) => read,
                Err(e) => {
                    wrong.push(bad(BadLine::Shape(e.to_string())));
                    continue;
                }
            };
            if let Some(other) = read.knowledge.filter(|k| *k != self.base.hash) {
                return Err(bad(BadLine::OtherKnowledge(other)));
            }
            let name = PaperName {
                seed: read.paper,
                cases: read.cases.min(MOST_CASES),
                level: read.level,
            };
            let filled = filled.get_or_insert_with(|| Filled {
                name,
                answers: vec![None; name.cases],
                bad: Vec::new(),
            });
            let Some(slot) = usize::try_from(read.case)
                .ok()
                .and_then(|c| c.checked_sub(1))
                .and_then(|c| filled.answers.get_mut(c))
            else {
                wrong.push(bad(BadLine::NoSuchCase(read.case)));
                continue;
            };
            let answer = read.answer.unwrap_or_default();
            let mut commitment = Commitment::default();
            let mut keep = |why| wrong.push(bad(why));
            if let Some(fault) = &answer.fault {
                commitment.fault = self.fault(fault).map_err(&mut keep).ok();
            }
            for (cause, chance) in &answer.causes {
                let said = format!("{cause} {chance}");
                let stated = self.causes(&said).map_err(&mut keep);
                commitment.causes.extend(stated.unwrap_or_default());
            }
            if let Some(practise) = &answer.practise {
                let named = self.practice(practise, &commitment).map_err(&mut keep);
                commitment.practise = named.unwrap_or_default();
            }
            let given = commitment != Commitment::default();
            *slot = given.then_some(commitment);
        }
        gradable(filled, wrong)
    }

    fn text(&self, text: &str) -> Result<Filled, BadPaper> {
        let mut filled: Option<Filled> = None;
        let mut wrong: Vec<BadPaper> = Vec::new();
        let mut case: Option<usize> = None;
        for (at, line) in text.lines().enumerate() {
            let bad = |why| BadPaper { line: at + 1, why };
            let line = line.trim();
            if let Some(name) = name_in(line) {
                filled = Some(Filled {
                    name,
                    answers: vec![None; name.cases],
                    bad: Vec::new(),
                });
                continue;
            }
            if let Some(number) = line
                .strip_prefix("Case ")
                .and_then(|rest| rest.split_whitespace().next())
                .and_then(|n| n.parse::<u64>().ok())
            {
                let cases = filled.as_ref().map_or(0, |f| f.answers.len());
                let place = usize::try_from(number).ok().and_then(|n| n.checked_sub(1));
                case = place.filter(|p| *p < cases);
                if case.is_none() && filled.is_some() {
                    wrong.push(bad(BadLine::NoSuchCase(number)));
                }
                continue;
            }
            let Some((key, words)) = line.split_once(':') else {
                continue;
            };
            let words = words.trim().trim_matches('_').trim();
            if !["Fault", "Causes", "Practise"].contains(&key) || words.is_empty() {
                continue;
            }
            let slot = case.and_then(|c| filled.as_mut()?.answers.get_mut(c));
            let Some(slot) = slot else {
                wrong.push(bad(BadLine::NoCase));
                continue;
            };
            let mut keep = |why| wrong.push(bad(why));
            let mut commitment = slot.clone().unwrap_or_default();
            match key {
                "Fault" => commitment.fault = self.fault(words).map_err(&mut keep).ok(),
                "Causes" => {
                    commitment.causes = self.causes(words).map_err(&mut keep).unwrap_or_default();
                }
                _ => {
                    let named = self.practice(words, &commitment).map_err(&mut keep);
                    commitment.practise = named.unwrap_or_default();
                }
            }
            // A case of which no line could be read is one that was not filled in.
            if commitment != Commitment::default() || key == "Practise" {
                *slot = Some(commitment);
            }
        }
        gradable(filled, wrong)
    }

    fn fault(&self, words: &str) -> Result<EffectId, BadLine> {
        if let Some(by_id) = self.base.find_effect(words.trim()) {
            return Ok(by_id);
        }
        let mut found = finding::faults(self.base, words);
        if let [one] = found.as_slice() {
            return Ok(*one);
        }
        found.truncate(finding::OFFERED);
        Err(BadLine::Fault(words.to_owned(), found))
    }

    fn causes(&self, words: &str) -> Result<Vec<(crate::vocabulary::CauseId, f64)>, BadLine> {
        stated(self.base, self.phrases, Hand::Right, words)
            .map_err(|_| BadLine::Causes(words.to_owned()))
    }

    fn practice(
        &self,
        words: &str,
        commitment: &Commitment,
    ) -> Result<Option<crate::vocabulary::CauseId>, BadLine> {
        if words.eq_ignore_ascii_case("nothing") {
            return Ok(None);
        }
        let named: Vec<_> = commitment.causes.iter().map(|(c, _)| *c).collect();
        let found = practising::practice(self.base, self.phrases, Hand::Right, words, &named);
        match found.as_slice() {
            [one] => Ok(Some(*one)),
            _ => Err(BadLine::Practice(words.to_owned())),
        }
    }
}

/// What was read with what could not be; an error if nothing could.
fn gradable(filled: Option<Filled>, bad: Vec<BadPaper>) -> Result<Filled, BadPaper> {
    let nothing = BadPaper {
        line: 0,
        why: BadLine::NoName,
    };
    match filled {
        Some(filled) => Ok(Filled { bad, ..filled }),
        None => Err(bad.into_iter().next().unwrap_or(nothing)),
    }
}

/// `Paper 7, 20 cases, level 1`.
fn name_in(line: &str) -> Option<PaperName> {
    let rest = line.strip_prefix("Paper ")?;
    let mut numbers = rest
        .split(|c: char| !c.is_ascii_digit())
        .filter(|n| !n.is_empty());
    let mut next = || numbers.next().and_then(|n| n.parse::<u64>().ok());
    let (seed, cases, level) = (next()?, next()?, next()?);
    Some(PaperName {
        seed,
        cases: usize::try_from(cases).ok()?.min(MOST_CASES),
        level: usize::try_from(level).ok()?,
    })
}
