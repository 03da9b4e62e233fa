//! What to say of a diagnosis: arc, causes, reasons, then one question or one thing to practise.
//!
//! Takes the talk and its diagnosis and gives blocks in reading order, the important one last. The
//! choices (how many causes, when to ask, what counts as worth showing) are here; words are not.

use std::collections::BTreeSet;

use super::aiming;
use super::arc::{self, CHAIN, arc_numbers};
use super::counting;
use super::reply::{Block, Heard, Question, ReasonLine};
use super::talk::Talk;
use crate::causes::{Benefit, CheckValue, Judgement, Practice, RankedCause};
use crate::diagnosis::{Clash, Derivation, Diagnosis, Mind, Origin, Token, can_be_looked_at};
use crate::explanation::{contrast, flip};
use crate::knowledge::KnowledgeBase;
use crate::vocabulary::{CauseId, CheckId, DrillId, GroupId};

/// Everything known, as it is echoed; `line` marks what is new.
pub(super) fn heard(talk: &Talk, line: Option<usize>) -> Vec<Heard> {
    talk.statements
        .iter()
        .enumerate()
        .filter(|(_, s)| !s.dropped)
        .map(|(index, s)| Heard {
            number: index + 1,
            finding: s.finding.clone(),
            words: s.words.clone(),
            new: line == Some(s.line),
        })
        .collect()
}

/// The words behind each piece of evidence.
pub(super) fn words(
    base: &KnowledgeBase,
    talk: &Talk,
    places: &[usize],
    diagnosis: &Diagnosis,
) -> Vec<String> {
    diagnosis
        .evidence
        .iter()
        .map(|(token, _)| match token {
            Token::Finding(finding) => places
                .get(*finding)
                .and_then(|place| talk.statements.get(*place))
                .map_or_else(String::new, |s| s.words.clone()),
            Token::Answer(answer) => {
                talk.all_answers()
                    .get(*answer)
                    .map_or_else(String::new, |(check, yes)| {
                        let answer = if *yes { "yes" } else { "no" };
                        format!("{answer}\" to \"{}", base.check(*check).question)
                    })
            }
            Token::Lie(lie) => base.lie(*lie).name.clone(),
            Token::Hint(hint) => talk
                .hints
                .get(*hint)
                .map_or_else(String::new, |h| h.2.clone()),
            Token::Sound(sound) => talk
                .sounds
                .get(*sound)
                .map_or_else(String::new, |s| s.words.join(" ... ")),
            Token::Practised(i) => talk
                .practised
                .get(*i)
                .map_or_else(String::new, |t| t.words.clone()),
        })
        .collect()
}

/// The words of a finding of the case.
pub(super) fn finding_words(talk: &Talk, places: &[usize], finding: usize) -> String {
    places
        .get(finding)
        .and_then(|place| talk.statements.get(*place))
        .map_or_else(String::new, |s| s.words.clone())
}

/// The stated lie where it leads: it comes before anything that can be practised.
pub(super) fn the_lie(base: &KnowledgeBase, diagnosis: &Diagnosis) -> Option<Block> {
    let first = diagnosis.judgement.causes.first()?.cause;
    let is_lie = |c: CauseId| {
        base.model
            .causes
            .get(c.index())
            .is_some_and(|m| m.condition)
    };
    is_lie(first).then_some(Block::TheLie(first))
}

/// The prescription for a practice, unless no drill may be given.
pub(super) fn prescription(
    base: &KnowledgeBase,
    talk: &Talk,
    diagnosis: &Diagnosis,
    practice: &Practice,
) -> Option<Block> {
    let pattern = diagnosis.focus()?;
    let drill = drill_for(base, talk, pattern.group, practice.cause)?;
    prescription_of(base, talk, diagnosis, practice, drill)
}

/// The prescription of this drill.
pub(super) fn prescription_of(
    base: &KnowledgeBase,
    talk: &Talk,
    diagnosis: &Diagnosis,
    practice: &Practice,
    drill: DrillId,
) -> Option<Block> {
    let pattern = diagnosis.focus()?;
    let count = counting::count_for(base, talk, pattern, (practice.cause, drill));
    Some(Block::Prescription {
        count,
        practice: Box::new(*practice),
        passed_over: passed_over(base, diagnosis),
        unlisted: {
            let named = worth_naming(base, &diagnosis.judgement);
            let mut shown = named.iter().take(NAMED);
            practice.instead_of.is_none() && !shown.any(|c| c.cause == practice.cause)
        },
        drill,
        // A child is asked for no numbers.
        aim: if base.drill(drill).children {
            Vec::new()
        } else {
            aiming::shown_aim(base, diagnosis, pattern, practice.cause)
        },
        balls: super::practice::balls_for(
            base.task_counting(practice.cause, Some(drill), count)
                .success,
            talk.care(),
        ),
        care: talk.care(),
    })
}

/// The word of a drill's `without` list that keeps it from children.
const CHILD: &str = "child";

/// The first drill of the cause that what ails the golfer allows; with a club whose ball stands on a
/// peg rather one that needs no turf.
pub(super) fn drill_for(
    base: &KnowledgeBase,
    talk: &Talk,
    group: GroupId,
    cause: CauseId,
) -> Option<DrillId> {
    drills_for(base, talk, group, cause).first().copied()
}

/// All drills of the cause that may be given, those that suit the club first.
pub(super) fn drills_for(
    base: &KnowledgeBase,
    talk: &Talk,
    group: GroupId,
    cause: CauseId,
) -> Vec<DrillId> {
    let teed = base.model.groups.get(group.index()).is_some_and(|g| g.teed);
    let bare = talk.without_turf(base);
    let allowed = |drill: &DrillId| {
        let without = &base.drill(*drill).without;
        let child = talk.child.then_some(CHILD);
        let ails = talk.ails.iter().map(String::as_str).chain(child);
        !ails.into_iter().any(|ail| {
            without
                .iter()
                .any(|w| w == ail || (w == "pain" && ail.starts_with("pain")))
        })
    };
    let mut given: Vec<DrillId> = Vec::new();
    if talk.child && counting::childs_drill(base, talk, group) {
        let place = base.drills.iter().position(|d| d.children);
        given.extend(place.map(DrillId::from_index).filter(|d| allowed(d)));
    }
    let drills = base.cause(cause).drills.iter().copied().filter(allowed);
    let (suit, others): (Vec<DrillId>, Vec<DrillId>) = drills.partition(|drill| {
        !(teed && base.needs_turf(cause, *drill) || bare && base.not_on_a_mat(*drill))
    });
    given.extend(suit.into_iter().chain(others));
    // What is stiff or mended and does not hurt asks for an easier drill first, and holds nothing back.
    if given.is_empty() && talk.nothing_hurts() {
        let grown = |d: &DrillId| !talk.child || base.drill(*d).without.iter().all(|w| w != CHILD);
        given.extend(base.cause(cause).drills.iter().copied().find(grown));
    }
    given.dedup();
    // What did not help is given again only where there is nothing else.
    given.sort_by_key(|drill| talk.failed.contains(drill));
    given
}

/// Causes named in a turn at most.
const NAMED: usize = 3;

/// How much of a turn is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Depth {
    /// Something about the shots was told.
    Told,
    /// A check was answered: what the arc did stands as said.
    AfterAnswer,
    /// More was asked for.
    More,
}

/// The causes worth naming, the first first: those that the evidence speaks for and that are not
/// unlikely in themselves. Where it speaks for none so clearly, those that it speaks for most; where it
/// speaks for none at all, the three likeliest.
pub(super) fn worth_naming(base: &KnowledgeBase, judgement: &Judgement) -> Vec<RankedCause> {
    const FALLBACK: usize = 3;
    /// At work with this chance beside another: worth a look where nothing stands out.
    const NEARLY: f64 = 0.015;
    /// Less likely than this nothing is named: it would be told as "hardly".
    const LEAST_NAMED: f64 = 0.03;
    /// At work with this chance: more than the numerical error of it.
    const SPOKEN_FOR: f64 = 0.008;
    let worth: Vec<RankedCause> = judgement
        .causes
        .iter()
        .filter(|c| c.at_work >= 0.04 && c.probability >= 0.05)
        .copied()
        .collect();
    if worth.len() >= FALLBACK || (!worth.is_empty() && !judgement.little_to_go_on) {
        return worth;
    }
    if !worth.is_empty() {
        // Where nothing stands out one name alone would say too much.
        let more = judgement
            .causes
            .iter()
            .filter(|c| c.at_work >= NEARLY && !worth.iter().any(|w| w.cause == c.cause))
            .filter(|c| !base.cause(c.cause).condition)
            .take(FALLBACK - worth.len());
        return worth.iter().chain(more).copied().collect();
    }
    let mut likely: Vec<RankedCause> = judgement
        .causes
        .iter()
        .filter(|c| !base.cause(c.cause).condition)
        .copied()
        .collect();
    // What was told is explained by what it speaks for, however little, not by what is common.
    let spoken_for = |c: &&RankedCause| c.at_work >= SPOKEN_FOR && c.probability >= LEAST_NAMED;
    let spoken: Vec<RankedCause> = likely
        .iter()
        .filter(spoken_for)
        .take(FALLBACK)
        .copied()
        .collect();
    if spoken.len() == FALLBACK {
        return spoken;
    }
    likely.sort_by(|a, b| {
        b.probability
            .total_cmp(&a.probability)
            .then(a.cause.cmp(&b.cause))
    });
    likely.truncate(FALLBACK);
    likely
}

/// The same diagnosis with the causes that are named in words before the others.
pub(super) fn with_the_named_first(base: &KnowledgeBase, diagnosis: &Diagnosis) -> Diagnosis {
    let named: Vec<CauseId> = worth_naming(base, &diagnosis.judgement)
        .iter()
        .map(|c| c.cause)
        .collect();
    let place = |cause: CauseId| {
        named
            .iter()
            .position(|n| *n == cause)
            .unwrap_or(named.len())
    };
    let mut ordered = diagnosis.clone();
    ordered.judgement.causes.sort_by_key(|c| place(c.cause));
    ordered
}

/// What being rid of the cause named first would gain, where something else is practised.
pub(super) fn passed_over(base: &KnowledgeBase, diagnosis: &Diagnosis) -> Option<Benefit> {
    let condition = |c: CauseId| base.cause(c).condition;
    let named = worth_naming(base, &diagnosis.judgement);
    let first = named.iter().find(|c| !condition(c.cause))?.cause;
    diagnosis.passed_over.filter(|b| b.cause == first)
}

/// The part of a turn that says what happened and why.
pub(super) fn findings_blocks(
    mind: &mut Mind,
    talk: &Talk,
    places: &[usize],
    diagnosis: &Diagnosis,
    depth: Depth,
) -> Vec<Block> {
    let base = mind.base().clone();
    let mut blocks = Vec::new();
    let few = depth != Depth::More;
    let news = depth != Depth::AfterAnswer;
    let mut pairs: Vec<Vec<usize>> = Vec::new();
    for clash in &diagnosis.clashes {
        let findings: Vec<usize> = match clash {
            Clash::Slots { findings, .. } => findings.clone(),
            Clash::Said { findings: (a, b) } => vec![*a, *b],
            Clash::Numbers { .. } => Vec::new(),
        };
        let mut words: Vec<String> = findings
            .iter()
            .map(|f| finding_words(talk, places, *f))
            .collect();
        words.dedup();
        // One pair of findings is one disagreement, however many rules see it.
        let seen = match clash {
            Clash::Slots { findings, .. } => pairs.contains(findings),
            Clash::Numbers { .. } => !pairs.is_empty(),
            Clash::Said { .. } => false,
        };
        if seen {
            continue;
        }
        pairs.push(findings);
        blocks.push(Block::Clash(clash.clone(), words));
    }
    let number = |f: &usize| diagnosis.numbers.contains(f);
    let disputed: Vec<usize> = (pairs.iter().filter(|p| p.iter().all(number)))
        .flatten()
        .copied()
        .collect();
    if !news {
        // The arc was said before; an answer about the golfer does not change it.
        blocks.clear();
    } else if let Some(mut arc) = arc_numbers(&base, talk, diagnosis) {
        // What follows from two numbers that disagree is said when it is known which is right.
        if !disputed.is_empty() {
            arc.effects.clear();
        }
        blocks.push(Block::Arc {
            arc: Box::new(arc),
            brief: few,
        });
    }
    // The sign that rests on most of what was said comes first.
    let mut signs: Vec<(usize, String)> = diagnosis
        .flags
        .iter()
        .filter(|f| f.holds && f.pattern == diagnosis.focus && base.find_sign(&f.slot).is_some())
        .filter(|f| !f.why.findings().iter().any(|told| disputed.contains(told)))
        .map(|f| (f.why.findings().len(), f.slot.clone()))
        .collect();
    signs.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| b.1.cmp(&a.1)));
    let signs: Vec<String> = signs.into_iter().map(|(_, slot)| slot).collect();
    if !signs.is_empty() && news {
        blocks.push(Block::Signs(
            signs.into_iter().take(if few { 1 } else { 4 }).collect(),
        ));
    }
    let judgement = &diagnosis.judgement;
    let worth = worth_naming(&base, judgement);
    let ranked: Vec<_> = worth
        .iter()
        .take(if few { 3 } else { 6 })
        .copied()
        .collect();
    blocks.push(Block::Causes {
        brief: few,
        ranked: ranked.clone(),
        little: judgement.little_to_go_on,
        words_only: arc::scarce(judgement),
        more: worth.len().saturating_sub(ranked.len()),
    });
    if let Some(first) = ranked.first() {
        blocks.push(Block::Because {
            cause: first.cause,
            across: arc::across_alone(&base, talk),
            supposed: judgement.little_to_go_on,
        });
        let given = base.cause(first.cause).condition && first.probability > 0.995;
        if let Some(second) = ranked.get(1).filter(|_| !given)
            && let Some(contrast) = contrast(mind, diagnosis, first.cause, second.cause)
        {
            let all = words(&base, talk, places, diagnosis);
            let telling = contrast
                .between
                .iter()
                .find(|e| e.decibans >= 1.0)
                .and_then(|e| Some((all.get(e.evidence)?.clone(), e.decibans)));
            // That nothing tells them apart is worth a line only where more is asked for.
            if telling.is_some() || !few {
                blocks.push(Block::RatherThan {
                    causes: contrast.causes,
                    telling,
                    settles: contrast.settles,
                });
            }
        }
        if !few
            && let Some(flip) = flip(mind, diagnosis)
            && flip.leader != first.cause
            && flip.from == first.cause
        {
            let all = words(&base, talk, places, diagnosis);
            blocks.push(Block::WouldFlip {
                words: all.get(flip.finding).cloned().unwrap_or_default(),
                kind: flip.kind,
                leader: flip.leader,
            });
        }
    }
    blocks
}

/// The last part of a turn: one question, or one thing to practise.
pub(super) fn closing_block(mind: &Mind, talk: &mut Talk, diagnosis: &Diagnosis) -> Vec<Block> {
    let base = mind.base();
    if let Some(caution) = talk.held {
        let question = talk.safety_question(caution);
        talk.pending = Some(question.clone());
        return vec![
            Block::DrillsHeld,
            Block::Ask {
                question,
                value: None,
            },
        ];
    }
    if let Some(check) = talk.again.take() {
        let question = Question::Check(check);
        talk.pending = Some(question.clone());
        talk.questions += 1;
        return vec![Block::Ask {
            question,
            value: None,
        }];
    }
    if talk.questions < talk.questions_allowed
        && let Some(value) = &diagnosis.next_check
    {
        return vec![ask_check(talk, value)];
    }
    if let Some((cause, _)) = talk.prescribed
        && diagnosis
            .practice
            .as_ref()
            .is_some_and(|p| p.cause == cause)
    {
        return vec![Block::AlreadyPrescribed(cause)];
    }
    if diagnosis.focus().is_none() {
        return vec![Block::NothingToPractise];
    }
    // Little to go on and little to gain: better asked than changed, unless the answer is wanted now.
    let idle = |p: &Practice| {
        diagnosis.judgement.little_to_go_on
            && p.benefit.playable < LEAST_GAIN
            && talk.questions_allowed > 0
    };
    // Nobody asked, and hardly one golfer in five who tells this has it: better looked at first.
    let unlikely = |p: &Practice| {
        let chance = diagnosis
            .judgement
            .of(p.cause)
            .map_or(0.0, |c| c.probability);
        talk.questions_allowed > 0 && chance < LEAST_CHANCE
    };
    match diagnosis.practice.as_ref().filter(|p| !idle(p)) {
        Some(practice) if unlikely(practice) => {
            let look = look_next(base, talk, diagnosis);
            talk.pending = look.map(Question::Check);
            the_lie(base, diagnosis)
                .into_iter()
                .chain([Block::LookFirst(look)])
                .collect()
        }
        Some(practice) => match prescription(base, talk, diagnosis, practice) {
            Some(block) => {
                if let Block::Prescription { drill, count, .. } = &block {
                    talk.prescribed = Some((practice.cause, *drill));
                    talk.counted = *count;
                }
                the_lie(base, diagnosis)
                    .into_iter()
                    .chain([block])
                    .collect()
            }
            None => vec![Block::EasyOnly(practice.cause)],
        },
        None => vec![Block::NothingToPractise],
    }
}

/// The look that bears on the first cause named of those that nobody has looked for.
fn look_next(base: &KnowledgeBase, talk: &Talk, diagnosis: &Diagnosis) -> Option<CheckId> {
    let answered = talk.all_answers();
    let case = talk.case(base).0;
    let open = |check: &CheckId| {
        !talk.asked.contains(check)
            && answered.iter().all(|(c, _)| c != check)
            && can_be_looked_at(base, &case, *check)
    };
    worth_naming(base, &diagnosis.judgement)
        .iter()
        .filter_map(|c| base.cause(c.cause).check)
        .find(open)
}

/// A cause less likely than this is not practised unasked: it would be told as "about 1 in 10"
/// (elicited).
const LEAST_CHANCE: f64 = 0.15;

/// Playable shots in a hundred under which nothing is changed on little evidence (common practice).
const LEAST_GAIN: f64 = 0.75;

/// Puts a check.
pub(super) fn ask_check(talk: &mut Talk, value: &CheckValue) -> Block {
    let question = Question::Check(value.check);
    talk.pending = Some(question.clone());
    talk.questions += 1;
    Block::Ask {
        question,
        value: Some(Box::new(*value)),
    }
}

/// The reasoning of rules down to the golfer's words, for the numbers and flags of the focus.
pub(super) fn reasoning(
    base: &KnowledgeBase,
    talk: &Talk,
    places: &[usize],
    diagnosis: &Diagnosis,
    deep: bool,
) -> Vec<ReasonLine> {
    let mut out = Vec::new();
    let mut shown: BTreeSet<String> = BTreeSet::new();
    let trees = diagnosis
        .rows
        .iter()
        .filter(|r| r.pattern == diagnosis.focus)
        .filter(|r| CHAIN.contains(&base.quantity(r.quantity).id.as_str()))
        .filter_map(|r| match &r.origin {
            Origin::Derived(why) => Some(why),
            Origin::Said(_) => None,
        })
        .chain(
            diagnosis
                .flags
                .iter()
                .filter(|f| f.pattern == diagnosis.focus && f.holds)
                .filter(|f| {
                    base.find_effect(&f.slot).is_some() || base.find_sign(&f.slot).is_some()
                })
                .map(|f| &f.why),
        );
    for tree in trees {
        reason_lines(base, talk, places, tree, 0, deep, &mut shown, &mut out);
    }
    out
}

#[allow(
    clippy::too_many_arguments,
    reason = "one recursive walk with its state"
)]
fn reason_lines(
    base: &KnowledgeBase,
    talk: &Talk,
    places: &[usize],
    tree: &Derivation,
    depth: usize,
    deep: bool,
    shown: &mut BTreeSet<String>,
    out: &mut Vec<ReasonLine>,
) {
    let slot = base.program.slot_name(tree.fact.slot).to_owned();
    let plain = slot.strip_prefix("said_").unwrap_or(&slot).to_owned();
    if [
        "radius",
        "plane",
        "static_loft",
        "group",
        "family",
        "club",
        "lie",
    ]
    .contains(&plain.as_str())
    {
        return;
    }
    let key = format!("{plain}/{}", tree.fact.pattern.index());
    if shown.contains(&key) && depth == 0 {
        return;
    }
    let again = !shown.insert(key);
    let number = tree.number().and_then(|estimate| {
        base.find_quantity(&plain)
            .map(|quantity| (quantity, estimate.middle()))
    });
    let words = tree
        .told
        .first()
        .map(|finding| finding_words(talk, places, *finding));
    out.push(ReasonLine {
        depth,
        slot: plain,
        number,
        holds: tree.flag(),
        // Said once; the second time the name will do.
        rule: tree
            .rule
            .filter(|_| !again)
            .and_then(|r| base.program.rule(r))
            .map(|r| (r.id.clone(), r.because.clone())),
        words,
    });
    if again || (depth >= 3 && !deep) {
        return;
    }
    for premise in &tree.premises {
        reason_lines(base, talk, places, premise, depth + 1, deep, shown, out);
    }
}
