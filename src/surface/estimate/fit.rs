//! The readings under the prior: how likely each set of sizes is, and what each reading would be without itself.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use super::design::Design;
use super::prior::{Group, Prior};
use super::random::halton_normal;

/// One belief of a small, evenly weighted set: sizes, and a feature or none; given these all is Gaussian.
#[derive(Debug, Clone)]
pub(super) struct Belief {
    /// The factor of each group.
    pub(super) factors: Vec<f64>,
    pub(super) feature: Option<usize>,
    /// Covariance of the readings.
    pub(super) cholesky: Cholesky<f64, Dyn>,
    /// Its inverse times the readings.
    pub(super) solved: DVector<f64>,
}

/// How many sets of sizes are tried from the prior, and how many again where the readings found them likely.
const FIRST: usize = 128;
const SECOND: usize = 160;
/// Share of the second ones that still come from the prior.
const DEFENSIVE: f64 = 0.2;

/// A set of sizes, with what the readings say under it.
struct Trial {
    sizes: Vec<f64>,
    cholesky: Cholesky<f64, Dyn>,
    solved: DVector<f64>,
    /// Log-weights: no feature, then each feature.
    logs: Vec<f64>,
}

/// The posterior of sizes and features as weighted trials.
pub(super) struct Fit<'a> {
    design: &'a Design,
    prior: &'a Prior,
    covariances: Covariances,
    trials: Vec<Trial>,
}

/// What a reading would be, told by all the others.
#[derive(Debug, Clone, Copy)]
pub(super) struct Expected {
    pub(super) value: f64,
    pub(super) sd: f64,
    /// The chance of a reading at least so far off on its side.
    pub(super) tail: f64,
}

/// Covariances of the readings, one for each size, and the fixed one.
struct Covariances {
    fixed: DMatrix<f64>,
    sized: Vec<DMatrix<f64>>,
}

impl Covariances {
    fn new(design: &Design, prior: &Prior) -> Self {
        let n = design.values.len();
        let noise = DMatrix::from_diagonal(&design.noise.map(|sd| sd * sd));
        let mut fixed = noise + &design.setups * design.setups.transpose();
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

impl<'a> Fit<'a> {
    pub(super) fn new(design: &'a Design, prior: &'a Prior) -> Self {
        let mut fit = Self {
            design,
            prior,
            covariances: Covariances::new(design, prior),
            trials: Vec::new(),
        };
        let dimensions = prior.sizes.len();
        let point = |index: usize| DVector::from_fn(dimensions, |k, _| halton_normal(index, k));
        let first: Vec<DVector<f64>> = (0..FIRST).map(point).collect();
        for z in &first {
            fit.add_trial(z, 0.0);
        }
        // Where they were found likely, as a normal distribution of the logarithms.
        let weights: Vec<f64> = fit.weights().iter().map(|row| row.iter().sum()).collect();
        let mut mean = DVector::zeros(dimensions);
        let mut square = DMatrix::identity(dimensions, dimensions) * 0.1;
        for (z, w) in first.iter().zip(&weights) {
            mean.axpy(*w, z, 1.0);
        }
        for (z, w) in first.iter().zip(&weights) {
            let apart = z - &mean;
            square.ger(*w, &apart, &apart, 1.0);
        }
        let Some(root) = square.cholesky() else {
            return fit;
        };
        let log_determinant: f64 = root.l_dirty().diagonal().iter().map(|d| d.ln()).sum();
        let from_prior = (DEFENSIVE * SECOND as f64) as usize;
        fit.trials.clear();
        for index in 0..SECOND {
            let mut z = point(index + FIRST);
            if index >= from_prior {
                z = &mean + root.l() * z;
            }
            let apart = root
                .l()
                .solve_lower_triangular(&(&z - &mean))
                .unwrap_or_else(|| z.clone());
            let under_prior = -0.5 * z.norm_squared();
            let under_normal = -0.5 * apart.norm_squared() - log_determinant;
            let proposed =
                (DEFENSIVE * under_prior.exp() + (1.0 - DEFENSIVE) * under_normal.exp()).ln();
            fit.add_trial(&z, under_prior - proposed);
        }
        fit
    }

    /// Adds the sizes at a point of the standard normal space with a log-weight.
    fn add_trial(&mut self, z: &DVector<f64>, log_weight: f64) {
        let sizes: Vec<f64> = self
            .prior
            .sizes
            .iter()
            .zip(z.iter())
            .map(|(s, z)| s.median * (s.log_sd * z).exp())
            .collect();
        let Some(cholesky) = self.covariances.at(&sizes).cholesky() else {
            return;
        };
        let solved = cholesky.solve(&self.design.values);
        let half_log_determinant: f64 = cholesky.l_dirty().diagonal().iter().map(|d| d.ln()).sum();
        let base = log_weight - 0.5 * self.design.values.dot(&solved) - half_log_determinant;
        let none = 1.0 - self.prior.features.iter().map(|f| f.chance).sum::<f64>();
        let mut logs = vec![base + none.ln()];
        for (feature, seen) in self.prior.features.iter().zip(&self.design.features) {
            // A rank-one change of the covariance: matrix determinant lemma and Sherman-Morrison.
            let spread = 1.0 + seen.dot(&cholesky.solve(seen));
            let found = seen.dot(&solved);
            logs.push(
                base + feature.chance.ln() - 0.5 * spread.ln() + 0.5 * found * found / spread,
            );
        }
        self.trials.push(Trial {
            sizes,
            cholesky,
            solved,
            logs,
        });
    }

    /// Weights of trials and features, of sum 1.
    fn weights(&self) -> Vec<Vec<f64>> {
        let top = self
            .trials
            .iter()
            .flat_map(|t| &t.logs)
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        let mut weights: Vec<Vec<f64>> = self
            .trials
            .iter()
            .map(|t| t.logs.iter().map(|l| (l - top).exp()).collect())
            .collect();
        let total: f64 = weights.iter().flatten().sum();
        weights.iter_mut().flatten().for_each(|w| *w /= total);
        weights
    }

    /// A small, evenly weighted set of beliefs: systematic resampling of the trials.
    pub(super) fn beliefs(&self, count: usize) -> Vec<Belief> {
        let weights = self.weights();
        let (mut before, mut done) = (0.0, 0usize);
        let mut beliefs = Vec::with_capacity(count);
        for (trial, row) in self.trials.iter().zip(&weights) {
            for (k, weight) in row.iter().enumerate() {
                before += weight * count as f64;
                let here = ((before + 0.5).floor() as usize)
                    .min(count)
                    .saturating_sub(done);
                done += here;
                if here == 0 {
                    continue;
                }
                let feature = k.checked_sub(1);
                let mut covariance = self.covariances.at(&trial.sizes);
                if let Some(feature) = feature {
                    let seen = &self.design.features[feature];
                    covariance.ger(1.0, seen, seen, 1.0);
                }
                if let Some(cholesky) = covariance.cholesky() {
                    let solved = cholesky.solve(&self.design.values);
                    let factors = factors(&self.prior.groups, &trial.sizes);
                    let belief = Belief {
                        factors,
                        feature,
                        cholesky,
                        solved,
                    };
                    beliefs.extend(std::iter::repeat_n(belief, here));
                }
            }
        }
        beliefs
    }

    /// What each reading would be, told by all the others: the exact leave-one-out mean and variance under each trial
    /// (Sundararajan and Keerthi, "Predictive approaches for choosing hyperparameters in Gaussian processes", 2001), the
    /// trials weighed by the likelihood of the other readings, so that a slip cannot choose the sizes that excuse it.
    pub(super) fn expected(&self) -> Vec<Expected> {
        let n = self.design.values.len();
        // Per reading and trial: log-weight without the reading, mean error, variance.
        let mut rows: Vec<Vec<(f64, f64, f64)>> = vec![Vec::new(); n];
        for trial in &self.trials {
            let inverse = trial.cholesky.inverse();
            let mut add = |log: f64, solved: &DVector<f64>, diagonal: &DVector<f64>| {
                for i in 0..n {
                    let (error, variance) = (solved[i] / diagonal[i], 1.0 / diagonal[i]);
                    rows[i].push((
                        log + 0.5 * error * error / variance + 0.5 * variance.ln(),
                        error,
                        variance,
                    ));
                }
            };
            let diagonal = inverse.diagonal();
            add(trial.logs[0], &trial.solved, &diagonal);
            for (seen, log) in self.design.features.iter().zip(&trial.logs[1..]) {
                let through = &inverse * seen;
                let spread = 1.0 + seen.dot(&through);
                let solved = &trial.solved - &through * (seen.dot(&trial.solved) / spread);
                let diagonal = &diagonal - through.component_mul(&through) / spread;
                add(*log, &solved, &diagonal);
            }
        }
        rows.iter()
            .enumerate()
            .map(|(i, row)| {
                let top = row.iter().map(|r| r.0).fold(f64::NEG_INFINITY, f64::max);
                let (mut total, mut mean, mut square, mut above) = (0.0, 0.0, 0.0, 0.0);
                for &(log, error, variance) in row {
                    let weight = (log - top).exp();
                    total += weight;
                    mean += weight * error;
                    square += weight * (error * error + variance);
                    above += weight * normal_above(error / variance.sqrt());
                }
                let (mean, square, above) = (mean / total, square / total, above / total);
                Expected {
                    value: self.design.values[i] - mean,
                    sd: (square - mean * mean).max(0.0).sqrt(),
                    tail: above.min(1.0 - above),
                }
            })
            .collect()
    }
}

pub(super) fn factors(groups: &[Group], sizes: &[f64]) -> Vec<f64> {
    groups
        .iter()
        .map(|g| g.size.map_or(1.0, |s| sizes[s]))
        .collect()
}

/// The chance that a standard normal number is above z (Abramowitz and Stegun 26.2.17, absolute error 7.5e-8; beyond 4
/// the leading terms of 26.2.12).
fn normal_above(z: f64) -> f64 {
    let density = |z: f64| (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
    if z < 0.0 {
        1.0 - normal_above(-z)
    } else if z > 4.0 {
        density(z) / z * (1.0 - 1.0 / (z * z) + 3.0 / z.powi(4))
    } else {
        let t = 1.0 / (1.0 + 0.231_641_9 * z);
        density(z)
            * t
            * (0.319_381_530
                + t * (-0.356_563_782
                    + t * (1.781_477_937 + t * (-1.821_255_978 + t * 1.330_274_429))))
    }
}
