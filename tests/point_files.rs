//! Point files: PLY, XYZ and compressed files, and what is said of those that are none.
//!
//! The PLY files are written by hand after Greg Turk's *The PLY Polygon File Format* (1994), from memory: a header of text
//! ended by `end_header`, then the elements in the order and with the properties that it names.

#![allow(clippy::unwrap_used)]

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use flate2::Compression;
use flate2::write::GzEncoder;
use outwind::length::Unit;
use outwind::readings::{Layout, Point, Settings, read_heights};

const MM: Settings = Settings {
    unit: Some(Unit::Millimetre),
    depth: false,
};

/// Three stations by three positions.
const POINTS: [Point; 9] = [
    [0.0, 0.0, 1.5],
    [600.0, 0.0, 2.25],
    [1200.0, 0.0, 1.5],
    [0.0, 100.0, 1.0],
    [600.0, 100.0, 1.75],
    [1200.0, 100.0, 1.0],
    [0.0, 200.0, 1.25],
    [600.0, 200.0, 2.0],
    [1200.0, 200.0, -0.75],
];

fn header(format: &str, number: &str) -> String {
    format!(
        "ply\nformat {format} 1.0\ncomment made up\nelement sensor 1\nproperty list uchar int lines\n\
         element vertex 9\nproperty {number} x\nproperty {number} y\nproperty {number} z\nproperty uchar red\n\
         element face 1\nproperty list uchar int vertex_indices\nend_header\n"
    )
}

fn ascii() -> String {
    let vertices = POINTS.map(|[x, y, z]| format!("{x} {y} {z} 255\n"));
    format!(
        "{}2 7 8\n{}3 0 1 2\n",
        header("ascii", "float"),
        vertices.concat()
    )
}

/// Either byte order; all coordinates are exact in half of a double's bytes too.
fn binary(big: bool, double: bool) -> Vec<u8> {
    let (format, number) = (
        if big {
            "binary_big_endian"
        } else {
            "binary_little_endian"
        },
        if double { "double" } else { "float32" },
    );
    let mut bytes = header(format, number).into_bytes();
    let mut put = |little: &[u8]| {
        let mut ordered = little.to_vec();
        if big {
            ordered.reverse();
        }
        bytes.extend(ordered);
    };
    put(&[2]);
    put(&7_i32.to_le_bytes());
    put(&8_i32.to_le_bytes());
    for point in POINTS {
        for value in point {
            if double {
                put(&value.to_le_bytes());
            } else {
                put(&(value as f32).to_le_bytes());
            }
        }
        put(&[255]);
    }
    put(&[3]);
    for corner in 0..3_i32 {
        put(&corner.to_le_bytes());
    }
    bytes
}

#[test]
fn ply_is_read_as_text_and_in_either_byte_order() {
    for bytes in [
        ascii().into_bytes(),
        ascii().replace('\n', "\r\n").into_bytes(),
        binary(false, false),
        binary(false, true),
        binary(true, false),
        binary(true, true),
    ] {
        let heights = read_heights(&bytes, "scan.ply", MM).unwrap();
        assert_eq!(heights.up, POINTS);
        assert_eq!((heights.layout, heights.unit), (Layout::Scattered, MM.unit));
        assert!(heights.down.is_empty() && heights.step_mm.is_none());
    }
    let inches = Settings {
        unit: Some(Unit::Inch),
        depth: true,
    };
    let heights = read_heights(&binary(false, true), "scan.ply", inches).unwrap();
    assert_eq!(heights.up[1], [600.0 * 25.4, 0.0, -2.25 * 25.4]);
}

#[test]
fn ply_vertices_may_name_their_face() {
    let rows: String = (0..18)
        .map(|k| format!("{} {} {} {}\n", k % 3, k / 3 % 3, 9 - k, k / 9))
        .collect();
    let file = format!(
        "ply\nformat ascii 1.0\nelement vertex 18\nproperty int x\nproperty int y\nproperty short z\nproperty uchar face\n\
         end_header\n{rows}"
    );
    let heights = read_heights(file.as_bytes(), "scan.ply", MM).unwrap();
    assert_eq!((heights.up.len(), heights.down.len()), (9, 9));
    assert_eq!(heights.down[0], [0.0, 0.0, 0.0]);
    let wrong = file.replace("2 2 -8 1", "2 2 -8 7");
    let told = read_heights(wrong.as_bytes(), "scan.ply", MM)
        .unwrap_err()
        .to_string();
    assert!(
        told.contains("vertex 18 has the face 7\n      write 0 for up, 1 for down"),
        "{told}"
    );
}

/// Whatever is wrong with a PLY file, its name and the remedy are told, and nothing is taken for a board.
#[test]
fn a_faulty_ply_file_is_explained() {
    let good = ascii();
    let cases = [
        (
            good.replace("element vertex 9", "element vertex 1000000000"),
            "promises 1000000000 of the element vertex",
        ),
        (
            good.replace("element vertex 9", "element vertex 10"),
            "promises 1 of the element face",
        ),
        (
            good.replace(
                "element sensor 1\nproperty list uchar int lines",
                "element sensor 1000000000000",
            ),
            "promises 1000000000000 of the element sensor",
        ),
        (
            good.replace("element vertex", "element point"),
            "has no element vertex",
        ),
        (good.replace("float z", "float height"), "no property z"),
        (good.replace("end_header\n", ""), "header is damaged"),
        (
            good.replace("format ascii 1.0", "format martian 1.0"),
            "header is damaged",
        ),
        (good.replace("2.25 255", "nan 255"), "vertex 2 "),
        (
            good.replace("600 0 2.25", "6e20 0 2.25"),
            "is no place of a board",
        ),
        (
            good.replace("600 0 2.25 255", "600 0"),
            "vertex 2 of 9 cannot be read",
        ),
        (good[..good.len() - 60].to_owned(), "cannot be read"),
        (
            good.replace("property float x", "property list uchar float x"),
            "vertex 1 of 9 cannot be read",
        ),
    ];
    for (file, told) in cases {
        let message = read_heights(file.as_bytes(), "scan.ply", MM)
            .unwrap_err()
            .to_string();
        assert!(
            message.starts_with("scan.ply: ") && message.contains(told),
            "{told}: {message}"
        );
    }
    let message = read_heights(good.as_bytes(), "scan.ply", Settings::default())
        .unwrap_err()
        .to_string();
    assert_eq!(
        message,
        "scan.ply: 1 fault\n  a PLY file names no unit\n      give --unit mm, or whatever the points are in"
    );
    let mut cut = binary(false, false);
    cut.truncate(cut.len() - 40);
    let message = read_heights(&cut, "scan.ply", MM).unwrap_err().to_string();
    assert!(
        message.contains("vertex 7 of 9 cannot be read"),
        "{message}"
    );
}

#[test]
fn xyz_is_read_by_its_first_line() {
    let rows = POINTS.map(|[x, y, z]| format!("{x:.1}   {y:.1} {z:.2} 17 0.5\n"));
    let file = format!("# a slab\n\n{}", rows.concat());
    let heights = read_heights(file.as_bytes(), "scan.xyz", MM).unwrap();
    assert_eq!(heights.up, POINTS);
    assert!((heights.step_mm.unwrap() - 0.01).abs() < 1e-15);
    let exponents = POINTS
        .map(|[x, y, z]| format!("{x:.6e} {y:.6e} {z:.6e}\n"))
        .concat();
    assert_eq!(
        read_heights(exponents.as_bytes(), "scan.xyz", MM)
            .unwrap()
            .up,
        POINTS
    );
    let message = |text: &str, settings| {
        read_heights(text.as_bytes(), "scan.xyz", settings)
            .unwrap_err()
            .to_string()
    };
    let told = message(&file.replace("\n0.0   100.0 1.00 17 0.5", "\n0.0 abc"), MM);
    assert!(
        told.contains("line 6, B6, y: \"abc\"") && told.contains("the line has no z"),
        "{told}"
    );
    assert!(message(&file, Settings::default()).contains("an XYZ file names no unit"));
    assert!(
        message(&rows[..8].concat(), MM)
            .contains("the file holds 8 heights\n      a point file needs 9 or more")
    );
    // Tabs part the cells of a grid.
    let grid = "\t10\t20\n0\t1\t2\n5\t1\t2\n";
    assert!(matches!(
        read_heights(grid.as_bytes(), "grid.csv", MM)
            .unwrap()
            .layout,
        Layout::Grid { .. }
    ));
}

fn compressed(text: &[u8]) -> Vec<u8> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::default());
    encoder.write_all(text).unwrap();
    encoder.finish().unwrap()
}

/// Runs `outwind flatten --json` on a file of these bytes.
fn flattened(name: &str, bytes: &[u8], options: &[&str]) -> Output {
    let path: PathBuf = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    fs::write(&path, bytes).unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_outwind"));
    let output = command
        .args(["flatten", "--json", "--name", "board"])
        .arg(&path)
        .args(options)
        .output();
    fs::remove_file(&path).unwrap();
    output.unwrap()
}

#[test]
fn compressed_files_are_known_by_their_first_bytes() {
    let csv = fs::read("sample-scans/walnut-slab-probe.csv").unwrap();
    let plain = flattened("plain.csv", &csv, &[]);
    assert!(plain.status.success());
    let packed = compressed(&csv);
    for name in ["packed.csv.gz", "packed.csv", "packed.ply"] {
        assert_eq!(flattened(name, &packed, &[]).stdout, plain.stdout);
    }
    // Two parts one after the other, as some writers leave them.
    let (first, second) = csv.split_at(200);
    let parts = [compressed(first), compressed(second)].concat();
    assert_eq!(flattened("parts.gz", &parts, &[]).stdout, plain.stdout);
    // A point file in one.
    let options = ["--unit", "mm", "--thickness", "38"];
    let ply = flattened("points.ply", ascii().as_bytes(), &options);
    assert!(
        ply.status.success(),
        "{}",
        String::from_utf8_lossy(&ply.stderr)
    );
    assert_eq!(
        flattened("points.gz", &compressed(&binary(true, true)), &options).stdout,
        ply.stdout
    );
}

#[test]
fn a_damaged_or_monstrous_archive_is_explained() {
    let told = |name: &str, bytes: &[u8]| {
        let output = flattened(name, bytes, &["--thickness", "38 mm"]);
        assert_eq!(output.status.code(), Some(2));
        let told = String::from_utf8(output.stderr).unwrap();
        told.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let packed = compressed(&fs::read("sample-scans/walnut-slab-probe.csv").unwrap());
    let cut = told("cut.gz", &packed[..packed.len() / 2]);
    assert!(
        cut.contains("is compressed, but cannot be unpacked") && cut.contains("copy it again"),
        "{cut}"
    );
    // 100 MB of rows in 100 kB.
    let rows = b"0,0,0\n9,0,0\n".repeat(8_500_000);
    let bomb = compressed(&[&b"x_mm,y_mm,z_mm\n"[..], &rows].concat());
    assert!(bomb.len() < 1 << 18);
    let bomb = told("bomb.gz", &bomb);
    assert!(bomb.contains("unpacks to more than 64 MB"), "{bomb}");
}
