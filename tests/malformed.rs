//! Good files of every format made bad in hundreds of ways: each is refused with what is wrong and what would be right, or
//! read as what it was, or read with less and that said. What changes a number into another that could stand there as well
//! is not tried: no reader can know.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;
mod malformed_ways;

use std::collections::BTreeMap;
use std::env;
use std::fs;
use std::panic::catch_unwind;
use std::path::Path;
use std::time::{Duration, Instant};

use common::random::Random;
use malformed_ways::{CSV, TEXT, TOML, Way};
use outwind::board::Board;
use outwind::flatten::{Answer, Question};
use outwind::length::{Notation, Unit};
use outwind::readings::{
    Face, Faults, HeightSet, Heights, Layout, Record, Settings, Survey, read_board, read_calipers,
    read_heights, read_parts, read_shop,
};
use outwind::report;
use outwind::shop::Shop;

/// What a bad file may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum May {
    /// Nothing but be refused.
    Refused,
    /// Be read as the good one was, or refused.
    TheSame,
    /// Also be read with less, where the answer says so.
    InPart,
}

/// What a file tells, for comparison, and how much of it there is.
#[derive(Debug, Clone)]
struct Told {
    /// Every number that was read, and what stands beside it.
    content: Vec<String>,
    /// What the command prints: it says how many readings there are, and which are missing.
    printed: String,
    numbers: Vec<f64>,
    /// Whether there is an answer at all; where there is none, what is printed says why.
    answered: bool,
}

type Read = fn(&[u8], &str) -> Result<Told, String>;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
enum Kind {
    Grid,
    Probe,
    Calipers,
    Parts,
    Board,
    Shop,
}

/// Files that are read without a fault; of each kind those that differ most.
const GOOD: [(Kind, Read, &str); 14] = [
    (Kind::Grid, heights, "sample-scans/walnut.csv"),
    (Kind::Grid, heights, "sample-scans/laerche.csv"),
    (
        Kind::Grid,
        heights,
        "tests/data/readings/grid_separator_line.csv",
    ),
    (Kind::Probe, heights, "sample-scans/spruce-taper.csv"),
    (
        Kind::Probe,
        heights,
        "tests/data/readings/probe_millimetres.csv",
    ),
    (Kind::Calipers, calipers, "sample-scans/cherry-calipers.csv"),
    (Kind::Calipers, calipers, "tests/data/readings/calipers.csv"),
    (Kind::Parts, parts, "sample-scans/bench-parts.csv"),
    (Kind::Parts, parts, "sample-scans/rails.csv"),
    (Kind::Board, board, "tests/board-files/walnut.toml"),
    (Kind::Board, board, "sample-scans/oak-bench.toml"),
    (Kind::Board, board, "sample-scans/birke-krone.toml"),
    (Kind::Board, board, "sample-scans/ash-rested.toml"),
    (Kind::Shop, shop, "sample-scans/shop.toml"),
];

/// The faults of a file hold together; as text.
fn refusal(faults: &Faults) -> String {
    assert!(!faults.faults.is_empty());
    for fault in &faults.faults {
        assert!(!fault.wrong.is_empty() && !fault.fix.is_empty(), "{faults}");
        assert!(fault.line.is_none_or(|line| line > 0), "{faults}");
    }
    faults.to_string()
}

fn heights(bytes: &[u8], file: &str) -> Result<Told, String> {
    let read = read_heights(bytes, file, Settings::default()).map_err(|f| refusal(&f))?;
    let Heights {
        up,
        down,
        layout,
        unit,
        step_mm,
    } = read;
    let down = Some(down).filter(|points| !points.is_empty());
    let thickness = if down.is_none() { Some(30.0) } else { None };
    let set = |face, up, layout| HeightSet {
        face,
        turned: false,
        datum: 0,
        frame: None,
        heights: Heights {
            up,
            down: Vec::new(),
            layout,
            unit,
            step_mm,
        },
        error: None,
    };
    let mut sets = vec![set(Face::Up, up, layout)];
    sets.extend(down.map(|points| set(Face::Down, points, Layout::Scattered)));
    answered(Record {
        unit,
        surveys: vec![Survey {
            thickness,
            heights: sets,
            ..Survey::default()
        }],
        ..Record::default()
    })
}

fn calipers(bytes: &[u8], file: &str) -> Result<Told, String> {
    let read = read_calipers(bytes, file, None).map_err(|f| refusal(&f))?;
    let numbers: Vec<f64> = read
        .readings
        .iter()
        .flat_map(|c| [c.x, c.y, c.thickness])
        .collect();
    Ok(Told {
        content: Vec::new(),
        printed: format!("{} readings", read.readings.len()),
        numbers,
        answered: true,
    })
}

fn parts(bytes: &[u8], file: &str) -> Result<Told, String> {
    let read = read_parts(bytes, file, None).map_err(|f| refusal(&f))?;
    let content = |p: &outwind::readings::Part| {
        format!(
            "{} {} {:?} {:?} {} {:?}",
            p.name, p.count, p.from_one_board, p.strips, p.resaw, p.certainty
        )
    };
    Ok(Told {
        content: read.parts.iter().map(content).collect(),
        // The plan for a list names each of its parts.
        printed: format!("{} parts", read.parts.len()),
        numbers: read
            .parts
            .iter()
            .flat_map(|p| [p.length, p.width, p.thickness])
            .collect(),
        answered: true,
    })
}

fn board(bytes: &[u8], file: &str) -> Result<Told, String> {
    let mut no_file = |name: &str| Err(format!("{name}: there is no such file"));
    let record = read_board(bytes, file, None, &mut no_file).map_err(|f| refusal(&f))?;
    answered(record)
}

fn shop(bytes: &[u8], file: &str) -> Result<Told, String> {
    let record = read_shop(bytes, file, None).map_err(|f| refusal(&f))?;
    Ok(Told {
        content: vec![format!("{:?}", Shop::new(&record))],
        printed: String::new(),
        numbers: Vec::new(),
        answered: true,
    })
}

/// What `flatten` says of a board, but for the wood between its readings; every gauge and size as it was read.
fn answered(record: Record) -> Result<Told, String> {
    let explain = |notation| {
        move |errors: Vec<outwind::board::BoardError>| {
            let each = errors.iter().map(|e| e.explain(notation, true));
            each.collect::<Vec<_>>().join("\n")
        }
    };
    let notation = Notation::Millimetres { places: 3 };
    let surveys = record.surveys.len();
    let board = Board::from_record(record, "a board").map_err(explain(notation))?;
    // Without heights all is expected, nothing exact, and that takes long: how many readings there are must do.
    let (printed, answered) = if board.up.is_empty() {
        (format!("{} readings", board.readings()), true)
    } else {
        let question = Question {
            need: None,
            support_spacing: 250.0,
            sizes: Vec::new(),
            expectation: false,
        };
        let answer = Answer::new(&board, &question);
        match &answer.flattening {
            Ok(_) => (report::text(&answer, None, notation), true),
            Err(reason) => (report::unanswerable(*reason, notation), false),
        }
    };
    let numbers = [&board.up, &board.down.heights]
        .into_iter()
        .flatten()
        .flatten()
        .copied()
        .chain(
            board
                .down
                .calipers
                .iter()
                .flat_map(|c| [c.x, c.y, c.thickness]),
        )
        .chain(board.down.thickness)
        .chain([board.outline.length, board.outline.width])
        .collect();
    let gauges = board.gauged.iter().map(|g| format!("{:?}", g.gauge));
    let beside = format!(
        "{:?} {:?} {:?} {:?} {surveys}",
        board.about, board.avoid, board.edges, board.name
    );
    Ok(Told {
        content: gauges.chain([beside]).collect(),
        printed,
        numbers,
        answered,
    })
}

/// The same numbers, but for rounding, and the same beside them.
fn same(a: &Told, b: &Told) -> bool {
    let near = |(x, y): (&f64, &f64)| (x - y).abs() <= 1e-9 * (1.0 + x.abs());
    a.content == b.content
        && a.numbers.len() == b.numbers.len()
        && a.numbers.iter().zip(&b.numbers).all(near)
}

/// Less was read, nothing else, and what is printed tells it from the whole; or there is no answer to either.
fn in_part(part: &Told, whole: &Told) -> bool {
    let told = part.printed != whole.printed || !(part.answered || whole.answered);
    part.numbers.len() < whole.numbers.len() && told
}

/// Puts a bad file into the folder of the environment's `KEEP_MALFORMED`, if it names one: see `.ci/malformed`.
fn keep(kind: Kind, number: usize, bad: &[u8]) {
    let Ok(folder) = env::var("KEEP_MALFORMED") else {
        return;
    };
    let end = if matches!(kind, Kind::Board | Kind::Shop) {
        "toml"
    } else {
        "csv"
    };
    let name = format!("{kind:?}-{number:04}.{end}").to_lowercase();
    fs::write(Path::new(&folder).join(name), bad).unwrap();
}

/// How the ways came out, for one kind of file.
#[derive(Debug, Default)]
struct Tally {
    files: usize,
    refused: usize,
    same: usize,
    in_part: usize,
    longest: (Duration, &'static str),
}

#[test]
fn bad_files_are_refused_or_read_as_what_they_were() {
    let mut tallies: BTreeMap<Kind, Tally> = BTreeMap::new();
    let mut wrong = Vec::new();
    for (at, (kind, read, path)) in GOOD.into_iter().enumerate() {
        let good = fs::read_to_string(path).unwrap();
        let whole = read(good.as_bytes(), path).unwrap();
        let ways: Vec<&Way> = match kind {
            Kind::Board | Kind::Shop => TEXT.iter().chain(&TOML).chain(&CSV).collect(),
            _ => TEXT.iter().chain(&CSV).collect(),
        };
        for way in ways {
            for turn in 0..4_u64 {
                let mut random = Random::new(1000 * at as u64 + turn);
                let Some(bad) = way.make(&good, &mut random) else {
                    continue;
                };
                if bad == good.as_bytes() {
                    continue;
                }
                let tally = tallies.entry(kind).or_default();
                tally.files += 1;
                keep(kind, tally.files, &bad);
                let start = Instant::now();
                let outcome = catch_unwind(|| read(&bad, path));
                tally.longest = tally.longest.max((start.elapsed(), way.name));
                let verdict = match &outcome {
                    Err(_) => Err("a panic".to_owned()),
                    Ok(Ok(told)) if whole.answered && !told.answered => {
                        tally.refused += 1;
                        Ok(May::Refused)
                    }
                    Ok(Err(_)) => {
                        tally.refused += 1;
                        Ok(May::Refused)
                    }
                    Ok(Ok(told)) if same(told, &whole) => {
                        tally.same += 1;
                        Ok(May::TheSame)
                    }
                    Ok(Ok(told)) if in_part(told, &whole) => {
                        tally.in_part += 1;
                        Ok(May::InPart)
                    }
                    Ok(Ok(_)) => Err("read as something else".to_owned()),
                };
                if verdict.clone().is_ok_and(|did| did <= way.may) {
                    continue;
                }
                let text = String::from_utf8_lossy(&bad);
                wrong.push(format!(
                    "{path}, {} ({turn}): {verdict:?}\n{text}",
                    way.name
                ));
            }
        }
    }
    println!("kind      files  refused  as the good one  in part  longest (way)");
    for (kind, t) in &tallies {
        let kind = format!("{kind:?}");
        println!(
            "{kind:<8}  {:>5}  {:>7}  {:>15}  {:>7}  {:.1?} ({})",
            t.files, t.refused, t.same, t.in_part, t.longest.0, t.longest.1
        );
    }
    assert!(
        wrong.is_empty(),
        "{}\n\n{} in all",
        wrong.join("\n\n"),
        wrong.len()
    );
    let files: usize = tallies.values().map(|t| t.files).sum();
    assert!(files >= 300, "{files}");
}

/// Each kind of unit that a file may name is one that the library has: the list of ways stays honest.
#[test]
fn no_made_up_unit_is_one() {
    for name in malformed_ways::NO_UNITS {
        assert_eq!(Unit::named(name), None, "{name}");
    }
}
