//! Readings that do not fit the others.

use super::design::Design;
use super::fit::Fit;
use super::prior::Prior;
use super::{Observation, Outline};

/// A reading that does not fit the others; it is left out of the estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubt {
    /// Its index among the observations.
    pub observation: usize,
    /// What was read, millimetres.
    pub value: f64,
    /// What the other readings expect there, millimetres.
    pub expected: f64,
    /// Standard deviation of the difference, the reading's own error included, millimetres.
    pub sd: f64,
}

/// At most so many are named at a time.
const MOST: usize = 3;

/// The chance that a clean survey has a reading so far off, were the model exact.
const SURPRISE: f64 = 1e-3;

/// The readings to leave out, worst first.
pub(super) fn doubts(
    outline: &Outline,
    prior: &Prior,
    readings: &[Observation],
    setups: usize,
) -> Vec<Doubt> {
    let mut kept: Vec<usize> = (0..readings.len()).collect();
    let mut doubts: Vec<Doubt> = Vec::new();
    while doubts.len() < MOST && kept.len() > 4 {
        let subset: Vec<Observation> = kept.iter().map(|&i| readings[i].clone()).collect();
        let design = Design::new(outline, prior, &subset, setups);
        let expected = Fit::new(&design, prior).expected();
        let score = |k: usize| expected[k].tail.max(1e-300).ln();
        let Some(worst) = (0..kept.len()).min_by(|&a, &b| {
            let far = |k: usize| (subset[k].value - expected[k].value).abs() / expected[k].sd;
            score(a)
                .total_cmp(&score(b))
                .then(far(b).total_cmp(&far(a)))
        }) else {
            break;
        };
        let e = expected[worst];
        if e.tail > SURPRISE / kept.len() as f64 {
            break;
        }
        let observation = kept.remove(worst);
        doubts.push(Doubt {
            observation,
            value: readings[observation].value,
            expected: e.value,
            sd: e.sd,
        });
    }
    doubts
}
