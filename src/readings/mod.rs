//! Text in, readings out: grid, probe, calipers; each error with its place.

/// A point in the board frame, millimetres: x along the length from end A, y across the width from the near
/// edge, z out of the face that was up when the board was measured.
pub type Point = [f64; 3];

/// One of the two faces of a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// The face that was up when the board was measured.
    Up,
    /// The other face.
    Down,
}

/// tmp
#[derive(Debug, Clone, PartialEq)]
pub struct Caliper {
    /// x
    pub x: f64,
    /// y
    pub y: f64,
    /// t
    pub thickness: f64,
}
/// tmp
#[derive(Debug, Clone, PartialEq)]
pub enum Layout {
    /// tmp
    Grid {
        /// tmp
        stations: Vec<f64>,
        /// tmp
        positions: Vec<f64>,
    },
    /// tmp
    Scattered,
}
/// tmp
pub struct Heights;
