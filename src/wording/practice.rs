//! Practice in words: how many, what it amounts to, what comes next.
//!
//! A verdict is one of four plain words with the counts, the range and what luck could do; the next
//! step comes last. Nothing here decides whether practice helped.

use super::number::{Manner, amount, capital, range, rounded};
use super::page::Page;
use crate::conversation::{AgreedSaid, CountsSaid, TargetRead, VerdictSaid};
use crate::knowledge::KnowledgeBase;
use crate::lesson::{Change, Figure, Goal, Stage, Standing, Summary, Tally, Verdict};
use crate::quantity::Unit;
use crate::vocabulary::{CauseId, CountId, DrillId, QuantityId};

/// More balls on a side than anybody hits to settle one question (common practice).
const HOPELESS: u32 = 100;

/// The question for a count.
pub(super) fn ask_count(
    base: &KnowledgeBase,
    stage: Stage,
    (cause, drill, count): (CauseId, Option<DrillId>, Option<CountId>),
    balls: u32,
    page: &mut Page,
) {
    let count = &base.task_counting(cause, drill, count).success.count;
    let text = match stage {
        Stage::Baseline => format!("Hit {balls} as you are now. How many: {count}?"),
        Stage::Practice => format!("Now {balls} with the thought. How many: {count}?"),
        Stage::Retest => {
            format!("Hit {balls} without the thought and with nobody helping. How many: {count}?")
        }
    };
    page.key("Question", text);
}

/// The first block was counted.
pub(super) fn start_counted(
    base: &KnowledgeBase,
    (cause, drill): (CauseId, Option<DrillId>),
    start: &Summary,
    there: bool,
    balls: u32,
    needed: Option<u32>,
    page: &mut Page,
) {
    let entry = base.cause(cause);
    let hit = match start {
        Summary::Hits(tally) => tally.balls(),
        Summary::Measured { .. } => balls,
    };
    let start = summary(start);
    if there {
        page.labelled(
            "Start",
            format!(
                "{start}: that is the target already, before you changed anything. Either the count is too easy, or {} is not what is wrong.",
                entry.name
            ),
        );
        page.key(
            "Next",
            "Say \"it did not help\" and I look again, or count a harder set: full swings, a longer club.",
        );
        return;
    }
    page.labelled("Start", format!("{start}, noted."));
    match needed {
        Some(n) if n > HOPELESS => page.labelled(
            "But",
            "that is so near the target that no sensible number of balls tells help from luck. A harder count would: a longer club, a smaller gate.",
        ),
        // The sizes are worked out, and rounded, for four times in five.
        Some(n) if n <= balls.min(hit) + balls / 8 => page.quiet(
            " ",
            format!("From there {balls} balls are enough to tell a step to the target from luck."),
        ),
        Some(n) => page.quiet(
            " ",
            format!(
                "From there it takes about {n} balls on each side to be sure of it, so one set may leave it open and a second settle it."
            ),
        ),
        None => {}
    }
    page.key(
        "Now",
        format!(
            "{balls} with the thought \"{}\". Tell me how many.",
            base.task(cause, drill).cue
        ),
    );
}

/// A block with the thought, and nothing to compare it with.
pub(super) fn no_start(
    base: &KnowledgeBase,
    (cause, drill, count): (CauseId, Option<DrillId>, Option<CountId>),
    told: Option<Tally>,
    balls: u32,
    page: &mut Page,
) {
    let Some(told) = told else {
        page.labelled("Noted", "the balls measured with the thought.");
        page.key(
            "Question",
            format!(
                "And before, as you were? Measure {balls} the old way now, as \"baseline\" and the numbers: without that I cannot tell help from luck."
            ),
        );
        return;
    };
    page.labelled(
        "Noted",
        format!("{} of {} with the thought.", told.hits(), told.balls()),
    );
    page.key(
        "Question",
        format!(
            "And before, as you were? If you counted just before you tried it, say \"it was 4 of {balls} before\". If not, hit {balls} the old way now and count {}: without that I cannot tell help from luck.",
            base.task_counting(cause, drill, count).success.count
        ),
    );
}

/// The golfer's word beside the counts.
pub(super) fn counts_stand(base: &KnowledgeBase, said: &CountsSaid, page: &mut Page) {
    let cause = &base.cause(said.cause).name;
    let counts = said.after.as_ref().map_or_else(
        || format!("{} before you changed anything", summary(&said.before)),
        |after| format!("{} before, {} after", summary(&said.before), summary(after)),
    );
    let text = match (said.verdict, said.helped) {
        (None, _) => format!(
            "You had {counts}: the target, so the thought cannot be what got you there. Count a set with it, or a harder one. Until then it says nothing about {cause}."
        ),
        (Some(Verdict::Helped), true) => {
            format!("Your counts say so too ({counts}), and I had that from them.")
        }
        (Some(Verdict::Helped), false) => format!(
            "Your counts say otherwise: {counts}, and that is more than luck. I go by the counts, even where it feels like nothing. Test again without the thought: that shows whether it lasts."
        ),
        (Some(Verdict::NoChangeSeen | Verdict::Worse), true) => format!(
            "Your counts do not show it: {counts}. A good feel is welcome, but I go by the counts, so this does not speak for {cause}."
        ),
        (Some(Verdict::NoChangeSeen | Verdict::Worse), false) => {
            format!("Your counts say so too: {counts}.")
        }
        (Some(Verdict::TooFewToTell), _) => format!(
            "Your counts are too few to tell ({counts}), so for now I take your word, as a small sign."
        ),
    };
    page.labelled("Counts", text);
}

/// `3 of 10`, or the mean with its spread.
pub(super) fn summary(summary: &Summary) -> String {
    match summary {
        Summary::Hits(tally) => format!("{} of {}", tally.hits(), tally.balls()),
        Summary::Measured { mean, sd, balls } => {
            let sd = sd.map_or(String::new(), |sd| {
                format!(", {} from ball to ball", figure(sd))
            });
            format!("{} over {balls} balls{sd}", figure(*mean))
        }
    }
}

fn figure(figure: Figure) -> String {
    format!("{} {}", rounded(figure.value(), 1), figure.unit())
}

/// What a target was, short.
pub(super) fn goal(goal: &Goal) -> String {
    match goal {
        Goal::Hits(tally) => format!("{} of {}", tally.hits(), tally.balls()),
        Goal::Measured { better, change } => {
            let way = match better {
                crate::lesson::Better::Higher => "up".to_owned(),
                crate::lesson::Better::Lower => "down".to_owned(),
                crate::lesson::Better::CloserTo(figure_aimed) => {
                    format!("nearer to {}", figure(*figure_aimed))
                }
            };
            format!("{} {way}", figure(*change))
        }
    }
}

/// Where it should get to, short; a number with its side in words, as the measure is told elsewhere.
pub(super) fn target(base: &KnowledgeBase, goal: &Goal, measure: &str, manner: Manner) -> String {
    match goal {
        Goal::Measured {
            better: crate::lesson::Better::CloserTo(aimed),
            ..
        } => {
            let told = base
                .find_quantity(measure)
                .zip(aimed.amount().ok())
                .map_or_else(|| figure(*aimed), |(q, a)| amount(base, q, a, manner));
            format!("near {told}")
        }
        other => self::goal(other),
    }
}

/// The range of a change: in balls of a hundred, or in the measure's unit.
fn range_of(change: &Change) -> Option<String> {
    let (low, high) = change.range?;
    if low.unit() == Unit::One {
        let hundredths = |f: Figure| (f.value() * 100.0).round();
        let (low, high) = (hundredths(low), hundredths(high));
        return Some(if low >= 0.0 {
            format!("{low:.0} and {high:.0} more in a hundred")
        } else if high <= 0.0 {
            format!("{:.0} and {:.0} fewer in a hundred", -high, -low)
        } else {
            format!("{:.0} fewer and {high:.0} more in a hundred", -low)
        });
    }
    let of = |f: Figure| {
        let size = rounded(f.value().abs(), 1);
        match (size.as_str(), f.value() < 0.0) {
            ("0", _) => "no change".to_owned(),
            (_, true) => format!("{size} {} worse", f.unit()),
            (_, false) => format!("{size} {} better", f.unit()),
        }
    };
    Some(format!("{} and {}", of(low), of(high)))
}

/// The word of a verdict.
pub(super) const fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Helped => "helped",
        Verdict::NoChangeSeen => "no change seen",
        Verdict::Worse => "worse",
        Verdict::TooFewToTell => "too few to tell",
    }
}

/// What practice amounts to.
pub(super) fn verdict(base: &KnowledgeBase, said: &VerdictSaid, page: &mut Page) {
    let judged = &said.judgement;
    let after = match said.stage {
        Stage::Retest => "in the retest",
        Stage::Baseline | Stage::Practice => "with the thought",
    };
    page.labelled(
        "Verdict",
        format!(
            "{}: {} before, {} {after}.",
            capital(word(judged.verdict)),
            summary(&judged.before),
            summary(&judged.after)
        ),
    );
    let sure = (judged.change.confidence.as_of_one() * 100.0).round();
    if let Some(range) = range_of(&judged.change) {
        page.quiet(
            " ",
            format!("The change lies between {range} ({sure:.0} % sure)."),
        );
    }
    if !judged.ranks_agree {
        page.quiet(
            " ",
            "A few freak balls may have made that: the order of the balls alone does not show it.",
        );
    }
    let cause = &base.cause(said.cause).name;
    match judged.verdict {
        Verdict::Helped => {}
        Verdict::NoChangeSeen => page.labelled(
            "So",
            format!("the step aimed for ({}) is ruled out.", goal(&said.goal)),
        ),
        Verdict::Worse => page.labelled(
            "So",
            format!("stop working on {cause} for now; that is more than luck."),
        ),
        Verdict::TooFewToTell => {
            let tell = match judged.balls_that_would_tell {
                _ if said.child => "Nobody asks a child for as many balls as it takes to tell: go by whether it gets easier and stays fun.".to_owned(),
                Some(n) if n <= HOPELESS => format!("It takes about {n} balls on each side to tell."),
                _ => "No sensible number of balls would tell from this start.".to_owned(),
            };
            page.labelled("So", format!("luck can still do that. {tell}"));
        }
    }
    if let Some(text) = standing(said.standing) {
        page.key("Next", text);
    } else if judged.verdict == Verdict::TooFewToTell && said.child {
        page.key(
            "Next",
            format!("Ten more another day, if it is still fun, thinking the same. Tell me how many of {}.", said.balls),
        );
    } else if judged.verdict == Verdict::TooFewToTell && said.stage == Stage::Practice {
        let text = match said.looks_left {
            0 => "The looks planned for this start are spent; looking on would call luck help. Count a fresh start: \"baseline 4 of 20\".".to_owned(),
            1 => format!(
                "Hit {} more with the thought and tell me; I can judge once more against this start.",
                said.balls
            ),
            n => format!(
                "Hit {} more with the thought and tell me; I can judge {n} more times against this start.",
                said.balls
            ),
        };
        page.key("Next", text);
    }
}

/// What a verdict amounts to, and what to do next.
pub(super) const fn standing(standing: Standing) -> Option<&'static str> {
    match standing {
        Standing::NotShown => None,
        Standing::MovedToday => Some(
            "That is today's form. Whether it is learned shows tomorrow or later: the same count without the thought and with nobody helping.",
        ),
        Standing::Learned => Some("It held at least a day later, without help: that is learned."),
        Standing::NotKept => Some(
            "It moved on the day and did not keep. Practise in smaller sets, mixed with other shots, then test again.",
        ),
        Standing::RetestTooSmall => {
            Some("The retest had too few balls to tell; hit the same number as at the start.")
        }
        Standing::RetestTooSoon => Some(
            "That is less than a day after practice, so it shows today's form and not what you keep. Test again tomorrow.",
        ),
        Standing::RetestHelpedAlong => Some(
            "Somebody or something helped along; test again with nothing telling you how it goes.",
        ),
        Standing::ClockWentBack => Some(
            "By this machine's clock the retest came before the practice; test again another day.",
        ),
    }
}

/// What was agreed and what came of it, in one line.
pub(super) fn agreed(base: &KnowledgeBase, agreed: &AgreedSaid) -> String {
    let mut text = format!("{}, \"{}\"", base.cause(agreed.cause).name, agreed.cue);
    let mut counts = Vec::new();
    if let Some(start) = &agreed.start {
        counts.push(format!("{} before", summary(start)));
    }
    if let Some(practice) = &agreed.practice {
        counts.push(format!("{} with the thought", summary(practice)));
    }
    if let Some(retest) = &agreed.retest {
        counts.push(format!("{} in the retest", summary(retest)));
    }
    if !counts.is_empty() {
        text.push_str(": ");
        text.push_str(&counts.join(", "));
    }
    if let Some((verdict, standing)) = &agreed.judged {
        text.push_str(": ");
        text.push_str(word(*verdict));
        if *standing == Standing::Learned {
            text.push_str(", and learned");
        }
    }
    text.push('.');
    text
}

/// What is counted or measured, in words.
pub(super) fn measure_name(base: &KnowledgeBase, measure: &str) -> String {
    base.find_cause(measure)
        .map(|c| base.cause(c).success.count.clone())
        .or_else(|| {
            let drill = base.find_drill(measure)?;
            Some(base.drill(drill).success.count.clone())
        })
        .or_else(|| {
            let count = base.find_count(measure)?;
            Some(base.count(count).success.count.clone())
        })
        .or_else(|| {
            base.find_quantity(measure)
                .map(|q| base.quantity(q).name.clone())
        })
        .unwrap_or_else(|| measure.replace('_', " "))
}

/// A mean of measured balls in words.
pub(super) fn mean(
    base: &KnowledgeBase,
    quantity: Option<QuantityId>,
    mean: crate::quantity::Estimate,
    manner: Manner,
) -> String {
    quantity.map_or_else(
        || rounded(mean.mean(), 3),
        |q| amount(base, q, mean.middle(), manner),
    )
}

/// A practice that is being counted stays.
pub(super) fn stays_with(
    base: &KnowledgeBase,
    cause: CauseId,
    other: Option<CauseId>,
    page: &mut Page,
) {
    let name = |c: CauseId| base.cause(c).name.as_str();
    let text = match other {
        Some(other) => format!(
            "You are counting against {}, and that stays the one change. What you tell now points rather to {}: say \"practise anyway\" to change to it and begin a new count.",
            name(cause),
            name(other)
        ),
        None => format!("Stay with {}, and tell me the next count.", name(cause)),
    };
    page.key("Practise", text);
}

/// Numbers read while practising, held against what they were to come to.
pub(super) fn target_read(
    base: &KnowledgeBase,
    reads: &[TargetRead],
    manner: Manner,
    page: &mut Page,
) {
    for read in reads {
        let shown = |value| amount(base, read.quantity, value, manner);
        let name = &base.quantity(read.quantity).name;
        let (low, high) = read.range;
        let aimed = range(base, read.quantity, low, high, manner);
        let before = read
            .before
            .map_or_else(String::new, |b| format!("{} before; ", shown(b)));
        let stands = match (read.reached(), read.nearer()) {
            (true, _) => "in the range aimed at",
            (false, true) => "nearer, and not yet in the range aimed at",
            (false, false) => "not in the range aimed at",
        };
        page.key(
            "Measured",
            format!(
                "{name} {}: {stands} ({before}aim {aimed}).",
                shown(read.value)
            ),
        );
    }
    page.labelled(
        "So",
        "one number is no proof, and it changes nothing I found. The counts of both sets decide: tell me the next one.",
    );
}
