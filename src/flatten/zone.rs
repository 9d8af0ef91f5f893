//! The minimum zone of one face: the closest two parallel planes that hold all of it between them, measured
//! square to the planes (ISO 1101 flatness; ISO 12781-1, minimum zone reference planes).
//!
//! The width over the normals is the support function of the face's difference with itself, and a width has
//! many local minima; the one asked for is the one that a descent from the face's own plane reaches. Each step
//! raises a copy of the face by `LIFT` times its width and separates it from the face: the widest gap g there
//! obeys `g(n) = lift · n·n₀ − w(n)`, so `w(n) ≤ w(n₀) − lift (1 − n·n₀)`: the width falls until the normal stays.

use parry3d_f64::math::Vector;

use super::cloud::{Cloud, Moved};
use super::separation::{Pair, Separation, separate};
use super::touching::{across, longest, span_a_plane};

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

/// The minimum zones that a descent from `start` reaches: one, or those on either side where the descent ends on a
/// saddle (a point straight over a line of two others; any turn about that line is narrower).
pub(crate) fn minimum_zones(face: &Cloud<'_>, start: Vector) -> Vec<Zone> {
    let (zone, pairs) = descend(face, start);
    let nothing = 1e-12 * face.extent();
    let lines = lines(&pairs, nothing);
    if zone.width <= nothing || span_a_plane(&lines, zone.normal) {
        return vec![zone];
    }
    let axis = longest(&lines)
        .and_then(|line| across(line, zone.normal))
        .unwrap_or_else(|| zone.normal.any_orthonormal_vector());
    let narrower: Vec<Zone> = [NUDGE, -NUDGE]
        .into_iter()
        .map(|turn| zone.normal * turn.cos() + axis.cross(zone.normal) * turn.sin())
        .map(|turned| descend(face, turned).0)
        .filter(|aside| aside.width < zone.width - nothing)
        .collect();
    if narrower.is_empty() {
        vec![zone]
    } else {
        narrower
    }
}

/// The lines between the points that hold each of the two planes: with two directions among them, no turn is free.
fn lines(pairs: &[Pair], nothing: f64) -> Vec<Vector> {
    pairs
        .iter()
        .skip(1)
        .flat_map(|p| [p.above - pairs[0].above, p.below - pairs[0].below])
        .filter(|line| line.length() > nothing)
        .collect()
}

/// Descends to where the width no longer falls; with the pairs of points that hold the planes there.
fn descend(face: &Cloud<'_>, start: Vector) -> (Zone, Vec<Pair>) {
    let mut zone = Zone {
        normal: start,
        width: width(face, start),
    };
    let mut pairs = Vec::new();
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
        pairs = gap.pairs;
        if next.width >= zone.width {
            break;
        }
        zone = next;
    }
    (zone, pairs)
}

/// How far the face reaches along `normal`.
pub(crate) fn width(face: &Cloud<'_>, normal: Vector) -> f64 {
    let (high, _) = face.furthest(normal);
    let (low, _) = face.furthest(-normal);
    (high - low).dot(normal)
}
