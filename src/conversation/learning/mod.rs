//! The learner's talk as a value: a line in, blocks out.
//!
//! A [`Trainee`] puts one pupil after another before a new coach. First the learner looks and asks,
//! then commits in three steps (what the club did, up to three causes with chances, what to practise),
//! may give the reason in their own words, and only then is the comparison made. Every line gets a
//! reply; nothing a person can type makes it fail; an emergency in the line comes before everything.
//! What is to be kept in the learner's record comes along as entries; writing them is the caller's
//! business. Reads no clock and no file, makes no sentence.
//!
//! Start reading at [`Trainee::respond`].

mod afterwards;
mod committing;
mod finding;
mod grading;
mod inside;
mod looking;
mod order;
mod plainly;
mod practising;
mod reasons;
mod said;
mod supposing;
mod teacher;

use std::sync::Arc;

use crate::causes::CausesError;
use crate::diagnosis::Mind;
use crate::knowledge::{CautionLevel, KnowledgeBase, Wish};
use crate::learning::{
    Attempt, Commitment, Comparison, Desk, LinkEnd, Next, Pupil, draw, entry_of, schedule,
};
use crate::lesson::{Entry, Open};
use crate::reading::Phrases;
use crate::reading::safety::Lookout;
use crate::vocabulary::{EffectId, GroupId, Hand};

pub use grading::{BadLine, BadPaper, Filled, MOST_CASES, PaperName};
pub use order::{ORDERS, Order, OrderWords};
pub use said::{Block, From, Heard, Note, Supposed, Taught, Told};

use committing::Stage;

/// The longest line that is read.
const LONGEST: usize = 2_000;
/// An order's name with so many words after it is a reason where a reason is asked for.
const REASONING: usize = 3;
/// Seeds tried for a pupil of the family that is due.
const SEEDS: u64 = 400;
/// Case numbers are small enough to be told to somebody.
pub const HIGHEST_CASE: u64 = 999_999;

/// How to begin.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Start {
    /// The first case; the following ones count up from it.
    pub case: u64,
    /// The level, by its place; the first by default.
    pub level: usize,
    /// Only these club groups.
    pub groups: Vec<GroupId>,
    /// What the record holds.
    pub attempts: Vec<Attempt>,
}

/// A pupil before the learner and how far the learner is.
#[derive(Debug, Clone)]
struct Sitting {
    pupil: Pupil,
    desk: Desk,
    stage: Stage,
    commitment: Commitment,
    reasons: Vec<LinkEnd>,
    comparison: Option<Box<Comparison>>,
    /// The fault that the teacher was last asked about.
    subject: Option<EffectId>,
    from: From,
}

/// A talk with a new coach.
#[derive(Debug, Clone)]
pub struct Trainee {
    mind: Mind,
    phrases: Arc<Phrases>,
    lookout: Arc<Lookout>,
    start: Start,
    next_case: u64,
    lesson: Option<usize>,
    sitting: Option<Sitting>,
}

impl Trainee {
    /// A talk from this knowledge.
    ///
    /// # Errors
    /// [`CausesError`] if the knowledge describes no golfers.
    pub fn new(base: Arc<KnowledgeBase>, start: Start) -> Result<Self, CausesError> {
        Ok(Self::with_mind(Mind::new(base)?, start))
    }

    /// A talk with golfers already made.
    pub fn with_mind(mind: Mind, start: Start) -> Self {
        let phrases = Arc::new(Phrases::compile(&mind.base().lexicon));
        let lookout = Arc::new(Lookout::new(mind.base()));
        let last = mind.base().levels.len().saturating_sub(1);
        Self {
            mind,
            phrases,
            lookout,
            next_case: start.case,
            start: Start {
                level: start.level.min(last),
                ..start
            },
            lesson: None,
            sitting: None,
        }
    }

    /// The knowledge.
    pub fn base(&self) -> &KnowledgeBase {
        self.mind.base()
    }

    /// The hand of the pupil; right if nobody is there.
    pub fn hand(&self) -> Hand {
        self.sitting.as_ref().map_or(Hand::Right, |s| s.pupil.hand)
    }

    /// The pupil before the learner, for whoever may look behind the curtain.
    pub fn pupil(&self) -> Option<&Pupil> {
        self.sitting.as_ref().map(|s| &s.pupil)
    }

    /// What the learner has seen of the pupil.
    pub fn desk(&self) -> Option<&Desk> {
        self.sitting.as_ref().map(|s| &s.desk)
    }

    /// The first words, with the first case.
    pub fn greeting(&mut self) -> Taught {
        let mut taught = Taught::of(Block::Welcome);
        taught.then(self.next());
        taught
    }

    /// The first words, with the case of this number and no other.
    pub fn greeting_with(&mut self, case: u64) -> Taught {
        let mut taught = Taught::of(Block::Welcome);
        taught.then(self.case(&case.to_string()));
        taught
    }

    /// Words for completion.
    pub fn completions(&self) -> Vec<String> {
        let mut out: Vec<String> = ORDERS.iter().map(|o| o.name.to_owned()).collect();
        out.extend(self.base().causes.iter().map(|c| c.name.clone()));
        out.extend(self.base().effects.iter().map(|e| e.name.clone()));
        out.sort();
        out.dedup();
        out
    }

    /// The reply to one line.
    pub fn respond(&mut self, line: &str) -> Taught {
        let mut end = line.len().min(LONGEST);
        while !line.is_char_boundary(end) {
            end -= 1;
        }
        let whole = end == line.len();
        let line = line.get(..end).unwrap_or("").trim();
        let mut taught = self.reply(line);
        if !whole {
            taught.blocks.insert(0, Block::Note(Note::Cut(LONGEST)));
        }
        taught
    }

    fn reply(&mut self, line: &str) -> Taught {
        if line.is_empty() {
            return Taught::note(Note::Empty);
        }
        let alarm = self.lookout.look(line).into_iter().next();
        if let Some(alarm) = alarm.filter(|a| a.level == CautionLevel::Emergency) {
            return Taught::of(Block::Caution(alarm.caution));
        }
        let stage = self.sitting.as_ref().map(|s| s.stage);
        if stage == Some(Stage::Looking)
            && let Some(named) = plainly::committed(line)
        {
            let any = !finding::faults(self.base(), named).is_empty();
            return self.begin_commitment(if any { named } else { "" });
        }
        let reason = stage == Some(Stage::Reason);
        if let Some((order, rest)) = order::order(line)
            // "Causes an open face, so it slices" is a reason, not an order.
            && !(reason && rest.split_whitespace().count() >= REASONING)
        {
            return self.carry_out(order, rest);
        }
        match self.sitting.as_ref().map(|s| s.stage) {
            None | Some(Stage::Over) => self.afterwards(line),
            Some(Stage::Looking) => self.bare(line),
            Some(_) => self.commit_line(line),
        }
    }

    fn carry_out(&mut self, order: Order, rest: &str) -> Taught {
        match order {
            Order::Help => Taught::of(Block::Help),
            Order::Shots => self.shots(rest),
            Order::Numbers => self.numbers(rest),
            Order::Ask => self.ask(rest, crate::learning::Way::Asked),
            Order::Look => self.ask(rest, crate::learning::Way::Looked),
            Order::Try => self.attempt_change(rest),
            Order::Causes => self.list_causes(rest),
            Order::Faults => Taught::of(Block::Faults),
            Order::Notes => self.notes(),
            Order::Commit => self.begin_commitment(rest),
            Order::Why => self.why(rest),
            Order::Settle => self.settle(),
            Order::Lost => self.lost(),
            Order::GiveUp => self.give_up(),
            Order::Next => self.next_or_refuse(),
            Order::Case => self.case(rest),
            Order::Level => self.level(rest),
            Order::Course => Taught::of(Block::Course {
                level: self.start.level,
            }),
            Order::Lesson => self.lesson(rest),
            Order::Claim => self.claim(rest),
            Order::Progress => Taught::of(Block::Progress(self.start.attempts.clone())),
            Order::Leave => self.leave(),
        }
    }

    // ------------------------------------------------------------------ cases

    fn next_or_refuse(&mut self) -> Taught {
        match &self.sitting {
            Some(s) if s.stage != Stage::Over => Taught::note(Note::StillOpen(s.pupil.seed)),
            _ => self.next(),
        }
    }

    /// The next case of the lesson, or of the level.
    fn next(&mut self) -> Taught {
        if let Some(lesson) = self.lesson {
            let done = match self.sitting.as_ref().map(|s| s.from) {
                Some(From::Lesson { lesson: l, case }) if l == lesson => case + 1,
                _ => 0,
            };
            let cases = self
                .base()
                .lessons
                .iter()
                .nth(lesson)
                .map_or(0, |l| l.cases.len());
            if done < cases {
                return self.open_lesson_case(lesson, done);
            }
            self.lesson = None;
            let mut taught = Taught::note(Note::LessonDone(lesson));
            taught.then(self.open_level_case());
            return taught;
        }
        self.open_level_case()
    }

    fn open_lesson_case(&mut self, lesson: usize, case: usize) -> Taught {
        let Some(wish) = self
            .base()
            .lessons
            .iter()
            .nth(lesson)
            .and_then(|l| l.cases.get(case))
            .cloned()
        else {
            return Taught::note(Note::NobodyFits);
        };
        let wanted = match self.narrowed(wish) {
            Ok(wanted) => wanted,
            Err(has) => return Taught::note(Note::OtherClubs(has)),
        };
        let seed = self.next_case;
        self.next_case = following(seed);
        let from = From::Lesson { lesson, case };
        self.open(seed, &wanted, from)
    }

    /// The next case that the course wants: the first seed from here whose pupil shows the family
    /// that is due, so that level and number alone name a case.
    fn open_level_case(&mut self) -> Taught {
        let at = match self.at_level() {
            Ok(at) => at,
            Err(has) => return Taught::note(Note::OtherClubs(has)),
        };
        let Some((level, wanted)) = at else {
            let seed = self.next_case;
            self.next_case = following(seed);
            return self.open(seed, &Wish::anything(), From::Anywhere);
        };
        let base = Arc::clone(self.mind.base());
        let entry = base.levels.iter().nth(level);
        let (id, faults, blocked) = entry.map_or(("", &[][..], 0), |l| {
            (l.id.as_str(), l.wish.faults.as_slice(), l.blocked)
        });
        let (next, due) = schedule(
            &base,
            &self.start.attempts,
            (id, faults, blocked),
            self.next_case,
        );
        let mut seed = self.next_case;
        for _ in 0..SEEDS {
            let fits = due.is_empty()
                || draw(&mut self.mind, &self.phrases, seed, &wanted)
                    .is_ok_and(|p| due.contains(&p.fault));
            if fits {
                break;
            }
            seed = following(seed);
        }
        self.next_case = following(seed);
        self.open(
            seed,
            &wanted,
            From::Level {
                level,
                next: Some(next),
            },
        )
    }

    fn at_level(&self) -> Result<Option<(usize, Wish)>, Vec<GroupId>> {
        let level = self.start.level;
        let Some(entry) = self.base().levels.iter().nth(level) else {
            return Ok(None);
        };
        Ok(Some((level, self.narrowed(entry.wish.clone())?)))
    }

    /// Only the groups asked for at the start, of those that the level or lesson has.
    ///
    /// # Errors
    /// The groups it has, if none of those asked for is among them.
    fn narrowed(&self, mut wanted: Wish) -> Result<Wish, Vec<GroupId>> {
        let asked = &self.start.groups;
        if wanted.groups.is_empty() {
            wanted.groups.clone_from(asked);
        } else if !asked.is_empty() {
            let has = std::mem::take(&mut wanted.groups);
            wanted.groups = has.iter().copied().filter(|g| asked.contains(g)).collect();
            if wanted.groups.is_empty() {
                return Err(has);
            }
        }
        Ok(wanted)
    }

    /// The groups of a level, if none of them was asked for at the start; the level from 1.
    pub fn other_clubs(&self, level: usize) -> Option<Vec<GroupId>> {
        let entry = self.base().levels.iter().nth(level.checked_sub(1)?)?;
        self.narrowed(entry.wish.clone()).err()
    }

    fn open(&mut self, seed: u64, wanted: &Wish, from: From) -> Taught {
        let Ok(pupil) = draw(&mut self.mind, &self.phrases, seed, wanted) else {
            return Taught::note(Note::NobodyFits);
        };
        let desk = Desk::new(self.mind.base(), &pupil);
        let mut taught = Taught::of(Block::Opens {
            pupil: Box::new(pupil.clone()),
            from,
        });
        taught.entries.push(self.case_entry(&pupil, from));
        self.sitting = Some(Sitting {
            pupil,
            desk,
            stage: Stage::Looking,
            commitment: Commitment::default(),
            reasons: Vec::new(),
            comparison: None,
            subject: None,
            from,
        });
        taught
    }

    fn case_entry(&self, pupil: &Pupil, from: From) -> Entry {
        let mut open = Open::default();
        let base = self.base();
        open.fields.insert("case".into(), pupil.seed.into());
        open.fields
            .insert("level".into(), self.place_id(from).into());
        open.fields.insert(
            "group".into(),
            base.group(pupil.first.group).id.clone().into(),
        );
        open.fields
            .insert("knowledge".into(), base.hash.clone().into());
        Entry::Case(open)
    }

    /// The text id of the level or lesson a case is from.
    fn place_id(&self, from: From) -> String {
        let base = self.base();
        match from {
            From::Anywhere => String::new(),
            From::Level { level, .. } => base
                .levels
                .iter()
                .nth(level)
                .map_or(String::new(), |l| l.id.clone()),
            From::Lesson { lesson, .. } => base
                .lessons
                .iter()
                .nth(lesson)
                .map_or(String::new(), |l| l.id.clone()),
        }
    }

    fn case(&mut self, rest: &str) -> Taught {
        match rest.trim().trim_start_matches('#').parse::<u64>() {
            Ok(seed) if seed <= HIGHEST_CASE => {
                self.next_case = following(seed);
                self.lesson = None;
                match self.at_level() {
                    Ok(Some((level, wanted))) => {
                        self.open(seed, &wanted, From::Level { level, next: None })
                    }
                    Err(has) => Taught::note(Note::OtherClubs(has)),
                    Ok(None) => self.open(seed, &Wish::anything(), From::Anywhere),
                }
            }
            _ => Taught::note(Note::NoCaseNumber(rest.to_owned())),
        }
    }

    fn level(&mut self, rest: &str) -> Taught {
        let levels = self.base().levels.len();
        let wanted = rest.trim().to_lowercase();
        let by_name = self
            .base()
            .levels
            .iter()
            .position(|l| l.id == wanted.replace(' ', "_") || l.name == wanted);
        let place = wanted
            .parse::<usize>()
            .ok()
            .filter(|n| (1..=levels).contains(n))
            .map(|n| n - 1)
            .or(by_name);
        match place {
            Some(place) => {
                self.start.level = place;
                self.lesson = None;
                self.open_level_case()
            }
            None => Taught::note(Note::NoSuchLevel(levels)),
        }
    }

    fn lesson(&mut self, rest: &str) -> Taught {
        let lessons = self.base().lessons.len();
        let wanted = rest.trim().to_lowercase();
        let by_id = self
            .base()
            .lessons
            .iter()
            .position(|l| l.id == wanted.replace(' ', "_"));
        let place = wanted
            .parse::<usize>()
            .ok()
            .filter(|n| (1..=lessons).contains(n))
            .map(|n| n - 1)
            .or(by_id);
        match place {
            Some(place) => {
                self.lesson = Some(place);
                self.sitting = None;
                let mut taught = Taught::of(Block::Lesson(place));
                taught.then(self.next());
                taught
            }
            None => Taught::note(Note::NoSuchLesson(lessons)),
        }
    }

    fn claim(&self, rest: &str) -> Taught {
        let claims: Vec<_> = self
            .lesson
            .and_then(|l| self.base().lessons.iter().nth(l))
            .map_or(Vec::new(), |l| l.claims.clone());
        let asked = rest
            .trim()
            .parse::<usize>()
            .ok()
            .and_then(|n| n.checked_sub(1));
        match asked.and_then(|n| claims.get(n)) {
            Some(claim) => Taught::of(Block::Claim(*claim)),
            None => Taught::note(Note::NoSuchClaim(claims.len())),
        }
    }

    fn leave(&self) -> Taught {
        let open = self
            .sitting
            .as_ref()
            .filter(|s| s.stage != Stage::Over)
            .map(|s| (s.pupil.seed, s.from));
        Taught {
            blocks: vec![Block::Note(Note::Left {
                open,
                groups: self.start.groups.clone(),
            })],
            leave: true,
            entries: Vec::new(),
        }
    }

    /// Takes a finished case into the record.
    fn keep(&mut self, comparison: &Comparison) -> Option<Attempt> {
        let sitting = self.sitting.as_ref()?;
        let level = self.place_id(sitting.from);
        let attempt = entry_of(
            self.mind.base(),
            &sitting.pupil,
            &level,
            &sitting.commitment,
            comparison,
        );
        self.start.attempts.push(attempt.clone());
        Some(attempt)
    }
}

/// The number after this one.
const fn following(case: u64) -> u64 {
    if case >= HIGHEST_CASE { 0 } else { case + 1 }
}

/// Why the next case is what it is; nothing if it was asked for by number.
pub const fn reason(from: From) -> Option<Next> {
    match from {
        From::Level { next, .. } => next,
        From::Lesson { .. } | From::Anywhere => None,
    }
}
