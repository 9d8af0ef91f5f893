//! Hatching over places of which little is known.

use super::mesh::Sheet;
use crate::flatten::Relief;

/// A place is veiled where its face may lie this far off or more nine times in ten, mm: a thirty-second of an inch.
pub(super) const UNSURE: f64 = 25.4 / 32.0;

/// Strokes a cell.
const STROKES: usize = 2;

/// A stroke across every cell in which the face may lie [`UNSURE`] off.
pub(super) fn veil(relief: &Relief, sheet: &Sheet) -> Vec<[[f64; 3]; 2]> {
    let cells =
        (0..relief.stations - 1).flat_map(|i| (0..relief.positions - 1).map(move |j| (i, j)));
    let unsure = |i: usize, j: usize| {
        let corners = [(i, j), (i + 1, j), (i, j + 1), (i + 1, j + 1)];
        corners
            .iter()
            .all(|&(i, j)| relief.place(i, j).unsure.is_some_and(|u| u >= UNSURE))
    };
    cells
        .filter(|&(i, j)| unsure(i, j))
        .flat_map(|(i, j)| {
            (0..STROKES).map(move |k| {
                let at = i as f64 + (k as f64 + 0.25) / STROKES as f64;
                let reach = 0.5 / STROKES as f64;
                [
                    sheet.between(at, j as f64),
                    sheet.between(at + reach, (j + 1) as f64),
                ]
            })
        })
        .collect()
}
