//! The points of a face that touch the two planes holding it.

use parry3d_f64::math::Vector;

use super::cloud::Cloud;

/// A point counts as touching within this share of the face's extent.
pub(crate) const TOUCH: f64 = 1e-10;

/// What touches the upper and the lower plane.
#[derive(Debug, Clone)]
pub(crate) struct Touching {
    high: Vec<Vector>,
    low: Vec<Vector>,
    extent: f64,
}

impl Touching {
    /// The points of `face` that lie furthest either way along `normal`.
    pub(crate) fn new(face: &Cloud<'_>, normal: Vector) -> Self {
        let extent = face.extent();
        let near = TOUCH * extent;
        let gather = |direction: Vector| {
            let (top, _) = face.furthest(direction);
            face.iter()
                .filter(|p| (top - p).dot(direction) <= near)
                .collect()
        };
        Self {
            high: gather(normal),
            low: gather(-normal),
            extent,
        }
    }

    pub(crate) fn extent(&self) -> f64 {
        self.extent
    }

    /// The lines that hold the planes: from the first point touching a plane to each other on it.
    pub(crate) fn lines(&self) -> Vec<Vector> {
        [&self.high, &self.low]
            .into_iter()
            .flat_map(|side| side.iter().skip(1).map(|p| *p - side[0]))
            .filter(|line| line.length() > 1e-9 * self.extent)
            .collect()
    }

    /// A unit vector across `normal` along the longest of the lines; any, where there is none.
    pub(crate) fn axis(&self, normal: Vector) -> Vector {
        self.lines()
            .into_iter()
            .max_by(|a, b| a.length_squared().total_cmp(&b.length_squared()))
            .and_then(|line| across(line, normal))
            .unwrap_or_else(|| normal.any_orthonormal_vector())
    }
}

/// The unit vector along the part of `line` that is square to `normal`.
pub(crate) fn across(line: Vector, normal: Vector) -> Option<Vector> {
    (line - normal * line.dot(normal)).try_normalize()
}

/// Whether the lines run in two directions at least, seen along the normal.
pub(crate) fn lines_span_a_plane(lines: &[Vector], normal: Vector) -> bool {
    let Some(longest) = lines
        .iter()
        .copied()
        .max_by(|a, b| a.length_squared().total_cmp(&b.length_squared()))
    else {
        return false;
    };
    let sine =
        |line: &Vector| line.cross(longest).dot(normal).abs() / (line.length() * longest.length());
    lines.iter().any(|line| sine(line) > 1e-6)
}
