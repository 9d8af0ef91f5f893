//! Both faces made ready, and the three ways of laying them.

use parry3d_f64::math::Vector;

use super::cloud::{Cloud, Moved};
use super::separation::{self, Separation, separate};
use super::{
    FURTHEST, Faces, LEAST_OVERLAP, Laying, MOST_LEAN_DEGREES, Unanswerable, Way, settle, strip,
    touching, zone,
};
use crate::readings::Face;

/// Centres of mass closer in height than this share of the face's extent are equally low: it is what rounding leaves.
const LEVEL: f64 = 1e-12;

/// Both faces, seen from an origin among them.
pub(super) struct Prepared<'a> {
    pub(super) up: Cloud<'a>,
    pub(super) down: Cloud<'a>,
    pub(super) origin: Vector,
    pub(super) normal: Vector,
    centre: Vector,
    /// By how much the up face lies above the down face on average, where the points do not tell it.
    above_by: Option<f64>,
}

impl<'a> Prepared<'a> {
    pub(super) fn new(faces: &Faces<'a>, above_by: Option<f64>) -> Result<Self, Unanswerable> {
        for (face, points) in [(Face::Up, faces.up), (Face::Down, faces.down)] {
            if points.is_empty() {
                return Err(Unanswerable::NoReadings(face));
            }
        }
        let (up, down) = (Cloud::new(faces.up), Cloud::new(faces.down));
        for (face, cloud) in [(Face::Up, &up), (Face::Down, &down)] {
            if !cloud.lies_within(FURTHEST) {
                return Err(Unanswerable::TooFar(face));
            }
        }
        let normal = Vector::from(faces.normal).normalize_or(Vector::Z);
        let origin = up.middle() / 2.0 + down.middle() / 2.0;
        let (up, down) = (up.seen_from(origin), down.seen_from(origin));
        // Two lines of readings have no width to lie over each other by; the lean of the planes tells.
        if !(strip::is_line(faces.up, normal) && strip::is_line(faces.down, normal)) {
            overlap(&up, &down, normal)?;
        }
        Ok(Self {
            up,
            down,
            origin,
            normal,
            centre: Vector::from(faces.centre) - origin,
            above_by,
        })
    }

    /// The widest gap, its slack, and the pairs of points between which its line runs.
    pub(super) fn shimmed(&self) -> Result<(Laying, f64, Vec<separation::Pair>), Unanswerable> {
        let above = Moved {
            cloud: &self.up,
            by: Vector::ZERO,
        };
        let below = Moved {
            cloud: &self.down,
            by: Vector::ZERO,
        };
        match separate(&above, &below, self.normal) {
            Separation::Apart(gap) => {
                let lean = gap.normal.angle_between(self.normal).to_degrees();
                if lean > 180.0 - MOST_LEAN_DEGREES {
                    return Err(Unanswerable::UpsideDown(-self.above_by()));
                }
                if lean > MOST_LEAN_DEGREES {
                    return Err(Unanswerable::Leaning(lean));
                }
                Ok((
                    self.laying(Way::Shimmed, Face::Up, gap.normal),
                    gap.slack,
                    gap.pairs,
                ))
            }
            Separation::Meet(pairs) => {
                let above_by = self.above_by();
                if above_by < 0.0 {
                    return Err(Unanswerable::UpsideDown(-above_by));
                }
                Ok((self.laying(Way::Shimmed, Face::Up, self.normal), 0.0, pairs))
            }
        }
    }

    /// By how much the up face lies above the down face on average.
    fn above_by(&self) -> f64 {
        let middle = |cloud: &Cloud<'_>| {
            let (sum, count) = cloud
                .iter()
                .fold((Vector::ZERO, 0.0), |(s, n), p| (s + p, n + 1.0));
            sum / count
        };
        self.above_by
            .unwrap_or_else(|| (middle(&self.up) - middle(&self.down)).dot(self.normal))
    }

    /// The first face in its minimum zone, whichever leaves more.
    pub(super) fn balanced(&self) -> Laying {
        let zones = |face, cloud| {
            zone::minimum_zones(cloud, self.normal)
                .into_iter()
                .map(move |z| (face, z.normal))
        };
        zones(Face::Up, &self.up)
            .chain(zones(Face::Down, &self.down))
            .map(|(face, normal)| self.laying(Way::Balanced, face, normal))
            .reduce(widest)
            .unwrap_or_else(|| self.laying(Way::Balanced, Face::Up, self.normal))
    }

    /// As the board settles, on whichever face leaves more, and the worst that it rocks to on the same face.
    pub(super) fn as_laid(&self) -> (Laying, Option<Laying>) {
        let settled = |face: Face| {
            let (cloud, into_the_wood) = match face {
                Face::Down => (&self.down, self.normal),
                Face::Up => (&self.up, -self.normal),
            };
            let rests = settle::rests(cloud, self.centre, into_the_wood);
            let lowest = rests.first()?.height + LEVEL * cloud.extent();
            let as_low = rests.iter().take_while(|r| r.height <= lowest).count();
            let mut ways: Vec<Laying> = rests
                .into_iter()
                .map(|rest| match face {
                    Face::Down => rest.normal,
                    Face::Up => -rest.normal,
                })
                .map(|normal| self.laying(Way::AsLaid, face, normal))
                .collect();
            // Of equally low ways the one that leaves least: rounding must not choose.
            ways[..as_low].sort_by(|a, b| a.gap().total_cmp(&b.gap()));
            let worst = ways.iter().skip(1).cloned().reduce(narrowest);
            ways.into_iter().next().map(|first| (first, worst))
        };
        [Face::Down, Face::Up]
            .into_iter()
            .filter_map(settled)
            .reduce(|a, b| if b.0.gap() > a.0.gap() { b } else { a })
            .unwrap_or_else(|| (self.laying(Way::AsLaid, Face::Down, self.normal), None))
    }

    /// The finished planes along a normal.
    pub(super) fn laying(&self, way: Way, first: Face, normal: Vector) -> Laying {
        let level = |cloud: &Cloud<'_>, direction: Vector| cloud.furthest(direction).0.dot(normal);
        let (up_low, up_high) = (level(&self.up, -normal), level(&self.up, normal));
        let (down_low, down_high) = (level(&self.down, -normal), level(&self.down, normal));
        let from_zero = self.origin.dot(normal);
        Laying {
            way,
            first,
            normal: normal.to_array(),
            up_level: from_zero + up_low,
            down_level: from_zero + down_high,
            most_off_up: up_high - up_low,
            most_off_down: down_high - down_low,
        }
    }
}

/// The one that leaves less; the former, of equals.
fn narrowest(a: Laying, b: Laying) -> Laying {
    if b.gap() < a.gap() { b } else { a }
}

/// The one that leaves more; the former, of equals.
pub(super) fn widest(a: Laying, b: Laying) -> Laying {
    if b.gap() > a.gap() { b } else { a }
}

/// Refuses faces that were read over different parts of the board, as seen along its normal.
fn overlap(
    up_cloud: &Cloud<'_>,
    down_cloud: &Cloud<'_>,
    normal: Vector,
) -> Result<(), Unanswerable> {
    for (side, along) in [(Vector::X, true), (Vector::Y, false)] {
        let side = touching::across(side, normal).unwrap_or(side);
        let reach = |cloud: &Cloud<'_>| {
            (
                cloud.furthest(-side).0.dot(side),
                cloud.furthest(side).0.dot(side),
            )
        };
        let (up, down) = (reach(up_cloud), reach(down_cloud));
        let common = up.1.min(down.1) - up.0.max(down.0);
        let shorter = (up.1 - up.0).min(down.1 - down.0);
        let hair = 1e-9 * (up.1 - up.0).max(down.1 - down.0);
        if common < LEAST_OVERLAP * shorter - hair {
            let share = if shorter > 0.0 {
                (common / shorter).max(0.0)
            } else {
                0.0
            };
            return Err(Unanswerable::Apart { along, share });
        }
    }
    Ok(())
}
