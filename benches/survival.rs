//! Speed as ratios within one run. `cargo bench` prints them; nothing asserts them.
//!
//! 1. The shimmed thickness of a million points a face, beside a single pass over the same memory.
//! 2. The same, beside the general-purpose convex solver Clarabel on a tenth of the points.
//! 3. The whole command on a 9 × 5 grid, at the readings and with the expectation, beside the program `true`.
//! 4. The whole command with the expectation of 21 heights (1,000 draws, laid in three ways), on one processor and on all, with
//!    and without the question whether a crosscut pays, beside Clarabel on one programme a way for each of as many draws of the
//!    same size: widest gap, and the least zone of either face twice, once for the balanced way and once in place of the way
//!    the board settles, which is no convex programme.
//! 5. A thousand boards of 45 readings in one command, beside one of them.

#![allow(clippy::print_stdout)]

#[path = "../tests/common/mod.rs"]
mod common;

use std::hint::black_box;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use common::solver::{USUAL, closest_planes_within, gap_seen_along};
use outwind::flatten::{Faces, survives_shimmed};
use outwind::readings::Point;

/// A warped board of 2 m by 200 mm with saw marks: `along` × `across` points.
fn face(along: usize, across: usize, below: f64) -> Vec<Point> {
    let mut points = Vec::with_capacity(along * across);
    for j in 0..across {
        for i in 0..along {
            let (x, y) = (
                2000.0 * i as f64 / (along - 1) as f64,
                200.0 * j as f64 / (across - 1) as f64,
            );
            let (u, v) = (x / 1000.0 - 1.0, y / 100.0 - 1.0);
            let form = 5.0 * (1.0 - u * u) - 2.0 * (1.0 - v * v) + 2.0 * u * v;
            let marks = 0.2 * (x * 1.7).sin() + 0.1 * (x * 0.31 + y * 0.83).sin();
            points.push([x, y, form + marks - below]);
        }
    }
    points
}

/// The middle of several runs.
fn median(runs: usize, mut run: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed()
        })
        .collect();
    times.sort();
    times[runs / 2]
}

fn ratio(a: Duration, b: Duration) -> f64 {
    a.as_secs_f64() / b.as_secs_f64()
}

fn faces<'a>(up: &'a [Point], down: &'a [Point]) -> Faces<'a> {
    Faces {
        up,
        down,
        normal: [0.0, 0.0, 1.0],
        centre: [1000.0, 100.0, -20.0],
    }
}

fn main() {
    let (up, down) = (face(2000, 500, 0.0), face(2000, 500, 40.0));
    let pass = median(15, || {
        let sum: f64 = up.iter().chain(&down).map(|p| p[0] + p[1] + p[2]).sum();
        black_box(sum);
    });
    let mut thickness = 0.0;
    let exact = median(15, || {
        thickness = black_box(survives_shimmed(&faces(&up, &down))).unwrap_or(f64::NAN);
    });
    println!("shimmed, a million points a face: {thickness:.9} mm in {exact:.1?}");
    println!(
        "  a single pass over the same memory: {pass:.1?}; ratio {:.1}",
        ratio(exact, pass)
    );

    let (up, down) = (face(1000, 100, 0.0), face(1000, 100, 40.0));
    let mut by_solver = 0.0;
    let slow = median(1, || {
        by_solver = gap_seen_along(&up, &down, [0.0, 0.0, 1.0], USUAL).lower;
    });
    let ours = survives_shimmed(&faces(&up, &down)).unwrap_or(f64::NAN);
    println!(
        "the solver on a tenth of the points: {by_solver:.9} mm (ours {ours:.9}) in {slow:.1?}; {:.0} times the whole",
        ratio(slow, exact)
    );

    let grid = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("nine-by-five.csv");
    let mut text = String::from("mm,0,250,500,750,1000,1250,1500,1750,2000\n");
    for y in [0, 50, 100, 150, 200] {
        let row: Vec<String> = (0..9)
            .map(|i| format!("{:.1}", 4.0 - 0.2 * f64::from((i - 4) * (i - 4) + y / 50)))
            .collect();
        text += &format!("{y},{}\n", row.join(","));
    }
    std::fs::File::create(&grid)
        .and_then(|mut f| f.write_all(text.as_bytes()))
        .expect("a grid to read");
    let whole = |more: &[&str], runs: usize| {
        median(runs, || {
            Command::new(env!("CARGO_BIN_EXE_outwind"))
                .arg("flatten")
                .arg(&grid)
                .args(["--thickness", "40"])
                .args(more)
                .stdout(Stdio::null())
                .status()
                .expect("the program runs");
        })
    };
    let (at_readings, expected) = (whole(&["--at-readings"], 101), whole(&[], 11));
    let nothing = median(101, || {
        Command::new("true")
            .stdout(Stdio::null())
            .status()
            .expect("`true` runs");
    });
    println!("the whole command on a 9 × 5 grid, beside `true` in {nothing:.2?}:");
    println!(
        "  at the readings {at_readings:.2?}; ratio {:.1}",
        ratio(at_readings, nothing)
    );
    println!(
        "  with the expectation {expected:.2?}; ratio {:.1}",
        ratio(expected, nothing)
    );
    usual_survey(nothing);
    thousand_boards();
}

/// A thousand boards of 9 × 5 readings, no two alike.
fn thousand_boards() {
    const BOARDS: i32 = 1000;
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("thousand");
    std::fs::create_dir_all(&folder).expect("a folder");
    let boards: Vec<PathBuf> = (0..BOARDS)
        .map(|k| {
            let mut text = String::from("mm,0,250,500,750,1000,1250,1500,1750,2000\n");
            for j in 0..5_i32 {
                let row: Vec<String> = (0..9)
                    .map(|i| {
                        let (u, v) = (f64::from(i) / 4.0 - 1.0, f64::from(j) / 2.0 - 1.0);
                        let form = 5.0 * (1.0 - u * u) - 2.0 * (1.0 - v * v) + 2.0 * u * v;
                        let rough = 0.3 * f64::from((7 * i + 11 * j + 13 * k) % 17 - 8) / 8.0;
                        format!("{:.1}", form + rough)
                    })
                    .collect();
                text += &format!("{},{}\n", 50 * j, row.join(","));
            }
            let path = folder.join(format!("board-{k}.csv"));
            std::fs::write(&path, text).expect("a board");
            path
        })
        .collect();
    let run = |boards: &[PathBuf], more: &[&str], runs: usize| {
        median(runs, || {
            let status = Command::new(env!("CARGO_BIN_EXE_outwind"))
                .arg("flatten")
                .args(boards)
                .args(["--thickness", "40", "--json"])
                .args(more)
                .stdout(Stdio::null())
                .status();
            assert!(status.is_ok_and(|status| status.success()));
        })
    };
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    println!("{BOARDS} boards of 45 readings in one command, beside one, on {cores} processors:");
    for (name, more, runs) in [
        ("at the readings", &["--at-readings"][..], 5),
        ("with the expectation", &[], 1),
    ] {
        let (all, one) = (run(&boards, more, runs), run(&boards[..1], more, 11));
        println!(
            "  {name}: {all:.2?} beside {one:.2?}; ratio {:.0}",
            ratio(all, one)
        );
    }
    let _ = std::fs::remove_dir_all(&folder);
}

/// Seven stations by three, and 1,000 draws.
fn usual_survey(nothing: Duration) {
    let grid = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("seven-by-three.csv");
    let mut text = String::from("mm,0,333,667,1000,1333,1667,2000\n");
    for (j, y) in [0, 100, 200].into_iter().enumerate() {
        let row: Vec<String> = (0..7)
            .map(|i| {
                let (u, v) = (f64::from(i) / 3.0 - 1.0, j as f64 - 1.0);
                let form = 5.0 * (1.0 - u * u) - 2.0 * (1.0 - v * v) + 2.0 * u * v;
                format!("{:.1}", form + 0.3 * (3.0 * f64::from(i) + 5.0 * v).sin())
            })
            .collect();
        text += &format!("{y},{}\n", row.join(","));
    }
    std::fs::write(&grid, text).expect("a grid to read");
    let whole = |more: &[&str], processors: usize| {
        median(11, || {
            let status = Command::new(env!("CARGO_BIN_EXE_outwind"))
                .env("RAYON_NUM_THREADS", processors.to_string())
                .arg("flatten")
                .arg(&grid)
                .args(["--thickness", "40"])
                .args(more)
                .stdout(Stdio::null())
                .status();
            assert!(status.is_ok_and(|status| status.success()));
        })
    };
    // As many points as a draw has.
    let (up, down) = (face(49, 9, 0.0), face(49, 9, 40.0));
    let level = [0.0, 0.0, 1.0];
    let one = median(5, || {
        black_box(gap_seen_along(&up, &down, level, USUAL));
        for face in [&up, &down, &up, &down] {
            black_box(closest_planes_within(face, level, USUAL));
        }
    });
    println!(
        "the whole command on 21 heights, 1,000 draws, three ways; the solver takes {one:.1?} a draw on one processor:"
    );
    let processors = std::thread::available_parallelism().map_or(1, usize::from);
    for (name, more) in [
        // Where the board makes what is needed, no crosscut is looked for: what is left is what the solver does, and the rest of
        // a command.
        ("and no crosscut", &["--need", "20 mm"][..]),
        ("and whether a crosscut pays", &[]),
    ] {
        for processors in [1, processors] {
            let ours = whole(more, processors);
            println!(
                "  {name}, {processors} processors: {ours:.1?}; ratio to `true` {:.0}, the solver's 1,000 draws to it {:.0}",
                ratio(ours, nothing),
                1000.0 * ratio(one, ours)
            );
        }
    }
}
