//! Which shots are left to others: those from sand beside the green, and what was put aside before.
//!
//! Takes a reading and the line; gives the note that leaves it to others. A splash from greenside sand
//! is meant to take the sand first, so nothing that is known here of ball and turf holds of it. A
//! fairway bunker, said so or played with a long club, is another matter. Judges nothing.

use super::names::words;
use super::note::Note;
use super::talk::Talk;
use crate::reading::{Reading, Tone};

/// Words that name the sand, or the shot from it.
const SAND: [&str; 7] = [
    "bunker",
    "bunkers",
    "sand",
    "trap",
    "traps",
    "splash",
    "explosion",
];

/// Words that say something of the bunker itself and not of a shot from it.
const BESIDE: [&str; 8] = [
    "into", "over", "in front", "short of", "toward", "towards", "left of", "right of",
];

/// True if a short line tells of putts and names no club: "my putts go left" asks for no hand.
fn of_putts(reading: &Reading, line: &str) -> bool {
    /// A longer line tells of more.
    const SHORT: usize = 9;
    const PUTTS: [&str; 5] = ["putt", "putts", "putted", "putter", "putters"];
    let said = words(&line.to_lowercase());
    let club = !(reading.scope.clubs.is_empty() && reading.scope.groups.is_empty());
    let other = |w: &String| FULL.contains(&w.as_str()) || SHORT_GAME.contains(&w.as_str());
    let putts = |w: &String| PUTTS.contains(&w.as_str());
    let mine = said.windows(2).any(|w| w == ["my", "putting"]);
    !club && said.len() <= SHORT && (mine || said.iter().any(putts)) && !said.iter().any(other)
}

/// Shots that are told of beside putts.
const SHORT_GAME: [&str; 9] = [
    "chip", "chips", "chipping", "pitch", "pitches", "pitching", "approach", "drive", "drives",
];

/// Wedges by name and by loft.
const WEDGES: [&str; 12] = [
    "wedge", "wedges", "sw", "lw", "gw", "50", "52", "54", "56", "58", "60", "64",
];

/// Words that speak of full swings again.
const FULL: [&str; 12] = [
    "full", "tee", "fairway", "range", "divot", "divots", "turf", "grass", "rough", "mat", "mats",
    "swing",
];

/// The part of golf put aside before, if the line still speaks of it: no club is named, or after sand none
/// but a wedge.
pub(super) fn still_left(talk: &Talk, reading: &Reading, line: &str) -> Option<Note> {
    let topic = talk.left_to_others.as_ref()?;
    let said = words(&line.to_lowercase());
    let of = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
    let wedge = topic != "putting" && of(&WEDGES);
    let none_named = reading.scope.clubs.is_empty() && reading.scope.groups.is_empty();
    let club = !none_named && !wedge;
    let tells = match reading.tone {
        Tone::Talk | Tone::Nothing | Tone::OutOfScope(_) => true,
        Tone::Greeting
        | Tone::Thanks
        | Tone::Goodbye
        | Tone::OffTopic
        | Tone::Abuse
        | Tone::OtherLanguage(_) => false,
    };
    (tells && !club && !of(&FULL)).then(|| Note::OutOfScope(topic.clone()))
}

/// The note that leaves a shot from greenside sand to others; none if it is no such shot.
pub(super) fn left_to_others(talk: &Talk, reading: &Reading, line: &str) -> Option<Note> {
    if of_putts(reading, line) && talk.tells_nothing() {
        return Some(Note::OutOfScope("putting".to_owned()));
    }
    let lower = line.to_lowercase();
    let said = words(&lower);
    let of = |list: &[&str]| said.iter().any(|w| list.contains(&w.as_str()));
    let topic = || Note::OutOfScope("greenside bunker".to_owned());
    // The lie of the last complaint is no help: a club that is named decides.
    let long_club = reading.findings.iter().any(|f| {
        f.pattern.clubs.len() + f.pattern.groups.len() > 0
            && !of(&["greenside"])
            && !of(&["wedge", "wedges", "sw", "lw"])
    });
    let sand_shot = said.windows(2).any(|pair| {
        let [of, shot] = pair else {
            return false;
        };
        let sand = ["bunker", "bunkers", "sand", "trap"].contains(&of.as_str());
        sand && ["shot", "shots", "play"].contains(&shot.as_str())
    });
    let named = [
        "greenside bunker",
        "greenside sand",
        "splash shot",
        "explosion shot",
    ];
    let in_it = of(&["bunker", "bunkers"]) && of(&["greenside"]) && of(&["in", "from", "out"]);
    let from_sand = sand_shot || in_it || named.iter().any(|words| lower.contains(words));
    let fairway = of(&["fairway"]) || reading.findings.iter().any(|f| f.pattern.lie.is_some());
    // "Over the bunker", not "thin it over the green".
    let near_sand = |rest: &str| {
        let mut next = rest.split_whitespace().take(4);
        next.any(|w| SAND.contains(&w.trim_matches(|c: char| !c.is_alphanumeric())))
    };
    let beside = BESIDE.iter().any(|w| {
        let mut places = lower.match_indices(w);
        places.any(|(at, w)| lower.get(at + w.len()..).is_some_and(near_sand))
    });
    if from_sand && of(&SAND) && !fairway && !beside && !long_club && talk.tells_nothing() {
        return Some(topic());
    }
    let named_again = said == ["greenside"];
    let told = Tone::OutOfScope("greenside bunker".to_owned());
    (named_again && talk.tells_nothing() || reading.tone == told).then(topic)
}
