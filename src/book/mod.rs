//! The shop's book: what was predicted, what came off the planer, and what that teaches of the shop's own loss.

mod cholesky;
mod model;
mod prior;

pub use model::{Kind, Labels, Learnt, Loss, Outcome};
pub use prior::{Prior, Spread};

/// From this board on the learnt loss is reckoned with: before, four boards were milled.
pub const LEARNT_FROM: usize = 5;
