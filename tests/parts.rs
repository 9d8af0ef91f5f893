//! Parts lists: what is read, what is told, and that nothing is left untold.

#![allow(clippy::unwrap_used)]

mod messages;

use outwind::length::Unit;
use outwind::readings::{Part, PartList, read_parts};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

fn read(text: &str) -> PartList {
    read_parts(text.as_bytes(), "table.csv", None).unwrap_or_else(|faults| panic!("{faults}"))
}

fn inches(inches: f64) -> f64 {
    inches * 25.4
}

#[test]
fn every_column_is_read() {
    let list = read(
        "part,count,length_in,width_in,thickness_in,match,glue-up,resaw,certainty,colour\n\
         leg,4,28-1/2,2 1/2,2,,,,,white\n\
         # not this year\n\
         drawer  front,2,18 in,120 mm,7/8,Front,3,yes,95 %,\n\
         ,,,,,,,,,a remark\n\
         door panel,1,20,9,1/2,front,,x,90 in 100,\n",
    );
    let part = |name: &str, count, sizes: [f64; 3], row| Part {
        name: name.to_owned(),
        count,
        length: sizes[0],
        width: sizes[1],
        thickness: sizes[2],
        from_one_board: None,
        strips: None,
        resaw: false,
        certainty: None,
        row,
    };
    let wanted = [
        part("leg", 4, [28.5, 2.5, 2.0].map(inches), 2),
        Part {
            from_one_board: Some("Front".to_owned()),
            strips: Some(3),
            resaw: true,
            certainty: Some(0.95),
            ..part("drawer front", 2, [inches(18.0), 120.0, inches(0.875)], 4)
        },
        Part {
            from_one_board: Some("Front".to_owned()),
            resaw: true,
            certainty: Some(0.9),
            ..part("door panel", 1, [20.0, 9.0, 0.5].map(inches), 6)
        },
    ];
    assert_eq!(list.parts, wanted);
    assert_eq!(list.unit, Some(Unit::Inch));
}

/// As spreadsheets write it: semicolons, decimal commas, byte-order mark, CRLF, UTF-16.
#[test]
fn spreadsheet_exports_are_read() {
    let text = "sep=;\r\nPart;Count;Length (mm);Width (mm);Thickness (mm);Glue up;Certainty\r\n\
                Tischbein;4;720,5;60;50;nein;0,9\r\n";
    let wanted = read(text);
    assert_eq!(wanted.parts[0].length, 720.5);
    assert_eq!(
        (wanted.parts[0].certainty, wanted.parts[0].strips),
        (Some(0.9), None)
    );
    let marked = format!("\u{FEFF}{text}");
    let wide: Vec<u8> = marked.encode_utf16().flat_map(u16::to_le_bytes).collect();
    for bytes in [marked.as_bytes(), &wide] {
        assert_eq!(read_parts(bytes, "table.csv", None).unwrap(), wanted);
    }
    let tabs = "part\tcount\tlength\twidth\tthickness\nleg\t4\t28\t2,5\t2\n";
    let list = read_parts(tabs.as_bytes(), "table.csv", Some(Unit::Inch)).unwrap();
    assert_eq!(
        (list.parts[0].width, list.unit),
        (inches(2.5), Some(Unit::Inch))
    );
}

/// A blank count or length is told, and so is a column that is not there, but never both.
#[test]
fn a_missing_column_is_told_once() {
    let faults = read_parts(
        b"part,count,width_in\nleg,4,2\nrail,1,3\n",
        "table.csv",
        None,
    );
    assert_eq!(faults.unwrap_err().faults.len(), 2);
}

#[test]
fn messages_are_what_they_were() {
    messages::hold("tests/parts-lists", 24, |bytes, file| {
        read_parts(bytes, file, None).err()
    });
}

#[test]
fn the_manual_shows_lists_that_are_read() {
    let manual = include_str!("../docs/parts-list.md");
    let shown: Vec<&str> = manual
        .split("```csv\n")
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap())
        .collect();
    assert_eq!(shown.len(), 1);
    assert_eq!(read(shown[0]).parts.len(), 4);
    let sample = std::fs::read_to_string("sample-scans/bench-parts.csv").unwrap();
    assert_eq!(read(&sample).parts.len(), 4);
}

fn config() -> ProptestConfig {
    ProptestConfig {
        cases: 2000,
        rng_seed: RngSeed::Fixed(4),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config())]

    /// Whatever stands in the cells, there is a list of sound parts or a message that fits a terminal.
    #[test]
    fn any_cells_are_read_or_told(
        cells in proptest::collection::vec("(leg|4|0|-1|1/2|28 mm|90 ?%|yes|\"|;|[ -~]{0,6}|[ä-ö€]?)", 9..40),
    ) {
        let mut text = String::from("part,count,length_mm,width_mm,thickness_mm,match,glue-up,resaw,certainty\n");
        for row in cells.chunks(9) {
            text.push_str(&row.join(","));
            text.push('\n');
        }
        match read_parts(text.as_bytes(), "table.csv", None) {
            Ok(list) => for part in &list.parts {
                prop_assert!(!part.name.is_empty() && part.count > 0 && part.strips != Some(0));
                prop_assert!(part.length > 0.0 && part.thickness > 0.0 && part.width >= part.thickness);
                prop_assert!(part.certainty.is_none_or(|certainty| certainty > 0.0 && certainty < 1.0));
            },
            Err(faults) => prop_assert!(!faults.faults.is_empty() && faults.to_string().contains("table.csv")),
        }
    }
}
