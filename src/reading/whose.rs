//! Whose is a number that measures no shot? Ages, heights and weights of people, stretches of time,
//! how a body turns, sways or stands, how long or upright a club was made.
//!
//! Takes the words of a line and their text; uses up what tells of a person or of time, and gives the
//! places of numbers that belong to a body or to a club's making: these measure nothing here, never
//! make a turf mark and are told back as not used, unless their clause was read as the golfer's word
//! on a cause. What the other numbers measure is decided in `measures`.

use super::clauses::{Line, is_club};
use super::letters::Mark;
use super::{Reading, Span};
use crate::knowledge::lexicon::{Meaning, Role};
use crate::quantity::{Dimension, Unit};

/// Numbers that belong to a body or to the making of a club, as places of words.
#[derive(Debug, Default)]
pub(super) struct Whose(Vec<usize>);

impl Whose {
    /// True if the number at a place measures nothing of a shot.
    pub(super) fn holds(&self, at: usize) -> bool {
        self.0.binary_search(&at).is_ok()
    }

    /// What stands in a clause with the golfer's word on a cause is part of it: "hands 3 inches ahead
    /// at address".
    pub(super) fn join_hints(&self, line: &mut Line<'_>, reading: &Reading) {
        for at in &self.0 {
            let clause = line.clause_span(*at);
            let inside = |said: Span| said.start < clause.end && clause.start < said.end;
            if reading.hints.iter().any(|h| inside(h.said)) {
                let to = past_unit(line, *at);
                line.use_words(*at, to);
            }
        }
    }
}

/// Goes over the line once.
pub(super) fn find(line: &mut Line<'_>, text: &str) -> Whose {
    let words: Vec<String> = line
        .words
        .iter()
        .map(|w| {
            w.span
                .of(text)
                .to_lowercase()
                .replace(['\'', '\u{2019}'], "")
        })
        .collect();
    let mut out = Whose::default();
    let mut at = 0;
    while at < line.words.len() {
        let said = |at: usize, number: f64| Said {
            line,
            words: &words,
            at,
            number,
        };
        let mut next = at + 1;
        if let Some(number) = number_at(line, at) {
            let said = said(at, number);
            let quiet = said.age().or_else(|| said.size()).or_else(|| said.time());
            if let Some(to) = quiet {
                line.use_words(at, to);
                next = to.max(next);
            } else if said.of_body() || said.of_making() {
                out.0.push(at);
            }
        } else if let Some(article) = at.checked_sub(1)
            && matches!(words.get(article).map(String::as_str), Some("a" | "an"))
            && matches!(line.meaning_at(at), Some(Meaning::Unit(_)))
        {
            // "An inch too far back": a unit by itself is one.
            let said = said(article, 1.0);
            if said.of_body() || said.of_making() {
                out.0.push(at);
            }
        }
        at = next;
    }
    out
}

/// A number that no phrase has taken.
fn number_at(line: &Line<'_>, at: usize) -> Option<f64> {
    let number = line.words.get(at)?.number?;
    let free = match line.meaning_at(at) {
        None | Some(Meaning::Number(_)) => true,
        Some(Meaning::Word(role)) => matches!(role, Role::Plain | Role::Filler | Role::Stop),
        Some(_) => false,
    };
    (free && !line.is_used(at)).then_some(number)
}

/// The place after a number and its unit.
fn past_unit(line: &Line<'_>, at: usize) -> usize {
    match line.meaning_at(at + 1) {
        Some(Meaning::Unit(_)) => line.match_at(at + 1).map_or(at + 2, |m| m.to),
        _ => at + 1,
    }
}

/// Words of somebody whose age may follow.
const WHO: [&str; 38] = [
    "son",
    "sons",
    "daughter",
    "grandson",
    "granddaughter",
    "kid",
    "child",
    "boy",
    "girl",
    "lad",
    "grandchild",
    "wife",
    "husband",
    "father",
    "mother",
    "dad",
    "mum",
    "mom",
    "brother",
    "sister",
    "he",
    "she",
    "who",
    "man",
    "woman",
    "lady",
    "male",
    "female",
    "guy",
    "golfer",
    "player",
    "pupil",
    "student",
    "customer",
    "client",
    "nephew",
    "niece",
    "junior",
];

/// Words of a person beside whose words a number alone is an age.
const PERSON: [&str; 16] = [
    "lefty",
    "leftie",
    "righty",
    "hander",
    "handed",
    "male",
    "female",
    "man",
    "woman",
    "lady",
    "beginner",
    "retired",
    "golfer",
    "newbie",
    "senior",
    "pensioner",
];

/// After these a number is an age, if nothing is counted by it.
const AM: [&str; 9] = [
    "im", "am", "hes", "shes", "aged", "age", "turned", "turning", "iam",
];

/// A number goes on to something else than an age with none of these after it.
const GOES_ON: [&str; 13] = [
    "and", "now", "but", "so", "here", "who", "male", "female", "retired", "lefty", "leftie", "i",
    "my",
];

/// Stretches of time that are counted.
const TIME: [&str; 24] = [
    "year", "years", "yr", "yrs", "month", "months", "week", "weeks", "wk", "wks", "day", "days",
    "hour", "hours", "hr", "hrs", "minute", "minutes", "mins", "min", "season", "seasons",
    "summers", "winters",
];

/// Weights of people.
const HEAVY: [&str; 9] = [
    "kg",
    "kgs",
    "kilo",
    "kilos",
    "kilograms",
    "lb",
    "lbs",
    "pounds",
    "stone",
];

/// Parts of a body whose places and turns are no place of the club.
const BODY: [&str; 42] = [
    "hands",
    "hip",
    "hips",
    "head",
    "chest",
    "shoulder",
    "shoulders",
    "pelvis",
    "belt",
    "buckle",
    "knee",
    "knees",
    "spine",
    "sternum",
    "torso",
    "body",
    "arms",
    "elbow",
    "elbows",
    "wrist",
    "wrists",
    "chin",
    "nose",
    "belly",
    "tailbone",
    "leg",
    "legs",
    "weight",
    "pressure",
    "stance",
    "posture",
    "sway",
    "swaying",
    "swayed",
    "slide",
    "sliding",
    "lunge",
    "lunging",
    "tilt",
    "xfactor",
    "bum",
    "backside",
];

/// What a golfer does with the body, if it is the golfer that does it.
const MOVES: [&str; 16] = [
    "stand", "standing", "stood", "move", "moving", "dip", "dipping", "drop", "lift", "rise",
    "turn", "turning", "rotate", "coil", "shift", "drift",
];

/// Where the ground comes in, a length is the mark's whatever the body does.
const GROUND: [&str; 19] = [
    "divot", "divots", "ground", "turf", "mark", "marks", "scuff", "scuffs", "brush", "brushes",
    "hole", "grass", "scrape", "scrapes", "trench", "ball", "clubhead", "earth", "dirt",
];

/// Clubs as things that were made.
const MADE: [&str; 11] = [
    "club", "clubs", "shaft", "shafts", "irons", "set", "grip", "grips", "length", "driver",
    "putter",
];

/// How a club was made.
const HOW_MADE: [&str; 12] = [
    "long", "longer", "short", "shorter", "over", "under", "upright", "flat", "oversize",
    "thicker", "strong", "weak",
];

/// Words looked back over for what a number belongs to.
const BACK: usize = 8;

/// One number where it stands.
struct Said<'a, 'b> {
    line: &'b Line<'a>,
    words: &'b [String],
    at: usize,
    number: f64,
}

impl Said<'_, '_> {
    fn word(&self, at: usize) -> &str {
        self.words.get(at).map_or("", String::as_str)
    }

    fn back(&self, steps: usize) -> &str {
        self.at.checked_sub(steps).map_or("", |i| self.word(i))
    }

    fn mark(&self, at: usize) -> Option<Mark> {
        self.line.words.get(at).and_then(|w| w.mark)
    }

    /// The place after a number, over a hyphen.
    fn after(&self) -> usize {
        self.at + 1 + usize::from(self.mark(self.at + 1) == Some(Mark::Hyphen))
    }

    /// True if a clause ends at a place.
    fn ends(&self, at: usize) -> bool {
        at >= self.line.words.len()
            || self.mark(at).is_some_and(|m| {
                !matches!(
                    m,
                    Mark::Hyphen
                        | Mark::Slash
                        | Mark::Percent
                        | Mark::Degree
                        | Mark::Quote
                        | Mark::Prime
                        | Mark::And
                        | Mark::Plus
                )
            })
            || !self.line.same_clause(at, self.at)
    }

    fn whole(&self, low: f64, high: f64) -> bool {
        let sign = self.line.words.get(self.at).is_some_and(|w| w.sign != 0);
        !sign && self.number.fract() == 0.0 && (low..=high).contains(&self.number)
    }

    /// "62 years old", "I'm 14 and a lefty", "son 9", "left hander, 71, Durban".
    fn age(&self) -> Option<usize> {
        if !self.whole(3.0, 99.0) {
            return None;
        }
        let next = self.after();
        let years = matches!(
            self.word(next),
            "year" | "years" | "yr" | "yrs" | "y" | "yo"
        );
        // "Pupil 7i, fat" is a club.
        let glued = |w: &super::phrases::Word| w.glued && w.mark.is_none();
        if !years && self.line.words.get(self.at + 1).is_some_and(glued) {
            return None;
        }
        if years {
            let mut to = next + 1;
            while matches!(self.mark(to), Some(Mark::Hyphen | Mark::Slash)) {
                to += 1;
            }
            if matches!(self.word(to), "old" | "o" | "olds" | "young") {
                return Some(to + 1);
            }
            if self.word(next) == "yo" {
                return Some(next + 1);
            }
        }
        if self.word(next) == "yearold" {
            return Some(next + 1);
        }
        let to = self.at + 1;
        let grown = self.number >= 10.0;
        let free = self.ends(to)
            || GOES_ON.contains(&self.word(to))
            || grown && self.word(to) == "with"
            || matches!(self.back(1), "is" | "was")
                && WHO.contains(&self.back(2))
                && self.counts_nothing()
            || matches!(self.line.meaning_at(to), Some(Meaning::Hand(_)));
        if self.word(to) == "here" && grown && self.line.same_clause(to, self.at) {
            return Some(to);
        }
        if !free {
            return None;
        }
        let past_mark = matches!(
            self.at.checked_sub(1).and_then(|i| self.mark(i)),
            Some(Mark::Comma | Mark::Colon | Mark::Equals | Mark::Open | Mark::Dash)
        );
        let (one, two) = if past_mark {
            (self.back(2), self.back(3))
        } else {
            (self.back(1), self.back(2))
        };
        let alone = past_mark && self.ends(to);
        let led = !past_mark && AM.contains(&one) || matches!(one, "age" | "aged");
        let of_somebody = WHO.contains(&one)
            && !matches!(one, "who")
            && (alone || !past_mark && !matches!(one, "golfer" | "player" | "guy" | "man"))
            || matches!(one, "is" | "was" | "of") && !past_mark && WHO.contains(&two);
        let in_a_list = grown && alone && self.near_a_person();
        (led || of_somebody || in_a_list).then_some(to)
    }

    /// True if what follows a number is no club, unit or thing that it counts.
    fn counts_nothing(&self) -> bool {
        let to = self.at + 1;
        let meaning = self.line.meaning_at(to);
        self.mark(to).is_none()
            && !meaning.is_some_and(is_club)
            && !matches!(
                meaning,
                Some(
                    Meaning::Unit(_)
                        | Meaning::Symptoms(_)
                        | Meaning::Word(Role::Counted | Role::Times | Role::InARow | Role::OutOf)
                )
            )
    }

    /// True if the clause before this one or the one after it tells of a person and of no number.
    fn near_a_person(&self) -> bool {
        let (from, to) = self.line.clause_range(self.at);
        let clause = |at: usize| {
            let (from, to) = self.line.clause_range(at);
            let mut range = from..to;
            let tells = range.clone().any(|i| {
                PERSON.contains(&self.word(i))
                    || WHO.contains(&self.word(i)) && self.word(i) != "who"
                    || matches!(self.line.meaning_at(i), Some(Meaning::Hand(_)))
            });
            tells && !range.any(|i| self.line.words.get(i).is_some_and(|w| w.number.is_some()))
        };
        let numbers_follow = self.line.words.get(to).is_some_and(|w| w.number.is_some())
            && self.mark(to + 1).is_some();
        !numbers_follow
            && (from.checked_sub(1).is_some_and(clause) || to < self.words.len() && clause(to))
    }

    /// "130cm", "6 foot 2", "90 kg", "1.82 m tall".
    fn size(&self) -> Option<usize> {
        let next = self.at + 1;
        let tall =
            |from: usize| (from..from + 2).any(|i| matches!(self.word(i), "tall" | "height"));
        if HEAVY.contains(&self.word(next)) && self.number >= 2.0 {
            return Some(next + 1);
        }
        // "He's 6'5".
        let under_12 = |at: usize| {
            let inches = self.line.words.get(at).and_then(|w| w.number);
            inches.is_some_and(|n| (0.0..12.0).contains(&n))
        };
        if self.whole(4.0, 7.0) && self.mark(next) == Some(Mark::Prime) && under_12(next + 1) {
            let end = next + 2;
            let end = end + usize::from(self.mark(end) == Some(Mark::Quote));
            return Some(end + usize::from(tall(end)));
        }
        let to = past_unit(self.line, self.at);
        let person = AM.contains(&self.back(1)) || matches!(self.back(1), "height");
        match self.line.meaning_at(next) {
            Some(Meaning::Unit(Unit::Centimetre)) if (100.0..=215.0).contains(&self.number) => {
                Some(to + usize::from(tall(to)))
            }
            Some(Meaning::Unit(Unit::Metre))
                if (1.0..=2.2).contains(&self.number) && (tall(to) || person) =>
            {
                Some(to + usize::from(tall(to)))
            }
            Some(Meaning::Unit(Unit::Foot)) if self.whole(3.0, 7.0) => {
                let inches = self.line.words.get(to).and_then(|w| w.number);
                match inches.filter(|n| (0.0..12.0).contains(n)) {
                    Some(_) => {
                        let end = past_unit(self.line, to);
                        let placed = matches!(
                            self.line.meaning_at(end),
                            Some(
                                Meaning::Direction(_)
                                    | Meaning::Numbered { .. }
                                    | Meaning::Word(Role::Times | Role::Counted | Role::OutOf)
                            )
                        );
                        (!placed).then_some(end + usize::from(tall(end)))
                    }
                    None if tall(to) || person && self.ends(to) => Some(to + usize::from(tall(to))),
                    None => None,
                }
            }
            _ => None,
        }
    }

    /// "Since 8 years", "2 days ago": no count of shots.
    fn time(&self) -> Option<usize> {
        let spelt = self.line.words.get(self.at).is_some_and(|w| w.spelt);
        let counted = TIME.contains(&self.word(self.after()));
        (counted && !(spelt && self.number < 1.0)).then_some(self.at + 1)
    }

    /// "Hips 2 inches past the ball", "pressure 80 left", "88 degrees of shoulder turn".
    fn of_body(&self) -> bool {
        let unit = match self.line.meaning_at(self.at + 1) {
            Some(Meaning::Unit(unit)) => Some(*unit),
            _ => None,
        };
        let to = past_unit(self.line, self.at);
        let share = unit == Some(Unit::Percent) || self.mark(self.at + 1) == Some(Mark::Percent);
        let measure = unit.is_none_or(|u| {
            matches!(u.dimension(), Dimension::Length | Dimension::Angle)
                && !matches!(u, Unit::Yard | Unit::Metre)
        });
        if !(measure || share) {
            return false;
        }
        // What stands right after it: "88 degree shoulder turn", "80 % on the left foot".
        let (_, end) = self.line.clause_range(self.at);
        let mut ahead = (to..end.min(to + 4)).filter(|i| {
            let filler = self.line.words.get(*i).is_some_and(|w| w.filler);
            !filler
                && !matches!(
                    self.word(*i),
                    "of" | "on" | "in" | "into" | "degree" | "percent" | "%"
                )
        });
        let first = ahead.next();
        let second = ahead.next();
        let side = |i: usize| {
            matches!(
                self.word(i),
                "left" | "right" | "lead" | "trail" | "front" | "back" | "rear"
            )
        };
        let on = |i: usize| matches!(self.word(i), "foot" | "leg" | "heel" | "toes");
        let turned = first.is_some_and(|i| BODY.contains(&self.word(i)) && self.is_plain(i));
        let weighted = share && first.is_some_and(side) && second.is_some_and(on);
        if turned || weighted {
            return true;
        }
        let (start, _) = self.line.clause_range(self.at);
        let before = (start.max(self.at.saturating_sub(BACK))..self.at).rev();
        let ground = unit.is_some_and(|u| u.dimension() == Dimension::Length)
            && (start..self.at).any(|i| GROUND.contains(&self.word(i)));
        for i in before {
            match self.line.meaning_at(i) {
                Some(Meaning::Quantity(_)) => return false,
                Some(meaning) if is_club(meaning) => return false,
                // "Weight back 7 shots fat": another number has been between.
                _ if self.line.words.get(i).is_some_and(|w| w.number.is_some()) => return false,
                _ => {}
            }
            let word = self.word(i);
            if BODY.contains(&word) && self.is_plain(i) {
                return !ground && self.measures();
            }
            if MOVES.contains(&word) && matches!(i.checked_sub(1).map(|b| self.word(b)), Some("i"))
            {
                return !ground && (unit.is_some() || self.measures());
            }
        }
        false
    }

    /// True if a bare number may be a place or a turn, and counts nothing.
    fn measures(&self) -> bool {
        let next = self.at + 1;
        !matches!(
            self.line.meaning_at(next),
            Some(
                Meaning::Symptoms(_)
                    | Meaning::AllWell
                    | Meaning::ShotsIn(_)
                    | Meaning::Word(
                        Role::Counted | Role::Times | Role::InARow | Role::OutOf | Role::Per
                    )
            )
        ) && !self.line.meaning_at(next).is_some_and(is_club)
            && !matches!(self.word(next), "knuckle" | "knuckles" | "fingers")
            && self.mark(next) != Some(Mark::Slash)
    }

    /// True if a word of the body stands for the body: not in "club head", "left hands".
    fn is_plain(&self, at: usize) -> bool {
        !matches!(
            self.line.meaning_at(at),
            Some(Meaning::Quantity(_) | Meaning::Hand(_) | Meaning::Clubs { .. })
        ) && at
            .checked_sub(1)
            .is_none_or(|i| !matches!(self.word(i), "club" | "driver" | "big"))
    }

    /// "My clubs are 2 inches too long", "irons 2 degrees upright".
    fn of_making(&self) -> bool {
        let Some(Meaning::Unit(unit)) = self.line.meaning_at(self.at + 1) else {
            return false;
        };
        let (start, end) = self.line.clause_range(self.at);
        let to = past_unit(self.line, self.at);
        let mut ahead = (to..end.min(to + 3)).filter(|i| self.word(*i) != "too");
        // "6 degrees over the top" is how a club comes down.
        let how = ahead.next().is_some_and(|i| {
            let length = !matches!(self.word(i), "over" | "under")
                || self.ends(i + 1)
                || matches!(self.word(i + 1), "length" | "standard" | "size");
            HOW_MADE.contains(&self.word(i)) && length
        });
        let mut before = start..self.at;
        let made = before
            .clone()
            .any(|i| MADE.contains(&self.word(i)) || self.line.meaning_at(i).is_some_and(is_club));
        let turf = before.clone().any(|i| {
            GROUND.contains(&self.word(i))
                || matches!(self.line.meaning_at(i), Some(Meaning::Quantity(_)))
        });
        let small = matches!(
            unit,
            Unit::Inch | Unit::Centimetre | Unit::Millimetre | Unit::Degree
        );
        let stood = before.any(|i| {
            matches!(
                self.word(i),
                "ball" | "stand" | "standing" | "stood" | "feet"
            ) || BODY.contains(&self.word(i))
        });
        small && (how && made && !turf || stood && self.too_far())
    }

    /// "The ball is 2 inches too far forward" tells of a cause, and of no place that is measured.
    fn too_far(&self) -> bool {
        let to = past_unit(self.line, self.at);
        let ahead = [self.word(to), self.word(to + 1), self.word(to + 2)];
        matches!(
            ahead,
            [
                "too",
                "far" | "much",
                "forward" | "back" | "up" | "forwards" | "from" | "away"
            ] | ["too", "close" | "forward", _]
        )
    }
}
