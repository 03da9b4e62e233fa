//! What the teacher says of what was seen: ten shots or their numbers read together, a fault that was
//! asked about, the causes it comes of in general, how to choose a question; and after the answer what
//! would cure this golfer and why some strikes were clean all the same.
//!
//! Takes counts, chances and links that are already computed, and words them. Tells nothing of the golfer
//! that the learner has not seen, except after the answer.

use super::super::capital;
use super::super::number::{Manner, amount, listed, rounded};
use super::super::page::Page;
use super::afterwards::full;
use super::asked_on::sides;
use super::number;
use crate::causes::model::{Axis, Event};
use crate::conversation::learning::Told;
use crate::knowledge::KnowledgeBase;
use crate::learning::{Done, Link, LinkEnd, Pupil, Read, Step, Together, Turf, together};
use crate::quantity::{Amount, Unit};
use crate::vocabulary::{EffectId, QuantityId};

/// A chance from which the teacher says yes, and one under which no.
const YES: f64 = 0.65;
const NO: f64 = 0.3;
/// Shares of what the cure gains from which a change is one, or one in part.
const CURED: f64 = 0.8;
const IN_PART: f64 = 0.15;
/// Cures told of.
const CURES: usize = 3;

/// How often the golfer takes turf, in their words.
pub(super) const fn turf(turf: Turf) -> &'static str {
    match turf {
        Turf::Mostly => "Yes, on most shots.",
        Turf::Sometimes => "Some shots do, others leave no mark.",
        Turf::Hardly => "No, hardly ever.",
        Turf::Teed => "No, it is on a tee.",
    }
}

/// What the teacher says.
pub(super) fn told(
    base: &KnowledgeBase,
    pupil: &Pupil,
    step: Option<&Step>,
    told: &Told,
    manner: Manner,
    page: &mut Page,
) {
    match told {
        Told::Together => {
            seen(base, step, manner, page);
            page.quiet("", "Read off what you saw alone; that cost no minute.");
        }
        Told::Faults(faults) => {
            for (fault, chance) in faults {
                is_it(base, *fault, *chance, page);
            }
            seen(base, step, manner, page);
            page.quiet(
                "",
                "Read off what you have seen so far; that cost no minute.",
            );
        }
        Told::Causes(fault, links) => points(base, pupil, *fault, links, page),
        Told::First => first(step.is_some(), page),
    }
}

/// Whether a fault is there.
fn is_it(base: &KnowledgeBase, fault: EffectId, chance: f64, page: &mut Page) {
    let entry = base.effect(fault);
    let says = if chance >= YES {
        "yes, as far as that tells"
    } else if chance <= NO {
        "hardly, as far as that tells"
    } else {
        "open: that does not settle it"
    };
    page.labelled(
        "Teacher",
        format!(
            "{}: {says} ({:.0} %).",
            capital(&entry.name),
            100.0 * chance
        ),
    );
    if chance >= YES {
        page.text(entry.because.clone());
    }
}

/// The shots or numbers of a step, read together.
fn seen(base: &KnowledgeBase, step: Option<&Step>, manner: Manner, page: &mut Page) {
    match step.map(|s| &s.done) {
        Some(Done::Shots { ten, .. } | Done::Tried { ten, .. }) => {
            let all = together(ten);
            if all.flew > 0 {
                flight(&all, manner, page);
            }
            page.labelled("Ground", ground(&all));
            if let Some(text) = height(&all) {
                page.labelled("Strike", text);
            }
            if let Some(text) = across(&all) {
                page.labelled("Face", text);
            }
        }
        Some(Done::Measured { reads, .. }) => numbers(base, reads, manner, page),
        Some(Done::Told | Done::Check { .. } | Done::Symptoms(_) | Done::Turf(_)) | None => {}
    }
}

/// The side that most are on, and hardly any on the other: push, pull; nothing if neither is.
fn one_sided((push, pull): (usize, usize), of: usize) -> Option<bool> {
    let plainly = |a: usize, b: usize| 2 * a >= of && a >= 4 * b && a > 1;
    if plainly(push, pull) {
        Some(true)
    } else if plainly(pull, push) {
        Some(false)
    } else {
        None
    }
}

/// "6 right and 3 straight".
fn sorted(of: [(usize, &str); 3]) -> String {
    let list: Vec<String> = of
        .iter()
        .filter(|(n, _)| *n > 0)
        .map(|(n, word)| format!("{n} {word}"))
        .collect();
    listed(&list)
}

/// Where balls start and bend, and what that says of face and path.
fn flight(all: &Together, manner: Manner, page: &mut Page) {
    let (push, pull) = sides(manner.hand);
    let side = |to_push: bool| if to_push { push } else { pull };
    let on_line = all.flew.saturating_sub(all.starts.0 + all.starts.1);
    let straight = all.flew.saturating_sub(all.curves.0 + all.curves.1);
    let starts = one_sided(all.starts, all.flew);
    let to_target = starts.is_none() && 2 * on_line >= all.flew;
    let looks = match starts {
        Some(to_push) => format!("the face looks {} of the target at the ball", side(to_push)),
        None if to_target => "on the whole the face looks about where the target is".to_owned(),
        None => "the face comes back now one way, now the other".to_owned(),
    };
    page.labelled(
        "Starts",
        format!(
            "{}: {looks}.",
            sorted([
                (on_line, "on line"),
                (all.starts.0, push),
                (all.starts.1, pull)
            ])
        ),
    );
    let gap = match one_sided(all.curves, all.flew) {
        Some(to_push) => {
            let path = if to_target {
                format!(", so the path goes {} of the target", side(!to_push))
            } else {
                String::new()
            };
            let word = if to_push { "open" } else { "closed" };
            format!(
                "the face looks {} of the path, {word} to it{path}",
                side(to_push)
            )
        }
        None if 2 * straight >= all.flew => "face and path mostly agree".to_owned(),
        None => "the gap between face and path is small or changes sides".to_owned(),
    };
    page.labelled(
        "Curves",
        format!(
            "{}: {gap}.",
            sorted([
                (all.curves.0, push),
                (all.curves.1, pull),
                (straight, "straight")
            ])
        ),
    );
}

/// Where marks begin, and what that says of the bottom of the arc.
fn ground(all: &Together) -> String {
    let inches = |x: Amount| {
        x.value_in(Unit::Inch)
            .map_or(String::new(), |x| rounded(x, 1))
    };
    let reach = match all.reach {
        Some((least, most)) if all.behind > 1 => {
            format!(" ({} to {} in)", inches(least), inches(most))
        }
        Some((one, _)) => format!(" ({} in)", inches(one)),
        None => String::new(),
    };
    let mut list: Vec<String> = Vec::new();
    let marks = |n: usize| {
        if n == 1 {
            "1 mark begins"
        } else {
            "marks begin"
        }
    };
    for (n, place) in [
        (all.behind, format!("behind the ball{reach}")),
        (all.level, "at the ball".to_owned()),
        (all.ahead, "ahead of it".to_owned()),
    ] {
        match n {
            0 => {}
            1 => list.push(format!("{} {place}", marks(1))),
            n => list.push(format!("{n} {} {place}", marks(n))),
        }
    }
    if all.none > 0 {
        let shots = if all.none == 1 {
            "shot leaves"
        } else {
            "shots leave"
        };
        list.push(format!("{} {shots} no mark", all.none));
    }
    if list.is_empty() {
        return "Off a tee; there is no mark to read.".to_owned();
    }
    let marked = all.behind + all.level + all.ahead;
    let says = if all.behind > 2 * all.ahead && all.behind > 1 {
        "Turf before the ball: the arc has its bottom behind the ball, or well into the ground."
    } else if all.behind > 0 && all.ahead > 0 {
        "Before the ball on some, past it on others: the bottom of the arc, or its height, moves about."
    } else if all.ahead > 0 {
        "Ball before turf: the bottom of the arc lies ahead of the ball."
    } else if marked == 0 {
        "The arc does not reach the turf, or only just."
    } else {
        "The marks alone leave open where the bottom lies."
    };
    format!("{}. {says}", capital(&listed(&list)))
}

/// What heavy and thin ones say of the height of the arc.
fn height(all: &Together) -> Option<String> {
    let says = match (all.heavy, all.thin) {
        (0 | 1, 0 | 1) => return None,
        (heavy, thin) if heavy > 0 && thin > 0 => {
            "one arc that wanders gives both: now it digs before the ball, now it passes too high"
        }
        (0, _) => "the edge comes to the ball too high, on a high arc or on its way up",
        _ => "the ground comes too soon, and no shot passes too high",
    };
    let list = sorted([
        (all.clean, "clean"),
        (all.heavy, "heavy"),
        (all.thin, "thin or topped"),
    ]);
    Some(format!("{list}: {says}."))
}

/// Where on the face.
fn across(all: &Together) -> Option<String> {
    let (toe, heel) = all.across;
    let side = one_sided((toe, heel), 10)?;
    let (count, word, turns) = if side {
        (toe, "toe", "toward the pull side")
    } else {
        (heel, "heel", "toward the push side")
    };
    Some(format!(
        "{count} of ten toward the {word}. With a wood that alone bends the ball {turns}, so read the curve \
         with care."
    ))
}

/// Measured numbers, read together.
fn numbers(base: &KnowledgeBase, reads: &[Read], manner: Manner, page: &mut Page) {
    let of = |axis: Axis| {
        let measured = |r: &&Read| {
            let found = base.model.measured.get(r.quantity.index());
            matches!(found, Some(Some((a, _))) if *a == axis)
        };
        reads.iter().find(measured)
    };
    // Farther from nothing than its range.
    let sure = |read: &Read| read.value.base().abs() > read.range.base();
    if let Some(low) = of(Axis::LowPoint) {
        page.labelled(
            "Ground",
            match (sure(low), low.value.base() > 0.0) {
                (true, true) => "The arc has its bottom ahead of the ball: ball before turf on the whole.",
                (true, false) => {
                    "The arc has its bottom behind the ball: turf first, or the club already rising."
                }
                (false, _) => "The bottom of the arc lies about at the ball, either side of it.",
            },
        );
    }
    let (push, pull) = sides(manner.hand);
    if let (Some(face), Some(path)) = (of(Axis::FaceAngle), of(Axis::ClubPath)) {
        let gap = face.value.base() - path.value.base();
        let range = face.range.base().hypot(path.range.base());
        page.labelled(
            "Flight",
            if gap.abs() <= range {
                "Face and path agree within their ranges, so balls bend little.".to_owned()
            } else if gap > 0.0 {
                format!("The face looks {push} of the path, open to it, so balls curve {push}.")
            } else {
                format!("The face looks {pull} of the path, closed to it, so balls curve {pull}.")
            },
        );
    }
}

/// Which causes a fault comes of in general.
fn points(base: &KnowledgeBase, pupil: &Pupil, fault: EffectId, links: &[Link], page: &mut Page) {
    let name = &base.effect(fault).name;
    let group = &base.group(pupil.first.group).name;
    if links.is_empty() {
        page.text(format!(
            "No one cause stands out for \"{name}\" with this club."
        ));
        return;
    }
    page.labelled(
        "Teacher",
        format!("With a {group}, \"{name}\" comes most of these, of golfers in general who have one of them and nothing else:"),
    );
    for link in links {
        if let LinkEnd::Cause(cause) = link.from {
            page.text(format!(
                "  {:>3}  {}: {:.0} in a hundred, {:.0} without it",
                number(cause),
                base.cause(cause).name,
                100.0 * link.shares.0,
                100.0 * link.shares.1
            ));
        }
    }
    let example = links.iter().find_map(|l| match l.from {
        LinkEnd::Cause(cause) => Some(number(cause)),
        LinkEnd::Fault(_) | LinkEnd::Seen(_) => None,
    });
    page.key(
        "",
        format!(
            "Which of them this golfer has is for you to find: ask {n} (1 min), or look {n}. That cost no \
             minute.",
            n = example.unwrap_or(1)
        ),
    );
}

/// How to choose the next question.
fn first(seen: bool, page: &mut Page) {
    page.labelled(
        "Teacher",
        if seen {
            "You have seen what ball and turf do. Settle first what the club did (\"is the low point \
             behind?\"), then ask of causes that bring just that (\"which cause does that point to?\"). Put \
             the question first whose answer would change what you practise; what golfers feel or see of \
             themselves they can tell in a minute, the rest takes a look."
        } else {
            "Begin with what every cause has to explain: \"shots\" (5 min) shows strike, mark, start and \
             curve of ten. The golfer's words tell of the bad ones only."
        },
    );
    page.quiet(
        "",
        "Which look was worth most is told after the answer. That cost no minute.",
    );
}

/// Why some strikes are clean all the same.
pub(super) fn clean(
    base: &KnowledgeBase,
    pupil: &Pupil,
    seen: Option<Together>,
    manner: Manner,
    page: &mut Page,
) {
    let found = |axis: Axis| {
        let mut axes = pupil.first.case.axes.iter();
        axes.find(|(a, _)| *a == axis).map(|(_, amount)| *amount)
    };
    let of = |axis: Axis, unit: Unit| found(axis)?.value_in(unit).ok();
    let mut measured = base.model.measured.iter();
    let at = measured.position(|m| m.is_some_and(|(a, _)| a == Axis::LowPoint));
    let place = at
        .zip(found(Axis::LowPoint))
        .map_or(String::new(), |(at, low)| {
            amount(base, QuantityId::from_index(at), low, manner)
        });
    let spread = of(Axis::LowPointSpread, Unit::Inch).unwrap_or(0.0);
    let high = of(Axis::ArcHeightSpread, Unit::Millimetre).unwrap_or(0.0);
    page.labelled(
        "On average",
        format!(
            "The low point is {place}: that is the mean of many swings, not the place of each."
        ),
    );
    page.labelled(
        "The spread",
        format!(
            "From swing to swing the low point wanders by {} in to either side and the height by {} mm. Where \
             a swing happens to bottom farther ahead, or to pass a little higher, the ball comes first.",
            rounded(spread, 1),
            rounded(high, 0)
        ),
    );
    if let Some(seen) = seen.filter(|s| s.clean > 0) {
        let marked = seen.clean - seen.nipped.min(seen.clean);
        let text = match (seen.nipped, marked) {
            (nipped, 0) => format!(
                "None of the {nipped} clean ones you saw left a mark: nipped off the top of the turf, by luck \
                 of height."
            ),
            (0, marked) => {
                format!("Of the clean ones you saw {marked} met turf at the ball or past it.")
            }
            (nipped, marked) => format!(
                "Of the {} clean ones you saw {nipped} left no mark, nipped off the top of the turf by luck of \
                 height; {marked} met turf at the ball or past it.",
                seen.clean
            ),
        };
        page.labelled("The ten", text);
    }
    let rates = &pupil.first.case.rates;
    let clean = rates.iter().find(|(e, _)| *e == Event::Clean);
    page.labelled(
        "Shots",
        format!(
            "Of a hundred {:.0} are clean.",
            100.0 * clean.map_or(0.0, |c| c.1)
        ),
    );
}

/// What would cure this golfer, beside what a change gains that was asked about.
pub(super) fn cures(base: &KnowledgeBase, pupil: &Pupil, gained: Option<f64>, page: &mut Page) {
    let main = pupil.worths.first().map_or(0.0, |w| w.gain.most());
    if let Some(gained) = gained {
        let share = gained / main.max(1.0);
        let says = if share >= CURED {
            "Yes"
        } else if share >= IN_PART {
            "In part"
        } else {
            "Hardly"
        };
        page.labelled(
            "Teacher",
            format!(
                "{says}: that gains {} shots in a hundred, the cure {}.",
                rounded(gained.max(0.0), 0),
                rounded(main.max(0.0), 0)
            ),
        );
    }
    for (at, worth) in pupil.at_work().take(CURES).enumerate() {
        let cause = base.cause(worth.cause);
        page.labelled(
            if at == 0 { "The cure" } else { "Then" },
            format!(
                "To be rid of \"{}\": {} more good shots in a hundred.",
                cause.name,
                rounded(worth.gain.most().max(0.0), 0)
            ),
        );
        if let Some(drill) = cause.drills.first() {
            let drill = base.drill(*drill);
            page.labelled(
                "  Drill",
                format!("{}: {}", capital(&drill.name), full(&drill.how)),
            );
        }
        page.labelled("  Think", full(&cause.cue));
    }
}
