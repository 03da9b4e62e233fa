//! The JSON Schema of each kind of knowledge file, for completion and checks in an editor.
//!
//! Made from the very types that read the files, so that it cannot fall behind them. A schema
//! knows keys and the sorts of values; names, units and ranges are for [`super::load`] to check.

use schemars::{JsonSchema, schema_for};

use super::counts::CountShape;
use super::course::{LessonShape, LevelShape};
use super::golfer_shapes::{ClubShape, GroupShape, LieShape, PopulationShape};
use super::lexicon::RawEntry;
use super::limits::LimitShape;
use super::rule_shapes::RuleShape;
use super::shapes::{
    AnswerShape, CauseShape, CautionShape, ChangeShape, CheckShape, DrillShape, EffectShape,
    QuantityShape, SourceShape, StrengthShape, SymptomShape, TellingShape,
};
use super::written_case::CaseShape;

fn list_of<T: JsonSchema>() -> String {
    let mut text = serde_json::to_string_pretty(schema_for!(Vec<T>).as_value()).unwrap_or_default();
    text.push('\n');
    text
}

/// A kind of file: its name, where such files lie, and its schema.
type KindOfFile = (&'static str, &'static str, fn() -> String);

/// Every kind of file.
const KINDS: [KindOfFile; 23] = [
    ("answers", "answers.yaml", list_of::<AnswerShape>),
    ("cases", "a folder of cases", list_of::<CaseShape>),
    ("causes", "causes/*.yaml", list_of::<CauseShape>),
    ("cautions", "cautions.yaml", list_of::<CautionShape>),
    ("changes", "changes.yaml", list_of::<ChangeShape>),
    ("checks", "checks/*.yaml", list_of::<CheckShape>),
    ("clubs", "clubs.yaml", list_of::<ClubShape>),
    ("counts", "counts.yaml", list_of::<CountShape>),
    ("drills", "drills.yaml", list_of::<DrillShape>),
    ("effects", "effects.yaml", list_of::<EffectShape>),
    ("groups", "groups.yaml", list_of::<GroupShape>),
    ("lessons", "course/lessons.yaml", list_of::<LessonShape>),
    ("levels", "course/levels.yaml", list_of::<LevelShape>),
    ("lies", "lies.yaml", list_of::<LieShape>),
    ("limits", "limits.yaml", list_of::<LimitShape>),
    ("phrases", "phrases/*.yaml", list_of::<RawEntry>),
    ("population", "population.yaml", list_of::<PopulationShape>),
    ("quantities", "quantities.yaml", list_of::<QuantityShape>),
    ("rules", "rules/*.yaml", list_of::<RuleShape>),
    ("sources", "sources.yaml", list_of::<SourceShape>),
    ("strengths", "strengths.yaml", list_of::<StrengthShape>),
    ("symptoms", "symptoms/*.yaml", list_of::<SymptomShape>),
    ("told", "told/*.yaml", list_of::<TellingShape>),
];

/// The kinds that have a schema, with where such files lie.
pub fn schema_kinds() -> impl Iterator<Item = (&'static str, &'static str)> {
    KINDS.iter().map(|(kind, files, _)| (*kind, *files))
}

/// The JSON Schema of a kind of file.
///
/// ```
/// use swingwhy::knowledge::schema;
/// assert!(schema("drills").is_some_and(|text| text.contains("\"balls\"")));
/// assert_eq!(schema("fish"), None);
/// ```
pub fn schema(kind: &str) -> Option<String> {
    let (_, _, make) = KINDS.iter().find(|(name, ..)| *name == kind)?;
    Some(make())
}
