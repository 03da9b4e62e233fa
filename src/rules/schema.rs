//! Which slots there are and what each may hold.
//!
//! The schema is given by the caller, who takes it from the knowledge files; the compiler checks
//! every rule against it. A slot that can hold one symbol at a time is *exclusive*: two symbols
//! in it are reported as a contradiction. Slots that hold several are sets.

use crate::quantity::Dimension;

/// What a slot may hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SlotType {
    /// True or false.
    Flag,
    /// A symbol.
    Symbol {
        /// The symbols that may occur; none for an open slot, which takes any name.
        choices: Option<Vec<String>>,
        /// Two different symbols at once are a contradiction.
        exclusive: bool,
    },
    /// A number of this dimension.
    Number(Dimension),
}

impl SlotType {
    /// A slot with one of these symbols at a time.
    pub fn one_of<S: Into<String>>(choices: impl IntoIterator<Item = S>) -> Self {
        Self::Symbol {
            choices: Some(choices.into_iter().map(Into::into).collect()),
            exclusive: true,
        }
    }

    /// A slot that may hold any symbols, several at once.
    pub const fn open() -> Self {
        Self::Symbol {
            choices: None,
            exclusive: false,
        }
    }
}

/// One slot: its name, its type, and whether somebody can be asked for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SlotSpec {
    /// The name used in rules.
    pub name: String,
    /// What it may hold.
    pub holds: SlotType,
    /// True if a person can observe or measure it; such slots are named in "what would decide it".
    pub observable: bool,
}

/// The slots of a rule program.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Schema {
    slots: Vec<SlotSpec>,
}

impl Schema {
    /// No slots yet.
    pub const fn new() -> Self {
        Self { slots: Vec::new() }
    }

    /// With one more slot that can be observed.
    #[must_use]
    pub fn observed(mut self, name: &str, holds: SlotType) -> Self {
        self.slots.push(SlotSpec {
            name: name.to_owned(),
            holds,
            observable: true,
        });
        self
    }

    /// With one more slot that only rules fill.
    #[must_use]
    pub fn derived(mut self, name: &str, holds: SlotType) -> Self {
        self.slots.push(SlotSpec {
            name: name.to_owned(),
            holds,
            observable: false,
        });
        self
    }

    /// One more slot.
    pub fn add(&mut self, slot: SlotSpec) {
        self.slots.push(slot);
    }

    /// The slots in the order given.
    pub fn slots(&self) -> &[SlotSpec] {
        &self.slots
    }
}
