//! Is anybody hurt or in danger? One line becomes alarms, the strongest first.
//!
//! Takes the cautions of the knowledge (phrases, body parts, words of hurting, harmless look-alikes)
//! and the line; gives the cautions it sets off, the words that did it, and which `without` words of
//! the drills apply. How it listens:
//!
//! 1. words, apostrophes folded, hyphens open, clauses cut at punctuation, "but", "and my" ...;
//!    part and hurt words of five letters or more are heard through one slip of the keys;
//! 2. the phrases of `says`, with filler words ("really", "left") let through; a part within four
//!    words of a hurt word, or one that got worse; one phrase of each list of `both`; what a
//!    look-alike covers is taken out again;
//! 3. [`scope`]: denied, undone denial, past or mended, asked "if", somebody else's, a sting that
//!    passes.
//!
//! Invariant: nothing is remembered between lines; time grows in step with the line. When in doubt
//! an alarm is raised: an idle question costs a second, a missed pain may cost a season. Not known
//! here: what the answer to the safety question was, and what is wrong with the golfer.

mod body;
mod leave;
mod scope;
mod words;
mod worse;

use std::collections::{BTreeMap, BTreeSet};

use crate::knowledge::{Caution, CautionLevel, KnowledgeBase};
use crate::reading::Span;
use crate::vocabulary::CautionId;
pub use leave::leave;
use scope::Standing;
use words::{Token, slip};

/// Most words between a body part and the word of hurting that belongs to it.
const REACH: usize = 4;
/// Most filler words let through inside one phrase.
const FILLERS: usize = 3;
/// Most words of a phrase, fillers included; longer phrases of the knowledge are never matched.
const LONGEST: usize = 14;

/// One caution set off by a line.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a fact of the alarm by itself"
)]
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alarm {
    /// Which caution.
    pub caution: CautionId,
    /// How soon it must be said.
    pub level: CautionLevel,
    /// The words that set it off, first to last word of the first place.
    pub said: Span,
    /// Words of the drills' `without` lists that apply: `pain`, `pain_back` ... `dizzy`; sorted.
    /// Pain whose place is not said gives all the pain words.
    pub ails: Vec<String>,
    /// Past, mended, asked "if", or of a "he" or "she" not named: ask before acting on it.
    pub unsure: bool,
    /// Said with a word of the caution's `grave` list ("sharp"): the golfer's own "no" to the
    /// question is not enough to go on.
    pub grave: bool,
    /// About something that hurts, rather than about people, weather or a club.
    pub about_pain: bool,
    /// Of nothing but stiffness.
    pub stiff: bool,
}

/// What part a phrase plays in its caution.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Role {
    Says,
    Part,
    Hurt,
    Harmless,
    Grave,
    /// One list of phrases of which one of each is needed.
    Of(usize),
}

/// A phrase found: words `from..to` of the line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Hit {
    caution: usize,
    role: Role,
    from: usize,
    to: usize,
}

#[derive(Debug, Clone, Default)]
struct Node {
    next: BTreeMap<u32, usize>,
    ends: Vec<(usize, Role)>,
}

/// All that a caution needs besides its phrases.
#[derive(Debug, Clone)]
struct Heed {
    level: CautionLevel,
    about_pain: bool,
}

/// The compiled cautions.
#[derive(Debug, Clone)]
pub struct Lookout {
    words: BTreeMap<String, u32>,
    nodes: Vec<Node>,
    heeds: Vec<Heed>,
    /// Single part and hurt words that are heard through a slip of the keys.
    forgiving: Vec<String>,
    /// Single part words, for "my back's killing me".
    parts: BTreeSet<String>,
}

impl Lookout {
    /// Compiles the cautions of a knowledge base.
    pub fn new(base: &KnowledgeBase) -> Self {
        Self::of_cautions(base.cautions.iter())
    }

    /// Compiles these cautions; ids are their places, as the loader gives them.
    pub fn of_cautions<'a>(cautions: impl IntoIterator<Item = &'a Caution>) -> Self {
        let mut made = Self {
            words: BTreeMap::new(),
            nodes: vec![Node::default()],
            heeds: Vec::new(),
            forgiving: Vec::new(),
            parts: BTreeSet::new(),
        };
        let mut forgiving = BTreeSet::new();
        for (place, caution) in cautions.into_iter().enumerate() {
            made.heeds.push(Heed {
                level: caution.level,
                about_pain: !caution.hurts.is_empty(),
            });
            let lists = [
                (&caution.says, Role::Says),
                (&caution.parts, Role::Part),
                (&caution.hurts, Role::Hurt),
                (&caution.not_when, Role::Harmless),
                (&caution.grave, Role::Grave),
            ];
            let both = caution.both.iter().enumerate();
            let both = both.map(|(list, phrases)| (phrases, Role::Of(list)));
            for (phrases, role) in lists.into_iter().chain(both) {
                for phrase in phrases {
                    let tokens = words::tokens(phrase);
                    if let ([only], Role::Part | Role::Hurt) = (tokens.as_slice(), role)
                        && only.text.len() >= 4
                    {
                        forgiving.insert(only.text.clone());
                    }
                    if let ([only], Role::Part) = (tokens.as_slice(), role) {
                        made.parts.insert(only.text.clone());
                    }
                    made.add(&tokens, place, role);
                }
            }
        }
        made.forgiving = forgiving.into_iter().collect();
        made
    }

    fn add(&mut self, tokens: &[Token], caution: usize, role: Role) {
        let mut at = 0;
        for token in tokens {
            let fresh = u32::try_from(self.words.len()).unwrap_or(u32::MAX);
            let word = *self.words.entry(token.text.clone()).or_insert(fresh);
            let new = self.nodes.len();
            let Some(node) = self.nodes.get_mut(at) else {
                return;
            };
            at = *node.next.entry(word).or_insert(new);
            if at == new {
                self.nodes.push(Node::default());
            }
        }
        if let (true, Some(node)) = (at > 0, self.nodes.get_mut(at)) {
            node.ends.push((caution, role));
        }
    }

    /// What the line sets off: emergencies first, then the rest in the order of the knowledge; at
    /// most one alarm for each caution.
    pub fn look(&self, line: &str) -> Vec<Alarm> {
        let mut tokens = words::tokens(line);
        for token in &mut tokens {
            self.mend(token);
        }
        words::cut(&mut tokens);
        let hits = self.hits(&tokens);
        let mut alarms: Vec<Alarm> = Vec::new();
        let mut rest = hits.as_slice();
        while let Some(first) = rest.first() {
            let many = rest
                .iter()
                .take_while(|h| h.caution == first.caution)
                .count();
            let (mine, others) = rest.split_at(many);
            rest = others;
            alarms.extend(self.alarm(first.caution, mine, &tokens));
        }
        alarms.sort_by_key(|a| (a.level, a.unsure, a.caution));
        alarms
    }

    /// Reads a slip of the keys as the part or hurt word it must be.
    fn mend(&self, token: &mut Token) {
        let stem = token.text.strip_suffix('s');
        let known = self.words.contains_key(&token.text)
            || stem.is_some_and(|w| self.parts.contains(w))
            || words::means_itself(&token.text);
        if known {
            return;
        }
        if let Some(meant) = self.forgiving.iter().find(|w| slip(&token.text, w)) {
            token.text.clone_from(meant);
        }
    }

    /// Every phrase found, sorted by caution, role and place.
    fn hits(&self, tokens: &[Token]) -> Vec<Hit> {
        let ids: Vec<[Option<u32>; 2]> = tokens
            .iter()
            .map(|t| {
                let stem = t.text.strip_suffix('s').filter(|w| self.parts.contains(*w));
                [Some(t.text.as_str()), stem].map(|w| self.words.get(w?).copied())
            })
            .collect();
        let mut hits = BTreeSet::new();
        let mut open: Vec<(usize, usize, usize)> = Vec::new();
        for from in 0..tokens.len() {
            open.clear();
            open.push((0, from, 0));
            while let Some((node, at, skipped)) = open.pop() {
                let Some(here) = self.nodes.get(node) else {
                    continue;
                };
                for &(caution, role) in &here.ends {
                    if at > from && (skipped == 0 || matches!(role, Role::Says | Role::Of(_))) {
                        hits.insert(Hit {
                            caution,
                            role,
                            from,
                            to: at,
                        });
                    }
                }
                let Some(token) = tokens.get(at) else {
                    continue;
                };
                let crossed = at > from && token.breaks;
                if crossed || at - from >= LONGEST {
                    continue;
                }
                for word in ids.get(at).into_iter().flatten().flatten() {
                    if let Some(&next) = here.next.get(word) {
                        open.push((next, at + 1, skipped));
                    }
                }
                if at > from && skipped < FILLERS && words::is_filler(&token.text) {
                    open.push((node, at + 1, skipped + 1));
                }
            }
        }
        hits.into_iter().collect()
    }

    /// The alarm of one caution, if its hits amount to one.
    fn alarm(&self, caution: usize, hits: &[Hit], tokens: &[Token]) -> Option<Alarm> {
        let heed = self.heeds.get(caution)?;
        let named = (hits.iter()).any(|h| matches!(h.role, Role::Part | Role::Grave));
        let harmless: Vec<Hit> = hits
            .iter()
            .filter(|h| h.role == Role::Harmless && !scope::undone(tokens, h.from, h.to))
            .filter(|h| !scope::may_be_pain(tokens, h.from, h.to, named))
            .copied()
            .collect();
        let mut covered = vec![false; tokens.len()];
        for hit in &harmless {
            for place in covered.iter_mut().take(hit.to).skip(hit.from) {
                *place = true;
            }
        }
        // How far the harmless phrases that begin at or before a word run.
        let mut reach = vec![0; tokens.len()];
        for hit in &harmless {
            if let Some(end) = reach.get_mut(hit.from) {
                *end = hit.to.max(*end);
            }
        }
        let mut far = 0;
        for end in &mut reach {
            far = far.max(*end);
            *end = far;
        }
        let free = |h: &&Hit| (h.from..h.to).all(|at| covered.get(at) == Some(&false));
        let parts: Vec<Hit> = hits
            .iter()
            .filter(|h| h.role == Role::Part)
            .filter(free)
            .copied()
            .collect();
        let hurts: Vec<Hit> = hits
            .iter()
            .filter(|h| h.role == Role::Hurt)
            .filter(free)
            .copied()
            .collect();
        let mut found: Vec<(Hit, usize)> = hits
            .iter()
            .filter(|h| h.role == Role::Says)
            .filter(|h| reach.get(h.from).is_none_or(|&end| end < h.to))
            .map(|h| (*h, h.from))
            .collect();
        found.extend(pairs(&parts, &hurts, tokens));
        found.extend(one_of_each(hits, &free));
        if heed.level == CautionLevel::First {
            found.extend(parts.iter().filter_map(|part| {
                let to = worse::got_worse(tokens, part.from, part.to)?;
                let role = Role::Says;
                Some((Hit { role, to, ..*part }, to - 1))
            }));
            let opening = hurts
                .iter()
                .filter(|h| words::opens_with_hurt(tokens, h.from));
            found.extend(opening.map(|h| (*h, h.from)));
        }
        found.sort_unstable();
        // Stiff, and said not to hurt: asked about, no more.
        let stiff = |at: usize| {
            let word = scope::word(tokens, at);
            words::STIFF.contains(&word)
        };
        let denied = hits.iter().filter(|h| h.role == Role::Hurt).any(|h| {
            let standing = scope::standing(tokens, h.from, h.to, h.from, heed.level);
            !stiff(h.from) && (standing == Standing::Void || !free(&h))
        });
        let only_stiff = |hit: &Hit| heed.about_pain && denied && (hit.from..hit.to).any(stiff);

        // A bad hip that is said not to hurt: the same.
        let bad = |at: usize| words::BAD.contains(&scope::word(tokens, at));
        let mut hurts_told = hits.iter().filter(|h| h.role == Role::Hurt && !bad(h.from));
        let no_hurt_told = hurts_told.all(|h| {
            let standing = scope::standing(tokens, h.from, h.to, h.from, heed.level);
            standing == Standing::Void || !free(&h)
        });
        let only_bad =
            |hit: &Hit| heed.about_pain && denied && no_hurt_told && (hit.from..hit.to).any(bad);

        let mut said: Option<(Hit, bool)> = None;
        let mut end = 0;
        let mut stiff_alone = heed.about_pain;
        let mut ails = BTreeSet::new();
        for (hit, hurt) in found {
            let standing = scope::standing(tokens, hit.from, hit.to, hurt, heed.level);
            let unsure = match standing {
                Standing::Void => continue,
                Standing::Unsure => true,
                Standing::Sure => only_stiff(&hit) || only_bad(&hit),
            };
            body::ails(tokens, hit.from, hit.to, heed.about_pain, &mut ails);
            stiff_alone &= (hit.from..hit.to).any(stiff);
            if said.is_none_or(|(_, doubtful)| doubtful && !unsure) {
                said = Some((hit, unsure));
                end = hit.to;
            } else if hit.from < end {
                // "A twinge" and "twinge in my shoulder" are one complaint.
                end = end.max(hit.to);
            }
        }
        if said.is_none()
            && heed.about_pain
            && let Some((from, to)) = scope::handed_on(tokens, &parts_and_hurts(hits))
        {
            body::ails(tokens, from, to, true, &mut ails);
            stiff_alone = false;
            let hit = Hit {
                caution,
                role: Role::Says,
                from,
                to,
            };
            said = Some((hit, false));
        }
        let (hit, unsure) = said?;
        let grave: Vec<&Hit> = hits
            .iter()
            .filter(|h| h.role == Role::Grave && near(tokens, h, &hit))
            .collect();
        let from = grave.iter().map(|h| h.from).fold(hit.from, usize::min);
        // The part belongs to it whole: the shoulder blade, not the shoulder.
        let end = end.max(hit.to);
        let whole = hits
            .iter()
            .filter(|h| h.role == Role::Part && (hit.from..=end).contains(&h.from) && h.to > end);
        let ends = whole.chain(grave.iter().copied()).map(|h| h.to);
        let to = ends.fold(end, usize::max);
        Some(Alarm {
            caution: CautionId::from_index(caution),
            level: heed.level,
            grave: !grave.is_empty(),
            about_pain: heed.about_pain,
            stiff: stiff_alone,
            said: Span {
                start: tokens.get(from)?.span.start,
                end: tokens.get(to.checked_sub(1)?)?.span.end,
            },
            ails: ails.into_iter().map(str::to_owned).collect(),
            unsure,
        })
    }
}

/// One phrase of each list of `both`, from the first word of them to the last, if there is one of each.
fn one_of_each(hits: &[Hit], free: &impl Fn(&&Hit) -> bool) -> Option<(Hit, usize)> {
    /// Farther apart than this they are told of two things.
    const TOGETHER: usize = 25;
    let of = |list: usize| {
        let mine = hits.iter().filter(move |h| h.role == Role::Of(list));
        mine.filter(free).copied()
    };
    of(0)
        .flat_map(|a| of(1).map(move |b| (a, b)))
        .find(|(a, b)| a.from.abs_diff(b.from) <= TOGETHER)
        .map(|(a, b)| {
            let (from, to) = (a.from.min(b.from), a.to.max(b.to));
            let role = Role::Says;
            (
                Hit {
                    role,
                    from,
                    to,
                    ..a
                },
                a.from,
            )
        })
}

/// True if a word of alarm stands in the alarm or within reach of it in the same clause.
fn near(tokens: &[Token], word: &Hit, alarm: &Hit) -> bool {
    let clause = |at: usize| tokens.get(at).map(|t| t.clause);
    let (before, after) = if word.from < alarm.from {
        (word, alarm)
    } else {
        (alarm, word)
    };
    before.to > after.from
        || (clause(before.from) == clause(after.from)
            && words::counted(tokens, before.to, after.from) <= REACH)
}

/// Places of parts and of hurt words, whatever covers them.
fn parts_and_hurts(hits: &[Hit]) -> Vec<(usize, bool)> {
    hits.iter()
        .filter_map(|h| match h.role {
            Role::Part => Some((h.from, false)),
            Role::Hurt => Some((h.from, true)),
            Role::Says | Role::Harmless | Role::Grave | Role::Of(_) => None,
        })
        .collect()
}

/// Parts with a hurt word near by in the same clause, and the place of the hurt word.
fn pairs(parts: &[Hit], hurts: &[Hit], tokens: &[Token]) -> Vec<(Hit, usize)> {
    let mut found = Vec::new();
    for hurt in hurts {
        let low = hurt.from.saturating_sub(2 * REACH + 4);
        let begin = parts.partition_point(|p| p.from < low);
        for part in parts.iter().skip(begin) {
            if part.from > hurt.to + 2 * REACH {
                break;
            }
            let (before, after) = if part.from < hurt.from {
                (part, hurt)
            } else {
                (hurt, part)
            };
            let clause = |h: &Hit| tokens.get(h.from).map(|t| t.clause);
            if clause(before) == clause(after)
                && before.to <= after.from
                && words::counted(tokens, before.to, after.from) <= REACH
            {
                let hit = Hit {
                    role: Role::Says,
                    from: before.from,
                    to: after.to,
                    ..*hurt
                };
                found.push((hit, hurt.from));
            }
        }
    }
    found
}
