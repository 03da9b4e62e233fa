//! What is sound and yet worth a second look: entries that nothing uses, rules and symptoms that
//! nothing can reach, rules that contradict each other, texts that print badly.
//!
//! Takes entries that loaded without problems, with the base they made; gives [`Problem`]s of the
//! kinds that do not keep the knowledge from being used. Knows no golf: it follows references from
//! the words golfers use, through checks and rules, to what they reach.

use std::collections::BTreeSet;

use super::KnowledgeBase;
use super::files::{Read, Shapes};
use super::lexicon::Meaning;
use super::problem::ProblemKind;
use super::report::{Place0, Report};
use super::shapes::CautionLevel;
use crate::rules::{ConclusionSpec, ConditionSpec, OutcomeSpec, RuleSpec, TestSpec};
use crate::vocabulary::{AnswerId, ClubId, LieId, QuantityId, SymptomId};

/// The most words of a cue: more are not thought of in the time a swing takes.
const CUE_WORDS: usize = 8;
/// The fewest words that say how to look.
const HOW_WORDS: usize = 4;
/// No word is wider than this, so that every line can be broken.
const WIDEST_WORD: usize = 40;

/// Everything worth a look.
pub(super) fn lint(shapes: &Shapes<'_>, base: &KnowledgeBase, report: &mut Report) {
    unused(shapes, base, report);
    one_sided(shapes, base, report);
    thin_entries(shapes, base, report);
    texts(shapes, report);
    unreachable(shapes, base, report);
    contradictory(shapes, base, report);
}

fn each_unused<T>(
    sort: &'static str,
    read: &Read<'_, T>,
    report: &mut Report,
    used: impl Fn(&T, &Place0<'_>, usize) -> bool,
) {
    for (index, (shape, at)) in read.entries.iter().enumerate() {
        if !used(shape, at, index) {
            let id = at.id.clone();
            report.push(ProblemKind::Unused { sort, id }, &at.id, None, at);
        }
    }
}

fn unused(shapes: &Shapes<'_>, base: &KnowledgeBase, report: &mut Report) {
    let causes = || base.causes.iter();
    each_unused("drill", &shapes.drills, report, |_, _, index| {
        causes().any(|c| c.drills.iter().any(|d| d.index() == index))
            || base.drills.iter().nth(index).is_some_and(|d| d.children)
    });
    each_unused("check", &shapes.checks, report, |shape, _, index| {
        let asked = causes().any(|c| c.check.is_some_and(|k| k.index() == index));
        asked || !shape.tells.is_empty() || shape.finds.is_some()
    });
    each_unused("caution", &shapes.cautions, report, |shape, _, index| {
        let named = causes().any(|c| c.caution.is_some_and(|k| k.index() == index))
            || base
                .drills
                .iter()
                .any(|d| d.caution.is_some_and(|k| k.index() == index));
        named || shape.when != CautionLevel::Beside || !shape.says.is_empty()
    });
    let mut cited: BTreeSet<&str> = BTreeSet::new();
    macro_rules! cite {
        ($($table:ident),+) => {
            $(cited.extend(shapes.$table.entries.iter().filter_map(|(s, _)| s.source.as_deref()));)+
        };
    }
    cite!(
        groups, clubs, population, quantities, symptoms, effects, causes, checks, drills, cautions,
        answers, changes, limits, strengths, rules
    );
    cited.extend(shapes.lessons.entries.iter().flat_map(|(s, _)| s.sources()));
    each_unused("source", &shapes.sources, report, |shape, at, _| {
        cited.contains(at.id.as_str()) || !shape.backs.is_empty()
    });
}

/// Symptoms that name an opposite which does not name them.
fn one_sided(shapes: &Shapes<'_>, base: &KnowledgeBase, report: &mut Report) {
    for ((_, at), (place, symptom)) in shapes
        .symptoms
        .entries
        .iter()
        .zip(base.symptoms.iter().enumerate())
    {
        for other in symptom.opposite.iter().map(|id| base.symptom(*id)) {
            if !other.opposite.iter().any(|id| id.index() == place) {
                let kind = ProblemKind::NotMutual {
                    other: other.id.clone(),
                };
                report.push(kind, "opposite", None, at);
            }
        }
    }
}

fn thin(what: &'static str, needle: &str, at: &Place0<'_>, report: &mut Report) {
    report.push(ProblemKind::Thin { what }, needle, None, at);
}

fn thin_entries(shapes: &Shapes<'_>, base: &KnowledgeBase, report: &mut Report) {
    for ((shape, at), model) in shapes.causes.entries.iter().zip(&base.model.causes) {
        let moves = model
            .shifts
            .iter()
            .flatten()
            .any(|s| s.mean != 0.0 || s.sd > 0.0);
        if !moves && model.leads_to.is_empty() {
            thin("shift or link to another cause", &shape.id, at, report);
        }
        if !shape.looks_like.is_empty() && shape.told_apart.is_none() {
            thin("look that tells it apart", "looks_like", at, report);
        }
    }
    for (shape, at) in &shapes.checks.entries {
        if shape.how.split_whitespace().count() < HOW_WORDS {
            thin("way to look", "how", at, report);
        }
    }
    for (shape, at) in &shapes.cautions.entries {
        let triggered = !shape.says.is_empty() || !shape.parts.is_empty();
        if shape.when != CautionLevel::Beside && !triggered {
            thin("words that call for it", &shape.id, at, report);
        }
    }
    let rules = base.program.rules();
    for (shape, at) in &shapes.symptoms.entries {
        let told = shape.from.is_some() || !shape.tells.is_empty();
        if !told
            && !rules
                .iter()
                .any(|r| slots_of(&r.when).contains(shape.id.as_str()))
        {
            thin("`from`, `tells` or rule", &shape.id, at, report);
        }
    }
}

fn texts(shapes: &Shapes<'_>, report: &mut Report) {
    let mut cue = |text: &str, at: &Place0<'_>| {
        let words = text.split_whitespace().count();
        if words > CUE_WORDS {
            let (key, limit) = ("cue".to_owned(), CUE_WORDS);
            report.push(
                ProblemKind::TooManyWords { key, words, limit },
                "cue",
                None,
                at,
            );
        }
    };
    for (shape, at) in &shapes.causes.entries {
        cue(&shape.cue, at);
    }
    for (shape, at) in &shapes.drills.entries {
        cue(&shape.cue, at);
    }
    let mut wide = |key: &str, text: &str, at: &Place0<'_>| {
        for word in text.split_whitespace() {
            let width = word.chars().count();
            if width > WIDEST_WORD {
                let (key, limit) = (key.to_owned(), WIDEST_WORD);
                report.push(ProblemKind::TooWide { key, width, limit }, word, None, at);
            }
        }
    };
    for (s, at) in &shapes.causes.entries {
        for (key, text) in [
            ("is", &s.is),
            ("because", &s.because),
            ("cue", &s.cue),
            ("mistake", &s.mistake),
            ("but", &s.folk.but),
        ] {
            wide(key, text, at);
        }
    }
    for (s, at) in &shapes.checks.entries {
        wide("question", &s.question, at);
        wide("how", &s.how, at);
    }
    for (s, at) in &shapes.drills.entries {
        wide("how", &s.how, at);
        wide("mistake", &s.mistake, at);
    }
    for (s, at) in &shapes.cautions.entries {
        wide("text", &s.text, at);
    }
    for (s, at) in &shapes.answers.entries {
        wide("text", &s.text, at);
    }
}

/// The slots that conditions look at.
pub fn slots_of(conditions: &[ConditionSpec]) -> BTreeSet<&str> {
    fn add<'a>(conditions: &'a [ConditionSpec], out: &mut BTreeSet<&'a str>) {
        for condition in conditions {
            match condition {
                ConditionSpec::Slot { slot, .. }
                | ConditionSpec::Count { slot, .. }
                | ConditionSpec::Mean { slot, .. }
                | ConditionSpec::Same { slot, .. } => {
                    out.insert(slot);
                }
                ConditionSpec::Any(alternatives) => {
                    for alternative in alternatives {
                        add(alternative, out);
                    }
                }
                ConditionSpec::Difference { .. } | ConditionSpec::Different { .. } => {}
            }
        }
    }
    let mut out = BTreeSet::new();
    add(conditions, &mut out);
    out
}

/// What can come to be said or concluded: slots, and of flags which truth.
#[derive(Default)]
struct Reach {
    known: BTreeSet<String>,
    truths: BTreeSet<(String, bool)>,
}

impl Reach {
    fn flag(&mut self, slot: &str, truth: bool) -> bool {
        self.known.insert(slot.to_owned()) | self.truths.insert((slot.to_owned(), truth))
    }

    fn slot(&mut self, slot: &str) -> bool {
        self.known.insert(slot.to_owned())
    }

    /// True if the condition can ever hold.
    fn meets(&self, condition: &ConditionSpec) -> bool {
        match condition {
            ConditionSpec::Slot { slot, test, .. } => match test {
                TestSpec::Unknown | TestSpec::Lacks(_) => true,
                TestSpec::Flag(truth) => self.truths.contains(&(slot.clone(), *truth)),
                TestSpec::Known | TestSpec::Is(_) | TestSpec::Not(_) | TestSpec::Range(_) => {
                    self.known.contains(slot)
                }
            },
            ConditionSpec::Any(ways) => ways.iter().any(|all| self.meets_all(all)),
            ConditionSpec::Count { slot, range, .. } => {
                range.low.is_none() || self.known.contains(slot)
            }
            ConditionSpec::Mean { slot, .. } | ConditionSpec::Same { slot, .. } => {
                self.known.contains(slot)
            }
            ConditionSpec::Difference { .. } | ConditionSpec::Different { .. } => true,
        }
    }

    fn meets_all(&self, conditions: &[ConditionSpec]) -> bool {
        conditions.iter().all(|c| self.meets(c))
    }

    /// Adds what a rule concludes; true if that was new.
    fn conclude(&mut self, rule: &RuleSpec) -> bool {
        let mut new = false;
        for conclusion in &rule.then {
            if let ConclusionSpec::Set { slot, to, .. } = conclusion {
                new |= match to {
                    OutcomeSpec::Flag(truth) => self.flag(slot, *truth),
                    OutcomeSpec::Symbol(_)
                    | OutcomeSpec::Number(_)
                    | OutcomeSpec::Variable(_)
                    | OutcomeSpec::Computed { .. } => self.slot(slot),
                };
            }
        }
        new
    }
}

/// What golfers' words and checks reach by themselves.
#[derive(Default)]
struct Said {
    symptoms: BTreeSet<SymptomId>,
    quantities: BTreeSet<QuantityId>,
    clubs: BTreeSet<ClubId>,
    lies: BTreeSet<LieId>,
    answers: BTreeSet<AnswerId>,
}

fn said(base: &KnowledgeBase) -> Said {
    let mut out = Said::default();
    for entry in &base.lexicon.entries {
        match &entry.meaning {
            Meaning::Symptoms(words) => {
                out.symptoms
                    .extend(words.symptoms.iter().chain(&words.slight));
                out.lies.extend(words.lie);
            }
            Meaning::OneOf {
                symptoms, always, ..
            } => out.symptoms.extend(symptoms.iter().chain(always)),
            Meaning::Together { mean, .. } => out.symptoms.extend(mean),
            Meaning::Circumstance { good, bad } => out.symptoms.extend(good.iter().chain(bad)),
            Meaning::Quantity(words) => {
                out.quantities.insert(words.quantity);
                out.symptoms.extend(words.classes.iter().map(|c| c.symptom));
            }
            Meaning::Clubs { clubs, .. } => out.clubs.extend(clubs),
            Meaning::Numbered { clubs, .. } => out.clubs.extend(clubs.iter().map(|c| c.1)),
            Meaning::Lofts(clubs) => out.clubs.extend(clubs.iter().map(|c| c.2)),
            Meaning::Lie(lie) => {
                out.lies.insert(*lie);
            }
            Meaning::Topic(answer) => {
                out.answers.insert(*answer);
            }
            _ => {}
        }
    }
    out.symptoms
        .extend(base.model.checks.iter().filter_map(|c| c.finds));
    out
}

fn unreachable(shapes: &Shapes<'_>, base: &KnowledgeBase, report: &mut Report) {
    let said = said(base);
    let mut reach = Reach::default();
    for slot in [
        "group",
        "family",
        "club",
        "lie",
        "radius",
        "plane",
        "static_loft",
    ] {
        reach.slot(slot);
    }
    reach.flag("all_well", true);
    for symptom in &said.symptoms {
        let id = &base.symptom(*symptom).id;
        reach.flag(id, true);
        reach.flag(id, false);
    }
    for quantity in &said.quantities {
        let id = &base.quantity(*quantity).id;
        reach.slot(id);
        reach.slot(&format!("said_{id}"));
    }
    let rules = base.program.rules();
    loop {
        let mut new = false;
        for rule in rules {
            if reach.meets_all(&rule.when) {
                new |= reach.conclude(rule);
            }
        }
        if !new {
            break;
        }
    }
    let mut note = |sort: &'static str, at: &Place0<'_>| {
        let id = at.id.clone();
        report.push(ProblemKind::Unreachable { sort, id }, &at.id, None, at);
    };
    for (_, at) in &shapes.symptoms.entries {
        if !reach.known.contains(&at.id) {
            note("symptom", at);
        }
    }
    for (shape, at) in &shapes.rules.entries {
        let rule = rules.iter().find(|r| r.id == shape.id);
        if rule.is_some_and(|r| !reach.meets_all(&r.when)) {
            note("rule", at);
        }
    }
    for (index, (_, at)) in shapes.clubs.entries.iter().enumerate() {
        if !said.clubs.contains(&ClubId::from_index(index)) {
            note("club", at);
        }
    }
    for (index, (_, at)) in shapes.lies.entries.iter().enumerate() {
        if !said.lies.contains(&LieId::from_index(index)) {
            note("lie", at);
        }
    }
    for (index, (_, at)) in shapes.answers.entries.iter().enumerate() {
        if !said.answers.contains(&AnswerId::from_index(index)) {
            note("answer", at);
        }
    }
}

/// True if the two conclusions cannot both hold.
fn clash(a: &ConclusionSpec, b: &ConclusionSpec) -> bool {
    match (a, b) {
        (
            ConclusionSpec::Set { on, slot, to },
            ConclusionSpec::Set {
                on: other_on,
                slot: other_slot,
                to: other_to,
            },
        ) => {
            on == other_on
                && slot == other_slot
                && match (to, other_to) {
                    (OutcomeSpec::Flag(a), OutcomeSpec::Flag(b)) => a != b,
                    (OutcomeSpec::Symbol(a), OutcomeSpec::Symbol(b)) => a != b,
                    _ => false,
                }
        }
        (ConclusionSpec::Contradiction { .. }, _) | (_, ConclusionSpec::Contradiction { .. }) => {
            false
        }
    }
}

/// Rules that say the opposite of another whenever they fire: all conditions of the other are
/// among theirs. And rules that say the same thing under the same conditions.
fn contradictory(shapes: &Shapes<'_>, base: &KnowledgeBase, report: &mut Report) {
    let rules = base.program.rules();
    for (place, rule) in rules.iter().enumerate() {
        let Some((_, at)) = shapes.rules.entries.iter().find(|(_, at)| at.id == rule.id) else {
            continue;
        };
        for (other_place, other) in rules.iter().enumerate() {
            if place == other_place || !other.when.iter().all(|c| rule.when.contains(c)) {
                continue;
            }
            let other_id = || other.id.clone();
            let clashes = |a: &ConclusionSpec| other.then.iter().any(|b| clash(a, b));
            if rule.then.iter().any(clashes) {
                let kind = ProblemKind::ContradictoryRules { other: other_id() };
                report.push(kind, &at.id, None, at);
            } else if other_place < place
                && other.when.len() == rule.when.len()
                && other.then == rule.then
            {
                let kind = ProblemKind::SameRule { other: other_id() };
                report.push(kind, &at.id, None, at);
            }
        }
    }
}

/// Rules that no case fires, or that no case comes near without firing them.
pub(super) fn untried(
    shapes: &Shapes<'_>,
    base: &KnowledgeBase,
    tries: &[(usize, usize)],
    report: &mut Report,
) {
    for (rule, (fired, silent)) in base.program.rules().iter().zip(tries) {
        let Some((_, at)) = shapes.rules.entries.iter().find(|(_, at)| at.id == rule.id) else {
            continue;
        };
        for (missing, fires) in [(*fired == 0, true), (*silent == 0, false)] {
            if missing {
                report.push(ProblemKind::RuleWithoutCase { fires }, &at.id, None, at);
            }
        }
    }
}
