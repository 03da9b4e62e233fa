//! How did the ball go, told in two parts: where it set off, and what it did then?
//!
//! "Sets off a yard left of the stick, then leans back right", "starts over the flag. After that it
//! peels away": hardly two golfers choose the same words, but all tell a start with its side or line
//! and then a bend with its side, "back" or "further". Takes the words of a line; gives each course
//! with the plain sentence that says the same ("starts left and curves right"), which the phrases
//! then read. Courses in which something is denied, several balls or clubs take turns, or a body or
//! a club moves are left to the phrases. Not known here: whose ball it was, and when.

use super::clauses::{Line, is_club};
use super::curve_hand::{BENDS, HOOKS, OF_A_BODY, SLICES};
use super::letters::Mark;
use crate::knowledge::lexicon::Role;

/// Words a ball sets off with.
const STARTS: [&str; 34] = [
    "start", "starts", "started", "starting", "begin", "begins", "began", "set", "sets", "setting",
    "head", "heads", "headed", "heading", "leaves", "launch", "launches", "launched", "takes",
    "took", "comes", "came", "come", "coming", "go", "goes", "went", "going", "gone", "flies",
    "fly", "flew", "off", "out",
];
/// Words that tell of the start and of nothing else.
const BEGINS: [&str; 9] = [
    "start", "starts", "started", "starting", "begin", "begins", "launch", "launches", "launched",
];
/// Things that a ball sets off towards.
const TARGETS: [&str; 13] = [
    "target",
    "flag",
    "pin",
    "stick",
    "flagstick",
    "middle",
    "centre",
    "center",
    "fairway",
    "line",
    "online",
    "hole",
    "mark",
];
/// Words that lead to a target.
const TOWARDS: [&str; 9] = [
    "at", "on", "over", "down", "towards", "toward", "the", "my", "for",
];
/// Words after which "right" is no side.
const NO_SIDE_BEFORE: [&str; 18] = [
    "at", "on", "over", "down", "away", "up", "now", "back", "round", "around", "across",
    "through", "along", "where", "in", "before", "after", "there",
];
/// Verbs that bend a ball, beside those that tell the hand.
const MORE_BENDS: [&str; 52] = [
    "drift", "drifts", "drifted", "drifting", "lean", "leans", "leaned", "leaning", "peel",
    "peels", "peeled", "peeling", "tail", "tails", "tailed", "tailing", "fall", "falls", "fell",
    "falling", "turned", "move", "moves", "moved", "moving", "swing", "swings", "swung", "dive",
    "dives", "dived", "leak", "leaks", "leaked", "leaking", "wander", "wanders", "veer", "veered",
    "swerve", "swerved", "curl", "curled", "slide", "slides", "sliding", "spins", "swoops", "tips",
    "darts", "ducks", "bananas",
];
/// The same to the push side of themselves.
const MORE_FADES: [&str; 5] = ["cut", "cuts", "cutting", "slicer", "fader"];
/// The same to the pull side of themselves.
const MORE_DRAWS: [&str; 5] = ["drew", "snap", "snaps", "snapped", "snapping"];
/// Verbs that say where a ball ends, whatever bent it.
const ENDS: [&str; 26] = [
    "go", "goes", "went", "going", "come", "comes", "came", "coming", "end", "ends", "ended",
    "finish", "finishes", "finished", "keep", "keeps", "kept", "get", "gets", "got", "land",
    "lands", "landed", "drops", "gone", "run",
];
const FURTHER: [&str; 8] = [
    "further", "farther", "more", "even", "again", "keeps", "still", "worse",
];
const HOME: [&str; 2] = ["back", "home"];
const STRAIGHT: [&str; 3] = ["straight", "straightish", "arrow"];
const STAYS: [&str; 5] = ["stay", "stays", "stayed", "staying", "holds"];
const SHAPES: [&str; 8] = [
    "curve",
    "curves",
    "bend",
    "shape",
    "curvature",
    "turn",
    "movement",
    "swerve",
];
/// Words that begin the second part of a course.
const LINKS: [&str; 8] = [
    "then", "and", "but", "after", "before", "an", "later", "only",
];
/// Words with which several balls, or somebody else's body or club, come in.
const OTHERS: [&str; 50] = [
    "next",
    "last",
    "first",
    "second",
    "third",
    "some",
    "other",
    "others",
    "sometimes",
    "or",
    "half",
    "another",
    "one",
    "ones",
    "few",
    "backswing",
    "takeaway",
    "downswing",
    "hips",
    "weight",
    "shoulders",
    "arms",
    "hands",
    "chest",
    "club",
    "clubhead",
    "shaft",
    "path",
    "divot",
    "divots",
    "putt",
    "putts",
    "putting",
    "aim",
    "aimed",
    "aims",
    "aiming",
    "foot",
    "feet",
    "toe",
    "heel",
    "face",
    "knee",
    "elbow",
    "wrist",
    "mark",
    "marks",
    "he",
    "she",
    "his",
];

/// How far the side may stand from the verb it goes with, and the second part from the first.
const NEAR: usize = 6;
const APART: usize = 9;

/// One way of a ball.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Left,
    Right,
    On,
}

impl Way {
    const fn of(right: bool) -> Self {
        if right { Self::Right } else { Self::Left }
    }

    const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
            Self::On => Self::On,
        }
    }
}

/// A course told in two parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Course {
    /// First word, and one past the last.
    pub(super) from: usize,
    pub(super) to: usize,
    /// Where the bend is told.
    pub(super) bend_at: usize,
    /// The same in plain words; none of them names a side if the ball went straight at its target.
    pub(super) plain: &'static str,
}

/// Every plain sentence that a course may be told by: by turns those that bend right and those that
/// bend left, then those that stay where they started.
pub(super) const PLAIN: [&str; 8] = [
    "starts left and curves right",
    "starts right and curves left",
    "starts right and curves further right",
    "starts left and curves further left",
    "starts straight and curves right",
    "starts straight and curves left",
    "starts left and stays left",
    "starts right and stays right",
];

/// The courses told in a line, in order; none overlaps another. `right_pushes` is so for a
/// right-hander.
pub(super) fn find(line: &Line<'_>, text: &str, right_pushes: bool) -> Vec<Course> {
    let words = Words { line, text };
    let mut out: Vec<Course> = Vec::new();
    let mut at = 0;
    while at < line.words.len() {
        match words.course(at, right_pushes) {
            Some(course) => {
                at = course.to;
                out.push(course);
            }
            None => at += 1,
        }
    }
    out
}

struct Words<'a> {
    line: &'a Line<'a>,
    text: &'a str,
}

impl Words<'_> {
    fn is(&self, at: usize, list: &[&str]) -> bool {
        let Some(word) = self.line.words.get(at).filter(|w| w.mark.is_none()) else {
            return false;
        };
        let said = word.span.of(self.text);
        list.iter().any(|w| w.eq_ignore_ascii_case(said)) || {
            let name = word.symbol.map(|s| self.line.phrases.vocabulary.name(s));
            name.is_some_and(|name| list.contains(&name))
        }
    }

    fn ends_sentence(&self, at: usize) -> bool {
        self.line.sentence.get(at) != self.line.sentence.get(at + 1)
    }

    /// A word that makes something else of the telling.
    fn breaks(&self, at: usize) -> bool {
        let club = self.line.meaning_at(at).is_some_and(is_club);
        let denies = self.line.words.get(at).is_some_and(|w| w.denies) || self.is(at, &["never"]);
        club || denies || self.line.role_at(at) == Some(Role::Not) || self.is(at, &OTHERS)
    }

    /// The side that a word names, unless it is a part of the body or an idiom.
    fn side(&self, at: usize) -> Option<Way> {
        let right = self.line.words.get(at)?.side?;
        let idiom = right && self.is(at + 1, &NO_SIDE_BEFORE);
        let body = self.is(at + 1, &OF_A_BODY);
        (!idiom && !body).then(|| Way::of(right))
    }

    fn course(&self, from: usize, right_pushes: bool) -> Option<Course> {
        // "Divots go left": no ball.
        let subject = (from.saturating_sub(2)..from).any(|i| {
            let clause = self.line.clause.get(i) == self.line.clause.get(from);
            clause && self.is(i, &OTHERS)
        });
        // "Curves off to the right" tells of the bend alone.
        let bent = from.checked_sub(1).is_some_and(|i| self.bends(i));
        if !self.is(from, &STARTS) || self.breaks(from) || subject || bent {
            return None;
        }
        let (start, at) = self.start(from)?;
        let (bend_at, to, bend) = self.bend(start, at, right_pushes)?;
        // "Goes right, starts left then bends right": it goes where it ends.
        let begins = (at..bend_at).any(|i| self.is(i, &BEGINS));
        if begins && self.is(from, &ENDS) {
            return None;
        }
        // "Goes left and keeps going left" tells of no start.
        let bent = start == Way::On || bend == start.other();
        if self.is(from, &ENDS) && !bent && self.is(bend_at, &ENDS) {
            return None;
        }
        let plain = match (start, bend) {
            (Way::Left, Way::Right) => PLAIN[0],
            (Way::Right, Way::Left) => PLAIN[1],
            (Way::Right, Way::Right) => PLAIN[2],
            (Way::Left, Way::Left) => PLAIN[3],
            (Way::On, Way::Right) => PLAIN[4],
            (Way::On, Way::Left) => PLAIN[5],
            (Way::Left, Way::On) => PLAIN[6],
            (Way::Right, Way::On) => PLAIN[7],
            (Way::On, Way::On) => return None,
        };
        Some(Course {
            from,
            to,
            bend_at,
            plain,
        })
    }

    /// Where the ball set off, and the last word that says so.
    fn start(&self, from: usize) -> Option<(Way, usize)> {
        for at in from + 1..=from + NEAR {
            if self.line.sentence.get(at) != self.line.sentence.get(from)
                || self.breaks(at)
                || self.is(at, &LINKS)
                || self.bends(at)
            {
                return None;
            }
            if let Some(way) = self.side(at) {
                return Some((way, at));
            }
            if self.is(at, &STRAIGHT) {
                // "Straight out to the right" is a side.
                let on = (at + 1..at + 4).take_while(|i| {
                    let mark = self.line.words.get(*i).is_none_or(|w| w.mark.is_some());
                    !mark && !self.is(*i, &LINKS) && !self.bends(*i) && !self.is(*i, &ENDS)
                });
                return match on.into_iter().find_map(|i| Some((self.side(i)?, i))) {
                    Some(side) => Some(side),
                    None => Some((Way::On, at)),
                };
            }
            let towards = |back: usize| at.checked_sub(back).is_some_and(|i| self.is(i, &TOWARDS));
            if self.is(at, &TARGETS) && (towards(1) || self.is(at, &["online"])) {
                return Some((Way::On, at));
            }
        }
        None
    }

    fn fades(&self, at: usize) -> bool {
        self.is(at, &SLICES) || self.is(at, &MORE_FADES)
    }

    fn draws(&self, at: usize) -> bool {
        self.is(at, &HOOKS) || self.is(at, &MORE_DRAWS)
    }

    fn bends(&self, at: usize) -> bool {
        self.is(at, &BENDS) || self.is(at, &MORE_BENDS) || self.fades(at) || self.draws(at)
    }

    /// Where the bend is told, where its telling ends, and which way it went; "on" for none.
    fn bend(&self, start: Way, from: usize, right_pushes: bool) -> Option<(usize, usize, Way)> {
        let mut borders = 0;
        for at in from + 1..=from + APART {
            self.line.words.get(at)?;
            if self.ends_sentence(at - 1) {
                borders += 1;
                let stop = self.line.words.get(at - 1).and_then(|w| w.mark);
                let next = self.is(at, &LINKS) || self.is(at + 1, &LINKS);
                if borders > 1 || stop == Some(Mark::Question) || !(next || start != Way::On) {
                    return None;
                }
            }
            let shape = self.is(at, &["no", "zero", "without"]) && {
                let near = [at + 1, at + 2].into_iter().find(|i| self.is(*i, &SHAPES));
                near.is_some() && start != Way::On
            };
            if shape {
                return Some((at, at + 2, Way::On));
            }
            if self.breaks(at) {
                return None;
            }
            // "My tee shots go right, my wedges left", "pulls go right, slices go left": other balls.
            let others = self.is(at, &["my"]) && !self.is(at - 1, &TOWARDS);
            let noun = self.bends(at) && self.is(at + 1, &ENDS);
            if others || noun {
                return None;
            }
            let plain_end = self.is(at, &ENDS);
            if self.bends(at) || plain_end {
                let (way, to) = self.direction(start, at, right_pushes)?;
                return Some((at, to, way));
            }
            if start != Way::On && borders == 0 && self.is(at, &STAYS) {
                return Some((at, at + 1, Way::On));
            }
        }
        None
    }

    /// Which way a verb bends the ball, and one past the words that say so.
    fn direction(&self, start: Way, verb: usize, right_pushes: bool) -> Option<(Way, usize)> {
        let own = if self.fades(verb) {
            Some(Way::of(right_pushes))
        } else if self.draws(verb) {
            Some(Way::of(!right_pushes))
        } else {
            None
        };
        let only_ends = own.is_none() && !self.bends(verb);
        let mut further = self.is(verb, &FURTHER);
        let mut back = false;
        let mut to = verb + 1;
        let mut side = None;
        for at in verb + 1..=verb + NEAR {
            if self.line.words.get(at).is_none() || self.ends_sentence(at - 1) || self.breaks(at) {
                break;
            }
            if let Some(way) = self.side(at) {
                side = Some(way);
                to = at + 1;
                break;
            }
            if only_ends && start != Way::On && self.is(at, &STRAIGHT) {
                return Some((Way::On, at + 1));
            }
            if self.is(at, &FURTHER) {
                further = true;
                to = at + 1;
            }
            if self.is(at, &HOME) && !self.is(at + 1, &["of", "foot", "nine"]) {
                back = true;
                to = at + 1;
            }
        }
        if back && start == Way::On {
            return None;
        }
        let way = match (side, own) {
            (Some(side), Some(own)) if side != own => return None,
            (Some(side), _) => side,
            (None, Some(own)) => own,
            (None, None) if back => start.other(),
            (None, None) if further && start != Way::On => start,
            (None, None) => return None,
        };
        // "Keeps going left, no curve" is no bend.
        let none = |i: usize| self.is(i, &["no", "zero", "without"]) && self.is(i + 1, &SHAPES);
        if only_ends && way == start && (to..to + NEAR).any(|i| none(i) || self.is(i, &STRAIGHT)) {
            return Some((Way::On, to));
        }
        // "Starts left and goes left" bends nowhere; "goes further left" does.
        let same = way == start && only_ends && !further;
        let clashes = back && way == start;
        (!same && !clashes).then_some((way, to))
    }
}
