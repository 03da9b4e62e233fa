//! Short replies of the learner's talk, each in one paragraph that says what to type next.

use super::super::listed;
use super::super::page::Page;
use super::number;
use crate::conversation::learning::{From, HIGHEST_CASE, Note};
use crate::knowledge::KnowledgeBase;
use crate::vocabulary::GroupId;

pub(super) fn note(base: &KnowledgeBase, note: &Note, page: &mut Page) {
    let text = match note {
        Note::Empty => "Ask the golfer something, or type \"help\" for what you can do.".to_owned(),
        Note::Cut(limit) => format!("The line was long; only its first {limit} bytes were read."),
        Note::NothingOpen => "No case is open. Type \"next\" for one, or \"course\". Of the last one you \
             can ask \"why\", \"why not\" and a cause, \"what if\" and a number, \"what would settle it\" and \"what \
             did I do wrong\"."
            .to_owned(),
        Note::StillOpen(case) => format!(
            "Case {case} is still open. \"commit\" when you know, or \"give up\" to see the answer."
        ),
        Note::NobodyFits => {
            "No golfer among several thousand fits that. Try another level or other clubs."
                .to_owned()
        }
        Note::OtherClubs(groups) => {
            let names: Vec<String> = groups.iter().map(|g| base.group(*g).name.clone()).collect();
            format!(
                "You asked for other clubs than it has: it is about {}. Take another level, or begin \
                 again without --group.",
                listed(&names)
            )
        }
        Note::Told(cause) => format!(
            "\"{}\" is a lie or the ground: told where it is so, and no cause to be named. Name what the golfer does \
             or brings along.",
            base.cause(*cause).name
        ),
        Note::LessonDone(lesson) => {
            let keep = base
                .lessons
                .iter()
                .nth(*lesson)
                .map_or("", |l| l.keep.as_str());
            format!("That was the lesson. Keep this: {keep}")
        }
        Note::NoCaseNumber(_) => {
            "A case has a whole number from 0 to 999999, such as: case 4821".to_owned()
        }
        Note::NoSuchLevel(n) => format!("Levels run from 1 to {n}; \"course\" lists them."),
        Note::NoSuchLesson(n) => format!("Lessons run from 1 to {n}; \"course\" lists them."),
        Note::NoSuchClaim(0) => "This lesson settles no claim.".to_owned(),
        Note::NoSuchClaim(n) => format!("The lesson has claims 1 to {n}, such as: claim 1"),
        Note::NotUnderstood(words, near) => {
            let near = near
                .as_ref()
                .map_or(String::new(), |n| format!(" The nearest cause is \"{n}\"."));
            if words.is_empty() {
                "Ask what? Such as: ask is the ball too far forward".to_owned()
            } else {
                format!(
                    "The golfer does not know what you mean by \"{words}\".{near} Ask it as yes or no, \
                     of shots, turf, flight or feel, such as: ask do you hit it fat; or of a cause by \
                     number, \"causes\" lists them. That cost no minute."
                )
            }
        }
        Note::FaultSaid(fault) => format!(
            "\"{}\" is a fault of the club. Say it after \"commit\"; until then ask what ball and turf do, \
             or type \"shots\".",
            base.effect(*fault).name
        ),
        Note::CauseSaid(cause) => format!(
            "To ask the golfer about \"{}\", type: ask {n} (1 min). To see for yourself: look {n}.",
            base.cause(*cause).name,
            n = number(*cause)
        ),
        Note::CauseTooEarly(cause) => format!(
            "\"{}\" is a cause; step 2 asks for it. First say what the club did at the ball, such as \
             \"low point behind the ball\", or \"skip\".",
            base.cause(*cause).name
        ),
        Note::FaultTooLate(fault) => format!(
            "\"{}\" is a fault, what the club did. Now name what the golfer does that brings it about, \
             with a chance, such as: hanging back 60. \"causes\" lists them; \"skip\" names none.",
            base.effect(*fault).name
        ),
        Note::AtStep(1) => "Step 1 of 3 asks what the club did at the ball: arc, path, face, loft or \
             strike, by name or number; \"faults\" lists them, \"skip\" names none. The answer comes \
             after step 3."
            .to_owned(),
        Note::AtStep(2) => "Step 2 of 3 asks what this golfer does that brings it about, each with your \
             chance from 0 to 100, such as: hanging back 60. \"causes\" lists them, \"skip\" names none. \
             The answer comes after step 3."
            .to_owned(),
        Note::AtStep(3) => "Step 3 of 3 asks what you would have this golfer practise: a cause to be rid \
             of, or a drill, or \"nothing\"."
            .to_owned(),
        Note::AtStep(_) => "Say in your own words how that cause makes this ball, or \"skip\". Then comes \
             the answer."
            .to_owned(),
        Note::NoWords => "I have no words on that. Ask of a cause, a fault or a strike by its name, such \
             as: what is casting. To ask the golfer, say \"you\": do you cast it. That cost no minute."
            .to_owned(),
        Note::NotYet => "That is told once the case is finished. Look and ask, then \"commit\", or \
             \"give up\" to see the answer."
            .to_owned(),
        Note::OneClub(order) => format!("The golfer speaks of one club only; type \"{order}\"."),
        Note::Measured { other } => {
            let other = if *other {
                ", or \"numbers second\" for the other club"
            } else {
                ""
            };
            format!("Those numbers are in your notes already; type \"notes\"{other}.")
        }
        Note::Known(cause, yes) => format!(
            "You know that already, {}: the answer was {}.",
            base.cause(*cause).name,
            if *yes { "yes" } else { "no" }
        ),
        Note::OutOfTime => {
            "The lesson's minutes are used up. \"notes\" shows what you have; then \"commit\"."
                .to_owned()
        }
        Note::CanBeTried(at) => {
            let name = base.changes.iter().nth(*at).map_or("", |c| c.name.as_str());
            format!(
                "See for yourself: \"try {name}\" gives ten shots with it (5 min). What cures this golfer is \
                 told once the case is finished."
            )
        }
        Note::NothingSeen => "You have seen no ball struck yet, so there is nothing to read. Type \"shots\" \
             (5 min) or \"numbers\" (6 min), then ask again. That cost no minute."
            .to_owned(),
        Note::NothingSupposed => "I can move this golfer's numbers (\"what if path 0\"), make a change (\"what if \
             the ball was an inch back\"), or take away a cause that was there (\"what if he stopped hanging \
             back\")."
            .to_owned(),
        Note::NoChange(_) => {
            let names: Vec<String> = base
                .changes
                .iter()
                .take(4)
                .map(|c| c.name.clone())
                .collect();
            format!(
                "No change in those words. You can try, for example, {}; with a size if you like: try \
                 ball two inches back",
                listed(&names)
            )
        }
        Note::NoFault(words) => format!(
            "No fault in \"{words}\". Say what the club did, such as \"low point behind the ball\" or \
             \"face open to the path\", or type \"faults\"."
        ),
        Note::NoCause(words, near) => {
            let near = near
                .as_ref()
                .map_or(String::new(), |n| format!(" Did you mean \"{n}\"?"));
            format!("No cause in \"{words}\".{near} \"causes\" lists them all.")
        }
        Note::NoChance(words) => format!(
            "\"{words}\" is no chance. Give a number from 0 (certainly not) to 100 (certain), such as: \
             hanging back 60"
        ),
        Note::ChanceMissing(cause) => format!(
            "How sure are you of \"{}\"? Give a number from 0 to 100 after each cause.",
            base.cause(*cause).name
        ),
        Note::Twice(cause) => format!("You named \"{}\" twice.", base.cause(*cause).name),
        Note::TooMany(most) => format!("At most {most} causes; choose those you believe most."),
        Note::GaveUp => {
            "You gave up, which is honest: no points either way. Here is what it was.".to_owned()
        }
        Note::Left { open, groups } => left_open(base, *open, groups),
    };
    page.key("", text);
}

/// The last words, and how to meet an open case again.
fn left_open(base: &KnowledgeBase, open: Option<(u64, From)>, groups: &[GroupId]) -> String {
    let clubs = groups.iter().fold(String::new(), |said, g| {
        said + " --group " + &base.group(*g).id
    });
    let Some((case, from)) = open else {
        return "Goodbye. What you finished is in your record.".to_owned();
    };
    let again = match from {
        From::Level { level, .. } => format!(
            "The same golfer comes again with \"swingwhy learn --seed {case} --level {}{clubs}\".",
            level + 1
        ),
        From::Lesson { lesson, case: at } => format!(
            "\"swingwhy learn --lesson {} --seed {}{clubs}\" begins the lesson again with the same \
             golfers.",
            lesson + 1,
            // Cases of a lesson count up from its first.
            (case + HIGHEST_CASE + 1 - at as u64) % (HIGHEST_CASE + 1)
        ),
        From::Anywhere => {
            format!("The same golfer comes again with \"swingwhy learn --seed {case}{clubs}\".")
        }
    };
    format!("Goodbye. Case {case} is unfinished; what you saw of it is not kept. {again}")
}
