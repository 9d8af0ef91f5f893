//! Linear least squares by orthogonal factorisation, one row at a time.
//!
//! Rows are gathered into blocks and each block is rotated into the triangle of those before it (Golub and
//! Van Loan, *Matrix Computations*, section 5.3 and 6.5): the accuracy of Householder QR, in memory that does
//! not grow with the number of rows. Nothing is squared, so a problem as ill-conditioned as a tenth-degree
//! polynomial still keeps seven digits.

use nalgebra::{DMatrix, DVector};

/// Rows gathered before they are rotated into the triangle.
const BLOCK: usize = 1024;

/// Eigenvalues of scaled sums of products below this are rounding.
const SQUARED_RANK_TOLERANCE: f64 = 1e-14;

/// Singular values of the column-scaled triangle below this share of the largest count as zero.
const RANK_TOLERANCE: f64 = 1e-13;

/// A coefficient takes part in an undetermined direction if its share of it is above this.
const SHARE_TOLERANCE: f64 = 1e-6;

/// Gathers rows `a · c = y` for the coefficients `c`.
#[derive(Debug, Clone)]
pub struct LeastSquares {
    columns: usize,
    rows: usize,
    /// The triangle so far, the right-hand side as its last column.
    triangle: DMatrix<f64>,
    block: Vec<f64>,
}

/// What the rows determine.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The coefficients, in the order of the columns; `None` where the rows do not determine one.
    pub coefficients: Vec<Option<f64>>,
    /// The coefficients of the shortest solution (in scaled columns), which fits the rows as well as any.
    pub shortest: Vec<f64>,
    /// One standard error of each coefficient, from the residuals; `None` where it is not determined or the
    /// rows leave nothing over to judge the error by.
    pub standard_errors: Vec<Option<f64>>,
    /// How far off each coefficient is, one standard deviation, where each row is off by one; `None` where it is not
    /// determined.
    pub gains: Vec<Option<f64>>,
    /// Independent columns among the rows.
    pub rank: usize,
    /// Number of rows.
    pub rows: usize,
    /// Sum of the squared residuals.
    pub residual_sum_of_squares: f64,
}

impl LeastSquares {
    /// An empty problem in `columns` coefficients.
    #[must_use]
    pub fn new(columns: usize) -> Self {
        Self {
            columns,
            rows: 0,
            triangle: DMatrix::zeros(0, columns + 1),
            block: Vec::with_capacity(BLOCK * (columns + 1)),
        }
    }

    /// Adds the row `a · c = y`.
    ///
    /// # Panics
    ///
    /// When `a` has another number of entries than the problem has columns.
    pub fn push(&mut self, a: &[f64], y: f64) {
        assert_eq!(a.len(), self.columns, "a row has one entry a column");
        self.block.extend_from_slice(a);
        self.block.push(y);
        self.rows += 1;
        if self.block.len() == BLOCK * (self.columns + 1) {
            self.rotate_in();
        }
    }

    /// Adds many rows, at least as many as they have entries, the right-hand side as the last of these, at the cost of the sums
    /// of their products. Those are squares: directions below some 1e-7 of the largest are taken for nought, so this is for a
    /// right-hand side near nought and columns far from dependent.
    ///
    /// # Panics
    ///
    /// When the rows have another number of entries than the problem has columns and one more.
    pub fn push_many<const W: usize>(&mut self, rows: impl Iterator<Item = [f64; W]>) {
        assert_eq!(W, self.columns + 1, "a row has one entry a column");
        let mut sums = [[0.0; W]; W];
        let mut count = 0;
        for row in rows {
            for (i, line) in sums.iter_mut().enumerate() {
                for (sum, entry) in line[..=i].iter_mut().zip(&row) {
                    *sum += row[i] * entry;
                }
            }
            count += 1;
        }
        let size: [f64; W] = std::array::from_fn(|i| match sums[i][i].sqrt() {
            0.0 => 1.0,
            size => size,
        });
        let scaled = DMatrix::from_fn(W, W, |i, j| sums[i.max(j)][i.min(j)] / size[i] / size[j]);
        if scaled.iter().any(|v| !v.is_finite()) {
            self.push(&[f64::NAN; W][1..], f64::NAN);
            self.rows += count - 1;
            return;
        }
        // A square root of the sums: as few rows that have the same.
        let eigen = scaled.symmetric_eigen();
        for (value, vector) in eigen
            .eigenvalues
            .iter()
            .zip(eigen.eigenvectors.column_iter())
        {
            let root = if *value > SQUARED_RANK_TOLERANCE {
                value.sqrt()
            } else {
                0.0
            };
            let row: [f64; W] = std::array::from_fn(|i| root * vector[i] * size[i]);
            self.push(&row[..W - 1], row[W - 1]);
        }
        self.rows = self.rows + count - W;
    }

    /// Rotates the gathered block into the triangle.
    fn rotate_in(&mut self) {
        let width = self.columns + 1;
        let held = self.triangle.nrows();
        let new = self.block.len() / width;
        let mut stacked = DMatrix::zeros(held + new, width);
        stacked.rows_mut(0, held).copy_from(&self.triangle);
        stacked
            .rows_mut(held, new)
            .copy_from(&DMatrix::from_row_slice(new, width, &self.block));
        self.block.clear();
        self.triangle = stacked.qr().r();
    }

    /// Solves for the coefficients.
    #[must_use]
    pub fn solve(mut self) -> Fit {
        if !self.block.is_empty() {
            self.rotate_in();
        }
        let k = self.columns;
        if self.triangle.iter().any(|v| !v.is_finite()) {
            return Fit::undetermined(k, self.rows);
        }
        // Fewer rows than columns leave a trapezium: rows of zeros make it a triangle.
        let triangle = self.triangle.resize(k + 1, k + 1, 0.0);
        let mut r = triangle.view((0, 0), (k, k)).into_owned();
        let q_y: DVector<f64> = triangle.view((0, k), (k, 1)).column(0).into_owned();

        let scale: Vec<f64> = r
            .column_iter()
            .map(|column| match column.norm() {
                0.0 => 1.0,
                norm => norm,
            })
            .collect();
        for (mut column, s) in r.column_iter_mut().zip(&scale) {
            column /= *s;
        }

        let svd = r.clone().svd(true, true);
        let (Some(u), Some(v_t)) = (&svd.u, &svd.v_t) else {
            unreachable!("both factors were asked for");
        };
        let threshold = svd.singular_values.max() * RANK_TOLERANCE;
        let kept: Vec<usize> = (0..k)
            .filter(|&i| svd.singular_values[i] > threshold)
            .collect();
        let rank = kept.len();

        let full_rank = (rank == k)
            .then(|| r.solve_upper_triangular(&q_y))
            .flatten();
        let scaled = full_rank.unwrap_or_else(|| {
            kept.iter().fold(DVector::zeros(k), |sum, &i| {
                sum + v_t.row(i).transpose() * (u.column(i).dot(&q_y) / svd.singular_values[i])
            })
        });
        // What the triangle cannot reach of the right-hand side, and what is left below it.
        let unreached = &q_y - &r * &scaled;
        let residual_sum_of_squares = unreached.norm_squared() + triangle[(k, k)].powi(2);

        let determined = |j: usize| {
            (0..k)
                .filter(|i| !kept.contains(i))
                .all(|i| v_t[(i, j)].abs() < SHARE_TOLERANCE)
        };
        let freedom = self.rows.saturating_sub(rank);
        let variance = |j: usize| -> f64 {
            kept.iter()
                .map(|&i| (v_t[(i, j)] / svd.singular_values[i]).powi(2))
                .sum()
        };
        let gain = |j: usize| variance(j).sqrt() / scale[j];
        let error =
            |j: usize| (variance(j) * residual_sum_of_squares / freedom as f64).sqrt() / scale[j];
        let shortest: Vec<f64> = scaled.iter().zip(&scale).map(|(c, s)| c / s).collect();
        Fit {
            coefficients: (0..k)
                .map(|j| determined(j).then_some(shortest[j]))
                .collect(),
            standard_errors: (0..k)
                .map(|j| (determined(j) && freedom > 0).then(|| error(j)))
                .collect(),
            gains: (0..k).map(|j| determined(j).then(|| gain(j))).collect(),
            shortest,
            rank,
            rows: self.rows,
            residual_sum_of_squares,
        }
    }
}

impl Fit {
    /// The fit of rows that determine nothing, as where their squares overflow.
    fn undetermined(columns: usize, rows: usize) -> Self {
        Self {
            coefficients: vec![None; columns],
            shortest: vec![0.0; columns],
            standard_errors: vec![None; columns],
            gains: vec![None; columns],
            rank: 0,
            rows,
            residual_sum_of_squares: f64::INFINITY,
        }
    }

    /// The residual standard deviation, over the rows left when the rank is taken off; `None` when none is left.
    #[must_use]
    pub fn residual_sd(&self) -> Option<f64> {
        let freedom = self.rows.saturating_sub(self.rank);
        (freedom > 0).then(|| (self.residual_sum_of_squares / freedom as f64).sqrt())
    }

    /// The root mean square of the residuals, over all rows.
    #[must_use]
    pub fn residual_rms(&self) -> f64 {
        (self.residual_sum_of_squares / self.rows.max(1) as f64).sqrt()
    }
}
