//! What keeps readings from being one board.

use super::{FEWEST_POINTS, NoLay, Side};
use crate::length::{Length, Notation, Rounding};
use crate::readings::Face;

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
    /// The edges of the scan of this face do not tell how the board lay in its frame.
    NoLay(Face, NoLay),
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
            Self::NoLay(face, why) => {
                let face = match face {
                    Face::Up => "up",
                    Face::Down => "down",
                };
                format!(
                    "how the board lay under the scan of the {face} face: {}",
                    no_lay(why, &write, in_file)
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

/// Why a scan's edges do not tell how the board lay, and what would help.
fn no_lay(why: NoLay, write: &dyn Fn(f64) -> String, in_file: bool) -> String {
    let say_end_a = if in_file {
        "say which by end-a-at = \"low x\", \"high x\", \"low y\" or \"high y\""
    } else {
        "say which in a board file, by end-a-at"
    };
    let sides = |side: Side| match side {
        Side::Length => "ends",
        Side::Width => "edges",
    };
    match why {
        NoLay::TooFew(points) => format!(
            "{points} points show no edges; it takes {FEWEST_POINTS} or more all over the face, or places from end A and the \
             near edge"
        ),
        NoLay::Askew(degrees) => format!(
            "it lay askew by {degrees:.0} degrees, so that its length could run along x or y; turn the scan by some 45 \
             degrees"
        ),
        NoLay::Square => {
            format!(
                "it is about as long as wide, so that its length could run along x or y; {say_end_a}"
            )
        }
        NoLay::NoEdge(side) => format!(
            "less than half of one of its {} shows as a line where points end; scan it over its edges, all round{}",
            sides(side),
            match (side, in_file) {
                (Side::Width, true) => ", or say by edges or taper how they run",
                _ => "",
            }
        ),
        NoLay::Ragged(side, open) => format!(
            "its {} are so ragged that they tell no place to better than {}; {}",
            sides(side),
            write(open),
            match (side, in_file) {
                (Side::Width, true) =>
                    "say by edges or taper how they run, or give places from end A and the near edge",
                _ => "give places from end A and the near edge",
            }
        ),
        NoLay::Size {
            side,
            found,
            wanted,
        } => format!(
            "its {} lie {} apart there, but {} are wanted; check that size, the unit, and {}",
            sides(side),
            write(found),
            write(wanted),
            if in_file {
                "which end is end A (end-a-at)"
            } else {
                "that nothing but the board was scanned"
            }
        ),
    }
}
