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
