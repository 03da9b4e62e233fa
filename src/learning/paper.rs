//! A paper test: pupils with everything a learner would see, fixed in advance.
//!
//! Takes a seed, a count and what is wanted; gives pupils with a desk on which the complaint, ten
//! shots, the measured numbers of the same ten and a few looks lie, the looks being those the program itself would
//! take. A paper is named by seed, count and level: the same name gives the same paper, so that a
//! filled one can be graded without its key. Writes nothing.

use super::chance::Chance;
use super::desk::{Desk, Way};
use super::draw::{NoPupil, Pupil, draw};
use crate::diagnosis::{Mind, diagnose};
use crate::knowledge::Wish;
use crate::reading::Phrases;

/// A case of a paper.
#[derive(Debug, Clone)]
pub struct PaperCase {
    /// Who.
    pub pupil: Pupil,
    /// What is told of them.
    pub desk: Desk,
}

/// Looks told in each case.
const LOOKS: usize = 5;
/// Case numbers run up to this.
const NUMBERS: u64 = 1_000_000;
/// Seeds tried for one case.
const TRIES: usize = 20;

/// The cases of a paper.
///
/// # Errors
/// [`NoPupil`] if nobody meets what is wanted.
pub fn paper(
    mind: &mut Mind,
    phrases: &Phrases,
    wanted: &Wish,
    seed: u64,
    count: usize,
) -> Result<Vec<PaperCase>, NoPupil> {
    let mut chance = Chance::new(seed, 60);
    (0..count)
        .map(|_| {
            let mut pupil = Err(NoPupil { tried: 0 });
            for _ in 0..TRIES {
                pupil = draw(mind, phrases, chance.whole() % NUMBERS, wanted);
                if pupil.is_ok() {
                    break;
                }
            }
            let pupil = pupil?;
            let mut desk = Desk::new(mind.base(), &pupil);
            desk.shots(mind, &pupil, 0);
            desk.measured_as_shown(mind, &pupil);
            for _ in 0..LOOKS {
                let case = desk.case(&pupil, usize::MAX);
                let Some(next) = diagnose(mind, &case).next_check else {
                    break;
                };
                desk.check(mind, &pupil, next.check, Way::Looked);
            }
            Ok(PaperCase { pupil, desk })
        })
        .collect()
}
