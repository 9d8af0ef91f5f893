//! Every sample scan is run, and its text and JSON compared whole.

#![allow(clippy::unwrap_used)]

use std::fs;

#[test]
fn samples_print_what_they_printed() {
    trycmd::TestCases::new().case("tests/cli/samples/*.md");
}

/// No sample scan stands there unrun.
#[test]
fn every_sample_is_run() {
    let cases: String = fs::read_dir("tests/cli/samples")
        .unwrap()
        .map(|entry| fs::read_to_string(entry.unwrap().path()).unwrap())
        .collect();
    for entry in fs::read_dir("sample-scans").unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(
            name == "README.md" || cases.contains(&format!("sample-scans/{name}")),
            "{name} is run by no case"
        );
    }
}
