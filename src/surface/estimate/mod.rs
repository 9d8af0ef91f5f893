//! Both faces of a board from readings of any kind.

mod design;
mod doubt;
mod draw;
mod fit;
mod next;
mod prior;
mod random;
mod wave;

use crate::readings::Face;
use design::Design;
pub use doubt::Doubt;
pub use draw::Faces;
use fit::{Belief, Fit};
use prior::Prior;

/// A board's outline in the board frame, millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    /// x of end A.
    pub x0: f64,
    /// y of the near edge.
    pub y0: f64,
    /// Along x.
    pub length: f64,
    /// Along y.
    pub width: f64,
}

impl Outline {
    /// u and v, −1 to 1 over the board.
    fn inside(&self, x: f64, y: f64) -> (f64, f64) {
        (2.0 * (x - self.x0) / self.length - 1.0, 2.0 * (y - self.y0) / self.width - 1.0)
    }
}

/// A weight on the height of a face at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Term {
    /// The face.
    pub face: Face,
    /// Millimetres in the board frame.
    pub x: f64,
    /// Millimetres in the board frame.
    pub y: f64,
    /// The factor of the height there.
    pub weight: f64,
}

/// A reading: a weighted sum of heights and of unknowns of the set-up, with an error of known size.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// Heights of the faces, weighted.
    pub terms: Vec<Term>,
    /// Unknowns of the set-up by index, each with its coefficient.
    pub setup: Vec<(usize, f64)>,
    /// What was read, millimetres.
    pub value: f64,
    /// One standard deviation of the reading's error, rounding included, millimetres.
    pub sd: f64,
}

/// Why there is no estimate.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EstimateError {
    /// No reading at all.
    #[error("no readings")]
    NoReadings,
}

/// Both faces of a board, as far as the readings tell.
#[derive(Debug, Clone)]
pub struct Estimate {
    outline: Outline,
    prior: Prior,
    design: Design,
    beliefs: Vec<Belief>,
    doubts: Vec<Doubt>,
}

impl Estimate {
    /// Fits the readings.
    ///
    /// # Errors
    ///
    /// Where the readings cannot be fitted.
    pub fn new(outline: Outline, observations: &[Observation], setups: usize) -> Result<Self, EstimateError> {
        if observations.is_empty() {
            return Err(EstimateError::NoReadings);
        }
        let far = 50.0 + 3.0 * observations.iter().map(|o| o.value.abs()).fold(0.0, f64::max);
        let prior = Prior::new(&outline, far);
        let doubts = doubt::doubts(&outline, &prior, observations, setups);
        let kept: Vec<Observation> = observations
            .iter()
            .enumerate()
            .filter(|(i, _)| doubts.iter().all(|d| d.observation != *i))
            .map(|(_, o)| o.clone())
            .collect();
        let design = Design::new(&outline, &prior, &kept, setups);
        let beliefs = Fit::new(&design, &prior).beliefs(100);
        Ok(Self { outline, prior, design, beliefs, doubts })
    }

    /// The readings that do not fit the others, worst first, at most three; they are left out.
    #[must_use]
    pub fn doubts(&self) -> &[Doubt] {
        &self.doubts
    }
}
