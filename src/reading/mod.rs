//! What did the golfer say? One line of English becomes findings, each with the words it came from.
//!
//! Takes the compiled phrases, what earlier lines left behind ([`Context`]) and the line; gives a
//! [`Reading`]. Pure: same input, same output. The passes, in this order:
//!
//! 1. letters: words, numbers and boundaries, each with its place in the line;
//! 2. words: contractions made one, number words made numbers, spelling mended and shown;
//! 3. phrases: the longest phrases of the lexicon, clubs and lies first among equals;
//! 4. hand: left and right become push side and pull side;
//! 5. clubs: numbers of people, bodies and time are set apart, then every clause gets the clubs and
//!    the lie it speaks of; stretches of the bag ("6 and up") first, then names that take up a club
//!    named before ("the iron", "the other");
//! 6. numbers: counts, sizes of a start or a bend, then values with quantity, unit and direction,
//!    then which way plus is;
//! 7. context: negation, doubt, time, wish, fear, other people, how often, how bad; what is carried
//!    to other clubs ("not with the wedges"); runs of shots and things said twice;
//! 8. residue: every word that nothing used and that is no stop word is listed.
//!
//! Invariant: each word of the line lies in a span that was used, is listed as unused, or stands
//! on the stop list of the lexicon. What is not known here: whether a finding is true, what it
//! means for the arc, and what to answer.

#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "a meaning or a role that a pass does not work with says nothing to that pass"
)]

mod amounts;
mod backward;
mod bare_clubs;
mod bare_sides;
mod carried;
mod circumstances;
mod clauses;
mod club_names;
mod club_ranges;
mod curve_hand;
mod distances;
mod findings;
mod flight_course;
mod flight_sizes;
mod frames;
mod given_by_side;
mod heads;
mod left_over;
mod letters;
mod likeness;
mod measures;
mod modifiers;
mod numbers;
mod phrases;
mod pronouns;
mod put_right;
pub mod quick;
mod repeats;
pub mod safety;
mod said_hand;
mod scope;
mod shot_list;
mod signs;
mod spelling;
mod tables;
mod together;
mod whose;

pub use likeness::{Likeness, Sound};
pub use phrases::Phrases;
pub use signs::Plus;

use crate::knowledge::lexicon::{Meaning, ToneWord};
use crate::quantity::{Amount, Estimate, Unit};
use crate::vocabulary::{AnswerId, CauseId, ClubId, GroupId, Hand, LieId, QuantityId, SymptomId};
use clauses::Line;
use left_over::{free, unused};
pub use pronouns::names_a_mark;

/// A byte range of the line, always on character borders.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Span {
    /// The words themselves; empty if the span is not of this line.
    pub fn of(self, line: &str) -> &str {
        line.get(self.start..self.end).unwrap_or("")
    }

    /// The part of this span from the start of another one on.
    #[must_use]
    pub fn cut_from(self, other: Self) -> Self {
        Self {
            start: self.start.max(other.start).min(self.end),
            end: self.end,
        }
    }

    /// The smallest span that holds both.
    #[must_use]
    pub fn joined(self, other: Self) -> Self {
        Self {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }
}

/// What earlier lines of the talk left behind.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Context {
    /// The golfer's hand, if known.
    pub hand: Option<Hand>,
    /// The clubs and the lie last spoken of.
    pub scope: Pattern,
    /// Symptoms held to be present, so that "not fat, thin" can be told from a plain denial.
    pub present: Vec<SymptomId>,
    /// Numbers told before, so that "no, 3 in" can be told from a new number.
    pub measured: Vec<Number>,
    /// The line before spoke of a mark in the turf, so that "it" may be the mark.
    pub mark: bool,
}

/// The clubs and the lie a finding speaks of. Nothing in it: nothing was said.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Pattern {
    /// Single clubs named, in the order of their ids.
    pub clubs: Vec<ClubId>,
    /// Club groups named, and the groups of the single clubs; in the order of their ids.
    pub groups: Vec<GroupId>,
    /// The lie.
    pub lie: Option<LieId>,
    /// True for chips, pitches and other shots that are not full swings.
    pub part_shot: bool,
}

/// What a finding states.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// Something seen, heard or felt.
    Symptom(SymptomId),
    /// A measured or estimated number.
    Number(Number),
    /// Nothing wrong with these clubs ("irons are fine"): present means all is well.
    AllWell,
}

/// A number of a quantity, in the house's signs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    /// Which quantity.
    pub quantity: QuantityId,
    /// Mean; the error is that of the words alone (0 for one plain number, the half width over
    /// the root of three for a range or for "about", the error of the mean for a list of shots).
    pub value: Estimate,
    /// The unit said, or the one assumed.
    pub unit: Unit,
    /// False if the unit was assumed because only one is plausible.
    pub unit_said: bool,
    /// How many shots the number stands for: more than one for a list.
    pub shots: u16,
    /// The scatter from shot to shot (one standard deviation), for a list.
    pub spread: Option<Amount>,
    /// Which way plus was taken, if the side rests on a sign without a word.
    pub plus: Option<Plus>,
}

/// Whether the thing is said to be so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Polarity {
    /// It is so.
    Present,
    /// It is not so.
    Absent,
    /// The golfer is not sure: ask.
    Unsure,
}

/// How many shots did it, of how many if that was said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    /// Shots that did it.
    pub hits: u16,
    /// Out of so many; "three in a row" is 3 of 3.
    pub of: Option<u16>,
}

/// One thing stated of one pattern.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Clubs and lie.
    pub pattern: Pattern,
    /// What is stated.
    pub what: What,
    /// Whether it is so.
    pub polarity: Polarity,
    /// Share of shots, 0 to 1.
    pub often: Option<f64>,
    /// Counted shots.
    pub count: Option<Count>,
    /// How bad, 0 to 1 (0.3 a bit, 0.6 quite, 1 huge).
    pub severity: Option<f64>,
    /// How far words of this sort are to be trusted, 0 to 1.
    pub weight: f64,
    /// Rests on left or right while the hand is not known: right-handed was assumed.
    pub needs_hand: bool,
    /// Said against the usual ("thinner than usual"): a change, not a level.
    pub change: bool,
    /// The phrase or the number.
    pub said: Span,
    /// The same said again of the same clubs.
    pub said_again: Vec<Span>,
    /// The clause it stood in.
    pub clause: Span,
}

/// Why a finding does not count as a present fact of this golfer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Why {
    /// Used to be so.
    Past,
    /// Has stopped; not so now.
    Stopped,
    /// Wanted.
    Wished,
    /// Feared.
    Feared,
    /// Only if, or when something were done.
    If,
    /// Somebody else's.
    Other,
    /// Said by somebody else about this golfer.
    Quoted,
}

/// A finding that is kept but does not count.
#[derive(Debug, Clone, PartialEq)]
pub struct Aside {
    /// What was said.
    pub finding: Finding,
    /// Why it does not count.
    pub why: Why,
}

/// The golfer's own diagnosis: a weak hint at causes, never a symptom.
#[derive(Debug, Clone, PartialEq)]
pub struct Hint {
    /// The causes the words point at.
    pub causes: Vec<CauseId>,
    /// Whether the golfer says it is so.
    pub polarity: Polarity,
    /// How far to trust it, 0 to 1 (common: 0.25).
    pub weight: f64,
    /// Something looked at (a photo, a mark, where the ball lies), not a feeling.
    pub seen: bool,
    /// Said by somebody else ("my mate says I sway").
    pub quoted: bool,
    /// Clubs and lie.
    pub pattern: Pattern,
    /// The words.
    pub said: Span,
}

/// Advice the golfer has been given, or a question about how things work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Topic {
    /// The answer in the knowledge that speaks to it.
    pub answer: AnswerId,
    /// True if somebody told the golfer so; false if the golfer asks.
    pub told: bool,
    /// The words.
    pub said: Span,
}

/// Something said before is taken back or changed.
#[derive(Debug, Clone, PartialEq)]
pub enum Correction {
    /// "No, it was a 6 iron".
    Clubs {
        /// The clubs or the lie now.
        to: Pattern,
        /// The words.
        said: Span,
    },
    /// "Not fat, thin": the new one, if any, is among the findings as well.
    Symptom {
        /// What is taken back.
        from: SymptomId,
        /// What takes its place.
        to: Option<SymptomId>,
        /// The words.
        said: Span,
    },
    /// "I mean 3 in": the new value is among the findings as well.
    Number {
        /// Whose value is replaced.
        quantity: QuantityId,
        /// The words.
        said: Span,
    },
    /// "I am left-handed, by the way", after right was assumed.
    Hand {
        /// The hand now.
        to: Hand,
        /// The words.
        said: Span,
    },
}

/// A word taken for another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpellingFix {
    /// The word as typed.
    pub said: Span,
    /// The word it was read as.
    pub read_as: String,
}

/// Something to ask about, because guessing could be wrong.
#[derive(Debug, Clone, PartialEq)]
pub enum Unclear {
    /// A number of a quantity whose unit was not said, with the units that would make sense.
    Unit {
        /// Which quantity.
        quantity: QuantityId,
        /// Plausible units.
        units: Vec<Unit>,
        /// The words.
        said: Span,
    },
    /// A number (with its unit, if said) that could belong to several quantities, or to none.
    Quantity {
        /// Plausible quantities; empty if there is none.
        quantities: Vec<QuantityId>,
        /// The words.
        said: Span,
    },
    /// A number that no club ever reached; it was not used.
    Impossible {
        /// Which quantity.
        quantity: QuantityId,
        /// The least that makes sense, in the unit said or usual.
        low: f64,
        /// The most.
        high: f64,
        /// Unit of both.
        unit: Unit,
        /// The words.
        said: Span,
    },
    /// A finding that begs for a number ("behind the ball": how far?).
    Amount {
        /// Which quantity.
        quantity: QuantityId,
        /// The words.
        said: Span,
    },
    /// The direction was not said where it matters (behind or ahead, left or right, up or down).
    Direction {
        /// Which quantity.
        quantity: QuantityId,
        /// The words.
        said: Span,
    },
    /// Left or right was said and the hand is not known: right-handed was assumed.
    Hand {
        /// The words.
        said: Span,
    },
    /// A phrase with two meanings.
    Meaning {
        /// Of which shots.
        pattern: Pattern,
        /// The meanings; the finding was left out.
        symptoms: Vec<SymptomId>,
        /// The causes it might mean instead.
        causes: Vec<CauseId>,
        /// Text id of the lexicon entry that asks.
        entry: String,
        /// The words.
        said: Span,
    },
    /// "Maybe", "not sure": the finding is kept as unsure.
    Sure {
        /// Place in [`Reading::findings`].
        finding: usize,
    },
}

/// What sort of line it is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Tone {
    /// About the golfer's shots, or close enough.
    #[default]
    Talk,
    /// A greeting and nothing else.
    Greeting,
    /// Thanks and nothing else.
    Thanks,
    /// Leaves.
    Goodbye,
    /// Golf, but not for this program; the text id of the entry (putting, bunker, buying, rules).
    OutOfScope(String),
    /// Not about golf.
    OffTopic,
    /// Rude and nothing else.
    Abuse,
    /// Another language, by its English name.
    OtherLanguage(String),
    /// No content at all.
    Nothing,
}

/// What the golfer wants to reach or to know.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Goal {
    /// True for "want to know why", false for "want to hit a draw".
    pub to_know: bool,
    /// The words, from the wish to the end of its clause.
    pub said: Span,
}

/// All that one line says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reading {
    /// Present facts of this golfer, in the order of the words.
    pub findings: Vec<Finding>,
    /// Past, wished, feared, other people's, hypothetical.
    pub history: Vec<Aside>,
    /// Self-diagnosis.
    pub hints: Vec<Hint>,
    /// Quoted advice and questions the knowledge answers.
    pub topics: Vec<Topic>,
    /// Things taken back.
    pub corrections: Vec<Correction>,
    /// Words read as others.
    pub spelling: Vec<SpellingFix>,
    /// To be asked.
    pub unclear: Vec<Unclear>,
    /// Words that nothing used.
    pub unused: Vec<Span>,
    /// Runs of words from which no fact, number or hand was read; those of clubs and hints are among
    /// them.
    pub free: Vec<Span>,
    /// The hand, if this line says it.
    pub hand: Option<Hand>,
    /// Which way plus is, if this line says or shows it.
    pub plus: Option<Plus>,
    /// Numbers whose sign says one thing and whose word another: the word was taken.
    pub against: Vec<Span>,
    /// What the golfer wants.
    pub goals: Vec<Goal>,
    /// What sort of line.
    pub tone: Tone,
    /// Clubs and lie last spoken of, for the next line's [`Context`].
    pub scope: Pattern,
}

/// Reads one message: a line, or several with a table among them.
pub fn read(phrases: &Phrases, context: &Context, line: &str) -> Reading {
    let Some(table) = tables::find(phrases, line) else {
        return read_talk(phrases, context, line);
    };
    // Spaces in place of the table keep every other word where it is.
    let mut talk = String::with_capacity(line.len());
    talk.push_str(line.get(..table.span.start).unwrap_or(""));
    talk.extend(std::iter::repeat_n(' ', table.span.end - table.span.start));
    talk.push_str(line.get(table.span.end..).unwrap_or(""));
    let mut reading = read_talk(phrases, context, &talk);
    let hand = reading.hand.or(context.hand).unwrap_or(Hand::Right);
    let scope = reading.scope.clone();
    tables::read(phrases, line, &table, &scope, hand, &mut reading);
    reading.tone = Tone::Talk;
    reading
}

/// Reads a message without tables.
fn read_talk(phrases: &Phrases, context: &Context, line: &str) -> Reading {
    let (mut words, mended) = phrases.words(line);
    let mut reading = Reading::default();
    let assumed = context.hand.unwrap_or(Hand::Right);
    let mut matches = phrases.matches(&mut words, assumed);
    let said_hand = said_hand::find(phrases, (&words, &matches), line, context.hand);
    if let Some((hand, _, _)) = said_hand
        && hand != assumed
    {
        matches = phrases.matches(&mut words, hand);
    }
    let of_curve = match (said_hand, context.hand) {
        (None, None) => curve_hand::hand_of_curve(line),
        _ => None,
    };
    if let Some(hand) = of_curve {
        reading.hand = Some(hand);
        if hand != assumed {
            matches = phrases.matches(&mut words, hand);
        }
    }
    let held = said_hand.map_or(reading.hand.unwrap_or(assumed), |(hand, _, _)| hand);
    matches = pronouns::of_marks(phrases, &words, matches, held, context.mark);
    let mut cut = Line::new(phrases, words, matches);
    if let Some((hand, from, to)) = said_hand {
        reading.hand = Some(hand);
        cut.use_words(from, to);
        if context.hand.is_some_and(|known| known != hand) {
            let said = cut.span(from, to);
            reading
                .corrections
                .push(Correction::Hand { to: hand, said });
        }
    }
    let numbered = numbers::use_list_numbers(&mut cut);
    let whose = whose::find(&mut cut, line);
    let found = scope::Scope::find(&mut cut, &context.scope);
    let frames = frames::frames(&cut);
    let mut groups = numbers::groups(&cut);
    groups.retain(|g| !whose.holds(g.from));
    let (groups, lists) = distances::take(&cut, groups);
    let mut measured = measures::bind(&mut cut, groups, &context.measured);
    distances::settle_lists(&mut cut, lists, &mut measured);
    let hand = reading.hand.unwrap_or(assumed);
    signs::settle(&mut cut, &mut measured, hand, &mut reading);
    let parts = findings::Parts {
        scope: &found,
        frames: &frames,
        hand_known: context.hand.or(reading.hand).is_some(),
        hand,
        faults_told: !context.present.is_empty(),
        courses: flight_course::find(&cut, line, hand == Hand::Right),
    };
    findings::write(&mut cut, &parts, measured, &mut reading);
    if numbered {
        shot_list::pool(&mut reading);
    }
    put_right::sides(&mut cut, context, &mut reading);
    bare_sides::ask(&mut cut, &parts, &mut reading);
    whose.join_hints(&mut cut, &reading);
    corrections(&cut, &parts, context, &mut reading);
    for wanted in &frames.wanted {
        reading.goals.push(Goal {
            to_know: wanted.to_know,
            said: cut
                .clause_span(wanted.from)
                .cut_from(cut.span(wanted.from, wanted.to)),
        });
    }
    let sided = reading
        .findings
        .iter()
        .find(|f| f.needs_hand)
        .map(|f| f.said);
    // "5 left" is asked about, and so is the hand.
    let either = reading.unclear.iter().find_map(|u| match u {
        Unclear::Quantity { said, .. } if !parts.hand_known => Some(*said),
        _ => None,
    });
    if let Some(said) = either.filter(|said| {
        let inside = |w: &&phrases::Word| {
            w.side.is_some() && said.start <= w.span.start && w.span.end <= said.end
        };
        cut.words.iter().any(|w| inside(&w))
    }) {
        reading.unclear.push(Unclear::Hand { said });
    }
    let mut asked = false;
    reading.unclear.retain(|u| {
        let again = asked && matches!(u, Unclear::Hand { .. });
        asked |= matches!(u, Unclear::Hand { .. });
        !again
    });
    if let Some(said) = sided.filter(|_| !asked) {
        reading.unclear.push(Unclear::Hand { said });
    }
    reading.spelling = mended
        .into_iter()
        .filter(|(_, symbol)| !phrases.vocabulary.is_ordinary(*symbol))
        .map(|(said, symbol)| SpellingFix {
            said,
            read_as: phrases.vocabulary.name(symbol).to_owned(),
        })
        .collect();
    reading.unused = unused(&cut);
    reading.free = free(&cut, &reading);
    reading.scope = found.after();
    reading.tone = tone(&cut, &mut reading);
    reading
}

/// "No, it was a 6 iron" and "not fat, thin".
fn corrections(
    line: &Line<'_>,
    parts: &findings::Parts<'_>,
    context: &Context,
    reading: &mut Reading,
) {
    for mention in &parts.scope.clubs {
        let frame = parts
            .frames
            .at
            .get(mention.from)
            .copied()
            .unwrap_or_default();
        if frame.correct && !frame.not {
            reading.corrections.push(Correction::Clubs {
                to: mention.pattern.clone(),
                said: line.span(mention.from, mention.to),
            });
        }
    }
    // "Not the driver, the 3 wood", "it was the 8 not the 7": one club in place of the other.
    if reading.findings.is_empty() && reading.corrections.is_empty() {
        let denied = |m: &scope::Mention| parts.frames.at.get(m.from).is_some_and(|f| f.not);
        let pairs = parts.scope.clubs.windows(2);
        let said = pairs.filter_map(|pair| match pair {
            [wrong, right] | [right, wrong] if denied(wrong) && !denied(right) => Some(right),
            _ => None,
        });
        reading
            .corrections
            .extend(said.map(|right| Correction::Clubs {
                to: right.pattern.clone(),
                said: line.span(right.from, right.to),
            }));
    }
    for (place, finding) in reading.findings.iter().enumerate() {
        let What::Symptom(from) = finding.what else {
            continue;
        };
        if finding.polarity != Polarity::Absent || !context.present.contains(&from) {
            continue;
        }
        let to = reading
            .findings
            .iter()
            .skip(place + 1)
            .find_map(|f| match f.what {
                What::Symptom(to) if f.polarity == Polarity::Present => Some(to),
                _ => None,
            });
        reading.corrections.push(Correction::Symptom {
            from,
            to,
            said: finding.said,
        });
    }
}

/// What sort of line it is, once it is known what it says.
fn tone(line: &Line<'_>, reading: &mut Reading) -> Tone {
    if !line.words.iter().any(|w| w.mark.is_none()) {
        return Tone::Nothing;
    }
    let says_something = !(reading.findings.is_empty()
        && reading.history.is_empty()
        && reading.hints.is_empty()
        && reading.topics.is_empty()
        && reading.corrections.is_empty()
        && reading.unclear.is_empty()
        && reading.plus.is_none()
        && reading.hand.is_none());
    if says_something {
        return Tone::Talk;
    }
    let mut best: Option<(ToneWord, &str)> = None;
    let mut languages: Vec<(&str, usize)> = Vec::new();
    for found in &line.matches {
        if let Some(Meaning::Tone(word, topic)) = line.phrases.meaning(found) {
            if *word == ToneWord::Language {
                match languages.iter_mut().find(|(name, _)| name == topic) {
                    Some((_, count)) => *count += 1,
                    None => languages.push((topic, 1)),
                }
            }
            // The order of the enum: what is more to the point comes later.
            if best.is_none_or(|(b, _)| *word > b) {
                best = Some((*word, topic));
            }
        }
    }
    match best {
        Some((ToneWord::Greeting, _)) => Tone::Greeting,
        Some((ToneWord::Thanks, _)) => Tone::Thanks,
        Some((ToneWord::Goodbye, _)) => Tone::Goodbye,
        Some((ToneWord::OutOfScope, topic)) => Tone::OutOfScope(topic.to_owned()),
        Some((ToneWord::OffTopic, _)) => Tone::OffTopic,
        Some((ToneWord::Abuse, _)) => Tone::Abuse,
        Some((ToneWord::Language, _)) | None => languages
            .into_iter()
            .filter(|(_, count)| *count >= 2)
            .max_by_key(|(_, count)| *count)
            .map_or(Tone::Talk, |(name, _)| Tone::OtherLanguage(name.to_owned())),
    }
}
