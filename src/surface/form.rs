//! The form of a face: its least-squares plane, cup, bow and twist.

use super::estimate::Observation;
use super::least_squares::{Fit, LeastSquares};
use crate::board::Outline;
use crate::readings::{Face, Point};

/// The terms of the form, in this order: 1, u, v, uv, 1 − u², 1 − v².
pub const TERMS: usize = 6;

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
        for &[x, y, z] in points {
            rows.push(&terms(&outline, x, y), z);
        }
        Self {
            outline,
            fit: rows.solve(),
        }
    }

    /// The form of a fit whose columns are the terms.
    pub(super) fn of_fit(outline: Outline, fit: Fit) -> Self {
        Self { outline, fit }
    }

    /// The same form, lower by so much.
    pub(super) fn lowered(&self, by: f64) -> Self {
        let mut lower = self.clone();
        lower.fit.shortest[0] -= by;
        let height = &mut lower.fit.coefficients[0];
        *height = height.map(|height| height - by);
        lower
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

impl Form {
    /// How steep the form is at a place along x and y.
    pub(super) fn slopes(&self, x: f64, y: f64) -> [f64; 2] {
        let fitted = [0, 1, 2, 3, 4, 5].map(|k: usize| self.fit.shortest[k]);
        slopes(&self.outline, &fitted, [x, y])
    }
}

/// How steep a form of these coefficients is at a place along x and y.
pub(super) fn slopes(outline: &Outline, form: &[f64; TERMS], [x, y]: [f64; 2]) -> [f64; 2] {
    let (u, v) = outline.unit_place(x, y);
    let [_, along, across, twist, bow, cup] = *form;
    let per = |slope: f64, extent: f64| {
        if extent > 0.0 {
            2.0 * slope / extent
        } else {
            0.0
        }
    };
    [
        per(along + twist * v - 2.0 * bow * u, outline.length),
        per(across + twist * u - 2.0 * cup * v, outline.width),
    ]
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
    for [x, y, z] in points {
        let (dx, dy) = (x - x0, y - y0);
        let aside = if on_a_line { 0.0 } else { cos * dy - sin * dx };
        rows.push(&[cos * dx + sin * dy, aside], z - z0);
    }
    let slopes = rows.solve().shortest;
    let (b, c) = (
        cos * slopes[0] - sin * slopes[1],
        sin * slopes[0] + cos * slopes[1],
    );
    [z0 - b * x0 - c * y0, b, c]
}

#[cfg(test)]
mod tests {
    use super::{Form, Outline};
    use approx::assert_abs_diff_eq;

    /// How steep a form is, beside how its height changes over a small step.
    #[test]
    fn a_form_is_as_steep_as_it_rises() {
        let outline = Outline {
            x0: 10.0,
            y0: -5.0,
            length: 2000.0,
            width: 200.0,
        };
        let height = |x: f64, y: f64| {
            let (u, v) = outline.unit_place(x, y);
            4.0 * (1.0 - u * u) - (1.0 - v * v) + 2.0 * u * v + 3.0 * u - v
        };
        let points: Vec<[f64; 3]> = (0..35)
            .map(|k| {
                let (x, y) = (
                    10.0 + f64::from(k % 7) * 330.0,
                    -5.0 + f64::from(k / 7) * 50.0,
                );
                [x, y, height(x, y)]
            })
            .collect();
        let form = Form::new(outline, &points);
        for (x, y) in [(100.0, 10.0), (900.0, 160.0), (1900.0, 90.0)] {
            let step = 1e-3;
            let along = (height(x + step, y) - height(x - step, y)) / (2.0 * step);
            let across = (height(x, y + step) - height(x, y - step)) / (2.0 * step);
            assert_abs_diff_eq!(form.slopes(x, y)[0], along, epsilon = 1e-8);
            assert_abs_diff_eq!(form.slopes(x, y)[1], across, epsilon = 1e-8);
        }
    }
}
