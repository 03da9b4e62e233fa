//! The lesson book: what was said, found, practised and measured, kept per golfer, and whether
//! practice helped.
//!
//! Takes entries, blocks of balls and times from a talk; gives back records, verdicts and the state
//! of what was agreed. [`Lessons`] is a folder of books and [`Book`] one of them, both safe against
//! torn writes, failing syncs and second talks; [`judge`] and [`standing`] are pure and say whether a
//! change is more than chance; [`agreed`], [`facts`] and [`series`] read progress out of records.
//!
//! Invariants: a record that was acknowledged is never lost and none is invented; no error is a
//! sentence, each carries path, place and the system's word. Only `storage` touches files and nobody
//! here reads a clock. Start reading at [`Entry`] for what is kept, at `journal` for how.

mod folder;
mod journal;
mod key;
mod line;
mod measure;
mod memory;
mod moment;
mod progress;
mod record;
mod statistics;
mod storage;
mod verdict;

pub use folder::{Forgot, Lessons, Listed, Repaired, Verified};
pub use journal::{Act, Book, BookError, Condition, ReadOnly};
pub use key::{GolferKey, data_folder};
pub use line::{Damage, Fault, MOST_TEXT, Place};
pub use measure::{Better, Block, Figure, Goal, MeasureError, Series, Shots, Taken, Tally};
pub use memory::{Memory, MemoryFile};
pub use moment::{Moment, NotAMoment};
pub use progress::{
    Agreed, Due, FAILURES_THAT_REOPEN, Level, Point, Stage, agreed, facts, failed_tests, last_talk,
    measures, series, standing_entries,
};
pub use record::{
    Began, BlockHit, Content, Correction, Entry, Facts, Followed, Judged, Lost, Note, Open, Opened,
    Prescribed, Record, RetestHit, TakenBack, Turn, Wiped, Word,
};
pub use storage::{Access, Disk, Found, Hold, Storage, StoredFile};
pub use verdict::{
    Change, Comparison, Feedback, JudgeError, Judgement, LEAST_RETEST_GAP, Looks, Retest, Standing,
    Summary, Verdict, balls_to_show_change, balls_to_show_hits, detectable_change, judge, standing,
    summary,
};
