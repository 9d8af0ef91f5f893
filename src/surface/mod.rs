//! The two faces between the readings, and the least-squares solver.

pub mod form;
pub mod least_squares;
