//! What survives of the whole board, the wood between the readings and their errors reckoned with.
//!
//! The estimate of both faces is drawn many times, each draw is laid and flattened exactly, and the thicknesses that
//! survive are sorted.

use super::corners::corners;
use super::{Faces, Laying, Unanswerable, lay};
use crate::board::{Board, Down};
use crate::readings::Face;
use crate::surface::ReadFaces;
use crate::surface::estimate::{
    self, Estimate, EstimateError, Observation, Term, stated_thickness,
};

/// Draws of both faces: enough for the 5 % quantile to move by a twentieth of the interval or less.
const DRAWS: usize = 1000;

/// Places of a draw along and across: 41 stations are 50 mm apart on a board of 2 m.
const STATIONS: usize = 49;
const POSITIONS: usize = 9;

/// The draws are the same at every run.
const SEED: u64 = 1;

/// More readings than this are a scan: they would have to be gathered into local heights first.
pub const MOST_READINGS: usize = 400;

/// A board that leans more than this over its datum, in degrees, is not the board that the priors speak of.
const MOST_DATUM_LEAN: f64 = 5.0;

/// One standard deviation of a single thickness stated for a whole board, mm: nobody says where it was taken.
const STATED_THICKNESS_ERROR: f64 = 0.5;

/// The median and the central 90 % interval of a thickness, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// As likely exceeded as not.
    pub expected: f64,
    /// Exceeded in 95 of 100.
    pub low: f64,
    /// Exceeded in 5 of 100.
    pub high: f64,
}

/// A reading that does not fit the others; it was left out of the expectation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubted {
    /// Where it was taken.
    pub place: [f64; 2],
    /// The face it was taken of; `None` of a thickness.
    pub face: Option<Face>,
    /// What was read, mm.
    pub reading: f64,
    /// What the others expect there, mm.
    pub expected: f64,
}

/// A reading that is worth taking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Where.
    pub place: [f64; 2],
    /// The face whose height to read; `None` for the thickness with a caliper.
    pub face: Option<Face>,
}

/// What is expected to survive of the whole board.
#[derive(Debug, Clone, PartialEq)]
pub struct Expectation {
    /// On a flat table, as it settles.
    pub as_laid: Interval,
    /// The first face loses least.
    pub balanced: Interval,
    /// The most that any attitude leaves.
    pub shimmed: Interval,
    /// Readings that were left out, worst first; at most three.
    pub doubted: Vec<Doubted>,
    /// The reading that is expected to narrow the shimmed interval most; `None` where every place is read already.
    pub read_next: Option<Wanted>,
    /// What is left shimmed in each draw, ascending.
    draws: Vec<f64>,
}

/// Why nothing can be expected.
#[derive(Debug, Clone, PartialEq)]
pub enum NoExpectation {
    /// It was not asked for.
    NotAsked,
    /// The readings themselves have no answer.
    NoAnswer,
    /// There are more readings than [`MOST_READINGS`].
    TooManyReadings,
    /// The board leans this far over its datum, degrees.
    LeansOverDatum(f64),
    /// The board has no length or no width, or too little was read.
    TooLittleRead,
    /// The estimate failed.
    Failed(String),
}

impl Expectation {
    /// The probability that the whole board comes out at least this thick, shimmed, 0 to 1.
    #[must_use]
    pub fn chance(&self, thickness: f64) -> f64 {
        let short = self.draws.partition_point(|t| *t < thickness - 1e-9);
        1.0 - short as f64 / self.draws.len() as f64
    }

    /// Estimates the board and flattens its draws.
    pub(super) fn new(board: &Board, read: &ReadFaces) -> Result<Self, NoExpectation> {
        if board.readings() > MOST_READINGS {
            return Err(NoExpectation::TooManyReadings);
        }
        let normal = read.normal();
        let lean = normal[0].hypot(normal[1]).atan().to_degrees();
        if lean > MOST_DATUM_LEAN {
            return Err(NoExpectation::LeansOverDatum(lean));
        }
        // Heights over their own mean: where the datum lies says nothing of the board.
        let level = board.up.iter().map(|p| p[2]).sum::<f64>() / board.up.len() as f64;
        let (observations, places) = observe(board, level);
        let estimate =
            Estimate::new(board.outline, &observations, 0).map_err(|error| match error {
                EstimateError::Outline { .. }
                | EstimateError::NoReadings
                | EstimateError::NoThickness => NoExpectation::TooLittleRead,
                other => NoExpectation::Failed(other.to_string()),
            })?;
        let mut centre = read.centre_of_mass();
        centre[2] -= level;
        let mut ways: [Vec<f64>; 3] = Default::default();
        for estimate::Faces { up, down } in estimate.draws(STATIONS, POSITIONS, DRAWS, SEED) {
            let left = left(&Faces {
                up: &corners(&up, POSITIONS),
                down: &corners(&down, POSITIONS),
                normal,
                centre,
            });
            for (way, thickness) in ways.iter_mut().zip(left) {
                way.push(thickness);
            }
        }
        let (candidates, wanted) = candidates(board, &places);
        let read_next = estimate
            .next_reading(&candidates, &ways[2], SEED)
            .map(|i| wanted[i]);
        for way in &mut ways {
            way.sort_by(f64::total_cmp);
        }
        let doubted = estimate
            .doubts()
            .iter()
            .map(|d| {
                let (face, place) = places[d.observation];
                let above = if face.is_some() { level } else { 0.0 };
                Doubted {
                    place,
                    face,
                    reading: d.value + above,
                    expected: settled(d.expected + above),
                }
            })
            .collect();
        let [as_laid, balanced, shimmed] = ways;
        Ok(Self {
            as_laid: Interval::of(&as_laid),
            balanced: Interval::of(&balanced),
            shimmed: Interval::of(&shimmed),
            doubted,
            read_next,
            draws: shimmed,
        })
    }
}

/// What is left as laid, balanced and shimmed; of a draw that is no board, nothing.
fn left(faces: &Faces<'_>) -> [f64; 3] {
    let thickness = |laying: &Laying| laying.thickness();
    match lay(faces) {
        Ok((laid, _)) => [
            thickness(&laid.as_laid),
            thickness(&laid.balanced),
            thickness(&laid.shimmed),
        ],
        Err(Unanswerable::NoReadings(_) | Unanswerable::TooFar(_)) => {
            unreachable!("draws cover the board")
        }
        Err(_) => [0.0; 3],
    }
}

/// Every reading as a linear observation of both faces, heights over `level`; and where each was taken.
type Places = Vec<(Option<Face>, [f64; 2])>;

fn observe(board: &Board, level: f64) -> (Vec<Observation>, Places) {
    let mut observations = Vec::new();
    let mut places = Vec::new();
    let mut add =
        |face: Option<Face>, place: [f64; 2], weights: &[(Face, f64)], value: f64, sd: f64| {
            let [x, y] = place;
            let terms = weights
                .iter()
                .map(|&(face, weight)| Term { face, x, y, weight })
                .collect();
            observations.push(Observation {
                terms,
                setup: Vec::new(),
                value,
                sd,
            });
            places.push((face, place));
        };
    let errors = board.errors;
    for &[x, y, z] in &board.up {
        add(
            Some(Face::Up),
            [x, y],
            &[(Face::Up, 1.0)],
            z - level,
            errors.height,
        );
    }
    match &board.down {
        Down::Heights(heights) => {
            for &[x, y, z] in heights {
                add(
                    Some(Face::Down),
                    [x, y],
                    &[(Face::Down, 1.0)],
                    z - level,
                    errors.height,
                );
            }
        }
        Down::Calipers(calipers) => {
            for c in calipers {
                let across = [(Face::Up, 1.0), (Face::Down, -1.0)];
                add(None, [c.x, c.y], &across, c.thickness, errors.caliper);
            }
        }
        Down::Thickness(thickness) => {
            observations.push(stated_thickness(
                &board.outline,
                *thickness,
                STATED_THICKNESS_ERROR,
            ));
            let (x, y) = board.outline.place(0.0, 0.0);
            places.push((None, [x, y]));
        }
    }
    (observations, places)
}

/// Readings that a person can take: heights of the up face at both edges and the middle, thicknesses along both edges;
/// not where the same was read within a tenth of the board's length and a quarter of its width.
fn candidates(board: &Board, taken: &Places) -> (Vec<Observation>, Vec<Wanted>) {
    let outline = &board.outline;
    let (mut candidates, mut wanted) = (Vec::new(), Vec::new());
    for i in 0..=12 {
        for v in [-1.0, 0.0, 1.0] {
            let (x, y) = outline.place(f64::from(i) / 6.0 - 1.0, v);
            for face in [Some(Face::Up), None] {
                let near = |(of, [px, py]): &(Option<Face>, [f64; 2])| {
                    *of == face
                        && (px - x).abs() < 0.1 * outline.length
                        && (py - y).abs() < 0.25 * outline.width
                };
                let (down, sd) = match face {
                    None if v == 0.0 => continue,
                    None => (-1.0, board.errors.caliper),
                    Some(_) => (0.0, board.errors.height),
                };
                if taken.iter().any(near) {
                    continue;
                }
                let weights = [(Face::Up, 1.0), (Face::Down, down)];
                let terms = weights
                    .map(|(face, weight)| Term { face, x, y, weight })
                    .to_vec();
                candidates.push(Observation {
                    terms,
                    setup: Vec::new(),
                    value: 0.0,
                    sd,
                });
                wanted.push(Wanted {
                    place: [x, y],
                    face,
                });
            }
        }
    }
    (candidates, wanted)
}

/// To a millionth of a millimetre: what draws tell is far coarser, and processors differ in the digits beyond.
fn settled(mm: f64) -> f64 {
    (mm * 1e6).round() / 1e6
}

impl Interval {
    /// Of sorted values.
    fn of(sorted: &[f64]) -> Self {
        let quantile = |share: f64| {
            let at = share * (sorted.len() - 1) as f64;
            let below = at.floor() as usize;
            let above = (below + 1).min(sorted.len() - 1);
            settled(sorted[below] + (at - below as f64) * (sorted[above] - sorted[below]))
        };
        Self {
            expected: quantile(0.5),
            low: quantile(0.05),
            high: quantile(0.95),
        }
    }
}
