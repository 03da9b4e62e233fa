//! The demonstrations in `transcripts-demo` and the one in the README come out as they stand.
//! `UPDATE_TRANSCRIPTS=1` writes what comes out now over them.

use std::path::{Path, PathBuf};

use crate::support::{root, session};
use swingwhy::transcript::{first_difference, replay};

fn demos() -> Vec<PathBuf> {
    let mut all: Vec<PathBuf> = std::fs::read_dir(root().join("transcripts-demo"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "txt"))
        .collect();
    all.sort();
    all
}

fn check(path: &Path) {
    let text = std::fs::read_to_string(path).unwrap();
    let now = replay(&session(), &text);
    if std::env::var_os("UPDATE_TRANSCRIPTS").is_some() {
        std::fs::write(path, &now).unwrap();
        return;
    }
    if let Some((line, was, is)) = first_difference(text.trim_end(), now.trim_end()) {
        panic!("{}:{line}\n  was: {was}\n  now: {is}", path.display());
    }
}

#[test]
fn demonstrations_come_out_as_they_stand() {
    let all = demos();
    assert!(
        all.len() >= 3,
        "one for the golfer, the coach and the new coach"
    );
    for path in all {
        check(&path);
    }
}

#[test]
fn the_readme_shows_what_the_golfer_demo_says() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let block = readme
        .split("```text\n")
        .nth(1)
        .and_then(|rest| rest.split("```").next())
        .expect("the README has a transcript");
    let now = replay(&session(), block);
    if let Some((line, was, is)) = first_difference(block.trim_end(), now.trim_end()) {
        panic!("README transcript, line {line}\n  was: {was}\n  now: {is}");
    }
}
