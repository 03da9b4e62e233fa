//! Laws of a talk: taking back leaves nothing, order and hand do not matter, a thought changes
//! nothing, the same lines give the same replies, and no line makes it fail.

use proptest::prelude::*;
use serde_json::Value;
use swingwhy::conversation::Session;
use swingwhy::transcript::plain;
use swingwhy::wording::json::judged;

use crate::support::session;

fn after(lines: &[&str]) -> Session {
    let mut session = session();
    for line in lines {
        session.respond(line);
    }
    session
}

/// What was concluded, apart from the numbering of findings.
fn concluded(session: &mut Session) -> Value {
    let mut object = judged(session, &[], &Value::Null);
    let kept = object.as_object_mut().unwrap();
    for key in ["understood", "asks", "next_check", "practice"] {
        kept.remove(key);
    }
    object
}

/// Cause and probability to a millionth, in order.
fn causes(session: &Session) -> Vec<(usize, i64)> {
    session
        .diagnosis()
        .unwrap()
        .judgement
        .causes
        .iter()
        .take(12)
        .map(|c| (c.cause.index(), (c.probability * 1e6).round() as i64))
        .collect()
}

#[test]
fn taking_a_finding_back_removes_exactly_what_rested_on_it() {
    let mut never = after(&["7 iron fat"]);
    let mut taken = after(&["7 iron fat", "low point 1 in behind", "not 2"]);
    assert_eq!(concluded(&mut never), concluded(&mut taken));
    let mut undone = after(&["7 iron fat", "attack 2 up", "undo"]);
    assert_eq!(concluded(&mut never), concluded(&mut undone));
}

#[test]
fn the_order_of_telling_changes_no_probability() {
    let one = after(&[
        "7 iron fat",
        "7 iron thin sometimes",
        "low point 1 in behind",
    ]);
    let other = after(&[
        "7 iron low point 1 in behind",
        "7 iron thin sometimes",
        "7 iron fat",
    ]);
    assert_eq!(causes(&one), causes(&other));
}

#[test]
fn repeating_a_finding_changes_nothing() {
    let once = after(&["7 iron fat"]);
    let twice = after(&["7 iron fat", "7 iron fat"]);
    assert_eq!(causes(&once), causes(&twice));
}

#[test]
fn a_left_hander_is_the_mirror_of_a_right_hander() {
    for (right, left) in [
        (
            "right handed. driver starts right and curves right",
            "left handed. driver starts left and curves left",
        ),
        (
            "right handed. 7 iron divots point left, path -4",
            "left handed. 7 iron divots point right, path 4 right",
        ),
        // A mirrored golfer's monitor shows every sign turned.
        (
            "right handed. driver path -5, face +1, slices right",
            "left handed. driver path +5, face -1, slices left",
        ),
        // Words that say in to out need no turning.
        (
            "right handed. driver path 5 in to out, face 2 closed",
            "left handed. driver path 5 in to out, face 2 closed",
        ),
    ] {
        assert_eq!(causes(&after(&[right])), causes(&after(&[left])), "{right}");
    }
}

#[test]
fn the_hand_told_late_means_the_same_as_told_first() {
    let first = after(&["left handed", "driver starts left and slices further left"]);
    let late = after(&["driver starts left and slices further left", "left handed"]);
    assert_eq!(causes(&first), causes(&late));
}

#[test]
fn a_left_handers_signs_are_taken_as_they_fit_or_as_told() {
    let words = after(&["left handed. driver path 5 right, face 1 right, slices left"]);
    let of_the_monitor = after(&["left handed. driver path +5, face +1, slices left"]);
    assert_eq!(causes(&words), causes(&of_the_monitor));
    // The flight decides, told before or after the numbers.
    let in_to_out = after(&["left handed. driver path 5 left, face 2 right, hooks right"]);
    for lines in [
        vec!["left handed. driver path +5, face -2, hooks right"],
        vec!["left handed. driver hooks right", "driver path +5, face -2"],
        vec!["left handed. driver path +5, face -2", "hooks right"],
    ] {
        assert_eq!(causes(&in_to_out), causes(&after(&lines)), "{lines:?}");
    }
    // Nothing decides: to the right, until the golfer says otherwise.
    let right = after(&["left handed. driver path 5 right, face 5 right"]);
    let bare = ["left handed. driver path +5, face +5"];
    assert_eq!(causes(&right), causes(&after(&bare)));
    let left = after(&["left handed. driver path 5 left, face 5 left"]);
    let told = after(&[bare[0], "plus is in to out"]);
    assert_eq!(causes(&left), causes(&told));
    let late = after(&["driver path +5, face +5", "I am left handed"]);
    assert_eq!(causes(&right), causes(&late));
}

#[test]
fn a_thought_changes_nothing() {
    let lines = ["7 iron fat and thin, divot starts 2 in behind"];
    let mut plainly = after(&lines);
    let mut thinking = after(&lines);
    for thought in [
        "what if the ball were an inch back",
        "why",
        "why not ball too far forward",
        "suppose hanging back",
        "is it hanging back or the ball position?",
        "numbers",
        "draw",
        "more",
        "help",
    ] {
        thinking.respond(thought);
    }
    assert_eq!(concluded(&mut plainly), concluded(&mut thinking));
}

#[test]
fn not_knowing_counts_neither_way() {
    let plainly = after(&["7 iron fat"]);
    let asked = after(&["7 iron fat", "don't know", "skip", "dunno"]);
    assert_eq!(causes(&plainly), causes(&asked));
}

#[test]
fn the_same_lines_give_the_same_replies_whatever_was_said_before() {
    let lines = ["5 wood thin off the fairway", "yes", "no", "why", "numbers"];
    let say = |session: &mut Session| -> Vec<String> {
        lines
            .iter()
            .map(|line| {
                let reply = session.respond(line);
                plain(session, &reply)
            })
            .collect()
    };
    let fresh = say(&mut session());
    let mut used = after(&[
        "driver slices, wedges shank",
        "yes",
        "low point 2 in ahead, 7 iron",
    ]);
    used.start_over(None);
    assert_eq!(fresh, say(&mut used));
}

#[test]
fn a_contradiction_loses_nothing_and_says_which_two() {
    let mut session = session();
    let reply = session.respond("7 iron attack 3 up, low point 4 in ahead");
    let text = plain(&session, &reply);
    assert!(
        text.contains("Disagrees")
            && text.contains("attack 3 up")
            && text.contains("low point 4 in ahead"),
        "{text}"
    );
    assert_eq!(session.known().len(), 2);
}

#[test]
fn a_very_long_line_is_read_and_answered() {
    let mut session = session();
    let line = format!(
        "7 iron fat {}",
        "and the wind was up and the greens were slow ".repeat(2_300)
    );
    assert!(line.len() > 100_000);
    let reply = session.respond(&line);
    let text = plain(&session, &reply);
    assert!(text.contains("heavy"), "{}", &text[..300]);
    assert!(text.lines().count() < 40);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn no_text_makes_a_session_fail_or_prints_a_control_byte(lines in proptest::collection::vec("\\PC{0,60}|[a-z0-9 ,.'-]{0,60}|\u{1b}\\[[0-9]m[a-z]{0,5}", 1..5)) {
        let mut session = session();
        for line in &lines {
            let reply = session.respond(line);
            let text = plain(&session, &reply);
            prop_assert!(!text.trim().is_empty());
            prop_assert!(text.chars().all(|c| c == '\n' || !c.is_control()));
        }
    }
}
