//! What the fuzzer found, and its targets on the corpus and on the files of the project: see `fuzz/run`.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

// Public in the fuzzer's own package.
#[allow(unreachable_pub)]
#[path = "../fuzz/src/lib.rs"]
mod targets;

use std::fs;
use std::path::Path;

use outwind::readings::{Faults, read_board, read_calipers};

/// The targets, and the folders of files that each of them begins with beside its corpus.
type Target = (&'static str, fn(&[u8]), &'static [&'static str]);

const CSV: &[&str] = &["sample-scans", "tests/data/readings", "tests/cli/bad.in"];
const BOARDS: &[&str] = &["sample-scans", "tests/board-files"];

const TARGETS: [Target; 12] = [
    ("dimension", targets::dimension, &[]),
    ("heights", targets::heights, CSV),
    ("points", targets::points, CSV),
    ("calipers", targets::calipers, CSV),
    (
        "parts",
        targets::parts,
        &["sample-scans", "tests/parts-lists"],
    ),
    ("sheet", targets::sheet, CSV),
    ("board_file", targets::board_file, BOARDS),
    ("board_edit", targets::board_edit, BOARDS),
    (
        "shop_file",
        targets::shop_file,
        &["sample-scans", "tests/shop-files"],
    ),
    ("survival", targets::survival, &[]),
    ("expectation", targets::expectation, &[]),
    ("answer", targets::answer, BOARDS),
];

/// Every file of a folder and of those in it.
fn files(folder: &Path, found: &mut Vec<Vec<u8>>) {
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    for entry in entries {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files(&path, found);
        } else {
            found.push(fs::read(&path).unwrap());
        }
    }
}

#[test]
fn every_target_holds_on_its_corpus() {
    for (name, target, folders) in TARGETS {
        let mut inputs = Vec::new();
        files(&Path::new("fuzz/corpus").join(name), &mut inputs);
        for folder in folders {
            files(Path::new(folder), &mut inputs);
        }
        println!("{name}: {} inputs", inputs.len());
        inputs.iter().for_each(|bytes| target(bytes));
    }
}

/// The faults of a board file.
fn faults(text: &str) -> Faults {
    let mut no_file = |name: &str| Err(format!("{name}: there is no such file"));
    read_board(text.as_bytes(), "board.toml", None, &mut no_file).expect_err("a bad file")
}

/// Found: calipers of more than a foot were read from a CSV file and refused in the board file that held the same.
#[test]
fn calipers_are_bounded_alike_in_both_files() {
    let rows = "x_in,y_in,thickness_in\n0,0,1-1/16\n24,8,1-1/8\n48,0,14\n";
    let told = read_calipers(rows.as_bytes(), "calipers.csv", None).expect_err("14 in");
    assert_eq!(told.faults[0].cell.as_deref(), Some("C4"), "{told}");
    let board = format!("unit = \"in\"\n[[survey]]\ncalipers = \"\"\"\n{rows}\"\"\"\n");
    assert_eq!(faults(&board).faults[0].wrong, told.faults[0].wrong);
}

/// Found: one reading over others on a line, from which nothing survives: the shimmed planes lay at the strip for which the other
/// ways take a line, not at the readings.
#[test]
fn the_shimmed_planes_lie_at_the_readings() {
    targets::survival(&[
        0xa1, 0xf8, 0x10, 0x00, 0xf9, 0x00, 0x00, 0x02, 0x0a, 0x07, 0x00, 0x00, 0x00, 0x19, 0xa8,
        0xa8, 0x66, 0xa1, 0x10, 0x00, 0xa1, 0x10, 0x00, 0x00, 0x00,
    ]);
    targets::survival(&[
        0x5b, 0xf9, 0x10, 0x01, 0x0c, 0x00, 0x8d, 0x29, 0xb1, 0x00, 0x96, 0x04, 0x20, 0xf5, 0x01,
        0x5b, 0xf9, 0x10, 0x01, 0x0c, 0x00, 0x8d, 0x29, 0xb1, 0x00, 0x96, 0x04, 0x20,
    ]);
}

/// Found: a line that ends in blanks was underlined beyond all that is seen of it.
#[test]
fn an_underline_ends_with_its_line() {
    let told = faults("unit = \"in\"\nleg, 4, 17 2 = 1                          \n");
    let shown = told.faults[0].shown.as_ref().unwrap();
    assert!(shown.column + shown.width <= shown.text.len(), "{told}");
}

/// Found: where a value is missing, the caret stood as far out as the blanks behind the equals sign go.
#[test]
fn a_caret_stands_by_its_line() {
    let told = faults("unit = \"in\"\nthickness =                           \n");
    let shown = told.faults[0].shown.as_ref().unwrap();
    assert_eq!(shown.text, "thickness =", "{told}");
    assert_eq!((shown.column, shown.width), (12, 1), "{told}");
}
