//! The form of a face: its least-squares plane, cup, bow and twist.

use super::estimate::Observation;
use super::least_squares::{Fit, LeastSquares};
use crate::board::Outline;
use crate::readings::{Face, Point};

/// The terms of the form, in this order: 1, u, v, uv, 1 − u², 1 − v².
pub const TERMS: usize = 6;

/// From so many points on the rows are gathered in one pass of sums.
const MANY: usize = 4096;

/// A face's heights as `c · (1, u, v, uv, 1 − u², 1 − v²)`, where u and v run from −1 to 1 over the board's
/// whole length and width. Every reading has equal weight; residuals are taken along z.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    outline: Outline,
    /// The least-squares fit behind it, columns in the order of the terms.
    pub fit: Fit,
}

impl Form {
    /// The form that fits the points best. Terms that they do not determine are `None` in `fit`.
    #[must_use]
    pub fn new(outline: Outline, points: &[Point]) -> Self {
        let mut rows = LeastSquares::new(TERMS);
        if points.len() < MANY {
            for &[x, y, z] in points {
                rows.push(&terms(&outline, x, y), z);
            }
            let fit = rows.solve();
            return Self { outline, fit };
        }
        // Heights over that of the first, so that a datum far away costs no digits.
        let level = points[0][2];
        rows.push_many(points.iter().map(|&[x, y, z]| {
            let [a, b, c, d, e, f] = terms(&outline, x, y);
            [a, b, c, d, e, f, z - level]
        }));
        let mut fit = rows.solve();
        fit.shortest[0] += level;
        if let Some(height) = &mut fit.coefficients[0] {
            *height += level;
        }
        Self { outline, fit }
    }

    /// The form of a face that fits observations of it alone best, each weighed by its error; residuals are in
    /// millimetres of the finest, whose error is given with it. Its height over the datum stays undetermined where none
    /// tells it.
    #[must_use]
    pub fn of_observations(
        outline: Outline,
        face: Face,
        observations: &[Observation],
    ) -> (Self, f64) {
        let of_face =
            |o: &&Observation| o.setup.is_empty() && o.terms.iter().all(|t| t.face == face);
        let finest = observations
            .iter()
            .filter(of_face)
            .map(|o| o.sd)
            .fold(f64::INFINITY, f64::min);
        let mut rows = LeastSquares::new(TERMS);
        for o in observations.iter().filter(of_face) {
            let weight = finest / o.sd;
            let mut row = [0.0; TERMS];
            for t in &o.terms {
                for (sum, term) in row.iter_mut().zip(terms(&outline, t.x, t.y)) {
                    *sum += weight * t.weight * term;
                }
            }
            rows.push(&row, weight * o.value);
        }
        let form = Self {
            outline,
            fit: rows.solve(),
        };
        (form, finest)
    }

    /// The rectangle over which u and v run from −1 to 1.
    #[must_use]
    pub fn outline(&self) -> &Outline {
        &self.outline
    }

    /// The height of the form over a place, with the shortest of the solutions where several fit as well.
    #[must_use]
    pub fn height(&self, x: f64, y: f64) -> f64 {
        let terms = terms(&self.outline, x, y);
        terms
            .iter()
            .zip(&self.fit.shortest)
            .map(|(t, c)| t * c)
            .sum()
    }
}

pub(crate) fn terms(outline: &Outline, x: f64, y: f64) -> [f64; TERMS] {
    let (u, v) = outline.unit_place(x, y);
    [1.0, u, v, u * v, 1.0 - u * u, 1.0 - v * v]
}

/// Readings whose spread to the side is below this share of their spread along lie on a line: what is left is rounding.
const LINE: f64 = 1e-7;

/// The least-squares plane `z = a + b x + c y` of the points, as (a, b, c), residuals along z. Where the points
/// do not determine a slope (fewer than three, or all over one line) the least steep plane is taken.
#[must_use]
pub fn plane(points: &[Point]) -> [f64; 3] {
    let count = points.len().max(1) as f64;
    let centre = |axis: usize| points.iter().map(|p| p[axis] / count).sum::<f64>();
    let (x0, y0, z0) = (centre(0), centre(1), centre(2));
    // The principal axes of the places: along their greatest spread, and square to it.
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for [x, y, _] in points {
        let (dx, dy) = (x - x0, y - y0);
        xx += dx * dx;
        xy += dx * dy;
        yy += dy * dy;
    }
    let (sin, cos) = (0.5 * (2.0 * xy).atan2(xx - yy)).sin_cos();
    let spread = |c: f64, s: f64| (c * c * xx + 2.0 * c * s * xy + s * s * yy).max(0.0).sqrt();
    let on_a_line = spread(-sin, cos) <= LINE * spread(cos, sin);
    let mut rows = LeastSquares::new(2);
    let row = |[x, y, z]: &Point| {
        let (dx, dy) = (x - x0, y - y0);
        let aside = if on_a_line { 0.0 } else { cos * dy - sin * dx };
        [cos * dx + sin * dy, aside, z - z0]
    };
    if points.len() < MANY {
        for [along, aside, z] in points.iter().map(row) {
            rows.push(&[along, aside], z);
        }
    } else {
        rows.push_many(points.iter().map(row));
    }
    let slopes = rows.solve().shortest;
    let (b, c) = (
        cos * slopes[0] - sin * slopes[1],
        sin * slopes[0] + cos * slopes[1],
    );
    [z0 - b * x0 - c * y0, b, c]
}
