//! Both faces of a board as seen from its finished planes, over places spread within its edges: what a picture shows.

use super::expect::known;
use super::{Laying, NoExpectation};
use crate::board::{Board, Outline};
use crate::readings::{Edge, Face, Point};
use crate::surface::{Edges, Known, ReadFaces};

/// Both faces over a grid of places from end to end and edge to edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Relief {
    /// Number of places along the length.
    pub stations: usize,
    /// Number of places across the width.
    pub positions: usize,
    /// The places, station by station from end A, at each from the near to the far edge.
    pub places: Vec<Place>,
    /// What the faces stand on.
    pub basis: ReliefBasis,
}

/// One place of both faces, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Where, in the coordinates of the readings.
    pub at: [f64; 2],
    /// How far the up face stands out of the finished up face; negative where it falls short of it.
    pub off_up: f64,
    /// How far the down face stands out of the finished down face.
    pub off_down: f64,
    /// How far the up face may lie off this height, nine times in ten; `None` where that is not known.
    pub unsure: Option<f64>,
}

/// What the faces of a [`Relief`] stand on.
#[derive(Debug, Clone, PartialEq)]
pub enum ReliefBasis {
    /// The expected course of both faces.
    Expected,
    /// The mean of the readings round each place, since nothing is expected of this board.
    Readings(NoExpectation),
}

/// A cell is about this long and wide at most, mm.
const CELL: f64 = 15.0;

/// Places along and across, at least and at most.
const ALONG: [usize; 2] = [33, 129];
const ACROSS: [usize; 2] = [9, 33];

/// Uncertainty is asked of every so-manieth place along and across only, since it changes slowly.
const SPARSE: [usize; 2] = [8, 4];

/// In a normal distribution, 90 % lies within so many standard deviations (NIST/SEMATECH e-Handbook of Statistical
/// Methods, 1.3.6.7.1).
const NINE_IN_TEN: f64 = 1.645;

impl Relief {
    /// The faces of a board beside the planes of a laying; `None` where nothing is known of their shape.
    #[must_use]
    pub fn new(board: &Board, laying: &Laying) -> Option<Self> {
        let [stations, positions] = counts(&board.outline);
        let spots = spots(board, [stations, positions]);
        let off = |face: Face, [x, y]: [f64; 2], z: f64| laying.comes_off(face, [x, y, z]);
        let (heights, unsure, basis) = match known(board) {
            Ok(known) => {
                let unsure = unsure(&known, &spots, [stations, positions]);
                (
                    expected(board, &known, &spots),
                    Some(unsure),
                    ReliefBasis::Expected,
                )
            }
            Err(reason) => {
                let read = ReadFaces::new(board)?;
                (
                    as_read(&read, &spots, [stations, positions]),
                    None,
                    ReliefBasis::Readings(reason),
                )
            }
        };
        let places = spots
            .iter()
            .zip(heights)
            .enumerate()
            .map(|(k, (&at, [up, down]))| Place {
                at,
                off_up: off(Face::Up, at, up),
                off_down: off(Face::Down, at, down),
                unsure: unsure.as_ref().map(|unsure| unsure[k]),
            })
            .collect();
        Some(Self {
            stations,
            positions,
            places,
            basis,
        })
    }

    /// The place at a station and position by their numbers.
    #[must_use]
    pub fn place(&self, station: usize, position: usize) -> &Place {
        &self.places[station * self.positions + position]
    }
}

/// Odd numbers of places, so that the middle is one.
fn counts(outline: &Outline) -> [usize; 2] {
    let count = |extent: f64, step: [usize; 2], sparse: usize| {
        let cells = (extent / CELL).ceil().max(0.0) as usize;
        let most = cells.clamp(step[0] - 1, step[1] - 1);
        most.div_ceil(sparse) * sparse + 1
    };
    [
        count(outline.length, ALONG, SPARSE[0]),
        count(outline.width, ACROSS, SPARSE[1]),
    ]
}

/// Places within the edges, station by station.
fn spots(board: &Board, [stations, positions]: [usize; 2]) -> Vec<[f64; 2]> {
    let edges = Edges::new(board).and_then(Result::ok);
    let course = edges.as_ref().map(Edges::course);
    let unit = |k: usize, n: usize| 2.0 * k as f64 / (n - 1) as f64 - 1.0;
    let middle = board.outline.place(0.0, 0.0);
    let sides = |x: f64| match &course {
        Some(course) => [Edge::Near, Edge::Far].map(|edge| course(edge, x)),
        None => [board.outline.y0, board.outline.y0 + board.outline.width],
    };
    // Strings tell the edges' shape, but not where across the board they lie.
    let aside = if board.edges.is_empty() {
        let [near, far] = sides(middle.0);
        middle.1 - (near + far) / 2.0
    } else {
        0.0
    };
    (0..stations)
        .flat_map(|i| {
            let x = board.outline.place(unit(i, stations), 0.0).0;
            let [near, far] = sides(x).map(|y| y + aside);
            (0..positions).map(move |j| {
                let share = j as f64 / (positions - 1) as f64;
                [x, near + share * (far - near)]
            })
        })
        .collect()
}

/// The expected heights of both faces over the datum of the readings.
fn expected(board: &Board, known: &Known, spots: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let course = known.estimate.course();
    // Of a board without heights the planes lie in the frame of the estimate itself.
    let level = match ReadFaces::new(board) {
        None => 0.0,
        Some(_) if !board.up.is_empty() => known.observed.level,
        Some(read) => {
            let points = read.course(Face::Up);
            let over = |&[x, y, z]: &Point| z - course.height(Face::Up, x, y);
            points.iter().map(over).sum::<f64>() / points.len() as f64
        }
    };
    spots
        .iter()
        .map(|&[x, y]| [Face::Up, Face::Down].map(|face| course.height(face, x, y) + level))
        .collect()
}

/// The mean of the readings nearest each place; where there are none, what its neighbours tell.
fn as_read(
    read: &ReadFaces<'_>,
    spots: &[[f64; 2]],
    [stations, positions]: [usize; 2],
) -> Vec<[f64; 2]> {
    let mean = |face: Face| {
        let points = read.course(face);
        let mut sums = vec![(0.0, 0usize); spots.len()];
        for &[x, y, z] in points {
            let i = nearest(stations, |i| spots[i * positions][0], x);
            let j = nearest(positions, |j| spots[i * positions + j][1], y);
            let (sum, count) = &mut sums[i * positions + j];
            *sum += z;
            *count += 1;
        }
        let thin = thinned(points);
        sums.iter()
            .zip(spots)
            .map(|(&(sum, count), &[x, y])| {
                if count > 0 {
                    sum / count as f64
                } else {
                    near_mean(&thin, x, y)
                }
            })
            .collect::<Vec<f64>>()
    };
    let (up, down) = (mean(Face::Up), mean(Face::Down));
    up.into_iter().zip(down).map(|(u, d)| [u, d]).collect()
}

/// The index, of evenly spaced places, nearest a value.
fn nearest(count: usize, place: impl Fn(usize) -> f64, value: f64) -> usize {
    let (first, last) = (place(0), place(count - 1));
    let share = if last > first {
        (value - first) / (last - first)
    } else {
        0.0
    };
    (share * (count - 1) as f64)
        .round()
        .clamp(0.0, (count - 1) as f64) as usize
}

/// At most some thousand points, evenly picked.
fn thinned(points: &[Point]) -> Vec<Point> {
    let every = points.len().div_ceil(2000).max(1);
    points.iter().step_by(every).copied().collect()
}

/// The mean of points weighted by the inverse fourth power of their distance.
fn near_mean(points: &[Point], x: f64, y: f64) -> f64 {
    let (mut weights, mut sum) = (0.0, 0.0);
    for &[px, py, z] in points {
        let weight = ((px - x).powi(2) + (py - y).powi(2)).max(1e-12).powi(-2);
        weights += weight;
        sum += weight * z;
    }
    if weights > 0.0 { sum / weights } else { 0.0 }
}

/// Half the 90 % interval of the up face at every place, linear between places that were asked.
fn unsure(known: &Known, spots: &[[f64; 2]], [stations, positions]: [usize; 2]) -> Vec<f64> {
    let [long, wide] = SPARSE;
    let across = (positions - 1) / wide + 1;
    let asked: Vec<f64> = (0..stations)
        .step_by(long)
        .flat_map(|i| (0..positions).step_by(wide).map(move |j| (i, j)))
        .map(|(i, j)| {
            let [x, y] = spots[i * positions + j];
            NINE_IN_TEN * known.estimate.sd(Face::Up, x, y)
        })
        .collect();
    let at = |i: usize, j: usize| asked[i * across + j];
    let between = |a: f64, b: f64, share: f64| a + share * (b - a);
    (0..stations * positions)
        .map(|k| {
            let (i, j) = (k / positions, k % positions);
            let (p, q) = (
                (i / long).min((stations - 1) / long - 1),
                (j / wide).min(across - 2),
            );
            let (s, t) = (
                (i - p * long) as f64 / long as f64,
                (j - q * wide) as f64 / wide as f64,
            );
            let near = between(at(p, q), at(p + 1, q), s);
            let far = between(at(p, q + 1), at(p + 1, q + 1), s);
            between(near, far, t)
        })
        .collect()
}
