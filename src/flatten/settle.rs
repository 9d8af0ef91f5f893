//! How a board settles on a flat table by its own weight.
//!
//! The centre of mass stands over the table as high as the support function of (centre − face) along the
//! table's normal; the board comes to rest where that height is least nearby: on three feet or more, the centre
//! of mass over the polygon that they span. A descent finds one such facet of the face's hull; the others are
//! reached by tipping the board over the polygon's sides that run close to the centre of mass.

use parry3d_f64::math::Vector;

use super::cloud::{Cloud, Moved};
use super::separation::{Separation, separate};
use super::touching::{TOUCH, across, corners, span_a_plane};

/// How far below the centre of mass the table is sought, in its height; see `zone` for the same descent.
const LIFT: f64 = 1.25;

/// Steps of the descent; three or four are the rule.
const STEPS: usize = 100;

/// Facets looked at: a table meets few near the centre of mass, unless the face is a smooth hump.
const FACETS: usize = 64;

/// A board that tips further than this, as a slope, has left the face that it was laid on.
const TIPPED: f64 = 0.25;

/// One way to lie still.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Rest {
    /// Unit normal of the table, from it into the wood.
    pub(crate) normal: Vector,
    /// Of the centre of mass over the table.
    pub(crate) height: f64,
    /// Corners of the polygon on which it stands, seen from above in counter-clockwise order.
    pub(crate) feet: Vec<Vector>,
}

impl Rest {
    fn on(face: &Cloud<'_>, centre: Vector, normal: Vector) -> Self {
        let (lowest, _) = face.furthest(-normal);
        Self {
            normal,
            height: (centre - lowest).dot(normal),
            feet: corners(face, -normal),
        }
    }

    /// How far inside the side that starts at foot `i` the centre of mass stands, seen along the normal.
    fn inside(&self, i: usize, centre: Vector) -> f64 {
        (centre - self.feet[i]).dot(-self.outward(i))
    }

    /// The unit vector in the table that points away from the polygon across the side that starts at foot `i`.
    fn outward(&self, i: usize) -> Vector {
        let side = self.feet[(i + 1) % self.feet.len()] - self.feet[i];
        across(side, self.normal).map_or(Vector::ZERO, |along| along.cross(self.normal))
    }

    fn is_stable(&self, centre: Vector, near: f64) -> bool {
        self.feet.len() >= 3 && (0..self.feet.len()).all(|i| self.inside(i, centre) >= -near)
    }
}

/// Every way to lie still on `face` that can be reached from `start` (the likely normal, into the wood) without
/// turning the board over; the one with the lowest centre of mass first.
pub(crate) fn rests(face: &Cloud<'_>, centre: Vector, start: Vector) -> Vec<Rest> {
    let near = TOUCH * face.extent();
    let mut seen: Vec<Rest> = Vec::new();
    let mut to_see = facets_at(face, centre, descend(face, centre, start));
    while let Some(rest) = to_see.pop() {
        if seen.len() >= FACETS || seen.iter().any(|s| s.normal.distance(rest.normal) < 1e-9) {
            continue;
        }
        for i in 0..rest.feet.len() {
            if rest.inside(i, centre) < TIPPED * rest.height.abs() {
                to_see.extend(tip(face, &rest, i).map(|normal| Rest::on(face, centre, normal)));
            }
        }
        seen.push(rest);
    }
    seen.retain(|rest| rest.is_stable(centre, near));
    seen.sort_by(|a, b| a.height.total_cmp(&b.height));
    seen
}

/// The facets of the face's hull at `normal`: one where it rests on three feet, two where it balances on a line.
fn facets_at(face: &Cloud<'_>, centre: Vector, normal: Vector) -> Vec<Rest> {
    let rest = Rest::on(face, centre, normal);
    let lines: Vec<Vector> = rest
        .feet
        .iter()
        .skip(1)
        .map(|f| *f - rest.feet[0])
        .collect();
    if span_a_plane(&lines, normal) {
        return vec![rest];
    }
    let first = rest.feet[0];
    let along = lines
        .first()
        .copied()
        .unwrap_or_else(|| normal.any_orthonormal_vector());
    let line = Rest {
        feet: vec![first, first + along],
        ..rest
    };
    [0, 1]
        .into_iter()
        .filter_map(|side| tip(face, &line, side))
        .flat_map(|normal| {
            let rest = Rest::on(face, centre, normal);
            let spans = rest.feet.len() >= 3;
            // From a single foot the first tip finds a line; the second, over that line, a facet.
            if spans {
                vec![rest]
            } else {
                (0..2)
                    .filter_map(|i| tip(face, &rest, i))
                    .map(|n| Rest::on(face, centre, n))
                    .collect()
            }
        })
        .collect()
}

/// Lets the centre of mass sink until it no longer does.
fn descend(face: &Cloud<'_>, centre: Vector, start: Vector) -> Vector {
    let height = |normal: Vector| (centre - face.furthest(-normal).0).dot(normal);
    let origin = [[0.0; 3]];
    let point = Cloud::new(&origin);
    let lying = Moved {
        cloud: face,
        by: Vector::ZERO,
    };
    let mut best = (start, height(start));
    for _ in 0..STEPS {
        let below = Moved {
            cloud: &point,
            by: centre - best.0 * (LIFT * best.1),
        };
        let Separation::Apart(gap) = separate(&lying, &below, best.0) else {
            break;
        };
        let next = (gap.normal, height(gap.normal));
        if next.1 >= best.1 {
            break;
        }
        best = next;
    }
    best.0
}

/// Tips the board over the side that starts at foot `i` until the next point touches the table: the table's new
/// normal, or `None` where the board would leave this face.
fn tip(face: &Cloud<'_>, rest: &Rest, i: usize) -> Option<Vector> {
    let foot = rest.feet[i];
    let outward = rest.outward(i);
    let near = TOUCH * face.extent();
    let slope = face
        .iter()
        .map(|p| ((p - foot).dot(outward), (p - foot).dot(rest.normal)))
        .filter(|&(out, up)| out > near && up > near)
        .map(|(out, up)| up / out)
        .min_by(f64::total_cmp)?;
    let angle = slope.atan();
    (slope < TIPPED).then(|| rest.normal * angle.cos() - outward * angle.sin())
}
