//! What a drawn board shows, without a window: the scene, its solids, and pictures where there is a driver.

#![cfg(feature = "view")]
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::fs;
use std::io::Cursor;
use std::path::Path;
use std::process::Command;

use outwind::board::{Board, Down, Particulars};
use outwind::flatten::{Answer, Question, Relief};
use outwind::length::Notation;
use outwind::readings::{Face, Point, Settings, read_heights};
use outwind::view::scene::{Enlarged, Mesh, Scene};
use outwind::view::{Solid, gltf, solids, stl};

const INCHES: Notation = Notation::Fraction { denominator: 64 };

fn board(file: &str, thickness: f64, spoil: impl Fn(&mut Vec<Point>)) -> Board {
    let bytes = fs::read(format!("sample-scans/{file}")).unwrap();
    let heights = read_heights(&bytes, file, Settings::default()).unwrap();
    let mut up = heights.up;
    spoil(&mut up);
    Board::new(Particulars {
        name: "walnut".to_owned(),
        up,
        layout: heights.layout,
        down: Down {
            thickness: Some(thickness),
            ..Down::default()
        },
        ..Particulars::default()
    })
    .unwrap()
}

fn walnut() -> Board {
    board("walnut.csv", 1.375 * 25.4, |_| ())
}

fn answer(board: &Board) -> Answer {
    let question = Question {
        need: None,
        support_spacing: 254.0,
        sizes: Vec::new(),
        expectation: true,
    };
    Answer::new(board, &question)
}

fn scene(board: &Board, enlarged: Enlarged) -> (Answer, Scene) {
    let answer = answer(board);
    let relief = Relief::new(board, &answer.flattening.as_ref().unwrap().shimmed).unwrap();
    let scene = Scene::new(board, &answer, &relief, INCHES, enlarged).unwrap();
    (answer, scene)
}

#[test]
fn readings_stand_where_they_were_read_and_what_comes_off_is_enlarged() {
    let board = walnut();
    let (answer, to_scale) = scene(&board, Enlarged::Times(1.0));
    let (_, enlarged) = scene(&board, Enlarged::Times(10.0));
    let laying = &answer.flattening.as_ref().unwrap().shimmed;
    assert_eq!(to_scale.pins.len(), 21);
    assert_eq!(to_scale.thickness, laying.gap());
    for (k, point) in board.up.iter().enumerate() {
        let off = laying.comes_off(Face::Up, *point);
        for (scene, times) in [(&to_scale, 1.0), (&enlarged, 10.0)] {
            let drawn = scene.pins[k].spot.point;
            assert!((drawn[2] - (laying.gap() + times * off)).abs() < 1e-9);
            assert!((drawn[0] - (point[0] - 914.4)).abs() < 1e-9);
        }
    }
}

#[test]
fn the_finished_planes_touch_wood_at_the_holding_points() {
    let (answer, scene) = scene(&walnut(), Enlarged::Fitting);
    let found = answer.flattening.as_ref().unwrap();
    assert_eq!(scene.holding.len(), found.holding_points.len());
    for held in &scene.holding {
        let plane = match held.spot.face {
            Face::Up => scene.thickness,
            Face::Down => 0.0,
        };
        assert!((held.spot.point[2] - plane).abs() < 1e-6);
    }
}

#[test]
fn lines_are_numbered_by_what_comes_off_along_them() {
    let (_, scene) = scene(&walnut(), Enlarged::Times(1.0));
    assert!(scene.contours.len() >= 4);
    assert!(
        scene.levels.mm.len() <= 9,
        "no more than eight lines a face"
    );
    for contour in scene.contours.iter().filter(|c| c.face == Face::Up) {
        let k = scene
            .levels
            .texts
            .iter()
            .position(|t| *t == contour.text)
            .unwrap();
        for point in &contour.points {
            let off = point[2] - scene.thickness;
            assert!(
                (off - scene.levels.mm[k]).abs() < 1e-6,
                "{off} at {}",
                contour.text
            );
        }
    }
    let shown: Vec<&str> = scene.levels.texts.iter().map(String::as_str).collect();
    assert_eq!(&shown[..3], ["0", "1/32", "1/16"]);
}

#[test]
fn a_doubtful_reading_is_marked_and_no_other() {
    // A slip of half an inch in the middle of the far edge.
    let board = board("walnut.csv", 1.375 * 25.4, |up| up[17][2] += 12.7);
    let (answer, scene) = scene(&board, Enlarged::Fitting);
    let doubted = &answer.expectation.as_ref().unwrap().doubted;
    assert_eq!(doubted.len(), 1);
    let marked: Vec<usize> = (0..21).filter(|k| scene.pins[*k].doubt.is_some()).collect();
    assert_eq!(marked, [17]);
    assert!(
        scene.pins[17]
            .doubt
            .as_ref()
            .unwrap()
            .starts_with("read 49/64, expected ")
    );
}

#[test]
fn shims_reach_from_the_table_to_the_board() {
    let (answer, scene) = scene(&walnut(), Enlarged::Times(1.0));
    let laying = &answer.flattening.as_ref().unwrap().shimmed;
    assert_eq!(scene.shims.len(), 2 * answer.shims.len());
    for (block, shim) in scene.shims.chunks(2).zip(&answer.shims) {
        for (block, thickness) in block.iter().zip([shim.near, shim.far]) {
            let z = |pick: fn(f64, f64) -> f64, start| {
                block.mesh.points.iter().map(|p| p[2]).fold(start, pick)
            };
            let (low, high) = (z(f64::min, f64::INFINITY), z(f64::max, f64::NEG_INFINITY));
            assert!((low + laying.most_off_down).abs() < 1e-9);
            assert!((high - low - thickness).abs() < 1e-9);
        }
    }
}

#[test]
fn only_what_is_little_known_is_veiled() {
    let (_, known) = scene(&walnut(), Enlarged::Fitting);
    // Only the middle third of the board is read; its ends are a guess.
    let mut half = walnut();
    half.up.retain(|p| (500.0..1300.0).contains(&p[0]));
    let (_, guessed) = scene(&half, Enlarged::Fitting);
    assert!(
        guessed.veil.len() > 4 * known.veil.len() + 100,
        "{} and {}",
        guessed.veil.len(),
        known.veil.len()
    );
    let middle = guessed
        .veil
        .iter()
        .filter(|s| s[0][0].abs() < 300.0)
        .count();
    assert!(
        middle * 20 < guessed.veil.len(),
        "{middle} strokes in the middle"
    );
}

#[test]
fn a_scan_is_thinned_and_says_so() {
    let bytes = fs::read("sample-scans/walnut-slab-probe.csv").unwrap();
    let heights = read_heights(&bytes, "probe.csv", Settings::default()).unwrap();
    let board = Board::new(Particulars {
        up: heights.up,
        down: Down {
            heights: heights.down,
            ..Down::default()
        },
        ..Particulars::default()
    })
    .unwrap();
    let (_, scene) = scene(&board, Enlarged::Fitting);
    assert!(scene.pins.len() <= 300);
    let said = format!(
        "{} of 2130 readings are drawn; all are reckoned with",
        scene.pins.len()
    );
    assert!(scene.remarks.contains(&said), "{:?}", scene.remarks);
}

/// Volume by the divergence theorem, mm³; positive where triangles face outwards.
fn volume(points: &[[f64; 3]], triangles: &[[usize; 3]]) -> f64 {
    let of = |t: &[usize; 3]| {
        let [a, b, c] = t.map(|k| points[k]);
        a[0] * (b[1] * c[2] - b[2] * c[1])
            + a[1] * (b[2] * c[0] - b[0] * c[2])
            + a[2] * (b[0] * c[1] - b[1] * c[0])
    };
    triangles.iter().map(of).sum::<f64>() / 6.0
}

fn volume_of(mesh: &Mesh) -> f64 {
    let triangles: Vec<_> = mesh
        .triangles
        .iter()
        .map(|t| t.map(|k| k as usize))
        .collect();
    volume(&mesh.points, &triangles)
}

fn bodies() -> (Answer, Vec<Solid>) {
    let (answer, scene) = scene(&walnut(), Enlarged::Times(1.0));
    (answer, solids(&scene))
}

#[test]
fn what_is_left_and_what_comes_off_are_the_board() {
    let (_, bodies) = bodies();
    let [board, finished, up, down] = [0, 1, 2, 3].map(|k| volume_of(&bodies[k].mesh));
    assert!(up > 0.0 && down > 0.0 && finished > up + down);
    assert!((board - finished - up - down).abs() < 1e-6 * board);
    // 72 × 7-1/2 × 1-3/8 in.
    let stated = 72.0 * 7.5 * 1.375 * 25.4_f64.powi(3);
    assert!((board / stated - 1.0).abs() < 0.01, "{board} and {stated}");
}

#[test]
fn stl_reads_back_in_millimetres() {
    let (_, bodies) = bodies();
    for body in &bodies {
        let read = stl_io::read_stl(&mut Cursor::new(stl(body))).unwrap();
        let points: Vec<[f64; 3]> = read
            .vertices
            .iter()
            .map(|v| [0, 1, 2].map(|k| f64::from(v[k])))
            .collect();
        let triangles: Vec<_> = read.faces.iter().map(|f| f.vertices).collect();
        let (back, own) = (volume(&points, &triangles), volume_of(&body.mesh));
        assert!(
            (back - own).abs() < 1e-4 * own.abs() + 10.0,
            "{}: {back} and {own}",
            body.name
        );
        let longest = points.iter().map(|p| p[0]).fold(0.0, f64::max);
        assert!((longest - 1828.8).abs() < 1e-3, "end B lies at 72 in");
    }
    let board = stl_io::read_stl(&mut Cursor::new(stl(&bodies[0]))).unwrap();
    board.validate().unwrap();
}

#[test]
fn gltf_reads_back_in_millimetres_under_a_root_of_metres() {
    let (_, bodies) = bodies();
    let (document, buffers, _) = ::gltf::import_slice(gltf(&bodies)).unwrap();
    let root = document.scenes().next().unwrap().nodes().next().unwrap();
    let matrix = root.transform().matrix();
    // What points up in the file, z, is y in metres.
    assert_eq!(matrix[2], [0.0, 0.001, 0.0, 0.0]);
    let names: Vec<_> = root
        .children()
        .map(|n| n.name().unwrap().to_owned())
        .collect();
    assert_eq!(names, ["board", "finished", "off-up-face", "off-down-face"]);
    for (node, body) in root.children().zip(&bodies) {
        let primitive = node.mesh().unwrap().primitives().next().unwrap();
        let reader = primitive.reader(|buffer| Some(&buffers[buffer.index()]));
        let points: Vec<_> = reader
            .read_positions()
            .unwrap()
            .map(|p| p.map(f64::from))
            .collect();
        let corners: Vec<_> = reader
            .read_indices()
            .unwrap()
            .into_u32()
            .map(|k| k as usize)
            .collect();
        let triangles: Vec<[usize; 3]> = corners.chunks(3).map(|t| [t[0], t[1], t[2]]).collect();
        let (back, own) = (volume(&points, &triangles), volume_of(&body.mesh));
        assert!(
            (back - own).abs() < 1e-4 * own.abs() + 10.0,
            "{}: {back} and {own}",
            body.name
        );
    }
}

/// A picture drawn by the program, as PNG; where there is no driver it says so loudly, or fails where pictures are required.
fn drawn(name: &str, board: &str) -> Option<Vec<u8>> {
    let target = format!("{}/{name}.png", env!("CARGO_TARGET_TMPDIR"));
    let _ = fs::remove_file(&target);
    let arguments = [
        board,
        "--thickness",
        "1-3/8",
        "--picture",
        &target,
        "--size",
        "640x400",
    ];
    let (code, told) = run(&arguments, false);
    if code == Some(1) && told.contains("adapter") && std::env::var_os("REQUIRE_PICTURES").is_none()
    {
        println!(
            "SKIPPED: no graphics driver here, so no picture was compared (see DEVELOPERS.md)"
        );
        return None;
    }
    assert_eq!(code, Some(0), "{told}");
    Some(fs::read(&target).unwrap())
}

fn pixels(file: Vec<u8>) -> (u32, u32, Vec<u8>) {
    let mut reader = png::Decoder::new(Cursor::new(file)).read_info().unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut pixels).unwrap();
    (info.width, info.height, pixels)
}

/// Compares with the committed picture: the mean difference of all channels, and the share of pixels that differ plainly.
/// `RENEW_PICTURES=1` writes it anew: look at it.
fn compared(name: &str, board: &str) {
    let Some(drawn) = drawn(name, board) else {
        return;
    };
    let path = format!("tests/pictures/{name}.png");
    if std::env::var_os("RENEW_PICTURES").is_some() {
        fs::write(&path, &drawn).unwrap();
    }
    let (width, height, kept) = pixels(fs::read(&path).unwrap());
    let (wide, high, drawn) = pixels(drawn);
    assert_eq!((width, height), (wide, high));
    let off: Vec<u8> = kept
        .iter()
        .zip(&drawn)
        .map(|(a, b)| a.abs_diff(*b))
        .collect();
    let mean = off.iter().map(|d| f64::from(*d)).sum::<f64>() / off.len() as f64;
    let plain = off.chunks(3).filter(|p| p.iter().any(|d| *d > 40)).count();
    let share = plain as f64 / (off.len() / 3) as f64;
    println!("{name}: mean difference {mean:.3} of 255, {share:.5} of the pixels differ plainly");
    assert!(
        mean < 1.0 && share < 0.01,
        "{name}: mean {mean}, share {share}"
    );
}

#[test]
fn pictures_are_as_they_were() {
    compared("walnut", "sample-scans/walnut.csv");
    // A slip of half an inch at the far edge.
    let readings = fs::read_to_string("sample-scans/walnut.csv").unwrap();
    let slipped = readings.replace("7-1/2,9/64,13/64,1/4,17/64", "7-1/2,9/64,13/64,1/4,49/64");
    assert_ne!(slipped, readings);
    let board = format!("{}/doubtful.csv", env!("CARGO_TARGET_TMPDIR"));
    fs::write(&board, slipped).unwrap();
    compared("doubtful", &board);
}

fn run(arguments: &[&str], no_driver: bool) -> (Option<i32>, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_outwind"));
    command.arg("view").args(arguments);
    if no_driver {
        for variable in ["VK_DRIVER_FILES", "VK_ICD_FILENAMES"] {
            command.env(variable, "/nowhere/driver.json");
        }
        command.env("__EGL_VENDOR_LIBRARY_FILENAMES", "/nowhere/vendor.json");
        command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY");
    }
    let output = command.output().unwrap();
    (
        output.status.code(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

#[test]
fn without_a_driver_there_is_a_remedy_and_nothing_is_written() {
    let before = fs::read("sample-scans/oak-bench.toml").unwrap();
    let target = format!("{}/no-driver.png", env!("CARGO_TARGET_TMPDIR"));
    let (code, told) = run(&["sample-scans/oak-bench.toml", "--picture", &target], true);
    assert_eq!(code, Some(1), "{told}");
    assert!(
        told.contains("graphics") && told.contains("mesa-vulkan-drivers"),
        "{told}"
    );
    assert!(!told.contains("panicked"), "{told}");
    assert!(!Path::new(&target).exists());
    let (code, told) = run(&["sample-scans/oak-bench.toml"], true);
    assert_eq!(code, Some(1), "{told}");
    assert!(
        told.contains("no display") && told.contains("--picture"),
        "{told}"
    );
    assert_eq!(fs::read("sample-scans/oak-bench.toml").unwrap(), before);
}

#[test]
fn names_and_sizes_that_cannot_be_are_told() {
    let (code, told) = run(
        &[
            "sample-scans/oak-bench.toml",
            "--picture",
            "sample-scans/oak-bench.toml",
        ],
        true,
    );
    assert_eq!(code, Some(2));
    assert!(told.contains("does not end in .png"), "{told}");
    let (code, told) = run(&["sample-scans/oak-bench.toml", "--size", "9x9"], true);
    assert_eq!(code, Some(2));
    assert!(told.contains("1600x1000"), "{told}");
}
