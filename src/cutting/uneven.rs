//! Where to cut a board into a few lengths so that the thinnest of them is thickest.

use super::Allowances;
use super::pieces::Pieces;
use super::window::Window;

/// How finely the thickness is searched, mm: the cuts hardly move for less.
const FINENESS: f64 = 0.02;

/// How a board may be cut into lengths.
pub(super) struct Lengths<'a> {
    /// What is cut, its ends trimmed.
    pub(super) board: Window,
    /// Pieces.
    pub(super) n: usize,
    pub(super) allowances: &'a Allowances,
    /// Cuts lie at multiples of this from end A.
    pub(super) step: f64,
    /// How likely each piece must be to reach a thickness.
    pub(super) certainty: f64,
}

impl Lengths<'_> {
    /// The n pieces, all of them likely as thick as can be; `None` where that is nothing. The thickness is found by halves.
    pub(super) fn thickest(&self, pieces: &mut Pieces<'_>) -> Option<Vec<Window>> {
        let (mut low, mut high) = (0.0, 1.0);
        let mut best = None;
        // No board is known to be thinner than this until one is found to be.
        while let Some(windows) = self.cover(pieces, high) {
            (best, low, high) = (Some(windows), high, 2.0 * high);
        }
        while high - low > FINENESS {
            let middle = f64::midpoint(low, high);
            if let Some(windows) = self.cover(pieces, middle) {
                (best, low) = (Some(windows), middle);
            } else {
                high = middle;
            }
        }
        best
    }

    /// The n pieces, each likely so thick, every one but the last as long as it may be; `None` where there are none. A piece
    /// likely so thick stays so when it is cut shorter: with every piece as long as it may be, the fewest cover the board.
    pub(super) fn cover(&self, pieces: &mut Pieces<'_>, thickness: f64) -> Option<Vec<Window>> {
        let Self {
            board,
            n,
            allowances,
            step,
            certainty,
        } = self;
        // What a piece and its kerf take at least, in whole steps: the pieces to come must find their places too.
        let room = ((allowances.min_length + allowances.kerf_crosscut) / step).ceil() * step;
        let start = pieces.draws().whole().from;
        let steps = ((board.to - start) / step).floor() as usize;
        let ends: Vec<f64> = (1..=steps)
            .map(|k| start + step * k as f64)
            .filter(|e| *e < board.to)
            .collect();
        let mut from = board.from;
        let mut windows = Vec::new();
        for rest in (1..*n).rev() {
            let last = ends.partition_point(|e| *e <= board.to - rest as f64 * room);
            let least = ends.partition_point(|e| *e < from + allowances.min_length);
            let window = |to: f64| Window { from, to, ..*board };
            let furthest = pieces.furthest(window, &ends[..last], least, thickness, *certainty)?;
            windows.push(window(ends[furthest]));
            from = ends[furthest] + allowances.kerf_crosscut;
        }
        let last = Window { from, ..*board };
        pieces.likely(&last, thickness, *certainty).then(|| {
            windows.push(last);
            windows
        })
    }
}
