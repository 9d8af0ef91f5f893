//! What readings tell of features, one beside another.

use std::ops::Range;

use nalgebra::{DMatrix, DVector, SMatrix, SVector};

/// The most shapes that a feature is made of. One of fewer has columns of nought for the rest, which change nothing.
pub(super) const SHAPES: usize = 3;

pub(super) type Amounts = SVector<f64, SHAPES>;
pub(super) type Square = SMatrix<f64, SHAPES, SHAPES>;

/// What readings w, independent and of variance 1, tell of a feature that they see as the columns of F. With it
/// their covariance is I + FFᵀ, of the determinant |L|² and the inverse I − PPᵀ, with LLᵀ = I + FᵀF and P = FL⁻ᵀ (the
/// matrix determinant lemma and Woodbury's formula).
pub(super) struct Told {
    /// L.
    root: Square,
    /// Pᵀw.
    found: Amounts,
}

impl Told {
    /// From FᵀF and Fᵀw. `None` where the arithmetic fails.
    pub(super) fn new(gram: &Square, sums: &Amounts) -> Option<Self> {
        let root = (Square::identity() + gram).cholesky()?.unpack();
        let found = lower_solve(&root, sums);
        Some(Self { root, found })
    }

    /// Of a feature of one shape f, from fᵀf and fᵀw.
    pub(super) fn of_one(square: f64, sum: f64) -> Option<Self> {
        let (mut gram, mut sums) = (Square::zeros(), Amounts::zeros());
        (gram[(0, 0)], sums[0]) = (square, sum);
        Self::new(&gram, &sums)
    }

    /// Of a second feature, G, where this one is there as well: the inverse I − PPᵀ stands for I. `common`: FᵀG.
    pub(super) fn beside(&self, gram: &Square, sums: &Amounts, common: &Square) -> Option<Self> {
        let shared = self.shared(common);
        let gram = gram - shared.tr_mul(&shared);
        Self::new(&gram, &(sums - shared.tr_mul(&self.found)))
    }

    /// PᵀG, from FᵀG.
    pub(super) fn shared(&self, common: &Square) -> Square {
        let columns = [0, 1, 2].map(|k| lower_solve(&self.root, &common.column(k).into()));
        Square::from_columns(&columns)
    }

    /// What the feature adds to the logarithm of the likelihood.
    pub(super) fn gain(&self) -> f64 {
        let log_root: f64 = self.root.diagonal().iter().map(|d| d.ln()).sum();
        0.5 * self.found.norm_squared() - log_root
    }

    /// What the feature takes off wᵀw.
    pub(super) fn explained(&self) -> f64 {
        self.found.norm_squared()
    }

    /// Pᵀq, from Fᵀq, with what the feature takes off qᵀw and qᵀq.
    pub(super) fn takes(&self, seen: &Amounts) -> (Amounts, f64, f64) {
        let share = lower_solve(&self.root, seen);
        (share, share.dot(&self.found), share.norm_squared())
    }
}

fn lower_solve(root: &Square, right: &Amounts) -> Amounts {
    let mut solved = *right;
    for i in 0..SHAPES {
        for k in 0..i {
            solved[i] -= root[(i, k)] * solved[k];
        }
        solved[i] /= root[(i, i)];
    }
    solved
}

/// The entries of a vector that belong to one feature's shapes.
pub(super) fn amounts(of: &DVector<f64>, shapes: &Range<usize>) -> Amounts {
    Amounts::from_fn(|i, _| {
        let at = shapes.start + i;
        if at < shapes.end { of[at] } else { 0.0 }
    })
}

/// Those of a row.
pub(super) fn row(of: &DMatrix<f64>, row: usize, shapes: &Range<usize>) -> Amounts {
    Amounts::from_fn(|i, _| {
        let at = shapes.start + i;
        if at < shapes.end { of[(row, at)] } else { 0.0 }
    })
}

/// FᵀG of two features whose shapes are among the columns.
pub(super) fn common(columns: &DMatrix<f64>, a: &Range<usize>, b: &Range<usize>) -> Square {
    Square::from_fn(|i, j| {
        let (i, j) = (a.start + i, b.start + j);
        if i < a.end && j < b.end {
            columns.column(i).dot(&columns.column(j))
        } else {
            0.0
        }
    })
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;
    use nalgebra::{DMatrix, DVector};

    use super::{Told, amounts, common, row};

    /// Beside nalgebra: a feature of three shapes and one of one, among eight readings.
    #[test]
    fn two_features_are_told_as_by_the_whole_covariance() {
        let (n, features) = (8, [0..3, 3..4]);
        let shapes = DMatrix::from_fn(n, 4, |i, j| ((3 * i + 5 * j * j + i * j) as f64).sin());
        let white = DVector::from_fn(n, |i, _| ((7 * i + 2) as f64).cos());
        let covariance = DMatrix::identity(n, n) + &shapes * shapes.transpose();
        let whole = covariance.cholesky().unwrap();

        let sums = shapes.tr_mul(&white);
        let [a, b] = &features;
        let both = common(&shapes, a, b);
        let first = Told::new(&common(&shapes, a, a), &amounts(&sums, a)).unwrap();
        let second = first
            .beside(&common(&shapes, b, b), &amounts(&sums, b), &both)
            .unwrap();

        let solved = whole.solve(&white);
        let log_likelihood = -0.5 * white.dot(&solved) - 0.5 * whole.determinant().ln();
        assert_abs_diff_eq!(
            first.gain() + second.gain() - 0.5 * white.norm_squared(),
            log_likelihood,
            epsilon = 1e-12
        );
        assert_abs_diff_eq!(
            white.norm_squared() - first.explained() - second.explained(),
            white.dot(&solved),
            epsilon = 1e-12
        );
        let inverse = whole.inverse();
        for i in 0..n {
            let (share, read, square) = first.takes(&row(&shapes, i, a));
            let rest = row(&shapes, i, b) - first.shared(&both).tr_mul(&share);
            let (_, read_too, square_too) = second.takes(&rest);
            assert_abs_diff_eq!(white[i] - read - read_too, solved[i], epsilon = 1e-12);
            assert_abs_diff_eq!(1.0 - square - square_too, inverse[(i, i)], epsilon = 1e-12);
        }
    }
}
