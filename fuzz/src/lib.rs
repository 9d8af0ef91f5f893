//! What must hold whatever the bytes: one function a target of the fuzzer. `tests/fuzzed.rs` tries them on the corpus too.
//!
//! Each function panics where something does not hold.

mod boards;
mod bytes;
mod faulty;
mod files;
mod lengths;

pub use boards::{answer, expectation, survival};
pub use files::{board_edit, board_file, calipers, heights, parts, points, sheet, shop_file};
pub use lengths::dimension;
