//! Lines and directions in the planes that touch a face.

use parry3d_f64::math::Vector;

/// A point counts as touching a plane within this share of its face's extent.
pub(crate) const TOUCH: f64 = 1e-10;

/// The unit vector along the part of `line` that is square to `normal`.
pub(crate) fn across(line: Vector, normal: Vector) -> Option<Vector> {
    (line - normal * line.dot(normal)).try_normalize()
}

/// The longest of the lines.
pub(crate) fn longest(lines: &[Vector]) -> Option<Vector> {
    lines
        .iter()
        .copied()
        .max_by(|a, b| a.length_squared().total_cmp(&b.length_squared()))
}

/// Whether the lines run in two directions at least, seen along the normal.
pub(crate) fn span_a_plane(lines: &[Vector], normal: Vector) -> bool {
    let Some(longest) = longest(lines) else {
        return false;
    };
    let sine =
        |line: &Vector| line.cross(longest).dot(normal).abs() / (line.length() * longest.length());
    lines.iter().any(|line| sine(line) > 1e-6)
}
