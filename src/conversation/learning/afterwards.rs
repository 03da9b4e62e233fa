//! Questions about a finished case: why, why not another cause, what would have settled it, where the
//! points went; and in free words why it was this strike or that flight, what if something had been
//! otherwise, what to have looked at first, and how sure any of it is.
//!
//! The truth is out by then, so it is told of this golfer; before, these lines are refused. Computes
//! by the learning room, words nothing.

use std::sync::Arc;

use super::committing::Stage;
use super::finding;
use super::said::{Block, Heard, Note, Taught};
use super::{Sitting, Trainee};
use crate::conversation::names::{nearest_cause, spoken};
use crate::diagnosis::diagnose;
use crate::learning::{Comparison, against, look_at, looked_at, points, recognise, settling};
use crate::reading::{Context, What, read};
use crate::vocabulary::CauseId;

/// Pieces of evidence named.
const PIECES: usize = 3;
/// So many causes that words may mean are all told of at once.
const TOGETHER: usize = 2;
/// How a line begins that supposes something otherwise.
pub(super) const SUPPOSES: [&str; 3] = ["what if ", "what would happen if ", "suppose "];
/// Words for looking.
const LOOKED: [&str; 6] = ["looked", "look", "asked", "ask", "checked", "started"];
/// Words for strikes as they should be, and for some of them.
const GOOD: [&str; 6] = ["clean", "good", "fine", "solid", "pure", "flush"];
const SOME: [&str; 19] = [
    "some", "any", "half", "others", "rest", "them", "those", "these", "one", "two", "three",
    "four", "five", "six", "seven", "eight", "nine", "shots", "ones",
];
/// What the flight is told by.
const FLIGHT: [&str; 10] = [
    "face", "path", "start", "starts", "started", "curve", "curves", "bend", "bends", "line",
];
/// The kind of symptom that says how the ball was struck.
pub(super) const STRUCK: &str = "contact";

/// "Is it not the grip", "isn't it the grip": "not grip"; and whether the question is about this
/// golfer.
fn denied(rest: &str) -> (String, bool) {
    let said = spoken(rest);
    let opening = [
        "is", "isnt", "was", "wasnt", "arent", "werent", "could", "couldnt",
    ];
    let of_it = said.first().is_some_and(|w| opening.contains(&w.as_str()))
        && said
            .get(1)
            .is_some_and(|w| ["it", "this", "he", "she", "not"].contains(&w.as_str()));
    let not = said.iter().any(|w| w == "not" || w.ends_with("nt"));
    // "Why is it thin and not fat" asks of the strike.
    let between = said.iter().any(|w| w == "and" || w == "but");
    if !of_it || !not || between {
        return (rest.to_owned(), of_it || rest.starts_with("not "));
    }
    let around = [
        "it", "this", "not", "be", "been", "have", "he", "she", "the", "a", "his", "her",
    ];
    let named: Vec<&str> = said
        .iter()
        .skip(1)
        .map(String::as_str)
        .filter(|w| !around.contains(w))
        .collect();
    (format!("not {}", named.join(" ")), true)
}

fn has_number(said: &[String]) -> bool {
    said.iter()
        .any(|w| w.starts_with(|c: char| c.is_ascii_digit()))
}

impl Trainee {
    /// The finished case, with its comparison.
    fn finished(&self) -> Result<(&Sitting, &Comparison), Taught> {
        match &self.sitting {
            Some(s) if s.stage == Stage::Over => s
                .comparison
                .as_deref()
                .map(|c| (s, c))
                .ok_or_else(|| Taught::note(Note::NothingOpen)),
            Some(_) if self.committing() => Err(Taught::note(Note::AtStep(self.step()))),
            Some(_) => Err(Taught::note(Note::NotYet)),
            None => Err(Taught::note(Note::NothingOpen)),
        }
    }

    /// A line after the reveal that is no order.
    pub(super) fn afterwards(&mut self, line: &str) -> Taught {
        if let Some(taught) = self.of_this_case(line) {
            return taught;
        }
        self.explained(line)
            .unwrap_or_else(|| Taught::note(Note::NothingOpen))
    }

    /// The reply to a question in free words about the finished case, if the line is one.
    fn of_this_case(&mut self, line: &str) -> Option<Taught> {
        self.finished().ok()?;
        let said = spoken(line);
        let whole = said.join(" ");
        let has = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
        let begins = |list: &[&str]| list.iter().any(|b| whole.starts_with(b));
        if begins(&SUPPOSES) {
            return Some(self.what_if(line));
        }
        if let Some(taught) = self.cure(line) {
            return Some(taught);
        }
        let why_clean =
            begins(&["why "]) && has(&SOME) && has(&GOOD) && !has(&["not", "only", "few"]);
        if why_clean && let Some(taught) = self.why_clean() {
            return Some(taught);
        }
        if begins(&["how sure", "how certain", "are you sure", "how do you know"]) {
            let (_, comparison) = self.finished().ok()?;
            return Some(Taught::of(Block::Sure(Box::new(comparison.clone()))));
        }
        if has(&["first"]) && has(&LOOKED) && begins(&["what ", "where ", "which "]) {
            return Some(self.first_look());
        }
        if begins(&["why "]) && (has(&["points"]) || begins(&["why only ", "why so few"])) {
            return Some(self.lost());
        }
        let of_it = has(&["it", "he", "she", "this", "here"]) || has_number(&said);
        if !of_it || !(has(&["why"]) || has_number(&said)) {
            return None;
        }
        let pupil = Box::new(self.finished().ok()?.0.pupil.clone());
        if has(&FLIGHT) {
            return Some(Taught::of(Block::Flight(pupil)));
        }
        let context = Context {
            hand: Some(pupil.hand),
            ..Context::default()
        };
        let plain = whole.replace(" not ", " ");
        let reading = read(&self.phrases, &context, plain.trim_start_matches("why "));
        let struck = reading.findings.iter().any(|f| match f.what {
            What::Symptom(symptom) => self.base().symptom(symptom).kind == STRUCK,
            What::Number(_) | What::AllWell => false,
        });
        struck.then(|| Taught::of(Block::Strikes(pupil)))
    }

    /// The look that was worth most when nothing but the golfer's words was known.
    fn first_look(&mut self) -> Taught {
        let (pupil, case) = match self.finished() {
            Ok((sitting, _)) => (sitting.pupil.clone(), sitting.desk.case(&sitting.pupil, 1)),
            Err(taught) => return taught,
        };
        let check = diagnose(&mut self.mind, &case).next_check.map(|v| v.check);
        let seen = check.map(|check| (check, looked_at(&self.mind, &pupil, check)));
        Taught::of(Block::FirstLook(seen))
    }

    /// `why`, `why not hanging back`, or a question about the game that begins so.
    pub(super) fn why(&mut self, rest: &str) -> Taught {
        let (rest, of_case) = denied(rest);
        if of_case && let Err(taught) = self.finished() {
            return taught;
        }
        let line = format!("why {rest}");
        if !rest.is_empty()
            && !rest.starts_with("not ")
            && let Some(taught) = self.of_this_case(&line).or_else(|| self.explained(&line))
        {
            return taught;
        }
        let (sitting, comparison) = match self.finished() {
            Ok((sitting, comparison)) => (sitting, comparison),
            Err(taught) => return taught,
        };
        let pupil = sitting.pupil.clone();
        if rest.is_empty() {
            let comparison = Box::new(comparison.clone());
            let links = recognise(&mut self.mind, &pupil, &[]).missing;
            return Taught::of(Block::Why {
                pupil: Box::new(pupil),
                links,
                comparison,
            });
        }
        let named = rest.strip_prefix("not ").unwrap_or(&rest);
        let base = Arc::clone(self.mind.base());
        let causes = finding::causes(&base, &self.phrases, pupil.hand, named);
        match finding::acting(&base, causes, pupil.first.group).as_slice() {
            [] => Taught::note(Note::NoCause(named.to_owned(), nearest_cause(&base, named))),
            few if few.len() <= TOGETHER => {
                let mut taught = Taught::default();
                for cause in few {
                    let one = self.why_not(*cause);
                    taught.blocks.push(one);
                }
                taught
            }
            several => {
                let few = several.iter().copied().take(finding::OFFERED).collect();
                Taught::of(Block::WhichCause(Heard::Reason, few))
            }
        }
    }

    /// What spoke for or against a cause.
    fn why_not(&mut self, cause: CauseId) -> Block {
        let (pupil, desk) = match self.finished() {
            Ok((sitting, _)) => (sitting.pupil.clone(), sitting.desk.clone()),
            Err(_) => return Block::Note(Note::NotYet),
        };
        let mut pieces = against(&mut self.mind, &pupil, &desk, cause);
        pieces.retain(|p| p.1 > 0.5);
        pieces.truncate(PIECES);
        let look = look_at(&mut self.mind, &pupil, cause);
        Block::WhyNot {
            pupil: Box::new(pupil),
            cause,
            pieces,
            look,
        }
    }

    /// What would have settled it.
    pub(super) fn settle(&mut self) -> Taught {
        let pupil = match self.finished() {
            Ok((sitting, _)) => sitting.pupil.clone(),
            Err(taught) => return taught,
        };
        Taught::of(Block::Settles(settling(&mut self.mind, &pupil)))
    }

    /// Where the points went.
    pub(super) fn lost(&mut self) -> Taught {
        let (sitting, comparison) = match self.finished() {
            Ok(found) => found,
            Err(taught) => return taught,
        };
        let pupil = &sitting.pupil;
        let causes = sitting
            .commitment
            .causes
            .iter()
            .map(|&(cause, stated)| {
                let usual = |_| comparison.usual(cause);
                let one = points(&[(cause, stated)], |c| pupil.has(c), usual);
                (cause, stated, one)
            })
            .collect();
        Taught::of(Block::Lost {
            causes,
            pupil: Box::new(pupil.clone()),
            commitment: Box::new(sitting.commitment.clone()),
            comparison: Box::new(comparison.clone()),
        })
    }
}
