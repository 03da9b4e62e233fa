//! Coverage-guided fuzzing of the reader: no line, whatever it is, panics, reads past its own end or
//! takes long. The first byte says which hand is known; the rest is the line.
//!
//! `tests/fuzz/run SECONDS` builds and runs it. A line that fails is written to a file beside it, to
//! be kept as a case.

#![no_main]

use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;
use swingwhy::knowledge::builtin;
use swingwhy::reading::{self, Context, Phrases, Span};
use swingwhy::vocabulary::Hand;

fn phrases() -> &'static Phrases {
    static PHRASES: OnceLock<Phrases> = OnceLock::new();
    PHRASES.get_or_init(|| match builtin() {
        Ok(base) => Phrases::compile(&base.lexicon),
        Err(problems) => panic!("the built-in knowledge has {} problems", problems.len()),
    })
}

fuzz_target!(|bytes: &[u8]| {
    let (first, rest) = bytes.split_first().unwrap_or((&0, &[]));
    let line = String::from_utf8_lossy(rest);
    let context = Context {
        hand: [None, Some(Hand::Left), Some(Hand::Right)][usize::from(first % 3)],
        ..Context::default()
    };
    let reading = reading::read(phrases(), &context, &line);
    let inside = |span: &Span| assert!(line.get(span.start..span.end).is_some(), "{span:?}");
    reading.findings.iter().for_each(|f| {
        inside(&f.said);
        inside(&f.clause);
        f.said_again.iter().for_each(inside);
    });
    reading.hints.iter().for_each(|h| inside(&h.said));
    reading.unused.iter().for_each(inside);
});
