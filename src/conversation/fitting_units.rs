//! A number without its unit beside another number that leaves one unit sensible: "attack -7, low point
//! 4.6 ahead".
//!
//! Takes a reading and what is known of the attack angle; reads the number again with the one unit that
//! goes with it, and says so. Where several units go with it, or none, it is left to be asked. Judges
//! nothing.

use std::sync::Arc;

use super::note::Note;
use super::reply::Block;
use super::{Session, arc, completing, talk};
use crate::geometry::named::attack_from_low_point;
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Amount, Estimate, Unit};
use crate::reading::{Finding, Pattern, Reading, Unclear, What};

/// An attack angle so far from the one that the low point gives does not go with it, in radians: twice
/// the error with which both are said (elicited).
const APART: f64 = 0.055;

/// The attack angle of a finding, if it is one.
fn attack(base: &KnowledgeBase, finding: &Finding) -> Option<f64> {
    match finding.what {
        What::Number(n) if base.quantity(n.quantity).id == "attack_angle" => Some(n.value.mean()),
        _ => None,
    }
}

impl Session {
    /// The reading without the units that another number settles; none where it settles none.
    pub(super) fn units_that_fit(
        &mut self,
        reading: &Reading,
        line: &str,
        blocks: &mut Vec<Block>,
    ) -> Option<Reading> {
        let base = Arc::clone(self.mind.base());
        let told = (self.talk.statements.iter())
            .filter(|s| !s.dropped)
            .map(|s| &s.finding);
        let (attack, pattern) = told
            .rev()
            .find_map(|f| Some((attack(&base, f)?, f.pattern.clone())))?;
        let mut left = reading.clone();
        let mut settled = Vec::new();
        left.unclear.retain(|unclear| {
            let Unclear::Unit {
                quantity,
                units,
                said,
            } = unclear
            else {
                return true;
            };
            if base.quantity(*quantity).id != "low_point" {
                return true;
            }
            let words = said.of(line).trim();
            match one_that_fits(&base, &pattern, words, units, attack) {
                Some(unit) => {
                    settled.push((*quantity, words.to_owned(), unit));
                    false
                }
                None => true,
            }
        });
        for (quantity, words, unit) in &settled {
            let again = completing::with_unit(&base.quantity(*quantity).name, words, *unit);
            if !self.read_again(&again, blocks) {
                return None;
            }
            blocks.push(Block::Note(Note::UnitThatFits(words.clone(), *unit)));
        }
        (!settled.is_empty()).then_some(left)
    }
}

/// The one unit in which the low point goes with the attack angle.
fn one_that_fits(
    base: &KnowledgeBase,
    pattern: &Pattern,
    words: &str,
    units: &[Unit],
    attack: f64,
) -> Option<Unit> {
    let digits: String = words
        .chars()
        .skip_while(|c| !c.is_ascii_digit() && *c != '.')
        .take_while(|c| c.is_ascii_digit() || *c == '.')
        .collect();
    let size: f64 = digits.parse().ok()?;
    let lower = words.to_lowercase();
    let behind = lower.contains("behind") || lower.contains("back") || lower.contains('-');
    let size = if behind { -size } else { size };
    let (radius, plane) = arc::arc_of(base, &talk::pattern(base, pattern));
    let fits = |unit: &Unit| {
        let low_point = Amount::from_base(size * unit.scale(), unit.dimension()).ok()?;
        let given = attack_from_low_point(Estimate::exact(low_point), radius, plane).ok()?;
        Some((given.mean() - attack).abs() <= APART)
    };
    let mut fitting = units.iter().filter(|u| fits(u) == Some(true));
    let one = fitting.next().copied();
    one.filter(|_| fitting.next().is_none())
}
