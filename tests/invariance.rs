//! What must not change the answer does not, what must lower it never raises it, and no numbers panic.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use std::mem::discriminant;

use common::random::Random;
use common::sample::Sample;
use common::vector::{add, scaled, turned, unit};
use common::{flattened, grid, lowered};
use outwind::flatten::{Faces, Laying, Unanswerable, flatten, minimum_zone, survives_shimmed};
use outwind::readings::{Face, Point};
use outwind::surface::form::plane;
use proptest::prelude::*;
use proptest::test_runner::{RngSeed, TestCaseError};

fn fixed(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(1955),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Any board of the families that have an answer.
fn boards() -> impl Strategy<Value = Sample> {
    (0_u64..1_000_000).prop_map(Sample::new)
}

fn directions() -> impl Strategy<Value = Point> {
    prop::array::uniform3(-1.0..1.0_f64)
        .prop_filter("a direction", |d| common::vector::length(*d) > 0.1)
        .prop_map(unit)
}

/// The board with every point taken elsewhere; directions follow their own rule.
fn changed(
    board: &Sample,
    point: impl Fn(Point) -> Point,
    direction: impl Fn(Point) -> Point,
) -> Sample {
    let over = |points: &[Point]| points.iter().map(|&p| point(p)).collect();
    Sample {
        up: over(&board.up),
        down: over(&board.down),
        normal: direction(board.normal),
        centre: point(board.centre),
        ..board.clone()
    }
}

/// Both boards leave the same in every way of laying, the second in units of which the first's has `unit`; or neither
/// has an answer, for the same reason; or one of them has not, for a reason that is excused.
fn same(
    a: &Sample,
    b: &Sample,
    unit: f64,
    excused: impl Fn(&Unanswerable) -> bool,
) -> Result<(), TestCaseError> {
    let near = 1e-8 * a.thickness;
    match (flatten(&a.faces()), flatten(&b.faces())) {
        (Ok(x), Ok(y)) => {
            for (x, y) in [
                (&x.shimmed, &y.shimmed),
                (&x.balanced, &y.balanced),
                (&x.as_laid, &y.as_laid),
            ] {
                let (x, y, way) = (x.thickness(), y.thickness() / unit, x.way);
                prop_assert!((x - y).abs() <= near, "{}: {way:?} {x} {y}", a.family);
            }
        }
        (Err(x), Err(y)) if discriminant(&x) == discriminant(&y) => {}
        (x, y) => {
            let reasons = [x.as_ref().err(), y.as_ref().err()];
            let excused = reasons.into_iter().flatten().any(excused);
            prop_assert!(excused, "{}: {x:?} {y:?}", a.family);
        }
    }
    Ok(())
}

fn never(_: &Unanswerable) -> bool {
    false
}

proptest! {
    #![proptest_config(fixed(3000))]

    #[test]
    fn a_board_elsewhere(board in boards(), axis in directions(), degrees in -30.0..30.0_f64,
                         offset in prop::array::uniform3(-1e4..1e4_f64)) {
        let turn = |v| turned(v, axis, degrees);
        let moved = changed(&board, |p| add(turn(p), offset), turn);
        // The sides along which faces may be apart are those of the readings' frame, which a turn leaves behind.
        same(&board, &moved, 1.0, |reason| matches!(reason, Unanswerable::Apart { .. }))?;
    }

    #[test]
    fn a_board_in_the_mirror(board in boards(), axis in 0..2_usize) {
        let mirror = |mut v: Point| { v[axis] = -v[axis]; v };
        same(&board, &changed(&board, mirror, mirror), 1.0, never)?;
    }

    #[test]
    fn a_board_in_other_units(board in boards(), unit in prop::sample::select(vec![1e-3, 1.0 / 25.4, 10.0, 100.0])) {
        same(&board, &changed(&board, |p| scaled(p, unit), |n| n), unit, never)?;
    }

    #[test]
    fn a_board_read_in_another_order_and_in_part_twice(board in boards(), seed in 0_u64..1000) {
        let mut random = Random::new(seed);
        let mut other = board.clone();
        for face in [&mut other.up, &mut other.down] {
            for _ in 0..random.count(0, 5) {
                face.push(face[random.count(0, face.len() - 1)]);
            }
            for i in (1..face.len()).rev() {
                face.swap(i, random.count(0, i));
            }
        }
        // Readings taken twice weigh in the mean height that tells which face is up where nothing survives.
        same(&board, &other, 1.0, |reason| matches!(reason, Unanswerable::UpsideDown(_)))?;
    }

    #[test]
    fn a_board_turned_over(board in boards()) {
        let over = |[x, y, z]: Point| [x, -y, -z];
        let turned = changed(&board, over, |n| scaled(over(n), -1.0));
        let swapped = Sample { up: turned.down.clone(), down: turned.up.clone(), ..turned };
        same(&board, &swapped, 1.0, never)?;
    }

    #[test]
    fn a_smaller_piece_is_never_thinner(seed in 0_u64..1_000_000, ends in prop::array::uniform4(0.0..1.0_f64)) {
        let board = Sample::still(seed);
        let inside = |points: &[Point]| -> Vec<Point> {
            let window = |axis: usize, a: f64, b: f64| {
                let high = board.up.iter().map(|p| p[axis]).fold(0.0, f64::max);
                (a.min(b) * high, a.max(b) * high)
            };
            let (along, across) = (window(0, ends[0], ends[1]), window(1, ends[2], ends[3]));
            let keep = |p: &&Point| (along.0..=along.1).contains(&p[0]) && (across.0..=across.1).contains(&p[1]);
            points.iter().filter(keep).copied().collect()
        };
        let piece = Sample { up: inside(&board.up), down: inside(&board.down), ..board.clone() };
        if let (Ok(whole), Ok(part)) = (flatten(&board.faces()), flatten(&piece.faces())) {
            let (whole, part) = (whole.shimmed.thickness(), part.shimmed.thickness());
            prop_assert!(part >= whole - 1e-9 * board.thickness, "{} {whole} {part}", board.family);
        }
    }

    #[test]
    fn shimmed_is_never_below_the_others(board in boards()) {
        if let Ok(found) = flatten(&board.faces()) {
            prop_assert!(found.shimmed.gap() >= found.balanced.gap());
            prop_assert!(found.shimmed.gap() >= found.as_laid.gap());
        }
    }

    #[test]
    fn nothing_of_the_finished_board_sticks_out_of_the_rough_one(board in boards()) {
        if let Ok(found) = flatten(&board.faces()) {
            for laying in [&found.shimmed, &found.balanced, &found.as_laid] {
                for (face, points) in [(Face::Up, &board.up), (Face::Down, &board.down)] {
                    for &p in points {
                        let off = laying.comes_off(face, p);
                        prop_assert!(off >= -1e-10, "{}: {off} {laying:?}", board.family);
                    }
                }
            }
        }
    }
}

/// Any finite number: huge, tiny, subnormal, zero, or one of a few so that points coincide.
fn numbers() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -1e3..1e3_f64,
        2 => prop::sample::select(vec![
            0.0, -0.0, 1.0, -1.0, 25.4, 1e-300, 5e-324, -2.2e-308, 1e150, -1e160, 1e300, -1e300, f64::MAX, f64::MIN,
        ]),
        1 => prop::num::f64::NORMAL | prop::num::f64::SUBNORMAL | prop::num::f64::ZERO,
    ]
}

fn clouds() -> impl Strategy<Value = Vec<Point>> {
    prop::collection::vec(prop::array::uniform3(numbers()), 0..9)
}

proptest! {
    #![proptest_config(fixed(20_000))]

    #[test]
    fn no_numbers_panic(up in clouds(), down in clouds(), normal in prop::array::uniform3(numbers()),
                        centre in prop::array::uniform3(numbers())) {
        let faces = Faces { up: &up, down: &down, normal, centre };
        for answer in [flatten(&faces), flattened(&up, &lowered(&up, 1.0))].into_iter().flatten() {
            let [shimmed, balanced, as_laid] = [&answer.shimmed, &answer.balanced, &answer.as_laid].map(Laying::gap);
            prop_assert!(shimmed >= balanced && shimmed >= as_laid, "{answer:?}");
            prop_assert!(!answer.holding_points.is_empty(), "{answer:?}");
        }
        let _ = survives_shimmed(&faces);
        let _ = minimum_zone(&up, normal);
        let _ = plane(&up);
    }
}

/// A sound board: 2 m by 200 mm, 30 mm thick, bow 3 mm.
fn sound() -> (Vec<Point>, Vec<Point>) {
    let up = grid(2000.0, 200.0, 9, 3, |u, v| {
        3.0 * (1.0 - u * u) + 0.5 * u * v
    });
    let down = lowered(&up, 30.0);
    (up, down)
}

#[test]
fn swapped_faces_are_told() {
    // The distance of two hulls has no sign: swapped, it would read as a board of some 27 mm.
    let (up, down) = sound();
    let by = match flattened(&down, &up) {
        Err(Unanswerable::UpsideDown(by)) => by,
        other => panic!("{other:?}"),
    };
    assert!((by - 30.0).abs() < 0.01, "{by}");
}

#[test]
fn depths_for_heights_are_told() {
    // Depths under one datum are larger where the face is lower: the down face comes to lie over the up face.
    let (up, down) = sound();
    let depth = |points: &[Point]| -> Vec<Point> {
        points.iter().map(|&[x, y, z]| [x, y, 50.0 - z]).collect()
    };
    assert!(matches!(
        flattened(&depth(&up), &depth(&down)),
        Err(Unanswerable::UpsideDown(_))
    ));
}

#[test]
fn scans_of_two_ends_are_told() {
    let (up, down) = sound();
    let from = |points: &[Point], keep: fn(f64) -> bool| -> Vec<Point> {
        points.iter().filter(|p| keep(p[0])).copied().collect()
    };
    let (one_end, other_end) = (from(&up, |x| x < 900.0), from(&down, |x| x > 1100.0));
    assert_eq!(
        flattened(&one_end, &other_end),
        Err(Unanswerable::Apart {
            along: true,
            share: 0.0
        })
    );
    let beside: Vec<Point> = down.iter().map(|&[x, y, z]| [x, y + 150.0, z]).collect();
    let expected = Err(Unanswerable::Apart {
        along: false,
        share: 0.25,
    });
    assert_eq!(flattened(&up, &beside), expected);
}

#[test]
fn a_leaning_gap_is_told() {
    // The widest gap is no board's where its planes stand this steep to the face's own.
    let (up, down) = sound();
    let faces = Faces {
        up: &up,
        down: &down,
        normal: [
            0.0,
            15.0_f64.to_radians().sin(),
            15.0_f64.to_radians().cos(),
        ],
        centre: [1000.0, 100.0, -15.0],
    };
    match flatten(&faces) {
        Err(Unanswerable::Leaning(degrees)) => assert!((degrees - 15.0).abs() < 0.1, "{degrees}"),
        other => panic!("{other:?}"),
    }
}

#[test]
fn an_empty_face_is_told() {
    let (up, down) = sound();
    assert_eq!(
        flattened(&[], &down),
        Err(Unanswerable::NoReadings(Face::Up))
    );
    assert_eq!(
        flattened(&up, &[]),
        Err(Unanswerable::NoReadings(Face::Down))
    );
}
