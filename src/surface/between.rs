//! A face between its readings.

use super::form::Form;
use crate::readings::Point;

/// The height of a face over a place: that of a reading where one stands, else the form plus the readings'
/// departures from it, each weighted by the inverse fourth power of its distance in units of the board's length
/// and width (D. Shepard, *A two-dimensional interpolation function for irregularly-spaced data*, ACM 1968).
#[must_use]
pub(super) fn height(form: &Form, points: &[Point], x: f64, y: f64) -> f64 {
    let (u, v) = form.outline().unit_place(x, y);
    let mut weights = 0.0;
    let mut departures = 0.0;
    for &[px, py, z] in points {
        let (pu, pv) = form.outline().unit_place(px, py);
        let distance = (pu - u).powi(2) + (pv - v).powi(2);
        if distance < 1e-18 {
            return z;
        }
        let weight = distance.powi(-2);
        weights += weight;
        departures += weight * (z - form.height(px, py));
    }
    let departure = if weights > 0.0 {
        departures / weights
    } else {
        0.0
    };
    form.height(x, y) + departure
}
