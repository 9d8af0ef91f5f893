//! The minimum zone of one face: the closest two parallel planes that hold all of it between them, measured
//! square to the planes (ISO 1101 flatness; ISO 12781-1, minimum zone reference planes).
//!
//! The width over the normals is the support function of the face's difference with itself, and a width has
//! many local minima; the one asked for is the one that a descent from the face's own plane reaches. Each step
//! raises a copy of the face by `LIFT` times its width and separates it from the face: the widest gap g there
//! obeys `g(n) = lift · n·n₀ − w(n)`, so `w(n) ≤ w(n₀) − lift (1 − n·n₀)`: the width falls until the normal stays.

use std::f64::consts::{PI, TAU};

use parry3d_f64::math::Vector;

use super::cloud::{Cloud, Moved};
use super::separation::{Separation, separate};
use super::touching::{TOUCH, corners};

/// How far the copy is raised, in widths: above one, that the two be apart; the nearer to one, the longer the steps.
const LIFT: f64 = 1.25;

/// Steps of the descent; four or five are the rule.
const STEPS: usize = 100;

/// First turn, in radians, off a saddle of the width.
const NUDGE: f64 = 1e-6;

/// Attitudes looked at: a saddle is rare, one below another rarer.
const ATTITUDES: usize = 32;

/// The attitude and width of a minimum zone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Zone {
    /// Unit normal, on the side of the start.
    pub(crate) normal: Vector,
    pub(crate) width: f64,
}

/// The minimum zones that a descent from `start` reaches: one, or several where it meets a saddle of the width (a point
/// straight over a line of two others; any turn about that line is narrower) and goes on down either side.
pub(crate) fn minimum_zones(face: &Cloud<'_>, start: Vector) -> Vec<Zone> {
    let mut found = Vec::new();
    let mut open = vec![descend(face, start)];
    for _ in 0..ATTITUDES {
        let Some(zone) = open.pop() else {
            break;
        };
        let narrower = below(face, zone);
        if narrower.is_empty() {
            found.push(zone);
        }
        open.extend(narrower);
    }
    found.extend(open);
    found
}

/// Where the descent goes on from a saddle; nowhere from a local minimum.
fn below(face: &Cloud<'_>, zone: Zone) -> Vec<Zone> {
    let nothing = 1e-12 * face.extent();
    if zone.width <= nothing {
        return Vec::new();
    }
    free_directions(face, zone.normal)
        .into_iter()
        .map(|towards| descend(face, zone.normal * NUDGE.cos() + towards * NUDGE.sin()))
        .filter(|aside| aside.width < zone.width - nothing)
        .collect()
}

/// The unit vectors across `normal` towards which the planes can lean while the points that touch let them come closer,
/// or at least not apart: none at a local minimum of the width.
///
/// Leaning towards g moves the planes apart by the largest `g·(high − low)`, times the angle. All directions are barred
/// where those differences surround the origin; where they leave half a turn or more, its middle is free.
fn free_directions(face: &Cloud<'_>, normal: Vector) -> Vec<Vector> {
    let near = TOUCH * face.extent();
    let (right, ahead) = normal.any_orthonormal_pair();
    let low = corners(face, -normal);
    let mut angles: Vec<f64> = corners(face, normal)
        .iter()
        .flat_map(|&h| low.iter().map(move |&l| h - l))
        .map(|d| (d.dot(right), d.dot(ahead)))
        .filter(|(x, y)| x.hypot(*y) > near)
        .map(|(x, y)| y.atan2(x))
        .collect();
    angles.sort_by(f64::total_cmp);
    let Some(&first) = angles.first() else {
        return vec![right, ahead, -right, -ahead];
    };
    let nexts = angles.iter().skip(1).copied().chain([first + TAU]);
    angles
        .iter()
        .zip(nexts)
        .map(|(&angle, next)| (angle, next - angle))
        .filter(|&(_, gap)| gap > PI - 1e-6)
        .map(|(angle, gap)| angle + gap / 2.0)
        .map(|angle| right * angle.cos() + ahead * angle.sin())
        .collect()
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
