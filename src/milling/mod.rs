//! How a board is milled: passes, two days, moisture, cautions; what to buy.
//!
//! Lengths are millimetres, moisture contents percent of the dry mass. Nothing here puts anything into words.

mod attitude;
mod board_feet;
mod buying;
mod milled;
pub mod moisture;
mod passes;
mod piece;
mod places;
mod plan;
mod rest;
mod shimming;
mod standards;
mod step;
mod way;

pub use board_feet::{board_feet, with_waste};
pub use buying::{Buying, Choice, Losses, Purchase};
pub use milled::Milled;
pub use passes::{Passes, pass};
pub use piece::{NoPiece, Piece, Survives, board_faces};
pub use places::Spot;
pub use plan::{Lay, MillPlan, MillQuestion, Verdict};
pub use rest::{Drying, Expected, Rest, Storage, second_day};
pub use shimming::{Shimming, Support};
pub use standards::{Limits, MEASURED, StandardWarp, StrengthClass, surfaced_size};
pub use step::{Caution, Step, Task};
