//! What each reading would be, told by all the others.

use nalgebra::DVector;
use rayon::prelude::*;

use super::fit::{Fit, Trial};
use super::told::{Seen, Told, common, row};

/// What a reading would be, told by all the others.
#[derive(Debug, Clone, Copy)]
pub(super) struct Expected {
    pub(super) value: f64,
    pub(super) sd: f64,
    /// The chance of a reading at least so far off on its side.
    pub(super) tail: f64,
    /// The logarithm of how likely the others are, to the constant of the trials' weights.
    pub(super) others: f64,
}

/// Log-weights this far under the top add nothing.
const NEGLIGIBLE: f64 = 14.0;

/// Features are weighed only under trials that all the readings leave a share of e to this.
const UNLIKELY: f64 = -7.0;

/// A sum over trials and hypotheses in which weights are kept relative to the largest yet.
#[derive(Clone, Copy)]
struct Sum {
    top: f64,
    total: f64,
    mean: f64,
    square: f64,
    above: f64,
}

impl Sum {
    const NOTHING: Self = Self {
        top: f64::NEG_INFINITY,
        total: 0.0,
        mean: 0.0,
        square: 0.0,
        above: 0.0,
    };

    /// Adds a normal distribution of the reading's error; `log`: of the weight, were the variance 1.
    fn add(&mut self, log: f64, error: f64, variance: f64) {
        // Half the logarithm of the variance is small beside the margin.
        if log < self.top - 1.5 * NEGLIGIBLE {
            return;
        }
        let log = log + 0.5 * variance.ln();
        if log < self.top - NEGLIGIBLE {
            return;
        }
        if log > self.top {
            let scale = (self.top - log).exp();
            self.total *= scale;
            self.mean *= scale;
            self.square *= scale;
            self.above *= scale;
            self.top = log;
        }
        let weight = (log - self.top).exp();
        self.total += weight;
        self.mean += weight * error;
        self.square += weight * (error * error + variance);
        self.above += weight * normal_above(error / variance.sqrt());
    }

    /// Both sums as one.
    fn with(self, other: Self) -> Self {
        let top = self.top.max(other.top);
        if top == f64::NEG_INFINITY {
            return self;
        }
        let (a, b) = ((self.top - top).exp(), (other.top - top).exp());
        Self {
            top,
            total: a * self.total + b * other.total,
            mean: a * self.mean + b * other.mean,
            square: a * self.square + b * other.square,
            above: a * self.above + b * other.above,
        }
    }

    fn expected(&self, value: f64) -> Expected {
        let (mean, square, above) = (
            self.mean / self.total,
            self.square / self.total,
            self.above / self.total,
        );
        Expected {
            value: value - mean,
            sd: (square - mean * mean).max(0.0).sqrt(),
            tail: above.min(1.0 - above),
            others: self.top + self.total.ln(),
        }
    }
}

impl Fit<'_> {
    /// The exact leave-one-out mean and variance under each trial (Sundararajan and Keerthi, "Predictive approaches for
    /// choosing hyperparameters in Gaussian processes", 2001), the trials weighed by the likelihood of the other
    /// readings, so that a slip cannot choose the sizes that excuse it.
    pub(super) fn expected(&self) -> Vec<Expected> {
        let logs = self.trials.iter().flat_map(|t| &t.logs).copied();
        let top = logs.fold(f64::NEG_INFINITY, f64::max);
        let of_trials: Vec<Vec<Sum>> = self
            .trials
            .par_iter()
            .map(|trial| self.expected_under(trial, top))
            .collect();
        let values = self.design.values.iter().enumerate();
        let of_reading = |i: usize| {
            let sums = of_trials.iter().map(|sums| sums[i]);
            sums.fold(Sum::NOTHING, Sum::with)
        };
        values
            .map(|(i, value)| of_reading(i).expected(*value))
            .collect()
    }

    /// The sums of one trial, reading by reading; `top` is the largest log-weight of all trials.
    fn expected_under(&self, trial: &Trial, top: f64) -> Vec<Sum> {
        let n = self.design.values.len();
        let mut sums = vec![Sum::NOTHING; n];
        let transposed = trial.whitener.transpose();
        let white = &trial.whitener * &self.design.values;
        let shapes = &trial.whitener * &self.shapes;
        let sums_of = shapes.tr_mul(&white);
        // The inverse covariance: its diagonal, and times the readings and the shapes.
        let precision =
            DVector::from_iterator(n, trial.whitener.column_iter().map(|c| c.norm_squared()));
        let solved = &transposed * &white;
        let through = &transposed * &shapes;
        let means = &self.design.means;
        let alone = |k: usize| Seen::new(&shapes, &sums_of, means, &self.prior.features[k].shapes);
        for (hypothesis, log) in self.hypotheses.iter().zip(&trial.logs) {
            if !hypothesis.features.is_empty() && *log < top + UNLIKELY {
                continue;
            }
            let mut add = |solved: &mut dyn FnMut(usize) -> (f64, f64)| {
                for (i, sum) in sums.iter_mut().enumerate() {
                    let (solved, precision) = solved(i);
                    let (error, variance) = (solved / precision, 1.0 / precision);
                    sum.add(log + 0.5 * error * solved, error, variance);
                }
            };
            match hypothesis.features[..] {
                [] => add(&mut |i| (solved[i], precision[i])),
                [a] => {
                    let Some(told) = Told::new(&alone(a)) else {
                        continue;
                    };
                    let at = &self.prior.features[a].shapes;
                    add(&mut |i| {
                        let seen = row(&through, i, at);
                        let (_, read, square) = told.takes(&seen);
                        (solved[i] - told.lifts(&seen) - read, precision[i] - square)
                    });
                }
                [a, b, ..] => {
                    let [at, aside] = [a, b].map(|k| &self.prior.features[k].shapes);
                    let both = common(&shapes, at, aside);
                    let Some(first) = Told::new(&alone(a)) else {
                        continue;
                    };
                    let Some([first, second]) = first.with(&alone(b), &both) else {
                        continue;
                    };
                    let shared = first.shared(&both, aside.len());
                    add(&mut |i| {
                        let [seen, seen_too] = [at, aside].map(|k| row(&through, i, k));
                        let (share, read, square) = first.takes(&seen);
                        let (_, read_too, square_too) =
                            second.takes(&(seen_too - shared.tr_mul(&share)));
                        let lifted = first.lifts(&seen) + second.lifts(&seen_too);
                        (
                            solved[i] - lifted - read - read_too,
                            precision[i] - square - square_too,
                        )
                    });
                }
            }
        }
        sums
    }
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

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;
    use nalgebra::{DMatrix, DVector};

    use super::{Fit, UNLIKELY, normal_above};
    use crate::board::Outline;
    use crate::readings::Face;
    use crate::surface::estimate::design::Design;
    use crate::surface::estimate::prior::Prior;
    use crate::surface::estimate::{Observation, Term};

    /// Each reading struck out in turn, its normal distribution conditioned on the others by nalgebra, trial by trial and
    /// hypothesis by hypothesis.
    #[test]
    fn a_reading_is_told_by_the_others_as_if_it_had_not_been_read() {
        let outline = Outline {
            x0: 0.0,
            y0: 0.0,
            length: 1800.0,
            width: 200.0,
        };
        let mut readings: Vec<Observation> = (0..14)
            .map(|k| {
                let (x, y) = (300.0 * f64::from(k / 2), 200.0 * f64::from(k % 2));
                // A kink at 1,200 mm, a cast, and a reading that stands out a little.
                let height = 0.012 * (x - 1200.0_f64).abs() + 1e-6 * x * y;
                let out = if k == 5 { 1.0 } else { 0.1 * f64::from(k % 3) };
                Observation {
                    terms: vec![Term::new(Face::Up, [x, y], 1.0)],
                    setup: Vec::new(),
                    value: height + out,
                    sd: 0.3,
                }
            })
            .collect();
        for x in [0.0, 900.0, 1800.0] {
            readings.push(Observation {
                terms: vec![
                    Term::new(Face::Up, [x, 0.0], 1.0),
                    Term::new(Face::Down, [x, 0.0], -1.0),
                ],
                setup: Vec::new(),
                value: 30.0 + 2e-4 * x,
                sd: 0.15,
            });
        }
        let prior = Prior::new(&outline, 150.0);
        let design = Design::new(&outline, &prior, &readings, 0);
        let fit = Fit::new(&design, &prior);
        assert!(fit.hypotheses.iter().any(|h| h.features.len() == 2));
        let top = fit.trials.iter().flat_map(|t| &t.logs);
        let top = top.copied().fold(f64::NEG_INFINITY, f64::max);
        let n = readings.len();
        // Per reading: weights, means and variances.
        let mut told: Vec<Vec<[f64; 3]>> = vec![Vec::new(); n];
        for trial in &fit.trials {
            let inverse = trial.whitener.transpose() * &trial.whitener;
            let plain = inverse.try_inverse().unwrap();
            for (hypothesis, log) in fit.hypotheses.iter().zip(&trial.logs) {
                if !hypothesis.features.is_empty() && *log < top + UNLIKELY {
                    continue;
                }
                let mut covariance = plain.clone();
                let mut off = design.values.clone();
                let features = hypothesis.features.iter();
                for shape in features.flat_map(|&k| prior.features[k].shapes.clone()) {
                    let seen = &design.shapes[shape];
                    covariance += seen * seen.transpose();
                    off -= seen * design.means[shape];
                }
                for (i, told) in told.iter_mut().enumerate() {
                    let rest: DMatrix<f64> = covariance.clone().remove_row(i).remove_column(i);
                    let across: DVector<f64> = covariance.column(i).into_owned().remove_row(i);
                    let rest = rest.cholesky().unwrap();
                    let told_off = across.dot(&rest.solve(&off.clone().remove_row(i)));
                    let mean = design.values[i] - off[i] + told_off;
                    let variance = covariance[(i, i)] - across.dot(&rest.solve(&across));
                    let error = design.values[i] - mean;
                    let own = -0.5 * (error * error / variance + variance.ln());
                    told.push([log - own, mean, variance]);
                }
            }
        }
        for (told, found) in told.iter().zip(fit.expected()) {
            let top = told.iter().map(|t| t[0]).fold(f64::NEG_INFINITY, f64::max);
            let weights = told.iter().map(|t| (t[0] - top).exp());
            let total: f64 = weights.clone().sum();
            let over = |of: fn(&[f64; 3]) -> f64| -> f64 {
                weights
                    .clone()
                    .zip(told)
                    .map(|(w, t)| w * of(t))
                    .sum::<f64>()
                    / total
            };
            let mean = over(|t| t[1]);
            let variance = over(|t| t[1] * t[1] + t[2]) - mean * mean;
            assert_abs_diff_eq!(found.value, mean, epsilon = 1e-4);
            assert_abs_diff_eq!(found.sd, variance.sqrt(), epsilon = 1e-4);
            assert_abs_diff_eq!(found.others, top + total.ln(), epsilon = 1e-4);
        }
        let i = 5;
        let at = |t: &[f64; 3]| (design.values[i] - t[1]) / t[2].sqrt();
        let logs = told[i].iter().map(|t| t[0]);
        let top = logs.clone().fold(f64::NEG_INFINITY, f64::max);
        let weights = logs.map(|l| (l - top).exp());
        let total: f64 = weights.clone().sum();
        let above: f64 = weights
            .zip(&told[i])
            .map(|(w, t)| w * normal_above(at(t)))
            .sum();
        let tail = (above / total).min(1.0 - above / total);
        assert_abs_diff_eq!(fit.expected()[i].tail, tail, epsilon = 1e-5);
    }

    /// Beside the usual table of the normal distribution (Abramowitz and Stegun 26.1 and 26.2; from memory).
    #[test]
    fn chances_are_those_of_the_table() {
        for (z, above) in [
            (0.0, 0.5),
            (0.5, 0.308_537_5),
            (1.0, 0.158_655_3),
            (2.0, 0.022_750_1),
            (3.0, 0.001_349_9),
        ] {
            assert!((normal_above(z) - above).abs() < 2e-7, "{z}");
            assert!((normal_above(-z) - (1.0 - above)).abs() < 2e-7, "-{z}");
        }
        for (z, above) in [(4.5, 3.397_7e-6), (5.0, 2.866_5e-7), (6.0, 9.865_9e-10)] {
            assert!((normal_above(z) / above - 1.0).abs() < 2e-3, "{z}");
        }
    }
}
