//! Actual thicknesses that are questioned when they are entered.

use super::entry::Prediction;
use crate::board::Board;
use crate::length::Unit;
use crate::readings::Face;
use crate::surface::ReadFaces;

/// Why an actual is questioned. Millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// It is thicker than the rough board was.
    ThickerThanRough {
        /// The thickest that was entered.
        actual: f64,
        /// The board at its thickest before milling.
        rough: f64,
    },
    /// It lies far from what was predicted.
    FarOff {
        /// The thinnest that was entered.
        actual: f64,
        /// What was predicted.
        predicted: f64,
    },
    /// The same figures in this unit would be near what was predicted.
    OtherUnit(Unit),
    /// The piece is much thicker at one place than at another.
    Uneven {
        /// At its thinnest.
        thinnest: f64,
        /// At its thickest.
        thickest: f64,
    },
}

/// A caliper's error and a spring's worth of dust, mm.
const SLACK: f64 = 0.5;

/// A planed piece is no more uneven than this, mm.
const UNEVEN: f64 = 3.0;

/// What is beyond this many halves of the interval, and this many mm more, is far off.
const FAR: f64 = 2.0;

/// What is to be questioned of thicknesses that were entered for a prediction.
#[must_use]
pub fn doubts(prediction: &Prediction, thicknesses: &[f64]) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    let thinnest = thicknesses.iter().copied().fold(f64::INFINITY, f64::min);
    let thickest = thicknesses.iter().copied().fold(0.0, f64::max);
    let predicted = prediction.stated.expected;
    let half = (prediction.stated.high - prediction.stated.low) / 2.0;
    let far = |mm: f64| (mm - predicted).abs() > FAR * half + FAR;
    if let Some(rough) = prediction.rough.filter(|rough| thickest > rough + SLACK) {
        doubts.push(Doubt::ThickerThanRough {
            actual: thickest,
            rough,
        });
    }
    if far(thinnest) {
        doubts.push(Doubt::FarOff {
            actual: thinnest,
            predicted,
        });
    }
    if !doubts.is_empty() {
        let inch = Unit::Inch.mm();
        if !far(thinnest * inch) {
            doubts.push(Doubt::OtherUnit(Unit::Inch));
        } else if !far(thinnest / inch) {
            doubts.push(Doubt::OtherUnit(Unit::Millimetre));
        }
    }
    if thickest - thinnest > UNEVEN {
        doubts.push(Doubt::Uneven { thinnest, thickest });
    }
    doubts
}

/// The board at its thickest before milling, where its readings tell: mm, along z.
#[must_use]
pub fn rough_thickness(board: &Board) -> Option<f64> {
    let read = ReadFaces::new(board);
    let over = read.iter().flat_map(|read| {
        let points = read.course(Face::Up).iter();
        points.map(|&[x, y, z]| z - read.height(Face::Down, x, y))
    });
    let calipers = board.down.calipers.iter().map(|c| c.thickness);
    over.chain(calipers)
        .chain(board.down.thickness)
        .filter(|t| t.is_finite())
        .max_by(f64::total_cmp)
}
