//! The readers of files: no panic, faults with their place, what was read survives being written.

use std::io::Read;

use outwind::board::Board;
use outwind::book::read_table;
use outwind::length::Unit;
use outwind::readings::{
    Addition, Caliper, Calipers, CornerGap, Edge, EdgeGap, Face, Faults, Gauge, HeightSet, Heights,
    Piece, Point, Record, Rest, Scan, Settings, Straightedge, Survey, add_to_board, begin_survey,
    change_in_board, gzip, is_hopeless, read_board, read_calipers, read_heights, read_parts,
    read_sheet, read_shop, write_board,
};
use outwind::shop::Shop;

use super::bytes::Bytes;
use super::faulty;

const FILE: &str = "board";

/// The unit that the caller states, by the first byte, and the rest.
fn stated(bytes: &[u8]) -> (Option<Unit>, &[u8]) {
    // Most seeds are files of their own: they begin with no control character.
    match bytes.split_first() {
        Some((1, rest)) => (Some(Unit::Millimetre), rest),
        Some((2, rest)) => (Some(Unit::Inch), rest),
        _ => (None, bytes),
    }
}

fn told<T>(result: Result<T, Faults>, bytes: &[u8]) -> Option<T> {
    result
        .map_err(|faults| faulty::are_told(&faults, FILE, bytes))
        .ok()
}

/// No board file names another here.
fn no_file(name: &str) -> Result<Vec<u8>, String> {
    Err(format!("{name}: there is no such file"))
}

fn reread(text: &str, unit: Option<Unit>) -> Record {
    read_board(text.as_bytes(), FILE, unit, &mut no_file)
        .unwrap_or_else(|faults| panic!("what was written is refused: {faults}\n{text}"))
}

/// A record survives being written and read.
fn survives_writing(record: &Record) {
    let text = write_board(record);
    assert_eq!(&reread(&text, None), record, "{text}");
    assert_eq!(write_board(&reread(&text, None)), text);
}

/// Heights as a grid or a probe.
pub fn heights(bytes: &[u8]) {
    let (unit, bytes) = stated(bytes);
    for depth in [false, true] {
        let settings = Settings { unit, depth };
        let Some(read) = told(read_heights(bytes, FILE, settings), bytes) else {
            continue;
        };
        assert!(!read.up.is_empty() || !read.down.is_empty());
        let mut all = read.up.iter().chain(&read.down).flatten();
        assert!(all.all(|mm| mm.is_finite() && mm.abs() <= 1e6), "{read:?}");
        assert!(
            read.step_mm
                .is_none_or(|step| step.is_finite() && step >= 0.0)
        );
        if !read.up.is_empty() {
            let down = Vec::new();
            survives_writing(&of_heights(Heights { down, ..read }));
        }
    }
}

fn of_heights(heights: Heights) -> Record {
    Record {
        unit: heights.unit,
        surveys: vec![Survey {
            thickness: Some(25.4),
            heights: vec![HeightSet {
                face: Face::Up,
                turned: false,
                datum: 0,
                frame: None,
                heights,
                error: None,
            }],
            ..Survey::default()
        }],
        ..Record::default()
    }
}

/// Points of any kind, compressed or not; what the quick reader reads, line by line, the careful one reads too.
pub fn points(bytes: &[u8]) {
    let mut unpacked = Vec::new();
    if gzip::is_compressed(bytes) {
        // What takes long to unpack takes longer to read, and holds nothing else.
        let mut start = gzip::reader(bytes).take(1 << 16);
        if start.read_to_end(&mut unpacked).is_err() {
            return;
        }
    } else {
        unpacked.extend_from_slice(bytes);
    }
    let _ = is_hopeless(&unpacked);
    let settings = Settings {
        unit: Some(Unit::Millimetre),
        depth: false,
    };
    told(read_heights(&unpacked, FILE, settings), &unpacked);
    let Some((scan, start)) = Scan::begin(&unpacked, settings) else {
        return;
    };
    let mut whole = Piece::default();
    for line in unpacked[start..].split_inclusive(|byte| *byte == b'\n') {
        let mut piece = Piece::default();
        if scan.read(line, &mut piece).is_err() {
            return;
        }
        whole.append(&piece);
    }
    if let Some(quick) = scan.heights(whole) {
        // The quick reader knows no comments.
        let commented = [&unpacked, &b"\n# end\n"[..]].concat();
        assert_eq!(read_heights(&commented, FILE, settings), Ok(quick));
    }
}

/// Caliper readings.
pub fn calipers(bytes: &[u8]) {
    let (unit, bytes) = stated(bytes);
    let Some(read) = told(read_calipers(bytes, FILE, unit), bytes) else {
        return;
    };
    assert!(!read.readings.is_empty());
    for Caliper { x, y, thickness } in &read.readings {
        assert!(x.is_finite() && y.is_finite() && thickness.is_finite() && *thickness > 0.0);
    }
    let unit = read.unit;
    let survey = Survey {
        calipers: Some(Calipers { ..read }),
        ..Survey::default()
    };
    survives_writing(&Record {
        unit,
        surveys: vec![survey],
        ..Record::default()
    });
}

/// A list of parts.
pub fn parts(bytes: &[u8]) {
    let (unit, bytes) = stated(bytes);
    let Some(list) = told(read_parts(bytes, FILE, unit), bytes) else {
        return;
    };
    assert!(!list.parts.is_empty());
    for part in &list.parts {
        assert!(part.count >= 1 && !part.name.trim().is_empty(), "{part:?}");
        for size in [part.length, part.width, part.thickness] {
            assert!(size.is_finite() && size > 0.0, "{part:?}");
        }
    }
}

/// Any table, and the book's own.
pub fn sheet(bytes: &[u8]) {
    let Some(sheet) = told(read_sheet(bytes, FILE), bytes) else {
        return;
    };
    assert!(sheet.rows.iter().all(|(_, cells)| !cells.is_empty()));
    let Some(entries) = told(read_table(&sheet, FILE), bytes) else {
        return;
    };
    let text = outwind::book::write_table(&entries);
    let again = read_sheet(text.as_bytes(), FILE).and_then(|sheet| read_table(&sheet, FILE));
    assert_eq!(again.as_ref(), Ok(&entries), "{text}");
}

/// A shop file, and the shop that is made of it.
pub fn shop_file(bytes: &[u8]) {
    let (unit, bytes) = stated(bytes);
    if let Some(record) = told(read_shop(bytes, FILE, unit), bytes) {
        let shop = Shop::new(&record);
        assert!(shop.shortest_piece().is_finite());
    }
}

/// A board file; the board that is made of it.
pub fn board_file(bytes: &[u8]) {
    let (unit, bytes) = stated(bytes);
    let Some(record) = told(read_board(bytes, FILE, unit, &mut no_file), bytes) else {
        return;
    };
    // Whatever unit the caller stated is written as the file's own.
    let record = Record {
        unit: record.unit.or(unit),
        ..record
    };
    survives_writing(&record);
    let _ = Board::from_record(record, FILE);
}

/// A reading added to a board file and put right there: the rest stays, and the file is read again.
pub fn board_edit(bytes: &[u8]) {
    let at = bytes.iter().position(|byte| *byte == 0).unwrap_or(0);
    let (how, file) = bytes.split_at(at);
    let file = file.strip_prefix(&[0]).unwrap_or(file);
    let Ok(text) = str::from_utf8(file) else {
        return;
    };
    let mut how = Bytes(how);
    let start = how.byte();
    let addition = addition(&mut how);
    let before = read_board(file, FILE, Some(Unit::Millimetre), &mut no_file);
    let edited = match start % 3 {
        0 => add_to_board(text, FILE, &addition),
        1 => begin_survey(text, FILE, "2026-11-20", &addition),
        _ => change_in_board(text, FILE, &addition),
    };
    // What is wrong with the reading itself is told where it would have stood.
    let with_room = [file, &[b'\n'; 20]].concat();
    let Some(edited) = told(edited, &with_room) else {
        return;
    };
    let Ok(before) = before else {
        return;
    };
    let after = reread(&edited, Some(Unit::Millimetre));
    let (was, is) = (readings(&before), readings(&after));
    match start % 3 {
        0 | 1 => {
            assert_eq!(is.len(), was.len() + 1, "{edited}");
            let lost = was.iter().find(|reading| !is.contains(reading));
            assert_eq!(lost, None, "{addition:?}\n{edited}");
            for line in text
                .lines()
                .filter(|line| line.trim_start().starts_with('#'))
            {
                assert!(edited.contains(line), "{line} is lost: {edited}");
            }
        }
        _ => assert_eq!(is.len(), was.len(), "{edited}"),
    }
}

/// Every reading of a record, as text.
fn readings(record: &Record) -> Vec<String> {
    let mut all = Vec::new();
    for survey in &record.surveys {
        for set in &survey.heights {
            let face = set.face;
            all.extend(
                set.heights
                    .up
                    .iter()
                    .map(|point| format!("{face:?} {point:?}")),
            );
        }
        let calipers = survey.calipers.iter().flat_map(|c| &c.readings);
        all.extend(calipers.map(|caliper| format!("{caliper:?}")));
        all.extend(
            survey
                .gauged
                .iter()
                .map(|gauged| format!("{:?}", gauged.gauge)),
        );
    }
    all
}

/// A reading, often at a place where one stands already.
fn addition(bytes: &mut Bytes<'_>) -> Addition {
    let kind = bytes.byte();
    let face = if kind & 8 == 0 { Face::Up } else { Face::Down };
    let [x, y, z]: Point = [0; 3].map(|_| bytes.number());
    match kind % 5 {
        0 => Addition::Caliper(Caliper { x, y, thickness: z }),
        1 | 2 => Addition::Height {
            face,
            point: [x, y, z],
        },
        3 => Addition::Gauge(Gauge::Straightedge(Straightedge {
            face,
            from: [x, y],
            to: [bytes.number(), bytes.number()],
            rest: Rest::Wood,
            at: [bytes.number(), bytes.number()],
            gap: z,
        })),
        _ if kind & 16 == 0 => Addition::Gauge(Gauge::Corner(CornerGap {
            on: face,
            corner: [x, y],
            gap: z,
        })),
        _ => Addition::Gauge(Gauge::Edge(EdgeGap {
            edge: Edge::Near,
            from: x,
            to: y,
            rest: Rest::EqualGaps,
            at: bytes.number(),
            gap: z,
        })),
    }
}
