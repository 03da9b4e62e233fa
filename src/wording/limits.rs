//! How far a number is out of the usual, in words.
//!
//! Takes a number with the limits it was held against; gives lines. A limit that was not reached is
//! named with its numbers, so that the reader can judge the next number alone.

use super::entry::kind;
use super::heard;
use super::number::{Manner, amount, capital, listed, range};
use super::page::Page;

use crate::diagnosis::Pattern;
use crate::knowledge::{KnowledgeBase, Limit, Reached};
use crate::quantity::{Amount, Angle};
use crate::vocabulary::{GroupId, LimitId, QuantityId};

/// What is judged: the quantity, the number if one was said, the club and its loft.
pub(super) struct Of<'a> {
    pub(super) quantity: QuantityId,
    pub(super) value: Option<Amount>,
    pub(super) pattern: &'a Pattern,
    pub(super) loft: Angle,
}

/// A number against its limits.
pub(super) fn judged(
    base: &KnowledgeBase,
    of: &Of<'_>,
    limits: &[(LimitId, Option<Reached>)],
    wanted: Option<(Amount, Amount)>,
    manner: Manner,
    page: &mut Page,
) {
    let quantity = base.quantity(of.quantity);
    let club = heard::pattern_name(base, of.pattern);
    let with = format!("with {} {club}", article(&club));
    let assumed = if of.pattern.said {
        ""
    } else {
        " (no club said: I take that)"
    };
    let at = |a| amount(base, of.quantity, a, manner);
    let numbers = |limit: &Limit| limit.numbers(of.pattern.group, of.loft);
    let side = |upward: bool| {
        let mut found = limits.iter().map(|(id, gone)| (base.limit(*id), *gone));
        found.find(|(limit, _)| limit.upward(of.pattern.group) == upward)
    };
    let (below, above) = (side(false), side(true));
    let ends = [below, above].map(|end| Some(numbers(end?.0)?.0));
    let usual = match ends {
        [Some(low), Some(high)] => Some(range(base, of.quantity, low, high, manner)),
        [Some(low), None] => Some(format!("{} or more", at(low))),
        [None, Some(high)] => Some(format!("{} or less", at(high))),
        [None, None] => None,
    };
    let gone = [below, above]
        .into_iter()
        .flatten()
        .find(|(_, gone)| matches!(gone, Some(Reached::Sign | Reached::Plainly)));
    let mut sentences = Vec::new();
    match (of.value, gone, &usual) {
        (Some(value), Some((limit, how)), Some(usual)) => {
            let plainly = if how == Some(Reached::Plainly) {
                "plainly "
            } else {
                ""
            };
            sentences.push(format!(
                "{} {} {with}{assumed}: {plainly}{}. Usual is {usual}.",
                capital(&quantity.name),
                at(value),
                limit.name
            ));
            sentences.push(limit.says.clone());
        }
        (Some(value), _, usual) => sentences.push(format!(
            "{} {} {with}{assumed}: nothing out of the usual{}.",
            capital(&quantity.name),
            at(value),
            (usual.as_ref()).map_or_else(String::new, |usual| format!(", which is {usual}"))
        )),
        (None, _, Some(usual)) => {
            sentences.push(format!("Usual {} {with}: {usual}.", quantity.name));
        }
        (None, _, None) => {}
    }
    let beyond: Vec<String> = [below, above]
        .into_iter()
        .flatten()
        .filter(|_| gone.is_none())
        .filter_map(|(limit, _)| {
            Some(format!(
                "{} (plainly from {})",
                limit.name,
                at(numbers(limit)?.1)
            ))
        })
        .collect();
    if !beyond.is_empty() {
        sentences.push(format!("Beyond that it is {}.", beyond.join(" or ")));
    }
    if let Some((low, high)) = wanted {
        sentences.push(format!(
            "A good strike with this club: {}.",
            range(base, of.quantity, low, high, manner)
        ));
    }
    page.labelled("Answer", sentences.join(" "));
}

/// What holds of all limits.
pub(super) fn remark(page: &mut Page) {
    page.quiet(
        "",
        "Limits are estimates for golfers who play for fun. Judge the mean of five shots, not one.",
    );
}

/// "a driver", "an 8 iron".
pub(super) fn article(name: &str) -> &'static str {
    if name.starts_with(['a', 'e', 'i', 'o', 'u', '8']) {
        "an"
    } else {
        "a"
    }
}

/// The page of a limit.
pub(super) fn page_of(base: &KnowledgeBase, id: LimitId, manner: Manner) -> Page {
    let limit = base.limit(id);
    let mut page = Page::new();
    let quantity = base.quantity(limit.of);
    page.key(
        "Limit",
        format!("{}: {}", capital(&quantity.name), limit.name),
    );
    let mut last: Option<(String, Vec<String>)> = None;
    let mut lines = Vec::new();
    for group in (0..base.groups.len()).map(GroupId::from_index) {
        let Some((sign, plain)) = limit.numbers(group, base.group(group).static_loft) else {
            continue;
        };
        let numbers = format!(
            "{}, plainly from {}",
            amount(base, limit.of, sign, manner),
            amount(base, limit.of, plain, manner)
        );
        let name = base.group(group).name.clone();
        match &mut last {
            Some((same, names)) if *same == numbers => names.push(name),
            Some(_) | None => {
                lines.extend(last.take());
                last = Some((numbers, vec![name]));
            }
        }
    }
    lines.extend(last);
    for (place, (numbers, names)) in lines.into_iter().enumerate() {
        let label = if place == 0 { "From" } else { " " };
        page.labelled(label, format!("{numbers}: {}", listed(&names)));
    }
    page.labelled("Says", limit.says.clone());
    page.labelled("Kind", kind(base, limit.origin));
    page
}
