//! The page to take home: what happened, why, the one thing to work on, and the number that shows
//! whether it worked. As text, and as one self-contained HTML page with the arc drawn.
//!
//! Made for somebody who was not there: no command names, no decibans. The HTML names no other file
//! and no address, fits one printed sheet and a phone's width, and escapes everything that was typed.

use std::fmt::Write as _;

use super::arc_picture::{arc_sentence, arc_svg, told_of_low_point};
use super::asking::with_care;
use super::book::{course_sentence, day};
use super::heard::{clubs, finding_text};
use super::number::{Manner, capital, chance_count, chance_word, listed, range};
use super::page::{Page, clean, shortened};
use super::practice::{agreed as agreed_text, measure_name, standing, summary, target, word};
use super::reply::{told_text, told_to};
use crate::conversation::{Heard, Sheet};
use crate::knowledge::KnowledgeBase;
use crate::lesson::{Level, Stage, Standing};
use crate::reading::What;

/// One part of the page: a heading and its paragraphs; the one that matters most is marked.
struct Part {
    heading: &'static str,
    lines: Vec<String>,
    main: bool,
}

fn title(sheet: &Sheet) -> String {
    let who = if sheet.golfer.is_empty() {
        String::new()
    } else {
        format!(" for {}", shortened(&clean(&sheet.golfer), 40))
    };
    let on = day(sheet.on).map_or(String::new(), |d| format!(", {d}"));
    format!("Lesson sheet{who}{on}")
}

fn parts(base: &KnowledgeBase, sheet: &Sheet, manner: Manner) -> Vec<Part> {
    let mut out = Vec::new();
    let mut add = |heading, lines: Vec<String>, main| {
        if !lines.is_empty() {
            out.push(Part {
                heading,
                lines,
                main,
            });
        }
    };
    if let Some(caution) = sheet.held {
        add("First", vec![base.caution(caution).text.clone()], true);
    }
    let mut what = happened(base, sheet, manner);
    if let Some(on) = sheet
        .told
        .and_then(day)
        .filter(|on| !what.is_empty() && day(sheet.on).as_ref() != Some(on))
    {
        what.insert(0, format!("As told on {on}."));
    }
    add("What happened", what, false);
    if let Some(arc) = &sheet.arc {
        add(
            "What the club did",
            vec![arc_sentence(base, arc, manner)],
            false,
        );
    }
    add("Why, most likely", why(base, sheet), false);
    if sheet.held.is_none() {
        let (work, count) = work(base, sheet, manner);
        let learned = sheet
            .agreed
            .as_ref()
            .and_then(|a| a.judged)
            .is_some_and(|(_, so_far)| so_far == Standing::Learned);
        let heading = if learned {
            "What worked"
        } else {
            "Work on this and nothing else"
        };
        add(heading, work, true);
        add("Count it", count, false);
        let tried = sheet.tried.iter().map(|tried| {
            let agreed = agreed_text(base, tried);
            format!(
                "{} It did not help, so the search goes on.",
                capital(&agreed)
            )
        });
        add("Tried last", tried.collect(), false);
    }
    let so_far: Vec<String> = sheet
        .courses
        .iter()
        .map(|c| {
            format!(
                "{}: {}",
                capital(&measure_name(base, &c.measure)),
                course_sentence(base, c, manner)
            )
        })
        .collect();
    add("So far", so_far, false);
    if let Some(agreed) = sheet.agreed.as_ref().filter(|_| sheet.held.is_none()) {
        let cause = base.cause(agreed.cause);
        add(
            "Beware",
            vec![
                format!("{}.", capital(&cause.mistake)),
                format!("\"{}\": {}", capital(&cause.folk.says), cause.folk.but),
            ],
            false,
        );
        let drill = agreed.drill.map(|d| base.drill(d));
        let own = with_care(sheet.care).map(str::to_owned);
        let of_these = [cause.caution, drill.and_then(|d| d.caution)];
        let cautions: Vec<String> = own
            .chain(
                of_these
                    .into_iter()
                    .flatten()
                    .map(|c| base.caution(c).text.clone()),
            )
            .collect();
        add("Safety", cautions, false);
    }
    add(
        "If anything hurts",
        vec!["Stop, and ask a health professional before you go on.".to_owned()],
        false,
    );
    out
}

/// What was told, a line for each club; a symptom that a number amounts to goes with the number.
fn happened(base: &KnowledgeBase, sheet: &Sheet, manner: Manner) -> Vec<String> {
    let number = |h: &Heard| matches!(h.finding.what, What::Number(_));
    let mut by_club: Vec<(String, Vec<String>)> = Vec::new();
    for heard in &sheet.heard {
        let twin = |h: &&Heard| h.finding.said == heard.finding.said && h.words == heard.words;
        if !number(heard) && sheet.heard.iter().filter(twin).any(number) {
            continue;
        }
        let club = clubs(base, &heard.finding.pattern).unwrap_or_else(|| "Not said".to_owned());
        let text = finding_text(base, heard, manner);
        match by_club.iter_mut().find(|(c, _)| *c == club) {
            Some((_, texts)) => texts.push(text),
            None => by_club.push((club, vec![text])),
        }
    }
    by_club
        .into_iter()
        .map(|(club, texts)| format!("{}: {}.", capital(&club), texts.join("; ")))
        .collect()
}

fn why(base: &KnowledgeBase, sheet: &Sheet) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(first) = sheet.causes.first() {
        let cause = base.cause(first.cause);
        lines.push(format!(
            "{}: {} ({}, {}). {}",
            capital(&cause.name),
            cause.is,
            chance_word(first.probability),
            chance_count(first.probability),
            cause.because
        ));
    }
    let others: Vec<String> = sheet
        .causes
        .iter()
        .skip(1)
        .map(|c| base.cause(c.cause).name.clone())
        .collect();
    if !others.is_empty() {
        lines.push(format!("Also possible: {}.", listed(&others)));
    }
    lines
}

fn work(base: &KnowledgeBase, sheet: &Sheet, manner: Manner) -> (Vec<String>, Vec<String>) {
    let Some(agreed) = &sheet.agreed else {
        return (Vec::new(), Vec::new());
    };
    let cause = base.cause(agreed.cause);
    let mut work = vec![
        format!("{}: {}.", capital(&cause.name), cause.is),
        format!("Think: \"{}\"", agreed.cue),
    ];
    if let Some(drill) = agreed.drill {
        let drill = base.drill(drill);
        work.push(format!("{}. {}", capital(&drill.name), drill.how));
    }
    let balls = agreed.balls;
    let task = base.task_counting(agreed.cause, agreed.drill, agreed.count);
    // A measured goal is a number of each ball, and no count belongs to it.
    let what = match base.find_quantity(&agreed.measure) {
        Some(quantity) => format!("Measure the {} of each", base.quantity(quantity).name),
        None => format!("Count {}", task.success.count),
    };
    let mut count = vec![format!(
        "{balls} balls as you are, {balls} with the thought, and {balls} on another day without it. {what}."
    )];
    let to = target(base, &agreed.goal, &agreed.measure, manner);
    count.push(format!("Target: {to}."));
    let aims: Vec<String> = sheet
        .aim
        .iter()
        .map(|(q, low, high)| {
            format!(
                "{} {}",
                base.quantity(*q).name,
                range(base, *q, *low, *high, manner)
            )
        })
        .collect();
    if !aims.is_empty() {
        count.push(format!("If it is measured: {}.", listed(&aims)));
    }
    let mut had = Vec::new();
    for (stage, block) in [
        ("start", &agreed.start),
        ("with the thought", &agreed.practice),
        ("retest", &agreed.retest),
    ] {
        if let Some(block) = block {
            had.push(format!("{stage} {}", summary(block)));
        }
    }
    if let Some((verdict, so_far)) = &agreed.judged {
        had.push(format!("verdict: {}", word(*verdict)));
        if let Some(next) = standing(*so_far) {
            count.push(next.to_owned());
        }
    }
    if !had.is_empty() {
        count.push(format!("{}.", capital(&had.join(", "))));
    }
    (work, count)
}

/// The page as text, part of a reply.
pub(super) fn sheet(base: &KnowledgeBase, lesson: &Sheet, manner: Manner, page: &mut Page) {
    page.text(title(lesson));
    for part in parts(base, lesson, manner) {
        page.blank();
        if part.main {
            page.key("", part.heading);
        } else {
            page.text(part.heading);
        }
        for line in part.lines {
            page.text(format!("  {line}"));
        }
    }
}

/// The page as text.
pub fn sheet_page(base: &KnowledgeBase, lesson: &Sheet, manner: Manner) -> Page {
    let mut page = Page::new();
    sheet(base, lesson, manner, &mut page);
    told_to(page, manner)
}

/// Text made safe inside HTML, in an element or a quoted attribute.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in clean(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// Look of the page: one column, readable on a phone and on one printed sheet, on white or on dark.
const LOOK: &str = "\
    :root { color-scheme: light; }\n\
    body { font: 1rem/1.4 Georgia, serif; color: #1c2a1a; background: #fff;\n\
           max-width: 40rem; margin: 0 auto; padding: 1rem; }\n\
    h1 { font-size: 1.3rem; border-bottom: 2px solid #3f6b2a; padding-bottom: .3rem; }\n\
    h2 { font-size: 1rem; margin: 1rem 0 .2rem; color: #3f6b2a; }\n\
    p { margin: .15rem 0; }\n\
    .main { border-left: 4px solid #b3261e; padding: .1rem .8rem; margin: 1rem 0; }\n\
    .main h2 { margin-top: .2rem; color: #b3261e; }\n\
    svg { width: 100%; height: auto; max-height: 15rem; margin: .6rem 0; }\n\
    @page { margin: 12mm; }\n\
    @media print { body { font-size: 10pt; line-height: 1.3; padding: 0; max-width: none;\n\
                          columns: 2; column-gap: 8mm; }\n\
                   h1 { column-span: all; margin: 0 0 2mm; }\n\
                  \n\
                   svg { max-height: 38mm; } h2 { margin-top: 2mm; } section { break-inside: avoid; } }\n";

/// The page as one HTML file that needs no other.
pub fn sheet_html(base: &KnowledgeBase, lesson: &Sheet, manner: Manner) -> String {
    let turned = |text: &str| told_text(text, manner);
    let title = escaped(&title(lesson));
    let mut html = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>\n{LOOK}</style>\n</head>\n<body>\n<h1>{title}</h1>\n"
    );
    for part in parts(base, lesson, manner) {
        let class = if part.main { " class=\"main\"" } else { "" };
        let _ = writeln!(html, "<section{class}>\n<h2>{}</h2>", escaped(part.heading));
        for line in &part.lines {
            let _ = writeln!(html, "<p>{}</p>", escaped(&turned(line)));
        }
        if part.heading == "What the club did"
            && let Some(svg) = lesson
                .arc
                .as_ref()
                .filter(|a| told_of_low_point(base, a))
                .and_then(|a| arc_svg(base, a, manner))
        {
            html.push_str(&svg);
        }
        if part.heading == "So far" {
            for course in &lesson.courses {
                html.push_str(&bars(course));
            }
        }
        html.push_str("</section>\n");
    }
    html.push_str("</body>\n</html>\n");
    html
}

/// Counted blocks over time as bars; nothing for measured ones, whose numbers are in the text.
fn bars(course: &crate::conversation::Course) -> String {
    let counts: Vec<(Stage, u32, u32)> = course
        .points
        .iter()
        .filter_map(|p| match p.level {
            Level::Hits(tally) => Some((p.stage, tally.hits(), tally.balls())),
            Level::Mean { .. } => None,
        })
        .collect();
    if counts.is_empty() {
        return String::new();
    }
    let described: Vec<String> = counts
        .iter()
        .map(|(_, hits, balls)| format!("{hits} of {balls}"))
        .collect();
    let height = counts.len() * 12;
    let mut svg = format!(
        "<svg viewBox=\"0 0 300 {height}\" role=\"img\" aria-label=\"{}\">\n",
        escaped(&listed(&described))
    );
    for (row, (stage, hits, balls)) in counts.iter().enumerate() {
        let y = row * 12;
        let full = 200.0 * f64::from(*hits) / f64::from(*balls);
        let colour = match stage {
            Stage::Baseline => "#9aa79a",
            Stage::Practice => "#6c9a4f",
            Stage::Retest => "#3f6b2a",
        };
        let _ = writeln!(
            svg,
            "<rect x=\"0\" y=\"{y}\" width=\"200\" height=\"9\" fill=\"#eef1ea\"/>\
             <rect x=\"0\" y=\"{y}\" width=\"{full:.0}\" height=\"9\" fill=\"{colour}\"/>\
             <text x=\"206\" y=\"{}\" font-size=\"8\">{hits} of {balls}</text>",
            y + 8
        );
    }
    svg.push_str("</svg>\n");
    svg
}
