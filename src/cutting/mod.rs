//! Where to cut a board before it is flattened: what survives of any piece of it, and which pieces to make.
//!
//! A *window* is the part of a board that has to come flat. What survives of it shimmed is never less than of a larger
//! window around it, and the searches here live on that: see [`Pieces`]. `docs/cutting.md` tells the model of how wood
//! moves when it is cut.

mod allowances;
mod buy;
mod draws;
mod evidence;
mod first;
mod ground;
pub mod layout;
mod matched;
mod once;
mod pieces;
mod plan;
mod reach;
mod short;
mod starts;
mod stock;
mod tally;
mod thickest;
mod uneven;
mod wanted;
mod watch;
mod ways;
mod window;

pub use allowances::Allowances;
pub use buy::{Buy, USUAL_LOSS};
pub use draws::Draws;
pub use evidence::Evidence;
pub use first::{CutFirst, CutQuestion};
pub use ground::Ground;
pub use layout::Prefer;
pub use once::CutOnce;
pub use pieces::Pieces;
pub use plan::{Plan, PlanQuestion, Planned};
pub use short::{Short, WhyShort};
pub use stock::Stocked;
pub use tally::{Taken, Tally};
pub use thickest::thickest;
pub use wanted::{Making, Wanted};
pub use watch::{Progress, Stage, Unwatched, Watch};
pub use ways::{ByLength, Cut, CutKind, PieceLeft, Way, WayKind, by_length, crosscut_at, ways};
pub use window::Window;

pub use crate::shop::Movement;
