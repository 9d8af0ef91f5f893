//! The two faces between the readings, with their uncertainty; which reading to doubt, where to read next.

pub mod estimate;
