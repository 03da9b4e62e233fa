//! The one test binary: text in, text out, laws and published values. Each module says which kind.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    missing_docs,
    reason = "a test that fails should say so at once"
)]

mod broken_knowledge;
mod cases;
mod causes;
mod causes_population;
mod cli;
mod cli_geometry;
mod demos;
mod dialogues;
mod drawing;
mod geometry;
mod geometry_consistency;
mod geometry_fixtures;
mod geometry_flight;
mod geometry_laws;
mod geometry_strike;
mod knowledge;
mod knowledge_slips;
mod knowledge_tools;
mod layering;
mod learning;
mod lesson;
mod likeness;
mod limits;
mod reading;
mod rule_programs;
mod rules_examples;
mod rules_random;
mod rules_reference;
mod rules_semantics;
mod rules_worked;
mod safety;
mod session_laws;
mod sheet;
mod shot_blocks;
mod shots;
mod support;
mod talking;
