//! What in a line has to be heard before anything about the swing?
//!
//! Takes a line; gives the caution that comes first, alone or with what else was read, and the question
//! that holds practice back until it is answered. None if nothing in the line calls for one.

use super::reply::{Block, Question, Reply};
use super::{Session, Verb, command, without};
use crate::knowledge::CautionLevel;
use crate::reading::safety::Alarm;
use crate::reading::{Span, Tone};

impl Session {
    pub(super) fn safety(&mut self, line: &str) -> Option<Reply> {
        let alarms = self.alarms(line);
        if alarms.is_empty()
            && let Some(reply) = self.cleared_by_leave(line)
        {
            return Some(reply);
        }
        let emergency = alarms.iter().find(|a| a.level == CautionLevel::Emergency);
        if emergency.is_none()
            && let Some(reply) = self.emergency_stands(line)
        {
            return Some(reply);
        }
        if let Some(alarm) = emergency {
            self.leave = None;
            if self.talk.held != Some(alarm.caution) {
                self.step(self.talk.clone());
            }
            self.talk.held = Some(alarm.caution);
            let asks = self.base().caution(alarm.caution).ask.is_some();
            self.talk.grave = !asks && !alarm.unsure;
            self.talk.pending = Some(Question::Safety(alarm.caution));
            return Some(Reply::of(Block::Caution {
                caution: alarm.caution,
                alone: true,
            }));
        }
        self.note_ails(&alarms);
        let Some(first) = alarms.iter().find(|a| a.level == CautionLevel::First) else {
            self.heed_beside(&alarms, line);
            return None;
        };
        let asked = matches!(
            self.talk.pending,
            Some(Question::Safety(_) | Question::Leave(_))
        );
        self.note_child(line);
        // A child's pain is a professional's to judge, whatever kind it is.
        let grave =
            first.grave || self.talk.child && first.about_pain && !first.unsure && !first.stiff;
        if self.talk.held == Some(first.caution) && asked && (self.talk.grave || !grave) {
            return None;
        }
        self.step(self.talk.clone());
        self.talk.held = Some(first.caution);
        self.talk.grave |= grave && self.base().caution(first.caution).ask_grave.is_some();
        // Past, mended or "if": ask before warning.
        let childs = self.talk.child && first.about_pain && is_theirs(line);
        let mut blocks = if first.unsure && !childs {
            Vec::new()
        } else {
            vec![Block::Caution {
                caution: first.caution,
                alone: false,
            }]
        };
        // The rest of the line is still read, but nothing is practised. The words of the alarm are
        // about the body and are blanked, so that "lower back" is no low flight.
        let of_body = |a: &&Alarm| a.about_pain || a.level <= CautionLevel::First;
        let rest = without(line, alarms.iter().filter(of_body).map(|a| a.said));
        let mut reading = self.read(&rest);
        // What else the clause says of something that hurts now tells of no cause.
        let hurts: Vec<Span> = (alarms.iter().filter(|a| !a.unsure))
            .map(|a| clause(line, a.said))
            .collect();
        let within = |s: &Span| hurts.iter().any(|h| h.start <= s.start && s.end <= h.end);
        reading.free.retain(|s| !within(s));
        blocks.extend(self.take_in(&reading, &rest));
        let question = self.talk.safety_question(first.caution);
        self.talk.pending = Some(question.clone());
        self.judge();
        if self.base().caution(first.caution).ask.is_some() {
            blocks.push(Block::Ask {
                question,
                value: None,
            });
        } else {
            self.talk.pending = None;
        }
        Some(Reply {
            blocks,
            leave: false,
        })
    }
}

impl Session {
    /// What was asked and is not answered; what holds practice back is asked until it is settled.
    pub(super) fn open_question(&mut self) -> Option<Question> {
        let held = self.talk.held.filter(|_| self.talk.pending.is_none());
        let asks = held.filter(|c| self.base().caution(*c).ask.is_some());
        if let Some(caution) = asks {
            self.talk.pending = Some(self.talk.safety_question(caution));
        }
        self.talk.pending.clone()
    }

    /// The emergency told before, said again: nothing but leaving, beginning anew, taking the line back or
    /// a professional's leave ends it. None if there is none, or if its own question settles it.
    fn emergency_stands(&mut self, line: &str) -> Option<Reply> {
        let caution = self.talk.held?;
        let entry = self.base().caution(caution);
        if entry.level != CautionLevel::Emergency || entry.ask.is_some() {
            return None;
        }
        // Leave given before settles what is long past, and never what is felt now.
        let leave = self.leave.take();
        if leave.is_some() && !self.talk.grave {
            self.leave = leave;
            self.talk.held = None;
            self.talk.pending = None;
            return None;
        }
        let ends = command(line).is_some_and(|said| {
            matches!(
                said.verb,
                Verb::Bye | Verb::StartOver | Verb::Undo | Verb::LessonFor | Verb::ForgetMe
            )
        });
        let goes = matches!(self.read(line).tone, Tone::Goodbye);
        (!ends && !goes).then(|| {
            self.talk.pending = Some(Question::Safety(caution));
            Reply::of(Block::Caution {
                caution,
                alone: true,
            })
        })
    }
}

/// The clause around a place: up to the marks before and after it.
fn clause(line: &str, at: Span) -> Span {
    const MARKS: [char; 6] = [',', '.', ';', ':', '!', '?'];
    let before = line.get(..at.start).unwrap_or("");
    let after = line.get(at.end..).unwrap_or("");
    Span {
        start: before.rfind(MARKS).map_or(0, |mark| mark + 1),
        end: after.find(MARKS).map_or(line.len(), |mark| at.end + mark),
    }
}

/// What a grown-up tells of a child now: "his elbow hurts". What was, or might be, is asked about.
fn is_theirs(line: &str) -> bool {
    const THEIRS: [&str; 6] = ["his", "her", "he", "she", "their", "they"];
    const NOT_NOW: [&str; 12] = [
        "was", "were", "had", "used", "last", "ago", "if", "when", "once", "healed", "better",
        "might",
    ];
    let said = super::names::words(line);
    let any = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
    any(&THEIRS) && !any(&NOT_NOW)
}
