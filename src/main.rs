//! Parse, run, explain, exit code.

fn main() {}
