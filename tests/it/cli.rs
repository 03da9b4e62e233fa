//! The program from outside: arguments, pipes, JSON, exit codes.

use std::process::{Command, Output, Stdio};

use crate::support::swingwhy;
use serde_json::Value;

fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

#[test]
fn tell_answers_once_in_plain_text() {
    let out = swingwhy(
        &[
            "tell",
            "7 iron, chunked three, divot starts 2 inches behind the ball",
        ],
        "",
    );
    assert_eq!(out.status.code(), Some(0));
    let said = text(&out);
    assert!(
        said.contains("low point") && said.contains("Question"),
        "{said}"
    );
    assert!(!said.contains('\u{1b}'));
}

#[test]
fn tell_json_keeps_format_version_1() {
    let out = swingwhy(
        &[
            "tell",
            "--json",
            "7 iron fat, low point 1 in behind, drizzly",
        ],
        "",
    );
    let object: Value = serde_json::from_str(&text(&out)).unwrap();
    assert_eq!(object["format"], 1);
    for key in [
        "id",
        "knowledge",
        "understood",
        "not_used",
        "quantities",
        "effects",
        "causes",
        "contradictions",
        "cautions",
        "scope",
        "next_check",
        "practice",
    ] {
        assert!(object.get(key).is_some(), "{key}");
    }
    assert_eq!(object["scope"], "in");
    let low_point = object["quantities"]
        .as_array()
        .unwrap()
        .iter()
        .find(|q| q["quantity"] == "low_point")
        .unwrap()
        .clone();
    assert_eq!(low_point["value"], -1.0);
    assert_eq!(low_point["unit"], "in");
    let fat = &object["understood"][0];
    assert_eq!(fat["pattern"]["club"], "iron_7");
    assert!(
        object["not_used"]
            .as_array()
            .unwrap()
            .iter()
            .any(|w| w == "drizzly")
    );
    let cause = &object["causes"][0];
    let p = cause["probability"].as_f64().unwrap();
    assert!(p > 0.0 && p < 1.0);
}

#[test]
fn batch_maps_lines_in_order_and_reports_bad_ones() {
    let input = concat!(
        "{\"id\":1,\"handed\":null,\"message\":\"driver slices\"}\n",
        "\n",
        "{\"id\":2,\"mesage\":\"x\"}\n",
        "not json\n",
        "{\"id\":3,\"handed\":\"left\",\"message\":[\"7i\",\"divots point right\"],\"answers\":{\"ask_ball_forward\":\"don't know\"}}\n",
    );
    let out = swingwhy(&["batch"], input);
    assert_eq!(out.status.code(), Some(65));
    let lines: Vec<Value> = text(&out)
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    assert_eq!(lines.len(), 4);
    assert_eq!(lines[0]["id"], 1);
    assert_eq!(lines[1]["line"], 3);
    assert!(
        lines[1]["error"]
            .as_str()
            .unwrap()
            .contains("did you mean \"message\"")
    );
    assert_eq!(lines[2]["line"], 4);
    assert_eq!(lines[3]["id"], 3);
}

#[test]
fn a_message_means_the_same_alone_and_in_an_archive() {
    let one = "{\"id\":1,\"message\":\"5 wood thin off the fairway, never fat\"}\n";
    let other = "{\"id\":0,\"message\":\"driver hooks, heel strikes\"}\n";
    let alone = text(&swingwhy(&["batch"], one));
    let after = text(&swingwhy(&["batch"], &format!("{other}{one}")));
    assert_eq!(after.lines().nth(1).unwrap(), alone.trim_end());
}

#[test]
fn a_pipe_talks_without_prompts_and_the_talk_ends_with_bye() {
    let out = swingwhy(&[], "7 iron fat\nbye\nnever read\n");
    assert_eq!(out.status.code(), Some(0));
    let said = text(&out);
    assert!(!said.contains("> ") && said.contains("Good golf"), "{said}");
}

#[test]
fn usage_errors_exit_with_2_and_help_with_0() {
    assert_eq!(swingwhy(&["tel"], "").status.code(), Some(2));
    assert_eq!(swingwhy(&["tell"], "").status.code(), Some(2));
    assert_eq!(swingwhy(&["arc"], "").status.code(), Some(2));
    assert_eq!(
        swingwhy(&["knowledge", "show", "s_ball_forwrad"], "")
            .status
            .code(),
        Some(2)
    );
    assert_eq!(swingwhy(&["--help"], "").status.code(), Some(0));
}

#[test]
fn a_broken_folder_lists_its_problems_and_exits_with_1() {
    let folder = crate::support::root().join("tests/broken-knowledge/unknown-id");
    let out = swingwhy(
        &["knowledge", "check", "--add", &folder.to_string_lossy()],
        "",
    );
    assert_eq!(out.status.code(), Some(1));
    assert!(
        text(&out).contains("did you mean `d_line_brush`?"),
        "{}",
        text(&out)
    );
}

#[test]
fn knowledge_check_passes_and_show_prints_a_page() {
    let out = swingwhy(&["knowledge", "check"], "");
    assert_eq!(out.status.code(), Some(0), "{}", text(&out));
    let page = text(&swingwhy(&["knowledge", "show", "s_ball_forward"], ""));
    assert!(page.contains("low point 2.5 in back"), "{page}");
    let graph = text(&swingwhy(&["knowledge", "graph"], ""));
    assert!(graph.starts_with("digraph") && graph.contains("->"));
}

#[test]
fn arc_computes_attack_from_low_point_and_draws_it() {
    let said = text(&swingwhy(&["arc", "--low-point", "3.5"], ""));
    assert!(
        said.contains("low point 3.5 in ahead") || said.contains("Low point 3.5 in ahead"),
        "{said}"
    );
    assert!(said.contains("4 deg down") && said.contains('V'), "{said}");
    let behind = text(&swingwhy(&["arc", "--low-point=-2"], ""));
    assert!(behind.contains("2.3 deg up"), "{behind}");
}

#[test]
fn replay_says_what_differs() {
    let folder = std::env::temp_dir().join(format!("swingwhy-replay-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("talk.txt");
    std::fs::write(&path, "> hello\nGood evening.\n").unwrap();
    let out = swingwhy(&["replay", &path.to_string_lossy()], "");
    assert_eq!(out.status.code(), Some(1));
    assert!(text(&out).contains(":2: differs"), "{}", text(&out));
    let updated = swingwhy(&["replay", "--update", &path.to_string_lossy()], "");
    assert_eq!(updated.status.code(), Some(0));
    assert_eq!(
        swingwhy(&["replay", &path.to_string_lossy()], "")
            .status
            .code(),
        Some(0)
    );
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn a_closed_pipe_is_no_error() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_swingwhy"))
        .args(["knowledge", "graph"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let out = child.wait_with_output().unwrap();
    assert_eq!(out.status.code(), Some(0));
    assert!(
        out.stderr.is_empty(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
}
