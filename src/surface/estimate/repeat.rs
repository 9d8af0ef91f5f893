//! How far the expectation of what survives moves with the readings' errors.

use super::Drawn;

impl Drawn<'_> {
    /// One standard deviation, mm, of the expectation of what survives over surveys that read the same board at the same places: the
    /// share of the readings' errors alone. What lies between the readings is the same wood each time and has no part in it.
    /// `survives` holds what survives of each of the boards drawn, in order.
    ///
    /// Of an unknown t seen through readings s + e, with e normal of variance σ², the expectation moves with a reading by the
    /// posterior covariance of t and s over σ² (Tweedie's formula: Robbins, "An empirical Bayes approach to statistics", 1956;
    /// from memory). Taken over the draws, exact but for their number.
    #[must_use]
    pub fn repeat_error(&self, survives: &[f64]) -> f64 {
        let design = &self.estimate.design;
        let n = survives.len() as f64;
        let mean = survives.iter().sum::<f64>() / n;
        let mut moves = vec![0.0; design.noise.len()];
        let mut of_draws = survives.iter();
        for (belief, drawn) in &self.amplitudes {
            // The mean of a reading need not be taken off: the mean of t is.
            let readings = drawn.readings(design, belief);
            for (column, t) in readings.column_iter().zip(&mut of_draws) {
                for (i, s) in column.iter().enumerate() {
                    let off = s - design.values[i];
                    moves[i] += off * (t - mean) / (n * belief.noise[i].powi(2));
                }
            }
        }
        let by_each = moves.iter().zip(&design.noise);
        by_each.map(|(m, sd)| (m * sd).powi(2)).sum::<f64>().sqrt()
    }
}
