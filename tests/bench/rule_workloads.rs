//! The workloads of the rule benchmark, made from fixed seeds, with their results by an evaluator
//! of its own, and written out for the anchors.
//!
//! *Diagnosis*: N rules in 6 layers with 3 conditions each. Layer 1 tests numbers of base slots
//! (at least, at most, or a band 40 wide on 0..100); a higher layer needs one conclusion of the
//! layer below, one number, and one of either kind. A session tells 20 numbers, of which one chain
//! of rules through all layers is planted, settles, takes back one number under that chain, and
//! settles again. *Sparse*: the base slots grow with N; *dense*: there are 60; *cyclic*: dense, and
//! 15 % of the rules above layer 1 conclude something of a lower layer, half of them the very thing
//! they need.
//!
//! *Closure*: which node of a graph reaches which.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

pub(crate) const DEPTH: usize = 6;
pub(crate) const CONDITIONS: usize = 3;
pub(crate) const TOLD: usize = 20;
const VALUES: usize = 3;

/// Marsaglia's xorshift with 64 bits of state (Marsaglia 2003), multiplied at the end.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    pub(crate) fn below(&mut self, n: usize) -> usize {
        ((self.next() >> 33) % n as u64) as usize
    }

    /// A number with one decimal.
    fn between(&mut self, low: f64, high: f64) -> f64 {
        let tenths = ((high - low) * 10.0).round() as usize;
        ((low * 10.0).round() + self.below(tenths + 1) as f64) / 10.0
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Shape {
    Sparse,
    Dense,
    Cyclic,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Condition {
    /// The number of a base slot lies between.
    Number { slot: usize, low: f64, high: f64 },
    /// A derived slot has this value.
    Derived { slot: usize, value: usize },
}

#[derive(Debug, Clone)]
pub(crate) struct Rule {
    layer: usize,
    pub(crate) conditions: Vec<Condition>,
    pub(crate) slot: usize,
    pub(crate) value: usize,
    feeds_back: bool,
}

pub(crate) struct Session {
    pub(crate) told: Vec<(usize, f64)>,
    pub(crate) taken_back: usize,
    /// How many things are derived, before and after taking back.
    pub(crate) derived: [usize; 2],
}

pub(crate) struct Diagnosis {
    pub(crate) name: String,
    pub(crate) base_slots: usize,
    pub(crate) derived_slots: usize,
    pub(crate) rules: Vec<Rule>,
    pub(crate) sessions: Vec<Session>,
}

pub(crate) const VALUE_NAMES: [&str; VALUES] = ["v1", "v2", "v3"];

impl Diagnosis {
    pub(crate) fn new(rules: usize, shape: Shape, sessions: usize) -> Self {
        let mut dice = Dice::new(20_240 + rules as u64);
        let base_slots = match shape {
            Shape::Sparse => (rules / 5).max(60),
            Shape::Dense | Shape::Cyclic => 60,
        };
        let mut this = Self {
            name: format!("{rules} {shape:?}").to_lowercase(),
            base_slots,
            derived_slots: 0,
            rules: Vec::new(),
            sessions: Vec::new(),
        };
        let mut layers: Vec<Vec<(usize, usize)>> = Vec::new();
        for layer in 0..DEPTH {
            let count = rules / DEPTH + usize::from(layer < rules % DEPTH);
            let own_slots = (count.div_ceil(5)).max(5);
            let mut out = BTreeSet::new();
            for _ in 0..count {
                let rule = this.rule(&mut dice, layer, own_slots, &layers);
                out.insert((rule.slot, rule.value));
                this.rules.push(rule);
            }
            this.derived_slots += own_slots;
            layers.push(out.into_iter().collect());
        }
        if shape == Shape::Cyclic {
            this.feed_back(&mut dice, &layers);
        }
        let tops: Vec<usize> = (0..this.rules.len())
            .filter(|&r| this.rules[r].layer == DEPTH - 1)
            .collect();
        let mut tries = 0;
        while this.sessions.len() < sessions && tries < 1000 * sessions {
            tries += 1;
            if let Some(session) = this.session(&mut dice, &tops) {
                this.sessions.push(session);
            }
        }
        this
    }

    fn rule(
        &self,
        dice: &mut Dice,
        layer: usize,
        own_slots: usize,
        layers: &[Vec<(usize, usize)>],
    ) -> Rule {
        let mut conditions: Vec<Condition> = Vec::new();
        let number = |dice: &mut Dice, conditions: &mut Vec<Condition>| {
            loop {
                let slot = dice.below(self.base_slots);
                let used =
                    |c: &Condition| matches!(c, Condition::Number { slot: s, .. } if *s == slot);
                if conditions.iter().any(used) {
                    continue;
                }
                let (low, high) = match dice.below(3) {
                    0 => (dice.between(25.0, 75.0), f64::INFINITY),
                    1 => (f64::NEG_INFINITY, dice.between(25.0, 75.0)),
                    _ => {
                        let low = dice.between(0.0, 60.0);
                        (low, low + 40.0)
                    }
                };
                conditions.push(Condition::Number { slot, low, high });
                return;
            }
        };
        if layer > 0 {
            let (slot, value) = layers[layer - 1][dice.below(layers[layer - 1].len())];
            conditions.push(Condition::Derived { slot, value });
            number(dice, &mut conditions);
            if dice.below(2) == 0 {
                number(dice, &mut conditions);
            } else {
                let from = &layers[dice.below(layer)];
                let (slot, value) = from[dice.below(from.len())];
                let used =
                    |c: &Condition| matches!(c, Condition::Derived { slot: s, .. } if *s == slot);
                if conditions.iter().any(used) {
                    number(dice, &mut conditions);
                } else {
                    conditions.push(Condition::Derived { slot, value });
                }
            }
        }
        while conditions.len() < CONDITIONS {
            number(dice, &mut conditions);
        }
        Rule {
            layer,
            conditions,
            slot: self.derived_slots + dice.below(own_slots),
            value: dice.below(VALUES),
            feeds_back: false,
        }
    }

    fn feed_back(&mut self, dice: &mut Dice, layers: &[Vec<(usize, usize)>]) {
        for r in 0..self.rules.len() {
            if self.rules[r].layer < 2 || dice.below(100) >= 15 {
                continue;
            }
            let needed = self.rules[r].conditions.iter().find_map(|c| match c {
                Condition::Derived { slot, value } => Some((*slot, *value)),
                Condition::Number { .. } => None,
            });
            let mut below: Vec<(usize, usize)> = Vec::new();
            if dice.below(2) == 0 {
                for q in &self.rules {
                    if Some((q.slot, q.value)) == needed && q.layer > 0 && !q.feeds_back {
                        below.extend(q.conditions.iter().filter_map(|c| match c {
                            Condition::Derived { slot, value } => Some((*slot, *value)),
                            Condition::Number { .. } => None,
                        }));
                    }
                }
            }
            if below.is_empty() {
                below.clone_from(&layers[dice.below(self.rules[r].layer - 1)]);
            }
            let (slot, value) = below[dice.below(below.len())];
            let rule = &mut self.rules[r];
            (rule.slot, rule.value, rule.feeds_back) = (slot, value, true);
        }
    }

    fn session(&self, dice: &mut Dice, tops: &[usize]) -> Option<Session> {
        let mut wanted: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
        let mut stack = vec![tops[dice.below(tops.len())]];
        let mut deepest = stack[0];
        while let Some(r) = stack.pop() {
            deepest = r;
            for condition in &self.rules[r].conditions {
                match condition {
                    Condition::Number { slot, low, high } => {
                        let limits = wanted.entry(*slot).or_insert((0.0, 100.0));
                        *limits = (limits.0.max(*low), limits.1.min(*high));
                        if limits.0 > limits.1 {
                            return None;
                        }
                    }
                    Condition::Derived { slot, value } => {
                        let makers: Vec<usize> = (0..self.rules.len())
                            .filter(|&q| {
                                let q = &self.rules[q];
                                (q.slot, q.value) == (*slot, *value) && !q.feeds_back
                            })
                            .collect();
                        if makers.is_empty() {
                            return None;
                        }
                        stack.push(makers[dice.below(makers.len())]);
                    }
                }
            }
            if wanted.len() > TOLD {
                return None;
            }
        }
        let mut told: Vec<(usize, f64)> = wanted
            .into_iter()
            .map(|(slot, (low, high))| (slot, dice.between(low, high).clamp(low, high)))
            .collect();
        while told.len() < TOLD {
            let slot = dice.below(self.base_slots);
            if told.iter().all(|t| t.0 != slot) {
                told.push((slot, dice.between(0.0, 100.0)));
            }
        }
        for i in (1..told.len()).rev() {
            told.swap(i, dice.below(i + 1));
        }
        let under = |t: &(usize, f64)| {
            self.rules[deepest]
                .conditions
                .iter()
                .any(|c| matches!(c, Condition::Number { slot, .. } if *slot == t.0))
        };
        let taken_back = told.iter().position(under).unwrap_or(0);
        let mut left = told.clone();
        left.remove(taken_back);
        let derived = [self.derived(&told), self.derived(&left)];
        Some(Session {
            told,
            taken_back,
            derived,
        })
    }

    /// How many things follow, by going through the rules until nothing new appears.
    fn derived(&self, told: &[(usize, f64)]) -> usize {
        let numbers: BTreeMap<usize, f64> = told.iter().copied().collect();
        let mut derived: BTreeSet<(usize, usize)> = BTreeSet::new();
        loop {
            let before = derived.len();
            for rule in &self.rules {
                let holds = rule.conditions.iter().all(|c| match c {
                    Condition::Number { slot, low, high } => {
                        numbers.get(slot).is_some_and(|x| low <= x && x <= high)
                    }
                    Condition::Derived { slot, value } => derived.contains(&(*slot, *value)),
                });
                if holds {
                    derived.insert((rule.slot, rule.value));
                }
            }
            if derived.len() == before {
                return derived.len();
            }
        }
    }

    /// How many conditions look at a slot that a session touches, on average.
    pub(crate) fn touched(&self) -> f64 {
        let mut by_slot = vec![0_usize; self.base_slots];
        for condition in self.rules.iter().flat_map(|r| &r.conditions) {
            if let Condition::Number { slot, .. } = condition {
                by_slot[*slot] += 1;
            }
        }
        let told = self.sessions.iter().flat_map(|s| &s.told);
        told.map(|(slot, _)| by_slot[*slot]).sum::<usize>() as f64 / self.sessions.len() as f64
    }

    /// The rules in the language of CLIPS, every left side kept under truth maintenance.
    pub(crate) fn clips(&self) -> String {
        let mut text = String::from("(deftemplate av (slot a) (slot v))\n");
        for (number, rule) in self.rules.iter().enumerate() {
            write!(text, "(defrule r{number} (logical").unwrap();
            for (i, condition) in rule.conditions.iter().enumerate() {
                match condition {
                    Condition::Number { slot, low, high } => {
                        let mut tests = Vec::new();
                        if low.is_finite() {
                            tests.push(format!("(>= ?x{i} {low:.1})"));
                        }
                        if high.is_finite() {
                            tests.push(format!("(<= ?x{i} {high:.1})"));
                        }
                        let test = match tests.as_slice() {
                            [one] => one.clone(),
                            both => format!("(and {})", both.join(" ")),
                        };
                        write!(text, " (av (a b{slot}) (v ?x{i}&:{test}))").unwrap();
                    }
                    Condition::Derived { slot, value } => {
                        write!(text, " (av (a d{slot}) (v {}))", VALUE_NAMES[*value]).unwrap();
                    }
                }
            }
            let value = VALUE_NAMES[rule.value];
            writeln!(text, ") => (assert (av (a d{}) (v {value}))))", rule.slot).unwrap();
        }
        text
    }

    /// The rules as lines of numbers: `slot value` and three conditions `0 slot low high` (tenths)
    /// or `1 slot value`.
    pub(crate) fn plain(&self) -> String {
        let mut text = String::new();
        for rule in &self.rules {
            write!(text, "{} {}", rule.slot, rule.value).unwrap();
            for condition in &rule.conditions {
                match condition {
                    Condition::Number { slot, low, high } => {
                        let tenths = |x: f64| (x.clamp(-1e6, 1e6) * 10.0).round() as i64;
                        write!(text, " 0 {slot} {} {}", tenths(*low), tenths(*high)).unwrap();
                    }
                    Condition::Derived { slot, value } => {
                        write!(text, " 1 {slot} {value}").unwrap();
                    }
                }
            }
            text.push('\n');
        }
        text
    }

    /// The sessions: how many; then for each `told taken_back derived derived` and lines
    /// `slot value`.
    pub(crate) fn session_lines(&self) -> String {
        let mut text = format!("{}\n", self.sessions.len());
        for s in &self.sessions {
            let [first, second] = s.derived;
            writeln!(text, "{} {} {first} {second}", s.told.len(), s.taken_back).unwrap();
            for (slot, value) in &s.told {
                writeln!(text, "b{slot} {value:.1}").unwrap();
            }
        }
        text
    }
}

/// A graph and the size of its closure.
pub(crate) struct Graph {
    pub(crate) name: String,
    pub(crate) nodes: usize,
    pub(crate) edges: Vec<(usize, usize)>,
    pub(crate) closure: usize,
}

impl Graph {
    pub(crate) fn all() -> Vec<Self> {
        vec![
            Self::new("chain of 60", 60, (0..59).map(|i| (i, i + 1)).collect()),
            Self::new("chain of 300", 300, (0..299).map(|i| (i, i + 1)).collect()),
            Self::random(400, 600),
            Self::random(1000, 1300),
            Self::grid(20),
        ]
    }

    fn new(name: &str, nodes: usize, edges: Vec<(usize, usize)>) -> Self {
        let mut next = vec![Vec::new(); nodes];
        for &(a, b) in &edges {
            next[a].push(b);
        }
        let mut closure = 0;
        for start in 0..nodes {
            let mut seen = vec![false; nodes];
            let mut stack = next[start].clone();
            while let Some(node) = stack.pop() {
                if !std::mem::replace(&mut seen[node], true) {
                    closure += 1;
                    stack.extend(&next[node]);
                }
            }
        }
        Self {
            name: name.to_owned(),
            nodes,
            edges,
            closure,
        }
    }

    fn random(nodes: usize, edges: usize) -> Self {
        let mut dice = Dice::new(7);
        let mut set = BTreeSet::new();
        while set.len() < edges {
            let (a, b) = (dice.below(nodes), dice.below(nodes));
            if a != b {
                set.insert((a, b));
            }
        }
        let name = format!("random {nodes} nodes {edges} edges");
        Self::new(&name, nodes, set.into_iter().collect())
    }

    fn grid(side: usize) -> Self {
        let mut edges = Vec::new();
        for row in 0..side {
            for column in 0..side {
                let node = row * side + column;
                if column + 1 < side {
                    edges.push((node, node + 1));
                }
                if row + 1 < side {
                    edges.push((node, node + side));
                }
            }
        }
        Self::new(&format!("grid {side}x{side}"), side * side, edges)
    }

    /// `nodes edges closure`, then the edges.
    pub(crate) fn lines(&self) -> String {
        let mut text = format!("{} {} {}\n", self.nodes, self.edges.len(), self.closure);
        for (a, b) in &self.edges {
            writeln!(text, "{a} {b}").unwrap();
        }
        text
    }
}
