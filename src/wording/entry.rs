//! An entry of the knowledge as a page that a teacher would read.
//!
//! Takes the knowledge and an id (or a cause's name); gives a page with the numbers, their kind and
//! their source.

use super::number::{Manner, capital, listed, range};
use super::page::Page;
use super::shift::shifts_of;
use crate::knowledge::{Confidence, Cost, Kind, KnowledgeBase, Lasting, Origin};
use crate::vocabulary::{CauseId, GroupId};

pub(super) fn kind(base: &KnowledgeBase, origin: Origin) -> String {
    let word = match origin.kind {
        Kind::Published => "published",
        Kind::Common => "common practice",
        Kind::Memory => "from memory",
        Kind::Elicited => "estimate",
    };
    match origin.source {
        Some(source) => {
            let source = base.source(source);
            format!("{word}: {} (seen: {})", source.cite, source.seen)
        }
        None => word.to_owned(),
    }
}

/// The page of an entry, if the id or name is one.
pub fn entry_page(base: &KnowledgeBase, id: &str) -> Option<Page> {
    let mut page = Page::new();
    if let Some(cause) = base.named_cause(id) {
        cause_page(base, cause, &mut page);
    } else if let Some(symptom) = base.find_symptom(id) {
        let s = base.symptom(symptom);
        page.key("Symptom", capital(&s.name));
        page.labelled("Is", s.is.clone());
        page.labelled("About", s.kind.clone());
        let opposite: Vec<String> = s
            .opposite
            .iter()
            .map(|o| base.symptom(*o).name.clone())
            .collect();
        if !opposite.is_empty() {
            page.labelled("Opposite", listed(&opposite));
        }
        if let Some(text) = &s.mixed_up_with {
            page.labelled("Mixed up with", text.clone());
        }
        page.labelled("Kind", kind(base, s.origin));
    } else if let Some(effect) = base.find_effect(id) {
        let e = base.effect(effect);
        page.key("Effect", capital(&e.name));
        page.labelled("Because", e.because.clone());
        if let Some(wants) = &e.wants {
            page.labelled("Good", wants.clone());
        }
        page.labelled("Kind", kind(base, e.origin));
    } else if let Some(drill) = base.find_drill(id) {
        let d = base.drill(drill);
        page.key("Drill", capital(&d.name));
        page.labelled("How", d.how.clone());
        page.labelled("Think", d.cue.clone());
        page.labelled(
            "Count",
            format!(
                "{}: {} of {}",
                d.success.count, d.success.need, d.success.of
            ),
        );
        page.labelled("One set", format!("{} balls or swings", d.balls));
        page.labelled("Mistake", d.mistake.clone());
        if !d.without.is_empty() {
            let aches: Vec<String> = d.without.iter().map(|w| ache(w)).collect();
            page.labelled("Not with", listed(&aches));
        }
        if let Some(caution) = d.caution {
            page.caution("Safety", base.caution(caution).text.clone());
        }
        page.labelled("Kind", kind(base, d.origin));
    } else if let Some(check) = base.find_check(id) {
        let c = base.check(check);
        page.key("Check", c.question.clone());
        page.labelled("How to look", c.how.clone());
        page.labelled("Cost", cost(c.cost));
        if let Some(lasting) = c.lasting {
            page.labelled("Holds", holds(lasting));
        }
        page.labelled("Kind", kind(base, c.origin));
    } else if let Some(caution) = base.find_caution(id) {
        let c = base.caution(caution);
        page.caution("Caution", c.text.clone());
        page.labelled("Kind", kind(base, c.origin));
    } else if let Some(answer) = base.find_answer(id) {
        let a = base.answer(answer);
        if let Some(claim) = &a.claim {
            page.key(
                "Claim",
                format!("\"{claim}\": {}", a.verdict.clone().unwrap_or_default()),
            );
        }
        page.labelled("Answer", a.text.clone());
        page.labelled("Kind", kind(base, a.origin));
    } else if let Some(quantity) = base.find_quantity(id) {
        let q = base.quantity(quantity);
        page.key("Quantity", capital(&q.name));
        page.labelled("Is", q.is.clone());
        let signs: Vec<String> = [("+", &q.positive), ("-", &q.negative)]
            .iter()
            .filter_map(|(sign, word)| word.as_ref().map(|w| format!("{sign} {w}")))
            .collect();
        if !signs.is_empty() {
            page.labelled("Signs", listed(&signs));
        }
        page.labelled("Kind", kind(base, q.origin));
    } else if let Some(place) = base.clubs.place(id) {
        super::called::club_page(base, place, &mut page);
    } else if let Some(rule) = base
        .program
        .rule_named(id)
        .and_then(|r| base.program.rule(r))
    {
        page.key("Rule", rule.id.clone());
        page.labelled("Because", rule.because.clone());
        page.labelled("For", rule.purpose.clone());
        let source = rule.source.as_deref().and_then(|s| base.find_source(s));
        page.labelled(
            "Kind",
            match source.map(|s| base.source(s)) {
                Some(source) => format!("{}: {} (seen: {})", rule.kind, source.cite, source.seen),
                None => rule.kind.clone(),
            },
        );
    } else if let Some(page_of_club) = group_page(base, id).or_else(|| limit_page(base, id)) {
        page = page_of_club;
    } else if let Some(change) = base.changes.place(id) {
        let change = base.changes.iter().nth(change)?;
        page.key("What if", capital(&change.name));
        if let Some(because) = &change.because {
            page.labelled("Because", because.clone());
        }
        page.labelled("Kind", kind(base, change.origin));
    } else if let Some(source) = base.find_source(id) {
        let s = base.source(source);
        page.key("Source", s.cite.clone());
        page.labelled("Supports", s.supports.clone());
        page.labelled("Seen", s.seen.clone());
    } else {
        return None;
    }
    for source in base
        .sources
        .iter()
        .filter(|s| s.backs.iter().any(|b| b == id))
    {
        page.labelled(
            "See also",
            format!(
                "{} (seen: {}): {}",
                source.cite, source.seen, source.supports
            ),
        );
    }
    Some(page)
}

/// The page of a limit.
fn limit_page(base: &KnowledgeBase, id: &str) -> Option<Page> {
    let manner = Manner {
        metric: false,
        hand: None,
    };
    let limit = base.find_limit(id)?;
    Some(super::limits::page_of(base, limit, manner))
}

/// The page of a club group or a lie.
fn group_page(base: &KnowledgeBase, id: &str) -> Option<Page> {
    let mut page = Page::new();
    if let Some(group) = base.find_group(id) {
        let g = base.group(group);
        page.key("Clubs", capital(&g.name));
        let of: Vec<String> = base
            .clubs
            .iter()
            .filter(|c| c.group == group)
            .map(|c| c.name.clone())
            .collect();
        if !of.is_empty() {
            page.labelled("Holds", listed(&of));
        }
        let (from, to) = g.good_low_point;
        page.labelled(
            "Good",
            format!(
                "low point from {:.1} to {:.1} in ahead of the ball",
                from.as_inches(),
                to.as_inches()
            ),
        );
        page.labelled("Kind", kind(base, g.origin));
    } else if let Some(lie) = base.find_lie(id) {
        let l = base.lie(lie);
        page.key("Lie", capital(&l.name));
        if let Some(cause) = l.condition {
            page.labelled("Brings", base.cause(cause).name.clone());
        }
    } else {
        return None;
    }
    Some(page)
}

/// What a golfer with whom a drill does not go suffers from.
fn ache(word: &str) -> String {
    match word.split_once('_') {
        Some((_, part)) => format!("a sore {part}"),
        None if word == "dizzy" => "dizziness".to_owned(),
        None => "any pain".to_owned(),
    }
}

const fn holds(lasting: Lasting) -> &'static str {
    match lasting {
        Lasting::Kit => "until the clubs change",
        Lasting::Body => "until the body changes",
    }
}

const fn sure(confidence: Confidence) -> &'static str {
    match confidence {
        Confidence::High => "the trade is sure of how far it moves them",
        Confidence::Med => "the trade is fairly sure of how far it moves them",
        Confidence::Low => "the trade is unsure of how far it moves them",
    }
}

const fn cost(cost: Cost) -> &'static str {
    match cost {
        Cost::Free => "free: think or look down",
        Cost::Look => "a look: a partner, a mirror, marks on ground or face",
        Cost::Video => "a phone's camera",
        Cost::Device => "a measuring device",
    }
}

fn cause_page(base: &KnowledgeBase, id: CauseId, page: &mut Page) {
    let c = base.cause(id);
    page.key("Cause", capital(&c.name));
    page.labelled("Is", c.is.clone());
    page.labelled("Because", c.because.clone());
    let mut last = String::new();
    for index in 0..base.groups.len() {
        let group = GroupId::from_index(index);
        let text = shifts_of(base, id, group);
        if text != last && !text.is_empty() {
            let label = if last.is_empty() {
                "Moves".to_owned()
            } else {
                format!("  {}", base.group(group).name)
            };
            page.labelled(&label, text.clone());
            last = text;
        }
    }
    if !last.is_empty() {
        page.labelled("How sure", sure(c.confidence));
    }
    page.labelled(
        "Share",
        format!(
            "seen in {:.0} of 100 golfers who complain, whether it does harm or not; at work in the \
             complaint of about {:.0} (estimates)",
            c.prior * 100.0,
            c.prior * base.model.settings.prior_scale * 100.0
        ),
    );
    let mut told = base.tellings.iter().filter(|t| t.cause == Some(id));
    let told = told.next().map_or("", |t| t.told.as_str()).lines();
    let told: Vec<String> = told.take(2).map(|t| format!("\"{}\"", t.trim())).collect();
    if !told.is_empty() {
        page.labelled("Golfers say", told.join(" Or: "));
    }
    if let Some(check) = c.check {
        let check = base.check(check);
        page.labelled("Check", format!("{} {}", check.question, check.how));
    }
    let alike: Vec<String> = c
        .looks_like
        .iter()
        .map(|c| base.cause(*c).name.clone())
        .collect();
    if !alike.is_empty() {
        page.labelled("Looks like", listed(&alike));
    }
    if let Some(text) = &c.told_apart {
        page.labelled("Told apart", text.clone());
    }
    let drills: Vec<String> = c
        .drills
        .iter()
        .map(|d| base.drill(*d).name.clone())
        .collect();
    page.labelled("Drills", listed(&drills));
    page.labelled("Think", format!("\"{}\"", c.cue));
    page.labelled(
        "Count",
        format!(
            "{}: {} of {}",
            c.success.count, c.success.need, c.success.of
        ),
    );
    let manner = Manner {
        metric: false,
        hand: None,
    };
    for (quantity, from, to) in &c.aim {
        page.labelled(
            "Measured",
            format!(
                "{} {}",
                base.quantity(*quantity).name,
                range(base, *quantity, *from, *to, manner)
            ),
        );
    }
    page.labelled("Mistake", c.mistake.clone());
    page.labelled("Beware of", format!("\"{}\": {}", c.folk.says, c.folk.but));
    if let Some(caution) = c.caution {
        page.caution("Safety", base.caution(caution).text.clone());
    }
    page.labelled("Kind", kind(base, c.origin));
}
