//! The little of vectors that the checks need, apart from the library's own.

use outwind::readings::Point;

pub(crate) fn dot(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn cross(a: Point, b: Point) -> Point {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(crate) fn sub(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(crate) fn add(a: Point, b: Point) -> Point {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(crate) fn scaled(a: Point, by: f64) -> Point {
    a.map(|c| c * by)
}

pub(crate) fn length(a: Point) -> f64 {
    dot(a, a).sqrt()
}

pub(crate) fn unit(a: Point) -> Point {
    scaled(a, 1.0 / length(a))
}

/// Degrees between two directions.
pub(crate) fn angle(a: Point, b: Point) -> f64 {
    length(cross(a, b)).atan2(dot(a, b)).to_degrees()
}

/// Lowest and highest level along a direction.
pub(crate) fn range(points: &[Point], direction: Point) -> (f64, f64) {
    points
        .iter()
        .map(|&p| dot(p, direction))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), l| {
            (low.min(l), high.max(l))
        })
}

/// Turns a vector about a unit axis by an angle in degrees (O. Rodrigues, 1840).
pub(crate) fn turned(v: Point, axis: Point, degrees: f64) -> Point {
    let (sin, cos) = degrees.to_radians().sin_cos();
    add(
        add(scaled(v, cos), scaled(cross(axis, v), sin)),
        scaled(axis, dot(axis, v) * (1.0 - cos)),
    )
}
