//! The learner's talk: every line gets a reply, nothing is told too early, nothing is lost.

use crate::learning::mind;
use swingwhy::conversation::learning::{Block, Start, Taught, Trainee};
use swingwhy::learning::LinkEnd;
use swingwhy::lesson::Entry;
use swingwhy::wording::Style;
use swingwhy::wording::learning::taught_page;

fn trainee(case: u64) -> Trainee {
    let start = Start {
        case,
        ..Start::default()
    };
    let mut trainee = Trainee::with_mind(mind(), start);
    let _ = trainee.greeting();
    trainee
}

fn text(trainee: &Trainee, taught: &Taught) -> String {
    taught_page(trainee.base(), taught, trainee.hand()).render(Style::default())
}

fn compared(taught: &Taught) -> bool {
    taught
        .blocks
        .iter()
        .any(|b| matches!(b, Block::Compared { .. }))
}

const ODD: [&str; 26] = [
    "",
    " ",
    "?",
    "ask",
    "look",
    "try",
    "shots second",
    "case",
    "case -1",
    "case 99999999999999999999999",
    "level",
    "level 77",
    "lesson x",
    "claim 3",
    "60",
    "60 60",
    "hanging back 60 60",
    "hanging back 1e999",
    "hanging back -0",
    ",,,;;;",
    "%",
    "\u{1b}[31mred\u{7}",
    "\u{202e}rtl \u{0}nul",
    "na\u{ef}ve caf\u{e9} \u{1f3cc}",
    "next",
    "not a word of this means anything",
];

#[test]
fn every_line_at_every_stage_gets_a_clean_reply() {
    let stages: [&[&str]; 5] = [
        &[],
        &["commit"],
        &["commit", "low point behind the ball"],
        &["commit", "low point behind the ball", "hanging back 60"],
        &[
            "commit",
            "low point behind the ball",
            "hanging back 60",
            "hanging back",
        ],
    ];
    for stage in stages {
        let mut at = trainee(4821);
        for line in stage {
            let _ = at.respond(line);
        }
        for line in ODD {
            let mut trainee = at.clone();
            let taught = trainee.respond(line);
            let said = text(&trainee, &taught);
            assert!(!said.trim().is_empty(), "{stage:?} {line:?}");
            assert!(
                said.chars().all(|c| c == '\n' || !c.is_control()),
                "{said:?}"
            );
            assert!(said.lines().all(|l| l.chars().count() <= 78), "{said}");
        }
    }
}

#[test]
fn the_truth_is_not_told_before_the_commitment() {
    let mut trainee = trainee(4821);
    let main = trainee.pupil().unwrap().worths[0].cause;
    let name = trainee.base().cause(main).name.clone();
    for line in [
        "shots",
        "numbers",
        "notes",
        "where does the divot start",
        "commit",
        "faults",
        "low point behind the ball",
        "swaying 30",
        "swaying",
    ] {
        let taught = trainee.respond(line);
        assert!(!compared(&taught), "{line}");
        assert!(!text(&trainee, &taught).contains(&name), "{line}");
    }
    assert!(compared(&trainee.respond("skip")));
}

#[test]
fn minutes_run_out_and_then_only_committing_is_left() {
    let mut trainee = trainee(7);
    for _ in 0..8 {
        let _ = trainee.respond("shots");
    }
    assert!(trainee.desk().unwrap().minutes() >= 40.0);
    let steps = trainee.desk().unwrap().steps().len();
    for line in [
        "shots",
        "numbers",
        "ask 67",
        "look 67",
        "try ball back",
        "do you thin it",
    ] {
        let taught = trainee.respond(line);
        assert!(
            text(&trainee, &taught).contains("minutes are used up"),
            "{line}"
        );
    }
    assert_eq!(trainee.desk().unwrap().steps().len(), steps);
    let taught = trainee.respond("commit");
    assert!(text(&trainee, &taught).contains("1 of 3"));
}

/// What is no question to the golfer costs nothing, and nothing is asked of the golfer by it.
#[test]
fn unclear_lines_and_questions_about_the_game_are_free() {
    let mut trainee = trainee(7);
    for line in [
        "ask what club do you hit worst",
        "ask how does your grip look",
        "ask how long have you had this",
        "tell me about your swing",
        "ask where is the ball in your stance",
        "what is low point",
        "ask what is low point",
        "what is casting?",
        "what is a divot",
        "why does hanging back make it fat",
        "does low point ahead make it clean",
        "low point behind the ball",
        "hanging back",
        "quick",
        "help me",
        "what should i practise",
        "why",
        "why not hanging back",
        "what would settle it",
        "what did I do wrong?",
        "so does the start direction tell me the face?",
        "if the low point is behind, is the club going up at the ball?",
        "what does the divot 6 inches behind tell me?",
        "asdf",
    ] {
        let taught = trainee.respond(line);
        assert!(!text(&trainee, &taught).trim().is_empty(), "{line}");
        assert!(!compared(&taught), "{line}");
        assert!(trainee.desk().unwrap().minutes() < 0.5, "{line}");
    }
    for line in [
        "do you hit it fat",
        "ask is the ball too far forward",
        "over the top?",
    ] {
        let before = trainee.desk().unwrap().minutes();
        let _ = trainee.respond(line);
        assert!(trainee.desk().unwrap().minutes() > before + 0.5, "{line}");
    }
}

/// Reasons in a golfer's or a coach's words name the links they mean.
#[test]
fn reasons_are_read_as_they_are_meant() {
    let chain = "grip too weak -> face open to the path: holds";
    for (reason, wanted) in [
        ("weak grip makes the face open", chain),
        ("weak grip opens the face, open face slices", chain),
        (
            "because the hands sit turned toward the target on the grip the face comes back open and the ball slices",
            chain,
        ),
        (
            "weak grip leaves the face open to the path so the ball curves right, and it adds loft",
            "grip too weak -> loft added at the ball: holds",
        ),
        (
            "it slices because the face is open because of a weak grip",
            chain,
        ),
        ("it leaves the face open", chain),
        (
            "the face is aimed open at address so the face is open to the target",
            "face aimed open at address -> face open to the target: holds",
        ),
    ] {
        let mut trainee = trainee(7);
        for line in [
            "commit",
            "face open to the path",
            "grip too weak 85",
            "grip too weak",
        ] {
            let _ = trainee.respond(line);
        }
        let taught = trainee.respond(reason);
        let said = text(&trainee, &taught);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(wanted), "{reason}: {said}");
    }
}

/// A chain of a coach's plain words is read link by link; what is not understood is said to be so, and is
/// never taken for some cause that nobody named.
#[test]
fn plain_chains_are_read_and_nothing_is_read_into_them() {
    let behind = "hanging back through impact -> low point behind the ball: holds";
    let heavy = "low point behind the ball -> heavy: holds";
    for (reason, wanted, unread) in [
        (
            "the hips go back so the whole arc bottoms behind the ball and the club hits the ground first",
            vec![behind, heavy],
            vec!["the hips go back"],
        ),
        (
            "weight never gets to the front foot, the bottom of the arc is behind, ground first, fat",
            vec![behind, heavy],
            vec![],
        ),
        (
            "his weight stays on the back foot, therefore the swing bottoms out too early and he takes turf first",
            vec![behind, heavy],
            vec![],
        ),
        (
            "the moon is full, so the low point is behind the ball",
            vec![behind],
            vec!["the moon is full"],
        ),
    ] {
        let mut trainee = trainee(7);
        for line in [
            "commit",
            "low point behind the ball",
            "hanging back 85",
            "hanging back",
        ] {
            let _ = trainee.respond(line);
        }
        let taught = trainee.respond(reason);
        let Some(Block::Reasoned(reasoned, said)) = taught.blocks.first() else {
            panic!("no reason");
        };
        assert_eq!(*said, unread, "{reason}");
        assert_eq!(reasoned.links.len(), wanted.len(), "{reason}: {reasoned:?}");
        let page = text(&trainee, &taught);
        let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
        for link in wanted {
            assert!(page.contains(link), "{reason}: {page}");
        }
    }
}

/// Of golfers with a fault, others have reasons of their own for what it brings: that they show it as
/// often does not make the link false.
#[test]
fn a_link_that_sets_nobody_apart_is_not_called_false() {
    let base = crate::support::base();
    let mind = &mut mind();
    let level = base.levels.iter().next().unwrap();
    let phrases = crate::learning::phrases();
    let pupil = swingwhy::learning::draw(mind, phrases, 7, &level.wish).unwrap();
    let fault = |id: &str| LinkEnd::Fault(base.find_effect(id).unwrap());
    let seen = |id: &str| LinkEnd::Seen(base.find_symptom(id).unwrap());
    for (from, to, open) in [
        ("e_lp_behind", "thin", true),
        ("e_lp_behind", "fat", false),
        ("e_sole_skids", "fat", false),
        ("e_face_open_path", "curve_pull_big", false),
    ] {
        let told = swingwhy::learning::recognise(mind, &pupil, &[fault(from), seen(to)]);
        let [link] = told.links.as_slice() else {
            panic!("{from} {to}: {told:?}");
        };
        assert_eq!(link.open, open, "{from} {to}: {link:?}");
        assert_eq!(link.holds, (from, to) == ("e_lp_behind", "fat"), "{link:?}");
    }
}

/// Remedies in plain words stand for the cause they take away, one named before first.
#[test]
fn plain_remedies_are_something_to_practise() {
    for (cause, remedy) in [
        ("grip too strong", "turn the hands one notch weaker"),
        ("grip too strong", "grip one notch weaker"),
        ("grip too strong", "weaken the grip"),
        ("hanging back", "get the weight forward"),
        ("hanging back", "finish on the front foot"),
        ("ball too far forward", "ball back in the stance"),
    ] {
        let mut trainee = trainee(7);
        for line in ["commit", "skip", &format!("{cause} 70")] {
            let _ = trainee.respond(line);
        }
        let taught = trainee.respond(remedy);
        let Some(Block::AskReason(Some(practised))) = taught.blocks.first() else {
            panic!("{remedy}: {}", text(&trainee, &taught));
        };
        let name = &trainee.base().cause(*practised).name;
        assert!(name.starts_with(cause), "{remedy}: {name}");
    }
    for (cause, remedy) in [
        ("over the top", "back up to the middle"),
        ("grip too strong", "whistle a tune"),
    ] {
        let mut trainee = trainee(7);
        for line in ["commit", "skip", &format!("{cause} 70")] {
            let _ = trainee.respond(line);
        }
        let taught = trainee.respond(remedy);
        assert!(
            matches!(taught.blocks.as_slice(), [Block::Note(_)]),
            "{remedy}: {}",
            text(&trainee, &taught)
        );
    }
}

/// After the answer the talk goes on in free words, about this case.
#[test]
fn free_words_after_the_answer_ask_of_this_case() {
    let mut trainee = trainee(7);
    let free = [
        "why is it not the grip being weak",
        "why is it thin and not fat?",
        "what if path was 0",
        "what if path and face were 0",
        "what if the ball was an inch back",
        "how sure are you",
        "what should I have looked at first",
        "why does it start on line if the face is 5.6 left",
    ];
    for line in free {
        let taught = trainee.respond(line);
        assert!(!compared(&taught), "{line}");
        assert!(
            !matches!(
                taught.blocks.as_slice(),
                [Block::WhatIf { .. } | Block::Strikes(_) | Block::Flight(_) | Block::Sure(_)]
            ),
            "{line}"
        );
    }
    let _ = trainee.respond("give up");
    let mut kinds = Vec::new();
    for line in free {
        let taught = trainee.respond(line);
        kinds.push(match taught.blocks.first() {
            Some(Block::WhyNot { .. }) => "not",
            Some(Block::Strikes(_)) => "strikes",
            Some(Block::WhatIf { what, rates, .. }) if what.len() == 2 => {
                assert!(!rates.is_empty());
                "two numbers"
            }
            Some(Block::WhatIf { .. }) => "what if",
            Some(Block::Sure(_)) => "sure",
            Some(Block::FirstLook(_)) => "first",
            Some(Block::Flight(_)) => "flight",
            _ => "else",
        });
    }
    assert_eq!(
        kinds,
        [
            "not",
            "strikes",
            "what if",
            "two numbers",
            "what if",
            "sure",
            "first",
            "flight"
        ]
    );
}

#[test]
fn a_finished_case_can_be_asked_about_and_an_open_one_not() {
    let mut trainee = trainee(7);
    let asking = [
        "why",
        "why not hanging back",
        "what would settle it",
        "what did i do wrong",
    ];
    for line in asking {
        assert!(matches!(
            trainee.respond(line).blocks.as_slice(),
            [Block::Note(_)]
        ));
    }
    for line in [
        "shots",
        "commit",
        "skip",
        "hanging back 60",
        "nothing",
        "skip",
    ] {
        let _ = trainee.respond(line);
    }
    let kinds: Vec<bool> =
        asking
            .map(|line| {
                matches!(
                    trainee.respond(line).blocks.as_slice(),
                    [Block::Why { .. }
                        | Block::WhyNot { .. }
                        | Block::Settles(_)
                        | Block::Lost { .. }]
                )
            })
            .to_vec();
    assert_eq!(kinds, [true; 4]);
}

#[test]
fn giving_up_scores_nothing_either_way() {
    let mut trainee = trainee(7);
    let _ = trainee.respond("shots");
    let taught = trainee.respond("give up");
    let [Entry::Score(open)] = taught.entries.as_slice() else {
        panic!("{:?}", taught.entries);
    };
    assert_eq!(open.fields["points"], 0.0);
    assert_eq!(open.fields["total"], 0.0);
    assert!(!text(&trainee, &taught).contains("Together"));
}

#[test]
fn looking_again_takes_a_commitment_back() {
    let mut trainee = trainee(7);
    for line in ["commit", "low point behind the ball", "hanging back 60"] {
        let _ = trainee.respond(line);
    }
    let _ = trainee.respond("shots");
    let taught = trainee.respond("commit");
    assert!(text(&trainee, &taught).contains("1 of 3"));
}

#[test]
fn an_open_case_and_a_finished_one_are_kept() {
    let mut trainee = Trainee::with_mind(
        mind(),
        Start {
            case: 7,
            ..Start::default()
        },
    );
    let opened = trainee.greeting();
    assert!(matches!(opened.entries.as_slice(), [Entry::Case(_)]));
    let left = trainee.clone().respond("leave");
    assert!(left.leave && left.entries.is_empty());
    let open = format!("Case {} is unfinished", trainee.pupil().unwrap().seed);
    assert!(text(&trainee, &left).contains(&open));
    let given_up = trainee.respond("give up");
    assert!(matches!(given_up.entries.as_slice(), [Entry::Score(_)]));
    // Once over, nothing more is scored.
    for line in ["give up", "commit", "shots"] {
        assert!(trainee.respond(line).entries.is_empty(), "{line}");
    }
}

#[test]
fn an_emergency_comes_first_and_the_case_stays() {
    let mut trainee = trainee(7);
    let taught = trainee.respond("I have chest pain and can't breathe");
    assert!(matches!(taught.blocks.as_slice(), [Block::Caution(_)]));
    assert!(trainee.pupil().is_some());
}

#[test]
fn a_case_by_number_is_the_same_case() {
    let mut one = trainee(1);
    let mut two = trainee(55);
    let a = one.respond("case 4821");
    let _ = two.respond("shots");
    let b = two.respond("case 4821");
    assert_eq!(text(&one, &a), text(&two, &b));
}

#[test]
fn the_same_lines_give_the_same_replies() {
    let lines = [
        "shots",
        "ask 67",
        "numbers",
        "commit",
        "3",
        "67 50, 65 20",
        "67",
        "skip",
        "next",
    ];
    let run = || {
        let mut trainee = trainee(99);
        lines
            .iter()
            .map(|l| {
                let taught = trainee.respond(l);
                text(&trainee, &taught)
            })
            .collect::<Vec<_>>()
    };
    assert_eq!(run(), run());
}
