//! Readings that do not fit the others.

use super::design::Design;
use super::fit::{Belief, Fit};
use super::left_out::Expected;
use super::prior::Prior;
use super::slip::{ANYTHING, Shift, shifts};
use super::{BELIEFS, BELIEFS_OF_MANY, Observation, Outline};

/// A reading that does not fit the others. The estimate leaves it out, but for the chance that it is right all the same.
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
const SURPRISE: f64 = 1.5e-2;

/// The chance that a survey has a slip in it.
const SLIPS: f64 = 0.02;

/// Readings fitted, those that do not fit counted as right only so far as that is likely.
pub(super) struct Sifted {
    /// Worst first.
    pub(super) doubts: Vec<Doubt>,
    /// Of all readings.
    pub(super) design: Design,
    pub(super) beliefs: Vec<Belief>,
}

/// Fits the readings, doubting the worst one after the other. A corner may really stand as high as a slip would put it: of the
/// beliefs, as many hold a doubted reading for right as that is likely, and the others leave it out.
pub(super) fn sift(
    outline: &Outline,
    prior: &Prior,
    readings: &[Observation],
    setups: usize,
) -> Sifted {
    let whole = Design::new(outline, prior, readings, setups);
    let mut kept: Vec<usize> = (0..readings.len()).collect();
    let mut doubts: Vec<Doubt> = Vec::new();
    let mut beliefs: Vec<Belief> = Vec::new();
    loop {
        let subset: Vec<Observation> = kept.iter().map(|&i| readings[i].clone()).collect();
        let design = Design::new(outline, prior, &subset, setups);
        let fit = Fit::new(&design, prior);
        let freed: Vec<usize> = (0..readings.len()).filter(|i| !kept.contains(i)).collect();
        let left = BELIEFS - beliefs.len();
        let expected = if doubts.len() < MOST && kept.len() > 4 {
            fit.expected()
        } else {
            Vec::new()
        };
        let without_worst = expected
            .iter()
            .map(|e| e.others)
            .fold(f64::NEG_INFINITY, f64::max);
        if doubts.is_empty()
            && let Some(shift) = fit.likely_shift(&shifts(readings), without_worst)
        {
            doubts = shifted(readings, shift);
            kept.retain(|i| shift.moved.iter().all(|m| m.0 != *i));
            continue;
        }
        if let Some((worst, e)) = misfit(&design, &expected) {
            let slip = e.others + (SLIPS / kept.len() as f64 / ANYTHING).ln();
            let right = 1.0 / (1.0 + (slip - fit.likelihood()).exp());
            let here = (right * left as f64).round() as usize;
            beliefs.extend(fit.beliefs(here, &whole, &freed));
            let observation = kept.remove(worst);
            doubts.push(Doubt {
                observation,
                value: readings[observation].value,
                expected: e.value,
                sd: e.sd,
            });
            continue;
        }
        beliefs.extend(fit.beliefs(left, &whole, &freed));
        return Sifted {
            doubts,
            design: whole,
            beliefs,
        };
    }
}

/// Fits the `guides` among the readings and bends the faces to all, none doubted.
pub(super) fn unsifted(
    outline: &Outline,
    prior: &Prior,
    readings: &[Observation],
    guides: &[usize],
    setups: usize,
) -> Sifted {
    let whole = Design::new(outline, prior, readings, setups);
    let guiding: Vec<Observation> = guides.iter().map(|&i| readings[i].clone()).collect();
    let design = Design::new(outline, prior, &guiding, setups);
    let beliefs = Fit::new(&design, prior).beliefs(BELIEFS_OF_MANY, &whole, &[]);
    Sifted {
        doubts: Vec::new(),
        design: whole,
        beliefs,
    }
}

/// The readings of a shifted row that stand furthest from where they belong.
fn shifted(readings: &[Observation], shift: &Shift) -> Vec<Doubt> {
    let mut doubts: Vec<Doubt> = shift
        .moved
        .iter()
        .map(|&(observation, expected)| Doubt {
            observation,
            value: readings[observation].value,
            expected,
            sd: readings[observation].sd * std::f64::consts::SQRT_2,
        })
        .collect();
    let off = |d: &Doubt| (d.value - d.expected).abs();
    doubts.sort_by(|a, b| {
        off(b)
            .total_cmp(&off(a))
            .then(a.observation.cmp(&b.observation))
    });
    doubts.truncate(MOST);
    doubts
}

/// The reading that fits the others least, if too badly.
fn misfit(design: &Design, expected: &[Expected]) -> Option<(usize, Expected)> {
    let values = &design.values;
    let score = |k: usize| expected[k].tail.max(1e-300).ln();
    let far = |k: usize| (values[k] - expected[k].value).abs() / expected[k].sd;
    let worst = (0..expected.len()).min_by(|&a, &b| {
        score(a)
            .total_cmp(&score(b))
            .then(far(b).total_cmp(&far(a)))
    })?;
    let e = expected[worst];
    (e.tail <= SURPRISE / values.len() as f64).then_some((worst, e))
}
