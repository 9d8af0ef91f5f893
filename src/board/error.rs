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
    /// More than one thing says how thick the board is.
    SeveralThicknesses,
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
    /// What was found and what would be right, lengths in the user's notation.
    #[must_use]
    pub fn explain(&self, notation: Notation) -> String {
        let write = |mm: f64, rounding| notation.write(Length::from_mm(mm), rounding);
        match *self {
            Self::NoHeights => "the up face has no reading at all: read it too, or call the face that was read up".to_owned(),
            Self::NoThickness => "nothing says how thick the board is: give --thickness (one number), \
                --calipers (a file of x, y and thickness) or --down (a grid of the down face)"
                .to_owned(),
            Self::SeveralThicknesses => {
                "the thickness is given more than once: give one of --thickness, --calipers, --down and a \
                 probe file with rows of the down face"
                    .to_owned()
            }
            Self::ThicknessNotPositive(found) => format!(
                "the thickness is {}; a board is thicker than nothing",
                write(found, Rounding::Nearest)
            ),
            Self::TooSmall { side, span, stated } => {
                let (along, option) = match side {
                    Side::Length => ("along the length", "--length"),
                    Side::Width => ("across the width", "--width"),
                };
                format!(
                    "the readings reach over {} {along}, but {option} says {}; give the board's own size, or \
                     mend the places of the readings",
                    write(span, Rounding::Nearest),
                    write(stated, Rounding::Nearest)
                )
            }
        }
    }
}
