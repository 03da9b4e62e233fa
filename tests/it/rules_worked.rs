//! Published worked examples as rule programs, with their published conclusions.

use crate::rule_programs::{Session, load, parts, text};
use swingwhy::rules::*;

#[derive(serde::Deserialize)]
struct Animal {
    name: String,
    absence: bool,
    told: Vec<String>,
    derived: Vec<String>,
    rules: Vec<String>,
    without: std::collections::BTreeMap<String, Vec<String>>,
}

/// Source: P. H. Winston, Artificial Intelligence (published); cases checked against another
/// engine by `tests/reference/animals.py`.
#[test]
fn animals_are_identified_and_taken_back() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/animals.jsonl");
    let lines = std::fs::read_to_string(path).unwrap();
    let program = |absence: bool| {
        let text = if absence {
            text("animals").replace("- no_fly: true", "- flies: {lacks: true}")
        } else {
            text("animals")
        };
        let (schema, functions, rules) = parts(&text);
        Program::compile(&schema, functions, rules).unwrap()
    };
    let programs = [program(false), program(true)];
    let mut cases = 0;
    for line in lines.lines() {
        let case: Animal = serde_json::from_str(line).unwrap();
        let program = &programs[usize::from(case.absence)];
        let mut session = Session::new(program);
        for fact in &case.told {
            session.tell(&format!("0 {fact} true"));
        }
        session.settle();
        assert_eq!(session.derived(), case.derived, "{}", case.name);
        assert_eq!(session.rules_fired(), case.rules, "{}", case.name);
        for (fact, left) in &case.without {
            let fact = format!("0 {fact} true");
            session.take_back(&fact);
            session.settle();
            assert_eq!(&session.derived(), left, "{} without {fact}", case.name);
            session.tell(&fact);
            session.settle();
            assert_eq!(session.derived(), case.derived, "{} again", case.name);
            cases += 1;
        }
    }
    assert_eq!(cases, 84);
}

/// Source: J. R. Quinlan 1986, Machine Learning 1:81-106, table and tree (published, from memory).
#[test]
fn fourteen_mornings_fall_to_their_class() {
    const MORNINGS: [(&str, &str, &str, &str, &str); 14] = [
        ("sunny", "hot", "high", "false", "N"),
        ("sunny", "hot", "high", "true", "N"),
        ("overcast", "hot", "high", "false", "P"),
        ("rain", "mild", "high", "false", "P"),
        ("rain", "cool", "normal", "false", "P"),
        ("rain", "cool", "normal", "true", "N"),
        ("overcast", "cool", "normal", "true", "P"),
        ("sunny", "mild", "high", "false", "N"),
        ("sunny", "cool", "normal", "false", "P"),
        ("rain", "mild", "normal", "false", "P"),
        ("sunny", "mild", "normal", "true", "P"),
        ("overcast", "mild", "high", "true", "P"),
        ("overcast", "hot", "normal", "false", "P"),
        ("rain", "mild", "high", "true", "N"),
    ];
    let program = load("weather");
    let mut session = Session::new(&program);
    for (i, (outlook, temperature, humidity, windy, _)) in MORNINGS.iter().enumerate() {
        session.tell(&format!("{i} outlook {outlook}"));
        session.tell(&format!("{i} temperature {temperature}"));
        session.tell(&format!("{i} humidity {humidity}"));
        session.tell(&format!("{i} windy {windy}"));
    }
    session.settle();
    let mut agreeing = 0;
    for (i, row) in MORNINGS.iter().enumerate() {
        assert_eq!(session.symbols(i, "morning"), [row.4], "{row:?}");
        let like = |other: &(&str, &str, &str, &str, &str)| {
            (row.0, row.2, row.4) == (other.0, other.2, other.4)
        };
        let expected = MORNINGS.iter().filter(|o| like(o)).count() > 1;
        assert_eq!(
            session.symbols(i, "agrees") == ["true"],
            expected,
            "{row:?}"
        );
        agreeing += usize::from(expected);
    }
    assert!(agreeing > 3);
    assert!(session.state.contradictions().is_empty());
}

/// Nodes told as a graph, paths counted: n(n-1)/2 for a chain; right and down in a k by k grid
/// from each cell to every other one not above and not left of it.
#[test]
fn closures_have_their_known_sizes() {
    let chain = |n: usize| (0..n - 1).map(|i| (i, i + 1)).collect::<Vec<_>>();
    let mut grid = Vec::new();
    for row in 0..8 {
        for column in 0..8 {
            let node = row * 8 + column;
            if column < 7 {
                grid.push((node, node + 1));
            }
            if row < 7 {
                grid.push((node, node + 8));
            }
        }
    }
    let ring: Vec<_> = (0..12).map(|i| (i, (i + 1) % 12)).collect();
    for (nodes, edges, paths, circles) in [
        (60, chain(60), 60 * 59 / 2, 0),
        (64, grid, 36 * 36 - 64, 0),
        (12, ring, 12 * 12, 12),
    ] {
        let program = load("closure");
        let mut session = Session::new(&program);
        for node in 0..nodes {
            session.tell(&format!("{node} name n{node}"));
        }
        for (a, b) in &edges {
            session.tell(&format!("{a} edge n{b}"));
        }
        assert_eq!(session.state.settle(), StopReason::Settled);
        let derived = session.state.len() - nodes - edges.len();
        assert_eq!(derived, paths + circles);
        for (a, b) in &edges {
            session.take_back(&format!("{a} edge n{b}"));
            assert_eq!(session.state.settle(), StopReason::Settled);
        }
        assert_eq!(session.state.len(), nodes, "nothing holds itself up");
    }
}
