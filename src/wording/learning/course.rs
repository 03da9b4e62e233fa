//! Course and record in words: levels, lessons, claims, and how a learner stands.

use super::super::number::{listed, rounded};
use super::super::page::Page;
use crate::knowledge::{Kind, KnowledgeBase};
use crate::learning::{Attempt, Standing, standings};
use crate::vocabulary::AnswerId;

pub(super) fn course(base: &KnowledgeBase, level: usize, page: &mut Page) {
    for (at, entry) in base.levels.iter().enumerate() {
        let here = if at == level { " (you are here)" } else { "" };
        page.labelled(
            &format!("level {}", at + 1),
            format!("{}{here}. {}", super::capital(&entry.name), entry.about),
        );
    }
    page.blank();
    page.art(
        base.lessons
            .iter()
            .enumerate()
            .map(|(at, lesson)| format!("  lesson {:>2}  {}", at + 1, lesson.name)),
    );
    page.key(
        "",
        "Type \"level 2\" or \"lesson 1\". Each lesson ends in two cases.",
    );
}

pub(super) fn lesson(base: &KnowledgeBase, place: usize, page: &mut Page) {
    let Some(lesson) = base.lessons.iter().nth(place) else {
        return;
    };
    page.labelled(&format!("Lesson {}", place + 1), &lesson.name);
    for text in &lesson.text {
        page.blank();
        page.text(text);
    }
    page.blank();
    page.key("Keep this", &lesson.keep);
    let claims: Vec<String> = lesson
        .claims
        .iter()
        .enumerate()
        .filter_map(|(at, claim)| {
            let answer = base.answer(*claim);
            Some(format!("{} \"{}\"", at + 1, answer.claim.as_ref()?))
        })
        .collect();
    if !claims.is_empty() {
        page.labelled(
            "Claims",
            format!(
                "{}. Type \"claim 1\" for what is behind it.",
                claims.join("; ")
            ),
        );
    }
    let sources: Vec<String> = lesson
        .sources
        .iter()
        .map(|s| short_citation(&base.source(*s).cite))
        .collect();
    let basis = match lesson.kind {
        Kind::Published => format!("{}; the rest is geometry and estimate", listed(&sources)),
        Kind::Common => "common practice".to_owned(),
        Kind::Memory => "from memory, not checked".to_owned(),
        Kind::Elicited => "geometry and estimates".to_owned(),
    };
    page.quiet("Rests on", format!("{basis}."));
}

/// Authors and year of a citation.
fn short_citation(cite: &str) -> String {
    let mut words = Vec::new();
    for word in cite.split_whitespace() {
        let bare = word.trim_end_matches(',');
        words.push(bare.to_owned());
        if bare.len() == 4 && bare.bytes().all(|b| b.is_ascii_digit()) {
            return words.join(" ");
        }
        if let Some(last) = words.last_mut() {
            word.clone_into(last);
        }
    }
    cite.split(',').next().unwrap_or(cite).to_owned()
}

pub(super) fn claim(base: &KnowledgeBase, claim: AnswerId, page: &mut Page) {
    let answer = base.answer(claim);
    if let (Some(said), Some(verdict)) = (&answer.claim, &answer.verdict) {
        page.labelled("Claim", format!("\"{said}\": {verdict}."));
    }
    page.text(&answer.text);
}

pub(super) fn progress(base: &KnowledgeBase, attempts: &[Attempt], page: &mut Page) {
    if attempts.is_empty() {
        page.key("", "Nothing in your record yet. Finish a case first.");
        return;
    }
    let group = |id: &str| {
        base.find_group(id)
            .map_or(id.to_owned(), |g| base.group(g).name.clone())
    };
    page.art([heading("by fault")]);
    page.art(
        standings(attempts, |a| &a.family)
            .iter()
            .map(|s| row(&s.of, s)),
    );
    page.art([heading("by club")]);
    page.art(
        standings(attempts, |a| &a.group)
            .iter()
            .map(|s| row(&group(&s.of), s)),
    );
    let weak = standings(attempts, |a| &a.family)
        .into_iter()
        .filter(|s| s.cases >= 2)
        .min_by(|a, b| (a.points - a.program).total_cmp(&(b.points - b.program)));
    let n = attempts.len();
    let recent: Vec<&Attempt> = attempts.iter().rev().take(10).collect();
    let mean =
        |list: &[&Attempt]| list.iter().map(|a| a.points).sum::<f64>() / list.len().max(1) as f64;
    let all: Vec<&Attempt> = attempts.iter().collect();
    page.blank();
    if n > 10 {
        page.labelled(
            "Over time",
            format!(
                "{} points a case in the last ten, {} in all {n}.",
                rounded(mean(&recent), 0),
                rounded(mean(&all), 0)
            ),
        );
    }
    match weak {
        Some(weak) => page.key(
            "Weakest",
            format!(
                "{}: {} points a case where the program makes {}.",
                weak.of,
                rounded(weak.points, 0),
                rounded(weak.program, 0)
            ),
        ),
        None => page.key("", "Two cases of a kind, and I can say where you are weak."),
    }
}

fn heading(title: &str) -> String {
    format!(
        "  {title:<22} {:>5} {:>7} {:>8} {:>8} {:>9} {:>8}",
        "cases", "first", "points", "program", "of gain", "minutes"
    )
}

fn row(name: &str, s: &Standing) -> String {
    format!(
        "  {name:<22} {:>5} {:>7} {:>8} {:>8} {:>7} % {:>8}",
        s.cases,
        s.first,
        rounded(s.points, 0),
        rounded(s.program, 0),
        rounded(100.0 * s.gained, 0),
        rounded(s.minutes, 0)
    )
}
