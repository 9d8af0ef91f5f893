//! Where to cut a board before it is flattened: what survives of any piece of it, and which pieces to make.
//!
//! A *window* is the part of a board that has to come flat. What survives of it shimmed is never less than of a larger
//! window around it, and the searches here live on that: see [`Pieces`]. `docs/cutting.md` tells the model of how wood
//! moves when it is cut.

mod draws;
mod pieces;
mod window;

pub use draws::{Draws, Movement};
pub use pieces::Pieces;
pub use window::Window;
