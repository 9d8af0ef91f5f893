//! How a board is laid, what survives flattening, what holds it, and what comes off where.
//!
//! Flattening leaves the wood between two parallel planes that cut nothing but wood: every point of the up face
//! on or above one, every point of the down face on or below the other. An *attitude* is their common normal n;
//! what it leaves is the gap `g(n) = min n·up − max n·down`. Three attitudes are told apart, see [`Way`].

mod answer;
mod cloud;
mod corners;
mod expect;
mod gap;
mod holding;
mod jointed;
mod lay_check;
mod moved;
mod notes;
mod polygon;
mod prepared;
mod relief;
mod separation;
mod settle;
mod shims;
mod shortfall;
mod strip;
mod survey;
mod touching;
mod zone;

pub use answer::{Answer, Basis, Question, Removal};
pub use expect::{Doubted, Expectation, Interval, LaySure, NoExpectation, Wanted, known};
pub use gap::{Gap, gap_along, widest_gap};
pub use lay_check::{CaliperFit, Evidence, Laid};
pub use moved::{Change, Moved};
pub use notes::Note;
pub use relief::{Place, Relief, ReliefBasis};
pub use shims::Shim;
pub use shortfall::Shortfall;
pub use survey::{Ask, SurveyPlan, Tools};

use std::cmp::Ordering;

use parry3d_f64::math::Vector;

use crate::readings::{Face, Point};
use cloud::Cloud;
use prepared::{Prepared, widest};

/// How far the planes' normal may lean from the board's own, in degrees.
pub const MOST_LEAN_DEGREES: f64 = 10.0;

/// The share of the shorter face that must lie over the other, along either side.
pub const LEAST_OVERLAP: f64 = 0.5;

/// The furthest from zero that a coordinate may lie, mm: 10 km, beyond any board and far within exact arithmetic.
pub const FURTHEST: f64 = 1e7;

/// A way of laying the board when its first face is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// On a flat table as it settles by its own weight.
    AsLaid,
    /// So that the first face loses least.
    Balanced,
    /// So that most is left between both faces.
    Shimmed,
}

/// The readings of both faces and how the board lies among them. Millimetres; one frame for all.
#[derive(Debug, Clone, Copy)]
pub struct Faces<'a> {
    /// The up face, over a common datum with the down face.
    pub up: &'a [Point],
    /// The down face.
    pub down: &'a [Point],
    /// The board's own normal, out of the up face; any length but zero.
    pub normal: [f64; 3],
    /// The board's centre of mass.
    pub centre: Point,
}

/// One attitude and what it leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Laying {
    /// The way of laying.
    pub way: Way,
    /// The face that is cut first: in `AsLaid` the one on the table, in `Balanced` the one that loses least.
    /// A shimmed board may start with either; the up face is named.
    pub first: Face,
    /// Unit normal of both finished planes, out of the up face.
    pub normal: [f64; 3],
    /// Level `n·p` of the finished up face.
    pub up_level: f64,
    /// Level `n·p` of the finished down face.
    pub down_level: f64,
    /// The most that comes off the up face, square to the planes.
    pub most_off_up: f64,
    /// The most that comes off the down face.
    pub most_off_down: f64,
}

impl Laying {
    /// The gap of the two planes, mm; negative where they would cross, by as much as the wood falls short.
    #[must_use]
    pub fn gap(&self) -> f64 {
        self.up_level - self.down_level
    }

    /// What is left, mm: the gap, or 0 where nothing survives.
    #[must_use]
    pub fn thickness(&self) -> f64 {
        self.gap().max(0.0)
    }

    /// What comes off `face` at a point of it, mm, square to the planes: never negative at a reading of the face.
    #[must_use]
    pub fn comes_off(&self, face: Face, point: Point) -> f64 {
        let level = Vector::from(self.normal).dot(Vector::from(point));
        match face {
            Face::Up => level - self.up_level,
            Face::Down => self.down_level - level,
        }
    }
}

/// A reading that holds the shimmed answer where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoldingPoint {
    /// The face it lies on.
    pub face: Face,
    /// Where, in the coordinates of the readings.
    pub point: Point,
}

/// What flattening leaves of a board.
#[derive(Debug, Clone, PartialEq)]
pub struct Flattening {
    /// On a flat table, as it settles.
    pub as_laid: Laying,
    /// The other stable way on the same face that leaves least, where the board rocks between several.
    pub rocks_to: Option<Laying>,
    /// The first face loses least.
    pub balanced: Laying,
    /// The most that any attitude leaves.
    pub shimmed: Laying,
    /// By how much (mm) an attitude better than `shimmed` could still leave more, in theory: the distance of the
    /// closest points found less the gap of the planes. Rounding, some 1e-12 of the board's length.
    pub slack: f64,
    /// A smallest set of readings that fixes the shimmed answer, at least one a face: four at most, five where
    /// nothing survives.
    pub holding_points: Vec<HoldingPoint>,
}

/// Why the readings have no answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unanswerable {
    /// A face has no reading at all.
    NoReadings(Face),
    /// A reading of the face lies further from zero than [`FURTHEST`], or is no number.
    TooFar(Face),
    /// The up face lies below the down face by this much on average, mm: swapped, or depths taken for heights.
    UpsideDown(f64),
    /// The readings of the two faces lie over each other along too little of this side; the share that does.
    Apart {
        /// Along the length, rather than across the width.
        along: bool,
        /// Share of the shorter extent that overlaps, 0 to 1.
        share: f64,
    },
    /// The widest gap leans this far (degrees) from the board's own plane: the two faces are not one board's.
    Leaning(f64),
}

/// Lays the board in all three ways; with the pairs of points that hold the shimmed one, seen from the middle of both
/// faces. `above_by` is by how much the up face lies above the down face on average, where the points do not tell it.
fn lay(
    faces: &Faces<'_>,
    above_by: Option<f64>,
) -> Result<(Flattening, Vec<separation::Pair>), Unanswerable> {
    let board = Prepared::new(faces, above_by)?;
    let (shimmed, slack, pairs) = board.shimmed()?;
    let strips = [faces.up, faces.down].map(|face| strip::widened(face, board.normal));
    let widened = match &strips {
        [None, None] => None,
        [up, down] => Some(Prepared::new(
            &Faces {
                up: up.as_deref().unwrap_or(faces.up),
                down: down.as_deref().unwrap_or(faces.down),
                ..*faces
            },
            above_by,
        )?),
    };
    let wide = widened.as_ref().unwrap_or(&board);
    let balanced = wide.balanced();
    let (as_laid, rocks_to) = wide.as_laid();

    // Rounding can leave another way a hair above the widest gap: the better of them is then the widest. The readings
    // themselves leave it more than a strip for which it took them.
    let shimmed = [&balanced, &as_laid]
        .into_iter()
        .fold(shimmed, |best, other| {
            if other.gap() > best.gap() {
                let other = Laying {
                    way: Way::Shimmed,
                    first: Face::Up,
                    ..other.clone()
                };
                let normal = Vector::from(other.normal);
                widest(other, board.laying(Way::Shimmed, Face::Up, normal))
            } else {
                best
            }
        });
    let holding_points = Vec::new();
    let laid = Flattening {
        as_laid,
        rocks_to,
        balanced,
        shimmed,
        slack,
        holding_points,
    };
    Ok((laid, pairs))
}

/// Flattens the board at its readings, as if nothing lay between them.
///
/// # Errors
///
/// When the readings can be no board: see [`Unanswerable`]. A board from which nothing survives is no error.
pub fn flatten(faces: &Faces<'_>) -> Result<Flattening, Unanswerable> {
    flatten_knowing(faces, None)
}

/// As [`flatten`], of faces of which only the outermost readings are given: `above_by` is the mean height of the up face over
/// the down face, which these do not tell.
fn flatten_knowing(faces: &Faces<'_>, above_by: Option<f64>) -> Result<Flattening, Unanswerable> {
    let (mut found, pairs) = lay(faces, above_by)?;
    let board = Prepared::new(faces, above_by)?;
    let (above, below) = holding::holding_points(
        &board.up,
        &board.down,
        Vector::from(found.shimmed.normal),
        found.shimmed.thickness(),
        &pairs,
    );
    let held = |face, points: Vec<Vector>| {
        points.into_iter().map(move |p| HoldingPoint {
            face,
            point: (p + board.origin).to_array(),
        })
    };
    found.holding_points = held(Face::Up, above)
        .chain(held(Face::Down, below))
        .collect();
    let order = |h: &HoldingPoint| (h.face, h.point[0], h.point[1]);
    found
        .holding_points
        .sort_by(|a, b| order(a).partial_cmp(&order(b)).unwrap_or(Ordering::Equal));
    Ok(found)
}

/// Only the most that any attitude leaves, mm; 0 where nothing survives. For many boards in a row.
///
/// # Errors
///
/// As [`flatten`].
pub fn survives_shimmed(faces: &Faces<'_>) -> Result<f64, Unanswerable> {
    Ok(Prepared::new(faces, None)?.shimmed()?.0.thickness())
}

/// The two parallel planes closest together that hold all of a face between them, square to the planes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MinimumZone {
    /// Unit normal of the planes.
    pub normal: [f64; 3],
    /// Distance of the planes, mm.
    pub width: f64,
}

/// The minimum zone of a face: of the local minima, the one that a descent from `normal`, the face's own, reaches;
/// the narrower where it reaches two. Points on one line stand for a strip. `None` of no points, and where one lies
/// further from zero than [`FURTHEST`], or is no number.
#[must_use]
pub fn minimum_zone(face: &[Point], normal: [f64; 3]) -> Option<MinimumZone> {
    if face.is_empty() || !Cloud::new(face).lies_within(FURTHEST) {
        return None;
    }
    let normal = Vector::from(normal).normalize_or(Vector::Z);
    let strip = strip::widened(face, normal);
    let cloud = Cloud::new(strip.as_deref().unwrap_or(face));
    let middle = cloud.middle();
    zone::minimum_zones(&cloud.seen_from(middle), normal)
        .into_iter()
        .min_by(|a, b| a.width.total_cmp(&b.width))
        .map(|zone| MinimumZone {
            normal: zone.normal.to_array(),
            width: zone.width,
        })
}
