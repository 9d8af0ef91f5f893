//! A shop's own loss: what comes off the planer thinner than was predicted.
//!
//! The hierarchical normal model (A. Gelman and others, *Bayesian Data Analysis*, chapters 5 and 15, from memory): the loss
//! of a record is the shop's, plus that of its machine, its species and its way of laying, plus an error of its own.
//! All are normal; each group's spread and the scatter of boards are unknown and run over a small grid of values. Given
//! these, everything is linear least squares in closed form; the grid points are weighted by their marginal likelihood. So
//! a group with few records is drawn towards the shop, and a shop with few towards none.

use super::cholesky::Cholesky;
use super::prior::Prior;
use super::sums::Sums;
use crate::surface::normal;

/// What tells records of one shop apart; the index of [`Outcome::labels`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The machine that took the board to thickness.
    Machine,
    /// The wood.
    Species,
    /// How the board was laid.
    Way,
}

impl Kind {
    /// All of them, in the order of labels.
    pub const ALL: [Self; 3] = [Self::Machine, Self::Species, Self::Way];
}

/// The machine, species and way of laying of a record; none where they were not told.
pub type Labels = [Option<String>; 3];

/// One piece that was predicted and milled.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// Predicted less actual, mm, the prediction as without any loss.
    pub loss: f64,
    /// Standard deviation of the prediction and of reading the actual, mm.
    pub sd: f64,
    /// The board it was part of: pieces of one board share some of their error.
    pub board: String,
    /// What it was milled on, of what, and how.
    pub labels: Labels,
}

/// A loss and how far it may be off, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loss {
    /// The mean.
    pub mean: f64,
    /// Exceeded in 95 of 100.
    pub low: f64,
    /// Exceeded in 5 of 100.
    pub high: f64,
}

impl Loss {
    /// The standard deviation of a normal number with such an interval.
    #[must_use]
    pub fn sd(&self) -> f64 {
        (self.high - self.low) / (2.0 * normal::NINE_IN_TEN)
    }
}

/// What outcomes taught of a shop's loss.
///
/// ```
/// use outwind::book::{Learnt, Outcome, Prior};
///
/// let outcome = |loss| Outcome { loss, sd: 0.3, board: format!("{loss}"), ..Outcome::default() };
/// let learnt = Learnt::new(&[0.9, 1.1, 1.2, 0.8].map(outcome), &Prior::default());
/// let shop = learnt.shop();
/// assert!(0.8 < shop.mean && shop.mean < 1.0 && shop.low < 0.8 && shop.high > 1.0);
/// ```
#[derive(Debug, Clone)]
pub struct Learnt {
    /// The labels that records have, by kind, in the order in which they came.
    labels: [Vec<String>; 3],
    /// The share of records that have each.
    shares: [Vec<f64>; 3],
    points: Vec<Point>,
}

/// One choice of the unknown spreads, and what follows from it.
#[derive(Debug, Clone)]
struct Point {
    weight: f64,
    scatter: f64,
    groups: [f64; 3],
    /// Standard deviation of each effect before any record: the shop's first, then label by label.
    scales: Vec<f64>,
    /// The mean of each effect.
    means: Vec<f64>,
    posterior: Cholesky,
}

/// A sum of effects: the factor of each, and what is unknown on top.
struct Combination {
    factors: Vec<f64>,
    /// How much of each kind's variance comes on top.
    beyond: [f64; 3],
    /// Whether a single board's scatter does.
    scatters: bool,
}

impl Learnt {
    /// Learns from outcomes; of none, what the prior holds.
    #[must_use]
    pub fn new(outcomes: &[Outcome], prior: &Prior) -> Self {
        let mut labels: [Vec<String>; 3] = Default::default();
        for outcome in outcomes {
            for (known, label) in labels.iter_mut().zip(&outcome.labels) {
                if let Some(label) = label.as_ref().filter(|l| !known.contains(l)) {
                    known.push(label.clone());
                }
            }
        }
        let share = |kind: usize, label: &String| {
            let with = outcomes
                .iter()
                .filter(|o| o.labels[kind].as_ref() == Some(label));
            with.count() as f64 / outcomes.len() as f64
        };
        let shares = [0, 1, 2].map(|kind| {
            labels[kind]
                .iter()
                .map(|label| share(kind, label))
                .collect()
        });
        let mut learnt = Self {
            labels,
            shares,
            points: Vec::new(),
        };
        for &scatter in prior.scatter.values() {
            let sums = Sums::new(&learnt, outcomes, scatter);
            for &machine in prior.groups[0].values() {
                for &species in prior.groups[1].values() {
                    for &way in prior.groups[2].values() {
                        let point = learnt.point(&sums, prior.shop, [machine, species, way]);
                        learnt.points.push(point);
                    }
                }
            }
        }
        let most = learnt
            .points
            .iter()
            .map(|p| p.weight)
            .fold(f64::NEG_INFINITY, f64::max);
        learnt
            .points
            .iter_mut()
            .for_each(|p| p.weight = (p.weight - most).exp());
        learnt.points.retain(|p| p.weight > 1e-4);
        let sum: f64 = learnt.points.iter().map(|p| p.weight).sum();
        learnt.points.iter_mut().for_each(|p| p.weight /= sum);
        learnt
    }

    /// The labels of a kind that records have, in the order in which they came.
    #[must_use]
    pub fn labels(&self, kind: Kind) -> &[String] {
        &self.labels[kind as usize]
    }

    /// What the shop loses on average over the records' machines, species and ways.
    #[must_use]
    pub fn shop(&self) -> Loss {
        self.loss(&self.combination(&Labels::default(), false))
    }

    /// What it loses with one machine, species or way; over the others as the records have them.
    #[must_use]
    pub fn of(&self, kind: Kind, label: &str) -> Loss {
        let mut labels = Labels::default();
        labels[kind as usize] = Some(label.to_owned());
        self.loss(&self.combination(&labels, false))
    }

    /// What the next board will lose. A label that no record has stands for any of its kind; where none is told, it is one
    /// of the records'.
    #[must_use]
    pub fn next(&self, labels: &Labels) -> Loss {
        self.loss(&self.combination(labels, true))
    }

    fn combination(&self, labels: &Labels, next: bool) -> Combination {
        let mut factors = vec![1.0];
        let mut beyond = [0.0; 3];
        for (kind, label) in labels.iter().enumerate() {
            let (known, shares) = (&self.labels[kind], &self.shares[kind]);
            match label {
                Some(label) => {
                    let own = known
                        .iter()
                        .map(|other| f64::from(u8::from(other == label)));
                    factors.extend(own);
                    beyond[kind] = f64::from(u8::from(!known.contains(label)));
                }
                None => {
                    factors.extend(shares);
                    // One of the records' at random lies off their mean by this share of the variance.
                    let told: f64 = shares.iter().sum();
                    beyond[kind] = told - shares.iter().map(|s| s * s).sum::<f64>();
                }
            }
        }
        if !next {
            beyond = [0.0; 3];
        }
        Combination {
            factors,
            beyond,
            scatters: next,
        }
    }

    /// The effects given one choice of spreads; its weight is the logarithm of its marginal likelihood.
    fn point(&self, sums: &Sums, shop: f64, groups: [f64; 3]) -> Point {
        let mut scales = vec![shop];
        for (labels, spread) in self.labels.iter().zip(groups) {
            scales.extend(labels.iter().map(|_| spread));
        }
        let size = scales.len();
        // Effects in units of their own scale have the identity for their prior precision.
        let mut precision = vec![0.0; size * size];
        for i in 0..size {
            for j in 0..size {
                let own = f64::from(u8::from(i == j));
                precision[i * size + j] = own + scales[i] * sums.squares[i * size + j] * scales[j];
            }
        }
        let posterior = Cholesky::new(size, &precision);
        let right: Vec<f64> = sums
            .products
            .iter()
            .zip(&scales)
            .map(|(p, s)| p * s)
            .collect();
        let forward = posterior.forward(&right);
        let explained: f64 = forward.iter().map(|x| x * x).sum();
        let means = posterior.backward(&forward);
        Point {
            weight: 0.5 * (explained - posterior.log_determinant()) + sums.likelihood,
            scatter: sums.scatter,
            groups,
            means: means.iter().zip(&scales).map(|(m, s)| m * s).collect(),
            scales,
            posterior,
        }
    }

    /// The mean of a combination over the grid, and the central 90 % of the mixture of normals.
    fn loss(&self, combination: &Combination) -> Loss {
        let parts: Vec<[f64; 3]> = self
            .points
            .iter()
            .map(|point| {
                let factors = &combination.factors;
                let mean: f64 = point.means.iter().zip(factors).map(|(m, f)| m * f).sum();
                let scaled: Vec<f64> = point
                    .scales
                    .iter()
                    .zip(factors)
                    .map(|(s, f)| s * f)
                    .collect();
                let known = point.posterior.forward(&scaled);
                let mut variance: f64 = known.iter().map(|x| x * x).sum();
                for (share, spread) in combination.beyond.iter().zip(point.groups) {
                    variance += share * spread * spread;
                }
                if combination.scatters {
                    variance += point.scatter * point.scatter;
                }
                [point.weight, mean, variance.sqrt()]
            })
            .collect();
        let quantile = |share: f64| {
            let reach = |sign: f64| {
                let far = parts.iter().map(|[_, mean, sd]| sign * mean + 8.0 * sd);
                sign * far.fold(f64::NEG_INFINITY, f64::max)
            };
            let (mut low, mut high) = (reach(-1.0), reach(1.0));
            // To a billionth of where it begins.
            for _ in 0..30 {
                let middle = f64::midpoint(low, high);
                let below: f64 = parts
                    .iter()
                    .map(|[weight, mean, sd]| {
                        weight * normal::below((middle - mean) / sd.max(1e-12))
                    })
                    .sum();
                if below < share {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            f64::midpoint(low, high)
        };
        Loss {
            mean: parts.iter().map(|[weight, mean, _]| weight * mean).sum(),
            low: quantile(0.05),
            high: quantile(0.95),
        }
    }
}

impl Learnt {
    /// How many effects there are: the shop's, and that of each label.
    pub(super) fn effects(&self) -> usize {
        1 + self.labels.iter().map(Vec::len).sum::<usize>()
    }

    /// The effects that a record holds: the shop's, and that of each label.
    pub(super) fn columns(&self, labels: &Labels) -> Vec<usize> {
        let mut columns = vec![0];
        let mut first = 1;
        for (known, label) in self.labels.iter().zip(labels) {
            let at = known.iter().position(|other| Some(other) == label.as_ref());
            columns.extend(at.map(|at| first + at));
            first += known.len();
        }
        columns
    }
}
