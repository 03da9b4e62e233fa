//! A rule made ready to run: conditions and conclusions over ids, and how facts set them off.
//!
//! One rule becomes one clause for each way through its alternatives and each stratum of its
//! conclusions. Conditions keep the order in which they were written; a condition of a clause that
//! was split in two (`not` is "known" and "lacks") keeps one place.

use super::problem::Place;
use crate::quantity::Estimate;

/// At most so many pattern variables, and so many value variables, in a rule.
pub(crate) const MAX_VARIABLES: usize = 8;
/// At most so many conditions in a clause.
pub(crate) const MAX_CONDITIONS: usize = 32;
/// At most so many ways through the alternatives of a rule.
pub(crate) const MAX_ALTERNATIVES: usize = 64;

/// A condition.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Condition {
    /// A flag or symbol fact of the slot passes the test.
    Fact {
        on: u8,
        slot: u32,
        test: Test,
        bind: Option<u8>,
    },
    /// The number in use for the slot lies in the range.
    Number { on: u8, slot: u32, range: Range },
    /// The slot has no value.
    Unknown { on: u8, slot: u32 },
    /// The slot does not have this symbol.
    Lacks { on: u8, slot: u32, symbol: u32 },
    /// So many patterns pass.
    Count {
        slot: u32,
        counted: Box<Counted>,
        range: Range,
    },
    /// The mean over all patterns lies in the range.
    Mean {
        slot: u32,
        range: Range,
        among: Option<Box<Among>>,
    },
    /// The number that met condition `a` less the one that met `b` lies in the range.
    Gap { a: u8, b: u8, range: Range },
    /// Two variables stand for two patterns.
    Differ { a: u8, b: u8 },
}

/// The test of a flag or symbol.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Test {
    Any,
    Is(u32),
    OneOf(Box<[u32]>),
}

impl Test {
    pub(crate) fn passes(&self, symbol: u32) -> bool {
        match self {
            Self::Any => true,
            Self::Is(s) => *s == symbol,
            Self::OneOf(many) => many.contains(&symbol),
        }
    }
}

/// What is counted, and among which patterns.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Counted {
    pub(crate) test: CountTest,
    pub(crate) among: Option<Among>,
}

/// The patterns that share a symbol of the slot with the pattern of this variable.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Among {
    pub(crate) on: u8,
    pub(crate) slot: u32,
}

/// The test of what is counted.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum CountTest {
    Symbol(Test),
    Number(Range),
}

/// Limits, both inclusive, in the inside unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Range {
    pub(crate) lo: f64,
    pub(crate) hi: f64,
}

impl Range {
    pub(crate) const ALL: Self = Self {
        lo: f64::NEG_INFINITY,
        hi: f64::INFINITY,
    };

    /// False for anything that is not a number.
    pub(crate) fn holds(self, x: f64) -> bool {
        self.lo <= x && x <= self.hi
    }
}

/// A conclusion.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Head {
    pub(crate) on: u8,
    /// A condition whose fact has the pattern.
    pub(crate) from: u8,
    pub(crate) slot: u32,
    pub(crate) value: HeadValue,
    /// Its place in the rule's conclusions.
    pub(crate) then: u16,
}

/// What a conclusion puts into the slot.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum HeadValue {
    Symbol(u32),
    /// The value of this variable, which this condition binds.
    SymbolVariable {
        variable: u8,
        from: u8,
    },
    Number(Box<Estimate>),
    /// The number of this condition.
    NumberOf(u8),
    Computed {
        function: u32,
        inputs: Box<[Input]>,
    },
}

/// An input of a function.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Input {
    /// The number of this condition.
    NumberOf(u8),
    Number(Estimate),
}

/// A rule made ready to run.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Clause {
    pub(crate) rule: u32,
    pub(crate) stratum: u32,
    pub(crate) patterns: u8,
    pub(crate) values: u8,
    /// One pattern, no variables, and at most one way to meet each condition.
    pub(crate) is_simple: bool,
    pub(crate) conditions: Box<[Condition]>,
    places: Box<[PackedPlace]>,
    pub(crate) heads: Box<[Head]>,
    /// For each condition, one after the other, the order in which to look at the others once it
    /// is met; empty for simple clauses.
    pub(crate) plans: Box<[u8]>,
}

/// A place in a rule in four bytes: its kind, then up to three numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PackedPlace(u32);

/// At most so many conditions, alternatives and items of one in a rule.
pub(crate) const MAX_ITEMS: usize = 1 << 10;

impl PackedPlace {
    pub(crate) const fn new(place: Place) -> Self {
        let (kind, a, b, c) = match place {
            Place::Whole => (0, 0, 0, 0),
            Place::When(when) => (1, when, 0, 0),
            Place::Any {
                when,
                alternative,
                item,
            } => (2, when, alternative, item),
            Place::Then(then) => (3, then, 0, 0),
        };
        Self((kind << 30 | a << 20 | b << 10 | c) as u32)
    }

    fn place(self) -> Place {
        let part = |shift: u32| (self.0 >> shift) as usize & (MAX_ITEMS - 1);
        match self.0 >> 30 {
            0 => Place::Whole,
            1 => Place::When(part(20)),
            2 => Place::Any {
                when: part(20),
                alternative: part(10),
                item: part(0),
            },
            _ => Place::Then(part(20)),
        }
    }
}

impl Clause {
    /// A clause for one rule and one stratum.
    pub(crate) fn new(
        (rule, stratum): (u32, u32),
        (patterns, values): (u8, u8),
        conditions: Box<[Condition]>,
        places: Box<[PackedPlace]>,
        mut heads: Box<[Head]>,
    ) -> Self {
        for head in &mut heads {
            head.from = witness(&conditions, head.on).unwrap_or(0) as u8;
            if let HeadValue::SymbolVariable { variable, from } = &mut head.value {
                let wanted = Some(*variable);
                let binds =
                    |c: &Condition| matches!(c, Condition::Fact { bind, .. } if *bind == wanted);
                *from = conditions.iter().position(binds).unwrap_or(0) as u8;
            }
        }
        let is_simple = patterns == 1 && is_simple(&conditions);
        let mut plans = Vec::new();
        if !is_simple {
            for first in 0..conditions.len() {
                plans.extend(plan(&conditions, first));
            }
        }
        Self {
            rule,
            stratum,
            patterns,
            values,
            is_simple,
            conditions,
            places,
            heads,
            plans: plans.into_boxed_slice(),
        }
    }

    /// The place in the rule of a condition.
    pub(crate) fn place(&self, condition: usize) -> Place {
        let place = self.places.get(condition);
        place.map_or(Place::Whole, |p| p.place())
    }

    /// Bytes it takes, itself included.
    pub(crate) fn heap_bytes(&self) -> usize {
        size_of::<Self>()
            + size_of_val(&*self.conditions)
            + size_of_val(&*self.places)
            + size_of_val(&*self.heads)
            + self.plans.len()
    }
}

/// A condition with a fact of this pattern variable.
pub(crate) fn witness(conditions: &[Condition], on: u8) -> Option<usize> {
    let of_variable = |c: &Condition| c.is_positive() && c.on() == Some(on);
    conditions.iter().position(of_variable)
}

impl Condition {
    /// The pattern variable it talks about.
    pub(crate) const fn on(&self) -> Option<u8> {
        match self {
            Self::Fact { on, .. }
            | Self::Number { on, .. }
            | Self::Unknown { on, .. }
            | Self::Lacks { on, .. } => Some(*on),
            Self::Count { .. } | Self::Mean { .. } | Self::Gap { .. } | Self::Differ { .. } => None,
        }
    }

    /// The patterns that a count or a mean is about, if not all.
    pub(crate) fn among(&self) -> Option<Among> {
        match self {
            Self::Count { counted, .. } => counted.among,
            Self::Mean { among, .. } => among.as_deref().copied(),
            Self::Fact { .. }
            | Self::Number { .. }
            | Self::Unknown { .. }
            | Self::Lacks { .. }
            | Self::Gap { .. }
            | Self::Differ { .. } => None,
        }
    }

    /// The slot it looks at.
    pub(crate) const fn slot(&self) -> Option<u32> {
        match self {
            Self::Fact { slot, .. }
            | Self::Number { slot, .. }
            | Self::Unknown { slot, .. }
            | Self::Lacks { slot, .. }
            | Self::Count { slot, .. }
            | Self::Mean { slot, .. } => Some(*slot),
            Self::Gap { .. } | Self::Differ { .. } => None,
        }
    }

    /// True if it may only look at a settled slot.
    pub(crate) const fn needs_settled(&self) -> bool {
        !matches!(
            self,
            Self::Fact { .. } | Self::Gap { .. } | Self::Differ { .. }
        )
    }

    /// True if a fact stands behind it, and with it a pattern.
    pub(crate) const fn is_positive(&self) -> bool {
        matches!(self, Self::Fact { .. } | Self::Number { .. })
    }
}

/// True if a clause of one pattern can meet each of these conditions in one way only.
fn is_simple(conditions: &[Condition]) -> bool {
    conditions.iter().all(|c| match c {
        Condition::Fact { test, bind, .. } => matches!(test, Test::Is(_)) && bind.is_none(),
        Condition::Number { .. } | Condition::Unknown { .. } | Condition::Lacks { .. } => true,
        Condition::Count { .. }
        | Condition::Mean { .. }
        | Condition::Gap { .. }
        | Condition::Differ { .. } => false,
    })
}

/// The order in which the conditions of a clause are looked at once `first` is satisfied:
/// those that need no search before those that do, searches by a known symbol before
/// searches of a whole slot.
fn plan(conditions: &[Condition], first: usize) -> Vec<u8> {
    let mut patterns = 0_u32;
    let mut values = 0_u32;
    let mut left: Vec<usize> = (0..conditions.len()).collect();
    let mut order = Vec::with_capacity(conditions.len());
    let take = |i: usize, left: &mut Vec<usize>, patterns: &mut u32, values: &mut u32| {
        left.retain(|&x| x != i);
        if let Some(c) = conditions.get(i) {
            if let Some(on) = c.on() {
                *patterns |= 1 << on;
            }
            if let Condition::Fact { bind: Some(v), .. } = c {
                *values |= 1 << v;
            }
        }
    };
    take(first, &mut left, &mut patterns, &mut values);
    while let Some(&best) = left.iter().min_by_key(|&&i| {
        let cost = conditions.get(i).map_or(9, |c| match c {
            // Both numbers first.
            Condition::Gap { a, b, .. } => {
                let waits = left.contains(&usize::from(*a)) || left.contains(&usize::from(*b));
                if waits { u8::MAX } else { 0 }
            }
            Condition::Fact { .. }
            | Condition::Number { .. }
            | Condition::Unknown { .. }
            | Condition::Lacks { .. }
            | Condition::Count { .. }
            | Condition::Mean { .. }
            | Condition::Differ { .. } => cost(c, patterns, values),
        });
        (cost, i)
    }) {
        take(best, &mut left, &mut patterns, &mut values);
        order.push(best as u8);
    }
    order
}

/// How much searching a condition needs when these variables are bound (one bit each).
fn cost(condition: &Condition, patterns: u32, values: u32) -> u8 {
    let bound = |on: u8| patterns & (1 << on) != 0;
    match condition {
        Condition::Differ { a, b } if bound(*a) && bound(*b) => 0,
        Condition::Number { on, .. } if bound(*on) => 1,
        Condition::Fact {
            on,
            test: Test::Is(_),
            ..
        } if bound(*on) => 1,
        Condition::Unknown { on, .. } | Condition::Lacks { on, .. } if bound(*on) => 1,
        Condition::Differ { .. }
        | Condition::Unknown { .. }
        | Condition::Lacks { .. }
        | Condition::Gap { .. } => 9,
        Condition::Count { .. } | Condition::Mean { .. } => match condition.among() {
            Some(among) if !bound(among.on) => 9,
            Some(_) | None => 3,
        },
        Condition::Fact {
            on, bind: Some(v), ..
        } if bound(*on) && values & (1 << v) != 0 => 2,
        Condition::Fact { on, .. } if bound(*on) => 4,
        Condition::Fact { bind: Some(v), .. } if values & (1 << v) != 0 => 5,
        Condition::Fact {
            test: Test::Is(_), ..
        } => 6,
        Condition::Fact { .. } => 7,
        Condition::Number { .. } => 8,
    }
}
