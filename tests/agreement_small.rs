//! As laid and balanced against enumeration of every attitude that can be, on 2,000 small random boards.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use common::random::Random;
use common::vector::{angle, cross, dot, length, range, scaled, sub, turned, unit};
use common::{flattened, middle};
use outwind::flatten::{Flattening, Laying, MOST_LEAN_DEGREES, minimum_zone};
use outwind::readings::{Face, Point};
use outwind::surface::form::plane;

const BOARDS: usize = 2_000;

/// What counts as touching, mm, and how far heights may differ to count as a tie.
const NEAR: f64 = 1e-9;

/// Boards of 4 to 12 points a face at random places, one in three on a grid and rounded to 0.5 mm, so that readings tie.
fn board(seed: u64) -> (Vec<Point>, Vec<Point>) {
    let mut random = Random::new(seed);
    let (long, wide) = (random.within(300.0, 2500.0), random.within(80.0, 400.0));
    let (thick, warp) = (random.within(10.0, 60.0), random.within(0.1, 0.015 * wide));
    let ties = seed.is_multiple_of(3);
    let stations = random.count(2, 4);
    let mut face = |level: f64| -> Vec<Point> {
        let count = if ties {
            3 * stations
        } else {
            random.count(4, 12)
        };
        (0..count)
            .map(|i| {
                let z = level + warp * random.normal();
                if ties {
                    let (column, row) = (i % stations, i / stations);
                    let x = long * column as f64 / (stations - 1) as f64;
                    [x, wide * row as f64 / 2.0, (2.0 * z).round() / 2.0]
                } else {
                    [random.within(0.0, long), random.within(0.0, wide), z]
                }
            })
            .collect()
    };
    (face(0.0), face(-thick))
}

fn own_normal(up: &[Point]) -> Point {
    let [_, b, c] = plane(up);
    unit([-b, -c, 1.0])
}

/// One way to lie still: the height of the centre of mass, and what the attitude leaves.
struct Rest {
    height: f64,
    leaves: f64,
}

/// Every table that three points of a face span, all others above it, the centre of mass over what touches.
fn rests(up: &[Point], down: &[Point], lying: Face, centre: Point, own: Point) -> Vec<Rest> {
    let (face, into) = match lying {
        Face::Down => (down, own),
        Face::Up => (up, scaled(own, -1.0)),
    };
    let mut found = Vec::new();
    for (i, &a) in face.iter().enumerate() {
        for (j, &b) in face.iter().enumerate().skip(i + 1) {
            for &c in &face[j + 1..] {
                let across = cross(sub(b, a), sub(c, a));
                if length(across) < 1e-6 {
                    continue;
                }
                let mut normal = unit(across);
                if dot(normal, into) < 0.0 {
                    normal = scaled(normal, -1.0);
                }
                let over = |p: Point| dot(sub(p, a), normal);
                if angle(normal, into) > 14.0 || face.iter().any(|&p| over(p) < -NEAR) {
                    continue;
                }
                let feet: Vec<Point> = face.iter().copied().filter(|&p| over(p) < NEAR).collect();
                if stands(&feet, normal, centre) {
                    found.push(Rest {
                        height: over(centre),
                        leaves: gap(
                            up,
                            down,
                            if lying == Face::Down {
                                normal
                            } else {
                                scaled(normal, -1.0)
                            },
                        ),
                    });
                }
            }
        }
    }
    found
}

/// Whether the centre stands over the triangle of some three feet.
fn stands(feet: &[Point], normal: Point, centre: Point) -> bool {
    let inside = |a: Point, b: Point, c: Point| {
        let side =
            |p: Point, q: Point| dot(cross(sub(q, p), sub(centre, p)), normal) / length(sub(q, p));
        let sides = [side(a, b), side(b, c), side(c, a)];
        let near = 1e-7;
        sides.iter().all(|s| *s >= -near) || sides.iter().all(|s| *s <= near)
    };
    (0..feet.len()).any(|i| {
        (i + 1..feet.len()).any(|j| (j + 1..feet.len()).any(|k| inside(feet[i], feet[j], feet[k])))
    })
}

fn gap(up: &[Point], down: &[Point], normal: Point) -> f64 {
    range(up, normal).0 - range(down, normal).1
}

fn width(face: &[Point], normal: Point) -> f64 {
    let (low, high) = range(face, normal);
    high - low
}

/// The boards that have an answer, with it.
fn answered() -> impl Iterator<Item = (u64, Vec<Point>, Vec<Point>, Flattening)> {
    (0..)
        .filter_map(|seed| {
            let (up, down) = board(seed);
            let found = flattened(&up, &down).ok()?;
            Some((seed, up, down, found))
        })
        .take(BOARDS)
}

#[test]
fn as_laid_is_the_lowest_of_all_ways_to_lie() {
    let (mut rocking, mut ties, mut falls) = (0, 0, 0);
    let mut worst = 0.0_f64;
    for (seed, up, down, found) in answered() {
        let own = own_normal(&up);
        let centre = middle(&[&up, &down]);
        let ways = [Face::Down, Face::Up].map(|lying| rests(&up, &down, lying, centre, own));
        // What each face leaves when the board lies on it; the least, where heights tie.
        let on_each = ways.each_ref().map(|ways| {
            let lowest = ways.iter().map(|w| w.height).fold(f64::INFINITY, f64::min);
            let as_low = ways.iter().filter(|w| w.height <= lowest + NEAR);
            let leave: Vec<f64> = as_low.map(|w| w.leaves).collect();
            let least = leave.iter().copied().reduce(f64::min);
            if leave.iter().any(|l| l - least.unwrap() > NEAR) {
                ties += 1;
            }
            least
        });
        let expected = on_each
            .into_iter()
            .flatten()
            .reduce(f64::max)
            .unwrap_or_else(|| {
                // It lies still on neither face: all that is left is its own attitude.
                falls += 1;
                gap(&up, &down, own)
            });
        let ours = found.as_laid.gap();
        let off = (ours - expected).abs();
        assert!(off <= NEAR, "board {seed}: {ours}, expected {expected}");
        worst = worst.max(off);

        let on_first = match found.as_laid.first {
            Face::Down => &ways[0],
            Face::Up => &ways[1],
        };
        let other = on_first
            .iter()
            .map(|w| w.leaves)
            .filter(|leaves| (leaves - ours).abs() > NEAR)
            .fold(f64::INFINITY, f64::min);
        if let Some(rocks_to) = &found.rocks_to {
            rocking += 1;
            let same = (rocks_to.gap() - ours).abs() <= NEAR;
            assert!(
                same || (rocks_to.gap() - other).abs() <= NEAR,
                "board {seed}: {rocks_to:?} {other}"
            );
        } else {
            assert_eq!(other, f64::INFINITY, "board {seed} rocks");
        }
    }
    println!(
        "as laid: {BOARDS} boards, {rocking} rock, {ties} tie, {falls} lie still on neither face, worst {worst:e} mm"
    );
}

/// Every attitude that can be a local minimum of the width: square to three points, or to two pairs.
fn attitudes(face: &[Point], own: Point) -> Vec<Point> {
    let n = face.len();
    let mut lines = Vec::new();
    for i in 0..n {
        for j in i + 1..n {
            lines.push(sub(face[j], face[i]));
        }
    }
    let mut found = Vec::new();
    for (i, &a) in lines.iter().enumerate() {
        for &b in &lines[i + 1..] {
            let across = cross(a, b);
            if length(across) > 1e-6 {
                let normal = unit(across);
                let normal = scaled(normal, dot(normal, own).signum());
                found.push(normal);
            }
        }
    }
    found
}

/// Whether no small turn about any axis makes the face narrower.
fn is_local_minimum(face: &[Point], normal: Point) -> bool {
    let least = width(face, normal);
    let side = unit(cross(normal, [0.3, 1.0, 0.2]));
    (0..72).all(|k| {
        let axis = turned(side, normal, 5.0 * f64::from(k));
        [1e-7, 1e-5, 1e-3]
            .iter()
            .all(|&angle| width(face, turned(normal, axis, angle)) >= least - 1e-11)
    })
}

#[test]
fn balanced_cuts_the_face_at_a_local_minimum_of_its_width() {
    let mut narrowest = 0;
    for (seed, up, down, found) in answered() {
        let own = own_normal(&up);
        let Laying { first, normal, .. } = found.balanced;
        let face = match first {
            Face::Up => &up,
            Face::Down => &down,
        };
        let ours = width(face, normal);
        assert!((gap(&up, &down, normal) - found.balanced.gap()).abs() < NEAR);
        assert!(ours <= width(face, own) + NEAR, "board {seed}");
        assert!(is_local_minimum(face, normal), "board {seed}");

        let all = attitudes(face, own);
        let off = all.iter().map(|&n| (width(face, n) - ours).abs());
        let off = off.fold(f64::INFINITY, f64::min);
        assert!(off < NEAR, "board {seed}: {ours} is no attitude's width");
        let mut near = all.iter().filter(|n| angle(**n, own) < MOST_LEAN_DEGREES);
        if near.all(|&n| width(face, n) >= ours - NEAR) {
            narrowest += 1;
        }
        // Either face first, whichever leaves more.
        for (other, points) in [(Face::Up, &up), (Face::Down, &down)] {
            let zone = minimum_zone(points, own).unwrap();
            assert!((zone.width - width(points, zone.normal)).abs() < NEAR);
            assert!(
                found.balanced.gap() >= gap(&up, &down, zone.normal) - NEAR,
                "board {seed}: {other:?} first leaves more"
            );
        }
    }
    println!("balanced: {BOARDS} boards, the narrowest attitude within 10 degrees in {narrowest}");
    assert!(narrowest as f64 >= 0.95 * BOARDS as f64);
}
