//! Surfaces of triangles.

/// A surface of triangles, mm; seen from outside, the corners of each run anticlockwise.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mesh {
    /// The corners.
    pub points: Vec<[f64; 3]>,
    /// Three corners each, by index.
    pub triangles: Vec<[u32; 3]>,
}

impl Mesh {
    /// Several surfaces as one.
    pub fn joined<'a>(meshes: impl IntoIterator<Item = &'a Self>) -> Self {
        let mut joined = Self::default();
        for mesh in meshes {
            let first = joined.points.len() as u32;
            joined.points.extend(&mesh.points);
            let triangles = mesh.triangles.iter();
            joined
                .triangles
                .extend(triangles.map(|t| t.map(|corner| first + corner)));
        }
        joined
    }
}

/// Points over a grid: station by station, at each from the near to the far edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Number of points along the length.
    pub stations: usize,
    /// Number of points across the width.
    pub positions: usize,
    /// The points.
    pub points: Vec<[f64; 3]>,
}

impl Sheet {
    /// The point at a station and position by their numbers.
    #[must_use]
    pub fn point(&self, station: usize, position: usize) -> [f64; 3] {
        self.points[station * self.positions + position]
    }

    /// The point at a share of the way along and across in units of cells, linear between the corners of its cell.
    #[must_use]
    pub fn between(&self, along: f64, across: f64) -> [f64; 3] {
        let (i, s) = cell(along, self.stations);
        let (j, t) = cell(across, self.positions);
        let mix =
            |a: [f64; 3], b: [f64; 3], share: f64| [0, 1, 2].map(|k| a[k] + share * (b[k] - a[k]));
        let near = mix(self.point(i, j), self.point(i + 1, j), s);
        let far = mix(self.point(i, j + 1), self.point(i + 1, j + 1), s);
        mix(near, far, t)
    }

    /// The surface seen from above, or from below.
    #[must_use]
    pub fn mesh(&self, from_above: bool) -> Mesh {
        Mesh {
            points: self.points.clone(),
            triangles: self.triangles(0, from_above),
        }
    }

    /// Two triangles a cell, their corners counted from `first`.
    fn triangles(&self, first: usize, from_above: bool) -> Vec<[u32; 3]> {
        let index = |i: usize, j: usize| (first + i * self.positions + j) as u32;
        let cells =
            (0..self.stations - 1).flat_map(|i| (0..self.positions - 1).map(move |j| (i, j)));
        cells
            .flat_map(|(i, j)| {
                let [a, b, c, d] = [
                    index(i, j),
                    index(i + 1, j),
                    index(i + 1, j + 1),
                    index(i, j + 1),
                ];
                [[a, b, c], [a, c, d]]
            })
            .map(|[a, b, c]| if from_above { [a, b, c] } else { [a, c, b] })
            .collect()
    }

    /// The numbers of the points along the rim, anticlockwise from above.
    fn rim(&self) -> Vec<usize> {
        let (n, m) = (self.stations, self.positions);
        let near = (0..n).map(|i| i * m);
        let end_b = (1..m).map(|j| (n - 1) * m + j);
        let far = (0..n - 1).rev().map(|i| i * m + m - 1);
        let end_a = (1..m - 1).rev();
        near.chain(end_b).chain(far).chain(end_a).collect()
    }
}

/// The cell that a place in units of cells lies in, and its share of the way through it.
fn cell(at: f64, points: usize) -> (usize, f64) {
    let last = points - 2;
    let index = (at.max(0.0) as usize).min(last);
    (index, (at - index as f64).clamp(0.0, 1.0))
}

/// The closed solid between two sheets over the same places.
#[must_use]
pub fn solid(above: &Sheet, below: &Sheet) -> Mesh {
    let first = above.points.len();
    let mut triangles = above.triangles(0, true);
    triangles.extend(below.triangles(first, false));
    triangles.extend(sides(above, first));
    Mesh {
        points: above.points.iter().chain(&below.points).copied().collect(),
        triangles,
    }
}

/// Edges and ends between two sheets over the same places, without the faces.
#[must_use]
pub fn edges_and_ends(above: &Sheet, below: &Sheet) -> Mesh {
    let rim = above.rim();
    let count = rim.len();
    // Each side of the rim has corners of its own, so that a corner of the board is drawn sharp.
    let points = (0..count).flat_map(|k| {
        let (a, b) = (rim[k], rim[(k + 1) % count]);
        [
            above.points[a],
            above.points[b],
            below.points[a],
            below.points[b],
        ]
    });
    let triangles = (0..count as u32).flat_map(|k| {
        let [a, b, c, d] = [4 * k, 4 * k + 1, 4 * k + 2, 4 * k + 3];
        [[a, c, d], [a, d, b]]
    });
    Mesh {
        points: points.collect(),
        triangles: triangles.collect(),
    }
}

/// Triangles between the rims of two sheets whose points lie one after the other, the lower ones from `first` on.
fn sides(sheet: &Sheet, first: usize) -> Vec<[u32; 3]> {
    let rim = sheet.rim();
    let next = rim.iter().cycle().skip(1);
    rim.iter()
        .zip(next)
        .flat_map(|(&a, &b)| {
            let [above_a, above_b] = [a, b].map(|k| k as u32);
            let [below_a, below_b] = [a, b].map(|k| (first + k) as u32);
            [[above_a, below_a, below_b], [above_a, below_b, above_b]]
        })
        .collect()
}

/// A block with level faces, from its lowest to its highest corner.
#[must_use]
pub fn block(low: [f64; 3], high: [f64; 3]) -> Mesh {
    let level = |z: f64| Sheet {
        stations: 2,
        positions: 2,
        points: [low[0], high[0]]
            .into_iter()
            .flat_map(|x| [low[1], high[1]].map(|y| [x, y, z]))
            .collect(),
    };
    solid(&level(high[2]), &level(low[2]))
}

#[cfg(test)]
mod tests {
    use super::{Mesh, block};

    /// Six times the volume, by the divergence theorem; positive where triangles face outwards.
    fn volume(mesh: &Mesh) -> f64 {
        let of = |[a, b, c]: [[f64; 3]; 3]| {
            a[0] * (b[1] * c[2] - b[2] * c[1])
                + a[1] * (b[2] * c[0] - b[0] * c[2])
                + a[2] * (b[0] * c[1] - b[1] * c[0])
        };
        let corners = mesh
            .triangles
            .iter()
            .map(|t| t.map(|k| mesh.points[k as usize]));
        corners.map(of).sum::<f64>() / 6.0
    }

    #[test]
    fn a_block_has_the_volume_of_its_sides_and_faces_outwards() {
        let mesh = block([1.0, 2.0, 3.0], [4.0, 7.0, 5.0]);
        assert!((volume(&mesh) - 3.0 * 5.0 * 2.0).abs() < 1e-9);
        assert_eq!(mesh.triangles.len(), 12);
    }
}
