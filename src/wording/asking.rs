//! What to ask and what to do, in words: questions, how to look, one thing to practise.
//!
//! A question says what may be answered; a prescription says the thought, the set-up, what to count,
//! the target and what would show that it was wrong, the target last.

use super::number::{Manner, capital, chance_count, listed, range, rounded};
use super::page::Page;
use super::practice::ask_count;
use crate::causes::{Benefit, CheckValue, Practice};
use crate::conversation::{Care, Put, Question};
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Amount, Unit};
use crate::vocabulary::{CauseId, CheckId, CountId, DrillId, QuantityId};

pub(super) fn ask(
    base: &KnowledgeBase,
    question: &Question,
    value: Option<&CheckValue>,
    manner: Manner,
    page: &mut Page,
) {
    match question {
        Question::Check(check) => {
            let check = base.check(*check);
            page.key(
                "Question",
                format!("{} (yes / no / don't know)", check.question),
            );
            if value.is_some() {
                page.quiet(
                    " ",
                    "\"how to look\", \"why ask\", \"skip\", or \"quick\" for the answer now",
                );
            }
        }
        Question::Hand => page.key("Question", "Do you play right-handed or left-handed?"),
        Question::Safety(caution) => {
            if let Some(text) = &base.caution(*caution).ask {
                page.key("Question", format!("{text} (yes / no)"));
            }
        }
        Question::Leave(caution) => {
            if let Some(text) = &base.caution(*caution).ask_grave {
                page.key("Question", format!("{text} (yes / no)"));
            }
        }
        Question::Unit {
            quantity,
            units,
            words,
        } => {
            let units: Vec<String> = units.iter().map(|u| unit_name(*u)).collect();
            page.key(
                "Question",
                format!(
                    "\"{words}\" for the {}: {}?",
                    base.quantity(*quantity).name,
                    units.join(" or ")
                ),
            );
        }
        Question::Direction { quantity, words } => {
            let q = base.quantity(*quantity);
            let ends: Vec<&str> = [&q.positive, &q.negative]
                .into_iter()
                .flatten()
                .map(String::as_str)
                .collect();
            page.key("Question", format!("\"{words}\": {}?", ends.join(", or ")));
        }
        Question::Number { quantities, words } => {
            let names: Vec<String> = quantities
                .iter()
                .map(|q| base.quantity(*q).name.clone())
                .collect();
            page.key(
                "Question",
                format!("\"{words}\" of what: {}?", names.join(", or ")),
            );
        }
        Question::Meaning {
            symptoms,
            causes,
            words,
            ..
        } => {
            let names: Vec<String> = symptoms
                .iter()
                .map(|s| base.symptom(*s).name.clone())
                .chain(causes.iter().map(|c| base.cause(*c).name.clone()))
                .collect();
            let which = match symptoms.len() {
                0 | 1 => "Which?",
                2 => "Which, or both?",
                _ => "Which? (\"both\": the first two)",
            };
            page.key(
                "Question",
                format!("\"{words}\" can mean: {}. {which}", names.join(", or ")),
            );
        }
        Question::Tally {
            stage,
            cause,
            drill,
            count,
            balls,
        } => ask_count(base, *stage, (*cause, *drill, *count), *balls, page),
        Question::WhichSet(tally) => page.key(
            "Question",
            format!(
                "{} of {}: with the thought, or as you were before it? (\"with\" / \"before\")",
                tally.hits(),
                tally.balls()
            ),
        ),
        Question::Fresh { was, .. } => page.key(
            "Question",
            format!(
                "Those {} of {} at first: counted ball by ball, just before you tried the thought? (yes / no)",
                was.hits(),
                was.balls()
            ),
        ),
        Question::Followed(_) => page.key(
            "Question",
            "Did you keep to it as set up, on most of the balls? (yes / partly / no)",
        ),
        Question::Forget => page.key(
            "Question",
            "Remove your whole lesson book, for good? (yes / no)",
        ),
        Question::Sure { number, words } => {
            page.key(
                "Question",
                format!("[{number}] \"{words}\": is that so? (yes / no / don't know)"),
            );
        }
    }
    let _ = manner;
}

/// A unit as one asks for it.
pub(super) fn unit_name(unit: Unit) -> String {
    match unit {
        Unit::Inch => "inches".to_owned(),
        Unit::Centimetre => "centimetres".to_owned(),
        Unit::Millimetre => "millimetres".to_owned(),
        Unit::Metre => "metres".to_owned(),
        Unit::Yard => "yards".to_owned(),
        Unit::Foot => "feet".to_owned(),
        other => format!("in {other}"),
    }
}

/// The word before an answer: a verdict where one was asked for.
pub(super) fn verdict(put: Put, verdict: Option<&str>) -> String {
    match (put, verdict) {
        (Put::Told, Some(verdict)) => format!("That advice: {verdict}"),
        (Put::Told, None) => "That advice".to_owned(),
        (Put::Should, Some("wrong")) => "No".to_owned(),
        (Put::Should, Some(_)) => "It depends".to_owned(),
        (Put::Claimed, Some(verdict)) => capital(verdict),
        (Put::Open, _) | (_, None) => "Answer".to_owned(),
    }
}

pub(super) fn about_check(
    base: &KnowledgeBase,
    check: CheckId,
    value: Option<&CheckValue>,
    page: &mut Page,
) {
    let entry = base.check(check);
    page.labelled("How to look", entry.how.clone());
    if let Some(value) = value {
        let (a, b) = value.separates;
        let name = |cause: CauseId| &base.cause(cause).name;
        let (yes, no) = (value.if_yes, value.if_no);
        let mut then = if yes.leader == no.leader {
            format!(
                "Either way {} stays first: at work in {} after a yes, in {} after a no.",
                name(yes.leader),
                chance_count(yes.leader_at_work),
                chance_count(no.leader_at_work)
            )
        } else {
            format!(
                "A yes would put {} first, a no {}.",
                name(yes.leader),
                name(no.leader)
            )
        };
        if let (true, Some(one), Some(other)) = (yes.leader == no.leader, yes.practice, no.practice)
            && one != other
        {
            let more = format!(
                " After a yes I would have you practise against {}, after a no against {}.",
                name(one),
                name(other)
            );
            then.push_str(&more);
        }
        page.labelled(
            "Why I ask",
            format!("it tells {} from {}. {then}", name(a), name(b)),
        );
    }
    page.key(
        "Question",
        format!("{} (yes / no / don't know)", entry.question),
    );
}

/// What is said to a golfer who needs more care than others.
pub(super) fn with_care(care: Care) -> impl Iterator<Item = &'static str> {
    const CHILD: &str = "For a child: light clubs of their own size, a grown-up stands by, half swings, sets of ten at most, and stop as soon as it tires or stops being fun. Anything that hurts ends it.";
    const AILING: &str = "You told of something that hurts or troubles you: half swings only, a few without a ball before you count, and stop at once if you feel it. Full swings wait until a health professional has looked at it, or it is gone.";
    const SEEN: &str = "A health professional cleared this: stay within what was cleared, half swings first, build up slowly, and stop at once if you feel it.";
    const EASED: &str = "Nothing hurts, you say: warm up for ten minutes, half swings first, turn only as far as it goes freely, and stop at once if it hurts.";
    let lines = [
        (care.child, CHILD),
        (care.ailing && !care.seen, AILING),
        (care.ailing && care.seen, SEEN),
        (care.eased, EASED),
    ];
    lines
        .into_iter()
        .filter(|(due, _)| *due)
        .map(|(_, text)| text)
}

/// No drill for the cause spares what ails the golfer.
pub(super) fn easy_only(base: &KnowledgeBase, cause: CauseId, page: &mut Page) {
    let entry = base.cause(cause);
    page.caution(
        "Held back",
        format!(
            "Every drill I have for {} loads what troubles you, so no balls for now. That is cleared up when a health professional has looked at it, or it is gone.",
            entry.name
        ),
    );
    page.key(
        "Until then",
        format!(
            "If nothing hurts: slow half swings without a ball, thinking \"{}\". Stop at once if you feel it, and ask a health professional.",
            entry.cue
        ),
    );
}

/// `about 3 playable shots`, `under one playable shot`.
fn gained(gain: f64) -> String {
    match rounded(gain, 0).as_str() {
        "0" => "under one playable shot".to_owned(),
        "1" => "about one playable shot".to_owned(),
        more => format!("about {more} playable shots"),
    }
}

pub(super) fn prescription(
    base: &KnowledgeBase,
    (practice, passed_over, unlisted): (&Practice, Option<&Benefit>, bool),
    (drill, count): (DrillId, Option<CountId>),
    aim: &[(QuantityId, Amount, Amount)],
    (balls, care): (u32, Care),
    manner: Manner,
    page: &mut Page,
) {
    let cause = base.cause(practice.cause);
    let task = base.task_counting(practice.cause, Some(drill), count);
    let drill = base.drill(drill);
    let gain = practice.benefit.playable;
    let upstream = practice.instead_of.map_or(String::new(), |c| {
        format!(" It is what brings about {}.", base.cause(c).name)
    });
    let worth = if gain <= -0.5 {
        "By itself it may cost a few shots at first, because other faults lean on it; but nothing else is nearly as likely to be behind this.".to_owned()
    } else if gain < 0.2 {
        "By itself it gains next to nothing, because other faults lean on it; but nothing else is nearly as likely to be behind this.".to_owned()
    } else {
        format!("Golfers like you would gain {} in a hundred.", gained(gain))
    };
    let unlisted = if unlisted && passed_over.is_none() {
        " It is not among the likeliest, but of what is possible it gains most for its effort."
    } else {
        ""
    };
    page.labelled(
        "Work on",
        format!("{}: {}. {worth}{unlisted}{upstream}", cause.name, cause.is),
    );
    if let Some(other) = passed_over {
        let would = if other.playable <= -0.5 {
            let cost = gained(-other.playable);
            format!("would cost {cost}, because other faults lean on it")
        } else if other.playable < 0.5 {
            "would gain next to nothing".to_owned()
        } else if other.playable > gain {
            let gain = gained(other.playable);
            format!("would gain {gain}, but it is harder to change")
        } else if gained(other.playable) == gained(gain) {
            "would gain a little less".to_owned()
        } else {
            format!("would gain {}", gained(other.playable))
        };
        page.labelled(
            "Before",
            format!(
                "{}, though it is likelier: being rid of that alone {would}.",
                base.cause(other.cause).name
            ),
        );
    }
    page.labelled("Think", format!("\"{}\"", task.cue));
    page.labelled("Do", format!("{}. {}", capital(&drill.name), drill.how));
    let half = half_swings(care);
    page.labelled(
        "First",
        format!(
            "{balls}{half} as you are now. Count {}. Then {balls}{half} with the thought, and tell me both counts.",
            task.success.count
        ),
    );
    let measured = measured(base, aim, manner);
    // A child and whoever stands by need one thing to mind.
    let beware = if drill.children {
        format!("{}.", drill.mistake)
    } else {
        format!(
            "{}; and of \"{}\": {}",
            cause.mistake, cause.folk.says, cause.folk.but
        )
    };
    page.labelled("Beware", beware);
    for text in with_care(care) {
        page.caution("Safety", text);
    }
    for caution in [cause.caution, drill.caution].into_iter().flatten().take(1) {
        page.caution("Safety", base.caution(caution).text.clone());
    }
    page.labelled(
        "If not",
        "The counts will say so, and then this was not the cause. Test again tomorrow without the thought.",
    );
    page.key(
        "Target",
        format!("{} of {}.{measured}", task.success.need, task.success.of),
    );
}

/// What a golfer whom something troubles hits, and nothing for others.
const fn half_swings(care: Care) -> &'static str {
    if care.ailing && !care.child {
        " half swings"
    } else {
        ""
    }
}

/// The measured ranges that show it worked, as a sentence with a space before it.
fn measured(base: &KnowledgeBase, aim: &[(QuantityId, Amount, Amount)], manner: Manner) -> String {
    let ranges: Vec<String> = aim
        .iter()
        .map(|(q, low, high)| {
            let name = &base.quantity(*q).name;
            format!("{name} {}", range(base, *q, *low, *high, manner))
        })
        .collect();
    if ranges.is_empty() {
        String::new()
    } else {
        format!(" Measured: {}.", listed(&ranges))
    }
}

/// What shows that what is agreed helped.
pub(super) fn how_known(
    base: &KnowledgeBase,
    (cause, drill, count): (CauseId, DrillId, Option<CountId>),
    aim: &[(QuantityId, Amount, Amount)],
    (balls, care): (u32, Care),
    manner: Manner,
    page: &mut Page,
) {
    let task = base.task_counting(cause, Some(drill), count);
    let half = half_swings(care);
    page.key(
        "You know by",
        format!(
            "the count of {}: {balls}{half} as you are now, then {balls}{half} with the thought. Tell me both, and I say whether they differ by more than luck. Then again tomorrow without the thought: what lasts is yours.",
            task.success.count
        ),
    );
    page.labelled(
        "Target",
        format!(
            "{} of {}.{}",
            task.success.need,
            task.success.of,
            measured(base, aim, manner)
        ),
    );
}

/// What to do in the middle of a round.
pub(super) fn for_today(base: &KnowledgeBase, cause: CauseId, drill: DrillId, page: &mut Page) {
    let task = base.task(cause, Some(drill));
    page.key(
        "For today",
        format!(
            "one thought, \"{}\", and no more: a round is no place to rebuild a swing. Take the club you trust, swing at three quarters, and aim so that the usual miss can still be played.",
            task.cue
        ),
    );
    page.labelled(
        "Then",
        format!(
            "I take it for {}. At the range \"practise\" gives a drill and a count that shows whether it is.",
            base.cause(cause).name
        ),
    );
}
