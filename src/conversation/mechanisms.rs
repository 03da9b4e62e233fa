//! Answers to questions about how things are, worked out from causes, geometry and what was told.
//!
//! Takes a line that only asks ([`super::questions`]); gives blocks. "Does a strong grip cause a hook?"
//! is answered from simulated golfers with that cause, "how far does the low point move when I hang
//! back?" from the size of the cause, "which way will it curve?" from the golfer's own numbers, "how do
//! I see a cupped wrist?" from the check of the cause. Invariant: nothing asked is told by it: what a
//! question names is neither evidence nor a hint. The one exception speaks of the golfer's own shots
//! and takes them for granted ("why do I slice?"): that is talk. Makes no sentence.

use std::sync::Arc;

use super::concepts::{OWN, TELLS};
use super::names::{self, words};
use super::note::Note;
use super::questions::{Asks, BEHIND, asks};
use super::reply::{Block, Meant, Question, Reply};
use super::size_asked::SIZES;
use super::worked_out::{Given, Shares, WorkedOut};
use super::{Session, cures, talk};
use crate::diagnosis::diagnose;
use crate::reading::{Finding, Polarity, Reading, Tone, What};
use crate::vocabulary::{CauseId, GroupId, SymptomId};

/// Between a cause and what it brings about.
const BRINGS: [&str; 21] = [
    " cause ",
    " causes ",
    " give ",
    " gives ",
    " make ",
    " makes ",
    " lead to ",
    " leads to ",
    " produce ",
    " produces ",
    " result in ",
    " results in ",
    " bring about ",
    " bring ",
    " create ",
    " creates ",
    " mean ",
    " means ",
    " turn into ",
    " encourage ",
    " promote ",
];

/// Between what is brought about and its cause.
const BROUGHT: [&str; 10] = [
    " come from ",
    " comes from ",
    " be caused by ",
    " caused by ",
    " be due to ",
    " due to ",
    " because of ",
    " be from ",
    " happen because of ",
    " be down to ",
];

/// Words of a wh-question that supposes or reckons, and so takes nothing for granted.
const RECKONS: [&str; 26] = [
    "how much",
    "how far",
    "how many",
    "how would",
    "how will",
    "how could",
    "how can i see",
    "how can i check",
    "how can i tell",
    "how can i know",
    "how do i see",
    "how do i check",
    "how do i know",
    "how do i tell",
    "how do you",
    "how would i",
    "which way",
    "what would",
    "what will",
    "what could",
    "what happens",
    "what if",
    "where would",
    "where will",
    "where should",
    "how should",
];

/// Whom a general "why" is about.
const ANYBODY: [&str; 12] = [
    "you",
    "players",
    "golfers",
    "pros",
    "people",
    "beginners",
    "amateurs",
    "professionals",
    "pro",
    "everyone",
    "anybody",
    "anyone",
];

/// Words that ask for what else it may be.
const ELSE: [&str; 6] = [
    "something else",
    "anything else",
    "another cause",
    "other causes",
    "what else",
    "else could it be",
];

/// A share has to differ by this much to be worth showing (common practice).
const WORTH: f64 = 0.03;
/// So many shares are shown where nothing was asked for.
const SHOWN: usize = 4;
/// So many causes behind something seen.
const BEHIND_SHOWN: usize = 4;

impl Session {
    /// The reply to a line that only asks; nothing if it tells, or if its words are for others.
    pub(super) fn question(&mut self, line: &str) -> Option<Reply> {
        if let Some(reply) = self.bare_against(line) {
            return Some(reply);
        }
        let blocks = match asks(line)? {
            Asks::IsItSo => self.doubted(line),
            Asks::IsItGood => self.is_it_good(),
            Asks::WhyThat => self.why_that(),
            Asks::Told(what) => self.on_record(what),
            Asks::Thing(whole) => self.thing(&whole)?,
        };
        // A contrast ends with the look that settles it, which is what is asked then.
        let settles = matches!(self.talk.pending, Some(Question::Check(_)));
        let asked = blocks.iter().any(|b| match b {
            Block::Ask { .. } | Block::AboutCheck { .. } => true,
            Block::WhyNot { .. }
            | Block::Compare { .. }
            | Block::WorkedOut(WorkedOut::Against { .. }) => settles,
            _ => false,
        });
        Some(if asked {
            Reply {
                blocks,
                leave: false,
            }
        } else {
            self.asking_again(blocks)
        })
    }

    /// A question about something.
    fn thing(&mut self, whole: &str) -> Option<Vec<Block>> {
        let reading = self.read(whole);
        if self.tells(whole, &reading) {
            return None;
        }
        if reading.tone != Tone::Talk && reading.tone != Tone::Nothing {
            return None;
        }
        if whole.starts_with("why ") && reading.topics.is_empty() && self.all_told(&reading) {
            return Some(self.why_leader().blocks);
        }
        if let Some(blocks) = self.worked_out(whole, &reading) {
            return Some(blocks);
        }
        let blocks = answers(&reading, whole);
        if !blocks.is_empty() {
            return Some(blocks);
        }
        if let Some(change) = self.change_asked(whole) {
            return Some(self.what_if(&change).blocks);
        }
        let does = whole
            .strip_prefix("what does ")
            .map(|rest| self.of_the_club(rest.trim_end_matches(" do")));
        let effect = does.and_then(|effects| effects.first().copied());
        if let Some(effect) = effect {
            return Some(vec![Block::Meaning(Meant::Effect(effect))]);
        }
        // Of what is asked, the cause that it names is weighed.
        let cause = self.cause_asked(whole, &reading);
        if let Some(cause) = cause {
            return Some(self.weighed(cause));
        }
        if let Some(known) = self.number_asked(whole) {
            return Some(vec![Block::WorkedOut(WorkedOut::Number(known))]);
        }
        let named = whole.starts_with("what is ") || whole.starts_with("what are ");
        // A caution is an answer.
        if named || !self.beside.is_empty() || whole.contains("my swing") || whole.contains("wrong")
        {
            return None;
        }
        if self.asks_what_to_count(whole) {
            return Some(Vec::new());
        }
        Some(vec![Block::Note(Note::QuestionNotAnswered)])
    }

    /// True if a line speaks of shots, and all that it says of them was told before.
    fn all_told(&self, reading: &Reading) -> bool {
        let told = |f: &Finding| match f.what {
            What::Symptom(_) => {
                (self.talk.statements.iter()).any(|s| !s.dropped && s.finding.what == f.what)
            }
            What::Number(_) | What::AllWell => false,
        };
        let mut present = (reading.findings.iter())
            .filter(|f| f.polarity == Polarity::Present)
            .peekable();
        present.peek().is_some() && present.all(told)
    }

    /// True if a question takes shots of the golfer's for granted: "why do I slice?".
    pub(super) fn tells(&self, whole: &str, reading: &Reading) -> bool {
        let present = |f: &&Finding| f.polarity == Polarity::Present;
        let says = |list: &[&str]| words(whole).iter().any(|w| list.contains(&w.as_str()));
        // "Does a sway make me hit it fat?" asks of anybody.
        let of_whom = [" make me ", " makes me ", " make him ", " make her "];
        let of_whom = of_whom.iter().fold(whole.replace('\'', ""), |text, made| {
            text.replace(made, " make ")
        });
        let of_a_thing = ["why does a ", "why does the ", "why would a ", "why do "];
        let helping = of_a_thing.iter().any(|way| whole.starts_with(way))
            || !["why", "what", "where", "how"].contains(&whole.split(' ').next().unwrap_or(""));
        let asked_of = if helping {
            of_whom
        } else {
            whole.replace('\'', "")
        };
        let own = words(&asked_of)
            .iter()
            .any(|w| OWN.contains(&w.as_str()) || w == "him" || w == "them");
        if !reading.findings.iter().any(|f| present(&f)) {
            // "Why does my glove wear at the heel?" tells in words that no fact is made of.
            let wordless = reading.hints.is_empty() && reading.topics.is_empty();
            return wordless && own && whole.starts_with("why ");
        }
        if RECKONS.iter().any(|way| whole.starts_with(way)) {
            return false;
        }
        // "How can I be thin with one and fat with the other?" asks how things go together.
        let together = [
            "how can i be ",
            "how can he be ",
            "how can she be ",
            "how can it be ",
        ];
        if together.iter().any(|way| whole.starts_with(way)) {
            return false;
        }
        if self.all_told(reading) {
            return false;
        }
        let padded = format!(" {whole} ");
        let first = whole.split(' ').next().unwrap_or("");
        // "Will I slice it then?" looks ahead.
        if ["will", "would", "could", "may", "might", "shall"].contains(&first) {
            return false;
        }
        if TELLS.iter().any(|way| padded.contains(way)) {
            return true;
        }
        match first {
            "why" | "what" | "where" | "how" | "whats" => {
                let this = [" it ", " the ball ", " this ", " that "];
                own || self.talk.is_empty()
                    && first == "why"
                    && !says(&ANYBODY)
                    && this.iter().any(|w| padded.contains(w))
                    && !padded.contains(" than ")
            }
            "which" | "who" | "when" => false,
            "any" => own,
            // "Does my driver slice because of the grip?", before anything was told.
            _ => own && self.talk.is_empty() && !whole.starts_with("should "),
        }
    }

    fn worked_out(&mut self, whole: &str, reading: &Reading) -> Option<Vec<Block>> {
        let padded = format!(" {whole} ");
        if ELSE.iter().any(|way| padded.contains(way)) && self.last.is_some() {
            return Some(self.more());
        }
        if let Some(known) = self.flight_asked(&padded) {
            return Some(vec![Block::WorkedOut(known)]);
        }
        if let Some(blocks) = self.looked_for(whole) {
            return Some(blocks);
        }
        if let Some(cure) = self.cure_asked(whole, reading) {
            let mut blocks = vec![Block::WorkedOut(cure)];
            blocks.extend(answers(reading, whole));
            return Some(blocks);
        }
        // Hitting up is where the arc bottoms, and no cause by a name.
        let up = !reading.topics.is_empty() && padded.contains(" hitting up ");
        if !up && let Some(blocks) = self.brings_about(whole, reading) {
            return Some(blocks);
        }
        let good = self.good_number(whole, reading);
        if let Some(good) = good.or_else(|| self.usual_number(whole, reading)) {
            let mut blocks = vec![Block::WorkedOut(good)];
            blocks.extend(answers(reading, whole));
            return Some(blocks);
        }
        // What has an answer of its own is answered by it, unless a size is asked for.
        let sized = SIZES.iter().any(|way| padded.contains(way)) || padded.contains(" inches ");
        if (sized || reading.topics.is_empty())
            && let Some(size) = self.size_asked(&padded)
        {
            return Some(vec![Block::WorkedOut(size)]);
        }
        if let Some(blocks) = self.difference(whole, reading) {
            return Some(blocks);
        }
        if reading.topics.is_empty() {
            return self.behind(whole);
        }
        None
    }

    // ------------------------------------------------------------------ causes and what they give

    /// The clubs a question is about: those it names, or those of the talk, or the usual ones and the
    /// one that shows a curve most.
    pub(super) fn groups_asked(&self, reading: &Reading) -> Vec<GroupId> {
        let base = self.mind.base();
        let pattern = talk::pattern(base, &reading.scope);
        if pattern.said {
            return vec![pattern.group];
        }
        if let Some((diagnosis, _)) = &self.last {
            return vec![diagnosis.judgement.focus];
        }
        let longest = (0..base.groups.len())
            .map(GroupId::from_index)
            .max_by(|a, b| {
                let (a, b) = (base.group(*a).radius, base.group(*b).radius);
                a.partial_cmp(&b).unwrap_or(std::cmp::Ordering::Equal)
            });
        let mut groups = vec![pattern.group];
        groups.extend(longest.filter(|g| *g != pattern.group));
        groups
    }

    /// "Does CAUSE give EFFECT?", and the other way about.
    fn brings_about(&mut self, whole: &str, reading: &Reading) -> Option<Vec<Block>> {
        let why = ["why ", "how ", "when "]
            .iter()
            .find_map(|w| whole.strip_prefix(w));
        let helping = why.unwrap_or(whole).split_once(' ').filter(|(first, _)| {
            [
                "does", "do", "can", "could", "will", "would", "is", "are", "may", "might", "did",
            ]
            .contains(first)
        });
        let (_, rest) = helping?;
        let rest = format!(" {rest} ");
        let split = |ways: &[&str]| {
            let at = ways
                .iter()
                .filter_map(|way| Some((rest.find(way)?, way.len())));
            let (at, length) = at.min()?;
            Some((rest.get(..at)?.trim(), rest.get(at + length..)?.trim()))
        };
        let (cause, effect) = match split(&BROUGHT) {
            Some((effect, cause)) => (cause, effect),
            None => split(&BRINGS)?,
        };
        let groups = self.groups_asked(reading);
        let of = self.read(effect);
        let given = self.given(effect, &of);
        // Face and path are what the club does, and no cause of it.
        let done = self.of_the_club(cause);
        if !done.is_empty() || cause.contains("face") && cause.contains("path") {
            let own = answers(reading, whole);
            if !own.is_empty() {
                return Some(own);
            }
            let meant = done
                .into_iter()
                .take(2)
                .map(|e| Block::Meaning(Meant::Effect(e)));
            let meant: Vec<Block> = meant.collect();
            return (!meant.is_empty()).then_some(meant);
        }
        let cause = self.general_cause(cause)?;
        if given.is_empty() {
            if why.is_some() || !reading.topics.is_empty() {
                return None;
            }
            let to = self.general_cause(effect)?;
            let chance = self
                .mind
                .simulation()
                .graph()
                .children(cause)
                .iter()
                .find(|(c, _)| *c == to)
                .map(|(_, chance)| *chance);
            return Some(vec![Block::WorkedOut(WorkedOut::LeadsTo {
                from: cause,
                to,
                chance,
            })]);
        }
        let shares = self.shares_of(cause, &groups, &given);
        let mut blocks = vec![Block::WorkedOut(WorkedOut::Gives {
            cause,
            shares,
            asked: true,
        })];
        blocks.extend(answers(reading, whole));
        Some(blocks)
    }

    /// What words name of what golfers see or the club does.
    fn given(&self, text: &str, reading: &Reading) -> Vec<Given> {
        let asides = reading.history.iter().map(|a| &a.finding);
        let symptoms = reading
            .findings
            .iter()
            .chain(asides)
            .filter_map(|f| match f.what {
                What::Symptom(symptom) => Some(Given::Symptom(symptom)),
                What::Number(_) | What::AllWell => None,
            });
        let mut given: Vec<Given> = Vec::new();
        for symptom in symptoms {
            if !given.contains(&symptom) {
                given.push(symptom);
            }
        }
        if given.is_empty() {
            let effects = names::effects_named(self.mind.base(), text);
            given.extend(effects.into_iter().map(Given::Effect));
        }
        given.truncate(2);
        given
    }

    /// How often a cause gives each, with each group, beside golfers with nothing at work.
    pub(super) fn shares_of(
        &mut self,
        cause: CauseId,
        groups: &[GroupId],
        given: &[Given],
    ) -> Vec<Shares> {
        let mut out = Vec::new();
        for group in groups {
            let implied = self.mind.simulation().implied(cause, *group);
            let symptoms = implied
                .symptoms
                .iter()
                .map(|s| (Given::Symptom(s.symptom), s.with, s.without));
            let effects = implied
                .effects
                .iter()
                .map(|e| (Given::Effect(e.effect), e.with, e.without));
            let mut all: Vec<Shares> = symptoms
                .chain(effects)
                .map(|(what, with, without)| Shares {
                    what,
                    group: *group,
                    with,
                    without,
                })
                .collect();
            if given.is_empty() {
                all.retain(|s| matches!(s.what, Given::Symptom(_)) && s.with - s.without >= WORTH);
                all.sort_by(|a, b| {
                    let (x, y) = (a.with - a.without, b.with - b.without);
                    y.total_cmp(&x).then(a.what.cmp(&b.what))
                });
                all.truncate(SHOWN);
            } else {
                all.retain(|s| given.contains(&s.what));
                all.sort_by_key(|s| given.iter().position(|g| *g == s.what));
            }
            out.extend(all);
        }
        out
    }

    /// The effects that words name in full: "an open clubface".
    pub(super) fn of_the_club(&self, text: &str) -> Vec<crate::vocabulary::EffectId> {
        let text = text
            .replace("club face", "face")
            .replace("clubface", "face");
        names::effects_named(self.mind.base(), text.trim())
    }

    /// The cause that words name in full, whatever the golfer has.
    pub(super) fn general_cause(&self, text: &str) -> Option<CauseId> {
        let text = text
            .trim_start_matches("a ")
            .trim_start_matches("an ")
            .trim_start_matches("the ")
            .trim();
        if text.is_empty()
            || words(text)
                .iter()
                .all(|w| ["it", "that", "this"].contains(&w.as_str()))
        {
            return None;
        }
        self.named(text).ok()
    }

    /// "Should he weaken his grip?": for whom that is a cure.
    fn cure_asked(&mut self, whole: &str, reading: &Reading) -> Option<WorkedOut> {
        let (cause, overdone) = cures::asked(self.mind.base(), whole)?;
        let mut given = self.given(whole, reading);
        if given.is_empty() {
            let told = self.talk.statements.iter().filter(|s| !s.dropped);
            let seen = told.filter_map(|s| match s.finding.what {
                What::Symptom(symptom) if s.finding.polarity == Polarity::Present => {
                    Some(Given::Symptom(symptom))
                }
                _ => None,
            });
            given.extend(seen.take(2));
        }
        let mut groups = self.groups_asked(reading);
        if !given.is_empty() && self.last.is_none() {
            groups.truncate(2);
        } else {
            groups.truncate(1);
        }
        let shares = self.shares_of(cause, &groups, &given);
        let asked = match self.talk.pending {
            Some(Question::Check(check)) => Some(check),
            _ => None,
        };
        let check = self.base().cause(cause).check.filter(|c| Some(*c) != asked);
        let here = self
            .last
            .as_ref()
            .and_then(|(d, _)| d.judgement.of(cause).copied());
        Some(WorkedOut::Cure {
            cause,
            overdone,
            here,
            shares,
            check,
        })
    }

    /// "What causes a slice?", "what leads to a reverse pivot?".
    fn behind(&mut self, whole: &str) -> Option<Vec<Block>> {
        let rest = BEHIND.iter().find_map(|way| whole.strip_prefix(way))?;
        let rest = rest.trim_end_matches(" come from").trim();
        if rest.starts_with("you ") {
            return None;
        }
        let reading = self.read(rest);
        if let [Given::Symptom(symptom), ..] = self.given(rest, &reading).as_slice() {
            return Some(vec![Block::WorkedOut(
                self.behind_symptom(*symptom, &reading),
            )]);
        }
        let cause = self.general_cause(rest)?;
        let mut parents = self.mind.simulation().graph().parents(cause).to_vec();
        parents.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        parents.truncate(BEHIND_SHOWN);
        Some(vec![
            Block::Meaning(Meant::Cause(cause)),
            Block::WorkedOut(WorkedOut::BehindCause { cause, parents }),
        ])
    }

    /// What lies behind a symptom among golfers who tell of nothing else.
    fn behind_symptom(&mut self, symptom: SymptomId, reading: &Reading) -> WorkedOut {
        let mut anybody = talk::Talk::new(None);
        let told = reading
            .findings
            .iter()
            .filter(|f| f.what == What::Symptom(symptom));
        anybody.statements = told
            .map(|finding| talk::Statement {
                finding: finding.clone(),
                words: String::new(),
                dropped: false,
                line: 1,
            })
            .collect();
        let base = Arc::clone(self.mind.base());
        let (case, _) = anybody.case(&base);
        let diagnosis = diagnose(&mut self.mind, &case);
        let ranked = diagnosis.judgement.causes.iter().copied();
        WorkedOut::Behind {
            symptom,
            group: diagnosis.judgement.focus,
            ranked: ranked.take(BEHIND_SHOWN).collect(),
        }
    }
}

/// The answers of the knowledge that a reading asks for, each once.
pub(super) fn answers(reading: &Reading, text: &str) -> Vec<Block> {
    let mut out: Vec<crate::vocabulary::AnswerId> = Vec::new();
    for topic in &reading.topics {
        if !out.contains(&topic.answer) {
            out.push(topic.answer);
        }
    }
    out.into_iter()
        .map(|answer| Block::Answer {
            answer,
            put: super::concepts::put(text),
        })
        .collect()
}
