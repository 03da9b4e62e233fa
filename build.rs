//! Compiles the knowledge files in: each as the text it is, for places and for laying over, and as
//! JSON, which is read several times as fast. Also lists the cases. A file that is added to the
//! folders is found by itself.
//!
//! Writes `compiled_in.rs`, which `src/knowledge/builtin.rs` includes. A text that cannot be read
//! gets no JSON: the program then reads the text, and says what is wrong where it stands.

#[path = "src/knowledge/yaml_text.rs"]
#[allow(dead_code, reason = "the library asks where a text went wrong")]
mod yaml_text;

use std::error::Error;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// The folders of cases that tell of golfers.
const CASES: [&str; 4] = ["blind", "fresh", "knowing", "rules"];

fn main() -> Result<(), Box<dyn Error>> {
    let root = PathBuf::from(std::env::var("CARGO_MANIFEST_DIR")?);
    let out = PathBuf::from(std::env::var("OUT_DIR")?);
    let mut code = String::from("const FILES: &[(&str, &str, Option<&str>)] = &[\n");
    for path in yaml_files(&root, "knowledge")? {
        let text = std::fs::read_to_string(root.join("knowledge").join(&path))?;
        let ready = match yaml_text::from_yaml::<serde_json::Value>(&text) {
            Ok(data) => {
                let name = format!("{}.json", path.replace('/', "-"));
                std::fs::write(out.join(&name), data.to_string())?;
                format!("Some(include_str!(concat!(env!(\"OUT_DIR\"), \"/{name}\")))")
            }
            Err(_) => "None".to_owned(),
        };
        writeln!(
            code,
            "    (\"{path}\", include_str!(concat!(env!(\"CARGO_MANIFEST_DIR\"), \"/knowledge/{path}\")), {ready}),"
        )?;
    }
    code.push_str("];\nconst CASES: &[(&str, &str)] = &[\n");
    for folder in CASES {
        for path in yaml_files(&root, &format!("tests/cases/{folder}"))? {
            writeln!(
                code,
                "    (\"{folder}/{path}\", include_str!(concat!(env!(\"CARGO_MANIFEST_DIR\"), \"/tests/cases/{folder}/{path}\"))),"
            )?;
        }
    }
    code.push_str("];\n");
    std::fs::write(out.join("compiled_in.rs"), code)?;
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-changed=src/knowledge/yaml_text.rs");
    Ok(())
}

/// The YAML files below a folder, by their paths in it, sorted.
fn yaml_files(root: &Path, folder: &str) -> Result<Vec<String>, Box<dyn Error>> {
    println!("cargo::rerun-if-changed={folder}");
    let top = root.join(folder);
    let mut found = Vec::new();
    let mut folders = vec![top.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder)? {
            let path = entry?.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "yaml")
                && let Some(inside) = path.strip_prefix(&top)?.to_str()
            {
                found.push(inside.replace('\\', "/"));
            }
        }
    }
    found.sort();
    Ok(found)
}
