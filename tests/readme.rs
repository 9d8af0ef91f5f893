//! The README's sessions, run.

#![allow(clippy::unwrap_used)]

use std::fs;
use std::path::Path;

/// What the README asks a person to type, in a tree where the program is built already.
#[test]
fn the_readme_shows_what_the_program_prints() {
    let typed = "$ cargo run --release -- ";
    let readme = fs::read_to_string("README.md").unwrap();
    assert!(
        readme.contains(typed),
        "the README shows how to run the program"
    );
    let session = Path::new(env!("CARGO_TARGET_TMPDIR")).join("readme.md");
    fs::write(&session, readme.replace(typed, "$ outwind ")).unwrap();
    trycmd::TestCases::new().case(session);
}

/// The piece of a board file and the answer that the README shows beside the session.
#[test]
fn the_readme_shows_a_sample_as_it_is() {
    let readme = fs::read_to_string("README.md").unwrap();
    let block = |kind: &str| {
        let from = readme.find(&format!("```{kind}\n")).unwrap() + kind.len() + 4;
        &readme[from..from + readme[from..].find("```").unwrap()]
    };
    let survey = block("toml");
    let sample = fs::read_to_string("sample-scans/oak-bench.toml").unwrap();
    assert!(sample.ends_with(survey), "{survey}");
    let after = readme.find("answers\n\n```text\n").unwrap() + "answers\n\n```text\n".len();
    let answer = &readme[after..after + readme[after..].find("```").unwrap()];
    let run = std::process::Command::new(env!("CARGO_BIN_EXE_outwind"))
        .args(["flatten", "sample-scans/oak-bench.toml", "--need", "1-1/4"])
        .output()
        .unwrap();
    let printed = String::from_utf8(run.stdout).unwrap();
    assert!(
        printed.starts_with(answer.trim_end()),
        "{answer}\n{printed}"
    );
}

/// What the README shows of cut plans stands in what the program prints.
#[test]
fn the_readme_shows_cut_plans_as_they_are() {
    let readme = fs::read_to_string("README.md").unwrap();
    let section =
        &readme[readme.find("## Cut first").unwrap()..readme.find("## What the answer").unwrap()];
    let blocks: Vec<&str> = section
        .split("```text\n")
        .skip(1)
        .map(|b| b.split("```").next().unwrap())
        .collect();
    let rails = ["--parts", "sample-scans/rails.csv"];
    for (block, more) in blocks.iter().zip([&[][..], &rails[..]]) {
        let run = std::process::Command::new(env!("CARGO_BIN_EXE_outwind"))
            .args(["cut", "sample-scans/oak-bench.toml"])
            .args(more)
            .output()
            .unwrap();
        let printed = String::from_utf8(run.stdout).unwrap();
        assert!(printed.starts_with(block.trim_end()), "{block}\n{printed}");
    }
    assert_eq!(blocks.len(), 2);
}
