//! Do the clubs told of go different distances? The numbers of a line in, one more finding out if they
//! hardly do.
//!
//! "Driver 205, 3 wood 203, 5 wood 200" tells of no shot, but of clubs that ought to fly further apart:
//! the lexicon says how little per degree of loft is too little, and which symptom that is. Takes the
//! loft from the club's entry, so a set with stronger lofts is judged by the usual ones.

use crate::knowledge::KnowledgeBase;
use crate::knowledge::lexicon::Meaning;
use crate::reading::{Finding, Pattern, Polarity, What};
use crate::vocabulary::{ClubId, QuantityId};

/// Lofts closer than this do not tell two clubs apart, in deg (elicited).
const APART: f64 = 2.0;

/// The finding that the clubs of these findings go about as far, if they do.
pub(super) fn closed(base: &KnowledgeBase, findings: &[Finding]) -> Option<Finding> {
    let (quantity, close) = base.lexicon.entries.iter().find_map(|e| match &e.meaning {
        Meaning::Quantity(words) => Some((words.quantity, words.close?)),
        _ => None,
    })?;
    let told = told(findings, quantity);
    let model = base.model.symptoms.get(close.symptom.index())?;
    let fits = |club: ClubId| model.groups.contains(&base.club(club).group);
    let loft = |club: ClubId| base.club(club).loft.as_degrees();
    let mut told = told;
    told.sort_by(|a, b| loft(a.0).total_cmp(&loft(b.0)));
    let closed = |clubs: &[(ClubId, f64, &Finding)]| {
        let (Some((strong, far, _)), Some((weak, near, _))) = (clubs.first(), clubs.last()) else {
            return false;
        };
        let degrees = loft(*weak) - loft(*strong);
        degrees >= APART
            && far - near < close.per_degree * degrees
            && clubs.iter().any(|(club, ..)| fits(*club))
    };
    let known = |f: &Finding| f.what == What::Symptom(close.symptom);
    if findings.iter().any(known) {
        return None;
    }
    // All of them, else the first two neighbours of which it is so.
    let found = if closed(&told) {
        &told[..]
    } else {
        told.windows(2).find(|pair| closed(pair))?
    };
    let of = found
        .iter()
        .map(|(.., finding)| *finding)
        .min_by_key(|f| f.said)?;
    let mut pattern = Pattern::default();
    let mut said = of.said;
    for (club, _, finding) in found {
        pattern.clubs.push(*club);
        pattern.groups.push(base.club(*club).group);
        said = said.joined(finding.said);
    }
    pattern.clubs.sort_unstable();
    pattern.groups.sort_unstable();
    pattern.groups.dedup();
    Some(Finding {
        pattern,
        what: What::Symptom(close.symptom),
        said,
        ..of.clone()
    })
}

/// Each single club with the number told of it, once, in the unit of the first.
fn told(findings: &[Finding], quantity: QuantityId) -> Vec<(ClubId, f64, &Finding)> {
    let mut out: Vec<(ClubId, f64, &Finding)> = Vec::new();
    for finding in findings {
        let (What::Number(number), [club]) = (finding.what, finding.pattern.clubs.as_slice())
        else {
            continue;
        };
        let new = out.iter().all(|(c, ..)| c != club);
        if number.quantity == quantity && finding.polarity == Polarity::Present && new {
            out.push((*club, number.value.mean(), finding));
        }
    }
    out
}
