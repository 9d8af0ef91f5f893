//! What readings tell of features, one beside another.

use std::ops::Range;

use nalgebra::{DMatrix, DVector, SMatrix, SVector};

/// The most shapes that a feature is made of. One of fewer has columns of nought for the rest, which change nothing and are
/// passed over.
pub(super) const SHAPES: usize = 3;

pub(super) type Amounts = SVector<f64, SHAPES>;
pub(super) type Square = SMatrix<f64, SHAPES, SHAPES>;

/// What readings w, independent and of variance 1, see of a feature, which are the columns of F.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    /// How many shapes the feature has.
    shapes: usize,
    /// FᵀF.
    gram: Square,
    /// Fᵀw.
    sums: Amounts,
    /// m, the means of the amplitudes.
    means: Amounts,
}

impl Seen {
    /// From what the readings see of all shapes, Fᵀw of all, and the means of all; `shapes`: the feature's among them.
    pub(super) fn new(
        columns: &DMatrix<f64>,
        sums: &DVector<f64>,
        means: &[f64],
        shapes: &Range<usize>,
    ) -> Self {
        Self {
            shapes: shapes.len(),
            gram: common(columns, shapes, shapes),
            sums: amounts(sums.as_slice(), shapes),
            means: amounts(means, shapes),
        }
    }

    /// Of a feature of one shape f and mean nought, from fᵀf and fᵀw.
    pub(super) fn of_one(square: f64, sum: f64) -> Self {
        let (mut gram, mut sums) = (Square::zeros(), Amounts::zeros());
        (gram[(0, 0)], sums[0]) = (square, sum);
        Self {
            shapes: 1,
            gram,
            sums,
            means: Amounts::zeros(),
        }
    }

    /// The same feature, seen by other readings of the same errors.
    pub(super) fn summed(self, sums: Amounts) -> Self {
        Self { sums, ..self }
    }
}

/// What the readings tell of a feature. With it their mean is Fm and their covariance I + FFᵀ, of the determinant |L|² and the
/// inverse I − PPᵀ, with LLᵀ = I + FᵀF and P = FL⁻ᵀ (the matrix determinant lemma and Woodbury's formula).
#[derive(Debug, Clone, Copy)]
pub(super) struct Told {
    shapes: usize,
    means: Amounts,
    /// L.
    root: Square,
    /// Pᵀ(w − Fm); where there is a second feature, less its mean as well.
    found: Amounts,
    /// What the mean alone takes off wᵀw.
    lifted: f64,
}

impl Told {
    /// `None` where the arithmetic fails.
    pub(super) fn new(seen: &Seen) -> Option<Self> {
        Self::less(seen, &Square::zeros(), &Amounts::zeros())
    }

    /// This feature and a second one, G, where both are there: of the second the inverse I − PPᵀ stands for I.
    /// `common`: FᵀG.
    pub(super) fn with(&self, second: &Seen, common: &Square) -> Option<[Self; 2]> {
        let shared = self.shared(common, second.shapes);
        let first = Self {
            found: self.found - shared * second.means,
            ..*self
        };
        let beside = Seen {
            sums: second.sums - common.tr_mul(&self.means),
            ..*second
        };
        let (square, sums) = (shared.tr_mul(&shared), shared.tr_mul(&first.found));
        Some([first, Self::less(&beside, &square, &sums)?])
    }

    /// Less what another feature takes off FᵀF and Fᵀ(w − Fm).
    fn less(seen: &Seen, square: &Square, sums: &Amounts) -> Option<Self> {
        let root = (Square::identity() + seen.gram - square)
            .cholesky()?
            .unpack();
        let off = seen.sums - seen.gram * seen.means;
        let mut found = off - sums;
        lower_solve(&root, seen.shapes, found.as_mut_slice());
        Some(Self {
            shapes: seen.shapes,
            means: seen.means,
            root,
            found,
            lifted: seen.means.dot(&(seen.sums + off)),
        })
    }

    /// PᵀG, from FᵀG; `shapes`: of G.
    pub(super) fn shared(&self, common: &Square, shapes: usize) -> Square {
        let mut shared = *common;
        for column in shared.as_mut_slice().chunks_mut(SHAPES).take(shapes) {
            lower_solve(&self.root, self.shapes, column);
        }
        shared
    }

    /// What the feature adds to the logarithm of the likelihood.
    pub(super) fn gain(&self) -> f64 {
        0.5 * self.explained() - self.root.diagonal().product().ln()
    }

    /// What the feature takes off wᵀw.
    pub(super) fn explained(&self) -> f64 {
        self.lifted + self.found.norm_squared()
    }

    /// What the mean of the feature takes off qᵀw, from Fᵀq.
    pub(super) fn lifts(&self, seen: &Amounts) -> f64 {
        self.means.dot(seen)
    }

    /// Pᵀq, from Fᵀq, with what the feature, but for its mean, takes off qᵀw and qᵀq.
    pub(super) fn takes(&self, seen: &Amounts) -> (Amounts, f64, f64) {
        let mut share = *seen;
        lower_solve(&self.root, self.shapes, share.as_mut_slice());
        (share, share.dot(&self.found), share.norm_squared())
    }
}

/// Makes L⁻¹r of r; L has `size` columns that are not those of the identity.
fn lower_solve(root: &Square, size: usize, right: &mut [f64]) {
    for i in 0..size {
        for k in 0..i {
            right[i] -= root[(i, k)] * right[k];
        }
        right[i] /= root[(i, i)];
    }
}

/// The entries of a vector that belong to one feature's shapes.
pub(super) fn amounts(of: &[f64], shapes: &Range<usize>) -> Amounts {
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

    use super::{Seen, Told, common, row};

    /// Beside nalgebra: a feature of three shapes and one of one, among eight readings.
    #[test]
    fn two_features_are_told_as_by_the_whole_covariance() {
        let (n, features, means) = (8, [0..3, 3..4], [0.0, -1.5, 0.7, 2.0]);
        let shapes = DMatrix::from_fn(n, 4, |i, j| ((3 * i + 5 * j * j + i * j) as f64).sin());
        let white = DVector::from_fn(n, |i, _| ((7 * i + 2) as f64).cos());
        let off = &white - &shapes * DVector::from_column_slice(&means);
        let covariance = DMatrix::identity(n, n) + &shapes * shapes.transpose();
        let whole = covariance.cholesky().unwrap();

        let sums = shapes.tr_mul(&white);
        let [a, b] = &features;
        let both = common(&shapes, a, b);
        let [one, other] = [a, b].map(|at| Seen::new(&shapes, &sums, &means, at));
        let [first, second] = Told::new(&one).unwrap().with(&other, &both).unwrap();

        let solved = whole.solve(&off);
        let log_likelihood = -0.5 * off.dot(&solved) - 0.5 * whole.determinant().ln();
        assert_abs_diff_eq!(
            first.gain() + second.gain() - 0.5 * white.norm_squared(),
            log_likelihood,
            epsilon = 1e-12
        );
        assert_abs_diff_eq!(
            white.norm_squared() - first.explained() - second.explained(),
            off.dot(&solved),
            epsilon = 1e-12
        );
        let inverse = whole.inverse();
        let shared = first.shared(&both, b.len());
        for i in 0..n {
            let [seen, seen_too] = [a, b].map(|at| row(&shapes, i, at));
            let (share, read, square) = first.takes(&seen);
            let (_, read_too, square_too) = second.takes(&(seen_too - shared.tr_mul(&share)));
            let lifted = first.lifts(&seen) + second.lifts(&seen_too);
            let told = white[i] - lifted - read - read_too;
            assert_abs_diff_eq!(told, solved[i], epsilon = 1e-12);
            assert_abs_diff_eq!(1.0 - square - square_too, inverse[(i, i)], epsilon = 1e-12);
        }
    }
}
