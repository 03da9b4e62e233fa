//! The borders of the rooms: which module may use which, who names which library, which rooms are
//! pure. Read from the source, so that no edit can cross a border unseen.

use std::collections::BTreeMap;
use std::path::Path;

use crate::support::root;
use swingwhy::causes::model::{Axis, Event};

/// Room -> rooms it may use. Files at the top of `src` are rooms of their own.
const ARROWS: &[(&str, &str)] = &[
    ("beside", ""),
    ("quantity", ""),
    ("vocabulary", ""),
    ("geometry", "quantity vocabulary"),
    ("rules", "quantity vocabulary geometry"),
    ("causes", "beside quantity vocabulary geometry"),
    (
        "knowledge",
        "beside quantity vocabulary geometry rules causes",
    ),
    ("reading", "quantity vocabulary knowledge"),
    (
        "diagnosis",
        "quantity vocabulary geometry rules causes knowledge",
    ),
    (
        "explanation",
        "quantity vocabulary rules causes knowledge diagnosis",
    ),
    ("lesson", "quantity vocabulary"),
    (
        "learning",
        "quantity vocabulary geometry causes knowledge reading diagnosis explanation lesson",
    ),
    (
        "conversation",
        "beside quantity vocabulary geometry rules causes knowledge reading diagnosis explanation lesson learning",
    ),
    (
        "wording",
        "quantity vocabulary geometry rules causes knowledge reading diagnosis explanation lesson learning conversation trial shots",
    ),
    (
        "trial",
        "vocabulary rules causes knowledge diagnosis conversation",
    ),
    ("sitting", "conversation wording lesson"),
    (
        "transcript",
        "conversation wording knowledge lesson sitting",
    ),
    (
        "terminal",
        "conversation wording knowledge lesson sitting pasted",
    ),
    ("pasted", ""),
    ("shots", "quantity vocabulary geometry knowledge"),
    (
        "cli",
        "quantity vocabulary geometry causes knowledge conversation wording transcript terminal lesson learning sitting shots diagnosis trial pasted",
    ),
    ("main", "cli"),
];

/// Library -> the only files that may name it.
const NAMED_IN: &[(&str, &[&str])] = &[
    ("serde_yaml", &["knowledge/yaml_text.rs"]),
    (
        "hashbrown",
        &["reading/phrases/tree.rs", "reading/spelling.rs"],
    ),
    ("petgraph", &["causes/graph.rs"]),
    ("rustyline", &["terminal.rs"]),
    ("wide", &["causes/lanes.rs"]),
];

/// Rooms without clock, chance, input or output.
const PURE: &[&str] = &[
    "beside",
    "quantity",
    "vocabulary",
    "geometry",
    "rules",
    "causes",
    "diagnosis",
    "explanation",
    "reading",
    "knowledge",
    "learning",
    "conversation",
    "trial",
];

const IMPURE: &[&str] = &[
    "std::time",
    "std::fs",
    "std::io",
    "std::env",
    "std::net",
    "std::process",
    "SystemTime",
    "Instant::",
    "thread_rng",
    "println!",
    "eprintln!",
    "print!(",
];

fn sources() -> BTreeMap<String, String> {
    fn walk(at: &Path, top: &Path, out: &mut BTreeMap<String, String>) {
        for entry in std::fs::read_dir(at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, top, out);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let name = path
                    .strip_prefix(top)
                    .unwrap()
                    .to_string_lossy()
                    .into_owned();
                out.insert(name, std::fs::read_to_string(&path).unwrap());
            }
        }
    }
    let mut out = BTreeMap::new();
    let top = root().join("src");
    walk(&top, &top, &mut out);
    out
}

fn room(file: &str) -> &str {
    file.split('/').next().unwrap().trim_end_matches(".rs")
}

/// The text without comments and without what follows a test module.
fn code(text: &str) -> String {
    let text = text.split("#[cfg(test)]").next().unwrap();
    text.lines()
        .filter(|l| !l.trim_start().starts_with("//"))
        .map(|l| l.split(" // ").next().unwrap())
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn rooms_use_only_the_rooms_they_may() {
    let allowed: BTreeMap<&str, &str> = ARROWS.iter().copied().collect();
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        let own = room(&file);
        if own == "lib" {
            continue;
        }
        let may = allowed
            .get(own)
            .unwrap_or_else(|| panic!("{file}: a room without a place in the plan"));
        let code = code(&text);
        for (at, _) in code
            .match_indices("crate::")
            .chain(code.match_indices("swingwhy::"))
        {
            let rest = &code[at..];
            let name: String = rest
                .split_once("::")
                .unwrap()
                .1
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect();
            let is_room = ARROWS.iter().any(|(r, _)| *r == name);
            if is_room && name != own && !may.split(' ').any(|m| m == name) {
                wrong.push(format!("{file} uses {name}"));
            }
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn libraries_stay_in_their_files() {
    for (file, text) in sources() {
        let code = code(&text);
        for (library, files) in NAMED_IN {
            let named =
                code.contains(&format!("{library}::")) || code.contains(&format!("use {library}"));
            assert!(
                !named || files.contains(&file.as_str()),
                "{file} names {library}"
            );
        }
    }
}

#[test]
fn pure_rooms_read_no_clock_and_do_no_input_or_output() {
    for (file, text) in sources() {
        if !PURE.contains(&room(&file)) {
            continue;
        }
        let code = code(&text);
        for word in IMPURE {
            assert!(!code.contains(word), "{file} contains {word}");
        }
    }
}

#[test]
fn no_code_knows_a_symptom_a_cause_or_a_drill_by_name() {
    let base = crate::support::base();
    let ids: Vec<String> = base
        .causes
        .ids()
        .chain(base.drills.ids())
        .chain(base.symptoms.ids().filter(|id| id.contains('_')))
        .chain(base.effects.ids())
        .chain(base.checks.ids())
        // Events of a shot and quantities of the arc are geometry, and lend symptoms their names.
        .filter(|id| !Event::ALL.iter().any(|(_, name)| name == id))
        .filter(|id| !Axis::ALL.iter().any(|(_, name, _, _)| name == id))
        .map(|id| format!("\"{id}\""))
        .collect();
    for (file, text) in sources() {
        let code = code(&text);
        for id in &ids {
            assert!(!code.contains(id.as_str()), "{file} knows {id}");
        }
    }
}

#[test]
fn every_file_says_what_it_answers_and_carries_a_name_of_the_trade() {
    let forbidden = [
        "utils", "helpers", "common", "types", "manager", "service", "handler", "core", "misc",
    ];
    for (file, text) in sources() {
        assert!(text.starts_with("//!"), "{file} has no head comment");
        let stem = file.rsplit('/').next().unwrap().trim_end_matches(".rs");
        assert!(!forbidden.contains(&stem), "{file}");
        assert!(
            !text.contains("todo!(") && !text.contains("unimplemented!("),
            "{file}"
        );
    }
}
