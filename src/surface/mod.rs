//! The two faces between the readings, with their uncertainty; which reading to doubt, where to read next; the
//! least-squares solver.

mod between;
pub mod estimate;
mod faces;
pub mod form;
pub mod least_squares;

pub use faces::ReadFaces;
