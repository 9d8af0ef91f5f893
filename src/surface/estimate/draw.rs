//! Draws of both faces: a draw from the prior, bent to the readings (Matheron's rule: Journel and Huijbregts, Mining
//! Geostatistics, 1978; Wilson et al., "Pathwise conditioning of Gaussian processes", 2021).

use nalgebra::{DMatrix, DVector};

use super::design::Design;
use super::fit::Belief;
use super::random::Random;
use super::{Estimate, Outline};
use crate::readings::Point;

/// Both faces of a board as points over the same places.
#[derive(Debug, Clone, PartialEq)]
pub struct Faces {
    /// The up face.
    pub up: Vec<Point>,
    /// The down face.
    pub down: Vec<Point>,
}

/// One draw of all amplitudes, in units of their standard deviation.
pub(super) struct Amplitudes {
    pub(super) groups: Vec<DVector<f64>>,
    pub(super) setups: DVector<f64>,
    pub(super) feature: f64,
}

impl Amplitudes {
    pub(super) fn draw(design: &Design, belief: &Belief, random: &mut Random) -> Self {
        let mut normals = |n: usize| DVector::from_fn(n, |_, _| random.normal());
        let mut drawn = Self {
            groups: design.groups.iter().map(|g| normals(g.ncols())).collect(),
            setups: normals(design.setups.ncols()),
            feature: normals(1)[0],
        };
        let error = normals(design.noise.len()).component_mul(&design.noise);
        let misfit = &design.values - error - drawn.readings(design, belief);
        let solved = belief.cholesky.solve(&misfit);
        for ((waves, amplitude), factor) in design
            .groups
            .iter()
            .zip(&mut drawn.groups)
            .zip(&belief.factors)
        {
            amplitude.gemv_tr(*factor, waves, &solved, 1.0);
        }
        drawn.setups.gemv_tr(1.0, &design.setups, &solved, 1.0);
        if let Some(feature) = belief.feature {
            drawn.feature += design.features[feature].dot(&solved);
        }
        drawn
    }

    /// What would be read without error.
    pub(super) fn readings(&self, design: &Design, belief: &Belief) -> DVector<f64> {
        let mut readings = &design.setups * &self.setups;
        for ((waves, amplitude), factor) in
            design.groups.iter().zip(&self.groups).zip(&belief.factors)
        {
            readings.gemv(*factor, waves, amplitude, 1.0);
        }
        if let Some(feature) = belief.feature {
            readings.axpy(self.feature, &design.features[feature], 1.0);
        }
        readings
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

    fn faces(&self, estimate: &Estimate, belief: &Belief, amplitudes: &Amplitudes) -> Faces {
        let size = (self.us.len(), self.vs.len());
        let mut up: DMatrix<f64> = DMatrix::zeros(size.0, size.1);
        let mut down: DMatrix<f64> = DMatrix::zeros(size.0, size.1);
        for (g, group) in estimate.prior.groups.iter().enumerate() {
            let across = group.across.len();
            let weights = DMatrix::from_fn(group.along.len(), across, |p, q| {
                let k = p * across + q;
                belief.factors[g] * group.sd[k] * amplitudes.groups[g][k]
            });
            let surface = &self.waves[g].0 * (weights * &self.waves[g].1);
            for (face, factor) in [(&mut up, group.up), (&mut down, group.down)] {
                if factor != 0.0 {
                    face.zip_apply(&surface, |a, s| *a += factor * s);
                }
            }
        }
        let mut faces = Faces {
            up: Vec::new(),
            down: Vec::new(),
        };
        let Outline {
            x0,
            y0,
            length,
            width,
        } = estimate.outline;
        for (i, u) in self.us.iter().enumerate() {
            for (j, v) in self.vs.iter().enumerate() {
                let (x, y) = (x0 + length * (u + 1.0) / 2.0, y0 + width * (v + 1.0) / 2.0);
                let bend = belief.feature.map_or(0.0, |k| {
                    amplitudes.feature * estimate.prior.features[k].at(*u, *v)
                });
                faces.up.push([x, y, up[(i, j)] + bend]);
                faces.down.push([x, y, down[(i, j)] + bend]);
            }
        }
        faces
    }
}

impl Estimate {
    /// Draws both faces `count` times over `stations` × `positions` places (at least 2 × 2), evenly from end to end and
    /// edge to edge. The same seed gives the same draws.
    pub fn draws(
        &self,
        stations: usize,
        positions: usize,
        count: usize,
        seed: u64,
    ) -> impl Iterator<Item = Faces> + '_ {
        let grid = Grid::new(self, stations, positions);
        self.amplitudes(count, seed)
            .map(move |(belief, amplitudes)| grid.faces(self, belief, &amplitudes))
    }

    /// The amplitudes of the draws, each with its belief.
    pub(super) fn amplitudes(
        &self,
        count: usize,
        seed: u64,
    ) -> impl Iterator<Item = (&Belief, Amplitudes)> + '_ {
        let mut random = Random::new(seed);
        (0..count).map(move |k| {
            // The beliefs in even steps, so that a few draws already span them all.
            let belief = &self.beliefs[k * BELIEF_STEP % self.beliefs.len()];
            (belief, Amplitudes::draw(&self.design, belief, &mut random))
        })
    }
}

/// Prime to the number of beliefs.
const BELIEF_STEP: usize = 37;
