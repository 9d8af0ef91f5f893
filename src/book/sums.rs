//! What the records of a book add up to, for least squares of the effects.

use super::model::{Learnt, Outcome};
use super::prior::SHARED;

/// What the records add up to, given the scatter of boards: X'V⁻¹X, X'V⁻¹y and the part of the logarithm of the likelihood
/// that no effect changes.
pub(super) struct Sums {
    pub(super) scatter: f64,
    pub(super) squares: Vec<f64>,
    pub(super) products: Vec<f64>,
    pub(super) likelihood: f64,
}

impl Sums {
    pub(super) fn new(learnt: &Learnt, outcomes: &[Outcome], scatter: f64) -> Self {
        let size = learnt.effects();
        let mut sums = Self {
            scatter,
            squares: vec![0.0; size * size],
            products: vec![0.0; size],
            likelihood: 0.0,
        };
        let mut boards: Vec<&str> = Vec::new();
        for outcome in outcomes {
            if !boards.contains(&outcome.board.as_str()) {
                boards.push(&outcome.board);
            }
        }
        for board in boards {
            sums.add(learnt, outcomes.iter().filter(|o| o.board == board));
        }
        sums
    }

    /// Adds the pieces of one board, whose errors go together by [`SHARED`]: with r = `SHARED`, the inverse of
    /// (1 − r) I + r 11' is (I − r / (1 + (n − 1) r) 11') / (1 − r).
    fn add<'o>(&mut self, learnt: &Learnt, pieces: impl Iterator<Item = &'o Outcome>) {
        let size = self.products.len();
        let (mut whole_row, mut whole_loss, mut count) = (vec![0.0; size], 0.0, 0.0);
        let mut rows: Vec<(Vec<usize>, f64, f64)> = Vec::new();
        for outcome in pieces {
            let sd = outcome.sd.hypot(self.scatter).max(1e-9);
            let columns = learnt.columns(&outcome.labels);
            columns.iter().for_each(|&c| whole_row[c] += 1.0 / sd);
            whole_loss += outcome.loss / sd;
            count += 1.0;
            self.likelihood -= sd.ln();
            rows.push((columns, outcome.loss / sd, 1.0 / sd));
        }
        let shared = if count > 1.0 { SHARED } else { 0.0 };
        let own = 1.0 / (1.0 - shared);
        let together = own * shared / (1.0 + (count - 1.0) * shared);
        for (columns, loss, weight) in &rows {
            for &i in columns {
                for &j in columns {
                    self.squares[i * size + j] += own * weight * weight;
                }
                self.products[i] += own * weight * loss;
            }
            self.likelihood -= 0.5 * own * loss * loss;
        }
        for i in 0..size {
            for j in 0..size {
                self.squares[i * size + j] -= together * whole_row[i] * whole_row[j];
            }
            self.products[i] -= together * whole_row[i] * whole_loss;
        }
        self.likelihood += 0.5 * together * whole_loss * whole_loss;
        self.likelihood -=
            0.5 * ((count - 1.0) * (1.0 - shared).ln() + (1.0 + (count - 1.0) * shared).ln());
    }
}

#[cfg(test)]
mod tests {
    use super::{SHARED, Sums};
    use crate::book::cholesky::Cholesky;
    use crate::book::{Learnt, Outcome, Prior};

    /// Beside the covariance of all records written out and factored as a whole.
    #[test]
    fn they_are_those_of_the_whole_covariance() {
        let outcome =
            |board: &str, loss: f64, sd: f64, machine: &str, wood: Option<&str>| Outcome {
                loss,
                sd,
                board: board.to_owned(),
                labels: [Some(machine.to_owned()), wood.map(str::to_owned), None],
            };
        let outcomes = [
            outcome("a", 0.9, 0.3, "planer", Some("oak")),
            outcome("b", 0.2, 0.1, "sled", None),
            outcome("a", 0.7, 0.2, "planer", Some("oak")),
            outcome("a", -0.4, 0.5, "sled", Some("oak")),
            outcome("c", 1.3, 0.4, "sled", Some("ash")),
            outcome("c", 1.1, 0.0, "planer", Some("ash")),
        ];
        let learnt = Learnt::new(&outcomes, &Prior::default());
        let scatter = 0.35;
        let sums = Sums::new(&learnt, &outcomes, scatter);
        // The shop, planer and sled, oak and ash.
        let effects = [
            [1.0, 1.0, 0.0, 1.0, 0.0],
            [1.0, 0.0, 1.0, 0.0, 0.0],
            [1.0, 1.0, 0.0, 1.0, 0.0],
            [1.0, 0.0, 1.0, 1.0, 0.0],
            [1.0, 0.0, 1.0, 0.0, 1.0],
            [1.0, 1.0, 0.0, 0.0, 1.0],
        ];
        let sd: Vec<f64> = outcomes.iter().map(|o| o.sd.hypot(scatter)).collect();
        let covariance: Vec<f64> = (0..36)
            .map(|k| (k / 6, k % 6))
            .map(|(i, j)| {
                let shared = match (i == j, outcomes[i].board == outcomes[j].board) {
                    (true, _) => 1.0,
                    (false, true) => SHARED,
                    (false, false) => 0.0,
                };
                shared * sd[i] * sd[j]
            })
            .collect();
        let whole = Cholesky::new(6, &covariance);
        let white = |of: &dyn Fn(usize) -> f64| whole.forward(&(0..6).map(of).collect::<Vec<_>>());
        let dot = |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(a, b)| a * b).sum() };
        let losses = white(&|i| outcomes[i].loss);
        let columns: Vec<Vec<f64>> = (0..5).map(|j| white(&|i| effects[i][j])).collect();
        let likelihood = -0.5 * (dot(&losses, &losses) + whole.log_determinant());
        assert!((sums.likelihood - likelihood).abs() < 1e-9);
        for i in 0..5 {
            assert!((sums.products[i] - dot(&columns[i], &losses)).abs() < 1e-9);
            for j in 0..5 {
                let square = dot(&columns[i], &columns[j]);
                assert!((sums.squares[i * 5 + j] - square).abs() < 1e-9);
            }
        }
    }
}
