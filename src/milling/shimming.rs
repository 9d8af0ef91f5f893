//! What to put under a piece that rides on a sled, so that it lies in its attitude and does not rock.

use super::attitude::{Attitude, other};
use crate::board::Outline;
use crate::readings::{Face, Point};

/// One support under an edge, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Support {
    /// Its station, in the coordinates of the readings.
    pub station: f64,
    /// Under the far edge; else under the near one.
    pub far: bool,
    /// The gap between sled and wood.
    pub gap: f64,
    /// The shim: a multiple of the step.
    pub shim: f64,
    /// The piece rests on it: it is one of three.
    pub bears: bool,
}

/// Shims under a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Shimming {
    /// The face that lies on them.
    pub lies_on: Face,
    /// From end A, near edge before far edge.
    pub supports: Vec<Support>,
    /// What they are rounded to, mm.
    pub step: f64,
    /// What is left when the piece lies on exact shims, mm.
    pub exact: f64,
    /// What is left when it lies on these.
    pub left: f64,
    /// A coarser step, and what shims rounded to it would leave at the worst: each of the three off by half a step.
    pub coarse: (f64, f64),
    /// The thickest shim.
    pub highest: f64,
}

/// A piece on a sled.
pub(super) struct OnSled<'a> {
    pub(super) outline: &'a Outline,
    pub(super) up: &'a [Point],
    pub(super) down: &'a [Point],
    pub(super) centre: Point,
    /// The face that is cut first; the other lies on the shims.
    pub(super) first: Face,
    /// The height of a face over a place.
    pub(super) height: &'a dyn Fn(Face, f64, f64) -> f64,
}

impl OnSled<'_> {
    /// Shims every `spacing` along both edges, rounded to `step`, and what a coarser one would leave.
    pub(super) fn shimming(
        &self,
        attitude: &Attitude,
        spacing: f64,
        [step, coarse]: [f64; 2],
    ) -> Shimming {
        let lies_on = other(self.first);
        let (places, rough) = self.places(attitude, lies_on, spacing);
        let bearing = self.bearing(&places);
        let supports = self.rounded(&places, &rough, bearing, step);
        let left_on = |supports: &[Support]| {
            let normal = self.settled(attitude, lies_on, supports, bearing);
            Attitude::new(self.up, self.down, normal).left()
        };
        // What is left is concave in how the piece leans, so the worst lies where every shim is off by the most.
        let worst = (0..8).map(|corner| {
            let mut off = supports.clone();
            for (bit, k) in bearing.into_iter().enumerate() {
                let sign = if corner >> bit & 1 == 0 { 1.0 } else { -1.0 };
                off[k].shim = off[k].gap + sign * coarse / 2.0;
            }
            left_on(&off)
        });
        let worst = worst.fold(attitude.left(), f64::min);
        Shimming {
            lies_on,
            step,
            exact: attitude.left(),
            left: left_on(&supports),
            coarse: (coarse, worst),
            highest: supports.iter().map(|s| s.shim).fold(0.0, f64::max),
            supports,
        }
    }

    /// The places that can be supported and the gap at each, and the readings of the face with theirs: the sled lies under the
    /// lowest point of the face.
    fn places(
        &self,
        attitude: &Attitude,
        lies_on: Face,
        spacing: f64,
    ) -> (Vec<Support>, Vec<Point>) {
        let o = self.outline;
        let edges = [(o.y0, false), (o.y0 + o.width, true)];
        let mut found = Vec::new();
        for station in stations(o, spacing) {
            for (y, far) in edges {
                let point = [station, y, (self.height)(lies_on, station, y)];
                found.push(Support {
                    station,
                    far,
                    gap: -attitude.off(lies_on, point),
                    shim: 0.0,
                    bears: false,
                });
            }
        }
        let points = match lies_on {
            Face::Up => self.up,
            Face::Down => self.down,
        };
        let mut rough: Vec<Point> = points
            .iter()
            .map(|p| [p[0], p[1], -attitude.off(lies_on, *p)])
            .collect();
        // What comes off is more the lower the wood reaches towards the sled.
        let gaps = rough
            .iter()
            .map(|p| p[2])
            .chain(found.iter().map(|s| s.gap));
        let lowest = gaps.fold(f64::INFINITY, f64::min);
        found.iter_mut().for_each(|s| s.gap -= lowest);
        rough.iter_mut().for_each(|p| p[2] -= lowest);
        (found, rough)
    }

    /// Three supports on which the piece stands surest: those whose triangle holds the centre of mass furthest inside.
    fn bearing(&self, places: &[Support]) -> [usize; 3] {
        // In units of length and width, as a narrow board is no less sure on a long base.
        let unit = |[x, y]: [f64; 2]| {
            let (u, v) = self.outline.unit_place(x, y);
            [u, v]
        };
        let at = |k: usize| unit(self.place(&places[k]));
        let centre = unit([self.centre[0], self.centre[1]]);
        let mut best = ([0, 1, 2], f64::NEG_INFINITY);
        for i in 0..places.len() {
            for j in i + 1..places.len() {
                for k in j + 1..places.len() {
                    let inside = inside([at(i), at(j), at(k)], centre);
                    if inside > best.1 + 1e-9 {
                        best = ([i, j, k], inside);
                    }
                }
            }
        }
        best.0
    }

    fn place(&self, support: &Support) -> [f64; 2] {
        let across = if support.far { self.outline.width } else { 0.0 };
        [support.station, self.outline.y0 + across]
    }

    /// Rounds the three that bear to the nearest step, and the others down, so that none lifts the piece off the three. Where
    /// the piece would then touch the sled itself, all three stand a step or more higher.
    fn rounded(
        &self,
        places: &[Support],
        rough: &[Point],
        bearing: [usize; 3],
        step: f64,
    ) -> Vec<Support> {
        let mut supports = places.to_vec();
        for k in bearing {
            supports[k].shim = (places[k].gap / step).round() * step;
            supports[k].bears = true;
        }
        let lift = self.lift(&supports, bearing);
        let over_sled = |[x, y]: [f64; 2], gap: f64| gap + lift([x, y]);
        let at_places = supports.iter().map(|s| over_sled(self.place(s), s.gap));
        let at_readings = rough.iter().map(|p| over_sled([p[0], p[1]], p[2]));
        let deepest = -at_places.chain(at_readings).fold(0.0, f64::min);
        let raise = (deepest / step - 1e-9).ceil().max(0.0) * step;
        for k in bearing {
            supports[k].shim += raise;
        }
        let lift = self.lift(&supports, bearing);
        for k in (0..supports.len()).filter(|k| !bearing.contains(k)) {
            let room = supports[k].gap + lift(self.place(&supports[k]));
            supports[k].shim = ((room / step + 1e-9).floor() * step).max(0.0);
        }
        supports
    }

    /// By how much the piece stands higher over a place than it would on exact shims: the plane through the three that bear.
    fn lift(&self, supports: &[Support], bearing: [usize; 3]) -> impl Fn([f64; 2]) -> f64 + use<> {
        let [a, b, c] = bearing.map(|k| {
            let [x, y] = self.place(&supports[k]);
            [x, y, supports[k].shim - supports[k].gap]
        });
        let (ab, ac) = (
            [b[0] - a[0], b[1] - a[1], b[2] - a[2]],
            [c[0] - a[0], c[1] - a[1], c[2] - a[2]],
        );
        let area = ab[0] * ac[1] - ab[1] * ac[0];
        let along = (ab[2] * ac[1] - ab[1] * ac[2]) / area;
        let across = (ab[0] * ac[2] - ab[2] * ac[0]) / area;
        move |[x, y]| a[2] + along * (x - a[0]) + across * (y - a[1])
    }

    /// The normal of the cut when the piece lies on the three: it leans against the piece as the piece leans on the sled.
    fn settled(
        &self,
        attitude: &Attitude,
        lies_on: Face,
        supports: &[Support],
        bearing: [usize; 3],
    ) -> [f64; 3] {
        let lift = self.lift(supports, bearing);
        let at = [self.centre[0], self.centre[1]];
        let slope = |dx: f64, dy: f64| lift([at[0] + dx, at[1] + dy]) - lift(at);
        // Lifted at end B, the piece is cut lower there.
        let turned = if lies_on == Face::Down { 1.0 } else { -1.0 };
        let leaning = [
            attitude.normal[0] + turned * slope(1.0, 0.0),
            attitude.normal[1] + turned * slope(0.0, 1.0),
            attitude.normal[2],
        ];
        let length = leaning.iter().map(|c| c * c).sum::<f64>().sqrt();
        leaning.map(|c| c / length)
    }
}

/// How far a point lies inside a triangle: the least distance to its sides, negative outside; no triangle holds any.
fn inside(corners: [[f64; 2]; 3], [x, y]: [f64; 2]) -> f64 {
    let [a, b, c] = corners;
    let turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    if turn.abs() < 1e-9 {
        return f64::NEG_INFINITY;
    }
    [(a, b), (b, c), (c, a)]
        .into_iter()
        .map(|(p, q)| {
            let side = [q[0] - p[0], q[1] - p[1]];
            let cross = side[0] * (y - p[1]) - side[1] * (x - p[0]);
            turn.signum() * cross / side[0].hypot(side[1])
        })
        .fold(f64::INFINITY, f64::min)
}

/// Both ends and every `spacing` from end A, at least one between; a station close before end B gives way to it.
fn stations(outline: &Outline, spacing: f64) -> Vec<f64> {
    // A silly spacing must not ask for thousands of supports, nor leave two ends on which nothing stands sure.
    let spacing = spacing
        .clamp(outline.length / 24.0, outline.length / 2.0)
        .max(1e-3);
    let mut along = Vec::new();
    let mut x = 0.0;
    while x < outline.length - spacing / 3.0 {
        along.push(outline.x0 + x);
        x += spacing;
    }
    along.push(outline.x0 + outline.length);
    along
}
