//! Which looks can be taken on the ground that is told of?
//!
//! Takes a case and a check. On a mat no turf mark is read, so a look at one cannot be taken there; a
//! look that is made for such ground is taken nowhere else. Knows no lie by name.

use super::Case;
use crate::knowledge::KnowledgeBase;
use crate::vocabulary::CheckId;

/// True if all that was told is of ground that shows no turf mark, but for balls on a peg.
pub fn without_turf(base: &KnowledgeBase, case: &Case) -> bool {
    let teed = |at: usize| base.model.groups.get(at).is_some_and(|g| g.teed);
    let mut lies = (case.findings.iter())
        .map(|f| &f.pattern)
        .filter(|p| !(teed(p.group.index()) && p.lie.is_none()))
        .map(|p| p.lie.is_some_and(|lie| base.lie(lie).no_turf))
        .peekable();
    lies.peek().is_some() && lies.all(|bare| bare)
}

/// True if all that was told is of balls on a peg, which leave no divot.
fn from_pegs(base: &KnowledgeBase, case: &Case) -> bool {
    let teed = |f: &super::Finding| {
        let group = base.model.groups.get(f.pattern.group.index());
        f.pattern.lie.is_none() && group.is_some_and(|g| g.teed)
    };
    !case.findings.is_empty() && case.findings.iter().all(teed)
}

/// True if the look can be taken on the ground of the case.
pub fn can_be_looked_at(base: &KnowledgeBase, case: &Case, check: CheckId) -> bool {
    if without_turf(base, case) {
        return !base.looks_at_turf(check);
    }
    // "Take a divot" may be a thought; divots are read.
    let asks_of_divots = |text: &str| text.to_lowercase().contains("divots");
    let entry = base.check(check);
    let divots = asks_of_divots(&entry.question) || asks_of_divots(&entry.how);
    !(entry.no_turf || divots && from_pegs(base, case))
}
