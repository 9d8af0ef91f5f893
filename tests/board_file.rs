//! The board file: every kind of reading read, written and read again, added to; nothing panics.

#![allow(clippy::unwrap_used)]

mod records;

use outwind::length::Unit;
use outwind::readings::{
    Addition, Aligned, Caliper, Edge, EdgesAt, Face, Faults, Gauge, Layout, Record, Rest, Survey,
    add_to_board, read_board, write_board,
};
use proptest::prelude::*;

const WALNUT: &str = include_str!("board-files/walnut.toml");

/// Inches in millimetres.
fn inches(inches: f64) -> f64 {
    inches * 25.4
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

fn load(name: &str) -> Result<Vec<u8>, String> {
    match name {
        "slab.csv" => Ok(b"mm,0,600\n0,1,2\n90,3,4\n".to_vec()),
        "calipers.csv" => Ok(b"x_mm,y_mm,thickness_mm\n0,0,35\n".to_vec()),
        "bad.csv" => Ok(b"mm,0,600\n0,1,oak\n".to_vec()),
        _ => Err(format!(
            "{name}: there is no such file; check its name and folder"
        )),
    }
}

fn read(text: &str) -> Result<Record, Faults> {
    read_board(text.as_bytes(), "slab.toml", None, &mut load)
}

/// The only survey of a board of 72 by 8 in with these lines in it.
fn survey(lines: &str) -> Survey {
    let text = format!("unit = \"in\"\nlength = 72\nwidth = 8\n[[survey]]\n{lines}");
    let mut record = read(&text).unwrap_or_else(|faults| panic!("{faults}\n{text}"));
    assert_eq!(record.surveys.len(), 1);
    record.surveys.remove(0)
}

fn gauge(lines: &str) -> Gauge {
    survey(lines).gauged.remove(0).gauge
}

#[test]
fn what_is_known_of_the_board() {
    let record = read(WALNUT).unwrap();
    assert_eq!(record.name.as_deref(), Some("rack 3"));
    assert_eq!(record.unit, Some(Unit::Inch));
    assert!(near(record.length.unwrap(), inches(72.0)) && near(record.width.unwrap(), inches(7.5)));
    let about = &record.about;
    assert_eq!(about.species.as_deref(), Some("black walnut"));
    assert_eq!((about.moisture, about.show), (Some(9.5), Some(Face::Up)));
    assert_eq!(about.end_a.as_deref(), Some("the end with the red paint"));
    assert_eq!(about.up.as_deref(), Some("bark side"));
    assert_eq!(about.grain.as_deref(), Some("rises towards end B"));
    let knot = &record.avoid[0];
    assert_eq!(knot.what, "knot");
    assert!(near(knot.from, inches(20.0)) && near(knot.far, inches(4.5)));
    let survey = &record.surveys[0];
    assert_eq!(survey.date.as_deref(), Some("2026-11-20"));
    assert!(near(survey.thickness.unwrap(), inches(1.375)));
    let set = &survey.heights[0];
    assert_eq!(
        (set.face, set.turned, set.datum, set.error),
        (Face::Up, false, 0, Some(0.4))
    );
    assert_eq!(
        (set.heights.up.len(), set.heights.step_mm),
        (6, Some(inches(1.0 / 32.0)))
    );
    assert!(matches!(&set.heights.layout, Layout::Grid { stations, .. } if stations.len() == 3));
    assert_eq!(survey.calipers.as_ref().unwrap().readings.len(), 1);
    assert_eq!(survey.gauged.len(), 8);
}

#[test]
fn a_straightedge_lies_where_it_is_said() {
    let Gauge::Straightedge(along) = gauge("straightedge = { along = \"middle\", gap = \"1/8\" }")
    else {
        panic!("a straightedge")
    };
    assert_eq!(along.from.map(f64::round), [0.0, inches(4.0).round()]);
    assert!(near(along.to[0], inches(72.0)) && near(along.at[0], inches(36.0)));
    assert_eq!((along.face, along.rest), (Face::Up, Rest::Wood));
    let Gauge::Straightedge(part) =
        gauge("straightedge = [{ along = 2, from = 6, to = 60, at = 12, gap = 0.125 }]")
    else {
        panic!("a straightedge")
    };
    assert!(
        near(part.from[0], inches(6.0))
            && near(part.to[0], inches(60.0))
            && near(part.at[0], inches(12.0))
    );
    let Gauge::Straightedge(across) =
        gauge("straightedge = [{ across = \"middle\", gap = \"1/8\", face = \"down\", at = 2 }]")
    else {
        panic!("a straightedge")
    };
    assert_eq!(across.face, Face::Down);
    assert!(
        near(across.from[1], 0.0)
            && near(across.to[1], inches(8.0))
            && near(across.at[1], inches(2.0))
    );
    assert!(near(across.at[0], inches(36.0)));
    let Gauge::Straightedge(askew) = gauge(
        "straightedge = [{ from = [\"a\", \" Near \"], to = [\"End B\", \"far edge\"], gap = \"1/2\", blocks = \"3/8\" }]",
    ) else {
        panic!("a straightedge")
    };
    assert!(matches!(askew.rest, Rest::Blocks(height) if near(height, inches(0.375))));
    assert!(near(askew.to[0], inches(72.0)) && near(askew.to[1], inches(8.0)));
    assert!(near(askew.at[0], inches(36.0)) && near(askew.at[1], inches(4.0)));
    let Gauge::Straightedge(crown) =
        gauge("straightedge = [{ along = \"near\", gap = \"1/16\", crown = true }]")
    else {
        panic!("a straightedge")
    };
    assert_eq!((crown.rest, crown.at), (Rest::EqualGaps, crown.from));
}

#[test]
fn sticks_a_corner_and_a_string() {
    let Gauge::Sticks(sticks) = gauge(
        "sticks = { from = \"A\", to = 54, length = 24, sliver = \"3/16\", high = \"near\", aligned = \"Middles\", pads = true }",
    ) else {
        panic!("sticks")
    };
    assert!(near(sticks.stations[1], inches(54.0)) && near(sticks.length, inches(24.0)));
    assert!(
        near(sticks.sliver, -inches(0.1875)),
        "the near end stood high"
    );
    assert_eq!((sticks.aligned, sticks.pads), (Aligned::Middles, true));
    assert!(near(sticks.across[0][1], inches(8.0)));
    let Gauge::Sticks(level) =
        gauge("sticks = [{ from = \"A\", to = \"B\", length = 24, sliver = 0 }]")
    else {
        panic!("sticks")
    };
    assert_eq!((level.sliver, level.aligned), (0.0, Aligned::Tips));
    let Gauge::Corner(corner) = gauge("corner = [{ corner = \"far, B\", gap = \"5/16\" }]") else {
        panic!("a corner")
    };
    assert_eq!(corner.on, Face::Down);
    assert!(near(corner.corner[0], inches(72.0)) && near(corner.corner[1], inches(8.0)));
    let Gauge::Edge(string) = gauge("string = { edge = \"far\", gap = \"3/16\", from = 6 }") else {
        panic!("a string")
    };
    assert_eq!((string.edge, string.rest), (Edge::Far, Rest::Wood));
    assert!(near(string.at, inches(39.0)));
}

/// Edges that are not parallel: words name places between the rows in a straight line.
#[test]
fn words_on_a_board_that_is_no_rectangle() {
    let text = "unit = \"in\"\nlength = 72\ntaper = [9, 6]\n[[survey]]\n\
        straightedge = [{ across = \"middle\", gap = \"1/8\" }, { along = \"middle\", gap = \"1/8\" }]\n";
    let record = read(text).unwrap();
    assert_eq!(record.edges.len(), 2);
    let [Gauge::Straightedge(across), Gauge::Straightedge(along)] =
        [0, 1].map(|at| record.surveys[0].gauged[at].gauge.clone())
    else {
        panic!("two straightedges")
    };
    assert!(near(across.to[1], inches(7.5)));
    assert!(near(along.from[1], inches(4.5)) && near(along.to[1], inches(3.0)));
    let live = "unit = \"in\"\nlength = 72\nedges = \"\"\"\nstation, near, far\n0, 1/2, 9\n# a bump\n36, 1/4, 9-1/2\n72, 0, 8-3/4\n\"\"\"\n";
    let edges = read(live).unwrap().edges;
    assert_eq!(edges.len(), 3);
    let EdgesAt {
        station,
        near: low,
        far,
    } = edges[1];
    assert!(near(station, inches(36.0)) && near(low, inches(0.25)) && near(far, inches(9.5)));
}

#[test]
fn several_sets_of_heights() {
    let sets = survey(
        "error = \"0.4 mm\"\nheights = [\n  { file = \"slab.csv\" },\n  { file = \"slab.csv\", face = \"down\" },\n  \
         { file = \"slab.csv\", face = \"down\", turned = true, error = \"0.5 mm\" },\n  \
         { file = \"slab.csv\", datum = \"rails\", depth = true },\n  { file = \"slab.csv\", datum = \"rails\" },\n]\n",
    )
    .heights;
    assert_eq!(
        sets.iter().map(|set| set.datum).collect::<Vec<_>>(),
        [0, 0, 1, 2, 2]
    );
    assert_eq!(
        sets.iter().map(|set| set.turned).collect::<Vec<_>>(),
        [false, false, true, false, false]
    );
    assert_eq!(sets[2].error, Some(0.5));
    assert_eq!(sets[3].heights.up[3], [600.0, 90.0, -4.0]);
    assert_eq!(sets[4].error, Some(0.4));
    let both =
        survey("heights = \"\"\"\nx, y, z, face\n0, 0, 1, up\n0, 0, 0, down\n\"\"\"\n").heights;
    assert_eq!(
        both.iter()
            .map(|set| (set.face, set.datum))
            .collect::<Vec<_>>(),
        [(Face::Up, 0), (Face::Down, 0)]
    );
    assert!(
        both.iter()
            .all(|set| set.heights.up.len() == 1 && set.heights.down.is_empty())
    );
    assert_eq!(
        survey("calipers = { file = \"calipers.csv\" }")
            .calipers
            .unwrap()
            .readings[0]
            .thickness,
        35.0
    );
}

/// Rounding to multiples of a step adds a uniform error of step / √12; a whole step of 1/2 in is a short way to write
/// 8/16.
#[test]
fn errors_hold_the_rounding() {
    let sd = |lines: &str| survey(lines).gauged[0].sd;
    let with = |own: f64, step: f64| (own * own + step * step / 12.0).sqrt();
    let one = "{ along = 2, gap = \"3/64\" }, { across = 2, gap = \"1/2\" }";
    assert!(near(
        sd(&format!("straightedge = [{one}]")),
        with(0.3, inches(1.0 / 64.0))
    ));
    assert!(near(
        sd(&format!("gap-error = \"0.1 mm\"\nstraightedge = [{one}]")),
        with(0.1, inches(1.0 / 64.0))
    ));
    assert!(near(
        sd("straightedge = { along = 2, gap = \"1/2\" }"),
        with(0.3, inches(1.0 / 16.0))
    ));
    assert!(near(
        sd("string = { edge = \"near\", gap = \"1.5 mm\" }"),
        with(0.3, 0.1)
    ));
    let sticks = "sticks = { from = 0, to = 72, length = 24, sliver = \"1/32\", high = \"far\", aligned = \"tips\" }";
    assert!(near(
        sd(&format!("stick-error = \"0.2 mm\"\n{sticks}")),
        with(0.2, inches(1.0 / 32.0))
    ));
    assert!(near(
        sd("corner = { corner = \"A far\", gap = \"1/8\", sd = \"0.7 mm\" }"),
        0.7
    ));
}

#[test]
fn what_is_taken_however_it_is_typed() {
    let text = "\u{FEFF}Name = 'rack 3'\r\nUNIT = \"Inches\"\r\nlength = \"6 ft\"\r\nwidth = \"190,5 mm\"\r\nmoisture = \"9,5 %\"\r\nend_a = \"red\"\r\n\
        [survey]\r\ndate = \"2026-11-20\"\r\nthickness = \"1 3/8\"\r\n";
    let record = read(text).unwrap();
    assert!(near(record.length.unwrap(), inches(72.0)) && near(record.width.unwrap(), 190.5));
    assert_eq!(record.about.moisture, Some(9.5));
    assert_eq!(record.about.end_a.as_deref(), Some("red"));
    assert_eq!(record.surveys[0].date.as_deref(), Some("2026-11-20"));
    let dated = "unit = \"in\"\n[[survey]]\ndate = 2026-11-21\nthickness = 1\n[[survey]]\ndate = 2026-02-28\nthickness = 2\n[[survey]]\nthickness = 3\n";
    let order: Vec<f64> = read(dated)
        .unwrap()
        .surveys
        .iter()
        .map(|s| s.thickness.unwrap() / 25.4)
        .collect();
    assert_eq!(
        order.iter().map(|t| t.round()).collect::<Vec<_>>(),
        [3.0, 2.0, 1.0]
    );
}

#[test]
fn the_unit_of_the_command_line_is_used_where_the_file_names_none() {
    let text = b"length = 72\n[[survey]]\nheights = \"\"\"\n,0,12\n0,1,2\n\"\"\"\n";
    let record = read_board(text, "slab.toml", Some(Unit::Inch), &mut load).unwrap();
    assert!(near(record.length.unwrap(), inches(72.0)));
    assert!(near(
        record.surveys[0].heights[0].heights.up[1][2],
        inches(2.0)
    ));
    let faults = read_board(text, "slab.toml", None, &mut load).unwrap_err();
    assert_eq!(faults.faults.len(), 1, "{faults}");
    assert_eq!(faults.faults[0].wrong, "no unit here and in 1 more");
}

#[test]
fn a_named_file_at_fault_is_told_on_the_line_that_names_it() {
    let faults = read("unit = \"in\"\n[[survey]]\nheights = { file = \"bad.csv\" }\n").unwrap_err();
    assert_eq!(faults.faults[0].line, Some(3));
    assert!(
        faults.to_string().contains("heights: bad.csv line 2, C2\n"),
        "{faults}"
    );
}

/// The addition, and the text that it adds.
fn adds(text: &str, addition: &Addition, new: &str) {
    let added =
        add_to_board(text, "slab.toml", addition).unwrap_or_else(|faults| panic!("{faults}"));
    let (at, _) = text
        .bytes()
        .zip(added.bytes())
        .enumerate()
        .find(|(_, (a, b))| a != b)
        .unwrap_or((text.len(), (0, 0)));
    let length = added.len() - text.len();
    let found = (0..=at).rev().find(|at| {
        format!("{}{}", &added[..*at], &added[at + length..]) == text
            && added[*at..at + length] == *new
    });
    assert!(found.is_some(), "not {new:?} alone:\n{added}");
}

/// A string over the whole far edge of a board of 6 ft.
fn string(gap: f64) -> Addition {
    let text = "unit = \"in\"\nlength = \"6'\"\n[[survey]]\nstring = { edge = \"far\", gap = 0 }\n";
    let mut record = read(text).unwrap();
    let Gauge::Edge(mut one) = record.surveys[0].gauged.remove(0).gauge else {
        panic!("a string")
    };
    one.gap = inches(gap);
    Addition::Gauge(Gauge::Edge(one))
}

fn caliper(x: f64, y: f64, thickness: f64) -> Addition {
    let [x, y, thickness] = [x, y, thickness].map(inches);
    Addition::Caliper(Caliper { x, y, thickness })
}

fn height(x: f64, y: f64, z: f64) -> Addition {
    Addition::Height {
        face: Face::Up,
        point: [x, y, z].map(inches),
    }
}

#[test]
fn one_reading_is_added_and_the_rest_stays() {
    adds(WALNUT, &caliper(36.0, 7.5, 1.40625), "36, 7-1/2, 1-13/32\n");
    // The grid's rows: a cell that is new at the end of a row needs a station.
    let filled = add_to_board(WALNUT, "slab.toml", &height(36.0, 0.0, 0.25)).unwrap();
    assert!(filled.contains("in,      0,    12,    24, 36\n7-1/2,  1/8,  3/32,  1/16\n0,      0,    1/32,  1/8, 1/4\n"), "{filled}");
    let blank =
        "unit = \"in\"\n[[survey]]\nheights = \"\"\"\nin, 0, 12\n0, , 1/8\n6, 1/8\n\"\"\" # grid\n";
    adds(blank, &height(0.0, 0.0, 0.125), "1/8");
    adds(blank, &height(12.0, 6.0, 0.125), ", 1/8");
    adds(blank, &height(12.0, 9.0, 0.125), "\n9,, 1/8");
    let faults = add_to_board(blank, "slab.toml", &height(12.0, 0.0, 0.5)).unwrap_err();
    assert_eq!(
        (faults.faults[0].line, faults.faults[0].wrong.as_str()),
        (Some(5), "a height is read there already")
    );
    adds(
        WALNUT,
        &string(0.125),
        ", { edge = \"far\", gap = \"1/8\" }",
    );
}

#[test]
fn a_list_keeps_its_layout() {
    let head = "unit = \"in\"\nlength = \"6'\"\n[[survey]] # first\n";
    let new = "{ edge = \"far\", gap = \"1/8\" }";
    let lists = [
        (
            "string = [ { edge = \"near\", gap = 0 } ] # taut\n",
            format!(", {new}"),
        ),
        (
            "string = [{ edge = \"near\", gap = 0 },]\n",
            format!(" {new}"),
        ),
        (
            "string = [\n\t{ edge = \"near\", gap = 0 }, # taut, again\n\t# no more\n]\n",
            format!("\t{new},\n"),
        ),
    ];
    for (list, new) in lists {
        if !list.contains("[]") {
            adds(
                &format!("{head}{list}[[avoid]]\nfrom = 1\nto = 2\nnear = 0\nfar = 1\n"),
                &string(0.125),
                &new,
            );
        }
    }
    let open = format!("{head}string = [\n  {{ edge = \"near\", gap = 0 }} # taut\n]\n");
    let added = add_to_board(&open, "slab.toml", &string(0.125)).unwrap();
    assert_eq!(
        added,
        format!("{head}string = [\n  {{ edge = \"near\", gap = 0 }}, # taut\n  {new},\n]\n")
    );
    let one = format!("{head}string = {{ edge = \"near\", gap = 0 }}\n");
    let added = add_to_board(&one, "slab.toml", &string(0.125)).unwrap();
    assert_eq!(
        added,
        format!("{head}string = [{{ edge = \"near\", gap = 0 }}, {new}]\n")
    );
    let tables = format!(
        "{head}thickness = 1\n[[survey.string]]\nedge = \"near\" # this\ngap = 0\n\n# the end\n"
    );
    adds(
        &tables,
        &string(0.125),
        "\n[[survey.string]]\nedge = \"far\"\ngap = \"1/8\"\n",
    );
    let mac = "unit = \"in\"\r\n[[survey]]\r\nthickness = 1 # here\r\n[[survey.heights]]\r\ntable = \"\"\"\r\nx,y,z\r\n0,0,1\r\n\"\"\"";
    adds(
        mac,
        &caliper(1.0, 2.0, 1.5),
        "calipers = \"\"\"\r\nx, y, thickness\r\n1, 2, 1-1/2\r\n\"\"\"\r\n",
    );
    adds(mac, &height(1.0, 2.0, 1.5), "1, 2, 1-1/2\r\n");
}

#[test]
fn a_new_survey_where_there_is_none() {
    adds(
        "# a board\nunit = \"in\"",
        &caliper(1.0, 2.0, 1.5),
        "\n\n[[survey]]\ncalipers = \"\"\"\nx, y, thickness\n1, 2, 1-1/2\n\"\"\"\n",
    );
    let text = add_to_board("", "slab.toml", &caliper(1.0, 2.0, 1.5)).unwrap();
    assert!(
        text.starts_with("[[survey]]\ncalipers = \"\"\"\nx, y, thickness\n25.4 mm, 50.8 mm, "),
        "{text}"
    );
    let faults = add_to_board(
        "unit = \"in\"\n[[survey]]\ncalipers = { file = \"calipers.csv\" }\n",
        "slab.toml",
        &caliper(1.0, 2.0, 1.5),
    );
    assert_eq!(faults.unwrap_err().faults[0].fix, "add the reading there");
}

/// The record without what a finer reading may change: errors and last places.
fn without_errors(mut record: Record) -> Record {
    for survey in &mut record.surveys {
        survey.gauged.iter_mut().for_each(|one| one.sd = 0.0);
        survey
            .calipers
            .iter_mut()
            .for_each(|calipers| calipers.step_mm = None);
        survey
            .heights
            .iter_mut()
            .for_each(|set| set.heights.step_mm = None);
    }
    record
}

/// A valid file with something changed in it.
fn mutated() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "\"",
        "\"\"\"",
        "[",
        "]",
        "{",
        "}",
        "=",
        ",",
        "\n",
        "#",
        "'",
        "-1",
        "nan",
        "inf",
        "1e9",
        "½",
        "[[survey]]\n",
        "x",
        "\r",
        "\u{0}",
        "true",
        "length = 1-3/8\n",
        "[[avoid]]\n",
        "\u{FEFF}",
        "🪵",
        "\\",
        "9999999999999999999999",
        "2026-11-20",
        ".",
        "in",
    ]);
    let base = prop_oneof![
        Just(WALNUT.to_owned()),
        records::record().prop_map(|record| write_board(&record))
    ];
    (
        base,
        prop::collection::vec((any::<prop::sample::Index>(), 0..12_usize, piece), 1..5),
    )
        .prop_map(|(mut text, changes)| {
            for (at, cut, new) in changes {
                let mut bounds: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
                bounds.push(text.len());
                let from = at.index(bounds.len());
                let to = (from + cut).min(bounds.len() - 1);
                text.replace_range(bounds[from]..bounds[to], new);
            }
            text
        })
}

fn read_or_told(bytes: &[u8]) -> Result<(), TestCaseError> {
    let lines = bytes.iter().filter(|byte| **byte == b'\n').count() as u64 + 1;
    if let Err(faults) = read_board(bytes, "slab.toml", Some(Unit::Millimetre), &mut load) {
        prop_assert!(!faults.faults.is_empty());
        for fault in &faults.faults {
            prop_assert!(
                fault.line.is_some_and(|line| (1..=lines).contains(&line)),
                "{}",
                faults
            );
        }
        let message = faults.to_string();
        prop_assert!(
            !message.contains(|sign: char| sign.is_control() && sign != '\n'),
            "{:?}",
            message
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, rng_seed: proptest::test_runner::RngSeed::Fixed(1959), ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_reads_back(record in records::record()) {
        let text = write_board(&record);
        let again = read_board(text.as_bytes(), "slab.toml", None, &mut load)
            .map_err(|faults| TestCaseError::fail(format!("{faults}\n{text}")))?;
        prop_assert_eq!(&again, &record, "{}", text);
    }

    #[test]
    fn what_is_added_is_read_as_the_last_of_its_kind(record in records::record(), other in records::record()) {
        let text = write_board(&record);
        let additions = other.surveys.iter().flat_map(|survey| {
            let calipers = survey.calipers.iter().flat_map(|calipers| calipers.readings.clone());
            let gauges = survey.gauged.iter().map(|one| Addition::Gauge(one.gauge.clone()));
            calipers.map(Addition::Caliper).chain(gauges).collect::<Vec<_>>()
        });
        for addition in additions {
            let Ok(added) = add_to_board(&text, "slab.toml", &addition) else { continue };
            let found = without_errors(read(&added).map_err(|faults| TestCaseError::fail(format!("{faults}\n{added}")))?);
            let mut wanted = without_errors(record.clone());
            if wanted.surveys.is_empty() {
                wanted.surveys.push(Survey::default());
            }
            let last = wanted.surveys.last_mut().unwrap();
            match &addition {
                Addition::Gauge(gauge) => {
                    let rank = records::rank(gauge);
                    let at = last.gauged.iter().filter(|one| records::rank(&one.gauge) <= rank).count();
                    last.gauged.insert(at, outwind::readings::Gauged { gauge: gauge.clone(), sd: 0.0 });
                }
                Addition::Caliper(caliper) => {
                    let found = found.surveys.last().unwrap().calipers.as_ref().unwrap();
                    let calipers = last.calipers.get_or_insert_with(|| outwind::readings::Calipers { readings: Vec::new(), ..found.clone() });
                    calipers.readings.push(*caliper);
                }
                Addition::Height { .. } => {}
            }
            prop_assert_eq!(&found, &wanted, "{}", added);
        }
    }

    #[test]
    fn a_file_that_was_changed_is_read_or_told(text in mutated()) {
        read_or_told(text.as_bytes())?;
    }

    #[test]
    fn a_changed_file_is_added_to_or_told(text in mutated()) {
        let _ = add_to_board(&text, "slab.toml", &height(12.0, 2.0, 0.125));
        let _ = add_to_board(&text, "slab.toml", &string(0.125));
        if let Ok(added) = add_to_board(&text, "slab.toml", &caliper(1.0, 2.0, 1.5)) {
            prop_assert!(added.len() > text.len());
        }
    }

    #[test]
    fn any_bytes_are_read_or_told(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        read_or_told(&bytes)?;
    }
}

#[test]
fn ten_megabytes_and_deep_brackets_are_refused() {
    for text in [
        "x = 1\n".repeat(1_700_000),
        "[".repeat(100_000),
        format!("a = {}", "[".repeat(100_000)),
        "{".repeat(1000),
        "a = \"".repeat(5000),
    ] {
        read_or_told(text.as_bytes()).unwrap();
        assert!(read(&text).is_err());
    }
}

/// Every board file that the manual shows is read; the worked one comes with what the manual says of it.
#[test]
fn the_manual_shows_board_files_that_are_read() {
    let manual = include_str!("../docs/board-file.md");
    let shown: Vec<&str> = manual
        .split("```toml\n")
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap())
        .collect();
    assert!(shown.len() >= 2);
    for text in &shown {
        read(text).unwrap_or_else(|faults| panic!("{faults}\n{text}"));
    }
    let worked = read(shown[0]).unwrap();
    let survey = &worked.surveys[0];
    assert_eq!(
        (survey.heights[0].heights.up.len(), survey.gauged.len()),
        (15, 5)
    );
    assert_eq!(survey.calipers.as_ref().unwrap().readings.len(), 4);
    let Gauge::Sticks(sticks) = &survey.gauged[2].gauge else {
        panic!("sticks")
    };
    assert!(near(sticks.sliver, inches(0.1875)));
    let sd = survey.gauged[0].sd;
    let wanted = (0.3_f64.powi(2) + inches(1.0 / 64.0).powi(2) / 12.0).sqrt();
    assert!(
        near(sd, wanted) && manual.contains(&format!("{wanted:.2} mm")),
        "{wanted}"
    );
}
