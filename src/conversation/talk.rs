//! What has been said so far: statements, answers, hints, what is being asked.
//!
//! A [`Talk`] is a value: taking a step back is taking the value from before. Turns statements into
//! the [`Case`] that is diagnosed; taking a statement back leaves nothing of it behind, because the
//! case is made anew each time. Knows no sentence.

use super::listening;
use super::reply::{Care, Question};
use crate::diagnosis::{Case, Finding, Pattern, What as Stated};
use crate::knowledge::KnowledgeBase;
use crate::reading::{self, Context, Count, Polarity, What, names_a_mark};
use crate::vocabulary::{
    CauseId, CautionId, CheckId, CountId, DrillId, GroupId, Hand, LieId, QuantityId, SymptomId,
};

/// One statement of the golfer.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Statement {
    /// What it states.
    pub(super) finding: reading::Finding,
    /// The words.
    pub(super) words: String,
    /// Taken back or replaced.
    pub(super) dropped: bool,
    /// Which line told it.
    pub(super) line: usize,
}

/// What came of practice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Tried {
    /// Against which cause.
    pub(super) cause: CauseId,
    /// It helped.
    pub(super) helped: bool,
    /// The golfer's words, or the counts.
    pub(super) words: String,
}

/// Everything said in one talk about one golfer.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a fact of the talk by itself"
)]
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Talk {
    pub(super) said: Vec<String>,
    pub(super) hand: Option<Hand>,
    /// Which way the golfer says plus is.
    pub(super) plus: Option<reading::Plus>,
    pub(super) scope: reading::Pattern,
    /// The lie that is said to be always so.
    pub(super) ground: Option<LieId>,
    pub(super) statements: Vec<Statement>,
    pub(super) hints: Vec<(CauseId, f64, String)>,
    /// The causes of hints that were looked at and not only guessed.
    pub(super) looked_at: Vec<CauseId>,
    /// What was said, without the words that were read as facts and without what is not so now.
    pub(super) telling: Vec<String>,
    /// The causes that all of it sounds like, with their weight and the words that do.
    pub(super) sounds: Vec<listening::Heard>,
    pub(super) answers: Vec<(CheckId, bool)>,
    /// Answers of earlier lessons that still hold.
    pub(super) lasting: Vec<(CheckId, bool)>,
    pub(super) asked: Vec<CheckId>,
    pub(super) practised: Vec<Tried>,
    /// Drills that did not help.
    pub(super) failed: Vec<DrillId>,
    pub(super) pending: Option<Question>,
    /// The check answered last, until something else is told.
    pub(super) answered: Option<CheckId>,
    /// The check to be put again after this line, whatever another one is worth.
    pub(super) again: Option<CheckId>,
    pub(super) questions: usize,
    pub(super) questions_allowed: usize,
    pub(super) prescribed: Option<(CauseId, DrillId)>,
    /// What is counted in place of what cause and drill count.
    pub(super) counted: Option<CountId>,
    pub(super) ails: Vec<String>,
    /// All that ails is stiff.
    pub(super) stiff: bool,
    /// A doctor cleared the golfer to play, or it needs none.
    pub(super) cleared: bool,
    /// It was said since that nothing grave is about it.
    pub(super) no_pain: bool,
    /// Something was said to hurt, not as long past.
    pub(super) hurts: bool,
    /// A health professional has seen it and said that swinging is fine.
    pub(super) seen: bool,
    pub(super) held: Option<CautionId>,
    /// Cautions said beside an answer, each once in a talk.
    pub(super) cautioned: Vec<CautionId>,
    pub(super) grave: bool,
    pub(super) hand_asked: bool,
    /// Said to the question of the hand, of what is asked next.
    pub(super) kept_answer: Option<String>,
    pub(super) because: Option<CauseId>,
    pub(super) of_a_pupil: bool,
    /// The golfer is said to be a child.
    pub(super) child: bool,
    /// What was told is a part of golf that is left to others: which, until a club is named.
    pub(super) left_to_others: Option<String>,
    /// The golfer counts the shots that go wrong, not those that come off.
    pub(super) counts_faults: bool,
}

/// Questions put before the answer, unless the golfer asks for more.
pub(super) const FEW_QUESTIONS: usize = 3;

impl Talk {
    pub(super) fn new(hand: Option<Hand>) -> Self {
        Self {
            hand,
            questions_allowed: FEW_QUESTIONS,
            ..Self::default()
        }
    }

    /// Every answer that holds: those of this talk, then those of earlier lessons that no answer of
    /// this talk takes the place of.
    pub(super) fn all_answers(&self) -> Vec<(CheckId, bool)> {
        let earlier = self
            .lasting
            .iter()
            .filter(|(check, _)| self.answers.iter().all(|(c, _)| c != check));
        self.answers.iter().chain(earlier).copied().collect()
    }

    /// What practice has to have regard for.
    pub(super) const fn care(&self) -> Care {
        Care {
            child: self.child,
            ailing: !self.ails.is_empty() && !self.nothing_hurts(),
            seen: self.seen,
            eased: !self.ails.is_empty() && self.nothing_hurts(),
        }
    }

    /// Stiff or cleared by a doctor, and nothing hurts.
    pub(super) const fn nothing_hurts(&self) -> bool {
        (self.stiff || self.cleared) && self.no_pain
    }

    /// Notes what came of practice, in place of what was known of it.
    pub(super) fn tried(&mut self, cause: CauseId, helped: bool, words: String) {
        self.practised.retain(|t| t.cause != cause);
        self.practised.push(Tried {
            cause,
            helped,
            words,
        });
    }

    /// What has to be answered before anything is practised.
    pub(super) const fn safety_question(&self, caution: CautionId) -> Question {
        if self.grave {
            Question::Leave(caution)
        } else {
            Question::Safety(caution)
        }
    }

    /// What the reader needs to know of earlier lines.
    pub(super) fn context(&self) -> Context {
        let mut context = Context {
            hand: self.hand,
            scope: self.scope.clone(),
            mark: self.said.last().is_some_and(|line| names_a_mark(line)),
            ..Context::default()
        };
        for statement in self.statements.iter().filter(|s| !s.dropped) {
            match statement.finding.what {
                What::Symptom(symptom) if statement.finding.polarity == Polarity::Present => {
                    context.present.push(symptom);
                }
                What::Number(number) => context.measured.push(number),
                What::Symptom(_) | What::AllWell => {}
            }
        }
        context
    }

    /// The causes that the words sound like.
    pub(super) fn sounds_like(&self) -> Vec<CauseId> {
        self.sounds.iter().map(|s| s.cause).collect()
    }

    /// True if nothing was told that could be judged.
    pub(super) fn is_empty(&self) -> bool {
        self.tells_nothing() && self.sounds.is_empty()
    }

    /// True if nothing was read that could be judged, whatever the words sound like.
    pub(super) fn tells_nothing(&self) -> bool {
        self.statements.iter().all(|s| s.dropped)
            && self.answers.is_empty()
            && self.hints.is_empty()
            && self.practised.is_empty()
    }

    /// The case as told. The second list gives each finding's statement.
    pub(super) fn case(&self, base: &KnowledgeBase) -> (Case, Vec<usize>) {
        let mut case = Case::default();
        let mut places: Vec<usize> = Vec::new();
        for (index, statement) in self.statements.iter().enumerate() {
            if statement.dropped || self.replaced(index) {
                continue;
            }
            case.findings.push(Finding {
                pattern: pattern(base, &statement.finding.pattern),
                what: stated(&statement.finding),
                same_words_as: None,
            });
            places.push(index);
        }
        self.link_same_words(&mut case, &places);
        case.answers = self.all_answers();
        case.asked.clone_from(&self.asked);
        case.hints = self
            .hints
            .iter()
            .map(|(cause, weight, _)| (*cause, *weight))
            .collect();
        case.sounds = self.sounds.iter().map(|s| (s.cause, s.weight)).collect();
        case.practised = self.practised.iter().map(|t| (t.cause, t.helped)).collect();
        case.focus = self.focus(base);
        (case, places)
    }

    /// True if all that was told is of ground that shows no turf mark, but for balls on a peg.
    pub(super) fn without_turf(&self, base: &KnowledgeBase) -> bool {
        crate::diagnosis::without_turf(base, &self.case(base).0)
    }

    /// Ties a symptom to the number that the same words gave.
    fn link_same_words(&self, case: &mut Case, places: &[usize]) {
        let key = |place: usize| {
            let statement = self.statements.get(place)?;
            let number = matches!(statement.finding.what, What::Number(_));
            Some((statement.line, statement.finding.said, number))
        };
        let keys: Vec<_> = places.iter().map(|p| key(*p)).collect();
        for (finding, own) in case.findings.iter_mut().zip(&keys) {
            if let Some((line, said, false)) = own {
                finding.same_words_as = keys.iter().position(|k| *k == Some((*line, *said, true)));
            }
        }
    }

    /// A later number of the same quantity and pattern takes the place of an earlier one.
    fn replaced(&self, index: usize) -> bool {
        let Some(own) = self.statements.get(index) else {
            return true;
        };
        let What::Number(number) = own.finding.what else {
            return false;
        };
        self.statements.iter().skip(index + 1).any(|later| {
            !later.dropped
                && later.finding.pattern == own.finding.pattern
                && matches!(later.finding.what, What::Number(n) if n.quantity == number.quantity)
        })
    }

    /// The pattern last complained of: the one of the newest line with a present finding. A line
    /// about several leaves the choice to the diagnosis.
    fn focus(&self, base: &KnowledgeBase) -> Option<Pattern> {
        // A handicap is of no club.
        let of_the_golfer = |n: reading::Number| base.quantity(n.quantity).id == "handicap";
        let complaint = |s: &&Statement| {
            !s.dropped
                && s.finding.polarity == Polarity::Present
                && !matches!(s.finding.what, What::AllWell)
                && !matches!(s.finding.what, What::Number(n) if of_the_golfer(n))
        };
        let Some(newest) = self.statements.iter().rev().find(complaint).map(|s| s.line) else {
            // Nothing complained of yet: the clubs that are spoken of.
            let spoken_of = !self.scope.groups.is_empty();
            return spoken_of.then(|| pattern(base, &self.scope));
        };
        let mut patterns: Vec<Pattern> = Vec::new();
        for statement in self
            .statements
            .iter()
            .filter(complaint)
            .filter(|s| s.line == newest)
        {
            let p = pattern(base, &statement.finding.pattern);
            if !patterns.contains(&p) {
                patterns.push(p);
            }
        }
        // Where one club is named, that is the one.
        if patterns.iter().any(|p| p.said) {
            patterns.retain(|p| p.said);
        }
        match patterns.as_slice() {
            [one] => Some(one.clone()),
            _ => None,
        }
    }

    /// Takes back every statement with this symptom, or with this quantity.
    pub(super) fn drop_symptom(&mut self, symptom: SymptomId, before_line: usize) {
        for statement in &mut self.statements {
            if statement.line < before_line && statement.finding.what == What::Symptom(symptom) {
                statement.dropped = true;
            }
        }
    }

    /// Takes back every number of this quantity told before the line, with what its words amount to.
    pub(super) fn drop_quantity(&mut self, quantity: QuantityId, before_line: usize) {
        let spans: Vec<(usize, reading::Span)> = self
            .statements
            .iter()
            .filter(|s| s.line < before_line)
            .filter(|s| matches!(s.finding.what, What::Number(n) if n.quantity == quantity))
            .map(|s| (s.line, s.finding.said))
            .collect();
        for statement in &mut self.statements {
            if spans.contains(&(statement.line, statement.finding.said)) {
                statement.dropped = true;
            }
        }
    }

    /// Numbers told before any club was named are of the clubs that the next line names, if it names
    /// one kind and tells of its shots. True if any were.
    pub(super) fn adopt_clubs(&mut self, line: usize) -> bool {
        let bare = |p: &reading::Pattern| p.clubs.is_empty() && p.groups.is_empty();
        let told = |s: &&Statement| !s.dropped;
        let before = || {
            self.statements
                .iter()
                .filter(told)
                .filter(|s| s.line < line)
        };
        let mut now = self
            .statements
            .iter()
            .filter(told)
            .filter(|s| s.line == line);
        let number = |s: &Statement| matches!(s.finding.what, What::Number(_));
        let Some(named) = now.next().map(|s| s.finding.pattern.clone()) else {
            return false;
        };
        let one = !bare(&named)
            && now.all(|s| {
                let p = &s.finding.pattern;
                (&p.clubs, &p.groups) == (&named.clubs, &named.groups)
                    && s.finding.what != What::AllWell
            });
        let numbers =
            before().next().is_some() && before().all(|s| number(s) && bare(&s.finding.pattern));
        if !one || !numbers {
            return false;
        }
        for statement in self.statements.iter_mut().filter(|s| s.line < line) {
            let lie = statement.finding.pattern.lie;
            statement.finding.pattern = reading::Pattern {
                lie: lie.or(named.lie),
                ..named.clone()
            };
        }
        true
    }

    /// Moves the statements of the last line that told any to other clubs; those of earlier lines
    /// too, if all spoke of the same.
    pub(super) fn change_clubs(&mut self, to: &reading::Pattern, before_line: usize) {
        let last = self
            .statements
            .iter()
            .filter(|s| !s.dropped && s.line < before_line)
            .map(|s| s.line)
            .max();
        let mut clubs = self
            .statements
            .iter()
            .filter(|s| !s.dropped && s.line < before_line)
            .map(|s| (&s.finding.pattern.clubs, &s.finding.pattern.groups));
        let first = clubs.next();
        let one = clubs.all(|c| Some(c) == first);
        let moved = |line: usize| line < before_line && (one || Some(line) == last);
        // "No, those were with the irons": what was fine stays with the club that was.
        let well = |s: &Statement| s.finding.what == What::AllWell;
        let faults = self
            .statements
            .iter()
            .any(|s| !s.dropped && moved(s.line) && !well(s));
        for statement in self
            .statements
            .iter_mut()
            .filter(|s| moved(s.line) && !(faults && well(s)))
        {
            statement.finding.pattern.clubs.clone_from(&to.clubs);
            statement.finding.pattern.groups.clone_from(&to.groups);
            if to.lie.is_some() {
                statement.finding.pattern.lie = to.lie;
            }
        }
    }
}

/// What a read finding states.
fn stated(finding: &reading::Finding) -> Stated {
    match finding.what {
        What::AllWell => Stated::AllWell,
        What::Symptom(symptom) => Stated::Symptom {
            symptom,
            present: match finding.polarity {
                Polarity::Present => Some(true),
                Polarity::Absent => Some(false),
                Polarity::Unsure => None,
            },
            often: finding.often.or_else(|| finding.count.and_then(share)),
        },
        What::Number(number) => Stated::Number {
            quantity: number.quantity,
            value: number.value,
            shots: number.shots,
        },
    }
}

/// The share that a count stands for: a few shots say little, so it is drawn toward one half.
fn share(count: Count) -> Option<f64> {
    let of = f64::from(count.of?);
    (of >= 1.0).then(|| (f64::from(count.hits).min(of) + 1.0) / (of + 2.0))
}

/// The clubs and the lie as one group to reason about: the single club's, or the middle one of the
/// groups named.
pub(super) fn pattern(base: &KnowledgeBase, said: &reading::Pattern) -> Pattern {
    let usual = crate::diagnosis::usual_pattern(base);
    let club = match said.clubs.as_slice() {
        [one] => Some(*one),
        _ => None,
    };
    let group: Option<GroupId> = club.map(|c| base.club(c).group).or_else(|| {
        if said.groups.contains(&usual.group) {
            Some(usual.group)
        } else {
            said.groups.first().copied()
        }
    });
    match group {
        Some(group) => Pattern {
            club,
            group,
            said: true,
            groups: said.groups.clone(),
            lie: said.lie,
        },
        None => Pattern {
            lie: said.lie,
            ..usual
        },
    }
}
