//! A board's faces as all its readings tell them.

use super::estimate::{Estimate, EstimateError, Observation};
use super::held::Course;
use super::observe::Observed;
use super::scans::Scans;
use crate::board::Board;
use crate::readings::Face;

/// How often the places where gauges rest are looked for at most.
const ROUNDS: usize = 4;

/// The faces of a board, estimated, with the readings that tell them.
#[derive(Debug, Clone)]
pub struct Known {
    /// The faces, heights counted from the mean of the first datum's.
    pub estimate: Estimate,
    /// The readings behind it.
    pub observed: Observed,
    /// The scans among them; where there are any, the faces are those that are cleaned up.
    pub scans: Scans,
}

impl Known {
    /// Estimates the faces of a board from all its readings.
    ///
    /// # Errors
    ///
    /// As [`Estimate::new`].
    pub fn new(board: &Board) -> Result<Self, EstimateError> {
        Self::with_scans(board, Scans::new(board))
    }

    /// As [`new`](Self::new), with the scans among the readings gathered already.
    ///
    /// # Errors
    ///
    /// As [`Estimate::new`].
    pub fn with_scans(board: &Board, scans: Scans) -> Result<Self, EstimateError> {
        let outline = board.outline;
        let fit = |o: &Observed| {
            if scans.is_empty() {
                Estimate::new(outline, &o.observations, o.set_ups)
            } else {
                Estimate::guided(outline, &o.observations, &o.guides, o.set_ups)
            }
        };
        let (estimate, observed) = rested(|course| Observed::new(board, &scans, course), fit)?;
        Ok(Self {
            estimate,
            observed,
            scans,
        })
    }

    /// The readings that are not doubted.
    pub fn trusted(&self) -> impl Iterator<Item = &Observation> {
        let doubts = self.estimate.doubts();
        let trusted = move |i: usize| doubts.iter().all(|d| d.observation != i);
        let numbered = self.observed.observations.iter().enumerate();
        numbered.filter(move |(i, _)| trusted(*i)).map(|(_, o)| o)
    }
}

/// Estimates from what gauges tell that first rest where they were held; the estimate tells where they would rest on the
/// wood; and so on until that stays.
pub(super) fn rested<O: PartialEq>(
    observe: impl Fn(Option<Course<'_>>) -> O,
    fit: impl Fn(&O) -> Result<Estimate, EstimateError>,
) -> Result<(Estimate, O), EstimateError> {
    let mut observed = observe(None);
    let mut estimate = fit(&observed)?;
    for _ in 0..ROUNDS {
        let course = estimate.course();
        let rested = observe(Some(&|face: Face, x, y| course.height(face, x, y)));
        if rested == observed {
            break;
        }
        estimate = fit(&rested)?;
        observed = rested;
    }
    Ok((estimate, observed))
}
