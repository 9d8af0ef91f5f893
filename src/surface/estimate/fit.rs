//! The readings under the prior: how likely each set of sizes and each choice of features is.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};
use rayon::prelude::*;

use super::design::Design;
use super::prior::{Group, Prior};
use super::random::halton_normal;
use super::slip::log_sum;
use super::told::{Seen, Told, common};

/// One belief of a small, evenly weighted set: sizes and features; given these all is normal.
#[derive(Debug, Clone)]
pub(super) struct Belief {
    /// The factor of each group.
    pub(super) factors: Vec<f64>,
    /// The shapes of its features.
    pub(super) shapes: Vec<usize>,
    /// Standard deviations of the readings' errors.
    pub(super) noise: DVector<f64>,
    /// Covariance of the readings.
    pub(super) cholesky: Cholesky<f64, Dyn>,
    /// Its inverse times what the readings stand off their mean.
    pub(super) solved: DVector<f64>,
}

/// A standard deviation that frees a reading altogether, mm.
pub(super) const FREE: f64 = 1e4;

/// How many sets of sizes are tried from the prior, and how many again where the readings found them likely.
const FIRST: usize = 96;
const SECOND: usize = 128;
/// Share of the second ones that still come from the prior.
const DEFENSIVE: f64 = 0.2;

/// Only so many of the likeliest features, of at least such a share, are also tried with each other feature.
const LEADING: usize = 4;
const LEAST_LEADING: f64 = 0.02;

/// No feature, one or two, with the logarithm of its chance beforehand.
#[derive(Debug, Clone)]
pub(super) struct Hypothesis {
    pub(super) features: Vec<usize>,
    pub(super) log_chance: f64,
}

/// A set of sizes, with what the readings say under it.
pub(super) struct Trial {
    sizes: Vec<f64>,
    /// W with WᵀW the inverse of the readings' covariance: W makes them independent, of variance 1.
    pub(super) whitener: DMatrix<f64>,
    /// Log-weights of the hypotheses.
    pub(super) logs: Vec<f64>,
}

/// The posterior of sizes and features as weighted trials.
pub(super) struct Fit<'a> {
    pub(super) design: &'a Design,
    pub(super) prior: &'a Prior,
    covariances: Covariances,
    /// Readings by shapes.
    pub(super) shapes: DMatrix<f64>,
    pub(super) hypotheses: Vec<Hypothesis>,
    pub(super) trials: Vec<Trial>,
}

/// Covariances of the readings, one for each size, and the fixed one.
struct Covariances {
    fixed: DMatrix<f64>,
    sized: Vec<DMatrix<f64>>,
}

impl Covariances {
    fn new(design: &Design, noise: &DVector<f64>, prior: &Prior) -> Self {
        let n = design.values.len();
        let noise = DMatrix::from_diagonal(&noise.map(|sd| sd * sd));
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
        let single = |k: usize| Hypothesis {
            features: vec![k],
            log_chance: prior.features[k].chance.ln(),
        };
        let none = 1.0 - prior.features.iter().map(|f| f.chance).sum::<f64>();
        let nothing = Hypothesis {
            features: Vec::new(),
            log_chance: none.ln(),
        };
        let mut fit = Self {
            design,
            prior,
            covariances: Covariances::new(design, &design.noise, prior),
            shapes: DMatrix::from_columns(&design.shapes),
            hypotheses: std::iter::once(nothing)
                .chain((0..prior.features.len()).map(single))
                .collect(),
            trials: Vec::new(),
        };
        let dimensions = prior.sizes.len();
        let point = |index: usize| DVector::from_fn(dimensions, |k, _| halton_normal(index, k));
        let first: Vec<DVector<f64>> = (0..FIRST).map(point).collect();
        fit.trials = first.par_iter().filter_map(|z| fit.trial(z, 0.0)).collect();
        // Where they were found likely, as a normal distribution of the logarithms.
        let weights = fit.weights();
        let mut mean = DVector::zeros(dimensions);
        let mut square = DMatrix::identity(dimensions, dimensions) * 0.1;
        let shares: Vec<f64> = weights.iter().map(|row| row.iter().sum()).collect();
        for (z, w) in first.iter().zip(&shares) {
            mean.axpy(*w, z, 1.0);
        }
        for (z, w) in first.iter().zip(&shares) {
            let apart = z - &mean;
            square.ger(*w, &apart, &apart, 1.0);
        }
        let Some(root) = square.cholesky() else {
            return fit;
        };
        fit.pair_leading(&weights);
        let log_determinant: f64 = root.l_dirty().diagonal().iter().map(|d| d.ln()).sum();
        let from_prior = (DEFENSIVE * SECOND as f64) as usize;
        let second = (0..SECOND).into_par_iter().filter_map(|index| {
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
            fit.trial(&z, under_prior - proposed)
        });
        fit.trials = second.collect();
        fit
    }

    /// Adds the pairs of one of the likeliest features and another to the hypotheses.
    fn pair_leading(&mut self, weights: &[Vec<f64>]) {
        let share = |k: usize| weights.iter().map(|row| row[1 + k]).sum::<f64>();
        let count = self.prior.features.len();
        let mut leading: Vec<(usize, f64)> = (0..count)
            .map(|k| (k, share(k)))
            .filter(|l| l.1 >= LEAST_LEADING)
            .collect();
        leading.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        leading.truncate(LEADING);
        for (i, &(a, _)) in leading.iter().enumerate() {
            for b in 0..count {
                if a != b && leading[..i].iter().all(|l| l.0 != b) {
                    let chance = self.prior.features[a].chance * self.prior.features[b].chance;
                    self.hypotheses.push(Hypothesis {
                        features: vec![a, b],
                        log_chance: chance.ln(),
                    });
                }
            }
        }
    }

    /// The sizes at a point of the standard normal space, with a log-weight. `None` where the arithmetic fails.
    fn trial(&self, z: &DVector<f64>, log_weight: f64) -> Option<Trial> {
        let sizes: Vec<f64> = self
            .prior
            .sizes
            .iter()
            .zip(z.iter())
            .map(|(s, z)| s.median * (s.log_sd * z).exp())
            .collect();
        let n = self.design.values.len();
        let cholesky = self.covariances.at(&sizes).cholesky()?;
        let mut whitener = DMatrix::identity(n, n);
        if !cholesky.l_dirty().solve_lower_triangular_mut(&mut whitener) {
            return None;
        }
        let half_log_determinant: f64 = cholesky.l_dirty().diagonal().iter().map(|d| d.ln()).sum();
        let white = &whitener * &self.design.values;
        let shapes = &whitener * &self.shapes;
        let sums = shapes.tr_mul(&white);
        let base = log_weight - 0.5 * white.norm_squared() - half_log_determinant;
        let seen: Vec<Seen> = (self.prior.features.iter())
            .map(|f| Seen::new(&shapes, &sums, &self.design.means, &f.shapes))
            .collect();
        let alone = (seen.iter().map(Told::new)).collect::<Option<Vec<_>>>()?;
        let logs = self.hypotheses.iter().map(|h| {
            let told = match h.features[..] {
                [] => 0.0,
                [a] => alone[a].gain(),
                [a, b, ..] => {
                    let [first, second] = [a, b].map(|k| &self.prior.features[k].shapes);
                    let both = alone[a].with(&seen[b], &common(&shapes, first, second))?;
                    both.map(|told| told.gain()).iter().sum()
                }
            };
            Some(base + h.log_chance + told)
        });
        let logs = logs.collect::<Option<_>>()?;
        Some(Trial {
            sizes,
            whitener,
            logs,
        })
    }

    /// Weights of trials and hypotheses, of sum 1.
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

    /// The logarithm of how likely the readings are, but for a constant.
    pub(super) fn likelihood(&self) -> f64 {
        log_sum(self.trials.iter().flat_map(|t| t.logs.iter().copied()))
    }

    /// A small, evenly weighted set of beliefs about all the readings of `whole`, of which this fit may have left out some,
    /// the `freed`: systematic resampling of the trials.
    pub(super) fn beliefs(&self, count: usize, whole: &Design, freed: &[usize]) -> Vec<Belief> {
        let mut noise = whole.noise.clone();
        for &reading in freed {
            noise[reading] = FREE;
        }
        let covariances = Covariances::new(whole, &noise, self.prior);
        let weights = self.weights();
        let (mut before, mut done) = (0.0, 0usize);
        let mut beliefs = Vec::with_capacity(count);
        for (trial, row) in self.trials.iter().zip(&weights) {
            for (hypothesis, weight) in self.hypotheses.iter().zip(row) {
                before += weight * count as f64;
                let here = ((before + 0.5).floor() as usize)
                    .min(count)
                    .saturating_sub(done);
                done += here;
                if here == 0 {
                    continue;
                }
                let mut covariance = covariances.at(&trial.sizes);
                let features = hypothesis.features.iter();
                let shapes: Vec<usize> = features
                    .flat_map(|&k| self.prior.features[k].shapes.clone())
                    .collect();
                let mut off = whole.values.clone();
                for &shape in &shapes {
                    let seen = &whole.shapes[shape];
                    covariance.ger(1.0, seen, seen, 1.0);
                    off.axpy(-whole.means[shape], seen, 1.0);
                }
                if let Some(cholesky) = covariance.cholesky() {
                    let solved = cholesky.solve(&off);
                    let belief = Belief {
                        factors: factors(&self.prior.groups, &trial.sizes),
                        shapes,
                        noise: noise.clone(),
                        cholesky,
                        solved,
                    };
                    beliefs.extend(std::iter::repeat_n(belief, here));
                }
            }
        }
        beliefs
    }
}

fn factors(groups: &[Group], sizes: &[f64]) -> Vec<f64> {
    groups
        .iter()
        .map(|g| g.size.map_or(1.0, |s| sizes[s]))
        .collect()
}
