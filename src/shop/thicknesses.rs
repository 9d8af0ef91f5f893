//! The thicknesses to which a shop usually finishes.

use crate::length::{Length, Unit};

/// Finished thicknesses in inches: hardwood surfaced two sides and the whole sizes cut from it (common practice;
/// the surfaced sizes of four-quarter to twelve-quarter stock after the rules of the National Hardwood Lumber
/// Association, those of 6/4, 10/4 and 12/4 from memory).
const INCHES: [f64; 16] = [
    0.25, 0.375, 0.5, 0.625, 0.75, 0.8125, 0.875, 1.0, 1.0625, 1.25, 1.3125, 1.5, 1.75, 2.0, 2.25,
    2.75,
];

/// Finished thicknesses in millimetres (common practice).
const MILLIMETRES: [f64; 16] = [
    6.0, 8.0, 10.0, 12.0, 15.0, 18.0, 20.0, 22.0, 25.0, 27.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0,
];

/// The thicknesses that a shop usually finishes to, ascending, in the measure of `unit`.
#[must_use]
pub fn usual_thicknesses(unit: Unit) -> Vec<Length> {
    match unit {
        Unit::Inch | Unit::Foot => INCHES.iter().map(|&t| Length::from_inches(t)).collect(),
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => {
            MILLIMETRES.iter().map(|&t| Length::from_mm(t)).collect()
        }
    }
}
