//! In what light does each word stand? Function words in, one frame a word out: denied, doubted,
//! past, wished, feared, conditional, somebody else's, quoted.
//!
//! A negation reaches to the end of its clause, six words at most, and no further than "but",
//! "just" or a fresh "it's" after what it denied. Doubt covers its whole clause. Wishes, fears and
//! the past end with their clause or at "now" and "but", and carry over "and"; what "was" is past
//! only if the sentence goes on with "now"; conditions and
//! other people reach to the end of the sentence. What has stopped, turned into something else or come
//! back colours what was told before it. Which phrases do what stands in the lexicon.

use super::Why;
use super::backward::{is_told, over_whole_clauses};
use super::clauses::Line;
use super::letters::Mark;
use crate::knowledge::lexicon::{Meaning, Role};

/// Words a negation reaches over, fillers not counted (common: five or six).
const REACH: usize = 6;

/// Words before "until" or "since" that are looked back over (elicited).
const BACK: usize = 24;

/// The light one word stands in.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each says one thing about a word, in any mixture"
)]
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Frame {
    /// Denied.
    pub(super) not: bool,
    /// Denied as a rule only: sometimes so.
    pub(super) not_always: bool,
    pub(super) unsure: bool,
    pub(super) hedge: bool,
    /// Compared with the usual.
    pub(super) change: bool,
    pub(super) why: Option<Why>,
    /// Part of a correction.
    pub(super) correct: bool,
}

/// A wish or a question to know, as words from and to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    pub(super) to_know: bool,
    pub(super) from: usize,
    pub(super) to: usize,
}

/// The frames of all words and the goals met on the way.
#[derive(Debug, Default)]
pub(super) struct Frames {
    pub(super) at: Vec<Frame>,
    pub(super) wanted: Vec<Wanted>,
}

#[allow(
    clippy::struct_excessive_bools,
    reason = "each says one thing about the words so far, in any mixture"
)]
#[derive(Default)]
struct State {
    frame: Frame,
    /// Words left that the negation reaches.
    reach: usize,
    /// Something was denied since the negation began.
    hit: bool,
    /// "Not so much fat as thin": "as" ends what is denied.
    so_much: bool,
    quoted: bool,
    other: bool,
    conditional: bool,
}

/// Goes over the line once.
pub(super) fn frames(line: &Line<'_>) -> Frames {
    let mut out = Frames::default();
    let mut state = State::default();
    let mut at = 0;
    while at < line.words.len() {
        reset_at_border(line, at, &mut state);
        let to = match line.match_at(at) {
            Some(found) if found.from == at => found.to,
            _ => at + 1,
        };
        if state.so_much && state.hit && line.is_word(at, "as") {
            state.frame.not = false;
        }
        if from_then_on(line, at, &mut out) || state.frame.not && begins_anew(line, at) {
            state.frame.not = false;
        }
        so_now(line, at, &mut out);
        if let Some(role) = line.role_at(at) {
            apply(line, role, at, to, &mut state, &mut out);
        }
        let subject = matches!(
            line.meaning_at(at),
            Some(
                Meaning::Symptoms(_) | Meaning::Hint(_) | Meaning::AllWell | Meaning::OneOf { .. }
            )
        );
        // "No trouble with fat shots": what follows in the clause is denied.
        let no_trouble = matches!(line.meaning_at(at), Some(Meaning::AllWell))
            && line.words.get(at).is_some_and(|w| w.denies)
            && !state.frame.not;
        let frame = Frame {
            why: state
                .frame
                .why
                .or(state.other.then_some(Why::Other))
                .or(state.quoted.then_some(Why::Quoted))
                .or(state.conditional.then_some(Why::If)),
            ..state.frame
        };
        out.at.extend(std::iter::repeat_n(frame, to - at));
        if state.frame.not {
            state.hit |= subject;
            let counts = line.words.get(at).is_some_and(|w| !w.filler);
            state.reach = state.reach.saturating_sub(usize::from(counts));
            if state.reach == 0 {
                state.frame.not = false;
            }
        }
        if no_trouble {
            state.frame.not = true;
            state.reach = REACH;
            state.hit = false;
        }
        at = to;
    }
    over_whole_clauses(line, &mut out);
    before_now(line, &mut out);
    turned_into(line, &mut out);
    never_until(line, &mut out);
    begun_again(line, &mut out);
    out
}

/// "I had a slice, now I hook": what was before "now" is past, if something is told after it.
fn before_now(line: &Line<'_>, out: &mut Frames) {
    let told = |i: usize| {
        matches!(
            line.meaning_at(i),
            Some(Meaning::Symptoms(_) | Meaning::OneOf { .. } | Meaning::AllWell)
        )
    };
    let name = |i: usize| {
        let word = line.words.get(i).and_then(|w| w.symbol);
        word.map_or("", |s| line.phrases.vocabulary.name(s))
    };
    let number = |i: usize| line.words.get(i).is_some_and(|w| w.number.is_some());
    // "Went 140 and now only 120", "chunky 2 days ago, now pure".
    let went = |i: usize| {
        let far = matches!(line.meaning_at(i), Some(Meaning::Quantity(_)))
            && matches!(name(i), "went" | "flew" | "carried");
        far || line.role_at(i) == Some(Role::Was) && name(i) == "was" && number(i + 1)
    };
    let mut was: Option<usize> = None;
    for at in 0..out.at.len() {
        if went(at) || matches!(name(at), "ago" | "yesterday") {
            was = was.or(Some(at));
        }
        // "Yesterday was all slices, today all hooks".
        if name(at) == "yesterday" {
            continue;
        }
        match line.role_at(at) {
            Some(Role::Was) => was = was.or(Some(at)),
            Some(Role::Now) => {
                let (mut from, to) = line.clause_range(at);
                let Some(first) = was.take() else {
                    continue;
                };
                let far = went(first) && (at..to.min(at + 4)).any(number);
                let one = line.same_clause(first, at);
                if line.sentence.get(first) != line.sentence.get(at)
                    || one && !far
                    || !((at..to).any(told) || far)
                {
                    continue;
                }
                let (mut start, _) = line.clause_range(first);
                if one {
                    (start, from) = (first, at);
                }
                for frame in out.at.get_mut(start..from).unwrap_or(&mut []) {
                    frame.why = frame.why.or(Some(Why::Past));
                }
            }
            _ => {}
        }
        if line.sentence.get(at) != line.sentence.get(at + 1) {
            was = None;
        }
    }
}

/// "Stopped slicing in June, started again this week": what had stopped is so now.
fn begun_again(line: &Line<'_>, out: &mut Frames) {
    const BEGUN: [&str; 9] = [
        "started", "begun", "began", "is", "are", "came", "come", "its", "theyre",
    ];
    let is = |at: usize, words: &[&str]| words.iter().any(|w| line.is_word(at, w));
    for at in 1..out.at.len() {
        let again = is(at, &["again", "back"]) && is(at - 1, &BEGUN) || is(at, &["returned"]);
        let sentence = line.sentence_range(at);
        // A phrase that begins with these words tells of them, not of another shot.
        let after = |i: usize| is_told(line, i) && line.match_at(i).is_some_and(|m| m.from > at);
        if !again || (at..sentence.end).any(after) {
            continue;
        }
        for frame in out.at.get_mut(sentence.start..at).unwrap_or(&mut []) {
            if frame.why == Some(Why::Stopped) {
                frame.why = None;
                frame.not = false;
            }
        }
    }
}

/// "Until last month I never shanked": what was denied up to then is so now.
fn never_until(line: &Line<'_>, out: &mut Frames) {
    let is = |at: usize, words: &[&str]| words.iter().any(|w| line.is_word(at, w));
    for at in 0..out.at.len() {
        let sentence = line.sentence_range(at);
        let opens = !(sentence.start..at).any(|i| is_told(line, i) || is(i, &["not", "never"]));
        if !is(at, &["until", "till", "til"]) || !opens {
            continue;
        }
        let never = ["never", "havent", "hadnt", "hasnt", "didnt"];
        let Some(from) = (at..sentence.end).find(|i| is(*i, &never)) else {
            continue;
        };
        for place in from..sentence.end {
            if let Some(frame) = out.at.get_mut(place)
                && (frame.not || frame.why == Some(Why::Past))
            {
                frame.not = false;
                frame.why = None;
            }
        }
    }
}

/// "My old draw has turned into a hook", "twelve months ago it was a slice": what it has come from is past.
fn turned_into(line: &Line<'_>, out: &mut Frames) {
    const TURNED: [&str; 7] = [
        "turned",
        "morphed",
        "changed",
        "developed",
        "evolved",
        "grown",
        "gone",
    ];
    let is = |at: usize, words: &[&str]| words.iter().any(|w| line.is_word(at, w));
    for at in 1..out.at.len() {
        let (from, to) = line.clause_range(at);
        let into = is(at, &["into"]) && is(at - 1, &TURNED)
            || is(at, &["become", "becomes", "became", "becoming"]);
        // "Gone from a slice to a hook".
        let left = is(at, &["from"])
            && is(
                at - 1,
                &["gone", "went", "going", "switched", "changed", "moved"],
            );
        let arrived = || {
            let there = (at..to).find(|i| line.is_word(*i, "to"))?;
            let both =
                (at..there).any(|i| is_told(line, i)) && (there..to).any(|i| is_told(line, i));
            both.then_some(there)
        };
        let past = if let Some(there) = left.then(arrived).flatten() {
            at..there
        } else if into && (at..to).any(|i| is_told(line, i)) {
            from..at
        } else if is(at, &["ago"])
            && is(
                at - 1,
                &["months", "years", "seasons", "month", "year", "season"],
            )
            && (from..to).any(|i| line.role_at(i) == Some(Role::Was))
        {
            from..to
        } else {
            continue;
        };
        for frame in out.at.get_mut(past).unwrap_or(&mut []) {
            frame.why = frame.why.or(Some(Why::Past));
        }
    }
}

fn reset_at_border(line: &Line<'_>, at: usize, state: &mut State) {
    let Some(before) = at.checked_sub(1) else {
        return;
    };
    if line.sentence.get(before) != line.sentence.get(at) {
        *state = State::default();
        return;
    }
    if line.same_clause(before, at) {
        return;
    }
    state.frame.not = false;
    state.frame.not_always = false;
    state.hit = false;
    let by_mark = line.words.get(before).is_some_and(|w| w.mark.is_some());
    let correct = state.frame.correct;
    if by_mark {
        state.frame = Frame {
            correct,
            ..Frame::default()
        };
        state.quoted = false;
    }
}

fn apply(line: &Line<'_>, role: Role, at: usize, to: usize, state: &mut State, out: &mut Frames) {
    let first_of_sentence = at == 0 || line.sentence.get(at - 1) != line.sentence.get(at);
    match role {
        Role::Not | Role::No => {
            let comma = line.words.get(to).and_then(|w| w.mark) == Some(Mark::Comma);
            if first_of_sentence && comma {
                state.frame.correct = true;
            } else if answers_only(line, at, to) {
                // "No the 3 wood slices too" denies what was asked, not what it goes on with.
            } else {
                state.frame.not = true;
                state.reach = REACH + 1;
                state.hit = false;
                state.so_much = (at..to + 2).any(|i| line.is_word(i, "much"));
            }
        }
        Role::Without => {
            state.frame.not = !state.frame.not || state.hit;
            state.reach = REACH + 1;
            state.hit = false;
        }
        Role::NotAlways => state.frame.not_always = true,
        Role::NoNegation => state.frame.not = false,
        Role::Break => {
            *state = State {
                frame: Frame {
                    correct: state.frame.correct,
                    ..Frame::default()
                },
                ..State::default()
            };
        }
        Role::Only => {
            let ended = state.hit || at > 0 && line.is_word(at - 1, "nothing");
            state.frame.not = state.frame.not && !ended;
        }
        Role::Me => {
            state.frame.not = state.frame.not && !state.hit;
            state.other = false;
        }
        Role::Now => {
            state.frame.why = None;
            state.frame.not = false;
        }
        Role::Unsure => state.frame.unsure |= !before_a_number(line, to),
        Role::Hedge => state.frame.hedge = true,
        Role::Change => state.frame.change = true,
        Role::Past => state.frame.why = Some(Why::Past),
        Role::Stopped => state.frame.why = Some(Why::Stopped),
        Role::Fear => state.frame.why = Some(Why::Feared),
        Role::If => state.conditional = true,
        Role::Other => state.other = true,
        Role::Quote => state.quoted = true,
        Role::Wish | Role::Ask => {
            let (_, end) = line.clause_range(at);
            out.wanted.push(Wanted {
                to_know: role == Role::Ask,
                from: at,
                to: end,
            });
            if role == Role::Wish {
                state.frame.why = Some(Why::Wished);
            }
        }
        // "Fat, but not thin": no exception, a denial.
        Role::Except if denies(line, at, to) => {
            state.frame.not = true;
            state.reach = REACH + 1;
            state.hit = false;
        }
        Role::Correct => {
            state.frame = Frame {
                correct: true,
                ..Frame::default()
            };
        }
        _ => {}
    }
}

/// "Never sliced until I changed my grip": what was denied up to then is so; "haven't shanked one since
/// Easter": what was denied from then on was so before.
fn from_then_on(line: &Line<'_>, at: usize, out: &mut Frames) -> bool {
    let is = |at: usize, words: &[&str]| words.iter().any(|w| line.is_word(at, w));
    let until = is(at, &["until", "till", "til"]);
    if !(until || is(at, &["since"])) || at == 0 {
        return false;
    }
    let (from, _) = line.clause_range(at - 1);
    let from = from.max(at.saturating_sub(BACK));
    let told = |i: usize| {
        let symptom = matches!(line.meaning_at(i), Some(Meaning::Symptoms(_)));
        symptom && out.at.get(i).is_some_and(|f| f.not)
    };
    let not = (from..at).find(|i| is(*i, &["never", "havent", "hadnt", "hasnt", "didnt"]));
    if not.is_none_or(|i| !(i..at).any(told)) || line.sentence.get(from) != line.sentence.get(at) {
        return false;
    }
    for frame in out.at.get_mut(from..at).unwrap_or(&mut []) {
        frame.not = false;
        frame.not_always = false;
        frame.why = (!until).then_some(Why::Stopped);
    }
    true
}

/// "Never had a hook in my life and this week that's all I've got": what was denied up to then is all
/// there is now.
fn so_now(line: &Line<'_>, at: usize, out: &mut Frames) {
    let is = |at: usize, words: &[&str]| words.iter().any(|w| line.is_word(at, w));
    let all = at > 0
        && is(at, &["all"])
        && is(at - 1, &["thats", "its", "is"])
        && is(
            at + 1,
            &["i", "ive", "im", "we", "weve", "it", "they", "he", "she"],
        );
    if !all {
        return;
    }
    let first = |at: usize| {
        let sentence = line.sentence.get(at);
        line.sentence.partition_point(|s| Some(s) < sentence)
    };
    let told = |i: usize| matches!(line.meaning_at(i), Some(Meaning::Symptoms(_)));
    let mut from = first(at);
    if !(from..at).any(told) && from > 0 {
        from = first(from - 1);
    }
    let from = from.max(at.saturating_sub(BACK));
    let never = (from..at).any(|i| is(i, &["never", "havent", "hadnt", "hasnt", "didnt", "no"]));
    if never {
        for frame in out.at.get_mut(from..at).unwrap_or(&mut []) {
            frame.not = false;
            frame.not_always = false;
            frame.why = None;
        }
    }
}

/// "Not fat, not thin either it just feels dead", "nothing wrong with direction it's just that ...":
/// a new subject with "just" ends what was denied, unless it is what is thought or said.
fn begins_anew(line: &Line<'_>, at: usize) -> bool {
    let is = |at: usize, words: &[&str]| words.iter().any(|w| line.is_word(at, w));
    let subject = is(
        at,
        &[
            "it", "its", "i", "im", "ive", "they", "theyre", "he", "hes", "she", "shes", "we",
            "you",
        ],
    );
    let thought = [
        "think", "thinking", "say", "saying", "believe", "mean", "know", "that", "if", "as",
        "like", "sure",
    ];
    subject
        && is(at + 1, &["just", "only", "simply", "merely"])
        && at.checked_sub(1).is_some_and(|before| {
            let denial = matches!(line.role_at(before), Some(Role::Not | Role::No));
            !denial && !is(before, &thought)
        })
}

/// True for a "no" that opens a sentence and stands before a new subject.
fn answers_only(line: &Line<'_>, at: usize, to: usize) -> bool {
    const SUBJECTS: [&str; 15] = [
        "still", "the", "my", "i", "im", "ive", "it", "its", "they", "theyre", "he", "she", "we",
        "this", "these",
    ];
    let name = |i: usize| {
        let symbol = line.words.get(i).and_then(|w| w.symbol)?;
        Some(line.phrases.vocabulary.name(symbol))
    };
    let (from, _) = line.clause_range(at);
    let opens = (from..at).all(|i| {
        line.words
            .get(i)
            .is_some_and(|w| w.filler || w.mark.is_some())
    }) && (from == 0 || line.sentence.get(from - 1) != line.sentence.get(at));
    opens
        && to == at + 1
        && matches!(name(at), Some("no" | "nope" | "nah"))
        && name(to).is_some_and(|n| SUBJECTS.contains(&n))
}

/// True if words for an exception end in a denial and a symptom follows.
fn denies(line: &Line<'_>, at: usize, to: usize) -> bool {
    let not = (at..to).any(|i| line.words.get(i).is_some_and(|w| w.denies));
    let next = line.past_fillers(to);
    let symptom = matches!(
        line.meaning_at(next),
        Some(Meaning::Symptoms(_) | Meaning::OneOf { .. })
    );
    not && symptom
}

/// "Maybe 1 in 5": the number is not sure, what it counts is.
pub(super) fn before_a_number(line: &Line<'_>, after: usize) -> bool {
    let next = (after..line.words.len()).find(|i| line.words.get(*i).is_some_and(|w| !w.filler));
    next.and_then(|i| line.words.get(i))
        .is_some_and(|w| w.number.is_some())
}
