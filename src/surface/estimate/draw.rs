//! Draws of both faces: a draw from the prior, bent to the readings (Matheron's rule: Journel and Huijbregts, Mining
//! Geostatistics, 1978; Wilson et al., "Pathwise conditioning of Gaussian processes", 2021).

use nalgebra::{DMatrix, DMatrixView};
use rayon::prelude::*;

use super::design::Design;
use super::fit::Belief;
use super::random::Random;
use super::{Estimate, Outline};
use crate::readings::{Face, Point};

/// Both faces of a board as points over the same places.
#[derive(Debug, Clone, PartialEq)]
pub struct Faces {
    /// The up face.
    pub up: Vec<Point>,
    /// The down face.
    pub down: Vec<Point>,
}

/// Draws of all amplitudes under one belief, a column each, in units of their standard deviation.
pub(super) struct Amplitudes {
    pub(super) groups: Vec<DMatrix<f64>>,
    pub(super) setups: DMatrix<f64>,
    pub(super) shapes: DMatrix<f64>,
}

/// The design with what every belief needs of it.
struct Drawing<'a> {
    design: &'a Design,
    /// Waves by readings.
    transposed: Vec<DMatrix<f64>>,
}

impl Drawing<'_> {
    fn draw(&self, belief: &Belief, count: usize, random: &mut Random) -> Amplitudes {
        let design = self.design;
        let mut normals = |n: usize| DMatrix::from_fn(n, count, |_, _| random.normal());
        let mut drawn = Amplitudes {
            groups: design.groups.iter().map(|g| normals(g.ncols())).collect(),
            setups: normals(design.setups.ncols()),
            shapes: normals(belief.shapes.len()),
        };
        for (mut row, &shape) in drawn.shapes.row_iter_mut().zip(&belief.shapes) {
            row.add_scalar_mut(design.means[shape]);
        }
        let mut misfit = normals(belief.noise.len());
        let read = drawn.readings(design, belief);
        for (mut column, read) in misfit.column_iter_mut().zip(read.column_iter()) {
            for (i, z) in column.iter_mut().enumerate() {
                *z = design.values[i] - belief.noise[i] * *z - read[i];
            }
        }
        let solved = belief.cholesky.solve(&misfit);
        for ((waves, amplitudes), factor) in self
            .transposed
            .iter()
            .zip(&mut drawn.groups)
            .zip(&belief.factors)
        {
            amplitudes.gemm(*factor, waves, &solved, 1.0);
        }
        drawn.setups.gemm_tr(1.0, &design.setups, &solved, 1.0);
        for (k, &shape) in belief.shapes.iter().enumerate() {
            for (d, column) in solved.column_iter().enumerate() {
                drawn.shapes[(k, d)] += design.shapes[shape].dot(&column);
            }
        }
        drawn
    }
}

impl Amplitudes {
    /// What would be read without error.
    pub(super) fn readings(&self, design: &Design, belief: &Belief) -> DMatrix<f64> {
        let mut readings = &design.setups * &self.setups;
        for ((waves, amplitudes), factor) in
            design.groups.iter().zip(&self.groups).zip(&belief.factors)
        {
            readings.gemm(*factor, waves, amplitudes, 1.0);
        }
        for (k, &shape) in belief.shapes.iter().enumerate() {
            for (d, mut column) in readings.column_iter_mut().enumerate() {
                column.axpy(self.shapes[(k, d)], &design.shapes[shape], 1.0);
            }
        }
        readings
    }

    fn count(&self) -> usize {
        self.shapes.ncols()
    }
}

/// Places over the whole board, evenly from end to end and edge to edge, with the waves there.
struct Grid {
    us: Vec<f64>,
    vs: Vec<f64>,
    /// Per group, places by waves along; waves across by places.
    waves: Vec<(DMatrix<f64>, DMatrix<f64>)>,
}

impl Grid {
    fn new(estimate: &Estimate, stations: usize, positions: usize) -> Self {
        let even = |n: usize| -> Vec<f64> {
            let steps = n.max(2) - 1;
            (0..=steps)
                .map(|k| -1.0 + 2.0 * k as f64 / steps as f64)
                .collect()
        };
        let (us, vs) = (even(stations), even(positions));
        let waves = estimate
            .prior
            .groups
            .iter()
            .map(|g| {
                (
                    DMatrix::from_fn(us.len(), g.along.len(), |i, p| g.along[p].at(us[i])),
                    DMatrix::from_fn(g.across.len(), vs.len(), |q, j| g.across[q].at(vs[j])),
                )
            })
            .collect();
        Self { us, vs, waves }
    }

    fn faces(&self, estimate: &Estimate, belief: &Belief, drawn: &Amplitudes) -> Vec<Faces> {
        let (stations, positions, count) = (self.us.len(), self.vs.len(), drawn.count());
        // Stations by positions, one draw after the other.
        let mut up: DMatrix<f64> = DMatrix::zeros(stations, positions * count);
        let mut down = up.clone();
        for (g, group) in estimate.prior.groups.iter().enumerate() {
            let (along, across) = &self.waves[g];
            let mut weights = drawn.groups[g].clone();
            for mut column in weights.column_iter_mut() {
                for (w, sd) in column.iter_mut().zip(&group.sd) {
                    *w *= sd * belief.factors[g];
                }
            }
            let mut folded = DMatrix::zeros(along.ncols(), positions * count);
            for (d, column) in weights.column_iter().enumerate() {
                let weights =
                    DMatrixView::from_slice(column.as_slice(), along.ncols(), across.nrows());
                folded
                    .columns_mut(d * positions, positions)
                    .gemm(1.0, &weights, across, 0.0);
            }
            for (face, factor) in [(&mut up, group.up), (&mut down, group.down)] {
                if factor != 0.0 {
                    face.gemm(factor, along, &folded, 1.0);
                }
            }
        }
        for (k, &shape) in belief.shapes.iter().enumerate() {
            let of_feature = &estimate.prior.shapes[shape];
            for (side, face) in [(Face::Up, &mut up), (Face::Down, &mut down)] {
                let shape = DMatrix::from_fn(stations, positions, |i, j| {
                    of_feature.at(side, self.us[i], self.vs[j])
                });
                for d in 0..count {
                    let amplitude = drawn.shapes[(k, d)];
                    let mut face = face.columns_mut(d * positions, positions);
                    face.zip_apply(&shape, |a, s| *a += amplitude * s);
                }
            }
        }
        let Outline {
            x0,
            y0,
            length,
            width,
        } = estimate.outline;
        let points = |heights: &DMatrix<f64>, d: usize| -> Vec<Point> {
            let mut points = Vec::with_capacity(stations * positions);
            for (i, u) in self.us.iter().enumerate() {
                for (j, v) in self.vs.iter().enumerate() {
                    let (x, y) = (x0 + length * (u + 1.0) / 2.0, y0 + width * (v + 1.0) / 2.0);
                    points.push([x, y, heights[(i, d * positions + j)]]);
                }
            }
            points
        };
        (0..count)
            .map(|d| Faces {
                up: points(&up, d),
                down: points(&down, d),
            })
            .collect()
    }
}

/// Boards drawn from an estimate: as many as were asked for, in an order that never changes.
pub struct Drawn<'a> {
    pub(super) estimate: &'a Estimate,
    /// Belief by belief.
    pub(super) amplitudes: Vec<(&'a Belief, Amplitudes)>,
}

impl Drawn<'_> {
    /// Both faces of each board over `stations` × `positions` places (at least 2 × 2), evenly from end to end and edge to
    /// edge.
    pub fn faces(&self, stations: usize, positions: usize) -> impl Iterator<Item = Faces> {
        let grid = Grid::new(self.estimate, stations, positions);
        let drawn = self.amplitudes.iter();
        drawn.flat_map(move |(belief, drawn)| grid.faces(self.estimate, belief, drawn))
    }

    /// What `told` tells of the [`faces`](Self::faces) of each board, in their order; several boards at a time.
    pub fn each<T: Send>(
        &self,
        [stations, positions]: [usize; 2],
        told: impl Fn(Faces) -> T + Sync,
    ) -> Vec<T> {
        let grid = Grid::new(self.estimate, stations, positions);
        let drawn = self.amplitudes.par_iter();
        drawn
            .flat_map_iter(|(belief, drawn)| {
                let faces = grid.faces(self.estimate, belief, drawn);
                faces.into_iter().map(&told)
            })
            .collect()
    }
}

/// How far apart the places of a draw are at most, mm along and across, on boards up to 5 m by 1 m; and how many there are
/// at least. Short waves reach 80 mm: with nine places across, 50 to 100 mm apart, slabs came out 0.03 mm too thick.
const APART: [f64; 2] = [50.0, 30.0];
const FEWEST: [f64; 2] = [48.0, 8.0];
const MOST: [f64; 2] = [100.0, 34.0];

impl Estimate {
    /// Places along and across over which the faces of a draw are shown well enough.
    #[must_use]
    pub fn places(&self) -> [usize; 2] {
        let extents = [self.outline.length, self.outline.width];
        [0, 1].map(|k| (extents[k] / APART[k]).ceil().clamp(FEWEST[k], MOST[k]) as usize + 1)
    }

    /// Draws so many boards. The same count and seed give the same boards.
    #[must_use]
    pub fn draws(&self, count: usize, seed: u64) -> Drawn<'_> {
        let drawing = Drawing {
            design: &self.design,
            transposed: self.design.groups.iter().map(DMatrix::transpose).collect(),
        };
        let beliefs = self.beliefs.len();
        let drawn = self
            .beliefs
            .par_iter()
            .enumerate()
            .filter_map(|(k, belief)| {
                let here = (k + 1) * count / beliefs - k * count / beliefs;
                let mut random = Random::stream(seed, k as u64);
                (here > 0).then(|| (belief, drawing.draw(belief, here, &mut random)))
            });
        Drawn {
            estimate: self,
            amplitudes: drawn.collect(),
        }
    }
}
