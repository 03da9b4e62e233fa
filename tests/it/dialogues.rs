//! Whole talks: the typed lines of `tests/dialogues/*.txt`, replayed, as snapshots to be read.

use crate::support::{root, session};
use swingwhy::conversation::{COMMANDS, Verb, command};
use swingwhy::transcript::{replay, typed};

#[test]
fn talks_read_as_they_were_read_by_a_person() {
    insta::glob!("../dialogues", "*.txt", |path| {
        let text = std::fs::read_to_string(path).unwrap();
        let out = replay(&session(), &text);
        assert!(
            out.chars().all(|c| c == '\n' || !c.is_control()),
            "a control character in {}",
            path.display()
        );
        let long = out
            .lines()
            .filter(|l| !l.starts_with("> "))
            .find(|l| l.chars().count() > 78);
        assert_eq!(long, None, "a line over 78 columns in {}", path.display());
        insta::assert_snapshot!(out);
    });
}

/// Every caution is said in some talk, so that none goes unread. Judged by its first words: the lines
/// are folded, and push side and pull side become right and left.
#[test]
fn every_caution_is_in_a_talk() {
    let mut shown = String::new();
    let talks = |name: &str| name.starts_with("it__dialogues__talks");
    for file in std::fs::read_dir(root().join("tests/it/snapshots")).unwrap() {
        let file = file.unwrap();
        if talks(&file.file_name().to_string_lossy()) {
            shown += &std::fs::read_to_string(file.path()).unwrap();
        }
    }
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let shown = plain(&shown);
    let base = swingwhy::knowledge::builtin().unwrap();
    let missing: Vec<&str> = base
        .cautions
        .iter()
        .filter(|c| {
            let words: Vec<&str> = c.text.split_whitespace().take(5).collect();
            !shown.contains(&words.join(" "))
        })
        .map(|c| c.id.as_str())
        .collect();
    assert!(missing.is_empty(), "in no talk: {missing:?}");
}

/// Every command is said in some talk, so that no screen goes unread.
#[test]
fn every_command_is_in_a_talk() {
    let mut said: Vec<String> = Vec::new();
    for folder in ["tests/dialogues", "transcripts-demo"] {
        for file in std::fs::read_dir(root().join(folder)).unwrap() {
            let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
            said.extend(typed(&text).into_iter().map(str::to_owned));
        }
    }
    let verbs: Vec<Verb> = said
        .iter()
        .filter_map(|line| command(line))
        .map(|said| said.verb)
        .collect();
    let missing: Vec<&str> = COMMANDS
        .iter()
        .filter(|c| !verbs.contains(&c.verb))
        .map(|c| c.name)
        .collect();
    assert!(missing.is_empty(), "in no talk: {missing:?}");
}
