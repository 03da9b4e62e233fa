//! The learner looks and asks: what each line costs and brings.

use super::afterwards::SUPPOSES;
use super::finding;
use super::plainly;
use super::reasons::Reader;
use super::said::{Block, Heard, Note, Taught};
use super::{Sitting, Stage, Trainee};
use crate::causes::model::Change;
use crate::conversation::names::{Extent, change_named};
use crate::learning::{Done, MINUTES, Step, Way, recognise};
use crate::quantity::Amount;
use crate::vocabulary::CauseId;

impl Trainee {
    /// The open case, if the learner may still look.
    fn looking(&mut self) -> Result<(), Taught> {
        match &self.sitting {
            None => Err(Taught::note(Note::NothingOpen)),
            Some(s) if s.stage == Stage::Over => Err(Taught::note(Note::NothingOpen)),
            Some(s) if s.desk.minutes() >= MINUTES => Err(Taught::note(Note::OutOfTime)),
            Some(_) => Ok(()),
        }
    }

    /// The reply that shows the step just taken. Looking again takes a commitment back to its start.
    fn shown(sitting: &mut Sitting, step: Step) -> Taught {
        sitting.stage = Stage::Looking;
        Taught::of(Block::Looked {
            step: Box::new(step),
            pupil: Box::new(sitting.pupil.clone()),
            used: sitting.desk.minutes(),
        })
    }

    /// Which club is meant: 0 for the first, 1 for the second; nothing if there is no second.
    fn stand_named(&self, rest: &str) -> Option<usize> {
        let second_club = self.sitting.as_ref().and_then(|s| s.pupil.second.as_ref());
        let wanted = rest.to_lowercase();
        let second = wanted.contains("second") || wanted.contains("other");
        let Some(stand) = second_club else {
            return (!second).then_some(0);
        };
        let group = self.mind.base().group(stand.group);
        let club = self.mind.base().club(stand.club);
        let wanted = wanted.trim().trim_start_matches("with ").trim();
        let wanted = wanted.trim_start_matches("the ");
        let named =
            !wanted.is_empty() && (club.name.contains(wanted) || group.name.contains(wanted));
        Some(usize::from(second || named))
    }

    pub(super) fn shots(&mut self, rest: &str) -> Taught {
        if let Err(taught) = self.looking() {
            return taught;
        }
        let Some(stand) = self.stand_named(rest) else {
            return Taught::note(Note::OneClub("shots"));
        };
        let Some(sitting) = &mut self.sitting else {
            return Taught::note(Note::NothingOpen);
        };
        let step = sitting
            .desk
            .shots(&mut self.mind, &sitting.pupil, stand)
            .cloned();
        match step {
            Some(step) => Self::shown(sitting, step),
            None => Taught::note(Note::OneClub("shots")),
        }
    }

    pub(super) fn numbers(&mut self, rest: &str) -> Taught {
        if let Err(taught) = self.looking() {
            return taught;
        }
        let Some(wanted) = self.stand_named(rest) else {
            return Taught::note(Note::OneClub("numbers"));
        };
        let Some(sitting) = &mut self.sitting else {
            return Taught::note(Note::NothingOpen);
        };
        let done = sitting
            .desk
            .steps()
            .iter()
            .any(|s| matches!(s.done, Done::Measured { stand, .. } if stand == wanted));
        if done {
            let other = sitting.pupil.second.is_some() && wanted == 0;
            return Taught::note(Note::Measured { other });
        }
        let step = sitting
            .desk
            .measured(&mut self.mind, &sitting.pupil, wanted)
            .cloned();
        match step {
            Some(step) => Self::shown(sitting, step),
            None => Taught::note(Note::OneClub("numbers")),
        }
    }

    /// A question in words or by number: about a cause, or about what the shots do.
    pub(super) fn ask(&mut self, text: &str, way: Way) -> Taught {
        if let Err(taught) = self.looking() {
            return taught;
        }
        let base = std::sync::Arc::clone(self.mind.base());
        if way == Way::Asked
            && let Some(taught) = self.teacher(text)
        {
            return taught;
        }
        let said = text.trim().trim_end_matches(['?', '.', '!']);
        if said.is_empty() {
            return Taught::note(Note::NotUnderstood(String::new(), None));
        }
        let plain = plainly::asked(said);
        let text = if plain.eq_ignore_ascii_case(said) {
            said
        } else {
            plain.as_str()
        };
        let number = text.trim_start_matches('#').parse::<usize>().is_ok();
        if !number
            && way == Way::Asked
            && let Some(taught) = self.explained(text).or_else(|| self.theory(text))
        {
            return taught;
        }
        let Some(sitting) = &mut self.sitting else {
            return Taught::note(Note::NothingOpen);
        };
        let hand = sitting.pupil.hand;
        if !number
            && way == Way::Asked
            && let Some(groups) = finding::clubs_asked(&base, &self.phrases, hand, text)
        {
            let other = groups
                .iter()
                .any(|g| sitting.pupil.stands().all(|s| s.group != *g));
            return Taught::of(Block::Clubs {
                pupil: Box::new(sitting.pupil.clone()),
                other,
            });
        }
        if way == Way::Asked && plainly::asks_turf(text) {
            let step = sitting.desk.turf(&base, &sitting.pupil).clone();
            return Self::shown(sitting, step);
        }
        if way == Way::Asked && plainly::asks_miss(text) {
            let step = sitting.desk.misses(&base, &sitting.pupil).clone();
            return Self::shown(sitting, step);
        }
        if !number && way == Way::Asked {
            let likely = &sitting.pupil.first.case.symptoms;
            let symptoms = finding::symptoms(&base, &self.phrases, hand, text, likely);
            // A cause named outright is asked about as such.
            let causes = finding::causes(&base, &self.phrases, hand, text);
            let outright = causes.len() == 1
                && causes
                    .iter()
                    .any(|c| base.cause(*c).name.eq_ignore_ascii_case(text));
            if !symptoms.is_empty() && !outright {
                let step = sitting
                    .desk
                    .symptoms(&base, &sitting.pupil, &symptoms)
                    .clone();
                return Self::shown(sitting, step);
            }
        }
        let causes = if text.to_lowercase().contains("how long") {
            Vec::new()
        } else {
            let group = sitting.pupil.first.group;
            finding::acting(
                &base,
                finding::causes(&base, &self.phrases, hand, text),
                group,
            )
        };
        match causes.as_slice() {
            [] => Taught::note(Note::NotUnderstood(
                said.to_owned(),
                finding::near(&base, text),
            )),
            [one] => self.check(*one, way),
            several => {
                let few = several.iter().copied().take(finding::OFFERED).collect();
                let heard = match way {
                    Way::Asked => Heard::Question,
                    Way::Looked => Heard::Look,
                };
                Taught::of(Block::WhichCause(heard, few))
            }
        }
    }

    /// A line without an order while looking. A question goes to the golfer; whatever is none costs
    /// nothing and is answered with what to type instead.
    pub(super) fn bare(&mut self, line: &str) -> Taught {
        if SUPPOSES.iter().any(|s| line.to_lowercase().starts_with(s)) {
            return Taught::note(Note::NotYet);
        }
        if let Some(taught) = self
            .teacher(line)
            .or_else(|| self.explained(line))
            .or_else(|| self.theory(line))
        {
            return taught;
        }
        if finding::is_question(line) {
            return self.ask(line, Way::Asked);
        }
        let base = std::sync::Arc::clone(self.mind.base());
        let hand = self.hand();
        let number = line.trim().trim_start_matches('#').parse::<usize>().is_ok();
        if !number && let [one] = finding::faults(&base, line).as_slice() {
            return Taught::note(Note::FaultSaid(*one));
        }
        match finding::causes(&base, &self.phrases, hand, line).as_slice() {
            [one] if !number => Taught::note(Note::CauseSaid(*one)),
            _ => Taught::note(Note::NotUnderstood(
                line.to_owned(),
                finding::near(&base, line),
            )),
        }
    }

    /// The answer to a question about the game, if the line is one. It costs nothing: the golfer is
    /// not asked.
    pub(super) fn explained(&self, line: &str) -> Option<Taught> {
        let found = finding::concept(self.mind.base(), &self.phrases, self.hand(), line)?;
        Some(Taught::of(match found {
            finding::Concept::Answer(answer) => Block::Claim(answer),
            finding::Concept::Entries(list) => Block::Entries(list),
            finding::Concept::Unknown => Block::Note(Note::NoWords),
        }))
    }

    /// The answer to "if ..., is ...?" and "does ... tell me ...?", with nothing of this golfer in it: the
    /// links it names, as golfers in general bear them out. It costs nothing.
    fn theory(&mut self, line: &str) -> Option<Taught> {
        let text = finding::theory(line)?;
        if let Some(taught) = self.without_size(&text).or_else(|| self.explained(&text)) {
            return Some(taught);
        }
        let pupil = self.pupil()?.clone();
        let reader = Reader {
            base: self.mind.base(),
            phrases: &self.phrases,
            hand: pupil.hand,
        };
        let ends = reader.reasons(&text, &[], &[]).ends;
        let links = recognise(&mut self.mind, &pupil, &ends).links;
        Some(match ends.as_slice() {
            _ if !links.is_empty() => Taught::of(Block::General(links)),
            [_one] => Taught::of(Block::Entries(ends)),
            _ => Taught::note(Note::NoWords),
        })
    }

    /// The answer to the same question without the size in it.
    fn without_size(&self, text: &str) -> Option<Taught> {
        let plain = finding::without_size(text)?;
        self.explained(&plain)
    }

    fn check(&mut self, cause: CauseId, way: Way) -> Taught {
        let check = self.mind.base().cause(cause).check;
        let (Some(sitting), Some(check)) = (&mut self.sitting, check) else {
            return Taught::note(Note::NothingOpen);
        };
        let seen = sitting.desk.was_put(check, Way::Looked);
        if let Some(yes) = sitting.desk.answered(check)
            && (seen || way == Way::Asked)
        {
            return Taught::note(Note::Known(cause, yes));
        }
        let step = sitting
            .desk
            .check(&mut self.mind, &sitting.pupil, check, way)
            .clone();
        Self::shown(sitting, step)
    }

    pub(super) fn attempt_change(&mut self, text: &str) -> Taught {
        if let Err(taught) = self.looking() {
            return taught;
        }
        let base = std::sync::Arc::clone(self.mind.base());
        let Some(sitting) = &mut self.sitting else {
            return Taught::note(Note::NothingOpen);
        };
        let Ok(named) = change_named(&base, text) else {
            return Taught::note(Note::NoChange(text.to_owned()));
        };
        let index = named.index;
        // A pupil is tried with a move; where the low point lies now is for the coach to find.
        let size = match named.extent {
            Extent::By(size) => size,
            Extent::To(value) => value.abs(),
        };
        let Some(change) = base.changes.iter().nth(index) else {
            return Taught::note(Note::NoChange(text.to_owned()));
        };
        let moves: Vec<Change> = change
            .moves
            .iter()
            .filter_map(|(axis, factor)| {
                let amount = Amount::new(factor * size, change.unit).ok()?;
                Some(Change::Move(*axis, amount))
            })
            .collect();
        let step = sitting
            .desk
            .tried(&mut self.mind, &sitting.pupil, (index, size), &moves)
            .clone();
        Self::shown(sitting, step)
    }

    pub(super) fn list_causes(&self, rest: &str) -> Taught {
        let wanted = rest.trim().to_lowercase();
        let base = self.mind.base();
        let family = base
            .causes
            .iter()
            .map(|c| &c.family)
            .find(|f| **f == wanted || (wanted.len() >= 3 && f.starts_with(&wanted)))
            .cloned();
        let known = self.sitting.as_ref().map_or(Vec::new(), |s| {
            base.causes
                .iter()
                .enumerate()
                .filter_map(|(i, c)| {
                    let yes = s.desk.answered(c.check?)?;
                    Some((CauseId::from_index(i), yes))
                })
                .collect()
        });
        Taught::of(Block::Causes { family, known })
    }

    pub(super) fn notes(&self) -> Taught {
        match &self.sitting {
            Some(sitting) => Taught::of(Block::Notes {
                pupil: Box::new(sitting.pupil.clone()),
                desk: Box::new(sitting.desk.clone()),
            }),
            None => Taught::note(Note::NothingOpen),
        }
    }
}
