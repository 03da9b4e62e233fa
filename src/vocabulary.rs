//! Which thing is meant: the ids that knowledge gives to clubs, symptoms, effects, causes and the
//! rest, as small numbers, and the golfer's hand.
//!
//! An id is an index into the table of the knowledge base that made it; only the loader makes ids,
//! so an id always names something. Text names exist at the borders only. What the things mean is
//! not known here.

use std::fmt;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u16);

        impl $name {
            /// The id of the entry at this place of its table.
            pub const fn from_index(index: usize) -> Self {
                Self(index as u16)
            }

            /// The place in the table.
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

ids!(
    /// A club group: wedge, short iron ... driver.
    GroupId,
    /// A single club, such as the 7 iron.
    ClubId,
    /// A lie: what the ball sits on, and the slope.
    LieId,
    /// A quantity such as the low point or the attack angle.
    QuantityId,
    /// Something seen, heard or felt.
    SymptomId,
    /// A named condition on the arc or the impact.
    EffectId,
    /// What golfer, kit or lie does that moves quantities.
    CauseId,
    /// Something a person can look at or answer.
    CheckId,
    /// Something to practise.
    DrillId,
    /// Safety text.
    CautionId,
    /// A rule.
    RuleId,
    /// An answer to a question or to quoted advice.
    AnswerId,
    /// A source of a number.
    SourceId,
    /// What golfers with a complaint count in practice.
    CountId,
    /// Where a number stops being usual.
    LimitId,
);

/// Which side the golfer plays from. Decides what left and right mean, and nothing else.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hand {
    /// Lead side left; the push side is to the right.
    Right,
    /// Lead side right; the push side is to the left.
    Left,
}

impl Hand {
    /// +1 if the push side is to the right of the target, -1 if it is to the left.
    pub const fn push_is_right(self) -> f64 {
        match self {
            Self::Right => 1.0,
            Self::Left => -1.0,
        }
    }

    /// The other hand.
    pub const fn mirrored(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }
}
