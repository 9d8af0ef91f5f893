//! A smallest set of readings that fixes the answer.

use parry3d_f64::math::Vector;

use super::cloud::{Cloud, Moved};
use super::separation::{Pair, Separation, separate};
use super::touching::TOUCH;

/// Readings tried on each face: those that hold the planes nearest to where the shortest line runs.
const CANDIDATES: usize = 8;

/// A smallest set of points above and below whose hulls are as far apart as all of them: four at most where a
/// gap of this normal and width keeps the faces apart (E. Helly's theorem, for planes in space), five where they
/// meet (P. Kirchberger, Mathematische Annalen 57, 1903). `pairs` are those of the separation.
pub(crate) fn holding_points(
    above: &Cloud<'_>,
    below: &Cloud<'_>,
    normal: Vector,
    width: f64,
    pairs: &[Pair],
) -> (Vec<Vector>, Vec<Vector>) {
    let seeds_above: Vec<Vector> = pairs.iter().map(|p| p.above).collect();
    let seeds_below: Vec<Vector> = pairs.iter().map(|p| p.below).collect();
    let (candidates_above, candidates_below) = if width > 0.0 {
        let line = middle(&seeds_above);
        (
            nearest_touching(above, -normal, &seeds_above, line),
            nearest_touching(below, normal, &seeds_below, line),
        )
    } else {
        (distinct(&seeds_above), distinct(&seeds_below))
    };
    let tolerance = 1e-10 * width + 1e-12 * above.extent().max(below.extent());
    for size in 2..=5 {
        for count_above in 1..size {
            for some_above in subsets(&candidates_above, count_above) {
                for some_below in subsets(&candidates_below, size - count_above) {
                    if hold(&some_above, &some_below, normal, width, tolerance) {
                        return (some_above, some_below);
                    }
                }
            }
        }
    }
    (distinct(&seeds_above), distinct(&seeds_below))
}

/// Whether these points alone keep the gap from being wider.
fn hold(above: &[Vector], below: &[Vector], normal: Vector, width: f64, tolerance: f64) -> bool {
    let points = |list: &[Vector]| list.iter().map(Vector::to_array).collect::<Vec<_>>();
    let (up, down) = (points(above), points(below));
    let (up, down) = (Cloud::new(&up), Cloud::new(&down));
    let still = |cloud| Moved {
        cloud,
        by: Vector::ZERO,
    };
    match separate(&still(&up), &still(&down), normal) {
        Separation::Meet(_) => width <= 0.0,
        Separation::Apart(gap) => gap.width <= width + tolerance,
    }
}

/// The points that touch the plane, at most `CANDIDATES`: the seeds, then those nearest to the line.
fn nearest_touching(
    cloud: &Cloud<'_>,
    direction: Vector,
    seeds: &[Vector],
    line: Vector,
) -> Vec<Vector> {
    let near = TOUCH * cloud.extent();
    let (top, _) = cloud.furthest(direction);
    let aside = |p: &Vector| (*p - line).cross(direction).length();
    let mut touching: Vec<Vector> = cloud
        .iter()
        .filter(|p| (top - *p).dot(direction) <= near)
        .collect();
    touching.sort_by(|a, b| aside(a).total_cmp(&aside(b)));
    touching.dedup();
    touching.truncate(CANDIDATES);
    let mut candidates = distinct(seeds);
    for point in touching {
        if candidates.len() < CANDIDATES && !candidates.contains(&point) {
            candidates.push(point);
        }
    }
    candidates
}

fn distinct(points: &[Vector]) -> Vec<Vector> {
    points.iter().fold(Vec::new(), |mut list, p| {
        if !list.contains(p) {
            list.push(*p);
        }
        list
    })
}

fn middle(points: &[Vector]) -> Vector {
    points.iter().sum::<Vector>() / points.len().max(1) as f64
}

/// Every choice of `count` of the points.
fn subsets(points: &[Vector], count: usize) -> Vec<Vec<Vector>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    (0..points.len())
        .flat_map(|i| {
            subsets(&points[i + 1..], count - 1)
                .into_iter()
                .map(move |mut rest| {
                    rest.insert(0, points[i]);
                    rest
                })
        })
        .collect()
}
