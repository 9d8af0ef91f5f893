//! The readings under the prior: how likely each set of sizes is, and what is believed of the faces then.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use super::prior::{Group, Prior};
use super::random::halton_normal;
use super::{Observation, Outline};
use crate::readings::Face;

/// One belief of a small, evenly weighted set: sizes, and a kink or none.
#[derive(Debug, Clone)]
pub(super) struct Belief {
    /// The factor of each group.
    pub(super) factors: Vec<f64>,
    pub(super) kink: Option<usize>,
    pub(super) cholesky: Cholesky<f64, Dyn>,
    /// Covariance of the readings to the minus one, times the readings.
    pub(super) solved: DVector<f64>,
}

/// What the readings see of the prior.
#[derive(Debug, Clone)]
pub(super) struct Design {
    /// Per group, readings by waves, in units of the waves' standard deviation.
    pub(super) groups: Vec<DMatrix<f64>>,
    /// Set-up unknowns.
    pub(super) setups: DMatrix<f64>,
    /// Per kink, in units of its standard deviation.
    pub(super) kinks: Vec<DVector<f64>>,
    pub(super) values: DVector<f64>,
    pub(super) noise: DVector<f64>,
}

impl Design {
    pub(super) fn new(outline: &Outline, prior: &Prior, readings: &[Observation], setups: usize, far: f64) -> Self {
        let n = readings.len();
        let groups = prior
            .groups
            .iter()
            .map(|group| {
                let mut design = DMatrix::zeros(n, group.sd.len());
                for (i, reading) in readings.iter().enumerate() {
                    for term in &reading.terms {
                        let factor = term.weight * if term.face == Face::Up { group.up } else { group.down };
                        if factor != 0.0 {
                            let (u, v) = outline.inside(term.x, term.y);
                            let across: Vec<f64> = group.across.iter().map(|w| w.at(v)).collect();
                            let mut column = 0;
                            for along in &group.along {
                                let along = factor * along.at(u);
                                for across in &across {
                                    design[(i, column)] += along * across * group.sd[column];
                                    column += 1;
                                }
                            }
                        }
                    }
                }
                design
            })
            .collect();
        let kinks = prior
            .kinks
            .iter()
            .map(|kink| {
                DVector::from_fn(n, |i, _| {
                    let at = |x| kink.wave.at(outline.inside(x, 0.0).0);
                    readings[i].terms.iter().map(|t| kink.sd * t.weight * at(t.x)).sum()
                })
            })
            .collect();
        let mut setup = DMatrix::zeros(n, setups);
        for (i, reading) in readings.iter().enumerate() {
            for &(k, coefficient) in &reading.setup {
                setup[(i, k)] += coefficient * far;
            }
        }
        Self {
            groups,
            setups: setup,
            kinks,
            values: DVector::from_fn(n, |i, _| readings[i].value),
            noise: DVector::from_fn(n, |i, _| readings[i].sd),
        }
    }
}

pub(super) fn factors(groups: &[Group], sizes: &[f64]) -> Vec<f64> {
    groups.iter().map(|g| g.size.map_or(1.0, |s| sizes[s])).collect()
}

/// Covariances of the readings, one for each size, and the fixed one.
struct Covariances {
    fixed: DMatrix<f64>,
    sized: Vec<DMatrix<f64>>,
}

impl Covariances {
    fn new(design: &Design, prior: &Prior) -> Self {
        let n = design.values.len();
        let mut fixed = DMatrix::from_diagonal(&design.noise.map(|sd| sd * sd)) + &design.setups * design.setups.transpose();
        let mut sized = vec![DMatrix::zeros(n, n); prior.sizes.len()];
        for (group, waves) in prior.groups.iter().zip(&design.groups) {
            let covariance = waves * waves.transpose();
            match group.size {
                None => fixed += covariance,
                Some(size) => sized[size] += covariance,
            }
        }
        Self { fixed, sized }
    }

    fn at(&self, sizes: &[f64]) -> DMatrix<f64> {
        let mut sum = self.fixed.clone();
        for (covariance, size) in self.sized.iter().zip(sizes) {
            let square = size * size;
            sum.zip_apply(covariance, |s, c| *s += square * c);
        }
        sum
    }
}

/// Log-likelihood of values under a covariance, up to a constant.
fn log_likelihood(cholesky: &Cholesky<f64, Dyn>, values: &DVector<f64>, solved: &DVector<f64>) -> f64 {
    let half_log_determinant: f64 = cholesky.l_dirty().diagonal().iter().map(|d| d.ln()).sum();
    -0.5 * values.dot(solved) - half_log_determinant
}

/// Log-weights of the prior's points (sizes, then kink or none) under the readings.
pub(super) fn weigh(design: &Design, prior: &Prior, points: usize) -> (Vec<Vec<f64>>, Vec<Vec<f64>>) {
    let covariances = Covariances::new(design, prior);
    let mut all_sizes = Vec::new();
    let mut all = Vec::new();
    let none = (1.0 - prior.kink_chance).ln();
    let each = (prior.kink_chance / prior.kinks.len() as f64).ln();
    for index in 0..points {
        let sizes: Vec<f64> = prior
            .sizes
            .iter()
            .enumerate()
            .map(|(k, size)| size.median * (size.log_sd * halton_normal(index, k)).exp())
            .collect();
        let Some(cholesky) = covariances.at(&sizes).cholesky() else { continue };
        let solved = cholesky.solve(&design.values);
        let base = log_likelihood(&cholesky, &design.values, &solved);
        let mut logs = vec![base + none];
        for kink in &design.kinks {
            // A rank-one change of the covariance: matrix determinant lemma and Sherman-Morrison.
            let spread = kink.dot(&cholesky.solve(kink));
            let seen = kink.dot(&solved);
            logs.push(base + each - 0.5 * (1.0 + spread).ln() + 0.5 * seen * seen / (1.0 + spread));
        }
        all_sizes.push(sizes);
        all.push(logs);
    }
    (all_sizes, all)
}

/// A small, evenly weighted set of beliefs.
pub(super) fn beliefs(design: &Design, prior: &Prior, points: usize, count: usize) -> Vec<Belief> {
    let (sizes, logs) = weigh(design, prior, points);
    let top = logs.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights: Vec<Vec<f64>> = logs.iter().map(|row| row.iter().map(|l| (l - top).exp()).collect()).collect();
    let total: f64 = weights.iter().flatten().sum();
    if std::env::var("ESS").is_ok() {
        let rows: Vec<f64> = weights.iter().map(|r| r.iter().sum::<f64>() / total).collect();
        println!("ESS {:.1} kink {:.2}", 1.0 / rows.iter().map(|w| w * w).sum::<f64>(),
            1.0 - weights.iter().map(|r| r[0]).sum::<f64>() / total);
    }
    let covariances = Covariances::new(design, prior);
    let (mut before, mut done) = (0.0, 0usize);
    let mut beliefs = Vec::with_capacity(count);
    for (sizes, row) in sizes.iter().zip(&weights) {
        for (k, weight) in row.iter().enumerate() {
            before += weight / total * count as f64;
            let here = ((before + 0.5).floor() as usize).min(count).saturating_sub(done);
            if here == 0 {
                continue;
            }
            done += here;
            let mut covariance = covariances.at(sizes);
            let kink = k.checked_sub(1);
            if let Some(kink) = kink {
                covariance += &design.kinks[kink] * design.kinks[kink].transpose();
            }
            if let Some(cholesky) = covariance.cholesky() {
                let solved = cholesky.solve(&design.values);
                let belief = Belief { factors: factors(&prior.groups, sizes), kink, cholesky, solved };
                for _ in 0..here {
                    beliefs.push(belief.clone());
                }
            }
        }
    }
    beliefs
}
