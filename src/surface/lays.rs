//! How far a scan may have been laid beside its place on the board: unknowns of the estimate.
//!
//! A scan that lies off by so much along and across and is turned by so much shows every height at a place beside its own: to first
//! order the heights are off by their slopes times that.

use super::estimate::Observation;
use super::scan::LocalHeight;
use crate::board::Board;

/// Unknowns of a lay: along, across, and by the turn at the board's ends, mm.
pub const UNKNOWNS: usize = 3;

/// No edges tell a place better, mm.
const FINEST: f64 = 1e-3;

/// What the unknowns of the lay over a datum, the first of all lays being `first`, add to a local height read there.
pub(super) fn beside(
    board: &Board,
    datum: usize,
    first: usize,
    height: &LocalHeight,
) -> Vec<(usize, f64)> {
    let Some(number) = board.lay_over(datum) else {
        return Vec::new();
    };
    let first = first + UNKNOWNS * number;
    let pivot = board.lays[number].0.pivot();
    let from = [0, 1].map(|k| height.at[k] - pivot[k]);
    let [along, across] = height.slopes;
    let turned = (across * from[0] - along * from[1]) / half(board);
    vec![(first, along), (first + 1, across), (first + 2, turned)]
}

/// The unknowns themselves, each as if it had been read to be nought: the error that the edges leave.
pub(super) fn errors(board: &Board, first: usize) -> Vec<Observation> {
    let of_each = board.lays.iter().flat_map(|(lay, _)| {
        let [along, across] = lay.middle_error;
        [along, across, lay.direction_error * half(board)]
    });
    of_each
        .enumerate()
        .map(|(k, sd)| Observation {
            terms: Vec::new(),
            setup: vec![(first + k, 1.0)],
            value: 0.0,
            sd: sd.max(FINEST),
        })
        .collect()
}

/// Half the board's length.
fn half(board: &Board) -> f64 {
    board.outline.length / 2.0
}
