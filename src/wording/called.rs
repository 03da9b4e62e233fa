//! Which entry of the knowledge is meant by a name that is in use, and lists of entries by kind.
//!
//! Takes words as somebody types them after `knowledge show`; gives the id of the one entry so called
//! (by id, by name, by the golfers' words for a cause), or those that the words come near to.
//! Knows no entry by name; makes no page of an entry, which is [`super::entry_page`]'s business.

use super::capital;
use super::page::Page;
use crate::knowledge::{KnowledgeBase, nearest};
use crate::quantity::{Angle, Length};
use crate::reading::{Context, Phrases, read};

/// What was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Called {
    /// This entry.
    One(String),
    /// None for certain; those the words come near to, by name.
    Near(Vec<String>),
}

/// At most so many are offered.
const OFFERED: usize = 6;

/// Id and name of every entry that has a page, by kind.
fn all(base: &KnowledgeBase) -> Vec<(&'static str, Vec<(String, String)>)> {
    let mut out = Vec::new();
    macro_rules! kind {
        ($kind:literal, $table:ident, $name:expr) => {
            out.push((
                $kind,
                base.$table
                    .iter()
                    .map(|e| (e.id.clone(), $name(e)))
                    .collect::<Vec<_>>(),
            ));
        };
    }
    kind!("causes", causes, |e: &crate::knowledge::Cause| e
        .name
        .clone());
    kind!("symptoms", symptoms, |e: &crate::knowledge::Symptom| e
        .name
        .clone());
    kind!("effects", effects, |e: &crate::knowledge::Effect| e
        .name
        .clone());
    kind!("drills", drills, |e: &crate::knowledge::Drill| e
        .name
        .clone());
    kind!("checks", checks, |e: &crate::knowledge::Check| e
        .question
        .clone());
    kind!(
        "quantities",
        quantities,
        |e: &crate::knowledge::Quantity| e.name.clone()
    );
    kind!("answers", answers, |e: &crate::knowledge::Answer| {
        e.claim.clone().unwrap_or_else(|| e.text.clone())
    });
    kind!("clubs", clubs, |e: &crate::knowledge::Club| e.name.clone());
    out
}

/// The entry called so.
pub fn called(base: &KnowledgeBase, words: &str) -> Called {
    let wanted = words.trim().trim_matches('"').to_lowercase();
    let entries: Vec<(String, String)> = all(base).into_iter().flat_map(|(_, list)| list).collect();
    let exact = |same: &dyn Fn(&str, &str) -> bool| {
        let found = entries.iter().find(|(id, name)| same(id, name));
        found.map(|(id, _)| Called::One(id.clone()))
    };
    let plain = wanted.replace([' ', '-'], "_");
    if let Some(one) = exact(&|id, _| id == wanted || id == plain)
        .or_else(|| exact(&|_, name| name.to_lowercase() == wanted))
    {
        return one;
    }
    let parts: Vec<&str> = wanted.split_whitespace().collect();
    let holds = |name: &str| {
        let name = name.to_lowercase();
        !parts.is_empty() && parts.iter().all(|part| name.split(' ').any(|w| w == *part))
    };
    let holding: Vec<&(String, String)> = entries.iter().filter(|(_, n)| holds(n)).collect();
    if let [(id, _)] = holding.as_slice() {
        return Called::One(id.clone());
    }
    // A name that begins so is meant before one that holds the words elsewhere.
    let mut begins = holding
        .iter()
        .filter(|(_, n)| n.to_lowercase().starts_with(&wanted));
    if let (Some((id, _)), None) = (begins.next(), begins.next()) {
        return Called::One(id.clone());
    }
    if holding.is_empty() {
        let phrases = Phrases::compile(&base.lexicon);
        let reading = read(&phrases, &Context::default(), &wanted);
        let mut hinted = reading.hints.iter().flat_map(|h| &h.causes);
        if let (Some(cause), None, true) =
            (hinted.next(), hinted.next(), reading.findings.is_empty())
        {
            return Called::One(base.cause(*cause).id.clone());
        }
    }
    let mut near: Vec<String> = holding.iter().map(|(_, n)| n.clone()).collect();
    near.truncate(OFFERED);
    if near.is_empty() {
        let names = entries
            .iter()
            .flat_map(|(id, name)| [id.as_str(), name.as_str()]);
        near.extend(nearest(&wanted, names));
    }
    Called::Near(near)
}

/// The kinds of entry that can be listed.
pub fn kinds(base: &KnowledgeBase) -> Vec<&'static str> {
    all(base).into_iter().map(|(kind, _)| kind).collect()
}

/// The ids and names of a kind of entry, a line each; none if there is no such kind.
pub fn list_of(base: &KnowledgeBase, kind: &str) -> Option<Vec<String>> {
    let wanted = kind.trim().to_lowercase();
    let (_, list) = all(base)
        .into_iter()
        .find(|(k, _)| *k == wanted || k.trim_end_matches('s') == wanted)?;
    let wide = list.iter().map(|(id, _)| id.len()).max().unwrap_or(0);
    Some(
        list.iter()
            .map(|(id, name)| format!("{id:<wide$}  {}", super::shortened(name, 90)))
            .collect(),
    )
}

/// The page of a club: loft, arc, and where the arc of a good strike is lowest.
pub(super) fn club_page(base: &KnowledgeBase, place: usize, page: &mut Page) {
    let Some(club) = base.clubs.iter().nth(place) else {
        return;
    };
    let group = base.group(club.group);
    let degrees = |a: Angle| format!("{:.0} deg", a.as_degrees());
    let inches = |l: Length| super::rounded(l.as_inches(), 1);
    page.key("Club", capital(&club.name));
    page.labelled("Group", group.name.clone());
    page.labelled(
        "Measures",
        format!(
            "{:.1} in long, {:.1} deg of loft",
            club.length.as_inches(),
            club.loft.as_degrees()
        ),
    );
    page.labelled(
        "Arc",
        format!(
            "radius {:.2} m, plane {}",
            club.radius.as_metres(),
            degrees(club.plane)
        ),
    );
    let (from, to) = group.good_low_point;
    page.labelled(
        "Good",
        format!(
            "low point {} to {} in past the ball (below 0: behind it)",
            inches(from),
            inches(to)
        ),
    );
    page.labelled("Kind", super::entry::kind(base, club.origin));
}
