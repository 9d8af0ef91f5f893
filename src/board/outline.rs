//! The rectangle that a board covers.

use rayon::prelude::*;

use crate::readings::Point;

/// The rectangle that a board covers, seen from above, in millimetres and the coordinates of its readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    /// Where end A lies.
    pub x0: f64,
    /// Where the near edge lies.
    pub y0: f64,
    /// From end A to end B.
    pub length: f64,
    /// From the near edge to the far edge.
    pub width: f64,
}

impl Outline {
    /// The place (x, y) in units that run from −1 to 1 over length and width; 0 along a side of no extent.
    #[must_use]
    pub fn unit_place(&self, x: f64, y: f64) -> (f64, f64) {
        let unit = |at: f64, start: f64, extent: f64| {
            if extent > 0.0 {
                2.0 * (at - start) / extent - 1.0
            } else {
                0.0
            }
        };
        (unit(x, self.x0, self.length), unit(y, self.y0, self.width))
    }

    /// The place (x, y) of the units u, v from −1 to 1.
    #[must_use]
    pub fn place(&self, u: f64, v: f64) -> (f64, f64) {
        (
            self.x0 + self.length * (u + 1.0) / 2.0,
            self.y0 + self.width * (v + 1.0) / 2.0,
        )
    }
}

/// Points looked through by themselves, side by side with others.
const SHARE: usize = 1 << 16;

/// From where to where points lie along x and along y; `None` of no points.
#[must_use]
pub fn reach(points: &[Point]) -> Option<[[f64; 2]; 2]> {
    let &[x, y, _] = points.first()?;
    let wider = |(low, high): ([f64; 2], [f64; 2]), [x, y]: [f64; 2]| {
        (
            [low[0].min(x), low[1].min(y)],
            [high[0].max(x), high[1].max(y)],
        )
    };
    let none = ([x, y], [x, y]);
    let (low, high) = points
        .par_chunks(SHARE)
        .map(|share| {
            share
                .iter()
                .fold(none, |so_far, &[x, y, _]| wider(so_far, [x, y]))
        })
        .reduce(|| none, |a, (low, high)| wider(wider(a, low), high));
    Some([[low[0], high[0]], [low[1], high[1]]])
}
