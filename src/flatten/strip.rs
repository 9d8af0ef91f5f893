//! Readings along one line stand for a strip that is the same all across.

use parry3d_f64::math::Vector;

use super::touching::across;
use crate::readings::Point;

/// Points whose footprint is narrower than this share of its length lie on a line.
const NARROW: f64 = 1e-9;

/// Copies of the points on either side of their line, where they lie on one as seen along `normal`: otherwise the board
/// could be rolled about the line, and no face of it would have an attitude. Of one point, copies all round it.
pub(super) fn widened(points: &[Point], normal: Vector) -> Option<Vec<Point>> {
    let first = Vector::from(*points.first()?);
    let aside = |p: &Point| {
        let line = Vector::from(*p) - first;
        line - normal * line.dot(normal)
    };
    let longest = points
        .iter()
        .map(aside)
        .max_by(|a, b| a.length_squared().total_cmp(&b.length_squared()))?;
    let length = longest.length();
    let (along, square) = match across(longest, normal) {
        Some(along) if length > 0.0 => (along, normal.cross(along)),
        _ => normal.any_orthonormal_pair(),
    };
    if points
        .iter()
        .any(|p| aside(p).dot(square).abs() > NARROW * length)
    {
        return None;
    }
    let offsets = if length > 0.0 {
        vec![square * length, -square * length]
    } else {
        vec![
            square + along,
            square - along,
            along - square,
            -along - square,
        ]
    };
    Some(
        offsets
            .into_iter()
            .flat_map(|offset| {
                points
                    .iter()
                    .map(move |&p| (Vector::from(p) + offset).to_array())
            })
            .collect(),
    )
}
