//! What to put under the board to hold it in an attitude.

use super::{Faces, Laying};
use crate::board::Outline;
use crate::readings::{Face, Point};

/// Shims under both edges at one station, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shim {
    /// The station, in the coordinates of the readings.
    pub station: f64,
    /// Under the near edge.
    pub near: f64,
    /// Under the far edge.
    pub far: f64,
}

/// The shims under the down face at both corners of each end and every `spacing` (mm, positive) between, so that the
/// finished planes lie level: the gap between the table and the board, nothing where the board touches it.
///
/// `height` gives the down face over a place. The table touches the lowest of its readings and of the supported
/// places.
pub(super) fn shims(
    laying: &Laying,
    faces: &Faces<'_>,
    outline: &Outline,
    spacing: f64,
    height: impl Fn(f64, f64) -> f64,
) -> Vec<Shim> {
    // The finished down face lies level; what comes off at a place tells how low the wood reaches there.
    let off = |point: Point| laying.comes_off(Face::Down, point);
    let at = |x: f64, y: f64| off([x, y, height(x, y)]);
    let (near_edge, far_edge) = (outline.y0, outline.y0 + outline.width);
    let under: Vec<(f64, f64, f64)> = stations(outline, spacing)
        .into_iter()
        .map(|x| (x, at(x, near_edge), at(x, far_edge)))
        .collect();
    let table = faces
        .down
        .iter()
        .map(|&p| off(p))
        .chain(under.iter().flat_map(|&(_, near, far)| [near, far]))
        .fold(f64::NEG_INFINITY, f64::max);
    under
        .into_iter()
        .map(|(station, near, far)| Shim {
            station,
            near: table - near,
            far: table - far,
        })
        .collect()
}

/// Both ends and every `spacing` from end A; a station close before end B gives way to it.
fn stations(outline: &Outline, spacing: f64) -> Vec<f64> {
    // A board is at most a few dozen supports long; a silly spacing must not ask for millions.
    let spacing = spacing.max(outline.length / 200.0).max(1.0);
    let mut along = Vec::new();
    let mut x = 0.0;
    while x < outline.length - spacing / 3.0 {
        along.push(outline.x0 + x);
        x += spacing;
    }
    along.push(outline.x0 + outline.length);
    along
}
