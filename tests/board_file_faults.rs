//! Malformed board files, each with its whole message.

#![allow(clippy::unwrap_used)]

use std::fmt::Write as _;
use std::fs;

use outwind::readings::read_board;

const FOLDER: &str = "tests/board-files/bad";
const MESSAGES: &str = "tests/board-files/bad.md";

/// Set to write the messages anew; then read every one of them.
const RENEW: &str = "RENEW_MESSAGES";

fn load(name: &str) -> Result<Vec<u8>, String> {
    match name {
        "bad.csv" => Ok(b"mm,0,600\n0,1,oak\n90,2,16-Mar\n".to_vec()),
        _ => Err(format!(
            "{name}: there is no such file; check its name and folder"
        )),
    }
}

/// Every file with its message, in the order of their names.
fn messages() -> String {
    let mut files: Vec<_> = fs::read_dir(FOLDER)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    files.sort();
    assert!(files.len() >= 45);
    let mut text = String::from("Every malformed board file in `bad`, with the whole message.\n");
    for file in files {
        let bytes = fs::read(format!("{FOLDER}/{file}")).unwrap();
        let Err(faults) = read_board(&bytes, &file, None, &mut load) else {
            panic!("{file} is read")
        };
        let _ = write!(text, "\n```\n{faults}\n```\n");
    }
    text
}

#[test]
fn messages_are_what_they_were() {
    let found = messages();
    if std::env::var_os(RENEW).is_some() {
        fs::write(MESSAGES, &found).unwrap();
    }
    let wanted = fs::read_to_string(MESSAGES).unwrap();
    for (found, wanted) in found.lines().zip(wanted.lines()) {
        assert_eq!(found, wanted);
    }
    assert_eq!(found, wanted, "set {RENEW} to write {MESSAGES} anew");
}

#[test]
fn messages_fit_a_terminal_of_80_columns() {
    for line in messages().lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

/// The carets stand under the piece at fault.
#[test]
fn the_piece_at_fault_is_underlined() {
    let text = "unit = \"in\"\n\tlength = \"ö 7\" # long\n";
    let faults = read_board(text.as_bytes(), "slab.toml", None, &mut load).unwrap_err();
    let shown = faults.faults[0].shown.as_ref().unwrap();
    let piece: String = shown
        .text
        .chars()
        .skip(shown.column)
        .take(shown.width)
        .collect();
    assert_eq!(
        (faults.faults[0].line, piece.as_str()),
        (Some(2), "\"ö 7\"")
    );
}
