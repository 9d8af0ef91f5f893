//! Warp as standards measure it, and whether their limits hold.
//!
//! EN 1310 takes bow, spring and twist as the greatest deviation over a representative length of 2 m, cup over the width; the
//! limits are those of EN 14081-1 for strength-graded timber. Both from memory. Here the 2 m stand where the deviation is
//! greatest; a shorter board is measured over its whole length. Hardwood: the surfaced sizes of the National Hardwood Lumber
//! Association, to which its FAS rule wants the whole board flat enough on both sides (4/4, 5/4, 8/4 and the rule read in a
//! dealer's summary, the other sizes from memory).

use crate::board::{Board, Outline};
use crate::readings::{Edge, Face};
use crate::surface::{Edges, ReadFaces};

const INCH: f64 = 25.4;

/// The length over which the standard measures, mm.
pub const MEASURED: f64 = 2000.0;

/// Places looked at along a stretch, and stretches looked at along a board.
const PLACES: usize = 41;
const STRETCHES: usize = 41;

/// Warp as the standard measures it, mm, never negative.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandardWarp {
    /// The length that was measured over: 2 m, or the whole of a shorter board.
    pub over: f64,
    /// Greatest deviation of the up face's middle line from its chord.
    pub bow: f64,
    /// Greatest deviation of an edge from its chord; `None` where nothing was read of the edges.
    pub spring: Option<f64>,
    /// How far the fourth corner of the stretch stands off the plane of the other three.
    pub twist: f64,
    /// Greatest deviation of the up face from its chord across the width.
    pub cup: f64,
}

impl StandardWarp {
    /// Of a board whose faces lie so.
    #[must_use]
    pub fn of(board: &Board, faces: &ReadFaces<'_>) -> Self {
        let outline = &board.outline;
        let [near, middle, far] = [-1.0, 0.0, 1.0].map(|v| outline.place(0.0, v).1);
        let up = |x: f64, y: f64| faces.height(Face::Up, x, y);
        let edges = Edges::new(board).and_then(Result::ok);
        let spring = edges.map(|edges| {
            let course = edges.course();
            let off = |edge| deviation(outline, &|x| course(edge, x));
            off(Edge::Near).max(off(Edge::Far))
        });
        let cup = |x: f64| {
            let [a, b] = [up(x, near), up(x, far)];
            let off = |v: f64| {
                let y = outline.place(0.0, v).1;
                (up(x, y) - (a + b) / 2.0 - (b - a) / 2.0 * v).abs()
            };
            steps(-1.0, 1.0, 9).map(off).fold(0.0, f64::max)
        };
        let end = outline.x0 + outline.length;
        Self {
            over: outline.length.min(MEASURED),
            bow: deviation(outline, &|x| up(x, middle)),
            spring,
            twist: twist(outline, &|x| up(x, far) - up(x, near)),
            cup: steps(outline.x0, end, PLACES).map(cup).fold(0.0, f64::max),
        }
    }
}

/// So many even places from one to another.
fn steps(from: f64, to: f64, count: usize) -> impl Iterator<Item = f64> {
    (0..count).map(move |i| from + (to - from) * i as f64 / (count - 1) as f64)
}

/// Where the stretches that are measured begin.
fn stretches(outline: &Outline) -> impl Iterator<Item = f64> {
    let room = (outline.length - MEASURED).max(0.0);
    steps(
        outline.x0,
        outline.x0 + room,
        if room > 0.0 { STRETCHES } else { 2 },
    )
}

/// The greatest deviation of a line from the chord of a stretch, over all stretches of the standard's length.
fn deviation(outline: &Outline, line: &dyn Fn(f64) -> f64) -> f64 {
    let over = outline.length.min(MEASURED);
    let of = |from: f64| {
        let (start, end) = (line(from), line(from + over));
        let off = |t: f64| (line(from + t * over) - start - t * (end - start)).abs();
        steps(0.0, 1.0, PLACES).map(off).fold(0.0, f64::max)
    };
    stretches(outline).map(of).fold(0.0, f64::max)
}

/// The greatest change of the lean across the board over a stretch.
fn twist(outline: &Outline, lean: &dyn Fn(f64) -> f64) -> f64 {
    let over = outline.length.min(MEASURED);
    let of = |from: f64| (lean(from + over) - lean(from)).abs();
    stretches(outline).map(of).fold(0.0, f64::max)
}

/// The strength classes to which EN 14081-1 gives limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StrengthClass {
    /// Up to C18.
    UpToC18,
    /// Above C18.
    AboveC18,
}

/// Limits over 2 m, mm; cup has none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Of bow.
    pub bow: f64,
    /// Of spring.
    pub spring: f64,
    /// Of twist.
    pub twist: f64,
}

impl StrengthClass {
    /// The limits for timber of this width, mm.
    ///
    /// ```
    /// use outwind::milling::StrengthClass;
    ///
    /// assert_eq!(StrengthClass::AboveC18.limits(150.0).twist, 6.0);
    /// ```
    #[must_use]
    pub fn limits(self, width: f64) -> Limits {
        let (bow, spring, twist) = match self {
            Self::UpToC18 => (20.0, 12.0, 2.0),
            Self::AboveC18 => (10.0, 8.0, 1.0),
        };
        Limits {
            bow,
            spring,
            twist: twist * width / 25.0,
        }
    }

    /// Whether a board of this width keeps the limits, so far as it was read.
    #[must_use]
    pub fn holds(self, warp: &StandardWarp, width: f64) -> bool {
        let limits = self.limits(width);
        warp.bow <= limits.bow
            && warp.spring.is_none_or(|spring| spring <= limits.spring)
            && warp.twist <= limits.twist
    }
}

/// Quarters of an inch, and the thickness in inches to which hardwood of it is surfaced on two sides.
const SURFACED: [(u32, f64); 6] = [
    (4, 0.8125),
    (5, 1.0625),
    (6, 1.3125),
    (8, 1.75),
    (10, 2.25),
    (12, 2.75),
];

/// A board this near to a rough size counts as of it, mm.
const OF_SIZE: f64 = INCH / 16.0;

/// The rough size of a hardwood board this thick (quarters of an inch, the largest that it reaches within 1/16 in) and the
/// thickness (mm) to which its rule wants both sides to come clean; `None` of a thinner board.
#[must_use]
pub fn surfaced_size(rough: f64) -> Option<(u32, f64)> {
    let reaches = |quarters: u32| f64::from(quarters) * INCH / 4.0 <= rough + OF_SIZE;
    let found = SURFACED
        .iter()
        .rev()
        .find(|(quarters, _)| reaches(*quarters));
    found.map(|&(quarters, inches)| (quarters, inches * INCH))
}
