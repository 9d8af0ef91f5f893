//! Drawings of plans, curves and comparisons: every text inside the page, none over another, one plan and one curve as they were.

#![allow(clippy::unwrap_used)]

#[allow(dead_code)]
#[path = "common/random.rs"]
mod random;

use std::fs;

use outwind::book::{Actual, Comparison, Content, Entry, Made, Prediction};
use outwind::flatten::{Interval, Shortfall};
use outwind::length::{Notation, Unit};
use outwind::report::{
    AvoidBox, BoardDrawing, CurveDrawing, CurvePoint, CutLine, PieceBox, PlanDrawing,
    compared_drawing, curve_svg, plan_svg,
};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use random::Random;

/// Set to write the drawings anew; then look at them.
const RENEW: &str = "RENEW_DRAWINGS";

/// Mean width of the characters of a common sans-serif face, over its size: Helvetica has 0.556 for figures and most
/// small letters (from memory of its published metrics).
const CHARACTER: f64 = 0.556;

/// A text as it lies on the page.
#[derive(Debug)]
struct Text {
    #[expect(dead_code, reason = "shown where a test fails")]
    text: String,
    x: [f64; 2],
    y: [f64; 2],
}

fn attribute(element: &str, name: &str) -> String {
    let key = format!(" {name}=\"");
    let from = element.find(&key).unwrap() + key.len();
    element[from..].split('"').next().unwrap().to_owned()
}

fn texts(svg: &str) -> Vec<Text> {
    svg.lines()
        .filter(|line| line.starts_with("<text"))
        .map(|line| {
            let number = |name| attribute(line, name).parse::<f64>().unwrap();
            let text = line.split('>').nth(1).unwrap().split('<').next().unwrap();
            let text = text
                .replace("&amp;", "&")
                .replace("&lt;", "<")
                .replace("&gt;", ">");
            let (x, y, size) = (number("x"), number("y"), number("font-size"));
            let width = text.chars().count() as f64 * CHARACTER * size;
            let start = match attribute(line, "text-anchor").as_str() {
                "start" => x,
                "middle" => x - width / 2.0,
                _ => x - width,
            };
            Text {
                text,
                x: [start, start + width],
                y: [y - 0.75 * size, y + 0.2 * size],
            }
        })
        .collect()
}

/// What is wrong with how the texts lie.
fn untidy(svg: &str) -> Vec<String> {
    let view: Vec<f64> = attribute(svg.lines().next().unwrap(), "viewBox")
        .split(' ')
        .map(|number| number.parse().unwrap())
        .collect();
    let texts = texts(svg);
    let apart = |a: [f64; 2], b: [f64; 2]| a[1] <= b[0] || b[1] <= a[0];
    let mut untidy = Vec::new();
    for (at, text) in texts.iter().enumerate() {
        if text.x[0] < 0.0 || text.x[1] > view[2] || text.y[0] < 0.0 || text.y[1] > view[3] {
            untidy.push(format!("off the page: {text:?}"));
        }
        let over = texts[..at]
            .iter()
            .find(|b| !apart(text.x, b.x) && !apart(text.y, b.y));
        untidy.extend(over.map(|other| format!("{text:?} over {other:?}")));
    }
    untidy
}

fn rectangle(length: f64, width: f64) -> Vec<[f64; 2]> {
    vec![[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]]
}

fn piece(from: f64, to: f64, near: f64, far: f64, lines: &[&str]) -> PieceBox {
    let lines = lines.iter().map(|line| (*line).to_owned()).collect();
    PieceBox {
        from,
        to,
        near,
        far,
        lines,
    }
}

fn plan() -> PlanDrawing {
    let crosscut = |x: f64| CutLine {
        from: [x, 0.0],
        to: [x, 190.5],
        kerf: 3.175,
    };
    let boards = vec![
        BoardDrawing {
            name: "rack 3".to_owned(),
            length: "6' 0\"".to_owned(),
            outline: rectangle(1828.8, 190.5),
            avoid: vec![AvoidBox {
                from: [1120.0, 60.0],
                to: [1180.0, 120.0],
                what: "knot".to_owned(),
            }],
            cuts: vec![
                crosscut(3.2),
                crosscut(1070.0),
                crosscut(1200.0),
                CutLine {
                    from: [3.2, 93.0],
                    to: [1070.0, 93.0],
                    kerf: 3.175,
                },
            ],
            pieces: vec![
                piece(
                    20.0,
                    1050.0,
                    5.0,
                    88.0,
                    &["long apron", "15/16 in expected"],
                ),
                piece(
                    20.0,
                    1050.0,
                    101.0,
                    184.0,
                    &["long apron", "7/8 in expected"],
                ),
                piece(
                    1215.0,
                    1445.0,
                    40.0,
                    130.0,
                    &["short apron <1>", "1 in expected"],
                ),
            ],
            distances: [(3.2, "1/8"), (1070.0, "42-1/8"), (1200.0, "47-1/4")]
                .map(|(x, text)| (x, text.to_owned()))
                .to_vec(),
        },
        BoardDrawing {
            name: "slab, live edge".to_owned(),
            length: "3' 1\"".to_owned(),
            outline: vec![
                [0.0, 30.0],
                [400.0, 0.0],
                [940.0, 20.0],
                [940.0, 400.0],
                [500.0, 430.0],
                [0.0, 390.0],
            ],
            cuts: vec![CutLine {
                from: [460.0, 0.0],
                to: [460.0, 430.0],
                kerf: 3.2,
            }],
            pieces: vec![piece(
                15.0,
                445.0,
                40.0,
                370.0,
                &["seat", "1-3/16 in expected", "wanted 1-1/8"],
            )],
            distances: vec![(460.0, "18-1/8".to_owned())],
            ..BoardDrawing::default()
        },
    ];
    PlanDrawing { boards }
}

fn curve() -> CurveDrawing {
    let point = |length: f64| CurvePoint {
        length,
        expected: 30.0 - 2e-6 * length * length,
        low: 29.0 - 2.5e-6 * length * length,
    };
    CurveDrawing {
        title: "rack 3: thickness that survives".to_owned(),
        points: (1..=9).map(|n| point(200.0 * f64::from(n))).collect(),
        lengths: (0..=6)
            .map(|n| (304.8 * f64::from(n), format!("{n} ft")))
            .collect(),
        thicknesses: (0..=5)
            .map(|n| (6.35 * f64::from(n), format!("{n}/4 in")))
            .collect(),
        need: Some((25.4, "1 in".to_owned())),
    }
}

#[test]
fn drawings_are_what_they_were() {
    for (file, svg) in [
        ("plan.svg", plan_svg(&plan())),
        ("curve.svg", curve_svg(&curve())),
    ] {
        let path = format!("tests/drawings/{file}");
        if std::env::var_os(RENEW).is_some() {
            fs::create_dir_all("tests/drawings").unwrap();
            fs::write(&path, &svg).unwrap();
        }
        assert_eq!(
            svg,
            fs::read_to_string(&path).unwrap(),
            "set {RENEW} to write {path} anew"
        );
        assert_eq!(untidy(&svg), Vec::<String>::new());
    }
}

/// The kerf of a cut and the length of a board are to one scale; the drawing says where the width is not.
#[test]
fn lengths_are_to_scale() {
    let svg = plan_svg(&plan());
    let polygons = svg.lines().filter(|line| line.starts_with("<polygon"));
    let spans: Vec<f64> = polygons
        .map(|line| {
            let points = attribute(line, "points");
            let x = points
                .split(' ')
                .map(|p| p.split(',').next().unwrap().parse::<f64>().unwrap());
            let (low, high) = x.fold((f64::INFINITY, 0.0), |(l, h), x| {
                (f64::min(l, x), f64::max(h, x))
            });
            high - low
        })
        .collect();
    let scale = spans[0] / 1828.8;
    // Board, knot, first piece (after four cuts), and the slab's outline; the page is written to 0.01 mm.
    for (at, length) in [(0, 1828.8), (1, 60.0), (6, 1030.0), (9, 940.0)] {
        assert!(
            (spans[at] - length * scale).abs() < 0.021,
            "{at}: {}",
            spans[at]
        );
    }
    assert!(svg.contains("times as large as length") && svg.contains("drawn to scale"));
}

/// A board that is sawn into more pieces than figures fit in a row: they are listed, and numbers stand for names.
#[test]
fn a_crowded_board_is_told_in_lists() {
    let mut board = BoardDrawing {
        outline: rectangle(3000.0, 300.0),
        ..BoardDrawing::default()
    };
    for at in 0..30 {
        let x = 100.0 * f64::from(at);
        let name = format!("slat {at}");
        board
            .pieces
            .push(piece(x, x + 95.0, 0.0, 300.0, &[&name, "1/2 in expected"]));
        board.distances.push((x, format!("{x:.1} mm")));
    }
    let svg = plan_svg(&PlanDrawing {
        boards: vec![board],
    });
    assert_eq!(untidy(&svg), Vec::<String>::new());
    assert!(svg.contains(">30<") && svg.contains(">30: slat 29, 1/2 in expected<"));
    assert!(svg.contains(">from end A: 0.0 mm; 100.0 mm;") && svg.contains("2900.0 mm<"));
}

/// Comparisons of up to sixty pieces, in inches and millimetres.
#[test]
fn texts_of_any_comparison_lie_apart() {
    let mut random = Random::new(6);
    for _ in 0..60 {
        let mut entries = Vec::new();
        for k in 0..random.count(0, 60) as i64 {
            let expected = random.within(8.0, 70.0);
            let half = random.within(0.2, 3.0);
            let interval = Interval {
                expected,
                low: expected - half,
                high: expected + half,
            };
            let contents = [
                Content::Prediction(Prediction {
                    board: format!("board {k}"),
                    piece: None,
                    survey: None,
                    unit: Unit::Inch,
                    plain: interval,
                    stated: interval,
                    shortfall: Shortfall { mean: 0.0, sd: 0.0 },
                    learnt_from: if k < 4 { 0 } else { 4 },
                    rough: None,
                    labels: [None, None, None],
                }),
                Content::Actual(Actual {
                    prediction: 2 * k + 1,
                    thicknesses: vec![expected + half * random.normal()],
                    rounding: 0.1,
                    sure: false,
                }),
            ];
            for content in contents {
                entries.push(Entry {
                    number: entries.len() as i64 + 1,
                    made: Made::default(),
                    undone: None,
                    content,
                });
            }
        }
        let comparison = Comparison::new(&entries);
        for notation in [Notation::default(), Notation::Millimetres { places: 1 }] {
            let svg = compared_drawing(&comparison, notation).svg();
            assert_eq!(untidy(&svg), Vec::<String>::new());
            let dots = svg.matches("<circle").count();
            let inside = comparison
                .pieces
                .iter()
                .filter(|p| p.inside() == Some(true));
            assert_eq!(dots, 2 * inside.count(), "a dot in each half");
        }
    }
}

#[test]
fn text_is_escaped() {
    let svg = plan_svg(&plan());
    assert!(svg.contains("short apron &lt;1&gt;") && !svg.contains("<1>"));
}

#[test]
fn an_overlap_would_be_seen() {
    let svg = plan_svg(&plan());
    let line = svg.lines().find(|line| line.starts_with("<text")).unwrap();
    assert!(!untidy(&svg.replace(line, &format!("{line}\n{line}"))).is_empty());
    assert!(!untidy(&svg.replace(line, &line.replace(" x=\"12", " x=\"290"))).is_empty());
}

/// A board sawn at random: crosscuts, and some sections ripped.
fn board() -> impl Strategy<Value = BoardDrawing> {
    let section = (
        80.0..1500.0_f64,
        proptest::collection::vec(20.0..300.0_f64, 1..4),
    );
    (
        proptest::collection::vec(section, 1..12),
        "[ -~]{0,60}",
        "[a-z ]{1,30}",
    )
        .prop_map(|(sections, name, label)| {
            let width = sections
                .iter()
                .map(|s| s.1.iter().sum::<f64>())
                .fold(0.0, f64::max);
            let length: f64 = sections.iter().map(|s| s.0).sum();
            let mut board = BoardDrawing {
                name,
                length: format!("{length:.0} mm"),
                outline: rectangle(length, width),
                ..BoardDrawing::default()
            };
            let mut x = 0.0;
            for (along, strips) in sections {
                let mut y = 0.0;
                for strip in strips {
                    board.pieces.push(piece(
                        x + 5.0,
                        x + along - 5.0,
                        y + 3.0,
                        y + strip - 3.0,
                        &[&label, "25.4 mm expected"],
                    ));
                    y += strip;
                }
                x += along;
                board.cuts.push(CutLine {
                    from: [x, 0.0],
                    to: [x, width],
                    kerf: 3.2,
                });
                board.distances.push((x, format!("{x:.1} mm")));
            }
            board.avoid.push(AvoidBox {
                from: [0.0, 0.0],
                to: [30.0, 30.0],
                what: "check".to_owned(),
            });
            board
        })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 500,
        rng_seed: RngSeed::Fixed(6),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn texts_of_any_plan_lie_apart(boards in proptest::collection::vec(board(), 1..5)) {
        let svg = plan_svg(&PlanDrawing { boards });
        prop_assert_eq!(untidy(&svg), Vec::<String>::new());
    }
}
