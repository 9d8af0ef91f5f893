//! Both faces of a board from readings of any kind, with what the readings leave open.
//!
//! Every reading is a weighted sum of heights of the two faces and of unknowns of its set-up, plus an error of known
//! size. The faces are a datum plane, a thickness, the form (bow, cup, twist and their next terms) and random
//! departures: kinks along the length, of the twist and of the cup, local waves of both faces together, waves of the
//! thickness, and short waves of each face. All are normal given the departures' sizes and no, one or two *features*
//! (kinks, curled ends, S-bows, thin spots); sizes and features are summed over, weighed by how likely they make the
//! readings, so that the uncertainty carries what the readings do not say about them. `docs/estimator.md` gives
//! the priors, where they come from, and how often the intervals held the truth.

mod course;
mod design;
mod doubt;
mod draw;
mod fit;
mod left_out;
mod next;
mod prior;
mod random;
mod repeat;
mod slip;
mod told;
mod wave;

use crate::board::Outline;
use crate::readings::Face;
pub use course::Course;
use design::Design;
pub use doubt::Doubt;
use doubt::Sifted;
pub use draw::{Drawn, Faces};
use fit::Belief;
use prior::Prior;
pub use random::halton_normal;

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

impl Term {
    /// A weight on the height of a face over (x, y).
    #[must_use]
    pub fn new(face: Face, [x, y]: [f64; 2], weight: f64) -> Self {
        Self { face, x, y, weight }
    }
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

/// One number for the thickness of a whole board, as a reading: the mean of nine places over it, with an error of `sd`
/// (0.5 mm where nothing better is known: nobody says where a single thickness was taken).
#[must_use]
pub fn stated_thickness(outline: &Outline, thickness: f64, sd: f64) -> Observation {
    let mut terms = Vec::new();
    for u in [0.1, 0.5, 0.9] {
        for v in [0.1, 0.5, 0.9] {
            let place = [
                outline.x0 + u * outline.length,
                outline.y0 + v * outline.width,
            ];
            terms.push(Term::new(Face::Up, place, 1.0 / 9.0));
            terms.push(Term::new(Face::Down, place, -1.0 / 9.0));
        }
    }
    Observation {
        terms,
        setup: Vec::new(),
        value: thickness,
        sd,
    }
}

/// Why there is no estimate.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EstimateError {
    /// The board has no length or no width.
    #[error("the board is {length} mm long and {width} mm wide: both must be positive")]
    Outline {
        /// Millimetres.
        length: f64,
        /// Millimetres.
        width: f64,
    },
    /// No reading at all.
    #[error("there are no readings: give heights of a face and a thickness")]
    NoReadings,
    /// No reading tells the faces apart.
    #[error(
        "no reading says how thick the board is: give a caliper reading, the other face's heights or one thickness"
    )]
    NoThickness,
    /// A value, place, weight or coefficient that is not finite, an error that is not positive and finite, or a set-up
    /// unknown that was not announced.
    #[error("observation {observation}: {fault}")]
    Observation {
        /// Its index.
        observation: usize,
        /// What is wrong with it.
        fault: &'static str,
    },
    /// The readings are so far apart in size or error that the arithmetic fails.
    #[error(
        "the readings cannot be fitted: values up to {largest} mm with errors down to {finest} mm are too far apart"
    )]
    Arithmetic {
        /// The largest value, millimetres.
        largest: f64,
        /// The smallest error, millimetres.
        finest: f64,
    },
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
    /// Fits the readings; `setups` is the number of set-up unknowns. Readings that do not fit are named by
    /// [`doubts`](Self::doubts).
    ///
    /// # Errors
    ///
    /// The first fault of outline or observations, or that the readings cannot be fitted.
    pub fn new(
        outline: Outline,
        observations: &[Observation],
        setups: usize,
    ) -> Result<Self, EstimateError> {
        check(&outline, observations, setups)?;
        let prior = Prior::new(&outline, far(observations));
        let sifted = doubt::sift(&outline, &prior, observations, setups);
        Self::of(outline, observations, prior, sifted)
    }

    /// As [`new`](Self::new), of hundreds of readings that are good already: the sizes of the departures and the features are
    /// learnt from the `guides` alone, some of the readings by index; the faces are bent to all. None is doubted.
    ///
    /// # Errors
    ///
    /// As [`new`](Self::new).
    pub fn guided(
        outline: Outline,
        observations: &[Observation],
        guides: &[usize],
        setups: usize,
    ) -> Result<Self, EstimateError> {
        check(&outline, observations, setups)?;
        let prior = Prior::new(&outline, far(observations));
        let sifted = doubt::unsifted(&outline, &prior, observations, guides, setups);
        Self::of(outline, observations, prior, sifted)
    }

    fn of(
        outline: Outline,
        observations: &[Observation],
        prior: Prior,
        sifted: Sifted,
    ) -> Result<Self, EstimateError> {
        let Sifted {
            doubts,
            design,
            beliefs,
        } = sifted;
        if beliefs.is_empty() {
            let largest = largest(observations);
            let finest = observations
                .iter()
                .map(|o| o.sd)
                .fold(f64::INFINITY, f64::min);
            return Err(EstimateError::Arithmetic { largest, finest });
        }
        Ok(Self {
            outline,
            prior,
            design,
            beliefs,
            doubts,
        })
    }

    /// The readings that do not fit the others, worst first, at most three. They are left out, but for the chance that they
    /// are right all the same.
    #[must_use]
    pub fn doubts(&self) -> &[Doubt] {
        &self.doubts
    }

    /// The expected height of a face, millimetres; of many places, ask [`course`](Self::course).
    #[must_use]
    pub fn height(&self, face: Face, x: f64, y: f64) -> f64 {
        self.course().height(face, x, y)
    }

    /// Standard deviation of the height of a face, millimetres.
    #[must_use]
    pub fn sd(&self, face: Face, x: f64, y: f64) -> f64 {
        self.moments(&[Term::new(face, [x, y], 1.0)]).1
    }

    /// The expected thickness along z and its standard deviation, millimetres.
    #[must_use]
    pub fn thickness(&self, x: f64, y: f64) -> (f64, f64) {
        self.moments(&[
            Term::new(Face::Up, [x, y], 1.0),
            Term::new(Face::Down, [x, y], -1.0),
        ])
    }

    /// Expected value and standard deviation of a weighted sum of heights, over all beliefs.
    #[must_use]
    pub fn moments(&self, terms: &[Term]) -> (f64, f64) {
        self.moments_of(Observation {
            terms: terms.to_vec(),
            setup: Vec::new(),
            value: 0.0,
            sd: 1.0,
        })
    }

    /// Expected value and standard deviation of an unknown of the set-up.
    #[must_use]
    pub fn set_up(&self, unknown: usize) -> (f64, f64) {
        self.moments_of(Observation {
            terms: Vec::new(),
            setup: vec![(unknown, 1.0)],
            value: 0.0,
            sd: 1.0,
        })
    }

    /// Of what a reading would be without its own error.
    fn moments_of(&self, reading: Observation) -> (f64, f64) {
        let place = Design::new(
            &self.outline,
            &self.prior,
            &[reading],
            self.design.setups.ncols(),
        );
        let (mut mean, mut square) = (0.0, 0.0);
        for belief in &self.beliefs {
            let (expected, variance) = self.design.predict(&place, belief);
            mean += expected / self.beliefs.len() as f64;
            square += (expected * expected + variance) / self.beliefs.len() as f64;
        }
        (mean, (square - mean * mean).max(0.0).sqrt())
    }
}

/// A height that is large beside every reading.
fn far(observations: &[Observation]) -> f64 {
    50.0 + 3.0 * largest(observations)
}

fn largest(observations: &[Observation]) -> f64 {
    let sizes = observations.iter().map(|o| o.value.abs());
    sizes.fold(0.0, f64::max)
}

/// How many evenly weighted beliefs stand for what is not known of sizes and features.
const BELIEFS: usize = 100;

/// And of hundreds of readings, which leave less open and cost more.
const BELIEFS_OF_MANY: usize = 20;

fn check(
    outline: &Outline,
    observations: &[Observation],
    setups: usize,
) -> Result<(), EstimateError> {
    let Outline {
        x0,
        y0,
        length,
        width,
    } = *outline;
    let finite = [x0, y0, length, width].iter().all(|a| a.is_finite());
    if !(finite && length > 0.0 && width > 0.0) {
        return Err(EstimateError::Outline { length, width });
    }
    if observations.is_empty() {
        return Err(EstimateError::NoReadings);
    }
    for (observation, o) in observations.iter().enumerate() {
        let terms = o.terms.iter().flat_map(|t| [t.x, t.y, t.weight]);
        let numbers = terms.chain(o.setup.iter().map(|s| s.1)).chain([o.value]);
        let fault = if !numbers.into_iter().all(f64::is_finite) {
            "value, places, weights and coefficients must be finite"
        } else if !(o.sd > 0.0 && o.sd.is_finite()) {
            "the error must be positive and finite"
        } else if o.setup.iter().any(|s| s.0 >= setups) {
            "its set-up unknown has an index beyond their number"
        } else {
            continue;
        };
        return Err(EstimateError::Observation { observation, fault });
    }
    let down = |o: &Observation| {
        o.terms
            .iter()
            .any(|t| t.face == Face::Down && t.weight != 0.0)
    };
    let up = |o: &Observation| {
        o.terms
            .iter()
            .any(|t| t.face == Face::Up && t.weight != 0.0)
    };
    if !(observations.iter().any(down) && observations.iter().any(up)) {
        return Err(EstimateError::NoThickness);
    }
    Ok(())
}
