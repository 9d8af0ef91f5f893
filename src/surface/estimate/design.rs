//! What readings see of the prior's waves.

use nalgebra::{DMatrix, DVector};

use super::fit::Belief;
use super::prior::Prior;
use super::{Observation, Outline};
use crate::readings::Face;

/// Readings as linear functions of the amplitudes, each in units of its standard deviation.
#[derive(Debug, Clone)]
pub(super) struct Design {
    /// Per group, readings by waves.
    pub(super) groups: Vec<DMatrix<f64>>,
    /// Readings by set-up unknowns.
    pub(super) setups: DMatrix<f64>,
    /// Per shape of a feature, readings.
    pub(super) shapes: Vec<DVector<f64>>,
    /// Per shape, the mean of its amplitude.
    pub(super) means: Vec<f64>,
    pub(super) values: DVector<f64>,
    pub(super) noise: DVector<f64>,
}

impl Design {
    pub(super) fn new(
        outline: &Outline,
        prior: &Prior,
        readings: &[Observation],
        setups: usize,
    ) -> Self {
        let n = readings.len();
        let groups = prior
            .groups
            .iter()
            .map(|group| {
                let mut design = DMatrix::zeros(n, group.sd.len());
                for (i, reading) in readings.iter().enumerate() {
                    for term in &reading.terms {
                        let factor = term.weight
                            * if term.face == Face::Up {
                                group.up
                            } else {
                                group.down
                            };
                        if factor == 0.0 {
                            continue;
                        }
                        let (u, v) = outline.unit_place(term.x, term.y);
                        let across: Vec<f64> = group.across.iter().map(|w| w.at(v)).collect();
                        for (p, along) in group.along.iter().enumerate() {
                            let along = factor * along.at(u);
                            for (q, across) in across.iter().enumerate() {
                                let column = q * group.along.len() + p;
                                design[(i, column)] += along * across * group.sd[column];
                            }
                        }
                    }
                }
                design
            })
            .collect();
        let shapes = prior
            .shapes
            .iter()
            .map(|shape| {
                DVector::from_fn(n, |i, _| {
                    readings[i]
                        .terms
                        .iter()
                        .map(|t| {
                            let (u, v) = outline.unit_place(t.x, t.y);
                            t.weight * shape.at(t.face, u, v)
                        })
                        .sum()
                })
            })
            .collect();
        let mut setup = DMatrix::zeros(n, setups);
        for (i, reading) in readings.iter().enumerate() {
            for &(k, coefficient) in &reading.setup {
                setup[(i, k)] += coefficient * prior.far;
            }
        }
        Self {
            groups,
            setups: setup,
            shapes,
            means: prior.shapes.iter().map(|s| s.mean).collect(),
            values: DVector::from_fn(n, |i, _| readings[i].value),
            noise: DVector::from_fn(n, |i, _| readings[i].sd),
        }
    }

    /// Mean and variance, without its own error, of the one reading of `place`, as these readings tell it.
    pub(super) fn predict(&self, place: &Self, belief: &Belief) -> (f64, f64) {
        let mut covariance = &self.setups * place.setups.transpose();
        let mut variance = place.setups.norm_squared();
        for ((seen, at), factor) in self.groups.iter().zip(&place.groups).zip(&belief.factors) {
            covariance.gemm(factor * factor, seen, &at.transpose(), 1.0);
            variance += factor * factor * at.norm_squared();
        }
        let mut expected = 0.0;
        for &shape in &belief.shapes {
            let at = place.shapes[shape][0];
            expected += self.means[shape] * at;
            covariance.column_mut(0).axpy(at, &self.shapes[shape], 1.0);
            variance += at * at;
        }
        let covariance = covariance.column(0).into_owned();
        let told = covariance.dot(&belief.cholesky.solve(&covariance));
        (
            expected + covariance.dot(&belief.solved),
            (variance - told).max(0.0),
        )
    }
}
