//! Which golfer stands before the learner: one of the population that meets what the lesson wants.
//!
//! Takes a seed and a [`Wish`]; walks through golfers of the population from a place given by the
//! seed and takes the first who fits: something at work that is worth being rid of, a fault of the
//! arc or the impact that goes with it, and enough to complain of. So no golfer is made up, and the
//! shares of causes among pupils are those of complaining golfers. What moves nothing with the clubs
//! spoken of is no cause of the case: the golfer may have it, but nobody could find it here. Gives up after a fixed number.
//! Knows nothing of the learner.

use std::sync::Arc;

use super::chance::Chance;
use super::compare::{Gain, Worth, worths};
use super::fitting::{acts, hurt, kept_to, own_way, possible, shown};
use super::voice::{self, Account};
use crate::causes::model::Change;
use crate::causes::{Case, Lineup};
use crate::diagnosis::{Mind, Pattern};
use crate::knowledge::Wish;
use crate::reading::Phrases;
use crate::vocabulary::{CauseId, ClubId, EffectId, GroupId, Hand, LieId, QuantityId};

/// A club in the pupil's hands and what it shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Stand {
    /// The club.
    pub club: ClubId,
    /// Its group.
    pub group: GroupId,
    /// Rates, quantities, effects and chances of mention with it.
    pub case: Case,
}

/// A golfer before the learner, with everything that is hidden.
#[derive(Debug, Clone)]
pub struct Pupil {
    /// The seed of the case, by which it is called.
    pub seed: u64,
    /// The golfer's number in the population.
    pub number: u64,
    /// The block the golfer stands in.
    pub lineup: Arc<Lineup>,
    /// Which hand.
    pub hand: Hand,
    /// What the ball lies on, if the golfer says so.
    pub lie: Option<LieId>,
    /// The club complained of.
    pub first: Stand,
    /// Another club, if the golfer speaks of one.
    pub second: Option<Stand>,
    /// Twice the usual poor swings today.
    pub bad_day: bool,
    /// The measured number that is wrong today, and by how much in its usual errors.
    pub mistaken: Option<(QuantityId, f64)>,
    /// What each cause costs this golfer, most first.
    pub worths: Vec<Worth>,
    /// The fault that the costliest cause brings: of those that go with it, the one it raises most.
    pub fault: EffectId,
    /// Faults that stay with every cause gone: the golfer's own way.
    pub own: Vec<EffectId>,
    /// What the golfer says.
    pub account: Account,
}

/// No golfer of so many meets what is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("no golfer among {tried} meets what is wanted")]
pub struct NoPupil {
    /// How many were looked at.
    pub tried: usize,
}

/// Shots in a hundred from which a cause counts as at work in a golfer.
pub(super) const AT_WORK: f64 = 3.0;
/// Shots in a hundred that the costliest cause must cost, so that there is something to mend.
const WORTH_A_LESSON: f64 = 6.0;
/// A fault raised by this share of what another is raised by is as much the subject: a low point
/// behind the ball and an attack too level are one thing.
const AS_MUCH: f64 = 0.75;
/// Golfers looked at before giving up: in blocks of a thousand.
const BLOCKS: u64 = 6;
const BLOCK: u64 = 1024;
/// Blocks of golfers that cases are taken from.
const ALL_BLOCKS: u64 = 1 << 20;
/// Share of left-handed pupils (elicited: about one golfer in nine).
const LEFT_HANDED: f64 = 0.11;
/// Share of bad days (elicited).
const BAD_DAYS: f64 = 0.15;

/// The pupil of a seed.
///
/// # Errors
/// [`NoPupil`] if nobody among the golfers looked at meets what is wanted.
pub fn draw(
    mind: &mut Mind,
    phrases: &Phrases,
    seed: u64,
    wanted: &Wish,
) -> Result<Pupil, NoPupil> {
    let base = Arc::clone(mind.base());
    let mut chance = Chance::new(seed, 1);
    let groups: Vec<GroupId> = if wanted.groups.is_empty() {
        (0..base.groups.len()).map(GroupId::from_index).collect()
    } else {
        wanted.groups.clone()
    };
    let block = chance.whole() % ALL_BLOCKS;
    let start = chance.whole() % BLOCK;
    let mut tried = 0;
    for turn in 0..BLOCKS {
        let at = (block + turn) % ALL_BLOCKS;
        let lineup = Arc::new(mind.simulation().lineup(at * BLOCK));
        for step in 0..BLOCK {
            tried += 1;
            let number = at * BLOCK + (start + step) % BLOCK;
            if !may_suit(mind, lineup.causes(number), wanted) {
                continue;
            }
            // The club is part of the seed, but differs from golfer to golfer, so that a lesson's
            // causes may turn up with the clubs they show with.
            let group = *chance.pick(&groups).unwrap_or(&GroupId::from_index(0));
            let found = Candidate {
                seed,
                number,
                lineup: &lineup,
                group,
            };
            if let Some(pupil) = found.pupil(mind, phrases, wanted) {
                return Ok(pupil);
            }
        }
    }
    Err(NoPupil { tried })
}

/// Whether a golfer with these causes is worth a closer look.
fn may_suit(mind: &Mind, causes: &[CauseId], wanted: &Wish) -> bool {
    let model = &mind.base().model;
    let conditions = causes
        .iter()
        .filter(|c| model.causes.get(c.index()).is_some_and(|m| m.condition))
        .count();
    let own = causes.len() - conditions;
    // Whoever is hurt goes to somebody licensed to look at it, not to a learner.
    !causes.iter().any(|c| hurt(mind.base(), *c))
        && own >= wanted.at_work.0
        && own <= wanted.at_work.1 + 3
        && conditions <= usize::from(wanted.lies)
        && (wanted.causes.is_empty() || wanted.causes.iter().any(|c| causes.contains(c)))
}

struct Candidate<'a> {
    seed: u64,
    number: u64,
    lineup: &'a Arc<Lineup>,
    group: GroupId,
}

impl Candidate<'_> {
    fn pupil(&self, mind: &mut Mind, phrases: &Phrases, wanted: &Wish) -> Option<Pupil> {
        let base = Arc::clone(mind.base());
        let causes = self.lineup.causes(self.number);
        let condition = causes.iter().copied().find(|c| {
            base.model
                .causes
                .get(c.index())
                .is_some_and(|m| m.condition)
        });
        let lie = match condition {
            Some(cause) => Some(
                base.lies
                    .iter()
                    .position(|l| l.condition == Some(cause))
                    .map(LieId::from_index)?,
            ),
            None => None,
        };
        let all = worths(mind.simulation(), self.lineup, self.number, self.group);
        let acting = |w: &&Worth| acts(&base, w.cause, self.group);
        let mut worths: Vec<Worth> = all.iter().filter(acting).copied().collect();
        let main = *worths.first()?;
        let at_work = worths.iter().filter(|w| w.at_work()).count();
        let enough = main.gain.most() >= WORTH_A_LESSON
            && (wanted.at_work.0..=wanted.at_work.1).contains(&at_work);
        // The lesson is about what costs this golfer most, not about what is there as well.
        let of_the_lesson = wanted.causes.is_empty() || wanted.causes.contains(&main.cause);
        if !enough || !of_the_lesson {
            return None;
        }
        let case = mind
            .simulation()
            .case_of(self.lineup, self.number, self.group, &[]);
        let mut case = shown(&base, case, self.group);
        if !possible(&case) || !kept_to(wanted, &case) {
            return None;
        }
        let own = own_way(mind, self.lineup, self.number, self.group);
        let without = mind.simulation().case_of(
            self.lineup,
            self.number,
            self.group,
            &[Change::Without(main.cause)],
        );
        let gone: Vec<EffectId> = case
            .effects
            .iter()
            .copied()
            .filter(|e| !without.effects.contains(e))
            .collect();
        let fault = brought(mind, main.cause, self.group, &gone, &wanted.faults)?;
        let mut chance = Chance::new(self.seed, 2);
        let hand = if chance.happens(LEFT_HANDED) {
            Hand::Left
        } else {
            Hand::Right
        };
        let bad_day = chance.happens(BAD_DAYS);
        let club = club_of(&base, self.group, &mut chance)?;
        let second = if wanted.second_club {
            Some(self.other_club(mind, &mut chance)?)
        } else {
            None
        };
        // What acts with the other club alone is there, and costs nothing with this one.
        let idle = |w: &Worth| {
            let other = second
                .as_ref()
                .is_some_and(|s| acts(&base, w.cause, s.group));
            (other && !acts(&base, w.cause, self.group)).then_some(Worth {
                cause: w.cause,
                gain: Gain::default(),
            })
        };
        worths.extend(all.iter().filter_map(idle));
        case.causes
            .retain(|c| condition == Some(*c) || worths.iter().any(|w| w.cause == *c));
        let mistaken = if wanted.wrong_number {
            let able = super::watch::quantities(&base);
            let which = *chance.pick(able.get(..2).unwrap_or(&able))?;
            let size = if chance.happens(0.5) { 5.0 } else { -5.0 };
            Some((which, size))
        } else {
            None
        };
        let mut pupil = Pupil {
            seed: self.seed,
            number: self.number,
            lineup: Arc::clone(self.lineup),
            hand,
            lie,
            first: Stand {
                club,
                group: self.group,
                case,
            },
            second,
            bad_day,
            mistaken,
            worths,
            fault,
            own,
            account: Account::default(),
        };
        pupil.account = voice::account(&base, phrases, &pupil, &wanted.told)?;
        Some(pupil)
    }

    /// Another club in the golfer's hands; none if nobody could swing it so.
    fn other_club(&self, mind: &mut Mind, chance: &mut Chance) -> Option<Stand> {
        let base = Arc::clone(mind.base());
        let others: Vec<GroupId> = (0..base.groups.len())
            .map(GroupId::from_index)
            .filter(|g| *g != self.group)
            .collect();
        let group = *chance.pick(&others)?;
        let case = mind
            .simulation()
            .case_of(self.lineup, self.number, group, &[]);
        let case = shown(&base, case, group);
        if !possible(&case) {
            return None;
        }
        Some(Stand {
            club: club_of(&base, group, chance)?,
            group,
            case,
        })
    }
}

/// The fault that a cause brings: of those that go with it, the one that it raises most among
/// golfers who have nothing else. None if those wanted are raised clearly less, for then the
/// golfer's trouble is another subject.
fn brought(
    mind: &mut Mind,
    cause: CauseId,
    group: GroupId,
    gone: &[EffectId],
    wanted: &[EffectId],
) -> Option<EffectId> {
    let suits = |fault: &EffectId| wanted.is_empty() || wanted.contains(fault);
    if !gone.iter().any(suits) {
        return None;
    }
    if let [one] = gone {
        return Some(*one);
    }
    let implied = mind.simulation().implied(cause, group);
    let raised = |fault: EffectId| {
        let found = implied.effects.iter().find(|e| e.effect == fault);
        found.map_or(0.0, |e| e.with - e.without)
    };
    let most = |a: EffectId, b: EffectId| if raised(b) > raised(a) { b } else { a };
    let main = gone.iter().copied().reduce(most)?;
    let wanted = gone.iter().copied().filter(suits).reduce(most)?;
    (raised(wanted) >= AS_MUCH * raised(main)).then_some(wanted)
}

fn club_of(
    base: &crate::knowledge::KnowledgeBase,
    group: GroupId,
    chance: &mut Chance,
) -> Option<ClubId> {
    let clubs: Vec<ClubId> = base
        .clubs
        .iter()
        .enumerate()
        .filter(|(_, c)| c.group == group)
        .map(|(i, _)| ClubId::from_index(i))
        .collect();
    chance.pick(&clubs).copied()
}

impl Pupil {
    /// The clubs spoken of.
    pub fn stands(&self) -> impl Iterator<Item = &Stand> {
        std::iter::once(&self.first).chain(&self.second)
    }

    /// A stand's clubs and lie, as the diagnosis takes them. The lie is that of the first club.
    pub fn pattern(&self, stand: &Stand) -> Pattern {
        Pattern {
            club: Some(stand.club),
            group: stand.group,
            said: true,
            groups: vec![stand.group],
            lie: self.lie.filter(|_| stand.club == self.first.club),
        }
    }

    /// Whether the golfer has the cause.
    pub fn has(&self, cause: CauseId) -> bool {
        self.first.case.causes.binary_search(&cause).is_ok()
    }

    /// The causes at work, the costliest first.
    pub fn at_work(&self) -> impl Iterator<Item = &Worth> {
        self.worths.iter().filter(|w| w.at_work())
    }
}
