//! What is worked out from the knowledge for somebody who asks how things are: as data.
//!
//! The words are found in `wording/worked_out.rs`. Nothing is decided here.

use super::reply::AgreedSaid;
use crate::causes::RankedCause;
use crate::diagnosis::Pattern;
use crate::knowledge::Reached;
use crate::quantity::{Amount, Angle};
use crate::vocabulary::{CauseId, CheckId, EffectId, GroupId, LimitId, QuantityId, SymptomId};

/// Something that a cause makes commoner or rarer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Given {
    /// What golfers report.
    Symptom(SymptomId),
    /// What the club does.
    Effect(EffectId),
}

/// A share of golfers with a cause and nothing else of its own accord, and of those with nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// Of what.
    pub what: Given,
    /// With the club group.
    pub group: GroupId,
    /// With the cause, 0 to 1.
    pub with: f64,
    /// With nothing at work, 0 to 1.
    pub without: f64,
}

/// A number of this golfer: middle and the ends of its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownNumber {
    /// Of what.
    pub quantity: QuantityId,
    /// Middle, low, high.
    pub value: (Amount, Amount, Amount),
    /// Said by the golfer.
    pub said: bool,
}

/// An answer that was worked out.
#[derive(Debug, Clone, PartialEq)]
pub enum WorkedOut {
    /// How often a cause gives what was asked, or what it gives most.
    Gives {
        /// Which.
        cause: CauseId,
        /// What was asked; else what it gives most. May be empty.
        shares: Vec<Shares>,
        /// Something was asked for.
        asked: bool,
    },
    /// A cause makes another likelier by this chance; none if they are not linked.
    LeadsTo {
        /// The first.
        from: CauseId,
        /// The second.
        to: CauseId,
        /// The chance that it does, 0 to 1.
        chance: Option<f64>,
    },
    /// How two causes are told apart, by what is written of each.
    Apart {
        /// The one.
        one: CauseId,
        /// The other.
        other: CauseId,
    },
    /// How far a cause moves the club, and how common it is.
    Size {
        /// Which.
        cause: CauseId,
        /// With which clubs.
        groups: Vec<GroupId>,
    },
    /// A change that cures one cause, and brings another about where that one is not there.
    Cure {
        /// What it is a cure for.
        cause: CauseId,
        /// What too much of it is.
        overdone: Option<CauseId>,
        /// Where that cause stands with this golfer, if anything was told.
        here: Option<RankedCause>,
        /// How often the cause gives what was asked, or what was told.
        shares: Vec<Shares>,
        /// The look for it, unless that is being asked.
        check: Option<CheckId>,
    },
    /// What lies behind something seen, among golfers who tell of nothing else.
    Behind {
        /// What they see.
        symptom: SymptomId,
        /// With which clubs.
        group: GroupId,
        /// The likeliest.
        ranked: Vec<RankedCause>,
    },
    /// What leads to a cause, each with the chance that it does.
    BehindCause {
        /// The cause.
        cause: CauseId,
        /// What leads to it, the strongest first.
        parents: Vec<(CauseId, f64)>,
    },
    /// How to look for a cause.
    Look {
        /// Which.
        cause: CauseId,
        /// By which look.
        check: CheckId,
    },
    /// A good number for a club.
    Good {
        /// Of what.
        quantity: QuantityId,
        /// With which clubs.
        group: GroupId,
        /// From.
        from: Amount,
        /// To.
        to: Amount,
    },
    /// A number against the limits of the usual, or the limits alone.
    Judged {
        /// Of what.
        quantity: QuantityId,
        /// The number; none where only the usual was asked for.
        value: Option<Amount>,
        /// With which club.
        pattern: Pattern,
        /// The loft on it.
        loft: Angle,
        /// The limits that such clubs have, with how far the number has gone.
        limits: Vec<(LimitId, Option<Reached>)>,
        /// The range of a good strike, where one is known.
        wanted: Option<(Amount, Amount)>,
        /// What holds of all limits is said with it.
        remark: bool,
    },
    /// Where the ball starts and how it bends, by this golfer's numbers.
    Flight {
        /// Where it starts.
        start: Option<KnownNumber>,
        /// How far the face is off the path.
        face_to_path: Option<KnownNumber>,
    },
    /// What stands in the book: text ids of what was understood, and what was agreed.
    OnRecord {
        /// Text ids.
        complaint: Vec<String>,
        /// What is practised, and what came of it.
        agreed: Option<Box<AgreedSaid>>,
    },
    /// A number of this golfer.
    Number(KnownNumber),
    /// What speaks against the cause that leads.
    Against {
        /// Which.
        cause: CauseId,
        /// Its odds before anything was said, decibans.
        prior: f64,
        /// What speaks against it: the words and their weight, the strongest first.
        told: Vec<(String, f64)>,
        /// The next likeliest.
        rival: Option<RankedCause>,
        /// The look that would tell.
        settles: Option<CheckId>,
    },
}
