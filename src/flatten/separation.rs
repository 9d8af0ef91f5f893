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

/// Rounds of the search after the distance query; each adds an extreme point. One to four are the rule, fifteen the most
/// seen on 400,000 random boards; past that, rounding leads the search in a circle.
const ROUNDS: usize = 50;

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
    refine(above, below, pairs, |_, _| false)
}

/// As [`separate`], with `start` alone to set out from: for faces of so few points that the distance query costs more
/// than it saves. It ends as soon as `known` says so of what is proven: the gap lies between the two numbers.
pub(super) fn separate_until(
    above: &Moved<'_>,
    below: &Moved<'_>,
    start: Vector,
    known: impl Fn(f64, f64) -> bool,
) -> Separation {
    refine(above, below, vec![extreme(above, below, start)], known)
}

/// The pair that limits the gap along `normal`: the lowest above, the highest below.
fn extreme(above: &Moved<'_>, below: &Moved<'_>, normal: Vector) -> Pair {
    Pair {
        above: above.furthest(-normal).0,
        below: below.furthest(normal).0,
    }
}

/// Wolfe's search: the nearest point of the pairs' hull to the origin, one more extreme pair at a time, until the planes
/// prove the distance or `enough` is known of the bounds that enclose it.
fn refine(
    above: &Moved<'_>,
    below: &Moved<'_>,
    mut pairs: Vec<Pair>,
    enough: impl Fn(f64, f64) -> bool,
) -> Separation {
    let size = pairs
        .iter()
        .map(|p| p.difference().length())
        .fold(0.0, f64::max);
    let nothing = 1e-13 * size;
    let mut best: Option<Gap> = None;
    for _ in 0..ROUNDS {
        let Some(nearest) = nearest_point(&mut pairs, nothing) else {
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
                slack: (distance - width).max(0.0),
                pairs: pairs.clone(),
            });
        }
        // The planes prove the distance, or the pair is in the hull already: the numbers have no more to give. That the
        // distance stands still is no sign: it is quadratic in what the normal still has to turn.
        if distance - width <= 1e-15 * size || pairs.contains(&limit) || enough(width, distance) {
            break;
        }
        pairs.push(limit);
    }
    match best {
        Some(gap) if gap.width > nothing => Separation::Apart(gap),
        Some(gap) => Separation::Meet(gap.pairs),
        None => Separation::Meet(pairs),
    }
}

/// The point of the pairs' hull nearest to the origin; drops the pairs that it does not need. `None` when the
/// hull surrounds the origin. Of at most five pairs, every face, edge and vertex is tried: no case analysis
/// to go wrong. The right one is known by the gap that its normal leaves to all pairs; distances tell it less well,
/// as they hardly change while the normal still turns. A point within `nothing` of the origin is at it.
fn nearest_point(pairs: &mut Vec<Pair>, nothing: f64) -> Option<Vector> {
    let differences: Vec<Vector> = pairs.iter().map(Pair::difference).collect();
    let count = differences.len();
    let mut best: Option<(f64, Vector, [usize; 3])> = None;
    let mut offer = |point: Option<Vector>, members: [usize; 3]| {
        if let Some(point) = point {
            // At the origin itself a normal means nothing, and no point is nearer.
            let gap = if point.length() <= nothing {
                f64::INFINITY
            } else {
                let normal = point.normalize();
                let gaps = differences.iter().map(|d| d.dot(normal));
                gaps.fold(f64::INFINITY, f64::min)
            };
            if best.as_ref().is_none_or(|b| gap > b.0) {
                best = Some((gap, point, members));
            }
        }
    };
    for i in 0..count {
        offer(Some(differences[i]), [i; 3]);
        for j in i + 1..count {
            offer(on_segment(differences[i], differences[j]), [i, j, j]);
            for k in j + 1..count {
                let corners = [differences[i], differences[j], differences[k]];
                offer(on_triangle(corners), [i, j, k]);
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
    let (_, point, mut members) =
        best.map(|(gap, point, members)| (gap, point, members.to_vec()))?;
    members.dedup();
    *pairs = members.into_iter().map(|m| pairs[m]).collect();
    Some(point)
}

/// The foot of the origin's perpendicular on the line ab, if it lies strictly between the two.
fn on_segment(a: Vector, b: Vector) -> Option<Vector> {
    let ab = b - a;
    let square = ab.length_squared();
    let t = -a.dot(ab) / square;
    (t > 0.0 && t < 1.0).then(|| {
        let foot = a + ab * t;
        // A short perpendicular between long arms keeps few digits of its direction: once more square to the line.
        foot - ab * (foot.dot(ab) / square)
    })
}

/// The foot of the origin's perpendicular on the plane abc, if it lies inside the triangle; on a side, rounding may put
/// it either way, and the plane is the better for the third corner.
fn on_triangle([a, b, c]: [Vector; 3]) -> Option<Vector> {
    let twice_area = (b - a).cross(c - a);
    let normal = twice_area.try_normalize()?;
    let foot = normal * normal.dot(a + b + c) / 3.0;
    // Each corner's weight is the area that the foot spans with the other two.
    let area = |p: Vector, q: Vector| (p - foot).cross(q - foot).dot(normal);
    let near = -1e-12 * twice_area.length();
    (area(a, b) > near && area(b, c) > near && area(c, a) > near).then_some(foot)
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
