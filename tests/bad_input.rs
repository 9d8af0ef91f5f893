//! Malformed files and command lines, with whole messages and exit codes; help texts; a reader that has gone.

#![allow(clippy::unwrap_used)]

use std::io::Read;
use std::process::{Command, Stdio};

#[test]
fn messages_are_what_they_were() {
    trycmd::TestCases::new()
        .case("tests/cli/bad.md")
        .case("tests/cli/help.md");
}

#[test]
fn nobody_is_told_when_the_reader_has_gone() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_outwind"))
        .args(["flatten", "sample-scans/walnut.csv", "--thickness", "1-3/8"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let mut complaint = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut complaint)
        .unwrap();
    assert_eq!(
        (complaint.as_str(), child.wait().unwrap().code()),
        ("", Some(0))
    );
}

#[test]
fn text_fits_a_terminal_of_80_columns() {
    // The lines that answer stand in one piece, and may be longer.
    for file in std::fs::read_dir("tests/cli/samples").unwrap() {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        let first = text.split("```console").nth(1).unwrap();
        for line in first.lines().skip(4) {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}
