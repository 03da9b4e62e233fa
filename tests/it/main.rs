//! The one test binary: text in, text out, laws and published values. Each module says which kind.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    missing_docs,
    reason = "a test that fails should say so at once"
)]

mod causes;
mod causes_population;
mod geometry;
mod geometry_consistency;
mod geometry_flight;
mod geometry_laws;
mod geometry_strike;
mod reading;
mod rule_programs;
mod rules_examples;
mod rules_random;
