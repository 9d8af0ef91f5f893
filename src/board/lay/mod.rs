//! How a board lay in a scanner's own frame, as its edges tell.
//!
//! The points' own rectangle is found first ([`rectangle`]); then each edge by a robust line through where the points end
//! ([`edge`]), in rounds with ever narrower strips. The frame's length runs along the mean of both long edges, its middle lies
//! midway between opposite edges: so it is the same for both faces of a board whose ends are out of square or whose edges taper.

mod edge;
mod rectangle;
mod sought;

use crate::board::Side;
use crate::readings::{EdgesAt, EndA, Point};
use edge::Line;
use rectangle::Rectangle;
use sought::{DEPTHS, Sought};

/// How a board lay in a scanner's own frame. Millimetres and radians; errors are one standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lay {
    /// Whether the up face was read in this frame.
    pub up: bool,
    /// Whether the down face was.
    pub down: bool,
    /// The board lay turned over: seen from the scanner, its width runs the other way round.
    pub turned: bool,
    /// Number of points.
    pub points: usize,
    /// The board's middle in the scanner's frame.
    pub middle: [f64; 2],
    /// From end A to end B, anticlockwise from the scanner's x.
    pub direction: f64,
    /// Between both ends, and between both edges, as found.
    pub size: [f64; 2],
    /// Error of the middle along the board's length and across it.
    pub middle_error: [f64; 2],
    /// Error of the direction.
    pub direction_error: f64,
    /// How the outline departs from a rectangle.
    pub shape: Shape,
    /// The middle's station and position.
    to: [f64; 2],
}

/// How an outline departs from a rectangle, as slopes; each with its error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// How the width grows towards end B.
    pub taper: [f64; 2],
    /// How the station of end A grows across the width.
    pub end_a: [f64; 2],
    /// How that of end B does.
    pub end_b: [f64; 2],
}

/// What is known of a board before its edges are looked for.
#[derive(Debug, Clone, Copy)]
pub struct Stated<'a> {
    /// Its length and its width, where stated.
    pub size: [Option<f64>; 2],
    /// Where its edges lie at stations, ascending; empty for straight parallel ones.
    pub edges: &'a [EdgesAt],
    /// Where end A lay.
    pub end_a: Option<EndA>,
    /// Where nothing says where end A lay: whether it lay where x or y is highest.
    pub high: bool,
}

/// Why the edges of a scan do not tell how the board lay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoLay {
    /// There are only this many points.
    TooFew(usize),
    /// The board lay so far askew, degrees, that either way along it could be meant.
    Askew(f64),
    /// It is about as long as wide.
    Square,
    /// Too few points lie along one of the ends or edges.
    NoEdge(Side),
    /// The ends (along the length) or edges are so ragged that they leave this much open, mm.
    Ragged(Side, f64),
    /// The points reach over more or less than was stated or another scan found.
    Size {
        /// Along which side.
        side: Side,
        /// Over what.
        found: f64,
        /// Over what it should be.
        wanted: f64,
    },
}

/// Fewer points show no edges.
pub const FEWEST_POINTS: usize = 2000;

/// Points that are looked at, about and at most.
const LOOKED_AT: usize = 1 << 18;

/// Beyond this the edges tell nothing that is worth having, mm.
const RAGGED: f64 = 5.0;

/// Sizes may be off by this, and by a share of them, mm.
const OFF: f64 = 10.0;
const OFF_SHARE: f64 = 0.01;

impl Lay {
    /// Finds the board in the points that were read of it in one frame. Its middle is put where that of a board of the stated size
    /// is, or of the size found.
    ///
    /// # Errors
    ///
    /// Why the points' edges do not tell.
    pub fn find(sets: &[&[Point]], turned: bool, stated: &Stated<'_>) -> Result<Self, NoLay> {
        let count = sets.iter().map(|set| set.len()).sum();
        if count < FEWEST_POINTS {
            return Err(NoLay::TooFew(count));
        }
        let places = thinned(sets, count);
        let rectangle = Rectangle::around(&places).ok_or(NoLay::TooFew(count))?;
        let mut found = Sought::new(&rectangle, places.len(), turned, stated)?;
        let mut lines = None;
        for depth in DEPTHS {
            lines = Some(found.round(&places, depth, stated)?);
        }
        let [a, b, near, far] = lines.ok_or(NoLay::TooFew(count))?;
        let half = found.size.map(|size| size / 2.0);
        let between = |p: &Line, q: &Line| p.offset_error.hypot(q.offset_error) / 2.0;
        let slope = |l: &Line, half: f64| l.slope_error / half;
        let [a_off, b_off] = [&a, &b].map(|line| slope(line, half[1]));
        let long = slope(&near, half[0]).hypot(slope(&far, half[0]));
        let lay = Self {
            up: false,
            down: false,
            turned,
            points: count,
            middle: found.middle,
            direction: found.direction,
            size: found.size,
            middle_error: [between(&a, &b), between(&near, &far)],
            direction_error: long / 2.0,
            shape: Shape {
                taper: [found.slopes[3] - found.slopes[2], long],
                end_a: [found.slopes[0], a_off],
                end_b: [found.slopes[1], b_off],
            },
            to: [0.0; 2],
        };
        let at_ends = lay.direction_error * half[0];
        for (side, open) in [
            (Side::Length, lay.middle_error[0]),
            (Side::Width, lay.middle_error[1].hypot(at_ends)),
        ] {
            if open > RAGGED {
                return Err(NoLay::Ragged(side, open));
            }
        }
        for (axis, side) in [(0, Side::Length), (1, Side::Width)] {
            if let Some(wanted) = stated.size[axis] {
                lay.agrees(side, wanted)?;
            }
        }
        Ok(lay.on(stated, lay.size))
    }

    /// Whether it is about as long or wide as it should be.
    ///
    /// # Errors
    ///
    /// That it is not.
    pub fn agrees(&self, side: Side, wanted: f64) -> Result<(), NoLay> {
        let found = self.size[if side == Side::Length { 0 } else { 1 }];
        if (found - wanted).abs() > OFF + OFF_SHARE * wanted {
            return Err(NoLay::Size {
                side,
                found,
                wanted,
            });
        }
        Ok(())
    }

    /// The same lay, its middle put on that of a board of the stated size or, where nothing is stated, of this one.
    #[must_use]
    pub fn on(mut self, stated: &Stated<'_>, size: [f64; 2]) -> Self {
        let [length, width] = [0, 1].map(|axis| stated.size[axis].unwrap_or(size[axis]));
        self.to = [length / 2.0, middle_across(stated, width)];
        self
    }

    /// The station and position of a place in the scanner's frame.
    #[must_use]
    pub fn place(&self, at: [f64; 2]) -> [f64; 2] {
        let axes = axes(self.direction, self.turned);
        let from = [0, 1].map(|k| at[k] - self.middle[k]);
        [0, 1].map(|k| self.to[k] + axes[k][0] * from[0] + axes[k][1] * from[1])
    }

    /// The place in the scanner's frame of a station and position.
    #[must_use]
    pub fn seen(&self, place: [f64; 2]) -> [f64; 2] {
        let axes = axes(self.direction, self.turned);
        let from = [0, 1].map(|k| place[k] - self.to[k]);
        [0, 1].map(|k| self.middle[k] + axes[0][k] * from[0] + axes[1][k] * from[1])
    }

    /// Puts points on the board.
    pub fn lay(&self, points: &mut [Point]) {
        let axes = axes(self.direction, self.turned);
        for point in points {
            let from = [0, 1].map(|k| point[k] - self.middle[k]);
            for k in [0, 1] {
                point[k] = self.to[k] + axes[k][0] * from[0] + axes[k][1] * from[1];
            }
        }
    }

    /// The station and position about which the direction turns the board.
    #[must_use]
    pub fn pivot(&self) -> [f64; 2] {
        self.to
    }
}

/// The position of the middle between both edges.
fn middle_across(stated: &Stated<'_>, width: f64) -> f64 {
    EdgesAt::reach(stated.edges).map_or(width / 2.0, |[near, far]| (near + far) / 2.0)
}

/// The directions of length and width in the scanner's frame.
fn axes(direction: f64, turned: bool) -> [[f64; 2]; 2] {
    let (sin, cos) = direction.sin_cos();
    let across = if turned { [sin, -cos] } else { [-sin, cos] };
    [[cos, sin], across]
}

/// Places of some of the points, evenly spread over their order: multiples of the golden ratio fill a circle evenly.
fn thinned(sets: &[&[Point]], count: usize) -> Vec<[f64; 2]> {
    let share = (LOOKED_AT as f64 / count as f64).min(1.0);
    let kept = (share * u64::MAX as f64) as u64;
    let points = sets.iter().flat_map(|set| set.iter()).zip(0_u64..);
    points
        .filter(|(_, k)| k.wrapping_mul(0x9E37_79B9_7F4A_7C15) <= kept)
        .map(|(p, _)| [p[0], p[1]])
        .collect()
}
