//! Every sample scan is run, its text and JSON compared whole, and what survives compared with a convex solver.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use std::fs;
use std::process::Command;

use common::solver::widest_gap;
use outwind::readings::{Point, Settings, read_heights};
use serde_json::Value;

#[test]
fn samples_print_what_they_printed() {
    trycmd::TestCases::new()
        .case("tests/cli/samples/*.md")
        .case("tests/cli/many.md")
        .case("docs/milling.md")
        .case("docs/measuring.md");
}

/// What stands beside the sample scans; `parts.rs` and `shop.rs` read the last two.
const NO_SCANS: [&str; 3] = ["README.md", "bench-parts.csv", "shop.toml"];

/// No sample scan stands there unrun, by itself or as a file of a board file.
#[test]
fn every_sample_is_run() {
    let texts = |folder: &str| -> String {
        let files = fs::read_dir(folder).unwrap();
        let texts = files.filter_map(|entry| fs::read_to_string(entry.unwrap().path()).ok());
        texts.collect()
    };
    let (cases, samples) = (texts("tests/cli/samples"), texts("sample-scans"));
    for entry in fs::read_dir("sample-scans").unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(
            NO_SCANS.contains(&name.as_str())
                || cases.contains(&format!("sample-scans/{name}"))
                || samples.contains(&format!("file = \"{name}\"")),
            "{name} is run by no case"
        );
    }
}

/// The program's JSON for a sample.
fn answer(arguments: &[&str]) -> Value {
    let run = Command::new(env!("CARGO_BIN_EXE_outwind"))
        .current_dir("sample-scans")
        .arg("flatten")
        .args(arguments)
        .arg("--json")
        .output()
        .unwrap();
    assert!(run.status.success(), "{run:?}");
    serde_json::from_slice(&run.stdout).unwrap()
}

fn survives(answer: &Value, way: &str) -> f64 {
    answer["survives"][way]["at_readings_mm"].as_f64().unwrap()
}

/// The two faces of a sample: its own rows of the down face, those of another file, or the up face lowered.
fn faces(board: &str, down: Result<&str, f64>) -> (Vec<Point>, Vec<Point>) {
    let heights = |file: &str| {
        let bytes = fs::read(format!("sample-scans/{file}")).unwrap();
        read_heights(&bytes, file, Settings::default()).unwrap()
    };
    let read = heights(board);
    let down = match down {
        Ok(file) if file == board => read.down,
        Ok(file) => heights(file).up,
        Err(thickness) => common::lowered(&read.up, thickness),
    };
    (read.up, down)
}

/// From the file to the number printed, against Clarabel. 25.4 mm an inch is exact by definition.
#[test]
fn what_survives_is_what_a_convex_solver_finds() {
    const INCH: f64 = 25.4;
    let samples: [(&[&str], Result<&str, f64>); 9] = [
        (&["walnut.csv", "--thickness", "1-3/8"], Err(1.375 * INCH)),
        (&["ash-quick.csv", "--thickness", "1"], Err(INCH)),
        (&["elm-slab.csv", "--thickness", "2-3/4"], Err(2.75 * INCH)),
        (&["laerche.csv", "--thickness", "38"], Err(38.0)),
        (
            &["maple-up.csv", "--down", "maple-down.csv"],
            Ok("maple-down.csv"),
        ),
        (&["oak-wind.csv", "--thickness", "1-1/8"], Err(1.125 * INCH)),
        (
            &["beech-long.csv", "--thickness", "1-3/4"],
            Err(1.75 * INCH),
        ),
        (&["spruce-taper.csv"], Ok("spruce-taper.csv")),
        (&["walnut-slab-probe.csv"], Ok("walnut-slab-probe.csv")),
    ];
    for (arguments, down) in samples {
        let (up, down) = faces(arguments[0], down);
        let solved = widest_gap(&up, &down, [0.0, 0.0, 1.0]);
        let shimmed = survives(&answer(arguments), "shimmed");
        assert!(
            solved.outside(shimmed) <= 1e-9 && solved.accuracy() < 1e-6,
            "{arguments:?}: {shimmed} mm, {solved:?}"
        );
    }
}

/// What the list of samples tells the reader to notice.
#[test]
fn samples_show_what_they_are_for() {
    let notes = |answer: &Value| answer["notes"].to_string();

    let rocking = answer(&["oak-wind.csv", "--thickness", "1-1/8"]);
    assert!(notes(&rocking).contains("rocks between two ways"));
    assert!(survives(&rocking, "as_laid") < survives(&rocking, "shimmed") - 5.0);

    let taper = answer(&["spruce-taper.csv"]);
    assert!(survives(&taper, "balanced") < survives(&taper, "as_laid") - 0.5);
    assert!(notes(&taper).contains("less than letting the board settle"));

    let lost = answer(&["alder-bent.csv", "--thickness", "1/2"]);
    for way in ["as_laid", "balanced", "shimmed"] {
        assert_eq!(survives(&lost, way), 0.0);
    }
    assert!(notes(&lost).contains("Nothing survives"));

    let size = |answer: &Value| {
        [&answer["board"]["length_mm"], &answer["board"]["width_mm"]].map(|mm| mm.as_f64().unwrap())
    };
    let read = ["beech-long.csv", "--thickness", "1-3/4"];
    let whole = [&read[..], &["--length", "9'", "--width", "8-1/2"]].concat();
    approx::assert_abs_diff_eq!(
        size(&answer(&read))[..],
        [96.0 * 25.4, 7.5 * 25.4],
        epsilon = 1e-9
    );
    approx::assert_abs_diff_eq!(
        size(&answer(&whole))[..],
        [108.0 * 25.4, 8.5 * 25.4],
        epsilon = 1e-9
    );
}

/// A sample's readings, written as a board file, give the same answer to the last digit.
#[test]
fn a_board_file_answers_as_its_csv_does() {
    for arguments in [
        &["walnut.csv", "--thickness", "1-3/8"][..],
        &["cherry.csv", "--calipers", "cherry-calipers.csv"],
        &["maple-up.csv", "--down", "maple-down.csv"],
        &["laerche.csv", "--thickness", "38"],
        &["spruce-taper.csv", "--error", "0.2 mm"],
        &[
            "beech-long.csv",
            "--thickness",
            "1-3/4",
            "--length",
            "9'",
            "--width",
            "8-1/2",
        ],
    ] {
        let run = Command::new(env!("CARGO_BIN_EXE_outwind"))
            .current_dir("sample-scans")
            .arg("board")
            .args(arguments)
            .output()
            .unwrap();
        assert!(run.status.success(), "{run:?}");
        let written = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("written.toml");
        fs::write(&written, &run.stdout).unwrap();
        let mut answers = [answer(arguments), answer(&[written.to_str().unwrap()])];
        for answer in &mut answers {
            // What to do about a note is said by options of the one, by keys of the other.
            answer["notes"] = Value::Null;
        }
        assert_eq!(answers[0], answers[1], "{arguments:?}");
    }
}
