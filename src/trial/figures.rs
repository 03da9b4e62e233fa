//! How often was it right? Counts over played cases, with 95 % intervals, by theme, writer, family
//! of causes and club group, and what no case reaches.

use std::collections::BTreeMap;

use super::Outcome;
use crate::knowledge::{KnowledgeBase, WrittenCase};
use crate::vocabulary::{CauseId, GroupId};

/// Hits among tries, with a 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Hits {
    /// How many were right.
    pub hits: usize,
    /// Of how many.
    pub of: usize,
}

impl Hits {
    fn count(&mut self, hit: bool) {
        self.hits += usize::from(hit);
        self.of += 1;
    }

    /// The share; 0 of nothing.
    pub fn share(self) -> f64 {
        if self.of == 0 {
            return 0.0;
        }
        self.hits as f64 / self.of as f64
    }

    /// The 95 % interval of the share.
    ///
    /// Source: published: Wilson 1927, Probable inference, the law of succession, and statistical
    /// inference, J Am Stat Assoc 22:209-212.
    ///
    /// ```
    /// use swingwhy::trial::Hits;
    /// let (low, high) = Hits { hits: 8, of: 10 }.interval();
    /// assert!((low - 0.490).abs() < 0.001 && (high - 0.943).abs() < 0.001);
    /// ```
    pub fn interval(self) -> (f64, f64) {
        if self.of == 0 {
            return (0.0, 1.0);
        }
        let (n, p, z) = (self.of as f64, self.share(), 1.959_964);
        let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
        let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
        ((middle - half).max(0.0), (middle + half).min(1.0))
    }
}

/// How a set of cases went.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tally {
    /// An accepted cause led.
    pub first: Hits,
    /// An accepted cause was among the first three.
    pub three: Hits,
    /// A forbidden cause led.
    pub forbidden: Hits,
    /// Questions put, over all cases.
    pub questions: usize,
}

impl Tally {
    fn count(&mut self, case: &WrittenCase, outcome: &Outcome) {
        if case.first.is_empty() {
            return;
        }
        self.first.count(outcome.first_accepted(case));
        self.three.count(outcome.three_accepted(case));
        self.forbidden.count(outcome.forbidden_leads(case));
        self.questions += outcome.questions;
    }

    /// Questions a case.
    pub fn mean_questions(&self) -> f64 {
        self.questions as f64 / self.first.of.max(1) as f64
    }
}

/// Leading causes with a probability in one range: how sure, and how often accepted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sure {
    /// From this probability on.
    pub from: f64,
    /// Sum of the probabilities.
    sum: f64,
    /// Accepted, of how many.
    pub accepted: Hits,
}

impl Sure {
    /// The mean probability of the leading causes.
    pub fn mean(&self) -> f64 {
        self.sum / self.accepted.of.max(1) as f64
    }
}

/// Lower ends of the ranges of probability.
const SURE_FROM: [f64; 5] = [0.0, 0.2, 0.4, 0.6, 0.8];

/// Everything about a run over cases.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Figures {
    /// All cases.
    pub all: Tally,
    /// Something was judged.
    pub answered: Hits,
    /// An effect asked for was found.
    pub effect: Hits,
    /// The symptoms asked for were read; cases that ask for some.
    pub findings: Hits,
    /// The caution was the one wanted.
    pub caution: Hits,
    /// The question was one wanted; cases that name some.
    pub check: Hits,
    /// By the file the case stands in.
    pub themes: BTreeMap<String, Tally>,
    /// By who wrote it.
    pub writers: BTreeMap<String, Tally>,
    /// By the family of the first accepted cause.
    pub families: BTreeMap<String, Tally>,
    /// By the club group of the golfer's words; none where no club was named.
    pub groups: BTreeMap<Option<GroupId>, Tally>,
    /// How sure against how often accepted.
    pub sure: Vec<Sure>,
    /// For each cause: cases that accept it, cases in which it led, in which it came second.
    pub causes: Vec<(usize, usize, usize)>,
    /// For each rule: cases in which it fired, and in which it came near and stayed silent.
    pub rules: Vec<(usize, usize)>,
}

/// The figures of a run.
pub fn figures(base: &KnowledgeBase, cases: &[WrittenCase], outcomes: &[Outcome]) -> Figures {
    let mut out = Figures {
        sure: SURE_FROM
            .iter()
            .map(|&from| Sure {
                from,
                ..Sure::default()
            })
            .collect(),
        causes: vec![(0, 0, 0); base.causes.len()],
        rules: vec![(0, 0); base.program.rules().len()],
        ..Figures::default()
    };
    for (case, outcome) in cases.iter().zip(outcomes) {
        out.all.count(case, outcome);
        out.answered.count(outcome.answered);
        if !case.effects.is_empty() {
            out.effect.count(outcome.effect_found(case));
        }
        out.caution.count(outcome.caution_right(case));
        if !case.findings.is_empty() {
            out.findings.count(outcome.findings_read(case));
        }
        if !case.asks.is_empty() {
            out.check.count(outcome.check_right(case));
        }
        let family = case.first.first().map(|c| base.cause(*c).family.clone());
        for (table, key) in [
            (&mut out.themes, case.theme.clone()),
            (&mut out.writers, case.by.clone()),
            (&mut out.families, family.unwrap_or_default()),
        ] {
            table.entry(key).or_default().count(case, outcome);
        }
        let group = out.groups.entry(outcome.group).or_default();
        group.count(case, outcome);
        for cause in &case.first {
            bump(&mut out.causes, *cause, |c| c.0 += 1);
        }
        let mut leaders = outcome.ranked.iter();
        if let Some((cause, p)) = leaders.next() {
            bump(&mut out.causes, *cause, |c| c.1 += 1);
            if let Some(sure) = out.sure.iter_mut().rev().find(|s| *p >= s.from)
                && !case.first.is_empty()
            {
                sure.sum += p;
                sure.accepted.count(outcome.first_accepted(case));
            }
        }
        if let Some((cause, _)) = leaders.next() {
            bump(&mut out.causes, *cause, |c| c.2 += 1);
        }
        for rule in &outcome.fired {
            if let Some(n) = out.rules.get_mut(rule.index()) {
                n.0 += 1;
            }
        }
        for rule in &outcome.silent {
            if let Some(n) = out.rules.get_mut(rule.index()) {
                n.1 += 1;
            }
        }
    }
    out
}

fn bump(
    causes: &mut [(usize, usize, usize)],
    cause: CauseId,
    by: impl Fn(&mut (usize, usize, usize)),
) {
    if let Some(counts) = causes.get_mut(cause.index()) {
        by(counts);
    }
}
