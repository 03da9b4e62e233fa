//! A line of results: counts, shares and measured balls, and to which set they go.
//!
//! Takes a line that says how many balls came off, or how many went wrong; finds out which set it is
//! of, asks where it may be either, and hands the set over to be judged (`practice.rs`). A count that
//! puts the one before right takes its place. What is taken in another way than it was said ("60%",
//! "shanked 2 of 20") is said. Words are not made here.

use super::note::Note;
use super::own_word::word_of;
use super::practice::Current;
use super::reply::{Block, Question, Reply};
use super::result_forms::{both_bare, told_as_asked};
use super::results::{self, Results, Set, Told};
use super::{Session, command};
use crate::lesson::{self, Series, Shots, Stage, Summary, Taken, Tally};
use crate::quantity::Unit;
use crate::reading::{Finding, Polarity, Reading};

impl Session {
    /// The reply to a line that is a result and nothing else; none if it is talk.
    pub(super) fn results(&mut self, line: &str) -> Option<Reply> {
        let mut asked = match self.talk.pending {
            Some(Question::Tally { stage, balls, .. }) => Some((stage, balls)),
            // A number may be the answer to another question.
            Some(_) | None => None,
        };
        let waits_for_something_else = self.talk.pending.is_some() && asked.is_none();
        let as_asked = asked
            .and_then(|(_, balls)| both_bare(line, balls).or_else(|| self.told_as_asked(line)));
        let line = as_asked.as_deref().unwrap_or(line);
        let Some(found) = results::read(line) else {
            let reply = self.faults_counted(line, asked);
            return reply.or_else(|| self.counts_at_the_end(line, asked.is_some()));
        };
        let said_again = self.counted && results::puts_right(line);
        if said_again && !matches!(found, Results::Measured { .. }) && self.count_taken_back() {
            asked = match self.talk.pending {
                Some(Question::Tally { stage, balls, .. }) => Some((stage, balls)),
                Some(_) | None => asked,
            };
            let mut reply = self.results_found(&found, line, asked, waits_for_something_else)?;
            reply.blocks.insert(0, Block::Note(Note::CountedInstead));
            return Some(reply);
        }
        self.results_found(&found, line, asked, waits_for_something_else)
    }

    /// "I did the drill for a week. 6 out of 20 before, 14 with it": the counts that a line ends with.
    fn counts_at_the_end(&mut self, line: &str, asked: bool) -> Option<Reply> {
        let (head, counts) = line.split_once(". ").filter(|_| asked)?;
        let counted = !head.contains(|c: char| c.is_ascii_digit());
        if !counted || !matches!(results::read(counts), Some(Results::Counts(_))) {
            return None;
        }
        let mut reply = self.results(counts)?;
        let head = Block::Unused(vec![head.trim().to_owned()]);
        reply.blocks.insert(0, head);
        Some(reply)
    }

    /// "Hit 20, 14 started past the ball": the count, in the words that were asked to be counted.
    fn told_as_asked(&self, line: &str) -> Option<String> {
        let (cause, drill) = self.talk.prescribed?;
        let base = self.mind.base();
        let task = base.task_counting(cause, Some(drill), self.talk.counted);
        told_as_asked(line, &task.success.count)
    }

    /// Takes the count that was entered last back.
    fn count_taken_back(&mut self) -> bool {
        let Some((before, written)) = self.past.pop() else {
            return false;
        };
        self.talk = before;
        let knowledge = self.base().hash.clone();
        self.notebook.take_back(written, &knowledge);
        self.judge();
        true
    }

    /// "Shanked 2 of 20": the shots that went wrong, where they are what is practised against.
    fn faults_counted(&mut self, line: &str, asked: Option<(Stage, u32)>) -> Option<Reply> {
        let (stage, _) = asked?;
        // "That didn't work, still shanks 3 of 10": the word on practice, and no first count.
        if matches!(word_of(&command::plain(line)), Some((false, _))) {
            return None;
        }
        let current = self.current()?;
        let reading = self.read(line);
        if let Some(reply) = self.faults_twice(&current, stage, &reading, line) {
            return Some(reply);
        }
        let [finding] = reading.findings.as_slice() else {
            return None;
        };
        let count = finding
            .count
            .filter(|_| finding.polarity == Polarity::Present)?;
        let faults = u32::from(count.hits);
        // "Only 2 fat in 20": the other number.
        let numbers = line.split(|c: char| !c.is_alphanumeric());
        let mut numbers = numbers.filter_map(|w| w.parse().ok());
        let balls = match count.of {
            Some(of) => u32::from(of),
            None => numbers.find(|n| *n > faults)?,
        };
        let told = self.talk.statements.iter().any(|s| {
            !s.dropped && s.finding.what == finding.what && s.finding.polarity == Polarity::Present
        });
        let alone = reading.hints.is_empty()
            && reading.history.is_empty()
            && (reading.unused.iter()).all(|s| s.of(line).parse() == Ok(balls))
            && reading.unclear.is_empty();
        if !told || !alone || faults > balls {
            return None;
        }
        self.talk.counts_faults = true;
        Some(self.take_faults(&current, stage, results::set_of(line), (faults, balls)))
    }

    /// "8 of 10 were shanks before, 3 of 10 now": two counts of what goes wrong.
    fn faults_twice(
        &mut self,
        current: &Current,
        stage: Stage,
        reading: &Reading,
        line: &str,
    ) -> Option<Reply> {
        const KEPT: [&str; 4] = ["of", "out", "in", "from"];
        let told = |f: &Finding| {
            f.polarity == Polarity::Present
                && (self.talk.statements.iter()).any(|s| !s.dropped && s.finding.what == f.what)
        };
        if reading.findings.is_empty() || !reading.findings.iter().all(told) {
            return None;
        }
        // The line without the name of the fault.
        let fault = |at: usize, word: &str| {
            word.chars().all(char::is_alphabetic)
                && !KEPT.contains(&word)
                && !super::result_words::NUMBER_WORDS.contains(&word)
                && (reading.findings.iter()).any(|f| f.said.start <= at && at < f.said.end)
        };
        let mut rest = String::with_capacity(line.len());
        let mut at = 0;
        for word in line.split_inclusive(' ') {
            let bare = word
                .trim_matches(|c: char| !c.is_alphanumeric())
                .to_lowercase();
            if fault(at, &bare) {
                rest.extend(word.chars().filter(|c| !c.is_alphanumeric()));
            } else {
                rest.push_str(word);
            }
            at += word.len();
        }
        let Results::Counts(list) = results::read(&rest)? else {
            return None;
        };
        if list.len() != 2 || results::says_good(line) {
            return None;
        }
        let mut notes = Vec::new();
        let mut good: Vec<Told<Tally>> = Vec::new();
        for told in &list {
            let (faults, balls) = (told.what.hits(), told.what.balls());
            let came_off = balls.saturating_sub(faults);
            notes.push(Block::Note(Note::FaultsCounted {
                faults,
                good: came_off,
                balls,
            }));
            let what = Tally::new(came_off, balls).ok()?;
            good.push(Told { what, ..*told });
        }
        self.talk.counts_faults = true;
        let mut reply = self.take_counts(current, Some(stage), &good);
        notes.append(&mut reply.blocks);
        reply.blocks = notes;
        Some(reply)
    }

    /// Enters the others of these balls as those that came off, and says so.
    fn take_faults(
        &mut self,
        current: &Current,
        stage: Stage,
        set: Option<Set>,
        (faults, balls): (u32, u32),
    ) -> Reply {
        let good = balls.saturating_sub(faults);
        let Ok(what) = Tally::new(good, balls) else {
            return Reply::note(Note::ImpossibleCount(faults, balls));
        };
        let told = Told {
            set,
            dated: false,
            what,
        };
        let mut reply = self.take_count(current, Some(stage), &told);
        let note = Note::FaultsCounted {
            faults,
            good,
            balls,
        };
        reply.blocks.insert(0, Block::Note(note));
        reply
    }

    /// What to do with results, whatever question stands.
    fn results_found(
        &mut self,
        found: &Results,
        line: &str,
        asked: Option<(Stage, u32)>,
        waits_for_something_else: bool,
    ) -> Option<Reply> {
        let found = found.clone();
        let Some(current) = self.current() else {
            return match found {
                Results::Counts(_) if !waits_for_something_else && self.talk.is_empty() => {
                    Some(Reply::note(Note::CountOfWhat))
                }
                _ => None,
            };
        };
        match found {
            Results::Impossible(hits, balls) => {
                Some(Reply::note(Note::ImpossibleCount(hits, balls)))
            }
            Results::Hits(hits, set) => {
                if let Some(Question::Fresh { now, .. }) = self.talk.pending {
                    let what = Tally::new(hits, now.balls()).ok()?;
                    let told = Told {
                        set,
                        dated: false,
                        what,
                    };
                    return Some(self.take_counts(&current, None, &[told]));
                }
                let (stage, balls) = asked?;
                let Ok(what) = Tally::new(hits, balls) else {
                    return Some(Reply::note(Note::ImpossibleCount(hits, balls)));
                };
                let dated = false;
                Some(self.take_count(&current, Some(stage), &Told { set, dated, what }))
            }
            Results::Share(percent, set) => {
                let (stage, balls) = asked?;
                let hits = (percent * balls + 50) / 100;
                let what = Tally::new(hits, balls).ok()?;
                let dated = false;
                let mut reply = self.take_count(&current, Some(stage), &Told { set, dated, what });
                let note = Note::ShareTaken(percent, hits, balls);
                reply.blocks.insert(0, Block::Note(note));
                Some(reply)
            }
            Results::Counts(list) => {
                let good = results::says_good(line);
                self.talk.counts_faults &= !good;
                if let ([one], Some((stage, _)), true) =
                    (list.as_slice(), asked, self.talk.counts_faults)
                {
                    let faults = (one.what.hits(), one.what.balls());
                    return Some(self.take_faults(&current, stage, one.set, faults));
                }
                Some(self.take_counts(&current, asked.map(|a| a.0), &list))
            }
            Results::Measured {
                stage,
                name,
                values,
                unit,
            } => {
                let quantity = self.measured_quantity(&current, &name, asked.is_some())?;
                let unit = match unit.as_str() {
                    "" => self.base().quantity(quantity).unit,
                    said => unit_said(said)?,
                };
                let series = Series::new(values, unit).ok()?;
                let current = self.measuring(current, quantity, &series)?;
                Some(self.take(
                    &current,
                    stage.or(asked.map(|a| a.0)),
                    Shots::Measured(series),
                ))
            }
        }
    }

    fn take_counts(
        &mut self,
        current: &Current,
        asked: Option<Stage>,
        list: &[Told<Tally>],
    ) -> Reply {
        let [a, b] = list else {
            return match (list, &self.talk.pending) {
                // One of the two counts that are asked about, said again.
                ([one], Some(Question::Fresh { was, now })) => {
                    let (was, now) = match one.set {
                        Some(Set::Start) => (one.what, *now),
                        _ if one.what == *was => (*was, *now),
                        _ => (*was, one.what),
                    };
                    self.ask_if_fresh(was, now)
                }
                ([one], _) => self.take_count(current, asked, one),
                _ => Reply::note(Note::OneBlockAtATime),
            };
        };
        // "9 of 20 monday and 13 of 20 friday": two sets with the thought, the start long counted.
        let with = |t: &Told<Tally>| matches!(t.set, None | Some(Set::Thought));
        if current.baseline && with(a) && with(b) && a.dated && b.dated {
            self.enter(
                current,
                Stage::Practice,
                Shots::Hits(a.what),
                Taken::Counted,
            );
            return self.take(current, Some(Stage::Practice), Shots::Hits(b.what));
        }
        // "I did it: 4 of 20 then 11 of 20": both counts that were asked for, in their order.
        let both = matches!((a.set, b.set), (Some(Set::Thought), Some(Set::Thought)));
        let first = Told { set: None, ..*a };
        let a = if both && !current.baseline { &first } else { a };
        // "7 of 10, was 3 of 10" and "3 of 10, then 7 of 10".
        let (was, now) = match (a.set, b.set) {
            (Some(Set::Start), Some(Set::Start | Set::Without)) => {
                return Reply::note(Note::OneBlockAtATime);
            }
            (_, Some(Set::Start)) => (b, a),
            (Some(Set::Thought), Some(Set::Without)) if !current.baseline => (b, a),
            (Some(Set::Thought | Set::Retest), _) => return Reply::note(Note::OneBlockAtATime),
            _ => (a, b),
        };
        let (was, set, now) = (was.what, now.set, now.what);
        if current.start == Some(was) || (current.baseline && set == Some(Set::Retest)) {
            let later = Told {
                set,
                dated: false,
                what: now,
            };
            return self.take_count(current, Some(Stage::Practice), &later);
        }
        if current.start_missing && self.practised_so_far() == Some(now) {
            return self.take(current, Some(Stage::Baseline), Shots::Hits(was));
        }
        self.ask_if_fresh(was, now)
    }

    fn ask_if_fresh(&mut self, was: Tally, now: Tally) -> Reply {
        let question = Question::Fresh { was, now };
        self.talk.pending = Some(question.clone());
        Reply::of(Block::Ask {
            question,
            value: None,
        })
    }

    /// The blocks with the thought as one count.
    pub(super) fn practised_so_far(&self) -> Option<Tally> {
        let agreed = lesson::agreed(&self.notebook.records)?;
        match lesson::summary(&agreed.practice).ok()? {
            Summary::Hits(tally) => Some(tally),
            Summary::Measured { .. } => None,
        }
    }
}

/// A unit as golfers write it.
fn unit_said(text: &str) -> Option<Unit> {
    Unit::from_symbol(text).or(match text {
        "inch" | "inches" | "\"" => Some(Unit::Inch),
        "degrees" | "degree" | "\u{b0}" => Some(Unit::Degree),
        "yards" | "yard" | "yds" => Some(Unit::Yard),
        _ => None,
    })
}
