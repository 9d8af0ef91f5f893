//! Small symmetric positive definite matrices, by rows.

/// The lower factor L of a matrix A = L Lᵀ.
#[derive(Debug, Clone)]
pub(super) struct Cholesky {
    size: usize,
    lower: Vec<f64>,
}

impl Cholesky {
    /// Of an identity plus what is not negative: its pivots are 1 or more but for rounding.
    pub(super) fn new(size: usize, matrix: &[f64]) -> Self {
        let mut lower = matrix.to_vec();
        for i in 0..size {
            for j in 0..=i {
                let before: f64 = (0..j)
                    .map(|k| lower[i * size + k] * lower[j * size + k])
                    .sum();
                let rest = lower[i * size + j] - before;
                lower[i * size + j] = if i == j {
                    rest.max(f64::MIN_POSITIVE).sqrt()
                } else {
                    rest / lower[j * size + j]
                };
            }
        }
        Self { size, lower }
    }

    /// The logarithm of the determinant of A.
    pub(super) fn log_determinant(&self) -> f64 {
        let pivots = (0..self.size).map(|i| self.lower[i * self.size + i].ln());
        2.0 * pivots.sum::<f64>()
    }

    /// L⁻¹ b.
    pub(super) fn forward(&self, right: &[f64]) -> Vec<f64> {
        let mut x = right.to_vec();
        for i in 0..self.size {
            let row = &self.lower[i * self.size..];
            let before: f64 = (0..i).map(|k| row[k] * x[k]).sum();
            x[i] = (x[i] - before) / row[i];
        }
        x
    }

    /// A⁻¹ b, given L⁻¹ b.
    pub(super) fn backward(&self, forward: &[f64]) -> Vec<f64> {
        let mut x = forward.to_vec();
        for i in (0..self.size).rev() {
            let after: f64 = (i + 1..self.size)
                .map(|k| self.lower[k * self.size + i] * x[k])
                .sum();
            x[i] = (x[i] - after) / self.lower[i * self.size + i];
        }
        x
    }
}
