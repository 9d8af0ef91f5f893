//! The form of a scan in one pass, by sums instead of rows.
//!
//! Sums of products square what they sum, and lose twice the digits of an orthogonal factorisation. A scan spares them: a
//! part of it, factorised row by row, gives its form but for a hair and shows whether it is well determined; of what is
//! left of every reading over that form the sums lose nothing that counts.

use std::array::from_fn;

use rayon::prelude::*;

use super::form::{Form, TERMS, terms};
use super::least_squares::LeastSquares;
use crate::board::Outline;
use crate::readings::Point;

/// Readings of the part that is factorised.
const PART: usize = 8192;

/// Readings whose products are summed before they are added to the others.
const BLOCK: usize = 256;

/// Readings that are summed by themselves, side by side with others.
const SHARE: usize = 256 * BLOCK;

/// Terms and what is left over.
const COLUMNS: usize = TERMS + 1;

/// Sums of products, row by row.
type Sums = [[f64; COLUMNS]; COLUMNS];

/// The form of many points and the slopes of their least-squares plane along x and y; `None` where the points do not
/// determine them well enough for sums.
pub(super) fn form(outline: &Outline, points: &[Point]) -> Option<(Form, [f64; 2])> {
    let part: Vec<Point> = points
        .iter()
        .step_by(points.len().div_ceil(PART).max(1))
        .copied()
        .collect();
    let near = Form::new(*outline, &part);
    let sums = sums(&near, points);
    let row_sums: Vec<f64> = sums.iter().flatten().copied().collect();
    let mut fit = LeastSquares::of_sums(TERMS, &row_sums, points.len())?.solve();
    let near = &near.fit.shortest;
    for (value, near) in fit.shortest.iter_mut().zip(near) {
        *value += near;
    }
    for (value, near) in fit.coefficients.iter_mut().zip(near) {
        *value = value.map(|value| value + near);
    }
    // Of the plane the columns are 1, u, v, and its heights those left over with the form put back.
    let height = |i: usize| sums[i][TERMS] + (0..TERMS).map(|j| sums[i][j] * near[j]).sum::<f64>();
    let square = sums[TERMS][TERMS]
        + (0..TERMS)
            .map(|j| near[j] * (sums[j][TERMS] + height(j)))
            .sum::<f64>();
    let plane_sums: Vec<f64> = (0..3)
        .flat_map(|i| [sums[i][0], sums[i][1], sums[i][2], height(i)])
        .chain([height(0), height(1), height(2), square])
        .collect();
    let plane = LeastSquares::of_sums(3, &plane_sums, points.len())?
        .solve()
        .shortest;
    let form = Form::of_fit(*outline, fit);
    Some((
        form,
        [
            plane[1] * 2.0 / outline.length,
            plane[2] * 2.0 / outline.width,
        ],
    ))
}

/// The sums over all points of the products of their terms and of what stands over the form `near`.
fn sums(near: &Form, points: &[Point]) -> Sums {
    let shares: Vec<Sums> = points
        .par_chunks(SHARE)
        .map(|share| sums_of(near, share))
        .collect();
    from_fn(|i| from_fn(|j| shares.iter().map(|s| s[i.max(j)][i.min(j)]).sum()))
}

/// The same of some of them, in the lower half.
fn sums_of(near: &Form, points: &[Point]) -> Sums {
    let mut sums = [[0.0; COLUMNS]; COLUMNS];
    let mut block = [[0.0; BLOCK]; COLUMNS];
    for some in points.chunks(BLOCK) {
        for (k, &[x, y, z]) in some.iter().enumerate() {
            let terms = terms(near.outline(), x, y);
            let mut over = z;
            for (term, (column, c)) in terms.iter().zip(block.iter_mut().zip(&near.fit.shortest)) {
                column[k] = *term;
                over -= c * term;
            }
            block[TERMS][k] = over;
        }
        for (i, (row, a)) in sums.iter_mut().zip(&block).enumerate() {
            for (sum, b) in row.iter_mut().zip(&block[..=i]) {
                *sum += dot(&a[..some.len()], &b[..some.len()]);
            }
        }
    }
    sums
}

/// The sum of products, four at a time.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (fours_a, fours_b) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = fours_a
        .remainder()
        .iter()
        .zip(fours_b.remainder())
        .map(|(a, b)| a * b)
        .sum();
    let mut lanes = [0.0; 4];
    for (a, b) in fours_a.zip(fours_b) {
        for (lane, (a, b)) in lanes.iter_mut().zip(a.iter().zip(b)) {
            *lane += a * b;
        }
    }
    lanes.iter().sum::<f64>() + rest
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::form::plane;

    /// Beside the factorisation of all rows.
    #[test]
    fn sums_give_what_rows_give() {
        let outline = Outline {
            x0: 100.0,
            y0: -50.0,
            length: 2400.0,
            width: 300.0,
        };
        let points: Vec<Point> = (0..60_000)
            .map(|k| {
                let (x, y) = (
                    100.0 + f64::from(k % 601) * 4.0,
                    -50.0 + f64::from(k / 601) * 3.0,
                );
                let (u, v) = outline.unit_place(x, y);
                let rough = 0.3 * (f64::from(k) * 2.399).sin();
                [
                    x,
                    y,
                    812.0 + 30.0 * u + 6.0 * (1.0 - u * u) - 2.0 * v * v + u * v + rough,
                ]
            })
            .collect();
        let (quick, [along, across]) = form(&outline, &points).unwrap();
        let rows = Form::new(outline, &points);
        for (a, b) in quick.fit.shortest.iter().zip(&rows.fit.shortest) {
            assert!((a - b).abs() < 1e-10, "{a} {b}");
        }
        let close = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-9;
        assert!(close(quick.fit.residual_rms(), rows.fit.residual_rms()));
        for (a, b) in [
            (&quick.fit.standard_errors, &rows.fit.standard_errors),
            (&quick.fit.gains, &rows.fit.gains),
        ] {
            assert!(a.iter().zip(b).all(|(a, b)| close(a.unwrap(), b.unwrap())));
        }
        let shortest = quick.fit.shortest.iter().copied().map(Some);
        assert!(quick.fit.coefficients.iter().copied().eq(shortest));
        let [_, b, c] = plane(&points);
        assert!((along - b).abs() < 1e-12 && (across - c).abs() < 1e-12);
    }

    #[test]
    fn a_scan_along_a_line_is_left_to_the_rows() {
        let outline = Outline {
            x0: 0.0,
            y0: 0.0,
            length: 1000.0,
            width: 0.0,
        };
        let points: Vec<Point> = (0..20_000)
            .map(|k| [f64::from(k) / 20.0, 0.0, 3.0])
            .collect();
        assert!(form(&outline, &points).is_none());
    }
}
