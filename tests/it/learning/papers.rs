//! Paper tests: repeatable, silent about their key, graded alike from text and from JSON Lines.

use std::io::Write;

use crate::support::swingwhy;

fn run(args: &[&str]) -> String {
    let out = swingwhy(args, "");
    assert!(
        out.status.success(),
        "{args:?}: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    String::from_utf8_lossy(&out.stdout).into_owned()
}

/// A file of its own for one test, with this text.
fn file(name: &str, text: &str) -> std::path::PathBuf {
    let path = std::env::temp_dir().join(format!("swingwhy-{}-{name}", std::process::id()));
    std::fs::File::create(&path)
        .unwrap()
        .write_all(text.as_bytes())
        .unwrap();
    path
}

#[test]
fn a_paper_is_the_same_each_time_and_keeps_its_key_to_itself() {
    let paper = run(&["learn", "--cases", "3", "--seed", "7"]);
    assert_eq!(paper, run(&["learn", "--cases", "3", "--seed", "7"]));
    assert_ne!(paper, run(&["learn", "--cases", "3", "--seed", "8"]));
    assert!(paper.lines().all(|l| l.chars().count() <= 78));
    let key = run(&["learn", "--cases", "3", "--seed", "7", "--key"]);
    for line in key.lines().filter(|l| l.starts_with("At work")) {
        let name = line
            .trim_start_matches("At work")
            .split('(')
            .next()
            .unwrap()
            .trim();
        // The line that shows how to fill it in names causes too.
        let cases = paper.split_once("\nCase ").unwrap().1;
        assert!(!cases.contains(name), "{name}");
    }
    assert_eq!(key.matches("Case ").count(), 3);
}

#[test]
fn text_and_json_lines_are_graded_alike_and_the_key_scores_well() {
    use serde_json::Value;
    let base = crate::support::base();
    let sheet = run(&["learn", "--cases", "3", "--seed", "7", "--json"]);
    let key = run(&["learn", "--cases", "3", "--seed", "7", "--json", "--key"]);
    let text = run(&["learn", "--cases", "3", "--seed", "7"]);
    let mut filled_json = String::new();
    let mut blanks: Vec<[String; 3]> = Vec::new();
    for (sheet, key) in sheet.lines().zip(key.lines()) {
        let mut sheet: Value = serde_json::from_str(sheet).unwrap();
        let key: Value = serde_json::from_str(key).unwrap();
        assert!(sheet.get("causes").is_none() && sheet.get("faults").is_none());
        let cause = key["causes"][0]["cause"].as_str().unwrap().to_owned();
        let fault = key["fault"].as_str().unwrap().to_owned();
        sheet["answer"] = serde_json::json!({
            "fault": fault, "causes": {&*cause: 90}, "practise": cause,
        });
        filled_json.push_str(&sheet.to_string());
        filled_json.push('\n');
        let name = |id: &str| base.cause(base.find_cause(id).unwrap()).name.clone();
        blanks.push([
            base.effect(base.find_effect(&fault).unwrap()).name.clone(),
            format!("{} 90%", name(&cause)),
            name(&cause),
        ]);
    }
    let mut filled_text = String::new();
    let mut case = 0;
    for line in text.lines() {
        filled_text.push_str(line);
        for (at, key) in ["Fault:", "Causes:", "Practise:"].iter().enumerate() {
            if line == *key {
                filled_text.push(' ');
                filled_text.push_str(&blanks[case][at]);
                case += usize::from(at == 2);
            }
        }
        filled_text.push('\n');
    }
    let json = file("json", &filled_json);
    let plain = file("text", &filled_text);
    let a = run(&["learn", "--grade", json.to_str().unwrap(), "--json"]);
    let b = run(&["learn", "--grade", plain.to_str().unwrap(), "--json"]);
    assert_eq!(a, b);
    for line in a.lines() {
        let graded: Value = serde_json::from_str(line).unwrap();
        assert_eq!(graded["fault"], true, "{line}");
        assert!(graded["points"].as_f64().unwrap() > 70.0, "{line}");
        assert_eq!(graded["gained"], graded["could_gain"], "{line}");
    }
    assert!(run(&["learn", "--grade", json.to_str().unwrap()]).contains("3 of 3 cases filled in"));
    // An empty sheet is graded as such.
    let empty = file("empty", &text);
    assert!(run(&["learn", "--grade", empty.to_str().unwrap()]).contains("0 of 3 cases filled in"));
    for path in [json, plain, empty] {
        std::fs::remove_file(path).unwrap();
    }
}

#[test]
fn a_line_that_cannot_be_read_does_not_stop_the_others() {
    let text = "Paper 7, 3 cases, level 1\nCase 1\nFault: open face\nCauses: hanging back 60\n\
                Case 2\nCauses: hanging back 140\nCase 3\nFault: low point behind the ball\n\
                Causes: swaying 20\nPractise: swaying\n";
    let path = file("mixed", text);
    let out = swingwhy(&["learn", "--grade", path.to_str().unwrap()], "");
    std::fs::remove_file(path).unwrap();
    assert_eq!(out.status.code(), Some(65));
    let graded = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(graded.contains("2 of 3 cases filled in"), "{graded}");
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    assert!(
        said.contains("line 3: no single fault in \"open face\"; it may mean")
            && said.contains("face open to the target")
            && said.contains("face open to the path")
            && said.contains("line 6: no causes"),
        "{said}"
    );
}

#[test]
fn a_paper_says_what_flew_straight_and_what_did_not_fly() {
    use serde_json::Value;
    let sheet = run(&[
        "learn", "--cases", "12", "--seed", "7", "--level", "2", "--json",
    ]);
    let (mut straight, mut none) = (0, 0);
    for line in sheet.lines() {
        let case: Value = serde_json::from_str(line).unwrap();
        for shot in case["shots"].as_array().unwrap() {
            let flew = !["topped", "missed"].contains(&shot["strike"].as_str().unwrap());
            assert_eq!(shot["starts"].is_string(), flew, "{shot}");
            assert_eq!(shot["curves"].is_string(), flew, "{shot}");
            straight += usize::from(shot["curves"] == "straight");
            none += usize::from(!flew);
        }
    }
    assert!(straight > 0 && none > 0, "{straight} {none}");
    let refused = swingwhy(&["learn", "--cases", "2", "--lesson", "2"], "");
    assert_eq!(refused.status.code(), Some(2));
}

#[test]
fn what_cannot_be_graded_is_refused_with_its_line() {
    let named = "Paper 7, 2 cases, level 1\n";
    for (name, text, wanted) in [
        ("none", "hello\n".to_owned(), "no line names the paper"),
        (
            "case",
            format!("{named}Case 9\n"),
            "line 2: the paper has no case 9",
        ),
        (
            "early",
            format!("{named}Fault: low point behind the ball\n"),
            "line 2: an answer before",
        ),
        (
            "fault",
            format!("{named}Case 1\nFault: wobble\n"),
            "line 3: no single fault",
        ),
        (
            "sum",
            format!("{named}Case 1\nCauses: hanging back 140\n"),
            "line 3: no causes",
        ),
        (
            "shape",
            "{\"paper\": 7}\n".to_owned(),
            "line 1: not a line of a paper",
        ),
        (
            "other",
            "{\"paper\":7,\"cases\":1,\"level\":1,\"case\":1,\"knowledge\":\"0\"}\n".to_owned(),
            "made with other knowledge",
        ),
    ] {
        let path = file(name, &text);
        let out = swingwhy(&["learn", "--grade", path.to_str().unwrap()], "");
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        assert_eq!(out.status.code(), Some(65), "{name}: {said}");
        assert!(said.contains(wanted), "{name}: {said}");
        std::fs::remove_file(path).unwrap();
    }
    assert_eq!(
        swingwhy(&["learn", "--cases", "0"], "").status.code(),
        Some(2)
    );
    assert_eq!(
        swingwhy(&["learn", "--level", "9"], "").status.code(),
        Some(2)
    );
    assert_eq!(
        swingwhy(&["learn", "--group", "putter"], "").status.code(),
        Some(2)
    );
    assert_eq!(
        swingwhy(&["learn", "--seed", "1000000"], "").status.code(),
        Some(2)
    );
}

#[test]
fn how_the_ball_lies_is_no_cause_and_a_wrong_number_is_told_of() {
    use serde_json::Value;
    let base = crate::support::base();
    let args = |level: &'static str| ["learn", "--cases", "5", "--seed", "5", "--level", level];
    let with = |level, more: &[&'static str]| run(&[&args(level)[..], more].concat());
    // A chance stated on a lie earns and costs nothing, and the program names none.
    let conditions: Vec<String> = base
        .causes
        .iter()
        .filter(|c| c.condition)
        .map(|c| c.id.clone())
        .collect();
    let mut lies = 0;
    let mut sheets: [String; 2] = Default::default();
    for (sheet, key) in with("5", &["--json"])
        .lines()
        .zip(with("5", &["--json", "--key"]).lines())
    {
        let key: Value = serde_json::from_str(key).unwrap();
        for named in key["program"].as_array().unwrap() {
            assert!(!conditions.iter().any(|c| named["cause"] == **c), "{key}");
        }
        let mut sheet: Value = serde_json::from_str(sheet).unwrap();
        assert_eq!(sheet["lie"], key["lie"]);
        lies += usize::from(sheet["lie"].is_string());
        sheet["answer"] =
            serde_json::json!({"fault": null, "causes": {"p_hang_back": 20}, "practise": null});
        sheets[0].push_str(&sheet.to_string());
        sheets[0].push('\n');
        sheet["answer"]["causes"][&conditions[0]] = 95.into();
        sheets[1].push_str(&sheet.to_string());
        sheets[1].push('\n');
    }
    assert!(lies > 0);
    let graded = sheets.map(|text| {
        let path = file("lies", &text);
        let out = run(&["learn", "--grade", path.to_str().unwrap(), "--json"]);
        std::fs::remove_file(path).unwrap();
        out
    });
    assert_eq!(graded[0], graded[1]);
    // Level 6.
    assert!(with("6", &[]).contains("plainly wrong"));
    assert!(!with("5", &[]).contains("plainly wrong"));
    let key = with("6", &["--key"]);
    assert_eq!(key.matches("Wrong number").count(), 5, "{key}");
    for line in with("6", &["--json", "--key"]).lines() {
        let key: Value = serde_json::from_str(line).unwrap();
        let wrong = &key["wrong_number"];
        let off = wrong["given"].as_f64().unwrap() - wrong["shots"].as_f64().unwrap();
        assert!(off.abs() > 1.0, "{wrong}");
    }
}

#[test]
fn clubs_that_a_level_has_not_are_refused() {
    let out = swingwhy(&["learn", "--level", "1", "--group", "driver"], "");
    assert_eq!(out.status.code(), Some(2));
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    assert!(
        said.contains("level 1 has none of those clubs") && said.contains("mid_iron"),
        "{said}"
    );
    let talk = swingwhy(
        &["learn", "--level", "3", "--seed", "2", "--group", "driver"],
        "level 1\nbye\n",
    );
    let said = String::from_utf8_lossy(&talk.stdout).into_owned();
    assert!(
        said.contains("You asked for other clubs than it has"),
        "{said}"
    );
}

/// The numbers of a paper are those of the ten shots beside them, but for the device's error.
#[test]
fn a_paper_measures_the_shots_that_it_shows() {
    use crate::learning::{mind, phrases};
    use swingwhy::learning::{Done, paper};
    let base = crate::support::base();
    let mind = &mut mind();
    let wish = base.levels.iter().next().unwrap().wish.clone();
    let mut numbers = 0;
    for case in paper(mind, phrases(), &wish, 7, 3).unwrap() {
        let (mut shown, mut read) = (Vec::new(), Vec::new());
        for step in case.desk.steps() {
            match &step.done {
                Done::Shots { ten, .. } => shown.clone_from(&ten.shots),
                Done::Measured { reads, .. } => read.clone_from(reads),
                _ => {}
            }
        }
        for one in read {
            let (axis, _) = base.model.measured[one.quantity.index()].unwrap();
            let of = |s: &swingwhy::causes::Shot| {
                let found = s.axes.iter().find(|(a, _)| *a == axis);
                found.map(|(_, amount)| amount.base())
            };
            let values: Vec<f64> = shown.iter().filter_map(of).collect();
            let mean = values.iter().sum::<f64>() / values.len() as f64;
            assert!((mean - one.hit.base()).abs() < 1e-12, "{axis:?}");
            numbers += 1;
        }
    }
    assert_eq!(numbers, 18);
}

/// A graded paper says which causes were there, which were not, and what was missed.
#[test]
fn a_graded_paper_says_what_was_right() {
    let text = run(&["learn", "--cases", "1", "--seed", "7"]);
    let key = run(&["learn", "--cases", "1", "--seed", "7", "--key", "--json"]);
    let key: serde_json::Value = serde_json::from_str(&key).unwrap();
    let base = crate::support::base();
    let name = |id: &serde_json::Value| {
        let cause = base.find_cause(id.as_str().unwrap()).unwrap();
        base.cause(cause).name.clone()
    };
    let main = name(&key["causes"][0]["cause"]);
    let fault = base.find_effect(key["fault"].as_str().unwrap()).unwrap();
    let fault = base.effect(fault).name.clone();
    let grade = |causes: &str, fault: &str| {
        let filled = text.lines().map(|line| match line {
            "Causes:" => format!("Causes: {causes}\n"),
            "Fault:" => format!("Fault: {fault}\n"),
            _ => format!("{line}\n"),
        });
        let path = file("right", &filled.collect::<String>());
        let out = run(&["learn", "--grade", path.to_str().unwrap()]);
        std::fs::remove_file(path).unwrap();
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let right = grade(&format!("{main} 80"), &fault);
    assert!(right.contains(&format!("there: {main};")), "{right}");
    assert!(right.contains(&format!("fault right: {fault}.")), "{right}");
    let wrong = grade("ball teed too high 40", "club speed moves about");
    assert!(
        wrong.contains("not there: ball teed too high; missed: "),
        "{wrong}"
    );
    assert!(
        wrong.contains(&main) && wrong.contains(&format!("; it is {fault}.")),
        "{wrong}"
    );
}
