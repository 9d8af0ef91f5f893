//! The one sharp bend of a face that its bow does not explain.

use crate::board::Outline;
use crate::readings::Point;
use crate::surface::form::{TERMS, terms};
use crate::surface::least_squares::LeastSquares;

/// A sharp bend of the up face along its length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kink {
    /// Where the face bends, in the coordinates of the readings.
    pub station: f64,
    /// How far it stands there over the straight lines from both ends, beyond its bow, mm; positive crowned.
    pub height: f64,
}

/// Beyond this many readings a face is a scan, whose local shape is another matter.
const MOST_READINGS: usize = 400;

/// A kink lower than this is no more than roughness, mm.
const LEAST: f64 = 1.0;

/// It stands out of its standard error by this factor: some ten places are tried.
const SURE: f64 = 4.0;

/// And it explains most of what cup, bow and twist leave: the sum of squares falls to this share of theirs.
const EXPLAINS: f64 = 0.35;

impl Kink {
    /// The kink of a face, if the readings show one: of all stations inside, the one where a bend, fitted beside the
    /// form, leaves least.
    #[must_use]
    pub fn find(outline: &Outline, points: &[Point]) -> Option<Self> {
        if points.len() > MOST_READINGS || points.len() < TERMS + 4 {
            return None;
        }
        let mut stations: Vec<f64> = points
            .iter()
            .map(|p| outline.unit_place(p[0], p[1]).0)
            .collect();
        stations.sort_by(f64::total_cmp);
        stations.dedup_by(|a, b| (*a - *b).abs() < 0.02);
        let inside = stations.into_iter().filter(|u| u.abs() < 0.95);
        let plain = fit(outline, points, None);
        let bent = inside.map(|at| (at, fit(outline, points, Some(at))));
        let (at, fit) = bent.min_by(|a, b| {
            a.1.residual_sum_of_squares
                .total_cmp(&b.1.residual_sum_of_squares)
        })?;
        let (height, error) = (fit.coefficients[TERMS]?, fit.standard_errors[TERMS]?);
        let explains = fit.residual_sum_of_squares < EXPLAINS * plain.residual_sum_of_squares;
        (explains && height.abs() > LEAST.max(SURE * error)).then(|| Self {
            station: outline.place(at, 0.0).0,
            height,
        })
    }
}

/// The form of a face with a bend at `at`: straight from nought at either end.
fn fit(outline: &Outline, points: &[Point], at: Option<f64>) -> crate::surface::least_squares::Fit {
    let mut rows = LeastSquares::new(TERMS + usize::from(at.is_some()));
    for &[x, y, z] in points {
        let mut row = terms(outline, x, y).to_vec();
        let u = outline.unit_place(x, y).0;
        row.extend(at.map(|at| ((1.0 + u) / (1.0 + at)).min((1.0 - u) / (1.0 - at))));
        rows.push(&row, z);
    }
    rows.solve()
}
