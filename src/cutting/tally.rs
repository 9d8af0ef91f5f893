//! What a plan takes from the rack and what it makes of it.

use super::plan::{Plan, Planned};
use super::stock::Stocked;
use crate::board::Board;
use crate::shop::{Refusal, Shop, Size, board_feet, cubic_board_feet};

/// A board that a plan cuts parts from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taken {
    /// The board, by index.
    pub board: usize,
    /// Its rough thickness on average, mm.
    pub thickness: f64,
    /// Board feet, all of it: also what is left over.
    pub feet: f64,
    /// What it cost, where the shop says what a board foot of it costs.
    pub cost: Option<f64>,
}

/// Board feet in, board feet out, and what they cost.
#[derive(Debug, Clone, PartialEq)]
pub struct Tally {
    /// The boards that parts are cut from.
    pub taken: Vec<Taken>,
    /// Finished wood in the parts, board feet; under an inch as thin as it is.
    pub finished: f64,
}

impl Tally {
    /// Of a plan for boards, of which this much is known.
    #[must_use]
    pub fn new(plan: &Plan, boards: &[Board], stocked: &[Stocked], shop: &Shop) -> Self {
        let used = |k: &usize| plan.pieces.iter().any(|p| p.board == *k);
        let taken = (0..stocked.len()).filter(used).map(|board| {
            let thickness = stocked[board].evidence.whole.mean_thickness();
            let outline = plan.boards[board].1;
            let feet = board_feet(outline.length, outline.width, thickness);
            let species = boards.get(board).and_then(|b| b.about.species.as_deref());
            Taken {
                board,
                thickness,
                feet,
                cost: shop
                    .per_board_foot(species, thickness)
                    .map(|each| each * feet),
            }
        });
        let parts = plan.question.wanted.iter().zip(&plan.made);
        let finished = parts
            .map(|(w, made)| f64::from(*made) * cubic_board_feet(w.length * w.width * w.thickness));
        Self {
            taken: taken.collect(),
            finished: finished.sum(),
        }
    }

    /// Why no machines of a shop make a piece of the plan flat; nothing where some do.
    #[must_use]
    pub fn beyond_machines(&self, piece: &Planned, shop: &Shop) -> Vec<Refusal> {
        let board = self.taken.iter().find(|t| t.board == piece.board);
        shop.beyond_machines(Size {
            length: piece.rough.length(),
            width: piece.rough.width(),
            before: board.map_or(piece.thickness, |board| board.thickness),
            after: piece.thickness,
        })
    }

    /// Board feet of all boards that parts are cut from.
    #[must_use]
    pub fn rough(&self) -> f64 {
        self.taken.iter().map(|t| t.feet).sum()
    }

    /// The share of them that becomes finished parts, 0 to 1; 0 where nothing is cut.
    #[must_use]
    pub fn share(&self) -> f64 {
        if self.taken.is_empty() {
            0.0
        } else {
            self.finished / self.rough()
        }
    }

    /// What those boards cost that have a price; `None` where none has.
    #[must_use]
    pub fn cost(&self) -> Option<f64> {
        let priced: Vec<f64> = self.taken.iter().filter_map(|t| t.cost).collect();
        (!priced.is_empty()).then(|| priced.iter().sum())
    }
}
