//! Under what is it better, and under what worse?
//!
//! "Put water in front of me and I top it", "flush with my feet together", "no better when I swing
//! easy": golfers try things out and tell of it, each in words of their own, but always as a
//! circumstance and how the shots are in it. Takes the circumstances of a line, the words that call
//! shots good or bad, and the shots told; gives the symptom that a circumstance with good shots, or
//! with bad ones, stands for. A circumstance counts only if something sets it apart: "only", "worse",
//! "when", shots of the other kind elsewhere, or a fault told before. Not known here: which
//! circumstances there are, and what follows from them.

use std::collections::BTreeSet;

use super::clauses::Line;
use super::findings::{Draft, Parts, draft};
use super::phrases::Match;
use super::{Polarity, What, Why};
use crate::knowledge::lexicon::{Meaning, Mood};
use crate::vocabulary::SymptomId;

/// A circumstance that makes a difference, or is denied to.
#[derive(Debug, Clone)]
pub(super) struct Circumstance {
    /// The words it was told with, in order.
    pub(super) places: Vec<usize>,
    pub(super) symptom: SymptomId,
    /// It makes no difference.
    pub(super) denied: bool,
    /// Where its shots are called good or bad.
    pub(super) signs: Vec<usize>,
    /// How far such words are to be trusted.
    pub(super) weight: f64,
}

/// Circumstances of one line at most, so that reading stays linear in its words; the words of more are
/// listed as not used.
const MOST: usize = 32;
/// Words between a circumstance and what is said of it at most (elicited).
const REACH: usize = 14;
/// What a word of the next clause counts as further away, and of the one before (elicited): "when it
/// blows, I slice" is told forward more often than backward.
const NEXT_CLAUSE: usize = 4;
const CLAUSE_BEFORE: usize = 7;
/// The same of good shots in the next sentence (elicited).
const NEXT_SENTENCE: usize = 20;
/// Words between a "when" and its circumstance at most (elicited).
const AFTER_WHEN: usize = 6;

/// Words between a club that is lent and what the golfer did with it at most.
const LENT: usize = 3;
/// Words of a phrase that tells of nothing but a circumstance at most (elicited).
const OWN_WORDS: usize = 5;
/// Words between "no" and "better" at most.
const NO_BETTER: usize = 2;

/// A word or a shot that calls shots good or bad.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Sign {
    at: usize,
    good: bool,
    /// Shots that are denied ("no thin ones") are good, but no other kind of shot.
    denied: bool,
}

/// What a line says of circumstances.
struct Heard {
    circumstances: Vec<Met>,
    signs: Vec<Sign>,
    apart: Vec<usize>,
    same: Vec<usize>,
    when: Vec<usize>,
}

/// What a circumstance means in a line.
struct Judged {
    symptom: SymptomId,
    denied: bool,
    /// Where its shots are called good or bad.
    sign: Option<usize>,
    /// How far that is, in words and more.
    far: usize,
}

struct Met {
    places: Vec<usize>,
    good: Option<SymptomId>,
    bad: Option<SymptomId>,
    weight: f64,
}

/// The circumstances of a line that make a difference, each symptom once. Of two that say better and
/// worse in one thing, the one told more closely counts.
pub(super) fn find(line: &Line<'_>, parts: &Parts<'_>, drafts: &[Draft]) -> Vec<Circumstance> {
    let heard = hear(line, parts, drafts);
    let mut judged: Vec<(usize, &Met, Judged)> = (heard.circumstances.iter())
        .filter(|met| !told_by_phrase(met, drafts))
        .filter_map(|met| heard.judge(line, parts, met).map(|j| (j.far, met, j)))
        .collect();
    judged.sort_by_key(|(far, met, _)| (*far, met.places.first().copied()));
    let mut out: Vec<Circumstance> = Vec::new();
    for (
        _,
        met,
        Judged {
            symptom,
            denied,
            sign,
            ..
        },
    ) in judged
    {
        if let Some(same) = out.iter_mut().find(|o| o.symptom == symptom) {
            same.signs.extend(sign);
            continue;
        }
        let pair = [met.good, met.bad];
        let known = drafts
            .iter()
            .any(|d| d.finding.what == What::Symptom(symptom))
            || !denied && (out.iter()).any(|o| !o.denied && pair.contains(&Some(o.symptom)));
        if known {
            continue;
        }
        let mut places = met.places.clone();
        // The word that calls the shots good or bad belongs to it, the shot itself does not.
        let mood = |at: &usize| drafts.iter().all(|d| !(d.at..d.to).contains(at));
        places.extend(sign.filter(mood).filter(|at| {
            line.clause.get(*at) == met.places.first().and_then(|p| line.clause.get(*p))
        }));
        places.sort_unstable();
        places.dedup();
        out.push(Circumstance {
            places,
            symptom,
            denied,
            signs: sign.into_iter().collect(),
            weight: met.weight,
        });
    }
    out.sort_by_key(|o| o.places.first().copied());
    out
}

/// What makes it better or worse is a finding of its own, whatever light its words stand in.
pub(super) fn write(
    line: &mut Line<'_>,
    parts: &Parts<'_>,
    told: &Circumstance,
    drafts: &mut Vec<Draft>,
) {
    let (Some(first), Some(last)) = (told.places.first(), told.places.last()) else {
        return;
    };
    let found = Match {
        entry: 0,
        from: *first,
        to: last + 1,
        words: told.places.len(),
        exact: true,
        sided: false,
        denied: false,
    };
    let mut new = draft(
        line,
        parts,
        &found,
        What::Symptom(told.symptom),
        told.weight,
    );
    new.why = None;
    new.not_always = false;
    // It is told of the shot that is at fault: "soft ground" and "half swings" are what is told, not
    // where it was seen.
    let wrong = |d: &&Draft| {
        let so = d.finding.polarity == Polarity::Present && d.why.is_none() && !d.is_number;
        so && matches!(d.finding.what, What::Symptom(s) if !line.phrases.lexicon.well.contains(&s))
    };
    if let Some(fault) = drafts
        .iter()
        .filter(wrong)
        .min_by_key(|d| d.at.abs_diff(*first))
    {
        new.finding.pattern = fault.finding.pattern.clone();
    } else {
        new.finding.pattern.lie = None;
        new.finding.pattern.part_shot = false;
    }
    // "Half swings are pure": good under that alone.
    let at_fault = |at: usize| drafts.iter().filter(wrong).any(|d| d.at == at);
    let signs: Vec<usize> = (told.signs.iter().copied())
        .filter(|at| !told.denied && !at_fault(*at))
        .collect();
    for sign in signs {
        drafts.retain(|d| {
            let well = match d.finding.what {
                // "Clean with a half swing" says itself of which shots.
                What::AllWell => !d.finding.pattern.part_shot && d.finding.pattern.lie.is_none(),
                What::Symptom(s) => line.phrases.lexicon.well.contains(&s),
                What::Number(_) => false,
            };
            !(well && d.finding.polarity == Polarity::Present && line.same_clause(d.at, sign))
        });
    }
    new.finding.polarity = if told.denied {
        Polarity::Absent
    } else {
        Polarity::Present
    };
    drafts.push(new);
    for at in &told.places {
        line.use_words(*at, at + 1);
    }
}

/// True if a phrase has told something by the same words.
fn told_by_phrase(met: &Met, drafts: &[Draft]) -> bool {
    let short = |d: &&Draft| !d.is_number && d.to - d.at <= OWN_WORDS;
    drafts.iter().filter(short).any(|d| {
        let inside = met.places.iter().filter(|p| (d.at..d.to).contains(p));
        inside.count() * 2 > met.places.len()
    })
}

fn hear(line: &Line<'_>, parts: &Parts<'_>, drafts: &[Draft]) -> Heard {
    let mut heard = Heard {
        circumstances: Vec::new(),
        signs: Vec::new(),
        apart: Vec::new(),
        same: Vec::new(),
        when: Vec::new(),
    };
    let frame = |at: usize| parts.frames.at.get(at).copied().unwrap_or_default();
    for group in line.phrases.circumstances(line, parts.hand) {
        let Some(entry) = line.phrases.entry(group.entry) else {
            continue;
        };
        let (Some(first), Some(last)) = (group.places.first(), group.places.last()) else {
            continue;
        };
        match entry.meaning {
            Meaning::Circumstance { good, bad } => heard.circumstances.push(Met {
                good,
                bad,
                weight: entry.weight,
                places: group.places,
            }),
            Meaning::Mood(Mood::Good) => heard.signs.push(Sign {
                at: *last,
                good: !frame(*last).not || group.places.len() > 1,
                denied: false,
            }),
            Meaning::Mood(Mood::Bad) if !frame(*first).not => heard.signs.push(Sign {
                at: *last,
                good: false,
                denied: false,
            }),
            Meaning::Mood(Mood::Apart) => heard.apart.push(*first),
            Meaning::Mood(Mood::Same) => heard.same.push(*first),
            Meaning::Mood(Mood::When) => heard.when.push(*first),
            _ => {}
        }
    }
    heard.circumstances.truncate(MOST);
    if heard.circumstances.is_empty() {
        return heard;
    }
    let own: BTreeSet<SymptomId> = (heard.circumstances.iter())
        .flat_map(|met| met.good.into_iter().chain(met.bad))
        .collect();
    for draft in drafts.iter().filter(|d| !d.is_number) {
        let so_now = matches!(draft.why, None | Some(Why::If));
        let good = match draft.finding.what {
            What::AllWell => draft.finding.polarity == Polarity::Present,
            What::Symptom(s) if own.contains(&s) => continue,
            What::Symptom(s) => {
                let well = line.phrases.lexicon.well.contains(&s);
                well == (draft.finding.polarity == Polarity::Present)
            }
            What::Number(_) => continue,
        };
        if so_now && draft.finding.polarity != Polarity::Unsure {
            heard.signs.push(Sign {
                at: draft.at,
                good,
                denied: draft.finding.polarity == Polarity::Absent,
            });
        }
    }
    heard
}

impl Heard {
    /// What a circumstance means here, if anything.
    fn judge(&self, line: &Line<'_>, parts: &Parts<'_>, met: &Met) -> Option<Judged> {
        let first = *met.places.first()?;
        let why = parts.frames.at.get(first).and_then(|f| f.why);
        // "Borrowed my brother's": it is the golfer who swings it.
        let lent = (first.saturating_sub(LENT)..first).any(|at| {
            ["borrowed", "tried", "used", "with"]
                .iter()
                .any(|w| line.is_word(at, w))
        });
        if !(matches!(why, None | Some(Why::If)) || why == Some(Why::Other) && lent) {
            return None;
        }
        let sentence = |at: usize| line.sentence.get(at);
        let clause = |at: usize| line.clause.get(at);
        let (far, sign) = self.sign_of(line, met).unzip();
        let far = far.unwrap_or_default();
        // "Tried it with the eyes closed. No better."
        let next = |at: usize| {
            sign.is_none_or(|s| sentence(s.at) != sentence(first))
                && sentence(at).copied() == sentence(first).map(|s| s + 1)
        };
        let beside = |at: &&usize| {
            let apart = clause(**at).zip(clause(first)).map(|(a, b)| a.abs_diff(*b));
            let close = sentence(**at) == sentence(first) && apart.is_some_and(|a| a <= 1);
            close || sign.is_some_and(|s| clause(**at) == clause(s.at)) || next(**at)
        };
        if let Some(same) = self.same.iter().find(beside) {
            // "No better" calls nothing good.
            let good = sign.is_some_and(|s| s.good && s.at.abs_diff(*same) > NO_BETTER);
            let denied = if good { met.bad } else { met.good.or(met.bad) };
            return denied.map(|symptom| Judged {
                symptom,
                denied: true,
                sign: None,
                far,
            });
        }
        let sign = sign?;
        let apart = self.apart.iter().any(|at| sentence(*at) == sentence(first));
        let when = (self.when.iter())
            .any(|at| clause(*at) == clause(first) && *at < first && first - at <= AFTER_WHEN);
        let other = (self.signs.iter())
            .any(|s| s.good != sign.good && !s.denied && clause(s.at) != clause(sign.at));
        let faulty = sign.good && (parts.faults_told || self.signs.iter().any(|s| !s.good));
        if !(apart || when || other || faulty) {
            return None;
        }
        let symptom = if sign.good { met.good } else { met.bad };
        symptom.map(|symptom| Judged {
            symptom,
            denied: false,
            sign: Some(sign.at),
            far,
        })
    }

    /// The sign that is told of a circumstance: the nearest of its clause, else of the clauses
    /// about, and how far it is.
    fn sign_of(&self, line: &Line<'_>, met: &Met) -> Option<(usize, Sign)> {
        let (first, last) = (*met.places.first()?, *met.places.last()?);
        let clause = |at: usize| line.clause.get(at).copied().unwrap_or_default();
        let sentence = |at: usize| line.sentence.get(at).copied().unwrap_or_default();
        let far = |sign: &Sign| {
            if met.places.contains(&sign.at) {
                return None;
            }
            let between = |at: usize| (first.min(sign.at)..=last.max(sign.at)).contains(&at);
            let others = (self.circumstances.iter())
                .filter(|o| o.places.iter().all(|p| !met.places.contains(p)))
                .filter(|o| o.places.first().is_some_and(|p| between(*p)))
                .count();
            let words = if sign.at < first {
                first - sign.at
            } else {
                sign.at.saturating_sub(last)
            };
            let away = match sentence(sign.at).checked_sub(sentence(last)) {
                Some(0) if clause(sign.at) == clause(last) || clause(sign.at) == clause(first) => 0,
                Some(0) if sign.at > last => NEXT_CLAUSE,
                Some(0) => CLAUSE_BEFORE,
                // "Borrowed my brother's. Straight as a die."
                Some(1) if sign.good => NEXT_SENTENCE,
                _ => return None,
            };
            (words <= REACH).then_some(words + away + others * REACH)
        };
        (self.signs.iter())
            .filter_map(|sign| Some((far(sign)?, sign)))
            .min_by_key(|(far, sign)| (*far, sign.at))
            .map(|(far, sign)| (far, *sign))
    }
}
