//! Bends, thin spots and faces read in part: named where the readings show them, and only there.

#![allow(clippy::unwrap_used)]

mod common;

use approx::assert_abs_diff_eq;
use common::grid;
use outwind::board::{Board, Down, Outline, Particulars, ReadingErrors, Side};
use outwind::flatten::{Answer, Note, Question, known};
use outwind::length::Length;
use outwind::readings::{Caliper, Face, Point};
use outwind::warp::{Kink, ThinSpot};

const LENGTH: f64 = 2000.0;
const WIDTH: f64 = 200.0;

const OUTLINE: Outline = Outline {
    x0: 0.0,
    y0: 0.0,
    length: LENGTH,
    width: WIDTH,
};

/// Bowed, cupped and in wind, and so much higher at `at` than straight lines from both ends are.
fn bent(at: f64, height: f64) -> Vec<Point> {
    grid(LENGTH, WIDTH, 9, 3, |u, v| {
        let bend = ((1.0 + u) / (1.0 + at)).min((1.0 - u) / (1.0 - at));
        4.0 * (1.0 - u * u) - (1.0 - v * v) + 2.0 * u * v + height * bend
    })
}

#[test]
fn a_bend_is_found_where_it_is_and_as_high_as_it_is() {
    // At stations that were read; off the middle, so that its two sides differ.
    for (at, height) in [
        (-0.5, 3.0),
        (0.5, 3.0),
        (0.0, -4.0),
        (0.75, 6.0),
        (-0.75, -2.0),
    ] {
        let kink = Kink::find(&OUTLINE, &bent(at, height)).unwrap();
        assert_abs_diff_eq!(kink.station, (at + 1.0) * LENGTH / 2.0, epsilon = 1e-6);
        assert_abs_diff_eq!(kink.height, height, epsilon = 1e-6);
    }
}

#[test]
fn what_is_no_bend_is_not_named() {
    assert_eq!(Kink::find(&OUTLINE, &bent(0.5, 0.0)), None);
    // Under a millimetre it is roughness.
    assert_eq!(Kink::find(&OUTLINE, &bent(0.5, 0.9)), None);
    assert!(Kink::find(&OUTLINE, &bent(0.5, 1.1)).is_some());
    // Roughness of 2 mm that no bend explains.
    let rough = |points: Vec<Point>| -> Vec<Point> {
        let off = |(k, [x, y, z]): (usize, Point)| {
            [x, y, z + 2.0 * ((7 * k + 3 * k * k) % 11) as f64 / 5.0]
        };
        points.into_iter().enumerate().map(off).collect()
    };
    assert_eq!(Kink::find(&OUTLINE, &rough(bent(0.5, 1.5))), None);
    // Too few readings to tell one from the form.
    let few: Vec<Point> = bent(0.5, 3.0).into_iter().take(9).collect();
    assert_eq!(Kink::find(&OUTLINE, &few), None);
}

/// A board whose thickness was read by caliper at `stations` along both edges; `error` is the caliper's.
fn calipered(stations: usize, error: f64, thickness: impl Fn(f64, f64) -> f64) -> Board {
    let calipers = grid(LENGTH, WIDTH, stations, 2, &thickness);
    Board::new(Particulars {
        up: grid(LENGTH, WIDTH, 7, 3, |u, _| 3.0 * (1.0 - u * u)),
        down: Down {
            calipers: calipers
                .into_iter()
                .map(|[x, y, thickness]| Caliper { x, y, thickness })
                .collect(),
            ..Down::default()
        },
        errors: ReadingErrors {
            caliper: error,
            ..ReadingErrors::default()
        },
        ..Particulars::default()
    })
    .unwrap()
}

fn thin_spot(board: &Board) -> Option<ThinSpot> {
    ThinSpot::find(&board.outline, &known(board).unwrap())
}

/// 2 mm thinner about one place of an edge, on a board that tapers.
fn dip(u: f64, v: f64) -> f64 {
    let away = ((u - 0.4) / 0.25).powi(2) + (v - 1.0).powi(2);
    40.0 - u - 2.0 * (-0.5 * away).exp()
}

#[test]
fn a_thin_spot_is_named_where_it_is() {
    let spot = thin_spot(&calipered(11, 0.1, dip)).unwrap();
    assert_abs_diff_eq!(spot.place[0], 1400.0, epsilon = 150.0);
    assert!(spot.place[1] > 120.0, "{spot:?}");
    assert!((1.0..2.3).contains(&spot.by), "{spot:?}");
}

#[test]
fn no_thin_spot_is_named_of_a_taper_or_of_what_is_hardly_known() {
    let taper = |u: f64, _: f64| 40.0 - 3.0 * u;
    assert_eq!(thin_spot(&calipered(11, 0.1, taper)), None);
    // Sure by a good caliper, not by one that is off by half a millimetre.
    assert_eq!(thin_spot(&calipered(11, 0.5, dip)), None);
}

fn answer(up: Vec<Point>, down: Vec<Point>) -> Answer {
    let board = Board::new(Particulars {
        up,
        down: Down {
            heights: down,
            ..Down::default()
        },
        ..Particulars::default()
    })
    .unwrap();
    let question = Question {
        need: Some(Length::from_mm(20.0)),
        support_spacing: 1800.0,
        sizes: Vec::new(),
        expectation: false,
    };
    Answer::new(&board, &question)
}

#[test]
fn a_face_that_was_read_in_part_is_named_with_its_share() {
    let face = |to: f64, below: f64| -> Vec<Point> {
        let points = grid(LENGTH * to, WIDTH, 7, 3, |u, v| 0.5 * u * v - below);
        points.into_iter().collect()
    };
    let in_part = |up: f64, down: f64| -> Vec<(Face, Side, f64)> {
        let answer = answer(face(up, 0.0), face(down, 40.0));
        let told = answer.notes.iter().filter_map(|note| match *note {
            Note::ReadInPart(face, side, share) => Some((face, side, share)),
            _ => None,
        });
        told.collect()
    };
    assert_eq!(in_part(1.0, 1.0), []);
    let [(face, side, share)] = in_part(1.0, 0.6)[..] else {
        panic!("one face is read in part");
    };
    assert_eq!((face, side), (Face::Down, Side::Length));
    assert_abs_diff_eq!(share, 0.6, epsilon = 1e-9);
    let [(face, side, share)] = in_part(0.7, 1.0)[..] else {
        panic!("one face is read in part");
    };
    assert_eq!((face, side), (Face::Up, Side::Length));
    assert_abs_diff_eq!(share, 0.7, epsilon = 1e-9);
}
