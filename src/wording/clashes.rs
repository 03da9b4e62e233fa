//! What was told that cannot all be so, in words: what disagrees, why, and the question which of it is
//! right.

use super::explain;
use super::number::{Manner, capital, listed};
use super::page::{Page, shortened};
use crate::diagnosis::Clash;
use crate::knowledge::KnowledgeBase;

fn slot_name(base: &KnowledgeBase, slot: &str) -> String {
    let slot = slot.strip_prefix("said_").unwrap_or(slot);
    base.find_symptom(slot)
        .map(|s| base.symptom(s).name.clone())
        .or_else(|| base.find_effect(slot).map(|e| base.effect(e).name.clone()))
        .or_else(|| {
            base.find_quantity(slot)
                .map(|q| base.quantity(q).name.clone())
        })
        .unwrap_or_else(|| slot.replace('_', " "))
}

/// What disagrees: the ids of the two, and a sentence.
pub(super) fn clash_text(
    base: &KnowledgeBase,
    clash: &Clash,
    words: &[String],
    manner: Manner,
) -> (Vec<String>, String) {
    let quoted: Vec<String> = words
        .iter()
        .map(|w| format!("\"{}\"", shortened(w, 36)))
        .collect();
    match clash {
        Clash::Slots {
            between: (a, b),
            rules,
            ..
        } => {
            let between = vec![a.clone(), b.clone()];
            let (a, b) = (slot_name(base, a), slot_name(base, b));
            let why = rules
                .first()
                .and_then(|id| base.program.rule_named(id))
                .and_then(|r| base.program.rule(r))
                .map_or(String::new(), |r| format!(" {}", r.because));
            let from = if quoted.is_empty() {
                String::new()
            } else {
                format!(" ({})", listed(&quoted))
            };
            let text = if a == b {
                format!("two ways to the {a} disagree{from}.{why} Which is right?")
            } else {
                format!("{a} and {b} do not go together{from}.{why} Which is right?")
            };
            (between, text)
        }
        Clash::Said { findings: (a, b) } => (
            vec![format!("finding {}", a + 1), format!("finding {}", b + 1)],
            format!(
                "{} say and deny the same thing. Which is right?",
                listed(&quoted)
            ),
        ),
        Clash::Numbers { disagreement, .. } => (
            vec![
                disagreement.between.0.id().to_owned(),
                disagreement.between.1.id().to_owned(),
            ],
            explain::disagreement(base, disagreement, manner),
        ),
    }
}

pub(super) fn clash_line(
    base: &KnowledgeBase,
    clash: &Clash,
    words: &[String],
    manner: Manner,
    page: &mut Page,
) {
    page.labelled(
        "Disagrees",
        capital(&clash_text(base, clash, words, manner).1),
    );
}
