//! Scans: the quick way of reading beside the careful one, and what of a scan is laid beside all of it.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

#[allow(dead_code)]
#[path = "common/random.rs"]
mod random;

use std::fs;
use std::path::Path;
use std::process::Command;

use outwind::board::{Board, Down, Particulars};
use outwind::flatten::{Faces, Flattening, Unanswerable, flatten};
use outwind::length::Unit;
use outwind::readings::{Face, Heights, Piece, Point, Scan, Settings, read_heights};
use outwind::surface::ReadFaces;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use random::Random;

/// The quick way refuses comments: one after the last row leaves all that is read as it was, but has it read the careful
/// way.
fn carefully(text: &str) -> String {
    format!("{text}\n# the end\n")
}

fn bits(points: &[Point]) -> Vec<[u64; 3]> {
    points.iter().map(|p| p.map(f64::to_bits)).collect()
}

fn assert_same(a: &Heights, b: &Heights) {
    assert_eq!(bits(&a.up), bits(&b.up));
    assert_eq!(bits(&a.down), bits(&b.down));
    assert_eq!(a.step_mm.map(f64::to_bits), b.step_mm.map(f64::to_bits));
    assert_eq!((&a.layout, a.unit), (&b.layout, b.unit));
}

/// Numbers as files hold them, and now and then what only looks like one.
fn number() -> impl Strategy<Value = String> {
    let decimal = (-2_000_000_i64..2_000_000, 0_usize..7)
        .prop_map(|(n, places)| format!("{:.places$}", n as f64 / 1000.0));
    prop_oneof![
        20 => decimal,
        2 => any::<u64>().prop_map(|n| format!("{}.{n}", n % 1000)),
        2 => (-999..999, -9..3).prop_map(|(n, shift)| format!("{n}e{shift}")),
        1 => prop::sample::select(vec![
            "0", "-0", "-0.0", "+5", ".5", "5.", "-.25", " 7.5", "7.5 ", "007.50", "1-3/16", "3/4", "6' 2\"", "12 mm",
            "1e3", "1E-3", "1.", "999999.9", "1000000.1", "123456789012345", "1234567890123456",
            "0.1234567890123456789", "-", "", "nan", "inf", "1,5", "1.234,5", "x", "up", "#", "½", "1 2",
        ])
        .prop_map(str::to_owned),
    ]
}

#[derive(Debug, Clone)]
struct Written {
    text: String,
    settings: Settings,
}

/// Probe files of all sorts, most of them right.
fn file() -> impl Strategy<Value = Written> {
    let rows = prop::collection::vec((number(), number(), number(), 0..12_usize), 5..40);
    let shape = (0..3_usize, any::<[bool; 6]>(), 0..6_usize, 0..4_usize);
    (rows, shape).prop_map(|(rows, (delimiter, flags, order, unit))| {
        let [comma, face, extra, crlf, open_end, depth] = flags;
        let delimiter = [",", ";", "\t"][delimiter];
        let suffix = ["", "_mm", "_in", " (cm)"][unit];
        let mut names: Vec<String> = ["x", "y", "z"]
            .iter()
            .map(|n| format!("{n}{suffix}"))
            .collect();
        let turns = [
            [0, 1, 2],
            [0, 2, 1],
            [1, 0, 2],
            [1, 2, 0],
            [2, 0, 1],
            [2, 1, 0],
        ][order];
        names = turns.iter().map(|&k| names[k].clone()).collect();
        if face {
            names.insert(order % 4, "face".to_owned());
        }
        if extra {
            names.push("intensity".to_owned());
        }
        let end = if crlf { "\r\n" } else { "\n" };
        let mut text = names.join(delimiter) + end;
        for (x, y, z, kind) in rows {
            let cells = [x, y, z].map(|cell| {
                if comma && delimiter != "," {
                    cell.replace('.', ",")
                } else {
                    cell
                }
            });
            let mut row: Vec<String> = turns.iter().map(|&k| cells[k].clone()).collect();
            if face {
                let side = ["up", "down", "", "UP", "Down", "up"][kind % 6];
                row.insert(order % 4, side.to_owned());
            }
            if extra {
                row.push(["17", "a b", ""][kind % 3].to_owned());
            }
            match kind {
                9 => text += end,
                10 => row.truncate(2),
                11 => row.push(String::new()),
                _ => {}
            }
            text += &(row.join(delimiter) + end);
        }
        if open_end {
            text.truncate(text.trim_end().len());
        }
        let unit = (unit == 0 || depth).then_some(Unit::Millimetre);
        Written {
            text,
            settings: Settings { unit, depth },
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 3000,
        rng_seed: RngSeed::Fixed(9),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn the_quick_way_reads_what_the_careful_one_reads(file in file()) {
        let Written { text, settings } = file;
        let quick = read_heights(text.as_bytes(), "scan.csv", settings);
        let careful = read_heights(carefully(&text).as_bytes(), "scan.csv", settings);
        match (quick, careful) {
            (Ok(quick), Ok(careful)) => assert_same(&quick, &careful),
            (quick, careful) => prop_assert_eq!(quick, careful),
        }
    }

    #[test]
    fn pieces_join_to_the_whole(
        rows in prop::collection::vec((-3_000_000..3_000_000_i32, 0..300_000_i32, -9999..9999_i32), 9..60),
        cuts in prop::collection::vec(0..60_usize, 0..5),
    ) {
        let lines: Vec<String> = rows
            .iter()
            .map(|&(x, y, z)| format!("{:.3},{:.2},{:.4}\n", f64::from(x) / 1e3, f64::from(y) / 1e2, f64::from(z) / 1e4))
            .collect();
        let text = format!("x_mm,y_mm,z_mm\n{}", lines.concat());
        let (scan, header) = Scan::begin(text.as_bytes(), Settings::default()).unwrap();
        prop_assert_eq!(header, 15);
        let mut cuts: Vec<usize> = cuts.into_iter().map(|cut| cut.min(lines.len())).collect();
        cuts.extend([0, lines.len()]);
        cuts.sort_unstable();
        let mut whole = Piece::default();
        for pair in cuts.windows(2) {
            let mut piece = Piece::default();
            scan.read(lines[pair[0]..pair[1]].concat().as_bytes(), &mut piece).unwrap();
            whole.append(&piece);
        }
        let careful = read_heights(carefully(&text).as_bytes(), "scan.csv", Settings::default()).unwrap();
        assert_same(&scan.heights(whole).unwrap(), &careful);
    }
}

/// Anything else than plain rows is left to the careful reader.
#[test]
fn the_quick_way_refuses_what_it_is_not_sure_of() {
    let mm = Settings {
        unit: Some(Unit::Millimetre),
        depth: false,
    };
    let reads = |text: &str| {
        let (scan, header) = Scan::begin(text.as_bytes(), mm)?;
        let mut piece = Piece::default();
        scan.read(&text.as_bytes()[header..], &mut piece).ok()?;
        scan.heights(piece)
    };
    let rows = "0,0,1.5\n10,0,1.25\n0,10,-3\n".repeat(3);
    assert!(reads(&format!("x,y,z\n{rows}")).is_some());
    assert!(reads(&format!("\u{feff}x,y,z\r\n{}", rows.replace('\n', "\r\n"))).is_some());
    for refused in [
        format!("x,y\n{rows}"),
        format!("\"x\",y,z\n{rows}"),
        rows.clone(),
        format!("x,y,z\n{rows}# 3 passes\n"),
        format!("x,y,z\n{rows}\"0\",0,1\n"),
        format!("x,y,z\n{rows}0,0,1,2\n"),
        format!("x,y,z\n{rows}0,0,1 in\n"),
        format!("x,y,z\n{rows}0,,1\n"),
        format!("x,y,z\n{rows}0,0,1\r"),
        format!("x,y,z\n{rows}0,0,2000000\n"),
        "x,y,z\n0,0,1\n".to_owned(),
        format!("x;y;z\n{}0;0,5;1\n", rows.replace(',', ";")),
    ] {
        assert!(reads(&refused).is_none(), "{refused}");
    }
}

/// A board that is bowed, cupped, in wind, kinked and rough.
fn height(x: f64, y: f64, random: &mut Random) -> f64 {
    let (u, v) = (x / 1000.0 - 1.0, y / 100.0 - 1.0);
    let kink = 2.0 * (1.0 - (u - 0.3).abs());
    let marks = 0.15 * (1.7 * x + 0.2 * y).sin();
    5.0 * (1.0 - u * u) - 1.5 * (1.0 - v * v) + 1.2 * u * v + kink + marks + 0.02 * random.normal()
}

/// Scans of it: in lines, in any order, askew over the datum, with spikes and a zone without readings.
fn scan_of(kind: usize, random: &mut Random) -> Vec<Point> {
    let (along, across) = if kind == 0 { (700, 80) } else { (420, 100) };
    let mut points = Vec::new();
    for i in 0..along {
        for j in 0..across {
            let (x, y) = (
                2000.0 * f64::from(i) / f64::from(along - 1),
                200.0 * f64::from(j) / f64::from(across - 1),
            );
            let z = height(x, y, random);
            points.push(match kind {
                1 => [
                    x + random.within(-2.0, 2.0),
                    y + random.within(-1.0, 1.0),
                    z,
                ],
                2 => {
                    let (sin, cos) = 0.2_f64.sin_cos();
                    [cos * x - sin * y, sin * x + cos * y, z + 0.05 * x - 0.1 * y]
                }
                3 if random.within(0.0, 1.0) < 0.01 => [x, y, z + random.within(-5.0, 5.0)],
                3 if (x - 900.0).hypot(y - 120.0) < 60.0 => continue,
                _ => [x, y, z],
            });
        }
    }
    if kind == 1 {
        for k in (1..points.len()).rev() {
            let other = random.count(0, k);
            points.swap(k, other);
        }
    }
    points
}

fn board(up: Vec<Point>, down: Down) -> Board {
    Board::new(Particulars {
        name: "scan".to_owned(),
        up,
        down,
        ..Particulars::default()
    })
    .unwrap()
}

fn lay(read: &ReadFaces<'_>, up: &[Point], down: &[Point]) -> Result<Flattening, Unanswerable> {
    flatten(&Faces {
        up,
        down,
        normal: read.normal(),
        centre: read.centre_of_mass(),
    })
}

/// What no plane can touch is left out, and nothing else: all three ways and the holding points are those of all readings.
#[test]
fn the_outermost_readings_answer_for_all() {
    let mut random = Random::new(9);
    for kind in 0..4 {
        for own_down in [false, true] {
            let up = scan_of(kind, &mut random);
            let down = if own_down {
                let mut heights = scan_of(kind, &mut random);
                heights.iter_mut().for_each(|p| p[2] -= 40.0);
                Down {
                    heights,
                    ..Down::default()
                }
            } else {
                Down {
                    thickness: Some(40.0),
                    ..Down::default()
                }
            };
            let board = board(up, down);
            let read = ReadFaces::new(&board).unwrap();
            let all =
                [Face::Up, Face::Down].map(|face| read.readings(face).collect::<Vec<Point>>());
            let some = [Face::Up, Face::Down].map(|face| read.outermost(face));
            for (all, some) in all.iter().zip(some) {
                // Askew, more of it lies at the rim of what is seen of it.
                let most = if kind == 2 { 0.95 } else { 0.8 };
                let share = some.len() as f64 / all.len() as f64;
                println!("scan {kind}: {share:.2} kept of {}", all.len());
                assert!(share < most, "{share}");
                for _ in 0..200 {
                    let direction = [0; 3].map(|_| random.normal());
                    let furthest = |points: &[Point]| {
                        let along = points
                            .iter()
                            .map(|p| (0..3).map(|k| p[k] * direction[k]).sum::<f64>());
                        along.fold(f64::NEG_INFINITY, f64::max)
                    };
                    assert!((furthest(all) - furthest(some)).abs() < 1e-12 * furthest(all).abs());
                }
            }
            let whole = lay(&read, &all[0], &all[1]).unwrap();
            let quick = lay(&read, some[0], some[1]).unwrap();
            for (a, b) in [
                (&whole.as_laid, &quick.as_laid),
                (&whole.balanced, &quick.balanced),
                (&whole.shimmed, &quick.shimmed),
            ] {
                assert!((a.gap() - b.gap()).abs() < 1e-9, "{a:?} {b:?}");
                assert_eq!(a.first, b.first);
            }
            assert_eq!(whole.holding_points, quick.holding_points);
        }
    }
}

/// The means of cells lie along the board, roughness and noise taken off.
#[test]
fn a_scan_is_as_high_as_round_about() {
    let mut random = Random::new(4);
    let board = board(
        scan_of(0, &mut random),
        Down {
            thickness: Some(40.0),
            ..Down::default()
        },
    );
    let read = ReadFaces::new(&board).unwrap();
    assert!(read.is_scan(Face::Up) && read.course(Face::Up).len() < 4000);
    for (x, y) in [(0.0, 0.0), (1000.0, 100.0), (700.0, 20.0), (1990.0, 195.0)] {
        let expected = height(x, y, &mut random);
        let [up, down] = [Face::Up, Face::Down].map(|face| read.height(face, x, y));
        assert!((up - expected).abs() < 0.5, "{up} {expected}");
        assert!((up - down - 40.0).abs() < 1e-9);
    }
}

/// Which face is the upper one is told by all readings, not by the outermost alone.
#[test]
fn a_scan_upside_down_is_told_by_how_much() {
    let mut random = Random::new(5);
    let up = scan_of(0, &mut random);
    let heights = up.iter().map(|&[x, y, z]| [x, y, z + 40.0]).collect();
    let board = board(
        up,
        Down {
            heights,
            ..Down::default()
        },
    );
    let read = ReadFaces::new(&board).unwrap();
    assert!((read.above_by().unwrap() + 40.0).abs() < 0.1);
}

/// The whole program on a file that is read in blocks, beside the same file read as a whole.
#[test]
fn a_file_in_blocks_answers_as_a_whole_one() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let mut random = Random::new(6);
    let mut text = "x_mm,y_mm,z_mm,face\n".to_owned();
    for (face, below) in [("up", 0.0), ("down", 40.0)] {
        for i in 0..1000 {
            for j in 0..110 {
                let (x, y) = (2.0 * f64::from(i), 2.0 * f64::from(j));
                let z = height(x, y, &mut random) - below;
                text += &format!("{x:.3},{y:.3},{z:.4},{face}\n");
            }
        }
    }
    assert!(text.len() > 5 << 20, "it is read in several blocks");
    let answer = |name: &str, text: &str| {
        let path = folder.join(name);
        fs::write(&path, text).unwrap();
        let output = Command::new(env!("CARGO_BIN_EXE_outwind"))
            .args(["flatten", "--json", "--name", "scan"])
            .arg(&path)
            .output()
            .unwrap();
        fs::remove_file(&path).unwrap();
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        assert!(
            output.stderr.is_empty(),
            "nothing is told where nobody looks on"
        );
        String::from_utf8(output.stdout).unwrap()
    };
    assert_eq!(
        answer("blocks.csv", &text),
        answer("whole.csv", &carefully(&text))
    );
}
