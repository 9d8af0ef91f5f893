//! One face from a scan: robust local heights, the roughness that has to be cut through, the sensor's noise told apart
//! from it, spikes, pits and places without points. `docs/estimator.md`, section Scans, has the definitions and figures.
//!
//! The points are looked at twice: they are counted in cells fixed by the board's size, then each cell keeps a sample chosen by
//! chance (fixed seed) and all points of one small window. What follows costs the same for ten thousand points as for
//! ten million.

mod cells;
mod depth;
mod far_off;
mod noise;
mod plane;

use rayon::prelude::*;

use crate::board::Outline;
use crate::readings::{Face, Point};
use crate::surface::form::{TERMS, slopes, terms};
use crate::surface::least_squares::LeastSquares;
use cells::{Cells, Patch};
pub use depth::Roughness;
use far_off::far_off;
pub use far_off::{Pits, Spikes};
pub use noise::Told;
use noise::{Noise, Residual};
use plane::{LocalPlane, median};

/// The share of a face's area that may stay lower than the finished plane leaves it: what is cut through is the depth that
/// all but this share of the roughness stays above.
pub const UNCLEANED: f64 = 0.001;

/// The height of a face over a place, from the points round about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LocalHeight {
    /// The middle of its points.
    pub at: [f64; 2],
    /// In the frame of the points, mm.
    pub height: f64,
    /// One standard deviation, mm.
    pub sd: f64,
    /// How it grows along x and y.
    pub slopes: [f64; 2],
    /// One of those spread over the board from which the sizes of its departures are learnt.
    pub guide: bool,
}

/// Places of a face without points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unread {
    /// Their share of the face, 0 to 1.
    pub share: f64,
    /// The middle of the largest of them.
    pub place: [f64; 2],
}

/// What the points of one set of heights tell of a face.
#[derive(Debug, Clone, PartialEq)]
pub struct Scan {
    /// The face.
    pub face: Face,
    /// Number of points.
    pub points: usize,
    /// One for each cell with points enough.
    pub heights: Vec<LocalHeight>,
    /// What has to be cut through.
    pub roughness: Roughness,
    /// Where nothing was read, if anywhere.
    pub unread: Option<Unread>,
    /// What the sensor saw that is not there, if anything.
    pub spikes: Option<Spikes>,
    /// What lies far under the wood round about, if anything.
    pub pits: Option<Pits>,
}

/// Robust standard deviations off the local plane beyond which a point is a spike or lies in a pit.
const FAR: f64 = 5.0;

/// No sensor is finer, mm: keeps exact planes from being all spikes.
const FINEST: f64 = 2e-4;

/// What local planes leave of the face's shape within a cell, mm: floor of a local height's standard deviation.
const UNFOLLOWED: f64 = 0.03;

/// Cells that a face needs.
const FEWEST_CELLS: usize = 6;

/// Points of a cell from which the form is found.
const OF_FORM: usize = 24;

impl Scan {
    /// Gathers the `points` of a face into at most `most` local heights. `out` is 1 where heights grow out of the wood and −1
    /// where they grow into it; `stated` the sensor's error, one standard deviation, where the user said it. `None` where they
    /// are too few or lie too close together.
    #[must_use]
    pub fn new(
        outline: &Outline,
        face: Face,
        points: &[Point],
        out: f64,
        stated: Option<f64>,
        most: usize,
    ) -> Option<Self> {
        let cells = Cells::new(outline, points.len(), most);
        let patches = cells.gather(points);
        let form = form(outline, &patches);
        let off_form = |p: &Point| -> f64 {
            let at = terms(outline, p[0], p[1]);
            p[2] - at.iter().zip(&form).map(|(t, c)| t * c).sum::<f64>()
        };
        let planes: Vec<Option<LocalPlane>> = patches
            .par_iter()
            .map(|patch| LocalPlane::new(&off_of(&patch.sample, &off_form)))
            .collect();
        if planes.iter().flatten().count() < FEWEST_CELLS {
            return None;
        }
        let residuals = |points: &[Point], plane: &LocalPlane| -> Vec<Residual> {
            off_of(points, &off_form)
                .iter()
                .map(|p| Residual {
                    x: p[0],
                    y: p[1],
                    off: out * plane.off(p),
                })
                .collect()
        };
        let sampled = each(&patches, &planes, |patch, plane| {
            residuals(&patch.sample, plane)
        });
        let near = each(&patches, &planes, |patch, plane| {
            residuals(&patch.near, plane)
        });
        let mut sizes: Vec<f64> = sampled.iter().flatten().map(|r| r.off.abs()).collect();
        let scale = (plane::CONSISTENT * median(&mut sizes)).max(FINEST);
        let far = FAR * scale;
        let noise = Noise::new(&sampled, &near, far, stated);
        let roughness = Roughness::new(&sampled, far, &noise);
        let heights = heights(outline, &cells, &planes, &form, scale);
        let (spikes, pits) = far_off(&cells, &sampled, &near, far);
        Some(Self {
            face,
            points: points.len(),
            heights,
            roughness,
            unread: cells.unread(&planes),
            spikes,
            pits,
        })
    }
}

/// Of each cell with a plane, what `of` makes of both; of others nothing.
fn each(
    patches: &[Patch],
    planes: &[Option<LocalPlane>],
    of: impl Fn(&Patch, &LocalPlane) -> Vec<Residual> + Sync,
) -> Vec<Vec<Residual>> {
    patches
        .par_iter()
        .zip(planes)
        .map(|(patch, plane)| plane.as_ref().map_or(Vec::new(), |plane| of(patch, plane)))
        .collect()
}

/// The points with what stands over the form for their heights.
fn off_of(points: &[Point], off_form: &impl Fn(&Point) -> f64) -> Vec<Point> {
    points.iter().map(|p| [p[0], p[1], off_form(p)]).collect()
}

/// The form (plane, cup, bow and twist) of the cells' samples by least squares, those far off left out of a second fit. It only
/// takes the large curvatures out of the cells.
fn form(outline: &Outline, patches: &[Patch]) -> [f64; TERMS] {
    let sample: Vec<Point> = patches
        .iter()
        .flat_map(|patch| patch.sample.iter().take(OF_FORM).copied())
        .collect();
    let fit = |points: &mut dyn Iterator<Item = &Point>| {
        let mut rows = LeastSquares::new(TERMS);
        for &[x, y, z] in points {
            rows.push(&terms(outline, x, y), z);
        }
        let shortest = rows.solve().shortest;
        [0, 1, 2, 3, 4, 5].map(|k: usize| shortest[k])
    };
    let first = fit(&mut sample.iter());
    let off = |p: &Point| {
        let at = terms(outline, p[0], p[1]);
        (p[2] - at.iter().zip(&first).map(|(t, c)| t * c).sum::<f64>()).abs()
    };
    let mut sizes: Vec<f64> = sample.iter().map(off).collect();
    let far = FAR * plane::CONSISTENT * median(&mut sizes);
    fit(&mut sample.iter().filter(|p| off(p) <= far))
}

/// The local heights over the middles of the cells' points.
fn heights(
    outline: &Outline,
    cells: &Cells,
    planes: &[Option<LocalPlane>],
    form: &[f64; TERMS],
    scale: f64,
) -> Vec<LocalHeight> {
    let local = |(cell, plane): (usize, &LocalPlane)| {
        let [x, y] = plane.at;
        let at = terms(outline, x, y);
        let of_form = slopes(outline, form, [x, y]);
        LocalHeight {
            at: plane.at,
            height: plane.height + at.iter().zip(form).map(|(t, c)| t * c).sum::<f64>(),
            sd: (plane.sd(scale)).hypot(UNFOLLOWED),
            slopes: [0, 1].map(|k| of_form[k] + plane.slopes[k]),
            guide: cells.is_guide(cell),
        }
    };
    let numbered = planes.iter().enumerate();
    numbered
        .filter_map(|(cell, plane)| plane.as_ref().map(|plane| local((cell, plane))))
        .collect()
}
