//! Broken knowledge: each folder of `tests/broken-knowledge` is laid over the built-in files; its
//! name is the kind of problem that must be found, and the message is a snapshot.

use crate::support::root;
use swingwhy::knowledge::{SourceFile, builtin_files, laid_over, load};
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
    assert!(folders.len() >= 10);
    for folder in folders {
        let kind = folder.file_name().unwrap().to_string_lossy().into_owned();
        let Err(found) = load(&laid_over(builtin_files(), folder_files(&folder))) else {
            panic!("no problem found in {kind}");
        };
        assert!(
            found.iter().any(|p| p.kind.name() == kind),
            "{kind}: {}",
            problems(&found)
        );
        insta::assert_snapshot!(format!("problem_{kind}"), problems(&found));
    }
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
    let found = load(&laid_over(builtin_files(), broken)).unwrap_err();
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
