//! Where the next reading tells most.

use super::design::Design;
use super::{Drawn, Observation};

impl Drawn<'_> {
    /// For each candidate reading (its `value` is not used), the share of the variance of what survives that it is
    /// expected to take away, 0 to 1. `survives` holds what survives of each of the boards drawn, in order.
    ///
    /// The share is the squared correlation between what survives and what would be read, over the draws: exact
    /// where what survives is a linear function of the faces.
    #[must_use]
    pub fn worth(&self, candidates: &[Observation], survives: &[f64]) -> Vec<f64> {
        let estimate = self.estimate;
        let design = Design::new(
            &estimate.outline,
            &estimate.prior,
            candidates,
            estimate.design.setups.ncols(),
        );
        let n = survives.len() as f64;
        let mean = survives.iter().sum::<f64>() / n;
        let mut variance = 0.0;
        let zero = vec![0.0; candidates.len()];
        let (mut sum, mut square, mut product) = (zero.clone(), zero.clone(), zero);
        let mut of_draws = survives.iter();
        for (belief, drawn) in &self.amplitudes {
            let readings = drawn.readings(&design, belief);
            for (column, t) in readings.column_iter().zip(&mut of_draws) {
                variance += (t - mean).powi(2) / n;
                for (i, reading) in column.iter().enumerate() {
                    sum[i] += reading / n;
                    square[i] += reading * reading / n;
                    product[i] += reading * (t - mean) / n;
                }
            }
        }
        (0..candidates.len())
            .map(|i| {
                let spread = square[i] - sum[i] * sum[i] + design.noise[i].powi(2);
                if variance > 0.0 && spread > 0.0 {
                    (product[i].powi(2) / (spread * variance)).min(1.0)
                } else {
                    0.0
                }
            })
            .collect()
    }

    /// The candidate that is expected to narrow the interval of what survives most, with its [`worth`](Self::worth); none where
    /// there are no candidates.
    #[must_use]
    pub fn next_reading(
        &self,
        candidates: &[Observation],
        survives: &[f64],
    ) -> Option<(usize, f64)> {
        let worth = self.worth(candidates, survives);
        worth
            .into_iter()
            .enumerate()
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }
}
