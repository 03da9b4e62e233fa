//! What can be said of a pattern, and by whom: ids, values, facts and the tokens of the speaker.
//!
//! A fact is (pattern, slot, value). A pattern is any small id; a slot and a symbol are names
//! interned by the program; a value is a truth value, a symbol or a number with an error. The
//! engine never looks inside a [`Reason`]: it is the caller's token for what was said.

use crate::quantity::Estimate;
use std::fmt;

macro_rules! small_ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub(crate) u32);

        impl $name {
            /// The id with this number.
            pub const fn from_index(index: usize) -> Self {
                Self(index as u32)
            }

            /// The number of the id.
            pub const fn index(self) -> usize {
                self.0 as usize
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!(stringify!($name), "({})"), self.0)
            }
        }
    )+};
}

small_ids!(
    /// The thing that facts are about. Numbers up to [`PatternId::LIMIT`], best dense from 0.
    PatternId,
    /// A slot of the schema.
    SlotId,
    /// A symbol, known to the program or met in a session.
    SymbolId,
    /// A rule: its place in the list given to the compiler.
    RuleIndex,
    /// A fact of a state. Valid until the state is next settled or cleared.
    FactId,
    /// One statement told to a state; what [`crate::rules::State::retract`] takes.
    Told,
    /// The caller's token for a statement, such as an index into the golfer's words.
    Reason,
);

impl PatternId {
    /// Patterns must lie below this number, so that a wrong id cannot ask for all the memory.
    pub const LIMIT: usize = 1 << 20;
}

/// What a slot holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// A truth value; "false" is a fact too, and different from not knowing.
    Flag(bool),
    /// One of the symbols of the slot.
    Symbol(SymbolId),
    /// A number with an error, in the dimension of the slot.
    Number(Estimate),
}

/// One statement: this slot of this pattern has this value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fact {
    /// What it is about.
    pub pattern: PatternId,
    /// Which of its slots.
    pub slot: SlotId,
    /// What the slot holds.
    pub value: Value,
}

/// A value as the engine keeps it: flags are the first two symbols.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Stored {
    Symbol(u32),
    Number(Estimate),
}

pub(crate) const FALSE: u32 = 0;
pub(crate) const TRUE: u32 = 1;

impl Stored {
    /// True for the same symbol, or for numbers equal to the last bit.
    pub(crate) fn same(self, other: Self) -> bool {
        match (self, other) {
            (Self::Symbol(a), Self::Symbol(b)) => a == b,
            (Self::Number(a), Self::Number(b)) => {
                a.mean().to_bits() == b.mean().to_bits() && a.sd().to_bits() == b.sd().to_bits()
            }
            (Self::Symbol(_), Self::Number(_)) | (Self::Number(_), Self::Symbol(_)) => false,
        }
    }

    pub(crate) fn from_value(value: Value) -> Self {
        match value {
            Value::Flag(false) => Self::Symbol(FALSE),
            Value::Flag(true) => Self::Symbol(TRUE),
            Value::Symbol(s) => Self::Symbol(s.0),
            Value::Number(n) => Self::Number(normal(n)),
        }
    }
}

/// The same number with -0 written as 0, so that equal numbers have equal bits.
fn normal(n: Estimate) -> Estimate {
    Estimate::from_base(n.mean() + 0.0, n.sd() + 0.0, n.dimension()).unwrap_or(n)
}
