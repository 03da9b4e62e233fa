//! Which shots from sand are left to others: those from beside the green.
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

/// The note that leaves a shot from greenside sand to others; none if it is no such shot.
pub(super) fn left_to_others(talk: &Talk, reading: &Reading, line: &str) -> Option<Note> {
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
    let beside = BESIDE.iter().any(|w| lower.contains(w));
    if from_sand && of(&SAND) && !fairway && !beside && !long_club && talk.tells_nothing() {
        return Some(topic());
    }
    let named_again = said == ["greenside"];
    let told = Tone::OutOfScope("greenside bunker".to_owned());
    (named_again && talk.tells_nothing() || reading.tone == told).then(topic)
}
