//! Draws of both faces of a board, asked for any window of them.

use super::window::Window;
use crate::board::Outline;
use crate::flatten::Shortfall;
use crate::readings::Point;
use crate::shop::Movement;
use crate::surface::estimate::{Estimate, Faces, halton_normal};

/// Curvatures along and across that movement adds in one draw, 1/mm: a bow b of length l is one of 8 b / l².
fn curvatures(movement: Movement, draw: usize) -> [f64; 2] {
    [(movement.bow, 1000.0_f64, 0), (movement.cup, 200.0, 1)]
        .map(|(sd, over, which)| 8.0 * sd / (over * over) * halton_normal(draw, which))
}

/// The dimension of Halton's sequence that losses run along, after those of movement.
const LOSS: usize = 2;

/// Draws of both faces over one grid of places from end to end and edge to edge.
///
/// Between the places a face runs bilinearly. So all of it over a window lies within the hull of its heights at the
/// crossings of grid lines and rims, a window's rim is the same from both sides of a cut, and what survives of a window
/// is never less than of one around it.
#[derive(Debug, Clone)]
pub struct Draws {
    xs: Vec<f64>,
    ys: Vec<f64>,
    /// A draw after the other, station by station: heights of the up and of the down face.
    heights: Vec<Vec<[f64; 2]>>,
    /// What the shop falls short by in each draw; empty where that is left out.
    losses: Vec<f64>,
}

impl Draws {
    /// Draws of an estimate; each piece cut from them moves by `movement`. The same count and seed give the same draws.
    #[must_use]
    pub fn new(estimate: &Estimate, count: usize, seed: u64, movement: Movement) -> Self {
        let [stations, positions] = PLACES;
        Self::of(
            estimate.draws(stations, positions, count, seed),
            positions,
            movement,
            Self::first(seed),
        )
    }

    /// Faces over one grid, station by station with `positions` to each; they move as draws number `first` and on.
    ///
    /// # Panics
    ///
    /// When there are none, or they do not fill a grid of at least two stations and positions.
    #[must_use]
    pub fn of(
        faces: impl IntoIterator<Item = Faces>,
        positions: usize,
        movement: Movement,
        first: usize,
    ) -> Self {
        let (mut xs, mut ys, mut heights) = (Vec::new(), Vec::new(), Vec::new());
        for (draw, Faces { up, down }) in faces.into_iter().enumerate() {
            if draw == 0 {
                xs = up.iter().step_by(positions).map(|p| p[0]).collect();
                ys = up.iter().take(positions).map(|p| p[1]).collect();
            }
            assert!(xs.len() > 1 && ys.len() > 1 && up.len() == xs.len() * positions);
            heights.push(up.iter().zip(&down).map(|(u, d)| [u[2], d[2]]).collect());
        }
        assert!(!heights.is_empty(), "no draws");
        Self {
            xs,
            ys,
            heights,
            losses: Vec::new(),
        }
        .moved(movement, first)
    }

    /// The same faces, each moved once more, as draws number `first` and on.
    pub(super) fn moved(mut self, movement: Movement, first: usize) -> Self {
        // Only curvature counts; from the middle, numbers stay small.
        let squares = |at: &[f64]| -> Vec<f64> {
            let middle = (at[0] + at[at.len() - 1]) / 2.0;
            at.iter().map(|x| (x - middle) * (x - middle)).collect()
        };
        let (along, across) = (squares(&self.xs), squares(&self.ys));
        for (draw, heights) in self.heights.iter_mut().enumerate() {
            let [bow, cup] = curvatures(movement, first + draw);
            for (place, faces) in heights.iter_mut().enumerate() {
                let (x, y) = (place / across.len(), place % across.len());
                for z in faces {
                    *z -= (bow * along[x] + cup * across[y]) / 2.0;
                }
            }
        }
        self
    }

    /// The number of the first draw of a seed, to move by: draws of another seed move otherwise too.
    pub(super) fn first(seed: u64) -> usize {
        (seed % 1000) as usize * 10_000
    }

    /// The same draws in a shop that falls short, where it does: every piece of a draw by as much.
    #[must_use]
    pub fn short_by(mut self, shortfall: Option<Shortfall>) -> Self {
        let Some(Shortfall { mean, sd }) = shortfall else {
            return self;
        };
        let each = (0..self.count()).map(|draw| mean + sd * halton_normal(draw, LOSS));
        self.losses = each.collect();
        self
    }

    /// What the shop falls short by in a draw, mm.
    pub(super) fn loss(&self, draw: usize) -> f64 {
        self.losses.get(draw).copied().unwrap_or(0.0)
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.heights.len()
    }

    /// How far both faces are apart on average over the board and all draws, mm.
    #[must_use]
    pub fn mean_thickness(&self) -> f64 {
        let (along, across) = (shares(&self.xs), shares(&self.ys));
        let of_draw = |heights: &Vec<[f64; 2]>| -> f64 {
            let places = heights.iter().enumerate();
            let thickness = |(k, [up, down]): (usize, &[f64; 2])| {
                along[k / across.len()] * across[k % across.len()] * (up - down)
            };
            places.map(thickness).sum()
        };
        self.heights.iter().map(of_draw).sum::<f64>() / self.count() as f64
    }

    /// The whole board.
    #[must_use]
    pub fn outline(&self) -> Outline {
        let Window {
            from,
            to,
            near,
            far,
        } = self.whole();
        Outline {
            x0: from,
            y0: near,
            length: to - from,
            width: far - near,
        }
    }

    /// The whole board as a window.
    #[must_use]
    pub fn whole(&self) -> Window {
        Window {
            from: self.xs[0],
            to: self.xs[self.xs.len() - 1],
            near: self.ys[0],
            far: self.ys[self.ys.len() - 1],
        }
    }

    /// The lines that a window's heights lie on: of the grid and of its rim.
    pub(super) fn lines(&self, window: &Window) -> Lines {
        Lines {
            along: lines(&self.xs, window.from, window.to),
            across: lines(&self.ys, window.near, window.far),
        }
    }

    /// Puts the heights of both faces in a window's draw into `up` and `down`.
    pub(super) fn points(
        &self,
        draw: usize,
        lines: &Lines,
        up: &mut Vec<Point>,
        down: &mut Vec<Point>,
    ) {
        let heights = &self.heights[draw];
        let positions = self.ys.len();
        up.clear();
        down.clear();
        for along in &lines.along {
            for across in &lines.across {
                let corner = along.index * positions + across.index;
                let mut z = heights[corner];
                for face in 0..2 {
                    let mix = |next: usize, share: f64, base: f64| {
                        if share > 0.0 {
                            base + share * (heights[next][face] - base)
                        } else {
                            base
                        }
                    };
                    let here = mix(corner + 1, across.share, heights[corner][face]);
                    z[face] = if along.share > 0.0 {
                        let beyond = corner + positions;
                        let there = mix(beyond + 1, across.share, heights[beyond][face]);
                        here + along.share * (there - here)
                    } else {
                        here
                    };
                }
                up.push([along.at, across.at, z[0]]);
                down.push([along.at, across.at, z[1]]);
            }
        }
    }
}

/// The share of a side that each place stands for: half the way to its neighbours.
fn shares(at: &[f64]) -> Vec<f64> {
    let whole = at[at.len() - 1] - at[0];
    (0..at.len())
        .map(|k| (at[(k + 1).min(at.len() - 1)] - at[k.saturating_sub(1)]) / 2.0 / whole)
        .collect()
}

/// Places of a draw along and across: those of the whole board's expectation.
const PLACES: [usize; 2] = [49, 9];

/// The lines along and across that the heights of a window lie on.
pub(super) struct Lines {
    along: Vec<Line>,
    across: Vec<Line>,
}

/// A line between two of the grid.
struct Line {
    at: f64,
    /// The line of the grid before it, or on it.
    index: usize,
    /// How far on it lies towards the next, 0 to 1.
    share: f64,
}

fn lines(grid: &[f64], from: f64, to: f64) -> Vec<Line> {
    let last = grid.len() - 1;
    let line = |at: f64| {
        let at = at.clamp(grid[0], grid[last]);
        let index = grid.partition_point(|g| *g <= at).clamp(1, last + 1) - 1;
        let share = if index < last {
            (at - grid[index]) / (grid[index + 1] - grid[index])
        } else {
            0.0
        };
        Line { at, index, share }
    };
    let inner = grid.iter().filter(|g| **g > from && **g < to).copied();
    let ends = if to > from { vec![to] } else { Vec::new() };
    std::iter::once(from)
        .chain(inner)
        .chain(ends)
        .map(line)
        .collect()
}
