//! The learner commits: fault, causes with chances, practice, reason; then the comparison.

use super::Trainee;
use super::finding;
use super::practising;
use super::reasons::Reader;
use super::said::{Block, Heard, Note, Taught};
use crate::conversation::names::nearest_cause;
use crate::knowledge::KnowledgeBase;
use crate::learning::{compare, recognise};
use crate::reading::Phrases;
use crate::vocabulary::{CauseId, Hand};

/// How far a case has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stage {
    /// Looking and asking.
    Looking,
    /// What did the club do?
    Fault,
    /// Which causes, how likely?
    Causes,
    /// What to practise?
    Practise,
    /// Why?
    Reason,
    /// Compared.
    Over,
}

/// Causes that may be named.
const MOST: usize = 3;

impl Trainee {
    /// Whether a step of the commitment is open.
    pub(super) fn committing(&self) -> bool {
        let stage = self.sitting.as_ref().map(|s| s.stage);
        !matches!(stage, None | Some(Stage::Looking | Stage::Over))
    }

    /// Which step is open, from 1; the reason is the fourth.
    pub(super) fn step(&self) -> u8 {
        match self.sitting.as_ref().map(|s| s.stage) {
            Some(Stage::Causes) => 2,
            Some(Stage::Practise) => 3,
            Some(Stage::Reason) => 4,
            _ => 1,
        }
    }

    /// Begins to commit. Words after the order are taken as the first step's.
    pub(super) fn begin_commitment(&mut self, rest: &str) -> Taught {
        match &mut self.sitting {
            Some(sitting) if sitting.stage != Stage::Over => {
                sitting.stage = Stage::Fault;
                sitting.commitment = crate::learning::Commitment::default();
                if rest.is_empty() {
                    Taught::of(Block::AskFault)
                } else {
                    self.fault(rest)
                }
            }
            _ => Taught::note(Note::NothingOpen),
        }
    }

    pub(super) fn give_up(&mut self) -> Taught {
        match &mut self.sitting {
            Some(sitting) if sitting.stage != Stage::Over => {
                sitting.commitment = crate::learning::Commitment {
                    given_up: true,
                    ..crate::learning::Commitment::default()
                };
                let mut taught = Taught::note(Note::GaveUp);
                taught.then(self.compared());
                taught
            }
            _ => Taught::note(Note::NothingOpen),
        }
    }

    /// A line while committing.
    pub(super) fn commit_line(&mut self, line: &str) -> Taught {
        if self.step() < 4 && line.trim_end().ends_with('?') {
            return self
                .explained(line)
                .unwrap_or_else(|| Taught::note(Note::AtStep(self.step())));
        }
        match self.sitting.as_ref().map(|s| s.stage) {
            Some(Stage::Fault) => self.fault(line),
            Some(Stage::Causes) => self.causes(line),
            Some(Stage::Practise) => self.practise(line),
            Some(Stage::Reason) => self.reason(line),
            Some(Stage::Looking | Stage::Over) | None => Taught::note(Note::NothingOpen),
        }
    }

    fn fault(&mut self, line: &str) -> Taught {
        let base = std::sync::Arc::clone(self.mind.base());
        let faults = finding::faults(&base, line);
        let Some(sitting) = &mut self.sitting else {
            return Taught::note(Note::NothingOpen);
        };
        // A cause by its full name is no fault, whatever words the two share.
        let number = line.trim().trim_start_matches('#').parse::<usize>().is_ok();
        let exact = faults.len() == 1;
        let causes = if number || (exact && !finding::is_cause(&base, line)) {
            Vec::new()
        } else {
            finding::causes(
                &base,
                &self.phrases,
                sitting.pupil.hand,
                finding::without_chance(line),
            )
        };
        if let [cause] = causes.as_slice()
            && (faults.is_empty() || finding::is_cause(&base, line))
            && !passes(line)
        {
            return Taught::note(Note::CauseTooEarly(*cause));
        }
        match faults.as_slice() {
            [] if passes(line) => {
                sitting.stage = Stage::Causes;
                Taught::of(Block::AskCauses(None))
            }
            [] => Taught::note(Note::NoFault(line.to_owned())),
            [one] => {
                sitting.commitment.fault = Some(*one);
                sitting.stage = Stage::Causes;
                Taught::of(Block::AskCauses(Some(*one)))
            }
            several => {
                let few = several.iter().copied().take(finding::OFFERED).collect();
                Taught::of(Block::WhichFault(few))
            }
        }
    }

    fn causes(&mut self, line: &str) -> Taught {
        let base = std::sync::Arc::clone(self.mind.base());
        let Some(sitting) = &mut self.sitting else {
            return Taught::note(Note::NothingOpen);
        };
        if let [fault] = finding::faults(&base, line).as_slice()
            && base.effect(*fault).name.eq_ignore_ascii_case(line.trim())
        {
            return Taught::note(Note::FaultTooLate(*fault));
        }
        let said = if passes(line) {
            Ok(Vec::new())
        } else {
            stated(&base, &self.phrases, sitting.pupil.hand, line)
        };
        match said {
            Ok(causes) => {
                let told = |c: &CauseId| {
                    let model = base.model.causes.get(c.index());
                    model.is_some_and(|m| m.condition)
                };
                if let Some((lie, _)) = causes.iter().find(|(c, _)| told(c)) {
                    return Taught::note(Note::Told(*lie));
                }
                sitting.commitment.causes.clone_from(&causes);
                sitting.stage = Stage::Practise;
                Taught::of(Block::AskPractice(causes))
            }
            Err(taught) => *taught,
        }
    }

    fn practise(&mut self, line: &str) -> Taught {
        let base = std::sync::Arc::clone(self.mind.base());
        let Some(sitting) = &mut self.sitting else {
            return Taught::note(Note::NothingOpen);
        };
        let named: Vec<CauseId> = sitting.commitment.causes.iter().map(|(c, _)| *c).collect();
        let none = passes(line);
        let found = if none {
            Vec::new()
        } else {
            practising::practice(&base, &self.phrases, sitting.pupil.hand, line, &named)
        };
        match found.as_slice() {
            [] if !none => {
                let near = nearest_cause(&base, line);
                return Taught::note(Note::NoCause(line.to_owned(), near));
            }
            [] => sitting.commitment.practise = None,
            [one] => sitting.commitment.practise = Some(*one),
            several => {
                let few = several.iter().copied().take(finding::OFFERED).collect();
                return Taught::of(Block::WhichCause(Heard::Practice, few));
            }
        }
        sitting.stage = Stage::Reason;
        Taught::of(Block::AskReason(sitting.commitment.practise))
    }

    fn reason(&mut self, line: &str) -> Taught {
        let skipped = passes(line);
        let mut taught = Taught::default();
        if !skipped && let Some(sitting) = &mut self.sitting {
            let mut likely: Vec<_> = sitting.commitment.fault.into_iter().collect();
            likely.push(sitting.pupil.fault);
            likely.extend(&sitting.pupil.first.case.effects);
            // A fault that this club can have is meant before one of other clubs.
            let group = sitting.pupil.first.group.index();
            let effects = &self.mind.base().model.effects;
            likely.extend(
                effects
                    .iter()
                    .enumerate()
                    .filter(|(_, e)| e.any_of.get(group).is_some_and(|t| !t.is_empty()))
                    .map(|(at, _)| crate::vocabulary::EffectId::from_index(at)),
            );
            let named: Vec<CauseId> = (sitting.commitment.practise.into_iter())
                .chain(sitting.commitment.causes.iter().map(|(c, _)| *c))
                .collect();
            let reader = Reader {
                base: self.mind.base(),
                phrases: &self.phrases,
                hand: sitting.pupil.hand,
            };
            let named = reader.reasons(line, &likely, &named);
            sitting.reasons = named.ends;
            let reasoned = recognise(&mut self.mind, &sitting.pupil, &sitting.reasons);
            taught.blocks.push(Block::Reasoned(reasoned, named.unread));
        }
        taught.then(self.compared());
        taught
    }

    /// The comparison; the case goes into the record.
    fn compared(&mut self) -> Taught {
        let Some(sitting) = &mut self.sitting else {
            return Taught::note(Note::NothingOpen);
        };
        let comparison = compare(
            &mut self.mind,
            &sitting.pupil,
            &sitting.desk,
            &sitting.commitment,
        );
        sitting.stage = Stage::Over;
        sitting.comparison = Some(Box::new(comparison.clone()));
        let (commitment, pupil, desk) = (
            sitting.commitment.clone(),
            sitting.pupil.clone(),
            sitting.desk.clone(),
        );
        let Some(attempt) = self.keep(&comparison) else {
            return Taught::note(Note::NothingOpen);
        };
        let mut taught = Taught::default();
        taught.entries.push(attempt.entry());
        taught.blocks.push(Block::Compared {
            comparison: Box::new(comparison),
            commitment: Box::new(commitment),
            pupil: Box::new(pupil),
            desk: Box::new(desk),
            attempt: Box::new(attempt),
        });
        taught
    }
}

/// Whether a line names nothing on purpose.
fn passes(line: &str) -> bool {
    let line = line.trim().trim_end_matches(['.', '!']).to_lowercase();
    [
        "skip", "pass", "nothing", "none", "no", "no idea", "not sure",
    ]
    .contains(&line.as_str())
}

/// The causes and chances of a line such as `hanging back 60%, ball too far forward 20`.
pub(super) fn stated(
    base: &KnowledgeBase,
    phrases: &Phrases,
    hand: Hand,
    line: &str,
) -> Result<Vec<(CauseId, f64)>, Box<Taught>> {
    let refuse = |note: Note| Err(Box::new(Taught::note(note)));
    let mut out: Vec<(CauseId, f64)> = Vec::new();
    let line = line.replace(" and ", ", ");
    for part in line
        .split([',', ';'])
        .map(str::trim)
        .filter(|p| !p.is_empty())
    {
        let (name, number) = cut(part);
        let name = name.trim().trim_end_matches([':', '=', '-']).trim();
        if name.is_empty() {
            return refuse(Note::NoCause(part.to_owned(), None));
        }
        let causes = finding::causes(base, phrases, hand, name);
        let cause = match causes.as_slice() {
            [] => return refuse(Note::NoCause(name.to_owned(), nearest_cause(base, name))),
            [one] => *one,
            several => {
                let few = several.iter().copied().take(finding::OFFERED).collect();
                return Err(Box::new(Taught::of(Block::WhichCause(Heard::Cause, few))));
            }
        };
        if out.iter().any(|(c, _)| *c == cause) {
            return refuse(Note::Twice(cause));
        }
        let Some(number) = number else {
            return refuse(Note::ChanceMissing(cause));
        };
        match chance(number) {
            Some(p) => out.push((cause, p)),
            None => return refuse(Note::NoChance(number.to_owned())),
        }
    }
    if out.len() > MOST {
        return refuse(Note::TooMany(MOST));
    }
    if out.is_empty() {
        return refuse(Note::NoCause(line, None));
    }
    Ok(out)
}

/// A name and the number written after it.
fn cut(part: &str) -> (&str, Option<&str>) {
    let part = part.trim();
    let last = part.rsplit(char::is_whitespace).next().unwrap_or(part);
    let (name, number) = if last == "%" || last.eq_ignore_ascii_case("percent") {
        let rest = part.get(..part.len() - last.len()).unwrap_or("").trim_end();
        let number = rest.rsplit(char::is_whitespace).next().unwrap_or(rest);
        (rest.get(..rest.len() - number.len()).unwrap_or(""), number)
    } else {
        (part.get(..part.len() - last.len()).unwrap_or(""), last)
    };
    let numeric = number.chars().any(|c| c.is_ascii_digit())
        && !number.chars().any(char::is_alphabetic)
        || number.eq_ignore_ascii_case("nan")
        || number.eq_ignore_ascii_case("inf");
    if numeric && !name.trim().is_empty() {
        (name, Some(number))
    } else {
        (part, None)
    }
}

/// A chance in percent, or as a fraction if written with a point and no sign of percent.
fn chance(text: &str) -> Option<f64> {
    let bare = text.trim_end_matches('%');
    let number: f64 = bare.parse().ok().filter(|n: &f64| n.is_finite())?;
    let percent = text.ends_with('%') || !bare.contains('.') || number > 1.0;
    let p = if percent { number / 100.0 } else { number };
    (0.0..=1.0).contains(&p).then_some(p)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_are_percent_or_fractions() {
        for (text, p) in [
            ("60", Some(0.6)),
            ("60%", Some(0.6)),
            ("0.6", Some(0.6)),
            (".25", Some(0.25)),
            ("1", Some(0.01)),
            ("100", Some(1.0)),
            ("0", Some(0.0)),
            ("101", None),
            ("-5", None),
            ("nan", None),
            ("inf", None),
            ("1e9", None),
        ] {
            let found = chance(text);
            match (found, p) {
                (Some(a), Some(b)) => assert!((a - b).abs() < 1e-9, "{text}"),
                (a, b) => assert_eq!(a.is_some(), b.is_some(), "{text}"),
            }
        }
    }

    #[test]
    fn a_number_belongs_to_the_name_before_it() {
        assert_eq!(cut("hanging back 60%"), ("hanging back ", Some("60%")));
        assert_eq!(cut("hanging back 60 %"), ("hanging back ", Some("60")));
        assert_eq!(cut("34 60"), ("34 ", Some("60")));
        assert_eq!(cut("hanging back"), ("hanging back", None));
        assert_eq!(cut("60"), ("60", None));
    }
}
