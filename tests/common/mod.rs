//! Boards by formula and by chance, and the outside solver, shared by the tests.
#![allow(dead_code, clippy::unwrap_used)]

pub(crate) mod layouts;
pub(crate) mod plans;
pub(crate) mod random;
pub(crate) mod sample;
pub(crate) mod solver;
pub(crate) mod vector;

use outwind::flatten::{Faces, Flattening, Unanswerable, flatten};
use outwind::readings::Point;
use outwind::surface::form::plane;

/// Heights `f(u, v)` over a grid of `nx` by `ny` places on a rectangle, u and v from −1 to 1.
pub(crate) fn grid(
    length: f64,
    width: f64,
    nx: usize,
    ny: usize,
    f: impl Fn(f64, f64) -> f64,
) -> Vec<Point> {
    let unit = |i: usize, n: usize| {
        if n > 1 {
            2.0 * i as f64 / (n - 1) as f64 - 1.0
        } else {
            0.0
        }
    };
    let mut points = Vec::with_capacity(nx * ny);
    for j in 0..ny {
        for i in 0..nx {
            let (u, v) = (unit(i, nx), unit(j, ny));
            points.push([(u + 1.0) * length / 2.0, (v + 1.0) * width / 2.0, f(u, v)]);
        }
    }
    points
}

/// The same points, lower by `thickness`.
pub(crate) fn lowered(points: &[Point], thickness: f64) -> Vec<Point> {
    points
        .iter()
        .map(|&[x, y, z]| [x, y, z - thickness])
        .collect()
}

/// The mean of all points: near enough to a board's centre of mass for tests that do not turn on it.
pub(crate) fn middle(points: &[&[Point]]) -> Point {
    let count = points.iter().map(|p| p.len()).sum::<usize>() as f64;
    [0, 1, 2].map(|axis| {
        points
            .iter()
            .copied()
            .flatten()
            .map(|p| p[axis])
            .sum::<f64>()
            / count
    })
}

/// Flattens faces with their least-squares normal and their mean as centre of mass.
pub(crate) fn flattened(up: &[Point], down: &[Point]) -> Result<Flattening, Unanswerable> {
    let [_, b, c] = plane(up);
    flatten(&Faces {
        up,
        down,
        normal: [-b, -c, 1.0],
        centre: middle(&[up, down]),
    })
}
