//! Malformed files and command lines, with whole messages and exit codes; help texts; a reader that has gone.

#![allow(clippy::unwrap_used)]

use std::process::{Command, Stdio};

use outwind::report::message;

#[test]
fn messages_are_what_they_were() {
    trycmd::TestCases::new()
        .case("tests/cli/bad.md")
        .case("tests/cli/help.md");
}

/// A pipe that nobody reads, from before the program starts: `head` and pagers end early.
#[test]
fn nobody_is_told_when_the_reader_has_gone() {
    let walnut = ["flatten", "sample-scans/walnut.csv", "--thickness", "1-3/8"];
    for arguments in [
        &walnut[..],
        &[&walnut[..], &["--json"]].concat(),
        &["--help"],
        &["flatten", "--help"],
    ] {
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let (complaint, code) = outcome(arguments, writer.into());
        assert_eq!((complaint.as_str(), code), ("", Some(0)), "{arguments:?}");
    }
}

/// The complaint, and the exit code, of a run that writes to `out`.
fn outcome(arguments: &[&str], out: Stdio) -> (String, Option<i32>) {
    let run = Command::new(env!("CARGO_BIN_EXE_outwind"))
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(out)
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
        .wait_with_output()
        .unwrap();
    (String::from_utf8(run.stderr).unwrap(), run.status.code())
}

/// A device of Linux that takes nothing.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told() {
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let walnut = ["flatten", "sample-scans/walnut.csv", "--thickness", "1-3/8"];
    let (complaint, code) = outcome(&walnut, full.into());
    assert!(
        complaint.starts_with("the result could not be written: "),
        "{complaint}"
    );
    assert_eq!(code, Some(1));
}

/// Every command that the program names has its help among the sessions, no line of it wider than 80 columns.
#[test]
fn every_help_is_shown_and_fits_80_columns() {
    let sessions = std::fs::read_to_string("tests/cli/help.md").unwrap();
    let (_, rest) = sessions.split_once("Commands:\n").unwrap();
    let listed = rest.lines().take_while(|line| !line.is_empty());
    // What stands further in goes on with the line before.
    let commands = listed.filter(|line| !line.starts_with("   "));
    for command in commands.filter_map(|line| line.split_whitespace().next()) {
        let asks = if command == "help" {
            "$ outwind help\n".to_owned()
        } else {
            format!("$ outwind {command} --help\n")
        };
        assert!(sessions.contains(&asks), "no session of {asks}");
    }
    for line in sessions.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn text_fits_a_terminal_of_80_columns() {
    for file in std::fs::read_dir("tests/cli/samples").unwrap() {
        let path = file.unwrap().path();
        let session = std::fs::read_to_string(&path).unwrap();
        let text = session.split("```").nth(1).unwrap();
        // The lines that answer stand in one piece, and may be longer.
        let answers = ["$ ", "Comes out at ", "At the readings "];
        let printed = text
            .lines()
            .filter(|line| !answers.iter().any(|a| line.starts_with(a)));
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

/// Every bad board file is refused as input, with its own name and all lines within 80 columns.
#[test]
fn every_bad_board_file_is_refused() {
    for entry in std::fs::read_dir("tests/board-files/bad").unwrap() {
        let path = entry.unwrap().path();
        let name = path.to_str().unwrap();
        let (told, code) = outcome(&["flatten", name], Stdio::null());
        assert_eq!(code, Some(2), "{name}: {told}");
        assert!(told.contains(name), "{told}");
        assert!(told.lines().all(|l| l.chars().count() <= 80), "{told}");
    }
}
