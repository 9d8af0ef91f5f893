//! A whole row of readings written one station too far, told by how likely the readings are with the row put back.

use nalgebra::{DMatrix, DVector, DVectorView};
use rayon::prelude::*;

use super::Observation;
use super::fit::{FREE, Fit, Trial};
use super::told::{Seen, Square, Told, amounts};
use crate::readings::Face;

/// The readings as they would stand with a row put back.
#[derive(Debug, Clone)]
pub(super) struct Shift {
    /// Each reading of the row with the value that belongs there; the last of them is lost.
    pub(super) moved: Vec<(usize, f64)>,
    lost: usize,
    /// Whether the first two readings are the same.
    repeated: bool,
}

/// Fewer stations do not show a shift.
const LEAST_ROW: usize = 5;

/// The spread of a reading that says nothing, mm: one that is overwritten, or gone wrong.
pub(super) const ANYTHING: f64 = 5.0;

/// How much likelier than all right, as a logarithm, a shift must make the readings: where the reading that was left
/// standing at the start of the row is repeated beside it, and where it is not.
const LIKELIER: (f64, f64) = (8.0, 14.0);

/// Every row of heights along the length, moved back by one station either way.
pub(super) fn shifts(readings: &[Observation]) -> Vec<Shift> {
    let mut heights: Vec<(Face, f64, f64, usize)> = readings
        .iter()
        .enumerate()
        .filter_map(|(i, o)| match o.terms[..] {
            [t] if t.weight == 1.0 && o.setup.is_empty() => Some((t.face, t.y, t.x, i)),
            _ => None,
        })
        .collect();
    heights.sort_by(|a, b| {
        (a.0.cmp(&b.0))
            .then(a.1.total_cmp(&b.1))
            .then(a.2.total_cmp(&b.2))
            .then(a.3.cmp(&b.3))
    });
    heights
        .chunk_by(|a, b| a.0 == b.0 && a.1 == b.1)
        .filter(|row| row.len() >= LEAST_ROW)
        .flat_map(|row| {
            let forwards: Vec<usize> = row.iter().map(|h| h.3).collect();
            let backwards: Vec<usize> = forwards.iter().rev().copied().collect();
            [forwards, backwards]
        })
        .map(|row| Shift {
            moved: row
                .windows(2)
                .map(|pair| (pair[0], readings[pair[1]].value))
                .collect(),
            lost: row[row.len() - 1],
            repeated: readings[row[0]].value == readings[row[1]].value,
        })
        .collect()
}

/// By how much, as a logarithm, a shift must be likelier than one reading gone wrong.
const RATHER_THAN_ONE: f64 = 5.0;

impl Fit<'_> {
    /// The shift that makes the readings likeliest, if they then fit, and are much likelier than as they stand and than with
    /// the worst of them freed; `without_worst`: the logarithm of how likely the others are.
    pub(super) fn likely_shift<'s>(
        &self,
        shifts: &'s [Shift],
        without_worst: f64,
    ) -> Option<&'s Shift> {
        let values = &self.design.values;
        let n = values.len() as f64;
        // Under a normal distribution the square of the misfit has mean n and variance 2n.
        let still_fits = n + 3.0 * (2.0 * n).sqrt();
        let all_right = self.likelihood();
        let one_wrong = without_worst - ANYTHING.ln();
        let columns: Vec<DVector<f64>> = shifts
            .iter()
            .map(|shift| {
                let mut moved = values.clone();
                for &(i, value) in &shift.moved {
                    moved[i] = value;
                }
                moved
            })
            .collect();
        if columns.is_empty() {
            return None;
        }
        let moved = DMatrix::from_columns(&columns);
        let of_trials: Vec<Vec<Vec<Fitted>>> = self
            .trials
            .par_iter()
            .map(|trial| self.shifted_under(trial, shifts, &moved))
            .collect();
        shifts
            .iter()
            .enumerate()
            .filter_map(|(s, shift)| {
                let row = of_trials.iter().flat_map(|shifts| &shifts[s]);
                let log = log_sum(row.clone().map(|r| r.log));
                let best = row.max_by(|a, b| a.log.total_cmp(&b.log))?;
                let likelier = if shift.repeated {
                    LIKELIER.0
                } else {
                    LIKELIER.1
                };
                let likely = log > all_right + likelier && log > one_wrong + RATHER_THAN_ONE;
                (likely && best.misfit < still_fits).then_some((log, shift))
            })
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, shift)| shift)
    }

    /// Under one trial, shift by shift, how the moved readings fit without a feature and with each.
    fn shifted_under(
        &self,
        trial: &Trial,
        shifts: &[Shift],
        moved: &DMatrix<f64>,
    ) -> Vec<Vec<Fitted>> {
        let shapes = &trial.whitener * &self.shapes;
        let moved = &trial.whitener * moved;
        let read = &trial.whitener * &self.design.values;
        let sums = shapes.tr_mul(&moved);
        let first = sums.column(0).into_owned();
        let features = self.prior.features.iter().map(|f| &f.shapes);
        let seen: Vec<Seen> = (features.clone())
            .map(|f| Seen::new(&shapes, &first, &self.design.means, f))
            .collect();
        // The trial's log-weight apart from what its readings say, and what a reading freed takes from the density beside
        // one that says nothing.
        let base = trial.logs[0] + 0.5 * read.norm_squared() + (FREE / ANYTHING).ln();
        let none = self.hypotheses[0].log_chance;
        let of_shift = |(s, (shift, white)): (usize, (&Shift, DVectorView<'_, f64>))| {
            // The reading that is lost is a feature of one shape.
            let lost = trial.whitener.column(shift.lost) * FREE;
            let of_lost = Seen::of_one(lost.norm_squared(), lost.dot(&white));
            let Some(told) = Told::new(&of_lost) else {
                return Vec::new();
            };
            let square = white.norm_squared();
            let fitted = |log: f64, told: &[Told]| Fitted {
                log: base - 0.5 * square + log + told.iter().map(Told::gain).sum::<f64>(),
                misfit: square - told.iter().map(Told::explained).sum::<f64>(),
            };
            let beside = shapes.tr_mul(&lost);
            let sums = sums.column(s);
            let with_feature = features.clone().zip(&seen).zip(&self.hypotheses[1..]);
            let with_feature = with_feature.filter_map(|((f, seen), hypothesis)| {
                let mut common = Square::zeros();
                common.set_row(0, &amounts(beside.as_slice(), f).transpose());
                let both = told.with(&seen.summed(amounts(sums.as_slice(), f)), &common)?;
                Some(fitted(hypothesis.log_chance - none, &both))
            });
            let without = fitted(0.0, std::slice::from_ref(&told));
            std::iter::once(without).chain(with_feature).collect()
        };
        let columns = shifts.iter().zip(moved.column_iter());
        columns.enumerate().map(of_shift).collect()
    }
}

/// How readings fit under one trial and hypothesis.
struct Fitted {
    /// The logarithm of how likely they are.
    log: f64,
    /// The square of their misfit.
    misfit: f64,
}

pub(super) fn log_sum(logs: impl Iterator<Item = f64> + Clone) -> f64 {
    let top = logs.clone().fold(f64::NEG_INFINITY, f64::max);
    top + logs.map(|l| (l - top).exp()).sum::<f64>().ln()
}
