//! A set of points asked for its extremes: the support map that the distance query needs.

use parry3d_f64::math::Vector;
use parry3d_f64::shape::SupportMap;

use crate::readings::Point;

/// Points that share a box; a scan is read in lines, so neighbours in order are neighbours in space.
const BLOCK: usize = 64;

/// Fewer points than this are looked through one by one.
const BLOCKED_FROM: usize = 1024;

/// Raw points seen from an origin near them, so that a board lying 10 m from zero loses no digits.
#[derive(Debug, Clone)]
pub(crate) struct Cloud<'a> {
    points: &'a [Point],
    origin: Vector,
    whole: Bounds,
    boxes: Vec<Bounds>,
}

/// The box around some points.
#[derive(Debug, Clone, Copy)]
struct Bounds {
    middle: Vector,
    half: Vector,
}

impl<'a> Cloud<'a> {
    /// The points as seen from zero. Looks at each point once.
    pub(crate) fn new(points: &'a [Point]) -> Self {
        let blocks = points.chunks(BLOCK).map(Bounds::around);
        let (whole, boxes) = if points.len() < BLOCKED_FROM {
            (Bounds::around(points), Vec::new())
        } else {
            let boxes: Vec<Bounds> = blocks.collect();
            (Bounds::over(&boxes), boxes)
        };
        Self {
            points,
            origin: Vector::ZERO,
            whole,
            boxes,
        }
    }

    /// The same points as seen from `origin`.
    pub(crate) fn seen_from(mut self, origin: Vector) -> Self {
        let shift = origin - self.origin;
        self.origin = origin;
        self.whole.middle -= shift;
        for b in &mut self.boxes {
            b.middle -= shift;
        }
        self
    }

    /// The middle of the box around the points.
    pub(crate) fn middle(&self) -> Vector {
        self.whole.middle
    }

    /// Whether every coordinate is a number no further than this from the origin.
    pub(crate) fn lies_within(&self, furthest: f64) -> bool {
        let reach = self.whole.middle.abs() + self.whole.half;
        // A comparison with what is no number fails.
        reach.max_element() <= furthest && reach.is_finite()
    }

    /// The longest side of the box around the points.
    pub(crate) fn extent(&self) -> f64 {
        (self.whole.half * 2.0).max_element()
    }

    /// Every point, as seen from the origin, in the order given.
    pub(crate) fn iter(&self) -> impl Iterator<Item = Vector> + Clone + '_ {
        let origin = self.origin;
        self.points.iter().map(move |&p| Vector::from(p) - origin)
    }

    /// The point that lies furthest along `direction`, and how far along it lies; the first of several.
    ///
    /// # Panics
    ///
    /// When the cloud is empty.
    pub(crate) fn furthest(&self, direction: Vector) -> (Vector, f64) {
        let mut best = (self.at(0), f64::NEG_INFINITY);
        if self.boxes.is_empty() {
            self.look_through(0, self.points.len(), direction, &mut best);
            return best;
        }
        let reach = direction.abs();
        // Start where the extreme is likely, so that most other boxes can be passed over unopened.
        let bound = |b: &Bounds| b.middle.dot(direction) + b.half.dot(reach);
        let mut likely = 0;
        let mut highest = f64::NEG_INFINITY;
        for (i, b) in self.boxes.iter().enumerate() {
            let bound = bound(b);
            if bound > highest {
                (likely, highest) = (i, bound);
            }
        }
        self.open(likely, direction, &mut best);
        let slip = 1e-12 * (1.0 + highest.abs());
        for (i, b) in self.boxes.iter().enumerate() {
            if i != likely && bound(b) + slip > best.1 {
                self.open(i, direction, &mut best);
            }
        }
        best
    }

    fn open(&self, block: usize, direction: Vector, best: &mut (Vector, f64)) {
        let start = block * BLOCK;
        self.look_through(
            start,
            (start + BLOCK).min(self.points.len()),
            direction,
            best,
        );
    }

    fn look_through(&self, start: usize, end: usize, direction: Vector, best: &mut (Vector, f64)) {
        let along = |p: &Point| (Vector::from(*p) - self.origin).dot(direction);
        let points = &self.points[start..end];
        // Eight at a time, without a choice between one and the next, for the processor to reckon side by side.
        let (eights, rest) = points.as_chunks::<8>();
        for eight in eights {
            let reach = eight.each_ref().map(along);
            if reach.iter().fold(false, |any, r| any | (*r > best.1)) {
                self.take_furthest(eight, direction, best);
            }
        }
        self.take_furthest(rest, direction, best);
    }

    fn take_furthest(&self, points: &[Point], direction: Vector, best: &mut (Vector, f64)) {
        for p in points {
            let point = Vector::from(*p) - self.origin;
            let along = point.dot(direction);
            if along > best.1 {
                *best = (point, along);
            }
        }
    }

    fn at(&self, i: usize) -> Vector {
        Vector::from(self.points[i]) - self.origin
    }
}

impl Bounds {
    /// The box around points; of none, an empty one at zero.
    fn around(points: &[Point]) -> Self {
        Self::between(points.iter().map(|&p| (Vector::from(p), Vector::from(p))))
    }

    /// The box around boxes.
    fn over(boxes: &[Self]) -> Self {
        Self::between(boxes.iter().map(|b| (b.middle - b.half, b.middle + b.half)))
    }

    fn between(corners: impl Iterator<Item = (Vector, Vector)>) -> Self {
        let (low, high) = corners
            .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
            .unwrap_or((Vector::ZERO, Vector::ZERO));
        // Halved first, so that the sum of two huge numbers stays finite.
        Self {
            middle: low / 2.0 + high / 2.0,
            half: high / 2.0 - low / 2.0,
        }
    }
}

/// A set of points that can say which of them lies furthest in a direction, with where it was moved to.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Moved<'a> {
    pub(crate) cloud: &'a Cloud<'a>,
    pub(crate) by: Vector,
}

impl Moved<'_> {
    pub(crate) fn furthest(&self, direction: Vector) -> (Vector, f64) {
        let (point, along) = self.cloud.furthest(direction);
        (point + self.by, along + self.by.dot(direction))
    }
}

impl SupportMap for Moved<'_> {
    fn local_support_point(&self, direction: Vector) -> Vector {
        self.furthest(direction).0
    }
}
