//! The findings as evidence about golfers: each physical fact once.
//!
//! Numbers that the simulated golfers have are weighed as they were said; numbers derived from
//! things they do not have are weighed in their derived form, in place of the symptom that the same
//! words amount to. What is repeated is dropped.

use super::telling::with_usual_error;
use super::{Case, Finding, Origin, Pattern, Row, Token, What};
use crate::causes::model::{Axis, Evidence, Seen};
use crate::knowledge::KnowledgeBase;
use crate::quantity::Estimate;
use crate::vocabulary::{CauseId, GroupId, QuantityId, SymptomId};

/// The findings as evidence about golfers, each once.
pub(super) fn evidence(
    base: &KnowledgeBase,
    case: &Case,
    patterns: &[Pattern],
    rows: &[Row],
) -> Vec<(Token, Evidence)> {
    let mut out: Vec<(Token, Evidence)> = Vec::new();
    let candidates: Vec<&Row> = rows
        .iter()
        .filter(|row| weighed_in_derived_form(base, case, row))
        .collect();
    // Of numbers derived one from the other only the first is weighed.
    let derived: Vec<&Row> = candidates
        .iter()
        .copied()
        .filter(|row| {
            !candidates
                .iter()
                .any(|other| match (&row.origin, &other.origin) {
                    (Origin::Derived(a), Origin::Derived(b)) => a.rests_on(b),
                    _ => false,
                })
        })
        .collect();
    // Findings whose words are already weighed through a derived number.
    let replaced: Vec<usize> = derived
        .iter()
        .flat_map(|row| match &row.origin {
            Origin::Derived(why) => why.findings(),
            Origin::Said(finding) => vec![*finding],
        })
        .collect();
    for (index, finding) in case.findings.iter().enumerate() {
        let group = finding.pattern.group;
        let token = Token::Finding(index);
        match finding.what {
            What::Symptom {
                symptom,
                present,
                often,
            } => {
                // A number that is weighed itself says what its words say, and more exactly.
                let weighed = |other: usize| {
                    let what = case.findings.get(other).map(|f| f.what);
                    matches!(what, Some(What::Number { quantity, .. })
                        if base.model.measured.get(quantity.index()).is_some_and(Option::is_some))
                };
                // What shots differ by is not what they are on the whole.
                let seen = base.model.symptoms.get(symptom.index());
                let of_spread = seen.is_some_and(
                    |s| matches!(&s.seen, Some(Seen::Beyond { axis, .. }) if axis.is_spread()),
                );
                let same = !of_spread
                    && finding
                        .same_words_as
                        .is_some_and(|other| replaced.contains(&other) || weighed(other));
                let repeated =
                    case.findings.iter().take(index).any(|earlier| {
                        earlier.pattern.group == group && earlier.what == finding.what
                    });
                if same || repeated {
                    continue;
                }
                out.push((
                    token,
                    match present {
                        Some(present) => Evidence::Symptom {
                            symptom,
                            group,
                            present,
                            often,
                        },
                        None => Evidence::Unsure { symptom, group },
                    },
                ));
            }
            What::Number {
                quantity,
                value,
                shots,
            } => {
                if base
                    .model
                    .measured
                    .get(quantity.index())
                    .is_some_and(Option::is_some)
                {
                    let value = with_usual_error(value, base.quantity(quantity).usual_error, shots);
                    let value = as_of_the_group(base, case, &finding.pattern, quantity, value);
                    out.push((
                        token,
                        Evidence::Measured {
                            quantity,
                            group,
                            value,
                        },
                    ));
                }
            }
            What::AllWell => {
                for symptom in &base.all_well_denies {
                    let symptom = *symptom;
                    let scope = base.model.symptoms.get(symptom.index());
                    let usual =
                        scope.is_some_and(|s| s.groups.is_empty() || s.groups.contains(&group));
                    if usual && !told(case, group, symptom) {
                        out.push((
                            token,
                            Evidence::Symptom {
                                symptom,
                                group,
                                present: false,
                                often: None,
                            },
                        ));
                    }
                }
            }
        }
    }
    for row in derived {
        if let (Origin::Derived(why), Some(pattern)) = (&row.origin, patterns.get(row.pattern)) {
            let finding = why.findings().into_iter().min().unwrap_or(0);
            out.push((
                Token::Finding(finding),
                Evidence::Measured {
                    quantity: row.quantity,
                    group: pattern.group,
                    value: as_of_the_group(base, case, pattern, row.quantity, row.value),
                },
            ));
        }
    }
    for pattern in patterns {
        if let Some(lie) = pattern.lie
            && let Some(cause) = base.lie(lie).condition
            && case
                .findings
                .iter()
                .any(|f| f.pattern == *pattern && trouble(f))
        {
            out.push((
                Token::Lie(lie),
                Evidence::Known {
                    cause,
                    present: true,
                },
            ));
        }
    }
    out.extend(case.answers.iter().enumerate().map(|(i, (check, yes))| {
        (
            Token::Answer(i),
            Evidence::Answer {
                check: *check,
                yes: *yes,
            },
        )
    }));
    let hint = |(cause, weight): &(CauseId, f64)| Evidence::Hint {
        cause: *cause,
        weight: *weight,
    };
    let hints = case.hints.iter().enumerate();
    out.extend(hints.map(|(i, told)| (Token::Hint(i), hint(told))));
    let sounds = case.sounds.iter().enumerate();
    out.extend(sounds.map(|(i, told)| (Token::Sound(i), hint(told))));
    out.extend(
        case.practised
            .iter()
            .enumerate()
            .map(|(i, (cause, helped))| {
                (
                    Token::Practised(i),
                    Evidence::Practised {
                        cause: *cause,
                        helped: *helped,
                    },
                )
            }),
    );
    out
}

/// A number as the simulated golfers have it, who swing the middle club of the group: a loft less what
/// this club has more of, a spin loft as its difference from the group's usual.
fn as_of_the_group(
    base: &KnowledgeBase,
    case: &Case,
    pattern: &Pattern,
    quantity: QuantityId,
    value: Estimate,
) -> Estimate {
    let axis = base.model.measured.get(quantity.index()).copied().flatten();
    let Some(group) = base.model.groups.get(pattern.group.index()) else {
        return value;
    };
    let usual = group.static_loft_deg.to_radians();
    let stamped = base.find_quantity("static_loft");
    let said = case.findings.iter().find_map(|f| match f.what {
        What::Number {
            quantity, value, ..
        } if Some(quantity) == stamped && f.pattern == *pattern => Some(value.mean()),
        _ => None,
    });
    let of_club = pattern.club.map(|club| base.club(club).loft.base());
    let more = said.or(of_club).unwrap_or(usual) - usual;
    let by = match axis {
        Some((Axis::DeliveredLoft, _)) => more,
        Some((Axis::SpinLoftDelivered, _)) => {
            let plane = group.plane_deg.to_radians();
            let low_point = group.low_point_in * INCH;
            let down = low_point / group.radius_m * plane.sin();
            more + usual + group.loft_off_deg.to_radians() + down
        }
        _ => return value,
    };
    Estimate::from_base(value.mean() - by, value.sd(), value.dimension()).unwrap_or(value)
}

/// An inch, m.
const INCH: f64 = 0.0254;

/// True if the symptom is told of these clubs: "fine from a bit of fluff" takes nothing back of what
/// happens elsewhere.
fn told(case: &Case, group: GroupId, symptom: SymptomId) -> bool {
    let wanted = |what: What| match what {
        What::Symptom {
            symptom: s,
            present,
            ..
        } => s == symptom && present == Some(true),
        _ => false,
    };
    let mut findings = case.findings.iter();
    findings.any(|f| f.pattern.group == group && wanted(f.what))
}

/// True for what tells of a shot gone wrong, or may do so: all but what is well or denied.
const fn trouble(finding: &Finding) -> bool {
    !matches!(
        finding.what,
        What::AllWell
            | What::Symptom {
                present: Some(false),
                ..
            }
    )
}

/// True for a derived number that golfers have, resting on at least one number they do not have,
/// unless the same words are also weighed as a symptom and nothing else is used.
fn weighed_in_derived_form(base: &KnowledgeBase, case: &Case, row: &Row) -> bool {
    let Origin::Derived(why) = &row.origin else {
        return false;
    };
    let axis = base
        .model
        .measured
        .get(row.quantity.index())
        .copied()
        .flatten();
    if axis.is_none() {
        return false;
    }
    let leaves = why.findings();
    let numbers: Vec<(usize, QuantityId)> = leaves
        .iter()
        .filter_map(|i| match case.findings.get(*i)?.what {
            What::Number { quantity, .. } => Some((*i, quantity)),
            What::Symptom { .. } | What::AllWell => None,
        })
        .collect();
    let unseen = numbers.iter().any(|(_, q)| {
        base.model
            .measured
            .get(q.index())
            .copied()
            .flatten()
            .is_none()
    });
    let twin = |index: usize| case.findings.iter().any(|f| f.same_words_as == Some(index));
    let only_a_twin = numbers.len() == 1 && numbers.iter().all(|(i, _)| twin(*i));
    unseen && !only_a_twin && leaves.len() == numbers.len()
}
