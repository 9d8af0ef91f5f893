//! The points of a face that touch a plane, and lines and directions in it.

use parry3d_f64::math::Vector;

use super::cloud::Cloud;
use super::polygon::convex_polygon;

/// A point counts as touching a plane within this share of its face's extent.
pub(crate) const TOUCH: f64 = 1e-10;

/// The points that touch the plane which stops a face towards `outward`: the corners of the polygon that they span,
/// counter-clockwise as seen from within the face.
pub(crate) fn corners(face: &Cloud<'_>, outward: Vector) -> Vec<Vector> {
    let near = TOUCH * face.extent();
    let (furthest, _) = face.furthest(outward);
    let touching = face
        .iter()
        .filter(|p| (furthest - *p).dot(outward) <= near)
        .collect();
    convex_polygon(touching, -outward, near)
}

/// The unit vector along the part of `line` that is square to `normal`.
pub(crate) fn across(line: Vector, normal: Vector) -> Option<Vector> {
    (line - normal * line.dot(normal)).try_normalize()
}

/// Whether the lines run in two directions at least, seen along the normal.
pub(crate) fn span_a_plane(lines: &[Vector], normal: Vector) -> bool {
    let by_length = |a: &&Vector, b: &&Vector| a.length_squared().total_cmp(&b.length_squared());
    let Some(&longest) = lines.iter().max_by(by_length) else {
        return false;
    };
    let sine =
        |line: &Vector| line.cross(longest).dot(normal).abs() / (line.length() * longest.length());
    lines.iter().any(|line| sine(line) > 1e-6)
}
