//! Readings files that are in order, in every shape in which a spreadsheet or a probe writes them.

#![allow(clippy::unwrap_used)]

use outwind::length::Unit;
use outwind::readings::{Caliper, Heights, Layout, Point, Settings, read_calipers, read_heights};

/// The board of the files under `data/readings`, millimetres; invented.
const BOARD: [Point; 8] = [
    [0.0, 0.0, 0.0],
    [609.6, 0.0, 3.175],
    [1219.2, 0.0, 6.35],
    [0.0, 101.6, 1.5875],
    [1219.2, 101.6, 4.7625],
    [0.0, 203.2, -0.79375],
    [609.6, 203.2, 6.35],
    [1219.2, 203.2, 28.575],
];

fn heights(bytes: &[u8]) -> Heights {
    read_heights(bytes, "board.csv", Settings::default())
        .unwrap_or_else(|faults| panic!("{faults}"))
}

fn file(name: &str) -> Vec<u8> {
    let path = format!("{}/tests/data/readings/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn assert_points(found: &[Point], wanted: &[Point], what: &str) {
    assert_eq!(found.len(), wanted.len(), "{what}");
    for (found, wanted) in found.iter().zip(wanted) {
        for axis in 0..3 {
            assert!(
                (found[axis] - wanted[axis]).abs() < 1e-9,
                "{what}: {found:?}, not {wanted:?}"
            );
        }
    }
}

fn assert_board(heights: &Heights, what: &str) {
    assert_points(&heights.up, &BOARD, what);
    assert!(heights.down.is_empty(), "{what}");
    let Layout::Grid {
        stations,
        positions,
    } = &heights.layout
    else {
        panic!("{what}: {heights:?}")
    };
    for (found, wanted) in [
        (stations, [0.0, 609.6, 1219.2]),
        (positions, [0.0, 101.6, 203.2]),
    ] {
        assert_eq!(found.len(), 3, "{what}");
        assert!(
            found.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-9),
            "{what}: {found:?}"
        );
    }
}

#[test]
fn one_grid_in_every_notation() {
    for (name, unit, step_mm) in [
        ("grid_fractions.csv", Unit::Inch, 25.4 / 32.0),
        ("grid_decimal_inches.csv", Unit::Inch, 25.4e-5),
        ("grid_spreadsheet_german.csv", Unit::Millimetre, 1e-5),
        ("grid_tab_decimal_comma.csv", Unit::Millimetre, 1e-5),
        ("grid_separator_line.csv", Unit::Centimetre, 1e-5),
        ("grid_shuffled.csv", Unit::Inch, 0.01),
        ("grid_code_page_1252.csv", Unit::Inch, 25.4 / 32.0),
    ] {
        let heights = heights(&file(name));
        assert_board(&heights, name);
        assert_eq!(heights.unit, Some(unit), "{name}");
        let step = heights.step_mm.unwrap();
        assert!((step / step_mm - 1.0).abs() < 1e-9, "{name}: {step}");
    }
}

#[test]
fn one_grid_in_every_encoding() {
    let text = String::from_utf8(file("grid_fractions.csv")).unwrap() + "# Höhe, 高さ\n";
    let little: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let big: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
    for (what, mark, bytes) in [
        ("UTF-8", &b""[..], text.as_bytes()),
        ("UTF-8 with a mark", b"\xEF\xBB\xBF", text.as_bytes()),
        ("UTF-16 LE with a mark", b"\xFF\xFE", &little),
        ("UTF-16 BE with a mark", b"\xFE\xFF", &big),
        ("UTF-16 LE", b"", &little),
        ("UTF-16 BE", b"", &big),
    ] {
        assert_board(&heights(&[mark, bytes].concat()), what);
    }
}

#[test]
fn one_grid_with_every_line_end() {
    let text = String::from_utf8(file("grid_fractions.csv")).unwrap();
    for end in ["\n", "\r\n", "\r", "\n\n", "\r\n\r\n", "\n \n"] {
        let text = text.replace('\n', end);
        assert_board(&heights(text.as_bytes()), end);
        assert_board(&heights(text.trim_end().as_bytes()), end);
    }
}

#[test]
fn probe_columns_in_any_order() {
    let heights = heights(&file("probe_millimetres.csv"));
    let twice: Vec<Point> = BOARD.iter().chain(&BOARD[7..]).copied().collect();
    assert_points(&heights.up, &twice, "probe");
    assert_eq!(heights.layout, Layout::Scattered);
    assert_eq!(heights.unit, Some(Unit::Millimetre));
    assert_eq!(heights.step_mm, Some(1e-5));
}

#[test]
fn probe_of_both_faces_under_a_commented_header() {
    let heights = heights(&file("probe_faces.csv"));
    assert_points(&heights.up, &BOARD, "up");
    assert_points(&heights.down, &BOARD, "down");
    assert_eq!(heights.unit, Some(Unit::Inch));
}

#[test]
fn header_names() {
    let rows = "1,2,3\n".repeat(9) + "9,2,3\n";
    for header in [
        "x_mm,y_mm,z_mm",
        "X (mm), Y (mm), Z (mm)",
        "x [mm],y [mm],z [mm]",
        "\"x, mm\",\"y, mm\",\"z, mm\"",
        "x mm,y/mm,Z in mm",
        "x_millimetres,y_cm,z_mm,x_raw,z std,,y2",
        "# x_mm,y_mm,z_mm",
        "\"# x_mm\",\"y_mm\",\"z_mm\"",
    ] {
        let heights = heights(format!("{header}\n{rows}").as_bytes());
        let y = if header.contains("y_cm") { 20.0 } else { 2.0 };
        assert_points(&heights.up[..9], &[[1.0, y, 3.0]; 9], header);
    }
}

#[test]
fn a_numbered_column_is_no_comment() {
    let rows: String = (1..=9)
        .map(|row| format!("{row},{row}0,20,{row}\n"))
        .collect();
    let heights = heights(format!("#,x_mm,y_mm,z_mm\n{rows}").as_bytes());
    assert_eq!(heights.up[8], [90.0, 20.0, 9.0]);
}

#[test]
fn corners_that_say_the_unit_or_nothing() {
    for (corner, unit) in [
        ("", None),
        ("mm", Some(Unit::Millimetre)),
        ("Inches", Some(Unit::Inch)),
        ("\"\"\"\"", Some(Unit::Inch)),
        ("y\\x", None),
        ("up face", None),
        ("z (mm)", Some(Unit::Millimetre)),
        ("height_cm", Some(Unit::Centimetre)),
        ("depth in mm", Some(Unit::Millimetre)),
        ("mm over the rails", Some(Unit::Millimetre)),
        ("board in the rack", None),
        ("slab m 3", None),
        ("slab M", None),
        ("z [m]", Some(Unit::Metre)),
        ("heights in m", Some(Unit::Metre)),
        ("height in", Some(Unit::Inch)),
    ] {
        let settings = Settings {
            unit: Some(Unit::Foot),
            depth: false,
        };
        let text = format!("{corner},0,1\n0,1,2\n1,3,4\n");
        let heights = read_heights(text.as_bytes(), "board.csv", settings)
            .unwrap_or_else(|f| panic!("{corner}: {f}"));
        let unit = unit.unwrap_or(Unit::Foot);
        assert_eq!(heights.unit, Some(unit), "{corner}");
        assert_eq!(
            heights.up[3],
            [unit.mm(), unit.mm(), 4.0 * unit.mm()],
            "{corner}"
        );
    }
}

#[test]
fn a_cell_with_a_unit_wins_over_its_header_and_the_header_over_the_option() {
    let settings = Settings {
        unit: Some(Unit::Metre),
        depth: false,
    };
    let text = "in,0,1 cm\n0,38 mm,1\n";
    let heights = read_heights(text.as_bytes(), "board.csv", settings).unwrap();
    assert_points(&heights.up, &[[0.0, 0.0, 38.0], [10.0, 0.0, 25.4]], text);
    assert_eq!(heights.step_mm, Some(1.0));
}

#[test]
fn without_any_unit_but_the_cells_own() {
    let heights = heights(b",0 mm,1 cm\n0 mm,1/8 in,2 mm\n");
    assert_points(
        &heights.up,
        &[[0.0, 0.0, 3.175], [10.0, 0.0, 2.0]],
        "own units",
    );
    assert_eq!(heights.unit, Some(Unit::Millimetre));
}

#[test]
fn depths_are_heights_below_the_datum() {
    let settings = Settings {
        unit: None,
        depth: true,
    };
    let grid = read_heights(b"mm,0,1\n0,0,2\n1,-3,\n", "board.csv", settings).unwrap();
    assert_eq!(
        grid.up,
        [[0.0, 0.0, 0.0], [1.0, 0.0, -2.0], [0.0, 1.0, 3.0]]
    );
    assert!(grid.up[0][2].is_sign_positive());
    let probe = format!("x_mm,y_mm,z_mm,face\n{}9,2,5,down\n", "1,2,4,\n".repeat(8));
    let probe = read_heights(probe.as_bytes(), "board.csv", settings).unwrap();
    assert_eq!(
        (probe.up[7], probe.down[0]),
        ([1.0, 2.0, -4.0], [9.0, 2.0, -5.0])
    );
}

#[test]
fn a_grid_without_a_reading_in_a_row_keeps_its_position() {
    let heights = heights(b"mm,0,100,,300\n0,1,1,,\n50\n90,,1,\n");
    let layout = Layout::Grid {
        stations: vec![0.0, 100.0, 300.0],
        positions: vec![0.0, 50.0, 90.0],
    };
    assert_eq!(heights.layout, layout);
    assert_eq!(heights.up.len(), 3);
}

#[test]
fn calipers() {
    let calipers = read_calipers(&file("calipers.csv"), "calipers.csv", None).unwrap();
    let found: Vec<Point> = calipers
        .readings
        .iter()
        .map(|at| [at.x, at.y, at.thickness])
        .collect();
    assert_points(
        &found,
        &[[0.0, 0.0, 28.6], [1219.2, 0.0, 28.575]],
        "calipers",
    );
    assert_eq!(calipers.unit, Some(Unit::Millimetre));
    assert!((calipers.step_mm.unwrap() - 0.1).abs() < 1e-12);
}

#[test]
fn calipers_by_the_option_and_a_probe_with_a_thickness_beside() {
    let text = "Thickness;Y;X;z\n1,5;2;1;7\n";
    let calipers = read_calipers(text.as_bytes(), "calipers.csv", Some(Unit::Centimetre)).unwrap();
    assert_eq!(
        calipers.readings,
        [Caliper {
            x: 10.0,
            y: 20.0,
            thickness: 15.0
        }]
    );
    let text = format!(
        "x_mm,y_mm,z_mm,thickness\n9,2,3,\n{}",
        "1,2,3,not read\n".repeat(9)
    );
    assert_eq!(heights(text.as_bytes()).up.len(), 10);
}
