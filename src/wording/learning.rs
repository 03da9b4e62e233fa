//! What the learner hears and reads while looking and committing: the golfer's words, tables of
//! shots, answers, lists, short replies.
//!
//! Takes blocks of the learner's talk and gives pages of 78 columns, the line that asks for something
//! last. The golfer's words are pieces of the phrase lists, only put together here. The comparison
//! and the course are worded next door ([`comparison`], [`course`]). Knows nothing that the blocks do
//! not say.

mod afterwards;
mod asked_on;
mod comparison;
mod course;
mod note;
mod paper;
mod teaching;
mod ten;

pub use paper::{
    Graded, bad_paper, graded_json, graded_page, key_json, key_page, paper_json, paper_page,
};

use ten::{counts, table};

use super::number::{Manner, sided};
use super::page::Page;
use super::{amount, capital, listed, rounded};
use crate::conversation::learning::{Block, From, Heard, ORDERS, Taught};
use crate::knowledge::{Cost, KnowledgeBase};
use crate::learning::{Answer, Desk, Done, LEAST, MINUTES, Mention, Next, Pupil, Step, Way};
use crate::vocabulary::{CauseId, EffectId, Hand, SymptomId};

/// What the golfer says at first.
pub fn speech(base: &KnowledgeBase, pupil: &Pupil) -> String {
    let account = &pupil.account;
    let mut manner = account.manner;
    let mut choose = |n: u64| {
        let one = manner % n;
        manner /= n;
        one
    };
    let mut parts: Vec<String> = Vec::new();
    let mut chatter = account.chatter.iter();
    if choose(2) == 0
        && let Some(words) = chatter.next()
    {
        parts.push(capital(words));
    }
    for (place, stand) in pupil.stands().enumerate() {
        let club = &base.club(stand.club).name;
        let said: Vec<String> = account
            .mentions
            .iter()
            .filter(|m| m.stand == place)
            .map(mention)
            .collect();
        if said.is_empty() {
            continue;
        }
        let lead = match (place, choose(3)) {
            (0, 0) => capital(club),
            (0, 1) => format!("It's my {club}"),
            (0, _) => format!("{} again", capital(club)),
            (_, 0) => format!("With the {club}"),
            (_, _) => format!("And the {club}"),
        };
        let lie = account
            .lie
            .as_ref()
            .filter(|_| place == 0)
            .map_or(String::new(), |lie| format!(" {lie}"));
        parts.push(format!("{lead}{lie}: {}", said.join(", ")));
    }
    if let Some(hunch) = &account.hunch {
        let start = match choose(3) {
            0 => "I reckon",
            1 => "I think",
            _ => "Probably",
        };
        parts.push(format!("{start} {}", hunch.words));
    }
    parts.extend(chatter.map(|words| capital(words)));
    let sentences: Vec<String> = parts.iter().map(|p| format!("{p}.")).collect();
    sentences.join(" ")
}

fn mention(mention: &Mention) -> String {
    match &mention.often_words {
        Some(often) => format!("{} {often}", mention.words),
        None => mention.words.clone(),
    }
}

/// A reply as a page.
pub fn taught_page(base: &KnowledgeBase, taught: &Taught, hand: Hand) -> Page {
    let manner = Manner {
        metric: false,
        hand: Some(hand),
    };
    let mut page = Page::new();
    for block in &taught.blocks {
        page.blank();
        page.append(block_page(base, block, manner));
    }
    page.told_with(|text| sided(text, hand))
}

fn block_page(base: &KnowledgeBase, block: &Block, manner: Manner) -> Page {
    let mut page = Page::new();
    match block {
        Block::Welcome => welcome(&mut page),
        Block::Help => help(&mut page),
        Block::Caution(caution) => page.caution("Stop", &base.caution(*caution).text),
        Block::Opens { pupil, from } => opens(base, pupil, *from, &mut page),
        Block::Looked { step, pupil, used } => looked(base, step, pupil, *used, manner, &mut page),
        Block::Causes { family, known } => causes(base, family.as_deref(), known, &mut page),
        Block::Faults => faults(base, &mut page),
        Block::WhichCause(heard, list) => which_cause(base, *heard, list, &mut page),
        Block::WhichFault(list) => which_fault(base, list, &mut page),
        Block::Notes { pupil, desk } => notes(base, pupil, desk, manner, &mut page),
        Block::AskFault => {
            page.key(
                "1 of 3",
                "What did the club do? Name one fault, such as \"low point behind the ball\", or \
                 type \"faults\" for the list.",
            );
        }
        Block::AskCauses(fault) => {
            let noted = fault.map_or("no fault named", |f| base.effect(f).name.as_str());
            page.labelled("Noted", noted);
            page.key(
                "2 of 3",
                "Which causes, and how sure are you that this golfer has each? Up to three, each \
                 with a number from 0 to 100, such as: hanging back 60, ball too far forward 20",
            );
        }
        Block::AskPractice(list) => ask_practice(base, list, &mut page),
        Block::AskReason(practice) => {
            let noted = practice.map_or("nothing".to_owned(), |c| {
                format!("to be rid of \"{}\"", base.cause(c).name)
            });
            page.labelled("Noted", format!("you would practise {noted}"));
            page.key(
                "Why?",
                "In your own words, how does that cause make this ball? Or \"skip\".",
            );
        }
        Block::Reasoned(reasoned, unread) => {
            comparison::reasoned(base, reasoned, unread, &mut page);
        }
        Block::Compared {
            comparison,
            commitment,
            pupil,
            desk,
            attempt,
        } => comparison::compared(
            base,
            &comparison::Compared {
                comparison,
                commitment,
                pupil,
                desk,
                attempt,
            },
            manner,
            &mut page,
        ),
        Block::Progress(attempts) => course::progress(base, attempts, &mut page),
        Block::Course { level } => course::course(base, *level, &mut page),
        Block::Lesson(place) => course::lesson(base, *place, &mut page),
        Block::Claim(claim) => course::claim(base, *claim, &mut page),
        Block::Entries(list) => afterwards::entries(base, list, &mut page),
        Block::Clubs { pupil, other } => clubs(base, pupil, *other, &mut page),
        Block::Why {
            pupil,
            links,
            comparison,
        } => afterwards::why(base, pupil, links, comparison, manner, &mut page),
        Block::WhyNot {
            pupil,
            cause,
            pieces,
            look,
        } => afterwards::why_not(base, (pupil, *cause), pieces, *look, &mut page),
        Block::Strikes(pupil) => asked_on::strikes(base, pupil, manner, &mut page),
        Block::Flight(pupil) => asked_on::flight(base, pupil, manner, &mut page),
        Block::WhatIf {
            what,
            before,
            after,
            rates,
        } => asked_on::what_if(base, what, (*before, *after), rates, manner, &mut page),
        Block::Teacher { pupil, step, told } => {
            teaching::told(base, pupil, step.as_deref(), told, manner, &mut page);
        }
        Block::Clean(pupil, seen) => teaching::clean(base, pupil, *seen, manner, &mut page),
        Block::Cures(pupil, gained) => teaching::cures(base, pupil, *gained, &mut page),
        Block::Sure(comparison) => asked_on::sure(base, comparison, &mut page),
        Block::FirstLook(look) => asked_on::first_look(base, *look, &mut page),
        Block::General(links) => asked_on::general(base, links, &mut page),
        Block::Settles(list) => afterwards::settles(base, list, &mut page),
        Block::Lost {
            causes,
            pupil,
            commitment,
            comparison,
        } => afterwards::lost(base, causes, pupil, (commitment, comparison), &mut page),
        Block::Note(said) => note::note(base, said, &mut page),
    }
    page
}

fn welcome(page: &mut Page) {
    page.text(
        "A golfer stands before you. Look, ask, and find out what the club does and why. Then commit, \
         and see your reasoning beside the program's. The golfers are simulated, drawn as they come. \
         They say what they believe of themselves, and now and then they are wrong; a look seldom is.",
    );
}

fn help(page: &mut Page) {
    for row in ORDERS {
        page.labelled(row.name, row.help);
    }
    page.key(
        "",
        "Golfers can be wrong about what they do; a look seldom is. Questions about the game, such as \
         \"what is low point\", cost no minutes, nor do those about what you saw: \"what does that tell \
         me\", \"is the low point behind\", \"which cause does that point to\".",
    );
}

fn opens(base: &KnowledgeBase, pupil: &Pupil, from: From, page: &mut Page) {
    let place = match from {
        From::Level { level, next } => {
            let name = base.levels.iter().nth(level).map_or(String::new(), |l| {
                format!(", level {}: {}", level + 1, l.name)
            });
            let why = match next {
                Some(Next::Returning) => " (a kind you missed before comes back)",
                Some(Next::Mixed) => " (mixed)",
                Some(Next::Blocked(..)) | None => "",
            };
            format!("{name}{why}")
        }
        From::Lesson { lesson, case } => {
            let name = base
                .lessons
                .iter()
                .nth(lesson)
                .map_or("", |l| l.name.as_str());
            format!(", case {} of the lesson \"{name}\"", case + 1)
        }
        From::Anywhere => String::new(),
    };
    page.labelled(
        &format!("Case {}", pupil.seed),
        place.trim_start_matches(", ").to_owned(),
    );
    let hand = match pupil.hand {
        Hand::Right => "right-handed",
        Hand::Left => "left-handed",
    };
    page.labelled("Golfer", format!("{hand}: \"{}\"", speech(base, pupil)));
    if let Some(lie) = lie(base, pupil) {
        page.labelled("Lie", lie);
    }
    if pupil.mistaken.is_some() {
        page.labelled("Beware", ONE_WRONG);
    }
    page.key(
        "You",
        format!(
            "{MINUTES:.0} minutes. Ask in your own words, or: shots, numbers, look, try, causes, commit, \
             help."
        ),
    );
}

/// What is said of a case in which a number is wrong.
const ONE_WRONG: &str = "One of the numbers that the device gives of the first club is plainly wrong. Find \
     out which: see which two do not go together, and which of them the shots bear out.";

/// How the ball lies, if the golfer says so.
fn lie<'a>(base: &'a KnowledgeBase, pupil: &Pupil) -> Option<&'a str> {
    pupil.lie.map(|l| base.lie(l).name.as_str())
}

fn left(used: f64) -> String {
    let left = (MINUTES - used).max(0.0);
    if left <= 0.0 {
        "No minutes left: commit.".to_owned()
    } else {
        format!("{left:.0} minutes left.")
    }
}

fn looked(
    base: &KnowledgeBase,
    step: &Step,
    pupil: &Pupil,
    used: f64,
    manner: Manner,
    page: &mut Page,
) {
    match &step.done {
        Done::Told => {}
        Done::Shots { stand, ten } => {
            let club = club_of(base, pupil, *stand);
            page.labelled(
                "Ten shots",
                format!("with the {club}, seen from behind and beside:"),
            );
            page.art(table(ten, manner.hand.unwrap_or(Hand::Right)));
            page.labelled("Strikes", counts(ten));
        }
        Done::Tried { change, ten } => {
            let text = base
                .changes
                .iter()
                .nth(change.0)
                .map_or(String::new(), |c| {
                    format!("{} by {} {}", c.name, rounded(change.1, 1), c.unit)
                });
            page.labelled("Ten shots", format!("with {text}:"));
            page.art(table(ten, manner.hand.unwrap_or(Hand::Right)));
            page.labelled("Strikes", counts(ten));
        }
        Done::Measured { stand, reads } => {
            page.labelled(
                "Measured",
                format!(
                    "with the {}, means of ten shots; +/- holds the golfer's average in 95 of a hundred \
                     such measurements, for the device errs and ten shots scatter:",
                    club_of(base, pupil, *stand)
                ),
            );
            for read in reads {
                page.text(format!("  {}", read_line(base, read, manner)));
            }
        }
        Done::Check { check, way, answer } => {
            let entry = base.check(*check);
            match way {
                Way::Asked => {
                    page.labelled("You ask", &entry.question);
                    let words = match answer {
                        Answer::Yes => "\"Yes.\"",
                        Answer::No => "\"No.\"",
                        Answer::NoIdea if entry.cost > Cost::Look => {
                            "\"No idea. I have never seen it on film.\" (look would tell you)"
                        }
                        Answer::NoIdea => "\"No idea, to be honest.\" (look would tell you)",
                    };
                    page.labelled("Golfer", words);
                }
                Way::Looked => {
                    page.labelled("You look", &entry.how);
                    let seen = if *answer == Answer::Yes { "Yes" } else { "No" };
                    page.labelled("You see", format!("{seen}. ({})", entry.question));
                }
            }
        }
        Done::Symptoms(answers) => {
            let of = |wanted: Answer| -> Vec<String> {
                answers
                    .iter()
                    .filter(|(_, a)| *a == wanted)
                    .map(|(s, _)| symptom_name(base, *s))
                    .collect()
            };
            let (yes, no) = (of(Answer::Yes), of(Answer::No));
            let mut parts = Vec::new();
            if !yes.is_empty() {
                parts.push(format!("Yes: {}.", listed(&yes)));
            }
            if !no.is_empty() {
                parts.push(format!("Not that I notice: {}.", no.join(", ")));
            }
            if parts.is_empty() {
                parts.push("No idea.".to_owned());
            }
            page.labelled("Golfer", format!("\"{}\"", parts.join(" ")));
        }
        Done::Turf(turf) => page.labelled("Golfer", format!("\"{}\"", teaching::turf(*turf))),
    }
    page.quiet("", format!("{:.0} min. {}", step.minutes, left(used)));
}

fn clubs(base: &KnowledgeBase, pupil: &Pupil, other: bool, page: &mut Page) {
    let names: Vec<String> = (0..pupil.stands().count())
        .map(|at| club_of(base, pupil, at).to_owned())
        .collect();
    let only = if other { "I came about" } else { "With" };
    page.labelled(
        "Golfer",
        format!("\"{only} the {}, as I said.\"", listed(&names)),
    );
    page.quiet("", "That cost no minute: you knew it.");
}

/// The name of the first club, or of the second.
fn club_of<'a>(base: &'a KnowledgeBase, pupil: &Pupil, stand: usize) -> &'a str {
    let club = pupil.stands().nth(stand);
    club.map_or("", |s| base.club(s.club).name.as_str())
}

fn read_line(base: &KnowledgeBase, read: &crate::learning::Read, manner: Manner) -> String {
    let q = base.quantity(read.quantity);
    let error = read.range.value_in(q.unit).map_or(String::new(), |e| {
        format!(" (+/- {} {})", rounded(e, q.decimals.max(1)), q.unit)
    });
    format!(
        "{}: {}{error}",
        capital(&q.name),
        amount(base, read.quantity, read.value, manner)
    )
}

/// The number of a cause in the lists.
fn number(cause: CauseId) -> usize {
    cause.index() + 1
}

fn causes(base: &KnowledgeBase, family: Option<&str>, known: &[(CauseId, bool)], page: &mut Page) {
    let Some(family) = family else {
        let mut families: Vec<(String, usize)> = Vec::new();
        for cause in &base.causes {
            match families.iter_mut().find(|(f, _)| *f == cause.family) {
                Some(entry) => entry.1 += 1,
                None => families.push((cause.family.clone(), 1)),
            }
        }
        let said: Vec<String> = families.iter().map(|(f, n)| format!("{f} ({n})")).collect();
        page.labelled("Families", said.join(", "));
        page.key("", "Type \"causes\" and a family, such as: causes setup");
        return;
    };
    let mut lines = Vec::new();
    for (index, cause) in base.causes.iter().enumerate() {
        if cause.family != family {
            continue;
        }
        let id = CauseId::from_index(index);
        let cost = cause.check.map_or(Cost::Free, |c| base.check(c).cost);
        let seen = match known.iter().find(|(c, _)| *c == id) {
            Some((_, true)) => "yes",
            Some((_, false)) => "no",
            None => match cost {
                Cost::Free | Cost::Look => "ask",
                Cost::Video => "look: film",
                Cost::Device => "look: device",
            },
        };
        lines.push(format!("  {:>3}  {:<46} {seen}", number(id), cause.name));
    }
    page.art(lines);
    page.key("", "Type \"ask\" or \"look\" and a number, such as: ask 3");
}

fn faults(base: &KnowledgeBase, page: &mut Page) {
    let mut lines = Vec::new();
    let names: Vec<String> = base
        .effects
        .iter()
        .enumerate()
        .map(|(i, e)| format!("{:>3}  {}", i + 1, e.name))
        .collect();
    let half = names.len().div_ceil(2);
    for at in 0..half {
        let (a, b) = (names.get(at), names.get(at + half));
        let line = format!(
            "  {:<36} {}",
            a.map_or("", String::as_str),
            b.map_or("", String::as_str)
        );
        lines.push(line.trim_end().to_owned());
    }
    page.art(lines);
}

fn which_cause(base: &KnowledgeBase, heard: Heard, list: &[CauseId], page: &mut Page) {
    let minutes = |c: &CauseId| {
        let check = base.cause(*c).check?;
        let cost = base.model.checks.get(check.index()).map_or(2.0, |m| m.cost);
        (heard == Heard::Look).then(|| format!(" ({:.0} min)", cost.max(LEAST)))
    };
    page.labelled(
        "Several",
        if heard == Heard::Look {
            "looks that fit those words:"
        } else {
            "those words could mean:"
        },
    );
    page.art(list.iter().map(|c| {
        let time = minutes(c).unwrap_or_default();
        format!("  {:>3}  {}{time}", number(*c), base.cause(*c).name)
    }));
    let example = list.first().map_or(1, |c| number(*c));
    page.key(
        "Which?",
        match heard {
            Heard::Question => format!(
                "The golfer answers yes or no. Ask by number, such as: ask {example}. So far it has cost \
                 no minute."
            ),
            Heard::Look => format!(
                "Each is a look of its own. Look by number, such as: look {example}. So far it has cost no \
                 minute."
            ),
            Heard::Cause => {
                format!("Give the number first, then the chance, such as: {example} 60")
            }
            Heard::Practice => format!("Give the number, such as: {example}"),
            Heard::Reason => format!("Ask by number, such as: why not {example}"),
        },
    );
}

fn which_fault(base: &KnowledgeBase, list: &[EffectId], page: &mut Page) {
    page.labelled("Several", "those words could mean:");
    page.art(
        list.iter()
            .map(|e| format!("  {:>3}  {}", e.index() + 1, base.effect(*e).name)),
    );
    page.key("Which?", "Give the number.");
}

fn ask_practice(base: &KnowledgeBase, list: &[(CauseId, f64)], page: &mut Page) {
    let said: Vec<String> = list
        .iter()
        .map(|(c, p)| format!("{} {:.0} %", base.cause(*c).name, 100.0 * p))
        .collect();
    page.labelled(
        "Noted",
        if said.is_empty() {
            "no cause named".to_owned()
        } else {
            said.join(", ")
        },
    );
    let sum: f64 = list.iter().map(|(_, p)| p).sum();
    if sum > 1.005 {
        page.quiet(
            "",
            format!(
                "Together {:.0} %. That is allowed, since causes can be there together; it says that \
                 you expect about {} of them.",
                100.0 * sum,
                rounded(sum, 1)
            ),
        );
    }
    page.key(
        "3 of 3",
        "What would you practise? Name the cause to be rid of, or one of its drills, or \"nothing\".",
    );
}

/// What one step brought, in one line; nothing for the complaint.
pub(super) fn noted(
    base: &KnowledgeBase,
    step: &Step,
    pupil: &Pupil,
    manner: Manner,
) -> Option<String> {
    Some(match &step.done {
        Done::Told => return None,
        Done::Shots { stand, ten } => {
            format!(
                "ten shots, {}: {}",
                club_of(base, pupil, *stand),
                counts(ten)
            )
        }
        Done::Tried { change, ten } => {
            let name = base
                .changes
                .iter()
                .nth(change.0)
                .map_or("", |c| c.name.as_str());
            format!("ten shots with {name}: {}", counts(ten))
        }
        Done::Measured { stand, reads } => {
            let said: Vec<String> = reads
                .iter()
                .map(|r| {
                    format!(
                        "{} {}",
                        base.quantity(r.quantity).name,
                        amount(base, r.quantity, r.value, manner)
                    )
                })
                .collect();
            format!(
                "measured, {}: {}",
                club_of(base, pupil, *stand),
                said.join(", ")
            )
        }
        Done::Check { check, answer, .. } => {
            format!("{} {}", base.check(*check).question, answer_word(*answer))
        }
        Done::Turf(turf) => format!("takes turf? {}", teaching::turf(*turf)),
        Done::Symptoms(answers) => answers
            .iter()
            .map(|(s, a)| format!("{}: {}", symptom_name(base, *s), answer_word(*a)))
            .collect::<Vec<_>>()
            .join(", "),
    })
}

/// A symptom's name; of a strike without what explains it: "heavy, ground before ball" is heavy.
fn symptom_name(base: &KnowledgeBase, symptom: SymptomId) -> String {
    let entry = base.symptom(symptom);
    let first = entry.name.split(',').next().unwrap_or(&entry.name);
    if entry.kind == "contact" {
        first.to_owned()
    } else {
        entry.name.clone()
    }
}

const fn answer_word(answer: Answer) -> &'static str {
    match answer {
        Answer::Yes => "yes",
        Answer::No => "no",
        Answer::NoIdea => "no idea",
    }
}

fn notes(base: &KnowledgeBase, pupil: &Pupil, desk: &Desk, manner: Manner, page: &mut Page) {
    page.labelled("Golfer", format!("\"{}\"", speech(base, pupil)));
    for (at, step) in desk.steps().iter().enumerate() {
        if let Some(line) = noted(base, step, pupil, manner) {
            page.labelled(&at.to_string(), line);
        }
    }
    page.key("", left(desk.minutes()));
}
