//! Replies in words: what was understood, what the arc did, what caused it, what to ask or do.
//!
//! Takes blocks and the knowledge; gives a [`Page`]. Tone: a good teacher on the range, short,
//! kind, exact. Every chance is a word and a number; every reason names the golfer's own words.

use super::arc_picture;
use super::asking::{about_check, ask, easy_only, for_today, how_known, prescription, verdict};
use super::book;
use super::clashes::clash_line;
use super::explain;
use super::heard::{heard_text, pattern_name, understood};
use super::meaning::meaning;
use super::metric::in_metric;
use super::note;
use super::number::{
    self, Manner, amount, capital, chance, chance_count, chance_word, listed, range,
};
use super::page::{Page, shortened};
use super::pictures;
use super::practice;
use super::sheet;
use super::worked_out::worked_out;
use crate::causes::{FlipKind, RankedCause};
use crate::conversation::{ArcNumbers, Block, Reply};
use crate::knowledge::{CautionLevel, KnowledgeBase};
use crate::reading::{Polarity, Why};
use crate::vocabulary::{CauseId, CheckId};

/// A reply as a page.
pub fn page(base: &KnowledgeBase, reply: &Reply, manner: Manner) -> Page {
    let mut page = Page::new();
    let alone = reply
        .blocks
        .iter()
        .any(|b| matches!(b, Block::Caution { alone: true, .. }));
    for block in &reply.blocks {
        if alone && !matches!(block, Block::Caution { .. }) {
            continue;
        }
        say(base, block, manner, &mut page);
    }
    told_to(page, manner)
}

/// The page in the golfer's own right and left and units.
pub(super) fn told_to(page: Page, manner: Manner) -> Page {
    if manner.hand.is_none() && !manner.metric {
        return page;
    }
    page.told_with(|text| told_text(text, manner))
}

/// A sentence in the golfer's own right and left and units.
pub(super) fn told_text(text: &str, manner: Manner) -> String {
    let text = match manner.hand {
        Some(hand) => number::sided(text, hand),
        None => text.to_owned(),
    };
    if manner.metric {
        in_metric(&text)
    } else {
        text
    }
}

#[allow(
    clippy::too_many_lines,
    reason = "one line for each kind of block, each handed on"
)]
fn say(base: &KnowledgeBase, block: &Block, manner: Manner, page: &mut Page) {
    match block {
        Block::Welcome => note::welcome(page),
        Block::Goodbye { held: false } => {
            page.text("Good golf. Come back and tell me whether it helped.");
        }
        Block::Goodbye { held: true } => page.text("Look after yourself first; the golf can wait."),
        Block::Help(topic) => note::help(topic.as_deref(), page),
        Block::Understood(heard) => understood(base, heard, manner, page),
        Block::Spelling(fixes) => {
            let texts: Vec<String> = fixes
                .iter()
                .map(|(said, read)| format!("\"{said}\" as \"{read}\""))
                .collect();
            page.quiet("Read", listed(&texts));
        }
        Block::Unused(words) => {
            let texts: Vec<String> = words
                .iter()
                .take(8)
                .map(|w| format!("\"{}\"", shortened(w, 40)))
                .collect();
            let rest = words.len().saturating_sub(8);
            let more = if rest > 0 {
                format!(" and {rest} more")
            } else {
                String::new()
            };
            page.quiet("Not used", format!("{}{more}", texts.join(", ")));
        }
        Block::Aside(asides) => {
            let texts: Vec<String> = asides
                .iter()
                .map(|(words, why)| format!("\"{}\" ({})", shortened(words, 40), aside(*why)))
                .collect();
            page.quiet("Kept aside", listed(&texts));
        }
        Block::SoundsLike(sounds) => {
            let texts: Vec<String> = sounds
                .iter()
                .map(|(cause, words)| {
                    let words: Vec<String> = words.iter().map(|w| format!("\"{w}\"")).collect();
                    format!("{} ({})", base.cause(*cause).name, words.join(", "))
                })
                .collect();
            page.quiet("Sounds like", texts.join("; or "));
        }
        Block::Hinted { causes, seen } => {
            let texts = so_or_not(base, causes);
            if *seen {
                page.quiet("You saw", format!("{texts}: counted as looked at."));
            } else {
                page.quiet(
                    "Your guess",
                    format!(
                        "{texts}: noted as a hint; what the ball and the turf did weighs more."
                    ),
                );
            }
        }
        Block::Open(words) => {
            let texts: Vec<String> = words
                .iter()
                .map(|w| format!("\"{}\"", shortened(w, 40)))
                .collect();
            page.quiet(
                "Not clear",
                format!(
                    "{}: say it again after this, a number with its unit.",
                    texts.join(", ")
                ),
            );
        }
        Block::HandAssumed(_) => {
            page.quiet(
                "Note",
                "I took left and right as a right-hander's; tell me if you are a leftie.",
            );
        }
        Block::Caution { caution, alone } => {
            let caution = base.caution(*caution);
            let label = match caution.level {
                _ if *alone => "Stop",
                CautionLevel::Beside => "Mind",
                CautionLevel::First | CautionLevel::Emergency => "First",
            };
            page.caution(label, caution.text.clone());
        }
        Block::DrillsHeld => {
            page.caution(
                "Held back",
                "Nothing to practise until that is cleared up; your body comes before your golf.",
            );
        }
        Block::Cleared => page.text("Good. If that changes, stop and tell me."),
        Block::Clash(clash, words) => clash_line(base, clash, words, manner, page),
        Block::Impossible {
            quantity, words, ..
        } => {
            let entry = base.quantity(*quantity);
            let (low, high) = entry.plausible;
            page.labelled(
                "Left out",
                format!(
                    "\"{}\" cannot be the {}: golfers give {}. Was it another number, or another unit?",
                    shortened(words, 40),
                    entry.name,
                    range(base, *quantity, low, high, manner),
                ),
            );
        }
        Block::Arc { arc, brief } => arc_lines(base, arc, *brief, manner, page),
        Block::Signs(slots) => {
            for slot in slots {
                if let Some(sign) = base.find_sign(slot) {
                    page.labelled("Together", capital(&sign.text));
                }
            }
        }
        Block::Causes {
            ranked,
            little,
            words_only,
            brief,
            more,
        } => {
            let telling = match (*words_only, *brief) {
                (true, _) => Telling::Words,
                (false, true) => Telling::Counts,
                (false, false) => Telling::Errors,
            };
            causes(base, ranked, *little, telling, *more, page);
        }
        Block::Because {
            cause,
            across,
            supposed,
        } => {
            let label = if *supposed { "If so" } else { "Because" };
            page.labelled(label, because(base, *cause, *across));
        }
        Block::RatherThan {
            causes,
            telling,
            settles,
        } => {
            rather_than(base, *causes, telling.as_ref(), *settles, page);
        }
        Block::WouldFlip {
            words,
            kind,
            leader,
        } => {
            let change = match kind {
                FlipKind::Removed => format!("without \"{words}\""),
                FlipKind::Opposite => format!("were \"{words}\" the other way"),
                FlipKind::MovedTo(_) => format!("were \"{words}\" another number"),
            };
            page.labelled(
                "Would flip",
                format!("{change}, {} would lead.", base.cause(*leader).name),
            );
        }
        Block::Ask { question, value } => ask(base, question, value.as_deref(), manner, page),
        Block::AboutCheck { check, value } => about_check(base, *check, value.as_deref(), page),
        Block::Prescription {
            practice,
            passed_over,
            unlisted,
            drill,
            count,
            aim,
            balls,
            care,
        } => {
            let what = (&**practice, passed_over.as_ref(), *unlisted);
            let how = (*drill, *count);
            prescription(base, what, how, aim, (*balls, *care), manner, page);
        }
        Block::EasyOnly(cause) => easy_only(base, *cause, page),
        Block::StartCounted {
            cause,
            drill,
            start,
            there,
            balls,
            needed,
        } => {
            let of = (*cause, *drill);
            practice::start_counted(base, of, start, *there, *balls, *needed, page);
        }
        Block::NoStart {
            cause,
            drill,
            count,
            told,
            balls,
        } => practice::no_start(base, (*cause, *drill, *count), *told, *balls, page),
        Block::CountsStand(said) => practice::counts_stand(base, said, page),
        Block::Verdict(said) => practice::verdict(base, said, page),
        Block::Returning(back) => book::returning(base, back, page),
        Block::Progress(courses) => book::progress(base, courses, manner, page),
        Block::Book {
            golfer,
            lines,
            earlier,
        } => book::book(base, golfer, lines, *earlier, page),
        Block::Sheet(lesson) => sheet::sheet(base, lesson, manner, page),
        Block::AlreadyPrescribed(cause) => {
            page.key(
                "Practise",
                format!(
                    "Stay with {}: one change at a time, or you will not know which one did it. Tell me how many of ten, or say \"practise anyway\".",
                    base.cause(*cause).name
                ),
            );
        }
        Block::ForToday { cause, drill } => for_today(base, *cause, *drill, page),
        Block::HowKnown {
            cause,
            drill,
            count,
            aim,
            balls,
            care,
        } => how_known(
            base,
            (*cause, *drill, *count),
            aim,
            (*balls, *care),
            manner,
            page,
        ),
        Block::TargetRead(reads) => practice::target_read(base, reads, manner, page),
        Block::StaysWith { cause, other } => practice::stays_with(base, *cause, *other, page),
        Block::TheLie(cause) => {
            let entry = base.cause(*cause);
            page.labelled(
                "The lie",
                format!(
                    "{}: no practice takes a lie away. On this one think \"{}\", and beware of {}. {}",
                    capital(&entry.name),
                    entry.cue,
                    entry.mistake,
                    entry.told_apart.as_deref().unwrap_or_default()
                ),
            );
        }
        Block::NothingToPractise => {
            page.key("Practise", "Nothing stands out enough to change your swing for. Tell me more: which club, where the ball starts and how it bends, where on the face it is struck, and where the mark starts if it leaves one.");
        }
        Block::LookFirst(check) => {
            let look = check.map_or_else(
                || {
                    "Tell me more: which club, where the ball starts and how it bends, where on the face it is struck, and where the mark starts if it leaves one."
                        .to_owned()
                },
                |check| {
                    format!(
                        "{} Then tell me: {}",
                        base.check(check).how,
                        base.check(check).question
                    )
                },
            );
            page.key(
                "Look first",
                format!("No cause is likely enough yet to change your swing for. {look} (\"practise\" gives you one thing all the same.)"),
            );
        }
        Block::Why {
            why,
            words,
            reasoning,
        } => explain::why(base, why, words, reasoning, manner, page),
        Block::WhyNot { contrast, words } => explain::why_not(base, contrast, words, page),
        Block::Compare {
            contrast,
            words,
            predicts,
            ranked,
        } => {
            explain::compare(base, contrast, words, predicts, ranked, manner, page);
        }
        Block::Supposed {
            hypothesis,
            words,
            ranked,
            rival,
        } => {
            explain::supposed(
                base,
                hypothesis,
                words,
                ranked.as_ref(),
                rival.as_ref(),
                manner,
                page,
            );
        }
        Block::WhatIf {
            change,
            share,
            rates,
            axes,
        } => explain::what_if(base, (change, *share), rates, axes, manner, page),
        Block::Numbers(diagnosis) => explain::numbers(base, diagnosis, manner, page),
        Block::Known(heard) => {
            page.text("So far I have:");
            for item in heard {
                page.labelled(
                    &format!("  {}", item.number),
                    heard_text(base, item, manner),
                );
            }
            page.quiet(
                "",
                "Say \"not 2\" to take one back, \"fix 2 ...\" to say it again.",
            );
        }
        Block::Drawing(arc) => arc_picture::drawing(base, arc, manner, page),
        Block::FromAbove(arc) => pictures::above(base, arc, manner, page),
        Block::FaceMark {
            across,
            said,
            height,
        } => {
            pictures::face_mark(base, (*across, *said), *height, manner, page);
        }
        Block::Answer { answer, put } => {
            let answer = base.answer(*answer);
            page.labelled(
                &verdict(*put, answer.verdict.as_deref()),
                answer.text.clone(),
            );
        }
        Block::Meaning(meant) => page.labelled("It means", meaning(base, *meant)),
        Block::WorkedOut(answer) => worked_out(base, answer, manner, page),
        Block::Note(n) => note::note(base, n, page),
        Block::Learning(taught, hand) => {
            page.append(super::learning::taught_page(base, taught, *hand));
        }
    }
}

const fn aside(why: Why) -> &'static str {
    match why {
        Why::Past => "past",
        Why::Stopped => "has stopped",
        Why::Wished => "a wish",
        Why::Feared => "a fear",
        Why::If => "only if",
        Why::Other => "somebody else's",
        Why::Quoted => "somebody's words",
    }
}

// ---------------------------------------------------------------------- what disagrees

// ---------------------------------------------------------------------- the arc

pub(super) fn arc_lines(
    base: &KnowledgeBase,
    arc: &ArcNumbers,
    brief: bool,
    manner: Manner,
    page: &mut Page,
) {
    let name = pattern_name(base, &arc.pattern);
    let mut steps: Vec<String> = Vec::new();
    for step in &arc.chain {
        let quantity = &base.quantity(step.quantity).name;
        let value = amount(base, step.quantity, step.middle, manner);
        if step.said {
            steps.push(format!("{quantity} {value}"));
        } else {
            let ends = range(base, step.quantity, step.low, step.high, manner);
            steps.push(format!("{quantity} about {value} ({ends})"));
        }
    }
    // Attack angle and low point are one fact; a golfer needs the second.
    let few = if brief { 1 } else { usize::MAX };
    let modelled: Vec<String> = arc
        .modelled
        .iter()
        .take(few)
        .map(|(quantity, middle, low, high)| {
            format!(
                "{} about {} ({})",
                base.quantity(*quantity).name,
                amount(base, *quantity, *middle, manner),
                range(base, *quantity, *low, *high, manner)
            )
        })
        .collect();
    let wanted: Vec<String> = arc
        .wanted
        .iter()
        .take(few)
        .map(|(quantity, low, high)| {
            format!(
                "{} {}",
                base.quantity(*quantity).name,
                range(base, *quantity, *low, *high, manner)
            )
        })
        .collect();
    let mut sentences = Vec::new();
    if !steps.is_empty() {
        sentences.push(format!("{}.", capital(&steps.join(" -> "))));
    }
    // A guess at the arc is worth a line only where nothing better is known.
    let modelled = if steps.is_empty() {
        modelled
    } else {
        Vec::new()
    };
    let about_low_point = !modelled.is_empty()
        || arc
            .chain
            .iter()
            .any(|s| arc.wanted.iter().any(|(q, _, _)| *q == s.quantity));
    if !modelled.is_empty() {
        let lead = if steps.is_empty() {
            "No mark or number said; golfers"
        } else {
            "Golfers"
        };
        sentences.push(format!(
            "{lead} with that complaint have {}.",
            listed(&modelled)
        ));
    }
    if !wanted.is_empty() && about_low_point {
        let assumed = if arc.pattern.said {
            ""
        } else {
            " (no club said: I take that)"
        };
        let good = match arc.pattern.groups.len() {
            0 | 1 => name,
            _ => base.group(arc.pattern.group).name.clone(),
        };
        sentences.push(format!("A good {good}{assumed}: {}.", wanted.join(", ")));
    }
    if !sentences.is_empty() {
        page.labelled("The arc", sentences.join(" "));
    }
    if !arc.effects.is_empty() {
        let texts: Vec<String> = arc
            .effects
            .iter()
            .take(3)
            .map(|(effect, p)| format!("{} ({:.0} %)", base.effect(*effect).name, p * 100.0))
            .collect();
        page.labelled("So", capital(&texts.join(", ")));
    }
}

// ---------------------------------------------------------------------- causes

/// Chances this close are not told apart.
const EVEN: f64 = 0.015;

/// How much is said of a chance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Telling {
    /// The word.
    Words,
    /// And how many in ten.
    Counts,
    /// And between what.
    Errors,
}

fn causes(
    base: &KnowledgeBase,
    ranked: &[RankedCause],
    little: bool,
    telling: Telling,
    more: usize,
    page: &mut Page,
) {
    for (index, cause) in ranked.iter().enumerate() {
        let label = match (index, little) {
            (0, true) => "Perhaps",
            (0, false) => "Most likely",
            _ => " ",
        };
        let share = if base.cause(cause.cause).condition && cause.probability > 0.995 {
            "as you said".to_owned()
        } else {
            match telling {
                Telling::Words => chance_word(cause.probability).to_owned(),
                Telling::Counts => format!(
                    "{}, {}",
                    chance_word(cause.probability),
                    chance_count(cause.probability)
                ),
                Telling::Errors => chance(cause.probability, cause.error),
            }
        };
        let root = cause.root.map_or(String::new(), |(root, _)| {
            format!(", often from {}", base.cause(root).name)
        });
        // The list goes by what the evidence speaks for; a common cause may be likelier in itself.
        let before = ranked.iter().take(index);
        let common = before.fold(1.0_f64, |least, r| least.min(r.probability));
        let differ = |f: &dyn Fn(f64) -> String| f(cause.probability) != f(common);
        let likelier = match telling {
            Telling::Words => differ(&|p| chance_word(p).to_owned()),
            Telling::Counts | Telling::Errors => {
                cause.probability > common + EVEN || differ(&chance_count)
            }
        };
        let anyway = if cause.probability > common && likelier {
            ", but common without this too"
        } else {
            ""
        };
        let text = format!("{} - {share}{root}{anyway}", base.cause(cause.cause).name);
        if index == 0 && !little {
            page.key(label, text);
        } else {
            page.labelled(label, text);
        }
    }
    if telling == Telling::Words {
        page.quiet(" ", "(Few simulated golfers fit all that: the numbers of \"why\" and \"numbers\" are rough.)");
    }
    match (little, more) {
        (true, _) => page.quiet(" ", "(Little to go on yet: many things look like this.)"),
        (false, 0) => {}
        (false, more) => {
            let say = if telling == Telling::Errors {
                "numbers"
            } else {
                "more"
            };
            page.quiet(" ", format!("({more} more: say \"{say}\")"));
        }
    }
}

/// The reason in one sentence; the rest comes with "why". Of a strike across the face the sentence that
/// speaks of it, where there is one.
fn because(base: &KnowledgeBase, cause: CauseId, across: bool) -> &str {
    const ACROSS: [&str; 4] = ["heel", "toe", "neck", "the mark"];
    let because = &base.cause(cause).because;
    let mut sentences = because.split_inclusive(". ").map(str::trim);
    let of_it = sentences
        .clone()
        .find(|s| across && ACROSS.iter().any(|w| s.to_lowercase().contains(w)));
    of_it.or_else(|| sentences.next()).unwrap_or(because)
}

fn rather_than(
    base: &KnowledgeBase,
    (_, second): (CauseId, CauseId),
    telling: Option<&(String, f64)>,
    settles: Option<CheckId>,
    page: &mut Page,
) {
    let name = &base.cause(second).name;
    let text = match telling {
        Some((words, decibans)) => {
            let strength = match decibans {
                d if *d >= 5.0 => "speaks strongly",
                d if *d >= 2.5 => "speaks",
                _ => "speaks a little",
            };
            format!(
                "{name}: \"{}\" {strength} for the first.",
                shortened(words, 60)
            )
        }
        None if settles.is_some() => format!("{name}: nothing you said tells them apart yet."),
        None => format!("{name}: nothing tells them apart; the first is simply commoner."),
    };
    page.labelled("Rather than", text);
}

/// Causes seen or guessed, and those seen not to be: "X or Y", "not X", "neither X nor Y".
fn so_or_not(base: &KnowledgeBase, causes: &[(CauseId, Polarity)]) -> String {
    let named = |absent: bool| -> Vec<&str> {
        let of = causes
            .iter()
            .filter(|(_, polarity)| (*polarity == Polarity::Absent) == absent);
        of.map(|(cause, _)| base.cause(*cause).name.as_str())
            .collect()
    };
    let quoted = |name: &&str| format!("\"{name}\"");
    let so = named(false).join(" or ");
    let not = match named(true).as_slice() {
        [] => String::new(),
        [one] => format!("not \"{one}\""),
        several => {
            let names: Vec<String> = several.iter().map(quoted).collect();
            format!("neither {}", names.join(" nor "))
        }
    };
    match (so.is_empty(), not.is_empty()) {
        (false, false) => format!("{so}; {not}"),
        _ => so + &not,
    }
}
