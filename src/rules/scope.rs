//! The variables of a rule, and every way through its alternatives.

use super::clause::MAX_ALTERNATIVES;
use super::problem::Place;
use super::rule::ConditionSpec;
use crate::quantity::Dimension;

/// The variables of one way through a rule.
#[derive(Default)]
pub(super) struct Scope<'a> {
    pub(super) patterns: Vec<&'a str>,
    /// Symbol variables with the slot that binds them first; the name is empty for hidden ones.
    pub(super) symbols: Vec<(&'a str, u32)>,
    /// Number variables with the condition that binds them and their dimension.
    pub(super) numbers: Vec<(&'a str, u8, Dimension)>,
}

impl<'a> Scope<'a> {
    pub(super) fn pattern(&mut self, name: &'a str) -> u8 {
        let found = self.patterns.iter().position(|&p| p == name);
        found.unwrap_or_else(|| {
            self.patterns.push(name);
            self.patterns.len() - 1
        }) as u8
    }

    pub(super) fn symbol(&self, name: &str) -> Option<u8> {
        let found = self.symbols.iter().position(|s| s.0 == name)?;
        Some(found as u8)
    }

    pub(super) fn number(&self, name: &str) -> Option<(u8, Dimension)> {
        let found = self.numbers.iter().find(|n| n.0 == name)?;
        Some((found.1, found.2))
    }
}

/// The length of the longest list of conditions or alternatives.
pub(super) fn longest(items: &[ConditionSpec]) -> usize {
    let inner = items.iter().map(|item| match item {
        ConditionSpec::Any(alternatives) => {
            let lists = alternatives.iter().map(|a| longest(a));
            lists.max().unwrap_or(0).max(alternatives.len())
        }
        ConditionSpec::Slot { .. }
        | ConditionSpec::Count { .. }
        | ConditionSpec::Mean { .. }
        | ConditionSpec::Same { .. }
        | ConditionSpec::Difference { .. }
        | ConditionSpec::Different { .. } => 0,
    });
    inner.max().unwrap_or(0).max(items.len())
}

/// Every way through the alternatives, each a plain list of conditions.
pub(super) fn branches<'a>(
    items: &[(Place, &'a ConditionSpec)],
) -> Vec<Vec<(Place, &'a ConditionSpec)>> {
    let is_any = |c: &ConditionSpec| matches!(c, ConditionSpec::Any(_));
    if !items.iter().any(|(_, c)| is_any(c)) {
        return vec![items.to_vec()];
    }
    let mut all: Vec<Vec<(Place, &ConditionSpec)>> = vec![Vec::new()];
    for &(place, condition) in items {
        let choices: Vec<Vec<(Place, &ConditionSpec)>> = match condition {
            ConditionSpec::Any(alternatives) => alternatives
                .iter()
                .enumerate()
                .flat_map(|(alternative, inner)| {
                    let inner: Vec<_> = inner
                        .iter()
                        .enumerate()
                        .map(|(item, c)| (place.inside(alternative, item), c))
                        .collect();
                    branches(&inner)
                })
                .collect(),
            ConditionSpec::Slot { .. }
            | ConditionSpec::Count { .. }
            | ConditionSpec::Mean { .. }
            | ConditionSpec::Same { .. }
            | ConditionSpec::Difference { .. }
            | ConditionSpec::Different { .. } => vec![vec![(place, condition)]],
        };
        all = all
            .iter()
            .flat_map(|before| {
                choices.iter().map(|choice| {
                    let mut longer = before.clone();
                    longer.extend(choice.iter().copied());
                    longer
                })
            })
            .take(MAX_ALTERNATIVES + 1)
            .collect();
    }
    all
}

impl Place {
    const fn inside(self, alternative: usize, item: usize) -> Self {
        match self {
            Self::When(when) => Self::Any {
                when,
                alternative,
                item,
            },
            Self::Whole | Self::Any { .. } | Self::Then(_) => self,
        }
    }
}
