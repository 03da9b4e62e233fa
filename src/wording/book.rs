//! The lesson book in words: who is back, how it went over time, what is written, and what went wrong
//! with the file.
//!
//! Names and lines of the book are untrusted and pass [`clean`](super::clean) like everything else
//! that goes on a page. Says of a fault what was not saved and what to type; knows no file.

use super::number::{Manner, listed};
use super::page::{Page, shortened};
use super::practice::{agreed as agreed_text, mean, measure_name, summary, target, word};
use crate::conversation::{BookEntry, BookLine, Course, Returning};
use crate::knowledge::{KnowledgeBase, Lasting};
use crate::lesson::{
    BookError, Condition, Damage, Due, Fault, Forgot, Level, Listed, Moment, ReadOnly, Repaired,
    Stage, Standing, Verified,
};
use crate::vocabulary::CheckId;

/// Columns of a bar.
const BAR: usize = 20;

/// `5 Apr 2026`; nothing for a moment before clocks were told.
pub(super) fn day(moment: Moment) -> Option<String> {
    const MONTHS: [&str; 12] = [
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    ];
    if moment.unix_seconds() < 24 * 3600 {
        return None;
    }
    let text = moment.to_string();
    let month: usize = text.get(5..7)?.parse().ok()?;
    let day: u32 = text.get(8..10)?.parse().ok()?;
    Some(format!(
        "{day} {} {}",
        MONTHS.get(month.checked_sub(1)?)?,
        text.get(..4)?
    ))
}

fn ago(then: Moment, now: Moment) -> String {
    let days = now.unix_seconds().div_euclid(86_400) - then.unix_seconds().div_euclid(86_400);
    let date = day(then).map_or(String::new(), |d| format!(" ({d})"));
    match days {
        i64::MIN..=-1 => format!("on a day still to come by this clock{date}"),
        0 => "earlier today".to_owned(),
        1 => format!("yesterday{date}"),
        n => format!("{n} days ago{date}"),
    }
}

pub(super) fn name_of(base: &KnowledgeBase, id: &str) -> String {
    base.find_symptom(id)
        .map(|s| base.symptom(s).name.clone())
        .or_else(|| {
            base.find_quantity(id)
                .map(|q| base.quantity(q).name.clone())
        })
        .unwrap_or_else(|| id.replace('_', " "))
}

/// A golfer who was here before.
pub(super) fn returning(base: &KnowledgeBase, back: &Returning, page: &mut Page) {
    let who = if back.golfer.is_empty() {
        String::new()
    } else {
        format!(", {}", shortened(&back.golfer, 40))
    };
    let when = back.last.map_or(String::new(), |then| {
        format!(" Last time: {}.", ago(then, back.now))
    });
    page.text(format!("Welcome back{who}.{when}"));
    let symptoms = back
        .complaint
        .iter()
        .any(|id| base.find_symptom(id).is_some());
    let told: Vec<String> = back
        .complaint
        .iter()
        .filter(|id| *id != "all_well")
        .filter(|id| !symptoms || base.find_symptom(id).is_some())
        .take(4)
        .map(|id| name_of(base, id))
        .collect();
    if !told.is_empty() {
        page.labelled("It was", format!("{}.", listed(&told)));
    }
    if let Some(id) = &back.unknown {
        page.labelled(
            "Agreed",
            format!(
                "something that this knowledge does not know (\"{}\"); it stays in your book.",
                shortened(id, 40)
            ),
        );
    }
    lasting(base, &back.lasting, page);
    let Some(agreed) = &back.agreed else {
        page.quiet(
            " ",
            "\"same as last time\" goes on from there; or tell me what happened today.",
        );
        return;
    };
    page.labelled("Agreed", agreed_text(base, agreed));
    let count = &base
        .task_counting(agreed.cause, agreed.drill, agreed.count)
        .success
        .count;
    let balls = agreed.balls;
    match agreed.due {
        Due::Baseline => page.key(
            "How is it?",
            format!("I have no count from before. Hit {balls} as you are: how many: {count}?"),
        ),
        Due::Practice => page.key(
            "How is it?",
            format!("Did you try it? Tell me how many of {balls} with the thought: {count}."),
        ),
        Due::Verdict | Due::MoreBalls => page.key(
            "How is it?",
            format!("Hit more with the thought? Tell me how many of {balls}: {count}."),
        ),
        Due::RetestFrom(from) => page.key(
            "Next",
            format!(
                "Whether it is learned shows{}: {balls} without the thought, nobody helping.",
                day(from).map_or(" a day after practice".to_owned(), |d| format!(" from {d}"))
            ),
        ),
        Due::RetestNow => page.key(
            "How is it?",
            format!(
                "The test that counts: {balls} without the thought, nobody helping. How many: {count}?"
            ),
        ),
        Due::Rethink => page.key(
            "Next",
            "That practice did not help. \"same as last time\" and I look for another cause; or tell me what happens now.",
        ),
        Due::Nothing => page.key("Next", "That one is learned. What is the shot that costs you now?"),
    }
    if !matches!(agreed.due, Due::Rethink | Due::Nothing) {
        page.quiet(
            " ",
            "Or tell me what happened; \"same as last time\" takes up what you told me then.",
        );
    }
}

/// How it went over time: a bar for each block, and a sentence.
pub(super) fn progress(base: &KnowledgeBase, courses: &[Course], manner: Manner, page: &mut Page) {
    for course in courses {
        let name = measure_name(base, &course.measure);
        let aim = course.goal.as_ref().map_or(String::new(), |g| {
            let target = target(base, g, &course.measure, manner);
            format!(" (target {target})")
        });
        page.text(format!("{}{aim}:", super::number::capital(&name)));
        page.art(chart(base, course, manner));
        page.text(course_sentence(base, course, manner));
    }
}

const fn stage_word(stage: Stage) -> &'static str {
    match stage {
        Stage::Baseline => "start",
        Stage::Practice => "practice",
        Stage::Retest => "retest",
    }
}

/// The lines of one chart, 7-bit and at most 76 columns.
pub(super) fn chart(base: &KnowledgeBase, course: &Course, manner: Manner) -> Vec<String> {
    let quantity = base.find_quantity(&course.measure);
    let means: Vec<f64> = course
        .points
        .iter()
        .filter_map(|p| match p.level {
            Level::Mean { mean, .. } => Some(mean.mean().abs()),
            Level::Hits(_) => None,
        })
        .collect();
    let largest = means.iter().copied().fold(0.0, f64::max);
    course
        .points
        .iter()
        .map(|point| {
            let (share, text) = match point.level {
                Level::Hits(tally) => (
                    f64::from(tally.hits()) / f64::from(tally.balls()),
                    format!("{} of {}", tally.hits(), tally.balls()),
                ),
                Level::Mean { mean: value, balls } => (
                    if largest > 0.0 {
                        value.mean().abs() / largest
                    } else {
                        0.0
                    },
                    format!("{} ({balls} balls)", mean(base, quantity, value, manner)),
                ),
            };
            let full = (share * BAR as f64).round() as usize;
            let date = point.at.and_then(day).unwrap_or_default();
            format!(
                "  {date:>11}  {:<8}  {}{}  {text}",
                stage_word(point.stage),
                "#".repeat(full.min(BAR)),
                ".".repeat(BAR - full.min(BAR)),
            )
        })
        .collect()
}

/// What the chart shows, in a sentence.
pub(super) fn course_sentence(base: &KnowledgeBase, course: &Course, manner: Manner) -> String {
    let quantity = base.find_quantity(&course.measure);
    let level = |l: &Level| match l {
        Level::Hits(tally) => format!("{} of {}", tally.hits(), tally.balls()),
        Level::Mean { mean: value, .. } => mean(base, quantity, *value, manner),
    };
    let (first, last) = (course.points.first(), course.points.last());
    let mut text = match (first, last) {
        (Some(first), Some(last)) if course.points.len() > 1 => format!(
            "From {} at first to {} last.",
            level(&first.level),
            level(&last.level)
        ),
        (Some(only), _) => format!("{}, once.", level(&only.level)),
        _ => String::new(),
    };
    match &course.judged {
        Some((_, Standing::Learned)) => text.push_str(" Verdict: helped, and learned."),
        Some((verdict, _)) => {
            text.push_str(" Verdict: ");
            text.push_str(word(*verdict));
            text.push('.');
        }
        None => text.push_str(" No verdict yet."),
    }
    text
}

fn answered(base: &KnowledgeBase, check: CheckId, yes: bool) -> String {
    let answer = if yes { "yes" } else { "no" };
    format!("{answer} to \"{}\"", base.check(check).question)
}

/// Answers shown in the greeting; the book shows all.
const LASTING_SHOWN: usize = 2;

/// What is still known from earlier lessons and will not be asked again.
fn lasting(base: &KnowledgeBase, answers: &[(CheckId, bool)], page: &mut Page) {
    if answers.is_empty() {
        return;
    }
    let shown: Vec<String> = answers
        .iter()
        .take(LASTING_SHOWN)
        .map(|(check, yes)| answered(base, *check, *yes))
        .collect();
    let more = match answers.len().saturating_sub(LASTING_SHOWN) {
        0 => String::new(),
        n => format!("; {n} more in \"my book\""),
    };
    page.labelled("Still known", format!("{}{more}.", shown.join("; ")));
    let of_kit = |check: CheckId| base.check(check).lasting == Some(Lasting::Kit);
    if answers.iter().any(|(check, _)| of_kit(*check)) {
        page.quiet(" ", "If your clubs have changed since, say \"new clubs\".");
    }
}

/// What the book holds.
pub(super) fn book(
    base: &KnowledgeBase,
    golfer: &str,
    lines: &[BookLine],
    earlier: usize,
    page: &mut Page,
) {
    let whose = if golfer.is_empty() {
        "Your lesson book".to_owned()
    } else {
        format!("The lesson book of {}", shortened(golfer, 40))
    };
    let more = if earlier > 0 {
        format!(" ({earlier} earlier lines are not shown)")
    } else {
        String::new()
    };
    page.text(format!("{whose}{more}:"));
    for line in lines {
        let text = match &line.what {
            BookEntry::Said(said) => format!("\"{}\"", shortened(said, 120)),
            BookEntry::Agreed(cause, cue) => {
                let name = base
                    .find_cause(cause)
                    .map_or_else(|| cause.clone(), |c| base.cause(c).name.clone());
                format!("agreed: {name}, \"{cue}\"")
            }
            BookEntry::Block(stage, block) => format!("{}: {}", stage_word(*stage), summary(block)),
            BookEntry::Lasting(answers) => {
                let told: Vec<String> = answers
                    .iter()
                    .map(|(check, answer)| match answer {
                        Some(yes) => format!("kept: {}", answered(base, *check, *yes)),
                        None => format!("no longer holds: \"{}\"", base.check(*check).question),
                    })
                    .collect();
                told.join("; ")
            }
            BookEntry::Verdict(verdict, so_far) => format!(
                "verdict: {}{}",
                word(*verdict),
                if *so_far == Standing::Learned {
                    ", learned"
                } else {
                    ""
                }
            ),
        };
        let date = line.at.and_then(day).unwrap_or_default();
        page.labelled(&format!("{date:>11}"), text);
    }
}

// ------------------------------------------------------------------ the file

/// What went wrong with the book, and what to do.
pub fn book_trouble(error: &BookError) -> Page {
    let mut page = Page::new();
    let system = error
        .kind()
        .map_or(String::new(), |kind| format!(" ({kind})"));
    let text = match error {
        BookError::Io { act, path, .. } => format!(
            "the lesson book could not be used: {act:?} {} failed{system}.",
            path.display()
        ),
        BookError::NotSaved { record, path, .. } => format!(
            "the last line is not in your lesson book: record {record} could not be written to {}{system}. The talk goes on; I try again with your next line.",
            path.display()
        ),
        BookError::Poisoned { path } => format!(
            "an earlier line could not be written to {}; I try again with your next line.",
            path.display()
        ),
        BookError::ReadOnly { path, why } => match why {
            ReadOnly::Damaged(damage) => format!(
                "the lesson book {} is damaged ({}), so nothing is added to it. \"swingwhy lesson verify\" shows where; \"swingwhy lesson repair\" makes a whole one and keeps this.",
                path.display(),
                damage_text(damage)
            ),
            ReadOnly::NotPermitted(kind) => format!(
                "the lesson book {} may not be written ({kind}); what you say is not kept.",
                path.display()
            ),
            ReadOnly::TornEnd { damage, kind } => format!(
                "the end of the lesson book {} is torn ({}) and could not be moved out of the way ({kind}); what you say is not kept.",
                path.display(),
                damage_text(damage)
            ),
        },
        BookError::Busy { path } => format!(
            "another talk is writing to {}; I try again with your next line.",
            path.display()
        ),
        BookError::InTheWay { path, .. } => format!(
            "{} is in the way of the lesson book; what you say is not kept.",
            path.display()
        ),
        BookError::Missing { path } => format!("there is no lesson book {}.", path.display()),
        BookError::Exists { path } => format!(
            "there is a lesson book {} already; nothing was brought in.",
            path.display()
        ),
        BookError::TooLong { bytes } => format!("a record of {bytes} bytes is too long to keep."),
        BookError::NoText => "that could not be put into the lesson book.".to_owned(),
        BookError::NoSuchRecord { record } => format!("there is no record {record} to wipe."),
        BookError::DamagedImport { damage } => format!(
            "what was to be brought in is damaged ({}); nothing was brought in.",
            damage_text(damage)
        ),
        BookError::NotABook => "that is no lesson book; nothing was brought in.".to_owned(),
    };
    page.caution("Not kept", text);
    page
}

/// In what state a book was found, if it is worth a word.
pub fn book_condition(condition: &Condition) -> Page {
    let mut page = Page::new();
    if let Condition::TailMoved {
        side,
        damage,
        bytes,
    } = condition
    {
        page.caution(
            "Noticed",
            format!(
                "the last record of your lesson book was torn ({}). Its {bytes} bytes are now in {}; everything before it is whole.",
                damage_text(damage),
                side.display()
            ),
        );
    }
    page
}

fn damage_text(damage: &Damage) -> String {
    let fault = match damage.fault {
        Fault::Unfinished => "the line is cut off".to_owned(),
        Fault::Frame => "no record where one should be".to_owned(),
        Fault::Number { found } => format!("record {found} where another should be"),
        Fault::Length => "not as long as it says".to_owned(),
        Fault::CheckSum => "its check sum does not fit".to_owned(),
        Fault::Text => "its text cannot be read".to_owned(),
    };
    format!(
        "record {} at byte {}: {fault}",
        damage.record, damage.offset
    )
}

/// A first word that a book is kept.
pub fn book_begun(path: &str) -> Page {
    let mut page = Page::new();
    page.quiet(
        " ",
        format!(
            "Kept in your lesson book, {path}. \"forget me\" removes it; --no-book keeps none."
        ),
    );
    page
}

/// A pupil's book that is not there yet.
pub fn fresh_book(golfer: &str) -> Page {
    let mut page = Page::new();
    page.text(format!(
        "A new book{}. What happened?",
        if golfer.is_empty() {
            String::new()
        } else {
            format!(" for {}", shortened(golfer, 40))
        }
    ));
    page
}

/// What could not be kept before is kept now.
pub fn kept_again() -> Page {
    let mut page = Page::new();
    page.text("Your lesson book can be written again; everything since is in it.");
    page
}

/// The book was forgotten.
pub fn forgotten_page(forgot: &Forgot) -> Page {
    let mut page = Page::new();
    page.text(format!(
        "Forgotten: {} {} removed{}. Copies you exported, and backups, are yours to remove.",
        forgot.removed.len(),
        if forgot.removed.len() == 1 {
            "file"
        } else {
            "files"
        },
        if forgot.remaining.is_empty() {
            String::new()
        } else {
            format!(", {} left", forgot.remaining.len())
        }
    ));
    page
}

/// Every book of the folder.
pub fn list_page(books: &[Listed], folder: &str) -> Page {
    let mut page = Page::new();
    if books.is_empty() {
        page.text(format!("No lesson book in {folder} yet."));
        return page;
    }
    for book in books {
        let name = match &book.golfer {
            Some(name) if name.is_empty() => "(no name)".to_owned(),
            Some(name) => shortened(name, 40),
            None => format!("({})", book.key),
        };
        let last = book
            .last
            .and_then(day)
            .map_or(String::new(), |d| format!(", last {d}"));
        let state = match (&book.damage, &book.trouble) {
            (Some(damage), _) => format!("; DAMAGED ({})", damage_text(damage)),
            (None, Some(_)) => "; cannot be read".to_owned(),
            (None, None) => String::new(),
        };
        page.text(format!("{name}: {} records{last}{state}", book.records));
    }
    page
}

/// What verifying found.
pub fn verified_page(found: &Verified) -> Page {
    let mut page = Page::new();
    let kinds: Vec<String> = found
        .kinds
        .iter()
        .map(|(kind, n)| format!("{n} {kind}"))
        .collect();
    page.text(format!(
        "{}: {} bytes, {} whole records ({}).",
        found.path.display(),
        found.bytes,
        found.records(),
        kinds.join(", ")
    ));
    if !found.newer.is_empty() {
        page.text(format!(
            "Of a newer version and kept as they are: records {:?}.",
            found.newer
        ));
    }
    if !found.clock_back.is_empty() {
        page.text(format!(
            "Dated before the one they follow: records {:?}.",
            found.clock_back
        ));
    }
    for side in &found.side_files {
        page.text(format!("Kept beside it: {}", side.display()));
    }
    match &found.damage {
        Some(damage) => page.caution(
            "Damaged",
            format!(
                "{}; {} whole records after it can be brought back: \"swingwhy lesson repair\".",
                damage_text(damage),
                found.after_damage
            ),
        ),
        None => page.text("Whole."),
    }
    page
}

/// What repair did.
pub fn repaired_page(done: &Repaired) -> Page {
    let mut page = Page::new();
    match &done.kept {
        None => page.text("Nothing to repair; nothing was changed."),
        Some(path) => {
            page.text(format!(
                "{} records brought over; the damaged file is kept as {}.",
                done.records,
                path.display()
            ));
            if !done.lost.is_empty() {
                page.caution("Lost", format!("records {:?}", done.lost));
            }
        }
    }
    page
}
