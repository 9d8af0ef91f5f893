//! The two faces between the readings, and the least-squares solver.

mod between;
mod faces;
pub mod form;
pub mod least_squares;

pub use faces::ReadFaces;
