//! Many boards in one command: the documents that each gives alone, a line each, in order; what is wrong with one is no
//! trouble of the others.

#![allow(clippy::unwrap_used)]

use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn flatten(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_outwind"))
        .current_dir("sample-scans")
        .arg("flatten")
        .args(arguments)
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn lines(output: &Output) -> Vec<String> {
    let text = String::from_utf8(output.stdout.clone()).unwrap();
    text.lines().map(str::to_owned).collect()
}

fn complaint(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

const BOARDS: [&str; 5] = [
    "walnut.csv",
    "ash-rested.toml",
    "oak-wind.csv",
    "alder-bent.csv",
    "birke-krone.toml",
];

/// Boards of heights: at the readings they are answered at once.
const QUICK: [&str; 4] = ["walnut.csv", "oak-wind.csv", "alder-bent.csv", "cherry.csv"];

#[test]
fn each_line_is_the_document_of_its_board() {
    let all = flatten(&[&BOARDS[..], &["--thickness", "1-1/8", "--json"]].concat());
    assert_eq!(
        (all.status.code(), complaint(&all)),
        (Some(0), String::new())
    );
    let lines = lines(&all);
    assert_eq!(lines.len(), BOARDS.len());
    for (line, board) in lines.iter().zip(BOARDS) {
        let mut asked = vec![board, "--json"];
        if board.ends_with(".csv") {
            asked.extend(["--thickness", "1-1/8"]);
        }
        let alone = flatten(&asked);
        let text = String::from_utf8(alone.stdout).unwrap();
        // One board alone is laid out for people too.
        assert!(text.starts_with("{\n  \"board\""), "{text}");
        let [line, alone]: [Value; 2] = [line, &text].map(|t| serde_json::from_str(t).unwrap());
        assert_eq!(line, alone, "{board}");
    }
}

#[test]
fn one_bad_board_stops_no_other() {
    let boards = ["walnut.csv", "lost.csv", "README.md", "oak-wind.csv"];
    let run = flatten(
        &[
            &boards[..],
            &["--thickness", "1-3/8", "--at-readings", "--json"],
        ]
        .concat(),
    );
    assert_eq!(run.status.code(), Some(2));
    let documents: Vec<Value> = lines(&run)
        .iter()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    let name = |at: usize| documents[at]["board"]["name"].as_str();
    assert_eq!((name(0), name(3)), (Some("walnut"), Some("oak-wind")));
    for at in [1, 2] {
        assert_eq!(documents[at]["file"], boards[at]);
        let faults = documents[at]["faults"].as_array().unwrap();
        assert!(faults.iter().all(Value::is_string) && !faults.is_empty());
        assert!(complaint(&run).contains(faults[0].as_str().unwrap()));
    }
    assert!(complaint(&run).ends_with("2 of 4 boards at fault, 0 without an answer\n"));
}

/// Faces that are not one board's: read as they stand, but without an answer.
#[test]
fn the_exit_code_is_the_worst_of_all() {
    let apart = "../tests/board-files/walnut.toml";
    for (boards, code) in [
        (vec!["walnut.csv", "oak-wind.csv"], 0),
        (vec!["walnut.csv", apart, "oak-wind.csv"], 1),
        (vec![apart, "walnut.csv"], 1),
        (vec!["lost.csv", apart, "walnut.csv"], 2),
        (vec!["walnut.csv", "lost.csv"], 2),
    ] {
        for json in [false, true] {
            let mut asked = boards.clone();
            asked.extend(["--thickness", "1-3/8", "--at-readings"]);
            asked.extend(json.then_some("--json"));
            let run = flatten(&asked);
            assert_eq!(
                run.status.code(),
                Some(code),
                "{asked:?}: {}",
                complaint(&run)
            );
            assert_eq!(lines(&run).len(), boards.len(), "{asked:?}");
        }
    }
}

/// What speaks of one board is refused before any is read.
#[test]
fn options_of_one_board_are_refused() {
    let run = flatten(&[
        "walnut.csv",
        "oak-wind.csv",
        "--name",
        "a",
        "--calipers",
        "b.csv",
    ]);
    assert_eq!((run.status.code(), lines(&run).len()), (Some(2), 0));
    let told = complaint(&run);
    assert!(
        told.contains("--name goes with one board") && told.contains("--calipers goes"),
        "{told}"
    );
}

/// Fifty boards, few cores: the order is that of the command line.
#[test]
fn lines_come_in_the_order_given() {
    let boards: Vec<&str> = QUICK.iter().copied().cycle().take(50).collect();
    let run = flatten(&[&boards[..], &["--thickness", "1-1/8", "--at-readings"]].concat());
    let lines = lines(&run);
    assert_eq!(lines.len(), 50);
    for (at, line) in lines.iter().enumerate() {
        assert_eq!(line, &lines[at % QUICK.len()]);
    }
    assert!(
        lines[0].starts_with("walnut: At the readings"),
        "{}",
        lines[0]
    );
}

/// A reader that has gone ends the work, quietly.
#[test]
fn nobody_waits_where_the_reader_has_gone() {
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let boards: Vec<&str> = QUICK.iter().copied().cycle().take(50).collect();
    let run = Command::new(env!("CARGO_BIN_EXE_outwind"))
        .current_dir("sample-scans")
        .arg("flatten")
        .args(boards)
        .args(["--thickness", "1-1/8", "--at-readings"])
        .stdout(writer)
        .stderr(Stdio::piped())
        .output()
        .unwrap();
    assert_eq!(
        (run.status.code(), complaint(&run)),
        (Some(0), String::new())
    );
}
