//! What survives of the whole board, the wood between the readings and their errors reckoned with.
//!
//! The estimate of both faces is drawn many times, each draw is laid and flattened exactly, and the thicknesses that
//! survive are sorted.

use super::corners::corners;
use super::{Faces, Laying, Shortfall, Unanswerable, lay};
use crate::board::Board;
use crate::surface::estimate::{self, Drawn, EstimateError, Observation};
use crate::surface::{
    Candidate, Known, LAY_UNKNOWNS, MOST_READINGS, ReadFaces, Scans, Taken, What, candidates,
};

/// Draws of both faces: enough for the 5 % quantile to move by a twentieth of the interval or less. The fuzzer tries more
/// boards with fewer.
const DRAWS: usize = if cfg!(fuzzing) { 20 } else { 1000 };

/// The draws are the same at every run.
const SEED: u64 = 1;

/// A board that leans more than this over its datum, in degrees, is not the board that the priors speak of.
const MOST_DATUM_LEAN: f64 = 5.0;

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

/// A reading that does not fit the others; the expectation counts it only so far as it may be right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubted {
    /// The place by which it is known.
    pub place: [f64; 2],
    /// What was read.
    pub what: What,
    /// What it was, mm.
    pub reading: f64,
    /// What the others expect there, mm.
    pub expected: f64,
}

/// A reading that is worth taking.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// What to read where.
    pub reading: Candidate,
    /// Half of the shimmed interval as it is, mm.
    pub now: f64,
    /// What it would be about with this reading: as if what survives were linear in the faces.
    pub then: f64,
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
    /// Readings that do not fit, worst first; at most three.
    pub doubted: Vec<Doubted>,
    /// The reading that is expected to narrow the shimmed interval most; `None` where every place is read already.
    pub read_next: Option<Wanted>,
    /// One standard deviation, mm, by which the readings' errors alone move `shimmed`, were the board read again at the same
    /// places.
    pub repeat_error: f64,
    /// What is sure of each lay of the board in a scanner's own frame, in their order.
    pub lays: Vec<LaySure>,
    /// What the shop takes on top, where that is reckoned with.
    pub shortfall: Option<Shortfall>,
    /// What is left shimmed in each draw, ascending, before the shop falls short.
    draws: Vec<f64>,
}

/// How sure a lay of the board in a scanner's own frame is, beyond what its edges tell; one standard deviation, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LaySure {
    /// By how much the error of its place moves what survives, shimmed.
    pub moves: f64,
    /// How its datum lies over the board's first one: its height in the board's middle, by how much it leans from there to end
    /// B, and from there to the far edge. `None` of the first datum.
    pub datum: Option<[f64; 3]>,
}

/// Why nothing can be expected.
#[derive(Debug, Clone, PartialEq)]
pub enum NoExpectation {
    /// It was not asked for.
    NotAsked,
    /// The readings themselves have no answer.
    NoAnswer,
    /// There are more readings than [`MOST_READINGS`] that cannot be gathered as a scan.
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
        if let Some(shortfall) = &self.shortfall {
            let each = self.draws.iter().map(|t| shortfall.reaches(*t, thickness));
            return each.sum::<f64>() / self.draws.len() as f64;
        }
        let short = self.draws.partition_point(|t| *t < thickness - 1e-9);
        1.0 - short as f64 / self.draws.len() as f64
    }

    /// Flattens draws of the estimated faces; `read` tells how the board lies over its datum.
    pub(super) fn new(board: &Board, known: &Known, read: &ReadFaces<'_>) -> Self {
        let Known {
            estimate, observed, ..
        } = known;
        let normal = read.normal();
        let mut centre = read.centre_of_mass();
        centre[2] -= observed.level;
        let drawn = estimate.draws(DRAWS, SEED);
        let places = estimate.places();
        let left = drawn.each(places, |estimate::Faces { up, down }| {
            left(&Faces {
                up: &corners(&up, places[1]),
                down: &corners(&down, places[1]),
                normal,
                centre,
            })
        });
        let mut ways = [0, 1, 2].map(|way| left.iter().map(|left| left[way]).collect::<Vec<_>>());
        let (possible, observations): (Vec<_>, Vec<_>) =
            candidates(board, known).into_iter().unzip();
        let next = drawn.next_reading(&observations, &ways[2]);
        let repeat_error = drawn.repeat_error(&ways[2]);
        let lays = lays(board, known, &drawn, &ways[2]);
        for way in &mut ways {
            way.sort_by(f64::total_cmp);
        }
        let [as_laid, balanced, shimmed] = [0, 1, 2].map(|way| Interval::of(&ways[way]));
        let now = (shimmed.high - shimmed.low) / 2.0;
        let read_next = next.map(|(best, worth)| Wanted {
            reading: possible[best].clone(),
            now,
            then: settled(now * (1.0 - worth).sqrt()),
        });
        let doubted = estimate
            .doubts()
            .iter()
            .map(|d| {
                let Taken { what, place, level } = observed.taken[d.observation];
                Doubted {
                    place,
                    what,
                    reading: d.value + level,
                    expected: settled(d.expected + level),
                }
            })
            .collect();
        let [.., draws] = ways;
        Self {
            as_laid,
            balanced,
            shimmed,
            doubted,
            read_next,
            repeat_error,
            lays,
            shortfall: None,
            draws,
        }
    }
}

/// How sure each lay is; `survives` holds what is left shimmed of each draw, in order.
fn lays(board: &Board, known: &Known, drawn: &Drawn<'_>, survives: &[f64]) -> Vec<LaySure> {
    let Known {
        estimate, observed, ..
    } = known;
    let unknown = |k: usize| Observation {
        terms: Vec::new(),
        setup: vec![(k, 1.0)],
        value: 0.0,
        sd: 1e-6,
    };
    let of_lay = |number: usize| (0..LAY_UNKNOWNS).map(move |k| (number, k));
    let unknowns: Vec<Observation> = (0..board.lays.len())
        .flat_map(of_lay)
        .map(|(number, k)| unknown(observed.lays + LAY_UNKNOWNS * number + k))
        .collect();
    let worth = drawn.worth(&unknowns, survives);
    let count = survives.len() as f64;
    let mean = survives.iter().sum::<f64>() / count;
    let variance = survives.iter().map(|t| (t - mean).powi(2)).sum::<f64>() / count;
    let each = board.lays.iter().zip(worth.chunks(LAY_UNKNOWNS));
    each.map(|((_, datums), worth)| {
        // So much of it is the chance of so many draws.
        let share: f64 = worth.iter().map(|w| (w - 1.0 / count).max(0.0)).sum();
        let datum = datums.first().filter(|datum| **datum > 0);
        LaySure {
            moves: settled((share * variance).sqrt()),
            datum: datum
                .map(|datum| [0, 1, 2].map(|k| settled(estimate.set_up(3 * (datum - 1) + k).1))),
        }
    })
    .collect()
}

/// Estimates the faces of a board, where that can be done.
///
/// # Errors
///
/// Why it cannot.
pub fn known(board: &Board) -> Result<Known, NoExpectation> {
    known_as_read(board, ReadFaces::new(board).as_ref())
}

/// As [`known`], of a board whose faces were read like this.
pub(super) fn known_as_read(
    board: &Board,
    read: Option<&ReadFaces<'_>>,
) -> Result<Known, NoExpectation> {
    let normal = read.map_or([0.0, 0.0, 1.0], ReadFaces::normal);
    let lean = normal[0].hypot(normal[1]).atan().to_degrees();
    if lean > MOST_DATUM_LEAN {
        return Err(NoExpectation::LeansOverDatum(lean));
    }
    let scans = Scans::new(board);
    if scans.others(board) > MOST_READINGS {
        return Err(NoExpectation::TooManyReadings);
    }
    Known::with_scans(board, scans).map_err(|error| match error {
        EstimateError::Outline { .. } | EstimateError::NoReadings | EstimateError::NoThickness => {
            NoExpectation::TooLittleRead
        }
        other => NoExpectation::Failed(other.to_string()),
    })
}

/// What is left as laid, balanced and shimmed; of a draw that is no board, nothing.
fn left(faces: &Faces<'_>) -> [f64; 3] {
    let thickness = |laying: &Laying| laying.thickness();
    match lay(faces, None) {
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

/// To a millionth of a millimetre: what draws tell is far coarser, and processors differ in the digits beyond.
fn settled(mm: f64) -> f64 {
    (mm * 1e6).round() / 1e6
}

impl Interval {
    /// Of sorted values, at least one.
    #[must_use]
    pub fn of(sorted: &[f64]) -> Self {
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
