//! The two faces between the readings, with their uncertainty; which reading to doubt, where to read next; the
//! least-squares solver.

mod between;
mod candidates;
mod cells;
mod contact;
mod edges;
pub mod estimate;
mod faces;
pub mod form;
mod held;
mod known;
mod lays;
pub mod least_squares;
mod level;
mod moments;
pub mod normal;
mod observe;
mod read_face;
pub mod scan;
mod scans;

pub use candidates::{Candidate, candidates};
pub use edges::Edges;
pub use faces::ReadFaces;
pub use held::{Course, gauge_observation};
pub use known::Known;
pub use lays::UNKNOWNS as LAY_UNKNOWNS;
pub use observe::{Observed, Taken, What};
pub use scans::{MOST_READINGS, Scans};
