//! Malformed files and command lines, with whole messages and exit codes; help texts; a reader that has gone.

use std::io::Read;
use std::process::{Command, Stdio};

use outwind::report::message;

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
    for file in std::fs::read_dir("tests/cli/samples").unwrap() {
        let path = file.unwrap().path();
        let session = std::fs::read_to_string(&path).unwrap();
        let text = session.split("```").nth(1).unwrap();
        let printed = text.lines().filter(|line| !line.starts_with("$ "));
        for line in printed {
            assert!(line.chars().count() <= 80, "{}: {line}", path.display());
        }
    }
}

#[test]
fn no_length_is_torn_at_the_end_of_a_line() {
    for filling in 25..45 {
        let text = format!(
            "{}1-35/64 in, is left of 12.5 mm or 83 % here",
            "x ".repeat(filling)
        );
        let wrapped = message(&text);
        for length in ["1-35/64 in,", "12.5 mm", "83 %"] {
            assert!(wrapped.contains(length), "{wrapped}");
        }
        let widest = wrapped.lines().map(|line| line.chars().count()).max();
        assert!(widest <= Some(80), "{wrapped}");
        assert_eq!(wrapped.replace("\n ", ""), text, "nothing is lost");
    }
}
