//! The shop's book: what was predicted, what came off the planer, and what that teaches of the shop's own loss.
//!
//! [`Learnt`] is the model, [`Comparison`] pairs the entries of a book and learns from them, [`Book`] keeps them in a file.

mod cholesky;
mod comparison;
mod doubt;
mod entry;
mod error;
mod file;
mod model;
mod prior;
mod schema;
mod sheet;
mod store;
mod sums;

pub use comparison::{Compared, Comparison, GroupLoss};
pub use doubt::{Doubt, doubts, rough_thickness};
pub use entry::{Actual, Content, Entry, Made, Prediction};
pub use error::BookError;
pub use model::{Kind, Labels, Learnt, Loss, Outcome};
pub use prior::{Prior, Spread};
pub use sheet::{read_table, write_table};
pub use store::Book;

/// From this board on the learnt loss is reckoned with: before, four boards were milled.
pub const LEARNT_FROM: usize = 5;
