//! The tools around the knowledge: recipes that work, own folders and overridden numbers, schemas that
//! fit the files, what a cause implies, what a change changes.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Output;

use serde_json::Value;

use crate::support::{base, root, swingwhy};
use swingwhy::diagnosis::Mind;
use swingwhy::knowledge::{
    SourceFile, builtin_cases, builtin_files, laid_over, load_and_lint, read_cases, schema,
    schema_kinds,
};
use swingwhy::trial::{compared, figures, play_all};
use swingwhy::vocabulary::CauseId;
use swingwhy::wording::problems;

fn said(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// A folder for one test, gone at the end.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("swingwhy-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn write(&self, file: &str, text: &str) {
        let path = self.0.join(file);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    fn path(&self) -> String {
        self.0.to_string_lossy().into_owned()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// The blocks of the recipes: what follows the fence, and the text.
fn recipes() -> Vec<(String, String)> {
    let text = std::fs::read_to_string(root().join("knowledge/RECIPES.md")).unwrap();
    let mut out = Vec::new();
    let mut parts = text.split("```");
    parts.next();
    while let (Some(block), Some(_)) = (parts.next(), parts.next()) {
        let (head, body) = block.split_once('\n').unwrap();
        out.push((head.to_owned(), body.to_owned()));
    }
    out
}

fn recipe_folder(name: &str) -> Folder {
    let folder = Folder::new(name);
    for (head, body) in recipes() {
        if let Some(file) = head
            .strip_prefix("yaml ")
            .filter(|f| !f.starts_with("case "))
        {
            folder.write(file, &body);
        }
    }
    folder
}

#[test]
fn every_kind_of_file_has_a_recipe_and_all_of_them_load_without_a_remark() {
    let upper: Vec<SourceFile> = recipes()
        .into_iter()
        .filter_map(|(head, text)| {
            let path = head.strip_prefix("yaml ")?.to_owned();
            (!path.starts_with("case ")).then_some(SourceFile { path, text })
        })
        .collect();
    for (kind, _) in schema_kinds() {
        let within = |f: &SourceFile| f.path.trim_start_matches("course/").starts_with(kind);
        let shown = upper.iter().any(within);
        // The golfers themselves are not for a coach to add to.
        let inside = ["cases", "groups", "population", "quantities"].contains(&kind);
        assert!(shown || inside, "no recipe for {kind}");
    }
    let laid = laid_over(builtin_files(), &upper);
    let (base, remarks) = load_and_lint(&laid.files).unwrap_or_else(|l| panic!("{}", problems(&l)));
    let own: Vec<_> = remarks
        .into_iter()
        .filter(|p| {
            p.entry
                .as_deref()
                .is_some_and(|e| e.to_lowercase().starts_with("my_"))
        })
        .collect();
    assert!(own.is_empty(), "{}", problems(&own));
    assert!((base.cause(base.find_cause("s_ball_forward").unwrap()).prior - 0.3).abs() < 1e-12);
    let builtin = crate::support::base();
    let same = builtin.cause(builtin.find_cause("s_ball_forward").unwrap());
    let now = base.cause(base.find_cause("s_ball_forward").unwrap());
    assert_eq!(
        (&same.name, &same.cue, &same.folk),
        (&now.name, &now.cue, &now.folk)
    );
}

#[test]
fn the_recipes_do_what_they_say() {
    let folder = recipe_folder("recipes");
    let (_, console) = recipes().into_iter().find(|(h, _)| h == "console").unwrap();
    let mut runs: Vec<(Vec<String>, Vec<String>)> = Vec::new();
    for line in console.lines().filter(|l| !l.is_empty()) {
        if let Some(command) = line.strip_prefix("$ swingwhy ") {
            let mut words: Vec<String> = Vec::new();
            for (i, part) in command.split('"').enumerate() {
                if i % 2 == 1 {
                    words.push(part.to_owned());
                } else {
                    words.extend(part.split_whitespace().map(str::to_owned));
                }
            }
            runs.push((words, Vec::new()));
        } else {
            runs.last_mut().unwrap().1.push(line.to_owned());
        }
    }
    assert!(runs.len() >= 3);
    for (words, expected) in runs {
        let path = folder.path();
        let mut args: Vec<&str> = vec!["--add", &path];
        args.extend(words.iter().map(String::as_str));
        let text = said(&swingwhy(&args, ""));
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for line in expected {
            assert!(flat.contains(&line), "{words:?}: {text}");
        }
    }
    let cases = Folder::new("recipe-cases");
    for (head, body) in recipes() {
        if let Some(file) = head.strip_prefix("yaml case ") {
            cases.write(file, &body);
        }
    }
    let text = said(&swingwhy(
        &["knowledge", "cases", &cases.path(), "--add", &folder.path()],
        "",
    ));
    assert!(text.contains("accepted cause first   100.0 %"), "{text}");
    assert!(!text.contains("my_case_wet_slice"), "{text}");
}

#[test]
fn own_knowledge_is_found_among_the_configurations_and_told_of() {
    let folder = Folder::new("own");
    folder.write(
        "swingwhy/knowledge/causes/mine.yaml",
        "# mine\n- id: s_ball_forward\n  keep: rest\n  prior: 0.4\n",
    );
    let run = |args: &[&str]| {
        std::process::Command::new(env!("CARGO_BIN_EXE_swingwhy"))
            .args(args)
            .env("XDG_CONFIG_HOME", &folder.0)
            .stdin(std::process::Stdio::null())
            .output()
            .unwrap()
    };
    let check = said(&run(&["knowledge", "check"]));
    assert!(
        check.contains("s_ball_forward other than built in: prior"),
        "{check}"
    );
    let without = said(&run(&["knowledge", "check", "--no-own"]));
    assert!(!without.contains("other than built in"), "{without}");
    let show = said(&run(&["knowledge", "show", "s_ball_forward"]));
    assert!(show.contains("40 of 100"), "{show}");
    let talk = run(&[]);
    let notice = String::from_utf8(talk.stderr).unwrap();
    assert!(
        notice.contains("0 new entries, 1 in place of built-in ones"),
        "{notice}"
    );
}

#[test]
fn a_wrong_number_in_an_override_is_placed_where_it_was_written() {
    let folder = Folder::new("override");
    folder.write(
        "causes/mine.yaml",
        "# a comment\n- id: s_ball_forward\n  keep: rest\n  prior: 1.4\n",
    );
    let out = swingwhy(&["knowledge", "check", "--add", &folder.path()], "");
    assert_eq!(out.status.code(), Some(1));
    assert!(
        said(&out).contains("--> causes/mine.yaml:4:3"),
        "{}",
        said(&out)
    );
}

#[test]
fn diff_lists_cases_that_come_out_otherwise() {
    let cases = Folder::new("diff-cases");
    cases.write(
        "one.yaml",
        "- id: one\n  by: me\n  hand: none\n  say: [\"7 iron fat, ball is up by my front foot\"]\n  first: [s_ball_forward]\n  caution: none\n  why: said\n",
    );
    let folder = Folder::new("diff");
    folder.write(
        "causes/mine.yaml",
        "- id: s_ball_forward\n  keep: rest\n  prior: 0.001\n  shifts: [{low_point: 1 +/- 0.5 in}]\n",
    );
    let with = [
        "knowledge",
        "diff",
        "--cases",
        &cases.path(),
        "--add",
        &folder.path(),
    ]
    .map(str::to_owned);
    let with: Vec<&str> = with.iter().map(String::as_str).collect();
    let text = said(&swingwhy(&with, ""));
    assert!(
        text.contains("causes: s_ball_forward other than built in: prior, shifts"),
        "{text}"
    );
    assert!(text.contains("1 cases: 1 changed"), "{text}");
    let same = root().join("knowledge").to_string_lossy().into_owned();
    let args = ["knowledge", "diff", &same, "--cases", &cases.path()].map(str::to_owned);
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let text = said(&swingwhy(&args, ""));
    assert!(text.contains("1 cases: 0 changed"), "{text}");
    assert_eq!(swingwhy(&["knowledge", "diff"], "").status.code(), Some(2));
}

#[test]
fn every_strength_far_from_the_implied_one_is_argued() {
    let base = base();
    let mut mind = Mind::new(base.clone()).unwrap();
    let mut seen = 0;
    for cause in (0..base.causes.len()).map(CauseId::from_index) {
        for one in compared(&mut mind, cause) {
            seen += 1;
            assert!(
                !one.is_far() || one.argued.is_some(),
                "{} {}: expected {:.2}, implied {:.2}",
                base.cause(cause).id,
                base.effect(one.effect).id,
                one.expected,
                one.implied
            );
        }
    }
    assert!(seen > 300);
}

#[test]
fn effects_prints_each_club_group_and_the_strengths() {
    let text = said(&swingwhy(
        &["knowledge", "effects", "swaying off the ball"],
        "",
    ));
    assert!(
        text.contains("e_lp_behind") && text.contains("driver"),
        "{text}"
    );
    assert!(text.contains("far apart, argued"), "{text}");
    assert!(text.lines().all(|l| l.chars().count() <= 100), "{text}");
    assert_eq!(
        swingwhy(&["knowledge", "effects", "p_swya"], "")
            .status
            .code(),
        Some(2)
    );
}

#[test]
fn figures_count_what_they_say() {
    let base = base();
    let cases: Vec<_> = read_cases(&builtin_cases(), &base)
        .unwrap()
        .into_iter()
        .take(6)
        .collect();
    let outcomes = play_all(&base, &cases).unwrap();
    let figures = figures(&base, &cases, &outcomes);
    assert_eq!(figures.all.first.of, 6);
    let first = cases
        .iter()
        .zip(&outcomes)
        .filter(|(c, o)| o.first_accepted(c))
        .count();
    assert_eq!(figures.all.first.hits, first);
    let by_theme: usize = figures.themes.values().map(|t| t.first.of).sum();
    let by_group: usize = figures.groups.values().map(|t| t.first.of).sum();
    let sure: usize = figures.sure.iter().map(|s| s.accepted.of).sum();
    assert_eq!((by_theme, by_group), (6, 6));
    assert_eq!(
        sure,
        outcomes.iter().filter(|o| !o.ranked.is_empty()).count()
    );
    let fired: usize = outcomes.iter().map(|o| o.fired.len()).sum();
    assert_eq!(figures.rules.iter().map(|r| r.0).sum::<usize>(), fired);
    // The same again, one after another, gives the same.
    let mut session = swingwhy::conversation::Session::new(base, None).unwrap();
    for (case, outcome) in cases.iter().zip(&outcomes) {
        assert_eq!(&swingwhy::trial::play(&mut session, case), outcome);
    }
}

/// The fields of a schema that say nothing of themselves.
fn undescribed(schema: &Value, path: &str, out: &mut Vec<String>) {
    if let Some(fields) = schema.get("properties").and_then(Value::as_object) {
        for (name, field) in fields {
            let text = field.get("description").and_then(Value::as_str);
            if text.is_none_or(|text| text.len() < 10) {
                out.push(format!("{path}.{name}"));
            }
        }
    }
    match schema {
        Value::Object(parts) => {
            for (name, part) in parts {
                undescribed(part, &format!("{path}/{name}"), out);
            }
        }
        Value::Array(parts) => {
            for part in parts {
                undescribed(part, path, out);
            }
        }
        _ => {}
    }
}

#[test]
fn every_field_of_every_schema_says_what_it_is() {
    let mut silent = Vec::new();
    for (kind, _) in schema_kinds() {
        let text = schema(kind).unwrap();
        let schema: Value = serde_json::from_str(&text).unwrap();
        undescribed(&schema, kind, &mut silent);
    }
    assert!(silent.is_empty(), "{silent:#?}");
}

/// The numbers of a schema whose description names neither a unit nor how large they may be.
fn unmeasured(schema: &Value, path: &str, out: &mut Vec<String>) {
    if let Some(fields) = schema.get("properties").and_then(Value::as_object) {
        for (name, field) in fields {
            let sort = field.get("type");
            let number = |v: &Value| v == "number" || v == "integer";
            let is_number = sort.is_some_and(|s| {
                number(s) || s.as_array().is_some_and(|list| list.iter().any(number))
            });
            let text = field["description"].as_str().unwrap_or("");
            let says = [
                "in the unit",
                "in `unit`",
                "mm",
                " deg",
                "mph",
                "yd",
                "Factor",
                "times",
                "How many",
                "share",
                "Share",
                "How much",
                "from 1",
                "such as 1",
            ];
            let measured = text.chars().any(|c| c.is_ascii_digit());
            if is_number && !measured && !says.iter().any(|word| text.contains(word)) {
                out.push(format!("{path}.{name}: {text}"));
            }
        }
    }
    match schema {
        Value::Object(parts) => {
            for (name, part) in parts {
                unmeasured(part, &format!("{path}/{name}"), out);
            }
        }
        Value::Array(parts) => {
            for part in parts {
                unmeasured(part, path, out);
            }
        }
        _ => {}
    }
}

#[test]
fn every_number_of_every_schema_has_a_unit_or_a_range() {
    let mut bare = Vec::new();
    for (kind, _) in schema_kinds() {
        let schema: Value = serde_json::from_str(&schema(kind).unwrap()).unwrap();
        unmeasured(&schema, kind, &mut bare);
    }
    assert!(bare.is_empty(), "{bare:#?}");
}

#[test]
fn a_schema_shows_the_words_of_which_there_is_a_fixed_set() {
    for (kind, words) in [
        ("checks", ["free", "look", "video", "device"].as_slice()),
        (
            "symptoms",
            &["contact", "turf", "feel", "pattern", "medium"],
        ),
        ("causes", &["setup", "pivot", "ground", "published"]),
        ("answers", &["half true", "wrong", "depends"]),
        ("drills", &["pain_back", "dizzy"]),
        ("sources", &["text", "abstract", "memory"]),
        ("phrases", &["hedge", "greeting", "left", "ask"]),
        ("population", &["pivot", "video"]),
        ("cases", &["emergency", "none"]),
        ("rules", &["elicited"]),
        ("groups", &["irons", "driver"]),
    ] {
        let text = schema(kind).unwrap();
        for word in words {
            assert!(text.contains(&format!("\"{word}\"")), "{kind}: {word}");
        }
    }
}

#[test]
fn a_page_shows_what_is_read_for_the_reader_alone() {
    for (id, words) in [
        ("s_ball_forward", "How sure"),
        ("wood_3", "43.0 in long"),
        ("mid_iron", "Holds"),
        ("uphill", "Brings"),
        ("contact_heel", "Opposite"),
        ("d_line_brush", "One set"),
        ("sf_urgent", "Kind"),
        ("ask_grip_palm", "Kind"),
    ] {
        let text = said(&swingwhy(&["knowledge", "show", id, "--no-own"], ""));
        assert!(text.contains(words), "{id}: {text}");
    }
}

/// A small validator of the part of JSON Schema that the schemas use.
fn fits(schema: &Value, value: &Value, top: &Value, at: &str) -> Result<(), String> {
    if let Some(name) = schema.get("$ref").and_then(Value::as_str) {
        let name = name.rsplit('/').next().unwrap();
        return fits(&top["$defs"][name], value, top, at);
    }
    for word in ["anyOf", "oneOf"] {
        if let Some(ways) = schema.get(word).and_then(Value::as_array) {
            let all: Vec<_> = ways.iter().map(|s| fits(s, value, top, at)).collect();
            if all.iter().all(Result::is_err) {
                return Err(format!("{at}: none of {all:?}"));
            }
        }
    }
    if let Some(wanted) = schema.get("const")
        && wanted != value
    {
        return Err(format!("{at}: {value} is not {wanted}"));
    }
    if let Some(choices) = schema.get("enum").and_then(Value::as_array)
        && !choices.contains(value)
    {
        return Err(format!("{at}: {value} is none of {choices:?}"));
    }
    let is = |name: &str| match name {
        "array" => value.is_array(),
        "object" => value.is_object(),
        // YAML writes the words true and 7 like a truth and a number.
        "string" => value.is_string() || value.is_boolean() || value.is_number(),
        "number" => value.is_number(),
        "integer" => value.is_u64() || value.is_i64(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        other => panic!("{other}"),
    };
    let right = match schema.get("type") {
        Some(Value::String(name)) => is(name),
        Some(Value::Array(names)) => names.iter().any(|n| is(n.as_str().unwrap())),
        _ => true,
    };
    if !right {
        return Err(format!("{at}: {value} is no {}", schema["type"]));
    }
    if let Some(object) = value.as_object() {
        for key in schema
            .get("required")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
        {
            if !object.contains_key(key.as_str().unwrap()) {
                return Err(format!("{at}: no {key}"));
            }
        }
        for (key, value) in object {
            let at = format!("{at}.{key}");
            let number = key.chars().all(|c| c.is_ascii_digit());
            let by_pattern = schema.get("patternProperties").and_then(Value::as_object);
            let by_pattern =
                by_pattern.and_then(|p| p.iter().find(|(p, _)| number && p.contains("\\d")));
            if let Some((_, own)) = by_pattern {
                fits(own, value, top, &at)?;
            } else if let Some(own) = schema.get("properties").and_then(|p| p.get(key)) {
                fits(own, value, top, &at)?;
            } else {
                match schema.get("additionalProperties") {
                    Some(Value::Bool(false)) => return Err(format!("{at}: not allowed")),
                    Some(own @ Value::Object(_)) => fits(own, value, top, &at)?,
                    _ => {}
                }
            }
        }
    }
    if let Some(list) = value.as_array() {
        for (i, value) in list.iter().enumerate() {
            let tuple = schema.get("prefixItems").and_then(|p| p.get(i));
            if let Some(own) = tuple.or(schema.get("items")).filter(|s| s.is_object()) {
                fits(own, value, top, &format!("{at}[{i}]"))?;
            }
        }
    }
    Ok(())
}

#[test]
fn every_built_in_file_fits_its_schema_and_a_misspelt_key_does_not() {
    let schemas: BTreeMap<&str, Value> = schema_kinds()
        .map(|(kind, _)| (kind, serde_json::from_str(&schema(kind).unwrap()).unwrap()))
        .collect();
    assert_eq!(schemas.len(), 23);
    let mut seen = std::collections::BTreeSet::new();
    let cases = builtin_cases().into_iter().map(|mut f| {
        f.path = format!("cases/{}", f.path);
        f
    });
    for file in builtin_files().into_iter().chain(cases) {
        // A course is two kinds of file in one folder.
        let within = file.path.trim_start_matches("course/");
        let kind = Path::new(within).components().next().unwrap();
        let kind = kind
            .as_os_str()
            .to_string_lossy()
            .trim_end_matches(".yaml")
            .to_owned();
        let top = &schemas[kind.as_str()];
        let value: Value = serde_yaml::from_str(&file.text).unwrap();
        fits(top, &value, top, &file.path).unwrap();
        seen.insert(kind);
    }
    assert_eq!(seen.len(), 23);
    let drills = &schemas["drills"];
    let wrong: Value = serde_yaml::from_str("- id: d_x\n  nmae: x\n").unwrap();
    assert!(fits(drills, &wrong, drills, "").is_err());
}
