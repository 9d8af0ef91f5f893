//! Draws of both faces: a draw from the prior, bent to the readings (Matheron's rule: Journel and Huijbregts, Mining
//! Geostatistics, 1978; Wilson et al., "Pathwise conditioning of Gaussian processes", 2021).

use nalgebra::{DMatrix, DVector};

use super::random::Random;
use super::Estimate;
use crate::readings::Point;

/// Both faces of a board as points over the same places.
#[derive(Debug, Clone, PartialEq)]
pub struct Faces {
    /// The up face.
    pub up: Vec<Point>,
    /// The down face.
    pub down: Vec<Point>,
}

impl Estimate {
    /// Draws both faces `count` times over `stations` × `positions` places, evenly from end to end and edge to edge.
    pub fn draws(&self, stations: usize, positions: usize, count: usize, seed: u64) -> impl Iterator<Item = Faces> + '_ {
        let even = |k: usize, n: usize| -1.0 + 2.0 * k as f64 / (n - 1) as f64;
        let us: Vec<f64> = (0..stations).map(|k| even(k, stations)).collect();
        let vs: Vec<f64> = (0..positions).map(|k| even(k, positions)).collect();
        let waves: Vec<(DMatrix<f64>, DMatrix<f64>)> = self
            .prior
            .groups
            .iter()
            .map(|g| {
                (
                    DMatrix::from_fn(stations, g.along.len(), |i, p| g.along[p].at(us[i])),
                    DMatrix::from_fn(g.across.len(), positions, |q, j| g.across[q].at(vs[j])),
                )
            })
            .collect();
        let mut random = Random::new(seed);
        (0..count).map(move |k| {
            // Spread the beliefs evenly over any number of draws.
            let belief = &self.beliefs[k % self.beliefs.len()];
            let design = &self.design;
            let mut amplitudes: Vec<DVector<f64>> = self
                .prior
                .groups
                .iter()
                .map(|g| DVector::from_fn(g.sd.len(), |_, _| random.normal()))
                .collect();
            let setups = DVector::from_fn(design.setups.ncols(), |_, _| random.normal());
            let mut kink = if belief.kink.is_some() { random.normal() } else { 0.0 };
            let mut misfit = &design.values - &design.setups * setups;
            misfit.iter_mut().zip(design.noise.iter()).for_each(|(m, sd)| *m -= sd * random.normal());
            for ((waves, amplitude), factor) in design.groups.iter().zip(&amplitudes).zip(&belief.factors) {
                misfit.gemv(-factor, waves, amplitude, 1.0);
            }
            if let Some(at) = belief.kink {
                misfit.axpy(-kink, &design.kinks[at], 1.0);
            }
            let solved = belief.cholesky.solve(&misfit);
            if let Some(at) = belief.kink {
                kink += design.kinks[at].dot(&solved);
            }
            let mut up: DMatrix<f64> = DMatrix::zeros(stations, positions);
            let mut down: DMatrix<f64> = DMatrix::zeros(stations, positions);
            for (g, group) in self.prior.groups.iter().enumerate() {
                let factor = belief.factors[g];
                amplitudes[g].gemv_tr(factor, &design.groups[g], &solved, 1.0);
                let across = group.across.len();
                let weights = DMatrix::from_fn(group.along.len(), across, |p, q| {
                    factor * group.sd[p * across + q] * amplitudes[g][p * across + q]
                });
                let surface = &waves[g].0 * (weights * &waves[g].1);
                if group.up != 0.0 {
                    up.zip_apply(&surface, |a, s| *a += group.up * s);
                }
                if group.down != 0.0 {
                    down.zip_apply(&surface, |a, s| *a += group.down * s);
                }
            }
            let mut faces = Faces { up: Vec::new(), down: Vec::new() };
            let o = &self.outline;
            for (i, u) in us.iter().enumerate() {
                let bend = belief.kink.map_or(0.0, |k| kink * self.prior.kinks[k].sd * self.prior.kinks[k].wave.at(*u));
                for (j, v) in vs.iter().enumerate() {
                    let (x, y) = (o.x0 + o.length * (u + 1.0) / 2.0, o.y0 + o.width * (v + 1.0) / 2.0);
                    faces.up.push([x, y, up[(i, j)] + bend]);
                    faces.down.push([x, y, down[(i, j)] + bend]);
                }
            }
            faces
        })
    }
}
