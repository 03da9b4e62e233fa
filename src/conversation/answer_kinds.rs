//! What kind of answer does a question want? A question in; yes or no, a hand or one of several, out.

use super::reply::Question;
use crate::knowledge::KnowledgeBase;
use crate::quantity::Unit;
use crate::reading::quick::Asked;

/// What the reader is to look for in the answer.
pub(super) fn asked(base: &KnowledgeBase, question: &Question) -> Asked {
    match question {
        Question::Check(_)
        | Question::Safety(_)
        | Question::Leave(_)
        | Question::Tally { .. }
        | Question::Fresh { .. }
        | Question::Followed(_)
        | Question::Forget
        | Question::Sure { .. } => Asked::YesNo,
        Question::WhichSet(_) => Asked::OneOf(vec![
            "with the thought".to_owned(),
            "as you were".to_owned(),
        ]),
        Question::Hand => Asked::Hand,
        Question::Unit { units, .. } => {
            Asked::OneOf(units.iter().map(|u| unit_words(*u).to_owned()).collect())
        }
        Question::Direction { quantity, .. } => {
            let q = base.quantity(*quantity);
            Asked::OneOf(
                [&q.positive, &q.negative]
                    .into_iter()
                    .flatten()
                    .cloned()
                    .collect(),
            )
        }
        Question::Number { quantities, .. } => Asked::OneOf(
            quantities
                .iter()
                .map(|q| base.quantity(*q).name.clone())
                .collect(),
        ),
        Question::Meaning {
            symptoms, causes, ..
        } => Asked::OneOf(
            symptoms
                .iter()
                .map(|s| base.symptom(*s).name.clone())
                .chain(causes.iter().map(|c| base.cause(*c).name.clone()))
                .collect(),
        ),
    }
}

/// A unit as people say it.
pub(super) const fn unit_words(unit: Unit) -> &'static str {
    match unit {
        Unit::Inch => "in inch inches",
        Unit::Centimetre => "cm centimetre centimetres",
        Unit::Millimetre => "mm millimetre millimetres",
        Unit::Metre => "m metre metres",
        Unit::Yard => "yd yard yards",
        Unit::Foot => "ft foot feet",
        Unit::MilePerHour => "mph miles",
        Unit::KilometrePerHour => "kmh kilometres",
        other => other.symbol(),
    }
}
