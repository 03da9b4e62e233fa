//! Teaching new coaches: a golfer drawn from the same population as every diagnosis, who can be
//! looked at, asked and watched, and a comparison of what the learner made of it with the program.
//!
//! [`draw`] gives a [`Pupil`] for a seed; a [`Desk`] notes what the learner has seen and what it cost;
//! [`compare`] sets a [`Commitment`] beside the truth, beside the program's ranking with the same
//! information, and beside the questions that would have been worth more. [`schedule`] says which
//! case comes next in a course, [`recognise`] which causal links a typed reason names.
//!
//! Invariants: the same seed gives the same pupil, answers and shots; nothing here reads a clock or
//! draws unseeded chance; the truth is never told before a commitment ([`compare`] takes one). Only
//! ids, numbers and words of the phrase lists leave this room: it makes no sentence.

mod agreeing;
mod chain;
mod chance;
mod compare;
mod desk;
mod draw;
mod fitting;
mod paper;
mod pieces;
mod record;
mod score;
mod together;
mod voice;
mod watch;

pub use agreeing::contradict;
pub use chain::{Link, LinkEnd, Reasoned, recognise};
pub use chance::Chance;
pub use compare::{
    Asked, Comparison, Gain, Moved, Turned, Worth, WrongNumber, compare, look_at, looked_at,
    settling, solved, wrong_number,
};
pub use desk::{Answer, Desk, Done, LEAST, MINUTES, Step, Turf, Way};
pub use draw::{NoPupil, Pupil, Stand, draw};
pub use paper::{PaperCase, paper};
pub use pieces::{Piece, against};
pub use record::{Attempt, Next, Standing, attempts, entry_of, schedule, standings};
pub use score::{Commitment, Score, points};
pub use together::{Together, bringing, together};
pub use voice::{Account, Hunch, Mention, reads_back};
pub use watch::{Read, Ten};

/// Kinds of symptom that say what the shots do, rather than what was felt or when it happens.
const OF_SHOTS: [&str; 8] = [
    "contact", "turf", "start", "curve", "shape", "height", "distance", "spin",
];
