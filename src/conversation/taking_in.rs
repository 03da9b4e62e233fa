//! Taking in what a line says: findings, hints, asides, what was not used, and the questions that an
//! unclear reading raises.
//!
//! Takes a reading and the line; notes what is told in the talk and gives the echo. Invariant: every
//! content word is used, listed as not used, kept aside or asked about. Judges nothing.

use std::sync::Arc;

use super::note::Note;
use super::reply::{Block, Heard, Put, Question};
use super::talk::Statement;
use super::{Session, USUAL_HINT, child, completing, gaps, turn};
use crate::causes::model::Axis;
use crate::knowledge::KnowledgeBase;
use crate::quantity::Unit;
use crate::reading::{
    Aside, Context, Correction, Count, Finding, Pattern, Polarity, Reading, Span, Unclear, What,
    Why, read,
};
use crate::vocabulary::{CauseId, Hand, SymptomId};

/// The clubs that the next line is about if it names none: those spoken of last, but not those that
/// are fine where others are not ("the driver slices, irons are fine": it is the driver that goes on).
fn scope_left(reading: &Reading, before: &Pattern) -> Pattern {
    let bad = |f: &&Finding| {
        f.polarity == Polarity::Present && matches!(f.what, What::Symptom(_) | What::Number { .. })
    };
    let of_scope = || {
        let findings = reading.findings.iter();
        findings.filter(|f| f.pattern == reading.scope)
    };
    // "Driver fine, carries 150": a number of what is fine is no complaint.
    let well = of_scope().any(|f| matches!(f.what, What::AllWell));
    let symptom = |f: &Finding| bad(&f) && matches!(f.what, What::Symptom(_));
    let bad_here = of_scope().any(|f| if well { symptom(f) } else { bad(&f) });
    if of_scope().next().is_none() || bad_here {
        return reading.scope.clone();
    }
    let elsewhere = |f: &&Finding| bad(f) && (!well || f.pattern != reading.scope);
    let told = reading.findings.iter().rfind(elsewhere);
    told.map_or_else(|| before.clone(), |f| f.pattern.clone())
}

/// Somebody who tells only of another asks for that other, if nothing was told before.
fn of_another(reading: &Reading) -> bool {
    let seen = |a: &Aside| matches!(a.finding.what, What::Symptom(_) | What::Number(_));
    reading.findings.is_empty()
        && reading.history.iter().any(seen)
        && reading.history.iter().all(|a| a.why == Why::Other)
}

/// "7 iron, path -3, he slices": one golfer told of, by "he" or "she" and nobody else.
fn only_him(reading: &Reading, line: &str) -> bool {
    const HIM: [&str; 8] = ["he", "she", "his", "her", "hes", "shes", "him", "hers"];
    const ME: [&str; 12] = [
        "i", "my", "me", "im", "ive", "mine", "mate", "mates", "partner", "wife", "husband",
        "friend",
    ];
    let words: Vec<String> = line
        .replace(['\'', '\u{2019}'], "")
        .split(|c: char| !c.is_alphanumeric())
        .map(str::to_lowercase)
        .collect();
    let says = |list: &[&str]| words.iter().any(|w| list.contains(&w.as_str()));
    reading.history.iter().any(|a| a.why == Why::Other)
        && says(&HIM)
        && !says(&ME)
        && reading.history.iter().all(|a| a.why != Why::Quoted)
}

/// The words of a span.
fn words(line: &str, span: Span) -> String {
    span.of(line).trim().to_owned()
}

/// The words whose spelling was mended, and as what they were read.
fn spelled(reading: &Reading, line: &str) -> Option<Block> {
    let fixes = reading.spelling.iter();
    let fixes: Vec<_> = fixes
        .map(|s| (words(line, s.said), s.read_as.clone()))
        .collect();
    (!fixes.is_empty()).then_some(Block::Spelling(fixes))
}

/// The golfer's own word on causes: what was looked at first; each cause once.
fn hinted(reading: &Reading) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut told: Vec<CauseId> = Vec::new();
    for seen in [true, false] {
        let mut causes: Vec<(CauseId, Polarity)> = reading
            .hints
            .iter()
            .filter(|h| h.seen == seen)
            .flat_map(|h| h.causes.iter().map(|c| (*c, h.polarity)))
            .collect();
        causes.retain(|(cause, _)| {
            let fresh = !told.contains(cause);
            told.push(*cause);
            fresh
        });
        if !causes.is_empty() {
            blocks.push(Block::Hinted { causes, seen });
        }
    }
    blocks
}

/// The reading without what stands in advice, and the causes named there; none where there is none.
fn without_advice(reading: &Reading, line: &str) -> Option<(Reading, Vec<CauseId>)> {
    let mut rest = reading.clone();
    let mut causes = Vec::new();
    rest.hints.retain(|hint| {
        let advised = !hint.seen && super::advice::advised(line, hint.said);
        if advised {
            causes.extend(hint.causes.iter().copied());
        }
        !advised
    });
    // Advice that has an answer of its own is answered.
    (!causes.is_empty() && reading.topics.is_empty()).then_some((rest, causes))
}

/// True if both causes turn the aim, and to different sides.
fn aims_off(base: &KnowledgeBase, one: CauseId, other: CauseId) -> bool {
    let side = |cause: CauseId| {
        let model = base.model.causes.get(cause.index())?;
        let mut aims = model
            .shifts
            .iter()
            .flatten()
            .filter(|s| s.axis == Axis::Aim);
        // Of some it is not known to which side.
        aims.find(|s| s.mean.abs() >= s.sd).map(|s| s.mean)
    };
    matches!((side(one), side(other)), (Some(a), Some(b)) if a * b < 0.0)
}

/// Numbers that no golfer can have.
fn impossible(reading: &Reading, line: &str) -> Vec<Block> {
    let block = |unclear: &Unclear| match unclear {
        Unclear::Impossible {
            quantity,
            low,
            high,
            unit,
            said,
        } => Some(Block::Impossible {
            quantity: *quantity,
            words: words(line, *said),
            low: *low,
            high: *high,
            unit: *unit,
        }),
        _ => None,
    };
    reading.unclear.iter().filter_map(block).collect()
}

impl Session {
    /// Notes what a line says; gives the echo.
    pub(super) fn take_in(&mut self, reading: &Reading, line: &str) -> Vec<Block> {
        self.talk.said.push(line.to_owned());
        let number = self.talk.said.len();
        let mut blocks = Vec::new();
        let advice = without_advice(reading, line);
        let only_advice = advice.is_some() && reading.findings.is_empty();
        let reading = match &advice {
            Some((rest, causes)) => {
                blocks.push(Block::Note(Note::AdviceHeard(causes.clone())));
                blocks.extend(self.advice_answered(line));
                rest
            }
            None => reading,
        };
        self.note_child(line);
        let hand_is_new = reading.hand.is_some() && self.talk.hand != reading.hand;
        if let Some(hand) = reading.hand {
            let new = self.talk.hand != Some(hand);
            if self.talk.hand.is_none() {
                self.mirror(hand);
            }
            self.talk.hand = Some(hand);
            if new && reading.findings.is_empty() {
                blocks.push(Block::Note(Note::HandNoted(hand)));
            }
        }
        let counted = self.counts_put_right(reading);
        blocks.extend(self.corrected(reading, number));
        self.talk.plus = reading.plus.or(self.talk.plus);
        let mut unused = self.unused(reading, line);
        blocks.extend(self.whose(reading, line, &mut unused));
        self.note_ground(line, &mut unused);
        self.note_findings(reading, line, number, &mut unused);
        for (to, often, count) in counted {
            let fresh = self.talk.statements.iter_mut().rev();
            let mut fresh = fresh.filter(|s| s.line == number && s.finding.count.is_none());
            if let Some(new) = fresh.find(|s| s.finding.what == What::Symptom(to)) {
                new.finding.count = count;
                new.finding.often = new.finding.often.or(often);
            }
        }
        if self.talk.adopt_clubs(number) {
            blocks.push(Block::Note(Note::ClubAdopted));
        }
        self.note_looks(number);
        blocks.extend(self.units_as_typed(reading));
        let signs = self.settle_signs(number, hand_is_new);
        self.take_hints(reading, line);
        self.rule_out(reading);
        let sounds = if only_advice {
            None
        } else {
            self.listen(reading, line, &mut unused)
        };
        self.talk.scope = scope_left(reading, &self.talk.scope);
        let heard: Vec<Heard> = turn::heard(&self.talk, Some(number))
            .into_iter()
            .filter(|h| h.new)
            .collect();
        if !heard.is_empty() {
            blocks.push(Block::Understood(heard));
        }
        blocks.extend(signs);
        blocks.extend(Self::signs_against(reading, line));
        blocks.extend(spelled(reading, line));
        self.loose_numbers(reading, line, &mut blocks, &mut unused);
        let age = child::age(line);
        unused.retain(|words| !child::only_age(words, age));
        if !unused.is_empty() {
            blocks.push(Block::Unused(unused));
        }
        blocks.extend(self.asides(reading, line));
        blocks.extend(hinted(reading));
        blocks.extend(sounds);
        blocks.extend(reading.topics.iter().map(|topic| Block::Answer {
            answer: topic.answer,
            put: if topic.told {
                Put::Told
            } else {
                super::concepts::put(&sentence_to(line, topic.said).to_lowercase())
            },
        }));
        blocks.extend(impossible(reading, line));
        let settled = self.units_that_fit(reading, line, &mut blocks);
        let reading = settled.as_ref().unwrap_or(reading);
        if self.talk.pending.is_none() {
            let mut questions = self.questions_raised(reading, line);
            // What hangs on the hand is asked when the hand is known.
            if let Some(Question::Hand) = questions.first() {
                questions.truncate(1);
            }
            if !questions.is_empty() {
                self.talk.pending = Some(questions.remove(0));
            }
            // One question at a time; what else is unclear is not dropped in silence.
            let open: Vec<String> = questions.iter().filter_map(words_asked).collect();
            if !open.is_empty() {
                blocks.push(Block::Open(open));
            }
        }
        blocks
    }

    /// "12 of 20 thin", "not thin, they were topped": how often what is put right was told to happen.
    fn counts_put_right(&self, reading: &Reading) -> Vec<(SymptomId, Option<f64>, Option<Count>)> {
        let told = |from: SymptomId| {
            let mut told = self.talk.statements.iter().rev().filter(|s| !s.dropped);
            told.find(|s| s.finding.what == What::Symptom(from))
        };
        let pairs = reading.corrections.iter().filter_map(|c| match c {
            Correction::Symptom { from, to, .. } => Some((*from, (*to)?)),
            _ => None,
        });
        pairs
            .filter_map(|(from, to)| {
                let old = &told(from)?.finding;
                Some((to, old.often, old.count))
            })
            .collect()
    }

    /// What the knowledge says of advice that somebody gave.
    fn advice_answered(&self, line: &str) -> Vec<Block> {
        let Some(advice) = super::advice::given(line) else {
            return Vec::new();
        };
        let reading = self.read(&format!("should i {advice}"));
        let mut answers: Vec<_> = reading.topics.iter().map(|t| t.answer).collect();
        answers.dedup();
        let put = Put::Should;
        let answers = answers.into_iter().take(1);
        answers
            .map(|answer| Block::Answer { answer, put })
            .collect()
    }

    /// Takes back what a line corrects.
    fn corrected(&mut self, reading: &Reading, number: usize) -> Vec<Block> {
        let mut blocks = Vec::new();
        for correction in &reading.corrections {
            match correction {
                Correction::Clubs { to, .. } => {
                    self.talk.change_clubs(to, number);
                    blocks.push(Block::Note(Note::ClubChanged));
                }
                Correction::Symptom { from, .. } => self.talk.drop_symptom(*from, number),
                Correction::Number { quantity, .. } => self.talk.drop_quantity(*quantity, number),
                Correction::Hand { to, .. } => self.mirror(*to),
            }
        }
        blocks
    }

    /// Notes the findings of a line, those about a pupil among them.
    fn note_findings(
        &mut self,
        reading: &Reading,
        line: &str,
        number: usize,
        unused: &mut Vec<String>,
    ) {
        let asides = reading.history.iter();
        let theirs: Vec<Finding> = asides
            .filter(|a| self.talk.of_a_pupil && a.why == Why::Other)
            .map(|a| a.finding.clone())
            .collect();
        let closed = gaps::closed(self.base(), &reading.findings);
        for finding in reading.findings.iter().chain(&theirs).chain(&closed) {
            // "All is well" must be said of clubs: "balance is good" says nothing of the shots.
            if finding.what == What::AllWell && !self.names_clubs(finding.clause.of(line)) {
                unused.push(words(line, finding.said));
                continue;
            }
            let mut finding = finding.clone();
            finding.pattern.lie = self.lie_of(&finding.pattern);
            self.talk.statements.push(Statement {
                words: words(line, finding.said),
                finding,
                dropped: false,
                line: number,
            });
        }
    }

    /// A number that only one thing can be measured in is that thing; one that nothing here is
    /// measured in is listed as not used.
    fn loose_numbers(
        &mut self,
        reading: &Reading,
        line: &str,
        blocks: &mut Vec<Block>,
        unused: &mut Vec<String>,
    ) {
        for unclear in &reading.unclear {
            let Unclear::Quantity { quantities, said } = unclear else {
                continue;
            };
            let said_words = words(line, *said);
            match quantities.as_slice() {
                [only] if !played_from(line, *said) => {
                    let again =
                        completing::with_name(&self.base().quantity(*only).name, &said_words);
                    if self.read_again(&again, blocks) {
                        unused.retain(|w| !said_words.contains(w.as_str()));
                    } else {
                        unused.push(said_words);
                    }
                }
                several if several.len() > 1 && !played_from(line, *said) => {}
                _ => unused.push(said_words),
            }
        }
    }

    /// What was mentioned and is not so now.
    fn asides(&self, reading: &Reading, line: &str) -> Option<Block> {
        let asides: Vec<_> = reading
            .history
            .iter()
            .filter(|a| !(self.talk.of_a_pupil && a.why == Why::Other))
            .map(|a| (words(line, a.finding.said), a.why))
            .collect();
        (!asides.is_empty()).then_some(Block::Aside(asides))
    }

    /// True if the words name clubs.
    pub(super) fn names_clubs(&self, clause: &str) -> bool {
        let alone = self.read_apart(clause);
        // "His driver is fine", of a pupil.
        let theirs = alone
            .history
            .iter()
            .filter(|a| self.talk.of_a_pupil && a.why == Why::Other);
        let mut all = alone.findings.iter().chain(theirs.map(|a| &a.finding));
        let well = |f: &&Finding| f.what == What::AllWell && !f.pattern.groups.is_empty();
        all.any(|f| well(&f))
    }

    /// The words read by themselves, with the hand alone known.
    pub(super) fn read_apart(&self, text: &str) -> Reading {
        let context = Context {
            hand: self.talk.hand,
            ..Context::default()
        };
        read(&self.phrases, &context, text)
    }

    /// Notes the golfer's own word on causes: what can be looked at counts more than what is felt,
    /// a denial counts against.
    fn take_hints(&mut self, reading: &Reading, line: &str) {
        let base = Arc::clone(self.mind.base());
        for hint in &reading.hints {
            let sign = match hint.polarity {
                Polarity::Present => 1.0,
                Polarity::Absent => -1.0,
                Polarity::Unsure => continue,
            };
            let said = hint.said.of(line).trim().to_owned();
            for cause in &hint.causes {
                let family = &base.cause(*cause).family;
                let trust = base.hint_trust.get(family).copied().unwrap_or(USUAL_HINT);
                let share = if sign > 0.0 {
                    hint.causes.len().max(1) as f64
                } else {
                    1.0
                };
                // What was looked at is a check answered, only not in the words of the question.
                let weight = if hint.seen {
                    base.seen_trust.get(family).copied().unwrap_or(1.0) / share.sqrt()
                } else {
                    (trust * hint.weight / USUAL_HINT).min(1.0) / share.sqrt()
                };
                // The last word counts, but what is said twice counts no less for that.
                let before = self.talk.hints.iter().find(|(c, _, _)| c == cause);
                let before = before.map_or(0.0, |(_, w, _)| (sign * w).max(0.0));
                self.talk.hints.retain(|(c, _, _)| c != cause);
                if hint.seen {
                    self.talk.looked_at.push(*cause);
                }
                let weight = sign * weight.max(before);
                self.talk.hints.push((*cause, weight, said.clone()));
                // Who aims to one side does not aim to the other.
                if sign > 0.0 && !hint.causes.iter().any(|c| aims_off(&base, *cause, *c)) {
                    self.aims_otherwise(&base, *cause, weight, &said);
                }
            }
        }
    }

    /// Notes what cannot be on the lie that is told.
    fn rule_out(&mut self, reading: &Reading) {
        let base = Arc::clone(self.mind.base());
        let teed = |f: &&Finding| {
            let mut groups = f.pattern.groups.iter();
            groups.any(|g| base.model.groups.get(g.index()).is_some_and(|m| m.teed))
        };
        let findings = reading.findings.iter().filter(teed);
        let lies = findings.filter_map(|f| f.pattern.lie);
        for lie in lies {
            let lie = base.lie(lie);
            for cause in &lie.rules_out {
                if self.talk.hints.iter().all(|(c, _, _)| c != cause) {
                    self.talk.hints.push((*cause, -1.0, lie.name.clone()));
                }
            }
        }
    }

    /// Notes that causes which aim to the other side than this one are not so, unless the golfer told
    /// of them too.
    fn aims_otherwise(&mut self, base: &KnowledgeBase, cause: CauseId, weight: f64, said: &str) {
        for place in 0..base.model.causes.len() {
            let other = CauseId::from_index(place);
            let told = self
                .talk
                .hints
                .iter()
                .any(|(c, w, _)| *c == other && *w > 0.0);
            if !told && aims_off(base, cause, other) {
                self.talk.hints.retain(|(c, _, _)| *c != other);
                self.talk.hints.push((other, -weight, said.to_owned()));
            }
        }
    }

    /// A golfer who types in centimetres or in inches is answered in them, unless the units were
    /// chosen.
    fn units_as_typed(&mut self, reading: &Reading) -> Option<Block> {
        let said = |units: &[Unit]| {
            let mut findings = reading.findings.iter();
            findings.any(
                |f| matches!(f.what, What::Number(n) if n.unit_said && units.contains(&n.unit)),
            )
        };
        let metric = said(&[Unit::Centimetre, Unit::Metre, Unit::KilometrePerHour]);
        let imperial = said(&[Unit::Inch, Unit::Foot, Unit::Yard, Unit::MilePerHour]);
        let turns = !self.units_chosen && metric != imperial && metric != self.metric;
        turns.then(|| {
            self.metric = metric;
            Block::Note(Note::Metric(metric))
        })
    }

    /// Whether the line speaks of the golfer or of somebody else who is meant.
    fn whose(&mut self, reading: &Reading, line: &str, unused: &mut Vec<String>) -> Option<Block> {
        // A coach speaks of somebody else, and means the golfer in question.
        let base = Arc::clone(self.mind.base());
        let pupil = |w: &str| base.pupil_words.iter().any(|p| p.eq_ignore_ascii_case(w));
        if line.split(|c: char| !c.is_alphanumeric()).any(pupil) {
            unused.retain(|w| !w.split_whitespace().all(pupil));
            self.talk.of_a_pupil = true;
        }
        let alone = self.talk.is_empty() && of_another(reading);
        let taken = !self.talk.of_a_pupil && (alone || only_him(reading, line));
        taken.then(|| {
            self.talk.of_a_pupil = true;
            Block::Note(Note::TakenOfThem)
        })
    }

    /// The words that nothing was made of, those of a caution left out.
    fn unused(&self, reading: &Reading, line: &str) -> Vec<String> {
        let cautioned = |s: &Span| {
            let heeded = self.beside.iter().map(|(_, c)| c).chain(&self.leave);
            heeded
                .into_iter()
                .any(|c| c.start <= s.start && s.end <= c.end)
        };
        let left = reading.unused.iter().filter(|s| !cautioned(s));
        left.map(|s| s.of(line).trim().to_owned()).collect()
    }

    /// The questions that an unclear reading raises, in the order of the line.
    pub(super) fn questions_raised(&mut self, reading: &Reading, line: &str) -> Vec<Question> {
        let mut questions = Vec::new();
        for unclear in &reading.unclear {
            let question = match unclear {
                Unclear::Unit {
                    quantity,
                    units,
                    said,
                } => Question::Unit {
                    quantity: *quantity,
                    units: units.clone(),
                    words: words(line, *said),
                },
                Unclear::Direction { quantity, said } => Question::Direction {
                    quantity: *quantity,
                    words: words(line, *said),
                },
                Unclear::Quantity { said, .. } if played_from(line, *said) => continue,
                Unclear::Quantity { quantities, said } if quantities.len() > 1 => {
                    Question::Number {
                        quantities: quantities.clone(),
                        words: words(line, *said),
                    }
                }
                Unclear::Hand { .. } if self.talk.hand.is_none() && !self.talk.hand_asked => {
                    self.talk.hand_asked = true;
                    Question::Hand
                }
                Unclear::Meaning {
                    pattern,
                    symptoms,
                    causes,
                    said,
                    ..
                } => Question::Meaning {
                    pattern: pattern.clone(),
                    symptoms: symptoms.clone(),
                    causes: causes.clone(),
                    words: words(line, *said),
                },
                Unclear::Sure { finding } => {
                    let Some(said) = reading.findings.get(*finding).map(|f| f.said) else {
                        continue;
                    };
                    let first = self.talk.statements.len() - reading.findings.len();
                    Question::Sure {
                        number: first + finding + 1,
                        words: words(line, said),
                    }
                }
                Unclear::Quantity { .. }
                | Unclear::Hand { .. }
                | Unclear::Amount { .. }
                | Unclear::Impossible { .. } => {
                    continue;
                }
            };
            questions.push(question);
        }
        questions
    }

    /// Reads lines with sides in them again for the hand; what was taken back stays so.
    pub(super) fn mirror(&mut self, hand: Hand) {
        self.talk.hand = Some(hand);
        let mut lines: Vec<usize> = self
            .talk
            .statements
            .iter()
            .filter(|s| (s.finding.needs_hand || rests_on_a_sign(&s.finding)) && !s.dropped)
            .map(|s| s.line)
            .collect();
        lines.dedup();
        for number in lines {
            let Some(line) = number
                .checked_sub(1)
                .and_then(|i| self.talk.said.get(i))
                .cloned()
            else {
                continue;
            };
            let mut taken_back: Vec<Span> = Vec::new();
            for statement in self.talk.statements.iter_mut().filter(|s| s.line == number) {
                if statement.dropped {
                    taken_back.push(statement.finding.said);
                }
                statement.dropped = true;
            }
            let again = self.read(&line);
            let fresh = again.findings.into_iter().filter(|f| {
                !taken_back.contains(&f.said)
                    && (f.what != What::AllWell || self.names_clubs(f.clause.of(&line)))
            });
            let fresh: Vec<Statement> = fresh
                .map(|finding| Statement {
                    words: finding.said.of(&line).trim().to_owned(),
                    finding,
                    dropped: false,
                    line: number,
                })
                .collect();
            self.talk.statements.extend(fresh);
        }
    }
}

/// True for a number whose side rests on a sign without a word.
fn rests_on_a_sign(finding: &Finding) -> bool {
    matches!(finding.what, What::Number(number) if number.plus.is_some())
}

/// "From 90 yards", "60 yard pitches": where the shot was played from, no number of its flight.
fn played_from(line: &str, said: Span) -> bool {
    const SHOTS: [&str; 9] = [
        "pitch", "pitches", "chip", "chips", "shot", "shots", "wedge", "wedges", "out",
    ];
    let word = |w: &str| {
        w.trim_matches(|c: char| !c.is_alphanumeric())
            .to_lowercase()
    };
    let before = line.get(..said.start).unwrap_or("");
    let after = line.get(said.end..).unwrap_or("");
    let place = [
        "to the green",
        "to the pin",
        "to the flag",
        "to the hole",
        "out from the green",
    ];
    let gone = after.trim_start().to_lowercase();
    if place.iter().any(|w| gone.starts_with(w)) {
        return true;
    }
    let from = before.split_whitespace().next_back();
    let shot = after.split_whitespace().next();
    from.is_some_and(|w| word(w) == "from")
        || shot.is_some_and(|w| SHOTS.contains(&word(w).as_str()))
}

/// The sentence in which these words stand, up to their end.
fn sentence_to(line: &str, said: Span) -> &str {
    let upto = line.get(..said.end).unwrap_or("");
    let from = line
        .get(..said.start)
        .and_then(|before| before.rfind(['.', ';', '!', '?', ',']))
        .map_or(0, |at| at + 1);
    upto.get(from..).unwrap_or("")
}

/// The words that a question is about.
fn words_asked(question: &Question) -> Option<String> {
    match question {
        Question::Unit { words, .. }
        | Question::Direction { words, .. }
        | Question::Number { words, .. }
        | Question::Meaning { words, .. } => Some(words.clone()),
        _ => None,
    }
}
