//! Looks, numbers and names that a question asks for.
//!
//! Takes a question in plain letters; gives the look for a cause, a good number for a club, the number
//! of this golfer, where the ball starts and bends by those numbers, or what two names mean. What is
//! asked is not told. Makes no sentence.

use std::sync::Arc;

use super::mechanisms::answers;
use super::names::words;
use super::note::Note;
use super::questions::Recorded;
use super::reply::{Block, Meant, Question, Reply};
use super::worked_out::{KnownNumber, WorkedOut};
use super::{Session, arc, returning, talk, turn};
use crate::diagnosis::Token;
use crate::explanation::{Entry, hypothesis};
use crate::reading::Reading;
use crate::vocabulary::{CauseId, QuantityId};

/// Before something that is to be looked for.
const SEE: [&str; 16] = [
    " see ",
    " check ",
    " tell ",
    " spot ",
    " know ",
    " look for ",
    " find out ",
    " notice ",
    " test ",
    " feel ",
    " recognise ",
    " recognize ",
    " look at ",
    " find ",
    " verify ",
    " measure ",
];

/// What is to be seen where nothing is named.
const OF_THE_LEADER: [&str; 10] = [
    "at home",
    "at the range",
    "on my own",
    "by myself",
    "myself",
    "it at home",
    "that at home",
    "this at home",
    "it myself",
    "that myself",
];

/// Words of a question for a good number.
pub(super) const ASKS_GOOD: [&str; 12] = [
    "good", "ideal", "normal", "right", "best", "should", "typical", "perfect", "usual", "average",
    "decent", "standard",
];

/// What weighs less against a cause is not shown, in decibans (common practice).
const LEAST_AGAINST: f64 = -0.3;

/// Asks what speaks against the cause that leads, without naming it.
const BARE_AGAINST: [&str; 5] = [
    "what speaks against",
    "what is against",
    "what's against",
    "anything against",
    "what argues against",
];

impl Session {
    /// "How do I see a cupped wrist?", "how do I know if it's the ball position or the weight?".
    pub(super) fn looked_for(&self, whole: &str) -> Option<Vec<Block>> {
        let how = [
            "how do ",
            "how can ",
            "how would ",
            "how could ",
            "how should ",
            "how to ",
        ];
        let rest = how.iter().find_map(|way| whole.strip_prefix(way))?;
        let rest = format!(" {rest} ");
        let (_, what) = SEE
            .iter()
            .filter_map(|way| Some((rest.find(way)?, rest.split_once(way)?.1)))
            .min_by_key(|(at, _)| *at)?;
        let mut what = what.trim();
        for start in [
            "out ", "if ", "whether ", "that ", "for ", "how ", "it is ", "it's ", "its ", "not ",
        ] {
            what = what.strip_prefix(start).unwrap_or(what);
        }
        // "How do I tell at home": of the cause that leads.
        if OF_THE_LEADER.contains(&what)
            && let Some(cause) = self.leader()
        {
            let check = self.mind.base().cause(cause).check?;
            return Some(vec![Block::WorkedOut(WorkedOut::Look { cause, check })]);
        }
        let parts: Vec<&str> = what.split(" or ").collect();
        let mut blocks: Vec<Block> = Vec::new();
        for part in parts {
            let part = part
                .trim_start_matches("it's ")
                .trim_start_matches("it is ");
            let reading = self.read(part);
            let causes = reading.hints.iter().flat_map(|h| &h.causes);
            let hinted = causes.min_by_key(|c| self.place_of(**c)).copied();
            let Some(cause) = hinted.or_else(|| self.general_cause(part)) else {
                continue;
            };
            if let Some(check) = self.mind.base().cause(cause).check {
                blocks.push(Block::WorkedOut(WorkedOut::Look { cause, check }));
            }
        }
        // What has an answer of its own is answered by it.
        let own = self.read(whole);
        (!blocks.is_empty() && own.topics.is_empty()).then_some(blocks)
    }

    /// Where a cause stands in the ranking; last without one.
    fn place_of(&self, cause: CauseId) -> usize {
        let place = self
            .last
            .as_ref()
            .and_then(|(d, _)| d.judgement.causes.iter().position(|c| c.cause == cause));
        place.unwrap_or(usize::MAX)
    }

    /// The cause that a question names.
    pub(super) fn cause_asked(&self, whole: &str, reading: &Reading) -> Option<CauseId> {
        // "How steep should a driver be?" names no cause, whatever its words sound like.
        let first = whole.split(' ').next().unwrap_or("");
        if ["how", "what", "which", "where", "when", "who"].contains(&first) {
            return None;
        }
        let hints = reading.hints.iter().flat_map(|h| &h.causes);
        let rank = |cause: &&CauseId| self.place_of(**cause);
        let hinted = hints.min_by_key(rank).copied();
        let it_is = [
            "is it ",
            "is this ",
            "could it be ",
            "is that ",
            "is he ",
            "is she ",
            "am i ",
            "was it ",
            "does he ",
            "does she ",
            "do i ",
            "can it be ",
            "might it be ",
        ];
        hinted.or_else(|| {
            let rest = it_is.iter().find_map(|way| whole.strip_prefix(way))?;
            self.general_cause(rest)
        })
    }

    /// A cause against the one that leads, or what it is and how to look for it.
    pub(super) fn weighed(&mut self, cause: CauseId) -> Vec<Block> {
        if self.last.is_some() {
            let name = self.base().cause(cause).name.clone();
            return self.why_not(&name).blocks;
        }
        let check = self.base().cause(cause).check;
        let look = check.map(|check| Block::WorkedOut(WorkedOut::Look { cause, check }));
        std::iter::once(Block::Meaning(Meant::Cause(cause)))
            .chain(look)
            .collect()
    }

    /// A good number for the club that is named.
    pub(super) fn good_number(&self, whole: &str, reading: &Reading) -> Option<WorkedOut> {
        let said = words(whole);
        if !said.iter().any(|w| ASKS_GOOD.contains(&w.as_str())) {
            return None;
        }
        let base = self.mind.base();
        let pattern = talk::pattern(base, &reading.scope);
        let named = |text: &str| whole.contains(text);
        if !pattern.said
            || !(named("low point") || named("attack") || named("hit down") || named("hit up"))
        {
            return None;
        }
        let wanted = arc::wanted(base, &pattern);
        let (quantity, from, to) = wanted.into_iter().find(|(q, _, _)| {
            let id = base.quantity(*q).id.as_str();
            (id == "low_point") == named("low point")
        })?;
        Some(WorkedOut::Good {
            quantity,
            group: pattern.group,
            from,
            to,
        })
    }

    /// "Which way will it curve?": from the numbers of this golfer.
    pub(super) fn flight_asked(&self, padded: &str) -> Option<WorkedOut> {
        let of = |list: &[&str]| list.iter().any(|w| padded.contains(w));
        let shape = of(&[
            " curve", " bend", " fade", " draw ", " shape ", " slice ", " hook ", " start ",
            " starts ", " go ", " finish ",
        ]);
        let asks_it = of(&[" it ", " the ball ", " ball "]) || of(&[" shot "]);
        let how = of(&[
            " will ",
            " would ",
            " does ",
            " which way ",
            " where ",
            " how much ",
            " how far ",
            " is it ",
            " what shape ",
        ]);
        let other = of(&[
            " wind", " why ", " my ", " should ", " cause", " fix ", " stop ", " help ", " if ",
            " when ", " after ", " ahead", " behind", " divot", " mark ",
        ]);
        if !shape || !asks_it || !how || other {
            return None;
        }
        let start = self.known_number("start_direction");
        let face_to_path = self.known_number("face_to_path");
        (start.is_some() || face_to_path.is_some()).then_some(WorkedOut::Flight {
            start,
            face_to_path,
        })
    }

    /// A number of the golfer's, said or worked out.
    pub(super) fn known_number(&self, id: &str) -> Option<KnownNumber> {
        let (diagnosis, _) = self.last.as_ref()?;
        let numbers = arc::arc_numbers(self.mind.base(), &self.talk, diagnosis)?;
        let base = self.mind.base();
        let step = numbers
            .chain
            .iter()
            .find(|s| base.quantity(s.quantity).id == id);
        let known = step.map(|s| KnownNumber {
            quantity: s.quantity,
            value: (s.middle, s.low, s.high),
            said: s.said,
        });
        known.or_else(|| {
            let modelled = numbers.modelled.iter();
            let (quantity, middle, low, high) = *modelled
                .into_iter()
                .find(|(q, ..)| base.quantity(*q).id == id)?;
            Some(KnownNumber {
                quantity,
                value: (middle, low, high),
                said: false,
            })
        })
    }

    /// "Is the path left?": the number that a question is about.
    pub(super) fn number_asked(&self, whole: &str) -> Option<KnownNumber> {
        let quantity = self.quantity_named(whole)?;
        self.known_number(&self.mind.base().quantity(quantity).id.clone())
    }

    /// The quantity that these words name, by its name or a short word for it.
    pub(super) fn quantity_named(&self, whole: &str) -> Option<QuantityId> {
        let base = self.mind.base();
        let said = words(whole);
        let named = |name: &str| words(name).iter().all(|w| said.contains(w));
        let full = base.quantities.iter().filter(|q| named(&q.name));
        let full = full.max_by_key(|q| q.name.len());
        let short = [
            ("path", "club_path"),
            ("face", "face_angle"),
            ("attack", "attack_angle"),
            ("lean", "handle_lean"),
            ("bottom", "low_point"),
            ("launch", "launch_angle"),
            ("smash", "smash"),
            ("axis", "axis_tilt"),
        ];
        let id = full.map(|q| q.id.as_str()).or_else(|| {
            let mut short = short.iter();
            short
                .find(|(w, _)| said.iter().any(|s| s == w))
                .map(|(_, id)| *id)
        })?;
        base.find_quantity(id)
    }

    /// "What is the difference between X and Y?": what each of them is.
    pub(super) fn difference(&mut self, whole: &str, reading: &Reading) -> Option<Vec<Block>> {
        if !reading.topics.is_empty() {
            return None;
        }
        let after = [
            "difference between ",
            "different between ",
            "compare ",
            "distinguish ",
        ]
        .iter()
        .find_map(|way| whole.split_once(way).map(|(_, rest)| rest));
        let pair = if let Some(rest) = after {
            rest.split_once(" and ")
                .or_else(|| rest.split_once(" from "))
        } else {
            let how = whole
                .strip_prefix("how is ")
                .or_else(|| whole.strip_prefix("is "))?;
            how.split_once(" different from ")
                .or_else(|| how.split_once(" different to "))
                .or_else(|| how.split_once(" the same as "))
                .or_else(|| how.split_once(" the same thing as "))
        };
        let (a, b) = pair?;
        let mut blocks: Vec<Block> = Vec::new();
        for part in [a, b] {
            let name = super::concepts::bare(part);
            let block = self.meant_or_answered(&name)?;
            let same = |other: &Block| matches!((other, &block), (Block::Answer { answer: x, .. }, Block::Answer { answer: y, .. }) if x == y);
            if !blocks.iter().any(same) {
                blocks.push(block);
            }
        }
        Some(blocks)
    }

    /// What a name means, by its entry or by an answer.
    fn meant_or_answered(&mut self, name: &str) -> Option<Block> {
        let reading = self.read(&format!("what is {name}"));
        let answered = answers(&reading, "what").into_iter().next();
        answered.or_else(|| self.meant(name).map(Block::Meaning))
    }

    /// What speaks against the cause that leads.
    pub(super) fn against(&mut self, cause: CauseId) -> Reply {
        let Some((diagnosis, places)) = self.last.clone() else {
            return Reply::note(Note::NothingKnown);
        };
        let base = Arc::clone(self.mind.base());
        let words = turn::words(&base, &self.talk, &places, &diagnosis);
        let Some(found) = hypothesis(&mut self.mind, &diagnosis, cause) else {
            return Reply::note(Note::NothingKnown);
        };
        let entries = found.account.entries.iter().filter(|e| !self.guessed(e));
        let mut told: Vec<(String, f64)> = entries
            .filter(|e| e.decibans <= LEAST_AGAINST)
            .map(|e| {
                (
                    words.get(e.evidence).cloned().unwrap_or_default(),
                    e.decibans,
                )
            })
            .collect();
        told.sort_by(|a, b| a.1.total_cmp(&b.1));
        told.truncate(4);
        self.ask_what_settles(found.settles);
        Reply::of(Block::WorkedOut(WorkedOut::Against {
            cause,
            prior: found.account.prior,
            told,
            rival: found.rival.and_then(|c| diagnosis.judgement.of(c).copied()),
            settles: found.settles,
        }))
    }

    /// The cause that words name; "it" is the one that leads.
    pub(super) fn named_or_leader(&self, words: &str) -> Result<CauseId, Note> {
        let it = [
            "it",
            "that",
            "this",
            "him",
            "her",
            "the first",
            "the first one",
        ];
        match self.leader().filter(|_| it.contains(&words.trim())) {
            Some(leader) => Ok(leader),
            None => self.named(words),
        }
    }

    /// "What if the ball is too far back?" of nobody: what the cause gives, and how far it goes.
    pub(super) fn what_if_of_anybody(&mut self, words: &str) -> Reply {
        let words = words.trim_start_matches("i ").trim_start_matches("he ");
        let Ok(cause) = self.named(words) else {
            return Reply::note(Note::NothingKnown);
        };
        let reading = self.read(words);
        let groups = self.groups_asked(&reading);
        let shares = self.shares_of(cause, &groups, &[]);
        let gives = WorkedOut::Gives {
            cause,
            shares,
            asked: false,
        };
        Reply {
            blocks: vec![
                Block::WorkedOut(gives),
                Block::WorkedOut(WorkedOut::Size { cause, groups }),
            ],
            leave: false,
        }
    }

    /// A guess is no evidence for itself.
    pub(super) fn guessed(&self, entry: &Entry) -> bool {
        let Token::Hint(hint) = entry.token else {
            return false;
        };
        let hint = self.talk.hints.get(hint);
        hint.is_some_and(|(cause, ..)| !self.talk.looked_at.contains(cause))
    }

    /// "Is that true?" asks; it answers nothing.
    pub(super) fn is_it_so(&mut self) -> Vec<Block> {
        let reading = self.read("are you sure");
        let mut blocks = answers(&reading, "are you sure");
        if self.last.is_some() {
            blocks.push(Block::Note(Note::AskedIfSo(matches!(
                self.talk.pending,
                Some(Question::Check(_))
            ))));
        }
        blocks
    }

    /// "Is that right? I thought ...": what a doubt goes on with may have an answer of its own.
    pub(super) fn doubted(&mut self, line: &str) -> Vec<Block> {
        let own = answers(&self.read(line), line);
        let goes_on = super::command::plain(line).contains(['?', ',', '.', ';']);
        if own.is_empty() || !goes_on {
            self.is_it_so()
        } else {
            own
        }
    }

    /// "What speaks against?": of the cause that leads.
    pub(super) fn bare_against(&mut self, line: &str) -> Option<Reply> {
        let bare = BARE_AGAINST.contains(&super::command::plain(line).as_str());
        self.leader()
            .filter(|_| bare)
            .map(|leader| self.against(leader))
    }

    /// "What do I count?": the question that stands says it.
    pub(super) fn asks_what_to_count(&self, whole: &str) -> bool {
        let counts = ["count", "counting", "measure"];
        matches!(self.talk.pending, Some(Question::Tally { .. }))
            && words(whole).iter().any(|w| counts.contains(&w.as_str()))
    }

    /// "Is that good?": what the counts amount to, where there are any.
    pub(super) fn is_it_good(&mut self) -> Vec<Block> {
        // Of what hurts, nothing is called good: the question of safety stands.
        if self.talk.held.is_some() || matches!(self.talk.pending, Some(Question::Safety(_))) {
            return Vec::new();
        }
        if self.counted_against().is_some() {
            return self.progress_reply().blocks;
        }
        // Nothing was counted: what a good strike with this club wants.
        let Some(pattern) = self.last.as_ref().and_then(|(d, _)| d.focus()) else {
            return vec![Block::Note(Note::QuestionNotAnswered)];
        };
        let good = arc::wanted(self.mind.base(), pattern).into_iter();
        good.map(|(quantity, from, to)| {
            Block::WorkedOut(WorkedOut::Good {
                quantity,
                group: pattern.group,
                from,
                to,
            })
        })
        .collect()
    }

    pub(super) fn why_that(&mut self) -> Vec<Block> {
        match self.talk.pending {
            Some(Question::Check(_)) => self.about_question().blocks,
            _ if self.last.is_some() => self.why_leader().blocks,
            _ => vec![Block::Note(Note::QuestionNotAnswered)],
        }
    }

    pub(super) fn on_record(&self, what: Recorded) -> Vec<Block> {
        match what {
            Recorded::Whose => vec![Block::Note(Note::Whose(
                self.notebook.backed.then(|| self.golfer().to_owned()),
            ))],
            Recorded::Pupils => vec![Block::Note(Note::Pupils(self.notebook.backed))],
            Recorded::Said if !self.talk.is_empty() => vec![Block::Known(self.known())],
            Recorded::Agreed if self.talk.prescribed.is_some() && !self.notebook.backed => self
                .talk
                .prescribed
                .map(|(cause, _)| Block::AlreadyPrescribed(cause))
                .into_iter()
                .collect(),
            Recorded::Agreed => self
                .in_the_book()
                .unwrap_or(vec![Block::Note(Note::NothingAgreed)]),
            Recorded::Said => self
                .in_the_book()
                .unwrap_or(vec![Block::Note(Note::NothingKnown)]),
        }
    }

    /// What the book holds of the last complaint and of what was agreed.
    fn in_the_book(&self) -> Option<Vec<Block>> {
        let complaint = returning::complaint(&self.notebook.records);
        let agreed = self.agreed_said().map(Box::new);
        (agreed.is_some() || !complaint.is_empty())
            .then(|| vec![Block::WorkedOut(WorkedOut::OnRecord { complaint, agreed })])
    }
}
