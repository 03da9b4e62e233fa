//! From what was found to what the club did and what most likely caused it: one function, one
//! result.
//!
//! Takes a [`Case`] (findings about clubs and lies, answers to checks, hints) and gives a
//! [`Diagnosis`]: facts with their justifications (rules), the numbers of arc and impact with their
//! ranges, contradictions, ranked causes, what to ask and what to practise (simulated golfers).
//!
//! One physical fact counts once: numbers that the simulated golfers have (low point, attack, path
//! ...) are weighed as they were said; numbers derived from them by rules are shown but not weighed
//! again. A number derived from things the golfers do not have (start direction, launch, the length
//! of a mark) is weighed in its derived form. Same case, same diagnosis, bit for bit, whatever was
//! diagnosed before. Knows no entry by name and makes no sentence.

mod ground;
mod lies;
mod telling;
mod together;
mod weighing;

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::causes::model::Evidence;
use crate::causes::{
    Benefit, CausesError, CheckValue, Judgement, Practice, RankedCause, Simulation,
};
use crate::geometry::consistency::{ConsistencyRule, Disagreement, Measured, disagreements};
use crate::knowledge::{Cost, KnowledgeBase};
use crate::quantity::{Amount, Estimate};
use crate::rules::{Fact, RuleIndex, State, Value};
pub use ground::{can_be_looked_at, without_turf};
use lies::lies_by_what_they_explain;
use telling::{ToldRules, flags, rows, rule_clashes, tell_rules};
use together::made_to_add_up;
use weighing::evidence;

use crate::vocabulary::{CauseId, CheckId, ClubId, GroupId, LieId, QuantityId, SymptomId};

/// The clubs and the lie that findings are about.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pattern {
    /// The club, if one was named.
    pub club: Option<ClubId>,
    /// The club group that stands for them.
    pub group: GroupId,
    /// False if no club was named and the group is only the usual one.
    pub said: bool,
    /// All groups named, where several were ("irons").
    pub groups: Vec<GroupId>,
    /// The lie, if one was named.
    pub lie: Option<LieId>,
}

/// What one finding states.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// Something seen, heard or felt; with how often, if said.
    Symptom {
        /// Which.
        symptom: SymptomId,
        /// True, denied, or not sure.
        present: Option<bool>,
        /// Share of shots.
        often: Option<f64>,
    },
    /// A number: the mean with the error of the words.
    Number {
        /// Which quantity.
        quantity: QuantityId,
        /// Value in the house's signs.
        value: Estimate,
        /// How many shots it stands for.
        shots: u16,
    },
    /// All is well with these clubs.
    AllWell,
}

/// One finding. Its place in [`Case::findings`] is its token everywhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Clubs and lie.
    pub pattern: Pattern,
    /// What it states.
    pub what: What,
    /// The finding whose words say the same thing (a number and the symptom it amounts to).
    pub same_words_as: Option<usize>,
}

/// All that is known of one golfer's complaint.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Case {
    /// Findings in the order told.
    pub findings: Vec<Finding>,
    /// Checks answered yes or no.
    pub answers: Vec<(CheckId, bool)>,
    /// Checks already put, whatever came back; never put again.
    pub asked: Vec<CheckId>,
    /// The golfer's own diagnosis, with its weight.
    pub hints: Vec<(CauseId, f64)>,
    /// Causes that the golfer's words sound like, with the weight of that.
    pub sounds: Vec<(CauseId, f64)>,
    /// Practice that helped, or did not.
    pub practised: Vec<(CauseId, bool)>,
    /// The pattern to speak of; the one with most findings if none is given.
    pub focus: Option<Pattern>,
    /// Check costs above this are not put (a golfer without a camera).
    pub dearest_check: Option<f64>,
}

/// Where a piece of evidence came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Token {
    /// A finding.
    Finding(usize),
    /// An answer.
    Answer(usize),
    /// What the ball lay on, as stated.
    Lie(LieId),
    /// A hint.
    Hint(usize),
    /// What the words sound like.
    Sound(usize),
    /// A practice result.
    Practised(usize),
}

/// Why a fact holds, as a tree: what it is, the rule that concluded it, what that rested on.
#[derive(Debug, Clone, PartialEq)]
pub struct Derivation {
    /// The fact.
    pub fact: Fact,
    /// The findings it was told by; empty for a fact that rules concluded, and for what everybody
    /// knows of a club.
    pub told: Vec<usize>,
    /// True if it was told rather than concluded.
    pub is_told: bool,
    /// The rule that concluded it.
    pub rule: Option<RuleIndex>,
    /// What the rule rested on.
    pub premises: Vec<Derivation>,
}

/// The token of what is known of a club without being said.
const NOBODY: u32 = u32::MAX;

impl Derivation {
    /// The findings the tree rests on, each once, in order.
    pub fn findings(&self) -> Vec<usize> {
        let mut out = self.told.clone();
        for premise in &self.premises {
            out.extend(premise.findings());
        }
        out.sort_unstable();
        out.dedup();
        out
    }

    /// True if the slot of the pattern is among what the tree rests on.
    fn rests_on(&self, other: &Self) -> bool {
        self.premises.iter().any(|p| {
            (p.fact.slot == other.fact.slot && p.fact.pattern == other.fact.pattern)
                || p.rests_on(other)
        })
    }

    /// The number, if the fact is one.
    pub const fn number(&self) -> Option<Estimate> {
        match self.fact.value {
            Value::Number(number) => Some(number),
            Value::Flag(_) | Value::Symbol(_) => None,
        }
    }

    /// The truth, if the fact is a flag.
    pub const fn flag(&self) -> Option<bool> {
        match self.fact.value {
            Value::Flag(flag) => Some(flag),
            Value::Number(_) | Value::Symbol(_) => None,
        }
    }
}

/// Where a number comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Origin {
    /// Said by the golfer: the finding.
    Said(usize),
    /// Worked out by rules.
    Derived(Derivation),
}

/// A number of the arc or the impact.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Index into [`Diagnosis::patterns`].
    pub pattern: usize,
    /// Which quantity.
    pub quantity: QuantityId,
    /// Its value with error.
    pub value: Estimate,
    /// Where it comes from.
    pub origin: Origin,
}

/// A flag that rules set: an effect, a reading of a combination, a chain.
#[derive(Debug, Clone, PartialEq)]
pub struct Flag {
    /// Index into [`Diagnosis::patterns`].
    pub pattern: usize,
    /// The slot's name, an id of the knowledge.
    pub slot: String,
    /// Whether it holds.
    pub holds: bool,
    /// Why.
    pub why: Derivation,
}

/// Two things that cannot both be so.
#[derive(Debug, Clone, PartialEq)]
pub enum Clash {
    /// Two findings, or two conclusions, found by a rule: the names of the slots, and the findings
    /// they rest on.
    Slots {
        /// Index into [`Diagnosis::patterns`].
        pattern: usize,
        /// The slots.
        between: (String, String),
        /// The findings.
        findings: Vec<usize>,
        /// Rule ids.
        rules: Vec<String>,
    },
    /// Two measured numbers that geometry or mechanics do not allow together.
    Numbers {
        /// Index into [`Diagnosis::patterns`].
        pattern: usize,
        /// Which.
        disagreement: Disagreement,
    },
    /// The same symptom of the same shots, said and denied.
    Said {
        /// The findings.
        findings: (usize, usize),
    },
}

/// The result.
#[derive(Debug, Clone)]
pub struct Diagnosis {
    /// The patterns spoken of, in the order told.
    pub patterns: Vec<Pattern>,
    /// The one the answer is about.
    pub focus: usize,
    /// Numbers said and worked out.
    pub rows: Vec<Row>,
    /// The findings that are numbers, by their places.
    pub numbers: Vec<usize>,
    /// Flags that rules set.
    pub flags: Vec<Flag>,
    /// What disagrees.
    pub clashes: Vec<Clash>,
    /// The evidence as weighed, with where each piece came from.
    pub evidence: Vec<(Token, Evidence)>,
    /// Ranked causes, ranges, effects, rates.
    pub judgement: Judgement,
    /// The check worth putting, unless none would change the practice.
    pub next_check: Option<CheckValue>,
    /// What to practise.
    pub practice: Option<Practice>,
    /// What being rid of the likeliest cause would gain, where something else is practised.
    pub passed_over: Option<Benefit>,
}

impl Diagnosis {
    /// The pattern spoken of.
    pub fn focus(&self) -> Option<&Pattern> {
        self.patterns.get(self.focus)
    }

    /// The number of this quantity for the pattern in focus.
    pub fn row(&self, quantity: QuantityId) -> Option<&Row> {
        self.rows
            .iter()
            .find(|r| r.pattern == self.focus && r.quantity == quantity)
    }
}

/// The knowledge and the simulated golfers, ready to judge cases.
#[derive(Debug, Clone)]
pub struct Mind {
    base: Arc<KnowledgeBase>,
    simulation: Simulation,
}

impl Mind {
    /// Ready to judge with this knowledge.
    ///
    /// # Errors
    /// [`CausesError`] if the knowledge describes no golfers.
    pub fn new(base: Arc<KnowledgeBase>) -> Result<Self, CausesError> {
        let simulation = Simulation::new(base.model.clone())?;
        Ok(Self { base, simulation })
    }

    /// The knowledge.
    pub const fn base(&self) -> &Arc<KnowledgeBase> {
        &self.base
    }

    /// The simulated golfers.
    pub const fn simulation(&mut self) -> &mut Simulation {
        &mut self.simulation
    }
}

/// The pattern taken where no club was named: the middle group of the table.
pub fn usual_pattern(base: &KnowledgeBase) -> Pattern {
    let group = base
        .groups
        .iter()
        .position(|g| g.id == base.usual_group)
        .map_or(GroupId::from_index(0), GroupId::from_index);
    Pattern {
        club: None,
        group,
        said: false,
        groups: vec![group],
        lie: None,
    }
}

/// What the rules make of a case: everything told and everything that follows.
pub fn reasoned(base: &KnowledgeBase, case: &Case) -> State {
    tell_rules(base, case, &patterns(base, case)).state
}

/// What disagrees in a case, without judging it.
pub fn clashes(base: &KnowledgeBase, case: &Case) -> Vec<Clash> {
    let patterns = patterns(base, case);
    clashes_of(base, case, &patterns, &tell_rules(base, case, &patterns))
}

fn clashes_of(
    base: &KnowledgeBase,
    case: &Case,
    patterns: &[Pattern],
    told: &ToldRules,
) -> Vec<Clash> {
    let mut clashes = rule_clashes(base, told);
    clashes.extend(number_clashes(base, case, patterns));
    clashes.extend(said_and_denied(case));
    clashes
}

/// Judges a case.
pub fn diagnose(mind: &mut Mind, case: &Case) -> Diagnosis {
    let base = Arc::clone(&mind.base);
    let patterns = patterns(&base, case);
    let focus = focus(&patterns, case);
    let told = tell_rules(&base, case, &patterns);
    let mut rows = rows(&base, case, &patterns, &told);
    let flags = flags(&base, &told, patterns.len());
    let clashes = clashes_of(&base, case, &patterns, &told);
    let evidence = evidence(&base, case, &patterns, &rows);
    for pattern in 0..patterns.len() {
        made_to_add_up(&base, &mut rows, pattern);
    }
    let pieces: Vec<Evidence> = evidence.iter().map(|(_, e)| e.clone()).collect();
    let group = patterns
        .get(focus)
        .map_or_else(|| usual_pattern(&base).group, |p| p.group);
    let mut judgement = mind.simulation.judge(&pieces, group);
    lies_by_what_they_explain(mind, &evidence, group, &mut judgement);
    judgement
        .causes
        .sort_by_key(|ranked| !worth_naming(&base, case, &pieces, ranked, group));
    let in_the_running: Vec<CauseId> = judgement
        .causes
        .iter()
        .enumerate()
        .filter(|(place, ranked)| *place < ALWAYS_ASKED || ranked.at_work >= ASKED_AT_WORK)
        .map(|(_, ranked)| ranked.cause)
        .collect();
    // What the shots show tells of every cause; when it happens, only of some.
    let shows = |symptom: SymptomId| {
        base.model.symptoms.get(symptom.index()).is_some_and(|m| {
            m.seen.is_some() || m.tells.iter().any(|(c, ..)| in_the_running.contains(c))
        })
    };
    let may_ask: Vec<CheckId> = (0..base.checks.len())
        .map(CheckId::from_index)
        .filter(|id| !case.asked.contains(id) && !case.answers.iter().any(|(c, _)| c == id))
        .filter(|id| can_be_looked_at(&base, case, *id))
        // What the golfer has looked at already is as good as answered.
        .filter(|id| {
            let tells = base.model.checks.get(id.index()).map(|c| &c.tells);
            // What was seen leaves no doubt of the answer to this one.
            let follows = |cause: &CauseId| {
                let mut told = tells.into_iter().flatten();
                told.any(|(c, yes, _)| c == cause && !(0.05..0.9).contains(yes))
            };
            let looked_at = |(cause, weight): &(CauseId, f64)| {
                weight.abs() >= AS_GOOD_AS_ANSWERED
                    && (base.cause(*cause).check == Some(*id) || *weight > 0.0 && follows(cause))
            };
            !case.hints.iter().any(looked_at)
        })
        .filter(|id| {
            let check = base.model.checks.get(id.index());
            check.is_some_and(|c| {
                case.dearest_check.is_none_or(|dearest| c.cost <= dearest)
                    && (c.groups.is_empty() || c.groups.contains(&group))
                    && (c.tells.is_empty() && c.finds.is_some_and(shows)
                        || c.tells.iter().any(|(cause, _, _)| in_the_running.contains(cause))
                    // What the ball lay on is the golfer's to say, not ours to guess at.
                    && !c.tells.iter().all(|(cause, _, _)| {
                        base.model.causes.get(cause.index()).is_some_and(|m| m.condition)
                    }))
            })
        })
        .collect();
    let next_check = guess_check(mind, case, &judgement, group)
        .or_else(|| mind.simulation.next_check(&judgement, &may_ask));
    let practice = mind.simulation.practice(&judgement);
    let leader = passed_over(mind, &judgement, practice.as_ref());
    Diagnosis {
        patterns,
        focus,
        rows,
        numbers: (0..case.findings.len())
            .filter(|i| {
                let finding = case.findings.get(*i);
                finding.is_some_and(|f| matches!(f.what, What::Number { .. }))
            })
            .collect(),
        flags,
        clashes,
        evidence,
        judgement,
        next_check,
        practice,
        passed_over: leader,
    }
}

/// What being rid of the likeliest cause would gain, where something else is practised.
fn passed_over(mind: &Mind, judgement: &Judgement, practice: Option<&Practice>) -> Option<Benefit> {
    let condition = |c: CauseId| {
        let causes = &mind.base().model.causes;
        causes.get(c.index()).is_some_and(|m| m.condition)
    };
    let leader = judgement.causes.iter().find(|r| !condition(r.cause))?.cause;
    let practice = practice?;
    let other = practice.cause != leader && practice.instead_of != Some(leader);
    other
        .then(|| mind.simulation.benefits(judgement, &[leader]).pop())
        .flatten()
}

/// The check of what the golfer suspects: somebody with an idea of the cause wants to know about that
/// first. Of several causes that the words may mean it is the likeliest; none if that one's check was
/// put already, needs a camera or a device, or cannot tell anything.
fn guess_check(
    mind: &Mind,
    case: &Case,
    judgement: &Judgement,
    group: GroupId,
) -> Option<CheckValue> {
    let base = mind.base();
    let guessed = |c: CauseId| {
        let mut hints = case.hints.iter().chain(&case.sounds);
        hints.any(|(h, weight)| *h == c && (0.0..AS_GOOD_AS_ANSWERED).contains(weight))
    };
    let likeliest = judgement
        .causes
        .iter()
        .map(|r| r.cause)
        .find(|c| guessed(*c))?;
    let check = base.cause(likeliest).check?;
    let asked = base.model.checks.get(check.index())?;
    let open = base.check(check).cost <= Cost::Look
        && !case.asked.contains(&check)
        && can_be_looked_at(base, case, check)
        && case.answers.iter().all(|(c, _)| *c != check)
        && case
            .dearest_check
            .is_none_or(|dearest| asked.cost <= dearest)
        && (asked.groups.is_empty() || asked.groups.contains(&group));
    if !open {
        return None;
    }
    let values = mind.simulation.checks(judgement, &[check]);
    values.into_iter().find(|v| v.bits > 0.0)
}

/// This many leading causes may always be asked about, and of the others those that are at work
/// with at least this chance: a question about a cause that nobody would name next reads as idle.
const ALWAYS_ASKED: usize = 4;
/// A hint of this weight says what the cause's own check would say.
const AS_GOOD_AS_ANSWERED: f64 = 1.5;
const ASKED_AT_WORK: f64 = 0.05;

/// How far a condition of the ground must be at work before it is named unasked.
const CONDITION_AT_WORK: f64 = 0.15;

/// False for causes that move nothing with these clubs and that nobody spoke of, and for lies that
/// nobody stated and that hardly anything points at.
fn worth_naming(
    base: &KnowledgeBase,
    case: &Case,
    evidence: &[Evidence],
    ranked: &RankedCause,
    group: GroupId,
) -> bool {
    let Some(model) = base.model.causes.get(ranked.cause.index()) else {
        return false;
    };
    let spoken_of = case
        .hints
        .iter()
        .chain(&case.sounds)
        .any(|(c, w)| *c == ranked.cause && *w > 0.0)
        || evidence.iter().any(|e| match e {
            Evidence::Known { cause, present } => *cause == ranked.cause && *present,
            Evidence::Answer { check, yes } => {
                let tells = base.model.checks.get(check.index());
                *yes && tells.is_some_and(|t| t.tells.iter().any(|(c, _, _)| *c == ranked.cause))
            }
            Evidence::Symptom {
                symptom, present, ..
            } => {
                let tells = base.model.symptoms.get(symptom.index());
                *present
                    && tells.is_some_and(|s| {
                        s.tells
                            .iter()
                            .any(|(c, ratio)| *c == ranked.cause && *ratio > 1.0)
                    })
            }
            Evidence::Unsure { .. }
            | Evidence::Measured { .. }
            | Evidence::Hint { .. }
            | Evidence::Practised { .. } => false,
        });
    if spoken_of {
        return true;
    }
    if model.condition {
        return ranked.at_work >= CONDITION_AT_WORK;
    }
    let moves = |cause: CauseId| {
        base.model
            .causes
            .get(cause.index())
            .and_then(|c| c.shifts.get(group.index()))
            .is_some_and(|shifts| !shifts.is_empty())
    };
    moves(ranked.cause) || model.leads_to.iter().any(|(c, _)| moves(*c))
}

fn patterns(base: &KnowledgeBase, case: &Case) -> Vec<Pattern> {
    let mut out: Vec<Pattern> = Vec::new();
    for finding in &case.findings {
        if !out.contains(&finding.pattern) {
            out.push(finding.pattern.clone());
        }
    }
    if let Some(focus) = &case.focus
        && !out.contains(focus)
    {
        out.push(focus.clone());
    }
    if out.is_empty() {
        out.push(usual_pattern(base));
    }
    out
}

/// The pattern with most to explain; the one told first among equals.
fn focus(patterns: &[Pattern], case: &Case) -> usize {
    if let Some(focus) = &case.focus
        && let Some(index) = patterns.iter().position(|p| p == focus)
    {
        return index;
    }
    let weight = |pattern: &Pattern| -> usize {
        case.findings
            .iter()
            .filter(|f| f.pattern == *pattern)
            .map(|f| match f.what {
                What::Symptom {
                    present: Some(true),
                    ..
                } => 2,
                What::Number { .. } => 1,
                What::Symptom { .. } | What::AllWell => 0,
            })
            .sum()
    };
    let mut best = (0, 0);
    for (index, pattern) in patterns.iter().enumerate() {
        let w = weight(pattern);
        if w > best.1 {
            best = (index, w);
        }
    }
    best.0
}

fn number_clashes(base: &KnowledgeBase, case: &Case, patterns: &[Pattern]) -> Vec<Clash> {
    let mut out = Vec::new();
    for (index, pattern) in patterns.iter().enumerate() {
        let mut said: BTreeMap<&str, Amount> = BTreeMap::new();
        for finding in case.findings.iter().filter(|f| f.pattern == *pattern) {
            if let What::Number {
                quantity, value, ..
            } = finding.what
            {
                said.insert(&base.quantity(quantity).id, value.middle());
            }
        }
        // The plane of the club stands where none was told: path and swing direction are held against
        // each other over it.
        let group = base.group(pattern.group);
        let plane = pattern.club.map_or(group.plane, |c| base.club(c).plane);
        said.entry("plane").or_insert_with(|| plane.into());
        let measured = Measured::from_named(said);
        // On a slope a device and the turf count from different grounds.
        let sloped = lies::moves_low_point(base, pattern);
        let by_ground = |d: &Disagreement| {
            matches!(
                d.rule,
                ConsistencyRule::LowPointSign | ConsistencyRule::LowPointSize
            )
        };
        out.extend(
            disagreements(&measured)
                .into_iter()
                .filter(|d| !(sloped && by_ground(d)))
                .map(|disagreement| Clash::Numbers {
                    pattern: index,
                    disagreement,
                }),
        );
    }
    out
}

fn said_and_denied(case: &Case) -> Vec<Clash> {
    let mut out = Vec::new();
    for (i, a) in case.findings.iter().enumerate() {
        for (j, b) in case.findings.iter().enumerate().skip(i + 1) {
            if a.pattern != b.pattern {
                continue;
            }
            if let (
                What::Symptom {
                    symptom: s,
                    present: Some(p),
                    ..
                },
                What::Symptom {
                    symptom: t,
                    present: Some(q),
                    ..
                },
            ) = (a.what, b.what)
                && s == t
                && p != q
            {
                out.push(Clash::Said { findings: (i, j) });
            }
        }
    }
    out
}
