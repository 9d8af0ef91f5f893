//! One board: its outline, its readings, and how far they reach.

use crate::readings::{Caliper, Heights, Layout, Point};

/// The rectangle that a board covers, seen from above, in millimetres and the coordinates of its readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    /// Where end A lies.
    pub x0: f64,
    /// Where the near edge lies.
    pub y0: f64,
    /// From end A to end B.
    pub length: f64,
    /// From the near edge to the far edge.
    pub width: f64,
}

impl Outline {
    /// The place (x, y) in units that run from −1 to 1 over length and width; 0 along a side of no extent.
    #[must_use]
    pub fn unit_place(&self, x: f64, y: f64) -> (f64, f64) {
        let unit = |at: f64, start: f64, extent: f64| {
            if extent > 0.0 { 2.0 * (at - start) / extent - 1.0 } else { 0.0 }
        };
        (unit(x, self.x0, self.length), unit(y, self.y0, self.width))
    }

    /// The place (x, y) of the units u, v from −1 to 1.
    #[must_use]
    pub fn place(&self, u: f64, v: f64) -> (f64, f64) {
        (self.x0 + self.length * (u + 1.0) / 2.0, self.y0 + self.width * (v + 1.0) / 2.0)
    }
}

/// What is known of the down face.
#[derive(Debug, Clone, PartialEq)]
pub enum Down {
    /// The board is this thick everywhere: down = up − thickness.
    Thickness(f64),
    /// The down face was read itself, over the same datum as the up face.
    Heights(Vec<Point>),
    /// The board was measured with a caliper at places along its edges.
    Calipers(Vec<Caliper>),
}

/// One board and its readings, in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    /// What its owner calls it.
    pub name: String,
    /// What it covers.
    pub outline: Outline,
    /// The readings of the up face.
    pub up: Vec<Point>,
    /// What is known of the down face.
    pub down: Down,
    /// How the readings of the up face lie.
    pub layout: Layout,
    /// What the user should know of how the readings were taken to lie.
    pub notes: Vec<String>,
}

/// Why readings do not make a board.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BoardError {
    /// Nothing says how thick the board is.
    #[error(
        "nothing says how thick the board is; give --thickness (one number), --calipers (a file of x, y, \
         thickness) or --down (a grid of the down face)"
    )]
    NoThickness,
    /// More than one source says how thick the board is.
    #[error("the thickness is given {0} times ({1}); give one")]
    SeveralThicknesses(usize, String),
    /// A thickness of zero or less.
    #[error("a board {0} mm thick cannot be; --thickness must be more than nothing")]
    ThicknessNotPositive(f64),
    /// The readings do not fit on a board of the stated size.
    #[error("the readings span {span} mm along the {side} but the board is said to be {stated} mm; {fix}")]
    TooSmall {
        /// "length" or "width".
        side: &'static str,
        /// What the readings span.
        span: f64,
        /// What was stated.
        stated: f64,
        /// How to mend it.
        fix: &'static str,
    },
}

/// What is said of a board beside its readings, in millimetres.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Particulars {
    /// What to call it.
    pub name: String,
    /// Its length, where longer than the readings reach.
    pub length: Option<f64>,
    /// Its width, where wider than the readings reach.
    pub width: Option<f64>,
    /// One thickness for the whole board.
    pub thickness: Option<f64>,
    /// Caliper readings.
    pub calipers: Option<Vec<Caliper>>,
    /// Readings of the down face, over the same datum.
    pub down: Option<Vec<Point>>,
}
