//! Whole talks: the typed lines of `tests/dialogues/*.txt`, replayed, as snapshots to be read.

use crate::support::session;
use swingwhy::transcript::replay;

#[test]
fn talks_read_as_they_were_read_by_a_person() {
    insta::glob!("../dialogues", "*.txt", |path| {
        let text = std::fs::read_to_string(path).unwrap();
        let out = replay(&session(), &text);
        assert!(
            out.chars().all(|c| c == '\n' || !c.is_control()),
            "a control character in {}",
            path.display()
        );
        let long = out
            .lines()
            .filter(|l| !l.starts_with("> "))
            .find(|l| l.chars().count() > 78);
        assert_eq!(long, None, "a line over 78 columns in {}", path.display());
        insta::assert_snapshot!(out);
    });
}
