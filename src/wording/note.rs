//! Short lines and help.
//!
//! One place for what is said when there is nothing to diagnose. Each line says what to type next.

use super::asking::unit_name;
use super::number::{capital, rounded};
use super::page::{Page, shortened};
use crate::conversation::{COMMANDS, Note, Takes};
use crate::knowledge::KnowledgeBase;
use crate::reading::Pattern;
use crate::vocabulary::{CauseId, Hand};

/// The first words of a session, which need no knowledge.
pub fn welcome_page() -> Page {
    let mut page = Page::new();
    welcome(&mut page);
    page
}

/// The first words of a session.
pub(super) fn welcome(page: &mut Page) {
    page.text("Tell me what happened, in your own words: which club, what the strike felt like, where the turf mark starts, where the ball goes. For example:");
    page.text("  7 iron, chunked three, divot starts behind the ball, then I thinned one");
    page.quiet("", "\"help\" lists what else you can say, \"bye\" leaves.");
}

/// Help: examples first.
pub(super) fn help(topic: Option<&str>, page: &mut Page) {
    if let Some(topic) = topic {
        let found = COMMANDS
            .iter()
            .find(|c| c.name == topic || c.also.contains(&topic));
        match found {
            Some(command) => {
                page.labelled(command.name, capital(command.help));
                if !command.also.is_empty() {
                    page.labelled("  also", command.also.join(", "));
                }
            }
            None => page.text(format!(
                "There is no command \"{}\". \"help\" lists them.",
                shortened(topic, 40)
            )),
        }
        return;
    }
    page.art([
        "Just talk:".to_owned(),
        "  leftie here. driver starts left and slices further left, irons are fine".to_owned(),
        "  PW low point 1 in behind, attack +0.5, I blade chips".to_owned(),
        "  no, it was a 6 iron        (or)        not fat, thin".to_owned(),
        "Or say:".to_owned(),
    ]);
    for command in COMMANDS {
        let takes = match command.takes {
            Takes::Nothing => "",
            Takes::Perhaps => " [...]",
            Takes::Words => " ...",
            Takes::Number => " 3",
            Takes::NumberAndWords => " 2 ...",
        };
        page.art(in_columns(
            &format!("{}{takes}", command.name),
            command.help,
        ));
    }
}

/// A name in a column and its text wrapped beside it, 78 columns in all.
fn in_columns(name: &str, text: &str) -> Vec<String> {
    const NAME: usize = 20;
    let mut lines = vec![format!("  {name:<NAME$}")];
    for word in text.split_whitespace() {
        if lines
            .last()
            .is_some_and(|l| l.chars().count() + 1 + word.chars().count() > 78)
        {
            lines.push(" ".repeat(NAME + 2));
        }
        if let Some(line) = lines.last_mut() {
            line.push(' ');
            line.push_str(word);
        }
    }
    lines
}

/// How a left-hander's signs are taken, and how to change it.
fn plus_taken(right: bool, fits: Option<bool>) -> String {
    let (way, other) = if right {
        (
            "to the right, as launch monitors print it",
            "plus is in to out",
        )
    } else {
        ("in to out, that is to the left for you", "plus is right")
    };
    let why = match fits {
        None => ", as you said",
        Some(true) => ", because that fits better with what else you told",
        Some(false) => "",
    };
    format!(
        "Signs without a word: I take + as {way}{why}. If it is the other way, say \"{other}\", or left and right with the number."
    )
}

/// A lower rung of a practice that was too hard.
fn easier(base: &KnowledgeBase, cause: CauseId, balls: u32) -> String {
    let count = if balls == 0 {
        "Count as before.".to_owned()
    } else {
        format!(
            "Another task is another start: first {balls} as it goes now on that rung, then {balls} with the thought."
        )
    };
    format!(
        "Then a rung lower, with the same thought, \"{}\": swings from waist to waist at half speed, the \
         ball on a low peg, and twice the room in any gap there is to miss. If that is still too hard, \
         without a ball, slowly, brushing the grass. {count} After 7 good of 10 go up a rung: chest to \
         chest, then full.",
        base.cause(cause).cue
    )
}

/// Clubs or ground without a shot.
fn place_alone(base: &KnowledgeBase, pattern: &Pattern) -> String {
    let place = super::heard::clubs(base, pattern).map_or_else(String::new, |p| capital(&p));
    let ask = if pattern.groups.is_empty() {
        "Which club, and what does the ball do with it"
    } else {
        "What does the ball do with it, and how is it struck"
    };
    format!("{place}, noted. {ask}?")
}

/// A short line.
#[allow(clippy::too_many_lines, reason = "one sentence for each note")]
pub(super) fn note(base: &KnowledgeBase, note: &Note, page: &mut Page) {
    let text = match note {
        Note::EmptyLine => "I am listening: which club, and what did the ball or the turf do?".to_owned(),
        Note::NotUnderstood => "I found nothing about a golf shot in that. Say which club, how it was struck (fat, thin, heel, toe ...), where the turf mark starts or where the ball goes. \"help\" shows examples.".to_owned(),
        Note::OneThing => "Then one thing, and only that, until its count says something.".to_owned(),
        Note::WhatWasTried => "Nothing was set to practise yet, so I took that as no answer. What did you try, with which club, and what does the ball do now?".to_owned(),
        Note::QuestionNotAnswered => "I take that as a question, so nothing in it counts as your shots. I have no answer to it in those words; ask about one thing (\"what is low point?\"), or tell me what the ball did.".to_owned(),
        Note::AskedIfSo(true) => "I noted no answer: the question below is still open, and its answer would tell me more. \"why\" shows what I go by so far.".to_owned(),
        Note::AskedIfSo(false) => "\"why\" shows what I go by so far.".to_owned(),
        Note::Whose(None) => "I do not know: no lesson book is kept in this talk. Start with --golfer NAME to keep one.".to_owned(),
        Note::Whose(Some(name)) if name.is_empty() => "This is the lesson book without a name. \"lesson for Ann\" goes on with Ann's own.".to_owned(),
        Note::Whose(Some(name)) => format!("This is the lesson book of {}. \"lesson for\" and another name goes on with theirs.", shortened(name, 40)),
        Note::Pupils(true) => "Each pupil has a book of their own: \"lesson for Ann\" opens Ann's. \"swingwhy lesson list\", outside this talk, lists them all.".to_owned(),
        Note::Pupils(false) => "No lesson books are kept in this talk. Start with --golfer NAME to keep one for each pupil.".to_owned(),
        Note::NothingAgreed => "Nothing was agreed yet. \"practise\" gives you one thing to work on.".to_owned(),
        Note::WhichGolfer { labels, books } => {
            let names: Vec<String> = labels.iter().map(|l| format!("\"{}\"", shortened(l, 30))).collect();
            let which = names.join(" or ");
            if *books {
                format!("I take one golfer at a time, or I would mix them: each has a book of their own. Say \"lesson for\" and the name, then tell me about that one. I took nothing of {which} yet.")
            } else {
                format!("I take one golfer at a time, or I would mix them. Which first: {which}? I keep the others apart; started with --golfer NAME, \"lesson for\" and a name opens a book for each.")
            }
        }
        Note::OneGolferABook(label) => format!("This book is of one golfer, and I mix nobody in. For {}, say \"lesson for\" and the name, then tell me.", shortened(label, 30)),
        Note::NowOf(label) => format!("Now for {}; nothing of the others counts here. \"the other one\" goes back.", shortened(label, 30)),
        Note::NoSuchCause(words, nearest) => {
            let near = nearest.as_ref().map_or(
                "Name one as it is shown, such as \"ball too far forward\".".to_owned(),
                |n| format!("Did you mean \"{n}\"?"),
            );
            format!("I know no cause called \"{}\". {near}", shortened(words, 40))
        }
        Note::NoSuchCommand(said, nearest) => {
            format!("\"{}\" is no command; did you mean \"{nearest}\"? Nothing was done.", shortened(said, 40))
        }
        Note::NoSuchFinding(number) => {
            format!("There is no finding {number}. \"what do you know\" lists them.")
        }
        Note::UnitThatFits(words, unit) => format!("\"{}\" taken in {}: only that goes with the attack angle. If it is not so, say it again with its unit.", shortened(words, 40), unit_name(*unit)),
        Note::AdviceHeard(_) => "That I take as advice you were given, and not as what you do. If you do it now, tell me so.".to_owned(),
        Note::KeptForTheHand(words) => format!("\"{}\", noted. Which side that is for the club hangs on your hand:", shortened(words, 40)),
        Note::PlaceAlone(pattern) => place_alone(base, pattern),
        Note::NothingKnown => "I know nothing about a shot yet. Tell me what happened first.".to_owned(),
        Note::NothingAsked => "I am not asking anything just now.".to_owned(),
        Note::StartedOver => "A fresh start. What happened?".to_owned(),
        Note::Undone => "Taken back.".to_owned(),
        Note::NothingToUndo => "There is nothing to take back.".to_owned(),
        Note::TakenBack(words) => {
            format!("Taken back: \"{}\", and all that rested on it.", shortened(words, 50))
        }
        Note::ClubChanged => "Noted, with the other club.".to_owned(),
        Note::OtherRemedy => "That was a remedy of its own, so it says nothing against the practice; I take what is so now.".to_owned(),
        Note::ClubAdopted => "The numbers told before are taken with that club too.".to_owned(),
        Note::Answered(true) => "Noted: yes.".to_owned(),
        Note::Answered(false) => "Noted: no.".to_owned(),
        Note::AnsweredInstead(Some(true)) => "Changed to yes, and worked out again.".to_owned(),
        Note::AnsweredInstead(Some(false)) => "Changed to no, and worked out again.".to_owned(),
        Note::AnsweredInstead(None) => "That answer is taken back and counts neither way.".to_owned(),
        Note::LeftOut(words) => format!(
            "I leave \"{}\" out, then; say it again in other words if it matters.",
            shortened(words, 40)
        ),
        Note::CountForm(balls) => format!(
            "I need a count: good ones of all, such as \"8 of {balls}\". \"not yet\" leaves it for later; \"it helped\" or \"it did not help\" is noted without one."
        ),
        Note::ShareTaken(percent, hits, balls) => {
            format!("{percent} per cent of {balls}: taken as {hits} of {balls}.")
        }
        Note::FaultsCounted { faults, good, balls } => format!(
            "{faults} of {balls} went wrong: taken as {good} of {balls} good. Say \"{faults} of {balls} good\" if it was the other way."
        ),
        Note::CountedInstead => "That count in place of the one before.".to_owned(),
        Note::NotNeeded(thing) => format!("This drill needs no {}. \"another drill\" gives you another all the same.", shortened(thing, 20)),
        Note::DoWithout(thing) => format!("It goes without the {0} too. Take anything soft or flat in its place, such as a strip of paper, a towel or an empty carton; nothing hard where the club swings.", shortened(thing, 20)),
        Note::NoOtherDrill(cause) => format!(
            "For {} that is the one drill I have for you. \"practise anyway\" looks at everything afresh.",
            base.cause(*cause).name
        ),
        Note::DontKnow => "Fine, that counts neither way.".to_owned(),
        Note::YesOrNoFirst => "That first, please: yes or no.".to_owned(),
        Note::AnswerNotUnderstood => "I could not take that as an answer; \"skip\" leaves the question.".to_owned(),
        Note::TakenForEffect(effect, cause) => format!(
            "\"{}\" is what the club does, not why; its likeliest cause here: {}.",
            base.effect(*effect).name,
            base.cause(*cause).name
        ),
        Note::WhatIfUnit(index) => base.changes.iter().nth(*index).map_or(String::new(), |c| {
            format!(
                "I count {} in {}: say it as, for instance, \"{} {}\".",
                c.name,
                c.unit,
                rounded(c.by, 1),
                c.unit
            )
        }),
        Note::WhatIfNotUnderstood => {
            let names: Vec<&str> = base.changes.iter().take(5).map(|c| c.name.as_str()).collect();
            format!(
                "I can try: {}, a number put in its place (\"what if path 0\", face, attack or low point), another club or lie (\"what if with a 4 iron\", \"what if on a downhill lie\"), or a cause gone (\"what if I did not sway\").",
                names.join(", ")
            )
        }
        Note::Greeting => "Hello. Which club gave you trouble, and what did the ball do?".to_owned(),
        Note::Thanks(true) => "You are welcome. Count, and tell me how it went.".to_owned(),
        Note::Thanks(false) => "You are welcome. Come back when a shot costs you.".to_owned(),
        Note::Abuse => "Bad day, it seems. Tell me the worst shot of it and I will try to help.".to_owned(),
        Note::OffTopic => "That is outside what I know. I know golf shots: how the club met ball and turf, and why.".to_owned(),
        Note::OutOfScope(what) => base
            .find_answer(what)
            .map_or_else(
                || "That part of golf is outside what I can help with; a licensed coach can. I know full shots, pitches and chips: how the club met the ball and why.".to_owned(),
                |answer| base.answer(answer).text.clone(),
            ),
        Note::OtherLanguage(language) => {
            format!("I only understand English so far, and that looks like {language}. A few words will do: \"7 iron fat\".")
        }
        Note::Cut(limit) => format!("That line was very long; I read the first {limit} characters and left the rest."),
        Note::Metric(true) => "Centimetres and metres from now on.".to_owned(),
        Note::Metric(false) => "Inches and yards from now on.".to_owned(),
        Note::HandNoted(Hand::Right) => "Right-handed, noted.".to_owned(),
        Note::PlusTaken { right, fits } => plus_taken(*right, *fits),
        Note::SignAgainstWord(words) => format!(
            "In \"{}\" the sign and the word disagree; I go by the word. Say the number again if the sign is right.",
            shortened(&words.join("\", \""), 60)
        ),
        Note::HandNoted(Hand::Left) => "Left-handed, noted: right and left are turned round for you.".to_owned(),
        Note::Faded(cause) => format!(
            "Helped, and then back: that is how a new movement goes, and it speaks neither for {0} nor against it. Luck alone does the same. Hit the balls without the thought, count them, and tell me: that number says whether any of it stayed.",
            base.cause(*cause).name
        ),
        Note::IfItFails(cause) => format!(
            "Then {} was not it, or not all of it. Give it two counts first, without the thought and with it; if they show nothing, tell me both or say \"it did not help\": I take that against it, say what comes next, and do not send you back to the same drill while there is another.",
            base.cause(*cause).name
        ),
        Note::TriedAlready(cause) => format!(
            "Then two counts settle it: as you are, and with it. If it changed nothing when done as set up, say \"it did not help\": I take that against {} and look again. \"another drill\" gives another way to the same.",
            base.cause(*cause).name
        ),
        Note::PractiseNoted(true) => "Good; that speaks for the cause. Test again in a day or two without the thought: what holds then is learned.".to_owned(),
        Note::PractiseNoted(false) => "Then that was probably not it. I take it as evidence and look again.".to_owned(),
        Note::Easier { cause, balls } => easier(base, *cause, *balls),
        Note::ChangeHelped(cause) => format!(
            "So that was changed, and it helped: I take it as a sign that \"{}\" was there, and look again.",
            base.cause(*cause).name
        ),
        Note::ChangeMade(cause) => format!(
            "So that was changed, and it is not all: I take it as evidence against \"{}\" as the cause by \
             itself, and look again at what is so now.",
            base.cause(*cause).name
        ),
        Note::PractiseFailed { reopened: false } => "Done as set up and no better: that speaks against the cause, so I look again.".to_owned(),
        Note::PractiseFailed { reopened: true } => "Two honest tries, and no better: I may have the wrong picture. Here is what I go by; put right what is not so.".to_owned(),
        Note::NotFollowed => "Then it says nothing about the cause. Do the set once more as set up, and count.".to_owned(),
        Note::TellAgain => "Tell me again what happens: which club, and what ball and turf do.".to_owned(),
        Note::CountOfWhat => "A count of what? Tell me what happened first; \"practise\" then gives you one thing to count.".to_owned(),
        Note::ImpossibleCount(hits, balls) => {
            format!("{hits} of {balls} cannot be. How many of how many?")
        }
        Note::OneBlockAtATime => "One set at a time, please: \"7 of 10\", or \"7 of 10, was 3 of 10\".".to_owned(),
        Note::StartFromMemory => "A start from memory is no start: golfers come after a bad day, and a bad day is followed by a better one whatever they practise. Your sets are noted; count a fresh start the old way (\"baseline 4 of 20\") and I can judge.".to_owned(),
        Note::StartAtTarget => "Your start was at the target already, so a set after it shows nothing. Count a harder set both ways: full swings, a longer club, a smaller gate.".to_owned(),
        Note::LooksSpent(looks) => {
            format!("I judge {looks} times against one start and no more, or luck would pass for help. Count a fresh start: \"baseline 4 of 20\".")
        }
        Note::RetestBeforePractice => "Noted; but there was no set with the thought yet. Hit one, then test again a day later.".to_owned(),
        Note::CannotCompare => "Those cannot be compared with the start: counts with counts, measured balls with measured balls.".to_owned(),
        Note::NotYet => "Fine. Tell me the count when you have it.".to_owned(),
        Note::TakenUp(0) => "From last time I have nothing that I can use today.".to_owned(),
        Note::TakenUp(_) => "Taken up from last time.".to_owned(),
        Note::NothingEarlier => "There is no last time that I know of. What happened?".to_owned(),
        Note::TakenOfThem => {
            "I take it that you ask for them. For your own shots, say \"start over\".".to_owned()
        }
        Note::WithLeave => "Cleared to play, good: stay within what was cleared, build up slowly, and stop if it hurts.".to_owned(),
        Note::NewClubs(0) => "New clubs, noted. I held nothing about the old ones.".to_owned(),
        Note::NewClubs(1) => {
            "New clubs: one answer about the old ones is set aside, and may be asked again.".to_owned()
        }
        Note::NewClubs(n) => format!(
            "New clubs: {n} answers about the old ones are set aside, and may be asked again."
        ),
        Note::NothingCounted => "Nothing was counted yet. \"practise\" gives you one thing to count.".to_owned(),
        Note::EmptyBook => "Nothing is written yet.".to_owned(),
        Note::ForgetAnswered(true) => "As you wish.".to_owned(),
        Note::ForgetAnswered(false) => "Kept.".to_owned(),
        Note::NoBook => "No lesson book is kept in this talk. Start with --golfer NAME to keep one.".to_owned(),
        Note::AllWell => "Nothing wrong there, then. What is the shot that costs you?".to_owned(),
        Note::GoodNumbers => "Nothing wrong there: these numbers are what a good strike wants. What is the shot that costs you?".to_owned(),
        Note::NumbersAlone(true) => "What did the ball do, and where on the face was it struck?".to_owned(),
        Note::NumbersAlone(false) => "These numbers alone say nothing of the swing. What did the ball do, or what were path, face and attack?".to_owned(),
        Note::NoMoreQuestions => "No question is left whose answer would change what to practise.".to_owned(),
        Note::StateKept => "(Only a thought: nothing you told me has changed.)".to_owned(),
    };
    match note {
        Note::StateKept => page.quiet("", text),
        _ => page.text(text),
    }
}
