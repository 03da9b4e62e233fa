//! Which causes, faults and things seen does a reason name, and in which order?
//!
//! Takes a reason in the learner's words, the faults that this club can have and the causes named
//! before; gives the ends of a chain in the order named, and the words in which nothing was found. The
//! words are cut at joints ("because", "so", commas). A fault is found by the words of its name standing
//! near each other; what stands beside it gives a cause or a symptom. Words that only resemble something
//! name nothing: it is better to say that they were not understood than to call true reasoning false.
//! Knows no entry by name, and not whether a reason is right.

use super::finding::{by_question, content, context, faults};
use super::plainly::{in_names, stands_so};
use crate::conversation::names::{stem, words};
use crate::knowledge::KnowledgeBase;
use crate::learning::LinkEnd;
use crate::reading::{Phrases, What, read};
use crate::vocabulary::{CauseId, EffectId, Hand};

/// Whose words are read, and against what.
pub(super) struct Reader<'a> {
    pub(super) base: &'a KnowledgeBase,
    pub(super) phrases: &'a Phrases,
    pub(super) hand: Hand,
}

/// What a reason names.
#[derive(Debug, Default)]
pub(super) struct Named {
    /// Causes, faults and things seen, in the order named.
    pub(super) ends: Vec<LinkEnd>,
    /// Words in which nothing was found.
    pub(super) unread: Vec<String>,
}

impl Reader<'_> {
    /// What a reason names. Where words leave open which of several faults it is, the first of `likely`
    /// is meant, and if any are given, no other; if address is named it is no fault of the blow. Of
    /// causes one of `named` is meant before others, and the first of them, for which the reason was
    /// asked, if the words name none.
    pub(super) fn reasons(&self, text: &str, likely: &[EffectId], named: &[CauseId]) -> Named {
        let mut out = Named::default();
        let mut lower = in_names(text);
        if !faults_within(self.base, &words(LEVEL), likely).is_empty() {
            for said in RISING {
                lower = lower.replace(said, LEVEL);
            }
        }
        for piece in pieces(&lower) {
            let said = words(piece);
            let posed = stands_so(&said);
            let mut done = 0;
            if !posed {
                for (from, to, fault) in faults_within(self.base, &said, likely) {
                    let before = said.get(done..from).unwrap_or(&[]).join(" ");
                    self.note(&before, (named, posed), true, &mut out);
                    note(LinkEnd::Fault(fault), &mut out.ends);
                    done = to;
                }
            }
            let rest = said.get(done..).unwrap_or(&[]).join(" ");
            self.note(&rest, (named, posed), done > 0, &mut out);
        }
        let any = out.ends.iter().any(|e| matches!(e, LinkEnd::Cause(_)));
        if let Some(cause) = named.first().filter(|_| !any && !out.ends.is_empty()) {
            let back = matches!(out.ends.first(), Some(LinkEnd::Seen(_)))
                && matches!(out.ends.last(), Some(LinkEnd::Fault(_)));
            let at = if back { out.ends.len() } else { 0 };
            out.ends.insert(at, LinkEnd::Cause(*cause));
        }
        out
    }

    /// Notes what a few words mean; or that they were not understood, unless they only stand `beside`
    /// what was.
    fn note(&self, text: &str, named: (&[CauseId], bool), beside: bool, out: &mut Named) {
        match self.end_in(text, named) {
            Some(end) => note(end, &mut out.ends),
            None if !beside && content(text).iter().any(|w| !WHO.contains(&w.as_str())) => {
                out.unread.push(text.to_owned());
            }
            None => {}
        }
    }

    /// The cause, the fault or the symptom that a few words mean, the surest first: a cause named, a
    /// fault named, a cause or a shot told in golfers' words, a cause described in full. Words of how
    /// somebody stands, if they are `posed`, mean a cause of the set-up first.
    fn end_in(&self, text: &str, (named, posed): (&[CauseId], bool)) -> Option<LinkEnd> {
        let base = self.base;
        let wanted = content(text);
        if wanted.is_empty() {
            return None;
        }
        let names = base.causes.iter().map(|c| content(&c.name)).enumerate();
        let inside = names
            .clone()
            .filter(|(_, n)| !n.is_empty() && n.iter().all(|w| wanted.contains(w)))
            .max_by_key(|(i, n)| (n.len(), usize::MAX - i));
        let around = names
            .filter(|(_, n)| wanted.len() >= 2 && wanted.iter().all(|w| n.contains(w)))
            .min_by_key(|(i, n)| (n.len(), *i));
        if let Some((index, _)) = inside.or(around) {
            return Some(LinkEnd::Cause(CauseId::from_index(index)));
        }
        if let [one] = faults(base, text).as_slice() {
            let name = content(&base.effect(*one).name);
            let hits = wanted.iter().filter(|w| name.contains(w)).count();
            if hits >= wanted.len().min(2) {
                return Some(LinkEnd::Fault(*one));
            }
        }
        let reading = read(self.phrases, &context(self.hand), text);
        let mut hinted = reading.hints.iter().flat_map(|h| &h.causes).copied();
        let first = hinted.clone().next();
        if posed
            && first.is_some()
            && let Some(cause) = self.stood(text, hinted.clone(), named)
        {
            return Some(LinkEnd::Cause(cause));
        }
        if let Some(cause) = hinted.find(|c| named.contains(c)).or(first) {
            return Some(LinkEnd::Cause(cause));
        }
        let seen = reading.findings.iter().find_map(|f| match f.what {
            What::Symptom(symptom) => Some(LinkEnd::Seen(symptom)),
            What::Number(_) | What::AllWell => None,
        });
        seen.or_else(|| self.described(text, &wanted, named).map(LinkEnd::Cause))
    }

    /// The cause of the set-up that words of how somebody stands mean: one of those hinted at, one named
    /// before of whose name they have two words, or the only one they describe.
    fn stood(
        &self,
        text: &str,
        hinted: impl Iterator<Item = CauseId> + Clone,
        named: &[CauseId],
    ) -> Option<CauseId> {
        let of_setup = |c: &CauseId| self.base.cause(*c).family == SET_UP;
        let mut of_hints = hinted.clone().filter(of_setup);
        let before = hinted.filter(of_setup).find(|c| named.contains(c));
        if let Some(cause) = before.or_else(|| of_hints.next()) {
            return Some(cause);
        }
        let mut said = content(text);
        for (told, side) in [
            ("back", "trail"),
            ("behind", "trail"),
            ("front", "lead"),
            ("forward", "lead"),
        ] {
            if said.iter().any(|w| w == told) {
                said.push(side.to_owned());
            }
        }
        let text = text.replace("back foot", "trail foot");
        let text = text.replace("front foot", "lead foot");
        let shared = |c: &CauseId| {
            let name = content(&self.base.cause(*c).name);
            said.iter().filter(|w| name.contains(w)).count() >= 2
        };
        let mut before = named.iter().copied().filter(of_setup);
        if let Some(cause) = before.find(shared) {
            return Some(cause);
        }
        let mut described = by_question(self.base, &text);
        described.retain(of_setup);
        match described.as_slice() {
            [one] => Some(*one),
            _ => None,
        }
    }

    /// The cause that words describe: they all stand in what it is, and in no other; one named before
    /// is meant first. What "never catches up" is not described by words that say it does.
    fn described(&self, text: &str, wanted: &[String], named: &[CauseId]) -> Option<CauseId> {
        let denies = |text: &str| words(text).iter().any(|w| DENYING.contains(&w.as_str()));
        let denied = denies(text);
        let known = |cause: &CauseId| {
            let cause = self.base.cause(*cause);
            if denies(&cause.is) != denied {
                return false;
            }
            let mut known = content(&cause.name);
            known.extend(content(&cause.is));
            wanted.iter().all(|w| known.contains(w))
        };
        if wanted.len() < 2 {
            return None;
        }
        let found: Vec<CauseId> = by_question(self.base, text)
            .into_iter()
            .filter(known)
            .collect();
        let before = named.iter().find(|c| known(c)).copied();
        before.or(match found.as_slice() {
            [one] => Some(*one),
            _ => None,
        })
    }
}

fn note(end: LinkEnd, ends: &mut Vec<LinkEnd>) {
    if !ends.contains(&end) {
        ends.push(end);
    }
}

/// The family of causes that are there before the swing.
const SET_UP: &str = "setup";
/// Words that only say who.
const WHO: [&str; 6] = ["he", "she", "his", "her", "him", "we"];
/// Words that deny.
const DENYING: [&str; 9] = [
    "not", "never", "no", "without", "cannot", "cant", "hardly", "less", "instead",
];

/// A club that goes up at the ball, and the words of the fault that this is off the turf.
const LEVEL: &str = " attack too level ";
const RISING: [&str; 6] = [
    " club is rising ",
    " club is already rising ",
    " club is going up ",
    " club is on the way up ",
    " club is on the up ",
    " club is climbing ",
];
/// Words of a fault's name may have so many others among them.
const BETWEEN: usize = 4;
/// What follows these in a fault's name says where, not what.
const WHERE: [&str; 6] = [
    " to the ",
    " at the ",
    " of the ",
    " through the ",
    " off ",
    " for ",
];

/// The faults whose names stand in the words, with the first place and the place after the last.
fn faults_within(
    base: &KnowledgeBase,
    said: &[String],
    likely: &[EffectId],
) -> Vec<(usize, usize, EffectId)> {
    let stems: Vec<String> = said
        .iter()
        .map(|w| {
            if w.starts_with("shut") {
                "clos".to_owned()
            } else {
                stem(w)
            }
        })
        .collect();
    let rank = |fault: EffectId| {
        let place = likely.iter().position(|l| *l == fault);
        place.unwrap_or(likely.len() + fault.index())
    };
    // How many words of the name, from where to where, and which.
    let mut found: Vec<(usize, usize, usize, EffectId)> = Vec::new();
    for (index, effect) in base.effects.iter().enumerate() {
        let name = effect.name.replace("out to in", "outtoin");
        let name = name.replace("in to out", "intoout");
        for part in name.split(", ") {
            let short = WHERE
                .iter()
                .filter_map(|w| part.find(w))
                .min()
                .and_then(|at| part.get(..at));
            // "Ahead" is said for "too far ahead", "hitting down" of a driver as of any club.
            let mut plain = part.replace(" far ", " ");
            for (more, is) in [(" the ball", true), ("driver ", false)] {
                let cut = if is {
                    plain.strip_suffix(more)
                } else {
                    plain.strip_prefix(more)
                };
                plain = cut.unwrap_or(&plain).to_owned();
            }
            for variant in [part, plain.as_str()].into_iter().chain(short) {
                let wanted = content(variant);
                let alone = matches!(wanted.as_slice(), [one] if one.contains("to"));
                // "Open to the target": where it looks comes last.
                let placed = short.is_some_and(|s| s.len() < variant.len());
                if (wanted.len() >= 2 || alone)
                    && let Some((from, to)) = window(&stems, &wanted)
                    && (!placed || stems.get(to - 1) == wanted.last())
                {
                    found.push((wanted.len(), from, to, EffectId::from_index(index)));
                }
            }
        }
    }
    // What makes no sense with this club is not meant.
    found.retain(|f| likely.is_empty() || likely.contains(&f.3));
    found.sort_by(|a, b| b.0.cmp(&a.0).then(rank(a.3).cmp(&rank(b.3))));
    let mut out: Vec<(usize, usize, EffectId)> = Vec::new();
    for (_, from, to, fault) in found {
        if out.iter().all(|(f, t, _)| to <= *f || from >= *t) {
            out.push((from, to, fault));
        }
    }
    out.sort_unstable_by_key(|o| o.0);
    out
}

/// The shortest run of words that holds all of the wanted, if few others are among them.
fn window(stems: &[String], wanted: &[String]) -> Option<(usize, usize)> {
    let most = wanted.len() + BETWEEN;
    let mut best: Option<(usize, usize)> = None;
    for from in 0..stems.len() {
        let run = stems
            .get(from..(from + most).min(stems.len()))
            .unwrap_or(&[]);
        if !run.first().is_some_and(|w| wanted.contains(w)) {
            continue;
        }
        let last = wanted
            .iter()
            .map(|w| run.iter().position(|s| s == w))
            .try_fold(0, |last, at| at.map(|at| last.max(at)));
        if let Some(last) = last
            && best.is_none_or(|(f, t)| last < t - f)
        {
            best = Some((from, from + last + 1));
        }
    }
    best
}

/// Joints of a reason.
const JOINTS: [&str; 26] = [
    " because ",
    " since ",
    " so that ",
    " so ",
    " which ",
    " and then ",
    " and ",
    " then ",
    " leads to ",
    " puts ",
    " makes ",
    " causes ",
    " gives ",
    " means ",
    " leaves ",
    " brings ",
    " as a result ",
    " therefore ",
    " thus ",
    " meaning ",
    " leading to ",
    " leaving ",
    " causing ",
    " making ",
    " giving ",
    " catching ",
];

fn pieces(text: &str) -> Vec<&str> {
    let mut out = vec![text];
    for joint in JOINTS {
        out = out.iter().flat_map(|p| p.split(joint)).collect();
    }
    out.iter()
        .flat_map(|p| p.split([',', ';', '.', ':', '>']))
        .map(str::trim)
        .filter(|p| !p.is_empty())
        .collect()
}
