//! The minimum zone of one face: the closest two parallel planes that hold all of it between them, measured
//! square to the planes (ISO 1101 flatness; ISO 12781-1, minimum zone reference planes).
//!
//! The width over the normals is the support function of the face's difference with itself, and a width has
//! many local minima; the one asked for is the one that a descent from the face's own plane reaches. Each step
//! raises a copy of the face by `LIFT` times its width and separates it from the face: the widest gap g there
//! obeys `g(n) = lift · n·n₀ − w(n)`, so `w(n) ≤ w(n₀) − lift (1 − n·n₀)`: the width falls until the normal stays.

use parry3d_f64::math::Vector;

use super::cloud::{Cloud, Moved};
use super::separation::{Separation, separate};
use super::touching::{Touching, lines_span_a_plane};

/// How far the copy is raised, in widths: above one, that the two be apart; the nearer to one, the longer the steps.
const LIFT: f64 = 1.25;

/// Steps of the descent; four or five are the rule.
const STEPS: usize = 100;

/// First turn, in radians, off a saddle of the width.
const NUDGE: f64 = 1e-4;

/// The attitude and width of a minimum zone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Zone {
    /// Unit normal, on the side of the start.
    pub(crate) normal: Vector,
    pub(crate) width: f64,
}

/// The minimum zones that a descent from `start` reaches: one, or the two on either side where the descent
/// ends on a saddle (a point straight over a line of two others; any turn about that line is narrower).
pub(crate) fn minimum_zones(face: &Cloud<'_>, start: Vector) -> Vec<Zone> {
    let zone = descend(face, start);
    let touching = Touching::new(face, zone.normal);
    if zone.width <= 1e-12 * touching.extent() || lines_span_a_plane(&touching.lines(), zone.normal)
    {
        return vec![zone];
    }
    let axis = touching.axis(zone.normal);
    let mut found: Vec<Zone> = Vec::new();
    for turn in [NUDGE, -NUDGE] {
        let turned = zone.normal * turn.cos() + axis.cross(zone.normal) * turn.sin();
        let aside = descend(face, turned);
        if found.iter().all(|z| z.normal.distance(aside.normal) > 1e-9) {
            found.push(aside);
        }
    }
    found
}

/// Descends to where the width no longer falls.
fn descend(face: &Cloud<'_>, start: Vector) -> Zone {
    let mut zone = Zone {
        normal: start,
        width: width(face, start),
    };
    for _ in 0..STEPS {
        let lift = zone.normal * (LIFT * zone.width);
        let raised = Moved {
            cloud: face,
            by: lift,
        };
        let lying = Moved {
            cloud: face,
            by: Vector::ZERO,
        };
        let Separation::Apart(gap) = separate(&raised, &lying, zone.normal) else {
            break;
        };
        let next = Zone {
            normal: gap.normal,
            width: width(face, gap.normal),
        };
        if next.width >= zone.width {
            break;
        }
        zone = next;
    }
    zone
}

/// How far the face reaches along `normal`.
pub(crate) fn width(face: &Cloud<'_>, normal: Vector) -> f64 {
    let (high, _) = face.furthest(normal);
    let (low, _) = face.furthest(-normal);
    (high - low).dot(normal)
}
