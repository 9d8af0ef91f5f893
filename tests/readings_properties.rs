//! Properties of the readers: nothing panics, what is written reads back, lines are the file's own.

use outwind::length::Unit;
use outwind::readings::{Layout, Settings, read_calipers, read_heights};
use proptest::prelude::*;

const MILLIMETRES: Settings = Settings {
    unit: Some(Unit::Millimetre),
    depth: false,
};

/// Pieces of which files go wrong.
fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("\n".to_owned()),
        Just("\r\n".to_owned()),
        Just("\r".to_owned()),
        Just(",".to_owned()),
        Just(";".to_owned()),
        Just("\t".to_owned()),
        Just("\"".to_owned()),
        Just("#".to_owned()),
        Just("sep=;\n".to_owned()),
        Just("\nx_mm,y_mm,z_mm,face\n".to_owned()),
        Just("\nx;y;thickness\n".to_owned()),
        Just("mm".to_owned()),
        Just("1-3/16".to_owned()),
        Just("#REF!".to_owned()),
        Just("16-Mar".to_owned()),
        Just("1,5".to_owned()),
        Just("1.234,5".to_owned()),
        Just("½".to_owned()),
        Just("\u{feff}".to_owned()),
        (-100_i32..100).prop_map(|number| number.to_string()),
        any::<char>().prop_map(String::from),
    ]
}

/// Reads a file as both kinds; the messages must hold together as well.
fn read_as_everything(bytes: &[u8]) {
    let heights = read_heights(bytes, "board.csv", MILLIMETRES);
    let calipers = read_calipers(bytes, "calipers.csv", None);
    if let Ok(heights) = &heights {
        assert!(!heights.up.is_empty() || !heights.down.is_empty());
        assert!(
            heights
                .up
                .iter()
                .chain(&heights.down)
                .flatten()
                .all(|mm| mm.is_finite())
        );
    }
    if let Ok(calipers) = &calipers {
        assert!(
            calipers
                .readings
                .iter()
                .all(|caliper| caliper.thickness > 0.0)
        );
    }
    for faults in [heights.err(), calipers.err()].into_iter().flatten() {
        assert!((1..=20).contains(&faults.faults.len()));
        assert!(faults.faults.is_sorted_by_key(|fault| fault.line));
        let message = faults.to_string();
        assert!(
            !message.contains(|sign: char| sign.is_control() && sign != '\n'),
            "{message:?}"
        );
        let lines = 1 + 2 * faults.faults.len() + usize::from(faults.more > 0);
        assert_eq!(message.lines().count(), lines, "{message}");
    }
}

/// How a random grid is written.
#[derive(Debug, Clone)]
struct Writing {
    delimiter: char,
    comma: bool,
    unit: Unit,
    fractions: bool,
    line_end: &'static str,
    quotes: bool,
    wide: bool,
}

fn writing() -> impl Strategy<Value = Writing> {
    let unit = prop_oneof![
        Just(Unit::Millimetre),
        Just(Unit::Inch),
        Just(Unit::Centimetre)
    ];
    let line_end = prop_oneof![Just("\n"), Just("\r\n"), Just("\r")];
    (
        prop::sample::select(vec![',', ';', '\t']),
        any::<bool>(),
        unit,
        any::<bool>(),
        line_end,
        any::<[bool; 2]>(),
    )
        .prop_map(
            |(delimiter, comma, unit, fractions, line_end, [quotes, wide])| Writing {
                delimiter,
                comma: comma && delimiter != ',',
                unit,
                fractions: fractions && unit == Unit::Inch,
                line_end,
                quotes,
                wide,
            },
        )
}

impl Writing {
    /// Sixty-fourths of the unit as a cell; exact in six decimals.
    fn cell(&self, parts: i64) -> String {
        let text = if self.fractions {
            let sign = if parts < 0 { "-" } else { "" };
            match (parts.abs() / 64, parts.abs() % 64) {
                (whole, 0) => format!("{sign}{whole}"),
                (0, rest) => format!("{sign}{rest}/64"),
                (whole, rest) => format!("{sign}{whole}-{rest}/64"),
            }
        } else {
            let text = format!("{:.6}", parts as f64 / 64.0);
            if self.comma {
                text.replace('.', ",")
            } else {
                text
            }
        };
        if self.quotes {
            format!("\"{text}\"")
        } else {
            text
        }
    }

    fn mm(&self, parts: i64) -> f64 {
        parts as f64 / 64.0 * self.unit.mm()
    }
}

/// Different numbers in any order.
fn places(most: usize) -> impl Strategy<Value = Vec<i64>> {
    prop::collection::btree_set(-2000_i64..8000, 1..most)
        .prop_map(|set| set.into_iter().collect::<Vec<_>>())
        .prop_shuffle()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, rng_seed: proptest::test_runner::RngSeed::Fixed(1959), ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        read_as_everything(&bytes);
    }

    #[test]
    fn any_pieces_are_read_or_refused(pieces in prop::collection::vec(piece(), 0..60)) {
        read_as_everything(pieces.concat().as_bytes());
    }

    #[test]
    fn a_file_with_one_byte_changed_is_read_or_refused(at in 0_usize..200, byte in any::<u8>()) {
        let mut bytes = b"sep=;\r\n# A \"board\"\r\nmm;0;600;1200\r\n0;0,5;1/8;\"3\"\r\n\r\n90;;1.5;38 mm\r\n".to_vec();
        let at = at % bytes.len();
        bytes[at] = byte;
        read_as_everything(&bytes);
    }

    #[test]
    fn a_grid_reads_back(
        writing in writing(),
        stations in places(6),
        positions in places(6),
        cells in prop::collection::vec(prop::option::weighted(0.8, -6000_i64..6000), 36),
    ) {
        let cell = |position: usize, station: usize| cells[position * 6 + station];
        let taken = (0..positions.len()).flat_map(|p| (0..stations.len()).map(move |s| (p, s))).filter_map(|(p, s)| {
            cell(p, s).map(|height| [writing.mm(stations[s]), writing.mm(positions[p]), writing.mm(height)])
        });
        let mut wanted: Vec<[f64; 3]> = taken.collect();
        prop_assume!(!wanted.is_empty());
        wanted.sort_by(|a, b| a[1].total_cmp(&b[1]).then(a[0].total_cmp(&b[0])));

        let delimiter = writing.delimiter.to_string();
        let tail = if writing.wide { delimiter.repeat(2) } else { String::new() };
        let first: Vec<String> = std::iter::once(writing.unit.symbol().to_owned())
            .chain(stations.iter().map(|&parts| writing.cell(parts)))
            .collect();
        let mut text = first.join(&delimiter) + &tail + writing.line_end;
        for (p, &position) in positions.iter().enumerate() {
            let mut row = vec![writing.cell(position)];
            row.extend((0..stations.len()).map(|s| cell(p, s).map_or(String::new(), |parts| writing.cell(parts))));
            if !writing.wide {
                while row.len() > 1 && row.last().is_some_and(String::is_empty) {
                    row.pop();
                }
            }
            text += &(row.join(&delimiter) + &tail + writing.line_end);
        }
        let heights = read_heights(text.as_bytes(), "board.csv", Settings::default()).map_err(|faults| {
            TestCaseError::fail(format!("{faults}\n{text}"))
        })?;
        prop_assert_eq!(heights.up.len(), wanted.len());
        for (found, wanted) in heights.up.iter().zip(&wanted) {
            for axis in 0..3 {
                // Six decimals of the unit.
                prop_assert!((found[axis] - wanted[axis]).abs() <= 0.6e-6 * writing.unit.mm(), "{found:?} {wanted:?}");
            }
        }
        prop_assert_eq!(heights.unit, Some(writing.unit));
        let Layout::Grid { stations: along, positions: across } = heights.layout else { panic!("no grid") };
        prop_assert_eq!((along.len(), across.len()), (stations.len(), positions.len()));
        prop_assert!(along.is_sorted() && across.is_sorted());
    }

    #[test]
    fn a_probe_reads_back(
        comma in any::<bool>(),
        depth in any::<bool>(),
        rows in prop::collection::vec((any::<[i32; 3]>(), any::<bool>()), 9..40),
    ) {
        let number = |thousandths: i32| {
            let text = format!("{:.3}", f64::from(thousandths % 5_000_000) / 1e3);
            if comma { text.replace('.', ",") } else { text }
        };
        let delimiter = if comma { ";" } else { "," };
        let mut text = ["face", "Z", "y", "note", "X"].join(delimiter) + "\n";
        for (place, up) in &rows {
            let [x, y, z] = place.map(number);
            text += &([if *up { "UP" } else { "down" }, &z, &y, "a 1.5, b", &x].map(|cell| format!("\"{cell}\"")).join(delimiter) + "\n");
        }
        let settings = Settings { depth, ..MILLIMETRES };
        let heights = read_heights(text.as_bytes(), "probe.csv", settings).map_err(|faults| TestCaseError::fail(faults.to_string()))?;
        for (face, up) in [(&heights.up, true), (&heights.down, false)] {
            let wanted: Vec<[f64; 3]> = rows.iter().filter(|row| row.1 == up).map(|(place, _)| {
                let [x, y, z] = place.map(|part| f64::from(part % 5_000_000) / 1e3);
                [x, y, if depth { -z } else { z }]
            }).collect();
            prop_assert_eq!(face, &wanted);
        }
        prop_assert_eq!(heights.step_mm, Some(0.001));
    }

    #[test]
    fn a_fault_names_the_true_line(
        before in prop::collection::vec(
            prop::sample::select(vec!["", " ", "# comment", "# 3\" rule, \"5\" long", ",,,", "\"# kept, by a spreadsheet\",,", "#"]), 0..12),
        rows in prop::collection::vec(prop::sample::select(vec!["10,1,2", "20,\"1\",\"2\"", "30", "", "# between", "40,\"\",1"]), 0..6),
        end in prop::sample::select(vec!["\n", "\r\n", "\r"]),
    ) {
        // Positions must differ.
        let rows: Vec<String> = rows.iter().enumerate().map(|(at, row)| {
            if row.starts_with(|sign: char| sign.is_ascii_digit()) { format!("{at}{row}") } else { (*row).to_owned() }
        }).collect();
        let mut lines: Vec<String> = before.iter().map(|&line| line.to_owned()).collect();
        lines.push("mm,0,600".to_owned());
        lines.extend(rows);
        lines.push("-7,oak,1".to_owned());
        lines.push("-8,1,2".to_owned());
        let line = lines.len() as u64 - 1;
        let text = lines.join(end);
        let faults = read_heights(text.as_bytes(), "board.csv", Settings::default()).expect_err("a word among numbers");
        prop_assert_eq!(faults.faults.len(), 1, "{}", &faults);
        prop_assert_eq!(faults.faults[0].line, Some(line), "{}", &faults);
        let cell = format!("B{line}");
        prop_assert_eq!(faults.faults[0].cell.as_deref(), Some(cell.as_str()));
    }
}
