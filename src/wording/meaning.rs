//! What a name means, in a sentence or two, for somebody who asks.
//!
//! Takes the name's place in the knowledge; gives text. Says what the knowledge says of it and adds
//! nothing.

use super::number::capital;
use crate::conversation::Meant;
use crate::knowledge::KnowledgeBase;
use crate::quantity::Unit;

/// What a name means.
pub(super) fn meaning(base: &KnowledgeBase, meant: Meant) -> String {
    match meant {
        Meant::Cause(id) => {
            let cause = base.cause(id);
            format!(
                "{}: {}. {}",
                capital(&cause.name),
                stopped(&cause.is),
                cause.because
            )
        }
        Meant::Symptom(id) => {
            let symptom = base.symptom(id);
            let what = format!("{}: {}.", capital(&symptom.name), stopped(&symptom.is));
            match &symptom.mixed_up_with {
                Some(other) => format!("{what} {other}"),
                None => what,
            }
        }
        Meant::Effect(id) => {
            let effect = base.effect(id);
            let what = format!("{}: {}", capital(&effect.name), effect.because);
            match &effect.wants {
                Some(good) => format!("{what} Good: {}.", stopped(good)),
                None => what,
            }
        }
        Meant::Quantity(id) => {
            let quantity = base.quantity(id);
            let what = format!("{}: {}", capital(&quantity.name), stopped(&quantity.is));
            match quantity.unit {
                Unit::One => format!("{what}."),
                unit => format!("{what}; told in {unit}."),
            }
        }
    }
}

/// A clause without the stop at its end.
fn stopped(clause: &str) -> &str {
    clause.trim_end_matches('.')
}
