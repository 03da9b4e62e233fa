//! What a talk remembers of earlier ones, and what it wants written down.
//!
//! Holds a copy of the golfer's records and the entries that this talk adds, and hands the latter to
//! whoever keeps the book. Works the same without a book: then the records live as long as the talk.
//! Invariant: what is added is in the copy at once, so that verdicts do not wait for a disk; numbers
//! of own records are put right when the book has given them. Knows no file and no clock: the
//! present moment is told.

use crate::lesson::{Began, Entry, Moment, Record, TakenBack};

/// Something that only the keeper of the book can do.
#[derive(Debug, Clone, PartialEq)]
pub enum Wish {
    /// Write this down.
    Keep(Entry),
    /// Go on with the book of another golfer.
    Open(String),
    /// Remove this golfer's book.
    Forget,
}

/// Memory of one golfer.
#[derive(Debug, Clone)]
pub(super) struct Notebook {
    /// Everything in the golfer's book, and what this talk added.
    pub(super) records: Vec<Record>,
    /// Whose book it is, as typed; empty for the one without a name.
    pub(super) golfer: String,
    /// A book stands behind it.
    pub(super) backed: bool,
    /// The present moment, as told.
    pub(super) now: Moment,
    /// Lines of the last talk, until they are taken up again or something new is told.
    pub(super) earlier: Vec<String>,
    /// When they were told.
    pub(super) earlier_at: Option<Moment>,
    /// When what was taken up of them in this talk was told.
    pub(super) told: Option<Moment>,
    /// How many lines they are.
    pub(super) told_lines: usize,
    /// They were taken up with this line.
    pub(super) took_up: bool,
    wishes: Vec<Wish>,
    own: Vec<u64>,
    began: bool,
}

impl Notebook {
    /// An empty one.
    pub(super) const fn new(now: Moment) -> Self {
        Self {
            records: Vec::new(),
            golfer: String::new(),
            backed: false,
            now,
            earlier: Vec::new(),
            earlier_at: None,
            told: None,
            told_lines: 0,
            took_up: false,
            wishes: Vec::new(),
            own: Vec::new(),
            began: false,
        }
    }

    /// Adds an entry; the first one of a talk is preceded by the talk's beginning.
    pub(super) fn keep(&mut self, knowledge: &str, entry: Entry) {
        if !self.began {
            self.began = true;
            self.add(Entry::Began(Began {
                knowledge: knowledge.to_owned(),
            }));
        }
        self.add(entry);
    }

    fn add(&mut self, entry: Entry) {
        let seq = self.records.last().map_or(1, |last| last.seq + 1);
        // Every entry of this version has a text form; one without could not be kept anyway.
        if let Ok(record) = Record::new(seq, self.now, &entry) {
            self.records.push(record);
            self.own.push(seq);
            self.wishes.push(Wish::Keep(entry));
        }
    }

    pub(super) fn wish(&mut self, wish: Wish) {
        self.wishes.push(wish);
    }

    /// Hands over what is to be done, once.
    pub(super) fn take_wishes(&mut self) -> Vec<Wish> {
        std::mem::take(&mut self.wishes)
    }

    /// The book as it stands now, with the numbers it gave to the entries handed over last.
    pub(super) fn kept(&mut self, seqs: &[u64], records: &[Record]) {
        let from = self.own.len().saturating_sub(seqs.len());
        for (own, seq) in self.own.iter_mut().skip(from).zip(seqs) {
            *own = *seq;
        }
        records.clone_into(&mut self.records);
    }

    /// How many entries this talk has added.
    pub(super) const fn length(&self) -> usize {
        self.own.len()
    }

    /// Takes back what was practised or agreed since then: it stays written and counts no more.
    /// Lines of the talk stay, they are what was typed.
    pub(super) fn take_back(&mut self, since: usize, knowledge: &str) {
        let own: Vec<u64> = self.own.iter().skip(since).copied().collect();
        let of: Vec<u64> = self
            .records
            .iter()
            .filter(|r| own.contains(&r.seq))
            .filter(|r| {
                matches!(
                    r.entry(),
                    Some(
                        Entry::Prescribed(_)
                            | Entry::Baseline(_)
                            | Entry::Practice(_)
                            | Entry::Verdict(_)
                            | Entry::Retest(_)
                            | Entry::Word(_)
                    )
                )
            })
            .map(|r| r.seq)
            .collect();
        if !of.is_empty() {
            self.keep(knowledge, Entry::TakenBack(TakenBack { of }));
        }
    }

    /// True if balls were counted in this talk, or the last one was taken up.
    pub(super) fn goes_on(&self) -> bool {
        let of_balls = |r: &Record| {
            matches!(
                r.entry(),
                Some(Entry::Baseline(_) | Entry::Practice(_) | Entry::Retest(_))
            )
        };
        let mut own = self.records.iter().filter(|r| self.own.contains(&r.seq));
        self.told_lines > 0 || own.any(of_balls)
    }

    /// A new talk in the same book.
    pub(super) const fn begin_again(&mut self) {
        self.began = false;
    }
}
