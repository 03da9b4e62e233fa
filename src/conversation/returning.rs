//! A golfer who comes back: what was agreed, how it goes over time, and the page to take home.
//!
//! Reads the records of the book that stands behind the talk; nothing here touches a file. What was
//! told last time is not taken for granted again: it is shown, and taken up when the golfer says so
//! or when practice that rested on it failed. Words are not made here.

use std::sync::Arc;

use super::arc;
use super::note::Note;
use super::notebook::{Notebook, Wish};
use super::reply::{
    AgreedSaid, Block, BookEntry, BookLine, Course, Question, Reply, Returning, Sheet,
};
use super::talk::Talk;
use super::{Session, aiming, results, turn};
use crate::knowledge::{KnowledgeBase, Lasting};
use crate::lesson::{
    self, Due, Entry, Facts, Goal, Judged, Moment, Record, Stage, Summary, Turn, Verdict,
};
use crate::reading::What;
use crate::vocabulary::CheckId;

/// Lines of the book that are shown.
const BOOK_LINES: usize = 20;

/// Causes on the page to take home.
const SHEET_CAUSES: usize = 3;

impl Session {
    /// Tells the session what time it is. It reads no clock itself.
    pub const fn tell_time(&mut self, now: Moment) {
        self.notebook.now = now;
    }

    /// Begins a talk with the golfer whose book this is; the reply greets somebody who was here
    /// before and is empty for somebody new.
    pub fn remember(&mut self, golfer: &str, records: &[Record]) -> Reply {
        let known = lesson::facts(records);
        let hand = known.hand.or(self.hand_given);
        self.notebook = Notebook::new(self.notebook.now);
        self.start_over(hand);
        golfer.clone_into(&mut self.notebook.golfer);
        self.notebook.backed = true;
        records.clone_into(&mut self.notebook.records);
        self.recall_lasting();
        let talk = lesson::last_talk(records);
        let last = records.iter().rev().find_map(|r| r.at);
        let complaint = complaint(records);
        if let Some((at, lines)) = &talk {
            self.notebook.earlier_at = *at;
            self.notebook.earlier = lines.iter().map(|l| (*l).to_owned()).collect();
        }
        let agreed = self.agreed_said();
        let unknown = lesson::agreed(records)
            .filter(|_| agreed.is_none())
            .map(|a| a.prescribed.cause.clone());
        if talk.is_none() && agreed.is_none() && unknown.is_none() {
            return Reply::default();
        }
        if let Some(agreed) = &agreed {
            self.resume(agreed);
        }
        Reply::of(Block::Returning(Box::new(Returning {
            golfer: golfer.to_owned(),
            last,
            now: self.notebook.now,
            complaint,
            agreed,
            unknown,
            lasting: self.talk.lasting.clone(),
        })))
    }

    /// Takes over the answers of earlier lessons that still hold.
    pub(super) fn recall_lasting(&mut self) {
        let base = Arc::clone(self.mind.base());
        self.talk.lasting = lesson::facts(&self.notebook.records)
            .answers
            .iter()
            .filter_map(|answer| {
                let (id, answer) = answer.split_once(':')?;
                let check = base.find_check(id)?;
                base.check(check).lasting?;
                Some((check, answer == "yes"))
            })
            .collect();
    }

    /// What changed among the answers that outlive a lesson, as the book keeps it.
    fn lasting_news(&self, before: &Talk) -> Vec<String> {
        let base = self.base();
        let (now, then) = (self.talk.all_answers(), before.all_answers());
        let outlives = |check: CheckId| base.check(check).lasting.is_some();
        let given = now
            .iter()
            .filter(|answer| outlives(answer.0) && !then.contains(answer))
            .map(|(check, yes)| (*check, if *yes { "yes" } else { "no" }));
        let gone = then
            .iter()
            .filter(|(check, _)| outlives(*check) && now.iter().all(|(c, _)| c != check))
            .map(|(check, _)| (*check, "open"));
        given
            .chain(gone)
            .map(|(check, answer)| format!("{}:{answer}", base.check(check).id))
            .collect()
    }

    /// The clubs are new: what was known of the old ones no longer holds.
    pub(super) fn new_clubs(&mut self) -> Reply {
        let base = Arc::clone(self.mind.base());
        let of_kit = |check: CheckId| base.check(check).lasting == Some(Lasting::Kit);
        let before = self.talk.clone();
        self.talk.lasting.retain(|(check, _)| !of_kit(*check));
        self.talk.answers.retain(|(check, _)| !of_kit(*check));
        let dropped = before.all_answers().len() - self.talk.all_answers().len();
        if dropped > 0 {
            self.step(before);
            self.judge();
        }
        Reply::note(Note::NewClubs(dropped))
    }

    /// Puts the prescription in force back into the talk, and waits for the count that is due.
    fn resume(&mut self, agreed: &AgreedSaid) {
        let stage = match agreed.due {
            Due::Baseline => Stage::Baseline,
            Due::Practice | Due::Verdict | Due::MoreBalls => Stage::Practice,
            Due::RetestNow => Stage::Retest,
            Due::RetestFrom(_) | Due::Rethink | Due::Nothing => return,
        };
        if let Some(drill) = agreed.drill {
            self.talk.prescribed = Some((agreed.cause, drill));
            self.talk.counted = agreed.count;
        }
        self.talk.pending = Some(Question::Tally {
            stage,
            cause: agreed.cause,
            drill: agreed.drill,
            count: agreed.count,
            balls: agreed.balls,
        });
    }

    /// What is to be done by whoever keeps the book, each given once.
    pub fn wishes(&mut self) -> Vec<Wish> {
        self.notebook.take_wishes()
    }

    /// The book as it stands, with the numbers it gave to what was handed over last.
    pub fn kept(&mut self, seqs: &[u64], records: &[Record]) {
        self.notebook.kept(seqs, records);
    }

    /// The stable facts to begin a book with.
    pub fn stable_facts(&self) -> Facts {
        Facts {
            hand: self.talk.hand,
            clubs: Vec::new(),
            answers: self.lasting_news(&Talk::default()),
        }
    }

    /// Whose book stands behind the talk; empty for the one without a name.
    pub fn golfer(&self) -> &str {
        &self.notebook.golfer
    }

    pub(super) fn note_down(&mut self, entry: Entry) {
        let knowledge = self.base().hash.clone();
        self.notebook.keep(&knowledge, entry);
    }

    /// Writes down a line that changed what is known, and a hand that was learned.
    pub(super) fn write_down(&mut self, line: &str, before: &Talk) {
        if self.talk == *before {
            return;
        }
        let base = Arc::clone(self.mind.base());
        let fresh = self.talk.statements.iter().skip(before.statements.len());
        let mut understood: Vec<String> = fresh
            .map(|s| match s.finding.what {
                What::Symptom(symptom) => base.symptom(symptom).id.clone(),
                What::Number(number) => base.quantity(number.quantity).id.clone(),
                What::AllWell => "all_well".to_owned(),
            })
            .collect();
        for (check, yes) in &self.talk.answers {
            if !before.answers.contains(&(*check, *yes)) {
                let answer = if *yes { "yes" } else { "no" };
                understood.push(format!("{}:{answer}", base.check(*check).id));
            }
        }
        self.note_down(Entry::Turn(Turn {
            said: line.chars().take(LONGEST_KEPT).collect(),
            understood,
            not_used: Vec::new(),
            took_up: self.notebook.took_up,
        }));
        // A book that is not there yet begins with what is known by then.
        let begun = self.notebook.records.iter().any(|r| r.seq == 0);
        let known = lesson::facts(&self.notebook.records);
        let hand = self.talk.hand.filter(|hand| known.hand != Some(*hand));
        let answers = self.lasting_news(before);
        if begun && (hand.is_some() || !answers.is_empty()) {
            self.note_down(Entry::Facts(Facts {
                hand,
                clubs: Vec::new(),
                answers,
            }));
        }
    }

    /// Tells the lines of the last talk again, if nothing was told in this one.
    pub(super) fn take_up_again(&mut self) -> usize {
        if self.talk.statements.iter().any(|s| !s.dropped) {
            return 0;
        }
        let lines = std::mem::take(&mut self.notebook.earlier);
        self.notebook.told = self.notebook.earlier_at;
        let mut earlier = self.clone();
        earlier.notebook = Notebook::new(self.notebook.now);
        earlier.start_over(self.talk.hand);
        for line in &lines {
            earlier.respond(line);
        }
        let told = earlier
            .talk
            .statements
            .iter()
            .filter(|s| !s.dropped)
            .count();
        self.talk.said = earlier.talk.said;
        self.talk.scope = earlier.talk.scope;
        self.talk.statements = earlier.talk.statements;
        self.talk.hints = earlier.talk.hints;
        self.talk.looked_at = earlier.talk.looked_at;
        self.talk.answers = earlier.talk.answers;
        self.talk.asked = earlier.talk.asked;
        for tried in earlier.talk.practised {
            if !self.talk.practised.iter().any(|t| t.cause == tried.cause) {
                self.talk.practised.push(tried);
            }
        }
        self.talk.ails = earlier.talk.ails;
        self.talk.stiff = earlier.talk.stiff;
        self.talk.cleared = earlier.talk.cleared;
        self.talk.no_pain = earlier.talk.no_pain;
        self.talk.seen = earlier.talk.seen;
        self.talk.hurts = earlier.talk.hurts;
        self.talk.child |= earlier.talk.child;
        self.notebook.took_up = told > 0;
        self.notebook.told_lines = self.talk.said.len();
        self.talk.held = earlier.talk.held;
        self.talk.grave = earlier.talk.grave;
        told
    }

    /// Somebody who comes back and tells how it goes speaks of the clubs and the complaint of the open
    /// lesson, unless they name others: what was told then is taken up.
    pub(super) fn carry_on(&mut self, line: &str) -> Option<Block> {
        let open = self.notebook.backed
            && !self.notebook.earlier.is_empty()
            && self.talk.prescribed.is_some()
            && self.talk.statements.iter().all(|s| s.dropped)
            && self.talk.hints.is_empty();
        if !open {
            return None;
        }
        let reading = self.read(line);
        if !reading.scope.groups.is_empty() || reading.scope.lie.is_some() {
            return None;
        }
        let known = complaint(&self.notebook.records);
        let base = self.base();
        let of_it = |what: &What| match what {
            What::Symptom(symptom) => known.contains(&base.symptom(*symptom).id),
            What::Number(number) => known.contains(&base.quantity(number.quantity).id),
            What::AllWell => true,
        };
        let said = reading.findings.iter();
        let goes_on = said.clone().next().is_some() && said.clone().any(|f| of_it(&f.what))
            || reading.history.iter().any(|a| of_it(&a.finding.what));
        let told = if goes_on { self.take_up_again() } else { 0 };
        (told > 0).then_some(Block::Note(Note::TakenUp(told)))
    }

    pub(super) fn take_up(&mut self) -> Option<Reply> {
        if self.notebook.earlier.is_empty() {
            // In a talk without a past the words are talk.
            return self
                .talk
                .is_empty()
                .then(|| Reply::note(Note::NothingEarlier));
        }
        let before = self.talk.clone();
        let told = self.take_up_again();
        self.step(before);
        self.talk.pending = None;
        let mut blocks = vec![Block::Note(Note::TakenUp(told))];
        if told > 0 {
            blocks.push(Block::Known(self.known()));
            blocks.extend(self.turn(turn::Depth::Told));
        }
        Some(Reply {
            blocks,
            leave: false,
        })
    }

    /// The prescription in force; none if there is none or its cause is unknown here.
    pub(super) fn agreed_said(&self) -> Option<AgreedSaid> {
        let agreed = lesson::agreed(&self.notebook.records)?;
        let base = self.base();
        let cause = base.find_cause(&agreed.prescribed.cause)?;
        let sum = |blocks: &[&lesson::Block]| lesson::summary(blocks).ok();
        Some(AgreedSaid {
            cause,
            drill: base.find_drill(&agreed.prescribed.drill),
            count: base.find_count(&agreed.prescribed.measure),
            measure: agreed.prescribed.measure.clone(),
            cue: agreed.prescribed.cue.clone(),
            goal: agreed.prescribed.goal,
            start: agreed.baseline.and_then(|b| sum(&[b])),
            practice: sum(&agreed.practice),
            retest: agreed.retest.and_then(|(_, hit)| sum(&[&hit.block])),
            judged: agreed.judged.map(|j| (j.verdict, j.standing)),
            due: agreed.due(self.notebook.now),
            balls: agreed.prescribed.balls,
        })
    }

    fn courses(&self) -> Vec<Course> {
        let records = &self.notebook.records;
        lesson::measures(records)
            .into_iter()
            .filter_map(|measure| {
                let points = lesson::series(records, measure).ok()?;
                Some(Course {
                    measure: measure.to_owned(),
                    points,
                    goal: last_goal(records, measure),
                    judged: last_verdict(records, measure).map(|j| (j.verdict, j.standing)),
                })
            })
            .collect()
    }

    /// What was counted over time.
    pub fn progress_reply(&self) -> Reply {
        let courses = self.courses();
        if courses.is_empty() {
            return Reply::note(Note::NothingCounted);
        }
        Reply::of(Block::Progress(courses))
    }

    /// What the book behind the talk holds.
    pub fn book_reply(&self) -> Reply {
        // A line that only gave a count is shown as the count.
        let counted =
            |entry: &Entry| matches!(entry, Entry::Turn(t) if results::read(&t.said).is_some());
        let mut lines: Vec<BookLine> = lesson::standing_entries(&self.notebook.records)
            .filter(|(_, entry)| !counted(entry))
            .filter_map(|(record, entry)| {
                Some(BookLine {
                    seq: record.seq,
                    at: record.at,
                    what: book_entry(self.base(), entry)?,
                })
            })
            .collect();
        if lines.is_empty() {
            return Reply::note(Note::EmptyBook);
        }
        let earlier = lines.len().saturating_sub(BOOK_LINES);
        lines.drain(..earlier);
        Reply::of(Block::Book {
            golfer: self.notebook.golfer.clone(),
            lines,
            earlier,
        })
    }

    pub(super) fn sheet(&self) -> Reply {
        let sheet = if self.diagnosis().is_none() && !self.notebook.earlier.is_empty() {
            // Back only for the page: of what was told last time.
            let mut told = self.clone();
            told.retell();
            told.lesson_sheet()
        } else {
            self.lesson_sheet()
        };
        match sheet {
            Some(sheet) => Reply::of(Block::Sheet(Box::new(sheet))),
            None => Reply::note(Note::NothingKnown),
        }
    }

    /// The page to take home: of this talk, and of the book behind it. None if nothing is known.
    pub fn lesson_sheet(&self) -> Option<Sheet> {
        let diagnosis = self.diagnosis();
        let agreed = self.agreed_said();
        if diagnosis.is_none() && agreed.is_none() {
            return None;
        }
        // What did not help is no longer worked on.
        let (agreed, tried) = match agreed {
            Some(failed) if failed.due == Due::Rethink => (None, Some(failed)),
            other => (other, None),
        };
        let focus = diagnosis.and_then(|d| Some((d, d.focus()?)));
        let aim = agreed
            .as_ref()
            .zip(focus)
            .map(|(a, (told, pattern))| aiming::shown_aim(self.base(), told, pattern, a.cause))
            .unwrap_or_default();
        Some(Sheet {
            golfer: self.notebook.golfer.clone(),
            on: self.notebook.now,
            heard: self.known(),
            arc: diagnosis.and_then(|d| arc::arc_numbers(self.base(), &self.talk, d)),
            causes: diagnosis.map_or_else(Vec::new, |d| {
                let mut named = turn::worth_naming(self.base(), &d.judgement);
                named.truncate(SHEET_CAUSES);
                named
            }),
            courses: self.courses(),
            told: self.notebook.told.filter(|_| {
                let earlier = self.notebook.told_lines;
                let mut statements = self.talk.statements.iter();
                statements.all(|s| s.dropped || s.line <= earlier)
            }),
            agreed,
            tried,
            aim,
            held: self.talk.held,
            care: self.talk.care(),
        })
    }

    /// The last lesson as it stood, told again from the book: for a page made later.
    pub fn retell(&mut self) -> usize {
        let told = self.take_up_again();
        self.judge();
        told
    }

    pub(super) fn lesson_for(&mut self, line: &str) -> Reply {
        let name = line
            .trim()
            .split_once(|c: char| c.is_whitespace())
            .and_then(|_| {
                let lower = line.trim().to_lowercase();
                ["switch to the book of ", "lesson for ", "book of "]
                    .iter()
                    .find(|start| lower.starts_with(**start))
                    .and_then(|start| line.trim().get(start.len()..))
            })
            .unwrap_or("");
        let name = bare_name(name).to_owned();
        if self.notebook.backed {
            self.notebook.wish(Wish::Open(name));
            Reply::default()
        } else {
            Reply::note(Note::NoBook)
        }
    }

    pub(super) fn forget_me(&mut self) -> Reply {
        if !self.notebook.backed {
            return Reply::note(Note::NoBook);
        }
        let question = Question::Forget;
        self.talk.pending = Some(question.clone());
        Reply::of(Block::Ask {
            question,
            value: None,
        })
    }

    /// A talk about the same golfer from nothing, the book gone.
    pub fn forgotten(&mut self) {
        let golfer = std::mem::take(&mut self.notebook.golfer);
        self.notebook = Notebook::new(self.notebook.now);
        self.notebook.backed = true;
        self.notebook.golfer = golfer;
        self.start_over(self.hand_given);
    }
}

/// Who somebody is to the coach, which is no part of a name.
const WHO: [&str; 16] = [
    "my", "our", "the", "a", "new", "pupil", "student", "golfer", "player", "client", "friend",
    "son", "daughter", "called", "named", "pupil,",
];

/// A name without what it is said to be of: "my pupil Ed" is Ed. Words alone stay as they are.
fn bare_name(said: &str) -> &str {
    let said = said.trim().trim_end_matches(['.', '!', '?']).trim();
    let mut name = said;
    while let Some((first, rest)) = name.split_once(' ') {
        if !WHO.contains(&first.to_lowercase().as_str()) {
            break;
        }
        name = rest.trim_start();
    }
    if WHO.contains(&name.to_lowercase().as_str()) {
        said
    } else {
        name
    }
}

/// The longest line that goes into the book; the rest of it was read and is not kept.
const LONGEST_KEPT: usize = 2_000;

/// Text ids of what was understood in the last talk in which anything was told.
pub(super) fn complaint(records: &[Record]) -> Vec<String> {
    let mut now: Vec<String> = Vec::new();
    let mut last: Vec<String> = Vec::new();
    for (_, entry) in lesson::standing_entries(records) {
        match entry {
            Entry::Began(_) if !now.is_empty() => last = std::mem::take(&mut now),
            Entry::Turn(turn) => {
                for id in &turn.understood {
                    if !id.contains(':') && !now.contains(id) {
                        now.push(id.clone());
                    }
                }
            }
            _ => {}
        }
    }
    if now.is_empty() { last } else { now }
}

fn last_goal(records: &[Record], measure: &str) -> Option<Goal> {
    lesson::standing_entries(records)
        .rev()
        .find_map(|(_, entry)| match entry {
            Entry::Prescribed(p) if p.measure == measure => Some(p.goal),
            _ => None,
        })
}

/// The last verdict given while this measure was the one agreed.
fn last_verdict<'a>(records: &'a [Record], measure: &str) -> Option<&'a Judged> {
    let mut current = None;
    let mut found = None;
    for (_, entry) in lesson::standing_entries(records) {
        match entry {
            Entry::Prescribed(p) => current = Some(p.measure.as_str()),
            Entry::Verdict(judged) if current == Some(measure) => found = Some(judged),
            _ => {}
        }
    }
    found
}

/// The answers that a record of stable facts keeps or sets aside, as far as this knowledge has them.
fn lasting_entry(base: &KnowledgeBase, facts: &Facts) -> Option<BookEntry> {
    let answers: Vec<(CheckId, Option<bool>)> = facts
        .answers
        .iter()
        .filter_map(|answer| {
            let (id, answer) = answer.split_once(':')?;
            let known = (answer != "open").then_some(answer == "yes");
            Some((base.find_check(id)?, known))
        })
        .collect();
    (!answers.is_empty()).then_some(BookEntry::Lasting(answers))
}

fn book_entry(base: &KnowledgeBase, entry: &Entry) -> Option<BookEntry> {
    let sum = |block: &lesson::Block| -> Option<Summary> { lesson::summary(&[block]).ok() };
    Some(match entry {
        Entry::Opened(opened) => lasting_entry(base, &opened.facts)?,
        Entry::Facts(facts) => lasting_entry(base, facts)?,
        Entry::Turn(turn) => BookEntry::Said(turn.said.clone()),
        Entry::Note(note) => BookEntry::Said(note.text.clone()),
        Entry::Prescribed(p) => BookEntry::Agreed(p.cause.clone(), p.cue.clone()),
        Entry::Baseline(hit) => BookEntry::Block(Stage::Baseline, sum(&hit.block)?),
        Entry::Practice(hit) => BookEntry::Block(Stage::Practice, sum(&hit.block)?),
        Entry::Retest(hit) => BookEntry::Block(Stage::Retest, sum(&hit.block)?),
        Entry::Verdict(Judged {
            verdict, standing, ..
        }) => {
            let verdict: Verdict = *verdict;
            BookEntry::Verdict(verdict, *standing)
        }
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_name_is_told_apart_from_who_it_is() {
        for (said, name) in [
            ("my pupil Ed", "Ed"),
            ("Ann", "Ann"),
            ("my new student Mary Lou.", "Mary Lou"),
            ("the pupil called Bo", "Bo"),
            ("The Colonel", "Colonel"),
            ("my pupil", "my pupil"),
            ("", ""),
        ] {
            assert_eq!(super::bare_name(said), name);
        }
    }
}
