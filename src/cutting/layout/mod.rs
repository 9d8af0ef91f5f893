//! Which pieces to cut where, over places of a grid: what is asked, the search that is exact, and the one for real sizes.
//!
//! A board is cut into *sections* by crosscuts, each section ripped into strips, each strip one item: two stages, saw to
//! saw. A section is as long as its longest item; a shorter one may lie anywhere along it. Sizes are whole numbers of
//! steps, the kerf that follows a piece counted in its size and once more in the board's.

mod across;
mod along;
mod anew;
mod exact;
mod fill;
mod fits;
mod measure;
mod price;
mod search;
mod task;
mod tidy;

pub use exact::exact;
pub use search::{plan, search};
pub use task::{Chances, Demand, Item, Layout, Placed, Prefer, Score, Sheet, Task};
