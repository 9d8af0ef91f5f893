//! Draws of both faces of a board, asked for any window of them.

use rayon::prelude::*;

use super::window::Window;
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
    /// Likewise, of either face.
    hidden: Vec<Vec<[Hidden; 2]>>,
    /// What the shop falls short by in each draw; empty where that is left out.
    losses: Vec<f64>,
}

/// Where the neighbours of a place keep any plane off it: none that only touches the face from outside touches it there
/// alone. Between the neighbours a rim may pass; its heights lie on the lines to them, so it keeps planes off as well.
#[derive(Debug, Clone, Copy)]
struct Hidden {
    /// By its neighbours along the length.
    along: bool,
    /// By its neighbours across the width.
    across: bool,
}

impl Draws {
    /// Draws of an estimate; each piece cut from them moves by `movement`. The same count and seed give the same draws.
    #[must_use]
    pub fn new(estimate: &Estimate, count: usize, seed: u64, movement: Movement) -> Self {
        let places = estimate.places();
        let faces = estimate.draws(count, seed).each(places, |faces| faces);
        Self::of(faces, places[1], movement, Self::first(seed))
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
            hidden: Vec::new(),
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
        let each = self.heights.par_iter_mut().enumerate();
        each.for_each(|(draw, heights)| {
            let [bow, cup] = curvatures(movement, first + draw);
            for (place, faces) in heights.iter_mut().enumerate() {
                let (x, y) = (place / across.len(), place % across.len());
                for z in faces {
                    *z -= (bow * along[x] + cup * across[y]) / 2.0;
                }
            }
        });
        let heights = self.heights.par_iter();
        self.hidden = heights.map(|h| self.hidden_of(h)).collect();
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

    fn hidden_of(&self, heights: &[[f64; 2]]) -> Vec<[Hidden; 2]> {
        let positions = self.ys.len();
        // By its neighbours that stand `step` places off, where both do.
        let by = |place: usize, face: usize, at: &[f64], k: usize, step: usize| {
            k > 0 && k + 1 < at.len() && {
                let z = |place: usize| heights[place][face];
                let before = (z(place) - z(place - step)) / (at[k] - at[k - 1]);
                let after = (z(place + step) - z(place)) / (at[k + 1] - at[k]);
                // The up face is cut down to its lowest places, the down face up to its highest.
                if face == 0 {
                    before >= after
                } else {
                    before <= after
                }
            }
        };
        let place = |place: usize| {
            [0, 1].map(|face| Hidden {
                along: by(place, face, &self.xs, place / positions, positions),
                across: by(place, face, &self.ys, place % positions, 1),
            })
        };
        (0..heights.len()).map(place).collect()
    }

    /// The lines that a window's heights lie on: of the grid and of its rim.
    pub(super) fn lines(&self, window: &Window) -> Lines {
        Lines {
            along: lines(&self.xs, window.from, window.to),
            across: lines(&self.ys, window.near, window.far),
        }
    }

    /// Puts the heights of both faces in a window's draw into `up` and `down`, but those that are hidden.
    pub(super) fn points(
        &self,
        draw: usize,
        lines: &Lines,
        up: &mut Vec<Point>,
        down: &mut Vec<Point>,
    ) {
        let (heights, hidden) = (&self.heights[draw], &self.hidden[draw]);
        let positions = self.ys.len();
        let inner = |k: usize, of: &[Line]| 0 < k && k + 1 < of.len();
        up.clear();
        down.clear();
        for (i, along) in lines.along.iter().enumerate() {
            for (j, across) in lines.across.iter().enumerate() {
                let corner = along.index * positions + across.index;
                // The grid's places about this one: itself where it is one of them.
                let ahead = if along.share > 0.0 { positions } else { 0 };
                let aside = usize::from(across.share > 0.0);
                for (face, points) in [&mut *up, &mut *down].into_iter().enumerate() {
                    let held_off = inner(i, &lines.along)
                        && hidden[corner][face].along
                        && hidden[corner + aside][face].along
                        || inner(j, &lines.across)
                            && hidden[corner][face].across
                            && hidden[corner + ahead][face].across;
                    if held_off {
                        continue;
                    }
                    let z = |place: usize| heights[place][face];
                    let mix =
                        |place: usize| z(place) + across.share * (z(place + aside) - z(place));
                    let here = mix(corner);
                    let height = here + along.share * (mix(corner + ahead) - here);
                    points.push([along.at, across.at, height]);
                }
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
