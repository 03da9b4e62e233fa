//! What was understood, in words: clubs, lies, findings with how often, and the echo of a line.
//!
//! Takes findings as they were read; gives texts in the golfer's terms. The echo numbers every finding,
//! so that it can be put right. Knows nothing of causes.

use std::fmt::Write as _;

use super::number::{Manner, amount, listed};
use super::page::{Page, shortened};
use crate::conversation::Heard;
use crate::diagnosis::Pattern;
use crate::knowledge::KnowledgeBase;
use crate::quantity::Dimension;
use crate::reading::{self, Polarity, What};

/// The clubs of a pattern in words; `None` if none was said.
pub(super) fn clubs(base: &KnowledgeBase, pattern: &reading::Pattern) -> Option<String> {
    let mut names: Vec<String> = if pattern.clubs.is_empty() {
        groups(base, &pattern.groups)
    } else {
        let mut names = clubs_in_order(base, &pattern.clubs);
        // "3 wood and hybrids": groups named beside single clubs.
        let own: Vec<_> = pattern.clubs.iter().map(|c| base.club(*c).group).collect();
        let others: Vec<_> = (pattern.groups.iter().copied())
            .filter(|g| !own.contains(g))
            .collect();
        names.extend(groups(base, &others));
        names
    };
    if let Some(lie) = pattern.lie {
        let lie = base.lie(lie).name.clone();
        match names.last_mut() {
            Some(last) => *last = format!("{last} ({lie})"),
            None => names.push(lie),
        }
    }
    (!names.is_empty()).then(|| listed(&names))
}

/// Clubs in a row that are named by the first and the last.
const ROW: usize = 4;

/// Single clubs in words; four or more in a row by their ends: "2 iron to 6 iron".
fn clubs_in_order(base: &KnowledgeBase, clubs: &[crate::vocabulary::ClubId]) -> Vec<String> {
    let name = |club: &crate::vocabulary::ClubId| base.club(*club).name.clone();
    let mut out = Vec::new();
    let mut rest = clubs;
    while let Some(first) = rest.first() {
        let in_row = |(place, club): &(usize, &crate::vocabulary::ClubId)| {
            club.index() == first.index() + place
        };
        let row = rest.iter().enumerate().take_while(in_row).count();
        let (these, others) = rest.split_at(row.max(1));
        match these {
            [from, .., to] if row >= ROW => out.push(format!("{} to {}", name(from), name(to))),
            _ => out.extend(these.iter().map(name)),
        }
        rest = others;
    }
    out
}

/// Groups in words: all of a family by the family's name.
fn groups(base: &KnowledgeBase, ids: &[crate::vocabulary::GroupId]) -> Vec<String> {
    let mut out = Vec::new();
    let mut rest: Vec<_> = ids.to_vec();
    for family in ["irons", "woods"] {
        let all: Vec<_> = base
            .groups
            .iter()
            .enumerate()
            .filter(|(_, g)| g.family == family)
            .map(|(i, _)| crate::vocabulary::GroupId::from_index(i))
            .collect();
        if all.len() > 1 && all.iter().all(|g| rest.contains(g)) {
            out.push(family.to_owned());
            rest.retain(|g| !all.contains(g));
        }
    }
    out.extend(rest.iter().map(|g| base.group(*g).name.clone()));
    out
}

/// The club or group that a diagnosis speaks of.
pub(super) fn pattern_name(base: &KnowledgeBase, pattern: &Pattern) -> String {
    match pattern.club {
        Some(club) => base.club(club).name.clone(),
        None if pattern.groups.len() > 1 => listed(&groups(base, &pattern.groups)),
        None => base.group(pattern.group).name.clone(),
    }
}

/// One finding in words, without its club.
pub(super) fn finding_text(base: &KnowledgeBase, heard: &Heard, manner: Manner) -> String {
    let finding = &heard.finding;
    let mut text = match finding.what {
        What::Symptom(symptom) => base.symptom(symptom).name.clone(),
        What::AllWell => "all well".to_owned(),
        What::Number(number) => {
            let value = amount(base, number.quantity, number.value.middle(), manner);
            let length = number.value.dimension() == Dimension::Length;
            let assumed = if number.unit_said || !length {
                ""
            } else {
                " (unit assumed)"
            };
            let shots = if number.shots > 1 {
                format!(" over {} shots", number.shots)
            } else {
                String::new()
            };
            format!(
                "{} {value}{assumed}{shots}",
                base.quantity(number.quantity).name
            )
        }
    };
    match finding.polarity {
        Polarity::Present => {}
        Polarity::Absent => text = format!("NOT {text}"),
        Polarity::Unsure => text = format!("perhaps {text}"),
    }
    if let Some(count) = finding.count {
        let of = count.of.map_or(String::new(), |of| format!(" of {of}"));
        let _ = write!(text, " ({}{of})", count.hits);
    } else if let Some(often) = finding.often.filter(|o| *o > 0.0) {
        let _ = write!(text, " ({:.0} in 10)", (often * 10.0).round().max(1.0));
    }
    text
}

/// One finding in words, with its club and the words it came from.
pub(super) fn heard_text(base: &KnowledgeBase, heard: &Heard, manner: Manner) -> String {
    let club = clubs(base, &heard.finding.pattern).map_or(String::new(), |c| format!("{c}: "));
    format!(
        "{club}{} (from \"{}\")",
        finding_text(base, heard, manner),
        shortened(&heard.words, 40)
    )
}

pub(super) fn understood(base: &KnowledgeBase, heard: &[Heard], manner: Manner, page: &mut Page) {
    let mut by_club: Vec<(Option<String>, Vec<String>)> = Vec::new();
    for item in heard {
        // A symptom that a number amounts to is said with the number.
        let is_number = |h: &Heard| matches!(h.finding.what, What::Number(_));
        let twin = |h: &&Heard| h.finding.said == item.finding.said && h.number != item.number;
        if !is_number(item) && heard.iter().filter(twin).any(is_number) {
            continue;
        }
        let class = heard
            .iter()
            .filter(twin)
            .find(|h| !is_number(h))
            .filter(|_| is_number(item));
        let class = class.map_or(String::new(), |h| {
            format!(" ({})", finding_text(base, h, manner))
        });
        let club = clubs(base, &item.finding.pattern);
        let text = format!(
            "[{}] {}{class}",
            item.number,
            finding_text(base, item, manner)
        );
        match by_club.iter_mut().find(|(c, _)| *c == club) {
            Some((_, texts)) => texts.push(text),
            None => by_club.push((club, vec![text])),
        }
    }
    let texts: Vec<String> = by_club
        .into_iter()
        .map(|(club, texts)| {
            let club = club.map_or(String::new(), |c| format!("{c}: "));
            format!("{club}{}", texts.join(", "))
        })
        .collect();
    page.labelled("I read", texts.join("; "));
}
