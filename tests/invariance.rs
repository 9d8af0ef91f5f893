//! What must not change the answer, and what must be refused.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use common::random::{Dice, board};
use common::solver::{frame, seen_from};
use common::{flattened, grid, lowered, middle};
use outwind::flatten::{Faces, Flattening, Unanswerable, flatten};
use outwind::readings::{Face, Point};
use outwind::surface::form::plane;
use proptest::prelude::*;

const BOARDS: u64 = 2_000;

struct Posed {
    up: Vec<Point>,
    down: Vec<Point>,
    normal: [f64; 3],
    centre: Point,
}

impl Posed {
    fn new(up: Vec<Point>, down: Vec<Point>) -> Self {
        let [_, b, c] = plane(&up);
        let centre = middle(&[&up, &down]);
        Self {
            up,
            down,
            normal: [-b, -c, 1.0],
            centre,
        }
    }

    /// The board carried along by a map of points and one of directions.
    fn moved(
        &self,
        point: impl Fn(Point) -> Point,
        direction: impl Fn([f64; 3]) -> [f64; 3],
    ) -> Self {
        Self {
            up: self.up.iter().map(|p| point(*p)).collect(),
            down: self.down.iter().map(|p| point(*p)).collect(),
            normal: direction(self.normal),
            centre: point(self.centre),
        }
    }

    fn flatten(&self) -> Result<Flattening, Unanswerable> {
        flatten(&Faces {
            up: &self.up,
            down: &self.down,
            normal: self.normal,
            centre: self.centre,
        })
    }
}

fn thicknesses(found: &Flattening) -> [f64; 3] {
    [&found.shimmed, &found.balanced, &found.as_laid].map(outwind::flatten::Laying::thickness)
}

/// All random boards that have an answer, with it.
fn boards() -> impl Iterator<Item = (u64, Posed, Flattening)> {
    (0..BOARDS).filter_map(|seed| {
        let random = board(seed);
        let posed = Posed::new(random.up, random.down);
        posed.flatten().ok().map(|found| (seed, posed, found))
    })
}

fn same(seed: u64, what: &str, before: &Flattening, after: &Flattening, scale: f64, which: usize) {
    let (before, after) = (thicknesses(before), thicknesses(after));
    for k in 0..which {
        let (a, b) = (before[k] * scale, after[k]);
        assert!(
            (a - b).abs() <= 1e-7 * (1.0 + a),
            "board {seed}, {what}, way {k}: {a} became {b}"
        );
    }
}

#[test]
fn carrying_a_board_about_changes_nothing() {
    let mut count = 0;
    for (seed, posed, found) in boards() {
        let dice = &mut Dice(seed);
        let lean = dice.between(0.0, 0.5);
        let turn = frame([lean.sin(), lean.sin() * 0.3, lean.cos()]);
        let by = [0, 1, 2].map(|_| dice.between(-1e4, 1e4));
        let carried = posed.moved(
            |p| {
                let q = seen_from(&turn, p);
                [q[0] + by[0], q[1] + by[1], q[2] + by[2]]
            },
            |n| seen_from(&turn, n),
        );
        // Where two ways of lying are equally low, rounding may choose the other: shimmed and balanced are compared.
        match carried.flatten() {
            Ok(after) => same(seed, "carried", &found, &after, 1.0, 2),
            // How far the faces lie over each other is told along the datum's axes, which a turned board leaves.
            Err(Unanswerable::Apart { share, .. }) if share > 0.4 => continue,
            Err(reason) => panic!("board {seed}: {reason:?}"),
        }
        count += 1;
    }
    println!("{count} boards carried");
    assert!(count > BOARDS as usize * 9 / 10);
}

#[test]
fn mirrors_units_and_repeats_change_nothing() {
    for (seed, posed, found) in boards() {
        let mirrored = posed.moved(|[x, y, z]| [-x, y, z], |[x, y, z]| [-x, y, z]);
        same(
            seed,
            "mirrored",
            &found,
            &mirrored.flatten().unwrap(),
            1.0,
            2,
        );
        let inches = posed.moved(|p| p.map(|c| c / 25.4), |n| n);
        same(
            seed,
            "in inches",
            &found,
            &inches.flatten().unwrap(),
            1.0 / 25.4,
            2,
        );
        let mut repeated = posed.moved(|p| p, |n| n);
        repeated.up.extend_from_within(..);
        repeated.down.extend_from_within(..);
        repeated.up.reverse();
        same(
            seed,
            "repeated",
            &found,
            &repeated.flatten().unwrap(),
            1.0,
            2,
        );
        // Turned over: up becomes down.
        let over = |[x, y, z]: [f64; 3]| [x, -y, -z];
        let turned = Posed {
            up: posed.down.iter().map(|p| over(*p)).collect(),
            down: posed.up.iter().map(|p| over(*p)).collect(),
            normal: over(posed.normal.map(|c| -c)),
            centre: over(posed.centre),
        };
        same(
            seed,
            "turned over",
            &found,
            &turned.flatten().unwrap(),
            1.0,
            2,
        );
    }
}

#[test]
fn a_smaller_window_is_never_thinner() {
    let mut windows = 0;
    for (seed, posed, found) in boards() {
        let dice = &mut Dice(seed);
        let keep: Vec<bool> = (0..posed.up.len()).map(|_| dice.share() < 0.7).collect();
        if posed.up.len() != posed.down.len() || keep.iter().filter(|k| **k).count() < 3 {
            continue;
        }
        let part = |points: &[Point]| -> Vec<Point> {
            points
                .iter()
                .zip(&keep)
                .filter(|(_, k)| **k)
                .map(|(p, _)| *p)
                .collect()
        };
        let smaller = Posed {
            up: part(&posed.up),
            down: part(&posed.down),
            ..posed
        };
        if let Ok(smaller) = smaller.flatten() {
            windows += 1;
            let (whole, part) = (found.shimmed.thickness(), smaller.shimmed.thickness());
            assert!(
                part >= whole - 1e-9 * (1.0 + whole),
                "board {seed}: {whole} became {part}"
            );
        }
    }
    println!("{windows} windows");
    assert!(windows > 1000);
}

#[test]
fn shimmed_is_never_below_the_others_and_every_answer_is_proven() {
    for (seed, posed, found) in boards() {
        let [shimmed, balanced, as_laid] = thicknesses(&found);
        assert!(
            shimmed >= balanced && shimmed >= as_laid,
            "board {seed}: {shimmed} {balanced} {as_laid}"
        );
        assert!(
            found.slack <= 1e-9 * (1.0 + shimmed),
            "board {seed}: slack {}",
            found.slack
        );
        // Nothing of the finished board sticks out of the rough one.
        for (face, points) in [(Face::Up, &posed.up), (Face::Down, &posed.down)] {
            for laying in [&found.shimmed, &found.balanced, &found.as_laid] {
                for p in points {
                    assert!(
                        laying.comes_off(face, *p) >= -1e-7,
                        "board {seed}: {laying:?}"
                    );
                }
            }
        }
    }
}

#[test]
fn as_laid_is_what_trying_every_three_feet_finds() {
    let mut compared = 0;
    for (seed, posed, found) in boards() {
        if posed.up.len() > 16 || posed.down.len() > 16 {
            continue;
        }
        // What the lowest way on each face leaves; several, where ways are equally low within rounding.
        let lowest_leave = |face: &[Point], into: Point| -> Vec<f64> {
            let rests = lowest_rests(face, posed.centre, into);
            rests
                .iter()
                .filter(|(height, _)| height - rests[0].0 < 1e-9 * (1.0 + rests[0].0.abs()))
                .map(|(_, n)| gap(&posed.up, &posed.down, *n, posed.normal))
                .collect()
        };
        let on_down = lowest_leave(&posed.down, posed.normal);
        let on_up = lowest_leave(&posed.up, posed.normal.map(|c| -c));
        let on_either: Vec<f64> = match (on_down.is_empty(), on_up.is_empty()) {
            (false, false) => on_down
                .iter()
                .flat_map(|a| on_up.iter().map(move |b| a.max(*b)))
                .collect(),
            _ => [on_down, on_up].concat(),
        };
        if on_either.is_empty() {
            continue;
        }
        compared += 1;
        let ours = found.as_laid.gap();
        assert!(
            on_either
                .iter()
                .any(|b| (b - ours).abs() <= 1e-7 * (1.0 + ours.abs())),
            "board {seed}: ours {ours}, by trial {on_either:?}"
        );
    }
    println!("{compared} boards laid by trial");
    assert!(compared > 300);
}

fn sub(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn dot(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Point, b: Point) -> Point {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn gap(up: &[Point], down: &[Point], n: Point, into: Point) -> f64 {
    let n = if dot(n, into) * into[2].signum() < 0.0 {
        n.map(|c| -c)
    } else {
        n
    };
    let low = up.iter().map(|p| dot(n, *p)).fold(f64::INFINITY, f64::min);
    let high = down
        .iter()
        .map(|p| dot(n, *p))
        .fold(f64::NEG_INFINITY, f64::max);
    low - high
}

/// Every stable way to lie on three points of a face: height of the centre and normal into the wood, lowest first.
fn lowest_rests(face: &[Point], centre: Point, into: Point) -> Vec<(f64, Point)> {
    let mut found = Vec::new();
    let extent = face
        .iter()
        .map(|p| sub(*p, face[0]))
        .map(|d| dot(d, d).sqrt())
        .fold(0.0, f64::max);
    for i in 0..face.len() {
        for j in 0..i {
            for k in 0..j {
                let (a, b, c) = (face[i], face[j], face[k]);
                let n = cross(sub(b, a), sub(c, a));
                let size = dot(n, n).sqrt();
                if size < 1e-6 * extent * extent {
                    continue;
                }
                let n = n.map(|x| x / size * dot(n, into).signum());
                // Within a quarter of a right angle of the face's own plane, everything on the wood's side, and the
                // centre over the triangle.
                if dot(n, into) / dot(into, into).sqrt() < 0.97
                    || face.iter().any(|p| dot(n, sub(*p, a)) < -1e-9 * extent)
                {
                    continue;
                }
                let turn = |p: Point, q: Point| dot(n, cross(sub(q, p), sub(centre, p)));
                let sides = [turn(a, b), turn(b, c), turn(c, a)];
                let over = sides.iter().all(|s| *s >= -1e-9 * extent)
                    || sides.iter().all(|s| *s <= 1e-9 * extent);
                if over {
                    found.push((dot(n, sub(centre, a)), n));
                }
            }
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
}

// ---- The traps of a distance: it has neither sign nor direction ----

fn warped() -> Vec<Point> {
    grid(2000.0, 200.0, 7, 3, |u, v| {
        4.0 * (1.0 - u * u) - (1.0 - v * v) + 2.0 * u * v
    })
}

#[test]
fn swapped_faces_are_refused() {
    let up = warped();
    let found = flattened(&lowered(&up, 40.0), &up);
    assert!(
        matches!(found, Err(Unanswerable::UpsideDown(by)) if (by - 40.0).abs() < 1.0),
        "{found:?}"
    );
}

#[test]
fn depths_taken_for_heights_are_refused() {
    let up = warped();
    let depth = |points: &[Point]| {
        points
            .iter()
            .map(|&[x, y, z]| [x, y, 100.0 - z])
            .collect::<Vec<_>>()
    };
    let found = flattened(&depth(&up), &depth(&lowered(&up, 40.0)));
    assert!(
        matches!(found, Err(Unanswerable::UpsideDown(_))),
        "{found:?}"
    );
}

#[test]
fn scans_of_two_ends_are_refused() {
    let up = warped();
    let beside: Vec<Point> = lowered(&up, 40.0)
        .iter()
        .map(|&[x, y, z]| [x + 1900.0, y, z])
        .collect();
    let found = flattened(&up, &beside);
    assert!(
        matches!(found, Err(Unanswerable::Apart { along: true, share }) if share < 0.06),
        "{found:?}"
    );
}

#[test]
fn a_leaning_gap_is_refused() {
    // Level faces of a board that is said to lean by 22 degrees.
    let up = grid(100.0, 100.0, 2, 2, |_, _| 0.0);
    let tilted = Faces {
        up: &up,
        down: &lowered(&up, 40.0),
        normal: [0.4, 0.0, 1.0],
        centre: [50.0, 50.0, -20.0],
    };
    assert!(matches!(flatten(&tilted), Err(Unanswerable::Leaning(d)) if (d - 21.8).abs() < 0.1));
}

#[test]
fn an_unread_face_is_refused() {
    let up = warped();
    assert_eq!(
        flattened(&up, &[]).unwrap_err(),
        Unanswerable::NoReadings(Face::Down)
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, failure_persistence: None, rng_seed: proptest::test_runner::RngSeed::Fixed(11), ..ProptestConfig::default() })]

    #[test]
    fn any_finite_numbers_have_an_answer_or_a_reason(
        up in proptest::collection::vec(point(), 1..12),
        down in proptest::collection::vec(point(), 1..12),
    ) {
        if let Ok(found) = flattened(&up, &down) {
            let [shimmed, balanced, as_laid] = thicknesses(&found);
            prop_assert!(shimmed >= balanced && shimmed >= as_laid || shimmed.is_nan());
            prop_assert!(!found.holding_points.is_empty());
        }
    }
}

fn point() -> impl Strategy<Value = Point> {
    let number = || {
        prop_oneof![
            4 => -3.0..3.0_f64,
            4 => -2000.0..2000.0_f64,
            1 => Just(0.0),
            1 => prop::num::f64::NORMAL | prop::num::f64::SUBNORMAL,
        ]
    };
    [number(), number(), number()]
}
