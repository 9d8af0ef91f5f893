//! Readings files that are not in order: each whole message, and what holds for all of them.

use outwind::length::Unit;
use outwind::readings::{Fault, Faults, Settings, read_calipers, read_heights};

/// The reader, and the unit of `--unit`.
#[derive(Debug, Clone, Copy)]
enum Reader {
    Heights(Option<Unit>),
    Calipers,
}

const HEIGHTS: Reader = Reader::Heights(None);
const INCHES: Reader = Reader::Heights(Some(Unit::Inch));
const CALIPERS: Reader = Reader::Calipers;

fn faults(reader: Reader, bytes: &[u8]) -> Faults {
    let file = "board.csv";
    let faults = match reader {
        Reader::Heights(unit) => read_heights(bytes, file, Settings { unit, depth: false }).err(),
        Reader::Calipers => read_calipers(bytes, file, None).err(),
    };
    faults.unwrap_or_else(|| panic!("read without a fault: {}", String::from_utf8_lossy(bytes)))
}

fn check(cases: &[(Reader, &str, &str)]) {
    for (reader, text, message) in cases {
        let faults = faults(*reader, text.as_bytes()).to_string();
        assert_eq!(faults, *message, "{text}");
        assert!(
            faults.lines().all(|line| line.chars().count() <= 100),
            "{faults}"
        );
    }
}

const DATE: &str =
    "a date, made of a fraction by the spreadsheet; format the cells as text and type it again";
const NOT_TAKEN: &str = "not a number; leave the cell of a reading that was not taken blank";

#[test]
fn cells() {
    for (cell, reason) in [
        ("16-Mar", DATE),
        ("Mar-16", DATE),
        ("16. Mrz", DATE),
        ("16.03.2026", DATE),
        ("3/16/2026", DATE),
        ("2026-03-16 00:00:00", DATE),
        ("16-mars", DATE),
        ("1/3/2016", DATE),
        ("03-16-26", DATE),
        ("Dec 1998", DATE),
        ("16.3.", DATE),
        (
            "#DIV/0!",
            "a formula that failed; repair it in the spreadsheet, or leave the cell blank",
        ),
        (
            "=A1+1",
            "a formula, not its value; save the sheet with the values shown",
        ),
        (
            "2%",
            "\"%\" is no unit of length; format the cells as plain numbers",
        ),
        (
            "45°",
            "\"°\" is no unit of length; format the cells as plain numbers",
        ),
        (
            "1O.5",
            "a letter among the digits; if 10.5 is meant, write it so",
        ),
        (
            "l2",
            "a letter among the digits; if 12 is meant, write it so",
        ),
        ("n/a", NOT_TAKEN),
        ("-", NOT_TAKEN),
        ("x", NOT_TAKEN),
        ("N/A", NOT_TAKEN),
        ("k.A.", NOT_TAKEN),
        ("—", NOT_TAKEN),
        ("NaN", NOT_TAKEN),
        (
            "inf",
            "not a length that can be measured; leave the cell of a reading that was not taken blank",
        ),
        (
            "1e999",
            "more than 1 km, which no board measures; check the number and its unit",
        ),
        (
            "oak",
            "not a number; write a length such as 38 mm or 1-3/16 in; put # before a remark",
        ),
        (
            "1.5.2",
            "a number has one decimal mark, as in 1.5; here is more than one",
        ),
        (
            "3 mn",
            "\"mn\" is not a unit known here; use mm, cm, m, in (\") or ft (')",
        ),
        (
            "1-65/64",
            "a fraction after a whole number must be less than one; 1-65/64 would be 2-1/64",
        ),
        (
            "1/0",
            "nothing can be divided into 0 parts; the number after the stroke must be 1 or more, as in 1/2",
        ),
        (
            "\"1,5\"",
            "a decimal comma where commas part the cells; write a point, or part the cells by semicolons",
        ),
        (
            "\"1,234\"",
            "a sign between the thousands, or a decimal mark; write 1234 or 1.234",
        ),
        ("\"1,234.5\"", "a sign between the thousands; write 1234.5"),
        ("1'234.5", "a sign between the thousands; write 1234.5"),
        ("1 234", "a sign between the thousands; write 1234"),
        (
            "3.5 kg",
            "\"kg\" is not a unit known here; use mm, cm, m, in (\") or ft (')",
        ),
        (
            "????",
            "not a number; write a length such as 38 mm or 1-3/16 in; put # before a remark",
        ),
    ] {
        let text = format!("mm,0,600\n0,1,2\n90,{cell},3\n");
        let found = cell.trim_matches('"');
        let place = "line 3, B3, station 0 mm, position 90 mm";
        let message = format!("board.csv: 1 fault\n  {place}: \"{found}\"\n      {reason}");
        check(&[(HEIGHTS, &text, &message)]);
    }
}

#[test]
fn files_that_are_no_tables() {
    check(&[
        (
            HEIGHTS,
            "",
            "board.csv: 1 fault
  the file is empty: no row holds anything
      save the sheet again; a row that begins with # is a comment",
        ),
        (
            HEIGHTS,
            "\n\r\n  \n,,,\n# nothing\n",
            "board.csv: 1 fault
  the file is empty: no row holds anything
      save the sheet again; a row that begins with # is a comment",
        ),
        (
            HEIGHTS,
            "PK\u{3}\u{4}\u{14}",
            r#"board.csv: 1 fault
  the file is a workbook or archive (.xlsx, .ods, .zip), not CSV
      open it in the program that made it and save the sheet as "CSV UTF-8""#,
        ),
        (
            HEIGHTS,
            "%PDF-1.7\n",
            r#"board.csv: 1 fault
  the file is a PDF document, not CSV
      open it in the program that made it and save the sheet as "CSV UTF-8""#,
        ),
        (
            HEIGHTS,
            "<!DOCTYPE html>\n",
            r#"board.csv: 1 fault
  the file is an HTML or XML document, not CSV
      open it in the program that made it and save the sheet as "CSV UTF-8""#,
        ),
        (
            HEIGHTS,
            "mm,0,600\n0,1,\x002\n",
            r#"board.csv: 1 fault
  line 2 holds the control character U+0000: no text
      open it in the program that made it and save the sheet as "CSV UTF-8""#,
        ),
        (
            HEIGHTS,
            "mm\n0\n1\n",
            r#"board.csv: 1 fault
  line 1, A1: "mm"
      no comma, semicolon or tab in the first row; save the sheet as CSV; put # before a title"#,
        ),
        (
            HEIGHTS,
            "0|600\n1|2\n",
            r#"board.csv: 1 fault
  line 1, A1: "0|600"
      no comma, semicolon or tab in the first row; save the sheet as CSV; put # before a title"#,
        ),
        (
            HEIGHTS,
            "Walnut slab\nmm,0,600\n0,1,2\n",
            r#"board.csv: 1 fault
  line 1, A1: "Walnut slab"
      no comma, semicolon or tab in the first row; save the sheet as CSV; put # before a title"#,
        ),
        (
            HEIGHTS,
            "Walnut slab;;\nmm;0;600\n0;1;2\n",
            r#"board.csv: 1 fault
  line 1, A1: "Walnut slab"
      the first row holds this alone; it needs stations or the header x, y, z; put # before a title"#,
        ),
        (
            HEIGHTS,
            "mm,0,,600\n0,1,2,3\n",
            r#"board.csv: 1 fault
  line 2, C2, position 0 mm: "2"
      no station stands over the height; write it in the first row, or clear the column"#,
        ),
        (
            HEIGHTS,
            "mm,0,600\n0,\"1,2\n90,1,2\n",
            r#"board.csv: 1 fault
  line 2: a quote opens in cell B2 and nothing closes it
      close it; a quote inside a quoted cell is written twice, as in "1-3/16""""#,
        ),
        (
            HEIGHTS,
            "\"mm,0,600\n0,1,2\n",
            r#"board.csv: 1 fault
  line 1: a quote opens in cell A1 and nothing closes it
      close it; a quote inside a quoted cell is written twice, as in "1-3/16""""#,
        ),
        (
            HEIGHTS,
            "sep=|\nmm|0|600\n0|1|2\n",
            r#"board.csv: 1 fault
  line 1, A1: "sep=|"
      this separator is not read; write "sep=;" and part the cells so, or remove the line"#,
        ),
        (
            HEIGHTS,
            "sep=;\nmm,0,600\n0,1,2\n",
            r#"board.csv: 1 fault
  line 2, A1: "mm,0,600"
      the first row does not hold the separator of line 1; correct that line, or remove it"#,
        ),
    ]);
}

#[test]
fn grids() {
    check(&[
        (
            HEIGHTS,
            "mm,0,600\n",
            "board.csv: 1 fault
  the grid holds no heights
      write them below the stations; rows that begin with # are comments",
        ),
        (
            HEIGHTS,
            ",0,600\n0,1,2\n",
            r#"board.csv: 1 fault
  line 1, B1: "0"
      no unit in 5 cells; name it in the top-left cell, or give --unit in or mm"#,
        ),
        (
            HEIGHTS,
            "mn,0,600\n0,1,2\n",
            r#"board.csv: 1 fault
  line 1, A1, the top-left cell: "mn"
      not a unit of a grid; write mm, cm, m, in or ft, or leave the cell empty"#,
        ),
        (
            INCHES,
            "mm / inch,0,600\n0,1,2\n",
            r#"board.csv: 1 fault
  line 1, A1, the top-left cell: "mm / inch"
      two units, mm and in; write the unit of the whole grid alone: mm, cm, m, in or ft"#,
        ),
        (
            INCHES,
            "0,600,1200\n0,1,2\n",
            r#"board.csv: 1 fault
  line 1, A1, the top-left cell: "0"
      a number where the unit stands; row 1 holds stations, column A positions; clear this cell"#,
        ),
        (
            HEIGHTS,
            "mm,0,600,0\n0,1,2,3\n90,1,2\n0,4\n",
            r#"board.csv: 2 faults
  line 1, D1, a station: "0 mm"
      the station stands twice, here and in B1; write each station once
  line 4, A4, a position: "0 mm"
      the position stands twice, here and in A2; write each position once"#,
        ),
        (
            INCHES,
            ",24,2 ft\n0,1,2\n",
            r#"board.csv: 1 fault
  line 1, C1, a station: "2 ft"
      the station stands twice, here and in B1; write each station once"#,
        ),
        (
            HEIGHTS,
            "mm,0,600\n0,1,2,3\n90,1,2,,\n",
            r#"board.csv: 1 fault
  line 2, D2, position 0 mm: "3"
      the row holds 3 heights for 2 stations; write the station, or points for decimal commas"#,
        ),
        (
            HEIGHTS,
            "mm,0,600\n,1,2\n",
            "board.csv: 1 fault
  line 2, A2: the row has heights but no position
      write the position across the width in its first cell, or clear the row",
        ),
        (
            HEIGHTS,
            "mm,0,6oo\n9o,1,2\n",
            r#"board.csv: 2 faults
  line 1, C1, a station: "6oo"
      a letter among the digits; if 600 is meant, write it so
  line 2, A2, a position: "9o"
      a letter among the digits; if 90 is meant, write it so"#,
        ),
        (
            HEIGHTS,
            "mm;0;600\n0;1,5;2\n90;2.5;3\n",
            r#"board.csv: 1 fault
  line 3, B3: "2.5"
      a decimal point here, a decimal comma in B2; write all of them as 1,5 is"#,
        ),
        (
            HEIGHTS,
            "mm;0;600\n0;1.234,5;2\n90;1.234.567;3\n",
            r#"board.csv: 2 faults
  line 2, B2, station 0 mm, position 0 mm: "1.234,5"
      a sign between the thousands; write 1234,5
  line 3, B3, station 0 mm, position 90 mm: "1.234.567"
      a sign between the thousands; write 1234567"#,
        ),
        (
            HEIGHTS,
            "mm,0,5,600\n0,1,5,2,5\n",
            r#"board.csv: 1 fault
  line 2, E2, position 0 mm: "5"
      the row holds 4 heights for 3 stations; write the station, or points for decimal commas"#,
        ),
        (
            HEIGHTS,
            "# Walnut\r\n\r\nmm,0,600\r\n\r\n# by hand\r\n0,1,\"2\"\r\n90,\"oak\r\nash\",3\r\n180,1,elm\r\n",
            r#"board.csv: 2 faults
  line 7, B7, station 0 mm, position 90 mm: "oak\r\nash"
      the cell runs over several lines; close its quote, and write quotes inside it twice
  line 9, C8, station 600 mm, position 180 mm: "elm"
      not a number; write a length such as 38 mm or 1-3/16 in; put # before a remark"#,
        ),
        (
            HEIGHTS,
            "mm,0,600\n0,1,a very\u{202e}long word that goes on and on\n",
            r#"board.csv: 1 fault
  line 2, C2, station 600 mm, position 0 mm: "a very\u{202e}long word that goes o…"
      not a number; write a length such as 38 mm or 1-3/16 in; put # before a remark"#,
        ),
    ]);
}

#[test]
fn probes_and_calipers() {
    check(&[
        (
            HEIGHTS,
            "x_mm,y_mm,z_mm\n",
            "board.csv: 1 fault
  the file holds no heights
      a probe file needs 9 or more; rows that begin with # are comments",
        ),
        (
            HEIGHTS,
            "x_mm,y_mm,z_mm\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n",
            "board.csv: 1 fault
  the file holds 8 heights
      a probe file needs 9 or more; rows that begin with # are comments",
        ),
        (
            HEIGHTS,
            "x_mm,y_mm,z_mm\n#1,0,0,1\n",
            "board.csv: 1 fault
  the file holds no heights
      a probe file needs 9 or more; rows that begin with # are comments",
        ),
        (
            HEIGHTS,
            "x,y,z\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n",
            r#"board.csv: 1 fault
  line 2, A2: "1"
      no unit in 27 cells; name it in the header, as in x_mm or z_in, or give --unit in or mm"#,
        ),
        (
            HEIGHTS,
            "x_mm,y_mm,z\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n1,2,3\n",
            r#"board.csv: 1 fault
  line 2, C2: "3"
      no unit in 9 cells; name it in the header, as in x_mm or z_in, or give --unit in or mm"#,
        ),
        (
            HEIGHTS,
            "x,y,thickness\n1,2,3\n",
            "board.csv: 1 fault
  line 1: this is a file of caliper readings: x, y, thickness
      give it as --calipers, and the heights as the board",
        ),
        (
            HEIGHTS,
            "part,count,length,width,thickness\nrail,4,700,40,20\n",
            "board.csv: 1 fault
  line 1: the first row neither holds stations nor names the columns x, y, z
      write the stations after an empty cell, or the header; put # before a title",
        ),
        (
            HEIGHTS,
            "x_mm,y_mm\n1,2\n",
            "board.csv: 1 fault
  line 1: the header has no column z
      name the column z, or with its unit: z_mm, z_in",
        ),
        (
            HEIGHTS,
            "x_mn,y_mm,z_mm\n1,2,3\n",
            r#"board.csv: 1 fault
  line 1, A1: "x_mn"
      not read as the column x; name the column x, or with its unit: x_mm, x_in, x (mm)"#,
        ),
        (
            HEIGHTS,
            "x_mm,y_mm,z_mm,x_in\n1,2,3,4\n",
            r#"board.csv: 1 fault
  line 1, D1: "x_in"
      a second column x; the first is A1; give one of them another name"#,
        ),
        (
            HEIGHTS,
            "x_mm,y_mm,z_mm,face\n1,2,3,up\n1,2,3,up\n1,2,3,up\n1,2,3,up\n1,2,3,up\n1,2,3,up\n1,2,3,up\n1,2,3,up\n1,2,3,top\n,2,3,\n1,2,,\n4,x,5\n1,2,3,,9\n",
            r#"board.csv: 4 faults
  line 10, D10, face: "top"
      not a face of the board; write up or down; blank is up
  line 11, A11, x: x is blank where z is given
      write where the reading was taken, or clear the row
  line 13, B13, y: "x"
      not a number; write where the readings were taken
  line 14, E14: "9"
      the row has 5 cells, the header 4; write a name for every column, or points for decimal commas"#,
        ),
        (
            CALIPERS,
            "x_mm,y_mm,z_mm\n1,2,3\n",
            "board.csv: 1 fault
  line 1: this is a file of heights: x, y, z
      give it as the board; caliper readings are x, y, thickness",
        ),
        (
            CALIPERS,
            "mm,0,600\n0,1,2\n",
            "board.csv: 1 fault
  line 1: no caliper readings: the first row does not name x, y, thickness
      write the header x, y, thickness; a grid of heights is given as the board",
        ),
        (
            CALIPERS,
            "x_mm,y_mm,thickness_mm\n1,2,0\n1,2,-19\n1,2,\n1,2,306\n",
            r#"board.csv: 3 faults
  line 2, C2, thickness at x 1 mm, y 2 mm: "0"
      a thickness must be more than zero; measure again or leave the cell blank
  line 3, C3, thickness at x 1 mm, y 2 mm: "-19"
      a thickness must be more than zero; measure again or leave the cell blank
  line 5, C5, thickness at x 1 mm, y 2 mm: "306"
      more than 12 in is no board's thickness; check the number and its unit"#,
        ),
        (
            CALIPERS,
            "x_mm,y_mm,thickness_mm\n1,2,\n",
            "board.csv: 1 fault
  the file holds no thickness
      write one or more; rows that begin with # are comments",
        ),
        (
            CALIPERS,
            "x_mm,y_mm,thickness\n1,2,19\n1,2,20\n",
            r#"board.csv: 1 fault
  line 2, C2: "19"
      no unit in 2 cells; name it in the header, as in x_mm or thickness_in, or give --unit in or mm"#,
        ),
    ]);
}

#[test]
fn twenty_faults_are_told_and_the_others_counted() {
    let stations: String = (0..30).map(|station| format!(",{station}")).collect();
    let text = format!(
        "mm{stations}\n{}",
        "8,x,y\n0".to_owned() + &",x".repeat(30) + "\n8,1\n"
    );
    let faults = faults(HEIGHTS, text.as_bytes());
    // Two words in line 2, thirty in line 3, and the position that stands twice.
    assert_eq!((faults.faults.len(), faults.more), (20, 13));
    assert_eq!(faults.faults[19].cell.as_deref(), Some("S3"));
    let message = faults.to_string();
    assert!(message.starts_with("board.csv: 33 faults\n"), "{message}");
    assert!(message.ends_with("\n  and 13 more"), "{message}");
}

#[test]
fn the_parts_of_a_fault() {
    let faults = faults(INCHES, b",24\n# 3\" rule\n8,16-Mar\n");
    assert_eq!(
        faults.faults,
        [Fault {
            line: Some(3),
            cell: Some("B3".to_owned()),
            place: Some("station 24 in, position 8 in".to_owned()),
            found: Some("16-Mar".to_owned()),
            wrong: "a date, made of a fraction by the spreadsheet".to_owned(),
            fix: "format the cells as text and type it again".to_owned(),
            shown: None,
        }]
    );
}

#[test]
fn columns_are_named_as_a_spreadsheet_names_them() {
    let stations: String = (0..800).map(|station| format!(",{station}")).collect();
    for (column, name) in [
        (1, "B2"),
        (25, "Z2"),
        (26, "AA2"),
        (51, "AZ2"),
        (52, "BA2"),
        (701, "ZZ2"),
        (702, "AAA2"),
    ] {
        let text = format!("mm{stations}\n0{}oak\n", ",".repeat(column));
        assert_eq!(
            faults(HEIGHTS, text.as_bytes()).faults[0].cell.as_deref(),
            Some(name)
        );
    }
}

#[test]
fn encodings_that_cannot_be_read() {
    let little: Vec<u8> = "mm,0,600\n0,1,2\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let odd = [b"\xFF\xFE", &little[..little.len() - 1]].concat();
    let lone_surrogate = [b"\xFF\xFE", &little[..], b"\x00\xD8,\x00"].concat();
    for bytes in [odd, lone_surrogate] {
        assert_eq!(
            faults(HEIGHTS, &bytes).to_string(),
            "board.csv: 1 fault\n  the file is UTF-16 text that is damaged or cut off\n      save it again as \"CSV UTF-8\""
        );
    }
    for (bytes, name) in [
        (&b"\x89PNG\r\n\x1a\n"[..], "a PNG picture"),
        (
            b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1",
            "an old workbook (.xls)",
        ),
        (b"\x1F\x8B\x08", "a compressed file (.gz)"),
    ] {
        assert_eq!(
            faults(HEIGHTS, bytes).faults[0].wrong,
            format!("the file is {name}, not CSV")
        );
        assert_eq!(
            faults(CALIPERS, bytes).faults[0].wrong,
            format!("the file is {name}, not CSV")
        );
    }
}

#[test]
fn a_word_in_a_code_page_is_quoted_as_it_was_meant() {
    let faults = faults(HEIGHTS, b"mm;0;600\n0;1;sch\xF6n\n");
    assert_eq!(faults.faults[0].found.as_deref(), Some("sch\u{f6}n"));
}

#[test]
fn a_file_name_cannot_break_the_message() {
    let faults = read_heights(b"", "a\nb\u{1b}[31m.csv", Settings::default()).unwrap_err();
    assert!(
        faults
            .to_string()
            .starts_with("a\\nb\\u{1b}[31m.csv: 1 fault\n"),
        "{faults}"
    );
}
