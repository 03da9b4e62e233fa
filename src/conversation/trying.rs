//! What golfers say of what they tried: "that is too hard", "it made no difference", "I moved it back
//! and it still goes fat".
//!
//! Takes a line; knows by a few words that it is about what is being tried and nothing else. Too hard
//! gives an easier rung of the same practice, counted from new. No help in any words counts as "it did
//! not help". A change that was made and left the fault there speaks against its cause as practice
//! that did not help does, and whatever else the line says is taken as told of now. What is none of
//! these is left to others. Makes no sentence.

use super::names::spoken;
use super::note::Note;
use super::reply::{Block, Question, Reply};
use super::turn::Depth;
use super::{Session, command, cures};
use crate::lesson::{self, Entry, Stage};
use crate::vocabulary::CauseId;

/// Things that drills are done with.
const KIT: [&str; 24] = [
    "spray", "towel", "noodle", "box", "peg", "tee", "glove", "mirror", "board", "phone", "net",
    "tape", "chalk", "rod", "stick", "bucket", "chair", "wall", "rope", "sponge", "sheet", "coin",
    "camera", "marker",
];

/// Words that may stand about "too hard" and say nothing more.
const ABOUT: [&str; 56] = [
    "that", "thats", "this", "it", "its", "is", "was", "the", "a", "drill", "exercise", "one",
    "thought", "practice", "i", "he", "she", "we", "they", "him", "her", "me", "us", "them", "my",
    "pupil", "student", "son", "daughter", "find", "finds", "for", "to", "do", "far", "bit",
    "little", "just", "really", "much", "way", "still", "seems", "looks", "think", "at", "all",
    "did", "does", "made", "makes", "in", "anything", "whatever", "no", "sorry",
];
/// What something is that cannot be done.
const HARD: [&str; 7] = [
    "hard",
    "difficult",
    "complicated",
    "tricky",
    "tough",
    "advanced",
    "fiddly",
];
/// Who cannot do it.
const CANNOT: [&str; 4] = ["cant", "cannot", "couldnt", "unable"];

/// Whether all words are of a list or say nothing.
fn only(said: &[String], also: &[&str]) -> bool {
    let known = |w: &String| ABOUT.contains(&w.as_str()) || also.contains(&w.as_str());
    said.iter().all(known)
}

/// "That is too hard for him", "she can't do it".
fn too_hard(said: &[String]) -> bool {
    let has = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
    let mut words: Vec<&str> = vec!["too", "very"];
    words.extend(HARD);
    words.extend(CANNOT);
    words.push("manage");
    let hard = has(&["too", "very"]) && has(&HARD);
    let cannot = has(&CANNOT) && has(&["do", "manage"]) && has(&["it", "that", "this"]);
    (hard || cannot) && only(said, &words)
}

/// "It did not help him", "made no difference".
fn no_help(said: &[String]) -> bool {
    const NO: [&str; 9] = [
        "not", "didnt", "doesnt", "hasnt", "havent", "no", "never", "isnt", "nothing",
    ];
    const HELP: [&str; 11] = [
        "help",
        "helped",
        "work",
        "worked",
        "difference",
        "better",
        "change",
        "changed",
        "good",
        "improve",
        "improvement",
    ];
    let has = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
    let mut words: Vec<&str> = NO.to_vec();
    words.extend(HELP);
    words.extend(["any", "got", "get", "has", "have", "been"]);
    has(&NO) && has(&HELP) && only(said, &words)
}

/// "I practised like you said but I still top it": done, and no help.
fn done_and_still(line: &str) -> bool {
    const DONE: [&str; 10] = [
        "i practised",
        "i practiced",
        "i did the drill",
        "i did it",
        "i have done it",
        "ive done it",
        "ive done the drill",
        "did the drill",
        "i did what you said",
        "i tried what you said",
    ];
    const STILL: [&str; 6] = [
        " but i still ",
        " but still ",
        " and i still ",
        " and still ",
        " but it still ",
        " still ",
    ];
    let text = line.to_lowercase().replace(['\'', '\u{2019}'], "");
    let text = text.trim_start_matches("so ").trim_start_matches("well ");
    let counted = text.contains(|c: char| c.is_ascii_digit());
    DONE.iter().any(|w| text.starts_with(w)) && STILL.iter().any(|w| text.contains(w)) && !counted
}

/// What golfers do to a thing they were told of.
const CHANGED: [&str; 33] = [
    "weaken",
    "strengthen",
    "move",
    "widen",
    "narrow",
    "moved",
    "changed",
    "shifted",
    "weakened",
    "strengthened",
    "narrowed",
    "widened",
    "fixed",
    "corrected",
    "raised",
    "lowered",
    "loosened",
    "tightened",
    "closed",
    "opened",
    "squared",
    "tried",
    "put",
    "adjusted",
    "altered",
    "turned",
    "brought",
    "stood",
    "teed",
    "gripped",
    "aimed",
    "played",
    "stepped",
];
/// The thing.
const THING: [&str; 19] = [
    "away",
    "closer",
    "further",
    "higher",
    "lower",
    "it",
    "that",
    "this",
    "ball",
    "grip",
    "stance",
    "aim",
    "feet",
    "foot",
    "hands",
    "weight",
    "tee",
    "shoulders",
    "handle",
];
/// What divides what was done from what is so now.
const DIVIDES: [&str; 18] = [
    ": same ",
    ", same ",
    " and same ",
    ": still ",
    " and it was still ",
    " and it's still ",
    " and its still ",
    " and it is still ",
    " and i still ",
    " and it got ",
    ", but ",
    " but ",
    " and it still ",
    " and still ",
    ", still ",
    " and now ",
    ", now ",
    " yet ",
];

/// What was done, and what is so now in its own words.
fn change_and_now(line: &str) -> Option<(&str, &str)> {
    let lower = line.to_ascii_lowercase();
    let (at, joint) = DIVIDES
        .iter()
        .filter_map(|joint| Some((lower.find(joint)?, *joint)))
        .min()?;
    let (done, rest) = (line.get(..at)?, line.get(at + joint.len()..)?);
    let said = spoken(done);
    let has = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
    (has(&CHANGED) && has(&THING) && said.len() <= LONG).then_some((done, rest))
}

/// What is so now where the change did nothing good.
const NO_BETTER: [&str; 8] = [
    "worse",
    "even worse",
    "no better",
    "the same",
    "no different",
    "there",
    "happens",
    "did it",
];

/// What divides what was done from how much better it is.
const HELPED: [&str; 12] = [
    " and it was ",
    " and it is ",
    " and it's ",
    " and its ",
    " and they were ",
    " and they are ",
    " and that was ",
    " and that is ",
    " and that's ",
    " and ",
    ": ",
    ", ",
];

/// What is so now where the change did good.
const BETTER: [&str; 17] = [
    "better",
    "much better",
    "a lot better",
    "far better",
    "a bit better",
    "way better",
    "fine",
    "good",
    "great",
    "perfect",
    "gone",
    "cured",
    "fixed",
    "it was better",
    "it got better",
    "that helped",
    "it helped",
];

/// What was done, where all that is said of it is that it is better.
fn change_and_better(line: &str) -> Option<&str> {
    let lower = line.to_ascii_lowercase();
    let text = lower.trim_end_matches(['.', '!', ' ']);
    let (at, now) = HELPED
        .iter()
        .filter_map(|joint| {
            let at = text.rfind(joint)?;
            Some((at, text.get(at + joint.len()..)?))
        })
        .find(|(_, now)| BETTER.contains(&now.trim()))?;
    let (done, now) = (line.get(..at)?, now.trim());
    let said = spoken(done);
    let has = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
    (!now.is_empty() && has(&CHANGED) && has(&THING) && said.len() <= LONG).then_some(done)
}

/// More words than this are a story and no change.
const LONG: usize = 14;

impl Session {
    /// The reply to a line about what was tried; none if it is anything else.
    pub(super) fn of_trying(&mut self, line: &str) -> Option<Reply> {
        let said = spoken(line);
        if self.talk.prescribed.is_some() {
            if too_hard(&said) {
                return Some(self.easier());
            }
            if let Some(reply) = self.something_missing(&said) {
                return Some(reply);
            }
            if no_help(&said) || done_and_still(line) {
                return self.practised(false, line);
            }
        }
        self.change_helped(line).or_else(|| self.changed(line))
    }

    /// "I tried the ball back and it was better": a sign that what it is a cure for was there.
    fn change_helped(&mut self, line: &str) -> Option<Reply> {
        self.last.as_ref()?;
        let done = change_and_better(line)?;
        let cause = cures::made(self.base(), &done.to_lowercase())?;
        self.talk.tried(cause, true, line.trim().to_owned());
        if !matches!(self.talk.pending, Some(Question::Check(_)) | None) {
            return None;
        }
        self.talk.pending = None;
        let mut reply = Reply::note(Note::ChangeHelped(cause));
        reply.blocks.extend(self.turn(Depth::Told));
        Some(reply)
    }

    /// "I don't have any spray": another drill, where this one is done with what is missing.
    fn something_missing(&mut self, said: &[String]) -> Option<Reply> {
        const LACKS: [&str; 8] = [
            "havent", "without", "lack", "no", "dont", "not", "missing", "afford",
        ];
        const OF_HAVING: [&str; 10] = [
            "have", "havent", "got", "own", "get", "without", "no", "lack", "missing", "afford",
        ];
        let (_, drill) = self.talk.prescribed?;
        let has = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
        if !(has(&LACKS) && has(&OF_HAVING)) || said.len() > LONG {
            return None;
        }
        let base = self.base();
        let stem = |w: &str| w.trim_end_matches('s').to_owned();
        let takes = |how: &str, thing: &str| spoken(how).iter().any(|h| stem(h) == stem(thing));
        let mut things = KIT.iter().filter(|k| said.iter().any(|w| stem(w) == **k));
        let thing = *things.next()?;
        let cause = self.talk.prescribed?.0;
        let counted = base.task_counting(cause, Some(drill), self.talk.counted);
        if takes(&counted.success.count, thing) {
            return Some(Reply::note(Note::DoWithout(thing.to_owned())));
        }
        if takes(&base.drill(drill).how, thing) {
            let reply = self.other_drill();
            let none = |b: &Block| matches!(b, Block::Note(Note::NoOtherDrill(_)));
            if reply.blocks.iter().any(none) {
                return Some(Reply::note(Note::DoWithout(thing.to_owned())));
            }
            return Some(reply);
        }
        Some(Reply::note(Note::NotNeeded(thing.to_owned())))
    }

    /// The same practice on a lower rung, counted from new.
    fn easier(&mut self) -> Reply {
        let Some((cause, drill)) = self.talk.prescribed else {
            return Reply::default();
        };
        let agreed = lesson::agreed(&self.notebook.records);
        let standing = agreed.map(|a| (a.prescribed.clone(), a.baseline.is_some()));
        let Some((prescribed, begun)) = standing else {
            return Reply::note(Note::Easier { cause, balls: 0 });
        };
        let balls = prescribed.balls;
        if begun {
            // Another task is another start.
            self.note_down(Entry::Prescribed(prescribed));
        }
        self.talk.pending = Some(Question::Tally {
            stage: Stage::Baseline,
            cause,
            drill: Some(drill),
            count: self.talk.counted,
            balls,
        });
        Reply::note(Note::Easier { cause, balls })
    }

    /// "I tried keeping my head still and it got worse": a remedy of somebody's own, which shows no cause
    /// and is no habit.
    fn tried_in_vain(&mut self, line: &str) -> Option<Reply> {
        self.last.as_ref()?;
        let text = command::plain(line);
        let tried = [
            "i tried ",
            "i've tried ",
            "ive tried ",
            "we tried ",
            "he tried ",
            "she tried ",
            "tried ",
        ];
        let tried = tried.iter().any(|way| text.starts_with(way));
        let (_, now) = text
            .rsplit_once(" and it got ")
            .or_else(|| text.rsplit_once(", "))?;
        let now = now.trim_start_matches("it got ").trim_start_matches("but ");
        if !tried || !NO_BETTER.contains(&now) {
            return None;
        }
        let told = Block::Unused(vec![line.trim().to_owned()]);
        Some(self.asking_again(vec![told, Block::Note(Note::OtherRemedy)]))
    }

    /// A change that was made, and the fault is there still or another came.
    fn changed(&mut self, line: &str) -> Option<Reply> {
        let Some((done, now)) = change_and_now(line) else {
            return self.tried_in_vain(line);
        };
        let told = |(cause, weight, _): &(CauseId, f64, String)| (*weight > 0.0).then_some(*cause);
        let cured = cures::made(self.base(), &done.to_lowercase());
        let cause = match (cured, self.talk.prescribed) {
            (Some(cause), _) | (None, Some((cause, _))) => cause,
            (None, None) => self.talk.hints.iter().rev().find_map(told)?,
        };
        self.talk.hints.retain(|(c, _, _)| *c != cause);
        self.talk.tried(cause, false, line.trim().to_owned());
        self.talk.looked_at.retain(|c| *c != cause);
        self.talk.prescribed = self.talk.prescribed.filter(|(c, _)| *c != cause);
        self.talk.pending = None;
        let mut reply = Reply::note(Note::ChangeMade(cause));
        if NO_BETTER.contains(&command::plain(now).as_str()) {
            reply.blocks.extend(self.turn(Depth::Told));
            return Some(reply);
        }
        let told = self.talk_line(now);
        reply.blocks.extend(told.blocks);
        Some(reply)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn too_hard_is_said_in_many_ways_and_of_the_practice_alone() {
        for line in [
            "that is too hard for him",
            "that's too difficult",
            "it's way too complicated for her",
            "this drill is too hard",
            "I can't do it",
            "she can't do this drill at all",
            "my pupil finds that too tricky",
        ] {
            assert!(too_hard(&spoken(line)), "{line}");
        }
        for line in [
            "I swing too hard",
            "he tries too hard with the driver",
            "the mat is too hard",
            "I cant do my backswing",
            "too hard to hit a draw",
        ] {
            assert!(!too_hard(&spoken(line)), "{line}");
        }
    }

    #[test]
    fn no_help_is_said_in_many_ways() {
        for line in [
            "it didnt help at all",
            "it did not help him",
            "made no difference",
            "no better",
            "that hasn't helped",
            "it does not work for me",
        ] {
            assert!(no_help(&spoken(line)), "{line}");
        }
        for line in [
            "no",
            "it helped",
            "6 of 10, no better",
            "no change in the slice",
        ] {
            assert!(!no_help(&spoken(line)), "{line}");
        }
    }

    #[test]
    fn a_change_is_told_apart_from_what_is_so_now() {
        let now = |line| change_and_now(line).map(|(_, now)| now);
        assert_eq!(
            now("he moved it back 3 inches, better now but it still goes fat"),
            Some("it still goes fat")
        );
        assert_eq!(
            now("I weakened my grip and now it slices"),
            Some("it slices")
        );
        assert_eq!(now("I tried the ball back, still thin"), Some("thin"));
        assert_eq!(now("7 iron fat but the 8 iron is fine"), None);
        assert_eq!(now("I had him weaken it: same hook"), Some("hook"));
        let better = "I tried the ball back and it was better";
        assert_eq!(change_and_better(better), Some("I tried the ball back"));
        assert_eq!(
            change_and_better("I tried the 8 iron and it was better"),
            None
        );
    }
}
