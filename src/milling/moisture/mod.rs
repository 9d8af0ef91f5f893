//! Wood and water: the moisture that air leaves in wood, and what a change of it does to a board.
//!
//! Source: USDA Forest Products Laboratory, *Wood Handbook: Wood as an Engineering Material*, FPL-GTR-190, 2010 (FPL-GTR-282,
//! 2021), chapters 4 and 13, unless something else is said.

mod acclimation;
mod air;
mod change;
mod cup;
mod outlook;
mod species;

pub use acclimation::{Acclimation, MeterReading};
pub use air::Air;
pub use change::{Change, Sawn, change_of};
pub use cup::ring_cup;
pub use outlook::{Outlook, Water};
pub use species::{Source, Species, matching, table};

/// The moisture content in percent above which wood does not shrink: the fibre saturation point as the handbook takes it for
/// its shrinkage formula.
pub const FIBRE_SATURATION: f64 = 30.0;

/// What heated rooms leave in wood, percent: the average of most of the United States (Wood Handbook, table 13-2).
pub const HOUSE: f64 = 8.0;

/// From where to where the average of single houses lies, percent (the same table, from memory).
pub const HOUSE_RANGE: [f64; 2] = [6.0, 10.0];
