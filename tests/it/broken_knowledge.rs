//! Broken knowledge: each folder of `tests/broken-knowledge` is laid over the built-in files; its
//! name, up to a point, is the kind of problem that must be found, and the message is a snapshot.

use crate::support::{base, root};
use swingwhy::knowledge::{
    Problem, SourceFile, builtin_files, laid_over, load, load_and_lint, untried_rules,
};
use swingwhy::wording::problems;

fn folder_files(folder: &std::path::Path) -> Vec<SourceFile> {
    let mut out = Vec::new();
    let mut waiting = vec![folder.to_path_buf()];
    while let Some(at) = waiting.pop() {
        for entry in std::fs::read_dir(&at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                out.push(SourceFile {
                    path: path
                        .strip_prefix(folder)
                        .unwrap()
                        .to_string_lossy()
                        .into_owned(),
                    text: std::fs::read_to_string(&path).unwrap(),
                });
            }
        }
    }
    out.sort_by(|a, b| a.path.cmp(&b.path));
    out
}

#[test]
fn every_kind_of_problem_is_found_with_its_place() {
    let mut folders: Vec<_> = std::fs::read_dir(root().join("tests/broken-knowledge"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    folders.sort();
    assert!(folders.len() >= 22);
    for folder in folders {
        let name = folder.file_name().unwrap().to_string_lossy().into_owned();
        // A second folder for a kind has a name of its own after a point.
        let kind = name.split('.').next().unwrap();
        let files = laid_over(builtin_files(), &folder_files(&folder)).files;
        // What the built-in knowledge leaves to wish for is not the folder's fault.
        let found = match load_and_lint(&files) {
            Ok((_, remarks)) => {
                let own = |p: &Problem| !builtin_remarks().iter().any(|b| b.kind == p.kind);
                remarks.into_iter().filter(own).collect()
            }
            Err(problems) => problems,
        };
        assert!(
            found.iter().any(|p| p.kind.name() == kind),
            "{kind}: {}",
            problems(&found)
        );
        insta::assert_snapshot!(format!("problem_{name}"), problems(&found));
    }
}

fn builtin_remarks() -> Vec<Problem> {
    load_and_lint(&builtin_files()).unwrap().1
}

#[test]
fn every_kind_has_a_folder_or_a_test_of_its_own() {
    // These need a file that is too large, a file that is missing, or cases.
    let elsewhere = ["too-large", "missing-file", "rule-without-case"];
    let text = std::fs::read_to_string(root().join("src/knowledge/problem.rs")).unwrap();
    let names = text
        .split("=> \"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next());
    let mut seen = 0;
    for name in names {
        let folder = root().join("tests/broken-knowledge").join(name);
        assert!(folder.is_dir() || elsewhere.contains(&name), "{name}");
        seen += 1;
    }
    assert!(seen > 20);
}

#[test]
fn what_the_built_in_knowledge_leaves_to_wish_for_is_known() {
    let remarks: Vec<String> = builtin_remarks()
        .iter()
        .map(|p| format!("{} {}", p.kind.name(), p.entry.as_deref().unwrap_or("")))
        .collect();
    insta::assert_snapshot!(remarks.join("\n"));
}

#[test]
fn a_file_that_is_missing_is_named() {
    let files: Vec<_> = builtin_files()
        .into_iter()
        .filter(|f| f.path != "effects.yaml")
        .collect();
    let found = load(&files).unwrap_err();
    assert!(found.iter().any(|p| p.kind.name() == "missing-file"));
}

#[test]
fn a_rule_that_no_case_tries_is_named() {
    let files = builtin_files();
    let rules = base().program.rules().len();
    let mut tries = vec![(1, 1); rules];
    tries[0] = (0, 1);
    tries[3] = (2, 0);
    let found = untried_rules(&files, &tries).unwrap();
    assert_eq!(found.len(), 2);
    assert!(
        found
            .iter()
            .all(|p| p.kind.name() == "rule-without-case" && p.place.line > 0)
    );
}

#[test]
fn all_problems_of_several_files_come_at_once() {
    let broken = vec![
        SourceFile {
            path: "drills.yaml".into(),
            text: "- id: d_x\n  nmae: x\n- id: d_y\n  name: [\n".into(),
        },
        SourceFile {
            path: "strange.yaml".into(),
            text: String::new(),
        },
    ];
    let found = load(&laid_over(builtin_files(), &broken).files).unwrap_err();
    let mut kinds: Vec<_> = found.iter().map(|p| p.kind.name()).collect();
    kinds.dedup();
    assert_eq!(kinds, ["unknown-key", "shape", "unknown-file"]);
}

#[test]
fn deep_huge_and_odd_files_are_problems_and_no_crash() {
    let deep = format!("- id: {}x{}\n", "[".repeat(5_000), "]".repeat(5_000));
    let bomb = "- id: &a [x,x,x,x,x,x,x,x]\n  b: &b [*a,*a,*a,*a,*a,*a,*a,*a]\n  c: &c [*b,*b,*b,*b,*b,*b,*b,*b]\n  d: &d [*c,*c,*c,*c,*c,*c,*c,*c]\n  e: [*d,*d,*d,*d,*d,*d,*d,*d]\n".to_owned();
    let huge = "- id: a\n".repeat(400_000);
    for text in [
        deep,
        bomb,
        huge,
        "\u{0}\u{1}".to_owned(),
        "- - - -\n".to_owned(),
        "x".to_owned(),
    ] {
        let file = SourceFile {
            path: "drills.yaml".into(),
            text,
        };
        let mut files: Vec<_> = builtin_files()
            .into_iter()
            .filter(|f| f.path != "drills.yaml")
            .collect();
        files.push(file);
        assert!(load(&files).is_err());
    }
}

#[test]
fn a_file_that_is_too_large_is_not_read() {
    let mut files = builtin_files();
    for file in &mut files {
        if file.path == "drills.yaml" {
            file.text.push_str(&"# and so on\n".repeat(200_000));
        }
    }
    let found = load(&files).unwrap_err();
    assert!(found.iter().any(|p| p.kind.name() == "too-large"));
}
