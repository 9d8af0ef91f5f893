//! The width that survives jointing both edges straight and parallel: flattening, of a board stood on edge.

use super::{Faces, Interval, survives_shimmed};
use crate::surface::Edges;

/// Draws of both edges, and places of a draw along them.
const DRAWS: usize = 500;
const STATIONS: usize = 65;

/// The draws are the same at every run.
const SEED: u64 = 2;

/// The width that survives jointing.
pub(super) fn jointed(edges: &Edges) -> Interval {
    let mut widths: Vec<f64> = edges.of_draws(DRAWS, SEED, STATIONS, |faces| {
        let faces = Faces {
            up: &faces.up,
            down: &faces.down,
            normal: [0.0, 0.0, 1.0],
            centre: [0.0; 3],
        };
        // A draw that is no board leaves nothing.
        survives_shimmed(&faces).unwrap_or(0.0)
    });
    widths.sort_by(f64::total_cmp);
    Interval::of(&widths)
}
