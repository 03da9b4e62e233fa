//! The safety reader against lines written before it: text in, cautions out.
//!
//! `tests/cases/safety.yaml` says how the lines came about. No line that must be heard may be
//! missed, and none that must be silent may set anything off.

use std::collections::BTreeMap;

use serde::Deserialize;
use swingwhy::knowledge::{CautionLevel, builtin};
use swingwhy::reading::safety::{Alarm, Lookout};

#[derive(Deserialize)]
struct Lines {
    emergency: Vec<String>,
    first: BTreeMap<String, Vec<String>>,
    loud: Vec<String>,
    asks: Vec<String>,
    silent: Vec<String>,
}

#[derive(Deserialize)]
struct Cases {
    shown: Lines,
    kept: Lines,
    overheard: Vec<String>,
}

fn cases() -> Cases {
    serde_yaml::from_str(include_str!("../cases/safety.yaml")).unwrap()
}

fn lookout() -> (Lookout, Vec<String>) {
    let base = builtin().unwrap();
    let ids = base.cautions.ids().map(str::to_owned).collect();
    (Lookout::new(&base), ids)
}

/// The alarms that stop the talk.
fn loud(lookout: &Lookout, line: &str) -> Vec<Alarm> {
    let mut alarms = lookout.look(line);
    alarms.retain(|a| a.level != CautionLevel::Beside);
    alarms
}

fn told(alarms: &[Alarm], ids: &[String], line: &str) -> String {
    let one = |a: &Alarm| {
        format!(
            "{}{} <{}> {}",
            ids[a.caution.index()],
            if a.unsure { "?" } else { "" },
            a.said.of(line),
            a.ails.join(" ")
        )
    };
    alarms.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// Every line that is not heard as it should be, with what was heard.
fn faults(lines: &Lines) -> (usize, Vec<String>) {
    let (lookout, ids) = lookout();
    let mut faults = Vec::new();
    let mut n = 0;
    let mut judge = |kind: &str, line: &str, good: &dyn Fn(&[Alarm]) -> bool| {
        let alarms = loud(&lookout, line);
        n += 1;
        if !good(&alarms) {
            faults.push(format!("{kind}: {line}   [{}]", told(&alarms, &ids, line)));
        }
    };
    for line in &lines.emergency {
        judge("emergency", line, &|a| {
            a.first().is_some_and(|a| a.level == CautionLevel::Emergency && !a.unsure)
        });
    }
    for (ail, group) in &lines.first {
        for line in group {
            judge(ail, line, &|a| {
                let named = ail == "any" || ail == "denied_but_real";
                a.first().is_some_and(|a| a.level == CautionLevel::First && !a.unsure)
                    && (named || a.iter().any(|a| a.ails.contains(ail)))
            });
        }
    }
    for line in &lines.loud {
        judge("loud", line, &|a| a.first().is_some_and(|a| !a.unsure));
    }
    for line in &lines.asks {
        judge("asks", line, &|a| !a.is_empty() && a.iter().all(|a| a.unsure));
    }
    for line in &lines.silent {
        judge("silent", line, &<[Alarm]>::is_empty);
    }
    (n, faults)
}

#[test]
fn lines_shown_while_building_are_all_heard_right() {
    let (n, faults) = faults(&cases().shown);
    assert!(faults.is_empty(), "{} of {n}:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn false_alarms_known_are_still_the_ones_listed() {
    let (lookout, _) = lookout();
    for line in cases().overheard {
        assert!(!loud(&lookout, &line).is_empty(), "no longer heard, move it to `silent`: {line}");
    }
}

#[test]
fn lines_kept_back_are_all_heard_right() {
    let (n, faults) = faults(&cases().kept);
    assert!(faults.is_empty(), "{} of {n}:\n{}", faults.len(), faults.join("\n"));
}
