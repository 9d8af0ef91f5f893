//! The widest gap between two parallel planes that keep two point sets apart: the distance between their
//! convex hulls.
//!
//! For a unit normal n the gap is `g(n) = min n·above − max n·below`. Its largest value over all n, if
//! positive, is the Euclidean distance between the hulls, and n points along the shortest line between them
//! (Boyd and Vandenberghe, *Convex Optimization*, sections 2.5.1 and 8.2). The distance query of `parry3d-f64`
//! (Gilbert, Johnson and Keerthi, IEEE J. Robotics and Automation 4(2), 1988) finds that line to about eight
//! digits; from its last simplex the search goes on in the manner of P. Wolfe, *Finding the nearest point in a
//! polytope*, Mathematical Programming 11, 1976, until the planes prove the distance.

use parry3d_f64::math::{Pose, Vector};
use parry3d_f64::query::gjk::{CsoPoint, VoronoiSimplex, closest_points};

use super::cloud::Moved;

/// How two hulls lie to each other.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Separation {
    /// Two planes keep them apart.
    Apart(Gap),
    /// They meet: the pairs' differences surround the origin, as near as numbers tell.
    Meet(Vec<Pair>),
}

/// The widest gap.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Gap {
    /// Unit vector from below to above.
    pub(crate) normal: Vector,
    /// The gap of the two planes along the normal: proven, whatever the search did.
    pub(crate) width: f64,
    /// By how much the closest points found lie further apart than the planes: no attitude can gain more.
    pub(crate) slack: f64,
    /// The points between which the shortest line runs.
    pub(crate) pairs: Vec<Pair>,
}

/// A point above and one below.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pair {
    pub(crate) above: Vector,
    pub(crate) below: Vector,
}

impl Pair {
    fn difference(&self) -> Vector {
        self.above - self.below
    }
}

/// Rounds of the search after the distance query; each adds an extreme point, and in practice one to four do.
const ROUNDS: usize = 200;

/// The widest gap with `above` on one side and `below` on the other. `start` is a likely normal.
pub(crate) fn separate(above: &Moved<'_>, below: &Moved<'_>, start: Vector) -> Separation {
    let mut simplex = VoronoiSimplex::new();
    let first = extreme(above, below, start);
    simplex.reset(CsoPoint::new(first.above, first.below));
    // The simplex is all that is kept: the search below finds out for itself whether the hulls meet.
    let _ = closest_points(&Pose::IDENTITY, above, below, f64::MAX, true, &mut simplex);
    let pairs = (0..=simplex.dimension())
        .map(|i| simplex.point(i))
        .map(|p| Pair {
            above: p.orig1,
            below: p.orig2,
        })
        .collect();
    refine(above, below, pairs)
}

/// The pair that limits the gap along `normal`: the lowest above, the highest below.
fn extreme(above: &Moved<'_>, below: &Moved<'_>, normal: Vector) -> Pair {
    Pair {
        above: above.furthest(-normal).0,
        below: below.furthest(normal).0,
    }
}

/// Wolfe's search: the nearest point of the pairs' hull to the origin, one more extreme pair at a time.
fn refine(above: &Moved<'_>, below: &Moved<'_>, mut pairs: Vec<Pair>) -> Separation {
    let size = pairs
        .iter()
        .map(|p| p.difference().length())
        .fold(0.0, f64::max);
    let nothing = 1e-13 * size;
    let mut best: Option<Gap> = None;
    let mut reached = f64::INFINITY;
    for _ in 0..ROUNDS {
        let Some(nearest) = nearest_point(&mut pairs) else {
            return Separation::Meet(pairs);
        };
        let distance = nearest.length();
        if distance <= nothing {
            return Separation::Meet(pairs);
        }
        let normal = nearest / distance;
        let limit = extreme(above, below, normal);
        let width = limit.difference().dot(normal);
        if best.as_ref().is_none_or(|b| width > b.width) {
            best = Some(Gap {
                normal,
                width,
                slack: 0.0,
                pairs: pairs.clone(),
            });
        }
        let falls = distance < reached;
        reached = reached.min(distance);
        // A pair already in the hull, or a distance that no longer falls: the numbers have no more to give.
        if pairs.contains(&limit) || distance - width <= 1e-15 * size || !falls {
            break;
        }
        pairs.push(limit);
    }
    let Some(mut gap) = best else {
        return Separation::Meet(pairs);
    };
    if reached - gap.width > nothing {
        for normal in normals(&pairs) {
            let normal = if normal.dot(gap.normal) < 0.0 {
                -normal
            } else {
                normal
            };
            let width = extreme(above, below, normal).difference().dot(normal);
            if width > gap.width {
                (gap.normal, gap.width) = (normal, width);
            }
        }
    }
    gap.slack = (reached - gap.width).max(0.0);
    if gap.width > nothing {
        Separation::Apart(gap)
    } else {
        Separation::Meet(gap.pairs)
    }
}

/// Directions square to what the pairs' points span on either side: three points of one, or a line of each. Where the
/// differences of the pairs form a sliver, its normal is poor, and one of these is good.
fn normals(pairs: &[Pair]) -> Vec<Vector> {
    let couples = |count: usize| (0..count).flat_map(|i| (0..i).map(move |j| (i, j)));
    let lines: Vec<Vector> = couples(pairs.len())
        .flat_map(|(i, j)| {
            [
                pairs[i].above - pairs[j].above,
                pairs[i].below - pairs[j].below,
            ]
        })
        .collect();
    couples(lines.len())
        .filter_map(|(i, j)| lines[i].cross(lines[j]).try_normalize())
        .collect()
}

/// The point of the pairs' hull nearest to the origin; drops the pairs that it does not need. `None` when the
/// hull surrounds the origin. Of at most five pairs, every face, edge and vertex is tried: no case analysis
/// to go wrong.
fn nearest_point(pairs: &mut Vec<Pair>) -> Option<Vector> {
    let differences: Vec<Vector> = pairs.iter().map(Pair::difference).collect();
    let count = differences.len();
    let mut best: Option<(f64, Vector, Vec<usize>)> = None;
    let mut offer = |point: Option<Vector>, members: &[usize]| {
        if let Some(point) = point {
            let distance = point.length();
            if best.as_ref().is_none_or(|b| distance < b.0) {
                best = Some((distance, point, members.to_vec()));
            }
        }
    };
    for i in 0..count {
        offer(Some(differences[i]), &[i]);
        for j in i + 1..count {
            offer(on_segment(differences[i], differences[j]), &[i, j]);
            for k in j + 1..count {
                let corners = [differences[i], differences[j], differences[k]];
                offer(on_triangle(corners), &[i, j, k]);
                for (l, &last) in differences.iter().enumerate().skip(k + 1) {
                    let corners = [corners[0], corners[1], corners[2], last];
                    if surrounds_origin(corners) {
                        *pairs = [i, j, k, l].map(|m| pairs[m]).to_vec();
                        return None;
                    }
                }
            }
        }
    }
    let (_, point, members) = best?;
    *pairs = members.into_iter().map(|m| pairs[m]).collect();
    Some(point)
}

/// The foot of the origin's perpendicular on the line ab, if it lies strictly between the two.
fn on_segment(a: Vector, b: Vector) -> Option<Vector> {
    let ab = b - a;
    let t = -a.dot(ab) / ab.length_squared();
    (t > 0.0 && t < 1.0).then(|| a + ab * t)
}

/// The foot of the origin's perpendicular on the plane abc, if it lies strictly inside the triangle.
fn on_triangle([a, b, c]: [Vector; 3]) -> Option<Vector> {
    let normal = (b - a).cross(c - a).try_normalize()?;
    let foot = normal * normal.dot(a + b + c) / 3.0;
    // Each corner's weight is the area that the foot spans with the other two.
    let area = |p: Vector, q: Vector| (p - foot).cross(q - foot).dot(normal);
    (area(a, b) > 0.0 && area(b, c) > 0.0 && area(c, a) > 0.0).then_some(foot)
}

/// Whether the origin lies inside the tetrahedron.
fn surrounds_origin([a, b, c, d]: [Vector; 4]) -> bool {
    let volume = |p: Vector, q: Vector, r: Vector| p.dot(q.cross(r));
    let signs = [
        volume(b, c, d),
        -volume(a, c, d),
        volume(a, b, d),
        -volume(a, b, c),
    ];
    signs.iter().all(|s| *s > 0.0) || signs.iter().all(|s| *s < 0.0)
}
