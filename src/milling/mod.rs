//! How a board is milled: passes, two days, moisture, cautions; what to buy.
//!
//! Lengths are millimetres, moisture contents percent of the dry mass. Nothing here puts anything into words.

pub mod moisture;
