//! The words of which there is a fixed set: what an entry may say where any other word would mean
//! nothing to the program.
//!
//! Each set is an enum, so that a misspelt word is a problem with the nearest word, and a schema shows
//! them all. Knows the words and nothing of what follows from them.

use schemars::JsonSchema;
use serde::Deserialize;

macro_rules! fixed_words {
    ($($(#[$about:meta])* $sort:ident { $($(#[$doc:meta])* $variant:ident = $word:literal),+ $(,)? })+) => {$(
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
        pub(super) enum $sort {
            $($(#[$doc])* #[serde(rename = $word)] $variant,)+
        }

        impl $sort {
            /// As it is written.
            pub(super) const fn word(self) -> &'static str {
                match self {
                    $(Self::$variant => $word,)+
                }
            }
        }
    )+};
}

fixed_words! {
    /// Where a cause lies.
    Family {
        /// How the golfer stands to the ball and holds the club.
        Setup = "setup",
        /// How body and legs move.
        Pivot = "pivot",
        /// How arms, wrists and hands move.
        Arms = "arms",
        /// What the golfer tries to do.
        Intent = "intent",
        /// Clubs, ball and tee.
        Kit = "kit",
        /// What the ball and the golfer stand on, and the weather.
        Ground = "ground",
        /// The golfer's build, strength and health.
        Body = "body",
    }

    /// What sort of clubs a group holds.
    ClubFamily {
        /// Irons and wedges.
        Irons = "irons",
        /// Woods and hybrids off the turf.
        Woods = "woods",
        /// The driver.
        Driver = "driver",
    }

    /// What a symptom is about.
    About {
        /// How ball and face met.
        Contact = "contact",
        /// The mark in the turf.
        Turf = "turf",
        /// Where the ball starts.
        Start = "start",
        /// How it bends.
        Curve = "curve",
        /// Start and bend together.
        Shape = "shape",
        /// How high it flies.
        Height = "height",
        /// How far it goes.
        Distance = "distance",
        /// How it spins and stops.
        Spin = "spin",
        /// What the golfer feels.
        Feel = "feel",
        /// How several shots hang together.
        Pattern = "pattern",
    }

    /// What to think of a claim.
    ClaimVerdict {
        /// It holds.
        True = "true",
        /// It holds in part.
        HalfTrue = "half true",
        /// It does not hold.
        Wrong = "wrong",
        /// It holds for some golfers or clubs.
        Depends = "depends",
    }

    /// What was read of a source.
    SeenOf {
        /// The whole text.
        Text = "text",
        /// The abstract.
        Abstract = "abstract",
        /// Nothing was looked up.
        Memory = "memory",
    }

    /// What a golfer with whom a drill does not go suffers from.
    Ache {
        /// A sore back, neck or ribs.
        Back = "pain_back",
        /// A sore elbow or forearm.
        Elbow = "pain_elbow",
        /// A sore knee, hip or leg.
        Knee = "pain_knee",
        /// A sore shoulder or upper arm.
        Shoulder = "pain_shoulder",
        /// A sore wrist, hand or finger.
        Wrist = "pain_wrist",
        /// Any pain.
        Any = "pain",
        /// Dizziness.
        Dizzy = "dizzy",
        /// No ache: the golfer is a child.
        Child = "child",
    }
}

/// How many of those who have a symptom on every shot mention it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum TrustWord {
    /// 92 in 100.
    High,
    /// 85 in 100.
    Medium,
    /// 70 in 100.
    Low,
}
