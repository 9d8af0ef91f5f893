//! The draws that a plan is made with, and those that its chances are stated with.

use super::draws::Draws;
use crate::flatten::Shortfall;
use crate::shop::Movement;
use crate::surface::estimate::Estimate;

/// Draws of one board. Where to cut is chosen with one set of draws; what comes of it is stated with another, which knows
/// nothing of the choice: the best of many places is chosen for its lucky draws too.
#[derive(Debug, Clone)]
pub struct Evidence {
    /// The board as it lies, not cut: the draws of its expectation.
    pub whole: Draws,
    /// Pieces of it, to choose by.
    pub choosing: Draws,
    /// Pieces of it, to state by.
    pub stating: Draws,
}

/// Draws to choose by: the chance of 90 in 100 is then known to two hundredths.
const CHOOSING: usize = 200;

/// Draws to state by: those of the whole board's expectation.
const STATING: usize = 1000;

/// The draws are the same at every run; the whole board's are those of its expectation.
const SEEDS: [u64; 2] = [1, 5];

impl Evidence {
    /// Draws of an estimate whose pieces move so much when they are cut.
    #[must_use]
    pub fn new(estimate: &Estimate, movement: Movement) -> Self {
        let whole = Draws::new(estimate, STATING, SEEDS[0], Movement::NONE);
        Self {
            choosing: Self::to_choose_by(estimate, movement),
            stating: whole.clone().moved(movement, Draws::first(SEEDS[0])),
            whole,
        }
    }

    /// The same board in a shop that falls short, where it does.
    #[must_use]
    pub fn short_by(self, shortfall: Option<Shortfall>) -> Self {
        Self {
            whole: self.whole.short_by(shortfall),
            choosing: self.choosing.short_by(shortfall),
            stating: self.stating.short_by(shortfall),
        }
    }

    /// Only the draws to choose by.
    pub(super) fn to_choose_by(estimate: &Estimate, movement: Movement) -> Draws {
        Draws::new(estimate, CHOOSING, SEEDS[1], movement)
    }

    /// Only the draws to state by.
    pub(super) fn to_state_by(estimate: &Estimate, movement: Movement) -> Draws {
        Draws::new(estimate, STATING, SEEDS[0], movement)
    }
}
