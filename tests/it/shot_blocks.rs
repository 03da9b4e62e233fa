//! Tables of measured shots: which club they count for, and what is said of what was not told.

use crate::support::swingwhy;
use std::path::PathBuf;

/// A folder for lesson books that goes away.
struct Books(PathBuf);

impl Books {
    fn new(name: &str) -> Self {
        let folder = format!("swingwhy-blocks-{name}-{}", std::process::id());
        let path = std::env::temp_dir().join(folder);
        let _ = std::fs::remove_dir_all(&path);
        Self(path)
    }

    /// Exit code, what was said, and what was complained of.
    fn run(&self, args: &[&str], input: &str) -> (Option<i32>, String, String) {
        let mut all = vec!["--lessons", self.0.to_str().unwrap(), "--golfer", "Ann"];
        all.extend(args);
        let out = swingwhy(&all, input);
        (
            out.status.code(),
            String::from_utf8(out.stdout).unwrap(),
            String::from_utf8(out.stderr).unwrap(),
        )
    }
}

impl Drop for Books {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

const DRIVES: &str = "club,attack_deg\ndriver,2\ndriver,3\ndriver,2.5\n";
const MIXED: &str = "club,attack_deg\ndriver,2\n7i,-3.5\ndriver,3\n7i,-4.1\n7i,-3.8\n";

#[test]
fn a_block_is_of_the_club_that_is_practised_with() {
    let books = Books::new("club");
    let lesson =
        "7 iron low point 1 in behind, fat, falls back on trail foot, right handed\nquick\nbye\n";
    books.run(&[], lesson);
    let (code, _, wrong) = books.run(&["shots", "-", "--block", "practice"], DRIVES);
    assert_eq!(code, Some(65), "{wrong}");
    assert!(
        wrong.contains("7 iron") && wrong.contains("driver"),
        "{wrong}"
    );
    // The shots of the right club are taken from among others.
    let (code, said, wrong) = books.run(&["shots", "-", "--block", "practice"], MIXED);
    assert_eq!(code, Some(0), "{wrong}");
    assert!(!said.contains("noted."), "{said}");
    assert!(said.contains("measured with the thought"), "{said}");
}

#[test]
fn every_club_of_a_table_is_judged_and_what_is_not_told_is_named() {
    let table = "\
club,attack_deg,launch_deg,spin_rpm,club_speed_mph,ball_speed_mph,carry_yd,apex_ft,Impact Offset (mm)
driver,-4,9,3200,95,138,205,70,3
driver,-4.2,9,3300,95,138,205,70,4
driver,-3.8,9,3100,95,138,205,70,2
7i,-0.2,17,5600,80,104,140,80,1
7i,-0.1,17,5600,80,104,140,80,-1
";
    let out = swingwhy(&["--handed=right", "shots", "-"], table);
    let said = String::from_utf8(out.stdout).unwrap();
    let told: Vec<&str> = said.matches("Told as means").collect();
    assert_eq!(told.len(), 2, "{said}");
    for word in [
        "launch 9 deg",
        "spin 3200 rpm",
        "ball speed",
        "carry 205",
        "7 iron, attack",
    ] {
        let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(word), "{word}: {said}");
    }
    assert!(said.contains("Not told, only shown above: "), "{said}");
    assert!(!said.contains("Columns not used"), "{said}");
}
