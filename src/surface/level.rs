//! Heights over other datums, brought to the board's first one.

use super::form::{TERMS, terms};
use super::least_squares::LeastSquares;
use crate::board::{Board, SetUp};
use crate::readings::{Face, Point};

/// The plane of a datum: its height, and its slopes along and across.
const PLANE: usize = 3;

/// The points of a face that were read over other datums, in the frame of the first. `known` are points of the face in
/// that frame already; `beside` those of the face, or of a likely course of it, that tell where the other datums lie:
/// the form of the face and the plane of each datum are fitted together by least squares, and where they leave a
/// plane's slope open the datum is taken to lie level.
#[must_use]
pub(super) fn levelled(board: &Board, face: Face, known: &[Point], beside: &[Point]) -> Vec<Point> {
    let sets: Vec<&SetUp> = board.set_ups.iter().filter(|s| s.face == face).collect();
    if sets.is_empty() {
        return Vec::new();
    }
    let mut datums: Vec<usize> = sets.iter().map(|s| s.datum).collect();
    datums.sort_unstable();
    datums.dedup();
    let beside = if beside.is_empty() { known } else { beside };
    let column =
        |set: &SetUp| TERMS + PLANE * datums.iter().position(|d| *d == set.datum).unwrap_or(0);
    let plane = |x: f64, y: f64| {
        let (u, v) = board.outline.unit_place(x, y);
        [1.0, u, v]
    };
    // Heights that stand out of the down face fall with z.
    let out = |set: &SetUp| if set.turned { -1.0 } else { 1.0 };
    let mut rows = LeastSquares::new(TERMS + PLANE * datums.len());
    let mut row = vec![0.0; TERMS + PLANE * datums.len()];
    for &[x, y, z] in beside {
        row.fill(0.0);
        row[..TERMS].copy_from_slice(&terms(&board.outline, x, y));
        rows.push(&row, z);
    }
    for set in &sets {
        for &[x, y, z] in &set.points {
            row.fill(0.0);
            row[..TERMS].copy_from_slice(&terms(&board.outline, x, y));
            let at = column(set);
            row[at..at + PLANE].copy_from_slice(&plane(x, y));
            rows.push(&row, out(set) * z);
        }
    }
    let fit = rows.solve();
    sets.iter()
        .flat_map(|set| {
            let at = column(set);
            let slopes: Vec<f64> = fit.shortest[at..at + PLANE].to_vec();
            set.points.iter().map(move |&[x, y, z]| {
                let over: f64 = slopes.iter().zip(plane(x, y)).map(|(s, p)| s * p).sum();
                [x, y, out(set) * z - over]
            })
        })
        .collect()
}
