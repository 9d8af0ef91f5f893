//! Where on a board parts may lie: its edges, and the places to avoid.

use super::window::Window;
use crate::board::{Board, Outline};
use crate::readings::EdgesAt;

/// A board as parts are laid out on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ground {
    outline: Outline,
    edges: Vec<EdgesAt>,
    avoid: Vec<Window>,
}

impl Ground {
    /// Of a board: straight between the stations at which its edges were read, a rectangle where they were not.
    #[must_use]
    pub fn new(board: &Board) -> Self {
        let avoid = board.avoid.iter().map(|a| Window {
            from: a.from,
            to: a.to,
            near: a.near,
            far: a.far,
        });
        Self {
            outline: board.outline,
            edges: board.edges.clone(),
            avoid: avoid.collect(),
        }
    }

    /// A whole rectangle.
    #[must_use]
    pub fn rectangle(outline: Outline) -> Self {
        Self {
            outline,
            edges: Vec::new(),
            avoid: Vec::new(),
        }
    }

    /// The rectangle around it.
    #[must_use]
    pub fn outline(&self) -> Outline {
        self.outline
    }

    /// Whether a rough piece lies on the board, and the finished wood in it clear of what is to be avoided.
    #[must_use]
    pub fn takes(&self, rough: &Window, finished: &Window) -> bool {
        self.holds(rough) && self.avoid.iter().all(|a| !a.meets(finished))
    }

    /// Whether the board covers a rectangle.
    fn holds(&self, window: &Window) -> bool {
        let Outline {
            x0,
            y0,
            length,
            width,
        } = self.outline;
        let whole = Window {
            from: x0,
            to: x0 + length,
            near: y0,
            far: y0 + width,
        };
        if !whole.holds(window) {
            return false;
        }
        // Between two stations an edge is straight: its extremes over a stretch lie at the stretch's ends and the stations.
        let inner = self.edges.iter().map(|e| e.station);
        inner
            .filter(|s| *s > window.from && *s < window.to)
            .chain([window.from, window.to])
            .filter_map(|x| EdgesAt::along(&self.edges, x))
            .all(|at| at.near <= window.near + 1e-6 && at.far >= window.far - 1e-6)
    }
}
