//! Readings along one line stand for a strip that is the same all across.

use parry3d_f64::math::Vector;

use crate::readings::Point;

/// Points whose footprint is narrower than this share of its length lie on a line.
const NARROW: f64 = 1e-9;

/// The direction in which points lie on a line as seen along `normal`: `None` where they spread to either side, zero
/// where they all stand at one place. Stops at the first point that strays.
fn line(points: &[Point], normal: Vector) -> Option<Vector> {
    let mut longest = Vector::ZERO;
    let first = Vector::from(*points.first()?);
    for &p in points {
        let aside = across_normal(Vector::from(p) - first, normal);
        let stray = aside.cross(longest).length();
        if stray > NARROW * longest.length_squared().max(aside.length_squared()) {
            return None;
        }
        if aside.length_squared() > longest.length_squared() {
            longest = aside;
        }
    }
    Some(longest)
}

fn across_normal(line: Vector, normal: Vector) -> Vector {
    line - normal * line.dot(normal)
}

/// Whether the points lie on a line as seen along `normal`.
pub(super) fn is_line(points: &[Point], normal: Vector) -> bool {
    line(points, normal).is_some()
}

/// Copies of the points on either side of their line, where they lie on one as seen along `normal`: otherwise the board
/// could be rolled about the line, and no face of it would have an attitude. Of one point, copies all round it.
pub(super) fn widened(points: &[Point], normal: Vector) -> Option<Vec<Point>> {
    let line = line(points, normal)?;
    let offsets = match line.try_normalize() {
        Some(along) => {
            let square = normal.cross(along) * line.length();
            vec![square, -square]
        }
        None => {
            let (right, ahead) = normal.any_orthonormal_pair();
            vec![right + ahead, right - ahead, ahead - right, -ahead - right]
        }
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
