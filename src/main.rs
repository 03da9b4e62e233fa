//! Arguments and exit code.

fn main() {}
