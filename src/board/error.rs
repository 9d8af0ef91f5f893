//! What keeps readings from being one board.

use super::Side;
use crate::length::{Length, Notation, Rounding};

/// What keeps readings from being one board. Millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BoardError {
    /// Not one height of the up face.
    NoHeights,
    /// Nothing says how thick the board is.
    NoThickness,
    /// Nothing says how far the board reaches along this side: no height was read, and its size is not stated.
    NoSize(Side),
    /// A thickness of nothing or less.
    ThicknessNotPositive(f64),
    /// The readings reach over more than the board's stated size.
    TooSmall {
        /// Along which side.
        side: Side,
        /// What the readings reach over.
        span: f64,
        /// What was stated.
        stated: f64,
    },
}

impl BoardError {
    /// What was found and what would be right, lengths in the user's notation; of a board file (`in_file`), by its keys,
    /// else by the options that go with a readings file.
    #[must_use]
    pub fn explain(&self, notation: Notation, in_file: bool) -> String {
        let write = |mm: f64| notation.write(Length::from_mm(mm), Rounding::Nearest);
        match *self {
            Self::NoHeights if in_file => {
                "nothing was read of a face: give heights, straightedge or sticks in a \
                [[survey]]"
                    .to_owned()
            }
            Self::NoHeights => {
                "the up face has no reading at all: read it too, or call the face that was read up"
                    .to_owned()
            }
            Self::NoThickness if in_file => {
                "nothing says how thick the board is: give thickness (one number), \
                calipers, or heights of the down face in the [[survey]]"
                    .to_owned()
            }
            Self::NoThickness => {
                "nothing says how thick the board is: give --thickness (one number), \
                --calipers (a file of x, y and thickness) or --down (a grid of the down face)"
                    .to_owned()
            }
            Self::NoSize(side) => {
                let (far, example) = match side {
                    Side::Length => ("long", "length = \"6'\""),
                    Side::Width => ("wide", "width = \"7-1/2\""),
                };
                format!("nothing says how {far} the board is: write it at the top, as {example}")
            }
            Self::ThicknessNotPositive(found) => {
                format!(
                    "the thickness is {}; a board is thicker than nothing",
                    write(found)
                )
            }
            Self::TooSmall { side, span, stated } => {
                let (along, name) = match side {
                    Side::Length => ("along the length", "length"),
                    Side::Width => ("across the width", "width"),
                };
                let dashes = if in_file { "" } else { "--" };
                format!(
                    "the readings reach over {} {along}, but {dashes}{name} says {}; give the board's own size, or \
                     mend the places of the readings",
                    write(span),
                    write(stated)
                )
            }
        }
    }
}
