//! The course for new coaches, as it stands in `course/levels.yaml` and `course/lessons.yaml`.
//!
//! Takes the entries' shapes and the base they speak of; gives [`Level`]s and [`Lesson`]s whose ids
//! all exist. A lesson is short (texts are measured), names the claims it settles and its sources,
//! and ends in exactly two cases, each a [`Wish`] that a golfer of the population will meet. Knows
//! nothing of learners or golfers.

use schemars::JsonSchema;
use serde::Deserialize;

use super::problem::ProblemKind;
use super::report::{Place0, Report};
use super::{Kind, KnowledgeBase};
use crate::vocabulary::{AnswerId, CauseId, EffectId, GroupId, SourceId};

/// What a case of the course wishes of its golfer. An empty list: anything.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wish {
    /// One of these club groups.
    pub groups: Vec<GroupId>,
    /// At least one of these faults.
    pub faults: Vec<EffectId>,
    /// At least one of these causes at work.
    pub causes: Vec<CauseId>,
    /// None of these faults, whatever causes it.
    pub without: Vec<EffectId>,
    /// Of what the shots do, the golfer tells only what is of these kinds of symptom.
    pub told: Vec<String>,
    /// Causes at work, least and most.
    pub at_work: (usize, usize),
    /// The ball may lie badly.
    pub lies: bool,
    /// A second club is spoken of.
    pub second_club: bool,
    /// One measured number is wrong.
    pub wrong_number: bool,
}

impl Wish {
    /// Any club, any fault, one to three causes.
    pub fn anything() -> Self {
        Self {
            at_work: (1, 3),
            ..Self::default()
        }
    }
}

/// A level of the course, in the order of the file.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// Text id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// What is asked of the learner, a sentence.
    pub about: String,
    /// Cases of one family in a row, before families are mixed.
    pub blocked: usize,
    /// Who stands there.
    pub wish: Wish,
}

/// A short lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    /// Text id.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// Paragraphs.
    pub text: Vec<String>,
    /// The one thing to keep.
    pub keep: String,
    /// Contested claims it settles.
    pub claims: Vec<AnswerId>,
    /// Where its facts come from.
    pub sources: Vec<SourceId>,
    /// What kind of facts they are.
    pub kind: Kind,
    /// The two cases it ends in.
    pub cases: Vec<Wish>,
}

/// `course/levels.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LevelShape {
    /// Unique name among the levels, such as `my_wet_week`. With the id of a built-in entry it
    /// takes that one's place.
    pub(super) id: String,
    /// Plain name as it is shown, at most 48 characters.
    name: String,
    /// What the learner meets there, in a sentence or two of at most 420 characters.
    about: String,
    /// How many cases of each family of faults come in a row before the families are mixed; 0 mixes
    /// from the start.
    blocked: usize,
    /// Which golfers are put before the learner.
    cases: WishShape,
}

/// `course/lessons.yaml`.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LessonShape {
    /// Unique name among the lessons, such as `my_rain_lesson`. With the id of a built-in entry it
    /// takes that one's place.
    pub(super) id: String,
    /// Plain name as it is shown, at most 48 characters.
    name: String,
    /// One to four paragraphs of at most 420 characters each.
    text: Vec<String>,
    /// The one thing to keep from it, in at most 420 characters.
    keep: String,
    /// Ids of answers with a `claim` that the lesson settles, such as `cc_divot_ahead_proves`. Left
    /// out: none.
    #[serde(default)]
    claims: Vec<String>,
    /// Ids of the entries of `sources.yaml` that its facts rest on; needed where `kind` is
    /// `published`. Left out: none.
    #[serde(default)]
    sources: Vec<String>,
    /// What its facts rest on: `published` (then `sources` too), `common`, `memory` or `elicited`.
    /// Left out: `elicited`, an estimate.
    #[serde(default)]
    kind: Kind,
    /// Exactly two cases to end with: which golfer stands before the learner in each.
    cases: Vec<WishShape>,
}

/// Which golfers a case is about. What is left out is open.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(clippy::struct_excessive_bools, reason = "independent keys of a file")]
struct WishShape {
    /// Ids of club groups, such as `mid_iron`; the golfer comes with a club of one of them. Left
    /// out: any club.
    #[serde(default)]
    clubs: Vec<String>,
    /// Ids of effects, such as `e_lp_behind`; the golfer has at least one of them, and it goes when
    /// the main cause is mended. Left out: any fault.
    #[serde(default)]
    faults: Vec<String>,
    /// Ids of causes, at least one of which is at work. Left out: any cause.
    #[serde(default)]
    causes: Vec<String>,
    /// Ids of effects that the golfer has not got, so that a case keeps to its subject. Left out: none.
    #[serde(default)]
    without: Vec<String>,
    /// Kinds of symptom, such as `contact`; of what the shots do the golfer tells only these. Left
    /// out: any.
    #[serde(default)]
    told: Vec<String>,
    /// Fewest and most causes at work, from 1 to 6, as `[1, 3]`. Left out: one or two.
    #[serde(default = "one_or_two")]
    at_work: (usize, usize),
    /// `true` if the ball may lie badly. Left out: it never does.
    #[serde(default)]
    lies: bool,
    /// `true` if the golfer tells of a second club too. Left out: of one club only.
    #[serde(default)]
    second_club: bool,
    /// `true` if one measured number is wrong. Left out: all are right.
    #[serde(default)]
    wrong_number: bool,
}

const fn one_or_two() -> (usize, usize) {
    (1, 2)
}

/// Cases at the end of a lesson.
const CASES: usize = 2;
/// Characters of a name, of a paragraph, and paragraphs of a lesson.
const NAME: usize = 48;
const PARAGRAPH: usize = 420;
const PARAGRAPHS: usize = 4;
/// More causes at work than this no lesson asks for.
const MOST_AT_WORK: usize = 6;

impl LessonShape {
    /// The ids of its sources.
    pub(super) fn sources(&self) -> impl Iterator<Item = &str> {
        self.sources.iter().map(String::as_str)
    }
}

pub(super) fn level(
    shape: &LevelShape,
    base: &KnowledgeBase,
    at: &Place0<'_>,
    report: &mut Report,
) -> Level {
    report.text("name", &shape.name, NAME, at);
    report.text("about", &shape.about, PARAGRAPH, at);
    Level {
        id: shape.id.clone(),
        name: shape.name.clone(),
        about: shape.about.clone(),
        blocked: shape.blocked,
        wish: wish(&shape.cases, base, at, report),
    }
}

pub(super) fn lesson(
    shape: &LessonShape,
    base: &KnowledgeBase,
    at: &Place0<'_>,
    report: &mut Report,
) -> Lesson {
    report.text("name", &shape.name, NAME, at);
    report.text("keep", &shape.keep, PARAGRAPH, at);
    for text in &shape.text {
        report.text("text", text, PARAGRAPH, at);
    }
    if shape.text.is_empty() || shape.text.len() > PARAGRAPHS {
        let found = shape.text.len() as f64;
        report.range("text", found, (1.0, PARAGRAPHS as f64), at);
    }
    if shape.cases.len() != CASES {
        let found = shape.cases.len() as f64;
        report.range("cases", found, (CASES as f64, CASES as f64), at);
    }
    if shape.kind == Kind::Published && shape.sources.is_empty() {
        let key = "sources".to_owned();
        report.push(ProblemKind::MissingKey { key }, "published", None, at);
    }
    let claims = names(
        "answer",
        &shape.claims,
        |id| base.find_answer(id),
        &base.answers,
        at,
        report,
    );
    let sources = names(
        "source",
        &shape.sources,
        |id| base.find_source(id),
        &base.sources,
        at,
        report,
    );
    Lesson {
        id: shape.id.clone(),
        name: shape.name.clone(),
        text: shape.text.clone(),
        keep: shape.keep.clone(),
        claims,
        sources,
        kind: shape.kind,
        cases: shape
            .cases
            .iter()
            .map(|case| wish(case, base, at, report))
            .collect(),
    }
}

fn wish(shape: &WishShape, base: &KnowledgeBase, at: &Place0<'_>, report: &mut Report) -> Wish {
    let (least, most) = shape.at_work;
    if least == 0 || least > most || most > MOST_AT_WORK {
        let value = if least == 0 || least > most {
            least
        } else {
            most
        };
        report.range("at_work", value as f64, (1.0, MOST_AT_WORK as f64), at);
    }
    Wish {
        groups: names(
            "club group",
            &shape.clubs,
            |id| base.find_group(id),
            &base.groups,
            at,
            report,
        ),
        faults: names(
            "effect",
            &shape.faults,
            |id| base.find_effect(id),
            &base.effects,
            at,
            report,
        ),
        without: names(
            "effect",
            &shape.without,
            |id| base.find_effect(id),
            &base.effects,
            at,
            report,
        ),
        told: shape.told.clone(),
        causes: names(
            "cause",
            &shape.causes,
            |id| base.find_cause(id),
            &base.causes,
            at,
            report,
        ),
        at_work: shape.at_work,
        lies: shape.lies,
        second_club: shape.second_club,
        wrong_number: shape.wrong_number,
    }
}

fn names<I, T>(
    sort: &'static str,
    ids: &[String],
    find: impl Fn(&str) -> Option<I>,
    table: &super::Table<T>,
    at: &Place0<'_>,
    report: &mut Report,
) -> Vec<I> {
    ids.iter()
        .filter_map(|id| {
            let found = find(id);
            if found.is_none() {
                report.unknown(sort, id, table.ids(), at);
            }
            found
        })
        .collect()
}
